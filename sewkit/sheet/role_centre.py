"""Lines at the centre of the body: what lies beyond them laps over, or is the other half.

A line is one by the words written along it, and by these alone: centre front and a fly's edge
look the same.
"""

import re
from typing import Dict, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.pattern.mark import INNER
from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import Bit, Item
from sewkit.sheet.role_family import families
from sewkit.sheet.role_score import BARE, NEXT_SIZE, WORD, score
from sewkit.sheet.role_take import Take, common_size, drawn, free_bits
from sewkit.sheet.role_words import beside

# What such a line is called on sheets, and what it is called here.  Words of English, German
# and French sheets; common practice, no source.
_NAMES = (
    (
        "centre-front",
        re.compile(
            r"\bcent(?:re|er)[\s-]+front\b|\bC\.?F\.?\b|\bvordere[\s-]+mitte\b|\bmilieu[\s-]+devant\b"
        ),
    ),
    (
        "centre-back",
        re.compile(
            r"\bcent(?:re|er)[\s-]+back\b|\bC\.?B\.?\b|\b(?:hintere|rückwärtige)[\s-]+mitte\b|"
            r"\bmilieu[\s-]+(?:dos|derrière)\b"
        ),
    ),
)

# A seam is at the rim and no line inside; a line beside its words is something else then.
_ELSEWHERE = re.compile(r"\b(?:seam|naht|couture)\b", re.I)

# A line at the centre is at least this long (mm): shorter ones are marks on it.
_LEAST = 30.0


def centre_named(text: str) -> str:
    """The line at the centre that a text names; empty where it names none, or both."""
    if _ELSEWHERE.search(text):
        return ""
    # Whole words are read in any letters, C.F. and CB in capitals alone.
    known = [text, text.lower()]
    found = [name for name, words in _NAMES if any(words.search(one) for one in known)]
    return found[0] if len(found) == 1 else ""


def centre_takes(
    items: Sequence[Item], used: Sequence[int], words: Sequence[Words], order: Sequence[str] = ()
) -> List[Take]:
    """Straight lines with the words for the centre along them; the same line in other sizes too.

    Words name the line that is nearest, so a name goes to one line and its twins in other sizes.
    ``order``: all sizes, smallest first.
    """
    bits = [bit for bit in free_bits(items, used, _LEAST) if bit.straight and len(items[bit.item].bits) == 1]
    found: Dict[int, Take] = {}
    for one in words:
        name = centre_named(one.text)
        nearest = _nearest(bits, one) if name else None
        if nearest is None:
            continue
        for number, steps in _twins(bits, items, nearest, order):
            bit = bits[number]
            value = score([WORD * NEXT_SIZE**steps, BARE])
            sizes = common_size(items, [bit.item])
            made = drawn(items, [bit.item], [bit])
            take = Take(INNER, value, (bit.item,), made, name, sizes)
            if bit.item not in found or found[bit.item].score < value:
                found[bit.item] = take
    return sorted(found.values(), key=lambda take: take.items)


def _nearest(bits: Sequence[Bit], words: Words) -> Optional[int]:
    """The number of the line along which the words stand; None where there is none."""
    # The words are known to be meant, so the first of them serves to measure.
    wanted = re.findall(r"\w+", words.text)[:1]
    away = [beside(bit.start, bit.end, [words], wanted) for bit in bits]
    return int(np.argmin(away)) if away and np.isfinite(min(away)) else None


def _twins(
    bits: Sequence[Bit], items: Sequence[Item], number: int, order: Sequence[str]
) -> Tuple[Tuple[int, int], ...]:
    """The line itself and the same one in other sizes, each with how many sizes it is away."""
    if not items[bits[number].item].size:
        return ((number, 0),)
    way = bits[number].way
    sizes = [items[bit.item].size for bit in bits]
    for group in families(bits, sizes, order, np.array([-way[1], way[0]])):
        if number in group:
            at = group.index(number)
            return tuple((one, abs(place - at)) for place, one in enumerate(group))
    return ((number, 0),)
