"""Slashes: where a piece is cut to be opened or folded out, from an edge to a hinge.

    even(outline, "hem", "waist", 4)              # four, evenly spread over both edges
    at_places(outline, [(on_hem, on_waist)])      # at given places of the edges
    drawn(outline, line)                          # along a line drawn over the piece

The paper is cut to, not through, the hinge; the hinge lies on the seam line, so that the seam
there keeps its length.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings
from sewkit.geometry.length import curve_lengths, distance_of, path_length, place_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, lines, point
from sewkit.geometry.polygon import contains, flatten
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.mark import On
from sewkit.pattern.outline import Outline

# A drawn line may end this far (mm) from the outline and still mean it: nobody hits a line
# exactly by hand, and no seam allowance is as narrow as this.
REACH = 2.0

# A slash shorter than this (mm) has no direction that cloth could show.
_SHORT = 5.0

# Two slashes whose ends lie this near to each other (mm) are one that was given twice: nobody
# cuts a strip narrower than a pencil's width.
_TWICE = 0.3


class Slash(NamedTuple):
    """One cut across a piece.

    Args:
        opening: where it opens, a place on ``outline.path``.
        ending: its hinge, or where it leaves the piece, a place on ``outline.path``.
        line: from the opening to the ending (mm).
    """

    opening: Place
    ending: Place
    line: Path


def even(outline: Outline, edge: str, hinge_edge: str, count: int) -> Tuple[Slash, ...]:
    """``count`` slashes from ``edge`` to ``hinge_edge``, at k/(count + 1) of both lengths as sewn.

    In path order along ``edge``.  ``InputError``: no such edge; both are one; one ends outside.
    """
    _two_edges(outline, edge, hinge_edge)
    opens, hinges = outline.as_sewn(edge), outline.as_sewn(hinge_edge)
    shares = [(number + 1) / (count + 1) for number in range(count)]
    # Round a closed outline two edges run against each other, whatever lies between them.
    return at_places(
        outline, [(On(edge, opens * share), On(hinge_edge, hinges * (1.0 - share))) for share in shares]
    )


def at_places(outline: Outline, places: Sequence[Tuple[On, On]]) -> Tuple[Slash, ...]:
    """Slashes between pairs of places on edges, opening first, distances as sewn (mm)."""
    made = []
    for opens, hinges in places:
        _two_edges(outline, opens.edge, hinges.edge)
        made.append(between(outline, place_on(outline, opens), place_on(outline, hinges)))
    return uncrossed(outline, made)


def between(outline: Outline, opening: Place, ending: Place) -> Slash:
    """The straight slash between two places on the outline's path.

    ``InputError`` where it runs outside the piece, crosses the outline on its way or is no line.
    """
    _closed(outline)
    start, end = (point(outline.path.curves[p.curve][None], p.t)[0] for p in (opening, ending))
    if np.hypot(*(end - start)) < _SHORT:
        raise InputError(
            "A slash {} is shorter than {:g} mm.".format(where(outline, opening), _SHORT),
            "Let it run across the piece.",
            code="line",
        )
    line = Path(lines(start[None], end[None]))
    _inside(outline, line)
    return Slash(opening, ending, line)


def drawn(outline: Outline, line: Path) -> Slash:
    """The slash along a drawn line, which opens at its first end and hinges at its last.

    It runs straight between both places, however the line was drawn.  Ends may lie beside the
    outline by ``REACH`` mm or run beyond it.  ``InputError``: the line misses the piece, ends inside
    it, crosses the outline more often or runs along an edge.
    """
    _closed(outline)
    if not len(line) or path_length(line) < _SHORT:
        raise InputError(
            "The drawn line is too short to cut along.", "Draw it across the piece.", code="line"
        )
    first, last = (nearest(outline.path, end) for end in (line.start, line.end))
    met = crossings(outline.path, line)
    inner = [c for c in met if min(np.hypot(*(c.point - n.point)) for n in (first, last)) > REACH]
    opening = first.place if first.distance <= REACH else _beyond(outline, line.start, met, first.point, 0)
    ending = last.place if last.distance <= REACH else _beyond(outline, line.end, met, last.point, -1)
    if opening is None or ending is None:
        raise _misses(outline, line)
    beyond = [p for p, n in ((opening, first), (ending, last)) if n.distance > REACH]
    if len(inner) > len(beyond):
        raise InputError(
            "The drawn line crosses the outline more than once on its way over the piece.",
            "Draw a line that enters the piece once and leaves it once.",
            code="line",
        )
    return between(outline, opening, ending)


def place_on(outline: Outline, on: On) -> Place:
    """The place on the outline's path of a place on an edge (mm, as sewn); past the end is the end."""
    if on.edge not in outline.names:
        outline.edge_path(on.edge)  # says which edges there are
    distance = outline.as_sewn(on.edge) - on.distance if on.from_end else on.distance
    runs = [edge for edge in outline.edges if edge.name == on.edge]
    for edge in runs:
        run = outline.path.part(edge.start, edge.stop)
        length = float(curve_lengths(run.curves).sum())
        if distance <= length + SAME_POINT or edge is runs[-1]:
            place = place_at(run, min(max(distance, 0.0), length))
            return Place(edge.start + place.curve, place.t)
        distance -= length
    raise ValueError("an edge has at least one run")


