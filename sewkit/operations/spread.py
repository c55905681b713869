"""Slash and spread: open a piece at one or many slashes, or lap it."""

import math
from typing import Dict, List, Tuple

from sewkit.checks.cuts import recut_findings
from sewkit.checks.edge_lengths import edge_report
from sewkit.checks.edge_shapes import grain_findings, shape_findings
from sewkit.checks.seams import guard
from sewkit.checks.shared_marks import shared_findings
from sewkit.checks.spread_words import bent_findings, edge_findings, labels, lean_findings, sentence
from sewkit.checks.told_by_size import told_by_size
from sewkit.checks.wedge_marks import own_notch_findings
from sewkit.errors import InputError
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.operation import Choice, Count, Flag, Length, Number, Outcome, Places, Text, operation
from sewkit.pattern.carrying import carried
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.drawn_lines import Subjects, subjects
from sewkit.pattern.faint import faint_lines
from sewkit.pattern.mark import NOTCH
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import recut
from sewkit.pattern.slash import lies_over
from sewkit.pattern.spread_places import Where, agreed, slashes_of
from sewkit.pattern.spreading import Asked, Spread, faint, spread_open
from sewkit.report import Finding, Level, Report

# Where only a total is asked, no slash opens wider than this (mm): wider, a curve drawn over
# the gap is no longer the shape of the edge.  Common practice, no source.
_EACH = 30.0
_MOST = 60


@operation(
    title="Slash and spread",
    menu="Length and room",
    select=(
        "Select the pieces, or outlines and the lines drawn over them: each line opens at its "
        "first end and hinges at its last."
    ),
    example=(
        "sewkit spread samples/waistcoat/master.svg -o spread.svg "
        "--piece back --edge hem --hinge side --slashes 1 --amount 10"
    ),
)
def spread(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    edge: Text("Edge that opens", "such as hem; empty: where a drawn line begins") = "",
    hinge: Text("Edge with the hinges", "it keeps its length; parallel: the edge opposite") = "",
    way: Choice(
        "Way",
        "",
        {
            "hinged": "Hinged: opens at the edge, nothing at the hinge",
            "parallel": "Parallel: a strip of equal width, both edges grow",
        },
    ) = "hinged",
    slashes: Count(
        "Slashes", "evenly spread; 0: as many as are drawn or named, or as a total needs", 0, _MOST
    ) = 1,
    ask: Choice(
        "What is given",
        "",
        {
            "slash": "the opening of each slash",
            "total": "what the edge gains in all, as sewn",
            "angle": "the angle of each slash",
        },
    ) = "slash",
    amount: Length("Amount", "of each slash or in total; below 0 laps", -1000, 1000) = 30.0,
    angle: Number("Angle", "degrees, when the angle is asked; below 0 laps", -90, 90) = 0.0,
    at: Places("Slashes open at", "lengths, shares such as 40%, levels or notches on the edge") = "",
    hinge_at: Places("Hinges at", "the same on the edge with the hinges") = "",
    redraw: Choice(
        "Redraw the edge that opens",
        "",
        {
            "soft": "Soft: as it was, with a curve over each gap",
            "straight": "Straight again, if it was straight",
            "whole": "Whole: one soft line from corner to corner",
        },
    ) = "soft",
    show: Flag("Show slashes and hinges", "as faint lines") = False,
) -> Outcome:
    """Open a piece at slashes, or lap it, and draw its edges anew.

    Hinged, each slash runs to a hinge on another edge and opens like a fan: flare at a hem,
    a shoulder made wider or narrower. The edge with the hinges keeps its length exactly.
    Parallel, each slash opens into a strip of equal width and both edges grow: gathers,
    pleats, a broader back. Amounts below nothing lap the slashes instead.

    The edge that opens is drawn as it was, with a curve over each gap; or, as a cutter lays a
    curve, as one line from corner to corner, and then the edge with the hinges has no kink there.

    Ask for the opening of each slash, for its angle, or for what the edge is to gain in all:
    a total comes out exactly as sewn, and the openings are worked out for it; it is for one
    edge, so slashes that open two edges take the opening of each. Slashes lie evenly spread,
    at places you name, or along drawn lines, straight between the two ends of each. An edge
    named beside a drawn line has to be the one where the line begins or ends. Places count
    from the upper end of an edge, or from its left end where it runs across the grain.

    The part with the fold stays, else the one with the grain line, else the larger. Marks
    go with their part, notches keep their distances along the edges, cut lines are drawn
    anew, and every seam is walked again. A dart beside the slashes goes whole with its part;
    a slash runs through none. Pieces sewn to the opened edge are told, not changed.
    """
    asked = _asked(way, ask, amount, angle, redraw)
    found = subjects(pattern, chosen)
    where = _where(Where(edge, hinge, slashes, at, hinge_at), asked, found)
    done: Dict[str, Dict[str, Spread]] = {}
    findings: List[Finding] = []
    for piece, outline, lines in _to_do(found, where):
        made = slashes_of(piece, outline, lines, where)
        if piece.name not in done:  # a line that lies over many sizes is told once
            findings += bent_findings(piece.name, outline, made, lines)
        try:
            done.setdefault(piece.name, {})[outline.size] = spread_open(outline, made, asked, piece)
        except InputError as error:
            raise error.on(piece.name) from None
    findings += _left_out(found, done, where, bool(chosen.outlines))
    return _outcome(pattern, done, asked, findings, show)


