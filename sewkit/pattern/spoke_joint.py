"""Where two sectors of an outline meet again: the runs of an edge put end to end."""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, end_tangents, start_tangents, turns, without_gaps
from sewkit.geometry.rejoin import eased_over, rejoined
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.outline import Edge, Outline

# Ends that miss each other by less than this (mm) meet half way: a drawing gives its points
# to a thousandth, and a pencil's width is ten times as much.
_MEETS = 0.02

# A step between two ends is taken up over ten times as much of the edge on either side, and
# over this at least (mm): the soft curve then leaves the old line by 6 degrees at most.
_TAKE_UP = 10.0
_FLAT = 10.0

# Where cloth was taken out the edge is drawn anew over this much of it on either side (mm): a
# hand's breadth of a curved rule would take longer, and less would show as a corner.
_REDRAWN = 20.0


class Bit(NamedTuple):
    """One run of an edge.

    ``smooth``: whether it begins without a corner; None where that is to be seen.
    ``first``: it begins where the outline began.
    """

    name: str
    path: Path
    smooth: Optional[bool] = None
    first: bool = False


class Joint(NamedTuple):
    """How an edge was closed.

    Args:
        bits: one run, or two where there is a corner or the edges have different names.
        edge: the edge's name.
        step: how far the two ends missed each other (mm): by so much one leg was longer.
        corner: how the edge turned there, degrees clockwise, before anything was redrawn.
        redrawn: whether a soft curve was drawn over the place.
        point: where it lies (mm).
        spoke: the number of the spoke.
    """

    bits: Tuple[Bit, ...]
    edge: str
    step: float
    corner: float
    redrawn: bool
    point: Tuple[float, float]
    spoke: int = 0


def joined(before: Bit, after: Bit, redraw: bool, named: bool) -> Joint:
    """Close the edge between two runs; ``redraw``: with a soft curve, because cloth was taken out.

    On a piece that is not named the edges on both sides of a dart have different numbers, and
    are one edge all the same.
    """
    step = float(np.hypot(*(after.path.start - before.path.end)))
    corner = _corner(before.path, after.path)
    middle = (before.path.end + after.path.start) / 2.0
    one = before.name == after.name or not named
    bent = abs(corner) > CORNER_TURN and not redraw
    ease = one and not bent and (redraw or step > _MEETS)
    if one and not bent:
        back = max(_REDRAWN if redraw else _TAKE_UP, _FLAT * step)
        path = eased_over(before.path, after.path, back) if ease else rejoined(before.path, after.path)
        bits: Tuple[Bit, ...] = (before._replace(path=path, first=before.first or after.first),)
    else:
        bits = (_to(before, middle), _from(after, middle))
    return Joint(bits, before.name, step, corner, ease, (float(middle[0]), float(middle[1])))


def outline_of(old: Outline, bits: Sequence[Bit]) -> Outline:
    """The outline of a ring of runs, begun where the old one began if that is still there."""
    first = next((number for number, bit in enumerate(bits) if bit.first), 0)
    ring = list(bits[first:]) + list(bits[:first])
    path = without_gaps(Path(np.concatenate([bit.path.curves for bit in ring]), closed=True))
    bent = np.abs(turns(path)) > CORNER_TURN
    edges: List[Edge] = []
    at = 0
    for bit in ring:
        smooth = not bent[at] if bit.smooth is None else bit.smooth
        edges.append(Edge(bit.name, at, at + len(bit.path), bool(smooth)))
        at += len(bit.path)
    return old._replace(path=path, edges=tuple(edges))


def _corner(before: Path, after: Path) -> float:
    u, v = end_tangents(before.curves[-1:])[0], start_tangents(after.curves[:1])[0]
    return float(np.degrees(np.arctan2(u[0] * v[1] - u[1] * v[0], u @ v)))


def _to(bit: Bit, spot: np.ndarray) -> Bit:
    """The run with its end moved to a point."""
    curves = np.array(bit.path.curves)
    curves[-1, 2:] += spot - curves[-1, 3]
    return bit._replace(path=Path(curves))


def _from(bit: Bit, spot: np.ndarray) -> Bit:
    curves = np.array(bit.path.curves)
    curves[0, :2] += spot - curves[0, 0]
    return bit._replace(path=Path(curves), smooth=None)
