"""What stands before the pattern: whose it is, how to print it, squares to measure, the map, the cut list."""

import math
from typing import List, NamedTuple, Sequence, Tuple

from sewkit.geometry.path import Path
from sewkit.geometry.transform import move
from sewkit.paper.furniture import TRUE_SIZE
from sewkit.paper.line_kinds import CUT, SEAM, Kind, line_kind
from sewkit.paper.moved import moved
from sewkit.paper.page_map import map_panel
from sewkit.paper.panels import (
    GAP,
    HEADING,
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

# The text beside the squares is at least so wide; where it and the map have room beside them, just so
# wide (mm).  A front wider than this stands at the head of a page.
_TEXT, _LEAST_TEXT, _AT_HEAD = 68.0, 60.0, 300.0


class Said(NamedTuple):
    """What the front says.

    Args:
        title: the garment.
        below: person, sizes, occasion, date.
        paper: what it is called: "A4".
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
    lists = list_panels(said, width)
    notes = _notes(said, min(width, 190.0))
    square = squares_panel()
    how = _how(said, grid, len(cells))
    head = text_panel(_head(said), width if width < _AT_HEAD else 170.0)
    if width >= _AT_HEAD:
        found = [head, text_panel(how, 120.0), square, *([legend_panel(keys, 84.0)] if keys else [])]
        high, wide = _MAP[1], _MAP[0]
    else:
        aside = width - square.width - GAP
        beside = _TEXT if aside >= 2 * _TEXT + GAP else (aside if aside >= _LEAST_TEXT else width)
        found = [head, square, _column(text_panel(how, beside), keys, beside, square.height)]
        if keys and found[-1].height <= text_panel(how, beside).height:
            found.append(legend_panel(keys, min(width, 84.0)))
        wide = min(width, _MAP[0], aside - beside - GAP if beside == _TEXT < aside else width)
        others = sum(panel.height + GAP for panel in [head, *lists, *notes])
        row = max(square.height, found[2].height) + GAP
        low = 0.0 if wide < min(width, _MAP[0]) else row + sum(panel.height + GAP for panel in found[3:])
        high = min(max(height - others - low, _SMALLEST), square.height)
    if len(cells) > 1:  # also where the head is planned: it must have room for it
        found.append(map_panel(grid, cells, outer, wide, high, math.isinf(height)))
    return tuple(found + lists + notes)


def _column(text: Panel, keys: Sequence[Tuple[str, Kind]], width: float, height: float) -> Panel:
    """Text with the lines' looks below it, where both together are not much higher than ``height`` (mm)."""
    if not keys:
        return text
    legend = legend_panel(keys, width)
    both = text.height + GAP + legend.height
    if both > height + 2 * GAP:
        return text
    below = moved(legend.drawn, move(0.0, text.height + GAP))
    return Panel(width, both, text.drawn.and_(below))


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
    counted = "One page" if pages == 1 else "{} pages".format(pages)
    lines = [(TRUE_SIZE, HEADING, True), ("{} of {}.".format(counted, said.paper), TEXT, False)]
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
