"""Rulers: ticks at equal distances, with numbers; and scale bars: a line between two ticks."""

import math
from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Page
from sewkit.sheet.witness import BAR, BY_CUSTOM, BY_TEXT, INCH, NEAR, RULER, Pair, Witness
from sewkit.sheet.witness_lines import Straights, seen, straights
from sewkit.sheet.witness_words import Text, label, unit_in, unit_length

# Ticks are this long (mm).
_TICK = (0.4, 30.0)
# Ticks of one ruler begin, end or are halved on one line, within this (mm); or, where that
# line is broad, within its breadth, up to this (mm).
_LEVEL, _LINE = 0.15, 1.2
# Two ticks nearer than this are one (mm); the steps between ticks differ by less than this,
# and by less than that share of the step: rulers were seen whose ticks were set by eye.
_ONE, _UNEVEN, _UNEVEN_SHARE = 0.05, 0.08, 0.02
# The shortest step (mm); the fewest ticks with numbers beside them, and without.
_STEP, _FEW, _MANY = 0.5, 4, 9
# Where numbers and units may stand: this far from the ticks (mm).
_REACH = 12.0
# Numbers stand so well in place that the ticks between two of them can be counted.
_COUNTED = 0.35
# Steps by custom (mm), where nothing tells one.
_STEPS = (1.0, 2.0, 5.0, 10.0, 50.0, INCH / 16, INCH / 8, INCH / 4, INCH / 2, INCH)
# A scale bar's length (mm), and how long its end ticks are at most, as a share of it.
_BAR, _END = (8.0, 1500.0), 0.6
# A line this near to an axis tells that axis alone (sine).
_ALONG = 0.035
_PLAIN, _SPOKEN = 3.0, 30.0


class Comb(NamedTuple):
    """Ticks at equal steps: along ``way`` from ``first``, ``count`` steps of ``step`` mm.

    ``reach``: how far the ticks stick out to both sides of the line (mm).  ``stray``: how
    far a tick lies from where it should, at most (mm).
    """

    first: np.ndarray
    way: np.ndarray
    step: float
    count: int
    reach: Tuple[float, float]
    drawn: int
    stray: float = 0.0

    @property
    def length(self) -> float:
        """From the first to the last tick (mm)."""
        return self.step * self.count


def combs(page: Page, lines: Straights) -> Tuple[Comb, ...]:
    """All runs of parallel ticks at equal steps on a page; the longest of those that share ticks."""
    lengths = lines.lengths
    ticks = lines.pick((lengths >= _TICK[0]) & (lengths <= _TICK[1]))
    if len(ticks.starts) < _FEW:
        return ()
    angles = np.degrees(np.arctan2(*(ticks.ends - ticks.starts).T[::-1])) % 180.0
    # Whole and half degrees, at which rulers lie, must not fall between two classes.
    classes = np.floor((angles + 0.63) % 180.0).astype(int)
    found: List[Comb] = []
    for one in np.unique(classes):
        some = ticks.pick(classes == one)
        if len(some.starts) >= _FEW:
            found += _of_one_direction(some)
    return _apart(found)


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
                    found.append(_comb(points[some], reach, int(ticks.drawn[some[0]])))
    return found


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
        if not any(_overlaps(comb, other) for other in kept):
            kept.append(comb)
    return tuple(kept)


def _overlaps(comb: Comb, other: Comb) -> bool:
    if abs(float(comb.way @ other.way)) < 0.999:
        return False
    away = comb.first + comb.way * comb.length / 2 - other.first
    along = float(away @ other.way)
    aside = abs(float(away[0] * other.way[1] - away[1] * other.way[0]))
    inside = -comb.length / 2 < along < other.length + comb.length / 2
    return inside and aside <= max(*map(abs, comb.reach), *map(abs, other.reach)) + _LEVEL


def rulers(page: Page, labels: Sequence[Text], texts: Sequence[Text]) -> Tuple[Witness, ...]:
    """The rulers of a page, measured over all their ticks by least squares.

    ``labels``: every run of words by itself; ``texts``: put together to lines.
    """
    witnesses = []
    for comb in combs(page, straights(page)):
        x, y = comb.first + comb.way * comb.length / 2
        middle = float(x), float(y)
        if not seen(page, page.drawn[comb.drawn], middle):
            continue
        unit, words, told_by = _one_step(comb, labels, texts)
        if unit > 0:
            true = unit * comb.count
            found = _straight(RULER, page, comb.way, comb.length, true, middle, told_by, words)
            witnesses.append(found._replace(stray=comb.stray))
    return tuple(witnesses)


def _one_step(comb: Comb, labels: Sequence[Text], texts: Sequence[Text]) -> Tuple[float, str, str]:
    """What one step should be (mm), the words that tell it, and what kind of proof that is."""
    near = [text for text in labels if _beside(comb, text)]
    numbered = [(text, label(text.text)) for text in near]
    values = [(text, read[0], read[1]) for text, read in numbered if read is not None]
    share = _values_in_a_step(comb, [(text, value) for text, value, _ in values])
    words = " ".join(text.text for text, _, _ in values[:6])
    units = [unit for _, _, unit in values if unit]
    units += [unit_in(t.text) for t in texts if unit_in(t.text) and _beside(comb, t) and len(t.text) < 40]
    if share and units:
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
    told = comb.count + 1 >= _MANY and abs(comb.step / step - 1) <= NEAR
    return (step if told else 0.0), "", BY_CUSTOM


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


