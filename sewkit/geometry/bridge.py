"""A soft line over the gap between two open paths, or through where they lie over each other.

    bridged([first, second, third])        # one open path through all of them

The paths themselves stay as they are; only where two lie over each other, each gives up a
little of its end to make room for the curve.
"""

from typing import List, Sequence

import numpy as np

from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.path import Path, Place, cut, end_tangents, join, start_tangents
from sewkit.geometry.tolerance import SAME_POINT

# How much of each path makes room for the curve, as a multiple of how far the two lie over
# each other.  At 1/2 they would just meet in a corner; at 2 the curve is three times as long
# as the lap and bends no sharper than an arc that opens a gap of the same size would.
SET_BACK = 2.0

# No path gives up more than this share of its length at one end; so something is left of it.
_MOST = 0.45


def soft(start: np.ndarray, setting_out: np.ndarray, end: np.ndarray, arriving: np.ndarray) -> np.ndarray:
    """One cubic ``(4, 2)`` between two points (mm), with unit directions given at both.

    Between the ends of an arc it is that arc, to some millionths of its radius for a turn of
    20 degrees: handles ``4/3 tan(turn/4) r`` (the usual cubic for an arc), which with the
    chord ``2 r sin(turn/2)`` is ``chord / (3 cos^2(turn/4))``.
    """
    chord = float(np.hypot(*(end - start)))
    cross = setting_out[0] * arriving[1] - setting_out[1] * arriving[0]
    turned = abs(np.arctan2(cross, setting_out @ arriving))
    handle = chord / (3.0 * np.cos(turned / 4.0) ** 2)
    return np.array([start, start + handle * setting_out, end - handle * arriving, end])


def bridged(paths: Sequence[Path]) -> Path:
    """Open paths joined in order: ends that meet as they are, gaps and laps by a soft curve.

    ``ValueError`` where two lie so far over each other that too little of one is left.
    """
    room = [_MOST * path_length(path) for path in paths]
    backs = [_set_back(a, b, min(r, s)) for a, b, r, s in zip(paths, paths[1:], room, room[1:])]
    kept = [_shortened(path, back, ahead) for path, back, ahead in zip(paths, [0.0] + backs, backs + [0.0])]
    done: List[Path] = kept[:1]
    for after in kept[1:]:
        before = done[-1]
        if np.hypot(*(after.start - before.end)) > SAME_POINT:
            done.append(Path(_over(before, after)[None]))
        done.append(after)
    return join(done)


def lap(before: Path, after: Path) -> float:
    """How far (mm) the second path starts behind the end of the first; below 0 it is a gap."""
    gap = after.start - before.end
    ahead = end_tangents(before.curves[-1:])[0] + start_tangents(after.curves[:1])[0]
    size = float(np.hypot(*gap))
    return size if gap @ ahead < 0 and size > SAME_POINT else -size


def _set_back(before: Path, after: Path, most: float) -> float:
    over = lap(before, after)
    return min(SET_BACK * over, most) if over > 0 else 0.0


def _shortened(path: Path, back: float, ahead: float) -> Path:
    """A path without the first and the last so many mm; the very same where both are 0."""
    if back <= 0 and ahead <= 0:
        return path
    start = place_at(path, back) if back > 0 else Place(0, 0.0)
    stop = place_at(path, path_length(path) - ahead) if ahead > 0 else Place(len(path) - 1, 1.0)
    return cut(path, start, stop)


def _over(before: Path, after: Path) -> np.ndarray:
    leaving, arriving = end_tangents(before.curves[-1:])[0], start_tangents(after.curves[:1])[0]
    if (after.start - before.end) @ (leaving + arriving) < 0:
        raise ValueError("too little is left of one of the two paths")
    return soft(before.end, leaving, after.start, arriving)
