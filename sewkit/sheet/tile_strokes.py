"""All strokes of all pages as one table, so that pages can be compared by the thousand.

A stroke is one run of a painted path.  What a page shows of it ends at its clip and at
the edge of the page: its window.
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import lines, point
from sewkit.sheet.drawn import Drawn, Page, Style

# Closed shapes smaller than this (mm) are letters, dots, arrowheads: there are hundreds of
# thousands of them, the same on every page, and they prove nothing.
SMALL = 15.0

# A box must reach this far into a window to be seen (mm): a line that only touches does not count.
SEEN = 0.02


# Where a curve is looked at to see whether it shows: often enough for a sliver of a tile.
_ALONG = np.linspace(0.0, 1.0, 33)


# Coordinates beyond this many cells are no drawing; they only must not overflow.
_FARTHEST = 1e15


def cells(values: np.ndarray) -> np.ndarray:
    """Numbers of the cells in which values lie, whatever a damaged file says."""
    return np.clip(np.floor(values), -_FARTHEST, _FARTHEST).astype(np.int64)


class Strokes(NamedTuple):
    """One row a stroke; rows of a page are together, in drawing order.

    Args:
        curves: ``(n, 4, 2)`` of all strokes, one after the other (mm on their pages).
        first, count: ``(m,)`` the first curve of each and how many it has.
        closed: ``(m,)`` it was closed.
        look: ``(m,)`` number of its style, layers and being hidden.
        page: ``(m,)`` index of its page.
        drawn, run: ``(m,)`` index of the painted path on the page, and of the run in it.
        low, high: ``(m, 2)`` corners of the box of its control points.
        window: ``(m, 4)`` left, top, right, bottom of what can be seen.
        looks: the styles, by number.
    """

    curves: np.ndarray
    first: np.ndarray
    count: np.ndarray
    closed: np.ndarray
    look: np.ndarray
    page: np.ndarray
    drawn: np.ndarray
    run: np.ndarray
    low: np.ndarray
    high: np.ndarray
    window: np.ndarray
    looks: Tuple[Tuple[Style, Tuple[str, ...], bool], ...]

    def of(self, row: int) -> np.ndarray:
        """The curves of one stroke."""
        return self.curves[self.first[row] : self.first[row] + self.count[row]]

    def seen(self) -> np.ndarray:
        """``(m,)`` whether anything of it can be seen."""
        reach = np.minimum(self.high, self.window[:, 2:]) - np.maximum(self.low, self.window[:, :2])
        # A straight upright line has no width, yet is seen: it must lie inside, no more.
        size = self.high - self.low
        return (reach >= np.minimum(size, SEEN) - 1e-9).all(axis=1)

    def shown(self, rows: np.ndarray) -> np.ndarray:
        """Those rows of which some point really lies in the window, not only a corner of the box."""
        sure = self.seen()[rows] & self.inside()[rows]
        doubtful = rows[~sure]
        number = np.concatenate(
            [np.arange(f, f + c) for f, c in zip(self.first[doubtful], self.count[doubtful])] or [[]]
        )
        owner = np.repeat(np.arange(len(doubtful)), self.count[doubtful])
        spots = point(
            self.curves[number.astype(np.intp)], np.broadcast_to(_ALONG, (len(number), len(_ALONG)))
        )
        window = self.window[doubtful][owner][:, None]
        met = ((spots >= window[..., :2] + SEEN) & (spots <= window[..., 2:] - SEEN)).all(axis=2).any(axis=1)
        seen = np.zeros(len(doubtful), bool)
        seen[owner[met]] = True
        return np.sort(np.concatenate([rows[sure], doubtful[seen]]))

    def inside(self) -> np.ndarray:
        """``(m,)`` whether all of it can be seen."""
        left_top = self.low >= self.window[:, :2] - SEEN
        return (left_top & (self.high <= self.window[:, 2:] + SEEN)).all(axis=1)

    def large(self) -> np.ndarray:
        """``(m,)`` whether it is more than a letter or a dot."""
        return ~self.closed | ((self.high - self.low).max(axis=1) >= SMALL)


def strokes_of(pages: Sequence[Page]) -> Strokes:
    """The table of all strokes of some pages."""
    looks: Dict[Tuple[Style, Tuple[str, ...], bool], int] = {}
    curves: List[np.ndarray] = []
    parts: Dict[str, List[np.ndarray]] = {
        name: [] for name in ("first", "closed", "look", "page", "drawn", "run", "window")
    }
    at = 0
    for number, page in enumerate(pages):
        kept = [(index, drawn) for index, drawn in enumerate(page.drawn) if len(drawn.curves)]
        curves.extend(drawn.curves for _, drawn in kept)
        runs = np.array([len(drawn.starts) for _, drawn in kept], np.intp)
        sizes = np.array([len(drawn.curves) for _, drawn in kept], np.intp)
        bases = at + np.cumsum(sizes) - sizes
        at += int(sizes.sum())
        own = np.fromiter((s for _, drawn in kept for s in drawn.starts), np.intp, int(runs.sum()))
        parts["first"].append(own + np.repeat(bases, runs))
        parts["closed"].append(np.fromiter((c for _, drawn in kept for c in drawn.closed), bool, len(own)))
        look = [_number(looks, drawn) for _, drawn in kept]
        parts["look"].append(np.repeat(np.array(look, np.intp), runs))
        parts["page"].append(np.full(len(own), number, np.intp))
        parts["drawn"].append(np.repeat(np.array([index for index, _ in kept], np.intp), runs))
        parts["run"].append(np.arange(len(own)) - np.repeat(np.cumsum(runs) - runs, runs))
        parts["window"].append(np.repeat(_windows(page, kept), runs, axis=0))
    return _table(curves, parts, tuple(looks))


def _number(looks: Dict[Tuple[Style, Tuple[str, ...], bool], int], drawn: Drawn) -> int:
    key = (drawn.style, drawn.layers, drawn.hidden)
    return looks.setdefault(key, len(looks))


def _windows(page: Page, kept: Sequence[Tuple[int, Drawn]]) -> np.ndarray:
    """The part of the page in which each path is seen, ``(k, 4)``."""
    paper = np.array([0.0, 0.0, page.width, page.height])
    clips = np.array([paper if drawn.clip is None else drawn.clip for _, drawn in kept]).reshape(-1, 4)
    low, high = np.maximum(clips[:, :2], paper[:2]), np.minimum(clips[:, 2:], paper[2:])
    return np.hstack([low, high])


def _table(
    curves: List[np.ndarray],
    parts: Dict[str, List[np.ndarray]],
    looks: Tuple[Tuple[Style, Tuple[str, ...], bool], ...],
) -> Strokes:
    whole = np.concatenate(curves) if curves else np.zeros((0, 4, 2))
    columns = {name: np.concatenate(found) for name, found in parts.items() if found}
    if not len(whole):
        none = np.zeros(0, np.intp)
        return Strokes(
            whole, none, none, none.astype(bool), none, none, none, none,
            np.zeros((0, 2)), np.zeros((0, 2)), np.zeros((0, 4)), looks,
        )  # fmt: skip
    first = columns["first"]
    count = np.diff(np.append(first, len(whole)))
    used = count > 0
    columns = {name: found[used] for name, found in columns.items()}
    first, count = first[used], count[used]
    low, high = _spans(whole, first)
    return Strokes(
        whole, first, count, columns["closed"], columns["look"], columns["page"], columns["drawn"],
        columns["run"], low, high, columns["window"], looks,
    )  # fmt: skip


def spans(parts: Sequence[np.ndarray]) -> Tuple[np.ndarray, np.ndarray]:
    """Corners of the boxes of several runs of curves, ``(k, 2)`` each; none may be empty."""
    first = np.cumsum([0] + [len(part) for part in parts[:-1]])
    return _spans(np.concatenate(parts), first)


def _spans(curves: np.ndarray, first: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
    """Corners of the boxes of runs that begin at ``first``."""
    one, two = np.minimum(curves[:, 0], curves[:, 1]), np.minimum(curves[:, 2], curves[:, 3])
    low = np.minimum.reduceat(np.minimum(one, two), first, axis=0)
    one, two = np.maximum(curves[:, 0], curves[:, 1]), np.maximum(curves[:, 2], curves[:, 3])
    return low, np.maximum.reduceat(np.maximum(one, two), first, axis=0)


# A dash that was drawn as a filled strip: its ends are no wider than this (mm), it is longer than
# wide by this factor, and its area hardly more than length by width.  A path is dashes when most
# of its runs are, and at least three.
WIDE, LONGER, BULGE, MOST, SEVERAL = 3.0, 1.3, 1.3, 0.6, 3


def centred(strokes: Strokes) -> Strokes:
    """The same table with filled dashes put as their centre lines: straight, open strokes."""
    dash, ends = _dashes(strokes)
    path = np.cumsum((strokes.run == 0).astype(np.intp)) - 1
    if not len(path):
        return strokes
    runs, dashes = np.bincount(path), np.bincount(path, dash)
    dash &= ((dashes >= SEVERAL) & (dashes >= MOST * runs))[path]
    if not dash.any():
        return strokes
    count = np.where(dash, 1, strokes.count)
    first = np.cumsum(count) - count
    curves = np.empty((int(count.sum()), 4, 2))
    curves[first[dash]] = lines(ends[dash, 0], ends[dash, 1])
    kept = np.repeat(~dash, strokes.count)
    curves[np.repeat(~dash, count)] = strokes.curves[kept]
    low, high = strokes.low.copy(), strokes.high.copy()
    low[dash], high[dash] = ends[dash].min(axis=1), ends[dash].max(axis=1)
    return strokes._replace(
        curves=curves, first=first, count=count, closed=strokes.closed & ~dash, low=low, high=high
    )


def _dashes(strokes: Strokes) -> Tuple[np.ndarray, np.ndarray]:
    """Which strokes are filled dashes, and the middles of their two ends, ``(m, 2, 2)``."""
    dash = np.zeros(len(strokes.first), bool)
    ends = np.zeros((len(strokes.first), 2, 2))
    bare = np.array([bool(style.fill) and not style.colour for style, _, _ in strokes.looks], bool)
    for count in range(4, 9):
        rows = np.flatnonzero(strokes.closed & (strokes.count == count) & bare[strokes.look])
        curves = strokes.curves[strokes.first[rows][:, None] + np.arange(count)]
        size = np.hypot(*np.moveaxis(curves[:, :, 3] - curves[:, :, 0], -1, 0))
        own = np.arange(len(rows))
        one = size.argmin(axis=1) if len(rows) else own
        beside = size.copy()
        for step in (-1, 0, 1):
            beside[own, (one + step) % count] = np.inf
        two = beside.argmin(axis=1) if len(rows) else own
        wide = np.maximum(size[own, one], size[own, two])
        long = (size.sum(axis=1) - size[own, one] - size[own, two]) / 2
        x, y = np.moveaxis(curves[:, :, 0] - curves[:, :1, 0], -1, 0)
        area = np.abs((x * np.roll(y, -1, axis=1) - y * np.roll(x, -1, axis=1)).sum(axis=1)) / 2
        # Nowhere wider than at its ends: else it is a letter.
        dash[rows] = (wide <= WIDE) & (long >= LONGER * wide) & (long > 0) & (area <= BULGE * wide * long)
        for k, side in enumerate((one, two)):
            ends[rows, k] = (curves[own, side, 0] + curves[own, side, 3]) / 2
    return dash, ends


def some(strokes: Strokes, kept: np.ndarray) -> Strokes:
    """The table with only some of its rows; the curves stay as they are."""
    return Strokes(strokes.curves, *(field[kept] for field in strokes[1:-1]), strokes.looks)


def by_path(strokes: Strokes, large: np.ndarray, most: int = 4000) -> Strokes:
    """A table with one row for each painted path of several runs and no more than ``most`` curves.

    Without paths of which no run is ``large``, ``(m,)``: letters are the same on every page.
    """
    starts = np.flatnonzero(strokes.run == 0)
    if not len(starts):
        return some(strokes, starts)
    stops = np.append(starts[1:], len(strokes.first))
    several = (stops - starts > 1) & np.logical_or.reduceat(large, starts)
    starts, stops = starts[several], stops[several]
    last = stops - 1
    count = strokes.first[last] + strokes.count[last] - strokes.first[starts]
    good = count <= most
    starts, stops, count = starts[good], stops[good], count[good]
    chosen = [getattr(strokes, name)[starts] for name in ("look", "page", "drawn", "run")]
    pairs = list(zip(starts.tolist(), stops.tolist()))
    low = np.array([strokes.low[a:b].min(axis=0) for a, b in pairs]).reshape(-1, 2)
    high = np.array([strokes.high[a:b].max(axis=0) for a, b in pairs]).reshape(-1, 2)
    none = np.zeros(len(starts), bool)
    return Strokes(
        strokes.curves, strokes.first[starts], count, none, *chosen,
        low, high, strokes.window[starts], strokes.looks,
    )  # fmt: skip
