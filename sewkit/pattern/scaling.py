"""A whole pattern made larger or smaller: for drawings of the wrong size, not for fitting.

Everything that is drawn grows: lines, marks, cut lines and so the allowances between.
What is kept as a number beside it - places of notches, the width of an allowance that is
drawn - goes along, so that numbers and drawing say the same.  What was said for the
garment stays: the width of an allowance that is not drawn yet, and how much a seam may
be eased.
"""

import math
from typing import Optional, Tuple

import numpy as np

from sewkit.geometry.length import curve_lengths, distance_of, place_at
from sewkit.geometry.path import Path
from sewkit.pattern.mark import Mark, On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece

Factors = Tuple[float, float]


def scaled_pattern(pattern: Pattern, across: float, down: float) -> Pattern:
    """The pattern so many times as wide and as high; tells ``Drawing.put`` to scale everything.

    Widths of allowances, which have no direction, take the geometric mean of both.
    """
    by = (float(across), float(down))
    pieces = tuple(_piece(piece, by) for piece in pattern.pieces)
    return pattern._replace(pieces=pieces, scale=(pattern.scale[0] * by[0], pattern.scale[1] * by[1]))


def mean_factor(by: Factors) -> float:
    """The factor for what has no direction."""
    return by[0] if by[0] == by[1] else math.sqrt(by[0] * by[1])


def scaled_path(path: Path, by: Factors) -> Path:
    """The path from the sheet's upper left corner so many times as wide and as high."""
    return Path(path.curves * np.array(by), path.closed)


def _piece(piece: Piece, by: Factors) -> Piece:
    outlines = tuple(o.replace_path(scaled_path(o.path, by)) for o in piece.outlines)
    wider = mean_factor(by) if piece.cut_lines else 1.0
    return piece._replace(
        outlines=outlines,
        cut_lines=tuple(line._replace(path=scaled_path(line.path, by)) for line in piece.cut_lines),
        marks=tuple(_mark(mark, piece, outlines, by) for mark in piece.marks),
        allowance={name: width * wider for name, width in piece.allowance.items()},
    )


def _mark(mark: Mark, piece: Piece, outlines: Tuple[Outline, ...], by: Factors) -> Mark:
    path = None if mark.path is None else scaled_path(mark.path, by)
    on = mark.on
    if on is not None:
        pairs = zip(piece.outlines, outlines)
        both = next((pair for pair in pairs if mark.size in (pair[0].size, "")), None)
        on = _place(on, both, by)
    return mark._replace(path=path, on=on)


def _place(on: On, both: Optional[Tuple[Outline, Outline]], by: Factors) -> On:
    """The same spot of an edge: on a stretched curve its distance does not grow evenly."""
    if by[0] == by[1] or both is None or on.edge not in both[0].names:
        return on._replace(distance=on.distance * mean_factor(by))
    old, new = both
    rest, passed = distance_from_start(old, on), 0.0
    for run, stretched in zip(old.runs(on.edge), new.runs(on.edge)):
        length = float(curve_lengths(run.curves).sum())
        if rest <= length:
            passed += distance_of(stretched, place_at(run, max(rest, 0.0)))
            break
        rest -= length
        passed += float(curve_lengths(stretched.curves).sum())
    return on._replace(distance=new.as_sewn(on.edge) - passed if on.from_end else passed)
