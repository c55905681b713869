"""New elements of a drawing: how lines and words look, and where they stand.

Widths, dashes and letters are in millimetres on the sheet, whatever the scale of the
group they are put into.
"""

from typing import Any, Dict, Optional, Tuple

import numpy as np
from lxml import etree

from sewkit.files.svg_frame import to_sheet, uniform_scale
from sewkit.files.svg_names import CUT_LINE, INKSCAPE, SEAM_LINE, SODIPODI, SVG, tag
from sewkit.files.svg_path import without_noise, write_d
from sewkit.geometry.path import Path
from sewkit.geometry.transform import IDENTITY, Transform, move, turn
from sewkit.pattern.mark import (
    BUTTON,
    BUTTONHOLE,
    DART,
    DOT,
    FOLD,
    GATHER,
    GRAIN,
    INNER,
    LABEL,
    LENGTHEN,
    LEVEL,
    NOTCH,
    NOTE,
    OVERLAY,
)
from sewkit.units import write_number

# How new lines look (widths in mm): the trade's custom is a solid line to cut on and a
# broken line to sew on.  Widths and dashes tell them apart on a grey printer.
_LOOKS: Dict[str, Tuple[float, Tuple[float, ...]]] = {
    SEAM_LINE: (0.35, (5, 2.5)),
    CUT_LINE: (0.6, ()),
    NOTCH: (0.5, ()),
    GRAIN: (0.35, ()),
    FOLD: (0.35, ()),
    DOT: (0.35, ()),
    BUTTON: (0.35, ()),
    BUTTONHOLE: (0.5, ()),
    GATHER: (0.35, ()),
    LEVEL: (0.25, (1, 2)),
    LENGTHEN: (0.25, ()),
    DART: (0.35, (5, 2.5)),  # stitched, as a seam line is
    INNER: (0.35, (8, 2, 2, 2)),
    OVERLAY: (0.6, ()),
}
_READ_ONLY = "#7a3300"  # what is written to be read and taken away again

# Where a piece was cut apart and hinged: there for who looks, never taken for a line to sew
# or cut on.  An ink lighter than all else, with long strokes that nothing else has; wide
# enough that it does not fade where a whole sheet is seen on a screen or printed grey.
_FAINT_WIDTH, _FAINT_DASHES, _FAINT_INK = 0.5, (9, 1.5), "#b85a10"
_TEXT_HEIGHT = {LABEL: 8.0, OVERLAY: 7.0, NOTE: 5.0}

# Writing that lies over the lines of a nest stands on a white edge of its own.
_OVER_LINES = (
    ";font-weight:bold;fill:" + _READ_ONLY + ";stroke:#ffffff;stroke-width:2.4px;"
    "stroke-linejoin:round;paint-order:stroke"
)

# New attributes of the editor's own namespaces read as the editor writes them.
etree.register_namespace("inkscape", INKSCAPE)
etree.register_namespace("sodipodi", SODIPODI)

# What describes a shape that is not a path; a star or an arc is drawn anew from these.
_GEOMETRY = {"x", "y", "width", "height", "rx", "ry", "r", "cx", "cy", "x1", "y1", "x2", "y2", "points"}
_LIVE_SHAPE = {"{%s}%s" % (INKSCAPE, name) for name in ("flatsided", "rounded", "randomized")}
_KEPT = "{%s}insensitive" % SODIPODI


def new_path(path: Path, role: str, parent: Any, after: Optional[Any], faint: bool = False) -> Any:
    """A path element for a line (mm): behind ``after``, or last in ``parent``."""
    element = etree.Element("{%s}path" % SVG)
    if after is None:
        parent.append(element)
    else:
        parent.insert(parent.index(after) + 1, element)
        element.tail = after.tail
    frame = to_sheet(parent)
    element.set("d", write_d(frame.inverse().path(path)))
    element.set("style", _style(role, frame, faint))
    return element


