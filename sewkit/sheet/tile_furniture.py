"""What every tile carries beside the pattern, and how much of a tile is pattern.

Frames, marks and logos stand at the same place on many pages; the pattern does not.  But
a straight line that runs down a whole column of tiles stands at the same place too: what
leads from one side of the tile to another is furniture only where lines of one look do so
both across and down, on most of the pages.  A pattern has no such grid.
"""

from collections import defaultdict
from typing import Any, Dict, List, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.geometry.path import end_tangents, start_tangents
from sewkit.sheet.drawn import Box, Page, Words
from sewkit.sheet.tile_groups import Groups, usual_page
from sewkit.sheet.tile_strokes import Strokes, cells

# Coordinates of one mark on several pages agree this well (mm); half of it is still
# recognised because every mark is looked up on two grids, half a step apart.
STEP = 0.1

# Share of the pages of one size, and least number of pages, that make a mark furniture.
SHARE, LEAST = 0.5, 3

# Lines from side to side are a printed grid if they stand on more than this share of the
# pages, across and down: a line of the pattern runs down one column, half the pages at most.
GRID = 0.6

# A frame takes up at least this part of the page; so does what a tile shows.
FRAME = 0.4

# An end lies on a side of the tile within this (mm): three times the scatter of a careless printer.
ON_SIDE = 0.25

# Of many ends at one place on one page only so many count: else one comb of ticks outvotes all pages.
COUNTED = 6


class Ends(NamedTuple):
    """Both ends of open strokes: place ``(k, 2)``, direction outwards ``(k, 2)``, stroke, page, look."""

    place: np.ndarray
    outward: np.ndarray
    stroke: np.ndarray
    page: np.ndarray
    look: np.ndarray

    def take(self, rows: np.ndarray) -> "Ends":
        """Some of them."""
        return Ends(*(field[rows] for field in self))


def ends_of(strokes: Strokes, rows: np.ndarray) -> Ends:
    """The ends of those of some strokes that are open: all starts, then all stops."""
    rows = rows[~strokes.closed[rows]]
    first, last = strokes.first[rows], strokes.first[rows] + strokes.count[rows] - 1
    start, stop = strokes.curves[first], strokes.curves[last]
    place = np.concatenate([start[:, 0], stop[:, 3]])
    outward = np.concatenate([-start_tangents(start), end_tangents(stop)])
    twice = np.concatenate([rows, rows])
    return Ends(place, outward, twice, strokes.page[twice], strokes.look[twice])


def repeated(pages: Sequence[Page], strokes: Strokes, groups: Groups) -> np.ndarray:
    """``(m,)`` whether a stroke's path stands at the same place on many pages of its group."""
    found = np.zeros(len(strokes.first), bool)
    if not len(found):
        return found
    kind, least = np.zeros(len(pages), np.intp), np.zeros(len(pages))
    for name, group in enumerate(groups):
        kind[list(group)] = name
        least[list(group)] = max(LEAST, SHARE * len(group)) if len(group) > 2 else 2
    starts = np.flatnonzero(strokes.run == 0)
    stops = np.append(starts[1:], len(strokes.first))
    for shift in (0.0, 0.5):
        # Few paths start where another one does; only those are looked at whole.
        corner = cells(strokes.curves[strokes.first[starts], 0] / STEP + shift)
        rough = np.column_stack([kind[strokes.page[starts]], strokes.look[starts], corner])
        _, cell, count = np.unique(rough, axis=0, return_inverse=True, return_counts=True)
        often = np.flatnonzero(count[cell.reshape(-1)] >= least[strokes.page[starts]])
        seen: Dict[Tuple[int, bytes], Set[int]] = defaultdict(set)
        keys = []
        for path in often:
            row, stop = starts[path], stops[path] - 1
            last = strokes.first[stop] + strokes.count[stop]
            rounded = cells(strokes.curves[strokes.first[row] : last] / STEP + shift)
            keys.append((int(cell.reshape(-1)[path]), rounded.tobytes()))
            seen[keys[-1]].add(int(strokes.page[row]))
        for key, path in zip(keys, often):
            if len(seen[key]) >= least[strokes.page[starts[path]]]:
                found[starts[path] : stops[path]] = True
    return found


