"""Scale bars: a line between two end ticks, with a size written beside it."""

import math
from typing import Dict, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Page
from sewkit.sheet.witness import BAR, BY_TEXT, Pair, Witness, of_one_length
from sewkit.sheet.witness_lines import Straights, seen
from sewkit.sheet.witness_rulers import Comb, overlapping
from sewkit.sheet.witness_words import Text

# A scale bar's length (mm), and how long its end ticks are at most, as a share of it.
_BAR, _END = (8.0, 1500.0), 0.6
# Its ticks touch its ends within this and half the breadth of the pens (mm).
_TOUCH = 0.15
# Where the text may stand: this far from the line (mm).
_REACH = 12.0
# How far off the scale may be: as a text that only names a size is read, and one that
# speaks of a test.
_PLAIN, _SPOKEN = 3.0, 30.0


def bars(
    page: Page, lines: Straights, texts: Sequence[Text], known: Sequence[Comb] = ()
) -> Tuple[Witness, ...]:
    """Lines between two end ticks with a size written beside them.

    ``known``: rulers, whose own line is no scale bar.
    """
    telling = [text for text in texts if text.says_size]
    if not telling or not len(lines.starts):
        return ()
    lengths = lines.lengths
    long = np.nonzero((lengths >= _BAR[0]) & (lengths <= _BAR[1]))[0]
    found: Dict[Pair, Witness] = {}
    for text in telling:
        near = [(_away(lines, int(i), text), int(i)) for i in long if _close(lines, int(i), text)]
        for distance, number in sorted(near):
            witness = _bar(page, lines, number, text, known) if distance <= _REACH else None
            if witness is not None:
                found.setdefault(witness.point, witness)
                break
    return tuple(found.values())


def _close(lines: Straights, number: int, text: Text) -> bool:
    """A quick look, before measuring: the text lies in the line's box, widened."""
    ends = np.array([lines.starts[number], lines.ends[number]])
    low, high = ends.min(axis=0) - _REACH, ends.max(axis=0) + _REACH
    return bool(((text.points >= low) & (text.points <= high)).all(axis=1).any())


def _away(lines: Straights, number: int, text: Text) -> float:
    start, end = lines.starts[number], lines.ends[number]
    way = (end - start) / np.hypot(*(end - start))
    along = np.clip((text.points - start) @ way, 0.0, float((end - start) @ way))
    return float(np.hypot(*(text.points - start - along[:, None] * way).T).min())


def _bar(page: Page, lines: Straights, number: int, text: Text, known: Sequence[Comb]) -> Optional[Witness]:
    start, end = lines.starts[number], lines.ends[number]
    length = float(np.hypot(*(end - start)))
    way = (end - start) / length
    middle = float(start[0] + end[0]) / 2, float(start[1] + end[1]) / 2
    if known and overlapping(Comb(start, way, length, 1, (-1.0, 1.0), 0), known).any():
        return None
    square = np.abs(lines.ways @ way) < 0.05
    short = lines.lengths <= max(_END * length, 1.0)
    places = []
    for spot in (start, end):
        reach = _TOUCH + 0.5 * float(lines.pens[number])
        on = square & short & (_to_point(lines, spot) <= reach + 0.5 * lines.pens)
        if not on.any():
            return None
        tick = int(np.nonzero(on)[0][0])
        places.append(float(((lines.starts[tick] + lines.ends[tick]) / 2 - start) @ way))
    between = square & short & (_to_line(lines, start, end) <= _TOUCH)
    if _inside(lines, between, start, way, length) > 0:
        return None  # ticks in between: a ruler that was not understood, or a row of notches
    measured = places[1] - places[0]
    most = _SPOKEN if text.speaks else _PLAIN
    lengths = [across for across, down in text.sizes if across == down]
    sizes = [size for size in lengths if 1 / most < measured / size < most]
    if not sizes or not seen(
        page, page.drawn[int(lines.drawn[number])], (float(middle[0]), float(middle[1]))
    ):
        return None
    nominal = min(sizes, key=lambda size: abs(math.log(measured / size)))
    told = of_one_length(BAR, page.number, way, measured, nominal, middle, BY_TEXT, text.text)
    across, down = told.nominal[0] > 0, told.nominal[1] > 0
    return told._replace(options=tuple((size * across, size * down) for size in sizes))


def _to_point(lines: Straights, spot: np.ndarray) -> np.ndarray:
    """How far each line is from a point (mm)."""
    along = np.clip(((spot - lines.starts) * lines.ways).sum(axis=1), 0.0, lines.lengths)
    return np.hypot(*(lines.starts + along[:, None] * lines.ways - spot).T)


def _to_line(lines: Straights, start: np.ndarray, end: np.ndarray) -> np.ndarray:
    """How far the nearest of each line's ends and middle is from a line (mm)."""
    way = (end - start) / np.hypot(*(end - start))
    points = np.stack([lines.starts, (lines.starts + lines.ends) / 2, lines.ends])
    aside = np.abs((points - start) @ np.array([-way[1], way[0]]))
    return aside.min(axis=0)


def _inside(lines: Straights, which: np.ndarray, start: np.ndarray, way: np.ndarray, length: float) -> int:
    along = ((lines.starts + lines.ends) / 2 - start)[which] @ way
    return int(((along > 1.0) & (along < length - 1.0)).sum())
