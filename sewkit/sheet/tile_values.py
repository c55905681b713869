"""What joining the pages of a tiled PDF gives: places, borders, holes, and how sure each is."""

from typing import NamedTuple, Optional, Tuple

from sewkit.report import Finding
from sewkit.sheet.drawn import Box

RIGHT, BELOW = "right", "below"


class Grid(NamedTuple):
    """How the pages lie, told by the person instead of looked for.

    Args:
        columns: pages beside each other in a full row.
        trim: margin to cut off on every side (mm).
        overlap: width that both tiles show after trimming (mm).
        order: in which the pages follow each other: "rows", "columns", "snake".
    """

    columns: int
    trim: float = 0.0
    overlap: float = 0.0
    order: str = "rows"


class Placed(NamedTuple):
    """One page on the sheet, before the sheet is turned for reading.

    Args:
        page: its number in the file.
        x, y: where the page's own upper left corner lies on the sheet (mm).
        column, row: in the grid of its island, from 1.
        island: pages of one island hang together; the largest is 1.
        sure: shapes, cut lines or the person say so; else only the order of the pages.
    """

    page: int
    x: float
    y: float
    column: int
    row: int
    island: int
    sure: bool


class Border(NamedTuple):
    """Where two tiles meet, and what proves it.

    Args:
        first, second: page numbers.
        side: where the second lies, seen from the first: "right" or "below".
        evidence: "shapes", "cut lines", "square lines" (which fit any overlap), "grid", "labels"
            or "declared".
        matched: shapes, or lines, that both pages show and that fit.
        unmatched: lines that run into the border on one page only.
        residual: how far the fitting ones are apart, in the mean (mm).
    """

    first: int
    second: int
    side: str
    evidence: str
    matched: int
    unmatched: int
    residual: float


class Joined(NamedTuple):
    """Where every page lies.

    Args:
        placed: pages that are part of the sheet, by number.
        borders: neighbours in the grid.
        pitch: from tile to tile, across and down (mm); 0 where there is no neighbour.
        trim: what each page adds to the sheet (mm on the page), where tiles have it in common.
        evidence: the main one in a word: "shapes", "cut lines", "labels", "grid", "declared", "single".
        furniture: page number and drawing order of frames, marks, logos that pages repeat.
        blank: numbers of pages without pattern lines.
        missing: row and column, from 1 and as a viewer turns the sheet, of holes that lines run into.
        closure: largest miss when walking round four pages (mm).
        findings: what to tell.
    """

    placed: Tuple[Placed, ...]
    borders: Tuple[Border, ...]
    pitch: Tuple[float, float]
    trim: Optional[Box]
    evidence: str
    furniture: Tuple[Tuple[int, int], ...]
    blank: Tuple[int, ...]
    missing: Tuple[Tuple[int, int], ...]
    closure: float
    findings: Tuple[Finding, ...]
