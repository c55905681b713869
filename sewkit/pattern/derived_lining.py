"""A lining: the piece it lines without its facings, and with the room a lining needs.

    piece = lining(front, "front-lining", {"neck": (50.0, "facing-edge")}, Room(hem=20.0))

A lining is shorter than its garment so that it does not show, a little wider and higher under the
arm so that it does not pull, and has a pleat at the centre back (common practice; amounts from
several textbooks, no single source).
"""

from typing import Dict, List, Mapping, NamedTuple, Sequence, Set, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.corner import Corner
from sewkit.geometry.intersect import crossings
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, cut, end_tangents, start_tangents
from sewkit.geometry.polygon import contains
from sewkit.geometry.transform import Transform
from sewkit.pattern.cutting import parallel, seam_outline
from sewkit.pattern.derived_end import inner_edge
from sewkit.pattern.derived_facing import INNER, BySize, derived_piece, stretch_bits, within
from sewkit.pattern.derived_meet import ended
from sewkit.pattern.derived_ring import cornered, ring_round, with_drawn
from sewkit.pattern.edge_end import moved_end, moved_start
from sewkit.pattern.grain_copy import grain_in
from sewkit.pattern.mark import DART, DRILL, LENGTHEN, LEVEL, NOTCH, Mark
from sewkit.pattern.notch import settled
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.parting import with_nodes
from sewkit.pattern.piece import Piece
from sewkit.pattern.spoke_joint import Bit, outline_of

# Of which cloth it is cut.
_CLOTH = "lining"

# What the pleat adds to an edge is called; it is folded away before the lining is sewn in.
PLEAT = "pleat"

# What a side seam may lose or win (mm) where it is moved out; more is another shape, such as a vent.
_LOST = 5.0

# A leg that is crossed so near to its end (share of its last curve) is crossed in the dart's point.
_AT_END = 1e-6

# Marks that a lining has too.
_KEPT = (DART, DRILL, LEVEL, LENGTHEN)


class Room(NamedTuple):
    """What makes a lining other than its garment, mm: shorter, a pleat, higher under the arm, wider."""

    hem: float = 0.0
    pleat: float = 0.0
    armhole: float = 0.0
    side: float = 0.0


class Off(NamedTuple):
    """A facing that is taken off: the parent edges, the width (mm), the name of the new edge.

    ``ends``: by size, how far (mm) its outer edge ends from the parent edges where it meets another.
    """

    edges: Tuple[str, ...]
    width: float
    name: str = INNER
    ends: BySize = {}


def lining(piece: Piece, name: str, offs: Sequence[Off], room: Room) -> Piece:
    """The lining of a piece, in all its sizes; it lies on its parent.

    ``InputError``: nothing is left of the piece without its facings.
    """
    taken = {edge for off in offs for edge in off.edges}
    for one in piece.outlines:
        piece = with_drawn(piece, one.size, sorted(taken))
    outlines = tuple(_lined(piece, outline, offs, room)._replace(key="") for outline in piece.outlines)
    marks: List[Mark] = []
    for mark in piece.marks:
        fitting = [o for o in outlines if mark.size in ("", o.size)]
        marks += _kept(mark, piece, fitting, taken) if fitting else []
    widths = {off.name: _usual(piece) for off in offs}
    pleated = any(PLEAT in outline.names for outline in outlines)
    widths.update({PLEAT: _usual(piece)} if pleated else {})
    made = derived_piece(piece, name, outlines, tuple(marks), widths)
    return grain_in(made._replace(cloth=_CLOTH), piece)


def is_side(name: str) -> bool:
    """Whether an edge is called a side seam."""
    return name == "side" or name.startswith("side-")


def is_armhole(name: str) -> bool:
    """Whether an edge is called an armhole."""
    return "armhole" in name


def is_centre_back(name: str) -> bool:
    """Whether an edge is called the centre back."""
    return name in ("centre-back", "center-back")


def _usual(piece: Piece) -> float:
    widths = [width for edge, width in piece.allowance.items() if edge not in piece.hems + piece.folds]
    return max(widths, key=lambda width: (widths.count(width), width)) if widths else 0.0


