"""The bracket beside an edge on the fold: its two arrows point to where the fold of the cloth lies."""

from typing import List, Optional, Sequence

import numpy as np

from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, derivative, lines, point
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.mark import FOLD, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

# The arrows stand at these parts of the edge, and the line between them so far inside it (mm).
_FIRST, _LAST, _DEPTH = 0.3, 0.7, 14.0

# A shallow piece has a bracket that goes no deeper than this part of the edge's length.
_DEEPEST = 0.25

# The heads of the arrows: how long, and half as wide (mm).
_HEAD, _HALF = 5.0, 2.0

# Arrow tips this near to the edge in every size (mm) serve all of them.
_ALIKE = 0.05


def with_brackets(piece: Piece, outlines: Sequence[Outline]) -> Piece:
    """The piece with a bracket at each of its folds, in the sizes given; old ones are replaced."""
    sizes = {outline.size for outline in outlines}
    whole = sizes >= set(piece.sizes)
    # One that served all sizes still serves those that are not drawn anew.
    kept = [m for m in piece.marks if m.kind != FOLD or (m.size not in sizes if m.size else not whole)]
    made: List[Mark] = []
    for name in piece.folds:
        having = [outline for outline in outlines if name in outline.names]
        common = _common(having, name) if whole else None
        if common is not None:
            made.append(Mark(FOLD, "", having[0].size if len(piece.outlines) == 1 else "", common))
        else:
            made += [Mark(FOLD, "", outline.size, bracket(outline, name)) for outline in having]
    return piece._replace(marks=(*kept, *made))


def bracket(outline: Outline, edge: str) -> Path:
    """The bracket beside an edge of one size (mm), drawn from tip to tip, then the arrow heads."""
    run = max(outline.runs(edge), key=path_length)
    length = path_length(run)
    side = 1.0 if signed_area(outline.path) >= 0 else -1.0
    depth = min(_DEPTH, _DEEPEST * length)
    head = min(_HEAD, depth / 2.0)
    tips, inner, barbs = [], [], []
    for share in (_FIRST, _LAST):
        place = place_at(run, share * length)
        curve = run.curves[place.curve : place.curve + 1]
        along = derivative(curve, place.t)[0]
        along = along / (float(np.hypot(*along)) or 1.0)
        inward = side * np.array([-along[1], along[0]])
        tip = point(curve, place.t)[0]
        tips.append(tip)
        inner.append(tip + depth * inward)
        barbs.append([tip + head * inward + sign * _HALF / _HEAD * head * along for sign in (1.0, -1.0)])
    starts = [tips[0], inner[0], inner[1]]
    stops = [inner[0], inner[1], tips[1]]
    for tip, (one, other) in zip(tips, barbs):
        starts += [one, tip]
        stops += [tip, other]
    return Path(lines(np.array(starts), np.array(stops)))


def _common(outlines: Sequence[Outline], edge: str) -> Optional[Path]:
    """The bracket of the shortest edge, if it lies on the fold of every size; else None."""
    if not outlines:
        return None
    path = bracket(min(outlines, key=lambda outline: outline.as_sewn(edge)), edge)
    tips = path.curves[0, 0], path.curves[2, 3]
    away = [
        min(nearest(run, tip).distance for run in outline.runs(edge)) for outline in outlines for tip in tips
    ]
    return path if max(away) <= _ALIKE else None
