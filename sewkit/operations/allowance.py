"""Seam allowance: put it on, take it off, change it."""

from typing import Callable, Dict, List, NamedTuple, Tuple

import numpy as np

from sewkit.checks.seams import guard
from sewkit.errors import InputError
from sewkit.geometry.corner import Corner, Style
from sewkit.geometry.path import turns
from sewkit.geometry.path import end_tangents, start_tangents
from sewkit.operation import Choice, Flag, Length, LengthsByName, Number, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.cutting import (
    SILENT,
    Cut,
    closed_outline,
    cut_off_corners,
    parallel,
    seam_outline,
    without_darts,
)
from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.notch import redrawn
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece, corner_at, parse_corners
from sewkit.report import Finding, Level, Report

# A turned-up hem deeper than this on a curve has too much cloth in its edge (mm): the
# more flare, the shallower the hem (American Sewing Guild, hem table; common practice).
_CURVED_HEM_DEPTH = 20.0
_CURVED_HEM_TURN = 3.0


class _Rules(NamedTuple):
    """What was asked, the same for all pieces of one call."""

    width: float
    edges: Dict[str, float]
    stored: bool
    style: str
    corner_rules: str
    mitre_limit: float
    rebuild: bool


@operation(
    title="Seam allowance",
    menu="Seams",
    select="Select outlines or named pieces; nothing means all named pieces.",
    example="sewkit allowance samples/waistcoat/master.svg -o cut.svg --size 3 --edges 'side=25 centre-back=25'",
)
def allowance(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    action: Choice(
        "What to do",
        "",
        {
            "add": "Put it on: the line is the seam line",
            "remove": "Take it off: the line is the cut line",
            "change": "Change it: the line is the cut line",
        },
    ) = "add",
    width: Length("Width", "on all edges not named below", 0, 300) = 10.0,
    edges: LengthsByName("Other widths", "by edge name or number, such as side=25 hem=40", 0, 300) = {},
    folds: Text("Edges on the fold", "they get none") = "",
    hems: Text("Hem edges", "turned back at their ends so that they lie flat") = "",
    stored: Flag("Use the widths kept with named pieces", "where there are any") = True,
    old_width: Length("Width it has now", "only for changing", 0, 300) = 10.0,
    corners: Choice(
        "Corners",
        "",
        {
            "auto": "Hems turned back, all others extended",
            "extended": "Extended to a point",
            "square": "Square end",
            "blunt": "Blunt",
            "turned-back": "Turned back",
        },
    ) = "auto",
    corner_rules: Text("Single corners", "such as side/hem=turned-back:hem armhole/side=square:side") = "",
    mitre_limit: Number("Longest point", "in widths; longer points are blunted", 1.0, 20.0) = 2.5,
    rebuild: Flag("Make cut-off corners whole", "when taking off or changing") = True,
) -> Outcome:
    """Put seam allowance on a seam line, take it off a cut line, or change its width.

    The seam line is the truth and stays as it is; the cut line is drawn beside it and can
    be made again at any time. Each edge may have a width of its own; a fold has none.
    Edges of a bare path are numbered 1, 2, 3 from its first corner in path direction.

    Corners: extended runs both cut edges to a point. Square ends the allowance of the
    seam that is sewn first at right angles to it. Blunt cuts the point off, never nearer
    to the corner than the width. Turned back mirrors the neighbour in the fold of the
    hem, or in the seam that is sewn first, so that it lies flat when pressed. A single
    corner is written edge/edge=style:leading-edge.

    Notches are carried to the cut line. Where a tight curve swallows a part of the cut
    line the loop is trimmed, and you are told where.
    """
    rules = _Rules(width, edges, stored, corners, corner_rules, mitre_limit, rebuild)
    work = _grouped(chosen, pattern)
    if not work:
        raise InputError("There is no outline to work on.", "Select one, or name a piece.", code="choice")
    after, reports = pattern, []
    for name, sizes in work:
        piece = _with_roles(after.piece(name), folds, hems)
        for size in sizes:
            if action == "add":
                piece, report = _put_on(piece, size, rules)
            elif action == "remove":
                piece, report = _take_off(piece, size, rules)
            else:
                piece, report = _take_off(piece, size, rules._replace(width=old_width, edges={}, stored=False))
                piece, more = _put_on(piece, size, rules, keep_cut=False)
                report = report.then(more)
            reports.append(report)
        after = after.with_piece(piece)
    whole = Report()
    for report in reports:
        whole = whole.then(report)
    sizes = sorted({size for _, some in work for size in some})
    told = Report() if action == "add" else guard(pattern, after, [(s, s) for s in sizes], [n for n, _ in work])
    return Outcome(after, _summed(action, work, whole).then(told))


