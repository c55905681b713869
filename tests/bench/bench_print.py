"""How long printing takes, beside other libraries that answer the same questions, in one run.

    python tests/bench/bench_print.py

Which pages have ink is asked of Shapely as well, and where a piece may lie of Fourier transforms
on the same squares, as SciPy does them.  Trust the ratios: absolute times move with the machine.
The aim, on an ordinary machine: three pieces below 0.25 s, thirty below 1.5 s.
"""

import pathlib
import sys
import time

import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2]))

import shapely
from scipy.signal import fftconvolve

from sewkit.files.print_files import printed_files
from sewkit.files.svg import open_drawing
from sewkit.operations.print_ import print_
from sewkit.paper.content import content
from sewkit.paper.packing import packed_squares
from sewkit.paper.squares import shape_of, squared
from sewkit.paper.tiling import grid_over, ink_of, inked, own_box

ROOT = pathlib.Path(__file__).resolve().parents[2]
A4 = (210.0, 297.0)
STRIP = 550.0


def best(work, *inputs, times=5):
    """The least processor time of repeated runs (ms), and what came out."""
    shortest, made = np.inf, None
    for _ in range(times):
        start = time.process_time()
        made = work(*inputs)
        shortest = min(shortest, time.process_time() - start)
    return shortest * 1e3, made


def by_shapely(ink, grid):
    """The cells of a grid that some chord with its width meets."""
    lines = shapely.linestrings(np.stack([ink.starts, ink.stops], axis=1))
    tree = shapely.STRtree(shapely.buffer(lines, ink.half[0], quad_segs=2))
    boxes = [shapely.box(*own_box(grid, cell)) for cell in grid.cells]
    return {grid.cells[number] for number in tree.query(boxes, predicate="intersects")[0].tolist()}


def by_transforms(on_squares):
    """Every free place of each piece each way round on a strip half full: the costly step alone."""
    across = int(STRIP / on_squares.cell)
    free = 0
    for laid in on_squares.pieces:
        strip = np.zeros((400, across))
        strip[:200] = 1.0
        for one in (way for way in laid.values() if way.taken.shape[1] <= across):
            meets = fftconvolve(strip, one.taken[::-1, ::-1].astype(float), mode="valid")
            free += int((meets < 0.5).sum())
    return free


def copies(pattern, times):
    """The pieces again and again, each under a name of its own."""
    pieces = [
        piece._replace(name="{} {}".format(piece.name, number))
        for number in range(times)
        for piece in pattern.pieces
    ]
    return pattern._replace(pieces=tuple(pieces))


def whole(pattern, values):
    outcome = print_(pattern, **values)
    return printed_files("pieces.pdf", outcome.prints), outcome.report.summary


def main():
    pattern = open_drawing(str(ROOT / "samples" / "waistcoat" / "master.svg"))[0].pattern
    drawn = [content(piece, pattern.sizes, pattern.sizes, "both", 0.35) for piece in pattern.pieces]
    shapes = [shape_of(piece.drawn, piece.outer) for piece in drawn]

    ink = ink_of(drawn[0].drawn)
    grid = grid_over(ink.box, A4, 10.0, 10.0)
    ours, cells = best(inked, ink, grid)
    theirs, others = best(by_shapely, ink, grid)
    print(
        "pages with ink  {:7.2f} ms  Shapely    {:7.2f} ms  ratio {:.2f}".format(ours, theirs, ours / theirs)
    )
    print("  cells: {}, Shapely {}".format(len(cells), len(others)))

    on_squares = squared(shapes)
    ours, laid = best(packed_squares, on_squares, STRIP, 10.0)
    theirs, _ = best(by_transforms, on_squares)
    # Ours lays each piece three times over (three sets of ways round), the transforms look once.
    print(
        "packing         {:7.2f} ms  transforms {:7.2f} ms  ratio {:.2f}".format(ours, theirs, ours / theirs)
    )
    print("  a strip of {:.0f} mm, {:.0f} mm long".format(STRIP, laid.length))

    for name, some, values in (
        ("3 pieces, one size", pattern, {"print_sizes": "3"}),
        ("3 pieces, 8 sizes", pattern, {}),
        ("30 pieces, one size", copies(pattern, 10), {"print_sizes": "3"}),
        ("30 pieces, a roll", copies(pattern, 10), {"print_sizes": "3", "paper": "roll 36in"}),
    ):
        took, (_, summary) = best(whole, some, values, times=2)
        print("{:20s} {:7.0f} ms  {}".format(name, took, summary.split(":")[0]))


if __name__ == "__main__":
    main()
