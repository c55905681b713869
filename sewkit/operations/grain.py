"""The grain line of a piece, and the brackets at its folds."""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.operation import Choice, Flag, Number, Outcome, Percent, Text, operation
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.drawn_lines import subjects
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.fold_bracket import with_brackets
from sewkit.pattern.grain_drawn import LEAST, Drawn, Way, grain_line, turned, way_along
from sewkit.pattern.mark import FOLD, GRAIN, LABEL, LENGTHEN, LEVEL, NOTE, OVERLAY, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.pressing import centre_line
from sewkit.pattern.recut import shown
from sewkit.pattern.upright import down_of
from sewkit.report import Change, Finding, Level, Report, Table

# Marks that run across the whole piece, which every grain line crosses, and what is no line to avoid.
_CROSSED = (LEVEL, LENGTHEN, GRAIN, OVERLAY, NOTE)

# A limit itself is still inside; this much of a share is rounding.
_ROUNDING = 1e-9


class _Asked(NamedTuple):
    along: str
    angle: float
    form: str
    share: float


class _Made(NamedTuple):
    """A grain line, its piece and size (empty: all), and the edge it follows."""

    piece: Piece
    size: str
    drawn: Drawn
    edge: str
    bent: bool


@operation(
    title="Draw grain line and fold bracket",
    menu="Marks",
    select="Select the pieces or outlines, or nothing for all of them.",
    example="sewkit grain samples/waistcoat/master.svg -o bias.svg --piece back --angle 45",
    beside=True,
)
def grain(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    along: Text("Parallel to", "an edge; empty: the fold, else as the old grain line, else the centre") = "",
    angle: Number("Turned by (degrees)", "clockwise; 45 the true bias, 90 the cross grain", -180, 180) = 0.0,
    arrow: Choice(
        "Arrow",
        "",
        {
            "both-ways": "With two heads: the piece may lie either way up",
            "one-way": "With one head, to the lower end: one way only, for nap",
        },
    ) = "both-ways",
    length: Percent("Length", "of the piece's length along it", 60, 95) = 70.0,
    line: Flag("Draw the grain line") = True,
    folds: Flag("Draw a bracket at every fold") = True,
) -> Outcome:
    """Draw the grain line of a piece anew, and a bracket at each edge that lies on the fold.

    The line runs parallel to an edge, or turned from it by an angle: 45 degrees is the true bias, 90
    the cross grain. Of an edge that is not straight throughout its longest straight part counts. It
    takes up 60 percent of the piece's length at least, lies inside the outline in every size and
    keeps clear of buttons, drill holes, inner lines and words where there is room. An arrow with two
    heads says that the piece may lie either way up, one with a single head that it lies one way only,
    as cloth with a nap or a pattern asks. The old grain line is replaced.

    The bracket's two arrows point to the edge that lies on the fold of the cloth. Which edges these
    are stands with the names: Name a piece and its edges sets them.
    """
    if not (line or folds):
        raise InputError(
            "There is nothing to draw.", "Ask for the grain line, the brackets, or both.", code="value"
        )
    asked = _Asked(along.strip(), angle, arrow, length / 100.0)
    after, made, brackets = pattern, [], 0
    for name, outlines in _by_piece(pattern, chosen, asked.along).items():
        piece = pattern.piece(name)
        if line:
            piece, lines = _with_grain(pattern, piece, outlines, asked)
            made += lines
        if folds:
            piece = with_brackets(piece, outlines)
            brackets += sum(mark.kind == FOLD for mark in piece.marks)
        after = after.with_piece(piece)
    return Outcome(after, _report(made, brackets, asked, line))


def _by_piece(pattern: Pattern, chosen: Chosen, along: str) -> Dict[str, List[Outline]]:
    """The closed outlines to work on, by piece; ``InputError`` where none has the edge."""
    found: Dict[str, List[Outline]] = {}
    names: List[str] = []
    for piece, outline in subjects(pattern, chosen).outlines:
        names += outline.names
        if outline.path.closed and (not along or along in outline.names):
            found.setdefault(piece.name, []).append(outline)
    if found:
        return found
    if along and along not in names:
        raise InputError(
            "There is no edge called '{}'.".format(along),
            "The edges are: {}.".format(", ".join(dict.fromkeys(names))),
            code="name",
        )
    raise InputError("There is no closed outline.", "Join the two end nodes of the piece.", code="open")


