"""Show, name and cut in the darts of a pattern."""

from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.checks.cuts import recut_findings
from sewkit.checks.darts import cut_in_findings, dart_findings, dart_table, uneven_findings
from sewkit.checks.drawn_legs import legs_taken
from sewkit.checks.edge_lengths import edge_report
from sewkit.checks.seams import guard
from sewkit.errors import InputError
from sewkit.geometry.length import path_length, point_at
from sewkit.geometry.path import Path, lines, point
from sewkit.operation import Choice, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.chosen_darts import AnyDart, as_found, darts_here, meant_darts
from sewkit.pattern.dart import Dart, listed
from sewkit.pattern.dart_cut_in import cut_in
from sewkit.pattern.dart_naming import renamed_dart
from sewkit.pattern.drawn_dart import DrawnDart
from sewkit.pattern.mark import DART, LABEL, OVERLAY, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import recut
from sewkit.pattern.seam import check_name
from sewkit.report import Finding, Level, Report
from sewkit.sheet.drawn import Box
from sewkit.sheet.role_tags import placed, text_box

# What is written beside the darts has this name, so that it is told from other writing.
_WRITING = "dart"

# The words stand this far beside the legs (mm).
_BESIDE = 4.0

# Lines are kept free of words by boxes so far apart (mm), less than writing is high.
_STEP = 4.0


@operation(
    title="Show, name or cut in darts",
    menu="Darts",
    select=(
        "Select outlines or pieces, or nothing for all; of a dart without a name its two drawn legs, "
        "or its three nodes: its point and both ends of its mouth."
    ),
    example="sewkit darts samples/bodice/master.svg -o shown.svg --piece front --size B",
    preview=False,
)
def darts(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do",
        "",
        {
            "show": "Write name, angle and width beside each dart",
            "hide": "Take the writing away",
            "check": "Only list the darts",
            "cut": "Cut drawn darts into the outline",
            "name": "Give a dart a name",
        },
    ) = "show",
    dart: Text("Dart", "its name such as bust-dart, or its number on its piece; empty: all, or the one") = "",
    called: Text("New name", "with name, such as bust-dart") = "",
) -> Outcome:
    """Show the darts of a pattern, give them names, or cut drawn ones into the outline.

    A dart is two legs that meet in a point inside the piece; its width, the intake, is
    measured straight across its mouth. Bought patterns draw darts inside an unbroken
    outline. Cut in, the legs are part of the outline, and the edge is measured as it is
    sewn, with the dart closed: what was drawn between its legs, straight or as a cap, goes.
    Whatever changes a dart cuts it in first, so you need not do it yourself.

    On a named piece a dart keeps the name of its drawn legs; without one it is called dart,
    the next dart-2. An outline that nobody named stays without names, and a notch that looks
    like a dart counts as one. A dart with two points lies inside the piece and stays drawn.

    Look at darts that open by more than 25 degrees, whose legs differ, that end nearer than
    10 mm to the apex or an edge, or that cross each other; the list tells of them.
    """
    if action == "cut":
        return _cut(pattern, chosen, dart)
    if action == "name":
        return _named(pattern, chosen, dart, called)
    return _shown(pattern, chosen, action)


# -- showing ------------------------------------------------------------------------------


def _shown(pattern: Pattern, chosen: Chosen, action: str) -> Outcome:
    outlines = _with_drawn(_outlines(pattern, chosen), pattern, chosen)
    after = pattern
    if action != "check":
        for piece in chosen.readable(pattern):
            kept = tuple(m for m in piece.marks if not (m.kind == OVERLAY and m.name == _WRITING))
            after = after if kept == piece.marks else after.with_piece(piece._replace(marks=kept))
    if action == "show":
        taken: List[Box] = []
        for piece, outline in {piece.name: (piece, outline) for piece, outline in outlines}.values():
            now = after.piece(piece.name)
            writing = tuple(_writing(piece, outline, taken))
            after = after.with_piece(now._replace(marks=now.marks + writing)) if writing else after
    return Outcome(after, _listing(outlines, _written_for(outlines) if action == "show" else ""))


def _outlines(pattern: Pattern, chosen: Chosen) -> List[Tuple[Piece, Outline]]:
    """The closed outlines that are chosen; all that could be read where nothing is."""
    if chosen.outlines:
        picked = list(chosen.picked(pattern))
    else:
        picked = [(piece, outline) for piece in pattern.pieces for outline in piece.outlines]
    return [(piece, outline) for piece, outline in picked if outline.path.closed]


