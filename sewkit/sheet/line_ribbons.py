"""The middle line of one ribbon, which is a stroke's own outline, or of one ring.

A ribbon has two straight ends as long as the pen is wide and two sides that run beside
each other.  Where the stroke turned a corner, some programs let the inner side run to the
corner itself and back: that spur tells the corner exactly.
"""

from typing import List, Optional, Tuple

import numpy as np

from sewkit.geometry.nearest import nearest
from sewkit.geometry.offset import offset
from sewkit.geometry.path import Path, end_tangents, is_line, lines, point, start_tangents
from sewkit.sheet.line_ends import turn_between

# How much a length may differ from the width it should have (share).
ALIKE = 0.15
# Sides shorter than this share of the pen are rounding and have no direction.
CRUMB = 0.04
# How exactly a spur is half as long as the pen is wide (share).
HALF_PEN = 0.03
# How long the lines to the tip of a mitre may be (times the pen).
MITRE = 2.5
# A side turns a corner of the stroke above this (degrees).
CORNER = 12.0
# How far the turn at an end may be from a right angle (degrees).
SQUARE = 20.0
# Places at which two sides, or two rings, are compared.
PLACES = 24


def middle_of_ribbon(curves: np.ndarray, width: float) -> Optional[Tuple[np.ndarray, float]]:
    """The middle line ``(m, 4, 2)`` of a closed shape ``(n, 4, 2)``, and the pen's width (mm).

    ``width`` is a guess from area and girth.  ``None`` where the shape is no ribbon.
    """
    curves = _without_idle_spurs(curves, width)
    ends = _ends(curves, width)
    if ends is None:
        return None
    one, two = ends
    pen = float(np.hypot(*(curves[[one, two], 3] - curves[[one, two], 0]).T).mean())
    left = _side(curves, one, two)
    right = _side(curves, two, one)[::-1, ::-1]
    if not len(left) or not len(right):
        return None
    start, stop = (left[0, 0] + right[0, 0]) / 2.0, (left[-1, 3] + right[-1, 3]) / 2.0
    left, left_corners = _without_spurs(left, pen)
    right, right_corners = _without_spurs(right, pen)
    corners = left_corners + right_corners
    if not len(left) or not len(right):
        return None
    straight = is_line(np.concatenate([left, right])).all()
    if corners and straight and not (left_corners and right_corners):
        nodes = np.array([start, *corners, stop])
        return lines(nodes[:-1], nodes[1:]), pen
    if len(corners) > 1:
        return None
    middle = _between(left, right, corners, pen)
    if middle is None:
        return None
    middle[0] = _ending(middle[0][::-1], start)[::-1]
    middle[-1] = _ending(middle[-1], stop)
    return middle, pen


def _without_idle_spurs(curves: np.ndarray, width: float) -> np.ndarray:
    """A shape without runs to the middle and straight back, at nodes that are no corner."""
    chord = np.hypot(*(curves[:, 3] - curves[:, 0]).T)
    crumb = chord <= CRUMB * width
    if crumb.any() and (~crumb).sum() >= 4:
        curves = np.array(curves[~crumb])
        follows = np.roll(curves[:, 0], -1, axis=0)
        curves = np.stack([_ending(curve, end) for curve, end in zip(curves, follows)])
        chord = np.hypot(*(curves[:, 3] - curves[:, 0]).T)
    half = is_line(curves) & (np.abs(chord - width / 2.0) <= ALIKE * width / 2.0)
    back = np.hypot(*(np.roll(curves[:, 3], -1, axis=0) - curves[:, 0]).T) <= ALIKE * width / 2.0
    idle = half & np.roll(half, -1) & back
    idle &= ~np.roll(idle, 1)
    gone = idle | np.roll(idle, 1)
    return curves[~gone] if (~gone).sum() >= 4 else curves


