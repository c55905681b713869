"""Small pieces: tabs, belt loops, stays; and small closed lines that are none.

Below the size of a usual piece most closed lines are holes, buttons, letters, boxes around
words.  One is a piece if it comes in several sizes, or lies outside all pieces by itself.
"""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Whole, Words
from sewkit.sheet.groups import Grouping
from sewkit.sheet.nest_close import Ring, whole_rings
from sewkit.sheet.nest_inside import word_spots
from sewkit.sheet.nest_pieces import Nest, Sorted, sort_out
from sewkit.sheet.nest_shapes import SMALLEST, Shapes, inside

# The smallest piece at all (mm2): a loop of 10 x 10.
TINY = 100.0
# No higher and no wider than this (mm) a closed line is a letter or a hole.
_LETTER = 12.0
# Shapes that agree in width and height within this (mm) are alike.  So many of them are marks
# to join pages by, samples or signs if they are no longer than the second number (mm); and so
# many are an ornament however long they are.
_ALIKE, _SEVERAL, _COMPACT, _MANY = 0.5, 3, 30.0, 8
# So many shapes that were left out are told one by one.
_TOLD = 3
_PAPER = "#ffffff"


class Small(NamedTuple):
    """Nests that are pieces, squares that test the scale, and shapes that are neither."""

    pieces: Tuple[Nest, ...]
    squares: Tuple[Ring, ...]
    others: Tuple[Ring, ...]


def small_rings(
    lines: Sequence[Whole], shapes: Shapes, owner: Sequence[int], taken: Sequence[int]
) -> Tuple[Ring, ...]:
    """The small closed lines of all sizes that are not in an outline yet."""
    small = shapes.closed & (shapes.areas >= TINY) & (shapes.areas < SMALLEST)
    small[list(taken)] = False
    numbers = [int(n) for n in np.flatnonzero(small) if not _like_letter(shapes.boxes[n])]
    return whole_rings(lines, shapes, owner, numbers)


def parted(nests: Sequence[Nest]) -> Tuple[List[Nest], List[Nest]]:
    """Nests as large as pieces usually are, and small ones."""
    large = [nest for nest in nests if nest.largest.area >= SMALLEST]
    return large, [nest for nest in nests if nest.largest.area < SMALLEST]


def small_pieces(nests: Sequence[Nest], pieces: Sequence[Nest], words: Sequence[Words]) -> Small:
    """Tell small pieces from other small shapes.  ``pieces``: those that are large."""
    found: Sorted = sort_out(nests, words, np.zeros((0, 2)))
    boxes = np.array([nest.largest.box for nest in found.pieces]).reshape(-1, 4)
    chosen: List[Nest] = []
    others: List[Ring] = []
    for nest, box in zip(found.pieces, boxes):
        within = any(_holds(piece.largest, nest.largest) for piece in pieces)
        several = len(nest.rings) > 1
        if several and (not within or _named(nest.largest, words)):
            chosen.append(nest)
        elif within:
            continue
        elif several or not _repeated(nest, box, found.pieces, boxes):
            chosen.append(nest)
        else:
            others.append(nest.largest)
    return Small(tuple(chosen), found.squares, tuple(others))


def told_small(
    lines: Sequence[Whole], shapes: Shapes, grouping: Grouping, taken: Sequence[int], pieces: Sequence[Nest]
) -> List[Finding]:
    """Small closed shapes outside all pieces that were left out: where they are, and how large."""
    left = shapes.closed & (shapes.areas >= TINY) & (shapes.areas < SMALLEST)
    left[list(taken)] = False
    rows = [int(n) for n in np.flatnonzero(left) if _is_drawn(lines[n]) and not _like_letter(shapes.boxes[n])]
    outlines = [piece.largest for piece in pieces]
    rows = [n for n in rows if not any(_holds_line(outline, shapes, n) for outline in outlines)]
    rows.sort(key=lambda n: (-shapes.areas[n], n))
    keys = {line: group.key for group in grouping.groups for line in group.lines}
    found = []
    for n in rows[:_TOLD]:
        left_, top, right, bottom = shapes.boxes[n].tolist()
        text = (
            "A closed shape of {:.0f} x {:.0f} mm was left out here. If it is a piece, say in the table "
            "of sizes which size its kind of line is{}.{}"
        ).format(
            right - left_,
            bottom - top,
            " (group {})".format(keys[n]) if n in keys else "",
            _more(len(rows) - _TOLD) if n == rows[:_TOLD][-1] else "",
        )
        spot = ((left_ + right) / 2, (top + bottom) / 2)
        found.append(Finding("small-shape", Level.WARN, text, "", spot))
    return found


def _more(count: int) -> str:
    if count < 1:
        return ""
    return " {} elsewhere.".format(
        "1 smaller one was left out" if count == 1 else "{} smaller ones were left out".format(count)
    )


def _is_drawn(line: Whole) -> bool:
    return bool(line.style.colour) and line.style.colour != _PAPER and not line.hidden


def _like_letter(box: np.ndarray) -> bool:
    return float((box[2:] - box[:2]).max()) <= _LETTER


def _holds(outer: Ring, ring: Ring) -> bool:
    """Whether an outline surrounds most of another one."""
    return bool(inside(outer.points, ring.points[:: max(len(ring.points) // 20, 1)]).mean() > 0.5)


def _holds_line(outer: Ring, shapes: Shapes, number: int) -> bool:
    points = shapes.points[number]
    return bool(inside(outer.points, points[:: max(len(points) // 20, 1)]).mean() > 0.5)


def _named(ring: Ring, words: Sequence[Words]) -> bool:
    """Whether a word, not just a number, stands in an outline."""
    named = [word for word in words if any(sign.isalpha() for sign in word.text)]
    spots = np.array([word_spots(word)[1] for word in named]).reshape(-1, 2)
    return bool(len(spots)) and bool(inside(ring.points, spots).any())


def _repeated(nest: Nest, box: np.ndarray, nests: Sequence[Nest], boxes: np.ndarray) -> bool:
    """Whether a shape comes again and again, or once in each of several sizes, as samples do."""
    extent = box[2:] - box[:2]
    alike = np.abs(boxes[:, 2:] - boxes[:, :2] - extent).max(axis=1) <= _ALIKE
    owners = {nests[n].largest.owner for n in np.flatnonzero(alike)}
    count = int(alike.sum())
    return len(owners) > 1 or count >= (_SEVERAL if extent.max() <= _COMPACT else _MANY)
