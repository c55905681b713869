"""Area, inside and outside, the box around, and straight pieces for drawing.

All but ``flatten`` are exact on the curves themselves.
"""

from typing import Tuple

import numpy as np

from sewkit.geometry import cubic
from sewkit.geometry.path import Path, is_line, lines, point
from sewkit.geometry.tolerance import FIT

# Weights of the products x_i y_j in the area swept by a cubic, times 20: the integrals of
# B_i B_j' - B_j B_i' over 0..1, B the cubic Bernstein polynomials.
_AREA = np.array([[0.0, 6, 3, 1], [-6, 0, 3, 3], [-3, -3, 0, 6], [-1, -3, -6, 0]])


def signed_area(path: Path) -> float:
    """Area in mm2 by Green's theorem; positive where the path runs clockwise on the sheet.

    An open path is closed by its chord.  A figure of eight counts one loop against the
    other.
    """
    if not len(path):
        return 0.0
    # From the start point: keeps large sheet coordinates out of the products, and a
    # closing chord adds nothing.
    points = path.curves - path.start
    return float(np.sum((points[..., 0] @ _AREA) * points[..., 1])) / 20.0


def winding(path: Path, points: "np.typing.ArrayLike") -> np.ndarray:
    """How often the path runs clockwise around each point ``(m, 2)``: integers ``(m,)``.

    An open path is closed by its chord.  A point on the line itself may count as either
    side.  Crossings of the ray from each point to the right are counted (Shimrat,
    Algorithm 112, Communications of the ACM 5, 1962, extended to curves).
    """
    points = np.asarray(points, np.float64).reshape(-1, 2)
    curves = path.curves
    if not len(curves):
        return np.zeros(len(points), int)
    if not path.closed:
        curves = np.concatenate([curves, lines(path.end[None], path.start[None])])
    # Between its turns a curve crosses the ray's height at most once.
    cuts = cubic.turning(curves[..., 1])
    heights = np.stack([cubic.value(curves[..., 1], cuts[:, k]) for k in range(4)], axis=1)
    from_y, to_y = heights[:, :-1].reshape(-1), heights[:, 1:].reshape(-1)
    y = points[:, 1, None]
    # Half open: a height shared by two neighbours is counted once.
    down = ((from_y <= y) & (y < to_y)).astype(int)
    sense = down - ((to_y <= y) & (y < from_y))
    which, part = np.nonzero(sense)
    right = _is_right(curves[part // 3], cuts[part // 3], part % 3, points[which])
    return np.bincount(which, sense[which, part] * right, len(points)).astype(int)


def _is_right(curves: np.ndarray, cuts: np.ndarray, part: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Tell where part ``part`` of each curve passes to the right of its point."""
    x = points[:, 0]
    right = curves[..., 0].min(axis=1) > x
    open_question = np.flatnonzero(~right & (curves[..., 0].max(axis=1) > x))
    curves, cuts, part = curves[open_question], cuts[open_question], part[open_question]
    row = np.arange(len(part))
    heights = points[open_question, 1]
    t = cubic.solve_between(curves[..., 1], cuts[row, part], cuts[row, part + 1], heights)
    right[open_question] = point(curves, t)[:, 0] > x[open_question]
    return right


def contains(path: Path, points: "np.typing.ArrayLike") -> np.ndarray:
    """Tell which points ``(m, 2)`` the path goes around: booleans ``(m,)``."""
    return winding(path, points) != 0


def bounds(path: Path) -> Tuple[float, float, float, float]:
    """The smallest upright box around the path: left, top, right, bottom (mm), exact."""
    if not len(path):
        raise ValueError("a path without curves has no size")
    sides = []
    for axis in (0, 1):
        values = path.curves[..., axis]
        cuts = cubic.turning(values)
        reached = [cubic.value(values, cuts[:, k]) for k in range(4)]
        sides.append((float(np.min(reached)), float(np.max(reached))))
    (left, right), (top, bottom) = sides
    return left, top, right, bottom


def flatten(path: Path, tolerance: float = FIT) -> np.ndarray:
    """Points ``(k, 2)`` whose joining lines stay within ``tolerance`` (mm) of the path.

    All nodes are among them.  The first point of a closed path is not repeated at the
    end.  Number of steps from the bound ``h^2 max|P''| / 8`` on a chord's deviation.
    """
    curves = path.curves
    if not len(curves):
        return np.zeros((0, 2))
    bend = np.diff(curves, n=2, axis=1)
    most = 6.0 * np.hypot(bend[..., 0], bend[..., 1]).max(axis=1)
    steps = np.ceil(np.sqrt(most / (8.0 * tolerance))).astype(int)
    steps = np.where(is_line(curves), 1, np.maximum(steps, 1))
    owner = np.repeat(np.arange(len(curves)), steps)
    first = np.repeat(np.cumsum(steps) - steps, steps)
    t = (np.arange(len(owner)) - first) / steps[owner]
    points = point(curves[owner], t)
    return points if path.closed else np.vstack([points, path.end])
