"""Names of sizes, out of layer names and out of words on the sheet.

size_of("Size 38")            # "38"
size_of("EU 42 / US 12")      # "42"
size_of_layer("Size 1X")      # "1X"
size_name("10 / 12")          # "10-12", as a name may be written
sizes_in("3436384042")        # ("34", "36", "38", "40", "42"), printed as one word
"""

import re
from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.pattern.seam import check_name
from sewkit.sheet.drawn import Words

LETTERS = (
    "XXXS",
    "3XS",
    "XXS",
    "2XS",
    "XS",
    "S",
    "M",
    "L",
    "XL",
    "XXL",
    "2XL",
    "XXXL",
    "3XL",
    "4XL",
    "5XL",
    "6XL",
)
_LETTER = r"(?:\d?X{0,3}S|M|L|\d?X{1,3}L)"
# 38, 10.5, 3T, 6M (months), 8Y, and two sizes in one: 36/38, S-M.
_ONE = r"(?:\d{1,3}(?:[.,]5)?\s?(?:[TMYJW]|months|years|mths|yrs|monate|jahre)?|" + _LETTER + ")"
_VALUE = _ONE + r"(?:\s?[-/–]\s?" + _ONE + ")?"
_WORD = (
    r"(?:sizes?|gr(?:ö|oe)(?:ß|ss)e|gr|g|taille|talla|taglia|maat|tamanho|str|koko|storlek|rozmiar|"
    r"eur?|us|uk|de|fr|it|es|int|d|f|t)"
)
_SIZE = re.compile(r"^(?:{0}\.?[\s:._-]*)*({1})$".format(_WORD, _VALUE), re.IGNORECASE)
_SAID = re.compile(
    r"(?:^|[^\w])(?:sizes?|gr(?:ö|oe)(?:ß|ss)e|gr|taille|talla|taglia|maat|eur?)\.?[\s:._-]*"
    r"({})(?![\w])".format(_VALUE),
    re.IGNORECASE,
)
_TRAILING = re.compile(r"^(.*[^\W\d])[\s._-]+(?:{0}\.?\s*)?({1})$".format(_WORD, _ONE), re.IGNORECASE)
# Words that count things, not sizes.
_COUNTED = re.compile(
    r"^(?:layer|ebene|calque|capa|livello|ocg|page|seite|group|gruppe|path|pfad|sheet|blatt|view|version|"
    r"piece|teil|part|pi[eè]ce|step|copy|kopie|object|line|nr|no|number|[0-9.\s_-]+)*$",
    re.IGNORECASE,
)
# What only a layer may be called: 1X, 24W, XL+, Medium, Size A; among words "2x" means twice.
_OF_LAYER = re.compile(
    r"^(?:{0}\.?[\s:._-]*)*(\d{{1,2}}X|(?:\d{{1,2}}|{1})\s?(?:W|\+)|(?:extra[\s-])?(?:small|medium|large)|"
    r"(?:petite|tall|plus))$".format(_WORD, _LETTER),
    re.IGNORECASE,
)
_SPELT = re.compile(r"^sizes?[\s:._-]+([A-Z]|one)$", re.IGNORECASE)
# Signs that stand between parts of a printed size.
_BETWEEN = r"\s*[/\u2013\u2014-]\s*|\s+"
_BREAK = re.compile(r"[\s,;|/·•]+")
# No size is a larger number; girths in mm and page numbers of thick books are.
_LARGEST = 220


def size_of(text: str) -> str:
    """The size that a name tells, as it can be used as a name; empty if it tells none.

    Of several systems ("EU 42 / US 12") the first one counts.
    """
    text = text.strip()
    for part in [text] + re.split(r"\s*[/|(),;]\s*", text)[:1]:
        match = _SIZE.match(part.strip())
        if match is not None and _plausible(match.group(1)):
            return _clean(match.group(1))
    return ""


def size_of_layer(name: str) -> str:
    """The size that a layer's name tells, also one that only layers may be called; or empty."""
    told = size_of(name) or size_at_end(name)
    match = None if told else _OF_LAYER.match(name.strip()) or _SPELT.match(name.strip())
    return told if match is None else size_name(match.group(1))


def size_name(text: str) -> str:
    """A size as it can be used as a name: close to what is printed, without blanks and slashes.

    ``InputError`` where nothing usable is left.
    """
    name = re.sub(r"(?<=\d),(?=\d)", ".", text.strip())
    name = re.sub(_BETWEEN, "-", re.sub(r"\s*\+", "-plus", name))
    try:
        return check_name(name, "size")
    except InputError:
        raise InputError(
            "'{}' cannot be used as the name of a size.".format(text),
            "Write it as it is printed, in letters and digits, such as 38 or M.",
            code="name",
        ) from None


