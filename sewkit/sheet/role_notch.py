"""Notches: short ticks, triangles and the like on an outline."""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, lines
from sewkit.pattern.mark import NOTCH
from sewkit.pattern.notch import place_of
from sewkit.pattern.notch_form import TICK
from sewkit.sheet.drawn import Words
from sewkit.sheet.role_bits import TOUCH, Item, Nest, angle_between, aside
from sewkit.sheet.role_score import SHAPE, agreement, believed, score
from sewkit.sheet.role_take import Take, common_size
from sewkit.sheet.role_words import middle_of

# The longest notch, and the shortest (mm).
_LONGEST, _SHORTEST = 12.5, 1.5
# Square to the line within this (degrees).  Hand-drawn ticks lean; a line that runs along the
# outline is no notch.
_SQUARE = 15.0
# How far apart the ticks of a double or triple notch are (mm), and how alike they are.
_BESIDE, _ALIKE = (1.5, 8.5), 1.0
# One stroke across a whole nest, or the ticks of all its sizes in one row, may be this long (mm).
_ROW = 150.0
# The ticks of a graded nest do not lie on one straight line (mm).
_WOBBLE = 3.0
# A number this near to a notch is its own (mm).
_NUMBER = 8.0
# Of outlines that a tick touches, those as near as this to the best are touched as well (mm).
_AS_NEAR = 0.1


class _Tick(NamedTuple):
    """One notch on one outline.

    Args:
        item: its number.
        outline: number of the outline.
        foot: where it sits on it, (2,).
        length: mm, square to the outline.
        outward: 1 if it stands outside the outline, -1 inside, 0 across.
        score: of its shape.
        curves: what it is drawn with.
    """

    item: int
    outline: int
    foot: np.ndarray
    length: float
    outward: int
    score: float
    curves: np.ndarray


def notch_takes(items: Sequence[Item], used: Sequence[int], nest: Nest, words: Sequence[Words]) -> List[Take]:
    """All notches; those side by side as one with a count."""
    taken = set(used)
    options: Dict[int, List[_Tick]] = {}
    for number, item in enumerate(items):
        if number not in taken and _SHORTEST <= item.reach <= _LONGEST:
            found = _ticks(number, item, nest)
            if found:
                options[number] = found
    ticks = _settled(options, items, nest)
    rows = [_row(n, item, nest) for n, item in enumerate(items) if n not in taken and n not in options]
    ticks += [row for row in rows if row]
    found = []
    for group in _side_by_side(ticks):
        found += _takes(group, items, nest, words)
    return sorted(found, key=lambda take: take.items)


def _ticks(number: int, item: Item, nest: Nest) -> List[_Tick]:
    """What an item may be on each outline that it touches or crosses."""
    nodes = np.array([end for bit in item.bits for end in (bit.start, bit.middle, bit.end)])
    away, feet, ways = nest.feet(nodes)
    found = []
    for outline in np.flatnonzero(away.min(axis=0) <= _LONGEST).tolist():
        side = _sides(nodes, feet[:, outline], ways[:, outline])
        crossing = side.max() > TOUCH and side.min() < -TOUCH
        tick = None
        if away[:, outline].min() <= TOUCH or crossing:
            if len(item.bits) == 1 and item.bits[0].straight:
                tick = _tick(
                    number, item, outline, away[:, outline], feet[:, outline], ways[:, outline], side
                )
            elif len(item.bits) <= 4:
                tick = _wedge(number, item, outline, nodes, feet[:, outline], ways[:, outline], side)
        found += [tick] if tick is not None else []
    return found


def _sides(nodes: np.ndarray, feet: np.ndarray, ways: np.ndarray) -> np.ndarray:
    """How far points stand outside an outline that runs clockwise, (n,) mm; inside is negative."""
    away = nodes - feet
    outside = away[:, 0] * ways[:, 1] - away[:, 1] * ways[:, 0]
    return np.sign(outside) * np.hypot(away[:, 0], away[:, 1])


