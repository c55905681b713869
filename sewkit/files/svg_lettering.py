"""Which way a text of the drawing runs, how high its letters are, and where each of its lines stands."""

from typing import Any, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.files.svg_names import tag
from sewkit.files.svg_words import first_number, letter_height, styled
from sewkit.geometry.transform import Transform
from sewkit.pattern.mark import Lettering

# Which part of a line lies before the place of a text.
_ANCHORS = {"middle": 0.5, "end": 1.0}

# Lower letters (mm) are none that anybody reads, and higher ones no words on a piece.
_LEAST, _MOST = 0.2, 300.0


class _Line(NamedTuple):
    text: str
    x: float
    y: float


def lettering_of(element: Any, frame: Transform, start: Tuple[float, float]) -> Optional[Lettering]:
    """How a text stands on the sheet; None where nothing can be read of it.

    Args:
        frame: from the text's own units to the sheet (mm).
        start: the place the text is known by, in its own units.
    """
    spans = [part for part in element.iter() if tag(part) in ("text", "tspan") and (part.text or "").strip()]
    if not spans:
        return None
    height = letter_height(spans[0])
    lines = [line for line in _lines(element, start, height) if line.text.strip()]
    spots = frame.points(np.array([start, *((line.x, line.y) for line in lines)], np.float64))
    way = np.array([frame.a, frame.b])
    long = float(np.hypot(*way))
    # A stretched text is as high as it is across its lines.
    area = frame.a * frame.d - frame.b * frame.c
    high = height * abs(area) / long if long > 0 else 0.0
    if not (np.isfinite(spots).all() and _LEAST <= high <= _MOST):
        return None
    offs = spots[1:] - spots[0]
    way = way / long
    anchor = _ANCHORS.get((styled(spans[0], "text-anchor") or "").strip(), 0.0)
    if area < 0 and way[0] < 0:
        way, anchor = -way, 1.0 - anchor  # mirrored words are to be read, in the same room
    return Lettering(
        tuple((line.text, (float(off[0]), float(off[1]))) for line, off in zip(lines, offs)),
        (float(way[0]), float(way[1])),
        float(high),
        anchor,
    )


def _lines(element: Any, start: Tuple[float, float], height: float) -> List[_Line]:
    """The lines in order; a part without a place of its own goes on in the line before it."""
    found = [_Line(element.text or "", *start)]
    for part in element.iter():
        if part is element:
            continue
        x, y = (first_number(part, "x"), first_number(part, "y")) if tag(part) == "tspan" else (None, None)
        if x is not None or y is not None:
            last = found[-1]
            down = _down(part, height)
            found.append(_Line("", last.x if x is None else x, (last.y if y is None else y) + down))
        text = (part.text or "") if tag(part) == "tspan" else ""
        found[-1] = found[-1]._replace(text=found[-1].text + text + (part.tail or ""))
    return found


def _down(part: Any, height: float) -> float:
    """How far a line is moved down, in the text's own units."""
    words = (part.get("dy") or "").replace(",", " ").split()
    number = first_number(part, "dy")
    if number is None:
        return 0.0
    return number * height if words[0].endswith("em") else number
