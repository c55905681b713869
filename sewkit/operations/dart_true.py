"""Darts trued: legs equally long, a cap over the mouth, notches and a drill mark."""

from typing import Dict, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.checks.assumed_centre import assumed_centre
from sewkit.checks.cuts import PRESSED, cap_problems, recut_findings
from sewkit.checks.darts import UNEQUAL, cut_in_findings, dart_changes
from sewkit.checks.drawn_legs import legs_taken
from sewkit.checks.edge_lengths import edge_report
from sewkit.checks.edge_shapes import closed_findings
from sewkit.checks.seams import guard
from sewkit.checks.told_by_size import size_words, told_by_size
from sewkit.operation import Choice, Flag, Length, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedOutline
from sewkit.pattern.chosen_darts import as_found, contours_for, darts_here, for_change, may_be_a_neck
from sewkit.pattern.contour_trued import trued_contour
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.dart_cap import Cap, caps, with_cap_marks
from sewkit.pattern.dart_legs import EQUAL, equal
from sewkit.pattern.dart_marks import BEFORE_POINT, finished, with_dart_marks
from sewkit.pattern.drawn_lines import subjects
from sewkit.pattern.mark import NOTCH
from sewkit.pattern.notch_places import moved
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import DOWN, UP, Piece
from sewkit.pattern.pressing import default_side, tells_ends_apart
from sewkit.pattern.recut import knows_widths, recut, shown
from sewkit.report import Change, Finding, Level, Report, Table

# Legs that differed by less (mm) are not told: 0.0 mm in words.
_TOLD = 0.1


class _Asked(NamedTuple):
    press: str
    notches: bool
    drill: float


class _Trued(NamedTuple):
    """One dart of one size: by how much its first leg was longer, and how long both are now (mm)."""

    piece: str
    size: str
    name: str
    difference: float
    length: float


@operation(
    title="True darts",
    menu="Darts",
    select="Select pieces, or an outline and the two legs drawn on it; nothing means all named pieces.",
    example="sewkit dart-true samples/bodice/master.svg -o trued.svg --piece front",
)
def dart_true(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    dart: Text("Dart", "its name or number; empty: all") = "",
    press: Choice(
        "Pressed",
        "",
        {
            "auto": "As kept; else upright ones to the centre, others down",
            "centre": "To the centre",
            "side": "To the side",
            "up": "Up",
            "down": "Down",
        },
    ) = "auto",
    notches: Flag("A notch at the end of each leg", "square to the edge") = True,
    drill: Length("Drill mark before the point", "so far inside the dart; 0: none", 0, 100) = BEFORE_POINT,
) -> Outcome:
    """True darts for the way they are pressed: equal legs, and a cap over the mouth.

    The cap is what stands out over the mouth when the dart lies flat, so that its folded intake
    is caught in the seam. It is found as on paper: the intake is folded to the side to which it
    will be pressed, and the edge there goes on over it. Both halves of a cap are mirror images;
    the legs stay as they are. So does the edge: where it bends at the closed dart, as a waist
    drawn straight across its darts does, you are told; draw it softly and true the dart again.

    Legs of different length become equal first: both ends of the mouth slide along their own leg
    to the mean, and the end of each edge beside it is drawn anew. You are told by how much, and
    asked to look where it was more than 2 mm.

    The piece keeps to which side each dart is pressed. From then on its cut line runs round the
    caps, and both follow when the edge, the dart or the allowance changes. A line that nobody
    named keeps nothing: its cap is drawn as a line of its own. Where the edge beside a dart ends
    before it has covered the intake, at a fold or at another dart, no cap is drawn, and you are told.

    A dart with two points has no mouth; its legs become equal on both sides of where it is widest.
    """
    asked = _Asked(press, notches, drill)
    contours = contours_for(pattern, chosen, dart)
    words = _meant(pattern, chosen, dart, bool(contours))
    cut_in, after, trued, findings = _all_darts(pattern, words, asked)
    by_name: Dict[Tuple[str, str], List[Tuple[str, float]]] = {}
    for piece, outline, drawn in contours:
        made, difference = trued_contour(after.piece(piece.name), outline.size, drawn)
        after = after.with_piece(made)
        by_name.setdefault((piece.name, drawn.name), []).append((outline.size, difference))
        findings += _unequal(shown(piece, outline.size), drawn.name, difference)
    lines = [
        _contour_sentence(after.piece(piece), [size for size, _ in some], name, [far for _, far in some])
        for (piece, name), some in by_name.items()
    ]
    by_piece: Dict[str, List[str]] = {}
    for one in trued:
        by_piece.setdefault(one.piece, []).append(one.size)
    capped: Dict[Tuple[str, str, str], Cap] = {}
    for name, sizes in by_piece.items():
        findings += cut_in_findings(pattern.piece(name), cut_in.piece(name))
        piece, told = _recut(cut_in.piece(name), after.piece(name), sizes, trued, capped)
        findings += told_by_size(told, piece)
        after = after.with_piece(piece)
    report = _told(after, trued, capped, lines, findings)
    sizes = list(dict.fromkeys(one.size for one in trued))
    names = list(by_piece)
    report = report.then(Report("", (), dart_changes(cut_in, after, names)))
    report = report.then(edge_report(cut_in, after, sizes, names))
    report = report.then(guard(pattern, after, _pairs(sizes), names))
    return legs_taken(pattern, chosen, _bare_again(after, names), report)


