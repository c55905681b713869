"""A dart with two points, drawn inside the piece, with its legs made equal."""

from typing import List, Tuple

import numpy as np

from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, point
from sewkit.pattern.dart_legs import EQUAL, equal_contour
from sewkit.pattern.dart_lines import TOUCH, bits_of
from sewkit.pattern.drawn_dart import DrawnDart
from sewkit.pattern.mark import Mark
from sewkit.pattern.piece import Piece


def trued_contour(piece: Piece, size: str, drawn: DrawnDart) -> Tuple[Piece, float]:
    """The piece with such a dart of one size trued, and by how much (mm) its legs differed.

    What else belongs to the drawing of the dart, such as the line to fold on, stays.
    ``InputError`` where the legs are too unlike.
    """
    made = equal_contour(drawn)
    if made.difference <= EQUAL:
        return piece, made.difference
    ring = np.concatenate([made.legs[0].curves, made.legs[1].reverse().curves])
    marks: List[Mark] = []
    put = False
    for mark in piece.marks:
        if mark not in drawn.marks or mark.path is None:
            marks.append(mark)
            continue
        rest = [bit for bit in bits_of(mark.path) if not _is_leg(bit, drawn)]
        if not rest and put:
            continue
        curves = ([] if put else [ring]) + [bit.curves for bit in rest]
        marks.append(mark._replace(path=Path(np.concatenate(curves), closed=not put and not rest)))
        put = True
    return piece._replace(marks=tuple(marks)), made.difference


def _is_leg(bit: Path, drawn: DrawnDart) -> bool:
    """Whether a line of the drawing is a part of one of the legs."""
    spots = point(bit.curves, 0.5)
    return any(all(nearest(leg, spot).distance <= TOUCH / 10 for spot in spots) for leg in drawn.legs)
