"""An outline as sectors about a pivot, and the angles between them shared out anew.

    spokes = [of_dart(outline, dart.edges, pivot, 0.0), opened(place, dart_angle, "dart")]
    made = turned(piece, outline, pivot, spokes)

Where a dart's legs run to the pivot the piece is cut on paper, and so it is where a new dart
shall open.  What lies between two such cuts, a sector, turns about the pivot as a whole.  A dart
is an angle at a point and not a width at the edge (NIMI, Dress Making Trade Theory, p. 180), so
the angles before and after have the same sum; with all darts closed the piece is what it was.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.length import distance_of, path_length
from sewkit.geometry.path import Path, Place, is_line, point
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.transform import IDENTITY, Transform, turn
from sewkit.pattern.carrying import Change
from sewkit.pattern.notch_places import Gain
from sewkit.pattern.outline import Outline, begun_at_an_edge
from sewkit.pattern.parting import Cut, Parting, staying, with_nodes
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash
from sewkit.pattern.spoke_joint import Bit, Joint, joined, outline_of

# Angles that differ by less are equal (degrees): rounding.
_SAME_ANGLE = 1e-9

# A change of an edge's length below this (mm) moves no notch.
_NOTICED = 1e-3


class Spoke(NamedTuple):
    """A place from which the paper is cut to the pivot.

    Args:
        start, stop: places on the outline's path: of a dart both ends of its mouth, of cloth to
            be taken out of an edge where it begins and ends, in path order; one place twice
            where a new dart opens.
        now, then: its angle at the pivot before and after (degrees); 0 after is closed.
        name: of the dart's legs; empty where cloth is taken out.
        edge: the edge on which it lies.
    """

    start: Place
    stop: Place
    now: float
    then: float
    name: str = ""
    edge: str = ""


class Turned(NamedTuple):
    """An outline whose darts were turned.

    Args:
        outline: the new one.
        change: the sectors (then the mouths of the spokes) as parts, and their moves.
        pivot: where it turned (2,).
        spokes: in path order.
        joints: how the edge was closed at each spoke that was closed.
    """

    outline: Outline
    change: Change
    pivot: np.ndarray
    spokes: Tuple[Spoke, ...]
    joints: Tuple[Joint, ...]

    def move_at(self, number: int) -> Transform:
        """How the sector behind a spoke has moved; the one before the first is the last."""
        return self.change.moves[number % len(self.spokes)]


def of_dart(outline: Outline, legs: Tuple[int, int], pivot: np.ndarray, then: float) -> Spoke:
    """The spoke of a dart that is there; ``legs``: the numbers of its edges, in path order."""
    first, second = (outline.edges[number] for number in legs)
    start, stop = Place(first.start, 0.0), Place(second.stop - 1, 1.0)
    edge = outline.edges[legs[0] - 1].name
    return Spoke(start, stop, angle_of(outline, start, stop, pivot), then, first.name, edge)


def opened(outline: Outline, place: Place, then: float, name: str) -> Spoke:
    """A new dart of ``then`` degrees at a place of the outline's path."""
    return Spoke(place, place, 0.0, then, name, _edge_at(outline, place))


def taken(outline: Outline, start: Place, stop: Place, pivot: np.ndarray) -> Spoke:
    """The cloth between two places of an edge, in path order, taken out down to the pivot."""
    return Spoke(start, stop, angle_of(outline, start, stop, pivot), 0.0, "", _edge_at(outline, start))


def angle_of(outline: Outline, start: Place, stop: Place, pivot: np.ndarray) -> float:
    """The angle (degrees) at the pivot from one place to another; above 0 in path order."""
    one, other = (spot_at(outline, place) - pivot for place in (start, stop))
    angle = float(np.degrees(np.arctan2(one[0] * other[1] - one[1] * other[0], one @ other)))
    return angle * _sense(outline)


def spot_at(outline: Outline, place: Place) -> np.ndarray:
    """The point (2,) of a place on an outline's path, to the last bit where it is a node."""
    curve = outline.path.curves[place.curve]
    ends = {0.0: curve[0], 1.0: curve[3]}
    return ends[place.t] if place.t in ends else point(curve[None], place.t)[0]


