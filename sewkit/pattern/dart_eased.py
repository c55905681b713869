"""A dart kept as ease or as gathers: how much, over which part of the edge, and who is told.

    piece, made = without_dart(piece, size, "bust-dart")
    span = span_of(made, sewn=400.0)          # over so much of the edge, or what there is of it
    piece = with_span(piece, span, ("ease-1", "ease-2"))
    pattern = with_partners(pattern, "front", [span], ("ease-1", "ease-2"))

Both ends of the span are notched on the edge and on the edges sewn to it, and the seam knows how
much longer the one side is on purpose.
"""

from typing import List, NamedTuple, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.pattern.dart_gone import DartGone
from sewkit.pattern.mark import NOTCH, Mark, On
from sewkit.pattern.notch import redrawn
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import kept_width, knows_widths
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.walking import walk_seam

# Two seams meant equal may differ by this (mm) without a word; see ``checks.seams``.
_EQUAL = 0.5

# Ease and gathers end this far before a corner or another dart (mm), or before that part of the
# edge: right at the end there is nothing to notch, and the crossing seam must lie flat.
_CLEAR, _CLEAR_PART = 10.0, 0.1

# Gathers over more cloth than this (mm) are notched at their quarters, so that they are spread
# evenly (common practice).
_QUARTERED = 100.0


class Span(NamedTuple):
    """Where an edge is eased in or gathered, in one size.

    Args:
        size, edge: of the outline.
        start: from the edge's start to the span, mm; alike on the cloth and as sewn.
        cloth: how long the edge is there (mm).
        sewn: how long it will be (mm), ``cloth`` less the amount.
        whole: how long the whole edge will be, as sewn (mm).
        quarters: it has notches at its quarters as well.
    """

    size: str
    edge: str
    start: float
    cloth: float
    sewn: float
    whole: float
    quarters: bool = False

    @property
    def shares(self) -> Tuple[float, ...]:
        """Where its notches are, as parts of its length: alike on the cloth and as sewn."""
        return (0.0, 0.25, 0.5, 0.75, 1.0) if self.quarters else (0.0, 1.0)

    @property
    def amount(self) -> float:
        """What is eased in, mm."""
        return self.cloth - self.sewn

    @property
    def ratio(self) -> float:
        """How many times as long the cloth is as the seam; without a bound where no seam is left."""
        return self.cloth / self.sewn if self.sewn > 0 else float("inf")


def span_of(made: DartGone, sewn: float) -> Span:
    """The part of the edge about the mouth that is ``sewn`` mm long as sewn, or what there is of it.

    It ends shortly before the ends of the edge, or another dart.
    """
    outline, edge = made.outline, made.edge
    middle = made.at + made.gained / 2.0
    low = high = 0.0
    for run in outline.runs(edge):
        low, high = high, high + path_length(run)
        if middle <= high:
            break
    clear = min(_CLEAR, _CLEAR_PART * (high - low))
    low, high = min(low + clear, made.at), max(high - clear, made.at + made.gained)
    cloth = min(sewn + made.gained, high - low)
    start = min(max(middle - cloth / 2.0, low), high - cloth)
    whole = outline.as_sewn(edge) - made.gained
    return Span(outline.size, edge, start, cloth, cloth - made.gained, whole)


def quartered(span: Span) -> Span:
    """The span of gathers with notches at its quarters as well, where it is long enough for them."""
    return span._replace(quarters=span.cloth > _QUARTERED)


def free_names(pattern: Pattern, word: str) -> Tuple[str, ...]:
    """Names for so many notches as a span may have, that no notch of the pattern has: ease-1, ease-2."""
    used = {mark.name for piece in pattern.pieces for mark in piece.marks if mark.kind == NOTCH}
    names = ["{}-{}".format(word, number) for number in range(1, len(used) + 6)]
    return tuple([name for name in names if name not in used][:5])


def with_span(piece: Piece, span: Span, names: Sequence[str]) -> Piece:
    """The piece with a notch at each end of the span, and at its quarters."""
    outline = piece.outline(span.size)
    whole = outline.as_sewn(span.edge)
    made = []
    for name, share in zip(names, span.shares):
        # Each counts from the end of the edge on its own side, as the seam is sewn from there.
        along = span.start + share * span.cloth
        on = On(span.edge, along) if share <= 0.5 else On(span.edge, whole - along, True)
        made.append(_notch(piece, outline, name, on))
    return piece._replace(marks=piece.marks + tuple(made))


def _notch(piece: Piece, outline: Outline, name: str, on: On) -> Mark:
    drawn_from_cut = piece.cut_line(outline.size) is not None and knows_widths(piece)
    width = kept_width(piece)(on.edge) if drawn_from_cut else 0.0
    mark = Mark(NOTCH, name, outline.size, None, on)
    return redrawn(mark, outline, width) or mark


