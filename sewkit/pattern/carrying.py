"""Marks taken along when the parts of a piece move.

    piece, lost = carried(piece, {"": Change(parting, moves, fixed, outline, gains)})

A notch keeps its distance along its edge, the grain line stays whole with the part that stays,
small marks and drawn darts go with the part they lie on; a line that a slash crosses is cut there,
both sides go with their parts, and a straight line joins them again.
"""

from typing import List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings
from sewkit.geometry.path import Path, is_line, lines, point, split_at
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.geometry.transform import Transform
from sewkit.pattern.mark import DART, GRAIN, INNER, LENGTHEN, LEVEL, NOTCH, Mark
from sewkit.pattern.notch_places import Gain, moved
from sewkit.pattern.outline import Outline
from sewkit.pattern.own_notches import own_notches
from sewkit.pattern.parting import Parting
from sewkit.pattern.piece import Piece
from sewkit.pattern.slashed_darts import Gone, gone, with_dart

# Marks that are lines through the piece; all others are small and move whole.
_LINES = (LEVEL, INNER, LENGTHEN, DART)


class Change(NamedTuple):
    """What happened to one size: its parts, the move of each, which stayed, and what came of it."""

    parting: Parting
    moves: Tuple[Transform, ...]
    fixed: int
    outline: Outline
    gains: Tuple[Gain, ...] = ()


def carried(piece: Piece, changes: Mapping[str, Change]) -> Tuple[Piece, Tuple[str, ...]]:
    """The piece with its new outlines and its marks moved, and the names of lost notches.

    Marks that serve all sizes move with the first size changed, if all sizes were; else they stay,
    but for notches that lie elsewhere now: of these each size has its own.
    """
    whole = set(piece.sizes) <= set(changes)
    first = next(iter(changes))
    darts = {
        size: gone(piece, change.parting, change.moves, change.outline) for size, change in changes.items()
    }
    marks: List[Mark] = []
    lost = []
    for mark in piece.marks:
        if not mark.size and not whole and mark.kind == NOTCH:
            marks += own_notches(piece, mark, {size: moved_mark(mark, one) for size, one in changes.items()})
            continue
        size = mark.size if mark.size in changes or mark.size or not whole else first
        made = _gone_or_moved(mark, changes[size], darts[size]) if size in changes else mark
        if made is None:
            lost.append(mark.name)
        else:
            marks.append(made)
    piece = piece._replace(marks=tuple(marks))
    for change in changes.values():
        piece = piece.with_outline(change.outline)
    return piece, tuple(lost)


def _gone_or_moved(mark: Mark, change: Change, darts: Sequence[Gone]) -> Optional[Mark]:
    """One mark after the change: with its dart, or else by itself."""
    made = with_dart(mark, darts, change.parting.old, change.outline) if mark.kind == DART else None
    return moved_mark(mark, change) if made is None else made


def moved_mark(mark: Mark, change: Change) -> Optional[Mark]:
    """One mark after the change; None for a notch whose edge has become too short for it."""
    if mark.kind == NOTCH and mark.on is not None:
        return moved(mark, change.parting.old, change.outline, change.gains)
    if mark.path is None or not len(mark.path):
        return mark
    if mark.kind == GRAIN:
        return mark._replace(path=change.moves[change.fixed].path(mark.path))
    if mark.kind in _LINES and not mark.path.closed:
        return mark._replace(path=moved_line(mark.path, change.parting, change.moves))
    return mark._replace(path=change.moves[change.parting.part_of(mark.middle)].path(mark.path))


def moved_line(line: Path, parting: Parting, moves: Sequence[Transform]) -> Path:
    """A line drawn on the piece (mm, may have gaps), cut at the slashes, moved and joined again."""
    places = [c.first for slash in parting.slashes for c in crossings(line, slash.line)]
    split = split_at(line, places)
    owners = [parting.part_of(spot) for spot in point(split.curves, 0.5)]
    done: List[np.ndarray] = []
    for number, (curve, owner) in enumerate(zip(split.curves, owners)):
        here = moves[owner].points(curve) if moves[owner] != Transform() else curve
        joined = number and np.hypot(*(split.curves[number, 0] - split.curves[number - 1, 3])) <= SAME_POINT
        if joined and owners[number - 1] != owner:
            done[-1], between, here = _joined(done[-1], here)
            done += between
        done.append(here)
    return Path(np.array(done), line.closed)


def _joined(before: np.ndarray, after: np.ndarray) -> Tuple[np.ndarray, List[np.ndarray], np.ndarray]:
    """Two curves that came apart, with a straight line between; lapped straight ones meet half way."""
    gap = after[0] - before[3]
    if np.hypot(*gap) <= SAME_POINT:
        return before, [], np.concatenate([before[3:], after[1:]])
    along = before[3] - before[0]
    straight = bool(is_line(np.array([before, after])).all())
    room = min(np.hypot(*along), np.hypot(*(after[3] - after[0])))
    if gap @ along < 0 and straight and np.hypot(*gap) < 2.0 * room:
        middle = (before[3] + after[0]) / 2.0
        return lines(before[0], middle), [], lines(middle, after[3])
    return before, [lines(before[3], after[0])], after
