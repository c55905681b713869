"""How much can be folded out beyond a line before something would be folded over.

What is folded out lies beyond the line.  A line half way between two levels goes by half of
what it lets in or takes out, so there the fold may lie half on each side as well: else what
was let in there could not be folded out again.
"""

from typing import List, Mapping, NamedTuple, Sequence, Set, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import bounds
from sewkit.geometry.transform import Transform
from sewkit.pattern.button_rows import spaced_holes
from sewkit.pattern.crossed_darts import darts_of
from sewkit.pattern.dart_cap import PREFIX
from sewkit.pattern.dart_naming import AT_POINT
from sewkit.pattern.mark import BUTTON, BUTTONHOLE, DART, DOT, DRILL, INNER, LENGTHEN, LEVEL, NOTCH, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.outline import Outline, corner_nodes
from sewkit.pattern.piece import Piece
from sewkit.pattern.shifts import ON_LINE, Shifts, Strip

# A fold must not swallow these; arrows, labels and the lines for folding themselves may.
_SMALL = (BUTTON, BUTTONHOLE, DOT, DRILL)
_IN_THE_WAY = (*_SMALL, DART, INNER, LEVEL, NOTCH)
_WORDS = {DART: "dart", DRILL: "drill hole", INNER: "inner line", LEVEL: "level", NOTCH: "notch"}

# An amount may be larger than the room by this (mm): what is left of one is nothing.
_SLACK = 1e-6

# A notch is placed along its edge, which is a little longer or shorter where it was redrawn (mm): less
# than the width of the snip.
_NOTCH_LOOSE = 0.5

# Ends nearer than this are one point (mm): lines drawn apart that meet by rounding.
_ONE_POINT = 0.01

# A line this near to half way between two levels (mm) is half way: the promised accuracy.
_HALF_WAY = 0.01


class Blocked(NamedTuple):
    """A strip that folds out more than there is room for.

    ``what`` is in the way, ``away`` (mm) beyond the line; ``room``: what may be folded out (mm).
    """

    strip: Strip
    what: str
    away: float
    room: float


class _Thing(NamedTuple):
    """Something on a piece, from its least to its greatest height (mm); it may be folded so far (mm)."""

    low: float
    high: float
    what: str
    loose: float = 0.0


class Tight(NamedTuple):
    """Where a strip has not the room it needs, and on which piece and size."""

    piece: str
    size: str
    block: Blocked

    def fault(self) -> InputError:
        """What is in the way, and how much may be folded out."""
        where = "'{}'{}".format(self.piece, " in size {}".format(self.size) if self.size else "")
        return InputError(
            "{} cannot be made {:.1f} mm shorter there: {} lies {:.1f} mm beyond the line and would be "
            "folded over.".format(where, -self.block.strip.amount, self.block.what, self.block.away),
            "Take out {:.1f} mm at most there, or choose another line.".format(self.block.room),
            code="overlap",
        )


def tight(piece: Piece, shifts: Mapping[str, Shifts], buttons: bool = True) -> List[Tight]:
    """The strips of a piece, by size, that have not the room they need, the one with the least first.

    A mark that serves all sizes stays where it is when only some of them change, so it is in
    nobody's way then; named levels go with each size.
    """
    some = "" not in shifts and len(shifts) < len(piece.outlines)
    found = []
    piece = piece._replace(marks=tuple(mark for mark in piece.marks if not _is_of_trued(mark, piece)))
    for size, by in shifts.items():
        marks = [m for m in piece.marks_for(size) if m.size or not some or (m.kind == LEVEL and m.name)]
        here = blocked(piece.outline(size), marks, piece.darts, by, buttons)
        found += [Tight(piece.name, size, block) for block in here]
    return sorted(found, key=lambda one: one.block.room)


def blocked(
    outline: Outline, marks: Sequence[Mark], darts: Sequence[str], shifts: Shifts, buttons: bool = True
) -> List[Blocked]:
    """The strips that fold out more than there is room for up to the next thing.

    ``buttons``: rows of drill holes are spaced anew, so only their ends are in the way.
    """
    if all(strip.amount >= 0 for strip in shifts.strips):
        return []
    things = _marks(outline, marks, shifts, buttons)
    places = _places(marks, shifts)
    found = []
    for strip in shifts.strips:
        if strip.amount >= 0:
            continue
        here = things + _corners(outline, darts, shifts, strip) + _edges(outline, darts, shifts, strip)
        here += _lines(shifts, strip)
        beyond = [thing for thing in here if thing.low - thing.loose > strip.height + ON_LINE]
        if not beyond:
            continue
        first = min(beyond, key=lambda thing: (thing.low + thing.loose, thing))
        away = first.low - strip.height
        room = away
        if _is_half_way(strip.height, places):
            before = [thing for thing in here if thing.high <= strip.height + ON_LINE]
            behind = min((strip.height - thing.high for thing in before), default=0.0)
            # What lay on the line when it was let in may lie so much beside it.
            room = max(away, 2.0 * (min(away, behind) + ON_LINE))
        if -strip.amount > room + first.loose + _SLACK:
            found.append(Blocked(strip, first.what, away, room))
    return found


def _places(marks: Sequence[Mark], shifts: Shifts) -> List[float]:
    """Heights of the lines that words may name."""
    return [
        shifts.height((mark.path.start + mark.path.end) / 2.0)
        for mark in marks
        if mark.kind in (LEVEL, LENGTHEN) and mark.name and mark.path is not None and len(mark.path)
    ]