def _pairs(sizes: List[str]) -> List[Tuple[str, str]]:
    return [(size, size) for size in sizes]


def _meant(pattern: Pattern, chosen: Chosen, words: str, contours: bool) -> List[Tuple[Chosen, str]]:
    """Which darts to ask for, one after the other; "" for what was picked or drawn."""
    if words.strip():
        return [] if contours else [(chosen, words)]
    found = subjects(pattern, chosen._replace(nodes=(), marks=()))
    if found.lines or chosen.nodes or chosen.marks:
        return [] if contours else [(chosen, "")]
    asked: Dict[Tuple[Chosen, str], None] = {}
    for piece, outline in found.outlines:
        here = darts_here(piece, outline)
        darts = [dart for dart in here.darts if isinstance(dart, Dart) or not dart.contour]
        names = [dart.name for dart in darts]
        sizes = [o.size for p, o in found.outlines if p.name == piece.name]
        mine = Chosen(tuple(PickedOutline(piece.name, size) for size in sizes))
        for number, name in enumerate(names):
            if may_be_a_neck(here, darts[number]):
                continue
            # Of two darts called alike each is meant by its number, and the second gets a name.
            one = (chosen, name) if names.count(name) == 1 else (mine, str(number + 1))
            asked[one] = None
    return list(asked) or ([] if contours else [(chosen, "")])


def _all_darts(
    pattern: Pattern, words: List[Tuple[Chosen, str]], asked: _Asked
) -> Tuple[Pattern, Pattern, List[_Trued], List[Finding]]:
    """The pattern with all drawn darts cut in, and with them trued; and what was done."""
    cut_in, after = pattern, pattern
    trued: List[_Trued] = []
    findings: List[Finding] = []
    for chosen, word in words:
        for piece, _, _ in for_change(cut_in, chosen, word):
            cut_in = cut_in.with_piece(piece)
        found = for_change(after, chosen, word)
        for piece, _, _ in found:
            after = after.with_piece(piece)
        sides: Dict[str, str] = {}
        for piece, outline, dart in found:
            now = after.piece(piece.name)
            side = now.pressed.get(dart.name) or default_side(now, dart)
            if asked.press != "auto" and tells_ends_apart(now, outline, dart, asked.press):
                side = asked.press
            elif asked.press != "auto" and piece.name not in sides:
                findings.append(_not_so(piece.name, dart, asked.press, side))
            if piece.name not in sides:
                findings += _pressed_so(now, outline, dart, asked.press, side)
            side = sides.setdefault(piece.name, side)
            now, one = _one(now, outline.size, dart.name, side, asked)
            after = after.with_piece(now)
            trued.append(one)
            findings += _unequal(shown(piece, outline.size), dart.name, one.difference)
    return cut_in, after, trued, findings


