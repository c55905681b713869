"""From the pages of a PDF to a pattern: each stage in its order, and what each had to tell."""

import re
from typing import Dict, Iterator, List, Mapping, NamedTuple, Optional, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.geometry.path import without_gaps
from sewkit.geometry.polygon import bounds
from sewkit.pattern.fold import on_fold
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.report import Finding, Level, Report
from sewkit.sheet.allowance_words import told_allowance
from sewkit.sheet.at_scale import at_scale
from sewkit.sheet.brought import Brought
from sewkit.sheet.drawn import Page, Printed, Progress, Style, Whole
from sewkit.sheet.groups import group_lines, with_sizes
from sewkit.sheet.leftover import left_over
from sewkit.sheet.nest import Found, find_pieces
from sewkit.sheet.page_marks import none_missing, without_page_marks
from sewkit.sheet.role_across import named_across
from sewkit.sheet.roles import Guessed, guess_roles
from sewkit.sheet.summary import in_order, summary
from sewkit.sheet.tile_findings import listed
from sewkit.sheet.tiles import Grid, join_pages, one_sheet
from sewkit.sheet.whole import whole_lines
from sewkit.sheet.witness import BY_TEXT, SQUARE, Witness

# Of a page, pictures cover at least this share where it is a scan; a photograph is smaller.
_SCAN = 0.5

# A line is a witness's rectangle if its sides are as long, but for rounding (mm).
_SAME_SIDE = 0.05


class Wishes(NamedTuple):
    """What the person knows better than the file.

    Args:
        known: a length that is known, as ``100mm=97.0``; empty if none.
        correct: whether the scale is corrected where two witnesses agree.
        grid: how the pages lie; None finds it out.
        sizes: the size of each group of lines, by the group's key.
        only_sizes: the sizes to keep; empty keeps all.
    """

    known: str = ""
    correct: bool = True
    grid: Optional[Grid] = None
    sizes: Mapping[str, str] = {}
    only_sizes: Tuple[str, ...] = ()


NO_WISHES = Wishes()


def bring(printed: Printed, wishes: Wishes = NO_WISHES, progress: Progress = None) -> Brought:
    """All stages; ``InputError`` where a sheet cannot be used at all."""
    printed, scale, proofs = at_scale(printed, wishes.known, wishes.correct)
    joined = none_missing(printed, join_pages(printed, wishes.grid, progress))
    sheet, about_marks = without_page_marks(one_sheet(printed, joined))
    lines, squares = _without_squares(whole_lines(sheet, progress), proofs)
    grouping = group_lines(lines, sheet.words)
    if wishes.sizes:
        grouping = with_sizes(grouping, dict(wishes.sizes))
    found = find_pieces(lines, sheet.words, grouping)
    guessed = named_across([guess_roles(piece, lines, sheet.words, grouping) for piece in found.pieces])
    whole = _pattern(printed, found, guessed, lines)
    pattern = _only(whole, wishes.only_sizes)
    left = left_over(lines, found, [number for one in guessed for number in one.used])
    findings = [*_by_name(found.findings, whole), *(finding for one in guessed for finding in one.findings)]
    findings += [Finding("pdf-doubt", Level.WARN, text) for text in printed.doubts]
    findings += about_marks
    findings += _about_pages(printed)
    findings += told_allowance([words for page in printed.pages for words in page.words])
    if not pattern.pieces:
        findings.insert(0, _no_piece())
    findings = [*scale.findings, *findings]
    return Brought(
        pattern,
        Report("", (), scale.tables).then(summary(pattern, left, joined, grouping, findings)),
        sheet.width,
        sheet.height,
        left + squares,
        sheet.words,
        _looks(whole, found, lines),
        _hidden(whole, found, lines),
        printed,
        joined,
        grouping,
        in_order(joined, grouping, findings),
    )


def _without_squares(
    lines: Sequence[Whole], proofs: Sequence[Witness]
) -> Tuple[Tuple[Whole, ...], Tuple[Whole, ...]]:
    """The lines without test squares, which would be taken for pieces; and the squares."""
    known = [one for one in proofs if one.kind == SQUARE and one.told_by == BY_TEXT]
    kept, squares = [], []
    for line in lines:
        (squares if any(_is_square(line, one) for one in known) else kept).append(line)
    return tuple(kept), tuple(squares)


def _is_square(line: Whole, witness: Witness) -> bool:
    """Whether a line is a witness's rectangle: on its page, and just as large."""
    if line.order[0] != witness.page or not line.path.closed or len(line.path) > 8:
        return False
    left, top, right, bottom = bounds(line.path)
    sides = (right - left, bottom - top)
    return any(
        all(abs(side - true) <= _SAME_SIDE for side, true in zip(sides, measured))
        for measured in (witness.measured, witness.measured[::-1])
    )


