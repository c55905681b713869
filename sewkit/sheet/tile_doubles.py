"""Strokes that several pages show, once joined: the same control points at the same place."""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Box
from sewkit.sheet.tile_strokes import Strokes, cells

# Control points of one stroke fall together this well on the sheet (mm): what producers round,
# and what the joining may miss by.
TOGETHER = 0.05

# Size of the cells in which strokes are looked up (mm).
CELL = 0.5


class Kept(NamedTuple):
    """Rows that stay, and for those that several pages show the indexes of all these pages."""

    rows: np.ndarray
    shown_on: Dict[int, Tuple[int, ...]]


def each_once(strokes: Strokes, rows: np.ndarray, moves: np.ndarray, boxes: Sequence[Box]) -> Kept:
    """Of strokes that several pages show the one of the first page.

    A stroke that one page draws several times, all at the same place, stays so many times.

    Args:
        rows: strokes to look at.
        moves: ``(m, 2)`` what puts each stroke of the table on the sheet.
        boxes: what each page can show, on the sheet.
    """
    shared = rows[_in_reach(strokes, rows, moves, boxes)]
    parent = np.arange(len(shared))
    for group in _cells(strokes, shared, moves):
        _unite(strokes, shared, moves, group, parent)
    parent = _roots(parent)
    first = np.ones(len(shared), bool)
    members: Dict[Tuple[int, int], List[int]] = {}
    drawn: Dict[Tuple[int, int], int] = {}
    for place, (root, page) in enumerate(zip(parent.tolist(), strokes.page[shared].tolist())):
        turn = drawn[root, page] = drawn.get((root, page), -1) + 1
        members.setdefault((root, turn), []).append(place)
    shown_on = {}
    for places in members.values():
        first[places[1:]] = False
        if len(places) > 1:
            shown_on[int(shared[places[0]])] = tuple(strokes.page[shared[places]].tolist())
    return Kept(rows[~np.isin(rows, shared[~first])], shown_on)


def _in_reach(strokes: Strokes, rows: np.ndarray, moves: np.ndarray, boxes: Sequence[Box]) -> np.ndarray:
    """Which strokes another page may show as well."""
    low = strokes.low[rows] + moves[rows]
    high = strokes.high[rows] + moves[rows]
    found = np.zeros(len(rows), bool)
    page = strokes.page[rows]
    for number, box in enumerate(boxes):
        meets = (low <= np.array(box[2:]) + TOGETHER).all(axis=1)
        meets &= (high >= np.array(box[:2]) - TOGETHER).all(axis=1)
        found |= meets & (page != number)
    return found


def _cells(strokes: Strokes, rows: np.ndarray, moves: np.ndarray) -> "List[np.ndarray]":
    """Groups of strokes that may be the same: indexes into ``rows``."""
    place = (strokes.low[rows] + moves[rows]) / CELL
    fixed = strokes.look[rows] * 1000003 + strokes.count[rows] * 8191 + strokes.closed[rows]
    found: List[np.ndarray] = []
    for shift in ((0.0, 0.0), (0.5, 0.0), (0.0, 0.5), (0.5, 0.5)):
        x, y = cells(place + shift).T
        # Odd factors spread the cells over 64 bits; what falls together by chance is told apart later.
        key = fixed * 2654435761 + x * 73856093 + y * 19349663
        order = np.argsort(key, kind="stable")
        cuts = np.flatnonzero(np.diff(key[order])) + 1
        found += [group for group in np.split(order, cuts) if len(group) > 1]
    return found


def _unite(
    strokes: Strokes, rows: np.ndarray, moves: np.ndarray, group: np.ndarray, parent: np.ndarray
) -> None:
    """Give strokes that fall together the same parent."""
    counts = strokes.count[rows[group]]
    for count in np.unique(counts):
        some = group[counts == count]
        own = rows[some]
        if len(set(strokes.page[own].tolist())) < 2:
            continue
        points = strokes.curves[strokes.first[own][:, None] + np.arange(count)] + moves[own][:, None, None]
        while len(some) > 1:
            same = (np.abs(points - points[0]).max(axis=(1, 2, 3)) <= TOGETHER) & (
                strokes.look[rows[some]] == strokes.look[rows[some[0]]]
            )
            for member in some[same][1:]:
                one, other = _root(parent, int(some[0])), _root(parent, int(member))
                parent[max(one, other)] = min(one, other)
            some, points = some[~same], points[~same]


def _root(parent: np.ndarray, place: int) -> int:
    while parent[place] != place:
        parent[place] = parent[parent[place]]
        place = int(parent[place])
    return place


def _roots(parent: np.ndarray) -> np.ndarray:
    while True:
        further = parent[parent]
        if (further == parent).all():
            return further
        parent = further