def lies_over(outline: Outline, line: Path) -> bool:
    """Whether a drawn line crosses an outline, or ends at it within ``REACH``."""
    if not len(line):
        return False
    ends = (line.start, line.end)
    return bool(crossings(outline.path, line)) or any(
        nearest(outline.path, end).distance <= REACH for end in ends
    )


def where(outline: Outline, place: Place) -> str:
    """The spot in words: how far (mm, as sewn) it is from the upper or left end of which edge."""
    name, along = _passed(outline, place)
    runs = outline.runs(name)
    way = runs[-1].end - runs[0].start
    across = abs(way[0]) > abs(way[1])
    if np.hypot(*way) <= SAME_POINT:
        return "{:.0f} mm along {}".format(along, quoted(outline, name))
    if way[0 if across else 1] < 0:
        along = outline.as_sewn(name) - along
    end = "left" if across else "upper"
    return "{:.0f} mm from the {} end of {}".format(along, end, quoted(outline, name))


def _passed(outline: Outline, place: Place) -> Tuple[str, float]:
    """The edge on which a place lies, and how far along it (mm, as sewn)."""
    name, along = edge_at(outline, place), 0.0
    for edge in outline.edges:
        if edge.name != name:
            continue
        if edge.start <= place.curve < edge.stop:
            return name, along + distance_of(
                outline.path.part(edge.start, edge.stop), Place(place.curve - edge.start, place.t)
            )
        along += path_length(outline.path.part(edge.start, edge.stop))
    raise ValueError("a place lies on an edge")


def edge_at(outline: Outline, place: Place) -> str:
    """The name of the edge on which a place lies."""
    return next(e.name for e in outline.edges if e.start <= place.curve < e.stop)


def edges_at(outline: Outline, place: Place) -> Tuple[str, ...]:
    """The same, and the edge beside it where the place is their common end."""
    number = next(i for i, e in enumerate(outline.edges) if e.start <= place.curve < e.stop)
    edge = outline.edges[number]
    spot = point(outline.path.curves[place.curve][None], place.t)[0]
    names = [edge.name]
    for node, beside in ((edge.start, number - 1), (edge.stop, (number + 1) % len(outline.edges))):
        end = outline.path.nodes[node % len(outline.path)]
        if np.hypot(*(end - spot)) <= SAME_POINT:
            names.append(outline.edges[beside].name)
    return tuple(dict.fromkeys(names))


def strays(slash: Slash, line: Path) -> float:
    """How far (mm) the line along which a slash was drawn strays from it between its two ends."""
    way = slash.line.end - slash.line.start
    size = float(np.hypot(*way))
    off = flatten(line) - slash.line.start
    along = off @ way / size
    between_ends = (along >= 0.0) & (along <= size)
    away = np.abs(off[:, 0] * way[1] - off[:, 1] * way[0]) / size
    return float(away[between_ends].max(initial=0.0))


