"""Pieces packed side by side on a strip of paper, so that little of it is wasted.

Each piece is laid on squared paper: every square that it touches or goes round is taken.  One
after the other, the largest first, they go where they end soonest and furthest to the left.
Between squares that are taken there always are as many free ones as the gap needs, so no two
pieces come nearer to each other than the gap.

The strip is one large whole number, a bit a square, row after row: bit ``p`` of ``number >> k``
is square ``p + k``.  So all places where a run of squares meets something are found at once: by
the strip shifted and joined to itself, twice as far each time.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.transform import Transform
from sewkit.paper.squares import FREE, TURNS, Laying, Shape, Squared, squared

# What is tried where all ways are allowed: where each piece ends soonest is not always where all do.
_TRIED = (FREE, (0, 2), (1, 3))

# What rounding adds to a length makes no piece too wide (mm).
_ROUNDING = 1e-6


class Packed(NamedTuple):
    """Where each piece goes, in the order given, and the length of strip it takes (mm)."""

    moves: Tuple[Transform, ...]
    length: float


class _Strip(NamedTuple):
    """A strip: squares in a row with those beside it, squares of the gap, width (mm) and that of a square."""

    stride: int
    apart: int
    width: float
    cell: float


def packed(shapes: Sequence[Shape], width: float, gap: float, ways: Sequence[int] = FREE) -> Optional[Packed]:
    """Pack pieces on a strip from (0, 0) to the right and down; None where one is too wide for it.

    Args:
        width: of the strip (mm).
        gap: least distance between two pieces (mm).
        ways: quarter turns that are allowed.
    """
    return packed_squares(squared(shapes, ways), width, gap)


def packed_squares(pieces: Squared, width: float, gap: float) -> Optional[Packed]:
    """Pack pieces that lie on squared paper already; as ``packed``."""
    cell = pieces.cell
    apart = int(np.ceil(gap / cell - 1e-9))
    across = int(np.ceil(width / cell - 1e-9)) + apart
    strip = _Strip(8 * (-(-across // 8)), apart, width, cell)
    fitting = [
        {way: one for way, one in piece.items() if _wide(one) <= width + _ROUNDING} for piece in pieces.pieces
    ]
    if not all(fitting):
        return None
    tools = [{way: _tool(one, strip) for way, one in piece.items()} for piece in fitting]
    ways = {way for piece in pieces.pieces for way in piece}
    found = []
    for some in _TRIED if ways == set(FREE) else (tuple(ways),):
        own = [{way: tool for way, tool in piece.items() if way in some} for piece in tools]
        if all(own):
            found.append(_one_after_the_other(own, strip))
    return min(found, key=lambda one: round(one.length, 6))


class _Tool(NamedTuple):
    """A piece one way round, ready to be laid; its box in mm.

    Args:
        runs: how far from its first square a run begins, and its length.
        places: bits of a row at which its first square may lie.
        grown: its bits and those nearer than the gap, from the square above and to the left.
    """

    box: np.ndarray
    runs: Tuple[Tuple[int, int], ...]
    places: bytes
    grown: int


def _wide(one: Laying) -> float:
    return float(one.box[2] - one.box[0])


def _tool(one: Laying, strip: _Strip) -> _Tool:
    runs = tuple((row * strip.stride + start, stop - start) for row, start, stop in one.runs)
    last = int((strip.width - _wide(one) + _ROUNDING) / strip.cell)
    places = ((2 << last) - 1).to_bytes(strip.stride // 8, "little")
    spread = np.zeros((len(one.taken), strip.stride), np.uint8)
    spread[:, : one.taken.shape[1]] = one.taken[:, : strip.stride]
    grown = int.from_bytes(np.packbits(spread, axis=1, bitorder="little").tobytes(), "little")
    for step in (1, strip.stride):
        once = grown
        for far in range(1, 2 * strip.apart + 1):
            grown |= once << (far * step)
    return _Tool(one.box, runs, places, grown)


def _one_after_the_other(pieces: Sequence[Dict[int, _Tool]], strip: _Strip) -> Packed:
    """Lay pieces on a strip, the largest first."""
    boxes = [next(iter(own.values())).box for own in pieces]
    order = sorted(range(len(pieces)), key=lambda k: (-float(np.prod(boxes[k][2:] - boxes[k][:2])), k))
    # Rows above the first hold what the gap takes there, and one more what it takes to the left.
    above = (strip.apart + 1) * strip.stride
    taken, length = 0, 0.0
    moves: Dict[int, Transform] = {}
    for number in order:
        way, row, column = _best(taken >> above, pieces[number], strip)
        tool = pieces[number][way]
        taken |= tool.grown << (above + (row - strip.apart) * strip.stride + column - strip.apart)
        to = np.array([column * strip.cell, row * strip.cell]) - tool.box[:2]
        moves[number] = TURNS[way]._replace(e=float(to[0]), f=float(to[1]))
        length = max(length, row * strip.cell + float(tool.box[3] - tool.box[1]))
    return Packed(tuple(moves[number] for number in range(len(pieces))), length)


def _best(taken: int, ways: Dict[int, _Tool], strip: _Strip) -> Tuple[int, int, int]:
    """The way round, row and column at which a piece ends soonest, then lies furthest to the left."""
    rows = -(-taken.bit_length() // strip.stride) + 1  # the last of them is free from side to side
    longest = max(length for tool in ways.values() for _, length in tool.runs)
    joined = [taken]  # what meets a run of 1, 2, 4, 8, ... squares
    while 2 ** len(joined) <= longest:
        joined.append(joined[-1] | (joined[-1] >> (2 ** (len(joined) - 1))))
    found: List[Tuple[float, int, int, int]] = []
    for way, tool in ways.items():
        meets = 0
        for start, length in tool.runs:
            level = length.bit_length() - 1
            meets |= (joined[level] >> start) | (joined[level] >> (start + length - 2**level))
        free = int.from_bytes(tool.places * rows, "little") & ~meets
        row, column = divmod((free & -free).bit_length() - 1, strip.stride)
        ends = row * strip.cell + float(tool.box[3] - tool.box[1])
        found.append((round(ends, 6), column, way, row))
    ends, column, way, row = min(found)
    return way, row, column
