"""Strokes that touch end to end, within a page and over the borders of tiles.

Where only two ends meet there is nothing to decide.  Where more meet, as on a fold that
all sizes share, a line goes straight on if it can, keeps its rhythm, and follows the
drawing order: the third line drawn on one side is the third on the other.  Where nothing
decides, ends stay open.
"""

from typing import Dict, List, Tuple

import numpy as np

from sewkit.sheet.line_dashes import Strung, corners_between, strung
from sewkit.sheet.line_ends import TOUCH, Links, Strokes, bends
from sewkit.sheet.line_near import near_pairs
from sewkit.sheet.line_rhythm import alike

# A line that turns less than this at a join goes straight on (degrees).
STRAIGHT_ON = 25.0
# A line that turns more than this runs back on itself: two ends of lines that lie on each
# other, not one line (degrees).
RUNS_BACK = 177.0
# A gap up to this is closed without a word, one up to the next is told (mm); a wider one
# may be meant.  Common practice of the trade: a design gap is wider, a pencil's line is not.
SILENT_GAP, TOLD_GAP = 0.3, 3.0
# Where more ends than this touch, as on a filled area or a hatch, nothing tells which goes on at
# which; twenty sizes that share a fold have forty.
MOST_AT_A_JOIN = 120
# Strokes shorter than so many gaps are marks; a gap between marks is meant (times).
LONG_ENOUGH = 8.0


def link_touching(strokes: Strokes, links: Links) -> None:
    """Link ends that touch, wherever it is clear which goes on at which."""
    free = np.flatnonzero(links.mate < 0)
    one, two = near_pairs(strokes.ends[free], strokes.kind[free >> 1], TOUCH)
    one, two = free[one], free[two]
    clusters = _clusters(one.tolist(), two.tolist())
    pairs = [cluster for cluster in clusters if len(cluster) == 2]
    if pairs:
        state = strung(strokes, links)
        ends = np.array(pairs)
        _, turn, _ = bends(strokes, ends[:, 0], ends[:, 1])
        for (first, second), angle in zip(pairs, np.abs(turn).tolist()):
            if angle <= RUNS_BACK and state.may_join(first, second):
                links.link(first, second)
    state = None
    for cluster in clusters:
        if 2 < len(cluster) <= MOST_AT_A_JOIN:
            state = state or strung(strokes, links)
            _link_straight_on(strokes, links, state, cluster)
            _link_neighbours(strokes, links, state, [end for end in cluster if links.free(end)])


def _clusters(one: List[int], two: List[int]) -> List[List[int]]:
    """Ends that hang together by touching pairs, each group in rising order."""
    parent: Dict[int, int] = {}

    def top(end: int) -> int:
        while parent.setdefault(end, end) != end:
            parent[end] = parent[parent[end]]
            end = parent[end]
        return end

    for a, b in zip(one, two):
        parent[top(a)] = top(b)
    groups: Dict[int, List[int]] = {}
    for end in sorted(parent):
        groups.setdefault(top(end), []).append(end)
    return sorted(groups.values())


def _link_straight_on(strokes: Strokes, links: Links, state: Strung, cluster: List[int]) -> None:
    """In a crowd, link what goes straight on: of one rhythm first, in drawing order."""
    rest = sorted(cluster, key=lambda end: strokes.lines[end >> 1].order)
    while rest:
        leaving = strokes.outward[rest] @ strokes.outward[rest[0]]
        near = np.cos(np.radians(STRAIGHT_ON))
        here = [end for end, dot in zip(rest, leaving) if dot >= near]
        there = [end for end, dot in zip(rest, leaving) if dot <= -near]
        _pair_up(strokes, links, state, here, there)
        # The first is always done with: an end without a direction is not even in its own company.
        rest = [end for end in rest[1:] if end not in here and end not in there]


