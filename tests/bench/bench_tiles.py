"""How fast tiles are joined, and how right.

    python tests/bench/bench_tiles.py

The aim, on a machine of two ordinary cores: 40 pages within 1.5 s, 40 pages with 240,000
segments, nearly all of them letters, within 5 s, and so 240,000 letters; every page of an exact
layout within 0.02 mm.
"""

import pathlib
import sys
import time

import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2]))

from sewkit.geometry.path import lines
from sewkit.sheet.drawn import Drawn, Style
from sewkit.sheet.tiles import join_pages, one_sheet
from tests.pdfs.pages import tiled
from tests.pdfs.scene import scene

INK = Style("", 0.0, (), "#000000")


def with_letters(made, paths, letters, seed=1, right=180):
    """Every page with so many paths of so many letters, each a small closed shape of eight lines."""
    numbers = np.random.RandomState(seed)
    round_once = np.linspace(0.0, 2.0 * np.pi, 9)
    pages = []
    for page in made.printed.pages:
        extra = []
        for order in range(paths):
            x, y = numbers.uniform(20, right), numbers.uniform(20, 270)
            curves = []
            for letter in range(letters):
                size = numbers.uniform(0.5, 1.5, 9)
                size[-1] = size[0]
                spots = np.column_stack(
                    [x + 2.5 * letter + size * np.cos(round_once), y + size * np.sin(round_once)]
                )
                curves.append(lines(spots[:-1], spots[1:]))
            starts = tuple(range(0, 8 * letters, 8))
            order += len(page.drawn)
            extra.append(Drawn(np.concatenate(curves), starts, (True,) * letters, INK, order=order))
        pages.append(page._replace(drawn=page.drawn + tuple(extra)))
    return made._replace(printed=made.printed._replace(pages=tuple(pages)))


def worst(made, joined):
    """The largest miss of a placed page (mm) after one shift."""
    away = np.array([(p.x - made.tile(p.page).x, p.y - made.tile(p.page).y) for p in joined.placed])
    return float(np.hypot(*(away - np.median(away, axis=0)).T).max())


def main() -> None:
    drawing = scene(pieces=12)
    cases = {
        "40 pages, cut": tiled(drawing, labels=""),
        "54 pages, cut, 10 mm overlap": tiled(drawing, labels="", overlap=10.0),
        "40 pages, clipped": tiled(drawing, labels="", how="clip"),
        "40 pages, all on every page": tiled(drawing, labels="", how="poster"),
        "40 pages, dashes apart": tiled(drawing, labels="", dashes="single"),
        "40 pages, dashes as strips": tiled(drawing, labels="", dashes="strips"),
        "40 pages, heavy": with_letters(tiled(drawing, labels=""), 150, 5),
        "40 pages, heavy, each letter a path": with_letters(tiled(drawing, labels=""), 750, 1),
        "40 pages, 240,000 letters": with_letters(tiled(drawing, labels=""), 150, 40, right=90),
        "40 pages, heavy, all on every page": with_letters(tiled(drawing, labels="", how="poster"), 150, 5),
    }
    for name, made in cases.items():
        segments = sum(len(drawn.curves) for page in made.printed.pages for drawn in page.drawn)
        start = time.perf_counter()
        joined = join_pages(made.printed)
        middle = time.perf_counter()
        sheet = one_sheet(made.printed, joined)
        stop = time.perf_counter()
        print(
            "{:36s} {:7d} segments  join {:5.2f} s  sheet {:5.2f} s  {:6d} lines  worst {:.4f} mm".format(
                name, segments, middle - start, stop - middle, len(sheet.lines), worst(made, joined)
            )
        )


if __name__ == "__main__":
    main()
