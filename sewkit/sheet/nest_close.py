"""Closed outlines out of whole lines: by themselves, end to end, or through shared lines.

Where sizes run together one line serves them all.  A size's own line ends there; the way
from its end back to its start is looked for over the lines of the sheet, its own ones
first.  Of several ways the one that gives the fullest outline is taken: a way along the
neighbouring size encloses a mere strip.
"""

import heapq
from typing import Dict, List, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Box, Gap, Whole
from sewkit.sheet.nest_graph import Graph, Link, build
from sewkit.sheet.nest_join import Run, joined, run_points
from sewkit.sheet.nest_shapes import SILENT, SMALLEST, Shapes, area, box_of, near

# What a millimetre on the way costs: along a size's own line next to nothing, along lines
# of all sizes the plain length, along another size a little more; a gap of one millimetre
# as much as a detour of thirty.
_OWN, _ALL, _OTHER, _GAP = 0.02, 1.0, 1.05, 30.0
# A ring whose area is less than this part of a circle's with its girth is a strip.
_STRIP = 0.03
# A line across a closed outline makes a second outline where the sizes look alike only if
# it is this part of the new girth; or, running straight across rather than in and out like
# a dart, if the new outline is this part of the old one's area: then it is a hem rather than
# a line to lengthen at.
_SHARE, _ACROSS, _MOST = 0.4, 0.7, 0.75
# Areas that differ by no more than this part are one outline found twice.
_TWICE = 1e-4
# Owner of a line: of no size and not to be used, or of all sizes; sizes count from 1.
NOBODY, EVERYBODY = -1, 0


class Ring(NamedTuple):
    """One closed outline.

    Args:
        owner: number of the size's group; ``EVERYBODY`` for a line that serves all.
        path: closed, clockwise on the sheet.
        points: the same as points ``(k, 2)``.
        lines: whole lines it is made of; ``own`` those that belong to this outline alone.
        gaps: what was bridged.
        area: mm2.
        girth: mm.
    """

    owner: int
    path: Path
    points: np.ndarray
    lines: Tuple[int, ...]
    own: Tuple[int, ...]
    gaps: Tuple[Gap, ...]
    area: float
    girth: float
    box: Box


class Open(NamedTuple):
    """Lines of one group, end to end, that could not be closed, and their two ends (mm)."""

    owner: int
    lines: Tuple[int, ...]
    first: Tuple[float, float]
    last: Tuple[float, float]
    length: float
    box: Box


class _Chain(NamedTuple):
    """Lines end to end: runs, and the nodes at both ends."""

    runs: Tuple[Run, ...]
    first: int
    last: int


def close(
    lines: Sequence[Whole], shapes: Shapes, owner: Sequence[int], alike: bool = False
) -> Tuple[Tuple[Ring, ...], Tuple[Open, ...]]:
    """All closed outlines, and what stays open.

    Args:
        owner: for each line the number of its group, ``EVERYBODY`` or ``NOBODY``.
        alike: the lines of a group may be of different sizes, which nothing but their
            place tells apart.
    """
    rings = [_whole_ring(lines, shapes, number, owner[number]) for number in _closed(shapes, owner)]
    graph = build(shapes, [n for n in range(len(lines)) if owner[n] != NOBODY])
    closing = _Closing(lines, shapes, owner, graph, rings, alike)
    chains = closing.chains()
    for chain in sorted(chains, key=closing.length, reverse=True):
        closing.add(chain)
    return tuple(closing.rings), tuple(closing.left)


def _closed(shapes: Shapes, owner: Sequence[int]) -> List[int]:
    large = shapes.closed & (shapes.areas >= SMALLEST)
    return [int(n) for n in np.flatnonzero(large) if owner[n] != NOBODY]


def _whole_ring(lines: Sequence[Whole], shapes: Shapes, number: int, owner: int) -> Ring:
    """The outline that one line is by itself."""
    line = lines[number]
    path = line.path
    if not path.closed:
        path, _ = joined(lines, shapes, [Run(number, 0.0, shapes.lengths[number])], None)
    points = shapes.points[number][:-1]
    return _ring(owner, path, points, (number,), (number,), line.gaps)


def _ring(
    owner: int,
    path: Path,
    points: np.ndarray,
    lines: Tuple[int, ...],
    own: Tuple[int, ...],
    gaps: Tuple[Gap, ...],
) -> Ring:
    turned = area(points)
    if turned < 0:
        path, points = path.reverse(), points[::-1]
    steps = np.roll(points, -1, axis=0) - points
    girth = float(np.hypot(steps[:, 0], steps[:, 1]).sum())
    return Ring(owner, path, points, lines, own, gaps, abs(turned), girth, box_of(points))


