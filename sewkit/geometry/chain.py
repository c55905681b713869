"""The raw outline of an allowance: strands of parallel curves, end to end, as chords.

Its winding number tells what belongs to the allowance: the chain is the sum of the
outline and of a band along every edge, so a point lies in the outline or in an outer
band, and in no inner one, exactly where the winding number is positive.  That holds as
long as no band is folded; so a folded stretch does not follow the parallel curve but the
centres of curvature, where the band ends.

Source: X. Chen, S. McMains, "Polygon offsetting by computing winding numbers", 2005 (the
sum of the bands; from memory).  The way along the centres of curvature is ours.
"""

from bisect import bisect_left, bisect_right
from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.corner import Joint, Strand, reopened
from sewkit.geometry.parallel import Edge, Samples, place
from sewkit.geometry.tolerance import SAME_POINT

# Halvings of the stretch between two samples, a tenth of a curve or less: to 1e-8 of it.
CUSP_HALVINGS = 24

# Points along a mirrored curve, which is short and seldom bends much.
POINTS = 24


class Chain(NamedTuple):
    """Chords of all strands in order; one entry a chord.

    ``strand`` numbers the strands, ``low`` and ``high`` are parameters on them;
    ``first[i]`` is the first chord of strand i, ``first[-1]`` the number of chords.
    ``folded`` tells for each strand that it can not be part of the outline.
    """

    strands: List[Strand]
    folded: List[bool]
    start: np.ndarray
    stop: np.ndarray
    strand: np.ndarray
    low: List[float]
    high: List[float]
    first: List[int]


def reopen_swallowed(edges: Sequence[Edge], joints: List[Joint]) -> List[Joint]:
    """Undo the crossings at both ends of every edge that they would turn round."""
    joints = list(joints)
    n = len(edges)
    for i, edge in enumerate(edges):
        following = (i + 1) % n
        if (joints[following].stop - joints[i].start) * edge.length < -SAME_POINT:
            for node in (i, following):
                if not joints[node].open:
                    before, after = edges[node - 1], edges[node]
                    joints[node] = reopened(before, after, joints[node].missed)
    return joints


def folds(samples: Samples, edges: Sequence[Edge]) -> List[List[Tuple[float, float]]]:
    """For each curve the parameter ranges in which its parallel runs backwards.

    Two cusps between neighbouring samples are not looked for: what they cut off is
    smaller than ``CHORD``.
    """
    found = [[] for _ in edges]  # type: List[List[Tuple[float, float]]]
    back = samples.fold < 0
    for i in set(samples.owner[back].tolist()):
        first, last = samples.first[i], samples.first[i + 1]
        flags, u = back[first:last].tolist(), samples.u[first:last].tolist()
        begin = 0.0 if flags[0] else None
        for k in range(1, len(u)):
            if flags[k] != flags[k - 1]:
                cusp = _cusp(edges[i], u[k - 1], u[k], flags[k])
                if flags[k]:
                    begin = cusp
                else:
                    found[i].append((begin, cusp))
                    begin = None
        if begin is not None:
            found[i].append((begin, 1.0))
    return found


def _cusp(edge: Edge, low: float, high: float, rising: bool) -> float:
    """Where the fold factor changes its sign, by halving."""
    for _ in range(CUSP_HALVINGS):
        middle = (low + high) / 2
        if (place(edge, middle).fold < 0) == rising:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def build(
    edges: Sequence[Edge],
    joints: Sequence[Joint],
    samples: Samples,
    folded: Sequence[Sequence[Tuple[float, float]]],
) -> Chain:
    """String the strands together, cut at cusps."""
    strands, flags = [], []  # type: List[Strand], List[bool]
    starts, stops, lows, highs, firsts = [], [], [], [], [0]
    us, points = samples.u.tolist(), samples.point.tolist()

    def add(strand: Strand, u: List[float], z: List[complex], fold: bool) -> None:
        strands.append(strand)
        flags.append(fold)
        starts.extend(z[:-1])
        stops.extend(z[1:])
        lows.extend(u[:-1])
        highs.extend(u[1:])
        firsts.append(len(lows))

    for i, edge in enumerate(edges):
        following = joints[(i + 1) % len(edges)]
        low, high = joints[i].start, following.stop
        first, last = samples.first[i], samples.first[i + 1]
        if (high - low) * edge.length > SAME_POINT:
            for begin, end, fold in _stretches(low, high, folded[i]):
                if fold:
                    u, z = _centres(edge, begin, end, us, first, last)
                elif edge.straight:
                    u, z = [begin, end], [place(edge, begin).point, place(edge, end).point]
                else:
                    k, m = bisect_right(us, begin, first, last), bisect_left(us, end, first, last)
                    u = [begin] + us[k:m] + [end]
                    z = [place(edge, begin).point] + points[k:m] + [place(edge, end).point]
                add(Strand(edge, begin, end), u, z, fold)
        for strand in following.between:
            u = [strand.start, strand.stop]
            if not strand.edge.straight:
                u = np.linspace(u[0], u[1], POINTS).tolist()
            add(strand, u, [place(strand.edge, t).point for t in u], False)
    number = np.repeat(np.arange(len(strands)), np.diff(firsts))
    start, stop = np.array(starts), np.array(stops)
    return Chain(strands, flags, start, stop, number, lows, highs, firsts)


def _stretches(
    low: float, high: float, folded: Sequence[Tuple[float, float]]
) -> List[Tuple[float, float, bool]]:
    """Cut a range at the folds in it: (from, to, folded)."""
    cuts, at = [], low
    for begin, end in folded:
        begin, end = max(begin, low), min(end, high)
        if begin < end:
            if at < begin:
                cuts.append((at, begin, False))
            cuts.append((begin, end, True))
            at = end
    if at < high:
        cuts.append((at, high, False))
    return cuts


def _centres(
    edge: Edge, begin: float, end: float, us: List[float], first: int, last: int
) -> Tuple[List[float], List[complex]]:
    """The way along the centres of curvature, from and to the parallel curve's ends."""
    k, m = bisect_right(us, begin, first, last), bisect_left(us, end, first, last)
    u, z = [begin], [place(edge, begin).point]
    seam = edge._replace(width=0.0)
    for t in us[k:m]:
        # On the normal, so far out that 1 + width * curvature becomes 0 there.
        there, fold = place(edge, t).point, place(edge, t).fold
        here = place(seam, t).point
        if fold < 1:
            z.append(here + (there - here) / (1 - fold))
            u.append(t)
    u.append(end)
    z.append(place(edge, end).point)
    return u, z
