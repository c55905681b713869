"""The cap of a dart: what stands out over its mouth, so that the folded intake is cut with the edge.

    cap_of(piece, outline, dart, "down")     # a Cap, or None where none can be drawn
    caps(piece, outline)                     # of all darts whose pressing side is kept

Pressed to one side, the intake lies under the cloth there and its edge goes on over it.  So the
edge on that side is mirrored in its leg, cut where it meets the line half way between the legs,
and mirrored in that line to the other leg (Erwin, Practical Dress Design: the dart is pinned as
it will be pressed before the seam is cut).  Nothing is drawn beyond what the edge has.
"""

from typing import Dict, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings, crossings_with_line, self_crossings
from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.path import Path, Place, cut, point, start_tangents, turns
from sewkit.geometry.tolerance import CORNER_TURN, SAME_POINT
from sewkit.geometry.transform import mirror
from sewkit.pattern.dart import Dart, darts_of
from sewkit.pattern.mark import INNER, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.pressing import folded_to

# The cap's drawn line is a mark called by this and the dart's name.
PREFIX = "cap-"

# An edge that has not met the half-way line after so many half mouths leans so far along its
# leg that a spike and no cap would come of it; such an edge needs another corner first.
_FARTHEST = 5.0


# A cap begins and ends on the outline; it meets it nowhere farther than this from its ends (mm).
_AT_MOUTH = 1e-3

# What a file's digits leave of a line that is drawn where it was (mm).
_ROUNDED = 1e-6


class Cap(NamedTuple):
    """The cap of one dart of one size.

    Args:
        dart: the dart's name.
        path: from the first end of the mouth over the peak to the second, in path order (mm).
        peak: where both halves meet, (2,) mm.
        stand_out: how far the peak stands out beyond the straight line over the mouth (mm);
            below 0 where it dips inside.
        edge: the edge that it continues.
        corner: whether it goes round a corner of the piece.
    """

    dart: str
    path: Path
    peak: np.ndarray
    stand_out: float
    edge: str
    corner: bool = False


def cap_of(piece: Piece, outline: Outline, dart: Dart, side: str) -> Optional[Cap]:
    """The cap of a dart pressed to a side; None where its edge does not cover the intake.

    ``side`` is one of ``piece.SIDES``.
    """
    over = folded_to(piece, outline, dart, side)
    mouth = dart.mouth
    across = mouth[1] - mouth[0]
    width = float(np.hypot(*across))
    if width <= SAME_POINT:
        return None
    half, corner = _half(piece, outline, dart, over, width)
    if half is None:
        return None
    outward = np.array([across[1], -across[0]]) / width
    outward = outward if outward @ dart.axis >= 0 else -outward
    other = mirror(dart.middle, outward).path(half)
    first, second = (half, other) if over == 0 else (other, half)
    curves = np.concatenate([first.curves, second.reverse().curves])
    curves[0, 0], curves[-1, 3] = mouth
    curves[len(first), 0] = curves[len(first) - 1, 3]
    if not _clear(outline, dart, Path(curves)):
        return None
    peak = curves[len(first), 0].copy()
    edge = outline.edges[_beside(outline, dart, over)[0]].name
    return Cap(dart.name, Path(curves), peak, float((peak - dart.middle) @ outward), edge, corner)


def caps(piece: Piece, outline: Outline) -> Dict[int, Cap]:
    """The caps of the darts whose pressing side is kept, by the number of each dart's first leg."""
    if not piece.pressed:
        return {}
    found = {}
    for dart in darts_of(piece, outline):
        side = piece.pressed.get(dart.name)
        cap = cap_of(piece, outline, dart, side) if side else None
        if cap is not None:
            found[dart.edges[0]] = cap
    return found


def without_cap(piece: Piece, outline: Outline) -> Tuple[Dart, ...]:
    """The darts whose pressing side is kept and whose edge does not cover the intake."""
    made = caps(piece, outline)
    darts = darts_of(piece, outline) if piece.pressed else ()
    return tuple(dart for dart in darts if dart.name in piece.pressed and dart.edges[0] not in made)


