"""A drawing for paper moved as a whole, cut into its runs, and the room its words take."""

from typing import Iterable, Iterator, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.geometry.transform import IDENTITY, Transform
from sewkit.paper.document import Drawn, Words
from sewkit.paper.letter_widths import text_width

# Letters reach so far above and below their base line, in heights of the letters.
ABOVE, BELOW = 0.75, 0.25


def moved(drawn: Drawn, move: Transform) -> Drawn:
    """A drawing moved without being stretched; ``move`` may turn it."""
    if move == IDENTITY:
        return drawn
    turned = move._replace(e=0.0, f=0.0)
    return Drawn(
        tuple(stroke._replace(path=move.path(stroke.path)) for stroke in drawn.strokes),
        tuple(fill._replace(path=move.path(fill.path)) for fill in drawn.fills),
        tuple(
            words._replace(place=_pair(move, words.place), along=_pair(turned, words.along))
            for words in drawn.words
        ),
    )


def _pair(move: Transform, spot: "np.typing.ArrayLike") -> Tuple[float, float]:
    x, y = move.points(np.asarray(spot, np.float64))
    return float(x), float(y)


def together(parts: Iterable[Drawn]) -> Drawn:
    """Several drawings as one, the later ones on top."""
    strokes, fills, words = [], [], []
    for part in parts:
        strokes += part.strokes
        fills += part.fills
        words += part.words
    return Drawn(tuple(strokes), tuple(fills), tuple(words))


def runs(path: Path) -> Iterator[Path]:
    """The parts of a path that hang together: marks such as a double notch are several lines in one."""
    if not len(path):
        return
    gaps = np.abs(path.curves[1:, 0] - path.curves[:-1, 3]).max(axis=1) > SAME_POINT
    if not gaps.any():
        yield path
        return
    cuts = [0, *(np.flatnonzero(gaps) + 1).tolist(), len(path)]
    for start, stop in zip(cuts, cuts[1:]):
        curves = path.curves[start:stop]
        back = np.abs(curves[-1, 3] - curves[0, 0]).max() <= SAME_POINT and len(curves) > 1
        yield Path(curves, bool(back))


def room_of(words: Words) -> np.ndarray:
    """The four corners ``(4, 2)`` of the room that words take (mm), from the base line's start."""
    along = np.array(words.along)
    down = np.array([-along[1], along[0]])
    length = text_width(words.text, words.height, words.bold)
    start = np.array(words.place) - words.anchor * length * along
    stop = start + length * along
    above, below = ABOVE * words.height * down, BELOW * words.height * down
    return np.array([start + below, stop + below, stop - above, start - above])
