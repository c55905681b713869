"""How wide a piece is at a level: square to its grain, from seam line to seam line, as sewn.

    found = level_width(piece, "3", "waist")
    found.width           what the piece gives to the girth there (mm)

The level is the piece's own mark, wherever it lies on the sheet.  Taken off are darts, at their
width where the level crosses them, pleats, and what laps over a line such as the centre front.
A dart that lies along the level is closed instead: the level goes in at one leg, out at the
other, at the same distance from the point, and straight on as on the folded paper.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import distance_of, path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.polygon import contains
from sewkit.pattern.cross_line import Axis, drawn_height
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.fold_mouth import fold_mouths
from sewkit.pattern.gathered import gathers_on, taken
from sewkit.pattern.level_darts import (
    ON,
    TOUCH,
    Cloth,
    LevelLine,
    darts_on,
    is_cloth,
    is_gap,
    pleats_on,
    without_mouths,
)
from sewkit.pattern.mark import INNER, LEVEL, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.spans import grain_axis

# Names of the inner lines beyond which one half laps over the other.
_CENTRES = ("centre-front", "center-front", "front-centre", "front-center", "cf")
_CENTRES += ("centre-back", "center-back", "back-centre", "back-center", "cb", "wrap-line")

# A centre line nearer to the middle than this part of the width lies in a whole piece, and
# what is on its smaller side is the other half and no overlap (common practice, no source).
_MIDDLE = 0.45


class LevelWidth(NamedTuple):
    """A piece at a level (mm).

    Args:
        piece, size, level: whose and where.
        across: from seam line to seam line over everything that is drawn, gaps of darts too.
        darts: name and width of each dart taken off.
        pleats: the same for pleats and tucks.
        beyond: what laps over a centre line.
        closed: darts that lie along the level and were closed to measure.
        ends: names of the edges at both ends.
        spots: both ends, (2,) each.
        on_fold: an end lies on the fold, so the piece is twice as wide.
        off: how far the drawn level is off square to the grain, degrees.
        way: "level" by its mark, "edge" along an edge of that name, "seam" carried over a seam.
        gathered: what the gathers of an edge take in.
    """

    piece: str
    size: str
    level: str
    across: float
    darts: Tuple[Tuple[str, float], ...] = ()
    pleats: Tuple[Tuple[str, float], ...] = ()
    beyond: float = 0.0
    closed: Tuple[str, ...] = ()
    ends: Tuple[Tuple[str, ...], Tuple[str, ...]] = ((), ())
    spots: Tuple[Tuple[float, float], ...] = ()
    on_fold: bool = False
    off: float = 0.0
    way: str = LEVEL
    gathered: float = 0.0

    @property
    def taken(self) -> float:
        """Darts, pleats and gathers together (mm)."""
        return sum(width for _, width in self.darts + self.pleats) + self.gathered

    @property
    def width(self) -> float:
        """What is left of it as sewn (mm): the piece once, without the other half of a fold."""
        return self.across - self.taken - self.beyond


def level_mark(piece: Piece, size: str, level: str) -> Optional[Mark]:
    """The mark of that name in a size; its own comes before one for all sizes; or None."""
    found = [
        mark
        for mark in piece.marks_for(size)
        if mark.kind == LEVEL and mark.name == level and mark.path is not None and len(mark.path)
    ]
    return max(found, key=lambda mark: bool(mark.size), default=None)


def level_names(piece: Piece, size: str) -> Tuple[str, ...]:
    """The names of a size's levels, each once, in the order of the drawing."""
    marks = [mark for mark in piece.marks_for(size) if mark.kind == LEVEL and mark.path is not None]
    return tuple(dict.fromkeys(mark.name for mark in marks if mark.name and mark.path))


