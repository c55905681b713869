"""A facing: the band of a piece along some of its edges.

    piece = facing(parent, ("neck",), "neck-facing", width=50.0)

Its outer edge is everywhere as far from the parent edges as its width, bent at an end where it has
to meet that of another facing; it ends on the edges beside them.  Darts in the band are closed, as
they are sewn before the facing is sewn on.  It lies on the parent, where it was cut out.
"""

from typing import Any, Dict, List, Mapping, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.corner import Corner
from sewkit.geometry.intersect import crossings
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, point, split_at
from sewkit.geometry.polygon import contains
from sewkit.pattern.cutting import parallel, seam_outline
from sewkit.pattern.derived_end import inner_edge, no_room
from sewkit.pattern.derived_meet import ended, ends_of, wanted
from sewkit.pattern.derived_ring import GAPE, Ring, cornered, ring_round, with_drawn
from sewkit.pattern.fold_bracket import with_brackets
from sewkit.pattern.fold_mouth import fold_mouths
from sewkit.pattern.grain_copy import grain_in
from sewkit.pattern.mark import LEVEL, NOTCH, Mark, On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.outline import Outline
from sewkit.pattern.parting import with_nodes
from sewkit.pattern.piece import MITRE_LIMIT, CutLine, Piece
from sewkit.pattern.spoke_joint import Bit, outline_of

# What the outer edge of a facing is called, and the edge of the lining that is sewn to it.
INNER = "facing-edge"

# What is left of a level line is nothing if it is shorter than this (mm).
_LEFT = 5.0

# A dart is closed if its mouth is no further from the edge than this many widths.
_REACH = 1.5

# A place on an edge is known to this (mm).
_ROUNDING = 1e-6


class Stretch(NamedTuple):
    """What of a parent edge a facing has: from where to where, mm as sewn, and how long it is there."""

    start: float
    stop: float
    long: float


class Faced(NamedTuple):
    """One size of a facing.

    Args:
        outline: its outline.
        stretches: what it has of the parent's edges, by name; only those that keep their name.
        closed: the darts that were closed.
        ends: how far (mm) its outer edge ends from the parent edges, by the edge on which it ends.
    """

    outline: Outline
    stretches: Dict[str, Stretch]
    closed: Tuple[str, ...]
    ends: Mapping[str, float]


# Lengths (mm) by the name of an edge; and those by size.
Lengths = Mapping[str, float]
BySize = Mapping[str, Lengths]
NOTHING: Mapping[str, Any] = {}


def facing(
    piece: Piece, edges: Sequence[str], name: str, width: float, turn: float = 0.0, meeting: BySize = NOTHING
) -> Piece:
    """The facing of some edges of a piece, in all its sizes.

    Args:
        width: of the band, mm.
        turn: the turn of cloth: by so much its edge lies further in than the parent's, mm.
        meeting: how long the edges on which it ends are to be, for another facing is sewn to them.

    ``InputError``: edges that do not lie beside each other; no room for the band.
    """
    parent = piece
    for outline in piece.outlines:
        parent = with_drawn(parent, outline.size, edges)
    done = {o.size: faced(parent, o, edges, width, turn, meeting.get(o.size, {})) for o in parent.outlines}
    outlines = tuple(one.outline._replace(key="") for one in done.values())
    marks: List[Mark] = []
    for mark in parent.marks:
        fitting = [size for size in done if mark.size in ("", size)]
        marks += _copied(mark, parent, done, fitting) if fitting else []
    return grain_in(_piece(piece, name, outlines, tuple(marks)), piece)


def faced(
    piece: Piece,
    outline: Outline,
    edges: Sequence[str],
    width: float,
    turn: float = 0.0,
    meeting: Lengths = NOTHING,
) -> Faced:
    """One size of a facing."""
    ring = ring_round(piece, outline, edges, _REACH * width)
    inner = _inner_edge(piece, outline, ring, width)
    one = _within(piece, outline, ring, inner, width, turn)
    ends = wanted(ring, inner, one.outline, meeting) if meeting else {}
    if not ends:
        return one
    return _within(piece, outline, ring, ended(ring, inner, ends), width, turn)


