"""Sheets from the pages of a scene, joined by the truth, for tests of what comes after."""

import numpy as np

from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Line, Sheet

ON_BORDER = 1e-3  # mm


def sheet_of(made):
    """The joined sheet of made pages: every page at its true place, furniture left out."""
    lines, boxes = [], []
    places = {tile.page: tile for tile in made.tiles}
    furniture = set(made.furniture)
    for page in made.printed.pages:
        tile = places.get(page.number)
        if tile is None:
            continue
        shift = np.array([tile.x, tile.y])
        boxes.append((page.number, (tile.x, tile.y, tile.x + page.width, tile.y + page.height)))
        for drawn in page.drawn:
            if (page.number, drawn.order) in furniture:
                continue
            for number, run in enumerate(drawn.runs()):
                cut = tuple(_on_border(end, made.live) for end in (run.start, run.end))
                order = (page.number, drawn.order, number)
                path = Path(run.curves + shift, run.closed)
                cut = (False, False) if run.closed else cut
                lines.append(Line(path, drawn.style, drawn.layers, drawn.hidden, page.number, order, cut))
    scene = made.scene
    return Sheet(scene.width, scene.height, tuple(lines), (), tuple(boxes))


def _on_border(point, live):
    if live is None:
        return False
    left, top, right, bottom = live
    away = min(abs(point[0] - left), abs(point[0] - right), abs(point[1] - top), abs(point[1] - bottom))
    return bool(away <= ON_BORDER)
