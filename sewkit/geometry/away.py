"""How far many points lie from a path and on which side, and whether it may cross itself, on short chords.

Quick and close: within the tolerance to which the path is flattened.  ``nearest`` and
``self_crossings`` are exact, for the few places where that matters.
"""

from typing import Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.geometry.tolerance import FIT

# So many distances are worked out at once; more would only fill the memory.
_AT_ONCE = 200_000


def depths(path: Path, points: "np.typing.ArrayLike", tolerance: float = FIT) -> np.ndarray:
    """Distances ``(m,)`` in mm of points from a closed path, below nothing for those it goes around."""
    points = np.asarray(points, np.float64).reshape(-1, 2)
    starts, ends = _segments(path, tolerance)
    away = _distances(points, starts, ends)
    below_start, below_end = starts[:, 1] <= points[:, 1:], ends[:, 1] <= points[:, 1:]
    rows, columns = np.nonzero(below_start != below_end)  # the segments that cross the height of a point
    on, to = starts[columns], ends[columns]
    share = (points[rows, 1] - on[:, 1]) / (to[:, 1] - on[:, 1])
    right = on[:, 0] + share * (to[:, 0] - on[:, 0]) > points[rows, 0]
    sense = np.where(below_start[rows, columns], 1, -1) * right
    around = np.bincount(rows, sense, len(points)) != 0
    return np.where(around, -away, away)


def distances(path: Path, points: "np.typing.ArrayLike", tolerance: float = FIT) -> np.ndarray:
    """Distances ``(m,)`` in mm of points ``(m, 2)`` from a path, within ``tolerance``."""
    points = np.asarray(points, np.float64).reshape(-1, 2)
    return _distances(points, *_segments(path, tolerance))


def _distances(points: np.ndarray, starts: np.ndarray, ends: np.ndarray) -> np.ndarray:
    if not len(starts):
        raise ValueError("a path without curves is nowhere")
    step = max(1, _AT_ONCE // len(starts))
    parts = [_from_segments(points[i : i + step], starts, ends) for i in range(0, len(points), step)]
    return np.concatenate(parts) if parts else np.zeros(0)


def _from_segments(points: np.ndarray, starts: np.ndarray, ends: np.ndarray) -> np.ndarray:
    along = ends - starts
    size = (along * along).sum(axis=1)
    away = points[:, None] - starts
    share = (away * along).sum(axis=2) / np.where(size > 0, size, 1.0)
    foot = away - np.clip(share, 0.0, 1.0)[..., None] * along
    return np.sqrt((foot * foot).sum(axis=2).min(axis=1))


def may_cross_itself(path: Path, tolerance: float = 0.05) -> bool:
    """False only where no two parts of a path that are no neighbours come near each other.

    Near means twice the ``tolerance`` (mm): then the curves behind the straight pieces cannot meet.
    """
    starts, ends = _segments(path, tolerance)
    low, high = np.minimum(starts, ends) - tolerance, np.maximum(starts, ends) + tolerance
    order = np.arange(len(starts))
    rows, columns = np.nonzero(
        ((low[:, None] <= high) & (high[:, None] >= low)).all(axis=2) & (order[:, None] + 1 < order)
    )
    if path.closed:
        joined = (rows == 0) & (columns == len(starts) - 1)
        rows, columns = rows[~joined], columns[~joined]
    return bool(_meet(starts, ends, rows, columns, 2.0 * tolerance).any())


def _meet(starts: np.ndarray, ends: np.ndarray, i: np.ndarray, j: np.ndarray, near: float) -> np.ndarray:
    """Which pairs of segments cross or come nearer than ``near``."""
    if not len(i):
        return np.zeros(0, bool)
    a, b, c, d = starts[i], ends[i], starts[j], ends[j]
    across = (_side(a, b, c) * _side(a, b, d) <= 0) & (_side(c, d, a) * _side(c, d, b) <= 0)
    gap = np.minimum.reduce([_gap(c, a, b), _gap(d, a, b), _gap(a, c, d), _gap(b, c, d)])
    return across | (gap <= near)


def _side(a: np.ndarray, b: np.ndarray, p: np.ndarray) -> np.ndarray:
    return (b[:, 0] - a[:, 0]) * (p[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (p[:, 0] - a[:, 0])


def _gap(points: np.ndarray, starts: np.ndarray, ends: np.ndarray) -> np.ndarray:
    along = ends - starts
    size = (along * along).sum(axis=1)
    share = ((points - starts) * along).sum(axis=1) / np.where(size > 0, size, 1.0)
    foot = points - starts - np.clip(share, 0.0, 1.0)[:, None] * along
    return np.hypot(foot[:, 0], foot[:, 1])


def _segments(path: Path, tolerance: float) -> Tuple[np.ndarray, np.ndarray]:
    points = flatten(path, tolerance)
    if path.closed:
        return points, np.roll(points, -1, axis=0)
    return points[:-1], points[1:]
