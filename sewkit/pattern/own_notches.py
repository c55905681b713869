"""Notches that served all sizes of a piece, where one size changes and the others do not.

A tick at 270 mm from the top is right for no other size once 10 mm went out above it in one of
them, so each size gets a notch of its own.
"""

from types import MappingProxyType
from typing import List, Mapping, Optional

from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import carried, kept_width, knows_widths

# A place that changed by less than this (mm) did not.
_MOVED = 1e-6


def own_notches(piece: Piece, mark: Mark, made: Mapping[str, Optional[Mark]]) -> List[Mark]:
    """The notch for each size, those that changed as ``made``; the one mark alone if it moved in none.

    ``made``: the notch on each size that changed, None where it has no room left.
    """
    if mark.kind != NOTCH or mark.on is None or mark.size:
        return [mark]
    if all(one is not None and _same(mark, one) for one in made.values()):
        return [mark]
    return each_own(piece, mark, made)


def each_own(
    piece: Piece, mark: Mark, made: Mapping[str, Optional[Mark]] = MappingProxyType({})
) -> List[Mark]:
    """The notch for each size that has its edge, those that changed as ``made``."""
    found: List[Mark] = []
    for outline in piece.outlines:
        if mark.on is None or mark.on.edge not in outline.names:
            continue
        one = made.get(outline.size, mark)
        if one is None:
            continue
        one = one._replace(size=outline.size, key="" if found else mark.key)
        if outline.size not in made:
            cut = piece.cut_line(outline.size) is not None and knows_widths(piece)
            one = carried(one, outline, kept_width(piece) if cut else _none)
        found.append(one)
    return found


def _same(mark: Mark, one: Mark) -> bool:
    return (
        mark.on is not None
        and one.on is not None
        and mark.on.from_end == one.on.from_end
        and abs(mark.on.distance - one.on.distance) <= _MOVED
    )


def _none(edge: str) -> float:
    return 0.0
