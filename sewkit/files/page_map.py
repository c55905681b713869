"""A picture of joined pages: where each lies, and how sure each border is.

    svg = page_map(printed, joined, "bought.pdf")

Marks differ in shape and filling, holes are hatched, so that it reads in grey as well.
"""

import zlib
from typing import Dict, List, NamedTuple, Sequence, Tuple
from xml.sax.saxutils import escape

import numpy as np

from sewkit.files.picture_ink import TITLE
from sewkit.files.picture_layout import MARGIN, NAME, NOTE, PAPERS, text_width
from sewkit.files.report_words import one_line
from sewkit.sheet.drawn import Box, Line, Printed, Sheet
from sewkit.sheet.tile_findings import listed, sheet_turn, shown_cell
from sewkit.sheet.tiles import Border, Joined, one_sheet
from sewkit.units import write_number

# The map is drawn at one of these scales, 1:n; the largest that fits the paper.
SCALES = (2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 200.0)

# Height of the map, and of what stands above it (mm on paper).
TALL, TOP = 236.0, 22.0

# Detail smaller than this (mm on paper) is not drawn: letters, dots.
FINE = 0.35

_MARK = 2.3  # half the size of a mark on a border
_KEY_LINE = 5.6
_SWATCH = 7.0

_STYLE = """
text { font-family: 'Source Sans 3', 'Segoe UI', 'Helvetica Neue', Arial, sans-serif; fill: #1d2730; }
.title { font-size: %spx; font-weight: 600; }
.note { font-size: %spx; fill: #4a5661; }
.page { font-size: %spx; font-weight: 600; stroke: #ffffff; stroke-width: 0.9; paint-order: stroke; }
.count { font-size: 2.7px; font-weight: 600; fill: #ffffff; }
.loose { font-size: 2.7px; font-weight: 600; fill: #8a4b08; }
.tile { fill: #ffffff; stroke: #66717b; stroke-width: 0.3; }
.blank { fill: #eef1f3; stroke: #66717b; stroke-width: 0.3; }
.unsure { stroke-dasharray: 1.6 0.9; }
.hole { stroke: #8a4b08; stroke-width: 0.45; stroke-dasharray: 1.6 0.9; }
.lines { fill: none; stroke: #0b3954; stroke-width: 0.16; stroke-opacity: 0.75; }
.proved { fill: #0b3954; stroke: #ffffff; stroke-width: 0.4; }
.assumed { fill: #ffffff; stroke: #8a4b08; stroke-width: 0.5; }
""".strip()

# What proves a border: its mark, and the words of the legend.
_WORDS = {
    "shapes": "both pages show the same shapes: how many",
    "cut lines": "lines go on across the border: how many",
    "square lines": "only lines square to the border, which fit any overlap: how many",
    "labels": "only what the pages call themselves says so",
    "grid": "nothing runs across: it follows from the other pages",
    "declared": "you said so; no line proves it",
}


class _View(NamedTuple):
    """How the sheet is brought to paper."""

    scale: float
    left: float
    top: float
    width: float

    def at(self, x: float, y: float) -> Tuple[float, float]:
        return self.left + x / self.scale, self.top + y / self.scale

    def box(self, box: Box) -> Box:
        return (*self.at(box[0], box[1]), *self.at(box[2], box[3]))


def page_map(printed: Printed, joined: Joined, title: str = "") -> str:
    """The map as the text of an SVG that needs no other file."""
    sheet = one_sheet(printed, joined)
    view = _view(sheet)
    keys = _keys(joined)
    notes = _notes(joined, view)
    boxes = dict(sheet.pages)
    foot = view.top + sheet.height / view.scale + 6.0
    height = foot + _KEY_LINE * (len(keys) + len(notes)) + MARGIN
    body = _tiles(joined, boxes, view) + _holes(printed, joined, boxes, view) + [_drawing(sheet.lines, view)]
    body += _numbers(joined, boxes, view) + _borders(joined, boxes, view) + _legend(keys, notes, foot)
    return _document(one_line(title) or "Where each page lies", view.width, height, body)


def _view(sheet: Sheet) -> _View:
    paper = PAPERS[0] if sheet.width > 1.1 * sheet.height else PAPERS[1]
    room = paper[0] - 2 * MARGIN
    tall = TALL if paper is PAPERS[1] else paper[1] - TOP - 3 * MARGIN
    fits = [scale for scale in SCALES if sheet.width <= room * scale and sheet.height <= tall * scale]
    scale = fits[0] if fits else max(sheet.width / room, sheet.height / tall)
    return _View(scale, MARGIN + (room - sheet.width / scale) / 2, TOP, paper[0])


