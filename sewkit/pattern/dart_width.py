"""A dart made wider or narrower, longer or shorter.

    wider(piece, outline, dart, degrees)      # its angle; the legs keep their length and their shape
    angle_for(dart, width)                    # the angle at which the mouth is so wide
    point_at(piece, outline, dart, spot)      # its point elsewhere, its mouth stays

Made wider, each leg turns about the point by half of what the angle gains, and the end of the
edge beside it is drawn to its new end: the edge is as much shorter as sewn.  With legs of equal
length l the mouth is 2 l sin(angle / 2) wide (closed form).
"""

from typing import Dict, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.transform import move, turn
from sewkit.pattern.changed_dart import (
    ChangedDart,
    along,
    gain_at,
    refuse_crossed,
    triangle,
    with_runs,
)
from sewkit.pattern.dart import Dart
from sewkit.pattern.dart_point import backed_off, set_back, set_back_from, to_point
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.edge_end import moved_end, moved_start
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

# A dart narrower than this (mm) cannot be sewn as one (common practice: 5 mm are the least worth
# sewing; a pencil line on both sides takes one), nor one that opens by less than this (degrees).
LEAST = 1.0
_LEAST_ANGLE = 0.1

# Legs that open wider than this (degrees) are two edges of a piece and no dart.
_MOST_ANGLE = 120.0

# So much of an edge beside a dart is left, at least (mm).
_LEFT = 1.0

_EASE = "Turn it into ease or gathers instead, or leave at least {:g} mm."


def angle_for(dart: Dart, width: float) -> float:
    """The angle (degrees) at which a dart's mouth is ``width`` mm wide, its legs as long as they are.

    2 asin(w / 2 l) for legs of equal length (law of cosines).  ``InputError`` where no angle
    does it.
    """
    one, other = (float(np.hypot(*(end - dart.point))) for end in dart.mouth)
    if width < LEAST:
        raise _vanishes(dart, width)
    square = (width * width - (one - other) ** 2) / (4.0 * one * other)
    most = np.sin(np.radians(_MOST_ANGLE / 2.0)) ** 2
    if square <= 0:
        raise InputError(
            "The legs of the dart '{}' differ by {:.1f} mm, so it cannot be {:.1f} mm wide.".format(
                dart.name, abs(one - other), width
            ),
            "True it first, so that its legs are equal.",
            code="legs",
        )
    if square > most:
        widest = np.sqrt(4.0 * one * other * most + (one - other) ** 2)
        raise InputError(
            "With {:.1f} mm the dart '{}' would be wider than its legs are long.".format(width, dart.name),
            "Ask for at most {:.1f} mm, make it longer, or set two.".format(np.floor(widest * 10) / 10),
            code="value",
        )
    return float(2.0 * np.degrees(np.arcsin(np.sqrt(square))))


def _vanishes(dart: Dart, width: float) -> InputError:
    return InputError(
        "The dart '{}' is {:.1f} mm wide and would vanish: {:.1f} mm would be left.".format(
            dart.name, dart.intake, max(width, 0.0)
        ),
        _EASE.format(LEAST),
        code="vanish",
    )


def wider(piece: Piece, outline: Outline, dart: Dart, degrees: float) -> ChangedDart:
    """The dart with another angle (degrees): its legs turn about its point, its edges end there.

    ``InputError``: the dart would vanish; an edge beside it is too short; lines would cross.
    """
    if degrees < _LEAST_ANGLE:
        raise _vanishes(dart, 0.0)
    if degrees > _MOST_ANGLE:
        raise InputError(
            "A dart cannot open by {:.1f} degrees.".format(degrees),
            "Ask for at most {:.0f}, or set two darts.".format(_MOST_ANGLE),
            code="value",
        )
    sense = 1.0 if signed_area(outline.path) >= 0 else -1.0
    half = sense * (degrees - dart.angle) / 2.0
    turns = (turn(-half, dart.point), turn(half, dart.point))
    legs = [frame.path(leg) for frame, leg in zip(turns, (dart.first, dart.second))]
    legs = [_ending(legs[0], dart.point), _starting(legs[1], dart.point)]
    runs: Dict[int, Path] = dict(zip(dart.edges, legs))
    before, after = beside(outline, dart)
    gains = []
    for number, at_end, spot, by in ((before, True, legs[0].start, -half), (after, False, legs[1].end, half)):
        name, run = outline.edges[number].name, runs.get(number) or outline_run(outline, number)
        made = _drawn_to(piece, outline, dart, number, run, at_end, spot, by)
        gained = path_length(made) - path_length(run)
        gains.append(gain_at(name, along(outline, number, at_end), gained, at_end))
        runs[number] = made
    new = with_runs(outline, runs)
    refuse_crossed(piece, outline, new, dart.name, [dart.point])
    notches = tuple(
        (outline.edges[number].name, along(outline, number, at_end), along(new, number, at_end))
        for number, at_end in ((before, True), (after, False))
    )
    return ChangedDart(dart.name, outline, new, tuple(gains), notches=notches)


