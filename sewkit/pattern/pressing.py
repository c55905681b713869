"""To which side the intake of a dart is pressed.

A dart that stands along the grain is pressed to the centre of the body, one that lies across it
is pressed down (Erwin, Practical Dress Design; NIMI, Dress Making: Practical).
"""

from typing import List, Tuple

import numpy as np

from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, end_tangents, is_line, start_tangents
from sewkit.geometry.polygon import bounds
from sewkit.pattern.dart import Dart
from sewkit.pattern.mark import GRAIN, INNER
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import CENTRE, DOWN, SIDES, UP, Piece
from sewkit.pattern.spans import grain_axis
from sewkit.pattern.upright import by_names

# A dart that leans less than this against the grain stands along it (cosine: 45 degrees).
_UPRIGHT = 0.7071

# An edge that leans less than this against the grain at a dart is upright (cosine: 30 degrees).
_UPRIGHT_EDGE = 0.866

# Both ends of a mouth lie at one height, or as far from the centre, if the mouth leans less than this
# from there (sine: 10 degrees).
_APART = 0.17

# On a line nobody named an edge that leans less than this against the grain may be the centre
# (cosine: 10 degrees).
_ALONG = 0.985

# What the edge at the centre of the body may be called, as a part of its name.
_CALLED = ("centre", "center")


def default_side(piece: Piece, dart: Dart) -> str:
    """Where a dart is pressed if nobody says otherwise: an upright one to the centre, else down.

    One that rises steeply from a side seam or an armhole is a bust dart all the same, and goes down.
    """
    grain = np.array(grain_axis(piece, dart.size))
    along = _edge_way(piece.outline(dart.size), dart)
    upright = abs(float(dart.axis @ grain)) >= _UPRIGHT
    return CENTRE if upright and abs(float(along @ grain)) < _UPRIGHT_EDGE else DOWN


def _edge_way(outline: Outline, dart: Dart) -> np.ndarray:
    """The direction of the edge at a dart's mouth, (2,) of length 1, with the dart closed half way."""
    before = [run for run in _runs(outline) if (run.end == dart.mouth[0]).all()]
    after = [run for run in _runs(outline) if (run.start == dart.mouth[1]).all()]
    ways = [end_tangents(run.curves[-1:])[0] for run in before]
    ways += [start_tangents(run.curves[:1])[0] for run in after]
    way = np.sum(ways, axis=0) if ways else dart.mouth[1] - dart.mouth[0]
    size = float(np.hypot(*way))
    return way / size if size > 0 else way


def _runs(outline: Outline) -> List[Path]:
    return [outline.path.part(edge.start, edge.stop) for edge in outline.edges]


def folded_to(piece: Piece, outline: Outline, dart: Dart, side: str) -> int:
    """Over which leg the intake comes to lie: 0 the first in path order, 1 the second.

    ``ValueError`` for another word than one of ``SIDES``.
    """
    if side not in SIDES:
        raise ValueError("a dart is pressed to one of {}".format(", ".join(SIDES)))
    if side in (UP, DOWN):
        low = dart.mouth @ _down(piece, outline)
        lower = int(low[1] > low[0])
        return lower if side == DOWN else 1 - lower
    on, way = centre_line(piece, outline)
    away = dart.mouth - on
    from_centre = np.abs(away[:, 0] * way[1] - away[:, 1] * way[0])
    nearer = int(from_centre[1] < from_centre[0])
    return nearer if side == CENTRE else 1 - nearer


def tells_ends_apart(piece: Piece, outline: Outline, dart: Dart, side: str) -> bool:
    """Whether one end of a dart's mouth lies clearly nearer to a side than the other.

    Neither end of an upright dart's mouth is the upper one, and neither of a level dart's the one
    at the centre.
    """
    grain = np.array(grain_axis(piece, outline.size))
    across = dart.mouth[1] - dart.mouth[0]
    along = abs(float(across @ grain)) / float(np.hypot(*across))
    return (along if side in (UP, DOWN) else float(np.sqrt(max(1.0 - along**2, 0.0)))) >= _APART


def _down(piece: Piece, outline: Outline) -> np.ndarray:
    """The direction along the grain to the lower end, as the piece's own names tell."""
    axis = np.array(grain_axis(piece, outline.size))
    told = by_names(piece) if piece.named else None
    return axis if told is None or axis @ np.array(told) >= 0 else -axis


def centre_line(piece: Piece, outline: Outline) -> Tuple[np.ndarray, np.ndarray]:
    """A spot on the line at the centre of the body, and its unit direction.

    The fold, also of a piece that was opened at it; an edge called centre; on a line nobody named
    the longest straight edge along the grain, or the longest of all, for a side is curved more often;
    the grain line; the middle of the piece.
    """
    grain = np.array(grain_axis(piece, outline.size))
    runs: List[Path] = [run for name in piece.folds for run in outline.runs(name)]
    if piece.unfolded:
        drawn = [m for m in piece.marks_for(outline.size) if m.kind == INNER and m.name == piece.unfolded]
        runs += [m.path for m in drawn if m.path is not None and len(m.path)]
    if not runs:
        called = [name for name in outline.names if any(word in name for word in _CALLED)]
        runs = [run for name in called for run in outline.runs(name)]
    if not runs and not piece.named:
        runs = _upright_edges(piece, outline, grain)
    if runs:
        longest = max(
            runs, key=lambda run: (not piece.named and bool(is_line(run.curves).all()), path_length(run))
        )
        way = longest.end - longest.start
        if np.hypot(*way) > 0:
            return longest.start, way / np.hypot(*way)
    for mark in piece.marks_for(outline.size):
        if mark.kind == GRAIN and mark.path is not None and len(mark.path):
            return mark.middle, grain
    left, top, right, bottom = bounds(outline.path)
    return np.array([(left + right) / 2.0, (top + bottom) / 2.0]), grain


def _upright_edges(piece: Piece, outline: Outline, grain: np.ndarray) -> List[Path]:
    edges = [e for e in outline.edges if e.name not in piece.darts]
    runs = [outline.path.part(edge.start, edge.stop) for edge in edges]
    found = []
    for run in runs:
        way = run.end - run.start
        if abs(float(way @ grain)) >= _ALONG * path_length(run):
            found.append(run)
    return found