def _inner_edge(piece: Piece, outline: Outline, ring: Ring, width: float) -> Path:
    """The outer edge of the facing; ``InputError`` where there is no room, its pleats folded."""
    try:
        return inner_edge(piece.name, ring, width)
    except InputError:
        folded = {mouth.name for mouth in fold_mouths(outline, piece.darts)} & set(ring.closed)
        if not folded:
            raise
        raise InputError(
            "With its pleats folded '{}' has no room for a facing of {:g} mm along {}.".format(
                piece.name, width, " and ".join(ring.edges)
            ),
            "Make the facing before the pleats are laid, or take them out: sewkit gather --kind remove.",
            code="offset",
        ) from None


def _within(piece: Piece, outline: Outline, ring: Ring, inner: Path, width: float, turn: float) -> Faced:
    """The facing between its parent edges and its outer edge."""
    places = [nearest(ring.outline.path, spot).place for spot in (inner.start, inner.end)]
    whole, nodes = with_nodes(ring.outline, places)
    bits = stretch_bits(whole, nodes[0], nodes[1])
    bits = _second_named(bits, ring)
    if any(bit.name == GAPE for bit in bits):
        raise no_room(piece.name, ring, width)
    path = Path(np.array(inner.reverse().curves))
    path.curves.setflags(write=False)
    made = outline_of(outline, _first(bits) + cornered(INNER, _snapped(path, bits)))
    made = _turned_in(piece, made, ring.edges, turn) if turn else made
    stretches = _stretches(ring, made, {bit.name for bit in bits[: _chain(bits, ring)]})
    return Faced(made, stretches, ring.closed, ends_of(ring, inner))


def stretch_bits(outline: Outline, start: int, stop: int) -> List[Bit]:
    """The runs of an outline from a node to another, which comes behind the start of the path."""
    count = len(outline.path)
    names = [""] * count
    for edge in outline.edges:
        names[edge.start : edge.stop] = [edge.name] * (edge.stop - edge.start)
    numbers = [n % count for n in range(start, stop + count if stop <= start else stop)]
    bits: List[Bit] = []
    row: List[int] = []
    for number, following in zip(numbers, [*numbers[1:], -1]):
        row.append(number)
        if following < 0 or names[following] != names[number]:
            bits += cornered(names[number], Path(outline.path.curves[row]))
            row = []
    return bits


def _second_named(bits: Sequence[Bit], ring: Ring) -> List[Bit]:
    """Where one edge lies on both sides, what comes behind has a name of its own."""
    passed = False
    made = []
    first = {bit.name for bit in bits[: _chain(bits, ring)]}
    for bit in bits:
        passed = passed or bit.name in ring.edges
        again = passed and bit.name in first
        made.append(bit._replace(name=bit.name + "-2") if again else bit)
    return made


def _chain(bits: Sequence[Bit], ring: Ring) -> int:
    """The number of the first run of the parent edges."""
    return next(number for number, bit in enumerate(bits) if bit.name in ring.edges)


def _first(bits: Sequence[Bit]) -> List[Bit]:
    return [bit._replace(first=not number) for number, bit in enumerate(bits)]


def _snapped(path: Path, bits: Sequence[Bit]) -> Path:
    """The path with its ends exactly on those of the bits."""
    curves = np.array(path.curves)
    curves[0, :2] += bits[-1].path.end - curves[0, 0]
    curves[-1, 2:] += bits[0].path.start - curves[-1, 3]
    return Path(curves)


def _turned_in(piece: Piece, outline: Outline, edges: Sequence[str], turn: float) -> Outline:
    def widths(name: str) -> float:
        return -turn if name in edges else 0.0

    def corner(before: str, after: str) -> Corner:
        return Corner()

    cut = parallel(outline, piece.name, widths, corner, MITRE_LIMIT)
    return seam_outline(cut, outline.names, outline.size)


def _stretches(ring: Ring, made: Outline, ahead: Set[str]) -> Dict[str, Stretch]:
    """What the facing has of each edge; ``ahead``: the edges that come before the parent edges."""
    found = {}
    for name in made.names:
        if name not in ring.outline.names or name in (INNER, GAPE):
            continue
        whole, own = ring.outline.as_sewn(name), made.as_sewn(name)
        if name in ring.edges:
            found[name] = Stretch(0.0, whole, own)
        elif name in ahead:
            found[name] = Stretch(whole - own, whole, own)
        else:
            found[name] = Stretch(0.0, own, own)
    return found


