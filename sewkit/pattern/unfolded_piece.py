"""A piece on the fold opened to the whole piece, with all that belongs to it.

opened = opened_piece(piece, "centre-front", "left")
opened.piece, opened.halved         # the whole piece; what its seams need to know
"""

import math
from typing import Dict, Mapping, NamedTuple, Optional, Tuple

from sewkit.errors import InputError
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.piece import CornerRule, Piece
from sewkit.pattern.recut import Recut, recut
from sewkit.pattern.unfolded_marks import opened_marks
from sewkit.pattern.unfolded_seams import Halved
from sewkit.pattern.unfolding import Opened, fold_of, opened_outline
from sewkit.pattern.wearer_side import mirrored_word, other_side, side_of, sided


class OpenedPiece(NamedTuple):
    """A piece opened at its fold.

    Args:
        piece: the whole one, its cut lines made anew.
        sizes: what became of each size.
        cut: how the cut lines came out.
        lost: names of notches on the fold, which have no edge to sit on now.
    """

    piece: Piece
    sizes: Mapping[str, Opened]
    cut: Recut
    lost: Tuple[str, ...]

    @property
    def first(self) -> Opened:
        """Its first size."""
        return next(iter(self.sizes.values()))

    @property
    def halved(self) -> Halved:
        """What the seams need to know."""
        one = self.first
        return Halved(self.piece.name, one.fold.name, one.drawn, one.over)


def opened_piece(piece: Piece, fold: str, drawn: str = "") -> OpenedPiece:
    """Open all sizes of a piece along the edge ``fold``.

    Args:
        drawn: the wearer's side of the half; empty: as it lies on the sheet, right side up.

    ``InputError``: see ``fold_of``; names that would come twice (name); an odd number is cut of a piece
    without a fold (count).
    """
    lines = {outline.size: fold_of(piece, outline, fold) for outline in piece.outlines}
    first = piece.outlines[0]
    drawn = drawn or side_of(piece, first.path, lines[first.size].path.start, fold)
    sizes = {o.size: opened_outline(o, lines[o.size], drawn, piece.darts) for o in piece.outlines}
    names = tuple(name for outline in piece.outlines for name in outline.names)
    twice = mirrored_word(names, names)
    if twice and piece.named:
        raise InputError(
            "'{}' has a left or right edge '{}' already.".format(piece.name, twice),
            "Call its edges otherwise first.",
            code="name",
        )
    if not piece.named:
        outlines = tuple(
            bare_outline(one.whole.path, one.whole.size, one.whole.key) for one in sizes.values()
        )
        cut = recut(piece._replace(outlines=outlines, folds=(), allowance={}), piece.sizes)
        return OpenedPiece(cut.piece, sizes, cut, ())
    marks, lost = opened_marks(piece, sizes)
    made = _renamed(piece, sizes[first.size])._replace(
        outlines=tuple(one.whole for one in sizes.values()),
        marks=marks,
        cut=piece.cut if fold in piece.folds else _pairs(piece),
        unfolded=fold,
    )
    cut = recut(made, made.sizes)
    return OpenedPiece(cut.piece, sizes, cut, lost)


def _pairs(piece: Piece) -> int:
    """How many are cut of the whole piece where pairs of the half were."""
    if piece.cut % 2 and piece.cut > 1:
        raise InputError(
            "{} are cut of '{}', and that is no number of pairs.".format(piece.cut, piece.name),
            "Say first that it lies on the fold, or that an even number is cut.",
            code="count",
        )
    return math.ceil(piece.cut / 2)


def _renamed(piece: Piece, opened: Opened) -> Piece:
    """What a piece keeps about its edges, for both sides; what it keeps of the fold itself stays."""

    def both(name: str) -> Tuple[str, ...]:
        if name in (*opened.over, opened.fold.name, ""):
            return (name,)
        return tuple(sided(name, side) for side in (opened.drawn, other_side(opened.drawn)))

    rules: Dict[Tuple[str, str], CornerRule] = {}
    for (before, after), rule in piece.corners.items():
        leads = both(rule.leads)
        if opened.fold.name in (before, after):
            rules[before, after] = rule
            continue
        rules[both(before)[0], both(after)[0]] = rule._replace(leads=leads[0])
        rules[both(after)[-1], both(before)[-1]] = rule._replace(leads=leads[-1])

    def listed(names: Tuple[str, ...]) -> Tuple[str, ...]:
        return tuple(one for name in names for one in both(name))

    return piece._replace(
        folds=listed(tuple(name for name in piece.folds if name != opened.fold.name)),
        hems=listed(piece.hems),
        darts=listed(piece.darts),
        allowance={one: width for name, width in piece.allowance.items() for one in both(name)},
        corners=rules,
        pressed={one: side for name, side in piece.pressed.items() for one in both(name)},
    )


def fold_meant(piece: Piece, edge: str) -> Optional[str]:
    """The edge on the fold: the one named, else the only one that the piece keeps; None: it has none."""
    if edge:
        return edge
    known = [name for name in piece.folds if any(name in o.names for o in piece.outlines)]
    if len(known) > 1:
        raise InputError(
            "'{}' has several edges on the fold: {}.".format(piece.name, ", ".join(known)),
            "Say along which it shall be opened.",
            code="fold",
        )
    return known[0] if known else None