def _ends(curves: np.ndarray, width: float) -> Optional[Tuple[int, int]]:
    """The numbers of the two sides that are the ends of the ribbon."""
    chord = np.hypot(*(curves[:, 3] - curves[:, 0]).T)
    leaving, arriving = start_tangents(curves), end_tangents(curves)
    before = turn_between(np.roll(arriving, 1, axis=0), leaving)
    after = turn_between(arriving, np.roll(leaving, -1, axis=0))
    good = is_line(curves) & (np.abs(chord - width) <= ALIKE * width)
    good &= (np.abs(np.abs(before) - 90.0) <= SQUARE) & (np.abs(np.abs(after) - 90.0) <= SQUARE)
    good &= before * after > 0
    found = np.flatnonzero(good).tolist()
    total = chord.sum()
    best, least = None, 0.25 * total
    for k, one in enumerate(found):
        for two in found[k + 1 :]:
            left = chord[one + 1 : two].sum()
            right = total - left - chord[one] - chord[two]
            if min(left, right) > 0 and abs(left - right) < least:
                best, least = (one, two), abs(left - right)
    return best


def _side(curves: np.ndarray, one: int, two: int) -> np.ndarray:
    """The curves after side ``one`` and before side ``two``."""
    count = (two - one) % len(curves) - 1
    return np.roll(curves, -(one + 1), axis=0)[:count]


def _without_spurs(side: np.ndarray, pen: float) -> Tuple[np.ndarray, List[np.ndarray]]:
    """A side without its runs to a corner of the stroke and back, and those corners."""
    chord = np.hypot(*(side[:, 3] - side[:, 0]).T)
    half = is_line(side) & (np.abs(chord - pen / 2.0) <= HALF_PEN * pen / 2.0)
    kept, corners, i = [], [], 0
    while i < len(side):
        if i + 1 < len(side) and half[i] and half[i + 1] and _turn(side[i], side[i + 1]) > CORNER:
            # A driver puts a spur at every node; only where the line turns is it a corner.
            ends = not kept or i + 2 == len(side)
            if not ends and _turn(kept[-1], side[i + 2]) > CORNER:
                corners.append(side[i, 3])
            elif not ends:
                kept[-1] = _ending(kept[-1], side[i + 2, 0])
            i += 2
            continue
        kept.append(side[i])
        i += 1
    return np.array(kept).reshape(-1, 4, 2), corners


def _turn(one: np.ndarray, two: np.ndarray) -> float:
    """How far one curve's end is turned to the next one's start, degrees without sign."""
    return abs(float(turn_between(end_tangents(one[None]), start_tangents(two[None]))[0]))


def _between(
    left: np.ndarray, right: np.ndarray, corners: List[np.ndarray], pen: float
) -> Optional[np.ndarray]:
    """The curves between two sides, part by part from corner to corner."""
    lefts, rights = _parts(left), _parts(right)
    if corners and min(len(lefts), len(rights)) > 1:
        lefts, rights = [lefts[0], lefts[-1]], [rights[0], rights[-1]]
    if len(lefts) != len(rights):
        return None
    done: List[np.ndarray] = []
    for number, (one, two) in enumerate(zip(lefts, rights)):
        one, two = _evened(one, two, number == 0, pen)
        apart = np.hypot(*(one[:, [0, 3]] - two[:, [0, 3]]).reshape(-1, 2).T)
        if len(lefts) == 1 and np.abs(apart - pen).max() > 2 * ALIKE * pen:
            return None
        done.append((one + two) / 2.0)
    return _strung(_without_bevels(done, pen), corners)


def _evened(one: np.ndarray, two: np.ndarray, first: bool, pen: float) -> Tuple[np.ndarray, np.ndarray]:
    """Two sides of a part in equally many curves.

    The outer side of a corner has short lines to the tip of its mitre; without them it is
    cut where the inner side is.
    """
    sides = [one, two]
    for k in (0, 1):
        while len(sides[k]) > len(sides[1 - k]) and len(sides[k]) > 1:
            end = sides[k][-1] if first else sides[k][0]
            if not is_line(end[None])[0] or np.hypot(*(end[3] - end[0])) > MITRE * pen:
                break
            sides[k] = sides[k][:-1] if first else sides[k][1:]
    if len(sides[0]) == len(sides[1]):
        return sides[0], sides[1]
    return _sampled(sides[0]), _sampled(sides[1])


