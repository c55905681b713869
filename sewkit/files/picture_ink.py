"""The before/after picture's ink: strokes, tints, letters, written as SVG (mm on paper).

Old and new differ in stroke and dash, added and taken in plain and hatched, so that the
picture also reads in grey and to colour-blind eyes.
"""

import zlib
from typing import List, NamedTuple, Optional, Sequence, Tuple
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from sewkit.files.picture_layout import (
    APART,
    LABEL,
    LEADER,
    LINE,
    MARGIN,
    NAME,
    NOTE,
    Label,
    Placed,
    spread,
    text_width,
)
from sewkit.files.report_words import one_line
from sewkit.files.svg_path import write_d
from sewkit.geometry.path import Path
from sewkit.units import write_number

TITLE = 5.6  # height of letters
TOP = 26.0  # title and scale
_SWATCH = 11.0  # length of a stroke in the legend
_KEY_LINE = 5.4

# Dashes of the lines it came from, one a size; beyond four they begin again.
DASHES = ("2.2 1.1", "0.5 0.9", "3.6 0.9 0.5 0.9", "1.1 0.8")

_STYLE = """
text { font-family: 'Source Sans 3', 'Segoe UI', 'Helvetica Neue', Arial, sans-serif; fill: #1d2730; }
path { fill: none; stroke-linejoin: round; stroke-linecap: butt; }
.new { stroke: #0b3954; stroke-width: 0.55; }
.cut { stroke: #1d2730; stroke-width: 0.22; }
.old-0, .old-1, .old-2, .old-3 { stroke: #66717b; stroke-width: 0.35; }
%s
.mark { stroke: #0b3954; stroke-width: 0.3; }
.grain { stroke: #0b3954; stroke-width: 0.3; marker-start: url(#%s-tip); marker-end: url(#%s-tip); }
.added { fill: #3d94c4; fill-opacity: 0.3; stroke: none; fill-rule: evenodd; }
.taken { fill: url(#%s-hatch); stroke: none; fill-rule: evenodd; }
.leader { stroke: #8a4b08; stroke-width: 0.22; }
.size-leader { stroke: #66717b; stroke-width: 0.22; }
.dot { fill: #ffffff; stroke: #8a4b08; stroke-width: 0.3; }
.size-dot { fill: #66717b; stroke: none; }
.title { font-size: %spx; font-weight: 600; }
.name { font-size: %spx; font-weight: 600; }
.note { font-size: %spx; fill: #4a5661; }
.change { font-size: %spx; font-weight: 600; fill: #6b3a06; }
.size { font-size: %spx; fill: #4a5661; }
""".strip()


class Key(NamedTuple):
    """One line of the legend: which stroke, and what it means."""

    kind: str
    words: str

    @property
    def width(self) -> float:
        """The room it takes with its swatch."""
        return _SWATCH + 2.0 + text_width(self.words, NOTE) + 5.0


def old_kind(number: int) -> str:
    """The stroke of the old line of that number."""
    return "old-{}".format(number % len(DASHES))


def foot(keys: Sequence[Key], width: float) -> float:
    """The height of the legend below the pieces."""
    return 5.0 + _KEY_LINE * len(_key_rows(keys, width)) + MARGIN


