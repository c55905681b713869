"""A whole outline folded along a line: the half that is kept, and how far the other one differs.

axis = axis_of(piece, outline)                 # the fold line drawn on the piece
made = folded_outline(piece, outline, axis)    # both halves, each closed by the fold
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, lines, point, split_at
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.geometry.transform import Transform, mirror
from sewkit.pattern.mark import INNER, Mark, On
from sewkit.pattern.notch import place_of, spot_of
from sewkit.pattern.outline import Edge, Outline, from_edges
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import shown
from sewkit.pattern.wearer_side import other_side, side_in, side_of, without_side

# Two halves that differ by no more than this (mm) are each other's mirror image.
ALIKE = 0.05

# A fold line ends this near to the outline at most (mm), or it is no fold line of it any more.
_REACH = 5.0

# Places on each curve that are compared with the other half.
_COMPARED = np.linspace(0.0, 1.0, 9)[:-1]

# Ends nearer than this (mm) are those of the fold line as it was drawn, but for a file's rounding.
_DRAWN = 1e-6


class Folded(NamedTuple):
    """One size folded.

    Args:
        whole: as it was.
        half: what is kept, its edges without their sides, closed by the fold.
        axis: the fold, from where it leaves the kept half to where it comes back (mm).
        keep: the wearer's side that is kept.
        over: the edges that run over the fold: which begin there on the half, and which end there.
        lengths: how long (mm) the parts of these edges on the half are.
        off: by how much the other half differs (mm), at most; ``at``: where (2,), on the kept half;
            ``edge``: on which of its edges.
        lone: darts that one half has and the other has not: the wearer's side, and the dart's name there.
            Their legs are left out of the difference.
    """

    whole: Outline
    half: Outline
    axis: Path
    keep: str
    over: Tuple[str, str]
    lengths: Tuple[float, float]
    off: float
    at: Tuple[float, float]
    edge: str
    lone: Tuple[Tuple[str, str], ...] = ()

    @property
    def mirror(self) -> Transform:
        """The reflection in the fold."""
        return mirror(self.axis.start, self.axis.end - self.axis.start)

    def place(self, on: On) -> Optional[On]:
        """A place of the whole on the half that is kept; None where it is on the other."""
        if on.edge not in self.whole.names:
            return None
        if on.edge not in self.over:
            gone = side_in(on.edge) == other_side(self.keep)
            return None if gone else on._replace(edge=without_side(on.edge))
        ends = self.whole.edges[0].name, self.whole.edges[-1].name
        if self.over[0] == self.over[1] or (len(self.whole.edges) > 1 and ends[0] == ends[1] == on.edge):
            spot = spot_of(self.whole, on)
            if spot is None or nearest(self.half.path, spot.point).distance > _DRAWN:
                return None
            return place_of(self.half, spot.point)
        last = on.edge == self.over[0]
        own = self.lengths[0 if last else 1]
        rest = self.whole.as_sewn(on.edge) - own
        distance = on.distance - (rest if last != on.from_end else 0.0)
        limit = own + _DRAWN
        if not -_DRAWN <= distance <= limit:
            return None
        return on._replace(distance=min(max(distance, 0.0), own) if distance < 0 else distance)


def fold_line(piece: Piece, size: str, name: str) -> Optional[Mark]:
    """The fold line drawn on an opened piece, of one size."""
    marks = [m for m in piece.marks if m.kind == INNER and m.name == name and m.path is not None]
    return next((m for want in (size, "") for m in marks if m.size == want and len(m.path or ())), None)


def folded_outline(piece: Piece, outline: Outline, axis: Path, fold: str, keep: str, drawn: str) -> Folded:
    """One size of a whole piece folded along a line (mm).

    Args:
        fold: what the edge on the fold is called.
        keep: the wearer's side to keep; empty: the one that the line belonged to, whose path ran on along it.
        drawn: the wearer's side of that one, if somebody said so.

    ``InputError`` (fold, open): the line does not divide the outline in two.
    """
    where = "'{}'".format(shown(piece, outline.size))
    path, ends = _with_nodes(outline, axis, where)
    edges = _recounted(outline, path)
    # The half that was drawn leaves the fold at the end of its line and comes back to its start.
    arcs = [_arc(path, edges, ends[1], ends[0]), _arc(path, edges, ends[0], ends[1])]
    sides = _sides(piece, arcs, axis, drawn)
    number = sides.index(keep) if keep else 0
    way = axis if number == 0 else axis.reverse()
    kept, other = arcs[number], arcs[1 - number]
    lone = tuple(
        (side, name)
        for side, mine, theirs in zip((sides[number], sides[1 - number]), (kept, other), (other, kept))
        for name in _lone_darts(piece, mine, theirs)
    )
    legs = {name for _, name in lone}
    apart = [[bit for bit in arc if bit[0] not in legs] for arc in (kept, other)]
    off, at, edge = _difference(apart[0], apart[1], mirror(axis.start, axis.end - axis.start), bool(lone))
    half = _closed(outline, kept, _fold_path(kept, way), fold)
    over = kept[0][0], kept[-1][0]
    lengths = [sum(path_length(run) for name, run, _ in kept if name == one) for one in over]
    edge = edge if edge in over else without_side(edge)
    return Folded(outline, half, way, sides[number], over, (lengths[0], lengths[1]), off, at, edge, lone)


_Arc = List[Tuple[str, Path, bool]]


def _lone_darts(piece: Piece, mine: _Arc, theirs: _Arc) -> List[str]:
    """The darts of one half that the other has not."""
    there = {without_side(name) for name, _, _ in theirs if name in piece.darts}
    own = dict.fromkeys(name for name, _, _ in mine if name in piece.darts)
    return [name for name in own if without_side(name) not in there]


def _with_nodes(outline: Outline, axis: Path, where: str) -> Tuple[Path, Tuple[int, int]]:
    """The outline with nodes where the line meets it, and their numbers: at its start and its end."""
    if not outline.path.closed:
        raise InputError("The outline of {} is open.".format(where), "Close it first.", code="open")
    way = axis.end - axis.start
    size = float(np.hypot(*way))
    met = crossings_with_line(outline.path, axis.start, way) if size > SAME_POINT else []
    spots = [point(outline.path.curves[p.curve][None], p.t)[0] for p in met]
    found: List[Place] = []
    for end in (axis.start, axis.end):
        near = sorted((float(np.hypot(*(spot - end))), p) for spot, p in zip(spots, met))
        if not near or near[0][0] > _REACH:
            raise InputError(
                "The fold line of {} does not end on its outline.".format(where),
                "Lengthen it to both ends of the piece, or select the two nodes on the fold.",
                code="fold",
            )
        found.append(near[0][1])
    if found[0] == found[1]:
        raise InputError("The fold line of {} has no length.".format(where), code="fold")
    path = split_at(outline.path, found)
    nodes = path.nodes
    ends = []
    for place in found:
        spot = point(outline.path.curves[place.curve][None], place.t)[0]
        ends.append(int(np.hypot(*(nodes - spot).T).argmin()))
    return path, (ends[0], ends[1])


def _recounted(outline: Outline, path: Path) -> Tuple[Edge, ...]:
    """The edges on the outline with more nodes; every old node is still one."""
    nodes = path.nodes
    at, found = 0, []
    starts = []
    for curve in outline.path.curves:
        while not (nodes[at] == curve[0]).all():
            at += 1
        starts.append(at)
        at += 1
    starts.append(len(path))
    for edge in outline.edges:
        found.append(edge._replace(start=starts[edge.start], stop=starts[edge.stop]))
    return tuple(found)


def _arc(path: Path, edges: Sequence[Edge], start: int, stop: int) -> _Arc:
    """The runs from one node to another, in path order."""
    count, arc = len(path), []
    total = (stop - start) % count
    for turn in (0, 1):
        for edge in edges:
            low, high = edge.start - start + turn * count, edge.stop - start + turn * count
            begin, end = max(low, 0), min(high, total)
            if begin < end:
                run = path.part((begin + start) % count, (end + start - 1) % count + 1)
                arc.append((edge.name, run, edge.smooth and begin == low and begin > 0))
    return arc


def _sides(piece: Piece, arcs: Sequence[_Arc], axis: Path, drawn: str) -> List[str]:
    """The wearer's side of each half: as its edges are called, as somebody said, as it lies."""
    told = [side_in(name) for name, _, _ in arcs[0] if side_in(name)] if piece.unfolded else []
    shape = Path(
        np.concatenate([run.curves for _, run, _ in arcs[0]] + [lines(axis.start[None], axis.end[None])])
    )
    first = told[0] if told else drawn or side_of(piece, Path(shape.curves, True), axis.start)
    return [first, other_side(first)]


