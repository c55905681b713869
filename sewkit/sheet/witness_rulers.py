"""Rulers: ticks at equal distances, with numbers beside them."""

import math
from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Page
from sewkit.sheet.witness import BY_CUSTOM, BY_TEXT, INCH, NEAR, RULER, Witness, of_one_length
from sewkit.sheet.witness_lines import Straights, seen
from sewkit.sheet.witness_words import Text, label, says_only_unit, unit_in, unit_length

# Ticks are this long (mm).
_TICK = (0.4, 30.0)
# Ticks of one ruler begin, end or are halved on one line, within this (mm); or, where that
# line is broad, within its breadth, up to this (mm).
_LEVEL, _LINE = 0.15, 1.2
# Two ticks nearer than this are one (mm); the steps between ticks differ by less than this,
# and by less than that share of the step: rulers were seen whose ticks were set by eye.
_ONE, _UNEVEN, _UNEVEN_SHARE = 0.05, 0.08, 0.02
# Ticks are level or upright within this (degrees), or so many run alike within that, which
# dashes on a curve hardly ever do.
_UPRIGHT, _ALIKE, _SLANTING = 1.5, 0.02, 8
# The shortest step (mm); the fewest ticks with numbers beside them, and without.
_STEP, _FEW, _MANY = 0.5, 4, 9
# Where numbers and units may stand: this far from the ticks (mm).
_REACH = 12.0
# Numbers stand so well in place that the ticks between two of them can be counted.
_COUNTED = 0.35
# Steps by custom (mm), where nothing tells one.
_STEPS = (1.0, 2.0, 5.0, 10.0, 50.0, INCH / 16, INCH / 8, INCH / 4, INCH / 2, INCH)
# How far off the scale may be where a text names a unit and nothing else.
_PLAIN = 3.0


class Comb(NamedTuple):
    """Ticks at equal steps: along ``way`` from ``first``, ``count`` steps of ``step`` mm.

    ``reach``: how far the ticks stick out to both sides of the line (mm).  ``stray``: how
    far a tick lies from where it should, at most (mm).  ``graded``: some ticks are longer
    than the others, as they are on a ruler.
    """

    first: np.ndarray
    way: np.ndarray
    step: float
    count: int
    reach: Tuple[float, float]
    drawn: int
    stray: float = 0.0
    graded: bool = False

    @property
    def length(self) -> float:
        """From the first to the last tick (mm)."""
        return self.step * self.count


def combs(lines: Straights) -> Tuple[Comb, ...]:
    """All runs of parallel ticks at equal steps; of those that share ticks the longest."""
    lengths = lines.lengths
    ticks = lines.pick((lengths >= _TICK[0]) & (lengths <= _TICK[1]))
    if len(ticks.starts) < _FEW:
        return ()
    angles = np.degrees(np.arctan2(*(ticks.ends - ticks.starts).T[::-1])) % 180.0
    kept = _parallel(angles)
    ticks, angles = ticks.pick(kept), angles[kept]
    # Whole and half degrees, at which rulers lie, must not fall between two classes.
    classes = np.floor((angles + 0.63) % 180.0).astype(int)
    found: List[Comb] = []
    for one in np.unique(classes):
        some = ticks.pick(classes == one)
        if len(some.starts) >= _FEW:
            found += _of_one_direction(some)
    return _apart(found)


def _parallel(angles: np.ndarray) -> np.ndarray:
    """Which lines are level or upright, or run exactly as some others do; dashes on curves do not."""
    upright = np.abs((angles + 45.0) % 90.0 - 45.0) < _UPRIGHT
    order = np.argsort(angles, kind="stable")
    together = np.zeros(len(angles), bool)
    if len(angles) >= _SLANTING:
        alike = angles[order][_SLANTING - 1 :] - angles[order][: 1 - _SLANTING] < _ALIKE
        for number in range(_SLANTING):
            together[number : len(angles) - _SLANTING + 1 + number] |= alike
    some = np.zeros(len(angles), bool)
    some[order] = together
    return upright | some


