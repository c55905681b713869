"""What lies in a piece, taken apart at its corners: straight and curved bits with two ends.

Who draws an arrow draws one line, three lines, or a line and two black triangles; taken apart
they look alike.
"""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.length import curve_lengths
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.pattern.outline import Outline, corner_nodes
from sewkit.sheet.drawn import Whole

# Ends nearer than this belong together (mm): a closing gap below is bridged silently.
ENDS_MEET = 0.3
# A mark touches a line, or two lines meet, within this (mm): what pattern makers draw.
TOUCH = 1.0
# A line that strays less than this from its chord is straight (mm): a pencil's width.
STRAIGHT = 0.1
# Curves shorter than this have no direction to speak of (mm).
_NOTHING = 1e-3


class Bit(NamedTuple):
    """A run from corner to corner: number of its item, its curves, ends (2,), length (mm)."""

    item: int
    number: int
    curves: np.ndarray
    start: np.ndarray
    end: np.ndarray
    length: float
    straight: bool

    @property
    def way(self) -> np.ndarray:
        """The unit direction (2,) from its start to its end."""
        way = self.end - self.start
        return way / max(float(np.hypot(*way)), _NOTHING)

    @property
    def middle(self) -> np.ndarray:
        """Half way between its ends, (2,)."""
        return (self.start + self.end) / 2.0

    def turned(self) -> "Bit":
        """The same run the other way."""
        return self._replace(curves=self.curves[::-1, ::-1], start=self.end, end=self.start)


class Item(NamedTuple):
    """One whole line inside a piece.

    Args:
        line: its number among all whole lines.
        path: mm; closed also where its ends merely meet.
        size: the size of its group; empty where it serves all or nothing is known.
        reach: the diagonal of its box (mm).
        middle: of its box, (2,).
        bits: its runs from corner to corner, in path order.
        filled: whether it is an area.
    """

    line: int
    path: Path
    size: str
    reach: float
    middle: np.ndarray
    bits: Tuple[Bit, ...]
    filled: bool


def items_of(numbers: Sequence[int], lines: Sequence[Whole], sizes: Sequence[str]) -> Tuple[Item, ...]:
    """The lines of these numbers, taken apart; ``sizes``: the size of every line."""
    found: List[Item] = []
    for number in numbers:
        line = lines[number]
        path = _cleaned(line.path)
        if not len(path):
            continue
        points = flatten(path, STRAIGHT)
        low, high = points.min(axis=0), points.max(axis=0)
        bits = _bits(path, len(found))
        reach = float(np.hypot(*(high - low)))
        filled = bool(line.style.fill)
        found.append(Item(number, path, sizes[number], reach, (low + high) / 2.0, bits, filled))
    return tuple(found)


def _cleaned(path: Path) -> Path:
    """Without curves of no length; closed where the ends meet."""
    curves = path.curves[np.ptp(path.curves, axis=1).max(axis=1) > _NOTHING] if len(path) else path.curves
    if not len(curves):
        return Path([])
    meet = np.hypot(*(curves[-1, 3] - curves[0, 0])) <= ENDS_MEET and len(curves) > 1
    return Path(curves, path.closed or bool(meet))


def _bits(path: Path, item: int) -> Tuple[Bit, ...]:
    corners = list(corner_nodes(path))
    if path.closed:
        corners = corners or [0]
        path = path.start_at(corners[0])
        corners = [node - corners[0] for node in corners] + [len(path)]
    lengths = curve_lengths(path.curves)
    found = []
    for number, (start, stop) in enumerate(zip(corners, corners[1:])):
        curves = path.curves[start:stop]
        length = float(lengths[start:stop].sum())
        first, last = curves[0, 0], curves[-1, 3]
        found.append(Bit(item, number, curves, first, last, length, _straight(curves, first, last, length)))
    return tuple(found)


