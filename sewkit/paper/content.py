"""What of each piece is printed: its lines, marks and words, each on the layers it belongs to."""

from typing import Iterator, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.length import path_length, point_at
from sewkit.geometry.path import Path, end_tangents, start_tangents
from sewkit.geometry.polygon import signed_area
from sewkit.paper.document import Drawn, Fill, Ink, Layer, Stroke, Words
from sewkit.paper.line_kinds import CUT, DASHES, MARK_WIDTH, SEAM, Kind, line_kind, size_layer
from sewkit.paper.moved import runs, together
from sewkit.paper.said import words_of_labels
from sewkit.pattern.mark import (
    FOLD,
    GRAIN,
    LABEL,
    LENGTHEN,
    LEVEL,
    NOTCH,
    NOTE,
    OVERLAY,
    Mark,
)
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

SIZES, LINES = "Sizes", "Lines"
CUT_LINES, SEAM_LINES, NOTCHES, GRAINS, MARKS, SAID = (
    "Cut lines",
    "Seam lines",
    "Notches",
    "Grain",
    "Marks",
    "Words",
)
_LINE_LAYERS = (CUT_LINES, SEAM_LINES, NOTCHES, GRAINS, MARKS, SAID)

# An arrow's head (mm): its length and half its width.
_HEAD, _HEAD_HALF = 7.0, 2.2

# Letters that name a size on its line, and words along a fold (mm); how far they stand off it.
SIZE_HEIGHT, _OFF = 2.6, 0.7
_FOLD_HEIGHT, _FOLD_OFF, _FOLD_WORDS = 4.0, 3.5, "place on the fold"

# Words along a fold keep so far from each other (mm): they are about 35 mm long.
_FOLD_APART = 45.0

# From one name of a size to its next along the line, and by how much each size's stand further
# on than those of the one before, so that they do not fall together (mm).
_APART, _FURTHER = 220.0, 17.0

# A line shorter than this has no room for a name (mm).
_SHORT = 30.0


class PieceInk(NamedTuple):
    """One piece as it is printed, where it is drawn.

    Args:
        name: of the piece.
        drawn: all of it (mm).
        outer: its seam and cut lines, for its place among the others and for the page map.
        uncut: it has no cut line although cut lines were asked for.
        kinds: of its marks.
    """

    name: str
    drawn: Drawn
    outer: Tuple[Path, ...]
    uncut: bool = False
    kinds: Tuple[str, ...] = ()


def layers_of(pieces: Sequence[PieceInk], sizes: Sequence[str]) -> Tuple[Layer, ...]:
    """The layers that are used: the sizes in order, then the kinds of lines."""
    every = (item for piece in pieces for part in piece.drawn for item in part)
    used = {name for item in every for name in item.layers}
    found = [Layer(size_layer(size), SIZES) for size in sizes if size_layer(size) in used]
    return tuple(found + [Layer(name, LINES) for name in _LINE_LAYERS if name in used])


def content(piece: Piece, sizes: Sequence[str], every: Sequence[str], lines: str, weight: float) -> PieceInk:
    """A piece in some sizes.

    Args:
        sizes: those of the piece that are printed; "" for one without.
        every: all sizes that are printed, in order: they give the look.
        lines: "both", ``SEAM`` or ``CUT``; a piece without cut lines has its seam lines.
        weight: of a stitch line (mm).
    """
    parts: List[Drawn] = []
    outer: List[Path] = []
    folds: List[Words] = []
    uncut = False
    many = len([size for size in every if size]) > 1
    for size in sizes:
        outline = piece.outline(size)
        number = list(every).index(size) if size in every else 0
        own = (size_layer(size),) if size else ()
        cut = piece.cut_line(outline.size)
        uncut = uncut or (cut is None and lines != SEAM)
        shown: List[Tuple[str, Path]] = []
        if lines != CUT or cut is None:
            shown.append((SEAM, outline.path))
        if cut is not None and len(cut.path) and lines != SEAM:
            shown.append((CUT, cut.path))
        for what, path in shown:
            kind = line_kind(what, number, len(every) if many else 1, weight)
            layers = own + (CUT_LINES if what == CUT else SEAM_LINES,)
            parts.append(Drawn(tuple(_stroke(one, kind, layers) for one in runs(path))))
            outer.append(path)
        if many and size and shown:
            parts.append(Drawn(words=tuple(_named(shown[-1][1], size, number, own))))
        folds += [words for words in _folds(piece, outline) if not _is_near(words, folds)]
    shown_labels = _without_sizes(piece.marks, every) if many else piece.marks
    marks = tuple(_marks(piece._replace(marks=shown_labels), sizes))
    for mark in marks:
        layers = (size_layer(mark.size),) if mark.size in sizes and mark.size else ()
        number = list(every).index(mark.size) if layers and many else 0
        look = line_kind(SEAM, number, len(every), weight)
        parts.append(_marked(mark, layers, weight * MARK_WIDTH, look.ink))
    labels = [mark for mark in shown_labels if mark.kind == LABEL and mark.size in ("", *sizes)]
    parts.append(Drawn(words=tuple(folds) + tuple(words_of_labels(labels, SAID))))
    kinds = tuple(dict.fromkeys(mark.kind for mark in marks))
    return PieceInk(piece.name, together(parts), tuple(outer), uncut, kinds)


def _without_sizes(marks: Sequence[Mark], every: Sequence[str]) -> Tuple[Mark, ...]:
    """Marks without words that only name a size: each line of a nest has its name on it."""
    return tuple(mark for mark in marks if not (mark.kind == LABEL and mark.text in every))