def level_width(piece: Piece, size: str, level: str) -> LevelWidth:
    """How wide the piece is at its own level of that name.

    Where it has no such level but an edge of that name, such as a waist or a hem, it is measured
    along the edge as sewn.  ``InputError`` (no-level): it has neither; (open): the outline is open.
    """
    outline = piece.outline(size)
    mark = level_mark(piece, outline.size, level)
    if mark is not None and mark.path is not None:
        height, off = drawn_height(mark.path, grain_axis(piece, outline.size))
        return width_at(piece, size, level, height)._replace(off=off)
    if level in outline.names and level not in piece.darts:
        return along_edge(piece, size, level)
    names = level_names(piece, outline.size)
    raise InputError(
        "'{}' has no level called '{}'.".format(piece.name, level),
        "It has: {}.".format(", ".join(names)) if names else "It has none; name one of its lines a level.",
        code="no-level",
    )


def width_at(
    piece: Piece, size: str, level: str, height: float, axis: Optional[Axis] = None, way: str = LEVEL
) -> LevelWidth:
    """How wide the piece is at a height along the grain (mm); ``level`` is what it is called.

    Args:
        axis: the direction in which the height counts; the grain down the sheet when left out.

    ``InputError`` (open) for an open outline, (no-level) where the height misses the piece.
    """
    outline = piece.outline(size)
    _refuse_open(piece, outline)
    down = np.array(grain_axis(piece, outline.size) if axis is None else axis)
    line = LevelLine(down * height, np.array([down[1], -down[0]]))
    met = sorted(line.meets(outline.path), key=lambda one: one[0])
    cloth = _cloth(outline, line, [at for at, _ in met])
    if not cloth:
        raise InputError(
            "The level '{}' does not cross the seam line of '{}'.".format(level, piece.name),
            "Move it on to the piece.",
            code="no-level",
        )
    across_it, sideways = darts_on(piece, outline, line)
    cloth = without_mouths(cloth, sideways)
    gaps = [one for one in across_it if one.cut_in and is_gap(one, cloth)]
    drawn = [one for one in across_it if not one.cut_in and is_cloth(one, cloth)]
    across = sum(high - low for low, high in cloth) + sum(one.rest for one in sideways)
    across += sum(one.high - one.low for one in gaps)
    found = LevelWidth(
        piece.name,
        outline.size,
        level,
        across,
        tuple((one.name, one.high - one.low) for one in gaps + drawn),
        tuple(pleats_on(piece, outline, line, cloth)),
        _beyond(piece, outline, line, cloth),
        tuple(one.name for one in sideways),
        way=way,
    )
    spots = [line.on + at * line.along for at in (cloth[0][0], cloth[-1][1])]
    for one in sideways:
        spots[1 if one.sign > 0 else 0] = one.end
    return _ending(found, piece, outline, spots)


def centre_line(piece: Piece, size: str) -> Optional[Mark]:
    """The inner line beyond which one half laps over the other, or None."""
    for mark in piece.marks_for(size):
        if mark.kind == INNER and mark.path is not None and len(mark.path):
            if mark.name.lower().replace(" ", "-").replace("_", "-") in _CENTRES:
                return mark
    return None


def _refuse_open(piece: Piece, outline: Outline) -> None:
    if not outline.path.closed:
        raise InputError(
            "The seam line of '{}' is open, so it has no width.".format(piece.name),
            "Close it first.",
            code="open",
        )


# -- cloth on the line --------------------------------------------------------------------


def _cloth(outline: Outline, line: LevelLine, met: Sequence[float]) -> List[Tuple[float, float]]:
    """From where to where along the line there is cloth, in order; what runs on is one stretch."""
    found: List[Tuple[float, float]] = []
    for low, high in zip(met, met[1:]):
        if high - low <= TOUCH or not _inside(outline, line.on + (low + high) / 2.0 * line.along):
            continue
        if found and low - found[-1][1] <= TOUCH:
            found[-1] = (found[-1][0], high)
        else:
            found.append((low, high))
    return found


def _inside(outline: Outline, spot: np.ndarray) -> bool:
    """Whether a point lies in the piece or on its seam line, as a level along a straight hem does."""
    return bool(contains(outline.path, [spot])[0]) or nearest(outline.path, spot).distance <= ON


def _edges_at(outline: Outline, spot: np.ndarray) -> Tuple[str, ...]:
    """The names of the edges on which a point lies; two at a corner."""
    found = [
        edge.name
        for edge in outline.edges
        if nearest(outline.path.part(edge.start, edge.stop), spot).distance <= ON
    ]
    return tuple(dict.fromkeys(found))


