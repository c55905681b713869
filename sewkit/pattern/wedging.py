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
from sewkit.geometry.intersect import self_crossings
from sewkit.geometry.length import distance_of, path_length, place_at
from sewkit.geometry.path import Path, Place, end_tangents, start_tangents, turns
from sewkit.geometry.tolerance import CORNER_TURN, SAME_POINT
from sewkit.geometry.transform import IDENTITY, Transform, turn
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.parting import with_nodes
from sewkit.pattern.wedge_line import angle_between, check_leg, check_line, lean, run_of, spot, tangent

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

# A wedge let in whose line leans less than this (degrees) from square to its edge needs no more of
# the edge than the gap itself: its ends step by a seventh of the gap at most.
_SQUARE = 8.0


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
        width: mm at the edge: between ``opening`` and ``far``, or across what was let in.
    """

    edge: int
    opening: Place
    far: Place
    hinge: Place
    amount: float
    onward: bool
    angle: float
    at: float
    width: float


class Wedged(NamedTuple):
    """The changed outline, and how each part moved: before the wedge, and beyond it."""

    outline: Outline
    before: Transform
    beyond: Transform


def wedge_at(
    outline: Outline,
    opening: Place,
    hinge: Place,
    amount: float,
    onward: bool,
    piece: str,
    darts: Sequence[str] = (),
    slides: bool = False,
) -> Wedge:
    """A wedge of ``amount`` (mm, below 0 to take it out) from ``opening`` to ``hinge``.

    ``onward``: the part beyond, from which it is taken, follows in path order.  ``slides``: it will
    slide and not turn, so the line may pass through one of the ``darts``.
    ``InputError``: nothing to do (value); the hinge lies on the opening (pivot); the line runs
    along the edge or outside the piece (line), through a dart (dart); the edge beyond is too short
    (overlap).
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
    check_line(outline, opening, hinge, piece, darts, slides)
    if abs(amount) > _MOST * way:
        raise InputError(
            "{:g} mm cannot be {} '{}': the hinge is only {:.0f} mm away.".format(
                abs(amount), "let into" if amount > 0 else "taken out of", piece, way
            ),
            "Ask for {:.0f} mm at most, or put the hinge further away.".format(_MOST * way),
            code="fold-over",
        )
    at = distance_of(run, Place(opening.curve - edge.start, opening.t)) + sum(
        path_length(_run(outline, n)) for n in range(number) if outline.edges[n].name == edge.name
    )
    wedge = Wedge(number, opening, opening, hinge, float(amount), onward, 0.0, at, 0.0)
    room = widest(outline, wedge)
    if amount < 0 and -amount >= room:
        raise InputError(
            "{:g} mm cannot be taken out of '{}' of '{}': only {:.1f} mm of it lie beyond.".format(
                -amount, edge.name, piece, room
            ),
            "Take out less, or put the wedge further from the end of the edge.",
            code="overlap",
        )
    wedge = of_width(outline, wedge, abs(amount))
    if amount < 0 and not slides:
        check_leg(outline, wedge.far, hinge, piece, darts)
    return wedge


def widest(outline: Outline, wedge: Wedge) -> float:
    """How wide (mm) a wedge may be at its edge: what lies beyond, or the way to its hinge."""
    if wedge.amount < 0:
        here = _along(outline, wedge, wedge.opening)
        begin, end = _free(outline, wedge, here)
        return end - here if wedge.onward else here - begin
    return _MOST * float(np.hypot(*(spot(outline, wedge.opening) - spot(outline, wedge.hinge))))


def of_width(outline: Outline, wedge: Wedge, width: float) -> Wedge:
    """The same wedge, so wide (mm) at its edge: along the edge taken out, straight across let in.

    ``width``: less than what lies beyond, and no more than the way to the hinge.
    """
    to_opening = spot(outline, wedge.opening) - spot(outline, wedge.hinge)
    if wedge.amount > 0:
        return wedge._replace(angle=_opened(outline, wedge, to_opening, width), width=width)
    edge, here = outline.edges[wedge.edge], _along(outline, wedge, wedge.opening)
    found = place_at(_run(outline, wedge.edge), here + width if wedge.onward else here - width)
    far = Place(found.curve + edge.start, found.t)
    angle = angle_between(spot(outline, far) - spot(outline, wedge.hinge), to_opening)
    return wedge._replace(far=far, angle=angle, width=width)


def _run(outline: Outline, number: int) -> Path:
    return outline.path.part(outline.edges[number].start, outline.edges[number].stop)


def _along(outline: Outline, wedge: Wedge, place: Place) -> float:
    """The distance (mm) of a place from the start of the run that changes."""
    start = outline.edges[wedge.edge].start
    return distance_of(_run(outline, wedge.edge), Place(place.curve - start, place.t))


