"""An edge that was opened, drawn anew as one soft line from corner to corner, as a cutter lays a curve.

    made = whole_edge(bits, around, old)     # the moved bits, the two neighbours, the edge as it was
    made.path, made.away, made.turned

Both ends keep their direction, so that the edge meets its neighbours as before.  Where one line
would then have to bend both ways like an S, the end that is not square gives a little of its
direction, so that it bends one way.  A hinge on the other edge is softened by ``softened_hinge``.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.bridge import soft
from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, cut, end_tangents, join, point, start_tangents
from sewkit.geometry.tolerance import CORNER_TURN

# One line that strays further from where the slashes left the edge than this share of it is another shape.
# Common practice, no source.
_FURTHEST = 0.06

# A corner within this (degrees) of a right angle is square and stays so; another may turn by as
# much as the second, which at a hem's point nobody sees.  Common practice, no source.
_SQUARE, _GIVES = 3.0, 3.0

# The flatter end of a line that bends one way bends by so much of what the other does.
_EVEN = 0.4

# Bends smaller than this (radians) are straight: 0.05 degrees.
_BENT = 1e-3

# A kink up to this (degrees) is none to the eye; a hinge is softened over so much of each side (mm),
# but of no side over more than that share.
_NO_KINK, _REACH, _SHARE = 1.0, 40.0, 0.45

# Where a curve is sampled to see how far the line strays.
_SAMPLES = np.linspace(0.0, 1.0, 9)


class WholeEdge(NamedTuple):
    """One run of an edge as one soft line.

    Args:
        path: open, of one curve.
        away: how far (mm) it strays at most from the bits it replaces.
        turned: by how much (degrees) its corners at start and end were turned; 0 as a rule.
    """

    path: Path
    away: float
    turned: Tuple[float, float]


def whole_edge(
    bits: Sequence[Path], around: Tuple[Path, Path], old: Path, gives: bool = True
) -> Optional[WholeEdge]:
    """One line through open bits (mm) in path order; None where that would be another shape.

    ``around``: the edges that meet the first bit's start and the last bit's end.  ``old``: the edge
    before it was opened; one that bent both ways may do so again.  ``gives``: whether an end may.
    """
    start, end = bits[0].start, bits[-1].end
    ways = start_tangents(bits[0].curves[:1])[0], end_tangents(bits[-1].curves[-1:])[0]
    chord = end - start
    bends = _turn(ways[0], chord), _turn(chord, ways[1])
    was = _bends(old)
    if max(abs(bend) for bend in bends) >= np.pi / 2.0:
        return None
    able = gives and _gives(kink(around[0], bits[0])), gives and _gives(kink(bits[-1], around[1]))
    like_an_s = was[0] * was[1] < 0.0 and min(abs(was[0]), abs(was[1])) > np.radians(_GIVES)
    turns = (0.0, 0.0) if like_an_s else _given(bends, able)
    leaving, arriving = _rotated(ways[0], turns[0]), _rotated(ways[1], turns[1])
    path = Path(_one_way(start, leaving, end, arriving)[None])
    spots = np.concatenate([point(bit.curves, t) for bit in bits for t in _SAMPLES])
    away = max(nearest(path, spot).distance for spot in spots)
    degrees = np.degrees(np.abs(turns))
    if away > _FURTHEST * np.hypot(*chord):
        return None
    return WholeEdge(path, away, (float(degrees[0]), float(degrees[1])))


def softened_hinge(bits: Sequence[Path], before: Sequence[float]) -> Path:
    """Bits that meet in kinks at hinges, joined, with a soft line through every kink that is new.

    The line runs through the hinge itself where one side has a bow that can take the kink up; else
    it cuts the corner.  ``before``: how the edge turned at each of these places (degrees) before.
    """
    done = list(bits[:1])
    for after, old in zip(bits[1:], before):
        now = kink(done[-1], after)
        if _NO_KINK < abs(now) <= CORNER_TURN and abs(now) > abs(old):
            done[-1:] = _softly(done[-1], after)
        else:
            done.append(after)
    return join(done)


def _softly(before: Path, after: Path) -> List[Path]:
    """Two paths that meet in a kink, with one soft curve between them."""
    rooms = [min(_REACH, _SHARE * path_length(path)) for path in (before, after)]
    tried = []
    for back, ahead in ((rooms[0], 0.0), (0.0, rooms[1]), (rooms[0], rooms[1])):
        first = cut(before, Place(0, 0.0), place_at(before, path_length(before) - back)) if back else before
        last = cut(after, place_at(after, ahead), Place(len(after) - 1, 1.0)) if ahead else after
        leaving, arriving = end_tangents(first.curves[-1:])[0], start_tangents(last.curves[:1])[0]
        bends = _turn(leaving, last.start - first.end), _turn(last.start - first.end, arriving)
        between = Path(_one_way(first.end, leaving, last.start, arriving)[None])
        tried.append((bends, [first, between, last]))
    even = [made for bends, made in tried[:2] if _evenly(*bends)]
    return (even or [tried[2][1]])[0]


def _evenly(first: float, second: float) -> bool:
    """Whether a line bends one way, and about as much at both ends."""
    return first * second > 0 and min(abs(first), abs(second)) >= _EVEN * max(abs(first), abs(second))


def kink(before: Path, after: Path) -> float:
    """How a line turns (degrees, signed) from the end of one path to the start of the next."""
    turn = _turn(end_tangents(before.curves[-1:])[0], start_tangents(after.curves[:1])[0])
    return float(np.degrees(turn))


def _bends(path: Path) -> Tuple[float, float]:
    """By how much (radians, signed) a path turns from its start to its chord, and on to its end."""
    chord = path.end - path.start
    return (
        _turn(start_tangents(path.curves[:1])[0], chord),
        _turn(chord, end_tangents(path.curves[-1:])[0]),
    )


def _gives(turn: float) -> bool:
    """Whether an end may turn where it meets its neighbour: at a corner (degrees) that is not square."""
    return abs(turn) > CORNER_TURN + _GIVES and abs(abs(turn) - 90.0) > _SQUARE


def _given(bends: Tuple[float, float], able: Tuple[bool, bool]) -> Tuple[float, float]:
    """By how much (radians) the direction at each end turns, so that the line bends one way."""
    if bends[0] * bends[1] >= 0.0 or min(abs(bend) for bend in bends) < _BENT:
        return 0.0, 0.0
    # The bend at the start is from the line to its chord: turning the line takes it away.
    at_start = bends[0] - _EVEN * bends[1]
    at_end = _EVEN * bends[0] - bends[1]
    ways = [(at_start, 0.0)] if able[0] else []
    ways += [(0.0, at_end)] if able[1] else []
    least = min(ways, key=lambda way: abs(sum(way)), default=(0.0, 0.0))
    return least if abs(sum(least)) <= np.radians(_GIVES) else (0.0, 0.0)


def _one_way(start: np.ndarray, leaving: np.ndarray, end: np.ndarray, arriving: np.ndarray) -> np.ndarray:
    """One cubic; where it can bend one way, no handle reaches past where both directions meet."""
    curve, chord = soft(start, leaving, end, arriving), end - start
    first, second = _turn(leaving, chord), _turn(chord, arriving)
    if first * second > 0:
        # The law of sines in the triangle of chord and directions; two thirds of its sides are a parabola.
        size = 2.0 / 3.0 * np.hypot(*chord) / abs(np.sin(first + second))
        for row, spot, way, bend in ((1, start, leaving, second), (2, end, -arriving, first)):
            own = float(np.hypot(*(curve[row] - spot)))
            curve[row] = spot + min(own, size * abs(np.sin(bend))) * way
    return curve


def _turn(one: np.ndarray, other: np.ndarray) -> float:
    return float(np.arctan2(one[0] * other[1] - one[1] * other[0], one @ other))


def _rotated(way: np.ndarray, by: float) -> np.ndarray:
    cos, sin = np.cos(by), np.sin(by)
    return np.array([cos * way[0] - sin * way[1], sin * way[0] + cos * way[1]])
