"""The marks of a trued dart: its cap, a notch at the end of each leg, a drill mark before its point.

    finished(piece, size, "bust-dart", notches=True, drill=12.7)    # puts them on, or takes them off
    with_dart_marks(piece, size)                                    # draws them anew

Which of them a dart has is seen from the marks themselves; where they lie follows from the
outline, so a change of it never leaves an old one behind.
"""

from typing import Callable, Dict, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.path import end_tangents, start_tangents
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.dart import Dart, darts_of
from sewkit.pattern.dart_cap import drawn_at, with_cap_marks
from sewkit.pattern.dart_naming import AT_POINT
from sewkit.pattern.faint import ring
from sewkit.pattern.fold_mouth import fold_mouths
from sewkit.pattern.mark import DRILL, NOTCH, Mark, On
from sewkit.pattern.notch import Spot, tick
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.units import write_number

# How far before the point of a dart its drill mark lies (mm): 1/2 in (common practice; NIMI,
# Dress Making Trade Theory, p. 44 marks an eighth of an inch inside the stitch line).
BEFORE_POINT = 12.7

# A drill mark lies this part of a short dart's depth before its point at most.
_DEEPEST = 0.5

# A notch so near to the end of a leg (mm) sits on it.
_AT_END = 1e-6

Width = Callable[[str], float]


class Marked(NamedTuple):
    """Which marks a dart of one size has: notches at its legs; how far (mm) its drill mark is, 0: none."""

    notches: bool
    drill: float


def marked(piece: Piece, size: str, name: str) -> Marked:
    """Which marks a dart of one size has got."""
    own = [mark for mark in piece.marks if mark.size == size]
    drills = [_drilled(mark, name) for mark in own]
    return Marked(any(at_leg(mark, (name,)) for mark in own), next((d for d in drills if d is not None), 0.0))


def finished(piece: Piece, size: str, name: str, notches: bool, drill: float) -> Piece:
    """The piece with the marks that one size's dart shall have, and no others of its own.

    Args:
        drill: how far before the point the drill mark lies (mm); 0: none.
    """
    outline = piece.outline(size)
    has = marked(piece, outline.size, name)
    marks = list(piece.marks)
    if has.notches != notches or not notches:
        marks = [m for m in marks if m.size != outline.size or not at_leg(m, (name,))]
    if notches and not has.notches:
        marks += [Mark(NOTCH, "", outline.size, None, On(name, 0.0, last)) for last in (False, True)]
    called = name + AT_POINT + ("" if drill == BEFORE_POINT else "-" + write_number(drill, 4))
    drilled = False
    for mark in list(marks):
        if mark.size == outline.size and _drilled(mark, name) is not None:
            keep = drill > 0 and not drilled
            marks[marks.index(mark) : marks.index(mark) + 1] = [mark._replace(name=called)] if keep else []
            drilled = drilled or keep
    if drill > 0 and not drilled:
        marks.append(Mark(DRILL, called, outline.size))
    if tuple(marks) == piece.marks:
        return piece  # they lie where the allowance put them
    return with_dart_marks(piece._replace(marks=tuple(marks)), outline.size)


def with_dart_marks(piece: Piece, size: str, width: Optional[Width] = None) -> Piece:
    """The piece with the marks of one size's trued darts drawn anew; those of lost darts are gone.

    Args:
        width: of the allowance (mm) by edge, from which notches are drawn; None: from the seam line.
    """
    outline = piece.outline(size)
    piece = with_cap_marks(piece, outline.size) if piece.named else piece
    darts = {dart.name: dart for dart in darts_of(piece, outline)}
    marks: List[Mark] = []
    for mark in piece.marks:
        if mark.size != outline.size:
            marks.append(mark)
        elif at_leg(mark, piece.darts) and mark.on is not None:
            dart = darts.get(mark.on.edge) or _as_a_dart(piece, outline, mark.on.edge)
            marks += [] if dart is None else [_notched(mark, outline, dart, width)]
        else:
            new = _redrilled(mark, piece, darts)
            marks += [] if new is None else [new]
    return piece if tuple(marks) == piece.marks else piece._replace(marks=tuple(marks))


def without_lost_darts(piece: Piece) -> Piece:
    """The piece without the pressing sides, and the drill marks, of darts that no size has any more."""
    known = {name for outline in piece.outlines for name in outline.names}
    lost = [name for name in piece.pressed if name not in known]
    if not lost:
        return piece
    pressed = {name: side for name, side in piece.pressed.items() if name not in lost}
    marks = tuple(mark for mark in piece.marks if all(_drilled(mark, name) is None for name in lost))
    return piece._replace(pressed=pressed, marks=marks)


def at_leg(mark: Mark, darts: Tuple[str, ...]) -> bool:
    """Whether a mark is a notch at the end of a dart's leg."""
    on = mark.on
    return mark.kind == NOTCH and on is not None and on.edge in darts and abs(on.distance) < _AT_END


def _as_a_dart(piece: Piece, outline: Outline, name: str) -> Optional[Dart]:
    """The mouth of a pleat, whose ends are notched as a dart's are."""
    for mouth in fold_mouths(outline, piece.darts):
        if mouth.name == name:
            ends = [outline.edges[number] for number in (mouth.edges[0], mouth.edges[-1])]
            first, last = (outline.path.part(edge.start, edge.stop) for edge in ends)
            return Dart(name, outline.size, (mouth.edges[0], mouth.edges[-1]), first, last)
    return None


def _notched(mark: Mark, outline: Outline, dart: Dart, width: Optional[Width]) -> Mark:
    """A notch at a leg's end, square to the edge that ends there and not to the leg."""
    last = mark.on is not None and mark.on.from_end
    count = len(outline.edges)
    edge = outline.edges[(dart.edges[1] + 1) % count if last else dart.edges[0] - 1]
    curves = outline.path.curves[edge.start : edge.stop]
    along = start_tangents(curves[:1])[0] if last else end_tangents(curves[-1:])[0]
    side = 1.0 if signed_area(outline.path) >= 0 else -1.0
    number = edge.start if last else edge.stop - 1
    spot = Spot(dart.mouth[int(last)], side * np.array([along[1], -along[0]]), number)
    path = tick(spot, 0.0 if width is None else width(edge.name), max(mark.count, 1), mark.form)
    return drawn_at(mark, path)


def _drilled(mark: Mark, name: str) -> Optional[float]:
    """How far before the point of a dart a mark was put as its drill mark (mm); None if it is none."""
    if mark.kind != DRILL or not mark.name.startswith(name + AT_POINT):
        return None
    rest = mark.name[len(name + AT_POINT) :]
    if not rest:
        return BEFORE_POINT
    digits = rest[1:].replace(".", "", 1)
    return float(rest[1:]) if rest[0] == "-" and digits.isdecimal() else None


def _redrilled(mark: Mark, piece: Piece, darts: Dict[str, Dart]) -> Optional[Mark]:
    """A dart's drill mark where it belongs now; None if the dart is gone; other marks as they are."""
    for name in dict.fromkeys([*piece.pressed, *darts]):
        distance = _drilled(mark, name)
        if distance is None:
            continue
        if name not in darts:
            return None
        dart = darts[name]
        path = ring(dart.point + dart.axis * min(distance, _DEEPEST * dart.depth))
        return drawn_at(mark, path)
    return mark
