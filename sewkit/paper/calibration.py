"""What a projector shows besides the pieces: the page to calibrate by, and the frame of every throw."""

from typing import Iterator, List, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.paper.document import Drawn, Ink, Stroke, Words
from sewkit.paper.field import EDGE, Field
from sewkit.units import write_number

# Letters on a table are read from a step away: so high at least, in mm and in pixels.
_HEIGHT, _PIXELS_HIGH = 11.0, 15.0

# The bar that every throw shows (mm).
BAR = 100.0

_MARK = 12.0  # half a cross to mark with chalk (mm)


def letters(field: Field) -> float:
    """The height of letters that can be read on this field (mm)."""
    return max(_HEIGHT, _PIXELS_HIGH / field.per_mm)


def calibration(field: Field, ink: Ink, weight: float, title: str) -> Drawn:
    """The first page: a square, the ends of its diagonals, the edge of the field, and what to do.

    ``weight``: width of the lines (mm).
    """
    side, height = field.square, letters(field)
    left, top = (field.width - side) / 2, (field.height - side) / 2
    corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], float) * side + [left, top]
    strokes = [Stroke(Path.through([*corners, corners[0]]), weight, ink=ink)]
    strokes += [Stroke(line, weight / 2, ink=ink) for line in _diagonals(corners, side)]
    strokes += [Stroke(line, weight / 2, ink=ink) for line in _hundreds(corners, side)]
    strokes.append(Stroke(_edge(field, weight), weight, ink=ink))
    return Drawn(tuple(strokes), (), tuple(_told(field, ink, height, title, (left, top, side))))


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


def _told(
    field: Field, ink: Ink, height: float, title: str, square: Tuple[float, float, float]
) -> List[Words]:
    left, top, side = square
    shown = write_number(side)
    lines = [
        "This square is {} mm: measure".format(shown),
        "both sides and both diagonals",
        "({:.1f} mm) with a real rule.".format(side * 2.0**0.5),
        "A side of m mm instead:",
        "project anew with measured m,",
        "or zoom by {} / m.".format(shown),
        "Sides or diagonals that differ:",
        "set the projector straight.",
        "Again after every knock.",
    ]
    place = left + 24.0, top + side / 2 - len(lines) / 2 * height * 1.4
    size = min(height, (side - 48.0) / 16.0)
    told = [
        Words(line, (place[0], place[1] + (n + 1) * size * 1.4), size, ink=ink)
        for n, line in enumerate(lines)
    ]
    told.append(Words(title, (EDGE, EDGE + height), height, ink=ink, bold=True))
    below = "All four edges of this frame must be seen. Never look into the lens."
    told.append(Words(below, (EDGE, field.height - EDGE), height * 0.8, ink=ink))
    return told


def throw_frame(field: Field, ink: Ink, weight: float, words: Sequence[str]) -> Drawn:
    """What every throw shows: the bar of 100 mm, and words in the upper left corner."""
    height = letters(field)
    right, bottom = field.width - EDGE, field.height - EDGE
    bar = [
        Path.through([(right - BAR, bottom), (right, bottom)]),
        *(Path.through([(x, bottom - 6.0), (x, bottom)]) for x in (right - BAR, right - BAR / 2, right)),
    ]
    told = [
        Words(line, (EDGE, EDGE + height * (1.0 + 1.35 * n)), height, ink=ink, bold=n == 0)
        for n, line in enumerate(words)
    ]
    told.append(Words("100 mm", (right - BAR / 2, bottom - 10.0), height * 0.8, ink=ink, anchor=0.5))
    return Drawn(tuple(Stroke(line, weight, ink=ink) for line in bar), (), tuple(told))


def chalk_mark(spot: Tuple[float, float], number: int, ink: Ink, weight: float, height: float) -> Drawn:
    """A numbered cross that two neighbouring throws show at the same place of the cloth."""
    x, y = spot
    lines = [
        Path.through([(x - _MARK, y), (x + _MARK, y)]),
        Path.through([(x, y - _MARK), (x, y + _MARK)]),
    ]
    name = Words(str(number), (x + _MARK * 0.4, y - _MARK * 0.4), height, ink=ink, bold=True)
    return Drawn(tuple(Stroke(line, weight, ink=ink) for line in lines), (), (name,))
