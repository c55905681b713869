"""What of a sheet's lines is in no piece, so that no drawn line is ever lost."""

from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, point
from sewkit.sheet.drawn import Whole
from sewkit.sheet.nest import Found

# A point of a line is in an outline if it lies this near to it (mm): a dash's gap, bridged
# straight on a curve, stays nearer.
_IN = 0.5
# Points at which each curve is asked, and the step along an outline (mm) that is compared.
_ASKED = np.linspace(0.05, 0.95, 7)
_PARTS = np.linspace(0.0, 1.0, 33)


def left_over(lines: Sequence[Whole], found: Found, marks: Sequence[int]) -> Tuple[Whole, ...]:
    """The lines that are neither a mark nor wholly in the outlines made of them.

    A line of which an outline took only a part is left over as a whole: the part that the
    outline does without is to be seen beside it.
    """
    users: Dict[int, List[Path]] = {}
    for piece in found.pieces:
        for outline in piece.outlines:
            for number in outline.lines:
                users.setdefault(number, []).append(outline.path)
    spent = set(marks)
    return tuple(
        line
        for number, line in enumerate(lines)
        if number not in spent and not (number in users and _all_in(line.path, users[number]))
    )


def _all_in(path: Path, outlines: Sequence[Path]) -> bool:
    """Whether every part of a line lies on one of some outlines."""
    asked = _points(path, _ASKED)
    missing = np.ones(len(asked), bool)
    for outline in outlines:
        drawn = _points(outline, _PARTS)
        starts, steps = drawn[:-1], np.diff(drawn, axis=0)
        long = np.maximum((steps**2).sum(axis=1), 1e-18)
        for row in np.flatnonzero(missing):
            along = np.clip(((asked[row] - starts) * steps).sum(axis=1) / long, 0.0, 1.0)
            away = np.hypot(*(asked[row] - starts - along[:, None] * steps).T)
            missing[row] = away.min() > _IN
        if not missing.any():
            return True
    return False


def _points(path: Path, shares: np.ndarray) -> np.ndarray:
    """Points of every curve, one curve after the other, ``(n * k, 2)``."""
    return np.concatenate(
        [point(path.curves, np.full(len(path), share))[:, None] for share in shares], 1
    ).reshape(-1, 2)


def seamless(path: Path) -> Path:
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
