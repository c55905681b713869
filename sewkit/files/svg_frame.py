"""The frame of a drawing: matrices from element to sheet, and millimetres per unit.

Attributes are read raw.  The editor's own Python library rounds them to six digits and
misjudges the scale of some documents, so both are worked out here.
"""

import re
from typing import Any, List, Optional, Tuple

from sewkit.errors import InputError
from sewkit.geometry.transform import IDENTITY, Transform, move, scale, turn
from sewkit.units import MILLIMETRES

SVG = "http://www.w3.org/2000/svg"
_CALL = re.compile(r"\s*,?\s*(\w+)\s*\(([^)]*)\)")
_NUMBER = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_SIZE = re.compile(r"^\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(%|[a-zA-Z]*)\s*$")
_PIXEL = MILLIMETRES["px"]
# Units of width and height in CSS pixels; em and ex have no meaning on a sheet.
_PIXELS = {"": 1.0, "px": 1.0, "mm": 96 / 25.4, "cm": 960 / 25.4, "in": 96.0, "pt": 96 / 72.0, "pc": 16.0, "q": 24 / 25.4}


def parse_transform(text: Optional[str]) -> Transform:
    """The matrix of a ``transform`` attribute; ``InputError`` where it cannot be read."""
    whole, at = IDENTITY, 0
    text = (text or "").strip()
    while at < len(text):
        match = _CALL.match(text, at)
        values = [float(v) for v in _NUMBER.findall(match.group(2))] if match else []
        one = _one(match.group(1), values) if match else None
        if one is None:
            raise InputError("The transform '{}' cannot be read.".format(text), code="transform")
        whole, at = one.then(whole), match.end()
    return whole


def _one(name: str, v: List[float]) -> Optional[Transform]:
    import math

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
    """User units of the root to millimetres on the sheet, origin at the page corner.

    Per axis: length in pixels / viewBox length; a percentage p gives p/100; a missing
    attribute or viewBox gives 1.  preserveAspectRatio "none" keeps both, "slice" takes
    the larger for both, anything else the smaller.  (Rule found by measuring what the
    editor does in nine documents.)
    """
    box = [float(v) for v in _NUMBER.findall(root.get("viewBox") or "")]
    if len(box) != 4 or box[2] <= 0 or box[3] <= 0:
        return scale(_PIXEL, _PIXEL)
    kx, ky = _ratio(root.get("width"), box[2]), _ratio(root.get("height"), box[3])
    fit = root.get("preserveAspectRatio") or ""
    if "none" not in fit:
        kx = ky = max(kx, ky) if "slice" in fit else min(kx, ky)
    return move(-box[0], -box[1]).then(scale(kx * _PIXEL, ky * _PIXEL))


def _ratio(text: Optional[str], units: float) -> float:
    match = _SIZE.match(text or "")
    if match is None:
        return 1.0
    number, unit = float(match.group(1)), match.group(2).lower()
    if unit == "%":
        return number / 100.0
    if number <= 0 or unit not in _PIXELS:
        return 1.0
    return number * _PIXELS[unit] / units


def to_sheet(element: Any) -> Transform:
    """From an element's own coordinates to millimetres on the sheet."""
    whole = parse_transform(element.get("transform"))
    parent = element.getparent()
    if parent is None:
        return whole.then(sheet_frame(element)) if _local(element) == "svg" else whole
    while parent.getparent() is not None:
        if _local(parent) == "svg":
            raise InputError(
                "A drawing inside the drawing holds this line.",
                "Ungroup it first, so that its scale is plain.",
                code="nested",
            )
        whole = whole.then(parse_transform(parent.get("transform")))
        parent = parent.getparent()
    return whole.then(parse_transform(parent.get("transform"))).then(sheet_frame(parent))


def uniform_scale(frame: Transform) -> Tuple[float, float]:
    """Largest and smallest factor by which a frame stretches lengths."""
    import math

    s = math.hypot(frame.a + frame.d, frame.b - frame.c)
    d = math.hypot(frame.a - frame.d, frame.b + frame.c)
    return (s + d) / 2, abs(s - d) / 2


def _local(element: Any) -> str:
    tag = element.tag
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""
