"""Where on a piece there is room for words: inside its outline, clear of every line on it.

The piece is laid on squared paper along the direction in which one reads.  A square that a
line runs through, or that lies next to such a one, is taken; a sum over the squares then
tells at once whether a block of any size is free.
"""

from typing import NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, is_line
from sewkit.geometry.polygon import flatten

# Squares are so wide (mm): words keep between one and two of them away from every line.
SQUARE = 3.0

# The paper reaches so far from the middle at most (mm): words as far off would not be looked for.
REACH = 800.0

# Lines are taken as chords that stay so near (mm); far below a square.
_CHORD = 0.5


class Room(NamedTuple):
    """A piece on squared paper.

    Args:
        corner: of the paper on the sheet (2,), mm.
        along: unit direction in which one reads (2,); lines follow each other clockwise of it.
        sums: (rows + 1, columns + 1) of taken squares above and to the left of each corner.
        middle: near which the words are to stand (2,), mm.
    """

    corner: np.ndarray
    along: np.ndarray
    sums: np.ndarray
    middle: np.ndarray

    def place(self, length: float, depth: float) -> Optional[np.ndarray]:
        """The corner (2,) at which a free block begins, the one nearest the middle; None where none is free.

        Args:
            length: of the block along the direction (mm).
            depth: of the block across it (mm).
        """
        wide, high = (int(np.ceil(size / SQUARE)) for size in (length, depth))
        rows, columns = (size - 1 for size in self.sums.shape)
        if not (0 < wide <= columns and 0 < high <= rows):
            return None
        sums = self.sums
        taken = sums[high:, wide:] - sums[:-high, wide:] - sums[high:, :-wide] + sums[:-high, :-wide]
        inside = np.array([high, wide]) * SQUARE / 2.0 - self._across_along(self.middle)
        down, right = ((np.arange(count) * SQUARE + half) ** 2 for count, half in zip(taken.shape, inside))
        away = np.where(taken == 0, np.round(down[:, None] + right[None, :], 6), np.inf)
        row, column = np.unravel_index(int(np.argmin(away)), away.shape)
        if not np.isfinite(away[row, column]):
            return None
        spare = np.array([high * SQUARE - depth, wide * SQUARE - length]) / 2.0
        across, along = np.array([row, column]) * SQUARE + spare
        return self.corner + along * self.along + across * across_of(self.along)

    def _across_along(self, spot: np.ndarray) -> np.ndarray:
        way = spot - self.corner
        return np.array([way @ across_of(self.along), way @ self.along])


def across_of(along: np.ndarray) -> np.ndarray:
    """The direction in which lines of words follow each other: a quarter turn clockwise on the sheet."""
    return np.array([-along[1], along[0]])


def room_on(
    outline: Path, others: Sequence[Path], along: np.ndarray, middle: np.ndarray, reach: float = REACH
) -> Room:
    """Lay a piece on squared paper.

    Args:
        outline: closed.
        others: lines that the words must not touch.
        along: unit direction (2,).
        middle: near which the words are to stand (2,), mm.
        reach: how far from there the paper goes at most (mm).
    """
    frame = np.array([along, across_of(along)]).T  # points @ frame: along, across
    edge = flatten(outline, _CHORD) @ frame
    low = np.maximum(edge.min(axis=0) - SQUARE, middle @ frame - reach)
    high = np.minimum(edge.max(axis=0) + SQUARE, middle @ frame + reach)
    size = np.maximum(np.ceil((high - low) / SQUARE), 1).astype(int)
    free = _inside((edge - low) / SQUARE, (int(size[1]), int(size[0])))
    near = _near(segments((outline, *others)) @ frame, low, high)
    _take(free, (dense(near, SQUARE / 2.0) - low) / SQUARE)
    sums = np.zeros((size[1] + 1, size[0] + 1), int)
    sums[1:, 1:] = np.cumsum(np.cumsum(~free, axis=0), axis=1)
    return Room(frame @ low, along, sums, middle)


def _near(pieces: np.ndarray, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """What of the straight pieces lies on the paper or a square beside it: a line may be a mile long."""
    start, way = pieces[:, 0], pieces[:, 1] - pieces[:, 0]
    safe = np.where(way == 0.0, 1e-12, way)
    shares = np.stack([(low - SQUARE - start) / safe, (high + SQUARE - start) / safe])
    first = np.clip(shares.min(axis=0).max(axis=1), 0.0, 1.0)
    last = np.clip(shares.max(axis=0).min(axis=1), 0.0, 1.0)
    meets = (shares.min(axis=0).max(axis=1) <= 1.0) & (shares.max(axis=0).min(axis=1) >= 0.0)
    kept = meets & (first <= last)
    ends = np.stack([start + first[:, None] * way, start + last[:, None] * way], axis=1)
    return ends[kept]


def _inside(corners: np.ndarray, shape: Tuple[int, int]) -> np.ndarray:
    """Which squares (rows, columns) have their middle inside a closed polygon, by crossings in each row."""
    start, stop = corners, np.roll(corners, -1, axis=0)
    heights = np.arange(shape[0])[:, None] + 0.5
    crosses = (start[:, 1] <= heights) != (stop[:, 1] <= heights)
    rows, edges = np.nonzero(crosses)
    share = (heights[rows, 0] - start[edges, 1]) / (stop[edges, 1] - start[edges, 1])
    at = start[edges, 0] + share * (stop[edges, 0] - start[edges, 0])
    columns = np.clip(np.ceil(at - 0.5), 0, shape[1]).astype(int)
    counted = np.zeros((shape[0], shape[1] + 1), int)
    np.add.at(counted, (rows, columns), 1)
    return np.cumsum(counted, axis=1)[:, :-1] % 2 == 1


def segments(paths: Sequence[Path]) -> np.ndarray:
    """Lines as straight pieces (n, 2, 2), mm; a mark may be many strokes in one path."""
    curves = [path.curves for path in paths if len(path)]
    if not curves:
        return np.zeros((0, 2, 2))
    joined = np.concatenate(curves)
    straight = is_line(joined)
    found = [joined[straight][:, [0, 3]]]
    for curve in joined[~straight]:
        corners = flatten(Path(curve[None]), _CHORD)
        found.append(np.stack([corners[:-1], corners[1:]], axis=1))
    return np.concatenate(found)


def dense(pieces: np.ndarray, step: float) -> np.ndarray:
    """Points (m, 2) of straight pieces (n, 2, 2), ends counted, nowhere more than ``step`` mm apart."""
    ways = pieces[:, 1] - pieces[:, 0]
    counts = np.maximum(np.ceil(np.hypot(ways[:, 0], ways[:, 1]) / step).astype(int), 1)
    owner = np.repeat(np.arange(len(ways)), counts)
    share = (np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[owner]
    return np.vstack([pieces[owner, 0] + share[:, None] * ways[owner], pieces[:, 1]])


def _take(free: np.ndarray, spots: np.ndarray) -> None:
    """Take the squares of some points, and those next to them."""
    columns, rows = np.floor(spots).astype(int).T
    for down in (-1, 0, 1):
        for right in (-1, 0, 1):
            row, column = rows + down, columns + right
            on = (row >= 0) & (row < free.shape[0]) & (column >= 0) & (column < free.shape[1])
            free[row[on], column[on]] = False
