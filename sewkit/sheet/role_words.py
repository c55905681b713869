"""What the words on a piece say: how it is cut, what a line beside them is.

Words of English, German and French sheets; common practice, no source.
"""

import re
from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import along, angle_between, aside

# What a line is, by the words beside it; each entry is the beginning of a word.
GRAIN_WORDS = ("grain", "straight of goods", "fadenlauf", "droit fil", "droit-fil")
FOLD_WORDS = ("fold", "bruch", "stoffbruch", "fadenbruch", "pli", "pliure")
LENGTHEN_WORDS = (
    "lengthen",
    "shorten",
    "adjust length",
    "verlängern",
    "kürzen",
    "rallonger",
    "raccourcir",
    "allonger",
)
DART_WORDS = ("dart", "abnäher", "pince")
APEX_WORDS = ("apex", "bust point", "brustpunkt", "pointe de poitrine")
BUTTON_WORDS = ("button", "knopf", "bouton", "snap")
BUTTONHOLE_WORDS = ("buttonhole", "button hole", "knopfloch", "boutonnière")
POCKET_WORDS = ("pocket", "tasche", "poche")
LEVELS: Dict[str, Tuple[str, ...]] = {
    "waist": ("waist", "taille"),
    "high-hip": ("high hip",),
    "hip": ("hip", "hüft", "hanche"),
    "bust": ("bust", "poitrine"),
    "chest": ("chest", "brust"),
    "knee": ("knee", "knie", "genou"),
    "elbow": ("elbow", "ellbogen", "ellenbogen", "coude"),
}

_CLOTHS: Dict[str, Tuple[str, ...]] = {
    "lining": ("lining", "futter", "doublure"),
    "interfacing": ("interfacing", "fusible", "einlage", "vlieseline", "entoilage", "thermocollant"),
    "contrast": ("contrast", "kontrast"),
    "main": ("fabric", "main", "self", "shell", "outer", "oberstoff", "stoff", "tissu"),
}
_NUMBERS = {
    "once": 1,
    "twice": 2,
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "six": 6,
    "eight": 8,
    "un": 1,
    "deux": 2,
}
_COUNT = r"(\d{1,2}|" + "|".join(_NUMBERS) + r")"
# "cut 2", "cut one pair", "couper 2"; "2 x", "2x zuschneiden", "zuschnitt 2x"; "only one needed".
_ORDER = r"\b(?:cut|you(?:'ll|’ll| will)? need|couper|coupez)"
_CUTS = (
    re.compile(_ORDER + r"\s*:?\s*" + _COUNT + r"\b(\s*pairs?)?", re.I),
    re.compile(r"\b(?:zuschneiden|zuschnitt)\s*:?\s*" + _COUNT + r"\s*(?:x|×|mal)?", re.I),
    re.compile(_COUNT + r"\s*(?:x|×|mal|fois)(?=[\s),;.]|$)", re.I),
    re.compile(r"\b(?:(?:only|nur)\s+)?" + _COUNT + r"\s+(?:needed|required|benötigt|nötig)\b", re.I),
)
_CUT_WORD = re.compile(_ORDER + r"\b|\b(?:zuschneiden|zuschnitt)\b", re.I)

# Text stands beside a line within this distance of its own middle (mm), and along it within
# this angle (degrees).
_BESIDE, _PARALLEL = 15.0, 10.0


class Cutting(NamedTuple):
    """How a piece is cut, as its words say: how many, of which cloth, whether on the fold."""

    count: int = 0
    cloth: str = ""
    fold: bool = False


def says(text: str, wanted: Sequence[str]) -> bool:
    """Whether one of the words begins somewhere in the text."""
    return any(re.search(r"\b" + re.escape(word), text, re.I) for word in wanted)


def level_named(text: str) -> str:
    """The level a text names; empty where it names none, or several."""
    found = [name for name, wanted in LEVELS.items() if says(text, wanted)]
    return "high-hip" if "high-hip" in found else found[0] if len(found) == 1 else ""


