"""What the before/after picture says where nobody has said it: how far each edge moved."""

from typing import List, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import path_length, places_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, derivative, point
from sewkit.geometry.polygon import contains
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.report import Change
from sewkit.units import nearest_eighth, write_length

# A smaller move is not worth a label (mm): two seams this far apart still count as equal.
WORTH_TELLING = 0.5

# Places looked at along a run of an edge; the largest move lies within a hair of one.
_PLACES = 33

# The way from the new line to the old one must stand at least this square on the new one
# (cosine).  It does not where an edge only became longer, beyond the old edge's end.
_SQUARE = 0.5


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


def _piece_changes(piece: str, old: Outline, new: Outline) -> List[Change]:
    changes = []
    for name in new.names:
        moves = [_largest_move(run, _old_edge(old, name), old.path) for run in new.runs(name) if len(run)]
        distance, spot, word = max(moves, key=lambda move: move[0])
        if distance >= WORTH_TELLING:
            amount = write_length(distance, decimals=1)
            text = "{}: {} {} ({})".format(name, amount, word, nearest_eighth(distance))
            changes.append(Change(piece, text.replace("  ", " "), spot))
    return changes


def _old_edge(old: Outline, name: str) -> Path:
    """The old runs of an edge as one path to measure to; the whole outline if it has none."""
    runs = old.runs(name)
    return Path(np.concatenate([run.curves for run in runs])) if runs else old.path


def _largest_move(run: Path, old_edge: Path, old_line: Path) -> Tuple[float, Tuple[float, float], str]:
    """Distance (mm), place on the new line, and "out", "in" or "away"; 0 for no move."""
    places = places_at(run, np.linspace(0.0, path_length(run), _PLACES))
    curves = run.curves[[place.curve for place in places]]
    t = np.array([place.t for place in places])
    spots, along = point(curves, t), derivative(curves, t)
    ways = np.array([nearest(old_edge, spot).point for spot in spots]) - spots
    distances = np.hypot(ways[:, 0], ways[:, 1])
    slant = np.abs((ways * along).sum(axis=1))
    square = slant <= _SQUARE * distances * np.hypot(along[:, 0], along[:, 1]) + 1e-9
    best = int(np.argmax(np.where(square, distances, 0.0)))
    if not square[best]:
        return 0.0, _pair(spots[best]), ""
    word = "away"
    if old_line.closed:
        word = "in" if contains(old_line, spots[best])[0] else "out"
    return float(distances[best]), _pair(spots[best]), word


def _pair(spot: np.ndarray) -> Tuple[float, float]:
    return float(spot[0]), float(spot[1])
