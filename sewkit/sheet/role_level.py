"""Lines across a piece: where it is lengthened or shortened, and levels such as the waist."""

from typing import List, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.path import Path, point
from sewkit.pattern.mark import LENGTHEN, LEVEL
from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import Bit, Item, along, angle_between, aside
from sewkit.sheet.role_score import BARE, SHAPE, WORD, agreement, believed, score
from sewkit.sheet.role_take import Take, common_size, drawn, free_bits
from sewkit.sheet.role_words import LENGTHEN_WORDS, LEVELS, beside, level_named, middle_of

# A line across a piece is at least this long (mm), and this share of the piece's width there.
_LEAST, _SHARE = 30.0, 0.4
# Square to the grain within this, parallel within the next (degrees).
_SQUARE, _PARALLEL = 2.0, 1.0
# How far apart the two lines are (mm), and how far their ends may differ.
_APART, _UNEVEN = (3.0, 12.0), 10.0


def lengthen_takes(
    items: Sequence[Item],
    used: Sequence[int],
    words: Sequence[Words],
    grain: Optional[np.ndarray],
    outline: Path,
) -> List[Take]:
    """Double lines across the piece, and single ones with the word; ``grain``: its direction."""
    bits = [bit for bit in free_bits(items, used, _LEAST) if bit.straight]
    found = []
    for i, first in enumerate(bits):
        for second in bits[i + 1 :]:
            take = _double(first, second, items, words, grain, outline)
            found += [take] if take is not None else []
    paired = {number for take in found for number in take.items}
    for bit in bits:
        if bit.item not in paired and np.isfinite(beside(bit.start, bit.end, words, LENGTHEN_WORDS)):
            square = _square(bit, grain)
            if believed(square):
                made = drawn(items, [bit.item], [bit])
                sizes = common_size(items, [bit.item])
                found.append(Take(LENGTHEN, score([WORD], square), (bit.item,), made, sizes=sizes))
    found.sort(key=lambda take: (-take.score, take.items))
    kept: List[Take] = []
    for take in found:
        if not any(set(take.items) & set(other.items) for other in kept):
            kept.append(take)
    return kept


def _double(
    first: Bit,
    second: Bit,
    items: Sequence[Item],
    words: Sequence[Words],
    grain: Optional[np.ndarray],
    outline: Path,
) -> Optional[Take]:
    apart = np.abs(aside(np.array([second.start, second.end]), first.start, first.way))
    if not _APART[0] <= float(apart.mean()) <= _APART[1]:
        return None
    other = np.sort(along(np.array([second.start, second.end]), first.start, first.way))
    uneven = max(abs(float(other[0])), abs(float(other[1]) - first.length))
    share = first.length / max(_width(outline, first.middle, first.way), first.length)
    agreements = [
        agreement(angle_between(first.way, second.way), _PARALLEL),
        agreement(uneven, _UNEVEN),
        *_square(first, grain),
    ]
    if share < _SHARE or not believed(agreements):
        return None
    evidence = [(SHAPE if grain is not None else BARE) * (0.5 + 0.5 * share)]
    near = [beside(bit.start, bit.end, words, LENGTHEN_WORDS) for bit in (first, second)]
    evidence += [WORD] if np.isfinite(min(near)) else []
    numbers = tuple(dict.fromkeys((first.item, second.item)))
    sizes = common_size(items, numbers)
    return Take(LENGTHEN, score(evidence, agreements), numbers, drawn(items, numbers), sizes=sizes)


def level_takes(
    items: Sequence[Item], used: Sequence[int], words: Sequence[Words], grain: Optional[np.ndarray]
) -> List[Take]:
    """Single straight lines square to the grain with the name of a level along them."""
    found = []
    for bit in free_bits(items, used, _LEAST):
        name = _level_beside(bit, words) if bit.straight else ""
        square = _square(bit, grain)
        if name and believed(square):
            made = drawn(items, [bit.item], [bit])
            sizes = common_size(items, [bit.item])
            found.append(Take(LEVEL, score([WORD, BARE], square), (bit.item,), made, name, sizes))
    return found


def _level_beside(bit: Bit, words: Sequence[Words]) -> str:
    """The level named by the nearest text along a line."""
    wanted = [word for some in LEVELS.values() for word in some]
    options: List[Tuple[float, str]] = []
    for one in words:
        name = level_named(one.text)
        if name:
            near = beside(bit.start, bit.end, [one], wanted)
            far = float(np.hypot(*(middle_of(one) - bit.middle)))
            options += [(near + 1e-6 * far, name)] if np.isfinite(near) else []
    return min(options)[1] if options else ""


def _square(bit: Bit, grain: Optional[np.ndarray]) -> List[float]:
    """Agreement with square to the grain; without a grain line nothing can be said."""
    return [] if grain is None else [agreement(90.0 - angle_between(bit.way, grain), _SQUARE)]


def _width(outline: Path, spot: np.ndarray, way: np.ndarray) -> float:
    """How wide the piece is (mm) through a point in a direction; 0 outside."""
    places = crossings_with_line(outline, spot, way)
    at = [float(along(point(outline.curves[p.curve][None], p.t), spot, way)[0]) for p in places]
    before, behind = [x for x in at if x <= 0], [x for x in at if x >= 0]
    return min(behind) - max(before) if before and behind else 0.0
