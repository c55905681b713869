"""Words on a piece: what is to be done at a spot, written inside the outline."""

from typing import Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import contains
from sewkit.pattern.mark import LABEL, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

# Letters of a label are about so wide, and its lines so far apart (mm).
_LETTER, _LINE = 4.2, 10.0


def inner_label(outline: Outline, words: str, spot: np.ndarray, row: int = 0) -> Mark:
    """A label of one size about a spot (2,), but beginning inside the piece if it can.

    ``row``: the number of its line, for the sizes of a nest lie over each other.
    """
    spot = spot + np.array([0.0, _LINE * row])
    start = spot - np.array([_LETTER * len(words) / 2.0, 0.0])
    start = start if outline.path.closed and contains(outline.path, [start])[0] else spot
    line = Path.through([start, start + np.array([1.0, 0.0])])
    return Mark(LABEL, "", outline.size, line, text=words)


def labelled(piece: Piece, words: Sequence[Tuple[str, str, np.ndarray]]) -> Piece:
    """The piece with words for its sizes: one label where all say the same, else one a size, named.

    ``words``: size, words and spot (2,) of each size that has some.
    """
    size, text, spot = words[0]
    if len(words) == len(piece.outlines) and len({one[1] for one in words}) == 1:
        label = inner_label(piece.outline(size), text, spot)
        size = size if len(words) == 1 else ""
        return piece._replace(marks=piece.marks + (label._replace(size=size),))
    made = []
    for row, (size, text, spot) in enumerate(words):
        shown = "{}: {}".format(size, text) if size else text
        made.append(inner_label(piece.outline(size), shown, spot, row))
    return piece._replace(marks=piece.marks + tuple(made))