def _pair_up(strokes: Strokes, links: Links, state: Strung, here: List[int], there: List[int]) -> None:
    """Pair two sides of a join; unequal numbers of equals stay open."""
    rhythms = {end: state.rhythms[state.owner[end >> 1]] for end in here + there}
    for end in here:
        own = rhythms[end]
        if own is None or not links.free(end):
            continue
        equals = [e for e in here if links.free(e) and rhythms[e] is not None and alike(rhythms[e], own)]
        others = [e for e in there if links.free(e) and rhythms[e] is not None and alike(rhythms[e], own)]
        _zip(strokes, links, equals, others)
    here = [end for end in here if links.free(end)]
    there = [end for end in there if links.free(end)]
    known = {rhythms[end] for end in here + there} - {None}
    if len(known) <= 1 or len(here) == 1:
        _zip(strokes, links, here, there)


def _zip(strokes: Strokes, links: Links, here: List[int], there: List[int]) -> None:
    """Link the first drawn here to the first drawn there, and so on."""
    if len(here) != len(there):
        return
    crossing = all(strokes.page[a >> 1] != strokes.page[b >> 1] for a in here for b in there)
    for one, two in zip(here, there):
        if crossing or len(here) == 1 or one >> 1 != two >> 1:
            links.link(one, two)


def _link_neighbours(strokes: Strokes, links: Links, state: Strung, cluster: List[int]) -> None:
    """Corners where several lines have theirs: pair ends drawn one after the other.

    All must find a partner so, or none is linked: an odd end tells that the corner is
    shared in some other way.
    """
    if len(cluster) < 2 or len(cluster) % 2:
        return
    ordered = sorted(cluster, key=lambda end: (strokes.lines[end >> 1].order, end))
    pairs = list(zip(ordered[::2], ordered[1::2]))
    for one, two in pairs:
        _, turn, _ = bends(strokes, np.array([one]), np.array([two]))
        neighbours = abs((one >> 1) - (two >> 1)) <= 1 or state.owner[one >> 1] == state.owner[two >> 1]
        if not neighbours or abs(turn[0]) > RUNS_BACK:
            return
    for one, two in pairs:
        links.link(one, two)


def link_gaps(strokes: Strokes, links: Links) -> None:
    """Close small gaps where there is only one way to do it."""
    for reach in (SILENT_GAP, TOLD_GAP):
        free = np.flatnonzero(links.mate < 0)
        one, two = near_pairs(strokes.ends[free], strokes.kind[free >> 1], reach)
        one, two = free[one], free[two]
        if not len(one):
            continue
        gap, out, back = bends(strokes, one, two)
        least = np.minimum(strokes.length[one >> 1], strokes.length[two >> 1])
        straight = (np.abs(out) <= STRAIGHT_ON) & (np.abs(back) <= STRAIGHT_ON)
        straight &= (gap <= SILENT_GAP) | (least >= LONG_ENOUGH * gap)
        corner, around, turn = corners_between(strokes, one, two)
        bent = (around <= 1.5 * reach) & (turn <= 150.0) & (least >= LONG_ENOUGH * gap)
        good = np.flatnonzero(straight | bent | (gap <= TOUCH))
        _link_only(strokes, links, one[good], two[good], straight[good], corner[good])


def _link_only(
    strokes: Strokes,
    links: Links,
    one: np.ndarray,
    two: np.ndarray,
    straight: np.ndarray,
    corner: np.ndarray,
) -> None:
    """Link pairs of ends that have no other candidate."""
    state = strung(strokes, links)
    choices = np.bincount(np.concatenate([one, two]), minlength=len(links.mate))
    touching, _, _ = bends(strokes, one, two)
    for k in range(len(one)):
        e, f = int(one[k]), int(two[k])
        if choices[e] > 1 or choices[f] > 1 or touching[k] <= TOUCH:
            continue
        if state.may_join(e, f) and links.link(e, f) and not straight[k]:
            links.corner[min(e, f)] = _point(corner[k])


def _point(xy: np.ndarray) -> Tuple[float, float]:
    return (float(xy[0]), float(xy[1]))
