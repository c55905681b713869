"""Where names and numbers stand on the sheet picture, so that nothing runs over another.

What belongs inside a piece is tried there first, in smaller letters or more lines where
it must be; what finds no room stands as near as it can, with a line to what it means.
"""

import textwrap
import unicodedata
from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.files.picture_layout import LINE, NAME, NOTE
from sewkit.files.picture_sheet_ink import RADIUS
from sewkit.files.picture_sheet_room import (
    Box,
    Room,
    Spot,
    first_clear,
    free_middles,
    nearest_first,
    spots_along,
)
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import bounds, contains

_WRAPS = (28, 16, 11)  # letters in a line of a name, tried in turn
_NARROW = 26.0  # a page drawn narrower than this (mm) has its number alone written into it
_PAD = 0.6  # around words
_TRIED = 400  # places looked at, the nearest first
_WORTH = 8.0  # so much further (mm) a name may stand to keep clear of faint lines
_BESIDE = 6.5  # a circle stands this far from its spot, which stays to be seen


class Words(NamedTuple):
    """Words about a middle, with a line to a spot where they stand apart from it."""

    lines: Tuple[str, ...]
    height: float
    middle: Spot
    to: Optional[Spot] = None

    @property
    def box(self) -> Box:
        """Left, top, right, bottom."""
        wide, high = _extent(self.lines, self.height)
        x, y = self.middle
        return x - wide / 2, y - high / 2, x + wide / 2, y + high / 2


def name_inside(room: Room, name: str, smallest: Path) -> Optional[Words]:
    """A piece's name inside its smallest outline; None where there is no room for it."""
    left, top, right, bottom = bounds(smallest)
    wanted = ((left + right) / 2, (top + bottom) / 2)
    for lines, height in _settings(name):
        wide, high = _extent(lines, height)
        if wide > right - left or high > bottom - top:
            continue
        for over_faint in (False, True):
            middles = free_middles(room, wide, high, over_faint)
            away = np.abs(middles - wanted)
            middles = middles[(away <= [(right - left - wide) / 2, (bottom - top - high) / 2]).all(axis=1)]
            middles = nearest_first(middles, wanted, _TRIED)
            middles = middles[contains(smallest, middles)] if smallest.closed else middles[:0]
            if len(middles):
                return Words(lines, height, _spot(middles[0]))
    return None


def name_beside(room: Room, name: str, piece: Path, others: Sequence[Path]) -> Words:
    """A piece's name in free paper near it, outside ``others``, with a line to the piece."""
    left, top, right, bottom = bounds(piece)
    wanted = ((left + right) / 2, (top + bottom) / 2)
    lines = tuple(textwrap.wrap(name, _WRAPS[0])) or ("",)
    rim = spots_along(piece)
    found = []
    for over_faint in (False, True):
        middles = nearest_first(free_middles(room, *_extent(lines, NOTE), over_faint), wanted, 10 * _TRIED)
        for outline in others:
            middles = middles[~_within(outline, middles)]
        for start in middles[:_TRIED]:
            to = _spot(rim[np.argmin(((rim - start) ** 2).sum(axis=1))])
            if first_clear(room, start[None], to) is not None:
                away = float(np.hypot(start[0] - wanted[0], start[1] - wanted[1]))
                found.append((away + _WORTH * over_faint, Words(lines, NOTE, _spot(start), to)))
                break
    return min(found, key=lambda one: one[0])[1] if found else Words(lines, NOTE, wanted)


def circle_for(room: Room, spot: Spot) -> Words:
    """A circle's place near its spot; on it where nothing near is free."""
    wide = 2 * RADIUS + _PAD
    for over_faint in (False, True):
        middles = nearest_first(free_middles(room, wide, wide, over_faint), spot, _TRIED, _BESIDE)
        found = first_clear(room, middles, spot)
        if found is not None:
            return Words(("",), 2 * RADIUS, found, spot)
    return Words(("",), 2 * RADIUS, spot)


def circle_box(place: Words) -> Box:
    """What a circle takes."""
    x, y = place.middle
    reach = RADIUS + _PAD / 2
    return x - reach, y - reach, x + reach, y + reach


def page_number(room: Room, count: int, box: Box) -> Words:
    """A page's number inside it, as near to its upper left corner as may be."""
    for words in ("page {}".format(count), str(count)):
        if words == str(count) or box[2] - box[0] >= _NARROW:
            found = _page_words(room, words, box)
            if found is not None:
                return found
    wide, high = _extent((words,), NOTE)
    return Words((words,), NOTE, (box[0] + wide / 2 + 0.5, box[1] + high / 2 + 0.5))


def _page_words(room: Room, words: str, box: Box) -> Optional[Words]:
    wide, high = _extent((words,), NOTE)
    wanted = (box[0] + wide / 2 + 0.5, box[1] + high / 2 + 0.5)
    for over_faint in (False, True):
        middles = free_middles(room, wide, high, over_faint)
        low, high_end = np.array(box[:2]), np.array(box[2:])
        half = np.array([wide, high]) / 2
        middles = middles[((middles >= low + half) & (middles <= high_end - half)).all(axis=1)]
        middles = nearest_first(middles, wanted, 1)
        if len(middles):
            return Words((words,), NOTE, _spot(middles[0]))
    return None


def _settings(name: str) -> List[Tuple[Tuple[str, ...], float]]:
    """Ways to set a name: large before small, few lines before many."""
    wrapped = [tuple(textwrap.wrap(name, most)) or ("",) for most in _WRAPS]
    return [(lines, height) for height in (NAME, NOTE) for lines in dict.fromkeys(wrapped)]


def _extent(lines: Sequence[str], height: float) -> Tuple[float, float]:
    """Width and height of words, with a little air."""
    wide = max(_letters(one) for one in lines) * height + 2 * _PAD
    return wide, (len(lines) - 1) * height * LINE + height + 2 * _PAD


def _letters(words: str) -> float:
    """The width of strong letters in text heights, in a wide sans-serif face."""
    return sum(_letter(letter) for letter in words)


def _letter(letter: str) -> float:
    if unicodedata.east_asian_width(letter) in "WF":
        return 1.0
    if letter in "mwMW":
        return 1.05
    return 0.8 if letter.isupper() else 0.66


def _within(outline: Path, middles: np.ndarray) -> np.ndarray:
    if not outline.closed or not len(middles):
        return np.zeros(len(middles), dtype=bool)
    return contains(outline, middles)


def _spot(pair: np.ndarray) -> Spot:
    return float(pair[0]), float(pair[1])
