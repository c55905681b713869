"""Pages made from a scene without any PDF, with the truth beside them.

made = tiled(scene(), how="cut", overlap=10.0, shuffle=1)
made.printed        # what a reader would give
made.tiles          # where each page really lies on the sheet
"""

import math
import random
from typing import Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Drawn, Layer, Page, Printed, Style, Words
from tests.pdfs.cutting import Box, chords, cut, dashed, strip
from tests.pdfs.scene import Scene, Stroke

A4 = (210.0, 297.0)
LIVE = (10.0, 10.0, 200.0, 287.0)  # 190 x 277 mm of an A4 page
FRAME = Style("#000000", 0.25)
MARK = Style("", 0.0, (), "#808080")


# What is painted for one stroke: groups of runs, each with its style.
Inked = List[Tuple[Tuple[Path, ...], Style]]


class Tile(NamedTuple):
    """Where the page's own upper left corner lies on the sheet (mm); rows and columns from 1."""

    page: int
    x: float
    y: float
    column: int
    row: int


class Made(NamedTuple):
    """Pages and their truth.

    Args:
        tiles: those that are there, in page order; covers and blank pages are none.
        pitch: from one tile to the next across and down (mm).
        live: the common live rectangle of a page (page mm).
        missing: row and column of tiles that were left out.
        blank: numbers of pages without any of the pattern.
        furniture: page number and drawing order of frames and marks.
    """

    printed: Printed
    scene: Scene
    tiles: Tuple[Tile, ...]
    pitch: Tuple[float, float] = (0.0, 0.0)
    live: Box = LIVE
    missing: Tuple[Tuple[int, int], ...] = ()
    blank: Tuple[int, ...] = ()
    furniture: Tuple[Tuple[int, int], ...] = ()

    def tile(self, page: int) -> Tile:
        """The tile on one page."""
        (found,) = [tile for tile in self.tiles if tile.page == page]
        return found


def single(scene: Scene, dashes: str = "style") -> Made:
    """The sheet on one page of its own size; ``dashes`` as in ``tiled``."""
    drawn = []
    for stroke in scene.strokes:
        drawn += [_drawn(runs, stroke, scene, style) for runs, style in inked(stroke.paths, stroke, dashes)]
    page = Page(1, scene.width, scene.height, 0, _numbered(drawn), scene.words, label="1")
    return Made(_printed(scene, [page]), scene, (Tile(1, 0.0, 0.0, 1, 1),))


def tiled(
    scene: Scene,
    how: str = "cut",
    overlap: float = 0.0,
    dashes: str = "style",
    frame: bool = True,
    marks: bool = True,
    labels: str = "A1",
    order: str = "rows",
    shuffle: Optional[int] = None,
    missing: Sequence[Tuple[int, int]] = (),
    skip_empty: bool = False,
    cover: bool = False,
    blank: int = 0,
    turns: Sequence[int] = (0,),
    scaled: Optional[Mapping[int, float]] = None,
) -> Made:
    """The sheet on A4 tiles.

    Args:
        how: "cut": every line is really cut at the borders; "clip": what touches the page is
            there whole, behind a clip; "poster": everything on every page, behind a clip.
        overlap: width that neighbouring tiles both show (mm).
        dashes: "style": as the style says, beginning anew at each cut; "single": each dash a
            curve of its own; "straight": each dash straight lines, bent at corners; "strips": each
            line one filled path with an outline for each dash.
        frame, marks: a rectangle round the live area; triangles in the middle of its sides.
        labels: "A1" (row letter, column number), "1" (page number), or empty.
        order: of the pages: "rows", "columns" or "snake".
        shuffle: seed of a random page order.
        missing: row and column of tiles to leave out.
        skip_empty: leave out the tiles without any of the pattern.
        cover: a page with words only comes first.
        blank: how many pages with nothing on them come last.
        turns: how far viewers turn the pages, repeated; coordinates stay unturned.
        scaled: page number to the factor at which its live area was printed.
    """
    window = (LIVE[2] - LIVE[0], LIVE[3] - LIVE[1])
    pitch = (window[0] - overlap, window[1] - overlap)
    places = _places(scene, pitch, overlap, order)
    if shuffle is not None:
        random.Random(shuffle).shuffle(places)
    whole = [] if how == "cut" else [inked(stroke.paths, stroke, dashes) for stroke in scene.strokes]
    pages: List[Page] = [_cover()] if cover else []
    tiles: List[Tile] = []
    furniture: List[Tuple[int, int]] = []
    bare: List[int] = [1] if cover else []
    for row, column in places:
        corner = ((column - 1) * pitch[0], (row - 1) * pitch[1])
        box = (corner[0], corner[1], corner[0] + window[0], corner[1] + window[1])
        art = _cut_artwork(scene, box, dashes) if how == "cut" else _clipped_artwork(scene, box, how, whole)
        words = _words_on(scene, box, how)
        if (row, column) in missing or (skip_empty and not (art and _visible(art, box))):
            continue
        number = len(pages) + 1
        extra = _furniture(frame, marks)
        shift = np.array([LIVE[0] - corner[0], LIVE[1] - corner[1]])
        drawn = _numbered(extra + [_moved(one, shift) for one in art])
        moved = tuple(_moved_words(one, shift) for one in words)
        if labels:
            text = chr(64 + row) + str(column) if labels == "A1" else str(number)
            moved += (Words(text, LIVE[0] + 4.0, LIVE[3] - 4.0, 0.0, 6.0, 3.0 * len(text)),)
        turn = turns[(number - 1) % len(turns)]
        page = Page(number, A4[0], A4[1], turn, drawn, moved, label=str(number))
        pages.append(_scaled(page, (scaled or {}).get(number, 1.0)))
        tiles.append(Tile(number, corner[0] - LIVE[0], corner[1] - LIVE[1], column, row))
        furniture += [(number, place) for place in range(len(extra))]
        if not art or not _visible(art, box):
            bare.append(number)
    for _ in range(blank):
        bare.append(len(pages) + 1)
        pages.append(Page(len(pages) + 1, A4[0], A4[1], label=str(len(pages) + 1)))
    return Made(
        _printed(scene, pages),
        scene,
        tuple(tiles),
        pitch,
        LIVE,
        tuple(missing),
        tuple(bare),
        tuple(furniture),
    )


