"""What steps on the way found of a seam, seen from the end of the job.

A step may leave a seam uneven which the next one puts right: length comes into a front, and
a wedge takes it out again at the side.  The last walk of a seam is what counts; what was
found before is told as what it was, no fault of the pieces as they are now.
"""

from typing import Dict, List, Sequence, Set, Tuple

from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report, Table

# The finding of a walked seam, by its code; it says in ``where`` which seam it is.
_WALKED = "seam"


def settled(reports: Sequence[Report], after: Pattern) -> Tuple[Report, ...]:
    """The reports of a job's steps, with what a later walk has overtaken told as a note.

    ``after``: the pattern as the last step left it.  Only where its pieces are drawn in one
    size is it certain that both walks speak of the same lines; else nothing is changed.
    """
    if any(len(piece.outlines) > 1 for piece in after.pieces):
        return tuple(reports)
    last: Dict[str, int] = {}
    for number, report in enumerate(reports):
        last.update((one.where, number) for one in report.findings if one.code == _WALKED)
    found: List[Report] = []
    for number, report in enumerate(reports):
        overtaken = {seam for seam, when in last.items() if when > number}
        findings = tuple(
            _on_the_way(one) if one.code == _WALKED and one.where in overtaken else one
            for one in report.findings
        )
        tables = tuple(_table(one, overtaken) for one in report.tables)
        found.append(report._replace(findings=findings, tables=tables))
    return tuple(found)


def _table(table: Table, overtaken: Set[str]) -> Table:
    """A table of seams, whose lights tell no fault of a seam that was walked again."""
    if not (table.levels and table.columns and table.columns[0] == _WALKED):
        return table
    levels = [
        min(level, Level.INFO) if row and row[0] in overtaken else level
        for row, level in zip(table.rows, table.levels)
    ]
    return table._replace(levels=(*levels, *table.levels[len(levels) :]))


def _on_the_way(finding: Finding) -> Finding:
    if finding.level <= Level.INFO:
        return finding
    text = "On the way, before later steps: " + finding.text
    return finding._replace(code="seam-on-the-way", level=Level.INFO, text=text)
