"""What there is to tell about groups of lines: layers against styles, names, lines left out."""

from typing import Dict, List, Sequence, Set, Tuple

import numpy as np

from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Style, Whole, Words
from sewkit.sheet.groups_keys import Judged
from sewkit.sheet.groups_names import Named, look
from sewkit.sheet.nest_shapes import Shapes
from sewkit.sheet.size_names import even_list, said_on

# The edges of areas at least this long are no letters (mm); and so long in all they may be
# the outline of a small piece (a belt loop of 15 x 100).
_NO_LETTER, _AN_OUTLINE = 40.0, 230.0


def told_layers(trial: Judged, styles: Judged) -> List[Finding]:
    """Layers of one size whose outlines come in several styles that tell sizes apart elsewhere."""
    if not styles.size_parts:
        return []
    looks: Dict[int, Set[int]] = {part: set() for part in trial.size_parts}
    for body in trial.bodies:
        if body.part in looks:
            kinds = {styles.partition.part[line] for line in body.lines}
            looks[body.part] |= kinds & set(styles.size_parts)
    found = []
    for part in trial.size_parts:
        if len(looks[part]) > 1:
            text = (
                "The layer '{}' holds outlines in {} kinds of line; its name was believed. "
                "Check that they are one size."
            ).format(trial.partition.names[part], len(looks[part]))
            found.append(Finding("layer-styles", Level.WARN, text))
    return found


def told_names(names: Named, words: Sequence[Words]) -> List[Finding]:
    """Doubts about the names of sizes, and sizes that are named on the sheet but not drawn."""
    found = []
    if names.doubt:
        text = names.doubt + " The sizes are called {}; the table of sizes is the place to change that."
        found.append(Finding("size-names", Level.WARN, text.format(", ".join(names.names))))
    unseen = _unseen(names.names, words)
    if unseen:
        text = (
            "The words on the sheet name size {} too, beside the sizes found ({}), but no lines of it were "
            "told apart. Lines of two sizes may have been taken for one; check every size of every piece."
        ).format(" and ".join(unseen), ", ".join(names.names))
        found.append(Finding("size-unseen", Level.WARN, text))
    return found


def _unseen(names: Sequence[str], words: Sequence[Words]) -> Tuple[str, ...]:
    """Sizes said on the sheet that are missing between those found, or next to them.

    One beyond the smallest or largest counts if it is said by itself as often as the others:
    tables list sizes that a sheet does not have.
    """
    if len(names) < 2 or not all(name.isdigit() for name in names):
        return ()
    said = said_on(words)
    numbers = sorted(map(int, names))
    between = {one.size for one in said if one.size.isdigit() and one.size not in names}
    between = {size for size in between if numbers[0] < int(size) < numbers[-1]}
    full = sorted(numbers + [int(size) for size in between])
    if not even_list([str(number) for number in full]):
        return ()
    alone = [one.size for one in said if one.count == 1]
    often = min(alone.count(name) for name in names)
    step = full[1] - full[0]
    around = [str(number) for number in (full[0] - step, full[-1] + step)]
    next_to = [size for size in around if often > 0 and alone.count(size) >= often]
    return tuple(sorted([*between, *next_to], key=int))


def told_areas(lines: Sequence[Whole], shapes: Shapes) -> List[Finding]:
    """Edges of areas that were cut open, as lines that came as areas on tiles are."""
    edges = np.array([not line.style.colour for line in lines], bool)
    edges &= ~shapes.closed & (shapes.lengths >= _NO_LETTER)
    length = float(shapes.lengths[edges].sum())
    if length < _AN_OUTLINE:
        return []
    longest = int(np.flatnonzero(edges)[shapes.lengths[edges].argmax()])
    text = (
        "Filled areas without a line, cut open at the borders of the pages, were left out: {:.0f} mm of "
        "edges. They may be lines of a size that came as areas; look whether a size is missing here."
    ).format(length)
    spot = shapes.points[longest][0]
    return [Finding("areas", Level.WARN, text, "", (float(spot[0]), float(spot[1])))]


def told_kinds(kinds: Sequence[Tuple[str, Style]]) -> List[Finding]:
    """Outlines in one size, yet in several kinds of line: key of the group, style."""
    if len(kinds) < 2:
        return []
    text = (
        "Closed outlines come in {} kinds of line ({}), and all were taken for cut lines of one size. "
        "If one kind is a seam line or no part of the pattern, say so in the table of sizes."
    ).format(len(kinds), ", ".join("{}: {}".format(key, look(style)) for key, style in kinds))
    return [Finding("kinds-of-line", Level.WARN, text)]
