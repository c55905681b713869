"""The seams of a piece that is opened at its fold, or folded again.

    front/side=back/side      front opened: front/side-left=back/side, front/side-right=back/side,turned
    front/neck=facing/neck    front/neck=facing/neck+facing/neck,turned: both halves of the facing
    ... facing opened too     front/neck=facing/neck

A seam whose partner is still a half, or cut as a pair, is there for both sides and both are walked.
Where the partner has sides of its own, left meets left.
"""

from typing import List, NamedTuple, Optional, Sequence, Set, Tuple

from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.wearer_side import other_side, side_in, sided, without_side

Refs = Tuple[EdgeRef, ...]


class Halved(NamedTuple):
    """What the seams need to know of a piece that is opened or folded.

    Args:
        piece, fold: its name, and that of the edge on the fold.
        side: the side that is drawn on the half.
        over: the edges that run over the fold: which leave it, and which come to it, in path order.
    """

    piece: str
    fold: str
    side: str
    over: Tuple[str, str]

    def is_over(self, ref: EdgeRef) -> bool:
        """Whether an edge of the piece runs over the fold."""
        return ref.piece == self.piece and ref.edge in self.over

    def leaves(self, ref: EdgeRef) -> bool:
        """Whether the half of such an edge, as it is walked, begins at the fold."""
        return (ref.edge == self.over[0]) != ref.turned


def side_of_ref(pattern: Pattern, ref: EdgeRef) -> str:
    """The side of the wearer on which an edge lies; empty where it serves both."""
    piece = next((one for one in pattern.pieces if one.name == ref.piece), None)
    if piece is None:
        return ""
    return piece.side or (side_in(ref.edge) if piece.unfolded else "")


def opened_seams(pattern: Pattern, halved: Halved) -> Tuple[Tuple[Seam, ...], Tuple[Seam, ...]]:
    """All seams of the pattern, in which the piece is a half, once it is opened; and those that are lost."""
    found: List[Seam] = []
    lost: List[Seam] = []
    for seam in pattern.seams:
        made = _opened(pattern, seam, halved) if seam.touches(halved.piece) else [seam]
        found += made
        lost += [] if made else [seam]
    return tuple(dict.fromkeys(found)), tuple(lost)


def _opened(pattern: Pattern, seam: Seam, halved: Halved) -> List[Seam]:
    mine = [ref for ref in seam.refs if ref.piece == halved.piece]
    if any(ref.edge == halved.fold for ref in mine):
        return []
    if not any(halved.is_over(ref) for ref in mine):
        sides = {side_of_ref(pattern, ref) for ref in seam.refs if ref.piece != halved.piece} - {""}
        wanted = [halved.side, other_side(halved.side)]
        return [_sided(seam, halved, side) for side in wanted if not sides or sides == {side}]
    whole = _whole(pattern, seam, halved)
    return [] if whole is None else [whole]


def _sided(seam: Seam, halved: Halved, side: str) -> Seam:
    """The seam with the edges of one side."""

    def named(refs: Refs) -> Refs:
        return tuple(_named(ref, halved, side) for ref in refs)

    return seam._replace(first=named(seam.first), second=named(seam.second))


def _named(ref: EdgeRef, halved: Halved, side: str) -> EdgeRef:
    """An edge of the half on one side of the whole; the one that is not drawn runs the other way."""
    if ref.piece != halved.piece or halved.is_over(ref):
        return ref
    return EdgeRef(ref.piece, sided(ref.edge, side), ref.turned ^ (side != halved.side))


def _whole(pattern: Pattern, seam: Seam, halved: Halved) -> Optional[Seam]:
    """A seam that runs over the fold now, in one; None where it cannot be said how."""
    for refs, partner in ((seam.first, seam.second), (seam.second, seam.first)):
        met = _met(pattern, refs, partner, halved)
        if met is not None:
            mine = refs is seam.first
            return seam._replace(first=met if mine else partner, second=partner if mine else met)
    ways: Set[bool] = set()
    for refs in (seam.first, seam.second):
        for number, ref in enumerate(refs):
            if halved.is_over(ref):
                if number != (0 if halved.leaves(ref) else len(refs) - 1):
                    return None
                ways.add(halved.leaves(ref))
    if len(ways) != 1:
        return None
    leaves = ways.pop()
    sides = [_doubled(pattern, refs, halved, leaves) for refs in (seam.first, seam.second)]
    return Seam(sides[0], sides[1], (2 * seam.ease[0], 2 * seam.ease[1]))


def _met(pattern: Pattern, refs: Refs, partner: Refs, halved: Halved) -> Optional[Refs]:
    """One side of a seam in which the half stands twice already, for its partner is whole."""
    for number, (one, two) in enumerate(zip(refs, refs[1:])):
        if not (halved.is_over(one) and one == two._replace(turned=not two.turned)):
            continue
        untuned = halved.side if one.edge == halved.over[1] else other_side(halved.side)
        begins = begins_on(pattern, partner) or untuned
        middle = EdgeRef(one.piece, one.edge, begins != untuned)
        before = [_named(ref, halved, begins) for ref in refs[:number]]
        after = [_named(ref, halved, other_side(begins)) for ref in refs[number + 2 :]]
        return (*before, middle, *after)
    return None