def turned(piece: Piece, outline: Outline, pivot: np.ndarray, spokes: Sequence[Spoke]) -> Turned:
    """Share the angles out: each spoke gets the angle ``then`` that it has now.

    The sector with the fold, else with the grain line, else the largest stays.  Legs are drawn
    to the pivot: straight, or bent as they were.  Where a spoke is closed its edge is one run
    again.  Places and lines are looked at in ``spoke_sight``.  ``ValueError``: fewer than two spokes,
    or both sums of angles do not agree.
    """
    pivot = np.asarray(pivot, np.float64)
    spokes = in_order(spokes)
    if abs(sum(s.then - s.now for s in spokes)) > 1e-6 or len(spokes) < 2:
        raise ValueError("the angles before and after do not have the same sum")
    parting, nodes = _parted(outline, pivot, spokes)
    fixed = _fixed(parting, piece, len(spokes))
    moves = _moves(parting, spokes, pivot, fixed)
    bits: List[Bit] = []
    joints: List[Joint] = []
    count = len(spokes)
    for number, spoke in enumerate(spokes):
        sector = _sector_bits(parting.outline, nodes[number][1], nodes[(number + 1) % count][0])
        here = [bit._replace(path=moves[number].path(bit.path)) for bit in sector]
        before = bits[-1] if number else None
        if number:
            assert before is not None
            if spoke.then > _SAME_ANGLE:
                bits += _legs(
                    parting.outline, spoke, nodes[number], pivot, before.path.end, here[0].path.start
                )
            else:
                joint = joined(before, here[0], spoke.name == "" and spoke.now > 0, piece.named)
                joints.append(joint._replace(spoke=number))
                bits[-1:], here = list(joint.bits), here[1:]
        bits += here
    bits, first = _closed_round(parting.outline, spokes[0], nodes[0], pivot, bits, piece.named)
    joints += [] if first is None else [first._replace(spoke=0)]
    made = outline_of(outline, bits)
    names = tuple(piece.darts) + tuple(s.name for s in spokes if s.name)
    made = begun_at_an_edge(made, names)
    gains = _gains(outline, made, spokes)
    change = Change(parting, moves, fixed, made, gains)
    return Turned(made, change, pivot, spokes, tuple(joints))


def in_order(spokes: Sequence[Spoke]) -> Tuple[Spoke, ...]:
    """Spokes in path order."""
    return tuple(sorted(spokes, key=lambda spoke: spoke.start.curve + spoke.start.t))


def _sense(outline: Outline) -> float:
    return 1.0 if signed_area(outline.path) >= 0 else -1.0


def _edge_at(outline: Outline, place: Place) -> str:
    return next(e.name for e in outline.edges if e.start <= place.curve < e.stop)


# -- sectors ------------------------------------------------------------------------------


def _parted(
    outline: Outline, pivot: np.ndarray, spokes: Sequence[Spoke]
) -> Tuple[Parting, List[Tuple[int, int]]]:
    """The sectors, then the mouths of the spokes that have one, as parts; the nodes of each spoke."""
    places = [place for spoke in spokes for place in (spoke.start, spoke.stop)]
    whole, numbers = with_nodes(outline, places)
    nodes = list(zip(numbers[::2], numbers[1::2]))
    count = len(spokes)
    regions, cuts, slashes, parts = [], [], [], []
    for number in range(count):
        start, stop = nodes[number][1], nodes[(number + 1) % count][0]
        regions.append(_region(whole.path.part(start, stop), pivot))
    for number, (spoke, (start, stop)) in enumerate(zip(spokes, nodes)):
        for place, node in (
            ((spoke.start, start), (spoke.stop, stop)) if start != stop else ((spoke.start, start),)
        ):
            spot = whole.path.curves[node, 0]
            cuts.append(Cut(node, len(slashes), True))
            slashes.append(Slash(place, place, Path.through([spot, pivot])))
        if start != stop:
            parts.append(len(regions))
            regions.append(
                Path.through([whole.path.curves[start, 0], pivot, whole.path.curves[stop, 0]], True)
            )
        parts.append(number)
    order = sorted(range(len(cuts)), key=lambda i: cuts[i].node)
    ordered, owners = tuple(cuts[i] for i in order), tuple(parts[i] for i in order)
    return Parting(outline, whole, tuple(slashes), ordered, owners, tuple(regions)), nodes


def _region(arc: Path, pivot: np.ndarray) -> Path:
    around = Path.through([arc.end, pivot, arc.start])
    return Path(np.concatenate([arc.curves, around.curves]), closed=True)


def _fixed(parting: Parting, piece: Piece, sectors: int) -> int:
    """The sector that stays; a grain line's middle may lie in the mouth of a dart."""
    fixed = staying(parting, piece)
    if fixed < sectors:
        return fixed
    areas = [abs(signed_area(region)) for region in parting.regions[:sectors]]
    return int(np.argmax(areas))


