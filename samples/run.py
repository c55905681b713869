#!/usr/bin/env python3
"""One performer's waistcoat, from the bought PDF to cut-ready pieces.

WHO is a row of waistcoat/people.csv, P03 if nothing is said: his chest is size 3 and his
waist size 5.  Everything goes into a folder of its own; the PDF stays as it is.
"""

import argparse
import pathlib
import sys
from typing import Dict, Iterator

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from sewkit.body.size_chart import Fit, SizeChart, fit_size  # noqa: E402
from sewkit.errors import InputError, SewkitError  # noqa: E402
from sewkit.files.atomic import write_text  # noqa: E402
from sewkit.files.chart import read_chart, read_table  # noqa: E402
from sewkit.files.job import Done, run_job  # noqa: E402
from sewkit.files.page_map import page_map  # noqa: E402
from sewkit.files.picture import before_after  # noqa: E402
from sewkit.files.picture_sheet import sheet_picture  # noqa: E402
from sewkit.files.recipe import parse_recipe, read_recipe  # noqa: E402
from sewkit.files.report_html import as_html  # noqa: E402
from sewkit.files.report_text import as_text  # noqa: E402
from sewkit.geometry.path import Path, lines  # noqa: E402
from sewkit.pattern.mark import GRAIN, LABEL, Mark  # noqa: E402
from sewkit.report import Finding, Level, Report, Table  # noqa: E402

PDF = HERE / "waistcoat" / "bought.pdf"
BRING_IN = HERE / "waistcoat" / "bring-in.toml"

# What a person's folder holds, in the order of the work.
WRITTEN = (
    "import.txt",
    "pages.svg",
    "sheet.svg",
    "master.svg",
    "pieces.svg",
    "before-after.svg",
    "report.html",
    "report.txt",
    "recipe.toml",
)

# The garment's own ease (mm): what the finished waistcoat has over the body.
EASE = {"chest": 100.0, "waist": 80.0}

# Length changes below this are not made (mm); common practice, no source.
LENGTH = "back waist length"
LENGTH_STEP = 5.0

# The theatre lets the centre back and the sides out for later shows.
INLAY = "side=25 mm centre-back=25 mm"

# Length first, then width.  Half way between chest and waist lies below every bust dart or
# armhole and above the waist (common practice).
LONGER = """
[[step]]
do = "lengthen"
amount = "{amount:g} mm"
at = "chest/waist"
"""

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
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0], epilog=__doc__.split("\n\n")[1])
    parser.add_argument("who", nargs="?", default="P03", help="a row of waistcoat/people.csv")
    parser.add_argument("folder", nargs="?", type=pathlib.Path, help="where it goes; samples/out/WHO")
    options = parser.parse_args()
    who = options.who.upper()
    try:
        make(who, options.folder or HERE / "out" / who)
    except SewkitError as error:
        print("{} is held: {}".format(who, error), file=sys.stderr)
        return 1
    return 0


def make(who: str, folder: pathlib.Path) -> None:
    """Fit, swing, cut and report for one person."""
    chart = read_chart(HERE / "waistcoat" / "chart.csv")
    body = person(who)
    fits = {measure: fit_size(chart, measure, body[measure]) for measure in EASE}
    chest, waist = fits["chest"].size, fits["waist"].size
    line = chest if chest == waist else who
    longer = to_lengthen(chart, fits, body)
    text = 'title = "Waistcoat for {}"\n'.format(who)
    if longer:
        text += LONGER.format(amount=longer)
    if chest != waist:
        text += SWING.format(chest=chest, waist=waist, who=who)
    text += REST.format(line=line, inlay=INLAY)
    brought = bring_in(folder)
    done = run_job(brought.drawing.tree, parse_recipe(text).steps)
    made = "chest {}, waist {}".format(chest, waist)
    if longer:
        made += ", {:g} mm {}".format(abs(longer), "longer" if longer > 0 else "shorter")
    label(done.drawing, "{}: {}".format(who, made))
    told = tuple(not_met(chart, fits))
    report = Report("{}: {}.".format(who, made), told, (size_table(chart, fits, body),)).then(done.report)
    lines_ = report.lines or (line, line)
    title = "Waistcoat for {}".format(who)
    picture = before_after(done.before, done.after, lines_[:-1], lines_[-1], report.changes, title)
    done.drawing.save(folder / "pieces.svg", never=[PDF])
    write_text(folder / "before-after.svg", picture)
    write_text(folder / "report.txt", as_text(report, title))
    write_text(folder / "report.html", as_html(report, title, made, picture))
    write_text(folder / "recipe.toml", text)
    tell(folder, report)


