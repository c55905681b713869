"""Half an outline opened at its fold: the exact mirror of itself on the other side.

    fold = fold_of(piece, outline, "centre-front")      # the edge on the fold, straight
    opened = opened_outline(outline, fold, "left", ())  # the whole outline, and what became of the edges

Edges that end on the fold run on over it under their own name: hem, neck.  All others come twice,
side-left and side-right.  The half that was drawn keeps its numbers and its direction.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path, is_line, lines, point, turns
from sewkit.geometry.tolerance import CORNER_TURN, SAME_POINT
from sewkit.geometry.transform import Transform, mirror
from sewkit.pattern.mark import On
from sewkit.pattern.notch import place_of, spot_of
from sewkit.pattern.outline import Edge, Outline, from_edges
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import shown
from sewkit.pattern.wearer_side import other_side, sided

# Cloth folds along a straight line; an edge that strays farther from one (mm) is none.
STRAIGHT = 0.1

# The half may lie so far over its own fold (mm) for rounding's sake.
_OVER = 0.1

# A straight line over the fold loses its node where that moves no point by more than this (mm).
_SAME = 1e-9

# Places on each curve at which it is looked how far it lies from the fold.
_LOOKED_AT = np.linspace(0.0, 1.0, 17)


class FoldLine(NamedTuple):
    """The fold of one size: the edge's name, and its path (mm) as drawn, in path order."""

    name: str
    path: Path

    @property
    def mirror(self) -> Transform:
        """The reflection in it."""
        return mirror(self.path.start, self.path.end - self.path.start)


class Peak(NamedTuple):
    """Where an edge meets its mirror image in a corner: by how many degrees, outwards or in."""

    edge: str
    point: Tuple[float, float]
    degrees: float
    outward: bool


class Opened(NamedTuple):
    """One size, opened.

    Args:
        half, whole: before and after.
        fold: along which line.
        drawn: the wearer's side that was drawn.
        over: names of the edges that run over the fold: those that began there (in path order), and
            those that ended there.
        peaks: where they do so in a corner, or nearly.
        plain: whether the edges that run over the fold keep their order, so that a distance along
            them is a sum.
    """

    half: Outline
    whole: Outline
    fold: FoldLine
    drawn: str
    over: Tuple[str, str]
    peaks: Tuple[Peak, ...]
    plain: bool

    def name(self, edge: str, mirrored: bool = False) -> str:
        """What an edge of the half is called now, on the drawn side or on the other."""
        if edge in self.over:
            return edge
        return sided(edge, other_side(self.drawn) if mirrored else self.drawn)

    def place(self, on: On) -> Optional[On]:
        """A place on the half as one on the whole; None for one on the fold itself or off its edge."""
        if on.edge == self.fold.name or on.edge not in self.half.names:
            return None
        if on.edge not in self.over:
            return on._replace(edge=self.name(on.edge))
        if not self.plain:
            spot = spot_of(self.half, on)
            return None if spot is None else place_of(self.whole, spot.point)
        from_fold = on.from_end if on.edge == self.over[1] else not on.from_end
        return on._replace(distance=on.distance + (self.half.as_sewn(on.edge) if from_fold else 0.0))

    def mirrored_place(self, on: On) -> Optional[On]:
        """The same place on the other side."""
        if on.edge in self.over and not self.plain:
            spot = spot_of(self.half, on)
            return None if spot is None else place_of(self.whole, self.fold.mirror.points(spot.point))
        own = self.place(on)
        if own is None:
            return None
        return own._replace(edge=self.name(on.edge, True), from_end=not own.from_end)

    def at_fold(self, on: On) -> bool:
        """Whether a place of the half lies where its edge meets the fold."""
        spot = spot_of(self.half, on)
        ends = np.array([self.fold.path.start, self.fold.path.end])
        return spot is not None and float(np.hypot(*(ends - spot.point).T).min()) <= SAME_POINT


class _Run(NamedTuple):
    name: str
    path: Path
    smooth: bool
    old: Optional[int] = None  # the number of the edge of the half, on the drawn side


