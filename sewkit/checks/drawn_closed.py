"""A seam walked as it will be sewn where darts are only drawn on its pieces, and not cut in yet.

Bought patterns draw darts inside an unbroken outline, so that the edge measures the mouth too.
"""

from typing import Optional

from sewkit.errors import InputError
from sewkit.pattern.dart_cut_in import cut_in
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.mark import DART
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import Seam
from sewkit.pattern.walking import Walk, walk_seam

# A smaller difference that closing makes is none (mm).
_NONE = 0.005


def walk_closed(pattern: Pattern, seam: Seam, walk: Walk, size: str) -> Optional[Walk]:
    """The walk of a seam with the darts closed that are drawn on it; None where that changes nothing."""
    names = list(dict.fromkeys(ref.piece for ref in seam.refs))
    if not any(mark.kind == DART for name in names for mark in pattern.piece(name).marks):
        return None
    for name in names:
        pattern = pattern.with_piece(with_darts(pattern.piece(name), size))
    try:
        closed = walk_seam(pattern, seam, size)
    except InputError:
        return None
    changed = abs(closed.first - walk.first) + abs(closed.second - walk.second) > _NONE
    return closed if changed else None


def with_darts(piece: Piece, size: str) -> Piece:
    """The piece with the drawn darts of one size cut in, but those that cannot be."""
    size = piece.outline(size).size
    for drawn in drawn_darts(piece, size) if piece.named else ():
        if not drawn.contour:
            try:
                piece, _ = cut_in(piece, size, drawn)
            except InputError:
                continue
    return piece
