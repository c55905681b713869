"""Where on the sheet one page ends and the next begins."""

from collections import defaultdict
from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Box, Page
from sewkit.sheet.tile_furniture import ON_SIDE, live_box, repeated
from sewkit.sheet.tile_groups import page_groups, usual_page
from sewkit.sheet.tile_strokes import SEEN, Strokes
from sewkit.sheet.tile_values import Joined, Placed

# Pages that show a wider strip twice (mm) are cut exactly; below, lines end where they end.
STRIP = 2 * ON_SIDE

# A border keeps this far from where lines end or run along it (mm), if the strip allows it.
CLEAR = 0.4


class Cell(NamedTuple):
    """The part of the sheet that one page rules (mm on the sheet).

    Args:
        box: where its neighbours begin, else where it ends itself.
        edge: as ``box``, but endless on sides without a neighbour.
        paper: all that the page can show.
        slack: by how much lines may stick out over an edge.
        neighbours: how many it has.
    """

    box: Box
    edge: Box
    paper: Box
    slack: float
    neighbours: int


def cells_of(
    pages: Sequence[Page], placed: Sequence[Placed], strokes: Strokes, joined: Joined
) -> Tuple[Cell, ...]:
    """The cell of each placed page."""
    live = _live(pages, placed, strokes, joined)
    at = {(place.island, place.column, place.row): number for number, place in enumerate(placed)}
    edges = [[-np.inf, -np.inf, np.inf, np.inf] for _ in placed]
    slack = [ON_SIDE + SEEN] * len(placed)
    # Pages of one row (column) share their borders: else lines in a corner of four would be cut twice.
    joints: Dict[Tuple[int, int, int], List[Tuple[int, int]]] = defaultdict(list)
    for number, place in enumerate(placed):
        for axis, step in ((0, (1, 0)), (1, (0, 1))):
            other = at.get((place.island, place.column + step[0], place.row + step[1]))
            if other is not None:
                joints[place.island, axis, (place.column, place.row)[axis]].append((number, other))
    for (_, axis, _), pairs in joints.items():
        near = max(live[other][axis] for _, other in pairs)
        far = min(live[number][axis + 2] for number, _ in pairs)
        border = _border(strokes, placed, pairs, axis, near, far)
        for number, other in pairs:
            edges[number][axis + 2] = edges[other][axis] = border
            if far - near > STRIP:
                slack[number] = slack[other] = SEEN
    found = []
    for number, (page, place) in enumerate(zip(pages, placed)):
        edge = tuple(float(value) for value in edges[number])
        box = tuple(own if np.isfinite(own) else spare for own, spare in zip(edge, live[number]))
        paper = (place.x, place.y, place.x + page.width, place.y + page.height)
        count = int(np.isfinite(edges[number]).sum())
        found.append(Cell(box, edge, paper, slack[number], count))
    return tuple(found)


def _live(pages: Sequence[Page], placed: Sequence[Placed], strokes: Strokes, joined: Joined) -> List[Box]:
    """What each page adds, moved to the sheet."""
    groups = page_groups(pages)
    main = min(range(len(placed)), key=lambda n: (placed[n].island, n)) if placed else 0
    boxes: Dict[int, Box] = {}
    again = None
    for members in groups:
        page = usual_page(pages, members)
        box: Box = (0.0, 0.0, page.width, page.height)
        if main in members and joined.trim is not None:
            box = joined.trim
        elif len(members) > 1:
            again = repeated(pages, strokes, groups) if again is None else again
            box = live_box(pages, strokes, again, members)
        boxes.update((number, box) for number in members)
    found = []
    for number, place in enumerate(placed):
        left, top, right, bottom = boxes[number]
        found.append((left + place.x, top + place.y, right + place.x, bottom + place.y))
    return found


def _border(
    strokes: Strokes,
    placed: Sequence[Placed],
    pairs: Sequence[Tuple[int, int]],
    axis: int,
    near: float,
    far: float,
) -> float:
    """The middle of the strip that two pages show, or beside it where lines end or run along it."""
    middle = (near + far) / 2
    if far - near <= STRIP:
        return middle
    busy = []
    for number in sorted({page for pair in pairs for page in pair}):
        rows = np.flatnonzero((strokes.page == number) & strokes.large())
        move = (placed[number].x, placed[number].y)[axis]
        busy += [strokes.low[rows, axis] + move, strokes.high[rows, axis] + move]
    places = np.concatenate(busy)
    places = places[(places > near - 1) & (places < far + 1)]
    tried = middle + np.linspace(-0.35, 0.35, 29) * (far - near)
    if not len(places):
        return middle
    room = np.minimum(np.abs(tried[:, None] - places).min(axis=1), CLEAR)
    best = np.lexsort((np.abs(tried - middle), -room))[0]
    return float(tried[best])
