"""One line from end to end, with strips let in where it crosses them.

A straight stretch stays one: it goes from its one end to its other, moved one.  A curved one
is stretched between the nearest landmarks on both sides of the strip: the line's ends and
corners, where levels cross it, where a straight stretch begins or ends.  All the rest only
goes along.
"""

from typing import Iterable, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import distance_of, path_length
from sewkit.geometry.path import Path, Place, point, split_at, turns
from sewkit.geometry.stretch import drawn_straight, stretched
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.shifts import ON_LINE, Shifts, Strip

# Two straight curves that turn by less are one straight stretch (degrees): over a metre,
# under a millimetre.
_ONE_STRAIGHT = 0.05

# So many straight stretches in a row, without a corner, are a curve drawn in short lines;
# each by itself would be turned far out of its neighbours' directions.
_SHORT_LINES = 4

# A landmark this near to a node is that node (mm): the promised accuracy.
_AT_NODE = 0.01


class Crossed(NamedTuple):
    """A strip that a line crosses, and how far along the line (mm) it does.

    ``back``: the line comes from beyond the strip there.
    """

    strip: Strip
    at: float
    back: bool = False


class LetIn(NamedTuple):
    """The line made anew, and the strips it crosses in order along it."""

    path: Path
    crossed: Tuple[Crossed, ...]


class TwiceCrossed(ValueError):
    """A line crosses a strip more than once; ``along``: it runs along the strip."""

    def __init__(self, strip: Strip, along: bool) -> None:
        super().__init__("the line runs along the strip" if along else "the line crosses the strip twice")
        self.strip, self.along = strip, along


def let_in(
    run: Path,
    shifts: Shifts,
    levels: Iterable[Path] = (),
    ends: Tuple[Optional[float], Optional[float]] = (None, None),
    strict: bool = True,
) -> LetIn:
    """An open path with strips let in.

    Args:
        levels: drawn level lines; where they cross the path is a landmark.
        ends: by how much the path's start and end go (mm), where others decide that.
        strict: ``TwiceCrossed`` where the path crosses a strip twice or runs along it;
            otherwise all its nodes are landmarks then.

    ``ValueError`` where a span would have nothing left.
    """
    crossed, broken = [], False
    for strip in shifts.strips:
        try:
            crossed += _crossing(run, shifts, strip)
        except TwiceCrossed:
            if strict:
                raise
            broken = True
    ours = [shifts.at(end) if given is None else given for end, given in zip((run.start, run.end), ends)]
    if not crossed and not broken and ours[0] == ours[1]:
        return LetIn(Path(shifts.moved(run.curves, ours[0])), ())
    path, marks = _with_landmarks(run, shifts, levels)
    if broken:
        marks = list(range(len(path) + 1))
    amounts = [shifts.at(path.curves[node, 0]) for node in marks[:-1]] + [0.0]
    amounts[0], amounts[-1] = ours
    # What others decided about an end holds for the landmarks on its side of the strip.
    held = [n for n, by in enumerate(amounts) if min(ours) <= by <= max(ours) or ends == (None, None)]
    marks, amounts = [marks[n] for n in held], [amounts[n] for n in held]
    return LetIn(_spans(path, shifts, marks, amounts), tuple(sorted(crossed, key=lambda c: c.at)))


def _spans(path: Path, shifts: Shifts, marks: Sequence[int], amounts: Sequence[float]) -> Path:
    parts = []
    for start, stop, first, last in zip(marks, marks[1:], amounts, amounts[1:]):
        part = path.part(start, stop)
        if first != last:
            part = stretched(part, (last - first) * shifts.way)
        curves = shifts.moved(part.curves, first)
        # The next span begins exactly there.
        curves[-1, 3] = shifts.moved(path.curves[stop - 1, 3], last)
        parts.append(curves)
    return Path(np.concatenate(parts))


def _crossing(run: Path, shifts: Shifts, strip: Strip) -> List[Crossed]:
    """Where the path goes over to the strip's other side: once, or not at all."""
    across = np.array([-shifts.way[1], shifts.way[0]])
    found = [place.curve + place.t for place in crossings_with_line(run, strip.height * shifts.way, across)]
    cuts = sorted({0.0, float(len(run)), *found})
    sides: List[bool] = [shifts.height(run.start) > strip.height + ON_LINE]
    changes: List[float] = []
    for low, high in zip(cuts, cuts[1:]):
        aside = shifts.height(_spot(run, (low + high) / 2)) - strip.height
        if abs(aside) <= ON_LINE:
            if np.hypot(*(_spot(run, high) - _spot(run, low))) > 1.0:
                raise TwiceCrossed(strip, True)
            continue
        if (aside > 0) != sides[-1]:
            sides.append(aside > 0)
            changes.append(low)
    beyond = shifts.height(run.end) > strip.height + ON_LINE
    if beyond != sides[-1]:
        changes.append(float(len(run)))
    if len(changes) > 1:
        raise TwiceCrossed(strip, False)
    return [Crossed(strip, distance_of(run, _place(run, at)), sides[0]) for at in changes]


