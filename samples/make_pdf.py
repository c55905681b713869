"""Write the sample waistcoat as it would be bought: a PDF of A4 pages to print and join.

    python samples/make_pdf.py            writes samples/waistcoat/bought.pdf

It is the master drawing without any of its names: only lines, words and a layer for each
size.  Lines are cut where a page ends; neighbouring pages share a strip of 10 mm.
The same chart gives the same bytes.
"""

import pathlib
import re
import sys
from typing import Any, Dict, Iterator, List, NamedTuple, Sequence, Tuple

import numpy as np
from lxml import etree

ROOT = pathlib.Path(__file__).resolve().parent.parent
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

from samples.make_master import FOLDER, SEWKIT, SVG, master, read_chart, size_style  # noqa: E402
from samples.plain_pdf import Page, book, text_width  # noqa: E402
from samples.waistcoat_draft import Body  # noqa: E402
from sewkit.geometry.intersect import crossings_with_line  # noqa: E402
from sewkit.geometry.length import curve_lengths  # noqa: E402
from sewkit.geometry.path import Path, end_tangents, lines, point, split_at, start_tangents  # noqa: E402

Element = Any
Box = Tuple[float, float, float, float]

A4 = (210.0, 297.0)
LIVE = (10.0, 10.0)  # upper left corner of the printed area on a page
AREA = (190.0, 277.0)
OVERLAP = 10.0
PITCH = (AREA[0] - OVERLAP, AREA[1] - OVERLAP)
CORNER = (22.0, 45.0)  # where on the master's sheet the first tile begins
COLUMNS, ROWS = 6, 3
SQUARE_ASIDE = 85.0  # the test square is moved so that it lies on one page
EVERYONE = "All sizes"
GREY = 0.55


class Stroke(NamedTuple):
    """Lines of the sheet that are drawn in one go, without names."""

    paths: Tuple[Path, ...]
    width: float
    dashes: Tuple[float, ...]
    layer: str


class Text(NamedTuple):
    """Words of the sheet."""

    x: float
    y: float
    words: str
    size: float
    anchor: str
    angle: float
    layer: str


class Sheet(NamedTuple):
    """What is left of the master: lines, filled arrow heads, words."""

    strokes: List[Stroke]
    heads: List[Path]
    texts: List[Text]


def bought(bodies: Sequence[Body]) -> bytes:
    """The whole file: a page to read first, then the tiles row by row."""
    layers = ["Size " + body.size for body in bodies] + [EVERYONE]
    sheet = read_master(etree.fromstring(master(bodies)))
    pages = [_first_page(bodies, layers)]
    for row in range(ROWS):
        for column in range(COLUMNS):
            pages.append(_tile(sheet, row, column, layers))
    return book(pages, layers, "Waistcoat, eight sizes")


# -- From the master -------------------------------------------------------------------


def read_master(root: Element) -> Sheet:
    """Lines and words of the pieces and the test square; titles and notes stay behind."""
    sheet = Sheet([], [], [])
    for layer in root.findall("{%s}g" % SVG):
        if layer.get("{%s}piece" % SEWKIT):
            for element in layer.iter("{%s}path" % SVG, "{%s}text" % SVG):
                _take(sheet, element)
    square = root.find(".//{%s}rect[@id='test-square']" % SVG)
    x, y, side = (float(square.get(name)) for name in ("x", "y", "width"))
    _take_square(sheet, (x + SQUARE_ASIDE, y), side, "100 mm")
    return sheet