def backgrounds(pages: Sequence[Page], strokes: Strokes) -> np.ndarray:
    """``(m,)`` whether a stroke is no line but a colour behind the whole page."""
    paper = np.array([[page.width, page.height] for page in pages]).reshape(-1, 2)
    bare = np.array([not style.colour for style, _, _ in strokes.looks], bool)
    covers = np.minimum(strokes.high, paper[strokes.page]) - np.maximum(strokes.low, 0.0)
    return bare[strokes.look] & (covers >= 0.95 * paper[strokes.page]).all(axis=1)


def furniture(
    pages: Sequence[Page], strokes: Strokes, again: np.ndarray, sides: Dict[int, Box], groups: Groups
) -> np.ndarray:
    """``(m,)`` whether a stroke is furniture.

    ``again`` comes from ``repeated``; ``sides`` is what each page shows, by index.
    """
    found = again.copy()
    rows = np.flatnonzero(found & ~strokes.closed)
    boxes = np.array([sides[int(number)] for number in strokes.page[rows]]).reshape(-1, 4)
    ends = ends_of(strokes, rows)
    half = len(ends.place) // 2
    on = [_sides_met(ends.place[:half], boxes), _sides_met(ends.place[half:], boxes)]
    along = (on[0] & on[1]).any(axis=1)
    leads = on[0].any(axis=1) & on[1].any(axis=1) & ~along
    found[rows[leads]] = False
    found[_printed_grid(pages, strokes, rows[leads])] = True
    pair = np.zeros(len(pages), bool)
    pair[[number for group in groups if len(group) == 2 for number in group]] = True
    # On two pages only a frame is sure to be none of the pattern.
    found &= ~pair[strokes.page] | _frames(pages, strokes)
    return found | backgrounds(pages, strokes)


def _printed_grid(pages: Sequence[Page], strokes: Strokes, rows: np.ndarray) -> np.ndarray:
    """Those of some strokes that are lines of one look across and down on most pages."""
    size = strokes.high[rows] - strokes.low[rows]
    down, across = size[:, 0] <= STEP, size[:, 1] <= STEP
    found = np.zeros(len(rows), bool)
    for look in np.unique(strokes.look[rows]):
        mine = strokes.look[rows] == look
        shares = [len(np.unique(strokes.page[rows[mine & way]])) / len(pages) for way in (down, across)]
        if min(shares) > GRID:
            found |= mine & (down | across)
    return rows[found]


def _sides_met(places: np.ndarray, boxes: np.ndarray) -> np.ndarray:
    """``(k, 4)`` which sides of its box each place lies on."""
    coordinates = np.hstack([places, places])
    return np.abs(coordinates - boxes) <= 2 * ON_SIDE


def _frames(pages: Sequence[Page], strokes: Strokes) -> np.ndarray:
    """``(m,)`` whether a stroke is a rectangle that takes up much of its page."""
    paper = np.array([[page.width, page.height] for page in pages]).reshape(-1, 2)
    size = strokes.high - strokes.low
    large = (size >= FRAME * paper[strokes.page]).all(axis=1)
    return large & (strokes.count >= 3) & (strokes.count <= 5)


def frame_box(
    pages: Sequence[Page], strokes: Strokes, again: np.ndarray, members: Sequence[int]
) -> Optional[Box]:
    """The largest rectangle that stands at the same place on most of these pages."""
    rows = np.flatnonzero(_frames(pages, strokes) & np.isin(strokes.page, members) & again)
    if not len(rows):
        return None
    size = strokes.high[rows] - strokes.low[rows]
    best = rows[(size[:, 0] * size[:, 1]).argmax()]
    return (*strokes.low[best], *strokes.high[best])


def clip_box(strokes: Strokes, members: Sequence[int]) -> Optional[Box]:
    """The window that cuts lines off on most of these pages; None where nothing is cut off."""
    # Letters that run off the paper are cut by no window.
    over = strokes.seen() & ~strokes.inside() & strokes.large()
    over = np.flatnonzero(over & np.isin(strokes.page, members))
    if not len(over):
        return None
    found = defaultdict(set)
    for row in over:
        found[tuple(np.round(strokes.window[row], 1))].add(int(strokes.page[row]))
    best = max(sorted(found), key=lambda key: len(found[key]))
    touched = len(set(strokes.page[over].tolist()))
    if len(found[best]) < 0.5 * touched or len(found[best]) < 0.3 * len(members):
        return None
    same = (np.abs(strokes.window[over] - best) <= STEP).all(axis=1)
    return tuple(float(value) for value in np.median(strokes.window[over[same]], axis=0))


