"""What is printed from the editor: into a file that the dialog names."""

import argparse

from sewkit.arguments import keeper
from sewkit.editor.told import named_file
from sewkit.errors import InputError
from sewkit.files.output_name import check_printed
from sewkit.operation import Outcome
from sewkit.report import Finding, Level, Report


def add_print_option(parser: argparse.ArgumentParser) -> None:
    """Add what ``editor.inx`` shows above the values."""
    parser.add_argument("--print-file", type=keeper("str"), default="", help="the file to print into")


def print_target(options: argparse.Namespace) -> str:
    """The file to print into; ``InputError`` where none is named, or one of another kind."""
    name = named_file(options.print_file)
    if not name:
        raise InputError(
            "No file was named to print into.",
            "Name a new file that ends in .pdf in the first field.",
            code="file",
        )
    check_printed(name)
    return name


def print_into(name: str, outcome: Outcome, options: argparse.Namespace) -> Outcome:
    """Write what was printed; the outcome tells which files there are now."""
    # Brought in only to print: a run of another operation may come at every change of a number.
    from sewkit.files.print_files import letters_told, printed_files, write_printed

    files = printed_files(name, outcome.prints)
    source = options.input_file
    write_printed(files, never=[source] if isinstance(source, str) else [])
    written = Finding("written", Level.INFO, "Written: {}.".format(", ".join(files) or "nothing"))
    told = (written, *letters_told(outcome.prints))
    return outcome._replace(report=outcome.report.then(Report("", told)))
