"""A measure of a body, found by any of the names that the trade has for it."""

import difflib
from typing import Dict, List, Optional

from sewkit.body.measure_table import GIRTH, HEIGHT, LENGTH, MEASURES, Measure
from sewkit.errors import InputError

__all__ = [
    "GIRTH",
    "HEIGHT",
    "LENGTH",
    "MEASURES",
    "Measure",
    "known_measure",
    "measure_named",
    "nearest_names",
    "plain_words",
]


def plain_words(words: str) -> str:
    """Words without capitals, hyphens, underscores and doubled blanks, so that spellings meet.

    >>> plain_words(" Back_waist-Length ")
    'back waist length'
    """
    return " ".join(words.lower().replace("-", " ").replace("_", " ").replace("’", "'").split())


def _by_words() -> Dict[str, Measure]:
    found: Dict[str, Measure] = {}
    for measure in MEASURES:
        for words in (measure.name, *measure.words):
            found[plain_words(words)] = measure
    return found


_BY_WORDS = _by_words()

# How alike two spellings must be to be offered, 1 being the same: one slip in a short
# word (common practice; the value that difflib itself names for a close match is 0.6).
_ALIKE = 0.72


def known_measure(words: str) -> Optional[Measure]:
    """The measure of that name, or None."""
    plain = plain_words(words)
    found = _BY_WORDS.get(plain)
    if found is None and plain.endswith(" girth"):
        found = _BY_WORDS.get(plain[: -len(" girth")])
    return found


def nearest_names(words: str) -> List[str]:
    """The names, three at most, that are spelled most like these words; nearest first."""
    close = difflib.get_close_matches(plain_words(words), list(_BY_WORDS), 6, _ALIKE)
    return list(dict.fromkeys(_BY_WORDS[one].name for one in close))[:3]


def measure_named(words: str) -> Measure:
    """The measure that somebody calls so; capitals and hyphens do not matter.

    ``InputError`` names the nearest, or all there are.

    >>> measure_named("Nape-to-waist").name
    'back waist length'
    """
    found = known_measure(words)
    if found is not None:
        return found
    near = nearest_names(words)
    cure = "Did you mean {}?".format(" or ".join("'{}'".format(name) for name in near))
    if not near:
        cure = "The measures are: {}.".format(", ".join(measure.name for measure in MEASURES))
    raise InputError("'{}' is no measure that is known here.".format(words.strip()), cure, code="measure")
