"""A curve that leaves one edge and arrives at another: from one size to the next.

    ramp = Ramp(50.0, 200.0)                        # leave at 50 mm, arrive at 200 mm
    along_edge(small, large, ramp)                  # 50 mm measured along the edge
    along_axis(small, large, ramp, axis=(0, 1))     # 50 mm measured down the grain

The result is ``A + w (B - A)``, A and B points that belong together.  Where the weight w
stays 0 or 1 the parent's own curves are copied; only the ramp is fitted.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.fit import fit_spans
from sewkit.geometry.matching import Match, by_coordinate, by_distance
from sewkit.geometry.path import Path, Place, cut, is_line, lines
from sewkit.geometry.tolerance import FIT, SAME_POINT


class Ramp(NamedTuple):
    """A weight that goes softly from ``low`` to ``high`` between two readings (mm).

    0 is the first edge, 1 the second; 0.4 lies 40 % of the way.
    """

    start: float
    stop: float
    low: float = 0.0
    high: float = 1.0

    def weight(self, readings: "np.typing.ArrayLike") -> np.ndarray:
        """The weight at readings: ``u^2 (3 - 2 u)``, level at both ends."""
        u = self._share(readings)
        return self.low + (self.high - self.low) * u * u * (3.0 - 2.0 * u)

    def slope(self, readings: "np.typing.ArrayLike") -> np.ndarray:
        """The change of the weight for each mm."""
        u = self._share(readings)
        return (self.high - self.low) * 6.0 * u * (1.0 - u) / (self.stop - self.start)

    def _share(self, readings: "np.typing.ArrayLike") -> np.ndarray:
        readings = np.asarray(readings, np.float64)
        return np.clip((readings - self.start) / (self.stop - self.start), 0.0, 1.0)


class _Sections(NamedTuple):
    """Stretches without a kink: readings on both paths, numbers of the curves, arrays."""

    low: np.ndarray
    high: np.ndarray
    other_low: np.ndarray
    other_high: np.ndarray
    first: Tuple[np.ndarray, np.ndarray]
    second: Tuple[np.ndarray, np.ndarray]


def between(
    first: Path,
    second: Path,
    weight: float,
    matches: Sequence[Tuple[float, float]],
    span: Tuple[float, float],
    tolerance: float = FIT,
) -> Path:
    """Go from the first edge toward the second inside ``span``, as far as ``weight``.

    Short for ``along_edge`` with a ramp from 0 to ``weight``.
    """
    return along_edge(first, second, Ramp(span[0], span[1], 0.0, weight), matches, tolerance)


def along_edge(
    first: Path,
    second: Path,
    ramp: Ramp,
    marks: Sequence[Tuple[float, float]] = (),
    tolerance: float = FIT,
) -> Path:
    """Go from one open edge to another, measuring along the first from its start.

    Args:
        first, second: the same edge of two sizes, running the same way.
        ramp: distances along ``first``, mm; it may begin before the edge or end after it.
        marks: pairs of distances along both edges that belong together, as notches do.
            Between them points are matched by their share of the length; and from joint
            to joint, where both edges have equally many.
        tolerance: largest distance of the fitted ramp from the true curve, mm.
    """
    _check(ramp)
    match = by_distance(first, second, marks)
    length = match.first.at_nodes[-1]
    low = 0.0 if _is_mixed(ramp.low) else float(np.clip(ramp.start, 0.0, length))
    high = length if _is_mixed(ramp.high) else float(np.clip(ramp.stop, 0.0, length))
    windows = [
        (match.first.place(low), match.first.place(high)),
        (match.second.place(float(match.across(low))), match.second.place(float(match.across(high)))),
    ]
    return _assemble(match, (first, second), windows, ramp, (low, high), tolerance)


def along_axis(
    first: Path,
    second: Path,
    ramp: Ramp,
    axis: "np.typing.ArrayLike",
    tolerance: float = FIT,
) -> Path:
    """Go from one open edge to another, measuring along an axis such as the grain.

    Points belong together that lie equally far along the axis; ``ramp`` holds such
    coordinates, ``point . axis`` in mm, whichever way the edges run.  ``ValueError`` where
    an edge does not run steadily along the axis inside the ramp.
    """
    _check(ramp)
    axis = _unit_axis(axis)
    if (first.end - first.start) @ axis < 0:
        return along_axis(first.reverse(), second.reverse(), ramp, axis, tolerance).reverse()
    if not _is_mixed(ramp.high) and ramp.stop <= min(first.start @ axis, second.start @ axis):
        return (first, second)[int(ramp.high)]
    if not _is_mixed(ramp.low) and ramp.start >= max(first.end @ axis, second.end @ axis):
        return (first, second)[int(ramp.low)]
    low, high = _heights(first, second, ramp, axis)
    match, windows = by_coordinate(first, second, axis, low, high)
    return _assemble(match, (first, second), windows, ramp, (low, high), tolerance)


def matched(
    first: Path,
    second: Path,
    ramp: Ramp,
    marks: Sequence[Tuple[float, float]] = (),
    axis: Optional["np.typing.ArrayLike"] = None,
    count: int = 65,
) -> Tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Points ``(count, 2)`` of both edges that belong together inside the ramp.

    Between them, evenly spaced; with ``axis`` as ``along_axis`` matches them, else as
    ``along_edge`` does.  The third array holds the first edge's directions there.
    """
    _check(ramp)
    if axis is None:
        match = by_distance(first, second, marks)
        low, high = np.clip((ramp.start, ramp.stop), 0.0, match.first.at_nodes[-1])
    else:
        axis = _unit_axis(axis)
        if (first.end - first.start) @ axis < 0:
            first, second = first.reverse(), second.reverse()
        low, high = _heights(first, second, ramp._replace(low=0.0, high=1.0), axis)
        match, _ = by_coordinate(first, second, axis, low, high)
    readings = np.linspace(low, high, count)
    ones, others = np.zeros(count, int), np.full(count, len(match.first.path) - 1)
    here = match.first.spots(readings, ones, others)
    others = np.full(count, len(match.second.path) - 1)
    there = match.second.spots(match.across(readings), ones, others)
    return here.points, there.points, here.change


