"""What a projector shows besides the pieces: the page to calibrate by, and the frame of every throw."""

from typing import Iterator, List, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.paper.document import Drawn, Ink, Stroke, Words
from sewkit.paper.field import EDGE, Field
from sewkit.paper.letter_widths import text_width
from sewkit.paper.panels import wrapped
from sewkit.units import write_number

# Letters on a table are read from a step away: so high at least, in mm and in pixels.
_HEIGHT, _PIXELS_HIGH = 11.0, 15.0

# The bar that every throw shows (mm).
BAR = 100.0

_MARK = 12.0  # half a cross to mark with chalk (mm)

# A column of words narrower than this is read badly; letters lower than this are not read (mm).
_COLUMN, _SMALLEST = 90.0, 5.0
_LINE = 1.4  # from line to line, in heights of the letters


def letters(field: Field) -> float:
    """The height of letters that can be read on this field (mm)."""
    return max(_HEIGHT, _PIXELS_HIGH / field.per_mm)


def calibration(field: Field, ink: Ink, weight: float, title: str) -> Drawn:
    """The first page: a square, the ends of its diagonals, the edge of the field, and what to do.

    ``weight``: width of the lines (mm).
    """
    side = field.square
    left, top = (field.width - side) / 2, (field.height - side) / 2
    corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], float) * side + [left, top]
    strokes = [Stroke(Path.through([*corners, corners[0]]), weight, ink=ink)]
    strokes += [Stroke(line, weight / 2, ink=ink) for line in _diagonals(corners, side)]
    strokes += [Stroke(line, weight / 2, ink=ink) for line in _hundreds(corners, side)]
    strokes.append(Stroke(_edge(field, weight), weight, ink=ink))
    return Drawn(tuple(strokes), (), tuple(_told(field, ink, title, left)))


def _diagonals(corners: np.ndarray, side: float) -> Iterator[Path]:
    """The beginnings of both diagonals at the corners, and their crossing: the words stand between."""
    centre = corners.mean(axis=0)
    for corner in corners:
        inward = (centre - corner) / np.hypot(*(centre - corner))
        yield Path.through([corner, corner + inward * 0.12 * side])
        yield Path.through([centre - inward * 10.0, centre])


def _hundreds(corners: np.ndarray, side: float) -> Iterator[Path]:
    """Ticks at every 100 mm of the square's sides, inwards."""
    centre = corners.mean(axis=0)
    for start, stop in zip(corners, np.roll(corners, -1, axis=0)):
        along = (stop - start) / side
        inward = np.array([-along[1], along[0]])
        inward = inward if (centre - start) @ inward > 0 else -inward
        for number in range(1, int(round(side / 100.0))):
            spot = start + along * 100.0 * number
            yield Path.through([spot, spot + inward * 12.0])


def _edge(field: Field, weight: float) -> Path:
    """Round the whole field, just inside: all four sides must be seen."""
    half = weight / 2
    right, bottom = field.width - half, field.height - half
    return Path.through([(half, half), (right, half), (right, bottom), (half, bottom), (half, half)])


def _told(field: Field, ink: Ink, title: str, left: float) -> List[Words]:
    """The words beside the square, as large as they find room; on a narrow field within it.

    ``left``: of the square (mm).
    """
    side = field.square
    beside = left - 2 * EDGE >= _COLUMN
    x, room = (EDGE, left - 2 * EDGE) if beside else (left + EDGE, side / 2 - 3 * EDGE)
    high = (field.height if beside else side) - 2 * EDGE
    shown = write_number(side)
    said = [
        title,
        "This square is {} mm: measure both sides and both diagonals ({:.1f} mm) with a real rule.".format(
            shown, side * 2.0**0.5
        ),
        "A side of m mm instead: project anew with measured m, or zoom by {} / m.".format(shown),
        "Sides or diagonals that differ: set the projector straight. Again after every knock.",
        "All four edges of the outer frame must be seen. Never look into the lens.",
    ]
    height = letters(field)
    lines = _wrapped(said, room, height)
    while height > _SMALLEST and len(lines) * height * _LINE > high:
        height *= 0.9
        lines = _wrapped(said, room, height)
    top = (field.height - len(lines) * height * _LINE) / 2
    return [
        Words(line, (x, top + (number + 0.8) * height * _LINE), height, ink=ink, bold=bold)
        for number, (line, bold) in enumerate(lines)
    ]


def _wrapped(said: Sequence[str], room: float, height: float) -> List[Tuple[str, bool]]:
    """The lines of some paragraphs, the first one bold, with a free line between them."""
    found: List[Tuple[str, bool]] = []
    for number, words in enumerate(said):
        found += [(line, not number) for line in wrapped(words, room, height, not number)]
        found += [("", False)] if number + 1 < len(said) else []
    return found


def throw_frame(field: Field, ink: Ink, weight: float, words: Sequence[str], busy: np.ndarray) -> Drawn:
    """What every throw shows: the bar of 100 mm, and words in a corner where nothing else is.

    ``busy``: points (n, 2) of the lines on the page (mm).
    """
    right, bottom = field.width - EDGE, field.height - EDGE
    bar = [
        Path.through([(right - BAR, bottom), (right, bottom)]),
        *(Path.through([(x, bottom - 6.0), (x, bottom)]) for x in (right - BAR, right - BAR / 2, right)),
    ]
    told = _in_a_corner(field, words, busy, ink)
    told.append(Words("100 mm", (right - BAR / 2, bottom - 10.0), letters(field) * 0.8, ink=ink, anchor=0.5))
    return Drawn(tuple(Stroke(line, weight, ink=ink) for line in bar), (), tuple(told))


def _in_a_corner(field: Field, words: Sequence[str], busy: np.ndarray, ink: Ink) -> List[Words]:
    """The words in the corner, and as large, as they cover the fewest lines; not where the bar is."""
    best: Tuple[int, List[Words]] = (1 << 30, [])
    for height in (letters(field), letters(field) * 0.7):
        wide = max(text_width(line, height, True) for line in words)
        high = height * 1.35 * len(words)
        for right, below in ((False, False), (True, False), (False, True)):
            x = field.width - EDGE if right else EDGE
            top = field.height - EDGE - high if below else EDGE
            low = np.array([x - wide if right else x, top])
            inside = (busy >= low - 3.0).all(axis=1) & (busy <= low + [wide, high] + 3.0).all(axis=1)
            told = [
                Words(
                    line,
                    (x, top + height * (1.0 + 1.35 * number)),
                    height,
                    ink=ink,
                    bold=not number,
                    anchor=float(right),
                )
                for number, line in enumerate(words)
            ]
            if int(inside.sum()) < best[0]:
                best = (int(inside.sum()), told)
    return best[1]


def chalk_mark(spot: Tuple[float, float], number: int, ink: Ink, weight: float, height: float) -> Drawn:
    """A numbered cross (mm) that two neighbouring parts show at the same place of the cloth."""
    x, y = spot
    lines = [
        Path.through([(x - _MARK, y), (x + _MARK, y)]),
        Path.through([(x, y - _MARK), (x, y + _MARK)]),
    ]
    name = Words(str(number), (x + _MARK * 0.4, y - _MARK * 0.4), height, ink=ink, bold=True)
    return Drawn(tuple(Stroke(line, weight, ink=ink) for line in lines), (), (name,))
