"""Slash and spread: open a piece at one or many slashes, or lap it."""

import math
from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.checks.cuts import recut_findings
from sewkit.checks.edge_lengths import edge_report
from sewkit.checks.edge_shapes import grain_findings, shape_findings
from sewkit.checks.seams import guard
from sewkit.errors import InputError
from sewkit.geometry.length import path_length, point_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.operation import Choice, Count, Flag, Length, Number, Outcome, Text, operation
from sewkit.pattern.carrying import carried
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.drawn_lines import Subjects, subjects
from sewkit.pattern.edge_places import slashes_at
from sewkit.pattern.faint import faint_lines
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import recut
from sewkit.pattern.slash import Slash, drawn, edge_at, even, lies_over, uncrossed
from sewkit.pattern.spreading import Asked, Spread, faint, gained, is_straight, spread_open
from sewkit.report import Change, Finding, Level, Report
from sewkit.units import in_both, write_number

# Where only a total is asked, no slash opens wider than this (mm): wider, a curve drawn over
# the gap is no longer the shape of the edge.  Common practice, no source.
_EACH = 30.0
_MOST = 60


class _Where(NamedTuple):
    """Where the slashes lie, in words, the same for every piece."""

    edge: str
    hinge: str
    slashes: int
    at: str
    hinge_at: str


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
    slashes: Count("Slashes", "evenly spread; 0 with a total: as many as it needs", 0, _MOST) = 1,
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
    at: Text("Slashes open at", "lengths, shares such as 40%, levels or notches on the edge") = "",
    hinge_at: Text("Hinges at", "the same on the edge with the hinges") = "",
    redraw: Choice(
        "Redraw the edge that opens",
        "",
        {
            "soft": "Soft: as it was, with a curve over each gap",
            "straight": "Straight again, if it was straight",
        },
    ) = "soft",
    show: Flag("Show slashes and hinges", "as faint lines") = False,
) -> Outcome:
    """Open a piece at slashes, or lap it, and draw its edges anew.

    Hinged, each slash runs to a hinge on another edge and opens like a fan: flare at a hem,
    a shoulder made wider or narrower. The edge with the hinges keeps its length exactly.
    Parallel, each slash opens into a strip of equal width and both edges grow: gathers,
    pleats, a broader back. Amounts below nothing lap the slashes instead.

    Ask for the opening of each slash, for its angle, or for what the edge is to gain in all:
    a total comes out exactly as sewn, and the openings are worked out for it. Slashes lie
    evenly spread, at places you name, or along drawn lines. Places count from the upper end
    of an edge, or from its left end where it runs across the grain.

    The part with the fold stays, else the one with the grain line, else the larger. Marks
    go with their part, notches keep their distances along the edges, cut lines are drawn
    anew, and every seam is walked again. Pieces sewn to the opened edge are told, not changed.
    """
    asked, count = _asked(way, ask, amount, angle, redraw == "straight", slashes)
    where = _Where(edge, hinge, count, at, hinge_at)
    found = subjects(pattern, chosen)
    done: Dict[str, Dict[str, Spread]] = {}
    for piece, outline, own in _to_do(found, where):
        lines = _slashes(piece, outline, own, where)
        try:
            done.setdefault(piece.name, {})[outline.size] = spread_open(outline, lines, asked, piece)
        except InputError as error:
            raise error.on(piece.name) from None
    after, findings = pattern, _left_out(found, done, where, bool(chosen.outlines))
    for name, spreads in done.items():
        made, told = _changed(pattern.piece(name), spreads, show)
        after = after.with_piece(made)
        findings += told + _still_curved(name, spreads, asked)
    summary = " ".join(_sentence(name, spreads, asked) for name, spreads in done.items())
    sizes = list(dict.fromkeys(size for spreads in done.values() for size in spreads))
    changes = tuple(label for name, spreads in done.items() for label in _labels(name, spreads))
    # Of a nest no single line is meant; a later step says which one is shown.
    lines = (sizes[0], sizes[0]) if len(sizes) == 1 else ()
    report = Report(summary, tuple(findings), changes=changes, lines=lines)
    report = report.then(edge_report(pattern, after, sizes, list(done)))
    return Outcome(after, report.then(guard(pattern, after, [(size, size) for size in sizes], list(done))))


# -- what is asked ----------------------------------------------------------------------


def _asked(
    way: str, ask: str, amount: float, angle: float, straight: bool, slashes: int
) -> Tuple[Asked, int]:
    """What every slash is to do, and how many evenly spread slashes there are."""
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
    if not slashes:
        if ask != "total":
            raise InputError(
                "How many slashes there are can be left open only where a total is asked.",
                "Give the number of slashes, or ask for the total.",
                code="value",
            )
        slashes = min(max(math.ceil(abs(amount) / _EACH - 1e-9), 1), _MOST)
    return Asked(way, ask, wanted, straight), slashes


def _to_do(found: Subjects, where: _Where) -> List[Tuple[Piece, Outline, List[Path]]]:
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


def _no_edges(found: Subjects, where: _Where) -> InputError:
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


def _slashes(piece: Piece, outline: Outline, lines: Sequence[Path], where: _Where) -> Tuple[Slash, ...]:
    try:
        if lines:
            return uncrossed(outline, [_along(outline, line, where) for line in lines])
        if not where.at and not where.hinge_at:
            return even(outline, where.edge, where.hinge, where.slashes)
        return slashes_at(piece, outline, where.edge, where.hinge, where.at, where.hinge_at)
    except InputError as error:
        raise error.on(piece.name) from None


