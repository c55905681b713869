"""A file that has the sheet twice: whole on one large page, and again in tiles."""

from typing import List, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Page
from sewkit.sheet.tile_join import Group
from sewkit.sheet.tile_strokes import Strokes

# The large page is so many times a tile at least; both drawings are as long as each other, and as
# large, within this part.  Overlap makes the tiles' lines longer, missing ones shorter.
LARGER, ALIKE = 1.8, 0.3


def shows_all(
    pages: Sequence[Page], strokes: Strokes, rows: np.ndarray, groups: Sequence[Group]
) -> Tuple[int, Tuple[int, ...]]:
    """The index of a page that shows everything, and indexes of the tiles it makes needless.

    (-1, ()) where there is no such page.
    """
    for whole in groups:
        if len(whole.islands[0].cells) > 1:
            continue
        for (page,) in (tuple(island.cells) for island in whole.islands):
            for tiles in groups:
                used = [number for island in tiles.islands[:1] for number in island.cells]
                if tiles is not whole and len(used) > 1 and _same(pages, strokes, rows, page, used, tiles):
                    return page, tuple(n for island in tiles.islands for n in island.cells)
    return -1, ()


def _same(
    pages: Sequence[Page], strokes: Strokes, rows: np.ndarray, whole: int, used: List[int], tiles: Group
) -> bool:
    """Whether a page and the tiles are the same drawing, by size and by length of the lines."""
    area = pages[whole].width * pages[whole].height
    if area < LARGER * pages[used[0]].width * pages[used[0]].height:
        return False
    own = rows[strokes.page[rows] == whole]
    box = _box(strokes, own, np.zeros((len(own), 2)))
    island = tiles.islands[0]
    theirs = rows[np.isin(strokes.page[rows], used)]
    moves = np.array([island.places[int(page)] for page in strokes.page[theirs]])
    joined = _box(strokes, theirs, moves)
    close = np.abs(box - joined).max() <= max(5.0, ALIKE * 0.1 * box.max())
    return bool(close and abs(_length(strokes, theirs) / _length(strokes, own) - 1.0) <= ALIKE)


def _box(strokes: Strokes, rows: np.ndarray, moves: np.ndarray) -> np.ndarray:
    """Width and height of what can be seen."""
    low = np.maximum(strokes.low[rows], strokes.window[rows, :2]) + moves
    high = np.minimum(strokes.high[rows], strokes.window[rows, 2:]) + moves
    return high.max(axis=0) - low.min(axis=0)


def _length(strokes: Strokes, rows: np.ndarray) -> float:
    """Length of what can be seen, roughly: by the chords of eight parts of each curve."""
    total = 0.0
    t = np.linspace(0.0, 1.0, 9)[:, None]
    for row in rows:
        curves = strokes.of(row)[:, :, None, :]
        s = 1.0 - t
        spots = (
            s**3 * curves[:, 0]
            + 3 * s * s * t * curves[:, 1]
            + 3 * s * t * t * curves[:, 2]
            + t**3 * curves[:, 3]
        )
        steps = np.hypot(*np.moveaxis(np.diff(spots, axis=1), -1, 0))
        middle = 0.5 * (spots[:, 1:] + spots[:, :-1])
        window = strokes.window[row]
        shown = ((middle >= window[:2]) & (middle <= window[2:])).all(axis=2)
        total += float(steps[shown].sum())
    return max(total, 1e-9)
