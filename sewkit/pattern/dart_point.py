"""The point of a dart backed off from its pivot, or brought up to it.

A dart ends short of the fullest spot and never past it.  The legs go to the same ends of the
mouth and the point goes along the line half way between the legs, so that equal legs stay equal.
"""

from typing import Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path, is_line
from sewkit.pattern.dart import Dart
from sewkit.pattern.outline import Outline
from sewkit.pattern.spokes import reshaped

# A dart less deep than this (mm) could not be sewn.
_LEAST_DEPTH = 5.0

# A point within this of where it shall be is there (mm).
_THERE = 1e-9


def backed_off(pivot: np.ndarray, mouth: np.ndarray, distance: float) -> np.ndarray:
    """The point (2,), ``distance`` mm from the pivot half way between the ways to the mouth (2, 2)."""
    ways = mouth - pivot
    ways = ways / np.hypot(ways[:, 0], ways[:, 1])[:, None]
    way = ways.sum(axis=0)
    return pivot + way * (distance / np.hypot(*way))


def set_back(outline: Outline, dart: Dart, distance: float) -> Outline:
    """The outline with the dart's point moved ``distance`` mm towards the mouth; below 0 away from it.

    The dart stays what it is at the mouth; bent legs keep their shape.  ``InputError`` (value)
    where no leg would be left.
    """
    return to_point(outline, dart, _checked(dart, dart.point, distance))


def set_back_from(outline: Outline, dart: Dart, pivot: np.ndarray, distance: float) -> Outline:
    """The outline with the dart's point ``distance`` mm from a pivot, half way as seen from there."""
    return to_point(outline, dart, _checked(dart, pivot, distance))


def as_deep(outline: Outline, dart: Dart, before: Dart) -> Outline:
    """The outline with the dart's point as far from its mouth, and as much aside, as it was before.

    Legs that were equally long are so again, whatever the mouth measures now.
    """
    was = before.mouth[1] - before.mouth[0]
    rise = before.point - before.mouth[0]
    share = float(rise @ was) / float(was @ was)
    deep = float(was[0] * rise[1] - was[1] * rise[0]) / float(np.hypot(*was))
    way = dart.mouth[1] - dart.mouth[0]
    square = np.array([-way[1], way[0]]) / np.hypot(*way)
    return to_point(outline, dart, dart.mouth[0] + share * way + deep * square)


def to_point(outline: Outline, dart: Dart, spot: np.ndarray) -> Outline:
    """The outline with the dart's point at another place (2,), its legs going there."""
    if np.hypot(*(spot - dart.point)) <= _THERE:
        return outline
    legs = (_leg(dart.first, dart.first.start, spot), _leg(dart.second, spot, dart.second.end))
    return with_legs(outline, dart.edges, legs)


def with_legs(outline: Outline, numbers: Tuple[int, int], legs: Tuple[Path, Path]) -> Outline:
    """The outline with other legs in the place of two of its runs; they go from node to node as before."""
    curves, edges, at = [], [], 0
    for number, edge in enumerate(outline.edges):
        part = outline.path.part(edge.start, edge.stop)
        if number in numbers:
            part = legs[numbers.index(number)]
        curves.append(part.curves)
        edges.append(edge._replace(start=at, stop=at + len(part)))
        at += len(part)
    return outline._replace(path=Path(np.concatenate(curves), closed=True), edges=tuple(edges))


def _checked(dart: Dart, pivot: np.ndarray, distance: float) -> np.ndarray:
    spot = backed_off(pivot, dart.mouth, distance)
    left = float((dart.middle - spot) @ (spot - pivot))
    deep = float(np.hypot(*(dart.middle - spot)))
    if deep < _LEAST_DEPTH or (distance > 0 and left <= 0):
        reach = float(np.hypot(*(dart.middle - pivot)))
        raise InputError(
            "The point of '{}' cannot be set back by {:.1f} mm: the dart is {:.1f} mm long.".format(
                dart.name, distance, reach
            ),
            "Set it back by less.",
            code="value",
        )
    return spot


def _leg(old: Path, start: np.ndarray, end: np.ndarray) -> Path:
    return Path.through([start, end]) if is_line(old.curves).all() else reshaped(old, start, end)
