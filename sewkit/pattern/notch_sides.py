"""Notches as they lie along both sides of a seam, and where a notch of one side meets the other.

A side begins where the two pieces meet; its edges lie end to end, darts, cut in or only drawn, are
closed, and gathers are drawn together.

    here, there = side_of(pattern, seam.first, size), side_of(pattern, seam.second, size)
    along, from_end = meeting(120.0, here, there, pairs_of(here, there))

The rule: outside the outermost pair of notches the partner has the same distance from the end of
the seam, so that ease lies between the notches; between two pairs it has the same share of their
section.  On a seam without a pair it has the same distance from the nearer end; half way between
both it is half way on the partner too, so that left and right are alike.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

from sewkit.pattern.gathered import Gathers, drawn_together, gathers_on, let_out, taken
from sewkit.pattern.mark import NOTCH, Mark, On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.notch_as_sewn import mouths_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.sewn_to import Mouths, with_mouths, without_mouths
from sewkit.pattern.walking import JOINT

# From which end a partner has the distance, or whether ease is spread over the whole seam.
START, END, NEAR, EVEN = "start", "end", "near", "even"

# A place so near to the middle of a seam (mm) is half way: written lengths are rounded.
_HALF_WAY = 0.01

# A section shorter than this has no inside (mm).
_SHORTEST = 1e-6


class Sat(NamedTuple):
    """A notch on a side of a seam: of which piece, and how far from where the side begins (mm)."""

    piece: str
    mark: Mark
    along: float


class Stretch(NamedTuple):
    """One edge of a side: where it begins (mm along the side), its length, its outline and mouths.

    ``gathers``: counted along the edge with its darts closed.
    """

    ref: EdgeRef
    begins: float
    length: float
    outline: Outline
    mouths: Mouths
    gathers: Tuple[Gathers, ...] = ()


class SeamSide(NamedTuple):
    """One side of a seam in one size, ``length`` mm as sewn; its notches in order."""

    stretches: Tuple[Stretch, ...]
    length: float
    notches: Tuple[Sat, ...]


Pairs = Sequence[Tuple[float, float]]


def side_of(pattern: Pattern, refs: Sequence[EdgeRef], size: str) -> SeamSide:
    """A side of a seam; ``InputError`` where a piece, an edge or the size is missing."""
    stretches: List[Stretch] = []
    notches: List[Sat] = []
    at = 0.0
    for ref in refs:
        piece = pattern.piece(ref.piece)
        outline = piece.outline(size)
        if ref.edge not in outline.names:
            outline.edge_path(ref.edge)  # raises, naming the edges there are
        mouths = mouths_of(piece, outline, ref.edge)
        gathers = tuple(
            one._replace(low=without_mouths(one.low, mouths), high=without_mouths(one.high, mouths))
            for one in gathers_on(piece, outline, ref.edge)
        )
        length = without_mouths(outline.as_sewn(ref.edge), mouths) - taken(gathers)
        stretch = Stretch(ref, at, length, outline, mouths, gathers)
        stretches.append(stretch)
        for mark in piece.marks_for(outline.size):
            if mark.kind == NOTCH and mark.on is not None and mark.on.edge == ref.edge:
                notches.append(Sat(piece.name, mark, along_side(stretch, mark.on)))
        at += stretch.length
    return SeamSide(tuple(stretches), at, tuple(sorted(notches, key=lambda sat: sat.along)))


def sides_of(seam: Seam, piece: str, edge: str) -> List[Tuple[EdgeRef, ...]]:
    """Both sides of a seam, the one with the edge first; nothing where it takes no part in it."""
    for here, there in ((seam.first, seam.second), (seam.second, seam.first)):
        if any((ref.piece, ref.edge) == (piece, edge) for ref in here):
            return [here, there]
    return []


def along_side(stretch: Stretch, on: On) -> float:
    """How far along a side a place of one of its edges is (mm)."""
    along = without_mouths(distance_from_start(stretch.outline, on), stretch.mouths)
    along = drawn_together(stretch.gathers, along)
    return stretch.begins + (stretch.length - along if stretch.ref.turned else along)


def place_along(side: SeamSide, along: float, from_end: bool) -> Tuple[str, On]:
    """The piece and the place on its edge ``along`` mm from where a side begins.

    ``from_end``: the place is to count from the end of the seam.
    """
    last = side.stretches[-1]
    stretch = next((one for one in side.stretches if along <= one.begins + one.length), last)
    within = min(max(along - stretch.begins, 0.0), stretch.length)
    closed = stretch.length - within if stretch.ref.turned else within
    distance = with_mouths(let_out(stretch.gathers, closed), stretch.mouths)
    if from_end == stretch.ref.turned:
        return stretch.ref.piece, On(stretch.ref.edge, distance)
    return stretch.ref.piece, On(stretch.ref.edge, stretch.outline.as_sewn(stretch.ref.edge) - distance, True)


def pairs_of(here: SeamSide, there: SeamSide, but: Optional[Mark] = None) -> List[Tuple[float, float]]:
    """How far along their sides the notches lie that both have, in order.

    Args:
        but: a notch of the other side whose pair does not count.
    """
    return sorted((one.along, other.along) for one, other in matched(here, there)[0] if other.mark is not but)


def matched(here: SeamSide, there: SeamSide) -> Tuple[List[Tuple[Sat, Sat]], List[Sat], List[Sat]]:
    """Pairs, and what only one side has.

    Notches with a name belong to that of the same name; of several in their order, as on a waist that
    is sewn to both halves of another, and where one side has more to the nearest.  Those without
    belong together by their order, if both sides have as many.  One that meets the seam between two
    pieces of the other side (``JOINT``) has its partner in that seam.
    """
    pairs: List[Tuple[Sat, Sat]] = []
    for name in dict.fromkeys(sat.mark.name for sat in here.notches if sat.mark.name):
        mine, theirs = ([sat for sat in side.notches if sat.mark.name == name] for side in (here, there))
        pairs += _of_one_name(mine, theirs)
    taken = [sat for pair in pairs for sat in pair]
    lone, others = (
        [sat for sat in side.notches if sat.mark.name and not any(sat is one for one in taken)]
        for side in (here, there)
    )
    lone = [sat for sat in lone if not _at_joint(sat, there)]
    others = [sat for sat in others if not _at_joint(sat, here)]
    plain = [sat for sat in here.notches if not sat.mark.name]
    others_plain = [sat for sat in there.notches if not sat.mark.name]
    if len(plain) == len(others_plain):
        pairs += list(zip(plain, others_plain))
        return pairs, lone, others
    return pairs, lone + plain, others + others_plain


def _of_one_name(mine: Sequence[Sat], theirs: Sequence[Sat]) -> List[Tuple[Sat, Sat]]:
    if len(mine) == len(theirs):
        return list(zip(mine, theirs))
    few, many = (mine, list(theirs)) if len(mine) < len(theirs) else (theirs, list(mine))
    found: List[Tuple[Sat, Sat]] = []
    for sat in few:
        near = min(many, key=lambda one: abs(one.along - sat.along))
        many = [one for one in many if one is not near]
        found.append((sat, near) if few is mine else (near, sat))
    return found


def _at_joint(sat: Sat, other: SeamSide) -> bool:
    return sat.mark.name in ["{}{}".format(JOINT, n) for n in range(1, len(other.stretches))]


def meeting(
    along: float, here: SeamSide, there: SeamSide, pairs: Pairs, by: str = NEAR
) -> Tuple[float, bool]:
    """How far (mm) along the other side a notch meets this one, and whether it counts from the seam's end."""
    if by == EVEN:
        other = along * there.length / max(here.length, _SHORTEST)
        return other, other > there.length / 2.0
    stops = [(0.0, 0.0), *pairs, (here.length, there.length)]
    number = next((n for n in range(len(stops) - 1) if along <= stops[n + 1][0]), len(stops) - 2)
    low, high = stops[number], stops[number + 1]
    from_end = {START: False, END: True}.get(by)
    if from_end is None:
        from_end = _counts_from_end(along, here, len(pairs), number)
    if from_end is not None:
        other = there.length - (here.length - along) if from_end else along
        if low[1] < other < high[1] or other in (0.0, there.length):
            return other, from_end
    share = (along - low[0]) / max(high[0] - low[0], _SHORTEST)
    other = low[1] + share * (high[1] - low[1])
    return other, other > there.length / 2.0


def _counts_from_end(along: float, here: SeamSide, pairs: int, number: int) -> Optional[bool]:
    """Whether a place counts from the end of the seam; None between two pairs, or half way."""
    if not pairs:
        half = here.length / 2.0
        return along > half if abs(along - half) > _HALF_WAY else None
    if number == 0:
        return False
    return True if number == pairs else None
