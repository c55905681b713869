"""All sizes of a pattern in order, also where no single piece has all of them."""

import re
from typing import List, Sequence, Tuple

_NUMBER = re.compile(r"^\d+([.]\d+)?$")


def in_order(nests: Sequence[Sequence[str]]) -> Tuple[str, ...]:
    """The sizes of several pieces as one list, each once; ``nests``: those of each piece in order.

    Numbers stand in their own order where they rise in every piece.  Else a size that a piece
    adds goes behind the one before it there.  Nobody's size, "", comes last.
    """
    named = [[size for size in nest if size] for nest in nests]
    every = list(dict.fromkeys(size for nest in named for size in nest))
    if all(_NUMBER.match(size) for size in every) and all(map(_rises, named)):
        found = sorted(every, key=float)
    else:
        found = _merged(named)
    return tuple(found + [""] * any("" in nest for nest in nests))


def _rises(nest: Sequence[str]) -> bool:
    return all(float(one) < float(two) for one, two in zip(nest, nest[1:]))


def _merged(nests: Sequence[Sequence[str]]) -> List[str]:
    """Sizes in the order of the pieces, those of the piece with most sizes first."""
    ordered: List[str] = []
    for nest in sorted(nests, key=lambda nest: -len(nest)):
        before = -1
        for size in nest:
            if size not in ordered:
                ordered.insert(before + 1 if before >= 0 else _place_before(nest, ordered), size)
            before = ordered.index(size)
    return ordered


def _place_before(nest: Sequence[str], ordered: Sequence[str]) -> int:
    """Where sizes go with which a piece begins: before its first size that is known."""
    return next((ordered.index(size) for size in nest if size in ordered), len(ordered))
