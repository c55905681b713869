"""Which way is out on a piece: across the grain, away from the centre of the body."""

import numpy as np

from sewkit.geometry.polygon import flatten
from sewkit.pattern.cross_line import Axis
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.pressing import centre_line

# A piece whose middle lies this near to its centre line (mm) has no way out from it.
_NO_WAY_OUT = 5.0

# The extent of a piece is wanted to this accuracy (mm): only for a direction.
_ROUGH = 1.0


def out_of(piece: Piece, outline: Outline, down: Axis) -> np.ndarray:
    """The unit direction (2,) across the grain, away from the centre of the body.

    Without a centre beside the piece it is to the right, its lower end turned down.
    """
    across = np.array([down[1], -down[0]])
    on, _ = centre_line(piece, outline)
    reach = (flatten(outline.path, _ROUGH) - on) @ across
    aside = float(reach.min() + reach.max()) / 2.0
    return -across if aside < -_NO_WAY_OUT else across
