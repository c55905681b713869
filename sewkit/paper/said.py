"""The words of labels as they stand on a piece: which way they run, and how high their letters are."""

from typing import Iterator, Sequence, Tuple

import numpy as np

from sewkit.paper.document import Words
from sewkit.paper.letter_widths import text_width
from sewkit.paper.line_kinds import size_layer
from sewkit.pattern.mark import Mark
from sewkit.pattern.words_drawn import words_drawn

# Letters of words whose height nothing says (mm).
USUAL = 4.0


def words_of_labels(marks: Sequence[Mark], layer: str) -> Iterator[Words]:
    """The words of some labels, in order."""
    for mark in marks:
        if not mark.text or mark.path is None or not len(mark.path):
            continue
        layers = ((size_layer(mark.size),) if mark.size else ()) + (layer,)
        drawn = list(words_drawn(mark))
        for line in drawn:
            yield Words(
                line.text,
                _pair(line.place),
                line.height,
                _pair(line.along),
                anchor=line.anchor,
                layers=layers,
            )
        if not drawn:
            yield _new(mark, layers)


def _new(mark: Mark, layers: Tuple[str, ...]) -> Words:
    """Words that are not in the drawing yet: along their path, and never out of the room it gives them."""
    height = mark.height or USUAL
    if mark.path is None:
        return Words(mark.text, (0.0, 0.0), height, layers=layers)
    way = mark.path.end - mark.path.start
    length = float(np.hypot(*way))
    along = way / length if length > 0.0 else np.array([1.0, 0.0])
    if length > 1.0:
        height *= min(1.0, length / max(text_width(mark.text, height), 1e-9))
    return Words(mark.text, _pair(mark.path.start), height, _pair(along), layers=layers)


def _pair(spot: np.ndarray) -> Tuple[float, float]:
    return float(spot[0]), float(spot[1])
