"""Strokes that a printer driver turned into their own outlines, back to their middle line.

Some programs write every dash as a filled shape with four sides, or a whole line as a
ribbon or a ring.  Letters that were turned into outlines can look the same one by one; so
short strips count only where several follow each other end to end, and rings only where
they are larger than any letter.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, is_line, lines
from sewkit.sheet.drawn import Line, Style
from sewkit.sheet.line_dashes import WIDEST_GAP, link_in_order
from sewkit.sheet.line_ends import Links, chains_of, strokes_of
from sewkit.sheet.line_ribbons import middle_of_ribbon, middle_of_ring

# The widest pen (mm): what is broader is an area.
WIDEST_PEN = 3.0
# A strip alone, or a ring, smaller than this (mm) may be a letter.
NO_LETTER = 15.0
# So many strips end to end are a line.
SEVERAL = 3
# How much the width of a strip may differ from that of its neighbours (share).
LIKE_WIDTH = 0.15
# Sides at the ends of a strip stand square to it, within so much (degrees).
SQUARE = 20.0
# Widths are told to this (mm), so that all strips of one line have one style.
WIDTH_STEP = 0.01


class _Shapes(NamedTuple):
    """Closed fills: their curves one after the other, where each begins, and its object."""

    lines: List[Line]
    curves: np.ndarray
    first: np.ndarray
    count: np.ndarray
    owner: np.ndarray


def as_strokes(every: Sequence[Line]) -> Tuple[List[Line], List[Line]]:
    """Split the lines of a sheet into strokes, those from strips among them, and fills."""
    strokes = [line for line in every if line.style.colour]
    fills = [line for line in every if not line.style.colour]
    if not fills:
        return strokes, fills
    fills.sort(key=lambda line: line.order)
    shapes = _shapes(fills)
    size = _extents(shapes)
    middles = _middles(shapes, size)
    rings = _rings(fills, middles, size)
    kept = _in_company(middles)
    found = [middles[i] for i in sorted(kept)] + [line for line in rings.values() if line is not None]
    rest = [line for i, line in enumerate(fills) if i not in kept and i not in rings]
    return strokes + found, rest


def _shapes(fills: Sequence[Line]) -> _Shapes:
    """The curves of all fills, closed and without sides of no length."""
    every = np.concatenate([line.path.curves for line in fills])
    count = np.array([len(line.path) for line in fills])
    owner = np.repeat(np.arange(len(fills)), count)
    keep = np.abs(every - every[:, :1]).max(axis=(1, 2)) > 1e-6
    every, owner = every[keep], owner[keep]
    count = np.bincount(owner, minlength=len(fills))
    first = np.cumsum(count) - count
    some = np.flatnonzero(count)
    last = first[some] + count[some] - 1
    start, end = every[first[some], 0], every[last, 3]
    open_ones = np.hypot(*(start - end).T) > 1e-4
    closing = lines(end[open_ones], start[open_ones])
    every = np.insert(every, last[open_ones] + 1, closing, axis=0)
    count[some[open_ones]] += 1
    numbers: Dict[tuple, int] = {}
    objects = np.array([numbers.setdefault(line.order[:2], len(numbers)) for line in fills])
    return _Shapes(list(fills), every, np.cumsum(count) - count, count, objects)


def _middles(shapes: _Shapes, size: np.ndarray) -> Dict[int, Line]:
    """The middle lines of all fills that look like strips, by number."""
    width, long = _measures(shapes)
    thin = (width > 0.02) & (width <= WIDEST_PEN) & (shapes.count >= 4)
    found: Dict[int, Line] = {}
    quads = np.flatnonzero(thin & (shapes.count == 4))
    _quads(shapes, quads, found)
    near = _neighbours(shapes, found)
    pens: Dict[tuple, List[float]] = {}
    for line in found.values():
        pens.setdefault((line.order[:2], line.style.colour), []).append(line.style.width)
    for i in np.flatnonzero(thin & (shapes.count > 4) & ((size >= NO_LETTER) | near)).tolist():
        if long[i] < 1.2 * width[i]:
            continue
        curves = shapes.curves[shapes.first[i] : shapes.first[i] + shapes.count[i]]
        line = shapes.lines[i]
        pen = pens.get((line.order[:2], line.style.fill))
        middle = middle_of_ribbon(curves, float(np.median(pen)) if pen else float(width[i]))
        if middle is not None:
            found[i] = _stroke(shapes.lines[i], middle[0], middle[1])
    return found


def _stroke(line: Line, curves: np.ndarray, width: float) -> Line:
    width = round(round(width / WIDTH_STEP) * WIDTH_STEP, 2)
    return line._replace(path=Path(curves), style=Style(line.style.fill, width))


def _measures(shapes: _Shapes) -> Tuple[np.ndarray, np.ndarray]:
    """Width and length (mm) of the ribbons that have the area and girth of the shapes."""
    curves, some = shapes.curves, np.flatnonzero(shapes.count)
    mid = (curves[:, 0] + 3 * curves[:, 1] + 3 * curves[:, 2] + curves[:, 3]) / 8.0
    corners = np.stack([curves[:, 0], mid, curves[:, 3]], axis=1)
    origin = np.repeat(corners[shapes.first[some], 0], shapes.count[some], axis=0)[:, None]
    x, y = np.moveaxis(corners - origin, -1, 0)
    doubled = (x[:, :-1] * y[:, 1:] - x[:, 1:] * y[:, :-1]).sum(axis=1)
    girth = np.hypot(np.diff(x, axis=1), np.diff(y, axis=1)).sum(axis=1)
    width, long = np.zeros(len(shapes.lines)), np.zeros(len(shapes.lines))
    area = np.abs(np.add.reduceat(doubled, shapes.first[some])) / 2.0
    half = np.add.reduceat(girth, shapes.first[some]) / 2.0
    root = np.sqrt(np.maximum(half * half - 4.0 * area, 0.0))
    width[some], long[some] = (half - root) / 2.0, (half + root) / 2.0
    return width, long


def _extents(shapes: _Shapes) -> np.ndarray:
    """The larger side of each shape's box (mm)."""
    some = np.flatnonzero(shapes.count)
    low = np.minimum.reduceat(shapes.curves.min(axis=1), shapes.first[some])
    high = np.maximum.reduceat(shapes.curves.max(axis=1), shapes.first[some])
    size = np.zeros(len(shapes.lines))
    size[some] = (high - low).max(axis=1)
    return size


