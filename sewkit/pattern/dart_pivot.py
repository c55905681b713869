"""About which spot cloth is turned into a dart, whether there is a dart already or not."""

from typing import Optional

import numpy as np

from sewkit.errors import InputError
from sewkit.pattern import apex
from sewkit.pattern.dart import Dart
from sewkit.pattern.mark import DRILL, INNER
from sewkit.pattern.piece import Piece

# What one says for the dart's own point, where an apex is marked beyond it.
POINT = "point"


def pivot_for(piece: Piece, size: str, dart: Optional[Dart], called: str = "") -> np.ndarray:
    """The pivot (2,) mm: of a dart as ``apex.pivot_of`` says; without one the mark named, or the only apex.

    ``called``: the name of a mark, or "point" for the dart's own point.  ``InputError`` (pivot)
    where nothing says about which spot to turn.
    """
    called = called.strip()
    if dart is not None:
        named = any(mark.name == POINT for mark in piece.marks_for(size))
        return dart.point if called == POINT and not named else apex.pivot_of(piece, dart, called)
    marks = [
        m for m in piece.marks_for(size) if m.kind in (DRILL, INNER) and m.path is not None and len(m.path)
    ]
    found = [mark for mark in marks if mark.name == (called or "apex")]
    if len(found) == 1:
        return found[0].middle
    known = ", ".join(dict.fromkeys(mark.name for mark in marks if mark.name)) or "none"
    if called:
        what = "'{}' has {} called '{}'.".format(piece.name, "several marks" if found else "no mark", called)
    else:
        what = "It is not said about which spot of '{}' to turn, and no dart points there.".format(piece.name)
    raise InputError(
        what,
        "Mark the bust point with a drill hole called apex, or name a mark; those with a name: {}.".format(
            known
        ),
        code="pivot",
    )
