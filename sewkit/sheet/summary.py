"""What was brought in from a PDF, said in a few lines: pieces, sizes, guesses, doubts."""

from typing import Dict, List, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.pattern.mark import DART, DRILL, FOLD, GRAIN, INNER, LABEL, LENGTHEN, LEVEL, NOTCH
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level, Report, Table
from sewkit.sheet.drawn import Style, Whole
from sewkit.sheet.groups import Group, Grouping
from sewkit.sheet.tiles import Joined
from sewkit.units import write_number

# What the kinds of marks are called: one of them, several.  In the order of a report.
KIND_WORDS: Dict[str, Tuple[str, str]] = {
    GRAIN: ("grain line", "grain lines"),
    FOLD: ("fold bracket", "fold brackets"),
    NOTCH: ("notch", "notches"),
    DART: ("dart", "darts"),
    LENGTHEN: ("lengthen or shorten line", "lengthen or shorten lines"),
    DRILL: ("drill hole", "drill holes"),
    LEVEL: ("level line", "level lines"),
    INNER: ("inner line", "inner lines"),
    LABEL: ("label", "labels"),
}

_MISSING = "-"
# So many pieces are named of which something is told as well; more are counted.
_MOST_NAMES = 6
_EVERY_SIZE, _NO_SIZE = "all", "-"  # how a group says that it has no size of its own


def summary(
    pattern: Pattern,
    rest: Sequence[Whole],
    joined: Joined,
    grouping: Grouping,
    findings: Sequence[Finding],
) -> Report:
    """What a person who sews wants to know of an import before trusting it.

    Args:
        pattern: the pieces, outlines by size, marks with the score of each guess.
        rest: whole lines that belong to no piece; the test squares need not be told.
        joined: where the pages lie; its findings are told too.
        grouping: which lines are which size; its findings are told too.
        findings: all others.

    Findings come worst first, those of one level in the order of the stages; what says the
    same of several places is told once.
    """
    ordered = told_once(in_order(joined, grouping, findings))
    tables = (_pieces(pattern), _groups(grouping), _guesses(pattern))
    return Report(
        _sentences(pattern, rest, joined, ordered), ordered, tuple(table for table in tables if table.rows)
    )


def in_order(joined: Joined, grouping: Grouping, findings: Sequence[Finding]) -> Tuple[Finding, ...]:
    """The findings of all stages, worst first, without those that are told twice of one place."""
    told = dict.fromkeys((*joined.findings, *grouping.findings, *findings))
    return tuple(sorted(told, key=lambda finding: -finding.level))


def told_once(findings: Sequence[Finding]) -> Tuple[Finding, ...]:
    """The same findings, but one for all that say the same, which tells where else that is so."""
    alike: Dict[Tuple[str, Level, str], List[Finding]] = {}
    for finding in findings:
        alike.setdefault((finding.code, finding.level, finding.text), []).append(finding)
    return tuple(one[0]._replace(text=one[0].text + _elsewhere(one)) for one in alike.values())


def _elsewhere(alike: Sequence[Finding]) -> str:
    """Where else what the first of some findings says is so: names of pieces, or how many places."""
    others = [finding.where for finding in alike[1:]]
    if not others:
        return ""
    names = list(dict.fromkeys(others))
    if len(names) == len(others) <= _MOST_NAMES and all(names) and alike[0].where not in names:
        return " (and so on {})".format(", ".join(names))
    return " (and at {} more {})".format(len(others), "place" if len(others) == 1 else "places")


def sizes_in_order(pattern: Pattern) -> Tuple[str, ...]:
    """All sizes of a pattern; nobody's size, "", is left out: such an outline serves every size."""
    return tuple(filter(None, pattern.sizes))


def look_words(style: Style) -> str:
    """How a line looks: "broken 6-2, 0.35 mm, #cc0000" (dashes and gaps in mm)."""
    if not style.colour:
        return "filled {}".format(_colour_words(style.fill)) if style.fill else "not drawn"
    words = ["solid"]
    if style.dashes:
        words = ["broken " + "-".join(write_number(round(length, 1)) for length in style.dashes)]
    words.append("{} mm".format(write_number(round(style.width, 2))) if style.width > 0 else "hairline")
    words.append(_colour_words(style.colour))
    if style.fill:
        words.append("filled {}".format(_colour_words(style.fill)))
    return ", ".join(words)


