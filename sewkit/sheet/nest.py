"""Pieces on the sheet: closed outlines by size, and what lies in them.

found = find_pieces(lines, words, grouping)
found.pieces[0].outlines[0].path        # closed, clockwise, mm on the sheet
"""

from typing import Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.report import Finding
from sewkit.sheet.drawn import Box, Gap, Whole, Words
from sewkit.sheet.groups import Grouping
from sewkit.sheet.nest_close import Open, close
from sewkit.sheet.nest_doubts import doubts
from sewkit.sheet.nest_graph import EVERYBODY, NOBODY
from sewkit.sheet.nest_inside import lines_at, words_at
from sewkit.sheet.nest_order import reading_order, started
from sewkit.sheet.nest_pieces import Nest, nested, sort_out
from sewkit.sheet.nest_shapes import SMALLEST, Shapes, overlap, shapes_of
from sewkit.sheet.nest_small import parted, small_pieces, small_rings, told_small
from sewkit.sheet.nest_told import (
    Drawn,
    middle_of,
    told_gaps,
    told_lacking,
    told_open,
    told_order,
    told_rings,
    told_uneven,
)

ALL, NONE = "all", "-"
# A straight line at least this long (mm) inside a ring may be its grain line.
_GRAIN = 40.0
# An open line in the box of a piece looks like its outline from this part on.
_ALIKE = 0.5


class FoundOutline(NamedTuple):
    """One outline.

    Args:
        size: its name; empty where the piece is drawn once and serves every size.
        path: closed, clockwise on the sheet, begun at the same corner in all sizes.
        lines: numbers of the whole lines it consists of, its own and shared ones.
        gaps: those that were bridged.
    """

    size: str
    path: Path
    lines: Tuple[int, ...]
    gaps: Tuple[Gap, ...] = ()


class FoundPiece(NamedTuple):
    """One piece.

    Args:
        outlines: smallest size first.
        inside: numbers of the whole lines that lie in it or on it and are no outline.
        words: numbers of the words in it.
        box: around its outlines (mm).
    """

    outlines: Tuple[FoundOutline, ...]
    inside: Tuple[int, ...]
    words: Tuple[int, ...]
    box: Box


class Found(NamedTuple):
    """All pieces in reading order, and what is left.

    Args:
        open_lines: numbers of lines of a size that are part of no closed outline and look
            like one.
        rest: numbers of lines that belong to no piece.
    """

    pieces: Tuple[FoundPiece, ...]
    open_lines: Tuple[int, ...]
    rest: Tuple[int, ...]
    findings: Tuple[Finding, ...] = ()


def find_pieces(lines: Sequence[Whole], words: Sequence[Words], grouping: Grouping) -> Found:
    """Close every size's outlines and gather them into pieces.

    An outline goes on through a shared line (a fold, another size) where its own line
    ends on it.  Gaps up to 0.3 mm are closed silently, up to 3 mm closed and told; wider
    ones stay open and are told.
    """
    shapes = shapes_of(lines)
    sizes, owner = _owners(lines, grouping)
    rings, left = close(lines, shapes, owner)
    used = [line for ring in rings for line in ring.lines]
    large, little = parted(nested([*rings, *small_rings(lines, shapes, owner, used)]))
    sorted_out = sort_out(large, words, _grain(shapes))
    small = small_pieces(little, sorted_out.pieces, words)
    nests = sorted_out.pieces + small.pieces
    ranks = _ranks(nests, len(sizes))
    nests = tuple(nests[n] for n in reading_order(np.array([nest.largest.box for nest in nests])))
    outlines = [nest.largest.points for nest in nests]
    taken = {line for nest in nests for ring in nest.rings for line in ring.own}
    unclosed = _unclosed(left, nests)
    open_lines = tuple(sorted({line for chain in unclosed for line in chain.lines} - taken))
    free = [n for n in range(len(lines)) if n not in taken and n not in open_lines and len(lines[n].path)]
    homes = lines_at(shapes, free, outlines)
    word_homes = words_at(words, outlines)
    pieces: List[FoundPiece] = []
    drawn: List[Drawn] = []
    findings: List[Finding] = []
    for number, nest in enumerate(nests):
        inside = tuple(line for line, home in zip(free, homes) if home == number)
        said = tuple(n for n, home in enumerate(word_homes) if home == number)
        drawn.append(_drawn(nest, sizes, ranks, number + 1))
        begun = started([ring.path for ring in drawn[-1].rings])
        pieces.append(_piece(drawn[-1], begun.paths, inside, said))
        findings += told_uneven(begun.paths, begun.uneven, drawn[-1]) + told_order(drawn[-1])
        findings += told_gaps(drawn[-1], lines)
    in_order = [sizes[owner - 1] for owner in sorted(ranks, key=lambda o: ranks[o]) if owner != EVERYBODY]
    findings += told_lacking(drawn, in_order) + doubts(drawn)
    findings += told_open(unclosed, sizes, shapes, owner)
    findings += told_rings(sorted_out._replace(squares=sorted_out.squares + small.squares))
    used += [line for ring in small.squares for line in ring.lines]
    findings += told_small(lines, shapes, grouping, [*used, *taken], nests)
    rest = {line for line, home in zip(free, homes) if home < 0}
    return Found(tuple(pieces), open_lines, tuple(sorted(rest)), tuple(findings))


