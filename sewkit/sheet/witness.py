"""A witness: something on a sheet whose true size is known."""

from typing import NamedTuple, Tuple

import numpy as np

SQUARE = "square"
RULER = "ruler"
BAR = "scale bar"
PAPER = "paper"

# What told the true size of a witness.
BY_TEXT = "text"
BY_CUSTOM = "usual size"

INCH = 25.4

# Sides of test squares by custom (mm): 1, 2, 3, 4 in are published by several makers;
# 5, 10 and 20 cm are common practice.
CUSTOMARY = (INCH, 2 * INCH, 3 * INCH, 4 * INCH, 50.0, 100.0, 200.0)

# Without a word that says so, a size is only guessed where it is this near (share): a
# square that is farther off may be anything, a pocket for instance.
NEAR = 0.01

# A line this near to an axis tells that axis alone (sine of the angle).
_ALONG = 0.035

Pair = Tuple[float, float]


class Witness(NamedTuple):
    """Something measured whose true size is known, or guessed.

    Args:
        kind: ``SQUARE`` (any rectangle), ``RULER``, ``BAR`` or ``PAPER``.
        page: the number of its page.
        axis: "x", "y", or "both"; also "both" for one line that lies slantwise.
        nominal: what it should measure (mm) across and down; 0 where it tells nothing.
        measured: what it measures between the middles of its pen lines (mm), likewise.
        point: its middle on the page (mm).
        told_by: ``BY_TEXT`` or ``BY_CUSTOM``.
        words: the text that told its size.
        pen: width of the line it is drawn with (mm); 0 where that does not matter.
        skew: how far its corners are from square (degrees); positive where its lower
            side is pushed to the left.
        options: all the sizes its text may mean, ``nominal`` among them.
        stray: how far the ticks of a ruler lie from equal distances, at most (mm).
    """

    kind: str
    page: int
    axis: str
    nominal: Pair
    measured: Pair
    point: Pair
    told_by: str = BY_TEXT
    words: str = ""
    pen: float = 0.0
    skew: float = 0.0
    options: Tuple[Pair, ...] = ()
    stray: float = 0.0

    @property
    def length(self) -> float:
        """How long it should be (mm), along its longer side."""
        return max(self.nominal)


def of_one_length(
    kind: str,
    page: int,
    way: np.ndarray,
    measured: float,
    nominal: float,
    middle: Pair,
    told_by: str,
    words: str,
) -> Witness:
    """A witness that runs along ``way`` (a unit vector); on a slant it stands for both axes."""
    across, down = abs(float(way[1])) < _ALONG, abs(float(way[0])) < _ALONG
    axis = "x" if across else "y" if down else "both"
    both = (0.0 if down else 1.0, 0.0 if across else 1.0)
    true = (nominal * both[0], nominal * both[1])
    drawn = (measured * both[0], measured * both[1])
    return Witness(kind, page, axis, true, drawn, middle, told_by, words, options=(true,))
