"""A piece divided in two along a line, with all that belongs to it.

    halves = divided(piece, {"": Along(start, stop, line)}, "panel", "front-side")
    halves.kept, halves.other          # two pieces, each with an edge called panel
    seams = divided_seams(seams, halves)

The part with the fold keeps the name, else the one with the grain line, else the larger.  Both
have the new edge, and are sewn together there; what was sewn to an edge that is divided meets
both parts of it now, end to end.
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, point, split_at, turns
from sewkit.geometry.polygon import contains
from sewkit.geometry.tolerance import CORNER_TURN, SAME_POINT
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.grain_copy import grain_in
from sewkit.pattern.mark import DART, GRAIN, INNER, LENGTHEN, LEVEL, NOTCH, Mark, On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.outline import Outline
from sewkit.pattern.parting import Parting, parted, staying
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.slash import Slash
from sewkit.pattern.spoke_joint import Bit, outline_of

# Marks that are lines through the piece, and are cut with it.
_LINES = (LEVEL, INNER, LENGTHEN, DART)

# A place on an edge is known to this (mm).
_ROUNDING = 1e-6

# A drill hole this near to the line (mm) lies on it, as the apex does, and stays.
_ON_LINE = 1.0

# What the cut leaves of a line is nothing if it is shorter than this (mm).
_LEFT = 1.0


class Along(NamedTuple):
    """Where one size is divided: from one place of the outline's path to another, along a line (mm)."""

    start: Place
    stop: Place
    line: Path


class Halves(NamedTuple):
    """A divided piece.

    Args:
        kept, other: the part that keeps the name and the place in the drawing, and the new one.
        edge: the name of the new edge.
        order: of each edge that both parts have: the names of the pieces in path order.
    """

    kept: Piece
    other: Piece
    edge: str
    order: Mapping[str, Tuple[str, str]]


class _Run(NamedTuple):
    """A run of an edge, or what the cut leaves of it, and the part (0, 1) in which it is.

    ``start``, ``stop``: its nodes on the outline with nodes at the cut.
    """

    edge: str
    start: int
    stop: int
    smooth: Optional[bool]
    part: int


class _Cut(NamedTuple):
    """One size: the parting, its runs in path order, and both outlines.

    Part 0 is what runs on from the start of the line, part 1 from its stop; ``numbers`` are theirs
    in the parting.
    """

    parting: Parting
    runs: Tuple[_Run, ...]
    outlines: Tuple[Outline, Outline]
    numbers: Tuple[int, int]

    def part_of(self, spot: np.ndarray) -> int:
        """The part on which a point (2,) lies."""
        return self.numbers.index(self.parting.part_of(spot))


def divided(piece: Piece, along: Mapping[str, Along], edge: str, other: str) -> Halves:
    """Divide all sizes of a piece; runs beside the ends of the line called ``edge`` become part of it.

    Args:
        along: one line for each size.
        edge: the name of the new edge.
        other: the name of the new piece.

    ``InputError`` (line): both ends of the line lie on one edge.  Cut lines and notches are not drawn
    anew: do that with ``recut``.
    """
    cuts = {o.size: _cut(o, along[o.size], edge) for o in piece.outlines}
    first = next(iter(cuts.values()))
    stays = first.numbers.index(staying(first.parting, piece))
    order = _order(piece, first, edge, ((piece.name, other), (other, piece.name))[stays])
    marks: Tuple[List[Mark], List[Mark]] = ([], [])
    for mark in piece.marks:
        for part, one in enumerate(_divided_mark(mark, cuts.get(mark.size, first), stays)):
            marks[part].extend([] if one is None else [one])
    made = []
    for part in (stays, 1 - stays):
        outlines = tuple(cut.outlines[part] for cut in cuts.values())
        new = part != stays
        outlines = tuple(o._replace(key="") for o in outlines) if new else outlines
        made.append(_part(piece, outlines, tuple(marks[part]), other if new else "", edge))
    kept, rest = (grain_in(half, piece) for half in made)
    return Halves(kept, rest, edge, order)


def with_halves(pattern: Pattern, halves: Halves) -> Pattern:
    """The pattern with both parts in the place of the piece, the new one behind the other."""
    pieces: List[Piece] = []
    for piece in pattern.pieces:
        pieces += [halves.kept, halves.other] if piece.name == halves.kept.name else [piece]
    return pattern._replace(pieces=tuple(pieces))


