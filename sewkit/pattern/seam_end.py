"""Two pieces rolled together at one end of their seam: how the edge that runs over it goes on.

    for found in seam_ends(pattern, seam, size):
        found.joint.total          # degrees; 180 where neck runs on as neck
        found.kind                 # RUNS_OVER, CROSSES or MEANT

At each end the seam edges are laid on each other as they set out from there, and the edges behind
the corner are looked at: neck over shoulder, armhole over shoulder and under the arm, waist and
hem over side, cap over the sleeve seam.  A dart whose mouth lies at the corner is closed first.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.geometry.path import end_tangents, start_tangents
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.transform import IDENTITY, Transform, move, turn
from sewkit.pattern.joined_edges import Arm, Joint, Run, arm_of, table
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef, Seam

# The edge runs on over the seam; two seams cross, and either may be the one that bends; the corner
# is a corner by design, such as that of a vent.
RUNS_OVER, CROSSES, MEANT = "runs over", "crosses", "meant"

# A corner that is further from straight than this (degrees) is meant as one; common practice.
MEANT_CORNER = 30.0

# Edges that run round the body, over the seams along it, by the words in their names.
_ROUND = {"neck", "neckline", "armhole", "waist", "waistline", "hem", "cap", "crown", "crotch"}

# Pieces that lie on others and turn back at their edges; found by name where nothing else says so.
_LAYERS = {"facing", "lining", "interfacing", "underlining"}


class SeamEnd(NamedTuple):
    """One end of a seam, both pieces laid together.

    Args:
        seam: which; ``last``: at its end and not at its start.
        refs: the edges of both pieces that meet there.
        edges: those edges on both outlines.
        joint: the edges that run over the seam.
        kind: ``RUNS_OVER``, ``CROSSES`` or ``MEANT``.
        darts: whether a dart was closed at the corner of either piece.
    """

    seam: Seam
    last: bool
    refs: Tuple[EdgeRef, EdgeRef]
    edges: Tuple[Run, Run]
    joint: Joint
    kind: str
    darts: bool


class _Corner(NamedTuple):
    """A piece at one end of a seam: the seam's edge, the edge behind the corner, and how it is closed."""

    piece: Piece
    outline: Outline
    edge: Run
    beyond: Tuple[int, int]
    closing: Transform
    dart: bool


def seam_ends(pattern: Pattern, seam: Seam, size: str) -> List[SeamEnd]:
    """Both ends of a seam in one size, but those where nothing runs over it.

    None where a piece lies on the other (a facing), where the edges beyond are sewn to each other
    or lie on a fold, or where they run along the body beside a seam round it.  ``InputError`` where
    a piece is not drawn in the size.
    """
    return [end for last in (False, True) for end in _seam_end(pattern, seam, last, size)]


def seam_end(pattern: Pattern, seam: Seam, last: bool, size: str) -> Optional[SeamEnd]:
    """One end of a seam, if there is something to see there."""
    return next(iter(_seam_end(pattern, seam, last, size)), None)


def _seam_end(pattern: Pattern, seam: Seam, last: bool, size: str) -> List[SeamEnd]:
    refs = (seam.first[-1], seam.second[-1]) if last else (seam.first[0], seam.second[0])
    if _lies_on(pattern, refs):
        return []
    corners = [_corner(pattern, ref, last != ref.turned, size) for ref in refs]
    if corners[0] is None or corners[1] is None:
        return []
    here, there = corners[0], corners[1]
    joint = _joint(here, there)
    arms = joint.first, joint.second
    if any(arm.edge in corner.piece.folds for arm, corner in zip(arms, (here, there))):
        return []
    kind = _kind(pattern, refs, joint)
    if not kind:
        return []
    dart = here.dart or there.dart
    return [SeamEnd(seam, last, refs, (here.edge, there.edge), joint, kind, dart)]


# -- the corner -------------------------------------------------------------------------


def _corner(pattern: Pattern, ref: EdgeRef, at_stop: bool, size: str) -> Optional[_Corner]:
    """The corner at which a seam's edge ends, or None on an open line that ends there."""
    piece = pattern.piece(ref.piece)
    outline = piece.outline(size)
    numbers = [number for number, edge in enumerate(outline.edges) if edge.name == ref.edge]
    if not numbers:
        return None
    number = _outermost(outline, piece.darts, numbers, at_stop)
    edge = outline.edges[number]
    found, closing, dart = _beyond(outline, piece.darts, number, at_stop)
    if found is None:
        return None
    other = outline.edges[found]
    mine = Run(edge.start, edge.stop, at_stop)
    return _Corner(piece, outline, mine, (other.start, other.stop), closing, dart)


def _outermost(outline: Outline, darts: Sequence[str], numbers: Sequence[int], at_stop: bool) -> int:
    """The run of an edge at its end or start, also where the path begins within the edge."""
    step = 1 if at_stop else -1
    count = len(outline.edges)
    name = outline.edges[numbers[0]].name
    number = numbers[-1] if at_stop else numbers[0]
    for _ in range(count if outline.path.closed else 0):
        following = (number + step) % count
        while outline.edges[following].name in darts and following != number:
            following = (following + step) % count
        if outline.edges[following].name != name or following == number:
            break
        number = following
    return number