def uncrossed(outline: Outline, slashes: Sequence[Slash]) -> Tuple[Slash, ...]:
    """The same slashes; ``InputError`` where two are one or cross.  They may share a hinge.

    Lines inside one closed outline cross when, on the way round, their ends take turns.
    """
    spots = [sorted(place.curve + place.t for place in (s.opening, s.ending)) for s in slashes]
    for number, (low, high) in enumerate(spots):
        for earlier, (start, stop) in enumerate(spots[:number]):
            first, second = slashes[earlier], slashes[number]
            if _one_line(first, second):
                raise InputError(
                    "The slash {} is given twice.".format(where(outline, first.opening)),
                    "Leave one of the two out.",
                    code="line",
                )
            if np.hypot(*(first.line.start - second.line.start)) <= _TWICE:
                raise InputError(
                    "Two slashes open at one place, {}.".format(where(outline, first.opening)),
                    "Let them open side by side; they may meet at the hinge.",
                    code="line",
                )
            if start < low < stop < high or low < start < high < stop:
                raise InputError(
                    "Two slashes cross each other: the one that opens {} and the one that opens {}.".format(
                        where(outline, first.opening), where(outline, second.opening)
                    ),
                    "Draw them side by side; they may meet at the hinge.",
                    code="line",
                )
    return tuple(slashes)


def _one_line(first: Slash, second: Slash) -> bool:
    """Whether two slashes are one, whichever way each runs."""
    ends, others = (np.array([slash.line.start, slash.line.end]) for slash in (first, second))
    return any(np.hypot(*(ends - turned).T).max() <= _TWICE for turned in (others, others[::-1]))


def _two_edges(outline: Outline, edge: str, hinge_edge: str) -> None:
    for name in (edge, hinge_edge):
        if name not in outline.names:
            raise InputError(
                "There is no edge called '{}'.".format(name),
                "The edges are: {}.".format(", ".join(outline.names)),
                code="name",
            )
    if edge == hinge_edge:
        raise InputError(
            "The edge '{}' cannot open and be the hinge as well.".format(edge),
            "Name the edge opposite for the hinge.",
            code="pivot",
        )


def _closed(outline: Outline) -> None:
    if not outline.path.closed:
        raise InputError(
            "The outline is open, so it has no inside to cut across.", "Close it first.", code="open"
        )


def _inside(outline: Outline, line: Path) -> None:
    """``InputError`` unless a straight line runs through the piece from edge to edge."""
    met = crossings(outline.path, line)
    away = [c for c in met if min(np.hypot(*(c.point - end)) for end in (line.start, line.end)) > 0.01]
    samples = point(line.curves[0][None], np.array([[0.02, 0.25, 0.5, 0.75, 0.98]]))[0]
    along = [nearest(outline.path, spot).distance <= 0.01 for spot in samples]
    if all(along):
        raise InputError(
            "The slash runs along an edge instead of across the piece.",
            "Let it end on another edge.",
            code="line",
        )
    if away or not contains(outline.path, samples[~np.array(along)]).all():
        names = dict.fromkeys(edge_at(outline, one.first) for one in away)
        crossed = " and ".join(quoted(outline, name) for name in names)
        raise InputError(
            "The slash leaves the piece on its way from ({:.0f}, {:.0f}) to ({:.0f}, {:.0f}) mm{}.".format(
                *line.start, *line.end, ", across " + crossed if crossed else ""
            ),
            "Choose two places that see each other across the piece.",
            code="line",
        )


def _beyond(
    outline: Outline, end: np.ndarray, met: Sequence, near: np.ndarray, which: int
) -> Optional[Place]:
    """Where a line that runs beyond the outline crosses it; None where it does not."""
    if contains(outline.path, [end])[0]:
        raise InputError(
            "The drawn line ends inside the piece, {:.0f} mm from its outline.".format(
                np.hypot(*(end - near))
            ),
            "Draw it on to the seam line: a hinge inside the piece would leave a hole.",
            code="pivot",
        )
    inward = sorted(met, key=lambda c: (c.second.curve, c.second.t))
    return inward[which].first if inward else None


def _misses(outline: Outline, line: Path) -> InputError:
    gap = min(nearest(outline.path, spot).distance for spot in line.nodes)
    return InputError(
        "The drawn line misses the piece by {:.0f} mm.".format(gap), "Draw it across the piece.", code="line"
    )


def directions(slashes: Sequence[Slash]) -> List[np.ndarray]:
    """Unit vectors (2,) from each slash's ending to its opening."""
    ways = [slash.line.start - slash.line.end for slash in slashes]
    return [way / np.hypot(*way) for way in ways]