def _tick(
    number: int,
    item: Item,
    outline: int,
    away: np.ndarray,
    feet: np.ndarray,
    ways: np.ndarray,
    side: np.ndarray,
) -> Optional[_Tick]:
    """A straight stroke: one end on the line, or across it."""
    bit = item.bits[0]
    ends = away[[0, 2]]
    across = side[0] * side[2] < 0 and ends.min() > TOUCH
    near = 0 if ends[0] <= ends[1] else 2
    if across:
        share = abs(side[0]) / (abs(side[0]) + abs(side[2]))
        foot, gap, way = bit.start + share * (bit.end - bit.start), 0.0, ways[1]
    else:
        foot, gap, way = feet[near], float(ends.min()), ways[near]
    agreements = [agreement(90.0 - angle_between(bit.way, way), _SQUARE), agreement(gap, TOUCH)]
    if not believed(agreements):
        return None
    outward = 0 if across else int(np.sign(side[2 - near]))
    return _Tick(number, outline, foot, bit.length, outward, score([SHAPE], agreements), bit.curves)


def _points_along(path: Path) -> np.ndarray:
    """Points ``(k, 2)`` on a line of straight parts, at most a millimetre apart."""
    nodes = path.nodes
    at = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(nodes, axis=0).T))])
    wanted = np.union1d(at, np.linspace(0.0, at[-1], int(at[-1]) + 2))
    return np.stack([np.interp(wanted, at, nodes[:, axis]) for axis in (0, 1)], axis=1)


def _wedge(
    number: int,
    item: Item,
    outline: int,
    nodes: np.ndarray,
    feet: np.ndarray,
    ways: np.ndarray,
    side: np.ndarray,
) -> Optional[_Tick]:
    """A triangle, V, T or diamond: even to both sides of the line square to the outline."""
    close = int(np.abs(side).argmin())
    way, on = ways[close], feet[close]
    corners = np.array([bit.start for bit in item.bits] + [item.bits[-1].end])
    flat, high = (corners - on) @ way, (corners - on) @ np.array([way[1], -way[0]])
    middle = (float(flat.max()) + float(flat.min())) / 2.0
    # Its mirror image in the square has the same corners.
    lean = max(float(np.hypot(flat - (2 * middle - a), high - b).min()) for a, b in zip(flat, high))
    agreements = [agreement(lean, TOUCH), agreement(float(np.abs(side).min()), TOUCH)]
    if not believed(agreements) or np.ptp(high) < _SHORTEST or np.ptp(flat) < 0.5:
        return None
    whole = float(np.ptp(high))
    outward = int(np.sign(side[np.abs(side).argmax()])) if np.abs(side).max() > 0.6 * whole else 0
    value = score([SHAPE], agreements)
    return _Tick(number, outline, on + middle * way, whole, outward, value, item.path.curves)


def _row(number: int, item: Item, nest: Nest) -> List[_Tick]:
    """A stroke across several sizes of a nest as a tick outwards on each of them.

    Ticks of graded sizes stand in a row and look like the dashes of one line.  A row stays
    near the outlines all along; a line across the piece does not.
    """
    if item.path.closed or not _LONGEST < item.reach <= _ROW:
        return []
    points = _points_along(item.path)
    chord = points[-1] - points[0]
    chord = chord / max(float(np.hypot(*chord)), 1e-9)
    steps = np.diff(points, axis=0)
    if np.abs(aside(points, points[0], chord)).max() > _WOBBLE or ((steps @ chord) <= 0).any():
        return []
    away, feet, ways = nest.feet(points)
    if away.min(axis=1).max() > _LONGEST:
        return []
    found = []
    for outline in range(away.shape[1]):
        side = _sides(points, feet[:, outline], ways[:, outline])
        at = int(away[:, outline].argmin())
        square = agreement(90.0 - angle_between(chord, ways[at, outline]), _SQUARE)
        if away[at, outline] > TOUCH or square < 0.5:
            continue
        before = np.flatnonzero(side[1:] * side[:-1] < 0)
        foot = feet[at, outline]
        if len(before):
            i = int(before[np.abs(before - at).argmin()])
            foot = points[i] + abs(side[i]) / abs(side[i + 1] - side[i]) * (points[i + 1] - points[i])
        outward = chord if side[-1] > side[0] else -chord
        tick = lines(foot[None], (foot + TICK * outward)[None])
        found.append(_Tick(number, outline, foot, TICK, 1, score([SHAPE], [square]), tick))
    return found if len(found) > 1 else []


