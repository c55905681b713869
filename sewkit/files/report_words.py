"""What every written report says in the same words: verdicts, signs, cautions."""

import re
from typing import Dict, Optional, Tuple

from sewkit.report import Finding, Level, Report, Table

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
    if point is None or "({:.0f}, {:.0f})".format(point[0], point[1]) in finding.text:
        return where
    return " ".join(filter(None, [where, "at {:.1f}, {:.1f} mm".format(point[0], point[1])]))


def row_levels(table: Table) -> Tuple[Optional[Level], ...]:
    """One level a row, None where the table gives none; rows are never lost over it."""
    return tuple(table.levels[: len(table.rows)]) + (None,) * (len(table.rows) - len(table.levels))


def one_line(text: str) -> str:
    """Text on one line, without the signs that no document may hold."""
    return " ".join(_FORBIDDEN.sub("\ufffd", text).split())
