"""Gathers and pleats drawn beside the part of an edge that they take in, and taken away again."""

from typing import List, Sequence, Set, Tuple

import numpy as np

from sewkit.geometry.path import Path, lines
from sewkit.pattern.dart_eased import Span, with_partners, with_span
from sewkit.pattern.dart_marks import with_dart_marks
from sewkit.pattern.gathered import called, kept_of, names_for
from sewkit.pattern.mark import GATHER, INNER, LABEL, NOTCH, Mark, On
from sewkit.pattern.notch import Spot, spot_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.pleat_mouths import CLEAR, with_mouths, without_mouths
from sewkit.pattern.pleat_plan import Pleats
from sewkit.pattern.recut import kept_width, knows_widths

# The wavy line lies so far inside the edge, its waves are so long and so high (mm).
_INSIDE, _WAVE, _HIGH = 8.0, 6.0, 5.0

# On a very long part the waves are longer, for nobody counts them.
_MOST_WAVES = 200

# Heads of the arrows from fold to placement line (mm).
_HEAD = 4.0


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


def folded_in(piece: Piece, outline: Outline, span: Span, pleats: Pleats) -> Piece:
    """The piece with a mouth for each pleat, notched where it begins and ends."""
    parts = [(span.start + low, span.start + high) for low, high in pleats.mouths]
    piece, names = with_mouths(piece, outline.size, span.edge, parts)
    ends = [
        Mark(NOTCH, called(span.edge), outline.size, None, On(name, 0.0, last))
        for name in names
        for last in (False, True)
    ]
    piece = piece._replace(marks=(*piece.marks, *ends))
    own = piece.cut_line(outline.size) is not None and knows_widths(piece)
    return with_dart_marks(piece, outline.size, kept_width(piece) if own else None)


def with_gathers(
    pattern: Pattern, piece: Piece, spans: Sequence[Span], names: Sequence[str]
) -> Tuple[Pattern, Piece]:
    """The pattern with notches at the gathers on both sides; and the piece as it is now.

    The seams stay as they are: they are walked with the edge drawn together.
    """
    ends = set()
    for span in spans:
        ends |= {(span.size, name) for name, part in zip(names, span.shares) if _at_end(piece, span, part)}
        piece = with_span(piece, span, names)
    seams, pattern = pattern.seams, pattern.with_piece(piece)
    if piece.named:
        pattern = with_partners(pattern, piece.name, spans, names)._replace(seams=seams)
    pattern = _without_notches(pattern, piece.name, ends)
    return pattern, pattern.piece(piece.name)


def _without_notches(pattern: Pattern, name: str, gone: Set[Tuple[str, str]]) -> Pattern:
    """The pattern without notches, by size and name, on a piece and those sewn to it."""
    others = [ref.piece for seam in pattern.seams_of(name) for ref in seam.refs]
    known = {one.name for one in pattern.pieces}
    for other in dict.fromkeys([name, *(one for one in others if one in known)]):
        one = pattern.piece(other)
        left = tuple(mark for mark in one.marks if mark.kind != NOTCH or (mark.size, mark.name) not in gone)
        pattern = pattern.with_piece(one._replace(marks=left))
    return pattern


def _at_end(piece: Piece, span: Span, share: float) -> bool:
    """Whether a place of the part lies at the end of the edge, where there is nothing to notch."""
    along = span.start + share * span.cloth
    return not CLEAR < along < piece.outline(span.size).as_sewn(span.edge) - CLEAR


def without_gathers(pattern: Pattern, piece: Piece, edge: str, sizes: Sequence[str]) -> Pattern:
    """The pattern without the gathers or pleats of an edge in some sizes, and without their notches."""
    own = names_for(edge)
    gone: Set[Tuple[str, str]] = set()
    marks: List[Mark] = []
    for mark in piece.marks:
        mine = mark.name in own and mark.kind in (GATHER, INNER, NOTCH, LABEL)
        if mine and not mark.size and not set(piece.sizes) <= set(sizes):
            # Words that served all sizes still serve the others.
            marks += [mark._replace(size=size, key="") for size in piece.sizes if size not in sizes]
        elif not mine or mark.size not in ("", *sizes):
            marks.append(mark)
        elif mark.kind in (GATHER, INNER):
            # On a piece drawn once they serve every size.
            gone.update((size, one) for size in (mark.size, "") for one in kept_of(mark).names)
    piece = piece._replace(marks=tuple(marks))
    for size in sizes:
        piece = without_mouths(piece, size, edge)
    return _without_notches(pattern.with_piece(piece), piece.name, gone)


def _spot(outline: Outline, span: Span, share: float) -> Spot:
    found = spot_of(outline, On(span.edge, span.start + share * span.cloth))
    assert found is not None  # the span lies on the edge
    return found
