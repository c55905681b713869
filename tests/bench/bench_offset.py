"""Time and accuracy of allowances, ours beside Shapely and pyclipper, in one run.

    python tests/bench/bench_offset.py              # the table
    python tests/bench/bench_offset.py --fuzz 10000 # the long random run

Trust the ratios: absolute times move with the machine.  "Real error" is the distance to
the exact parallel curves (3000 points a curve, see ``tests/geometry/bands.py``).
"""

import argparse
import collections
import math
import pathlib
import sys
import time

import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2]))

import pyclipper
import shapely

from sewkit.geometry.offset import offset
from sewkit.geometry.path import Path, is_line
from sewkit.geometry.polygon import flatten
from tests.geometry.bands import bands, deviation
from tests.geometry.fuzz import judge
from tests.geometry.shapes import OUTLINES, WIDTHS

WIDTH = 10.0
LIMIT = 10.0


def best(work, *inputs, seconds=0.15, **more):
    """The shortest of repeated runs, ms: what the machine can do when left alone."""
    shortest, until = math.inf, time.perf_counter() + seconds
    while time.perf_counter() < until:
        start = time.perf_counter()
        work(*inputs, **more)
        shortest = min(shortest, time.perf_counter() - start)
    return shortest * 1e3


def by_shapely(path, tolerance):
    polygon = shapely.Polygon(flatten(path, tolerance))
    return shapely.get_coordinates(polygon.buffer(WIDTH, join_style="mitre", mitre_limit=LIMIT).exterior)


def by_clipper(path, tolerance, scale=1e4):
    machine = pyclipper.PyclipperOffset(miter_limit=LIMIT)
    ring = (flatten(path, tolerance) * scale).round().astype(np.int64).tolist()
    machine.AddPath(ring, pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    return np.array(max(machine.Execute(WIDTH * scale), key=pyclipper.Area)) / scale


def geometric(values):
    return math.exp(sum(math.log(v) for v in values) / len(values))


def table():
    rows = {}
    for name, path in OUTLINES.items():
        truth, _ = bands(path, WIDTH, LIMIT, 3000)
        ours = offset(path, WIDTH, mitre_limit=LIMIT)
        row = {"edges": len(path), "ours ms": best(offset, path, WIDTH, mitre_limit=LIMIT)}
        row["ours error"] = deviation(ours.path, truth)
        row["ours out"] = len(ours.path)
        row["widths ms"] = best(offset, path, WIDTHS[name])
        row["inside ms"] = best(offset, path, -WIDTH)
        for label, work, tolerance in (
            ("shapely .01", by_shapely, 1e-2),
            ("shapely 1e-5", by_shapely, 1e-5),
            ("clipper .01", by_clipper, 1e-2),
        ):
            points = work(path, tolerance)
            row[label + " ms"] = best(work, path, tolerance)
            row[label + " error"] = deviation(Path.through(points, closed=True), truth)
            row[label + " out"] = len(points)
        rows[name] = row
    return rows


def show(rows):
    labels = list(next(iter(rows.values())))
    print("{:20}".format("") + "".join("{:>10}".format(name) for name in rows))
    for label in labels:
        values = [row[label] for row in rows.values()]
        print("{:20}".format(label) + "".join("{:10.4g}".format(v) for v in values))
    print()

    def ratio(one, two):
        return [row[one] / row[two] for row in rows.values()]

    for label in ("ours ms", "widths ms", "inside ms"):
        values = [row[label] for row in rows.values()]
        text = label + ", geometric mean"
        print("{:44} {:6.2f}, worst {:6.2f}".format(text, geometric(values), max(values)))
    for text, one, two in (
        ("time, ours / Shapely at tolerance 0.01", "ours ms", "shapely .01 ms"),
        ("time, ours / pyclipper at tolerance 0.01", "ours ms", "clipper .01 ms"),
        ("time, ours / Shapely at 1e-5 (like error)", "ours ms", "shapely 1e-5 ms"),
        ("error, Shapely at 0.01 / ours", "shapely .01 error", "ours error"),
        ("error, Shapely at 1e-5 / ours", "shapely 1e-5 error", "ours error"),
        ("nodes out, Shapely at 0.01 / ours", "shapely .01 out", "ours out"),
        ("nodes out, Shapely at 1e-5 / ours", "shapely 1e-5 out", "ours out"),
    ):
        values = ratio(one, two)
        print("{:44} {:6.2f} ({:.2f} to {:.2f})".format(text, geometric(values), min(values), max(values)))
    nodes()


def nodes():
    """Curves out for each curve in."""
    for tolerance in (0.01, 0.001):
        for label in ("own widths", "10 outside", "10 inside"):
            bent_in = bent_out = every_in = every_out = 0
            for name, path in OUTLINES.items():
                width = {"own widths": WIDTHS[name], "10 outside": 10.0, "10 inside": -10.0}[label]
                answer = offset(path, width, tolerance=tolerance)
                bent = np.nonzero(~is_line(path.curves))[0]
                bent_in += np.isin(bent, answer.sources).sum()
                bent_out += np.isin(answer.sources, bent).sum()
                every_in, every_out = every_in + len(path), every_out + len(answer.path)
            print(
                "nodes out / in at {}, {}: curved {:.2f}, all {:.2f}".format(
                    tolerance, label, bent_out / bent_in, every_out / every_in
                )
            )


def fuzz(count, first):
    """Judge many random cases; print what is not as it should be."""
    words, misses, start = collections.Counter(), [], time.perf_counter()
    for seed in range(first, first + count):
        try:
            verdict = judge(seed)
        except Exception as error:  # the point of the run is to count any of them
            words["exception"] += 1
            print("case {}: {!r}".format(seed, error))
            continue
        words[verdict.word] += 1
        if verdict.word == "compared":
            misses.append(verdict.miss)
        if verdict.word == "failed" or verdict.miss > 0.011 and verdict.word == "compared":
            print("case {}: {}".format(seed, verdict))
    misses = np.array(misses)
    print(dict(words))
    print("within 1.1 tolerance: {:.2%}; above 0.05 mm: {}; worst {:.4f} mm; {:.0f} s".format(
        (misses <= 0.011).mean(), (misses > 0.05).sum(), misses.max(), time.perf_counter() - start
    ))  # fmt: skip


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--fuzz", type=int, metavar="CASES", help="run random cases instead")
    parser.add_argument("--first", type=int, default=0, help="number of the first random case")
    options = parser.parse_args()
    fuzz(options.fuzz, options.first) if options.fuzz else show(table())
