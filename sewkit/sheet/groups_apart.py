"""Lines that are not seen: hidden in the file, or white.  They tell nothing about sizes.

A hidden layer that a size is named after stays that size, unless the size is drawn where it
is seen too; whatever else is hidden is older or other work of the designer.
"""

from typing import Dict, List, NamedTuple, Sequence, Set, Tuple

import numpy as np

from sewkit.sheet.drawn import Style, Whole
from sewkit.sheet.size_names import size_of_layer

# A line or an area in the colour of the paper only covers up others.
PAPER = "#ffffff"
HIDDEN = "hidden in the file"
WHITE = "white, which is not seen on paper"


class Apart(NamedTuple):
    """Lines that look alike and are not seen: their layer, style, numbers, and why."""

    layer: str
    style: Style
    lines: Tuple[int, ...]
    reason: str


def seen(lines: Sequence[Whole]) -> Tuple[Tuple[int, ...], Tuple[Apart, ...]]:
    """Numbers of the lines that may tell sizes, and all others by their look.

    Where nothing is seen at all, all lines count.
    """
    drawn = {size_named(line) for line in lines if not line.hidden and not _white(line.style)} - {""}
    why = [_why(line, drawn) for line in lines]
    kept = tuple(number for number, reason in enumerate(why) if not reason)
    if not any(lines[number].style.colour or lines[number].style.fill for number in kept):
        return tuple(range(len(lines))), ()
    rows: Dict[Tuple[str, str, Style], List[int]] = {}
    for number, reason in enumerate(why):
        if reason:
            look = lines[number].style._replace(width=float(np.round(lines[number].style.width, 2)))
            rows.setdefault((reason, "/".join(lines[number].layers), look), []).append(number)
    apart = (Apart(layer, look, tuple(row), why) for (why, layer, look), row in rows.items())
    return kept, tuple(apart)


def _why(line: Whole, drawn: Set[str]) -> str:
    """Why a line is not seen, or empty; ``drawn``: the sizes whose layers are seen."""
    if _white(line.style):
        return WHITE
    if line.hidden and size_named(line) in drawn | {""}:
        return HIDDEN
    return ""


def _white(style: Style) -> bool:
    return (style.colour or style.fill) == PAPER


def size_named(line: Whole) -> str:
    """The size that a line's layers name, the innermost first."""
    named = [size_of_layer(name) for name in line.layers]
    return next((size for size in reversed(named) if size), "")
