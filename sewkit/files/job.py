"""A job: steps done one after another on a drawing.

The command line, a recipe and a batch all go through here, so that the same steps give
the same drawing whichever way they come.
"""

from typing import Any, List, NamedTuple, Sequence, Tuple

from sewkit.files.recipe import RecipeStep
from sewkit.files.svg import Drawing, open_drawing
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report, gathered


class Done(NamedTuple):
    """A finished job.

    Args:
        drawing: with the result put in; not saved yet.
        before: the pattern as it was opened.
        after: the pattern as the last step left it.
        report: of all steps, in order.
    """

    drawing: Drawing
    before: Pattern
    after: Pattern
    report: Report


def run_job(source: Any, steps: Sequence[RecipeStep]) -> Done:
    """Do steps on a file, stream or tree; the source itself is not changed.

    ``InputError`` where a step cannot be done; nothing has been written then.
    """
    first = steps[0] if steps else None
    drawing, chosen = open_drawing(source, *(first[1:] if first else ()))
    before = after = drawing.pattern
    reports: List[Report] = []
    for number, one in enumerate(steps):
        if number:
            chosen = drawing.choose(*one[1:])
        outcome = one.step.run(drawing.pattern, chosen)
        if one.step.operation.changes:
            drawing.put(outcome.pattern)
            after = outcome.pattern
        reports.append(outcome.report)
    told = gathered(reports)
    known = {finding.text for finding in told.findings}
    first_told = tuple(finding for finding in problem_findings(before) if finding.text not in known)
    return Done(drawing, before, after, Report("", first_told).then(told))


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
