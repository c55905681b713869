"""Letters of a PDF's page put together to words and lines of text.

Producers show text by line, by word or by letter, and some put a row of size numbers into
one string with jumps between.  Only where the letters stand tells what belongs together.
"""

import math
from typing import List, NamedTuple, Optional, Tuple

from sewkit.files.pdf_state import Piece
from sewkit.sheet.drawn import Box, Words

# All in heights of the letters.  A blank is a quarter of a height wide in most fonts; letters
# of one word touch within a tenth; size numbers beside each other stand farther than a half.
BLANK_FROM = 0.15
APART_FROM = 0.55
_BACK = 0.3  # a pair of letters may overlap by this
_ASIDE = 0.15  # baselines as near as this are one line
_SAME_HEIGHT = 0.1  # share by which heights may differ
_SAME_WAY = 0.02  # directions may differ by this sine (1 degree)


class Spot(NamedTuple):
    """A piece on its page: moved, with the layers and clip of all it is in."""

    piece: Piece
    x: float
    y: float
    layers: Tuple[str, ...]
    hidden: bool
    clip: Optional[Box]


class _Phrase:
    """Text that grows to the right."""

    def __init__(self, spot: Spot) -> None:
        self.first = spot
        self.text = spot.piece.text.lstrip()
        x, y = spot.x, spot.y
        skipped = len(spot.piece.text) - len(self.text)
        self.x, self.y = x, y
        if skipped:  # blanks before the first letter are not part of where it stands
            share = spot.piece.width * skipped / len(spot.piece.text)
            self.x, self.y = x + spot.piece.ahead[0] * share, y + spot.piece.ahead[1] * share
        self.end = 0.0  # of the last letter, mm ahead of the start
        self.pen = 0.0  # where the next letter would stand
        self._reach(spot)

    def _reach(self, spot: Spot) -> None:
        ahead = self.first.piece.ahead
        start = (spot.x - self.x) * ahead[0] + (spot.y - self.y) * ahead[1]
        self.pen = start + spot.piece.width
        seen = spot.piece.text.rstrip()
        if seen:
            self.end = start + spot.piece.width * len(seen) / len(spot.piece.text)

    def takes(self, spot: Spot) -> bool:
        """Add a piece where it goes on from the last one; tell whether it did."""
        mine, other = self.first.piece, spot.piece
        if abs(mine.height - other.height) > _SAME_HEIGHT * mine.height or mine.colour != other.colour:
            return False
        if (self.first.layers, self.first.hidden, self.first.clip) != (spot.layers, spot.hidden, spot.clip):
            return False
        ahead, way = mine.ahead, other.ahead
        if (
            abs(ahead[0] * way[1] - ahead[1] * way[0]) > _SAME_WAY
            or ahead[0] * way[0] + ahead[1] * way[1] < 0
        ):
            return False
        dx, dy = spot.x - self.x, spot.y - self.y
        if abs(dx * ahead[1] - dy * ahead[0]) > _ASIDE * mine.height:
            return False
        gap = (dx * ahead[0] + dy * ahead[1] - self.pen) / mine.height
        since = (dx * ahead[0] + dy * ahead[1] - self.end) / mine.height
        if not -_BACK <= gap <= APART_FROM:
            return False
        self.text += (" " if since >= BLANK_FROM else "") + other.text
        self._reach(spot)
        return True

    def words(self) -> Optional[Words]:
        text = " ".join(self.text.split())
        if not text:
            return None
        piece = self.first.piece
        angle = math.degrees(math.atan2(piece.ahead[1], piece.ahead[0]))
        angle = 0.0 if abs(angle) < 1e-9 else angle
        return Words(
            text,
            self.x,
            self.y,
            angle,
            piece.height,
            self.end,
            piece.colour or "#000000",
            self.first.layers,
            self.first.hidden,
            self.first.clip,
        )


def joined_words(spots: List[Spot]) -> Tuple[Words, ...]:
    """Pieces in drawing order as lines of text."""
    phrases: List[_Phrase] = []
    for spot in spots:
        if phrases and phrases[-1].takes(spot):
            continue
        if spot.piece.text.strip():
            phrases.append(_Phrase(spot))
    return tuple(words for words in (phrase.words() for phrase in phrases) if words is not None)
