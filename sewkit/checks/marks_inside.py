"""Do the marks lie on the piece they belong to?

Notches have a check of their own.  What is marked inside a piece must lie on it in every size it
serves: on the seam allowance it is to be looked at, beyond the cut line it marks nothing.
"""

from typing import Dict, List, Sequence

import numpy as np

from sewkit.checks.drawn_sizes import drawn_sizes, spot
from sewkit.geometry.away import depths
from sewkit.pattern.cutting import without_darts
from sewkit.pattern.label_legend import in_legend
from sewkit.pattern.mark import BUTTON, BUTTONHOLE, DART, DOT, DRILL, LABEL, LENGTHEN, LEVEL, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level

_CALLED: Dict[str, str] = {
    DRILL: "drill mark",
    DOT: "dot",
    BUTTON: "button",
    BUTTONHOLE: "buttonhole",
    DART: "dart",
    LABEL: "label",
    LEVEL: "level line",
    LENGTHEN: "lengthen line",
}

# Marks whose middle must lie inside; of a line across a piece a part is enough.
_WHOLE = (DRILL, DOT, BUTTON, BUTTONHOLE)
_PARTLY = (LEVEL, LENGTHEN, DART)

# Where along such a line it is asked.
_ALONG = np.linspace(0.02, 0.98, 9)

# How closely outlines are followed here (mm).
_ROUGH = 0.05

# A mark outside by less (mm) lies on the line.
_OUTSIDE = 0.5

# Words this near to their piece (mm) belong to it: a size's number stands beside its line.
_BESIDE = 15.0

_CURE = "Move it onto the piece, or delete it."


def marks_inside_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """Marks that lie off their piece, piece by piece."""
    found: List[Finding] = []
    for piece, outline, where in drawn_sizes(pattern, sizes):
        if piece.named and outline.path.closed:
            found += _of_one(piece, outline, where)
    return found


def _of_one(piece: Piece, outline: Outline, where: str) -> List[Finding]:
    """The marks of one size; all their places are measured at once, for that is what takes time."""
    marks = [m for m in piece.marks_for(outline.size) if m.kind in _CALLED and m.path and len(m.path)]
    marks = [mark for mark in marks if not in_legend(mark)]
    places = [_spots(mark) for mark in marks]
    if not places:
        return []
    # A dart is cloth too: the mark at its point lies between its legs.
    whole = without_darts(outline, piece.darts).path
    away = depths(whole, np.concatenate(places), _ROUGH)
    found: List[Finding] = []
    for mark, spots, off in zip(marks, places, np.split(away, np.cumsum([len(p) for p in places])[:-1])):
        if mark.kind in _WHOLE:
            found += _whole(piece, outline, mark, where, float(off[0]))
        elif mark.kind == LABEL and off[0] > _BESIDE:
            text = "{}: {} stands {:.0f} mm outside the seam line.".format(where, _name(mark), off[0])
            cure = "Move it onto the piece."
            found.append(Finding("label-outside", Level.INFO, text, where, spot(spots[0]), cure))
        elif mark.kind in _PARTLY and off.min() > _OUTSIDE:
            text = "{}: {} does not touch the piece at all.".format(where, _name(mark))
            at = spot(spots[int(off.argmax())])
            found.append(Finding("mark-outside", Level.WARN, text, where, at, _CURE))
    return found


def _spots(mark: Mark) -> np.ndarray:
    """Where it is asked whether a mark lies on its piece: its middle, or all along a line."""
    if mark.kind not in _PARTLY or mark.path is None:
        return np.array([mark.middle])
    curves = mark.path.curves
    return (curves[:, :1] + (curves[:, 3:] - curves[:, :1]) * _ALONG[None, :, None]).reshape(-1, 2)


def _whole(piece: Piece, outline: Outline, mark: Mark, where: str, off: float) -> List[Finding]:
    if off <= _OUTSIDE:
        return []
    at = spot(mark.middle)
    line = piece.cut_line(outline.size)
    within = line is not None and line.path.closed and bool(depths(line.path, mark.middle)[0] < 0)
    level = Level.WARN if within else Level.FAIL
    place = "on the seam allowance" if within else "outside the piece"
    text = "{}: {} lies {}, {:.1f} mm off the seam line, at ({:.0f}, {:.0f}) mm."
    words = text.format(where, _name(mark), place, off, *at)
    return [Finding("mark-outside", level, words, where, at, _CURE)]


def _name(mark: Mark) -> str:
    called = _CALLED[mark.kind]
    if mark.kind == LABEL:
        words = " ".join(mark.text.split())
        return "the label '{}'".format(words if len(words) <= 30 else words[:27] + "...")
    return "the {}{}".format(called, " '{}'".format(mark.name) if mark.name else "")
