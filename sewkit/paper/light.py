"""Pieces as light: thick light lines on a dark ground, as large as they are sewn.

What is drawn for paper is turned into what can be seen on a table: lines of several pixels, dashes
in proportion, light inks, words only where they are large enough to be read.
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.transform import Transform, mirror, move, turn
from sewkit.paper.calibration import calibration, chalk_mark, letters, throw_frame
from sewkit.paper.content import PieceInk, content, layers_of
from sewkit.paper.document import BLACK, Document, Drawn, Ink, Page, Window, Words
from sewkit.paper.field import EDGE, Field, throws
from sewkit.paper.line_kinds import INKS, WEIGHTS
from sewkit.paper.moved import moved, together
from sewkit.paper.tiling import Grid, ink_of, inked
from sewkit.paper.tiling import Ink as Lines
from sewkit.pattern.label_legend import LABEL_NAME
from sewkit.pattern.mark import GRAIN
from sewkit.pattern.piece import Piece
from sewkit.pattern.piece_label import BAR
from sewkit.units import write_length

# Lines are so many pixels wide at least: one alone flickers, and is lost on a checked cloth.
_PIXELS_WIDE = 2.0

# Letters lower than this (pixels) cannot be read.
_READABLE = 14.0

# Points along a line so close that no words slip between them (mm).
_DENSE = 4.0

GROUND: Ink = (0.0, 0.0, 0.0)

# Light inks of four lightnesses, in the place of the dark ones on paper.
_LIGHT: Dict[str, Ink] = {
    "white": (1.0, 1.0, 1.0),
    "yellow": (1.0, 0.93, 0.3),
    "green": (0.55, 1.0, 0.55),
    "blue": (0.6, 0.85, 1.0),
}
COLOURS = tuple(_LIGHT)

# Pieces stand so far apart on the sheet that no throw shows a neighbour (fields).
_APART = 1.2


class Shown(NamedTuple):
    """What is projected of one piece: in these sizes, under these words."""

    piece: Piece
    sizes: Tuple[str, ...]
    words: Tuple[str, ...]


class Look(NamedTuple):
    """How it is projected.

    Args:
        lines: "both", "seam" or "cut".
        weight: width of a stitch line (mm).
        colour: of the lines; in a nest the first of several.
        mirrored: turned over, for the second of a pair.
        grain: "drawn", "along" or "across" the table.
        overlap: of neighbouring throws (mm).
    """

    lines: str
    weight: float
    colour: str
    mirrored: bool
    grain: str
    overlap: float


class _Laid(NamedTuple):
    """A piece on the sheet: its light, its name, the throws that show it."""

    light: PieceInk
    words: Tuple[str, ...]
    grid: Grid


def projected(field: Field, shown: Sequence[Shown], look: Look, title: str, subject: str) -> Document:
    """The document: a page to calibrate by, then one page for every throw."""
    every = tuple(dict.fromkeys(size for one in shown for size in one.sizes))
    weight = max(look.weight, _PIXELS_WIDE / field.per_mm)
    laid: List[_Laid] = []
    right = 0.0
    for one in shown:
        light = _light(one, every, look, weight, field)
        left, top, _, _ = box = ink_of(light.drawn).box
        shift = move(right - left, -top)
        light = light._replace(drawn=moved(light.drawn, shift))
        box = (right, 0.0, right + box[2] - left, box[3] - top)
        laid.append(_Laid(light, one.words, throws(field, box, look.overlap)))
        right = box[2] + _APART * field.width
    ink = _LIGHT[look.colour]
    first = Page(field.width, field.height, (), calibration(field, ink, weight, title), "calibration", GROUND)
    pages = [first]
    for one_laid in laid:
        pages += _pages(one_laid, field, ink, weight, subject)
    artwork = together(one_laid.light.drawn for one_laid in laid)
    layers = layers_of([one_laid.light for one_laid in laid], every)
    return Document("projector", title, tuple(pages), artwork, layers, subject, full_screen=True)


# -- light ----------------------------------------------------------------------------------


def _light(one: Shown, every: Sequence[str], look: Look, weight: float, field: Field) -> PieceInk:
    paper = content(_without_bars(one.piece, field), one.sizes, every, look.lines, weight)
    share = weight / WEIGHTS["normal"]
    inks = _inks(look.colour)
    strokes = tuple(
        stroke._replace(
            width=max(stroke.width, _PIXELS_WIDE / field.per_mm),
            dashes=tuple(dash * share for dash in stroke.dashes),
            ink=inks.get(stroke.ink, inks[BLACK]),
        )
        for stroke in paper.drawn.strokes
    )
    fills = tuple(fill._replace(ink=inks.get(fill.ink, inks[BLACK])) for fill in paper.drawn.fills)
    words = _readable(paper.drawn.words, every, inks[BLACK], field)
    drawn = moved(Drawn(strokes, fills, tuple(words)), _turned(one.piece, one.sizes[0], look.grain))
    return paper._replace(drawn=_turned_over(drawn) if look.mirrored else drawn)


def _without_bars(piece: Piece, field: Field) -> Piece:
    """The piece without the bar of its label where nobody could read how long it is."""
    said = write_length(BAR)
    read = [mark for mark in piece.marks if mark.name == LABEL_NAME and mark.text == said]
    if any(mark.height * field.per_mm >= _READABLE for mark in read):
        return piece
    marks = tuple(mark for mark in piece.marks if mark.name != LABEL_NAME or mark.text)
    return piece._replace(marks=marks)


def _inks(colour: str) -> Dict[Ink, Ink]:
    """Which light ink stands for which dark one; the chosen colour for black."""
    lights = [_LIGHT[colour]] + [ink for name, ink in _LIGHT.items() if name != colour]
    return dict(zip(INKS, lights))


def _readable(words: Sequence[Words], every: Sequence[str], ink: Ink, field: Field) -> List[Words]:
    """Words that can be read on the table.

    Names of sizes are made just large enough in a nest, and left out where there is one size: it
    stands in the corner.  Small labels go.
    """
    found = []
    for one in words:
        if one.text in every:
            if len(every) == 1:
                continue
            one = one._replace(height=max(one.height, _READABLE / field.per_mm))
        if one.height * field.per_mm >= _READABLE:
            found.append(one._replace(ink=ink))
    return found


def _turned(piece: Piece, size: str, grain: str) -> Transform:
    """The turn that lays the grain along or across the table; none where it stays as drawn."""
    shaft = next(
        (m.shaft for m in piece.marks_for(size) if m.kind == GRAIN and m.path is not None and len(m.path)),
        None,
    )
    if grain == "drawn" or shaft is None:
        return turn(0.0)
    way = shaft.end - shaft.start
    now = float(np.degrees(np.arctan2(way[1], way[0])))
    wanted = 0.0 if grain == "along" else 90.0
    # Either end of the arrow may lead: turn by as little as does it.
    angle = (wanted - now + 90.0) % 180.0 - 90.0
    return turn(angle)


def _turned_over(drawn: Drawn) -> Drawn:
    """Left and right exchanged; words stay readable."""
    over = mirror((0.0, 0.0), (0.0, 1.0))
    strokes = tuple(stroke._replace(path=over.path(stroke.path)) for stroke in drawn.strokes)
    fills = tuple(fill._replace(path=over.path(fill.path)) for fill in drawn.fills)
    words = tuple(
        one._replace(
            place=(-one.place[0], one.place[1]), along=(one.along[0], -one.along[1]), anchor=1.0 - one.anchor
        )
        for one in drawn.words
    )
    return Drawn(strokes, fills, words)


# -- pages ----------------------------------------------------------------------------------


def _pages(laid: _Laid, field: Field, ink: Ink, weight: float, subject: str) -> List[Page]:
    """One page for every throw on which there is something."""
    grid = laid.grid
    lines = ink_of(laid.light.drawn)
    cells, spots = inked(lines, grid), _spots(lines)
    chalk = _chalk(grid, field, ink, weight)
    pages = []
    for number, cell in enumerate(cells, 1):
        words = list(laid.words) + [subject]
        if len(cells) > 1:
            words.append("part {} of {}: lay the crosses on each other".format(number, len(cells)))
        left, top = grid.corner(cell)
        left, top = left - EDGE, top - EDGE
        window = Window(left, top, field.width, field.height, 0.0, 0.0)
        seen = [moved(mark, move(-left, -top)) for spot, mark in chalk if _inside(spot, left, top, field)]
        busy = np.vstack([spots - [left, top], *(_spots(ink_of(mark)) for mark in seen)])
        frame = throw_frame(field, ink, weight, [line for line in words if line], busy)
        own = together([frame, *seen])
        label = laid.light.name + (" {}".format(number) if len(cells) > 1 else "")
        pages.append(Page(field.width, field.height, (window,), own, label, GROUND))
    return pages


def _spots(lines: Lines) -> np.ndarray:
    """Points (n, 2) along all lines, nowhere further apart than ``_DENSE``."""
    ways = lines.stops - lines.starts
    counts = np.ceil(np.hypot(ways[:, 0], ways[:, 1]) / _DENSE).astype(int) + 1
    number = np.repeat(np.arange(len(counts)), counts)
    share = (np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)) / counts[number]
    return lines.starts[number] + share[:, None] * ways[number]


def _inside(spot: Tuple[float, float], left: float, top: float, field: Field) -> bool:
    return EDGE <= spot[0] - left <= field.width - EDGE and EDGE <= spot[1] - top <= field.height - EDGE


def _chalk(grid: Grid, field: Field, ink: Ink, weight: float) -> List[Tuple[Tuple[float, float], Drawn]]:
    """Two numbered crosses in the middle of every strip that neighbours share."""
    found: List[Tuple[Tuple[float, float], Drawn]] = []
    width, height = grid.size
    for row, column in grid.cells:
        left, top = grid.corner((row, column))
        spots = []
        if column + 1 < grid.columns:
            x = left + width - grid.overlap / 2
            spots += [(x, top + height * share) for share in (0.3, 0.7)]
        if row + 1 < grid.rows:
            y = top + height - grid.overlap / 2
            spots += [(left + width * share, y) for share in (0.3, 0.7)]
        for spot in spots:
            mark = chalk_mark(spot, len(found) + 1, ink, weight, letters(field) * 0.8)
            found.append((spot, mark))
    return found