def _is_half_way(height: float, places: Sequence[float]) -> bool:
    """Whether a line lies half way between two places, and on none."""
    if any(abs(place - height) <= _HALF_WAY for place in places):
        return False
    return any(abs(a + b - 2.0 * height) <= 2.0 * _HALF_WAY for a in places for b in places)


def _lines(shifts: Shifts, strip: Strip) -> List[_Thing]:
    """The other lines, each with what is folded out at it."""
    others = [other for other in shifts.strips if other is not strip]
    return [_Thing(s.height, s.height + max(-s.amount, 0.0), "the next line") for s in others]


def _corners(outline: Outline, darts: Sequence[str], shifts: Shifts, strip: Strip) -> List[_Thing]:
    path = outline.path
    nodes = set(corner_nodes(path)) | {edge.start for edge in outline.edges if not edge.smooth}
    kept = _kept_mouths(outline, darts, shifts, strip)
    found = []
    for node in sorted(nodes - kept):
        beside = [e.name for e in outline.edges if e.start <= node < e.stop or e.stop % len(path) == node]
        dart = next((name for name in beside if name in darts), "")
        corner = "the corner at '{}'".format("' and '".join(dict.fromkeys(beside)))
        what = "the dart '{}'".format(dart) if dart else corner
        height = shifts.height(path.nodes[node])
        found.append(_Thing(height, height, what))
    return found


def _edges(outline: Outline, darts: Sequence[str], shifts: Shifts, strip: Strip) -> List[_Thing]:
    """Edges by their nearest and farthest spots; a curve may reach past its ends."""
    kept = _kept_mouths(outline, darts, shifts, strip)
    count = len(outline.path)
    found = []
    for edge in outline.edges:
        if edge.name in darts or kept & {edge.start, edge.stop % count}:
            continue
        low, high = height_range(outline.path.part(edge.start, edge.stop), shifts)
        found.append(_Thing(low, high, "the edge '{}'".format(edge.name)))
    return found


def height_range(path: Path, shifts: Shifts) -> Tuple[float, float]:
    """The least and the greatest height of a path (mm)."""
    x, y = shifts.axis
    # Turned so that the axis points down the sheet, the box is upright.
    _, low, _, high = bounds(Transform(a=y, b=x, c=-x, d=y).path(path))
    return low, high


def _kept_mouths(outline: Outline, darts: Sequence[str], shifts: Shifts, strip: Strip) -> Set[int]:
    """Nodes at the mouth of a dart that stays with its point, on the line's near side."""
    count = len(outline.path)
    found: Set[int] = set()
    for dart in darts_of(outline, darts, shifts) or ():
        first, second = outline.edges[dart.first], outline.edges[dart.second]
        tip = outline.path.curves[second.start, 0]
        if dart.whole and shifts.height(tip) <= strip.height + ON_LINE:
            found |= {first.start, second.stop % count}
    return found


def _is_of_trued(mark: Mark, piece: Piece) -> bool:
    """Whether a mark follows from a trued dart: it is drawn anew with it, and its corners count."""
    if mark.on is not None:
        return mark.on.edge in piece.darts
    if mark.kind == DRILL:
        return any(mark.name.startswith(dart + AT_POINT) for dart in piece.pressed)
    return mark.kind == INNER and any(mark.name == PREFIX + dart for dart in piece.pressed)


def _marks(outline: Outline, marks: Sequence[Mark], shifts: Shifts, buttons: bool) -> List[_Thing]:
    going = spaced_holes(marks, shifts) if buttons else set()
    found = []
    for number, mark in enumerate(marks):
        if mark.kind not in _IN_THE_WAY or number in going:
            continue
        what = "the {}{}".format(
            _WORDS.get(mark.kind, mark.kind), " '{}'".format(mark.name) if mark.name else ""
        )
        spot = spot_of(outline, mark.on) if mark.kind == NOTCH and mark.on is not None else None
        if spot is not None:
            height = shifts.height(spot.point)
            found.append(_Thing(height, height, what, _NOTCH_LOOSE))
        elif mark.path is not None and len(mark.path):
            found.append(_Thing(*_ends(mark, mark.path, shifts), what))
            if mark.kind in (DART, INNER):
                found += [_Thing(height, height, what) for height in _corner_heights(mark.path, shifts)]
    return found


def _corner_heights(path: Path, shifts: Shifts) -> List[float]:
    """Where the lines of a mark end or have a corner: such a spot has no place within a fold."""
    gaps = [0, *(n for n in range(1, len(path)) if _apart(path, n)), len(path)]
    strands = [path.part(a, b) for a, b in zip(gaps, gaps[1:])]
    return [shifts.height(strand.nodes[node]) for strand in strands for node in corner_nodes(strand)]


def _apart(path: Path, number: int) -> bool:
    """Whether a curve begins elsewhere than the one before it ends."""
    return float(np.hypot(*(path.curves[number, 0] - path.curves[number - 1, 3]))) > _ONE_POINT


def _ends(mark: Mark, path: Path, shifts: Shifts) -> Tuple[float, float]:
    """Where a mark begins and ends along the axis; small ones and lines across count by their middle."""
    if mark.kind in (*_SMALL, LEVEL, NOTCH):
        middle = shifts.height(mark.middle)
        return middle, middle
    heights = [shifts.height(node) for curve in path.curves for node in (curve[0], curve[3])]
    return min(heights), max(heights)
