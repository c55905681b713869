"""Where an edge bends within itself: at nodes, where a part of it was turned, and at closed darts.

for found in edge_joints(piece, outline):
    found.joint.turn, found.dart
"""

from typing import List, NamedTuple, Tuple

import numpy as np

from sewkit.geometry.path import end_tangents, turns
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.geometry.transform import IDENTITY, Transform, move, turn
from sewkit.pattern.dart_lines import TOUCH
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.fold_mouth import fold_mouths
from sewkit.pattern.joined_edges import Joint, arm_of, table
from sewkit.pattern.mark import DART
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

# Less is no bend (degrees): what rounding in files leaves of a smooth node.
_BEND = 0.01


class EdgeJoint(NamedTuple):
    """A bend of an edge; ``dart``: the name of the dart or pleat that is closed there, or empty."""

    joint: Joint
    dart: str


def edge_joints(piece: Piece, outline: Outline, least: float = _BEND) -> List[EdgeJoint]:
    """Bends of more than ``least`` degrees inside edges, in path order, then those at closed darts.

    A corner inside an edge is meant as one.  Legs, folded mouths, folds and the feet of darts that
    are only drawn are left out.
    """
    feet = _feet(piece, outline.size)
    nodes = _nodes(piece, outline, least)
    away = [np.hypot(*(feet - np.array(one.joint.spot)).T).min() if len(feet) else np.inf for one in nodes]
    return [one for one, far in zip(nodes, away) if far > TOUCH] + _darts(piece, outline, least)


def _feet(piece: Piece, size: str) -> np.ndarray:
    """Where the legs of drawn darts begin (n, 2)."""
    if not piece.named or not any(mark.kind == DART for mark in piece.marks):
        return np.zeros((0, 2))
    drawn = [dart for dart in drawn_darts(piece, size) if not dart.contour]
    return np.array([leg.start for dart in drawn for leg in dart.legs]).reshape(-1, 2)


def _nodes(piece: Piece, outline: Outline, least: float) -> List[EdgeJoint]:
    path, edges = outline.path, outline.edges
    if not len(path):
        return []
    bends = turns(path) if path.closed else np.concatenate([[0.0], turns(path)])
    skipped = set(piece.darts) | set(piece.folds) | {m.name for m in fold_mouths(outline, piece.darts)}
    found = []
    for number, edge in enumerate(edges):
        if edge.name in skipped:
            continue
        before = edges[number - 1]
        runs_on = before.name == edge.name or edge.smooth
        if runs_on and before.name not in skipped and (number or path.closed) and len(edges) > 1:
            if least < abs(bends[edge.start]) <= CORNER_TURN:
                parts = (before.start, before.stop), (edge.start, edge.stop)
                found.append(_joint(piece, outline, *parts, IDENTITY, ""))
        for node in range(edge.start + 1, edge.stop):
            if least < abs(bends[node]) <= CORNER_TURN:
                parts = (edge.start, node), (node, edge.stop)
                found.append(_joint(piece, outline, *parts, IDENTITY, ""))
    return found


def _darts(piece: Piece, outline: Outline, least: float) -> List[EdgeJoint]:
    """Where the mouth of a dart or pleat is closed between two runs of one edge."""
    edges, count, found = outline.edges, len(outline.edges), []
    if not outline.path.closed or not piece.darts:
        return []
    for number, edge in enumerate(edges):
        legs = []
        if edge.name in piece.darts:
            continue
        while len(legs) < count and edges[(number + 1 + len(legs)) % count].name in piece.darts:
            legs.append((number + 1 + len(legs)) % count)
        behind = edges[(number + 1 + len(legs)) % count]
        if not legs or behind.name != edge.name or behind is edge or edge.name in piece.folds:
            continue
        closing = _closing(outline, legs)
        parts = (edge.start, edge.stop), (behind.start, behind.stop)
        made = _joint(piece, outline, *parts, closing, edges[legs[0]].name)
        found += [made] if abs(made.joint.turn) > least else []
    return found


def _closing(outline: Outline, legs: List[int]) -> Transform:
    """The move that lays what is behind a mouth on to the end of what is before it."""
    nodes = [outline.path.curves[outline.edges[leg].start, 0] for leg in legs]
    nodes.append(outline.path.curves[outline.edges[legs[-1]].stop - 1, 3])
    if len(legs) % 2:
        return move(*(nodes[0] - nodes[-1]))
    closing = IDENTITY
    for near, tip, far in zip(nodes[::2], nodes[1::2], nodes[2::2]):
        one, two = far - tip, near - tip
        degrees = float(np.degrees(np.arctan2(one[0] * two[1] - one[1] * two[0], one @ two)))
        # What lies behind a second dart is turned about that one's point, then as the first turned it.
        closing = turn(degrees, tip).then(closing)
    return closing


def _joint(
    piece: Piece,
    outline: Outline,
    before: Tuple[int, int],
    behind: Tuple[int, int],
    closing: Transform,
    dart: str,
) -> EdgeJoint:
    curves = outline.path.curves
    spot = curves[before[1] - 1, 3]
    along = end_tangents(curves[before[1] - 1 : before[1]])[0]
    clockwise = 1.0 if signed_area(outline.path) >= 0 else -1.0
    inward = clockwise * np.array([-along[1], along[0]])
    frame = table(spot, inward, clockwise)
    first = arm_of(outline, piece.name, before, True, frame, 1.0)
    second = arm_of(outline, piece.name, behind, False, closing.then(frame), -1.0)
    return EdgeJoint(Joint(first, second, (float(spot[0]), float(spot[1]))), dart)
