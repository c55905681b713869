"""Which end of a piece is up when it is worn, however it lies on the sheet.

First the names of its own levels and edges tell: a chest is above a waist, a hem at the bottom.
Then other pieces of which that is known: two levels in common, or an edge sewn to them that
runs along the grain.  Otherwise down is down the sheet, and that it is not known is told.
"""

import re
from typing import Dict, Iterator, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import point
from sewkit.pattern.cross_line import Axis, extent, named_heights
from sewkit.pattern.mark import On
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef
from sewkit.pattern.slash import place_on
from sewkit.pattern.spans import grain_axis

# Names from top to bottom; those of one row say nothing about each other.
_ORDER = (
    ("top", "neck", "shoulder", "cap", "crown"),
    ("armhole", "armscye", "blade", "biceps"),
    ("chest", "bust"),
    ("waist", "elbow"),
    ("hip", "seat"),
    ("crotch", "thigh"),
    ("knee",),
    ("calf",),
    ("hem", "bottom", "ankle", "wrist"),
)
_RANKS: Dict[str, int] = {name: rank for rank, row in enumerate(_ORDER) for name in row}
_LAST = len(_ORDER) - 1

# Names whose heights differ by less than this part of the piece's length tell nothing.
_TELLS = 0.05

# A stretch of a seam tells which way is down where this part of it, at least, runs along the
# grain (cosine: 60 degrees), and where it is this long (mm).
_ALONG = 0.5
_LONG = 20.0


class Down(NamedTuple):
    """The unit direction along the grain to the lower end; ``known``: somebody or something tells."""

    axis: Axis
    known: bool

    def of(self, piece: Piece, size: str) -> Axis:
        """The same for one size, which may have a grain line of its own."""
        own = np.array(grain_axis(piece, size))
        return _pair(own if own @ np.array(self.axis) >= 0 else -own)


def down_of(pattern: Pattern, piece: Piece) -> Down:
    """Which way is down on a piece, the same for all its sizes."""
    known = by_names(piece)
    if known is not None:
        return Down(known, True)
    told = {
        one.name: (one, by_names(one))
        for one in pattern.pieces
        if one.named and one.outlines and one.name != piece.name
    }
    sure = {name: (one, axis) for name, (one, axis) in told.items() if axis is not None}
    unsure = [one for one, axis in told.values() if axis is None] + [piece]
    while unsure:
        found = {}
        for one in unsure:
            ways = (_told_by(pattern, other, axis, one) for other, axis in sure.values())
            way = next((way for way in ways if way is not None), None)
            if way is not None:
                found[one.name] = (one, way)
        if piece.name in found:
            return Down(found[piece.name][1], True)
        if not found:
            break
        sure, unsure = found, [one for one in unsure if one.name not in found]
    return Down(grain_axis(piece, piece.outlines[0].size), False)


def by_names(piece: Piece) -> Optional[Axis]:
    """Down as the names of a piece's levels and edges tell, in its first size; None where they do not."""
    if not piece.outlines:
        return None
    outline = piece.outlines[0]
    axis = grain_axis(piece, outline.size)
    low, high = extent(outline, axis)
    edges = [(_rank(name), _middle(outline, name, axis)) for name in dict.fromkeys(outline.names)]
    levels = [(_rank(name), height) for name, height in named_heights(piece, outline.size, axis).items()]
    ranked = [(rank, height) for rank, height in edges + levels if rank is not None]
    votes = [
        below - above for first, above in ranked for second, below in ranked if first < second
    ]  # mm, above 0 where the axis points down
    # An edge of the first or of the last row bounds the piece.
    votes += [(low + high) / 2.0 - height for rank, height in edges if rank == 0]
    votes += [height - (low + high) / 2.0 for rank, height in edges if rank == _LAST]
    if not votes or abs(sum(votes)) < _TELLS * (high - low) * len(votes):
        return None
    return axis if sum(votes) > 0 else (-axis[0], -axis[1])


