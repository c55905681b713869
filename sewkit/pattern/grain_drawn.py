"""A grain line drawn through a piece: parallel to an edge or turned from it, clear of other marks.

    way = way_along(outline, "centre-front")
    drawn = grain_line((outline,), others, way, 0.7, BOTH_WAYS)

An arrow with a head at both ends says that the piece may lie either way up, one with a head at one
end that it lies one way only, as cloth with a nap asks (NIMI, Dress Making Trade Theory, p. 32).
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path, is_line, lines
from sewkit.geometry.polygon import flatten
from sewkit.pattern.grain_copy import centre_of
from sewkit.pattern.label_room import dense, segments
from sewkit.pattern.outline import Outline

BOTH_WAYS, ONE_WAY = "both-ways", "one-way"

# A grain line runs through so much of its piece at least (common practice, no source).
LEAST = 0.6

# The heads of the arrow: how long, and half as wide (mm).
_HEAD, _HALF = 10.0, 3.5

# It keeps so far from the outline at its ends, and from every other mark (mm).
_CLEAR, _BESIDE = 5.0, 6.0

# So many places beside each other are tried, and so many along each of them.
_PLACES, _SLIDES = 61, 7

# Outlines and marks are taken as chords that stay so near (mm).
_CHORD = 0.5

# A straight part of an edge counts as its direction if it is this part of the edge, at least.
_STRAIGHT_PART = 0.15

# A bend of less than this over the whole edge (mm) cannot be seen.
_SEEN = 0.5


class Way(NamedTuple):
    """A unit direction (2,); ``bent``: it is that of an edge which is not straight throughout."""

    along: np.ndarray
    bent: bool = False


class Drawn(NamedTuple):
    """A grain line.

    Args:
        path: shaft and heads (mm).
        length: of the shaft (mm); ``share``: of the piece's length along it, that of the smallest size.
        crossed: whether it runs over another mark.
    """

    path: Path
    length: float
    share: float
    crossed: bool


def way_along(outline: Outline, edge: str) -> Way:
    """The direction of an edge: of its longest straight part, or from end to end where it has none.

    ``InputError`` where there is no such edge or it leads nowhere.
    """
    if edge not in outline.names:
        raise InputError(
            "There is no edge called '{}'.".format(edge),
            "The edges are: {}.".format(", ".join(outline.names)),
            code="name",
        )
    runs = outline.runs(edge)
    chords = [chord for run in runs for chord in _straight_parts(run)]
    sizes = [float(np.hypot(*chord)) for chord in chords]
    whole = outline.as_sewn(edge)
    if sizes and max(sizes) >= _STRAIGHT_PART * whole:
        way = chords[int(np.argmax(sizes))]
    else:
        way = runs[-1].end - runs[0].start
    size = float(np.hypot(*way))
    if size < _SEEN:
        raise InputError("The edge '{}' has no direction.".format(edge), "Name another one.", code="grain")
    way = way / size
    nodes = np.concatenate([flatten(run, _CHORD) for run in runs]) @ np.array([-way[1], way[0]])
    return Way(way, bool(np.ptp(nodes) > _SEEN))


def _straight_parts(run: Path) -> List[np.ndarray]:
    """From end to end of each straight part of a line, (2,) mm."""
    found: List[np.ndarray] = []
    last: Optional[np.ndarray] = None
    for curve, straight in zip(run.curves, is_line(run.curves)):
        chord = curve[3] - curve[0]
        size = float(np.hypot(*chord))
        if not straight or size == 0:
            last = None
        elif (
            last is not None
            and abs(last @ np.array([-chord[1], chord[0]])) < 1e-6 * size
            and last @ chord > 0
        ):
            found[-1] = found[-1] + chord
        else:
            found.append(chord)
            last = chord / size
    return found


def turned(way: np.ndarray, degrees: float) -> np.ndarray:
    """A direction turned clockwise on the sheet."""
    angle = np.radians(degrees)
    return np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]]) @ way


def grain_line(
    outlines: Sequence[Outline], others: Sequence[Path], way: np.ndarray, share: float, form: str
) -> Optional[Drawn]:
    """A grain line inside all outlines, near their middle and clear of other marks where that can be.

    Args:
        way: unit direction (2,); one head points there.
        share: of the piece's length that the arrow takes up, where there is so much room; one arrow
            for several sizes lies inside the smallest and is measured by it.

    None where the outlines have nothing in common.
    """
    frame = np.array([way, [-way[1], way[0]]]).T
    edges = [flatten(outline.path, _CHORD) @ frame for outline in outlines]
    longest = min(float(np.ptp(edge[:, 0])) for edge in edges)
    marks = dense(segments(others), _BESIDE) @ frame
    low, high = max(e[:, 1].min() for e in edges), min(e[:, 1].max() for e in edges)
    middle = np.mean([centre_of(outline.path) for outline in outlines], axis=0) @ frame
    best: Optional[Tuple[Tuple[float, ...], float, float, float]] = None
    for beside in np.linspace(low, high, _PLACES + 2)[1:-1]:
        for start, stop in _inside(edges, float(beside)):
            for first, last in _laid(start, stop, longest, share):
                short = max(LEAST * longest - (last - first), 0.0)
                hit = float(_hits(marks, beside, first, last))
                away = abs(beside - middle[1]) + abs((first + last) / 2.0 - middle[0])
                wanting = max(share - (last - first) / longest, 0.0)
                rank = (round(short, 3), hit, round(wanting, 1), round(away, 3))
                best = min(filter(None, [best, (rank, float(beside), first, last)]), key=lambda one: one[0])
    if best is None:
        return None
    rank, beside, first, last = best
    ends = [frame @ np.array([at, beside]) for at in (first, last)]
    length = last - first
    return Drawn(arrow(ends[0], ends[1], form), length, length / longest, rank[1] > 0)


def arrow(start: np.ndarray, end: np.ndarray, form: str) -> Path:
    """The shaft from start to end, then its heads: at the end, and at the start unless it is one way."""
    way = (end - start) / np.hypot(*(end - start))
    head = min(_HEAD, float(np.hypot(*(end - start))) / 3.0)
    aside = _HALF / _HEAD * head * np.array([-way[1], way[0]])
    starts, stops = [start], [end]
    for tip, back in ((end, -way), (start, way))[: 1 if form == ONE_WAY else 2]:
        barbs = [tip + head * back + sign * aside for sign in (1.0, -1.0)]
        starts += [barbs[0], tip]
        stops += [tip, barbs[1]]
    return Path(lines(np.array(starts), np.array(stops)))


def _inside(edges: Sequence[np.ndarray], beside: float) -> List[Tuple[float, float]]:
    """From where to where along the direction a line lies inside all outlines, clear of their lines.

    ``edges``: each outline's corners (along, across), mm.
    """
    free = [(-np.inf, np.inf)]
    for corners in edges:
        cuts = _cuts(corners, beside)
        own = [(low + _CLEAR, high - _CLEAR) for low, high in zip(cuts[::2], cuts[1::2])]
        free = [(max(a, c), min(b, d)) for a, b in free for c, d in own]
        free = [(low, high) for low, high in free if high > low]
    return free


def _cuts(corners: np.ndarray, beside: float) -> List[float]:
    """Where a line along the direction meets a closed outline, in order; an even number."""
    start, stop = corners, np.roll(corners, -1, axis=0)
    met = (start[:, 1] <= beside) != (stop[:, 1] <= beside)
    start, stop = start[met], stop[met]
    share = (beside - start[:, 1]) / (stop[:, 1] - start[:, 1])
    return sorted((start[:, 0] + share * (stop[:, 0] - start[:, 0])).tolist())


def _laid(start: float, stop: float, longest: float, share: float) -> List[Tuple[float, float]]:
    """Where along a free stretch an arrow may lie: as long as wished, and as long as it must be."""
    found = []
    for wish in (share, LEAST):
        length = min(wish * longest, stop - start)
        spare = stop - start - length
        found += [
            (start + spare * part, start + spare * part + length) for part in np.linspace(0, 1, _SLIDES)
        ]
    return [(float(first), float(last)) for first, last in found]


def _hits(marks: np.ndarray, beside: float, first: float, last: float) -> int:
    """How many points of other marks lie on an arrow or close to it."""
    near = np.abs(marks[:, 1] - beside) < _BESIDE
    return int((near & (marks[:, 0] > first - _BESIDE) & (marks[:, 0] < last + _BESIDE)).sum())
