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
# What it costs to turn off a line half-way (mm); both are tried.
_TURNS = (0.0, 1000.0)
# A ring whose area is less than this part of a circle's with its girth is a strip.
_STRIP = 0.03
# A line across a closed outline makes a second outline where the sizes look alike only if
# it is this part of the new girth; or, running straight across rather than in and out like
# a dart, if the new outline is this part of the old one's area: then it is a hem rather than
# a line to lengthen at.
_SHARE, _ACROSS, _MOST = 0.4, 0.4, 0.75
# Areas and girths that differ by no more than this part are one outline found twice.
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
    lines: Sequence[Whole],
    shapes: Shapes,
    owner: Sequence[int],
    alike: bool = False,
    sure: bool = True,
) -> Tuple[Tuple[Ring, ...], Tuple[Open, ...]]:
    """All closed outlines, and what stays open.

    Args:
        owner: for each line the number of its group, ``EVERYBODY`` or ``NOBODY``.
        alike: the lines of a group may be of different sizes, which nothing but their
            place tells apart.
        sure: the groups are sizes; otherwise a line across another's outline is doubted.
    """
    rings = [_whole_ring(lines, shapes, number, owner[number]) for number in _closed(shapes, owner)]
    graph = build(shapes, [n for n in range(len(lines)) if owner[n] != NOBODY])
    closing = _Closing(lines, shapes, owner, graph, rings, alike, sure and not alike)
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
        sure: bool,
    ) -> None:
        self.lines, self.shapes, self.owner, self.graph = lines, shapes, owner, graph
        self.rings, self.alike, self.sure = rings, alike, sure
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
            if self.alike and len(own) > 1:  # lines of two sizes may just happen to meet
                for run in sorted(chain.runs, key=lambda run: -self.shapes.lengths[run.line]):
                    self.add(_Chain((run,), *self._ends(run)))
            else:
                self._leave(chain, own)
            return
        self.rings.append(best)
        self.used.update(best.own)

    def _ends(self, run: Run) -> Tuple[int, int]:
        first, last = self.graph.ends[run.line]
        return (first, last) if run.start <= run.stop else (last, first)

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
        if self.sure or chain.first == chain.last:
            return True
        if any(_same(old, ring) for old in self.rings):
            return False
        length = self.length(chain)
        over = [old for old in self.rings if self._on(old, chain)]
        if length >= _SHARE * ring.girth or not over:
            return True
        first, last = self.graph.points[[chain.first, chain.last]]
        straight = np.hypot(*(last - first)) >= _ACROSS * length
        return bool(straight) and ring.area >= _MOST * min(old.area for old in over)

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
        """Ways from the chain's last node back to its first, by every link it can leave by."""
        mine = {run.line for run in chain.runs}
        barred = set().union(*(self.graph.on[line] for line in mine)) - {chain.first}
        owner = self.owner[chain.runs[0].line]
        found: List[List[Tuple[int, bool]]] = []
        for number in self.graph.at[chain.last]:
            link = self.graph.links[number]
            forward = link.first == chain.last
            node = link.second if forward else link.first
            if link.line in mine or node in barred or not self._may(link, owner):
                continue
            for turn in _TURNS:
                way = self._way((number, forward), chain, barred, owner, turn)
                if way is not None and way not in found:
                    found.append(way)
        return found

    def _may(self, link: Link, owner: int) -> bool:
        """A gap is bridged only between lines of the size itself, or of all sizes."""
        if not (self.sure or self.alike):
            return True
        return link.line >= 0 or all(self.owner[n] in (owner, EVERYBODY) for n in link.beside)

    def _cost(self, link: Link, owner: int) -> float:
        if link.line < 0:
            return _GAP * link.gap
        whose = self.owner[link.line]
        if whose == owner and self.sure:
            return _OWN * link.size
        return (_ALL if whose == EVERYBODY else _OTHER) * link.size

    def _turn(self, link: Link, following: Link, node: int, owner: int) -> bool:
        """Whether a way turns off one line into another half-way along it.

        Only onto a size's own line, at its end, is that the thing to do.
        """
        if link.line == following.line or min(link.line, following.line) < 0:
            return False
        at_end = [node in self.graph.ends.get(n, ()) for n in (link.line, following.line)]
        own = [self.owner[n] == owner and not self.alike for n in (link.line, following.line)]
        if any(own):
            return any(mine and not end for mine, end in zip(own, at_end))
        return not all(at_end)

    def _way(
        self, first: Tuple[int, bool], chain: _Chain, barred: Set[int], owner: int, turn: float
    ) -> Optional[List[Tuple[int, bool]]]:
        """The cheapest way that begins with a link and ends at the chain's start (Dijkstra 1959).

        ``turn``: what it costs to turn off a line half-way.
        """
        links, at = self.graph.links, self.graph.at
        best = {first: 0.0}
        came: Dict[Tuple[int, bool], Tuple[int, bool]] = {}
        queue = [(0.0, first)]
        while queue:
            cost, step = heapq.heappop(queue)
            link = links[step[0]]
            node = link.second if step[1] else link.first
            if node == chain.first:
                return _traced(came, step)
            if cost > best[step]:
                continue
            for number in at[node]:
                following = links[number]
                forward = following.first == node
                if (following.second if forward else following.first) in barred:
                    continue
                if number == step[0] or not self._may(following, owner):
                    continue
                reached = cost + self._cost(following, owner)
                reached += turn if self._turn(link, following, node, owner) else 0.0
                ahead = (number, forward)
                if reached < best.get(ahead, np.inf):
                    best[ahead] = reached
                    came[ahead] = step
                    heapq.heappush(queue, (reached, ahead))
        return None


def _same(one: Ring, other: Ring) -> bool:
    """Whether two rings are one outline found twice."""
    near_by = np.abs(np.subtract(one.box, other.box)).max() <= SILENT
    sizes = ((one.area, other.area), (one.girth, other.girth))
    return bool(near_by) and all(abs(a - b) <= _TWICE * max(a, b) for a, b in sizes)


def _traced(came: Dict[Tuple[int, bool], Tuple[int, bool]], step: Tuple[int, bool]) -> List[Tuple[int, bool]]:
    way = [step]
    while step in came:
        step = came[step]
        way.append(step)
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
