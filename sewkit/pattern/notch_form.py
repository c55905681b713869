"""The forms of a notch: how it is drawn at a place of a seam line.

    slit         a short cut from the cut edge in
    wedge-out    a triangle that stands out of the cut edge, cut round
    wedge-in     a V cut into the allowance
    cross        a slit with a short line across its inner end, a T

Each is square to the stitch line.  On a piece with an allowance it begins at the foot of its
perpendicular on the cut edge; what is cut in stops short of the stitch line by an eighth of an
inch (NIMI, Dress Making Trade Theory, p. 44: depth 1/8-1/4 in).  Without an allowance it is only
a mark, and stands outside the seam line.
"""

from typing import Tuple

import numpy as np

from sewkit.geometry.path import Path, lines

SLIT, WEDGE_OUT, WEDGE_IN, CROSS = "slit", "wedge-out", "wedge-in", "cross"
FORMS = (SLIT, WEDGE_OUT, WEDGE_IN, CROSS)

# Length of a tick and distance between the two of a double notch (mm); common practice.
TICK = 5.0
BESIDE = 4.0

# How far from the stitch line a snip must stop (mm): 1/8 in.
STOP_SHORT = 3.175

# Breadth of a wedge at the cut edge, and of the line across a T (mm); common practice.
WEDGE = 5.0

# Wedges side by side leave so much between them (mm), or they would be cut as one.
_BETWEEN = 2.0


def forms_drawn(point: np.ndarray, outward: np.ndarray, width: float, count: int, form: str = "") -> Path:
    """The lines of a notch.

    Args:
        point: its place on the seam line, (2,) mm.
        outward: the unit direction out of the piece there, (2,).
        width: of the allowance (mm); 0 where there is none.
        count: how many side by side.
        form: one of ``FORMS``; anything else is drawn as a slit.
    """
    along = np.array([-outward[1], outward[0]])
    outer, inner = reach(width, form)
    starts, ends = [], []
    for number in range(count):
        foot = point + along * apart(form) * (number - (count - 1) / 2)
        spots = [foot + along * aside + outward * out for aside, out in _corners(outer, inner, form)]
        starts += spots[0::2]
        ends += spots[1::2]
    return Path(lines(np.array(starts), np.array(ends)))


def apart(form: str) -> float:
    """How far notches of a form side by side lie from each other (mm)."""
    return BESIDE if form not in (WEDGE_OUT, WEDGE_IN, CROSS) else WEDGE + _BETWEEN


def reach(width: float, form: str = "") -> Tuple[float, float]:
    """How far from the stitch line a notch begins and ends (mm); outside is above 0."""
    if not width > 0:
        return (0.0, TICK) if form == WEDGE_OUT else (TICK, 0.0)
    if form == WEDGE_OUT:
        return width, width + TICK
    return width, max(width - TICK, min(STOP_SHORT, width / 2))


def _corners(outer: float, inner: float, form: str) -> Tuple[Tuple[float, float], ...]:
    """Start and end of each line of one notch: aside along the seam, and out of it (mm)."""
    half = WEDGE / 2
    if form in (WEDGE_OUT, WEDGE_IN):
        return (-half, outer), (0.0, inner), (0.0, inner), (half, outer)
    if form == CROSS:
        return (0.0, outer), (0.0, inner), (-half, inner), (half, inner)
    return (0.0, outer), (0.0, inner)
