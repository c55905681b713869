"""One person's garment: the pattern fitted to the body, then whatever else is to be done with it.

The steps are those of a fit sheet, and the sheet is given back, so that it can be kept,
changed and replayed.  Between the steps nothing is written into the drawing: it is changed
once, at the end.
"""

from typing import Any, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.body.body import Body
from sewkit.body.fit_plan import FitPlan
from sewkit.body.planned_step import PlannedStep
from sewkit.body.size_chart import SizeChart
from sewkit.body.sizing import Sizing
from sewkit.checks.fit_words import Fit, fit_report, made_words
from sewkit.checks.planned_fit import USUAL, PlannedFit, Wishes, chart_of, planned_fit
from sewkit.errors import InputError
from sewkit.files.fit_sheet import FitSheet, FitStep, next_sheet, planned_steps
from sewkit.files.job import Done, Instead, problem_findings
from sewkit.files.recipe import Recipe, RecipeStep
from sewkit.files.refit import needs_for
from sewkit.files.replay import otherwise_of, switched_off
from sewkit.files.svg import Drawing, open_drawing
from sewkit.operation import Outcome
from sewkit.operations import load
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedOutline
from sewkit.pattern.garment_title import garment_for
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Report, gathered
from sewkit.sheet.drawn import Progress

# A recipe without steps.
NOTHING = Recipe()


class Fitted(NamedTuple):
    """A garment for one body.

    Args:
        done: its drawing has the result in it and is not saved; ``before`` is the nest.
        report: all there is to tell; the same as that of ``done``.
        sizing, plan: what was decided.
        sheet: the steps and needs as they were done; what it was made from is left empty.
        body, chart: what it rests on.
        made: the sizes in a few words, for labels: "chest 3, waist 5, 20 mm longer".
    """

    done: Done
    report: Report
    sizing: Sizing
    plan: FitPlan
    sheet: FitSheet
    body: Body
    chart: SizeChart
    made: str


def fit_person(
    master: Any,
    body: Body,
    chart: Optional[SizeChart] = None,
    rest: Recipe = NOTHING,
    sheet: Optional[FitSheet] = None,
    wishes: Wishes = USUAL,
    title: str = "",
    progress: Progress = None,
) -> Fitted:
    """Fit a nest to a body, then do the steps of a recipe.

    Args:
        master: a file's name, a stream or a tree; it is not changed.
        body: one that nothing holds.
        chart: None for the one that the pattern carries.
        rest: steps after the fit, such as allowances and a walk.
        sheet: an older fit sheet: its own steps are kept, and what is off in it; its needs,
            where it is the same person's.
        wishes: what somebody wants otherwise.
        title: of sheet and report; empty for the garment and whose it is.
        progress: told before every step.

    ``InputError`` (held) with one sentence where nothing is made for this body, (chart) without
    a chart, and what a step cannot do.
    """
    load()
    drawing, _ = open_drawing(master)
    before = drawing.pattern
    EVERYTHING.pieces(before)  # says what cannot be read before anything is done
    chart = chart_of(before) if chart is None else chart
    older = FitSheet() if sheet is None else sheet
    needs, told = (body.fits, ()) if sheet is None else needs_for(older, body)
    planned = planned_fit(before, body, chart, wishes, needs)
    head = FitSheet(title or _title(before, body), body.who, tuple(needs))
    made = next_sheet(older, planned_steps(planned.plan.steps), head)
    whole = made.sheet._replace(steps=made.sheet.steps + tuple(FitStep(one) for one in rest.steps))
    run = _run(drawing, whole, planned.plan.steps, progress)
    drawing.put(run.pattern)
    fit = Fit(before, run.pattern, body._replace(fits=tuple(needs)), chart, planned, *run[1:4])
    # Who keeps the pieces in a pack is told there what belongs to a person.
    report = fit_report(fit, private=False)
    first = (*problem_findings(before), *told, *made.told, *switched_off(whole))
    report = report._replace(findings=(*first, *report.findings)).then(run.own)
    done = Done(drawing, before, run.pattern, report)
    return Fitted(done, report, planned.sizing, planned.plan, whole, body, chart, made_words(fit))


