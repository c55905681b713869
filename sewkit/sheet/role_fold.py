"""Fold marks: a bracket whose two arrows point to the edge that lies on the fold."""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.pattern.mark import FOLD
from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import TOUCH, Around, Bit, Item, Nest, angle_between, aside
from sewkit.sheet.role_grain import Head, arrow_heads
from sewkit.sheet.role_score import ARROW, BARE, HALF_ARROW, WORD, agreement, believed, score
from sewkit.sheet.role_take import Take, common_size, drawn, free_bits
from sewkit.sheet.role_words import FOLD_WORDS, beside, cutting, middle_of, reading, says

# The line of a bracket is at least this long, its arms between these (mm); an arm that ends
# before the edge by the last is just still believed: an allowance lies between.
_LINE, _ARM, _SHORT_OF = 30.0, (3.0, 60.0), 6.0
# An arm stands square to the line, and the line runs along the edge, within this (degrees).
_SQUARE, _ALONG = 8.0, 2.0
# A text along an edge, this near to it (mm), speaks of the edge.
_NEAR_EDGE, _TEXT_ALONG = 40.0, 5.0


class _Arm(NamedTuple):
    bit: Bit  # from the line to the edge
    head: Optional[Head]


def fold_takes(items: Sequence[Item], used: Sequence[int], nest: Nest, words: Sequence[Words]) -> List[Take]:
    """Brackets that point to an edge, the best first; nothing is used twice."""
    found = []
    bits = [bit for bit in free_bits(items, used, _ARM[0]) if bit.straight]
    arms = [one for bit in bits if bit.length <= _ARM[1] for one in (bit, bit.turned())]
    starts = np.array([arm.start for arm in arms]).reshape(-1, 2)
    around = Around(items)
    for line in bits:
        if line.length >= _LINE:
            sides = []
            for end in (line.start, line.end):
                near = np.flatnonzero(np.hypot(*(starts - end).T) <= TOUCH)
                sides.append(_arms(line, [arms[n] for n in near], around))
            options = [_bracket(line, a, b, items, nest, words) for a in sides[0] for b in sides[1]]
            found += [take for take in options if take is not None]
    found.sort(key=lambda take: (-take.score, take.items))
    kept: List[Take] = []
    for take in found:
        if not any(set(take.items) & set(other.items) for other in kept):
            kept.append(take)
    return kept


def _arms(line: Bit, bits: Sequence[Bit], around: Around) -> List[_Arm]:
    """Those of the bits at a line's end that stand square to it, with the heads at their far ends."""
    found = []
    for bit in bits:
        itself = (bit.item, bit.number) == (line.item, line.number)
        if not itself and agreement(90.0 - angle_between(bit.way, line.way), _SQUARE) >= 0.5:
            heads = arrow_heads(bit.end, -bit.way, 2.5 * bit.length, around)
            heads = [head for head in heads if line.item not in head.items or head.bits]
            found.append(_Arm(bit, max(heads, key=lambda head: head.score) if heads else None))
    return found


def _bracket(
    line: Bit, first: _Arm, second: _Arm, items: Sequence[Item], nest: Nest, words: Sequence[Words]
) -> Optional[Take]:
    arms = (first.bit, second.bit)
    sides = [float(aside(arm.end, line.start, line.way)) for arm in arms]
    if sides[0] * sides[1] <= 0:
        return None
    feet = np.array([arms[0].end, arms[1].end, (arms[0].end + arms[1].end) / 2])
    away, places, ways = nest.feet(feet)
    best = int(away.max(axis=0).argmin())
    # Both feet and the place half way between lie on one straight stretch along the line.
    edge = places[1, best] - places[0, best]
    if np.hypot(*edge) < _LINE / 2:
        return None
    bend = float(aside(places[2, best], places[0, best], edge / np.hypot(*edge)))
    turns = [angle_between(line.way, way) for way in (*ways[:, best], edge)]
    agreements = [
        agreement(arms[0].length - arms[1].length, TOUCH),
        agreement(float(away[:, best].max()), _SHORT_OF),
        agreement(bend, TOUCH),
        agreement(max(turns), _ALONG),
        *(agreement(90.0 - angle_between(arm.way, line.way), _SQUARE) for arm in arms),
    ]
    if not believed(agreements):
        return None
    heads = [arm.head for arm in (first, second) if arm.head]
    evidence = [BARE]
    if heads:
        evidence.append((ARROW if len(heads) == 2 else HALF_ARROW) * min(head.score for head in heads))
    if np.isfinite(beside(line.start, line.end, words, FOLD_WORDS)):
        evidence.append(WORD)
    more = [number for head in heads for number in head.items]
    numbers = tuple(dict.fromkeys([line.item, arms[0].item, arms[1].item, *more]))
    spot = places[2, best]
    return Take(
        FOLD,
        score(evidence, agreements),
        numbers,
        drawn(items, numbers, [line]),
        sizes=common_size(items, numbers),
        spots=((float(spot[0]), float(spot[1])),),
    )


def fold_by_words(nest: Nest, words: Sequence[Words]) -> Optional[Tuple[float, float]]:
    """The point of an edge along which a text says that it lies on the fold; None without one.

    What is said of the cutting ("cut 1 on fold") stands anywhere in a piece, and tells no edge.
    """
    found: List[Tuple[float, Tuple[float, float]]] = []
    for one in words:
        if says(one.text, FOLD_WORDS) and not cutting([one.text]):
            away, places, ways = nest.feet(middle_of(one)[None])
            best = int(away[0].argmin())
            if away[0, best] <= _NEAR_EDGE and angle_between(reading(one), ways[0, best]) <= _TEXT_ALONG:
                spot = places[0, best]
                found.append((float(away[0, best]), (float(spot[0]), float(spot[1]))))
    return min(found)[1] if found else None
