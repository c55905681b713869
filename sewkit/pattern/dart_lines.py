"""Which lines drawn inside an outline are the legs of a dart.

Bought patterns show a dart as two lines that run from the seam line to a point, often with the
line between on which it is folded and the cap beyond the seam; a dart with two points is a
slim ring.  Whoever draws one by hand draws a V, or one line a leg.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, join, start_tangents, turns
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.drawn_lines import separate
from sewkit.pattern.outline import corner_nodes

# Ends drawn this near to each other (mm) are meant as one point.
TOUCH = 1.0

# A line shorter than this (mm) is a notch or a stray stroke and no leg.
_LEAST_LEG = 10.0

# A ring with a corner this near to the outline (mm) is a dart with its mouth closed, or its cap.
_AT_EDGE = 3.0

# Where a dart with two points is widest its sides may have corners, so many with its points, and no
# sharper than this (degrees): its sides would not lie flat on each other (common practice, no source).
_MOST_CORNERS = 6
_BLUNT = 120.0

# Both legs open by more and less than this (degrees).
_ANGLE = (0.5, 120.0)


class Legs(NamedTuple):
    """The legs (mm) of a dart as they were drawn.

    Args:
        first, second: from foot to point; of a dart with two points from one point to the other.
        points: (1, 2) or (2, 2).
    """

    first: Path
    second: Path
    points: np.ndarray

    @property
    def contour(self) -> bool:
        """Whether it has two points."""
        return len(self.points) == 2


class _Net(NamedTuple):
    """Lines by the numbers of their two ends; and where these ends are, (k, 2)."""

    bits: Tuple[Path, ...]
    ends: Tuple[Tuple[int, int], ...]
    spots: np.ndarray


def bits_of(path: Path) -> Tuple[Path, ...]:
    """The lines of a drawn path, each from corner to corner."""
    found: List[Path] = []
    for line in separate(path):
        ring = np.hypot(*(line.end - line.start)) <= TOUCH
        if ring and len(line) > 1 and abs(turns(join([line], closed=True, tolerance=TOUCH))[0]) < CORNER_TURN:
            corners = corner_nodes(line)[1:-1]
            if corners:
                whole = join([line], closed=True, tolerance=TOUCH).start_at(corners[0])
                line = Path(whole.curves)
        corners = corner_nodes(line)
        found += [line.part(a, b) for a, b in zip(corners, corners[1:])]
    return tuple(found)


def legs_among(bits: Sequence[Path], outline: Path) -> Optional[Legs]:
    """The dart that lines (mm) form inside an outline; None where they form none, or several."""
    net = _net(bits)
    return _two_pointed(net, outline) or _one_pointed(net, outline)


def _net(bits: Sequence[Path]) -> _Net:
    spots: List[np.ndarray] = []
    ends = []
    kept = [bit for bit in bits if np.hypot(*(bit.end - bit.start)) > TOUCH]
    for bit in kept:
        pair = []
        for spot in (bit.start, bit.end):
            near = [i for i, other in enumerate(spots) if np.hypot(*(other - spot)) <= TOUCH]
            if not near:
                spots.append(spot)
            pair.append(near[0] if near else len(spots) - 1)
        ends.append((pair[0], pair[1]))
    return _Net(tuple(kept), tuple(ends), np.array(spots).reshape(-1, 2))


def _degrees(net: _Net) -> List[int]:
    flat = [end for pair in net.ends for end in pair]
    return [flat.count(number) for number in range(len(net.spots))]


def _one_pointed(net: _Net, outline: Path) -> Optional[Legs]:
    """Two lines that meet at a point inside; of several such points the one furthest inside."""
    shared = [number for number, degree in enumerate(_degrees(net)) if degree > 1]
    if not shared:
        return None
    inside = {number: nearest(outline, net.spots[number]).distance for number in shared}
    tip = max(shared, key=inside.__getitem__)
    legs = []
    for bit, pair in zip(net.bits, net.ends):
        if tip in pair and np.hypot(*(bit.end - bit.start)) >= _LEAST_LEG:
            legs.append(bit if pair[1] == tip else bit.reverse())
    if len(legs) < 2:
        return None
    pairs = [(_opening(a, b), i, i + 1 + j) for i, a in enumerate(legs) for j, b in enumerate(legs[i + 1 :])]
    widest, i, j = max(pairs)
    if not _ANGLE[0] <= widest <= _ANGLE[1]:
        return None
    point = np.array([(legs[i].end + legs[j].end) / 2.0])
    return Legs(legs[i], legs[j], point)


def _opening(first: Path, second: Path) -> float:
    """The angle (degrees) between two legs that end at the same point."""
    one, other = first.start - first.end, second.start - second.end
    return float(np.degrees(np.arctan2(abs(one[0] * other[1] - one[1] * other[0]), one @ other)))


def _two_pointed(net: _Net, outline: Path) -> Optional[Legs]:
    """A ring that does not touch the outline, sharp at two points alone; perhaps with a line along it."""
    bits = dict(enumerate(net.ends))
    while bits:  # strokes that end in nothing are no part of a ring
        flat = [end for pair in bits.values() for end in pair]
        loose = [n for n, pair in bits.items() if min(flat.count(pair[0]), flat.count(pair[1])) < 2]
        if not loose:
            break
        for number in loose:
            del bits[number]
    corners = sorted({end for pair in bits.values() for end in pair})
    if not 2 <= len(corners) <= _MOST_CORNERS or len(bits) not in (len(corners), len(corners) + 1):
        return None
    if min(nearest(outline, net.spots[number]).distance for number in corners) < _AT_EDGE:
        return None
    ring, points = _ring(net, bits, corners)
    if len(ring) != len(corners):
        return None
    if len(corners) not in (2, 4) and not _blunt_elsewhere(net, ring, points):
        return None
    legs = _from_point_to_point(net, ring, points)
    return None if legs is None else Legs(legs[0], legs[1], net.spots[list(points)])


def _ring(
    net: _Net, bits: Dict[int, Tuple[int, int]], corners: Sequence[int]
) -> Tuple[List[int], Tuple[int, int]]:
    """The lines of the ring, without one that runs along it; and its two points, further apart."""
    if len(corners) == 2:
        chords = {n: _bend(net.bits[n]) for n in bits}
        straightest = min(chords, key=chords.__getitem__)
        ring = [n for n in bits if len(bits) == 2 or n != straightest]
        return ring, (corners[0], corners[1])
    flat = [end for pair in bits.values() for end in pair]
    thick = tuple(number for number in corners if flat.count(number) == 3)
    if len(bits) > len(corners):
        along = [n for n, pair in bits.items() if set(pair) == set(thick)]
        straightest = min(along, key=lambda n: _bend(net.bits[n]), default=-1)
        return [n for n in bits if n != straightest], (thick + (0, 0))[:2]  # type: ignore[return-value]
    if len(corners) != 4:
        sharp = sorted(corners, key=lambda corner: _inside(net, list(bits), corner))
        return list(bits), (sharp[0], sharp[1])
    across = [
        (one, other)
        for i, one in enumerate(corners)
        for other in corners[i + 1 :]
        if not any(set(pair) == {one, other} for pair in bits.values())
    ]
    far = max(across, key=lambda pair: float(np.hypot(*(net.spots[pair[0]] - net.spots[pair[1]]))))
    return list(bits), far


def _inside(net: _Net, ring: Sequence[int], corner: int) -> float:
    """The angle (degrees) between the two lines of a ring that meet in a corner, as they set out."""
    ways = []
    for number in ring:
        if corner in net.ends[number]:
            bit = net.bits[number] if net.ends[number][0] == corner else net.bits[number].reverse()
            ways.append(start_tangents(bit.curves[:1])[0])
    one, other = ways[0], ways[-1]
    return float(np.degrees(np.arctan2(abs(one[0] * other[1] - one[1] * other[0]), one @ other)))


def _blunt_elsewhere(net: _Net, ring: Sequence[int], points: Tuple[int, int]) -> bool:
    """Whether a ring bends but softly beside its two points: a triangle is no dart with two points."""
    corners = {end for number in ring for end in net.ends[number]} - set(points)
    return all(_inside(net, ring, corner) >= _BLUNT for corner in corners)


def _bend(bit: Path) -> float:
    """How far (mm) a line strays from its chord, at its control points."""
    way = bit.end - bit.start
    away = bit.curves.reshape(-1, 2) - bit.start
    return float(np.abs(away[:, 0] * way[1] - away[:, 1] * way[0]).max() / np.hypot(*way))


def _from_point_to_point(
    net: _Net, ring: Sequence[int], points: Tuple[int, int]
) -> Optional[Tuple[Path, Path]]:
    """Both sides of a ring, each from its first point to the other."""
    sides = []
    for first in [n for n in ring if points[0] in net.ends[n]]:
        number, at, parts = first, points[0], []
        for _ in ring:
            pair = net.ends[number]
            parts.append(net.bits[number] if pair[0] == at else net.bits[number].reverse())
            at = pair[1] if pair[0] == at else pair[0]
            following = [n for n in ring if n != number and at in net.ends[n]]
            if at == points[1] or not following:
                break
            number = following[0]
        if at != points[1]:
            return None
        sides.append(join(parts, tolerance=2 * TOUCH))
    return (sides[0], sides[1]) if len(sides) == 2 else None
