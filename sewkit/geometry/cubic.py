"""Cubics of one coordinate: where they turn and where they pass a value.

    heights = path.curves[:, :, 1]         # (n, 4): Bernstein coefficients of y
    row, t = solve(heights, 120.0)         # every t at which a curve has y = 120

Each cubic is cut where it turns; between two turns it passes a value at most once, and
a Newton step that may not leave its bracket finds the place to rounding.
"""

from typing import Tuple

import numpy as np

from sewkit.geometry.tolerance import EXACT

# Newton doubles the right digits each time; bisection, its fallback, adds one bit.
_STEPS = 70
# A step shorter than this is rounding: some units in the last place of a parameter.
_STILL = 1e-15


def value(cubics: np.ndarray, t: np.ndarray) -> np.ndarray:
    """Values ``(n,)`` of cubics ``(n, 4)`` at parameters ``(n,)``."""
    s = 1.0 - t
    c0, c1, c2, c3 = cubics.T
    return s * s * s * c0 + 3 * s * s * t * c1 + 3 * s * t * t * c2 + t * t * t * c3


def slope(cubics: np.ndarray, t: np.ndarray) -> np.ndarray:
    """Derivatives ``(n,)`` of cubics ``(n, 4)`` by the parameter."""
    s = 1.0 - t
    c0, c1, c2, c3 = cubics.T
    return 3 * s * s * (c1 - c0) + 6 * s * t * (c2 - c1) + 3 * t * t * (c3 - c2)


def turning(cubics: np.ndarray) -> np.ndarray:
    """Parameters at which cubics ``(n, 4)`` stop rising or falling.

    The answer is ``(n, 4)``: 0, the turns in order, 1.  A turn that does not exist, or
    lies outside, is put on 0 or 1, so that its interval is empty.
    """
    c0, c1, c2, c3 = _of_size_one(np.asarray(cubics, np.float64)).T
    a, b, c = c3 - 3 * c2 + 3 * c1 - c0, 2 * (c2 - 2 * c1 + c0), c1 - c0
    root = np.sqrt(np.maximum(b * b - 4 * a * c, 0.0))
    half = -0.5 * (b + np.where(b < 0, -root, root))
    # A leading coefficient that is none, or next to none, puts that turn infinitely far outside.
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        turns = np.stack([half / a, c / half], axis=-1)
    turns = np.where(np.isfinite(turns), np.clip(turns, 0.0, 1.0), 1.0)
    flat = np.zeros((len(turns), 1))
    return np.hstack([flat, np.sort(turns, axis=-1), flat + 1.0])


def _of_size_one(cubics: np.ndarray) -> np.ndarray:
    """The cubics ``(n, 4)`` times a power of two each, the largest coefficient between 1/2 and 1.

    Where they turn stays the same to the last bit, and no square of them can overflow.
    """
    _, exponents = np.frexp(np.abs(cubics).max(axis=1))
    return np.ldexp(cubics, -exponents[:, None])


def solve_between(cubics: np.ndarray, low: np.ndarray, high: np.ndarray, target: np.ndarray) -> np.ndarray:
    """The parameter in each bracket at which a cubic has the target value.

    Between ``low`` and ``high`` a cubic must run one way and pass its target.
    """
    low, high = np.array(low, np.float64), np.array(high, np.float64)
    rising = value(cubics, high) >= value(cubics, low)
    t = 0.5 * (low + high)
    for _ in range(_STEPS):
        miss = value(cubics, t) - target
        beyond = (miss > 0) == rising
        high, low = np.where(beyond, t, high), np.where(beyond, low, t)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            better = t - miss / slope(cubics, t)
        inside = (better >= low) & (better <= high)
        better = np.where(inside, better, 0.5 * (low + high))
        better = np.where(miss == 0, t, better)
        if (np.abs(better - t) <= _STILL).all():
            return better
        t = better
    return t


def solve(cubics: np.ndarray, target: float = 0.0, tolerance: float = EXACT) -> Tuple[np.ndarray, np.ndarray]:
    """Every place at which cubics ``(n, 4)`` have a value.

    Returns the row numbers and the parameters, in order.  A touch within ``tolerance``
    counts; a cubic that keeps the value throughout gives its two ends.
    """
    cubics = np.asarray(cubics, np.float64) - target
    hopeful = (cubics.min(axis=1) <= tolerance) & (cubics.max(axis=1) >= -tolerance)
    rows = np.flatnonzero(hopeful)
    chosen = cubics[rows]
    cuts = turning(chosen)
    heights = np.stack([value(chosen, cuts[:, k]) for k in range(4)], axis=1)
    touched, where = np.nonzero(np.abs(heights) <= tolerance)
    crossed, part = np.nonzero(np.sign(heights[:, :-1]) * np.sign(heights[:, 1:]) < 0)
    zero = np.zeros(len(crossed))
    found = solve_between(chosen[crossed], cuts[crossed, part], cuts[crossed, part + 1], zero)
    number = np.concatenate([rows[touched], rows[crossed]])
    t = np.concatenate([cuts[touched, where], found])
    order = np.lexsort((t, number))
    return number[order], t[order]
