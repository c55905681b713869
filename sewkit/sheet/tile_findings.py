"""What there is to tell about joined pages, in words for the person who sews."""

from collections import Counter
from typing import Dict, Iterable, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Page
from sewkit.sheet.tile_join import Group, Island
from sewkit.sheet.tile_values import BELOW, RIGHT, Border

# Pages that walk back to their start this exactly (mm) fit; job.md's limit for a file.
CLOSED = 0.1


def listed(numbers: Iterable[int]) -> str:
    """Page numbers in words: "page 3", "pages 1, 4 to 9 and 12"."""
    runs: List[List[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    words: List[str] = []
    for first, last in runs:
        if last - first > 1:
            words.append("{} to {}".format(first, last))
        else:
            words += [str(number) for number in range(first, last + 1)]
    one = len(runs) == 1 and runs[0][0] == runs[0][1]
    text = words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
    return ("page " if one else "pages ") + text


def about_pages(
    pages: Sequence[Page],
    used: Sequence[int],
    texts: Sequence[int],
    whole: int,
    aside: Sequence[int],
    sizes: Sequence[Sequence[int]],
) -> List[Finding]:
    """Pages that are no tile: empty, text, doubled by a large page, of another size."""
    found = []
    empty = [page.number for number, page in enumerate(pages) if number not in used]
    if empty and len(empty) < len(pages):
        found.append(
            Finding(
                "page-blank",
                Level.INFO,
                "No pattern lines on {}: set apart.".format(listed(empty)),
            )
        )
    if texts:
        numbers = listed(pages[number].number for number in texts)
        text = "Mostly words on {}, and no line leads to another page: left out of the sheet.".format(numbers)
        found.append(Finding("page-text", Level.INFO, text))
    if whole >= 0:
        found.append(
            Finding(
                "page-whole",
                Level.INFO,
                "Page {} shows the whole sheet; {} show the same in tiles and are not needed.".format(
                    pages[whole].number, listed(pages[number].number for number in aside)
                ),
            )
        )
    patterns = [[pages[n].number for n in group if n in used and n not in aside] for group in sizes]
    patterns = [group for group in patterns if group]
    if len(patterns) > 1:
        text = "Pages of different sizes are joined apart: {}.".format("; ".join(listed(g) for g in patterns))
        found.append(Finding("page-sizes", Level.INFO, text))
    return found


def about_strange(pages: Sequence[Page], strange: Sequence[int]) -> List[Finding]:
    """Pages with lines that the labels of the tiles do not count."""
    if not strange:
        return []
    numbers = [pages[number].number for number in strange]
    text = (
        "The tiles are numbered without {0}, and no line leads from there to another page: taken for "
        "instructions and left out. If there are pieces on {1}, bring {1} in alone with --pages {2}."
    ).format(listed(numbers), "it" if len(numbers) == 1 else "them", page_ranges(numbers))
    return [Finding("page-text", Level.INFO, text)]


def about_sets(pages: Sequence[Page], sets: Sequence[Sequence[int]]) -> List[Finding]:
    """Sets of pages whose labels begin anew and that no line joins: perhaps several patterns."""
    if len(sets) < 2:
        return []
    numbers = sorted([pages[n].number for n in members] for members in sets)
    count = {2: "two", 3: "three", 4: "four"}.get(len(sets), str(len(sets)))
    ways = ["--pages {}".format(page_ranges(own)) for own in numbers]
    text = (
        "No line joins {} to {}, and their labels begin anew: this file may hold {} patterns. "
        "Bring them in one at a time, with {} and {}."
    ).format(
        " nor ".join(listed(own) for own in numbers[1:]),
        listed(numbers[0]),
        count,
        ", ".join(ways[:-1]),
        ways[-1],
    )
    return [Finding("two-patterns", Level.WARN, text)]


def page_ranges(numbers: Iterable[int]) -> str:
    """Page numbers as they are given on the command line: "1-9,12"."""
    words = listed(numbers).split(" ", 1)[1]
    return words.replace(" to ", "-").replace(" and ", ",").replace(", ", ",")


def holes(pages: Sequence[Page], island: Island, group: Group) -> List[Tuple[int, int]]:
    """Rows and columns, from 1 and as shown, inside an island's grid: empty, and lines run into them."""
    return [hole for hole, running in _holes(pages, island, group) if running]


def _size(island: Island) -> Tuple[int, int]:
    """Columns and rows as stored."""
    cells = island.cells.values()
    return max(column for column, _ in cells) + 1, max(row for _, row in cells) + 1


def _turn(pages: Sequence[Page], island: Island) -> int:
    return sheet_turn(pages, [pages[number].number for number in island.cells])


def shown_cell(cell: Tuple[int, int], size: Tuple[int, int], turn: int) -> Tuple[int, int]:
    """Column and row, from 0, of a cell after the sheet of ``size`` cells was turned clockwise."""
    column, row = cell
    last_column, last_row = size[0] - 1, size[1] - 1
    return {
        0: (column, row),
        90: (last_row - row, column),
        180: (last_column - column, last_row - row),
        270: (row, last_column - column),
    }[turn % 360]


def _holes(pages: Sequence[Page], island: Island, group: Group) -> List[Tuple[Tuple[int, int], List[int]]]:
    """Row and column of every empty cell, with the pages from which lines run into it."""
    at = {cell: page for page, cell in island.cells.items()}
    if len(at) < 2:
        return []
    size, turn = _size(island), _turn(pages, island)
    found = []
    for row in range(size[1]):
        for column in range(size[0]):
            if (column, row) in at:
                continue
            around = (((-1, 0), "right"), ((1, 0), "left"), ((0, -1), "below"), ((0, 1), "above"))
            running = []
            for (x, y), side in around:
                page = at.get((column + x, row + y))
                if page is not None and group.leaving.get((page, side), 0):
                    running.append(page)
            shown = shown_cell((column, row), size, turn)
            found.append(((shown[1] + 1, shown[0] + 1), running))
    return sorted(found)


def about_islands(
    pages: Sequence[Page], islands: Sequence[Island], main: Group, used: Sequence[int]
) -> List[Finding]:
    """How the pages hang together, and what is missing."""
    found: List[Finding] = []
    if not islands:
        return found
    first = islands[0]
    if len(first.cells) > 1:
        found.append(_joined(pages, first, main))
    found += _about_overlap(main)
    found += _gaps(pages, first, main)
    found += _broken(pages, first, main)
    unsure = [pages[n].number for n in first.cells if n in used and n not in first.sure]
    if unsure and len(first.cells) > 1:
        why = "their labels" if first.kind == "labels" else "their order"
        text = "No line proves where {} {}: placed by {}.".format(
            listed(unsure),
            "lies" if len(unsure) == 1 else "lie",
            why if len(unsure) > 1 else why.replace("their", "its"),
        )
        found.append(Finding("page-unsure", Level.INFO, text))
    found += _parts(pages, first)
    if len(islands) > 1:
        rest = [listed(pages[n].number for n in island.cells) for island in islands[1:]]
        text = (
            "The pages do not all hang together: {} islands ({}). Each is exact in itself; they are laid "
            "beside each other. If they are one sheet, give the number of columns."
        ).format(len(islands), "; ".join([listed(pages[n].number for n in first.cells), *rest]))
        found.append(Finding("islands", Level.WARN, text))
    return found


def _parts(pages: Sequence[Page], island: Island) -> List[Finding]:
    """Runs of pages of one island that only the order of the pages puts beside each other."""
    if island.kind in ("labels", "declared"):
        return []
    part = {page: {page} for page in island.cells}
    for border in island.borders:
        one, other = part[border.first], part[border.second]
        if border.matched and one is not other:
            one |= other
            part.update((page, one) for page in other)
    parts = sorted({min(own): sorted(own) for own in part.values() if len(own) > 1}.values())
    if len(parts) < 2 or any(one[-1] > other[0] for one, other in zip(parts, parts[1:])):
        return []
    numbers = [[pages[n].number for n in own] for own in parts]
    text = (
        "No line runs between {}: only their order says how they lie. If they are not one "
        "pattern, bring them in one at a time, with {}."
    ).format(
        " and ".join(listed(own) for own in numbers),
        " and ".join("--pages {}".format(page_ranges(own)) for own in numbers),
    )
    return [Finding("page-parts", Level.INFO, text)]


def _joined(pages: Sequence[Page], island: Island, group: Group) -> Finding:
    columns, rows = _size(island)
    if _turn(pages, island) in (90, 270):
        columns, rows = rows, columns
    fitting = [border for border in island.borders if border.matched]
    proved = [border for border in fitting if border.evidence != "square lines"]
    worst = max([border.residual for border in proved] or [0.0])
    text = "{} pages joined, {} across and {} down".format(len(island.cells), columns, rows)
    if proved:
        what = {"shapes": "shapes that both pages show", "declared": "the grid you gave"}
        text += "; {} of {} borders proved by {}, lines meet within {:.2f} mm".format(
            len(proved), len(island.borders), what.get(island.kind, "lines that go on"), max(worst, 0.01)
        )
    if len(proved) < len(fitting):
        text += "; {} of {} borders only crossed by lines square to them, which prove no distance".format(
            len(fitting) - len(proved), len(island.borders)
        )
    good = max(group.closure, worst) <= CLOSED
    level = Level.WARN if not good else Level.PASS if len(proved) == len(fitting) else Level.INFO
    if group.closure > 0.0005:
        text += "; round four pages they close within {:.2f} mm".format(max(group.closure, 0.01))
    return Finding("joined", level, text + ".")


def _about_overlap(group: Group) -> List[Finding]:
    """What is taken for the strip that pages show twice, where only square lines cross it."""
    if not group.taken:
        return []
    ways = {side: "across" if side == RIGHT else "down" for side, _ in group.taken}
    pitch = {RIGHT: group.step.right[0], BELOW: group.step.below[1]}
    taken = [
        "{} {:.1f} mm from page to page, with {} overlap".format(
            ways[side], pitch[side], "{:.1f} mm of".format(own.width) if own.width else "no"
        )
        for side, own in group.taken
    ]
    text = (
        "Going {}, all lines from page to page are square to the border, and such lines fit any overlap "
        "up to {:.0f} mm. Taken was: {}. Compare a length that runs over several pages with one you know, or "
        "look whether pages repeat a strip. If they do, give --columns, --trim (margin to cut off) and "
        "--overlap (strip shown twice)."
    ).format(
        " and ".join(ways.values()),
        max(own.limit for _, own in group.taken),
        "; ".join(taken),
    )
    return [Finding("overlap-unproved", Level.WARN, text)]


def _gaps(pages: Sequence[Page], island: Island, group: Group) -> List[Finding]:
    found = []
    quiet = []
    for (row, column), running in _holes(pages, island, group):
        where = "row {}, column {}".format(row, column)
        if running:
            numbers = listed(pages[n].number for n in running)
            text = "The page in {} is missing: lines run into it from {}.".format(where, numbers)
            found.append(Finding("page-missing", Level.WARN, text, where))
        else:
            quiet.append(where)
    if quiet:
        text = "No page for {}; no line runs there, so nothing is missing.".format("; ".join(quiet))
        found.append(Finding("page-empty", Level.INFO, text))
    return found


def _broken(pages: Sequence[Page], island: Island, group: Group) -> List[Finding]:
    """Rows (columns) of pages with lines that stop where the next begins: one may be missing between."""
    found = []
    ends = {RIGHT: ("right", "left"), BELOW: ("below", "above")}
    joints: Dict[Tuple[str, int], List[Border]] = {}
    for border in island.borders:
        place = island.cells[border.first][0 if border.side == RIGHT else 1]
        joints.setdefault((border.side, place), []).append(border)
    for (side, _), own in sorted(joints.items()):
        stop = [b.first for b in own if group.leaving.get((b.first, ends[side][0]), 0)]
        begin = [b.second for b in own if group.leaving.get((b.second, ends[side][1]), 0)]
        if stop and begin and not any(border.matched for border in own):
            text = (
                "Lines run out of {} and into {}, which lie beside each other there, but none goes on: pages "
                "may be missing between them, or they are not one pattern."
            ).format(listed(pages[n].number for n in stop), listed(pages[n].number for n in begin))
            found.append(Finding("page-missing", Level.WARN, text))
    return found


def about_contradiction(pages: Sequence[Page], declared: Optional[Group], found: Group) -> List[Finding]:
    """Where the lines speak against the grid that was declared."""
    if declared is None or found.islands[0].kind in ("single", "grid", "labels"):
        return []
    own, theirs = declared.islands[0], found.islands[0]
    anchor = next((page for page in theirs.cells if page in own.cells), None)
    if anchor is None or len(theirs.cells) < 2:
        return []
    for page in theirs.cells:
        if page in own.cells:
            here = np.subtract(own.places[page], own.places[anchor])
            there = np.subtract(theirs.places[page], theirs.places[anchor])
            miss = float(np.hypot(*(here - there)))
            if miss > CLOSED:
                step = found.step
                columns = max(column for column, _ in theirs.cells.values()) + 1
                text = (
                    "The lines do not agree with the grid you gave: by them page {} lies {:.1f} mm "
                    "elsewhere. They say {} columns, {:.2f} mm across and {:.2f} mm down from page to page."
                ).format(pages[page].number, miss, columns, step.right[0], step.below[1])
                return [Finding("grid-contradicted", Level.WARN, text)]
    return []


def sheet_turn(pages: Sequence[Page], placed: Sequence[int]) -> int:
    """How far the sheet is turned for reading: as most of its pages; 0 where there is no majority."""
    turns = Counter(page.turn for page in pages if page.number in set(placed))
    if not turns:
        return 0
    turn, count = turns.most_common(1)[0]
    return turn if 2 * count > sum(turns.values()) else 0


def about_turns(pages: Sequence[Page], placed: Sequence[int]) -> List[Finding]:
    """Pages that a viewer turns differently."""
    turns = {page.number: page.turn for page in pages if page.number in set(placed)}
    if len(set(turns.values())) < 2:
        return []
    common = sheet_turn(pages, placed)
    other = listed(number for number, turn in turns.items() if turn != common)
    text = "A viewer turns {} differently from the rest; all are joined as they are drawn.".format(other)
    return [Finding("page-turn", Level.INFO, text)]