def _check(ramp: Ramp) -> None:
    if not np.isfinite(ramp).all():
        raise ValueError("a ramp holds only finite numbers")
    if not ramp.stop - ramp.start > 2 * SAME_POINT:
        raise ValueError("a ramp must stop after it starts")


def _unit_axis(axis: "np.typing.ArrayLike") -> np.ndarray:
    axis = np.asarray(axis, np.float64).reshape(2)
    size = np.hypot(axis[0], axis[1])
    if not size > 0:
        raise ValueError("an axis needs a direction")
    return axis / size


def _is_mixed(weight: float) -> bool:
    return weight not in (0.0, 1.0)


def _heights(first: Path, second: Path, ramp: Ramp, axis: np.ndarray) -> Tuple[float, float]:
    """Between which coordinates the edges must be matched.

    Where that reaches an end, both edges must end at the same coordinate.
    """
    bottoms, tops = (first.start @ axis, second.start @ axis), (first.end @ axis, second.end @ axis)
    low = min(bottoms) if _is_mixed(ramp.low) else ramp.start
    high = max(tops) if _is_mixed(ramp.high) else ramp.stop
    if (low < max(bottoms) and abs(bottoms[0] - bottoms[1]) > SAME_POINT) or (
        high > min(tops) and abs(tops[0] - tops[1]) > SAME_POINT
    ):
        raise ValueError(
            "the two edges do not end at the same height, where the ramp needs them to; "
            "measure along the edge instead"
        )
    return float(max(low, *bottoms)), float(min(high, *tops))


def _assemble(
    match: Match,
    parents: Tuple[Path, Path],
    windows: Sequence[Tuple[Place, Place]],
    ramp: Ramp,
    heights: Tuple[float, float],
    tolerance: float,
) -> Path:
    """Copy up to the window, mix inside it, and copy from there on."""
    if ramp.low == ramp.high and not _is_mixed(ramp.low):
        return parents[int(ramp.low)]
    before = after = np.zeros((0, 4, 2))
    if not _is_mixed(ramp.low):
        number = int(ramp.low)
        before = _copy(parents[number], Place(0, 0.0), windows[number][0])
    if not _is_mixed(ramp.high):
        number = int(ramp.high)
        last = Place(len(parents[number]) - 1, 1.0)
        after = _copy(parents[number], windows[number][1], last)
    middle = np.zeros((0, 4, 2))
    if heights[1] - heights[0] > 2 * SAME_POINT:
        middle = _mix(match, ramp, _sections(match, ramp, heights), tolerance)
        middle[1:, 0] = middle[:-1, 3]
        middle[:1, 0] = before[-1, 3] if len(before) else middle[:1, 0]
        middle[-1:, 3] = after[0, 0] if len(after) else middle[-1:, 3]
    return Path(np.concatenate([before, middle, after]))


