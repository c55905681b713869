"""A notch put on a piece, moved on it, taken off: one size at a time, drawn as the piece is drawn."""

import re
from typing import List, Optional, Sequence

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.path import point
from sewkit.pattern.dart_marks import at_leg
from sewkit.pattern.mark import NOTCH, Mark, On
from sewkit.pattern.notch import redrawn, spot_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.own_notches import own_notches
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import kept_width, knows_widths

# A cut line farther from the seam line than this (mm) is not that of its allowance there.
_WIDEST = 100.0

_CENTRE_BACK = re.compile(r"(?:^|-)(?:centre-back|center-back|back-centre|back-center|cb)(?:-|$)")
_CENTRE = re.compile(r"(?:^|-)(?:centre|center)(?:-|$)")


def custom_count(piece: str, edge: str) -> int:
    """How many notches side by side custom wants: 1 front, 2 back, 3 centre back; 0 where it says nothing.

    Single for fronts and double for backs: NIMI, Dress Making Trade Theory, p. 44, and common
    practice; three at the centre back: common practice, no source.
    """
    words = set(re.split(r"[-_.\s\d]+", piece.lower()))
    if _CENTRE_BACK.search(edge.lower()) or ("back" in words and _CENTRE.search(edge.lower())):
        return 3
    if ("back" in words) != ("front" in words):
        return 2 if "back" in words else 1
    return 0


def drawn_width(piece: Piece, outline: Outline, on: On) -> float:
    """How far outside its place a notch is cut from (mm): to the cut line, 0 where there is none."""
    line = piece.cut_line(outline.size)
    if line is None:
        return 0.0
    if knows_widths(piece):
        return kept_width(piece)(on.edge)
    spot = spot_of(outline, on)
    if spot is None:
        return 0.0
    places = crossings_with_line(line.path, spot.point, spot.outward)
    away = [
        float((point(line.path.curves[p.curve][None], p.t)[0] - spot.point) @ spot.outward) for p in places
    ]
    return min((one for one in away if 0.0 < one <= _WIDEST), default=0.0)


def drawn(piece: Piece, outline: Outline, mark: Mark) -> Mark:
    """A notch drawn at its place; as it was where it has none there."""
    if mark.on is None:
        return mark
    return redrawn(mark, outline, drawn_width(piece, outline, mark.on)) or mark


def put(pattern: Pattern, name: str, size: str, old: Optional[Mark], new: Mark) -> Pattern:
    """The pattern with a notch on one size of a piece, in the place of an old one or added.

    An old one that served all sizes is then each size's own, in the others where it was.
    """
    piece = pattern.piece(name)
    outline = piece.outline(size)
    made = drawn(piece, outline, new._replace(size=outline.size, guess=0.0))
    if old is None:
        return pattern.with_piece(piece._replace(marks=piece.marks + (made,)))
    made = made._replace(key=old.key)
    if old.size == outline.size:
        instead = [made]
    else:
        instead = own_notches(piece, old, {outline.size: made})
        if len(instead) == 1 and instead[0] is old:  # it did not move: what else it is holds for all sizes
            instead = [made._replace(size=old.size)]
    return pattern.with_piece(with_instead(piece, old, instead))


def taken_off(pattern: Pattern, name: str, size: str, old: Mark) -> Pattern:
    """The pattern without a notch of one size; one that served all sizes stays in the others."""
    piece = pattern.piece(name)
    outline = piece.outline(size)
    instead = [] if old.size == outline.size else own_notches(piece, old, {outline.size: None})
    return pattern.with_piece(with_instead(piece, old, instead))


def with_instead(piece: Piece, old: Mark, instead: Sequence[Mark]) -> Piece:
    """The piece with one mark replaced by others, or by none."""
    marks: List[Mark] = []
    for mark in piece.marks:
        marks += list(instead) if mark is old else [mark]
    return piece._replace(marks=tuple(marks))


def notches_of(piece: Piece, size: str, edge: str = "", names: Sequence[str] = ()) -> List[Mark]:
    """The notches of one size, perhaps of one edge or of some names only; not those at dart legs."""
    return [
        mark
        for mark in piece.marks_for(size)
        if mark.kind == NOTCH
        and mark.on is not None
        and not at_leg(mark, piece.darts)
        and (not edge or mark.on.edge == edge)
        and (not names or mark.name in names)
    ]


def free_numbers(pattern: Pattern, count: int) -> List[str]:
    """The least numbers that no notch of the pattern is called."""
    used = {mark.name for piece in pattern.pieces for mark in piece.marks if mark.kind == NOTCH}
    return [str(number) for number in range(1, len(used) + count + 1) if str(number) not in used][:count]


def standing_as(pattern: Pattern, name: str, size: str, mark: Mark) -> Optional[Mark]:
    """The mark as it is by now: the same, or a size's own where it served all sizes."""
    marks = pattern.piece(name).marks_for(size)
    same = next((one for one in marks if one is mark), None)
    return same or next(
        (one for one in marks if one.kind == NOTCH and (one.name, one.on) == (mark.name, mark.on)), None
    )
