"""Which closed outlines are one piece in several sizes, and which are none."""

from typing import Callable, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import turns
from sewkit.pattern.outline import corner_nodes
from sewkit.sheet.drawn import Words
from sewkit.sheet.nest_close import Ring
from sewkit.sheet.nest_graph import EVERYBODY
from sewkit.sheet.nest_inside import word_spots
from sewkit.sheet.nest_shapes import NESTED, inside, overlap, within

# Middles of a small and a large size of one piece lie this near (part of the larger box's
# diagonal), where the sizes differ so much that their boxes hardly agree; and so much of
# the box they must at least share.
_SAME_MIDDLE, _AT_LEAST = 0.12, 0.3
# A corner that turns by more than this (degrees) is the point of a dart.
_POINTED = 140.0
# Sides of test squares (mm) are whole multiples of one of these, within half a percent.
_UNITS, _UNIT_PART = (10.0, 12.7), 0.005
_LARGEST_SQUARE = 210.0
_MEASURES = ("cm", "mm", "inch", '"', "''", "test", "square", "scale", "quadrat", "carré", "1:1")


class Nest(NamedTuple):
    """Outlines of one piece, the largest first."""

    rings: Tuple[Ring, ...]

    @property
    def owners(self) -> Tuple[int, ...]:
        """Numbers of the groups its outlines are of."""
        return tuple(ring.owner for ring in self.rings)

    @property
    def largest(self) -> Ring:
        """The outline with the largest area."""
        return self.rings[0]


class Sorted(NamedTuple):
    """Nests that are pieces; rings that are inner lines; rings that are no part of a piece."""

    pieces: Tuple[Nest, ...]
    inner: Tuple[Ring, ...]
    squares: Tuple[Ring, ...]
    frames: Tuple[Ring, ...]
    doubled: Tuple[Ring, ...]


def nested(rings: Sequence[Ring], alike: bool = False) -> List[Nest]:
    """Put outlines together that are one piece.

    No two of one group are, unless ``alike``: then nothing but their place tells.
    """
    nests: List[List[Ring]] = []
    boxes = np.zeros((0, 4))
    for ring in sorted(rings, key=lambda ring: (-ring.area, ring.lines)):
        share = overlap(ring.box, boxes)
        best, best_share = -1, 0.0
        for number in np.flatnonzero(share > _AT_LEAST):
            nest = nests[number]
            taken = not alike and ring.owner in [other.owner for other in nest]
            mixed = EVERYBODY in (ring.owner, nest[0].owner) and not alike
            if taken or mixed or share[number] <= best_share:
                continue
            if share[number] > NESTED or _same_middle(ring, nest[-1]):
                best, best_share = int(number), float(share[number])
        if best < 0:
            nests.append([ring])
            boxes = np.vstack([boxes, ring.box])
        else:
            nests[best].append(ring)
            boxes[best] = ring.box
    return [Nest(tuple(nest)) for nest in nests]


def _same_middle(ring: Ring, other: Ring) -> bool:
    low, high = np.array(other.box[:2]), np.array(other.box[2:])
    middle = (np.array(ring.box[:2]) + ring.box[2:]) / 2
    return bool(np.hypot(*(middle - (low + high) / 2)) <= _SAME_MIDDLE * np.hypot(*(high - low)))


def sort_out(nests: Sequence[Nest], words: Sequence[Words], grain: np.ndarray) -> Sorted:
    """Tell pieces from everything else that is closed and large.

    ``grain``: middles ``(k, 2)`` of long straight lines.
    """
    spots = np.array([word_spots(word)[1] for word in words]).reshape(-1, 2)
    frames, rest = _parted(nests, lambda nest: _is_frame(nest, nests))
    squares, rest = _parted(rest, lambda nest: _is_square(nest, words, spots))
    pieces: List[Nest] = []
    inner: List[Nest] = []
    doubled: List[Nest] = []
    boxes = np.array([nest.largest.box for nest in rest]).reshape(-1, 4)
    for nest in rest:
        hosts = _hosts(nest, rest, boxes)
        if not hosts:
            pieces.append(nest)
        elif any(overlap(nest.largest.box, np.array([host.largest.box]))[0] > NESTED for host in hosts):
            doubled.append(nest)
        elif _is_own(nest, words, spots, grain):
            pieces.append(nest)
        else:
            inner.append(nest)
    return Sorted(
        tuple(pieces),
        tuple(ring for nest in inner for ring in nest.rings),
        tuple(nest.largest for nest in squares),
        tuple(ring for nest in frames for ring in nest.rings),
        tuple(ring for nest in doubled for ring in nest.rings),
    )


