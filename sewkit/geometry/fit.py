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

# Samples per span.  The error of a cubic has at most six lobes; three samples a lobe
# see its height to about 5 %, which FIT_MARGIN covers.
SAMPLES = 20

# A turn between neighbouring samples (radians) above which a span is sampled again, and
# how often at most.  A smooth span that turns evenly stays far below.
COARSE_TURN = 0.3
EVENING = 4

# Rounds of least squares.  Two come within a per cent of the best fit on all but
# spans with very uneven speed; they end early when every row is good or settled.
ROUNDS = 4

# Weight of the distance along the curve beside that across it.  Keeps the equations
# solvable on straight spans, and is too small to be seen elsewhere.
ALONG = 1e-3

# Splitting passes.  Each divides a span by two to eight, so ten reach any curve that
# is smooth at all; a true cusp inside a span is given up below SAME_POINT instead.
PASSES = 10

# Rounds that even out the error of spans that miss by less than the factor NEARLY:
# samples that are far off get more weight (Lawson's method).  They win up to a third,
# and so now and then a split.
EVEN_ROUNDS = 3
NEARLY = 1.35

# Weight that a sample without error keeps in those rounds, squared.  Less makes them
# swing, more makes them slow.
LEAST_WEIGHT = 0.05

# How far aside, as a part of the whole, the direction of a curve is looked for when only
# its points are known: angles to about 1e-5 of its whole turn, far from rounding.
NEARBY = 1e-5

