"""A report as the text of the editor's message box.

The box is narrow and uses a proportional font, so tables cannot rely on columns standing
in line: each row says its column names.  Commands are told as the menu calls them.
"""

from typing import List

from sewkit.editor.menu_words import in_the_menu
from sewkit.report import Finding, Level, Report, Table


def message(report: Report) -> str:
    """The report in plain lines, the most serious findings first.

    What is good is in the tables; it is told one by one only where there are none.
    """
    tables = [table for table in report.tables if table.rows]
    least = Level.INFO if tables else Level.PASS
    told = sorted((f for f in report.findings if f.level >= least), key=lambda finding: -finding.level)
    parts = [report.summary] if report.summary else []
    if told:
        parts.append("\n".join(_line(finding) + _cure(finding) for finding in told))
    parts += ["\n".join(_rows(table)) for table in tables]
    return in_the_menu("\n\n".join(parts)) or "Nothing was found."


def warnings_only(report: Report) -> List[str]:
    """The sentences that have to stay with the drawing: look and stop, not notes.

    What has a number is drawn under it and worked through one by one, so its cure stands there too.
    """
    told = (finding for finding in report.findings if finding.level >= Level.WARN)
    return [in_the_menu(_line(one) + (_cure(one) if one.number else "")) for one in told]


def all_told(report: Report) -> List[str]:
    """The summary and everything that was found, a sentence or a row of a table each."""
    told = [report.summary, *(_line(finding) + _cure(finding) for finding in report.findings)]
    told += [row for table in report.tables for row in _rows(table) if table.rows]
    return [in_the_menu(sentence) for sentence in told if sentence]


def _line(finding: Finding) -> str:
    said = all(name in finding.text for name in finding.where.split(" to "))
    where = "" if said else " ({})".format(finding.where)
    if (
        finding.point is not None
        and not finding.number
        and "{:.0f}".format(finding.point[0]) not in finding.text
    ):
        where += " (at x {:.0f}, y {:.0f} mm)".format(*finding.point)
    number = " {}".format(finding.number) if finding.number else ""
    return "{}{}: {}{}".format(finding.level.word.upper(), number, finding.text, where)


def _cure(finding: Finding) -> str:
    return " To mend it: {}".format(finding.cure) if finding.cure else ""


def _rows(table: Table) -> List[str]:
    told = [table.title]
    for row in table.rows:
        cells = [_cell(column, cell) for column, cell in zip(table.columns[1:], row[1:]) if cell.strip("-")]
        told.append("  {}: {}".format(row[0], ", ".join(cells)) if cells else "  {}".format(row[0]))
    return told


def _cell(column: str, cell: str) -> str:
    """A cell with its column's name; a unit in the name goes behind the number."""
    name, _, unit = column.rpartition(" ")
    if unit in ("mm", "cm", "in", "%"):
        return "{} {} {}".format(name, cell, unit).strip()
    return "{} {}".format(column, cell).strip()