def inked(paths: Sequence[Path], stroke: Stroke, dashes: str) -> Inked:
    """What is painted for the paths of one stroke; ``dashes`` as in ``tiled``."""
    style = stroke.style
    if dashes == "style" or style.fill or not (style.dashes or dashes == "strips"):
        return [(tuple(paths), style)]
    single = [dash for path in paths for dash in dashed(path, style.dashes)]
    if dashes == "strips":
        outlines = tuple(strip(dash, style.width) for dash in single)
        return [(outlines, Style("", 0.0, (), style.colour))]
    plain = style._replace(dashes=())
    return [((chords(dash) if dashes == "straight" else dash,), plain) for dash in single]


def _places(scene: Scene, pitch: Sequence[float], overlap: float, order: str) -> List[Tuple[int, int]]:
    # A last tile that would show less than a tenth of a millimetre is not printed.
    columns = math.ceil((scene.width - overlap - 0.1) / pitch[0])
    rows = math.ceil((scene.height - overlap - 0.1) / pitch[1])
    if order == "columns":
        return [(row, column) for column in range(1, columns + 1) for row in range(1, rows + 1)]
    found = []
    for row in range(1, rows + 1):
        line = [(row, column) for column in range(1, columns + 1)]
        found += line[::-1] if order == "snake" and row % 2 == 0 else line
    return found


def _cut_artwork(scene: Scene, box: Box, dashes: str) -> List[Drawn]:
    """What is painted of the scene on one tile, in sheet millimetres; dashes begin at the cut."""
    found = []
    for stroke in scene.strokes:
        paths = [part for path in stroke.paths for part in cut(path, box)]
        if paths:
            found += [_drawn(runs, stroke, scene, style) for runs, style in inked(paths, stroke, dashes)]
    return found


def _clipped_artwork(scene: Scene, box: Box, how: str, whole: Sequence[Inked]) -> List[Drawn]:
    """All of the scene, or what touches the tile, behind a clip; in sheet millimetres."""
    found = []
    for stroke, groups in zip(scene.strokes, whole):
        for runs, style in groups:
            if how == "poster" or any(_touches(run, box) for run in runs):
                found.append(_drawn(runs, stroke, scene, style, box))
    return found


def _touches(path: Path, box: Box) -> bool:
    low, high = path.curves.min(axis=(0, 1)), path.curves.max(axis=(0, 1))
    return bool(low[0] < box[2] and low[1] < box[3] and high[0] > box[0] and high[1] > box[1])


