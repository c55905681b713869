"""Where a swing from size to size begins and ends: in words, by nodes, by levels.

Two customs.  *Long*: leave the old line about 50 mm (2 in) after the meeting end, such as
the armhole, and arrive at the landmark; the softest line.  *Short*: keep the old line
until about 50 mm before the landmark.  (The 2 in: common practice in teaching; begin
crossing 2 in below the armhole, arrive at the waist.)
"""

import re
from typing import Dict, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import distance_of, path_length, point_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, lines
from sewkit.pattern.mark import GRAIN, LEVEL, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.swing import Band, Window, level_distance
from sewkit.units import parse_length

# A swing shorter than this cannot be drawn as a curve (mm).
_LEAST = 5.0

# An edge whose height along the grain is less than this part of its reach runs across
# it: a shoulder slopes by 20 degrees or so, a side seam stands.
_ACROSS = 0.5

# A level and a length beyond it, as in waist+220mm; the body's hip lies where it lies.
_BEYOND = re.compile(r"^(.+?)([+-])(\d[^+-]*)$")


class Span(NamedTuple):
    """A window on an edge, and the level it arrives at, if it is a named one."""

    window: Window
    level: str


def grain_axis(piece: Piece, size: str) -> Tuple[float, float]:
    """The unit direction of the grain, pointing down the sheet; straight down without one."""
    for mark in piece.marks_for(size):
        if mark.kind == GRAIN and mark.path is not None and len(mark.path):
            dx, dy = mark.shaft.end - mark.shaft.start
            size_ = float(np.hypot(dx, dy))
            if size_ > 1.0:
                sign = -1.0 if dy < 0 or (dy == 0 and dx < 0) else 1.0
                return (sign * dx / size_, sign * dy / size_)
    return (0.0, 1.0)


def begins_at_end(outline: Outline, edge: str, axis: Tuple[float, float]) -> bool:
    """Whether an edge's upper end, where the first size holds, is its end in path order."""
    runs = outline.runs(edge)
    way = np.array(axis)
    return bool(runs[0].start @ way > runs[-1].end @ way)


def span_in_words(
    outline: Outline,
    marks: Sequence[Mark],
    edge: str,
    from_end: bool,
    custom: str,
    lead: float,
    until: str,
    axis: Optional[Tuple[float, float]] = None,
) -> Span:
    """The window for one edge.

    Args:
        custom: "long" or "short".
        lead: how long the old line is kept after the meeting end, or how far before the
            landmark it is left (mm).
        until: a level's name, a length from the meeting end, or "" for the edge's end.
        axis: the unit direction along which lengths are measured; None for along the edge.
    """
    length = outline.as_sewn(edge)
    if axis is not None and runs_across(outline, edge, axis):
        raise InputError(
            "The edge '{}' runs across the grain, so nothing can be measured along the grain there.".format(
                edge
            ),
            "Measure along the edge.",
            code="span",
        )
    stop, level = _landmark(outline, marks, edge, from_end, until, axis)
    if axis is None:
        start = lead if custom == "long" else stop - lead
    else:
        offset = (
            lead if custom == "long" else offsets(outline, edge, Window(0.0, stop, from_end), axis)[1] - lead
        )
        start = -1.0 if offset < 0 else window_at(outline, edge, from_end, (offset, offset), axis).start
    if start < -1e-6 or stop - start < _LEAST:
        raise InputError(
            "There is no room for the swing on '{}': "
            "it would run from {:.0f} to {:.0f} mm of its {:.0f} mm.".format(edge, start, stop, length),
            "Leave the old line earlier, or arrive later.",
            code="span",
        )
    return Span(Window(max(start, 0.0), stop, from_end), level)


