"""Cut lines and notch ticks drawn anew after the seam line has changed.

The seam line is the truth.  A piece keeps the widths and corners of its allowance, so the
cut line of a changed size can be made again; where no widths are kept it would be a guess,
and the old cut line is taken away.
"""

from typing import Callable, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.corner import Corner
from sewkit.geometry.path import Path
from sewkit.pattern.cutting import Cut, closed_outline, parallel, without_darts
from sewkit.pattern.dart_cap import caps, drawn_at, with_cap_marks
from sewkit.pattern.dart_marks import at_leg, with_dart_marks, without_lost_darts
from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.notch import redrawn
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import CutLine, Piece, corner_at

# What rounding in a file leaves (mm): ten digits of a place some metres away.
_ROUNDED = 1e-6

Width = Callable[[str], float]
CornerOf = Callable[[str, str], Corner]


class PutOn(NamedTuple):
    """A piece with one cut line put on: round which outline, closed over which gap (mm)."""

    piece: Piece
    outline: Outline
    cut: Cut
    gap: float


class Recut(NamedTuple):
    """A piece whose cut lines fit its seam lines again.

    Args:
        renewed: sizes whose cut line was made anew.
        gone: sizes whose cut line was taken away, because no widths are kept.
        cuts: how each new cut line came out, in the order of ``renewed``.
    """

    piece: Piece
    renewed: Tuple[str, ...] = ()
    gone: Tuple[str, ...] = ()
    cuts: Tuple[PutOn, ...] = ()


def recut(piece: Piece, sizes: Sequence[str]) -> Recut:
    """Make the cut lines and ticks of changed sizes anew, from the widths and corners that are kept.

    A size without a cut line gets none.  The caps of trued darts, the notches at their legs and
    the drill marks at their points are drawn anew too.  ``InputError`` where no line can be
    drawn round the changed outline.
    """
    renewed: List[str] = []
    gone: List[str] = []
    cuts: List[PutOn] = []
    piece = without_lost_darts(piece)
    for size in dict.fromkeys(piece.outline(size).size for size in sizes):
        piece = with_cap_marks(piece, size)
        if piece.cut_line(size) is None:
            piece = with_dart_marks(piece, size)
            continue
        if knows_widths(piece):
            made = put_on(piece, size, kept_width(piece), kept_corner(piece), piece.mitre_limit)
            piece = made.piece
            renewed.append(size)
            cuts.append(made)
        else:
            piece = without_cut_line(piece, size)
            gone.append(size)
    return Recut(piece, tuple(renewed), tuple(gone), tuple(cuts))


def knows_widths(piece: Piece) -> bool:
    """Whether a piece keeps the width of every edge that has an allowance."""
    given = set(piece.allowance) | set(piece.folds) | set(piece.darts)
    return "" in piece.allowance or (
        bool(piece.allowance) and all(name in given for outline in piece.outlines for name in outline.names)
    )


def kept_width(piece: Piece) -> Width:
    """The width (mm) by edge name that a piece keeps; none on a fold or a dart leg."""

    def width(edge: str) -> float:
        if edge in piece.folds or edge in piece.darts:
            return 0.0
        return piece.allowance.get(edge, piece.allowance.get("", 0.0))

    return width


def kept_corner(piece: Piece) -> CornerOf:
    """How the cut line turns each corner by the rules of a piece."""

    def corner(before: str, after: str) -> Corner:
        return corner_at(piece, before, after)

    return corner


def put_on(piece: Piece, size: str, width: Width, corner: CornerOf, mitre_limit: float) -> PutOn:
    """The piece with a cut line round one seam line, and its notches drawn from there.

    The line runs round the caps of trued darts and straight over the mouths of others.  A
    small gap of the outline is closed; ``InputError`` where it is wide, or where no line can
    be drawn round it.
    """
    where = shown(piece, size)
    outline, gap = closed_outline(piece.outline(size), where)
    over = caps(piece, outline)
    around = without_darts(outline, piece.darts, over)
    cut = parallel(around, where, width, _within_edges(corner) if over else corner, mitre_limit)
    # Notches at the legs of this size's darts are drawn with the darts.
    own = [mark.size == outline.size and at_leg(mark, piece.darts) for mark in piece.marks]
    marks = tuple(m if leg else carried(m, outline, width) for m, leg in zip(piece.marks, own))
    path = _as_drawn(piece.cut_line(outline.size), cut.path)
    piece = piece.with_cut_line(CutLine(outline.size, path))._replace(marks=marks)
    return PutOn(with_dart_marks(piece, outline.size, width), outline, cut, gap)


def _as_drawn(old: Optional[CutLine], new: Path) -> Path:
    """The new cut line; the very same as was drawn where only rounding in the file tells them apart."""
    if old is not None and old.path.closed == new.closed and old.path.curves.shape == new.curves.shape:
        if np.abs(old.path.curves - new.curves).max(initial=0.0) <= _ROUNDED:
            return old.path
    return new


def _within_edges(corner: CornerOf) -> CornerOf:
    """Both sides of a dart's cap are one edge, folded: its allowance goes on to where they meet."""

    def rule(before: str, after: str) -> Corner:
        return Corner() if before == after else corner(before, after)

    return rule


def without_cut_line(piece: Piece, size: str) -> Piece:
    """The piece without one cut line; its notches are drawn on the seam line again."""
    outline = piece.outline(size)
    marks = tuple(carried(mark, outline, lambda edge: 0.0) for mark in piece.marks)
    left = tuple(line for line in piece.cut_lines if line.size != outline.size)
    return with_dart_marks(piece._replace(cut_lines=left, marks=marks), outline.size)


def carried(mark: Mark, outline: Outline, width: Width) -> Mark:
    """A notch drawn for a width (mm) by edge; every other mark, and other sizes' marks, as they are."""
    if mark.kind != NOTCH or mark.on is None or mark.size not in (outline.size, ""):
        return mark
    made = redrawn(mark, outline, width(mark.on.edge))
    return mark if made is None or made.path is None else drawn_at(mark, made.path)


def shown(piece: Piece, size: str) -> str:
    """How one line of a piece is called in a message."""
    return "{} size {}".format(piece.name, size) if size else piece.name
