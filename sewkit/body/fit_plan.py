"""The changes that bring a pattern to one body, in a cutter's order, as steps a recipe can hold.

Length first, then sizes level by level, then what the body needs beyond sizes; the one line
that is made for the body is taken out of the nest before the needs, so that they change
nothing but it.  Levels lie where the body has them: the hip swings to the body's hip height
and not to the printed one.  Nothing is drawn here; the steps are plain values.
"""

import re
from typing import Collection, Dict, Mapping, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.length_book import LengthBook, length_book, length_steps
from sewkit.body.need import double_counts, read_all
from sewkit.body.need_steps import need_plan
from sewkit.body.pattern_words import PatternWords
from sewkit.body.planned_step import PlannedStep
from sewkit.body.size_chart import SizeChart
from sewkit.body.sizing import BUSTS, Sizing, value_at
from sewkit.body.swing_steps import nearest_size, stops_of, swing_steps, unreached

__all__ = ["FitPlan", "PatternWords", "PlannedStep", "fit_plan", "quarters"]

# What our own patterns call things.
WORDS = PatternWords()

# What no name of a size may hold.
_NOT_IN_NAMES = re.compile(r"[\s/=+,:~]+")

_UNREACHED = (
    "The pattern has no level for the {0}, so it is size {1} there and does not swing to {2}: draw one."
)


class FitPlan(NamedTuple):
    """A plan.

    Args:
        steps: in order.
        told: what to say of the plan, one sentence each.
        skipped: what the body wants and the plan does not do, one sentence each.
        book: the lengths, band by band.
        finished: the garment round the body (mm) by the chart's measures, needs counted in.
        line: the name of the size line that the body gets.
        unreached: measures at which the body has a size that nothing swings to.
    """

    steps: Tuple[PlannedStep, ...]
    told: Tuple[str, ...] = ()
    skipped: Tuple[str, ...] = ()
    book: LengthBook = LengthBook()
    finished: Mapping[str, float] = {}
    line: str = ""
    unreached: Tuple[str, ...] = ()


def fit_plan(
    sizing: Sizing,
    chart: SizeChart,
    body: Body,
    levels: Mapping[str, float],
    edges: PatternWords = WORDS,
    needs: Optional[Sequence[str]] = None,
    who: str = "",
) -> FitPlan:
    """The plan for one body.

    Args:
        levels: heights of the pattern's levels along the grain (mm), downwards, by name; of
            nape, armhole and hem too where they are known.
        edges: what the pattern calls its edges and pieces.
        needs: what the body needs, in words; ``None`` takes what stands on its sheet.
        who: the name of the body's own line; "" takes the body's.

    A sizing that is held gives a plan without steps.
    """
    if sizing.held or not sizing.at:
        return FitPlan((), (), (sizing.held,) if sizing.held else ())
    wanted, skipped_needs = read_all(body.fits if needs is None else needs)
    book = length_book(sizing, chart, body, levels)
    steps, skipped = length_steps(book, levels, edges)
    stops, told = stops_of(sizing, body, levels)
    line = _line(who or body.who, chart)
    swings, odd = swing_steps(stops, chart, edges.side, line, sizing.exact)
    steps += swings
    made = line if swings else nearest_size(stops[0].at, chart)
    why = "Only the line that is made for this body is kept; the nest stays in the master."
    steps.append(PlannedStep("size", {"size_kept": made}, (), why))
    needed = need_plan(wanted, sizing, levels, edges)
    steps += needed.steps
    told += [*book.told, *needed.told, *double_counts(sizing, book, wanted)]
    lost = unreached(sizing, stops)
    base = nearest_size(stops[0].at, chart)
    skipped += [_UNREACHED.format(name, base, size) for name, size in lost.items()]
    skipped += [*odd, *needed.skipped, *skipped_needs]
    finished = _finished(sizing, chart, needed.gains, lost)
    return FitPlan(tuple(steps), tuple(told), tuple(skipped), book, finished, made, tuple(lost))


def quarters(sizing: Sizing, chart: SizeChart) -> Dict[str, float]:
    """How much wider (mm) a quarter of the garment is at each level than in the size that leads."""
    found = {}
    for one in sizing.at:
        values = chart.finished_values(one.measure) or chart.values(one.measure)
        if values is not None:
            lead = value_at(values, sizing.lead.number)
            found[one.measure] = (value_at(values, one.number) - lead) / 4.0
    return found


def _finished(
    sizing: Sizing, chart: SizeChart, gains: Mapping[str, float], lost: Collection[str]
) -> Dict[str, float]:
    """The garment that the plan makes (mm): no line lies beyond the nest, no base in between."""
    found = {}
    for one in sizing.at:
        values = chart.finished_values(one.measure)
        if values is not None:
            at = sizing.lead if one.measure in lost else one
            base = float(chart.sizes.index(nearest_size(at, chart)) + 1)
            inside = min(max(one.number, 1.0), float(len(chart.sizes)))
            made = value_at(values, base if one.measure in (*BUSTS, *lost) else inside)
            found[one.measure] = made + gains.get(one.measure, 0.0)
    return found


def _line(who: str, chart: SizeChart) -> str:
    """A name for the body's own line that is none of the sizes."""
    name = _NOT_IN_NAMES.sub("-", who.strip()).strip("-") or "fitted"
    return "fitted-{}".format(name) if name in chart.sizes else name
