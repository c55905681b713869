"""Time of making lines whole: many dashes, many letters, cut outlines.

    python tests/bench/bench_whole.py

Prints milliseconds of processor time, best of three.
"""

import pathlib
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent.parent))

from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Line, Sheet, Style
from sewkit.sheet.whole import whole_lines
from tests.pdfs.pages import tiled
from tests.pdfs.scene import circle, scene
from tests.sheet.sheets import sheet_of

LETTER = Style("", 0.0, (), "#000000")


def letters(count):
    """So many letters as outlines: rings, bars, and bowed shapes of twelve curves."""
    ring = circle((0.0, 0.0), 1.2).curves
    bar = Path.through([(0, 0), (0.4, 0), (0.4, 3), (0, 3)], closed=True).curves
    shapes = [ring, bar, Path.through([(k % 3, k * 0.3) for k in range(12)], closed=True).curves]
    lines = []
    for k in range(count):
        curves = shapes[k % 3] + (2.5 * (k % 600), 4.0 * (k // 600))
        lines.append(Line(Path(curves, True), LETTER, order=(1, k // 3, k % 3)))
    return Sheet(1500.0, 1600.0, tuple(lines))


def best(sheet):
    times = []
    for _ in range(3):
        start = time.process_time()
        found = whole_lines(sheet)
        times.append(time.process_time() - start)
    return 1000 * min(times), len(found)


def show():
    cases = {
        "40 pages cut": sheet_of(tiled(scene(12))),
        "9 pages, single dashes": sheet_of(tiled(scene(), dashes="single")),
        "40 pages, single dashes": sheet_of(tiled(scene(12), dashes="single")),
        "9 pages, filled dashes": sheet_of(tiled(scene(), dashes="strips")),
        "240 000 letters": letters(240000),
    }
    for name, sheet in cases.items():
        spent, found = best(sheet)
        print("{:26} {:7} strokes -> {:6} lines {:8.0f} ms".format(name, len(sheet.lines), found, spent))


if __name__ == "__main__":
    show()
