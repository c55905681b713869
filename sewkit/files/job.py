"""A job: steps done one after another on a drawing.

The command line, a recipe and a batch all go through here, so that the same steps give
the same drawing whichever way they come.
"""

from typing import Any, Callable, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.files.print_files import letters_told
from sewkit.files.recipe import RecipeStep
from sewkit.files.settled import settled
from sewkit.files.svg import Drawing, open_drawing
from sewkit.operation import Outcome
from sewkit.paper.document import Document
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report, gathered
from sewkit.sheet.drawn import Progress


class Done(NamedTuple):
    """A finished job.

    Args:
        drawing: with the result put in; not saved yet.
        before: the pattern as it was opened.
        after: the pattern as the last step left it.
        report: of all steps, in order.
        brought: the ``Brought`` of an import, where the job began with one.
        prints: documents that steps gave to be printed, in order.
    """

    drawing: Drawing
    before: Pattern
    after: Pattern
    report: Report
    brought: Optional[Any] = None
    prints: Tuple[Document, ...] = ()


class Instead(NamedTuple):
    """What to do instead of a step that cannot be done: another step, or none; and what to tell."""

    step: Optional[RecipeStep]
    told: Tuple[Finding, ...]


# Asked with a step, the pattern it met and what was wrong; None: the job ends with that fault.
Otherwise = Optional[Callable[[RecipeStep, Pattern, InputError], Optional[Instead]]]


def run_job(
    source: Any, steps: Sequence[RecipeStep], progress: Progress = None, otherwise: Otherwise = None
) -> Done:
    """Do steps on a file, stream or tree; the source itself is not changed.

    A job on a PDF begins with its import.  ``InputError`` where a step cannot be done and
    ``otherwise`` knows nothing instead; nothing has been written then.
    """
    reports: List[Report] = []
    brought: Optional[Any] = None
    if steps and steps[0].step.operation.takes_pages:
        from sewkit.files.master import master  # only a job on a PDF needs it

        brought = bring_in(source, steps[0], progress)
        reports.append(brought.report)
        source, steps = master(brought), steps[1:]
    first = steps[0] if steps else None
    # Where there may be something else to do, a first choice that fails must not end it.
    picks = first[1:] if first and otherwise is None else ()
    drawing, chosen = open_drawing(source, *picks)
    before = after = drawing.pattern
    prints: List[Document] = []
    for number, one in enumerate(steps):
        if one.step.operation.takes_pages:
            raise InputError(
                "'{}' can only be the first step: it begins a new drawing.".format(one.step.operation.name),
                "Move it to the top of the recipe, once.",
                code="recipe",
            )
        if otherwise is not None:
            outcome = _some_outcome(drawing, one, otherwise)
        else:
            outcome = _outcome(drawing, one, chosen if not number else drawing.choose(*one[1:]))
        if one.step.operation.changes:
            drawing.put(outcome.pattern)
            after = outcome.pattern
        reports.append(outcome.report)
        prints += outcome.prints
    reports.append(Report("", letters_told(prints)))
    told = gathered(settled(reports, after))
    known = {finding.text for finding in told.findings}
    first_told = tuple(finding for finding in problem_findings(before) if finding.text not in known)
    return Done(drawing, before, after, Report("", first_told).then(told), brought, tuple(prints))


def _outcome(drawing: Drawing, one: RecipeStep, chosen: Chosen) -> Outcome:
    pattern = drawing.pattern
    if one.step.operation.beside:
        pattern = drawing.with_beside(pattern)
    return one.step.run(pattern, chosen)


def _some_outcome(drawing: Drawing, one: RecipeStep, otherwise: Callable[..., Optional[Instead]]) -> Outcome:
    """The outcome of a step, or of what there is to do instead; with it, what there is to tell of that."""
    told: Tuple[Finding, ...] = ()
    while True:
        try:
            outcome = _outcome(drawing, one, drawing.choose(*one[1:]))
        except InputError as error:
            instead = otherwise(one, drawing.pattern, error)
            if instead is None or instead.step == one:
                raise
            told += instead.told
            if instead.step is None:
                return Outcome(drawing.pattern, Report("", told))
            one = instead.step
        else:
            return outcome._replace(report=Report("", told).then(outcome.report))


def bring_in(source: Any, one: RecipeStep, progress: Progress = None) -> Any:
    """The import of a PDF, a ``Brought``; of its pages, only those are read that the step asks for."""
    from sewkit.files.pdf_read import nothing_to_trace, read_pages

    printed = read_pages(source, one.step.values.get("pages", ""), progress)
    useless = nothing_to_trace(printed)
    if useless is not None:
        raise useless
    return one.step.operation.function(printed, progress, **one.step.values)


def problem_findings(pattern: Pattern) -> Tuple[Finding, ...]:
    """What was found wrong, or put right, when the drawing was read."""
    return tuple(
        Finding(
            problem.code,
            Level.INFO if problem.healed and not problem.look else Level.WARN,
            problem.text,
            problem.piece,
        )
        for problem in pattern.problems
    )
