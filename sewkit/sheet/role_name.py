"""What a piece is called, by the words on it.

A name is a short phrase in large letters near the middle.  A word of the trade makes it surer
where the phrase consists of such words; a sentence that holds one is still no name.
Words of English, German and French sheets; common practice, no source.
"""

import re
import unicodedata
from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Box, Words
from sewkit.sheet.role_words import (
    APEX_WORDS,
    FOLD_WORDS,
    GRAIN_WORDS,
    LENGTHEN_WORDS,
    along,
    instruction_at,
    middle_of,
    reading,
    says,
)

# Parts of a garment: words that are the name of a piece more likely than a title.
_PARTS = """front back sleeve collar stand facing yoke cuff pocket flap lining waistband skirt bodice
side panel leg hood placket belt strap gusset trouser trousers pants vest waistcoat band tie binding bib
under upper top lapel insert godet cape peplum ruffle
vorderteil vordere vorder rückenteil rücken rückwärtiges ärmel kragen beleg passe manschette tasche bund
seitenteil kapuze gürtel futter blende rock hose steg
devant dos manche col parementure empiècement poignet poche ceinture doublure côté jupe pantalon capuche
""".split()
# Words that tell one part from the other: they are as good as the part's own, beside it.
_WHICH = """left right inner outer lower small large first second bottom
links rechts linker rechter linkes rechtes linke rechte oberer unterer oberes unteres obere untere
gauche droite droit supérieur inférieur""".split()
_MIDDLE = {"centre", "center", "mitte", "milieu"}

# What is no name: sizes, lengths, instructions, the maker's small print.
_NO_NAME = re.compile(
    r"\b(?:cut|size|sizes|größe|grösse|taille|seam|allowance|included|nahtzugabe|test|square|inch|inches|mm|cm|"
    r"page|print|copyright|match|place|stitch|sew|ease|gather|notch|here|line|view|join|"
    r"www|http\S*)\b|©|@",
    re.I,
)
# Words that make a sentence.
_SENTENCE = re.compile(
    r"\b(?:is|are|was|were|be|has|have|need|needs|needed|use|uses|do|does|don't|not|go|goes|make|makes|put|"
    r"pin|press|turn|leave|attach|see|read|this|these|that|them|they|you|your|it|if|"
    r"ist|sind|wird|werden|bitte|hier|nicht|siehe|nähen|est|sont|ici|voir|coudre|vous)\b",
    re.I,
)
_PREFIX = re.compile(
    r"^\s*(?:(?:piece|pattern piece|teil|pièce|no\.?|nr\.?)\s*)?[#(]?(?:\d{1,2}|[A-Z])[a-z]?\s*[.):–—-]+\s*|"
    r"^\s*(?:(?:piece|pattern piece|teil|pièce|no\.?|nr\.?)\s*)?#?\d{1,2}\s+",
    re.I,
)
_ARTICLE = re.compile(r"^(?:the|der|die|das|la|le|les)\s+|^l['’]", re.I)
# Signs that end or divide a sentence.  "No. 2" and "l. h." are rare in names, and longer ones.
_INSIDE = re.compile(r"[.:;!?,]\s*\S")

# A text of more words is a sentence and no name.
_MOST_WORDS = 4

# How good each sort of text is as a name.  Our own judgement, and only the order matters:
# words of the trade; one of them among others; unknown words that say how they are cut;
# unknown words.  None but the first reaches 0.8, above which most people confirm unseen.
_TRADE, _PARTLY, _CUT, _WORDS = 0.95, 0.75, 0.70, 0.60
# In small letters a text is rather a note; at the rim it rather names what is sewn there; and
# where a text as large says how it is cut, the others name what is sewn there, too.
_SMALL_LETTERS, _AT_RIM, _BESIDE_CUT = 0.7, 0.9, 0.5
# Texts within this share of the height are equally large.
_AS_LARGE = 0.9
# A name that is less likely is worse than none.
_LEAST = 0.2


class Name(NamedTuple):
    """A piece's name and its score; empty where no text will do."""

    text: str = ""
    score: float = 0.0


class _Option(NamedTuple):
    """A text that may be the name: its height (mm), worth by itself, whether a text with
    this name says how to cut."""

    name: str
    height: float
    worth: float
    cut: bool


