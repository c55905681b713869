"""Where things stand in a picture: pieces in rows on a page, labels beside them.

All lengths are mm on the paper.  Labels stand in two columns, left and right of their
piece, each as near to the height of its spot as the others allow.
"""

import re
import textwrap
from typing import List, NamedTuple, Sequence, Tuple

# The scales a picture may have, 1:n; ordinary drawing scales.
SCALES = (1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0)

# A4, lying and standing (ISO 216).
PAPERS = ((297.0, 210.0), (210.0, 297.0))

# The tallest piece is at least this high, or else changes cannot be seen.
SEEN = 48.0

MARGIN = 9.0
GAP = 9.0  # between two pieces
LABEL = 3.3  # height of label text: 13 pixels where the page is 1200 wide
LINE = 1.28  # line distance, in text heights
LEADER = 5.0  # from a piece's box to its labels
APART = 1.1  # between two labels
NAME, NOTE = 4.2, 3.1  # heights of letters above each piece: its name, how it is cut
_BELOW_HEAD = 3.1  # from the last note to the piece
_WRAP = 24  # characters in a label's line
_TOGETHER = re.compile(
    r"(?:outward |inward |aside )?\([^()]{,16}\)|\d+ \d+/\d+ in|\d (?:mm|cm|in)\b|taken out|let in"
)

# Width of a letter in text heights.  Common sans-serif faces have 0.5 to 0.56 on average;
# the widest usual one, 0.62.
LETTER = 0.62


class Label(NamedTuple):
    """Words with a line to a spot (mm on the paper, from the piece's corner)."""

    lines: Tuple[str, ...]
    spot: Tuple[float, float]
    kind: str

    @property
    def width(self) -> float:
        """Its estimated width."""
        return text_width(max(self.lines, key=len), LABEL)

    @property
    def height(self) -> float:
        """Its height."""
        return len(self.lines) * LABEL * LINE


class Cell(NamedTuple):
    """One piece with its labels: everything that needs room.

    ``notes``: the small lines below its name.
    """

    name: str
    width: float
    height: float
    notes: Tuple[str, ...]
    left: Tuple[Label, ...]
    right: Tuple[Label, ...]

    @property
    def gutters(self) -> Tuple[float, float]:
        """Room for the labels on the left and on the right, with their leaders."""
        return tuple(
            max(label.width for label in side) + LEADER if side else 0.0 for side in (self.left, self.right)
        )

    @property
    def head(self) -> float:
        """The height of its name and notes, above the piece."""
        return NAME + NOTE * LINE * len(self.notes) + _BELOW_HEAD

    @property
    def full_width(self) -> float:
        """Its width with labels, at least that of its heading."""
        # A heading wider than the piece hangs over on the right.
        left, right = self.gutters
        heading = max([text_width(self.name, NAME), *(text_width(note, NOTE) for note in self.notes)])
        return left + max(self.width + right, heading)

    @property
    def full_height(self) -> float:
        """Its height with heading and labels."""
        stacks = [sum(label.height + APART for label in side) for side in (self.left, self.right)]
        return self.head + max(self.height, *stacks)


class Placed(NamedTuple):
    """A cell with the page's position of its piece's upper left corner."""

    cell: Cell
    x: float
    y: float


class Page(NamedTuple):
    """Pieces on a page; ``height`` is what they need, top margin and title included."""

    width: float
    height: float
    placed: Tuple[Placed, ...]


def text_width(text: str, size: float) -> float:
    """The room a text needs, estimated on the safe side."""
    return len(text) * size * LETTER


def wrapped(text: str) -> Tuple[str, ...]:
    """A label's text in short lines; an amount and its unit stay together."""
    kept = _TOGETHER.sub(lambda match: match.group().replace(" ", "\u00a0"), " ".join(text.split()))
    lines = textwrap.wrap(kept, _WRAP, break_on_hyphens=False) or [""]
    return tuple(line.replace("\u00a0", " ") for line in lines)


def sided(labels: Sequence[Label], width: float) -> Tuple[Tuple[Label, ...], Tuple[Label, ...]]:
    """Labels for the left and for the right, each from top to bottom."""
    in_order = sorted(labels, key=lambda label: (label.spot[1], label.spot[0], label.lines))
    left = tuple(label for label in in_order if label.spot[0] < width / 2)
    return left, tuple(label for label in in_order if label.spot[0] >= width / 2)