def _place(run: Path, at: float) -> Place:
    number = min(int(at), len(run) - 1)
    return Place(number, at - number)


def _spot(run: Path, at: float) -> np.ndarray:
    number, t = _place(run, at)
    return point(run.curves[number][None], t)[0]


# -- landmarks --------------------------------------------------------------------------


def _with_landmarks(run: Path, shifts: Shifts, levels: Iterable[Path]) -> Tuple[Path, List[int]]:
    """The path with a node at every landmark, and the landmarks' nodes in order."""
    straight = straight_stretches(run)
    places = [
        place
        for place in _level_places(run, levels)
        if not _within(place, straight) and not _at_strip(run, place, shifts)
    ]
    path = split_at(run, places)
    wanted = {0, len(run)} | {node for stretch in straight for node in stretch}
    wanted |= (
        {int(i) + 1 for i in np.flatnonzero(np.abs(turns(run)) > CORNER_TURN)} if len(run) > 1 else set()
    )
    spots = [run.nodes[node] for node in wanted] + [_spot(run, p.curve + p.t) for p in places]
    # Where two nodes lie on each other, either will do, but the ends are ends.
    away = np.array([np.hypot(*(path.nodes - spot).T) for spot in spots])
    return path, sorted({0, len(path)} | {int(node) for node in away.argmin(axis=1)})


def _level_places(run: Path, levels: Iterable[Path]) -> List[Place]:
    """Where levels cross the path, put on the next node where that is near."""
    places: List[Place] = []
    for level in levels:
        for place in crossings_with_line(run, level.start, level.end - level.start):
            nodes = run.nodes
            away = np.hypot(*(nodes - _spot(run, place.curve + place.t)).T)
            node = int(away.argmin())
            if away[node] <= _AT_NODE:
                place = Place(node, 0.0) if node < len(run) else Place(node - 1, 1.0)
            places.append(place)
    return places


def _at_strip(run: Path, place: Place, shifts: Shifts) -> bool:
    """Whether a level is the very line of a strip, which cannot bound what is drawn anew there."""
    height = shifts.height(_spot(run, place.curve + place.t))
    return any(abs(height - strip.height) <= _AT_NODE for strip in shifts.strips)


def _within(place: Place, stretches: Sequence[Tuple[int, int]]) -> bool:
    at = place.curve + place.t
    return any(start < at < stop for start, stop in stretches)


def straight_stretches(run: Path) -> List[Tuple[int, int]]:
    """The straight stretches of an open path: numbers of their first and last node.

    A curve drawn in many short lines has none.
    """
    straight = drawn_straight(run.curves)
    bends = (
        np.concatenate([[180.0], np.abs(turns(run)), [180.0]]) if len(run) > 1 else np.array([180.0, 180.0])
    )
    stretches: List[Tuple[int, int]] = []
    series: List[int] = []
    for number in np.flatnonzero(straight):
        number = int(number)
        before = bool(stretches) and stretches[-1][1] == number
        if before and bends[number] <= _ONE_STRAIGHT:
            stretches[-1] = (stretches[-1][0], number + 1)
            continue
        goes_on = before and bends[number] <= CORNER_TURN
        stretches.append((number, number + 1))
        series.append(series[-1] if goes_on else len(stretches) - 1)
    return [s for s, first in zip(stretches, series) if series.count(first) < _SHORT_LINES]


def gains_of(run: Path, made: Path, crossed: Sequence[Crossed]) -> List[float]:
    """By how much the path has become longer at each strip (mm).

    What slant and redrawing change is shared by size, as longer and shorter strips may sum to
    next to nothing.
    """
    sums = sum(abs(c.strip.amount) for c in crossed)
    rest = path_length(made) - path_length(run) - sum(c.strip.amount for c in crossed)
    return [c.strip.amount + rest * abs(c.strip.amount) / sums for c in crossed]
