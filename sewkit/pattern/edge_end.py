"""The end of an edge drawn to another point: where the mouth of a dart beside it has moved.

    moved_end(run, spot)               # straight stays straight, a curve keeps its far direction
    moved_end(run, spot, degrees)      # and its own end turns so far with what it meets there

A move and its reverse leave the edge as it was.
"""

import numpy as np

from sewkit.geometry.path import Path, is_line
from sewkit.geometry.stretch import drawn_straight, stretched
from sewkit.geometry.tolerance import EXACT, SAME_POINT
from sewkit.geometry.transform import turn
from sewkit.pattern.spokes import reshaped

# An edge whose nodes lie this near to its chord is straight (mm): files keep three decimals.
_STRAIGHT = 2e-3


def is_straight(run: Path) -> bool:
    """Whether an open path is one straight line, in one curve or in several."""
    way = run.end - run.start
    size = float(np.hypot(*way))
    if size <= SAME_POINT or not drawn_straight(run.curves).all():
        return False
    away = (run.nodes - run.start) @ np.array([-way[1], way[0]]) / size
    along = (run.nodes - run.start) @ way / size
    return bool(np.abs(away).max() <= _STRAIGHT and (np.diff(along) > 0).all())


def moved_end(run: Path, spot: np.ndarray, degrees: float = 0.0) -> Path:
    """An open path with its start where it is and its end at another point (2,), mm.

    A straight one turns about its start.  A curve is made longer or shorter along the way its
    end goes, or bent over where that leads aside; it keeps its direction at the start, and at the
    end turns by ``degrees``, clockwise.
    ``ValueError`` where nothing would be left of it.
    """
    shift = spot - run.end
    if is_straight(run):
        way = run.end - run.start
        if (spot - run.start) @ way <= SAME_POINT * np.hypot(*way):
            raise ValueError("nothing would be left of the path")
        whole = len(run) == 1 and is_line(run.curves)[0]
        return Path.through([run.start, spot]) if whole else reshaped(run, run.start, spot)
    half = _end_turned(run, degrees / 2.0)
    if np.hypot(*shift) <= EXACT:
        return _end_turned(half, degrees / 2.0)
    along = shift / np.hypot(*shift)
    # Along a way on which it is short, a line cannot be stretched: its end is bent over instead.
    if abs((run.end - run.start) @ along) < 0.5 * np.hypot(*(run.end - run.start)):
        made = _bent_over(half, shift)
    else:
        made = stretched(half, shift)
    curves = np.array(made.curves)
    curves[-1, 3] = spot
    return _end_turned(Path(curves), degrees / 2.0)


def moved_start(run: Path, spot: np.ndarray, degrees: float = 0.0) -> Path:
    """The same with its end where it is and its start at another point."""
    return moved_end(run.reverse(), spot, degrees).reverse()


def _bent_over(run: Path, shift: np.ndarray) -> Path:
    """The path with its nodes moved the more the nearer to its end, each with its handles.

    So no direction at a node changes; and of one curve the handles keep their length.
    """
    steps = np.hypot(*np.diff(run.nodes, axis=0).T)
    share = np.concatenate([[0.0], np.cumsum(steps)]) / max(float(steps.sum()), SAME_POINT)
    share = share * share * (3.0 - 2.0 * share)
    curves = np.array(run.curves)
    curves[:, :2] += share[:-1, None, None] * shift
    curves[:, 2:] += share[1:, None, None] * shift
    return Path(curves)


def _end_turned(run: Path, degrees: float) -> Path:
    """The path with the handle at its end turned about it."""
    if not degrees or is_line(run.curves[-1:])[0]:
        return run
    curves = np.array(run.curves)
    curves[-1, 2] = turn(degrees, curves[-1, 3]).points(curves[-1, 2])
    return Path(curves)
