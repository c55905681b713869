"""Cut loops away: keep what has the allowance on its left and nothing on its right."""

from bisect import bisect_left, bisect_right
from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.chain import Chain
from sewkit.geometry.meet import CLOSE, refine
from sewkit.geometry.parallel import place
from sewkit.geometry.tolerance import CHORD, EXACT, PARALLEL

# Crossings and ends nearer than this are one node of the trimmed outline (mm).
ONE_NODE = 2e-6

# The same where crossings have been missed: a few chord errors (mm).
NEAR_NODE = 4 * CHORD

# A test point stands this far beside the chord it tests (mm), or a tenth of the
# chord: near enough that no other strand lies between, far enough for rounding.
BESIDE = 1e-4


class _Stretch(NamedTuple):
    """A part of a strand between two crossings or ends, with its end points."""

    strand: int
    start: float
    stop: float
    begin: complex
    end: complex


class Arc(NamedTuple):
    """A stretch of a strand between two numbered nodes, and a chord from its middle."""

    strand: int
    start: float
    stop: float
    first: int
    last: int
    chord: complex
    middle: complex


class Loop(NamedTuple):
    """A closed run of kept arcs, and the area it goes round (mm2)."""

    arcs: List[Arc]
    area: float


class Pairs(NamedTuple):
    """Chords that cross: their numbers, and how far along each (0..1)."""

    first: np.ndarray
    second: np.ndarray
    s: np.ndarray
    t: np.ndarray


def crossing_chords(start: np.ndarray, stop: np.ndarray, groups: Sequence[int]) -> Pairs:
    """Find the chords that cross or touch, neighbours left out.

    ``groups`` holds the sizes of separate closed runs; chords of different groups are
    not compared.  Chords that lie on each other do not count.
    """
    low_x, high_x = np.minimum(start.real, stop.real), np.maximum(start.real, stop.real)
    ends = np.cumsum(groups)
    span = high_x.max() - low_x.min() + 1.0
    for end in ends[:-1]:
        # Setting the groups side by side keeps them apart at no cost.
        low_x[end:] += span
        high_x[end:] += span
    low_y, high_y = np.minimum(start.imag, stop.imag), np.maximum(start.imag, stop.imag)
    order = low_x.argsort()
    reach = low_x[order].searchsorted(high_x[order] + EXACT, "right")
    place_in = np.arange(len(order))
    count = reach - place_in - 1
    i = np.repeat(place_in, count)
    j = np.arange(len(i)) - np.repeat(np.cumsum(count) - count - place_in - 1, count)
    i, j = order[i], order[j]
    apart = np.abs(i - j)
    near = (low_y[i] <= high_y[j] + EXACT) & (low_y[j] <= high_y[i] + EXACT) & (apart > 1)
    i, j, apart = i[near], j[near], apart[near]
    begin = 0
    for end in ends:
        around = (apart == end - begin - 1) & (np.minimum(i, j) == begin)
        if around.any():
            i, j, apart = i[~around], j[~around], apart[~around]
        begin = end
    one, two = stop[i] - start[i], stop[j] - start[j]
    gap = start[j] - start[i]
    det = (one.conj() * two).imag
    size = np.abs(one), np.abs(two)
    flat = np.abs(det) <= PARALLEL * size[0] * size[1]
    det = np.where(flat, np.inf, det)
    s, t = (gap.conj() * two).imag / det, (gap.conj() * one).imag / det
    slack = EXACT / np.maximum(size, EXACT)
    hit = (s >= -slack[0]) & (s <= 1 + slack[0]) & (t >= -slack[1]) & (t <= 1 + slack[1]) & ~flat
    return Pairs(i[hit], j[hit], s[hit], t[hit])


def winding(points: np.ndarray, start: np.ndarray, stop: np.ndarray) -> np.ndarray:
    """Winding numbers ``(k,)`` of closed chords about points; counter-clockwise in x, y."""
    y = points.imag[:, None]
    low, high = start.imag <= y, stop.imag <= y
    side = ((stop - start).conj() * (points[:, None] - start)).imag
    return (low & ~high & (side > 0)).sum(axis=1) - (~low & high & (side < 0)).sum(axis=1)


