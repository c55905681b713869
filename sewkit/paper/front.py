"""What stands before the pattern: whose it is, how to print it, squares to measure, the map, the cut list."""

import math
from typing import List, NamedTuple, Sequence, Tuple

from sewkit.geometry.path import Path
from sewkit.paper.furniture import TRUE_SIZE
from sewkit.paper.line_kinds import CUT, SEAM, Kind, line_kind
from sewkit.paper.page_map import map_panel
from sewkit.paper.panels import (
    GAP,
    HEADING,
    INCHES,
    TEXT,
    TITLE,
    Panel,
    legend_panel,
    squares_panel,
    table_panel,
    text_panel,
)
from sewkit.paper.tiling import Cell, Grid
from sewkit.pattern.cut_list import CutRow
from sewkit.units import write_number

# Rows of the cut list that stand on one page.
_ROWS = 30

# The map is at most so wide and so high, and never less high than this (mm).
_MAP, _SMALLEST = (84.0, 92.0), 45.0

# The text beside the squares is at least so wide (mm).
_TEXT = 60.0


class Said(NamedTuple):
    """What the front says.

    Args:
        title: the garment.
        below: person, sizes, occasion, date.
        paper: "12 pages of A4".
        rows: the cut list; empty where it is not wanted.
        maker: words of the drawing that belong to no piece, its licence among them.
        legend: labels that did not fit on their pieces.
    """

    title: str
    below: str
    paper: str
    rows: Tuple[CutRow, ...] = ()
    maker: Tuple[str, ...] = ()
    legend: Tuple[str, ...] = ()


def keys_of(sizes: Sequence[str], seams: bool, cuts: bool, weight: float) -> Tuple[Tuple[str, Kind], ...]:
    """What the lines mean, for the legend.

    Args:
        sizes: that are printed, in order; one at most has no look of its own.
        seams, cuts: which lines are printed.
        weight: of a stitch line (mm).
    """
    what = [(SEAM, "seam line: sew here")] * seams + [(CUT, "cut line: cut here")] * cuts
    if len([size for size in sizes if size]) < 2:
        return tuple((text, line_kind(kind, 0, 1, weight)) for kind, text in what)
    found: List[Tuple[str, Kind]] = []
    for number, size in enumerate(sizes):
        name = "size {}".format(size) if size else "all sizes"
        found.append((name, line_kind(what[-1][0], number, len(sizes), weight)))
    if seams and cuts:
        for kind, text in what:
            look = "fine" if kind == SEAM else "wide"
            found.append(("{}: {}".format(look, text), line_kind(kind, 0, len(sizes), weight)))
    return tuple(found)


def front_panels(
    said: Said,
    keys: Sequence[Tuple[str, Kind]],
    grid: Grid,
    cells: Sequence[Cell],
    outer: Sequence[Path],
    width: float,
    height: float,
) -> Tuple[Panel, ...]:
    """The panels in the order in which they are read, none wider than ``width`` (mm).

    ``height``: of a page (mm); infinite where they stand at the head of a page.
    """
    aside = width - INCHES - 5.0 - GAP
    beside = aside if aside >= _TEXT else width
    beside = min(beside, 120.0)
    found = [text_panel(_head(said), width if width < 300.0 else 170.0)]
    if width >= 300.0:
        found.append(text_panel(_how(said, grid, len(cells)), 120.0))
    found.append(squares_panel())
    if width < 300.0:
        found.append(text_panel(_how(said, grid, len(cells)), beside))
    if keys:
        found.append(legend_panel(keys, min(beside, 84.0)))
    lists = list_panels(said, width)
    notes = _notes(said, min(width, 190.0))
    if len(cells) > 1:  # also where the head is planned: it must have room for it
        taken = found[0].height + INCHES + 5.0 + sum(panel.height + GAP for panel in lists + notes) + 2 * GAP
        high = min(max(height - taken, _SMALLEST), _MAP[1])
        found.append(map_panel(grid, cells, outer, min(width, _MAP[0]), high, math.isinf(height)))
    return tuple(found + lists + notes)


def _notes(said: Said, width: float) -> List[Panel]:
    """What else there is to say: labels that did not fit, words of the drawing."""
    notes = [(text, TEXT, False) for text in said.legend]
    if said.maker:
        notes.append(("Words of the drawing this was made from", TEXT, True))
        notes.append((" / ".join(said.maker), 0.85 * TEXT, False))
    return [text_panel(notes, width)] if notes else []


def list_panels(said: Said, width: float) -> List[Panel]:
    """The cut list, in parts that fit on a page."""
    columns = ("", "piece", "cut", "cloth", "size")
    rows = [(str(row.number), row.piece, row.how, row.cloth, row.size) for row in said.rows]
    found = []
    for start in range(0, len(rows), _ROWS):
        heading = "Cut list" if not start else "Cut list, continued"
        found.append(table_panel(heading, columns, rows[start : start + _ROWS], width, True))
    return found


def _head(said: Said) -> List[Tuple[str, float, bool]]:
    return [(said.title, TITLE, True), *([(said.below, 5.0, False)] if said.below else [])]


def _how(said: Said, grid: Grid, pages: int) -> List[Tuple[str, float, bool]]:
    """How to print and to join."""
    lines = [(TRUE_SIZE, HEADING, True), (said.paper, TEXT, False)]
    steps = [
        "Print this page first and measure the square.",
        "Each page has a bar along both sides: measure it too, and look whether the frame is whole.",
    ]
    if pages > 1 and grid.overlap > 0:
        steps.append(
            "Cut each page along its frame on the left and on top, where a page joins. Lay it on the broken "
            "line of its neighbour: two half circles of one number make a circle."
        )
        steps.append(
            "Pages overlap by {} mm. Fine crosses in the strip lie on each other, against the light.".format(
                write_number(grid.overlap, 4)
            )
        )
    elif pages > 1:
        steps.append(
            "Cut the pages along their frames where they meet, and put them edge to edge: two half circles "
            "of one number make a circle."
        )
    if pages > 1:
        steps.append("Join row by row: A1 and A2, then B1 and B2. Pages without a line are left out.")
    return lines + [("{}. {}".format(number, text), TEXT, False) for number, text in enumerate(steps, 1)]
