"""Where two parallel curves meet: the corners of an allowance.

A corner *opens* when the parallel curves leave a gap there (the outside of a convex
corner, the inside of a reflex one).  Only then has its style a say; at all other nodes
the curves cross, and what lies beyond the crossing falls away.

Every construction uses the exact end tangents.  With E, T the end and direction of the
arriving parallel curve, S, U the start and direction of the leaving one:

* extended: both go on straight to X = E + s T = S + t U;
* blunt: cut straight across between the seam corner V and X;
* square: the leading allowance ends at a right angle to its own seam, at the point P
  where that seam, prolonged, meets the other cut edge;
* turned back: from P on, the other cut edge mirrored in the leading seam, prolonged.
"""

import cmath
import enum
import math
from typing import NamedTuple, Optional, Tuple

from sewkit.geometry.meet import cross, dot, meet
from sewkit.geometry.parallel import Edge, line, mirrored, place
from sewkit.geometry.tolerance import BUTT_TURN, EXACT, PARALLEL, SAME_POINT, SMOOTH_JOINT

# Edges that turn back on themselves to within this (radians) meet in a cusp.
FULL_TURN = 1e-7


class Style(enum.Enum):
    """How the allowance ends at a corner."""

    EXTENDED = "extended"
    SQUARE = "square"
    BLUNT = "blunt"
    TURNED_BACK = "turned-back"


class Corner(NamedTuple):
    """What to build at a node.

    ``leads`` tells which edge is sewn or folded first: 0 the one that arrives at the
    node, 1 the one that leaves it.  Only square and turned-back corners ask.
    """

    style: Style = Style.EXTENDED
    leads: int = 0


class Strand(NamedTuple):
    """A stretch of a parallel curve, from parameter ``start`` to ``stop``."""

    edge: Edge
    start: float
    stop: float


class Joint(NamedTuple):
    """How the outline goes from one parallel curve to the next.

    The arriving one is left at ``stop``, the leaving one joined at ``start``, with the
    strands ``between``.  ``smooth``: the tiny prolongations belong to the curves.
    ``open``: no crossing was found; the way leads back over the seam corner, and the
    loops have to be removed.  ``missed``: the corner could not be built as asked.
    """

    stop: float
    start: float
    between: Tuple[Strand, ...] = ()
    smooth: bool = False
    open: bool = False
    missed: bool = False


def make_joint(a: Edge, b: Edge, corner: Corner, mitre_limit: float) -> Joint:
    """Join the end of one parallel curve to the start of the next."""
    joint = _make(a, b, corner, mitre_limit)
    # A crossing at the far end of an edge leaves nothing of it, which is allowed.
    if joint.stop * a.length < -SAME_POINT or (joint.start - 1) * b.length > SAME_POINT:
        return reopened(a, b, joint.missed)
    if any(strand.stop < strand.start for strand in joint.between):
        return reopened(a, b, True)
    return joint._replace(stop=max(joint.stop, 0.0), start=min(joint.start, 1.0))


def _turn(a: Edge, b: Edge) -> float:
    """How far the seam turns at the node, radians, positive to the left (convex)."""
    angle = cmath.phase(a.arrive.conjugate() * b.out)
    if math.pi - abs(angle) > FULL_TURN:
        return angle
    # At a cusp the directions do not tell the side; the curves a little away from it do.
    before = place(a._replace(width=0.0, end=a.controls[3]), 0.99).point
    after = place(b._replace(width=0.0, start=b.controls[0]), 0.01).point
    return math.copysign(math.pi, cross(a.arrive, after - before))


def _make(a: Edge, b: Edge, corner: Corner, mitre_limit: float) -> Joint:
    angle = _turn(a, b)
    if a.width == b.width:
        if a.width == 0 or abs(a.end - b.start) <= EXACT:
            return Joint(1.0, 0.0, smooth=True)
        if abs(angle) < math.radians(SMOOTH_JOINT):
            return _smooth(a, b, angle)
    elif abs(angle) < math.radians(BUTT_TURN):
        return _butt(a, b, angle)
    if angle * a.width < 0 or angle * b.width < 0:
        return _crossing(a, b, mitre_limit, angle)
    if corner.style is Style.BLUNT:
        return _blunt(a, b)
    if corner.style is Style.SQUARE or corner.style is Style.TURNED_BACK:
        build = _square if corner.style is Style.SQUARE else _turned_back
        joint = build(a, b, corner.leads, mitre_limit)
        if joint is not None:
            return joint
        return _extended(a, b, mitre_limit, angle)._replace(missed=True)
    return _extended(a, b, mitre_limit, angle)


