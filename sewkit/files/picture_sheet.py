"""The picture of an imported sheet: all pieces in all sizes, the pages, the places to look at.

One unit of the drawing is one mm of the paper, and the scale is an ordinary one such as
1:10, so that a print can be measured.  A4, longer where the list of places is long.
"""

import math
from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.files import picture_sheet_ink as ink
from sewkit.files.picture_layout import LINE, MARGIN, NAME, NOTE, Placed
from sewkit.files.picture_sheet_places import (
    Words,
    circle_box,
    circle_for,
    name_beside,
    name_inside,
    page_number,
)
from sewkit.files.picture_sheet_plan import EDGE, KEY_LINE, TOP, Extent, Item, Needs, Plan, planned
from sewkit.files.picture_sheet_room import (
    Box,
    Room,
    Spot,
    empty_room,
    spots_along,
    spots_around,
    spots_between,
)
from sewkit.files.picture_sheet_scene import (
    EVERY,
    Scene,
    around,
    facts,
    legend,
    lines_of,
    scene_of,
    size_of,
    usually_apart,
)
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import bounds
from sewkit.geometry.transform import Transform
from sewkit.pattern.piece import Piece
from sewkit.sheet.brought import Brought

# A line of the rest that is shorter than this (mm on the paper) is not to be seen.
_SEEN = 0.3

# A name this near to its piece (mm on the paper) needs no line to it.
_NEAR = 1.5

# Sizes closer than this on the paper (mm) are drawn finer, down to this share of their weight.
_CLOSE, _FINEST = 0.8, 0.35


def sheet_picture(brought: Brought, title: str) -> str:
    """The picture as SVG text: it needs nothing else, and is the same for the same input."""
    scene = scene_of(brought)
    left, top, right, bottom = scene.box
    extents = tuple(Extent(piece.name, *size_of(around(piece))) for piece in scene.pieces)
    plan = planned(
        Needs(right - left, bottom - top, extents, legend(brought, scene), scene.worries, scene.more)
    )
    across = (plan.width - (right - left) / plan.scale) / 2
    onto = _onto(plan.scale, scene.box, (across, TOP + EDGE))
    body = [
        ink.scale_bar(plan.scale, 18.0, 70.0),
        ink.text(facts(brought, scene), MARGIN, 25.0, "note"),
        *_drawing(scene, plan, onto),
        *_legend(plan),
        *_larger(scene, plan),
        *_list(plan, scene.more),
    ]
    return ink.document(
        title, plan.width, plan.height, ink.Sizes(len(scene.kinds), _weight(scene, plan)), tuple(body)
    )


def _weight(scene: Scene, plan: Plan) -> float:
    """How fine the sizes are drawn: finer in close nests, so that their lines stay apart."""
    seen = [piece for number, piece in enumerate(scene.pieces) if number not in plan.larger.pieces]
    apart = usually_apart(seen) / plan.scale
    return min(1.0, max(_FINEST, apart / _CLOSE)) if apart else 1.0


def _onto(scale: float, box: Box, corner: Spot) -> Transform:
    """From the sheet to the paper, with the box's upper left corner at ``corner``."""
    return Transform(1 / scale, 0.0, 0.0, 1 / scale, corner[0] - box[0] / scale, corner[1] - box[1] / scale)


def _drawing(scene: Scene, plan: Plan, onto: Transform) -> List[str]:
    """The sheet: pages and rest below, pieces above them, words and circles on top."""
    pages = [(count, _moved(box, onto)) for count, box in scene.pages]
    rest = [path for path in map(onto.path, scene.rest) if max(size_of(bounds(path))) >= _SEEN]
    room = _room(scene, plan, onto, pages, rest)
    items = [item for column in plan.columns for item in column]
    names, circles, numbers = _places(scene, room, onto, items, pages)
    parts = [ink.page_frame(box) for _, box in pages]
    parts.append(ink.strokes("rest", rest))
    parts += [_piece(piece, scene, onto) for piece in scene.pieces]
    parts += [ink.lines_of(place.lines, place.height, place.middle, "page-number") for place in numbers]
    parts += [_name(place) for place in names]
    for item, places in zip(items, circles):
        for place in places:
            parts.append(ink.line("worry", place.middle, place.to or place.middle))
            parts.append(ink.circle("spot", place.to or place.middle, 0.6))
            parts.append(ink.numbered(item.count, item.worry.level, place.middle))
    return [part for part in parts if part]


def _room(
    scene: Scene, plan: Plan, onto: Transform, pages: Sequence[Tuple[int, Box]], rest: Sequence[Path]
) -> Room:
    """The paper of the drawing, with all lines that words must not run over."""
    room = empty_room((MARGIN / 2, TOP - 2.0, plan.width - MARGIN / 2, plan.legend_top - 3.0))
    lines = [spots_along(onto.path(line)) for piece in scene.pieces for line in lines_of(piece)]
    faint = [spots_along(line) for line in rest]
    for _, (left, top, right, bottom) in pages:
        corners = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]
        faint.append(spots_between(np.array(corners)))
    nothing = np.zeros((0, 2))
    return room.with_lines(np.vstack([nothing, *lines])).with_faint(np.vstack([nothing, *faint]))


