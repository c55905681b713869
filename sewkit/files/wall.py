"""The wall of a cast: a small picture of everybody's pieces, all to one scale, each with its light.

One page that needs nothing else, for a telephone as for a large screen, by day and by
night.  The same piece hangs at the same place in every picture of a garment, so that what
differs is seen at a glance.
"""

import html
import itertools
from typing import Dict, List, Mapping, NamedTuple, Sequence, Tuple
from urllib.parse import quote

from sewkit.files.cast import DONE, FAILED, HELD, LEFT, CastRow, Shape
from sewkit.files.cast_summary import cloth_words, counted, left_words, level_of
from sewkit.files.report_words import SIGNS, one_line
from sewkit.files.wall_style import STYLE
from sewkit.report import Level

# Between two pieces of a picture (mm of the pattern).
_GAP = 40

# A picture is at most so many times as wide as high.
_ASPECT = 2.0

# What has no pack is told by a word of its own.
_WORDS = {HELD: "held", FAILED: "failed"}

_PAGE = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<meta name="color-scheme" content="light dark"/>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'"/>
<title>{title}</title>
<style>
{style}</style>
</head>
<body>
<main>
<header><h1>{title}</h1><p class="count">{count}</p></header>
{held}{walls}
{left}<footer><p>{scale}</p><p>{safe}</p></footer>
</main>
</body>
</html>
"""
_SCALE = (
    "All pictures have one scale; a piece is drawn with its allowance. A light is the worst of what a report "
    "tells: look means usable, but look there before you cut; stop means do not cut."
)
_SAFE = "Measures are personal: keep this page and its folder out of other people's sight."


class Frame(NamedTuple):
    """Where each piece of a garment hangs: the corner and the room of its place (mm), and the whole."""

    places: Dict[str, Tuple[int, int, int, int]]
    width: int
    height: int


def wall(rows: Sequence[CastRow], title: str = "The whole cast") -> str:
    """The page for all rows, well-formed also as XML; links lead to the packs beside it."""
    garments = list(dict.fromkeys(row.garment for row in rows))
    frames = {name: frame_of([row.shapes for row in rows if row.garment == name]) for name in garments}
    width = max(frame.width for frame in frames.values()) if frames else 0
    height = max(frame.height for frame in frames.values()) if frames else 0
    walls = []
    for name in garments:
        own = [row for row in rows if row.garment == name and row.state != LEFT]
        cards = "\n".join(_card(row, frames[name], (width, height)) for row in own)
        walls.append(
            '<section><h2>{}</h2>\n<ul class="wall">\n{}\n</ul></section>'.format(_text(name), cards)
        )
    below = (left_words(rows), cloth_words(rows))
    return _PAGE.format(
        title=_text(title),
        style=STYLE,
        count=_text(counted(rows)),
        held=_held(rows),
        walls="\n".join(walls),
        left="".join("<p>{}</p>\n".format(_text(words)) for words in below if words),
        scale=_text(_SCALE),
        safe=_text(_SAFE),
    )


def frame_of(pictures: Sequence[Sequence[Shape]]) -> Frame:
    """A place for every piece that stands in any of the pictures, row by row, in the order of the pieces."""
    rooms: Dict[str, List[int]] = {}
    for shapes in pictures:
        for shape in shapes:
            x0, y0, x1, y1 = _box(shape)
            room = rooms.setdefault(shape.piece, [0, 0])
            rooms[shape.piece] = [max(room[0], x1 - x0), max(room[1], y1 - y0)]
    ends = itertools.accumulate(w + _GAP for w, _ in rooms.values())
    frames = [_hung(rooms, end) for end in ends]
    # The least paper; the widest of two alike, for pictures hang side by side and not below each other.
    fitting = [frame for frame in frames if frame.width <= _ASPECT * frame.height] or frames[:1]
    return min(reversed(fitting), key=lambda one: one.width * one.height) if rooms else Frame({}, 0, 0)


def _hung(rooms: Mapping[str, Sequence[int]], most: int) -> Frame:
    """All pieces in rows that are no wider than ``most`` (mm), but for a piece that is wider by itself."""
    places: Dict[str, Tuple[int, int, int, int]] = {}
    x = y = low = width = 0
    for name, (w, h) in rooms.items():
        if x and x + w > most:
            x, y = 0, low + _GAP
        places[name] = (x, y, w, h)
        x, low, width = x + w + _GAP, max(low, y + h), max(width, x + w)
    return Frame(places, width, low)


def _box(shape: Shape) -> Tuple[int, int, int, int]:
    xs, ys = zip(*shape.corners)
    return min(xs), min(ys), max(xs), max(ys)


def _card(row: CastRow, frame: Frame, room: Tuple[int, int]) -> str:
    level = level_of(row)
    kind = row.state.split()[0] if row.state != DONE else level.word
    name = _text(row.who)
    if row.state == DONE and row.folder:
        name = '<a href="{}/report.html">{}</a>'.format(_text(quote(row.folder)), name)
    parts = ['<li class="card {}">'.format(kind), "<h3>{} {}</h3>".format(name, _light(row, level))]
    parts.append(_picture(row, frame, room))
    if row.made:
        parts.append('<p class="made">{}</p>'.format(_text(row.made)))
    parts += ['<p class="words">{}</p>'.format(_text(row.words))] if row.words else []
    parts += [_printed(row)] if row.prints and row.folder else []
    if row.told:
        points = "".join("<li>{}</li>".format(_text(text)) for text in row.told)
        count = "{} to look at".format(len(row.told))
        parts.append("<details><summary>{}</summary><ul>{}</ul></details>".format(count, points))
    return "".join(parts) + "</li>"


def _printed(row: CastRow) -> str:
    """The printed files of the pack, each a link."""
    links = [
        '<a href="{}/{}">{}</a>'.format(_text(quote(row.folder)), _text(quote(name)), _text(name))
        for name in row.prints
    ]
    return '<p class="prints">To print: {}</p>'.format(", ".join(links))


def _light(row: CastRow, level: Level) -> str:
    word = _WORDS.get(row.state, level.word)
    return '<strong class="light"><span aria-hidden="true">{}</span> {}</strong>'.format(SIGNS[level], word)


def _picture(row: CastRow, frame: Frame, room: Tuple[int, int]) -> str:
    if not row.shapes:
        return ""
    lines = []
    for shape in row.shapes:
        x0, y0, _, _ = _box(shape)
        left, top, _, _ = frame.places[shape.piece]
        spots = " ".join("{},{}".format(x - x0 + left, y - y0 + top) for x, y in shape.corners)
        lines.append('<polygon points="{}"/>'.format(spots))
    words = "{}: {}".format(row.who, ", ".join(shape.piece for shape in row.shapes))
    return '<svg viewBox="-6 -6 {} {}" role="img" aria-label="{}">{}</svg>'.format(
        room[0] + 12, room[1] + 12, _text(words), "".join(lines)
    )


def _held(rows: Sequence[CastRow]) -> str:
    """Why there is no pack, first of all: somebody has to do something about it."""
    lines = "\n".join(
        "<li><b>{}</b> {}: {}</li>".format(_text(row.who), _text(row.state), _text(row.words))
        for row in rows
        if row.state in (HELD, FAILED)
    )
    return (
        '<section class="held-rows"><h2>No pack yet</h2><ul>\n{}\n</ul></section>\n'.format(lines)
        if lines
        else ""
    )


def _text(words: str) -> str:
    return html.escape(one_line(words))
