"""Where two parallel curves meet, exactly: Newton's method from a guess, else a search."""

from typing import Optional, Tuple

import numpy as np

from sewkit.geometry.parallel import Edge, place
from sewkit.geometry.tolerance import EXACT, PARALLEL, SAME_POINT

# Newton doubles the digits with every step; a guess that needs more steps than this
# is no guess, and the search takes over.
STEPS = 12

# Longest step, in a curve's parameter, from a guess made on its chords.
CLOSE = 0.1

# Points per curve in the search.
COARSE = 24

Meeting = Optional[Tuple[float, float]]


def cross(a: complex, b: complex) -> float:
    """The cross product of two plane vectors."""
    return a.real * b.imag - a.imag * b.real


def dot(a: complex, b: complex) -> float:
    """The scalar product of two plane vectors."""
    return a.real * b.real + a.imag * b.imag


def refine(a: Edge, b: Edge, u: float, v: float, within: float = 0.5) -> Meeting:
    """Parameters at which two parallel curves cross, from a guess; ``None`` if it fails.

    No step is longer than ``within`` of a curve's parameter.  A crossing on a folded
    stretch does not count, nor does a curve's meeting itself at the same parameter.
    """
    # Steps double the digits: after one below EXACT what is left is rounding.  At flat
    # crossings rounding alone is a thousand times coarser than on the sheet.
    for _ in range(STEPS):
        p, q = place(a, u), place(b, v)
        gap = q.point - p.point
        det = cross(p.slope, q.slope)
        if abs(det) <= PARALLEL * abs(p.slope) * abs(q.slope):
            return None
        du, dv = cross(gap, q.slope) / det, cross(gap, p.slope) / det
        if not a.straight:
            du = max(-within, min(within, du))
        if not b.straight:
            dv = max(-within, min(within, dv))
        u, v = u + du, v + dv
        if abs(du) * a.length <= EXACT and abs(dv) * b.length <= EXACT:
            same = a is b and abs(u - v) * a.length <= SAME_POINT
            return None if same or p.fold <= 0 or q.fold <= 0 else (u, v)
        if a.straight and b.straight:
            return u, v
    return None


def meet(a: Edge, b: Edge, u: float, v: float) -> Meeting:
    """Parameters at which two parallel curves, prolonged if need be, cross near a guess."""
    found = refine(a, b, u, v)
    if found is not None or (a.straight and b.straight):
        return found
    guess = _search(a, b, u, v)
    return None if guess is None else refine(a, b, guess[0], guess[1], CLOSE)


def _search(a: Edge, b: Edge, u: float, v: float) -> Meeting:
    """The crossing of the two chains of chords that is nearest to the guess."""
    one, two = _spread(a, u), _spread(b, v)
    p = np.array([place(a, t).point for t in one])
    q = np.array([place(b, t).point for t in two])
    dp, dq = np.diff(p)[:, None], np.diff(q)[None, :]
    gap = q[None, :-1] - p[:-1, None]
    det = (dp.conj() * dq).imag
    det = np.where(det == 0, np.inf, det)
    s, t = (gap.conj() * dq).imag / det, (gap.conj() * dp).imag / det
    rows, columns = np.nonzero((s >= 0) & (s <= 1) & (t >= 0) & (t <= 1) & np.isfinite(det))
    if not len(rows):
        return None
    us = one[rows] + s[rows, columns] * np.diff(one)[rows]
    vs = two[columns] + t[rows, columns] * np.diff(two)[columns]
    best = np.argmin(np.abs(us - u) * a.length + np.abs(vs - v) * b.length)
    return float(us[best]), float(vs[best])


def _spread(edge: Edge, guess: float) -> np.ndarray:
    """Parameters over the whole curve and as far beyond it as twice the guess."""
    low, high = min(0.0, 2 * guess), max(1.0, 2 * guess - 1)
    inner = np.linspace(0.0, 1.0, COARSE)
    return np.concatenate([[low] if low < 0 else [], inner, [high] if high > 1 else []])