def reopened(a: Edge, b: Edge, missed: bool = False) -> Joint:
    """The way over the seam corner, for curves that do not cross where they should."""
    corner = b.controls[0]
    there, back = line(a.end, corner), line(corner, b.start)
    between = tuple(Strand(edge, 0.0, 1.0) for edge in (there, back) if edge.length > 0)
    return Joint(1.0, 0.0, between, open=True, missed=missed)


def _smooth(a: Edge, b: Edge, angle: float) -> Joint:
    """Nobody drew this kink: run through, both curves prolonged or trimmed alike."""
    ahead = a.width * math.tan(angle / 2)
    if ahead >= 0:
        return Joint(1 + ahead / a.length, -ahead / b.length, smooth=True)
    found = meet(a, b, 1 + ahead / a.length, -ahead / b.length)
    if found is None or not _plain(a, b, found[0], found[1]):
        return reopened(a, b)
    return Joint(found[0], found[1], smooth=True)


def _plain(a: Edge, b: Edge, u: float, v: float) -> bool:
    """Tell whether a crossing cuts off one simple loop.

    Two curves that leave a point at some angle cannot meet again before they have
    turned by that angle together.  If they do, the winding numbers must decide.
    """
    one, two = place(a, u).slope, place(b, v).slope
    spare = abs(cmath.phase(one.conjugate() * two))
    if u < 1:
        spare -= abs(cmath.phase(one.conjugate() * a.arrive))
    if v > 0:
        spare -= abs(cmath.phase(two.conjugate() * b.out))
    return spare > 0


def _butt(a: Edge, b: Edge, angle: float) -> Joint:
    """A step across the seam, halfway between the two normals."""
    corner = b.controls[0]
    across = -1j * (a.arrive + b.out)
    ray = line(corner, corner + across / abs(across))
    half = math.tan(angle / 2)
    rise = math.hypot(1.0, half)
    one = meet(a, ray, 1 + a.width * half / a.length, a.width * rise)
    two = meet(b, ray, -b.width * half / b.length, b.width * rise)
    if one is None or two is None:
        return reopened(a, b)
    return Joint(one[0], two[0], _lines(place(a, one[0]).point, place(b, two[0]).point))


def _mitre(a: Edge, b: Edge) -> Optional[Tuple[complex, float, float]]:
    """X and its way ahead of the end of ``a`` and of the start of ``b``, mm."""
    turn = cross(a.arrive, b.out)
    if abs(turn) < PARALLEL:
        return None
    gap = b.start - a.end
    ahead = cross(gap, b.out) / turn
    return a.end + ahead * a.arrive, ahead, cross(gap, a.arrive) / turn


def _crossing(a: Edge, b: Edge, mitre_limit: float, angle: float) -> Joint:
    """The corner closes: the curves cross, if need be after going on straight."""
    mitre = _mitre(a, b)
    if mitre is None:
        return reopened(a, b)
    tip, ahead, behind = mitre
    far = mitre_limit * max(abs(a.width), abs(b.width))
    if a.width != b.width and abs(tip - b.controls[0]) > far and abs(angle) < math.pi / 4:
        return _butt(a, b, angle)
    found = meet(a, b, 1 + ahead / a.length, behind / b.length)
    if found is None or not _plain(a, b, found[0], found[1]):
        return reopened(a, b)
    # An edge goes on straight only where its straight continuation was to meet the other,
    # or a little where bent edges of different widths just miss each other.
    slack = EXACT if a.width == b.width else 0.1 * max(abs(a.width), abs(b.width))
    beyond, before = (found[0] - 1) * a.length, -found[1] * b.length
    if beyond > (far if ahead > 0 else slack) or before > (far if behind < 0 else slack):
        return reopened(a, b)
    return Joint(found[0], found[1])


def _extended(a: Edge, b: Edge, mitre_limit: float, angle: float) -> Joint:
    mitre = _mitre(a, b)
    if mitre is None:
        return _blunt(a, b)._replace(missed=True)
    tip, ahead, behind = mitre
    if abs(tip - b.controls[0]) > mitre_limit * max(abs(a.width), abs(b.width)):
        return _blunt(a, b)._replace(missed=True)
    if ahead >= 0 and behind <= 0:
        return Joint(1 + ahead / a.length, behind / b.length)
    return _crossing(a, b, mitre_limit, angle)