def cut_box(pages: Sequence[Page], strokes: Strokes, members: Sequence[int]) -> List[Optional[float]]:
    """Left, top, right, bottom where lines of these pages break off, None where they do not."""
    rows = np.flatnonzero(np.isin(strokes.page, members) & strokes.seen() & ~strokes.closed)
    page = usual_page(pages, members)
    paper = (page.width, page.height)
    ends = ends_of(strokes, rows)
    found: List[Optional[float]] = []
    for side in range(4):
        axis, sign = side % 2, -1.0 if side < 2 else 1.0
        out = sign * ends.outward[:, axis] > 0.1
        # Measured from the middle of the page outwards, so that all sides are alike.
        reach = sign * (ends.place[out, axis] - paper[axis] / 2)
        peak = _outermost_peak(reach, ends.page[out], 0.15 * paper[axis])
        found.append(None if peak is None else paper[axis] / 2 + sign * peak)
    return found


def _outermost_peak(reach: np.ndarray, page: np.ndarray, least: float) -> Optional[float]:
    """Where many lines of many pages end, and next to none goes beyond."""
    kept = reach >= least
    reach, page = reach[kept], page[kept]
    if not len(reach):
        return None
    order = np.argsort(reach, kind="stable")
    reach, page = reach[order], page[order]
    # Beyond a comb of ends on one page only a few count, as at the peak itself.
    best, value = None, 1.5
    for candidate in np.unique(np.round(reach, 1)):
        low, high = np.searchsorted(reach, [candidate - ON_SIDE, candidate + ON_SIDE])
        if high - low < 2:
            continue
        at = np.minimum(np.bincount(page[low:high]), COUNTED)
        beyond = np.minimum(np.bincount(page[high:]), COUNTED).sum() if high < len(page) else 0
        score = at.sum() - beyond + 0.5 * (at > 0).sum()
        if ((at > 0).sum() >= 2 or at.sum() >= 3) and score > value:
            value, best = score, float(np.median(reach[low:high]))
    if best is None:
        return None
    near = np.abs(reach - best) <= ON_SIDE
    return float(np.median(reach[near]))


def live_box(pages: Sequence[Page], strokes: Strokes, again: np.ndarray, members: Sequence[int]) -> Box:
    """What the pages of one size add to the sheet (mm on the page).

    What a clip shows, else the box at whose sides lines break off, else the frame, else the page.
    """
    page = usual_page(pages, members)
    clip = clip_box(strokes, members)
    if clip is not None:
        return clip
    frame = frame_box(pages, strokes, again, members) or (0.0, 0.0, page.width, page.height)
    cut = cut_box(pages, strokes, members)
    left, top, right, bottom = (own if own is not None else spare for own, spare in zip(cut, frame))
    return (float(left), float(top), float(right), float(bottom))


def words_of_furniture(pages: Sequence[Page], groups: Groups) -> Set[Tuple[int, int]]:
    """Page index and number of the words that stand at the same place on many pages.

    Words that differ only in their figures are the same: "page 3", "page 4".  They may be
    set from their start or about their middle: 9 and 10 then begin at different places.
    """
    found: Set[Tuple[int, int]] = set()
    group_of = {number: name for name, group in enumerate(groups) for number in group}
    for shift, anchor in ((0.0, 0.0), (0.5, 0.0), (0.0, 0.5), (0.5, 0.5)):
        seen = defaultdict(set)
        for number, page in enumerate(pages):
            for index, words in enumerate(page.words):
                seen[_word_key(group_of[number], words, shift, anchor)].add((number, index))
        for key, places in seen.items():
            count = len(groups[key[0]])
            if count > 2 and len({number for number, _ in places}) >= max(LEAST, SHARE * count):
                found |= places
    return found


def _word_key(group: int, words: Words, shift: float, anchor: float) -> Tuple[Any, ...]:
    text = "".join("0" if sign.isdigit() else sign for sign in words.text)
    while "00" in text:
        text = text.replace("00", "0")
    if len(text) == 2 and "0" in text:  # A1, B3: rows and columns
        text = "A0"
    along, angle = anchor * words.width, np.radians(words.angle)
    place = (words.x + along * np.cos(angle), words.y + along * np.sin(angle))
    return (group, text, *(int(value / (5 * STEP) + shift) for value in place))
