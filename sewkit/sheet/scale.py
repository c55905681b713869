"""Is the sheet at true scale?  Find what proves it, weigh it, and put it right.

    found = witnesses(printed)
    told = verdict(found)
    printed = scaled(printed, told.factor_x, told.factor_y)

Nothing is ever rescaled on the word of one square: squares were drawn wrong before.  It
takes two witnesses that agree, or a length that the person knows (``parse_known``).
"""

import math
from typing import List, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.sheet.drawn import Box, Drawn, Page, Printed, Words
from sewkit.sheet.page_marks import parts
from sewkit.sheet.scale_verdict import Verdict, verdict
from sewkit.sheet.scale_words import usual_cause
from sewkit.sheet.witness import BY_CUSTOM, INCH, PAPER, Witness
from sewkit.sheet.witness_bars import bars
from sewkit.sheet.witness_lines import straights
from sewkit.sheet.witness_rulers import combs, rulers
from sewkit.sheet.witness_squares import squares
from sewkit.sheet.witness_words import texts_as_drawn, texts_of
from sewkit.units import parse_length, write_number

__all__ = ["Verdict", "parse_known", "scaled", "verdict", "witnesses"]

# A sheet is never made more than this many times smaller or larger: beyond, a length was
# mistyped.  1/25.4 and 25.4, the worst confusion of units, lie inside.
LEAST_FACTOR, MOST_FACTOR = 0.03, 50.0

# Paper sizes (mm): ISO 216, and the American ones in inches.
_PAPERS = (
    (841.0, 1189.0), (594.0, 841.0), (420.0, 594.0), (297.0, 420.0), (210.0, 297.0), (148.0, 210.0),
    (8.5 * INCH, 11 * INCH), (8.5 * INCH, 14 * INCH), (11 * INCH, 17 * INCH), (17 * INCH, 22 * INCH),
    (22 * INCH, 34 * INCH), (34 * INCH, 44 * INCH), (36 * INCH, 48 * INCH),
)  # fmt: skip
# A page is a paper within this (share); 0.1 % of A4 is 0.3 mm, what rounding to points leaves.
_PAPER = 0.001


def witnesses(printed: Printed) -> Tuple[Witness, ...]:
    """Everything on the pages that proves their scale, in the order of the pages."""
    found: List[Witness] = []
    for page in (part for whole in printed.pages for part in parts(whole)):
        texts, labels = texts_of(page.words), texts_as_drawn(page.words)
        lines = straights(page)
        ticks = combs(lines)
        found += squares(page, lines, texts)
        found += rulers(page, lines, ticks, labels, texts)
        found += bars(page, lines, texts, ticks)
    for page in printed.pages:
        found += _paper(page)
    return tuple(found)


def _paper(page: Page) -> List[Witness]:
    """A page that is a known paper, made larger or smaller by a usual fault.

    A page that simply is a known paper proves nothing: what was fitted to the page is off,
    and the page is not.
    """
    middle = (page.width / 2, page.height / 2)
    for width, height in _PAPERS:
        for true in ((width, height), (height, width)):
            ratios = page.width / true[0], page.height / true[1]
            if max(abs(r - 1) for r in ratios) < _PAPER:
                return []
    for width, height in _PAPERS:
        for true in ((width, height), (height, width)):
            ratios = page.width / true[0], page.height / true[1]
            if abs(ratios[0] / ratios[1] - 1) < _PAPER and _unit_fault(ratios[0]):
                size = (page.width, page.height)
                return [Witness(PAPER, page.number, "both", true, size, middle, BY_CUSTOM, options=(true,))]
    return []


def _unit_fault(ratio: float) -> bool:
    """Whether units were confused; a page fitted to another is that other page."""
    cause = usual_cause(ratio)
    return any(word in cause for word in ("units", "points", "taken for", "own unit"))


def parse_known(text: str) -> float:
    """The factor from a length the person knows: what it should be = what it measures.

    >>> round(parse_known("100mm=97.0"), 6)
    1.030928
    """
    should, sign, measures = text.partition("=")
    if not sign or "=" in measures:
        raise InputError(
            "'{}' does not say both lengths.".format(text),
            "Write what it should be = what it measures, such as 100mm=97.0.",
            code="scale-known",
        )
    true, drawn = parse_length(should), parse_length(measures)
    if true <= 0 or drawn <= 0:
        raise InputError(
            "'{}' has a length that is not above nothing.".format(text),
            "Write two lengths, such as 100mm=97.0.",
            code="scale-known",
        )
    return checked_factor(true / drawn, text)


def checked_factor(factor: float, said: str) -> float:
    """The factor, or ``InputError`` where it is too large or too small to be meant."""
    if not LEAST_FACTOR <= factor <= MOST_FACTOR:
        raise InputError(
            "By '{}' everything would become {} times as large.".format(said, write_number(factor, 4)),
            "Check the two lengths and their units.",
            code="scale-known",
        )
    return factor


def scaled(printed: Printed, factor_x: float, factor_y: float) -> Printed:
    """Everything on the pages so many times as wide and as high; exact.

    Pens, dashes and letters, which have no direction, take the mean of both (geometric).
    """
    if factor_x == factor_y == 1.0:
        return printed
    pages = tuple(_scaled_page(page, factor_x, factor_y) for page in printed.pages)
    return printed._replace(pages=pages)


def _scaled_page(page: Page, x: float, y: float) -> Page:
    return page._replace(
        width=page.width * x,
        height=page.height * y,
        drawn=tuple(_scaled_stroke(drawn, x, y) for drawn in page.drawn),
        words=tuple(_scaled_words(words, x, y) for words in page.words),
    )


def _scaled_stroke(drawn: Drawn, x: float, y: float) -> Drawn:
    mean, style = _mean(x, y), drawn.style
    style = style._replace(width=style.width * mean, dashes=tuple(one * mean for one in style.dashes))
    curves = drawn.curves * np.array([x, y])
    return drawn._replace(curves=curves, style=style, clip=_scaled_box(drawn.clip, x, y))


def _scaled_words(words: Words, x: float, y: float) -> Words:
    angle = math.radians(words.angle)
    across, down = math.cos(angle) * x, math.sin(angle) * y
    return words._replace(
        x=words.x * x,
        y=words.y * y,
        angle=words.angle if x == y else math.degrees(math.atan2(down, across)),
        height=words.height * _mean(x, y),
        width=words.width * (x if x == y else math.hypot(across, down)),
        clip=_scaled_box(words.clip, x, y),
    )


def _mean(x: float, y: float) -> float:
    return x if x == y else math.sqrt(x * y)


def _scaled_box(box: Optional[Box], x: float, y: float) -> Optional[Box]:
    if box is None:
        return None
    left, top, right, bottom = box
    return (left * x, top * y, right * x, bottom * y)
