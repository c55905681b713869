"""Dashes that came as single strokes, put on one string again.

First in drawing order: whoever draws a dashed line draws one dash after the other.  What
is left, at tile borders and where the order is lost, is linked to whatever lies ahead and
is nearest both ways.  Last come corners that fall into a gap.
"""

from typing import Dict, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.sheet.line_ends import TOUCH, Chain, Links, Strokes, bends, chains_of, owners
from sewkit.sheet.line_near import near_pairs
from sewkit.sheet.line_rhythm import Rhythm, alike, rhythm_of

# A gap up to this (mm) between strokes that follow each other is a dash's gap.  Longer
# ones must repeat.
SURE_GAP = 2.6
# No printed dash leaves more than this open (mm).
WIDEST_GAP = 12.0
# How much wider than usual a gap may be: the dash beyond was cut or dropped.
WIDER = 1.5
# How much longer than its fellows a dash may be: where a closed line starts, two make one.
LONGER = 2.1
# How far (degrees) the way across a gap may turn from the stroke on either side.
TURN = 35.0
# Both turns of a gap on an arc are alike; by how much they may differ (degrees) when the
# gap is long.
UNEVEN = 3.5
# Neighbours in drawing order whose gaps are asked whether a long gap is usual.
NEIGHBOURS = 3
# What a degree of turning costs beside a millimetre of gap when candidates compete.
DEGREE = 0.05
# A corner in a gap is there only above this turn (degrees).
LEAST_CORNER, MOST_CORNER = 8.0, 178.0
# How much longer than the gap the way around its corner may be (mm).
AROUND = 0.2


class Strung(NamedTuple):
    """Chains as they are now: each with its rhythm and its longest stroke (mm).

    ``owner``: for each stroke the number of its chain.
    """

    chains: List[Chain]
    rhythms: List[Optional[Rhythm]]
    owner: np.ndarray
    longest: List[float]

    def may_join(self, one: int, two: int) -> bool:
        """Whether the chains of two ends can be one line: of one rhythm, or too short to tell."""
        a, b = int(self.owner[one >> 1]), int(self.owner[two >> 1])
        first, second = self.rhythms[a], self.rhythms[b]
        if first is None and second is not None:
            return self.longest[a] <= longest_dash(second)
        if second is None and first is not None:
            return self.longest[b] <= longest_dash(first)
        return alike(first, second)


def longest_dash(rhythm: Rhythm) -> float:
    """How long (mm) a stroke may be to pass for a dash of a rhythm."""
    return LONGER * max(rhythm[::2]) + AROUND


def strung(strokes: Strokes, links: Links) -> Strung:
    """All chains with the rhythms heard in them."""
    chains = chains_of(links)
    rhythms = [chain_rhythm(strokes, chain) for chain in chains]
    longest = [float(strokes.length[[e >> 1 for e in chain.entries]].max()) for chain in chains]
    return Strung(chains, rhythms, owners(chains, len(strokes.lines)), longest)


def part_strangers(strokes: Strokes, links: Links) -> None:
    """Part dashed lines from strokes that are much too long to be one of their dashes."""
    state = strung(strokes, links)
    for chain, rhythm in zip(state.chains, state.rhythms):
        if rhythm is not None:
            for entry in chain.entries:
                if strokes.length[entry >> 1] > longest_dash(rhythm):
                    links.cut(entry)
                    links.cut(entry ^ 1)


def chain_gaps(strokes: Strokes, chain: Chain) -> np.ndarray:
    """Gaps (mm) after each stroke of a chain; one less than strokes where it is open."""
    entries = np.array(chain.entries)
    leaving, entering = entries ^ 1, np.roll(entries, -1)
    if not chain.closed:
        leaving, entering = leaving[:-1], entering[:-1]
    return np.hypot(*(strokes.ends[entering] - strokes.ends[leaving]).T)


