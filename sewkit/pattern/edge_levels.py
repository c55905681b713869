"""Edges across the grain taken as levels, where words name one.

    height = height_of(with_edge_levels(piece, outline, "waist-60mm", spot, axis), size, "waist-60mm", axis)

A bodice ends at its waist and a skirt begins there: neither needs a level of that name.
"""

from typing import Optional

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.path import Path, point
from sewkit.pattern.cross_line import Axis, named_heights
from sewkit.pattern.mark import LEVEL, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece


def with_edge_levels(piece: Piece, outline: Outline, words: str, spot: np.ndarray, axis: Axis) -> Piece:
    """The piece with a level for each edge that runs across the grain, at its height beside a spot (2,).

    A level that is there comes before an edge of its name.  Only for reading: the marks are not drawn.
    An edge without a name counts where its number is all the words.
    """
    taken = set(named_heights(piece, outline.size, axis)) | set(piece.darts) | set(piece.folds)
    marks = []
    for name in outline.names:
        if name in taken or (name.isdecimal() and name != words.strip()):
            continue
        height = _height_beside(outline, name, spot, np.array(axis))
        if height is not None:
            across = np.array([axis[1], -axis[0]])
            on = spot + (height - float(spot @ np.array(axis))) * np.array(axis)
            marks.append(Mark(LEVEL, name, outline.size, Path.through([on - across, on + across])))
    return piece._replace(marks=(*piece.marks, *marks))


def _height_beside(outline: Outline, name: str, spot: np.ndarray, axis: np.ndarray) -> Optional[float]:
    """How far along the axis (mm) an edge lies straight above or below a spot; at a dart, its end there.

    None for an edge that runs along the axis, or that lies more than once there.
    """
    runs = outline.runs(name)
    way = runs[-1].end - runs[0].start
    across = np.array([axis[1], -axis[0]])
    if abs(float(way @ axis)) >= abs(float(way @ across)):
        return None
    met = [
        point(run.curves[place.curve][None], place.t)[0]
        for run in runs
        for place in crossings_with_line(run, spot, axis)
    ]
    if not met:
        ends = [end for run in runs for end in (run.start, run.end)]
        met = [min(ends, key=lambda end: abs(float((end - spot) @ across)))]
    heights = [float(one @ axis) for one in met]
    return heights[0] if max(heights) - min(heights) < 1e-6 else None
