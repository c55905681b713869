"""A dart moved parallel to another place: its angle stays, its legs are drawn to the edge there.

    moved_dart(piece, outline, dart, vector)      # (2,) mm

Where it was the edge is restored, where it is now the edge ends at its mouth as it did before: a
straight edge is straight on both sides and meets the closed dart under the same angle; a curve
that runs on over the closed dart does so at the new place too.  Moved back it is what it was.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.bridge import soft
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.one_cubic import one_cubic
from sewkit.geometry.path import (
    Path,
    Place,
    cut,
    derivative,
    end_tangents,
    is_line,
    point,
    second_derivative,
    start_tangents,
)
from sewkit.geometry.rejoin import rejoined
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.geometry.transform import Transform, move, turn
from sewkit.pattern.changed_dart import (
    ChangedDart,
    along,
    gain_at,
    refuse_crossed,
    triangle,
    with_runs,
)
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.dart_width import beside, outline_run
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.edge_end import is_straight, moved_end, moved_start
from sewkit.pattern.outline import Outline, begun_at_an_edge
from sewkit.pattern.parting import with_nodes
from sewkit.pattern.piece import Piece
from sewkit.pattern.spoke_joint import Bit, outline_of
from sewkit.pattern.spokes import reshaped

# So much of an edge is left beside a dart, and so much of a leg, at least (mm).
_LEFT, _LEAST_LEG = 1.0, 5.0

# The way between two legs is found to this (degrees), in at most so many halvings.
_EXACT, _STEPS = 1e-12, 200

# A leg that ends this near to a node (mm) ends at it.
_ON_NODE = 1e-6


class _Moved(NamedTuple):
    """A dart on its way.

    Args:
        dart: as it was; ``before``, ``after``: the numbers of the edges beside it.
        point: where its point goes (2,).
        ways: unit directions (2, 2) from the point to both ends of its mouth.
        longer: by how much the second leg is longer, straight across (mm).
        closing: the turn (degrees clockwise) that lays the second leg on the first.
    """

    dart: Dart
    before: int
    after: int
    point: np.ndarray
    ways: np.ndarray
    longer: float
    closing: float

    def closed(self, point: np.ndarray) -> Transform:
        """The move that lays the end of the second leg on that of the first, for a dart with this point."""
        return turn(self.closing, point).then(move(*(-self.longer * self.ways[0])))


def moved_dart(piece: Piece, outline: Outline, dart: Dart, vector: np.ndarray) -> ChangedDart:
    """The dart moved by a vector (2,), mm.

    ``InputError``: it would leave the piece, its legs would end on two edges, or it lies at a
    corner of the piece, where no edge could be restored.
    """
    if len(outline.edges) == 3:
        outline, dart = _in_halves(piece, outline, dart)
    it = _on_its_way(outline, dart, np.asarray(vector, np.float64))
    _refuse_corner(piece, outline, it)
    landing = _landing(piece, outline, it)
    own = landing in (it.before, it.after, -1)
    new = _on_its_edge(piece, outline, it) if own else _on_another(piece, outline, it, landing)
    refuse_crossed(piece, outline, new, dart.name, [it.point])
    name = outline.edges[it.before].name
    legs = [number for number, edge in enumerate(new.edges) if edge.name == dart.name]
    was = along(outline, it.before, True)
    gains, notches = [], []
    if own:
        now = along(new, (legs[0] - 1) % len(new.edges), True)
        for edge in dict.fromkeys((name, outline.edges[it.after].name)):
            change = new.as_sewn(edge) - outline.as_sewn(edge)
            gains.append(gain_at(edge, max(was, now) if edge == name else 0.0, change))
        notches.append((name, was, now))
    else:
        there = outline.edges[landing].name
        now = along(new, (legs[0] - 1) % len(new.edges), True)
        if there != name:
            gains.append(gain_at(name, was, new.as_sewn(name) - outline.as_sewn(name)))
            gains.append(gain_at(there, now, new.as_sewn(there) - outline.as_sewn(there), before=False))
    carry = move(*(it.point - dart.point))
    return ChangedDart(dart.name, outline, new, tuple(gains), triangle(dart), carry, tuple(notches))


def _in_halves(piece: Piece, outline: Outline, dart: Dart) -> Tuple[Outline, Dart]:
    """The outline of a piece with one edge all round as two runs of it, so that each has its own end."""
    number = beside(outline, dart)[0]
    run, edge = outline_run(outline, number), outline.edges[number]
    middle = place_at(run, path_length(run) / 2.0)
    halved, (node,) = with_nodes(outline, [Place(edge.start + middle.curve, middle.t)])
    edge, edges = halved.edges[number], list(halved.edges)
    edges[number : number + 1] = [edge._replace(stop=node), edge._replace(start=node, smooth=True)]
    halved = halved._replace(edges=tuple(edges))
    return halved, dart_named(piece.with_outline(halved), halved, dart.name)


def _on_its_way(outline: Outline, dart: Dart, vector: np.ndarray) -> _Moved:
    away = dart.mouth - dart.point
    long = np.hypot(away[:, 0], away[:, 1])
    ways = away / long[:, None]
    cross = ways[1, 0] * ways[0, 1] - ways[1, 1] * ways[0, 0]
    closing = float(np.degrees(np.arctan2(cross, ways[1] @ ways[0])))
    before, after = beside(outline, dart)
    return _Moved(dart, before, after, dart.point + vector, ways, float(long[1] - long[0]), closing)


# -- where the legs end -------------------------------------------------------------------


def _landing(piece: Piece, outline: Outline, it: _Moved) -> int:
    """The number of the edge on which both legs end; -1 between the ends of the old mouth."""
    ends = []
    for way in it.ways:
        hits = []
        for number in range(len(outline.edges)):
            if number not in it.dart.edges:
                hits += [(far, number) for far, _ in _ahead(outline_run(outline, number), it.point, way)]
        mouth = Path.through([it.dart.first.start, it.dart.second.end])
        hits += [(far, -1) for far, _ in _ahead(mouth, it.point, way)]
        if not hits:
            raise InputError(
                "The dart '{}' would leave '{}'.".format(it.dart.name, piece.name),
                "Move it by less.",
                code="overlap",
            )
        ends.append(min(hits)[1])
    own = (it.before, it.after, -1)
    met = {outline.edges[number].name for number in ends if number not in own}
    if met & set(piece.darts + piece.folds):
        raise _two_ends(it, outline, "on a fold or another dart,", sorted(met))
    if ends[0] == ends[1] or (ends[0] in own and ends[1] in own):
        return max(ends)
    names = [outline.edges[it.before if n < 0 else n].name for n in ends]
    if names[0] == names[1]:
        raise _two_ends(it, outline, "on both sides of another dart of", names[:1])
    raise _two_ends(it, outline, "on", names)


def _two_ends(it: _Moved, outline: Outline, how: str, names: Sequence[str]) -> InputError:
    edges = " and ".join(quoted(outline, name) for name in names)
    return InputError(
        "The legs of the dart '{}' would end {} {}.".format(it.dart.name, how, edges),
        "Move it by less, or so far that both end on one edge; to turn it, use Darts > Turn a dart.",
        code="overlap",
    )


def _ahead(path: Path, spot: np.ndarray, way: np.ndarray) -> List[Tuple[float, Place]]:
    """How far ahead of a spot (mm) the way meets a path, and where, the nearest first."""
    found = []
    for place in crossings_with_line(path, spot, way):
        far = float((point(path.curves[place.curve][None], place.t)[0] - spot) @ way)
        if far > 0:
            found.append((far, place))
    return sorted(found)


def _met(path: Path, it: _Moved, leg: int) -> Place:
    """Where a leg ends on a path."""
    found = _ahead(path, it.point, it.ways[leg])
    if not found:
        raise _too_far(it)
    place = found[0][1]
    curve = path.curves[place.curve]
    spot = point(curve[None], place.t)[0]
    for t, end in ((0.0, curve[0]), (1.0, curve[3])):
        if np.hypot(*(spot - end)) <= _ON_NODE:
            return Place(place.curve, t)
    return place


def _parts(it: _Moved, path: Path) -> Tuple[Path, Path]:
    """What is left of a path before and behind the mouth."""
    places = [_met(path, it, leg) for leg in (0, 1)]
    first, last = Place(0, 0.0), Place(len(path) - 1, 1.0)
    if not first < places[0] < places[1] < last:
        raise _too_far(it)
    return cut(path, first, places[0]), cut(path, places[1], last)


def _too_far(it: _Moved) -> InputError:
    return InputError(
        "So far moved, the legs of the dart '{}' no longer end on its edge.".format(it.dart.name),
        "Move it by less.",
        code="overlap",
    )


# -- on the edge where it was -------------------------------------------------------------


def _kinks(outline: Outline, it: _Moved) -> Tuple[float, float]:
    """How the edge bends at the mouth (degrees clockwise): as it is drawn, and with the dart closed.

    As it is drawn, a curve may turn over the width of the mouth as it does beside it.
    """
    before, after = outline_run(outline, it.before), outline_run(outline, it.after)
    opened = _turn(end_tangents(before.curves[-1:])[0], start_tangents(after.curves[:1])[0])
    closed = (opened + it.closing + 180.0) % 360.0 - 180.0
    bend = (_bend(before.curves[-1], 1.0) + _bend(after.curves[0], 0.0)) / 2.0
    turned = np.degrees(bend) * float(np.hypot(*(after.start - before.end)))
    return opened - float(np.clip(turned, min(opened, 0.0), max(opened, 0.0))), closed


def _bend(curve: np.ndarray, t: float) -> float:
    """How far a curve turns clockwise a mm at one of its places (radians)."""
    first, second = derivative(curve[None], t)[0], second_derivative(curve[None], t)[0]
    speed = float(np.hypot(*first))
    return float(first[0] * second[1] - first[1] * second[0]) / speed**3 if speed > 0 else 0.0


def _turn(one: np.ndarray, other: np.ndarray) -> float:
    return float(np.degrees(np.arctan2(one[0] * other[1] - one[1] * other[0], one @ other)))


def _refuse_corner(piece: Piece, outline: Outline, it: _Moved) -> None:
    names = [outline.edges[number].name for number in (it.before, it.after)]
    opened, closed = _kinks(outline, it)
    apart = names[0] != names[1] and piece.named
    if not apart and min(abs(opened), abs(closed)) <= CORNER_TURN:
        return
    where = "between {} and {}".format(*(quoted(outline, name) for name in names))
    raise InputError(
        "The dart '{}' of '{}' lies at a corner, {}, so no edge could be restored there.".format(
            it.dart.name, piece.name, where if names[0] != names[1] else "of " + quoted(outline, names[0])
        ),
        "Turn it to another place instead, with Darts > Turn a dart.",
        code="corners",
    )


def _on_its_edge(piece: Piece, outline: Outline, it: _Moved) -> Outline:
    """The outline with the dart at another place of its edge."""
    before, after = (outline_run(outline, number) for number in (it.before, it.after))
    if is_straight(before) and is_straight(after):
        runs = _straight(outline, it, before, after)
    elif abs(_kinks(outline, it)[1]) <= abs(_kinks(outline, it)[0]):
        runs = _over_closed(it, before, after)
    else:
        runs = _parts(it, _over_open(before, after))
    if min(path_length(run) for run in runs) < _LEFT:
        raise _too_far(it)
    legs = _legs(it, runs[0].end, runs[1].start)
    made: Dict[int, Path] = {it.before: runs[0], it.after: runs[1]}
    made.update(zip(it.dart.edges, legs))
    return with_runs(outline, made)


def _legs(it: _Moved, start: np.ndarray, stop: np.ndarray) -> Tuple[Path, Path]:
    """Both legs between the new ends of the mouth, straight or of the old shape."""
    if min(float(np.hypot(*(end - it.point))) for end in (start, stop)) < _LEAST_LEG:
        raise _too_far(it)
    made = []
    for old, ends in ((it.dart.first, (start, it.point)), (it.dart.second, (it.point, stop))):
        made.append(Path.through(ends) if is_line(old.curves).all() else reshaped(old, *ends))
    return made[0], made[1]


def _straight(outline: Outline, it: _Moved, before: Path, after: Path) -> Tuple[Path, Path]:
    """Straight runs that meet over the closed dart under the same angle as before."""
    wanted = _kinks(outline, it)[1]

    def ends(long: float) -> Tuple[np.ndarray, np.ndarray]:
        return it.point + long * it.ways[0], it.point + (long + it.longer) * it.ways[1]

    def off(long: float) -> float:
        first, second = ends(long)
        opened = _turn(first - before.start, after.end - second)
        return (opened + it.closing - wanted + 180.0) % 360.0 - 180.0

    whole = Path.through([before.start, before.end, after.start, after.end])
    guess = [far for leg in (0, 1) for far, _ in _ahead(whole, it.point, it.ways[leg])[:1]]
    if not guess:
        raise _too_far(it)
    long = _solved(off, sum(guess) / len(guess))
    if long is None:
        raise _too_far(it)
    first, second = ends(long)
    try:
        return moved_end(before, first), moved_start(after, second)
    except ValueError:
        raise _too_far(it) from None


def _solved(off, guess: float) -> Optional[float]:
    """Where a function of a length (mm) near a guess is 0; None where it is not."""
    low = high = guess
    for _ in range(60):
        low, high = max(low - 0.02 * guess, 0.05 * guess), high + 0.02 * guess
        if off(low) * off(high) <= 0 and abs(off(low) - off(high)) < 180.0:
            break
    else:
        return None
    at_low = off(low)
    for _ in range(_STEPS):
        middle = (low + high) / 2.0
        here = off(middle)
        if abs(here) <= _EXACT or middle in (low, high):
            return middle
        if here * at_low > 0:
            low, at_low = middle, here
        else:
            high = middle
    return (low + high) / 2.0


def _over_closed(it: _Moved, before: Path, after: Path) -> Tuple[Path, Path]:
    """Curves that run on over the closed dart: closed where it was, opened where it is now."""
    whole = rejoined(before, it.closed(it.dart.point).path(after))
    closed = it.closed(it.point)
    whole = reshaped(whole, before.start, closed.points(after.end))
    place = _met(whole, it, 0)
    last = Place(len(whole) - 1, 1.0)
    if not Place(0, 0.0) < place < last:
        raise _too_far(it)
    first, second = cut(whole, Place(0, 0.0), place), cut(whole, place, last)
    second = closed.inverse().path(second)
    curves = np.array(second.curves)
    curves[-1, 3] = after.end
    return first, Path(curves)


def _over_open(before: Path, after: Path) -> Path:
    """One edge with a soft line over the mouth, straight where both sides are in line."""
    leaving, arriving = end_tangents(before.curves[-1:])[0], start_tangents(after.curves[:1])[0]
    whole = one_cubic(before.curves[-1], after.curves[0])
    if whole is not None:
        return Path(np.concatenate([before.curves[:-1], whole[None], after.curves[1:]]))
    between = Path(soft(before.end, leaving, after.start, arriving)[None])
    return rejoined(rejoined(before, between), after)


# -- on another edge ----------------------------------------------------------------------


def _on_another(piece: Piece, outline: Outline, it: _Moved, landing: int) -> Outline:
    """The outline with its old edge restored and the dart on another one."""
    before, after = (outline_run(outline, number) for number in (it.before, it.after))
    opened, closed = _kinks(outline, it)
    if abs(closed) <= abs(opened):
        restored = rejoined(before, it.closed(it.dart.point).path(after))
        restored = reshaped(restored, before.start, after.end)
    else:
        restored = _over_open(before, after)
    there = outline_run(outline, landing)
    first, second = _parts(it, there)
    if min(path_length(first), path_length(second)) < _LEFT:
        raise _too_far(it)
    legs = _legs(it, first.end, second.start)
    count, bits = len(outline.edges), []
    for number in [(landing + step) % count for step in range(count)]:
        edge = outline.edges[number]
        begins = edge.start == 0
        if number == landing:
            bits += [Bit(it.dart.name, legs[0], False), Bit(it.dart.name, legs[1], False)]
            bits += [Bit(edge.name, second, False)]
        elif number == it.before:
            bits.append(Bit(edge.name, restored, edge.smooth, begins))
        elif number != it.after and number not in it.dart.edges:
            bits.append(Bit(edge.name, outline_run(outline, number), edge.smooth, begins))
    edge = outline.edges[landing]
    bits.append(Bit(edge.name, first, edge.smooth, edge.start == 0))
    return begun_at_an_edge(outline_of(outline, bits), tuple(piece.darts) + (it.dart.name,))