def _owners(lines: Sequence[Whole], grouping: Grouping) -> Tuple[List[str], List[int]]:
    """Names of the sizes in the grouping's order, and for each line which of them it is (from 1)."""
    sizes = list(dict.fromkeys(g.size for g in grouping.groups if g.size not in (ALL, NONE)))
    owner = [NOBODY] * len(lines)
    for group in grouping.groups:
        if group.size == NONE:
            continue
        number = EVERYBODY if group.size == ALL else sizes.index(group.size) + 1
        for line in group.lines:
            owner[line] = number
    if not sizes:  # drawn in one size: all lines are its own
        sizes, owner = [""], [1 if number == EVERYBODY else number for number in owner]
    return sizes, owner


def _grain(shapes: Shapes) -> np.ndarray:
    """Middles ``(k, 2)`` of long straight lines."""
    found = []
    for run, length, closed in zip(shapes.points, shapes.lengths, shapes.closed):
        if length >= _GRAIN and not closed and np.hypot(*(run[-1] - run[0])) > 0.999 * length:
            found.append((run[0] + run[-1]) / 2)
    return np.array(found).reshape(-1, 2)


def _ranks(nests: Sequence[Nest], count: int) -> Dict[int, int]:
    """Each size's place from the smallest, by the areas of its outlines."""
    larger: Dict[int, List[float]] = {number: [] for number in range(1, count + 1)}
    for nest in nests:
        if len(nest.rings) < 2:
            continue
        middle = float(np.mean([np.log(ring.area) for ring in nest.rings]))
        for ring in nest.rings:
            if ring.owner in larger:
                larger[ring.owner].append(float(np.log(ring.area)) - middle)
    mean = {owner: float(np.mean(all_)) if all_ else None for owner, all_ in larger.items()}
    known = sorted((owner for owner in mean if mean[owner] is not None), key=lambda o: (mean[o], o))
    order = known + [owner for owner in mean if mean[owner] is None]
    ranks = {owner: rank for rank, owner in enumerate(order, 1)}
    ranks[EVERYBODY] = 0
    return ranks


def _drawn(nest: Nest, sizes: Sequence[str], ranks: Dict[int, int], number: int) -> Drawn:
    """A nest from the smallest size up, with the names of its sizes."""
    rings = sorted(nest.rings, key=lambda ring: ranks[ring.owner])
    names = [sizes[ring.owner - 1] if ring.owner != EVERYBODY else "" for ring in rings]
    return Drawn(number, tuple(rings), tuple(names))


def _piece(
    drawn: Drawn, paths: Sequence[Path], inside: Tuple[int, ...], words: Tuple[int, ...]
) -> FoundPiece:
    outlines = tuple(
        FoundOutline(name, path, ring.lines, ring.gaps)
        for name, path, ring in zip(drawn.names, paths, drawn.rings)
    )
    boxes = np.array([ring.box for ring in drawn.rings])
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return FoundPiece(outlines, inside, words, box)


def _unclosed(left: Sequence[Open], nests: Sequence[Nest]) -> List[Open]:
    """Chains that look like an outline: as large as a piece that lacks this size, or large and alone."""
    boxes = np.array([nest.largest.box for nest in nests]).reshape(-1, 4)
    found = []
    for chain in left:
        width, height = chain.box[2] - chain.box[0], chain.box[3] - chain.box[1]
        if min(width, height) ** 2 < SMALLEST / 2 or chain.length < 0.9 * (width + height):
            continue
        share = overlap(chain.box, boxes)
        has = [
            n
            for n in np.flatnonzero(share > 0)
            if chain.owner in nests[n].owners and _holds(boxes[n], chain.box)
        ]
        if not has or any(
            share[n] > _ALIKE and chain.owner not in nests[n].owners for n in range(len(nests))
        ):
            found.append(chain)
    return found


def _holds(box: np.ndarray, other: Box) -> bool:
    middle = middle_of(other)
    return bool(box[0] <= middle[0] <= box[2] and box[1] <= middle[1] <= box[3])
