"""Lengthen or shorten at a line: everything beyond it moves along the grain."""

from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.checks.cuts import recut_findings
from sewkit.checks.edge_lengths import edge_report, grain_findings, shape_findings
from sewkit.checks.length_darts import dart_findings, drawn_dart_findings
from sewkit.checks.length_words import (
    how_much,
    loose_findings,
    plan_findings,
    summary,
    unused_findings,
)
from sewkit.checks.seams import guard
from sewkit.checks.told_by_size import told_by_size
from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.path import Path, point
from sewkit.operation import Choice, Flag, Length, LengthsByName, Outcome, Places, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.drawn_lines import subjects
from sewkit.pattern.faint import faint_lines
from sewkit.pattern.length_plan import Ask, ratio_of, split_words
from sewkit.pattern.length_plans import Plan, Plans, drawn_plans, named_plans, too_tight
from sewkit.pattern.lengthening import lengthened
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import recut
from sewkit.report import Change, Finding, Level, Report

# Two spots nearer than this are the same to somebody who looks at a picture (mm).
_SAME_SPOT = 1.0

# How much longer where nothing is said (mm).
_USUAL = 20.0

# An edge that changed by less than this kept its length (mm).
_UNCHANGED = 0.05


@operation(
    title="Lengthen or shorten",
    menu="Length and room",
    select=(
        "Select outlines and then a line drawn across them; "
        "of named pieces nothing, or those that are to change."
    ),
    example=(
        "sewkit lengthen samples/waistcoat/master.svg -o longer.svg --size 4 --amount 20mm --at chest/waist"
    ),
)
def lengthen(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    amount: Length(
        "Longer by", "along the grain, in all; below nothing makes it shorter", -1000, 1000
    ) = _USUAL,
    at: Places(
        "At",
        "a lengthen line or level, such as waist; chest/waist is half way between two, waist+40mm is beyond "
        "one; several share the amount; empty: the selected line, or the piece's own lengthen line",
    ) = "",
    each: LengthsByName(
        "Amounts at single lines",
        "such as chest/waist=30 hip=15; lines without one share the rest",
        -1000,
        1000,
    ) = {},
    share: Choice(
        "Several lines share",
        "",
        {"bands": "by the length that each line stands for", "even": "evenly"},
    ) = "bands",
    measured: LengthsByName(
        "Length from level to level", "as it shall be, such as chest/waist=215", 0, 3000
    ) = {},
    height: Length("Height of the body", "in proportion to it, with the next; 0 for neither", 0, 2500) = 0.0,
    drafted: Length("Height it was drafted for", "0 for neither", 0, 2500) = 0.0,
    follow: Flag("Take along every piece that crosses the line", "named pieces only") = True,
    buttons: Flag("Space a row of buttons evenly again", "where the line runs through it") = True,
    show: Flag("Draw the cut lines faintly", "to be read; gone with the next change") = False,
) -> Outcome:
    """Lengthen or shorten pieces at a line: everything beyond it moves along the grain.

    As on paper: the piece is cut apart square to the grain and moved apart, or folded
    shorter; then the edges that cross are drawn anew. A straight edge stays one straight
    line. A curve is redrawn between the nearest landmarks, which are its corners and the
    levels that cross it, and keeps its direction there; outside it is exactly as before.
    Grain, fold and centre stay straight. A dart that is crossed keeps its point and its
    angle. Notches and marks move with their part; a row of buttons is spaced evenly again.

    The line is a lengthen line or a level of the piece, or a place between two levels. Do it
    above the waist for a longer bodice, below the hip for a longer skirt; never at the hem if
    the shape there matters. Every named piece that crosses the line is changed as well,
    facing and lining too: at its own line of that name, at the same distance from a level
    that both have, or where an edge sewn to a piece that changes is cut. All of them change or
    none: what is in the way on one stops all. All sizes are changed unless you pick some.
    What is shortened is folded out where the same words would let it in, if nothing lies
    there, so that there and back again is the same piece.

    Several lines share a total, by the length each stands for or evenly; or say the amount
    of each, the lengths from level to level as measured on the body, or the body's height
    and the height the pattern was drafted for. Afterwards every seam is walked again. Where
    the line runs through an armhole, the sleeve cap has to follow.
    """
    ask = Ask(amount, split_words(at), each, share, measured, ratio_of(height, drafted))
    found = subjects(pattern, chosen)
    known = pattern, found, bool(chosen.outlines), ask, follow
    plans = drawn_plans(*known) if found.lines else named_plans(*known, buttons)
    if not plans.plans:
        return Outcome(pattern, Report("Longer by nothing: no piece is changed."))
    alone = ask.each or ask.measured or ask.ratio
    findings = unused_findings(plans, amount, _USUAL, ask.at) if alone else []
    after, changes = pattern, []
    for name, plan in plans.plans.items():
        try:
            piece, told = _one_piece(pattern.piece(name), plan, buttons, show)
        except InputError as error:
            raise _whole(pattern, plans, error, buttons) from None
        after = after.with_piece(piece)
        findings += told
        changes.append(_label(pattern.piece(name), plan))
    done = [name for name in plans.plans if after.piece(name) != pattern.piece(name)]
    return Outcome(after, _report(pattern, after, plans, done, findings, changes))


