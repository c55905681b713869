"""The apex to which a dart points: the fullest spot of the bust, the blade, the seat.

A dart turns about its apex.  It is a small mark of that name; a dart's point lies a little short
of it, so where no apex is marked the point itself has to serve.
"""

from typing import Optional

import numpy as np

from sewkit.errors import InputError
from sewkit.pattern.dart import Dart
from sewkit.pattern.mark import DRILL, INNER, Mark
from sewkit.pattern.piece import Piece

# A word of the name of such a mark.
_CALLED = ("apex", "blade", "seat")

# A dart points to an apex that lies this near to its point (mm; points are set back by up to
# 2 1/2 in, Threads 181) and this near to its axis (degrees).
NEAR = 65.0
_ASIDE = 5.0

# What lies this near to the point (mm) lies at it: its direction says nothing.
_AT = 2.0


def apex_near(piece: Piece, size: str, spot: np.ndarray) -> Optional[np.ndarray]:
    """The nearest marked apex within ``NEAR`` of a point (2,), mm; None where there is none."""
    marks = [mark for mark in piece.marks_for(size) if _is_apex(mark)]
    middles = [mark.middle for mark in marks]
    near = [middle for middle in middles if np.hypot(*(middle - spot)) <= NEAR]
    return min(near, key=lambda middle: float(np.hypot(*(middle - spot))), default=None)


def pivot_of(piece: Piece, dart: Dart, called: str = "") -> np.ndarray:
    """The place (2,) mm about which a dart turns.

    The mark that is named; else the marked apex to which the dart points; else its own point.
    ``InputError`` where no mark has that name, listing those there are.
    """
    if called.strip():
        return _named(piece, dart.size, called.strip())
    apex = apex_near(piece, dart.size, dart.point)
    return dart.point if apex is None or not points_to(dart, apex) else apex


def points_to(dart: Dart, spot: np.ndarray) -> bool:
    """Whether the line half way between the legs goes to a spot (2,), mm, near the dart's point."""
    way = spot - dart.point
    away = float(np.hypot(*way))
    if away <= _AT:
        return True
    straight = -dart.axis
    off = np.degrees(np.arctan2(abs(way[0] * straight[1] - way[1] * straight[0]), abs(way @ straight)))
    return away <= NEAR and bool(off <= _ASIDE)


def _named(piece: Piece, size: str, name: str) -> np.ndarray:
    marks = [
        m for m in piece.marks_for(size) if m.kind in (DRILL, INNER) and m.path is not None and len(m.path)
    ]
    for mark in marks:
        if mark.name == name:
            return mark.middle
    known = ", ".join(dict.fromkeys(mark.name for mark in marks if mark.name)) or "none"
    raise InputError(
        "'{}' has no mark called '{}'.".format(piece.name, name),
        "Marks with a name on it: {}.".format(known),
        code="name",
    )


def _is_apex(mark: Mark) -> bool:
    return _is_a_spot(mark) and any(word in mark.name.lower() for word in _CALLED)


def _is_a_spot(mark: Mark) -> bool:
    return mark.kind in (DRILL, INNER) and mark.path is not None and len(mark.path) > 0
