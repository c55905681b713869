"""A dart's legs taken out of an outline, and its edge drawn through where its mouth was.

    piece, made = without_dart(piece, size, "bust-dart")
    made.gained                       # so much longer the edge is than with the dart sewn (mm)

The cloth between the legs stays in the piece: to be eased in or gathered, or as flare.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.bridge import soft
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, end_tangents, is_line, lines, start_tangents, turns
from sewkit.geometry.polygon import contains
from sewkit.geometry.rejoin import rejoined
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.dart import Dart, dart_named
from sewkit.pattern.mark import DRILL, NOTCH, Mark, On
from sewkit.pattern.notch_places import Gain, moved
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.soft_opening import SoftOpening, softened
from sewkit.pattern.spoke_joint import Bit, outline_of

# Both runs lead straight into the mouth if they lean less than this against it (sine: a tenth of
# a millimetre over the widest mouth, below a pencil's width).
_STRAIGHT = 5e-4

# An edge turns at a dart by the dart's angle, because it is straight with the dart closed.  If it
# turns by so much more (degrees) there is a corner of the piece, and no soft line.
_CORNER = 45.0

# A drill mark of a dart is called by the dart's name and this.
_AT_POINT = "-point"


class DartGone(NamedTuple):
    """What became of one size.

    Args:
        outline: without the legs.
        edge: the edge on which the mouth was.
        at: how far from the edge's start the mouth was, as sewn (mm).
        gained: by how much the edge is longer for the line that was drawn over the mouth (mm).
        between: that line.
        lost: names of the marks that went with the dart.
        step: how far that line steps aside of the edge (mm) where there was no room for a softer one.
    """

    outline: Outline
    edge: str
    at: float
    gained: float
    between: Path
    lost: Tuple[str, ...]
    step: float = 0.0


def without_dart(
    piece: Piece, size: str, name: str, whole: bool = True, held: Optional[Sequence[np.ndarray]] = None
) -> Tuple[Piece, DartGone]:
    """The piece with one size's dart taken out and its edge drawn through.

    ``whole``: marks that serve all sizes go along.  ``held``: points (2,) of the edge that shall stay
    on it; with them, the edge is drawn anew as far as one soft line takes (``soft_opening``).
    """
    piece, old = _one_edge(piece, piece.outline(size), name)
    dart = dart_named(piece, old, name)
    before, after = _beside(old, dart)
    edge = old.edges[before].name
    at = _passed(old, before)
    made = _opening(old, dart, held)
    new = _drawn_through(old, before, after, made)
    gain = Gain(edge, at, made.gained)
    marks: List[Mark] = []
    lost: List[str] = []
    for mark in piece.marks:
        mine = mark.size == old.size or (not mark.size and whole)
        new_mark = _after(mark, dart, old, new, gain) if mine else mark
        marks += [] if new_mark is None else [new_mark]
        lost += [mark.name or mark.kind] if new_mark is None else []
    piece = piece._replace(marks=tuple(marks)).with_outline(new)
    used = {one for outline in piece.outlines for one in outline.names}
    # A line nobody named is numbered anew at the end, and that it had darts says so.
    piece = piece._replace(darts=tuple(one for one in piece.darts if one in used or not piece.named))
    return piece, DartGone(new, edge, at, made.gained, made.between, tuple(lost), made.step)


def _opening(outline: Outline, dart: Dart, held: Optional[Sequence[np.ndarray]]) -> SoftOpening:
    """Both sides of a dart's mouth, and the line over it."""
    between = mouth_line(outline, dart)
    before, after = (number % len(outline.edges) for number in _beside(outline, dart))
    sides = _run(outline, before), _run(outline, after)
    # What is meant to be straight or a corner stays so, and one run all round has no second side.
    if held is None or before == after or is_line(between.curves).all():
        return SoftOpening(*sides, between, path_length(between), 0.0)
    return softened(*sides, between, held)


def mouth_line(outline: Outline, dart: Dart) -> Path:
    """The line over a dart's mouth by which its edge goes on: straight where the edge is, else soft.

    Straight too where the mouth lies at a corner of the piece.
    """
    before, after = (_run(outline, number) for number in _beside(outline, dart))
    leaving, arriving = end_tangents(before.curves[-1:])[0], start_tangents(after.curves[:1])[0]
    start, end = dart.mouth
    across = (end - start) / np.hypot(*(end - start))
    turned = abs(float(np.degrees(np.arctan2(_cross(leaving, arriving), leaving @ arriving))))
    ahead = float(across @ leaving) > 0 and float(across @ arriving) > 0
    lean = max(abs(_cross(across, leaving)), abs(_cross(across, arriving)))
    if lean <= _STRAIGHT or not ahead or turned > dart.angle + _CORNER:
        return Path(lines(start[None], end[None]))
    return Path(soft(start, leaving, end, arriving)[None])


