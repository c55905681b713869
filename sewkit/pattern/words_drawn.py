"""How the words of a drawing stand on the sheet: which way they run, how high they are, line by line.

Steps only move words, so what was read of them stays true; only the words themselves may be others.
"""

from typing import Iterator, NamedTuple

import numpy as np

from sewkit.pattern.mark import Mark

# From one line of words to the next, in heights of the letters, where the drawing has one line only.
_LEADING = 1.3


class WordsLine(NamedTuple):
    """One line of words: where its foot is (2,) and the unit direction it runs in (2,), mm on the sheet.

    ``height``: of its letters (mm); ``anchor``: which part of its length lies before ``place``.
    """

    text: str
    place: np.ndarray
    along: np.ndarray
    height: float
    anchor: float


def words_drawn(mark: Mark) -> Iterator[WordsLine]:
    """The lines of a text that stands in the drawing; none for one that is new, or not read from there."""
    read = mark.lettering
    if read is None or not mark.key or mark.path is None or not len(mark.path):
        return
    along = np.array(read.along)
    down = np.array([-along[1], along[0]]) * _LEADING * read.height
    lines = [(text, np.array(off)) for text, off in read.lines]
    if _letters(mark.text) != _letters("".join(text for text, _ in lines)):
        said = [text for text in mark.text.split("\n") if text.strip()]
        known = [off for _, off in lines]
        offs = known + [known[-1] + (number + 1) * down for number in range(len(said) - len(known))]
        lines = list(zip(said, offs))
    for text, off in lines:
        yield WordsLine(" ".join(text.split()), mark.path.start + off, along, read.height, read.anchor)


def _letters(text: str) -> str:
    """Text without its blanks."""
    return "".join(text.split())
