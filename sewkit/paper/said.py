"""The words of labels as they stand on a piece: which way they run, and how high their letters are.

A label of a drawing is read as its words and the place where they begin.  The lines of our own
labels follow each other at a fixed distance in heights, so way and height follow from two of them.
"""

from typing import Iterator, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.paper.document import Words
from sewkit.paper.letter_widths import text_width
from sewkit.paper.line_kinds import size_layer
from sewkit.pattern.label_legend import LABEL_NAME
from sewkit.pattern.mark import Mark

# Letters of words whose height the drawing does not say (mm).
USUAL = 4.0

# The lines of a label are so far apart, in heights of its letters, and those so high (mm).
_LINE, _LEAST, _MOST = 1.3, 3.0, 9.0

# Letters beside the bar of a label (mm).
_BAR_LETTERS = 5.0


def words_of_labels(marks: Sequence[Mark], layer: str) -> Iterator[Words]:
    """The words of some labels, in order."""
    for number, mark in enumerate(marks):
        if not mark.text or mark.path is None or not len(mark.path):
            continue
        along, height = _way(marks, number)
        layers = ((size_layer(mark.size),) if mark.size else ()) + (layer,)
        place = (float(mark.path.start[0]), float(mark.path.start[1]))
        length = float(np.hypot(*(mark.path.end - mark.path.start)))
        if length > 1.0:  # the room it was given; never run out of it
            height *= min(1.0, length / max(text_width(mark.text, height), 1e-9))
        yield Words(mark.text, place, height, (float(along[0]), float(along[1])), layers=layers)


def _way(marks: Sequence[Mark], number: int) -> Tuple[np.ndarray, float]:
    """Unit direction and height of the letters (mm) of a label."""
    mark = marks[number]
    level = np.array([1.0, 0.0])
    if mark.path is None:
        return level, USUAL
    way = mark.path.end - mark.path.start
    if np.hypot(*way) > 1.0:
        return way / np.hypot(*way), mark.height or USUAL
    if mark.name != LABEL_NAME:
        return level, mark.height or USUAL
    for other in (number + 1, number - 1):
        step = _step(marks, number, other)
        if step is not None:
            size = float(np.hypot(*step))
            return np.array([step[1], -step[0]]) / size, size / _LINE
    bar = _bar_before(marks, number)
    return (level, mark.height or USUAL) if bar is None else (bar, _BAR_LETTERS)


def _step(marks: Sequence[Mark], number: int, other: int) -> Optional[np.ndarray]:
    """From a line of a label down to the next; None where the two are no such lines."""
    if not 0 <= other < len(marks):
        return None
    one, two = marks[number], marks[other]
    if two.name != LABEL_NAME or not two.text or one.path is None or two.path is None:
        return None
    step = (two.path.start - one.path.start) * (1.0 if other > number else -1.0)
    return step if _LEAST <= np.hypot(*step) / _LINE <= _MOST else None


def _bar_before(marks: Sequence[Mark], number: int) -> Optional[np.ndarray]:
    """The direction of the bar that the words stand beside."""
    lines: List[Mark] = [mark for mark in marks[:number] if mark.name == LABEL_NAME and not mark.text]
    if not lines or lines[-1].path is None:
        return None
    shaft = lines[-1].shaft
    way = shaft.end - shaft.start
    return way / max(float(np.hypot(*way)), 1e-9)
