"""Where a wedge lies on an outline: its opening, its hinge, what is beyond, and which part stays.

What stays is settled as for slashes: the part with the fold, else with the middle of the grain
line, else the larger, of halves the left one; the other part turns.  Beyond, where cloth is taken
out, is what lies nearer to the lower end of the piece.  At an edge across the grain or well aslant
to it, such as a hem or a neckline, neither end is the lower one: there it is the part that turns.
Both are settled once, on the first size, for all sizes of a piece.
"""

from typing import List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import curve_lengths
from sewkit.geometry.path import Path, Place, derivative, point
from sewkit.pattern.cross_line import Axis, height_of
from sewkit.pattern.edge_places import counts_from_end, notches_along, one_place
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.parting import parted, staying
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash, drawn, edge_at, place_on

# An edge has a lower end where its height along the grain is at least this part of its reach (cosine:
# 37 degrees off the grain).  A side and most armholes have one, a neckline as deep as wide has none.
_STANDS = 0.8

# An edge whose ends lie nearer to each other than this (mm) runs round: it has no direction of its own.
_ROUND = 1.0


class Lying(NamedTuple):
    """Places on an outline's path.

    ``onward``: beyond the wedge is onward in path order.  ``stays_beyond``: what is beyond stays,
    and the part before turns.
    """

    opening: Place
    hinge: Place
    onward: bool
    stays_beyond: bool = False


class Ends(NamedTuple):
    """Where a wedge opens and where its hinge is, on an outline's path."""

    opening: Place
    hinge: Place


class Beyond(NamedTuple):
    """What is settled for all sizes.

    Args:
        way: the direction (2,) along the edge to what lies beyond.
        by_parts: neither end is the lower one, so what is beyond is the part that turns.
        stays: the part beyond stays, and the part before turns.
    """

    way: Tuple[float, float]
    by_parts: bool
    stays: bool


def named_places(
    piece: Piece, outline: Outline, edge: str, hinge: str, at: str, hinge_at: str, down: Axis
) -> Ends:
    """The places in words: a level or line, a notch, or a length or share along the edge.

    ``InputError``: no such place (no-level), or the edge with the hinge does not reach that
    height (pivot).
    """
    if not at:
        raise InputError(
            "It is not said where on '{}' the wedge of '{}' lies.".format(edge, piece.name),
            "Name a level, such as waist, a notch, or a length from the upper or left end of it.",
            code="choice",
        )
    opening = _place(piece, outline, edge, at, down)
    if hinge_at:
        return Ends(opening, _place(piece, outline, hinge, hinge_at, down))
    height = float(_spot(outline, opening) @ np.array(down))
    found = _at_height(piece, outline, hinge, down, height)
    if found is None:
        off, way = _off_height(outline, hinge, down, height)
        raise InputError(
            "On '{}' the edge '{}' does not reach the wedge's height: it lies {:.1f} mm {} it.".format(
                piece.name, hinge, off, way
            ),
            "Choose another height, or say where on '{}' the hinge lies.".format(hinge),
            code="pivot",
        )
    return Ends(opening, found)


def drawn_places(outline: Outline, line: Path, piece: str) -> Ends:
    """The places where a drawn line begins, at the amount, and ends.

    ``InputError``: it ends inside the piece (pivot).
    """
    try:
        slash = drawn(outline, line)
    except InputError as error:
        raise error.on(piece) from None
    return Ends(slash.opening, slash.ending)


def beyond_of(piece: Piece, outline: Outline, ends: Ends, down: Axis) -> Beyond:
    """Which way is beyond, on the size that decides for all."""
    ahead = _ahead(outline, ends.opening)
    size = float(np.hypot(*ahead))
    # Of an edge that runs round, the direction at one place says nothing about up and down.
    stands = size > _ROUND and abs(float(ahead @ np.array(down))) >= _STANDS * size
    turns = _turns_onward(piece, outline, ends)
    if stands:
        return Beyond(down, False, turns != bool(ahead @ np.array(down) >= 0))
    return Beyond(_pair(ahead if turns else -ahead), True, False)


def lying(outline: Outline, ends: Ends, beyond: Beyond) -> Lying:
    """The places on one size, with what is beyond told in its own path order."""
    onward = bool(_ahead(outline, ends.opening) @ np.array(beyond.way) >= 0)
    return Lying(ends.opening, ends.hinge, onward, beyond.stays)


