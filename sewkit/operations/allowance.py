"""Seam allowance: put it on, take it off, change it."""

from typing import Callable, Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple

from sewkit.checks.cuts import cut_findings, dart_findings, hem_findings
from sewkit.checks.seams import guard
from sewkit.errors import InputError
from sewkit.geometry.corner import Corner, Style
from sewkit.operation import Choice, Flag, Length, LengthsByName, Number, Outcome, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.cutting import closed_outline, parallel, seam_outline
from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.notch import redrawn, settled
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CornerRule, CutLine, Piece, corner_at, parse_corners
from sewkit.pattern.rebuilding import Whole, whole_corners
from sewkit.pattern.recut import put_on, shown, without_cut_line
from sewkit.report import Finding, Level, Report, gathered

# The allowance where nothing was asked and nothing is kept (mm); common practice on the
# metric side, 1.0 or 1.5 cm.
_USUAL = 10.0


class _Rules(NamedTuple):
    """What was asked, the same for all pieces of one call."""

    width: Optional[float]
    edges: Dict[str, float]
    style: str
    single: Mapping[Tuple[str, str], CornerRule]
    mitre_limit: Optional[float]
    rebuild: bool


@operation(
    title="Seam allowance",
    menu="Seams",
    select="Select outlines or named pieces; nothing means all named pieces.",
    example=(
        "sewkit allowance samples/waistcoat/master.svg -o cut.svg --size 3 --edges 'side=25 centre-back=25'"
    ),
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
    width: Length(
        "Width", "empty: what each piece has kept, and 10 mm where nothing is kept", 0, 300, optional=True
    ) = None,
    edges: LengthsByName("Other widths", "by edge name or number, such as side=25 hem=40", 0, 300) = {},
    folds: Text("Edges on the fold", "they get none") = "",
    hems: Text("Hem edges", "turned back at their ends so that they lie flat") = "",
    corners: Choice(
        "Corners",
        "",
        {
            "kept": "As kept; where nothing is kept as the next",
            "auto": "Hems turned back, all others extended",
            "extended": "Extended to a point",
            "square": "Square end",
            "blunt": "Blunt",
            "turned-back": "Turned back",
        },
    ) = "kept",
    corner_rules: Text("Single corners", "such as side/hem=turned-back:hem armhole/side=square:side") = "",
    mitre_limit: Number(
        "Longest point, in widths", "longer ones are blunted; 0: as kept, and 2.5 if nothing is", 0.0, 20.0
    ) = 0.0,
    rebuild: Flag("Make cut-off corners whole", "when taking off or changing") = True,
    old_width: Length("Old width, for changing", "what the cut line has now", 0, 300) = 10.0,
    old_edges: LengthsByName("Other old widths, for changing", "such as side=25", 0, 300) = {},
) -> Outcome:
    """Put seam allowance on a seam line, take it off a cut line, or change its width.

    The seam line is the truth and stays as it is; the cut line is drawn beside it and can
    be made again at any time. Each edge may have a width of its own; a fold has none.
    Named pieces keep their widths, corners and longest point for the next time: a width
    kept for one edge stays until that edge is given another. Edges of a bare path are
    numbered 1, 2, 3 from its first corner in path direction.

    Corners: extended runs both cut edges to a point. Square ends the allowance of the
    seam that is sewn first at right angles to it. Blunt cuts the point off, never nearer
    to the corner than the width. Turned back mirrors the neighbour in the fold of the
    hem, or in the seam that is sewn first, so that it lies flat when pressed. A single
    corner is written edge/edge=style:leading-edge.

    Notches are carried to the cut line. Where a tight curve swallows a part of the cut
    line the loop is trimmed, and you are told where. A line that has a cut line beside it
    already is a seam line: taking off then takes the cut line away, and changing makes it
    anew.
    """
    rules = _Rules(width, edges, corners, parse_corners(corner_rules), _limit(mitre_limit), rebuild)
    old = rules._replace(width=old_width, edges=old_edges)
    picked = _grouped(chosen, pattern)
    work = picked if action == "add" else _with_cut_lines(picked, pattern)
    if not work:
        raise InputError("There is no outline to work on.", "Select one, or name a piece.", code="choice")
    named = _listed(folds), _listed(hems)
    _check_names([pattern.piece(name) for name, _ in work], rules, *named)
    after, reports = pattern, [_left_alone(picked, work)]
    for name, sizes in work:
        piece = _with_roles(after.piece(name), *named)
        for size in sizes:
            piece, report = _DO[action](piece, size, rules, old)
            reports.append(report)
        after = after.with_piece(piece)
    told = Report()
    if action != "add":
        touched = dict.fromkeys(size for _, some in work for size in some)
        told = guard(pattern, after, [(size, size) for size in touched], [name for name, _ in work])
    summary = _summary(action, [after.piece(name) for name, _ in work], rules)
    return Outcome(after, gathered(reports)._replace(summary=summary).then(told))


