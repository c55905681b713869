"""A dart made wider, narrower, longer or shorter, or its point backed off."""

from typing import Dict, List, NamedTuple, Tuple

import numpy as np

from sewkit.checks.dart_change_words import (
    changed_outcome,
    contours_outcome,
    piece_words,
    seam_words,
)
from sewkit.checks.drawn_legs import legs_taken
from sewkit.errors import InputError
from sewkit.operation import Choice, Length, Number, Outcome, Text, operation
from sewkit.pattern.changed_dart import ChangedDart
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.chosen_darts import contours_for, for_change
from sewkit.pattern.contour_dart import halves, one_each, reshaped
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.dart_pivot import pivot_for
from sewkit.pattern.dart_width import LEAST, angle_for, backed, longer, moved_back, wider
from sewkit.pattern.drawn_dart import DrawnDart
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.upright import down_of
from sewkit.report import Change

_BOTH, _UPPER, _LOWER = "both", "upper", "lower"


class _Asked(NamedTuple):
    what: str
    by: bool
    amount: float
    degrees: float
    pivot: str
    point: str


@operation(
    title="Change a dart",
    menu="Darts",
    select="Select the piece, or an outline and the two legs drawn on it, or three nodes of a dart.",
    example=(
        "sewkit dart-change samples/bodice/master.svg -o wider.svg --piece front "
        "--dart waist-dart --what width --given by --amount -10mm"
    ),
)
def dart_change(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    dart: Text("Dart", "its name or number; empty where there is only one") = "",
    what: Choice(
        "What changes",
        "",
        {
            "width": "Its width at the edge; the legs keep their length",
            "angle": "Its angle, in degrees",
            "length": "Its length, from the middle of the mouth to the point",
            "point": "Where its point lies: backed off, or brought up",
        },
    ) = "width",
    given: Choice(
        "What is given",
        "",
        {"to": "What it shall be", "by": "How much is added; below nothing it is taken off"},
    ) = "to",
    amount: Length(
        "Amount", "of the width or length; how far the point lies from the apex", -500, 500
    ) = 25.0,
    degrees: Number("Angle", "degrees, where the angle changes", -90, 90) = 10.0,
    pivot: Text("Apex", "name of the mark; empty: the apex beyond the point, or the point itself") = "",
    point: Choice(
        "Of a dart with two points",
        "",
        {_BOTH: "change both ends", _UPPER: "change the upper end", _LOWER: "change the lower end"},
    ) = _BOTH,
) -> Outcome:
    """Make a dart wider or narrower, longer or shorter, or back its point off.

    Wider or narrower, the point stays, the legs keep their length and turn by the same angle,
    and the ends of the edge are drawn to them: a straight edge stays straight, a curved one
    keeps its direction at the far end. The seam becomes longer or shorter as sewn, which is
    told, with the seams that no longer fit. To fit a waist give each dart its part: the waist
    change divided by the number of darts.

    Longer or shorter, the mouth stays and the point goes along the line half way between the
    legs; the seam stays as it is. The point backed off lies so far from the apex, as a rule 20
    to 25 mm, up to 60 for a full bust; with "how much is added" it goes so far from where it is
    towards the mouth. Curved legs keep their shape.

    A dart with two points keeps its place: its width changes on both sides alike, its length at
    both ends, or at one of them. Its length is then counted from where it is widest.

    A dart cannot be narrowed to nothing: turn it into ease instead.
    """
    asked = _Asked(what, given == "by", amount, degrees, pivot, point)
    try:
        found = for_change(pattern, chosen, dart)
    except InputError as error:
        if error.code != "contour":
            raise
        return _contours(pattern, chosen, dart, asked)
    cut_in: Dict[str, Piece] = {}
    done: Dict[str, Dict[str, ChangedDart]] = {}
    words: List[str] = []
    changes: List[Change] = []
    for piece, outline, one in found:
        cut_in[piece.name] = piece
        made = _changed(piece, outline, one, asked)
        if piece.name not in done:
            told, label = _sentence(piece, one, made, asked)
            words.append(told)
            changes.append(label)
        done.setdefault(piece.name, {})[outline.size] = made
    after, report = changed_outcome(pattern, cut_in, done, words, [], changes)
    return legs_taken(pattern, chosen, after, report)


def _changed(piece: Piece, outline: Outline, dart: Dart, asked: _Asked) -> ChangedDart:
    if asked.what == "angle":
        return wider(piece, outline, dart, asked.degrees + (dart.angle if asked.by else 0.0))
    if asked.what == "width":
        width = asked.amount + (dart.intake if asked.by else 0.0)
        return wider(piece, outline, dart, angle_for(dart, width))
    if asked.what == "length":
        length = asked.amount + (dart.depth if asked.by else 0.0)
        return longer(piece, outline, dart, _positive(dart.name, dart.depth, length))
    if asked.by:
        return moved_back(piece, outline, dart, asked.amount)
    if asked.amount < 0:
        raise InputError(
            "A dart ends short of its apex and never past it.", "Give an amount above nothing.", code="value"
        )
    return backed(piece, outline, dart, pivot_for(piece, outline.size, dart, asked.pivot), asked.amount)


