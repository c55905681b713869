"""The joined sheet: every line once, cut only where paper was cut."""

from collections import defaultdict
from typing import Dict, List, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.geometry.path import Path, end_tangents, start_tangents
from sewkit.sheet.drawn import Box, Line, Page, Printed, Sheet, Words
from sewkit.sheet.tile_borders import Cell, cells_of
from sewkit.sheet.tile_clip import Piece, clipped
from sewkit.sheet.tile_doubles import each_once
from sewkit.sheet.tile_findings import sheet_turn
from sewkit.sheet.tile_furniture import ON_SIDE, words_of_furniture
from sewkit.sheet.tile_groups import page_groups
from sewkit.sheet.tile_labels import is_shown
from sewkit.sheet.tile_strokes import Strokes, spans, strokes_of
from sewkit.sheet.tile_values import Joined, Placed

# The same words on two pages fall together within this (mm).
SAME_WORDS = 0.5

# Doubled bits along a border lie within this of each other (mm), in the same direction to a
# degree; what job.md asks to remove.
DOUBLED, PARALLEL = 0.2, np.cos(np.radians(1.0))


class _Sheet(NamedTuple):
    """Pages that are placed, their strokes, and what puts each stroke on the sheet."""

    pages: Tuple[Page, ...]
    placed: Tuple[Placed, ...]
    cells: Tuple[Cell, ...]
    strokes: Strokes
    moves: np.ndarray


def one_sheet(printed: Printed, joined: Joined) -> Sheet:
    """All lines and words of the placed pages on one sheet, each once.

    A stroke that several pages show is taken whole from the first.  Others are cut at their
    clip, and in the middle of what two neighbours both show.  Furniture is left out.
    """
    by_number = {page.number: page for page in printed.pages}
    placed = tuple(place for place in joined.placed if place.page in by_number)
    pages = tuple(by_number[place.page] for place in placed)
    strokes = strokes_of(pages)
    cells = cells_of(pages, placed, strokes, joined)
    corners = np.array([(place.x, place.y) for place in placed]).reshape(-1, 2)
    sheet = _Sheet(pages, placed, cells, strokes, corners[strokes.page])
    lines = _without_doubles(_lines(sheet, set(joined.furniture)), sheet)
    words = _words(sheet, printed)
    width = max((p.x + page.width for p, page in zip(placed, pages)), default=0.0)
    height = max((p.y + page.height for p, page in zip(placed, pages)), default=0.0)
    boxes = tuple((place.page, cell.box) for place, cell in zip(placed, cells))
    whole = Sheet(width, height, tuple(lines), tuple(words), boxes)
    return turned(whole, sheet_turn(printed.pages, [place.page for place in placed]))


def _lines(sheet: _Sheet, fixed: Set[Tuple[int, int]]) -> List[Line]:
    """Every stroke once, cut where it has to be."""
    strokes, pages = sheet.strokes, sheet.pages
    orders = [[drawn.order for drawn in page.drawn] for page in pages]
    own = np.zeros(len(strokes.first), bool)
    for number, page in enumerate(pages):
        marks = np.array([(page.number, order) in fixed for order in orders[number]], bool)
        rows = np.flatnonzero(strokes.page == number)
        own[rows] = ~marks[strokes.drawn[rows]] if len(rows) else True
    rows = np.flatnonzero(own & strokes.seen())
    kept = each_once(strokes, rows, sheet.moves, [cell.paper for cell in sheet.cells])
    curves = strokes.curves + np.repeat(sheet.moves, strokes.count, axis=0)[:, None]
    inside, whole = strokes.inside(), strokes.closed & strokes.inside() & _within(sheet)
    places = [orders[number][index] for number, index in zip(strokes.page.tolist(), strokes.drawn.tolist())]
    columns = (strokes.page, strokes.first, strokes.count, strokes.closed, strokes.look, strokes.run, whole)
    # Plain numbers are read many times faster than those of arrays, and there are thousands of letters.
    plain = list(zip(*(column.tolist() for column in columns)))
    found = []
    for row in kept.rows.tolist():
        number, first, count, closed, look, run, uncut = plain[row]
        path = Path(curves[first : first + count], closed)
        style, layers, hidden = strokes.looks[look]
        page = pages[number]
        order = (page.number, places[row], run)
        if uncut:
            found.append(Line(path, style, layers, hidden, page.number, order))
            continue
        several = kept.shown_on.get(row, ())
        cell = _joint([sheet.cells[one] for one in several]) if several else sheet.cells[number]
        window = None if several or inside[row] else _moved(strokes.window[row], sheet.moves[row])
        for piece in _cut(path, window, cell):
            ends = (piece.start_cut, piece.end_cut)
            if not piece.path.closed and cell.neighbours:
                ends = _goes_on(piece, cell)
            found.append(Line(piece.path, style, layers, hidden, page.number, order, ends))
    return found


