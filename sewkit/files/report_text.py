"""A report as plain text: for the terminal, a log, a letter."""

import re
import textwrap
from itertools import zip_longest
from typing import List

from sewkit.files.report_words import counted, one_line, place, row_levels, shown_table, told_change, verdict
from sewkit.report import Finding, Report, Table

WIDTH = 88

# A cell that reads as an amount: 12, -3.5 mm, 5/8 in, 36 1/2 in, +0.25 %; and one that has none.
_NO_AMOUNT = "-"
_AMOUNT = re.compile(r"^[-+−]?[\d.,/ ]+\s*(mm|cm|in|%|°)?$")


def as_text(report: Report, title: str = "") -> str:
    """Write a report for reading in a fixed-width font, lines up to ``WIDTH`` characters.

    Tables are never broken and may run wider.  Lengths are mm where they name no unit.
    """
    parts = []
    if title:
        parts.append("{}\n{}".format(one_line(title), "=" * len(one_line(title))))
    if report.summary:
        parts.append(textwrap.fill(one_line(report.summary), WIDTH, break_on_hyphens=False))
    if report.findings:
        parts.append("{}: {} ({})".format(report.worst.word, verdict(report), counted(report)))
        parts.append("\n".join(_finding(finding) for finding in report.findings))
    if report.changes:
        lines = ["{}: {}".format(change.piece, told_change(change.text)) for change in report.changes]
        parts.append("What changed\n" + "\n".join("  " + one_line(line) for line in lines))
    parts.extend(_table(shown_table(table)) for table in report.tables)
    return "\n\n".join(parts) + "\n"


def _finding(finding: Finding) -> str:
    where = place(finding)
    text = one_line("{}: {}".format(where, finding.text) if where else finding.text)
    if finding.number:
        text = "{}. {}".format(finding.number, text)
    if finding.cure:
        text += " To mend it: " + one_line(finding.cure)
    head = "  {:<5} ".format(finding.level.word)
    margin = " " * len(head)
    return textwrap.fill(text, WIDTH, initial_indent=head, subsequent_indent=margin, break_on_hyphens=False)


def _table(table: Table) -> str:
    rows = [[one_line(cell) for cell in row] for row in table.rows]
    heads = [one_line(column) for column in table.columns]
    if table.levels:
        words = [level.word if level is not None else "" for level in row_levels(table)]
        heads = [*heads, ""]
        rows = [[*row, word] for row, word in zip(rows, words)]
    columns = list(zip_longest(heads, *rows, fillvalue=""))
    lines = [one_line(table.title)] if table.title else []
    if columns:
        written = [_column(list(column)) for column in columns]
        joined = ["  " + "  ".join(cells).rstrip() for cells in zip(*written)]
        rules = ["-" * len(column[0]) if column[0].strip() else " " * len(column[0]) for column in written]
        rule = "  " + "  ".join(rules).rstrip()
        lines += [joined[0], rule, *joined[1:]]
    return "\n".join(lines)


def _column(cells: List[str]) -> List[str]:
    """The cells of one column made equally wide; amounts stand to the right."""
    width = max(map(len, cells))
    filled = [cell for cell in cells[1:] if cell and cell != _NO_AMOUNT]
    if filled and all(_AMOUNT.match(cell) for cell in filled):
        return [cell.rjust(width) for cell in cells]
    return [cell.ljust(width) for cell in cells]
