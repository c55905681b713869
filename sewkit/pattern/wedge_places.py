"""Where a wedge lies on an outline: its opening, its hinge, and which way is beyond."""

from typing import List, NamedTuple, Optional

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.path import Path, Place, derivative
from sewkit.pattern.cross_line import height_of
from sewkit.pattern.edge_places import places_on
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import drawn, place_on
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


def drawn_places(outline: Outline, line: Path, piece: str) -> Lying:
    """The places where a drawn line begins, at the amount, and ends.

    ``InputError``: it ends inside the piece (pivot).
    """
    try:
        slash = drawn(outline, line)
    except InputError as error:
        raise error.on(piece) from None
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
    return place_on(outline, places[0])


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
