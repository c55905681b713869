"""Notches checked: each has its partner, is drawn where its place says, and tells its edge from others.

Limits for a pair (mm): 1 is good, 2 is usable, more is not; measured from the common end, that
is from the end of the seam from which the pair agrees better, less the ease that is meant.
"""

from typing import Dict, List, Optional, Sequence, Tuple

from sewkit.checks.notch_on_dart import notch_on_dart_findings
from sewkit.checks.seams import NOTCH_GOOD, NOTCH_USABLE
from sewkit.checks.told_by_size import told_by_size
from sewkit.errors import InputError
from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.notch_apart import TOLD_APART, alike
from sewkit.pattern.notch_drawn import DrawnPlace, drawn_place
from sewkit.pattern.notch_form import SLIT
from sewkit.pattern.notch_sides import Sat, SeamSide, matched, side_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import Seam
from sewkit.pattern.walking import drawn_in
from sewkit.report import Finding, Level

# A notch drawn farther from its place than this (mm) was moved: drawing and reading round far less.
MOVED = 0.2

# A limit itself is still inside; this much is rounding (mm).
_ROUNDING = 1e-6

# Names of seams in one sentence; of more the number is told.
_NAMED = 6

Point = Tuple[float, float]
# Both sides of a seam in a size, by the seam's number.
Sides = Dict[int, Tuple[SeamSide, SeamSide]]


def notch_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    """All that is wrong with notches, piece by piece, then seam by seam.

    Codes: ``notch-gone``, ``notch-off``, ``notch-lone``, ``notch-miss``, ``notch-alike``, ``notch-on-dart``.
    """
    found: List[Finding] = []
    for piece in pattern.pieces:
        for mark in piece.marks:
            found += _place_findings(piece, mark, sizes) if mark.kind == NOTCH else []
        own = [one for one in piece.outlines if one.size in ("", *sizes)]
        at_darts = [f for one in own for f in notch_on_dart_findings(piece, one, piece.marks_for(one.size))]
        found += told_by_size(at_darts, piece)
    by_size = {size: _sides(pattern, size) for size in sizes}
    for size, sides in by_size.items():
        found += _pair_findings(pattern, sides, size, len(sizes) > 1)
    return found + _alike_findings(pattern, sizes)


def _place_findings(piece: Piece, mark: Mark, sizes: Sequence[str]) -> List[Finding]:
    """That a notch has no place, or is drawn beside it; one that serves several sizes must fit one."""
    outlines = [one for one in piece.outlines if mark.size in ("", one.size) and one.size in ("", *sizes)]
    if not outlines:
        return []
    if mark.on is None or all(spot_of(one, mark.on) is None for one in outlines):
        return [_gone(piece, mark)]
    here = [one for one in outlines if spot_of(one, mark.on) is not None]
    places = [drawn_place(one, mark) for one in here]
    if any(place is not None and place.off is not None and place.off <= MOVED for place in places):
        return []
    if places[0] is None:
        return [] if mark.path is None or not len(mark.path) else [_gone(piece, mark)]
    return [_off(piece, mark, places[0])]


def _gone(piece: Piece, mark: Mark) -> Finding:
    point = None if mark.path is None or not len(mark.path) else tuple(map(float, mark.middle))
    name = _said(mark)
    if mark.on is None:
        text = "{}: {} says no place on an edge.".format(_shown(piece.name, mark.size), name)
    else:
        text = "{}: {} has lost its place, {:.1f} mm from the {} of '{}'.".format(
            _shown(piece.name, mark.size),
            name,
            mark.on.distance,
            "end" if mark.on.from_end else "start",
            mark.on.edge,
        )
    cure = "Take the place where it is drawn (sewkit notch --action settle), or remove it."
    return Finding("notch-gone", Level.WARN, text, piece.name, point, cure)


def _off(piece: Piece, mark: Mark, place: DrawnPlace) -> Finding:
    off = place.off or 0.0
    text = "{}: {} is drawn {:.1f} mm from its place on '{}'.".format(
        _shown(piece.name, mark.size), _said(mark), off, mark.on.edge if mark.on else ""
    )
    cure = (
        "Take where it is drawn as its place (sewkit notch --action settle), or draw it anew at its "
        "place (sewkit notch --action change --form {}{}).".format(
            mark.form or SLIT, " --which {}".format(mark.name) if mark.name else ""
        )
    )
    level = Level.WARN if off <= NOTCH_USABLE + _ROUNDING else Level.FAIL
    where = "{}/{}".format(piece.name, mark.on.edge) if mark.on else piece.name
    return Finding("notch-off", level, text, where, _point(place.point), cure)


