"""Darts drawn inside an outline that is slashed: each goes whole with the part on which it lies.

Its two legs are sewn together, so nothing may open between them: a slash that crosses a drawn
dart is refused, as it is where the dart is cut in.  Where the edge at its mouth was drawn anew,
its lines are prolonged or cut back until they end on that edge.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings, crossings_with_line
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, end_tangents, point
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.geometry.transform import Transform
from sewkit.pattern.dart_lines import TOUCH
from sewkit.pattern.drawn_dart import DrawnDart, drawn_darts
from sewkit.pattern.mark import Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.parting import Parting
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash, where

# A slash may graze a dart by this much (mm), a pencil's width.
_GRAZED = 0.3

# Where legs are asked on which side of a slash they lie.
_SAMPLES = np.linspace(0.0, 1.0, 9)

# How much of a shift at its end each control point of a curve takes: a straight line stays one.
_RAMP = np.array([0.0, 1.0, 2.0, 3.0])[:, None] / 3.0


class Gone(NamedTuple):
    """Where a dart went: the move of its part, and its feet (k, 2) mm as they were and as they are."""

    dart: DrawnDart
    moved: Transform
    feet: np.ndarray
    now: np.ndarray


def check_uncrossed(piece: Piece, outline: Outline, slashes: Sequence[Slash]) -> None:
    """``InputError`` where a slash runs between the legs of a dart that is drawn on the piece."""
    for dart in drawn_darts(piece, outline.size):
        for slash in slashes:
            if _crosses(slash, dart):
                raise InputError(
                    "The slash {} cuts through the dart '{}' drawn there{}, "
                    "and its legs would not fit each other any more.".format(
                        where(outline, slash.opening),
                        dart.name,
                        " in size {}".format(outline.size) if outline.size else "",
                    ),
                    "Let the slash run beside the dart, or turn the dart out of its way first.",
                    code="dart",
                )


def _crosses(slash: Slash, dart: DrawnDart) -> bool:
    """Whether a slash meets a dart's legs and parts of them lie on both its sides."""
    if not any(crossings(leg, slash.line) for leg in dart.legs):
        return False
    way = slash.line.end - slash.line.start
    away = np.concatenate([point(leg.curves, _SAMPLES[None]).reshape(-1, 2) for leg in dart.legs])
    away = away - slash.line.start
    aside = (away[:, 0] * way[1] - away[:, 1] * way[0]) / np.hypot(*way)
    return bool(aside.max() > _GRAZED and aside.min() < -_GRAZED)


def gone(piece: Piece, parting: Parting, moves: Sequence[Transform], new: Outline) -> Tuple[Gone, ...]:
    """Where the darts drawn on one size of a piece went; ``new`` is its outline now."""
    found = []
    for dart in drawn_darts(piece, parting.old.size):
        spots = np.concatenate([leg.nodes for leg in dart.legs])
        moved = moves[parting.part_of(spots.mean(axis=0))]
        feet = np.array([] if dart.contour else [leg.start for leg in dart.legs]).reshape(-1, 2)
        # Its legs run from the foot to the point; the landing asks for the other way round.
        curves = [leg.reverse().curves[-1] for leg in dart.legs][: len(feet)]
        now = [_landed(moved.points(curve), new) for curve in curves]
        found.append(Gone(dart, moved, feet, np.array(now).reshape(-1, 2)))
    return tuple(found)


def with_dart(mark: Mark, darts: Sequence[Gone], old: Outline, new: Outline) -> Optional[Mark]:
    """A mark that draws a dart, gone with it; None for one that belongs to no dart.

    ``old``, ``new``: the outline before and now.
    """
    one = next((one for one in darts if any(mark is other for other in one.dart.marks)), None)
    if one is None or mark.path is None:
        return None
    if one.dart.contour:
        return mark._replace(path=one.moved.path(mark.path))
    curves = [_curve(curve, one, old, new) for curve in mark.path.curves]
    return mark._replace(path=Path(np.array(curves), mark.path.closed))


def _curve(curve: np.ndarray, one: Gone, old: Outline, new: Outline) -> np.ndarray:
    """A curve of a dart moved, its ends on the outline put where the edge is now."""
    made = one.moved.points(curve)
    ends: Dict[int, np.ndarray] = {}
    on_edge = [nearest(old.path, curve[end]).distance <= TOUCH for end in (0, 3)]
    for end in (0, 3):
        away = np.hypot(*(one.feet - curve[end]).T)
        if len(away) and away.min() <= TOUCH:
            number = int(away.argmin())
            ends[end] = one.now[number] - one.moved.points(one.feet[number])
        elif on_edge[0 if end == 0 else 1] and not all(on_edge):
            # The line in the middle of a dart, on which it is folded.
            ends[end] = _landed(made if end == 3 else made[::-1], new) - made[end]
    for end, shift in ends.items():
        if np.hypot(*shift) > SAME_POINT:
            made = made + shift * (_RAMP if end == 3 else _RAMP[::-1])
    return made


def _landed(curve: np.ndarray, new: Outline) -> np.ndarray:
    """Where a curve meets the outline when it goes on, or ends, as its end runs; nearest to its end."""
    end = curve[3]
    if nearest(new.path, end).distance <= SAME_POINT:
        return end
    way = end_tangents(curve[None])[0]
    spots: List[np.ndarray] = [
        point(new.path.curves[place.curve][None], place.t)[0]
        for place in crossings_with_line(new.path, end, way)
    ]
    ahead = [spot for spot in spots if (spot - curve[0]) @ way > 0]
    return min(ahead, key=lambda spot: float(np.hypot(*(spot - end))), default=end)
