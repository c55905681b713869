"""Do the marks lie on the piece they belong to?

Notches have a check of their own.  What is marked inside a piece must lie on it in every size it
serves: on the seam allowance it is to be looked at, beyond the cut line it marks nothing.
"""

from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.checks.drawn_sizes import drawn_sizes, spot
from sewkit.geometry.away import depths
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

# Marks of which every point must lie inside; of a line across a piece a part is enough.
_WHOLE = (DRILL, DOT, BUTTON, BUTTONHOLE)
_PARTLY = (LEVEL, LENGTHEN, DART)

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
        if not (piece.named and outline.path.closed):
            continue
        for mark in piece.marks_for(outline.size):
            if mark.path is None or not len(mark.path):
                continue
            if mark.kind in _WHOLE:
                found += _whole(piece, outline, mark, where)
            elif mark.kind in _PARTLY:
                found += _partly(outline, mark, where)
            elif mark.kind == LABEL:
                found += _label(outline, mark, where)
    return found


def _whole(piece: Piece, outline: Outline, mark: Mark, where: str) -> List[Finding]:
    off, at = _outside(outline, np.array([mark.middle]))
    if off <= _OUTSIDE:
        return []
    line = piece.cut_line(outline.size)
    within = line is not None and line.path.closed and bool(depths(line.path, mark.middle)[0] < 0)
    level = Level.WARN if within else Level.FAIL
    place = "on the seam allowance" if within else "outside the piece"
    text = "{}: {} lies {}, {:.1f} mm off the seam line, at ({:.0f}, {:.0f}) mm."
    words = text.format(where, _name(mark), place, off, *at)
    return [Finding("mark-outside", level, words, where, at, _CURE)]


def _partly(outline: Outline, mark: Mark, where: str) -> List[Finding]:
    """A line of which nothing at all lies on the piece."""
    if mark.path is None:
        return []
    shares = np.linspace(0.02, 0.98, 9)
    curves = mark.path.curves
    spots = (curves[:, :1] + (curves[:, 3:] - curves[:, :1]) * shares[None, :, None]).reshape(-1, 2)
    if float(depths(outline.path, spots, _ROUGH).min()) <= _OUTSIDE:
        return []
    _, at = _outside(outline, spots)
    text = "{}: {} does not touch the piece at all.".format(where, _name(mark))
    return [Finding("mark-outside", Level.WARN, text, where, at, _CURE)]


def _label(outline: Outline, mark: Mark, where: str) -> List[Finding]:
    """Words whose beginning does not stand on the piece; how long they are only the editor knows."""
    off, at = _outside(outline, np.array([mark.middle]))
    if off <= _BESIDE:
        return []
    text = "{}: {} stands {:.0f} mm outside the seam line.".format(where, _name(mark), off)
    return [Finding("label-outside", Level.INFO, text, where, at, "Move it onto the piece.")]


def _outside(outline: Outline, spots: np.ndarray) -> Tuple[float, Tuple[float, float]]:
    """How far the worst of the points lies outside (mm), 0 where none does; and where."""
    away = depths(outline.path, spots, _ROUGH)
    worst = int(away.argmax())
    return max(float(away[worst]), 0.0), spot(spots[worst])


def _name(mark: Mark) -> str:
    called = _CALLED[mark.kind]
    if mark.kind == LABEL:
        words = " ".join(mark.text.split())
        return "the label '{}'".format(words if len(words) <= 30 else words[:27] + "...")
    return "the {}{}".format(called, " '{}'".format(mark.name) if mark.name else "")
