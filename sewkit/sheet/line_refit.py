"""From dashes on a string to the line they were cut from.

The line is cut at its corners.  What lies straight between two corners becomes one
straight line; the rest is fitted by few cubics through all dashes, bridging the gaps by
curves that set out and arrive in the directions of the dashes.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, derivative, end_tangents, is_line, lines, point, start_tangents
from sewkit.geometry.tolerance import CORNER_TURN, EXACT
from sewkit.sheet.line_build import pieces_of
from sewkit.sheet.line_ends import TOUCH, Chain, Links, Strokes, turn_between
from sewkit.sheet.line_few import few_cubics
from sewkit.sheet.line_merge import stretched

# How far the fitted cubics may stray from dashes and bridges (mm): two fifths of what a
# recovered line may be off at all in the best case, so that errors of drawing find room.
FIT_DASHES = 0.02
# Where that takes more than a curve for every so many mm, the dashes themselves are rough,
# and are followed as far as this (mm): half of what a recovered line may be off.
MANY, FIT_ROUGH = 40.0, 0.05
# A stroke shorter than this (mm) is a dot: where it is counts, where it points is chance.
DOT = 0.6
# A run of dashes all within this of one straight line is that line (mm).
STRAIGHT_WITHIN = 0.04
# A turn in a gap counts as a corner from here on (degrees) if what lies around it turns
# several times less.
GAP_CORNER, TIMES = 7.0, 3.0
# Newton steps to a corner; each doubles the right digits.
STEPS = 8
# How far a fitted curve is prolonged at most, in its own parameter: a cubic is a good
# guess just beyond its end and a wild one far beyond.
FARTHEST = 1.35
# How far (mm) from where two dashes point the corner of the fitted curves may lie.
NEAR_GUESS = 1.0


class Bits(NamedTuple):
    """A chain as bits: runs of curves without corner, in order.

    ``corner[i]`` tells what lies between bit i and the next: 0 a smooth gap or touch, 1 a
    corner where they meet, 2 a corner in the gap.  ``at[i]``: that corner, ``(2,)``.
    """

    curves: List[np.ndarray]
    corner: List[int]
    at: List[Optional[np.ndarray]]


class Plan(NamedTuple):
    """A chain cut into runs at its corners.

    ``bits[i]``: the curves of run i, gaps bridged ``(k, 4, 2)``; one straight line where the
    run is straight.  ``corners[i]``: the corner after run i.
    """

    bits: List[np.ndarray]
    corners: List[np.ndarray]
    closed: bool


def refitted(strokes: Strokes, links: Links, chains: Sequence[Chain]) -> List[Path]:
    """The paths of chains of dashes; all are fitted in one go."""
    plans = [_plan(_bits(strokes, links, chain), chain.closed) for chain in chains]
    every = [bits for plan in plans for bits in plan.bits]
    fitted = iter(_fewer(every, few_cubics(every, FIT_DASHES)))
    return [_assembled(plan, [next(fitted) for _ in plan.bits]) for plan in plans]


def _fewer(runs: List[np.ndarray], fitted: List[np.ndarray]) -> List[np.ndarray]:
    """Fitted runs, but those in many pieces fitted more loosely: their dashes are rough."""
    size = [np.hypot(*(run[:, 3] - run[:, 0]).T).sum() for run in runs]
    rough = [i for i, curves in enumerate(fitted) if len(curves) > 3 + size[i] / MANY]
    found = list(fitted)
    for i, curves in zip(rough, few_cubics([runs[i] for i in rough], FIT_ROUGH)):
        if len(curves) < len(found[i]):
            found[i] = curves
    return found


def _plan(bits: Bits, closed: bool) -> Plan:
    """Runs from corner to corner, straight ones as one line."""
    bits = _with_gap_corners(bits, closed)
    if closed and any(bits.corner):
        bits = _starting_at_corner(bits)
    smooth = closed and not any(bits.corner)
    runs, corners = _runs(bits, closed)
    straight = [_straight(run) for run in runs]
    found = []
    for number, run in enumerate(runs):
        if straight[number] is not None and not smooth:
            found.append(lines(run[0][:1, 0], run[-1][-1:, 3]))
        elif all(bool(is_line(curves).all()) or _is_dot(curves) for curves in run):
            found.append(_through_nodes(run, smooth))
        else:
            found.append(_bridged(run, smooth))
    if smooth:  # in two halves, so that neither ends where it starts
        whole = found[0]
        half = len(whole) // 2
        found = [part for part in (whole[:half], whole[half:]) if len(part)]
    return Plan(found, corners, closed)


def _bits(strokes: Strokes, links: Links, chain: Chain) -> Bits:
    """Cut the strokes at corners inside them and between those that touch."""
    curves, corner, at = [], [], []
    for entry, piece in zip(chain.entries, pieces_of(strokes, chain)):
        turn = np.abs(turn_between(end_tangents(piece[:-1]), start_tangents(piece[1:])))
        cuts = [0, *(np.flatnonzero(turn > CORNER_TURN) + 1).tolist(), len(piece)]
        for start, stop in zip(cuts, cuts[1:]):
            curves.append(piece[start:stop])
            corner.append(1)
            at.append(piece[stop - 1, 3])
        end = entry ^ 1
        mate = int(links.mate[end])
        marked = links.corner.get(min(end, mate)) if mate >= 0 else None
        corner[-1], at[-1] = (0, None) if marked is None else (2, np.array(marked))
    last = len(curves) if chain.closed else len(curves) - 1
    for i in range(last):
        here, there = curves[i][-1], curves[(i + 1) % len(curves)][0]
        if corner[i] == 0 and np.hypot(*(there[0] - here[3])) <= TOUCH:
            turn = turn_between(end_tangents(here[None]), start_tangents(there[None]))[0]
            if abs(turn) > CORNER_TURN:
                corner[i], at[i] = 1, (here[3] + there[0]) / 2
    return Bits(curves, corner, at)


def _with_gap_corners(bits: Bits, closed: bool) -> Bits:
    """Tell corners in gaps from curves: around a corner, little turns."""
    count = len(bits.curves)
    first = np.array([c[0] for c in bits.curves])
    last = np.array([c[-1] for c in bits.curves])
    onward = np.roll(first, -1, axis=0)
    leaving, arriving = end_tangents(last), start_tangents(onward)
    turn = turn_between(leaving, arriving)
    inner = np.abs(turn_between(start_tangents(first), leaving))
    dot = np.array([_is_dot(curves) for curves in bits.curves])
    joints = count if closed else count - 1
    corner, at = list(bits.corner), list(bits.at)
    for i in range(joints):
        if corner[i] or abs(turn[i]) < GAP_CORNER or dot[i] or dot[(i + 1) % count]:
            continue
        around = [inner[i], inner[(i + 1) % count]]
        for k in (i - 1, i + 1):
            if (closed or 0 <= k < joints) and not corner[k % count]:
                around.append(abs(turn[k % count]))
        if abs(turn[i]) > TIMES * max(around):
            spot = _meeting(last[i, 3], leaving[i], onward[i, 0], -arriving[i])
            if spot is not None:
                corner[i], at[i] = 2, spot
    return Bits(bits.curves, corner, at)


def _meeting(p: np.ndarray, u: np.ndarray, q: np.ndarray, v: np.ndarray) -> Optional[np.ndarray]:
    """Where two lines meet, each given by a point and a direction."""
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) < 1e-3:
        return None
    s = ((q[0] - p[0]) * v[1] - (q[1] - p[1]) * v[0]) / cross
    return p + s * u


def _starting_at_corner(bits: Bits) -> Bits:
    """A closed line's bits, turned so that the last one ends at a corner."""
    if bits.corner[-1]:
        return bits
    k = max(i for i, kind in enumerate(bits.corner) if kind) + 1
    return Bits(
        bits.curves[k:] + bits.curves[:k], bits.corner[k:] + bits.corner[:k], bits.at[k:] + bits.at[:k]
    )


