"""How long checking everything takes, beside SciPy and Shapely on the same outlines, in one run.

    python tests/bench/bench_check.py

Thirty pieces in one size, with cut lines, notches and seams: the waistcoat of the samples ten times
over.  The judges do the least of what the check does, lengths of all edges by adaptive quadrature and
validity of all flattened outlines.  Trust the ratios: absolute times move with the machine.
"""

import math
import pathlib
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2]))

import numpy as np
import shapely
from scipy.integrate import quad

from sewkit.files.svg import open_drawing
from sewkit.geometry.path import derivative
from sewkit.geometry.polygon import flatten
from sewkit.operations.allowance import allowance
from sewkit.operations.check import check
from sewkit.operations.size import size
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef

MASTER = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat" / "master.svg"
COPIES = 10


def best(work, *inputs, runs=5):
    """The shortest of repeated runs, ms: what the machine can do when left alone."""
    shortest = math.inf
    for _ in range(runs):
        start = time.perf_counter()
        work(*inputs)
        shortest = min(shortest, time.perf_counter() - start)
    return shortest * 1e3


def many(pattern, copies):
    """So many copies of a pattern side by side in the list, each sewn in itself."""
    pieces, seams = [], []
    for number in range(copies):
        called = "-{}".format(number + 1)
        pieces += [piece._replace(name=piece.name + called, key="") for piece in pattern.pieces]
        for seam in pattern.seams:
            sides = [
                tuple(EdgeRef(ref.piece + called, ref.edge, ref.turned) for ref in side)
                for side in (seam.first, seam.second)
            ]
            seams.append(seam._replace(first=sides[0], second=sides[1]))
    return Pattern(tuple(pieces), tuple(seams))


def lengths_by_scipy(pattern):
    def speed(t, curve):
        return float(np.hypot(*derivative(curve[None], t)[0]))

    return [
        sum(quad(speed, 0, 1, args=(curve,))[0] for curve in outline.path.curves[edge.start : edge.stop])
        for piece in pattern.pieces
        for outline in piece.outlines
        for edge in outline.edges
    ]


def validity_by_shapely(pattern):
    return [
        shapely.Polygon(flatten(outline.path, 0.01)).is_valid
        for piece in pattern.pieces
        for outline in piece.outlines
    ]


def main():
    drawing, _ = open_drawing(str(MASTER))
    nest = allowance(drawing.pattern).pattern
    one = size(nest, size_kept="3").pattern
    print("{:<34}{:>10}{:>10}{:>12}".format("", "ms", "outlines", "x SciPy+Sh."))
    for title, pattern in (
        ("30 pieces, one size", many(one, COPIES)),
        ("30 pieces, 8 sizes", many(nest, COPIES)),
    ):
        outlines = sum(len(piece.outlines) for piece in pattern.pieces)
        judges = best(lengths_by_scipy, pattern, runs=1) + best(validity_by_shapely, pattern, runs=1)
        ours = best(check, pattern, runs=3)
        print("{:<34}{:>10.0f}{:>10}{:>12.2f}".format(title + ", all checks", ours, outlines, ours / judges))
        print("{:<34}{:>10.0f}".format("  the judges, two checks", judges))


if __name__ == "__main__":
    main()
