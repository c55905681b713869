"""What is asked of notches, which ones are meant, and what was done with them: plain values."""

from typing import List, NamedTuple, Optional, Tuple

from sewkit.errors import InputError
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.notch_asked import edges_named
from sewkit.pattern.notch_put import notches_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import Seam

PUT, MOVE, REMOVE, RENAME, CHANGE, SETTLE, APART, MATCH = (
    "put",
    "move",
    "remove",
    "rename",
    "change",
    "settle",
    "apart",
    "match",
)


class Asked(NamedTuple):
    """What is asked for; the values of the operation ``notch``."""

    edge: str = ""
    at: str = ""
    evenly: int = 0
    which: str = ""
    called: str = ""
    count: int = 0
    form: str = "auto"
    ease: str = "auto"
    partner: bool = True
    action: str = PUT


class Told(NamedTuple):
    """One notch that was dealt with: as it is now, or was, on which size of which piece.

    Args:
        was: as it was before; None for a new one.
        partner: it meets a notch of this piece; empty for one that was asked for itself.
    """

    piece: str
    size: str
    mark: Mark
    was: Optional[Mark] = None
    partner: str = ""


class Done(NamedTuple):
    """The pattern, what was done, and where no partner could be put.

    Args:
        missed: piece, edge, size, and why there is no partner; no reason where no seam is known.
        full: seams that could not be told apart, for want of room.
    """

    pattern: Pattern
    told: Tuple[Told, ...] = ()
    missed: Tuple[Tuple[str, str, str, str], ...] = ()
    full: Tuple[Seam, ...] = ()

    def covers(self, piece: str, size: str, mark: Mark) -> bool:
        """Whether a notch was dealt with already."""
        return any(
            (one.piece, one.size, one.mark.name, one.mark.on) == (piece, size, mark.name, mark.on)
            for one in self.told
        )


# A notch: of which piece, in which size.
Found = Tuple[str, str, Mark]


def found_notches(pattern: Pattern, chosen: Chosen, asked: Asked, ask: bool) -> List[Found]:
    """The notches that are meant: those selected, or of the edge, of these names; size by size.

    Args:
        ask: refuse where nothing says which; else all are meant.
    """
    words = [word for word in asked.which.replace(",", " ").replace(";", " ").split() if word]
    if ask and not (words or asked.edge or chosen.marks):
        raise InputError("Which notches?", "Give their names, or their edge, or select them.", code="choice")
    picked: List[Tuple[Piece, Outline, str]] = []
    if asked.edge:
        picked = [(one.piece, one.outline, one.edge) for one in edges_named(pattern, chosen, asked.edge)]
    else:
        picked = [(piece, outline, "") for piece, outline in chosen.picked(pattern)]
    found: List[Found] = []
    known: List[str] = []
    for piece, outline, edge in picked:
        marks = notches_of(piece, outline.size, edge)
        known += [mark.name for mark in marks if mark.name]
        if not asked.edge and asked.action in (SETTLE, REMOVE):
            marks += [m for m in piece.marks_for(outline.size) if m.kind == NOTCH and m.on is None]
        found += [
            (piece.name, outline.size, mark)
            for mark in marks
            if (not words or mark.name in words) and (not chosen.marks or mark.key in chosen.marks)
        ]
    missing = [word for word in words if word not in known]
    if missing or not found:
        text = "There is no notch '{}'".format(missing[0]) if missing else "There are no notches"
        raise InputError(
            "{}{}.".format(text, " on '{}'".format(asked.edge) if asked.edge else ""),
            "Notches there: {}.".format(", ".join(dict.fromkeys(known))) if known else "Put some first.",
            code="notch",
        )
    return sorted(found, key=lambda one: _order(pattern, *one)) if asked.action == RENAME else found


def _order(pattern: Pattern, name: str, size: str, mark: Mark) -> Tuple[int, int, str, float]:
    """Along the edges, piece by piece and size by size."""
    pieces = [piece.name for piece in pattern.pieces]
    outline = pattern.piece(name).outline(size)
    if mark.on is None:
        return pieces.index(name), 0, "", 0.0
    length = outline.as_sewn(mark.on.edge) if mark.on.edge in outline.names else 0.0
    along = length - mark.on.distance if mark.on.from_end else mark.on.distance
    return pieces.index(name), pattern.piece(name).sizes.index(outline.size), mark.on.edge, along
