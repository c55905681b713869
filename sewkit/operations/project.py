"""Project pieces onto a table, at true size, by a projector above it."""

from typing import Dict, List, Optional, Sequence, Tuple

from sewkit.checks.before_cutting import before_cutting, uncut_findings
from sewkit.errors import InputError
from sewkit.operation import Choice, Flag, Length, Outcome, Text, operation
from sewkit.paper.document import Page
from sewkit.paper.field import Field, field_of
from sewkit.paper.light import COLOURS, Look, Shown, projected
from sewkit.paper.line_kinds import CUT, SEAM
from sewkit.pattern.chosen import EVERYTHING, Chosen
from sewkit.pattern.cut_list import CutRow, cut_list
from sewkit.pattern.garment_title import garment_for
from sewkit.pattern.pattern import Pattern
from sewkit.report import Finding, Level, Report, Table
from sewkit.units import write_length, write_number

_SAFE = (
    "Fix the projector with a safety wire and its cables out of the way, never look into the lens, and "
    "measure the square again after every knock."
)


@operation(
    title="Project onto a table",
    menu="Paper",
    select="Select pieces or lines, or nothing for all of them.",
    example="sewkit project samples/waistcoat/master.svg -o projector.pdf --size 3 --field 1400mm",
    changes=False,
    prints=True,
)
def project(
    pattern: Pattern,
    chosen: Chosen = EVERYTHING,
    pixels: Text("Pixels of the projector", "across x down") = "1920x1080",
    field: Length("Width of the lit field", "as it lies on the table", 200, 10000) = 1500.0,
    measured: Length(
        "Measured side of the square",
        "of the first page, on the table; empty before it was measured",
        50,
        5000,
        optional=True,
    ) = None,
    lines: Choice(
        "Lines", "", {"both": "Seam line and cut line", "cut": "Cut line only", "seam": "Seam line only"}
    ) = "both",
    weight: Length("Width of the lines", "two pixels at least", 0.5, 10) = 2.0,
    colour: Choice("Colour", "on black", {name: name.capitalize() for name in COLOURS}) = "white",
    mirrored: Flag("Turned over", "for the second of a pair, or a projector below the table") = False,
    grain: Choice(
        "Grain",
        "",
        {"drawn": "As it is drawn", "along": "Along the table", "across": "Across the table"},
    ) = "drawn",
    overlap: Length("Overlap of the pictures", "of pieces larger than the field", 0, 500) = 50.0,
    garment: Text("Garment", "as on the first page; empty: the drawing's title") = "",
    person: Text("For whom", "initials or a number") = "",
    date: Text("Date", "as it is to stand on every page; empty: none") = "",
) -> Outcome:
    """Show pieces as thick light lines on black, so many pixels to a millimetre across and down.

    The file has the shape of the projector's picture: open it in a viewer, full screen.  The
    first page is a square of 500 mm (of whole hundreds less on a small field) with its
    diagonals.  Measure its sides on the table; where they differ from what is written, give
    what you measured and project anew, or zoom by 500 / measured.  Sides or diagonals that
    differ from each other mean that the projector does not look straight down.

    Then each piece has a page; one that is larger than the field has several, with numbered
    crosses where they overlap: mark them with chalk and lay the cloth so that they meet.
    Every page has a bar of 100 mm. Sizes and kinds of lines are layers that the viewer can
    switch.
    """
    lit = field_of(pixels, field, measured)
    shown = _shown(pattern, chosen)
    sizes = [size for one in shown for size in one.sizes]
    garment = garment or garment_for(pattern.title, sizes) or "Pieces"
    title = ": ".join(filter(None, [garment, person]))
    look = Look(lines, weight, colour, mirrored, grain, overlap)
    document = projected(lit, shown, look, title, ", ".join(filter(None, [title, date])))
    told = _told(lit, shown, document.pages[1:], measured)
    first = before_cutting(pattern, [one.piece.name for one in shown], sizes)
    first += uncut_findings([one.piece.name for one in shown if _is_uncut(one, lines)], lines == CUT)
    return Outcome(pattern, told._replace(findings=first + told.findings), (document,))


def _shown(pattern: Pattern, chosen: Chosen) -> Tuple[Shown, ...]:
    """The pieces with their sizes; ``InputError`` where there is nothing to show."""
    sizes: Dict[str, List[str]] = {}
    for piece, outline in chosen.picked(pattern):
        if len(outline.path):
            sizes.setdefault(piece.name, []).append(outline.size)
    rows = {row.piece: row for row in cut_list(pattern)}
    found = [
        Shown(pattern.piece(name), tuple(dict.fromkeys(some)), _words(name, some, rows.get(name)))
        for name, some in sizes.items()
    ]
    if not found:
        raise InputError("There is nothing to project.", "Select an outline, or name a piece.", code="choice")
    return tuple(found)


def _is_uncut(one: Shown, lines: str) -> bool:
    """Whether a cut line is asked for and lacks in one of its sizes."""
    return lines != SEAM and any(one.piece.cut_line(one.piece.outline(s).size) is None for s in one.sizes)


def _words(name: str, sizes: Sequence[str], row: Optional[CutRow]) -> Tuple[str, ...]:
    """What stands beside a piece: its name, sizes, how it is cut."""
    named = [size for size in sizes if size]
    word = "size" if len(named) == 1 else "sizes"
    told = [name + (", {} {}".format(word, ", ".join(named)) if named else "")]
    if row is not None:
        told.append("cut {}, {} cloth".format(row.how, row.cloth))
    return tuple(told)


def _told(field: Field, shown: Sequence[Shown], pages: Sequence[Page], measured: Optional[float]) -> Report:
    split: List[Finding] = []
    for one in shown:
        count = sum(1 for page in pages if page.label.rsplit(" ", 1)[0] == one.piece.name)
        if count > 1:
            text = "{} is larger than the field and comes in {} parts; lay their crosses on each other."
            split.append(Finding("throws", Level.INFO, text.format(one.piece.name, count), one.piece.name))
    if measured is None:
        text = "Measure the square of {} mm on the first page before you cut by this light.".format(
            write_number(field.square)
        )
        split.append(Finding("calibrate", Level.INFO, text))
    split.append(Finding("projector", Level.INFO, _SAFE))
    summary = "{} on {} pages, {:.3f} pixels to a millimetre; the field is {} x {}.".format(
        "One piece" if len(shown) == 1 else "{} pieces".format(len(shown)),
        len(pages) + 1,
        field.per_mm,
        write_length(field.width, decimals=0),
        write_length(field.height, decimals=0),
    )
    rows = tuple((str(number), page.label) for number, page in enumerate(pages, 2))
    return Report(summary, tuple(split), (Table("Pages", ("page", "shows"), (("1", "calibration"), *rows)),))
