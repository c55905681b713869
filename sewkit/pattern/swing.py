"""Swinging an outline from one size line to another.

The outline is a family: the same edges in two sizes.  Along the edges that swing, a
weight runs softly from 0 (the first size) to 1 (the second); it is 0 on everything
above and 1 on everything below.  Where the weight is 0 or 1 the line is exactly its
parent.
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.between import Ramp, along_axis, along_edge
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import distance_of, path_length, point_at
from sewkit.geometry.path import Path
from sewkit.pattern.mark import LEVEL, NOTCH, Mark
from sewkit.pattern.notch import notches_on, redrawn
from sewkit.pattern.outline import Outline, from_edges

# A weight that is the same everywhere; only its height is set.
_EVERY_SHARE = Ramp(0.0, 1.0)


class Window(NamedTuple):
    """Where an edge swings: distances (mm) from its meeting end on the first size.

    ``from_end``: the meeting end is the edge's end in path order, not its start.
    """

    start: float
    stop: float
    from_end: bool = False


class Band(NamedTuple):
    """The same window as heights along the grain (mm), for all other edges.

    ``axis`` is a unit vector that points from the first size's side to the second's.
    """

    axis: Tuple[float, float]
    start: float
    stop: float

    def height(self, spot: np.ndarray) -> float:
        """How far a point lies along the axis."""
        return float(np.asarray(spot) @ np.array(self.axis))

    def weight(self, spot: np.ndarray) -> float:
        """The weight at a point: soft from 0 to 1 within the band."""
        return float(Ramp(self.start, self.stop).weight(self.height(spot)))


def swing(
    first: Outline,
    second: Outline,
    windows: Mapping[str, Window],
    band: Band,
    size: str,
    pairs: Mapping[str, Sequence[Tuple[float, float]]] = {},
    by_axis: bool = False,
) -> Outline:
    """The outline that leaves ``first`` and arrives at ``second``.

    Args:
        windows: for the edges that swing; the others are copied, or follow the band.
        pairs: for each edge, distances from its start on both lines that belong
            together, such as notches and levels.
        by_axis: measure and match along the band's axis instead of along the edge.

    Both outlines must have the same edges in the same order (``same_edges``).
    """
    weights = _corner_weights(first, second, windows, band)
    passed: Dict[str, float] = {}
    parts = []
    for number, (edge, other) in enumerate(zip(first.edges, second.edges)):
        a = first.path.part(edge.start, edge.stop)
        b = second.path.part(other.start, other.stop)
        ends = (weights[number], weights[(number + 1) % len(weights)])
        if edge.name in windows:
            window = _run_window(windows[edge.name], first, edge.name, a, passed)
            marks = pairs.get(edge.name, ()) if len(first.runs(edge.name)) == 1 else ()
            made = _swung(a, b, window, band if by_axis else None, marks)
        else:
            made = _following(a, b, ends, band)
        parts.append((edge.name, made, edge.smooth))
    return from_edges(size, tuple(parts), first.path.closed)


def mixed(first: Outline, second: Outline, share: float, size: str) -> Outline:
    """The exact size in between: ``share`` of the way from ``first`` to ``second``."""
    if share == 1.0:
        return second._replace(size=size, key="")
    parts = []
    for edge, other in zip(first.edges, second.edges):
        a = first.path.part(edge.start, edge.stop)
        b = second.path.part(other.start, other.stop)
        parts.append((edge.name, _constant(a, b, share), edge.smooth))
    return from_edges(size, tuple(parts), first.path.closed)


def same_edges(first: Outline, second: Outline, piece: str) -> None:
    """``InputError`` unless both outlines have the same edges in the same order."""
    mine, theirs = ([edge.name for edge in outline.edges] for outline in (first, second))
    if mine != theirs or first.path.closed != second.path.closed:
        raise InputError(
            "'{}' has other edges in one size than in the other: {} and {}.".format(
                piece, ", ".join(mine), ", ".join(theirs)
            ),
            "Both lines need the same corners; name the edges of both sizes alike.",
            code="corners",
        )


def level_distance(outline: Outline, edge: str, level: Mark, from_end: bool) -> Optional[float]:
    """How far (mm, as sewn) from an edge's meeting end a level line crosses it."""
    if level.path is None or not len(level.path):
        return None
    direction = level.path.end - level.path.start
    at = 0.0
    for run in outline.runs(edge):
        found = crossings_with_line(run, level.path.start, direction)
        if found:
            distance = at + distance_of(run, found[0])
            return outline.as_sewn(edge) - distance if from_end else distance
        at += path_length(run)
    return None


