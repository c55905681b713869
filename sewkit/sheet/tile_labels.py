"""What tiles say of themselves: "B2", "row 1, column 2", "3/9", "Page 4".

A label counts when many pages have one of its kind and no two have the same; where such
words stand at one place on all pages, only those count.
"""

import math
import re
from collections import defaultdict
from typing import Dict, List, NamedTuple, Optional, Pattern, Sequence, Tuple

from sewkit.sheet.drawn import Page, Words

Cells = Dict[int, Tuple[int, int]]  # page index to column and row, from 0


class Labels(NamedTuple):
    """What was read.

    Args:
        cells: ways to read rows and columns from the labels; none, one, or two where
            it is not plain which of letter and number is the row.
        numbers: page index to the number in a row of numbers; empty without.
        total: how many pages the labels speak of; 0 where they do not.
    """

    cells: Tuple[Cells, ...] = ()
    numbers: Dict[int, int] = {}
    total: int = 0


_WORD = r"(?:page|sheet|tile|p\.?|no\.?|nr\.?|seite|blatt|feuille|hoja|foglio|pagina|blad)"
_KINDS: Tuple[Tuple[str, "Pattern[str]"], ...] = (
    ("row-column", re.compile(r"\brow\s*(\d{1,2})\b.{0,4}\bcol(?:umn)?\.?\s*(\d{1,2})\b", re.I)),
    ("column-row", re.compile(r"\bcol(?:umn)?\.?\s*(\d{1,2})\b.{0,4}\brow\s*(\d{1,2})\b", re.I)),
    ("letter-number", re.compile(r"^([A-Z])\s?[-./]?\s?(\d{1,2})$")),
    ("number-letter", re.compile(r"^(\d{1,2})\s?[-./]?\s?([A-Z])$")),
    (
        "number",
        re.compile(r"^" + _WORD + r"\s*(\d{1,3})(?:\s*(?:/|of|von|de|di|sur|van)\s*(\d{1,3}))?$", re.I),
    ),
    ("number", re.compile(r"^(\d{1,3})\s*(?:/|of|von|de|di|sur|van)\s*(\d{1,3})$", re.I)),
    ("bare", re.compile(r"^[([]?(\d{1,3})[)\]]?\.?$")),
)

# The surest kind first.
_ORDER = ("row-column", "column-row", "letter-number", "number-letter", "number", "bare")

# Share of the pages that must have a label of one kind.
SHARE = 0.6

# Labels stand at the same place when it differs by less (mm).
PLACE = 6.0

_Read = Tuple[int, float, float, Tuple[str, ...]]  # page index, place, what the pattern caught


def labels_of(pages: Sequence[Page], members: Sequence[int]) -> Labels:
    """Read the labels of some pages, given by index."""
    found = _reads(pages, members)
    for kind in _ORDER:
        chosen = _consistent(found[kind], len(members), kind == "bare")
        if chosen and "-" in kind:
            return Labels(_cells(kind, chosen))
        if chosen:
            totals = {int(caught[1]) for caught in chosen.values() if len(caught) > 1 and caught[1]}
            numbers = {page: int(caught[0]) for page, caught in chosen.items()}
            return Labels((), numbers, totals.pop() if len(totals) == 1 else 0)
    return Labels()


def _reads(pages: Sequence[Page], members: Sequence[int]) -> Dict[str, List[_Read]]:
    """All words that may be labels, by kind."""
    found: Dict[str, List[_Read]] = defaultdict(list)
    for number in members:
        for words in pages[number].words:
            if not is_shown(words, pages[number]):
                continue
            text = " ".join(words.text.split())
            for kind, pattern in _KINDS:
                caught = pattern.search(text)
                if caught:
                    found[kind].append((number, words.x, words.y, caught.groups()))
                    break
    return found


def restarts(pages: Sequence[Page], members: Sequence[int]) -> Tuple[int, ...]:
    """Places in ``members`` where labels begin anew; only (0,) for pages of one set.

    Every set has its first label first, none twice, and two pages at least; the labels stand
    at one place, or are the only ones on their pages.
    """
    found = _reads(pages, members)
    for kind in _ORDER:
        for near in _by_place(found[kind]) + ([] if kind == "bare" else [found[kind]]):
            labels = {read[0]: _sortable(kind, read[3]) for read in near}
            if len(labels) == len(near) and len(labels) >= max(4, SHARE * len(members)):
                starts = _sets(labels)
                if len(starts) > 1:
                    return (0, *(list(members).index(page) for page in starts[1:]))
    return (0,)


