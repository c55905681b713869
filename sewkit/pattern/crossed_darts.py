"""Darts of an outline where strips are let in across them: point and angle are kept.

A dart that stands along the axis, its mouth on a waist or a shoulder: a strip moves its point
and its mouth apart.  The legs are prolonged or cut back along themselves until they meet the
edges at the mouth where those are now, and these edges go on to, or end at, the legs.  The
dart is wider or narrower then.

A dart that lies across the axis, its mouth on a side edge: a strip would make one leg longer
than the other, and they are sewn together.  There the dart goes as one with its point, and the
edges at its mouth take up the length.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.path import Path, Place, cut
from sewkit.geometry.stretch import drawn_straight
from sewkit.pattern.fold_mouth import fold_mouths
from sewkit.pattern.outline import Outline
from sewkit.pattern.shifts import ON_LINE, Shifts

# An edge is prolonged by at most this part of its last curve as that curve goes on; further
# on it would bend away.
_GOES_ON = 0.5

# A dart that rises by less than this part of its length lies across (45 degrees).
_ACROSS = 0.7071


class DartChange(NamedTuple):
    """What became of a dart.

    ``before``, ``after``: its width at the mouth (mm); ``legs``: the lengths of its legs
    now, from point to mouth; ``whole``: it went as one piece with its point.
    """

    name: str
    size: str
    before: float
    after: float
    legs: Tuple[float, float]
    whole: bool


class Dart(NamedTuple):
    """Two legs of an outline, by the numbers of their edges; and how its ends and point go (mm).

    ``whole``: it lies across the axis, so it goes as one with its point.
    """

    first: int
    second: int
    mouth: Tuple[float, float]
    point: float
    whole: bool

    @property
    def crossed(self) -> bool:
        """Whether a strip lies anywhere between its three ends."""
        return len({self.point, *self.mouth}) > 1


def darts_of(outline: Outline, names: Sequence[str], shifts: Shifts) -> Optional[List[Dart]]:
    """The darts cut into an outline; None where legs do not come by twos.  A pleat's mouth has no legs."""
    edges, count = outline.edges, len(outline.edges)
    mouths = {number for mouth in fold_mouths(outline, names) for number in mouth.edges}
    legs = [edge.name in names and number not in mouths for number, edge in enumerate(edges)]
    found: List[Dart] = []
    if all(legs) or not any(legs):
        return found if not any(legs) else None
    start = legs.index(False)
    at = 0
    while at < count:
        i, j = (start + at) % count, (start + at + 1) % count
        at += 2 if legs[i] else 1
        if not legs[i]:
            continue
        if not legs[j] or at > count:
            return None
        first, second = (outline.path.part(edges[n].start, edges[n].stop) for n in (i, j))
        mouth = shifts.at(first.start), shifts.at(second.end)
        found.append(
            Dart(i, j, mouth, shifts.at(first.end), lies_across(first.start, first.end, second.end, shifts))
        )
    return found


def lies_across(first: np.ndarray, tip: np.ndarray, second: np.ndarray, shifts: Shifts) -> bool:
    """Whether a dart from the middle of its mouth to its point runs across the axis more than along it."""
    way = tip - (first + second) / 2.0
    return abs(float(way @ shifts.way)) < _ACROSS * float(np.hypot(*way))


def redrawn_dart(
    dart: Dart, legs: Tuple[Path, Path], sides: Tuple[Path, Path], shifts: Shifts
) -> Tuple[Tuple[Path, Path], Tuple[Path, Path]]:
    """A crossed dart's legs and the edges before and after it, made to meet.

    Args:
        legs: as they were, to the point and from it.
        sides: the moved edges at the mouth, before and after the dart.

    ``ValueError`` where a leg does not meet its edge.
    """
    tip = shifts.moved(legs[0].end, dart.point)
    if dart.whole or not dart.crossed:
        made = [shifts.moved(leg.curves, dart.point) for leg in legs]
        return (Path(made[0]), Path(made[1])), sides
    before = _ended(sides[0], tip, legs[0].start - legs[0].end)
    after = _ended(sides[1].reverse(), tip, legs[1].end - legs[1].start).reverse()
    first = _scaled(legs[0].reverse(), tip, before.end).reverse()
    second = _scaled(legs[1], tip, after.start)
    return (first, second), (before, after)


