"""Faint lines: where a piece was cut apart and where it was hinged, drawn to be looked at.

They are overlays: no part of the piece, taken away with the written names or by the next
run that does not ask for them.
"""

from typing import List, Sequence

import numpy as np

from sewkit.geometry.path import Path
from sewkit.pattern.mark import OVERLAY, Mark
from sewkit.pattern.piece import Piece

SLASH = "slash"
HINGE = "hinge"
FAINT = (SLASH, HINGE)

# Radius of the ring round a hinge (mm): seen on a print, and no drill hole's size.
RING = 2.0

# Handles of a quarter circle, in radii: the arc's middle then lies on the circle, which it
# leaves nowhere by more than 3 parts in 10000.
_QUARTER = 4.0 / 3.0 * (2.0**0.5 - 1.0)


def faint_lines(
    piece: Piece, size: str, lines: Sequence[Path] = (), hinges: Sequence["np.typing.ArrayLike"] = ()
) -> Piece:
    """The piece with faint lines and rings in one size, in place of those it had there.

    Without any, the old ones are taken away.  ``hinges`` are points ``(2,)``; all in mm.
    """
    kept = tuple(mark for mark in piece.marks if not (is_faint(mark) and mark.size == size))
    made: List[Mark] = [Mark(OVERLAY, SLASH, size, line) for line in lines if len(line)]
    made += [Mark(OVERLAY, HINGE, size, ring(hinge)) for hinge in hinges]
    if len(kept) == len(piece.marks) and not made:
        return piece
    return piece._replace(marks=kept + tuple(made))


def is_faint(mark: Mark) -> bool:
    """Whether a mark is one of the faint lines or rings."""
    return mark.kind == OVERLAY and mark.name in FAINT


def ring(middle: "np.typing.ArrayLike", radius: float = RING) -> Path:
    """A circle of four curves round a point ``(2,)`` (mm)."""
    corners = radius * np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]])
    ends, middle = np.roll(corners, -1, axis=0), np.asarray(middle, np.float64).reshape(2)
    curves = np.stack([corners, corners + _QUARTER * ends, ends + _QUARTER * corners, ends], axis=1)
    return Path(middle + curves, closed=True)
