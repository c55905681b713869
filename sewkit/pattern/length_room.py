"""How much can be folded out beyond a line before something would be folded over."""

from typing import List, NamedTuple, Sequence, Set, Tuple

from sewkit.geometry.path import Path
from sewkit.pattern.crossed_darts import darts_of
from sewkit.pattern.mark import DART, DRILL, INNER, LEVEL, NOTCH, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.outline import Outline, corner_nodes
from sewkit.pattern.shifts import ON_LINE, Shifts, Strip

# A fold must not swallow these; arrows, labels and the lines for folding themselves may.
_IN_THE_WAY = (DART, DRILL, INNER, LEVEL, NOTCH)
_WORDS = {DART: "dart", DRILL: "drill hole", INNER: "inner line", LEVEL: "level", NOTCH: "notch"}

# An amount may be larger than the room by this (mm): what is left of one is nothing.
_SLACK = 1e-6


class Blocked(NamedTuple):
    """A strip that folds out more than there is room for, what is in the way, and the room (mm)."""

    strip: Strip
    what: str
    room: float


def blocked(outline: Outline, marks: Sequence[Mark], darts: Sequence[str], shifts: Shifts) -> List[Blocked]:
    """The strips that fold out more than lies between their line and the next thing beyond it."""
    if all(strip.amount >= 0 for strip in shifts.strips):
        return []
    things = _marks(outline, marks, shifts)
    things += [(strip.height, "the next line") for strip in shifts.strips]
    found = []
    for strip in shifts.strips:
        here = things + _corners(outline, darts, shifts, strip)
        beyond = [thing for thing in here if thing[0] > strip.height + ON_LINE]
        if strip.amount >= 0 or not beyond:
            continue
        height, what = min(beyond)
        if -strip.amount > height - strip.height + _SLACK:
            found.append(Blocked(strip, what, height - strip.height))
    return found


def _corners(outline: Outline, darts: Sequence[str], shifts: Shifts, strip: Strip) -> List[Tuple[float, str]]:
    path = outline.path
    nodes = set(corner_nodes(path)) | {edge.start for edge in outline.edges if not edge.smooth}
    kept = _kept_mouths(outline, darts, shifts, strip)
    found = []
    for node in sorted(nodes - kept):
        beside = [e.name for e in outline.edges if e.start <= node < e.stop or e.stop % len(path) == node]
        dart = next((name for name in beside if name in darts), "")
        corner = "the corner at '{}'".format("' and '".join(dict.fromkeys(beside)))
        what = "the dart '{}'".format(dart) if dart else corner
        found.append((shifts.height(path.nodes[node]), what))
    return found


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


def _marks(outline: Outline, marks: Sequence[Mark], shifts: Shifts) -> List[Tuple[float, str]]:
    found = []
    for mark in marks:
        if mark.kind not in _IN_THE_WAY:
            continue
        what = "the {}{}".format(_WORDS[mark.kind], " '{}'".format(mark.name) if mark.name else "")
        spot = spot_of(outline, mark.on) if mark.kind == NOTCH and mark.on is not None else None
        if spot is not None:
            found.append((shifts.height(spot.point), what))
        elif mark.path is not None and len(mark.path):
            found.append((_near_end(mark.kind, mark.path, mark, shifts), what))
    return found


def _near_end(kind: str, path: Path, mark: Mark, shifts: Shifts) -> float:
    """Where a mark begins along the axis; small ones and lines across count by their middle."""
    if kind in (DRILL, LEVEL, NOTCH):
        return shifts.height(mark.middle)
    return min(shifts.height(node) for curve in path.curves for node in (curve[0], curve[3]))
