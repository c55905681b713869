"""The cut list: what has to be cut, how often, of which cloth; ticked off while stacking.

A piece that is cut an even number of times is cut in pairs that mirror each other, unless
it is its own mirror image across the grain or lies on the fold: two left fronts are the
trade's dearest mistake.
"""

from typing import List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.length import path_length, places_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, point
from sewkit.geometry.polygon import bounds
from sewkit.geometry.transform import mirror
from sewkit.pattern.mark import GRAIN
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece

# The cloth of a piece of which nobody has said it.
MAIN_CLOTH = "main"

# A piece that misses its own mirror image by less is cut alike from either side (mm); a
# pencil line is so wide.
_ALIKE = 0.5

# Places of an outline that are compared with its mirror image.
_COMPARED = 48


class CutRow(NamedTuple):
    """One piece to cut.

    Args:
        number: of the piece, counted from 1; ``of``: how many different pieces there are.
        piece: its name.
        count: how many to cut.
        how: in words: "1 pair, mirrored", "1 on the fold", "2 alike", "1 left".
        cloth: of which cloth.
        size: the size or the line it is cut in; empty where the pattern knows none.
    """

    number: int
    of: int
    piece: str
    count: int
    how: str
    cloth: str
    size: str


def cut_list(pattern: Pattern, size: str = "") -> Tuple[CutRow, ...]:
    """The rows of all pieces in the order of the pattern.

    ``size``: the size that is cut; where it is left out, or where a piece is not drawn in it,
    a piece's only size is taken, and all its sizes are named where it has several.  Lines
    that were only drawn, and are no piece, are left out.
    """
    pieces = [piece for piece in pattern.pieces if _is_cut(piece)]
    rows: List[CutRow] = []
    for number, piece in enumerate(pieces, 1):
        outline = outline_cut(piece, size)
        shown = outline.size if outline is not None else ", ".join(filter(None, piece.sizes))
        how = how_cut(piece, outline if outline is not None else piece.outlines[0])
        row = CutRow(number, len(pieces), piece.name, piece.cut, how, piece.cloth or MAIN_CLOTH, shown)
        rows.append(row)
    return tuple(rows)


def outline_cut(piece: Piece, size: str = "") -> Optional[Outline]:
    """The outline that is cut: of the size, or the only one; None where it is not said which."""
    found = next((outline for outline in piece.outlines if size and outline.size == size), None)
    if found is None and len(piece.outlines) == 1:
        return piece.outlines[0]
    return found


def total_by_cloth(rows: Tuple[CutRow, ...]) -> Tuple[Tuple[str, int], ...]:
    """How many pieces lie on the stack in the end, by cloth, in the order of the list."""
    totals = {row.cloth: 0 for row in rows}
    for row in rows:
        totals[row.cloth] += row.count
    return tuple(totals.items())


def how_cut(piece: Piece, outline: Outline) -> str:
    """In words, how often and how a piece is cut: "1 pair, mirrored", "1 left"."""
    if piece.side:
        return "{} {}".format(piece.cut, piece.side)
    if any(name in outline.names for name in piece.folds):
        return "{} on the fold".format(piece.cut)
    if piece.cut < 2:
        return str(piece.cut)
    if _own_mirror_image(piece, outline):
        return "{} alike".format(piece.cut)
    pairs, single = divmod(piece.cut, 2)
    words = "1 pair, mirrored" if pairs == 1 else "{} pairs, mirrored".format(pairs)
    return words + (" and 1 single" if single else "")


def _is_cut(piece: Piece) -> bool:
    return piece.cut > 0 and any(len(o.path) and (piece.named or o.path.closed) for o in piece.outlines)


def _own_mirror_image(piece: Piece, outline: Outline) -> bool:
    """Whether a piece turned over, its grain as it was, covers itself."""
    path = outline.path
    if not path.closed or not len(path):
        return False
    along = _grain(piece, outline.size)
    low, high = np.array(bounds(path)).reshape(2, 2)
    flipped = mirror((low + high) / 2.0, along).path(path)
    # The mirror's place is not known beforehand: its box must first lie on the piece's own.
    way = (low + high) / 2.0 - np.array(bounds(flipped)).reshape(2, 2).mean(axis=0)
    return all(nearest(path, spot + way).distance <= _ALIKE for spot in _spots(flipped))


def _grain(piece: Piece, size: str) -> np.ndarray:
    """The direction of the grain (2,); down the sheet where none is drawn."""
    for mark in piece.marks_for(size):
        if mark.kind == GRAIN and mark.path is not None and len(mark.path):
            way = mark.shaft.end - mark.shaft.start
            if np.hypot(*way) > 0.0:
                return way
    return np.array([0.0, 1.0])


def _spots(path: Path) -> np.ndarray:
    reached = (np.arange(_COMPARED) + 0.5) / _COMPARED * path_length(path)
    places = places_at(path, reached)
    spots = point(path.curves[[place.curve for place in places]], np.array([place.t for place in places]))
    return np.concatenate([spots, path.nodes])