def _landmark(
    outline: Outline,
    marks: Sequence[Mark],
    edge: str,
    from_end: bool,
    until: str,
    axis: Optional[Tuple[float, float]],
) -> Tuple[float, str]:
    length = outline.as_sewn(edge)
    if not until:
        return length, ""
    for mark in marks:
        if mark.kind == LEVEL and mark.name == until:
            distance = level_distance(outline, edge, mark, from_end)
            if distance is None:
                raise InputError(
                    "The level '{}' does not cross the edge '{}'.".format(until, edge),
                    "Draw it across the whole piece, or name another.",
                    code="no-level",
                )
            return distance, until
    beyond = beyond_level(outline, marks, edge, from_end, until)
    if beyond is not None:
        return beyond, ""
    try:
        distance = parse_length(until)
    except InputError:
        known = sorted({m.name for m in marks if m.kind == LEVEL and m.name})
        raise InputError(
            "There is no level called '{}' on this piece.".format(until),
            "Its levels are: {}. A length such as 200mm does as well.".format(", ".join(known) or "none"),
            code="no-level",
        ) from None
    room = length if axis is None else offsets(outline, edge, Window(0.0, length, from_end), axis)[1]
    if not 0 < distance <= room + 1e-6:
        raise InputError(
            "{} is not on the edge '{}', which is {:.0f} mm long.".format(until, edge, room),
            "Give a length from its upper end.",
            code="span",
        )
    if axis is not None:
        distance = window_at(outline, edge, from_end, (0.0, distance), axis).stop
    return min(distance, length), ""


def beyond_level(
    outline: Outline, marks: Sequence[Mark], edge: str, from_end: bool, until: str
) -> Optional[float]:
    """The distance to a place such as waist+220mm: square beyond a level, away from the meeting end."""
    found = _BEYOND.match(until)
    level = next(
        (m for m in marks if m.kind == LEVEL and found and m.name == found.group(1) and m.path), None
    )
    if found is None or level is None or level.path is None:
        return None
    away = parse_length(found.group(2) + found.group(3))
    runs, along = outline.runs(edge), level.path.end - level.path.start
    square = np.array([-along[1], along[0]]) / float(np.hypot(*along))
    way = (runs[-1].end - runs[0].start) * (-1.0 if from_end else 1.0)
    spot = level.path.start + square * (away if float(square @ way) > 0 else -away)
    moved = Mark(LEVEL, path=Path(lines(spot[None], (spot + along)[None])))
    distance = level_distance(outline, edge, moved, from_end)
    if distance is None:
        raise InputError(
            "The edge '{}' does not reach {}.".format(edge, until), "Name a place on it.", code="no-level"
        )
    return distance


def offsets(outline: Outline, edge: str, window: Window, axis: Tuple[float, float]) -> Tuple[float, float]:
    """How far along an axis (mm) both ends of a window lie from the edge's meeting end."""
    runs, whole, way = outline.runs(edge), outline.as_sewn(edge), np.array(axis)
    meeting = _height(runs, whole if window.from_end else 0.0, way)
    ends = [whole - d if window.from_end else d for d in (window.start, window.stop)]
    start, stop = (abs(_height(runs, distance, way) - meeting) for distance in ends)
    return start, stop


def window_at(
    outline: Outline, edge: str, from_end: bool, wanted: Tuple[float, float], axis: Tuple[float, float]
) -> Window:
    """The window whose ends lie so far along an axis (mm) from the edge's meeting end.

    What lies beyond the edge is taken at its far end.
    """
    runs, whole, way = outline.runs(edge), outline.as_sewn(edge), np.array(axis)
    meeting, far = (_height(runs, d, way) for d in ((whole, 0.0) if from_end else (0.0, whole)))
    across = np.array([-way[1], way[0]])
    found = []
    for offset in wanted:
        spot = way * (meeting + (offset if far > meeting else -offset))
        line = Mark(LEVEL, path=Path(lines(spot[None], (spot + across)[None])))
        distance = level_distance(outline, edge, line, from_end) if offset > 0 else 0.0
        found.append(whole if distance is None else distance)
    return Window(found[0], found[1], from_end)


def span_by_nodes(
    first: Outline, second: Outline, nodes: Sequence[Tuple[str, np.ndarray]]
) -> Tuple[str, Window]:
    """The edge and the window between two clicked nodes.

    ``nodes``: for each, "first" or "second" for the line it was clicked on, and its
    point.  The first click is where the old line is left.
    """
    if len(nodes) != 2:
        raise InputError(
            "{} nodes are selected.".format(len(nodes)),
            "Select two: where the first line is left and where the second is reached; or none.",
            code="choice",
        )
    for name in first.names:
        places = [_on_edge(first, second, name, line, spot) for line, spot in nodes]
        if None not in places and abs(places[0] - places[1]) >= _LEAST:  # type: ignore[operator]
            start, stop = places
            length = first.as_sewn(name)
            if start > stop:  # type: ignore[operator]
                return name, Window(length - start, length - stop, True)  # type: ignore[operator]
            return name, Window(start, stop)  # type: ignore[arg-type]
    raise InputError(
        "The two selected nodes do not lie on one edge, at least {:.0f} mm apart.".format(_LEAST),
        "Select two nodes between the same two corners.",
        code="choice",
    )