def _take(sheet: Sheet, element: Element) -> None:
    size = element.get("{%s}size" % SEWKIT)
    layer = "Size " + size if size else EVERYONE
    style = dict(part.split(":") for part in element.get("style").split(";"))
    if element.tag.endswith("text"):
        x, y = float(element.get("x")), float(element.get("y"))
        height = float(style["font-size"].replace("px", ""))
        angle = -90.0 if element.get("transform") else 0.0
        words = element.text[0].upper() + element.text[1:] if height >= 10.0 else element.text
        words = words.replace("-", " ")
        sheet.texts.append(Text(x, y, words, height, style["text-anchor"], angle, layer))
        return
    paths = tuple(read_path(element.get("d")))
    dashes = tuple(map(float, style.get("stroke-dasharray", "").replace(",", " ").split()))
    sheet.strokes.append(Stroke(paths, float(style["stroke-width"]), dashes, layer))
    if "marker-end" in style:
        (line,) = paths
        sheet.heads.append(_arrow_head(line.end, end_tangents(line.curves)[-1]))
        sheet.heads.append(_arrow_head(line.start, -start_tangents(line.curves)[0]))


def _arrow_head(at: np.ndarray, along: np.ndarray) -> Path:
    """The same head that the master's marker draws."""
    aside = np.array([-along[1], along[0]])
    return Path.through([at - 3.0 * aside, at + 12.0 * along, at + 3.0 * aside], closed=True)


def _take_square(sheet: Sheet, corner: Tuple[float, float], side: float, words: str) -> None:
    sheet.strokes.append(Stroke((_rectangle(*corner, side, side),), 0.35, (), EVERYONE))
    middle = corner[0] + side / 2
    sheet.texts.append(Text(middle, corner[1] + side / 2, words, 8.0, "middle", 0.0, EVERYONE))


def read_path(d: str) -> Iterator[Path]:
    """The runs of path text with absolute M, L, C and Z, which is all the master uses."""
    for run in re.findall(r"M[^M]*", d):
        here, curves = np.zeros(2), []
        for letter, rest in re.findall(r"([MLC])([^MLCZ]*)", run):
            points = np.array([float(n) for n in re.findall(r"-?[\d.]+", rest)]).reshape(-1, 2)
            if letter == "C":
                for three in points.reshape(-1, 3, 2):
                    curves.append(np.vstack([here, three]))
                    here = three[2]
            for spot in points if letter != "C" else ():
                if letter == "L":
                    curves.append(lines(here[None], spot[None])[0])
                here = spot
        closed = run.rstrip().endswith("Z")
        if closed and not np.array_equal(here, curves[0][0]):
            curves.append(lines(here[None], curves[0][:1])[0])
        yield Path(np.array(curves), closed)


# -- Tiles -----------------------------------------------------------------------------


def _tile(sheet: Sheet, row: int, column: int, layers: Sequence[str]) -> Page:
    page = Page(A4[0], A4[1], layers)
    _frame(page, row, column)
    x, y = CORNER[0] + column * PITCH[0], CORNER[1] + row * PITCH[1]
    shift = np.array([LIVE[0] - x, LIVE[1] - y])
    page.window(LIVE[0], LIVE[1], AREA[0], AREA[1])
    box = (x, y, x + AREA[0], y + AREA[1])
    for stroke in sheet.strokes:
        for path in stroke.paths:
            for part, phase in inside(path, box, sum(stroke.dashes)):
                moved = Path(part.curves + shift, part.closed)
                page.line([moved], stroke.width, stroke.dashes, phase, layer=stroke.layer)
    for head in sheet.heads:
        if _near(head.curves.min(axis=(0, 1)), head.curves.max(axis=(0, 1)), box):
            page.area(Path(head.curves + shift, True), layer=EVERYONE)
    for text in sheet.texts:
        at = np.array([text.x, text.y])
        reach = text_width(text.words, text.size)
        if _near(at - reach, at + reach, box):
            spot = (float(at[0] + shift[0]), float(at[1] + shift[1]))
            page.text(spot, text.words, text.size, text.anchor, text.angle, text.layer)
    page.whole()
    return page


