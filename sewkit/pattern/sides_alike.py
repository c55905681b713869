"""Whether a left and a right piece are still each other's mirror image, wherever they lie."""

from typing import List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, point
from sewkit.geometry.transform import Transform
from sewkit.pattern.mark import BUTTON, BUTTONHOLE, DART, DOT, DRILL, LEVEL, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import shown

# Places on each curve that are compared.
_COMPARED = np.linspace(0.0, 1.0, 9)[:-1]

# Marks that both sides must have at the same place.
_PAIRED = (DRILL, DOT, BUTTON, BUTTONHOLE, DART, LEVEL)

# What must be said alike of both.
_KEPT = ("folds", "hems", "darts", "allowance", "corners", "pressed", "cloth", "cut")


class Unlike(NamedTuple):
    """Where two sides differ: in words, by how much (mm), and where on the piece that is kept (2,)."""

    text: str
    off: float = 0.0
    at: Optional[Tuple[float, float]] = None


def unlike(kept: Piece, other: Piece, limit: float) -> List[Unlike]:
    """All in which the other piece is not the mirror image of the kept one, by more than ``limit`` mm."""
    words = [word for word in _KEPT if getattr(kept, word) != getattr(other, word)]
    found = [Unlike("their {} are not the same".format(word)) for word in words]
    if kept.sizes != other.sizes or any(
        [e.name for e in a.edges] != [e.name for e in b.edges] for a, b in zip(kept.outlines, other.outlines)
    ):
        return [*found, Unlike("they have not the same sizes and edges")]
    back = _move(kept.outlines[0], other.outlines[0])
    for mine, there in zip(kept.outlines, other.outlines):
        one = _apart(mine, there, back, shown(kept, mine.size))
        found += [one] if one.off > limit else []
        found += _marks(kept, other, mine.size, back, limit)
    return found


def _move(kept: Outline, other: Outline) -> Transform:
    """The rigid move, with a reflection, that brings the other outline nearest to the one that is kept.

    The least squares of the distances of corresponding nodes (Kabsch 1976, with the sign turned).
    """
    mine, there = kept.path.nodes, other.path.nodes
    if len(mine) != len(there):
        mine, there = (np.array([o.path.curves[e.start, 0] for e in o.edges]) for o in (kept, other))
    a, b = mine.mean(axis=0), there.mean(axis=0)
    u, _, v = np.linalg.svd((there - b).T @ (mine - a))
    sign = -1.0 if np.linalg.det(u @ v) > 0 else 1.0
    matrix = u @ np.diag([1.0, sign]) @ v  # row vectors: there @ matrix = mine
    shift = a - b @ matrix
    return Transform(*(float(x) for x in (*matrix[0], *matrix[1], *shift)))


def _apart(mine: Outline, there: Outline, back: Transform, where: str) -> Unlike:
    """How far two outlines lie apart at most."""
    paths = mine.path, back.path(there.path)
    off, at = 0.0, paths[0].start
    same = paths[0].curves.shape == paths[1].curves.shape
    if same and np.abs(paths[0].curves - paths[1].curves).max(initial=0.0) <= 1e-6:
        return Unlike("")
    for one, two in (paths, paths[::-1]):
        for spot in _spots(one):
            near = nearest(two, spot)
            if near.distance > off:
                off, at = near.distance, spot if one is paths[0] else near.point
    edge = min(mine.edges, key=lambda e: nearest(mine.path.part(e.start, e.stop), at).distance).name
    text = "{}: they differ by {:.2f} mm, most at the edge '{}' near ({:.0f}, {:.0f}) mm".format(
        where, off, edge, *at
    )
    return Unlike(text, off, (float(at[0]), float(at[1])))


def _spots(path: Path) -> np.ndarray:
    t = np.broadcast_to(_COMPARED, (len(path), len(_COMPARED)))
    return point(path.curves, t).reshape(-1, 2)


def _marks(kept: Piece, other: Piece, size: str, back: Transform, limit: float) -> List[Unlike]:
    """Notches and marks that only one of both has, or that lie elsewhere."""
    mine = _placed(kept, size)
    there = [(words, back.points(spot)) for words, spot in _placed(other, size)]
    lone = [w for a, b in ((mine, there), (there, mine)) for w, spot in a if not _met(w, spot, b, limit)]
    where = shown(kept, size)
    return [Unlike("{}: only one has {} there".format(where, words)) for words in dict.fromkeys(lone)]


def _met(words: str, spot: np.ndarray, those: List[Tuple[str, np.ndarray]], limit: float) -> bool:
    return any(w == words and float(np.hypot(*(s - spot))) <= limit for w, s in those)


def _placed(piece: Piece, size: str) -> List[Tuple[str, np.ndarray]]:
    found = []
    for mark in piece.marks_for(size):
        spot = _spot(mark, piece.outline(size))
        if spot is not None:
            found.append(("{} {}".format(mark.kind, mark.name).strip(), spot))
    return found


def _spot(mark: Mark, outline: Outline) -> Optional[np.ndarray]:
    if mark.on is not None:
        found = spot_of(outline, mark.on) if mark.on.edge in outline.names else None
        return None if found is None else found.point
    if mark.kind not in _PAIRED or mark.path is None or not len(mark.path):
        return None
    return mark.middle
