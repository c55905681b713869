"""Two edges that become one line when the pieces are sewn, laid together as on the table.

    joint.turn              # degrees: 0 runs on smoothly, below 0 comes to a point, above 0 dips
    peak(joint)             # mm, by a rule laid 30 mm to either side
    waver(joint)            # mm by which the joined line misses bending one way

An arm is one run of an edge, seen from the joint.  Its frame takes the sheet to the table: the
joint at (0, 0), the cloth of both arms below the line, where y grows, the first arm to the right.
"""

from typing import List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, point, start_tangents
from sewkit.geometry.transform import Transform
from sewkit.pattern.outline import Outline

# So far to either side of a joint the eye follows the line (mm); common practice, no source.
REACH = 30.0

# To see a dip within that, the line is followed half as far again: what it is a dip in.
_SEEN = 1.5 * REACH

# Points are taken this far apart (mm) and along so many spots of every curve.
_STEP, _SPOTS = 1.25, np.linspace(0.0, 1.0, 17)

# A beak is what an arm bends within so much of the joint (mm) and, beside what it does far behind
# it, so many times as much as within as much again; a line smoothed over 20 mm bends twice as much.
# On a shorter arm nobody can tell.
_BEAK, _BESIDE, _ALONE = 5.0, 40.0, 3.0
_LEAST_BEAK = 2.0  # degrees

Spots = List[Tuple[float, float]]


class Run(NamedTuple):
    """Curves ``start`` to ``stop`` of an outline's path; ``at_stop``: the joint is at their end."""

    start: int
    stop: int
    at_stop: bool

    def leaving(self, outline: Outline) -> Path:
        """The run as a path away from the joint."""
        path = Path(outline.path.curves[self.start : self.stop])
        return path.reverse() if self.at_stop else path


class Arm(NamedTuple):
    """One of two edges that meet when sewn.

    Args:
        piece, size: of which outline.
        edge: the edge's name.
        start, stop: its curves on the outline's path.
        at_stop: whether the joint is at their end.
        path: those curves, leaving the joint (mm on the sheet).
        frame: from the sheet to the table.
        side: 1 for the arm to the right on the table, -1 for the other one.
    """

    piece: str
    size: str
    edge: str
    start: int
    stop: int
    at_stop: bool
    path: Path
    frame: Transform
    side: float

    @property
    def way(self) -> float:
        """1 where turning the arm clockwise on the sheet opens its angle, -1 where it closes it."""
        return -self.side if self.frame.determinant > 0 else self.side

    @property
    def angle(self) -> float:
        """From the line into the cloth to the arm, degrees in [0, 360)."""
        frame = self.frame
        along = start_tangents(self.path.curves[:1])[0]
        x = frame.a * along[0] + frame.c * along[1]
        y = frame.b * along[0] + frame.d * along[1]
        return float(np.degrees(np.arctan2(self.side * x, y)) % 360.0)


class Joint(NamedTuple):
    """Two arms laid together, and where their joint lies on the first one's sheet (mm)."""

    first: Arm
    second: Arm
    spot: Tuple[float, float]

    @property
    def total(self) -> float:
        """The angle of both pieces together, degrees; 180 where one arm runs on as the other."""
        return self.first.angle + self.second.angle

    @property
    def turn(self) -> float:
        """What is too much of the angle, degrees: below 0 the line comes to a point, above 0 it dips."""
        return self.total - 180.0


def arm_of(
    outline: Outline, piece: str, curves: Tuple[int, int], at_stop: bool, frame: Transform, side: float
) -> Arm:
    """The arm along some curves of one run of an outline."""
    start, stop = curves
    run = Path(outline.path.curves[start:stop])
    edge = next(edge.name for edge in outline.edges if edge.start <= start < edge.stop)
    path = run.reverse() if at_stop else run
    return Arm(piece, outline.size, edge, start, stop, at_stop, path, frame, side)


def table(spot: np.ndarray, inward: np.ndarray, side: float) -> Transform:
    """The frame with the joint at a spot, the unit way ``inward`` down, and right where ``side`` is 1.

    ``side`` -1 mirrors: what lay clockwise of ``inward`` comes to lie on its other side.
    """
    a, c = -side * inward[1], side * inward[0]
    b, d = inward[0], inward[1]
    e, f = -(a * spot[0] + c * spot[1]), -(b * spot[0] + d * spot[1])
    return Transform(float(a), float(b), float(c), float(d), float(e), float(f))


def peak(joint: Joint, reach: float = REACH) -> float:
    """How far (mm) the joint lies from a rule that is laid over both arms, for the kink in it alone.

    The height of a triangle of two sides and the angle between them; the arms' own bow is not
    counted.
    """
    one, other = (min(reach, path_length(arm.path)) for arm in (joint.first, joint.second))
    turn = np.radians(joint.turn)
    rule = np.sqrt(one * one + other * other + 2.0 * one * other * np.cos(turn))
    return float(one * other * abs(np.sin(turn)) / max(rule, 1e-9))