def _by_place(reads: Sequence[_Read]) -> List[List[_Read]]:
    """Reads that stand at one place, on two grids so that none is lost between two cells."""
    found: List[List[_Read]] = []
    for shift in (0.0, 0.5):
        places: Dict[Tuple[int, int], List[_Read]] = defaultdict(list)
        for read in reads:
            places[int(read[1] / (2 * PLACE) + shift), int(read[2] / (2 * PLACE) + shift)].append(read)
        found += places.values()
    return found


def _sortable(kind: str, caught: Tuple[str, ...]) -> Tuple[int, ...]:
    """A label as numbers; of a number in a row without how many there are."""
    words = caught[:2] if "-" in kind else caught[:1]
    return tuple(int(word) if word.isdigit() else ord(word.upper()) for word in words)


def _sets(labels: Dict[int, Tuple[int, ...]]) -> List[int]:
    """The first page of each set of labels; one page only where they are no clear sets."""
    pages = sorted(labels)
    starts: List[int] = []
    seen: List[Tuple[int, ...]] = []
    sets: List[List[Tuple[int, ...]]] = []
    for page in pages:
        if not starts or labels[page] in seen:
            starts.append(page)
            seen = []
            sets.append(seen)
        seen.append(labels[page])
    clear = all(len(own) > 1 and own[0] == min(own) for own in sets)
    return starts if clear else starts[:1]


def is_shown(words: Words, page: Page) -> bool:
    """Whether the clip and the page leave something of the words to be seen."""
    clip = words.clip or (0.0, 0.0, page.width, page.height)
    box = (max(clip[0], 0.0), max(clip[1], 0.0), min(clip[2], page.width), min(clip[3], page.height))
    angle = math.radians(words.angle)
    along, up = (math.cos(angle), math.sin(angle)), (math.sin(angle), -math.cos(angle))
    for part in range(9):
        for lift in (0.0, 0.35):
            x = words.x + part / 8 * words.width * along[0] + lift * words.height * up[0]
            y = words.y + part / 8 * words.width * along[1] + lift * words.height * up[1]
            if box[0] <= x <= box[2] and box[1] <= y <= box[3]:
                return True
    return False


def _consistent(reads: Sequence[_Read], count: int, placed: bool) -> Optional[Dict[int, Tuple[str, ...]]]:
    """One label a page, no two the same; None where the pages do not agree on such a thing.

    Those that stand at one place are tried first; where they need not (``placed`` is not
    set), the only label on each page does.
    """
    best: Dict[int, Tuple[str, ...]] = {}
    for near in _by_place(reads):
        pages = {read[0]: read[3] for read in near}
        if len(pages) == len(near) == len(set(pages.values())) and len(pages) > len(best):
            best = pages
    if not placed and len(best) < SHARE * count:
        pages = {read[0]: read[3] for read in reads}
        if len(pages) == len(reads) == len(set(pages.values())):
            best = pages
    return best if len(best) >= max(2, SHARE * count) else None


def _cells(kind: str, chosen: Dict[int, Tuple[str, ...]]) -> Tuple[Cells, ...]:
    """Columns and rows, from 0, in every way that makes sense."""
    values = {
        page: tuple(int(word) if word.isdigit() else ord(word.upper()) - 64 for word in caught[:2])
        for page, caught in chosen.items()
    }
    # Counted from 1; or from 0 where there is a 0.  A row that is missing stays missing.
    least = [min(1, min(value[k] for value in values.values())) for k in (0, 1)]
    first_is_row = {page: (value[1] - least[1], value[0] - least[0]) for page, value in values.items()}
    first_is_column = {page: (column[1], column[0]) for page, column in first_is_row.items()}
    if kind == "row-column":
        return (first_is_row,)
    if kind == "column-row":
        return (first_is_column,)
    return (first_is_row, first_is_column) if kind == "letter-number" else (first_is_column, first_is_row)