def _straight(curves: np.ndarray, start: np.ndarray, end: np.ndarray, length: float) -> bool:
    chord = float(np.hypot(*(end - start)))
    if chord < _NOTHING or length > chord + 2.0 * STRAIGHT:
        return False
    return bool(np.abs(aside(curves.reshape(-1, 2), start, (end - start) / chord)).max() <= STRAIGHT)


def aside(points: np.ndarray, on: np.ndarray, way: np.ndarray) -> np.ndarray:
    """How far points (n, 2) lie to the right of a line through ``on``, (n,) mm."""
    away = points - on
    return away[..., 1] * way[0] - away[..., 0] * way[1]


def along(points: np.ndarray, on: np.ndarray, way: np.ndarray) -> np.ndarray:
    """How far points (n, 2) lie along a line from ``on``, (n,) mm."""
    away = points - on
    return away[..., 0] * way[0] + away[..., 1] * way[1]


def angle_between(first: np.ndarray, second: np.ndarray) -> float:
    """The angle of two lines without direction, 0 to 90 degrees."""
    cross = float(first[0] * second[1] - first[1] * second[0])
    dot = float(first[0] * second[0] + first[1] * second[1])
    return float(np.degrees(np.arctan2(abs(cross), abs(dot))))


class Around:
    """Items by their places, to find those near a point without looking at all of them."""

    def __init__(self, items: Sequence[Item]) -> None:
        self._items = tuple(items)
        self._middles = np.array([item.middle for item in items]).reshape(-1, 2)
        self._reaches = np.array([item.reach / 2.0 for item in items])

    def near(self, spot: np.ndarray, within: float) -> List[Tuple[int, Item]]:
        """Number and item of those that may come within a distance (mm) of a point, in order."""
        away = np.hypot(*(self._middles - spot).T) - self._reaches
        return [(int(n), self._items[n]) for n in np.flatnonzero(away <= within)]


class Nest:
    """The outlines of a piece as short straight lines, to ask many points at once.

    ``outlines``: with edges "1", "2", ...; smallest first.
    """

    def __init__(self, outlines: Sequence[Outline]) -> None:
        self.outlines = tuple(outlines)
        starts, ways, owners = [], [], []
        for number, outline in enumerate(self.outlines):
            points = flatten(outline.path, 0.02)
            ends = np.roll(points, -1, axis=0) if outline.path.closed else points[1:]
            points = points if outline.path.closed else points[:-1]
            starts.append(points)
            ways.append(ends - points)
            owners.append(np.full(len(points), number))
        self._starts = np.concatenate(starts) if starts else np.zeros((0, 2))
        self._ways = np.concatenate(ways) if ways else np.zeros((0, 2))
        owner = np.concatenate(owners) if owners else np.zeros(0, int)
        self._firsts = np.searchsorted(owner, np.arange(len(self.outlines)))

    def feet(self, points: np.ndarray) -> Tuple[np.ndarray, np.ndarray, np.ndarray]:
        """For points ``(m, 2)`` and every outline: distance ``(m, k)``, nearest point
        ``(m, k, 2)`` and unit direction of the outline there ``(m, k, 2)``; to 0.02 mm."""
        size = np.maximum((self._ways**2).sum(axis=1), 1e-300)
        share = ((points[:, None] - self._starts) * self._ways).sum(axis=-1) / size
        reached = self._starts + np.clip(share, 0.0, 1.0)[..., None] * self._ways
        square = ((reached - points[:, None]) ** 2).sum(axis=-1)
        stops = list(self._firsts[1:]) + [len(self._starts)]
        best = np.stack([a + square[:, a:b].argmin(axis=1) for a, b in zip(self._firsts, stops)], axis=1)
        row = np.arange(len(points))[:, None]
        unit = self._ways / np.sqrt(size)[:, None]
        return np.sqrt(square[row, best]), reached[row, best], unit[best]

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Distance ``(m, k)`` of points to every outline (mm)."""
        return self.feet(points)[0]
