"""The notches that meet a notch when the seams of its edge are sewn.

old = partners_of(pattern, "front", "3", mark)
pattern, made, missed = met(pattern, "front", "3", mark, old, dress)
"""

from typing import Callable, List, NamedTuple, Optional, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.notch_put import put, with_instead
from sewkit.pattern.notch_sides import (
    END,
    NEAR,
    START,
    SeamSide,
    along_side,
    matched,
    meeting,
    pairs_of,
    place_along,
    side_of,
    sides_of,
)
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import EdgeRef, Seam

# The same edge begins where its seam ends.
_TURNED = {START: END, END: START}


class Met(NamedTuple):
    """A notch that is another's partner: on which seam, of which piece; as it was before, if it was."""

    seam: Seam
    piece: str
    mark: Mark
    was: Optional[Mark] = None


class Missed(NamedTuple):
    """A seam on which no partner could be put, and why."""

    seam: Seam
    why: str


# A notch in the number and form that it shall have, of which piece, and whether it is new.
Dress = Callable[[Mark, str, bool], Mark]


def partners_of(pattern: Pattern, name: str, size: str, mark: Mark) -> List[Met]:
    """The notches that make a pair with one, on all seams of its edge."""
    found: List[Met] = []
    for seam, sides in _seams_of(pattern, name, mark):
        try:
            here, there = (side_of(pattern, refs, size) for refs in sides)
        except InputError:
            continue
        found += [Met(seam, two.piece, two.mark) for one, two in matched(here, there)[0] if one.mark is mark]
    return found


def is_lone(pattern: Pattern, name: str, size: str, mark: Mark) -> bool:
    """Whether a notch should have a partner on a seam of its edge, and has none on any."""
    lone = False
    for _, sides in _seams_of(pattern, name, mark):
        try:
            here, there = (side_of(pattern, refs, size) for refs in sides)
        except InputError:
            continue
        pairs, alone, _ = matched(here, there)
        if any(one.mark is mark for one, _ in pairs):
            return False
        lone = lone or any(sat.mark is mark for sat in alone)
    return lone


def met(
    pattern: Pattern,
    name: str,
    size: str,
    mark: Mark,
    old: Sequence[Met],
    dress: Dress,
    by: str = NEAR,
) -> Tuple[Pattern, List[Met], List[Missed]]:
    """The pattern with the partners of a notch put, or moved, to where they meet it.

    Args:
        mark: as it stands on the piece ``name`` now.
        old: the partners it had.
        by: from which end of the *edge* a partner has the distance; see ``notch_sides``.
    """
    made: List[Met] = []
    missed: List[Missed] = []
    for seam, sides in _seams_of(pattern, name, mark):
        try:
            here, there = (side_of(pattern, refs, size) for refs in sides)
        except InputError as error:
            missed.append(Missed(seam, str(error)))
            continue
        was = next((one for one in old if one.seam == seam), None) or _same_name(seam, there, mark.name)
        pattern, one = _one(pattern, name, size, mark, seam, here, there, was, dress, by)
        made.append(one)
    return pattern, made, missed


def _one(
    pattern: Pattern,
    name: str,
    size: str,
    mark: Mark,
    seam: Seam,
    here: SeamSide,
    there: SeamSide,
    was: Optional[Met],
    dress: Dress,
    by: str,
) -> Tuple[Pattern, Met]:
    own = next(s for s in here.stretches if (s.ref.piece, s.ref.edge) == (name, mark.on.edge))
    by = _TURNED.get(by, by) if own.ref.turned else by
    pairs = pairs_of(here, there, None if was is None else was.mark)
    piece, on = place_along(there, *meeting(along_side(own, mark.on), here, there, pairs, by))
    if was is not None and was.piece != piece:  # it goes over to the next piece of its side
        pattern = pattern.with_piece(with_instead(pattern.piece(was.piece), was.mark, ()))
        was = None
    before = None if was is None else was.mark
    new = (before or mark._replace(key=""))._replace(on=on, name=mark.name)
    new = dress(new, piece, before is None)
    pattern = put(pattern, piece, size, before, new)
    return pattern, Met(seam, piece, standing(pattern, piece, size, new), before)


def standing(pattern: Pattern, name: str, size: str, mark: Mark) -> Mark:
    """A notch that was just put, as it stands on its piece."""
    return next(
        one
        for one in pattern.piece(name).marks_for(pattern.piece(name).outline(size).size)
        if one.kind == NOTCH and one.name == mark.name and one.on == mark.on
    )


def _same_name(seam: Seam, side: SeamSide, name: str) -> Optional[Met]:
    if not name:
        return None
    return next((Met(seam, sat.piece, sat.mark) for sat in side.notches if sat.mark.name == name), None)


def _seams_of(pattern: Pattern, name: str, mark: Mark) -> List[Tuple[Seam, List[Tuple[EdgeRef, ...]]]]:
    if mark.on is None:
        return []
    found = [(seam, sides_of(seam, name, mark.on.edge)) for seam in pattern.seams]
    return [(seam, sides) for seam, sides in found if sides]
