"""All lines of a sheet as points, made in one go, and what can be told from them quickly.

The points are for finding and comparing; whatever ends up in an outline is cut from the
exact curves.
"""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, is_line, point
from sewkit.sheet.drawn import Box, Whole

# How far the points' joining lines may stray from the curves (mm): a tenth of the gap that
# is bridged silently.  Halving it costs 1.4 times the points.
CHORD = 0.03
# Ends nearer than this meet (mm); a wider gap up to the second is bridged and told, beyond
# it is not bridged (the limits of a closing gap).
SILENT, BRIDGED = 0.3, 3.0
# The smallest outline of a piece (mm2): a belt loop of 15 x 100; smaller rings are drill
# holes, buttons, letters.
SMALLEST = 1500.0
# Boxes that share this part of their common extent are one piece in two sizes.
NESTED = 0.6


class Shapes(NamedTuple):
    """The lines as points.

    Args:
        points: for each line ``(k, 2)`` mm; of a closed line the first is repeated at the end.
        along: for each line the length up to each of its points (mm).
        boxes: ``(n, 4)`` left, top, right, bottom.
        lengths: ``(n,)`` mm.
        areas: ``(n,)`` mm2 without sign; an open line is closed by its chord.
        closed: ``(n,)`` drawn closed, or open by no more than ``SILENT``.
    """

    points: Tuple[np.ndarray, ...]
    along: Tuple[np.ndarray, ...]
    boxes: np.ndarray
    lengths: np.ndarray
    areas: np.ndarray
    closed: np.ndarray


def shapes_of(lines: Sequence[Whole]) -> Shapes:
    """Flatten all lines at once."""
    points = flattened([line.path for line in lines])
    counts = np.array([len(run) for run in points], int)
    boxes, areas = np.zeros((len(lines), 4)), np.zeros(len(lines))
    if not counts.sum():
        nothing = tuple(np.zeros(0) for _ in lines)
        return Shapes(tuple(points), nothing, boxes, areas, areas, np.zeros(len(lines), bool))
    every = np.concatenate(points)
    drawn = np.flatnonzero(counts)
    first = (np.cumsum(counts) - counts)[drawn]
    last = first + counts[drawn] - 1
    boxes[drawn, :2] = np.minimum.reduceat(every, first)
    boxes[drawn, 2:] = np.maximum.reduceat(every, first)
    steps = np.diff(every, axis=0)
    far = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    starts = (np.cumsum(counts) - counts).tolist()
    along = [far[at : at + count] - far[at] if count else far[:0] for at, count in zip(starts, counts)]
    lengths = np.array([run[-1] if len(run) else 0.0 for run in along])
    # Shoelace about each line's own start, so that large sheet coordinates do not blur it.
    here = every - np.repeat(every[first], counts[drawn], axis=0)
    swept = np.concatenate([here[:-1, 0] * here[1:, 1] - here[1:, 0] * here[:-1, 1], [0.0]])
    swept[last] = 0.0
    areas[drawn] = np.abs(np.add.reduceat(swept, first)) / 2.0
    gaps = np.zeros(len(lines))
    gaps[drawn] = np.hypot(*(every[last] - every[first]).T)
    closed = np.array([line.path.closed for line in lines], bool)
    closed |= (gaps <= SILENT) & (lengths > 4 * SILENT)
    return Shapes(tuple(points), tuple(along), boxes, lengths, areas, closed)


def flattened(paths: Sequence[Path]) -> List[np.ndarray]:
    """The points of many paths, ends included; number of steps as in ``polygon.flatten``."""
    counts = [len(path) for path in paths]
    if not sum(counts):
        return [np.zeros((0, 2)) for _ in paths]
    curves = np.concatenate([path.curves for path in paths])
    steps = steps_of(curves)
    owner = np.repeat(np.arange(len(curves)), steps)
    first = np.cumsum(steps) - steps
    t = (np.arange(len(owner)) - first[owner]) / steps[owner]
    spots = point(curves[owner], t)
    before = np.concatenate([first, [len(owner)]])
    found, at = [], 0
    for path, count in zip(paths, counts):
        run = spots[before[at] : before[at + count]]
        found.append(np.vstack([run, path.end]) if count else run)
        at += count
    return found


