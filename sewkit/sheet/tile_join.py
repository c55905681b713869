"""Join the pages of one size: evidence, layout, places in millimetres."""

from collections import Counter
from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Box, Page
from sewkit.sheet.tile_cuts import Lines, crossing_lines, pairs_by_cuts
from sewkit.sheet.tile_furniture import words_of_furniture
from sewkit.sheet.tile_grid import Layout, in_order, vote
from sewkit.sheet.tile_groups import page_groups, usual_page
from sewkit.sheet.tile_labels import Cells, Labels, labels_of
from sewkit.sheet.tile_overlap import Overlap, nodes_of, overlap_of
from sewkit.sheet.tile_shapes import Pairs, pairs_by_shapes
from sewkit.sheet.tile_solve import (
    Neighbours,
    Step,
    closure,
    common_step,
    neighbours,
    positions,
    without_strays,
)
from sewkit.sheet.tile_strokes import Strokes
from sewkit.sheet.tile_values import BELOW, RIGHT, Border, Grid
from sewkit.sheet.tile_worth import scores_of, with_empty

# Shapes are enough where they touch this part of the pages; else lines are followed over the cuts.
# Few shapes, less than so many a page, may be chance: then both ways are tried.
TOUCHED, RICH = 0.4, 3

# So many lines that go on are no chance.  A page that no label counts and that has so many
# letters is read, not sewn.
SEVERAL, SOME_TEXT = 3, 40

# Evidence fits a declared grid when it agrees within this (mm): what scissors miss by.
DECLARED = 1.0


class Island(NamedTuple):
    """Pages that hang together.

    Args:
        cells: page index to column and row, from 0.
        places: page index to the page's upper left corner (mm).
        sure: indexes of pages that a border proves, or that were declared.
        borders: all of them.
        kind: what the layout rests on: "shapes", "cut lines", "labels", "grid", "declared", "single".
    """

    cells: Cells
    places: Dict[int, Tuple[float, float]]
    sure: Tuple[int, ...]
    borders: Tuple[Border, ...]
    kind: str


class Group(NamedTuple):
    """The pages of one size, joined.

    ``live`` is what each adds to the sheet (mm on the page); ``leaving`` the lines that run
    over its sides; ``strange`` are pages with lines that are no tiles; ``taken`` is how much
    pages overlap, by side, where nothing proves it.
    """

    members: Tuple[int, ...]
    live: Box
    islands: Tuple[Island, ...]
    step: Step
    leaving: Lines
    closure: float
    labels: Labels
    strange: Tuple[int, ...] = ()
    taken: Tuple[Tuple[str, Overlap], ...] = ()


class _Evidence(NamedTuple):
    pairs: Pairs
    kind: str
    overlap: Tuple[float, float]


def join_group(
    pages: Sequence[Page],
    strokes: Strokes,
    rows: np.ndarray,
    paths: Strokes,
    members: Sequence[int],
    used: Sequence[int],
    live: Box,
    framed: Sequence[int],
    frame: Optional[Box] = None,
) -> Group:
    """Join pages of one size.

    Args:
        rows: their strokes that belong to the pattern.
        paths: their painted paths of several runs, whole.
        members: indexes of these pages; ``used`` those on which some of it can be seen.
        live: what each adds to the sheet (mm on the page).
        framed: members that carry the frame or the marks of a tile.
        frame: the rectangle that most of them carry.
    """
    labels = labels_of(pages, members)
    leaving = crossing_lines(strokes, rows, live)
    if len(used) == 1 and not (labels.total > 1 or labels.cells):
        alone = Island({used[0]: (0, 0)}, {used[0]: (0.0, 0.0)}, (used[0],), (), "single")
        step = Step((0.0, 0.0), (0.0, 0.0), True)
        return Group(tuple(members), live, (alone,), step, leaving, 0.0, labels)
    evidence = _evidence(strokes, rows, paths, usual_page(pages, members), live, len(used))
    strange = _strange(pages, used, framed, labels, leaving, evidence.pairs)
    used = [number for number in used if number not in strange]
    empty = [number for number in members if number not in used]
    scores = with_empty(scores_of(evidence.pairs, len(pages)), empty, leaving)
    numberings = _numberings(pages, members, used, framed, labels, evidence.pairs)
    shown = Counter(pages[number].turn for number in used)
    turns = [turn for turn, _ in shown.most_common()] + ([] if 0 in shown else [0])
    layouts = vote(used, scores, labels, numberings, turns, leaving)
    evidence, taken = _with_overlap(pages, strokes, rows, live, frame, layouts, evidence)
    spare = (live[2] - live[0] - evidence.overlap[0], live[3] - live[1] - evidence.overlap[1])
    group = _placed(members, live, layouts, evidence, spare, leaving, labels)
    return _square(group, taken)._replace(strange=strange)