def _visible(art: Sequence[Drawn], box: Box) -> bool:
    """Whether anything of it really runs inside the box."""
    return any(cut(run, box) for one in art for run in one.runs())


def _words_on(scene: Scene, box: Box, how: str) -> List[Words]:
    """Cut: the words that start on the tile; otherwise all that touch it, behind the clip."""
    if how == "poster":
        return [one._replace(clip=box) for one in scene.words]
    found = []
    for one in scene.words:
        start = 0.0 if how == "cut" else one.width
        if box[0] - start <= one.x < box[2] and box[1] <= one.y < box[3]:
            found.append(one if how == "cut" else one._replace(clip=box))
    return found


def _furniture(frame: bool, marks: bool) -> List[Drawn]:
    left, top, right, bottom = LIVE
    found = []
    if frame:
        corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
        found.append(_plain(Path.through(corners, closed=True), FRAME))
    if marks:
        across, down = (left + right) / 2, (top + bottom) / 2
        middles = (((left, down), (1, 0)), ((right, down), (-1, 0)), ((across, top), (0, 1)))
        for (x, y), (u, v) in middles + (((across, bottom), (0, -1)),):
            corners = [(x, y), (x + 5 * u - 3 * v, y + 5 * v + 3 * u), (x + 5 * u + 3 * v, y + 5 * v - 3 * u)]
            found.append(_plain(Path.through(corners, closed=True), MARK))
    return found


def _cover() -> Page:
    lines = ("Instructions", "Print at 100 %.", "Measure the square before you cut.")
    words = tuple(
        Words(text, 30.0, 40.0 + 12.0 * n, 0.0, 6.0, 3.0 * len(text)) for n, text in enumerate(lines)
    )
    return Page(1, A4[0], A4[1], words=words, label="1")


def _plain(path: Path, style: Style) -> Drawn:
    return Drawn(path.curves, (0,), (path.closed,), style)


def _drawn(
    runs: Sequence[Path], stroke: Stroke, scene: Scene, style: Style, clip: Optional[Box] = None
) -> Drawn:
    starts = np.cumsum([0] + [len(run) for run in runs[:-1]])
    return Drawn(
        np.concatenate([run.curves for run in runs]),
        tuple(int(start) for start in starts),
        tuple(run.closed for run in runs),
        style,
        stroke.layers,
        bool(set(stroke.layers) & set(scene.hidden)),
        clip,
    )


def _moved(one: Drawn, shift: np.ndarray) -> Drawn:
    return one._replace(curves=one.curves + shift, clip=_moved_box(one.clip, shift))


def _moved_words(one: Words, shift: np.ndarray) -> Words:
    return one._replace(
        x=float(one.x + shift[0]), y=float(one.y + shift[1]), clip=_moved_box(one.clip, shift)
    )


def _moved_box(box: Optional[Box], shift: np.ndarray) -> Optional[Box]:
    if box is None:
        return None
    x, y = (float(value) for value in shift)
    return (box[0] + x, box[1] + y, box[2] + x, box[3] + y)


def _scaled(page: Page, factor: float) -> Page:
    """The page printed smaller or larger about its middle, as a printer does it."""
    if factor == 1.0:
        return page
    middle = np.array([page.width, page.height]) / 2

    def place(x: float, y: float) -> Dict[str, float]:
        x, y = (np.array([x, y]) - middle) * factor + middle
        return {"x": float(x), "y": float(y)}

    def box(clip: Optional[Box]) -> Optional[Box]:
        if clip is None:
            return None
        low, high = place(*clip[:2]), place(*clip[2:])
        return (low["x"], low["y"], high["x"], high["y"])

    drawn = tuple(
        d._replace(curves=(d.curves - middle) * factor + middle, clip=box(d.clip)) for d in page.drawn
    )
    words = tuple(
        w._replace(height=w.height * factor, width=w.width * factor, clip=box(w.clip), **place(w.x, w.y))
        for w in page.words
    )
    return page._replace(drawn=drawn, words=words)


def _numbered(drawn: Sequence[Drawn]) -> Tuple[Drawn, ...]:
    return tuple(one._replace(order=order) for order, one in enumerate(drawn))


def _printed(scene: Scene, pages: Sequence[Page]) -> Printed:
    layers = tuple(Layer(name, name in scene.hidden) for name in scene.layers)
    return Printed(tuple(pages), layers, "", "", len(pages))