def document(
    title: str, scale: float, width: float, height: float, keys: Sequence[Key], pieces: Sequence[str]
) -> str:
    """The whole picture; ``pieces`` are fragments from ``piece``, in the same millimetres."""
    body = "\n".join(pieces)
    tag = "p{:08x}".format(zlib.crc32(body.encode("utf-8")))
    words = one_line(title) or "Before and after"
    parts = [
        '<svg xmlns="http://www.w3.org/2000/svg" id="{2}" width="{0}mm" height="{1}mm" viewBox="0 0 {0} {1}" '
        'role="img">'.format(_number(width), _number(height), tag),
        "<title>{}</title>".format(escape(words)),
        "<style>\n{}\n</style>".format(_style(tag)),
        _definitions(tag),
        '<rect width="{}" height="{}" fill="#ffffff"/>'.format(_number(width), _number(height)),
        _title(words, width),
        _scale_bar(scale),
        body.replace(_TAG, tag),
        _legend(keys, width, height),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


# Stands in fragments for the document's own prefix of ids, which keeps two pictures apart
# that are put into one page.
_TAG = "\x01"  # never in a text: ``one_line`` takes such signs out


def _style(tag: str) -> str:
    """The rules, each bound to this picture: in a page they must not reach anything else."""
    dashes = "\n".join(".old-%d { stroke-dasharray: %s; }" % pair for pair in enumerate(DASHES))
    rules = _STYLE % (dashes, tag, tag, tag, TITLE, NAME, NOTE, LABEL, LABEL)
    bound = []
    for rule in rules.splitlines():
        names, brace, rest = rule.partition("{")
        named = ", ".join("#{} {}".format(tag, name.strip()) for name in names.split(","))
        bound.append(named + " " + brace + rest)
    return "\n".join(bound)


def _definitions(tag: str) -> str:
    return (
        '<defs><pattern id="{0}-hatch" patternUnits="userSpaceOnUse" width="1.3" height="1.3" '
        'patternTransform="rotate(45)"><rect width="1.3" height="1.3" fill="#e08a2b" fill-opacity="0.16"/>'
        '<path d="M 0.3,0 V 1.3" style="stroke:#b8640f;stroke-width:0.28"/></pattern>'
        '<marker id="{0}-tip" orient="auto-start-reverse" markerUnits="userSpaceOnUse" markerWidth="4" '
        'markerHeight="4" refX="3" refY="2" viewBox="0 0 4 4"><path d="M 0.6,0.7 L 3,2 L 0.6,3.3" '
        'style="stroke:#0b3954;stroke-width:0.3"/></marker></defs>'
    ).format(tag)


def piece(
    placed: Placed,
    strokes: Sequence[Tuple[str, Path]],
    zone: Optional[Tuple[Path, Path]],
) -> str:
    """One piece: tint, lines, name and notes, labels.

    Args:
        placed: where it stands.
        strokes: kind and line, drawn in this order.
        zone: the old and the new closed line, tinted where they differ.
    """
    cell = placed.cell
    parts = ["<g><title>{}</title>".format(escape(one_line(cell.name)))]
    if zone is not None:
        parts.append(_zone(zone[0], zone[1], placed))
    leaders, dots, words = _labels(placed)
    parts += leaders  # below the pattern's lines, which they must not hide
    parts += ['<path class="{}" d="{}"/>'.format(kind, _d(path)) for kind, path in strokes]
    base = placed.y - cell.head + NAME
    parts.append(_text(cell.name, placed.x, base, "name"))
    for number, note in enumerate(cell.notes):
        parts.append(_text(note, placed.x, base + NOTE * LINE * (number + 1), "note"))
    return "\n".join([*parts, *dots, *words, "</g>"])


def _zone(old: Path, new: Path, placed: Placed) -> str:
    """What lies in one line and not in the other, cut to the new line and to the old one."""
    name = "{}-{}-{}".format(_TAG, _number(placed.x), _number(placed.y)).replace(".", "_")
    both = "{} {}".format(_d(old), _d(new))
    pieces = []
    for kind, inside in (("added", new), ("taken", old)):
        pieces.append(
            '<clipPath id="{0}-{1}"><path d="{2}"/></clipPath>'
            '<path class="{1}" clip-path="url(#{0}-{1})" d="{3}"/>'.format(name, kind, _d(inside), both)
        )
    return "\n".join(pieces)


def _labels(placed: Placed) -> Tuple[List[str], List[str], List[str]]:
    """Leaders, their dots, and the words of both sides."""
    cell = placed.cell
    leaders: List[str] = []
    dots: List[str] = []
    words: List[str] = []
    for labels, edge, away, anchor in (
        (cell.left, placed.x, -1.0, "end"),
        (cell.right, placed.x + cell.width, 1.0, "start"),
    ):
        room = sum(label.height + APART for label in labels)
        middles = spread(labels, 0.0, max(cell.height, room))
        for label, middle in zip(labels, middles):
            y = placed.y + middle
            start = edge + away * (LEADER - 0.8)
            elbow = edge + away * LEADER * 0.45
            spot = (placed.x + label.spot[0], placed.y + label.spot[1])
            leaders.append(_leader(label, [(start, y), (elbow, y), spot]))
            dots.append(_dot(label, spot))
            words.append(_label_words(label, edge + away * LEADER, y, anchor))
    return leaders, dots, words


def _leader(label: Label, way: Sequence[Tuple[float, float]]) -> str:
    d = "M " + " L ".join("{},{}".format(_number(x), _number(y)) for x, y in way)
    kind = "size-leader" if label.kind == "size" else "leader"
    return '<path class="{}" d="{}"/>'.format(kind, d)


def _dot(label: Label, spot: Tuple[float, float]) -> str:
    kind = "size-dot" if label.kind == "size" else "dot"
    return '<circle class="{}" cx="{}" cy="{}" r="0.75"/>'.format(kind, _number(spot[0]), _number(spot[1]))


def _label_words(label: Label, x: float, middle: float, anchor: str) -> str:
    """The lines of a label around a middle height; letters sit 0.35 of their height below it."""
    step = LABEL * LINE
    first = middle - step * (len(label.lines) - 1) / 2 + LABEL * 0.35
    return "\n".join(
        _text(line, x, first + step * number, label.kind, anchor) for number, line in enumerate(label.lines)
    )


def _title(words: str, width: float) -> str:
    """The title on one line, in smaller letters where it is long."""
    size = min(TITLE, (width - 2 * MARGIN) / text_width(words, 1.0))
    text = _text(words, MARGIN, MARGIN + TITLE, "title")
    smaller = '<text style="font-size:{}px"'.format(_number(size))
    return text if size == TITLE else text.replace("<text", smaller, 1)


def _scale_bar(scale: float) -> str:
    """A bar of 100 mm (500 mm in small scales) with tenths, below the title."""
    length = 100.0 if scale <= 10 else 500.0
    long = length / scale
    tenth, y = long / 10, MARGIN + TITLE + 3.4
    field = "h {} v 1.6 h {} Z".format(_number(tenth), _number(-tenth))
    starts = [_number(MARGIN + number * tenth) for number in range(0, 10, 2)]
    fields = " ".join("M {},{} {}".format(start, _number(y), field) for start in starts)
    words = "{:.0f} mm on the piece · 1:{} when printed at full size".format(length, write_number(scale))
    return (
        '<path class="bar" d="{}" style="fill:#1d2730"/>'
        '<rect class="bar-frame" x="{}" y="{}" width="{}" height="1.6" fill="none" stroke="#1d2730" '
        'stroke-width="0.2"/>{}'
    ).format(
        fields,
        _number(MARGIN),
        _number(y),
        _number(long),
        _text(words, MARGIN + long + 2.5, y + 1.9, "note"),
    )


def _key_rows(keys: Sequence[Key], width: float) -> List[List[Key]]:
    lines: List[List[Key]] = [[]]
    used = 0.0
    for key in keys:
        if lines[-1] and used + key.width > width - 2 * MARGIN:
            lines.append([])
            used = 0.0
        lines[-1].append(key)
        used += key.width
    return lines


def _legend(keys: Sequence[Key], width: float, height: float) -> str:
    lines = _key_rows(keys, width)
    top = height - MARGIN - _KEY_LINE * (len(lines) - 1) - 1.0
    parts = []
    for number, line in enumerate(lines):
        x, y = MARGIN, top + number * _KEY_LINE
        for key in line:
            parts.append(_swatch(key, x, y))
            parts.append(_text(key.words, x + _SWATCH + 2.0, y + 1.1, "note"))
            x += key.width
    return "\n".join(parts)


def _swatch(key: Key, x: float, y: float) -> str:
    if key.kind in ("added", "taken"):
        d = "M {},{} h {} v 3.2 h {} Z".format(_number(x), _number(y - 1.6), _SWATCH, -_SWATCH)
    else:
        d = "M {},{} h {}".format(_number(x), _number(y), _SWATCH)
    return '<path class="{}" d="{}"/>'.format(key.kind, d)


def _text(words: str, x: float, y: float, kind: str, anchor: str = "start") -> str:
    end = ' text-anchor="{}"'.format(anchor) if anchor != "start" else ""
    return "<text class={} x={} y={}{}>{}</text>".format(
        quoteattr(kind), quoteattr(_number(x)), quoteattr(_number(y)), end, escape(one_line(words))
    )


def _d(path: Path) -> str:
    """Path data to a thousandth of a mm on paper."""
    return write_d(Path(np.round(path.curves, 3), path.closed))


def _number(value: float) -> str:
    return write_number(round(value, 3))
