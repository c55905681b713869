"""The straight lines of a page, all at once."""

from typing import List, NamedTuple, Tuple

import numpy as np

from sewkit.geometry.path import is_line
from sewkit.sheet.drawn import Box, Drawn, Page

# Two straight runs that follow each other are one line where they turn by less than this
# (sine of the angle): on 100 mm that is a hundredth of a millimetre aside.
_SAME_WAY = 1e-4
# Shorter than this is no line (mm).
_NOTHING = 1e-3
# A filled rectangle up to this wide (mm), and this many times as long, is a line.
_BROADEST, _NARROW = 3.0, 2.0


class Straights(NamedTuple):
    """Straight lines: ``starts`` and ``ends`` ``(n, 2)`` mm, ``pens`` their width ``(n,)``,
    ``drawn`` ``(n,)`` the place of each one's stroke in the page's list."""

    starts: np.ndarray
    ends: np.ndarray
    pens: np.ndarray
    drawn: np.ndarray

    @property
    def lengths(self) -> np.ndarray:
        """``(n,)`` mm."""
        return np.hypot(*(self.ends - self.starts).T)

    @property
    def ways(self) -> np.ndarray:
        """Unit directions ``(n, 2)``."""
        return (self.ends - self.starts) / self.lengths[:, None]

    def pick(self, which: np.ndarray) -> "Straights":
        """Some of them, by numbers or by a mask."""
        return Straights(self.starts[which], self.ends[which], self.pens[which], self.drawn[which])


class _Runs(NamedTuple):
    """Curves of a page that have a length: which stroke and which run each belongs to."""

    curves: np.ndarray
    drawn: np.ndarray
    run: np.ndarray


def straights(page: Page) -> Straights:
    """Every straight line of a page.

    Straight runs that go on in one direction are one line; a narrow filled rectangle is
    the line that its maker turned into an area, along its middle.
    """
    runs = _runs(page)
    if not len(runs.curves):
        empty = np.zeros((0, 2))
        return Straights(empty, empty, np.zeros(0), np.zeros(0, int))
    straight = is_line(runs.curves)
    pens = np.array([drawn.style.width if drawn.style.colour else 0.0 for drawn in page.drawn])
    filled = np.array([not drawn.style.colour for drawn in page.drawn])
    strips, used = _strips(runs, straight & filled[runs.drawn])
    kept = straight & ~used
    curves, run, owner = runs.curves[kept], runs.run[kept], runs.drawn[kept]
    starts, ends = curves[:, 0], curves[:, 3]
    if not len(starts):
        return strips
    ways = (ends - starts) / np.hypot(*(ends - starts).T)[:, None]
    goes_on = (run[1:] == run[:-1]) & same_way(ways[:-1], ways[1:])
    goes_on &= np.abs(starts[1:] - ends[:-1]).max(axis=1) < _NOTHING
    first, last = np.concatenate([[True], ~goes_on]), np.concatenate([~goes_on, [True]])
    whole = Straights(starts[first], ends[last], pens[owner[first]], owner[first])
    return Straights(*(np.concatenate(both) for both in zip(whole, strips)))


def _runs(page: Page) -> _Runs:
    if not page.drawn:
        return _Runs(np.zeros((0, 4, 2)), np.zeros(0, int), np.zeros(0, int))
    curves = np.concatenate([drawn.curves for drawn in page.drawn])
    counts = [len(drawn.curves) for drawn in page.drawn]
    begins = np.zeros(len(curves) + 1, int)
    at = 0
    for drawn, count in zip(page.drawn, counts):
        begins[[at, *(at + start for start in drawn.starts)]] = 1
        at += count
    kept = np.hypot(*(curves[:, 3] - curves[:, 0]).T) > _NOTHING
    owner = np.repeat(np.arange(len(counts)), counts)
    return _Runs(curves[kept], owner[kept], np.cumsum(begins[:-1])[kept])


def _strips(runs: _Runs, usable: np.ndarray) -> Tuple[Straights, np.ndarray]:
    """Narrow filled rectangles as their middle lines, and the curves they consist of."""
    _, first, count = np.unique(runs.run, return_index=True, return_counts=True)
    all_usable = np.logical_and.reduceat(usable, first)
    some = first[(count >= 3) & (count <= 4) & all_usable]
    ends = runs.curves[np.minimum(some + 2, len(runs.curves) - 1), 3]
    corners = np.concatenate([runs.curves[some[:, None] + np.arange(3), 0], ends[:, None]], axis=1)
    sides = np.hypot(*np.moveaxis(np.roll(corners, -1, axis=1) - corners, 2, 0))
    like = np.abs(sides[:, :2] - sides[:, 2:]).max(axis=1) <= 0.1 * sides.min(axis=1) + _NOTHING
    short, long = sides[:, :2].min(axis=1), sides[:, :2].max(axis=1)
    narrow = like & (short <= _BROADEST) & (long >= _NARROW * short)
    corners, short, some = corners[narrow], short[narrow], some[narrow]
    lengthwise = sides[narrow, 0] > sides[narrow, 1]
    corners = np.where(lengthwise[:, None, None], corners, np.roll(corners, 1, axis=1))
    starts, stops = (corners[:, 0] + corners[:, 3]) / 2, (corners[:, 1] + corners[:, 2]) / 2
    used = np.isin(runs.run, runs.run[some])
    return Straights(starts, stops, short, runs.drawn[some]), used


def same_way(ways: np.ndarray, others: np.ndarray) -> np.ndarray:
    """Which unit directions ``(n, 2)`` agree."""
    cross = ways[:, 0] * others[:, 1] - ways[:, 1] * others[:, 0]
    return (np.abs(cross) < _SAME_WAY) & ((ways * others).sum(axis=1) > 0)


def corners_of(points: np.ndarray) -> np.ndarray:
    """The points ``(n, 2)`` of a closed polygon at which it really turns."""
    points = points[np.abs(points - np.roll(points, 1, axis=0)).max(axis=1) > _NOTHING]
    if len(points) < 3:
        return points
    ways = np.roll(points, -1, axis=0) - points
    ways = ways / np.hypot(*ways.T)[:, None]
    return points[~same_way(np.roll(ways, 1, axis=0), ways)]


def seen(page: Page, drawn: Drawn, point: Tuple[float, float]) -> bool:
    """Whether a point of a stroke is on the page and not cut away by the stroke's clip.

    A square that several tiles draw, each showing a part, is so found once.
    """
    boxes: List[Box] = [(0.0, 0.0, page.width, page.height)]
    if drawn.clip is not None:
        boxes.append(drawn.clip)
    x, y = point
    return all(left <= x <= right and top <= y <= bottom for left, top, right, bottom in boxes)


def crossing(a: np.ndarray, b: np.ndarray, c: np.ndarray, d: np.ndarray) -> np.ndarray:
    """Where the endless lines through a, b and c, d meet; ``ValueError`` for parallel ones."""
    u, v = b - a, d - c
    cross = float(u[0] * v[1] - u[1] * v[0])
    if abs(cross) < 1e-9 * float(np.hypot(*u) * np.hypot(*v)):
        raise ValueError("parallel lines do not meet")
    w = c - a
    return a + u * float(w[0] * v[1] - w[1] * v[0]) / cross
