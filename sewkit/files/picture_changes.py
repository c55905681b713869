"""What the before/after picture says where nobody has said it: how far each edge moved."""

from typing import List, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import path_length, places_at
from sewkit.geometry.path import Path, derivative, point
from sewkit.geometry.polygon import contains, flatten
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.report import Change
from sewkit.units import nearest_eighth, write_length

# A smaller move is not worth a label (mm): two seams this far apart still count as equal.
WORTH_TELLING = 0.5

# Places looked at along a run of an edge; the largest move lies within a hair of one.
_PLACES = 33

# Of several moves equal to this (mm) the middle one gets the label.
_ALIKE = 0.02


def changes_between(before: Pattern, after: Pattern, size_before: str, size_after: str) -> Tuple[Change, ...]:
    """The largest move of each edge, sideways, where it is ``WORTH_TELLING``.

    The label sits on the new line: "side: 12.5 mm out (1/2 in)".  Pieces that are not in
    both patterns, or not in the sizes, are left out.
    """
    found: List[Change] = []
    for piece in after.pieces:
        new = outline_of(after, piece.name, size_after)
        old = outline_of(before, piece.name, size_before)
        if new is not None and old is not None:
            found.extend(_piece_changes(piece.name, old, new))
    return tuple(found)


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
    changes = []
    for name in new.names:
        moves = [_largest_move(run, _old_edges(old, name), old.path) for run in new.runs(name)]
        distance, spot, word = max(moves, key=lambda move: move[0])
        if distance >= WORTH_TELLING:
            inches = nearest_eighth(distance)
            inches = "under 1/8 in" if inches == "0 in" else inches
            text = "{}: {} {} ({})".format(_called(name), write_length(distance, decimals=1), word, inches)
            changes.append(Change(piece, text, spot))
    return changes


def _called(edge: str) -> str:
    return "edge {}".format(edge) if edge.isdigit() else edge


def _old_edges(old: Outline, name: str) -> Tuple[Path, ...]:
    """The old runs of an edge to measure to; the whole outline if it has none."""
    return old.runs(name) or (old.path,)


def _largest_move(
    run: Path, old_edges: Sequence[Path], old_line: Path
) -> Tuple[float, Tuple[float, float], str]:
    """Distance (mm), place on the new line, and "out", "in" or "aside"; 0 for no move."""
    places = places_at(run, np.linspace(0.0, path_length(run), _PLACES))
    curves = run.curves[[place.curve for place in places]]
    t = np.array([place.t for place in places])
    spots, along = point(curves, t), derivative(curves, t)
    to_each = np.array([nearest_points(edge, spots) - spots for edge in old_edges])
    ways = to_each[(to_each**2).sum(axis=-1).argmin(axis=0), np.arange(len(spots))]
    ends = np.array([end for edge in old_edges for end in _ends(edge)]).reshape(-1, 2)
    moved = _sideways(ways, along, ends - spots[:, None])
    alike = np.flatnonzero(moved >= moved.max() - _ALIKE)
    best = int(alike[len(alike) // 2])
    word = "aside"
    if old_line.closed:
        word = "in" if contains(old_line, spots[best])[0] else "out"
    return float(moved[best]), _pair(spots[best]), word


def _ends(edge: Path) -> Tuple[np.ndarray, ...]:
    return () if edge.closed else (edge.start, edge.end)


def _sideways(ways: np.ndarray, along: np.ndarray, to_ends: np.ndarray) -> np.ndarray:
    """How far each spot moved (mm), ``ways`` leading back to the nearest old point.

    Where that is an end of the old edge the new one is longer there, and only the part
    of the way that is square to the new line counts.
    """
    distances = np.hypot(ways[:, 0], ways[:, 1])
    speed = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-300)
    square = np.abs(ways[:, 0] * along[:, 1] - ways[:, 1] * along[:, 0]) / speed
    if not to_ends.size:
        return distances
    at_end = (np.abs(to_ends - ways[:, None]).max(axis=-1) <= SAME_POINT).any(axis=1)
    return np.where(at_end, square, distances)


def _pair(spot: np.ndarray) -> Tuple[float, float]:
    return float(spot[0]), float(spot[1])
