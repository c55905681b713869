"""A dart made into a panel seam: the piece is cut through the dart's point, and the dart lies in the seam.

    made = panelled(piece, outlines, called="panel", other="front-side")
    made.halves.kept, made.halves.other

The seam runs from the mouth of the dart along its legs to the point, on to the pivot, and from
there to another dart and along its legs, or to a place on another edge.  So nothing of the shape
is changed: the legs that were sewn to each other still are, but in two pieces.
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Sequence, Set, Tuple, Union

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import distance_of, path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.divided import Along, Halves, divided
from sewkit.pattern.mark import DRILL, NOTCH, Mark, On
from sewkit.pattern.notch import redrawn
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import check_name
from sewkit.pattern.slash import place_on
from sewkit.pattern.spoke_sight import check_sight
from sewkit.pattern.spokes import Spoke, of_dart, opened, spot_at

# Points nearer to each other than this (mm) are one.
_ONE = 0.01

# A section of the seam shorter than this (mm) needs no notch half way.
_SHORT = 50.0

# The notch at the pivot, and the first part of the names of those half way.
APEX = "apex"


class PanelLine(NamedTuple):
    """Where the seam of one size runs.

    Args:
        dart: the dart at which it begins.
        pivot: through which it goes (2,).
        target: the other dart, or the place on an edge, at which it ends.
    """

    dart: Dart
    pivot: np.ndarray
    target: Union[Dart, On]


class Panelled(NamedTuple):
    """A piece in two parts.

    Args:
        halves: both, with the seam's notches.
        apex: how far the pivot lies from the start of the new edge on the kept part, by size (mm).
    """

    halves: Halves
    apex: Mapping[str, float]


def panelled(piece: Piece, lines: Mapping[str, PanelLine], edge: str, other: str) -> Panelled:
    """Divide a piece, in which all darts are cut in, along one line for each size.

    ``edge``: the name of the new edges; ``other``: of the new piece.  ``InputError``: something
    lies between the pivot and one of the ends (line, pivot, dart); see ``divided``.
    """
    along: Dict[str, Along] = {}
    for outline in piece.outlines:
        along[outline.size] = _along(piece, outline, lines[outline.size])
    gone = {name for line in lines.values() for name in _dart_names(line)}
    piece = _without_legs(piece, lines, edge, gone)
    halves = divided(piece, along, edge, other)
    pivots = {size: line.pivot for size, line in lines.items()}
    halves, apex = _notched(halves, pivots, edge)
    return Panelled(halves, apex)


def panel_name(piece: Piece, called: str) -> str:
    """A name for the new edge that no edge of the piece has; ``InputError`` where one has it."""
    used = {name for outline in piece.outlines for name in outline.names}
    if called and called in used:
        raise InputError(
            "'{}' has an edge called '{}' already.".format(piece.name, called),
            "Choose another name for the seam.",
            code="name",
        )
    wish = check_name(called, "name of an edge") if called else "panel"
    return next(
        n for n in [wish] + ["{}-{}".format(wish, i) for i in range(2, len(used) + 3)] if n not in used
    )


def other_name(names: Sequence[str], piece: str) -> str:
    """A name for the new piece: that of the old one and "side"."""
    wish = piece + "-side"
    return next(
        n for n in [wish] + ["{}-{}".format(wish, i) for i in range(2, len(names) + 3)] if n not in names
    )


def _dart_names(line: PanelLine) -> List[str]:
    return [line.dart.name] + ([line.target.name] if isinstance(line.target, Dart) else [])


def _along(piece: Piece, outline: Outline, line: PanelLine) -> Along:
    """The line from the dart's point over the pivot to the target."""
    target = line.target
    seen: List[Spoke] = [of_dart(outline, line.dart.edges, line.pivot, 0.0)]
    if isinstance(target, Dart):
        seen.append(of_dart(outline, target.edges, line.pivot, 0.0))
        stop, end = Place(outline.edges[target.edges[1]].start, 0.0), target.point
    else:
        stop = place_on(outline, target)
        seen.append(opened(outline, stop, 0.0, ""))
        end = spot_at(outline, stop)
    check_sight(piece, outline, line.pivot, seen)
    between = [line.pivot] if _apart(line.pivot, line.dart.point) and _apart(line.pivot, end) else []
    start = Place(outline.edges[line.dart.edges[1]].start, 0.0)
    return Along(start, stop, Path.through([line.dart.point, *between, end]))


