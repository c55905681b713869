"""Fit few cubics to an exact smooth curve.

    fit_curve(evaluate, 0.0, 1.0, None, tolerance)     # (m, 4, 2), one curve
    fit_spans(evaluate, owner, start, stop, tolerance) # many curves in one call

Each cubic keeps the true end points and end directions; only its two handle lengths
are free.  They are found by least squares on the distance *along the normal* of the
true curve, and every sample's place on the cubic is corrected by a Newton step between
the rounds.  A span that stays outside the tolerance is split; since halving a span
divides the error of a cubic by about 2**6, the number of parts is known at once.

Sources: J. Hoschek, F.-J. Schneider, P. Wassum, "Optimal approximate conversion of
spline curves", 1989 (end tangents kept, parameters corrected along the normal; from
memory); R. Levien, "Parallel curves of cubic Beziers", 2022 (order six of the error).
"""

from typing import Callable, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.tolerance import FIT, FIT_MARGIN, SAME_POINT

# Samples per span.  The error of a cubic has at most six lobes; four samples a lobe
# see its height to about 3 %, which FIT_MARGIN covers.
SAMPLES = 24

# A turn between neighbouring samples (radians) above which a span is sampled again, and
# how often at most.  A smooth span of 24 samples that turns evenly stays far below.
COARSE_TURN = 0.3
EVENING = 4

# Rounds of least squares.  Two come within a per cent of the best fit on all but
# spans with very uneven speed; rows that no longer gain end the rounds early.
ROUNDS = 4

# Weight of the distance along the curve beside that across it.  Keeps the equations
# solvable on straight spans, and is too small to be seen elsewhere.
ALONG = 1e-3

# Splitting passes.  Each divides a span by two to eight, so ten reach any curve that
# is smooth at all; a true cusp inside a span is given up below SAME_POINT instead.
PASSES = 10

Evaluate = Callable[[np.ndarray, np.ndarray], Tuple[np.ndarray, np.ndarray]]


class Fitted(NamedTuple):
    """Cubics ``(m, 4, 2)`` in order, and for each the number of the span it belongs to."""

    curves: np.ndarray
    span: np.ndarray