def _joint(cells: Sequence[Cell]) -> Cell:
    """Cells that all show a stroke, as one: between them it is not cut."""
    edges = np.array([cell.edge for cell in cells])
    low, high = edges[:, :2].min(axis=0), edges[:, 2:].max(axis=0)
    return cells[0]._replace(edge=(low[0], low[1], high[0], high[1]))


def _moved(window: np.ndarray, move: np.ndarray) -> Box:
    return (window[0] + move[0], window[1] + move[1], window[2] + move[0], window[3] + move[1])


def _within(sheet: _Sheet) -> np.ndarray:
    """``(m,)`` whether a stroke stays on this side of its page's borders."""
    strokes = sheet.strokes
    edges = np.array([cell.edge for cell in sheet.cells]).reshape(-1, 4)[strokes.page]
    low, high = strokes.low + sheet.moves, strokes.high + sheet.moves
    return ((low >= edges[:, :2]) & (high <= edges[:, 2:])).all(axis=1)


def _cut(path: Path, window: Optional[Box], cell: Cell) -> List[Piece]:
    """What is left inside the clip, and on this side of the borders."""
    pieces = [Piece(path)] if window is None else clipped(path, window)
    found = []
    for piece in pieces:
        for part in clipped(piece.path, cell.edge, cell.slack):
            whole = part.path is piece.path
            start = part.start_cut or (piece.start_cut and _same(part.path.start, piece.path.start))
            end = part.end_cut or (piece.end_cut and _same(part.path.end, piece.path.end))
            found.append(piece if whole else Piece(part.path, start, end))
    return found


def _same(one: np.ndarray, other: np.ndarray) -> bool:
    return bool(np.array_equal(one, other))


def _goes_on(piece: Piece, cell: Cell) -> Tuple[bool, bool]:
    """Whether the ends of an open piece lie on a border and point over it."""
    curves = piece.path.curves
    ends = (
        (piece.start_cut, curves[0, 0], -start_tangents(curves[:1])[0]),
        (piece.end_cut, curves[-1, 3], end_tangents(curves[-1:])[0]),
    )
    found = []
    for cut, place, outward in ends:
        for side, at in enumerate(cell.edge):
            axis, sign = side % 2, -1.0 if side < 2 else 1.0
            cut = cut or bool(abs(place[axis] - at) <= ON_SIDE and sign * outward[axis] > 0.05)
        found.append(cut)
    return found[0], found[1]


def _without_doubles(lines: Sequence[Line], sheet: _Sheet) -> List[Line]:
    """Leave out lines that run along a border and that the neighbour has drawn as well."""
    if len(sheet.placed) < 2 or not lines:
        return list(lines)
    edges = {place.page: cell.edge for place, cell in zip(sheet.placed, sheet.cells)}
    low, high = spans([line.path.curves for line in lines])
    edge = np.array([edges[line.page] for line in lines])
    near = (np.abs(np.hstack([low, low]) - edge) <= 0.5) & (np.abs(np.hstack([high, high]) - edge) <= 0.5)
    along = [(int(k), low[k], high[k]) for k in np.flatnonzero(near.any(axis=1))]
    dropped: Set[int] = set()
    for number, low, high in along:
        for other, other_low, other_high in along:
            one, two = lines[number], lines[other]
            if one.page <= two.page or other in dropped or one.style.colour != two.style.colour:
                continue
            inside = (low >= other_low - DOUBLED).all() and (high <= other_high + DOUBLED).all()
            if inside and _follows(one.path, two.path):
                dropped.add(number)
                break
    return [line for number, line in enumerate(lines) if number not in dropped]


