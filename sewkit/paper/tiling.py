"""Tiles: how a drawing is divided into pages, and on which of them there is anything.

A page shows a window of ``paper - 2 margin``.  Windows of neighbours share a strip, the overlap
``o``, so a drawing of length ``L`` takes ``ceil((L - o) / (p - o))`` windows of length ``p``.

Every spot of the drawing belongs to one window, the one that comes first of those that show it.
A page on which nothing belongs to it is left out: all its ink is on its neighbours.
"""

import math
from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.polygon import flatten
from sewkit.paper.document import Drawn, Window
from sewkit.paper.moved import room_of
from sewkit.units import write_number

Box = Tuple[float, float, float, float]  # left, top, right, bottom (mm)
Cell = Tuple[int, int]  # row, column, from 0

# A bar of 100 mm and its words have to fit on every page (mm).
LEAST_WINDOW = 110.0

# More than a thousand pages are not printed by anybody, nor are so many cells looked through.
MOST_PAGES, MOST_CELLS = 1000, 4000

# A line is taken as chords that stay so near (mm): far below the width of any line.
CHORD = 0.02

# What rounding adds to a length is no reason for one more page (mm).
_ROUNDING = 1e-6

# Places tried to shift the pages, each way, where the last page is not full.
_SHIFTS = 5

# Of more cells than this every page is shown plainly: looking for a better place would take seconds.
_SHIFTED = 400


class Grid(NamedTuple):
    """How a drawing is divided.

    Args:
        page: width and height of a page (mm).
        margin: empty on all sides of a page (mm).
        overlap: of two neighbours (mm).
        left, top: upper left corner of the first window on the drawing (mm).
        columns, rows: how many there are.
    """

    page: Tuple[float, float]
    margin: float
    overlap: float
    left: float
    top: float
    columns: int
    rows: int

    @property
    def size(self) -> Tuple[float, float]:
        """Width and height of a window (mm)."""
        return self.page[0] - 2 * self.margin, self.page[1] - 2 * self.margin

    @property
    def step(self) -> Tuple[float, float]:
        """From one window to the next, to the right and down (mm)."""
        return self.size[0] - self.overlap, self.size[1] - self.overlap

    def corner(self, cell: Cell) -> Tuple[float, float]:
        """Upper left corner of a window on the drawing (mm)."""
        return self.left + cell[1] * self.step[0], self.top + cell[0] * self.step[1]

    def window(self, cell: Cell) -> Window:
        """The window of a cell, at its place on the page."""
        return Window(*self.corner(cell), *self.size, self.margin, self.margin)

    @property
    def cells(self) -> Tuple[Cell, ...]:
        """All cells, row by row."""
        return tuple((row, column) for row in range(self.rows) for column in range(self.columns))


def cell_label(cell: Cell) -> str:
    """A row's letter and a column's number: "B3"; behind Z comes AA."""
    row, letters = cell[0] + 1, ""
    while row:
        row, rest = divmod(row - 1, 26)
        letters = chr(65 + rest) + letters
    return "{}{}".format(letters, cell[1] + 1)


def count(length: float, window: float, overlap: float) -> int:
    """Windows in a row for a length, each ``window`` long; all in mm."""
    return max(1, math.ceil((length - overlap - _ROUNDING) / (window - overlap)))


def checked(page: Tuple[float, float], margin: float, overlap: float, name: str) -> None:
    """Refuse margins and overlaps (mm) that leave too little of a page; ``InputError``."""
    short = min(page)
    if margin < 0 or overlap < 0:
        raise InputError(
            "A {} of {} mm is none.".format(
                "margin" if margin < 0 else "overlap", write_number(min(margin, overlap))
            ),
            "Write 0 or more.",
            code="paper",
        )
    if 2 * margin >= short:
        raise InputError(
            "Margins of {} mm leave nothing of a page {} mm wide.".format(
                write_number(margin), write_number(short)
            ),
            "Take 10 mm; most printers reach that far.",
            code="paper",
        )
    left = short - 2 * margin
    if left < LEAST_WINDOW or left - overlap < LEAST_WINDOW / 2:
        raise InputError(
            "On {} with margins of {} mm and {} mm of overlap too little is left of each page to test and "
            "join it by.".format(name, write_number(margin), write_number(overlap)),
            "Take a larger paper, or less of both.",
            code="paper",
        )