def _on_edge(first: Outline, second: Outline, name: str, line: str, spot: np.ndarray) -> Optional[float]:
    """A clicked node's distance along the first line's edge, or None if it is not on it."""
    outline = first if line == "first" else second
    runs = outline.runs(name)
    if len(runs) != 1:
        return None
    found = nearest(runs[0], spot)
    if found.distance > 1e-3:
        return None
    distance = distance_of(runs[0], found.place)
    if line == "first":
        return distance
    return distance * first.as_sewn(name) / path_length(runs[0])


def runs_across(outline: Outline, edge: str, axis: Tuple[float, float]) -> bool:
    """Whether an edge, such as a shoulder, runs across the grain more than along it."""
    along, size = _chord(outline, edge)
    return size > 0 and abs(float(along @ np.array(axis))) < _ACROSS * size


def _chord(outline: Outline, edge: str) -> Tuple[np.ndarray, float]:
    runs = outline.runs(edge)
    along = runs[-1].end - runs[0].start
    return along, float(np.hypot(*along))


def band_of(outline: Outline, edge: str, window: Window, axis: Tuple[float, float]) -> Band:
    """The window of an edge as heights along the grain; of an edge across it, along the edge."""
    if runs_across(outline, edge, axis):
        along, size = _chord(outline, edge)
        axis = (float(along[0]) / size, float(along[1]) / size)
    runs = outline.runs(edge)
    whole = outline.as_sewn(edge)
    heights = []
    for distance in (window.start, window.stop):
        distance = whole - distance if window.from_end else distance
        heights.append(_height(runs, distance, np.array(axis)))
    if abs(heights[0] - heights[1]) < _LEAST / 2:
        raise InputError(
            "The edge '{}' turns back on itself where it is to swing.".format(edge),
            "Choose another span.",
            code="span",
        )
    if heights[0] > heights[1]:
        return Band((-axis[0], -axis[1]), -heights[0], -heights[1])
    return Band(axis, heights[0], heights[1])


def _height(runs: Sequence[Path], distance: float, axis: np.ndarray) -> float:
    for run in runs:
        length = path_length(run)
        if distance <= length or run is runs[-1]:
            return float(point_at(run, min(distance, length)) @ axis)
        distance -= length
    raise ValueError("the piece has no such edge")


def shifted_band(band: Band, here: Piece, there: Piece, size: str, level: str) -> Band:
    """The same band on another piece, lined up at a level both have.

    ``level`` is tried first, then any level name in common; ``InputError`` without one.
    The other piece may lie turned on the sheet: its own grain counts, and two levels in
    common tell which way is down.
    """
    mine = _levels(here, size, band.axis)
    own, other = np.array(grain_axis(here, size)), np.array(grain_axis(there, size))
    if abs(own @ band.axis) < 0.99:
        raise InputError(
            "'{}' cannot follow an edge that swings across the grain.".format(there.name),
            "Sew it to the edge (Names > Pair two edges), or blend it by itself.",
            code="no-level",
        )
    axis = other if own @ band.axis > 0 else -other
    theirs = _levels(there, size, axis)
    common = [name for name in [level] + sorted(set(mine) & set(theirs)) if name in mine and name in theirs]
    if not common:
        raise InputError(
            "'{}' has no level line in common with '{}', "
            "so the height of the swing is not known there.".format(there.name, here.name),
            "Draw a level line, such as the waist, on both.",
            code="no-level",
        )
    first = common[0]
    lean = sum((mine[name] - mine[first]) * (theirs[name] - theirs[first]) for name in common)
    if lean < 0:
        axis, theirs = -axis, {name: -height for name, height in theirs.items()}
    shift = theirs[first] - mine[first]
    return Band((float(axis[0]), float(axis[1])), band.start + shift, band.stop + shift)


def _levels(piece: Piece, size: str, axis: "np.typing.ArrayLike") -> Dict[str, float]:
    return {
        mark.name: float(mark.middle @ np.asarray(axis))
        for mark in piece.marks_for(size)
        if mark.kind == LEVEL and mark.name and mark.path is not None and len(mark.path)
    }
