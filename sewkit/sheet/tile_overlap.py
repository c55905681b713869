"""How wide the strip is that two tiles both show, where no slanted line tells it.

A line that crosses a border squarely goes on from the neighbour whatever the overlap is.
But corners, ends of lines and words that lie in the strip stand on both pages, and what
stands near the border on one page only says that there is no such strip.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.geometry.path import end_tangents, start_tangents
from sewkit.sheet.drawn import Box, Page
from sewkit.sheet.tile_cuts import TOGETHER, WIDEST
from sewkit.sheet.tile_furniture import ON_SIDE
from sewkit.sheet.tile_labels import is_shown
from sewkit.sheet.tile_solve import Neighbours
from sewkit.sheet.tile_strokes import Strokes
from sewkit.sheet.tile_values import RIGHT

# Nobody prints a narrower strip twice (mm): glue needs more.
NARROW = 3.0

# A node turns by more than this (sine of 10 degrees); nodes are alike when the mean of both
# their ways differs by less.
CORNER, ALIKE = 0.17, 0.2

# A stroke shorter than this (mm) that leads over the border may be a dash, which ends anywhere.
DASH = 25.0

# So many nodes say a width, and so many say that there is none: one may be chance, or damage.
SEVERAL = 2


class Overlap(NamedTuple):
    """What is known of one direction.

    Args:
        width: of the strip (mm), 0 for none.
        proved: something on the pages tells it; else it is only taken to be so.
        limit: it is no wider than this (mm).
    """

    width: float
    proved: bool
    limit: float = WIDEST


class Nodes(NamedTuple):
    """Corners, ends and words: one row each; ``way`` is the mean direction of what starts there.

    ``look`` is negative for words.
    """

    place: np.ndarray
    way: np.ndarray
    look: np.ndarray
    page: np.ndarray

    def take(self, rows: np.ndarray) -> "Nodes":
        """Some of them."""
        return Nodes(*(field[rows] for field in self))


def overlap_of(
    borders: Sequence[Neighbours],
    side: str,
    live: Box,
    width: float,
    nodes: Nodes,
    frame: Optional[Box],
) -> Optional[Overlap]:
    """What is known of the overlap beside or below; None where no line runs across at all.

    Args:
        width: what slanted lines say, or what is taken (mm).
        frame: the rectangle that most pages carry; where it lies inside ``live``, pages meet there.
    """
    own = [border for border in borders if border.side == side and border.proof is not None]
    if not own:
        return None
    if any(border.proof.slanted for border in own):
        return Overlap(width, True)
    axis = 0 if side == RIGHT else 1
    told, limit = _told(own, axis, live, nodes)
    if told is not None:
        return Overlap(told, True)
    if limit <= NARROW:
        return Overlap(0.0, True)
    inside = 0.0 if frame is None else (frame[axis] - live[axis]) + (live[axis + 2] - frame[axis + 2])
    return Overlap(inside if NARROW <= inside <= min(limit, WIDEST) else 0.0, False, limit)


def _told(borders: Sequence[Neighbours], axis: int, live: Box, nodes: Nodes) -> Tuple[Optional[float], float]:
    """The width that nodes in the strip say, and the width above which they deny any."""
    pairs = [
        (
            _near(nodes, border.first, axis, live[axis + 2], -1.0),
            _near(nodes, border.second, axis, live[axis], 1.0),
        )
        for border in borders
    ]
    says: List[np.ndarray] = []
    lonely: List[np.ndarray] = []
    for (far, out), (near, within) in pairs:
        one, other = np.nonzero(_same(far, near, axis))
        width = out[one] + within[other]
        fits = width <= WIDEST
        says.append(width[fits])
        for own, reach, used in ((far, out, one[fits]), (near, within, other[fits])):
            alone = own.look >= 0
            alone[used] = False
            if not alone.any():
                continue
            # What is drawn twice over itself is one.
            _, first = np.unique(np.round(own.place[alone], 1), axis=0, return_index=True)
            lonely.append(reach[alone][first])
    widths, missed = np.sort(np.concatenate(says)), np.sort(np.concatenate([np.zeros(0), *lonely]))
    limit = float(missed[SEVERAL - 1]) if len(missed) >= SEVERAL else WIDEST
    best, most = None, SEVERAL - 1
    for width in widths:
        near = np.abs(widths - width) <= ON_SIDE
        if near.sum() > most and (missed < width - ON_SIDE).sum() * 2 <= near.sum():
            best, most = float(np.median(widths[near])), int(near.sum())
    return best, limit


def _near(nodes: Nodes, page: int, axis: int, at: float, inwards: float) -> Tuple[Nodes, np.ndarray]:
    """The nodes of a page that lie in the strip at one of its sides, and how far from the side."""
    reach = inwards * (nodes.place[:, axis] - at)
    rows = np.flatnonzero((nodes.page == page) & (reach > 2 * ON_SIDE) & (reach < WIDEST))
    return nodes.take(rows), reach[rows]


def _same(far: Nodes, near: Nodes, axis: int) -> np.ndarray:
    """``(m, n)`` whether two nodes may be one, seen from both pages."""
    along = np.abs(far.place[:, None, 1 - axis] - near.place[None, :, 1 - axis]) <= TOGETHER
    way = np.abs(far.way[:, None] - near.way[None]).max(axis=2) <= ALIKE
    return along & way & (far.look[:, None] == near.look[None])


def nodes_of(strokes: Strokes, rows: np.ndarray, pages: Sequence[Page], fixed: Set[Tuple[int, int]]) -> Nodes:
    """Corners and ends of strokes, and where words start that are not in ``fixed``.

    ``fixed``: page index and number of words that most pages carry.
    """
    size = strokes.high[rows] - strokes.low[rows]
    short = (strokes.count[rows] == 1) & (size.max(axis=1) < DASH)
    rows = rows[~short]
    own = np.repeat(rows, strokes.count[rows])
    before_it = np.cumsum(strokes.count[rows]) - strokes.count[rows]
    place = np.arange(len(own)) - np.repeat(before_it, strokes.count[rows])
    curves = strokes.curves[strokes.first[own] + place]
    starts, stops = start_tangents(curves), end_tangents(curves)
    begins, ends = place == 0, place == strokes.count[own] - 1
    before = np.where(begins, np.arange(len(own)) + strokes.count[own] - 1, np.arange(len(own)) - 1)
    back = -stops[before]
    cross = np.abs(starts[:, 0] * back[:, 1] - starts[:, 1] * back[:, 0])
    turns = (cross > CORNER) | ((starts * back).sum(axis=1) > 0)
    loose = ~strokes.closed[own]
    corner = turns & ~(begins & loose)
    first, last = begins & loose, ends & loose
    drawn = Nodes(
        np.concatenate([curves[corner, 0], curves[first, 0], curves[last, 3]]),
        np.concatenate([(starts + back)[corner] / 2, starts[first], -stops[last]]),
        strokes.look[np.concatenate([own[corner], own[first], own[last]])],
        strokes.page[np.concatenate([own[corner], own[first], own[last]])],
    )
    said = _words(sorted(set(strokes.page[rows].tolist())), pages, fixed)
    return Nodes(*(np.concatenate(fields) for fields in zip(drawn, said)))


def _words(used: Sequence[int], pages: Sequence[Page], fixed: Set[Tuple[int, int]]) -> Nodes:
    """Where words start that are seen."""
    number: Dict[str, int] = {}
    found = []
    for page in used:
        for index, words in enumerate(pages[page].words):
            if (page, index) not in fixed and is_shown(words, pages[page]):
                look = -1 - number.setdefault(words.text, len(number))
                found.append((words.x, words.y, float(look), float(page)))
    table = np.array(found, np.float64).reshape(-1, 4)
    look, page = table[:, 2].astype(np.intp), table[:, 3].astype(np.intp)
    return Nodes(table[:, :2], np.zeros((len(table), 2)), look, page)