def _quads(shapes: _Shapes, quads: np.ndarray, found: Dict[int, Line]) -> None:
    """Shapes of four sides: the ends are the two straight sides as long as the pen is wide."""
    if not len(quads):
        return
    sides = shapes.curves[shapes.first[quads][:, None] + np.arange(4)]
    chord = np.hypot(*np.moveaxis(sides[:, :, 3] - sides[:, :, 0], -1, 0))
    straight = is_line(sides.reshape(-1, 4, 2)).reshape(-1, 4)
    pair = np.stack([chord[:, 0] + chord[:, 2], chord[:, 1] + chord[:, 3]], axis=1) / 2.0
    square = _square_ends(sides, chord, straight)
    followed = np.zeros(len(shapes.lines), np.int64)
    followed[quads] = _followed(sides, pair)
    likely = square.any(axis=1) & (followed[quads] | _mostly(shapes, followed, quads)[quads]).astype(bool)
    quads, sides, chord, pair, square = (a[likely] for a in (quads, sides, chord, pair, square))
    if not len(quads):
        return
    wide = _pen(shapes, quads, pair, square)
    off = np.where(square, np.abs(pair - wide[:, None]), np.inf)
    ends = off.argmin(axis=1)
    # On a dot as long as it is wide both will do: the neighbours tell the way.
    dot = np.abs(pair[:, 0] - pair[:, 1]) <= LIKE_WIDTH * wide
    ends[dot] = _along_neighbours(sides, quads)[dot]
    row = np.arange(len(quads))
    good = square[row, ends] & (pair[row, ends] <= WIDEST_PEN)
    good &= np.abs(pair[row, ends] - wide) <= LIKE_WIDTH * wide
    one, two = sides[row, (ends + 1) % 4], sides[row, (ends + 3) % 4][:, ::-1]
    middle = (one + two) / 2.0
    for k in np.flatnonzero(good).tolist():
        found[int(quads[k])] = _stroke(shapes.lines[quads[k]], middle[k][None], float(wide[k]))