def _parted(nests: Sequence[Nest], chosen: Callable[[Nest], bool]) -> Tuple[List[Nest], List[Nest]]:
    """Those that are chosen, and the others."""
    found: Tuple[List[Nest], List[Nest]] = ([], [])
    for nest in nests:
        found[0 if chosen(nest) else 1].append(nest)
    return found


def _hosts(nest: Nest, rest: Sequence[Nest], boxes: np.ndarray) -> List[Nest]:
    """Nests whose largest outline surrounds the whole of this one."""
    around = [
        number
        for number, box in enumerate(boxes)
        if rest[number] is not nest and within(box, np.array([nest.largest.box]), 0.1)[0]
    ]
    found = []
    for number in around:
        other = rest[number].largest
        points = nest.largest.points[:: max(len(nest.largest.points) // 40, 1)]
        if other.area > nest.largest.area and inside(other.points, points).mean() > 0.95:
            found.append(rest[number])
    return found


def _is_own(nest: Nest, words: Sequence[Words], spots: np.ndarray, grain: np.ndarray) -> bool:
    """Whether a nest inside another piece is a piece of its own and not an inner line of it.

    It is when it comes in several sizes and is no dart, or has words or a grain line.
    """
    ring = nest.largest
    if len(nest.rings) > 1 and not _is_dart(ring):
        return True
    named = [n for n, word in enumerate(words) if not _is_number(word.text)]
    within_it = len(named) > 0 and inside(ring.points, spots[named]).any()
    return bool(within_it) or (len(grain) > 0 and bool(inside(ring.points, grain).any()))


def _is_number(text: str) -> bool:
    return not any(sign.isalpha() for sign in text)


def _is_dart(ring: Ring) -> bool:
    """Three or four corners, one of them a sharp point."""
    corners = corner_nodes(ring.path)
    sharp = np.abs(turns(ring.path)) > _POINTED
    return len(corners) <= 4 and bool(sharp.any())


def _is_frame(nest: Nest, nests: Sequence[Nest]) -> bool:
    """A rectangle, drawn once, around several pieces."""
    if len(nest.rings) > 1 or not _is_rectangle(nest.largest):
        return False
    boxes = np.array([other.largest.box for other in nests if other is not nest]).reshape(-1, 4)
    areas = [other.largest.area for other in nests if other is not nest]
    held = within(nest.largest.box, boxes, 0.5)
    return int(held.sum()) > 1 and sum(np.array(areas)[held]) > 0.2 * nest.largest.area


def _is_rectangle(ring: Ring) -> bool:
    left, top, right, bottom = ring.box
    return len(corner_nodes(ring.path)) == 4 and ring.area > 0.998 * (right - left) * (bottom - top)


def _is_square(nest: Nest, words: Sequence[Words], spots: np.ndarray) -> bool:
    """A test square: drawn once, sides of a round length, and at most a measure in it."""
    ring = nest.largest
    left, top, right, bottom = ring.box
    side = (right - left + bottom - top) / 2
    even = abs((right - left) - (bottom - top)) <= _UNIT_PART * side
    if len(nest.rings) > 1 or not even or side > _LARGEST_SQUARE or not _is_rectangle(ring):
        return False
    if not any(abs(side / unit - round(side / unit)) * unit <= _UNIT_PART * side for unit in _UNITS):
        return False
    inner = [word.text.lower() for n, word in enumerate(words) if inside(ring.points, spots[n : n + 1])[0]]
    measured = [text for text in inner if any(sign in text for sign in _MEASURES) or " in" in text]
    return len(measured) > 0 or all(_is_number(text) for text in inner)
