"""A row of buttons and buttonholes, spaced so that the front does not gape."""

from typing import Dict, List, NamedTuple, Sequence, Tuple

from sewkit.checks.button_words import Told, ends_report, row_report
from sewkit.errors import InputError
from sewkit.operation import Choice, Count, Flag, Length, Outcome, Places, Text, operation
from sewkit.pattern.button_line import ButtonLine, button_line
from sewkit.pattern.button_marks import diameter_of, hole_length
from sewkit.pattern.button_row import Drawing, Made, old_row, places_of, with_rows
from sewkit.pattern.button_spacing import Room, Row, by_anchor, by_count, by_count_at, by_spacing, spacing_of
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.cross_line import height_of, named_heights
from sewkit.pattern.drawn_lines import subjects
from sewkit.pattern.mark import BUTTON, BUTTONHOLE
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.upright import down_of

# Buttons lie so far apart where nobody says and no old row tells (mm): 2 to 3 1/2 in are usual.
_USUAL = 80.0

# The first button lies half its diameter and so much below the top end (mm; common practice).
_BELOW_TOP = 6.0

# Levels at which a button is wanted, whatever they are called.
_FULLEST = ("bust", "chest")

_DRAWN = {"both": (BUTTON, BUTTONHOLE), "holes": (BUTTONHOLE,), "buttons": (BUTTON,)}
_OTHER = {"both": (BUTTON, BUTTONHOLE), "holes": (BUTTON,), "buttons": (BUTTONHOLE,)}


class _Asked(NamedTuple):
    line: str
    inside: float
    first: float
    last: float
    anchors: Tuple[str, ...]
    count: int
    spacing: float
    drawing: Drawing
    drills: bool


@operation(
    title="Space buttons and buttonholes",
    menu="Marks",
    select="Select the front, or nothing where only one piece has the line.",
    example=(
        "sewkit buttons samples/waistcoat/master.svg -o buttons.svg --piece front "
        "--edge front-edge --inside 20 --anchors waist --diameter 24L"
    ),
)
def buttons(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    edge: Text("Centre line", "an edge or an inner line by name, such as centre-front") = "centre-front",
    inside: Length("Inside that edge", "0 where the edge itself is the centre line", 0, 300) = 0.0,
    first: Length("First below the top end", "0: half the diameter and 6 mm", 0, 500) = 0.0,
    last: Length("Last above the lower end", "75 to 150 are usual", 0, 1000) = 100.0,
    anchors: Places("A button at", "levels in order of worth, such as bust waist or waist+20mm") = "",
    count: Count("How many", "evenly; one at the level if one is said; 0: as the spacing gives", 0, 60) = 0,
    spacing: Length("Spacing wished", "0: as the old row, or 80", 0, 500) = 0.0,
    diameter: Text("Diameter of the button", "a length with its unit, or in lignes such as 24L") = "20mm",
    thickness: Length("Thickness of the button", "", 0, 30) = 3.0,
    worked: Flag("Worked holes", "3 mm longer; bound ones need no more") = True,
    holes: Choice(
        "Holes lie",
        "",
        {"horizontal": "Across, from 3 mm past the centre line", "vertical": "Along the centre line"},
    ) = "horizontal",
    draw: Choice(
        "Draw",
        "",
        {
            "both": "Buttons and holes: the piece is cut as a pair",
            "holes": "Holes; the partner gets the buttons",
            "buttons": "Buttons; the partner gets the holes",
        },
    ) = "both",
    partner: Text("Partner piece", "the piece on the other side, or piece/edge; gets the same places") = "",
    drills: Flag("Replace a row of drill marks", "an older row of buttons is always replaced") = True,
    wearer: Choice(
        "Worn by",
        "only told, nothing changes",
        {"unsaid": "Not said", "woman": "A woman", "man": "A man", "child": "A child"},
    ) = "unsaid",
) -> Outcome:
    """Space a row of buttons along the centre line, with the holes to match.

    The first lies so far below the top end, the last so far above the lower end. Either say how
    many: they are spaced evenly, (last - first) / (n - 1). Or say where a button has to be, as a rule at
    the fullest bust and at the waist: the spacing is then a whole part of the way from the first
    button to that level, as near as it comes to the wished or the old spacing, and goes on from there.
    With both there are so many, one of them at the level, and the first and the last move, by less
    than half a spacing; you are told how far, or which numbers fit. Only the first level named is hit
    for certain; how far the nearest button lies from the others is told, and up to 12 mm is good at
    the bust.

    A hole is as long as the button's diameter and thickness, worked holes 3 mm more. A horizontal hole
    begins 3 mm past the centre line toward the edge, for there the button pulls. You are told where
    the piece goes on by less than half the button and 6 mm beyond the centre line, 12 mm at least.
    Buttons are drawn with their diameter and a cross. Both fronts get the same places: draw both
    kinds on a piece that is cut as a pair, or name the partner. Run it again after a change of
    length: the old row is replaced. Lengthen takes a row along and spaces it evenly.
    """
    size = diameter_of(diameter)
    drawing = Drawing(size, hole_length(size, thickness, worked), holes)
    asked = _Asked(
        edge.strip(),
        inside,
        first or size / 2.0 + _BELOW_TOP,
        last,
        tuple(anchors.replace(",", " ").split()),
        count,
        spacing,
        drawing,
        drills,
    )
    after, told = pattern, []
    for name, outlines in _by_piece(pattern, chosen, asked).items():
        piece = pattern.piece(name)
        made = [_made(pattern, piece, outline, asked) for outline in outlines]
        after = after.with_piece(with_rows(piece, made, _DRAWN[draw], drawing, drills))
        told += [_told(pattern, piece, one, asked) for one in made]
        if partner.strip():
            after = _with_partner(after, partner.strip(), name, made, asked, _OTHER[draw])
    report = row_report(told, drawing, wearer, draw)
    if asked.count and asked.anchors:
        report = report.then(ends_report(told, asked.first, asked.last, asked.anchors[0]))
    return Outcome(after, report)


