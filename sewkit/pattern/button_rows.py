"""Rows of buttons: when the row becomes longer, its buttons are spaced evenly again."""

from typing import List, NamedTuple, Sequence, Set, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.pattern.mark import BUTTON, BUTTONHOLE, DRILL, Mark
from sewkit.pattern.shifts import Shifts

# Marks that stand for buttons; a row is of one kind.
KINDS = (DRILL, BUTTON, BUTTONHOLE)

# Fewer drill holes are no row.
_ROW = 3

# Spacings within a row may differ by this, and holes stand aside by this (mm); drawn by
# machine they agree far better.
_EVEN = 0.5


class Spaced(NamedTuple):
    """Marks with rows spaced anew, and how many buttons that concerned."""

    marks: Tuple[Mark, ...]
    count: int


def spaced_anew(before: Sequence[Mark], after: Sequence[Mark], shifts: Shifts, size: str) -> Spaced:
    """Space the rows of one size anew between their first and last hole, as these have moved.

    ``before`` and ``after``: the same marks in the same order.  A row runs along the axis.
    """
    done = list(after)
    counts = dict.fromkeys(KINDS, 0)
    for row in _rows(before, shifts, size):
        first, last = row[0], row[-1]
        ends = shifts.at(before[first].middle), shifts.at(before[last].middle)
        if ends[0] == ends[1]:
            continue
        low, high = (shifts.height(before[n].middle) for n in (first, last))
        for number in row:
            mark = before[number]
            # In proportion: an even row stays even, and going back brings the old one.
            share = (shifts.height(mark.middle) - low) / (high - low)
            assert mark.path is not None
            moved = shifts.moved(mark.path.curves, ends[0] + share * (ends[1] - ends[0]))
            done[number] = mark._replace(path=Path(moved, mark.path.closed))
        counts[before[first].kind] += len(row)
    # A button and its hole are told as one.
    return Spaced(tuple(done), counts[DRILL] + max(counts[BUTTON], counts[BUTTONHOLE]))


def spaced_holes(marks: Sequence[Mark], shifts: Shifts) -> Set[int]:
    """Numbers of the holes and buttons, of any size among the marks, that go with a row spaced anew.

    The first and the last of a row go with the cloth.
    """
    found: Set[int] = set()
    for size in {mark.size for mark in marks}:
        for row in _rows(marks, shifts, size):
            if shifts.at(marks[row[0]].middle) != shifts.at(marks[row[-1]].middle):
                found |= set(row[1:-1])
    return found


def _rows(marks: Sequence[Mark], shifts: Shifts, size: str) -> List[List[int]]:
    """Numbers of the marks of each even row along the axis, in order along it."""
    return [row for kind in KINDS for row in _rows_of(kind, marks, shifts, size)]


def _rows_of(kind: str, marks: Sequence[Mark], shifts: Shifts, size: str) -> List[List[int]]:
    across = np.array([-shifts.way[1], shifts.way[0]])
    holes = [
        (float(mark.middle @ across), shifts.height(mark.middle), number)
        for number, mark in enumerate(marks)
        if mark.kind == kind and mark.size == size and mark.path is not None and len(mark.path)
    ]
    columns: List[List[Tuple[float, float, int]]] = []
    for hole in sorted(holes):
        if columns and hole[0] - columns[-1][0][0] <= _EVEN:
            columns[-1].append(hole)
        else:
            columns.append([hole])
    rows: List[List[int]] = []
    for column in columns:
        rows += _even_rows(sorted((height, number) for _, height, number in column))
    return rows


def _even_rows(column: Sequence[Tuple[float, int]]) -> List[List[int]]:
    """The longest even stretches of a column of holes."""
    rows: List[List[int]] = []
    start = 0
    gaps = [b[0] - a[0] for a, b in zip(column, column[1:])]
    for at in range(1, len(gaps) + 1):
        if at < len(gaps) and max(gaps[start : at + 1]) - min(gaps[start : at + 1]) <= 2 * _EVEN:
            continue
        if at - start + 1 >= _ROW:
            rows.append([number for _, number in column[start : at + 1]])
        start = at
    return rows
