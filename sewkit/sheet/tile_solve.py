"""From columns and rows to millimetres: where each page lies exactly.

All tiles of a printed pattern are one step apart, across and down; all borders together
tell that step better than any of them.  Where they do not agree on one step, each page goes
where its own borders put it, by weighted least squares.
"""

from typing import Dict, FrozenSet, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.tile_labels import Cells
from sewkit.sheet.tile_shapes import Pairs, Proof
from sewkit.sheet.tile_values import BELOW, RIGHT

# Borders agree on one step when they differ by less than this (mm), beyond what the scatter
# of their own lines explains three times over.
REGULAR, SIGMAS = 0.05, 3.0

# Scatter of lines where a border has too few to show it (mm).
SCATTER = 0.02

# What is off by more than this (mm), and three times as far as most, met a stranger's line.
STRAY = 0.02

# A step that leads aside by less (mm) is straight: rounding of a producer.
STRAIGHT = 0.002

# Beside one matched line, what the common step says about a page weighs so much.
PRIOR = 0.02


class Step(NamedTuple):
    """From one tile to the next: right and down, each an offset (mm).

    ``regular``: all pages keep it; then borders that do not (``strays``) met strange lines.
    """

    right: Tuple[float, float]
    below: Tuple[float, float]
    regular: bool
    strays: FrozenSet[Tuple[int, int, str]] = frozenset()


class Neighbours(NamedTuple):
    """Two pages that lie beside each other, and the proof where there is one."""

    first: int
    second: int
    side: str
    proof: Optional[Proof]


def neighbours(cells: Cells, pairs: Pairs) -> List[Neighbours]:
    """All borders of a layout, in reading order."""
    at = {cell: page for page, cell in cells.items()}
    found = []
    for (column, row), page in sorted(at.items(), key=lambda item: (item[0][1], item[0][0])):
        for side, cell in ((RIGHT, (column + 1, row)), (BELOW, (column, row + 1))):
            if cell in at:
                proof = pairs.get((page, at[cell], side))
                proved = proof is not None and proof.matched > 0 and proof.score > 0
                found.append(Neighbours(page, at[cell], side, proof if proved else None))
    return found


def common_step(borders: Sequence[Neighbours], spare: Tuple[float, float]) -> Step:
    """The step that all borders share; ``spare`` is taken where no border tells."""
    steps, strays = [], []
    for side, assumed in ((RIGHT, (spare[0], 0.0)), (BELOW, (0.0, spare[1]))):
        own = [border for border in borders if border.side == side and border.proof is not None]
        if not own:
            steps.append(assumed)
            continue
        offset = np.array([border.proof.offset for border in own])
        weight = np.array([float(min(border.proof.matched, 50)) for border in own])
        middle = np.array([_weighted_median(offset[:, k], weight) for k in (0, 1)])
        miss = np.abs(offset - middle).max(axis=1)
        near = miss <= max(STRAY, 3.0 * _weighted_median(miss, weight))
        step = np.average(offset[near], axis=0, weights=weight[near])
        rich = [1.3 * border.proof.residual for border in own if border.proof.matched > 2]
        scatter = max(SCATTER, float(np.mean(rich)) if rich else SCATTER)
        # Tiles step straight across and down, unless all borders together deny it.
        aside = 1 if side == RIGHT else 0
        if abs(step[aside]) <= STRAIGHT + SIGMAS * scatter / np.sqrt(weight[near].sum()):
            step[aside] = 0.0
        steps.append((float(step[0]), float(step[1])))
        off = np.abs(offset - step).max(axis=1) > REGULAR + SIGMAS * scatter / np.sqrt(weight)
        strays += [(own[k], offset[k] - step) for k in np.flatnonzero(off)]
    return Step(steps[0], steps[1], not _moved_pages(strays), frozenset(key(border) for border, _ in strays))


def key(border: Neighbours) -> Tuple[int, int, str]:
    """What a border is looked up by."""
    return border.first, border.second, border.side


def _moved_pages(strays: Sequence[Tuple[Neighbours, np.ndarray]]) -> bool:
    """Whether two borders of one page say that it lies off the common step by the same amount.

    One border alone met a stranger's line.
    """
    says: Dict[int, List[np.ndarray]] = {}
    for border, miss in strays:
        if border.proof.matched > 1:
            says.setdefault(border.second, []).append(miss)
            says.setdefault(border.first, []).append(-miss)
    for moves in says.values():
        for number, move in enumerate(moves):
            if any(np.abs(move - other).max() <= REGULAR for other in moves[:number]):
                return True
    return False


def _weighted_median(values: np.ndarray, weights: np.ndarray) -> float:
    order = np.argsort(values, kind="stable")
    total = np.cumsum(weights[order])
    return float(values[order][np.searchsorted(total, total[-1] / 2)])


def without_strays(borders: Sequence[Neighbours], step: Step) -> List[Neighbours]:
    """The borders; those that only chance proved have no proof any more."""
    if not step.regular:
        return list(borders)
    return [border._replace(proof=None) if key(border) in step.strays else border for border in borders]


def positions(cells: Cells, borders: Sequence[Neighbours], step: Step) -> Dict[int, Tuple[float, float]]:
    """Where each page's upper left corner lies; the corner of cell (0, 0) is the origin."""
    pages = list(cells)
    place = np.array([cells[page] for page in pages], np.float64)
    regular = place[:, :1] * np.array(step.right) + place[:, 1:] * np.array(step.below)
    if step.regular:
        return {page: (float(x), float(y)) for page, (x, y) in zip(pages, regular)}
    index = {page: number for number, page in enumerate(pages)}
    proved = [border for border in borders if border.proof is not None]
    # Unknown is how far each page lies off the common step; small and well conditioned.
    matrix = np.zeros((len(proved) + len(pages), len(pages)))
    wanted = np.zeros((len(matrix), 2))
    for row, border in enumerate(proved):
        weight = np.sqrt(float(min(border.proof.matched, 50)))
        first, second = index[border.first], index[border.second]
        matrix[row, [first, second]] = (-weight, weight)
        wanted[row] = weight * (np.array(border.proof.offset) - (regular[second] - regular[first]))
    matrix[len(proved) :] = np.eye(len(pages)) * np.sqrt(PRIOR)
    moved = regular + np.linalg.lstsq(matrix, wanted, rcond=None)[0]
    return {page: (float(x), float(y)) for page, (x, y) in zip(pages, moved)}


def closure(cells: Cells, borders: Sequence[Neighbours]) -> float:
    """Largest miss (mm) when walking round four pages that are all proved to be neighbours."""
    proofs = {(b.first, b.side): b for b in borders if b.proof is not None}
    worst = 0.0
    for page in cells:
        right, below = proofs.get((page, RIGHT)), proofs.get((page, BELOW))
        if right is None or below is None:
            continue
        across, down = proofs.get((below.second, RIGHT)), proofs.get((right.second, BELOW))
        if across is None or down is None:
            continue
        ways = [np.add(a.proof.offset, b.proof.offset) for a, b in ((right, down), (below, across))]
        worst = max(worst, float(np.hypot(*(ways[0] - ways[1]))))
    return worst
