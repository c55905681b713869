"""A row of buttons or holes put on a piece, in the place of the row that was there."""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.pattern.button_line import ButtonLine
from sewkit.pattern.button_marks import button, hole
from sewkit.pattern.button_rows import KINDS
from sewkit.pattern.button_spacing import Row
from sewkit.pattern.mark import BUTTON, DRILL, Mark
from sewkit.pattern.piece import Piece

# An old mark of a row lies this near to the centre line (mm): a hole begins a little past it.
_BESIDE = 30.0

# Drill marks lie on the line itself (mm); other holes near it mark pockets and darts.
_DRILLED = 1.0

# Fewer drill marks are no row.
_ROW = 3

# Rows of two sizes that agree to this (mm) are one.
_ALIKE = 0.01


class Made(NamedTuple):
    """The row of one size: its line and its places."""

    size: str
    line: ButtonLine
    row: Row


class Drawing(NamedTuple):
    """How buttons and holes are drawn: sizes in mm; ``way`` of the holes."""

    diameter: float
    hole: float
    way: str


def old_row(piece: Piece, size: str, line: ButtonLine, drilled: bool) -> Tuple[Mark, ...]:
    """The marks of the row that lies along a line, those that serve all sizes among them.

    ``drilled``: a row of drill marks counts as well.
    """
    found = [mark for mark in piece.marks_for(size) if mark.kind in KINDS and _along(mark, line)]
    drills = [mark for mark in found if mark.kind == DRILL and _aside(mark, line) <= _DRILLED]
    rows = [mark for mark in found if mark.kind != DRILL]
    return (*rows, *(drills if drilled and len(drills) >= _ROW else ()))


def places_of(marks: Sequence[Mark], line: ButtonLine) -> List[float]:
    """How far below the top end of the line (mm) the marks of one kind lie, in order."""
    kinds = [kind for kind in KINDS if any(mark.kind == kind for mark in marks)]
    return sorted(
        float((mark.middle - line.top) @ line.down) for mark in marks if kinds and mark.kind == kinds[0]
    )


def with_rows(
    piece: Piece, made: Sequence[Made], kinds: Sequence[str], drawing: Drawing, drilled: bool
) -> Piece:
    """The piece with the rows of some sizes, in place of the old ones."""
    gone = {id(mark) for one in made for mark in old_row(piece, one.size, one.line, drilled)}
    others = [size for size in piece.sizes if size not in {one.size for one in made}]
    kept: List[Mark] = []
    for mark in piece.marks:
        if id(mark) not in gone:
            kept.append(mark)
        elif not mark.size:
            # A mark that served all sizes still serves those whose row is not drawn anew.
            kept += [mark._replace(size=size, key="") for size in others]
    alike = not others and all(_same(one, made[0]) for one in made)
    for one in made[:1] if alike else made:
        size = "" if alike and len(piece.outlines) > 1 else one.size
        kept += _marks(one, kinds, drawing, size)
    return piece._replace(marks=tuple(kept))


def _marks(one: Made, kinds: Sequence[str], drawing: Drawing, size: str) -> List[Mark]:
    found = []
    for kind in kinds:
        for number, place in enumerate(one.row.places, 1):
            spot = one.line.at(place)
            if kind == BUTTON:
                path = button(spot, drawing.diameter)
            else:
                path = hole(spot, one.line.toward, one.line.down, drawing.hole, drawing.way)
            found.append(Mark(kind, "{}-{}".format(kind, number), size, path))
    return found


def _same(one: Made, other: Made) -> bool:
    if len(one.row.places) != len(other.row.places):
        return False
    spots = [[made.line.at(place) for place in made.row.places] for made in (one, other)]
    return bool(np.abs(np.array(spots[0]) - np.array(spots[1])).max() <= _ALIKE)


def _aside(mark: Mark, line: ButtonLine) -> float:
    return abs(float((mark.middle - line.top) @ line.toward))


def _along(mark: Mark, line: ButtonLine) -> bool:
    if mark.path is None or not len(mark.path):
        return False
    along = float((mark.middle - line.top) @ line.down)
    return _aside(mark, line) <= _BESIDE and -_BESIDE <= along <= line.length + _BESIDE
