"""A wedge taken out of a piece or let into it: an amount at one edge, nothing at the hinge.

Taken out, the wedge is the triangle between the hinge and two places of the edge, the
amount apart along it; let in, the piece is cut from the edge to the hinge and opened until
the amount lies between.  Either way one part turns rigidly about the hinge, so the edge on
which the hinge lies keeps its length exactly.

Both legs of a wedge taken out are rarely equally long: square to a straight edge they
differ by ``l (1 / cos(angle) - 1)``, l the way from the edge to the hinge.  Those tenths of
a millimetre are taken up by the end of the edge before the cut, in one soft curve.
"""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.bridge import soft
from sewkit.geometry.intersect import crossings, self_crossings
from sewkit.geometry.length import distance_of, path_length, place_at
from sewkit.geometry.path import Path, Place, end_tangents, point, split_at, start_tangents, turns
from sewkit.geometry.tolerance import CORNER_TURN, SAME_POINT
from sewkit.geometry.transform import IDENTITY, Transform, turn
from sewkit.pattern.outline import Edge, Outline

# Over this much of the edge (mm) the difference of the legs is taken up: a hand's breadth of
# a curved rule would take longer, and less would show as a corner.  A difference of more than
# a tenth of it gets ten times itself, so that the curve leaves the old line by 6 degrees at most.
TAKE_UP = 20.0
_FLAT = 10.0

# Less of an edge than this (mm) is no room for a soft curve.
_LEAST = 1.0

# A wedge wider at its edge than this part of the way to its hinge is none: a part would turn by
# a quarter of a circle and more.
_MOST = 1.0

# A line that lies at less than this angle (degrees) to the edge runs along it.
_ALONG = 5.0


class Wedge(NamedTuple):
    """Where a wedge lies on an outline.

    Args:
        edge: the number, in ``outline.edges``, of the run that changes its length.
        opening: the place of the outline's path where the wedge begins.
        far: where it ends; as ``opening`` where it is let in.
        hinge: the place about which a part turns.
        amount: mm, below 0 taken out.
        onward: whether the part beyond follows the opening in path order.
        angle: how far the part beyond turns, degrees clockwise on the sheet.
        at: the opening's distance (mm, as sewn) from the start of the edge.
    """

    edge: int
    opening: Place
    far: Place
    hinge: Place
    amount: float
    onward: bool
    angle: float
    at: float


class Wedged(NamedTuple):
    """The changed outline, and how each part moved: before the wedge, and beyond it."""

    outline: Outline
    before: Transform
    beyond: Transform


def spot(outline: Outline, place: Place) -> np.ndarray:
    """The point ``(2,)`` at a place of an outline's path."""
    return point(outline.path.curves[place.curve][None], place.t)[0]


def run_of(outline: Outline, place: Place) -> int:
    """The number of the run, in ``outline.edges``, on which a place lies."""
    return next(n for n, e in enumerate(outline.edges) if e.start <= place.curve < e.stop)


