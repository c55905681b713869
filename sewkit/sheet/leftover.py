"""What of a sheet's lines is in no piece, so that no drawn line is ever lost."""

from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, point
from sewkit.geometry.polygon import flatten
from sewkit.sheet.drawn import Whole
from sewkit.sheet.nest import Found

# A point of a line is in an outline if it lies this near to it (mm): a dash's gap, bridged
# straight on a curve, stays nearer.
_IN = 0.5
# Points at which each curve is asked, and how many of a line at the most.
_ASKED = (0.1, 0.3, 0.5, 0.7, 0.9)
_MOST = 600
# How far a chord may be off an outline that is compared (mm), and chords looked at together.
_FLAT, _AT_ONCE = 0.1, 64
# A line of which no curve is longer (mm) is one without length to whoever reads the drawing.
_SPECK = 1e-3


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
        if number not in spent
        and not is_speck(line.path)
        and not (number in users and _all_in(line.path, users[number]))
    )


def is_speck(path: Path) -> bool:
    """Whether a line has no length: nothing is drawn by it, and no drawing can be read with it."""
    return not len(path) or float(np.ptp(path.curves, axis=1).max()) <= _SPECK


def _all_in(path: Path, outlines: Sequence[Path]) -> bool:
    """Whether every part of a line lies on one of some outlines."""
    asked = _points(path)
    for outline in outlines:
        drawn = flatten(outline, _FLAT)
        drawn = np.vstack([drawn, drawn[:1]])
        asked = asked[~_near(asked, drawn[:-1], np.diff(drawn, axis=0))]
        if not len(asked):
            return True
    return False


def _near(asked: np.ndarray, starts: np.ndarray, steps: np.ndarray) -> np.ndarray:
    """``(k,)`` whether points lie on straight pieces that begin at ``starts``; some pieces at a time."""
    long = np.maximum((steps**2).sum(axis=1), 1e-18)
    found = np.zeros(len(asked), bool)
    for at in range(0, len(starts), _AT_ONCE):
        some = slice(at, at + _AT_ONCE)
        low = np.minimum(starts[some], starts[some] + steps[some]).min(axis=0) - _IN
        high = np.maximum(starts[some], starts[some] + steps[some]).max(axis=0) + _IN
        rows = np.flatnonzero(~found & ((asked >= low) & (asked <= high)).all(axis=1))
        if len(rows):
            away = asked[rows, None] - starts[some]
            along = np.clip((away * steps[some]).sum(axis=2) / long[some], 0.0, 1.0)
            away -= along[:, :, None] * steps[some]
            found[rows] = (away**2).sum(axis=2).min(axis=1) <= _IN**2
    return found


def _points(path: Path) -> np.ndarray:
    """Points in every curve, ``(n * k, 2)``; of a line of very many curves only some of these."""
    every = np.concatenate([point(path.curves, np.full(len(path), share)) for share in _ASKED])
    return every[:: max(1, len(every) // _MOST)]
