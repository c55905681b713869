"""Where on a picture there is still room: for names, numbers and circles beside the lines.

A raster of small cells (``CELL`` mm on the paper).  Three kinds of things take room: the
pattern's lines, faint lines that a word may cover where nothing else is free, and words.
"""

from typing import NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten

Spot = Tuple[float, float]
Box = Tuple[float, float, float, float]  # left, top, right, bottom (mm on the paper)

CELL = 0.5

# A line is as wide as a cell at most; it is looked at in steps that miss none.
_STEP = 0.4

# A drawn curve strays at most this from its chords (mm on the paper): less than a cell.
_STRAY = 0.1


class Room(NamedTuple):
    """What is taken on an area of paper; rasters ``(rows, columns)`` of booleans.

    ``left``, ``top``: the paper's place (mm) of the first cell's corner.
    """

    left: float
    top: float
    lines: np.ndarray
    faint: np.ndarray
    words: np.ndarray

    def with_lines(self, spots: np.ndarray) -> "Room":
        """With the cells taken that ``spots`` (n, 2) of the pattern's lines lie in."""
        return self._replace(lines=_marked(self, self.lines, spots))

    def with_faint(self, spots: np.ndarray) -> "Room":
        """With the cells taken that ``spots`` (n, 2) of faint lines lie in."""
        return self._replace(faint=_marked(self, self.faint, spots))

    def with_words(self, box: Box) -> "Room":
        """With a box of words taken."""
        words = self.words.copy()
        first, last = _cells(self, np.array([box[:2], box[2:]]))
        rows, columns = words.shape
        low, high = np.maximum(first, 0), np.minimum(last + 1, [columns, rows])
        words[low[1] : high[1], low[0] : high[0]] = True
        return self._replace(words=words)


def empty_room(box: Box) -> Room:
    """An area of paper on which nothing is drawn yet."""
    shape = (
        max(int(np.ceil((box[3] - box[1]) / CELL)), 1),
        max(int(np.ceil((box[2] - box[0]) / CELL)), 1),
    )
    nothing = np.zeros(shape, dtype=bool)
    return Room(box[0], box[1], nothing, nothing, nothing)


def spots_along(path: Path) -> np.ndarray:
    """Points ``(n, 2)`` all along a path, less than a cell apart."""
    ends = flatten(path, _STRAY)
    if path.closed and len(ends):
        ends = np.vstack([ends, ends[:1]])
    return spots_between(ends)


def spots_around(spot: Spot) -> np.ndarray:
    """The nine points of a dot as wide as three cells."""
    steps = np.array([-CELL, 0.0, CELL])
    return np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2) + spot


def spots_between(ends: np.ndarray) -> np.ndarray:
    """Points all along the straight lines through ``ends`` (n, 2), less than a cell apart."""
    if len(ends) < 2:
        return ends
    ways = np.diff(ends, axis=0)
    steps = np.maximum(np.ceil(np.hypot(ways[:, 0], ways[:, 1]) / _STEP).astype(int), 1)
    owner = np.repeat(np.arange(len(ways)), steps)
    share = (np.arange(len(owner)) - np.repeat(np.cumsum(steps) - steps, steps)) / steps[owner]
    return np.vstack([ends[owner] + share[:, None] * ways[owner], ends[-1:]])


def free_middles(room: Room, width: float, height: float, over_faint: bool = False) -> np.ndarray:
    """Middles ``(n, 2)`` of all boxes of that size in which nothing is drawn.

    ``over_faint``: they may cover faint lines.
    """
    taken = room.lines | room.words
    if not over_faint:
        taken = taken | room.faint
    rows, columns = taken.shape
    high, wide = int(np.ceil(height / CELL)) + 1, int(np.ceil(width / CELL)) + 1
    if high > rows or wide > columns:
        return np.zeros((0, 2))
    sums = np.zeros((rows + 1, columns + 1), dtype=np.int64)
    sums[1:, 1:] = taken.cumsum(axis=0).cumsum(axis=1)
    within = sums[high:, wide:] - sums[:-high, wide:] - sums[high:, :-wide] + sums[:-high, :-wide]
    row, column = np.nonzero(within == 0)
    return np.stack([room.left + (column + wide / 2.0) * CELL, room.top + (row + high / 2.0) * CELL], axis=1)


def nearest_first(middles: np.ndarray, to: Spot, most: int, best: float = 0.0) -> np.ndarray:
    """Those of ``middles`` whose distance from a spot is nearest to ``best`` (mm), at most ``most``."""
    away = np.abs(np.hypot(middles[:, 0] - to[0], middles[:, 1] - to[1]) - best)
    return middles[np.argsort(np.round(away, 6), kind="stable")[:most]]


def is_clear(room: Room, start: Spot, end: Spot) -> bool:
    """Whether a straight line runs over no words."""
    row_column = _inside(room, spots_between(np.array([start, end])))
    return not room.words[row_column].any()


def first_clear(room: Room, middles: np.ndarray, end: Spot) -> Optional[Spot]:
    """The first of ``middles`` from which a line to ``end`` runs over no words."""
    for x, y in middles:
        if is_clear(room, (float(x), float(y)), end):
            return float(x), float(y)
    return None


def _cells(room: Room, spots: np.ndarray) -> np.ndarray:
    """Column and row of each spot; outside the raster where it lies outside."""
    return np.floor((spots - [room.left, room.top]) / CELL).astype(int)


def _inside(room: Room, spots: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
    rows, columns = room.lines.shape
    cells = _cells(room, spots)
    kept = cells[((cells >= 0) & (cells < [columns, rows])).all(axis=1)]
    return kept[:, 1], kept[:, 0]


def _marked(room: Room, raster: np.ndarray, spots: np.ndarray) -> np.ndarray:
    if not len(spots):
        return raster
    marked = raster.copy()
    marked[_inside(room, spots)] = True
    return marked
