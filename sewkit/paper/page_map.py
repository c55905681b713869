"""The map of the pages: which page shows which part of the pattern, small."""

from typing import List, Sequence

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.geometry.transform import Transform
from sewkit.paper.document import Drawn, Stroke, Words
from sewkit.paper.furniture import FINE, PLAIN, fitted, line
from sewkit.paper.line_kinds import GREY
from sewkit.paper.panels import HEADING, Panel
from sewkit.paper.tiling import Cell, Grid, cell_label

# Below this a name of a page cannot be read (mm).
_LEAST_LETTERS = 1.6

# Outlines are lighter than the names of the pages that stand on them.
_OUTLINE = (0.6, 0.6, 0.6)

# Chords of the map's lines stay so near (mm on paper).
_CHORD = 0.1


def map_panel(
    grid: Grid, cells: Sequence[Cell], outer: Sequence[Path], width: float, height: float, fixed: bool = False
) -> Panel:
    """The pages that are printed, each with its name, and an outline of each piece.

    Args:
        outer: the pieces' lines on the drawing (mm).
        width, height: room for the map (mm).
        fixed: the panel takes all of it, whatever the pages are.
    """
    head = HEADING + 3.0
    whole = (
        grid.columns * grid.step[0] + grid.overlap,
        grid.rows * grid.step[1] + grid.overlap,
    )
    scale = min(width / whole[0], (height - head) / whole[1], 0.25)
    onto = Transform(scale, 0.0, 0.0, scale, -grid.left * scale, head - grid.top * scale)
    strokes: List[Stroke] = []
    words = [Words("Pages", (0.0, HEADING), HEADING, bold=True)]
    for cell in cells:
        x, y = onto.points(np.array(grid.corner(cell)))
        wide, high = grid.step[0] * scale, grid.step[1] * scale
        box = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
        strokes.append(line(box, FINE, GREY, closed=True))
        letters = max(min(0.4 * high, 0.3 * wide, 5.0), _LEAST_LETTERS)
        name = Words(cell_label(cell), (x + wide / 2, y + high / 2 + 0.35 * letters), letters, anchor=0.5)
        words.append(fitted(name._replace(bold=True), wide))
    for path in outer:
        spots = onto.points(flatten(path, _CHORD / scale))
        if len(spots) > 1:
            strokes.append(Stroke(Path.through(spots, path.closed), PLAIN, (), _OUTLINE))
    room = (width, height) if fixed else (whole[0] * scale, head + whole[1] * scale)
    return Panel(*room, Drawn(tuple(strokes), (), tuple(words)))