def middle_of(words: Words) -> np.ndarray:
    """The middle of a run of text, (2,) mm; its width is guessed where the file tells none."""
    way = reading(words)
    width = words.width or 0.5 * words.height * len(words.text)
    # Up from the baseline by half a small letter's height, a quarter of the type size.
    return np.array([words.x, words.y]) + way * width / 2 + np.array([way[1], -way[0]]) * words.height / 4


def reading(words: Words) -> np.ndarray:
    """The unit direction in which it is read, (2,)."""
    angle = np.radians(words.angle)
    return np.array([np.cos(angle), np.sin(angle)])


def beside(start: np.ndarray, end: np.ndarray, words: Sequence[Words], wanted: Sequence[str]) -> float:
    """How near (mm) the nearest such words stand along a line; infinite where none do."""
    length = float(np.hypot(*(end - start)))
    way = (end - start) / max(length, 1e-9)
    found = np.inf
    for one in words:
        middle = middle_of(one)
        off = abs(float(aside(middle, start, way)))
        at = float(along(middle, start, way))
        if off <= _BESIDE and -_BESIDE <= at <= length + _BESIDE and says(one.text, wanted):
            if angle_between(reading(one), way) <= _PARALLEL:
                found = min(found, off)
    return float(found)


def about(spot: np.ndarray, words: Sequence[Words], wanted: Sequence[str]) -> bool:
    """Whether such words stand beside a small mark."""
    return any(says(one.text, wanted) and _distance(one, spot) <= _BESIDE for one in words)


def _distance(words: Words, spot: np.ndarray) -> float:
    """How far a point is from the line on which the text stands (mm)."""
    way, start = reading(words), np.array([words.x, words.y])
    width = words.width or 0.5 * words.height * len(words.text)
    at = min(max(float(along(spot, start, way)), 0.0), width)
    return float(np.hypot(*(spot - start - at * way)))


def cutting(texts: Sequence[str]) -> Tuple[Cutting, ...]:
    """What the words say of the cutting, one for each time they do, in order."""
    found: List[Cutting] = []
    for text in texts:
        places = [match for pattern in _CUTS for match in pattern.finditer(text)]
        places = [m for m in places if not any(o is not m and _within(m, o) for o in places)]
        places.sort(key=lambda match: match.start())
        for place, following in zip(places, places[1:] + [None]):
            rest = text[place.start() : following.start() if following else None]
            word = place.group(1).lower()
            count = _NUMBERS.get(word) or int(word)
            pair = place.re.groups > 1 and place.group(2)
            found.append(Cutting(count * (2 if pair else 1), cloth_named(rest), says(rest, FOLD_WORDS)))
        if not places and _CUT_WORD.search(text) and says(text, FOLD_WORDS):
            found.append(Cutting(0, cloth_named(text), True))
    return tuple(one for one in found if one.count or one.fold)


def _within(match: "re.Match[str]", other: "re.Match[str]") -> bool:
    inside = other.start() <= match.start() < other.end()
    return inside and (other.start(), -other.end()) < (match.start(), -match.end())


def cloth_named(text: str) -> str:
    """The cloth a text names, as ``main`` or ``lining``; empty where it names none."""
    return next((cloth for cloth, wanted in _CLOTHS.items() if says(text, wanted)), "")


def instruction_at(text: str) -> int:
    """Where in a text the first word about cutting stands; its length where none does."""
    places = [mark.search(text) for mark in (*_CUTS, _CUT_WORD)]
    return min([match.start() for match in places if match] + [len(text)])


def size_of(words: Words, sizes: Sequence[str], layers: Dict[str, str]) -> str:
    """The size a text belongs to: it is the size's own name, or lies in its layer."""
    if words.text.strip() in sizes:
        return words.text.strip()
    found: Optional[str] = next((layers[one] for one in reversed(words.layers) if one in layers), None)
    return found or ""
