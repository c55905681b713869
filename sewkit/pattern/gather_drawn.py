"""Gathers and pleats drawn beside the part of an edge that they take in, and taken away again."""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, lines
from sewkit.pattern.dart_eased import Span, with_partners, with_span
from sewkit.pattern.mark import GATHER, NOTCH, Mark, On
from sewkit.pattern.notch import Spot, redrawn, spot_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.pleat_plan import Pleats
from sewkit.pattern.recut import kept_width, knows_widths
from sewkit.pattern.seam import Seam
from sewkit.units import write_number

# The wavy line lies so far inside the edge, its waves are so long and so high (mm).
_INSIDE, _WAVE, _HIGH = 8.0, 6.0, 5.0

# On a very long part the waves are longer, for nobody counts them.
_MOST_WAVES = 200

# Heads of the arrows from fold to placement line (mm).
_HEAD = 4.0

# A seam that was equal before keeps this tolerance as its ease (mm); see ``dart_eased``.
_EQUAL = 0.5


class Kept(NamedTuple):
    """What a mark of gathers remembers: how much it takes in (mm), and the notches at its ends."""

    amount: float
    names: Tuple[str, ...]


def called(edge: str) -> str:
    """The name of the gathers or pleats of an edge."""
    return "{}-gather".format(edge)


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


def wave(outline: Outline, span: Span) -> Path:
    """A wavy line inside the part of the edge (mm)."""
    count = min(max(int(round(span.cloth / _WAVE)), 2), _MOST_WAVES)
    spots = [_spot(outline, span, share) for share in np.linspace(0.0, 1.0, count + 1)]
    base = np.array([spot.point - _INSIDE * spot.outward for spot in spots])
    out = np.array([spot.outward for spot in spots])
    sign = np.where(np.arange(count) % 2 == 0, 1.0, -1.0)[:, None]
    steps = np.diff(base, axis=0) / 3.0
    first, last = base[:-1] + steps + sign * _HIGH * out[:-1], base[1:] - steps + sign * _HIGH * out[1:]
    return Path(np.stack([base[:-1], first, last, base[1:]], axis=1))


def folds(outline: Outline, span: Span, pleats: Pleats, long: float) -> Path:
    """Fold and placement lines square to the edge, with an arrow from each fold to its placement line."""
    starts: List[np.ndarray] = []
    stops: List[np.ndarray] = []
    for line in pleats.lines:
        feet = [_spot(outline, span, at / span.cloth) for at in (line.fold, line.placed)]
        for foot in feet:
            starts.append(foot.point)
            stops.append(foot.point - long * foot.outward)
        tail, tip = (foot.point - long / 2.0 * foot.outward for foot in feet)
        way = (tip - tail) / np.hypot(*(tip - tail))
        aside = np.array([-way[1], way[0]])
        size = min(_HEAD, float(np.hypot(*(tip - tail))) / 3.0)
        barbs = [tip - size * way + side * size / 2.0 * aside for side in (1.0, -1.0)]
        starts += [tail, barbs[0], tip]
        stops += [tip, tip, barbs[1]]
    return Path(lines(np.array(starts), np.array(stops)))


def notches_at(piece: Piece, outline: Outline, span: Span, pleats: Pleats) -> Piece:
    """The piece with a notch at each fold and placement line, without a name."""
    places = sorted({round(at, 6) for line in pleats.lines for at in line})
    own = piece.cut_line(outline.size) is not None and knows_widths(piece)
    width = kept_width(piece)(span.edge) if own else 0.0
    made = []
    for at in places:
        if 1.0 < at < span.cloth - 1.0:  # both ends of the part are notched anyway
            mark = Mark(NOTCH, called(span.edge), outline.size, None, On(span.edge, span.start + at))
            made.append(redrawn(mark, outline, width) or mark)
    return piece._replace(marks=(*piece.marks, *made))


def with_gathers(
    pattern: Pattern, piece: Piece, spans: Sequence[Span], names: Sequence[str]
) -> Tuple[Pattern, Piece]:
    """The pattern whose seams know the amounts, with notches on both sides; and the piece as it is now."""
    for span in spans:
        piece = with_span(piece, span, names)
    pattern = pattern.with_piece(piece)
    if piece.named:
        pattern = with_partners(pattern, piece.name, spans, names)
    return pattern, pattern.piece(piece.name)


def without_gathers(pattern: Pattern, piece: Piece, edge: str) -> Pattern:
    """The pattern without the gathers or pleats of an edge: marks, notches and ease of the seams."""
    name = called(edge)
    old = [kept_of(mark) for mark in piece.marks if mark.kind == GATHER and mark.name == name]
    if not old:
        return pattern
    gone = {one for kept in old for one in kept.names}
    amounts = [kept.amount for kept in old] + [0.0] * (len(old) < len(piece.outlines))
    others = [ref.piece for seam in pattern.seams_of(piece.name) for ref in seam.refs]
    for other in dict.fromkeys([piece.name, *others]):
        one = pattern.piece(other) if any(p.name == other for p in pattern.pieces) else None
        if one is not None:
            marks = [m for m in one.marks if not (m.kind == NOTCH and m.name in gone)]
            marks = [m for m in marks if other != piece.name or m.name != name]
            pattern = pattern.with_piece(one._replace(marks=tuple(marks)))
    seams = [_uneased(seam, piece.name, edge, min(amounts), max(amounts)) for seam in pattern.seams]
    return pattern._replace(seams=tuple(seams))


def _uneased(seam: Seam, piece: str, edge: str, least: float, most: float) -> Seam:
    low, high = seam.ease
    for side, sign in ((seam.first, 1.0), (seam.second, -1.0)):
        if any((ref.piece, ref.edge) == (piece, edge) for ref in side):
            ends = sorted((sign * least, sign * most))
            low, high = low - ends[0], high - ends[1]
    if abs(low + _EQUAL) < 0.02 and abs(high - _EQUAL) < 0.02:
        return seam._replace(ease=(0.0, 0.0))
    return seam._replace(ease=(round(min(low, high), 2), round(max(low, high), 2)))


def _spot(outline: Outline, span: Span, share: float) -> Spot:
    found = spot_of(outline, On(span.edge, span.start + share * span.cloth))
    assert found is not None  # the span lies on the edge
    return found