def _ending(found: LevelWidth, piece: Piece, outline: Outline, spots: Sequence[np.ndarray]) -> LevelWidth:
    """With both ends, and whether one of them lies on the fold."""
    names = [tuple(n for n in _edges_at(outline, spot) if n != found.level) for spot in spots]
    return found._replace(
        ends=(names[0], names[1]),
        spots=tuple((float(spot[0]), float(spot[1])) for spot in spots),
        on_fold=any(name in piece.folds for end in names for name in end),
    )


# -- pleats and overlaps ------------------------------------------------------------------


def _beyond(piece: Piece, outline: Outline, line: LevelLine, cloth: Cloth) -> float:
    """The cloth (mm) beyond a centre line: on its smaller side."""
    mark = centre_line(piece, outline.size)
    if mark is None or mark.path is None:
        return 0.0
    met = [at for at, _ in line.meets(mark.path)]
    if not met:  # drawn short: it is meant to run on
        way = mark.path.end - mark.path.start
        across = float(way @ line.square)
        if abs(across) < ON:
            return 0.0
        part = float((line.on - mark.path.start) @ line.square) / across
        met = [float(line.at(mark.path.start + part * way)[0])]
    low, high = cloth[0][0], cloth[-1][1]
    if not low < met[0] < high:
        return 0.0
    left = sum(max(min(b, met[0]) - a, 0.0) for a, b in cloth)
    right = sum(b - a for a, b in cloth) - left
    return min(left, right) if min(left, right) < _MIDDLE * (left + right) else 0.0


# -- along an edge ------------------------------------------------------------------------


def along_edge(piece: Piece, size: str, edge: str) -> LevelWidth:
    """An edge: cut-in darts are no part of it; drawn ones, pleats, gathers and what laps over are taken off.

    What laps over is counted as flat cloth.
    """
    outline = piece.outline(size)
    runs = outline.runs(edge)
    darts = []
    for drawn in drawn_darts(piece, outline.size):
        feet = [leg.start for leg in drawn.legs]
        if not drawn.contour and any(
            all(nearest(run, foot).distance <= ON * 1e3 for foot in feet) for run in runs
        ):
            darts.append((drawn.name, drawn.intake))
    pleats = _folded_away(piece, outline, edge)
    found = LevelWidth(
        piece.name,
        outline.size,
        edge,
        outline.as_sewn(edge) + sum(width for _, width in pleats),
        tuple(darts),
        pleats,
        beyond=_beyond_on(piece, outline, edge),
        way="edge",
        gathered=taken(gathers_on(piece, outline, edge)),
    )
    return _ending(found, piece, outline, [runs[0].start, runs[-1].end])


def _folded_away(piece: Piece, outline: Outline, edge: str) -> Tuple[Tuple[str, float], ...]:
    """Name and width (mm) of the pleats that are folded into an edge."""
    found = []
    for mouth in fold_mouths(outline, piece.darts):
        if outline.edges[mouth.edges[0] - 1].name == edge:
            parts = [
                outline.path.part(one.start, one.stop) for one in (outline.edges[n] for n in mouth.edges)
            ]
            # With a peak its width is from foot to foot.
            wide = path_length(parts[0]) if len(parts) == 1 else np.hypot(*(parts[-1].end - parts[0].start))
            found.append((mouth.name, float(wide)))
    return tuple(found)


def _beyond_on(piece: Piece, outline: Outline, edge: str) -> float:
    """How much of an edge (mm, along it) lies beyond a centre line."""
    mark = centre_line(piece, outline.size)
    if mark is None or mark.path is None or np.hypot(*(mark.path.end - mark.path.start)) <= ON:
        return 0.0
    passed, whole = 0.0, outline.as_sewn(edge)
    for run in outline.runs(edge):
        for place in crossings_with_line(run, mark.path.start, mark.path.end - mark.path.start):
            at = passed + distance_of(run, place)
            smaller = min(at, whole - at)
            return smaller if ON < smaller < _MIDDLE * whole else 0.0
        passed += path_length(run)
    return 0.0
