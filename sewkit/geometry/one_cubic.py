"""Two parts of one curve with a stretch missing between them, as that curve again.

Whoever cuts a stretch out of an edge, for the mouth of a dart, can so put it back exactly.
A cubic is known from any part of it; whether the other part lies on it is then seen.
"""

from typing import Optional

import numpy as np

from sewkit.geometry.path import derivative, is_line, point
from sewkit.geometry.rejoin import ONE_CURVE

# A part is drawn on to at most so many times its parameter: beyond, rounding would be blown up.
_DRAWN_ON = 6.0

# Newton's method finds a parameter in a few steps, or there is none.
_STEPS = 30


def one_cubic(first: np.ndarray, second: np.ndarray) -> Optional[np.ndarray]:
    """The curve ``(4, 2)`` of which both are parts, the first its beginning, the second its end.

    None where they are not, to within ``ONE_CURVE`` at every control point; and for straight
    ones, which show no cubic.
    """
    if is_line(first[None])[0] or is_line(second[None])[0]:
        return None
    start = _parameter(first, second[0], 1.0)
    stop = None if start is None else _parameter(first, second[3], start)
    if start is None or stop is None or not 1.0 - 1e-9 <= start < stop <= _DRAWN_ON:
        return None
    if np.abs(_between(first, start, stop) - second).max() > ONE_CURVE:
        return None
    whole = _between(first, 0.0, stop)
    whole[0], whole[3] = first[0], second[3]
    return whole


def _parameter(curve: np.ndarray, spot: np.ndarray, guess: float) -> Optional[float]:
    """Where a curve drawn on beyond its end passes a spot, from a guess on; None where it does not."""
    t = guess
    speed = float(np.hypot(*derivative(curve[None], t)[0]))
    t += float(np.hypot(*(spot - point(curve[None], t)[0]))) / max(speed, 1e-9)
    for _ in range(_STEPS):
        away, along = spot - point(curve[None], t)[0], derivative(curve[None], t)[0]
        step = float(away @ along) / max(float(along @ along), 1e-12)
        t += min(max(step, -0.5), 0.5)
        if abs(step) < 1e-14 or not abs(t) < 2.0 * _DRAWN_ON:
            break
    near = np.hypot(*(spot - point(curve[None], t)[0])) <= ONE_CURVE
    return t if near else None


def _between(curve: np.ndarray, start: float, stop: float) -> np.ndarray:
    """The part of a cubic between two parameters, which may lie beyond its ends (its blossom)."""
    made = []
    for ups in range(4):
        points = np.array(curve)
        for t in [start] * (3 - ups) + [stop] * ups:
            points = points[:-1] + t * (points[1:] - points[:-1])
        made.append(points[0])
    return np.array(made)
