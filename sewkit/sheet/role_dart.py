"""Darts: two equal legs that meet in a point inside the piece."""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.pattern.mark import DART
from sewkit.pattern.outline import Outline
from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import TOUCH, Bit, Item, Nest
from sewkit.sheet.role_score import BARE, SHAPE, WORD, agreement, believed, score
from sewkit.sheet.role_take import Take, common_size, drawn, free_bits
from sewkit.sheet.role_words import DART_WORDS, about

# A leg is at least this long (mm): below, it is a notch; legs are equal within the next.
_LEAST, _EQUAL = 15.0, 1.0
# The mouth of a dart (mm), and the angle at its point (degrees).
_MOUTH, _ANGLE = (3.0, 150.0), (2.0, 90.0)
# Where the outline is the cut line, the legs begin an allowance inside it (mm).
_ALLOWANCE = 26.0
# A dart with two points is at least this many times as long as it is wide.
_SLIM = 2.5


class _Leg(NamedTuple):
    """A leg from its foot to its point; distance of the foot from each outline (k,), mm."""

    bit: Bit
    away: np.ndarray


class OutlineDart(NamedTuple):
    """A dart that the outline itself goes into: its point, its legs (mm)."""

    point: Tuple[float, float]
    legs: Tuple[float, float]


def dart_takes(items: Sequence[Item], used: Sequence[int], nest: Nest, words: Sequence[Words]) -> List[Take]:
    """Darts drawn inside, the best first; no leg is used twice."""
    found = []
    for legs in _meeting(_legs(items, used, nest)):
        found += _pairs(legs, items, nest, words)
    for number, item in enumerate(items):
        take = _two_pointed(number, item, items, words) if number not in set(used) else None
        found += [take] if take is not None else []
    found.sort(key=lambda take: (-take.score, take.items))
    kept: List[Take] = []
    for take in found:
        if not any(set(take.items) & set(other.items) for other in kept):
            kept.append(take)
    return kept


def _legs(items: Sequence[Item], used: Sequence[int], nest: Nest) -> List[_Leg]:
    """Bits that begin at an outline, or an allowance inside it, and end inside the piece."""
    found = []
    for bit in free_bits(items, used, _LEAST):
        away = nest.distance(np.array([bit.start, bit.end]))
        for one, (foot, tip) in ((bit, away), (bit.turned(), away[::-1])):
            if foot.min() <= _ALLOWANCE and tip.min() > foot.min():
                found.append(_Leg(one, foot))
    return found


def _meeting(legs: Sequence[_Leg]) -> List[List[_Leg]]:
    """Legs whose points lie together."""
    groups: List[List[_Leg]] = []
    for leg in legs:
        for group in groups:
            if np.hypot(*(group[0].bit.end - leg.bit.end)) <= TOUCH:
                group.append(leg)
                break
        else:
            groups.append([leg])
    return [group for group in groups if len(group) > 1]


def _pairs(legs: Sequence[_Leg], items: Sequence[Item], nest: Nest, words: Sequence[Words]) -> List[Take]:
    """Every two legs of one point that may be a dart; of three the middle one is folded on."""
    if len(legs) == 3:
        outer, middle = _outer(legs)
        take = _dart(*outer, middle, items, nest, words)
        if take is not None:
            return [take]
    found = []
    for i, first in enumerate(legs):
        for second in legs[i + 1 :]:
            take = _dart(first, second, None, items, nest, words)
            found += [take] if take is not None else []
    return found


def _outer(legs: Sequence[_Leg]) -> Tuple[Tuple[_Leg, _Leg], _Leg]:
    """Of three legs the two furthest apart at their feet, and the one between."""
    pairs = [(0, 1, 2), (0, 2, 1), (1, 2, 0)]
    i, j, k = max(pairs, key=lambda p: float(np.hypot(*(legs[p[0]].bit.start - legs[p[1]].bit.start))))
    return (legs[i], legs[j]), legs[k]


