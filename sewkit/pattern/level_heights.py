"""How deep a garment's levels lie below each other, with the nape, the armhole's floor and the hem.

One piece tells, as a rule the back, for its centre runs from the nape to the hem; what it
lacks is carried over from pieces that have a level in common with it.
"""

from typing import Dict, List, Optional, Sequence, Tuple

import numpy as np

from sewkit.pattern.cross_line import Axis, named_heights
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.upright import down_of

NAPE, ARMHOLE, HEM = "nape", "armhole", "hem"

# Names of the edge in the middle of the back, of the neckline, of the armhole.
CENTRE_BACK = ("centre-back", "center-back", "back-centre", "back-center", "cb")
NECKS = ("neck", "neckline")
ARMHOLES = ("armhole", "armscye")


def level_heights(pattern: Pattern, size: str, names: Sequence[str]) -> Dict[str, float]:
    """Heights along the grain (mm), downwards, by name, on the pieces of such names in one size.

    ``nape``, ``armhole`` and ``hem`` are among them where edges tell.  Only differences of
    heights mean something.  Empty where no piece has a level.
    """
    told = []
    for piece in pattern.pieces:
        outline = outline_of(piece, size)
        if piece.name in names and outline is not None:
            axis = down_of(pattern, piece).of(piece, outline.size)
            levels = named_heights(piece, outline.size, axis)
            if levels:
                told.append((_centre(outline) is not None, len(levels), piece, outline, levels, axis))
    if not told:
        return {}
    # The first of several that tell as much: pieces are in the order of the drawing.
    told.sort(key=lambda one: (not one[0], -one[1]))
    found: Dict[str, float] = {}
    rest = [(piece, outline, levels, axis) for _, _, piece, outline, levels, axis in told]
    while rest:
        near = next((one for one in rest if not found or set(one[2]) & set(found)), None)
        if near is None:
            break
        rest.remove(near)
        piece, outline, levels, axis = near
        own = {**_ends(piece, outline, axis), **levels}
        shift = next((found[name] - levels[name] for name in levels if name in found), 0.0)
        for name, height in own.items():
            found.setdefault(name, height + shift)
    return found


def outline_of(piece: Piece, size: str) -> Optional[Outline]:
    """A piece's outline in a size, or the one that serves all sizes; None where it has neither."""
    named = {outline.size: outline for outline in piece.outlines}
    return named.get(size, named.get(""))


def edge_named(outline: Outline, names: Sequence[str]) -> str:
    """The first of the names that an edge of the outline has; empty where none does."""
    return next((name for name in names if name in outline.names), "")


def _centre(outline: Outline) -> Optional[str]:
    return edge_named(outline, CENTRE_BACK) or None


def _ends(piece: Piece, outline: Outline, axis: Axis) -> Dict[str, float]:
    """Nape, armhole's floor and hem, as far as a piece's edges tell."""
    found: Dict[str, float] = {}
    centre, hem = _centre(outline), edge_named(outline, (*piece.hems, HEM))
    armhole = edge_named(outline, ARMHOLES)
    if centre and edge_named(outline, NECKS):
        found[NAPE] = min(_heights(outline, centre, axis))
    if armhole:
        found[ARMHOLE] = max(_heights(outline, armhole, axis))
    if hem:
        # A shaped hem counts where the length is taken: in the middle of the back.
        found[HEM] = max(_heights(outline, centre or hem, axis))
    return found


def _heights(outline: Outline, edge: str, axis: Axis) -> List[float]:
    """The heights (mm) of both ends of every run of an edge."""
    ends: List[Tuple[float, float]] = [spot for run in outline.runs(edge) for spot in (run.start, run.end)]
    return [float(np.asarray(spot) @ np.asarray(axis)) for spot in ends]
