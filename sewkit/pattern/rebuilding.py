"""Cut lines with their true corners put back, before the allowance is taken off.

Two things are done to the corners of a cut line that its seam line knows nothing of: a
long point is cut off, and the end of a hem is mirrored so that it lies flat when it is
turned up.  Both leave a short straight edge that would vanish without its allowance.
"""

from typing import Callable, Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import curve_lengths
from sewkit.geometry.path import Path, cut_curve, end_tangents, is_line, lines, start_tangents, turns
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.outline import Edge, Outline

# A corner is cut off no nearer to the seam's corner than the width (common practice); a
# pencil's width less is still meant so (mm).
_SLACK = 0.3

# Points longer than this many widths are cut off, so what was cut off is no longer.
_LONGEST = 2.5

# How nearly a turned hem's end mirrors the seam beside it: degrees, and mm at the fold.
_MIRRORED_TURN = 1.0
_MIRRORED_PLACE = 0.3

# A seam that leans less than this shows no difference between mirrored and straight on;
# one that leans more cannot be turned back (degrees from square to the hem).
_LEAST_FLARE, _MOST_FLARE = 0.3, 60.0

_Width = Callable[[str], float]


class Whole(NamedTuple):
    """A cut line with whole corners, and how many were cut off and turned back before."""

    outline: Outline
    cut_off: int = 0
    turned_back: int = 0


def whole_corners(outline: Outline, width: _Width) -> Whole:
    """Make cut-off and turned-back corners whole again.

    Only edges that nobody named are given up (their names are numbers); an edge with a
    name of its own is there on purpose.
    """
    dropped = _cut_off(outline, width)
    if len(outline.edges) - len(dropped) < 3:
        dropped = {}
    outline, turned_back = _without_flaps(_rebuilt(outline, dropped), width)
    return Whole(outline, len(dropped), turned_back)


# -- corners cut off --------------------------------------------------------------------


def _cut_off(outline: Outline, width: _Width) -> Dict[int, np.ndarray]:
    """Numbers of the edges that cut a corner off, and the tip of that corner.

    Such an edge is straight and turns the same way at both ends; and of it nothing would
    be left inside the allowance: where the seams beside it meet lies as deep as they do.
    """
    edges, bends = outline.edges, _outward(outline) * turns(outline.path)
    straight, sizes = is_line(outline.path.curves), curve_lengths(outline.path.curves)
    found: Dict[int, np.ndarray] = {}
    for i, edge in enumerate(edges):
        if edge.stop - edge.start != 1 or not straight[edge.start] or not edge.name.isdigit():
            continue
        beside = width(edges[i - 1].name), width(edges[(i + 1) % len(edges)].name)
        turn = bends[edge.start], bends[edge.stop % len(outline.path)]
        if i - 1 in found or min(turn) < CORNER_TURN or sum(turn) > 178.0:
            continue
        if sizes[edge.start] < _LONGEST * max(beside) and _swallowed(outline, edge, beside):
            tip = _meeting(outline, edge, (0.0, 0.0))
            if tip is not None:
                found[i] = tip
    return found


def _swallowed(outline: Outline, edge: Edge, beside: Tuple[float, float]) -> bool:
    """Whether the seams on both sides meet as deep inside an edge as the wider allowance."""
    meet = _meeting(outline, edge, beside)
    if meet is None:
        return False
    start, end = outline.path.curves[edge.start, 0], outline.path.curves[edge.start, 3]
    return float((start - meet) @ _normal(outline, end - start)) >= max(beside) - _SLACK


def _meeting(outline: Outline, edge: Edge, inside: Tuple[float, float]) -> Optional[np.ndarray]:
    """Where the neighbours of an edge, moved inside by so much, would meet beyond it."""
    path = outline.path
    before, after = (edge.start - 1) % len(path), edge.stop % len(path)
    u = end_tangents(path.curves[before : before + 1])[0]
    v = start_tangents(path.curves[after : after + 1])[0]
    p = path.curves[before, 3] - inside[0] * _normal(outline, u)
    q = path.curves[after, 0] - inside[1] * _normal(outline, v)
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) < 1e-9:
        return None
    return p + ((q - p)[0] * v[1] - (q - p)[1] * v[0]) / cross * u


def _outward(outline: Outline) -> float:
    return 1.0 if signed_area(outline.path) >= 0 else -1.0


def _normal(outline: Outline, along: np.ndarray) -> np.ndarray:
    """The unit direction out of the piece, square to a direction of the path."""
    out = _outward(outline) * np.array([along[1], -along[0]])
    return out / (np.hypot(*out) or 1.0)


def _rebuilt(outline: Outline, dropped: Mapping[int, np.ndarray]) -> Outline:
    """Prolong the neighbours of each dropped edge to where they meet."""
    edges: List[Edge] = []
    parts: List[np.ndarray] = []
    total = len(outline.edges)
    for i, edge in enumerate(outline.edges):
        if i in dropped:
            continue
        part = [outline.path.part(edge.start, edge.stop).curves]
        if (i - 1) % total in dropped:
            part.insert(0, lines(dropped[(i - 1) % total][None], part[0][:1, 0]))
        if (i + 1) % total in dropped:
            part.append(lines(part[-1][-1:, 3], dropped[(i + 1) % total][None]))
        edges.append(edge)
        parts.append(_merged_lines(np.concatenate(part)))
    return _counted(outline, edges, parts)