def loops(chain: Chain, pairs: Pairs) -> List[Loop]:
    """All closed runs of arcs that bound the allowance, the largest area first."""
    raw = _stretches(chain, pairs)
    found = _loops(chain, raw, ONE_NODE)
    if not found or found[0].area < 0.5 * area_of(chain.start):
        # The chords of a crossing at a flat angle can miss each other; then the ends of
        # two arcs lie a little apart.
        found = _loops(chain, raw, NEAR_NODE)
    return found


def _loops(chain: Chain, raw: List[_Stretch], tolerance: float) -> List[Loop]:
    arcs = _arcs(chain, raw, tolerance)
    middle = np.array([arc.middle for arc in arcs])
    chord = np.array([arc.chord for arc in arcs])
    size = np.abs(chord)
    aside = 1j * chord / size * np.minimum(BESIDE, size / 10)
    both = winding(np.concatenate([middle + aside, middle - aside]), chain.start, chain.stop)
    left, right = both[: len(arcs)], both[len(arcs) :]
    kept = [arc for arc, keep in zip(arcs, ((left > 0) & (right <= 0)).tolist()) if keep]
    found = [Loop(_merged(run), _area(chain, run)) for run in _runs(kept)]
    return sorted(found, key=lambda loop: -loop.area)


def _stretches(chain: Chain, pairs: Pairs) -> List[_Stretch]:
    """Cut the strands at every crossing."""
    cuts = {}  # type: Dict[int, List[Tuple[float, complex]]]
    for strand, u, point in _refined(chain, pairs):
        cuts.setdefault(strand, []).append((u, point))
    raw = []
    for number, strand in enumerate(chain.strands):
        marks = sorted(cuts.get(number, ()), key=lambda mark: mark[0])
        first, last = chain.first[number], chain.first[number + 1] - 1
        marks = (
            [(strand.start, complex(chain.start[first]))]
            + [m for m in marks if strand.start < m[0] < strand.stop]
            + [(strand.stop, complex(chain.stop[last]))]
        )
        raw.extend(_Stretch(number, u, v, p, q) for (u, p), (v, q) in zip(marks, marks[1:]))
    return raw


def _arcs(chain: Chain, raw: List[_Stretch], tolerance: float) -> List[Arc]:
    """Give the ends of the stretches numbers; drop those shorter than a node is wide."""
    nodes = _nodes([s.begin for s in raw] + [s.end for s in raw], tolerance)
    arcs = []
    for (number, u, v, _, _), one, two in zip(raw, nodes, nodes[len(raw) :]):
        chord, middle = _middle(chain, chain.first[number], chain.first[number + 1], u, v)
        if one == two and abs(chord) < 10 * tolerance or chord == 0:
            continue
        arcs.append(Arc(number, u, v, one, two, chord, middle))
    return arcs


def _refined(chain: Chain, pairs: Pairs) -> List[Tuple[int, float, complex]]:
    """The exact places of the crossings, twice each: strand, parameter, point."""
    places = []
    rows = zip(pairs.first.tolist(), pairs.second.tolist(), pairs.s.tolist(), pairs.t.tolist())
    for i, j, s, t in rows:
        p, q = int(chain.strand[i]), int(chain.strand[j])
        u = float(chain.low[i] + s * (chain.high[i] - chain.low[i]))
        v = float(chain.low[j] + t * (chain.high[j] - chain.low[j]))
        rough = complex(chain.start[i] + s * (chain.stop[i] - chain.start[i]))
        one, two = chain.strands[p], chain.strands[q]
        exact = None
        if not (chain.folded[p] or chain.folded[q]):
            exact = refine(one.edge, two.edge, u, v, CLOSE)
        if exact is not None:
            point = place(one.edge, exact[0]).point
            if abs(point - rough) <= max(20 * CHORD, 0.1 * abs(chain.stop[i] - chain.start[i])):
                u, v, rough = exact[0], exact[1], point
        places.append((p, min(max(u, one.start), one.stop), rough))
        places.append((q, min(max(v, two.start), two.stop), rough))
    return places


