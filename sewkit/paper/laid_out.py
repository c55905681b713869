"""A document that prints a pattern at true size: front, pages, everything in its place."""

import math
from typing import Dict, NamedTuple, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import bounds
from sewkit.geometry.transform import move
from sewkit.paper.content import PieceInk, layers_of
from sewkit.paper.document import Document, Drawn, Layer, Page
from sewkit.paper.front import Legend, Said, front_flow
from sewkit.paper.furniture import BAR, LONG_BAR, Sign, page_furniture
from sewkit.paper.furniture_joins import joins, numbered
from sewkit.paper.lay import USERUNIT, Asked, Laid, laid
from sewkit.paper.moved import moved
from sewkit.paper.panels import GAP, Flowed
from sewkit.paper.sizes import LIMIT
from sewkit.paper.tiling import Cell, Grid, cell_label
from sewkit.pattern.page_marks import PAGE_MARKS

# The front's pages, as a viewer calls them.
FRONT = "Front"

# The front's panels stand so far inside what is printed (mm).
INSET = 4.0


class Printing(NamedTuple):
    """All that makes a document besides the pieces.

    Args:
        asked: the paper and how to use it.
        said: what the front says.
        legend: what the lines mean.
        sizes: all that are printed, in order, for the layers.
        front: whether a front page is wanted where there is one of its own.
        only: names of the pages that are wanted, such as "B3"; empty for all.
    """

    asked: Asked
    said: Said
    legend: Legend = Legend("Lines")
    sizes: Tuple[str, ...] = ()
    front: bool = True
    only: Tuple[str, ...] = ()


class Printed(NamedTuple):
    """The document, where the pieces lie in it, and how many pages stand before the pattern."""

    document: Document
    laid: Laid
    fronts: int


def laid_out(pieces: Sequence[PieceInk], printing: Printing) -> Printed:
    """Put a document together; ``InputError`` where the paper does not serve."""
    asked = printing.asked
    done = laid(pieces, asked, _head(printing, 1) if asked.has_head else 0.0)
    if asked.has_head and len(done.cells) > 1:
        done = laid(pieces, asked, _head(printing, 2))
    cells = wanted(done, printing.only)
    numbers = numbered(done.cells)
    bar = LONG_BAR if asked.has_head else BAR
    said = printing.said
    sign = Sign(", ".join(filter(None, [said.title, said.below])), bar)
    outer = tuple(max(piece.outer, key=_extent) for piece in done.pieces if piece.outer)
    flow = _front(done.grid, done.cells, outer, printing)
    fronts: Tuple[Page, ...] = ()
    if printing.front and not asked.has_head and not printing.only:
        fronts = _front_pages(flow, done.grid)
    pages = []
    for number, cell in enumerate(done.cells, 1):
        if cell not in cells:
            continue
        own = page_furniture(done.grid, cell, number, len(done.cells), sign)
        own = own.and_(joins(done.grid, cell, numbers))
        if asked.has_head and cell == (0, 0):
            own = own.and_(moved(flow.pages[0], move(asked.margin + INSET, asked.margin + INSET)))
        window = done.grid.window(cell)
        pages.append(Page(*done.grid.page, (window,), own, cell_label(cell), below=True))
    unit = 1.0
    if asked.oversize == USERUNIT:
        unit = float(max(1, math.ceil(max(done.grid.page) / LIMIT - 1e-9)))
    name = asked.paper.slug + "".join("-" + word.lower() for word in printing.only)
    layers = (*layers_of(done.pieces, printing.sizes), Layer(PAGE_MARKS, "Pages"))
    every = tuple(page._replace(own=_on_a_layer(page.own)) for page in (*fronts, *pages))
    document = Document(name, said.title, every, done.artwork, layers, said.below, unit)
    return Printed(document, done, len(fronts))


def _extent(path: Path) -> float:
    """Width and height of its box together (mm)."""
    left, top, right, low = bounds(path)
    return right - left + low - top


def _on_a_layer(own: Drawn) -> Drawn:
    """What is a page's own, on the layer for it."""
    on = (PAGE_MARKS,)
    return Drawn(
        tuple(stroke._replace(layers=on) for stroke in own.strokes),
        tuple(fill._replace(layers=on) for fill in own.fills),
        tuple(words._replace(layers=on) for words in own.words),
    )


def wanted(done: Laid, only: Sequence[str]) -> Tuple[Cell, ...]:
    """The cells of the pages that are wanted; ``InputError`` for a name that none has."""
    known: Dict[str, Cell] = {cell_label(cell): cell for cell in done.cells}
    missing = [name for name in only if name.upper() not in known]
    if missing:
        blank = {cell_label(cell) for cell in done.grid.cells} - set(known)
        what = "There is nothing on page {}." if missing[0].upper() in blank else "There is no page {}."
        raise InputError(what.format(missing[0]), "The pages are: {}.".format(", ".join(known)), code="paper")
    return tuple(known[name.upper()] for name in only) if only else done.cells


def _front(grid: Grid, cells: Sequence[Cell], outer: Sequence[Path], printing: Printing) -> Flowed:
    """The front's panels on pages like the others, or as high as they need at the head of the first."""
    asked = printing.asked
    width, height = grid.size[0] - 2 * INSET, grid.size[1] - 2 * INSET
    if asked.has_head:
        # As wide as the narrower side, whichever way the page lies.
        width, height = min(asked.paper.width, asked.paper.height) - 2 * asked.margin - 2 * INSET, math.inf
    return front_flow(printing.said, printing.legend, grid, cells, outer, width, height)


def _head(printing: Printing, pages: int) -> float:
    """How high the head of the first page is (mm), where there is one page, or more."""
    asked = printing.asked
    page = (asked.paper.width, asked.paper.height)
    grid = Grid(page, asked.margin, asked.overlap, 0.0, 0.0, pages, 1)
    return _front(grid, grid.cells, (), printing).used[0] + INSET + GAP


def _front_pages(flow: Flowed, grid: Grid) -> Tuple[Page, ...]:
    found = []
    for number, drawn in enumerate(flow.pages, 1):
        label = FRONT if number == 1 else "{} {}".format(FRONT, number)
        own = moved(drawn, move(grid.margin + INSET, grid.margin + INSET))
        found.append(Page(*grid.page, (), own, label))
    return tuple(found)