def _rank(name: str) -> Optional[int]:
    """The row of a name such as hip, low-hip, hips or hipline; of several words the last counts."""
    for word in reversed(re.findall(r"[a-z]+", name.lower())):
        for form in (word, re.sub(r"s$", "", word), re.sub(r"-?lines?$", "", word)):
            if form in _RANKS:
                return _RANKS[form]
    return None


def _middle(outline: Outline, edge: str, axis: Axis) -> float:
    """The height half way between the two ends of an edge (mm)."""
    return float(np.mean([[run.start, run.end] for run in outline.runs(edge)], axis=(0, 1)) @ np.array(axis))


# -- by other pieces ----------------------------------------------------------------------


def _told_by(pattern: Pattern, leading: Piece, axis: Axis, piece: Piece) -> Optional[Axis]:
    """Down on a piece, as one tells of which it is known."""
    own = grain_axis(piece, piece.outlines[0].size)
    size = next((size for size in piece.sizes if size in leading.sizes), "")
    size = size or max(piece.sizes + leading.sizes)
    sign = _by_levels(leading, axis, piece, own, size) or _by_seams(pattern, leading, axis, piece, own)
    return None if not sign else _pair(np.array(own) * sign)


def _by_levels(leading: Piece, axis: Axis, piece: Piece, own: Axis, size: str) -> float:
    """1 where the levels in common follow each other alike, -1 the other way round, 0 unknown."""
    mine, theirs = named_heights(leading, size, axis), named_heights(piece, size, own)
    common = [name for name in mine if name in theirs]
    if len(common) < 2:
        return 0.0
    first = common[0]
    return float(np.sign(sum((mine[n] - mine[first]) * (theirs[n] - theirs[first]) for n in common)))


def _by_seams(pattern: Pattern, leading: Piece, axis: Axis, piece: Piece, own: Axis) -> float:
    """The same by the longest stretch sewn together that runs along the grain on both."""
    found = []
    for seam in pattern.seams_of(piece.name):
        for here, there in ((seam.first, seam.second), (seam.second, seam.first)):
            for length, (first, second) in _stretches(pattern, here, there, (leading, piece)):
                mine, theirs = first @ np.array(axis), second @ np.array(own)
                if min(abs(mine), abs(theirs)) > _ALONG * length:
                    found.append((length, float(np.sign(mine * theirs))))
    return max(found)[1] if found else 0.0


def _stretches(
    pattern: Pattern, here: Sequence[EdgeRef], there: Sequence[EdgeRef], pieces: Tuple[Piece, Piece]
) -> Iterator[Tuple[float, Tuple[np.ndarray, np.ndarray]]]:
    """Length (mm) of each stretch that joins two pieces, and the way (2,) along it on both."""
    for start, stop, ref in _reaches(pattern, here):
        for begin, end, other in _reaches(pattern, there):
            low, high = max(start, begin), min(stop, end)
            if (ref.piece, other.piece) == (pieces[0].name, pieces[1].name) and high - low >= _LONG:
                first = _way(pieces[0], ref, low - start, high - start)
                yield high - low, (first, _way(pieces[1], other, low - begin, high - begin))


def _reaches(pattern: Pattern, side: Sequence[EdgeRef]) -> List[Tuple[float, float, EdgeRef]]:
    """From where to where (mm) each edge of a seam's side reaches; what follows a missing one is left out."""
    found, passed = [], 0.0
    for ref in side:
        try:
            length = pattern.piece(ref.piece).outlines[0].as_sewn(ref.edge)
        except (InputError, ValueError):
            break
        found.append((passed, passed + length, ref))
        passed += length
    return found


def _way(piece: Piece, ref: EdgeRef, start: float, stop: float) -> np.ndarray:
    """From one place of a sewn edge to another (2,) mm, distances in the seam's direction."""
    outline = piece.outlines[0]
    length = outline.as_sewn(ref.edge)
    ends = [length - at if ref.turned else at for at in (start, stop)]
    places = [place_on(outline, On(ref.edge, at)) for at in ends]
    first, last = (point(outline.path.curves[place.curve][None], place.t)[0] for place in places)
    return last - first


def _pair(way: np.ndarray) -> Axis:
    return float(way[0]), float(way[1])