def _blunt(a: Edge, b: Edge) -> Joint:
    """Cut across at the larger width from the seam corner, towards the mitre's tip."""
    corner = b.controls[0]
    mitre = _mitre(a, b)
    # Without a tip the edges run back on each other, and it lies straight ahead.
    toward = a.arrive if mitre is None else (mitre[0] - corner) / abs(mitre[0] - corner)
    width = max(abs(a.width), abs(b.width))
    one, two = dot(toward, a.arrive), dot(toward, b.out)
    if abs(one) < PARALLEL or abs(two) < PARALLEL:
        return reopened(a, b, True)
    ahead = (width - dot(toward, a.end - corner)) / one
    behind = (width - dot(toward, b.start - corner)) / two
    if ahead < 0 or behind > 0:
        # Of two very different widths the narrow edge may end before the cut.
        return _blunt_trimmed(a, b, corner + width * toward, toward, ahead, behind)
    cut = _lines(a.end + ahead * a.arrive, b.start + behind * b.out)
    return Joint(1 + ahead / a.length, behind / b.length, cut)


def _blunt_trimmed(a: Edge, b: Edge, on: complex, toward: complex, ahead: float, behind: float) -> Joint:
    ray = line(on, on + 1j * toward)
    one = meet(a, ray, 1 + ahead / a.length, 0.0)
    two = meet(b, ray, behind / b.length, 0.0)
    if one is None or two is None:
        return reopened(a, b, True)
    return Joint(one[0], two[0], _lines(place(a, one[0]).point, place(b, two[0]).point))


class _Fold(NamedTuple):
    """The leading seam prolonged to P on the other cut edge, at ``u`` of that edge."""

    point: complex
    along: complex
    ahead: float
    u: float
    sine: float


def _fold(a: Edge, b: Edge, leads: int, mitre_limit: float) -> Optional[_Fold]:
    """Find P; ``None`` where it lies further than the mitre limit allows."""
    corner = b.controls[0]
    other = a if leads else b
    along = -b.out if leads else a.arrive
    direction = a.arrive if leads else b.out
    sine = abs(cross(a.arrive, b.out))
    if sine < PARALLEL:
        return None
    ahead = abs(other.width) / sine
    if ahead > mitre_limit * max(abs(a.width), abs(b.width)):
        return None
    end = other.end if leads else other.start
    guess = dot(direction, corner + ahead * along - end) / other.length
    found = meet(other, line(corner, corner + along), guess + leads, ahead)
    if found is None:
        return None
    return _Fold(corner + found[1] * along, along, found[1], found[0], sine)


def _square(a: Edge, b: Edge, leads: int, mitre_limit: float) -> Optional[Joint]:
    fold = _fold(a, b, leads, mitre_limit)
    if fold is None:
        return None
    if leads:
        tip = b.start + fold.ahead * fold.along
        return Joint(fold.u, -fold.ahead / b.length, _lines(fold.point, tip))
    tip = a.end + fold.ahead * fold.along
    return Joint(1 + fold.ahead / a.length, fold.u, _lines(tip, fold.point))


def _turned_back(a: Edge, b: Edge, leads: int, mitre_limit: float) -> Optional[Joint]:
    fold = _fold(a, b, leads, mitre_limit)
    lead, other = (b, a) if leads else (a, b)
    if fold is None or mitre_limit * fold.sine < 1:
        return None
    if lead.width == 0:
        return _square(a, b, leads, mitre_limit)
    flap = mirrored(other, b.controls[0], fold.along)
    cosine = dot(a.arrive, b.out)
    ahead = (fold.ahead + abs(lead.width) * cosine / fold.sine) / lead.length
    leg = abs(lead.width) / fold.sine / other.length
    root = 1 - fold.u
    found = meet(b, flap, -ahead, root + leg) if leads else meet(a, flap, 1 + ahead, root - leg)
    if found is None:
        return None
    if leads:
        return Joint(fold.u, found[0], (Strand(flap, root, found[1]),))
    return Joint(found[0], fold.u, (Strand(flap, found[1], root),))


def _lines(start: complex, end: complex) -> Tuple[Strand, ...]:
    if abs(end - start) <= SAME_POINT:
        return ()
    return (Strand(line(start, end), 0.0, 1.0),)
