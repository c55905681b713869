"""What the before/after picture says where nobody has said it: how far each edge moved."""

import re
from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import path_length, places_at
from sewkit.geometry.path import Path, derivative, point
from sewkit.geometry.polygon import contains, flatten
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.report import Change, Finding
from sewkit.units import nearest_eighth, nearest_sixteenth, write_length

# A smaller move is not worth a label (mm): it is about the width of a chalk line.
WORTH_TELLING = 1.0

# Below half an inch (mm) an eighth is too coarse a step for a label.
_SMALL = 12.7

# Places looked at along a run of an edge; the largest move lies within a hair of one.
_PLACES = 33

# Of several moves equal to this (mm) the middle one gets the label.
_ALIKE = 0.02


def changes_between(before: Pattern, after: Pattern, size_before: str, size_after: str) -> Tuple[Change, ...]:
    """The largest move of each edge, sideways, where it is ``WORTH_TELLING``.

    The label sits on the new line: "side: 12.5 mm outward (1/2 in)".  Pieces that are not in
    both patterns, or not in the sizes, are left out.
    """
    found: List[Change] = []
    for piece in after.pieces:
        new = outline_of(after, piece.name, size_after)
        old = outline_of(before, piece.name, size_before)
        if new is not None and old is not None:
            found.extend(_piece_changes(piece.name, old, new))
    return tuple(found)


def findings_shown(findings: Sequence[Finding], pattern: Pattern) -> Tuple[Change, ...]:
    """Labels for the findings that a check drew: "3 stop" at its place, on the piece it is about."""
    names = [piece.name for piece in pattern.pieces]
    found: List[Change] = []
    for one in findings:
        about = re.split(r"[/ ]", one.where, maxsplit=1)[0]
        if one.number and one.point is not None and about in names:
            found.append(Change(about, "{} {}".format(one.number, one.level.word), one.point))
    return tuple(found)


def lines_changed(before: Pattern, after: Pattern) -> Tuple[str, str]:
    """Which size to show before and after: the first with a new line, else the first of all."""
    was = {(piece.name, o.size): o for piece in before.pieces for o in piece.outlines}
    new = [o.size for p in after.pieces for o in p.outlines if was.get((p.name, o.size)) != o]
    new += [c.size for p in after.pieces for c in p.cut_lines] + list(after.sizes) + [""]
    return new[0], new[0]


def outline_of(pattern: Pattern, piece: str, size: str) -> Optional[Outline]:
    """The outline of a piece in a size; None where there is none."""
    try:
        return pattern.piece(piece).outline(size)
    except InputError:
        return None


def nearest_points(path: Path, spots: np.ndarray) -> np.ndarray:
    """The points ``(n, 2)`` of a path nearest to ``spots``, to 0.01 mm: enough for a picture.

    All at once on straight pieces of the path, a hundred times quicker than exactly.
    """
    ends = flatten(path, 0.01)
    if path.closed:
        ends = np.vstack([ends, ends[:1]])
    starts, ways = ends[:-1], np.diff(ends, axis=0)
    size = np.maximum((ways * ways).sum(axis=1), 1e-300)
    share = ((spots[:, None] - starts) * ways).sum(axis=-1) / size
    reached = starts + np.clip(share, 0.0, 1.0)[..., None] * ways
    apart = ((reached - spots[:, None]) ** 2).sum(axis=-1)
    return reached[np.arange(len(spots)), apart.argmin(axis=1)]


def _piece_changes(piece: str, old: Outline, new: Outline) -> List[Change]:
    runs = [(edge.name, new.path.part(edge.start, edge.stop)) for edge in new.edges]
    moves = [_moves(name, run, _old_edges(old, name)) for name, run in runs]
    largest = [_largest(number, moves, new.path.closed) for number in range(len(moves))]
    changes = []
    for name in new.names:
        of_name = [move for move, (run_name, _) in zip(largest, runs) if run_name == name]
        distance, spot = max(of_name, key=lambda move: move[0])
        if distance >= WORTH_TELLING:
            inches = nearest_sixteenth(distance) if distance < _SMALL else nearest_eighth(distance)
            amount = write_length(distance, decimals=1)
            text = "{}: {} {} ({})".format(called(name), amount, _direction(old.path, spot), inches)
            changes.append(Change(piece, text, spot))
    return changes


