"""The sheet picture's ink: strokes, signs, letters, written as SVG (mm on paper).

Sizes differ in dash and weight, kinds of marks in sign and dash, levels of worry in the
circle's filling and border: the picture also reads in grey and to colour-blind eyes.
"""

import zlib
from typing import Dict, List, NamedTuple, Sequence, Tuple
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from sewkit.files.picture_ink import TITLE
from sewkit.files.picture_layout import LINE, MARGIN, NAME, NOTE, text_width
from sewkit.files.report_words import one_line
from sewkit.files.svg_path import write_d
from sewkit.geometry.path import Path
from sewkit.pattern.mark import DART, DRILL, FOLD, GRAIN, INNER, LENGTHEN, LEVEL, NOTCH
from sewkit.report import Level
from sewkit.units import write_number

RADIUS = 2.5  # of a numbered circle: two digits of a note's height
SWATCH = 11.0  # length of a stroke in the legend

# Of the sizes, beginning again after five and after four: the first twenty sizes are all
# different, and neighbours differ in both.  A solid line every fifth size, as on a map.
DASHES = ("", "2.4 0.9", "0.6 0.6", "3.6 0.7 0.6 0.7", "1.2 0.6")
WEIGHTS = (0.42, 0.2, 0.3, 0.14)
TONES = ("#0b3954", "#7a7f84")  # for the first twenty sizes, for the next

MARK_KINDS: Dict[str, str] = {
    GRAIN: "grain",
    FOLD: "fold",
    NOTCH: "notch",
    DART: "dart",
    LENGTHEN: "lengthen",
    DRILL: "drill",
    LEVEL: "level",
    INNER: "inner",
}

_LEVELS = {Level.FAIL: "stop", Level.WARN: "look"}

_STYLE = """
text { font-family: 'Source Sans 3', 'Segoe UI', 'Helvetica Neue', Arial, sans-serif; fill: #1d2730; }
path { fill: none; stroke-linejoin: round; stroke-linecap: butt; }
.every { stroke: #0b3954; stroke-width: 0.3; }
.cut { stroke: #66717b; stroke-width: 0.16; }
.rest { stroke: #aab3ba; stroke-width: 0.14; }
.page { fill: none; stroke: #aab3ba; stroke-width: 0.16; stroke-dasharray: 0.3 1; stroke-linecap: round; }
.fold-edge { stroke: #f3d9b0; stroke-width: 1.8; }
.grain { stroke: #17607a; stroke-width: 0.3; marker-start: url(#TAG-tip); marker-end: url(#TAG-tip); }
.fold, .dart, .notch { stroke: #17607a; stroke-width: 0.3; }
.lengthen { stroke: #17607a; stroke-width: 0.3; stroke-dasharray: 1.6 0.8; }
.level { stroke: #17607a; stroke-width: 0.2; stroke-dasharray: 0.4 0.7; }
.inner { stroke: #17607a; stroke-width: 0.2; }
.sign { fill: #17607a; }
.hole { fill: none; stroke: #17607a; stroke-width: 0.25; }
.leader { stroke: #66717b; stroke-width: 0.2; }
.worry { stroke: #8a4b08; stroke-width: 0.25; }
.spot { fill: #8a4b08; stroke: #ffffff; stroke-width: 0.2; }
.stop { fill: #8f1414; stroke: #8f1414; stroke-width: 0.3; }
.look { fill: #ffffff; stroke: #7a4a00; stroke-width: 0.55; }
.info { fill: #ffffff; stroke: #1d4f8c; stroke-width: 0.3; stroke-dasharray: 0.7 0.5; }
.title { font-size: %(title)spx; font-weight: 600; }
.name { font-size: %(name)spx; font-weight: 600; }
.small-name { font-size: %(note)spx; font-weight: 600; }
.name, .small-name { paint-order: stroke; stroke: #ffffff; stroke-width: 0.7; stroke-linejoin: round; }
.note { font-size: %(note)spx; fill: #4a5661; }
.list { font-size: %(note)spx; }
.number { font-size: %(note)spx; font-weight: 600; fill: #1d2730; }
.stop-number { font-size: %(note)spx; font-weight: 600; fill: #ffffff; }
.page-number { font-size: %(note)spx; fill: #66717b; }
.page-number { paint-order: stroke; stroke: #ffffff; stroke-width: 0.5; }
""".strip()


class Key(NamedTuple):
    """One entry of the legend: a sign (SVG, its middle left at 0, 0) and what it means.

    ``least``: the room it takes at least (mm), for entries that stand in columns.
    """

    sign: str
    words: str
    least: float = 0.0

    @property
    def width(self) -> float:
        """The room it takes with its sign."""
        return max(self.least, SWATCH + 2.0 + text_width(self.words, NOTE) + 5.0)


