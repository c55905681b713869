"""Where pages meet: half circles with one number on both, ticks that run on, and the neighbour's name.

On a page's right and lower side a broken line shows where the next page begins; that one is cut
off along its frame, left and on top, and laid on that line.  The two half circles of a number then
make one circle.  In the strip that both pages show stand fine crosses at the same places.
"""

from typing import Callable, Dict, Iterator, List, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, lines
from sewkit.paper.document import BLACK, Drawn, Stroke, Words
from sewkit.paper.furniture import BAND, FINE, PLAIN, line
from sewkit.paper.line_kinds import GREY
from sewkit.paper.moved import together
from sewkit.paper.tiling import Cell, Grid, cell_label

# Radius of the marks, height of their numbers (mm).
RADIUS, _NUMBER = 5.0, 3.4

# Ticks where pages meet, crosses in the strip that both show: so long each way (mm).
_TICK, _CROSS = 4.0, 1.2

# Lines keep so far from the frame (mm): what ends on it looks like a line of the pattern that was cut.
_CLEAR = 0.6

# Where they stand along a side, as shares of it.
_QUARTERS = (0.25, 0.75)

# Letters that name the neighbour, and how far from the outer side their base line is (mm).
_LETTERS, _IN_STRIP = 2.3, 6.6

_QUARTER = 4.0 / 3.0 * (2.0**0.5 - 1.0)

RIGHT, BELOW = (0, 1), (1, 0)

# A place of the page (mm), by its distance from the join and along the side.
SpotOf = Callable[[float, float], Tuple[float, float]]


def numbered(cells: Sequence[Cell]) -> Dict[Tuple[Cell, Cell], int]:
    """A number for each pair of pages that meet, from 1, in the order of the pages."""
    kept = set(cells)
    pairs = [
        (cell, (cell[0] + down, cell[1] + right))
        for cell in cells
        for down, right in (RIGHT, BELOW)
        if (cell[0] + down, cell[1] + right) in kept
    ]
    return {pair: number for number, pair in enumerate(pairs, 1)}


def joins(grid: Grid, cell: Cell, numbers: Dict[Tuple[Cell, Cell], int]) -> Drawn:
    """All marks of the joins of a page (mm on the page)."""
    parts: List[Drawn] = []
    for (first, second), number in numbers.items():
        if cell not in (first, second):
            continue
        side = first[0] == second[0]
        other = second if cell == first else first
        parts.append(_join(grid, side, cell == first, number, cell_label(other)))
    return together(parts)


def _join(grid: Grid, side: bool, first: bool, number: int, other: str) -> Drawn:
    """One join: ``side`` where the pages lie side by side; ``first``: seen from the left or upper one."""
    axis = 0 if side else 1
    at = grid.margin + (grid.step[axis] if first else 0.0)
    length = grid.size[1 - axis]
    inwards = -1.0 if first else 1.0

    def spot(across: float, along: float) -> Tuple[float, float]:
        """A place of the page (mm): ``across`` from the join into the page, ``along`` the side."""
        x, y = at + inwards * across, grid.margin + along
        return (x, y) if side else (y, x)

    strokes = [_half_circle(spot, length / 2)]
    if first and grid.overlap > 0:
        strokes.append(line([spot(0.0, _CLEAR), spot(0.0, length - _CLEAR)], FINE, dashes=(2.0, 1.0)))
    for share in _QUARTERS:
        strokes.append(line([spot(_CLEAR, share * length), spot(_TICK, share * length)], PLAIN, BLACK))
        strokes += _crosses(spot, share * length, grid.overlap, first)
    words = list(_words(spot, length, side, first, number, other, grid.overlap))
    return Drawn(tuple(strokes), (), tuple(words))


def _half_circle(spot: SpotOf, middle: float) -> Stroke:
    r, h = RADIUS, RADIUS * _QUARTER
    ends = [(0.0, middle - r), (h, middle - r), (r, middle - h), (r, middle)]
    back = [(r, middle), (r, middle + h), (h, middle + r), (0.0, middle + r)]
    curves = np.array([[spot(*one) for one in ends], [spot(*one) for one in back]])
    flat = lines(curves[1:, 3], curves[:1, 0])
    return Stroke(Path(np.concatenate([curves, flat]), closed=True), PLAIN, (), GREY)


def _crosses(spot: SpotOf, along: float, overlap: float, first: bool) -> Iterator[Stroke]:
    """A fine cross in the middle of the strip that both pages show, at the same place of the drawing."""
    if overlap < 4 * _CROSS:
        return
    across = overlap / 2 * (-1.0 if first else 1.0)
    yield line([spot(across - _CROSS, along), spot(across + _CROSS, along)], FINE)
    yield line([spot(across, along - _CROSS), spot(across, along + _CROSS)], FINE)


def _words(
    spot: SpotOf, length: float, side: bool, first: bool, number: int, other: str, overlap: float
) -> Iterator[Words]:
    """The number in the half circle, and which page goes on here."""
    x, y = spot(RADIUS * 0.45, length / 2)
    yield Words(str(number), (x, y + 0.36 * _NUMBER), _NUMBER, anchor=0.5, bold=True)
    text = "joins {} here".format(other)
    if first and overlap >= BAND:  # in the strip below the next page
        x, y = spot(_IN_STRIP - overlap, length / 2)
        yield Words(text, (x, y), _LETTERS, (0.0, -1.0) if side else (1.0, 0.0), anchor=0.5)
        return
    if overlap > 0 and not first:
        text = "cut along the frame: " + text
    x, y = spot(3.0, length / 2 + (-RADIUS - 2.0 if side else RADIUS + 2.0))
    yield Words(text, (x, y), _LETTERS, (0.0, -1.0) if side else (1.0, 0.0))