def _by_name(findings: Sequence[Finding], pattern: Pattern) -> List[Finding]:
    """Findings of the nest, which numbers its pieces, with the names that the pieces have now."""
    names = {"piece {}".format(number): piece.name for number, piece in enumerate(pattern.pieces, 1)}

    def named(text: str) -> str:
        return re.sub(r"\bpiece \d+\b", lambda match: names.get(match.group(), match.group()), text)

    return [one._replace(where=named(one.where), text=named(one.text)) for one in findings]


def _about_pages(printed: Printed) -> Iterator[Finding]:
    """Pages that were not asked for, and pages that are pictures: nothing of them is in the drawing."""
    scans = [page.number for page in printed.pages if page.pictures >= _SCAN]
    if scans:
        text = "A picture covers most of {}: a scan holds no lines, and what it shows was not brought in."
        yield Finding("pdf-scan", Level.WARN, text.format(listed(scans)))
    cut = {page.number: _cut_by_shape(page) for page in printed.pages}
    count = sum(cut.values())
    if count:
        text = (
            "{} on {} may be partly hidden by a cut-out shape in the file; what it hides was brought in "
            "as well: compare with the PDF."
        ).format(
            "1 line" if count == 1 else "{} lines".format(count),
            listed(number for number, lines in cut.items() if lines),
        )
        yield Finding("pdf-cut-out", Level.WARN, text)
    if len(printed.pages) < printed.total:
        text = "Only {} of the file's {} pages were brought in, as asked."
        yield Finding("pages-left-out", Level.INFO, text.format(len(printed.pages), printed.total))


def _cut_by_shape(page: Page) -> int:
    """How many lines of a page are cut off along something that is no rectangle."""
    seen = [drawn for drawn in page.drawn if drawn.cut_by_shape and drawn.style.colour and not drawn.hidden]
    return sum(len(drawn.starts) for drawn in seen)


def _no_piece() -> Finding:
    text = (
        "No closed outline was found, so there is no piece. Look at the size table: "
        "lines of one size must be in one group, and their gaps no wider than 3 mm."
    )
    return Finding("no-piece", Level.FAIL, text)


def _looks(pattern: Pattern, found: Found, lines: Sequence[Whole]) -> Dict[Tuple[str, str], Style]:
    """How each outline was drawn, by piece and size: as the first of its lines."""
    return {
        (made.name, outline.size): lines[outline.lines[0]].style
        for made, piece in zip(pattern.pieces, found.pieces)
        for outline in piece.outlines
        if outline.lines
    }


def _hidden(pattern: Pattern, found: Found, lines: Sequence[Whole]) -> Tuple[Tuple[str, str], ...]:
    """The outlines of which the file hides every line."""
    return tuple(
        (made.name, outline.size)
        for made, piece in zip(pattern.pieces, found.pieces)
        for outline in piece.outlines
        if outline.lines and all(lines[number].hidden for number in outline.lines)
    )


def _names(found: Found, guessed: Sequence[Guessed], lines: Sequence[Whole]) -> List[str]:
    """A name of its own for each piece; those that the file hides give way to those that are seen."""
    unseen = [
        all(lines[number].hidden for outline in piece.outlines for number in outline.lines)
        for piece in found.pieces
    ]
    names: Dict[int, str] = {}
    for place in sorted(range(len(unseen)), key=lambda place: (unseen[place], place)):
        wish = guessed[place].name or "piece-{}".format(place + 1)
        name, number = wish, 1
        while name in names.values():
            number += 1
            name = "{}-{}".format(wish, number)
        names[place] = name
    return [names[place] for place in range(len(unseen))]


def _pattern(printed: Printed, found: Found, guessed: Sequence[Guessed], lines: Sequence[Whole]) -> Pattern:
    pieces = []
    for name, piece, guess in zip(_names(found, guessed, lines), found.pieces, guessed):
        outlines = tuple(bare_outline(without_gaps(one.path), one.size) for one in piece.outlines)
        made = Piece(name, outlines, (), guess.marks, cut=guess.cut, cloth=guess.cloth)
        if guess.fold is not None:
            made = on_fold(made, guess.fold)
        pieces.append(made._replace(guess=guess.name_score if guess.name else 0.0))
    return Pattern(tuple(pieces), (), printed.title)


def _only(pattern: Pattern, wanted: Sequence[str]) -> Pattern:
    """Without the sizes that are not wanted; what serves all sizes stays."""
    missing = [size for size in wanted if size not in pattern.sizes]
    if missing:
        raise InputError(
            "No piece is drawn in size {}.".format(missing[0]),
            "The sizes found are: {}.".format(", ".join(filter(None, pattern.sizes)) or "none"),
            code="nest",
        )
    if not wanted:
        return pattern
    kept = set(wanted) | {""}
    pieces = [
        piece._replace(
            outlines=tuple(outline for outline in piece.outlines if outline.size in kept),
            marks=tuple(mark for mark in piece.marks if mark.size in kept),
        )
        for piece in pattern.pieces
    ]
    return pattern._replace(pieces=tuple(piece for piece in pieces if piece.outlines))
