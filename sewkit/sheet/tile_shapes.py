"""Shapes that two pages both show: the surest proof of where a tile lies.

Where artwork overlaps, or is only hidden by a clip, the same control points stand on two
pages, moved.  The move is the offset of the tiles.  Shapes that a drawing has several
times propose wrong offsets as well; the offset that most shapes of most pages agree on is
the distance from tile to tile, and all others are dropped.
"""

from collections import defaultdict
from typing import Dict, Iterable, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.sheet.tile_strokes import Strokes, cells
from sewkit.sheet.tile_values import BELOW, RIGHT

# Control points of one shape agree this well on two pages (mm): a printer driver that
# rounds to 720 dots an inch moves each by up to 0.035.
SAME_SHAPE = 0.06

# A lone stroke shorter than this (mm), and any shape smaller than a finger, is
# found all over a drawing and proves nothing.
LONE, FINGER = 25.0, 5.0

# Neighbours lie this part of the page apart at least, and this far aside at most (mm).
APART, ASIDE = 0.4, 8.0

# Offsets within this of each other are one (mm).
AGREE = 0.4

# More strokes of the same size than this are not compared one by one.
CROWD = 80

# So many shapes, the longest, say all that can be said; more only cost time.
ENOUGH = 3000


# What a line that finds no partner weighs beside one that does.
MISS = 0.3


class Proof(NamedTuple):
    """What two pages say about being neighbours.

    Args:
        offset: from the first page's corner to the second's (mm).
        matched: shapes or lines that fit.
        unmatched: lines that find no partner.
        residual: mean distance of what fits (mm).
        slanted: how many of the lines tell how far apart the pages are; those square to the border do not.
    """

    offset: Tuple[float, float]
    matched: int
    unmatched: int
    residual: float
    slanted: int = 0

    @property
    def score(self) -> float:
        """How much speaks for it: a miss weighs less, a line may end on a border by chance."""
        return self.matched - MISS * self.unmatched


Pairs = Dict[Tuple[int, int, str], Proof]  # first page, second page (indexes), side


class _Votes(NamedTuple):
    """One row a shape: pages, offset, weight."""

    first: np.ndarray
    second: np.ndarray
    offset: np.ndarray
    weight: np.ndarray

    def take(self, rows: np.ndarray) -> "_Votes":
        return _Votes(*(field[rows] for field in self))


def same_shapes(strokes: Strokes, rows: np.ndarray) -> Iterable[np.ndarray]:
    """Groups of strokes that are one shape in different places, each group of several rows.

    Two strokes are compared when their boxes have the same size to half a step on one of
    four grids; so no pair is lost at the edge of a cell.
    """
    if not len(rows):
        return
    size = (strokes.high[rows] - strokes.low[rows]) / (4 * SAME_SHAPE)
    fixed = np.stack([strokes.look[rows], strokes.count[rows], strokes.closed[rows]], axis=1)
    done = set()
    for shift in ((0.0, 0.0), (0.5, 0.0), (0.0, 0.5), (0.5, 0.5)):
        key = np.hstack([fixed, cells(size + shift)])
        _, cell = np.unique(key, axis=0, return_inverse=True)
        cell = cell.reshape(-1)
        order = np.argsort(cell, kind="stable")
        cuts = np.flatnonzero(np.diff(cell[order])) + 1
        for group in np.split(rows[order], cuts):
            for same in _alike(strokes, group) if len(group) > 1 else ():
                mark = same.tobytes()
                if mark not in done:
                    done.add(mark)
                    yield same