def _runs(bits: Bits, closed: bool) -> Tuple[List[List[np.ndarray]], List[np.ndarray]]:
    """Bits between corners, and the corner after each run (the last may have none)."""
    runs, corners, run = [], [], []
    for i, curves in enumerate(bits.curves):
        run.append(curves)
        if bits.corner[i] and (closed or i < len(bits.curves) - 1):
            runs.append(run)
            corners.append(np.asarray(bits.at[i]))
            run = []
    if run:
        runs.append(run)
    return runs, corners


def _assembled(plan: Plan, runs: List[np.ndarray]) -> Path:
    """One path from fitted runs, prolonged or trimmed to their corners."""
    runs = [np.array(run) for run in runs]
    for number, corner in enumerate(plan.corners):
        here, there = runs[number], runs[(number + 1) % len(runs)]
        if here is there:
            continue
        spot = _crossing(here[-1], there[0], corner)
        runs[number][-1] = _reaching(here[-1], spot)
        following = (number + 1) % len(runs)
        runs[following][0] = _reaching(there[0][::-1], spot)[::-1]
    curves = np.concatenate(runs)
    for i in range(len(curves) - 1):
        curves[i + 1, 0] = curves[i, 3]
    if plan.closed:
        curves[-1, 3] = curves[0, 0]
    return Path(curves, plan.closed)


def _crossing(here: np.ndarray, there: np.ndarray, guess: np.ndarray) -> np.ndarray:
    """Where one curve's prolongation meets the next one's, near a guess, else the guess.

    Newton's method on both parameters, from the ends.
    """
    if np.hypot(*(there[0] - here[3])) <= TOUCH:
        return guess
    s, t = 1.0, 0.0
    for _ in range(STEPS):
        one, two = np.array([s]), np.array([t])
        gap = point(there[None], two)[0] - point(here[None], one)[0]
        if np.hypot(*gap) <= EXACT:
            break
        u, v = derivative(here[None], one)[0], derivative(there[None], two)[0]
        cross = u[0] * v[1] - u[1] * v[0]
        if abs(cross) <= 1e-3 * np.hypot(*u) * np.hypot(*v):
            return guess
        s = min(max(s + (gap[0] * v[1] - gap[1] * v[0]) / cross, 0.5), FARTHEST)
        t = min(max(t + (gap[0] * u[1] - gap[1] * u[0]) / cross, 1.0 - FARTHEST), 0.5)
    spot = point(here[None], np.array([s]))[0]
    other = point(there[None], np.array([t]))[0]
    near = np.hypot(*(spot - other)) <= TOUCH and np.hypot(*(spot - guess)) <= NEAR_GUESS
    return (spot + other) / 2 if near else guess


