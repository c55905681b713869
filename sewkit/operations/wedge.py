"""A wedge: so much let in or taken out at one edge, nothing at the hinge."""

from typing import Dict, List, NamedTuple, Optional, Tuple

from sewkit.checks.cuts import recut_findings
from sewkit.checks.edge_lengths import edge_report, grain_findings, shape_findings
from sewkit.checks.seams import guard
from sewkit.checks.shared_marks import shared_findings
from sewkit.checks.told_by_size import told_by_size
from sewkit.checks.wedge_marks import mark_findings, own_notch_findings
from sewkit.checks.wedge_sides import side_findings
from sewkit.checks.wedge_words import bent_findings, label, sentence, wedge_findings
from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operation import Choice, Flag, Length, Outcome, Places, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.drawn_lines import Subjects, subjects
from sewkit.pattern.faint import faint_lines
from sewkit.pattern.outline import Outline
from sewkit.pattern.own_notches import own_notches
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import recut
from sewkit.pattern.slash import edge_at, lies_over
from sewkit.pattern.upright import Down, down_of
from sewkit.pattern.wedge_made import WedgeMade, changed
from sewkit.pattern.wedge_places import Beyond, Ends, beyond_of, drawn_places, lying, named_places
from sewkit.report import Finding, Level, Report


class _Asked(NamedTuple):
    """What is asked of every piece."""

    amount: float
    edge: str
    hinge: str
    at: str
    hinge_at: str
    straight: bool


class _Settled(NamedTuple):
    """What is settled for a piece."""

    down: Down
    beyond: Beyond


@operation(
    title="Let in or take out a wedge",
    menu="Length and room",
    select=(
        "Select the pieces, or an outline and then a line drawn over it: "
        "from the edge that gets the amount to the hinge."
    ),
    example=(
        "sewkit wedge samples/waistcoat/master.svg -o hollow.svg --piece back --size 4 "
        "--edge centre-back --hinge side --at waist --amount -12mm"
    ),
)
def wedge(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    amount: Length("Amount", "let in at the edge; below nothing takes out", -300, 300) = 10.0,
    edge: Text("Edge with the amount", "such as centre-back; empty: where a drawn line begins") = "",
    hinge: Text("Edge with the hinge", "where the wedge runs out to nothing, such as side") = "",
    at: Places(
        "At", "a level such as waist-20mm, a notch, or a length or share from its upper or left end"
    ) = "",
    hinge_at: Places("Hinge at", "the same on the other edge; empty: at the same height") = "",
    fold: Choice(
        "Where the edge lies on a fold",
        "",
        {
            "straight": "Keep the fold straight, give the width back at the hinge edge",
            "bent": "Let it bend: cut the piece with a seam there",
        },
    ) = "straight",
    show: Flag("Draw the cut and the hinge faintly", "to be read; gone with the next change") = False,
) -> Outcome:
    """Let a wedge into a piece, or take one out: so much at one edge, nothing at the hinge.

    For a hollow back take a wedge out at the centre back, with the hinge on the side seam;
    for a round upper back let one in at blade level, with the hinge at the armhole; for a
    full or flat seat at the centre back of a skirt or trousers; for an edge that gapes, take
    it out there. The edge with the hinge keeps its length exactly, the other one changes by
    the amount.

    A place is a level (waist, waist-20mm), a notch of that edge by its name (notch 1), or a
    length or share (120, 5 1/2in, 40%) from the edge's upper end, or from its left end where it
    runs across the grain.

    One part turns about the hinge with its marks; the part with the fold stays, else the one
    with the middle of the grain line, else the larger. Cloth is taken out below the place, or,
    at an edge across the grain or aslant to it such as a hem or neckline, from the part that
    turns. All sizes go the way of the first. Which end of a piece is up is known from its
    names, as chest above waist, or from a piece sewn to it; else it is taken as it lies on the
    sheet, and you are told.

    The part that turned leans against the grain, and you are told by how much. An edge on the
    fold is kept straight instead: what lies below slides along the fold, the hinge edge stays,
    and what lies between is drawn anew.

    Before you take anything out ask three questions: do the wrinkles stop before the side
    seams, is there enough room at the hip, and is the waist level in front? A waist too high
    all round, tight hips or a full seat look much like a hollow back.
    """
    asked = _Asked(amount, edge, hinge, at, hinge_at, fold == "straight")
    found = subjects(pattern, chosen)
    done: Dict[str, Dict[str, WedgeMade]] = {}
    settled: Dict[str, _Settled] = {}
    findings: List[Finding] = []
    for piece, outline, line in _to_do(found, asked):
        _refuse_open(piece, outline)
        down = settled[piece.name].down if piece.name in settled else down_of(pattern, piece)
        ends = _ends(piece, outline, line, asked, down)
        beyond = _beyond(piece, outline, line, asked, down, ends)
        settled.setdefault(piece.name, _Settled(down, beyond))
        made = changed(piece, outline, lying(outline, ends, beyond), amount, asked.straight)
        if line is not None and piece.name not in done:  # a line over many sizes is told once
            findings += bent_findings(piece, made, line)
        done.setdefault(piece.name, {})[outline.size] = made
    after = pattern
    for name, wedges in done.items():
        new, told = _one_piece(pattern.piece(name), wedges, show)
        after = after.with_piece(new)
        findings += told + side_findings(pattern.piece(name), next(iter(wedges.values())), *settled[name])
    findings += shared_findings(pattern, {name: len(wedges) for name, wedges in done.items()})
    sizes = list(dict.fromkeys(size for wedges in done.values() for size in wedges))
    summary = " ".join(sentence(name, list(wedges.values()), amount) for name, wedges in done.items())
    changes = tuple(label(name, next(iter(wedges.values())), amount) for name, wedges in done.items())
    lines = (sizes[0], sizes[0]) if len(sizes) == 1 else ()
    report = Report(summary, tuple(findings), changes=changes, lines=lines)
    report = report.then(edge_report(pattern, after, sizes, list(done)))
    return Outcome(after, report.then(guard(pattern, after, [(size, size) for size in sizes], list(done))))


