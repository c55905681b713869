"""The frame of a drawing: matrices from element to sheet, and millimetres per unit.

Attributes are read raw.  The editor's own Python library rounds them to six digits and
misjudges the scale of some documents, so both are worked out here.
"""

import math
import re
from typing import Any, List, Optional, Tuple

from sewkit.errors import InputError
from sewkit.files.svg_names import tag
from sewkit.geometry.transform import IDENTITY, Transform, move, scale, turn
from sewkit.units import MILLIMETRES, write_number

_CALL = re.compile(r"\s*,?\s*(\w+)\s*\(([^)]*)\)")
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
# Factors and shifts beyond this are damage; multiplied they could leave the floats' range.
_MOST = 1e12
_SIZE = re.compile(r"^\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(%|[a-zA-Z]*)\s*$")
_PIXEL = MILLIMETRES["px"]
# A page that says neither how large it is nor what it shows (mm): A4.
_PAGE = (210.0, 297.0)
# Digits of a page's size: enough for a millionth of a millimetre on a sheet of ten metres.
_DIGITS = 15
# Units of width and height in mm; em and ex have no meaning on a sheet.
_UNITS = dict(MILLIMETRES, **{"": _PIXEL, "pc": 12 * MILLIMETRES["pt"], "q": 0.25})
del _UNITS["m"]  # no unit of SVG


def parse_transform(text: Optional[str]) -> Transform:
    """The matrix of a ``transform`` attribute; ``InputError`` where it cannot be read."""
    whole, at = IDENTITY, 0
    text = (text or "").strip()
    while at < len(text) and text != "none":
        match = _CALL.match(text, at)
        one = _one(match.group(1), _values(match.group(2))) if match else None
        if match is None or one is None or max(map(abs, one)) > _MOST:
            raise InputError(
                "The transform '{}' cannot be read.".format(text),
                "Take it off in the editor (Object > Transform, or the XML panel).",
                code="transform",
            )
        whole, at = one.then(whole), match.end()
    return whole


def _values(text: str) -> List[float]:
    """The numbers in brackets; none where something else stands between them."""
    if _NUMBER.sub("", text).strip(" \t\r\n,"):
        return []
    return [float(v) for v in _NUMBER.findall(text)]


def _one(name: str, v: List[float]) -> Optional[Transform]:
    if name == "matrix" and len(v) == 6:
        return Transform(*v)
    if name == "translate" and len(v) in (1, 2):
        return move(v[0], v[1] if len(v) == 2 else 0.0)
    if name == "scale" and len(v) in (1, 2):
        return scale(v[0], v[-1])
    if name == "rotate" and len(v) in (1, 3):
        return turn(v[0], tuple(v[1:]) or (0.0, 0.0))
    if name == "skewX" and len(v) == 1:
        return Transform(c=math.tan(math.radians(v[0])))
    if name == "skewY" and len(v) == 1:
        return Transform(b=math.tan(math.radians(v[0])))
    return None


def sheet_frame(root: Any) -> Transform:
    """User units of the root to millimetres on the sheet, origin at the viewBox corner.

    Per axis: length in pixels / viewBox length; a percentage p gives p/100; a missing
    attribute or viewBox gives 1.  preserveAspectRatio "none" keeps both, "slice" takes
    the larger for both, anything else the smaller.  (Rule found by measuring what the
    editor does in nine documents.)
    """
    box = view_box(root)
    if box is None:
        return scale(_PIXEL, _PIXEL)
    kx, ky = _ratio(root.get("width"), box[2]), _ratio(root.get("height"), box[3])
    fit = root.get("preserveAspectRatio") or ""
    if "none" not in fit:
        kx = ky = max(kx, ky) if "slice" in fit else min(kx, ky)
    return move(-box[0], -box[1]).then(scale(kx, ky))


def view_box(root: Any) -> Optional[Tuple[float, float, float, float]]:
    """Left, top, width and height of what the page shows, in its own units; None without one."""
    box = _values(root.get("viewBox") or "")
    if len(box) != 4 or min(box[2:]) <= 0 or max(map(abs, box)) > _MOST:
        return None
    return (box[0], box[1], box[2], box[3])


def scale_page(root: Any, across: float, down: float) -> None:
    """Make the page, and with it all that is drawn on it, so many times as wide and as high.

    Its width and height grow, what they show (the viewBox) stays: lines, texts, pens,
    guides and hidden layers grow alike, and not one number of theirs is rewritten.
    """
    frame, box = sheet_frame(root), view_box(root)
    sizes = [_length(root.get(name)) for name in ("width", "height")]
    if box is None:
        shown = [mm / frame.a for mm in (sizes[0] or _PAGE[0], sizes[1] or _PAGE[1])]
        root.set("viewBox", "0 0 {} {}".format(*(write_number(one, _DIGITS) for one in shown)))
        box = (0.0, 0.0, shown[0], shown[1])
    elif across == down and all(sizes):  # whatever the viewBox leaves free of the page grows too
        box = (0.0, 0.0, sizes[0] / frame.a, sizes[1] / frame.d)
    root.set("width", write_number(box[2] * frame.a * across, _DIGITS) + "mm")
    root.set("height", write_number(box[3] * frame.d * down, _DIGITS) + "mm")
    if across != down:
        root.set("preserveAspectRatio", "none")


def _length(text: Optional[str]) -> float:
    """A width or height in mm; 0 where it is none, or a share of something."""
    match = _SIZE.match(text or "")
    unit = match.group(2).lower() if match else "%"
    number = float(match.group(1)) if match else 0.0
    return number * _UNITS[unit] if 0 < number <= _MOST and unit in _UNITS else 0.0


def _ratio(text: Optional[str], units: float) -> float:
    """Millimetres a unit by one attribute: width or height."""
    match = _SIZE.match(text or "")
    if match is None:
        return _PIXEL
    number, unit = float(match.group(1)), match.group(2).lower()
    if not 0 < number <= _MOST or unit not in _UNITS and unit != "%":
        return _PIXEL
    return number / 100.0 * _PIXEL if unit == "%" else number * _UNITS[unit] / units


def to_sheet(element: Any) -> Transform:
    """From an element's own coordinates to millimetres on the sheet."""
    whole = IDENTITY
    while element.getparent() is not None:
        if tag(element) == "svg":
            raise InputError(
                "A drawing inside the drawing holds this line.",
                "Ungroup it first, so that its scale is plain.",
                code="nested",
            )
        # From attrib: the editor's own library rounds what get() gives.
        whole = whole.then(parse_transform(element.attrib.get("transform")))
        element = element.getparent()
    whole = whole.then(parse_transform(element.attrib.get("transform")))
    return whole.then(sheet_frame(element)) if tag(element) == "svg" else whole


def uniform_scale(frame: Transform) -> Tuple[float, float]:
    """Largest and smallest factor by which a frame stretches lengths."""
    s = math.hypot(frame.a + frame.d, frame.b - frame.c)
    d = math.hypot(frame.a - frame.d, frame.b + frame.c)
    return (s + d) / 2, abs(s - d) / 2
