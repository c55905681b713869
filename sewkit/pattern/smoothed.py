"""Edges drawn anew where they meet over a seam, at a fold or at a closed dart, so that they run on.

    made = smoothed_end(outlines, end, weights, reaches)    # over a seam
    made = squared_fold(outline, joint, reach)              # at a fold
    made = smoothed_kink(outline, joint, reaches)           # inside an edge
    piece = with_changes(piece, size, made.changes)

The smallest change first: the directions at the joint are turned and the corner stays, so that the
seam itself keeps its length.  Where the line would still dip or stand out by more than 0.5 mm, the
corner moves along the seam too, on both pieces alike and by the least that helps.
"""

from typing import Callable, Dict, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.length import curve_lengths, path_length
from sewkit.geometry.path import Path, start_tangents, without_gaps
from sewkit.pattern.bent_edge import bent, drawn_anew, farthest, parted, squared, trimmed
from sewkit.pattern.fold_end import SQUARE
from sewkit.pattern.joined_edges import Arm, Joint, Run, above_rule, bent_both_ways, own_waver, peak, table
from sewkit.pattern.mark import Mark
from sewkit.pattern.notch_places import Gain, moved
from sewkit.pattern.outline import Outline
from sewkit.pattern.own_notches import own_notches
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam_end import SeamEnd

# A joined line may dip or stand out by so much (mm) where its pieces do not do so themselves.
SEEN = 0.5

# An angle that is off by no more (degrees) is right.
_RIGHT = 1.0

# A notch that serves all sizes becomes each size's own where its edge changed by more (mm).
_OWN_NOTCH = 0.05

# Notches beyond this share of the reach keep their place; one may lie just where it ends.
_WITHIN = 0.99

# Halvings that find how far a corner has to move: from some mm down to a thousandth.
_HALVINGS = 12

Outlines = Tuple[Outline, Outline]
Pair = Tuple[float, float]


class Change(NamedTuple):
    """Curves ``start`` to ``stop`` of an outline drawn anew, in path order; ``gain``: for its notches."""

    piece: str
    size: str
    start: int
    stop: int
    path: Path
    gain: Gain
    away: float


class Smoothed(NamedTuple):
    """A joint that runs on.

    Args:
        joint: as it is now.
        changes: what was drawn anew.
        away: by how much (mm) each arm moved at most.
        slid: by how much (mm) the corner moved along the seam or fold, into the piece; below 0 out.
    """

    joint: Joint
    changes: Tuple[Change, ...]
    away: Pair
    slid: float = 0.0

    @property
    def most(self) -> float:
        """The furthest that any line moved (mm)."""
        return max(*self.away, abs(self.slid))


def smoothed_end(
    outlines: Outlines, end: SeamEnd, weights: Pair, reaches: Pair, slides: bool = True, anew: bool = True
) -> Smoothed:
    """Two edges that run on over a seam.

    ``weights``: which share of the turn each of the two takes, together 1; an arm of share 0 stays.
    ``reaches``: how much of each may change (mm).
    ``slides``: whether the corner may move along the seam.
    ``anew``: whether an arm may be drawn anew where the angle is right already; else it is bent.
    """
    arms = end.joint.first, end.joint.second

    def slid(amount: float) -> Joint:
        return _slid_joint(outlines, end, weights, reaches, amount, anew)

    able = slides and min(weights) > 0.0 and not end.darts
    amount = _least(end.joint, slid) if able else 0.0
    joint = slid(amount)
    changes, away = [], []
    for number, new in enumerate((joint.first, joint.second)):
        outline, old, edge = outlines[number], arms[number], end.edges[number]
        away.append(farthest(new.path, old.path, reaches[number]) if weights[number] else 0.0)
        if weights[number]:
            changes.append(_arm_change(outline, old, new.path, reaches[number], away[-1]))
        if amount:
            changes.append(_edge_change(outline, old, edge, amount))
    return Smoothed(joint, tuple(changes), (away[0], away[1]), amount)


