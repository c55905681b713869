"""Long runs of many short curves, as few cubics as will do.

From its start each run takes the longest stretch that one cubic follows, then the next.
All runs go on together, so that numpy is asked seldom.  The fit looks at twenty places
of a stretch; here every stretch is looked at in many more, because what was put together
from bits need not be as smooth as one curve.
"""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.fit import fit_spans
from sewkit.geometry.path import derivative, point, second_derivative
from sewkit.geometry.tolerance import SAME_POINT

# Halvings in the search for the longest stretch: to one part in a hundred of what is left.
HALVINGS = 7
# Places at which a cubic is compared with the bits.
PLACES = 64
# Shortest handle of a cubic, as a share of its chord.
LEAST_HANDLE = 0.1
# Newton steps to the foot of a place on the cubic.
STEPS = 4


class _Runs(NamedTuple):
    """All runs' curves in one array, and the ways (mm, along chords) from and to each curve.

    Between two runs lies a millimetre of nothing, so that no way belongs to both.
    """

    curves: np.ndarray
    begin: np.ndarray
    size: np.ndarray
    start: np.ndarray
    stop: np.ndarray


def few_cubics(runs: Sequence[np.ndarray], tolerance: float) -> List[np.ndarray]:
    """For each run of curves ``(k, 4, 2)`` few cubics ``(m, 4, 2)`` within ``tolerance`` mm.

    A run of one curve is given back as it is.
    """
    done: List[List[np.ndarray]] = [[run[0]] if len(run) == 1 else [] for run in runs]
    rows = np.array([i for i, run in enumerate(runs) if len(run) > 1], np.int64)
    if len(rows):
        table = _table([runs[i] for i in rows.tolist()])
        at, active = np.array(table.start), np.arange(len(rows))
        while len(active):
            stop, cubics = _longest(table, at[active], table.stop[active], tolerance)
            for row, cubic in zip(active.tolist(), cubics):
                done[int(rows[row])].append(cubic)
            at[active] = stop
            active = active[table.stop[active] - stop > SAME_POINT]
    return [np.array(curves) for curves in done]


def _table(runs: List[np.ndarray]) -> _Runs:
    curves = np.concatenate(runs)
    chord = np.hypot(*(curves[:, 3] - curves[:, 0]).T)
    # Bits without length would stop the parameter; they take a hair's breadth of it.
    size = np.maximum(chord, SAME_POINT)
    count = np.array([len(run) for run in runs])
    first = np.cumsum(count) - count
    begin = np.cumsum(size) - size + np.repeat(np.arange(len(runs)), count)
    last = first + count - 1
    return _Runs(curves, begin, size, begin[first], begin[last] + size[last])


def _longest(
    table: _Runs, at: np.ndarray, end: np.ndarray, tolerance: float
) -> Tuple[np.ndarray, List[np.ndarray]]:
    """For each run where the longest stretch from ``at`` stops, and the cubic along it."""
    good, cubics = _fits(table, at, end, tolerance)
    stop, best = np.where(good, end, at), list(cubics)
    rows = np.flatnonzero(~good)
    low, high = np.array(at), np.array(end)
    for _ in range(HALVINGS):
        if not len(rows):
            break
        middle = (low[rows] + high[rows]) / 2
        good, cubics = _fits(table, at[rows], middle, tolerance)
        for row, fine, cubic, there in zip(rows.tolist(), good.tolist(), cubics, middle.tolist()):
            if fine:
                low[row], stop[row], best[row] = there, there, cubic
            else:
                high[row] = there
    lost = np.flatnonzero(stop <= at)
    if len(lost):  # the shortest stretch tried is taken as it comes
        stop[lost] = high[lost]
        for row, cubic in zip(lost.tolist(), _plain(table, at[lost], high[lost])):
            best[row] = cubic
    return stop, best


def _plain(table: _Runs, start: np.ndarray, stop: np.ndarray) -> np.ndarray:
    """For each stretch the cubic with its ends and end directions, handles a third of it."""
    points, along = _places(table, np.stack([start, stop], axis=1))
    handle = np.abs(points[:, 1] - points[:, 0])[:, None] / 3.0 * along
    p, q = points[:, 0], points[:, 1]
    cubics = np.stack([p, p + handle[:, 0], q - handle[:, 1], q], axis=1)
    return np.stack([cubics.real, cubics.imag], axis=-1)


def _fits(
    table: _Runs, start: np.ndarray, stop: np.ndarray, tolerance: float
) -> Tuple[np.ndarray, np.ndarray]:
    """Whether one cubic follows each stretch, and that cubic ``(m, 4, 2)``."""
    owner = np.arange(len(start))

    def exact(owner: np.ndarray, u: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
        here, along = _places(table, u)
        # A stretch asked for in parts is lost: a straight line ends the matter at once.
        lost = np.bincount(owner)[owner] > 1
        here[lost], along[lost] = u[lost], 1.0
        return here, along

    fitted = fit_spans(exact, owner, start, stop, tolerance)
    count = np.bincount(fitted.span, minlength=len(start))
    first = np.concatenate([[0], np.cumsum(count)[:-1]])
    cubics = fitted.curves[first]
    good = (count == 1) & _upright(cubics)
    if good.any():
        good[good] = _miss(table, start[good], stop[good], cubics[good]) <= tolerance
    return good, cubics


def _upright(cubics: np.ndarray) -> np.ndarray:
    """Which cubics have handles worth the name: without, they cannot be prolonged."""
    chord = np.hypot(*(cubics[:, 3] - cubics[:, 0]).T)
    handles = np.minimum(*(np.hypot(*(cubics[:, k] - cubics[:, k - 1]).T) for k in (1, 3)))
    return handles >= LEAST_HANDLE * chord


def _places(table: _Runs, u: np.ndarray) -> Tuple[np.ndarray, np.ndarray]:
    """Points and directions of travel at ways ``u``, as complex numbers."""
    flat = u.ravel()
    which = np.clip(np.searchsorted(table.begin, flat, side="right") - 1, 0, len(table.curves) - 1)
    t = np.clip((flat - table.begin[which]) / table.size[which], 0.0, 1.0)
    here, along = point(table.curves[which], t), derivative(table.curves[which], t)
    here, along = here[:, 0] + 1j * here[:, 1], along[:, 0] + 1j * along[:, 1]
    size = np.abs(along)
    return here.reshape(u.shape), (along / np.where(size > 0, size, 1.0)).reshape(u.shape)


def _miss(table: _Runs, start: np.ndarray, stop: np.ndarray, cubics: np.ndarray) -> np.ndarray:
    """The largest distance (mm) of each stretch from its cubic."""
    share = np.linspace(0.0, 1.0, PLACES)
    here, _ = _places(table, start[:, None] + (stop - start)[:, None] * share)
    there = np.stack([here.real, here.imag], axis=-1)
    dense = point(cubics, np.broadcast_to(share, here.shape))
    way = np.concatenate(
        [np.zeros((len(cubics), 1)), np.cumsum(np.hypot(*np.moveaxis(np.diff(dense, axis=1), -1, 0)), 1)], 1
    )
    t = np.stack([np.interp(share * w[-1], w, share) for w in way])
    for _ in range(STEPS):
        away, along = point(cubics, t) - there, derivative(cubics, t)
        bend = (along * along).sum(axis=-1) + (away * second_derivative(cubics, t)).sum(axis=-1)
        step = (away * along).sum(axis=-1) / np.where(bend > 0, bend, np.inf)
        t = np.clip(t - step, 0.0, 1.0)
    return np.hypot(*np.moveaxis(point(cubics, t) - there, -1, 0)).max(axis=1)
