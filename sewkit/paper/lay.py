"""Where the pieces lie on the paper: as they are drawn, or packed where that saves pages."""

import math
from typing import Iterator, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.transform import IDENTITY, Transform, move
from sewkit.paper.content import PieceInk
from sewkit.paper.document import Drawn
from sewkit.paper.furniture import BAND
from sewkit.paper.moved import moved, together
from sewkit.paper.packing import packed_squares
from sewkit.paper.sizes import LONGEST, Paper
from sewkit.paper.squares import FREE, GRAIN, shape_of, squared
from sewkit.paper.tiling import (
    MOST_PAGES,
    Box,
    Cell,
    Grid,
    Ink,
    count,
    fewest,
    grid_over,
    ink_of,
    inked,
    too_many,
)
from sewkit.units import write_number

AS_DRAWN, PACKED, PACKED_GRAIN = "as-drawn", "packed", "packed-grain"
AUTO, PORTRAIT, LANDSCAPE = "auto", "portrait", "landscape"
SPLIT, PLAIN, USERUNIT = "split", "plain", "userunit"

# On paper as wide as this (mm) a page of its own for what comes before the pattern would be a
# waste: that stands at the head of the first page.  A3 is below, A2 above.
WIDE = 400.0

# A roll is never cut shorter than this (mm): a bar of 300 mm has to stand along it.
_SHORTEST = 350.0

# So many layouts are tried for one piece; fewer for many, as each takes longer.
_MOST_TRIES, _TRIES = 8, 90

# Longer pages than this (mm) are a mistake in scale; so is more of a roll than it holds, 100 m.
_ENDLESS = 100000.0

# Pieces are packed so far within the frame (mm): a line on it could not be told from it, and is
# lost where the printer leaves a little more empty than it says.
_WITHIN = 1.0


class Asked(NamedTuple):
    """The paper and how to use it; lengths in mm."""

    paper: Paper
    turn: str = AUTO
    margin: float = 10.0
    overlap: float = 10.0
    lay: str = PACKED
    gap: float = 10.0
    oversize: str = SPLIT

    @property
    def has_head(self) -> bool:
        """Whether what comes before the pattern stands at the head of the first page."""
        return self.paper.roll or min(self.paper.width, self.paper.height) >= WIDE


class Laid(NamedTuple):
    """Pieces in their places.

    Args:
        pieces: moved to where they are printed.
        artwork: all of them.
        grid, cells: the pages, and those on which there is anything.
        turned: whether a page lies on its long side.
        is_packed: whether pieces were moved.
        layout: in words: "portrait, packed".
        tried: how many pages each layout takes.
    """

    pieces: Tuple[PieceInk, ...]
    artwork: Drawn
    grid: Grid
    cells: Tuple[Cell, ...]
    turned: bool
    is_packed: bool
    layout: str
    tried: Tuple[Tuple[str, int], ...]


class _Try(NamedTuple):
    grid: Grid
    cells: Tuple[Cell, ...]
    moves: Tuple[Transform, ...]
    turned: bool
    is_packed: bool
    is_roll: bool

    @property
    def cost(self) -> Tuple[float, float]:
        """How much paper it takes: pages, then their area (mm2)."""
        return len(self.cells), len(self.cells) * self.grid.page[0] * self.grid.page[1]


def laid(pieces: Sequence[PieceInk], asked: Asked, head: float = 0.0) -> Laid:
    """Lay pieces on paper so that the fewest pages, or the shortest roll, are taken.

    Args:
        head: kept free at the top of the first page (mm).
    """
    tries = list(_tries(pieces, asked, head))
    best = min(tries, key=lambda one: (one.cost, one.is_packed))
    if len(best.cells) > MOST_PAGES:
        raise too_many(len(best.cells))
    put = tuple(
        piece._replace(drawn=moved(piece.drawn, to), outer=tuple(to.path(path) for path in piece.outer))
        for piece, to in zip(pieces, best.moves)
    )
    told = []
    for name in dict.fromkeys(_called(one) for one in tries):
        told.append((name, min(len(one.cells) for one in tries if _called(one) == name)))
    artwork = together(piece.drawn for piece in put)
    return Laid(put, artwork, best.grid, best.cells, best.turned, best.is_packed, _called(best), tuple(told))


def _called(one: _Try) -> str:
    if one.is_roll:
        return "packed" if one.is_packed else "as drawn"
    return "{}, {}".format(LANDSCAPE if one.turned else PORTRAIT, "packed" if one.is_packed else "as drawn")


