"""A path: a run of cubic Bezier curves in one array.

    path = Path(curves, closed=True)      # curves: (n, 4, 2), mm
    path.curves[i]                        # four points: start, handle, handle, end
    point(path.curves, 0.5)               # (n, 2): every curve's middle in one call

Work on all curves at once; numpy's cost is the call, not the curve.
"""

from typing import Iterable, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.tolerance import NO_HANDLE, SAME_POINT, STRAIGHT


class Place(NamedTuple):
    """A spot on a path: the number of the curve, and the parameter 0..1 on it."""

    curve: int
    t: float


class Path:
    """Cubic curves end to end, closed or open; immutable.

    Args:
        curves: array ``(n, 4, 2)`` in mm; each curve starts where the one before
            ends.  ``n`` may be 0.
        closed: the last curve ends where the first starts.
    """

    __slots__ = ("curves", "closed")

    curves: np.ndarray
    closed: bool

    def __init__(self, curves: "np.typing.ArrayLike", closed: bool = False) -> None:
        array = np.array(curves, dtype=np.float64)
        if array.size == 0:
            array = array.reshape(0, 4, 2)
        if array.ndim != 3 or array.shape[1:] != (4, 2):
            raise ValueError("curves must have the shape (n, 4, 2), not {}".format(array.shape))
        if not np.isfinite(array).all():
            raise ValueError("a path holds only finite numbers")
        array.setflags(write=False)
        object.__setattr__(self, "curves", array)
        object.__setattr__(self, "closed", bool(closed))

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError("a Path does not change; make a new one")

    def __reduce__(self) -> Tuple[object, Tuple[np.ndarray, bool]]:
        return (Path, (np.array(self.curves), self.closed))

    def __len__(self) -> int:
        return len(self.curves)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Path):
            return NotImplemented
        return self.closed == other.closed and np.array_equal(self.curves, other.curves)

    def __hash__(self) -> int:
        return hash((self.curves.tobytes(), self.closed))

    def __repr__(self) -> str:
        kind = "closed" if self.closed else "open"
        return "<Path {} of {} curves>".format(kind, len(self.curves))

    @property
    def start(self) -> np.ndarray:
        """The first point, ``(2,)``."""
        return self.curves[0, 0]

    @property
    def end(self) -> np.ndarray:
        """The last point, ``(2,)``; equal to ``start`` when closed."""
        return self.curves[-1, 3]

    @property
    def nodes(self) -> np.ndarray:
        """The nodes in order: ``(n, 2)`` when closed, ``(n + 1, 2)`` when open."""
        starts = self.curves[:, 0]
        return starts if self.closed else np.vstack([starts, self.curves[-1:, 3]])

    def reverse(self) -> "Path":
        """Run the other way."""
        return Path(self.curves[::-1, ::-1], self.closed)

    def part(self, start: int, stop: int) -> "Path":
        """The open path of curves ``start`` to ``stop`` (exclusive).

        On a closed path ``stop`` may be less than or equal to ``start``: the part then
        runs through the seam of the array.
        """
        if start < stop:
            return Path(self.curves[start:stop])
        return Path(np.concatenate([self.curves[start:], self.curves[:stop]]))

    def start_at(self, node: int) -> "Path":
        """The same closed path, beginning at another of its nodes."""
        return Path(np.roll(self.curves, -node, axis=0), self.closed)

    @staticmethod
    def through(points: "np.typing.ArrayLike", closed: bool = False) -> "Path":
        """Straight lines through points ``(n, 2)``; closed adds the line back."""
        points = np.asarray(points, dtype=np.float64).reshape(-1, 2)
        ends = np.roll(points, -1, axis=0)
        if not closed:
            points, ends = points[:-1], ends[:-1]
        return Path(lines(points, ends), closed)


def lines(starts: np.ndarray, ends: np.ndarray) -> np.ndarray:
    """Straight curves ``(n, 4, 2)`` between points ``(n, 2)``, handles at the thirds."""
    starts, ends = np.asarray(starts, np.float64), np.asarray(ends, np.float64)
    third = (ends - starts) / 3.0
    return np.stack([starts, starts + third, ends - third, ends], axis=-2)


