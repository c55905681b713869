"""The lines of one drawn element, as paths in millimetres on the sheet."""

import math
from typing import Any, Callable, List, NamedTuple, Optional, Tuple

from sewkit.errors import InputError
from sewkit.files.svg_frame import parse_transform, to_sheet
from sewkit.files.svg_names import INKSCAPE, SHAPES, SODIPODI, XLINK, by_id, shown_name, tag
from sewkit.files.svg_path import SubPath, parse_d
from sewkit.geometry.path import Path
from sewkit.geometry.transform import Transform, move

_ORIGINAL = "{%s}original-d" % INKSCAPE
_EFFECT = "{%s}path-effect" % INKSCAPE
_TYPE = "{%s}type" % SODIPODI

# Beyond a hundred kilometres the numbers no longer hold a hundredth of a millimetre (mm).
_FAR = 1e8

_CALLED = {"g": "group", "use": "clone of itself", "svg": "drawing"}

# A clone of a clone of a clone ... is followed this far.
_CLONES = 20


class Drawn(NamedTuple):
    """An element's lines (mm), the frame they were drawn in, and whether ``d`` may be set."""

    runs: List[SubPath]
    frame: Transform
    writable: bool


def drawn_lines(element: Any) -> Drawn:
    """Read an element's lines; ``InputError`` says why an element has none to give."""
    frame, shape, writable = to_sheet(element), element, True
    for _ in range(_CLONES):
        if tag(shape) != "use":
            break
        frame, shape, writable = _behind(shape, frame)
    if not (abs(frame.determinant) > 1e-18 and max(map(abs, frame)) < 1e18):
        raise InputError(
            "'{}' is squashed flat or blown up by a transform.".format(shown_name(element)),
            "Undo the scaling that did it.",
            code="transform",
        )
    runs = [SubPath(_near(frame.path(run.path), element), run.arcs) for run in parse_d(_path_text(shape))]
    if not runs:
        raise InputError("'{}' is an empty line.".format(shown_name(element)), "Delete it.", code="empty")
    return Drawn(runs, frame, writable and tag(shape) == "path")


def _near(path: Path, element: Any) -> Path:
    if abs(path.curves).max() > _FAR:
        raise InputError(
            "'{}' lies more than 100 km off the sheet.".format(shown_name(element)),
            "Its numbers are damaged; draw it again.",
            code="path-data",
        )
    return path


def _behind(clone: Any, frame: Transform) -> Tuple[Transform, Any, bool]:
    """A clone's original, and the frame in which the clone shows it."""
    name = clone.get("{%s}href" % XLINK) or clone.get("href") or ""
    original = by_id(clone.getroottree().getroot()).get(name[1:]) if name.startswith("#") else None
    if original is None or tag(original) not in SHAPES:
        raise InputError(
            "'{}' is a clone whose original is not a single line.".format(shown_name(clone)),
            "Unlink it (Edit > Clone > Unlink Clone) and select its lines.",
            code="clone",
        )
    size = _sizes(clone)
    inner = parse_transform(original.attrib.get("transform"))
    return inner.then(move(size("x"), size("y"))).then(frame), original, False


def _path_text(element: Any) -> str:
    kind = tag(element)
    refused = _refusal(element, kind)
    if refused:
        raise refused
    if kind == "path":
        return element.get("d") or ""
    v = _sizes(element)
    if kind == "line":
        return "M{},{} L{},{}".format(v("x1"), v("y1"), v("x2"), v("y2"))
    if kind in ("polyline", "polygon"):
        points = element.get("points") or ""
        return "M {} {}".format(points, "Z" if kind == "polygon" else "") if points.strip() else ""
    if kind == "rect":
        return _rect(v, element)
    rx = v("r") if kind == "circle" else v("rx")
    ry = v("r") if kind == "circle" else v("ry")
    if rx <= 0 or ry <= 0:
        return ""
    x, y = v("cx"), v("cy")
    half = "A {0!r},{1!r} 0 0 1 {2!r},{3!r} "
    return (
        "M {!r},{!r} ".format(x + rx, y)
        + half.format(rx, ry, x - rx, y)
        + half.format(rx, ry, x + rx, y)
        + "Z"
    )


def _rect(v: Callable[[str], float], element: Any) -> str:
    x, y, w, h = v("x"), v("y"), v("width"), v("height")
    if w <= 0 or h <= 0:
        return ""
    # A radius that is not given is as large as the other; a zero that is given stays zero.
    rx = max(min(v("rx" if element.get("rx") else "ry"), w / 2), 0.0)
    ry = max(min(v("ry" if element.get("ry") else "rx"), h / 2), 0.0)
    if rx == 0 or ry == 0:
        return "M {!r},{!r} h {!r} v {!r} h {!r} Z".format(x, y, w, h, -w)
    corner = "a {!r},{!r} 0 0 1 ".format(rx, ry)
    return (
        "M {!r},{!r} h {!r} {}{!r},{!r} v {!r} {}{!r},{!r} h {!r} {}{!r},{!r} v {!r} {}{!r},{!r} Z"
    ).format(
        x + rx, y, w - 2 * rx, corner, rx, ry, h - 2 * ry, corner, -rx, ry,
        -(w - 2 * rx), corner, -rx, -ry, -(h - 2 * ry), corner, rx, -ry,
    )  # fmt: skip


def _sizes(element: Any) -> Callable[[str], float]:
    """A reader of an element's plain numbers; 0 where one is not given."""

    def value(name: str) -> float:
        text = element.get(name) or "0"
        try:
            number = float(text[:-2] if text.endswith("px") else text)
        except ValueError:
            number = math.nan
        if not math.isfinite(number):
            raise InputError(
                "'{}' has the size '{}', which is not a plain number.".format(shown_name(element), text),
                "Turn it into a path (Path > Object to Path).",
                code="path-data",
            )
        return number

    return value


def _refusal(element: Any, kind: str) -> Optional[InputError]:
    name = shown_name(element)
    if element.get(_EFFECT) or element.get(_ORIGINAL):
        return InputError(
            "'{}' carries a path effect, which would draw over every change.".format(name),
            "Flatten it first: Path > Object to Path.",
            code="path-effect",
        )
    if element.get(_TYPE) == "inkscape:offset":
        return InputError(
            "'{}' is a live offset, which redraws itself.".format(name),
            "Turn it into a plain path first: Path > Object to Path.",
            code="path-effect",
        )
    if kind == "image":
        return InputError(
            "'{}' is a picture made of dots; it has no lines.".format(name),
            "Trace it by hand or with Path > Trace Bitmap, and check the scale afterwards.",
            code="raster",
        )
    if kind not in SHAPES or kind == "use":
        return InputError(
            "'{}' is not a line but a {}.".format(name, _CALLED.get(kind, kind or "foreign object")),
            "Select the outline itself.",
            code="not-a-line",
        )
    return None