def _copy(path: Path, start: Place, stop: Place) -> np.ndarray:
    return cut(path, start, stop).curves if start < stop else np.zeros((0, 4, 2))


def _sections(match: Match, ramp: Ramp, heights: Tuple[float, float]) -> _Sections:
    """Cut the window where the result has a kink or changes its making."""
    wanted = [match.pairs[:, 0], match.first.breaks(), match.back(match.second.breaks())]
    if ramp.low != ramp.high:
        wanted.insert(0, np.array([ramp.start, ramp.stop]))
    kept = list(heights)
    for reading in np.concatenate(wanted):
        if heights[0] < reading < heights[1]:
            if min(abs(reading - other) for other in kept) > 2 * SAME_POINT:
                kept.append(float(reading))
    cuts = np.array(sorted(kept))
    others = match.across(cuts)
    return _Sections(
        cuts[:-1],
        cuts[1:],
        others[:-1],
        others[1:],
        match.first.curves_within(cuts[:-1], cuts[1:]),
        match.second.curves_within(others[:-1], others[1:]),
    )


def _mix(match: Match, ramp: Ramp, sections: _Sections, tolerance: float) -> np.ndarray:
    """The curves of all sections, in order: combined where that is exact, else fitted."""
    made: List[Optional[np.ndarray]] = [
        _combined(match, ramp, sections, row) for row in range(len(sections.low))
    ]
    rows = np.array([row for row, curves in enumerate(made) if curves is None], int)

    def exact(owner: np.ndarray, u: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
        row = np.repeat(owner, u.shape[1])
        points, change = _true_curve(match, ramp, sections, row, u.reshape(-1))
        size = np.hypot(change[:, 0], change[:, 1])
        along = change / np.where(size > 0, size, 1.0)[:, None]
        whole, ways = (v[:, 0] + 1j * v[:, 1] for v in (points, along))
        return whole.reshape(u.shape), ways.reshape(u.shape)

    fitted = fit_spans(exact, rows, sections.low[rows], sections.high[rows], tolerance)
    for number, row in enumerate(rows):
        made[row] = fitted.curves[fitted.span == number]
    return np.concatenate([curves for curves in made if curves is not None])


def _true_curve(
    match: Match, ramp: Ramp, sections: _Sections, row: np.ndarray, u: np.ndarray
) -> Tuple[np.ndarray, np.ndarray]:
    """Points ``(k, 2)`` of A + w (B - A) and their change for each mm, seen from a section."""
    low, other_low = sections.low[row], sections.other_low[row]
    rate = (sections.other_high[row] - other_low) / (sections.high[row] - low)
    a = match.first.spots(u, sections.first[0][row], sections.first[1][row])
    b = match.second.spots(other_low + rate * (u - low), sections.second[0][row], sections.second[1][row])
    w, dw = ramp.weight(u)[:, None], ramp.slope(u)[:, None]
    shift = b.points - a.points
    change = a.change + w * (rate[:, None] * b.change - a.change) + dw * shift
    return a.points + w * shift, change


def _combined(match: Match, ramp: Ramp, sections: _Sections, row: int) -> Optional[np.ndarray]:
    """The exact curve ``(1, 4, 2)`` of a section with an unchanging weight, if there is one.

    Two straight lines give a straight line.  Two whole curves give the mix of their
    control points, provided the parameter matches them as the rulers do.
    """
    low, high = sections.low[row], sections.high[row]
    if ramp.low != ramp.high and ramp.start < 0.5 * (low + high) < ramp.stop:
        return None
    curves = []
    for ruler, (first, last), readings in (
        (match.first, sections.first, (low, high)),
        (match.second, sections.second, (sections.other_low[row], sections.other_high[row])),
    ):
        if first[row] != last[row]:
            return None
        nodes = ruler.at_nodes[first[row] : first[row] + 2]
        whole = np.abs(nodes - readings).max() <= 2 * SAME_POINT
        curves.append((ruler.path.curves[first[row]][None], whole))
    (a, a_whole), (b, b_whole) = curves
    if is_line(a)[0] and is_line(b)[0]:
        ends, _ = _true_curve(match, ramp, sections, np.array([row, row]), np.array([low, high]))
        return lines(ends[:1], ends[1:])
    axis = match.first.axis
    level = axis is None or np.abs((b - a) @ axis).max() <= SAME_POINT
    if not (a_whole and b_whole and level):
        return None
    return a + ramp.weight(0.5 * (low + high)) * (b - a)
