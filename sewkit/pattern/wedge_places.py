"""Where a wedge lies on an outline: its opening, its hinge, and which way is beyond."""

from typing import List, NamedTuple, Optional

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings, crossings_with_line
from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, derivative
from sewkit.pattern.cross_line import height_of
from sewkit.pattern.edge_places import places_on
from sewkit.pattern.mark import On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import REACH, drawn
from sewkit.pattern.spans import grain_axis
from sewkit.pattern.wedging import run_of, spot


class Lying(NamedTuple):
    """Places on an outline's path; ``onward``: beyond the wedge is onward in path order."""

    opening: Place
    hinge: Place
    onward: bool


def named_places(piece: Piece, outline: Outline, edge: str, hinge: str, at: str, hinge_at: str) -> Lying:
    """The places in words: a level or line, or a length or share along the edge.

    Beyond is what lies further along the grain.  ``InputError``: no such place (no-level), or the
    edge with the hinge does not reach that height (pivot).
    """
    axis = np.array(grain_axis(piece, outline.size))
    if not at:
        raise InputError(
            "It is not said at which height the wedge of '{}' lies.".format(piece.name),
            "Name a level, such as waist, or a length from the upper end of '{}'.".format(edge),
            code="choice",
        )
    opening = _place(piece, outline, edge, at, axis)
    if hinge_at:
        end = _place(piece, outline, hinge, hinge_at, axis)
    else:
        height = float(spot(outline, opening) @ axis)
        found = _at_height(outline, hinge, axis, height)
        if found is None:
            raise InputError(
                "On '{}' the edge '{}' does not reach the wedge's height, {:.0f} mm along the grain.".format(
                    piece.name, hinge, height
                ),
                "Choose another height, or say where on '{}' the hinge lies.".format(hinge),
                code="pivot",
            )
        end = found
    return Lying(opening, end, _onward(outline, opening, axis))


def drawn_places(outline: Outline, line: Path, piece: str, probe: bool = False) -> Optional[Lying]:
    """The places where a drawn line begins and ends; ``probe``: None where it does not lie over it.

    The line begins at the amount.  ``InputError``: it ends inside the piece (pivot).
    """
    if probe and not crossings(outline.path, line):
        if all(nearest(outline.path, end).distance > REACH for end in (line.start, line.end)):
            return None
    if probe:
        return Lying(Place(0, 0.0), Place(0, 0.0), True)
    try:
        slash = drawn(outline, line)
    except InputError as error:
        what = (
            error.what
            if piece in error.what
            else "On '{}' {}{}".format(piece, error.what[:1].lower(), error.what[1:])
        )
        raise InputError(what, error.cure, error.code) from None
    return Lying(slash.opening, slash.ending, _onward(outline, slash.opening, np.array([0.0, 1.0])))


def _place(piece: Piece, outline: Outline, edge: str, words: str, axis: np.ndarray) -> Place:
    try:
        height = height_of(piece, outline.size, words, (float(axis[0]), float(axis[1])))
    except InputError as error:
        if not words[:1].isdigit():
            raise error
    else:
        found = _at_height(outline, edge, axis, height)
        if found is None:
            raise InputError(
                "On '{}' the edge '{}' does not reach '{}'.".format(piece.name, edge, words),
                "Name another level, or a length from its upper end.",
                code="no-level",
            )
        return found
    places = places_on(piece, outline, edge, words)
    if len(places) != 1:
        raise InputError(
            "'{}' is not one place on '{}'.".format(words, edge),
            "Give one level or one length.",
            code="value",
        )
    return _on_path(outline, places[0])


def _at_height(outline: Outline, edge: str, axis: np.ndarray, height: float) -> Optional[Place]:
    """The first place of an edge at a height along the axis."""
    across = np.array([-axis[1], axis[0]])
    for one in outline.edges:
        if one.name == edge:
            run = outline.path.part(one.start, one.stop)
            places: List[Place] = crossings_with_line(run, axis * height, across)
            if places:
                return Place(places[0].curve + one.start, places[0].t)
    return None


def _on_path(outline: Outline, on: On) -> Place:
    distance = distance_from_start(outline, on)
    for edge in outline.edges:
        if edge.name == on.edge:
            run = outline.path.part(edge.start, edge.stop)
            length = path_length(run)
            if distance <= length + 1e-6:
                place = place_at(run, min(max(distance, 0.0), length))
                return Place(place.curve + edge.start, place.t)
            distance -= length
    raise ValueError("the edge is shorter than that")


def _onward(outline: Outline, opening: Place, axis: np.ndarray) -> bool:
    """Whether the path leads onward to what lies further along the axis; across it, always."""
    along = derivative(outline.path.curves[opening.curve : opening.curve + 1], opening.t)[0]
    size = float(np.hypot(*along)) or 1.0
    ahead = float(along @ axis) / size
    if abs(ahead) < 0.1:
        edge = outline.edges[run_of(outline, opening)]
        run = outline.path.part(edge.start, edge.stop)
        return bool((run.end - run.start) @ axis >= 0)
    return ahead > 0