class Sizes(NamedTuple):
    """How many strokes of sizes there are, and how fine (1 is as ``WEIGHTS`` says)."""

    count: int
    weight: float = 1.0


def document(heading: str, width: float, height: float, sizes: Sizes, body: Sequence[str]) -> str:
    """The whole picture: a title and fragments, in mm on the paper."""
    words = one_line(heading) or "The sheet"
    inside = "\n".join([*body])
    tag = "s{:08x}".format(zlib.crc32((words + inside).encode("utf-8")))
    w, h = number(width), number(height)
    return "\n".join(
        [
            '<svg xmlns="http://www.w3.org/2000/svg" id="{2}" width="{0}mm" height="{1}mm" '
            'viewBox="0 0 {0} {1}" role="img">'.format(w, h, tag),
            "<title>{}</title>".format(escape(words)),
            "<style>\n{}\n</style>".format(_rules(tag, sizes)),
            _tip(tag),
            '<rect width="{}" height="{}" fill="#ffffff"/>'.format(w, h),
            _title(words, width),
            inside,
            "</svg>\n",
        ]
    )


def _rules(tag: str, sizes: Sizes) -> str:
    """The rules, each bound to this picture: in a page they must not reach anything else."""
    text = _STYLE % {"title": TITLE, "name": NAME, "note": NOTE}
    rules = text.replace("TAG", tag).splitlines() + [_size_rule(n, sizes.weight) for n in range(sizes.count)]
    bound = []
    for rule in rules:
        names, brace, rest = rule.partition("{")
        named = ", ".join("#{} {}".format(tag, name.strip()) for name in names.split(","))
        bound.append(named + " " + brace + rest)
    return "\n".join(bound)


def size_kind(place: int) -> str:
    """The stroke of the size at that place, from 0."""
    return "size-{}".format(place)