def fold_of(piece: Piece, outline: Outline, name: str) -> FoldLine:
    """The fold of one size.

    ``InputError`` (name, fold, open): there is no such edge, it is in several parts or not straight,
    the piece lies on both sides of it, or its outline is open.
    """
    where = "'{}'".format(shown(piece, outline.size)) if outline.size else "'{}'".format(piece.name)
    if not outline.path.closed:
        raise InputError("The outline of {} is open.".format(where), "Close it, then unfold it.", code="open")
    fold = FoldLine(name, outline.edge_path(name))
    if len(outline.edges) < 2:
        raise InputError(
            "The outline of {} has one edge only.".format(where),
            "Make the nodes at both ends of the fold corners, or select these two nodes.",
            code="fold",
        )
    start, way = fold.path.start, fold.path.end - fold.path.start
    size = float(np.hypot(*way))
    aside = _aside(fold.path, start, way / max(size, SAME_POINT))
    worst = float(np.abs(aside).max())
    if size <= SAME_POINT or worst > STRAIGHT:
        raise InputError(
            "The edge '{}' of {} is not straight: it lies {:.1f} mm from the line between its ends.".format(
                name, where, worst
            ),
            "Cloth folds along a straight line only: straighten the edge, or cut the piece twice.",
            code="fold",
        )
    rest = _aside(_rest(outline, name), start, way / size)
    over = min(float(rest.max()), -float(rest.min()))
    if over > _OVER:
        raise InputError(
            "{} lies on both sides of its fold '{}', by {:.1f} mm.".format(where, name, over),
            "Only a half that lies on one side of the fold can be unfolded.",
            code="fold",
        )
    return fold


def _aside(path: Path, start: np.ndarray, way: np.ndarray) -> np.ndarray:
    t = np.broadcast_to(_LOOKED_AT, (len(path), len(_LOOKED_AT)))
    away = point(path.curves, t).reshape(-1, 2) - start
    return away[:, 0] * way[1] - away[:, 1] * way[0]


def _rest(outline: Outline, name: str) -> Path:
    edge = outline.edge(name)
    assert edge is not None
    return outline.path.part(edge.stop % len(outline.path), edge.start)


def opened_outline(outline: Outline, fold: FoldLine, drawn: str, darts: Sequence[str]) -> Opened:
    """The outline of one size opened along its fold.

    Args:
        drawn: the wearer's side of the half.
        darts: the names of the edges that are dart legs.
    """
    edges = _from_fold(outline, fold.name)
    over = edges[0].name, edges[-1].name
    opened = Opened(outline, outline, fold, drawn, over, (), True)
    own = [_own(outline, number, opened) for number in range(len(outline.edges))]
    own = own[outline.edges.index(edges[0]) :] + own[: outline.edges.index(edges[0])]
    own = [run for run in own if run.old is not None and outline.edges[run.old].name != fold.name]
    ring, peaks = _ring(own, opened)
    plain = over[0] != over[1]
    begin = _begin(ring, outline, opened, darts)
    plain = plain and not _splits(ring, begin, over)
    ring = [ring[begin]._replace(smooth=False)] + ring[begin + 1 :] + ring[:begin]
    whole = from_edges(outline.size, [(r.name, r.path, r.smooth) for r in ring], True, outline.key)
    return opened._replace(whole=whole, peaks=tuple(peaks), plain=plain)


def _from_fold(outline: Outline, name: str) -> Tuple[Edge, ...]:
    """The edges in path order from behind the fold to before it."""
    at = next(number for number, edge in enumerate(outline.edges) if edge.name == name)
    return outline.edges[at + 1 :] + outline.edges[:at]


def _own(outline: Outline, number: int, opened: Opened) -> _Run:
    edge = outline.edges[number]
    return _Run(opened.name(edge.name), outline.path.part(edge.start, edge.stop), edge.smooth, number)


def _ring(own: List[_Run], opened: Opened) -> Tuple[List[_Run], List[Peak]]:
    """The runs of both halves from where the drawn one leaves the fold, and the corners on it."""
    other = _reflected(own, opened)
    peaks: List[Peak] = []
    ring = [*own, *other]
    for at in (len(own), 0):
        before, after = ring[at - 1], ring[at]
        bend = _bend(before.path, after.path)
        if before.name == after.name and abs(bend) > 0.0:
            peaks.append(_peak(opened, after, bend))
        ring[at] = after._replace(smooth=abs(bend) <= CORNER_TURN)
    if ring[len(own)].smooth and len(ring) > 2:
        at = len(own)
        ring[at - 1 : at + 1] = [ring[at - 1]._replace(path=_one(ring[at - 1].path, ring[at].path))]
    if ring[0].smooth and len(ring) > 1:
        joined = ring[-1]._replace(path=_one(ring[-1].path, ring[0].path), old=None)
        ring = [joined, *ring[1:-1]]
    return ring, peaks