def new_text(words: str, path: Optional[Path], role: str, parent: Any, height: float = 0.0) -> Any:
    """A text element that stands at a path's start (mm), along its direction.

    ``height``: of its letters (mm); 0 is the usual one.
    """
    element = etree.SubElement(parent, "{%s}text" % SVG)
    letters = write_number(height or _TEXT_HEIGHT.get(role, 6.0))
    look = _OVER_LINES if role == OVERLAY else ";fill:#000000"
    element.set("style", "font-size:{}px;font-family:sans-serif{}".format(letters, look))
    set_words(element, words)
    set_transform(element, _text_frame(path).then(to_sheet(parent).inverse()))
    return element


def set_words(element: Any, words: str) -> None:
    """Give a text element other words; its first line keeps the look it had."""
    lines = words.split("\n")
    spans = [child for child in element if tag(child) == "tspan"]
    if len(lines) == 1 and not spans:
        element.text = words
        return
    while spans and len(spans[0]) and tag(spans[0][0]) == "tspan":
        spans = [spans[0][0]]  # an editor wraps a styled line once more
    element.text = None
    for number, line in enumerate(lines):
        span = spans.pop(0) if spans else etree.SubElement(element, "{%s}tspan" % SVG)
        if number and span.get("y") is None:
            span.set("x", element.get("x") or "0")
            span.set("dy", "1.3em")
        span.text = line
    for span in spans:
        span.getparent().remove(span)


def redraw(element: Any, d: str) -> None:
    """Give an element another line; a rectangle, circle or star becomes a plain path.

    What an editor remembers of the old line (kinds of nodes, the numbers of a star) goes.
    """
    if tag(element) != "path":
        element.tag = "{%s}path" % SVG
        for name in _GEOMETRY & set(element.attrib):
            del element.attrib[name]
    for name in list(element.attrib):
        if name in _LIVE_SHAPE or (name.startswith("{%s}" % SODIPODI) and name != _KEPT):
            del element.attrib[name]
    element.set("d", d)


def set_transform(element: Any, frame: Transform) -> None:
    """Set an element's own matrix, rid of rounding; none where it changes nothing."""
    turned = without_noise(np.array(frame[:4]))  # by themselves: a far shift says nothing about them
    frame = Transform(*turned, *without_noise(np.array(frame))[4:])
    if frame == IDENTITY:
        element.attrib.pop("transform", None)
        return
    element.set("transform", "matrix({})".format(",".join(write_number(v, 12) for v in frame)))


def take_out(element: Any) -> None:
    """Take an element out of its place; words behind it stay, blanks go with it."""
    parent, before, tail = element.getparent(), element.getprevious(), element.tail
    if parent is None:
        return
    element.tail = None
    if tail and tail.strip() and before is not None:
        before.tail = (before.tail or "") + tail
    elif tail and tail.strip():
        parent.text = (parent.text or "") + tail
    parent.remove(element)


def _style(role: str, frame: Transform, faint: bool = False) -> str:
    width, dashes = (_FAINT_WIDTH, _FAINT_DASHES) if faint else _LOOKS.get(role, (0.35, ()))
    ink = _FAINT_INK if faint else (_READ_ONLY if role == OVERLAY else "#000000")
    largest, smallest = uniform_scale(frame)
    unit = (largest * smallest) ** 0.5
    parts = ["fill:none", "stroke:" + ink, "stroke-width:" + write_number(width / unit, 5)]
    if dashes:
        parts.append("stroke-dasharray:" + ",".join(write_number(dash / unit, 5) for dash in dashes))
    return ";".join(parts)


def _text_frame(path: Optional[Path]) -> Transform:
    """Where and how a text stands: at the path's start, along its direction."""
    if path is None or not len(path):
        return IDENTITY
    dx, dy = path.end - path.start
    angle = float(np.degrees(np.arctan2(dy, dx))) if (dx or dy) else 0.0
    return turn(angle).then(move(*path.start))
