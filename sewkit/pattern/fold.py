"""Which edge lies on the fold, told by a point beside it."""

from typing import Optional, Tuple

import numpy as np

from sewkit.geometry.nearest import nearest
from sewkit.pattern.mark import Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

# What an edge that only had a number is called when it is found to lie on the fold.
FOLD_EDGE = "fold"

# An edge further from the point than this is not meant (mm): the arrows of a fold bracket
# end at the edge or, where it stands within an allowance, one allowance short of it.
_REACH = 25.0


def fold_edge(piece: Piece, spot: Tuple[float, float]) -> str:
    """The name of the edge nearest to a point, within reach of it; empty where there is none."""
    best, found = _REACH, ""
    for outline in piece.outlines:
        place = nearest(outline.path, spot)
        if place.distance < best:
            best, found = place.distance, _edge_at(outline, place.place.curve)
    return found


def on_fold(piece: Piece, spot: Tuple[float, float]) -> Piece:
    """The piece with the edge at a point on the fold; as it was where there is none.

    An edge that has only a number, the same in all sizes, is called ``FOLD_EDGE`` from then on.
    """
    name = fold_edge(piece, spot)
    taken = {one for outline in piece.outlines for one in outline.names}
    if name.isdigit() and FOLD_EDGE not in taken:
        piece, name = _renamed(piece, name, FOLD_EDGE), FOLD_EDGE
    if not name or name in piece.folds:
        return piece
    return piece._replace(folds=piece.folds + (name,))


def fold_spot(mark: Mark, piece: Piece) -> Optional[Tuple[float, float]]:
    """The point of the outline to which a fold mark points: where it comes nearest to it.

    A bracket touches the edge, or ends before it, with the tips of its two arrows; the point
    lies half way between, on the edge.  None for a mark or a piece that is not drawn.
    """
    if mark.path is None or not len(mark.path) or not piece.outlines:
        return None
    outline = min(piece.outlines, key=lambda o: nearest(o.path, mark.middle).distance)
    nodes = mark.path.curves[:, [0, 3]].reshape(-1, 2)
    away = np.array([nearest(outline.path, node).distance for node in nodes])
    tips = nodes[away <= away.min() + 1.0]
    middle = (tips.min(axis=0) + tips.max(axis=0)) / 2.0
    spot = nearest(outline.path, middle).point
    return float(spot[0]), float(spot[1])


def _edge_at(outline: Outline, curve: int) -> str:
    return next(edge.name for edge in outline.edges if edge.start <= curve < edge.stop)


def _renamed(piece: Piece, old: str, new: str) -> Piece:
    """The piece with one of its edges called otherwise, in all its sizes and lists."""

    def called(name: str) -> str:
        return new if name == old else name

    outlines = tuple(
        outline._replace(edges=tuple(edge._replace(name=called(edge.name)) for edge in outline.edges))
        for outline in piece.outlines
    )
    marks = tuple(
        mark if mark.on is None else mark._replace(on=mark.on._replace(edge=called(mark.on.edge)))
        for mark in piece.marks
    )
    rules = {
        (called(a), called(b)): rule._replace(leads=called(rule.leads))
        for (a, b), rule in piece.corners.items()
    }
    return piece._replace(
        outlines=outlines,
        marks=marks,
        folds=tuple(map(called, piece.folds)),
        hems=tuple(map(called, piece.hems)),
        darts=tuple(map(called, piece.darts)),
        allowance={called(name): width for name, width in piece.allowance.items()},
        corners=rules,
        pressed={called(name): side for name, side in piece.pressed.items()},
    )