def _to_do(found: Subjects, asked: _Asked) -> List[Tuple[Piece, Outline, Optional[Path]]]:
    """The outlines to change; a drawn line goes with the outline over which it lies."""
    if found.lines:
        if len(found.lines) > 1:
            raise InputError(
                "{} lines are selected, and a wedge needs one.".format(len(found.lines)),
                "Select one line, from the edge with the amount to the hinge.",
                code="choice",
            )
        line = found.lines[0]
        fitting = [(p, o, line) for p, o in found.outlines if lies_over(o, line)]
        if not fitting:
            raise InputError(
                "The drawn line does not lie over '{}'.".format(found.outlines[0][0].name),
                "Draw it from the edge with the amount to the hinge.",
                code="line",
            )
        return fitting
    known = sorted({name for _, outline in found.outlines for name in outline.names})
    listed = "The edges are: {}.".format(", ".join(known))
    for name, words in ((asked.edge, "at which edge the amount is"), (asked.hinge, "where the hinge is")):
        if not name:
            raise InputError(
                "It is not said {}.".format(words),
                "Name the edge, or draw a line over the piece. " + listed,
                code="choice",
            )
        if name not in known:
            raise InputError("There is no edge called '{}'.".format(name), listed, code="name")
    if asked.edge == asked.hinge:
        raise InputError(
            "The amount and the hinge are both on '{}'.".format(asked.edge),
            "Name another edge for the hinge. " + listed,
            code="pivot",
        )
    fitting = [(p, o, None) for p, o in found.outlines if {asked.edge, asked.hinge} <= set(o.names)]
    if not fitting:
        raise InputError(
            "No piece has both an edge '{}' and an edge '{}'.".format(asked.edge, asked.hinge),
            listed,
            code="name",
        )
    return fitting


def _refuse_open(piece: Piece, outline: Outline) -> None:
    if not outline.path.closed:
        raise InputError(
            "The outline of '{}' is open, so it has no parts to turn.".format(piece.name),
            "Join its two end nodes.",
            code="open",
        )


def _ends(piece: Piece, outline: Outline, line: Optional[Path], asked: _Asked, down: Down) -> Ends:
    if line is not None:
        return drawn_places(outline, line, piece.name)
    axis = down.of(piece, outline.size)
    return named_places(piece, outline, asked.edge, asked.hinge, asked.at, asked.hinge_at, axis)


def _beyond(
    piece: Piece, outline: Outline, line: Optional[Path], asked: _Asked, down: Down, ends: Ends
) -> Beyond:
    """What is settled on the first size of the piece, whichever are changed.

    Where that size has no such place, or the wedge opens another edge there, a size decides for itself.
    """
    first = piece.outlines[0]
    try:
        _refuse_open(piece, first)
        there = _ends(piece, first, line, asked, down)
    except InputError:
        there = None
    if there is None or edge_at(first, there.opening) != edge_at(outline, ends.opening):
        first, there = outline, ends
    return beyond_of(piece, first, there, down.of(piece, first.size))


def _one_piece(piece: Piece, wedges: Dict[str, WedgeMade], show: bool) -> Tuple[Piece, List[Finding]]:
    """The piece with its wedges, cut lines and faint lines, and what there is to tell of it."""
    whole = set(piece.sizes) <= set(wedges)
    first = next(iter(wedges.values()))
    marks, lost, told = [], 0, []
    for mark in piece.marks:
        if not mark.size and not whole:
            own = own_notches(piece, mark, {size: made.mark(mark) for size, made in wedges.items()})
            marks += own
            told += own_notch_findings(piece, mark) if own != [mark] else []
            continue
        made = wedges.get(mark.size) or (first if not mark.size and whole else None)
        new = mark if made is None else made.mark(mark)
        lost += new is None
        marks += [] if new is None else [new]
        told += [] if made is None else mark_findings(piece, mark, made)
    changed_piece = piece._replace(marks=tuple(marks))
    for made in wedges.values():
        changed_piece = changed_piece.with_outline(made.outline)
    cut = recut(changed_piece, list(wedges))
    new_piece = cut.piece
    for size, made in wedges.items():
        lines, hinges = made.faint if show else ([], [])
        new_piece = faint_lines(new_piece, size, lines, hinges)
        where = "{} size {}".format(piece.name, size) if size else piece.name
        shapes = shape_findings(piece.outline(size), made.outline, new_piece, where)
        own = wedge_findings(piece, made, where)
        bent = any(finding.code == "fold-bent" for finding in own)
        own += [
            f for f in shapes if not (bent and f.code == "fold-bent" and "'{}'".format(made.edge) in f.text)
        ]
        # What is the same for all sizes, such as a question, is told once.
        told += [finding for finding in own if finding not in told]
    if lost:
        text = "'{}': {} of its notches lie beyond their edge now and were left out.".format(piece.name, lost)
        told.append(Finding("notch-off", Level.WARN, text, piece.name))
    told += grain_findings(piece, new_piece)
    told += recut_findings(cut)
    return new_piece, told_by_size(told, piece)