def _colour_words(colour: str) -> str:
    if colour.startswith("ink:"):
        return "ink " + colour[len("ink:") :]
    return "black" if colour == "#000000" else colour


def _sentences(pattern: Pattern, rest: Sequence[Whole], joined: Joined, findings: Sequence[Finding]) -> str:
    sizes = len(sizes_in_order(pattern))
    pages = _counted(len(joined.placed), "page", "pages")
    brought = "No piece was found on {}".format(pages)
    if pattern.pieces:
        brought = "{} in {} from {}".format(
            _counted(len(pattern.pieces), "piece", "pieces"),
            _counted(sizes, "size", "sizes") if sizes else "one size",
            pages,
        )
    stops = sum(finding.level == Level.FAIL for finding in findings)
    looks = sum(finding.level == Level.WARN for finding in findings)
    doubts = [_counted(stops, "thing", "things") + " to mend first"] if stops else []
    doubts += [_counted(looks, "thing", "things") + " to look at"] if looks else []
    text = "; ".join([brought, " and ".join(doubts) or "nothing to look at"]) + "."
    if rest:
        belong = "{} {} to no piece.".format(
            _counted(len(rest), "line", "lines"), "belongs" if len(rest) == 1 else "belong"
        )
        text = "{} {}".format(text, belong)
    return text


def _counted(count: int, one: str, several: str) -> str:
    """ "1 piece", "3 pieces", "no pieces"."""
    return "{} {}".format(count or "no", one if count == 1 else several)


def _pieces(pattern: Pattern) -> Table:
    """Each piece in each size: how long its outline is; how often it is cut; its marks."""
    sizes = sizes_in_order(pattern)
    counts = [_marks(piece) for piece in pattern.pieces]
    kinds = [kind for kind in KIND_WORDS if any(kind in count for count in counts)]
    columns = ["piece, mm around", *(sizes or ("outline",)), "cut"]
    columns += [KIND_WORDS[kind][1] for kind in kinds]
    rows = []
    for piece, count in zip(pattern.pieces, counts):
        lengths = [_outline_length(piece, size) for size in sizes or ("",)]
        marks = [str(count.get(kind, 0)) for kind in kinds]
        rows.append((piece.name, *lengths, str(piece.cut), *marks))
    return Table("Pieces", tuple(columns), tuple(rows))


def _outline_length(piece: Piece, size: str) -> str:
    """The length (mm) all around a piece in a size."""
    try:
        return "{:.1f}".format(path_length(piece.outline(size).path))
    except InputError:
        return _MISSING


def _marks(piece: Piece) -> Dict[str, int]:
    """How many marks of each kind one cuts and sews by: those of the size that has most."""
    most: Dict[str, int] = {}
    # A mark may have a size of which the piece has no outline.
    for size in dict.fromkeys((*piece.sizes, *(mark.size for mark in piece.marks))):
        shown = [mark.kind for mark in piece.marks_for(size)]
        for kind in KIND_WORDS:
            if kind in shown:
                most[kind] = max(most.get(kind, 0), shown.count(kind))
    return most


def _groups(grouping: Grouping) -> Table:
    rows = [_group(group, grouping.told_by) for group in grouping.groups]
    columns = ("key", "size", "told by", "look", "lines", "metres")
    return Table("Which lines are which size", columns, tuple(rows))


def _group(group: Group, told_by: str) -> Tuple[str, ...]:
    size = {_EVERY_SIZE: "every size", _NO_SIZE: "no size"}.get(group.size, group.size)
    look = look_words(group.style)
    if group.layer:
        look = "layer {}, {}".format(group.layer, look)
    metres = "{:.1f}".format(group.length / 1000.0)
    return group.key, size, group.reason or told_by, look, str(len(group.lines)), metres


def _guesses(pattern: Pattern) -> Table:
    """What nobody has said yet: names and marks, and how well the worst of each fits."""
    rows = []
    for piece in pattern.pieces:
        if piece.guess > 0:
            rows.append((piece.name, "name of the piece", "1", _percent(piece.guess)))
        for kind, (one, several) in KIND_WORDS.items():
            scores = [mark.guess for mark in piece.marks if mark.kind == kind and mark.guess > 0]
            if scores:
                words = one if len(scores) == 1 else several
                rows.append((piece.name, words, str(len(scores)), _percent(min(scores))))
    return Table("Marks guessed", ("piece", "kind", "how many", "lowest score"), tuple(rows))


def _percent(share: float) -> str:
    return "{:.0f} %".format(100.0 * share)
