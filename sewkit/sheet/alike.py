"""What all pages of a sheet carry, frames, marks, windows, and how large each page has it.

    told = alike(printed.pages)

Where furniture is a smaller or larger copy on some pages, so is the pattern on them.
"""

from collections import defaultdict
from typing import Any, Dict, Iterable, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Page
from sewkit.sheet.tile_furniture import FRAME
from sewkit.sheet.tile_groups import Groups, page_groups, usual_page
from sewkit.sheet.tile_strokes import SMALL

# Corners of one piece of furniture fall together within this (mm), after it was put to one
# size; its form, put to a side of 1, within the second.
TOGETHER, FORM = 0.15, 0.02

# Nothing is recognised that was made smaller or larger more than so many times: a fit to paper
# stays far below, and from one A size to the next it is 1.41.
MOST = 1.35

# Things are furniture that so many pages have at one place; of all that is furniture so large a
# part must be found again on a page that has it in another size.
PAGES, FOUND = 2, 0.6

# Larger marks have few curves (mm); of them so many, the largest, are tried as copies.
LEAST, CURVES, TRIED = 1.0, 8, 6

# Pages are of one form, not of one size, where their sides differ alike to this (share), and
# by more than the second.
SAME_FORM, OTHER_SIZE = 0.002, 0.01


class Likeness(NamedTuple):
    """How a page's furniture compares with that of most pages that it belongs to.

    Args:
        page: the page's number.
        group: which group of pages it belongs to, from 0.
        factor: its size there, divided by what it is on most pages.
        move: what puts it where it is on most, after it was divided by ``factor`` (mm).
        pieces: so many things say so.
        paper: width and height of most pages (mm).
    """

    page: int
    group: int
    factor: float
    move: Tuple[float, float]
    pieces: int
    paper: Tuple[float, float]


class _Thing(NamedTuple):
    """Its corners ``(4,)`` mm, what stays when it is printed larger, its form, and where it is painted."""

    box: np.ndarray
    kind: Tuple[Any, ...]
    form: np.ndarray
    drawn: int = -1  # index on the page; -1 for a window

    @property
    def size(self) -> np.ndarray:
        return self.box[2:] - self.box[:2]

    def is_like(self, other: "_Thing") -> bool:
        """Whether it is the same thing, perhaps larger."""
        return self.kind == other.kind and bool(np.abs(self.form - other.form).max() <= FORM)


def alike(pages: Sequence[Page]) -> Tuple[Likeness, ...]:
    """What every page's furniture says, for pages that have it; in the order of the pages."""
    found: List[Likeness] = []
    for number, members in enumerate(_families(pages)):
        things = {page: _things(pages[page]) for page in members}
        usual = _usual(things)
        page = usual_page(pages, members)
        for place in members if usual else ():
            told = _compared(things[place], usual)
            if told is not None:
                found.append(Likeness(pages[place].number, number, *told, (page.width, page.height)))
    return tuple(sorted(found))


def copies(pages: Sequence[Page], bare: Sequence[int]) -> Tuple[Tuple[int, int], ...]:
    """Furniture that pages have in another size, or at another place, than most.

    Args:
        bare: indexes of pages that seem to have none.

    Returns:
        Page index and index of the painted path, for frames and other things as large.
    """
    found: List[Tuple[int, int]] = []
    for members in _families(pages):
        odd = [number for number in members if number in bare]
        if not odd or len(members) < 3:
            continue
        things = {page: _things(pages[page], SMALL) for page in members}
        usual = _usual(things)
        for page in odd if usual else ():
            told = _compared(things[page], usual)
            if told is not None:
                found += [(page, one.drawn) for one in _copied(things[page], usual, *told[:2])]
    return tuple(found)


def _copied(
    own: Sequence[_Thing], usual: Sequence[_Thing], factor: float, move: Tuple[float, float]
) -> List[_Thing]:
    """Those things of a page that are one of the usual things at this size and place."""
    found = []
    for thing in own:
        put = thing.box / factor + np.tile(np.array(move), 2)
        if thing.drawn >= 0 and any(
            thing.is_like(true) and np.abs(put - true.box).max() <= TOGETHER for true in usual
        ):
            found.append(thing)
    return found


