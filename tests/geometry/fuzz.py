"""Random offsets, judged by bands: the same cases in the test suite and in the long run."""

import math
from typing import NamedTuple

import numpy as np

from sewkit.geometry.offset import Corner, OffsetVanishes, Style, offset
from sewkit.geometry.path import Path, is_line, lines
from tests.geometry.bands import bands, dense, deviation, shapely
from tests.geometry.shapes import OUTLINES

WIDTHS = (0.0, 6.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0)
SHAPES = list(OUTLINES.values())


class Verdict(NamedTuple):
    """What became of a case: "compared", "refused", "vanished", "doubtful" or "failed"."""

    word: str
    miss: float = 0.0
    note: str = ""


def case(seed):
    """A path and its widths: an outline squeezed, turned, with shaken handles."""
    random = np.random.RandomState(seed)
    path = SHAPES[seed % len(SHAPES)]
    angle = random.uniform(0, 2 * math.pi)
    turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    squeeze = np.diag(random.uniform(0.6, 1.5, 2)) @ np.array([[1, random.uniform(-0.3, 0.3)], [0, 1]])
    curves = np.array(path.curves)
    bent = ~is_line(curves)
    size = np.linalg.norm(curves[:, 3] - curves[:, 0], axis=1)
    noise = random.normal(size=(len(curves), 2, 2)) * random.choice([0.0, 0.02, 0.08])
    curves[bent, 1:3] += (noise * size[:, None, None])[bent]
    curves = curves @ squeeze @ turn
    curves[~bent] = lines(curves[~bent, 0], curves[~bent, 3])
    path = Path(curves, True)
    if random.rand() < 0.3:
        path = path.reverse()
    kind = random.rand()
    if kind < 0.4:
        widths = np.full(len(path), random.choice(WIDTHS[1:]))
    else:
        widths = random.choice(WIDTHS, len(path))
    return path, -widths if random.rand() < 0.4 else widths


def judge(seed, tolerance=0.01):
    """Offset one case and compare; an unexpected exception is for the caller."""
    path, widths = case(seed)
    piece = shapely.Polygon(dense(path))
    valid = piece.is_valid
    try:
        ours = offset(path, widths, tolerance=tolerance)
    except OffsetVanishes:
        return _vanished(path, widths)
    except ValueError as error:
        return Verdict("failed" if valid else "refused", note=str(error))
    if not valid:
        # Two legs of a slit that cross by a hair at its apex are let pass.
        lost = abs(piece.buffer(0).area - abs(piece.area))
        return Verdict("doubtful" if lost < 1.0 else "failed", note="a crossing outline was taken")
    region, doubts = bands(path, widths)
    if not shapely.Polygon(dense(ours.path, 60)).buffer(0).area:
        return Verdict("failed", note="no area")
    miss = deviation(ours.path, region, doubts, 3.0 * np.abs(widths).max())
    return Verdict("doubtful" if ambiguous(path, widths) else "compared", float(miss))


def ambiguous(path, widths):
    """Widths that differ, beyond some hollow's radius: no agreed answer exists."""
    if (widths == widths[0]).all():
        return False
    t = np.linspace(0, 1, 60)
    for curve, width, straight in zip(path.curves, widths, is_line(path.curves)):
        if not straight and width and smallest_radius(curve, t) < abs(width):
            return True
    return False


def smallest_radius(curve, t):
    """Of a cubic, at sampled parameters, mm."""
    d = np.diff(curve, axis=0) * 3
    s = 1 - t[:, None]
    t = t[:, None]
    one = s * s * d[0] + 2 * s * t * d[1] + t * t * d[2]
    two = 2 * (s * (d[1] - d[0]) + t * (d[2] - d[1]))
    bend = np.abs(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0])
    speed = np.linalg.norm(one, axis=1)
    return (speed**3 / np.maximum(bend, 1e-12)).min()


def _vanished(path, widths):
    """Right if nothing, little, or several parts are left, or a whole edge is gone."""
    region, _ = bands(path, widths)
    parts = [part for part in getattr(region, "geoms", [region]) if part.area > 1.0]
    if widths.max() <= 0 and (len(parts) != 1 or _edge_gone(path, widths, parts[0])):
        return Verdict("vanished")
    return Verdict("failed", note="vanished, though a part is left")


def _edge_gone(path, widths, part):
    """Tell whether some edge has no point of the remaining boundary at its own width."""
    for curve, width in zip(path.curves, widths):
        if width < 0:
            piece = shapely.LineString(dense(Path(curve[None]), 200))
            near = shapely.get_coordinates(shapely.segmentize(part.exterior, 2.0))
            gap = shapely.distance(shapely.points(near), piece)
            # One point may lie at that distance by chance; an edge leaves at least two.
            if (np.abs(gap + width) < 0.005).sum() < 2:
                return True
    return False


def styled(seed):
    """The same case with random corner styles: what is wrong with the answer, or nothing."""
    path, widths = case(seed)
    random = np.random.RandomState(seed + 999)
    styles = list(Style)
    corners = [Corner(styles[random.randint(4)], random.randint(2)) for _ in range(len(path))]
    piece = shapely.Polygon(dense(path))
    if not piece.is_valid:
        return ""
    try:
        ours = shapely.Polygon(dense(offset(path, widths, corners).path, 100))
    except OffsetVanishes:
        return ""
    if not ours.is_valid:
        return "crosses itself"
    outer, inner = (ours, piece) if widths.max() > 0 else (piece, ours)
    return "cuts into the piece" if inner.difference(outer.buffer(0.05)).area > 0.5 else ""