def wedge_at(
    outline: Outline,
    opening: Place,
    hinge: Place,
    amount: float,
    onward: bool,
    piece: str,
    darts: Sequence[str] = (),
) -> Wedge:
    """A wedge of ``amount`` (mm, below 0 to take it out) from ``opening`` to ``hinge``.

    ``onward``: the part beyond, from which it is taken, follows in path order.
    ``InputError``: nothing to do (value); the hinge lies on the opening (pivot); the line runs
    along the edge or outside the piece (line); the edge beyond is too short (overlap).
    """
    if not amount:
        raise InputError("The wedge is 0 mm, so nothing would change.", "Give an amount.", code="value")
    if not outline.path.closed:
        raise InputError(
            "The outline '{}' is open, so it has no parts to turn.".format(piece),
            "Close it first.",
            code="open",
        )
    number = run_of(outline, opening)
    edge, run = outline.edges[number], _run(outline, number)
    to_opening = spot(outline, opening) - spot(outline, hinge)
    way = float(np.hypot(*to_opening))
    if way < _LEAST:
        raise InputError(
            "The hinge lies on the spot of '{}' where the wedge begins, so there is nothing to turn.".format(
                piece
            ),
            "Put the hinge on the edge opposite.",
            code="pivot",
        )
    _check_line(outline, opening, hinge, piece, darts)
    if abs(amount) > _MOST * way:
        raise InputError(
            "{:g} mm cannot be {} '{}': the hinge is only {:.0f} mm away.".format(
                abs(amount), "let into" if amount > 0 else "taken out of", piece, way
            ),
            "Ask for {:.0f} mm at most, or put the hinge further away.".format(_MOST * way),
            code="fold-over",
        )
    here = distance_of(run, Place(opening.curve - edge.start, opening.t))
    at = here + sum(
        path_length(_run(outline, n)) for n in range(number) if outline.edges[n].name == edge.name
    )
    far = opening
    if amount < 0:
        room = path_length(run) - here if onward else here
        if -amount >= room:
            raise InputError(
                "{:g} mm cannot be taken out of '{}' of '{}': only {:.1f} mm of it lie beyond.".format(
                    -amount, edge.name, piece, room
                ),
                "Take out less, or put the wedge further from the end of the edge.",
                code="overlap",
            )
        found = place_at(run, here - amount if onward else here + amount)
        far = Place(found.curve + edge.start, found.t)
        angle = _between(spot(outline, far) - spot(outline, hinge), to_opening)
    else:
        angle = _opened(outline, opening, to_opening, amount, onward, piece)
    return Wedge(number, opening, far, hinge, float(amount), onward, angle, at)


def _run(outline: Outline, number: int) -> Path:
    return outline.path.part(outline.edges[number].start, outline.edges[number].stop)


def _between(start: np.ndarray, stop: np.ndarray) -> float:
    """The angle from one direction to another, degrees clockwise on the sheet."""
    cross = start[0] * stop[1] - start[1] * stop[0]
    return float(np.degrees(np.arctan2(cross, start @ stop)))


def _opened(
    outline: Outline, opening: Place, to_opening: np.ndarray, amount: float, onward: bool, piece: str
) -> float:
    """The angle at which ``amount`` (mm) lies between both sides: a chord about the hinge."""
    way = float(np.hypot(*to_opening))
    along = _tangent(outline, opening) * (1.0 if onward else -1.0)
    sign = 1.0 if to_opening[0] * along[1] - to_opening[1] * along[0] > 0 else -1.0
    return sign * float(np.degrees(2.0 * np.arcsin(amount / (2.0 * way))))


def _tangent(outline: Outline, place: Place) -> np.ndarray:
    """The unit direction of the run at a place, in path order."""
    edge = outline.edges[run_of(outline, place)]
    curve = split_at(outline.path.part(place.curve, place.curve + 1), [Place(0, place.t)]).curves
    at_end = place.t > 0.5 and len(curve) == 1
    if at_end and place.curve + 1 < edge.stop:
        return start_tangents(outline.path.curves[place.curve + 1][None])[0]
    return end_tangents(curve[:1])[0] if at_end or len(curve) > 1 else start_tangents(curve)[0]


def _check_line(outline: Outline, opening: Place, hinge: Place, piece: str, darts: Sequence[str]) -> None:
    """Refuse a line from edge to hinge that runs along the edge or leaves the piece."""
    start, stop = spot(outline, opening), spot(outline, hinge)
    lean = abs(_between(_tangent(outline, opening), stop - start))
    if min(lean, 180.0 - lean) < _ALONG:
        raise InputError(
            "On '{}' the line to the hinge runs along the edge '{}', so nothing can be opened there.".format(
                piece, outline.edges[run_of(outline, opening)].name
            ),
            "Put the hinge on another edge.",
            code="line",
        )
    for found in crossings(outline.path, Path.through([start, stop])):
        name = outline.edges[run_of(outline, found.first)].name
        near = min(float(np.hypot(*(found.point - end))) for end in (start, stop))
        if near > _LEAST and name not in darts:
            raise InputError(
                "On '{}' the line from the wedge to the hinge crosses the edge '{}' on its way.".format(
                    piece, name
                ),
                "Put the hinge where a straight line inside the piece reaches it.",
                code="line",
            )