def called(edge: str) -> str:
    """How an edge is named to people: an edge that only has a number is "edge 1"."""
    return "edge {}".format(edge) if edge.isdigit() else edge


def _old_edges(old: Outline, name: str) -> Tuple[Path, ...]:
    """The old runs of an edge to measure to; the whole outline if it has none."""
    return old.runs(name) or (old.path,)


def _direction(old_line: Path, spot: Tuple[float, float]) -> str:
    """Where a line went that now runs through ``spot``; an open line has no inside."""
    if not old_line.closed:
        return "aside"
    return "inward" if contains(old_line, np.array([spot]))[0] else "outward"


class _Moves(NamedTuple):
    """How far places along one run of a new edge are from the old edge.

    ``spots``: the places (n, 2); ``moved``: sideways, mm; ``beyond``: whether the old edge
    had ended before that place.
    """

    name: str
    spots: np.ndarray
    moved: np.ndarray
    beyond: np.ndarray


def _moves(name: str, run: Path, old_edges: Sequence[Path]) -> _Moves:
    places = places_at(run, np.linspace(0.0, path_length(run), _PLACES))
    curves = run.curves[[place.curve for place in places]]
    t = np.array([place.t for place in places])
    spots, along = point(curves, t), derivative(curves, t)
    to_each = np.array([nearest_points(edge, spots) - spots for edge in old_edges])
    ways = to_each[(to_each**2).sum(axis=-1).argmin(axis=0), np.arange(len(spots))]
    ends = np.array([end for edge in old_edges for end in _ends(edge)]).reshape(-1, 2)
    to_ends = ends - spots[:, None]
    beyond = (np.abs(to_ends - ways[:, None]).max(axis=-1) <= SAME_POINT).any(axis=1)
    return _Moves(name, spots, _sideways(ways, along, beyond), beyond)


def _largest(number: int, moves: Sequence[_Moves], closed: bool) -> Tuple[float, Tuple[float, float]]:
    """The largest move (mm) of one run and its place on the new line; 0 for none.

    Near a corner with an edge that moved further, the other edge's change is what is seen:
    places as near to it as that edge moved, or beyond the old end there, do not count.
    """
    own = moves[number]
    counts = np.ones(len(own.spots), dtype=bool)
    half = np.arange(len(own.spots)) < len(own.spots) // 2
    for step, corner, this_half in ((-1, own.spots[0], half), (1, own.spots[-1], ~half)):
        if not closed and not 0 <= number + step < len(moves):
            continue
        other = moves[(number + step) % len(moves)]
        if other.name != own.name and other.moved.max() > own.moved.max():
            away = np.hypot(*(own.spots - corner).T)
            counts &= ~(this_half & ((away <= other.moved.max()) | own.beyond))
    moved = np.where(counts, own.moved, 0.0)
    alike = np.flatnonzero(moved >= moved.max() - _ALIKE)
    best = int(alike[len(alike) // 2])
    return float(moved[best]), _pair(own.spots[best])


def _ends(edge: Path) -> Tuple[np.ndarray, ...]:
    return () if edge.closed else (edge.start, edge.end)


def _sideways(ways: np.ndarray, along: np.ndarray, beyond: np.ndarray) -> np.ndarray:
    """How far each spot moved (mm), ``ways`` leading back to the nearest old point.

    ``beyond``: where that is an end of the old edge the new one is longer, and only the
    part of the way that is square to the new line counts.
    """
    speed = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-300)
    square = np.abs(ways[:, 0] * along[:, 1] - ways[:, 1] * along[:, 0]) / speed
    return np.where(beyond, square, np.hypot(ways[:, 0], ways[:, 1]))


def _pair(spot: np.ndarray) -> Tuple[float, float]:
    return float(spot[0]), float(spot[1])