def inside(path: Path, box: Box, rhythm: float) -> List[Tuple[Path, float]]:
    """The parts of a line in a box, each with the place in the rhythm at which it begins (mm)."""
    low, high = path.curves.min(axis=(0, 1)), path.curves.max(axis=(0, 1))
    if not _near(low, high, box):
        return []
    if low[0] > box[0] and low[1] > box[1] and high[0] < box[2] and high[1] < box[3]:
        return [(path, 0.0)]
    left, top, right, bottom = box
    places = []
    for on, along in (((left, 0), (0, 1)), ((right, 0), (0, 1)), ((0, top), (1, 0)), ((0, bottom), (1, 0))):
        places += crossings_with_line(path, on, along)
    nodes = split_at(path, places)
    middles = point(nodes.curves, 0.5)
    kept = (middles > (left, top)).all(axis=1) & (middles < (right, bottom)).all(axis=1)
    before = np.concatenate([[0.0], np.cumsum(curve_lengths(nodes.curves))])
    found: List[Tuple[Path, float]] = []
    start = 0
    for stop in range(1, len(kept) + 1):
        if stop == len(kept) or kept[stop] != kept[start]:
            if kept[start]:
                found.append((Path(nodes.curves[start:stop]), _phase(before[start], rhythm)))
            start = stop
    if path.closed and len(found) > 1 and kept[0] and kept[-1]:
        (first, _), (last, phase) = found[0], found[-1]
        found[0] = (Path(np.concatenate([last.curves, first.curves])), phase)
        found.pop()
    return found


def _phase(before: float, rhythm: float) -> float:
    """The place in a rhythm after so many millimetres; its end is its beginning."""
    phase = float(before % rhythm) if rhythm else 0.0
    # Less than what is written: the last bit of a length must not change the file.
    return 0.0 if phase > rhythm - 0.0005 else phase


def _near(low: np.ndarray, high: np.ndarray, box: Box) -> bool:
    return bool(low[0] < box[2] and low[1] < box[3] and high[0] > box[0] and high[1] > box[1])


def _frame(page: Page, row: int, column: int) -> None:
    """Frame, name of the tile, where the next page is glued, and numbered match marks."""
    right, bottom = LIVE[0] + AREA[0], LIVE[1] + AREA[1]
    page.line([_rectangle(*LIVE, *AREA)], 0.25)
    page.text((LIVE[0] + 14.0, bottom - 14.0), _tile_name(row, column), 9.0)
    number = 2 + row * COLUMNS + column
    words = "Waistcoat, page {} of {}. Print at 100 %.".format(number, 1 + ROWS * COLUMNS)
    page.text((LIVE[0], bottom + 5.0), words, 3.0)
    if column < COLUMNS - 1:
        page.line([Path.through([(right - OVERLAP, LIVE[1]), (right - OVERLAP, bottom)])], 0.15, grey=GREY)
    if row < ROWS - 1:
        page.line([Path.through([(LIVE[0], bottom - OVERLAP), (right, bottom - OVERLAP)])], 0.15, grey=GREY)
    middle = (LIVE[0] + AREA[0] / 2, LIVE[1] + AREA[1] / 2)
    half = OVERLAP / 2
    upright = (COLUMNS - 1) * row + column  # marks on upright borders before this tile's right one
    level = (COLUMNS - 1) * ROWS + COLUMNS * row + column
    if column > 0:
        _match_mark(page, LIVE[0] + half, middle[1], upright)
    if column < COLUMNS - 1:
        _match_mark(page, right - half, middle[1], upright + 1)
    if row > 0:
        _match_mark(page, middle[0], LIVE[1] + half, level - COLUMNS + 1)
    if row < ROWS - 1:
        _match_mark(page, middle[0], bottom - half, level + 1)


def _match_mark(page: Page, x: float, y: float, number: int) -> None:
    diamond = Path.through([(x, y - 4.5), (x + 4.5, y), (x, y + 4.5), (x - 4.5, y)], closed=True)
    page.line([diamond], 0.25)
    page.text((x, y + 1.2), str(number), 3.4, "middle")