def _merged_lines(curves: np.ndarray) -> np.ndarray:
    """Straight curves that run on in one direction become one."""
    straight = is_line(curves)
    out = [curves[0]]
    last = bool(straight[0])
    for curve, line in zip(curves[1:], straight[1:]):
        if last and line and abs(turns(Path(np.array([out[-1], curve])))[0]) < 1e-6:
            out[-1] = lines(out[-1][None, 0], curve[None, 3])[0]
        else:
            out.append(curve)
        last = bool(line)
    return np.array(out)


# -- hems turned back -------------------------------------------------------------------


def _without_flaps(outline: Outline, width: _Width) -> Tuple[Outline, int]:
    """Replace the mirrored ends of hems by the straight run of the seams beside them."""
    count = 0
    for _ in ("forwards", "backwards"):
        at = 0
        while at < len(outline.edges):
            made = _without_flap(outline, at, width)
            if made is not None:
                outline, count = made, count + 1
            at += 1
        # The ends of the hems are found by their starts on the outline run backwards.
        outline = _backwards(outline)
    return outline, count


def _without_flap(outline: Outline, at: int, width: _Width) -> Optional[Outline]:
    """The outline without the flap before the start of an edge, or None if there is none."""
    path, hem = outline.path, outline.edges[at]
    depth, flap = width(hem.name), (hem.start - 1) % len(path)
    before = outline.edges[at - 1]
    alone = before.stop - before.start == 1
    if len(path) < 4 or depth <= 0 or alone and not before.name.isdigit():
        return None
    way = start_tangents(path.curves[hem.start : hem.start + 1])[0]
    out, fold = _normal(outline, way), path.curves[flap, 0]
    reach = float((path.curves[hem.start, 0] - fold) @ out)
    u = end_tangents(np.array([path.curves[flap - 1]]))[0]
    if abs(reach - depth) > _MIRRORED_PLACE or u @ out <= 0:
        return None
    flat = start_tangents(path.curves[flap : flap + 1])[0]
    # Mirrored in the fold, the seam leans as far the other way and goes on outwards.
    off = np.degrees(np.arccos(np.clip(flat @ out * (u @ out) - flat @ way * (u @ way), -1.0, 1.0)))
    flared = abs(np.degrees(np.arcsin(np.clip(u @ way, -1.0, 1.0))))
    if not (_LEAST_FLARE < flared < _MOST_FLARE) or off > min(_MIRRORED_TURN, flared / 4):
        return None
    return _prolonged(outline, at, fold, u, fold + u * (reach / (u @ out)), alone)


def _prolonged(
    outline: Outline, at: int, fold: np.ndarray, u: np.ndarray, tip: np.ndarray, alone: bool
) -> Optional[Outline]:
    """The outline with one flap replaced by the seam before it, drawn on to the hem's cut edge."""
    edges = list(outline.edges)
    parts = [outline.path.part(edge.start, edge.stop).curves for edge in edges]
    first = parts[at][0]
    ahead = (tip - first[0]) @ start_tangents(first[None])[0]
    if ahead <= 0:
        hem = [lines(tip[None], first[None, 0]), parts[at]]
    elif is_line(first[None])[0]:
        hem = [lines(tip[None], first[None, 3]), parts[at][1:]]
    else:
        found = crossings_with_line(Path(first[None]), fold, u)
        if not found:
            return None
        rest = cut_curve(first, found[0].t, 1.0)
        tip, hem = rest[0], [rest[None], parts[at][1:]]
    parts[at] = _merged_lines(np.concatenate(hem))
    parts[at - 1] = np.concatenate([parts[at - 1][:-1], lines(fold[None], tip[None])])
    if alone:
        edges[at - 1] = edges[at - 1]._replace(name=edges[at - 2].name, smooth=True)
    return _counted(outline, edges, parts)


def _counted(outline: Outline, edges: Sequence[Edge], parts: Sequence[np.ndarray]) -> Outline:
    """The outline made of these parts, one for each edge."""
    ends = np.cumsum([len(part) for part in parts]).tolist()
    counted = tuple(e._replace(start=a, stop=b) for e, a, b in zip(edges, [0] + ends, ends))
    return outline._replace(path=Path(np.concatenate(parts), outline.path.closed), edges=counted)


def _backwards(outline: Outline) -> Outline:
    """The same outline run the other way; an edge begins smoothly where it ended so."""
    n, edges = len(outline.path), outline.edges
    following = edges[1:] + edges[:1]
    turned = tuple(
        Edge(edge.name, n - edge.stop, n - edge.start, after.smooth)
        for edge, after in zip(edges[::-1], following[::-1])
    )
    return outline._replace(path=outline.path.reverse(), edges=turned)
