"""Lengths from level to level as they shall be, and the strips that make them so.

The levels cut the piece into bands.  Every band takes one strip, half way down it, and the
strips between two levels sum to what is missing there; so each length comes out as asked,
whichever way the lengths overlap, and whatever is let in besides.
"""

from typing import List, Mapping, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.pattern.cross_line import Axis, height_of
from sewkit.pattern.piece import Piece
from sewkit.units import MILLIMETRES, write_number

# Lengths that contradict each other by less agree (mm): nobody measures a body finer.
_AGREE = 0.05

# A length that is less than this part of the drawn one was not meant in mm; in another unit it
# must come to within this many times the drawn one, so that nobody is asked in vain.
_TOO_SMALL = 0.25
_ALIKE = 1.5

# Two levels nearer than this are one (mm).
_SAME_LEVEL = 1e-6


class MeasuredStrip(NamedTuple):
    """A place between two levels, in words; its height along the axis, and what goes in there (mm)."""

    words: str
    height: float
    amount: float


def measured_strips(
    piece: Piece,
    size: str,
    axis: Axis,
    measured: Mapping[str, float],
    given: Sequence[Tuple[float, float]] = (),
) -> List[MeasuredStrip]:
    """The strips by which each measured length comes out.

    Args:
        measured: lengths (mm) by "upper/lower".
        given: height and amount of strips that are let in anyway.

    ``InputError``: no such level (no-level); one level twice (value); lengths that contradict
    each other (sum).
    """
    pairs = [_ends(piece, size, axis, pair) for pair in measured]
    levels = sorted({(height, name) for pair in pairs for height, name in pair})
    levels = [one for one, before in zip(levels, [None, *levels]) if before is None or _apart(one, before)]
    bands = list(zip(levels, levels[1:]))
    rows, wanted = [], []
    for (upper, lower), (pair, length) in zip(pairs, measured.items()):
        _ask_for_the_unit(pair, length, lower[0] - upper[0])
        inside = [upper[0] - _SAME_LEVEL <= a[0] and b[0] <= lower[0] + _SAME_LEVEL for a, b in bands]
        rows.append(np.array(inside, float))
        there = sum(amount for height, amount in given if upper[0] <= height < lower[0])
        wanted.append(length - (lower[0] - upper[0]) - there)
    # The least change: each band takes its share by its length where the lengths leave it open.
    weights = np.sqrt([b[0] - a[0] for a, b in bands])
    amounts = np.linalg.lstsq(np.array(rows) * weights, np.array(wanted), rcond=None)[0] * weights
    missed = np.abs(np.array(rows) @ amounts - wanted)
    if missed.max() > _AGREE:
        pair = list(measured)[int(missed.argmax())]
        raise InputError(
            "The measured lengths contradict each other by {:.1f} mm at '{}'.".format(2 * missed.max(), pair),
            "Measure again, or leave one of them out.",
            code="sum",
        )
    strips = []
    for (a, b), amount in zip(bands, amounts):
        words = "{}/{}".format(a[1], b[1])
        strips.append(MeasuredStrip(words, height_of(piece, size, words, axis), float(amount)))
    return strips


def _ends(piece: Piece, size: str, axis: Axis, pair: str) -> Tuple[Tuple[float, str], Tuple[float, str]]:
    """Height and name of both levels of a pair, the one that comes first along the axis first."""
    upper, sign, lower = (word.strip() for word in pair.partition("/"))
    if not (upper and sign and lower):
        raise InputError(
            "'{}' does not say from which level to which.".format(pair),
            "Write both, such as chest/waist=215.",
            code="value",
        )
    ends = sorted((height_of(piece, size, name, axis), name) for name in (upper, lower))
    if not _apart(*ends):
        raise InputError(
            "'{}' measures from a level to itself.".format(pair), "Name two different levels.", code="value"
        )
    return ends[0], ends[1]


def _ask_for_the_unit(pair: str, length: float, drawn: float) -> None:
    """``InputError`` for a length (mm) of nothing, or one that only makes sense in another unit."""
    if length <= 0:
        raise InputError(
            "'{}' cannot measure {:g} mm: nothing would be left between them.".format(pair, length),
            "Write the length as measured on the body.",
            code="value",
        )
    if not 0 < length < _TOO_SMALL * drawn:
        return
    for unit in ("cm", "in"):
        if drawn / _ALIKE < length * MILLIMETRES[unit] < drawn * _ALIKE:
            number = write_number(length)
            raise InputError(
                "'{}' is {:.1f} mm as drawn and would be {} mm.".format(pair, drawn, number),
                "If {0} {1} are meant, write {2}={0}{1}.".format(number, unit, pair),
                code="unit",
            )


def _apart(one: Tuple[float, str], other: Tuple[float, str]) -> bool:
    return abs(one[0] - other[0]) > _SAME_LEVEL
