"""Sizes that are drawn twice: as a cut line and as a seam line within it, or any other second line.

While sizes are told apart and named only the outer line counts, beside which the words stand;
then the seam line takes its place.
"""

from typing import Dict, FrozenSet, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.sheet.drawn import Whole
from sewkit.sheet.groups_apart import size_named
from sewkit.sheet.groups_keys import Body, Partition, bodies, style_key
from sewkit.sheet.nest_shapes import NESTED, SMALLEST, Shapes, near, overlap, spread

# A seam allowance keeps its width within so much (mm) for that part of the way around (the
# hem has another, a fold has none), is the same on all pieces within as much, and lies
# within these limits (mm).
_EVEN, _MOSTLY, _SHARED = 0.5, 0.6, 1.0
_LEAST, _WIDEST, _LOOKS = 4.0, 30.0, 200
# Lines no further apart than this (mm), nearly all the way, are one line drawn twice.
_ONE_LINE, _ALL = 0.3, 0.9
# Around a small piece an allowance takes much of the box: the boxes share at least this
# part, and their middles lie as near as this part of the larger box's diagonal.
_SHARE, _MIDDLE = 0.3, 0.05


class Pair(NamedTuple):
    """Two lines, or rows of lines, around one piece in one size, by their numbers.

    ``allowance``: how far apart (mm) they run nearly all the way; 0 where they do not.
    ``same``: they lie on each other.
    """

    outer: Tuple[int, ...]
    inner: Tuple[int, ...]
    allowance: float
    same: bool = False


class Twice(NamedTuple):
    """All pairs, and whether layers that sizes name tell them; else colours or dashes do."""

    pairs: Tuple[Pair, ...]
    by_layers: bool

    @property
    def inner(self) -> FrozenSet[int]:
        """Numbers of all inner lines."""
        return frozenset(line for pair in self.pairs for line in pair.inner)


def drawn_twice(lines: Sequence[Whole], shapes: Shapes) -> Twice:
    """Find them; no pairs where every size is drawn once."""
    sizes = [size_named(line) for line in lines]
    if len(set(sizes) - {""}) > 1:
        return Twice(_second_lines(lines, shapes, sizes), True)
    keys = [style_key(line.style) for line in lines]
    colours, rhythms = [key[0] for key in keys], [key[3] for key in keys]
    for size, kind in ((colours, rhythms), (rhythms, colours)):
        pairs = _seam_lines(lines, shapes, size, kind)
        if pairs:
            return Twice(pairs, False)
    return Twice((), False)


def _second_lines(lines: Sequence[Whole], shapes: Shapes, sizes: Sequence[str]) -> Tuple[Pair, ...]:
    """Pairs in the layers of one size."""
    pairs: List[Pair] = []
    for cluster in _clusters(lines, shapes, [size or None for size in sizes]):
        outer = cluster[0]
        for inner in cluster[1:]:
            pair = _pair(shapes, outer, inner)
            if pair.allowance or pair.same or (_closed(shapes, outer) and _closed(shapes, inner)):
                pairs.append(pair)
    even = [pair for pair in pairs if pair.allowance]
    seam = len(even) > len([pair for pair in pairs if not pair.same]) / 2
    return tuple(pair if seam else pair._replace(allowance=0.0) for pair in pairs)


def _seam_lines(
    lines: Sequence[Whole], shapes: Shapes, size: Sequence[object], kind: Sequence[object]
) -> Tuple[Pair, ...]:
    """Pairs that one property tells to be one size, where another tells cut lines from seam lines."""
    found: List[Pair] = []
    for cluster in _clusters(lines, shapes, size):
        if len(cluster) > 2:
            return ()
        if len(cluster) == 2:
            found.append(_pair(shapes, *cluster))
    kinds = {(kind[pair.outer[0]], kind[pair.inner[0]]) for pair in found}
    owners = {size[pair.outer[0]] for pair in found}
    widths = [pair.allowance for pair in found]
    if len(owners) < 2 or len(kinds) > 1 or not all(outer != inner for outer, inner in kinds):
        return ()
    return tuple(found) if min(widths) > 0.0 and max(widths) - min(widths) <= 2 * _EVEN else ()


def _clusters(lines: Sequence[Whole], shapes: Shapes, keys: Sequence[object]) -> List[List[Body]]:
    """Bodies of one key (None is none) around one piece, the largest first."""
    numbers: Dict[object, int] = {}
    part = tuple(numbers.setdefault(key, len(numbers)) for key in keys)
    names = tuple(str(key) for key in numbers)
    nothing = Partition(
        names, ("",) * len(names), tuple(lines[part.index(n)].style for n in numbers.values()), part
    )
    found: List[List[Body]] = []
    for body in sorted(bodies(lines, shapes, nothing), key=lambda body: -_area(body)):
        if keys[body.lines[0]] is None:
            continue
        for cluster in found:
            if cluster[0].part == body.part and _around_one_piece(cluster[0], body):
                cluster.append(body)
                break
        else:
            found.append([body])
    return found


def _area(body: Body) -> float:
    return float(np.prod(body.box[2:] - body.box[:2]))


def _around_one_piece(outer: Body, inner: Body) -> bool:
    share = float(overlap(outer.box, np.array([inner.box]))[0])
    away = np.hypot(*(outer.box[:2] + outer.box[2:] - inner.box[:2] - inner.box[2:])) / 2
    near_middle = bool(away <= _MIDDLE * np.hypot(*(outer.box[2:] - outer.box[:2])))
    return share > NESTED or (share > _SHARE and near_middle)


def _closed(shapes: Shapes, body: Body) -> bool:
    return len(body.lines) == 1 and bool(
        shapes.closed[body.lines[0]] and shapes.areas[body.lines[0]] >= SMALLEST
    )


def _pair(shapes: Shapes, outer: Body, inner: Body) -> Pair:
    spots = np.concatenate([spread(shapes.points[line], _LOOKS) for line in inner.lines])
    away = np.full(len(spots), np.inf)
    for line in outer.lines:
        away = np.minimum(away, near(shapes.points[line], shapes.along[line], spots).distance)
    if (away <= _ONE_LINE).mean() >= _ALL:
        return Pair(outer.lines, inner.lines, 0.0, True)
    apart = away[away > _SHARED]
    middle = float(np.median(apart)) if len(apart) else 0.0
    even = (np.abs(apart - middle) <= _EVEN).sum() >= _MOSTLY * max(len(apart), 1)
    return Pair(outer.lines, inner.lines, middle if even and _LEAST <= middle <= _WIDEST else 0.0)
