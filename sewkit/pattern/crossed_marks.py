"""Marks of a piece where strips are let in: each goes with the cloth it lies on.

A mark on one side of a strip goes as it is.  Lines that cross it become longer as the
outline does; arrow heads stay as they are.  Small marks and writing go by their middle, and so
do levels and lengthen lines, which lie across.
"""

from typing import List, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, point
from sewkit.pattern.dart_cap import PREFIX
from sewkit.pattern.drawn_lines import PAIR
from sewkit.pattern.letting_in import let_in
from sewkit.pattern.mark import DART, FOLD, GRAIN, INNER, LENGTHEN, LEVEL, Mark
from sewkit.pattern.outline import Outline, corner_nodes
from sewkit.pattern.shifts import Shifts

# A line that leans more out of the square with the axis than this does not lie across it
# (sine of about 10 degrees).
_ACROSS = 0.17

# Curves of an arrow at least this long, as a part of the longest, belong to its shaft.
_SHAFT = 0.5

# A drawn dart's leg ends on the outline when it ends this near to it (mm).
_ON_OUTLINE = 1.0

# The two lines of a pair lie as far from the strip between them, within this (mm).
_MIRRORED = 0.05

# Ends nearer than this are one point (mm): lines drawn apart that meet by rounding.
_ONE_POINT = 0.01


def let_in_mark(
    mark: Mark, shifts: Shifts, old: Outline, new: Outline, lengthen_lines: Sequence[float] = ()
) -> Mark:
    """A mark that is no notch, with strips let in; ``old`` and ``new`` is the outline around it.

    ``ValueError`` where a line would have nothing left: it ends in what is folded out.

    ``lengthen_lines``: heights (mm) of all lengthen lines of the piece, to know pairs by.
    """
    if mark.path is None or not len(mark.path):
        return mark
    if mark.kind in (LEVEL, LENGTHEN):
        return mark._replace(path=_across(mark, shifts, lengthen_lines))
    # The cap of a trued dart is drawn anew with its dart.
    if mark.kind not in (GRAIN, FOLD, DART, INNER) or (mark.kind == INNER and mark.name.startswith(PREFIX)):
        return mark._replace(path=_rigid(mark.path, shifts.at(mark.middle), shifts))
    amounts = {shifts.at(p) for p in mark.path.curves[:, [0, 3]].reshape(-1, 2)}
    if len(amounts) == 1:
        return mark._replace(path=_rigid(mark.path, amounts.pop(), shifts))
    if mark.kind in (GRAIN, FOLD):
        return mark._replace(path=_arrow(mark, shifts))
    made = _dart(mark.path, shifts, old, new) if mark.kind == DART else None
    return mark._replace(path=made if made is not None else _lines(mark.path, shifts))


def _rigid(path: Path, amount: float, shifts: Shifts) -> Path:
    return Path(shifts.moved(path.curves, amount), path.closed) if amount else path


def _strands(path: Path) -> List[Path]:
    """The unbroken lines that a drawn mark is made of."""
    gaps = np.hypot(*(path.curves[1:, 0] - path.curves[:-1, 3]).T) > _ONE_POINT
    cuts = [0] + [int(i) + 1 for i in np.flatnonzero(gaps)] + [len(path)]
    return [path.part(a, b) for a, b in zip(cuts, cuts[1:])]


def lengthen_heights(marks: Sequence[Mark], shifts: Shifts) -> List[float]:
    """The heights (mm) of all lengthen lines among marks, both of a pair."""
    drawn = [
        mark.path for mark in marks if mark.kind == LENGTHEN and mark.path is not None and len(mark.path)
    ]
    return [shifts.height((line.start + line.end) / 2.0) for path in drawn for line in _strands(path)]


def _paired(height: float, shifts: Shifts, lengthen_lines: Sequence[float]) -> Optional[float]:
    """By how much the far line of a pair goes (mm); None for a line that is none.

    A strip is let in half way between the two lines of a pair.  Both stay together before it,
    so that they are one place the next time as well.
    """
    for strip in shifts.strips:
        beyond = height - strip.height
        if 0.0 < beyond <= PAIR / 2.0 and any(
            abs(strip.height - beyond - other) <= _MIRRORED for other in lengthen_lines
        ):
            return float(sum(one.amount for one in shifts.strips if one.height < strip.height))
    return None


def _across(mark: Mark, shifts: Shifts, lengthen_lines: Sequence[float]) -> Path:
    """Levels and lengthen lines: each line as one by its middle, unless it runs along the axis."""
    assert mark.path is not None
    parts = []
    for strand in _strands(mark.path):
        way = strand.end - strand.start
        if abs(float(way @ shifts.way)) > _ACROSS * float(np.hypot(*way)):
            parts.append(_strand(strand, shifts).curves)
            continue
        middle = (strand.start + strand.end) / 2.0
        together = _paired(shifts.height(middle), shifts, lengthen_lines) if mark.kind == LENGTHEN else None
        if together is not None:
            parts.append(shifts.moved(strand.curves, together))
            continue
        folded = mark.kind == LENGTHEN and _folded_away(shifts.height(middle), shifts)
        parts.append(shifts.moved(strand.curves, _before(middle, shifts) if folded else shifts.at(middle)))
    return Path(np.concatenate(parts), mark.path.closed)