def _one(piece: Piece, size: str, name: str, side: str, asked: _Asked) -> Tuple[Piece, _Trued]:
    """One dart of one size trued, but for what follows from the outline."""
    outline = piece.outline(size)
    made = equal(outline, dart_named(piece, outline, name))
    marks = []
    for mark in piece.marks:
        mine = mark.kind == NOTCH and mark.size in (outline.size, "") and made.gains
        marks.append((moved(mark, outline, made.outline, made.gains) if mine else mark) or mark)
    pressed = {**piece.pressed, name: side}
    piece = piece._replace(marks=tuple(marks), pressed=pressed).with_outline(made.outline)
    piece = finished(piece, outline.size, name, asked.notches, asked.drill)
    return piece, _Trued(piece.name, outline.size, name, made.difference, made.length)


def _recut(
    old: Piece, piece: Piece, sizes: List[str], trued: List[_Trued], capped: Dict[Tuple[str, str, str], Cap]
) -> Tuple[Piece, List[Finding]]:
    """The piece with its cut lines and caps; the caps go into ``capped`` by piece, size and dart.

    ``old``: before its darts were trued.  A cut line of which no widths are kept stays where its
    seam line is the very same.
    """
    fits = [size for size in sizes if not knows_widths(piece) and _same_line(old, piece, size)]
    cut = recut(piece, [size for size in sizes if size not in fits])
    piece = cut.piece
    for size in fits:
        piece = with_dart_marks(with_cap_marks(piece, size), size)
    findings = list(recut_findings(cut))
    mine = {(one.size, one.name) for one in trued if one.piece == piece.name}
    for size in dict.fromkeys(sizes):
        outline = piece.outline(size)
        for cap in caps(piece, outline).values():
            if (size, cap.dart) in mine:
                capped[piece.name, size, cap.dart] = cap
        if size not in cut.renewed:
            findings += cap_problems(outline, piece, shown(piece, size))
        findings += closed_findings(outline, piece.darts, shown(piece, size))
    return piece, findings


def _same_line(old: Piece, new: Piece, size: str) -> bool:
    was, now = old.outline(size).path.curves, new.outline(size).path.curves
    return was.shape == now.shape and bool(np.abs(was - now).max() <= EQUAL)


def _bare_again(pattern: Pattern, names: List[str]) -> Pattern:
    for name in names:
        piece = pattern.piece(name)
        pattern = pattern.with_piece(piece if piece.named else as_found(piece._replace(pressed={})))
    return pattern


# -- what is told -----------------------------------------------------------------------


def _unequal(where: str, name: str, difference: float) -> List[Finding]:
    if abs(difference) <= UNEQUAL:
        return []
    text = "{}: the legs of the dart '{}' differed by {:.1f} mm; look whether the right one was changed."
    return [Finding("legs", Level.WARN, text.format(where, name, abs(difference)), where)]


def _not_so(piece: str, dart: Dart, asked: str, side: str) -> Finding:
    alike = "at one height" if asked in (UP, DOWN) else "as far from the centre"
    text = "{}: both ends of the mouth of the dart '{}' lie {}, so it is not pressed {} but {}."
    words = text.format(piece, dart.name, alike, PRESSED[asked], PRESSED[side])
    return Finding("pressed", Level.WARN, words, piece)