def _free(outline: Outline, wedge: Wedge, here: float) -> Tuple[float, float]:
    """Both ends (mm along the run) of what may change: those of the run, or the hinge where it lies on it."""
    begin, end = 0.0, path_length(_run(outline, wedge.edge))
    if run_of(outline, wedge.hinge) != wedge.edge:
        return begin, end
    hinge = _along(outline, wedge, wedge.hinge)
    return (hinge, end) if hinge < here else (begin, hinge)


def _opened(outline: Outline, wedge: Wedge, to_opening: np.ndarray, width: float) -> float:
    """The angle at which ``width`` (mm) lies between both sides: a chord about the hinge."""
    way = float(np.hypot(*to_opening))
    along = tangent(outline, wedge.opening) * (1.0 if wedge.onward else -1.0)
    sign = 1.0 if to_opening[0] * along[1] - to_opening[1] * along[0] > 0 else -1.0
    return sign * float(np.degrees(2.0 * np.arcsin(width / (2.0 * way))))


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
    made = closed_up(outline, wedge, turns_beyond, piece)
    if self_crossings(made.outline.path) and not self_crossings(outline.path):
        raise InputError(
            "With {:g} mm at '{}' the piece '{}' would lie over itself.".format(
                abs(wedge.amount), outline.edges[wedge.edge].name, piece
            ),
            "Ask for less, or put the hinge elsewhere.",
            code="fold-over",
        )
    return made


def closed_up(outline: Outline, wedge: Wedge, turns_beyond: bool, piece: str) -> Wedged:
    """The same, without a look at whether it lies over itself."""
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
    return Wedged(_put_together(cut, wedge, curves), before, beyond)


def _cut(outline: Outline, wedge: Wedge, piece: str) -> _Cut:
    edge, run = outline.edges[wedge.edge], _run(outline, wedge.edge)
    places = [wedge.opening, wedge.far, wedge.hinge]
    for distance in redrawn(outline, wedge, piece):
        # An end of the wedge itself is that very place: a second one beside it, off by the
        # rounding of a length, would leave a curve of no length between them.
        known = [p for p in places[:2] if abs(_along(outline, wedge, p) - distance) <= SAME_POINT]
        found = place_at(run, distance)
        places.append(known[0] if known else Place(found.curve + edge.start, found.t))
    made, nodes = with_nodes(outline, places)
    # The path's last node is its first; on a run that ends there it is the node behind the last curve.
    last = len(outline.path) - 1
    nodes = [
        len(made.path) if node == 0 and place.curve == last and place.t > 0.5 else node
        for node, place in zip(nodes, places)
    ]
    first, second = sorted(nodes[:2])
    return _Cut(made, first, second, nodes[3], nodes[4], nodes[2])


def redrawn(outline: Outline, wedge: Wedge, piece: str) -> Tuple[float, float]:
    """From where to where (mm) along its run a soft curve replaces the edge, the wedge included."""
    low, high = sorted(_along(outline, wedge, place) for place in (wedge.opening, wedge.far))
    begin, end = _free(outline, wedge, low)
    room_low, room_high = low - begin, end - high
    if wedge.amount > 0:
        return _around_gap(outline, wedge, low, room_low, room_high)
    legs = [np.hypot(*(spot(outline, p) - spot(outline, wedge.hinge))) for p in (wedge.opening, wedge.far)]
    flat = _FLAT * abs(float(legs[0] - legs[1]))
    want = max(TAKE_UP, flat)
    nearer, other = (room_low, room_high) if wedge.onward else (room_high, room_low)
    if max(nearer, other) >= _LEAST:
        near = min(want, nearer) if nearer >= _LEAST else 0.0
        # Too little room before the cut for so large a step: the rest is taken beyond it.
        rest = min(want if not near else max(flat - near, 0.0), other)
        return (low - near, high + rest) if wedge.onward else (low - rest, high + near)
    raise InputError(
        "The wedge takes all of the edge '{}' of '{}'.".format(outline.edges[wedge.edge].name, piece),
        "Take out less.",
        code="overlap",
    )


def _around_gap(
    outline: Outline, wedge: Wedge, at: float, room_low: float, room_high: float
) -> Tuple[float, float]:
    """What is replaced where a wedge was let in: nothing but the gap, where its line is square.

    Aslant the ends step by ``width sin(lean)``, and a tenth of the curve is the most it may step.
    """
    aslant = lean(outline, wedge.opening, wedge.hinge)
    if aslant < _SQUARE:
        return at, at
    want = wedge.width * (_FLAT * np.sin(np.radians(aslant)) - np.cos(np.radians(aslant)))
    above = min(want / 2.0, room_low)
    below = min(want - above, room_high)
    return at - min(want - below, room_low), at + below


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
