"""Pages that we printed ourselves: what is on them beside the pattern lies on a layer of its own.

So a bar of a page is measured by its own words, not by those of a piece beside it, and frames,
bars and marks of the joins, which have served when the pages are joined, are no lines of a piece.
"""

import re
from typing import List, Sequence, Tuple

from sewkit.pattern.page_marks import PAGE_MARKS
from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Page, Printed, Sheet, Words
from sewkit.sheet.tile_values import Joined

# What a page of ours says of its number: "B3, page 8 of 12".
_NUMBERED = re.compile(r", page (\d+) of (\d+)$")


def is_page_mark(layers: Sequence[str]) -> bool:
    """Whether what is on these layers belongs to the page."""
    return PAGE_MARKS in layers


def parts(page: Page) -> Tuple[Page, ...]:
    """The page without its own marks, and with these alone; the page itself where it has none."""
    if not any(is_page_mark(one.layers) for one in (*page.drawn, *page.words)):
        return (page,)
    return tuple(
        page._replace(
            drawn=tuple(one for one in page.drawn if is_page_mark(one.layers) == marks),
            words=tuple(one for one in page.words if is_page_mark(one.layers) == marks and not _is_join(one)),
        )
        for marks in (False, True)
    )


def _is_join(one: Words) -> bool:
    """Whether words are the number of a join, which is no number of a ruler beside it."""
    return is_page_mark(one.layers) and one.text.strip().isdigit()


def none_missing(printed: Printed, joined: Joined) -> Joined:
    """Without the doubt that a page is missing, where our pages say that all of them are there.

    A page is left out where all its lines stand on its neighbours as well.
    """
    said = [
        match.groups()
        for page in printed.pages
        for one in page.words
        if is_page_mark(one.layers)
        for match in [_NUMBERED.search(one.text)]
        if match
    ]
    numbers, counts = {int(number) for number, _ in said}, {int(count) for _, count in said}
    if len(counts) != 1 or numbers != set(range(1, max(counts) + 1)):
        return joined
    findings = tuple(one for one in joined.findings if one.code != "page-missing")
    return joined._replace(missing=(), findings=findings)


def without_page_marks(sheet: Sheet) -> Tuple[Sheet, List[Finding]]:
    """The joined sheet with the pattern alone, and what was left out, told."""
    lines = tuple(line for line in sheet.lines if not is_page_mark(line.layers))
    words = tuple(one for one in sheet.words if not is_page_mark(one.layers))
    if len(lines) == len(sheet.lines) and len(words) == len(sheet.words):
        return sheet, []
    text = "Frames, bars and marks of the pages lie on a layer '{}': they were not brought in.".format(
        PAGE_MARKS
    )
    return sheet._replace(lines=lines, words=words), [Finding("page-marks", Level.INFO, text)]