# -- the change ---------------------------------------------------------------------------


class _Cut(NamedTuple):
    """An outline with nodes at the places of a wedge, and their numbers.

    ``first`` and ``second`` bound what is taken out, in path order; ``left`` and ``reached``
    what the soft curve replaces: it begins at ``left`` and ends at ``reached``.
    """

    outline: Outline
    first: int
    second: int
    left: int
    reached: int
    hinge: int


def wedged(outline: Outline, wedge: Wedge, turns_beyond: bool, piece: str) -> Wedged:
    """The outline with the wedge taken out or let in.

    ``turns_beyond``: the part beyond turns and the part before it stays; or the other way
    round.  The edge is bridged softly.  ``InputError``: it would lie over itself (fold-over).
    """
    about = spot(outline, wedge.hinge)
    before = IDENTITY if turns_beyond else turn(-wedge.angle, about)
    beyond = turn(wedge.angle, about) if turns_beyond else IDENTITY
    cut = _cut(outline, wedge, piece)
    count = len(cut.outline.path)
    follows, precedes = (beyond, before) if wedge.onward else (before, beyond)
    curves = np.array(cut.outline.path.curves)
    after = [(cut.second + i) % count for i in range((cut.hinge - cut.second) % count)]
    earlier = [(cut.hinge + i) % count for i in range((cut.first - cut.hinge) % count)]
    for numbers, how in ((after, follows), (earlier, precedes)):
        if how != IDENTITY:
            curves[numbers] = how.points(curves[numbers])
    # The hinge is the same point on both sides, to the last bit.
    curves[cut.hinge % count, 0] = curves[(cut.hinge - 1) % count, 3] = cut.outline.path.curves[
        cut.hinge % count, 0
    ]
    made = _put_together(cut, wedge, curves)
    if self_crossings(made.path) and not self_crossings(outline.path):
        raise InputError(
            "With {:g} mm at '{}' the piece '{}' would lie over itself.".format(
                abs(wedge.amount), outline.edges[wedge.edge].name, piece
            ),
            "Ask for less, or put the hinge elsewhere.",
            code="fold-over",
        )
    return Wedged(made, before, beyond)


def _cut(outline: Outline, wedge: Wedge, piece: str) -> _Cut:
    edge, run = outline.edges[wedge.edge], _run(outline, wedge.edge)

    def along(place: Place) -> float:
        return distance_of(run, Place(place.curve - edge.start, place.t))

    low, high = sorted((along(wedge.opening), along(wedge.far)))
    places = [wedge.opening, wedge.far, wedge.hinge]
    if wedge.amount < 0:
        ends = _take_up(outline, wedge, low, high, path_length(run), piece)
        for distance in ends:
            # An end of the wedge itself is that very place: a second one beside it, off by the
            # rounding of a length, would leave a curve of no length between them.
            known = [p for p in places[:2] if abs(along(p) - distance) <= SAME_POINT]
            found = place_at(run, distance)
            places.append(known[0] if known else Place(found.curve + edge.start, found.t))
    else:
        places += [wedge.opening, wedge.far]
    made, nodes = _with_nodes(outline, places)
    first, second = sorted(nodes[:2])
    return _Cut(made, first, second, nodes[3], nodes[4], nodes[2])


def _take_up(
    outline: Outline, wedge: Wedge, low: float, high: float, length: float, piece: str
) -> Tuple[float, float]:
    """From where to where along the run (mm) a soft curve replaces it, the wedge included."""
    legs = [np.hypot(*(spot(outline, p) - spot(outline, wedge.hinge))) for p in (wedge.opening, wedge.far)]
    want = max(TAKE_UP, _FLAT * abs(float(legs[0] - legs[1])))
    room_low, room_high = low, length - high
    nearer, other = (room_low, room_high) if wedge.onward else (room_high, room_low)
    on_low = wedge.onward if nearer >= _LEAST else not wedge.onward
    if max(nearer, other) >= _LEAST:
        return (low - min(want, room_low), high) if on_low else (low, high + min(want, room_high))
    raise InputError(
        "The wedge takes all of the edge '{}' of '{}'.".format(outline.edges[wedge.edge].name, piece),
        "Take out less.",
        code="overlap",
    )


