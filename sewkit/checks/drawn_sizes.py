"""What every check walks over: the outlines of some sizes, piece by piece in the drawing's order."""

from typing import Iterable, List, Sequence, Tuple

import numpy as np

from sewkit.geometry.length import path_length, point_at
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import shown

Drawn = Tuple[Piece, Outline, str]


def drawn_sizes(pattern: Pattern, sizes: Sequence[str]) -> List[Drawn]:
    """Piece, outline and what both are called together, such as "front size 3".

    A piece drawn once serves every size, and is in the list once.
    """
    wanted = set(sizes)
    return [
        (piece, outline, shown(piece, outline.size))
        for piece in pattern.pieces
        for outline in piece.outlines
        if len(outline.path) and (not outline.size or outline.size in wanted)
    ]


def middle_of(outline: Outline, edges: Iterable[str]) -> Tuple[float, float]:
    """The middle (mm) of the longest run of the first of the edges that the outline has.

    ``ValueError`` where it has none of them.
    """
    for name in edges:
        runs = outline.runs(name)
        if runs:
            run = max(runs, key=path_length)
            return spot(point_at(run, path_length(run) / 2.0))
    raise ValueError("no such edge")


def spot(point: np.ndarray) -> Tuple[float, float]:
    """A point as a finding has it."""
    return float(point[0]), float(point[1])
