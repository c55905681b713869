"""How the sheet picture lies on its paper: the scale, and what stands below the drawing.

From top to bottom: title and scale, the drawing, the legend, small pieces once more in a
larger scale, and the list of places to look at.  All lengths are mm on the paper.
"""

import textwrap
from typing import List, NamedTuple, Sequence, Tuple

from sewkit.files.picture_layout import (
    LINE,
    MARGIN,
    NAME,
    NOTE,
    PAPERS,
    SCALES,
    Cell,
    Page,
    rows,
    text_width,
)
from sewkit.files.picture_sheet_ink import RADIUS, Key
from sewkit.report import Level
from sewkit.units import write_number

TOP = 28.0  # title, scale bar, facts
EDGE = 4.0  # free paper around the sheet, for names and circles
KEY_LINE = 5.4
_APART = 6.0  # between blocks
_ITEM_APART = 1.2

# A piece that is drawn smaller than this is drawn once more, about as large as a thumb.
_SMALL, _LARGER = 15.0, 38.0

_COLUMN = 88.0  # of the list, at least
_BETWEEN = 6.0  # columns

_SCALES = (*SCALES, 75.0, 100.0, 150.0, 200.0, 300.0, 500.0)


class Extent(NamedTuple):
    """A piece's name, width and height (mm on the sheet)."""

    name: str
    width: float
    height: float


class Worry(NamedTuple):
    """Something to look at, and all the spots where it is (mm on the sheet)."""

    level: Level
    text: str
    spots: Tuple[Tuple[float, float], ...]


class Item(NamedTuple):
    """One entry of the list: its number, what there is to look at, its words in lines."""

    count: int
    worry: Worry
    lines: Tuple[str, ...]

    @property
    def height(self) -> float:
        """What it needs in the list."""
        return max(2 * RADIUS, len(self.lines) * NOTE * LINE) + _ITEM_APART


class Larger(NamedTuple):
    """Small pieces drawn once more: the scale, the numbers of the pieces, where each stands."""

    scale: float
    pieces: Tuple[int, ...]
    page: Page


class Plan(NamedTuple):
    """The whole paper; ``*_top`` is where a block begins."""

    scale: float
    width: float
    height: float
    legend: Tuple[Tuple[Key, ...], ...]
    legend_top: float
    larger: Larger
    larger_top: float
    columns: Tuple[Tuple[Item, ...], ...]
    list_top: float

    @property
    def column_step(self) -> float:
        """From one column of the list to the next."""
        return _column_width(self.width) + _BETWEEN


class Needs(NamedTuple):
    """All that must find room: the sheet (mm), its pieces, the legend in groups, the places to look at."""

    width: float
    height: float
    pieces: Tuple[Extent, ...]
    keys: Tuple[Tuple[Key, ...], ...]
    worries: Tuple[Worry, ...]
    more: int


def planned(needs: Needs) -> Plan:
    """The largest scale at which all fits on an A4 page, lying if that does as well.

    Where the list is long the page may become longer than A4, if the drawing is larger so
    even when the page is printed on A4 as a whole.
    """
    found = [(plan, height) for width, height in PAPERS for plan in _on_paper(needs, width, height)]
    printed = [plan.scale * max(1.0, plan.height / height) for plan, height in found]
    return found[min(range(len(found)), key=lambda n: round(printed[n], 6))][0]


def _on_paper(needs: Needs, width: float, height: float) -> List[Plan]:
    """At the scale of a drawing without a list, and at the largest at which all fits."""
    alone = _first_fitting(needs._replace(worries=(), more=0, pieces=()), width, height)
    smaller = [_plan(needs, scale, alone.width) for scale in _SCALES if scale >= alone.scale]
    return [smaller[0], *[plan for plan in smaller if plan.height <= height][:1]]


def _first_fitting(needs: Needs, width: float, height: float) -> Plan:
    """On a page of that size; on a larger one where even the smallest scale does not fit."""
    for scale in _SCALES:
        if needs.width / scale + 2 * (EDGE + MARGIN) <= width:
            plan = _plan(needs, scale, width)
            if plan.height <= height:
                return plan
    return _plan(needs, _SCALES[-1], max(width, needs.width / _SCALES[-1] + 2 * (EDGE + MARGIN)))


