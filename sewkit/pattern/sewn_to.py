"""The point of another piece that comes to lie on a point of an edge when both are sewn.

Lengths are as sewn from where the two pieces meet: the mouths of darts, cut in or only drawn, are
no part of an edge.
"""

from typing import List, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.length import distance_of, path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import point
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.mark import On
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef
from sewkit.pattern.slash import place_on

# A foot of a drawn dart on an edge lies on it within this (mm).
_ON = 0.1

Mouths = Sequence[Tuple[float, float]]


def sewn_to(
    pattern: Pattern, leading: Piece, edge: str, spot: np.ndarray, piece: Piece, size: str
) -> Optional[np.ndarray]:
    """The point (2,) of ``piece`` that is sewn to a point of an edge; None where none is.

    ``InputError`` where a piece is not drawn in the size.
    """
    own, other = leading.outline(size), piece.outline(size)
    for seam in pattern.seams:
        for here, there in ((seam.first, seam.second), (seam.second, seam.first)):
            passed = 0.0
            for ref in here:
                if ref.piece != leading.name or ref.edge not in own.names:
                    break  # what lies before it is measured on another piece
                mouths = mouths_on(leading, own, ref.edge)
                length = without_mouths(own.as_sewn(ref.edge), mouths)
                if ref.edge == edge:
                    along = without_mouths(_along(own, edge, spot), mouths)
                    found = _at(there, passed + (length - along if ref.turned else along), piece, other)
                    if found is not None:
                        return found
                passed += length
    return None


def mouths_on(piece: Piece, outline: Outline, edge: str) -> Mouths:
    """From where to where along an edge (mm) the mouths of its drawn darts lie, in order."""
    runs = outline.runs(edge)
    found: List[Tuple[float, float]] = []
    for drawn in drawn_darts(piece, outline.size):
        feet = [leg.start for leg in drawn.legs]
        if drawn.contour or any(min(nearest(run, foot).distance for run in runs) > _ON for foot in feet):
            continue
        ends = sorted(_along(outline, edge, foot) for foot in feet)
        found.append((ends[0], ends[1]))
    return sorted(found)


def _at(side: Sequence[EdgeRef], distance: float, piece: Piece, outline: Outline) -> Optional[np.ndarray]:
    """The point (2,) at a distance (mm) along one side of a seam, if it lies on the piece."""
    for ref in side:
        if ref.piece != piece.name or ref.edge not in outline.names:
            return None
        mouths = mouths_on(piece, outline, ref.edge)
        length = without_mouths(outline.as_sewn(ref.edge), mouths)
        if distance <= length or ref is side[-1]:
            along = length - distance if ref.turned else distance
            place = place_on(outline, On(ref.edge, with_mouths(along, mouths)))
            return point(outline.path.curves[place.curve][None], place.t)[0]
        distance -= length
    return None


def without_mouths(along: float, mouths: Mouths) -> float:
    """A distance along an edge without the mouths that it passes."""
    return along - sum(min(max(along - low, 0.0), high - low) for low, high in mouths)


def with_mouths(along: float, mouths: Mouths) -> float:
    """The distance along an edge that is ``along`` mm without the mouths that it passes.

    Just where a dart is closed it is that of the first leg.
    """
    for low, high in mouths:
        along += high - low if along > low + SAME_POINT else 0.0
    return along


def _along(outline: Outline, edge: str, spot: np.ndarray) -> float:
    """How far along an edge (mm) a point of it lies, cut-in darts left out."""
    passed, found = 0.0, []
    for run in outline.runs(edge):
        near = nearest(run, spot)
        found.append((near.distance, passed + distance_of(run, near.place)))
        passed += path_length(run)
    return min(found)[1]
