"""Every drawing of a folder, and of the folders in it, given to an operation that answers without writing.

    sewkit check FOLDER --report all.html --fail-on stop

One line a drawing, then all that was found.  A drawing that cannot be read is told and does not
end the rest; one without named pieces, such as a picture, is passed over and told as well.
"""

import argparse
import os
from typing import List, NamedTuple, Tuple

from sewkit.arguments import Subjects, subjects_of
from sewkit.errors import InputError, SewkitError
from sewkit.files.atomic import check_target, write_text
from sewkit.files.report_file import check_report_name, report_text
from sewkit.files.report_text import as_text
from sewkit.files.svg import Drawing, read_tree
from sewkit.operation import Step
from sewkit.report import Finding, Level, Report, Table

# Nothing was said, so every piece is meant.
EVERYTHING = Subjects()

_DRAWINGS = (".svg", ".svgz")


class FileChecked(NamedTuple):
    """One drawing: its name seen from the folder, how many pieces, and what was found."""

    name: str
    pieces: int
    report: Report


def run_folder(options: argparse.Namespace, step: Step) -> Level:
    """The command on a folder: writes the reports asked for, prints the list, gives the worst level."""
    _refuse_what_needs_one_file(options)
    for name in options.report:
        check_report_name(name)
        check_target(name)
    report = folder_report(check_folder(options.input, step, subjects_of(options)))
    for name in options.report:
        write_text(name, report_text(name, report, step.operation.title))
    if options.quiet:
        report = report._replace(findings=tuple(f for f in report.findings if f.level > Level.INFO))
    print(as_text(report).rstrip())
    return report.worst


def _refuse_what_needs_one_file(options: argparse.Namespace) -> None:
    for name in ("output", "picture", "record"):
        if getattr(options, name, None):
            raise InputError(
                "A folder is checked as a whole, so '{}' cannot be written.".format(getattr(options, name)),
                "Leave it out, or name one drawing; --report FILE takes a folder.",
                code="file",
            )


def check_folder(folder: str, step: Step, subjects: Subjects = EVERYTHING) -> List[FileChecked]:
    """Every drawing in the folder and below it, in the order of their names."""
    found = []
    for path in _drawings(folder):
        name = os.path.relpath(path, folder).replace(os.sep, "/")
        found.append(_one(path, name, step, subjects))
    if not found:
        raise InputError(
            "There is no drawing in the folder '{}'.".format(folder), "Name another folder.", code="file"
        )
    return found


def _drawings(folder: str) -> List[str]:
    found = []
    for above, folders, names in os.walk(folder):
        folders[:] = sorted(one for one in folders if not one.startswith("."))
        found += [os.path.join(above, n) for n in names if n.lower().endswith(_DRAWINGS) and n[:1] != "."]
    return sorted(found)


def _one(path: str, name: str, step: Step, subjects: Subjects) -> FileChecked:
    try:
        drawing = Drawing(read_tree(path))
        pattern = drawing.pattern
        if not pattern.pieces and not pattern.problems:
            told = Finding("no-pieces", Level.INFO, "It has no named pieces and was passed over.")
            return FileChecked(name, 0, Report("", (told,)))
        chosen = drawing.choose(*subjects)
        if step.operation.beside:
            pattern = drawing.with_beside(drawing.pattern)
        return FileChecked(name, len(pattern.pieces), step.run(pattern, chosen).report)
    except SewkitError as error:
        return FileChecked(name, 0, Report("", (Finding(error.code or "file", Level.FAIL, str(error)),)))


def folder_report(checked: List[FileChecked]) -> Report:
    """All drawings in one report: a row each, and every finding with its drawing in front."""
    rows: List[Tuple[str, ...]] = []
    findings: List[Finding] = []
    for name, pieces, report in checked:
        counts = [sum(f.level is level for f in report.findings) for level in (Level.FAIL, Level.WARN)]
        rows.append((name, str(pieces), str(counts[0]), str(counts[1])))
        for one in report.findings:
            where = "{}: {}".format(name, one.where) if one.where else name
            findings.append(one._replace(text="{}: {}".format(name, one.text), where=where))
    levels = tuple(report.worst for _, _, report in checked)
    stopped = sum(level is Level.FAIL for level in levels)
    summary = "{} drawing{} looked at; {}.".format(
        len(checked),
        "" if len(checked) == 1 else "s",
        "{} not fit to be cut".format(stopped) if stopped else "none that stops you",
    )
    table = Table("Drawings", ("drawing", "pieces", "to mend", "to look at"), tuple(rows), levels)
    return Report(summary, tuple(findings), (table,))