def _with_drawn(
    outlines: Sequence[Tuple[Piece, Outline]], pattern: Pattern, chosen: Chosen
) -> List[Tuple[Piece, Outline]]:
    """The outlines, each with the dart that is drawn over it with picked lines, as lines of its piece."""
    if not any(not piece.named and not outline.path.closed for piece, outline in _picked(pattern, chosen)):
        return list(outlines)
    try:
        meant = meant_darts(pattern, chosen)
    except InputError:
        return list(outlines)  # other lines; they draw no dart
    drawn = {(p.name, o.size): d for p, o, d in meant if isinstance(d, DrawnDart) and not d.marks}
    found = []
    for piece, outline in outlines:
        dart = drawn.get((piece.name, outline.size))
        if dart is not None:
            legs = tuple(Mark(DART, dart.name, outline.size, leg) for leg in dart.legs)
            piece = piece._replace(marks=piece.marks + legs)
        found.append((piece, outline))
    return found


def _picked(pattern: Pattern, chosen: Chosen) -> List[Tuple[Piece, Outline]]:
    return list(chosen.picked(pattern)) if chosen.outlines else []


def _written_for(outlines: Sequence[Tuple[Piece, Outline]]) -> str:
    """Which size is written on where several are chosen: words of all of them would cover each other."""
    sizes = [outline.size for _, outline in outlines]
    last = {piece.name: outline.size for piece, outline in outlines}
    words = list(dict.fromkeys(size for size in last.values() if size))
    if len(set(sizes)) < 2 or not words:
        return ""
    return " Only size {} is written on; choose another size to see its darts.".format(_and(words))


def _listing(outlines: Sequence[Tuple[Piece, Outline]], written: str = "") -> Report:
    """All darts as a table, what there is to look at, and how many there are of each piece."""
    findings: List[Finding] = []
    counts: Dict[str, int] = {}
    for piece, outline in outlines:
        findings += dart_findings(piece, outline)
        found = darts_here(piece, outline).darts
        where = "{} size {}".format(piece.name, outline.size) if outline.size else piece.name
        findings += [told for dart in found for told in uneven_findings(where, dart)]
        if found:
            counts[piece.name] = max(counts.get(piece.name, 0), len(found))
    if not counts:
        bare = any(not piece.named for piece, _ in outlines)
        hint = " If you drew one, select its two legs with the outline." if bare else ""
        return Report("No dart is found here." + hint)
    words = ["'{}' has {} dart{}".format(n, k, "" if k == 1 else "s") for n, k in counts.items()]
    summary = "{}.{}".format(", ".join(words), written)
    bad = sum(finding.level >= Level.WARN for finding in findings)
    summary += " {} thing{} to look at.".format(bad, "" if bad == 1 else "s") if bad else ""
    return Report(summary, tuple(findings), dart_table(outlines))


def _writing(piece: Piece, outline: Outline, taken: List[Box]) -> List[Mark]:
    """Name, angle and width beside the middle of each dart; ``taken`` grows by the boxes of the words."""
    found = []
    here = darts_here(piece, outline).darts
    labels = [mark for mark in piece.marks_for(outline.size) if mark.kind == LABEL and mark.text]
    taken += [text_box(mark.text, *mark.path.start) for mark in labels if mark.path is not None]
    taken += [box for dart in here for box in _boxes(_legs(dart))]
    own = [mark for mark in piece.marks if mark.name != _WRITING or mark.kind != OVERLAY]
    taken += [box for mark in own if mark.path is not None for box in _boxes([mark.path])]
    for dart in here:
        text = "{} {:.1f} degrees, {:.1f} mm".format(dart.name, dart.angle, dart.intake)
        tag = placed(text, _beside(dart), taken)
        taken.append(tag.box)
        spot = np.array([tag.place])
        found.append(
            Mark(OVERLAY, _WRITING, outline.size, Path(lines(spot, spot + [1.0, 0.0])), text=tag.text)
        )
        if tag.leader is not None:
            found.append(Mark(OVERLAY, _WRITING, outline.size, Path.through(tag.leader)))
    return found


def _legs(dart: AnyDart) -> Tuple[Path, Path]:
    return (dart.first, dart.second) if isinstance(dart, Dart) else dart.legs


def _boxes(lines_there: Sequence[Path]) -> List[Box]:
    """Small boxes along lines, which are not written on."""
    found: List[Box] = []
    for line in lines_there:
        if len(line):
            steps = np.linspace(0, 1, max(int(path_length(line) / len(line) / _STEP), 1) + 1)
            spots = point(line.curves, steps[None]).reshape(-1, 2)
            found += [(x - 1.0, y - 1.0, x + 1.0, y + 1.0) for x, y in spots.tolist()]
    return found


