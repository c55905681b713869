"""The command ``sewkit``: every operation, recipes, and the editor's installation.

    sewkit WORD INPUT -o OUTPUT [options]

Results go to standard output, findings to standard error.  Exit status: 0 done, 1 with
findings at or above ``--fail-on``, 2 for input that cannot be used.
"""

import argparse
import io
import os
import re
import sys
import textwrap
from typing import Any, Dict, List, Optional, Sequence

from sewkit import __version__
from sewkit.arguments import (
    add_subjects,
    add_unit,
    add_values,
    subjects_of,
    takes_lengths,
    unit_of,
    values_of,
)
from sewkit.batch.command import add_batch
from sewkit.batch.folder import run_folder
from sewkit.errors import InputError, SewkitError
from sewkit.files.atomic import check_target, write_text
from sewkit.files.fit_sheet import with_own_steps, write_fit_sheet
from sewkit.files.job import Done, run_job
from sewkit.files.output_name import check_output, check_printed
from sewkit.files.picture_of import picture_of
from sewkit.files.print_files import check_printed_files, printed_files, write_printed
from sewkit.files.recipe import Recipe, RecipeStep, folder_of, read_recipe, seen_from, write_recipe
from sewkit.files.replay import run_on_file
from sewkit.files.report_file import check_report_name, report_text
from sewkit.files.report_text import as_text
from sewkit.operation import Operation, Step
from sewkit.operations import load
from sewkit.report import Level, Report
from sewkit.sheet.drawn import Progress

_SORRY = (
    "sewkit: met something it was not made for ({}: {}). Please report it, if you can with the file; "
    "SEWKIT_DEBUG=1 before the command tells where it happened."
)
# An amount below nothing begins like this, and no option of ours does.
_AMOUNT = re.compile(r"-\s*[\d.,¼½¾⅛⅜⅝⅞]")
_LONG_OPTION = re.compile(r"--[a-z][a-z-]*$")
_LEVELS = {"look": Level.WARN, "stop": Level.FAIL}


def main(arguments: Optional[Sequence[str]] = None) -> int:
    """Run the command; gives the exit status."""
    parser = build_parser()
    options = parser.parse_args(with_amounts(sys.argv[1:] if arguments is None else arguments))
    try:
        return options.run(options)
    except SewkitError as error:
        print("sewkit: {}".format(error), file=sys.stderr)
        return 2
    except BrokenPipeError:
        # Whoever read our output has gone; nothing more must be written at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 2
    except Exception as error:
        if os.environ.get("SEWKIT_DEBUG"):
            raise
        print(_SORRY.format(type(error).__name__, error), file=sys.stderr)
        return 2


def with_amounts(words: Sequence[str]) -> List[str]:
    """The words with an amount below nothing tied to its option: --amount -12mm is --amount=-12mm.

    Left apart, whatever begins with a dash and is no plain number is taken for an option.
    """
    tied: List[str] = []
    for number, word in enumerate(words):
        if word == "--":
            return tied + list(words[number:])
        if tied and _AMOUNT.match(word) and _LONG_OPTION.match(tied[-1]):
            tied[-1] += "=" + word
        else:
            tied.append(word)
    return tied


def build_parser() -> argparse.ArgumentParser:
    """The whole command line, made from the register of operations."""
    parser = _Parser(prog="sewkit", description="Change a sewing pattern for one body, at true scale.")
    parser.add_argument("--version", action="version", version="sewkit " + __version__)
    commands = parser.add_subparsers(metavar="WORD", required=True, parser_class=_Parser)
    for operation in load():
        _add_operation(commands, operation)
    _add_recipe(commands)
    add_batch(commands)
    _add_editor(commands)
    return parser


class _Parser(argparse.ArgumentParser):
    """Mistakes in the command in one sentence, without a page of usage."""

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, allow_abbrev=False, **named)

    def error(self, message: str) -> Any:
        self.exit(2, "{}: {} (see {} --help)\n".format(self.prog, message, self.prog))