def above_rule(joint: Joint, reach: float = REACH) -> float:
    """How far (mm) the joint stands over a rule laid on both arms at their reach; below 0 under it."""
    (x, y), (u, v) = (spots_of(arm, reach)[-1] for arm in (joint.first, joint.second))
    return y - x * (v - y) / (u - x) if abs(u - x) > _STEP else 0.0


def waver(joint: Joint, reach: float = _SEEN) -> float:
    """By how much (mm) the joined line bends both ways, more than each arm does by itself.

    A line that bends one way does not; nor does one that both pieces have alike.
    """
    return max(bent_both_ways(joint, reach) - own_waver(joint, reach), 0.0)


def bent_both_ways(joint: Joint, reach: float = _SEEN) -> float:
    """How far (mm) the joined line is from one that bends one way."""
    first, second = (spots_of(arm, reach) for arm in (joint.first, joint.second))
    return _bent_both_ways(first[::-1] + second[1:])


def own_waver(joint: Joint, reach: float = _SEEN) -> float:
    """How far (mm) the one of the two arms that is worse is from a line that bends one way."""
    return max(_bent_both_ways(spots_of(arm, reach)) for arm in (joint.first, joint.second))


def beak(joint: Joint) -> float:
    """The turn at the joint with what both arms do right beside it, degrees; 0 where that is no beak.

    So a point is found that was rounded off within a few mm, or ends that were squared off too
    short: where both arms bend the same way in their first 5 mm, and not in the next.  One that
    does so alone is a curve that ends at the joint.
    """
    hooks = _hook(joint.first), _hook(joint.second)
    whole = joint.turn + sum(hooks)
    return whole if hooks[0] * hooks[1] > 0.0 and abs(whole) > _LEAST_BEAK else 0.0


def _hook(arm: Arm) -> float:
    """How much an arm bends in its first mm alone, degrees; 0 where it goes on bending, or is short."""
    spots = spots_of(arm, _BESIDE + 2.0 * _STEP)
    if len(spots) < round(_BESIDE / _STEP) + 2:
        return 0.0
    angles = [arm.angle]
    for at in (_BEAK, 2.0 * _BEAK, 3.0 * _BEAK, _BESIDE):
        (x, y), (u, v) = spots[round(at / _STEP) - 1], spots[round(at / _STEP) + 1]
        away = float(np.degrees(np.arctan2(arm.side * (u - x), v - y)))
        angles.append(angles[-1] + (away - angles[-1] + 180.0) % 360.0 - 180.0)
    usual = (angles[4] - angles[3]) * _BEAK / (_BESIDE - 3.0 * _BEAK)
    first, then = (after - before - usual for before, after in zip(angles, angles[1:3]))
    return first if abs(first) > _ALONE * abs(then) else 0.0


def spots_of(arm: Arm, reach: float) -> Spots:
    """Points of an arm on the table, ``_STEP`` mm apart along it, from the joint as far as it reaches."""
    curves = arm.path.curves
    rough = np.hypot(*(curves[:, 3] - curves[:, 0]).T).cumsum()
    count = int(np.searchsorted(rough, reach)) + 1
    points = point(curves[:count], np.broadcast_to(_SPOTS, (len(curves[:count]), len(_SPOTS))))
    points = arm.frame.points(points.reshape(-1, 2))
    along = np.concatenate([[0.0], np.hypot(*np.diff(points, axis=0).T).cumsum()])
    wanted = np.arange(0.0, min(reach, float(along[-1])) + 1e-9, _STEP)
    x, y = (np.interp(wanted, along, points[:, k]) for k in (0, 1))
    return list(zip(x.tolist(), y.tolist()))


def _bent_both_ways(spots: Sequence[Tuple[float, float]]) -> float:
    """How far (mm) a line is from one that bends one way: the lesser distance to its two hulls.

    A line that turns back along its own chord is too tightly curved to say; it counts as 0.
    """
    (x, y), (u, v) = spots[0], spots[-1]
    size = float(np.hypot(u - x, v - y))
    if len(spots) < 3 or size < _STEP:
        return 0.0
    cos, sin = (u - x) / size, (v - y) / size
    flat = [((a - x) * cos + (b - y) * sin, (b - y) * cos - (a - x) * sin) for a, b in spots]
    if any(after[0] <= before[0] for before, after in zip(flat, flat[1:])):
        return 0.0
    return min(_below_hull(flat), _below_hull([(a, -b) for a, b in flat]))


def _below_hull(flat: Spots) -> float:
    """How far points in order of x lie below their upper hull at most (Andrew's chain)."""
    hull: Spots = []
    for x, y in flat:
        while len(hull) > 1:
            (a, b), (c, d) = hull[-2:]
            if (c - a) * (y - b) < (d - b) * (x - a):
                break
            hull.pop()
        hull.append((x, y))
    xs, ys = zip(*flat)
    return float((np.interp(xs, *zip(*hull)) - np.array(ys)).max())
