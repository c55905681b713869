"""Which part of a piece a wedge turned, and which end of it was taken to be the lower one."""

from typing import List

from sewkit.pattern.mark import GRAIN
from sewkit.pattern.piece import Piece
from sewkit.pattern.upright import Down
from sewkit.pattern.wedge_made import WedgeMade
from sewkit.pattern.wedge_places import Beyond
from sewkit.report import Finding, Level


def side_findings(piece: Piece, made: WedgeMade, down: Down, beyond: Beyond) -> List[Finding]:
    """The part that turned and why; and, where it is not known which end is up, what was taken for lower."""
    found = []
    before, after = made.change.parting.sides(0)
    moved = whole_edges(made, after if made.change.fixed == before else before)
    if made.fold is None and moved:
        text = "{}: the part with {} turned; the other stays, for {}."
        text = text.format(piece.name, _listed(moved), _why(piece, made))
        found.append(Finding("which-side", Level.INFO, text, piece.name))
    matters = made.wedge.amount < 0 or made.fold is not None
    if matters and not down.known and not beyond.by_parts:
        lower = whole_edges(made, after if made.wedge.onward else before)
        text = (
            "{}: nothing tells which end of it is up, so what lies lower on the sheet{} was taken to be "
            "below the wedge. If it is above, turn the piece, or give it two levels such as chest and waist."
        )
        text = text.format(piece.name, ", with {},".format(_listed(lower)) if lower else "")
        found.append(Finding("which-end", Level.INFO, text, piece.name))
    return found


def whole_edges(made: WedgeMade, part: int) -> List[str]:
    """The edges that lie wholly in a part, in path order from the cut."""
    opening, hinge = made.wedge.opening.curve, made.wedge.hinge.curve
    count = len(made.old.path)
    follows = part == made.change.parting.sides(0)[1]
    start, stop = (opening, hinge) if follows else (hinge, opening)
    found = [
        ((edge.start - start) % count, edge.name)
        for edge in made.old.edges
        if not any(edge.start <= cut < edge.stop for cut in (opening, hinge))
        and (edge.start - start) % count < (stop - start) % count
    ]
    cut = {made.edge, made.hinge}
    return list(dict.fromkeys(name for _, name in sorted(found) if name not in cut))


def _listed(names: List[str]) -> str:
    return " and ".join("'{}'".format(name) for name in names)


def _why(piece: Piece, made: WedgeMade) -> str:
    if any(fold in made.old.names for fold in piece.folds):
        return "the fold is there"
    if any(mark.kind == GRAIN for mark in piece.marks_for(made.old.size)):
        return "the middle of the grain line is there"
    return "it is the larger one"
