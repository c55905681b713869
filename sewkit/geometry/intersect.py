"""Where paths meet.

Two curves are halved until either their boxes part, or their directions differ so much
that they can meet only once; Newton's method then finds the place.

Not a crossing: two curves lying on each other, or touching without a corner.  Where an open
path ends on the other path, though, that is reported, whatever the angle; so is a corner
that both paths have.  Crossings flatter than about 0.05 degrees cannot be told from a touch.

    crossings(path, other)                       # two paths
    self_crossings(path)                         # one path with itself
    crossings_with_line(path, (0, 120), (1, 0))  # a path with an endless straight line
"""

from typing import List, NamedTuple, Tuple

import numpy as np

from sewkit.geometry import cubic
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, cut, derivative, point
from sewkit.geometry.tolerance import EXACT, SAME_POINT

# Directions (radians) that differ less count as parallel: far above rounding, far below
# any crossing that a pencil could show.
_PARALLEL = 1e-6
# A piece whose directions spread less than this (radians) cannot cross itself.
_ONE_WAY = 2.8
# Halving this often makes a ten metre curve shorter than SAME_POINT.
_ROUNDS = 34


class Crossing(NamedTuple):
    """A point ``(2,)`` where two paths meet, and its place on each."""

    first: Place
    second: Place
    point: np.ndarray


class _Pieces(NamedTuple):
    """Pieces of curves: control points, number of the curve, and the part ``[low, high]``."""

    curves: np.ndarray
    number: np.ndarray
    low: np.ndarray
    high: np.ndarray

    def take(self, rows: np.ndarray) -> "_Pieces":
        return _Pieces(*(field[rows] for field in self))

    def halves(self) -> Tuple["_Pieces", "_Pieces"]:
        p0, p1, p2, p3 = (self.curves[:, k] for k in range(4))
        a, b, c = 0.5 * (p0 + p1), 0.5 * (p1 + p2), 0.5 * (p2 + p3)
        d, e = 0.5 * (a + b), 0.5 * (b + c)
        middle, half = 0.5 * (d + e), 0.5 * (self.low + self.high)
        front, back = np.stack([p0, a, d, middle], 1), np.stack([middle, e, c, p3], 1)
        return (
            _Pieces(front, self.number, self.low, half),
            _Pieces(back, self.number, half, self.high),
        )


class _Hits(NamedTuple):
    """Crossings found: curve number and parameter on both sides, arrays ``(k,)``."""

    first: np.ndarray
    t: np.ndarray
    second: np.ndarray
    s: np.ndarray


def crossings(first: Path, second: Path) -> List[Crossing]:
    """Every place where two paths cross or an end of one lies on the other.

    Exact to 1e-9 mm; ends count within ``SAME_POINT``.  In order along the first path.
    """
    a, b = _pieces(first), _pieces(second)
    rows, columns = _near(a.curves, b.curves)
    same = (a.curves[rows] == b.curves[columns]).all(axis=(1, 2))
    hits = _search(a.take(rows[~same]), b.take(columns[~same]))
    hits = _refine(first, second, hits)
    found = _crossings(first, hits) + _touching_ends(first, second)
    return _distinct(first, second, found)


def self_crossings(path: Path) -> List[Crossing]:
    """Every place where a path crosses itself; where neighbours join is not one.

    ``first`` is the earlier place of the two.  In order along the path.
    """
    pieces = _one_way(_pieces(path))
    rows, columns = _near(pieces.curves, pieces.curves)
    rows, columns = rows[rows < columns], columns[rows < columns]
    hits = _search(pieces.take(rows), pieces.take(columns))
    hits = _refine(path, path, hits)
    found = [c for c in _crossings(path, hits) if not _same_place(path, c.first, c.second)]
    found = [c if c.first <= c.second else Crossing(c.second, c.first, c.point) for c in found]
    return _distinct(path, path, found)


