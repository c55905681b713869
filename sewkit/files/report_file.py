"""A report as a file of the kind that its name says."""

import os

from sewkit.errors import InputError
from sewkit.files.report_html import as_html
from sewkit.files.report_json import as_json
from sewkit.files.report_text import as_text
from sewkit.report import Report

KINDS = (".txt", ".html", ".json")


def check_report_name(name: str) -> None:
    """``InputError`` where the name is of none of the kinds."""
    if os.path.splitext(name)[1] not in KINDS:
        raise InputError(
            "'{}' is not a kind of report.".format(name), "Use .txt, .html or .json.", code="file"
        )


def report_text(name: str, report: Report, title: str, picture: str = "") -> str:
    """What is to stand in the file; only a page for a browser shows the picture."""
    if name.endswith(".html"):
        return as_html(report, title, picture_svg=picture)
    return as_json(report) if name.endswith(".json") else as_text(report, title)