def divided_seams(seams: Sequence[Seam], halves: Halves) -> Tuple[Seam, ...]:
    """The seams with the edges of the new piece, and the one between both parts."""
    kept, other = halves.kept.name, halves.other.name

    def side(refs: Tuple[EdgeRef, ...]) -> Tuple[EdgeRef, ...]:
        found: List[EdgeRef] = []
        for ref in refs:
            names: Tuple[str, ...] = (kept,)
            if ref.piece == kept and ref.edge in halves.order:
                names = halves.order[ref.edge][:: -1 if ref.turned else 1]
            elif ref.piece == kept and not any(ref.edge in o.names for o in halves.kept.outlines):
                names = (other,) if any(ref.edge in o.names for o in halves.other.outlines) else (kept,)
            found += [ref._replace(piece=name) for name in names] if ref.piece == kept else [ref]
        return tuple(found)

    made = [seam._replace(first=side(seam.first), second=side(seam.second)) for seam in seams]
    new = Seam((EdgeRef(kept, halves.edge),), (EdgeRef(other, halves.edge, True),))
    return (*made, new)


# -- outlines -----------------------------------------------------------------------------


def _cut(outline: Outline, along: Along, edge: str) -> _Cut:
    parting = parted(outline, (Slash(along.start, along.stop, along.line),))
    nodes = {cut.opens: cut.node for cut in parting.cuts}
    numbers = {cut.opens: part for cut, part in zip(parting.cuts, parting.parts)}
    runs = _runs(parting.outline, nodes[True], nodes[False])
    lines = along.line.reverse(), along.line
    made = [_ring(outline, parting.outline.path, runs, part, lines[part], edge) for part in (0, 1)]
    return _Cut(parting, runs, (made[0], made[1]), (numbers[True], numbers[False]))


def _runs(outline: Outline, start: int, stop: int) -> Tuple[_Run, ...]:
    """The runs of the edges, cut at both nodes; from the first node to the second it is part 0."""
    found = []
    for edge in outline.edges:
        inside = sorted(node for node in (start, stop) if edge.start < node < edge.stop)
        ends = [edge.start, *inside, edge.stop]
        for low, high in zip(ends, ends[1:]):
            first = start <= low < stop if start < stop else low >= start or low < stop
            smooth = edge.smooth if low == edge.start and low not in (start, stop) else None
            found.append(_Run(edge.name, low, high, smooth, 0 if first else 1))
    return tuple(found)


def _ring(old: Outline, path: Path, runs: Sequence[_Run], part: int, line: Path, edge: str) -> Outline:
    """One part's outline: its runs, and the line; runs of the new edge at its ends are one with it."""
    count = len(runs)
    begins = next(n for n in range(count) if runs[n].part == part != runs[n - 1].part)
    mine = [runs[(begins + n) % count] for n in range(count) if runs[(begins + n) % count].part == part]
    bits = [Bit(r.edge, path.part(r.start, r.stop), r.smooth, r.start == 0) for r in mine]
    ahead = [line] if path_length(line) > SAME_POINT else []
    while bits and bits[-1].name == edge:
        ahead.insert(0, bits.pop().path)
    while bits and bits[0].name == edge:
        ahead.append(bits.pop(0).path)
    seam = Path(np.concatenate([one.curves for one in ahead]))
    bits[0] = bits[0]._replace(smooth=None)
    return outline_of(old, bits + _cornered(edge, seam))


def _cornered(name: str, path: Path) -> List[Bit]:
    """A path as runs of one name from corner to corner."""
    bends = np.abs(turns(path)) if len(path) > 1 else np.zeros(0)
    nodes = [0, *(int(node) + 1 for node in np.nonzero(bends > CORNER_TURN)[0]), len(path)]
    return [Bit(name, path.part(a, b), None if not a else False) for a, b in zip(nodes, nodes[1:])]


def _order(piece: Piece, cut: _Cut, edge: str, names: Tuple[str, str]) -> Dict[str, Tuple[str, str]]:
    """The pieces of each edge that is divided, in path order; ``InputError`` where a part comes twice."""
    found: Dict[str, List[int]] = {}
    for run in cut.runs:
        row = found.setdefault(run.edge, [])
        if not row or row[-1] != run.part:
            row.append(run.part)
    for name, row in found.items():
        if len(row) > 2 and name != edge:
            raise InputError(
                "Both ends of the seam of '{}' lie on {}, so its other part would be in two pieces.".format(
                    piece.name, quoted(cut.parting.old, name)
                ),
                "Let the seam end on another edge.",
                code="line",
            )
    return {
        name: (names[row[0]], names[row[1]]) for name, row in found.items() if len(row) == 2 and name != edge
    }


# -- what a piece keeps about its edges ---------------------------------------------------