def crossings_with_line(
    path: Path, on: "np.typing.ArrayLike", direction: "np.typing.ArrayLike"
) -> List[Place]:
    """Places where a path meets the endless line through ``on``, in order along the path.

    Touches within 1e-9 mm count.  A stretch that lies on the line gives its two ends.
    At a node the place is the start of the curve after it.
    """
    along = np.asarray(direction, np.float64)
    size = np.hypot(along[0], along[1])
    if not size > 0:
        raise ValueError("a line needs a direction")
    square = np.array([along[1], -along[0]]) / size
    aside = (path.curves - np.asarray(on, np.float64)) @ square
    places = [_forward(path, Place(int(i), float(t))) for i, t in zip(*cubic.solve(aside))]
    kept: List[Place] = []
    for place in sorted(places):
        # In order, a double can only be beside the one before or, round the seam, the first.
        if not any(_same_place(path, place, other) for other in kept[-1:] + kept[:1]):
            kept.append(place)
    return kept


def _pieces(path: Path) -> _Pieces:
    """Every curve as one piece; curves of no length are left out."""
    extent = np.ptp(path.curves, axis=1).max(axis=1) if len(path) else np.zeros(0)
    number = np.flatnonzero(extent > 0)
    return _Pieces(path.curves[number], number, np.zeros(len(number)), np.ones(len(number)))


def _one_way(pieces: _Pieces) -> _Pieces:
    """Halve pieces until none can cross itself."""
    done = []
    for _ in range(_ROUNDS):
        low, high, _ = _directions(pieces.curves)
        small = np.ptp(pieces.curves, axis=1).max(axis=1) < SAME_POINT
        good = (high - low < _ONE_WAY) | small
        done.append(pieces.take(np.flatnonzero(good)))
        front, back = pieces.take(np.flatnonzero(~good)).halves()
        pieces = _stack([front, back])
        if not len(pieces.number):
            break
    pieces = _stack(done)
    return pieces.take(np.lexsort((pieces.low, pieces.number)))


def _stack(many: List[_Pieces]) -> _Pieces:
    return _Pieces(*(np.concatenate(fields) for fields in zip(*many)))


