"""Does a curve made from two others still look like its parents?

outside(result, first, second).distance    # mm beyond the strip between them
wiggles(result) <= max(wiggles(first), wiggles(second))
steepness(first, second, ramp) <= 0.25     # sideways shift for each mm of taper
"""

from typing import NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.between import Ramp, matched
from sewkit.geometry.length import path_length, places_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import (
    Path,
    Place,
    derivative,
    end_tangents,
    join,
    point,
    start_tangents,
)
from sewkit.geometry.polygon import contains, flatten
from sewkit.geometry.tolerance import FIT

# Spacing of the first look (mm).  A bulge narrower than this is not a bulge that
# anybody draws; the second look is a hundred times finer.
_SPACING = 1.0
# A bend back by less than this (degrees) is not a wiggle: on an arc 100 mm long it
# would stand 0.04 mm off the chord.
_WIGGLE = 0.2


class Outside(NamedTuple):
    """How far (mm) a curve leaves a strip, and where; 0 mm where it never does."""

    distance: float
    place: Place
    point: np.ndarray


def outside(result: Path, first: Path, second: Path) -> Outside:
    """The largest distance by which an open path leaves the strip between two others.

    The strip runs between ``first`` and ``second`` and is closed by lines between their
    ends.  Where those cross it is as wide on either side as they are apart.
    """
    back = second.reverse()
    strip = join(
        [first, Path.through([first.end, back.start]), back, Path.through([back.end, first.start])],
        closed=True,
    )
    length = path_length(result)
    distances = np.linspace(0.0, length, max(int(length / _SPACING), 16) + 1)
    numbers, beyond = _beyond(result, strip, distances)
    best = int(beyond.argmax())
    if beyond[best] > 0:
        near = np.clip((best - 1, best + 1), 0, len(distances) - 1)
        distances = np.linspace(distances[near[0]], distances[near[1]], 201)
        numbers, beyond = _beyond(result, strip, distances)
        best = int(beyond.argmax())
    place = numbers[best]
    spot = point(result.curves[place.curve][None], place.t)[0]
    gap = 0.0 if contains(strip, spot)[0] else nearest(strip, spot).distance
    return Outside(gap, place, spot)


def _beyond(path: Path, strip: Path, distances: np.ndarray) -> Tuple[Sequence[Place], np.ndarray]:
    """Places at distances along a path, and how far (mm, to ``FIT``) each is outside."""
    places = places_at(path, distances)
    curves = path.curves[[place.curve for place in places]]
    points = point(curves, np.array([place.t for place in places]))
    beyond = np.zeros(len(points))
    out = ~contains(strip, points)
    edge = flatten(strip, 0.1 * FIT)
    beyond[out] = _to_polygon(points[out], edge)
    return places, beyond


def _to_polygon(points: np.ndarray, corners: np.ndarray) -> np.ndarray:
    """Distances ``(m,)`` of points from a closed run of straight lines."""
    x, y = (points[:, k, None] - corners[:, k] for k in (0, 1))
    step_x, step_y = (np.roll(corners, -1, axis=0) - corners).T
    square = np.maximum(step_x * step_x + step_y * step_y, 1e-300)
    share = np.clip((x * step_x + y * step_y) / square, 0.0, 1.0)
    x, y = x - share * step_x, y - share * step_y
    return np.sqrt((x * x + y * y).min(axis=1))


def wiggles(path: Path) -> int:
    """How often an open path changes from bending one way to bending the other.

    Kinks at nodes bend it too.  A bend back by less than 0.2 degrees is noise.
    """
    count, sense, turned = 0, 0, 0.0
    lowest = highest = extreme = 0.0
    for bend in _bends(path):
        turned += bend
        lowest, highest = min(lowest, turned), max(highest, turned)
        if sense == 0:
            sense = int(turned - lowest > _WIGGLE) - int(highest - turned > _WIGGLE)
            extreme = turned
        elif (turned - extreme) * sense > 0:
            extreme = turned
        elif abs(turned - extreme) > _WIGGLE:
            count, sense, extreme = count + 1, -sense, turned
    return count


def _bends(path: Path) -> np.ndarray:
    """How far (degrees) the path turns from each of many spots to the next."""
    t = np.broadcast_to(np.linspace(0.0, 1.0, 33), (len(path), 33))
    ways = derivative(path.curves, t)
    # At the ends a handle may have no length; the tangents know what to do then.
    ways[:, 0], ways[:, -1] = start_tangents(path.curves), end_tangents(path.curves)
    ways = ways.reshape(-1, 2)
    ways = ways[np.hypot(ways[:, 0], ways[:, 1]) > 0]
    before, after = ways[:-1], ways[1:]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.degrees(np.arctan2(cross, (before * after).sum(axis=1)))


def steepness(
    first: Path,
    second: Path,
    ramp: Ramp,
    marks: Sequence[Tuple[float, float]] = (),
    axis: Optional["np.typing.ArrayLike"] = None,
) -> float:
    """The largest sideways shift (mm) for each mm of taper.

    Sideways means square to the first edge.  Points are matched as ``along_axis`` matches
    them where ``axis`` is given, else as ``along_edge`` does.
    """
    here, there, along = matched(first, second, ramp, marks, axis)
    shift = there - here
    size = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-300)
    aside = np.abs(along[:, 0] * shift[:, 1] - along[:, 1] * shift[:, 0]) / size
    return float(aside.max() * abs(ramp.high - ramp.low) / (ramp.stop - ramp.start))
