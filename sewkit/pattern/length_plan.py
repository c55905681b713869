"""How much longer at which line: what a person asked for, worked out on one piece.

Lines lie across the grain.  A total is shared over several of them evenly, or by the
length of the band that each line stands for; a length measured from level to level on the
body, or the body's height against the height the pattern was drafted for, gives amounts
as well.  The amounts always sum to the total.
"""

import re
from typing import List, Mapping, NamedTuple, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.pattern.cross_line import Axis, extent, height_of, named_heights, own_line, place_of
from sewkit.pattern.measured_lengths import measured_strips
from sewkit.pattern.piece import Piece
from sewkit.pattern.shares import bands, shared

# A total and the sum of its parts may differ by this and still be meant equal (mm): half
# of what is written with one decimal.
_SAME_SUM = 0.05

# An amount below this is none (mm): a file's ten digits could not even hold it.
NOTHING = 1e-9

# Lines whose heights differ by less lie at one height (mm).
SAME_HEIGHT = 1e-6

# Several lines stand one behind the other, with blanks or commas between them; a number may
# follow its sign after a blank, as in "waist+1 1/2 in", and hold a comma, as in "waist+1,5".
_BETWEEN = re.compile(r"\s*(?:;|,(?!\d))\s*|\s+(?!(?:mm|cm|m|in|pt|px)\b)(?=[^\W\d])")


# How the lengthen line of a piece is called that was not named.
OWN = "its lengthen line"


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
    """A line across the grain: its words, its height along the axis, how much longer there (mm).

    ``back``: how far the height is from the place in words; ``going``: the part of the amount
    by which that place goes, as what its words are about goes.
    """

    words: str
    height: float
    amount: float
    back: float = 0.0
    going: float = 0.0


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


def planned(piece: Piece, size: str, axis: Axis, ask: Ask, undoing: bool = False) -> Tuple[Line, ...]:
    """Every line with its amount, in order along the axis, on the piece that leads.

    ``undoing``: what is folded out is what the same words would let in, so that there and back
    again is the same piece; else it always lies just beyond the line.
    ``InputError`` where a line or level is missing, or the parts do not sum to the total.
    """
    at = _at(piece, size, axis, ask)
    heights = {words: height_of(piece, size, words, axis) for words in (*ask.each, *at)}
    given = [Line(words, heights[words], amount) for words, amount in ask.each.items()]
    rest = [words for words in dict.fromkeys(at) if words not in ask.each]
    if ask.measured:
        for words in rest:
            _refuse_inside(piece, size, axis, ask, words, heights[words])
        fixed = [(line.height, line.amount) for line in given]
        given += [Line(*strip) for strip in measured_strips(piece, size, axis, ask.measured, fixed)]
    total = ask.amount
    if ask.ratio:
        low, high = reach(piece, size, axis)
        total = (ask.ratio - 1.0) * (high - low)
    if at and not rest:
        _check_sum(sum(line.amount for line in given), total)
    if not at and (ask.ratio or not given):
        rest, heights[OWN] = [OWN], own_line(piece, size, axis)
    if rest:
        left = total - sum(line.amount for line in given)
        once = _once(rest, heights)
        shares = shares_at(piece, size, axis, ask.share, left, [heights[words] for words in once])
        given += [Line(words, heights[words], amount) for words, amount in zip(once, shares)]
    lines = sorted((line for line in given if abs(line.amount) > NOTHING), key=lambda line: line.height)
    return _folded_back(piece, size, axis, lines) if undoing else tuple(lines)


def _folded_back(piece: Piece, size: str, axis: Axis, lines: Sequence[Line]) -> Tuple[Line, ...]:
    """The lines with those moved back at which something is folded out.

    Let in 20 mm at waist-40 and the waist goes 20 mm down, and the place that is called
    waist-40 with it: the strip lies before it then.  So what is folded out at a place lies
    before it by as much as the place goes with its levels.
    """
    moved: List[Line] = []
    places = [_about(piece, size, line.words, axis, line.height) for line in lines]
    before = 0.0
    for line, about in zip(lines, places):
        gone = [sum(min(k.amount, 0.0) for k in lines if k.height < there - SAME_HEIGHT) for there in about]
        back = sum(gone) / len(gone) - before if line.amount < 0 else 0.0
        before += min(line.amount, 0.0)
        going = going_with(line.height, about)
        moved.append(line._replace(height=line.height + back, back=back, going=going))
    return tuple(moved)


def _about(piece: Piece, size: str, words: str, axis: Axis, height: float) -> Tuple[float, ...]:
    return (height,) if words == OWN else place_of(piece, size, words, axis).about


def going_with(height: float, about: Sequence[float]) -> float:
    """The part of an amount let in at a place by which the place itself goes: 0, 1/2 or 1."""
    return sum(there > height + SAME_HEIGHT for there in about) / len(about)


def back_on(piece: Piece, size: str, axis: Axis, line: Line) -> float:
    """How far a line of the leading piece lies from the place of its words on another (mm)."""
    place = place_of(piece, size, line.words, axis)
    going = going_with(place.height, place.about)
    return line.back if going == line.going else going * min(line.amount, 0.0) * bool(line.back)


def _at(piece: Piece, size: str, axis: Axis, ask: Ask) -> Tuple[str, ...]:
    """The lines that share what is left; a name with a blank in it is one name."""
    whole = " ".join(ask.at)
    return (whole,) if len(ask.at) > 1 and whole in named_heights(piece, size, axis) else ask.at


def _once(rest: Sequence[str], heights: Mapping[str, float]) -> List[str]:
    """Lines that lie at one height are one line, however they are called."""
    kept: List[str] = []
    for words in rest:
        if all(abs(heights[words] - heights[other]) > SAME_HEIGHT for other in kept):
            kept.append(words)
    return kept


def _refuse_inside(piece: Piece, size: str, axis: Axis, ask: Ask, words: str, height: float) -> None:
    """A line between two measured levels would make that length another one."""
    for pair in ask.measured:
        ends = [height_of(piece, size, name.strip(), axis) for name in pair.split("/") if name.strip()]
        if len(ends) == 2 and min(ends) <= height < max(ends):
            raise InputError(
                "The line '{}' lies between the measured levels {}.".format(words, pair),
                "Leave the line out: what the measured length needs goes in there anyway.",
                code="sum",
            )


def shares_at(
    piece: Piece, size: str, axis: Axis, share: str, total: float, heights: List[float]
) -> List[float]:
    """A total shared over lines at such heights, in their order."""
    low, high = reach(piece, size, axis)
    order = sorted(range(len(heights)), key=lambda number: heights[number])
    lengths = bands([heights[number] for number in order], low, high)
    amounts = dict(zip(order, shared(total, lengths, share)))
    return [amounts[number] for number in range(len(heights))]


def reach(piece: Piece, size: str, axis: Axis) -> Tuple[float, float]:
    """The least and the greatest height of a piece along an axis (mm)."""
    return extent(piece.outline(size), axis)


def _check_sum(parts: float, total: float) -> None:
    if abs(parts - total) > _SAME_SUM:
        raise InputError(
            "The single amounts sum to {:.1f} mm, and {:.1f} mm are asked for in all.".format(parts, total),
            "Change one of them, or leave one line without an amount: it takes the rest.",
            code="sum",
        )
