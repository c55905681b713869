#!/usr/bin/env python3
"""One performer's waistcoat, from the nest of sizes to cut-ready pieces.

    python samples/run.py [WHO] [FOLDER]

WHO is a row of waistcoat/people.csv, P03 if nothing is said: his chest is size 3 and his
waist size 5.  Everything goes into a folder of its own; the master stays as it is.
"""

import pathlib
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from sewkit.body.size_chart import fit_size  # noqa: E402
from sewkit.errors import InputError, SewkitError  # noqa: E402
from sewkit.files.atomic import write_text  # noqa: E402
from sewkit.files.chart import read_chart, read_table  # noqa: E402
from sewkit.files.job import run_job  # noqa: E402
from sewkit.files.picture import before_after  # noqa: E402
from sewkit.files.recipe import parse_recipe  # noqa: E402
from sewkit.files.report_html import as_html  # noqa: E402
from sewkit.files.report_text import as_text  # noqa: E402
from sewkit.geometry.path import Path, lines  # noqa: E402
from sewkit.pattern.mark import GRAIN, LABEL, Mark  # noqa: E402
from sewkit.report import Level, Report, Table  # noqa: E402

MASTER = HERE / "waistcoat" / "master.svg"

# The garment's own ease (mm): what the finished waistcoat has over the body.
EASE = {"chest": 100.0, "waist": 80.0}

# The theatre lets the centre back and the sides out for later shows.
INLAY = "side=25 mm centre-back=25 mm"

SWING = """
[[step]]
do = "blend"
first = "{chest}"
then = "{waist}"
edge = "side"
until = "waist"
lead = "50 mm"
called = "{who}"
"""

REST = """
[[step]]
do = "size"
size_kept = "{line}"

[[step]]
do = "allowance"
width = "10 mm"
edges = "{inlay}"

[[step]]
do = "walk"
"""


def main() -> int:
    """Make one performer's folder; gives the exit status."""
    who = sys.argv[1] if len(sys.argv) > 1 else "P03"
    folder = pathlib.Path(sys.argv[2]) if len(sys.argv) > 2 else HERE / "out" / who
    try:
        make(who, folder)
    except SewkitError as error:
        print("{} is held: {}".format(who, error), file=sys.stderr)
        return 1
    return 0


def make(who: str, folder: pathlib.Path) -> None:
    """Fit, swing, cut and report for one person."""
    fits = sizes_for(who)
    chest, waist = fits["chest"].size, fits["waist"].size
    line = chest if chest == waist else who
    text = 'title = "Waistcoat for {}"\n'.format(who)
    if chest != waist:
        text += SWING.format(chest=chest, waist=waist, who=who)
    text += REST.format(line=line, inlay=INLAY)
    done = run_job(MASTER, parse_recipe(text).steps)
    made = "chest {}, waist {}".format(chest, waist)
    label(done.drawing, "{}: {}".format(who, made))
    report = Report("{}: {}.".format(who, made), tables=(size_table(fits),)).then(done.report)
    lines_ = report.lines or (line, line)
    title = "Waistcoat for {}".format(who)
    picture = before_after(done.before, done.after, lines_[:-1], lines_[-1], report.changes, title)
    folder.mkdir(parents=True, exist_ok=True)
    done.drawing.save(folder / "pieces.svg", never=[MASTER])
    write_text(folder / "before-after.svg", picture)
    write_text(folder / "report.txt", as_text(report, title))
    write_text(folder / "report.html", as_html(report, title, made, picture))
    write_text(folder / "recipe.toml", text)
    tell(folder, report)


def sizes_for(who: str):
    """The size at each level; the rule is in ``sewkit.body.size_chart``."""
    chart = read_chart(HERE / "waistcoat" / "chart.csv")
    people = read_table(HERE / "waistcoat" / "people.csv")
    if who not in people:
        raise InputError(
            "There is no '{}' in people.csv.".format(who), "Known: {}.".format(", ".join(people))
        )
    return {measure: fit_size(chart, measure, people[who][measure]) for measure in EASE}


def size_table(fits) -> Table:
    """The three numbers that a choice of size rests on: body, chart, finished."""
    rows = []
    for measure, fit in fits.items():
        finished = fit.chart + EASE[measure]
        row = (measure, fit.size, fit.body / 10, fit.chart / 10, finished / 10, (finished - fit.body) / 10)
        rows.append(row[:2] + tuple("{:.1f}".format(number) for number in row[2:]))
    columns = ("level", "size", "body cm", "drafted for cm", "finished cm", "ease cm")
    return Table("Which size where", columns, tuple(rows))


def label(drawing, words: str) -> None:
    """Write for whom the pieces are along each grain line, and drop the notes on the nest."""
    pattern = drawing.pattern
    for piece in pattern.pieces:
        grain = next(mark for mark in piece.marks if mark.kind == GRAIN)
        foot, top = sorted(grain.path.nodes.tolist(), key=lambda spot: -spot[1])
        foot = [foot[0] + 9.0, foot[1] - 60.0]
        along = Path(lines([foot], [[foot[0], top[1]]]))
        pattern = pattern.with_piece(
            piece._replace(marks=piece.marks + (Mark(LABEL, path=along, text=words),))
        )
    drawing.put(pattern)
    for notes in drawing.root.xpath("//*[@id='nest-notes']"):
        notes.getparent().remove(notes)


def tell(folder: pathlib.Path, report: Report) -> None:
    """Say on the screen what was made, and what to look at before cutting."""
    print(report.summary)
    for finding in report.findings:
        if finding.level >= Level.WARN:
            print("  {}: {}".format(finding.level.word, finding.text))
    print("Open these; print at 100 % and measure the test square with a rule before you cut:")
    for name in ("pieces.svg", "before-after.svg", "report.html", "report.txt", "recipe.toml"):
        print("  {}".format(folder / name))


if __name__ == "__main__":
    sys.exit(main())
