"""An edge that meets a fold, with its mirror image: how the opened piece will look there.

    for found in fold_ends(piece, outline):
        found.joint.first.edge, found.joint.turn / 2     # how far from square, degrees

The joint's two arms are the edge and its image, so its turn is twice what the corner misses 90 by.
"""

from typing import List, NamedTuple

import numpy as np

from sewkit.geometry.path import end_tangents, start_tangents
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.joined_edges import Joint, Run, arm_of, spots_of, table
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.piece import Piece

# From the fold an edge runs square for so long (mm), or the opened piece has a point or a dip.
SQUARE = 5.0


class FoldEnd(NamedTuple):
    """An edge laid together with its image, and the fold that it meets there."""

    joint: Joint
    fold: Run


def fold_ends(piece: Piece, outline: Outline) -> List[FoldEnd]:
    """Every corner at which an edge meets a fold, in path order; none at a dart or at another fold."""
    edges, found = outline.edges, []
    behind = edges[1:] + (edges[:1] if outline.path.closed else ())
    for edge, following in zip(edges, behind):
        on_fold = edge.name in piece.folds, following.name in piece.folds
        if on_fold[0] == on_fold[1] or {edge.name, following.name} & set(piece.darts):
            continue
        fold = edge if on_fold[0] else following
        joint = _joint(piece, outline, edge, following, on_fold[0])
        found.append(FoldEnd(joint, Run(fold.start, fold.stop, on_fold[0])))
    return found


def _joint(piece: Piece, outline: Outline, edge: Edge, following: Edge, fold_first: bool) -> Joint:
    curves = outline.path.curves
    if fold_first:
        spot, inward, meeting = curves[following.start, 0], -_arriving(curves, edge), following
    else:
        spot, inward, meeting = curves[following.start, 0], _leaving(curves, following), edge
    clockwise = (signed_area(outline.path) >= 0) != fold_first
    arms = []
    for side in (1.0, -1.0):
        frame = table(spot, inward, side if clockwise else -side)
        where = (meeting.start, meeting.stop)
        arms.append(arm_of(outline, piece.name, where, not fold_first, frame, side))
    return Joint(arms[0], arms[1], (float(spot[0]), float(spot[1])))


def _arriving(curves: np.ndarray, edge: Edge) -> np.ndarray:
    return end_tangents(curves[edge.stop - 1 : edge.stop])[0]


def _leaving(curves: np.ndarray, edge: Edge) -> np.ndarray:
    return start_tangents(curves[edge.start : edge.start + 1])[0]


def off_square(joint: Joint) -> float:
    """How far (mm) the edge strays at most from the square to the fold in its first ``SQUARE`` mm."""
    return max(abs(y) for _, y in spots_of(joint.first, SQUARE))
