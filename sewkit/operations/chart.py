"""The size chart that a pattern carries."""

from typing import List, Tuple

from sewkit.body.size_chart import SizeChart, check_chart
from sewkit.checks.planned_fit import chart_of
from sewkit.errors import InputError
from sewkit.operation import Choice, Outcome, Sheet, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report, Table


@operation(
    title="Keep the size chart",
    menu="Sizes",
    select="Nothing needs to be selected: the chart is that of the whole pattern.",
    example="sewkit chart samples/waistcoat/master.svg -o charted.svg --chart samples/waistcoat/chart.csv",
    preview=False,
    told=True,
)
def chart(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    chart: Sheet("Size chart", "body measures of every size, CSV; to check, empty is the one kept") = "",
    action: Choice(
        "What to do", "", {"keep": "Keep the chart in the drawing", "check": "Only show and check it"}
    ) = "keep",
) -> Outcome:
    """Keep the maker's size chart in the drawing, or show and check the one that is there.

    A row for each size, a column for each body measure; finished measures too, where the maker
    gives them: a column "finished chest", or a row "ease" with what the garment is more than the
    body, and "drafted height". Afterwards fit, measure and a whole cast know the chart without
    being told. A chart of shop sizes is not one of these: every maker counts otherwise.

    Looked at are values that do not rise, steps that jump, finished measures that do not go with
    the body's, and sizes of the drawing that the chart lacks.
    """
    if action == "keep" and not chart.strip():
        raise InputError(
            "It is not said which size chart to keep.",
            "Name a table with the measures of each size.",
            code="chart",
        )
    kept = chart_of(pattern, chart)
    # A drawing holds no control characters; a table needs none but tabs and line ends.
    text = "".join(one for one in chart if one >= " " or one in "\t\n").strip()
    after = pattern._replace(chart=text) if action == "keep" else pattern
    findings = [Finding("chart", Level.WARN, text) for text in check_chart(kept)]
    findings += [Finding("chart-read", Level.INFO, text) for text in kept.told]
    findings += _sizes_apart(pattern, kept)
    summary = "A size chart of {} sizes, {} to {}{}.".format(
        len(kept.sizes),
        kept.sizes[0],
        kept.sizes[-1],
        ", is kept in the drawing now" if action == "keep" else "",
    )
    return Outcome(after, Report(summary, tuple(findings), (_table(kept),)))


def _sizes_apart(pattern: Pattern, kept: SizeChart) -> List[Finding]:
    """Sizes of the drawing for which the chart says nothing."""
    lacking = [size for size in pattern.sizes if size and size not in kept.sizes]
    if not lacking:
        return []
    text = "The chart has no size {}, which the drawing has: write sizes in both alike.".format(
        ", ".join(lacking)
    )
    return [Finding("chart-sizes", Level.WARN, text)]


def _table(kept: SizeChart) -> Table:
    """The chart in cm, as it was understood."""
    columns: List[Tuple[str, Tuple[float, ...]]] = list(kept.measures.items())
    for measure in kept.measures:
        finished = kept.finished_values(measure)
        if finished is not None:
            columns.append(("finished {}".format(measure), tuple(finished)))
    rows = tuple(
        (size, *("{:.1f}".format(values[number] / 10.0) for _, values in columns))
        for number, size in enumerate(kept.sizes)
    )
    return Table("The size chart, cm", ("size", *(name for name, _ in columns)), rows)
