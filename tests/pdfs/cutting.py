"""Cut curves at tile borders and into dashes, in a way of its own.

Nothing here comes from sewkit.geometry but the Path itself: crossings are roots of the
power form by ``numpy.roots``, dashes are walked on a dense table of chords.
"""

from typing import List, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path

Box = Tuple[float, float, float, float]
CHORDS = 512  # per curve; a quarter turn then comes out 4e-7 of its length too short


def split(curve: np.ndarray, times: Sequence[float]) -> np.ndarray:
    """The parts of one curve ``(4, 2)`` between parameters, ``(n + 1, 4, 2)`` (de Casteljau)."""
    parts, rest, done = [], curve, 0.0
    for t in times:
        local = (t - done) / (1.0 - done)
        a, b, c = rest[:-1] + (rest[1:] - rest[:-1]) * local
        d, e = a + (b - a) * local, b + (c - b) * local
        f = d + (e - d) * local
        parts.append([rest[0], a, d, f])
        rest, done = np.array([f, e, c, rest[3]]), t
    return np.array(parts + [rest])


def crossings(curve: np.ndarray, axis: int, value: float) -> List[float]:
    """Parameters inside 0..1 at which one coordinate of a curve takes a value."""
    p0, p1, p2, p3 = curve[:, axis]
    powers = np.array([p3 - 3 * p2 + 3 * p1 - p0, 3 * (p2 - 2 * p1 + p0), 3 * (p1 - p0), p0 - value])
    # Handles at the thirds leave rounding dust in the leading numbers of a straight line.
    powers[np.abs(powers) < 1e-11 * max(1.0, np.abs(curve).max())] = 0.0
    found = []
    for root in np.roots(powers):
        if abs(root.imag) < 1e-7 and 1e-9 < root.real < 1 - 1e-9:
            t, slope = root.real, np.polyval(np.polyder(powers), root.real)
            found.append(float(t - np.polyval(powers, t) / slope if slope else t))
    return found


def cut(path: Path, box: Box) -> List[Path]:
    """The parts of a path inside a box, in its own order; whole where it lies inside.

    A line along the left or upper border is inside, along the right or lower one is not.
    """
    left, top, right, bottom = box
    low, high = path.curves.min(axis=(0, 1)), path.curves.max(axis=(0, 1))
    if low[0] >= left and low[1] >= top and high[0] < right and high[1] < bottom:
        return [path]
    if low[0] >= right or low[1] >= bottom or high[0] < left or high[1] < top:
        return []
    parts: List[List[np.ndarray]] = [[]]
    for curve in path.curves:
        places = [(t, axis, value) for axis, value in _borders(box) for t in crossings(curve, axis, value)]
        places.sort()
        pieces = split(curve, [t for t, _, _ in places])
        for number, (_, axis, value) in enumerate(places):
            pieces[number][3, axis] = pieces[number + 1][0, axis] = value
        for piece in pieces:
            x, y = piece.T @ np.array([1.0, 3.0, 3.0, 1.0]) / 8
            if left <= x < right and top <= y < bottom:
                parts[-1].append(piece)
            elif parts[-1]:
                parts.append([])
    return [Path(np.array(part)) for part in parts if part]


def _borders(box: Box) -> Tuple[Tuple[int, float], ...]:
    return (0, box[0]), (1, box[1]), (0, box[2]), (1, box[3])


def dashed(path: Path, dashes: Sequence[float]) -> List[Path]:
    """The single strokes of a dashed path, from its start; a solid one is returned whole."""
    if not dashes:
        return [path]
    times, along = _table(path)
    pattern = list(dashes) * (2 if len(dashes) % 2 else 1)
    found, at = [], 0.0
    while at < along[-1]:
        for number, length in enumerate(pattern):
            stop = min(at + length, along[-1])
            if number % 2 == 0 and stop - at > 1e-6:
                found.append(_between(path, *np.interp([at, stop], along, times)))
            at += length
    return found


def _table(path: Path) -> Tuple[np.ndarray, np.ndarray]:
    """Curve number plus parameter, and the length up to there (mm)."""
    t = np.linspace(0.0, 1.0, CHORDS + 1)
    weights = np.stack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3], axis=1)
    points = np.einsum("tk,nkd->ntd", weights, path.curves)
    chords = np.hypot(*np.moveaxis(np.diff(points, axis=1), -1, 0))
    times = np.concatenate([[0.0], (np.arange(len(path))[:, None] + t[1:]).reshape(-1)])
    return times, np.concatenate([[0.0], np.cumsum(chords.reshape(-1))])


def _between(path: Path, start: float, stop: float) -> Path:
    first, last = int(start), min(int(stop), len(path) - 1)
    curves = []
    for number in range(first, last + 1):
        a, b = max(start - number, 0.0), min(stop - number, 1.0)
        if b - a > 1e-9:
            curves.append(split(path.curves[number], [t for t in (a, b) if 0 < t < 1])[1 if a > 0 else 0])
    return Path(np.array(curves))


def chords(path: Path) -> Path:
    """A dash as straight lines, one for each of its curves, so that a corner stays one."""
    return Path.through(path.nodes)


def strip(path: Path, width: float) -> Path:
    """The closed outline of a stroke with straight ends: one side, end, the other side back.

    Good for short dashes: each side of a curve is a cubic through the offset ends in the
    curve's own end directions.
    """
    left = [_aside(curve, width / 2) for curve in path.curves]
    right = [_aside(curve, -width / 2)[::-1] for curve in reversed(path.curves)]
    sides, closed = left + right, []
    for side, following in zip(sides, sides[1:] + sides[:1]):
        closed.append(side)
        step = following[0] - side[3]
        if np.hypot(*step) > 1e-9:
            closed.append(np.array([side[3], side[3] + step / 3, following[0] - step / 3, following[0]]))
    return Path(np.array(closed), True)


def _aside(curve: np.ndarray, distance: float) -> np.ndarray:
    ends = [curve[1] - curve[0], curve[3] - curve[2]]
    away = [distance * np.array([-y, x]) / np.hypot(x, y) for x, y in ends]
    start, stop = curve[0] + away[0], curve[3] + away[1]
    reach = np.hypot(*(stop - start)) / np.hypot(*(curve[3] - curve[0]))
    return np.array([start, start + ends[0] * reach, stop - ends[1] * reach, stop])


def length(path: Path) -> float:
    """Arc length (mm) by 32-point Gauss quadrature of the speed."""
    t, weight = np.polynomial.legendre.leggauss(32)
    t = (t[:, None] + 1) / 2
    d = np.diff(path.curves, axis=1)[:, :, None, :] * 3
    speed = (1 - t) ** 2 * d[:, 0] + 2 * t * (1 - t) * d[:, 1] + t * t * d[:, 2]
    return float((np.hypot(speed[..., 0], speed[..., 1]) @ weight).sum() / 2)
