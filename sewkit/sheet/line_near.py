"""Which points lie near each other, for very many points at once.

Points are sorted into square cells as wide as the distance asked for, so that only a
cell and its neighbours need be looked at: the time grows with the number of points and
of answers, never with the square.
"""

from typing import Tuple

import numpy as np

# The cell itself and half of its eight neighbours: each pair of cells is met once.
_NEIGHBOURS = ((0, 0), (1, 0), (-1, 1), (0, 1), (1, 1))

Pairs = Tuple[np.ndarray, np.ndarray]


def near_pairs(points: np.ndarray, kinds: np.ndarray, radius: float) -> Pairs:
    """All pairs of points ``(n, 2)`` of one kind that are at most ``radius`` mm apart.

    ``kinds`` ``(n,)`` are whole numbers; points of different kinds never pair.  The answer
    is two arrays of indexes, the lower one of each pair first, in rising order.
    """
    nothing = np.zeros(0, np.int64)
    if len(points) < 2:
        return nothing, nothing
    cells = np.floor((points - points.min(axis=0)) / radius).astype(np.int64) + 1
    wide = np.int64(cells[:, 0].max() + 2)
    high = np.int64(cells[:, 1].max() + 2)
    keys = (np.asarray(kinds, np.int64) * high + cells[:, 1]) * wide + cells[:, 0]
    order = np.argsort(keys, kind="stable")
    ordered = keys[order]
    firsts, seconds = [], []
    for right, down in _NEIGHBOURS:
        wanted = ordered + down * wide + right
        start = np.searchsorted(ordered, wanted, side="left")
        stop = np.searchsorted(ordered, wanted, side="right")
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
