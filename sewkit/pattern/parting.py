"""An outline cut by slashes into parts that move like stiff paper, and put together again.

    parting = parted(outline, slashes)              # one part more than slashes
    fixed = staying(parting, piece)                 # the part that stays where it is
    steps = [hinge_turn(parting, 0, degrees)]       # one move a slash; or strip_move, or your own
    moves = composed(parting, fixed, steps)         # one Transform a part
    runs = moved_runs(parting, moves)               # each run of an edge as its moved bits
    paths = [redraw(run) for run in runs]           # one path a run, however you close the gaps
    outline = put_together(parting, runs, paths)
    gains = gains_of(parting, runs, paths)          # for the notches

Marks are taken along by ``pattern/carrying.py``.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.bridge import lap
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, join, point, split_at, turns, without_gaps
from sewkit.geometry.polygon import contains, signed_area
from sewkit.geometry.tolerance import CORNER_TURN, SAME_POINT
from sewkit.geometry.transform import IDENTITY, Transform, move, turn
from sewkit.pattern.mark import GRAIN
from sewkit.pattern.notch_places import Gain
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash

# Parts whose areas differ by less than a thousandth, or bits of a fold whose lengths do, are as large
# as each other.
_AS_LARGE = 0.999


class Cut(NamedTuple):
    """Where a slash meets the outline: the node there, the slash's number, and which of its ends."""

    node: int
    slash: int
    opens: bool


class Parting(NamedTuple):
    """An outline in parts.

    Args:
        old: the outline as it was.
        outline: the same with a node at every cut.
        slashes: as given.
        cuts: in path order; stretch ``k`` of the outline runs from cut ``k`` to the next.
        parts: the number of the part to which each stretch belongs.
        regions: a closed path around each part (mm).
    """

    old: Outline
    outline: Outline
    slashes: Tuple[Slash, ...]
    cuts: Tuple[Cut, ...]
    parts: Tuple[int, ...]
    regions: Tuple[Path, ...]

    def sides(self, slash: int) -> Tuple[int, int]:
        """The parts before and after a slash, in path order at its opening."""
        number = next(i for i, cut in enumerate(self.cuts) if cut.slash == slash and cut.opens)
        return self.parts[number - 1], self.parts[number]

    def part_of(self, spot: np.ndarray) -> int:
        """The part in which a point (2,) lies; outside the piece, the part nearest to it."""
        for number, region in enumerate(self.regions):
            if contains(region, [spot])[0]:
                return number
        return int(np.argmin([nearest(region, spot).distance for region in self.regions]))


class Run(NamedTuple):
    """One run of an edge after the parts have moved.

    Args:
        edge: the run on the outline with nodes at the cuts.
        bits: its pieces in path order (mm), each moved with its part; one where nothing cuts it.
        cuts: the number of the cut between each bit and the next.
    """

    edge: Edge
    bits: Tuple[Path, ...]
    cuts: Tuple[int, ...]


def parted(outline: Outline, slashes: Sequence[Slash]) -> Parting:
    """Cut a closed outline along slashes that do not cross each other; hinges may coincide."""
    places = [place for slash in slashes for place in (slash.opening, slash.ending)]
    whole, nodes = with_nodes(outline, places)
    count = len(whole.path)
    cuts = []
    for number in range(len(slashes)):
        opening, ending = nodes[2 * number], nodes[2 * number + 1]
        cuts += [(Cut(opening, number, True), ending), (Cut(ending, number, False), opening)]
    # Of slashes that share a node the one with the farthest other end comes first, as brackets nest.
    cuts.sort(key=lambda pair: (pair[0].node, -((pair[1] - pair[0].node) % count)))
    ordered = tuple(cut for cut, _ in cuts)
    parts, regions = _walked(whole.path, ordered, slashes)
    return Parting(outline, whole, tuple(slashes), ordered, parts, regions)


def with_nodes(outline: Outline, places: Sequence[Place]) -> Tuple[Outline, List[int]]:
    """The same outline with a node at each place, and the numbers of those nodes.

    A place within ``SAME_POINT`` of a node is that node.
    """
    path = split_at(outline.path, places)
    spots = [point(outline.path.curves[place.curve][None], place.t)[0] for place in places]
    starts, row = [], 0
    for curve in outline.path.curves:
        starts.append(row)
        row += 1
        while not np.array_equal(path.curves[row - 1, 3], curve[3]):
            row += 1
    starts.append(row)
    nodes = []
    for place, spot in zip(places, spots):
        near = range(starts[place.curve], starts[place.curve + 1] + 1)
        away = [np.hypot(*(path.nodes[node % len(path)] - spot)) for node in near]
        nodes.append(near[int(np.argmin(away))] % len(path))
    edges = tuple(e._replace(start=starts[e.start], stop=starts[e.stop]) for e in outline.edges)
    return outline._replace(path=path, edges=edges), nodes


