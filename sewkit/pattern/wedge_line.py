"""The straight line on which a wedge is cut, from its opening to its hinge: whether it can be."""

from typing import Sequence

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings
from sewkit.geometry.path import Path, Place, end_tangents, point, split_at, start_tangents
from sewkit.pattern.outline import Outline

# What lies within this (mm) of an end of the line only touches it there.
_TOUCH = 1.0

# A line that lies at less than this angle (degrees) to the edge runs along it.
_ALONG = 5.0


def spot(outline: Outline, place: Place) -> np.ndarray:
    """The point ``(2,)`` at a place of an outline's path."""
    return point(outline.path.curves[place.curve][None], place.t)[0]


def run_of(outline: Outline, place: Place) -> int:
    """The number of the run, in ``outline.edges``, on which a place lies."""
    return next(n for n, e in enumerate(outline.edges) if e.start <= place.curve < e.stop)


def angle_between(start: np.ndarray, stop: np.ndarray) -> float:
    """The angle from one direction to another, degrees clockwise on the sheet."""
    cross = start[0] * stop[1] - start[1] * stop[0]
    return float(np.degrees(np.arctan2(cross, start @ stop)))


def tangent(outline: Outline, place: Place) -> np.ndarray:
    """The unit direction of the run at a place, in path order."""
    edge = outline.edges[run_of(outline, place)]
    curve = split_at(outline.path.part(place.curve, place.curve + 1), [Place(0, place.t)]).curves
    at_end = place.t > 0.5 and len(curve) == 1
    if at_end and place.curve + 1 < edge.stop:
        return start_tangents(outline.path.curves[place.curve + 1][None])[0]
    return end_tangents(curve[:1])[0] if at_end or len(curve) > 1 else start_tangents(curve)[0]


def lean(outline: Outline, opening: Place, hinge: Place) -> float:
    """How far the line leans from square to the edge where it begins, degrees from 0 to 90."""
    way = spot(outline, hinge) - spot(outline, opening)
    return abs(90.0 - abs(angle_between(tangent(outline, opening), way)))


def check_line(
    outline: Outline, opening: Place, hinge: Place, piece: str, darts: Sequence[str], may_cross: bool
) -> None:
    """Refuse a line that runs along its edge or leaves the piece (line), or has to do with a dart (dart).

    ``may_cross``: nothing turns about the line, so it may pass through one of the ``darts``.
    """
    if 90.0 - lean(outline, opening, hinge) < _ALONG:
        raise InputError(
            "On '{}' the line to the hinge runs along the edge '{}', so nothing can be opened there.".format(
                piece, _name(outline, opening)
            ),
            "Put the hinge on another edge.",
            code="line",
        )
    check_leg(outline, opening, hinge, piece, () if may_cross else darts)
    for place, what in ((opening, "The wedge"), (hinge, "The hinge")):
        if _name(outline, place) in darts:
            raise InputError(
                "{} of '{}' lies on a leg of the dart '{}'.".format(what, piece, _name(outline, place)),
                "Put it beside the dart, or close the dart first.",
                code="dart",
            )
    start, stop = spot(outline, opening), spot(outline, hinge)
    for name in _crossed(outline, start, stop):
        if name in darts:
            continue
        raise InputError(
            "On '{}' the line from the wedge to the hinge crosses the edge '{}' on its way.".format(
                piece, name
            ),
            "Put the hinge where a straight line inside the piece reaches it.",
            code="line",
        )


def check_leg(outline: Outline, end: Place, hinge: Place, piece: str, darts: Sequence[str]) -> None:
    """Refuse a leg of a wedge that passes through a dart (dart)."""
    for name in _crossed(outline, spot(outline, end), spot(outline, hinge)):
        if name in darts:
            raise InputError(
                "The wedge of '{}' passes through the dart '{}'.".format(piece, name),
                "Close or move the dart first, or let the wedge go beside it.",
                code="dart",
            )


def _crossed(outline: Outline, start: np.ndarray, stop: np.ndarray) -> Sequence[str]:
    """The names of the edges that a straight line meets between its ends, in path order."""
    found = []
    for met in crossings(outline.path, Path.through([start, stop])):
        if min(float(np.hypot(*(met.point - end))) for end in (start, stop)) > _TOUCH:
            found.append(_name(outline, met.first))
    return found


def _name(outline: Outline, place: Place) -> str:
    return outline.edges[run_of(outline, place)].name
