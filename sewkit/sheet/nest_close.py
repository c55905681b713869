"""Closed outlines out of whole lines: by themselves, end to end, or through shared lines.

Where sizes run together one line serves them all.  A size's own line ends there; the way
from its end back to its start is looked for over the lines of the sheet, its own ones
first.  Of several ways the one that gives the fullest outline is taken: a way along the
neighbouring size encloses a mere strip.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Box, Gap, Whole
from sewkit.sheet.nest_graph import EVERYBODY, NOBODY, Graph, build
from sewkit.sheet.nest_join import Run, joined, run_points
from sewkit.sheet.nest_shapes import (
    BRIDGED,
    SILENT,
    SMALLEST,
    Shapes,
    area,
    box_of,
    girth,
    inside,
    near,
    spread,
)
from sewkit.sheet.nest_way import TURNS, Search, Step

# A ring whose area is less than this part of a circle's with its girth is a strip.
_STRIP = 0.03
# A line across a closed outline makes a second outline where the sizes look alike only if
# it is this part of the new girth; or, running straight across rather than in and out like
# a dart, if the new outline is this part of the old one's area: then it is a hem rather than
# a line to lengthen at.
_SHARE, _ACROSS, _MOST = 0.4, 0.4, 0.75
# Areas and girths that differ by no more than this part are one outline found twice.
_TWICE = 1e-4
# Places on a ring that are looked at, and the part of them that may lie on another ring by
# chance where the ring is inside that one.
_LOOKS, _FEW = 100, 0.05
# A ring whose area is this part of a circle's is full: no other way need be tried.
_FULL = 0.2


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
        sure: the groups are sizes; otherwise a line across another's outline is doubted,
            and outlines of several lines are told as points only.
    """
    rings = list(
        whole_rings(lines, shapes, owner, np.flatnonzero(shapes.closed & (shapes.areas >= SMALLEST)))
    )
    in_play = [n for n in range(len(lines)) if owner[n] != NOBODY]
    graph = build(shapes, in_play, owner if sure and not alike else None)
    closing = _Closing(lines, shapes, owner, graph, rings, alike, sure and not alike)
    chains = closing.chains()
    for chain in sorted(chains, key=closing.length, reverse=True):
        closing.add(chain)
    return tuple(closing.rings), tuple(closing.left)


def whole_rings(
    lines: Sequence[Whole], shapes: Shapes, owner: Sequence[int], numbers: Sequence[int]
) -> Tuple[Ring, ...]:
    """The outlines that some closed lines are by themselves; ``owner`` as in ``close``."""
    return tuple(_whole_ring(lines, shapes, int(n), owner[n]) for n in numbers if owner[n] != NOBODY)


def _whole_ring(lines: Sequence[Whole], shapes: Shapes, number: int, owner: int) -> Ring:
    """The outline that one line is by itself."""
    line = lines[number]
    path, points = line.path, shapes.points[number][:-1]
    if not path.closed:
        path, _ = joined(lines, shapes, [Run(number, 0.0, shapes.lengths[number])], None)
        points = shapes.points[number]
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
    return Ring(owner, path, points, lines, own, gaps, abs(turned), girth(points), box_of(points))