def squared_fold(outline: Outline, joint: Joint, fold: Run, reach: float) -> Smoothed:
    """An edge that meets a fold square for ``SQUARE`` mm; ``fold``: the fold's curves at that corner."""
    old = joint.first
    straight = min(SQUARE, reach / 2.0)

    def slid(amount: float) -> Joint:
        run = trimmed(fold.leaving(outline), amount)
        inward = start_tangents(run.curves[:1])[0]
        frame = table(run.start, inward, _hand(old))
        square = frame.inverse().points(np.array([1.0, 0.0])) - run.start
        path = squared(old.path, square, straight, reach, run.start)
        other = table(run.start, inward, -_hand(old))
        arms = old._replace(path=path, frame=frame), joint.second._replace(path=path, frame=other)
        return Joint(*arms, (float(run.start[0]), float(run.start[1])))

    amount = _least(joint, slid)
    new = slid(amount)
    away = farthest(new.first.path, old.path, reach)
    changes = [_arm_change(outline, old, new.first.path, reach, away)]
    changes += [_edge_change(outline, old, fold, amount)] if amount else []
    return Smoothed(new, tuple(changes), (away, 0.0), amount)


def smoothed_kink(outline: Outline, joint: Joint, reaches: Pair) -> Smoothed:
    """An edge that runs on within itself; both sides of the kink take half of it, and its node stays."""
    arms = joint.first, joint.second
    paths = [bent(arm.path, -arm.way * joint.turn / 2.0, reach) for arm, reach in zip(arms, reaches)]
    away = [farthest(path, arm.path, reach) for path, arm, reach in zip(paths, arms, reaches)]
    changes = [
        _arm_change(outline, arm, path, reach, far)
        for arm, path, reach, far in zip(arms, paths, reaches, away)
    ]
    made = Joint(arms[0]._replace(path=paths[0]), arms[1]._replace(path=paths[1]), joint.spot)
    return Smoothed(made, tuple(changes), (away[0], away[1]))


# -- the corner -------------------------------------------------------------------------


def _slid_joint(
    outlines: Outlines, end: SeamEnd, weights: Pair, reaches: Pair, amount: float, anew: bool
) -> Joint:
    """The joint with its corner moved along the seam and both directions turned so that it runs on.

    Where the angle is right and the line wavers all the same, it is drawn anew within the reach.
    """
    old = [end.joint.first, end.joint.second]
    laid = list(old)
    if amount:
        for number, arm in enumerate(old):
            run = trimmed(end.edges[number].leaving(outlines[number]), amount)
            frame = table(run.start, start_tangents(run.curves[:1])[0], _hand(arm))
            laid[number] = arm._replace(frame=frame, path=_from(arm.path, run.start))
    turn = sum(arm.angle for arm in laid) - 180.0
    made = []
    for arm, new, weight, reach in zip(old, laid, weights, reaches):
        shift = new.path.start - arm.path.start
        degrees = -arm.way * turn * weight
        path = arm.path
        if weight and anew and abs(end.joint.turn) <= _RIGHT:
            path = drawn_anew(arm.path, degrees, reach, new.path.start)
        elif weight:
            path = bent(arm.path, degrees, reach, shift)
        made.append(new._replace(path=path))
    spot = made[0].path.start if amount else np.array(end.joint.spot)
    return Joint(made[0], made[1], (float(spot[0]), float(spot[1])))


def _from(path: Path, spot: np.ndarray) -> Path:
    """A path shifted so that it starts at a spot."""
    return Path(path.curves + (spot - path.start))


def _hand(arm: Arm) -> float:
    """For ``table``: the side on which the arm's frame puts what lies clockwise."""
    return -1.0 if arm.frame.determinant > 0 else 1.0


def _least(joint: Joint, slid: Callable[[float], Joint]) -> float:
    """The least way (mm) along the seam after which the joined line has no dip that is seen."""
    own = own_waver(joint)

    def smooth(amount: float) -> bool:
        made = slid(amount)
        return bent_both_ways(made) <= SEEN + min(own, own_waver(made))

    if smooth(0.0):
        return 0.0
    bend = peak(joint) / 2.0 * (1.0 if joint.turn < 0 else -1.0)
    low, high = 0.0, bend if abs(joint.turn) > _RIGHT else above_rule(joint)
    if not smooth(high):
        return 0.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if smooth(middle) else (middle, high)
    return high


