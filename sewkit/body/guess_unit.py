"""In which unit numbers without one were written: guessed for a whole sheet, never number by number.

A single number can lie: a chest of 58 is a slim child in cm and a stout man in inches.
All numbers of a sheet together seldom do.
"""

import statistics
from typing import Dict, Iterable, List, Tuple

from sewkit.body.measures import HEIGHT, known_measure
from sewkit.units import MILLIMETRES

# What an adult's chest reads in each unit; from and up to below (common practice).
_CHEST = (("in", 20.0, 60.0), ("cm", 60.0, 150.0), ("mm", 600.0, 1500.0))
_CHESTS = ("chest", "full bust", "high bust")

# What a child's chest, waist or hip reads; 36 in and 36 cm are both no child's (from memory).
_CHILDS_GIRTH = (("in", 15.0, 36.0), ("cm", 36.0, 110.0), ("mm", 360.0, 1100.0))
_CHILDS_GIRTHS = (*_CHESTS, "waist", "hip", "seat")

# What a height reads in each unit: nobody is 85 in tall, and who is 85 cm is two years old.
_HEIGHT = (("m", 0.4, 3.0), ("in", 36.0, 85.0), ("cm", 85.0, 250.0), ("mm", 400.0, 2500.0))


def guess_unit(numbers: Iterable[Tuple[str, float]], child: bool = False) -> str:
    """The unit, "mm", "cm", "in" or, for a height alone, "m", of bare numbers.

    Args:
        numbers: names of measures, and the numbers that stand there.
        child: whether they are a child's: then a small chest does not mean inches.

    The height decides, where it can be no other; then the chest; then in which unit most
    of the numbers are what adults have.  With nothing to go by: cm.
    """
    by_name: Dict[str, List[float]] = {}
    for name, number in numbers:
        by_name.setdefault(name, []).append(number)
    middle = {name: statistics.median(found) for name, found in by_name.items()}
    tall = middle.get(HEIGHT)
    if tall is not None:
        # A height in metres says nothing of the girths beside it.
        found = _within(_HEIGHT[1:] if len(middle) > 1 else _HEIGHT, tall)
        if found and not (found == "in" and child):
            return found
    names, table = (_CHILDS_GIRTHS, _CHILDS_GIRTH) if child else (_CHESTS, _CHEST)
    for name in names:
        found = _within(table, middle[name]) if name in middle else ""
        if found:
            return found
    return max(("cm", "in", "mm"), key=lambda unit: _usual(middle, unit))


def _within(table: Iterable[Tuple[str, float, float]], number: float) -> str:
    return next((unit for unit, least, below in table if least <= number < below), "")


def _usual(middle: Dict[str, float], unit: str) -> int:
    """How many of the measures are what adults have, if read in that unit."""
    return sum(is_usual(name, number * MILLIMETRES[unit]) for name, number in middle.items())


def is_usual(name: str, length: float) -> bool:
    """Whether adults are met with such a measure (mm); an unknown measure never counts."""
    measure = known_measure(name)
    return measure is not None and measure.least <= length <= measure.most
