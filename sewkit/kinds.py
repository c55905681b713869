"""The kinds of values that an operation takes.

A kind knows the words of a value, its limits, and how it is read from and written as text.
"""

import math
import re
from typing import Any, Dict, Mapping, Optional

from sewkit.errors import InputError
from sewkit.units import parse_length, write_number


class Kind:
    """One sort of value: its words, its limits, its text form.

    Args:
        label: the words in front of the field, as in the dialog.
        help: what it means, in a few words that go on from the label.
    """

    def __init__(self, label: str, help: str = "") -> None:
        self.label = label
        self.help = help

    def parse(self, value: Any, unit: str = "mm") -> Any:
        """The value from text (or from a value already read); ``InputError`` if it is none."""
        return self.check(value)

    def write(self, value: Any) -> str:
        """The text from which ``parse`` gives the value back."""
        return str(value)

    def check(self, value: Any) -> Any:
        """The value, or ``InputError`` where it is outside the limits."""
        return value

    def refuse(self, value: Any, wanted: str) -> InputError:
        """The error for a value that does not fit."""
        text = "{}: {!r} does not fit; it takes {}.".format(self.label, value, wanted)
        return InputError(text, code="value")


class Number(Kind):
    """A number with limits; the base of lengths and percentages."""

    unit = ""

    def __init__(self, label: str, help: str = "", least: float = 0.0, most: float = 1000.0) -> None:
        super().__init__(label, help)
        self.least = float(least)
        self.most = float(most)

    def parse(self, value: Any, unit: str = "mm") -> float:
        if isinstance(value, str):
            try:
                value = float(value.replace(",", "."))
            except ValueError:
                raise self.refuse(value, "a number") from None
        return self.check(value)

    def write(self, value: float) -> str:
        return write_number(value, 12)

    def check(self, value: Any) -> float:
        if isinstance(value, bool) or not hasattr(value, "__float__"):
            raise self.refuse(value, "a number")
        value = float(value)
        if not (math.isfinite(value) and self.least <= value <= self.most):
            limits = "{} to {}{}".format(write_number(self.least), write_number(self.most), self.unit)
            raise self.refuse(value if not math.isfinite(value) else write_number(value), limits)
        return value


class Length(Number):
    """A length in mm; text may carry a unit or a fraction: 15, 1.5cm, 5/8in.

    ``optional``: it may be left out (None, empty text) and then means what its help says.  In
    the dialog it is a field for text, for a number field cannot be empty.
    """

    unit = " mm"

    def __init__(
        self,
        label: str,
        help: str = "",
        least: float = 0.0,
        most: float = 1000.0,
        optional: bool = False,
    ) -> None:
        super().__init__(label, help, least, most)
        self.optional = optional

    def parse(self, value: Any, unit: str = "mm") -> Optional[float]:  # type: ignore[override]
        if isinstance(value, str):
            left_out = self.optional and not value.strip()
            value = None if left_out else parse_length(value, unit)
        return self.check(value)

    def write(self, value: Optional[float]) -> str:
        return "" if value is None else super().write(value)

    def check(self, value: Any) -> Optional[float]:  # type: ignore[override]
        return None if value is None and self.optional else super().check(value)


class Percent(Number):
    """A share in percent."""

    unit = " %"


class Count(Number):
    """A whole number."""

    def parse(self, value: Any, unit: str = "mm") -> int:
        return int(super().parse(value, unit))

    def check(self, value: Any) -> int:
        value = super().check(value)
        if value != int(value):
            raise self.refuse(value, "a whole number")
        return int(value)


class Flag(Kind):
    """Yes or no."""

    def parse(self, value: Any, unit: str = "mm") -> bool:
        if isinstance(value, str):
            words = {"true": True, "yes": True, "1": True, "false": False, "no": False, "0": False}
            if value.strip().lower() not in words:
                raise self.refuse(value, "yes or no")
            return words[value.strip().lower()]
        return self.check(value)

    def write(self, value: bool) -> str:
        return "true" if value else "false"

    def check(self, value: Any) -> bool:
        if not isinstance(value, bool):
            raise self.refuse(value, "yes or no")
        return value


class Choice(Kind):
    """One of a few words; ``options`` maps each word to what the dialog shows."""

    def __init__(self, label: str, help: str, options: Mapping[str, str]) -> None:
        super().__init__(label, help)
        self.options = dict(options)

    def check(self, value: Any) -> str:
        if not isinstance(value, str) or value not in self.options:
            raise self.refuse(value, "one of: " + ", ".join(self.options))
        return value