# -- what is asked ----------------------------------------------------------------------


def _asked(way: str, ask: str, amount: float, angle: float, redraw: str) -> Asked:
    """What every slash is to do."""
    if ask == "angle" and way == "parallel":
        raise InputError(
            "A parallel slash opens into a strip and does not turn, so it has no angle.",
            "Ask for the opening of each slash or for the total.",
            code="choice",
        )
    wanted = angle if ask == "angle" else amount
    if abs(wanted) < 1e-3:
        raise InputError(
            "The {} is 0, so nothing would change.".format("angle" if ask == "angle" else "amount"),
            "Give one above 0 to open, below 0 to lap.",
            code="value",
        )
    return Asked(way, ask, wanted, redraw == "straight", redraw == "whole")


def _where(where: Where, asked: Asked, found: Subjects) -> Where:
    """The same with a number of slashes: of 0 it is what is drawn, named or needed for a total."""
    known = dict.fromkeys(name for _, outline in found.outlines for name in outline.names)
    agreed(where, len(found.lines), list(known))
    if where.slashes or found.lines or where.places:
        return where
    if asked.ask != "total":
        raise InputError(
            "How many slashes there are is not said, and no line is drawn.",
            "Give the number of slashes, draw them, or ask for the total.",
            code="value",
        )
    return where._replace(slashes=min(max(math.ceil(abs(asked.amount) / _EACH - 1e-9), 1), _MOST))


def _to_do(found: Subjects, where: Where) -> List[Tuple[Piece, Outline, List[Path]]]:
    """The outlines to change, each with the drawn lines that lie over it."""
    if not found.lines:
        fitting = [pair for pair in found.outlines if {where.edge, where.hinge} <= set(pair[1].names)]
        if not fitting:
            raise _no_edges(found, where)
        return [(piece, outline, []) for piece, outline in fitting]
    made = []
    missed = list(found.lines)
    for piece, outline in found.outlines:
        own = [line for line in found.lines if lies_over(outline, line)]
        missed = [line for line in missed if not any(line is one for one in own)]
        if own:
            made.append((piece, outline, own))
    if missed:
        piece, outline = found.outlines[0]
        gap = min(nearest(o.path, spot).distance for _, o in found.outlines for spot in missed[0].nodes)
        raise InputError(
            "The drawn line misses '{}' by {:.0f} mm.".format(piece.name, gap)
            if len(found.outlines) == 1
            else "A drawn line misses all selected pieces, by {:.0f} mm at least.".format(gap),
            "Draw it across the piece.",
            code="line",
        )
    return made


