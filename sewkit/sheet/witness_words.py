"""The words beside a witness: which sizes they name, and whether they speak of it."""

import math
import re
from typing import Iterable, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.sheet.drawn import Words
from sewkit.sheet.witness import INCH
from sewkit.units import parse_length

_UNITS = {"mm": 1.0, "cm": 10.0, "in": INCH}
_NAMES = {
    "mm": r"mm|millimet(?:er|re)s?|millimètres?",
    "cm": r"cms?|[cz]entimet(?:er|re)s?|centimètres?",
    "in": r"inch(?:es)?|ins?|zoll|pouces?|pulgadas?|duim|\"|″|”|“|''|’’",
}
_ANY = "|".join(_NAMES.values())
_UNIT = r"(?:(?:{})(?![a-zäöüéè]))".format(_ANY)
_PART = r"[¼½¾⅛⅜⅝⅞]"
_NUMBER = r"(?:\d+[\s-]+\d+/\d+|\d+/\d+|\d*\s?{}|\d+(?:[.,]\d+)?)".format(_PART)
_TIMES = r"\s*(?:x|×|\*|by)\s*"
_PAIR = re.compile("({n})\\s*({u})?{t}({n})\\s*({u})".format(n=_NUMBER, u=_UNIT, t=_TIMES), re.IGNORECASE)
_SINGLE = re.compile("(?<![\\d.,/])({n})\\s*-?({u})".format(n=_NUMBER, u=_UNIT), re.IGNORECASE)
_LABEL = re.compile("^\\s*({n})\\s*({u})?\\s*$".format(n=_NUMBER, u=_UNIT), re.IGNORECASE)
_ALONE = re.compile("(?<![a-zäöüé\\d])({u})".format(u=_UNIT), re.IGNORECASE)

# Beginnings of words by which makers call a test square or a scale; seven languages, from
# memory.  A text with one of them speaks of the witness beside it.
_SPEAKING = re.compile(
    r"test|squar|scale|check|control|kontrol|quadra|carr[éeo]|cuadr|vierkant|ruler|lineal|"
    r"measure|print|ma(?:ß|ss)stab|[ée]chelle|escala|calib|impri|druck|actual size|1\s*:\s*1",
    re.IGNORECASE,
)
# A text with one of these speaks of sewing, whatever length it names.
_SEWING = re.compile(
    r"allowance|hem\b|seam|naht|saum|couture|ourlet|costura|margin|overlap|ease\b|elastic|button",
    re.IGNORECASE,
)
# What may stand beside a size without changing what it says.
_FILLING = re.compile(r"[\s/()\[\]=~≈,.;:|&+–—-]|\b(?:or|oder|ou|o|und|and|et|y|about|ca|x)\b", re.IGNORECASE)

# Letters are about half as wide as high, where the fonts tell no width.
_LETTER = 0.5
# Runs of text on one baseline nearer than this are one text (share of the letters' height).
_JOINED, _SPACE = 0.9, 0.12


class Text(NamedTuple):
    """A line of text: three points of it (mm): its start, middle and end at half height."""

    text: str
    points: np.ndarray
    sizes: Tuple[Tuple[float, float], ...]
    speaks: bool

    @property
    def says_size(self) -> bool:
        """Whether it names a size, and the size of what is drawn beside it."""
        return bool(self.sizes) and (self.speaks or says_only_size(self.text))


def sizes_in(text: str) -> Tuple[Tuple[float, float], ...]:
    """The sizes a text names, as (across, down) in mm, in order, each once.

    >>> sizes_in('TEST SQUARE 10CM / 4"')
    ((100.0, 100.0), (101.6, 101.6))
    >>> sizes_in("5 x 2,5 cm")
    ((50.0, 25.0),)
    """
    found: List[Tuple[float, float]] = []
    rest = text
    for match in _PAIR.finditer(text):
        a, first, b, second = match.groups()
        pair = (_length(a, first or second), _length(b, second))
        found += [pair] if min(pair) > 0 else []
    rest = _PAIR.sub(" ", rest)
    for match in _SINGLE.finditer(rest):
        length = _length(*match.groups())
        found += [(length, length)] if length > 0 else []
    return tuple(dict.fromkeys(found))