class Text(Kind):
    """Free words; names of edges, levels, sizes."""

    def parse(self, value: Any, unit: str = "mm") -> str:
        words = value if isinstance(value, (list, tuple)) else [value]
        if any(isinstance(word, bool) or not isinstance(word, (str, int, float)) for word in words):
            raise self.refuse(value, "words")
        return " ".join(str(word).strip() for word in words)

    def check(self, value: Any) -> str:
        if not isinstance(value, str):
            raise self.refuse(value, "words")
        return value


# A number, or one behind a name and a plus sign, with no unit behind it: 120, 1/2, waist+20.
_BARE = re.compile(r"(?:[^\s\d]\S*\+|[+-]?)[\d.,/½¼¾⅛⅜⅝⅞]*[\d½¼¾⅛⅜⅝⅞]")
_UNITS = {"cm": "centimetres", "in": "inches"}
# What goes on with the number before it: a unit, a share, a fraction.
_GOES_ON = re.compile(r"(?:mm|cm|m|in|inch|inches|pt|px)$|[%\"″½¼¾⅛⅜⅝⅞]|\d+/", re.I)


class Places(Text):
    """Places in words: lengths, shares, levels and notches by name.

    A number without a unit is in millimetres, or a notch that is called so.  Where lengths are
    typed in another unit it is refused, for nobody could tell which was meant.
    """

    def parse(self, value: Any, unit: str = "mm") -> str:
        text = super().parse(value, unit)
        words = text.replace(";", " ").split() if unit != "mm" else []
        for before, word, behind in zip(["", *words], words, [*words[1:], ""]):
            goes_on = before.lower() == "notch" or _GOES_ON.match(behind)
            if _BARE.fullmatch(word) and not goes_on:
                said = "{}: '{}' says no unit, and other lengths are in {}."
                raise InputError(
                    said.format(self.label, word, _UNITS.get(unit, unit)),
                    "Write {0}{1} or {0}mm; a notch of that name is notch {0}.".format(word, unit),
                    code="unit",
                )
        return text


class SheetText(str):
    """The text of a sheet; ``given``: the name of the file it came from, as somebody wrote it.

    Text that came from no file has none.
    """

    given = ""

    @classmethod
    def of(cls, text: str, given: str) -> "SheetText":
        """The text that stands in a file of that name."""
        made = cls(text)
        made.given = given
        return made


class Sheet(Text):
    """The text of a small file, such as a measure sheet or a size chart.

    A Python function takes the text itself.  Everybody else names the file, and whoever
    stands at that door reads it (``files.plain_text.sheet_text``).  A recipe keeps the name;
    what came from no file is written out, and is told from a name by its line ends.
    """

    def parse(self, value: Any, unit: str = "mm") -> str:
        return self.check(value)

    def write(self, value: str) -> str:
        given = getattr(value, "given", "")
        return given or (value and value + "\n")


# One name=length, up to the next one; the length may hold blanks, as 36 1/2 in does, and
# a comma between digits, as 1,5cm does.
_NAMED_LENGTH = r"([^\s=,;]+)\s*=\s*((?:[^=,;]|(?<=\d),(?=\d))+?)(?:[\s,;]+(?=[^\s=,;]+\s*=)|[\s,;]*$)"


class LengthsByName(Kind):
    """Lengths for named things: ``side=25 hem=1.5in``; the value maps names to mm."""

    def __init__(self, label: str, help: str = "", least: float = 0.0, most: float = 1000.0) -> None:
        super().__init__(label, help)
        self.one = Length(label, "", least, most)

    def parse(self, value: Any, unit: str = "mm") -> Dict[str, float]:
        if not isinstance(value, str):
            return self.check(value)
        found: Dict[str, float] = {}
        rest = value.strip()
        while rest:
            match = re.match(_NAMED_LENGTH, rest)
            if match is None:
                raise self.refuse(rest, "name=length, such as side=25 hem=1.5in")
            found[match.group(1)] = self.one.parse(match.group(2), unit)
            rest = rest[match.end() :]
        return self.check(found)

    def write(self, value: Mapping[str, float]) -> str:
        return " ".join("{}={}".format(name, self.one.write(mm)) for name, mm in value.items())

    def check(self, value: Any) -> Dict[str, float]:
        if not isinstance(value, Mapping):
            raise self.refuse(value, "name=length pairs")
        return {str(name): self.one.parse(mm) for name, mm in value.items()}
