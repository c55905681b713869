"""What a layout of pages is worth: what its neighbours say, and which lines it cannot explain."""

from typing import Dict, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.sheet.tile_labels import Cells
from sewkit.sheet.tile_shapes import MISS, Pairs
from sewkit.sheet.tile_values import RIGHT

Lines = Dict[Tuple[int, str], int]  # page index and side: how many run over it

# Lines that run over the outer sides of a layout speak against it, each so much; so does each page
# that it lacks.
OUTSIDE, LACKS = 0.75, 0.5


class Scores(NamedTuple):
    """``(n, n)`` how much speaks for the second page lying right of, or below, the first."""

    right: np.ndarray
    below: np.ndarray


def scores_of(pairs: Pairs, count: int) -> Scores:
    """The scores of all pairs of pages; 0 where nothing is known."""
    right, below = np.zeros((count, count)), np.zeros((count, count))
    for (first, second, side), proof in pairs.items():
        (right if side == RIGHT else below)[first, second] = proof.score
    return Scores(right, below)


def with_empty(scores: Scores, empty: Sequence[int], leaving: Lines) -> Scores:
    """The scores, with what lines that run into an empty page say against it."""
    right, below = scores.right.copy(), scores.below.copy()
    empty = list(empty)
    for (page, side), count in leaving.items():
        if page not in empty:
            table = right if side in ("left", "right") else below
            row = (empty, page) if side in ("left", "above") else (page, empty)
            table[row] = -MISS * count
    return Scores(right, below)


def explained(cells: Cells, scores: Scores) -> Tuple[float, float]:
    """What neighbours in a layout say: for and against together, and only for."""
    return explained_places(np.array(list(cells), np.intp), np.array(list(cells.values()), np.intp), scores)


def explained_places(pages: np.ndarray, places: np.ndarray, scores: Scores) -> Tuple[float, float]:
    """As ``explained``, for page indexes and their columns and rows ``(n, 2)``."""
    low = places.min(axis=0)
    columns, rows = places.max(axis=0) - low + 1
    grid = np.full((rows, columns), -1, np.intp)
    grid[places[:, 1] - low[1], places[:, 0] - low[0]] = pages
    total = positive = 0.0
    for first, second, score in (
        (grid[:, :-1], grid[:, 1:], scores.right),
        (grid[:-1], grid[1:], scores.below),
    ):
        both = (first >= 0) & (second >= 0)
        found = score[first[both], second[both]]
        total += float(found.sum())
        positive += float(found[found > 0].sum())
    return total, positive


def turned_lines(leaving: Lines, turn: int) -> Lines:
    """The sides of pages as a viewer shows them, who turns the pages clockwise."""
    sides = ("above", "right", "below", "left")
    return {
        (page, sides[(sides.index(side) + turn // 90) % 4]): count for (page, side), count in leaving.items()
    }


def turned(scores: Scores, turn: int) -> Scores:
    """The scores of neighbours as a viewer shows them, who turns the pages clockwise."""
    return {
        0: scores,
        90: Scores(scores.below.T, scores.right),
        180: Scores(scores.right.T, scores.below.T),
        270: Scores(scores.below, scores.right.T),
    }[turn % 360]


def unturned(cells: Cells, turn: int) -> Cells:
    """Cells as stored from cells as shown."""
    if turn % 360 == 0:
        return cells
    ways = {
        90: lambda column, row: (row, -column),
        180: lambda column, row: (-column, -row),
        270: lambda column, row: (-row, column),
    }
    return from_zero({page: ways[turn % 360](*cell) for page, cell in cells.items()})


def outside(cells: Cells, leaving: Lines) -> int:
    """How many lines run over the outer sides of a layout, where no page can go on with them."""
    columns = max(column for column, _ in cells.values())
    rows = max(row for _, row in cells.values())
    count = 0
    for page, (column, row) in cells.items():
        ends = {"left": column == 0, "above": row == 0, "right": column == columns, "below": row == rows}
        count += sum(leaving.get((page, side), 0) for side, is_end in ends.items() if is_end)
    return count


def worth_of(cells: Cells, scores: Scores, leaving: Lines) -> float:
    """What a layout explains, less what it cannot: lines that run out of it, or into pages it lacks."""
    cells = from_zero(cells)
    at = set(cells.values())
    steps = {"left": (-1, 0), "right": (1, 0), "above": (0, -1), "below": (0, 1)}
    columns = max(column for column, _ in at)
    rows = max(row for _, row in at)
    lacks = set()
    for (page, side), count in leaving.items():
        if count and page in cells:
            column, row = (cells[page][k] + steps[side][k] for k in (0, 1))
            if (column, row) not in at and 0 <= column <= columns and 0 <= row <= rows:
                lacks.add((column, row))
    return explained(cells, scores)[0] - OUTSIDE * outside(cells, leaving) - LACKS * len(lacks)


def holes_in(cells: Cells) -> int:
    """Cells inside a layout without a page."""
    columns = {column for column, _ in cells.values()}
    rows = {row for _, row in cells.values()}
    return (max(columns) - min(columns) + 1) * (max(rows) - min(rows) + 1) - len(cells)


def from_zero(cells: Cells) -> Cells:
    """Cells whose first column and row are 0."""
    column = min(cell[0] for cell in cells.values())
    row = min(cell[1] for cell in cells.values())
    return {page: (cell[0] - column, cell[1] - row) for page, cell in sorted(cells.items())}
