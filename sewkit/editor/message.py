"""A report as the text of the editor's message box.

The box uses a proportional font, so tables cannot rely on columns standing in line:
each row says its column names.
"""

from typing import List

from sewkit.report import Finding, Level, Report, Table


def message(report: Report) -> str:
    """The report in plain lines, the most serious findings first."""
    parts = [report.summary] if report.summary else []
    findings = sorted(report.findings, key=lambda finding: -finding.level)
    if findings:
        parts.append("\n".join(_line(finding) for finding in findings))
    parts += ["\n".join(_rows(table)) for table in report.tables if table.rows]
    return "\n\n".join(parts) or "Nothing was found."


def warnings_only(report: Report) -> List[str]:
    """The sentences that have to stay with the drawing: look and stop, not notes."""
    return [_line(finding) for finding in report.findings if finding.level >= Level.WARN]


def _line(finding: Finding) -> str:
    where = "" if finding.where in finding.text else " ({})".format(finding.where)
    return "{}: {}{}".format(finding.level.word.upper(), finding.text, where)


def _rows(table: Table) -> List[str]:
    told = [table.title]
    for row in table.rows:
        cells = [
            "{} {}".format(column, cell).strip() for column, cell in zip(table.columns[1:], row[1:]) if cell
        ]
        told.append("  {}: {}".format(row[0], ", ".join(cells)) if cells else "  {}".format(row[0]))
    return told