def _sides(pattern: Pattern, size: str) -> Sides:
    """Both sides of every seam that can be walked in a size; the others the walk tells."""
    found: Sides = {}
    for number, seam in enumerate(pattern.seams):
        try:
            if drawn_in(pattern, seam, size):
                found[number] = side_of(pattern, seam.first, size), side_of(pattern, seam.second, size)
        except InputError:
            continue
    return found


def _pair_findings(pattern: Pattern, by_seam: Sides, size: str, several: bool) -> List[Finding]:
    found: List[Finding] = []
    pairs = {number: matched(*sides) for number, sides in by_seam.items()}
    paired = {id(sat.mark) for two, _, _ in pairs.values() for both in two for sat in both}
    front = "Size {}: ".format(size or "(one)") if several else ""
    for number, (two, lone, others) in pairs.items():
        seam, sides = pattern.seams[number], by_seam[number]
        for mine, theirs in ((lone, sides[1]), (others, sides[0])):
            found += [_lone(pattern, one, theirs, size, front, id(one.mark) in paired) for one in mine]
        for one, other in two:
            miss = _miss(seam, sides, one, other)
            if miss > NOTCH_GOOD + _ROUNDING:
                found.append(_missing(pattern, seam, one, miss, size, front))
    return found


def _lone(pattern: Pattern, sat: Sat, theirs: SeamSide, size: str, front: str, elsewhere: bool) -> Finding:
    edge = sat.mark.on.edge if sat.mark.on else ""
    other = " + ".join(str(one.ref) for one in theirs.stretches)
    text = "{}{}/{}: {} has no partner on {}.".format(front, sat.piece, edge, _said(sat.mark), other)
    cure = "" if elsewhere else "Put its partner (sewkit notch --action match), or remove it."
    level = Level.INFO if elsewhere else Level.WARN
    where = "{}/{}".format(sat.piece, edge)
    return Finding("notch-lone", level, text, where, _spot(pattern, sat, size), cure)


def _missing(pattern: Pattern, seam: Seam, one: Sat, miss: float, size: str, front: str) -> Finding:
    text = "{}{}: {} misses its partner by {:.1f} mm.".format(front, seam.name, _said(one.mark), miss)
    ref = "{}/{}".format(one.piece, one.mark.on.edge if one.mark.on else "")
    cure = "If this one is right, move the other (sewkit notch --action match --edge {}).".format(ref)
    level = Level.WARN if miss <= NOTCH_USABLE + _ROUNDING else Level.FAIL
    return Finding("notch-miss", level, text, str(seam.first[0]), _spot(pattern, one, size), cure)


def _miss(seam: Seam, sides: Tuple[SeamSide, SeamSide], one: Sat, other: Sat) -> float:
    """By how much a pair misses (mm), from the end of the seam from which it is less."""
    least, most = min(0.0, seam.ease[0]), max(0.0, seam.ease[1])
    start = one.along - other.along
    end = (sides[0].length - one.along) - (sides[1].length - other.along)
    return min(abs(apart - min(max(apart, least), most)) for apart in (start, end))


def _alike_findings(pattern: Pattern, sizes: Sequence[str]) -> List[Finding]:
    found = []
    for group in alike(pattern, sizes):
        first = group[0].first[0]
        names = [seam.name for seam in group[:_NAMED]]
        more = " and {} more".format(len(group) - _NAMED) if len(group) > _NAMED else ""
        text = (
            "Of {} seams that look alike the pieces fit each other's partners, and no notch tells by "
            "{:g} mm: {}{}.".format(len(group), TOLD_APART, "; ".join(names), more)
        )
        cure = "Tell them apart (sewkit notch --action apart)."
        size = next((s for s in sizes if drawn_in(pattern, group[0], s)), "")
        found.append(
            Finding("notch-alike", Level.WARN, text, str(first), _edge_point(pattern, group[0], size), cure)
        )
    return found


def _edge_point(pattern: Pattern, seam: Seam, size: str) -> Optional[Point]:
    ref = seam.first[0]
    try:
        return _point(pattern.piece(ref.piece).outline(size).runs(ref.edge)[0].start)
    except (InputError, IndexError):
        return None


def _spot(pattern: Pattern, sat: Sat, size: str) -> Optional[Point]:
    spot = spot_of(pattern.piece(sat.piece).outline(size), sat.mark.on) if sat.mark.on else None
    return None if spot is None else _point(spot.point)


def _point(point: Sequence[float]) -> Point:
    return float(point[0]), float(point[1])


def _said(mark: Mark) -> str:
    return "notch {}".format(mark.name) if mark.name else "a notch without a name"


def _shown(piece: str, size: str) -> str:
    return "{} size {}".format(piece, size) if size else piece