def _fold_path(kept: _Arc, way: Path) -> Path:
    """The edge on the fold: as it was drawn once, if it still fits; else straight."""
    start, stop = kept[-1][1].end, kept[0][1].start
    if max(np.abs(way.start - start).max(), np.abs(way.end - stop).max()) > _DRAWN:
        return Path.through([start, stop])
    curves = np.array(way.curves)
    curves[0, 0], curves[-1, 3] = start, stop
    return Path(curves)


def _closed(outline: Outline, kept: _Arc, fold: Path, name: str) -> Outline:
    """The kept half, closed by the fold; it begins where the whole one did, if that is on it.

    A whole one that begins on the other half with an edge over the fold was a half that began there,
    and one that begins there with another edge was one that began with the fold.
    """
    over = kept[0][0], kept[-1][0]
    parts = [(edge if edge in over else without_side(edge), run, smooth) for edge, run, smooth in kept]
    starts = [(run.start == outline.path.start).all() and not smooth for _, run, smooth in parts]
    begin = 0 if outline.edges[0].name in over else len(parts)
    begin = next((number for number, here in enumerate(starts) if here and number), begin)
    parts = [*parts, (name, fold, False)]
    parts = parts[begin:] + parts[:begin]
    parts[0] = (parts[0][0], parts[0][1], False)
    return from_edges(outline.size, parts, True, outline.key)


