"""Exact parallel curves: every point moved along the normal by the width.

    Q(u) = C(u) + width * n(u)        Q'(u) = (1 + width * curvature) * C'(u)

n points to the right of the direction of travel, which is outside when the outline has
a positive area.  Where ``1 + width * curvature`` is negative the parallel curve runs
backwards: it is *folded*, and is never part of an allowance.

A parameter below 0 or above 1 goes on along the end tangent, in units of the curve's
``length``, so that prolonging an edge needs no case of its own.

Inside these modules a point is a complex number x + iy: dot and cross product are the
real and imaginary part of ``a.conjugate() * b``, and numpy is called half as often.
"""

from typing import List, NamedTuple, Tuple

import numpy as np

from sewkit.geometry.path import end_tangents, start_tangents
from sewkit.geometry.tolerance import CHORD, NO_HANDLE, STRAIGHT

# A turn (as the chord of a unit circle) between neighbouring samples that no halving
# resolves and that is a corner rather than a bend: 30 degrees.
SHARP = 0.5

# Most elements that a first sampling gives a curve, and rounds of halving after it.
MOST_ELEMENTS = 96
HALVINGS = 16


class Edge(NamedTuple):
    """One parallel curve in plain numbers, for the corner constructions.

    ``start`` and ``end`` are the ends of the parallel curve, ``out`` and ``arrive`` its
    unit directions there; ``source`` is the number of the outline's curve or -1.
    """

    controls: Tuple[complex, complex, complex, complex]
    width: float
    out: complex
    arrive: complex
    start: complex
    end: complex
    length: float
    straight: bool
    source: int


class Place(NamedTuple):
    """A point of a parallel curve, its derivative by the parameter, and the fold factor."""

    point: complex
    slope: complex
    fold: float


class Samples(NamedTuple):
    """Points along all curves, one after the other, as flat arrays.

    ``first[i]`` is where the samples of curve i begin, ``first[-1]`` their number.
    ``fold`` is ``1 + width * curvature``.  ``kinks`` are places, (curve, parameter), where
    a curve turns too fast to be sampled: cusps, or as good as.
    """

    first: List[int]
    owner: np.ndarray
    u: np.ndarray
    source: np.ndarray
    along: np.ndarray
    point: np.ndarray
    fold: np.ndarray
    kinks: List[Tuple[int, float]]


