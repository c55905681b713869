"""A stretch of a line made longer or shorter along one direction, its ends' directions kept.

    stretched(span, (0, 25))       # the start stays, the end goes 25 mm down

Every control point goes along the direction in proportion to how far along it lies.  That
alone would turn the line's directions at both ends and leave kinks where it joins on, so the
handles there get their old direction back.  A handle is then as long as before times
k ** (c * c), where k is the stretch and c the cosine of the angle between handle and stretch.
For a small stretch that is what a stretched handle measures; and being a power, two stretches
make exactly the one of their product, and a stretch and its reverse make none.
"""

from typing import Optional

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.tolerance import EXACT, PARALLEL, SAME_POINT

# A curve whose handles stray less than this from its chord is drawn straight (mm): files
# keep three or four decimals, so a line that was written and read again strays by about that.
_DRAWN_STRAIGHT = 2e-3


def drawn_straight(curves: np.ndarray) -> np.ndarray:
    """Tell which curves ``(n, 4, 2)`` are straight but for the rounding of files: booleans ``(n,)``."""
    chord = curves[:, 3] - curves[:, 0]
    size = np.hypot(chord[:, 0], chord[:, 1])
    unit = chord / np.where(size > 0, size, 1.0)[:, None]
    handles = curves[:, 1:3] - curves[:, :1]
    along = handles[..., 0] * unit[:, None, 0] + handles[..., 1] * unit[:, None, 1]
    aside = handles[..., 0] * unit[:, None, 1] - handles[..., 1] * unit[:, None, 0]
    slack = _DRAWN_STRAIGHT
    within = (along >= -slack) & (along <= size[:, None] + slack) & (np.abs(aside) <= slack)
    return within.all(axis=1)


def stretched(
    span: Path, move: "np.typing.ArrayLike", keep_start: bool = True, keep_end: bool = True
) -> Path:
    """An open path with its start where it is and its end moved by ``move`` ``(2,)``, mm.

    Args:
        move: against the way from start to end it makes the path shorter.
        keep_start, keep_end: whether the direction there is kept.

    Straight curves stay straight; they turn.  ``ValueError`` where the ends lie at one
    height along ``move``, or where nothing would be left between them.
    """
    move = np.asarray(move, np.float64).reshape(2)
    size = float(np.hypot(move[0], move[1]))
    if size == 0.0:
        return span
    along = move / size
    height = float((span.end - span.start) @ along)
    if abs(height) <= SAME_POINT:
        raise ValueError("the ends lie at one height, so there is nothing to stretch")
    factor = (height + size) / height
    if factor <= 0.0 or abs(height + size) <= EXACT:
        raise ValueError("nothing would be left of the path")
    old = span.curves
    curves = old + ((old - span.start) @ along)[..., None] * (factor - 1.0) * along
    curves[-1, 3] = span.end + move
    ends = [(curves[0], old[0])] if keep_start else []
    ends += [(curves[-1, ::-1], old[-1, ::-1])] if keep_end else []
    # An end that has no handle leans on the other one's, so it comes last.
    for curve, before in sorted(ends, key=lambda end: -_handle(end[1])):
        _redirect(curve, before, along, factor)
    return Path(curves)


def _handle(curve: np.ndarray) -> float:
    """How long the handle at the curve's start is."""
    return float(np.hypot(*(curve[1] - curve[0])))


def _redirect(curve: np.ndarray, old: np.ndarray, along: np.ndarray, factor: float) -> None:
    """Give the curve, in place, the direction at its start that it had before."""
    if drawn_straight(old[None])[0]:
        return
    size = _handle(old)
    if size > SAME_POINT:
        handle = old[1] - old[0]
        cosine = float(handle @ along) / size
        curve[1] = curve[0] + handle * factor ** (cosine * cosine)
        return
    # Without a handle of its own the curve sets out toward the other one, which must stay on
    # the line through its own end too.
    there = _meeting(curve[0], old[2] - old[0], curve[3], curve[2] - curve[3])
    if there is not None:
        curve[2] = there


def _meeting(a: np.ndarray, u: np.ndarray, b: np.ndarray, v: np.ndarray) -> Optional[np.ndarray]:
    """Where the rays from ``a`` along ``u`` and from ``b`` along ``v`` meet, or None."""
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) <= PARALLEL * float(np.hypot(*u) * np.hypot(*v)):
        return None
    way = b - a
    first = (way[0] * v[1] - way[1] * v[0]) / cross
    second = (way[0] * u[1] - way[1] * u[0]) / cross
    return a + first * u if first > 0 and second > 0 else None
