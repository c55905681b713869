"""One measure as somebody wrote it: one or two readings, in any unit, or in none.

96        36 1/2 in       96,5 cm       5 ft 10       96 / 97      (two readings)
"""

import re
from typing import NamedTuple, Optional, Tuple

from sewkit.errors import InputError
from sewkit.units import MILLIMETRES, parse_length

# The units that people are measured in.
UNITS = ("mm", "cm", "m", "in")
SHOWN = {"in": "inches", "cm": "cm", "mm": "mm", "m": "m"}
_OTHER_NAMES = {
    '"': "in",
    "″": "in",
    "inch": "in",
    "inches": "in",
    "centimetre": "cm",
    "centimetres": "cm",
    "centimeters": "cm",
    "millimetres": "mm",
    "millimeters": "mm",
    "metres": "m",
    "meters": "m",
}

_TAIL = re.compile(r'[a-zA-Z"″]+\.?$')
_FEET = re.compile(
    r"""^(?P<feet>\d+)\s*(?:ft\.?|feet|foot|'|′)\s*
        (?:(?P<rest>\d[\d\s/.,¼½¾⅛⅜⅝⅞-]*)\s*(?:in\.?|inch|inches|"|″|'')?)?$""",
    re.VERBOSE | re.IGNORECASE,
)
_INCHES_IN_A_FOOT = 12

# Two readings have a stroke or a word between them.  5/8 is a fraction: a tape shows halves
# to sixty-fourths, so 96/97 is none.
_TWO = re.compile(r"\s+(?:/|and)\s+")
_STROKE = re.compile(r"^(\d+(?:[.,]\d+)?)/(\d+(?:[.,]\d+)?)(?!\d)(.*)$")
_PARTS = {"2", "4", "8", "16", "32", "64"}


class WrittenLength(NamedTuple):
    """What stood there.

    Args:
        text: as it was written, without its unit.
        unit: the unit that it names, or "".
        implied: whether nobody wrote the unit: a fraction counts in inches.
    """

    text: str
    unit: str
    implied: bool = False

    def millimetres(self, unit: str) -> float:
        """Its length in mm; ``unit`` counts where it names none."""
        return parse_length(self.text, self.unit or unit)

    def shown(self, unit: str) -> str:
        """As it was written, with the unit it was read in."""
        return "{} {}".format(self.text, self.unit or unit)


def check_unit(words: str) -> str:
    """The short name of a unit for measuring people; ``InputError`` for another."""
    plain = words.strip().lower().rstrip(".")
    plain = _OTHER_NAMES.get(plain, plain)
    if plain not in UNITS:
        raise InputError(
            "'{}' is no unit that people are measured in.".format(words.strip()),
            "Write cm, mm, m or in.",
            code="unit",
        )
    return plain


def unit_or_none(words: str) -> Optional[str]:
    """The short name of a unit, or None where the words are no unit."""
    try:
        return check_unit(words)
    except InputError:
        return None


def read_written(text: str) -> Tuple[WrittenLength, ...]:
    """One reading or two; ``InputError`` where it is no length or not more than nothing."""
    stroke = _STROKE.match(text.strip())
    if stroke is not None and stroke.group(2) not in _PARTS:
        text = "{} / {}{}".format(*stroke.groups())
    readings = [_one(part) for part in _TWO.split(text.strip())]
    return tuple(one if one.unit else one._replace(unit=readings[-1].unit) for one in readings)


def _one(text: str) -> WrittenLength:
    text = text.strip()
    feet = _FEET.match(text)
    if feet is not None:
        inches = int(feet.group("feet")) * _INCHES_IN_A_FOOT
        rest = parse_length((feet.group("rest") or "0").strip(), "in") / MILLIMETRES["in"]
        return WrittenLength("{:g}".format(inches + rest), "in")
    tail = _TAIL.search(text)
    number = text[: tail.start()].strip() if tail is not None else text
    unit = check_unit(tail.group()) if tail is not None and number else ""
    if not number:
        raise InputError("'{}' is no length.".format(text), "Write a number, such as 96.5 cm.", code="unit")
    # Nobody measures 5/8 cm.
    implied = not unit and ("/" in number or any(sign in number for sign in "¼½¾⅛⅜⅝⅞"))
    found = WrittenLength(number, "in" if implied else unit, implied)
    if not found.millimetres("cm") > 0:
        raise InputError("'{}' is no measure of a body.".format(text), "Write more than 0.", code="value")
    return found