def _with_grain(
    pattern: Pattern, piece: Piece, outlines: Sequence[Outline], asked: _Asked
) -> Tuple[Piece, List[_Made]]:
    """The piece with one line that serves all the outlines if it can, else with one for each."""
    groups = [list(outlines)]
    edge, way = _way(piece, outlines[0], asked)
    ways = [_way(piece, outline, asked)[1].along for outline in outlines]
    first = _line(pattern, piece, outlines, way, asked)
    if len(outlines) > 1 and (first is None or not np.allclose(ways, ways[0])):
        groups = [[outline] for outline in outlines]
    elif len(outlines) > 1 and first is not None and first.share < LEAST:
        # Several arrows are worse to read than one: only where each of them is as long as it should be.
        singles = [_line(pattern, piece, [outline], way, asked) for outline in outlines]
        if all(single is not None and single.share >= LEAST - _ROUNDING for single in singles):
            groups = [[outline] for outline in outlines]
    sizes = {outline.size for outline in outlines}
    whole = sizes >= set(piece.sizes)
    # One that served all sizes still serves those that are not drawn anew.
    kept = [m for m in piece.marks if m.kind != GRAIN or (m.size not in sizes if m.size else not whole)]
    made = []
    for group in groups:
        mine = _way(piece, group[0], asked)[1]
        drawn = first if len(groups) == 1 else _line(pattern, piece, group, mine, asked)
        if drawn is None:
            raise InputError(
                "'{}' has no room for a grain line.".format(piece.name),
                "Look whether its outline crosses itself.",
                code="grain",
            )
        own = [""] if len(group) > 1 and whole else [outline.size for outline in group]
        kept += [Mark(GRAIN, "", size, drawn.path, form=asked.form) for size in own]
        made.append(_Made(piece, own[0] if len(own) == 1 else "", drawn, edge, way.bent))
    return piece._replace(marks=tuple(kept)), made


def _way(piece: Piece, outline: Outline, asked: _Asked) -> Tuple[str, Way]:
    """The edge that is followed, empty for none, and the direction, not yet turned."""
    edge = asked.along or next((name for name in piece.folds if name in outline.names), "")
    if edge:
        return edge, way_along(outline, edge)
    for mark in piece.marks_for(outline.size):
        if mark.kind == GRAIN and mark.path is not None and len(mark.path):
            shaft = mark.shaft.end - mark.shaft.start
            if np.hypot(*shaft) > 1.0:
                return "", Way(shaft / np.hypot(*shaft))
    called = [name for name in outline.names if "centre" in name or "center" in name]
    if called:
        return called[0], way_along(outline, called[0])
    return "", Way(centre_line(piece, outline)[1])


def _line(
    pattern: Pattern, piece: Piece, outlines: Sequence[Outline], way: Way, asked: _Asked
) -> Optional[Drawn]:
    down = np.array(down_of(pattern, piece).axis)
    along = turned(way.along, asked.angle)
    # The one head points to the lower end; on the cross grain to the right.
    backwards = along @ down < -1e-9 or (abs(along @ down) <= 1e-9 and along[0] < 0)
    others = [mark.path for mark in _avoided(pattern, piece, outlines) if mark.path is not None]
    return grain_line(outlines, others, -along if backwards else along, asked.share, asked.form)


def _avoided(pattern: Pattern, piece: Piece, outlines: Sequence[Outline]) -> List[Mark]:
    sizes = {"", *(outline.size for outline in outlines)}
    marks = [mark for mark in piece.marks if mark.size in sizes and mark.path is not None and len(mark.path)]
    words = [mark for mark in pattern.beside if mark.kind == OVERLAY]
    return [mark for mark in marks if mark.kind not in _CROSSED and mark.kind != LABEL] + words


def _report(made: Sequence[_Made], brackets: int, asked: _Asked, line: bool) -> Report:
    words = []
    if line:
        count = len({one.piece.name for one in made})
        words.append(
            "The grain line of {} drawn.".format(
                "one piece is" if count == 1 else "{} pieces is".format(count)
            )
        )
    if brackets:
        words.append(
            "{} drawn.".format(
                "One fold bracket is" if brackets == 1 else "{} fold brackets are".format(brackets)
            )
        )
    elif not line:
        words.append("No edge lies on the fold, so there is no bracket to draw.")
    firsts = list({one.piece.name: one for one in reversed(made)}.values())[::-1]
    findings = [finding for one in firsts for finding in _findings(one)]
    rows = [
        (
            shown(one.piece, one.size),
            "{}{}".format(
                one.edge or "as before", ", turned {:g} degrees".format(asked.angle) if asked.angle else ""
            ),
            "{:.0f}".format(one.drawn.length),
            "{:.0f}".format(100.0 * one.drawn.share),
        )
        for one in made
    ]
    tables = (Table("Grain lines", ("piece", "parallel to", "long mm", "% of the piece"), tuple(rows)),)
    changes = tuple(Change(one.piece.name, "grain line", _spot(one.drawn)) for one in firsts)
    return Report(" ".join(words), tuple(findings), tables if made else (), changes)


def _spot(drawn: Drawn) -> Tuple[float, float]:
    x, y = drawn.path.curves[0, [0, 3]].mean(axis=0)
    return float(x), float(y)


def _findings(one: _Made) -> List[Finding]:
    where, found = shown(one.piece, one.size), []
    if one.bent:
        text = "{}: {} is not straight throughout; its longest straight part counts."
        outline = one.piece.outlines[0]
        found.append(
            Finding("grain-bent", Level.INFO, text.format(where, quoted(outline, one.edge)), one.piece.name)
        )
    if one.drawn.share < LEAST - 1e-9:
        text = "{}: the grain line is only {:.0f} percent of the piece's length, for it has to stay inside."
        found.append(
            Finding("grain-short", Level.WARN, text.format(where, 100.0 * one.drawn.share), one.piece.name)
        )
    if one.drawn.crossed:
        text = "{}: the grain line runs close to another mark, for there is no free place."
        found.append(Finding("grain-crossed", Level.INFO, text.format(where), one.piece.name))
    return found