def _pressed_so(piece: Piece, outline: Outline, dart: Dart, asked: str, side: str) -> List[Finding]:
    """That a dart is pressed otherwise than such darts are, and what was taken for the centre."""
    found = []
    usual = default_side(piece, dart)
    if asked == side and (side in (UP, DOWN)) != (usual in (UP, DOWN)):
        text = "{}: the dart '{}' is pressed {}, as was asked; as it lies it is usually pressed {}."
        words = text.format(piece.name, dart.name, PRESSED[side], PRESSED[usual])
        found.append(Finding("pressed", Level.INFO, words, piece.name))
    centre = "" if side in (UP, DOWN) else assumed_centre(piece, outline)
    if centre:
        text = "{}: nothing tells where the centre is, so {} is taken for it."
        found.append(Finding("centre", Level.INFO, text.format(piece.name, centre), piece.name))
    return found


def _told(
    after: Pattern,
    trued: List[_Trued],
    capped: Dict[Tuple[str, str, str], Cap],
    lines: List[str],
    findings: List[Finding],
) -> Report:
    sentences, changes, rows = [], [], []
    shown_darts: Dict[Tuple[str, str], None] = {}
    for one in trued:
        piece = after.piece(one.piece)
        side = PRESSED[piece.pressed[one.name]]
        cap = capped.get((one.piece, one.size, one.name))
        rows.append(_row(one, side, cap))
        if (one.piece, one.name) in shown_darts:
            continue
        shown_darts[one.piece, one.name] = None
        same = [other for other in trued if (other.piece, other.name) == (one.piece, one.name)]
        found = [capped[key] for key in ((o.piece, o.size, o.name) for o in same) if key in capped]
        sentences.append(_sentence(same, piece, side, found))
        if cap is not None:
            spot = (float(cap.peak[0]), float(cap.peak[1]))
            changes.append(Change(one.piece, "{} cap {:.1f} mm".format(one.name, cap.stand_out), spot))
    columns = ("piece", "size", "dart", "pressed", "legs mm", "ends moved mm", "cap mm")
    table = Table("Trued darts", columns, tuple(rows))
    summary = " ".join(sentences + lines)
    return Report(summary, tuple(findings), (table,) if rows else (), tuple(changes))


def _row(one: _Trued, side: str, cap: Optional[Cap]) -> Tuple[str, ...]:
    slid = 0.0 if abs(one.difference) <= EQUAL else one.difference / 2.0
    ends = "{:+.2f} / {:+.2f}".format(0.0 - slid, slid) if slid else "-"
    beyond = "-" if cap is None else "{:+.2f}".format(cap.stand_out)
    return (one.piece, one.size, one.name, side, "{:.2f}".format(one.length), ends, beyond)


def _sentence(some: List[_Trued], piece: Piece, side: str, found: List[Cap]) -> str:
    """One dart in all its sizes; ``found``: its caps."""
    text = "'{}' of {} is pressed {}".format(some[0].name, _sized(piece, [one.size for one in some]), side)
    if found:
        way = "stands out by" if max(cap.stand_out for cap in found) >= 0 else "dips by"
        sign = 1.0 if way[0] == "s" else -1.0
        text += ", its cap {} {} mm".format(way, _from_to([sign * cap.stand_out for cap in found]))
    differed = [abs(one.difference) for one in some if abs(one.difference) >= _TOLD]
    if differed:
        text += "; its legs differed by {} mm, each end of its mouth moved by half of that".format(
            _from_to(differed)
        )
    return text + "."


def _contour_sentence(piece: Piece, sizes: List[str], name: str, differences: List[float]) -> str:
    where = "'{}' of {}".format(name, _sized(piece, sizes))
    differed = max(differences)
    if differed <= EQUAL:
        return "{} has equal legs.".format(where)
    return "{}: its legs differed by up to {:.1f} mm and are equal now.".format(where, differed)


def _sized(piece: Piece, sizes: List[str]) -> str:
    known = [size for size in dict.fromkeys(sizes) if size]
    return "{} ({})".format(piece.name, size_words(known, piece.sizes)) if known else piece.name


def _from_to(numbers: List[float]) -> str:
    return " to ".join(dict.fromkeys("{:.1f}".format(number) for number in (min(numbers), max(numbers))))