def _tile_name(row: int, column: int) -> str:
    return "ABC"[row] + str(column + 1)


def _rectangle(x: float, y: float, width: float, height: float) -> Path:
    return Path.through([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], closed=True)


# -- The page to read first ------------------------------------------------------------


def _first_page(bodies: Sequence[Body], layers: Sequence[str]) -> Page:
    page = Page(A4[0], A4[1], layers)
    page.text((12.0, 28.0), "Waistcoat", 14.0)
    page.text((12.0, 38.0), "A man's single-breasted waistcoat in eight sizes.", 5.0)
    page.line([_rectangle(12.0, 52.0, 100.0, 100.0)], 0.35)
    _lines(page, (62.0, 98.0), ("100 mm",), 8.0, "middle")
    _lines(page, (62.0, 108.0), ("Measure the square", "before you cut."), 4.5, "middle")
    words = (
        "Print all pages at 100 %,",
        "not fitted to the paper.",
        "",
        "Lay every page over its left",
        "and its upper neighbour, up to",
        "the grey line. The numbered",
        "diamonds then lie on each other.",
        "",
        "Seam lines, no allowance drawn:",
        "add 10 mm all round.",
        "Buttons 80 mm apart.",
        "The back shoulder is 5 mm longer:",
        "ease it in.",
        "One notch: front. Two: back.",
    )
    _lines(page, (120.0, 56.0), words, 4.5)
    page.line([_rectangle(98.0, 172.0, 101.6, 101.6)], 0.35)
    _lines(page, (148.8, 225.0), ("4 in",), 8.0, "middle")
    _chart(page, 12.0, 176.0, bodies)
    _map(page, 12.0, 240.0)
    return page


def _lines(
    page: Page, at: Tuple[float, float], words: Sequence[str], size: float, anchor: str = "start"
) -> None:
    for number, line in enumerate(words):
        if line:
            page.text((at[0], at[1] + 1.5 * size * number), line, size, anchor)


def _chart(page: Page, x: float, y: float, bodies: Sequence[Body]) -> None:
    """One row a size: its line, its name, the body it is drawn for (cm)."""
    columns = (("size", 34.0), ("chest", 46.0), ("waist", 58.0), ("seat", 68.0), ("back", 80.0))
    for words, across in columns:
        page.text((x + across, y), words, 3.5, "end")
    for row, body in enumerate(bodies):
        below = y + 6.5 + 6.0 * row
        width, dashes = _pen(size_style(body.size))
        sample = Path.through([(x, below - 1.3), (x + 26.0, below - 1.3)])
        page.line([sample], width, dashes)
        amounts = [body.size] + ["{:g}".format(value / 10.0) for value in body[1:4]]
        amounts.append("{:.1f}".format(body.back_waist / 10.0))
        for (_, across), words in zip(columns, amounts):
            page.text((x + across, below), words, 3.5, "end")
    page.text((x, y), "body, cm", 3.5)


def _pen(style: str) -> Tuple[float, Tuple[float, ...]]:
    """Width and rhythm of a style text."""
    parts: Dict[str, str] = dict(part.split(":") for part in style.split(";"))
    return float(parts["stroke-width"]), tuple(map(float, parts["stroke-dasharray"].split(",")))


def _map(page: Page, x: float, y: float) -> None:
    """How the pages lie."""
    width, height = 9.5, 13.0
    for row in range(ROWS):
        for column in range(COLUMNS):
            corner = (x + width * column, y + height * row)
            page.line([_rectangle(*corner, width, height)], 0.2)
            middle = (corner[0] + width / 2, corner[1] + height / 2 + 1.2)
            page.text(middle, _tile_name(row, column), 3.4, "middle")


if __name__ == "__main__":
    (FOLDER / "bought.pdf").write_bytes(bought(read_chart()))