def _add_operation(commands: Any, operation: Operation) -> None:
    command = commands.add_parser(
        operation.name,
        help=operation.summary.replace("%", "%%"),
        description=operation.summary,
        epilog=_epilog(operation),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    what = "the PDF" if operation.takes_pages else "the drawing (SVG)" + ", or a folder" * operation.answers
    _add_files(command, operation.changes, what, operation.prints)
    if operation.takes_pages:
        _add_pages_files(command)
    else:
        add_subjects(command)
    add_values(command, operation)
    if takes_lengths(operation):
        add_unit(command)
    command.set_defaults(run=_run_operation, operation=operation)


def _epilog(operation: Operation) -> str:
    paragraphs = [textwrap.fill(text, 79) for text in operation.details.split("\n\n")]
    return "\n\n".join([*paragraphs, "example:\n  " + operation.example])


def _add_files(
    command: argparse.ArgumentParser,
    changes: bool,
    what: str = "the drawing (SVG), or a PDF to import first",
    prints: bool = False,
) -> None:
    command.add_argument("input", help=what + "; - reads standard input")
    if changes or prints:
        made = "the PDF; several of them get their names behind it" if prints else "the new drawing"
        command.add_argument("-o", "--output", help=made + "; - writes standard output")
    command.add_argument(
        "--report", action="append", default=[], metavar="FILE", help="write the report: .txt, .html or .json"
    )
    if changes:
        command.add_argument("--picture", metavar="FILE", help="write a picture of what was done (SVG)")
    command.add_argument("--record", metavar="FILE", help="add this step to a recipe file")
    if changes or prints:
        command.add_argument(
            "--dry-run", action="store_true", help="tell what would happen and write no drawing, no PDF"
        )
    command.add_argument("--quiet", action="store_true", help="say nothing about good seams")
    command.add_argument("--fail-on", choices=sorted(_LEVELS), help="exit with 1 on such a finding")


def _add_pages_files(command: argparse.ArgumentParser) -> None:
    command.add_argument("--map", metavar="FILE", help="write a map of the joined pages (SVG)")
    command.add_argument(
        "--table", metavar="FILE", help="write the size table: which lines were taken for which size (CSV)"
    )
    command.add_argument("--table-from", metavar="FILE", help="read a size table that you have corrected")


def _add_recipe(commands: Any) -> None:
    command = commands.add_parser(
        "replay",
        help="Do all steps of a recipe.",
        description="Do all steps of a recipe or a fit sheet on a drawing, as they were recorded or written.",
        epilog="example:\n  sewkit replay samples/waistcoat/p03.toml samples/waistcoat/master.svg -o p03.svg",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("recipe", help="the recipe (TOML)")
    _add_files(command, True)
    command.set_defaults(run=_run_recipe)


def _add_editor(commands: Any) -> None:
    command = commands.add_parser(
        "editor", help="Put sewkit into the editor.", description="Put sewkit into the editor Inkscape."
    )
    command.add_argument("action", choices=("install", "uninstall", "zip"))
    command.add_argument("target", nargs="?", help="the extension folder, or the zip file to write")
    command.set_defaults(run=_run_editor)


# -- running ------------------------------------------------------------------------------


def _run_operation(options: argparse.Namespace) -> int:
    values = values_of(options.operation, options, unit_of(options))
    if options.operation.takes_pages:
        if options.table_from:
            values["groups"] = _corrected(options.table_from, values.get("groups", ""))
        return _run_steps(options, [RecipeStep(Step(options.operation, values))], options.operation.title)
    step = Step(options.operation, values)
    if options.operation.answers and os.path.isdir(options.input):
        return _status(options, run_folder(options, step))
    return _run_steps(options, [RecipeStep(step, *subjects_of(options))], options.operation.title)


def _corrected(table: str, groups: str) -> str:
    """The sizes of the lines from a size table, as the value that the import takes."""
    if groups:
        raise InputError(
            "The sizes of the lines are given twice.", "Give --groups or --table-from.", code="value"
        )
    from sewkit.files.size_table import read_size_table

    return " ".join("{}={}".format(key, size) for key, size in read_size_table(table).items())


def _run_recipe(options: argparse.Namespace) -> int:
    recipe = read_recipe(options.recipe)
    if not recipe.steps:
        raise InputError("The recipe '{}' has no steps.".format(options.recipe), code="recipe")
    return _run_steps(options, list(recipe.steps), recipe.title or "Recipe", recipe.sheet)


def _run_steps(options: argparse.Namespace, steps: List[RecipeStep], title: str, sheet: Any = None) -> int:
    never = [] if options.input == "-" else [options.input]
    never += [options.recipe] if hasattr(options, "recipe") else []
    needed = not all(_only_checks(one.step) for one in steps)
    _check_targets(options, never, (needed, any(one.step.operation.prints for one in steps)))
    record = _recorded(options.record, steps) if options.record else ""
    source: Any = io.BytesIO(sys.stdin.buffer.read()) if options.input == "-" else options.input
    watched = _progress(options)
    done = run_on_file(source, sheet, watched) if sheet else run_job(source, steps, watched)
    texts = _texts(options, done, title)
    if record:
        texts[options.record] = record
    # Everything is ready before anything is written, the drawing first.
    if getattr(options, "output", None) and not options.dry_run:
        _write(options.output, done, _prints_alone(options), never)
    for name, text in texts.items():
        write_text(name, text, never=never)
    _tell(options, done.report, needed)
    if getattr(options, "dry_run", False):
        print("Dry run: {} was written.".format("no drawing" if texts else "nothing"), file=sys.stderr)
    return _status(options, done.report.worst)


def _status(options: argparse.Namespace, worst: Level) -> int:
    limit = _LEVELS.get(options.fail_on or "", None)
    return 1 if limit is not None and worst >= limit else 0


def _write(output: str, done: Done, alone: bool, never: Sequence[str]) -> None:
    """Write the drawing, and what is printed beside it; ``alone``: only the PDF was asked for."""
    printed = printed_files(output, done.prints, beside=not alone)
    if alone and output == "-":
        if list(printed) != [output]:
            what = "There are {} PDFs, and standard output takes one.".format(len(printed))
            raise InputError(what, "Give -o a file name.", code="file")
        sys.stdout.buffer.write(printed[output])
        return
    check_printed_files(printed, never)
    if not alone:
        done.drawing.save(sys.stdout.buffer if output == "-" else output, never=never)
    write_printed(printed, never)


def _prints_alone(options: argparse.Namespace) -> bool:
    """Whether the command is to print and nothing else, so that its output is a PDF."""
    return hasattr(options, "operation") and options.operation.prints


def _only_checks(step: Step) -> bool:
    """Whether a step leaves the drawing as it is, or answers without one, so that none need be written."""
    if not step.operation.changes:
        return True
    usual = next((param.default for param in step.operation.params if param.name == "action"), None)
    asked = step.values.get("action", usual)
    return asked == "check" or (step.operation.answers and asked == usual)


def _check_targets(options: argparse.Namespace, never: Sequence[str], needed: Sequence[bool]) -> None:
    """Refuse what cannot be written before any work is done.

    ``needed``: whether there is a new drawing, and whether something is printed.
    """
    output, dry_run = getattr(options, "output", None), getattr(options, "dry_run", True)
    if _prints_alone(options):
        check_printed(output or "", dry_run)
    else:
        check_output(output or "", dry_run, *needed)
    for name in options.report:
        check_report_name(name)
    files = [None if output == "-" or dry_run else output]
    files += [getattr(options, name, None) for name in ("picture", "map", "table")]
    files += [options.record, *options.report]
    taken: List[str] = []
    for name in filter(None, files):
        if name == "-":
            raise InputError(
                "Only the drawing can go to standard output.", "Give '-' a file name.", code="file"
            )
        check_target(name, never)
        if os.path.realpath(name) in taken:
            raise InputError(
                "'{}' is named twice.".format(name), "Give each file a name of its own.", code="file"
            )
        taken.append(os.path.realpath(name))


def _texts(options: argparse.Namespace, done: Done, title: str) -> Dict[str, str]:
    """The report and picture files that were asked for, by name."""
    asked = getattr(options, "picture", None)
    picture = picture_of(done, title) if hasattr(options, "output") and (asked or options.report) else ""
    texts = {name: report_text(name, done.report, title, picture) for name in options.report}
    if asked:
        texts[asked] = picture
    if done.brought is not None:
        texts.update(_pages_texts(options, done.brought))
    return texts


def _pages_texts(options: argparse.Namespace, brought: Any) -> Dict[str, str]:
    """The page map and the size table of an import, where they were asked for."""
    from sewkit.files.size_table import write_table

    texts: Dict[str, str] = {}
    if getattr(options, "map", None):
        from sewkit.files.page_map import page_map

        texts[options.map] = page_map(brought.printed, brought.joined, brought.pattern.title)
    if getattr(options, "table", None):
        texts[options.table] = write_table(brought.grouping)
    return texts


def _tell(options: argparse.Namespace, report: Report, needed: bool) -> None:
    """Findings to standard error; where they are the result, to standard output."""
    if options.quiet:
        kept = tuple(finding for finding in report.findings if finding.level > Level.PASS)
        report = report._replace(findings=kept, tables=report.tables if kept else ())
    drawing = needed or getattr(options, "output", None)
    print(as_text(report).rstrip(), file=sys.stderr if drawing else sys.stdout)


def _progress(options: argparse.Namespace) -> Progress:
    """Where a person watches: one line that tells how far long work has come."""
    if options.quiet or not sys.stderr.isatty():
        return None

    def tell(done: int, of: int, what: str) -> None:
        text = "{} ({} of {})".format(what, done, of) if done < of else ""
        print("\r{:<60}\r{}".format("", text), end="", file=sys.stderr, flush=True)

    return tell


def _recorded(name: str, steps: Sequence[RecipeStep]) -> str:
    """The text of a recipe file with the steps added."""
    old = read_recipe(name) if os.path.exists(name) else Recipe()
    steps = seen_from(folder_of(name), steps)
    if old.sheet is not None:
        return write_fit_sheet(with_own_steps(old.sheet, steps))
    return write_recipe(old._replace(steps=old.steps + steps))


def _run_editor(options: argparse.Namespace) -> int:
    from sewkit.editor import install

    if options.action == "zip":
        print("written: {}".format(install.make_zip(options.target or "sewkit-extensions.zip")))
    elif options.action == "install":
        print("installed in {}; restart the editor.".format(install.install(options.target)))
    else:
        print("removed: {}".format(install.uninstall(options.target)))
    if options.action != "uninstall" and install.missing_packages():
        words = "It cannot read PDF yet: run  pip install '.[pdf]'  in sewkit's own folder and do this again."
        print(words, file=sys.stderr)
    elif options.action != "uninstall":
        print(install.pythons_served(), file=sys.stderr)
    return 0


if __name__ == "__main__":
    sys.exit(main())
