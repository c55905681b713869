"""A piece derived from others, by what it is to follow: a facing, a band, a lining.

    made = derive(pattern, "neck-facing", follow)
    made.piece, made.seams

The same pattern gives the same piece, so it can be made anew whenever a parent has changed.
"""

import math
from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.pattern.derived_band import SEWN, band
from sewkit.pattern.derived_facing import INNER, BySize, faced, facing
from sewkit.pattern.derived_lining import Off, Room, lining
from sewkit.pattern.derived_ring import with_drawn
from sewkit.pattern.follow_text import BAND, FACING, LINING, Follow, parse_follow, write_follow
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef, Seam

# Edges that differ by less (mm) are meant equal.
_EQUAL = 0.5

# What rounding leaves of a length (mm).
_ROUNDING = 5e-7

# A window for ease is said in steps of this (mm).
_STEP = 0.5


class Derived(NamedTuple):
    """A derived piece, where it was cut out of its parent, and how it is sewn to others."""

    piece: Piece
    seams: Tuple[Seam, ...]


def derive(pattern: Pattern, name: str, follow: Follow) -> Derived:
    """The piece called ``name`` by what it follows.

    ``InputError``: with the code "parent" where a parent piece or edge is not there, with others
    where there is no room.
    """
    known_parents(pattern, follow)
    if follow.kind == FACING:
        made = _facing(pattern, name, follow)
    elif follow.kind == BAND:
        made = _band(pattern, name, follow)
    else:
        made = _lining(pattern, name, follow)
    return made._replace(piece=made.piece._replace(follows=write_follow(follow)))


def known_parents(pattern: Pattern, follow: Follow) -> None:
    """``InputError`` (parent) for a parent piece or edge that is not there."""
    known = {piece.name: piece for piece in pattern.pieces}
    for name in follow.parents:
        if name not in known:
            raise InputError(
                "Its parent piece '{}' is not there any more.".format(name),
                "Bring the piece back, derive this one from another, or set it free.",
                code="parent",
            )
        if not known[name].outlines:
            raise InputError(
                "Its parent piece '{}' has no seam line.".format(name),
                "Draw one, or set the piece free.",
                code="parent",
            )
    for ref in follow.edges:
        for outline in known[ref.piece].outlines:
            if ref.edge not in outline.names:
                raise InputError(
                    "Its parent '{}' has no edge called '{}' any more.".format(ref.piece, ref.edge),
                    "Name the edge again, derive the piece from another, or set it free.",
                    code="parent",
                )


def follow_of(piece: Piece) -> Follow:
    """What a piece follows; ``InputError`` (parent) where that cannot be read."""
    return parse_follow(piece.follows)


def followers(pattern: Pattern) -> Tuple[Piece, ...]:
    """The pieces that follow others, each behind those that it depends on.

    Facings and bands come first, for linings leave facings out; a facing comes behind the ones it meets.
    """
    found = {piece.name: piece for piece in pattern.pieces if piece.follows}
    placed: Dict[str, Piece] = {}

    def place(name: str, above: Tuple[str, ...]) -> None:
        if name not in found or name in placed or name in above:
            return
        for other in _meets(found[name]):
            place(other, (*above, name))
        placed[name] = found[name]

    for name in found:
        place(name, ())
    return tuple(sorted(placed.values(), key=lambda piece: piece.follows.startswith(LINING)))


def _meets(piece: Piece) -> Tuple[str, ...]:
    try:
        return follow_of(piece).meets
    except InputError:
        return ()


# -- the three kinds --------------------------------------------------------------------------


def _facing(pattern: Pattern, name: str, follow: Follow) -> Derived:
    parent = pattern.piece(follow.edges[0].piece)
    edges = [ref.edge for ref in follow.edges]
    meeting = met_lengths(pattern, name, follow)
    piece = facing(parent, edges, name, follow.value("width"), follow.value("turn"), meeting)
    seams = []
    for edge in edges:
        ease = _ease(parent, piece, edge) if follow.value("turn") else (0.0, 0.0)
        seams.append(Seam((EdgeRef(name, edge),), (EdgeRef(parent.name, edge),), ease))
    return Derived(piece, tuple(seams) + _between(pattern, parent.name, piece, FACING))


