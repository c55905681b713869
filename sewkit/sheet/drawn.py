"""What stands on the pages of a PDF: strokes, words, pages.

Millimetres, x to the right, y down, from the upper left corner of the page as it is
stored: a page that a viewer turns is told so and stays unturned here, because tiles that
are turned one by one still fit together unturned.
"""

from typing import Callable, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.path import Path

Box = Tuple[float, float, float, float]  # left, top, right, bottom (mm)

# Told while long work goes on: how much is done, of how much, and what in a word.
Progress = Optional[Callable[[int, int, str], None]]


class Style(NamedTuple):
    """How a stroke looks; two strokes of one style are the same kind of line.

    Args:
        colour: of the pen, ``#rrggbb``; a printing ink of its own by its name, as
            ``ink:Cut Line``; empty where nothing is stroked.
        width: of the pen (mm); 0 is the thinnest line a printer can draw.
        dashes: stroke, gap, stroke, gap ... (mm); empty for a solid line.
        fill: colour of the filled area, as ``colour``; empty where nothing is filled.
    """

    colour: str = "#000000"
    width: float = 0.0
    dashes: Tuple[float, ...] = ()
    fill: str = ""


class Drawn(NamedTuple):
    """One painted path of a page, exactly as it was drawn, before any clip.

    Args:
        curves: ``(n, 4, 2)`` mm on the page; all its runs one after the other.
        starts: the first curve of each run, in order; the first is 0.
        closed: for each run, whether it was closed.
        style: how it looks.
        layers: names of the optional-content layers it is in, outermost first.
        hidden: a layer it is in is switched off in the file.
        clip: the rectangle outside which it is not seen; None where nothing is cut away.
        cut_by_shape: it is also clipped by something that is no rectangle.
        order: place in the drawing order of its page, from 0.
    """

    curves: np.ndarray
    starts: Tuple[int, ...]
    closed: Tuple[bool, ...]
    style: Style
    layers: Tuple[str, ...] = ()
    hidden: bool = False
    clip: Optional[Box] = None
    cut_by_shape: bool = False
    order: int = 0

    def runs(self) -> Tuple[Path, ...]:
        """Its runs as paths, closed where they were closed."""
        stops = self.starts[1:] + (len(self.curves),)
        found = []
        for start, stop, closed in zip(self.starts, stops, self.closed):
            found.append(Path(self.curves[start:stop], closed))
        return tuple(found)


class Words(NamedTuple):
    """A run of text on one line.

    Args:
        text: the words; never empty.
        x, y: where the first letter's baseline starts (mm).
        angle: direction of reading, degrees clockwise on the sheet from "to the right".
        height: size of the letters (mm).
        width: length of the run along its direction (mm), as far as the fonts tell it.
        colour: as in ``Style``.
        layers, hidden: as in ``Drawn``.
        clip: as in ``Drawn``.
    """

    text: str
    x: float
    y: float
    angle: float = 0.0
    height: float = 3.0
    width: float = 0.0
    colour: str = "#000000"
    layers: Tuple[str, ...] = ()
    hidden: bool = False
    clip: Optional[Box] = None


class Page(NamedTuple):
    """One page.

    Args:
        number: from 1, in the file's order.
        width, height: of what a viewer shows (crop box), before turning (mm).
        turn: how many degrees clockwise a viewer turns it: 0, 90, 180 or 270.
        drawn: all painted paths, in drawing order.
        words: all text.
        pictures: share of the page that raster images cover, 0 to 1.
        label: the page's own label in the file ("iii", "A4"), often just its number.
    """

    number: int
    width: float
    height: float
    turn: int = 0
    drawn: Tuple[Drawn, ...] = ()
    words: Tuple[Words, ...] = ()
    pictures: float = 0.0
    label: str = ""


class Layer(NamedTuple):
    """An optional-content layer of the file, and whether the file has it switched off."""

    name: str
    hidden: bool = False


class Printed(NamedTuple):
    """What a PDF holds.

    Args:
        pages: those that were read, in the file's order.
        layers: in the file's order.
        producer: the program that wrote the file, in the file's own words.
        title: the file's own title.
        total: how many pages the file has.
        doubts: sentences about what was damaged or could not be read.
    """

    pages: Tuple[Page, ...]
    layers: Tuple[Layer, ...] = ()
    producer: str = ""
    title: str = ""
    total: int = 0
    doubts: Tuple[str, ...] = ()


class Line(NamedTuple):
    """One stroke on the joined sheet.

    Args:
        path: mm on the sheet; closed only where it was drawn closed.
        style, layers, hidden: as in ``Drawn``.
        page: the page it came from.
        order: drawing order over all pages: (page, order in page, run).
        cut: whether its start and its end lie on the border of a tile, where the line
            goes on on the next one.
    """

    path: Path
    style: Style
    layers: Tuple[str, ...] = ()
    hidden: bool = False
    page: int = 1
    order: Tuple[int, int, int] = (0, 0, 0)
    cut: Tuple[bool, bool] = (False, False)


class Sheet(NamedTuple):
    """All tiles joined: one sheet (mm), its strokes and its words.

    ``pages``: the box of each tile on the sheet, by page number, for pictures and places.
    """

    width: float
    height: float
    lines: Tuple[Line, ...] = ()
    words: Tuple[Words, ...] = ()
    pages: Tuple[Tuple[int, Box], ...] = ()


class Gap(NamedTuple):
    """A gap that was bridged: where (mm on the sheet), and how wide (mm)."""

    point: Tuple[float, float]
    width: float


class Whole(NamedTuple):
    """A line as its designer drew it: dashes, tiles and segments put together again.

    Args:
        path: mm on the sheet.
        style: with the dash rhythm, also where the dashes came as single strokes.
        layers, hidden: as in ``Drawn``.
        order: that of its first stroke.
        parts: of how many strokes it was made.
        gaps: those bridged that were more than a dash's own gap.
    """

    path: Path
    style: Style
    layers: Tuple[str, ...] = ()
    hidden: bool = False
    order: Tuple[int, int, int] = (0, 0, 0)
    parts: int = 1
    gaps: Tuple[Gap, ...] = ()
