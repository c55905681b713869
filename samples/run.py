#!/usr/bin/env python3
"""A small theatre's waistcoats, from the bought PDF to cut-ready pieces.

WHO are rows of waistcoat/people.csv, or "all"; P03 if nothing is said: his chest is size 3
and his waist size 5.  The PDF is brought in once and stays as it is; then everybody gets a
folder of his own, as with the command "sewkit batch".
"""

import argparse
import pathlib
import sys
from typing import List

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from sewkit.cli import main as sewkit  # noqa: E402
from sewkit.errors import SewkitError  # noqa: E402
from sewkit.files.atomic import write_text  # noqa: E402
from sewkit.files.job import run_job  # noqa: E402
from sewkit.files.page_map import page_map  # noqa: E402
from sewkit.files.picture_sheet import sheet_picture  # noqa: E402
from sewkit.files.recipe import read_recipe  # noqa: E402
from sewkit.files.report_text import as_text  # noqa: E402

SAMPLE = HERE / "waistcoat"
PDF = SAMPLE / "bought.pdf"


def main() -> int:
    """Bring the pattern in and make the packs; gives the exit status."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0], epilog=__doc__.split("\n\n")[1])
    parser.add_argument("who", nargs="*", default=["P03"], help="rows of waistcoat/people.csv, or all")
    parser.add_argument("-o", "--output", type=pathlib.Path, default=HERE / "out", help="where it goes")
    options = parser.parse_args()
    try:
        master = bring_in(options.output)
    except SewkitError as error:
        print("The pattern cannot be brought in: {}".format(error), file=sys.stderr)
        return 2
    return fit(master, options.who, options.output)


def bring_in(folder: pathlib.Path) -> pathlib.Path:
    """The master out of the PDF, its lines named; with a picture of the sheet and a map of its pages."""
    done = run_job(PDF, read_recipe(SAMPLE / "bring-in.toml").steps)
    folder.mkdir(parents=True, exist_ok=True)
    master = folder / "master.svg"
    done.drawing.save(master, never=[PDF])
    write_text(folder / "sheet.svg", sheet_picture(done.brought, "The waistcoat as it was brought in"))
    write_text(folder / "pages.svg", page_map(done.brought.printed, done.brought.joined, "Its pages"))
    write_text(folder / "import.txt", as_text(done.report, "What was brought in"))
    return master


def fit(master: pathlib.Path, who: List[str], folder: pathlib.Path) -> int:
    """A pack for everybody who is named; what is told is what the command tells."""
    words = ["batch", str(SAMPLE / "people.csv"), str(master), "-o", str(folder)]
    words += ["--chart", str(SAMPLE / "chart.csv"), "--recipe", str(SAMPLE / "recipe.toml")]
    if "all" not in who:
        words += ["--only", ",".join(name.upper() for name in who)]
    return sewkit(words)


if __name__ == "__main__":
    sys.exit(main())