def _with_nodes(outline: Outline, places: Sequence[Place]) -> Tuple[Outline, List[int]]:
    """The outline with a node at each place, and the nodes' numbers."""
    curves, begins = [], []
    for number in range(len(outline.path)):
        begins.append(len(curves))
        here = [Place(0, place.t) for place in places if place.curve == number]
        curves.extend(split_at(outline.path.part(number, number + 1), here).curves)
    begins.append(len(curves))
    path = Path(np.array(curves), closed=True)
    nodes = []
    for place in places:
        start, stop = begins[place.curve], begins[place.curve + 1]
        away = path.part(start, stop).nodes - spot(outline, place)
        nodes.append(start + int(np.hypot(away[:, 0], away[:, 1]).argmin()))
    edges = tuple(e._replace(start=begins[e.start], stop=begins[e.stop]) for e in outline.edges)
    return outline._replace(path=path, edges=edges), nodes


def _put_together(cut: _Cut, wedge: Wedge, curves: np.ndarray) -> Outline:
    """The edges anew, with one soft curve where the wedge was."""
    bridge = _bridge(cut, wedge, curves)
    kept: List[np.ndarray] = []
    edges: List[Edge] = []
    hinge = cut.hinge % len(curves)
    for number, edge in enumerate(cut.outline.edges):
        start = len(kept)
        middle = None
        for curve in range(edge.start, edge.stop):
            if curve == hinge and edge.start < curve:
                middle = len(kept)
            if number == wedge.edge and curve == cut.left:
                kept.append(bridge)
            if not (number == wedge.edge and cut.left <= curve < cut.reached):
                kept.append(curves[curve])
        if number == wedge.edge and cut.left == edge.stop:
            kept.append(bridge)
        if middle is not None and abs(wedge.angle) > SAME_POINT and _corner(curves, hinge):
            edges.append(Edge(edge.name, start, middle, edge.smooth))
            edges.append(Edge(edge.name, middle, len(kept)))
        else:
            edges.append(Edge(edge.name, start, len(kept), edge.smooth))
    return cut.outline._replace(path=Path(_closed(kept), closed=True), edges=tuple(edges))


def _corner(curves: np.ndarray, node: int) -> bool:
    turned = turns(Path(curves[[node - 1, node]]))
    return bool(abs(turned[0]) > CORNER_TURN)


def _closed(kept: Sequence[np.ndarray]) -> np.ndarray:
    """Curves end to end to the last bit; what meets in rounding alone takes the earlier end."""
    made = np.array(kept)
    made[:, 0] = np.roll(made[:, 3], 1, axis=0)
    return made


def _bridge(cut: _Cut, wedge: Wedge, curves: np.ndarray) -> np.ndarray:
    """The soft curve from the part before the cut to the part behind it, in path order."""
    edge = cut.outline.edges[wedge.edge]
    if cut.left < cut.first:
        start, setting_out = curves[cut.left, 0], start_tangents(curves[cut.left][None])[0]
    else:
        start = curves[cut.first - 1, 3]
        setting_out = end_tangents(curves[cut.first - 1][None])[0] if cut.first > edge.start else None
    if cut.reached > cut.second:
        end, arriving = curves[cut.reached - 1, 3], end_tangents(curves[cut.reached - 1][None])[0]
    else:
        end = curves[cut.second % len(curves), 0]
        arriving = (
            start_tangents(curves[cut.second % len(curves)][None])[0] if cut.second < edge.stop else None
        )
    chord = end - start
    unit = chord / max(float(np.hypot(*chord)), SAME_POINT)
    return soft(
        start, unit if setting_out is None else setting_out, end, unit if arriving is None else arriving
    )