def _limit(widths: float) -> Optional[float]:
    """The longest point that was asked for, in widths; None for what is kept."""
    if 0 < widths < 1:
        raise InputError(
            "A point cannot be shorter than one width, and {:g} widths are asked for.".format(widths),
            "Give 1 or more; 0 for what each piece has kept.",
            code="value",
        )
    return widths or None


_Work = List[Tuple[str, List[str]]]


def _grouped(chosen: Chosen, pattern: Pattern) -> _Work:
    """Pieces and their sizes, in the order of choice."""
    found: Dict[str, List[str]] = {}
    for piece, outline in chosen.picked(pattern):
        sizes = found.setdefault(piece.name, [])
        if outline.size not in sizes:
            sizes.append(outline.size)
    return list(found.items())


def _with_cut_lines(work: _Work, pattern: Pattern) -> _Work:
    """Where some of a piece's lines have a cut line beside them, those alone.

    The others are seam lines as well, and there is nothing to take off them.
    """
    kept = []
    for name, sizes in work:
        cut = [size for size in sizes if pattern.piece(name).cut_line(size) is not None]
        kept.append((name, cut or sizes))
    return kept


def _left_alone(picked: _Work, work: _Work) -> Report:
    """Which of the picked sizes were left as they are."""
    found = []
    for (name, sizes), (_, some) in zip(picked, work):
        left = [size for size in sizes if size not in some]
        if left:
            text = "{}: size {} has no cut line beside it and was left alone; pick it by itself.".format(
                name, ", ".join(left)
            )
            found.append(Finding("left-alone", Level.INFO, text, name))
    return Report("", tuple(found))


def _listed(text: str) -> Tuple[str, ...]:
    return tuple(dict.fromkeys(text.replace(",", " ").split()))


def _names(piece: Piece) -> Tuple[str, ...]:
    return tuple(dict.fromkeys(name for outline in piece.outlines for name in outline.names))


def _pairs(piece: Piece) -> Tuple[Tuple[str, str], ...]:
    """Which edges meet at the corners, in path order."""
    found = []
    for outline in piece.outlines:
        names = [edge.name for edge in outline.edges]
        found += list(zip(names, names[1:] + names[:1]))
    return tuple(dict.fromkeys(found))


def _check_names(pieces: Sequence[Piece], rules: _Rules, folds: Sequence[str], hems: Sequence[str]) -> None:
    """Every name typed must belong to one of the pieces; a slip would leave an edge without."""
    known = dict.fromkeys(name for piece in pieces for name in _names(piece))
    called = ", ".join(piece.name for piece in pieces[:6]) + (" and more" if len(pieces) > 6 else "")
    for name in list(rules.edges) + list(folds) + list(hems):
        if name not in known:
            raise InputError(
                "'{}' has no edge called '{}'.".format(called, name),
                "The edges are: {}.".format(", ".join(known)),
                code="name",
            )
    pairs = dict.fromkeys(pair for piece in pieces for pair in _pairs(piece))
    for before, after in rules.single:
        if (before, after) not in pairs:
            raise InputError(
                "'{}' has no corner where '{}' meets '{}' in path order.".format(called, before, after),
                "The corners are: {}.".format(", ".join("{}/{}".format(*pair) for pair in pairs)),
                code="corner",
            )
    for name, width in rules.edges.items():
        if width and all(name in tuple(p.folds) + tuple(folds) for p in pieces if name in _names(p)):
            raise InputError(
                "'{}' lies on the fold and gets no allowance.".format(name),
                "Leave out its width, or take it off the folds.",
                code="fold",
            )