def _apart(one: np.ndarray, other: np.ndarray) -> bool:
    return float(np.hypot(*(one - other))) > _ONE


def _without_legs(piece: Piece, lines: Mapping[str, PanelLine], edge: str, gone: Set[str]) -> Piece:
    """The piece whose legs are runs of the new edge, without the marks that belonged to the darts."""
    for outline in piece.outlines:
        line = lines[outline.size]
        legs = set(line.dart.edges) | (set(line.target.edges) if isinstance(line.target, Dart) else set())
        edges = tuple(
            one._replace(name=edge) if number in legs else one for number, one in enumerate(outline.edges)
        )
        piece = piece.with_outline(outline._replace(edges=edges))
    marks = tuple(mark for mark in piece.marks if not _of_darts(mark, gone))
    pressed = {name: side for name, side in piece.pressed.items() if name not in gone}
    darts = tuple(name for name in piece.darts if name not in gone)
    return piece._replace(marks=marks, pressed=pressed, darts=darts)


def _of_darts(mark: Mark, names: Set[str]) -> bool:
    """Whether a mark is of no use without its dart: on a leg, before the point, over the mouth."""
    if mark.kind == NOTCH:
        return mark.on is not None and mark.on.edge in names
    drills = mark.kind == DRILL and any(mark.name.startswith(name + "-point") for name in names)
    return drills or any(mark.name == "cap-" + name for name in names)


def _notched(halves: Halves, pivots: Mapping[str, np.ndarray], edge: str) -> Tuple[Halves, Dict[str, float]]:
    """Both parts with notches at the pivot, and half way from there to either end."""
    apex: Dict[str, float] = {}
    parts = [halves.kept, halves.other]
    for size, pivot in pivots.items():
        outlines = [part.outline(size) for part in parts]
        at = [_along_edge(outline, edge, pivot) for outline in outlines]
        whole = [outline.as_sewn(edge) for outline in outlines]
        apex[size] = at[0]
        # The other part's edge runs against this one: what is behind here is ahead there.
        behind, ahead = at[0], whole[0] - at[0]
        away: List[Tuple[str, float]] = []
        if min(behind, ahead) > _ONE:
            away.append((APEX, 0.0))
        away += [("{}-1".format(edge), -behind / 2.0)] if behind >= _SHORT else []
        away += [("{}-2".format(edge), ahead / 2.0)] if ahead >= _SHORT else []
        for number, sign in ((0, 1.0), (1, -1.0)):
            made = []
            for name, step in away:
                mark = Mark(NOTCH, name, size, None, On(edge, at[number] + sign * step))
                made.append(redrawn(mark, outlines[number]) or mark)
            parts[number] = parts[number]._replace(marks=parts[number].marks + tuple(made))
    return halves._replace(kept=parts[0], other=parts[1]), apex


def _along_edge(outline: Outline, edge: str, spot: np.ndarray) -> float:
    """How far along an edge the place nearest to a spot lies (mm)."""
    passed, best = 0.0, (np.inf, 0.0)
    for run in outline.runs(edge):
        near = nearest(run, spot)
        best = min(best, (near.distance, passed + distance_of(run, near.place)))
        passed += path_length(run)
    return best[1]


def line_of(
    piece: Piece, outline: Outline, dart: str, pivot: np.ndarray, target: Optional[On], other: str
) -> PanelLine:
    """The line of one size from the names of its darts, or to a place."""
    begins = dart_named(piece, outline, dart)
    ends: Union[Dart, On] = dart_named(piece, outline, other) if target is None else target
    return PanelLine(begins, pivot, ends)
