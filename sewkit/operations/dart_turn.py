"""A dart turned about its pivot to another place, shared out, or put together with another."""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.checks.cuts import recut_findings
from sewkit.checks.dart_change_words import also_changed
from sewkit.checks.dart_turn_words import labels, sentence, turn_findings
from sewkit.checks.darts import cut_in_findings, dart_changes, dart_findings
from sewkit.checks.drawn_legs import legs_taken
from sewkit.checks.edge_lengths import edge_report, grain_findings, shape_findings, without_legs
from sewkit.checks.seams import guard
from sewkit.checks.shared_marks import shared_findings
from sewkit.checks.told_by_size import told_by_size
from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operation import Flag, Length, Outcome, Percent, Places, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.chosen_darts import as_found, darts_here, for_change
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.dart_naming import renamed_dart
from sewkit.pattern.dart_pivot import pivot_for
from sewkit.pattern.dart_targets import Words, targets_of
from sewkit.pattern.dart_turning import DartTurn, Target, turn_dart, turn_edge
from sewkit.pattern.drawn_lines import subjects
from sewkit.pattern.edge_places import one_place
from sewkit.pattern.faint import faint_lines
from sewkit.pattern.mark import On
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import DOWN, UP, Piece
from sewkit.pattern.pressing import default_side
from sewkit.pattern.recut import recut
from sewkit.pattern.seam import check_name
from sewkit.pattern.spokes import spot_at
from sewkit.report import Finding, Level, Report


class _Asked(NamedTuple):
    """What is asked of every piece; ``gape``: the edge to take in, empty to turn a dart."""

    words: Words
    share: float
    pivot: str
    back_off: Optional[float]
    gape: str
    gape_at: str
    amount: float


class _Done(NamedTuple):
    """One size of a piece after the turn, and what was asked of it."""

    made: DartTurn
    targets: Tuple[Target, ...]
    source: str


@operation(
    title="Turn a dart",
    menu="Darts",
    select="Select the piece, or an outline and the two legs drawn on it, or three nodes of a dart.",
    example=(
        "sewkit dart-turn samples/bodice/master.svg -o turned.svg --piece front "
        "--dart bust-dart --to shoulder"
    ),
)
def dart_turn(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    dart: Text("Dart", "its name or number; empty where there is only one") = "",
    to: Text("Turn to", "an edge or several, or the name of another dart") = "",
    at: Places("At", "for each edge a length, a share such as 40%, or a notch; empty: the middle") = "",
    share: Percent("How much of it", "100 turns all of the dart", 0, 100) = 100.0,
    shares: Text("Shared out", "percent for each place, such as 60 40; empty: evenly") = "",
    pivot: Text("Pivot", "name of the mark; empty: the apex beyond the point, or the point") = "",
    back_off: Length(
        "Point backed off", "from the pivot; 0: on to it; empty: as far as it was", 0, 150, optional=True
    ) = None,
    called: Text("Called", "names for new darts; empty: the old one's name") = "",
    gape: Text("Or take in an edge", "one that gapes, or a hem with flare; instead of a dart") = "",
    gape_at: Places("Taken in at", "where on that edge; empty: in its middle") = "",
    amount: Length("Taken in by", "so much shorter the edge becomes", 0, 300) = 10.0,
    show: Flag("Draw the cuts and the pivot faintly", "to be read; gone with the next change") = False,
) -> Outcome:
    """Turn a dart about its pivot to another edge, share it out, or put it together with another.

    The piece is cut from the new place to the pivot and turned until the old dart is closed. A
    dart is an angle and not a width: the angles before and after have the same sum, and the new
    dart is wider where its legs are longer. Every seam keeps its length with the darts closed.
    The part with the fold or the grain line stays; marks go with the cloth they lie on.

    Name an edge to turn to, with a place on it; several edges or places to share the dart out;
    or another dart to put both together. With less than 100 percent a part stays where it is. A
    dart that ends short of the apex is drawn on to it, turned there, and backed off again. Of two
    put together the other stays as deep as it was, unless it points to the same pivot.

    To take in an edge that gapes, give that edge and the amount: a wedge from there to the pivot
    is closed and its angle opened in the dart, or at a new place. In the same way the flare of a
    hem goes into a dart. The edge is drawn softly where it was taken in; mind its facing.

    True the dart afterwards, before the seam allowance is cut.
    """
    goes_to = to if to.strip() or not gape.strip() else dart
    words = Words(goes_to, at, shares, called)
    asked = _Asked(words, share, pivot, back_off, gape.strip(), gape_at, amount)
    found = _sources(pattern, chosen, dart, asked)
    counts = {piece.name: sum(p.name == piece.name for p, _, _ in found) for piece, _, _ in found}
    state: Dict[str, Piece] = {}
    done: Dict[str, Dict[str, _Done]] = {}
    for piece, outline, source in found:
        # Marks of all sizes go along once, and only if all sizes do.
        whole = piece.name not in done and counts[piece.name] == len(piece.outlines)
        new, one = _one(state.get(piece.name, piece), outline.size, source, asked, whole)
        state[piece.name] = new
        done.setdefault(piece.name, {})[outline.size] = one
    after, findings = pattern, []
    for name, turns in done.items():
        new, told = _finished(pattern.piece(name), state[name], turns, show)
        after = after.with_piece(new)
        findings += told
    findings += shared_findings(pattern, {name: len(turns) for name, turns in done.items()})
    report = _report(pattern, after, done, asked, findings)
    return Outcome(after, report) if asked.gape else legs_taken(pattern, chosen, after, report)


