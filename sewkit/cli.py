"""The command ``sewkit``: every operation, recipes, and the editor's installation.

    sewkit WORD INPUT -o OUTPUT [options]

Results go to standard output, findings to standard error.  Exit status: 0 done, 1 with
findings at or above ``--fail-on``, 2 for input that cannot be used.
"""

import argparse
import io
import sys
from typing import Any, List, Optional, Sequence

from sewkit import __version__
from sewkit.arguments import add_subjects, add_unit, add_values, subjects_of, takes_lengths, values_of
from sewkit.errors import InputError, SewkitError
from sewkit.files.atomic import write_text
from sewkit.files.job import Done, run_job
from sewkit.files.picture import before_after
from sewkit.files.recipe import Recipe, RecipeStep, read_recipe, write_recipe
from sewkit.files.report_html import as_html
from sewkit.files.report_json import as_json
from sewkit.files.report_text import as_text
from sewkit.operation import Operation, Step
from sewkit.operations import load
from sewkit.pattern.pattern import Pattern
from sewkit.report import Level

_LEVELS = {"look": Level.WARN, "stop": Level.FAIL}


def main(arguments: Optional[Sequence[str]] = None) -> int:
    """Run the command; gives the exit status."""
    parser = build_parser()
    options = parser.parse_args(arguments)
    try:
        return options.run(options)
    except SewkitError as error:
        print("sewkit: {}".format(error), file=sys.stderr)
        return 2
    except BrokenPipeError:
        return 2


def build_parser() -> argparse.ArgumentParser:
    """The whole command line, made from the register of operations."""
    parser = argparse.ArgumentParser(
        prog="sewkit", description="Change a sewing pattern for one body, at true scale."
    )
    parser.add_argument("--version", action="version", version="sewkit " + __version__)
    commands = parser.add_subparsers(metavar="WORD", required=True, parser_class=_Parser)
    for operation in load():
        _add_operation(commands, operation)
    _add_recipe(commands)
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
        help=operation.summary,
        description=operation.summary.replace("%", "%%"),
        epilog="{}\n\nexample:\n  {}".format(operation.details, operation.example).replace("%", "%%"),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.epilog = _wrapped(operation)
    _add_files(command, operation.changes)
    add_subjects(command)
    add_values(command, operation)
    if takes_lengths(operation):
        add_unit(command)
    command.set_defaults(run=_run_operation, operation=operation)


def _wrapped(operation: Operation) -> str:
    import textwrap

    paragraphs = [textwrap.fill(text, 79) for text in operation.details.split("\n\n")]
    return "\n\n".join(paragraphs + ["example:\n  " + operation.example])


def _add_files(command: argparse.ArgumentParser, changes: bool) -> None:
    command.add_argument("input", help="the drawing (SVG); - reads standard input")
    if changes:
        command.add_argument("-o", "--output", help="the new drawing; - writes standard output")
    command.add_argument("--report", action="append", default=[], metavar="FILE", help="write the report: .txt, .html or .json")
    if changes:
        command.add_argument("--picture", metavar="FILE", help="write a before/after picture (SVG)")
        command.add_argument("--record", metavar="FILE", help="add this step to a recipe file")
        command.add_argument("--dry-run", action="store_true", help="tell what would happen and write no drawing")
    command.add_argument("--quiet", action="store_true", help="say nothing about good seams")
    command.add_argument("--fail-on", choices=sorted(_LEVELS), help="exit with 1 on such a finding")


def _add_recipe(commands: Any) -> None:
    command = commands.add_parser(
        "replay",
        help="Do all steps of a recipe.",
        description="Do all steps of a recipe on a drawing, as they were recorded or written.",
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
    values = values_of(options.operation, options, getattr(options, "unit", "mm"))
    one = RecipeStep(Step(options.operation, values), *subjects_of(options))
    return _run_steps(options, [one], options.operation.title)


def _run_recipe(options: argparse.Namespace) -> int:
    recipe = read_recipe(options.recipe)
    if not recipe.steps:
        raise InputError("The recipe '{}' has no steps.".format(options.recipe), code="recipe")
    return _run_steps(options, list(recipe.steps), recipe.title or "Recipe")


def _run_steps(options: argparse.Namespace, steps: List[RecipeStep], title: str) -> int:
    if hasattr(options, "output") and not (options.output or options.dry_run):
        raise InputError("Where shall the new drawing go?", "Give -o FILE, or --dry-run to write none.", code="file")
    source: Any = io.BytesIO(sys.stdin.buffer.read()) if options.input == "-" else options.input
    done = run_job(source, steps)
    never = [] if options.input == "-" else [options.input]
    if getattr(options, "output", None) and not options.dry_run:
        target: Any = sys.stdout.buffer if options.output == "-" else options.output
        done.drawing.save(target, never=never)
    _tell(options, done, title, never)
    if getattr(options, "record", None):
        _record(options.record, steps, never)
    limit = _LEVELS.get(options.fail_on or "", None)
    return 1 if limit is not None and done.report.worst >= limit else 0


def _tell(options: argparse.Namespace, done: Done, title: str, never: List[str]) -> None:
    report = done.report
    changes = hasattr(options, "output")
    if options.quiet:
        kept = tuple(finding for finding in report.findings if finding.level > Level.PASS)
        shown = report._replace(findings=kept, tables=() if not kept else report.tables)
    else:
        shown = report
    print(as_text(shown).rstrip(), file=sys.stderr if changes else sys.stdout)
    picture = _picture(done, title) if changes and (options.picture or options.report) else ""
    if changes and options.picture:
        write_text(options.picture, picture, never=never)
    for name in options.report:
        write_text(name, _report_text(name, report, title, picture), never=never)


def _report_text(name: str, report: Any, title: str, picture: str) -> str:
    if name.endswith(".html"):
        return as_html(report, title, picture_svg=picture)
    if name.endswith(".json"):
        return as_json(report)
    if name.endswith(".txt"):
        return as_text(report, title)
    raise InputError("'{}' is not a kind of report.".format(name), "Use .txt, .html or .json.", code="file")


def _picture(done: Done, title: str) -> str:
    """The before/after picture; the steps say which lines to show, else those that changed."""
    *old, new = done.report.lines or _changed(done.before, done.after)
    return before_after(done.before, done.after, old, new, done.report.changes, title)


def _changed(before: Pattern, after: Pattern) -> List[str]:
    """The first size with a new line, before and after; else the first of all sizes."""
    was = {(piece.name, o.size): o for piece in before.pieces for o in piece.outlines}
    new = [o.size for p in after.pieces for o in p.outlines if was.get((p.name, o.size)) != o]
    new += [c.size for p in after.pieces for c in p.cut_lines] + list(after.sizes) + [""]
    return [new[0], new[0]]


def _record(name: str, steps: List[RecipeStep], never: List[str]) -> None:
    import os

    old = read_recipe(name) if os.path.exists(name) else Recipe()
    write_text(name, write_recipe(old._replace(steps=old.steps + tuple(steps))), never=never)


def _run_editor(options: argparse.Namespace) -> int:
    from sewkit.editor import install

    if options.action == "zip":
        print("written: {}".format(install.make_zip(options.target or "sewkit-extensions.zip")))
    elif options.action == "install":
        print("installed in {}; restart the editor.".format(install.install(options.target)))
    else:
        print("removed: {}".format(install.uninstall(options.target)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
