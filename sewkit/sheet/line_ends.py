"""Strokes and their ends, and which end goes on at which other end.

Stroke ``i`` has the ends ``2 i`` (its start) and ``2 i + 1`` (its end), wherever it was drawn
from: nothing here depends on the direction of a stroke.  A link pairs two ends; an end
has one link at most; linked strokes make a chain.
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import end_tangents, start_tangents
from sewkit.sheet.drawn import Line

# Ends that are this near each other touch (mm): what producers round away when a page is
# cut, six times the worst that was measured, and below a pencil's width.
TOUCH = 0.06


class Strokes(NamedTuple):
    """Open strokes in drawing order within each kind, as arrays.

    Args:
        lines: the strokes, one an entry.
        curves: their curves ``(k, 4, 2)``, one array an entry.
        kind: ``(n,)`` whole numbers; only strokes of one kind (style, layers, hidden) join.
        page: ``(n,)``.
        length: ``(n,)`` mm, along the control points: exact for straight lines.
        ends: ``(2 n, 2)`` mm.
        outward: ``(2 n, 2)`` unit directions in which a pen would go on beyond each end.
        cut: ``(2 n,)`` whether an end lies on the border of a tile.
    """

    lines: Tuple[Line, ...]
    curves: Tuple[np.ndarray, ...]
    kind: np.ndarray
    page: np.ndarray
    length: np.ndarray
    ends: np.ndarray
    outward: np.ndarray
    cut: np.ndarray


def strokes_of(lines: Sequence[Line]) -> Strokes:
    """Put open lines into arrays, sorted by kind and drawing order."""
    kinds: Dict[tuple, int] = {}
    number = [kinds.setdefault((line.style, line.layers, line.hidden), len(kinds)) for line in lines]
    order = sorted(range(len(lines)), key=lambda i: (number[i], lines[i].order))
    chosen = tuple(lines[i] for i in order)
    curves = tuple(line.path.curves for line in chosen)
    first = np.array([c[0] for c in curves]).reshape(-1, 4, 2)
    last = np.array([c[-1] for c in curves]).reshape(-1, 4, 2)
    ends = np.stack([first[:, 0], last[:, 3]], axis=1).reshape(-1, 2)
    outward = np.stack([-start_tangents(first), end_tangents(last)], axis=1).reshape(-1, 2)
    return Strokes(
        chosen,
        curves,
        np.array([number[i] for i in order], np.int64),
        np.array([line.page for line in chosen], np.int64),
        _lengths(curves),
        ends,
        outward,
        np.array([flag for line in chosen for flag in line.cut], bool),
    )


def _lengths(curves: Sequence[np.ndarray]) -> np.ndarray:
    """Lengths of strokes (mm): the mean of chord and control polygon, good to a per cent."""
    if not curves:
        return np.zeros(0)
    every = np.concatenate(curves)
    steps = np.diff(every, axis=1)
    legs = np.hypot(steps[..., 0], steps[..., 1]).sum(axis=1)
    chord = every[:, 3] - every[:, 0]
    each = (legs + np.hypot(chord[:, 0], chord[:, 1])) / 2.0
    first = np.cumsum([0] + [len(c) for c in curves])[:-1]
    return np.add.reduceat(each, first)


class Links:
    """Which end goes on at which other end; grows while lines are being made whole.

    ``mate[e]`` is the end that end ``e`` is linked to, or -1.  ``corner`` holds, by the
    lower of the two ends, the corner that the line turns in the gap between them.
    """

    def __init__(self, count: int) -> None:
        self.mate = np.full(2 * count, -1, np.int64)
        self.corner: Dict[int, Tuple[float, float]] = {}

    def free(self, end: int) -> bool:
        """Whether an end has no link yet."""
        return self.mate[end] < 0

    def link(self, one: int, two: int) -> bool:
        """Link two ends; ``False`` where one of them is taken."""
        if one == two or self.mate[one] >= 0 or self.mate[two] >= 0:
            return False
        self.mate[one], self.mate[two] = two, one
        return True

    def cut(self, end: int) -> None:
        """Take the link of an end away."""
        other = int(self.mate[end])
        if other >= 0:
            self.mate[end] = self.mate[other] = -1
            self.corner.pop(min(end, other), None)


class Chain(NamedTuple):
    """Strokes end to end: the end at which each is entered, and whether they close."""

    entries: Tuple[int, ...]
    closed: bool

    @property
    def first(self) -> int:
        """The end at which the chain starts."""
        return self.entries[0]

    @property
    def last(self) -> int:
        """The end at which the chain stops."""
        return self.entries[-1] ^ 1


def chains_of(links: Links) -> List[Chain]:
    """All chains, in the order of their first strokes.

    An open chain starts at whichever of its two ends belongs to the earlier stroke; a
    closed one at its earliest stroke, in the direction in which that was drawn.
    """
    mate = links.mate.tolist()
    seen = [False] * (len(mate) // 2)
    found = []
    for stroke in range(len(seen)):
        if seen[stroke]:
            continue
        forward, closed = _walk(mate, 2 * stroke)
        entries = forward
        if not closed:
            back, _ = _walk(mate, 2 * stroke + 1)
            entries = [entry ^ 1 for entry in back[:0:-1]] + forward
            if entries[-1] >> 1 < entries[0] >> 1:
                entries = [entry ^ 1 for entry in entries[::-1]]
        for entry in entries:
            seen[entry >> 1] = True
        found.append(Chain(tuple(entries), closed))
    return found


def _walk(mate: List[int], entry: int) -> Tuple[List[int], bool]:
    """The entries of the strokes from one on, and whether the way comes back to it."""
    entries, at = [entry], entry
    while True:
        at = mate[at ^ 1]
        if at < 0:
            return entries, False
        if at == entry:
            return entries, True
        entries.append(at)


def owners(chains: Sequence[Chain], strokes: int) -> np.ndarray:
    """The number of the chain ``(n,)`` that each stroke belongs to."""
    owner = np.zeros(strokes, np.int64)
    for number, chain in enumerate(chains):
        owner[[entry >> 1 for entry in chain.entries]] = number
    return owner


def bends(strokes: Strokes, ones: np.ndarray, twos: np.ndarray) -> Tuple[np.ndarray, np.ndarray, np.ndarray]:
    """How pairs of ends ``(m,)`` lie to each other: gap (mm), and two turns (degrees).

    The first turn is from the pen's direction at the one end to the way across the gap,
    the second from there to the direction in which the other stroke goes on; clockwise
    on the sheet.  Where the ends touch, the whole turn is the first, the second is 0.
    """
    way = strokes.ends[twos] - strokes.ends[ones]
    gap = np.hypot(way[:, 0], way[:, 1])
    leaving, onward = strokes.outward[ones], -strokes.outward[twos]
    touching = (gap <= TOUCH)[:, None]
    across = np.where(touching, onward, way)
    return gap, turn_between(leaving, across), turn_between(across, onward)


def turn_between(one: np.ndarray, two: np.ndarray) -> np.ndarray:
    """Turns ``(m,)`` from directions ``(m, 2)`` to others, degrees clockwise on the sheet."""
    cross = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    return np.degrees(np.arctan2(cross, (one * two).sum(axis=1)))