def grid_over(box: Box, page: Tuple[float, float], margin: float, overlap: float) -> Grid:
    """The fewest pages that cover a box (mm), from its upper left corner."""
    size = (page[0] - 2 * margin, page[1] - 2 * margin)
    columns = count(box[2] - box[0], size[0], overlap)
    rows = count(box[3] - box[1], size[1], overlap)
    if columns * rows > MOST_CELLS:
        raise too_many(columns * rows)
    return Grid(page, margin, overlap, box[0], box[1], columns, rows)


def too_many(pages: int) -> InputError:
    """The error for more pages than anybody prints."""
    return InputError(
        "That would be {} pages.".format(pages),
        "Take a larger paper or a roll, or pick fewer pieces; and see whether the drawing's scale is right.",
        code="paper",
    )


class Ink(NamedTuple):
    """All lines of a drawing as chords: ``(n, 2)`` starts, stops, and ``(n,)`` half widths (mm)."""

    starts: np.ndarray
    stops: np.ndarray
    half: np.ndarray

    @property
    def box(self) -> Box:
        """The smallest box round all ink (mm); ``ValueError`` where there is none."""
        half = self.half[:, None]
        low = (np.minimum(self.starts, self.stops) - half).min(axis=0)
        high = (np.maximum(self.starts, self.stops) + half).max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def ink_of(drawn: Drawn) -> Ink:
    """The ink of a drawing; words count as the room they take."""
    found: List[np.ndarray] = []
    half: List[float] = []
    shapes = [(stroke.path, stroke.width / 2) for stroke in drawn.strokes]
    shapes += [(fill.path, 0.0) for fill in drawn.fills]
    for path, width in shapes:
        spots = flatten(path, CHORD)
        if path.closed:
            spots = np.vstack([spots, spots[:1]])
        if len(spots) > 1:
            found.append(np.stack([spots[:-1], spots[1:]], axis=1))
            half += [width] * (len(spots) - 1)
    for words in drawn.words:
        room = room_of(words)
        found.append(np.stack([room[[0, 1, 2, 3, 0, 1]], room[[1, 2, 3, 0, 2, 3]]], axis=1))
        half += [0.0] * 6
    chords = np.concatenate(found) if found else np.zeros((0, 2, 2))
    return Ink(chords[:, 0], chords[:, 1], np.array(half, np.float64))


def inked(ink: Ink, grid: Grid) -> Tuple[Cell, ...]:
    """The cells to which some ink belongs, row by row."""
    return tuple((row, column) for row, column in np.argwhere(_found(ink, grid, _spans(ink, grid))).tolist())


# First and last cell of each chord, ``(n,)``.
_Spans = Tuple[np.ndarray, np.ndarray]


def _spans(ink: Ink, grid: Grid) -> Tuple[_Spans, _Spans]:
    """From which column to which, and from which row to which, each chord reaches with its width."""
    return _span(ink, 0, grid), _span(ink, 1, grid)


def _span(ink: Ink, axis: int, grid: Grid) -> _Spans:
    # Cell k has the strip from corner + k step + overlap (the first from corner) to its window's end.
    corner = (grid.left, grid.top)[axis] + grid.overlap
    last = (grid.columns, grid.rows)[axis] - 1
    one, other = ink.starts[:, axis], ink.stops[:, axis]
    low, high = np.minimum(one, other) - ink.half, np.maximum(one, other) + ink.half
    first, behind = (np.floor((side - corner) / grid.step[axis]) for side in (low, high))
    return np.clip(first, 0, last).astype(int), np.clip(behind, 0, last).astype(int)