def chain_rhythm(strokes: Strokes, chain: Chain) -> Optional[Rhythm]:
    """The rhythm of a chain; strokes that touch count as one."""
    if len(chain.entries) < 3:
        return None
    lengths, on, off, piece = strokes.length, [], [], 0.0
    gaps = chain_gaps(strokes, chain).tolist()
    for number, entry in enumerate(chain.entries):
        piece += float(lengths[entry >> 1])
        gap = gaps[number] if number < len(gaps) else None
        if gap is None or gap > TOUCH:
            on.append(piece)
            piece = 0.0
            if gap is not None:
                off.append(gap)
    return rhythm_of(on, off)


def link_in_order(strokes: Strokes, links: Links) -> None:
    """Link strokes to those drawn right after them, where one leads on to the other."""
    count = len(strokes.lines)
    if count < 2:
        return
    one = np.flatnonzero((strokes.kind[1:] == strokes.kind[:-1]) & (strokes.page[1:] == strokes.page[:-1]))
    crowd = _crowded(strokes)
    best = np.full(count, np.inf)
    pair = np.zeros((count, 2), np.int64)
    width = np.full(count, np.nan)
    for first, second in ((1, 0), (1, 1), (0, 0), (0, 1)):
        ends, others = 2 * one + first, 2 * one + 2 + second
        gap, out, back = bends(strokes, ends, others)
        cost = _cost(gap, out, back, WIDEST_GAP)
        # Where more than two ends touch, all of them have a say: that comes later.
        cost[(gap <= TOUCH) & (crowd[ends] | crowd[others])] = np.inf
        better = cost < best[one]
        rows = one[better]
        best[rows], width[rows] = cost[better], gap[better]
        pair[rows] = np.stack([ends, others], axis=1)[better]
    wanted = np.isfinite(best) & _usual(width)
    for row in sorted(np.flatnonzero(wanted).tolist(), key=lambda i: (best[i], i)):
        links.link(int(pair[row, 0]), int(pair[row, 1]))
    _close_loops(strokes, links)


def _crowded(strokes: Strokes) -> np.ndarray:
    """Which ends touch more than one other end of their kind."""
    one, two = near_pairs(strokes.ends, np.repeat(strokes.kind, 2), TOUCH)
    return np.bincount(np.concatenate([one, two]), minlength=len(strokes.ends)) > 1


def _cost(gap: np.ndarray, out: np.ndarray, back: np.ndarray, widest: float) -> np.ndarray:
    """What linking pairs of ends would cost; infinite where one does not lead to the other."""
    ahead = (np.abs(out) <= TURN) & (np.abs(back) <= TURN) & (gap <= widest)
    even = (np.abs(out - back) <= UNEVEN) | (gap <= SURE_GAP)
    return np.where(ahead & even, gap + DEGREE * np.abs(out - back), np.inf)


def _usual(width: np.ndarray) -> np.ndarray:
    """Which gaps ``(n,)`` in drawing order are short, or like those around them."""
    around = np.zeros(len(width), np.int64)
    with np.errstate(invalid="ignore"):
        for step in range(1, NEIGHBOURS + 1):
            like = np.abs(width[step:] - width[:-step]) <= (WIDER - 1.0) * width[step:]
            around[step:] += like
            around[:-step] += like
        return (width <= SURE_GAP) | (around >= 2)


def _close_loops(strokes: Strokes, links: Links) -> None:
    """Let a line that comes back to its beginning end there.

    The next line in drawing order often starts where this one did, as on a fold that all
    sizes share; its first dash then lies ahead of this one's last.
    """
    for chain in chains_of(links):
        entries = np.array(chain.entries)
        if chain.closed or len(entries) < 8:
            continue
        first = 0
        while first < len(entries) - 4:
            leaving = entries[first + 3 : -1] ^ 1
            start = np.full(len(leaving), entries[first])
            gap, out, back = bends(strokes, leaving, start)
            onward, _, _ = bends(strokes, leaving, entries[first + 4 :])
            usual = np.median(chain_gaps(strokes, chain)[first:])
            cost = _cost(gap, out, back, max(WIDER * usual, TOUCH))
            # A gap at the start of a page's part is shorter than usual, not longer.
            again = np.flatnonzero(np.isfinite(cost) & (gap <= np.maximum(onward, usual) + TOUCH))
            if not len(again):
                break
            stop = first + 3 + int(again[0])
            links.cut(int(entries[stop] ^ 1))
            links.link(int(entries[stop] ^ 1), int(entries[first]))
            first = stop + 1