def _by_piece(pattern: Pattern, chosen: Chosen, asked: _Asked) -> Dict[str, List[Outline]]:
    """The outlines that have the line, by piece; ``InputError`` where none has."""
    found: Dict[str, List[Outline]] = {}
    known: List[str] = []
    for piece, outline in subjects(pattern, chosen).outlines:
        marks = [mark.name for mark in piece.marks_for(outline.size) if mark.name]
        known += outline.names
        if asked.line in outline.names or asked.line in marks:
            found.setdefault(piece.name, []).append(outline)
    if not found:
        raise InputError(
            "There is no edge and no line called '{}'.".format(asked.line)
            if asked.line
            else "No centre line is named.",
            "The edges are: {}.".format(", ".join(dict.fromkeys(known))),
            code="name",
        )
    if len(found) > 1 and not chosen.outlines:
        raise InputError(
            "'{}' is on several pieces: {}.".format(asked.line, ", ".join(found)),
            "Select the one that gets the row.",
            code="choice",
        )
    return found


def _line(pattern: Pattern, piece: Piece, outline: Outline, name: str, inside: float) -> ButtonLine:
    down = down_of(pattern, piece).of(piece, outline.size)
    try:
        return button_line(piece, outline, name, inside, down)
    except InputError as error:
        raise error.on(piece.name) from None


def _made(pattern: Pattern, piece: Piece, outline: Outline, asked: _Asked) -> Made:
    line = _line(pattern, piece, outline, asked.line, asked.inside)
    row = _row(pattern, piece, outline, line, asked)
    if 0.0 < row.spacing < asked.drawing.diameter:
        raise InputError(
            "The buttons would lie {:.1f} mm apart and are {:.1f} mm wide.".format(
                row.spacing, asked.drawing.diameter
            ),
            "Take fewer or smaller ones.",
            code="value",
        )
    return Made(outline.size, line, row)


def _row(pattern: Pattern, piece: Piece, outline: Outline, line: ButtonLine, asked: _Asked) -> Row:
    end = line.length - asked.last
    if asked.count and not asked.anchors:
        return by_count(asked.first, end, asked.count)
    if asked.count:
        half = asked.drawing.diameter / 2.0
        room = Room(asked.first, end, min(half, asked.first), max(line.length - half, end))
        anchor = _below_top(pattern, piece, outline.size, line, asked.anchors[0])
        try:
            return by_count_at(room, anchor, asked.count)
        except InputError as error:
            raise error.on(piece.name) from None
    old = places_of(old_row(piece, outline.size, line, True), line)
    wished = asked.spacing or spacing_of(old) or _USUAL
    if not asked.anchors:
        return by_spacing(asked.first, end, wished)
    anchor = _below_top(pattern, piece, outline.size, line, asked.anchors[0])
    return by_anchor(asked.first, end, anchor, wished)


def _below_top(pattern: Pattern, piece: Piece, size: str, line: ButtonLine, words: str) -> float:
    down = down_of(pattern, piece).of(piece, size)
    return line.height(height_of(piece, size, words, down), down)


def _told(pattern: Pattern, piece: Piece, one: Made, asked: _Asked) -> Told:
    """The row, and how far below the top end the levels lie at which a button is wanted."""
    down = down_of(pattern, piece).of(piece, one.size)
    known = named_heights(piece, one.size, down)
    wanted = dict.fromkeys((*asked.anchors, *(name for name in _FULLEST if name in known)))
    levels = {words: _below_top(pattern, piece, one.size, one.line, words) for words in wanted}
    return Told(piece.name, one, {name: at for name, at in levels.items() if 0 <= at <= one.line.length})


def _with_partner(
    pattern: Pattern, words: str, leading: str, made: Sequence[Made], asked: _Asked, kinds: Sequence[str]
) -> Pattern:
    """The pattern with the same places on the other side."""
    name, _, edge = words.partition("/")
    if name == leading:
        raise InputError("'{}' cannot be its own partner.".format(name), "Name the other side.", code="name")
    piece = pattern.piece(name)
    rows = []
    for one in made:
        outline = piece.outline(one.size)
        line = _line(pattern, piece, outline, edge or asked.line, asked.inside)
        if one.row.places[-1] > line.length:
            raise InputError(
                "'{}' is too short for the row: {:.0f} mm, and the last button lies {:.0f} mm down.".format(
                    name, line.length, one.row.places[-1]
                ),
                "Walk both edges, or let the row end higher.",
                code="value",
            )
        rows.append(Made(outline.size, line, one.row))
    return pattern.with_piece(with_rows(piece, rows, kinds, asked.drawing, asked.drills))