def _nodes(points: List[complex], tolerance: float) -> List[int]:
    """Number the points so that those nearer than ``tolerance`` share a number."""
    z = np.array(points)
    order = z.real.argsort(kind="mergesort")
    across = z.real[order]
    # Only points this near in x are compared: all with all would not end on a fine drawing.
    count = across.searchsorted(across + tolerance, "right") - np.arange(len(z)) - 1
    i = np.repeat(np.arange(len(z)), count)
    j = i + 1 + np.arange(len(i)) - np.repeat(np.cumsum(count) - count, count)
    one, two = order[i], order[j]
    near = np.abs(z[one] - z[two]) <= tolerance
    names = np.arange(len(z))
    np.minimum.at(names, np.maximum(one, two)[near], np.minimum(one, two)[near])
    return names[names].tolist()


def _middle(chain: Chain, first: int, last: int, u: float, v: float) -> Tuple[complex, complex]:
    """Part of a chord in the middle of a stretch, and its middle: the place to test.

    ``first`` and ``last`` bound the chords of the strand.
    """
    low, high = chain.low, chain.high
    k = bisect_right(low, (u + v) / 2, first + 1, last) - 1
    width = high[k] - low[k]
    a, b = max((u - low[k]) / width, 0.0), min((v - low[k]) / width, 1.0)
    chord = chain.stop[k] - chain.start[k]
    return complex(chord * (b - a)), complex(chain.start[k] + chord * (a + b) / 2)


def on_chords(chain: Chain, strand: int, u: float) -> complex:
    """The point of a strand's chords at a parameter."""
    first, last = chain.first[strand], chain.first[strand + 1]
    k = bisect_right(chain.low, u, first + 1, last) - 1
    part = (u - chain.low[k]) / (chain.high[k] - chain.low[k])
    return complex(chain.start[k] + part * (chain.stop[k] - chain.start[k]))


def _without_dead_ends(kept: List[Arc]) -> List[Arc]:
    """Drop arcs that lead nowhere: slivers too small for the winding test."""
    while True:
        firsts, lasts = {arc.first for arc in kept}, {arc.last for arc in kept}
        through = [arc for arc in kept if arc.last in firsts and arc.first in lasts]
        if len(through) == len(kept):
            return kept
        kept = through


def _runs(kept: List[Arc]) -> List[List[Arc]]:
    """Follow the arcs from node to node until they close."""
    kept = _without_dead_ends(kept)
    leaving = {}  # type: Dict[int, List[int]]
    for k, arc in enumerate(kept):
        leaving.setdefault(arc.first, []).append(k)
    used = set()  # type: Set[int]
    found = []
    for k in range(len(kept)):
        run, nodes = [], {}  # type: List[int], Dict[int, int]
        at = k  # type: Optional[int]
        while at is not None and at not in used:
            used.add(at)
            nodes[kept[at].first] = len(run)
            run.append(at)
            node = kept[at].last
            if node in nodes:
                # Closed here; what led up to the loop stays for the loops still to come.
                found.append([kept[a] for a in run[nodes[node] :]])
                run = run[: nodes[node]]
                nodes = {kept[a].first: m for m, a in enumerate(run)}
            at = next((a for a in leaving.get(node, ()) if a not in used), None)
    return found


def _merged(run: List[Arc]) -> List[Arc]:
    """Join stretches that go on along the same strand."""
    merged = []  # type: List[Arc]
    for arc in run:
        if merged and merged[-1].strand == arc.strand and merged[-1].stop == arc.start:
            merged[-1] = merged[-1]._replace(stop=arc.stop, last=arc.last)
        else:
            merged.append(arc)
    if len(merged) > 1 and merged[0].strand == merged[-1].strand:
        if merged[-1].stop == merged[0].start:
            merged[0] = merged[0]._replace(start=merged[-1].start, first=merged[-1].first)
            merged.pop()
    return merged


def _area(chain: Chain, run: List[Arc]) -> float:
    """The area within the chords of a run."""
    points = []  # type: List[complex]
    for arc in run:
        first, last = chain.first[arc.strand], chain.first[arc.strand + 1]
        first = bisect_right(chain.low, arc.start, first, last)
        last = bisect_left(chain.low, arc.stop, first, last)
        points.append(place(chain.strands[arc.strand].edge, arc.start).point)
        points.extend(chain.start[first:last].tolist())
    return area_of(np.array(points))


def area_of(points: np.ndarray) -> float:
    """The area within a closed run of points, mm2; counter-clockwise in x, y counts positive."""
    z = points - points[0]
    return float((z[:-1].conj() * z[1:]).imag.sum() / 2)