def _lined(piece: Piece, outline: Outline, offs: Sequence[Off], room: Room) -> Outline:
    if not outline.path.closed:
        raise InputError("'{}' is open.".format(piece.name), "Join its two end nodes first.", code="open")
    faced = {edge for off in offs for edge in off.edges}
    made = _offset(piece, outline, _widths(piece, outline, faced, room))
    for off in offs:
        made = without_facing(piece, made, off)
    if room.pleat:
        plain = outline
        for off in offs:
            plain = without_facing(piece, plain, off)
        made = _with_pleat(made, plain)
    return _raised(piece, outline, made, room, faced)


def _offset(piece: Piece, outline: Outline, widths: Mapping[str, float]) -> Outline:
    if not any(widths.values()):
        return outline
    made = parallel(outline, piece.name, lambda n: widths.get(n, 0.0), _extended, piece.mitre_limit)
    return seam_outline(made, outline.names, outline.size)


def _extended(before: str, after: str) -> Corner:
    return Corner()


def _widths(piece: Piece, outline: Outline, faced: Set[str], room: Room) -> Dict[str, float]:
    widths: Dict[str, float] = {}
    for name in outline.names:
        if name in piece.darts or name in faced:
            continue
        if name in piece.hems or name == "hem":
            widths[name] = -room.hem
        elif is_side(name):
            widths[name] = room.side
        elif is_centre_back(name):
            widths[name] = room.pleat
    return widths


def without_facing(piece: Piece, outline: Outline, off: Off) -> Outline:
    """An outline without the band of a facing, whose outer edge it has now.

    A dart through the band is closed first and opened again below it, so that the edge as sewn is
    as long as that of the facing.
    """
    ring = ring_round(piece, outline, off.edges, 0.0)
    for name in ring_round(piece, outline, off.edges, off.width).closed:
        if name not in ring.closed:
            raise _in_band(piece, name, off)
    rest = ended(ring, inner_edge(piece.name, ring, off.width), off.ends.get(outline.size, {}))
    moved = ring.held
    here = nearest(outline.path, moved.inverse().points(rest.start)).place
    bits: List[Bit] = []
    for one in ring.shut:
        met = crossings(rest, one.leg)
        if not met or (met[0].second.curve, met[0].second.t) >= (len(one.leg) - 1, 1.0 - _AT_END):
            raise _in_band(piece, one.name, off)
        bits += _opened(off.name, cut(rest, Place(0, 0.0), met[0].first), moved)
        leg = cut(one.leg, met[0].second, Place(len(one.leg) - 1, 1.0))
        bits += [Bit(one.name, moved.inverse().path(leg), False)]
        moved = one.moved
        bits += [Bit(one.name, moved.inverse().path(leg.reverse()), False)]
        rest = cut(rest, met[0].first, Place(len(rest) - 1, 1.0))
    bits += _opened(off.name, rest, moved)
    there = nearest(outline.path, moved.inverse().points(rest.end)).place
    whole, nodes = with_nodes(outline, [here, there])
    kept = stretch_bits(whole, nodes[1], nodes[0])
    ring_bits = [bit._replace(first=not number) for number, bit in enumerate(kept + bits)]
    return outline_of(outline, ring_bits)


def _opened(name: str, path: Path, moved: Transform) -> List[Bit]:
    return cornered(name, moved.inverse().path(path))


def _in_band(piece: Piece, dart: str, off: Off) -> InputError:
    """A dart that lies within the facing alone, or partly: below it no edge would fit the facing's."""
    return InputError(
        "The dart '{}' of '{}' lies in the {:g} mm of the facing along {}: no lining fits below it.".format(
            dart, piece.name, off.width, " and ".join(off.edges)
        ),
        "Turn the dart to another edge first, or make a narrower facing.",
        code="dart",
    )


# -- the room a lining needs ----------------------------------------------------------------


def _with_pleat(made: Outline, plain: Outline) -> Outline:
    """The facing's edge beside the centre back divided where the pleat begins.

    ``plain``: the parent without its facings and without any room; there that edge ends.
    """
    centre = next((name for name in made.names if is_centre_back(name)), "")
    for first in (True, False) if centre else ():
        edge, old = (_beside(outline, centre, first) for outline in (made, plain))
        if not edge.name.startswith(INNER) or edge.name != old.name:
            continue
        run = plain.path.part(old.start, old.stop)
        made = _divided(made, edge, run.start if first else run.end, first)
    return made