def _beside(dart: AnyDart) -> np.ndarray:
    """A spot (2,) to the right of a dart or above it, half way along it: what stands there hides no point."""
    first, second = (point_at(leg, path_length(leg) / 2.0) for leg in _legs(dart))
    across = second - first
    if abs(across[1]) > abs(across[0]):  # it lies level: above it
        return min((first, second), key=lambda spot: float(spot[1])) - np.array([0.0, _BESIDE])
    return max((first, second), key=lambda spot: float(spot[0])) + np.array([_BESIDE, 0.0])


# -- cutting in ---------------------------------------------------------------------------


def _cut(pattern: Pattern, chosen: Chosen, words: str) -> Outcome:
    made: Dict[str, Piece] = {}
    sizes: Dict[str, List[str]] = {}
    for piece, outline, dart in _to_cut(pattern, chosen, words):
        now = made.get(piece.name, piece)
        made[piece.name], _ = cut_in(now, outline.size, dart)  # type: ignore[arg-type]
        sizes.setdefault(piece.name, []).append(outline.size)
    if not made:
        outlines = _outlines(pattern, chosen)
        return Outcome(pattern, Report("No drawn dart is left to cut in.", (), dart_table(outlines)))
    after, findings, told = pattern, [], []
    for name, piece in made.items():
        before = pattern.piece(name)
        findings += cut_in_findings(before, piece)
        told.append("'{}': {}".format(name, _and([n for n in piece.darts if n not in before.darts])))
        cut = recut(as_found(piece), sizes[name])
        findings += recut_findings(cut)
        for size in dict.fromkeys(sizes[name]):
            findings += dart_findings(cut.piece, cut.piece.outline(size))
        after = after.with_piece(cut.piece)
    report = Report("Cut into the outline of {}.".format("; ".join(told)), tuple(findings))
    done = list(dict.fromkeys(size for of_piece in sizes.values() for size in of_piece))
    pairs = [(name, size) for name, of_piece in sizes.items() for size in dict.fromkeys(of_piece)]
    table = dart_table([(after.piece(name), after.piece(name).outline(size)) for name, size in pairs])
    named = [name for name in made if after.piece(name).named]
    report = report.then(Report("", (), table)).then(edge_report(pattern, after, done, named))
    report = report.then(guard(pattern, after, [(size, size) for size in done], list(made)))
    return legs_taken(pattern, chosen, after, report)


def _to_cut(pattern: Pattern, chosen: Chosen, words: str) -> List[Tuple[Piece, Outline, AnyDart]]:
    """The drawn darts that are meant; all of them where none is named, drawn over or picked."""
    nodes = bool(chosen.nodes)
    lines_picked = any(not p.named and not o.path.closed for p, o in _picked(pattern, chosen))
    if words.strip() or nodes or lines_picked or chosen.marks:
        found = meant_darts(pattern, chosen, words)
    else:
        found = [
            (piece, outline, dart)
            for piece, outline in _outlines(pattern, chosen)
            for dart in darts_here(piece, outline).darts
            if isinstance(dart, Dart) or not dart.contour
        ]
    return [(piece, outline, dart) for piece, outline, dart in found if not isinstance(dart, Dart)]


def _and(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1]))) if names else "dart-1"


# -- naming -------------------------------------------------------------------------------


def _named(pattern: Pattern, chosen: Chosen, words: str, called: str) -> Outcome:
    if not called.strip():
        raise InputError("The dart has no new name yet.", "Type one, such as bust-dart.", code="name")
    name = check_name(called.strip(), "name of a dart")
    made: Dict[str, Piece] = {}
    old: List[str] = []
    for piece, outline, dart in meant_darts(pattern, chosen, words):
        if not piece.named:
            raise InputError(
                "'{}' has no names, so its dart cannot keep one.".format(piece.name),
                "Name the piece first, with Names > Name a piece and its edges.",
                code="name",
            )
        here = darts_here(piece, outline).darts
        taken = set(outline.names) | {other.name for other in here}
        if name in taken and name != dart.name:
            raise InputError(
                "'{}' has a dart or an edge '{}' already.".format(piece.name, name),
                "Choose another name. Its darts are: {}.".format(listed(here)),
                code="name",
            )
        made[piece.name] = renamed_dart(made.get(piece.name, piece), outline.size, dart, name)
        old.append(dart.name)
    after = pattern
    for piece in made.values():
        after = after.with_piece(piece)
    outlines = [(piece, outline) for piece in made.values() for outline in piece.outlines]
    summary = "The dart '{}' of {} is called '{}' now.".format(
        old[0], _and(["'{}'".format(piece) for piece in made]), name
    )
    return legs_taken(pattern, chosen, after, Report(summary, (), dart_table(outlines)))
