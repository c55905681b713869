"""Pieces laid on squared paper: which squares each touches or goes round, every way round."""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.geometry.transform import Transform
from sewkit.paper.document import Drawn
from sewkit.paper.moved import room_of, runs

# How pieces may be laid: all ways round, or with the grain as drawn, up or down.
FREE, GRAIN = (0, 1, 2, 3), (0, 2)

# Squares are so wide at least (mm); about so many go along the side of a square as large as all
# pieces together: more is slow, and saves hardly any paper.
_FINEST, _ACROSS = 4.0, 250.0

# Lines are taken as chords that stay so near (mm), and a piece reaches so far beyond them.
_CHORD = 0.05

# A quarter turn clockwise on the sheet, so often: exact, as no cosine is.
TURNS = (
    Transform(),
    Transform(0.0, 1.0, -1.0, 0.0),
    Transform(-1.0, 0.0, 0.0, -1.0),
    Transform(0.0, -1.0, 1.0, 0.0),
)


class Shape(NamedTuple):
    """What a piece takes up: chords ``(n, 2, 2)`` of all its lines, and the polygons it goes round (mm)."""

    chords: np.ndarray
    around: Tuple[np.ndarray, ...]

    @property
    def box(self) -> np.ndarray:
        """Left, top, right, bottom (mm)."""
        spots = self.chords.reshape(-1, 2)
        return np.concatenate([spots.min(axis=0), spots.max(axis=0)])

    @property
    def area(self) -> float:
        """Of its box (mm2)."""
        left, top, right, low = self.box.tolist()
        return (right - left) * (low - top)

    def turned(self, quarter: int) -> "Shape":
        """After some quarter turns clockwise."""
        turn = TURNS[quarter]
        return Shape(turn.points(self.chords), tuple(turn.points(line) for line in self.around))


def shape_of(drawn: Drawn, outer: Sequence[Path]) -> Shape:
    """The shape of a piece as it is printed, its words and marks with it."""
    found: List[np.ndarray] = []
    lines = [stroke.path for stroke in drawn.strokes] + [fill.path for fill in drawn.fills]
    for line in lines:
        spots = flatten(line, _CHORD)
        spots = np.vstack([spots, spots[:1]]) if line.closed else spots
        found.append(np.stack([spots[:-1], spots[1:]], axis=1))
    for words in drawn.words:
        room = room_of(words)
        found.append(np.stack([room, np.roll(room, -1, axis=0)], axis=1))
    around = tuple(flatten(part, _CHORD) for path in outer for part in runs(path) if part.closed)
    chords = np.concatenate(found) if found else np.zeros((0, 2, 2))
    return Shape(chords, around)


class Laying(NamedTuple):
    """A piece one way round: ``(rows, columns)`` of the squares it takes, and its box (mm)."""

    taken: np.ndarray
    box: np.ndarray

    @property
    def runs(self) -> Tuple[Tuple[int, int, int], ...]:
        """Row, first column and the one behind the last, of squares without a free one between."""
        steps = np.diff(np.pad(self.taken, ((0, 0), (1, 1)), "constant").astype(np.int8), axis=1)
        rows, starts = np.nonzero(steps == 1)
        stops = np.nonzero(steps == -1)[1]
        return tuple(zip(rows.tolist(), starts.tolist(), stops.tolist()))


class Squared(NamedTuple):
    """Pieces on one squared paper: the width of a square (mm), and each piece by how often it is turned."""

    cell: float
    pieces: Tuple[Dict[int, Laying], ...]


def squared(shapes: Sequence[Shape], ways: Sequence[int] = FREE) -> Squared:
    """Lay pieces on squared paper in all ways that are allowed."""
    cell = max(float(np.sqrt(sum(shape.area for shape in shapes))) / _ACROSS, _FINEST)
    return Squared(cell, tuple({way: _laid(shape.turned(way), cell) for way in ways} for shape in shapes))


def coarser(fine: Squared, times: int) -> Squared:
    """The same on squares some times as wide: a wide square is taken where one within it is."""
    pieces = tuple(
        {way: one._replace(taken=_fewer(one.taken, times)) for way, one in piece.items()}
        for piece in fine.pieces
    )
    return Squared(fine.cell * times, pieces)


def _fewer(taken: np.ndarray, times: int) -> np.ndarray:
    rows, columns = (-(-size // times) for size in taken.shape)
    whole = np.zeros((rows * times, columns * times), bool)
    whole[: taken.shape[0], : taken.shape[1]] = taken
    return whole.reshape(rows, times, columns, times).any(axis=(1, 3))


def _laid(shape: Shape, cell: float) -> Laying:
    """Which squares a shape touches or goes round."""
    box = shape.box
    corner = box[:2]
    size = np.maximum(np.ceil((box[2:] - corner) / cell - 1e-9).astype(int), 1)
    ways = shape.chords[:, 1] - shape.chords[:, 0]
    counts = np.maximum(np.ceil(np.abs(ways).max(axis=1) / (cell / 2.0)).astype(int), 1)
    owner = np.repeat(np.arange(len(ways)), counts)
    share = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
    first = (shape.chords[owner, 0] + (share / counts[owner])[:, None] * ways[owner] - corner) / cell
    last = (shape.chords[owner, 0] + ((share + 1) / counts[owner])[:, None] * ways[owner] - corner) / cell
    one, two = (np.clip(spots.astype(int), 0, size - 1) for spots in (first, last))
    taken = np.zeros((int(size[1]), int(size[0])), bool)
    # A short step from square to square across a corner touches one of the two beside it.
    for columns, rows in ((one, one), (two, two), (one, two), (two, one)):
        taken[rows[:, 1], columns[:, 0]] = True
    for line in shape.around:
        taken |= _inside((line - corner) / cell, taken.shape)
    return Laying(taken, box)


def _inside(corners: np.ndarray, size: Tuple[int, int]) -> np.ndarray:
    """Which squares have their middle inside a closed polygon, by crossings in each row."""
    start, stop = corners, np.roll(corners, -1, axis=0)
    low, high = np.minimum(start[:, 1], stop[:, 1]), np.maximum(start[:, 1], stop[:, 1])
    # An edge crosses the middles of the rows from ``first`` on, those before ``behind``.
    first, behind = (np.clip(np.ceil(side - 0.5).astype(int), 0, size[0]) for side in (low, high))
    counts = behind - first
    edges = np.repeat(np.arange(len(corners)), counts)
    rows = np.arange(len(edges)) - np.repeat(np.cumsum(counts) - counts, counts) + first[edges]
    share = (rows + 0.5 - start[edges, 1]) / (stop[edges, 1] - start[edges, 1])
    at = start[edges, 0] + share * (stop[edges, 0] - start[edges, 0])
    columns = np.clip(np.ceil(at - 0.5), 0, size[1]).astype(int)
    crossed = np.bincount(rows * (size[1] + 1) + columns, minlength=size[0] * (size[1] + 1))
    return np.cumsum(crossed.reshape(size[0], -1), axis=1)[:, :-1] % 2 == 1
