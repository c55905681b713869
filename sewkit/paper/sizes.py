"""Papers: sheets by name, rolls, any width and height; and the area that is safe on two of them.

Sizes of ISO 216 sheets A and B (B5 as half of B4), of the sheets of ANSI/ASME Y14.1 and of the
architects' sheets as Debian's list of papers (libpaper 1.1.29) has them, in mm.
"""

import re
from typing import Dict, NamedTuple, Tuple

from sewkit.errors import InputError
from sewkit.units import MILLIMETRES, parse_length, write_number

SHEETS: Dict[str, Tuple[float, float]] = {
    "A0": (841.0, 1189.0),
    "A1": (594.0, 841.0),
    "A2": (420.0, 594.0),
    "A3": (297.0, 420.0),
    "A4": (210.0, 297.0),
    "A5": (148.0, 210.0),
    "B0": (1000.0, 1414.0),
    "B1": (707.0, 1000.0),
    "B2": (500.0, 707.0),
    "B3": (353.0, 500.0),
    "B4": (250.0, 353.0),
    "B5": (176.0, 250.0),
    "Letter": (215.9, 279.4),
    "Legal": (215.9, 355.6),
    "Tabloid": (279.4, 431.8),
    "ANSI C": (431.8, 558.8),
    "ANSI D": (558.8, 863.6),
    "ANSI E": (863.6, 1117.6),
    "Arch A": (228.6, 304.8),
    "Arch B": (304.8, 457.2),
    "Arch C": (457.2, 609.6),
    "Arch D": (609.6, 914.4),
    "Arch E": (914.4, 1219.2),
}

# What both A4 and Letter have room for: a page of this size comes out whole on either (mm).
SAFE = (210.0, 279.4)

# Widths of rolls that copy shops have (mm): 36 in, 24 in, and the width of A0.
ROLLS: Dict[str, float] = {"roll 36in": 914.4, "roll 24in": 609.6, "roll A0": 841.0}

# A sheet so long (mm) is cut off a roll: the longest sheet of any series, B0, has 1414 mm.
FROM_A_ROLL = 2000.0

# A roll is printed in lengths of at most 5 m: readers stop at 14400 units of 1/72 in, 5.08 m
# (ISO 32000-1, Annex C).
LONGEST = 5000.0
LIMIT = 14400.0 / 72.0 * 25.4

# No printer takes less than a postcard, and none more than this (mm).
_LEAST, _MOST = 100.0, 100000.0

# A width below nothing; a roll-36in has a hyphen.
_MINUS = re.compile(r"roll\s+-\s*\d", re.IGNORECASE)
_CROSS = re.compile(r"\s*[x×*]\s*", re.IGNORECASE)


class Paper(NamedTuple):
    """What is printed on.

    Args:
        name: as people call it: "A4", "roll 36in", "900 x 1500 mm".
        width, height: upright (mm); of a roll its width, and the longest piece cut off it.
        roll: whether it is cut off as long as it is needed.
    """

    name: str
    width: float
    height: float
    roll: bool = False

    @property
    def slug(self) -> str:
        """The name for a file: "a4", "roll-36in"."""
        return re.sub(r"[^a-z0-9.]+", "-", self.name.lower()).strip("-")


def paper_named(text: str) -> Paper:
    """The paper of a name or of a width and height with units; ``InputError`` for any other.

    >>> paper_named("letter").width
    215.9
    >>> paper_named("36in x 5m")
    Paper(name='roll 36in', width=914.4, height=5000.0, roll=True)
    """
    if _MINUS.match(text.strip()):
        raise _refused(text)
    wanted = _plain(text)
    for name, (width, height) in SHEETS.items():
        if _plain(name) == wanted:
            return Paper(name, width, height)
    if wanted in ("safe", "a4letter", "lettera4"):
        return Paper("safe for A4 and Letter", *SAFE)
    for name, width in ROLLS.items():
        if wanted in (_plain(name), _plain(name).replace("roll", "") + "roll"):
            return Paper(name, width, LONGEST, True)
    if wanted.startswith("roll"):
        return _roll(text.strip()[4:].strip(" -:"), LONGEST, text)
    sides = _CROSS.split(text.strip())
    if len(sides) == 2 and all(sides):
        return _measured(sides[0], sides[1], text)
    raise InputError(
        "'{}' is no paper that is known here.".format(text.strip()),
        "Write one of {}, safe, {}, or a width and a height such as 900x1500mm.".format(
            ", ".join(SHEETS), ", ".join(ROLLS)
        ),
        code="paper",
    )


def _plain(text: str) -> str:
    return re.sub(r"[\s_-]+", "", text).lower()


def _measured(first: str, then: str, text: str) -> Paper:
    """A width and a height; where only the second names a unit it counts for both."""
    unit = re.sub(r"[\d\s.,/]", "", then).lower()
    width = parse_length(first, unit if unit in MILLIMETRES else "mm")
    height = parse_length(then)
    if not all(_LEAST <= side <= _MOST for side in (width, height)):
        raise _refused(text)
    if max(width, height) >= FROM_A_ROLL:
        return _roll("{}mm".format(write_number(min(width, height), 12)), max(width, height), text)
    return Paper(
        "{} x {} mm".format(write_number(width, 6), write_number(height, 6)),
        min(width, height),
        max(width, height),
    )


def _roll(width_text: str, longest: float, text: str) -> Paper:
    width = parse_length(width_text)
    if not _LEAST <= width <= _MOST:
        raise _refused(text)
    for name, known in ROLLS.items():
        if abs(known - width) < 0.05:
            return Paper(name, known, longest, True)
    return Paper("roll {}mm".format(write_number(width, 6)), width, longest, True)


def _refused(text: str) -> InputError:
    return InputError(
        "'{}' is too small or too large for a sheet of paper.".format(text.strip()),
        "Write both sides with their unit, each 100 mm or more, such as 900x1500mm.",
        code="paper",
    )
