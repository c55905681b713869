"""One step of a fit plan, in plain words that a recipe can hold."""

from typing import Mapping, NamedTuple, Tuple, Union

from sewkit.units import write_number

Value = Union[str, bool]


class PlannedStep(NamedTuple):
    """What to do, with what, on which pieces, and why.

    Args:
        do: the operation's name.
        values: its values by name, as a recipe writes them, such as "20 mm".
        pieces: the pieces that are picked; none picks what the operation finds by itself.
        why: one sentence for the report.
        need: the name of the need that it serves; empty for lengths and sizes.
    """

    do: str
    values: Mapping[str, Value]
    pieces: Tuple[str, ...]
    why: str
    need: str = ""


def in_mm(length: float) -> str:
    """A length as a recipe writes it.

    >>> in_mm(-12.0)
    '-12 mm'
    """
    return "{} mm".format(write_number(round(length, 3)))


def place(level: str, beyond: float = 0.0) -> str:
    """A place so far beyond a level (mm), in one word.

    >>> place("waist", 220.0), place("chest", -95.0), place("waist")
    ('waist+220mm', 'chest-95mm', 'waist')
    """
    away = round(beyond, 1)
    return "{}{}{}mm".format(level, "+" if away > 0 else "-", write_number(abs(away))) if away else level
