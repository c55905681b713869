"""The nearest place on a path.

The distance to a curve is smallest at an end or where the way to it stands square on the
curve, ``(P(t) - target) . P'(t) = 0``: a polynomial of degree five, whose roots are the
eigenvalues of its companion matrix.  All of them are tried, so nothing is missed.
"""

from typing import NamedTuple

import numpy as np

from sewkit.geometry.path import Path, Place, derivative, point, second_derivative

# Starting parameters besides the roots: they save the day where roots coincide and
# their eigenvalues are blurred (handles of no length).
_GRID = np.linspace(0.0, 1.0, 9)
# Leading coefficients below this share count as this share: a straight line has none.
_LEADING = 1e-13
# Distances that differ by less (mm) are equal: rounding on a sheet of ten metres.
_TIE = 1e-11


class Nearest(NamedTuple):
    """A distance in mm, and the place and point ``(2,)`` where it is reached."""

    distance: float
    place: Place
    point: np.ndarray


def nearest(path: Path, target: "np.typing.ArrayLike") -> Nearest:
    """The place on a path nearest to a point ``(2,)``, exact to 1e-9 mm.

    Of several equally near places the first along the path is taken.
    """
    if not len(path):
        raise ValueError("a path without curves has no nearest place")
    target = np.asarray(target, np.float64).reshape(2)
    numbers = _worth_trying(path.curves, target)
    curves = path.curves[numbers]
    t = _polish(curves, _starts(curves, target), target)
    away = point(curves, t) - target
    reached = np.hypot(away[..., 0], away[..., 1])
    row = int((reached.min(axis=1) <= reached.min() + _TIE).argmax())
    column = int(reached[row].argmin())
    spot = point(curves[row][None], t[row, column])[0]
    distance = float(np.hypot(*(spot - target)))
    return Nearest(distance, Place(int(numbers[row]), float(t[row, column])), spot)


def _worth_trying(curves: np.ndarray, target: np.ndarray) -> np.ndarray:
    """Numbers of the curves whose box is nearer than the nearest known point."""
    middle = point(curves, 0.5)
    known = np.concatenate([curves[:, 0], curves[:, 3], middle]) - target
    limit = np.sqrt((known * known).sum(axis=1).min())
    low, high = curves.min(axis=1), curves.max(axis=1)
    outside = np.maximum(np.maximum(low - target, target - high), 0.0)
    reach = np.sqrt((outside * outside).sum(axis=1))
    return np.flatnonzero(reach <= limit * (1.0 + 1e-12) + 1e-12)


def _starts(curves: np.ndarray, target: np.ndarray) -> np.ndarray:
    """Parameters ``(n, 14)`` among which the nearest one is, but for rounding."""
    a0 = curves[:, 0] - target
    a1 = 3.0 * (curves[:, 1] - curves[:, 0])
    a2 = 3.0 * (curves[:, 2] - 2.0 * curves[:, 1] + curves[:, 0])
    a3 = curves[:, 3] - curves[:, 0] + 3.0 * (curves[:, 1] - curves[:, 2])

    def dot(first: np.ndarray, second: np.ndarray) -> np.ndarray:
        return (first * second).sum(axis=1)

    square_on = np.stack(
        [
            dot(a0, a1),
            dot(a1, a1) + 2.0 * dot(a0, a2),
            3.0 * (dot(a1, a2) + dot(a0, a3)),
            4.0 * dot(a1, a3) + 2.0 * dot(a2, a2),
            5.0 * dot(a2, a3),
            3.0 * dot(a3, a3),
        ],
        axis=1,
    )
    grid = np.broadcast_to(_GRID, (len(curves), len(_GRID)))
    return np.hstack([grid, np.clip(_roots(square_on), 0.0, 1.0)])


def _roots(coefficients: np.ndarray) -> np.ndarray:
    """Real parts of the roots ``(n, 5)`` of polynomials ``(n, 6)``, lowest power first."""
    size = np.maximum(np.abs(coefficients).max(axis=1), 1e-300)
    leading = np.maximum(coefficients[:, 5], _LEADING * size)
    companion = np.zeros((len(coefficients), 5, 5))
    companion[:, [1, 2, 3, 4], [0, 1, 2, 3]] = 1.0
    companion[:, :, 4] = -coefficients[:, :5] / leading[:, None]
    return np.linalg.eigvals(companion).real


def _polish(curves: np.ndarray, t: np.ndarray, target: np.ndarray) -> np.ndarray:
    """Newton steps; a step is taken only where it brings the point nearer."""

    def away_at(t: np.ndarray) -> np.ndarray:
        return point(curves, t) - target

    away = away_at(t)
    reached = (away * away).sum(axis=-1)
    for _ in range(8):
        along = derivative(curves, t)
        slope = (away * along).sum(axis=-1)
        bend = (along * along).sum(axis=-1) + (away * second_derivative(curves, t)).sum(axis=-1)
        step = slope / np.where(bend > 0, bend, np.inf)
        better = np.clip(t - step, 0.0, 1.0)
        better_away = away_at(better)
        now = (better_away * better_away).sum(axis=-1)
        gain = now <= reached
        # Where every gain leaves its parameter as it is (at an end, say), so will all further steps.
        if (np.abs(np.where(gain, step, 0.0)) < 1e-15).all() or not (gain & (better != t)).any():
            t = np.where(gain, better, t)
            break
        t, reached = np.where(gain, better, t), np.where(gain, now, reached)
        away = np.where(gain[..., None], better_away, away)
    return t
