"""Words on a piece: what is to be done at a spot, written inside the outline."""

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import contains
from sewkit.pattern.mark import LABEL, Mark
from sewkit.pattern.outline import Outline

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