def _places(
    scene: Scene, room: Room, onto: Transform, items: Sequence[Item], pages: Sequence[Tuple[int, Box]]
) -> Tuple[List[Words], List[List[Words]], List[Words]]:
    """Where names, circles and page numbers stand: first what has a place of its own."""
    nests = [sorted(_outlines(piece, onto), key=_area) for piece in scene.pieces]
    spots = [
        [_held(onto.points(np.array(spot)), scene.box, onto) for spot in item.worry.spots] for item in items
    ]
    for spot in (spot for one in spots for spot in one):
        room = room.with_lines(spots_around(spot))
    names: Dict[int, Words] = {}
    for number, nest in enumerate(nests):
        inside = name_inside(room, scene.pieces[number].name, nest[0]) if nest else None
        if inside is not None:
            names[number] = inside
            room = room.with_words(inside.box)
    circles: List[List[Words]] = [[] for _ in items]
    for number, spot in ((number, spot) for number, one in enumerate(spots) for spot in one):
        place = circle_for(room, spot)
        circles[number].append(place)
        room = _with_leader(room.with_words(circle_box(place)), place)
    for number, nest in enumerate(nests):
        if number not in names and nest:
            others = [other[-1] for other in nests if other]
            names[number] = name_beside(room, scene.pieces[number].name, nest[-1], others)
            room = _with_leader(room.with_words(names[number].box), names[number])
    numbers = []
    for count, box in pages if len(pages) > 1 else ():
        numbers.append(page_number(room, count, box))
        room = room.with_words(numbers[-1].box)
    return [names[number] for number in sorted(names)], circles, numbers


def _with_leader(room: Room, place: Words) -> Room:
    if place.to is None:
        return room
    return room.with_lines(spots_between(np.array([place.middle, place.to])))


def _outlines(piece: Piece, onto: Transform) -> List[Path]:
    lines = [outline.path for outline in piece.outlines if len(outline.path)] or lines_of(piece)
    return [onto.path(line) for line in lines]


def _area(path: Path) -> float:
    width, height = size_of(bounds(path))
    return width * height


def _held(spot: np.ndarray, box: Box, onto: Transform) -> Spot:
    """A spot on the paper, kept within the sheet."""
    left, top, right, bottom = _moved(box, onto)
    return min(max(float(spot[0]), left), right), min(max(float(spot[1]), top), bottom)


def _moved(box: Box, onto: Transform) -> Box:
    (left, top), (right, bottom) = onto.points(np.array([box[:2], box[2:]])).tolist()
    return left, top, right, bottom


def _name(place: Words) -> str:
    """A piece's name, with the line to its piece where it stands beside it."""
    kind = "name" if place.height == NAME else "small-name"
    words = ink.lines_of(place.lines, place.height, place.middle, kind)
    if place.to is None:
        return words
    left, top, right, bottom = place.box
    start = (min(max(place.to[0], left), right), min(max(place.to[1], top), bottom))
    if math.hypot(start[0] - place.to[0], start[1] - place.to[1]) < _NEAR:
        return words
    return ink.line("leader", start, place.to) + words


def _piece(piece: Piece, scene: Scene, onto: Transform) -> str:
    """A piece with all its sizes and marks."""
    parts = ["<g>{}".format(ink.title(piece.name))]
    for outline in piece.outlines:
        for edge in outline.edges:
            if edge.name in piece.folds:
                parts.append(ink.stroke("fold-edge", onto.path(outline.path.part(edge.start, edge.stop))))
    parts += [ink.stroke("cut", onto.path(line.path)) for line in piece.cut_lines if len(line.path)]
    for outline in piece.outlines:
        if len(outline.path):
            parts.append(ink.stroke(scene.kinds.get(outline.size, EVERY), onto.path(outline.path)))
    for mark in piece.marks:
        if mark.kind in ink.MARK_KINDS and mark.path is not None and len(mark.path):
            x, y = onto.points(mark.middle).tolist()
            parts.append(ink.mark(mark.kind, onto.path(mark.path), (x, y)))
    return "\n".join([*parts, "</g>"])


def _legend(plan: Plan) -> List[str]:
    return [
        ink.legend_row(row, MARGIN, plan.legend_top + KEY_LINE * (number + 0.5))
        for number, row in enumerate(plan.legend)
    ]


def _larger(scene: Scene, plan: Plan) -> List[str]:
    """Small pieces once more, large enough to be seen."""
    larger = plan.larger
    if not larger.pieces:
        return []
    parts = [ink.text("Small pieces, drawn larger", MARGIN, plan.larger_top + NAME, "name")]
    for number, placed in zip(larger.pieces, larger.page.placed):
        piece = scene.pieces[number]
        parts.append(_piece(piece, scene, _onto(larger.scale, around(piece), (placed.x, placed.y))))
        parts += _heading(placed)
    return parts


def _heading(placed: Placed) -> List[str]:
    base = placed.y - placed.cell.head + NAME
    lines = [ink.text(placed.cell.name, placed.x, base, "small-name")]
    for number, note in enumerate(placed.cell.notes):
        lines.append(ink.text(note, placed.x, base + NOTE * LINE * (number + 1), "note"))
    return lines


def _list(plan: Plan, more: int) -> List[str]:
    """The places to look at, in columns."""
    if not plan.columns:
        return []
    parts = [ink.text("Places to look at", MARGIN, plan.list_top + NAME, "name")]
    for number, column in enumerate(plan.columns):
        x, y = MARGIN + number * plan.column_step, plan.list_top + NAME + 3.0
        for item in column:
            parts.append(ink.item(item.count, item.worry.level, item.lines, (x, y)))
            y += item.height
    if more:
        words = "{} more are told in the report.".format(more)
        parts.append(ink.text(words, MARGIN, plan.height - MARGIN, "note"))
    return parts
