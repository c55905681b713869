"""Lines that break off at the edge of one page and go on from the edge of another.

Where artwork was really cut, no shape is on two pages.  But a line that ends on the right
edge of a tile goes on at the left edge of its neighbour, at the same height, in the same
direction, in the same style.  Tiles may also show a strip twice: then the line goes on
from inside the neighbour, and how far inside is found by trying.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry import cubic
from sewkit.geometry.path import derivative, point
from sewkit.sheet.drawn import Box
from sewkit.sheet.tile_furniture import ON_SIDE, Ends, ends_of
from sewkit.sheet.tile_shapes import Pairs, Proof
from sewkit.sheet.tile_strokes import Strokes
from sewkit.sheet.tile_values import BELOW, RIGHT

# Heights of one line on both pages differ by less (mm): rounding and a careless printer.
TOGETHER = 0.3

# Directions of one line on both pages differ by less (degrees); more where a short stroke
# gives its direction badly: then by what this scatter (mm) turns it.
SAME_WAY, SCATTER = 3.0, 0.1

# The widest strip that both pages show (mm), and the step in which it is looked for.
WIDEST, TRIED = 40.0, 0.5

# A line this near to square on the cut (tangent of the angle) fits every overlap and tells none.
SQUARE = 0.05

# An overlap must explain this much more than no overlap does, or else it is chance.
BETTER = 1.25


Lines = Dict[Tuple[int, str], int]  # page index and side: how many


class Crossed(NamedTuple):
    """Lines that meet an upright or level line: one row each.

    Args:
        place: ``(k, 2)`` mm on the page.
        way: ``(k, 2)`` unit direction, pointing over the line to the right or down.
        page, look: of the stroke.
        reach: ``(k,)`` length that gives the direction (mm).
    """

    place: np.ndarray
    way: np.ndarray
    page: np.ndarray
    look: np.ndarray
    reach: np.ndarray

    def take(self, rows: np.ndarray) -> "Crossed":
        """Some of them."""
        return Crossed(*(field[rows] for field in self))

    def slope(self, axis: int) -> np.ndarray:
        """How much the line moves along the cut for each mm across it."""
        return self.way[:, 1 - axis] / np.maximum(self.way[:, axis], 1e-3)


class Border(NamedTuple):
    """How two sides of a tile fit: ``overlap`` in mm, the pairs proved by it."""

    overlap: float
    pairs: Pairs


class _Lists(NamedTuple):
    """All there is to know about one direction.

    ``far``: ends on the right (lower) side; ``near``: on the left (upper) side.
    """

    axis: int
    far: Crossed
    near: Crossed
    curves: np.ndarray
    page: np.ndarray
    look: np.ndarray
    low: float
    high: float


def pairs_by_cuts(
    strokes: Strokes, rows: np.ndarray, live: Box, known: Optional[Dict[str, float]] = None
) -> Dict[str, Border]:
    """Neighbours among pages of one size, proved by lines that go on.

    ``live`` is the box at whose sides lines break off; ``known`` how much pages overlap (mm), by
    side, where something else than slanted lines tells it.
    """
    found = {}
    for side, axis in ((RIGHT, 0), (BELOW, 1)):
        lists = _lists(strokes, rows, axis, live[axis], live[axis + 2])
        if known and side in known:
            found[side] = Border(known[side], _proofs(lists, side, known[side]))
        else:
            found[side] = _fitted(lists, side, _overlap(lists))
    return found


def crossing_lines(strokes: Strokes, rows: np.ndarray, live: Box) -> Lines:
    """How many different lines run over each side of each page: cut there, or hidden from there on.

    Keys are page index and side: "left", "above", "right", "below".
    """
    found: Lines = {}
    for axis, sides in ((0, ("left", "right")), (1, ("above", "below"))):
        lists = _lists(strokes, rows, axis, live[axis], live[axis + 2])
        for side, at in zip(sides, (live[axis] + ON_SIDE, live[axis + 2] - ON_SIDE)):
            met = crossed(lists, at)
            across = met.place[:, 1 - axis]
            shown = (across >= live[1 - axis] - ON_SIDE) & (across <= live[3 - axis] + ON_SIDE)
            places = set(zip(met.page[shown].tolist(), np.round(across[shown], 1).tolist()))
            for page, _ in places:
                found[page, side] = found.get((page, side), 0) + 1
    return found


def ends_on(strokes: Strokes, rows: np.ndarray, axis: int, at: float, outwards: float) -> Crossed:
    """Ends of open strokes that lie on a line and point over it: ``outwards`` is 1 or -1."""
    ends: Ends = ends_of(strokes, rows)
    near = np.abs(ends.place[:, axis] - at) <= ON_SIDE
    out = outwards * ends.outward[:, axis] > SQUARE
    ends = ends.take(np.flatnonzero(near & out))
    chord = strokes.high[ends.stroke] - strokes.low[ends.stroke]
    reach = np.hypot(*chord.T) / np.maximum(strokes.count[ends.stroke], 1)
    return Crossed(ends.place, outwards * ends.outward, ends.page, ends.look, reach)


def _lists(strokes: Strokes, rows: np.ndarray, axis: int, low: float, high: float) -> _Lists:
    far = ends_on(strokes, rows, axis, high, 1.0)
    near = ends_on(strokes, rows, axis, low, -1.0)
    span = np.arange(strokes.count[rows].sum()) - np.repeat(
        np.cumsum(strokes.count[rows]) - strokes.count[rows], strokes.count[rows]
    )
    own = np.repeat(rows, strokes.count[rows])
    number = strokes.first[own] + span
    curves = strokes.curves[number]
    reach = curves[:, :, axis]
    beside = (reach.min(axis=1) <= low + WIDEST + 1) | (reach.max(axis=1) >= high - WIDEST - 1)
    return _Lists(
        axis, far, near, curves[beside], strokes.page[own[beside]], strokes.look[own[beside]], low, high
    )


def crossed(lists: _Lists, at: float) -> Crossed:
    """All lines that cross the line ``at``."""
    axis = lists.axis
    row, t = cubic.solve(lists.curves[:, :, axis], at)
    way = derivative(lists.curves[row], t)
    size = np.hypot(way[:, 0], way[:, 1])
    way = way / np.where(size > 0, size, 1.0)[:, None]
    way = way * np.where(way[:, axis] < 0, -1.0, 1.0)[:, None]
    kept = way[:, axis] > SQUARE
    row, t, way = row[kept], t[kept], way[kept]
    chord = np.hypot(*(lists.curves[row, 3] - lists.curves[row, 0]).T)
    return Crossed(point(lists.curves[row], t), way, lists.page[row], lists.look[row], chord)


def matches(ends: Crossed, others: Crossed, axis: int, slack: float = 0.0) -> Tuple[np.ndarray, np.ndarray]:
    """Row numbers of ends and of crossings on other pages that can be one line.

    ``slack`` is how far across the cut the place may still be wrong (mm).
    """
    across = 1 - axis
    order = np.argsort(others.place[:, across], kind="stable")
    heights = others.place[order, across]
    room = TOGETHER + slack * np.abs(ends.slope(axis))
    low = np.searchsorted(heights, ends.place[:, across] - room)
    high = np.searchsorted(heights, ends.place[:, across] + room)
    count = high - low
    one = np.repeat(np.arange(len(low)), count)
    step = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    other = order[np.repeat(low, count) + step] if len(order) else step
    fits = (ends.page[one] != others.page[other]) & (ends.look[one] == others.look[other])
    one, other = one[fits], other[fits]
    turn = ends.way[one, 0] * others.way[other, 1] - ends.way[one, 1] * others.way[other, 0]
    short = np.maximum(np.minimum(ends.reach[one], others.reach[other]), SCATTER)
    same = np.abs(turn) <= np.sin(np.radians(SAME_WAY)) + SCATTER / short
    return one[same], other[same]


def _counted(
    first: np.ndarray, second: np.ndarray, one: np.ndarray, other: np.ndarray
) -> Dict[Tuple[int, int], int]:
    """For each pair of pages how many lines fit, each end used once."""
    found: Dict[Tuple[int, int], List[set]] = {}
    for a, b, i, j in zip(first.tolist(), second.tolist(), one.tolist(), other.tolist()):
        ends = found.setdefault((a, b), [set(), set()])
        ends[0].add(i)
        ends[1].add(j)
    return {pair: min(len(ends[0]), len(ends[1])) for pair, ends in found.items()}


def _worth(ends: Crossed, others: Crossed, lists: _Lists, slack: float, slanted: bool) -> float:
    """How many ends the best neighbour of each page explains."""
    if slanted:
        ends = ends.take(np.flatnonzero(np.abs(ends.slope(lists.axis)) > SQUARE))
    one, other = matches(ends, others, lists.axis, slack)
    counted = _counted(ends.page[one], others.page[other], one, other)
    best: Dict[int, int] = {}
    for (page, _), count in counted.items():
        best[page] = max(best.get(page, 0), count)
    return float(sum(best.values()))


def _overlap(lists: _Lists) -> float:
    """The width of the strip that neighbours both show; 0 where that explains the most."""
    plain = _worth(lists.far, lists.near, lists, 0.0, True) * 2
    slanted = sum((np.abs(ends.slope(lists.axis)) > SQUARE).sum() for ends in (lists.far, lists.near))
    if not slanted or plain >= 0.7 * slanted:
        return 0.0
    best, most = 0.0, plain * BETTER + 1.0
    for tried in np.arange(1, int(WIDEST / TRIED) + 1) * TRIED:
        worth = _worth(lists.far, crossed(lists, lists.low + tried), lists, TRIED / 2, True)
        worth += _worth(lists.near, crossed(lists, lists.high - tried), lists, TRIED / 2, True)
        if worth > most:
            best, most = float(tried), worth
    return best


def _fitted(lists: _Lists, side: str, overlap: float) -> Border:
    """All pairs of pages that fit with this overlap, which is made exact first."""
    axis = lists.axis
    slack = TRIED / 2
    for _ in range(3 if overlap else 0):
        groups = _groups(lists, overlap, slack)
        good = _chosen(groups, axis)
        step = _shift(groups, good, axis)
        overlap, slack = overlap - step, 0.02
    return Border(overlap, _proofs(lists, side, overlap))


def _groups(lists: _Lists, overlap: float, slack: float) -> List[Tuple[Crossed, Crossed, bool]]:
    """Matched ends and crossings, page by page: first page's, second page's."""
    if not overlap:
        one, other = matches(lists.far, lists.near, lists.axis)
        return [(lists.far.take(one), lists.near.take(other), False)]
    inside = crossed(lists, lists.low + overlap)
    one, other = matches(lists.far, inside, lists.axis, slack)
    back = crossed(lists, lists.high - overlap)
    two, others = matches(lists.near, back, lists.axis, slack)
    return [(lists.far.take(one), inside.take(other), False), (back.take(others), lists.near.take(two), True)]


def _chosen(groups: Sequence[Tuple[Crossed, Crossed, bool]], axis: int) -> List[np.ndarray]:
    """Of all proposals those of the best neighbour of each page."""
    kept = []
    for first, second, back in groups:
        own, their = (second, first) if back else (first, second)
        pair = own.page * (int(their.page.max(initial=0)) + 1) + their.page
        _, cell = np.unique(pair, return_inverse=True)
        cell = cell.reshape(-1)
        count = np.bincount(cell)[cell] if len(cell) else cell
        most = np.zeros(int(own.page.max(initial=0)) + 1)
        np.maximum.at(most, own.page, count)
        kept.append(count >= most[own.page])
    return kept


def _shift(groups: Sequence[Tuple[Crossed, Crossed, bool]], good: Sequence[np.ndarray], axis: int) -> float:
    """How much too wide the overlap is (mm): least squares over all slanted lines.

    A slanted line that is taken up too far inside is met too high or too low, by its slope.
    """
    slopes, misses = [np.zeros(0)], [np.zeros(0)]
    for (first, second, back), kept in zip(groups, good):
        # By the curve that goes through: where a line ends, its direction errs as its place does.
        slope = (first if back else second).slope(axis)[kept]
        miss = (second.place - first.place)[kept, 1 - axis]
        slopes.append(slope)
        misses.append(miss)
    slope, miss = np.concatenate(slopes), np.concatenate(misses)
    steep = np.abs(slope) > SQUARE
    slope, miss = slope[steep], miss[steep]
    if not len(slope):
        return 0.0
    guess = np.median(miss / slope)
    near = np.abs(miss - guess * slope) <= 0.15
    slope, miss = (slope[near], miss[near]) if near.any() else (slope, miss)
    return float((slope * miss).sum() / (slope * slope).sum())


def _proofs(lists: _Lists, side: str, overlap: float) -> Pairs:
    """For each pair of pages what fits, what does not, and the offset."""
    axis = lists.axis
    rows: Dict[Tuple[int, int], List[np.ndarray]] = {}
    counted: Dict[Tuple[int, int], int] = {}
    slanted: Dict[Tuple[int, int], int] = {}
    for first, second, back in _groups(lists, overlap, 0.0):
        number = np.arange(len(first.page))
        ends = (first.place if not back else second.place).view()
        own = {tuple(place): row for row, place in enumerate(np.round(ends, 6).tolist())}
        end = np.array([own[tuple(place)] for place in np.round(ends, 6).tolist()], np.intp)
        for pair, count in _counted(first.page, second.page, end, number).items():
            counted[pair] = counted.get(pair, 0) + count
        steep = np.abs((first if back else second).slope(axis)) > SQUARE
        for pair in zip(first.page[steep].tolist(), second.page[steep].tolist()):
            slanted[pair] = slanted.get(pair, 0) + 1
        for a, b, one, other in zip(first.page.tolist(), second.page.tolist(), first.place, second.place):
            rows.setdefault((a, b), []).append(one - other)
    most = _ends_a_page(lists, overlap)
    found: Pairs = {}
    for (first, second), offsets in rows.items():
        every = np.array(offsets)
        middle = np.median(every, axis=0)
        miss = np.abs(every - middle).max(axis=1)
        # The mean of what agrees is steadier than the median where coordinates scatter.
        middle = every[miss <= max(0.01, 2.5 * float(np.median(miss)))].mean(axis=0)
        apart = every - middle
        # Where a line goes on inside the neighbour only its height can miss.
        residual = float((np.abs(apart[:, 1 - axis]) if overlap else np.hypot(*apart.T)).mean())
        offset = (float(middle[0]), float(middle[1]))
        matched = counted[first, second]
        ends = most[0].get(first, 0) + most[1].get(second, 0)
        whole = matched if overlap else 2 * matched
        found[first, second, side] = Proof(
            offset, matched, max(0, ends - whole), residual, slanted.get((first, second), 0)
        )
    return found


def _ends_a_page(lists: _Lists, overlap: float) -> Tuple[Dict[int, int], Dict[int, int]]:
    """How many different ends each page has on its far and on its near side."""
    found = []
    for ends in (lists.far, lists.near):
        places = {
            (int(page), round(float(place[1 - lists.axis]), 1)) for page, place in zip(ends.page, ends.place)
        }
        counts: Dict[int, int] = {}
        for page, _ in places:
            counts[page] = counts.get(page, 0) + 1
        found.append(counts)
    return found[0], found[1]
