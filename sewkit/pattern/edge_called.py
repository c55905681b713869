"""What an edge is called in a sentence: by its name, or by where it lies while it has none.

    called(outline, "hem")       # hem
    called(outline, "3")         # lower edge (3): on a bare outline, third in path order
    quoted(outline, "3")         # the lower edge (3)

Nobody sees the numbers of a bare outline on the sheet, so they alone say nothing; the number
stays with the words because options and tables know the edge by it.
"""

from typing import List

import numpy as np

from sewkit.geometry.length import path_length, point_at
from sewkit.geometry.polygon import flatten
from sewkit.pattern.outline import Outline

# Round the middle of a piece eight sectors of 45 degrees are told apart; the first one
# reaches half a sector to either side: tan(22.5 degrees).
_ASIDE = 0.4142

# The size of a piece is wanted to this accuracy (mm): only for words.
_ROUGH = 1.0


def called(outline: Outline, name: str) -> str:
    """An edge's name, or for a number the side of the piece where its middle lies, with the number."""
    if not name.isdigit() or name not in outline.names:
        return name
    if len(outline.names) == 1:
        return "outline"
    return " ".join(_sides(outline, name) + ["edge ({})".format(name)])


def quoted(outline: Outline, name: str) -> str:
    """The same for the middle of a sentence: 'hem' in quotes, or "the lower edge (3)"."""
    words = called(outline, name)
    return "'{}'".format(name) if words == name else "the {}".format(words)


def _sides(outline: Outline, name: str) -> List[str]:
    """Upper or lower, left or right, as the piece lies on the sheet; y points down."""
    spots = flatten(outline.path, _ROUGH)
    low, high = spots.min(axis=0), spots.max(axis=0)
    longest = max(outline.runs(name), key=path_length)
    middle = point_at(longest, path_length(longest) / 2.0)
    aside, down = (2.0 * middle - low - high) / np.maximum(high - low, _ROUGH)
    words = []
    if abs(down) > _ASIDE * abs(aside):
        words.append("upper" if down < 0 else "lower")
    if abs(aside) > _ASIDE * abs(down):
        words.append("left" if aside < 0 else "right")
    return words
