"""Pieces packed side by side on a strip of paper, so that little of it is wasted.

Each piece is laid on squared paper: every square that it touches or goes round is taken.  One
after the other, the largest first, they go where they end soonest and furthest to the left; all
free places are found at once, because a shape meets another exactly where the product of
their Fourier transforms says so.  Between squares that are taken there always are as many free
ones as the gap needs, so no two pieces come nearer to each other than the gap.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.geometry.transform import Transform
from sewkit.paper.document import Drawn
from sewkit.paper.moved import room_of, runs

# How pieces may be laid: all ways round, or with the grain as drawn, up or down.
FREE, GRAIN = (0, 1, 2, 3), (0, 2)

# What is tried where all ways are allowed: where each piece ends soonest is not always where all do.
_TRIED = (FREE, (0, 2), (1, 3))

# Squares are so wide at least (mm); about so many go along the side of a square as large as all
# pieces together: more is slow, and saves hardly any paper.
_FINEST, _ACROSS = 4.0, 250.0

# Lines are taken as chords that stay so near (mm), and a piece reaches so far beyond them.
_CHORD = 0.05

# A quarter turn clockwise on the sheet, so often: exact, as no cosine is.
_TURNS = (
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

    def turned(self, quarter: int) -> "Shape":
        """After some quarter turns clockwise."""
        turn = _TURNS[quarter]
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


class Packed(NamedTuple):
    """Where each piece goes, in the order given, and the length of strip it takes (mm)."""

    moves: Tuple[Transform, ...]
    length: float


def packed(shapes: Sequence[Shape], width: float, gap: float, ways: Sequence[int] = FREE) -> Optional[Packed]:
    """Pack pieces on a strip from (0, 0) to the right and down; None where one is too wide for it.

    Args:
        width: of the strip (mm).
        gap: least distance between two pieces (mm).
        ways: quarter turns that are allowed.
    """
    cell = _cell(shapes, width)
    masks = [_masks(shape, width, cell, ways) for shape in shapes]
    if not all(masks):
        return None
    found = []
    for some in _TRIED if tuple(ways) == FREE else (ways,):
        own = [{way: mask for way, mask in one.items() if way in some} for one in masks]
        if all(own):
            found.append(_one_after_the_other(own, cell, width, gap))
    return min(found, key=lambda one: round(one.length, 6))


# A piece laid on squared paper, by how often it is turned: the squares it takes, and its box (mm).
_Masks = Dict[int, Tuple[np.ndarray, np.ndarray]]


def _masks(shape: Shape, width: float, cell: float, ways: Sequence[int]) -> _Masks:
    """A piece each way round in which it is no wider than the strip."""
    found: _Masks = {}
    for way in ways:
        turned = shape.turned(way)
        box = turned.box
        if box[2] - box[0] <= width + 1e-6:
            found[way] = (_raster(turned, box[:2], cell, int(round(width / cell))), box)
    return found


def _one_after_the_other(masks: Sequence[_Masks], cell: float, width: float, gap: float) -> Packed:
    """Lay pieces on a strip, the largest first."""
    apart = int(np.ceil(gap / cell - 1e-9))
    boxes = [next(iter(own.values()))[1] for own in masks]
    order = sorted(range(len(masks)), key=lambda k: (-_area(boxes[k]), k))
    strip = np.zeros((0, int(round(width / cell))), bool)
    moves: Dict[int, Transform] = {}
    length = 0.0
    for number in order:
        way, row, column = _best(strip, masks[number], cell)
        mask, box = masks[number][way]
        strip = _with(strip, mask, row, column, apart)
        to = np.array([column * cell, row * cell]) - box[:2]
        moves[number] = _TURNS[way]._replace(e=float(to[0]), f=float(to[1]))
        length = max(length, row * cell + float(box[3] - box[1]))
    return Packed(tuple(moves[number] for number in range(len(masks))), length)


def _cell(shapes: Sequence[Shape], width: float) -> float:
    """The width of a square (mm), such that a whole number of them is as wide as the strip."""
    side = float(np.sqrt(sum(_area(shape.box) for shape in shapes)))
    cell = max(side / _ACROSS, _FINEST)
    return width / max(1, int(round(width / cell)))


def _area(box: np.ndarray) -> float:
    return float((box[2] - box[0]) * (box[3] - box[1]))


def _raster(shape: Shape, corner: np.ndarray, cell: float, across: int) -> np.ndarray:
    """Which squares (rows, columns) a shape touches or goes round."""
    size = np.ceil((shape.box[2:] - corner) / cell - 1e-9).astype(int)
    size = np.maximum(np.minimum(size, [across, size[1]]), 1)
    taken = np.zeros((int(size[1]), int(size[0])), bool)
    ways = shape.chords[:, 1] - shape.chords[:, 0]
    counts = np.maximum(np.ceil(np.abs(ways).max(axis=1) / (cell / 2.0)).astype(int), 1)
    owner = np.repeat(np.arange(len(ways)), counts)
    share = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
    first = (shape.chords[owner, 0] + (share / counts[owner])[:, None] * ways[owner] - corner) / cell
    last = (shape.chords[owner, 0] + ((share + 1) / counts[owner])[:, None] * ways[owner] - corner) / cell
    one, two = (np.clip(np.floor(spots).astype(int), 0, size - 1) for spots in (first, last))
    # A short step from square to square across a corner touches one of the two beside it.
    for columns, rows in ((one, one), (two, two), (one, two), (two, one)):
        taken[rows[:, 1], columns[:, 0]] = True
    for line in shape.around:
        taken |= _inside((line - corner) / cell, taken.shape)
    return taken


def _inside(corners: np.ndarray, size: Tuple[int, int]) -> np.ndarray:
    """Which squares have their middle inside a closed polygon, by crossings in each row."""
    start, stop = corners, np.roll(corners, -1, axis=0)
    heights = np.arange(size[0])[:, None] + 0.5
    crosses = (start[:, 1] <= heights) != (stop[:, 1] <= heights)
    rows, edges = np.nonzero(crosses)
    share = (heights[rows, 0] - start[edges, 1]) / (stop[edges, 1] - start[edges, 1])
    at = start[edges, 0] + share * (stop[edges, 0] - start[edges, 0])
    columns = np.clip(np.ceil(at - 0.5), 0, size[1]).astype(int)
    counted = np.zeros((size[0], size[1] + 1), int)
    np.add.at(counted, (rows, columns), 1)
    return np.cumsum(counted, axis=1)[:, :-1] % 2 == 1


def _best(strip: np.ndarray, masks: _Masks, cell: float) -> Tuple[int, int, int]:
    """The way round, row and column at which a piece ends soonest, then lies furthest to the left."""
    found = []
    high = max(mask.shape[0] for mask, _ in masks.values())
    wide = max(mask.shape[1] for mask, _ in masks.values())
    room = np.vstack([strip, np.zeros((high, strip.shape[1]), bool)])
    shape = (_fast(room.shape[0] + high), _fast(room.shape[1] + wide))
    seen = np.fft.rfft2(room, shape)
    for way, (mask, box) in masks.items():
        meets = np.fft.irfft2(seen * np.conj(np.fft.rfft2(mask, shape)), shape)
        rows, columns = room.shape[0] - mask.shape[0] + 1, room.shape[1] - mask.shape[1] + 1
        free = meets[:rows, :columns] < 0.5
        row, column = (int(at) for at in np.unravel_index(int(free.argmax()), free.shape))
        ends = row * cell + float(box[3] - box[1])
        found.append((round(ends, 6), column, way, row))
    ends, column, way, row = min(found)
    return way, row, column


def _fast(size: int) -> int:
    """The next number that has no factor above 5: a transform of such a length is quick."""
    while True:
        rest = size
        for factor in (2, 3, 5):
            while rest % factor == 0:
                rest //= factor
        if rest == 1:
            return size
        size += 1


def _with(strip: np.ndarray, mask: np.ndarray, row: int, column: int, apart: int) -> np.ndarray:
    """The strip with a piece laid down, and the squares around it taken as far as the gap."""
    rows = max(len(strip), row + mask.shape[0] + apart)
    grown = np.zeros((rows, strip.shape[1]), bool)
    grown[: len(strip)] = strip
    for down in range(-apart, apart + 1):
        top, low = max(row + down, 0), row + down + mask.shape[0]
        if low <= top:
            continue
        part = mask[top - row - down :]
        grown[top:low] |= _spread(part, column, apart, strip.shape[1])
    return grown


def _spread(mask: np.ndarray, column: int, apart: int, across: int) -> np.ndarray:
    """Rows of a piece at a column, each square with those beside it taken too."""
    counted = np.zeros((len(mask), across + 1), int)
    rows, columns = np.nonzero(mask)
    np.add.at(counted, (rows, np.maximum(columns + column - apart, 0)), 1)
    np.add.at(counted, (rows, np.minimum(columns + column + apart + 1, across)), -1)
    return np.cumsum(counted, axis=1)[:, :-1] > 0
