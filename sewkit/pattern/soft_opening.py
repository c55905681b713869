"""The soft line by which an edge goes on over an opening, where that lies aside of the pivot.

A slash that does not meet the edge squarely shifts both sides of the opening against each other:
drawn from one to the other, the edge would step up or down like an S.  So both sides give up as
much of themselves as it takes for one curve that bends one way only; near a corner that is a long
way on the other side.

    made = softened(before, after, between, held)
    made.step                       # what of the step is left (mm), 0 as a rule
"""

from typing import NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.bridge import soft
from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, cut, end_tangents, start_tangents

# A step smaller than this (mm) is drawn over with the width of a pencil line or two.
LEAST_STEP = 1.0

# A curve is soft where it turns at least so much of its one half in the other (both alike: an arc).
# Where a corner or a dart is near it is as even as it can be; less than the second would be a kink.
_EVEN, _EVEN_AT_ALL = 0.4, 0.05

# Turns smaller than this (radians) are rounding.
_NO_TURN = 1e-9

# So many places of each side are tried, and so much of a side stays as it is at its other end,
# so that a corner keeps its angle.
_TRIED, _KEPT = 60, 0.04

# What must stay on the edge, such as a drawn dart, lies on it within this (mm), and the line keeps
# this far from it.
_HELD = 1.0


class SoftOpening(NamedTuple):
    """Both sides of an opening, what is left of them, and the line between.

    Args:
        before, after: open paths, the ends of the edge.
        between: the line over the opening.
        gained: how much longer the edge is for it (mm).
        step: how far the line steps aside of the edge (mm) where there was no room; else 0.
    """

    before: Path
    after: Path
    between: Path
    gained: float
    step: float


def softened(before: Path, after: Path, between: Path, held: Sequence[np.ndarray] = ()) -> SoftOpening:
    """Both sides and the line between them, drawn over more of them where it would step.

    ``held``: points (2,) of the edge that shall stay on it.
    """
    given = SoftOpening(before, after, between, path_length(between), 0.0)
    step = step_of(before, after)
    if step < LEAST_STEP:
        return given
    rooms = _room(before.reverse(), held), _room(after, held)
    backs = [np.linspace(0.0, room, _TRIED) for room in rooms]
    firsts, lasts = [_shorter(before, back) for back in backs[0]], [_later(after, b) for b in backs[1]]
    leaving = np.array([end_tangents(one.curves[-1:])[0] for one in firsts])[:, None]
    arriving = np.array([start_tangents(one.curves[:1])[0] for one in lasts])[None]
    ends = np.array([one.end for one in firsts])[:, None], np.array([one.start for one in lasts])[None]
    bends = _bends(ends[0], leaving, ends[1], arriving)
    least, most = np.minimum(*np.abs(bends)), np.maximum(*np.abs(bends))
    one_way = (bends[0] * bends[1] > 0) & (most < np.pi / 2.0)
    even = np.where(one_way, least / np.maximum(most, _NO_TURN), 0.0)
    steps = np.where(one_way, 0.0, np.hypot(*np.moveaxis(ends[1] - ends[0], -1, 0)) * np.sin(least))
    given_up = backs[0][:, None] + backs[1][None]
    turning = np.abs(bends[0]) + np.abs(bends[1])
    # The least that is even; where there is no room for that the evenest; else what turns least.
    enough = even >= min(_EVEN, even.max()) if one_way.any() else turning <= turning.min() + _NO_TURN
    i, j = np.unravel_index(int(np.argmin(np.where(enough, given_up, np.inf))), even.shape)
    start, end = firsts[i], lasts[j]
    if even[i, j] >= _EVEN_AT_ALL:
        line = _curve(start.end, leaving[i, 0], end.start, arriving[0, j], (bends[0][i, j], bends[1][i, j]))
    else:
        line = Path(soft(start.end, leaving[i, 0], end.start, arriving[0, j])[None])
    left = float(steps[i, j])
    gained = path_length(line) - float(given_up[i, j])
    return SoftOpening(start, end, line, gained, left if left >= LEAST_STEP else 0.0)


def _curve(
    start: np.ndarray, leaving: np.ndarray, end: np.ndarray, arriving: np.ndarray, bend: Tuple[float, float]
) -> Path:
    """One cubic that bends one way; no handle reaches beyond where the two directions meet."""
    curve = soft(start, leaving, end, arriving)
    # The law of sines in the triangle of chord and directions; two thirds of its sides are a parabola.
    chord, third = float(np.hypot(*(end - start))), abs(np.sin(sum(bend)))
    reach = [2.0 / 3.0 * chord * abs(np.sin(one)) / third for one in (bend[1], bend[0])]
    own = float(np.hypot(*(curve[1] - start))), float(np.hypot(*(end - curve[2])))
    curve[1] = start + min(own[0], reach[0]) * leaving
    curve[2] = end - min(own[1], reach[1]) * arriving
    return Path(curve[None])


def step_of(before: Path, after: Path) -> float:
    """How far a line from the one path to the other goes the wrong way (mm); 0 where it bends one way."""
    leaving, arriving = end_tangents(before.curves[-1:])[0], start_tangents(after.curves[:1])[0]
    first, second = _bends(before.end, leaving, after.start, arriving)
    least = min(abs(float(first)), abs(float(second)))
    return float(np.hypot(*(after.start - before.end))) * float(np.sin(least)) if first * second < 0 else 0.0


def _bends(
    start: np.ndarray, leaving: np.ndarray, end: np.ndarray, arriving: np.ndarray
) -> Tuple[np.ndarray, np.ndarray]:
    """By how much (radians, signed) a line turns from its start to its chord, and on to its end."""
    chord = end - start
    return _turn(leaving, chord), _turn(chord, arriving)


def _turn(one: np.ndarray, other: np.ndarray) -> np.ndarray:
    cross = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return np.arctan2(cross, (one * other).sum(axis=-1))


def _room(path: Path, held: Sequence[np.ndarray]) -> float:
    """How much of a path may be drawn anew from its start (mm)."""
    room = (1.0 - _KEPT) * path_length(path)
    for spot in held:
        near = nearest(path, spot)
        if near.distance <= _HELD:
            upto = path_length(cut(path, Place(0, 0.0), near.place)) if near.place > Place(0, 0.0) else 0.0
            room = min(room, max(upto - _HELD, 0.0))
    return room


def _shorter(path: Path, back: float) -> Path:
    return cut(path, Place(0, 0.0), place_at(path, path_length(path) - back)) if back > 0 else path


def _later(path: Path, back: float) -> Path:
    return cut(path, place_at(path, back), Place(len(path) - 1, 1.0)) if back > 0 else path