def change_of(dart: Dart, outline: Outline, old: Tuple[Path, Path], new: Tuple[Path, Path]) -> DartChange:
    """A dart's width before and after, and its legs now."""
    widths = [float(np.hypot(*(second.end - first.start))) for first, second in (old, new)]
    reach = [float(np.hypot(*(leg.end - leg.start))) for leg in new]
    name = outline.edges[dart.first].name
    return DartChange(name, outline.size, widths[0], widths[1], (reach[0], reach[1]), dart.whole)


def _scaled(leg: Path, tip: np.ndarray, end: np.ndarray) -> Path:
    """A leg from its point, as much longer or shorter as its new end asks."""
    old = leg.end - leg.start
    share = float(np.hypot(*(end - tip)) / np.hypot(*old))
    curves = tip + (leg.curves - leg.start) * share
    curves[0, 0], curves[-1, 3] = tip, end
    return Path(curves)


def _ended(side: Path, tip: np.ndarray, along: np.ndarray) -> Path:
    """An edge whose end is put where it meets the ray from the point along a leg."""
    if float(np.hypot(*along)) <= ON_LINE:
        raise ValueError("a leg has no length")
    if abs(_aside(side.end, tip, along)) <= 1e-12 * float(np.hypot(*along)):
        return side
    found = [place for place in crossings_with_line(side, tip, along) if _ahead(side, place, tip, along)]
    if found:
        last = found[-1]
        if last.curve + last.t > 0:
            return cut(side, Place(0, 0.0), last)
    return _prolonged(side, tip, along)


def _aside(spot: np.ndarray, tip: np.ndarray, along: np.ndarray) -> float:
    way = spot - tip
    return float(along[0] * way[1] - along[1] * way[0]) / float(np.hypot(*along))


def _ahead(side: Path, place: Place, tip: np.ndarray, along: np.ndarray) -> bool:
    return float((_extended(side.curves[place.curve], place.t)[3] - tip) @ along) > 0


def _prolonged(side: Path, tip: np.ndarray, along: np.ndarray) -> Path:
    """The edge's last curve drawn on, as it goes, to the ray."""
    last, straight = side.curves[-1], bool(drawn_straight(side.curves[-1:])[0])
    u = last[3] - last[0] if straight else _end_direction(last)
    cross = u[0] * along[1] - u[1] * along[0]
    if cross == 0:
        raise ValueError("a leg does not meet the edge at its mouth")
    # First as if the curve went straight on; then on the curve itself.
    way = tip - last[3]
    ahead = float(way[0] * along[1] - way[1] * along[0]) / float(cross)
    if ahead < 0:
        raise ValueError("a leg does not meet the edge at its mouth")
    t = 1.0 + (ahead if straight else min(ahead / 3.0, _GOES_ON))
    for _ in range(30 if not straight else 0):
        made = _extended(last, t)
        slope = 3.0 * (made[3] - made[2]) / t
        step = _aside(made[3], tip, along) / (_aside(tip + slope, tip, along) or np.inf)
        t -= step
        if abs(step) < 1e-15:
            break
    if not 1.0 <= t <= 1.0 + (np.inf if straight else _GOES_ON):
        raise ValueError("a leg does not meet the edge at its mouth")
    return Path(np.concatenate([side.curves[:-1], _extended(last, t)[None]]))


def _end_direction(curve: np.ndarray) -> np.ndarray:
    return next((curve[3] - p for p in curve[2::-1] if np.hypot(*(curve[3] - p)) > 1e-9), curve[3] - curve[0])


def _extended(curve: np.ndarray, t: float) -> np.ndarray:
    """The curve from 0 to a parameter that may lie beyond 1 (de Casteljau's steps hold there too)."""
    p0, p1, p2, p3 = curve
    a, b, c = p0 + t * (p1 - p0), p1 + t * (p2 - p1), p2 + t * (p3 - p2)
    d, e = a + t * (b - a), b + t * (c - b)
    return np.array([p0, a, d, d + t * (e - d)])
