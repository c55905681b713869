"""Ticks in a row are no dashed line.

The notches of nested sizes stand one behind the other, alike, with equal gaps: read as
dashes they would make a line across the nest.  What gives them away is that each of them
stands with an end on another line, which dashes do only by chance; and that they are few.
"""

from typing import Dict, List, Sequence, Set

import numpy as np

from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.sheet.line_dashes import Strung, chain_gaps, strung
from sewkit.sheet.line_ends import TOUCH, Chain, Links, Strokes
from sewkit.sheet.line_joins import LONG_ENOUGH, SILENT_GAP, TOLD_GAP
from sewkit.sheet.line_rhythm import Rhythm, alike

# Fewer strokes than this are a dashed line only beside a longer one of their rhythm.
FEW = 6
# More strokes than this in a row are not the notches of one nest.
MANY = 24
# Share of strokes in a row that must stand on other lines to be ticks.
STANDING = 0.4
# How near its line a tick's end is (mm).
ON_LINE = 0.1


def part_ticks(strokes: Strokes, links: Links, others: Sequence[np.ndarray]) -> None:
    """Take links across gaps away again where the strokes are too few, or stand on lines.

    ``others``: curves ``(k, 4, 2)`` of the closed lines of the sheet.
    """
    state = strung(strokes, links)
    dashed = _dashed(strokes, state)
    every = [*strokes.curves, *others]
    curves = np.concatenate(every) if every else np.zeros((0, 4, 2))
    owner = np.repeat(np.arange(len(every)), [len(one) for one in every])
    for number, chain in enumerate(state.chains):
        if len(chain.entries) < 2 or len(chain.entries) > MANY:
            continue
        gaps = chain_gaps(strokes, chain)
        if not (gaps > SILENT_GAP).any():
            continue
        if _too_few(strokes, state, number, dashed) or _standing(strokes, chain, curves, owner):
            _part(strokes, links, chain, gaps)


def _dashed(strokes: Strokes, state: Strung) -> Dict[int, Set[Rhythm]]:
    """The rhythms of the rows that are long enough to be dashed lines, by kind of stroke."""
    found: Dict[int, Set[Rhythm]] = {}
    for chain, rhythm in zip(state.chains, state.rhythms):
        if rhythm is not None and len(chain.entries) >= FEW:
            found.setdefault(int(strokes.kind[chain.first >> 1]), set()).add(rhythm)
    return found


def _too_few(strokes: Strokes, state: Strung, number: int, dashed: Dict[int, Set[Rhythm]]) -> bool:
    """Whether nothing says that a short row of strokes is a dashed line."""
    chain, rhythm = state.chains[number], state.rhythms[number]
    if len(chain.entries) >= FEW and rhythm is not None:
        return False
    known = dashed.get(int(strokes.kind[chain.first >> 1]), set())
    return not any(rhythm is None or alike(one, rhythm) for one in known)


def _standing(strokes: Strokes, chain: Chain, curves: np.ndarray, owner: np.ndarray) -> bool:
    """Whether so many strokes of a row have an end on another line that they are ticks."""
    rows = [entry >> 1 for entry in chain.entries]
    low, high = curves.min(axis=1) - ON_LINE, curves.max(axis=1) + ON_LINE
    foreign = ~np.isin(owner, rows)
    standing = 0
    for row in rows:
        standing += any(_on_line(strokes.ends[2 * row + k], curves, low, high, foreign) for k in (0, 1))
    return standing >= 2 and standing >= STANDING * len(rows)


def _on_line(
    spot: np.ndarray, curves: np.ndarray, low: np.ndarray, high: np.ndarray, foreign: np.ndarray
) -> bool:
    """Whether a point lies on a curve of another line, away from that curve's ends."""
    inside = foreign & (spot >= low).all(axis=1) & (spot <= high).all(axis=1)
    for curve in curves[inside]:
        ends = np.hypot(*(curve[[0, 3]] - spot).T)
        if ends.min() > TOUCH and nearest(Path(curve[None]), spot).distance <= ON_LINE:
            return True
    return False


def _part(strokes: Strokes, links: Links, chain: Chain, gaps: np.ndarray) -> None:
    """Take away the links across gaps that are not small beside both strokes."""
    entries: Sequence[int] = chain.entries
    doubtful: List[int] = []
    for number, gap in enumerate(gaps.tolist()):
        one, two = entries[number] ^ 1, entries[(number + 1) % len(entries)]
        least = min(strokes.length[one >> 1], strokes.length[two >> 1])
        if gap > TOLD_GAP or (gap > SILENT_GAP and least < LONG_ENOUGH * gap):
            doubtful.append(one)
    for end in doubtful:
        links.cut(end)