def usual_gap(strokes: Strokes, links: Links, state: Strung) -> Dict[int, float]:
    """For each kind of stroke the gap (mm) its dashes leave as a rule; 0 where it has none.

    Heard in chains; where the drawing order is lost, taken from what lies straight ahead.
    """
    found: Dict[int, List[float]] = {}
    for chain, rhythm in zip(state.chains, state.rhythms):
        if rhythm:
            kind = int(strokes.kind[chain.first >> 1])
            found.setdefault(kind, []).extend([max(rhythm[1::2])] * len(chain.entries))
    usual = {kind: float(np.percentile(gaps, 90)) for kind, gaps in found.items()}
    free = np.flatnonzero(links.mate < 0)
    ahead = _ahead(strokes, free, np.full(len(links.mate), WIDEST_GAP))
    nearest: Dict[int, List[float]] = {}
    seen = set()
    for one, two, gap, _ in ahead:
        if gap > TOUCH and one not in seen and two not in seen:
            seen.update((one, two))
            nearest.setdefault(int(strokes.kind[one >> 1]), []).append(gap)
    for kind, gaps in nearest.items():
        of_kind = int((strokes.kind == kind).sum())
        # Many strokes with as many gaps like each other: dashes without their order.
        typical = float(np.median(gaps))
        steady = np.mean(np.abs(np.array(gaps) - typical) <= (WIDER - 1.0) * typical)
        if len(gaps) >= 8 and len(gaps) >= 0.3 * of_kind and steady >= 0.5:
            usual[kind] = max(usual.get(kind, 0.0), typical)
    return usual


def _ahead(strokes: Strokes, free: np.ndarray, reach: np.ndarray) -> List[Tuple[int, int, float, float]]:
    """Pairs of free ends that lead on to each other: (end, end, gap, cost), cheapest first.

    ``reach`` is how far each end looks (mm), by end.
    """
    if not len(free):
        return []
    widest = float(reach[free].max())
    if widest <= 0:
        return []
    first, second = near_pairs(strokes.ends[free], strokes.kind[free >> 1], widest)
    one, two = free[first], free[second]
    other = (one >> 1) != (two >> 1)
    one, two = one[other], two[other]
    gap, out, back = bends(strokes, one, two)
    cost = np.where(gap <= np.minimum(reach[one], reach[two]), _cost(gap, out, back, widest), np.inf)
    good = np.flatnonzero(np.isfinite(cost))
    good = good[np.lexsort((two[good], one[good], cost[good]))]
    return list(zip(one[good].tolist(), two[good].tolist(), gap[good].tolist(), cost[good].tolist()))


def link_ahead(strokes: Strokes, links: Links) -> bool:
    """Link dashes across their usual gap to what lies ahead; ``True`` where any was linked.

    Of several candidates the cheaper wins, its own line's other end first, and one of the
    same rhythm before one of an unknown one.  Rhythms that differ never join.
    """
    state = strung(strokes, links)
    usual = usual_gap(strokes, links, state)
    reach = np.zeros(len(links.mate))
    for kind, gap in usual.items():
        wide = max(SURE_GAP, WIDER * gap)
        reach[np.repeat(strokes.kind == kind, 2)] = wide
    for chain, rhythm in zip(state.chains, state.rhythms):
        if rhythm:
            for end in (chain.first, chain.last):
                reach[end] = WIDER * max(rhythm[1::2]) + AROUND
    free = np.flatnonzero((links.mate < 0) & (reach > 0))
    ranked = []
    for one, two, _, cost in _ahead(strokes, free, reach):
        a, b = int(state.owner[one >> 1]), int(state.owner[two >> 1])
        own, other = state.rhythms[a], state.rhythms[b]
        if state.may_join(one, two):
            strangers = 0 if a == b else 1 if own is not None and other is not None else 2
            ranked.append((strangers, cost, one, two))
    return _link_mutual(links, ranked)


