"""A dart with two points made wider, narrower, longer or shorter, or moved.

It lies inside the piece as drawn lines, so only these change, and the drill marks within it.

    widest(drawn)                               # how far from its first point it is widest (mm)
    reshaped(piece, drawn, 1.5, (1.0, 2.0))     # so many times as wide, and as long at both ends
    shifted(piece, drawn, vector)
"""

from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings, crossings_with_line
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, point, split_at
from sewkit.geometry.polygon import contains
from sewkit.geometry.transform import IDENTITY, Transform, move
from sewkit.pattern.apex import apex_near
from sewkit.pattern.drawn_dart import DrawnDart
from sewkit.pattern.mark import DRILL, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

# A drill mark at a point or on a leg lies this near to it (mm).
_AT = 2.0

# Half a dart with two points is this long at least (mm).
_LEAST = 5.0


def widest(drawn: DrawnDart) -> float:
    """How far from its first point (mm), along the line between both, a dart is widest: its legs' mean."""
    along, aside = _axes(drawn)
    heights = []
    for leg in drawn.legs:
        spots = point(leg.curves, np.linspace(0, 1, 65)[None]).reshape(-1, 2) - drawn.points[0]
        inner = leg.nodes[1:-1] - drawn.points[0]
        away = np.abs(spots @ aside)
        nodes = np.abs(inner @ aside)
        # A node that is as far away as anything is meant as the widest place.
        if len(nodes) and nodes.max() >= away.max() - 1e-3:
            heights.append(float(inner[int(nodes.argmax())] @ along))
        else:
            heights.append(float(spots[int(away.argmax())] @ along))
    return sum(heights) / 2.0


def halves(drawn: DrawnDart) -> Tuple[float, float]:
    """How long it is from its widest place to its first and to its second point (mm)."""
    along, _ = _axes(drawn)
    height = widest(drawn)
    return height, float((drawn.points[1] - drawn.points[0]) @ along) - height


def reshaped(
    piece: Piece, outline: Outline, drawn: DrawnDart, wide: float, long: Tuple[float, float] = (1.0, 1.0)
) -> Piece:
    """The piece with a dart so many times as wide, and so many times as long at either point.

    The place where it is widest stays.  ``InputError`` where it would run out of the piece.
    """
    frames = _frames(drawn, wide, long)
    along, _ = _axes(drawn)
    height = widest(drawn)
    on = drawn.points[0] + height * along

    def made(path: Path) -> Path:
        across = np.array([-along[1], along[0]])
        split = split_at(path, crossings_with_line(path, on, across))
        beyond = (point(split.curves, 0.5) - on) @ along > 0
        curves = [frames[int(side)].points(curve) for curve, side in zip(split.curves, beyond)]
        return Path(np.array(curves), path.closed)

    def small(spot: np.ndarray) -> Transform:
        frame = frames[int((spot - on) @ along > 0)]
        return move(*(frame.points(spot) - spot))

    ends = [frames[0].points(drawn.points[0]), frames[1].points(drawn.points[1])]
    legs = [made(leg) for leg in drawn.legs]
    _refuse(piece, outline, drawn, legs, ends)
    marks = []
    for mark in piece.marks:
        if mark in drawn.marks and mark.path is not None:
            marks.append(mark._replace(path=made(mark.path)))
        elif _is_its_drill(piece, outline.size, drawn, mark):
            marks.append(mark._replace(path=small(mark.middle).path(mark.path)))
        else:
            marks.append(mark)
    return piece._replace(marks=tuple(marks))


def shifted(piece: Piece, outline: Outline, drawn: DrawnDart, vector: np.ndarray) -> Piece:
    """The piece with a dart with two points moved whole; ``InputError`` where it would leave the piece."""
    frame = move(*vector)
    legs = [frame.path(leg) for leg in drawn.legs]
    _refuse(piece, outline, drawn, legs, [frame.points(spot) for spot in drawn.points])
    marks = []
    for mark in piece.marks:
        mine = mark in drawn.marks or _is_its_drill(piece, outline.size, drawn, mark)
        marks.append(mark._replace(path=frame.path(mark.path)) if mine and mark.path is not None else mark)
    return piece._replace(marks=tuple(marks))


def one_each(found: Sequence[Tuple[Piece, Outline, DrawnDart]]) -> List[Tuple[Piece, Outline, DrawnDart]]:
    """Darts of which one is meant on each outline; ``InputError`` where it is not said which."""
    seen: Dict[Tuple[str, str], List[DrawnDart]] = {}
    for piece, outline, drawn in found:
        seen.setdefault((piece.name, outline.size), []).append(drawn)
    several = next((some for some in seen.values() if len(some) > 1), None)
    if several is not None:
        raise InputError(
            "It is not said which dart is meant.",
            "Name one of: {}.".format(", ".join(drawn.name for drawn in several)),
            code="dart",
        )
    return list(found)


def _axes(drawn: DrawnDart) -> Tuple[np.ndarray, np.ndarray]:
    way = drawn.points[1] - drawn.points[0]
    along = way / np.hypot(*way)
    return along, np.array([-along[1], along[0]])


def _frames(drawn: DrawnDart, wide: float, long: Tuple[float, float]) -> Tuple[Transform, Transform]:
    """The moves of the parts towards the first and the second point."""
    along, aside = _axes(drawn)
    on = drawn.points[0] + widest(drawn) * along
    frames = []
    for share in long:
        if wide == 1.0 and share == 1.0:
            frames.append(IDENTITY)
            continue
        # x' = on + share (x - on).along along + wide (x - first).aside aside
        matrix = share * np.outer(along, along) + wide * np.outer(aside, aside)
        shift = on - matrix @ on
        frames.append(Transform(matrix[0, 0], matrix[1, 0], matrix[0, 1], matrix[1, 1], shift[0], shift[1]))
    return frames[0], frames[1]


def _is_its_drill(piece: Piece, size: str, drawn: DrawnDart, mark: Mark) -> bool:
    """A drill mark within the dart or at one of its ends, but for the apex."""
    if mark.kind != DRILL or mark.size not in (size, "") or mark.path is None or not len(mark.path):
        return False
    apex = apex_near(piece, size, mark.middle)
    if apex is not None and (apex == mark.middle).all():
        return False
    ring = Path(np.concatenate([drawn.legs[0].curves, drawn.legs[1].reverse().curves]), closed=True)
    return bool(contains(ring, [mark.middle])[0]) or nearest(ring, mark.middle).distance <= _AT


def _refuse(
    piece: Piece, outline: Outline, drawn: DrawnDart, legs: List[Path], ends: List[np.ndarray]
) -> None:
    inside = contains(outline.path, np.concatenate([leg.nodes for leg in legs])).all()
    if inside and not any(crossings(leg, outline.path) for leg in legs):
        if np.hypot(*(ends[1] - ends[0])) >= 2 * _LEAST:
            return
        raise InputError(
            "The dart '{}' would be too short to be sewn.".format(drawn.name), "Ask for less.", code="value"
        )
    raise InputError(
        "The dart '{}' would run out of '{}'.".format(drawn.name, piece.name),
        "Ask for less; a dart at the edge has one point, add it with Darts > Add a dart.",
        code="overlap",
    )
