"""What a change did to the shape of the edges: kinks, folds, the angle at a fold, the grain.

Limits: a kink inside an edge is good up to 1 degree and a visible corner from 3; the angle at
a fold is 90 degrees, good within 0.5 and usable within 1.5; grain is good within 0.2 degrees
and twists from 1 (common practice, no source).
"""

from typing import Dict, Iterable, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, end_tangents, start_tangents
from sewkit.geometry.polygon import flatten
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.fold_mouth import fold_mouths
from sewkit.pattern.mark import GRAIN, Mark
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level

KINK_GOOD, KINK_USABLE = 1.0, 3.0
FOLD_GOOD, FOLD_USABLE = 0.5, 1.5
GRAIN_GOOD, GRAIN_USABLE = 0.2, 1.0

# A kink that was there before, but for this much (degrees), is not new.
_SAME_KINK = 0.5

# A fold that strays less than this from its chord is straight (mm): below a pencil's width.
_STRAIGHT_FOLD = 0.1


_SMOOTH_IT = "Draw a soft line through it (sewkit smooth)."


class Kink(NamedTuple):
    """A bend at one point (mm) of an edge, degrees clockwise; ``dart``: where a dart is closed."""

    edge: str
    turn: float
    point: Tuple[float, float]
    dart: bool = False


def shape_findings(before: Outline, after: Outline, piece: Piece, where: str) -> Tuple[Finding, ...]:
    """New kinks, folds that are straight no longer, and folds that are met less squarely.

    ``piece`` says which edges are folds and dart legs.  What was so before is not told.
    """
    found = [_kink_finding(kink, after, where) for kink in new_kinks(before, after, piece.darts)]
    found += _fold_findings(before, after, piece.folds, where)
    return tuple(found + _angle_findings(before, after, piece, where))


# -- kinks ------------------------------------------------------------------------------


def new_kinks(before: Outline, after: Outline, darts: Sequence[str] = ()) -> List[Kink]:
    """The kinks above ``KINK_GOOD`` that the change has made, in path order.

    A kink that turns the same edge the same way as far as one before is the old one, wherever
    it lies now; so is what is left of one that became flatter.
    """
    old: Dict[Tuple[str, bool], List[float]] = {}
    for kink in _kinks(before, darts):
        old.setdefault((kink.edge, kink.dart), []).append(kink.turn)
    found = []
    for kink in sorted(_kinks(after, darts), key=lambda kink: -abs(kink.turn)):
        known = old.get((kink.edge, kink.dart), [])
        side = np.sign(kink.turn)
        fitting = [turn for turn in known if turn * side >= abs(kink.turn) - _SAME_KINK]
        if fitting:
            known.remove(min(fitting, key=abs))
        elif abs(kink.turn) > KINK_GOOD:
            found.append(kink)
    order = {tuple(node): number for number, node in enumerate(after.path.nodes.tolist())}
    return sorted(found, key=lambda kink: order[kink.point])


def closed_findings(outline: Outline, darts: Sequence[str], where: str) -> List[Finding]:
    """Edges that have a kink where one of their darts is closed, whoever drew it so."""
    kinks = [kink for kink in _dart_kinks(outline, darts) if abs(kink.turn) > KINK_GOOD]
    return [_kink_finding(kink, outline, where) for kink in kinks]


def _kinks(outline: Outline, darts: Sequence[str]) -> List[Kink]:
    """Every bend inside an edge, where two runs of it meet, and at its closed darts."""
    found = []
    folded = {mouth.name for mouth in fold_mouths(outline, darts)}  # hidden when the pleat is laid
    for edge, following in _pairs(outline):
        run = outline.path.part(edge.start, edge.stop)
        for number in range(1, len(run) if edge.name not in folded else 0):
            found.append(_kink(edge.name, run.part(number - 1, number), run.part(number, number + 1)))
        if following is None or {edge.name, following.name} & folded:
            continue
        if edge.name == following.name or following.smooth:
            if edge.name not in darts:
                rest = outline.path.part(following.start, following.stop)
                found.append(_kink(following.name, run, rest))
    return found + _dart_kinks(outline, darts)


