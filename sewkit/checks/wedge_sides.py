"""Which part of a piece a wedge moved, where that cannot be seen from what was asked."""

from typing import List

from sewkit.pattern.mark import GRAIN
from sewkit.pattern.piece import Piece
from sewkit.pattern.upright import Down
from sewkit.pattern.wedge_made import WedgeMade
from sewkit.pattern.wedge_places import Beyond
from sewkit.report import Finding, Level


def side_findings(piece: Piece, made: WedgeMade, down: Down, beyond: Beyond) -> List[Finding]:
    """The side that moved and why, where neither is the lower; else, if unknown, which end did."""
    names = moved_edges(made)
    listed = " and ".join("'{}'".format(name) for name in names)
    if beyond.by_parts:
        if not names:
            return []
        text = "{}: the part with {} moved, and the other stays: {}."
        text = text.format(piece.name, listed, _why(piece, made))
        return [Finding("which-side", Level.INFO, text, piece.name)]
    if down.known or (made.wedge.amount > 0 and made.fold is None):
        return []
    text = (
        "{}: nothing tells which end of it is up, so what lies lower on the sheet{} moved. If that is the "
        "upper end, turn the piece, or give it two levels such as chest and waist."
    )
    text = text.format(piece.name, ", with {},".format(listed) if names else "")
    return [Finding("which-end", Level.INFO, text, piece.name)]


def moved_edges(made: WedgeMade) -> List[str]:
    """The edges that lie wholly in the part that moved, in path order from the cut."""
    opening, hinge = made.wedge.opening.curve, made.wedge.hinge.curve
    count = len(made.old.path)
    after_stays = made.change.fixed == made.change.parting.sides(0)[1]
    start, stop = (hinge, opening) if after_stays else (opening, hinge)
    found = [
        ((edge.start - start) % count, edge.name)
        for edge in made.old.edges
        if not any(edge.start <= cut < edge.stop for cut in (opening, hinge))
        and (edge.start - start) % count < (stop - start) % count
    ]
    cut = {made.edge, made.hinge}
    return list(dict.fromkeys(name for _, name in sorted(found) if name not in cut))


def _why(piece: Piece, made: WedgeMade) -> str:
    if any(fold in made.old.names for fold in piece.folds):
        return "the fold is there"
    if any(mark.kind == GRAIN for mark in piece.marks_for(made.old.size)):
        return "the middle of the grain line is there"
    return "it is the larger one"
