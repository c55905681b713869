"""A projector's field: how large a pixel is on the table, and what of a piece one throw shows.

The same number of pixels to a millimetre across and down, whatever is shown.  A square that was
projected as 500 mm and measures m mm tells how the field really is: everything is thrown
500 / m times as large from then on.
"""

import math
import re
from typing import NamedTuple, Optional

from sewkit.errors import InputError
from sewkit.paper.tiling import Box, Grid, count
from sewkit.units import write_length, write_number

# The square on the first page, as large as it can be (mm); on a small field whole hundreds less.
SQUARE = 500.0

# Projected scale may be off by so much in all (job practice: 0.25 % is good, 0.5 % usable, and
# 1 mm on 400 mm, which is the same); two directions that differ by more need the projector squared.
GOOD, USABLE = 0.0025, 0.005

# A correction of more than this is a slip in measuring, or another square was measured.
_WILD = 0.5

# Left free at the edges of the field (mm): lenses are dark and bent there.
EDGE = 15.0

# Nobody shifts a cloth more often than this for one piece.
MOST = 60

_PIXELS = re.compile(r"^\s*(\d{3,5})\s*[x×*]\s*(\d{3,5})\s*$", re.IGNORECASE)


class Field(NamedTuple):
    """What a projector lights: pixels across and down, and how many of them are one mm."""

    across: int
    down: int
    per_mm: float

    @property
    def width(self) -> float:
        """Across the table (mm)."""
        return self.across / self.per_mm

    @property
    def height(self) -> float:
        """Down the table (mm)."""
        return self.down / self.per_mm

    @property
    def square(self) -> float:
        """The side of the square to calibrate by (mm): 500, or whole hundreds that the field holds."""
        room = min(self.width, self.height) - 2 * EDGE
        return min(SQUARE, 100.0 * math.floor(room / 100.0))


def field_of(pixels: str, width: float, measured: Optional[float] = None) -> Field:
    """The field of a projector.

    Args:
        pixels: "1920x1080".
        width: of the lit field on the table, as it was measured or guessed (mm).
        measured: what the square that was thrown with this width measures (mm).

    ``InputError`` for what is no number of pixels, and for a field that holds no square of 100 mm.
    """
    match = _PIXELS.match(pixels)
    if match is None:
        raise InputError(
            "'{}' does not say how many pixels a projector shows.".format(pixels.strip()),
            "Write them across and down, 100 at least, such as 1920x1080.",
            code="light",
        )
    across, down = int(match.group(1)), int(match.group(2))
    guess = Field(across, down, across / width)
    if guess.square < 100.0:
        raise InputError(
            "A field of {} x {} holds no square to calibrate by.".format(
                write_length(guess.width, decimals=0), write_length(guess.height, decimals=0)
            ),
            "Give the width of the lit field on the table, such as 1200mm.",
            code="light",
        )
    if measured is None:
        return guess
    share = measured / guess.square
    if not 1 / (1 + _WILD) <= share <= 1 + _WILD:
        raise InputError(
            "A square of {} mm cannot measure {} mm.".format(
                write_number(guess.square), write_number(measured)
            ),
            "Measure the square on the first page again, or give the field's width anew.",
            code="light",
        )
    # A square that comes out too small means that the field is smaller than was thought.
    return Field(across, down, guess.per_mm / share)


def throws(field: Field, box: Box, overlap: float) -> Grid:
    """The throws that show a box (mm), centred; neighbours overlap by so much, never less.

    ``InputError`` where the overlap leaves nothing of the field.
    """
    room = field.width - 2 * EDGE, field.height - 2 * EDGE
    if not 0 <= overlap < min(room) / 2:
        raise InputError(
            "An overlap of {} mm does not fit into the field.".format(write_number(overlap)),
            "Take 50 mm.",
            code="light",
        )
    size = box[2] - box[0], box[3] - box[1]
    counts = [count(size[axis], room[axis], overlap) for axis in (0, 1)]
    if counts[0] * counts[1] > MOST:
        raise InputError(
            "A piece of {} x {} would take {} parts.".format(
                write_length(size[0], decimals=0), write_length(size[1], decimals=0), counts[0] * counts[1]
            ),
            "See whether the drawing has its true scale, or light a larger field.",
            code="light",
        )
    corner = [
        (box[axis] + box[axis + 2] - counts[axis] * room[axis] + (counts[axis] - 1) * overlap) / 2
        for axis in (0, 1)
    ]
    return Grid((field.width, field.height), EDGE, overlap, corner[0], corner[1], counts[0], counts[1])
