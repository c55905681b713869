"""Dots to match by and holes to drill: how they are drawn, and how they are put on a piece.

A dot is a small ring, a drill hole a ring with a cross through it (common practice).
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, lines
from sewkit.geometry.polygon import contains
from sewkit.pattern.faint import RING, ring
from sewkit.pattern.mark import DOT, DRILL, Mark
from sewkit.pattern.notch import place_of, spot_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.sewn_to import sewn_to

# Half the cross of a drill hole (mm): it looks out of the ring, so it is seen where the ring is punched.
_CROSS = 4.0

# Places of several sizes that agree to this (mm) are one.
_ALIKE = 0.01


class Spot(NamedTuple):
    """A place on a piece: its point (2,), mm, and its name.

    ``edge``, ``inside``: the edge beside it and how far inside that it lies (mm); empty where it was
    not found from an edge.
    """

    name: str
    point: np.ndarray
    edge: str = ""
    inside: float = 0.0


def drawn(kind: str, spot: np.ndarray) -> Path:
    """The ring of a dot, or the ring and cross of a drill hole."""
    if kind == DOT:
        return ring(spot)
    # Four lines from the tips inwards: so all tips are nodes, and the mark's middle is the hole's.
    tips = spot + _CROSS * np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]])
    return Path(np.concatenate([ring(spot, RING).curves, lines(tips, np.tile(spot, (4, 1)))]))


def with_dots(piece: Piece, kind: str, spots: Dict[str, Sequence[Spot]]) -> Piece:
    """The piece with marks in some sizes; those of the same name and kind are replaced there.

    One mark serves all sizes where they have it at the same place.
    """
    names = list(dict.fromkeys(spot.name for found in spots.values() for spot in found))
    whole = set(piece.sizes) <= set(spots)
    kept: List[Mark] = []
    for mark in piece.marks:
        if mark.kind not in (DOT, DRILL) or mark.name not in names:
            kept.append(mark)
        elif mark.size and mark.size not in spots:
            kept.append(mark)
        elif not mark.size and not whole:
            kept += [mark._replace(size=size, key="") for size in piece.sizes if size not in spots]
    for name in names:
        points = {size: one.point for size, found in spots.items() for one in found if one.name == name}
        kept += [Mark(kind, name, size, drawn(kind, point)) for size, point in _shared(points, piece, whole)]
    return piece._replace(marks=tuple(kept))


def _shared(points: Dict[str, np.ndarray], piece: Piece, whole: bool) -> List[Tuple[str, np.ndarray]]:
    """The points by size, or one for all sizes where they agree."""
    if whole and len(points) == len(piece.outlines) > 1:
        if np.ptp(np.array(list(points.values())), axis=0).max() <= _ALIKE:
            return [("", next(iter(points.values())))]
    return list(points.items())


def free_names(piece: Piece, word: str, count: int) -> List[str]:
    """So many names such as dot-1 that no mark of the piece has."""
    used = {mark.name for mark in piece.marks}
    names = ("{}-{}".format(word, number) for number in range(1, len(used) + count + 1))
    return [name for name in names if name not in used][:count]


def twins(pattern: Pattern, piece: Piece, size: str, spot: Spot) -> List[Tuple[str, Spot]]:
    """The places on the pieces sewn to the edge of a spot that come to lie on it, by piece."""
    foot = _foot(piece.outline(size), spot.point, spot.edge)
    found = []
    others = [
        ref.piece
        for seam in pattern.seams_of(piece.name)
        if any((ref.piece, ref.edge) == (piece.name, spot.edge) for ref in seam.refs)
        for ref in seam.refs
        if ref.piece != piece.name
    ]
    for name in dict.fromkeys(others):
        other = pattern.piece(name)
        if size not in other.sizes and "" not in other.sizes:
            continue
        at = None if foot is None else sewn_to(pattern, piece, spot.edge, foot, other, size)
        if at is not None:
            found.append((name, spot._replace(point=_within(other.outline(size), at, spot.inside))))
    return found


def _foot(outline: Outline, point: np.ndarray, edge: str) -> Optional[np.ndarray]:
    """The point of an edge beside a place, (2,)."""
    on = place_of(outline, point)
    found = spot_of(outline, on)
    return None if found is None or on.edge != edge else found.point


def _within(outline: Outline, point: np.ndarray, inside: float) -> np.ndarray:
    """The place so far (mm) inside an outline from a point of it."""
    found = spot_of(outline, place_of(outline, point))
    return point if found is None else point - inside * found.outward


def lies_inside(outline: Outline, point: np.ndarray) -> bool:
    """Whether a place lies on the piece, its outline counted."""
    on = spot_of(outline, place_of(outline, point))
    near = on is not None and float(np.hypot(*(on.point - point))) < _ALIKE
    return near or bool(contains(outline.path, [point])[0])