class _Draft(NamedTuple):
    """A ring before its exact curves are cut."""

    way: Tuple[Step, ...]
    runs: Tuple[Run, ...]
    points: np.ndarray
    area: float
    girth: float
    box: Box

    @property
    def width(self) -> float:
        """How wide it is, as a measure: its area for each millimetre of its girth (mm)."""
        return self.area / max(self.girth, 1e-9)

    @property
    def fullness(self) -> float:
        """Its area as a part of that of a circle of the same girth."""
        return 4 * np.pi * self.area / max(self.girth, 1e-9) ** 2


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
        self.alike, self.sure = alike, sure
        self.search = Search(graph, owner, not alike, sure, [line.hidden for line in lines])
        self.used: Set[int] = set()
        self.left: List[Open] = []
        self.rings: List[Ring] = []
        self.boxes = np.zeros((len(rings) + len(graph.ends), 4))
        for ring in rings:
            self._keep(ring)

    def _keep(self, ring: Ring) -> None:
        self.boxes[len(self.rings)] = ring.box
        self.rings.append(ring)
        self.used.update(ring.own)

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
            best: Optional[_Draft] = self._draft(chain, ())
        elif self._across_own(chain) or self.owner[own[0]] == EVERYBODY:
            return  # a dart, a level; a fold: others may close through it
        else:
            best = self._fullest(chain)
        if best is not None and self._believed(chain, best):
            self._keep(self._ring_of(chain, best))
        elif self.alike and len(own) > 1:  # lines of two sizes may just happen to meet
            for run in sorted(chain.runs, key=lambda run: -self.shapes.lengths[run.line]):
                self.add(_Chain((run,), *self._ends(run)))
        else:
            self._leave(chain, own)

    def _fullest(self, chain: _Chain) -> Optional[_Draft]:
        """Of all ways to close a chain the one that gives the fullest outline."""
        mine = {run.line for run in chain.runs}
        owner = self.owner[chain.runs[0].line]
        best: Optional[_Draft] = None
        for turn in TURNS:
            for way in self.search.ways(mine, chain.first, chain.last, owner, turn):
                draft = self._draft(chain, way)
                if best is None or draft.width > best.width:
                    best = draft
            if best is not None and best.fullness >= _FULL:
                break
        return best

    def _ends(self, run: Run) -> Tuple[int, int]:
        first, last = self.graph.ends[run.line]
        return (first, last) if run.start <= run.stop else (last, first)

    def _leave(self, chain: _Chain, own: Sequence[int]) -> None:
        points = np.concatenate([self.shapes.points[number] for number in own])
        ends = [tuple(map(float, self.graph.points[node])) for node in (chain.first, chain.last)]
        owner = self.owner[own[0]]
        self.left.append(Open(owner, tuple(own), ends[0], ends[1], self.length(chain), box_of(points)))

    def _on(self, chain: _Chain, owner: Optional[int] = None) -> List[Ring]:
        """The rings, of one owner perhaps, on which both ends of a chain lie."""
        ends = self.graph.points[[chain.first, chain.last]]
        boxes = self.boxes[: len(self.rings)]
        low, high = ends.min(axis=0) + SILENT, ends.max(axis=0) - SILENT
        close = (boxes[:, :2] <= low).all(axis=1) & (boxes[:, 2:] >= high).all(axis=1)
        rings = [self.rings[n] for n in np.flatnonzero(close)]
        return [ring for ring in rings if owner in (None, ring.owner) and _lie_on(ends, ring)]

    def _across_own(self, chain: _Chain) -> bool:
        """A line from edge to edge of its own size's outline is no outline: a dart, a level."""
        return not self.alike and bool(self._on(chain, self.owner[chain.runs[0].line]))

    def _believed(self, chain: _Chain, draft: _Draft) -> bool:
        """Whether a ring can be an outline at all."""
        if draft.area < SMALLEST or draft.fullness < _STRIP:
            return False
        if self.sure:
            return not self._overlaps(draft, self.owner[chain.runs[0].line])
        if chain.first == chain.last:
            return True
        boxes = self.boxes[: len(self.rings)]
        same_box = np.flatnonzero(np.abs(boxes - draft.box).max(axis=1) <= SILENT) if len(boxes) else ()
        if any(_same(self.rings[n], draft) for n in same_box):
            return False
        length = self.length(chain)
        if length >= _SHARE * draft.girth:
            return True
        over = self._on(chain)
        first, last = self.graph.points[[chain.first, chain.last]]
        straight = np.hypot(*(last - first)) >= _ACROSS * length
        return not over or (bool(straight) and draft.area >= _MOST * min(old.area for old in over))

    def _overlaps(self, draft: _Draft, owner: int) -> bool:
        """Whether a ring lies partly in another one of its size, as no two pieces on paper do."""
        boxes = self.boxes[: len(self.rings)]
        meet = (boxes[:, :2] < np.array(draft.box[2:]) - SILENT).all(axis=1)
        meet &= (boxes[:, 2:] > np.array(draft.box[:2]) + SILENT).all(axis=1)
        for number in np.flatnonzero(meet):
            ring = self.rings[number]
            if ring.owner == owner and (
                lies_partly_in(draft.points, ring.points) or lies_partly_in(ring.points, draft.points)
            ):
                return True
        return False

    def _draft(self, chain: _Chain, way: Sequence[Step]) -> _Draft:
        """The ring made of a chain and a way back to its start."""
        runs = list(chain.runs)
        for number, forward in way:
            link = self.graph.links[number]
            if link.line >= 0:
                run = Run(link.line, link.start, link.stop)
                runs.append(run if forward else run.reverse())
        runs = _merged(runs)
        points = np.concatenate([run_points(self.shapes, run) for run in runs])
        return _Draft(tuple(way), tuple(runs), points, abs(area(points)), girth(points), box_of(points))

    def _ring_of(self, chain: _Chain, draft: _Draft) -> Ring:
        """The ring with its exact curves, cut where other lines end on them."""
        nodes = {chain.first, chain.last}
        for number, _ in draft.way:
            nodes |= {self.graph.links[number].first, self.graph.links[number].second}
        spots = self.graph.points[sorted(nodes)]
        if self.sure:
            path, gaps = joined(self.lines, self.shapes, draft.runs, spots)
        else:  # nobody but the search for sizes sees it
            path, gaps = Path.through(draft.points, closed=True), ()
        lines = tuple(dict.fromkeys(run.line for run in draft.runs))
        owner = self.owner[chain.runs[0].line]
        own = {run.line for run in chain.runs}
        if not self.alike:
            own |= {line for line in lines if self.owner[line] == owner}
        gaps += tuple(gap for line in lines for gap in self.lines[line].gaps if _on_way(gap, draft.points))
        return _ring(owner, path, draft.points, lines, tuple(n for n in lines if n in own), gaps)