def beside(outline: Outline, dart: Dart) -> Tuple[int, int]:
    """The numbers of the edges before and after a dart."""
    count = len(outline.edges)
    return (dart.edges[0] - 1) % count, (dart.edges[1] + 1) % count


def _drawn_to(
    piece: Piece,
    outline: Outline,
    dart: Dart,
    number: int,
    run: Path,
    at_end: bool,
    spot: np.ndarray,
    degrees: float,
) -> Path:
    """A run of an edge drawn to the new end of the leg beside it."""
    name = outline.edges[number].name
    if name in piece.folds:
        raise InputError(
            "The dart '{}' of '{}' ends at the fold '{}', which cannot give way.".format(
                dart.name, piece.name, name
            ),
            "Move the dart away from the fold first.",
            code="fold",
        )
    own = run.end if at_end else run.start
    far = run.start if at_end else run.end
    # What the edge loses, seen along it: where nothing would be left the corner beyond is passed.
    way = (own - far) / np.hypot(*(own - far))
    left = float((spot - far) @ way)
    try:
        if left < _LEFT:
            raise ValueError("nothing would be left of the edge")
        return moved_end(run, spot, degrees) if at_end else moved_start(run, spot, degrees)
    except ValueError:
        raise InputError(
            "Beside the dart '{}' of '{}' lie only {:.1f} mm of {}, too little to make it so wide.".format(
                dart.name, piece.name, path_length(run), quoted(outline, name)
            ),
            "Ask for less.",
            code="overlap",
        ) from None


def _ending(leg: Path, point: np.ndarray) -> Path:
    curves = np.array(leg.curves)
    curves[-1, 3] = point
    return Path(curves)


def _starting(leg: Path, point: np.ndarray) -> Path:
    curves = np.array(leg.curves)
    curves[0, 0] = point
    return Path(curves)


# -- length -------------------------------------------------------------------------------


def longer(piece: Piece, outline: Outline, dart: Dart, length: float) -> ChangedDart:
    """The dart ``length`` mm long from the middle of its mouth to its point, which goes along the bisector.

    ``InputError`` (value) where it would be too short; (overlap) where it would leave the piece.
    """
    way = dart.middle - dart.point
    ahead = float(way @ dart.axis)
    aside = float(way @ way) - ahead * ahead
    back = ahead - float(np.sqrt(max(length * length - aside, 0.0)))
    return _pointed(piece, outline, dart, set_back(outline, dart, back))


def backed(piece: Piece, outline: Outline, dart: Dart, pivot: np.ndarray, distance: float) -> ChangedDart:
    """The dart with its point ``distance`` mm from a pivot (2,), half way between the ways to its mouth."""
    if distance <= 0:
        return _pointed(piece, outline, dart, to_point(outline, dart, backed_off(pivot, dart.mouth, 0.0)))
    return _pointed(piece, outline, dart, set_back_from(outline, dart, pivot, distance))


def moved_back(piece: Piece, outline: Outline, dart: Dart, distance: float) -> ChangedDart:
    """The dart with its point ``distance`` mm nearer to its mouth; below 0 farther away."""
    return _pointed(piece, outline, dart, set_back(outline, dart, distance))


def _pointed(piece: Piece, outline: Outline, dart: Dart, new: Outline) -> ChangedDart:
    """What it means for the marks that the point lies elsewhere now."""
    legs = [outline_run(new, number) for number in dart.edges]
    point = legs[0].end
    refuse_crossed(piece, outline, new, dart.name, [point])
    first, second = dart.lengths
    gains = (
        gain_at(dart.name, first, path_length(legs[0]) - first),
        gain_at(dart.name, first, path_length(legs[1]) - second, before=False),
    )
    carry = move(*(point - dart.point))
    return ChangedDart(dart.name, outline, new, gains, triangle(dart), carry)


def outline_run(outline: Outline, number: int) -> Path:
    """The path of one of an outline's edges."""
    edge = outline.edges[number]
    return outline.path.part(edge.start, edge.stop)
