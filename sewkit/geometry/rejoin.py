"""Two open paths whose ends were brought together, as one path.

    rejoined(before, after)          # ends that meet: the node goes where it is not needed
    eased_over(before, after, 20.0)  # ends that miss each other, or meet in a kink: one soft curve

What a node once cut in two becomes one curve again: straight into straight, and both parts of
one cubic.  So a curve may be cut and closed again as often as one likes and stays as it was.
"""

from typing import Optional

import numpy as np

from sewkit.geometry.bridge import soft
from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.path import Path, Place, cut, cut_curve, end_tangents, is_line, lines, start_tangents
from sewkit.geometry.tolerance import SAME_POINT

# Two curves become one if that moves no control point by more than this (mm): drawings give
# their points to a thousandth, and this is half of what we promise to be exact to.
ONE_CURVE = 0.005

# No path gives up more than this share of its length for the soft curve.
MOST = 0.45


def rejoined(before: Path, after: Path) -> Path:
    """Both paths end to end, without the node between them where one curve can take its place.

    The ends must meet but for rounding; both are moved to the point half way.
    """
    middle = (before.end + after.start) / 2.0
    first, second = _ending_at(before, middle), _starting_at(after, middle)
    one = _one_curve(first.curves[-1], second.curves[0])
    if one is None:
        return Path(np.concatenate([first.curves, second.curves]))
    return Path(np.concatenate([first.curves[:-1], one[None], second.curves[1:]]))


def eased_over(before: Path, after: Path, back: float) -> Path:
    """Both paths with a soft curve between them, for which each gives up ``back`` mm or what it can."""
    first, second = path_length(before), path_length(after)
    stop = place_at(before, first - min(back, MOST * first))
    start = place_at(after, min(back, MOST * second))
    kept = cut(before, Place(0, 0.0), stop)
    rest = cut(after, start, Place(len(after) - 1, 1.0))
    leaving, arriving = end_tangents(kept.curves[-1:])[0], start_tangents(rest.curves[:1])[0]
    between = soft(kept.end, leaving, rest.start, arriving)
    return Path(np.concatenate([kept.curves, between[None], rest.curves]))


def _ending_at(path: Path, spot: np.ndarray) -> Path:
    curves = np.array(path.curves)
    curves[-1, 2:] += spot - curves[-1, 3]
    return Path(curves)


def _starting_at(path: Path, spot: np.ndarray) -> Path:
    curves = np.array(path.curves)
    curves[0, :2] += spot - curves[0, 0]
    return Path(curves)


def _one_curve(first: np.ndarray, second: np.ndarray) -> Optional[np.ndarray]:
    """The curve of which both are the parts, within ``ONE_CURVE``; None where there is none."""
    if is_line(first[None])[0] and is_line(second[None])[0]:
        return _one_line(first, second)
    arriving, leaving = first[3] - first[2], second[1] - second[0]
    sizes = float(np.hypot(*arriving)), float(np.hypot(*leaving))
    if min(sizes) <= SAME_POINT or arriving @ leaving <= 0:
        return None
    # De Casteljau cuts at t: the handles beside the cut are as t to 1 - t, the outer ones
    # t and 1 - t of the whole curve's.
    t = sizes[0] / (sizes[0] + sizes[1])
    whole = np.array(
        [
            first[0],
            first[0] + (first[1] - first[0]) / t,
            second[3] + (second[2] - second[3]) / (1 - t),
            second[3],
        ]
    )
    parts = np.array([cut_curve(whole, 0.0, t), cut_curve(whole, t, 1.0)])
    off = np.abs(parts - np.array([first, second])).max()
    return whole if off <= ONE_CURVE else None


def _one_line(first: np.ndarray, second: np.ndarray) -> Optional[np.ndarray]:
    along, way = second[3] - first[0], first[3] - first[0]
    size = float(np.hypot(*along))
    if size <= SAME_POINT or way @ along <= 0 or along @ (second[3] - second[0]) <= 0:
        return None
    aside = abs(float(along[0] * way[1] - along[1] * way[0])) / size
    return lines(first[:1], second[3:])[0] if aside <= ONE_CURVE else None
