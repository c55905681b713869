"""How much of an edge may change when its end is smoothed: so far, or up to its next notch."""

from sewkit.geometry.length import path_length
from sewkit.pattern.joined_edges import Arm
from sewkit.pattern.notch import notches_on
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.smoothed import along

# No edge gives more than this share of its length at one end, so that the other end has its own.
_SHARE = 0.45

# A notch nearer than this to the corner (mm) bounds nothing: no line bends softly in less.
_LEAST = 20.0


def reach_of(piece: Piece, outline: Outline, arm: Arm, wanted: float) -> float:
    """How much (mm) of an arm may change, of what is wanted."""
    length = path_length(arm.path)
    corner = along(outline, arm.edge, arm.stop if arm.at_stop else arm.start)
    reach = min(wanted, _SHARE * length)
    for _, distance in notches_on(piece.marks_for(outline.size), outline, arm.edge):
        away = corner - distance if arm.at_stop else distance - corner
        if _LEAST <= away < reach:
            reach = away
    return reach