def _whole(pattern: Pattern, plans: Plans, error: InputError, buttons: bool) -> InputError:
    """The fault of one piece as that of all: what is sewn together changes together, or not at all.

    Of several places without room the narrowest is told, so that the next amount fits everywhere.
    """
    if error.code == "overlap":
        narrow = too_tight(pattern, plans, buttons)
        error = narrow[0].fault() if narrow else error
    count = len(plans.plans)
    if count == 1:
        return error
    all_of_them = "both pieces" if count == 2 else "all {} pieces".format(count)
    what = "{} So {} that would change together are left as they are.".format(error.what, all_of_them)
    return InputError(what, error.cure, error.code)


def _one_piece(piece: Piece, plan: Plan, buttons: bool, show: bool) -> Tuple[Piece, List[Finding]]:
    """One piece in all its sizes that change, and what there is to tell of it."""
    made = lengthened(piece, plan.strips, plan.axis, buttons)
    sizes = list(plan.strips)
    cut = recut(made.piece, sizes)
    told: List[Finding] = []
    if made.buttons:
        text = "{} buttons are spaced evenly again; look where the highest strain is.".format(made.buttons)
        told.append(Finding("buttons", Level.INFO, text, piece.name))
    told += dart_findings(piece, made.darts) + drawn_dart_findings(piece, made.piece, sizes)
    told += recut_findings(cut)
    for size in sizes:
        where = "{} size {}".format(piece.name, size) if size else piece.name
        told += shape_findings(piece.outline(size), cut.piece.outline(size), cut.piece, where)
    told += grain_findings(piece, cut.piece)
    new = cut.piece
    for size in sizes:
        lines = _cut_lines(piece.outline(size), plan, size) if show else []
        new = faint_lines(new, size, lines, [])
    return new, told_by_size(told, piece)


def _cut_lines(outline: Outline, plan: Plan, size: str) -> List[Path]:
    """Where the piece was cut apart: both sides of every strip, right across it."""
    axis = np.array(plan.axis)
    across = np.array([-axis[1], axis[0]])
    lines, moved = [], 0.0
    for strip in plan.strips[size]:
        places = crossings_with_line(outline.path, axis * strip.height, across)
        spots = [point(outline.path.curves[p.curve : p.curve + 1], p.t)[0] for p in places]
        spots.sort(key=lambda spot: float(spot @ across))
        for shift in (moved, moved + strip.amount):
            lines.append(Path.through([spots[0] + axis * shift, spots[-1] + axis * shift]))
        moved += strip.amount
    return lines


def _label(piece: Piece, plan: Plan) -> Change:
    """What the picture says of a piece, at the edge that the sizes have most nearly in common."""
    sizes = list(plan.strips)
    first, last = (_cut_lines(piece.outline(size), plan, size)[0] for size in (sizes[0], sizes[-1]))
    away = [float(np.hypot(*(b - a))) for a, b in ((first.start, last.start), (first.end, last.end))]
    spot = first.end if away[1] < away[0] + _SAME_SPOT else first.start
    text = how_much(plan)
    return Change(piece.name, text, (float(spot[0]), float(spot[1])))


def _report(
    before: Pattern,
    after: Pattern,
    plans: Plans,
    done: Sequence[str],
    findings: Sequence[Finding],
    changes: Sequence[Change],
) -> Report:
    sizes = list(dict.fromkeys(size for name in done for size in plans.plans[name].strips))
    told = plan_findings(before, plans, done) + _once_findings(before, plans, done) + list(findings)
    told += loose_findings(after, _changed(before, after, plans, done))
    # Of a nest no single line is meant; a later step says which one is shown.
    lines = (sizes[0], sizes[0]) if len(sizes) == 1 else ()
    whole = Report(summary(plans, done), tuple(told), changes=tuple(changes), lines=lines)
    edges = edge_report(before, after, sizes, done)
    return whole.then(edges).then(guard(before, after, [(size, size) for size in sizes], done))


def _once_findings(before: Pattern, plans: Plans, done: Sequence[str]) -> List[Finding]:
    """Pieces that are drawn once for all sizes, of which only some changed."""
    if plans.lead not in plans.plans or "" in plans.plans[plans.lead].strips:
        return []
    strips = plans.plans[plans.lead].strips
    totals = {size: sum(strip.amount for strip in some) for size, some in strips.items()}
    alike = max(totals.values()) - min(totals.values()) < _UNCHANGED
    if alike and len(strips) == len(before.piece(plans.lead).outlines):
        return []
    once = [name for name in done if before.piece(name).sizes == ("",)]
    if not once:
        return []
    text = "{} drawn once for all sizes, and changed as size {} of '{}' does: look at the others."
    names = "'{}' is".format(once[0]) if len(once) == 1 else "{} are".format(", ".join(once))
    return [Finding("drawn-once", Level.WARN, text.format(names, next(iter(strips)), plans.lead), once[0])]


def _changed(before: Pattern, after: Pattern, plans: Plans, done: Sequence[str]) -> List[Tuple[str, str]]:
    """Piece and name of every edge that has another length now."""
    found: Dict[Tuple[str, str], None] = {}
    for name in done:
        for size in plans.plans[name].strips:
            old, new = before.piece(name).outline(size), after.piece(name).outline(size)
            for edge in old.names:
                if abs(old.as_sewn(edge) - new.as_sewn(edge)) > _UNCHANGED:
                    found[(name, edge)] = None
    return list(found)