class _Closing:
    """The work in hand: rings found so far, and lines that are spoken for."""

    def __init__(
        self,
        lines: Sequence[Whole],
        shapes: Shapes,
        owner: Sequence[int],
        graph: Graph,
        rings: List[Ring],
        alike: bool,
    ) -> None:
        self.lines, self.shapes, self.owner, self.graph = lines, shapes, owner, graph
        self.rings, self.alike = rings, alike
        self.used: Set[int] = {number for ring in rings for number in ring.own}
        self.left: List[Open] = []

    def length(self, chain: _Chain) -> float:
        """How long a chain is (mm)."""
        return float(sum(self.shapes.lengths[run.line] for run in chain.runs))

    def chains(self) -> List[_Chain]:
        """Open lines put end to end where there is no choice."""
        found, taken = [], set()  # type: List[_Chain], Set[int]
        at: Dict[Tuple[int, int], List[Tuple[int, bool]]] = {}
        for line, (first, last) in self.graph.ends.items():
            at.setdefault((self.owner[line], first), []).append((line, True))
            at.setdefault((self.owner[line], last), []).append((line, False))
        for line, (first, last) in self.graph.ends.items():
            if line in taken:
                continue
            taken.add(line)
            runs = [Run(line, 0.0, self.shapes.lengths[line])]
            ahead, last = self._extended(at, line, last, taken)
            behind, first = self._extended(at, line, first, taken)
            runs = [run.reverse() for run in reversed(behind)] + runs + ahead
            found.append(_Chain(tuple(runs), first, last))
        return found

    def _extended(
        self, at: Dict[Tuple[int, int], List[Tuple[int, bool]]], line: int, node: int, taken: Set[int]
    ) -> Tuple[List[Run], int]:
        """Lines of the same group that go on from a node, and the node where they end."""
        runs: List[Run] = []
        while True:
            here = at[(self.owner[line], node)]
            others = [(n, begins) for n, begins in here if n != line]
            alone = len(here) == 2 and (not self.alike or len(self.graph.at[node]) == 2)
            if not alone or len(others) != 1 or others[0][0] in taken:
                return runs, node
            line, begins = others[0]
            taken.add(line)
            length = self.shapes.lengths[line]
            runs.append(Run(line, 0.0, length) if begins else Run(line, length, 0.0))
            node = self.graph.ends[line][1 if begins else 0]

    def add(self, chain: _Chain) -> None:
        """Close one chain if it can be; else note that it stays open."""
        own = [run.line for run in chain.runs]
        if self.used.intersection(own):
            return
        if chain.first == chain.last and (len(own) > 1 or self.shapes.closed[own[0]]):
            best = self._ring_of(chain, ())
        elif self._across_own(chain):
            return
        elif self.owner[own[0]] == EVERYBODY:
            return  # a fold, a level: others may close through it
        else:
            ways = [self._ring_of(chain, way) for way in self._ways(chain)]
            good = [ring for ring in ways if ring is not None]
            best = max(good, key=lambda ring: ring.area / ring.girth) if good else None
        if best is None or not self._believed(chain, best):
            self._leave(chain, own)
            return
        self.rings.append(best)
        self.used.update(best.own)

    def _leave(self, chain: _Chain, own: Sequence[int]) -> None:
        points = np.concatenate([self.shapes.points[number] for number in own])
        ends = [tuple(map(float, self.graph.points[node])) for node in (chain.first, chain.last)]
        owner = self.owner[own[0]]
        self.left.append(Open(owner, tuple(own), ends[0], ends[1], self.length(chain), box_of(points)))

    def _on(self, ring: Ring, chain: _Chain) -> bool:
        """Whether both ends of a chain lie on a ring."""
        ends = self.graph.points[[chain.first, chain.last]]
        left, top, right, bottom = ring.box
        if (ends < (left - SILENT, top - SILENT)).any() or (ends > (right + SILENT, bottom + SILENT)).any():
            return False
        run = np.vstack([ring.points, ring.points[:1]])
        steps = np.diff(run, axis=0)
        along = np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])
        return bool((near(run, along, ends).distance <= SILENT).all())

    def _across_own(self, chain: _Chain) -> bool:
        """A line from edge to edge of its own size's outline is no outline: a dart, a level."""
        if self.alike:
            return False
        owner = self.owner[chain.runs[0].line]
        return any(ring.owner == owner and self._on(ring, chain) for ring in self.rings)

    def _believed(self, chain: _Chain, ring: Ring) -> bool:
        """Whether a ring can be an outline at all."""
        if ring.area < SMALLEST or 4 * np.pi * ring.area < _STRIP * ring.girth**2:
            return False
        if not self.alike or chain.first == chain.last:
            return True
        length = self.length(chain)
        over = [old for old in self.rings if self._on(old, chain)]
        if any(abs(old.area - ring.area) < _TWICE * old.area and old.lines == ring.lines for old in over):
            return False
        if length >= _SHARE * ring.girth or not over:
            return True
        first, last = self.graph.points[[chain.first, chain.last]]
        straight = np.hypot(*(last - first)) >= _ACROSS * length
        return bool(straight) and all(ring.area >= _MOST * old.area for old in over)

    def _ring_of(self, chain: _Chain, way: Sequence[Tuple[int, bool]]) -> Optional[Ring]:
        """The ring made of a chain and a way back to its start."""
        runs = list(chain.runs)
        for number, forward in way:
            link = self.graph.links[number]
            if link.line < 0:
                continue
            part = Run(link.line, link.start, link.stop)
            part = part if forward else part.reverse()
            runs.append(part)
        runs = _merged(runs)
        points = np.concatenate([run_points(self.shapes, run) for run in runs])
        if abs(area(points)) < SMALLEST:
            return None
        path, gaps = joined(self.lines, self.shapes, runs, self._spots(chain, way))
        lines = tuple(dict.fromkeys(run.line for run in runs))
        owner = self.owner[chain.runs[0].line]
        own = {run.line for run in chain.runs}
        if not self.alike:
            own |= {run.line for run in runs if self.owner[run.line] == owner}
        gaps += tuple(gap for line in lines for gap in self.lines[line].gaps)
        return _ring(owner, path, points, lines, tuple(n for n in lines if n in own), gaps)

    def _spots(self, chain: _Chain, way: Sequence[Tuple[int, bool]]) -> np.ndarray:
        """Points of the nodes passed, ``(k, 2)``: there the lines are cut."""
        nodes = {chain.first, chain.last}
        for number, _ in way:
            nodes |= {self.graph.links[number].first, self.graph.links[number].second}
        return self.graph.points[sorted(nodes)]

    def _ways(self, chain: _Chain) -> List[List[Tuple[int, bool]]]:
        """Ways from the chain's last node back to its first: one for each link it can leave by."""
        mine = {run.line for run in chain.runs}
        barred = set().union(*(self.graph.on[line] for line in mine)) - {chain.first, chain.last}
        owner = self.owner[chain.runs[0].line]
        found = []
        for number in self.graph.at[chain.last]:
            link = self.graph.links[number]
            if link.line in mine or not self._may(link, owner):
                continue
            forward = link.first == chain.last
            node = link.second if forward else link.first
            if node in barred or node == chain.last:
                continue
            rest = self._way(node, chain, mine, barred | {chain.last}, owner)
            if rest is not None:
                found.append([(number, forward)] + rest)
        return found

    def _may(self, link: Link, owner: int) -> bool:
        """A gap is bridged only between lines of the size itself, or of all sizes."""
        return link.line >= 0 or all(self.owner[n] in (owner, EVERYBODY) for n in link.beside)

    def _cost(self, link: Link, owner: int) -> float:
        if link.line < 0:
            return _GAP * link.gap
        whose = self.owner[link.line]
        if whose == owner and not self.alike:
            return _OWN * link.size
        return (_ALL if whose == EVERYBODY else _OTHER) * link.size

    def _way(
        self, start: int, chain: _Chain, mine: Set[int], barred: Set[int], owner: int
    ) -> Optional[List[Tuple[int, bool]]]:
        """The cheapest way from a node to the chain's first node (Dijkstra 1959)."""
        best = {start: 0.0}
        came: Dict[int, Tuple[int, int, bool]] = {}
        queue = [(0.0, start)]
        while queue:
            cost, node = heapq.heappop(queue)
            if node == chain.first:
                return _traced(came, start, node)
            if cost > best[node]:
                continue
            for number in self.graph.at[node]:
                link = self.graph.links[number]
                forward = link.first == node
                following = link.second if forward else link.first
                if link.line in mine or following in barred or not self._may(link, owner):
                    continue
                reached = cost + self._cost(link, owner)
                if reached < best.get(following, np.inf):
                    best[following] = reached
                    came[following] = (node, number, forward)
                    heapq.heappush(queue, (reached, following))
        return None


def _traced(came: Dict[int, Tuple[int, int, bool]], start: int, node: int) -> List[Tuple[int, bool]]:
    way = []
    while node != start:
        node, number, forward = came[node]
        way.append((number, forward))
    return way[::-1]


def _merged(runs: Sequence[Run]) -> List[Run]:
    """Runs that go on along the same line made one."""
    found: List[Run] = []
    for run in runs:
        if found and found[-1].line == run.line and found[-1].goes_on(run):
            found[-1] = found[-1].with_stop(run)
        else:
            found.append(run)
    return found