def is_line(curves: np.ndarray) -> np.ndarray:
    """Tell which curves are straight: boolean ``(n,)``.

    Both handles must lie on the chord and between its ends; a curve that turns back on
    itself is not a line.  A curve of no length counts as a line.
    """
    chord = curves[:, 3] - curves[:, 0]
    size = np.hypot(chord[:, 0], chord[:, 1])
    unit = chord / np.where(size > 0, size, 1.0)[:, None]
    handles = curves[:, 1:3] - curves[:, :1]
    along = handles[..., 0] * unit[:, None, 0] + handles[..., 1] * unit[:, None, 1]
    aside = handles[..., 0] * unit[:, None, 1] - handles[..., 1] * unit[:, None, 0]
    within = (along >= -STRAIGHT) & (along <= size[:, None] + STRAIGHT)
    near = np.abs(aside) <= STRAIGHT
    still = (np.abs(handles).max(axis=(1, 2)) <= STRAIGHT) & (size <= STRAIGHT)
    return (within & near).all(axis=1) & (size > STRAIGHT) | still


def point(curves: np.ndarray, t: "np.typing.ArrayLike") -> np.ndarray:
    """Points at parameter ``t``.

    ``curves`` is ``(n, 4, 2)`` and ``t`` a number, ``(n,)`` or ``(n, m)``; the answer is
    ``(n, 2)`` or ``(n, m, 2)``.
    """
    t = np.asarray(t, dtype=np.float64)
    if t.ndim == 2:
        curves = curves[:, None]
    t = t[..., None]
    s = 1.0 - t
    p0, p1, p2, p3 = (curves[..., k, :] for k in range(4))
    return s * s * s * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t * t * t * p3


def derivative(curves: np.ndarray, t: "np.typing.ArrayLike") -> np.ndarray:
    """First derivative by the parameter; shapes as in ``point``."""
    t = np.asarray(t, dtype=np.float64)
    if t.ndim == 2:
        curves = curves[:, None]
    t = t[..., None]
    s = 1.0 - t
    p0, p1, p2, p3 = (curves[..., k, :] for k in range(4))
    return 3 * s * s * (p1 - p0) + 6 * s * t * (p2 - p1) + 3 * t * t * (p3 - p2)


def second_derivative(curves: np.ndarray, t: "np.typing.ArrayLike") -> np.ndarray:
    """Second derivative by the parameter; shapes as in ``point``."""
    t = np.asarray(t, dtype=np.float64)
    if t.ndim == 2:
        curves = curves[:, None]
    t = t[..., None]
    p0, p1, p2, p3 = (curves[..., k, :] for k in range(4))
    return 6 * (1.0 - t) * (p2 - 2 * p1 + p0) + 6 * t * (p3 - 2 * p2 + p1)


def start_tangents(curves: np.ndarray) -> np.ndarray:
    """Unit directions ``(n, 2)`` in which the curves set out.

    A handle of no length gives way to the next control point.  A curve of no length
    has the direction (0, 0).
    """
    toward = curves[:, 1:] - curves[:, :1]
    return _first_direction(toward, curves)


def end_tangents(curves: np.ndarray) -> np.ndarray:
    """Unit directions ``(n, 2)`` in which the curves arrive; see ``start_tangents``."""
    toward = curves[:, 3:] - curves[:, 2::-1]
    return _first_direction(toward, curves)


def _first_direction(toward: np.ndarray, curves: np.ndarray) -> np.ndarray:
    """The first of three directions ``(n, 3, 2)`` that has a length, as unit vectors."""
    size = np.hypot(toward[..., 0], toward[..., 1])
    extent = size.max(axis=1) if len(size) else size.reshape(0)
    usable = size > np.maximum(extent * NO_HANDLE, 1e-300)[:, None]
    pick = usable.argmax(axis=1)
    row = np.arange(len(curves))
    chosen, length = toward[row, pick], size[row, pick]
    return np.where((extent > 0)[:, None], chosen / np.where(length > 0, length, 1.0)[:, None], 0.0)