def _families(pages: Sequence[Page]) -> Groups:
    """Groups of pages, with those of the same form that are a little smaller or larger."""
    found: List[Tuple[int, ...]] = []
    for members in sorted(page_groups(pages), key=lambda own: (-len(own), own)):
        page = usual_page(pages, members)
        for number, own in enumerate(found):
            other = usual_page(pages, own)
            across, down = page.width / other.width, page.height / other.height
            off = abs(across - 1.0)
            if abs(across / down - 1.0) <= SAME_FORM and OTHER_SIZE < off <= MOST - 1.0:
                found[number] = tuple(sorted(own + members))
                break
        else:
            found.append(members)
    return tuple(found)


def _things(page: Page, least: float = LEAST) -> List[_Thing]:
    """What may be furniture: closed lines of few curves, and windows that cut the drawing."""
    found: List[_Thing] = []
    windows = {drawn.clip for drawn in page.drawn if drawn.clip is not None}
    for window in sorted(windows):
        box = np.array(window)
        if (box[2:] - box[:2] >= FRAME * np.array([page.width, page.height])).all():
            found.append(_Thing(box, ("window",), np.zeros(1)))
    for number, drawn in enumerate(page.drawn):
        if len(drawn.starts) != 1 or len(drawn.curves) > CURVES or not drawn.closed[0]:
            continue
        low, high = drawn.curves.min(axis=(0, 1)), drawn.curves.max(axis=(0, 1))
        longer = float((high - low).max())
        if longer >= least:
            kind = (drawn.style.colour, drawn.style.fill, drawn.layers, len(drawn.curves))
            found.append(_Thing(np.concatenate([low, high]), kind, (drawn.curves - low) / longer, number))
    return found


def _usual(things: Dict[int, List[_Thing]]) -> List[_Thing]:
    """The things that stand at one place on the most pages, the largest first."""
    often: List[Tuple[_Thing, Dict[int, _Thing]]] = []
    for shift in (0.0, 0.5):
        places: Dict[Any, Dict[int, _Thing]] = defaultdict(dict)
        for page, own in things.items():
            for thing in own:
                spot = np.floor(thing.box / (4 * TOGETHER) + shift)
                places[(thing.kind, *spot.tolist())].setdefault(page, thing)
        for on in places.values():
            first = next(iter(on.values()))
            if len(on) >= PAGES and not any(_falls_on(first, one) for one, _ in often):
                often.append((first, on))
    if not often:
        return []
    often.sort(key=lambda one: (-len(one[1]), -float(one[0].size.max()), one[0].box.tolist()))
    lead = set(often[0][1])
    kept = [one for one, on in often if 2 * len(lead & set(on)) > len(lead)]
    return sorted(kept, key=lambda one: (-float(one.size.max()), one.box.tolist()))


def _falls_on(thing: _Thing, other: _Thing) -> bool:
    return thing.is_like(other) and bool(np.abs(thing.box - other.box).max() <= TOGETHER)


def _compared(
    own: Sequence[_Thing], usual: Sequence[_Thing]
) -> Optional[Tuple[float, Tuple[float, float], int]]:
    """Factor, move and pieces that say so; None where a page has no such furniture."""
    best, rank = None, (0.0, 0.0)
    for factor, move in _proposed(own, usual):
        pieces = _pieces(own, usual, factor, move)
        # Of those that explain as much, the one that changes least.
        worth = (pieces, -abs(factor - 1.0) - 1e-3 * float(np.abs(move).max()))
        if worth > rank:
            best, rank = (factor, (float(move[0]), float(move[1])), pieces), worth
    return best if rank[0] >= FOUND * len(usual) else None


def _proposed(own: Sequence[_Thing], usual: Sequence[_Thing]) -> Iterable[Tuple[float, np.ndarray]]:
    """Ways to put a thing of the page on one of the usual things."""
    yield 1.0, np.zeros(2)
    for true in usual[:TRIED]:
        longer = int(true.size.argmax())
        for thing in own:
            factor = float(thing.size[longer] / true.size[longer])
            if 1.0 / MOST <= factor <= MOST and thing.is_like(true):
                if np.abs(thing.size - factor * true.size).max() <= TOGETHER:
                    yield factor, true.box[:2] - thing.box[:2] / factor


def _pieces(own: Sequence[_Thing], usual: Sequence[_Thing], factor: float, move: np.ndarray) -> int:
    """How many of the usual things a page has at this size and place."""
    if not own:
        return 0
    put = np.array([thing.box for thing in own]) / factor + np.tile(move, 2)
    found = 0
    for true in usual:
        near = np.flatnonzero(np.abs(put - true.box).max(axis=1) <= TOGETHER)
        found += any(own[k].is_like(true) for k in near)
    return found