def _lie_on(ends: np.ndarray, ring: Ring) -> bool:
    """Whether points ``(k, 2)`` lie on a ring."""
    run = np.vstack([ring.points, ring.points[:1]])
    return bool((near(run, np.arange(float(len(run))), ends).distance <= SILENT).all())


def _on_way(gap: Gap, points: np.ndarray) -> bool:
    """Whether a gap of a line lies in the stretch of it that an outline takes."""
    run = np.vstack([points, points[:1]])
    away = near(run, np.arange(float(len(run))), np.array([gap.point])).distance[0]
    return bool(away <= max(gap.width / 2, SILENT))


def lies_partly_in(points: np.ndarray, polygon: np.ndarray) -> bool:
    """Whether an outline runs partly inside a polygon: across it, or from edge to edge."""
    spots = spread(np.vstack([points, points[:1]]), _LOOKS)
    run = np.vstack([polygon, polygon[:1]])
    off = near(run, np.arange(float(len(run))), spots).distance > BRIDGED
    within = inside(polygon, spots) & off
    return 0.0 < within.mean() < 1.0 - _FEW


def _same(one: Ring, other: _Draft) -> bool:
    """Whether two rings with one box are one outline found twice."""
    sizes = ((one.area, other.area), (one.girth, other.girth))
    return all(abs(a - b) <= _TWICE * max(a, b) for a, b in sizes)


def _merged(runs: Sequence[Run]) -> List[Run]:
    """Runs that go on along the same line made one."""
    found: List[Run] = []
    for run in runs:
        if found and found[-1].line == run.line and found[-1].goes_on(run):
            found[-1] = found[-1].with_stop(run)
        else:
            found.append(run)
    return found