def turns(path: Path) -> np.ndarray:
    """How far the path turns at each node, degrees clockwise in (-180, 180].

    ``(n,)`` for a closed path, node 0 first; ``(n - 1,)`` inner nodes for an open one.
    """
    arriving, leaving = end_tangents(path.curves), start_tangents(path.curves)
    if path.closed:
        arriving = np.roll(arriving, 1, axis=0)
    else:
        arriving, leaving = arriving[:-1], leaving[1:]
    cross = arriving[:, 0] * leaving[:, 1] - arriving[:, 1] * leaving[:, 0]
    dot = (arriving * leaving).sum(axis=1)
    return np.degrees(np.arctan2(cross, dot))


def cut_curve(curve: np.ndarray, start: float, stop: float) -> np.ndarray:
    """The part of one curve ``(4, 2)`` between two parameters, exact (de Casteljau)."""
    if start == 0.0 and stop == 1.0:
        return np.array(curve)
    _, back = _halves(curve, start)
    if start >= 1.0 or stop >= 1.0:
        return back
    front, _ = _halves(back, (stop - start) / (1.0 - start))
    return front


def _halves(curve: np.ndarray, t: float) -> Tuple[np.ndarray, np.ndarray]:
    p0, p1, p2, p3 = curve
    a, b, c = p0 + t * (p1 - p0), p1 + t * (p2 - p1), p2 + t * (p3 - p2)
    d, e = a + t * (b - a), b + t * (c - b)
    middle = d + t * (e - d)
    return np.array([p0, a, d, middle]), np.array([middle, e, c, p3])


def split_at(path: Path, places: Iterable[Place]) -> Path:
    """Put a node at each place, without changing the shape.

    A place within ``SAME_POINT`` of a node adds nothing.
    """
    wanted = {}
    for place in places:
        wanted.setdefault(int(place.curve), []).append(float(place.t))
    pieces = []
    for number, curve in enumerate(path.curves):
        cuts = [0.0]
        for t in sorted(wanted.get(number, ())):
            here = point(curve[None], t)[0]
            if all(np.hypot(*(here - end)) > SAME_POINT for end in (curve[0], curve[3])):
                if t > cuts[-1]:
                    cuts.append(t)
        cuts.append(1.0)
        parts = np.array([cut_curve(curve, a, b) for a, b in zip(cuts, cuts[1:])])
        # To the last bit: whoever counts crossings relies on a path without gaps.
        parts[1:, 0] = parts[:-1, 3]
        pieces.extend(parts)
    return Path(np.array(pieces), path.closed)


def cut(path: Path, start: Place, stop: Place) -> Path:
    """The open part of a path from one place to another, exact.

    On a closed path the part runs on through the start node where ``stop`` comes before
    ``start``.  On an open path that order is a ``ValueError``.
    """
    n = len(path)
    if (stop.curve, stop.t) <= (start.curve, start.t):
        if not path.closed:
            raise ValueError("the part ends before it starts")
        stop = Place(stop.curve + n, stop.t)
    pieces = []
    for number in range(start.curve, stop.curve + 1):
        low = start.t if number == start.curve else 0.0
        high = stop.t if number == stop.curve else 1.0
        if high > low:
            pieces.append(cut_curve(path.curves[number % n], low, high))
    return Path(np.array(pieces))


def join(paths: Sequence[Path], closed: bool = False, tolerance: float = SAME_POINT) -> Path:
    """Put paths end to end; ends within ``tolerance`` become one node.

    The earlier path's end wins.  A wider gap is a ``ValueError``.
    """
    curves = np.concatenate([path.curves for path in paths])
    curves = np.array(curves)
    last = len(curves) if closed else len(curves) - 1
    for i in range(last):
        following = (i + 1) % len(curves)
        gap = np.hypot(*(curves[following, 0] - curves[i, 3]))
        if gap > tolerance:
            raise ValueError("a gap of {:.4f} mm between two paths".format(gap))
        curves[following, 0] = curves[i, 3]
    return Path(curves, closed)


def without_gaps(path: Path) -> Path:
    """The same line with each curve starting exactly where the one before ends.

    Turning a sheet rounds both ends of a joint apart; a file would then hold two lines.
    """
    curves = np.array(path.curves)
    before = np.roll(curves[:, 3], 1, axis=0)
    if not path.closed:
        before[0] = curves[0, 0]
    curves[:, 1] += before - curves[:, 0]
    curves[:, 0] = before
    return Path(curves, path.closed)
