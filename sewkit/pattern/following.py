"""Where the line of one piece lies on another that has to change with it."""

from typing import Iterator, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import distance_of, path_length, point_at
from sewkit.pattern.cross_line import Axis, crosses, drawn_height, height_of, own_line
from sewkit.pattern.mark import LEVEL
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef
from sewkit.pattern.spans import grain_axis, shifted_band
from sewkit.pattern.swing import Band

# How far along a seam one looks to tell which way is down on the other piece (mm).
_STEP = 10.0


def follow(
    pattern: Pattern, leading: Piece, piece: Piece, size: str, words: str, height: float, axis: Axis
) -> Optional[Tuple[Axis, float]]:
    """Axis and height (mm) of the same line on another piece; None where nothing tells.

    Its own line or levels of that name come first; then the distance from a level that both
    have; then the place where the edge sewn to the leading piece is cut.  A piece that lies
    head down is recognised by two levels, or by the way its seam runs.
    """
    by_level = _by_level(leading, piece, size, height, axis)
    own = by_level[0] if by_level else grain_axis(piece, size)
    try:
        return own, (own_line(piece, size, own) if not words else height_of(piece, size, words, own))
    except InputError:
        pass
    return by_level or _by_seam(pattern, leading, piece, size, height, axis)


def _by_level(
    leading: Piece, piece: Piece, size: str, height: float, axis: Axis
) -> Optional[Tuple[Axis, float]]:
    levels = {
        mark.name: abs(drawn_height(mark.path, axis)[0] - height)
        for mark in leading.marks_for(size)
        if mark.kind == LEVEL and mark.path is not None and len(mark.path)
    }
    theirs = {mark.name for mark in piece.marks_for(size) if mark.kind == LEVEL}
    common = sorted((away, name) for name, away in levels.items() if name in theirs)
    if not common:
        return None
    try:
        band = shifted_band(Band(axis, height, height), leading, piece, size, common[0][1])
    except InputError:
        return None
    return band.axis, band.start


def _by_seam(
    pattern: Pattern, leading: Piece, piece: Piece, size: str, height: float, axis: Axis
) -> Optional[Tuple[Axis, float]]:
    for seam in pattern.seams:
        for here, there in ((seam.first, seam.second), (seam.second, seam.first)):
            if any(r.piece == leading.name for r in here) and any(r.piece == piece.name for r in there):
                for at in _cut_at(pattern, leading, here, size, height, axis):
                    found = _place(pattern, leading, piece, (here, there), size, at, axis)
                    if found is not None and crosses(piece.outline(size), *found):
                        return found
    return None


def _cut_at(
    pattern: Pattern, leading: Piece, side: Sequence[EdgeRef], size: str, height: float, axis: Axis
) -> Iterator[float]:
    """Distances (mm, as sewn) along one side of a seam at which the line cuts it."""
    way = np.array(axis)
    passed = 0.0
    for ref in side:
        outline = pattern.piece(ref.piece).outline(size)
        length = outline.as_sewn(ref.edge)
        before = 0.0
        for run in outline.runs(ref.edge) if ref.piece == leading.name else ():
            for place in crossings_with_line(run, way * height, np.array([-way[1], way[0]])):
                at = before + distance_of(run, place)
                yield passed + (length - at if ref.turned else at)
            before += path_length(run)
        passed += length


def _place(
    pattern: Pattern,
    leading: Piece,
    piece: Piece,
    sides: Tuple[Sequence[EdgeRef], Sequence[EdgeRef]],
    size: str,
    at: float,
    axis: Axis,
) -> Optional[Tuple[Axis, float]]:
    """The cut on the other side, and which way is down there."""
    here, there = sides
    spots = [_spot(pattern, there, piece.name, size, at + step) for step in (0.0, _STEP, -_STEP)]
    if spots[0] is None:
        return None
    own = np.array(grain_axis(piece, size))
    for spot, step in zip(spots[1:], (_STEP, -_STEP)):
        mine = [_spot(pattern, here, leading.name, size, at + s) for s in (0.0, step)]
        if spot is None or mine[0] is None or mine[1] is None:
            continue
        if ((spot - spots[0]) @ own) * ((mine[1] - mine[0]) @ np.array(axis)) < 0:
            own = -own
        return (float(own[0]), float(own[1])), float(spots[0] @ own)
    return None


def _spot(pattern: Pattern, side: Sequence[EdgeRef], name: str, size: str, at: float) -> Optional[np.ndarray]:
    """The point (2,) at a distance along one side of a seam, if it lies on that piece."""
    for ref in side:
        outline = pattern.piece(ref.piece).outline(size)
        length = outline.as_sewn(ref.edge)
        if -1e-6 <= at <= length + 1e-6 and ref.piece == name:
            return _on_edge(outline, ref.edge, length - at if ref.turned else at)
        at -= length
    return None


def _on_edge(outline: Outline, edge: str, at: float) -> np.ndarray:
    runs: List = list(outline.runs(edge))
    for run in runs:
        length = path_length(run)
        if at <= length + 1e-6 or run is runs[-1]:
            return point_at(run, min(max(at, 0.0), length))
        at -= length
    raise ValueError("the outline has no such edge")