def _followed(sides: np.ndarray, pair: np.ndarray) -> np.ndarray:
    """Which shapes are long, or have their neighbour in drawing order before or behind them.

    Letters stand beside each other: nearly all of them end here, before any is looked at
    by itself.
    """
    row = np.arange(len(sides))
    long = pair.argmin(axis=1) + 1  # the side that runs along, were the shape a strip
    axis = sides[row, long % 4, 3] - sides[row, long % 4, 0]
    size = pair.max(axis=1)
    middle = sides[:, :, 0].mean(axis=1)
    way = middle[1:] - middle[:-1]
    apart = np.hypot(way[:, 0], way[:, 1])
    near = apart <= WIDEST_GAP + (size[1:] + size[:-1]) / 2.0
    dots = size <= 1.5 * pair.min(axis=1)

    def along(which: np.ndarray, square: np.ndarray) -> np.ndarray:
        dot = np.abs((which * way).sum(axis=1))
        return square | (dot >= np.cos(np.radians(45.0)) * apart * np.hypot(which[:, 0], which[:, 1]))

    linked = near & along(axis[1:], dots[1:]) & along(axis[:-1], dots[:-1])
    found = size >= NO_LETTER
    found[1:] |= linked
    found[:-1] |= linked
    return found


def _square_ends(sides: np.ndarray, chord: np.ndarray, straight: np.ndarray) -> np.ndarray:
    """For both pairs of opposite sides ``(n, 2)``, whether they can be the ends of a strip."""
    out = sides[:, :, 1] - sides[:, :, 0]
    arrive = sides[:, :, 3] - sides[:, :, 2]
    leave = np.roll(out, -1, axis=1)
    size = np.maximum(np.hypot(*np.moveaxis(arrive, -1, 0)) * np.hypot(*np.moveaxis(leave, -1, 0)), 1e-12)
    cross = (arrive[..., 0] * leave[..., 1] - arrive[..., 1] * leave[..., 0]) / size
    right_angle = (np.abs(cross) >= np.cos(np.radians(SQUARE))).all(axis=1)
    found = []
    for k in (0, 1):
        one, two = chord[:, k], chord[:, k + 2]
        alike = np.abs(one - two) <= LIKE_WIDTH * np.maximum(one, two)
        found.append(right_angle & straight[:, k] & straight[:, k + 2] & alike)
    return np.stack(found, axis=1)


def _pen(shapes: _Shapes, quads: np.ndarray, pair: np.ndarray, square: np.ndarray) -> np.ndarray:
    """The pen's width (mm) for each shape: the shorter pair's, as its object has it mostly."""
    shorter = np.where(square, pair, np.inf).min(axis=1)
    shorter = np.where(np.isfinite(shorter), shorter, pair.min(axis=1))
    clear = (pair.max(axis=1) >= 1.5 * shorter) & square.any(axis=1)
    keys: Dict[tuple, List[int]] = {}
    for k, number in enumerate(quads.tolist()):
        line = shapes.lines[number]
        keys.setdefault((line.order[:2], line.style), []).append(k)
    wide = np.array(shorter)
    for members in keys.values():
        sure = [k for k in members if clear[k]]
        if len(members) >= SEVERAL and sure:
            wide[members] = np.median(shorter[sure])
    return wide


