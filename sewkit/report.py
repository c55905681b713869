"""What an operation or a check has to tell: findings, tables, plain words.

A report is a value.  It is never printed here; writers in ``files`` turn it into
text, HTML or JSON.
"""

import enum
from typing import Iterable, NamedTuple, Optional, Tuple


class Level(enum.IntEnum):
    """How serious a finding is; the order is the order of worry."""

    PASS = 0  # green: within tolerance
    INFO = 1  # worth knowing, nothing to do
    WARN = 2  # amber: usable, but look at it
    FAIL = 3  # red: do not cut on this

    @property
    def word(self) -> str:
        """The word shown to people."""
        return ("good", "note", "look", "stop")[self.value]


class Finding(NamedTuple):
    """One thing found: a stable code for scripts, a sentence for people.

    Args:
        where: the piece, edge or seam it is about.
        point: the place on the sheet (mm).
        cure: the smallest thing that helps, as a sentence; empty where there is nothing to do.
        number: under which it is drawn; 0 where it is not.
    """

    code: str
    level: Level
    text: str
    where: str = ""
    point: Optional[Tuple[float, float]] = None
    cure: str = ""
    number: int = 0


class Table(NamedTuple):
    """Rows of text under a title; ``levels`` colours the rows, one a row or none."""

    title: str
    columns: Tuple[str, ...]
    rows: Tuple[Tuple[str, ...], ...]
    levels: Tuple[Level, ...] = ()


class Change(NamedTuple):
    """One visible change, for the picture: a label at a point of a piece (mm)."""

    piece: str
    text: str
    point: Tuple[float, float]


class Report(NamedTuple):
    """All that one step has to tell.

    Args:
        summary: one or two plain sentences, what was done.
        findings: in the order in which they should be read.
        tables: lengths before and after, and the like.
        changes: labels for the picture.
        lines: sizes to show as they were in the picture, then the one as it is now.
    """

    summary: str = ""
    findings: Tuple[Finding, ...] = ()
    tables: Tuple[Table, ...] = ()
    changes: Tuple[Change, ...] = ()
    lines: Tuple[str, ...] = ()

    @property
    def worst(self) -> Level:
        """The most serious level of all findings; PASS where there are none."""
        return max((finding.level for finding in self.findings), default=Level.PASS)

    def then(self, other: "Report") -> "Report":
        """This report followed by another."""
        return Report(
            " ".join(text for text in (self.summary, other.summary) if text),
            self.findings + other.findings,
            self.tables + other.tables,
            self.changes + other.changes,
            _followed(self.lines, other.lines),
        )


def _followed(first: Tuple[str, ...], then: Tuple[str, ...]) -> Tuple[str, ...]:
    """The lines of two steps: from the first one's old lines to the last one's new line.

    A step that changes a size in its place makes no new line.  After one that made a line
    that line is what is shown; before it, what was changed is seen in the new line.
    """
    if not first or not then:
        return first or then
    if _in_place(then):
        return then if _in_place(first) else first
    if _in_place(first):
        return then
    return tuple(dict.fromkeys(first[:-1] + tuple(line for line in then if line != first[-1])))


def _in_place(lines: Tuple[str, ...]) -> bool:
    return lines[-1] in lines[:-1]


def gathered(reports: Iterable[Report]) -> Report:
    """Many reports as one, in order."""
    whole = Report()
    for report in reports:
        whole = whole.then(report)
    return whole
