"""Put pages of one sheet that were printed at different scales to one scale.

    printed, findings, mixed = one_scale(printed, allowed=True)

A page is changed only on the word of two witnesses: two things that every page carries
agree on how much smaller it is, and a test square or ruler proves the scale of the rest.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.report import Finding, Level
from sewkit.sheet.alike import Likeness, alike
from sewkit.sheet.drawn import Box, Page, Printed, Style
from sewkit.sheet.scale import scaled, verdict, witnesses
from sewkit.sheet.scale_words import percent
from sewkit.sheet.tile_findings import listed, page_ranges
from sewkit.sheet.witness import BY_TEXT
from sewkit.units import write_number

# Furniture that differs by less (share) is of one size; that lies off by less (mm), at one place.
SAME_SCALE, SAME_PLACE = 0.001, 0.02

# Pens and dashes that differ by less (share) are of one style: two decimals of a point.
SAME_PEN = 0.01


class Even(NamedTuple):
    """Pages at one scale as far as that can be proved.

    Args:
        printed: the pages, some of them changed.
        findings: what there is to tell.
        mixed: numbers of pages that are still at another scale than the rest.
    """

    printed: Printed
    findings: Tuple[Finding, ...] = ()
    mixed: Tuple[int, ...] = ()


def one_scale(printed: Printed, allowed: bool = True) -> Even:
    """Pages whose furniture is a smaller or larger copy of the others', put to one scale.

    Only where two witnesses agree, and where it is ``allowed``; else they are told.
    """
    told = alike(printed.pages)
    odd = [one for one in told if abs(one.factor - 1.0) > SAME_SCALE]
    if not odd:
        return Even(_put(printed, told, {}))
    found = [witness for witness in witnesses(printed) if witness.told_by == BY_TEXT]
    proved = [one for one in told if one.page in {witness.page for witness in found}]
    if _is_odd(proved) and verdict(found).level == Level.PASS:
        return Even(printed)  # squares on both say that only the frames were drawn so
    goals = {one.group: one.factor for one in proved}
    sure = allowed and all(one.group in goals and one.pieces > 1 for one in odd)
    if sure:
        trial = _put(printed, told, goals)
        after = verdict(witnesses(trial))
        if after.factor_x == after.factor_y and (after.level == Level.PASS or after.factor_x != 1.0):
            # Both changes in one: pages that were right all the time are not touched.
            goals = {group: goal * after.factor_x for group, goal in goals.items()}
            findings = _corrected(told, goals, [one.page for one in proved])
            return Even(_put(printed, told, goals), tuple(findings))
    return Even(printed, tuple(_told(odd)), tuple(one.page for one in odd))


def _is_odd(told: Sequence[Likeness]) -> bool:
    """Whether pages of one group have different factors."""
    return any(
        one.group == other.group and abs(one.factor / other.factor - 1.0) > SAME_SCALE
        for number, one in enumerate(told)
        for other in told[:number]
    )


def _put(printed: Printed, told: Sequence[Likeness], goals: Dict[int, float]) -> Printed:
    """All pages with their furniture at one place and, in groups with a goal, of one size.

    ``goals``: the factor of pages at true scale, by group.
    """
    by_page = {one.page: one for one in told}
    changed: List[int] = []
    pages: List[Page] = []
    for page in printed.pages:
        own = by_page.get(page.number)
        goal = goals.get(own.group) if own is not None else None
        pages.append(page if own is None else _put_page(page, own, goal))
        if goal is not None and abs(own.factor / goal - 1.0) > SAME_SCALE:
            changed.append(len(pages) - 1)
    kept = [page for number, page in enumerate(pages) if number not in changed] if changed else []
    usual = sorted({drawn.style for page in kept for drawn in page.drawn})
    for number in changed:
        pages[number] = _in_usual_styles(printed.pages[number], pages[number], usual)
    return printed._replace(pages=tuple(pages))


def _in_usual_styles(was: Page, page: Page, usual: Sequence[Style]) -> Page:
    """A changed page with the very pens of the others: by them lines are known to be one.

    Most faults of printing change pens and dashes with the drawing; some leave them.
    """
    known: Dict[Style, Style] = {}
    for before, after in zip(was.drawn, page.drawn):
        if after.style not in known:
            like = [one for one in usual if _is_near(after.style, one)]
            same = [one for one in usual if _is_near(before.style, one)]
            known[after.style] = (like or same or [after.style])[0]
    drawn = tuple(one._replace(style=known[one.style]) for one in page.drawn)
    return page._replace(drawn=drawn)


def _is_near(one: Style, other: Style) -> bool:
    """Whether two styles are one, but for rounding."""
    if (one.colour, one.fill, len(one.dashes)) != (other.colour, other.fill, len(other.dashes)):
        return False
    lengths = zip((one.width, *one.dashes), (other.width, *other.dashes))
    return all(abs(a - b) <= SAME_PEN * max(a, b) for a, b in lengths)


def _put_page(page: Page, own: Likeness, goal: Optional[float]) -> Page:
    """One page; without a goal it only moves, and only if it has the usual size."""
    if goal is None and abs(own.factor - 1.0) > SAME_SCALE:
        return page
    size = goal if goal is not None else 1.0
    ratio = size / own.factor
    width, height = page.width, page.height
    if abs(ratio - 1.0) > SAME_SCALE:
        # Paper that was made smaller with the drawing grows with it; else it stays as it is.
        if abs(width - own.paper[0]) > abs(width / own.factor - own.paper[0]):
            width, height = width / own.factor, height / own.factor
        page = scaled(Printed((page,)), ratio, ratio).pages[0]
    move = (own.move[0] * size, own.move[1] * size)
    if max(map(abs, move)) > SAME_PLACE:
        page = moved(page, *move)
    return page._replace(width=width, height=height)


def moved(page: Page, x: float, y: float) -> Page:
    """Everything on a page so far to the right and down (mm); the paper stays."""
    drawn = tuple(
        one._replace(curves=one.curves + np.array([x, y]), clip=_moved_box(one.clip, x, y))
        for one in page.drawn
    )
    words = tuple(
        one._replace(x=one.x + x, y=one.y + y, clip=_moved_box(one.clip, x, y)) for one in page.words
    )
    return page._replace(drawn=drawn, words=words)


def _moved_box(box: Optional[Box], x: float, y: float) -> Optional[Box]:
    return None if box is None else (box[0] + x, box[1] + y, box[2] + x, box[3] + y)


def _by_factor(told: Sequence[Likeness]) -> List[Tuple[float, List[int]]]:
    """Pages that have one factor, with it."""
    found: List[Tuple[float, List[int]]] = []
    for one in sorted(told, key=lambda one: (one.factor, one.page)):
        if found and abs(one.factor / found[-1][0] - 1.0) <= SAME_SCALE:
            found[-1][1].append(one.page)
        else:
            found.append((one.factor, [one.page]))
    return found


def _told(odd: Sequence[Likeness]) -> List[Finding]:
    findings = []
    for factor, pages in _by_factor(odd):
        where = listed(pages)
        text = (
            "The pages are not to one scale: frame and marks on {0} are {1} times as large as on the other "
            "pages, so the pattern there is {2}. Print or export the file anew with all pages at "
            "100 %; or bring {0} in apart, with --pages {3} and a length that you know, --known. "
            "Nothing was changed."
        ).format(where, write_number(factor, 4), percent(factor), page_ranges(pages))
        findings.append(Finding("scale-mixed", Level.FAIL, text, where))
    return findings


def _corrected(told: Sequence[Likeness], goals: Dict[int, float], proved: Sequence[int]) -> List[Finding]:
    """What was changed; ``goals``: the factor of pages at true scale, by group."""
    changed = [
        one._replace(factor=one.factor / goals[one.group])
        for one in told
        if one.group in goals and abs(one.factor / goals[one.group] - 1.0) > SAME_SCALE
    ]
    findings = []
    for factor, pages in _by_factor(changed):
        where = listed(pages)
        text = (
            "Frame and marks are not equally large on all pages, and the witnesses on {} tell which are "
            "right: {} was drawn {}, and was made {} times as large."
        ).format(listed(proved), where, percent(factor), write_number(1.0 / factor, 6))
        findings.append(Finding("scale-page", Level.WARN, _plural(text, pages), where))
    return findings


def _plural(text: str, pages: Sequence[int]) -> str:
    return text if len(pages) == 1 else text.replace(" was ", " were ")
