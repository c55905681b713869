"""Lines drawn once for each size: the chest lines of a nest lie side by side and are one line.

Lines across a piece keep their order along the grain in every size, so those of two sizes
next to each other can be matched without knowing how far they have moved.
"""

from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.sheet.role_bits import Bit

# From size to size a line moves at most this far (mm), or just as far as between the next two
# sizes, but for this (mm).  Length that is added at a level is a few mm, for children a few cm.
_STEP, _REGULAR = 15.0, 1.0
# Grading goes on in one sense along the grain; back by this (mm) is the drawing's rounding.
_BACK = 0.5
# Lines of one family are parallel within this (degrees) and lie beside each other over at
# least this share of the shorter one.
_PARALLEL, _BESIDE = 1.0, 0.5
# Lines of one size as near as this along the grain (mm) are parts of one line, ordered across.
_ONE_ROW = 0.5

# Minus the number of pairs, how far all pairs are apart (mm), the last pair with those before.
_Matching = Tuple[int, float, tuple]


def families(
    bits: Sequence[Bit], sizes: Sequence[str], order: Sequence[str], down: np.ndarray
) -> List[Tuple[int, ...]]:
    """Numbers of the bits that are one line in several sizes, smallest size first.

    Args:
        bits: straight lines across a piece.
        sizes: the size of each; what serves all sizes is a family of its own.
        order: all sizes, smallest first.
        down: the unit direction of the grain, (2,).
    """
    heights = np.array([float(bit.middle @ down) for bit in bits])
    across = np.array([down[1], -down[0]])
    rows = [_row([n for n in range(len(bits)) if sizes[n] == size], heights, bits, across) for size in order]
    rows = [row for row in rows if row]
    following: Dict[int, int] = {}
    for row, beside in zip(rows, rows[1:]):
        following.update(_matched(row, beside, heights, bits))
    found: List[Tuple[int, ...]] = []
    for number in range(len(bits)):
        if number not in following.values():
            chain = [number]
            while chain[-1] in following:
                chain.append(following[chain[-1]])
            found += _unbroken(chain, heights)
    return found


def _row(numbers: Sequence[int], heights: np.ndarray, bits: Sequence[Bit], across: np.ndarray) -> List[int]:
    """Bits in their order along the grain; those at one height in their order across."""
    ordered = sorted(numbers, key=lambda n: heights[n])
    rank: Dict[int, int] = {}
    for before, number in zip([None] + ordered[:-1], ordered):
        apart = before is not None and heights[number] - heights[before] > _ONE_ROW
        rank[number] = 0 if before is None else rank[before] + int(apart)
    return sorted(ordered, key=lambda n: (rank[n], float(bits[n].middle @ across)))


def _matched(
    first: Sequence[int], second: Sequence[int], heights: np.ndarray, bits: Sequence[Bit]
) -> List[Tuple[int, int]]:
    """Pairs that keep the order of both rows: as many as may be, then as near as may be."""
    alike = _alike([bits[n] for n in first], [bits[n] for n in second])
    best: List[_Matching] = [(0, 0.0, ())] * (len(second) + 1)
    for i, a in enumerate(first):
        above, best = best, [(0, 0.0, ())]
        for j, b in enumerate(second):
            options = [above[j + 1], best[j]]
            if alike[i, j]:
                missing, far, pairs = above[j]
                options.append((missing - 1, far + abs(float(heights[b] - heights[a])), ((a, b), pairs)))
            best.append(min(options, key=lambda option: option[:2]))
    found, left = [], best[-1][2]
    while left:
        pair, left = left
        found.append(pair)
    return found


def _alike(first: Sequence[Bit], second: Sequence[Bit]) -> np.ndarray:
    """Which lines of two rows are parallel and beside each other, (n, m) bool."""
    starts, ways = np.array([bit.start for bit in first]), np.array([bit.way for bit in first])
    lengths, others = np.array([bit.length for bit in first]), np.array([bit.length for bit in second])
    turned = np.array([[-bit.way[1], bit.way[0]] for bit in second])
    ends = [np.array([getattr(bit, end) for bit in second]) for end in ("start", "end")]
    at = np.stack([((end - starts[:, None]) * ways[:, None]).sum(axis=-1) for end in ends])
    common = np.minimum(at.max(axis=0), lengths[:, None]) - np.maximum(at.min(axis=0), 0.0)
    parallel = np.abs(ways @ turned.T) <= np.sin(np.radians(_PARALLEL))
    return parallel & (common >= _BESIDE * np.minimum.outer(lengths, others))


def _unbroken(chain: Sequence[int], heights: np.ndarray) -> List[Tuple[int, ...]]:
    """A chain of matches, parted where a line would jump or go back."""
    steps = np.diff(heights[list(chain)])
    sense = float(np.sign(np.median(steps))) if len(steps) else 0.0
    found = [[chain[0]]]
    for place, number in enumerate(chain[1:]):
        step = float(steps[place])
        beside = [float(steps[n]) for n in (place - 1, place + 1) if 0 <= n < len(steps)]
        regular = any(abs(step - other) <= _REGULAR for other in beside)
        if step * sense >= -_BACK and (abs(step) <= _STEP or regular):
            found[-1].append(number)
        else:
            found.append([number])
    return [tuple(one) for one in found]
