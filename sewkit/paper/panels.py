"""Panels: what stands before the pattern, each in a box of its own, and how they follow each other."""

from typing import List, NamedTuple, Sequence, Tuple

from sewkit.geometry.path import Path
from sewkit.geometry.transform import move
from sewkit.paper.document import BLACK, Drawn, Stroke, Words
from sewkit.paper.furniture import FINE, PLAIN, fitted, line
from sewkit.paper.letter_widths import text_width
from sewkit.paper.line_kinds import Kind
from sewkit.paper.moved import moved, together

# Between two panels (mm).
GAP = 7.0

# Heights of letters (mm): the garment, headings, text.
TITLE, HEADING, TEXT = 8.0, 4.2, 3.2

# From one line of text to the next, in heights of its letters.
LEADING = 1.4

# Sides of the two test squares (mm): 100 mm and 4 in.
SQUARE, INCHES = 100.0, 101.6

# What a print may be off by before its pieces fit noticeably worse: 0.25 %, 2.5 mm on a metre.
TRUE_WITHIN = 0.25


class Panel(NamedTuple):
    """A drawing with its upper left corner at (0, 0), and the room it takes (mm)."""

    width: float
    height: float
    drawn: Drawn


def wrapped(text: str, room: float, height: float, bold: bool = False) -> Tuple[str, ...]:
    """Text in lines no longer than ``room`` (mm), broken between words."""
    found: List[str] = []
    for word in text.split():
        longer = "{} {}".format(found[-1], word) if found else word
        if found and text_width(longer, height, bold) <= room:
            found[-1] = longer
        else:
            found.append(word)
    return tuple(found)


def text_panel(paragraphs: Sequence[Tuple[str, float, bool]], width: float) -> Panel:
    """Paragraphs of text, each with the height of its letters (mm) and whether it is bold."""
    words: List[Words] = []
    down = 0.0
    for text, height, bold in paragraphs:
        for one in wrapped(text, width, height, bold):
            down += LEADING * height
            words.append(fitted(Words(one, (0.0, down - 0.35 * height), height, bold=bold), width))
        down += 0.35 * height
    return Panel(width, down, Drawn(words=tuple(words)))


def squares_panel() -> Panel:
    """Two squares, one within the other, of 100 mm and of 4 in, and what to measure."""
    off = (INCHES - SQUARE) / 2
    strokes = [
        line([(0, 0), (INCHES, 0), (INCHES, INCHES), (0, INCHES)], PLAIN, BLACK, closed=True),
        line(
            [(off, off), (off + SQUARE, off), (off + SQUARE, off + SQUARE), (off, off + SQUARE)],
            PLAIN,
            BLACK,
            closed=True,
        ),
    ]
    middle = INCHES / 2
    said = (
        "Before you cut, measure the inner square both ways with the ruler or tape you sew with.",
        "It must be 100 mm wide and 100 mm high, each within {:.2f} mm.".format(TRUE_WITHIN),
        "The outer square is 4 inches both ways.",
        "If one way is right and the other is not, the printer stretches: use another one.",
    )
    text = text_panel([(one, TEXT, False) for one in said], SQUARE - 24.0)
    words = (
        Words("100 mm", (middle, off + SQUARE - 2.0), HEADING, bold=True, anchor=0.5),
        Words("100 mm", (off + 2.0 + 0.75 * HEADING, middle), HEADING, (0.0, -1.0), bold=True, anchor=0.5),
        Words("4 in", (middle, INCHES + 4.0), TEXT, anchor=0.5),
        Words("4 in", (INCHES + 3.4, middle), TEXT, (0.0, -1.0), anchor=0.5),
    )
    return Panel(
        INCHES + 5.0,
        INCHES + 5.0,
        together([Drawn(tuple(strokes), (), words), moved(text.drawn, move(off + 12.0, 14.0))]),
    )


def legend_panel(keys: Sequence[Tuple[str, Kind]], width: float) -> Panel:
    """What the lines mean."""
    parts = [Drawn(words=(Words("Lines", (0.0, HEADING), HEADING, bold=True),))]
    down = HEADING + 2.0
    for text, kind in keys:
        down += 1.75 * TEXT
        path = Path.through([(0.0, down - 0.3 * TEXT), (34.0, down - 0.3 * TEXT)])
        stroke = Stroke(path, kind.width, kind.dashes, kind.ink)
        parts.append(
            Drawn((stroke,), (), (fitted(Words(text, (37.0, down), TEXT), max(width - 37.0, 10.0)),))
        )
    return Panel(width, down + 1.0, together(parts))


def table_panel(
    heading: str, columns: Sequence[str], rows: Sequence[Sequence[str]], most: float, tick: bool = False
) -> Panel:
    """A table in ruled lines, with boxes to tick off where asked, no wider than ``most`` (mm)."""
    table = [tuple(columns), *(tuple(row) for row in rows)]
    count = len(columns)
    widths = [max(text_width(row[k], TEXT, row is table[0]) for row in table) + 4.0 for k in range(count)]
    start = 7.0 if tick else 0.0
    shrink = min(1.0, (most - start) / sum(widths))
    width = start + sum(widths) * shrink
    parts = [Drawn(words=(Words(heading, (0.0, HEADING), HEADING, bold=True),))]
    step, down = 1.9 * TEXT, HEADING + 2.0
    for number, row in enumerate(table):
        down += step
        at, words = start, []
        for text, room in zip(row, widths):
            one = Words(text, (at, down - 0.5 * TEXT), TEXT, bold=number == 0)
            words.append(fitted(one, max(room * shrink - 2.0, 2.0)))
            at += room * shrink
        strokes = [line([(0.0, down), (width, down)], FINE)]
        if tick and number:
            box = [(0.5, down - step + 1.2), (4.5, down - step + 1.2), (4.5, down - 0.9), (0.5, down - 0.9)]
            strokes.append(line(box, FINE, BLACK, closed=True))
        parts.append(Drawn(tuple(strokes), (), tuple(words)))
    return Panel(width, down + 1.0, together(parts))


class Flowed(NamedTuple):
    """Panels on pages: what each page shows, and how far down it is used (mm)."""

    pages: Tuple[Drawn, ...]
    used: Tuple[float, ...]


def flowed(panels: Sequence[Panel], width: float, height: float) -> Flowed:
    """Put panels in rows, as many beside each other as there is room for; on as many pages as needed."""
    pages: List[List[Drawn]] = [[]]
    used = [0.0]
    left = top = row = 0.0
    for panel in panels:
        if left > 0.0 and left + panel.width > width + 1e-6:
            left, top, row = 0.0, top + row + GAP, 0.0
        if top > 0.0 and top + panel.height > height + 1e-6:
            pages.append([])
            used.append(0.0)
            left = top = row = 0.0
        pages[-1].append(moved(panel.drawn, move(left, top)))
        left, row = left + panel.width + GAP, max(row, panel.height)
        used[-1] = max(used[-1], top + row)
    return Flowed(tuple(together(parts) for parts in pages), tuple(used))
