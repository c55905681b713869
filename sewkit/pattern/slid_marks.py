"""Marks of a piece whose fold was kept straight: beyond the wedge they slide with the cloth.

The cloth slides along the fold by the amount at the fold, and not at all at the edges that
stay; in between by its share of the way.  So a level below such a wedge ends slanted.
"""

from typing import List, Optional

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import path_length
from sewkit.geometry.path import point
from sewkit.geometry.transform import move
from sewkit.pattern.crossed_marks import dart_point
from sewkit.pattern.crossed_wedge import Crossed, Legs, Move, crossed, middle_of
from sewkit.pattern.mark import Mark, On
from sewkit.pattern.notch import distance_from_start, redrawn
from sewkit.pattern.outline import Outline
from sewkit.pattern.straightened import Straightened

# Less of the way (mm) between the fold and the edges that stay is none to share out.
_NO_WAY = 1.0

# How far each control point of a curve lies along it, in thirds.
_THIRDS = np.array([0.0, 1.0, 2.0, 3.0])[:, None] / 3.0


def share_at(fold: Straightened, spot: np.ndarray) -> float:
    """How much of the slide the cloth at a point makes: 1 at the fold, 0 at the edges that stay."""
    way = _way(fold, spot)
    return 1.0 - float((spot - fold.opening) @ fold.inward) / way


def _way(fold: Straightened, spot: np.ndarray) -> float:
    """The way (mm) from the fold to the edges that stay, at the height of a point."""
    met = [fold.hinge]
    if len(fold.staying):
        places = crossings_with_line(fold.staying, spot, fold.inward)
        met = [point(fold.staying.curves[place.curve][None], place.t)[0] for place in places]
        ends = [fold.staying.start, fold.staying.end]
        along = np.array([-fold.inward[1], fold.inward[0]])
        # Above and below these edges the way is as at their nearer end.
        met = met or [min(ends, key=lambda end: abs(float((end - spot) @ along)))]
    return max(max(float((one - fold.opening) @ fold.inward) for one in met), _NO_WAY)


def slid_line(mark: Mark, fold: Straightened, legs: Legs, whole: bool) -> Crossed:
    """A line of the piece: only what lies beyond the wedge slides, each end by its share."""
    return crossed(mark.path, legs, _moves(legs, _by_share(fold)), legs.before, whole)


def slid_dart(mark: Mark, fold: Straightened, legs: Legs) -> Crossed:
    """A drawn dart: what lies beyond the wedge slides as one, by the share of the dart's point."""
    tip = dart_point(mark.path)
    slid = np.clip(share_at(fold, middle_of(mark.path) if tip is None else tip), 0.0, 1.0) * fold.slid
    return crossed(mark.path, legs, _moves(legs, lambda curve: curve + slid), legs.before)


def slid_whole(mark: Mark, fold: Straightened, legs: Legs) -> Mark:
    """A small mark: whole, by the share of its middle; from the cloth taken out to the closed line."""
    middle = middle_of(mark.path)
    owner = legs.owner(middle)
    if owner is None:
        way = legs.closed_on(middle) - middle
    elif owner == legs.before:
        return mark
    else:
        way = np.clip(share_at(fold, middle), 0.0, 1.0) * fold.slid
    return mark._replace(path=move(*way).path(mark.path))


def at_share(mark: Mark, old: Outline, new: Outline) -> Optional[Mark]:
    """A notch on an edge that gave way, at the same share of its run; None where it finds no room."""
    on, passed, was = mark.on, 0.0, 0.0
    distance = distance_from_start(old, on)
    place = None
    for edge, drawn in zip(old.edges, new.edges):
        if edge.name != on.edge:
            continue
        before = path_length(old.path.part(edge.start, edge.stop))
        after = path_length(new.path.part(drawn.start, drawn.stop))
        if place is None and distance <= was + before:
            place = passed + (distance - was) * after / before
        was, passed = was + before, passed + after
    place = passed if place is None else place
    made = On(on.edge, passed - place if on.from_end else place, on.from_end)
    return redrawn(mark._replace(on=made), new)


def _moves(legs: Legs, slide: Move) -> List[Move]:
    """One move a part: only what lies beyond the wedge goes."""
    return [slide if part == legs.beyond else _stay for part in range(len(legs.parting.regions))]


def _stay(curve: np.ndarray) -> np.ndarray:
    return curve


def _by_share(fold: Straightened) -> Move:
    """Each end of a curve by its share, and what lies between evenly, so that a straight line stays one."""

    def slide(curve: np.ndarray) -> np.ndarray:
        first, last = share_at(fold, curve[0]), share_at(fold, curve[3])
        return curve + (first + (last - first) * _THIRDS) * fold.slid

    return slide