class Parallels:
    """The parallel curves of ``(n, 4, 2)`` cubics at signed widths ``(n,)`` in mm."""

    def __init__(self, curves: np.ndarray, widths: np.ndarray) -> None:
        self.controls = controls = np.ascontiguousarray(curves).view(np.complex128)[..., 0]
        self.widths = widths
        self.legs = legs = controls[:, 1:] - controls[:, :-1]
        size = np.abs(legs)
        chord = controls[:, 3] - controls[:, 0]
        self.straight = _straight(legs, size, chord)
        self.length = np.where(self.straight, np.abs(chord), size.sum(axis=1))
        if (size[:, ::2] <= NO_HANDLE * self.length[:, None]).any():
            self.out = np.ascontiguousarray(start_tangents(curves)).view(np.complex128)[:, 0]
            self.arrive = np.ascontiguousarray(end_tangents(curves)).view(np.complex128)[:, 0]
        else:
            self.out, self.arrive = legs[:, 0] / size[:, 0], legs[:, 2] / size[:, 2]
        self.shift = widths * -1j
        # C(u) = p + a u + b u^2 + c u^3
        a, b = 3 * legs[:, 0], 3 * (legs[:, 1] - legs[:, 0])
        self.powers = np.array([controls[:, 0], a, b, chord - a - b])

    def at(self, owner: np.ndarray, u: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
        """Points and unit directions ``(m, k)`` at parameters ``(m, k)`` of curves ``(m,)``."""
        inside = np.minimum(np.maximum(u, 0.0), 1.0)
        c, slope = self._point_and_slope(owner, inside)
        size = np.abs(slope)
        along = slope / np.where(size > 0, size, 1.0)
        along = np.where(u <= 0, self.out[owner][:, None], along)
        along = np.where(u >= 1, self.arrive[owner][:, None], along)
        beyond = (u - inside) * self.length[owner][:, None]
        return c + along * (self.shift[owner][:, None] + beyond), along

    def _point_and_slope(self, owner: np.ndarray, u: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
        p, a, b, c = self.powers[:, owner]
        if u.ndim == 2:
            p, a, b, c = p[:, None], a[:, None], b[:, None], c[:, None]
        cu = c * u
        return p + u * (a + u * (b + cu)), a + u * (2 * b + 3 * cu)

    def sample(self) -> Samples:
        """Sample all curves so finely that chords stray less than ``CHORD``."""
        steps = np.where(self.straight, 1, self._first_guess())
        owner = np.repeat(np.arange(len(steps)), steps + 1)
        before = np.concatenate([[0], np.cumsum(steps + 1)])
        u = (np.arange(before[-1]) - before[owner]) / steps[owner]
        for left in range(HALVINGS, -1, -1):
            samples = self._evaluate(owner, u)
            along, point, c = samples.along, samples.point, samples.source
            sag = np.maximum(np.abs(point[1:] - point[:-1]), np.abs(c[1:] - c[:-1]))
            sag *= np.abs(along[1:] - along[:-1])
            rows = np.nonzero(sag > 16 * CHORD)[0]
            rows = rows[owner[rows] == owner[rows + 1]]
            if not len(rows):
                break
            if not left:
                sharp = rows[np.abs(along[rows + 1] - along[rows]) > SHARP]
                middle = (u[sharp] + u[sharp + 1]) / 2
                kinks = [(int(i), t) for i, t in zip(owner[sharp], middle.tolist()) if 0 < t < 1]
                return samples._replace(kinks=kinks)
            u = np.insert(u, rows + 1, (u[rows] + u[rows + 1]) / 2)
            owner = np.insert(owner, rows + 1, owner[rows])
        return samples

    def _first_guess(self) -> np.ndarray:
        d = self.legs
        unit = d / np.where(d == 0, 1.0, np.abs(d))
        bend = np.abs(unit[:, 1:] - unit[:, :-1]).sum(axis=1)
        reach = self.length + np.abs(self.widths) * bend
        steps = np.sqrt(reach * bend / (4 * CHORD))
        return np.minimum(steps + 4, MOST_ELEMENTS).astype(int)

    def _evaluate(self, owner: np.ndarray, u: np.ndarray) -> Samples:
        c, slope = self._point_and_slope(owner, u)
        bend = 2 * self.powers[2][owner] + 6 * self.powers[3][owner] * u
        size = np.abs(slope)
        tiny = size <= NO_HANDLE * self.length[owner]
        size = np.where(tiny, np.inf, size)
        along = np.where(u <= 0, self.out[owner], np.where(u >= 1, self.arrive[owner], slope / size))
        fold = 1 + self.widths[owner] * (slope.conj() * bend).imag / (size * size * size)
        first = np.searchsorted(owner, np.arange(len(self.widths) + 1)).tolist()
        return Samples(first, owner, u, c, along, c + along * self.shift[owner], fold, [])

    def edges(self, sources: List[int]) -> List[Edge]:
        """The same curves as plain numbers, one ``Edge`` each."""
        start = self.controls[:, 0] + self.shift * self.out
        end = self.controls[:, 3] + self.shift * self.arrive
        columns = (self.widths, self.out, self.arrive, start, end, self.length, self.straight)
        controls = [tuple(row) for row in self.controls.tolist()]
        return [Edge(*row) for row in zip(controls, *[c.tolist() for c in columns], sources)]


def _straight(legs: np.ndarray, size: np.ndarray, chord: np.ndarray) -> np.ndarray:
    """Tell which curves are lines: every leg goes the way of the chord."""
    length = np.abs(chord)
    frame = legs * (chord.conj() / np.where(length > 0, length, 1.0))[:, None]
    # The first handle lies beside the chord by one leg, the second by the last.
    aside = np.abs(frame.imag[:, ::2]).max(axis=1)
    return (aside <= STRAIGHT) & (frame.real.min(axis=1) >= -STRAIGHT)


def line(start: complex, end: complex) -> Edge:
    """A straight edge of no width and no source: part of a corner."""
    chord = end - start
    size = abs(chord)
    along = chord / size if size else 0j
    third = chord / 3
    controls = (start, start + third, end - third, end)
    return Edge(controls, 0.0, along, along, start, end, size, True, -1)


def mirrored(edge: Edge, on: complex, along: complex) -> Edge:
    """The edge reflected in a line and run the other way, with its width on the same side.

    Reflection turns right into left and running backwards turns it back, so the width
    keeps its sign.
    """
    across = along * along

    def reflect(z: complex) -> complex:
        return on + across * (z - on).conjugate()

    controls = tuple(reflect(z) for z in reversed(edge.controls))
    return Edge(
        controls,
        edge.width,
        -across * edge.arrive.conjugate(),
        -across * edge.out.conjugate(),
        reflect(edge.end),
        reflect(edge.start),
        edge.length,
        edge.straight,
        -1,
    )


def place(edge: Edge, u: float) -> Place:
    """Where a parallel curve is at ``u``, which may lie beyond its ends."""
    if edge.straight or u <= 0:
        slope = edge.length * edge.out
        return Place(edge.start + u * slope, slope, 1.0)
    if u >= 1:
        slope = edge.length * edge.arrive
        return Place(edge.end + (u - 1) * slope, slope, 1.0)
    p0, p1, p2, p3 = edge.controls
    d0, d1, d2 = p1 - p0, p2 - p1, p3 - p2
    e0, e1 = d0 + (d1 - d0) * u, d1 + (d2 - d1) * u
    slope, bend = 3 * (e0 + (e1 - e0) * u), 6 * (e1 - e0)
    b0, b1 = p0 + d0 * u, p1 + d1 * u
    c0, c1 = b0 + e0 * u, b1 + e1 * u
    here = c0 + (c1 - c0) * u
    size = abs(slope)
    if size <= NO_HANDLE * edge.length:
        return Place(here - 1j * edge.width * edge.out, slope, 1.0)
    fold = 1 + edge.width * (slope.conjugate() * bend).imag / size**3
    return Place(here - 1j * edge.width * slope / size, fold * slope, fold)
