"""Which point of one edge belongs to which point of another.

The same edge of two sizes is read with a ruler: either along the edge itself, or along
an axis laid beside it (the grain).  A ``Match`` says which reading on the second edge
belongs to a reading on the first; in between it is proportional.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry import cubic
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import curve_lengths, parameters_at
from sewkit.geometry.path import (
    Path,
    Place,
    cut,
    derivative,
    end_tangents,
    is_line,
    point,
    start_tangents,
    turns,
)
from sewkit.geometry.tolerance import EXACT, NO_HANDLE, SAME_POINT

# Joints that turn more than this (degrees) stay nodes.  A smaller kink disappears
# within the tolerance of a fit over a millimetre or two.
_KINK = 0.1


class Spots(NamedTuple):
    """Points ``(k, 2)`` and their change ``(k, 2)`` for each mm of the ruler."""

    points: np.ndarray
    change: np.ndarray


class Ruler(NamedTuple):
    """A path and the readings (mm) at its nodes, increasing.

    ``axis`` is the unit direction along which the readings are taken; ``None`` means
    along the path itself.
    """

    path: Path
    at_nodes: np.ndarray
    axis: Optional[np.ndarray]

    def curves_within(self, low: np.ndarray, high: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
        """Numbers of the first and the last curve between two readings."""
        top = len(self.path) - 1
        first = np.searchsorted(self.at_nodes, low + SAME_POINT, side="right") - 1
        last = np.searchsorted(self.at_nodes, high - SAME_POINT, side="left") - 1
        first = np.clip(first, 0, top)
        return first, np.clip(last, first, top)

    def locate(
        self, readings: np.ndarray, first: np.ndarray, last: np.ndarray
    ) -> Tuple[np.ndarray, np.ndarray]:
        """Curve numbers and parameters of readings ``(k,)``, within the given curves."""
        number = np.searchsorted(self.at_nodes[1:], readings, side="right")
        number = np.clip(number, first, last)
        curves = self.path.curves[number]
        if self.axis is None:
            lengths = self.at_nodes[number + 1] - self.at_nodes[number]
            rest = np.clip(readings - self.at_nodes[number], 0.0, lengths)
            return number, parameters_at(curves, lengths, rest)
        zero = np.zeros(len(number))
        return number, cubic.solve_between(curves @ self.axis, zero, zero + 1.0, readings)

    def place(self, reading: float) -> Place:
        """The place of one reading; near a node the node itself."""
        reading = float(np.clip(reading, self.at_nodes[0], self.at_nodes[-1]))
        near = int(np.abs(self.at_nodes - reading).argmin())
        if abs(self.at_nodes[near] - reading) <= SAME_POINT:
            return Place(near, 0.0) if near < len(self.path) else Place(near - 1, 1.0)
        top = np.array([len(self.path) - 1])
        number, t = self.locate(np.array([reading]), np.zeros(1, int), top)
        return Place(int(number[0]), float(t[0]))

    def spots(self, readings: np.ndarray, first: np.ndarray, last: np.ndarray) -> Spots:
        """Points at readings ``(k,)``, and how they move on as the reading grows."""
        number, t = self.locate(readings, first, last)
        curves = self.path.curves[number]
        along = derivative(curves, t)
        size = np.hypot(along[:, 0], along[:, 1])
        extent = np.ptp(curves, axis=1).max(axis=1)
        still = size <= NO_HANDLE * extent
        ends = np.where((t < 0.5)[:, None], start_tangents(curves), end_tangents(curves))
        along = np.where(still[:, None], ends, along / np.where(still, 1.0, size)[:, None])
        if self.axis is not None:
            # Square to the axis the change has no bound; this one only sets a direction.
            along = along / np.maximum(along @ self.axis, EXACT)[:, None]
        return Spots(point(curves, t), along)

    def breaks(self) -> np.ndarray:
        """Readings at inner nodes that are kinks, or where a straight stretch ends."""
        straight = is_line(self.path.curves)
        kept = (np.abs(turns(self.path)) > _KINK) | (straight[1:] != straight[:-1])
        return self.at_nodes[1:-1][kept]


class Match(NamedTuple):
    """Two rulers, and pairs ``(k, 2)`` of readings that belong together, increasing."""

    first: Ruler
    second: Ruler
    pairs: np.ndarray

    def across(self, readings: "np.typing.ArrayLike") -> np.ndarray:
        """Readings on the second path that belong to readings on the first."""
        return np.interp(readings, self.pairs[:, 0], self.pairs[:, 1])

    def back(self, readings: "np.typing.ArrayLike") -> np.ndarray:
        """Readings on the first path that belong to readings on the second."""
        return np.interp(readings, self.pairs[:, 1], self.pairs[:, 0])


def by_distance(first: Path, second: Path, marks: Sequence[Tuple[float, float]] = ()) -> Match:
    """Match two open paths by their length, section by section.

    Sections run between marks (pairs of distances, mm); and between joints, where both
    paths have equally many of them between two marks.
    """
    rulers = [_ruler_along(first), _ruler_along(second)]
    ends = [(0.0, 0.0)] + sorted((float(a), float(b)) for a, b in marks)
    ends.append((rulers[0].at_nodes[-1], rulers[1].at_nodes[-1]))
    pairs = [ends[0]]
    for (a0, b0), (a1, b1) in zip(ends, ends[1:]):
        if b1 < b0 - SAME_POINT or a1 < a0 - SAME_POINT:
            raise ValueError("the marks do not come in the same order on both edges")
        inner = [_inside(ruler.at_nodes, low, high) for ruler, low, high in zip(rulers, (a0, b0), (a1, b1))]
        joints = list(zip(*inner)) if len(inner[0]) == len(inner[1]) else []
        for pair in joints + [(a1, b1)]:
            if min(pair[0] - pairs[-1][0], pair[1] - pairs[-1][1]) > SAME_POINT:
                pairs.append(pair)
    pairs[-1] = ends[-1]
    return Match(rulers[0], rulers[1], np.array(pairs))


def by_coordinate(
    first: Path, second: Path, axis: np.ndarray, low: float, high: float
) -> Tuple[Match, List[Tuple[Place, Place]]]:
    """Match two open paths, between two heights along an axis, where they are as high.

    Both paths must run upward along the axis there.  Returns the match of those parts,
    and for each path the places between which its part lies.
    """
    windows = [_window(path, axis, low, high) for path in (first, second)]
    rulers = []
    for path, (start, stop) in zip((first, second), windows):
        part = cut(path, start, stop)
        heights = part.nodes @ axis
        heights[0], heights[-1] = low, high
        rulers.append(Ruler(part, heights, axis))
    inner = rulers[0].at_nodes[1:-1]
    gaps = np.abs(inner[:, None] - rulers[1].at_nodes[None, 1:-1])
    shared = inner[(gaps <= SAME_POINT).any(axis=1)]
    heights = np.concatenate([[low], shared, [high]])
    return Match(rulers[0], rulers[1], np.stack([heights, heights], axis=1)), windows


def _ruler_along(path: Path) -> Ruler:
    if path.closed or not len(path):
        raise ValueError("two edges to match must be open paths")
    return Ruler(path, np.concatenate([[0.0], np.cumsum(curve_lengths(path.curves))]), None)


def _inside(readings: np.ndarray, low: float, high: float) -> np.ndarray:
    """The readings truly between two others, each once."""
    readings = readings[(readings > low + SAME_POINT) & (readings < high - SAME_POINT)]
    return readings[np.diff(np.append(low, readings)) > SAME_POINT]


def _window(path: Path, axis: np.ndarray, low: float, high: float) -> Tuple[Place, Place]:
    """The places between which an open path climbs from one height to another."""
    start, stop = Place(0, 0.0), Place(len(path) - 1, 1.0)
    square = (-axis[1], axis[0])
    if path.end @ axis > high + SAME_POINT:
        tops = crossings_with_line(path, high * axis, square)
        stop = _on_node(path, tops[0]) if tops else stop
    if path.start @ axis < low - SAME_POINT:
        feet = [p for p in crossings_with_line(path, low * axis, square) if p < stop]
        start = _on_node(path, feet[-1]) if feet else start
    if not start < stop:
        raise ValueError("the edge does not run along the axis inside the taper")
    part = cut(path, start, stop)
    if max(abs(part.start @ axis - low), abs(part.end @ axis - high)) > 2 * SAME_POINT:
        raise ValueError("the edge does not reach along the whole taper")
    heights = part.curves @ axis
    cuts = cubic.turning(heights)
    steps = np.diff(np.stack([cubic.value(heights, cuts[:, k]) for k in range(4)]), axis=0)
    if (steps < -EXACT).any():
        raise ValueError("the edge turns back along the axis inside the taper")
    return start, stop


def _on_node(path: Path, place: Place) -> Place:
    """The node a place lies on, if it does; otherwise the place."""
    number, t = place
    curve = path.curves[number]
    here = point(curve[None], t)[0]
    if np.hypot(*(here - curve[0])) <= SAME_POINT:
        return Place(number, 0.0)
    if np.hypot(*(here - curve[3])) <= SAME_POINT:
        return Place(number + 1, 0.0) if number + 1 < len(path) else Place(number, 1.0)
    return place
