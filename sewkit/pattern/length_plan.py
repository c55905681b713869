"""How much longer at which line: what a person asked for, worked out on one piece.

Lines lie across the grain.  A total is shared over several of them evenly, or by the
length of the band that each line stands for; a length measured from level to level on the
body, or the body's height against the height the pattern was drafted for, gives amounts
as well.  The amounts always sum to the total.
"""

import re
from typing import Dict, List, Mapping, NamedTuple, Tuple

from sewkit.errors import InputError
from sewkit.geometry.polygon import bounds
from sewkit.geometry.transform import Transform
from sewkit.pattern.cross_line import distance_between, height_of, own_line
from sewkit.pattern.piece import Piece
from sewkit.pattern.shares import bands, shared

# A total and the sum of its parts may differ by this and still be meant equal (mm): half
# of what is written with one decimal.
_SAME_SUM = 0.05

# An amount below this is none (mm): far below what can be drawn.
NOTHING = 1e-6

# Several lines stand one behind the other, with blanks or commas between them; a number may
# follow its sign after a blank, as in "waist+1 1/2 in".
_BETWEEN = re.compile(r"\s*[,;]\s*|\s+(?!(?:mm|cm|m|in|pt|px)\b)(?=[^\W\d])")


class Ask(NamedTuple):
    """What was asked for; lengths in mm.

    Args:
        amount: at one line, or in all over the lines ``at``.
        at: the lines' words.
        each: amounts of single lines.
        share: "bands" or "even".
        measured: lengths from level to level as they shall be, by "upper/lower".
        ratio: the body's height by the height drafted for; 0 for none.
    """

    amount: float
    at: Tuple[str, ...] = ()
    each: Mapping[str, float] = {}
    share: str = "bands"
    measured: Mapping[str, float] = {}
    ratio: float = 0.0


class Line(NamedTuple):
    """A line across the grain: its words, its height along the axis, how much longer there (mm)."""

    words: str
    height: float
    amount: float


def split_words(text: str) -> Tuple[str, ...]:
    """The lines named in one text: "chest/waist hip+40 mm" are two."""
    return tuple(word for word in _BETWEEN.split(text.strip()) if word)


def ratio_of(height: float, drafted: float) -> float:
    """The body's height by the drafted one; 0 where neither is given."""
    if (height > 0) != (drafted > 0):
        raise InputError(
            "A change in proportion needs both the body's height and the height the pattern was drafted for.",
            "Give both, or neither.",
            code="value",
        )
    return height / drafted if height > 0 else 0.0


def planned(piece: Piece, size: str, axis: Tuple[float, float], ask: Ask) -> Tuple[Line, ...]:
    """Every line with its amount, in order along the axis, on the piece that leads.

    ``InputError`` where a line or level is missing, or the parts do not sum to the total.
    """
    given = dict(ask.each)
    for pair, wanted in ask.measured.items():
        given[pair] = given.get(pair, 0.0) + wanted - _drawn(piece, size, pair, axis)
    total = ask.amount
    if ask.ratio:
        total = (ask.ratio - 1.0) * _along(piece, size, axis)
    heights = {words: height_of(piece, size, words, axis) for words in (*given, *ask.at)}
    rest = [words for words in dict.fromkeys(ask.at) if words not in given]
    if ask.at and not rest:
        _check_sum(given, total)
    if not ask.at and (ask.ratio or not given):
        words = "its lengthen line"
        heights[words], rest = own_line(piece, size, axis), [words]
    if rest:
        given.update(zip(rest, _shares(piece, size, axis, ask.share, total, given, rest, heights)))
    found = [Line(words, heights[words], amount) for words, amount in given.items()]
    return tuple(sorted((line for line in found if abs(line.amount) > NOTHING), key=lambda line: line.height))


def shares_at(
    piece: Piece, size: str, axis: Tuple[float, float], share: str, total: float, heights: List[float]
) -> List[float]:
    """A total shared over lines at such heights, in their order."""
    low, high = reach(piece, size, axis)
    order = sorted(range(len(heights)), key=lambda number: heights[number])
    lengths = bands([heights[number] for number in order], low, high)
    amounts = dict(zip(order, shared(total, lengths, share)))
    return [amounts[number] for number in range(len(heights))]


def reach(piece: Piece, size: str, axis: Tuple[float, float]) -> Tuple[float, float]:
    """The least and the greatest height of a piece along an axis (mm)."""
    # Turned so that the axis points down the sheet, the box is upright.
    upright = Transform(a=axis[1], b=axis[0], c=-axis[0], d=axis[1])
    _, low, _, high = bounds(upright.path(piece.outline(size).path))
    return low, high


def _shares(
    piece: Piece,
    size: str,
    axis: Tuple[float, float],
    share: str,
    total: float,
    given: Mapping[str, float],
    rest: List[str],
    heights: Dict[str, float],
) -> List[float]:
    left = total - sum(given.values())
    return shares_at(piece, size, axis, share, left, [heights[words] for words in rest])


def _along(piece: Piece, size: str, axis: Tuple[float, float]) -> float:
    low, high = reach(piece, size, axis)
    return high - low


def _drawn(piece: Piece, size: str, pair: str, axis: Tuple[float, float]) -> float:
    """The length from one level to the other as it is drawn (mm)."""
    upper, sign, lower = pair.partition("/")
    if not (upper and sign and lower):
        raise InputError(
            "'{}' does not say from which level to which.".format(pair),
            "Write both, such as chest/waist=215.",
            code="value",
        )
    return distance_between(piece, size, upper, lower, axis)


def _check_sum(given: Mapping[str, float], total: float) -> None:
    if abs(sum(given.values()) - total) > _SAME_SUM:
        raise InputError(
            "The single amounts sum to {:.1f} mm, and {:.1f} mm are asked for in all.".format(
                sum(given.values()), total
            ),
            "Change one of them, or leave one line without an amount: it takes the rest.",
            code="sum",
        )
