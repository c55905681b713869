"""Join the tiles of a printed pattern into one sheet.

    joined = join_pages(printed)             # where each page lies, and what proves it
    sheet = one_sheet(printed, joined)       # every line once, in one system of coordinates

Geometry decides before order: shapes that two pages both show, then lines that end on the
edge of one page and go on from the edge of another.  Pages that hang together so are an
island; only where neither says anything do labels and the order of the pages place a tile.
"""

from typing import Optional

from sewkit.sheet.drawn import Printed, Sheet
from sewkit.sheet.tile_values import Border, Grid, Joined, Placed, Progress

__all__ = ["Border", "Grid", "Joined", "Placed", "join_pages", "one_sheet"]


def join_pages(printed: Printed, grid: Optional[Grid] = None, progress: Progress = None) -> Joined:
    """Find where each page lies on the sheet."""
    raise NotImplementedError


def one_sheet(printed: Printed, joined: Joined) -> Sheet:
    """All lines and words of the placed pages on one sheet, each once."""
    raise NotImplementedError
