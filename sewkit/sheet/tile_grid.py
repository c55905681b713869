"""Which page lies in which column and row.

What two pages say about being neighbours is weighed against whole layouts: every number
of columns, by rows, by columns, to and fro, and what the labels say.  A layout that
explains most of the evidence wins.  Otherwise pages are put together border by border,
the best first, like a jigsaw; what does not hang together becomes an island of its own.
"""

from typing import Dict, Iterable, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.tile_labels import Cells, Labels
from sewkit.sheet.tile_shapes import MISS
from sewkit.sheet.tile_values import BELOW, RIGHT
from sewkit.sheet.tile_worth import (
    OUTSIDE,
    Lines,
    Scores,
    explained,
    explained_places,
    from_zero,
    holes_in,
    outside,
    turned,
    turned_lines,
    unturned,
    worth_of,
)

# Part of the jigsaw's evidence that a layout must explain to be believed.  The rest may be chance:
# a line that meets a stranger's.  A shift by one page explains up to two thirds.
ACCEPTED = 0.85

# A plain order that explains this part at least is believed when leaving cells free does not
# explain more by this factor.
LEAST, GAIN = 0.4, 1.25

# A layout without gaps is a little likelier than one with; so is the page that comes first being
# the first tile.  Small beside one matched line.
HOLE, LATE = 0.02, 0.01

# A first row of more pages than this that starts late is not looked for.
WIDE = 12

# Cells left free one after the other, and layouts followed at a time, when pages are missing.
SKIPPED, FOLLOWED = 4, 12

# An order that denies more than two lines is held against orders with cells left free.
DENIED = 2.0

# So many lines that run out of a layout, or into an empty page, are no chance.  Of a layout's pages
# this part may be missing.
RUNS_OUT, FEW = 2, 0.15

# Each border of a jigsaw has at least this score.
PROVED = 0.5


class Layout(NamedTuple):
    """Cells of pages that hang together.

    Args:
        cells: page index to column and row, from 0.
        kind: "grid", "labels" or "jigsaw".
    """

    cells: Cells
    kind: str


def in_order(numbers: np.ndarray, width: int, order: str) -> np.ndarray:
    """Columns and rows ``(n, 2)`` of pages numbered from 0, ``width`` in a full row.

    By "rows", "columns" (then ``width`` is the length of a column), or "snake": to and fro.
    """
    major, minor = np.divmod(numbers, width)
    if order.startswith("snake"):
        minor = np.where(major % 2 == 1, width - 1 - minor, minor)
    pair = (major, minor) if order.endswith("columns") else (minor, major)
    return np.stack(pair, axis=1)