def corresponding(
    edge: str, first: Outline, second: Outline, first_marks: Sequence[Mark], second_marks: Sequence[Mark]
) -> List[Tuple[float, float]]:
    """Distances from an edge's start on both sizes that belong together, in order.

    They come from notches of one name and from levels that cross the edge.
    """
    there = dict(notches_on(tuple(second_marks), second, edge))
    found = [(d, there[n]) for n, d in notches_on(tuple(first_marks), first, edge) if n and n in there]
    levels = {mark.name: mark for mark in second_marks if mark.kind == LEVEL and mark.name}
    for mark in first_marks:
        if mark.kind == LEVEL and mark.name in levels:
            pair = (
                level_distance(first, edge, mark, False),
                level_distance(second, edge, levels[mark.name], False),
            )
            if pair[0] is not None and pair[1] is not None:
                found.append(pair)  # type: ignore[arg-type]
    return _rising(found, first.as_sewn(edge), second.as_sewn(edge))


def _rising(pairs: Sequence[Tuple[float, float]], length: float, other: float) -> List[Tuple[float, float]]:
    """Pairs well inside both edges that rise together; others would fold the line."""
    kept: List[Tuple[float, float]] = []
    for a, b in sorted(pairs):
        last = kept[-1] if kept else (0.0, 0.0)
        if a - last[0] > 1.0 and b - last[1] > 1.0 and length - a > 1.0 and other - b > 1.0:
            kept.append((a, b))
    return kept


# -- the parts --------------------------------------------------------------------------


def _corner_weights(
    first: Outline, second: Outline, windows: Mapping[str, Window], band: Band
) -> List[float]:
    """The weight at the start of every edge; an open outline has one more for its end."""
    weights: List[float] = []
    for edge, other in zip(first.edges, second.edges):
        middle = (first.path.curves[edge.start, 0] + second.path.curves[other.start, 0]) / 2
        weights.append(1.0 if band.weight(middle) >= 0.5 else 0.0)
    if not first.path.closed:
        middle = (first.path.end + second.path.end) / 2
        weights.append(1.0 if band.weight(middle) >= 0.5 else 0.0)
    passed: Dict[str, float] = {}
    last: Dict[str, int] = {}
    for number, edge in enumerate(first.edges):
        window = windows.get(edge.name)
        if window is None:
            continue
        length = path_length(first.path.part(edge.start, edge.stop))
        low = passed.get(edge.name, 0.0)
        passed[edge.name] = low + length
        whole = first.as_sewn(edge.name)
        for at, distance in ((number, low), (number + 1, low + length)):
            reading = whole - distance if window.from_end else distance
            weights[at % len(weights)] = float(Ramp(window.start, window.stop).weight(reading))
        # A dart that interrupts the edge moves as its mouth does, and keeps its angle nearly.
        for inside in range(last.get(edge.name, number) + 1, number):
            weights[inside] = weights[number]
        last[edge.name] = number
    return _with_whole_darts(first, weights)


def _with_whole_darts(outline: Outline, weights: List[float]) -> List[float]:
    """The weights with the point of each dart going with both ends of its mouth, so legs stay equal."""
    names = [edge.name for edge in outline.edges]
    count = len(names)
    for number in range(count) if outline.path.closed and count > 3 else ():
        before, first, second, after = (names[(number + step) % count] for step in range(4))
        ends = weights[(number + 1) % count], weights[(number + 3) % count]
        if before == after != first == second and ends[0] == ends[1]:
            weights[(number + 2) % count] = ends[0]
    return weights


def _run_window(window: Window, outline: Outline, name: str, run: Path, passed: Dict[str, float]) -> Window:
    """The window as seen from one run of an edge that a dart may interrupt."""
    before = passed.get(name, 0.0)
    length = path_length(run)
    passed[name] = before + length
    if window.from_end:
        before = outline.as_sewn(name) - before - length
    return Window(window.start - before, window.stop - before, window.from_end)