def _tries(pieces: Sequence[PieceInk], asked: Asked, head: float) -> Iterator[_Try]:
    """As drawn on each page allowed, then packed in strips of some widths."""
    inks = [ink_of(piece.drawn) for piece in pieces]
    every = joined(inks)
    if not len(every.starts):
        raise InputError("There is nothing to print.", "Select pieces with lines.", code="choice")
    if asked.paper.roll:
        _check_roll(inks, asked)
    corner = move(-every.box[0], -every.box[1])
    # What is drawn where the sheet begins keeps its digits.
    as_drawn = (corner,) * len(pieces)
    pages = _pages(asked)
    for page, turned in pages:
        grid, cells = _divided(_moved(every, corner), asked, page, head)
        yield _Try(grid, cells, as_drawn, turned, False, asked.paper.roll)
        enough = len(cells) == 1 and not asked.paper.roll
        if enough:
            return
    if asked.lay == AS_DRAWN:
        return
    shapes = [shape_of(piece.drawn, piece.outer) for piece in pieces]
    on_squares = squared(shapes, GRAIN if asked.lay == PACKED_GRAIN else FREE)
    for width, some in _widths(inks, asked, pages):
        done = packed_squares(on_squares, width, asked.gap)
        if done is None:
            continue
        ink = joined([_moved(own, to) for own, to in zip(inks, done.moves)])
        for page, turned in some:
            grid, cells = _divided(ink, asked, page, head)
            yield _Try(grid, cells, done.moves, turned, True, asked.paper.roll)


def _check_roll(inks: Sequence[Ink], asked: Asked) -> None:
    """``InputError`` where a single piece takes more than a roll; before anything is laid."""
    window = asked.paper.width - 2 * asked.margin
    for ink in inks:
        left, top, right, low = ink.box
        sides = (right - left, low - top)
        takes = min(sides[k] * count(sides[1 - k], window, asked.overlap) for k in (0, 1))
        if takes > _ENDLESS:
            raise InputError(
                "That would be {} m of {}.".format(write_number(takes / 1000.0, 6), asked.paper.name),
                "Pick fewer pieces; and see whether the drawing's scale is right.",
                code="paper",
            )


def _pages(asked: Asked) -> Tuple[Tuple[Tuple[float, float], bool], ...]:
    """Pages that may be taken (mm), each with whether it is turned."""
    upright = (asked.paper.width, asked.paper.height)
    if asked.paper.roll:
        return ((upright, False),)
    found = []
    if asked.turn != LANDSCAPE:
        found.append((upright, False))
    if asked.turn != PORTRAIT:
        found.append(((upright[1], upright[0]), True))
    return tuple(found)


def _widths(
    inks: Sequence[Ink], asked: Asked, pages: Sequence[Tuple[Tuple[float, float], bool]]
) -> List[Tuple[float, List[Tuple[Tuple[float, float], bool]]]]:
    """Widths of strips to pack on (mm), those of few whole pages, with the pages they are for."""
    area = sum((ink.box[2] - ink.box[0]) * (ink.box[3] - ink.box[1]) for ink in inks)
    spare = BAND if asked.has_head else 0.0
    found = []
    for page, turned in pages:
        window = page[0] - 2 * asked.margin
        step = window - asked.overlap
        most = 3 if asked.paper.roll else int(math.ceil(1.6 * math.sqrt(area) / step)) + 1
        for columns in range(1, most + 1):
            width = window + (columns - 1) * step - spare - 2 * _WITHIN
            # The best strips are about as wide as long; of a roll the narrowest is best.
            doubt = columns if asked.paper.roll else abs(math.log(width * width / area))
            found.append((doubt, width, [(page, turned)]))
    found.sort(key=lambda one: (one[0], one[1]))
    tries = max(2, min(_MOST_TRIES, _TRIES // max(len(inks), 1)))
    return [(width, some) for _, width, some in found[:tries]]


def _divided(ink: Ink, asked: Asked, page: Tuple[float, float], head: float) -> Tuple[Grid, Tuple[Cell, ...]]:
    """The pages over some ink, and those that have any; the first also where it has the head."""
    left, top, right, low = ink.box
    if not asked.has_head:
        grid = fewest(ink, ink.box, page, asked.margin, asked.overlap)
        return grid, inked(ink, grid)
    box = (left, top - head, right + BAND, low + BAND)
    if asked.paper.roll:
        grid = _roll(box, asked)
    else:
        grid = fewest(ink, box, page, asked.margin, asked.overlap)
    return grid, tuple(sorted({(0, 0), *inked(ink, grid)}))


def _roll(box: Box, asked: Asked) -> Grid:
    """Lengths of a roll, all equal, none longer than allowed."""
    length = box[3] - box[1]
    longest = asked.paper.height
    if asked.oversize == SPLIT:
        longest = min(longest, LONGEST)
    else:
        longest = max(longest, _ENDLESS)
    window = longest - 2 * asked.margin
    rows = count(length, window, asked.overlap)
    window = max((length - asked.overlap) / rows + asked.overlap, _SHORTEST - 2 * asked.margin)
    # Whole millimetres, so that nobody has to cut off a fraction.
    page = (asked.paper.width, math.ceil(window - 1e-6) + 2 * asked.margin)
    grid = grid_over(box, page, asked.margin, asked.overlap)
    spare = grid.step[0] * grid.columns + asked.overlap - (box[2] - box[0])
    return grid._replace(left=grid.left - max(spare, 0.0) / 2)


def joined(inks: Sequence[Ink]) -> Ink:
    """The ink of several drawings."""
    return Ink(*(np.concatenate([getattr(ink, name) for ink in inks]) for name in Ink._fields))


def _moved(ink: Ink, to: Transform) -> Ink:
    return ink if to == IDENTITY else Ink(to.points(ink.starts), to.points(ink.stops), ink.half)
