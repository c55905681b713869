"""Words put on a piece near a spot, but clear of every line and word where there is room."""

from typing import Dict, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.inner_label import inner_label
from sewkit.pattern.label_legend import LETTER, LINE
from sewkit.pattern.label_room import REACH, Room, across_of, room_on
from sewkit.pattern.mark import LABEL, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.piece_label import obstacles

# Heights of the letters that are tried (mm), the largest first.
_HEIGHTS = (7.0, 6.0, 5.0, 4.0)

# Words belong to a spot this near (mm); only where no letters fit there may they stand farther off, and
# beyond the second they say nothing about it any more.
_NEAR, _FAR = (50.0, 150.0)


def with_words(
    piece: Piece,
    words: Sequence[Tuple[str, str, np.ndarray]],
    name: str,
    over: Optional[Sequence[Path]] = None,
) -> Piece:
    """The piece with words for its sizes: one label where all say the same, else a list of them, named.

    Args:
        words: size, words and spot (2,) of each size that has some.
        name: of the marks.
        over: lines over the words that the drawing has, see ``piece_label.labelled``.
    """
    if not words:
        return piece
    alike = len(words) == len(piece.outlines) and len({one[1] for one in words}) == 1
    if alike:
        sizes, lines = [words[0][0] if len(piece.outlines) == 1 else ""], [words[0][1]]
    else:
        sizes = [size for size, _, _ in words]
        lines = ["{}: {}".format(size, text) if size else text for size, text, _ in words]
    drawn = [piece.outline(size) for size, _, _ in words]
    smallest = min(range(len(drawn)), key=lambda number: abs(signed_area(drawn[number].path)))
    spot = words[smallest][2]
    marks = _placed(piece, drawn, drawn[smallest], lines, spot, over) or [
        inner_label(drawn[smallest], line, spot, row) for row, line in enumerate(lines)
    ]
    made = [mark._replace(name=name, size=size) for mark, size in zip(marks, sizes)]
    return piece._replace(marks=(*piece.marks, *made))


def _placed(
    piece: Piece,
    drawn: Sequence[Outline],
    outline: Outline,
    words: Sequence[str],
    spot: np.ndarray,
    over: Optional[Sequence[Path]],
) -> List[Mark]:
    """The words line by line where there is room near the spot; nothing where there is none."""
    if not all(one.path.closed for one in drawn):
        return []
    # The lines of the other sizes of a nest are on the paper too.
    others = (*obstacles(piece, drawn, over), *(one.path for one in piece.outlines))
    letters = max(map(len, words)) * LETTER
    deep = LINE * (len(words) - 1) + 1.2
    # Upright where there is no room along the sheet.
    ways = [np.array([1.0, 0.0]), np.array([0.0, -1.0])]
    reach = min(_FAR + max(letters, deep) * _HEIGHTS[0], REACH)
    rooms: Dict[int, Room] = {}
    for most in (_NEAR, _FAR):
        for number, along in enumerate(ways):
            room = rooms.get(number) or room_on(outline.path, others, along, spot, reach)
            rooms[number] = room
            for height in _HEIGHTS:
                corner = room.place(letters * height, deep * height)
                if corner is not None and _away(corner, letters * height, deep * height, along, spot) <= most:
                    return _lines(words, corner, along, height)
    return []


def _away(corner: np.ndarray, length: float, depth: float, along: np.ndarray, spot: np.ndarray) -> float:
    """How far a block of words is from a spot (mm), from the nearest of its letters."""
    way = spot - corner
    beside = np.array([way @ along, way @ across_of(along)])
    return float(np.hypot(*(beside - np.clip(beside, 0.0, [length, depth]))))


def _lines(words: Sequence[str], corner: np.ndarray, along: np.ndarray, height: float) -> List[Mark]:
    found = []
    for number, text in enumerate(words):
        start = corner + (0.9 + LINE * number) * height * across_of(along)
        line = Path.through([start, start + len(text) * LETTER * height * along])
        found.append(Mark(LABEL, path=line, text=text, height=height))
    return found
