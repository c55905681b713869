"""The printed sheets of a pack: the pieces as they lie in it, with their labels, true to scale.

A fit sheet may say how by steps of its own, which are done here and not among the others,
because only now the pieces have their labels.  Else they are printed on the paper that was
chosen for all.  A pack without printed sheets is of use as well, so nothing here stops one.
"""

from typing import Any, Dict, List, Mapping, NamedTuple, Tuple

from sewkit.errors import InputError
from sewkit.files.fit_sheet import FitSheet
from sewkit.files.print_files import letters_told, printed_files
from sewkit.files.recipe import RecipeStep
from sewkit.files.svg import Drawing
from sewkit.operation import Outcome, Step, find
from sewkit.paper.document import Document
from sewkit.paper.repeated import UNSAID
from sewkit.report import Finding, Level, Table

USUAL_PAPER = "A4"

_PRINT = "print"


class Sheets(NamedTuple):
    """What was printed: bytes by the names of files, and what there is to tell."""

    files: Dict[str, bytes]
    told: Tuple[Finding, ...]
    tables: Tuple[Table, ...]


def printed_sheets(
    drawing: Drawing, sheet: FitSheet, paper: str, known: Mapping[str, str], name: str
) -> Sheets:
    """Print the pieces of a drawing.

    Args:
        sheet: whose steps that print are done, but for those that are off.
        paper: for a sheet without such steps; empty to print nothing then.
        known: values that a step takes where it does not say them, such as date and person.
        name: what the files are called before the paper: "pieces".
    """
    steps = [one.step for one in sheet.steps if one.step.step.operation.prints and not one.off]
    if not steps and paper:
        steps = [RecipeStep(Step(find(_PRINT), {"paper": paper}))]
    documents: List[Document] = []
    told: List[Finding] = []
    tables: List[Table] = []
    for one in steps:
        try:
            outcome = _outcome(drawing, _with_known(one, known))
        except InputError as error:
            text = "There is no printed file ({}): {}".format(one.step.operation.title, error.what)
            told.append(Finding("not-printed", Level.WARN, text, cure=error.cure))
            continue
        documents += outcome.prints
        told += _findings(outcome)
        tables += outcome.report.tables
    files = printed_files(name, documents, beside=True)
    return Sheets(files, tuple(told), tuple(tables))


def _with_known(one: RecipeStep, known: Mapping[str, str]) -> RecipeStep:
    names = [param.name for param in one.step.operation.params]
    usual: Dict[str, Any] = {name: value for name, value in known.items() if name in names and value}
    return one._replace(step=one.step._replace(values={**usual, **one.step.values}))


def _outcome(drawing: Drawing, one: RecipeStep) -> Outcome:
    chosen, pattern = drawing.choose(*one[1:]), drawing.pattern
    if one.step.operation.beside:
        pattern = drawing.with_beside(pattern)
    return one.step.run(pattern, chosen)


def _findings(outcome: Outcome) -> List[Finding]:
    """What a step has to tell of its sheets, the summary first."""
    summary = outcome.report.summary
    first = [Finding("printed", Level.INFO, summary)] if summary else []
    # A pack tells by itself of the words that stand beside its pieces.
    found = [finding for finding in outcome.report.findings if finding.code != UNSAID]
    return [*first, *found, *letters_told(outcome.prints)]
