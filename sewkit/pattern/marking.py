"""A line on a piece made a mark, or a mark made another one, because somebody said so."""

from typing import List, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import contains, signed_area
from sewkit.pattern.fold import FOLD_EDGE, fold_edge, fold_spot
from sewkit.pattern.mark import FOLD, INNER, LABEL, LEVEL, NOTCH, Mark
from sewkit.pattern.notch import place_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece

# A notch sits on the outline, or an allowance away from it; further off it is none (mm).  A
# line within as much of an outline may belong to its piece.
_REACH = 30.0


def as_kind(mark: Mark, piece: Piece, kind: str, name: str, size: str) -> Mark:
    """The same line as a mark of another kind; somebody said so, so it is no guess."""
    if mark.text or mark.kind == LABEL:
        raise InputError(
            "'{}' on '{}' is writing, which is always a label.".format(mark.text, piece.name),
            "Select lines only.",
            code="role",
        )
    if size and size != "all" and size not in piece.sizes:
        raise InputError(
            "The piece '{}' has no size '{}'.".format(piece.name, size),
            "Its sizes are: {}; all stands for all of them.".format(
                ", ".join(filter(None, piece.sizes)) or "none"
            ),
            code="nest",
        )
    kept = mark.name if mark.kind == kind else ""
    if kind == LEVEL and not (name or kept):
        raise InputError("A level needs a name.", "Give one, such as waist or hip.", code="name")
    made = mark._replace(kind=kind, name=name or kept, on=None, count=1, guess=0.0)
    made = made._replace(size="" if size == "all" else size or mark.size)
    return _as_notch(made, piece) if kind == NOTCH else made


def _as_notch(mark: Mark, piece: Piece) -> Mark:
    """A notch with its place on the outline of its size, else on the nearest one."""
    if mark.path is None or not len(mark.path) or not piece.outlines:
        raise InputError(
            "'{}' has no outline for a notch.".format(piece.name), "Name it first.", code="notch"
        )
    runs = _runs(mark.path)
    own = [outline for outline in piece.outlines if outline.size == mark.size] or list(piece.outlines)

    def feet(path: Path) -> Tuple[float, np.ndarray]:
        near = [min((nearest(path, node) for node in run), key=lambda n: n.distance) for run in runs]
        return max(n.distance for n in near), np.mean([n.point for n in near], axis=0)

    outline = min(own, key=lambda one: feet(one.path)[0])
    away, foot = feet(outline.path)
    if away > _REACH:
        raise InputError(
            "The line lies {:.0f} mm from the outline of '{}', so it is no notch of it.".format(
                away, piece.name
            ),
            "Select a tick on the outline, or give the size it belongs to.",
            code="notch",
        )
    return mark._replace(size=outline.size, on=place_of(outline, foot), count=len(runs))


def _runs(path: Path) -> List[np.ndarray]:
    """The nodes of each run of a line; a double notch is drawn as two."""
    apart = np.abs(path.curves[1:, 0] - path.curves[:-1, 3]).max(axis=1) > 0.01
    parts = np.split(path.curves, np.flatnonzero(apart) + 1)
    return [part[:, [0, 3]].reshape(-1, 2) for part in parts]


def unfolded(piece: Piece, mark: Mark) -> Piece:
    """The piece without the fold that a mark, now taken for something else, had given it."""
    spot = fold_spot(mark, piece)
    if spot is None or sum(one.kind == FOLD for one in piece.marks) > 1:
        return piece
    given = fold_edge(piece, spot)
    if given != FOLD_EDGE:
        return piece  # somebody else has named that edge
    return piece._replace(folds=tuple(name for name in piece.folds if name != given))


def lies_on(line: Piece, pattern: Pattern) -> Piece:
    """The smallest named piece on which a bare line lies, or beside whose outline it stands."""
    path = line.outlines[0].path
    middle = Mark(INNER, path=path).middle
    holding: List[Tuple[float, Piece]] = []
    for piece in pattern.pieces:
        for outline in piece.outlines if piece.named else ():
            inside = contains(outline.path, middle[None])[0] if outline.path.closed else False
            if inside or nearest(outline.path, middle).distance <= _REACH:
                holding.append((abs(signed_area(outline.path)), piece))
    if not holding:
        raise InputError(
            "'{}' lies on no piece that has a name.".format(line.name),
            "Name the piece first, or move the line onto it.",
            code="choice",
        )
    return min(holding, key=lambda one: one[0])[1]