def _stroke(path: Path, kind: Kind, layers: Tuple[str, ...]) -> Stroke:
    return Stroke(path, kind.width, kind.dashes, kind.ink, layers)


def _marks(piece: Piece, sizes: Sequence[str]) -> Iterator[Mark]:
    """Each mark of the sizes once."""
    seen = []
    for size in sizes:
        for mark in piece.marks_for(size):
            if mark.kind in (OVERLAY, NOTE) or mark.path is None or not len(mark.path) or mark in seen:
                continue
            seen.append(mark)
            yield mark


def _marked(mark: Mark, own: Tuple[str, ...], width: float, ink: Ink) -> Drawn:
    """The line of a mark, with the heads of its arrows; a label's lines, without its words."""
    if mark.path is None or mark.text:
        return Drawn()
    layer = {NOTCH: NOTCHES, GRAIN: GRAINS, LABEL: SAID}.get(mark.kind, MARKS)
    layers = own + (layer,)
    kind = Kind(width * (1.4 if mark.kind == NOTCH else 1.0), DASHES.get(mark.kind, ()), ink)
    parts = [path for path in runs(mark.path) if path_length(path) > 0.0]
    strokes = tuple(_stroke(path, kind, layers) for path in parts)
    fills: Tuple[Fill, ...] = ()
    if mark.kind in (GRAIN, FOLD) and len(parts) == 1 and not parts[0].closed:
        ends = ((parts[0].start, -start_tangents(parts[0].curves)[0]),)
        ends += ((parts[0].end, end_tangents(parts[0].curves)[-1]),)
        fills = tuple(Fill(_head(*end), layers=layers) for end in ends)
    return Drawn(strokes, fills, _name_of(mark, layers))


def _head(tip: np.ndarray, way: np.ndarray) -> Path:
    """An arrow's head at a point, pointing along a unit direction."""
    aside = np.array([-way[1], way[0]]) * _HEAD_HALF
    back = tip - _HEAD * way
    return Path.through([tip, back + aside, back - aside], closed=True)


def _name_of(mark: Mark, layers: Tuple[str, ...]) -> Tuple[Words, ...]:
    """A level's name at the end of its line."""
    if mark.kind not in (LEVEL, LENGTHEN) or not mark.name or mark.path is None:
        return ()
    way = mark.path.end - mark.path.start
    size = float(np.hypot(*way))
    if size < _SHORT:
        return ()
    way = way / size if way[0] >= 0 else -way / size
    start = mark.path.start if (mark.path.end - mark.path.start)[0] >= 0 else mark.path.end
    up = np.array([way[1], -way[0]])
    place = start + 6.0 * way + _OFF * up
    if mark.size:
        return ()  # one a size: the nest would be full of them, the line says where
    return (Words(mark.name, _pair(place), SIZE_HEIGHT, _pair(way), layers=layers[:-1] + (SAID,)),)


def _pair(spot: np.ndarray) -> Tuple[float, float]:
    return float(spot[0]), float(spot[1])


def _named(path: Path, size: str, number: int, own: Tuple[str, ...]) -> Iterator[Words]:
    """The size's name beside its line, again and again."""
    length = path_length(path)
    if length < _SHORT:
        return
    side = 1.0 if signed_area(path) >= 0 else -1.0
    for at in np.arange((number * _FURTHER + 20.0) % min(_APART, length), length, _APART):
        spot, next_spot = point_at(path, at), point_at(path, min(at + 1.0, length))
        way = next_spot - spot
        if np.hypot(*way) < 0.5:
            continue
        way = way / np.hypot(*way)
        inwards = side * np.array([-way[1], way[0]])
        read = way if way[0] > 0 or (way[0] == 0 and way[1] < 0) else -way
        up = np.array([read[1], -read[0]])
        off = _OFF if float(inwards @ up) > 0 else _OFF + 0.72 * SIZE_HEIGHT
        place = spot + off * inwards
        yield Words(size, _pair(place), SIZE_HEIGHT, _pair(read), anchor=0.5, layers=own + (SAID,))


def _is_near(words: Words, others: Sequence[Words]) -> bool:
    """Whether the same stands there already: the sizes of a nest share their fold."""
    ways = [np.array(other.place) - words.place for other in others]
    return any(float(np.hypot(*way)) < _FOLD_APART for way in ways)


def _folds(piece: Piece, outline: Outline) -> Iterator[Words]:
    """Words along the edges that lie on the fold."""
    side = 1.0 if signed_area(outline.path) >= 0 else -1.0
    for name in piece.folds:
        for run in outline.runs(name):
            length = path_length(run)
            if length < 2 * _SHORT:
                continue
            middle = point_at(run, length / 2)
            way = point_at(run, length / 2 + 1.0) - middle
            way = way / max(float(np.hypot(*way)), 1e-9)
            inwards = side * np.array([-way[1], way[0]])
            read = way if way[0] > 1e-9 or (abs(way[0]) <= 1e-9 and way[1] < 0) else -way
            up = np.array([read[1], -read[0]])
            off = _FOLD_OFF if float(inwards @ up) > 0 else _FOLD_OFF + 0.72 * _FOLD_HEIGHT
            place = _pair(middle + off * inwards)
            yield Words(_FOLD_WORDS, place, _FOLD_HEIGHT, _pair(read), anchor=0.5, layers=(SAID,))
