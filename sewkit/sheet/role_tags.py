"""Where words beside marks stand, so that they do not lie on each other."""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

# Height of a line of writing, with room above and below, and breadth of a letter (mm): the
# writing is 7 mm high and bold, whose letters are 0.6 of that broad.
LINE, LETTER = 8.0, 4.2
# Height of small print (mm); its letters are half as broad.
_SMALL = 4.0
# Words stand this far beside their mark (mm).
_BESIDE = 3.0
# Words that stand farther from their mark than this are led to it by a line (mm).
_FAR = 12.0
# Tried no farther away than this many lines: then they had better overlap.
_MOST = 15

_Box = Tuple[float, float, float, float]


class Tag(NamedTuple):
    """Words placed: their lower left corner (mm); ``leader``: from the words to the mark, or None."""

    text: str
    place: Tuple[float, float]
    leader: Optional[Tuple[Tuple[float, float], Tuple[float, float]]]
    box: _Box


def placed(text: str, spot: Sequence[float], taken: Sequence[_Box]) -> Tag:
    """Words as near to a spot (mm) as the boxes (left, top, right, bottom) leave free."""
    tags = _around(text, float(spot[0]), float(spot[1]))
    return next((tag for tag in tags if not any(_meet(tag.box, box) for box in taken)), tags[0])


def text_box(text: str, x: float, y: float) -> _Box:
    """About the box of a text of the drawing that begins there (mm) and reads to the right.

    Its height is not told: taken for small print, as most on a pattern is.
    """
    return (x, y - _SMALL, x + _SMALL * len(text) / 2, y + _SMALL / 4)


def _around(text: str, x: float, y: float) -> List[Tag]:
    """All places that are tried, the nearest first; right of the mark before left of it."""
    width = LETTER * len(text)
    found = []
    for step in range(_MOST):
        for down in (-step, step) if step else (0,):
            for left in (x + _BESIDE, x - _BESIDE - width):
                bottom = y - _BESIDE + down * LINE
                box = (left, bottom - LINE + 1.0, left + width, bottom + 1.0)
                found.append(Tag(text, (left, bottom), _leader(box, x, y), box))
    return found


def _leader(box: _Box, x: float, y: float) -> Optional[Tuple[Tuple[float, float], Tuple[float, float]]]:
    """From the nearest corner of the words' box to the mark, where they stand far from it."""
    left, top, right, bottom = box
    near = (min(max(x, left), right), min(max(y, top), bottom))
    return (near, (x, y)) if float(np.hypot(near[0] - x, near[1] - y)) > _FAR else None


def _meet(one: _Box, other: _Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