def _near(first: np.ndarray, second: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
    """Row and column numbers of the curves whose boxes meet."""
    low, high = first.min(axis=1) - EXACT, first.max(axis=1) + EXACT
    other_low, other_high = second.min(axis=1), second.max(axis=1)
    meet = (low[:, None] <= other_high) & (high[:, None] >= other_low)
    rows, columns = np.nonzero(meet.all(axis=2))
    return rows, columns


def _search(a: _Pieces, b: _Pieces) -> _Hits:
    """Find all transversal crossings of pairs of pieces."""
    hits = []
    for _ in range(_ROUNDS):
        if not len(a.number):
            break
        open_pairs = np.flatnonzero(~_apart(a.curves, b.curves))
        a, b = a.take(open_pairs), b.take(open_pairs)
        once = _meet_once(a.curves, b.curves)
        t, s, met = _newton(a.curves, b.curves, once)
        hits.append(
            _Hits(
                a.number[met],
                (a.low + t * (a.high - a.low))[met],
                b.number[met],
                (b.low + s * (b.high - b.low))[met],
            )
        )
        rest = np.flatnonzero(~met & (once | ~_flat_together(a.curves, b.curves)))
        a_halves, b_halves = a.take(rest).halves(), b.take(rest).halves()
        a = _stack([half for half in a_halves for _ in b_halves])
        b = _stack([half for _ in a_halves for half in b_halves])
    if not hits:
        hits = [_Hits(*(np.zeros(0, kind) for kind in (int, float, int, float)))]
    return _Hits(*(np.concatenate(fields) for fields in zip(*hits)))


def _axis(curves: np.ndarray) -> np.ndarray:
    """A unit direction for each curve: its chord, or else toward a handle."""
    toward = curves[:, 3:0:-1] - curves[:, :1]
    size = np.hypot(toward[..., 0], toward[..., 1])
    pick = (size > 1e-6 * size.max(axis=1)[:, None]).argmax(axis=1)
    row = np.arange(len(curves))
    length = size[row, pick]
    return toward[row, pick] / np.where(length > 0, length, 1.0)[:, None]


def _directions(curves: np.ndarray) -> Tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The range of directions of each curve, as angles from its axis, and the axis."""
    axis = _axis(curves)
    steps = np.diff(curves, axis=1)
    across = axis[:, None, 0] * steps[..., 1] - axis[:, None, 1] * steps[..., 0]
    angle = np.arctan2(across, (axis[:, None] * steps).sum(axis=2))
    return np.minimum(angle.min(axis=1), 0.0), np.maximum(angle.max(axis=1), 0.0), axis


def _aside(axis: np.ndarray, origin: np.ndarray, curves: np.ndarray) -> np.ndarray:
    """Distances ``(n, 4)`` of control points from lines."""
    away = curves - origin[:, None]
    return axis[:, None, 0] * away[..., 1] - axis[:, None, 1] * away[..., 0]


def _apart(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Tell which pairs of curves certainly do not meet: boxes upright and along each chord."""
    gap = np.maximum(first.min(axis=1) - second.max(axis=1), second.min(axis=1) - first.max(axis=1))
    apart = (gap > EXACT).any(axis=1)
    for one, other in ((first, second), (second, first)):
        axis = _axis(one)
        own, others = _aside(axis, one[:, 0], one), _aside(axis, one[:, 0], other)
        apart |= others.min(axis=1) > own.max(axis=1) + EXACT
        apart |= others.max(axis=1) < own.min(axis=1) - EXACT
    return apart


def _meet_once(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Tell which pairs share no direction, so that they meet at most once.

    Two meetings would give both curves a piece with the same chord, and by the mean
    value theorem each would somewhere run in that direction.
    """
    low, high, axis = _directions(first)
    other_low, other_high, other = _directions(second)
    cross = axis[:, 0] * other[:, 1] - axis[:, 1] * other[:, 0]
    between = np.arctan2(cross, (axis * other).sum(axis=1))
    once = np.zeros(len(first), bool)
    for half_turn in (-np.pi, 0.0, np.pi):
        lowest = other_low + between + half_turn
        highest = other_high + between + half_turn
        once |= (lowest > high + _PARALLEL) & (highest < low + np.pi - _PARALLEL)
    return once


def _flat_together(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """Tell which pairs lie within ``SAME_POINT`` of one line."""
    axis = _axis(first)
    own = np.abs(_aside(axis, first[:, 0], first)).max(axis=1)
    others = np.abs(_aside(axis, first[:, 0], second)).max(axis=1)
    return np.maximum(own, others) <= SAME_POINT


def _newton(
    first: np.ndarray, second: np.ndarray, wanted: np.ndarray
) -> Tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Parameters on both curves of the wanted pairs, and which of them really meet."""
    count = len(first)
    t, s = np.full(count, 0.5), np.full(count, 0.5)
    met = np.zeros(count, bool)
    rows = np.flatnonzero(wanted)
    if len(rows):
        t[rows], s[rows] = _steps(first[rows], second[rows], t[rows], s[rows], 12)
        gap = point(first[rows], t[rows]) - point(second[rows], s[rows])
        met[rows] = np.hypot(gap[:, 0], gap[:, 1]) <= EXACT
    return t, s, met


def _steps(
    first: np.ndarray, second: np.ndarray, t: np.ndarray, s: np.ndarray, count: int
) -> Tuple[np.ndarray, np.ndarray]:
    """Newton steps towards a common point, kept within both curves."""
    for _ in range(count):
        gap = point(second, s) - point(first, t)
        u, v = derivative(first, t), derivative(second, s)
        det = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
        det = np.where(det == 0, np.inf, det)
        dt = (gap[:, 0] * v[:, 1] - gap[:, 1] * v[:, 0]) / det
        ds = (gap[:, 0] * u[:, 1] - gap[:, 1] * u[:, 0]) / det
        t, s = np.clip(t + dt, 0.0, 1.0), np.clip(s + ds, 0.0, 1.0)
    return t, s


def _refine(first: Path, second: Path, hits: _Hits) -> _Hits:
    """Two more steps on the whole curves, which are free of the rounding of the halving."""
    if not len(hits.first):
        return hits
    a, b = first.curves[hits.first], second.curves[hits.second]
    t, s = _steps(a, b, hits.t, hits.s, 2)
    before = point(a, hits.t) - point(b, hits.s)
    after = point(a, t) - point(b, s)
    better = (after * after).sum(axis=1) < (before * before).sum(axis=1)
    return hits._replace(t=np.where(better, t, hits.t), s=np.where(better, s, hits.s))


def _crossings(path: Path, hits: _Hits) -> List[Crossing]:
    spots = point(path.curves[hits.first], hits.t)
    return [
        Crossing(Place(int(i), float(t)), Place(int(j), float(s)), spot)
        for i, t, j, s, spot in zip(*hits, spots)
    ]


def _touching_ends(first: Path, second: Path) -> List[Crossing]:
    """Ends of open paths that lie on the other path."""
    found: List[Crossing] = []
    if not len(first) or not len(second):
        return found
    for path, other, swapped in ((first, second, False), (second, first, True)):
        if path.closed:
            continue
        for place, end in (
            (Place(0, 0.0), path.start),
            (Place(len(path) - 1, 1.0), path.end),
        ):
            if _far(other, end):
                continue
            there = nearest(other, end)
            if there.distance <= SAME_POINT:
                pair = (there.place, place) if swapped else (place, there.place)
                found.append(Crossing(pair[0], pair[1], end))
    return found


def _far(path: Path, spot: np.ndarray) -> bool:
    """Whether a point lies so far outside the box of a path that it cannot be on it."""
    points = path.curves.reshape(-1, 2)
    beyond = np.maximum(points.min(axis=0) - spot, spot - points.max(axis=0))
    return bool(beyond.max() > 2 * SAME_POINT)


def _forward(path: Path, place: Place) -> Place:
    """Name a node as the start of the curve after it, where there is one."""
    number, t = place
    count = len(path)
    if t == 1.0 and (path.closed or number + 1 < count):
        return Place((number + 1) % count, 0.0)
    return place


def _same_place(path: Path, one: Place, other: Place) -> bool:
    """Tell whether two places are one: the path between them does not leave the spot."""
    if one == other:
        return True
    here, there = (point(path.curves[place.curve][None], place.t)[0] for place in (one, other))
    if np.hypot(*(here - there)) > SAME_POINT:
        return False
    early, late = sorted((one, other))
    ways = [(early, late)] + ([(late, early)] if path.closed else [])
    for start, stop in ways:
        between = cut(path, start, stop).curves.reshape(-1, 2)
        if not len(between) or np.ptp(between, axis=0).max() <= 2 * SAME_POINT:
            return True
    return False


def _distinct(first: Path, second: Path, found: List[Crossing]) -> List[Crossing]:
    """One of each, named by the start of the following curve at nodes, in order."""
    kept: List[Crossing] = []
    for crossing in found:
        double = any(
            np.hypot(*(crossing.point - other.point)) <= SAME_POINT
            and _same_place(first, crossing.first, other.first)
            and _same_place(second, crossing.second, other.second)
            for other in kept
        )
        if not double:
            one, two = _forward(first, crossing.first), _forward(second, crossing.second)
            kept.append(Crossing(one, two, crossing.point))
    return sorted(kept, key=lambda crossing: (crossing.first, crossing.second))
