"""Drill holes and dots, the bust point, buttons and buttonholes."""

from typing import List, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import point
from sewkit.pattern.mark import DRILL, INNER
from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import Bit, Item, along, angle_between
from sewkit.sheet.role_score import BARE, SHAPE, WORD, agreement, believed, score
from sewkit.sheet.role_take import Take, common_size, drawn, free_bits
from sewkit.sheet.role_words import APEX_WORDS, BUTTON_WORDS, BUTTONHOLE_WORDS, about

# A drill hole is a circle no wider than the first, a circle with a cross one no wider than
# the second (mm); smaller than the last is dust.
_HOLE, _CROSSED, _DUST = 8.0, 20.0, 0.3
# A circle is round within this (mm), and within this share of its radius.
_ROUND, _ROUND_SHARE = 0.1, 0.05
# The strokes of a cross are square (degrees), and cross in their middles (mm).
_SQUARE, _CENTRED = 5.0, 1.0
# The longest buttonhole (mm).
_BUTTONHOLE = 40.0


def drill_takes(items: Sequence[Item], used: Sequence[int], words: Sequence[Words]) -> List[Take]:
    """Circles, crosses and buttonholes; each item once."""
    found: List[Take] = []
    crosses = _crosses(items, used)
    taken = set(used)
    for number, item in enumerate(items):
        if number in taken:
            continue
        round_ = _circle(item)
        if round_ < 0.5:
            continue
        wide = item.reach / np.sqrt(2.0)
        inside = [c for c in crosses if np.hypot(*(c[0] - item.middle)) <= _CENTRED and not taken & set(c[1])]
        inside = [c for c in inside if c[3] <= 2.0 * wide]
        if wide > (_CROSSED if inside else _HOLE):
            continue
        more = inside[0][1] if inside else ()
        numbers = tuple(dict.fromkeys((number, *more)))
        taken.update(numbers)
        found.append(_named(numbers, items, words, item.middle, [SHAPE], [round_], bool(inside)))
    for spot, numbers, value, _ in crosses:
        if not taken & set(numbers):
            taken.update(numbers)
            found.append(_named(numbers, items, words, spot, [BARE], [value], False))
    return found + _buttonholes(items, sorted(taken), words)


def _named(
    numbers: Tuple[int, ...],
    items: Sequence[Item],
    words: Sequence[Words],
    spot: np.ndarray,
    evidence: List[float],
    agreements: List[float],
    crossed: bool,
) -> Take:
    """A hole by what is written beside it; a circle with a cross is the bust point."""
    kind, name = DRILL, ""
    if about(spot, words, BUTTON_WORDS) and not about(spot, words, BUTTONHOLE_WORDS):
        kind, name, evidence = INNER, "button", evidence + [WORD]
    elif about(spot, words, APEX_WORDS):
        name, evidence = "apex", evidence + [WORD]
    elif crossed:
        name = "apex"
    curves = drawn(items, numbers)
    return Take(kind, score(evidence, agreements), numbers, curves, name, common_size(items, numbers))


def _circle(item: Item) -> float:
    """Agreement with a circle; 0 for what is open or has corners."""
    if not item.path.closed or len(item.bits) != 1 or item.reach < _DUST:
        return 0.0
    spots = point(item.path.curves, np.tile(np.linspace(0.0, 0.875, 8), (len(item.path), 1))).reshape(-1, 2)
    radii = np.hypot(*(spots - item.middle).T)
    believed_ = max(_ROUND, _ROUND_SHARE * float(radii.mean()))
    return agreement(float(np.ptp(radii)) / 2.0, believed_)


def _crosses(
    items: Sequence[Item], used: Sequence[int]
) -> List[Tuple[np.ndarray, Tuple[int, ...], float, float]]:
    """Two short strokes that cross squarely in their middles: place, items, score, length."""
    bits = [bit for bit in free_bits(items, used, 1.0, _CROSSED * 1.5) if bit.straight]
    bits = [bit for bit in bits if len(items[bit.item].bits) == 1]
    found = []
    middles = np.array([bit.middle for bit in bits]).reshape(-1, 2)
    for i, first in enumerate(bits):
        near = np.flatnonzero(np.hypot(*(middles[i + 1 :] - middles[i]).T) <= _CENTRED)
        for second in (bits[i + 1 + n] for n in near):
            agreements = [
                agreement(90.0 - angle_between(first.way, second.way), _SQUARE),
                agreement(float(np.hypot(*(first.middle - second.middle))), _CENTRED / 2),
                agreement(first.length - second.length, _CENTRED),
            ]
            if believed(agreements):
                numbers = (first.item, second.item)
                value = float(np.prod(agreements))
                found.append(((first.middle + second.middle) / 2, numbers, value, first.length))
    return sorted(found, key=lambda cross: (-cross[2], cross[1]))


def _buttonholes(items: Sequence[Item], used: Sequence[int], words: Sequence[Words]) -> List[Take]:
    """A short line with or without a bar at each end, beside the word."""
    found = []
    taken = set(used)
    for bit in free_bits(items, used, 5.0, _BUTTONHOLE):
        if bit.item in taken or not bit.straight or not about(bit.middle, words, BUTTONHOLE_WORDS):
            continue
        bars = [bar for bar in (_bar(end, bit, items, taken) for end in (bit.start, bit.end)) if bar]
        numbers = tuple(dict.fromkeys([bit.item, *(bar.item for bar in bars)]))
        taken.update(numbers)
        evidence = [WORD] + [0.5] * len(bars)
        curves, sizes = drawn(items, numbers, [bit]), common_size(items, numbers)
        found.append(Take(INNER, score(evidence), numbers, curves, "buttonhole", sizes))
    return found


def _bar(end: np.ndarray, line: Bit, items: Sequence[Item], taken: set) -> Optional[Bit]:
    """A short stroke square across a line's end."""
    for bit in free_bits(items, sorted(taken), 0.5, line.length):
        square = 90.0 - angle_between(bit.way, line.way) <= _SQUARE
        if square and bit.item != line.item and np.hypot(*(bit.middle - end)) <= _CENTRED:
            if abs(float(along(bit.middle, end, line.way))) <= _CENTRED:
                return bit
    return None