def _of_one_direction(ticks: Straights) -> List[Comb]:
    out = _usual_way(ticks.ways)
    along = np.array([out[1], -out[0]])
    along = along * (-1.0 if along[0] < -1e-9 or (abs(along[0]) <= 1e-9 and along[1] < 0) else 1.0)
    a, b = ticks.starts @ out, ticks.ends @ out
    low = np.where((a < b)[:, None], ticks.starts, ticks.ends)
    high = np.where((a < b)[:, None], ticks.ends, ticks.starts)
    # Ticks may begin anywhere in the breadth of the line they stand on.
    withins = {_LEVEL, _LEVEL + float(np.median(ticks.pens)), _LEVEL + min(float(ticks.pens.max()), _LINE)}
    found = []
    for points in (low, high, (low + high) / 2):
        level, place = points @ out, points @ along
        order = np.argsort(level, kind="stable")
        for within in sorted(withins):
            steps = np.diff(level[order]) > within
            for group in np.split(order, np.nonzero(steps)[0] + 1):
                for run in _even_runs(place[group]) if len(group) >= _FEW else ():
                    some = group[run]
                    at = float(level[some].mean())
                    reach = float((low[some] @ out).min()) - at, float((high[some] @ out).max()) - at
                    comb = _comb(points[some], reach, int(ticks.drawn[some[0]]))
                    found.append(comb._replace(graded=_graded(ticks.lengths[some])))
    return found


def _graded(lengths: np.ndarray) -> bool:
    return int((lengths > 1.25 * lengths.min()).sum()) >= 2 <= int((lengths < 0.8 * lengths.max()).sum())


def _usual_way(ways: np.ndarray) -> np.ndarray:
    """The direction that most of nearly parallel ticks have, ``(2,)``; strays do not count."""
    ways = ways * np.where(ways @ ways[0] < 0, -1.0, 1.0)[:, None]
    angles = np.degrees(np.arctan2(ways @ np.array([-ways[0, 1], ways[0, 0]]), ways @ ways[0]))
    classes, counts = np.unique(np.round(angles, 1), return_counts=True)
    some = ways[np.round(angles, 1) == classes[counts.argmax()]]
    return some.mean(axis=0) / np.hypot(*some.mean(axis=0))


def _even_runs(places: np.ndarray) -> List[np.ndarray]:
    """The longest runs of equal steps, as indexes in order; doubled ticks count once."""
    order = np.argsort(places, kind="stable")
    kept = order[np.concatenate([[True], np.diff(places[order]) > _ONE])]
    steps = np.diff(places[kept])
    found, start = [], 0
    while start < len(steps):
        stop = start + 1
        allowed = _UNEVEN + _UNEVEN_SHARE * steps[start]
        while stop < len(steps) and abs(steps[stop] - steps[start]) <= allowed:
            stop += 1
        if stop - start >= _FEW - 1 and steps[start] >= _STEP:
            found.append(kept[start : stop + 1])
        start = max(stop, start + 1)
    return found


def _comb(points: np.ndarray, reach: Tuple[float, float], drawn: int) -> Comb:
    """Step, direction and first tick by least squares."""
    numbers = np.arange(len(points), dtype=np.float64)
    spread = numbers - numbers.mean()
    vector = (spread[:, None] * points).sum(axis=0) / (spread**2).sum()
    step = float(np.hypot(*vector))
    first = points.mean(axis=0) - vector * numbers.mean()
    stray = float(np.abs((points - first) @ vector / step - step * numbers).max())
    return Comb(first, vector / step, step, len(points) - 1, reach, drawn, stray)


def _apart(found: Sequence[Comb]) -> Tuple[Comb, ...]:
    """Of combs that lie on each other, the one with the most ticks."""
    kept: List[Comb] = []
    for comb in sorted(found, key=lambda c: (-c.count, -c.length)):
        if not kept or not overlapping(comb, kept).any():
            kept.append(comb)
    return tuple(kept)


def overlapping(comb: Comb, others: Sequence[Comb]) -> np.ndarray:
    """Which of the other combs run along this one and share its place."""
    ways, firsts = (np.array([getattr(one, name) for one in others]) for name in ("way", "first"))
    lengths = np.array([one.length for one in others])
    reach = np.maximum(np.abs([one.reach for one in others]).max(axis=1), max(map(abs, comb.reach)))
    away = comb.first + comb.way * comb.length / 2 - firsts
    along = (away * ways).sum(axis=1)
    aside = np.abs(away[:, 0] * ways[:, 1] - away[:, 1] * ways[:, 0])
    inside = (along > -comb.length / 2) & (along < lengths + comb.length / 2)
    return (np.abs(ways @ comb.way) >= 0.999) & inside & (aside <= reach + _LEVEL)


def rulers(
    page: Page, lines: Straights, found: Sequence[Comb], labels: Sequence[Text], texts: Sequence[Text]
) -> Tuple[Witness, ...]:
    """The rulers of a page, measured over all their ticks by least squares.

    ``labels``: every run of words by itself; ``texts``: put together to lines.
    """
    witnesses = []
    labels = [text for text in labels if label(text.text) is not None]
    texts = [text for text in texts if text.says_size or _tells_unit(text)]
    for comb in found:
        x, y = comb.first + comb.way * comb.length / 2
        middle = float(x), float(y)
        if not seen(page, page.drawn[comb.drawn], middle):
            continue
        unit, words, told_by = _one_step(comb, labels, texts)
        if unit > 0 and (told_by == BY_TEXT or _stands_on_a_line(comb, lines)):
            true = unit * comb.count
            one = of_one_length(RULER, page.number, comb.way, comb.length, true, middle, told_by, words)
            witnesses.append(one._replace(stray=comb.stray))
    return tuple(witnesses)


