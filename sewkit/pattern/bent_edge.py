"""The end of an edge bent over softly: its direction turned, its end moved, the rest as it was.

    bent(path, 3.0, 30.0)                  # turned by 3 degrees at its start, within 30 mm
    bent(path, 3.0, 30.0, (0.0, -1.5))     # and the start moved
    squared(path, way, 5.0, 30.0)          # 5 mm straight along ``way``, then softly into the edge
    trimmed(path, 2.0)                     # without its first 2 mm; below 0 drawn on

Every point within the reach moves square to the edge by ``reach u (1-u)^2`` times the turn, u the
share of the reach behind it: nothing at both ends, no turn at the far one, and at most 4/27 of
reach times turn, at a third of it.  What is moved with the start fades by ``1 - 3u^2 + 2u^3``.
Curves stay curves, as many as they were, with one node more where the reach ends.
"""

from typing import Tuple

import numpy as np

from sewkit.geometry.bridge import soft
from sewkit.geometry.length import curve_lengths, path_length, place_at
from sewkit.geometry.path import Path, Place, cut, cut_curve, end_tangents, lines, point, start_tangents
from sewkit.geometry.polygon import flatten
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.geometry.transform import turn

# Where a curve is sampled to see how far it was moved, and how far (mm) from its chords the old may lie.
_SAMPLES, _CHORD = np.linspace(0.0, 1.0, 33), 1e-3


def bent(path: Path, degrees: float, reach: float, shift: "np.typing.ArrayLike" = (0.0, 0.0)) -> Path:
    """An open path turned clockwise at its start, which moves by ``shift`` (2,), within ``reach`` mm."""
    shift = np.asarray(shift, np.float64)
    near, rest = parted(path, reach)
    lengths = curve_lengths(near.curves)
    reach = float(lengths.sum())
    ends = np.concatenate([[0.0], lengths.cumsum()]) / max(reach, SAME_POINT)
    ends[-1] = 1.0
    ways = start_tangents(near.curves), end_tangents(near.curves)
    made = np.array(near.curves)
    for number, curve in enumerate(near.curves):
        for row, handle, way in ((0, 1, ways[0][number]), (3, 2, ways[1][number])):
            share = ends[number + (row == 3)]
            away, lean = _moved(share, way, np.radians(degrees), reach, shift)
            arm = curve[handle] - curve[row]
            size = float(np.hypot(*arm))
            if share == 0.0:
                size = size if size > SAME_POINT else float(np.hypot(*(curve[3] - curve[0]))) / 3.0
                arm = turn(degrees).points(way * size)
            else:
                arm = arm + (size if row == 0 else -size) * lean
            made[number, row] = curve[row] + away
            made[number, handle] = made[number, row] + arm
    made[1:, 0] = made[:-1, 3]
    return Path(np.concatenate([made, rest]))


def _moved(
    share: float, way: np.ndarray, angle: float, reach: float, shift: np.ndarray
) -> Tuple[np.ndarray, np.ndarray]:
    """How far a point moves (2,), and how that changes along the path (2,), per mm."""
    aside = np.array([-way[1], way[0]])
    left = 1.0 - share
    away = angle * reach * share * left**2 * aside + left**2 * (1.0 + 2.0 * share) * shift
    lean = angle * left * (1.0 - 3.0 * share) * aside - 6.0 * share * left / reach * shift
    return away, lean


def drawn_anew(path: Path, degrees: float, reach: float, start: np.ndarray) -> Path:
    """An open path whose first ``reach`` mm are one soft curve from ``start``, turned there clockwise."""
    near, rest = parted(path, reach)
    way = turn(degrees).points(start_tangents(near.curves[:1])[0])
    arriving = end_tangents(near.curves[-1:])[0]
    return Path(np.concatenate([soft(start, way, near.end, arriving)[None], rest]))


def squared(path: Path, way: np.ndarray, straight: float, reach: float, start: np.ndarray) -> Path:
    """An open path that sets out from ``start`` straight along a unit way, and then joins itself again.

    ``straight``: so long (mm) it runs along the way; ``reach``: behind so much it is as it was.
    """
    _, rest = parted(path, straight)
    begin = start + straight * way
    rest_path = Path(rest)
    old = start_tangents(rest[:1])[0]
    degrees = float(np.degrees(np.arctan2(old[0] * way[1] - old[1] * way[0], old @ way)))
    on = bent(rest_path, degrees, reach - straight, begin - rest_path.start)
    return Path(np.concatenate([lines(start[None], begin[None]), on.curves]))


def parted(path: Path, reach: float) -> Tuple[Path, np.ndarray]:
    """The first ``reach`` mm of an open path, and the curves (n, 4, 2) of the rest, which may be none."""
    length = path_length(path)
    if reach >= length - SAME_POINT:
        return path, path.curves[len(path) :]
    place = place_at(path, reach)
    if place.t <= 0.0:
        return Path(path.curves[: place.curve]), path.curves[place.curve :]
    near = cut(path, Place(0, 0.0), place)
    rest = np.array(path.curves[place.curve :])
    rest[0] = cut_curve(rest[0], place.t, 1.0)
    rest[0, 0] = near.end
    return near, rest


def trimmed(path: Path, amount: float) -> Path:
    """An open path without its first mm; with an amount below 0 its first curve is drawn on by that."""
    if amount > 0.0:
        return cut(path, place_at(path, amount), Place(len(path) - 1, 1.0))
    curves = np.array(path.curves)
    speed = float(np.hypot(*(curves[0, 1] - curves[0, 0]))) * 3.0
    if amount == 0.0 or speed <= SAME_POINT:
        return path
    # A cubic runs on beyond its end; a few steps find how far its parameter has to.
    back = amount / speed
    for _ in range(8):
        beyond = cut_curve(curves[0], back, 0.0) if back else curves[0]
        length = float(curve_lengths(beyond[None])[0])
        back *= -amount / max(length, SAME_POINT)
    curves[0] = cut_curve(curves[0], back, 1.0)
    return Path(curves)


def farthest(new: Path, old: Path, reach: float) -> float:
    """How far (mm) the first ``reach`` mm of a new path lie from an old one at most; to ``_CHORD``."""
    near, _ = parted(new, reach)
    spots = point(near.curves, np.broadcast_to(_SAMPLES, (len(near), len(_SAMPLES)))).reshape(-1, 1, 2)
    nodes = flatten(old, _CHORD)
    starts, ways = nodes[:-1], np.diff(nodes, axis=0)
    sizes = np.maximum((ways * ways).sum(axis=1), SAME_POINT**2)
    share = np.clip(((spots - starts) * ways).sum(axis=2) / sizes, 0.0, 1.0)
    away = spots - starts - share[..., None] * ways
    return float(np.hypot(away[..., 0], away[..., 1]).min(axis=1).max())