def _pairs(outline: Outline) -> List[Tuple[Edge, Optional[Edge]]]:
    """Each edge with the one that follows it; none behind the end of an open outline."""
    edges = outline.edges
    last = edges[0] if outline.path.closed else None
    return list(zip(edges, (*edges[1:], last)))


def _kink(edge: str, arriving: Path, leaving: Path) -> Kink:
    turn = _turn(end_tangents(arriving.curves[-1:])[0], start_tangents(leaving.curves[:1])[0])
    return Kink(edge, turn, _spot(leaving.start))


def _dart_kinks(outline: Outline, darts: Sequence[str]) -> List[Kink]:
    """How the edge bends where the mouth of each of its darts is closed.

    The dart's second leg is turned onto its first about the point; the edge behind it
    turns along.  A pleat has parallel folds, so there nothing turns.
    """
    edges, found = list(outline.edges), []
    if outline.path.closed:
        first = next((i for i, edge in enumerate(edges) if edge.name not in darts), 0)
        edges = edges[first:] + edges[: first + 1]
    before: Optional[Edge] = None
    legs: List[Path] = []
    for edge in edges:
        part = outline.path.part(edge.start, edge.stop)
        if edge.name in darts:
            legs.append(part)
            continue
        if legs and before is not None and before.name == edge.name:
            nodes = np.concatenate([leg.nodes for leg in legs])
            tip = nodes[int(_aside(nodes, nodes[0], nodes[-1]).argmax())]
            pleat = len(legs) % 2 == 1
            closing = 0.0 if pleat else np.radians(_turn(nodes[-1] - tip, nodes[0] - tip))
            turned = _rotated(start_tangents(part.curves[:1])[0], closing)
            arriving = end_tangents(outline.path.curves[before.stop - 1 : before.stop])[0]
            found.append(Kink(edge.name, _turn(arriving, turned), _spot(nodes[0]), dart=True))
        before, legs = edge, []
    return found


def _kink_finding(kink: Kink, outline: Outline, where: str) -> Finding:
    level = Level.INFO if abs(kink.turn) <= KINK_USABLE else Level.WARN
    place = " where the dart is closed, at" if kink.dart else " at"
    text = "{}: {} has a kink of {:.1f} degrees{} ({:.0f}, {:.0f}) mm.".format(
        where, quoted(outline, kink.edge), abs(kink.turn), place, *kink.point
    )
    return Finding("kink", level, text, where, kink.point, _SMOOTH_IT if level is Level.WARN else "")


# -- folds ------------------------------------------------------------------------------


def _fold_findings(before: Outline, after: Outline, folds: Iterable[str], where: str) -> List[Finding]:
    found = []
    for name in folds:
        if name not in before.names or name not in after.names:
            continue
        was, (strays, spot) = _strays(before, name)[0], _strays(after, name)
        if strays > _STRAIGHT_FOLD and strays > was + _STRAIGHT_FOLD:
            text = (
                "{}: '{}' strays {:.1f} mm from a straight line now, near ({:.0f}, {:.0f}) mm; "
                "it cannot lie on a fold. Straighten it, or cut it with a seam."
            ).format(where, name, strays, *spot)
            found.append(Finding("fold-bent", Level.WARN, text, where, spot))
    return found


def _strays(outline: Outline, name: str) -> Tuple[float, Tuple[float, float]]:
    """How far an edge is from the straight line between its ends, and where."""
    runs = _in_a_row(outline, name)
    points = np.concatenate([flatten(run, _STRAIGHT_FOLD / 10) for run in runs])
    away = _aside(points, runs[0].start, runs[-1].end)
    worst = int(away.argmax())
    return float(away[worst]), _spot(points[worst])


def _in_a_row(outline: Outline, name: str) -> Tuple[Path, ...]:
    """The runs of an edge from its one end to its other, also where the path begins within it."""
    named = [edge.name == name for edge in outline.edges]
    first = next((i for i, here in enumerate(named) if here and not named[i - 1]), 0)
    edges = outline.edges[first:] + outline.edges[:first]
    return tuple(outline.path.part(edge.start, edge.stop) for edge in edges if edge.name == name)


