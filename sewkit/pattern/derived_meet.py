"""Where the outer edge of a facing ends, so that it meets that of the facing it is sewn to.

A band that is everywhere as wide ends further along an edge that stands aslant than along one that
stands square.  Two such bands would end apart by a millimetre or two at the seam between them, so
the one that is made later is cut to end where the other does: its outer edge is bent there.
"""

from typing import Dict, Mapping

import numpy as np

from sewkit.geometry.length import distance_of, path_length, place_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, cut, point
from sewkit.pattern.derived_ring import Ring, cornered
from sewkit.pattern.edge_end import is_straight, moved_end
from sewkit.pattern.outline import Outline

# Ends further apart (mm) were not meant to meet: another width, another place.
MOST = 10.0

# A curved outer edge is bent over so much of its length (mm), a straight one as a whole.
_BENT = 60.0

# An end lies on an edge if it is this near to it (mm).
_ON_IT = 1e-3

# Ends that are nearer to each other (mm) meet.
_MEETS = 1e-6


def ends_of(ring: Ring, inner: Path) -> Dict[str, float]:
    """How far (mm) the ends of an outer edge lie from the parent edges, by the edge they lie on.

    Nothing where both lie on edges of one name, for nobody could tell them apart, and nothing of an
    end beyond the next corner.
    """
    if ring.before == ring.after:
        return {}
    found = {}
    for name, run, spot in (
        (ring.before, _beside(ring, True).reverse(), inner.start),
        (ring.after, _beside(ring, False), inner.end),
    ):
        near = nearest(run, spot)
        if near.distance <= _ON_IT:
            found[name] = distance_of(run, near.place)
    return found


def ended(ring: Ring, inner: Path, ends: Mapping[str, float]) -> Path:
    """The outer edge with its ends so far (mm) from the parent edges; where there is no room, as it is."""
    now = ends_of(ring, inner)
    for name, far in ends.items():
        if name not in now or abs(now[name] - far) <= _MEETS:
            continue
        run = _beside(ring, False) if name == ring.after else _beside(ring, True).reverse()
        if not _MEETS < far < path_length(run):
            continue
        place = place_at(run, far)
        spot = point(run.curves[place.curve : place.curve + 1], place.t)[0]
        inner = _to(inner, spot) if name == ring.after else _to(inner.reverse(), spot).reverse()
    return inner


def wanted(ring: Ring, inner: Path, made: Outline, lengths: Mapping[str, float]) -> Dict[str, float]:
    """Where the ends of an outer edge have to lie so that the edges they lie on become as long (mm)."""
    found = {}
    for name, far in ends_of(ring, inner).items():
        if name in lengths and name in made.names:
            off = lengths[name] - made.as_sewn(name)
            if abs(off) <= MOST:
                found[name] = far + off
    return found


def _beside(ring: Ring, before: bool) -> Path:
    """The run before the parent edges, or the one behind them, in path order."""
    edges = ring.outline.edges
    edge = edges[-1] if before else next(one for one in edges if one.name not in ring.edges)
    return ring.outline.path.part(edge.start, edge.stop)


def _to(path: Path, spot: np.ndarray) -> Path:
    """A path that ends at another spot (2,), bent over so that it keeps its direction there."""
    runs = [bit.path for bit in cornered("", path)]
    last = runs.pop()
    length = path_length(last)
    if is_straight(last):
        made = [moved_end(last, spot)]
    else:
        turned = place_at(last, max(length - _BENT, 0.0))
        kept, bent = cut(last, Place(0, 0.0), turned), cut(last, turned, Place(len(last) - 1, 1.0))
        made = ([kept] if length > _BENT else []) + [_bent(bent, spot)]
    return Path(np.concatenate([one.curves for one in (*runs, *made)]))


def _bent(run: Path, spot: np.ndarray) -> Path:
    """A run whose nodes move the more the nearer they lie to its end, each with its handles."""
    steps = np.concatenate([[0.0], np.cumsum([path_length(run.part(n, n + 1)) for n in range(len(run))])])
    share = steps / steps[-1]
    share = share * share * (3.0 - 2.0 * share)
    curves = np.array(run.curves)
    curves[:, :2] += share[:-1, None, None] * (spot - run.end)
    curves[:, 2:] += share[1:, None, None] * (spot - run.end)
    return Path(curves)