def _beside(outline: Outline, dart: Dart) -> Tuple[int, int]:
    """The numbers of the runs before and after a dart."""
    return dart.edges[0] - 1, (dart.edges[1] + 1) % len(outline.edges)


def _run(outline: Outline, number: int) -> Path:
    edge = outline.edges[number]
    return outline.path.part(edge.start, edge.stop)


def _cross(one: np.ndarray, other: np.ndarray) -> float:
    return float(one[0] * other[1] - one[1] * other[0])


def _one_edge(piece: Piece, outline: Outline, name: str) -> Tuple[Piece, Outline]:
    """On a line nobody named both sides of a dart have numbers of their own; they become one edge."""
    dart = dart_named(piece, outline, name)
    before, after = (outline.edges[number].name for number in _beside(outline, dart))
    if before == after or piece.named:
        return piece, outline
    marks = []
    lengths = outline.as_sewn(before), outline.as_sewn(after)
    for mark in piece.marks:
        on = mark.on
        if on is not None and mark.size in (outline.size, "") and on.edge in (before, after):
            own = lengths[0] if on.edge == after and not on.from_end else 0.0
            own += lengths[1] if on.edge == before and on.from_end else 0.0
            mark = mark._replace(on=On(before, on.distance + own, on.from_end))
        marks.append(mark)
    edges = tuple(edge._replace(name=before) if edge.name == after else edge for edge in outline.edges)
    outline = outline._replace(edges=edges)
    return piece._replace(marks=tuple(marks)).with_outline(outline), outline


def _passed(outline: Outline, before: int) -> float:
    """How long an edge is up to the end of one of its runs (mm, as sewn)."""
    last = before % len(outline.edges)
    name = outline.edges[last].name
    numbers = [n for n, edge in enumerate(outline.edges) if edge.name == name and n <= last]
    return float(sum(path_length(_run(outline, number)) for number in numbers))


def _drawn_through(outline: Outline, before: int, after: int, made: SoftOpening) -> Outline:
    """The outline with the line over the mouth in the place of the legs."""
    count = len(outline.edges)
    before %= count
    between = made.between
    sides = {before: made.before, after: made.after}
    numbers = [(after + step) % count for step in range(count - 2)]
    bits = []
    for number in numbers:
        edge = outline.edges[number]
        bits.append(Bit(edge.name, sides.get(number) or _run(outline, number), edge.smooth, number == 0))
    if after == before:
        path = Path(np.concatenate([bits[0].path.curves, between.curves]))
        return outline_of(outline, _cornered(bits[0]._replace(path=path, smooth=None, first=True)))
    first, last = bits[0], bits[-1]
    if first.name == last.name:
        joined = rejoined(rejoined(last.path, between), first.path)
        ring = bits[1:-1] + _cornered(last._replace(path=joined, first=last.first or first.first))
    else:
        drawn_on = _cornered(last._replace(path=rejoined(last.path, between)))
        ring = [first._replace(smooth=None)] + bits[1:-1] + drawn_on
    return outline_of(outline, ring)


def _cornered(bit: Bit) -> List[Bit]:
    """A run with corners inside as runs of its name from corner to corner."""
    bends = np.abs(turns(bit.path)) if len(bit.path) > 1 else np.zeros(0)
    nodes = [0, *(int(node) + 1 for node in np.nonzero(bends > CORNER_TURN)[0]), len(bit.path)]
    paths = [bit.path.part(start, stop) for start, stop in zip(nodes, nodes[1:])]
    return [bit._replace(path=paths[0])] + [Bit(bit.name, path, False) for path in paths[1:]]


def _after(mark: Mark, dart: Dart, old: Outline, new: Outline, gain: Gain) -> Optional[Mark]:
    """A mark of a size after its dart is gone; None where it belonged to the dart."""
    if mark.kind == NOTCH:
        return moved(mark, old, new, [gain])
    if mark.kind != DRILL or mark.path is None or not len(mark.path):
        return mark
    if mark.name == dart.name + _AT_POINT or mark.name.startswith(dart.name + _AT_POINT + "-"):
        return None
    wedge = Path(np.concatenate([dart.first.curves, dart.second.curves, _closing(dart)]), closed=True)
    return mark if mark.name or not contains(wedge, [mark.middle])[0] else None


def _closing(dart: Dart) -> np.ndarray:
    return lines(dart.second.end[None], dart.first.start[None])
