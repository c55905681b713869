"""Grain lines: a long straight line with arrow heads, or with the word beside it."""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.pattern.mark import GRAIN
from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import TOUCH, Around, Bit, Item, along, angle_between, aside
from sewkit.sheet.role_score import ARROW, HALF_ARROW, WORD, agreement, believed, score
from sewkit.sheet.role_take import Take, common_size, drawn, free_bits
from sewkit.sheet.role_words import GRAIN_WORDS, beside

# The shortest line that shows a grain (mm), and the longest side of an arrow head; a head is
# never more than this share of its line.
_LEAST, _HEAD, _HEAD_SHARE = 20.0, 20.0, 0.4
# The sides of a head open from the line by these angles (degrees), both by the same: what
# differs by the last is just still a head.
_OPENS, _UNEVEN = (5.0, 65.0), 8.0
# A word may interrupt the line for this length (mm); both parts then lie in line (degrees).
_WORD_GAP, _IN_LINE = 80.0, 1.0
# A second grain line of a piece is one only if it runs as the first (degrees).
_SAME_WAY = 2.0


class Head(NamedTuple):
    """An arrow head: how well it is one, and the items and bits it is drawn with."""

    score: float
    items: Tuple[int, ...]
    bits: Tuple[Bit, ...]


class Arrow(NamedTuple):
    """A straight line and its heads at start and end, None where there is none."""

    bit: Bit
    heads: Tuple[Optional[Head], Optional[Head]]

    @property
    def count(self) -> int:
        """How many heads it has."""
        return sum(head is not None for head in self.heads)

    @property
    def items(self) -> Tuple[int, ...]:
        """All items it is drawn with."""
        more = [number for head in self.heads if head for number in head.items]
        return tuple(dict.fromkeys([self.bit.item, *more]))


def arrow_heads(tip: np.ndarray, back: np.ndarray, length: float, around: Around) -> List[Head]:
    """Heads at a point of a line of some length; ``back``: the unit direction along the line."""
    longest = min(_HEAD, _HEAD_SHARE * length)
    near = around.near(tip, longest)
    found = [_triangle(tip, back, longest, number, item) for number, item in near]
    return [head for head in found if head is not None] + _barbs(tip, back, longest, near)


def _triangle(tip: np.ndarray, back: np.ndarray, longest: float, number: int, item: Item) -> Optional[Head]:
    """A closed head of three corners; its tip, or the middle of its base, is at the line's end."""
    if not item.path.closed or len(item.bits) != 3 or not 1.0 < item.reach <= 1.5 * longest:
        return None
    corners = np.array([bit.start for bit in item.bits])
    if np.hypot(*(item.middle - tip)) > item.reach + TOUCH:
        return None
    corners = corners[np.abs(aside(corners, tip, back)).argsort()]
    off, at = aside(corners, tip, back), along(corners, tip, back)
    base = (at[1] + at[2]) / 2.0
    if off[1] * off[2] >= 0 or at[0] >= base:
        return None
    away = min(abs(at[0]), abs(base))
    agreements = [
        agreement(away, TOUCH),
        agreement(off[0], TOUCH),
        agreement(off[1] + off[2], TOUCH),
        agreement(at[1] - at[2], TOUCH),
    ]
    return Head(float(np.prod(agreements)), (number,), ()) if believed(agreements) else None


def _barbs(tip: np.ndarray, back: np.ndarray, longest: float, near: Sequence[Tuple[int, Item]]) -> List[Head]:
    """Two short strokes from the tip, back along the line, one on each side."""
    sides: List[List[Tuple[Bit, float, float]]] = [[], []]
    for _, item in near:
        if np.hypot(*(item.middle - tip)) > item.reach / 2 + TOUCH:
            continue
        for bit in item.bits:
            if not bit.straight or not 1.0 <= bit.length <= longest:
                continue
            for one in (bit, bit.turned()):
                gap = float(np.hypot(*(one.start - tip)))
                opening = float(np.degrees(np.arctan2(aside(one.way, np.zeros(2), back), one.way @ back)))
                if gap <= TOUCH and _OPENS[0] <= abs(opening) <= _OPENS[1]:
                    sides[int(opening > 0)].append((one, abs(opening), gap))
    found = []
    for left, first, gap in sides[0]:
        for right, second, other in sides[1]:
            agreements = [
                agreement(left.length - right.length, TOUCH),
                agreement(first - second, _UNEVEN),
                agreement(max(gap, other), TOUCH),
            ]
            if believed(agreements):
                used = tuple(dict.fromkeys((left.item, right.item)))
                found.append(Head(float(np.prod(agreements)), used, (left, right)))
    return found


def arrows(items: Sequence[Item], used: Sequence[int]) -> List[Arrow]:
    """All straight lines that are long enough, with the best head at each end."""
    taken = set(used)
    left = Around([item._replace(bits=()) if n in taken else item for n, item in enumerate(items)])
    found = []
    for bit in free_bits(items, used, _LEAST):
        if bit.straight:
            ends = ((bit.start, bit.way), (bit.end, -bit.way))
            heads = [arrow_heads(tip, back, bit.length, left) for tip, back in ends]
            first, last = (max(some, key=lambda h: h.score) if some else None for some in heads)
            found.append(Arrow(bit, (first, last)))
    return found