def met_lengths(pattern: Pattern, name: str, follow: Follow) -> BySize:
    """How long the edges are to be on which a facing ends, by size, as those of the facings it meets.

    ``name``: of the facing.  A facing that was set free is still met where the seam to it is known.
    """
    parent = follow.edges[0].piece
    sizes = pattern.piece(parent).sizes
    found: Dict[str, Dict[str, float]] = {}
    for other in pattern.pieces:
        if other.name not in follow.meets or (other.follows and not _as_wide(follow, other)):
            continue
        names = {name: (other.name,), parent: follow_of(other).parents if other.follows else ()}
        for seam in pattern.seams:
            for mine, theirs in names.items():
                here, there = _from(mine, seam)
                if here is None or there is None or there.piece not in theirs:
                    continue
                for size in sizes:
                    outline = other.outline(size) if size in other.sizes or other.sizes == ("",) else None
                    if outline is not None and there.edge in outline.names:
                        found.setdefault(size, {})[here.edge] = outline.as_sewn(there.edge)
    return found


def _as_wide(follow: Follow, other: Piece) -> bool:
    """Whether a facing is as wide as another one."""
    if not other.follows.startswith(FACING):
        return False
    return abs(follow_of(other).value("width") - follow.value("width")) <= _EQUAL


def _from(parent: str, seam: Seam) -> Tuple[Optional[EdgeRef], Optional[EdgeRef]]:
    """The edge of a piece in a seam of two edges, and the other one."""
    if len(seam.first) != 1 or len(seam.second) != 1:
        return None, None
    first, second = seam.first[0], seam.second[0]
    if first.piece == parent:
        return first, second
    return (second, first) if second.piece == parent else (None, None)


def _ease(parent: Piece, piece: Piece, edge: str) -> Tuple[float, float]:
    """By how much a facing's edge is longer than its parent's on purpose, for the turn of cloth."""
    off = []
    for outline in piece.outlines:
        sewn = with_drawn(parent, outline.size, [edge]).outline(outline.size).as_sewn(edge)
        off.append(outline.as_sewn(edge) - sewn)
    return _window(off)


def _window(off: Sequence[float]) -> Tuple[float, float]:
    """The ease that takes in some differences (mm); none where they are as good as none."""
    if max(abs(one) for one in off) <= _EQUAL:
        return 0.0, 0.0
    least, most = _down(min(off)), -_down(-max(off))
    return float(least), float(most)


def _down(length: float) -> float:
    """The step at or below a length (mm), which may miss it by rounding."""
    return math.floor((length + _ROUNDING) / _STEP) * _STEP


def _band(pattern: Pattern, name: str, follow: Follow) -> Derived:
    values = follow.value("width"), bool(follow.value("doubled")), follow.value("extension")
    piece = band(pattern, follow.edges, name, *values)
    return Derived(piece, (Seam((EdgeRef(name, SEWN),), follow.edges),))


def _lining(pattern: Pattern, name: str, follow: Follow) -> Derived:
    parent = pattern.piece(follow.piece)
    offs: List[Off] = []
    seams: List[Seam] = []
    for one in facings_of(pattern, follow):
        known = follow_of(one)
        edge = INNER if not offs else "{}-{}".format(INNER, len(offs) + 1)
        ends = _ends(pattern, one.name, known) if known.meets else {}
        offs.append(Off(tuple(ref.edge for ref in known.edges), known.value("width"), edge, ends))
        seams.append(Seam((EdgeRef(name, edge),), (EdgeRef(one.name, INNER),)))
    room = Room(*(follow.value(word) for word in Room._fields))
    piece = lining(parent, name, offs, room)
    if room.hem:
        seams = [_to_hem(pattern, piece, seam) for seam in seams]
    return Derived(piece, tuple(seams) + _between(pattern, parent.name, piece, LINING))


