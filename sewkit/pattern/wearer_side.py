"""The left and the right of whoever wears it, and the names that say so.

A pattern lies with the right side of the cloth up, so one looks at it as at somebody who is
wearing it: a front's left half lies to the right, a back's left half to the left.
"""

from typing import Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.pattern.grain_copy import centre_of
from sewkit.pattern.piece import Piece
from sewkit.pattern.spans import grain_axis
from sewkit.pattern.upright import by_names

LEFT, RIGHT = "left", "right"

# A part of the name of what is worn behind.
_BEHIND = "back"


def other_side(side: str) -> str:
    """The other one of ``LEFT`` and ``RIGHT``."""
    return RIGHT if side == LEFT else LEFT


def sided(name: str, side: str) -> str:
    """A name with its side: ``side-left``."""
    return "{}-{}".format(name, side)


def side_in(name: str) -> str:
    """The side in a name; empty where it has none."""
    return next((side for side in (LEFT, RIGHT) if name.endswith("-" + side)), "")


def without_side(name: str) -> str:
    """A name without its side."""
    side = side_in(name)
    return name[: -len(side) - 1] if side else name


def side_of(piece: Piece, path: Path, on: np.ndarray, words: str = "") -> str:
    """On which side of the wearer a shape (a closed path) lies, seen from a spot (2,) at the centre.

    ``words``: other names that may tell that the piece is worn behind.
    """
    size = piece.outlines[0].size
    down = np.array(by_names(piece) or grain_axis(piece, size)) if piece.named else np.array([0.0, 1.0])
    # On the sheet y runs down: who looks along "down" has the right of the sheet on the left hand.
    to_the_right = np.array([down[1], -down[0]])
    seen_right = float((centre_of(path) - on) @ to_the_right) >= 0.0
    behind = any(_BEHIND in word.lower() for word in (piece.name, words))
    return RIGHT if seen_right == behind else LEFT


def mirrored_word(names: Tuple[str, ...], taken: Tuple[str, ...]) -> str:
    """The first of several names that an outline with both sides would have twice; empty if none."""
    return next((n for n in names for side in (LEFT, RIGHT) if sided(n, side) in taken), "")