def _title(pattern: Pattern, body: Body) -> str:
    return " for ".join(filter(None, [garment_for(pattern.title, ()) or "Pattern", body.who]))


class _Run(NamedTuple):
    """The pattern after all steps; the planned ones that were done, with what they told, and what
    there is to tell of those that were not; then the report of all others.
    """

    pattern: Pattern
    steps: Tuple[PlannedStep, ...]
    reports: Tuple[Report, ...]
    left: Tuple[Finding, ...]
    own: Report


def _run(drawing: Drawing, sheet: FitSheet, plan: Sequence[PlannedStep], progress: Progress) -> _Run:
    """Do the steps of a sheet one after another, but for those that are off.

    ``plan``: what the planned ones of the sheet were made from, in the same order.
    """
    of_the_plan = iter(plan)
    running = [(one, next(of_the_plan) if one.planned else None) for one in sheet.steps]
    running = [(one, step) for one, step in running if not one.off]
    otherwise = otherwise_of(sheet)
    pattern = drawing.pattern
    done: List[Tuple[PlannedStep, Report]] = []
    left: List[Finding] = []
    own: List[Report] = []
    for number, (one, step) in enumerate(running):
        operation = one.step.step.operation
        if operation.prints:
            continue  # the pack prints, for only there the pieces have their labels
        if progress is not None:
            progress(number, len(running), operation.title)
        if operation.takes_pages:
            raise InputError(
                "'{}' begins a new drawing, and this is one already.".format(operation.name),
                "Do it first, by itself.",
                code="recipe",
            )
        try:
            outcome = _outcome(drawing, pattern, one.step, otherwise)
        except InputError as error:
            if step is None:
                raise
            what = "This cannot be done: {} {}".format(step.why, error.what)
            raise InputError(what, error.cure, error.code) from None
        if step is None:
            own.append(outcome.report)
        elif outcome.pattern is pattern:
            left += outcome.report.findings
        else:
            done.append((step, outcome.report))
        pattern = outcome.pattern if operation.changes else pattern
    steps, reports = tuple(one for one, _ in done), tuple(report for _, report in done)
    return _Run(pattern, steps, reports, tuple(left), gathered(own))


def _outcome(drawing: Drawing, pattern: Pattern, one: RecipeStep, otherwise: Any) -> Outcome:
    """The outcome of a step, or of what there is to do instead where the pattern lacks something."""
    told: Tuple[Finding, ...] = ()
    while True:
        try:
            outcome = _try(drawing, pattern, one)
        except InputError as error:
            instead: Optional[Instead] = otherwise(one, pattern, error)
            if instead is None or instead.step == one:
                raise
            told += instead.told
            if instead.step is None:
                return Outcome(pattern, Report("", told))
            one = instead.step
        else:
            return outcome._replace(report=Report("", told).then(outcome.report))


def _try(drawing: Drawing, pattern: Pattern, one: RecipeStep) -> Outcome:
    if one.ids or one.nodes or one.sizes or one.step.operation.beside:
        # What is picked by its id, or lies beside the pieces, only the drawing knows.
        drawing.put(pattern)
        chosen, pattern = drawing.choose(*one[1:]), drawing.pattern
        if one.step.operation.beside:
            pattern = drawing.with_beside(pattern)
        return one.step.run(pattern, chosen)
    return one.step.run(pattern, _pieces(pattern, one.pieces))


def _pieces(pattern: Pattern, names: Sequence[str]) -> Chosen:
    """Every size of the named pieces; nothing named is everything."""
    picked = [PickedOutline(name, size) for name in names for size in pattern.piece(name).sizes]
    return Chosen(tuple(dict.fromkeys(picked)))


__all__ = ("Fitted", "PlannedFit", "Wishes", "fit_person")