def _without_bevels(parts: List[np.ndarray], pen: float) -> List[np.ndarray]:
    """Parts without the short lines that cut off corners between them."""
    inner = [
        part
        for part in parts[1:-1]
        if len(part) > 1 or not is_line(part)[0] or np.hypot(*(part[0, 3] - part[0, 0])) > 1.2 * pen
    ]
    return [parts[0], *inner, parts[-1]] if len(parts) > 1 else parts


def _strung(parts: List[np.ndarray], corners: List[np.ndarray]) -> np.ndarray:
    """Parts end to end, meeting at the known corner or where they point."""
    parts = [np.array(part) for part in parts]
    for here, there in zip(parts, parts[1:]):
        spot = corners[0] if corners else _meeting(here[-1], there[0])
        here[-1] = _ending(here[-1], spot)
        there[0] = _ending(there[0][::-1], spot)[::-1]
    return np.concatenate(parts)


def _meeting(one: np.ndarray, two: np.ndarray) -> np.ndarray:
    """Where one curve, prolonged, meets the next; between them where they run alike."""
    u, v = end_tangents(one[None])[0], start_tangents(two[None])[0]
    cross = u[0] * v[1] - u[1] * v[0]
    way = two[0] - one[3]
    if abs(cross) < 1e-3:
        return one[3] + way / 2.0
    return one[3] + u * (way[0] * v[1] - way[1] * v[0]) / cross


def _parts(side: np.ndarray) -> List[np.ndarray]:
    """A side cut at its corners."""
    turn = np.abs(turn_between(end_tangents(side[:-1]), start_tangents(side[1:])))
    # A dash that lost its spur still has the two offset ends apart from each other.
    apart = np.hypot(*(side[1:, 0] - side[:-1, 3]).T) > 1e-6
    cuts = [0, *(np.flatnonzero((turn > CORNER) | apart) + 1).tolist(), len(side)]
    return [side[a:b] for a, b in zip(cuts, cuts[1:])]


def _sampled(part: np.ndarray) -> np.ndarray:
    """A part as many short chords of even length, to compare what was cut up differently."""
    t = np.linspace(0.0, 1.0, 4 * PLACES)
    dense = np.concatenate([point(part, np.broadcast_to(t, (len(part), len(t)))).reshape(-1, 2)])
    way = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(dense, axis=0).T))])
    even = np.linspace(0.0, way[-1], PLACES + 1)
    nodes = np.stack([np.interp(even, way, dense[:, k]) for k in (0, 1)], axis=1)
    return lines(nodes[:-1], nodes[1:])


def _ending(curve: np.ndarray, end: np.ndarray) -> np.ndarray:
    """A curve whose end is put elsewhere; a line stays a line."""
    if is_line(curve[None])[0]:
        return lines(curve[:1], end[None])[0]
    return np.stack([curve[0], curve[1], curve[2] + end - curve[3], end])


def middle_of_ring(outer: Path, inner: Path, widest: float) -> Optional[Tuple[Path, float]]:
    """The closed middle line of a ring between two closed runs, and the pen's width (mm)."""
    gap = nearest(inner, outer.curves[0, 0]).distance
    t = np.linspace(0.0, 1.0, 3)[1:2]
    middles = point(outer.curves, np.broadcast_to(t, (len(outer), 1)))[:, 0]
    some = middles[:: max(1, len(middles) // PLACES)]
    apart = np.array([nearest(inner, spot).distance for spot in some])
    width = float(np.median(apart))
    if not 0.02 < width <= widest or np.abs(apart - width).max() > ALIKE * width or gap > 4 * width:
        return None
    del gap
    try:
        middle = offset(Path(outer.curves, True), -width / 2.0, mitre_limit=100.0, tolerance=0.005).path
    except ValueError:
        return None
    spots = point(middle.curves, np.full((len(middle), 1), 0.5))[:, 0]
    away = np.array([nearest(inner, spot).distance for spot in spots[:: max(1, len(spots) // PLACES)]])
    return (middle, width) if np.abs(away - width / 2.0).max() <= ALIKE * width else None
