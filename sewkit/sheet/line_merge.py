"""Curves that a page border cut in two, one again.

A cubic cut at parameter t leaves the handles at the cut in the proportion t : 1 - t, and
each outer handle shortened by t and by 1 - t (de Casteljau); so the curve before the cut
can be computed back.  It is believed only if cutting it again gives both parts.
"""

from typing import List, Optional

import numpy as np

from sewkit.geometry.path import is_line, lines, point

# How far (mm) the two parts may lie from those of the curve they are merged to: what
# producers round away, twice over, and a fifth of a pencil's width.
SAME_CURVE = 0.02

# How far (mm) a node between two straight lines may lie beside the line through both.
ON_LINE = 0.02

# A part shorter than this share of the whole says nothing about the whole's shape: its
# handles are rounding.  The other part is prolonged instead.
SLIVER = 0.02

_EVEN = np.linspace(0.0, 1.0, 9)


def merged(first: np.ndarray, second: np.ndarray, tolerance: float = SAME_CURVE) -> Optional[np.ndarray]:
    """The one curve ``(4, 2)`` of which two that meet are the parts; ``None`` if there is none."""
    straight = is_line(np.stack([first, second]))
    if straight.all():
        return _one_line(first, second)
    best, least = None, tolerance
    for t in _guesses(first, second):
        for whole in _wholes(first, second, t):
            miss = max(_miss(whole[0], 0.0, whole[1], first), _miss(whole[0], whole[1], 1.0, second))
            if miss <= least:
                best, least = whole[0], miss
    return best


def _one_line(first: np.ndarray, second: np.ndarray) -> Optional[np.ndarray]:
    """The straight line through two straight lines that go on in one direction."""
    start, node, end = first[0], first[3], second[3]
    chord = end - start
    size = np.hypot(*chord)
    if size == 0:
        return None
    unit = chord / size
    along = (node - start) @ unit
    aside = abs((node - start) @ np.array([-unit[1], unit[0]]))
    if aside > ON_LINE or not -ON_LINE <= along <= size + ON_LINE:
        return None
    # On a short line a small deviation is a large turn: a corner, not a cut.
    turn = aside / max(min(along, size - along), ON_LINE)
    return lines(start[None], end[None])[0] if turn <= 0.1 or min(along, size - along) <= 0.5 else None


def _guesses(first: np.ndarray, second: np.ndarray) -> List[float]:
    """Where the whole was cut, by the handles at the cut and by the lengths of the parts."""
    found = []
    one, two = np.hypot(*(first[3] - first[2])), np.hypot(*(second[1] - second[0]))
    if one > 0 and two > 0:
        found.append(one / (one + two))
    one, two = _polygon(first), _polygon(second)
    if one > 0 and two > 0:
        found.append(one / (one + two))
    return [t for t in found if 1e-6 < t < 1.0 - 1e-6]


def _polygon(curve: np.ndarray) -> float:
    steps = np.diff(curve, axis=0)
    return float(np.hypot(steps[:, 0], steps[:, 1]).sum())


def _wholes(first: np.ndarray, second: np.ndarray, t: float) -> "List[tuple]":
    """Curves that may be the whole, each with the parameter of the cut."""
    found = []
    handle = first[0] + (first[1] - first[0]) / t
    other = second[3] + (second[2] - second[3]) / (1.0 - t)
    found.append((np.stack([first[0], handle, other, second[3]]), t))
    # The longer part prolonged says it better where the other is a sliver.
    if t < SLIVER:
        found.append((stretched(second, 1.0 - 1.0 / (1.0 - t), 1.0), t))
    if t > 1.0 - SLIVER:
        found.append((stretched(first, 0.0, 1.0 / t), t))
    return found


def stretched(curve: np.ndarray, start: float, stop: float) -> np.ndarray:
    """The same cubic ``(4, 2)`` between other parameters, beyond its ends too (blossoming)."""

    def blossom(a: float, b: float, c: float) -> np.ndarray:
        points = curve
        for t in (a, b, c):
            points = points[:-1] + t * (points[1:] - points[:-1])
        return points[0]

    return np.stack(
        [
            blossom(start, start, start),
            blossom(start, start, stop),
            blossom(start, stop, stop),
            blossom(stop, stop, stop),
        ]
    )


def _miss(whole: np.ndarray, start: float, stop: float, part: np.ndarray) -> float:
    """The largest distance (mm) between a part and the stretch of the whole it should be."""
    there = point(stretched(whole, start, stop)[None], _EVEN[None])[0]
    here = point(part[None], _EVEN[None])[0]
    return float(np.hypot(*(there - here).T).max())


def merged_all(pieces: List[np.ndarray], closed: bool, tolerance: float = SAME_CURVE) -> np.ndarray:
    """Put runs of curves end to end ``(n, 4, 2)`` and undo the cuts where they meet.

    Nodes inside a run are its designer's and stay.  Where a closed line was cut at its
    start as well, it then starts at its next node.
    """
    done = [np.asarray(curve) for curve in pieces[0]]
    for piece in pieces[1:]:
        whole = merged(done[-1], piece[0], tolerance)
        if whole is not None:
            done[-1] = whole
            done.extend(piece[1:])
        else:
            done.extend(piece)
    if closed and len(done) > 1:
        whole = merged(done[-1], done[0], tolerance)
        if whole is not None:
            done = [*done[1:-1], whole] if len(done) > 2 else [whole]
    return np.array(done)
