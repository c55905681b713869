"""From dashes on a string to the line they were cut from.

The line is cut at its corners.  What lies straight between two corners becomes one
straight line; the rest is fitted by few cubics through all dashes, bridging the gaps by
curves that set out and arrive in the directions of the dashes.
"""

from typing import List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.fit import fit_spans
from sewkit.geometry.path import Path, derivative, end_tangents, is_line, lines, point, start_tangents
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.sheet.line_build import pieces_of
from sewkit.sheet.line_ends import TOUCH, Chain, Links, Strokes, turn_between

# How far the fitted cubics may stray from dashes and bridges (mm): two fifths of what a
# recovered line may be off at all in the best case, so that errors of drawing find room.
FIT_DASHES = 0.02
# A run of dashes all within this of one straight line is that line (mm).
STRAIGHT_WITHIN = 0.03
# A turn in a gap counts as a corner from here on (degrees) if what lies around it turns
# several times less.
GAP_CORNER, TIMES = 7.0, 3.0


class Bits(NamedTuple):
    """A chain as bits: runs of curves without corner, in order.

    ``corner[i]`` tells what lies between bit i and the next: 0 a smooth gap or touch, 1 a
    corner where they meet, 2 a corner in the gap.  ``at[i]``: that corner, ``(2,)``.
    """

    curves: List[np.ndarray]
    corner: List[int]
    at: List[Optional[np.ndarray]]


def refitted(strokes: Strokes, links: Links, chain: Chain) -> Path:
    """The path of a chain of dashes."""
    bits = _bits(strokes, links, chain)
    bits = _with_gap_corners(bits, chain.closed)
    if chain.closed and any(bits.corner):
        bits = _starting_at_corner(bits)
    runs, corners = _runs(bits, chain.closed)
    closed_smooth = chain.closed and not any(bits.corner)
    return _fitted(runs, corners, chain.closed, closed_smooth)


def _bits(strokes: Strokes, links: Links, chain: Chain) -> Bits:
    """Cut the strokes at corners inside them and between those that touch."""
    curves, corner, at = [], [], []  # type: List[np.ndarray], List[int], List[Optional[np.ndarray]]
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
    joints = count if closed else count - 1
    corner, at = list(bits.corner), list(bits.at)
    for i in range(joints):
        if corner[i] or abs(turn[i]) < GAP_CORNER:
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
    runs, corners, run = [], [], []  # type: List[List[np.ndarray]], List[np.ndarray], List[np.ndarray]
    for i, curves in enumerate(bits.curves):
        run.append(curves)
        if bits.corner[i] and (closed or i < len(bits.curves) - 1):
            runs.append(run)
            corners.append(np.asarray(bits.at[i]))
            run = []
    if run:
        runs.append(run)
    return runs, corners


def _fitted(runs: List[List[np.ndarray]], corners: List[np.ndarray], closed: bool, smooth: bool) -> Path:
    """One path through all runs, corner to corner."""
    straight = [_straight(run) for run in runs]
    corners = _sharper(runs, straight, corners)
    done = []  # type: List[np.ndarray]
    for number, run in enumerate(runs):
        before = corners[number - 1] if number or (closed and not smooth) else None
        after = corners[number] if number < len(corners) else None
        if straight[number] is not None:
            start = run[0][0, 0] if before is None else before
            end = run[-1][-1, 3] if after is None else after
            done.append(lines(start[None], end[None]))
        else:
            done.append(_curved(run, before, after, smooth))
    curves = np.concatenate(done)
    for i in range(len(curves) - 1):
        curves[i + 1, 0] = curves[i, 3]
    if closed:
        curves[-1, 3] = curves[0, 0]
    return Path(curves, closed)


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


def _sharper(
    runs: List[List[np.ndarray]],
    straight: "List[Optional[Tuple[np.ndarray, np.ndarray]]]",
    corners: List[np.ndarray],
) -> List[np.ndarray]:
    """Corners where whole runs meet: a long run knows its direction better than one dash."""
    found = []
    for i, corner in enumerate(corners):
        here, there = straight[i], straight[(i + 1) % len(runs)]
        last, first = runs[i][-1][-1], runs[(i + 1) % len(runs)][0][0]
        if np.hypot(*(first[0] - last[3])) <= TOUCH:
            found.append(corner)
            continue
        p, u = here if here is not None else (last[3], end_tangents(last[None])[0])
        q, v = there if there is not None else (first[0], start_tangents(first[None])[0])
        spot = _meeting(p, u, q, v)
        near = spot is not None and np.hypot(*(spot - corner)) <= 1.0
        found.append(spot if near else corner)
    return found


def _curved(
    run: List[np.ndarray], before: Optional[np.ndarray], after: Optional[np.ndarray], smooth: bool
) -> np.ndarray:
    """Few cubics through a run of bits, from corner to corner."""
    chords = all(bool(is_line(curves).all()) for curves in run)
    bits = _through_nodes(run, before, after, smooth) if chords else _bridged(run, before, after, smooth)
    size = np.hypot(*(bits[:, 3] - bits[:, 0]).T)
    bits = bits[size > TOUCH / 4] if (size > TOUCH / 4).any() else bits
    reach = np.concatenate([[0.0], np.cumsum(np.hypot(*(bits[:, 3] - bits[:, 0]).T))])

    def exact(_: np.ndarray, u: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
        which = np.clip(np.searchsorted(reach, u.ravel(), side="right") - 1, 0, len(bits) - 1)
        t = np.clip((u.ravel() - reach[which]) / (reach[which + 1] - reach[which]), 0.0, 1.0)
        here, along = point(bits[which], t), derivative(bits[which], t)
        here, along = here[:, 0] + 1j * here[:, 1], along[:, 0] + 1j * along[:, 1]
        size = np.abs(along)
        return here.reshape(u.shape), (along / np.where(size > 0, size, 1.0)).reshape(u.shape)

    # A closed smooth line is fitted in two halves, so that neither ends where it starts.
    cuts = np.array([0.0, reach[-1] / 2, reach[-1]]) if smooth else np.array([0.0, reach[-1]])
    return fit_spans(exact, np.zeros(len(cuts) - 1, int), cuts[:-1], cuts[1:], FIT_DASHES).curves


def _bridged(
    run: List[np.ndarray], before: Optional[np.ndarray], after: Optional[np.ndarray], smooth: bool
) -> np.ndarray:
    """A run's curves with curves across the gaps between them."""
    done = []  # type: List[np.ndarray]
    if before is not None:
        done.append(lines(before[None], run[0][:1, 0]))
    pairs = list(zip(run, run[1:])) + ([(run[-1], run[0])] if smooth else [])
    for here, there in pairs:
        done.append(here)
        done.append(_bridge(here[-1], there[0])[None])
    if not smooth:
        done.append(run[-1])
    if after is not None:
        done.append(lines(run[-1][-1:, 3], after[None]))
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


def _through_nodes(
    run: List[np.ndarray], before: Optional[np.ndarray], after: Optional[np.ndarray], smooth: bool
) -> np.ndarray:
    """Curves through the ends of straight bits: chords, whose ends lie on the line itself.

    The direction at each node is that of the parabola through it and its neighbours.
    """
    nodes = [run[0][0, 0]] if before is None else [before, run[0][0, 0]]
    for number, curves in enumerate(run):
        nodes += list(curves[:, 3])
        if number + 1 < len(run):
            nodes.append(run[number + 1][0, 0])
    if smooth:
        nodes.append(nodes[0])
    elif after is not None:
        nodes.append(after)
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
