"""What stands before the pattern: whose it is, how to print it, squares to measure, the map, the cut list."""

import math
from typing import Dict, List, NamedTuple, Sequence, Tuple

from sewkit.geometry.path import Path
from sewkit.paper.furniture import TRUE_SIZE
from sewkit.paper.line_kinds import CUT, DASHES, MARK_WIDTH, SEAM, Kind, line_kind
from sewkit.paper.page_map import map_panel
from sewkit.paper.panels import (
    GAP,
    HEADING,
    TEXT,
    TITLE,
    Flowed,
    Key,
    Panel,
    flowed,
    legend_panel,
    squares_panel,
    table_panel,
    text_panel,
)
from sewkit.paper.tiling import Cell, Grid
from sewkit.pattern.cut_list import CutRow
from sewkit.pattern.mark import (
    BUTTON,
    BUTTONHOLE,
    DART,
    DOT,
    DRILL,
    FOLD,
    GATHER,
    GRAIN,
    INNER,
    LENGTHEN,
    LEVEL,
    NOTCH,
)
from sewkit.units import write_number

# Rows of the cut list that stand on one page.
_ROWS = 30

# The map is at most so wide and so high (mm); where it does not fit, smaller by these shares.
_MAP = (110.0, 105.0)
_SHARES = (1.0, 0.85, 0.7, 0.6, 0.5, 0.4)

# The text beside the squares is so wide, and never narrower than this; notes are at most so wide (mm).
_TEXT, _LEAST_TEXT, _NOTES = 68.0, 60.0, 190.0

# What marks are called in the legend, and by which sign they are shown there.
_MARKS: Dict[str, Tuple[str, str]] = {
    GRAIN: ("straight grain", "arrow"),
    LEVEL: ("level, such as the waist", ""),
    LENGTHEN: ("lengthen or shorten here", ""),
    DART: ("dart", ""),
    INNER: ("inner line: centre, buttons, pocket", ""),
    GATHER: ("gather here", ""),
    NOTCH: ("notch: meets that of its seam", "tick"),
    FOLD: ("edge at the arrows lies on the fold", "arrow"),
    BUTTON: ("button", "crossed"),
    BUTTONHOLE: ("buttonhole", "bar"),
    DRILL: ("place to mark: dart, button, pocket", "ring"),
    DOT: ("place to mark: dart, button, pocket", "ring"),
}


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


class Legend(NamedTuple):
    """What the lines mean: those of the sizes or of the one size, with their heading, and the marks."""

    heading: str
    lines: Tuple[Key, ...] = ()
    marks: Tuple[Key, ...] = ()


def legend_of(
    sizes: Sequence[str], seams: bool, cuts: bool, weight: float, marks: Sequence[str] = ()
) -> Legend:
    """What the lines mean.

    Args:
        sizes: that are printed, in order; one at most has no look of its own.
        seams, cuts: which lines are printed.
        weight: of a stitch line (mm).
        marks: kinds of marks that are drawn.
    """
    what = [(SEAM, "seam line: sew here")] * seams + [(CUT, "cut line: cut here")] * cuts
    signs = tuple(
        dict.fromkeys(
            Key(_MARKS[kind][0], Kind(weight * MARK_WIDTH, DASHES.get(kind, ())), _MARKS[kind][1])
            for kind in _MARKS
            if kind in marks
        )
    )
    if len([size for size in sizes if size]) < 2:
        return Legend("Lines", tuple(Key(text, line_kind(kind, 0, 1, weight)) for kind, text in what), signs)
    found: List[Key] = []
    for number, size in enumerate(sizes):
        name = "size {}".format(size) if size else "all sizes"
        found.append(Key(name, line_kind(what[-1][0], number, len(sizes), weight)))
    if seams and cuts:
        for kind, text in what:
            look = "fine" if kind == SEAM else "wide"
            found.append(Key("{}: {}".format(look, text), line_kind(kind, 0, len(sizes), weight)))
        return Legend("Lines", tuple(found), signs)
    return Legend("Cut lines: cut here" if cuts else "Seam lines: sew here", tuple(found), signs)


def front_flow(
    said: Said,
    legend: Legend,
    grid: Grid,
    cells: Sequence[Cell],
    outer: Sequence[Path],
    width: float,
    height: float,
) -> Flowed:
    """The front on as few pages as can be, with the largest map that takes no further one.

    Args:
        outer: the outlines that the map shows.
        width, height: of a page (mm); infinitely high where it stands at the head of a page.
    """
    square = squares_panel()
    at_head = math.isinf(height)
    aside = width - square.width - GAP
    keys = [
        legend_panel(heading, some, width)
        for heading, some in ((legend.heading, legend.lines), ("Marks", legend.marks))
        if some
    ]
    rest = [*list_panels(said, width), *_notes(said, min(width, _NOTES))]
    beside = min(aside, 2 * _TEXT if at_head else _TEXT) if aside >= _LEAST_TEXT else width
    how = text_panel(_how(said, grid, len(cells)), beside)
    above = [text_panel(_head(said), width), square, how]
    heads = [above, [square, text_panel(_head(said), beside), how]] if beside < width else [above]
    found: List[Flowed] = []
    for share in _SHARES if len(cells) > 1 else (0.0,):
        room = min(width, _MAP[0]) * share, _MAP[1] * share
        plan = [map_panel(grid, cells, outer, *room, at_head)] if share else []
        for first in heads:
            for then in ([*plan, *keys, *rest], [*keys, *plan, *rest], [*keys, *rest, *plan]):
                found.append(flowed([*first, *then], width, height))
                if len(found[-1].pages) == 1:
                    return found[-1]
    return min(found, key=lambda one: len(one.pages))


def _notes(said: Said, width: float) -> List[Panel]:
    """What else there is to say: labels that did not fit, words of the drawing."""
    notes = [(text, TEXT, False) for text in said.legend]
    if said.maker:
        notes.append(("Words of the drawing this was made from", TEXT, True))
        notes.append((" ".join(said.maker), 0.85 * TEXT, False))
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
