"""Fit to a body: sizes level by level, lengths and needs, in a cutter's order."""

from typing import Dict, List, NamedTuple, Sequence, Tuple

from sewkit.body.planned_step import PlannedStep
from sewkit.checks.fit_words import Fit, fit_report
from sewkit.checks.planned_fit import Wishes, body_of, chart_of, planned_fit
from sewkit.errors import InputError
from sewkit.operation import Choice, Flag, Outcome, Sheet, Text, find, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedOutline
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report

# Faults that say that the pattern has not what a step is about.
_LACKING = ("name", "no-level", "nest", "seam")

_UNITS = {"guess": "as they look", "mm": "millimetres", "cm": "centimetres", "in": "inches"}


class _Made(NamedTuple):
    """The pattern after the plan's steps, those that were done, their reports, and what was left out."""

    pattern: Pattern
    steps: Tuple[PlannedStep, ...]
    reports: Tuple[Report, ...]
    left: Tuple[Finding, ...]


@operation(
    title="Fit to a body",
    menu="Sizes",
    select="Nothing needs to be selected: all named pieces are fitted. Do this on a copy of the nest.",
    example=(
        "sewkit fit samples/waistcoat/master.svg -o p03.svg --sheet samples/waistcoat/people.csv --row P03 "
        "--chart samples/waistcoat/chart.csv"
    ),
    preview=False,
    told=True,
)
def fit(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    measures: Text("Measures", "typed, such as chest 96, waist 90, back waist length 44.2 cm") = "",
    sheet: Sheet("Measure sheet", "instead: one person's, or a table of people; plain text or CSV") = "",
    row: Text("Who", "a row of the table, or what to call the body") = "",
    needs: Text("Needs", "more than on the sheet, such as full stomach; front length +3 cm") = "",
    chart: Sheet("Size chart", "body measures of every size, CSV; empty: the pattern's own") = "",
    measured_in: Choice("Numbers without a unit", "", _UNITS) = "guess",
    confirm: Flag("Odd numbers were looked at again", "and are right in that unit") = False,
    exact: Flag("Sizes in between", "where the body lies, not the nearest whole size") = False,
    beyond: Flag("Agree to more than half a size beyond the chart", "make a test garment first") = False,
    lengths: Flag("Change lengths as well", "from 5 mm on") = True,
    edge: Text("Edge that swings", "such as side") = "side",
    leads: Text("Measure that leads", "such as hip; empty: the bust, the chest or the hip") = "",
    called: Text("Name of the new line", "empty: whose it is") = "",
) -> Outcome:
    """Bring a nest to one body: length first, then a size for each level, then what the body needs.

    The body's measures are compared with the pattern's size chart level by level. Whole sizes,
    the nearest one; half-way the larger. Where the full bust differs from the high bust by 2.5
    cm more or less than drafted, the high bust leads. From level to level the side swings, and
    arrives where the body has its waist and hip; front, back, facings and linings together.
    Lengths are changed first, in the bands where the body is longer or shorter. A need such as
    full stomach, front length +3 cm, hollow back 12 mm comes last, on the body's own line.

    Numbers that cannot be right stop the work with one question: inches taken for centimetres,
    waist and hip mixed up. So does a body more than half a size outside the chart. Sizes of
    shops are never used. What the pattern has no level or edge for is left out and told.

    Told are body, chart, finished measure and ease side by side, the finished measures of the
    pieces as they are now with a light, and every seam, walked from the nest to the pieces.
    The nest itself is gone afterwards: it stays in the file it came from.
    """
    named = tuple(piece for piece in pattern.pieces if piece.named)
    if not named:
        raise InputError(
            "There is no named piece here, so it is not known what is sewn to what.",
            "Name the pieces and their edges first (Names > Name a piece and its edges).",
            code="name",
        )
    whole = pattern._replace(pieces=named)
    unit = "" if measured_in == "guess" else measured_in
    wanted = [words.strip() for words in needs.split(";") if words.strip()]
    sure = (unit or "yes") if confirm else ""
    body = body_of(sheet, row, measures, "" if confirm else unit, sure, wanted)
    sizes = chart_of(pattern, chart)
    wishes = Wishes(exact, beyond, lengths, edge, called, leads)
    EVERYTHING.pieces(whole)  # says what cannot be read before anything is done
    planned = planned_fit(whole, body, sizes, wishes)
    made = _made(whole, planned.plan.steps)
    report = fit_report(Fit(whole, made.pattern, body, sizes, planned, *made[1:]))
    after = pattern
    for piece in made.pattern.pieces:
        after = after.with_piece(piece)
    return Outcome(after._replace(seams=made.pattern.seams), report)


def _made(pattern: Pattern, steps: Sequence[PlannedStep]) -> _Made:
    """Do a plan; a step for which the pattern lacks something is left out and told."""
    done: List[PlannedStep] = []
    reports: List[Report] = []
    left: List[Finding] = []
    lost: Dict[str, str] = {}  # lines that were not made, and the size that stands for them
    for step in steps:
        values = {name.replace("-", "_"): value for name, value in step.values.items()}
        for name in ("first", "size_kept"):
            if values.get(name) in lost:
                values[name] = lost[str(values[name])]
        try:
            outcome = find(step.do).function(pattern, _chosen(pattern, step.pieces), **values)
        except InputError as error:
            if error.code not in _LACKING or step.do == "size":
                what = "This cannot be done: {} {}".format(step.why, error.what)
                raise InputError(what, error.cure, error.code) from None
            if values.get("called"):
                lost[str(values["called"])] = str(values["first"])
            text = "Left out, because it does not apply here: {} {}".format(step.why, error)
            left.append(Finding("left-out", Level.WARN, text))
            continue
        pattern = outcome.pattern
        done.append(step)
        reports.append(outcome.report)
    return _Made(pattern, tuple(done), tuple(reports), tuple(left))


def _chosen(pattern: Pattern, names: Sequence[str]) -> Chosen:
    """Every size of the named pieces; nothing named is everything."""
    picked = [PickedOutline(name, size) for name in names for size in pattern.piece(name).sizes]
    return Chosen(tuple(picked)) if names else EVERYTHING
