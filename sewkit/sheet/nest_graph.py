"""Where lines of a sheet meet: a graph of their ends, and of the spots where ends lie on lines.

A line is cut where another one ends on it; between two cuts it is one link of the graph.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.sheet.nest_shapes import BRIDGED, SILENT, SMALLEST, Shapes, near

# Owner of a line: of no size and not to be used, or of all sizes; sizes count from 1.
NOBODY, EVERYBODY = -1, 0
# Shorter lines that only end on another one are notches, not parts of an outline (mm).
_TICK = 15.0
# Two cuts of a line nearer than this are one (mm): far above rounding, far below any step
# between two sizes.
_SAME_CUT = 1e-3


class Link(NamedTuple):
    """A part of a line between two nodes, ``start`` to ``stop`` mm along; or a gap (line -1).

    A part of a closed line may run through its start: ``stop`` is then beyond its length.
    A gap knows the two lines ``beside`` it.
    """

    line: int
    start: float
    stop: float
    first: int
    second: int
    gap: float = 0.0
    beside: Tuple[int, int] = (-1, -1)

    @property
    def size(self) -> float:
        """How long it is (mm)."""
        return self.gap if self.line < 0 else self.stop - self.start


class Graph(NamedTuple):
    """Nodes with their points, links, and what leads from where to where.

    Args:
        points: ``(n, 2)`` mm.
        links: all of them.
        at: for each node the numbers of its links.
        ends: for each open line in play its two nodes.
        on: for each line the nodes that lie on it, its ends among them.
    """

    points: np.ndarray
    links: Tuple[Link, ...]
    at: Tuple[Tuple[int, ...], ...]
    ends: Dict[int, Tuple[int, int]]
    on: Dict[int, Set[int]]


class _Meeting(NamedTuple):
    """An end (its row) near a line, at how many mm along it, and how far off."""

    end: int
    line: int
    along: float
    distance: float


def build(shapes: Shapes, lines: Sequence[int], owner: Optional[Sequence[int]] = None) -> Graph:
    """The graph of some lines; those that are closed take part where others end on them.

    ``owner``: for each line the number of its size (from 1), where that is sure.  Two ends of
    one size have a gap between them also where they happen to lie on another size's line.
    """
    open_lines = _open_lines(shapes, lines)
    if not open_lines:
        return Graph(np.zeros((0, 2)), (), (), {}, {})
    closed = [line for line in lines if shapes.closed[line] and shapes.areas[line] >= SMALLEST]
    rows = {line: 2 * number for number, line in enumerate(open_lines)}
    tips = np.concatenate([shapes.points[line][[0, -1]] for line in open_lines])
    pairs = _pairs(tips, BRIDGED)
    node = _united(len(tips), [pair for pair in pairs if pair[2] <= SILENT])
    meetings = _meetings(shapes, open_lines + closed, rows, tips)
    cuts: Dict[int, List[Tuple[float, int]]] = {line: [] for line in open_lines + closed}
    for line, row in rows.items():
        cuts[line] += [(0.0, node[row]), (shapes.lengths[line], node[row + 1])]
    meets = np.bincount(node, minlength=len(tips)) > 1
    resting = {meeting.end for meeting in meetings if meeting.distance <= SILENT}
    loose = {n for n in range(len(tips)) if n not in resting and not meets[node[n]]}
    whose = [owner[line] if owner is not None else 0 for line in open_lines]
    # An end that lies on nothing but other sizes' lines is loose to its own size.
    held = {
        meeting.end
        for meeting in meetings
        if meeting.distance <= SILENT
        and (owner is None or owner[meeting.line] in (EVERYBODY, whose[meeting.end // 2]))
    }
    alone = {n for n in range(len(tips)) if n not in held and not meets[node[n]]}

    def is_gap(a: int, b: int) -> bool:
        return {a, b} <= loose or (whose[a // 2] == whose[b // 2] > 0 and {a, b} <= alone)

    gaps = [
        Link(-1, 0.0, 0.0, node[a], node[b], gap, (open_lines[a // 2], open_lines[b // 2]))
        for a, b, gap in pairs
        if gap > SILENT and is_gap(a, b)
    ]
    points = list(tips)
    for meeting in meetings:
        spot = node[meeting.end]
        if meeting.distance > SILENT:
            if meeting.end not in loose:
                continue
            spot = len(points)
            points.append(_spot(shapes, meeting))
            beside = (open_lines[meeting.end // 2], meeting.line)
            gaps.append(Link(-1, 0.0, 0.0, node[meeting.end], spot, meeting.distance, beside))
        cuts[meeting.line].append((meeting.along, spot))
    return _assembled(shapes, np.array(points), cuts, gaps, rows, node)


def _open_lines(shapes: Shapes, lines: Sequence[int]) -> List[int]:
    """The open lines that can be part of an outline; a tick counts where both its ends meet others."""
    chosen = [line for line in lines if not shapes.closed[line] and len(shapes.points[line]) > 1]
    if not chosen:
        return []
    tips = np.concatenate([shapes.points[line][[0, -1]] for line in chosen])
    meeting = {row for a, b, _ in _pairs(tips, SILENT) for row in (a, b) if a // 2 != b // 2}
    both = [2 * n in meeting and 2 * n + 1 in meeting for n in range(len(chosen))]
    return [line for n, line in enumerate(chosen) if shapes.lengths[line] > _TICK or both[n]]


def _pairs(tips: np.ndarray, reach: float) -> List[Tuple[int, int, float]]:
    """Pairs of ends within reach, nearest first."""
    order = np.argsort(tips[:, 0], kind="stable")
    ordered = tips[order]
    found = []
    for shift in range(1, len(tips)):
        step = ordered[shift:] - ordered[:-shift]
        if not (step[:, 0] <= reach).any():
            break
        rows = np.flatnonzero((step[:, 0] <= reach) & (np.abs(step[:, 1]) <= reach))
        gaps = np.hypot(step[rows, 0], step[rows, 1])
        for row, gap in zip(rows[gaps <= reach], gaps[gaps <= reach]):
            one, other = sorted((int(order[row]), int(order[row + shift])))
            found.append((one, other, float(gap)))
    return sorted(found, key=lambda pair: (pair[2], pair[0], pair[1]))


def _united(count: int, pairs: Sequence[Tuple[int, int, float]]) -> List[int]:
    """The node of each end: ends that meet share one."""
    parent = list(range(count))

    def root(number: int) -> int:
        while parent[number] != number:
            parent[number] = parent[parent[number]]
            number = parent[number]
        return number

    for one, other, _ in pairs:
        low, high = sorted((root(one), root(other)))
        parent[high] = low
    return [root(number) for number in range(count)]


def _meetings(shapes: Shapes, lines: Sequence[int], rows: Dict[int, int], tips: np.ndarray) -> List[_Meeting]:
    """Ends that lie on a line between its own ends, or stop a little before it."""
    found = []
    for line in lines:
        left, top, right, bottom = shapes.boxes[line]
        close = (tips[:, 0] >= left - BRIDGED) & (tips[:, 0] <= right + BRIDGED)
        close &= (tips[:, 1] >= top - BRIDGED) & (tips[:, 1] <= bottom + BRIDGED)
        if line in rows:
            close[rows[line] : rows[line] + 2] = False
        near_ones = np.flatnonzero(close)
        if not len(near_ones):
            continue
        spots = near(shapes.points[line], shapes.along[line], tips[near_ones])
        for row, distance, along in zip(near_ones, spots.distance, spots.along):
            at_end = line in rows and min(along, shapes.lengths[line] - along) <= SILENT
            if distance <= BRIDGED and not at_end:
                found.append(_Meeting(int(row), line, float(along), float(distance)))
    return sorted(found)


def _spot(shapes: Shapes, meeting: _Meeting) -> np.ndarray:
    run, along = shapes.points[meeting.line], shapes.along[meeting.line]
    return np.array([np.interp(meeting.along, along, run[:, k]) for k in (0, 1)])


def _once(places: Sequence[Tuple[float, int]], length: float) -> List[Tuple[float, int]]:
    """Cuts in order, of several beside each other for one node only one: no bit is lost between."""
    kept: List[Tuple[float, int]] = []
    for along, node in places:
        if kept and kept[-1][1] == node and along - kept[-1][0] <= 2 * SILENT:
            if along == length:  # the line's own end stays
                kept[-1] = (along, node)
            continue
        kept.append((along, node))
    return kept


def _assembled(
    shapes: Shapes,
    points: np.ndarray,
    cuts: Dict[int, List[Tuple[float, int]]],
    gaps: Sequence[Link],
    rows: Dict[int, int],
    node: Sequence[int],
) -> Graph:
    links: List[Link] = []
    on: Dict[int, Set[int]] = {}
    for line, places in cuts.items():
        places = _once(sorted(places), shapes.lengths[line])
        on[line] = {spot for _, spot in places}
        if shapes.closed[line] and places:
            places = places + [(places[0][0] + shapes.lengths[line], places[0][1])]
        for (start, first), (stop, second) in zip(places, places[1:]):
            if first != second or (stop - start > _SAME_CUT and not shapes.closed[line]):
                links.append(Link(line, start, stop, first, second))
    links += gaps
    at: List[List[int]] = [[] for _ in points]
    for number, link in enumerate(links):
        at[link.first].append(number)
        if link.second != link.first:
            at[link.second].append(number)
    ends = {line: (node[row], node[row + 1]) for line, row in rows.items()}
    return Graph(points, tuple(links), tuple(tuple(row) for row in at), ends, on)