def _with_overlap(
    pages: Sequence[Page],
    strokes: Strokes,
    rows: np.ndarray,
    live: Box,
    frame: Optional[Box],
    layouts: Sequence[Layout],
    evidence: _Evidence,
) -> Tuple[_Evidence, Dict[str, Overlap]]:
    """Evidence with the overlap that more than slanted lines tell, and what is only taken to be so."""
    if evidence.kind != "cut lines":
        return evidence, {}
    borders = [border for layout in layouts for border in neighbours(layout.cells, evidence.pairs)]
    proved = [border for border in borders if border.proof is not None]
    square = {border.side for border in proved} - {border.side for border in proved if border.proof.slanted}
    fixed = words_of_furniture(pages, page_groups(pages)) if square else set()
    nodes = nodes_of(strokes, rows if square else rows[:0], pages, fixed)
    told = {
        side: overlap_of(borders, side, live, width, nodes, frame)
        for side, width in zip((RIGHT, BELOW), evidence.overlap)
    }
    known = {side: one for side, one in told.items() if one is not None}
    widths = {RIGHT: evidence.overlap[0], BELOW: evidence.overlap[1]}
    widths.update({side: one.width for side, one in known.items()})
    if (widths[RIGHT], widths[BELOW]) != evidence.overlap:
        again = pairs_by_cuts(strokes, rows, live, widths)
        pairs = {pair: proof for border in again.values() for pair, proof in border.pairs.items()}
        evidence = _Evidence(pairs, evidence.kind, (widths[RIGHT], widths[BELOW]))
    return evidence, {side: one for side, one in known.items() if not one.proved}


def _square(group: Group, taken: Dict[str, Overlap]) -> Group:
    """Say of borders in a direction whose overlap is only taken what crosses them."""

    def told(border: Border) -> Border:
        square = border.matched and border.side in taken
        return border._replace(evidence="square lines") if square else border

    islands = [island._replace(borders=tuple(map(told, island.borders))) for island in group.islands]
    return group._replace(islands=tuple(islands), taken=tuple(sorted(taken.items())))


def hang_together(
    pages: Sequence[Page],
    strokes: Strokes,
    rows: np.ndarray,
    paths: Strokes,
    sets: Sequence[Sequence[int]],
    live: Box,
) -> bool:
    """Whether lines or shapes prove that sets of pages whose labels begin anew are one sheet.

    A border between two sets counts only where neither page has a neighbour in its own set
    there: two drawings of one pattern fit each other everywhere.
    """
    page = pages[sets[0][0]]
    pairs = _evidence(strokes, rows, paths, page, live, sum(len(own) for own in sets)).pairs
    owner = {number: name for name, own in enumerate(sets) for number in own}
    proved = [pair for pair, proof in pairs.items() if proof.matched >= SEVERAL and proof.score > 0]
    inner = [pair for pair in proved if owner[pair[0]] == owner[pair[1]]]
    far, near = {(first, side) for first, _, side in inner}, {(second, side) for _, second, side in inner}
    return any(
        owner[first] != owner[second] and (first, side) not in far and (second, side) not in near
        for first, second, side in proved
    )


def _strange(
    pages: Sequence[Page],
    used: Sequence[int],
    framed: Sequence[int],
    labels: Labels,
    leaving: Lines,
    pairs: Pairs,
) -> Tuple[int, ...]:
    """Pages with lines that are no tiles: the labels number the tiles without them.

    No line leads from them to another page, and they lack the frame that tiles have or
    carry words in its place.
    """
    numbered = set(labels.numbers) | {page for cells in labels.cells for page in cells}
    proved = {page for pair, proof in pairs.items() if proof.score > 0 for page in pair[:2]}
    leads = {page for (page, _), count in leaving.items() if count}
    found = []
    for page in used if numbered else ():
        letters = sum(len(words.text) for words in pages[page].words)
        bare = page not in framed if framed else letters >= SOME_TEXT
        if bare and page not in numbered | proved | leads:
            found.append(page)
    return tuple(found) if len(found) < len(used) else ()