def with_partners(pattern: Pattern, piece: str, spans: Sequence[Span], names: Sequence[str]) -> Pattern:
    """The pattern in which the seams of the edge keep the amount as ease, and partners have its notches.

    Args:
        spans: one a size; sizes without one keep the seam as it was.
    """
    seams = []
    for seam in pattern.seams:
        here = [side for side in (0, 1) if _refs(seam, side, piece, spans[0].edge)]
        for side in here:
            for span in spans:
                pattern = _notched(pattern, seam, side, piece, span, names)
            seam = _eased(seam, side, _amounts(pattern.piece(piece), spans))
        seams.append(seam)
    return pattern._replace(seams=tuple(seams))


def eased_before(pattern: Pattern, piece: str, span: Span) -> float:
    """How much longer (mm) the edge's side of a seam is than the other, beside what the span eases in.

    ``pattern``: with the dart gone.  0 where it is no longer, or sewn to nothing.
    """
    most = 0.0
    for seam in pattern.seams:
        for side in (0, 1):
            if not _refs(seam, side, piece, span.edge):
                continue
            try:
                longer = walk_seam(pattern, seam, span.size).difference
            except InputError:  # a piece or an edge is missing; walking the seam will say so
                continue
            most = max(most, (longer if side == 0 else -longer) - span.amount)
    return most if most >= _EQUAL else 0.0


def _amounts(piece: Piece, spans: Sequence[Span]) -> Tuple[float, float]:
    """The least and the most amount over all sizes of the piece."""
    amounts = [span.amount for span in spans]
    amounts += [0.0] if set(piece.sizes) - {span.size for span in spans} else []
    return min(amounts), max(amounts)


def _refs(seam: Seam, side: int, piece: str, edge: str) -> List[EdgeRef]:
    return [ref for ref in (seam.first, seam.second)[side] if (ref.piece, ref.edge) == (piece, edge)]


def _eased(seam: Seam, side: int, amounts: Tuple[float, float]) -> Seam:
    """The seam whose one side is longer by an amount, on purpose; the other side: shorter."""
    least, most = seam.ease
    equal = _EQUAL if seam.ease == (0.0, 0.0) else 0.0
    low, high = amounts if side == 0 else (-amounts[1], -amounts[0])
    return seam._replace(ease=(round(least + low - equal, 2), round(most + high + equal, 2)))


def _notched(
    pattern: Pattern, seam: Seam, side: int, piece: str, span: Span, names: Sequence[str]
) -> Pattern:
    """The pattern with the two notches on the other side of a seam, where the span will come to lie."""
    mine, theirs = (seam.first, seam.second)[side], (seam.first, seam.second)[1 - side]
    try:
        before = _before(pattern, mine, piece, span)
        length = sum(pattern.piece(ref.piece).outline(span.size).as_sewn(ref.edge) for ref in mine)
        drawn = [pattern.piece(ref.piece).outline(span.size) for ref in theirs]
    except InputError:  # a piece or an edge is missing; walking the seam will say so
        return pattern
    if any(ref.edge not in outline.names for ref, outline in zip(theirs, drawn)):
        return pattern
    turned = next(ref.turned for ref in mine if (ref.piece, ref.edge) == (piece, span.edge))
    ends = [span.start + share * span.sewn for share in span.shares]
    ends = [span.whole - end for end in ends] if turned else ends
    for name, end in zip(names, ends):
        pattern = _one_notch(pattern, theirs, span.size, name, before + end, length - span.amount)
    return pattern


def _before(pattern: Pattern, side: Sequence[EdgeRef], piece: str, span: Span) -> float:
    """How long the edges of a side are before the one that is eased in (mm)."""
    passed = 0.0
    for ref in side:
        if (ref.piece, ref.edge) == (piece, span.edge):
            break
        passed += pattern.piece(ref.piece).outline(span.size).as_sewn(ref.edge)
    return passed


def _one_notch(
    pattern: Pattern, side: Sequence[EdgeRef], size: str, name: str, at: float, length: float
) -> Pattern:
    """A notch ``at`` mm from the start of a side, or as far from its end if that is nearer."""
    outlines = [pattern.piece(ref.piece).outline(size) for ref in side]
    whole = sum(outline.as_sewn(ref.edge) for ref, outline in zip(side, outlines))
    spot = at if at <= length / 2.0 else whole - (length - at)
    for ref, outline in zip(side, outlines):
        own = outline.as_sewn(ref.edge)
        if spot <= own or ref == side[-1]:
            on = _counted(min(max(spot, 0.0), own), own, ref.turned)
            piece = pattern.piece(ref.piece)
            mark = _notch(piece, outline, name, On(ref.edge, *on))
            return pattern.with_piece(piece._replace(marks=piece.marks + (mark,)))
        spot -= own
    return pattern


def _counted(spot: float, length: float, turned: bool) -> Tuple[float, bool]:
    """A distance from where a side starts as one from the nearer end of the edge."""
    along = length - spot if turned else spot
    return (along, False) if along <= length / 2.0 else (length - along, True)
