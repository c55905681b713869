"""Runs along whole lines joined to one closed path, exact but for the gaps."""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.cubic import solve_between
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, cut, is_line
from sewkit.geometry.path import lines as straight
from sewkit.geometry.tolerance import EXACT, SAME_POINT
from sewkit.sheet.drawn import Gap, Whole
from sewkit.sheet.nest_shapes import SILENT, Shapes, steps_of

# Readings along a line that differ by less are one (mm).
_SAME = 1e-6


class Run(NamedTuple):
    """A stretch of a line, from one reading (mm along) to another; backwards where it falls.

    On a closed line a reading may lie beyond its length: the stretch runs through its start.
    """

    line: int
    start: float
    stop: float

    def reverse(self) -> "Run":
        """The other way."""
        return Run(self.line, self.stop, self.start)

    def goes_on(self, other: "Run") -> bool:
        """Whether another run of the same line begins where this one stops, the same way."""
        same_way = (self.stop > self.start) == (other.stop > other.start)
        return same_way and abs(self.stop - other.start) < _SAME

    def with_stop(self, other: "Run") -> "Run":
        """Both as one."""
        return Run(self.line, self.start, other.stop)


def run_points(shapes: Shapes, run: Run) -> np.ndarray:
    """The run as points ``(k, 2)``, both ends among them."""
    points, along = shapes.points[run.line], shapes.along[run.line]
    low, high = sorted((run.start, run.stop))
    if high > along[-1] + _SAME:
        points = np.vstack([points, points[1:]])
        along = np.concatenate([along, along[1:] + along[-1]])
    between = (along > low + _SAME) & (along < high - _SAME)
    readings = np.concatenate([[low], along[between], [high]])
    found = np.stack([np.interp(readings, along, points[:, k]) for k in (0, 1)], axis=1)
    return found if run.start <= run.stop else found[::-1]


def joined(
    lines: Sequence[Whole], shapes: Shapes, runs: Sequence[Run], spots: Optional[np.ndarray]
) -> Tuple[Path, Tuple[Gap, ...]]:
    """One closed path, and the gaps wider than ``SILENT`` that were bridged.

    ``spots`` ``(k, 2)``: where lines end on others; cuts are made there, not at readings.
    """
    parts, whole = [], []
    for run in runs:
        is_whole = not lines[run.line].path.closed and {run.start, run.stop} == {
            0.0,
            float(shapes.lengths[run.line]),
        }
        part = _part(lines[run.line].path, shapes, run, spots, is_whole)
        if part is not None:
            whole.append(is_whole)
            parts.append(part)
    gaps: List[Gap] = []
    curves = [np.array(part.curves) for part in parts]
    for number in range(len(curves)):
        following = (number + 1) % len(curves)
        here, there = curves[number][-1, 3], curves[following][0, 0]
        width = float(np.hypot(*(there - here)))
        if width > SILENT:
            middle = (here + there) / 2
            gaps.append(Gap((float(middle[0]), float(middle[1])), width))
            curves[number] = np.concatenate([curves[number], straight([here], [there])])
        else:
            _meet(curves[number], curves[following], whole[number], whole[following])
    path = np.concatenate(curves)
    extent = np.ptp(path, axis=1).max(axis=1)
    path = path[extent > SAME_POINT]
    path[:-1, 3], path[-1, 3] = path[1:, 0], path[0, 0]
    return Path(path, True), tuple(gaps)


def _part(
    path: Path, shapes: Shapes, run: Run, spots: Optional[np.ndarray], is_whole: bool
) -> Optional[Path]:
    """The exact curves of a run; None where it is too short to have any.

    Of a run that is shorter than a cut may move, both ends would move to one spot, or past
    each other: it is cut at its readings.
    """
    if is_whole:
        return path if run.start <= run.stop else path.reverse()
    scale = _scale(path, shapes, run.line)
    for near_to in (spots, None):
        low, high = (_place(path, scale, at, near_to) for at in sorted((run.start, run.stop)))
        if _in_order(path, scale, run, low, high):
            part = cut(path, low, high)
            return part if run.start <= run.stop else part.reverse()
    return None