def _link_mutual(links: Links, ranked: List[Tuple[float, float, int, int]]) -> bool:
    """Link pairs in order of rank and cost."""
    done = False
    for _, _, one, two in sorted(ranked):
        done |= links.link(one, two)
    return done


def link_corners(strokes: Strokes, links: Links) -> bool:
    """Link dashes around a corner that fell into the gap between them.

    The corner is where both dashes, prolonged, meet; the way over it is no longer than a
    gap of their rhythm.
    """
    state = strung(strokes, links)
    usual = usual_gap(strokes, links, state)
    reach, lost = np.zeros(len(links.mate)), np.zeros(len(links.mate))
    for chain, rhythm in zip(state.chains, state.rhythms):
        if not chain.closed:
            kind = int(strokes.kind[chain.first >> 1])
            gap = max(rhythm[1::2]) if rhythm else usual.get(kind, 0.0)
            reach[chain.first] = reach[chain.last] = gap
            if rhythm:
                lost[chain.first] = lost[chain.last] = 2 * gap + max(rhythm[::2])
    free = np.flatnonzero((links.mate < 0) & (reach > 0))
    if not len(free):
        return False
    farthest = max(float(reach.max()), float(lost.max())) + AROUND
    first, second = near_pairs(strokes.ends[free], strokes.kind[free >> 1], farthest)
    one, two = free[first], free[second]
    corner, around, turn = corners_between(strokes, one, two)
    # A line may lack the dash that turned its last corner.
    own = state.owner[one >> 1] == state.owner[two >> 1]
    enough = np.where(own, np.maximum(reach, lost)[one], np.minimum(reach[one], reach[two])) * 1.1 + AROUND
    good = np.isfinite(around) & (around <= enough) & ((one >> 1) != (two >> 1))
    good &= (turn >= LEAST_CORNER) & (turn <= MOST_CORNER)
    ranked, corners = [], {}
    for k in np.flatnonzero(good).tolist():
        e, f = int(one[k]), int(two[k])
        a, b = int(state.owner[e >> 1]), int(state.owner[f >> 1])
        if state.may_join(e, f):
            known = state.rhythms[a] is not None and state.rhythms[b] is not None
            ranked.append((0 if a == b else 1 if known else 2, float(around[k]), e, f))
            corners[e, f] = (float(corner[k, 0]), float(corner[k, 1]))
    done = False
    for _, _, e, f in sorted(ranked):
        if links.link(e, f):
            links.corner[min(e, f)] = corners[e, f]
            done = True
    return done


def corners_between(
    strokes: Strokes, one: np.ndarray, two: np.ndarray
) -> Tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Where pairs of ends, prolonged, meet ``(m, 2)``; the way over it (mm); its turn (degrees).

    The way is infinite where they do not meet ahead of both.
    """
    p, q = strokes.ends[one], strokes.ends[two]
    u, v = strokes.outward[one], strokes.outward[two]
    cross = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    safe = np.where(np.abs(cross) > 1e-6, cross, np.inf)
    way = q - p
    s = (way[:, 0] * v[:, 1] - way[:, 1] * v[:, 0]) / safe
    t = (way[:, 0] * u[:, 1] - way[:, 1] * u[:, 0]) / safe
    ahead = (s >= -TOUCH) & (t >= -TOUCH) & np.isfinite(safe)
    around = np.where(ahead, np.abs(s) + np.abs(t), np.inf)
    turn = 180.0 - np.degrees(np.arccos(np.clip((u * v).sum(axis=1), -1.0, 1.0)))
    return p + s[:, None] * u, around, turn
