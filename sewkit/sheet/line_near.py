"""Which points lie near each other, for very many points at once.

Points are sorted into square cells as wide as the distance asked for, so that only a
cell and its neighbours need be looked at: the time grows with the number of points and
of answers, never with the square.
"""

from typing import Tuple

import numpy as np

# The cell itself and half of its eight neighbours: each pair of cells is met once.
_NEIGHBOURS = ((0, 0), (1, 0), (-1, 1), (0, 1), (1, 1))

# So many pairs at most are told.  Where there would be more, the densest cells are left out:
# a sheet of lines has a few hundred thousand, only a hatch or a filled area has more.
MOST_PAIRS = 4000000

Pairs = Tuple[np.ndarray, np.ndarray]


def near_pairs(points: np.ndarray, kinds: np.ndarray, radius: float) -> Pairs:
    """All pairs of points ``(n, 2)`` of one kind that are at most ``radius`` mm apart.

    ``kinds`` ``(n,)`` are whole numbers; points of different kinds never pair.  The answer
    is two arrays of indexes, the lower one of each pair first, in rising order.  Where they
    crowd beyond ``MOST_PAIRS``, those in the thickest of the crowd pair with none.
    """
    nothing = np.zeros(0, np.int64)
    if len(points) < 2:
        return nothing, nothing
    cells = np.floor((points - points.min(axis=0)) / radius).astype(np.int64) + 1
    wide = np.int64(cells[:, 0].max() + 2)
    high = np.int64(cells[:, 1].max() + 2)
    keys = (np.asarray(kinds, np.int64) * high + cells[:, 1]) * wide + cells[:, 0]
    order = _without_crowds(keys, wide)
    ordered = keys[order]
    firsts, seconds = [], []
    for right, down in _NEIGHBOURS:
        start, stop = _found_in(ordered, ordered + down * wide + right)
        if right == 0 and down == 0:
            start = np.arange(len(ordered)) + 1  # each pair of one cell once
        count = np.maximum(stop - start, 0)
        first = np.repeat(np.arange(len(ordered)), count)
        within = np.arange(len(first)) - np.repeat(np.cumsum(count) - count, count)
        firsts.append(order[first])
        seconds.append(order[np.repeat(start, count) + within])
    first, second = np.concatenate(firsts), np.concatenate(seconds)
    away = points[first] - points[second]
    close = np.hypot(away[:, 0], away[:, 1]) <= radius
    first, second = first[close], second[close]
    low, high_index = np.minimum(first, second), np.maximum(first, second)
    order = np.lexsort((high_index, low))
    return low[order], high_index[order]


def _found_in(ordered: np.ndarray, wanted: np.ndarray) -> Pairs:
    """From where to where each of some keys stands in a sorted list."""
    return np.searchsorted(ordered, wanted, side="left"), np.searchsorted(ordered, wanted, side="right")


def _without_crowds(keys: np.ndarray, wide: int) -> np.ndarray:
    """Points in the order of their cells' keys, without so many of the densest cells that few
    enough pairs are left."""
    order = np.argsort(keys, kind="stable")
    cells, which, held = np.unique(keys[order], return_inverse=True, return_counts=True)
    # Pairs that a cell may take part in: its points by all points in and around it.
    around = np.zeros(len(cells), np.int64)
    padded = np.concatenate([held, [0]])
    for down in (-1, 0, 1):
        for right in (-1, 0, 1):
            start, stop = _found_in(cells, cells + down * wide + right)
            around += padded[np.where(stop > start, start, len(cells))]
    pairs = held * around
    if int(pairs.sum()) // 2 <= MOST_PAIRS:
        return order
    thinnest = np.argsort(around, kind="stable")
    kept = np.zeros(len(cells), bool)
    kept[thinnest] = np.cumsum(pairs[thinnest]) <= MOST_PAIRS
    return order[kept[which]]