def _document(title: str, width: float, height: float, body: Sequence[str]) -> str:
    text = "\n".join(body)
    tag = "m{:08x}".format(zlib.crc32(text.encode("utf-8")))
    rules = (_STYLE % (TITLE, NOTE, NAME)).splitlines()
    bound = "\n".join("#{} {}".format(tag, rule) for rule in rules)
    size = min(TITLE, (width - 2 * MARGIN) / text_width(title, 1.0))
    parts = [
        '<svg xmlns="http://www.w3.org/2000/svg" id="{2}" width="{0}mm" height="{1}mm" viewBox="0 0 {0} {1}" '
        'role="img">'.format(_number(width), _number(height), tag),
        "<title>{}</title>".format(escape(title)),
        "<style>\n{}\n</style>".format(bound),
        '<defs><pattern id="{0}-hatch" patternUnits="userSpaceOnUse" width="1.8" height="1.8" '
        'patternTransform="rotate(45)"><rect width="1.8" height="1.8" fill="#ffffff"/>'
        '<path d="M 0.4,0 V 1.8" style="stroke:#e0b48a;stroke-width:0.35"/></pattern></defs>'.format(tag),
        '<rect width="{}" height="{}" fill="#ffffff"/>'.format(_number(width), _number(height)),
        '<text class="title" style="font-size:{}px" x="{}" y="{}">{}</text>'.format(
            _number(size), _number(MARGIN), _number(MARGIN + TITLE), escape(title)
        ),
        text.replace("\x01", tag),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _tiles(joined: Joined, boxes: Dict[int, Box], view: _View) -> List[str]:
    found = []
    for place in joined.placed:
        kind = "blank" if place.page in joined.blank else "tile"
        kind += "" if place.sure else " unsure"
        found.append(_rectangle(kind, view.box(boxes[place.page])))
    return found


def _rectangle(kind: str, box: Box, more: str = "") -> str:
    return '<rect class="{}" x="{}" y="{}" width="{}" height="{}"{}/>'.format(
        kind, _number(box[0]), _number(box[1]), _number(box[2] - box[0]), _number(box[3] - box[1]), more
    )


def _holes(printed: Printed, joined: Joined, boxes: Dict[int, Box], view: _View) -> List[str]:
    """Hatched where a page is missing, with its row and column."""
    main = [place for place in joined.placed if place.island == 1]
    if not joined.missing or not main:
        return []
    turn = sheet_turn(printed.pages, [place.page for place in main])
    size = (max(place.column for place in main), max(place.row for place in main))
    columns: Dict[int, Box] = {}
    rows: Dict[int, Box] = {}
    for place in main:
        column, row = shown_cell((place.column - 1, place.row - 1), size, turn)
        columns.setdefault(column + 1, boxes[place.page])
        rows.setdefault(row + 1, boxes[place.page])
    found = []
    for row, column in joined.missing:
        if row in rows and column in columns:
            box = view.box((columns[column][0], rows[row][1], columns[column][2], rows[row][3]))
            found.append(_rectangle("hole", box, ' fill="url(#\x01-hatch)"'))
            x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
            texts = ("missing:", "row {}".format(row), "column {}".format(column))
            found += [_words("loose", x, y - 2.4 + 3.4 * k, words, "middle") for k, words in enumerate(texts)]
    return found


def _drawing(lines: Sequence[Line], view: _View) -> str:
    """All lines but the smallest as one path: the map is to be read, not measured."""
    parts = []
    for line in lines:
        curves = line.path.curves
        size = np.ptp(curves.reshape(-1, 2), axis=0).max() / view.scale
        if size < FINE or not len(curves) or line.hidden:
            continue
        points = curves[:, 3] / view.scale + (view.left, view.top)
        start = curves[0, 0] / view.scale + (view.left, view.top)
        if size > 4 * FINE * len(curves) and len(curves) < 400:
            handles = curves[:, 1:] / view.scale + (view.left, view.top)
            steps = ["C" + " ".join(_pair(spot) for spot in three) for three in handles]
        else:
            kept = points[:: max(1, int(len(points) * FINE / size))]
            steps = ["L" + _pair(spot) for spot in np.vstack([kept, points[-1:]])]
        parts.append("M" + _pair(start) + "".join(steps) + ("Z" if line.path.closed else ""))
    return '<path class="lines" d="{}"/>'.format("".join(parts))


def _pair(spot: np.ndarray) -> str:
    return "{:.2f},{:.2f}".format(spot[0], spot[1])


def _numbers(joined: Joined, boxes: Dict[int, Box], view: _View) -> List[str]:
    found = []
    for place in joined.placed:
        x, y, _, bottom = view.box(boxes[place.page])
        found.append(_words("page", x + 2.6, y + 2.4 + NAME, str(place.page)))
        if place.page in joined.blank and bottom - y > 14:
            found.append(_words("note", x + 2.6, y + 3.0 + NAME + NOTE, "empty"))
    return found


def _borders(joined: Joined, boxes: Dict[int, Box], view: _View) -> List[str]:
    """A mark in the middle of each border, with the number of proofs."""
    found = []
    for border in joined.borders:
        one, two = boxes[border.first], boxes[border.second]
        middle = [(max(one[k], two[k]) + min(one[k + 2], two[k + 2])) / 2 for k in (0, 1)]
        found.append(_mark(border, *view.at(*middle)))
    return found


def _mark(border: Border, x: float, y: float) -> str:
    words = "pages {} and {}: {}".format(border.first, border.second, _WORDS[border.evidence].split(":")[0])
    if border.matched:
        words += ", {}; {:.3f} mm".format(border.matched, border.residual)
    if border.unmatched:
        words += "; {} that do not go on".format(border.unmatched)
    shape = _shape(
        border.evidence if border.matched or border.evidence in ("grid", "labels") else "declared", x, y
    )
    if border.matched:
        shape += _words("count", x, y + 0.95, str(min(border.matched, 99)), "middle")
    elif border.unmatched:
        shape += _words("loose", x, y + 0.95, str(min(border.unmatched, 99)), "middle")
    return "<g><title>{}</title>{}</g>".format(escape(words), shape)


def _shape(evidence: str, x: float, y: float) -> str:
    if evidence == "shapes":
        return _rectangle("proved", (x - _MARK, y - _MARK, x + _MARK, y + _MARK), ' rx="0.6"')
    kind = "proved" if evidence == "cut lines" else "assumed"
    if evidence == "declared":
        corners = ((0, -1.25), (1.25, 0), (0, 1.25), (-1.25, 0))
        spots = " ".join("{},{}".format(_number(x + _MARK * u), _number(y + _MARK * v)) for u, v in corners)
        return '<polygon class="{}" points="{}"/>'.format(kind, spots)
    return '<circle class="{}" cx="{}" cy="{}" r="{}"/>'.format(kind, _number(x), _number(y), _number(_MARK))


def _keys(joined: Joined) -> List[Tuple[str, str]]:
    """Marks that occur, and their words; the worst border of each proved kind."""
    found = []
    for evidence, words in _WORDS.items():
        own = [border for border in joined.borders if border.evidence == evidence]
        if not own:
            continue
        proved = [border for border in own if border.matched]
        if proved:
            worst = max(proved, key=lambda border: border.residual)
            words += "; they meet within {:.2f} mm".format(max(worst.residual, 0.01))
            if worst.residual >= 0.005:
                words += " (worst: pages {} and {})".format(worst.first, worst.second)
        elif any(border.unmatched for border in own):
            words += " (number: lines that end there)"
        found.append((evidence, words))
    return found


def _notes(joined: Joined, view: _View) -> List[str]:
    """What has no mark: pages set apart, islands, dashed outlines, the scale."""
    found = []
    placed = {place.page for place in joined.placed}
    apart = [number for number in joined.blank if number not in placed]
    if apart:
        found.append("Set apart, without pattern lines: {}.".format(listed(apart)))
    count = len({place.island for place in joined.placed})
    if count > 1:
        found.append(
            "{} islands: each is exact in itself; how they lie to each other is not known.".format(count)
        )
    if any(not place.sure for place in joined.placed):
        found.append("Dashed outline: nothing on the page proves its place.")
    found.append("1:{} when printed at full size.".format(write_number(round(view.scale, 1))))
    return found


def _legend(keys: Sequence[Tuple[str, str]], notes: Sequence[str], top: float) -> List[str]:
    found = []
    y = top
    for evidence, words in keys:
        y += _KEY_LINE
        found.append(_shape(evidence, MARGIN + _MARK + 0.5, y - 1.1))
        found.append(_words("note", MARGIN + _SWATCH, y, words))
    for note in notes:
        y += _KEY_LINE
        found.append(_words("note", MARGIN, y, note))
    return found


def _words(kind: str, x: float, y: float, words: str, anchor: str = "start") -> str:
    end = ' text-anchor="{}"'.format(anchor) if anchor != "start" else ""
    return '<text class="{}" x="{}" y="{}"{}>{}</text>'.format(
        kind, _number(x), _number(y), end, escape(one_line(words))
    )


def _number(value: float) -> str:
    return write_number(round(value, 3))