def _walked(
    path: Path, cuts: Sequence[Cut], slashes: Sequence[Slash]
) -> Tuple[Tuple[int, ...], Tuple[Path, ...]]:
    """The part of every stretch, and the regions: along a stretch, then across the slash at its end."""
    if not cuts:
        return (0,), (path,)
    other = {(cut.slash, cut.opens): number for number, cut in enumerate(cuts)}
    parts: Dict[int, int] = {}
    regions = []
    for first in range(len(cuts)):
        if first in parts:
            continue
        around, at = [], first
        while at not in parts:
            parts[at] = len(regions)
            end = (at + 1) % len(cuts)
            around += _stretch(path, cuts[at].node, cuts[end].node)
            line = slashes[cuts[end].slash].line
            around.append(line if cuts[end].opens else line.reverse())
            at = other[(cuts[end].slash, not cuts[end].opens)]
        regions.append(join(around, closed=True, tolerance=1e-3))
    return tuple(parts[number] for number in range(len(cuts))), tuple(regions)


def _stretch(path: Path, start: int, stop: int) -> List[Path]:
    """The outline between two nodes; nothing where slashes share a node.

    Two cuts at one node are neighbours only because nothing lies between them: a single slash
    has two ends, so no stretch ever runs the whole way round.
    """
    return [] if start == stop else [path.part(start, stop)]


def staying(parting: Parting, piece: Piece) -> int:
    """The part that stays: with the fold, else with the middle of the grain line, else the larger.

    Of a fold that is cut itself the longer bit counts; of bits as long as each other the grain line
    decides between their parts, and so on.
    """
    able = _along_fold(parting, piece) or list(range(len(parting.regions)))
    for mark in piece.marks_for(parting.old.size) if len(able) > 1 else ():
        if mark.kind == GRAIN and mark.path is not None and len(mark.path):
            part = parting.part_of((mark.shaft.start + mark.shaft.end) / 2.0)
            able = [part] if part in able else able
            break
    areas = np.array([abs(signed_area(region)) for region in parting.regions])
    # Halves are equal but for rounding; then the one further left stays, however it was drawn.
    lefts = [region.nodes.mean(axis=0).tolist() for region in parting.regions]
    return min(
        (number for number in able if areas[number] >= _AS_LARGE * areas[able].max()),
        key=lefts.__getitem__,
    )


def _along_fold(parting: Parting, piece: Piece) -> List[int]:
    """The parts with the longest bits of the first fold; none where the piece has no fold."""
    for name in piece.folds:
        for edge in parting.outline.edges:
            if edge.name == name:
                bits = _parts_along(parting, edge)
                lengths = [path_length(parting.outline.path.part(*span)) for span, _ in bits]
                return [part for (_, part), size in zip(bits, lengths) if size >= _AS_LARGE * max(lengths)]
    return []


def hinge_turn(parting: Parting, slash: int, degrees: float) -> Transform:
    """The turn about a slash's ending of what comes after it, against what comes before it.

    Above 0 opens the slash by that angle, below 0 laps it.
    """
    sense = 1.0 if signed_area(parting.outline.path) >= 0 else -1.0
    return turn(sense * degrees, parting.slashes[slash].line.end)


def strip_move(parting: Parting, slash: int, width: float) -> Transform:
    """The shift square to a slash of what comes after it, against what comes before it (mm)."""
    sense = 1.0 if signed_area(parting.outline.path) >= 0 else -1.0
    way = parting.slashes[slash].line.start - parting.slashes[slash].line.end
    way = way * (sense * width / np.hypot(*way))
    return move(-way[1], way[0])


def composed(parting: Parting, fixed: int, steps: Sequence[Transform]) -> Tuple[Transform, ...]:
    """The move of every part, from one move a slash; the fixed part stays.

    A step moves what lies after its slash against what lies before it, as if only that slash had
    been opened; parts further away make all steps on their way, about the hinges as moved.
    """
    moves: Dict[int, Transform] = {fixed: IDENTITY}
    sides = [parting.sides(number) for number in range(len(parting.slashes))]
    while len(moves) < len(parting.regions):
        known = len(moves)
        for (before, after), step in zip(sides, steps):
            if before in moves and after not in moves:
                moves[after] = step.then(moves[before])
            elif after in moves and before not in moves:
                moves[before] = step.inverse().then(moves[after])
        if len(moves) == known:
            raise ValueError("the slashes do not hold the parts together")
    return tuple(moves[number] for number in range(len(parting.regions)))


