"""A dart turned into an edge as flare: the dart closes, the edge opens and is one soft run.

    piece, made = flared(piece, outline, dart, pivot, on, 100.0)
    made.gone.gained                # so much longer the edge is (mm)

For an angle ``t`` and a slash of ``l`` mm the edge gains ``2 l sin(t/2)``, and a little for its curve.
"""

from typing import NamedTuple, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import bounds
from sewkit.pattern.dart import Dart, free_name
from sewkit.pattern.dart_gone import DartGone, without_dart
from sewkit.pattern.dart_turning import DartTurn, Target, turn_dart
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.mark import On
from sewkit.pattern.notch import place_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.spans import grain_axis


class Flared(NamedTuple):
    """One size with its dart turned into an edge.

    Args:
        turn: the turn, with the new dart still open.
        gone: how the edge was drawn over the opening.
    """

    turn: DartTurn
    gone: DartGone


def flared(
    piece: Piece, outline: Outline, dart: Dart, pivot: np.ndarray, on: On, percent: float, whole: bool = True
) -> Tuple[Piece, Flared]:
    """Turn so much of a dart into an edge at a place, and draw the edge on over the opening.

    ``whole``: marks that serve all sizes go along.  ``InputError``: see ``turn_dart``.
    """
    name = free_name(piece, outline, piece.darts)
    target = Target(1.0, on.edge, on, None, name)
    piece, turn = turn_dart(piece, outline, dart, pivot, [target], percent, None, whole)
    drawn = drawn_darts(piece, outline.size)
    held = [leg.start for other in drawn if not other.contour for leg in other.legs]
    piece, gone = without_dart(piece, outline.size, name, whole, held)
    return piece, Flared(turn, gone)


def hem_of(piece: Piece, outline: Outline) -> str:
    """The edge to flare where nobody says which: the only hem.  ``InputError`` where there is none."""
    hems = [name for name in piece.hems if name in outline.names]
    hems = hems or [name for name in outline.names if name == "hem"]
    if len(hems) == 1:
        return hems[0]
    known = [name for name in outline.names if name not in piece.darts]
    raise InputError(
        "It is not said at which edge of '{}' the flare shall open.".format(piece.name),
        "Name one of: {}.".format(", ".join(known)),
        code="choice",
    )


def below(piece: Piece, outline: Outline, pivot: np.ndarray, edge: str) -> Optional[On]:
    """The place of an edge that lies along the grain from the pivot, the nearest if there are more."""
    if edge not in outline.names:
        outline.edge_path(edge)  # says which edges there are
    axis = np.array(grain_axis(piece, outline.size))
    left, top, right, bottom = bounds(outline.path)
    reach = 2.0 * ((right - left) + (bottom - top))
    line = Path.through([pivot - reach * axis, pivot + reach * axis])
    spots = [met.point for run in outline.runs(edge) for met in crossings(run, line)]
    if not spots:
        return None
    nearest = min(spots, key=lambda spot: float(np.hypot(*(spot - pivot))))
    on = place_of(outline, nearest)
    return on if on.edge == edge else None
