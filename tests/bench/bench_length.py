"""How fast and how right arc length is, beside SciPy's quad and svgpathtools.

    python tests/bench/bench_length.py

Prints ratios, because times depend on the machine.  The aim: within 1e-9 mm of quad at
its finest, and at least ten times faster than quad at 1e-9.
"""

import pathlib
import sys
import timeit

import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2]))

from sewkit.geometry.length import curve_lengths, places_at
from sewkit.geometry.path import Path

# Edges as a drafter draws them (invented, mm), each in several sizes.
EDGES = [
    [(0, 0), (-28, 70), (-12, 150), (92, 176)],
    [(0, 72), (36, 72), (70, 46), (74, 0)],
    [(180, 0), (210.8, 70), (236, 130), (236, 200)],
    [(0, 135), (50.4, 131), (57.6, 83.7), (86.4, 45.9)],
    [(300, 0), (296, 60), (270, 88), (205, 95)],
    [(0, 0), (12, 190), (-4, 380), (20, 570)],
    [(0, 0), (70, 6), (140, 6), (210, -8)],
]
GROWTH = [0.9, 0.95, 1.0, 1.05, 1.1]


def edges() -> np.ndarray:
    """35 curves of 80 to 630 mm."""
    return np.array([np.array(edge) * size for edge in EDGES for size in GROWTH])


def best(action, number):
    """The least time of one call, in milliseconds."""
    return min(timeit.repeat(action, number=number, repeat=5)) / number * 1e3


def by_quad(curves, precision):
    from scipy.integrate import quad

    # On plain numbers: quad asks for one point at a time, and arrays would slow it down.
    def speed(t, ax, ay, bx, by, cx, cy):
        s = 1.0 - t
        x = s * s * ax + 2 * s * t * bx + t * t * cx
        y = s * s * ay + 2 * s * t * by + t * t * cy
        return 3.0 * (x * x + y * y) ** 0.5

    all_steps = [tuple(steps.ravel().tolist()) for steps in np.diff(curves, axis=1)]
    return [quad(speed, 0, 1, args=steps, epsabs=precision, epsrel=1e-13)[0] for steps in all_steps]


def by_svgpathtools(curves):
    from svgpathtools import CubicBezier

    return [CubicBezier(*(complex(x, y) for x, y in curve)).length() for curve in curves]


def main() -> None:
    """Measure and print."""
    curves = edges()
    true = np.array(by_quad(curves, 1e-12))
    path = Path(curves)  # not end to end, which a measure of the inverse does not mind
    ours = best(lambda: curve_lengths(curves), 200)
    quad = best(lambda: by_quad(curves, 1e-9), 3)
    other = best(lambda: by_svgpathtools(curves), 3)
    distances = np.linspace(0, true.sum(), 200)
    inverse = best(lambda: places_at(path, distances), 10)

    print("curves                          {}".format(len(curves)))
    print("largest difference from quad    {:.1e} mm".format(np.abs(curve_lengths(curves) - true).max()))
    print("one call for all                {:.3f} ms".format(ours))
    print("quad at 1e-9 takes              {:.0f} times as long".format(quad / ours))
    print("svgpathtools takes              {:.0f} times as long".format(other / ours))
    print("200 distances to places         {:.2f} ms".format(inverse))


if __name__ == "__main__":
    main()