def _folded_away(height: float, shifts: Shifts) -> bool:
    """Whether a height lies in what is folded out: a lengthen line there goes on marking the place."""
    return any(strip.height < height <= strip.height - strip.amount for strip in shifts.strips)


def _before(spot: np.ndarray, shifts: Shifts) -> float:
    """By how much the line goes in whose folded part a point lies."""
    height = shifts.height(spot)
    strip = next(s for s in shifts.strips if s.height < height <= s.height - s.amount)
    return shifts.at(strip.height * shifts.way)


def _arrow(mark: Mark, shifts: Shifts) -> Path:
    """An arrow: its shaft from moved end to moved end, its heads as they are with the nearer end."""
    assert mark.path is not None
    curves = np.array(mark.path.curves)
    chords = curves[:, 3] - curves[:, 0]
    sizes = np.hypot(chords[:, 0], chords[:, 1])
    shaft = np.flatnonzero(sizes >= _SHAFT * sizes.max())
    ends = curves[shaft][:, [0, 3]].reshape(-1, 2)
    amounts = [shifts.at(end) for end in ends]
    for number, curve in enumerate(mark.path.curves):
        if number in shaft:
            first, last = shifts.at(curve[0]), shifts.at(curve[3])
            shares = np.linspace(0.0, 1.0, 4)
            curves[number] += ((1 - shares) * first + shares * last)[:, None] * shifts.way
        else:
            away = np.hypot(*(ends - (curve[0] + curve[3]) / 2.0).T)
            curves[number] = shifts.moved(curve, amounts[int(away.argmin())])
    return Path(curves, mark.path.closed)


def _lines(path: Path, shifts: Shifts) -> Path:
    return Path(np.concatenate([_strand(strand, shifts).curves for strand in _strands(path)]), path.closed)


def _strand(strand: Path, shifts: Shifts) -> Path:
    """An unbroken line, from corner to corner."""
    corners = corner_nodes(strand)
    parts = []
    for start, stop in zip(corners, corners[1:]):
        parts.append(let_in(strand.part(start, stop), shifts, strict=False).path.curves)
    return Path(np.concatenate(parts))


# -- darts drawn inside the outline -----------------------------------------------------------


def _dart(path: Path, shifts: Shifts, old: Outline, new: Outline) -> Optional[Path]:
    """A dart drawn as legs that meet in one point: point and angle kept; None where it is no such dart.

    Each line from the point keeps its direction.  Where it ended on the outline it ends
    there again; elsewhere it ends where the cloth around its end has gone.
    """
    tip = dart_point(path)
    if tip is None:
        return None
    goes = shifts.at(tip)
    at = shifts.moved(tip, goes)
    curves = []
    for curve in path.curves:
        near = [float(np.hypot(*(end - tip))) <= _ONE_POINT for end in (curve[0], curve[3])]
        if near[0] == near[1]:
            return None
        leg = curve if near[0] else curve[::-1]
        made = at + (leg - leg[0]) * _share(leg, at, shifts, old, new)
        curves.append(made if near[0] else made[::-1])
    return Path(np.array(curves), path.closed)


def dart_point(path: Path) -> Optional[np.ndarray]:
    """The one point in which all lines of a drawn dart meet, None where there is none."""
    ends = path.curves[:, [0, 3]].reshape(-1, 2)
    for end in ends:
        if int((np.hypot(*(ends - end).T) <= _ONE_POINT).sum()) == len(path) and len(path) > 1:
            return end
    return None


def _share(leg: np.ndarray, tip: np.ndarray, shifts: Shifts, old: Outline, new: Outline) -> float:
    """How many times as long a leg from the point becomes."""
    way = leg[3] - leg[0]
    along = float(way @ shifts.way)
    target = shifts.moved(leg[3], shifts.at(leg[3]))
    plain = float((target - tip) @ shifts.way) / along if abs(along) > 1e-9 else 1.0
    if plain <= 0 or abs(along) < _ACROSS * float(np.hypot(*way)):
        plain = 1.0
    if nearest(old.path, leg[3]).distance > _ON_OUTLINE:
        return plain
    found = []
    for place in crossings_with_line(new.path, tip, way):
        spot = point(new.path.curves[place.curve][None], place.t)[0]
        found.append(float((spot - tip) @ way) / float(way @ way))
    ahead = [share for share in found if share > 0]
    return min(ahead, key=lambda share: abs(share - plain)) if ahead else plain


def level_lines(marks: Sequence[Mark], shifts: Shifts) -> Tuple[Path, ...]:
    """The drawn levels that lie across the axis: where they cross an edge is a landmark."""
    found = []
    for mark in marks:
        if mark.kind != LEVEL or mark.path is None or not len(mark.path):
            continue
        way = mark.path.end - mark.path.start
        size = float(np.hypot(*way))
        if size > 1.0 and abs(float(way @ shifts.way)) < 0.5 * size:
            found.append(mark.path)
    return tuple(found)