# -- marks and what a piece keeps -----------------------------------------------------------


def _copied(mark: Mark, parent: Piece, done: Dict[str, Faced], sizes: Sequence[str]) -> List[Mark]:
    if mark.kind == NOTCH and mark.on is not None:
        made = {size: _notch(mark, parent.outline(size), done[size]) for size in sizes}
        places = {(on.distance, on.from_end) for on in made.values() if on is not None}
        if not places:
            return []
        if len(places) == 1 and None not in made.values():
            return [mark._replace(on=next(iter(made.values())), path=None, key="")]
        return [
            mark._replace(on=on, size=size, path=None, key="") for size, on in made.items() if on is not None
        ]
    if mark.kind == LEVEL and mark.path is not None and len(mark.path):
        one = done[sizes[0]]
        path = None if one.closed else within(mark.path, one.outline.path)
        return [] if path is None else [mark._replace(path=path, key="")]
    return []


def _notch(mark: Mark, parent: Outline, one: Faced) -> Optional[On]:
    on = mark.on
    if on is None or on.edge not in one.stretches or on.edge not in parent.names:
        return None
    part = one.stretches[on.edge]
    if part.long <= 0 or part.stop <= part.start:
        return None
    distance = distance_from_start(parent, on)
    if not part.start - _ROUNDING <= distance <= part.stop + _ROUNDING:
        return None
    along = (distance - part.start) * part.long / (part.stop - part.start)
    along = min(max(along, 0.0), part.long)
    if not on.from_end and part.start == 0.0 and abs(part.long - part.stop) <= _ROUNDING:
        return on
    if on.from_end and abs((part.long - along) - on.distance) <= 1e-3:
        return on
    return On(on.edge, part.long - along if on.from_end else along, on.from_end)


def within(line: Path, outline: Path) -> Optional[Path]:
    """What of a line (mm) lies within an outline, first place to last; None if next to nothing."""
    split = split_at(line, [met.first for met in crossings(line, outline)])
    inside = np.flatnonzero(contains(outline, point(split.curves, 0.5)))
    if not len(inside):
        return None
    path = Path(split.curves[inside[0] : inside[-1] + 1])
    return path if path_length(path) >= _LEFT else None


def _piece(piece: Piece, name: str, outlines: Tuple[Outline, ...], marks: Tuple[Mark, ...]) -> Piece:
    """The facing as a piece: what the parent keeps about the edges that both have."""
    made = derived_piece(piece, name, outlines, marks, {INNER: 0.0})
    return with_brackets(made, made.outlines)


def derived_piece(
    piece: Piece,
    name: str,
    outlines: Tuple[Outline, ...],
    marks: Tuple[Mark, ...],
    widths: Dict[str, float],
) -> Piece:
    """A piece with new outlines that keeps what its parent keeps about the edges that both have.

    ``widths``: of the allowance on new edges, mm.
    """
    here = {one for outline in outlines for one in outline.names}
    listed = {
        word: tuple(n for n in getattr(piece, word) if n in here) for word in ("folds", "hems", "darts")
    }
    allowance = {edge: width for edge, width in piece.allowance.items() if not edge or edge in here}
    if allowance:
        allowance.update(widths)
    # Cut once on the fold is cut for both halves of the body; without the fold it takes a pair.
    pair = 2 if piece.folds and not listed["folds"] else 1
    lines = [CutLine(o.size, o.path) for o in outlines if piece.cut_line(o.size) is not None]
    return Piece(
        name,
        outlines,
        tuple(lines),
        marks,
        allowance=allowance,
        corners={both: rule for both, rule in piece.corners.items() if set(both) <= here},
        cut=piece.cut * pair,
        cloth=piece.cloth,
        other_corners=piece.other_corners,
        mitre_limit=piece.mitre_limit,
        pressed={dart: side for dart, side in piece.pressed.items() if dart in listed["darts"]},
        side=piece.side,
        **listed,
    )
