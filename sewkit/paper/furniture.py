"""What every page carries beside the pattern: its frame, its name, bars to measure, and words.

All of it stands inside what is printed, along the right and the lower side, where the next page
will lie over it.
"""

from typing import Iterable, Iterator, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.paper.document import BLACK, Drawn, Ink, Stroke, Words
from sewkit.paper.letter_widths import text_width
from sewkit.paper.line_kinds import GREY, PALE
from sewkit.paper.moved import together
from sewkit.paper.tiling import Cell, Grid, cell_label

TRUE_SIZE = "Print at 100 %: do not scale, do not fit to the page."

# Fine and strong lines of the furniture (mm).
FINE, PLAIN = 0.15, 0.25

# The band along the right and the lower side for bars and words (mm), and letters in it.
BAND, _LETTERS = 10.0, 2.3

# The base lines of its two rows, from the outer side; bars begin so far from the corner (mm).
_ROWS, _BEGIN = (6.6, 2.0), 13.0

# Ticks at the ends of a bar, and at each of its centimetres (mm).
_TICK, _SMALL = 3.0, 1.2

# Where the strip is narrower than the band, the band stands clear of the marks of the joins (mm).
_OFF = 6.5

# The name of the page: height of its letters, and its place from the lower left corner of the frame (mm).
_NAME, _NAME_AT = 11.0, (10.0, 18.0)

# Bars on sheets and on rolls (mm): on a wide plot a short bar tells nothing.
BAR, LONG_BAR = 100.0, 300.0

# Arms of the crosses at the corners begin and end so far from them, across and along (mm).
_ARM = (0.6, 3.0)

# The middle of a side is kept free for the mark of the join and its words, so far each way (mm).
_MIDDLE = 13.0


class Sign(NamedTuple):
    """What the pages say alike.

    Args:
        about: garment, person, sizes, date, in one line.
        bar: length of the bars (mm).
    """

    about: str
    bar: float = BAR


def line(
    spots: Sequence[Tuple[float, float]],
    width: float = PLAIN,
    ink: Ink = GREY,
    dashes: Tuple[float, ...] = (),
    closed: bool = False,
) -> Stroke:
    """A stroke through some points of the page (mm)."""
    return Stroke(Path.through(spots, closed=closed), width, dashes, ink)


def fitted(words: Words, room: float) -> Words:
    """Words made smaller until they are no longer than ``room`` (mm)."""
    length = text_width(words.text, words.height, words.bold)
    return words if length <= room else words._replace(height=words.height * max(room, 1.0) / length)


def page_furniture(grid: Grid, cell: Cell, number: int, of: int, sign: Sign) -> Drawn:
    """All that a page carries but for its joins (mm on the page)."""
    left, top = grid.margin, grid.margin
    right, low = left + grid.size[0], top + grid.size[1]
    label = cell_label(cell)
    frame = line([(left, top), (right, top), (right, low), (left, low)], FINE, closed=True)
    off = 0.0 if grid.overlap >= BAND else grid.overlap + _OFF
    name = Words(label, (left + _NAME_AT[0], low - off - _NAME_AT[1]), _NAME, ink=PALE, bold=True)
    page = "{}, page {} of {}".format(label, number, of)
    across = _band(np.array([left, low - off]), np.array([1.0, 0.0]), grid.size[0], sign.bar)
    along = _band(np.array([right - off, low - off]), np.array([0.0, -1.0]), grid.size[1] - off, sign.bar)
    under, aside = low - off - _ROWS[0], right - off - _ROWS[0]
    room_across, room_along = (side / 2 - off - _BEGIN - _MIDDLE for side in grid.size)
    words = [
        fitted(_words(TRUE_SIZE, (left + _BEGIN - 9.0, under)), room_across + 8.0),
        fitted(_words(page, (right - off - BAND - 2.0, under), anchor=1.0), room_across),
        fitted(
            _words(sign.about, (aside, low - off - _BEGIN), (0.0, -1.0)),
            room_along,
        ),
        fitted(
            _words(TRUE_SIZE, (aside, top + 3.0), (0.0, -1.0), 1.0),
            room_along,
        ),
    ]
    crosses = tuple(corner_crosses(grid))
    return together([Drawn((frame, *crosses), (), (name, *words)), across, along])


def corner_crosses(grid: Grid) -> Iterator[Stroke]:
    """Arms of a cross, aslant, where the corners of four pages meet: each page shows those within it."""
    low = np.array([grid.margin, grid.margin])
    high = low + grid.size
    for right, down in ((0, 0), (1, 0), (0, 1), (1, 1)):
        corner = low + np.array([right, down]) * grid.step
        for way in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
            start, stop = (corner + arm * np.array(way) for arm in _ARM)
            if (stop >= low).all() and (stop <= high).all():
                yield line([_pair(start), _pair(stop)], FINE)


def _words(
    text: str, place: Tuple[float, float], along: Tuple[float, float] = (1.0, 0.0), anchor: float = 0.0
) -> Words:
    return Words(text, place, _LETTERS, along, BLACK, anchor=anchor)


def _band(corner: np.ndarray, way: np.ndarray, side: float, bar: float) -> Drawn:
    """A bar along a side of the frame, from its corner; shorter where the side is."""
    length = bar if side >= bar + 2 * _BEGIN else BAR
    inwards = np.array([way[1], -way[0]])
    begin = _BEGIN if way[0] == 0 else 4.0
    start = corner + begin * way + _ROWS[1] * inwards
    return measured_bar(start, way, inwards, length)


def measured_bar(start: np.ndarray, way: np.ndarray, inwards: np.ndarray, length: float) -> Drawn:
    """A bar so long (mm) with a tick at each centimetre, and its length in words at its end."""
    stop = start + length * way
    ticks = [start + _TICK * inwards, start, stop, stop + _TICK * inwards]
    strokes: List[Stroke] = [line([_pair(spot) for spot in ticks], PLAIN, BLACK)]
    for at in np.arange(10.0, length - 1.0, 10.0):
        spot = start + at * way
        strokes.append(line([_pair(spot), _pair(spot + _SMALL * inwards)], FINE, BLACK))
    text = "{:.0f} mm".format(length)
    words = Words(text, _pair(stop + 1.5 * way), _LETTERS, _pair(way))
    return Drawn(tuple(strokes), (), (words,))


def _pair(spot: Iterable[float]) -> Tuple[float, float]:
    x, y = spot
    return float(x), float(y)