def _settled(options: Dict[int, List[_Tick]], items: Sequence[Item], nest: Nest) -> List[List[_Tick]]:
    """For each item the outlines it belongs to.

    An end on a line tells more than a line that it merely crosses.  Where both its ends lie
    on lines, its own group's size decides, then the way in which the others stand, then which
    end is nearer.
    """
    sure = [ticks[0].outward for ticks in options.values() if len(ticks) == 1]
    usual = int(np.sign(sum(sure)))
    found = []
    for number, ticks in options.items():
        ends = [tick for tick in ticks if tick.outward]
        ticks = ends or ticks
        own = [tick for tick in ticks if nest.outlines[tick.outline].size == items[number].size]
        if own and items[number].size:
            ticks = own
        usually = [tick for tick in ticks if tick.outward == usual]
        ticks = (usually or ticks) if ends else ticks
        best = max(tick.score for tick in ticks)
        nearest = next(tick for tick in ticks if tick.score == best)
        together = [t for t in ticks if np.hypot(*(t.foot - nearest.foot)) <= _AS_NEAR] if ends else ticks
        found.append(together)
    return found


def _side_by_side(found: Sequence[List[_Tick]]) -> List[List[List[_Tick]]]:
    """Notches of the same outlines and length that stand a few mm apart, in groups."""
    groups: List[List[List[_Tick]]] = []
    feet = np.array([ticks[0].foot for ticks in found]).reshape(-1, 2)
    home: List[int] = []
    for number, ticks in enumerate(found):
        near = np.flatnonzero(np.hypot(*(feet[:number] - feet[number]).T) <= _BESIDE[1])
        homes = sorted({home[n] for n in near if _neighbours(ticks, found[n])})
        chosen = next((h for h in homes if len(groups[h]) < 3), len(groups))
        if chosen == len(groups):
            groups.append([])
        groups[chosen].append(ticks)
        home.append(chosen)
    return groups


def _neighbours(first: Sequence[_Tick], second: Sequence[_Tick]) -> bool:
    same = [tick.outline for tick in first] == [tick.outline for tick in second]
    apart = float(np.hypot(*(first[0].foot - second[0].foot)))
    alike = abs(first[0].length - second[0].length) <= _ALIKE and first[0].outward == second[0].outward
    return same and alike and _BESIDE[0] <= apart <= _BESIDE[1]


def _takes(
    group: Sequence[List[_Tick]], items: Sequence[Item], nest: Nest, words: Sequence[Words]
) -> List[Take]:
    """One notch for all sizes where it sits at one distance on all of them, else one a size."""
    numbers = tuple(ticks[0].item for ticks in group)
    middle = np.mean([ticks[0].foot for ticks in group], axis=0)
    name = _number(middle, words, [outline.size for outline in nest.outlines])
    value = min(tick.score for ticks in group for tick in ticks)
    made = []
    for i, tick in enumerate(group[0]):
        outline = nest.outlines[tick.outline]
        foot = np.mean([ticks[i].foot for ticks in group], axis=0)
        spot = (float(foot[0]), float(foot[1]))
        curves = np.concatenate([ticks[i].curves for ticks in group])
        sizes = (outline.size,) if outline.size else common_size(items, numbers)
        made.append(Take(NOTCH, value, numbers, curves, name, sizes, (spot,), len(group)))
    alike = all(np.array_equal(take.curves, made[0].curves) for take in made)
    return _one_for_all(made, nest) if alike and len(made) == len(nest.outlines) > 1 else made


def _one_for_all(made: Sequence[Take], nest: Nest) -> List[Take]:
    places = [place_of(o, np.array(take.spots[0])) for o, take in zip(nest.outlines, made)]
    same = all(p.edge == places[0].edge and abs(p.distance - places[0].distance) <= 0.01 for p in places)
    return [made[0]._replace(sizes=())] if same else list(made)


def _number(spot: np.ndarray, words: Sequence[Words], sizes: Sequence[str]) -> str:
    """The number beside a notch; a size's name is none."""
    near: List[Tuple[float, str]] = []
    for one in words:
        text = one.text.strip()
        if text.isdigit() and len(text) <= 2 and text not in sizes:
            near.append((float(np.hypot(*(middle_of(one) - spot))), text))
    return min(near)[1] if near and min(near)[0] <= _NUMBER else ""