def grain_takes(items: Sequence[Item], used: Sequence[int], words: Sequence[Words]) -> List[Take]:
    """Grain lines, the best first; others of a piece run the same way."""
    found = []
    lines = arrows(items, used)
    halves = [arrow for arrow in lines if arrow.count == 1]
    for first in halves:
        for second in halves:
            take = _interrupted(first, second, items, words)
            if take is not None and first.bit.item < second.bit.item:
                found.append(take)
    joined = {number for take in found for number in take.items}
    for arrow in lines:
        if arrow.bit.item not in joined:
            take = _taken(arrow, items, words)
            found += [take] if take is not None else []
    taken = set(used) | joined
    solid = [_solid(n, item, items, words) for n, item in enumerate(items) if n not in taken]
    found += [take for take in solid if take is not None]
    found.sort(key=lambda take: (-take.score, -_length(take), take.items))
    return _same_way(found)


def _taken(arrow: Arrow, items: Sequence[Item], words: Sequence[Words]) -> Optional[Take]:
    bit = arrow.bit
    evidence = _evidence(arrow.heads, beside(bit.start, bit.end, words, GRAIN_WORDS))
    if not evidence:
        return None
    curves = drawn(items, arrow.items, [bit])
    sizes = common_size(items, arrow.items)
    return Take(GRAIN, score(evidence, [_straight(bit)]), arrow.items, curves, sizes=sizes)


def _evidence(heads: Sequence[Optional[Head]], near: float) -> List[float]:
    scores = [head.score for head in heads if head]
    evidence = [] if not scores else [(ARROW if len(scores) == 2 else HALF_ARROW) * float(np.prod(scores))]
    return evidence + ([WORD] if np.isfinite(near) else [])


def _straight(bit: Bit) -> float:
    """Agreement with a straight line; half a millimetre off in all is still one."""
    off = np.abs(aside(bit.curves.reshape(-1, 2), bit.start, bit.way)).max()
    return agreement(float(off), 0.5)


def _interrupted(
    first: Arrow, second: Arrow, items: Sequence[Item], words: Sequence[Words]
) -> Optional[Take]:
    """Two lines in line with a gap for a word between them, each with a head at its far end."""
    if first.bit is second.bit:
        return None
    tails = [a.bit.end if a.heads[0] else a.bit.start for a in (first, second)]
    tips = [a.bit.start if a.heads[0] else a.bit.end for a in (first, second)]
    gap, whole = float(np.hypot(*(tails[1] - tails[0]))), float(np.hypot(*(tips[1] - tips[0])))
    if gap > _WORD_GAP or whole < first.bit.length + second.bit.length:
        return None
    way = (tips[1] - tips[0]) / max(whole, 1e-9)
    turn = max(angle_between(first.bit.way, way), angle_between(second.bit.way, way))
    agreements = [
        agreement(turn, _IN_LINE),
        agreement(float(np.abs(aside(np.array(tails), tips[0], way)).max()), TOUCH),
    ]
    if not believed(agreements):
        return None
    heads = [head for arrow in (first, second) for head in arrow.heads if head]
    evidence = _evidence(heads, beside(tips[0], tips[1], words, GRAIN_WORDS))
    numbers = tuple(dict.fromkeys(first.items + second.items))
    longer, other = sorted((first.bit, second.bit), key=lambda bit: -bit.length)
    return Take(
        GRAIN,
        score(evidence, agreements),
        numbers,
        drawn(items, numbers, [longer, other]),
        sizes=common_size(items, numbers),
    )


def _solid(number: int, item: Item, items: Sequence[Item], words: Sequence[Words]) -> Optional[Take]:
    """An arrow drawn as one area: slim, even to both sides of its length, widest at its heads."""
    corners = np.array([bit.start for bit in item.bits])
    if not item.path.closed or not 7 <= len(corners) <= 10 or item.reach < _LEAST:
        return None
    side = max(item.bits, key=lambda bit: bit.length)
    if not all(bit.straight for bit in item.bits):
        return None
    flat, high = along(corners, side.start, side.way), aside(corners, side.start, side.way)
    middle = (float(high.max()) + float(high.min())) / 2.0
    even = max(float(np.hypot(flat - a, high - (2 * middle - b)).min()) for a, b in zip(flat, high))
    wide, shaft = float(np.ptp(high)), 2.0 * abs(middle)
    if wide > 0.25 * item.reach or wide < 1.5 * shaft or even > TOUCH:
        return None
    ends = np.array([flat.min(), flat.max()])
    tips = [np.flatnonzero(np.abs(flat - end) <= TOUCH) for end in ends]
    heads = sum(len(tip) == 1 and abs(high[tip[0]] - middle) <= TOUCH for tip in tips)
    if not heads:
        return None
    axis = side.start + middle * np.array([-side.way[1], side.way[0]])
    near = beside(axis + ends[0] * side.way, axis + ends[1] * side.way, words, GRAIN_WORDS)
    evidence = [ARROW if heads == 2 else HALF_ARROW] + ([WORD] if np.isfinite(near) else [])
    value = score(evidence, [agreement(even, TOUCH)])
    return Take(GRAIN, value, (number,), item.path.curves, sizes=common_size(items, [number]))


def _length(take: Take) -> float:
    return float(np.hypot(*(take.curves[0, 3] - take.curves[0, 0])))


def direction(take: Take) -> np.ndarray:
    """The unit direction of a grain line, (2,)."""
    chords = take.curves[:, 3] - take.curves[:, 0]
    size = np.hypot(chords[:, 0], chords[:, 1])
    return chords[size.argmax()] / size.max()


def _same_way(takes: Sequence[Take]) -> List[Take]:
    """The first, and of the others what is whole and runs as it does; nothing used twice."""
    kept: List[Take] = []
    used: set = set()
    for take in takes:
        if used.intersection(take.items):
            continue
        if kept:
            turn = angle_between(direction(kept[0]), direction(take))
            take = take._replace(score=take.score * agreement(turn, _SAME_WAY))
            if turn > _SAME_WAY or take.score < 0.5:
                continue
        kept.append(take)
        used.update(take.items)
    return kept