def _beyond(
    outline: Outline, darts: Sequence[str], number: int, at_stop: bool
) -> Tuple[Optional[int], Transform, bool]:
    """The edge behind a corner, the move that closes a dart between them, and whether there is one."""
    step, count = (1 if at_stop else -1), len(outline.edges)
    legs: List[int] = []
    for way in range(1, count):
        other = number + step * way
        if not (0 <= other < count or outline.path.closed):
            return None, IDENTITY, False
        other %= count
        if outline.edges[other].name not in darts:
            return other, _closed(outline, legs, at_stop), bool(legs)
        legs.append(other)
    return None, IDENTITY, False


def _closed(outline: Outline, legs: Sequence[int], at_stop: bool) -> Transform:
    """The move that lays the far end of a mouth on the near one; pleats slide, legs turn about the point."""
    closing = IDENTITY
    if len(legs) % 2:
        near, far = _end(outline, legs[0], not at_stop), _end(outline, legs[-1], at_stop)
        return move(*(near - far))
    for leg, other in zip(legs[::2], legs[1::2]):
        near, far = _end(outline, leg, not at_stop), _end(outline, other, at_stop)
        tip = _end(outline, leg, at_stop)
        one, two = far - tip, near - tip
        degrees = np.degrees(np.arctan2(one[0] * two[1] - one[1] * two[0], one @ two))
        closing = turn(float(degrees), tip).then(closing)
    return closing


def _end(outline: Outline, number: int, at_stop: bool) -> np.ndarray:
    edge = outline.edges[number]
    return outline.path.curves[edge.stop - 1, 3] if at_stop else outline.path.curves[edge.start, 0]


def _joint(here: _Corner, there: _Corner) -> Joint:
    first, second = _arm(here, 1.0), _arm(there, -1.0)
    spot = first.path.start if not here.dart else here.closing.points(first.path.start)
    return Joint(first, second, (float(spot[0]), float(spot[1])))


def _arm(corner: _Corner, side: float) -> Arm:
    """The edge behind a corner on the table, the seam's edge straight down, the cloth to one side."""
    edge, outline = corner.edge, corner.outline
    curves = outline.path.curves[edge.start : edge.stop]
    if edge.at_stop:
        spot, inward = curves[-1, 3], -end_tangents(curves[-1:])[0]
    else:
        spot, inward = curves[0, 0], start_tangents(curves[:1])[0]
    # The cloth lies clockwise of an edge that leaves its corner in path order on a clockwise path.
    clockwise = (signed_area(outline.path) >= 0) != edge.at_stop
    frame = corner.closing.then(table(spot, inward, side if clockwise else -side))
    return arm_of(outline, corner.piece.name, corner.beyond, not edge.at_stop, frame, side)


# -- what runs over what -----------------------------------------------------------------


def _lies_on(pattern: Pattern, refs: Sequence[EdgeRef]) -> bool:
    """Whether one of two pieces lies on the other and turns back at the seam."""
    return len({_is_layer(pattern.piece(ref.piece)) for ref in refs}) > 1


def _is_layer(piece: Piece) -> bool:
    return bool(piece.follows) or bool(_LAYERS & set(piece.name.split("-")))


def _kind(pattern: Pattern, refs: Tuple[EdgeRef, EdgeRef], joint: Joint) -> str:
    """What the corner is; empty where no line runs over the seam."""
    arms = joint.first, joint.second
    sewn = [_sewn(pattern, arm.piece, arm.edge) for arm in arms]
    if any((arms[1].piece, arms[1].edge) in others for others in sewn[0].values()):
        return ""
    over = [_runs_round(arm.edge) for arm in arms]
    if all(_runs_round(ref.edge) for ref in refs) and not any(over):
        return ""
    if abs(joint.turn) > MEANT_CORNER:
        return MEANT
    apart = sewn[0] and sewn[1] and not set(sewn[0]) & set(sewn[1])
    return CROSSES if apart and not all(over) else RUNS_OVER


def _runs_round(edge: str) -> bool:
    return bool(_ROUND & set(edge.split("-")))


def _sewn(pattern: Pattern, piece: str, edge: str) -> Dict[Tuple[EdgeRef, ...], Set[Tuple[str, str]]]:
    """The sides of seams to which an edge belongs, with the edges it is sewn to; layers left out."""
    found: Dict[Tuple[EdgeRef, ...], Set[Tuple[str, str]]] = {}
    for seam in pattern.seams_of(piece):
        for side, other in ((seam.first, seam.second), (seam.second, seam.first)):
            mine = [ref for ref in side if (ref.piece, ref.edge) == (piece, edge)]
            if mine and not _lies_on(pattern, (mine[0], other[0])):
                found[side] = {(ref.piece, ref.edge) for ref in other}
    return found