def _no_edges(found: Subjects, where: Where) -> InputError:
    known = sorted({name for _, outline in found.outlines for name in outline.names})
    listed = "The edges are: {}.".format(", ".join(known))
    for name, words in ((where.edge, "which edge is to open"), (where.hinge, "on which edge the hinges lie")):
        if not name:
            return InputError(
                "It is not said {}.".format(words), "Name it, or draw a line. " + listed, code="choice"
            )
    for name in (where.edge, where.hinge):
        if name not in known:
            return InputError("There is no edge called '{}'.".format(name), listed, code="name")
    return InputError(
        "No piece has both an edge '{}' and an edge '{}'.".format(where.edge, where.hinge),
        listed,
        code="name",
    )


# -- the pieces after it ----------------------------------------------------------------


def _outcome(
    pattern: Pattern, done: Dict[str, Dict[str, Spread]], asked: Asked, findings: List[Finding], show: bool
) -> Outcome:
    """The pattern with the spread pieces, and all there is to tell; ``findings`` come first."""
    after, found = pattern, list(findings)
    for name, spreads in done.items():
        changed, told = _changed(pattern.piece(name), spreads, show)
        after = after.with_piece(changed)
        found += told + edge_findings(name, spreads, asked)
    found += shared_findings(pattern, {name: len(spreads) for name, spreads in done.items()})
    summary = " ".join(sentence(name, spreads, asked) for name, spreads in done.items())
    sizes = list(dict.fromkeys(size for spreads in done.values() for size in spreads))
    changes = tuple(label for name, spreads in done.items() for label in labels(name, spreads))
    # Of a nest no single line is meant; a later step says which one is shown.
    lines = (sizes[0], sizes[0]) if len(sizes) == 1 else ()
    report = Report(summary, tuple(found), changes=changes, lines=lines)
    report = report.then(edge_report(pattern, after, sizes, list(done)))
    return Outcome(after, report.then(guard(pattern, after, [(size, size) for size in sizes], list(done))))


def _changed(piece: Piece, spreads: Dict[str, Spread], show: bool) -> Tuple[Piece, List[Finding]]:
    """A piece with its outlines, marks, cut lines and faint lines as they are now, and what to tell."""
    made, lost = carried(piece, {size: spread.change for size, spread in spreads.items()})
    findings: List[Finding] = []
    for mark in piece.marks if set(spreads) < set(piece.sizes) else ():
        if mark.kind == NOTCH and not mark.size and mark not in made.marks:
            findings += own_notch_findings(piece, mark)
    cut = recut(made, list(spreads))
    made = cut.piece
    for size, one in spreads.items():
        lines, hinges = faint(one) if show else ([], [])
        made = faint_lines(made, size, lines, hinges)
        where = "{} size {}".format(piece.name, size) if size else piece.name
        findings += shape_findings(one.change.parting.old, one.change.outline, made, where)
    findings += grain_findings(piece, made)
    findings += lean_findings(piece.name, spreads)
    if lost:
        text = "{}: {} of its notches lie beyond their edge now and were left out.".format(
            piece.name, len(lost)
        )
        findings.append(Finding("notch-off", Level.WARN, text, piece.name))
    findings += recut_findings(cut)
    return made, told_by_size(findings, piece)


def _left_out(
    found: Subjects, done: Dict[str, Dict[str, Spread]], where: Where, picked: bool
) -> List[Finding]:
    """The picked pieces that were not changed, and why."""
    names = dict.fromkeys(piece.name for piece, _ in found.outlines if piece.name not in done)
    why = "no drawn line lies over it" if found.lines else "it has not both '{}' and '{}'".format(*where[:2])
    text = "{}: it stays as it is, for {}."
    return [Finding("unchanged", Level.INFO, text.format(n, why), n) for n in names if picked]
