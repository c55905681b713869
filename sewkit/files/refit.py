"""A fit sheet for the next body, the next size or another pattern: amounts from needs, never copied.

Needs belong to a person.  On another garment of the same person they are worked out anew;
for another person only what stands on that one's own sheet counts, and that is told.
"""

from typing import List, Mapping, Tuple

from sewkit.body.body import Body
from sewkit.body.fit_plan import FitPlan, PatternWords, fit_plan
from sewkit.body.need import read_need
from sewkit.body.size_chart import SizeChart
from sewkit.body.sizing import Sizing
from sewkit.errors import InputError
from sewkit.files.fit_sheet import FitSheet, NextSheet, next_sheet, planned_steps
from sewkit.report import Finding, Level

# What patterns call things where nobody said otherwise.
WORDS = PatternWords()


def refit(
    sheet: FitSheet,
    sizing: Sizing,
    chart: SizeChart,
    body: Body,
    levels: Mapping[str, float],
    words: PatternWords = WORDS,
    title: str = "",
) -> NextSheet:
    """The sheet planned anew for a body, with what there is to tell of the plan.

    Args:
        sheet: of any person and pattern; its own steps and what was switched off are kept.
        sizing: the sizes of the new body on the new chart; one that is held is an ``InputError``.
        levels: heights of the new pattern's levels (mm), downwards, by name.
        words: what the new pattern calls its edges and pieces.
        title: of the new sheet; empty keeps the old one.

    What the sheet was made from is left empty, for only who reads the files knows it.
    """
    if sizing.held:
        raise InputError(sizing.held, code="held")
    needs, told = needs_for(sheet, body)
    plan = fit_plan(sizing, chart, body, levels, words, needs, body.who)
    head = FitSheet(title or sheet.title, body.who, needs)
    made, more = next_sheet(sheet, planned_steps(plan.steps), head)
    return NextSheet(made, (*told, *more, *plan_findings(plan)))


def needs_for(sheet: FitSheet, body: Body) -> Tuple[Tuple[str, ...], Tuple[Finding, ...]]:
    """The needs that count for a body: its own, and the sheet's where it is the same person.

    Where both name the same need, what stands with the body counts.
    """
    if not sheet.needs or sheet.who == body.who:
        known = {_name(words) for words in body.fits}
        kept = [words for words in sheet.needs if _name(words) not in known]
        return (*kept, *body.fits), ()
    text = "The fit sheet is {}'s: {} {} not taken over for {}.".format(
        sheet.who or "nobody",
        ", ".join("'{}'".format(words) for words in sheet.needs),
        "is" if len(sheet.needs) == 1 else "are",
        body.who or "another body",
    )
    return body.fits, (Finding("needs-not-his", Level.INFO, text),)


def plan_findings(plan: FitPlan) -> Tuple[Finding, ...]:
    """What a plan tells, as findings: what it does not do is to be looked at."""
    found: List[Finding] = [Finding("plan", Level.INFO, text) for text in plan.told]
    return (*found, *(Finding("not-planned", Level.WARN, text) for text in plan.skipped))


def _name(words: str) -> str:
    """What a need is called here; its own words where it is not known or cannot be read."""
    try:
        return read_need(words).name or words
    except InputError:
        return words
