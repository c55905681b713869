"""Where a derived piece lies on the sheet: beside its parent, and there again when it is made anew.

moved_piece(piece, beside(pattern, piece, parent))
moved_piece(anew, fitted(anew, as_it_lies))
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.length import path_length, places_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, point
from sewkit.geometry.polygon import bounds
from sewkit.geometry.transform import IDENTITY, Transform, move
from sewkit.pattern.mark import Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece

# What lies between two pieces on the sheet (mm), and the steps in which a free place is looked for.
_GAP, _STEP = 20.0, 10.0

# So far round the parent a free place is looked for (mm); then right of everything.
_FAR = 2000.0

# A line round more than this (mm) both ways is a frame.
_FRAME = 400.0

# Each edge is looked at in so many places.
_PLACES = 12

# Rounds in which what does not fit loses its weight; ten halve what is left of it often enough.
_ROUNDS = 30

# Spots at the same share of both lines that are nearer than this (mm) need no closer look.
_ALIKE = 0.01

# Below this (mm) a spot fits.
_FITS = 1e-6


class Difference(NamedTuple):
    """How far one drawing of a piece is from another: mm, the size, the edge and the spot (2,)."""

    off: float
    size: str
    edge: str
    spot: Tuple[float, float]


Box = Tuple[float, float, float, float]


def beside(pattern: Pattern, piece: Piece, parent: Optional[Piece]) -> Transform:
    """The shift that brings a piece as near to its parent as there is room on the sheet."""
    own = _box([piece])
    taken = [_box([one]) for one in pattern.pieces if one.outlines and one.name != piece.name]
    if own is None:
        return IDENTITY
    boxes = [box for box in taken if box is not None]
    home = _box([parent]) if parent is not None else None
    if home is None:
        return _rightmost(own, boxes)
    ways = ((1, 0), (-1, 0), (0, 1), (0, -1))
    starts = [_next_to(own, home, way) for way in ways]
    boxes += [box for box in map(_mark_box, pattern.beside) if box is not None]
    # The sheet begins at 0; beyond it only what belongs to a piece that lies there.
    low = min(0.0, home[0]), min(0.0, home[1])
    for far in np.arange(0.0, _FAR, _STEP):
        for (dx, dy), way in zip(starts, ways):
            x, y = dx + far * way[0], dy + far * way[1]
            on_sheet = own[0] + x >= low[0] and own[1] + y >= low[1]
            if on_sheet and not any(_meet(own, box, x, y) for box in boxes):
                return move(x, y)
    return _rightmost(own, boxes)


def _mark_box(mark: Mark) -> Optional[Box]:
    """What a test square or a ruler takes up; a frame round the sheet takes up nothing."""
    if mark.path is None or not len(mark.path):
        return None
    left, top, right, bottom = (float(value) for value in bounds(mark.path))
    return None if min(right - left, bottom - top) > _FRAME else (left, top, right, bottom)


def _box(pieces: Sequence[Piece]) -> Optional[Box]:
    found = [bounds(line.path) for p in pieces for line in (*p.outlines, *p.cut_lines) if len(line.path)]
    if not found:
        return None
    low, high = np.array(found)[:, :2].min(axis=0), np.array(found)[:, 2:].max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _next_to(own: Box, home: Box, way: Tuple[int, int]) -> Tuple[float, float]:
    """The shift to the right, left, below or above of a box."""
    x = home[2] + _GAP - own[0] if way[0] > 0 else home[0] - _GAP - own[2] if way[0] else 0.0
    y = home[3] + _GAP - own[1] if way[1] > 0 else home[1] - _GAP - own[3] if way[1] else 0.0
    return x, y + (home[1] - own[1] if way[0] else 0.0)


def _meet(own: Box, box: Box, x: float, y: float) -> bool:
    free = _GAP / 2.0
    apart_x = own[0] + x >= box[2] + free or own[2] + x <= box[0] - free
    apart_y = own[1] + y >= box[3] + free or own[3] + y <= box[1] - free
    return not (apart_x or apart_y)


def _rightmost(own: Box, boxes: Sequence[Box]) -> Transform:
    if not boxes:
        return IDENTITY
    return move(max(box[2] for box in boxes) + _GAP - own[0], min(box[1] for box in boxes) - own[1])


def moved_piece(piece: Piece, where: Transform) -> Piece:
    """The piece with all that is drawn on it moved."""
    return piece._replace(
        outlines=tuple(o._replace(path=where.path(o.path)) for o in piece.outlines),
        cut_lines=tuple(line._replace(path=where.path(line.path)) for line in piece.cut_lines),
        marks=tuple(m if m.path is None else m._replace(path=where.path(m.path)) for m in piece.marks),
    )


def fitted(made: Piece, lying: Piece) -> Transform:
    """The turn and shift that bring a piece to where another drawing of it lies.

    Spots on the edges that both have are matched, and those that do not fit lose their weight
    (least sum of distances), so that an edge that was changed does not move the others.
    """
    pairs = [_spots(made, lying, o.size) for o in made.outlines if o.size in lying.sizes]
    pairs = [pair for pair in pairs if len(pair[0])]
    if not pairs:
        return IDENTITY
    here, there = (np.concatenate(column) for column in zip(*pairs))
    weights = np.ones(len(here))
    best = IDENTITY
    for _ in range(_ROUNDS):
        best = _rigid(here, there, weights)
        off = np.hypot(*(best.points(here) - there).T)
        if off.max() <= _FITS:
            break
        weights = 1.0 / np.maximum(off, _FITS)
    return best


def _rigid(here: np.ndarray, there: np.ndarray, weights: np.ndarray) -> Transform:
    """The turn and shift with the least sum of weighted squares (Kabsch)."""
    share = weights / weights.sum()
    a, b = share @ here, share @ there
    p, q = here - a, there - b
    dot = float((share[:, None] * p * q).sum())
    cross = float((share * (p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0])).sum())
    size = float(np.hypot(dot, cross))
    cos, sin = (dot / size, cross / size) if size > 0 else (1.0, 0.0)
    # Paper that only was shifted is not turned by rounding.
    cos, sin = (1.0, 0.0) if abs(sin) < 1e-12 and cos > 0 else (cos, sin)
    return Transform(
        cos, sin, -sin, cos, float(b[0] - cos * a[0] + sin * a[1]), float(b[1] - sin * a[0] - cos * a[1])
    )


def _spots(made: Piece, lying: Piece, size: str) -> Tuple[np.ndarray, np.ndarray]:
    here, there = made.outline(size), lying.outline(size)
    found: Tuple[List[np.ndarray], List[np.ndarray]] = ([], [])
    for name in here.names:
        runs = here.runs(name), there.runs(name)
        if len(runs[0]) == len(runs[1]):
            for one, other in zip(*runs):
                found[0].append(_along(one, _PLACES))
                found[1].append(_along(other, _PLACES))
    if not found[0]:
        return np.zeros((0, 2)), np.zeros((0, 2))
    return np.concatenate(found[0]), np.concatenate(found[1])


def _along(run: Path, count: int) -> np.ndarray:
    """Points (count + 1, 2) along a path, evenly by its length."""
    places = places_at(run, np.linspace(0.0, path_length(run), count + 1))
    curves = run.curves[[place.curve for place in places]]
    return point(curves, np.array([place.t for place in places]))


def difference(made: Piece, lying: Piece) -> Difference:
    """How far a piece as it lies is from what it should be, which lies in the same place.

    The greater of the distance between the lines and the difference in length of an edge.
    """
    worst = Difference(0.0, "", "", (0.0, 0.0))
    for outline in made.outlines:
        if outline.size not in lying.sizes:
            spot = outline.path.start
            return Difference(np.inf, outline.size, outline.names[0], (float(spot[0]), float(spot[1])))
        there = lying.outline(outline.size)
        for name in outline.names:
            if name not in there.names:
                spot = outline.runs(name)[0].start
                one = Difference(np.inf, outline.size, name, (float(spot[0]), float(spot[1])))
            else:
                one = _edge_off(outline, there, name)
            worst = one if one.off > worst.off else worst
    return worst


def _edge_off(made: Outline, lying: Outline, name: str) -> Difference:
    spots = np.concatenate([_along(run, _PLACES) for run in lying.runs(name)])
    own = np.concatenate([_along(run, _PLACES) for run in made.runs(name)])
    off = np.hypot(*(spots - own).T) if len(own) == len(spots) else np.full(len(spots), np.inf)
    if off.max() > _ALIKE:
        # The lines may lie on each other all the same, with lengths that run another way.
        off = np.array([_distance(made.runs(name), spot) for spot in spots])
    longer = abs(made.as_sewn(name) - lying.as_sewn(name))
    spot = spots[int(off.argmax())]
    return Difference(max(float(off.max()), longer), made.size, name, (float(spot[0]), float(spot[1])))


def _distance(runs: Sequence[Path], spot: np.ndarray) -> float:
    return min(nearest(run, spot).distance for run in runs if path_length(run) > 0)