def _ahead(outline: Outline, opening: Place) -> np.ndarray:
    """From the start of the opening's edge to its end, (2,) mm; of one that runs round, the way there."""
    first, last = _outermost(outline, edge_at(outline, opening))
    chord = outline.path.curves[last.stop - 1, 3] - outline.path.curves[first.start, 0]
    if np.hypot(*chord) > _ROUND:
        return chord
    along = derivative(outline.path.curves[opening.curve : opening.curve + 1], opening.t)[0]
    return along / (float(np.hypot(*along)) or 1.0) * _ROUND / 2.0


def _outermost(outline: Outline, name: str) -> Tuple[Edge, Edge]:
    """The first and the last run of an edge, also where the path begins within it.

    What lies between runs is a dart, so the longest stretch of other edges parts last from first.
    """
    runs = [edge for edge in outline.edges if edge.name == name]
    ends = curve_lengths(outline.path.curves).cumsum()
    whole = float(ends[-1])
    gaps = [
        (float(ends[run.start - 1]) if run.start else 0.0) - float(ends[before.stop - 1])
        for before, run in zip([runs[-1]] + runs, runs)
    ]
    first = int(np.argmax([gap % whole for gap in gaps]))
    return runs[first], runs[first - 1]


def _turns_onward(piece: Piece, outline: Outline, ends: Ends) -> bool:
    """Whether the part that follows the opening in path order is the one that would not stay."""
    line = Path.through([_spot(outline, ends.opening), _spot(outline, ends.hinge)])
    if np.hypot(*(line.end - line.start)) < _ROUND:
        return True  # such a wedge is refused later, in words of its own
    parting = parted(outline, [Slash(ends.opening, ends.hinge, line)])
    return parting.sides(0)[1] != staying(parting, piece)


def _place(piece: Piece, outline: Outline, edge: str, words: str, down: Axis) -> Place:
    words = words.strip()
    known = notches_along(piece, outline, edge)
    try:
        height = height_of(piece, outline.size, words, down)
    except InputError as error:
        if error.code != "no-level":
            raise
        try:
            return place_on(outline, one_place(piece, outline, edge, words, down))
        except InputError as other:
            if other.code == "no-level" and words[:1].isalpha() and not words.lower().startswith("notch "):
                notches = " Notches on '{}': {}.".format(edge, ", ".join(known)) if known else ""
                raise InputError(error.what, error.cure + notches, error.code) from None
            raise other.on(piece.name) from None
    found = _at_height(piece, outline, edge, down, height)
    if found is None and words in known:
        return place_on(outline, one_place(piece, outline, edge, words, down))
    if found is None:
        raise InputError(
            "On '{}' the edge '{}' does not reach '{}'.".format(piece.name, edge, words),
            "Name another level, or a length along '{}'.".format(edge),
            code="no-level",
        )
    return found


def _at_height(piece: Piece, outline: Outline, edge: str, down: Axis, height: float) -> Optional[Place]:
    """The place of an edge at a height along the axis; of several the nearest to its upper or left end."""
    axis = np.array(down)
    places: List[Place] = []
    for one in outline.edges:
        if one.name == edge:
            run = outline.path.part(one.start, one.stop)
            found = crossings_with_line(run, axis * height, np.array([-axis[1], axis[0]]))
            places += [Place(place.curve + one.start, place.t) for place in found]
    if not places:
        return None
    return (max if counts_from_end(piece, outline, edge, down) else min)(places)


def _off_height(outline: Outline, edge: str, down: Axis, height: float) -> Tuple[float, str]:
    """How far (mm) an edge that does not reach a height lies from it, and on which side."""
    heights = np.concatenate([run.nodes for run in outline.runs(edge)]) @ np.array(down) - height
    nearest = float(heights[np.abs(heights).argmin()])
    return abs(nearest), "below" if nearest > 0 else "above"


def _spot(outline: Outline, place: Place) -> np.ndarray:
    return point(outline.path.curves[place.curve][None], place.t)[0]


def _pair(way: np.ndarray) -> Axis:
    return float(way[0]), float(way[1])