def _angle_findings(before: Outline, after: Outline, piece: Piece, where: str) -> List[Finding]:
    """Corners at a fold that were square, or nearer to it, before."""
    found, was = [], {(name, other): off for name, other, off, _ in _fold_corners(before, piece)}
    for name, other, off, spot in _fold_corners(after, piece):
        old = was.get((name, other))
        if old is None or off <= FOLD_GOOD or off <= old + _SAME_KINK:
            continue
        if old > FOLD_USABLE and other not in piece.hems:
            continue  # never meant to be square, such as a neck that comes to a point
        level = Level.INFO if off <= FOLD_USABLE else Level.WARN
        text = (
            "{}: '{}' meets the fold {:.1f} degrees off a right angle at ({:.0f}, {:.0f}) mm, {:.1f} before; "
            "the opened piece will have a point or a dip there."
        ).format(where, other, off, spot[0], spot[1], old)
        found.append(Finding("fold-angle", level, text, where, spot))
    return found


def _fold_corners(outline: Outline, piece: Piece) -> List[Tuple[str, str, float, Tuple[float, float]]]:
    """Fold, the edge that meets it, how far from square (degrees), and where."""
    found = []
    for edge, following in _pairs(outline):
        if following is None or (edge.name in piece.folds) == (following.name in piece.folds):
            continue
        run, rest = (outline.path.part(one.start, one.stop) for one in (edge, following))
        kink = _kink("", run, rest)
        fold, other = (edge, following) if edge.name in piece.folds else (following, edge)
        found.append((fold.name, other.name, abs(abs(kink.turn) - 90.0), kink.point))
    return found


# -- grain ------------------------------------------------------------------------------


def grain_findings(before: Piece, after: Piece) -> Tuple[Finding, ...]:
    """Grain lines that turned: to look at above ``GRAIN_GOOD``, never above ``GRAIN_USABLE``."""
    found = []
    for old, new in zip(_grains(before), _grains(after)):
        turn = _turn(_along(old), _along(new))
        turn = abs((turn + 90.0) % 180.0 - 90.0)  # an arrow may have been drawn the other way round
        if turn <= GRAIN_GOOD:
            continue
        name = "{} size {}".format(after.name, new.size) if new.size else after.name
        level = Level.WARN if turn <= GRAIN_USABLE else Level.FAIL
        text = "{}: the grain line turned by {:.1f} degrees; the piece will hang twisted.".format(name, turn)
        found.append(Finding("grain-turned", level, text, name, _spot(new.middle)))
    return tuple(found)


def _grains(piece: Piece) -> List[Mark]:
    return [mark for mark in piece.marks if mark.kind == GRAIN and mark.path is not None and len(mark.path)]


def _along(mark: Mark) -> np.ndarray:
    return mark.shaft.end - mark.shaft.start


# -- plane geometry ---------------------------------------------------------------------


def _turn(u: np.ndarray, v: np.ndarray) -> float:
    """Degrees clockwise on the sheet from one direction to the other, in (-180, 180]."""
    return float(np.degrees(np.arctan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])))


def _rotated(u: np.ndarray, angle: float) -> np.ndarray:
    c, s = np.cos(angle), np.sin(angle)
    return np.array([c * u[0] - s * u[1], s * u[0] + c * u[1]])


def _aside(points: np.ndarray, start: np.ndarray, end: np.ndarray) -> np.ndarray:
    """Distances (mm) of points from the line through two points; from the point where they are one."""
    away, along = points - start, end - start
    size = float(np.hypot(*along))
    if size < 1e-9:
        return np.hypot(away[:, 0], away[:, 1])
    return np.abs(away[:, 0] * along[1] - away[:, 1] * along[0]) / size


def _spot(point: np.ndarray) -> Tuple[float, float]:
    return float(point[0]), float(point[1])
