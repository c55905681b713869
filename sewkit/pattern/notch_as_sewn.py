"""Places of notches as sewn, with darts closed that are cut in or only drawn.

    on = as_drawn(piece, outline, On("side", 60.0))  # 60 mm as sewn; beyond a mouth it lies further
    near, far = from_ends(piece, outline, on)        # as sewn, from its upper or left end and the other

The place that a notch keeps counts along the line as it is drawn; only darts that are cut in are left
out of it, since the mouth of a drawn one is a part of the line.
"""

from typing import Sequence, Tuple

from sewkit.errors import InputError
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.edge_places import counts_from_end
from sewkit.pattern.mark import DART, On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.sewn_to import Mouths, mouths_on, with_mouths, without_mouths

# A place so near to a foot of a dart (mm) is there, and not within its mouth.
_ROUNDING = 1e-3


def mouths_of(piece: Piece, outline: Outline, edge: str) -> Mouths:
    """From where to where along an edge (mm) the mouths of its drawn darts lie, in order."""
    if not any(mark.kind == DART for mark in piece.marks):
        return ()
    return mouths_on(piece, outline, edge)


def length_as_sewn(piece: Piece, outline: Outline, edge: str) -> float:
    """The length of an edge (mm) with all its darts closed."""
    return without_mouths(outline.as_sewn(edge), mouths_of(piece, outline, edge))


def as_drawn(piece: Piece, outline: Outline, on: On) -> On:
    """The place along the line of one whose distance is as sewn; ``InputError`` beyond the edge."""
    mouths = mouths_of(piece, outline, on.edge)
    if not mouths:
        return on
    whole = outline.as_sewn(on.edge)
    sewn = without_mouths(whole, mouths)
    if on.distance > sewn + _ROUNDING:
        raise InputError(
            "{:g} mm is not on {}, which is {:.1f} mm long with its darts closed.".format(
                on.distance, quoted(outline, on.edge), sewn
            ),
            "Give a place between its ends.",
            code="value",
        )
    along = with_mouths(sewn - on.distance if on.from_end else on.distance, mouths)
    return on._replace(distance=whole - along if on.from_end else along)


def from_ends(piece: Piece, outline: Outline, on: On) -> Tuple[float, float]:
    """How far a place lies as sewn (mm) from the upper or left end of its edge, and from the other."""
    mouths = mouths_of(piece, outline, on.edge)
    along = without_mouths(distance_from_start(outline, on), mouths)
    rest = without_mouths(outline.as_sewn(on.edge), mouths) - along
    return (rest, along) if counts_from_end(piece, outline, on.edge) else (along, rest)


def refuse_mouths(piece: Piece, outline: Outline, ons: Sequence[On]) -> None:
    """``InputError`` where a place lies within the mouth of a drawn dart: sewn, there is no edge."""
    for on in ons:
        along = distance_from_start(outline, on)
        for low, high in mouths_of(piece, outline, on.edge):
            if low + _ROUNDING < along < high - _ROUNDING:
                raise InputError(
                    "A place on {} lies in the mouth of a dart, {:.1f} mm from its side.".format(
                        quoted(outline, on.edge), min(along - low, high - along)
                    ),
                    "Give one beside the dart.",
                    code="value",
                )
