"""Words put on a piece near a spot, but clear of every line and word where there is room."""

from typing import Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.inner_label import inner_label
from sewkit.pattern.label_legend import LETTER
from sewkit.pattern.label_room import room_on
from sewkit.pattern.mark import LABEL, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.piece_label import obstacles

# Heights of the letters that are tried (mm), the largest first.
_HEIGHTS = (7.0, 6.0, 5.0, 4.0)

# Words so far from where they belong (mm) say nothing about it any more.
_FAR = 150.0


def with_words(
    piece: Piece,
    words: Sequence[Tuple[str, str, np.ndarray]],
    name: str,
    over: Optional[Sequence[Path]] = None,
) -> Piece:
    """The piece with words for its sizes: one label where all say the same, else one a size, named.

    Args:
        words: size, words and spot (2,) of each size that has some.
        name: of the marks.
        over: lines over the words that the drawing has, see ``piece_label.labelled``.
    """
    alike = len(words) == len(piece.outlines) and len({one[1] for one in words}) == 1
    for size, text, spot in words[:1] if alike else words:
        drawn = piece.outlines if alike else (piece.outline(size),)
        own = "" if alike and len(piece.outlines) > 1 else size
        said = "{}: {}".format(size, text) if size and not alike else text
        mark = _placed(piece, drawn, said, spot, over) or inner_label(drawn[0], said, spot)
        piece = piece._replace(marks=(*piece.marks, mark._replace(name=name, size=own)))
    return piece


def _placed(
    piece: Piece, drawn: Sequence[Outline], text: str, spot: np.ndarray, over: Optional[Sequence[Path]]
) -> Optional[Mark]:
    """The words on one line where there is room near the spot; None where there is none."""
    if not all(outline.path.closed for outline in drawn):
        return None
    outline = min(drawn, key=lambda one: abs(signed_area(one.path)))
    # The lines of the other sizes of a nest are on the paper too.
    others = (*obstacles(piece, drawn, over), *(one.path for one in piece.outlines))
    # Upright where there is no room along the sheet.
    for along in (np.array([1.0, 0.0]), np.array([0.0, -1.0])):
        room = room_on(outline.path, others, along, spot)
        across = np.array([-along[1], along[0]])
        for height in _HEIGHTS:
            length, depth = len(text) * LETTER * height, 1.2 * height
            corner = room.place(length, depth)
            if corner is None or np.hypot(*(corner + length / 2.0 * along - spot)) > _FAR:
                continue
            start = corner + 0.9 * height * across
            return Mark(LABEL, path=Path.through([start, start + length * along]), text=text, height=height)
    return None
