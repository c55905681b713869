"""Lines across a piece: where it is lengthened or shortened, and levels such as the waist."""

from typing import Dict, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.path import Path, point
from sewkit.pattern.mark import LENGTHEN, LEVEL
from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import Bit, Item, along, angle_between, aside
from sewkit.sheet.role_family import families
from sewkit.sheet.role_score import BARE, NEXT_SIZE, SHAPE, WORD, agreement, believed, score
from sewkit.sheet.role_take import Take, common_size, drawn, free_bits
from sewkit.sheet.role_words import LENGTHEN_WORDS, LEVELS, beside, level_named, middle_of

# A line across a piece is at least this long (mm), and this share of the piece's width there.
_LEAST, _SHARE = 30.0, 0.4
# Square to the grain within this, parallel within the next (degrees).
_SQUARE, _PARALLEL = 2.0, 1.0
# How far apart the two lines are (mm), and how far their ends may differ.
_APART, _UNEVEN = (3.0, 12.0), 10.0
# A line across a piece is at least this share of all that is drawn with it, such as arrow heads.
_NEARLY_ALL = 0.8


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
    for first, second in _side_by_side(bits):
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


def _side_by_side(bits: Sequence[Bit]) -> List[Tuple[Bit, Bit]]:
    """Pairs of bits that are as far apart as the two lines of a mark, by the middle of both ends."""
    starts, ends = (np.array([getattr(bit, end) for bit in bits]) for end in ("start", "end"))
    found = []
    for i, bit in enumerate(bits):
        apart = sum(np.abs(aside(some[i + 1 :], bit.start, bit.way)) for some in (starts, ends)) / 2.0
        near = np.flatnonzero((apart >= _APART[0]) & (apart <= _APART[1]))
        found += [(bit, bits[i + 1 + n]) for n in near.tolist()]
    return found


def _double(
    first: Bit,
    second: Bit,
    items: Sequence[Item],
    words: Sequence[Words],
    grain: Optional[np.ndarray],
    outline: Path,
) -> Optional[Take]:
    if items[first.item].size != items[second.item].size:
        return None  # one line in two sizes
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
    items: Sequence[Item],
    used: Sequence[int],
    words: Sequence[Words],
    grain: Optional[np.ndarray],
    order: Sequence[str] = (),
) -> List[Take]:
    """Straight lines square to the grain with the name of a level along them.

    Of lines that are one line in every size, all have the name that stands at one of them.
    The side of a closed shape such as a pocket is no level.
    ``order``: all sizes, smallest first.
    """
    bits = [bit for bit in free_bits(items, used, _LEAST) if bit.straight and believed(_square(bit, grain))]
    bits = [bit for bit in bits if not items[bit.item].path.closed]
    naming = [one for one in words if level_named(one.text)]
    away = np.array([[_away(bit, one) for one in naming] for bit in bits])
    if not np.isfinite(away).any():
        return []
    down = grain
    if down is None:
        way = bits[int(away.min(axis=1).argmin())].way
        down = np.array([-way[1], way[0]])
    groups = families(bits, _sizes_of_whole(bits, items, down), order, down)
    named = _named(away, [level_named(one.text) for one in naming], groups)
    found: Dict[int, Take] = {}
    for number, (name, steps) in sorted(named.items(), key=lambda one: (one[1][1], one[0])):
        bit = bits[number]
        if bit.item not in found:
            made = drawn(items, [bit.item], [bit])
            value = score([WORD * NEXT_SIZE**steps, BARE], _square(bit, grain))
            sizes = common_size(items, [bit.item])
            found[bit.item] = Take(LEVEL, value, (bit.item,), made, name, sizes)
    return sorted(found.values(), key=lambda take: take.items)


def _sizes_of_whole(bits: Sequence[Bit], items: Sequence[Item], down: np.ndarray) -> List[str]:
    """The size of each bit that may be one line with those of other sizes, else empty."""
    whole = [sum(part.length for part in items[bit.item].bits) for bit in bits]
    return [
        items[bit.item].size if bit.length >= _NEARLY_ALL * length and believed(_square(bit, down)) else ""
        for bit, length in zip(bits, whole)
    ]


def _named(
    away: np.ndarray, names: Sequence[str], groups: Sequence[Tuple[int, ...]]
) -> Dict[int, Tuple[str, int]]:
    """The name of each line that has one, and how many sizes away the word stands.

    A word belongs to the line next to it, and so to its family.  Lines by themselves share it,
    as they may be one line drawn twice.

    Args:
        away: how near each word stands along each line, (lines, words) mm; infinite if not.
        names: the level that each word names.
        groups: numbers of the lines of each family.
    """
    home = {number: place for place, group in enumerate(groups) for number in group}
    owners = {
        word: home[int(away[:, word].argmin())] for word in np.flatnonzero(np.isfinite(away).any(axis=0))
    }
    found: Dict[int, Tuple[str, int]] = {}
    for place, group in enumerate(groups):
        near = away[list(group)]
        own = [word for word, owner in owners.items() if owner == place]
        if own:
            name = names[min(own, key=lambda word: float(near[:, word].min()))]
            same = [word for word in own if names[word] == name]
            told = np.flatnonzero(np.isfinite(near[:, same]).any(axis=1))
            found.update({n: (name, int(np.abs(told - i).min())) for i, n in enumerate(group)})
        elif len(group) == 1 and np.isfinite(near).any():
            word = int(near[0].argmin())
            if len(groups[owners[word]]) == 1:
                found[group[0]] = (names[word], 0)
    return found


def _away(bit: Bit, words: Words) -> float:
    """How near a word stands along a line (mm), a little more the farther from its middle."""
    wanted = [word for some in LEVELS.values() for word in some]
    far = float(np.hypot(*(middle_of(words) - bit.middle)))
    return beside(bit.start, bit.end, [words], wanted) + 1e-6 * far


def _square(bit: Bit, grain: Optional[np.ndarray]) -> List[float]:
    """Agreement with square to the grain; without a grain line nothing can be said."""
    return [] if grain is None else [agreement(90.0 - angle_between(bit.way, grain), _SQUARE)]


def _width(outline: Path, spot: np.ndarray, way: np.ndarray) -> float:
    """How wide the piece is (mm) through a point in a direction; 0 outside."""
    places = crossings_with_line(outline, spot, way)
    at = [float(along(point(outline.curves[p.curve][None], p.t), spot, way)[0]) for p in places]
    before, behind = [x for x in at if x <= 0], [x for x in at if x >= 0]
    return min(behind) - max(before) if before and behind else 0.0