def bars(page: Page, texts: Sequence[Text], known: Sequence[Comb] = ()) -> Tuple[Witness, ...]:
    """Lines between two end ticks with a size written beside them.

    ``known``: rulers, whose own line is no scale bar.
    """
    telling = [text for text in texts if text.says_size]
    lines = straights(page)
    if not telling or not len(lines.starts):
        return ()
    lengths = lines.lengths
    long = np.nonzero((lengths >= _BAR[0]) & (lengths <= _BAR[1]))[0]
    found: Dict[Pair, Witness] = {}
    for text in telling:
        near = [(_away(lines, int(i), text), int(i)) for i in long if _close(lines, int(i), text)]
        for distance, number in sorted(near):
            witness = _bar(page, lines, number, text, known) if distance <= _REACH else None
            if witness is not None:
                found.setdefault(witness.point, witness)
                break
    return tuple(found.values())


def _close(lines: Straights, number: int, text: Text) -> bool:
    """A quick look, before measuring: the text lies in the line's box, widened."""
    ends = np.array([lines.starts[number], lines.ends[number]])
    low, high = ends.min(axis=0) - _REACH, ends.max(axis=0) + _REACH
    return bool(((text.points >= low) & (text.points <= high)).all(axis=1).any())


def _away(lines: Straights, number: int, text: Text) -> float:
    start, end = lines.starts[number], lines.ends[number]
    way = (end - start) / np.hypot(*(end - start))
    along = np.clip((text.points - start) @ way, 0.0, float((end - start) @ way))
    return float(np.hypot(*(text.points - start - along[:, None] * way).T).min())


def _bar(page: Page, lines: Straights, number: int, text: Text, known: Sequence[Comb]) -> Optional[Witness]:
    start, end = lines.starts[number], lines.ends[number]
    length = float(np.hypot(*(end - start)))
    way = (end - start) / length
    middle = float(start[0] + end[0]) / 2, float(start[1] + end[1]) / 2
    if any(_overlaps(Comb(start, way, length, 1, (-1.0, 1.0), 0), comb) for comb in known):
        return None
    square = np.abs(lines.ways @ way) < 0.05
    short = lines.lengths <= max(_END * length, 1.0)
    places = []
    for spot in (start, end):
        reach = _LEVEL + 0.5 * float(lines.pens[number])
        on = square & short & (_to_point(lines, spot) <= reach + 0.5 * lines.pens)
        if not on.any():
            return None
        tick = int(np.nonzero(on)[0][0])
        places.append(float(((lines.starts[tick] + lines.ends[tick]) / 2 - start) @ way))
    between = square & short & (_to_line(lines, start, end) <= _LEVEL)
    if _inside(lines, between, start, way, length) > 0:
        return None  # ticks in between: a ruler that was not understood, or a row of notches
    measured = places[1] - places[0]
    most = _SPOKEN if text.speaks else _PLAIN
    lengths = [across for across, down in text.sizes if across == down]
    sizes = [size for size in lengths if 1 / most < measured / size < most]
    if not sizes or not seen(
        page, page.drawn[int(lines.drawn[number])], (float(middle[0]), float(middle[1]))
    ):
        return None
    nominal = min(sizes, key=lambda size: abs(math.log(measured / size)))
    told = _straight(BAR, page, way, measured, nominal, middle, BY_TEXT, text.text)
    across, down = told.nominal[0] > 0, told.nominal[1] > 0
    return told._replace(options=tuple((size * across, size * down) for size in sizes))


def _to_point(lines: Straights, spot: np.ndarray) -> np.ndarray:
    """How far each line is from a point (mm)."""
    along = np.clip(((spot - lines.starts) * lines.ways).sum(axis=1), 0.0, lines.lengths)
    return np.hypot(*(lines.starts + along[:, None] * lines.ways - spot).T)


def _to_line(lines: Straights, start: np.ndarray, end: np.ndarray) -> np.ndarray:
    """How far the nearest of each line's ends and middle is from a line (mm)."""
    way = (end - start) / np.hypot(*(end - start))
    points = np.stack([lines.starts, (lines.starts + lines.ends) / 2, lines.ends])
    aside = np.abs((points - start) @ np.array([-way[1], way[0]]))
    return aside.min(axis=0)


def _inside(lines: Straights, which: np.ndarray, start: np.ndarray, way: np.ndarray, length: float) -> int:
    along = ((lines.starts + lines.ends) / 2 - start)[which] @ way
    return int(((along > 1.0) & (along < length - 1.0)).sum())


def _straight(
    kind: str,
    page: Page,
    way: np.ndarray,
    measured: float,
    nominal: float,
    middle: Pair,
    told_by: str,
    words: str,
) -> Witness:
    """A witness of one length; on a slant it stands for both axes."""
    across, down = abs(float(way[1])) < _ALONG, abs(float(way[0])) < _ALONG
    axis = "x" if across else "y" if down else "both"
    both = (0.0 if down else 1.0, 0.0 if across else 1.0)
    true = (nominal * both[0], nominal * both[1])
    return Witness(
        kind,
        page.number,
        axis,
        true,
        (measured * both[0], measured * both[1]),
        middle,
        told_by,
        words,
        options=(true,),
    )