def begins_on(pattern: Pattern, refs: Refs) -> str:
    """The side of the wearer on which a seam over the fold begins; empty where nothing tells."""
    side = side_of_ref(pattern, refs[0])
    if side or not refs:
        return side
    piece = next((one for one in pattern.pieces if one.name == refs[0].piece and one.unfolded), None)
    if piece is None:
        return ""
    edges = [edge.name for edge in piece.outlines[0].edges]
    if refs[0].edge not in edges:
        return ""
    first, last = edges.index(refs[0].edge), len(edges) - 1 - edges[::-1].index(refs[0].edge)
    beside = edges[(last + 1) % len(edges)] if refs[0].turned else edges[first - 1]
    return side_in(beside)


def _doubled(pattern: Pattern, refs: Refs, halved: Halved, leaves: bool) -> Refs:
    """One side of a seam, and behind or before it its mirror image."""
    own = [_named(ref, halved, halved.side) for ref in refs]
    other = [_back(pattern, ref, halved) for ref in reversed(refs)]
    if leaves:
        return tuple([one for one in other if not halved.is_over(one)] + own)
    return tuple(own + [one for one in other if not halved.is_over(one)])


def _back(pattern: Pattern, ref: EdgeRef, halved: Optional[Halved] = None) -> EdgeRef:
    """An edge on the other side of the wearer, walked the way back."""
    if halved is not None and ref.piece == halved.piece:
        made = _named(ref, halved, other_side(halved.side))
        return made._replace(turned=not made.turned)
    side = side_of_ref(pattern, ref)
    piece = next((one for one in pattern.pieces if one.name == ref.piece), None)
    if side and piece is not None and piece.side:
        return EdgeRef(sided(without_side(ref.piece), other_side(side)), ref.edge, not ref.turned)
    if side:
        return EdgeRef(ref.piece, sided(without_side(ref.edge), other_side(side)), ref.turned)
    return ref._replace(turned=not ref.turned)


# -- folded again --------------------------------------------------------------------------------


def folded_seams(pattern: Pattern, halved: Halved) -> Tuple[Seam, ...]:
    """All seams of the pattern, in which the piece is whole, once it is folded; ``side`` is kept."""
    found: List[Seam] = []
    for seam in pattern.seams:
        found += _folded(pattern, seam, halved) if seam.touches(halved.piece) else [seam]
    return tuple(dict.fromkeys(found))


def _folded(pattern: Pattern, seam: Seam, halved: Halved) -> List[Seam]:
    if any(halved.is_over(ref) for ref in seam.refs):
        return [_half(pattern, seam, halved)]
    gone = any(ref.piece == halved.piece and side_in(ref.edge) != halved.side for ref in seam.refs)
    others = [ref for ref in seam.refs if ref.piece != halved.piece and side_of_ref(pattern, ref)]
    if gone and not others:
        return []  # it is told by the seam of the side that is kept
    return [seam._replace(first=_bare(seam.first, halved), second=_bare(seam.second, halved))]


def _bare(refs: Sequence[EdgeRef], halved: Halved) -> Refs:
    """The edges of the piece without their sides; those of the side that goes run the other way now."""

    def bare(ref: EdgeRef) -> EdgeRef:
        if ref.piece != halved.piece or halved.is_over(ref):
            return ref
        gone = side_in(ref.edge) != halved.side
        return EdgeRef(ref.piece, without_side(ref.edge), ref.turned ^ gone)

    return tuple(bare(ref) for ref in refs)


def _half(pattern: Pattern, seam: Seam, halved: Halved) -> Seam:
    """Half of a seam over the fold where its partner consists of two halves; else the half twice."""
    mine = seam.first if any(halved.is_over(ref) for ref in seam.first) else seam.second
    partner = seam.second if mine is seam.first else seam.first
    at = next(number for number, ref in enumerate(mine) if halved.is_over(ref))
    ref, half = mine[at], len(partner) // 2
    alike = len(partner) % 2 == 0 and all(
        _back(pattern, one) == two for one, two in zip(partner, reversed(partner))
    )
    ease = seam.ease
    if alike and at == len(mine) - 1 - at:
        second = halved.leaves(ref)
        mine_, partner_ = (mine[at:], partner[half:]) if second else (mine[: at + 1], partner[:half])
        ease = (ease[0] / 2.0, ease[1] / 2.0)
    else:
        pair = (
            ref._replace(turned=halved.over[0] == ref.edge),
            ref._replace(turned=halved.over[0] != ref.edge),
        )
        mine_, partner_ = (*mine[:at], *pair, *mine[at + 1 :]), partner
    mine_ = _bare(mine_, halved)
    return Seam(mine_, partner_, ease) if mine is seam.first else Seam(partner_, mine_, ease)