def _difference(
    kept: _Arc, other: _Arc, move: Transform, open_: bool
) -> Tuple[float, Tuple[float, float], str]:
    """The greatest distance (mm) of one half from the mirror image of the other; where, and on which edge.

    ``open_``: legs are left out of one of them, so what lies across from their mouths is not compared.
    """
    one = Path(np.concatenate([run.curves for _, run, _ in kept]))
    two = move.path(Path(np.concatenate([run.curves for _, run, _ in other])).reverse())
    worst, at = -1.0, one.start
    if one.curves.shape == two.curves.shape:
        apart = np.abs(one.curves - two.curves).max()
        if apart <= _DRAWN:
            return float(apart), (float(at[0]), float(at[1])), kept[0][0]
    for mine, there in ((one, two), (two, one)):
        t = np.broadcast_to(_COMPARED, (len(mine), len(_COMPARED)))
        for spot in np.concatenate([point(mine.curves, t).reshape(-1, 2), mine.curves[-1:, 3]]):
            near = nearest(there, spot)
            if open_ and _at_a_gap(there, near.place):
                continue
            if near.distance > worst:
                worst, at = near.distance, spot if mine is one else near.point
    edge = min(kept, key=lambda run: nearest(run[1], at).distance)[0]
    return worst, (float(at[0]), float(at[1])), edge


def _at_a_gap(path: Path, place: Place) -> bool:
    """Whether a place is an end of a path's bits beside a mouth, from which legs were left out."""
    ends = path.curves[:-1, 3], path.curves[1:, 0]
    gaps = [spot for one, two in zip(*ends) if np.abs(one - two).max() > SAME_POINT for spot in (one, two)]
    here = point(path.curves[place.curve][None], place.t)[0]
    return any(np.abs(here - spot).max() <= _DRAWN for spot in gaps)


def axis_through(piece: Piece, outline: Outline, on: np.ndarray, way: np.ndarray) -> Path:
    """The line (mm) through a point in a direction, from the first to the last place on an outline.

    ``InputError``: it does not cross the outline.
    """
    size = float(np.hypot(*way))
    met = crossings_with_line(outline.path, on, way) if size > SAME_POINT else []
    spots = [point(outline.path.curves[p.curve][None], p.t)[0] for p in met]
    if len(spots) < 2:
        raise InputError(
            "The fold does not cross the outline of '{}'.".format(shown(piece, outline.size)), code="fold"
        )
    spots.sort(key=lambda spot: float((spot - on) @ way))
    return Path.through([spots[0], spots[-1]])
