"""What became of one size when a dart of it was changed, moved or added, and its marks.

A notch keeps its place on the cloth; small marks within the dart go where it goes.  The apex is
no part of a dart and stays.
"""

from typing import List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import self_crossings
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import contains
from sewkit.geometry.transform import Transform
from sewkit.pattern.apex import apex_near
from sewkit.pattern.dart import Dart
from sewkit.pattern.mark import DRILL, NOTCH, Mark
from sewkit.pattern.notch_places import Gain, moved
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

# A drill mark on a leg belongs to the dart: its middle lies this near to it (mm); so does a notch
# this near to its mouth: a pencil's width.
_ON_LEG = 2.0
_AT_MOUTH = 0.5

# Points of darts nearer to each other than this (mm) are one.
_ON_POINT = 0.01


class ChangedDart(NamedTuple):
    """One size with a changed dart.

    Args:
        name: of the dart.
        old, outline: before, the dart cut in, and after.
        gains: what edges gained and where, for notches.
        region: where small marks go with the dart (mm); None: none do.
        carry: how they go.
        notches: edge, where its mouth was along it and is (mm as sewn): notches there go along.
    """

    name: str
    old: Outline
    outline: Outline
    gains: Tuple[Gain, ...] = ()
    region: Optional[Path] = None
    carry: Transform = Transform()
    notches: Tuple[Tuple[str, float, float], ...] = ()

    def mark(self, piece: Piece, mark: Mark) -> Optional[Mark]:
        """One mark after the change; None for a notch whose edge has become too short for it."""
        if mark.kind == NOTCH and mark.on is not None:
            there = self._at_mouth(mark)
            return moved(there or mark, self.old, self.outline, () if there else self.gains)
        if mark.kind == DRILL and self.region is not None and mark.path is not None and len(mark.path):
            apex = apex_near(piece, self.old.size, mark.middle)
            is_apex = apex is not None and (apex == mark.middle).all()
            inside = contains(self.region, [mark.middle])[0]
            if not is_apex and (inside or nearest(self.region, mark.middle).distance <= _ON_LEG):
                return mark._replace(path=self.carry.path(mark.path))
        return mark

    def _at_mouth(self, mark: Mark) -> Optional[Mark]:
        """A notch at the mouth of the dart, which goes with it; None for any other."""
        assert mark.on is not None
        for edge, was, now in self.notches:
            old = self.old.as_sewn(edge) - mark.on.distance if mark.on.from_end else mark.on.distance
            if mark.on.edge == edge and abs(old - was) <= _AT_MOUTH:
                at = now + old - was
                after = self.outline.as_sewn(edge)
                distance = after - at if mark.on.from_end else at
                return mark._replace(on=mark.on._replace(distance=min(max(distance, 0.0), after)))
        return None


def with_changes(piece: Piece, changes: Mapping[str, ChangedDart]) -> Tuple[Piece, int]:
    """The piece with its new outlines and marks, and how many notches were lost.

    Marks that serve all sizes go with the first size changed, if all sizes were.
    """
    whole = set(piece.sizes) <= set(changes)
    first = next(iter(changes.values()))
    marks: List[Mark] = []
    lost = 0
    for mark in piece.marks:
        change = changes.get(mark.size) or (first if not mark.size and whole else None)
        made: Optional[Mark] = mark if change is None else change.mark(piece, mark)
        lost += made is None
        marks += [] if made is None else [made]
    piece = piece._replace(marks=tuple(marks))
    for change in changes.values():
        piece = piece.with_outline(change.outline)
    return piece, lost


def triangle(dart: Dart) -> Path:
    """What a dart takes up: its legs and the straight way across its mouth (mm)."""
    across = Path.through([dart.second.end, dart.first.start])
    return Path(np.concatenate([dart.first.curves, dart.second.curves, across.curves]), closed=True)


def along(outline: Outline, number: int, at_end: bool) -> float:
    """How far along its edge (mm as sewn) the start or the end of one of an outline's runs lies."""
    name = outline.edges[number].name
    before = [edge for edge in outline.edges[:number] if edge.name == name]
    runs = before + ([outline.edges[number]] if at_end else [])
    return float(sum(path_length(outline.path.part(edge.start, edge.stop)) for edge in runs))


def gain_at(edge: str, at: float, change: float, before: bool = True) -> Gain:
    """Length let in at a place of an edge, or the stretch before it, or behind it, taken out."""
    return Gain(edge, max(at + change, 0.0) if change < 0 and before else at, change)


def with_runs(outline: Outline, runs: Mapping[int, Path]) -> Outline:
    """The outline with other paths for some of its edges, end to end as before."""
    edges, parts, at = [], [], 0
    for number, edge in enumerate(outline.edges):
        part = runs.get(number) or outline.path.part(edge.start, edge.stop)
        edges.append(edge._replace(start=at, stop=at + len(part)))
        parts.append(part.curves)
        at += len(part)
    curves = np.concatenate(parts)
    curves[:, 0] = np.roll(curves[:, 3], 1, axis=0)
    return outline._replace(path=Path(curves, closed=True), edges=tuple(edges))


def refuse_crossed(piece: Piece, old: Outline, new: Outline, name: str, points: Sequence[np.ndarray]) -> None:
    """``InputError`` where the changed outline crosses itself, or a point of the dart lies outside it.

    Darts whose points lie on one apex touch there and do not cross.
    """
    crossed = _crossed(new, points) > _crossed(old, points)
    if not crossed:
        edges = [edge for edge in new.edges if edge.name != name and edge.name not in piece.darts]
        rest = Path(np.concatenate([new.path.curves[edge.start : edge.stop] for edge in edges]))
        closed = _without_gaps(rest)
        crossed = not contains(closed, points).all()
    if crossed:
        raise InputError(
            "The dart '{}' of '{}' would run out of the piece or across another of its lines.".format(
                name, piece.name
            ),
            "Ask for less, or choose another place.",
            code="overlap",
        )


def _crossed(outline: Outline, points: Sequence[np.ndarray]) -> int:
    """How often an outline crosses itself but at the points of a dart."""
    met = [crossing.point for crossing in self_crossings(outline.path)]
    return sum(all(np.hypot(*(spot - own)) > _ON_POINT for own in points) for spot in met)


def _without_gaps(path: Path) -> Path:
    """Runs of edges closed to a ring, straight across each mouth."""
    curves: List[np.ndarray] = []
    for number, curve in enumerate(path.curves):
        last = path.curves[number - 1, 3]
        if np.hypot(*(curve[0] - last)) > 0:
            curves.append(Path.through([last, curve[0]]).curves[0])
        curves.append(curve)
    return Path(np.array(curves), closed=True)
