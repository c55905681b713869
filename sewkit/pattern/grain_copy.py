"""A grain line for a part of a piece that has none: parallel to the one of the whole piece."""

from typing import List, Optional, Sequence

import numpy as np

from sewkit.geometry.intersect import crossings
from sewkit.geometry.path import Path, lines
from sewkit.geometry.polygon import bounds, contains, flatten
from sewkit.pattern.mark import GRAIN, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

# A grain line runs through most of the piece but touches nothing: so much of the way through its
# middle (common practice: 60 % at least).
_SHARE = 0.7

# Its arrow heads (mm).
_HEAD = 6.0

# The middle of a piece is wanted to this (mm).
_ROUGH = 0.5


def grain_in(part: Piece, whole: Piece) -> Piece:
    """The part with a grain line parallel to that of the whole piece, if it has none of its own.

    One line serves all sizes where there is room for it in all; else each size has its own.
    """
    if any(mark.kind == GRAIN for mark in part.marks) or not part.outlines:
        return part
    grains = [mark for mark in whole.marks if mark.kind == GRAIN and mark.path is not None and len(mark.path)]
    made: List[Mark] = []
    for mark in grains:
        fitting = [outline for outline in part.outlines if mark.size in ("", outline.size)]
        found = [(outline, _through(outline, mark)) for outline in fitting]
        drawn = [(outline, line) for outline, line in found if line is not None]
        common = next((line for _, line in drawn if _lies_in(line, fitting)), None)
        if common is not None:
            made.append(mark._replace(path=common, key=""))
        else:
            made += [mark._replace(path=line, size=outline.size, key="") for outline, line in drawn]
    return part._replace(marks=part.marks + tuple(made))


def _lies_in(line: Path, outlines: Sequence[Outline]) -> bool:
    """Whether a drawn grain line lies within all of some outlines, by its nodes."""
    return all(bool(contains(outline.path, line.nodes).all()) for outline in outlines)


def _through(outline: Outline, grain: Mark) -> Optional[Path]:
    """A line parallel to a grain line through the middle of an outline, and no longer than it."""
    way = grain.shaft.end - grain.shaft.start
    size = float(np.hypot(*way))
    if size == 0:
        return None
    way = way / size
    left, top, right, bottom = bounds(outline.path)
    reach = (right - left) + (bottom - top)
    middle = centre_of(outline.path)
    line = Path.through([middle - reach * way, middle + reach * way])
    along = sorted(float((met.point - middle) @ way) for met in crossings(outline.path, line))
    inside = [
        (high - low, low, high)
        for low, high in zip(along, along[1:])
        if contains(outline.path, [middle + (low + high) / 2.0 * way])[0]
    ]
    if not inside:
        return None
    room, low, high = max(inside)
    half = min(_SHARE * room, size) / 2.0
    centre = middle + (low + high) / 2.0 * way
    return arrow(centre - half * way, centre + half * way)


def arrow(start: np.ndarray, stop: np.ndarray) -> Path:
    """A grain line between two points (2,), with a head at both ends."""
    ends = start, stop
    way = (stop - start) / float(np.hypot(*(stop - start)))
    aside = _HEAD / 2.0 * np.array([-way[1], way[0]])
    barbs = [end + sign * _HEAD * way + side for end, sign in zip(ends, (1, -1)) for side in (aside, -aside)]
    starts, stops = (
        [ends[0], barbs[0], ends[0], barbs[2], ends[1]],
        [ends[1], ends[0], barbs[1], ends[1], barbs[3]],
    )
    return Path(lines(np.array(starts), np.array(stops)))


def centre_of(path: Path) -> np.ndarray:
    """The middle of the area within a closed path, (2,)."""
    spots = flatten(path, _ROUGH)
    here, there = spots - spots[0], np.roll(spots, -1, axis=0) - spots[0]
    cross = here[:, 0] * there[:, 1] - here[:, 1] * there[:, 0]
    area = cross.sum()
    if abs(area) < 1e-9:
        return spots.mean(axis=0)
    return spots[0] + ((here + there) * cross[:, None]).sum(axis=0) / (3.0 * area)