def _beside(outline: Outline, name: str, behind: bool) -> Edge:
    """The run behind or before all those of an edge."""
    numbers = [n for n, edge in enumerate(outline.edges) if edge.name == name]
    return outline.edges[(numbers[-1] + 1) % len(outline.edges) if behind else numbers[0] - 1]


def _divided(made: Outline, beside: Edge, spot: np.ndarray, first: bool) -> Outline:
    """A run divided at a point (2,); ``first``: its first part is the pleat."""
    near = nearest(made.path.part(beside.start, beside.stop), spot).place
    whole, nodes = with_nodes(made, [near._replace(curve=beside.start + near.curve)])
    edges = []
    for edge in whole.edges:
        if edge.name == beside.name and edge.start < nodes[0] < edge.stop:
            names = (PLEAT, edge.name) if first else (edge.name, PLEAT)
            edges.append(edge._replace(name=names[0], stop=nodes[0]))
            edges.append(edge._replace(name=names[1], start=nodes[0], smooth=True))
        else:
            edges.append(edge)
    return whole._replace(edges=tuple(edges))


def _raised(piece: Piece, parent: Outline, made: Outline, room: Room, faced: Set[str]) -> Outline:
    """The armhole's end at the side moved up along the side seam."""
    bits = [Bit(e.name, made.path.part(e.start, e.stop), e.smooth) for e in made.edges]
    for number, bit in enumerate(bits):
        before = bits[number - 1]
        if is_armhole(before.name) and is_side(bit.name) and before.name not in faced:
            way = -start_tangents(bit.path.curves[:1])[0]
            spot = bit.path.start + _higher(piece, parent, made, room, bit.name) * way
        elif is_side(before.name) and is_armhole(bit.name) and bit.name not in faced:
            way = end_tangents(before.path.curves[-1:])[0]
            spot = before.path.end + _higher(piece, parent, made, room, before.name) * way
        else:
            continue
        bits[number - 1] = before._replace(path=moved_end(before.path, spot))
        bits[number] = bit._replace(path=moved_start(bit.path, spot))
    bits = [bit._replace(first=not number) for number, bit in enumerate(bits)]
    return outline_of(made, bits)


def _higher(piece: Piece, parent: Outline, made: Outline, room: Room, side: str) -> float:
    """By how much (mm) a side seam is made longer at the armhole.

    By what was asked, and by what it lost or won where it was moved out beside an aslant edge: so the
    side seams of two linings are as equal as those of their parents.
    """
    if side not in parent.names:
        return room.armhole
    names = [edge.name for edge in parent.edges]
    ends = {names[names.index(side) - 1], names[(len(names) - names[::-1].index(side)) % len(names)]}
    hem = room.hem if ends & {"hem", *piece.hems} else 0.0
    off = _as_sewn(piece, parent, side) - hem - _as_sewn(piece, made, side)
    return room.armhole + (off if abs(off) <= _LOST else 0.0)


def _as_sewn(piece: Piece, outline: Outline, edge: str) -> float:
    """The length of an edge (mm) with the darts closed that are only drawn on it."""
    piece = with_drawn(piece._replace(outlines=(outline,)), outline.size, [edge])
    return piece.outline(outline.size).as_sewn(edge)


# -- marks -----------------------------------------------------------------------------------


def _kept(mark: Mark, piece: Piece, outlines: Sequence[Outline], taken: Set[str]) -> List[Mark]:
    """What a lining has of a mark of its parent."""
    if mark.kind == NOTCH and mark.on is not None:
        if mark.on.edge in taken:
            return []
        made = []
        for outline in outlines:
            parent = piece.outline(outline.size)
            on = settled(mark.on, parent, outline, 0.0) if mark.on.edge in parent.names else None
            made += [] if on is None else [mark._replace(on=on, size=outline.size, path=None, key="")]
        same = len(made) == len(piece.outlines) and len({m.on for m in made}) == 1 and not mark.size
        return [made[0]._replace(size=mark.size)] if same else made
    if mark.kind not in _KEPT or mark.path is None or not len(mark.path):
        return []
    if mark.kind in (LEVEL, LENGTHEN):
        path = within(mark.path, outlines[0].path)
        return [] if path is None else [mark._replace(path=path, key="")]
    return [mark._replace(key="")] if within_or_on(mark, outlines[0]) else []


def within_or_on(mark: Mark, outline: Outline) -> bool:
    """Whether the middle of a mark lies within an outline."""
    return bool(contains(outline.path, [mark.middle])[0])