def fit_curve(
    evaluate: Callable[[np.ndarray], np.ndarray],
    start: float,
    stop: float,
    tangents: Optional["np.typing.ArrayLike"] = None,
    tolerance: float = FIT,
) -> np.ndarray:
    """Fit cubics ``(m, 4, 2)`` to one smooth curve.

    Args:
        evaluate: exact points ``(k, 2)`` at parameters ``(k,)`` in ``[start, stop]``; it
            is never asked outside.
        start, stop: first and last parameter, ``start < stop``.
        tangents: directions of travel ``(2, 2)`` at both ends, of any length; ``None``
            takes them from points close to the ends.
        tolerance: largest distance from the true curve, mm.
    """
    if not stop > start:
        raise ValueError("a curve to fit runs from a lower to a higher parameter")
    step = 1e-5 * (stop - start)
    ends = None if tangents is None else _unit(_complex(np.asarray(tangents, np.float64)))

    def exact(_: np.ndarray, u: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
        before, after = np.maximum(u - step, start), np.minimum(u + step, stop)
        flat = np.concatenate([u.ravel(), before.ravel(), after.ravel()])
        points = _complex(np.asarray(evaluate(flat), np.float64)).reshape((3,) + u.shape)
        along = _unit(points[2] - points[1])
        if ends is not None:
            along = np.where(u <= start, ends[0], np.where(u >= stop, ends[1], along))
        return points[0], along

    return fit_spans(
        exact, np.zeros(1, int), np.array([start]), np.array([stop]), tolerance
    ).curves


def fit_spans(
    evaluate: Evaluate,
    owner: np.ndarray,
    start: np.ndarray,
    stop: np.ndarray,
    tolerance: float = FIT,
) -> Fitted:
    """Fit cubics to many spans of smooth curves in one batch.

    Args:
        evaluate: takes the owners ``(m,)`` and parameters ``(m, k)``, answers points and
            unit directions of travel, both ``(m, k)``, as complex numbers x + iy.
        owner: ``(m,)``, handed to ``evaluate`` to tell the curves apart.
        start, stop: parameters ``(m,)`` at which each span begins and ends.
        tolerance: largest distance from the true curves, mm.
    """
    owner, span = np.asarray(owner), np.arange(len(owner))
    start, stop = np.asarray(start, np.float64), np.asarray(stop, np.float64)
    done = []
    for left in range(PASSES, -1, -1):
        if not len(owner):
            break
        u = start[:, None] + (stop - start)[:, None] * _EVEN
        points, along = evaluate(owner, u)
        t = np.broadcast_to(_EVEN, u.shape)
        uneven = np.abs(np.diff(along)).max(axis=1) > COARSE_TURN
        if uneven.any():
            points, along, t = _evened(evaluate, owner, u, points, along, uneven)
        cubics, error = _least_squares(points, along, t, FIT_MARGIN * tolerance)
        bad = error > FIT_MARGIN * tolerance
        if left == 0 or not bad.any():
            bad = np.zeros(len(owner), bool)
        good = ~bad
        done.append((span[good], start[good], cubics[good]))
        if not bad.any():
            break
        rows = np.nonzero(bad)[0]
        parts = np.clip(np.ceil((error[rows] / tolerance) ** (1 / 6.0)), 2, 8).astype(int)
        cuts = [_balanced(u[r], points[r], along[r], n) for r, n in zip(rows, parts)]
        owner, span = np.repeat(owner[rows], parts), np.repeat(span[rows], parts)
        start = np.concatenate([cut[:-1] for cut in cuts])
        stop = np.concatenate([cut[1:] for cut in cuts])
    return _in_order(done)


_EVEN = np.arange(SAMPLES) / (SAMPLES - 1.0)


def _evened(  # type: ignore[no-untyped-def]
    evaluate: Evaluate, owner, u, points, along, uneven
) -> Tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Sample the uneven rows again, closer where the curve turns fast."""
    u, points, along = np.array(u), np.array(points), np.array(along)
    for _ in range(EVENING):
        rows = np.nonzero(uneven)[0]
        for r in rows:
            u[r] = _balanced(u[r], points[r], along[r], SAMPLES - 1)
        points[rows], along[rows] = evaluate(owner[rows], u[rows])
        uneven[rows] = np.abs(np.diff(along[rows])).max(axis=1) > COARSE_TURN
        if not uneven.any():
            break
    start, stop = u[:, :1], u[:, -1:]
    return points, along, (u - start) / (stop - start)


def _in_order(done: list) -> Fitted:
    """Put accepted cubics in the order of span and parameter, as real points."""
    if not done:
        return Fitted(np.zeros((0, 4, 2)), np.zeros(0, int))
    if len(done) == 1:
        span, _, cubics = done[0]
        return Fitted(cubics.view(np.float64).reshape(-1, 4, 2), span)
    span, start, cubics = (np.concatenate(column) for column in zip(*done))
    order = np.lexsort((start, span))
    return Fitted(cubics[order].view(np.float64).reshape(-1, 4, 2), span[order])


def _least_squares(
    points: np.ndarray, along: np.ndarray, t: np.ndarray, enough: float
) -> Tuple[np.ndarray, np.ndarray]:
    """Best cubics ``(m, 4)`` for samples ``(m, k)`` and their errors ``(m,)``, mm.

    ``t`` is a first guess of the samples' parameters: theirs on the true curve, which
    for a curve close to a cubic is better than even length.  Stops as soon as every row
    is within ``enough``.
    """
    first, last = points[:, :1], points[:, -1:]
    out, arrive = along[:, :1], along[:, -1:]
    back = along.conj()
    length = np.abs(points[:, 1:] - points[:, :-1]).sum(axis=1)[:, None]
    best = np.full(len(points), np.inf)
    handles = np.zeros((2, len(points), 1))
    for _ in range(ROUNDS):
        a, b = _handles(points, back, first, last, out, arrive, t)
        poor = ~((a > 0) & (b > 0) & (a + b < 4 * length))
        if poor.any():
            a, b = np.where(poor, length / 3, a), np.where(poor, length / 3, b)
        controls = (first, first + a * out, last - b * arrive, last)
        miss, speed = _miss(points, back, controls, t)
        t = np.clip(t + miss.real / np.where(speed > 0, speed, np.inf), 0.0, 1.0)
        miss, _speed = _miss(points, back, controls, t)
        # A sample not yet at its foot counts in full: safe, and soon gone.
        error = np.abs(miss).max(axis=1)
        better, stuck = error < best, error > 0.9 * best
        best = np.where(better, error, best)
        handles = np.where(better[:, None], (a, b), handles)
        if (stuck | (best <= enough)).all():
            break
    best[length[:, 0] <= SAME_POINT] = 0.0
    a, b = handles
    return np.concatenate([first, first + a * out, last - b * arrive, last], axis=1), best


def _handles(points, back, first, last, out, arrive, t):  # type: ignore[no-untyped-def]
    """Solve for the two handle lengths ``(m, 1)`` of every row: 2x2 normal equations."""
    s = 1.0 - t
    st = 3.0 * s * t
    early, late = st * s, st * t
    rest = points - last + (last - first) * (s * s * s + early)
    one, two, rest = back * out * early, back * arrive * -late, back * rest
    x1, y1, x2, y2 = one.real * ALONG, one.imag, two.real * ALONG, two.imag
    x3, y3 = rest.real * ALONG, rest.imag
    g11 = (x1 * x1 + y1 * y1).sum(axis=1)
    g12 = (x1 * x2 + y1 * y2).sum(axis=1)
    g22 = (x2 * x2 + y2 * y2).sum(axis=1)
    r1 = (x1 * x3 + y1 * y3).sum(axis=1)
    r2 = (x2 * x3 + y2 * y3).sum(axis=1)
    det = g11 * g22 - g12 * g12
    det = np.where(det > 0, det, np.inf)
    return ((r1 * g22 - r2 * g12) / det)[:, None], ((r2 * g11 - r1 * g12) / det)[:, None]


def _miss(points, back, controls, t):  # type: ignore[no-untyped-def]
    """From the cubics to the samples, in the samples' own frames, and the speed along."""
    p0, p1, p2, p3 = controls
    d0, d1, d2 = p1 - p0, p2 - p1, p3 - p2
    s = 1.0 - t
    e0, e1 = d0 * s + d1 * t, d1 * s + d2 * t
    slope = e0 * s + e1 * t
    b0 = p0 + d0 * t
    b1 = p1 + d1 * t
    c0 = b0 + e0 * t
    c1 = b1 + e1 * t
    here = c0 + (c1 - c0) * t
    return back * (points - here), 3.0 * (back * slope).real


def _balanced(u: np.ndarray, points: np.ndarray, along: np.ndarray, parts: int) -> np.ndarray:
    """Parameters ``(parts + 1,)`` that share out turning (60 %) and length (40 %) evenly."""
    length = np.abs(np.diff(points))
    turn = np.abs(np.angle(along[1:] * along[:-1].conj()))
    work = 0.4 * length / max(length.sum(), 1e-300) + 0.6 * turn / max(turn.sum(), 1e-300)
    total = np.concatenate([[0.0], np.cumsum(work + 1e-9)])
    cuts = np.interp(np.arange(parts + 1) * (total[-1] / parts), total, u)
    cuts[0], cuts[-1] = u[0], u[-1]
    return cuts


def _complex(points: np.ndarray) -> np.ndarray:
    return points[..., 0] + 1j * points[..., 1]


def _unit(vectors: np.ndarray) -> np.ndarray:
    size = np.abs(vectors)
    return vectors / np.where(size > 0, size, 1.0)
