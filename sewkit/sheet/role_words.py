"""What the words on a piece say: its name, how it is cut, what a line beside them is.

Words of English, German and French sheets; common practice, no source.
"""

import re
import unicodedata
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

# Parts of a garment: words that are the name of a piece more likely than a title.
_PARTS = """front back sleeve collar stand facing yoke cuff pocket flap lining waistband skirt bodice
side panel leg hood placket belt strap gusset trouser trousers pants vest waistcoat band tie binding bib
under upper top lapel insert godet cape peplum ruffle
vorderteil vordere vorder rückenteil rücken rückwärtiges ärmel kragen beleg passe manschette tasche bund
seitenteil kapuze gürtel futter blende rock hose steg
devant dos manche col parementure empiècement poignet poche ceinture doublure côté jupe pantalon capuche
""".split()

_MIDDLE = {"centre", "center", "mitte", "milieu"}

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
# "cut 2", "cut one pair", "couper 2"; "2 x", "2x zuschneiden", "zuschnitt 2x".
_CUTS = (
    re.compile(r"\b(?:cut|you need|couper|coupez)\s*:?\s*" + _COUNT + r"\b(\s*pairs?)?", re.I),
    re.compile(r"\b(?:zuschneiden|zuschnitt)\s*:?\s*" + _COUNT + r"\s*(?:x|×|mal)?", re.I),
    re.compile(_COUNT + r"\s*(?:x|×|mal|fois)(?:\s|$)", re.I),
)
_CUT_WORD = re.compile(r"\b(?:cut|you need|couper|coupez|zuschneiden|zuschnitt)\b", re.I)
# What is no name: sizes, lengths, instructions, the maker's small print.
_NO_NAME = re.compile(
    r"\b(?:cut|size|sizes|größe|grösse|taille|seam|allowance|included|nahtzugabe|test|square|inch|inches|mm|cm|"
    r"page|print|copyright|match|place|stitch|sew|ease|gather|notch|here|line|view|join|"
    r"www|http\S*)\b|©|@",
    re.I,
)
_PREFIX = re.compile(
    r"^\s*(?:(?:piece|pattern piece|teil|pièce|no\.?|nr\.?)\s*)?[#(]?(?:\d{1,2}|[A-Z])[a-z]?\s*[.):–—-]+\s*|"
    r"^\s*(?:(?:piece|pattern piece|teil|pièce|no\.?|nr\.?)\s*)?#?\d{1,2}\s+",
    re.I,
)

# A text of more words is a sentence and no name.
_MOST_WORDS = 5

# Text stands beside a line within this distance of its own middle (mm), and along it within
# this angle (degrees).
_BESIDE, _PARALLEL = 15.0, 10.0


class Cutting(NamedTuple):
    """How a piece is cut, as its words say: how many, of which cloth, whether on the fold."""

    count: int = 0
    cloth: str = ""
    fold: bool = False


class Name(NamedTuple):
    """A piece's name and its score; empty where no text will do."""

    text: str = ""
    score: float = 0.0


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


def piece_name(words: Sequence[Words], sizes: Sequence[str]) -> Name:
    """The name of a piece: the largest text that is a part's name, else the largest that may be.

    ``sizes``: names of sizes, which are no names of pieces.
    """
    options: List[Tuple[bool, float, str]] = []
    for text, height in _paragraphs(words):
        name = name_in(text)
        if name and name not in {size.lower() for size in sizes}:
            options.append((is_part(name), height, name))
    if not options:
        return Name()
    part, height, name = max(options, key=lambda option: option[:2])
    tallest = max(option[1] for option in options)
    rivals = [other for other in options if other[:2] == (part, height) and other[2] != name]
    # How large it is beside the largest text, and whether another one has as good a claim.
    value = (0.95 if part else 0.6) * (0.5 + 0.5 * height / tallest) / (1 + len(rivals))
    return Name(name, value)


def _paragraphs(words: Sequence[Words]) -> List[Tuple[str, float]]:
    """Texts with their height; lines of one size right below each other also as one."""
    found = [(one.text, one.height) for one in words]
    for one in words:
        for other in words:
            down = np.array([-reading(one)[1], reading(one)[0]])
            step = np.array([other.x - one.x, other.y - one.y])
            alike = abs(one.height - other.height) < 0.05 * one.height and abs(one.angle - other.angle) < 1.0
            below = 0.8 < float(step @ down) / max(one.height, 1e-9) < 1.7
            near = abs(float(along(middle_of(other), middle_of(one), reading(one)))) < 3.0 * one.height
            names = [name_in(text) for text in (one.text, other.text)]
            if alike and below and near and all(names) and all(map(is_part, names)):
                # A little taller, so that both lines together win over either.
                found.append((one.text + " " + other.text, one.height * 1.001))
    return found


def name_in(text: str) -> str:
    """The piece's name in a text: "1 Front - cut 2" is "front"; empty where there is none."""
    text = _PREFIX.sub("", unicodedata.normalize("NFC", text))
    for mark in (*_CUTS, _CUT_WORD):
        match = mark.search(text)
        if match:
            text = text[: match.start()]
    if _NO_NAME.search(text) or says(text, GRAIN_WORDS + LENGTHEN_WORDS + FOLD_WORDS + APEX_WORDS):
        return ""
    if len(text.split()) > _MOST_WORDS:
        return ""
    name = re.sub(r"[\W_]+", "-", text.lower()).strip("-")
    letters = sum(sign.isalpha() for sign in name)
    return name if letters >= 2 and len(name) <= 40 and letters >= len(name) / 2 else ""


def is_part(name: str) -> bool:
    """Whether a name holds a word for a part of a garment.

    "Centre front" is more often what an edge is called.
    """
    words = name.split("-")
    return any(word in _PARTS for word in words) and not _MIDDLE.intersection(words)


def size_of(words: Words, sizes: Sequence[str], layers: Dict[str, str]) -> str:
    """The size a text belongs to: it is the size's own name, or lies in its layer."""
    if words.text.strip() in sizes:
        return words.text.strip()
    found: Optional[str] = next((layers[one] for one in reversed(words.layers) if one in layers), None)
    return found or ""