def _sources(
    pattern: Pattern, chosen: Chosen, words: str, asked: _Asked
) -> List[Tuple[Piece, Outline, Optional[Dart]]]:
    """The outlines with the dart to turn; or with the edge to take in, and no dart."""
    if not asked.gape:
        return list(for_change(pattern, chosen, words))
    if words.strip() and asked.words.to.strip() != words.strip():
        raise InputError(
            "An edge is taken in, and both a dart and a place to turn to are named.",
            "Name one of them: the dart that takes the angle up, or the place of a new one.",
            code="choice",
        )
    outlines = subjects(pattern, chosen._replace(nodes=(), marks=())).outlines
    fitting = [(piece, outline) for piece, outline in outlines if asked.gape in outline.names]
    if not fitting:
        known = dict.fromkeys(name for _, outline in outlines for name in outline.names)
        raise InputError(
            "There is no edge called '{}'.".format(asked.gape),
            "The edges are: {}.".format(", ".join(known)),
            code="name",
        )
    # A neck or a hem is found on several pieces; those are meant that have what is to take the angle up.
    meant = [pair for pair in fitting if _has(*pair, asked.words.to)]
    return [(piece, outline, None) for piece, outline in meant or fitting]


def _has(piece: Piece, outline: Outline, to: str) -> bool:
    """Whether a piece has all the edges and darts that are named; a dart, where none is."""
    darts = {dart.name for dart in darts_here(piece, outline).darts}
    return set(to.split()) <= darts | set(outline.names) if to.strip() else bool(darts)


def _one(piece: Piece, size: str, source: Optional[Dart], asked: _Asked, whole: bool) -> Tuple[Piece, _Done]:
    """One size turned."""
    moves = source is not None and asked.share >= 100.0
    words = asked.words if source is not None else _takes_up(piece, piece.outline(size), asked.words)
    before = source
    if source is not None and moves:
        piece, source = _renamed(piece, size, source, words.called)
    piece, targets = targets_of(piece, size, words, source, moves)
    outline = piece.outline(size)
    dart = None if source is None else dart_named(piece, outline, source.name)
    aim = dart or next((target.dart for target in targets if target.dart is not None), None)
    pivot = pivot_for(piece, size, aim, asked.pivot)
    if dart is not None:
        piece, made = turn_dart(piece, outline, dart, pivot, targets, asked.share, asked.back_off, whole)
        return piece, _Done(made, targets, before.name if before is not None else "")
    on = On(asked.gape, outline.as_sewn(asked.gape) / 2.0)
    if asked.gape_at.strip():
        on = one_place(piece, outline, asked.gape, asked.gape_at)
    piece, made = turn_edge(piece, outline, on, asked.amount, pivot, targets, asked.back_off, whole)
    return piece, _Done(made, targets, "")


def _renamed(piece: Piece, size: str, dart: Dart, called: str) -> Tuple[Piece, Dart]:
    """A dart that goes altogether gets its new name first, so that its marks keep to it."""
    name = called.replace(",", " ").split()[0] if called.strip() else ""
    outline = piece.outline(size)
    if not name or name in outline.names or name.isdecimal():
        return piece, dart
    now = dart_named(piece, outline, dart.name)
    piece = renamed_dart(piece, size, now, check_name(name, "name of a dart"))
    return piece, dart_named(piece, piece.outline(size), name)


def _takes_up(piece: Piece, outline: Outline, words: Words) -> Words:
    """Where the angle of an edge goes: into the dart that is named or has that number, or is the only one."""
    darts = darts_here(piece, outline).darts
    names = [dart.name for dart in darts]
    to = words.to.strip()
    if to.isdecimal() and to not in outline.names and 1 <= int(to) <= len(names):
        return words._replace(to=names[int(to) - 1])
    if to:
        return words
    if len(names) == 1:
        return words._replace(to=names[0])
    raise InputError(
        "It is not said which dart of '{}' takes the angle up.".format(piece.name),
        "Name one of: {}; or an edge for a new one.".format(", ".join(names))
        if names
        else "Name the edge at which a new dart shall open.",
        code="choice",
    )