def declared_group(
    pages: Sequence[Page],
    strokes: Strokes,
    rows: np.ndarray,
    paths: Strokes,
    members: Sequence[int],
    grid: Grid,
) -> Group:
    """Lay pages of one size as the person says."""
    page = usual_page(pages, members)
    live = (grid.trim, grid.trim, page.width - grid.trim, page.height - grid.trim)
    pitch = (live[2] - live[0] - grid.overlap, live[3] - live[1] - grid.overlap)
    order = np.arange(len(members))
    width = grid.columns if grid.order != "columns" else -(-len(members) // grid.columns)
    places = in_order(order, width, grid.order)
    cells = {page: (int(column), int(row)) for page, (column, row) in zip(members, places)}
    step = Step((pitch[0], 0.0), (0.0, pitch[1]), True)
    used = sorted(set(strokes.page[rows].tolist()))
    evidence = (
        _evidence(strokes, rows, paths, page, live, len(used)) if used else _Evidence({}, "", (0.0, 0.0))
    )
    ways = {RIGHT: step.right, BELOW: step.below}
    fitting = {
        pair: proof
        for pair, proof in evidence.pairs.items()
        if np.abs(np.subtract(proof.offset, ways[pair[2]])).max() <= DECLARED
    }
    leaving = crossing_lines(strokes, rows, live)
    borders = tuple(_border(border, "declared", leaving) for border in neighbours(cells, fitting))
    island = Island(cells, positions(cells, (), step), tuple(members), borders, "declared")
    return Group(tuple(members), live, (island,), step, leaving, 0.0, Labels())


def _evidence(
    strokes: Strokes, rows: np.ndarray, paths: Strokes, page: Page, live: Box, count: int
) -> _Evidence:
    """Who is whose neighbour: by shapes, or, where few pages share any, by lines that were cut."""
    paper = (page.width, page.height)
    by_shapes = pairs_by_shapes(strokes, rows[~_cut_twice(strokes, rows, live)], paths, paper)
    touched = {page for pair in by_shapes for page in pair[:2]}
    if len(touched) >= TOUCHED * count and sum(p.matched for p in by_shapes.values()) >= RICH * len(touched):
        return _Evidence(by_shapes, "shapes", (0.0, 0.0))
    by_cuts = pairs_by_cuts(strokes, rows, live)
    followed = {page for border in by_cuts.values() for pair, proof in border.pairs.items() if proof.score > 0
                for page in pair[:2]}  # fmt: skip
    if len(touched) >= TOUCHED * count and len(touched) >= len(followed):
        return _Evidence(by_shapes, "shapes", (0.0, 0.0))
    pairs = {pair: proof for border in by_cuts.values() for pair, proof in border.pairs.items()}
    overlap = (by_cuts[RIGHT].overlap, by_cuts[BELOW].overlap)
    return _Evidence(pairs, "cut lines", overlap)


def _cut_twice(strokes: Strokes, rows: np.ndarray, live: Box) -> np.ndarray:
    """Strokes that lead from one side of the tile to another: cut there, they look alike by chance."""
    box = np.array(live)
    low = np.abs(strokes.low[rows] - box[:2]) <= 0.3
    high = np.abs(strokes.high[rows] - box[2:]) <= 0.3
    return low.sum(axis=1) + high.sum(axis=1) >= 2


def _numberings(
    pages: Sequence[Page],
    members: Sequence[int],
    used: Sequence[int],
    framed: Sequence[int],
    labels: Labels,
    pairs: Pairs,
) -> List[Dict[int, int]]:
    """The orders in which the pages may follow each other, the likeliest first."""
    proved = sorted({page for pair, proof in pairs.items() if proof.score > 0 for page in pair[:2]})
    within = [n for n in members if used[0] <= n <= used[-1] or n in framed]
    core = [n for n in members if proved and proved[0] <= n <= proved[-1]]
    found = [{page: labels.numbers[page] for page in within if page in labels.numbers}]
    marked = [n for n in members if n in framed]
    for chosen in (marked, within, core, list(used)):
        found.append({page: number for number, page in enumerate(chosen)})
        found.append({page: pages[page].number for page in chosen})
    distinct: List[Dict[int, int]] = []
    for numbers in found:
        first = min(numbers.values(), default=0)
        numbers = {page: number - first for page, number in numbers.items()}
        spread = max(numbers.values(), default=0)
        if len(numbers) > 1 and spread < 4 * len(numbers) and numbers not in distinct:
            distinct.append(numbers)
    return distinct


def _placed(
    members: Sequence[int],
    live: Box,
    layouts: Sequence[Layout],
    evidence: _Evidence,
    spare: Tuple[float, float],
    leaving: Lines,
    labels: Labels,
) -> Group:
    borders = [neighbours(layout.cells, evidence.pairs) for layout in layouts]
    step = common_step([border for found in borders for border in found], spare)
    islands, worst = [], 0.0
    for layout, near in zip(layouts, borders):
        found = without_strays(near, step)
        proved = sorted({page for b in found if b.proof is not None for page in (b.first, b.second)})
        other = "labels" if layout.kind == "labels" else "grid"
        islands.append(
            Island(
                layout.cells,
                positions(layout.cells, found, step),
                tuple(proved),
                tuple(_border(border, evidence.kind if border.proof else other, leaving) for border in found),
                evidence.kind if proved else "single" if len(layout.cells) == 1 else other,
            )
        )
        worst = max(worst, closure(layout.cells, found))
    return Group(tuple(members), live, tuple(islands), step, leaving, worst, labels)


def _border(border: Neighbours, evidence: str, leaving: Lines) -> Border:
    """A border, still with indexes in place of page numbers."""
    if border.proof is not None:
        proof = border.proof
        return Border(
            border.first, border.second, border.side, evidence, proof.matched, proof.unmatched, proof.residual
        )
    far, near = ("right", "left") if border.side == RIGHT else ("below", "above")
    loose = leaving.get((border.first, far), 0) + leaving.get((border.second, near), 0)
    return Border(border.first, border.second, border.side, evidence, 0, loose, 0.0)