def spread(labels: Sequence[Label], low: float, high: float) -> List[float]:
    """Middles of labels from top to bottom: near their spots, apart, within ``low`` to ``high``.

    Neighbours that would overlap become one block that stands where its spots are on
    average (pool adjacent violators; Barlow and others, Statistical Inference under
    Order Restrictions, 1972).  Where there is too little room the last ones hang over.
    """
    blocks: List[Tuple[float, float, int]] = []  # middle wanted on average, height, labels
    for label in labels:
        block = (label.spot[1], label.height + APART, 1)
        while blocks and blocks[-1][0] + blocks[-1][1] / 2 > block[0] - block[1] / 2:
            above = blocks.pop()
            count = above[2] + block[2]
            # Both blocks wish their own middles; the joint one is shifted by their heights.
            wish_above, wish_below = above[0] + block[1] / 2, block[0] - above[1] / 2
            middle = (wish_above * above[2] + wish_below * block[2]) / count
            block = (middle, above[1] + block[1], count)
        blocks.append(block)
    tops = [middle - height / 2 for middle, height, count in blocks for _ in range(count)]
    starts = [number for number, (_, _, count) in enumerate(blocks) for _ in range(count)]
    return _within(_stacked(labels, tops, starts), labels, low, high)


def _stacked(labels: Sequence[Label], tops: Sequence[float], blocks: Sequence[int]) -> List[float]:
    """Middles of labels that stand one below the other inside their block."""
    middles, at, current = [], 0.0, -1
    for label, top, block in zip(labels, tops, blocks):
        at = top if block != current else at
        current = block
        room = label.height + APART
        middles.append(at + room / 2)
        at += room
    return middles


def _within(middles: List[float], labels: Sequence[Label], low: float, high: float) -> List[float]:
    """Push up from the bottom and then down from the top, keeping them apart."""
    room = [(label.height + APART) / 2 for label in labels]
    limit = high
    for i in reversed(range(len(middles))):
        middles[i] = min(middles[i], limit - room[i])
        limit = middles[i] - room[i]
    limit = low
    for i in range(len(middles)):
        middles[i] = max(middles[i], limit + room[i])
        limit = middles[i] + room[i]
    return middles


def rows(cells: Sequence[Cell], width: float, top: float) -> Page:
    """Cells in rows from left to right, in the middle of a page of that width.

    Each goes into the first row with room for it: in their own order, or the tallest first
    where that needs less height.
    """
    in_order = list(range(len(cells)))
    tallest_first = sorted(in_order, key=lambda number: -cells[number].full_height)
    filled = [_filled(cells, order, width - 2 * MARGIN) for order in (in_order, tallest_first)]
    best = min(filled, key=lambda lines: round(_height(cells, lines), 3))
    aside = max(0.0, (width - 2 * MARGIN - max(_width(cells, line) for line in best)) / 2)
    placed: List[Placed] = [Placed(cell, 0.0, 0.0) for cell in cells]
    y = top
    for line in best:
        x, head = MARGIN + aside, max(cells[number].head for number in line)
        for number in line:
            cell = cells[number]
            placed[number] = Placed(cell, x + cell.gutters[0], y + head)
            x += cell.full_width + GAP
        y += _height(cells, [line]) + GAP
    return Page(width, y - GAP, tuple(placed))


def _filled(cells: Sequence[Cell], order: Sequence[int], room: float) -> List[List[int]]:
    """The cells' numbers in rows; what is wider than ``room`` has a row of its own."""
    lines: List[List[int]] = []
    for number in order:
        line = next((line for line in lines if _width(cells, [*line, number]) <= room + 1e-9), None)
        if line is None:
            lines.append([number])
        else:
            line.append(number)
    return [sorted(line) for line in lines]


def _width(cells: Sequence[Cell], line: Sequence[int]) -> float:
    return sum(cells[number].full_width for number in line) + GAP * (len(line) - 1)


def _height(cells: Sequence[Cell], lines: Sequence[Sequence[int]]) -> float:
    """The height of rows; the pieces of a row begin at one height, below its tallest head."""
    heads = [max(cells[number].head for number in line) for line in lines]
    bodies = [max(cells[number].full_height - cells[number].head for number in line) for line in lines]
    return sum(heads) + sum(bodies) + GAP * (len(lines) - 1)
