"""Lengths as people write them, to millimetres and back.

Inside sewkit a length is a float in millimetres.  Only the text borders (command
line, recipe, dialog, table) know other units, and they all come through here.
"""

import math
import re
from typing import Dict, Optional

from sewkit.errors import InputError

# Exact by definition: the inch (1959 agreement) and its parts; CSS pixel = 1/96 in.
MILLIMETRES: Dict[str, float] = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": 25.4,
    "pt": 25.4 / 72.0,
    "px": 25.4 / 96.0,
}
_MARKS = {'"': "in", "″": "in", "inch": "in", "inches": "in"}
_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_LENGTH = re.compile(
    r"""^\s*(?P<sign>[-+−])?\s*
        (?:(?P<whole>\d+)[\s-]+(?P<top>\d+)/(?P<bottom>\d+)      # 36 1/2
          |(?P<alone_top>\d+)/(?P<alone_bottom>\d+)              # 5/8
          |(?P<decimal>\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE](?P<power>[-+]?\d+))?)
        \s*(?P<unit>[a-zA-Z"″]*)\s*$""",
    re.VERBOSE,
)


def parse_length(text: str, unit: str = "mm") -> float:
    """Read a length in millimetres from what a person typed.

    ``unit`` is taken where the text names none.  Fractions are exact and 5/8 in
    stays 15.875 mm; it is never rounded to 15.  Without a unit a fraction counts in
    inches or not at all: nobody measures 5/8 mm.

    >>> parse_length("5/8in")
    15.875
    >>> round(parse_length("36 1/2", unit="in"), 9)
    927.1
    >>> parse_length("1,5 cm")
    15.0
    """
    shown = text
    for sign, written in _FRACTIONS.items():
        text = text.replace(sign, " " + written)
    match = _LENGTH.match(text)
    if match is None:
        raise InputError(
            "'{}' is not a length.".format(shown),
            "Write a number and, unless it is {}, its unit: 15, 1.5cm, 5/8in, 36 1/2in.".format(unit),
            code="unit",
        )
    name = match.group("unit").lower() or unit
    name = _MARKS.get(name, name)
    if name not in MILLIMETRES:
        raise InputError(
            "'{}' has the unit '{}', which is not known.".format(shown, match.group("unit")),
            "Use mm, cm, m, in, pt or px.",
            code="unit",
        )
    length = _sign(match) * _amount(match, shown) * MILLIMETRES[name]
    if not math.isfinite(length):
        raise InputError("'{}' is longer than anything.".format(shown), "Write less.", code="unit")
    if match.group("decimal") is None and not match.group("unit") and name != "in":
        said = shown.strip()
        raise InputError("{} of what?".format(said), "Write {}in.".format(said), code="unit")
    return length


def _sign(match: "re.Match[str]") -> float:
    return -1.0 if match.group("sign") in ("-", "−") else 1.0


def _amount(match: "re.Match[str]", shown: str) -> float:
    top = match.group("top") or match.group("alone_top")
    bottom = match.group("bottom") or match.group("alone_bottom")
    if top is None:
        return float("{}e{}".format(match.group("decimal").replace(",", "."), match.group("power") or 0))
    if int(bottom) == 0:
        raise InputError("'{}' divides by nothing.".format(shown), code="unit")
    return float(match.group("whole") or 0) + float(top) / float(bottom)


def write_number(value: float, digits: int = 10) -> str:
    """Write a number shortly and without loss beyond ``digits`` significant digits.

    >>> write_number(20.0), write_number(-0.0), write_number(1 / 3)
    ('20', '0', '0.3333333333')
    """
    if not math.isfinite(value):
        raise ValueError("not a finite number: {!r}".format(value))
    text = "%.*g" % (digits, value)
    if "e" in text:
        # Twenty decimals at most: what is smaller is nothing on any sheet.
        decimals = min(max(digits - 1 - int(text.partition("e")[2]), 0), 20)
        text = "%.*f" % (decimals, value)
        text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def write_length(value: float, unit: str = "mm", decimals: Optional[int] = None) -> str:
    """Write millimetres for a person, in ``unit``.

    >>> write_length(15.875, "in"), write_length(12.345, decimals=1)
    ('0.625 in', '12.3 mm')
    """
    amount = value / MILLIMETRES[unit]
    if decimals is not None:  # what differs by rounding alone reads alike
        amount = round(amount, decimals + 4)
    text = write_number(amount) if decimals is None else "%.*f" % (decimals, amount)
    if decimals is not None and float(text) == 0:
        text = text.replace("-", "")
    return "{} {}".format(text, unit)


def nearest_eighth(value: float) -> str:
    """Write millimetres as inches to the nearest eighth, as a tape shows them.

    >>> nearest_eighth(15.875), nearest_eighth(51.0), nearest_eighth(0.4)
    ('5/8 in', '2 in', '0 in')
    """
    return _nearest_part(value, 8)


def in_both(value: float) -> str:
    """Write a distance in mm and in inches, to the nearest eighth, without its sign.

    >>> in_both(-20.0)
    '20.0 mm (3/4 in)'
    """
    return "{} ({})".format(write_length(abs(value), decimals=1), nearest_eighth(abs(value)))


_IN_MM = re.compile(r"(?<![\d.])([-+−]?\d+(?:\.\d+)?) mm(?! \()")


def with_inches(text: str) -> str:
    """Each length in mm of a text followed by its inches, to the nearest eighth.

    A length that has them already, or is less than half an eighth, stays as it is.

    >>> with_inches("side: 19.6 mm longer (3/4 in)"), with_inches("waist-dart +10 mm wider")
    ('side: 19.6 mm longer (3/4 in)', 'waist-dart +10 mm (3/8 in) wider')
    """
    if " in)" in text:
        return text

    def both(found: "re.Match[str]") -> str:
        inches = nearest_eighth(abs(float(found.group(1).replace("−", "-"))))
        return found.group() if inches == "0 in" else "{} ({})".format(found.group(), inches)

    return _IN_MM.sub(both, text)


def nearest_sixteenth(value: float) -> str:
    """Write millimetres as inches to the nearest sixteenth, the finest line of most tapes.

    >>> nearest_sixteenth(1.9), nearest_sixteenth(9.5)
    ('1/16 in', '3/8 in')
    """
    return _nearest_part(value, 16)


def _nearest_part(value: float, parts: int) -> str:
    count = int(math.floor(abs(value) / 25.4 * parts + 0.5))
    sign = "-" if value < 0 and count else ""
    whole, part = divmod(count, parts)
    if part == 0:
        return "{}{} in".format(sign, whole)
    divisor = math.gcd(part, parts)
    fraction = "{}/{}".format(part // divisor, parts // divisor)
    return "{}{} in".format(sign, fraction if whole == 0 else "{} {}".format(whole, fraction))
