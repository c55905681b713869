"""What every written report says in the same words: verdicts, signs, cautions."""

import re
from typing import Dict, Optional, Tuple

from sewkit.report import Finding, Level, Report, Table
from sewkit.units import nearest_eighth, with_inches

# The column of a table that says by how much something changed, in mm.
_CHANGE = "change"

# Control characters and half pairs, which XML (and so HTML written strictly) cannot carry.
_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]")

# A sign beside the word, so that no level is told by colour alone.
SIGNS: Dict[Level, str] = {Level.PASS: "✓", Level.INFO: "i", Level.WARN: "!", Level.FAIL: "✕"}

_VERDICTS: Dict[Level, str] = {
    Level.PASS: "Everything that was checked is within its tolerance.",
    Level.INFO: "Nothing to mend; there is something worth knowing.",
    Level.WARN: "Usable, but look at the places named below before you cut.",
    Level.FAIL: "Do not cut cloth on this yet: mend the places named below first.",
}

CAUTIONS: Tuple[str, ...] = (
    "Never cut cloth on a report that says stop.",
    "Measure the test square on every printed sheet with a real rule, across and down, each time you print.",
    "Make a test garment first where it fits closely, where it runs over more than three sizes, where "
    "trousers change at the crotch, or where the cloth is dear.",
    "Wash or steam the cloth before cutting, in the way in which it will be cleaned.",
    "This page proves lines and sums. How your cloth hangs and stretches only the cloth can tell.",
    "Measures are personal: keep this page with the garment, and out of other people's sight.",
    "A bought pattern may be used as its maker allows: ask before you pass altered sheets on.",
)


def verdict(report: Report) -> str:
    """The whole report in one sentence; a report without findings claims nothing."""
    if not report.findings:
        return "Done; there was nothing in this step to check."
    return _VERDICTS[report.worst]


def place(finding: Finding) -> str:
    """Where a finding is, as far as its own sentence does not say: name, point (mm), both or neither."""
    where, point = finding.where, finding.point
    if finding.text.startswith((where, "'{}'".format(where))):
        where = ""
    if point is None or finding.number or "({:.0f}, {:.0f})".format(point[0], point[1]) in finding.text:
        return where
    return " ".join(filter(None, [where, "at {:.1f}, {:.1f} mm".format(point[0], point[1])]))


def told_change(text: str) -> str:
    """A change as it is written everywhere: in mm and in the nearest eighth of an inch."""
    return with_inches(text)


def shown_table(table: Table) -> Table:
    """A table as it is written: beside a change in mm the same in inches, to the nearest eighth."""
    if _CHANGE not in table.columns:
        return table
    at = table.columns.index(_CHANGE) + 1
    rows = tuple((*row[:at], _inches(row[at - 1]) if len(row) >= at else "", *row[at:]) for row in table.rows)
    return table._replace(columns=(*table.columns[:at], "nearest 1/8 in", *table.columns[at:]), rows=rows)


def _inches(cell: str) -> str:
    """One amount, or the least and the most, in inches; "-" for what is none."""
    try:
        amounts = [float(word) for word in cell.split(" to ")]
    except ValueError:
        return "-"
    signed = [("+" if mm > 0 and nearest_eighth(mm) != "0 in" else "") + nearest_eighth(mm) for mm in amounts]
    return " to ".join(dict.fromkeys(signed))


def counted(report: Report) -> str:
    """How many findings of each level there are, the worst first: "1 to mend, 3 to look at, 2 good"."""
    levels = [finding.level for finding in report.findings]
    words = {Level.FAIL: "to mend", Level.WARN: "to look at", Level.INFO: "note", Level.PASS: "good"}
    return ", ".join(
        "{} {}{}".format(count, words[level], "s" if level is Level.INFO and count > 1 else "")
        for level, count in ((level, levels.count(level)) for level in sorted(Level, reverse=True))
        if count
    )


def row_levels(table: Table) -> Tuple[Optional[Level], ...]:
    """One level a row, None where the table gives none; rows are never lost over it."""
    return tuple(table.levels[: len(table.rows)]) + (None,) * (len(table.rows) - len(table.levels))


def one_line(text: str) -> str:
    """Text on one line, without the signs that no document may hold."""
    return " ".join(_FORBIDDEN.sub("\ufffd", text).split())