def _plan(needs: Needs, scale: float, width: float) -> Plan:
    legend = _key_rows(needs.keys, width)
    legend_top = TOP + needs.height / scale + 2 * EDGE + 3.0
    bottom = legend_top + KEY_LINE * len(legend)
    larger_top = bottom + _APART
    larger = _larger(needs.pieces, scale, width, larger_top + NAME + 4.0)
    bottom = larger.page.height if larger.pieces else bottom
    list_top = bottom + _APART
    columns = _columns(needs.worries, _column_width(width), _column_count(width))
    if columns:
        bottom = list_top + NAME + 3.0 + max(sum(item.height for item in column) for column in columns)
        bottom += NOTE * LINE if needs.more else 0.0
    return Plan(
        scale, width, bottom + MARGIN, legend, legend_top, larger, larger_top, tuple(columns), list_top
    )


def _key_rows(groups: Sequence[Sequence[Key]], width: float) -> Tuple[Tuple[Key, ...], ...]:
    """The legend in rows; each group begins a new one."""
    lines: List[List[Key]] = []
    for keys in groups:
        used = width
        for key in keys:
            if used + key.width > width - 2 * MARGIN:
                lines.append([])
                used = 0.0
            lines[-1].append(key)
            used += key.width
    return tuple(tuple(row) for row in lines)


def _larger(pieces: Sequence[Extent], scale: float, width: float, top: float) -> Larger:
    """The pieces that are too small to be seen in the drawing, at the scale of the largest of them."""
    small = [n for n, piece in enumerate(pieces) if max(piece.width, piece.height) / scale < _SMALL]
    if scale == _SCALES[0] or not small:
        return Larger(1.0, (), Page(width, top, ()))
    largest = max(max(pieces[n].width, pieces[n].height) for n in small)
    own = next(one for one in _SCALES if largest / one <= _LARGER)
    most = int((width - 2 * MARGIN) / text_width("n", NOTE))
    cells = []
    for n in small:
        name, *more = textwrap.wrap(pieces[n].name, min(most, 28)) or [""]
        notes = (*more, "1:{}".format(write_number(own)))
        cells.append(Cell(name, pieces[n].width / own, pieces[n].height / own, notes, (), ()))
    page = rows(cells, width, top)
    # From the left, as the list below.
    aside = min(placed.x for placed in page.placed) - MARGIN
    moved = tuple(placed._replace(x=placed.x - aside) for placed in page.placed)
    return Larger(own, tuple(small), page._replace(placed=moved))


def _column_count(width: float) -> int:
    return max(1, int((width - 2 * MARGIN + _BETWEEN) / (_COLUMN + _BETWEEN)))


def _column_width(width: float) -> float:
    count = _column_count(width)
    return (width - 2 * MARGIN - _BETWEEN * (count - 1)) / count


def _columns(worries: Sequence[Worry], width: float, count: int) -> List[Tuple[Item, ...]]:
    """The list in columns of about equal height, read from top to bottom."""
    items = [_item(n + 1, worry, width) for n, worry in enumerate(worries)]
    if not items:
        return []
    limit = max(max(item.height for item in items), sum(item.height for item in items) / count)
    while True:
        columns = _filled(items, limit)
        if len(columns) <= count:
            return columns
        limit += NOTE * LINE


def _filled(items: Sequence[Item], limit: float) -> List[Tuple[Item, ...]]:
    columns: List[List[Item]] = [[]]
    used = 0.0
    for item in items:
        if columns[-1] and used + item.height > limit + 1e-9:
            columns.append([])
            used = 0.0
        columns[-1].append(item)
        used += item.height
    return [tuple(column) for column in columns]


def _item(count: int, worry: Worry, width: float) -> Item:
    most = max(10, int((width - 2 * RADIUS - 2.0) / text_width("n", NOTE)))
    return Item(count, worry, tuple(textwrap.wrap(worry.text, most, break_on_hyphens=False)) or ("",))
