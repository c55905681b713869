"""What gathers take in of an edge, so that a seam is walked with the edge drawn together.

    gathers = gathers_on(piece, outline, "waist")
    length = outline.as_sewn("waist") - taken(gathers)
    along = drawn_together(gathers, 120.0)      # a place on the cloth, as it comes to lie

A mark of gathers keeps how much it takes in, and the names of the notches between which it lies: so
each size has its own amount, and the place follows the notches wherever these go.
"""

from typing import List, NamedTuple, Sequence, Tuple

from sewkit.pattern.mark import GATHER, NOTCH, Mark
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.wearer_side import LEFT, RIGHT, side_in, sided, without_side
from sewkit.units import write_number


class Kept(NamedTuple):
    """What a mark of gathers remembers: how much it takes in (mm), and the notches at its ends."""

    amount: float
    names: Tuple[str, ...]


class Gathers(NamedTuple):
    """Gathers on an edge: from where to where on the cloth (mm from its start), and how much they take in."""

    low: float
    high: float
    amount: float


def called(edge: str) -> str:
    """The name of the gathers or pleats of an edge."""
    return "{}-gather".format(edge)


def names_for(edge: str) -> Tuple[str, ...]:
    """All names that the gathers of an edge may have, on a piece that was opened as well."""
    side = side_in(edge)
    if side:
        return called(edge), sided(called(without_side(edge)), side)
    return (called(edge), *(sided(called(edge), one) for one in (LEFT, RIGHT)))


def write_kept(kept: Kept) -> str:
    """The text that stands in the mark; ``kept_of`` reads it back."""
    return " ".join([write_number(round(kept.amount, 4)), *kept.names])


def kept_of(mark: Mark) -> Kept:
    """What a mark remembers; nothing where somebody else drew it."""
    words = mark.form.split()
    try:
        return Kept(float(words[0]), tuple(words[1:]))
    except (IndexError, ValueError):
        return Kept(0.0, ())


def gathers_on(piece: Piece, outline: Outline, edge: str) -> Tuple[Gathers, ...]:
    """The gathers of an edge in order; none where nothing is gathered.

    Where the notches at their ends are gone, they take in the whole edge.
    """
    marks = [mark for mark in piece.marks_for(outline.size) if mark.kind == GATHER and kept_of(mark).amount]
    if not marks:
        return ()
    notches = [mark for mark in piece.marks_for(outline.size) if mark.kind == NOTCH and mark.on is not None]
    whole = outline.as_sewn(edge)
    found: List[Gathers] = []
    for names in dict.fromkeys(kept_of(mark).names for mark in marks):
        alike = [mark for mark in marks if kept_of(mark).names == names]
        ends = sorted(
            distance_from_start(outline, notch.on)
            for notch in notches
            if notch.on is not None and notch.on.edge == edge and notch.name in (names[:1] + names[-1:])
        )
        amounts = [kept_of(mark).amount for mark in alike]
        if len(ends) == 2 * len(alike):
            # Over a fold that was opened there are two, mirrored, with notches of the same names.
            pairs = zip(ends[::2], ends[1::2])
            found += [Gathers(low, high, amount) for (low, high), amount in zip(pairs, amounts)]
        elif len(ends) > 1:
            found.append(Gathers(ends[0], ends[-1], sum(amounts)))
        elif any(mark.name in names_for(edge) for mark in alike):
            found.append(Gathers(0.0, whole, sum(amounts)))
    return tuple(sorted(one for one in found if one.high > one.low))


def taken(gathers: Sequence[Gathers]) -> float:
    """How much all of them take in (mm)."""
    return sum(one.amount for one in gathers)


def drawn_together(gathers: Sequence[Gathers], along: float) -> float:
    """Where a place on the cloth (mm from the edge's start) comes to lie: spread evenly over each."""
    shares = [min(max((along - one.low) / (one.high - one.low), 0.0), 1.0) for one in gathers]
    return along - sum(share * one.amount for share, one in zip(shares, gathers))


def let_out(gathers: Sequence[Gathers], along: float) -> float:
    """The place on the cloth (mm) of one as it comes to lie; ``drawn_together`` is the way back."""
    for one in gathers:
        sewn = one.high - one.low - one.amount
        within = along - one.low
        if within > 0.0:
            along += one.amount * (min(within / sewn, 1.0) if sewn > 0.0 else 1.0)
    return along