def _moves(parting: Parting, spokes: Sequence[Spoke], pivot: np.ndarray, fixed: int) -> Tuple[Transform, ...]:
    """Of every sector, then of every mouth, which goes with the sector before it."""
    sense = _sense(parting.outline)
    steps = np.array([spoke.then - spoke.now for spoke in spokes])
    steps[0] = 0.0
    angles = np.cumsum(steps)
    angles = sense * (angles - angles[fixed])
    moves = [IDENTITY if abs(a) <= _SAME_ANGLE else turn(a, pivot) for a in angles]
    mouths = [moves[number - 1] for number, spoke in enumerate(spokes) if spoke.start != spoke.stop]
    return tuple(moves + mouths)


def _sector_bits(outline: Outline, start: int, stop: int) -> List[Bit]:
    """The outline between two nodes as the runs of its edges."""
    count = len(outline.path)
    owner = {number: i for i, e in enumerate(outline.edges) for number in range(e.start, e.stop)}
    numbers = [(start + step) % count for step in range((stop - start) % count or count)]
    bits: List[Bit] = []
    rows: List[List[int]] = []
    for number in numbers:
        begins = number == outline.edges[owner[number]].start
        if not rows or begins or owner[number] != owner[rows[-1][-1]]:
            rows.append([])
        rows[-1].append(number)
    for row in rows:
        edge = outline.edges[owner[row[0]]]
        smooth = edge.smooth if row[0] == edge.start else None
        bits.append(Bit(edge.name, Path(outline.path.curves[row]), smooth, row[0] == 0))
    return bits


# -- where the sectors meet ---------------------------------------------------------------


def _closed_round(
    outline: Outline,
    spoke: Spoke,
    nodes: Tuple[int, int],
    pivot: np.ndarray,
    bits: List[Bit],
    named: bool,
) -> Tuple[List[Bit], Optional[Joint]]:
    """All bits in a ring, the first spoke between the last and the first of them."""
    if spoke.then > _SAME_ANGLE:
        return bits + _legs(outline, spoke, nodes, pivot, bits[-1].path.end, bits[0].path.start), None
    joint = joined(bits[-1], bits[0], spoke.name == "" and spoke.now > 0, named)
    if len(joint.bits) == 1 and len(bits) > 1:
        return bits[1:-1] + list(joint.bits), joint
    return [joint.bits[1]] + bits[1:-1] + [joint.bits[0]], joint


def _legs(
    outline: Outline,
    spoke: Spoke,
    nodes: Tuple[int, int],
    pivot: np.ndarray,
    start: np.ndarray,
    stop: np.ndarray,
) -> List[Bit]:
    """Both legs from the edge to the pivot and back; bent ones keep their shape."""
    old: List[Optional[Path]] = [None, None]
    if nodes[0] != nodes[1]:
        drawn = _sector_bits(outline, *nodes)
        old = [bit.path for bit in drawn] if len(drawn) == 2 else old
    return [
        Bit(spoke.name, _leg(old[0], start, pivot), False),
        Bit(spoke.name, _leg(old[1], pivot, stop), False),
    ]


def _leg(old: Optional[Path], start: np.ndarray, end: np.ndarray) -> Path:
    if old is None or is_line(old.curves).all():
        return Path.through([start, end])
    return reshaped(old, start, end)


def reshaped(path: Path, start: np.ndarray, end: np.ndarray) -> Path:
    """An open path turned and scaled so that it runs from one point to the other (2,)."""
    way = complex(*(end - start)) / complex(*(path.end - path.start))
    flat = path.curves - path.start
    made = (flat[..., 0] + 1j * flat[..., 1]) * way
    curves = np.stack([made.real, made.imag], axis=-1) + start
    curves[0, 0], curves[-1, 3] = start, end
    return Path(curves)


def _gains(old: Outline, new: Outline, spokes: Sequence[Spoke]) -> Tuple[Gain, ...]:
    """What the closed edges lost, for the notches on them."""
    gains = []
    for spoke in spokes:
        if spoke.then > _SAME_ANGLE or spoke.edge not in new.names:
            continue
        alike = [s for s in spokes if s.then <= _SAME_ANGLE and s.edge == spoke.edge]
        lost = (old.as_sewn(spoke.edge) - new.as_sewn(spoke.edge)) / len(alike)
        if abs(lost) > _NOTICED:
            gains.append(Gain(spoke.edge, _along(old, spoke), -lost))
    return tuple(gains)


def _along(outline: Outline, spoke: Spoke) -> float:
    """The distance (mm, as sewn) of a spoke from the start of its edge."""
    passed = 0.0
    for edge in outline.edges:
        if edge.name != spoke.edge:
            continue
        run = outline.path.part(edge.start, edge.stop)
        if edge.start <= spoke.start.curve < edge.stop:
            return passed + distance_of(run, Place(spoke.start.curve - edge.start, spoke.start.t))
        if edge.start > spoke.start.curve:
            break
        passed += path_length(run)
    return passed