def _reaching(curve: np.ndarray, end: np.ndarray) -> np.ndarray:
    """A curve prolonged (or trimmed) along itself until it ends at a point near its end."""
    if is_line(curve[None])[0]:
        return lines(curve[:1], end[None])[0]
    t = 1.0
    for _ in range(STEPS):
        here, along = point(curve[None], np.array([t]))[0], derivative(curve[None], np.array([t]))[0]
        square = along @ along
        t = min(max(t + ((end - here) @ along) / square if square > 0 else t, 0.5), FARTHEST)
    longer = stretched(curve, 0.0, t)
    shift = end - longer[3]
    if np.hypot(*shift) > NEAR_GUESS or np.hypot(*(longer[2] - longer[3])) > 2 * np.hypot(*(end - curve[0])):
        shift, longer = end - curve[3], curve
    return np.stack([longer[0], longer[1], longer[2] + shift, end])


def _straight(run: List[np.ndarray]) -> Optional[Tuple[np.ndarray, np.ndarray]]:
    """A point and the direction of the straight line that a run lies on, if it does."""
    points = np.concatenate([curves.reshape(-1, 2) for curves in run])
    start, end = points[0], points[-1]
    size = np.hypot(*(end - start))
    if size == 0:
        return None
    unit = (end - start) / size
    aside = (points - start) @ np.array([-unit[1], unit[0]])
    return (start, unit) if np.abs(aside).max() <= STRAIGHT_WITHIN else None


def _is_dot(curves: np.ndarray) -> bool:
    return bool(np.hypot(*(curves[-1, 3] - curves[0, 0])) <= DOT)


def _bridged(run: List[np.ndarray], smooth: bool) -> np.ndarray:
    """A run's curves with curves across the gaps between them."""
    done: List[np.ndarray] = []
    run = [c for i, c in enumerate(run) if i in (0, len(run) - 1) or not _is_dot(c)]
    pairs = list(zip(run, run[1:])) + ([(run[-1], run[0])] if smooth else [])
    for here, there in pairs:
        done.append(here)
        done.append(_bridge(here[-1], there[0])[None])
    if not smooth:
        done.append(run[-1])
    return np.concatenate(done)


def _bridge(here: np.ndarray, there: np.ndarray) -> np.ndarray:
    """The curve that leaves one curve and arrives at the next: on a circle, its arc.

    An arc of the angle a has handles of 1 / (3 cos(a/4)**2) of its chord.
    """
    p, q = here[3], there[0]
    u, v = end_tangents(here[None])[0], start_tangents(there[None])[0]
    angle = np.radians(turn_between(u[None], v[None])[0])
    handle = np.hypot(*(q - p)) / (3.0 * np.cos(angle / 4.0) ** 2)
    return np.stack([p, p + handle * u, q - handle * v, q])


def _through_nodes(run: List[np.ndarray], smooth: bool) -> np.ndarray:
    """Curves through the ends of straight bits: chords, whose ends lie on the line itself.

    The direction at each node is that of the parabola through it and its neighbours.
    """
    nodes = [run[0][0, 0]]
    for number, curves in enumerate(run):
        middle = (curves[0, 0] + curves[-1, 3]) / 2.0
        outer = number in (0, len(run) - 1)
        if number:
            nodes.append(curves[0, 0])
        nodes += list(curves[:, 3])
        if _is_dot(curves) and not outer:
            nodes = [*nodes[: -len(curves) - 1], middle]
    if smooth:
        nodes.append(nodes[0])
    every = np.array(nodes)
    keep = np.concatenate([[True], np.hypot(*np.diff(every, axis=0).T) > TOUCH])
    every = every[keep]
    if len(every) < 3:
        return lines(every[:-1], every[1:]) if len(every) > 1 else np.array([[every[0]] * 4])
    step = np.diff(every, axis=0)
    size = np.hypot(*step.T)[:, None]
    slope = step / size
    inner = (slope[:-1] * size[1:] + slope[1:] * size[:-1]) / (size[:-1] + size[1:])
    if smooth:
        wrap = (slope[-1] * size[0] + slope[0] * size[-1]) / (size[0] + size[-1])
        tangents = np.concatenate([wrap[None], inner, wrap[None]])
    else:
        tangents = np.concatenate([2 * slope[:1] - inner[:1], inner, 2 * slope[-1:] - inner[-1:]])
    tangents /= np.hypot(*tangents.T)[:, None]
    turn = np.radians(turn_between(tangents[:-1], tangents[1:]))
    handle = size / (3.0 * np.cos(turn / 4.0)[:, None] ** 2)
    start, end = every[:-1], every[1:]
    return np.stack([start, start + handle * tangents[:-1], end - handle * tangents[1:], end], axis=1)