def with_cap_marks(piece: Piece, size: str) -> Piece:
    """The piece with the caps of one size drawn anew on its seam line; those of lost darts are gone."""
    outline = piece.outline(size)
    made = {cap.dart: cap.path for cap in caps(piece, outline).values()}
    kept: List[Mark] = []
    for mark in piece.marks:
        if not _is_cap(mark) or mark.size != outline.size:
            kept.append(mark)
            continue
        path = made.pop(mark.name[len(PREFIX) :], None)
        if path is not None:
            kept.append(drawn_at(mark, path))
    kept += [Mark(INNER, PREFIX + name, outline.size, path) for name, path in made.items()]
    return piece if tuple(kept) == piece.marks else piece._replace(marks=tuple(kept))


def drawn_at(mark: Mark, path: Path) -> Mark:
    """A mark drawn along a path; the very same where it lies there already, but for rounding."""
    old = mark.path
    if old is not None and old.closed == path.closed and old.curves.shape == path.curves.shape:
        if not len(path) or np.abs(old.curves - path.curves).max() <= _ROUNDED:
            return mark
    return mark._replace(path=path)


def _is_cap(mark: Mark) -> bool:
    return mark.kind == INNER and mark.name.startswith(PREFIX)


def _half(piece: Piece, outline: Outline, dart: Dart, over: int, width: float) -> Tuple[Optional[Path], bool]:
    """The cap from its own end of the mouth to the half-way line; and whether a corner is in it."""
    leg = dart.first if over == 0 else dart.second.reverse()
    edge = _edge_from(piece, outline, dart, over, _FARTHEST * width / 2.0)
    if edge is None:
        return None, False
    # A bent leg is folded along its direction at the mouth: there the intake lies on the cloth.
    folded = mirror(leg.start, start_tangents(leg.curves[:1])[0]).path(edge)
    across = dart.mouth[1] - dart.mouth[0]
    square = np.array([across[1], -across[0]])
    for place in crossings_with_line(folded, dart.middle, square):
        spot = point(folded.curves[place.curve][None], place.t)[0]
        if place > Place(0, 0.0) and (spot - dart.point) @ dart.axis > 0:
            half = cut(folded, Place(0, 0.0), place)
            bends = np.abs(turns(half)) if len(half) > 1 else np.zeros(1)
            return half, bool(bends.max() > CORNER_TURN)
    return None, False


def _clear(outline: Outline, dart: Dart, path: Path) -> bool:
    """Whether a cap crosses neither itself nor the outline; a hook at the mouth makes it do so."""
    met = [crossing.point for crossing in crossings(path, outline.path)]
    away = [float(np.hypot(*(dart.mouth - spot).T).min()) for spot in met]
    return max(away, default=0.0) <= _AT_MOUTH and not self_crossings(path)


def _edge_from(piece: Piece, outline: Outline, dart: Dart, over: int, reach: float) -> Optional[Path]:
    """The outline from one end of the mouth away from the dart, ``reach`` mm of it at most.

    It ends before a fold, behind which the cloth goes on, and before another dart.
    """
    curves: List[np.ndarray] = []
    length = 0.0
    for number in _beside(outline, dart, over):
        edge = outline.edges[number]
        if edge.name in piece.darts or edge.name == dart.name or (curves and edge.name in piece.folds):
            break
        part = outline.path.part(edge.start, edge.stop)
        curves.append(part.curves if over else part.reverse().curves)
        length += path_length(part)
        if length >= reach:
            break
    if not curves:
        return None
    run = Path(np.concatenate(curves))
    return run if length <= reach else cut(run, Place(0, 0.0), place_at(run, reach))


def _beside(outline: Outline, dart: Dart, over: int) -> List[int]:
    """The numbers of the edges away from one end of a dart's mouth, its own legs left out."""
    count = len(outline.edges)
    start, step = (dart.edges[1], 1) if over else (dart.edges[0], -1)
    return [(start + step * number) % count for number in range(1, count - 1)]
