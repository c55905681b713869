"""A dart moved parallel, with its angle and its direction."""

from typing import Dict, List, NamedTuple, Tuple

import numpy as np

from sewkit.checks.assumed_centre import assumed_centre
from sewkit.checks.dart_change_words import (
    changed_outcome,
    contours_outcome,
    piece_words,
    seam_words,
)
from sewkit.checks.drawn_legs import legs_taken
from sewkit.errors import InputError
from sewkit.operation import Length, Outcome, Text, operation
from sewkit.pattern.changed_dart import ChangedDart
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.chosen_darts import contours_for, for_change
from sewkit.pattern.contour_dart import one_each, shifted
from sewkit.pattern.dart import dart_named
from sewkit.pattern.dart_moved import moved_dart
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.upright import Down, down_of
from sewkit.pattern.way_out import out_of
from sewkit.report import Change, Finding, Level


class _Way(NamedTuple):
    """How far down along the grain and out across it (mm)."""

    down: float
    out: float

    @property
    def words(self) -> str:
        """The same as one would say it."""
        told = []
        if self.down:
            told.append("{:.1f} mm {}".format(abs(self.down), "down" if self.down > 0 else "up"))
        if self.out:
            told.append("{:.1f} mm {}".format(abs(self.out), "outwards" if self.out > 0 else "inwards"))
        return " and ".join(told)

    def vector(self, piece: Piece, outline: Outline, down: Down) -> np.ndarray:
        """The same on one size (2,), mm."""
        axis = down.of(piece, outline.size)
        return self.down * np.array(axis) + self.out * out_of(piece, outline, axis)


@operation(
    title="Move a dart",
    menu="Darts",
    select="Select the piece, or an outline and the two legs drawn on it, or three nodes of a dart.",
    example=(
        "sewkit dart-move samples/bodice/master.svg -o lower.svg --piece front --dart bust-dart --down 20mm"
    ),
)
def dart_move(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    dart: Text("Dart", "its name or number; empty where there is only one") = "",
    down: Length("Down", "along the grain; below nothing up", -500, 500) = 20.0,
    out: Length("Outwards", "across the grain, away from the centre; below nothing inwards", -500, 500) = 0.0,
) -> Outcome:
    """Move a dart parallel, along or across the grain: its angle and its direction stay.

    The legs are drawn on, or cut back, to where they meet the edge. Where the dart was the edge
    is restored: a straight edge becomes one line again, a curve runs on. Where it is now, the
    edge meets the closed dart as it did before, so a side seam that is straight with its dart
    closed stays straight. The point is no longer at its apex: move the apex as well, or turn the
    dart about it instead, if the bust stays where it is.

    The seam's length as sewn can change a little; it is told, and the seams sewn to it are
    walked again. On to another edge the dart goes only if both its legs reach it. Drill marks
    and notches of the dart go along. A dart with two points moves as it is.

    Down is to the lower end of the piece as it is worn, so far as names such as chest, waist and
    hem tell, else down the sheet. Outwards is away from the fold or the edge at the centre;
    without one it is to the right.
    """
    way = _Way(down, out)
    if not way.words:
        raise InputError("0 mm moves nothing.", "Give an amount down or outwards.", code="value")
    try:
        found = for_change(pattern, chosen, dart)
    except InputError as error:
        if error.code != "contour":
            raise
        return _contours(pattern, chosen, dart, way)
    cut_in: Dict[str, Piece] = {}
    done: Dict[str, Dict[str, ChangedDart]] = {}
    words: List[str] = []
    changes: List[Change] = []
    told: List[Finding] = []
    for piece, outline, one in found:
        cut_in[piece.name] = piece
        known = down_of(pattern, piece)
        made = moved_dart(piece, outline, one, way.vector(piece, outline, known))
        if piece.name not in done:
            sentence, label = _sentence(piece, made, way)
            words.append(sentence)
            changes.append(label)
            told += _which_way(piece, outline, known, way)
        done.setdefault(piece.name, {})[outline.size] = made
    after, report = changed_outcome(pattern, cut_in, done, words, told, changes)
    return legs_taken(pattern, chosen, after, report)


def _sentence(piece: Piece, made: ChangedDart, way: _Way) -> Tuple[str, Change]:
    """What was done to one piece, and the words for the picture."""
    before, after = (
        dart_named(piece.with_outline(outline), outline, made.name) for outline in (made.old, made.outline)
    )
    told = "The dart '{}' of {} was moved {}; it is {:.1f} mm wide now, {:.1f} before".format(
        made.name, piece_words(piece, made.outline.size), way.words, after.intake, before.intake
    )
    edges = [
        outline.edges[dart.edges[0] - 1].name for outline, dart in ((made.old, before), (made.outline, after))
    ]
    if edges[0] != edges[1] and piece.named:
        told += "; it ends on {} and no longer on {}".format(
            quoted(made.outline, edges[1]), quoted(made.old, edges[0])
        )
    seams = seam_words(made) if piece.named else ""
    spot = float(after.point[0]), float(after.point[1])
    label = Change(piece.name, "{} {}".format(made.name, way.words), spot)
    return "{}{}.".format(told, "; " + seams if seams else ""), label


def _which_way(piece: Piece, outline: Outline, down: Down, way: _Way) -> List[Finding]:
    """That nothing tells which end of a piece is its lower one, or where its centre is."""
    found = []
    if way.down and not down.known:
        text = "{}: nothing tells which end is up, so down is down the sheet.".format(piece.name)
        found.append(Finding("upright", Level.INFO, text, piece.name))
    centre = assumed_centre(piece, outline) if way.out else ""
    if centre:
        x, y = out_of(piece, outline, down.of(piece, outline.size))
        to = ("right" if x > 0 else "left") if abs(x) >= abs(y) else ("bottom" if y > 0 else "top")
        text = "{}: nothing tells where the centre is, so {} is taken for it, and outwards is to the {}."
        found.append(Finding("centre", Level.INFO, text.format(piece.name, centre, to), piece.name))
    return found


def _contours(pattern: Pattern, chosen: Chosen, words: str, way: _Way) -> Outcome:
    """Darts with two points, moved whole."""
    made: Dict[str, Piece] = {}
    sizes: Dict[str, List[str]] = {}
    told: List[str] = []
    changes: List[Change] = []
    findings: List[Finding] = []
    for piece, outline, drawn in one_each(contours_for(pattern, chosen, words)):
        now = made.get(piece.name, piece)
        down = down_of(pattern, piece)
        vector = way.vector(piece, outline, down)
        if any(mark in now.marks for mark in drawn.marks):  # else it moved with another size
            now = shifted(now, outline, drawn, vector)
        if piece.name not in made:
            told.append(
                "The dart '{}' of {} was moved {}.".format(
                    drawn.name, piece_words(piece, outline.size), way.words
                )
            )
            x, y = drawn.points[0] + vector
            changes.append(Change(piece.name, "{} {}".format(drawn.name, way.words), (float(x), float(y))))
            findings += _which_way(piece, outline, down, way)
        made[piece.name] = now
        sizes.setdefault(piece.name, []).append(outline.size)
    return Outcome(*contours_outcome(pattern, made, sizes, told, findings, changes))