def moved_runs(parting: Parting, moves: Sequence[Transform]) -> Tuple[Run, ...]:
    """Every run of every edge, in path order, as its moved bits."""
    runs = []
    for edge in parting.outline.edges:
        spans = _parts_along(parting, edge)
        bits = tuple(moves[part].path(parting.outline.path.part(*span)) for span, part in spans)
        inner = tuple(_cut_at(parting, span[0]) for span, _ in spans[1:])
        runs.append(Run(edge, bits, inner))
    return tuple(runs)


def _parts_along(parting: Parting, edge: Edge) -> List[Tuple[Tuple[int, int], int]]:
    """The spans of nodes of a run and the part each belongs to, in path order."""
    inside = sorted({cut.node for cut in parting.cuts if edge.start < cut.node < edge.stop})
    ends = [edge.start] + inside + [edge.stop]
    return [((a, b), _part_after(parting, a)) for a, b in zip(ends, ends[1:])]


def _part_after(parting: Parting, node: int) -> int:
    """The part of the stretch on which the curve after a node lies."""
    if not parting.cuts:
        return 0
    before = [number for number, cut in enumerate(parting.cuts) if cut.node <= node]
    return parting.parts[before[-1] if before else -1]


def _cut_at(parting: Parting, node: int) -> int:
    return next(number for number, cut in enumerate(parting.cuts) if cut.node == node)


def put_together(parting: Parting, runs: Sequence[Run], paths: Sequence[Path]) -> Outline:
    """The new outline from one path a run; same size, same key.

    Ends must meet within 0.001 mm, or it is a ``ValueError``.  An edge that got a corner inside
    becomes two runs of its name.
    """
    path = without_gaps(join(list(paths), closed=True, tolerance=1e-3))
    bent = np.abs(turns(path)) > CORNER_TURN
    was_bent = np.abs(turns(parting.outline.path)) > CORNER_TURN
    edges: List[Edge] = []
    at = 0
    for run, drawn in zip(runs, paths):
        smooth = run.edge.smooth
        if bent[at] != was_bent[run.edge.start]:
            smooth = not bent[at]
        corners = [at + n for n in range(1, len(drawn)) if bent[at + n]] if len(run.bits) > 1 else []
        ends = [at] + corners + [at + len(drawn)]
        edges.append(Edge(run.edge.name, at, ends[1], smooth))
        edges += [Edge(run.edge.name, a, b) for a, b in zip(ends[1:], ends[2:])]
        at += len(drawn)
    return parting.old._replace(path=path, edges=tuple(edges))


def gains_of(parting: Parting, runs: Sequence[Run], paths: Sequence[Path]) -> Tuple[Gain, ...]:
    """What every cut edge gained at each cut (mm, below 0 lost), for ``notch_places.moved``.

    What a run gained is shared out by how far its bits came apart.
    """
    gains = []
    passed: Dict[str, float] = {}
    for run, drawn in zip(runs, paths):
        old = [path_length(bit) for bit in run.bits]
        apart = np.array([-lap(a, b) for a, b in zip(run.bits, run.bits[1:])])
        if len(apart) and abs(apart.sum()) > SAME_POINT:
            shares = apart / apart.sum() * (path_length(drawn) - sum(old))
            at = passed.get(run.edge.name, 0.0) + np.cumsum(old[:-1])
            gains += [
                Gain(run.edge.name, float(a), float(s)) for a, s in zip(at, shares) if abs(s) > SAME_POINT
            ]
        passed[run.edge.name] = passed.get(run.edge.name, 0.0) + sum(old)
    return tuple(gains)


def first_gap(runs: Sequence[Run]) -> Optional[Tuple[str, str, float]]:
    """Two neighbouring edges whose moved ends do not meet, and the gap (mm); None where all meet.

    A slash that opens exactly at a corner leaves such a gap.
    """
    for run, following in zip(runs, tuple(runs[1:]) + tuple(runs[:1])):
        gap = float(np.hypot(*(following.bits[0].start - run.bits[-1].end)))
        if gap > 1e-3:
            return run.edge.name, following.edge.name, gap
    return None