# -- what changes -----------------------------------------------------------------------


def _arm_change(outline: Outline, arm: Arm, path: Path, reach: float, away: float) -> Change:
    """A new arm in the place of an old one; notches beyond its reach stay where they are."""
    gained = path_length(path) - path_length(arm.path)
    start, stop = (along(outline, arm.edge, node) for node in (arm.start, arm.stop))
    within = _WITHIN * reach
    at = stop - within if arm.at_stop else start + within
    made = path.reverse() if arm.at_stop else path
    return Change(arm.piece, arm.size, arm.start, arm.stop, made, Gain(arm.edge, at, gained), away)


def _edge_change(outline: Outline, arm: Arm, edge: Run, amount: float) -> Change:
    """The seam's own edge, shorter or longer by the way its corner moved."""
    path = trimmed(edge.leaving(outline), amount)
    name = next(one.name for one in outline.edges if one.start <= edge.start < one.stop)
    start, stop = (along(outline, name, node) for node in (edge.start, edge.stop))
    at = (stop - max(amount, 0.0)) if edge.at_stop else start
    made = path.reverse() if edge.at_stop else path
    return Change(arm.piece, arm.size, edge.start, edge.stop, made, Gain(name, at, -amount), abs(amount))


def along(outline: Outline, name: str, node: int) -> float:
    """How far (mm, as sewn) a node of an edge lies from the edge's start."""
    length = 0.0
    for edge in outline.edges:
        if edge.name == name:
            stop = min(max(node, edge.start), edge.stop)
            length += float(curve_lengths(outline.path.curves[edge.start : stop]).sum())
    return length


def with_changes(piece: Piece, size: str, changes: Sequence[Change]) -> Piece:
    """The piece with some runs of one size drawn anew; its notches keep their places."""
    old = piece.outline(size)
    runs: Dict[Tuple[int, int], Path] = {}
    for one in changes:
        key = one.start, one.stop
        runs[key] = _both(old, key, runs[key], one.path) if key in runs else one.path
    new = replaced(old, runs)
    gains = [one.gain for one in changes]
    marks: List[Mark] = []
    for mark in piece.marks:
        change = sum(abs(one.amount) for one in gains if mark.on is not None and mark.on.edge == one.edge)
        if mark.size == old.size and change:
            marks.append(moved(mark, old, new, gains) or mark)
        elif not mark.size and change > _OWN_NOTCH:
            marks += own_notches(piece, mark, {old.size: moved(mark, old, new, gains)})
        else:
            marks.append(mark)
    return piece._replace(marks=tuple(marks)).with_outline(new)


def _both(outline: Outline, run: Tuple[int, int], one: Path, other: Path) -> Path:
    """One run that was changed at its start and at its end, such as a cap at the sleeve's seam."""
    old = Path(outline.path.curves[run[0] : run[1]])
    changed_first = not np.array_equal(one.curves[0], old.curves[0])
    first, last = (one, other) if changed_first else (other, one)
    half = path_length(old) / 2.0
    near, _ = parted(first, path_length(first) - half)
    _, rest = parted(last, half)
    return without_gaps(Path(np.concatenate([near.curves, rest])))


def replaced(outline: Outline, runs: Dict[Tuple[int, int], Path]) -> Outline:
    """The outline with curves ``start`` to ``stop`` replaced, each run within one edge."""
    curves: List[np.ndarray] = []
    new_at: Dict[int, int] = {}
    at = 0
    last = (len(outline.path), len(outline.path)), outline.path.part(0, 1)
    for (start, stop), path in [*sorted(runs.items()), last]:
        count = sum(map(len, curves))
        new_at.update({node: count + node - at for node in range(at, start + 1)})
        curves.append(outline.path.curves[at:start])
        curves += [path.curves] if start < stop else []
        at = stop
    edges = tuple(edge._replace(start=new_at[edge.start], stop=new_at[edge.stop]) for edge in outline.edges)
    path = without_gaps(Path(np.concatenate(curves), outline.path.closed))
    return outline._replace(path=path, edges=edges)