def _ends(pattern: Pattern, name: str, follow: Follow) -> BySize:
    """How far the outer edge of a facing ends from its parent edges, by size and edge."""
    parent, edges = pattern.piece(follow.edges[0].piece), [ref.edge for ref in follow.edges]
    values, meeting = (follow.value("width"), follow.value("turn")), met_lengths(pattern, name, follow)
    found = {}
    for outline in parent.outlines:
        piece = with_drawn(parent, outline.size, edges)
        whole = piece.outline(outline.size)
        found[outline.size] = faced(piece, whole, edges, *values, meeting.get(outline.size, {})).ends
    return found


def _to_hem(pattern: Pattern, piece: Piece, seam: Seam) -> Seam:
    """The seam of a lining and a facing that runs to the hem: the lining ends above it, on purpose."""
    edge, other = seam.first[0].edge, pattern.piece(seam.second[0].piece)
    names = [one.name for one in piece.outlines[0].edges]
    at = [number for number, name in enumerate(names) if name == edge]
    beside = {names[at[0] - 1], names[(at[-1] + 1) % len(names)]} if at else set()
    if not beside & {"hem", *piece.hems}:
        return seam
    off = [o.as_sewn(edge) - other.outline(o.size).as_sewn(INNER) for o in piece.outlines]
    return seam._replace(ease=_window(off))


def facings_of(pattern: Pattern, follow: Follow) -> List[Piece]:
    """The facings that a lining leaves out; ``InputError`` (parent) where one is not there."""
    found = []
    for name in follow.less:
        one = next((piece for piece in pattern.pieces if piece.name == name), None)
        if one is None or not one.follows.startswith(FACING):
            raise InputError(
                "The facing '{}' that it leaves out is {}.".format(
                    name, "not there any more" if one is None else "bound to no parent any more"
                ),
                "Derive the lining anew from its parent, or set it free.",
                code="parent",
            )
        found.append(one)
    return found


def _between(pattern: Pattern, parent: str, piece: Piece, kind: str) -> Tuple[Seam, ...]:
    """The seams to what was derived in the same way from the pieces that the parent is sewn to."""
    others: Dict[str, List[Piece]] = {}
    for one in pattern.pieces:
        if one.follows.startswith(kind) and one.name != piece.name:
            for name in follow_of(one).parents:
                others.setdefault(name, []).append(one)
    found = []
    for seam in pattern.seams:
        sides = seam.first, seam.second
        if len(seam.first) != 1 or len(seam.second) != 1 or parent not in (s[0].piece for s in sides):
            continue
        here, there = sides if sides[0][0].piece == parent else sides[::-1]
        if here[0].edge not in piece.outlines[0].names:
            continue
        for other in others.get(there[0].piece, []):
            if there[0].edge in other.outlines[0].names and not _is_parent_edge(other, there[0].edge):
                new = (here[0]._replace(piece=piece.name),), (there[0]._replace(piece=other.name),)
                sides = new if here is seam.first else new[::-1]
                # Facings are cut to end alike, whatever the edges take in beyond them.
                ease = seam.ease if kind == LINING else (0.0, 0.0)
                found.append(Seam(*sides, ease))
    return tuple(found)


def _is_parent_edge(piece: Piece, edge: str) -> bool:
    return edge in [ref.edge for ref in follow_of(piece).edges]


def joined_seams(seams: Sequence[Seam], new: Sequence[Seam]) -> Tuple[Seam, ...]:
    """The seams with new ones behind; one of the same edges is replaced."""

    def edges(seam: Seam) -> "frozenset[Tuple[str, ...]]":
        return frozenset(tuple(str(ref) for ref in side) for side in (seam.first, seam.second))

    known = {edges(seam) for seam in new}
    return tuple(seam for seam in seams if edges(seam) not in known) + tuple(new)


def only_eased(seams: Sequence[Seam], new: Sequence[Seam]) -> Tuple[Seam, ...]:
    """The seams as they are, with the ease that those of the same edges have now."""
    eases = {(seam.first, seam.second): seam.ease for seam in new}
    return tuple(seam._replace(ease=eases.get((seam.first, seam.second), seam.ease)) for seam in seams)
