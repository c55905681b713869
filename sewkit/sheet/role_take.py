"""What a line, or several together, may be taken for."""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.sheet.role_bits import Bit, Item


class Take(NamedTuple):
    """A guess.

    Args:
        kind: one of the kinds of marks.
        score: 0 to 1.
        items: numbers of the items it is drawn with.
        curves: ``(n, 4, 2)`` of all it is drawn with, the part that tells its direction first.
        name: such as "waist"; may be empty.
        sizes: the sizes it belongs to; empty serves all.
        spots: for a notch the foot on the outline of each size; for a fold mark the point
            of the edge on the fold.
        count: how many notches side by side.
    """

    kind: str
    score: float
    items: Tuple[int, ...]
    curves: np.ndarray
    name: str = ""
    sizes: Tuple[str, ...] = ()
    spots: Tuple[Tuple[float, float], ...] = ()
    count: int = 1

    @property
    def path(self) -> Path:
        """All that it is drawn with, as one path of several runs; closed where it is one ring."""
        closed = bool(np.array_equal(self.curves[1:, 0], self.curves[:-1, 3]))
        return Path(self.curves, closed and bool((self.curves[-1, 3] == self.curves[0, 0]).all()))


def drawn(items: Sequence[Item], numbers: Sequence[int], first: Sequence[Bit] = ()) -> np.ndarray:
    """The curves of items, those of some bits first and the rest in order."""
    parts: List[np.ndarray] = [bit.curves for bit in first]
    taken = {(bit.item, bit.number) for bit in first}
    for number in dict.fromkeys(numbers):
        parts += [bit.curves for bit in items[number].bits if (bit.item, bit.number) not in taken]
    return np.concatenate(parts)


def common_size(items: Sequence[Item], numbers: Sequence[int]) -> Tuple[str, ...]:
    """The one size that all of these belong to; none where they differ or serve all."""
    sizes = {items[number].size for number in numbers}
    return tuple(sizes) if len(sizes) == 1 and "" not in sizes else ()


def free_bits(items: Sequence[Item], used: Sequence[int], least: float, most: float = np.inf) -> List[Bit]:
    """Bits of a length (mm) from ``least`` to ``most`` in items that are not yet taken."""
    taken = set(used)
    return [
        bit
        for number, item in enumerate(items)
        if number not in taken
        for bit in item.bits
        if least <= bit.length <= most
    ]