def _grouped(chosen: Chosen, pattern: Pattern) -> List[Tuple[str, List[str]]]:
    found: Dict[str, List[str]] = {}
    for piece, outline in chosen.picked(pattern):
        sizes = found.setdefault(piece.name, [])
        if outline.size not in sizes:
            sizes.append(outline.size)
    return list(found.items())


def _with_roles(piece: Piece, folds: str, hems: str) -> Piece:
    return piece._replace(
        folds=tuple(dict.fromkeys(piece.folds + tuple(folds.split()))),
        hems=tuple(dict.fromkeys(piece.hems + tuple(hems.split()))),
    )


def _width_of(piece: Piece, rules: _Rules) -> Callable[[str], float]:
    """Width by edge name: what was asked for the edge, none on a fold, what is kept, the rest."""

    def width(edge: str) -> float:
        if edge in rules.edges:
            return rules.edges[edge]
        if edge in piece.folds:
            return 0.0
        if rules.stored and piece.allowance:
            return piece.width(edge, rules.width)
        return rules.width

    return width


def _corner_of(piece: Piece, rules: _Rules) -> Callable[[str, str], Corner]:
    single = parse_corners(rules.corner_rules)
    _check_corner_rules(single, piece)

    def corner(before: str, after: str) -> Corner:
        if (before, after) in single:
            rule = single[(before, after)]
            return Corner(rule.style, 0 if rule.leads == before else 1)
        if rules.style == "auto" or (before, after) in piece.corners:
            return corner_at(piece, before, after)
        leads = 1 if after in piece.hems and before not in piece.hems else 0
        return Corner(Style(rules.style), leads)

    return corner


def _check_corner_rules(single, piece: Piece) -> None:  # type: ignore[no-untyped-def]
    pairs = set()
    for outline in piece.outlines:
        names = [edge.name for edge in outline.edges]
        pairs |= set(zip(names, names[1:] + names[:1]))
    for before, after in single:
        if (before, after) not in pairs:
            raise InputError(
                "'{}' has no corner where '{}' meets '{}' in path order.".format(piece.name, before, after),
                "Its corners are: {}.".format(", ".join("{}/{}".format(*pair) for pair in sorted(pairs))),
                code="corner",
            )


def _check_edges(outline: Outline, piece: Piece, rules: _Rules) -> None:
    for name in rules.edges:
        if not any(name in other.names for other in piece.outlines):
            if piece.named or len(piece.outlines) == 1:
                raise InputError(
                    "'{}' has no edge called '{}'.".format(piece.name, name),
                    "Its edges are: {}.".format(", ".join(outline.names)),
                    code="name",
                )


def _put_on(piece: Piece, size: str, rules: _Rules, keep_cut: bool = True) -> Tuple[Piece, Report]:
    where = _shown(piece, size)
    outline, gap = closed_outline(piece.outline(size), where)
    if not _edges_of_others(rules, piece):
        _check_edges(outline, piece, rules)
    width = _width_of(piece, rules)
    cut = parallel(
        without_darts(outline, piece.darts), where, width, _corner_of(piece, rules), rules.mitre_limit
    )
    old = piece.cut_line(outline.size)
    line = CutLine(outline.size, cut.path, old.key if old else "")
    marks = tuple(_carried(mark, outline, width) for mark in piece.marks)
    remembered = {"": rules.width} if not rules.stored or not piece.allowance else dict(piece.allowance)
    remembered.update({name: mm for name, mm in rules.edges.items() if name in outline.names})
    piece = piece.with_cut_line(line)._replace(marks=marks)
    if piece.named:
        piece = piece._replace(allowance=remembered, corners={**piece.corners, **parse_corners(rules.corner_rules)})
    return piece, Report("", tuple(_findings(cut, outline, piece, where, gap, width)))


def _edges_of_others(rules: _Rules, piece: Piece) -> bool:
    """Named widths may belong to other pieces of the same call; only bare paths are strict."""
    return piece.named


