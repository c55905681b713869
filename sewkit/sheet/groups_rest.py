"""Lines that are no size: those that serve all sizes, and those that are no part of the pattern."""

from typing import NamedTuple, Sequence

import numpy as np

from sewkit.sheet.drawn import Box, Style
from sewkit.sheet.groups_apart import PAPER, WHITE
from sewkit.sheet.nest_shapes import SMALLEST, Shapes, within

# Letters turned to outlines: so many small closed lines (mm), and hardly anything else.
_LETTERS, _LETTER, _HARDLY = 30, 12.0, 0.8
# A rectangle fills this part of its box.
_RECTANGLE = 0.998


class Serves(NamedTuple):
    """Whether lines serve all sizes (or none), why, and how sure that is (0 to 1)."""

    all_sizes: bool
    reason: str
    score: float


def what_it_serves(
    shapes: Shapes, style: Style, members: Sequence[int], boxes: Sequence[Box], mixed: bool
) -> Serves:
    """Judge lines that look alike and are no size.

    Args:
        members: their numbers.
        boxes: of the bodies of all pieces (mm).
        mixed: they hold several closed lines a piece.
    """
    none = why_none(shapes, style, members)
    if none:
        return Serves(False, none, 0.7)
    if mixed:
        return Serves(True, "several closed lines a piece in one style, such as seam lines", 0.4)
    rows = np.array([n for n in members if not _is_frame(shapes, n, boxes)], int)
    middles = (shapes.boxes[rows, :2] + shapes.boxes[rows, 2:]) / 2
    held = np.zeros(len(rows), bool)
    for left, top, right, bottom in boxes:
        held |= ((middles >= (left, top)) & (middles <= (right, bottom))).all(axis=1)
    if held.any():
        return Serves(True, "lies on pieces, without outlines of its own", 0.7)
    if (shapes.closed[rows] & (shapes.areas[rows] >= SMALLEST)).any():
        return Serves(True, "closed outlines drawn once", 0.6)
    return Serves(False, "lies on no piece", 0.7)


def why_none(shapes: Shapes, style: Style, members: Sequence[int]) -> str:
    """Why lines that look alike are no lines of a pattern; empty where they may be."""
    rows = np.array(members, int)
    if not style.colour:
        return "filled areas without a line"
    if style.colour == PAPER:
        return WHITE
    extent = (shapes.boxes[rows, 2:] - shapes.boxes[rows, :2]).max(axis=1)
    small = shapes.closed[rows] & (extent < _LETTER)
    if len(rows) >= _LETTERS and small.mean() >= _HARDLY:
        return "many small closed lines, such as letters"
    return ""


def _is_frame(shapes: Shapes, line: int, boxes: Sequence[Box]) -> bool:
    """Whether a line is a rectangle around bodies of pieces."""
    box = shapes.boxes[line]
    if not shapes.closed[line] or shapes.areas[line] < _RECTANGLE * np.prod(box[2:] - box[:2]):
        return False
    inner = np.array([other for other in boxes if not np.allclose(other, box)]).reshape(-1, 4)
    return bool(shapes.areas[line] >= SMALLEST and within(box, inner, 1.0).sum() > 1)