def _dart(
    first: _Leg,
    second: _Leg,
    middle: Optional[_Leg],
    items: Sequence[Item],
    nest: Nest,
    words: Sequence[Words],
) -> Optional[Take]:
    a, b = first.bit, second.bit
    mouth = float(np.hypot(*(a.start - b.start)))
    cross, dot = float(a.way[0] * b.way[1] - a.way[1] * b.way[0]), float(a.way @ b.way)
    angle = float(np.degrees(np.arctan2(abs(cross), dot)))
    if not (_MOUTH[0] <= mouth <= _MOUTH[1] and _ANGLE[0] <= angle <= _ANGLE[1]):
        return None
    away = np.maximum(first.away, second.away)
    best = int(away.argmin())
    touching = float(away[best]) <= TOUCH
    # Both feet at the outline, or both as far inside it.
    off = float(away[best]) if touching else float(abs(first.away[best] - second.away[best]))
    agreements = [
        agreement(a.length - b.length, _EQUAL),
        agreement(float(np.hypot(*(a.end - b.end))), TOUCH),
        agreement(off, TOUCH),
    ]
    if not believed(agreements):
        return None
    # The line to fold on makes sure of it.
    evidence = [SHAPE if touching else BARE] + ([BARE] if middle else [])
    evidence += [WORD] if about((a.start + b.start + a.end) / 3, words, DART_WORDS) else []
    bits = [leg.bit for leg in (first, second, middle) if leg]
    numbers = tuple(dict.fromkeys(bit.item for bit in bits))
    sizes = _sizes(away, touching, common_size(items, numbers), nest.outlines)
    return Take(DART, score(evidence, agreements), numbers, drawn(items, numbers, bits), sizes=sizes)


def _sizes(
    away: np.ndarray, touching: bool, own: Tuple[str, ...], outlines: Sequence[Outline]
) -> Tuple[str, ...]:
    """The size of the outline at which it begins, its own group's where that is one of several."""
    if not touching:
        return own
    touched = [o.size for o, d in zip(outlines, away) if d <= away.min() + TOUCH / 2]
    if own and own[0] in touched:
        return own
    return tuple(touched) if len(touched) == 1 and touched[0] else own


def _two_pointed(number: int, item: Item, items: Sequence[Item], words: Sequence[Words]) -> Optional[Take]:
    """A slim ring of four sides, equal in pairs: a dart with a point at either end."""
    if not item.path.closed or len(item.bits) != 4 or item.reach < 2 * _LEAST:
        return None
    corners = [bit.start for bit in item.bits]
    across = [float(np.hypot(*(corners[i + 2] - corners[i]))) for i in (0, 1)]
    turn = 0 if across[0] > across[1] else 1
    if max(across) < _SLIM * min(across):
        return None
    lengths = [item.bits[(turn + i) % 4].length for i in range(4)]
    agreements = [agreement(lengths[0] - lengths[3], _EQUAL), agreement(lengths[1] - lengths[2], _EQUAL)]
    if not believed(agreements):
        return None
    evidence = [BARE] + ([WORD] if about(item.middle, words, DART_WORDS) else [])
    curves = item.path.curves
    return Take(DART, score(evidence, agreements), (number,), curves, sizes=common_size(items, [number]))


def darts_in(outline: Outline) -> List[OutlineDart]:
    """Darts that the outline goes into: two equal straight edges with a sharp turn inwards."""
    found = []
    path, edges = outline.path, outline.edges
    runs = [path.part(edge.start, edge.stop) for edge in edges]
    lengths: Dict[int, float] = {}
    for number, run in enumerate(runs):
        chord = float(np.hypot(*(run.end - run.start)))
        inner = np.abs(_off(run.curves.reshape(-1, 2), run.start, run.end))
        lengths[number] = chord if inner.max() <= TOUCH else 0.0
    for number, run in enumerate(runs):
        after = (number + 1) % len(runs)
        if not path.closed or min(lengths[number], lengths[after]) < _LEAST:
            continue
        one, other = run.start - run.end, runs[after].end - run.end
        cross, dot = float(one[0] * other[1] - one[1] * other[0]), float(one @ other)
        # The outline runs clockwise on the sheet, so a turn inwards is one to the left.
        inwards = cross > 0
        angle = float(np.degrees(np.arctan2(abs(cross), dot)))
        equal = abs(lengths[number] - lengths[after]) <= _EQUAL
        if inwards and equal and angle <= _ANGLE[1]:
            spot = (float(run.end[0]), float(run.end[1]))
            found.append(OutlineDart(spot, (lengths[number], lengths[after])))
    return found


def _off(points: np.ndarray, start: np.ndarray, end: np.ndarray) -> np.ndarray:
    way = (end - start) / max(float(np.hypot(*(end - start))), 1e-9)
    away = points - start
    return away[:, 1] * way[0] - away[:, 0] * way[1]
