"""The words of labels that did not fit on their pieces, in a legend below everything that is drawn.

Each line belongs to the piece it is about, so it is replaced with that piece's label.
"""

import re
from typing import List, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import bounds
from sewkit.pattern.mark import LABEL, Mark
from sewkit.pattern.pattern import Pattern

# By this name our labels are known again, and put in the place of older ones.
LABEL_NAME = "piece-label"

# A letter is at most so wide and lines are so far apart, in heights of the letters; wide enough for
# the usual letters without serifs.
LETTER, LINE = 0.62, 1.3

# From the lowest line of all pieces to the legend, and how high its letters are (mm).
_BELOW, _HEIGHT = 25.0, 6.0


def in_legend(mark: Mark) -> bool:
    """Whether a mark is a line of the legend: it begins with the number that stands on its piece."""
    return mark.name == LABEL_NAME and re.match(r"\d+: ", mark.text) is not None


def with_legend(pattern: Pattern, owners: Sequence[str], legend: Sequence[Tuple[str, str]]) -> Pattern:
    """The pattern with one line (number and words) for each of the pieces ``owners``.

    What stands in the legend already is left there, and the new lines go below it.
    """
    if not legend:
        return pattern
    start = _free_place(pattern)
    for owner, (sign, words) in zip(owners, legend):
        text = "{}: {}".format(sign, words)
        end = start + np.array([len(text) * LETTER * _HEIGHT, 0.0])
        mark = Mark(LABEL, LABEL_NAME, path=Path.through([start, end]), text=text, height=_HEIGHT)
        piece = pattern.piece(owner)
        pattern = pattern.with_piece(piece._replace(marks=piece.marks + (mark,)))
        start = start + np.array([0.0, LINE * _HEIGHT])
    return pattern


def _free_place(pattern: Pattern) -> np.ndarray:
    """Where the next line of the legend begins (2,), mm."""
    parts = [part.path for piece in pattern.pieces for part in (*piece.outlines, *piece.cut_lines)]
    boxes = np.array([bounds(path) for path in parts if len(path)])
    left, below = boxes[:, 0].min(), boxes[:, 3].max() + _BELOW
    known: List[float] = [
        float(mark.path.start[1])
        for piece in pattern.pieces
        for mark in piece.marks
        if mark.name == LABEL_NAME and mark.text and mark.path is not None and len(mark.path)
    ]
    lowest = max([height for height in known if height >= below - 0.01], default=below - LINE * _HEIGHT)
    return np.array([left, lowest + LINE * _HEIGHT])