def _size_rule(place: int, weight: float) -> str:
    dash = DASHES[place % len(DASHES)]
    return ".{} {{ stroke: {}; stroke-width: {}{} }}".format(
        size_kind(place),
        TONES[place // (len(DASHES) * len(WEIGHTS)) % len(TONES)],
        number(WEIGHTS[place % len(WEIGHTS)] * weight),
        "; stroke-dasharray: " + dash + ";" if dash else ";",
    )


def _tip(tag: str) -> str:
    return (
        '<defs><marker id="{}-tip" orient="auto-start-reverse" markerUnits="userSpaceOnUse" '
        'markerWidth="4" markerHeight="4" refX="3" refY="2" viewBox="0 0 4 4">'
        '<path d="M 0.6,0.7 L 3,2 L 0.6,3.3" style="stroke:#17607a;stroke-width:0.3"/></marker></defs>'
    ).format(tag)


def _title(words: str, width: float) -> str:
    """The title on one line, in smaller letters where it is long."""
    size = min(TITLE, (width - 2 * MARGIN) / text_width(words, 1.0))
    smaller = "" if size == TITLE else ' style="font-size:{}px"'.format(number(size))
    return '<text class="title" x="{}" y="{}"{}>{}</text>'.format(
        number(MARGIN), number(MARGIN + TITLE), smaller, escape(words)
    )


def scale_bar(scale: float, y: float, most: float) -> str:
    """A bar of a round length with fifths, as long as ``most`` (mm) allows, and the scale in words."""
    rounds = [step * 10.0**power for power in range(5) for step in (1, 2, 5)]
    length = max([one for one in rounds if one / scale <= most] or rounds[:1])
    long = length / scale
    fifth = long / 5
    field = "h {} v 1.6 h {} Z".format(number(fifth), number(-fifth))
    fields = " ".join("M {},{} {}".format(number(MARGIN + n * fifth), number(y), field) for n in (0, 2, 4))
    words = "{} mm on the sheet · 1:{} when printed at full size".format(number(length), write_number(scale))
    return (
        '<path class="bar" d="{}" style="fill:#1d2730"/><rect class="bar-frame" x="{}" y="{}" width="{}" '
        'height="1.6" fill="none" stroke="#1d2730" stroke-width="0.2"/>{}'
    ).format(
        fields,
        number(MARGIN),
        number(y),
        number(long),
        text(words, MARGIN + long + 2.5, y + 1.9, "note"),
    )


def stroke(kind: str, path: Path) -> str:
    """One line."""
    return '<path class="{}" d="{}"/>'.format(kind, path_data(path))


def strokes(kind: str, paths: Sequence[Path]) -> str:
    """Many lines as one element; nothing where there are none."""
    data = " ".join(filter(None, (path_data(path, 2) for path in paths)))
    return '<path class="{}" d="{}"/>'.format(kind, data) if data else ""


def mark(kind: str, path: Path, middle: Tuple[float, float]) -> str:
    """A mark: its line, and a sign that stays to be seen in a small scale."""
    if kind == DRILL:
        return hole(middle)
    if kind == GRAIN:
        return line("grain", *_ends(path))
    return stroke(MARK_KINDS[kind], path) + (circle("sign", middle, 0.5) if kind == NOTCH else "")


def _ends(path: Path) -> Tuple[Tuple[float, float], Tuple[float, float]]:
    """The two ends of an arrow, whether its heads are part of the line or not."""
    nodes = path.nodes
    first = nodes[np.argmax(((nodes - nodes.mean(axis=0)) ** 2).sum(axis=1))]
    last = nodes[np.argmax(((nodes - first) ** 2).sum(axis=1))]
    return (float(first[0]), float(first[1])), (float(last[0]), float(last[1]))


def hole(middle: Tuple[float, float]) -> str:
    """A ring with a cross."""
    x, y = middle
    cross = "M {},{} h 2.4 M {},{} v 2.4".format(number(x - 1.2), number(y), number(x), number(y - 1.2))
    return circle("hole", middle, 0.8) + '<path class="hole" d="{}"/>'.format(cross)


def circle(kind: str, middle: Tuple[float, float], radius: float) -> str:
    """A circle about a middle."""
    return '<circle class="{}" cx="{}" cy="{}" r="{}"/>'.format(
        kind, number(middle[0]), number(middle[1]), number(radius)
    )


def numbered(count: int, level: Level, middle: Tuple[float, float]) -> str:
    """A circle with a number; stop is filled, look has a strong border, a note a broken one."""
    kind = "stop-number" if level == Level.FAIL else "number"
    return circle(_LEVELS.get(level, "info"), middle, RADIUS) + text(
        str(count), middle[0], middle[1] + 0.35 * NOTE, kind, "middle"
    )


def level_sign(level: Level) -> str:
    """The circle of a level, for the legend."""
    return circle(_LEVELS.get(level, "info"), (SWATCH - RADIUS, 0.0), RADIUS)


def item(count: int, level: Level, lines: Sequence[str], corner: Tuple[float, float]) -> str:
    """One entry of the list: its circle, and words in lines beside it."""
    x, y = corner
    step = NOTE * LINE
    first = y + RADIUS + 0.35 * NOTE
    parts = [numbered(count, level, (x + RADIUS, y + RADIUS))]
    parts += [text(words, x + 2 * RADIUS + 2.0, first + n * step, "list") for n, words in enumerate(lines)]
    return "\n".join(parts)


def lines_of(lines: Sequence[str], height: float, middle: Tuple[float, float], kind: str) -> str:
    """Lines of words, letters ``height`` mm high, around a middle."""
    step = height * LINE
    first = middle[1] - step * (len(lines) - 1) / 2 + 0.35 * height
    return "\n".join(text(one, middle[0], first + n * step, kind, "middle") for n, one in enumerate(lines))


def title(words: str) -> str:
    """What a viewer shows of a group under the pointer."""
    return "<title>{}</title>".format(escape(one_line(words)))


def page_frame(box: Tuple[float, float, float, float]) -> str:
    """The border of a page."""
    left, top, right, bottom = box
    return '<rect class="page" x="{}" y="{}" width="{}" height="{}"/>'.format(
        number(left), number(top), number(right - left), number(bottom - top)
    )


def line(kind: str, start: Tuple[float, float], end: Tuple[float, float]) -> str:
    """A straight line between two spots."""
    return '<path class="{}" d="M {},{} L {},{}"/>'.format(
        kind, number(start[0]), number(start[1]), number(end[0]), number(end[1])
    )


def swatch(kind: str) -> str:
    """A stroke for the legend."""
    return '<path class="{}" d="M 0,0 h {}"/>'.format(kind, number(SWATCH))


def legend_row(keys: Sequence[Key], x: float, y: float) -> str:
    """Entries beside each other, their signs at the height ``y``."""
    parts: List[str] = []
    for key in keys:
        parts.append('<g transform="translate({} {})">{}</g>'.format(number(x), number(y), key.sign))
        parts.append(text(key.words, x + SWATCH + 2.0, y + 1.1, "note"))
        x += key.width
    return "\n".join(parts)


def text(words: str, x: float, y: float, kind: str, anchor: str = "start") -> str:
    """One line of words on the baseline ``y``."""
    end = ' text-anchor="{}"'.format(anchor) if anchor != "start" else ""
    return "<text class={} x={} y={}{}>{}</text>".format(
        quoteattr(kind), quoteattr(number(x)), quoteattr(number(y)), end, escape(one_line(words))
    )


def path_data(path: Path, decimals: int = 3) -> str:
    """Path data, by usual to a thousandth of a mm on paper."""
    return write_d(Path(np.round(path.curves, decimals), path.closed))


def number(value: float) -> str:
    """A number to a thousandth."""
    return write_number(round(value, 3))
