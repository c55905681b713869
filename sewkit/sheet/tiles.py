"""Join the tiles of a printed pattern into one sheet.

    joined = join_pages(printed)             # where each page lies, and what proves it
    sheet = one_sheet(printed, joined)       # every line once, in one system of coordinates

Geometry decides before order: shapes that two pages both show, then lines that end on the
edge of one page and go on from the edge of another.  Pages that hang together so are an
island; only where neither says anything do labels and the order of the pages place a tile.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.report import Finding
from sewkit.sheet.alike import copies
from sewkit.sheet.drawn import Box, Page, Printed, Progress
from sewkit.sheet.tile_findings import (
    about_contradiction,
    about_islands,
    about_pages,
    about_sets,
    about_strange,
    about_turns,
    holes,
)
from sewkit.sheet.tile_furniture import frame_box, furniture, live_box, repeated
from sewkit.sheet.tile_groups import Groups, page_groups, same_size
from sewkit.sheet.tile_join import SOME_TEXT, Group, Island, declared_group, hang_together, join_group
from sewkit.sheet.tile_sheet import one_sheet
from sewkit.sheet.tile_strokes import Strokes, by_path, centred, some, strokes_of
from sewkit.sheet.tile_values import Border, Grid, Joined, Placed
from sewkit.sheet.tile_whole import shows_all

__all__ = ["Border", "Grid", "Joined", "Placed", "join_pages", "one_sheet"]

# Islands lie this far apart on the sheet (mm): enough to see that they do not belong together.
GAP = 50.0

# A page that nothing joins to the others and that holds so many letters is read, not sewn.
MOSTLY_TEXT = 400


class _Sorted(NamedTuple):
    """The pages by what they are: indexes, and their strokes."""

    strokes: Strokes
    paths: Strokes
    rows: np.ndarray
    furniture: np.ndarray
    sets: Groups
    live: Dict[int, Box]
    frames: Dict[int, Optional[Box]]
    framed: Tuple[int, ...]
    used: Tuple[int, ...]


def join_pages(printed: Printed, grid: Optional[Grid] = None, progress: Progress = None) -> Joined:
    """Find where each page lies on the sheet.

    A declared ``grid`` is obeyed; evidence against it is told.  Pages without pattern lines
    are set apart.  Raises ``InputError`` where the grid makes no sense.
    """
    pages = printed.pages
    tell = progress or (lambda done, total, what: None)
    _check(grid, pages)
    tell(0, 3, "looking through the pages")
    found = _in_sets(pages, grid)
    tell(1, 3, "joining the pages")
    groups, declared = [], []
    for members in found.sets:
        rows = found.rows[np.isin(found.strokes.page[found.rows], members)]
        if set(members) & set(found.used):
            live = found.live[members[0]]
            used = [number for number in members if number in found.used]
            paths = some(found.paths, np.isin(found.paths.page, members))
            frame = found.frames[members[0]]
            groups.append(
                join_group(pages, found.strokes, rows, paths, members, used, live, found.framed, frame)
            )
            declared.append(_declared(pages, found, groups[-1], rows, grid))
    tell(2, 3, "joining the pages")
    joined = _together(pages, found, groups, declared)
    tell(3, 3, "joining the pages")
    return joined


def _check(grid: Optional[Grid], pages: Sequence[Page]) -> None:
    """Refuse a grid that leaves nothing of a page."""
    if grid is None:
        return
    if grid.columns < 1 or grid.order not in ("rows", "columns", "snake"):
        raise InputError(
            "A grid needs at least one column, and pages in rows, in columns or to and fro.",
            'Give the number of columns, and "rows", "columns" or "snake" as the order.',
            code="grid",
        )
    size = min((min(page.width, page.height) for page in pages), default=0.0)
    if pages and (grid.trim < 0 or grid.overlap < 0 or 2 * grid.trim + grid.overlap >= size):
        raise InputError(
            "With {:g} mm cut off on every side and {:g} mm of overlap nothing is left "
            "of a page {:.0f} mm wide.".format(grid.trim, grid.overlap, size),
            "Measure both on a printed page; both are usually 5 to 20 mm.",
            code="grid",
        )


def _in_sets(pages: Sequence[Page], grid: Optional[Grid]) -> _Sorted:
    """The pages in sets of one size, apart where labels begin anew and no line denies it."""
    sizes = same_size(pages)
    sets = sizes if grid is not None else page_groups(pages)
    found = _sorted(pages, sets)
    kept: List[Tuple[int, ...]] = []
    for members in sizes:
        own = [one for one in sets if set(one) <= set(members)]
        rows = found.rows[np.isin(found.strokes.page[found.rows], members)]
        paths = some(found.paths, np.isin(found.paths.page, members))
        live = found.live[members[0]]
        together = len(own) > 1 and hang_together(pages, found.strokes, rows, paths, own, live)
        kept += [members] if together else own
    return found if len(kept) == len(sets) else _sorted(pages, tuple(kept))


def _sorted(pages: Sequence[Page], sets: Groups) -> _Sorted:
    """Take apart what is pattern, and what is furniture of each set of pages."""
    drawn = strokes_of(pages)
    strokes = centred(drawn)
    again = repeated(pages, strokes, sets)
    live: Dict[int, Box] = {}
    frames: Dict[int, Optional[Box]] = {}
    for members in sets:
        box = live_box(pages, strokes, again, members)
        live.update((number, box) for number in members)
        frame = frame_box(pages, strokes, again, members)
        frames.update((number, frame) for number in members)
    fixed = furniture(pages, strokes, again, live, sets)
    copied = _copied(pages, strokes, fixed & again)
    fixed = fixed | copied
    rows = np.flatnonzero(strokes.seen() & strokes.large() & ~fixed)
    framed = tuple(sorted(set(strokes.page[fixed & (again | copied)].tolist())))
    used = tuple(sorted(set(strokes.page[strokes.shown(rows)].tolist())))
    paths = _pattern_paths(drawn, strokes, fixed)
    return _Sorted(strokes, paths, rows, fixed, sets, live, frames, framed, used)


def _copied(pages: Sequence[Page], strokes: Strokes, usual: np.ndarray) -> np.ndarray:
    """``(m,)`` whether a stroke is ``usual`` furniture, in another size or at another place."""
    bare = sorted(set(strokes.page[strokes.large()].tolist()) - set(strokes.page[usual].tolist()))
    found = set(copies(pages, bare)) if bare and usual.any() else set()
    places = zip(strokes.page.tolist(), strokes.drawn.tolist()) if found else ()
    return np.array([place in found for place in places] or [False] * len(strokes.page), bool)


def _pattern_paths(drawn: Strokes, strokes: Strokes, fixed: np.ndarray) -> Strokes:
    """Painted paths of several runs that are no furniture, nor letters only."""
    paths = by_path(drawn, strokes.large())
    marks = set(zip(drawn.page[fixed].tolist(), drawn.drawn[fixed].tolist()))
    places = zip(paths.page.tolist(), paths.drawn.tolist())
    return some(paths, np.array([place not in marks for place in places], bool) & paths.seen())


def _declared(
    pages: Sequence[Page], found: _Sorted, group: Group, rows: np.ndarray, grid: Optional[Grid]
) -> Optional[Group]:
    """The group as the person says it lies; None without, or where it is one page only."""
    if grid is None or group.islands[0].kind == "single":
        return None
    words = _words_only(pages, found, group)
    used = [number for number in group.members if number in found.used and number not in words]
    # Between tiles a page counts as one, whatever it holds: else all that follow would move.
    tiles = [n for n in group.members if used[0] <= n <= used[-1] or (n in found.framed and n not in words)]
    paths = some(found.paths, np.isin(found.paths.page, group.members))
    rows = rows[np.isin(found.strokes.page[rows], tiles)]
    apart = tuple(n for n in words if n in found.used and n not in tiles)
    return declared_group(pages, found.strokes, rows, paths, tiles, grid)._replace(strange=apart)


def _words_only(pages: Sequence[Page], found: _Sorted, group: Group) -> Tuple[int, ...]:
    """Pages that are read, not sewn: covers, instructions, though they may carry a frame."""
    counted = set(group.labels.numbers) | {page for cells in group.labels.cells for page in cells}
    apart = set(group.strange)
    for island in group.islands:
        apart |= set(island.cells) if _is_text(pages, island, group) else set()
    for page in set(group.members) - set(found.used):
        least = SOME_TEXT if counted and page not in counted else MOSTLY_TEXT
        apart |= {page} if _letters(pages[page]) >= least else set()
    apart &= set(group.members)
    return tuple(sorted(apart)) if set(found.used) & set(group.members) - apart else ()


def _together(
    pages: Sequence[Page], found: _Sorted, groups: Sequence[Group], declared: Sequence[Optional[Group]]
) -> Joined:
    """All islands of all groups on one sheet, and what there is to tell."""
    taken = [own or group for own, group in zip(declared, groups)]
    order = sorted(range(len(taken)), key=lambda k: (-len(taken[k].islands[0].cells), k))
    whole, aside = shows_all(pages, found.strokes, found.rows, [taken[k] for k in order])
    islands: List[Tuple[Group, Island]] = []
    strange = [page for group in taken for page in group.strange]
    texts = [page for page in strange if _letters(pages[page]) >= MOSTLY_TEXT]
    for k in order:
        for island in taken[k].islands:
            if set(island.cells) & set(aside):
                continue
            if _is_text(pages, island, taken[k]):
                texts += list(island.cells)
            else:
                islands.append((taken[k], island))
    islands.sort(key=lambda pair: (-len(pair[1].cells), min(pair[1].cells)))
    placed, borders = _laid_out(pages, islands)
    blank = tuple(pages[n].number for n in range(len(pages)) if n not in found.used or n in texts + strange)
    missing = tuple(hole for group, island in islands[:1] for hole in holes(pages, island, group))
    main = islands[0][0] if islands else None
    step = main.step if main else None
    findings: List[Finding] = []
    findings += about_pages(pages, found.used, texts, whole, aside, same_size(pages))
    findings += about_strange(pages, [page for page in strange if page not in texts])
    alike = _of_one_size(pages, taken, main)
    findings += about_sets(pages, [group.members for group in alike])
    for group in alike:
        own = [island for owner, island in islands if owner is group]
        findings += about_islands(pages, own, group, found.used)
    for own, group in zip(declared, groups):
        findings += about_contradiction(pages, own, group)
    findings += about_turns(pages, [page.page for page in placed])
    return Joined(
        tuple(placed),
        tuple(borders),
        (step.right[0], step.below[1]) if step and len(placed) > 1 else (0.0, 0.0),
        main.live if main and islands[0][1].kind != "single" else None,
        islands[0][1].kind if islands else "none",
        _marks(pages, found),
        blank,
        missing,
        max((group.closure for group in groups), default=0.0),
        tuple(findings),
    )


def _of_one_size(pages: Sequence[Page], groups: Sequence[Group], main: Optional[Group]) -> List[Group]:
    """The groups whose pages are as large as those of the main one, which is among them."""
    if main is None:
        return []
    size = next(sizes for sizes in same_size(pages) if main.members[0] in sizes)
    return [group for group in groups if group.members[0] in size]


def _marks(pages: Sequence[Page], found: _Sorted) -> Tuple[Tuple[int, int], ...]:
    """Page number and drawing order of all furniture."""
    rows = np.flatnonzero(found.furniture)
    places = set(zip(found.strokes.page[rows].tolist(), found.strokes.drawn[rows].tolist()))
    return tuple(sorted((pages[page].number, pages[page].drawn[index].order) for page, index in places))


def _is_text(pages: Sequence[Page], island: Island, group: Group) -> bool:
    """Whether an island is one page of instructions among tiles that hang together."""
    if len(island.cells) > 1 or len(group.islands[0].cells) < 2:
        return False
    (page,) = island.cells
    return _letters(pages[page]) >= MOSTLY_TEXT


def _letters(page: Page) -> int:
    return sum(len(words.text) for words in page.words)


def _laid_out(
    pages: Sequence[Page], islands: Sequence[Tuple[Group, Island]]
) -> Tuple[List[Placed], List[Border]]:
    """Islands beside each other from the left, the largest first, corners of pages at 0 or more."""
    placed: List[Placed] = []
    borders: List[Border] = []
    left = 0.0
    for number, (_, island) in enumerate(islands, 1):
        low_x = min(x for x, _ in island.places.values())
        low_y = min(y for _, y in island.places.values())
        right = left
        for page, (x, y) in island.places.items():
            column, row = island.cells[page]
            at = (x - low_x + left, y - low_y)
            placed.append(
                Placed(pages[page].number, at[0], at[1], column + 1, row + 1, number, page in island.sure)
            )
            right = max(right, at[0] + pages[page].width)
        left = right + GAP
        for border in island.borders:
            first, second = pages[border.first].number, pages[border.second].number
            borders.append(border._replace(first=first, second=second))
    return sorted(placed), borders