def piece_name(words: Sequence[Words], sizes: Sequence[str], box: Optional[Box] = None) -> Name:
    """The name of a piece by its words.

    ``sizes``: names of sizes, which are no names of pieces; ``box``: around the piece (mm),
    for the middle, where it is known.
    """
    known = {size.lower() for size in sizes}
    texts = [(name_in(text), text, height, at) for text, height, at in _paragraphs(words)]
    texts = [one for one in texts if one[0] and one[0] not in known]
    if not texts:
        return Name()
    cut = {name for name, text, _, _ in texts if instruction_at(text) < len(text)}
    options = [
        _Option(name, height, _worth(text, name, name in cut) * _middle(at, box), name in cut)
        for name, text, height, at in texts
    ]
    tallest = max(option.height for option in options)
    values = [_value(option, options, tallest) for option in options]
    best = values.index(max(values))
    made = values[best] / (1 + len(_rivals(options[best], options)))
    return Name(options[best].name, made) if made >= _LEAST else Name()


def _value(option: _Option, options: Sequence[_Option], tallest: float) -> float:
    """What an option is worth beside the others."""
    value = option.worth * (0.5 + 0.5 * option.height / tallest)
    cut = any(o.cut and o.name != option.name and o.height >= _AS_LARGE * option.height for o in options)
    return value * (_BESIDE_CUT if cut and not option.cut else 1.0)


def _rivals(best: _Option, options: Sequence[_Option]) -> List[str]:
    """Other names that have as good a claim."""
    return sorted(
        {
            option.name
            for option in options
            if option.name != best.name
            and is_part(option.name) == is_part(best.name)
            and option.cut >= best.cut
            and option.height >= _AS_LARGE * best.height
            and option.name not in best.name.split("-")
        }
    )


def _worth(text: str, name: str, cut: bool) -> float:
    """How good a text is as a name, by its words alone."""
    trade = trade_words(name)
    worth = _CUT if cut else _WORDS
    if is_part(name) and trade and not _ARTICLE.match(_bare(text)):
        worth = max(worth, _TRADE if trade == 1.0 else _PARTLY)
    return worth * (_SMALL_LETTERS if name.islower() and _bare(text)[:1].islower() else 1.0)


def _middle(at: np.ndarray, box: Optional[Box]) -> float:
    """1 in the middle of the piece, falling to ``_AT_RIM`` in the corners of its box."""
    if box is None:
        return 1.0
    left, top, right, bottom = box
    away = np.hypot(at[0] - (left + right) / 2, at[1] - (top + bottom) / 2)
    half = np.hypot(right - left, bottom - top) / 2
    return 1.0 - (1.0 - _AT_RIM) * min(float(away) / max(float(half), 1e-9), 1.0)


def _paragraphs(words: Sequence[Words]) -> List[Tuple[str, float, np.ndarray]]:
    """Texts with height and middle; lines of one size right below each other also as one."""
    found = [(one.text, one.height, middle_of(one)) for one in words]
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
                both = (middle_of(one) + middle_of(other)) / 2
                found.append((one.text + " " + other.text, one.height * 1.001, both))
    return found


def _bare(text: str) -> str:
    """A text without number and instruction: "1 Front - cut 2" is "Front"."""
    text = _PREFIX.sub("", unicodedata.normalize("NFC", text))
    return text[: instruction_at(text)].strip(" \t,;:.!?()[]–—-/*\"'")


def name_in(text: str) -> str:
    """The piece's name in a text: "1 Front - cut 2" is "front"; empty where there is none."""
    text = _bare(text)
    if _NO_NAME.search(text) or _SENTENCE.search(text) or _INSIDE.search(text):
        return ""
    if says(text, GRAIN_WORDS + LENGTHEN_WORDS + FOLD_WORDS + APEX_WORDS):
        return ""
    small = text[:1].islower()
    text = re.sub(r"\s+(?:part|piece)$", "", _ARTICLE.sub("", text), flags=re.I)
    if len(text.split()) > _MOST_WORDS:
        return ""
    name = re.sub(r"[\W_]+", "-", text.lower()).strip("-")
    if small and trade_words(name) < 1.0:
        return ""
    letters = sum(sign.isalpha() for sign in name)
    return name if letters >= 2 and len(name) <= 40 and letters >= len(name) / 2 else ""


def trade_words(name: str) -> float:
    """The share of a name's words that are words of the trade."""
    words = name.split("-")
    return sum(word in _PARTS or word in _WHICH for word in words) / len(words)


def is_part(name: str) -> bool:
    """Whether a name holds a word for a part of a garment.

    "Centre front" is more often what an edge is called.
    """
    words = name.split("-")
    return any(word in _PARTS for word in words) and not _MIDDLE.intersection(words)