def size_at_end(text: str) -> str:
    """The size at the end of a name that names a piece too ("front 38"); empty if there is none."""
    said = _SAID.search(text)
    if said is not None and _plausible(said.group(1)):
        return _clean(said.group(1))
    match = _TRAILING.match(text.strip())
    if match is None or _COUNTED.match(match.group(1).strip()) or not _plausible(match.group(2)):
        return ""
    return _clean(match.group(2))


def _plausible(value: str) -> bool:
    numbers = [float(n.replace(",", ".")) for n in re.findall(r"\d+(?:[.,]\d+)?", value)]
    return all(number <= _LARGEST for number in numbers)


def _clean(value: str) -> str:
    """As a name; letters large."""
    value = size_name(value)
    return value.upper() if re.match("^" + _LETTER + "(?:-|$)", value, re.IGNORECASE) else value


def sizes_in(text: str) -> Tuple[str, ...]:
    """The sizes that a run of words lists, in its order; empty where it says anything else."""
    text = text.strip()
    alone = size_of(text)
    split = _run_together(text)
    if split:
        return split
    if alone and not _BREAK.search(text):
        return (alone,)
    parts = [
        part for part in _BREAK.split(re.sub(r"^{}s?\.?[\s:]+".format(_WORD), "", text, flags=re.I)) if part
    ]
    found = [size for part in parts for size in (_run_together(part) or (size_of(part),))]
    if found and all(found):
        return tuple(found)
    return (alone,) if alone else ()


def _run_together(text: str) -> Tuple[str, ...]:
    """Sizes printed without blanks: numbers of equal width in equal steps, or letters in order."""
    if re.match(r"^\d+$", text):
        for width in (2, 3):
            parts = [text[n : n + width] for n in range(0, len(text), width)]
            if len(text) % width or len(parts) < 2 or parts[0].startswith("0"):
                continue
            steps = {int(b) - int(a) for a, b in zip(parts, parts[1:])}
            if len(steps) == 1 and steps <= {1, 2, 3, 4, 5, 6, 8, 10}:
                return tuple(parts)
        return ()
    return _letters_together(text)


def _letters_together(text: str) -> Tuple[str, ...]:
    found: List[str] = []
    rest, rank = text, -1
    while rest:
        names = [name for name in LETTERS if rest.startswith(name) and LETTERS.index(name) > rank]
        if not names:
            return ()
        name = max(names, key=len)
        found.append(name)
        rank, rest = LETTERS.index(name), rest[len(name) :]
    return tuple(found) if len(found) > 2 else ()


class Said(NamedTuple):
    """A size said on the sheet: its name, where (mm), the words' number, and how many in them."""

    size: str
    point: Tuple[float, float]
    word: int
    count: int


def said_on(words: Sequence[Words]) -> Tuple[Said, ...]:
    """Every size in every run of words, at its own place along the run."""
    found = []
    for number, word in enumerate(words):
        sizes = sizes_in(word.text)
        turn = np.radians(word.angle)
        along, up = np.array([np.cos(turn), np.sin(turn)]), np.array([np.sin(turn), -np.cos(turn)])
        for place, size in enumerate(sizes):
            away = along * word.width * (place + 0.5) / len(sizes) + up * 0.35 * word.height
            found.append(Said(size, (word.x + float(away[0]), word.y + float(away[1])), number, len(sizes)))
    return tuple(found)


def in_order(sizes: Sequence[str]) -> Optional[Tuple[str, ...]]:
    """Sizes from the smallest up, each once; None where letters and numbers are mixed."""
    sizes = tuple(dict.fromkeys(sizes))
    if all(size in LETTERS for size in sizes):
        return tuple(sorted(sizes, key=LETTERS.index))
    numbers = [re.match(r"^\d+(?:\.\d+)?", size) for size in sizes]
    if all(number is not None for number in numbers):
        return tuple(sorted(sizes, key=lambda s: (float(re.match(r"^\d+(?:\.\d+)?", s).group()), s)))
    return None


def even_list(sizes: Sequence[str]) -> bool:
    """Whether sizes step on evenly, as a maker's list of sizes does."""
    ordered = in_order(sizes)
    if ordered is None or len(ordered) < 2:
        return False
    if all(size in LETTERS for size in ordered):
        return True
    numbers = [float(re.match(r"^\d+(?:\.\d+)?", size).group()) for size in ordered]
    steps = {round(b - a, 3) for a, b in zip(numbers, numbers[1:])}
    return len(steps) == 1 and 0.0 not in steps