def _found(ink: Ink, grid: Grid, spans: Tuple[_Spans, _Spans]) -> np.ndarray:
    """Which cells ``(rows, columns)`` have ink."""
    (left, right), (top, low) = spans
    across, down = left == right, top == low
    found = _runs_of(top[down], left[down], right[down], grid.rows, grid.columns)
    upright = across & ~down
    found |= _runs_of(left[upright], top[upright], low[upright], grid.columns, grid.rows).T
    for number in np.flatnonzero(~(across | down)).tolist():
        rows, columns = range(top[number], low[number] + 1), range(left[number], right[number] + 1)
        around = [(row, column) for row in rows for column in columns if not found[row, column]]
        for cell, hit in zip(around, _meets(ink, number, [own_box(grid, cell) for cell in around])):
            if hit:
                found[cell] = True
    return found


def _runs_of(line: np.ndarray, first: np.ndarray, last: np.ndarray, lines: int, size: int) -> np.ndarray:
    """``(lines, size)``: all places from ``first`` to ``last`` of each line."""
    wide, shape = size + 1, lines * (size + 1)
    counted = np.bincount(line * wide + first, minlength=shape)
    counted -= np.bincount(line * wide + last + 1, minlength=shape)
    return np.cumsum(counted.reshape(lines, wide), axis=1)[:, :-1] > 0


def own_box(grid: Grid, cell: Cell) -> Box:
    """The part of the drawing that belongs to a cell (mm)."""
    left, top = grid.corner(cell)
    return (
        left + (grid.overlap if cell[1] else 0.0),
        top + (grid.overlap if cell[0] else 0.0),
        left + grid.size[0],
        top + grid.size[1],
    )


def _meets(ink: Ink, number: int, boxes: Sequence[Box]) -> np.ndarray:
    """Which boxes a chord with its width runs through (Liang and Barsky, 1984)."""
    if not boxes:
        return np.zeros(0, bool)
    half = ink.half[number]
    low = np.array(boxes)[:, :2] - half
    high = np.array(boxes)[:, 2:] + half
    start, way = ink.starts[number], ink.stops[number] - ink.starts[number]
    enters, leaves = np.zeros(len(boxes)), np.ones(len(boxes))
    for axis in (0, 1):
        if abs(way[axis]) < 1e-12:
            beside = (start[axis] < low[:, axis]) | (start[axis] > high[:, axis])
            leaves = np.where(beside, -1.0, leaves)
            continue
        one, other = (low[:, axis] - start[axis]) / way[axis], (high[:, axis] - start[axis]) / way[axis]
        enters = np.maximum(enters, np.minimum(one, other))
        leaves = np.minimum(leaves, np.maximum(one, other))
    return enters <= leaves


def fewest(ink: Ink, box: Box, page: Tuple[float, float], margin: float, overlap: float) -> Grid:
    """The grid over a box, shifted within what its last pages leave free so that the fewest have ink.

    Of places as good as each other the one nearest to the middle, so that no line lies on a frame.
    """
    plain = grid_over(box, page, margin, overlap)
    spare = [
        max(plain.step[axis] * number + overlap - (box[axis + 2] - box[axis]), 0.0)
        for axis, number in ((0, plain.columns), (1, plain.rows))
    ]
    middle = plain._replace(left=plain.left - spare[0] / 2, top=plain.top - spare[1] / 2)
    if not 1 < plain.columns * plain.rows <= _SHIFTED:
        return middle
    shares = [share / (_SHIFTS - 1) for share in range(_SHIFTS)]
    across = [(plain.left - spare[0] * share, abs(share - 0.5)) for share in shares]
    down = [(plain.top - spare[1] * share, abs(share - 0.5)) for share in shares]
    columns = [_span(ink, 0, plain._replace(left=left)) for left, _ in across]
    rows = [_span(ink, 1, plain._replace(top=top)) for top, _ in down]
    tried = []
    for (left, aside), one in zip(across, columns):
        for (top, above), other in zip(down, rows):
            grid = plain._replace(left=left, top=top)
            tried.append((int(_found(ink, grid, (one, other)).sum()), aside + above, grid))
    return min(tried)[2]