def _reflected(own: List[_Run], opened: Opened) -> List[_Run]:
    """The mirror image, in path order: it begins where the drawn half comes back to the fold."""
    move, found = opened.fold.mirror, []
    for number, run in enumerate(reversed(own)):
        curves = np.array(move.path(run.path).reverse().curves)
        if number == 0:
            curves[0, 0] = own[-1].path.end
        if number == len(own) - 1:
            curves[-1, 3] = own[0].path.start
        assert run.old is not None
        name = opened.name(opened.half.edges[run.old].name, True)
        smooth = own[len(own) - number].smooth if number else False
        found.append(_Run(name, Path(curves), smooth))
    return found


def _bend(before: Path, after: Path) -> float:
    """How far two runs turn where they meet, degrees; rounding is none."""
    bend = float(turns(Path(np.array([before.curves[-1], after.curves[0]])))[0])
    return bend if abs(bend) > 1e-6 else 0.0


def _peak(opened: Opened, after: _Run, bend: float) -> Peak:
    """Outward where the opened outline stands out there."""
    spot = after.path.start
    ends = opened.fold.path
    inward = ends.start - ends.end if (spot == ends.end).all() else ends.end - ends.start
    t = np.linspace(0.0, 1.0, 9)[1:]
    ahead = point(np.repeat(after.path.curves[:1], len(t), axis=0), t) - spot
    return Peak(after.name, (float(spot[0]), float(spot[1])), abs(bend), bool((ahead @ inward).sum() > 0))


def _one(before: Path, after: Path) -> Path:
    """Two runs end to end; straight into straight is one line, with nothing moved."""
    first, second = before.curves[-1], after.curves[0]
    if is_line(np.array([first, second])).all():
        line = lines(first[:1], second[3:])[0]
        parts = [lines(part[:1], part[3:])[0] for part in (first, second)]
        even = max(np.abs(part - was).max() for part, was in zip(parts, (first, second)))
        middle = (line[0] + line[3]) / 2.0
        if even <= _SAME and np.abs(middle - first[3]).max() <= _SAME:
            return Path(np.concatenate([before.curves[:-1], line[None], after.curves[1:]]))
    return Path(np.concatenate([before.curves, after.curves]))


def _begin(ring: Sequence[_Run], outline: Outline, opened: Opened, darts: Sequence[str]) -> int:
    """The run at which the opened outline begins: the one with which the half began, if that is possible.

    One whose first edge began on the fold begins where that edge begins now, on the other side; one
    that began with the fold itself, at the first edge of the other side that comes after the fold.
    """
    first = outline.edges[0].name
    number = next((n for n, run in enumerate(ring) if run.old == 0 and first != opened.over[0]), None)
    if number is None:
        mirrored = [(n, run.name) for n, run in enumerate(ring) if run.old is None and n > 0]
        beyond = [n for n, name in mirrored if name not in opened.over]
        later = beyond if first == opened.fold.name else [n for n, name in mirrored if name == opened.over[0]]
        number = min(later) if later else 0
    legs = {name for one in darts for name in (opened.name(one), opened.name(one, True))}
    order = [(number + step) % len(ring) for step in range(len(ring))]

    def begins(at: int) -> bool:
        before = next(
            (ring[at - step].name for step in range(1, len(ring) + 1) if ring[at - step].name not in legs), ""
        )
        return not ring[at].smooth and ring[at].name not in legs and before != ring[at].name

    corners = [at for at in order if not ring[at].smooth]
    return next((at for at in order if begins(at)), (corners or [number])[0])


def _splits(ring: Sequence[_Run], begin: int, over: Tuple[str, str]) -> bool:
    """Whether an outline that begins at a run begins inside an edge that runs over the fold."""
    names = [run.name for run in [*ring[begin:], *ring[:begin]]]
    return len(names) > 1 and names[0] in over and names[-1] == names[0]
