"""Cut strokes exactly where they leave a box."""

from typing import List, NamedTuple

import numpy as np

from sewkit.geometry import cubic
from sewkit.geometry.path import Path, Place, cut, point
from sewkit.sheet.drawn import Box

# A piece shorter than this (mm) is the rounding of a line that runs along the box.
SLIVER = 0.01


class Piece(NamedTuple):
    """What is left of a stroke, and whether its start and its end were cut here."""

    path: Path
    start_cut: bool = False
    end_cut: bool = False


def clipped(path: Path, box: Box, slack: float = 0.0) -> List[Piece]:
    """The parts of a path inside a box, in its direction; exact.

    Sides of the box may be infinite.  A path that sticks out by no more than ``slack`` (mm)
    stays as it is.  A closed path that is cut becomes open parts.
    """
    low, high = path.curves.min(axis=(0, 1)), path.curves.max(axis=(0, 1))
    if (low >= np.array(box[:2]) - slack).all() and (high <= np.array(box[2:]) + slack).all():
        return [Piece(path)]
    stops = _stops(path, box)
    count = len(path)
    if not stops:
        return [Piece(path)] if _inside(path, 0.5, box) else []
    if path.closed:
        spans = list(zip(stops, stops[1:] + [stops[0] + count]))
    else:
        bounds = [0.0] + [stop for stop in stops if 0.0 < stop < count] + [float(count)]
        spans = list(zip(bounds, bounds[1:]))
    kept = [span for span in spans if span[1] > span[0] and _inside(path, (span[0] + span[1]) / 2, box)]
    return _pieces(path, _merged(kept, path))


def _stops(path: Path, box: Box) -> List[float]:
    """Where the path meets the sides of the box: curve number plus parameter, in order."""
    found = set()
    low, high = path.curves.min(axis=(0, 1)), path.curves.max(axis=(0, 1))
    for side, at in enumerate(box):
        if low[side % 2] <= at <= high[side % 2]:
            row, t = cubic.solve(path.curves[:, :, side % 2], at)
            found.update((row + t).tolist())
    count = float(len(path))
    if path.closed:
        found = {stop % count for stop in found}
    return sorted(found)


def _inside(path: Path, where: float, box: Box) -> bool:
    number = int(where) % len(path)
    x, y = point(path.curves[number : number + 1], where - int(where))[0]
    return bool(box[0] <= x <= box[2] and box[1] <= y <= box[3])


def _merged(spans: List[tuple], path: Path) -> List[tuple]:
    """Spans that follow each other without a gap as one: there the path only touched the box."""
    found: List[tuple] = []
    for span in spans:
        if found and span[0] <= found[-1][1]:
            found[-1] = (found[-1][0], span[1])
        else:
            found.append(span)
    if path.closed and len(found) > 1 and found[-1][1] - len(path) == found[0][0]:
        found[0] = (found.pop()[0] - len(path), found[0][1])
    return found


def _pieces(path: Path, spans: List[tuple]) -> List[Piece]:
    count = len(path)
    found = []
    for start, stop in spans:
        if path.closed and stop - start >= count:
            return [Piece(path)]
        part = cut(path, _place(path, start), _place(path, stop, True))
        size = np.abs(np.diff(part.curves, axis=1)).sum()
        if len(part) and size > SLIVER:
            found.append(Piece(part, path.closed or start > 0.0, path.closed or stop < count))
    return found


def _place(path: Path, where: float, ends: bool = False) -> Place:
    """A place by curve number plus parameter; an end on a node belongs to the curve before it."""
    count = len(path)
    number = int(np.floor(where))
    t = where - number
    if ends and t == 0.0:
        number, t = number - 1, 1.0
    return Place(number % count, t)