def layouts(numbers: Dict[int, int]) -> Iterable[Tuple[np.ndarray, float]]:
    """Every layout of pages that come in an order, with what makes it less likely."""
    order = np.array(list(numbers.values()), np.intp)
    order = order - order.min()
    count = int(order.max()) + 1
    for width in range(1, count + 1):
        for late in range(width if width <= WIDE else 1):
            holes = -(-(count + late) // width) * width - len(order)
            doubt = HOLE * holes + LATE * late
            yield in_order(order + late, width, "rows"), doubt
            if width > 1:
                for kind in ("columns", "snake", "snake columns"):
                    yield in_order(order + late, width, kind), doubt + LATE / 10


def vote(
    pages: Sequence[int],
    scores: Scores,
    labels: Labels,
    numberings: Sequence[Dict[int, int]],
    turns: Sequence[int] = (0,),
    leaving: Optional[Lines] = None,
) -> List[Layout]:
    """Where the pages lie: one layout, or several islands, the largest first.

    ``leaving``: how many lines run over each side of each page.
    ``turns``: how far viewers turn the pages, the commonest first.  Pages follow each other
    as they are seen, but for producers that turn them one by one; so both are tried.
    """
    islands = jigsaw(pages, scores)
    best_possible = sum(explained(cells, scores)[1] for cells in islands if len(cells) > 1)
    named = [cells for cells in labels.cells if len(set(cells.values())) == len(cells)]
    found: List[Tuple[float, float, Layout]] = []
    for cells in named:
        for turn in turns:
            stored = unturned(cells, turn)
            total, positive = explained(stored, scores)
            found.append((total, positive, Layout(stored, "labels")))
    good = [one for one in found if one[1] >= ACCEPTED * best_possible and one[0] >= 0]
    if not good and best_possible > 0:
        for turn in turns:
            loose = turned_lines(leaving or {}, turn)
            seen = _in_plain_order(turned(scores, turn), numberings, best_possible, loose)
            if seen is not None:
                cells = unturned(seen, turn)
                good.append((*explained(cells, scores), Layout(cells, "grid")))
    unnamed = not named and not labels.numbers
    if good and unnamed and _fits_better(islands, pages, good, scores, leaving or {}):
        good = []
    if good:
        best = max(good, key=lambda one: one[0])
        return _with_rest(best[2], islands, scores)
    return [Layout(cells, "jigsaw") for cells in islands]


def _fits_better(
    islands: Sequence[Cells],
    pages: Sequence[int],
    good: Sequence[Tuple[float, float, Layout]],
    scores: Scores,
    leaving: Lines,
) -> bool:
    """Whether the jigsaw joins all pages, without a hole or a line that runs out, unlike the order."""
    whole = islands[0]
    if set(whole) != set(pages) or holes_in(whole) or outside(whole, leaving):
        return False
    best = max(good, key=lambda one: one[0])
    runs_out = outside(from_zero(best[2].cells), leaving) >= RUNS_OUT
    total, positive = explained(whole, scores)
    return runs_out and total == positive and total > GAIN * max(best[0], 0.0) + DENIED / 2


def _in_plain_order(
    scores: Scores, numberings: Sequence[Dict[int, int]], best_possible: float, leaving: Lines
) -> Optional[Cells]:
    """The layout by order that the evidence speaks for; None where it does not."""
    chosen, most, positive = None, 0.0, 0.0
    for numbers in numberings:
        members = np.array(list(numbers), np.intp)
        for places, doubt in layouts(numbers):
            total, speaks = explained_places(members, places, scores)
            worth = total - doubt + 0.001 * len(members)
            if worth > most:
                chosen, most, positive = dict(zip(numbers, map(tuple, places.tolist()))), worth, speaks
    runs_out = chosen is not None and (
        outside(chosen, leaving) >= RUNS_OUT or explained(chosen, scores)[0] < positive - MISS * RUNS_OUT
    )
    if not numberings or (positive > best_possible - DENIED and not runs_out):
        return chosen
    longest = max(numberings, key=len)
    gaps = with_gaps(sorted(longest, key=longest.get), scores, ACCEPTED * best_possible, leaving)
    more = explained(gaps, scores)[0] if gaps is not None else 0.0
    if gaps is not None and chosen is not None:
        complete = more >= best_possible and more > most + DENIED and holes_in(gaps) <= FEW * len(gaps)
        if complete or (runs_out and worth_of(gaps, scores, leaving) > worth_of(chosen, scores, leaving)):
            return gaps
        if positive > best_possible - DENIED:
            return chosen
    if positive >= ACCEPTED * best_possible:
        return gaps if more > most + DENIED / 2 else chosen
    if positive >= LEAST * best_possible and more < GAIN * most:
        return chosen  # enough missed lines look like missed pages: those must explain much more
    return gaps


class _Walk(NamedTuple):
    """Pages laid one after the other: what it explains, gaps made, and the page at each number."""

    worth: float
    skipped: int
    at: Dict[int, int]


def with_gaps(
    pages: Sequence[int], scores: Scores, least: float, leaving: Optional[Lines] = None
) -> Optional[Cells]:
    """The best layout of pages in order when some are missing, without their numbers telling.

    Page after page is laid on the next cell, or some cells later, wherever its neighbours
    speak for it; the likeliest few layouts are followed.  None when none explains ``least``.
    """
    best, most = None, -np.inf
    for kind, beside, beyond in (
        ("rows", scores.right, scores.below),
        ("columns", scores.below, scores.right),
    ):
        for width in range(1, min(len(pages), WIDE) + 1):
            walks = [_Walk(0.0, 0, {})]
            for place, page in enumerate(pages):
                walks = _further(walks, place, page, width, beside, beyond)
            numbers = np.array(list(walks[0].at), np.intp)
            cells = dict(zip(walks[0].at.values(), map(tuple, in_order(numbers, width, kind).tolist())))
            worth = walks[0].worth - OUTSIDE * outside(from_zero(cells), leaving or {})
            if walks[0].worth > 0 and explained(cells, scores)[1] >= least and worth > most:
                best, most = cells, worth
    return best


def _further(
    walks: Sequence[_Walk], place: int, page: int, width: int, beside: np.ndarray, beyond: np.ndarray
) -> List[_Walk]:
    """Lay one more page after each walk, with and without leaving cells free; keep the best."""
    found = []
    for walk in walks:
        for extra in range(SKIPPED + 1):
            number = place + walk.skipped + extra
            worth = walk.worth - HOLE * extra
            if number % width and number - 1 in walk.at:
                worth += beside[walk.at[number - 1], page]
            if number - width in walk.at:
                worth += beyond[walk.at[number - width], page]
            found.append((worth, walk, number, extra))
    found.sort(key=lambda step: (-step[0], step[1].skipped + step[3]))
    return [
        _Walk(worth, walk.skipped + extra, {**walk.at, number: page})
        for worth, walk, number, extra in found[:FOLLOWED]
    ]


def _with_rest(layout: Layout, islands: Sequence[Cells], scores: Scores) -> List[Layout]:
    """A layout, and islands of the pages that it leaves out."""
    rest = []
    for cells in islands:
        left = {page: cell for page, cell in cells.items() if page not in layout.cells}
        if left:
            rest += [Layout(part, "jigsaw") for part in jigsaw(sorted(left), scores)]
    return [layout] + rest


def jigsaw(pages: Sequence[int], scores: Scores) -> List[Cells]:
    """Put pages together by their best borders; islands, the largest first.

    A border that would put two pages on one cell, or pages side by side that deny it, is
    left out.
    """
    wanted = set(pages)
    borders = []
    for side, score in ((RIGHT, scores.right), (BELOW, scores.below)):
        for first, second in zip(*(index.tolist() for index in np.nonzero(score >= PROVED))):
            if first in wanted and second in wanted:
                borders.append((_certainty(score, first, second), first, second, side))
    borders.sort(key=lambda border: (-border[0], border[1:]))
    island = {page: {page: (0, 0)} for page in pages}
    for _, first, second, side in borders:
        one, other = island[first], island[second]
        if one is other:
            continue
        step = (1, 0) if side == RIGHT else (0, 1)
        move = tuple(one[first][k] + step[k] - other[second][k] for k in (0, 1))
        moved = {page: (cell[0] + move[0], cell[1] + move[1]) for page, cell in other.items()}
        if set(moved.values()) & set(one.values()):
            continue
        together = {**one, **moved}
        before = explained(one, scores)[0] + explained(moved, scores)[0]
        if explained(together, scores)[0] <= before:
            continue  # what the new neighbours say against it weighs more
        for page in together:
            island[page] = together
    distinct = {id(cells): cells for cells in island.values()}.values()
    found = [from_zero(cells) for cells in distinct]
    return sorted(found, key=lambda cells: (-len(cells), min(cells)))


def _certainty(score: np.ndarray, first: int, second: int) -> float:
    """A border is surer the more it says, and the less any other says for either page."""
    own = score[first, second]
    row, column = np.delete(score[first], second), np.delete(score[:, second], first)
    rival = max(float(row.max(initial=0.0)), float(column.max(initial=0.0)), 0.0)
    return float(own - 0.7 * rival)