def _alike(strokes: Strokes, group: np.ndarray) -> Iterable[np.ndarray]:
    """Split strokes of one size into groups with the same control points."""
    count = int(strokes.count[group[0]])
    first = strokes.first[group]
    start = strokes.curves[first, 0]
    parts = [np.arange(len(group))]
    # Sort by some coordinates, one after the other; where a wide step is, nothing is the same.
    for number in sorted({0, count // 3, count // 2, count - 1}):
        for axis in (0, 1):
            away = strokes.curves[first + number, 2, axis] - start[:, axis]
            parts = [piece for part in parts for piece in _apart(part, away)]
    for part in parts:
        if len(part) <= CROWD:
            yield from _same(strokes, group[part], count)
            continue
        # So many of one size are letters; there, a shape that is lost between two cells does no harm.
        middle = strokes.curves[first[part] + count // 2, 1:3] - start[part][:, None]
        for piece in _in_cells(part, middle.reshape(len(part), -1)):
            if len(piece) <= CROWD:
                yield from _same(strokes, group[piece], count)


def _in_cells(part: np.ndarray, values: np.ndarray) -> List[np.ndarray]:
    """Split row numbers by rounded values, ``(n, k)``; groups of several only."""
    _, cell = np.unique(np.round(values / (4 * SAME_SHAPE)), axis=0, return_inverse=True)
    order = np.argsort(cell.reshape(-1), kind="stable")
    cuts = np.flatnonzero(np.diff(cell.reshape(-1)[order])) + 1
    return [piece for piece in np.split(part[order], cuts) if len(piece) > 1]


def _apart(part: np.ndarray, value: np.ndarray) -> List[np.ndarray]:
    """Split row numbers where sorted values have a step wider than shapes may differ."""
    order = part[np.argsort(value[part], kind="stable")]
    cuts = np.flatnonzero(np.diff(value[order]) > SAME_SHAPE) + 1
    return [piece for piece in np.split(order, cuts) if len(piece) > 1]


def _same(strokes: Strokes, group: np.ndarray, count: int) -> Iterable[np.ndarray]:
    group = np.sort(group)
    points = strokes.curves[strokes.first[group][:, None] + np.arange(count)]
    points = points - points[:, :1, :1]
    while len(group) > 1:
        same = np.abs(points - points[0]).max(axis=(1, 2, 3)) <= SAME_SHAPE
        if same.sum() > 1:
            yield group[same]
        group, points = group[~same], points[~same]


def telling(strokes: Strokes, rows: np.ndarray) -> np.ndarray:
    """Those strokes that are worth comparing: long or of a shape of their own."""
    size = (strokes.high[rows] - strokes.low[rows]).max(axis=1)
    # A short curve may be a dash of a long one: others like it are everywhere.
    lone = strokes.count[rows] == 1
    keep = (size >= FINGER) & ~(lone & (size < LONE))
    rows, size = rows[keep], size[keep]
    return np.sort(rows[np.argsort(-size, kind="stable")[: ENOUGH * 4]])


def pairs_by_shapes(strokes: Strokes, rows: np.ndarray, paths: Strokes, paper: Tuple[float, float]) -> Pairs:
    """Neighbours among pages of one size ``paper``, proved by shapes that both have.

    ``paths`` are shapes of several runs, like a line whose dashes were drawn one by one.
    """
    single, several = (
        _votes(strokes, telling(strokes, rows)),
        _votes(paths, telling(paths, np.arange(len(paths.first)))),
    )
    votes = _Votes(*(np.concatenate(fields) for fields in zip(single, several)))
    found: Pairs = {}
    for side, axis in ((RIGHT, 0), (BELOW, 1)):
        along, aside = votes.offset[:, axis], votes.offset[:, 1 - axis]
        near = (along >= APART * paper[axis]) & (along <= paper[axis] + 1.0) & (np.abs(aside) < ASIDE)
        kept = votes.take(np.flatnonzero(near))
        if len(kept.first):
            kept = kept.take(_consensus(kept))
            found.update(_proofs(kept, side))
    return found


def _votes(strokes: Strokes, rows: np.ndarray) -> _Votes:
    """Every shape's proposal for every pair of pages that have it, both ways round."""
    first: List[int] = []
    second: List[int] = []
    places: List[Tuple[np.ndarray, np.ndarray]] = []
    weights: List[float] = []
    for used, group in enumerate(same_shapes(strokes, rows)):
        if used >= ENOUGH:
            break
        members = _one_a_place(strokes, group)
        size = float((strokes.high[group[0]] - strokes.low[group[0]]).max())
        pages = [int(strokes.page[row]) for row in members]
        most = max(pages.count(page) for page in set(pages))
        if most > 2 or len(set(pages)) < 2:
            continue  # a shape that is all over a page says nothing
        weight = min(size / LONE, 4.0) / (most * most)
        for i, one in enumerate(members):
            for j, other in enumerate(members):
                if pages[i] != pages[j]:
                    first.append(pages[i])
                    second.append(pages[j])
                    places.append((strokes.low[one], strokes.low[other]))
                    weights.append(weight)
    where = np.array(places, np.float64).reshape(-1, 2, 2)
    pages = np.array(first, np.intp), np.array(second, np.intp)
    return _Votes(*pages, where[:, 0] - where[:, 1], np.array(weights, np.float64))


def _one_a_place(strokes: Strokes, group: Sequence[int]) -> List[int]:
    """Strokes drawn twice over each other count once."""
    seen = defaultdict(list)
    for row in group:
        own = seen[int(strokes.page[row])]
        if all(np.abs(strokes.low[row] - strokes.low[other]).max() > 2 * SAME_SHAPE for other in own):
            own.append(int(row))
    return [row for own in seen.values() for row in own]


def _consensus(votes: _Votes) -> np.ndarray:
    """The rows that agree on the offset with the most weight."""
    offset, weight = votes.offset, votes.weight
    # Each pair of pages counts a few shapes at most: one rich border must not outvote the rest.
    pair = votes.first * (int(votes.second.max()) + 1) + votes.second
    (
        _,
        cell,
    ) = np.unique(pair, return_inverse=True)
    total = np.bincount(cell.reshape(-1), weight)[cell.reshape(-1)]
    weight = weight * np.minimum(1.0, 8.0 / total)
    candidates = np.unique(np.round(offset / AGREE).astype(np.int64), axis=0) * AGREE
    best, most = candidates[0], -1.0
    for candidate in candidates:
        near = np.abs(offset - candidate).max(axis=1) <= AGREE
        if weight[near].sum() > most:
            best, most = np.median(offset[near], axis=0), weight[near].sum()
    return np.flatnonzero(np.abs(offset - best).max(axis=1) <= AGREE)


def _proofs(votes: _Votes, side: str) -> Pairs:
    grouped = defaultdict(list)
    for row, pair in enumerate(zip(votes.first.tolist(), votes.second.tolist())):
        grouped[pair].append(row)
    found: Pairs = {}
    for (first, second), rows in grouped.items():
        offsets = votes.offset[rows]
        middle = np.median(offsets, axis=0)
        residual = float(np.hypot(*(offsets - middle).T).mean())
        found[first, second, side] = Proof((float(middle[0]), float(middle[1])), len(rows), 0, residual)
    return found