def _part(piece: Piece, outlines: Tuple[Outline, ...], marks: Tuple[Mark, ...], new: str, edge: str) -> Piece:
    """One part of the piece; ``new``: the name of the one that is new in the drawing."""
    here = {name for outline in outlines for name in outline.names}
    listed = {
        word: tuple(n for n in getattr(piece, word) if n in here) for word in ("folds", "hems", "darts")
    }
    allowance = {name: width for name, width in piece.allowance.items() if not name or name in here}
    if edge not in allowance and "" not in allowance and allowance:
        allowance[edge] = _usual(piece)
    lines = []
    for outline in outlines:
        old = piece.cut_line(outline.size)
        if old is not None:
            lines.append(CutLine(outline.size, outline.path, "" if new else old.key))
    # Cut once on the fold is cut for both halves of the body; without the fold it takes a pair.
    pair = 2 if piece.folds and not listed["folds"] else 1
    return piece._replace(
        name=new or piece.name,
        outlines=outlines,
        cut_lines=tuple(lines),
        marks=marks,
        allowance=allowance,
        corners={pair_: rule for pair_, rule in piece.corners.items() if set(pair_) <= here},
        pressed={name: side for name, side in piece.pressed.items() if name in here},
        cut=piece.cut * pair,
        key="" if new else piece.key,
        # What is half of a facing or lining is no longer what its parent makes of it.
        follows="",
        **listed,
    )


def _usual(piece: Piece) -> float:
    """The width that most edges have which are no hems."""
    widths = [width for name, width in piece.allowance.items() if name not in piece.hems + piece.folds]
    widths = widths or list(piece.allowance.values())
    return max(widths, key=lambda width: (widths.count(width), width))


# -- marks ----------------------------------------------------------------------------------


def _divided_mark(mark: Mark, cut: _Cut, stays: int) -> Tuple[Optional[Mark], Optional[Mark]]:
    """A mark on either part; a line that is cut is on both, and its longer part keeps its element."""
    if mark.kind == NOTCH and mark.on is not None:
        return _notch(mark, cut)
    if mark.path is None or not len(mark.path):
        return _on(mark, stays)
    if mark.kind in _LINES and not mark.path.closed:
        paths = _line(mark.path, cut)
        if paths[0] is None or paths[1] is None:
            made = [None if path is None else mark._replace(path=path) for path in paths]
            return made[0], made[1]
        keeps = int(path_length(paths[1]) > path_length(paths[0]))
        both = [mark._replace(path=path, key=mark.key if n == keeps else "") for n, path in enumerate(paths)]
        return both[0], both[1]
    middle = (mark.shaft.start + mark.shaft.end) / 2.0 if mark.kind == GRAIN else mark.middle
    on_line = min(nearest(slash.line, middle).distance for slash in cut.parting.slashes) <= _ON_LINE
    return _on(mark, stays if on_line else cut.part_of(middle))


def _on(mark: Mark, part: int) -> Tuple[Optional[Mark], Optional[Mark]]:
    return (mark, None) if part == 0 else (None, mark)


def _line(line: Path, cut: _Cut) -> Tuple[Optional[Path], Optional[Path]]:
    """What of a line lies on either part; over the mouth of a dart there is no cloth."""
    regions = cut.parting.regions
    split = split_at(line, [met.first for region in regions for met in crossings(line, region)])
    spots = point(split.curves, 0.5)
    inside = np.array([contains(region, spots) for region in regions]).any(axis=0)
    within = np.flatnonzero(inside)
    found: Tuple[List[np.ndarray], List[np.ndarray]] = ([], [])
    for number, (curve, spot) in enumerate(zip(split.curves, spots)):
        between = len(within) > 0 and within[0] < number < within[-1]
        if inside[number] or not between:
            found[cut.part_of(spot)].append(curve)
    paths = [Path(np.array(curves)) if curves else None for curves in found]
    kept = [path if path is not None and path_length(path) >= _LEFT else None for path in paths]
    return (kept[0], kept[1]) if any(path is not None for path in kept) else (paths[0], paths[1])


def _notch(mark: Mark, cut: _Cut) -> Tuple[Optional[Mark], Optional[Mark]]:
    """A notch on the part on which its place lies, at the same distance from the same end if it is there."""
    on, old = mark.on, cut.parting.old
    assert on is not None
    if on.edge not in old.names:
        return None, None
    distance, passed, own = distance_from_start(old, on), 0.0, [0.0, 0.0]
    place: Optional[Tuple[int, float]] = None
    for run in cut.runs:
        if run.edge != on.edge:
            continue
        length = path_length(cut.parting.outline.path.part(run.start, run.stop))
        if place is None and distance <= passed + length + _ROUNDING:
            place = run.part, own[run.part] + distance - passed
        passed, own[run.part] = passed + length, own[run.part] + length
    if place is None:
        return None, None
    part, along = place
    whole = on.edge in old.names and min(own) == 0.0
    new = on if whole else On(on.edge, own[part] - along if on.from_end else along, on.from_end)
    return _on(mark._replace(on=new), part)
