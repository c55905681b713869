"""Notches: where they sit on a seam line, and the lines that show them.

A notch is square to the stitch line.  How it is drawn there says ``notch_form``.
"""

from typing import Dict, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.geometry.length import curve_lengths, distance_of, path_length, place_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, derivative, end_tangents, point, start_tangents
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.mark import NOTCH, Mark, On
from sewkit.pattern.notch_form import SLIT, apart, forms_drawn
from sewkit.pattern.outline import Outline

# Places are written to a ten-thousandth of a mm; one so near to the end of a run (mm) is just there.
_ROUNDING = 5e-4

# A place beside a notch lies no farther from straight on than this part of its distance; else it
# is beyond a corner or a dart.
_BENT = 0.25


class Spot(NamedTuple):
    """A place on an outline: the point and the unit direction out of the piece."""

    point: np.ndarray
    outward: np.ndarray
    curve: int


def distance_from_start(outline: Outline, on: On) -> float:
    """A notch's distance (mm) from its edge's start, as sewn."""
    return outline.as_sewn(on.edge) - on.distance if on.from_end else on.distance


def spot_of(outline: Outline, on: On) -> Optional[Spot]:
    """Where a notch sits; None where its edge is gone or too short for it.

    One that lies just where a dart is closed sits at the leg on the side of the end it counts from, so
    that its mirror image sits at the other leg.
    """
    distance = on.distance
    edges = [edge for edge in outline.edges if edge.name == on.edge]
    for edge in reversed(edges) if on.from_end else edges:
        run = outline.path.part(edge.start, edge.stop)
        length = float(curve_lengths(run.curves).sum())
        if -_ROUNDING <= distance <= length + _ROUNDING:
            within = min(max(distance, 0.0), length)
            place = place_at(run, length - within if on.from_end else within)
            return _spot(outline, edge.start + place.curve, place.t)
        distance -= length
    return None


def _spot(outline: Outline, number: int, t: float) -> Spot:
    curve = outline.path.curves[number : number + 1]
    along = derivative(curve, t)[0]
    size = np.hypot(*along)
    if size < 1e-9:
        along = (start_tangents(curve) if t < 0.5 else end_tangents(curve))[0]
        size = np.hypot(*along) or 1.0
    along = along / size
    side = 1.0 if signed_area(outline.path) >= 0 else -1.0
    return Spot(point(curve, t)[0], side * np.array([along[1], -along[0]]), number)


def tick(spot: Spot, width: float = 0.0, count: int = 1, form: str = "") -> Path:
    """The drawn notch: on the seam line without an allowance, else at the cut edge."""
    return forms_drawn(spot.point, spot.outward, width, count, form)


def redrawn(mark: Mark, outline: Outline, width: float = 0.0) -> Optional[Mark]:
    """A notch drawn anew on a changed outline; None where its edge is gone."""
    if mark.kind != NOTCH or mark.on is None:
        return mark
    spot = spot_of(outline, mark.on)
    if spot is None:
        return None
    curves = [tick(one, width, 1, mark.form).curves for one in beside(outline, mark, spot)]
    return mark._replace(path=Path(np.concatenate(curves)))


def beside(outline: Outline, mark: Mark, spot: Spot) -> List[Spot]:
    """Where each of several notches side by side sits: along the edge, beyond its ends straight on.

    Slits lie side by side, so that they are as far apart at the cut edge as at the seam.
    """
    found: List[Spot] = []
    along = np.array([-spot.outward[1], spot.outward[0]])
    for number in range(max(mark.count, 1)):
        aside = apart(mark.form) * (number - (mark.count - 1) / 2) if mark.count > 1 else 0.0
        straight = spot._replace(point=spot.point + along * aside)
        bent = None if not aside or mark.form in ("", SLIT) else _along(outline, mark.on, straight, aside)
        found.append(bent or straight)
    return found


def _along(outline: Outline, on: Optional[On], straight: Spot, aside: float) -> Optional[Spot]:
    """The place of the edge nearest to one ``aside`` mm straight on; None beyond an end or a dart."""
    if on is None:
        return None
    way = 1.0 if signed_area(outline.path) >= 0 else -1.0
    moved = aside * way * (-1.0 if on.from_end else 1.0)
    one = spot_of(outline, on._replace(distance=on.distance + moved))
    if one is None or np.hypot(*(one.point - straight.point)) > _BENT * abs(aside):
        return None
    return one


def settled(on: On, drawn: Outline, seam: Outline, width: float) -> Optional[On]:
    """A place on a cut line as a place on the seam line ``width`` mm inside it; None where it has none."""
    spot = spot_of(drawn, on)
    if spot is None or on.edge not in seam.names:
        return None
    foot, passed, best = spot.point - width * spot.outward, 0.0, (np.inf, 0.0)
    for run in seam.runs(on.edge):
        near = nearest(run, foot)
        best = min(best, (near.distance, passed + distance_of(run, near.place)))
        passed += path_length(run)
    return on._replace(distance=passed - best[1] if on.from_end else best[1])


def place_of(outline: Outline, spot: np.ndarray) -> On:
    """The place on the outline nearest to a point ``(2,)``; the distance as sewn."""
    found = nearest(outline.path, spot).place
    passed: Dict[str, float] = {}
    for edge in outline.edges:
        run = outline.path.part(edge.start, edge.stop)
        if edge.start <= found.curve < edge.stop:
            within = distance_of(run, Place(found.curve - edge.start, found.t))
            return On(edge.name, passed.get(edge.name, 0.0) + within)
        passed[edge.name] = passed.get(edge.name, 0.0) + path_length(run)
    raise ValueError("the edges do not cover the outline")


def notches_on(marks: Tuple[Mark, ...], outline: Outline, edge: str) -> List[Tuple[str, float]]:
    """Name and distance (mm) from the edge's start of the notches on it, in order."""
    found = [
        (mark.name, distance_from_start(outline, mark.on))
        for mark in marks
        if mark.kind == NOTCH and mark.on is not None and mark.on.edge == edge
    ]
    return sorted(found, key=lambda pair: pair[1])