def _one_step(comb: Comb, labels: Sequence[Text], texts: Sequence[Text]) -> Tuple[float, str, str]:
    """What one step should be (mm), the words that tell it, and what kind of proof that is."""
    numbered = [(text, label(text.text)) for text in labels if _beside(comb, text)]
    values = [(text, read[0], read[1]) for text, read in numbered if read is not None]
    share = _values_in_a_step(comb, [(text, value) for text, value, _ in values])
    words = " ".join(text.text for text, _, _ in values[:6])
    units = [unit for _, _, unit in values if unit]
    units += [unit_in(text.text) for text in texts if _tells_unit(text) and _beside(comb, text)]
    if share and units and 1 / _PLAIN < comb.step / (share * unit_length(units[0])) < _PLAIN:
        return share * unit_length(units[0]), words, BY_TEXT
    if share:
        one = min((1.0, 10.0, INCH), key=lambda mm: abs(math.log(comb.step / (share * mm))))
        near_enough = abs(comb.step / (share * one) - 1) <= NEAR
        return (share * one if near_enough else 0.0), words, BY_CUSTOM
    for text in texts:
        if text.says_size and _beside(comb, text):
            for size, _ in text.sizes:
                step = size / comb.count
                if any(abs(step / one - 1) < 1e-6 for one in _STEPS):
                    return step, text.text, BY_TEXT
    step = min(_STEPS, key=lambda mm: abs(math.log(comb.step / mm)))
    told = comb.graded and comb.count + 1 >= _MANY and abs(comb.step / step - 1) <= NEAR
    return (step if told else 0.0), "", BY_CUSTOM


def _stands_on_a_line(comb: Comb, lines: Straights) -> bool:
    """Whether a line runs along the ticks, as on a ruler; a nest of dashes has none."""
    across = np.array([-comb.way[1], comb.way[0]])
    starts, ends = lines.starts - comb.first, lines.ends - comb.first
    aside = np.maximum(np.abs(starts @ across), np.abs(ends @ across))
    low, high = np.minimum(starts @ comb.way, ends @ comb.way), np.maximum(starts @ comb.way, ends @ comb.way)
    covered = np.minimum(high, comb.length) - np.maximum(low, 0.0)
    return bool(((aside <= _LEVEL + _LINE) & (covered >= 0.9 * comb.length)).any())


def _tells_unit(text: Text) -> bool:
    """Whether a text is the unit of what stands beside it, as "cm" or "(inches)" is."""
    return bool(unit_in(text.text)) and (text.speaks or says_only_unit(text.text))


def _beside(comb: Comb, text: Text) -> bool:
    away = text.points - comb.first
    along = away @ comb.way
    aside = away @ np.array([-comb.way[1], comb.way[0]])
    reach = max(map(abs, comb.reach)) + _REACH
    return bool(((along > -_REACH) & (along < comb.length + _REACH) & (np.abs(aside) < reach)).any())


def _values_in_a_step(comb: Comb, values: Sequence[Tuple[Text, float]]) -> float:
    """How much the numbers grow from tick to tick; 0 where they tell nothing.

    The numbers' starts, middles or ends stand at their ticks: of three numbers and more
    whichever fits best, of two only what all of these say alike.
    """
    numbers = np.array([value for _, value in values])
    if len(set(numbers.tolist())) < 2:
        return 0.0
    spread = numbers - numbers.mean()
    found: List[Tuple[float, float]] = []
    for anchor in (0, 1, 2):
        places = np.array([float((text.points[anchor] - comb.first) @ comb.way) for text, _ in values])
        slope = float((spread * places).sum() / (spread**2).sum())
        rest = float(np.abs(places - places.mean() - slope * spread).max())
        share = _whole_share(abs(slope) / comb.step)
        if share and rest <= comb.step * max(1 / share, 1.0) / 2:
            found.append((rest, share))
    if not found or (len(set(numbers.tolist())) == 2 and len({share for _, share in found}) > 1):
        return 0.0
    return min(found)[1]


def _whole_share(ticks: float) -> float:
    """The part of a number that one step is, for so many ticks from number to number; 0 for none."""
    whole, each = round(ticks), round(1 / ticks) if ticks > 0 else 0
    if whole >= 1 and abs(ticks - whole) < _COUNTED:
        return 1.0 / whole
    return float(each) if each >= 1 and abs(1 / ticks - each) < _COUNTED else 0.0