def _length(number: str, unit: str) -> float:
    """Millimetres, to twelve digits so that 10 cm and 100 mm are the same; 0 where it is none."""
    try:
        return float("%.12g" % parse_length(number.strip() + unit_of(unit)))
    except InputError:
        return 0.0


def unit_of(text: str) -> str:
    """mm, cm or in, for however that was written; empty where it is none of them."""
    for unit, names in _NAMES.items():
        if re.match("(?:{})$".format(names), text.strip(), re.IGNORECASE):
            return unit
    return ""


def unit_in(text: str) -> str:
    """The first unit that stands in a text, with or without a number; empty without one."""
    match = _SINGLE.search(text) or _ALONE.search(text)
    return unit_of(match.groups()[-1]) if match else ""


def unit_length(unit: str) -> float:
    """Millimetres of one unit."""
    return _UNITS[unit]


def says_only_size(text: str) -> bool:
    """Whether a text is a size and nothing else, as "10 x 10 cm" or '4" (10.2 cm)' is."""
    rest = _SINGLE.sub(" ", _PAIR.sub(" ", text))
    return not _FILLING.sub("", rest) and bool(sizes_in(text))


def says_only_unit(text: str) -> bool:
    """Whether a text is a unit and nothing else, with or without a number: "cm", "6 inches"."""
    rest = _ALONE.sub(" ", _SINGLE.sub(" ", text))
    return not _FILLING.sub("", rest) and bool(unit_in(text))


def label(text: str) -> Optional[Tuple[float, str]]:
    """The number of a ruler's label and its unit, empty where it has none; None for other text."""
    match = _LABEL.match(text)
    if match is None:
        return None
    number, unit = match.groups()
    try:  # as inches, so that a fraction without a unit is read
        return parse_length(number.strip() + "in") / INCH, unit_of(unit or "")
    except InputError:
        return None


def texts_of(words: Sequence[Words]) -> Tuple[Text, ...]:
    """All words of a page, put together to lines of text."""
    found: List[List[Words]] = []
    for one in sorted(words, key=_reading_order):
        if found and _follows(found[-1][-1], one):
            found[-1].append(one)
        else:
            found.append([one])
    return tuple(_text(line) for line in found)


def texts_as_drawn(words: Iterable[Words]) -> Tuple[Text, ...]:
    """Every run of words as a text of its own, as the numbers of a ruler stand."""
    return tuple(_text([one]) for one in words)


def _ways(one: Words) -> Tuple[np.ndarray, np.ndarray]:
    """Along the line of reading, and down from it."""
    angle = math.radians(one.angle)
    return np.array([math.cos(angle), math.sin(angle)]), np.array([-math.sin(angle), math.cos(angle)])


def _width(one: Words) -> float:
    return one.width if one.width > 0 else _LETTER * one.height * len(one.text)


def _reading_order(one: Words) -> Tuple[float, float, float]:
    along, down = _ways(one)
    spot = np.array([one.x, one.y])
    line = round(float(spot @ down) / max(0.25 * one.height, 0.1))
    return round(one.angle, 1), line, float(spot @ along)


def _follows(one: Words, other: Words) -> bool:
    along, down = _ways(one)
    apart = np.array([other.x - one.x, other.y - one.y])
    gap = float(apart @ along) - _width(one)
    level = abs(float(apart @ down)) < 0.3 * one.height
    like = abs(one.angle - other.angle) < 1.0 and abs(one.height - other.height) < 0.3 * one.height
    return level and like and -0.5 * one.height < gap < _JOINED * one.height


def _text(line: Sequence[Words]) -> Text:
    text = line[0].text
    for one, other in zip(line, line[1:]):
        along, _ = _ways(one)
        gap = float(np.array([other.x - one.x, other.y - one.y]) @ along) - _width(one)
        text += (" " if gap > _SPACE * one.height else "") + other.text
    first, last = line[0], line[-1]
    (along, down), (ahead, _) = _ways(first), _ways(last)
    lift = -0.35 * first.height * down
    start = np.array([first.x, first.y]) + lift
    end = np.array([last.x, last.y]) + ahead * _width(last) + lift
    speaks = bool(_SPEAKING.search(text)) and not _SEWING.search(text)
    return Text(text.strip(), np.array([start, (start + end) / 2, end]), sizes_in(text), speaks)