class _Scale(NamedTuple):
    """The points of a path, how far along it each lies (mm), and the first one of each curve."""

    points: np.ndarray
    along: np.ndarray
    first: np.ndarray

    @property
    def length(self) -> float:
        """Of the whole path (mm)."""
        return float(self.along[-1])

    def reading(self, place: Place) -> float:
        """How far along the path a place lies (mm)."""
        low, high = self.first[place.curve], self.first[place.curve + 1]
        return float(np.interp(low + place.t * (high - low), np.arange(len(self.along)), self.along))

    def place(self, reading: float) -> Place:
        """The place at a reading, as near as the points tell."""
        number = float(np.interp(reading, self.along, np.arange(len(self.along))))
        curve = int(np.clip(np.searchsorted(self.first, number, "right") - 1, 0, len(self.first) - 2))
        low, high = self.first[curve], self.first[curve + 1]
        return Place(curve, float((number - low) / (high - low)))


def _scale(path: Path, shapes: Shapes, line: int) -> _Scale:
    first = np.concatenate([[0], np.cumsum(steps_of(path.curves))])
    return _Scale(shapes.points[line], shapes.along[line], first)


def _in_order(path: Path, scale: _Scale, run: Run, low: Place, high: Place) -> bool:
    """Whether a run from one place to another is about as long as the run should be."""
    rises = (high.curve, high.t) > (low.curve, low.t)
    if not path.closed:
        return rises
    # As ``cut`` takes it: through the start where the places do not rise.
    length = scale.reading(high) - scale.reading(low) + (0.0 if rises else scale.length)
    return abs(length - abs(run.stop - run.start)) <= scale.length / 4


def _place(path: Path, scale: _Scale, reading: float, spots: Optional[np.ndarray]) -> Place:
    """The exact place of a reading: nearest to the spot that gave it."""
    points, along = scale.points, scale.along
    if not path.closed and reading <= _SAME:
        return Place(0, 0.0)
    if not path.closed and reading >= along[-1] - _SAME:
        return Place(len(path) - 1, 1.0)
    reading = reading % along[-1]
    here = np.array([np.interp(reading, along, points[:, k]) for k in (0, 1)])
    if spots is not None and len(spots):
        away = np.hypot(*(spots - here).T)
        if away.min() <= 2 * SILENT:
            here = spots[int(away.argmin())]
    found = _nearest(path, here)
    # Where a line comes by the same spot twice, its reading tells which time is meant.
    off = abs(scale.reading(found) - reading)
    if min(off, scale.length - off if path.closed else off) > 4 * SILENT:
        return scale.place(reading)
    return found


def _nearest(path: Path, here: np.ndarray) -> Place:
    """The place on a path nearest to a point ``(2,)``; a node where it is one."""
    away = np.abs(path.nodes - here).max(axis=1)
    node = int(away.argmin())
    if away[node] <= EXACT:
        return Place(node, 0.0) if node < len(path) else Place(node - 1, 1.0)
    if len(path) == 1 and is_line(path.curves)[0]:
        chord = path.end - path.start
        share = float(np.dot(here - path.start, chord) / np.dot(chord, chord))
        return Place(0, _parameter(path.curves[0], min(max(share, 0.0), 1.0)))
    return nearest(path, here).place


def _parameter(curve: np.ndarray, share: float) -> float:
    """The parameter at a part of a straight curve's length, however its handles lie."""
    chord = curve[3] - curve[0]
    along = ((curve - curve[0]) @ chord / np.dot(chord, chord))[None]
    return float(solve_between(along, np.zeros(1), np.ones(1), np.array([share]))[0])


def _meet(first: np.ndarray, second: np.ndarray, first_whole: bool, second_whole: bool) -> None:
    """Make the end of one run and the start of the next one point; a line's own end gives way."""
    here, there = first[-1, 3].copy(), second[0, 0].copy()
    if first_whole == second_whole:
        spot = here if np.hypot(*(there - here)) <= SAME_POINT else (here + there) / 2
    else:
        spot = there if first_whole else here
    _move_end(first, spot)
    _move_start(second, spot)


def _move_end(curves: np.ndarray, spot: np.ndarray) -> None:
    shift = spot - curves[-1, 3]
    if is_line(curves[-1:])[0]:
        curves[-1:] = straight(curves[-1:, 0], spot[None])
    else:
        curves[-1, 2:] += shift


def _move_start(curves: np.ndarray, spot: np.ndarray) -> None:
    shift = spot - curves[0, 0]
    if is_line(curves[:1])[0]:
        curves[:1] = straight(spot[None], curves[:1, 3])
    else:
        curves[0, :2] += shift
