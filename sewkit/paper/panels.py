"""Panels: what stands before the pattern, each in a box of its own, and how they follow each other."""

from typing import List, NamedTuple, Optional, Sequence, Tuple

from sewkit.geometry.path import Path
from sewkit.geometry.transform import move
from sewkit.paper.document import BLACK, Drawn, Fill, Stroke, Words
from sewkit.paper.furniture import FINE, PLAIN, fitted, line
from sewkit.paper.letter_widths import text_width
from sewkit.paper.line_kinds import Kind
from sewkit.paper.moved import moved, together
from sewkit.pattern.faint import ring

# Between two panels (mm).
GAP = 7.0

# Heights of letters (mm): the garment, headings, text.
TITLE, HEADING, TEXT = 8.0, 4.2, 3.2

# From one line of text to the next, in heights of its letters.
LEADING = 1.4

# Lines of the legend are drawn so long (mm).
_SAMPLE = 30.0

# Signs of the legend reach so far from their middle (mm).
_SIGN = 1.5

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


class Key(NamedTuple):
    """What a line means, and how it looks.

    ``sign``: "arrow" with its heads, "tick" for a short line, "ring", "crossed" for a ring with a
    cross, "bar" for a line with ticks at its ends; empty for a line.
    """

    text: str
    kind: Kind
    sign: str = ""


def legend_panel(heading: str, keys: Sequence[Key], most: float) -> Panel:
    """What the lines mean, no wider than ``most`` (mm)."""
    parts = [Drawn(words=(Words(heading, (0.0, HEADING), HEADING, bold=True),))]
    down = HEADING + 2.0
    room = max(most - _SAMPLE - 3.0, 10.0)
    for key in keys:
        down += 1.75 * TEXT
        words = fitted(Words(key.text, (_SAMPLE + 3.0, down), TEXT), room)
        parts.append(_sample(key, down - 0.3 * TEXT)._replace(words=(words,)))
    needed = max([_SAMPLE + 3.0 + min(text_width(key.text, TEXT), room) for key in keys], default=0.0)
    needed = max(needed, text_width(heading, HEADING, True))
    return Panel(min(needed, most), down + 1.0, together(parts))


def _sample(key: Key, at: float) -> Drawn:
    """A line as it is drawn, at a height (mm)."""
    middle = _SAMPLE / 2
    paths = [[(0.0, at), (_SAMPLE, at)]]
    if key.sign == "tick":
        paths = [[(middle, at - _SIGN), (middle, at + _SIGN)]]
    if key.sign == "bar":
        ends = (middle - 4 * _SIGN, middle + 4 * _SIGN)
        paths = [[(ends[0], at), (ends[1], at)], *([(x, at - _SIGN), (x, at + _SIGN)] for x in ends)]
    if key.sign == "crossed":
        paths = [[(middle - _SIGN, at), (middle + _SIGN, at)], [(middle, at - _SIGN), (middle, at + _SIGN)]]
    shapes = [] if key.sign == "ring" else [Path.through(spots) for spots in paths]
    if key.sign in ("ring", "crossed"):
        shapes.append(ring((middle, at), _SIGN))
    fills: Tuple[Fill, ...] = ()
    if key.sign == "arrow":
        tips = ((0.0, 4.0), (_SAMPLE, _SAMPLE - 4.0))
        heads = [[(tip, at), (back, at - 1.3), (back, at + 1.3)] for tip, back in tips]
        fills = tuple(Fill(Path.through(head, closed=True)) for head in heads)
    return Drawn(tuple(Stroke(one, key.kind.width, key.kind.dashes, key.kind.ink) for one in shapes), fills)


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
    """Put panels where they end up highest, then furthest to the left; on as many pages as needed."""
    pages: List[List[Drawn]] = [[]]
    used = [0.0]
    taken: List[Tuple[float, float, float, float]] = []
    for panel in panels:
        spot = _free_spot(panel, taken, width, height)
        if spot is None:
            pages.append([])
            used.append(0.0)
            taken, spot = [], (0.0, 0.0)
        left, top = spot
        pages[-1].append(moved(panel.drawn, move(left, top)))
        taken.append((left, top, left + panel.width, top + panel.height))
        used[-1] = max(used[-1], top + panel.height)
    return Flowed(tuple(together(parts) for parts in pages), tuple(used))


def _free_spot(
    panel: Panel, taken: Sequence[Tuple[float, float, float, float]], width: float, height: float
) -> Optional[Tuple[float, float]]:
    """The highest place beside or below others, from its upper left corner; None where there is none."""
    places = [
        (top, left)
        for top in {0.0, *(box[3] + GAP for box in taken)}
        for left in {0.0, *(box[2] + GAP for box in taken)}
    ]
    for top, left in sorted(places):
        right, low = left + panel.width, top + panel.height
        outside = (left > 0.0 and right > width + 1e-6) or (top > 0.0 and low > height + 1e-6)
        if not outside and all(
            left >= box[2] + GAP - 1e-6
            or right <= box[0] - GAP + 1e-6
            or top >= box[3] + GAP - 1e-6
            or low <= box[1] - GAP + 1e-6
            for box in taken
        ):
            return left, top
    return None