def _with_roles(piece: Piece, folds: Sequence[str], hems: Sequence[str]) -> Piece:
    known = _names(piece)
    return piece._replace(
        folds=tuple(dict.fromkeys(piece.folds + tuple(n for n in folds if n in known))),
        hems=tuple(dict.fromkeys(piece.hems + tuple(n for n in hems if n in known))),
    )


def _rest(piece: Piece, rules: _Rules) -> float:
    """The width of the edges that have none of their own."""
    return piece.allowance.get("", _USUAL) if rules.width is None else rules.width


def _width_of(piece: Piece, rules: _Rules) -> Callable[[str], float]:
    """Width by edge name: none on a fold or dart leg, what was asked, what is kept, the rest."""

    def width(edge: str) -> float:
        if edge in piece.folds or edge in piece.darts:
            return 0.0
        return rules.edges.get(edge, piece.allowance.get(edge, _rest(piece, rules)))

    return width


def _corner_of(piece: Piece, rules: _Rules) -> Callable[[str, str], Corner]:
    def corner(before: str, after: str) -> Corner:
        if (before, after) in rules.single:
            rule = rules.single[(before, after)]
            return Corner(rule.style, 0 if rule.leads == before else 1)
        return corner_at(asked, before, after)

    asked = piece._replace(other_corners=_other_corners(piece, rules))
    return corner


def _other_corners(piece: Piece, rules: _Rules) -> Optional[Style]:
    """How the corners without a rule are turned: as asked, or as kept."""
    if rules.style == "kept":
        return piece.other_corners
    return None if rules.style == "auto" else Style(rules.style)


def _mitre_limit(piece: Piece, rules: _Rules) -> float:
    return piece.mitre_limit if rules.mitre_limit is None else rules.mitre_limit


# -- on, off, anew ----------------------------------------------------------------------


def _put_on(piece: Piece, size: str, rules: _Rules, old: Optional[_Rules] = None) -> Tuple[Piece, Report]:
    where, width = shown(piece, size), _width_of(piece, rules)
    limit = _mitre_limit(piece, rules)
    piece, outline, cut, gap = put_on(piece, size, width, _corner_of(piece, rules), limit)
    if piece.named:
        piece = _remembering(piece, rules)
    findings = cut_findings(cut, where, gap) + hem_findings(outline, piece, where, width)
    return piece, Report("", tuple(findings + dart_findings(outline, piece, where)))


def _remembering(piece: Piece, rules: _Rules) -> Piece:
    """A named piece keeps the widths, the corners and the longest point it was given."""
    widths = {**piece.allowance, "": _rest(piece, rules)}
    known, pairs = _names(piece), _pairs(piece)
    widths.update({name: mm for name, mm in rules.edges.items() if name in known and name not in piece.folds})
    corners = dict(piece.corners)
    corners.update({pair: rule for pair, rule in rules.single.items() if pair in pairs})
    return piece._replace(
        allowance=widths,
        corners=corners,
        other_corners=_other_corners(piece, rules),
        mitre_limit=_mitre_limit(piece, rules),
    )


def _take_off(piece: Piece, size: str, rules: _Rules, old: Optional[_Rules] = None) -> Tuple[Piece, Report]:
    where = shown(piece, size)
    drawn = piece.outline(size)
    if piece.cut_line(drawn.size) is not None:
        return _only_seam_line(piece, drawn, where)
    outline, gap = closed_outline(drawn, where)
    width = _width_of(piece, rules)
    whole = whole_corners(outline, width) if rules.rebuild else Whole(outline)
    limit = _mitre_limit(piece, rules)
    cut = parallel(whole.outline, where, lambda edge: -width(edge), lambda before, after: Corner(), limit)
    seam = seam_outline(cut, whole.outline.names, outline.size)
    marks = tuple(_settled(mark, outline, seam, width) for mark in piece.marks)
    piece = piece._replace(
        outlines=tuple(seam if o.size == drawn.size else o for o in piece.outlines),
        cut_lines=piece.cut_lines + (CutLine(outline.size, drawn.path, drawn.key, bought=True),),
        marks=marks,
    )
    findings = cut_findings(cut, where, gap) + _whole_findings(whole, seam, where)
    return piece, Report("", tuple(findings))


