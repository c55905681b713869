"""An independent idea of an allowance: the union of bands along the edges, by Shapely.

The outline is sampled finely; along every edge lies a band as wide as its allowance, made
of one small quadrilateral a step; every corner that opens gets the quadrilateral between
the seam corner, the two band ends and the tip of the mitre, whose place is taken from the
closed form  x = [(d1 - d2 c) n1 + (d2 - d1 c) n2] / (1 - c^2),  c = n1 . n2.
Outside the bands are added to the piece, inside they are taken away from it.
"""

import math

import numpy as np
import pytest

from sewkit.geometry.path import derivative, end_tangents, is_line, point, start_tangents
from sewkit.geometry.tolerance import SMOOTH_JOINT

shapely = pytest.importorskip("shapely")

STEPS = 400


def dense(path, steps=STEPS):
    """Points along a path, the nodes among them, ``(k, 2)``."""
    t = np.linspace(0, 1, steps + 1)[:-1]
    return point(path.curves, np.broadcast_to(t, (len(path), steps))).reshape(-1, 2)


def _normals(directions, sign):
    return np.stack([directions[..., 1], -directions[..., 0]], axis=-1) * sign


def bands(path, widths, mitre_limit=2.5, steps=STEPS):
    """The allowance as (polygon, doubts); a doubt is a node whose corner has no agreed answer."""
    n = len(path)
    widths = np.broadcast_to(np.asarray(widths, float), (n,))
    piece = shapely.Polygon(dense(path, steps))
    ring = shapely.get_coordinates(piece)
    sign = 1.0 if _shoelace(ring) > 0 else -1.0
    t = np.array([_steps(curve, steps) for curve in path.curves])
    points, slope = point(path.curves, t), derivative(path.curves, t)
    out, arrive = start_tangents(path.curves), end_tangents(path.curves)
    slope[:, 0], slope[:, -1] = out, arrive
    slope /= np.linalg.norm(slope, axis=2)[..., None]
    moved = points + _normals(slope, sign) * widths[:, None, None]
    parts = []
    straight = is_line(path.curves)
    for i in range(n):
        if widths[i] == 0:
            continue
        if straight[i]:
            ends = [points[i, 0], points[i, -1], moved[i, -1], moved[i, 0]]
            parts.append(shapely.Polygon(ends))
            continue
        whole = shapely.Polygon(np.concatenate([points[i], moved[i, ::-1]]))
        if whole.is_valid:
            parts.append(whole)
            continue
        # Where the allowance is wider than the curve's radius the band folds over.
        quads = np.stack([points[i, :-1], points[i, 1:], moved[i, 1:], moved[i, :-1]], axis=1)
        rings = np.concatenate([quads, quads[:, :1]], axis=1)
        parts.extend(shapely.convex_hull(shapely.linestrings(rings)))
    corners, doubts = _corners(path, widths, sign, out, arrive, mitre_limit)
    parts.extend(corners)
    # Bands that share an edge leave gaps of rounding; closing them moves nothing else.
    # Without a grid GEOS now and then loses a whole part (seen: 2 of 3000 unions).
    band = shapely.union_all(parts, grid_size=1e-7).buffer(1e-6, quad_segs=1)
    inside = widths.max() <= 0
    try:
        return (piece.difference(band) if inside else piece.union(band)), doubts
    except shapely.GEOSException:
        grid = {"grid_size": 1e-6}
        band = shapely.set_precision(band, 1e-6)
        together = shapely.difference if inside else shapely.union
        return together(piece, band, **grid), doubts


def _steps(curve, steps):
    """Parameters that share out length and turning, so that tight bends are not missed."""
    t = np.linspace(0, 1, 4 * steps + 1)
    slope = derivative(curve[None], t[None])[0]
    slope = slope[:, 0] + 1j * slope[:, 1]
    speed = np.abs((slope[1:] + slope[:-1]) / 2)
    turn = np.abs(np.angle(slope[1:] * slope[:-1].conj()))
    work = speed / speed.sum() + turn / max(turn.sum(), 1e-9)
    total = np.concatenate([[0], np.cumsum(work)])
    fine = np.interp(np.linspace(0, total[-1], steps + 1), total, t)
    fine[0], fine[-1] = 0, 1
    return fine


def _shoelace(ring):
    x, y = ring[:, 0], ring[:, 1]
    return (x[:-1] * y[1:] - x[1:] * y[:-1]).sum() / 2


def _corners(path, widths, sign, out, arrive, mitre_limit):
    parts, doubts = [], []
    for i in range(len(path)):
        d1, d2 = widths[i - 1], widths[i]
        t1, t2, corner = arrive[i - 1], out[i], path.curves[i, 0]
        angle = sign * math.degrees(math.atan2(t1[0] * t2[1] - t1[1] * t2[0], t1 @ t2))
        n1, n2 = _normals(t1, sign), _normals(t2, sign)
        if d1 == d2 == 0 or abs(angle) < 1e-9 and d1 == d2:
            continue
        if d1 != d2 and abs(angle) < 10:
            doubts.append(corner)
            continue
        c = n1 @ n2
        x = ((d1 - d2 * c) * n1 + (d2 - d1 * c) * n2) / (1 - c * c)
        if angle * d1 < 0 or angle * d2 < 0:
            # Closing; the bands overlap unless one would have to be prolonged.
            near = max(abs(d1), abs(d2)) if d1 != d2 else 0.0
            if x @ t1 > -near or x @ t2 < near:
                doubts.append(corner)
            continue
        tip, ends = corner + x, (corner + n1 * d1, corner + n2 * d2)
        if np.linalg.norm(x) > mitre_limit * max(abs(d1), abs(d2)) and abs(angle) > SMOOTH_JOINT:
            u = x / np.linalg.norm(x)
            reach = max(abs(d1), abs(d2))
            a = (reach - u @ (ends[0] - corner)) / (u @ t1)
            b = (reach - u @ (ends[1] - corner)) / (u @ t2)
            if a < 0 or b > 0:
                doubts.append(corner)
            parts.append(_hull(corner, ends[0], ends[0] + a * t1, ends[1] + b * t2, ends[1]))
        else:
            if x @ t1 < 0 or x @ t2 > 0:
                doubts.append(corner)
            parts.append(_hull(corner, ends[0], tip, ends[1]))
    return parts, doubts


def _hull(*points):
    return shapely.convex_hull(shapely.MultiPoint(np.array(points)))


def deviation(path, region, doubts=(), reach=0.0):
    """Largest distance between a path and the boundary of a region, both ways, mm.

    What lies within ``reach`` of a doubtful corner is not compared.
    """
    region = max(getattr(region, "geoms", [region]), key=lambda part: part.area)
    edge, ours = region.exterior, shapely.LinearRing(dense(path, 400))
    back = shapely.get_coordinates(shapely.segmentize(edge, 5.0))
    return max(
        _farthest(_away(dense(path, 40), doubts, reach), edge),
        _farthest(_away(back, doubts, reach), ours),
    )


def _away(points, doubts, reach):
    for corner in doubts:
        points = points[np.linalg.norm(points - corner, axis=1) > reach]
    return points


def _farthest(points, ring):
    """The largest distance from points to a ring, by an index of its segments."""
    if not len(points):
        return 0.0
    ends = shapely.get_coordinates(ring)
    segments = shapely.linestrings(np.stack([ends[:-1], ends[1:]], axis=1))
    tree = shapely.STRtree(segments)
    return tree.query_nearest(shapely.points(points), return_distance=True)[1].max()