def _follows(path: Path, other: Path) -> bool:
    """Whether a path lies on another one, in the same direction or against it."""
    spots = np.concatenate([path.curves[:, 0], path.curves[-1:, 3]])
    starts, ends = other.curves[:, 0], other.curves[:, 3]
    way = ends - starts
    size = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)
    away = spots[:, None] - starts
    t = np.clip((away * way).sum(axis=2) / (size * size), 0.0, 1.0)
    miss = np.hypot(*np.moveaxis(away - t[..., None] * way, -1, 0))
    nearest = miss.argmin(axis=1)
    if miss.min(axis=1).max() > DOUBLED:
        return False
    chord = path.curves[:, 3] - path.curves[:, 0]
    long = np.maximum(np.hypot(chord[:, 0], chord[:, 1]), 1e-9)
    beside = way[nearest[:-1]] / size[nearest[:-1], None]
    return bool((np.abs((chord * beside).sum(axis=1)) >= PARALLEL * long).all())


def _words(sheet: _Sheet, printed: Printed) -> List[Words]:
    """All words that can be seen, each once, without those that pages repeat."""
    numbers = {page.number: index for index, page in enumerate(printed.pages)}
    repeated = words_of_furniture(printed.pages, page_groups(printed.pages))
    fixed = {(printed.pages[page].number, word) for page, word in repeated}
    found: List[Words] = []
    seen: Dict[Tuple[object, ...], List[Tuple[float, float]]] = defaultdict(list)
    for page, place in zip(sheet.pages, sheet.placed):
        fresh = []
        for index, words in enumerate(printed.pages[numbers[page.number]].words):
            if (page.number, index) in fixed or not is_shown(words, page):
                continue
            moved = words._replace(x=words.x + place.x, y=words.y + place.y, clip=None)
            key = (words.text, round(words.angle), words.layers)
            if not any(abs(moved.x - x) + abs(moved.y - y) <= SAME_WORDS for x, y in seen[key]):
                found.append(moved)
                fresh.append((key, (moved.x, moved.y)))
        for key, spot in fresh:  # a page may have the same words twice at one place
            seen[key].append(spot)
    return found


def turned(sheet: Sheet, turn: int) -> Sheet:
    """A sheet turned clockwise by 0, 90, 180 or 270 degrees."""
    turn = turn % 360
    if not turn:
        return sheet
    width, height = sheet.width, sheet.height
    matrix, shift = {
        90: (np.array([[0.0, 1.0], [-1.0, 0.0]]), (height, 0.0)),
        180: (np.array([[-1.0, 0.0], [0.0, -1.0]]), (width, height)),
        270: (np.array([[0.0, -1.0], [1.0, 0.0]]), (0.0, width)),
    }[turn]
    lines = tuple(
        line._replace(path=Path(line.path.curves @ matrix + shift, line.path.closed)) for line in sheet.lines
    )
    words = []
    for word in sheet.words:
        x, y = np.array([word.x, word.y]) @ matrix + shift
        words.append(word._replace(x=float(x), y=float(y), angle=(word.angle + turn) % 360))
    boxes = []
    for page, box in sheet.pages:
        corners = np.array(box).reshape(2, 2) @ matrix + shift
        boxes.append((page, (*corners.min(axis=0).tolist(), *corners.max(axis=0).tolist())))
    size = (height, width) if turn != 180 else (width, height)
    return Sheet(size[0], size[1], lines, tuple(words), tuple(boxes))