def _along_neighbours(sides: np.ndarray, quads: np.ndarray) -> np.ndarray:
    """Which pair of sides lies across the way from the shape before to the one after."""
    middle = sides[:, :, 0].mean(axis=1)
    way = np.gradient(middle, axis=0) if len(middle) > 1 else np.zeros_like(middle)
    one = sides[:, 0, 3] - sides[:, 0, 0]
    two = sides[:, 1, 3] - sides[:, 1, 0]
    return np.where(np.abs((one * way).sum(axis=1)) <= np.abs((two * way).sum(axis=1)), 0, 1)


def _neighbours(shapes: _Shapes, found: Dict[int, Line]) -> np.ndarray:
    """Which shapes stand, in drawing order or in one object, among strips of four sides."""
    flag = np.zeros(len(shapes.lines), np.int64)
    flag[list(found)] = 1
    padded = np.concatenate([[0, 0], flag, [0, 0]])
    around = padded[:-4] + padded[1:-3] + padded[3:-1] + padded[4:]
    return (around >= 2) | _mostly(shapes, flag)


def _mostly(shapes: _Shapes, flag: np.ndarray, among: Optional[np.ndarray] = None) -> np.ndarray:
    """Which shapes belong to an object of which most shapes, or most of some, are flagged."""
    owner = shapes.owner
    every = np.bincount(owner if among is None else owner[among], minlength=owner.max() + 1)
    flagged = np.bincount(owner, flag, minlength=len(every))
    return ((flagged >= SEVERAL) & (2 * flagged >= every))[owner]


def _in_company(middles: Dict[int, Line]) -> "set[int]":
    """Numbers of the strips that are lines: long ones, and those that follow each other."""
    numbers = sorted(middles)
    if not numbers:
        return set()
    by_order = {(middles[i].page, middles[i].order): i for i in numbers}
    strokes = strokes_of([middles[i] for i in numbers])
    links = Links(len(strokes.lines))
    link_in_order(strokes, links)
    kept = set()
    for chain in chains_of(links):
        rows = [entry >> 1 for entry in chain.entries]
        if len(rows) >= SEVERAL or strokes.length[rows].sum() >= NO_LETTER:
            kept.update(by_order[strokes.lines[row].page, strokes.lines[row].order] for row in rows)
    return _with_strays(middles, kept)


def _with_strays(middles: Dict[int, Line], kept: "set[int]") -> "set[int]":
    """Strips beside those already kept in the same object: a line's ends at a border."""
    objects: Dict[tuple, List[int]] = {}
    for i, line in middles.items():
        objects.setdefault((line.order[:2], line.style), []).append(i)
    more = set(kept)
    for members in objects.values():
        if sum(i in kept for i in members) * 2 >= len(members) and any(i in kept for i in members):
            more.update(members)
    return more


def _rings(fills: Sequence[Line], middles: Dict[int, Line], size: np.ndarray) -> Dict[int, Optional[Line]]:
    """Rings of two runs, large and thin: the middle line by the outer run, ``None`` the inner."""
    objects: Dict[tuple, List[int]] = {}
    for i in np.flatnonzero(size >= NO_LETTER / 2.0).tolist():
        if i not in middles:
            objects.setdefault((fills[i].page, fills[i].order[:2]), []).append(i)
    found: Dict[int, Optional[Line]] = {}
    for members in objects.values():
        if len(members) != 2:
            continue
        one, two = sorted(members, key=lambda i: -size[i])
        if size[one] < NO_LETTER:
            continue
        middle = middle_of_ring(fills[one].path, fills[two].path, WIDEST_PEN)
        if middle is not None:
            path, width = middle
            stroke = _stroke(fills[one], path.curves, width)
            found[one], found[two] = stroke._replace(path=path), None
    return found