def _finished(old: Piece, piece: Piece, turns: Dict[str, _Done], show: bool) -> Tuple[Piece, List[Finding]]:
    """The piece with cut lines and faint lines, and what there is to tell of it."""
    told = [
        f for f in cut_in_findings(old, _cut_in(old, turns)) if not (f.code == "dart-named" and old.darts)
    ]
    piece, pressed = _pressed(piece, next(iter(turns.values())), list(turns))
    told += pressed
    cut = recut(piece, list(turns))
    piece = cut.piece
    for size, one in turns.items():
        lines, pivots = _cuts(one) if show else ([], [])
        piece = faint_lines(piece, size, lines, pivots)
        where = "{} size {}".format(piece.name, size) if size else piece.name
        told += turn_findings(piece, one.made, where)
        told += shape_findings(one.made.old, one.made.outline, piece, where)
        new = {finding.text for finding in dart_findings(old, old.outline(size))}
        told += [f for f in dart_findings(piece, piece.outline(size)) if f.text not in new]
    told += grain_findings(old, piece)
    told += recut_findings(cut)
    return as_found(piece), told_by_size(told, piece)


def _pressed(piece: Piece, one: _Done, sizes: Sequence[str]) -> Tuple[Piece, List[Finding]]:
    """The piece with its pressed darts: one that lies elsewhere now goes to the side that is usual there."""
    sides = {name: side for name, side in piece.pressed.items() if name in piece.darts}
    told = []
    for target in one.targets:
        if target.dart is None and target.name in sides:
            dart = dart_named(piece, one.made.outline, target.name)
            sides[target.name] = default_side(piece, dart)
            text = "{}: the dart '{}' is pressed {} where it lies now.".format(
                piece.name, target.name, _to_side(sides[target.name])
            )
            told.append(Finding("pressed", Level.INFO, text, piece.name))
            others = [o.size for o in piece.outlines if target.name in o.names and o.size not in sizes]
            if others:
                text = "{}: in {} the dart '{}' lies where it was and is pressed to the same side now; "
                text = text.format(piece.name, ", ".join(others), target.name)
                text += "call the turned one otherwise, or turn it in all sizes."
                told.append(Finding("pressed", Level.WARN, text, piece.name))
    return piece._replace(pressed=sides), told


def _to_side(side: str) -> str:
    return side if side in (UP, DOWN) else "to the {}".format(side)


def _cut_in(old: Piece, turns: Dict[str, _Done]) -> Piece:
    """The piece as it was, but with all darts cut in that were turned."""
    for one in turns.values():
        old = old.with_outline(one.made.old)
        known = [spoke.name for spoke in one.made.turned.spokes if spoke.now > 0 and spoke.name]
        old = old._replace(darts=tuple(dict.fromkeys(old.darts + tuple(known))))
    return old


def _cuts(one: _Done) -> Tuple[List[Path], List[np.ndarray]]:
    """Both sides of every cut as they lie now, and the pivot (mm)."""
    made = one.made.turned
    lines = []
    for number, spoke in enumerate(made.spokes):
        for place, behind in ((spoke.start, number - 1), (spoke.stop, number)):
            end = made.move_at(behind).points(spot_at(one.made.old, place))
            lines.append(Path.through([end, made.pivot]))
    return lines, [made.pivot]


def _report(
    before: Pattern,
    after: Pattern,
    done: Dict[str, Dict[str, _Done]],
    asked: _Asked,
    findings: Sequence[Finding],
) -> Report:
    """The sentence for each piece, the darts and edges before and after, and the seams."""
    sizes = list(dict.fromkeys(size for turns in done.values() for size in turns))
    amount = asked.amount if asked.gape else 0.0
    words, changes = [], []
    cut_in = before
    for name, turns in done.items():
        one = next(iter(turns.values()))
        old = before.piece(name)
        size = next(iter(turns)) if len(turns) > 1 else ""
        words.append(sentence(old, one.made, one.targets, one.source, asked.gape, amount, size))
        changes += labels(name, one.made, one.targets)
        cut_in = cut_in.with_piece(_cut_in(old, turns))
    lines = (sizes[0], sizes[0]) if len(sizes) == 1 else ()
    tables = dart_changes(before, after, list(done), cut_in)
    told = " ".join(words) + also_changed(after, {name: list(turns) for name, turns in done.items()})
    report = Report(told, tuple(findings), tables, tuple(changes), lines)
    named = [name for name in done if after.piece(name).named]
    legs = {dart for name in done for dart in (*after.piece(name).darts, *cut_in.piece(name).darts)}
    report = report.then(without_legs(edge_report(cut_in, after, sizes, named), legs))
    return report.then(guard(before, after, [(size, size) for size in sizes], list(done)))