def _positive(name: str, now: float, length: float) -> float:
    if length > 0:
        return length
    raise InputError(
        "The dart '{}' is {:.1f} mm long and would vanish.".format(name, now),
        "Turn it into ease instead, or take less off.",
        code="vanish",
    )


def _sentence(piece: Piece, old: Dart, made: ChangedDart, asked: _Asked) -> Tuple[str, Change]:
    """What was done to one piece, and the words for the picture."""
    new = dart_named(piece.with_outline(made.outline), made.outline, made.name)
    if asked.what in ("width", "angle"):
        label = "{} {:.1f} mm, {:.1f} degrees".format(new.name, new.intake, new.angle)
        told = "The dart '{}' of {} is {:.1f} mm and {:.1f} degrees wide now, {:.1f} mm and {:.1f} before"
        told = told.format(
            new.name, piece_words(piece, made.outline.size), new.intake, new.angle, old.intake, old.angle
        )
    else:
        label = "{} {:.1f} mm long".format(new.name, new.depth)
        told = "The dart '{}' of {} is {:.1f} mm long now, {:.1f} before".format(
            new.name, piece_words(piece, made.outline.size), new.depth, old.depth
        )
    seams = seam_words(made)
    x, y = new.middle if asked.what in ("width", "angle") else new.point
    return "{}{}.".format(told, "; " + seams if seams else ""), Change(
        piece.name, label, (float(x), float(y))
    )


# -- darts with two points ----------------------------------------------------------------


def _contours(pattern: Pattern, chosen: Chosen, words: str, asked: _Asked) -> Outcome:
    made: Dict[str, Piece] = {}
    sizes: Dict[str, List[str]] = {}
    told: List[str] = []
    changes: List[Change] = []
    for piece, outline, drawn in one_each(contours_for(pattern, chosen, words)):
        now = made.get(piece.name, piece)
        if any(mark in now.marks for mark in drawn.marks):  # else it was changed with another size
            wide, long = _shares(pattern, piece, outline, drawn, asked)
            now = reshaped(now, outline, drawn, wide, long)
        if piece.name not in made:
            text = _contour_words(drawn, wide, long)
            told.append(
                "The dart '{}' of {} is {}.".format(drawn.name, piece_words(piece, outline.size), text)
            )
            changes.append(Change(piece.name, "{} {}".format(drawn.name, text), tuple(drawn.points[0])))
        made[piece.name] = now
        sizes.setdefault(piece.name, []).append(outline.size)
    return Outcome(*contours_outcome(pattern, made, sizes, told, [], changes))


def _shares(
    pattern: Pattern, piece: Piece, outline: Outline, drawn: DrawnDart, asked: _Asked
) -> Tuple[float, Tuple[float, float]]:
    """How many times as wide, and as long at the first and the second point."""
    if asked.what == "angle":
        raise InputError(
            "The dart '{}' has two points, so its angle alone says nothing.".format(drawn.name),
            "Give its width or its length.",
            code="contour",
        )
    if asked.what == "width":
        width = asked.amount + (drawn.intake if asked.by else 0.0)
        if width < LEAST:
            raise InputError(
                "The dart '{}' is {:.1f} mm wide and would vanish.".format(drawn.name, drawn.intake),
                "Leave it out of the drawing instead, or leave at least {:g} mm.".format(LEAST),
                code="vanish",
            )
        return width / drawn.intake, (1.0, 1.0)
    down = np.array(down_of(pattern, piece).of(piece, outline.size))
    first_is_upper = bool(drawn.points[0] @ down < drawn.points[1] @ down)
    meant = {_BOTH: (True, True), _UPPER: (first_is_upper, not first_is_upper)}
    meant[_LOWER] = (not first_is_upper, first_is_upper)
    long = []
    for half, changes in zip(halves(drawn), meant[asked.point]):
        if not changes:
            long.append(1.0)
        elif asked.what == "point":
            long.append(_positive(drawn.name, half, half - asked.amount) / half)
        else:
            wanted = _positive(drawn.name, half, asked.amount + (half if asked.by else 0.0))
            long.append(wanted / half)
    return 1.0, (long[0], long[1])


def _contour_words(drawn: DrawnDart, wide: float, long: Tuple[float, float]) -> str:
    if wide != 1.0:
        return "{:.1f} mm wide now, {:.1f} before".format(drawn.intake * wide, drawn.intake)
    before = halves(drawn)
    now = sum(half * share for half, share in zip(before, long))
    return "{:.1f} mm long now, {:.1f} before".format(now, sum(before))