def _swung(
    a: Path, b: Path, window: Window, band: Optional[Band], pairs: Sequence[Tuple[float, float]]
) -> Path:
    if window.from_end:
        lengths = path_length(a), path_length(b)
        turned = sorted((lengths[0] - x, lengths[1] - y) for x, y in pairs)
        return _swung(a.reverse(), b.reverse(), window._replace(from_end=False), band, turned).reverse()
    if band is None:
        return along_edge(a, b, Ramp(window.start, window.stop), pairs)
    length = path_length(a)
    heights = [band.height(point_at(a, min(max(d, 0.0), length))) for d in (window.start, window.stop)]
    return along_axis(a, b, Ramp(*heights), band.axis)


def _following(a: Path, b: Path, ends: Tuple[float, float], band: Band) -> Path:
    """An edge that does not swing: copied, or carried across the band."""
    if ends[0] == ends[1]:
        return _constant(a, b, ends[0])
    if ends[0] > ends[1]:
        return _following(a.reverse(), b.reverse(), (ends[1], ends[0]), band).reverse()
    length = path_length(a)
    across = np.array([-band.axis[1], band.axis[0]])
    reached = []
    for height, missing in ((band.start, 0.0), (band.stop, length)):
        found = crossings_with_line(a, np.array(band.axis) * height, across)
        reached.append(distance_of(a, found[0]) if found else missing)
    start, stop = reached
    if stop - start < 1.0:
        start, stop = 0.0, length
    return along_edge(a, b, Ramp(start, stop, ends[0], ends[1]))


def _constant(a: Path, b: Path, weight: float) -> Path:
    if weight in (0.0, 1.0):
        return b if weight else a
    return along_edge(a, b, _EVERY_SHARE._replace(low=weight, high=weight))


# -- marks ------------------------------------------------------------------------------


class _Swung(NamedTuple):
    """What the marks of one piece are moved by."""

    first: Outline
    result: Outline
    windows: Mapping[str, Window]
    band: Band
    share: float


def swung_marks(
    first: Outline,
    second: Outline,
    marks: Sequence[Mark],
    result: Outline,
    windows: Mapping[str, Window],
    band: Band,
    share: float = 1.0,
) -> List[Mark]:
    """The marks of the new line; those that serve all sizes are left where they are.

    A notch on an edge that swings keeps its distance from the meeting end.  Other marks
    move as the outline does at their height, ``share`` of the way.  A notch that finds no
    room on the new line is left out; so is writing, which tells of a size that this is not.
    """
    by = _Swung(first, result, windows, band, share)
    theirs = {(m.kind, m.name): m for m in marks if m.size == second.size and m.size}
    made = []
    for mark in marks:
        if mark.size == first.size and mark.size and not mark.text:
            other = theirs.get((mark.kind, mark.name))
            is_notch = mark.kind == NOTCH and mark.on is not None
            made.append(_swung_notch(mark, other, by) if is_notch else _swung_mark(mark, other, by))
    return [mark._replace(size=result.size, key="") for mark in made if mark is not None]


def _swung_notch(mark: Mark, other: Optional[Mark], by: _Swung) -> Optional[Mark]:
    on = mark.on
    if on is None:
        return mark
    window = by.windows.get(on.edge)
    if window is not None:
        near = by.first.as_sewn(on.edge) - on.distance if on.from_end != window.from_end else on.distance
        return redrawn(mark._replace(on=on._replace(distance=near, from_end=window.from_end)), by.result)
    reaches = mark.path is not None and len(mark.path) and by.band.weight(mark.middle) * by.share >= 0.5
    return redrawn(other if reaches and other is not None and other.on is not None else mark, by.result)


def _swung_mark(mark: Mark, other: Optional[Mark], by: _Swung) -> Mark:
    if other is None or mark.path is None or other.path is None or len(mark.path) != len(other.path):
        return mark
    if not len(mark.path):
        return mark
    weight = by.share * by.band.weight((mark.middle + other.middle) / 2)
    curves = mark.path.curves + weight * (other.path.curves - mark.path.curves)
    return mark._replace(path=Path(curves, mark.path.closed))