def _carried(mark: Mark, outline: Outline, width: Callable[[str], float]) -> Mark:
    """A notch drawn on the cut line; every other mark, and other sizes' marks, as they are."""
    if mark.kind != NOTCH or mark.on is None or mark.size not in (outline.size, ""):
        return mark
    return redrawn(mark, outline, width(mark.on.edge)) or mark


def _take_off(piece: Piece, size: str, rules: _Rules) -> Tuple[Piece, Report]:
    where = _shown(piece, size)
    drawn = piece.outline(size)
    outline, gap = closed_outline(drawn, where)
    width = _width_of(piece, rules)
    whole, dropped = cut_off_corners(outline, width) if rules.rebuild else (outline, ())
    cut = parallel(whole, where, lambda edge: -width(edge), lambda before, after: Corner(), rules.mitre_limit)
    seam = seam_outline(cut, whole.names, outline.size)
    outlines = tuple(seam if o.size == drawn.size else o for o in piece.outlines)
    kept = tuple(line for line in piece.cut_lines if line.size != outline.size)
    piece = piece._replace(outlines=outlines, cut_lines=kept + (CutLine(outline.size, drawn.path, drawn.key),))
    findings = _findings(cut, outline, piece, where, gap, width)
    if dropped:
        text = "{}: {} cut-off corner{} made whole again.".format(
            where, len(dropped), " was" if len(dropped) == 1 else "s were"
        )
        findings.append(Finding("corner-rebuilt", Level.INFO, text, where))
    gone = [name for name in whole.names if name not in seam.names]
    if gone:
        text = "{}: nothing is left of the edge {} without its allowance.".format(where, ", ".join(gone))
        findings.append(Finding("edge-gone", Level.FAIL, text, where))
    return piece, Report("", tuple(findings))


def _findings(
    cut: Cut, outline: Outline, piece: Piece, where: str, gap: float, width: Callable[[str], float]
) -> List[Finding]:
    found = []
    if gap > SILENT:
        text = "{}: a gap of {:.1f} mm was closed with a straight line.".format(where, gap)
        found.append(Finding("gap-closed", Level.WARN, text, where))
    for trim in cut.result.trimmed:
        text = "{}: the line is too tightly curved for its width near ({:.0f}, {:.0f}) mm; a loop of {:.1f} mm was trimmed.".format(
            where, trim.point[0], trim.point[1], trim.size
        )
        found.append(Finding("loop-trimmed", Level.WARN, text, where, tuple(map(float, trim.point))))
    for node in cut.result.blunted:
        spot = outline.path.curves[node % len(outline.path), 0] if node < len(outline.path) else outline.path.start
        text = "{}: the point at ({:.0f}, {:.0f}) mm would be too long and was blunted.".format(where, *spot)
        found.append(Finding("blunted", Level.INFO, text, where, tuple(map(float, spot))))
    found += _hem_findings(outline, piece, where, width)
    if any(edge.name in piece.darts for edge in outline.edges):
        text = "{}: the cut line runs straight across the dart; true its mouth before cutting.".format(where)
        found.append(Finding("dart-mouth", Level.WARN, text, where))
    return found


def _hem_findings(outline: Outline, piece: Piece, where: str, width: Callable[[str], float]) -> List[Finding]:
    found = []
    for name in piece.hems:
        for run in outline.runs(name):
            u, v = start_tangents(run.curves), end_tangents(run.curves)
            whole = float(np.abs(turns(run)).sum()) if len(run) > 1 else 0.0
            within = np.degrees(np.abs(np.arctan2(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0], (u * v).sum(axis=1))))
            if whole + within.sum() > _CURVED_HEM_TURN and width(name) > _CURVED_HEM_DEPTH:
                text = (
                    "{}: the hem '{}' is curved and {:g} mm deep; its edge will not lie flat. "
                    "Make it 20 mm or less, or face it."
                ).format(where, name, width(name))
                found.append(Finding("curved-hem", Level.WARN, text, where))
    return found


def _shown(piece: Piece, size: str) -> str:
    return "{} size {}".format(piece.name, size) if size else piece.name


def _summed(action: str, work: List[Tuple[str, List[str]]], report: Report) -> Report:
    done = {"add": "has its allowance", "remove": "has its seam line", "change": "has its new allowance"}[action]
    names = ", ".join(name for name, _ in work[:6]) + (" and more" if len(work) > 6 else "")
    if len(work) > 1:
        done = done.replace("has its", "have their")
    return report._replace(summary="{} {}.".format(names, done))
