"""Where the side seam swings from size to size for one body, and the blends that do it.

A swing arrives at the level as the body has it.  Where two levels have one size, the line
is held between them and swings only after the lower one.
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.pattern_words import level_for
from sewkit.body.planned_step import PlannedStep, Value, in_mm, place
from sewkit.body.size_chart import SizeChart
from sewkit.body.sizing import BUSTS, SizeAt, Sizing
from sewkit.units import write_number

# The old line is left so far below the armhole (mm; 2 in, common practice in teaching).
LEAVES = 50.0

# Where neither body nor pattern say, so far below the waist lie the high hip and the hip (mm;
# common practice 8 to 10 cm; textbooks 18 to 23 cm).
_DEPTHS = {"high hip": 90.0, "hip": 200.0, "seat": 200.0}

# Two heights that differ by less are told as one (mm).
_TOLD = 0.5

# Sizes and lengths that differ by less are the same.
_SAME = 1e-6


class Stop(NamedTuple):
    """A level on the way down the side.

    Args:
        at: the size there.
        words: where it lies, for an operation, such as waist+220mm.
        height: along the grain (mm), downwards.
    """

    at: SizeAt
    words: str
    height: float


def nearest_size(at: SizeAt, chart: SizeChart) -> str:
    """The name of the nearest whole size; half-way the larger, beyond the chart the last one."""
    return chart.sizes[min(max(int(at.number + 0.5 + _SAME), 1), len(chart.sizes)) - 1]


# -- where --------------------------------------------------------------------------------


def stops_of(sizing: Sizing, body: Body, levels: Mapping[str, float]) -> Tuple[Tuple[Stop, ...], List[str]]:
    """The levels that body, chart and pattern have in common, down the body; and what to say of them.

    The first is where the edge begins; where the pattern has none of them it is the size that leads.
    """
    told: List[str] = []
    found: List[Stop] = []
    for one in sizing.at:
        if one.measure in BUSTS and one.measure != sizing.main:
            continue
        stop = _stop(one, body, levels, told)
        if stop is not None:
            found.append(stop)
    found.sort(key=lambda stop: stop.height)
    return tuple(found) or (Stop(sizing.lead, "", 0.0),), told


def unreached(sizing: Sizing, stops: Sequence[Stop]) -> Dict[str, str]:
    """The waist with its size, where it has another size than the one that leads and is no level here.

    A hip without a level is none of a garment that ends above it.
    """
    there = [stop.at.measure for stop in stops]
    found = [one for one in sizing.at if one.measure == "waist" and one.measure not in there]
    return {one.measure: one.size for one in found if one.size != sizing.lead.size}


def _stop(one: SizeAt, body: Body, levels: Mapping[str, float], told: List[str]) -> Optional[Stop]:
    own, waist = level_for(levels, one.measure), level_for(levels, "waist")
    if one.measure in BUSTS or one.measure == "waist":
        return None if own is None else Stop(one, own, levels[own])
    if one.measure not in _DEPTHS or waist is None:
        return None
    hem = levels.get("hem")
    printed = levels[own] - levels[waist] if own is not None else _DEPTHS[one.measure]
    measured = body.of("high hip depth" if one.measure == "high hip" else "hip depth")
    drop = printed if measured is None else measured
    if own is None and (hem is None or hem <= levels[waist] + drop):
        return None
    if measured is None:
        text = "How far the {} lies below the waist was not measured: {:.1f} cm are taken."
        told.append(text.format(one.measure, drop / 10))
    elif abs(measured - printed) > _TOLD:
        text = (
            "The {} lies {:.1f} cm below the waist on the body, {:.1f} cm on the pattern: the body's counts."
        )
        told.append(text.format(one.measure, measured / 10, printed / 10))
    return Stop(one, place(waist, drop), levels[waist] + drop)


# -- how ----------------------------------------------------------------------------------


def swing_steps(
    stops: Sequence[Stop], chart: SizeChart, side: str, line: str, exact: bool
) -> Tuple[List[PlannedStep], List[str]]:
    """The blends from level to level, and one sentence for each size they cannot reach.

    Args:
        side: the edge that swings.
        line: the name of the new line.
        exact: sizes in between are meant.
    """
    skipped = []
    for stop in stops:
        if not 1 - _SAME <= stop.at.number <= len(chart.sizes) + _SAME:
            text = (
                "The {} lies {:.2f} steps beyond the nest, and no line can be drawn there yet: size {} is "
                "taken, {:.1f} cm away all round."
            )
            outside = max(1.0 - stop.at.number, stop.at.number - len(chart.sizes))
            last = nearest_size(stop.at, chart)
            away = abs(stop.at.chart - _drafted(chart, stop.at.measure, last)) / 10
            skipped.append(text.format(stop.at.measure, outside, last, away))
    first = stops[0].at
    if exact and abs(first.number - round(first.number)) > _SAME:
        text = "No whole piece between two sizes can be drawn yet: at the {} it is size {} instead of {}."
        skipped.append(text.format(first.measure, nearest_size(first, chart), between(first, chart)))
    made = _between(stops, chart, side, line) if exact else _whole(stops, chart, side, line)
    return made, skipped


def between(at: SizeAt, chart: SizeChart) -> str:
    """Where a body lies between two sizes, by their names: "33% of the way from 36 to 38"."""
    whole = int(at.number + _SAME)
    part = at.number - whole
    if part < _SAME or not 1 <= whole < len(chart.sizes):
        return nearest_size(at, chart)
    return "{:.0f}% of the way from {} to {}".format(100 * part, *chart.sizes[whole - 1 : whole + 1])


def _drafted(chart: SizeChart, measure: str, size: str) -> float:
    return (chart.values(measure) or ())[chart.sizes.index(size)]


def _whole(stops: Sequence[Stop], chart: SizeChart, side: str, line: str) -> List[PlannedStep]:
    """Swings between whole sizes; those that follow each other from the first level on are one chain."""
    sizes = [nearest_size(stop.at, chart) for stop in stops]
    runs: List[List[int]] = []
    for number in range(1, len(stops)):
        if sizes[number] == sizes[number - 1]:
            continue
        if runs and runs[-1][0] == 0 and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number - 1, number])
    steps: List[PlannedStep] = []
    before = sizes[0]
    for count, run in enumerate(runs, 1):
        name = line if count == len(runs) else "{}-{}".format(line, count)
        told = ", ".join("{} at the {}".format(sizes[n], stops[n].at.measure) for n in run)
        values = _window(stops, run, side)
        values.update(first=before, then=" ".join(sizes[n] for n in run[1:]), called=name)
        steps.append(PlannedStep("blend", values, (), "The side swings: size {}.".format(told)))
        before = name
    return steps


def _between(stops: Sequence[Stop], chart: SizeChart, side: str, line: str) -> List[PlannedStep]:
    """One swing for each level whose size is not reached yet, so far toward the next whole size as it needs.

    What a line measures at every level is kept account of, so that each share is exact
    where the nest grades as the chart does.
    """
    base = nearest_size(stops[0].at, chart)
    now = {stop.at.measure: _drafted(chart, stop.at.measure, base) for stop in stops}
    found: List[Tuple[int, str, float]] = []
    for number, stop in enumerate(stops[1:], 1):
        values = chart.values(stop.at.measure) or ()
        here = now[stop.at.measure]
        goal = min(max(stop.at.chart, values[0]), values[-1])
        if abs(goal - here) < _TOLD:
            continue
        size = _toward(chart, values, here, goal)
        share = (goal - here) / (_drafted(chart, stop.at.measure, size) - here)
        found.append((number, size, share))
        now = {name: v + share * (_drafted(chart, name, size) - v) for name, v in now.items()}
    steps: List[PlannedStep] = []
    before = base
    for count, (number, size, share) in enumerate(found, 1):
        name = line if count == len(found) else "{}-{}".format(line, count)
        values_ = _window(stops, (number - 1, number), side)
        values_.update(first=before, then=size, called=name)
        if share < 1 - _SAME:
            values_["share"] = write_number(round(share * 100, 4))
        at = stops[number].at
        why = "The side swings to size {} at the {}.".format(between(at, chart), at.measure)
        steps.append(PlannedStep("blend", values_, (), why))
        before = name
    return steps


def _toward(chart: SizeChart, values: Sequence[float], here: float, goal: float) -> str:
    """The whole size nearest to the goal that does not lie short of it."""
    if goal > here:
        return next(size for size, value in zip(chart.sizes, values) if value >= goal - _SAME)
    return next(size for size, value in zip(chart.sizes[::-1], values[::-1]) if value <= goal + _SAME)


def _window(stops: Sequence[Stop], run: Sequence[int], side: str) -> Dict[str, Value]:
    """Where a swing begins and arrives, in the operation's words."""
    start, until = stops[run[0]], " ".join(stops[n].words for n in run[1:])
    values: Dict[str, Value] = {"first": "", "then": "", "edge": side, "until": until}
    if run[0] == 0:
        values["lead"] = in_mm(LEAVES if start.at.measure in BUSTS else 0.0)
    else:
        # The line is held down to the level above, and swings from there.
        values["custom"] = "short"
        values["lead"] = in_mm(stops[run[1]].height - start.height)
    return values