def _along(outline: Outline, line: Path, where: _Where) -> Slash:
    """The slash of a drawn line, turned round where the edge that opens lies at its last end."""
    slash = drawn(outline, line)
    opens, ends = edge_at(outline, slash.opening), edge_at(outline, slash.ending)
    wanted = where.edge and opens != where.edge and ends == where.edge
    if wanted or (where.hinge and ends != where.hinge and opens == where.hinge):
        return drawn(outline, line.reverse())
    return slash


# -- the pieces after it ----------------------------------------------------------------


def _changed(piece: Piece, spreads: Dict[str, Spread], show: bool) -> Tuple[Piece, List[Finding]]:
    """A piece with its outlines, marks, cut lines and faint lines as they are now, and what to tell."""
    made, lost = carried(piece, {size: spread.change for size, spread in spreads.items()})
    cut = recut(made, list(spreads))
    made, findings = cut.piece, []
    for size, one in spreads.items():
        lines, hinges = faint(one) if show else ([], [])
        made = faint_lines(made, size, lines, hinges)
        where = "{} size {}".format(piece.name, size) if size else piece.name
        findings += shape_findings(one.change.parting.old, one.change.outline, made, where)
    findings += grain_findings(piece, made)
    findings += _leaning(piece.name, spreads)
    if lost:
        text = "{}: {} of its notches lie beyond their edge now and were left out.".format(
            piece.name, len(lost)
        )
        findings.append(Finding("notch-off", Level.WARN, text, piece.name))
    findings += recut_findings(cut)
    return made, findings


def _still_curved(name: str, spreads: Dict[str, Spread], asked: Asked) -> List[Finding]:
    """Edges that were to be straight again and never were straight."""
    first = next(iter(spreads.values()))
    old = first.change.parting.old
    opened = first.opened if asked.straight else ()
    curved = [edge for edge in opened if not all(is_straight(run) for run in old.runs(edge))]
    text = "'{}': {} was not straight before, so it is drawn soft."
    return [Finding("not-straight", Level.INFO, text.format(name, _edge(edge)), name) for edge in curved]


def _leaning(name: str, spreads: Dict[str, Spread]) -> List[Finding]:
    """That parts turned against the grain, which is what a hinge does to cloth."""
    turned = [abs(math.degrees(math.atan2(m.b, m.a))) for s in spreads.values() for m in s.change.moves]
    if max(turned) < 0.05:
        return []
    text = "{}: beyond the slashes the cloth leans by up to {:.1f} degrees from the grain.".format(
        name, max(turned)
    )
    return [Finding("grain-leans", Level.INFO, text, name)]


def _left_out(
    found: Subjects, done: Dict[str, Dict[str, Spread]], where: _Where, picked: bool
) -> List[Finding]:
    """The picked pieces that were not changed, and why."""
    names = dict.fromkeys(piece.name for piece, _ in found.outlines if piece.name not in done)
    why = "no drawn line lies over it" if found.lines else "it has not both '{}' and '{}'".format(*where[:2])
    text = "{}: it stays as it is, for {}."
    return [Finding("unchanged", Level.INFO, text.format(n, why), n) for n in names if picked]


# -- words ------------------------------------------------------------------------------


def _sentence(name: str, spreads: Dict[str, Spread], asked: Asked) -> str:
    """What was done to one piece, in its first size."""
    size, one = next(iter(spreads.items()))
    count = len(one.openings)
    verb = "lapped" if one.openings[0] < 0 else "opened"
    gains = [_longer(gained(one, edge)) for edge in one.opened]
    edges = [_edge(edge) for edge in one.opened]
    text = "The {} of '{}'{} {}: {}, {} by {}".format(
        edges[0],
        name,
        " in size {}".format(size) if len(spreads) > 1 else "",
        " and ".join(["is " + gains[0]] + ["the {} {}".format(*p) for p in zip(edges[1:], gains[1:])]),
        "1 slash" if count == 1 else "{} slashes".format(count),
        verb,
        _range([abs(g) for g in one.openings], "mm"),
    )
    if asked.way == "parallel":
        return text + " from edge to edge."
    parting = one.change.parting
    hinges = dict.fromkeys(edge_at(parting.old, slash.ending) for slash in parting.slashes)
    kept = " and ".join(_edge(edge) for edge in hinges if edge not in one.opened)
    text += " ({}).".format(_range([abs(a) for a in one.angles], "degrees"))
    return text + (" Nothing changed at the {}.".format(kept) if kept else "")


def _edge(name: str) -> str:
    """An edge in a sentence; one that only has a number is said to be an edge."""
    return "edge {}".format(name) if name.isdigit() else name


def _longer(gain: float) -> str:
    return "{:.1f} mm {}".format(abs(gain), "longer" if gain >= 0 else "shorter")


def _range(values: Sequence[float], unit: str) -> str:
    least, most = min(values), max(values)
    decimals = 1 if unit == "mm" else 2
    texts = [write_number(round(value, decimals)) for value in (least, most)]
    if texts[0] == texts[1]:
        return "{} {}{}".format(texts[0], unit, " each" if len(values) > 1 else "")
    return "{} to {} {}".format(texts[0], texts[1], unit)


def _labels(name: str, spreads: Dict[str, Spread]) -> List[Change]:
    """For the picture: what each opened edge gained, at its middle; in the first size."""
    one = next(iter(spreads.values()))
    labels = []
    for edge in one.opened:
        outline = one.change.outline
        runs = outline.runs(edge)
        spot: np.ndarray = point_at(runs[len(runs) // 2], path_length(runs[len(runs) // 2]) / 2.0)
        gain = gained(one, edge)
        text = "{}: {} {}".format(_edge(edge), in_both(gain), "longer" if gain >= 0 else "shorter")
        labels.append(Change(name, text, (float(spot[0]), float(spot[1]))))
    return labels
