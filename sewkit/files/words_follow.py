"""The maker's words: those beside a mark, such as "waist" at its level, go where the mark went.

They are no label, so no step moves them; left behind, they would name another place.
"""

from typing import Any, Optional

import numpy as np

from sewkit.files.svg_frame import to_sheet
from sewkit.files.svg_names import drawn, hidden, own, tag
from sewkit.pattern.mark import INNER, LENGTHEN, LEVEL, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.units import write_number

# A mark that has moved by less takes no words along (mm).
_MOVED = 0.5

# Marks that are called by the words beside them.
_CALLED = (LEVEL, LENGTHEN, INNER)


def let_words_follow(root: Any, before: Pattern, after: Pattern, old: str, new: str) -> None:
    """Move the words of a drawing that are the name of a mark of their piece.

    Args:
        root: of the drawing, in which ``after`` is drawn; it is changed.
        old, new: the size lines whose marks are compared.
    """
    pieces = {piece.name: (piece, _piece(before, piece.name)) for piece in after.pieces if piece.named}
    for element in list(drawn(root)):
        if tag(element) != "text" or own(element, "role"):
            continue
        name = next((own(one, "piece") for one in element.iterancestors() if own(one, "piece")), None)
        piece, was = pieces.get(name or "", (None, None))
        if piece is None or was is None:
            continue
        words = _plain("".join(element.itertext()))
        way = _way(_mark(was, old, words), _mark(piece, new, words))
        if way is not None and np.hypot(*way) > _MOVED:
            _move(element, way)


def words_beside(root: Any) -> bool:
    """Whether words stand in a drawing that belong to no piece."""
    return any(
        tag(element) == "text"
        and not hidden(element)
        and not own(element, "role")
        and not any(own(one, "piece") for one in element.iterancestors())
        for element in drawn(root)
    )


def _piece(pattern: Pattern, name: str) -> Optional[Piece]:
    return next((piece for piece in pattern.pieces if piece.name == name), None)


def _plain(words: str) -> str:
    return " ".join(words.replace("-", " ").lower().split())


def _mark(piece: Piece, size: str, words: str) -> Optional[Mark]:
    """The only mark of that name in a size."""
    found = [
        mark
        for mark in piece.marks_for(size)
        if mark.kind in _CALLED and words and _plain(mark.name) == words and mark.path is not None
    ]
    return found[0] if len(found) == 1 else None


def _way(was: Optional[Mark], now: Optional[Mark]) -> Optional[np.ndarray]:
    """How far (mm) a mark went; a level is longer or shorter in another size, which moves no words."""
    if was is None or now is None:
        return None
    way = now.middle - was.middle
    if was.kind == INNER:
        return np.asarray(way)
    along = was.shaft.end - was.shaft.start
    length = np.hypot(*along)
    if not length:
        return None
    across = np.array([-along[1], along[0]]) / length
    return np.asarray(across * float(way @ across))


def _move(element: Any, way: np.ndarray) -> None:
    """Move an element by a way on the sheet (mm)."""
    parent = to_sheet(element.getparent()).inverse()
    start, end = parent.points(np.array([[0.0, 0.0], way]))
    moved = "translate({},{})".format(*(write_number(round(float(one), 3)) for one in end - start))
    transform = element.get("transform") or ""
    if not transform.startswith(moved):  # once, however often the pack is written
        element.set("transform", "{} {}".format(moved, transform).strip())
