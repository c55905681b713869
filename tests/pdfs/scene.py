"""A printed pattern sheet as data: what is drawn, in which style, and what it means.

    sheet = scene()                     # three pieces, five sizes told apart by their dashes
    sheet.outline("Front", "38").path   # the true closed outline, mm on the sheet

The small sheet (570 x 831 mm) is 3 x 3 tiles of A4, the large one (950 x 2216 mm) 5 x 8,
with a live area of 190 x 277 mm.
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, point
from sewkit.sheet.drawn import Style, Words
from tests.pdfs import shapes
from tests.pdfs.shapes import Shape, drawn_edges

SMALL, LARGE = (570.0, 831.0), (950.0, 2216.0)
MARKS = "Marks"  # the layer of what serves all sizes
THIN = Style("#000000", 0.35)
ARROW = Style("", 0.0, (), "#000000")

RHYTHMS = ((6.0, 2.0), (2.0, 2.0), (8.0, 1.5, 1.0, 1.5), (8.0, 1.5, 1.0, 1.5, 1.0, 1.5), ())
COLOURS = ("#c00000", "#0050c8", "#008030", "#b000b0", "#c07000", "#404040", "#00a0a0", "#7040ff")
WIDTHS = (0.25, 0.4, 0.6, 0.85, 1.2, 1.6, 2.0, 2.5)


class Stroke(NamedTuple):
    """One painted path.

    Args:
        paths: its runs, mm on the sheet.
        style, layers: as in ``sewkit.sheet.drawn``.
        role: what it means: outline, fold, notch, grain, arrow, bracket, dart, lengthen,
            drill, square.
        piece: the piece's name, or empty.
        size: the size's name, or empty where it serves all sizes.
    """

    paths: Tuple[Path, ...]
    style: Style
    layers: Tuple[str, ...] = ()
    role: str = ""
    piece: str = ""
    size: str = ""


class Outline(NamedTuple):
    """The true closed outline of one piece in one size; ``edges`` are its parts by name."""

    piece: str
    size: str
    path: Path
    edges: Dict[str, Path]


class Scene(NamedTuple):
    """A sheet with all its truth.

    Args:
        width, height: mm.
        strokes, words: in drawing order; ``words`` carry no role, see ``names``.
        outlines: by piece, smallest size first.
        pieces, sizes: names in order.
        folds: names of the pieces on the fold.
        styles: of the outlines, by size.
        layers: names, in the order of the sizes, empty without layers.
        hidden: names of the layers that are switched off.
        squares: the test squares, their true side in mm.
    """

    width: float
    height: float
    strokes: Tuple[Stroke, ...]
    words: Tuple[Words, ...]
    outlines: Tuple[Outline, ...]
    pieces: Tuple[str, ...]
    sizes: Tuple[str, ...]
    folds: Tuple[str, ...]
    styles: Dict[str, Style]
    layers: Tuple[str, ...] = ()
    hidden: Tuple[str, ...] = ()
    squares: Tuple[Tuple[Path, float], ...] = ()

    def outline(self, piece: str, size: str) -> Outline:
        """The true outline of one piece in one size."""
        (found,) = [o for o in self.outlines if (o.piece, o.size) == (piece, size)]
        return found

    def of(self, role: str, piece: str = "", size: str = "") -> Tuple[Stroke, ...]:
        """The strokes of one role, of one piece and one size where these are given."""
        found = (s for s in self.strokes if s.role == role)
        found = (s for s in found if piece in ("", s.piece) and size in ("", s.size))
        return tuple(found)


class _Spot(NamedTuple):
    name: str
    shape: Shape
    x: float
    y: float
    scale: float = 1.0


_THREE = (
    _Spot("Front", shapes.BODICE, 70.0, 24.0),
    _Spot("Back", shapes.BACK, 340.0, 24.0),
    _Spot("Sleeve", shapes.SLEEVE, 55.0, 486.0, 0.95),
)
_TWELVE = (
    _Spot("Front", shapes.BODICE, 70.0, 60.0),
    _Spot("Back", shapes.BACK, 340.0, 60.0),
    _Spot("Skirt Front", shapes.PANEL, 640.0, 60.0, 1.1),
    _Spot("Skirt Back", shapes.PANEL, 70.0, 560.0, 1.2),
    _Spot("Sleeve", shapes.SLEEVE, 370.0, 560.0),
    _Spot("Side Panel", shapes.PANEL, 740.0, 620.0, 0.9),
    _Spot("Collar", shapes.BAND, 345.0, 970.0),
    _Spot("Pocket", shapes.PATCH, 670.0, 1050.0),
    _Spot("Lining Front", shapes.BODICE, 70.0, 1160.0, 1.1),
    _Spot("Lining Back", shapes.BACK, 345.0, 1160.0, 1.1),
    _Spot("Under Sleeve", shapes.SLEEVE, 635.0, 1260.0, 0.9),
    _Spot("Cape", shapes.SLEEVE, 90.0, 1730.0, 1.3),
)
# Upper left corners of the 100 mm and the 4 inch square; each lies on one tile.
_SQUARES = {3: ((395.0, 572.0), (395.0, 692.0)), 12: ((600.0, 1700.0), (790.0, 1700.0))}


def scene(
    pieces: int = 3,
    sizes: int = 5,
    told_by: str = "dashes",
    layers: bool = False,
    shared: str = "each",
    marks: bool = True,
    hidden: Sequence[str] = (),
) -> Scene:
    """A sheet.

    Args:
        pieces: 3 on the small sheet or 12 on the large one.
        sizes: how many, named 36, 38, 40 ...
        told_by: "dashes", "colours", "widths", "both" (dashes and colours) or "nothing".
        layers: put every size into an optional-content layer ("Size 36").
        shared: "each" size draws its own fold edge over those of the others, or the fold is
            drawn "once" as a solid line and the outlines stay open there.
        marks: with grain lines, notches, words and so on; without, only the outlines.
        hidden: names of layers that are switched off.
    """
    names = tuple(str(36 + 2 * number) for number in range(sizes))
    styles = {name: size_style(number, told_by) for number, name in enumerate(names)}
    spots = {3: _THREE, 12: _TWELVE}[pieces]
    width, height = {3: SMALL, 12: LARGE}[pieces]
    strokes: List[Stroke] = []
    words: List[Words] = []
    outlines: List[Outline] = []
    for spot in spots:
        nest = _nest(spot, names)
        outlines += nest
        strokes += _outline_strokes(spot, nest, styles, layers, shared)
        if marks:
            strokes += _marks(spot, nest, layers)
            words += _words(spot, nest, layers)
    squares = []
    if marks:
        squares = list(zip(map(_square, _SQUARES[pieces], (100.0, 101.6)), (100.0, 101.6)))
        strokes += [Stroke((path,), THIN, _common(layers), "square") for path, _ in squares]
        for (path, side), said in zip(squares, ("100 mm", "4 in")):
            x, y = path.start + (side * 0.3, side * 0.55)
            words.append(_text(said, x, y, 8.0, _common(layers)))
    folds = tuple(spot.name for spot in spots if spot.shape.fold)
    layer_names = tuple("Size " + name for name in names) + ((MARKS,) if marks else ())
    return Scene(
        width,
        height,
        tuple(strokes),
        tuple(w._replace(hidden=bool(set(w.layers) & set(hidden))) for w in words),
        tuple(outlines),
        tuple(spot.name for spot in spots),
        names,
        folds,
        styles,
        layer_names if layers else (),
        tuple(hidden),
        tuple(squares),
    )


def size_style(number: int, told_by: str) -> Style:
    """How the outline of the size with this number, from 0, is drawn."""
    rhythm = RHYTHMS[number % len(RHYTHMS)]
    # A second round of the rhythms is drawn heavier, so that ten sizes still differ.
    width = 0.5 if number < len(RHYTHMS) else 1.0
    colour = COLOURS[number % len(COLOURS)]
    return {
        "dashes": Style("#000000", width, rhythm),
        "colours": Style(colour, 0.5),
        "both": Style(colour, width, rhythm),
        "widths": Style("#000000", WIDTHS[number % len(WIDTHS)]),
        "nothing": Style("#000000", 0.5),
    }[told_by]


def _nest(spot: _Spot, names: Sequence[str]) -> List[Outline]:
    found = []
    for step, name in enumerate(names):
        edges = drawn_edges(spot.shape, step, spot.scale)
        edges = {key: Path(edge.curves + (spot.x, spot.y)) for key, edge in edges.items()}
        closed = Path(np.concatenate([edge.curves for edge in edges.values()]), True)
        found.append(Outline(spot.name, name, closed, edges))
    return found


def _outline_strokes(
    spot: _Spot, nest: Sequence[Outline], styles: Dict[str, Style], layers: bool, shared: str
) -> List[Stroke]:
    once = shared == "once" and bool(spot.shape.fold)
    found = []
    for outline in nest:
        path = outline.path
        if once:  # the fold is the last edge and one curve
            path = path.part(0, len(path) - 1)
        style, layer = styles[outline.size], _layer(outline.size, layers)
        found.append(Stroke((path,), style, layer, "outline", spot.name, outline.size))
    if once:
        longest = nest[-1].edges[spot.shape.fold]
        found.append(Stroke((longest,), THIN._replace(width=0.5), _common(layers), "fold", spot.name))
    return found


def _marks(spot: _Spot, nest: Sequence[Outline], layers: bool) -> List[Stroke]:
    shape, scale = spot.shape, spot.scale
    found: List[Stroke] = []

    def add(role: str, style: Style, *paths: Path, size: str = "") -> None:
        moved = tuple(Path(path.curves + (spot.x, spot.y), path.closed) for path in paths)
        layer = _layer(size, layers) if size else _common(layers)
        found.append(Stroke(moved, style, layer, role, spot.name, size))

    for outline in nest:
        for edge, at, count in shape.notches:
            found.append(_notch(spot, outline, edge, at, count, layers))
    x, top, bottom = (scale * value for value in shape.grain)
    add("grain", THIN, Path.through([(x, top), (x, bottom)]))
    if shape.fold:  # arrow heads filled
        for tip, way in ((top, 1.0), (bottom, -1.0)):
            head = [(x, tip), (x + 2.5, tip + 8 * way), (x - 2.5, tip + 8 * way)]
            add("arrow", ARROW, Path.through(head, closed=True))
        # The bracket that says fold: two arms to the fold, a line beside it.
        high, low = scale * shape.grain[1] + 20, scale * shape.grain[2] - 20
        add("bracket", THIN, Path.through([(0, high), (14, high), (14, low), (0, low)]))
        for y in (high, low):
            add("arrow", ARROW, Path.through([(0, y), (6, y - 2), (6, y + 2)], closed=True))
    else:  # arrow heads of two strokes each
        for tip, way in ((top, 1.0), (bottom, -1.0)):
            add("arrow", THIN, Path.through([(x - 2.5, tip + 8 * way), (x, tip), (x + 2.5, tip + 8 * way)]))
    if shape.lengthen:
        y, left, right = (scale * value for value in shape.lengthen)
        for lower in (0.0, 6.0):
            add("lengthen", THIN, Path.through([(left, y + lower), (right, y + lower)]))
    if shape.drill:
        add("drill", THIN, circle(np.array(shape.drill) * scale, 3.0))
    if shape.dart:
        middle, half, depth = (scale * value for value in shape.dart)
        for step, outline in enumerate(nest):
            hem = scale * 400.0 + 5.0 * step
            across = middle + 3.0 * step  # the dart moves outwards with the size
            legs = [(across - half, hem), (across, hem - depth), (across + half, hem)]
            style = Style("#000000", 0.35)
            add("dart", style, Path.through(legs), size=outline.size)
    return found


def _notch(spot: _Spot, outline: Outline, edge: str, at: float, count: int, layers: bool) -> Stroke:
    """Ticks of 5 mm outwards, square to the edge, 5 mm apart."""
    curves = outline.edges[edge].curves
    curve = curves[(len(curves) - 1) // 2]
    step = 5.0 / np.hypot(*(point(curve[None], at + 1e-4) - point(curve[None], at - 1e-4))[0]) * 2e-4
    ticks = []
    for number in range(count):
        t = at + step * (number - (count - 1) / 2)
        (foot,) = point(curve[None], t)
        along = (point(curve[None], t + 1e-5) - point(curve[None], t - 1e-5))[0]
        along /= np.hypot(*along)
        ticks.append(Path.through([foot, foot + 5.0 * np.array([along[1], -along[0]])]))
    layer = _layer(outline.size, layers)
    return Stroke(tuple(ticks), THIN, layer, "notch", spot.name, outline.size)


def _words(spot: _Spot, nest: Sequence[Outline], layers: bool) -> List[Words]:
    x, y = np.array(spot.shape.name_at) * spot.scale + (spot.x, spot.y)
    fold = " on the fold" if spot.shape.fold else ""
    common = _common(layers)
    found = [
        _text(spot.name, x, y, 10.0, common),
        _text("Cut {}{}".format(1 if fold else 2, fold), x, y + 9.0, 5.0, common),
    ]
    if spot.shape.lengthen:
        level, left, _ = (spot.scale * value for value in spot.shape.lengthen)
        words = "lengthen or shorten here"
        found.append(_text(words, spot.x + left + 34.0, spot.y + level - 2.0, 3.5, common))
    for outline in nest:
        # Outside the line it names, and closer to it than to that of the next size.
        (at,) = point(outline.edges[spot.shape.number_on].curves[:1], 0.3) + (1.0, 1.0)
        found.append(_text(outline.size, at[0], at[1], 2.5, _layer(outline.size, layers)))
    return found


def _text(words: str, x: float, y: float, height: float, layers: Tuple[str, ...]) -> Words:
    # Letters are about half as wide as high; a reader gets it from the font.
    return Words(words, float(x), float(y), 0.0, height, 0.5 * height * len(words), layers=layers)


def circle(middle: Sequence[float], radius: float) -> Path:
    """A circle of four cubics, handles 0.5523 of the radius (within 0.03 % of round)."""
    turn = np.array([(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)])
    following = np.roll(turn, -1, axis=0)
    curves = np.stack([turn, turn + 0.5523 * following, following + 0.5523 * turn, following], axis=1)
    return Path(curves * radius + np.asarray(middle, float), True)


def _square(corner: Tuple[float, float], side: float) -> Path:
    x, y = corner
    return Path.through([(x, y), (x + side, y), (x + side, y + side), (x, y + side)], closed=True)


def _layer(size: str, layers: bool) -> Tuple[str, ...]:
    return ("Size " + size,) if layers else ()


def _common(layers: bool) -> Tuple[str, ...]:
    return (MARKS,) if layers else ()
