"""Marks taken along when darts are turned: each goes with the sector it lies on.

A line that a spoke crosses is cut there; its parts go with their sectors and are joined again.
What lay in the mouth of a dart that is closed was no cloth of the piece and goes with the dart.
"""

from typing import Dict, List, Optional, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, lines, point, split_at
from sewkit.geometry.polygon import contains
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.geometry.transform import Transform, turn
from sewkit.pattern.carrying import moved_mark
from sewkit.pattern.mark import DART, DRILL, INNER, LENGTHEN, LEVEL, Mark
from sewkit.pattern.piece import Piece
from sewkit.pattern.spokes import Spoke, Turned, spot_at

_LINES = (LEVEL, INNER, LENGTHEN, DART)

# Marks this near to the pivot (mm) lie on it and stay: a drill hole is as wide.
_ON_PIVOT = 1.0

# The parts of a line meet again, but for this (mm); a wider gap is bridged by a straight line.
_MEET = 0.01


def with_marks(piece: Piece, made: Turned, whole: bool) -> Tuple[Piece, Tuple[str, ...]]:
    """The piece with the new outline of one size and its marks; the names of lost marks.

    ``whole``: marks that serve all sizes go as well.
    """
    size = made.outline.size
    marks: List[Mark] = []
    lost: List[str] = []
    for mark in piece.marks:
        mine = mark.size == size or (not mark.size and whole)
        new = turned_mark(mark, made) if mine else mark
        if new is None:
            lost.append(mark.name or mark.kind)
        else:
            marks.append(new)
    return piece._replace(marks=tuple(marks)).with_outline(made.outline), tuple(lost)


def turned_mark(mark: Mark, made: Turned) -> Optional[Mark]:
    """One mark after the turn; None where it went with a dart that is closed now."""
    if mark.path is None or not len(mark.path):
        return moved_mark(mark, made.change)
    if mark.kind in _LINES and not mark.path.closed:
        path = _line(mark.path, made)
        return None if path is None else mark._replace(path=path)
    if mark.kind == DRILL:
        return _drill(mark, made)
    return moved_mark(mark, made.change)


def _mouths(made: Turned) -> Dict[int, Spoke]:
    """The spokes that have a mouth, by the number of that part."""
    with_mouth = [spoke for spoke in made.spokes if spoke.start != spoke.stop]
    return {len(made.spokes) + number: spoke for number, spoke in enumerate(with_mouth)}


def _line(line: Path, made: Turned) -> Optional[Path]:
    parting, moves, mouths = made.change.parting, made.change.moves, _mouths(made)
    met = [one for slash in parting.slashes for one in crossings(line, slash.line)]
    # All spokes meet at the pivot: a line through it is cut there once.
    apart = [
        one
        for number, one in enumerate(met)
        if all(np.hypot(*(one.point - other.point)) > SAME_POINT for other in met[:number])
    ]
    split = split_at(line, [one.first for one in apart])
    owners = [_owner(spot, made) for spot in point(split.curves, 0.5)]
    if len(set(owners)) == 1 and owners[0] not in mouths:
        return moves[owners[0]].path(line)
    done: List[np.ndarray] = []
    last, linked = -1, False
    for number, (curve, owner) in enumerate(zip(split.curves, owners)):
        linked = linked and bool(np.hypot(*(curve[0] - split.curves[number - 1, 3])) <= SAME_POINT)
        if owner in mouths:
            continue  # no cloth of the piece
        here = np.array(moves[owner].points(curve))
        if linked and owner != last:
            if np.hypot(*(here[0] - done[-1][3])) > _MEET:
                done.append(lines(done[-1][3:], here[:1])[0])
            else:
                here[0] = done[-1][3]
        done.append(here)
        last, linked = owner, True
    return Path(np.array(done)) if done else None


def _owner(spot: np.ndarray, made: Turned) -> int:
    """The part on which a point lies; beside the piece the nearest sector, never a mouth."""
    regions, sectors = made.change.parting.regions, len(made.spokes)
    for number, region in enumerate(regions):
        if contains(region, [spot])[0]:
            return number
    return int(np.argmin([nearest(region, spot).distance for region in regions[:sectors]]))


def _drill(mark: Mark, made: Turned) -> Optional[Mark]:
    """A drill hole: the pivot stays; the one of a dart goes where that dart went."""
    assert mark.path is not None
    if np.hypot(*(mark.middle - made.pivot)) <= _ON_PIVOT:
        return mark
    part = _owner(mark.middle, made)
    mouths = _mouths(made)
    if part not in mouths:
        return mark._replace(path=made.change.moves[part].path(mark.path))
    frame = _dart_move(mouths[part], made)
    return None if frame is None else mark._replace(path=frame.path(mark.path))


def _dart_move(spoke: Spoke, made: Turned) -> Optional[Transform]:
    """How the middle line of a dart went: with the dart where it stays or was turned as a whole."""
    if not spoke.name:
        return None
    goes_to = spoke
    if spoke.then <= 0:
        opened = [s for s in made.spokes if s.now <= 0]
        # Of a dart that is shared out the part that keeps its name keeps its marks too.
        opened = [s for s in opened if s.name == spoke.name] or opened
        if len(opened) != 1:
            return None
        goes_to = opened[0]
    before, after = _axis(spoke, made, False), _axis(goes_to, made, True)
    cross, dot = before[0] * after[1] - before[1] * after[0], float(before @ after)
    return turn(float(np.degrees(np.arctan2(cross, dot))), made.pivot)


def _axis(spoke: Spoke, made: Turned, moved: bool) -> np.ndarray:
    """The direction (2,) from the pivot to the middle between both ends of a mouth."""
    old = made.change.parting.old
    number = made.spokes.index(spoke)
    ends = [spot_at(old, spoke.start), spot_at(old, spoke.stop)]
    if moved:
        ends = [made.move_at(number - 1).points(ends[0]), made.move_at(number).points(ends[1])]
    ways = [(end - made.pivot) / np.hypot(*(end - made.pivot)) for end in ends]
    return ways[0] + ways[1]