def _only_seam_line(piece: Piece, drawn: Outline, where: str) -> Tuple[Piece, Report]:
    """A piece whose cut line stands beside its seam line: the cut line goes, if it was made.

    The line that the pattern came with stays; there is nothing left to take off.
    """
    bought = piece.cut_line(drawn.size)
    if bought is not None and bought.bought:
        text = "{}: the seam line is drawn already, and the cut line it came from stays.".format(where)
        return piece, Report("", (Finding("seam-line-drawn", Level.INFO, text, where),))
    text = "{}: the seam line is drawn already; only the cut line was taken away.".format(where)
    report = Report("", (Finding("cut-line-gone", Level.INFO, text, where),))
    return without_cut_line(piece, drawn.size), report


def _settled(mark: Mark, drawn: Outline, seam: Outline, width: Callable[[str], float]) -> Mark:
    """A notch of the cut line, counted along the seam line that was found inside it."""
    if mark.kind != NOTCH or mark.on is None or mark.size not in (drawn.size, ""):
        return mark
    on = settled(mark.on, drawn, seam, width(mark.on.edge))
    return mark if on is None else redrawn(mark._replace(on=on), seam, width(on.edge)) or mark


def _whole_findings(whole: Whole, seam: Outline, where: str) -> List[Finding]:
    found = []
    for code, count, words in (
        ("corner-rebuilt", whole.cut_off, "cut-off corner"),
        ("hem-rebuilt", whole.turned_back, "turned-back end"),
    ):
        if count:
            verb = " was" if count == 1 else "s were"
            text = "{}: {} {}{} made whole again.".format(where, count, words, verb)
            found.append(Finding(code, Level.INFO, text, where))
    gone = [name for name in whole.outline.names if name not in seam.names]
    if gone:
        text = "{}: nothing is left of the edge {} without its allowance.".format(where, ", ".join(gone))
        found.append(Finding("edge-gone", Level.FAIL, text, where))
    return found


def _change(piece: Piece, size: str, rules: _Rules, old: _Rules) -> Tuple[Piece, Report]:
    taken = Report()
    if piece.cut_line(piece.outline(size).size) is None:
        # What the piece keeps are the widths it shall have, not those it has.
        bare, taken = _take_off(piece._replace(allowance={}), size, old)
        piece = bare._replace(allowance=piece.allowance)
    piece, put = _put_on(piece, size, rules)
    return piece, taken.then(put)


_DO = {"add": _put_on, "remove": _take_off, "change": _change}


def _summary(action: str, pieces: Sequence[Piece], rules: _Rules) -> str:
    """What was done; and the widths, so that kept ones are not taken for those typed."""
    if action == "remove":
        names = ", ".join(piece.name for piece in pieces[:6]) + (" and more" if len(pieces) > 6 else "")
        return "{} {} without allowance now: what is drawn is the seam line.".format(
            names, "is" if len(pieces) == 1 else "are"
        )
    by_widths: Dict[str, List[str]] = {}
    for piece in pieces:
        width = _width_of(piece, rules)
        rest = _rest(piece, rules)
        other = [
            "{} {:g}".format(n, width(n)) for n in _names(piece) if width(n) != rest and n not in piece.darts
        ]
        words = "{:g} mm".format(rest) + (" ({})".format(", ".join(other)) if other else "")
        by_widths.setdefault(words, []).append(piece.name)
    told = [
        "{}: {}".format(", ".join(n[:6]) + (" and more" if len(n) > 6 else ""), w)
        for w, n in by_widths.items()
    ]
    return "{} {}.".format("Allowance" if action == "add" else "New allowance", "; ".join(told))
