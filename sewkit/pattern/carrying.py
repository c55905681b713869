"""Marks taken along when the parts of a piece move.

    piece, lost = carried(piece, {"": Change(parting, moves, fixed, outline, gains)})

A notch keeps its distance along its edge, the grain line stays whole with the part that stays,
small marks and drawn darts go with the part they lie on; a line that a slash crosses is cut there,
both sides go with their parts, and a straight line joins them again, or where that would be a step
a soft one; a straight line that an earlier cut bent and this one brings back is straight again.
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
from sewkit.pattern.soft_opening import LEAST_STEP, softened, step_of

# Marks that are lines through the piece; all others are small and move whole.
_LINES = (LEVEL, INNER, LENGTHEN, DART)

# The ends of a line lie on one straight line to this (mm); a step between them up to the second is
# what two cuts beside each other left, and no shape.
_ON_LINE, _STEP = 0.5, 3.0


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
    bits = [
        moves[p].points(curve) if moves[p] != Transform() else curve for curve, p in zip(split.curves, owners)
    ]
    linked = np.hypot(*(split.curves[1:, 0] - split.curves[:-1, 3]).T) <= SAME_POINT
    if not line.closed and len(set(owners)) > 1 and linked.all() and _straight_again(np.array(bits)):
        return Path.through([bits[0][0], bits[-1][3]])
    done: List[np.ndarray] = bits[:1]
    for number, here in enumerate(bits[1:], 1):
        if linked[number - 1] and owners[number - 1] != owners[number]:
            done[-1], between, here = _joined(done[-1], here)
            done += between
        done.append(here)
    return Path(np.array(done), line.closed)


def _straight_again(bits: np.ndarray) -> bool:
    """Whether the ends of a line of straight bits ``(n, 4, 2)`` lie on one straight line, all else near it.

    So is a line that an earlier cut has bent and this one brings back, but for a little between both.
    """
    start, chord = bits[0, 0], bits[-1, 3] - bits[0, 0]
    if len(bits) < 3 or not is_line(bits).all() or not np.hypot(*chord) > SAME_POINT:
        return False
    nodes = bits[:, [0, 3]] - start
    away = np.abs(nodes[..., 0] * chord[1] - nodes[..., 1] * chord[0]) / np.hypot(*chord)
    onwards = ((bits[:, 3] - bits[:, 0]) @ chord > 0).all()
    return bool(max(away[0, 1], away[-1, 0]) <= _ON_LINE and away.max() <= _STEP and onwards)


def _joined(before: np.ndarray, after: np.ndarray) -> Tuple[np.ndarray, List[np.ndarray], np.ndarray]:
    """Two curves that came apart, with a line between; lapped straight ones meet half way."""
    gap = after[0] - before[3]
    if np.hypot(*gap) <= SAME_POINT:
        return before, [], np.concatenate([before[3:], after[1:]])
    along = before[3] - before[0]
    straight = bool(is_line(np.array([before, after])).all())
    room = min(np.hypot(*along), np.hypot(*(after[3] - after[0])))
    if gap @ along < 0 and straight and np.hypot(*gap) < 2.0 * room:
        middle = (before[3] + after[0]) / 2.0
        return lines(before[0], middle), [], lines(middle, after[3])
    if gap @ along > 0 and straight and step_of(Path(before[None]), Path(after[None])) >= LEAST_STEP:
        # Straight across it would step up or down; a soft line takes a little of both sides.
        first, second = Path(before[None]), Path(after[None])
        soft = softened(first, second, Path.through([first.end, second.start]))
        return soft.before.curves[0], [soft.between.curves[0]], soft.after.curves[0]
    return before, [lines(before[3], after[0])], after
