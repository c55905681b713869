"""The outer edge of a band, from the edge beside its parent edges to the one on the other side.

    path = inner_edge("back", ring, width=50.0)

The parallel of the parent edges keeps its direction at an end until it meets the neighbouring edge
itself.  At a corner the offset of an outline asks only the first curve of that edge and its tangent;
where the edge has a node before the band ends, the offset leaves a line across the piece instead.
"""

from typing import Optional, Sequence

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.corner import Corner
from sewkit.geometry.intersect import crossings
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, end_tangents, lines, point
from sewkit.geometry.polygon import contains
from sewkit.pattern.cutting import parallel
from sewkit.pattern.derived_ring import Ring
from sewkit.pattern.piece import MITRE_LIMIT

# A curve that lies this near to the outline (mm) is a part of it; the fit of a parallel is ten
# times as near, and no facing is as narrow as this.
_ON_OUTLINE = 0.1

# An end lies on the outline if it is this near to it (mm).
_ON_IT = 1e-3


def inner_edge(name: str, ring: Ring, width: float) -> Path:
    """The parallel ``width`` mm inside the edges of a ring, from the edge before them to the one after; mm.

    ``InputError``: no room for it on the piece of that name.
    """

    def widths(edge: str) -> float:
        return -width if edge in ring.edges else 0.0

    def corner(before: str, after: str) -> Corner:
        return Corner()

    cut = parallel(ring.outline, name, widths, corner, MITRE_LIMIT)
    curves, runs = cut.path.curves, cut.runs
    off = np.array([run in ring.edges for run in runs])
    if not off.any():
        raise no_room(name, ring, width)
    spots = point(curves, 0.5)
    for number in [n for n, run in enumerate(runs) if not run]:
        # The line of a corner may run along an edge or into the piece.
        off[number] = nearest(ring.outline.path, spots[number]).distance > _ON_OUTLINE
    starts = [n for n in range(len(off)) if off[n] and not off[n - 1]]
    if len(starts) != 1:
        raise no_room(name, ring, width)
    row = [(starts[0] + n) % len(curves) for n in range(int(off.sum()))]
    return _to_the_edges(ring, curves[row], [runs[n] for n in row], MITRE_LIMIT * width)


def no_room(name: str, ring: Ring, width: float) -> InputError:
    """What to say where a strip so wide (mm) does not fit."""
    return InputError(
        "There is no room on '{}' for a strip of {:g} mm along {}.".format(
            name, width, " and ".join(ring.edges)
        ),
        "Ask for a narrower one.",
        code="offset",
    )


def _to_the_edges(ring: Ring, curves: np.ndarray, runs: Sequence[str], most: float) -> Path:
    """The parallel with both ends prolonged to the edges, by ``most`` mm at most, for corner lines."""
    known = [n for n, run in enumerate(runs) if run]
    first, last = known[0], known[-1]
    whole = Path(np.array(curves))
    beside = _beside(ring)
    end = _prolonged(ring, beside, whole.part(first, last + 1), most)
    head = _prolonged(ring, beside, whole.part(first, last + 1).reverse(), most)
    before = curves[:first] if head is None else head.reverse().curves
    after = curves[last + 1 :] if end is None else end.curves
    return Path(np.concatenate([before, curves[first : last + 1], after]))


def _beside(ring: Ring) -> Path:
    """The outline but for the parent edges, from their end round to their start."""
    stop = max(edge.stop for edge in ring.outline.edges if edge.name in ring.edges)
    return ring.outline.path.part(stop, len(ring.outline.path))


def _prolonged(ring: Ring, beside: Path, path: Path, most: float) -> Optional[Path]:
    """The straight line from the end of a path to the edges beside; nothing where it ends on them.

    ``None`` where no such line is found within ``most`` mm, or the path already leaves the piece.
    """
    if nearest(beside, path.end).distance <= _ON_IT:
        return Path(np.zeros((0, 4, 2)))
    if not contains(ring.outline.path, path.end[None])[0]:
        return None
    ahead = path.end + most * end_tangents(path.curves[-1:])[0]
    met = crossings(Path(lines(path.end[None], ahead[None])), beside)
    return Path(lines(path.end[None], met[0].point[None])) if met else None
