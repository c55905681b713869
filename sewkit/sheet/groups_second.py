"""Second lines of sizes put in their groups, and told."""

from typing import Dict, List, Sequence, Set, Tuple

import numpy as np

from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Style, Whole
from sewkit.sheet.groups_twice import Twice
from sewkit.sheet.groups_values import ALL, NONE, Group, Grouping, key_of
from sewkit.sheet.nest_shapes import Shapes

_SEAM, _CUT = "seam line inside its cut line", "cut line of size {}"
_SECOND, _SAME = "second closed line of size {}", "drawn once more in size {}"
_ORDER = (_CUT, _SECOND, _SAME)


def with_second_lines(grouping: Grouping, lines: Sequence[Whole], shapes: Shapes, twice: Twice) -> Grouping:
    """Seam lines in the place of cut lines; these, and other second lines, in groups of no size.

    Args:
        grouping: of all lines but the inner ones of pairs.
    """
    home = {line: number for number, group in enumerate(grouping.groups) for line in group.lines}
    members: List[Set[int]] = [set(group.lines) for group in grouping.groups]
    seams: Dict[int, Set[int]] = {}
    others: Dict[Tuple[int, str], Set[int]] = {}
    widths: List[float] = []
    for pair in twice.pairs:
        number = home[pair.outer[0]]
        size = grouping.groups[number].size
        if size in (ALL, NONE) and not pair.same:
            others.setdefault((number, _SECOND), set()).update(pair.inner)
        elif pair.allowance:
            members[number] -= set(pair.outer)
            members[number] |= set(pair.inner)
            seams.setdefault(number, set()).update(pair.inner)
            others.setdefault((number, _CUT), set()).update(pair.outer)
            widths.append(pair.allowance)
        else:
            kind = _SAME if pair.same else _SECOND
            others.setdefault((number, kind), set()).update(pair.inner)
    groups = []
    for number, group in enumerate(grouping.groups):
        if number in seams:
            group = group._replace(style=_style(lines, seams[number]), reason=_SEAM)
        rows = tuple(sorted(members[number]))
        groups.append(group._replace(lines=rows, length=float(shapes.lengths[list(rows)].sum())))
    taken = {line for group in groups for line in group.lines}
    keys: Dict[str, List[str]] = {_CUT: [], _SECOND: [], _SAME: []}
    sizes: Dict[str, List[str]] = {_CUT: [], _SECOND: [], _SAME: []}
    for (number, kind), found in sorted(
        others.items(), key=lambda item: (_ORDER.index(item[0][1]), item[0][0])
    ):
        rows = tuple(sorted(found - taken))
        if not rows:
            continue
        taken.update(rows)
        of = grouping.groups[number]
        keys[kind].append(key_of(len(groups)))
        sizes[kind].append(of.size)
        length = float(shapes.lengths[list(rows)].sum())
        look = _style(lines, rows)
        layer = ", ".join(sorted({"/".join(lines[line].layers) for line in rows}))
        groups.append(Group(keys[kind][-1], layer, look, 0, rows, length, NONE, kind.format(of.size), 0.6))
    findings = grouping.findings + tuple(_told(keys, sizes, widths))
    return grouping._replace(groups=tuple(groups), findings=findings)


def _style(lines: Sequence[Whole], rows: Sequence[int]) -> Style:
    """The style of the longest of some lines."""
    weights: Dict[Style, int] = {}
    for line in rows:
        weights[lines[line].style] = weights.get(lines[line].style, 0) + len(lines[line].path)
    return max(sorted(weights, key=repr), key=lambda style: weights[style])


def _told(keys: Dict[str, List[str]], sizes: Dict[str, List[str]], widths: Sequence[float]) -> List[Finding]:
    found = []
    if keys[_CUT]:
        text = (
            "{} drawn twice, {:.1f} mm apart: the inner line was taken as the seam line, and the outer one "
            "({} in the table of sizes) is no size. If the outer one is the outline that you want, swap the "
            "two in the table."
        ).format(_are(sizes[_CUT]), float(np.median(widths)), _groups(keys[_CUT]))
        found.append(Finding("seam-line", Level.WARN, text))
    if keys[_SECOND]:
        text = (
            "{} drawn with a second closed line around the same piece: the outer one was taken as the "
            "outline, and the inner one ({} in the table of sizes) is no size. If it is not so, swap the two "
            "in the table."
        ).format(_are(sizes[_SECOND]), _groups(keys[_SECOND]))
        found.append(Finding("second-line", Level.WARN, text))
    return found


def _are(sizes: Sequence[str]) -> str:
    """Sizes 36, 38 and 40 are."""
    return "Size {} is".format(sizes[0]) if len(sizes) == 1 else "Sizes {} are".format(_and(sizes))


def _groups(keys: Sequence[str]) -> str:
    return "group{} {}".format("s" if len(keys) > 1 else "", _and(keys))


def _and(names: Sequence[str]) -> str:
    """36, 38 and 40."""
    names = list(dict.fromkeys(names))
    return names[0] if len(names) == 1 else "{} and {}".format(", ".join(names[:-1]), names[-1])
