"""A new piece laid beside the one it came from, where it lies on no other."""

from typing import Sequence

import numpy as np

from sewkit.geometry.polygon import bounds
from sewkit.geometry.transform import move
from sewkit.pattern.piece import Piece


def laid_apart(other: Piece, kept: Piece, apart: float, pieces: Sequence[Piece]) -> Piece:
    """The new piece moved level or upright, the shortest way on which it comes to lie free.

    So many mm are free between it and the one that keeps its place, and it lies on none of the others.
    """
    if not apart:
        return other
    boxes = [box_of(piece) for piece in pieces if piece.outlines and piece.name != kept.name]
    shift = move(*_way(box_of(other), box_of(kept), boxes, apart))
    return other._replace(
        outlines=tuple(one._replace(path=shift.path(one.path)) for one in other.outlines),
        cut_lines=tuple(one._replace(path=shift.path(one.path)) for one in other.cut_lines),
        marks=tuple(
            one if one.path is None else one._replace(path=shift.path(one.path)) for one in other.marks
        ),
    )


def _way(mine: np.ndarray, kept: np.ndarray, others: Sequence[np.ndarray], apart: float) -> np.ndarray:
    """The shortest way (2,) of a box to a place that is free of the others."""
    ways = []
    for axis, sign in ((0, 1.0), (0, -1.0), (1, 1.0), (1, -1.0)):
        way, left = np.zeros(2), [kept, *others]
        in_way = [kept]
        while in_way:
            # Beyond what is in the way; then something else may be, but none of it twice.
            edges = [(box[1, axis] - mine[0, axis], mine[1, axis] - box[0, axis])[sign < 0] for box in in_way]
            way[axis] = sign * (max(edges) + apart)
            left = [box for box in left if not any(box is one for one in in_way)]
            in_way = [
                box for box in left if (mine[0] + way < box[1]).all() and (mine[1] + way > box[0]).all()
            ]
        ways.append(way)
    return min(ways, key=lambda one: float(np.hypot(*one)))


def box_of(piece: Piece) -> np.ndarray:
    """The box (2, 2) round the lines of a piece in all its sizes: its least and greatest x and y."""
    lines = [line.path for line in (*piece.outlines, *piece.cut_lines) if len(line.path)]
    boxes = np.array([bounds(path) for path in lines] or [(0.0, 0.0, 0.0, 0.0)])
    return np.array([boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)])