# Stands in for zero as a divisor.
NOTHING = 1e-300

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
    step = NEARBY * (stop - start)
    ends = None if tangents is None else _unit(_complex(np.asarray(tangents, np.float64)))

    def exact(_: np.ndarray, u: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
        before, after = np.maximum(u - step, start), np.minimum(u + step, stop)
        flat = np.concatenate([u.ravel(), before.ravel(), after.ravel()])
        points = _complex(np.asarray(evaluate(flat), np.float64)).reshape((3,) + u.shape)
        along = _unit(points[2] - points[1])
        if ends is not None:
            along = np.where(u <= start, ends[0], np.where(u >= stop, ends[1], along))
        return points[0], along

    return fit_spans(exact, np.zeros(1, int), np.array([start]), np.array([stop]), tolerance).curves


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
        turn = np.abs(along[:, 1:] - along[:, :-1])
        if turn.max() > COARSE_TURN:
            points, along, t = _evened(evaluate, owner, u, points, along, turn)
            turn = np.abs(along[:, 1:] - along[:, :-1])
        cubics, error = _least_squares(points, along, turn, t, FIT_MARGIN * tolerance)
        bad = error > FIT_MARGIN * tolerance
        if left == 0 or not bad.any():
            bad = np.zeros(len(owner), bool)
        good = ~bad
        done.append((span[good], start[good], cubics[good]))
        if not bad.any():
            break
        rows = np.nonzero(bad)[0]
        parts = np.clip(np.ceil((error[rows] / (FIT_MARGIN * tolerance)) ** (1 / 6.0)), 2, 8).astype(int)
        cuts = [_balanced(u[r], points[r], along[r], n) for r, n in zip(rows, parts)]
        owner, span = np.repeat(owner[rows], parts), np.repeat(span[rows], parts)
        start = np.concatenate([cut[:-1] for cut in cuts])
        stop = np.concatenate([cut[1:] for cut in cuts])
    return _in_order(done)


_EVEN = np.arange(SAMPLES) / (SAMPLES - 1.0)


def _evened(
    evaluate: Evaluate,
    owner: np.ndarray,
    u: np.ndarray,
    points: np.ndarray,
    along: np.ndarray,
    turn: np.ndarray,
) -> Tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Sample the uneven rows again, closer where the curve turns fast."""
    u, points, along = np.array(u), np.array(points), np.array(along)
    uneven = turn.max(axis=1) > COARSE_TURN
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
    points: np.ndarray, along: np.ndarray, turn: np.ndarray, t: np.ndarray, enough: float
) -> Tuple[np.ndarray, np.ndarray]:
    """Best cubics ``(m, 4)`` for samples ``(m, k)`` and their errors ``(m,)``, mm.

    ``t`` is a first guess of the samples' parameters: theirs on the true curve, which
    for a curve close to a cubic is better than even length.  Stops as soon as every row
    is within ``enough``.
    """
    first, last = points[:, :1], points[:, -1:]
    out, arrive = along[:, :1], along[:, -1:]
    size = np.abs(points[:, 1:] - points[:, :-1])
    length = size.sum(axis=1)[:, None]
    sag = (turn / np.maximum(size, NOTHING)).max(axis=1)[:, None] / 2
    frames = _in_frames(points, along)
    best = handles = weight = None
    for left in range(ROUNDS + EVEN_ROUNDS, 0, -1):
        a, b, miss = _solve(frames, t, weight, length)
        # A sample that is not yet at its foot is misjudged by the sag of the curve between.
        along_miss = miss.real * miss.real * sag
        gap = np.abs(miss.imag) + along_miss
        error = gap.max(axis=1)
        if best is None:
            best, handles = error, (a, b)
        else:
            better = (error < best)[:, None]
            best = np.minimum(best, error)
            handles = np.where(better, a, handles[0]), np.where(better, b, handles[1])
        within = best <= enough
        if within.all():
            break
        settled = along_miss.max(axis=1) < 0.1 * error
        t = _at_feet(frames, a, b, miss, t)
        if left > EVEN_ROUNDS and not (settled | within).all():
            continue
        if not (~within & (best < NEARLY * enough)).any():
            break
        more = np.sqrt(gap / np.maximum(error, NOTHING)[:, None] + LEAST_WEIGHT)
        weight = more if weight is None else weight * more
        weight /= weight.max(axis=1)[:, None]
    best[length[:, 0] <= SAME_POINT] = 0.0
    a, b = handles
    return np.concatenate([first, first + a * out, last - b * arrive, last], axis=1), best


class _Frames(NamedTuple):
    """Everything turned into the frame of each sample: real along, imaginary across."""

    out: np.ndarray
    arrive: np.ndarray
    chord: np.ndarray
    rest: np.ndarray


def _in_frames(points: np.ndarray, along: np.ndarray) -> _Frames:
    back = along.conj()
    first, last = points[:, :1], points[:, -1:]
    out, arrive = back * along[:, :1], back * along[:, -1:]
    return _Frames(out, arrive, back * (last - first), back * (points - last))


def _solve(
    frames: _Frames, t: np.ndarray, weight: Optional[np.ndarray], length: np.ndarray
) -> Tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The two handle lengths ``(m, 1)`` of every row, and what the samples miss then.

    The cubic is  first (B0 + B1) + last (B2 + B3) + a out B1 - b arrive B2,  B the
    Bernstein polynomials: linear in a and b.
    """
    s = 1.0 - t
    st = 3.0 * s * t
    early, late = st * s, st * t
    terms = np.empty((len(t), 3, t.shape[1]), np.complex128)
    np.multiply(frames.out, early, out=terms[:, 0])
    np.multiply(frames.arrive, -late, out=terms[:, 1])
    np.add(frames.rest, frames.chord * (s * s * s + early), out=terms[:, 2])
    scaled = np.array(terms) if weight is None else terms * weight[:, None]
    scaled.real *= ALONG
    flat = scaled.view(np.float64)
    g = np.matmul(flat, flat.transpose(0, 2, 1))
    det = g[:, 0, 0] * g[:, 1, 1] - g[:, 0, 1] * g[:, 0, 1]
    det = np.where(det > 0, det, np.inf)
    a = ((g[:, 0, 2] * g[:, 1, 1] - g[:, 1, 2] * g[:, 0, 1]) / det)[:, None]
    b = ((g[:, 1, 2] * g[:, 0, 0] - g[:, 0, 2] * g[:, 0, 1]) / det)[:, None]
    poor = ~((a > 0) & (b > 0) & (a + b < 4 * length))
    if poor.any():
        a, b = np.where(poor, length / 3, a), np.where(poor, length / 3, b)
    return a, b, terms[:, 2] - a * terms[:, 0] - b * terms[:, 1]


def _at_feet(frames: _Frames, a: np.ndarray, b: np.ndarray, miss: np.ndarray, t: np.ndarray) -> np.ndarray:
    """Parameters a Newton step nearer to where the samples' normals cut the cubics."""
    s = 1.0 - t
    twice = 2 * s * t
    speed = frames.out.real * (a * (s * s - twice)) + frames.arrive.real * (b * (t * t - twice))
    speed = 3 * (speed + twice * frames.chord.real)
    t = t + miss.real / np.where(speed > 0, speed, np.inf)
    return np.minimum(np.maximum(t, 0.0), 1.0)


def _balanced(u: np.ndarray, points: np.ndarray, along: np.ndarray, parts: int) -> np.ndarray:
    """Parameters ``(parts + 1,)`` that share out turning (60 %) and length (40 %) evenly."""
    length, turn = np.abs(points[1:] - points[:-1]), np.abs(along[1:] - along[:-1])
    work = 0.4 * length / max(length.sum(), NOTHING) + 0.6 * turn / max(turn.sum(), NOTHING)
    # A little for every step, so that the parameter never stands still.
    total = np.concatenate([[0.0], np.cumsum(work + 1e-9)])
    cuts = np.interp(np.arange(parts + 1) * (total[-1] / parts), total, u)
    cuts[0], cuts[-1] = u[0], u[-1]
    return cuts


def _complex(points: np.ndarray) -> np.ndarray:
    return points[..., 0] + 1j * points[..., 1]


def _unit(vectors: np.ndarray) -> np.ndarray:
    size = np.abs(vectors)
    return vectors / np.where(size > 0, size, 1.0)
