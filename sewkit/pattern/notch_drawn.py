"""Where a notch is drawn, against where its place says: somebody may have moved it by hand."""

from typing import NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.length import distance_of, path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.tolerance import SAME_POINT
from sewkit.pattern.mark import Mark, On
from sewkit.pattern.notch import beside, place_of, spot_of
from sewkit.pattern.outline import Outline

# A notch drawn farther from its own edge than this (mm) is none of it any more: allowances are
# narrower.
_REACH = 60.0


class DrawnPlace(NamedTuple):
    """The place at which a notch is drawn.

    Args:
        on: on its edge, counted from the same end as before.
        point: there on the seam line, (2,) mm.
        off: how far (mm) that is from where it should be; None where its place is gone.
    """

    on: On
    point: np.ndarray
    off: Optional[float]


def drawn_place(outline: Outline, mark: Mark) -> Optional[DrawnPlace]:
    """Where a notch is drawn; None for one that is not drawn, or far from the outline.

    Every form is its own mirror image, so its middle lies on the perpendicular of its place; that of
    several along a curve lies on the mean of theirs.
    """
    if mark.path is None or not len(mark.path):
        return None
    middle = mark.path.curves[:, [0, 3]].reshape(-1, 2).mean(axis=0)
    spot = None if mark.on is None else spot_of(outline, mark.on)
    if spot is not None and mark.on is not None:
        feet = beside(outline, mark, spot)
        foot, outward = (
            np.mean([getattr(one, word) for one in feet], axis=0) for word in ("point", "outward")
        )
        if _exactly_there(middle, foot, outward / max(np.hypot(*outward), SAME_POINT)):
            return DrawnPlace(mark.on, spot.point, 0.0)
        found = _on_edge(outline, mark.on, middle)
        if found is not None:
            return DrawnPlace(*found, float(np.hypot(*(found[1] - spot.point))))
    near = nearest(outline.path, middle)
    if near.distance > _REACH:
        return None
    on = place_of(outline, middle)
    return DrawnPlace(on, near.point, None if spot is None else float(np.hypot(*(near.point - spot.point))))


def _exactly_there(middle: np.ndarray, point: np.ndarray, outward: np.ndarray) -> bool:
    """Whether the middle lies on the perpendicular, near the edge: no need to look for its foot."""
    away = middle - point
    return bool(abs(away[0] * outward[1] - away[1] * outward[0]) < 1e-3 and abs(away @ outward) <= _REACH)


def _on_edge(outline: Outline, on: On, middle: np.ndarray) -> Optional[Tuple[On, np.ndarray]]:
    passed, best = 0.0, None
    for run in outline.runs(on.edge):
        near = nearest(run, middle)
        if near.distance <= _REACH and (best is None or near.distance < best[0]):
            best = near.distance, passed + distance_of(run, near.place), near.point
        passed += path_length(run)
    if best is None:
        return None
    distance = passed - best[1] if on.from_end else best[1]
    return on._replace(distance=distance), best[2]
