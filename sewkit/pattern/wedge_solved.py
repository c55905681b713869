"""A wedge as wide as it takes for its edge to change, as sewn, by what was asked.

Square to a straight edge a wedge is as wide as the amount.  A line that leans by ``lean`` from
square turns only ``width cos^2(lean)`` out of the edge: the legs are unequal, so the edge steps by
``amount tan(lean)`` where it is closed, and the soft curve over the step takes a little more.  Let
in, the gap counts by ``width cos(lean)``.  So the width is found by trial: the closed form first,
then a secant between a width that was too little and one that was too much.
"""

from typing import NamedTuple, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.transform import turn
from sewkit.pattern.outline import Outline
from sewkit.pattern.wedge_line import lean, spot, tangent
from sewkit.pattern.wedging import Wedge, Wedged, closed_up, of_width, redrawn, wedged, widest

# The triangle drawn on paper is kept where it hits the amount within this (mm), and within this
# share of it: a line drawn with a pencil is wider.
_DRAWN = 0.02
_SHARE = 1.0 / 500.0

# Where it does not, the width is sought until the edge changes as asked within this (mm).
_FOUND = 1e-4
# A wedge that takes all of the edge beyond it may lack this much (mm), which no tape shows.
_LACKS = 0.05
_TRIES = 60

# A line that leans more than this (degrees) from square is refused: four times the amount would
# go out of the edge (1 / cos^2), and it would step by 1.7 times the amount (tan).
MOST_LEAN = 60.0


class Step(NamedTuple):
    """How an edge steps where its wedge was, drawn as a soft S.

    Args:
        out: mm square to the edge by which it lies further out beyond the wedge; below 0 in.
        over: mm of edge over which that is drawn.
    """

    out: float
    over: float


def solved(outline: Outline, wedge: Wedge, turns_beyond: bool, piece: str) -> Tuple[Wedge, Wedged]:
    """The wedge with the width at which its edge changes by its amount, and what it makes of it.

    ``InputError``: the line leans too far, or no width does it (aslant); the piece would lie over
    itself (fold-over).
    """
    name, leans = _edge(outline, wedge), lean(outline, wedge.opening, wedge.hinge)
    if leans > MOST_LEAN:
        raise InputError(
            "On '{}' the line to the hinge leans {:.0f} degrees from square to '{}', and beyond {:.0f} that "
            "edge would step by nearly twice the amount.".format(piece, leans, name, MOST_LEAN),
            "Put the hinge straight across from the wedge's place, or choose another place.",
            code="aslant",
        )
    wanted = abs(wedge.amount)
    found = _width(outline, wedge, turns_beyond, piece, wanted)
    if found is None:
        raise InputError(
            "The edge '{}' of '{}' cannot change by {:+g} mm there: the line leans {:.0f} degrees from "
            "square, and too little of the edge lies beyond.".format(name, piece, wedge.amount, leans),
            "Put the hinge straight across from the wedge's place, choose another place, or ask for less.",
            code="aslant",
        )
    best = wedge if found == wanted else of_width(outline, wedge, found)
    return best, wedged(outline, best, turns_beyond, piece)


def step_of(outline: Outline, wedge: Wedge, piece: str) -> Step:
    """The step, against the mean of the edge's directions before and behind the wedge."""
    opening, far = spot(outline, wedge.opening), spot(outline, wedge.far)
    turned = turn(wedge.angle, spot(outline, wedge.hinge))
    apart = turned.points(far[None])[0] - opening
    # The turn of a direction is how it moves the point one unit on, less how it moves the point.
    behind = turned.points((far + tangent(outline, wedge.far))[None])[0] - turned.points(far[None])[0]
    along = tangent(outline, wedge.opening) + behind
    along = along / np.hypot(*along)
    aside = apart - (apart @ along) * along
    outward = opening - spot(outline, wedge.hinge)
    start, stop = redrawn(outline, wedge, piece)
    over = stop - start + (abs(apart @ along) if wedge.amount > 0 else -wedge.width)
    return Step(float(np.hypot(*aside)) * (1.0 if aside @ outward > 0 else -1.0), float(over))


def _width(outline: Outline, wedge: Wedge, turns_beyond: bool, piece: str, wanted: float) -> Optional[float]:
    """The width (mm) at which the edge changes by ``wanted``; None where there is none."""
    name = _edge(outline, wedge)
    old, sign = outline.as_sewn(name), (1.0 if wedge.amount > 0 else -1.0)

    def lacks(width: float) -> float:
        made = closed_up(outline, of_width(outline, wedge, width), turns_beyond, piece).outline
        return sign * (made.as_sewn(name) - old) - wanted

    width = wanted
    value = lacks(width)
    if abs(value) <= min(_DRAWN, _SHARE * wanted):
        return width
    most = widest(outline, wedge) * (1.0 - 1e-9)
    low = (0.0, -wanted)
    high: Optional[Tuple[float, float]] = None
    for number in range(_TRIES):
        if abs(value) <= _FOUND:
            return width
        if value > 0:
            high = (width, value)
        elif high is None and width >= most:
            return width if value >= -_LACKS else None
        else:
            low = (width, value)
        if high is None:
            # A little more than in proportion, so that the width sought lies between two that are known.
            width = min(width * float(np.clip(1.05 * wanted / max(wanted + value, _FOUND), 1.02, 2.0)), most)
        else:
            # Every third time the middle: a secant alone may creep up from one side.
            share = 0.5 if number % 3 == 2 else -low[1] / (high[1] - low[1])
            width = low[0] + (high[0] - low[0]) * share
        value = lacks(width)
    return None


def _edge(outline: Outline, wedge: Wedge) -> str:
    return outline.edges[wedge.edge].name
