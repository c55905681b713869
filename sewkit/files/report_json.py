"""A report as JSON: for other programs, and for comparing two runs."""

import json

from sewkit.files.report_words import shown_table, told_change
from sewkit.report import Report


def as_json(report: Report) -> str:
    """Write a report as JSON; levels are the words good, note, look, stop; points are mm.

    Equal reports give equal text.
    """
    value = {
        "worst": report.worst.word,
        "summary": report.summary,
        "findings": [
            {
                "code": finding.code,
                "level": finding.level.word,
                "text": finding.text,
                "where": finding.where,
                "cure": finding.cure,
                "number": finding.number or None,
                "point": None if finding.point is None else [float(number) for number in finding.point],
            }
            for finding in report.findings
        ],
        "tables": [
            {
                "title": table.title,
                "columns": list(table.columns),
                "rows": [list(row) for row in table.rows],
                "levels": [level.word for level in table.levels],
            }
            for table in map(shown_table, report.tables)
        ],
        "changes": [
            {
                "piece": change.piece,
                "text": told_change(change.text),
                "point": [float(number) for number in change.point],
            }
            for change in report.changes
        ],
    }
    return json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False) + "\n"