def steps_of(curves: np.ndarray) -> np.ndarray:
    """In how many equal steps of its parameter each of some curves ``(n, 4, 2)`` is flattened."""
    bend = np.diff(curves, n=2, axis=1)
    most = 6.0 * np.hypot(bend[..., 0], bend[..., 1]).max(axis=1)
    steps = np.maximum(np.ceil(np.sqrt(most / (8.0 * CHORD))).astype(int), 1)
    return np.where(is_line(curves), 1, steps)


def area(points: np.ndarray) -> float:
    """Area of a polygon ``(k, 2)`` in mm2; positive where it runs clockwise on the sheet."""
    x, y = (points - points[:1]).T
    return float(np.dot(x[:-1], y[1:]) - np.dot(x[1:], y[:-1])) / 2.0


def girth(points: np.ndarray) -> float:
    """The way once round a polygon ``(k, 2)``, mm."""
    steps = np.diff(np.concatenate([points, points[:1]]), axis=0)
    return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


def overlap(box: "np.typing.ArrayLike", boxes: np.ndarray) -> np.ndarray:
    """What part of their common extent one box and each of many ``(n, 4)`` share, 0 to 1."""
    left, top, right, bottom = map(float, box)
    lefts, tops, rights, bottoms = boxes.T
    wide = np.maximum(np.minimum(right, rights) - np.maximum(left, lefts), 0.0)
    shared = wide * np.maximum(np.minimum(bottom, bottoms) - np.maximum(top, tops), 0.0)
    both = (right - left) * (bottom - top) + (rights - lefts) * (bottoms - tops) - shared
    return shared / np.maximum(both, 1e-9)


def within(box: "np.typing.ArrayLike", boxes: np.ndarray, margin: float = 0.0) -> np.ndarray:
    """Which of many boxes ``(n, 4)`` lie in one box, but for a margin (mm)."""
    box = np.asarray(box, np.float64)
    low = (boxes[:, :2] >= box[:2] - margin).all(axis=1)
    return low & (boxes[:, 2:] <= box[2:] + margin).all(axis=1)


def inside(polygon: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Which points ``(m, 2)`` a polygon ``(k, 2)`` surrounds.

    Crossings of the ray to the right are counted (Shimrat, Algorithm 112, Communications
    of the ACM 5, 1962).
    """
    here, there = polygon, np.concatenate([polygon[1:], polygon[:1]])
    x, y = points[:, :1], points[:, 1:]
    spans = (here[:, 1] <= y) != (there[:, 1] <= y)
    which, edge = np.nonzero(spans)
    rise = there[edge, 1] - here[edge, 1]
    at = here[edge, 0] + (y[which, 0] - here[edge, 1]) * (there[edge, 0] - here[edge, 0]) / rise
    return np.bincount(which, at > x[which, 0], len(points)).astype(int) % 2 == 1


class Near(NamedTuple):
    """How far points ``(m, 2)`` are from a run of points, and where it is nearest: mm along."""

    distance: np.ndarray
    along: np.ndarray


def near(run: np.ndarray, along: np.ndarray, points: np.ndarray) -> Near:
    """The nearest spot on a run of points, for each of ``points``; the run may be one point."""
    if len(run) == 1:
        return Near(np.hypot(*(points - run).T), np.zeros(len(points)))
    # By columns: sums over pairs of numbers cost twice as long.
    (x, y), (dx, dy) = run[:-1].T, (run[1:] - run[:-1]).T
    right, down = points[:, :1] - x, points[:, 1:] - y
    share = (right * dx + down * dy) / np.maximum(dx * dx + dy * dy, 1e-18)
    share = np.minimum(np.maximum(share, 0.0), 1.0)
    right -= share * dx
    down -= share * dy
    squared = right * right + down * down
    best = squared.argmin(axis=1)
    row = np.arange(len(points))
    size = along[best + 1] - along[best]
    return Near(np.sqrt(squared[row, best]), along[best] + share[row, best] * size)


def spread(run: np.ndarray, count: int) -> np.ndarray:
    """Points ``(count, 2)`` evenly along a run of points, both ends among them."""
    if len(run) == 2:  # thousands of ticks
        return run[0] + np.linspace(0.0, 1.0, count)[:, None] * (run[1] - run[0])
    steps = np.diff(run, axis=0)
    along = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
    wanted = np.linspace(0.0, along[-1], count)
    return np.stack([np.interp(wanted, along, run[:, k]) for k in (0, 1)], axis=1)


def box_of(points: np.ndarray) -> Box:
    """The box around points ``(k, 2)``."""
    left, top = points.min(axis=0)
    right, bottom = points.max(axis=0)
    return float(left), float(top), float(right), float(bottom)
