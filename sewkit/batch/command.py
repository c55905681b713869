"""The command ``sewkit batch``: people and masters in, a folder of packs and a summary out.

Exit status: 0 all done, 1 some rows held, 2 some failed or nothing usable.
"""

import argparse
import os
import sys
from typing import Any, Callable, Dict, Sequence, Tuple

from sewkit.errors import FileError, InputError
from sewkit.files.pack_print import USUAL_PAPER

_NO_PAPER = "none"

_DESCRIPTION = (
    "Fit one pattern, or several, to everybody in a table of measures. Each gets a folder with pieces, "
    "picture, report and cut list; rows that cannot be fitted are held with one sentence each."
)
_EPILOG = """\
Stop it whenever you like and run it again: finished packs are kept, and nothing is half-written.

example:
  sewkit batch samples/waistcoat/people.csv samples/waistcoat/master.svg --chart samples/waistcoat/chart.csv \
--recipe samples/waistcoat/recipe.toml -o cast --only P03"""


def add_batch(commands: Any) -> None:
    """Add the command to the command line."""
    command = commands.add_parser(
        "batch",
        help="Fit patterns to a whole cast.",
        description=_DESCRIPTION,
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.add_argument("people", help="a table with one person a row (CSV, TSV), or one person's sheet")
    command.add_argument(
        "masters", nargs="+", metavar="master", help="a drawing whose edges have names (SVG)"
    )
    command.add_argument("-o", "--output", metavar="FOLDER", help="the folder for the packs; made if missing")
    each = "; once for all masters, or once for each in their order"
    command.add_argument(
        "--chart",
        action="append",
        default=[],
        metavar="FILE",
        help="the size chart (the master's own)" + each,
    )
    command.add_argument(
        "--recipe", action="append", default=[], metavar="FILE", help="what is done after fitting" + each
    )
    command.add_argument("--only", metavar="WHO,WHO", help="make packs for these rows")
    command.add_argument(
        "--confirm", metavar="WHO=yes", help="whose doubtful numbers are right, or their unit: P09=in,P04=yes"
    )
    command.add_argument("--beyond", metavar="WHO,WHO", help="who may have a size beyond the chart")
    command.add_argument("--exact", action="store_true", help="sizes in between, not the nearest whole ones")
    command.add_argument("--unit", default="", metavar="UNIT", help="of numbers that name none: mm, cm or in")
    command.add_argument("--show", default="", metavar="WORDS", help="the production, for labels")
    command.add_argument("--date", default="", metavar="WORDS", help="the date as labels shall have it")
    command.add_argument(
        "--paper",
        default=USUAL_PAPER,
        metavar="NAME",
        help="print the pieces of each on this, unless a recipe says how: Letter, A0, roll 36in, none "
        "(default {})".format(USUAL_PAPER),
    )
    command.add_argument("--dry-run", action="store_true", help="tell what would be made and write nothing")
    command.add_argument("--jobs", metavar="N", help="how many rows at a time (as many as there are cores)")
    command.add_argument(
        "--executor", choices=("processes", "cluster"), default="processes", help="who does the work"
    )
    command.add_argument("--address", default="", help="of the cluster's scheduler: tcp://name:8786")
    command.add_argument("--quiet", action="store_true", help="say nothing but what went wrong")
    command.set_defaults(run=run_batch)


def run_batch(options: argparse.Namespace) -> int:
    """Make the packs that the options ask for; gives the exit status."""
    from sewkit.batch.asked import read_cast
    from sewkit.batch.one_row import Choices

    folder = _output(options)
    jobs = _jobs(options.jobs)
    cast = read_cast(
        options.people,
        options.masters,
        options.chart,
        options.recipe,
        folder,
        _names(options.only),
        options.unit,
        _confirmed(options.confirm),
        Choices(options.exact, _names(options.beyond), options.show, options.date, _paper(options.paper)),
    )
    return _run(cast, folder, jobs, options)


def _run(cast: Any, folder: str, jobs: int, options: argparse.Namespace) -> int:
    from sewkit.batch.cast import make_cast
    from sewkit.batch.progress import Progress
    from sewkit.files.cast import FAILED, HELD
    from sewkit.files.cast_summary import counted, summary_text

    jobs = min(jobs, max(sum(task.asked for task in cast.tasks), 1))
    start, workers = _executor(options, jobs)
    if folder:
        _make_folder(folder)
    shown: Dict[str, Any] = {"shown": False} if options.quiet else {}
    try:
        with Progress(len(cast.tasks), **shown) as progress:
            rows = make_cast(cast.tasks, start, workers, progress)
    except KeyboardInterrupt:
        print("sewkit: stopped; finished packs are kept, so run it again to go on.", file=sys.stderr)
        return 2
    if folder:
        _write(folder, rows, cast.read)
    if not options.quiet:
        print(summary_text(rows), end="")
        _tell(folder, rows)
    elif any(row.state in (HELD, FAILED) for row in rows):
        print(counted(rows), file=sys.stderr)
    if any(row.state == FAILED for row in rows):
        return 2
    return 1 if any(row.state == HELD for row in rows) else 0


def _tell(folder: str, rows: Sequence[Any]) -> None:
    """Where it is, what was kept, what is new: no part of the summary, which is the same every time."""
    from sewkit.files.cast_summary import recut_words

    if not folder:
        print("Dry run: nothing was written.", file=sys.stderr)
        return
    kept = sum(row.kept for row in rows)
    if kept:
        print("{} of the packs were finished before and are kept.".format(kept), file=sys.stderr)
    for text in recut_words(rows):
        print(text, file=sys.stderr)
    print("Open {}".format(os.path.join(folder, "summary.html")), file=sys.stderr)


def _write(folder: str, rows: Sequence[Any], read: Sequence[str]) -> None:
    from sewkit.files.atomic import write_text
    from sewkit.files.cast_summary import SUMMARIES, summary_csv, summary_text
    from sewkit.files.wall import wall

    for name, write in zip(SUMMARIES, (summary_text, summary_csv, wall)):
        write_text(os.path.join(folder, name), write(rows), never=read)


def _executor(options: argparse.Namespace, jobs: int) -> Tuple[Callable[[], Any], int]:
    """What gives an executor, and how many rows it does at a time."""
    from sewkit.batch import executors

    if options.executor == "cluster":
        first = executors.cluster(options.address)  # a fault is told before any work
        waiting = [first]
        return lambda: waiting.pop() if waiting else executors.cluster(options.address), first.workers
    return lambda: executors.processes(jobs), jobs


def _output(options: argparse.Namespace) -> str:
    if options.dry_run:
        return ""
    if not options.output:
        raise InputError(
            "Where shall the packs go?", "Give -o FOLDER, or --dry-run to write nothing.", code="file"
        )
    return str(options.output)


def _make_folder(folder: str) -> None:
    try:
        os.makedirs(folder, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise FileError(
            "The folder '{}' cannot be made: {}.".format(folder, reason), "Name another.", code="file"
        ) from None


def _jobs(text: Any) -> int:
    from sewkit.batch.executors import cores

    if text is None:
        return cores()
    if not str(text).isdecimal() or int(text) < 1:
        raise InputError("--jobs {} is no number of jobs.".format(text), "Give 1 or more.", code="value")
    return int(text)


def _paper(text: str) -> str:
    """The paper as it is called; empty for none, ``InputError`` for one that is not known."""
    from sewkit.paper.sizes import paper_named

    return "" if text.strip().lower() in ("", _NO_PAPER) else paper_named(text).name


def _names(text: Any) -> Tuple[str, ...]:
    return tuple(name.strip() for name in (text or "").split(",") if name.strip())


def _confirmed(text: Any) -> Dict[str, str]:
    """ "P09=in, P04" as names with what is said of them."""
    found = {}
    for name in _names(text):
        who, _, said = name.partition("=")
        found[who.strip()] = said.strip() or "yes"
    return found
