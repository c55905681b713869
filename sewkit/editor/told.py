"""The report of an operation beyond the notes in the drawing: as a message, and as a file.

Both only when somebody asks: a message has to be clicked away before one can go on.
"""

import argparse
import os

import inkex

from sewkit.arguments import keeper
from sewkit.editor.message import message
from sewkit.errors import InputError
from sewkit.files.atomic import write_text
from sewkit.operation import Flag
from sewkit.report import Report


def add_report_options(parser: argparse.ArgumentParser, shown: bool = False) -> None:
    """Add what ``editor.inx`` shows below the values; ``shown``: unless somebody asks for silence."""
    usual = "true" if shown else "false"
    parser.add_argument("--show-report", type=keeper("Boolean"), default=usual, help="show the report")
    parser.add_argument("--report-file", type=keeper("str"), default="", help="the file for the report")


def tell(report: Report, title: str, options: argparse.Namespace) -> None:
    """Show and write the report, as far as that was asked; ``InputError`` for a file of another kind."""
    name = named_file(options.report_file)
    if name:
        # Not brought in before somebody asks: a run may come at every change of a number.
        from sewkit.files.report_file import check_report_name, report_text

        check_report_name(name)
        source = options.input_file
        write_text(name, report_text(name, report, title), never=[source] if isinstance(source, str) else [])
    if Flag("Show the report").parse(options.show_report):
        inkex.errormsg(message(report))


def named_file(name: str) -> str:
    """The file that a field names; an empty field comes as the folder of the extension.

    So does a bare file name: as one in that folder.  Meant is one beside the drawing; where
    that was never saved, ``InputError``.
    """
    if name.endswith(("/", "\\")):
        return ""
    folder = _folder_of_ours(name)
    if not folder:
        return name
    drawing = os.environ.get("DOCUMENT_PATH", "")
    bare = os.path.relpath(name, folder)
    if not drawing:
        raise InputError(
            "'{}' names no folder, and the drawing has not been saved yet.".format(bare),
            "Choose the place with the button beside the field.",
            code="file",
        )
    return os.path.join(os.path.dirname(drawing), bare)


def _folder_of_ours(name: str) -> str:
    """The folder of the scripts where the file lies in it; an update would take it away."""
    folder = os.path.dirname(name)
    while folder and folder != os.path.dirname(folder):
        if os.path.isfile(os.path.join(folder, "_where.py")):
            return folder
        folder = os.path.dirname(folder)
    return ""