def bring_in(folder: pathlib.Path) -> Done:
    """The master out of the PDF, its lines named; with a picture of the sheet and a map of its pages."""
    done = run_job(PDF, read_recipe(BRING_IN).steps)
    folder.mkdir(parents=True, exist_ok=True)
    done.drawing.save(folder / "master.svg", never=[PDF])
    write_text(folder / "sheet.svg", sheet_picture(done.brought, "The waistcoat as it was brought in"))
    write_text(folder / "pages.svg", page_map(done.brought.printed, done.brought.joined, "Its pages"))
    write_text(folder / "import.txt", as_text(done.report, "What was brought in"))
    return done


def person(who: str) -> Dict[str, float]:
    """A row of the wardrobe's measure sheet, in mm."""
    people = read_table(HERE / "waistcoat" / "people.csv")
    if who not in people:
        known = "Known: {}.".format(", ".join(people))
        raise InputError("There is no '{}' in people.csv.".format(who), known)
    return people[who]


def drafted_length(chart: SizeChart, fits: Dict[str, Fit]) -> float:
    """The back waist length (mm) that the size at the chest was drafted for."""
    return chart.measures[LENGTH][chart.sizes.index(fits["chest"].size)]


def size_table(chart: SizeChart, fits: Dict[str, Fit], body: Dict[str, float]) -> Table:
    """The three numbers that a choice of size rests on: body, chart, finished."""
    rows = []
    for measure, fit in fits.items():
        finished = fit.chart + EASE[measure]
        amounts = (fit.body, fit.chart, finished, finished - fit.body)
        rows.append((measure, fit.size) + tuple("{:.1f}".format(mm / 10) for mm in amounts))
    amounts = (body[LENGTH], drafted_length(chart, fits))
    rows.append((LENGTH, fits["chest"].size) + tuple("{:.1f}".format(mm / 10) for mm in amounts) + ("", ""))
    columns = ("level", "size", "body cm", "drafted for cm", "finished cm", "ease cm")
    return Table("Which size where", columns, tuple(rows))


def to_lengthen(chart: SizeChart, fits: Dict[str, Fit], body: Dict[str, float]) -> float:
    """How much longer the waist has to lie (mm), below nothing shorter; 0 where it is not worth it."""
    longer = body[LENGTH] - drafted_length(chart, fits)
    return longer if abs(longer) >= LENGTH_STEP else 0.0


def not_met(chart: SizeChart, fits: Dict[str, Fit]) -> Iterator[Finding]:
    """What this waistcoat does not do for this body, so that nobody takes it for done."""
    for measure, fit in fits.items():
        if not 1.0 <= fit.exact <= len(chart.sizes):
            text = (
                "{} {:g} cm lies beyond the chart; with size {} the ease is {:g} cm instead of {:g}.".format(
                    measure,
                    fit.body / 10,
                    fit.size,
                    (fit.chart + EASE[measure] - fit.body) / 10,
                    EASE[measure] / 10,
                )
            )
            yield Finding("beyond-chart", Level.WARN, text, measure)


def label(drawing, words: str) -> None:
    """Write for whom the pieces are along each grain line, and drop the notes on the nest."""
    pattern = drawing.pattern
    for piece in pattern.pieces:
        grain = next(mark for mark in piece.marks if mark.kind == GRAIN)
        foot, top = sorted(grain.shaft.nodes.tolist(), key=lambda spot: -spot[1])
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
    for name in WRITTEN:
        print("  {}".format(folder / name))


if __name__ == "__main__":
    sys.exit(main())
