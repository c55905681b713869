"""Texts that page borders cut: two pages show the same line, each a part of it.

Where pages overlap, "SLEEVE, cu" and "EVE, cut 2" are one line.  They lie on each other on the
sheet, and the end of the first is the beginning of the second.
"""

from typing import List, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import along, aside
from sewkit.sheet.role_words import reading

# Both parts lie on one line within this (mm), which is more than joined pages are off.
_SAME_LINE = 1.0
# Letters differ in breadth: the place of the second part is foretold to this share of the
# first part's width, and to as many letters' heights.
_PLACE, _LETTERS = 0.15, 1.0
# One letter is in common by chance.
_COMMON = 2


def joined_texts(words: Sequence[Words]) -> Tuple[Words, ...]:
    """The texts, the parts of one line joined."""
    made: List[Words] = []
    for one in words:
        for place, other in enumerate(made):
            both = _joined(other, one) or _joined(one, other)
            if both is not None:
                made[place] = both
                break
        else:
            made.append(one)
    return tuple(made)


def _joined(one: Words, other: Words) -> Optional[Words]:
    """Both as one text, if the second begins inside the first; None where they are two."""
    way, start = reading(one), np.array([one.x, one.y])
    spot = np.array([other.x, other.y])
    at = float(along(spot, start, way))
    alike = abs(one.height - other.height) < 0.05 * one.height and abs(one.angle - other.angle) < 1.0
    if not alike or one.hidden != other.hidden or abs(float(aside(spot, start, way))) > _SAME_LINE:
        return None
    width = one.width or 0.5 * one.height * len(one.text)
    if not -_SAME_LINE <= at <= width:
        return None
    for common in range(min(len(one.text), len(other.text)), _COMMON - 1, -1):
        foretold = width * (1.0 - common / len(one.text))
        fits = abs(foretold - at) <= _PLACE * width + _LETTERS * one.height
        part = other.text[:common]
        if fits and one.text.endswith(part) and any(sign.isalpha() for sign in part):
            return one._replace(text=one.text + other.text[common:], width=max(width, at + other.width))
    return None
