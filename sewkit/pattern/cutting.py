"""Cut line from seam line and back: widths per edge, a rule per corner.

The seam line is the truth; the cut line follows from it, the widths and the corners, and
can always be made again.
"""

from typing import Callable, Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.corner import Corner
from sewkit.geometry.length import curve_lengths
from sewkit.geometry.offset import Offset, OffsetVanishes, offset
from sewkit.geometry.path import Path, is_line, lines, turns
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.outline import Edge, Outline

# An open outline's ends up to this far apart are joined with a straight line and told;
# wider gaps are asked about (mm): a dash gap is 2-5 mm, a gap left by design is not.
BRIDGED = 3.0
SILENT = 0.3


class Cut(NamedTuple):
    """A parallel outline, and what there is to tell about it.

    ``runs`` says for every curve of the new path which edge it follows; "" on corners.
    """

    path: Path
    runs: Tuple[str, ...]
    result: Offset


def closed_outline(outline: Outline, name: str) -> Tuple[Outline, float]:
    """The outline closed over a small gap, and the gap (mm); ``InputError`` if it is wide."""
    if outline.path.closed:
        return outline, 0.0
    gap = float(np.hypot(*(outline.path.end - outline.path.start)))
    if gap > BRIDGED or len(outline.path) < 2:
        raise InputError(
            "'{}' is open: its ends are {:.1f} mm apart, at ({:.0f}, {:.0f}) mm.".format(
                name, gap, *outline.path.end
            ),
            "An allowance needs a closed outline; join the two end nodes.",
            code="open",
        )
    bridge = lines(outline.path.end[None], outline.path.start[None])
    path = Path(np.concatenate([outline.path.curves, bridge]), closed=True)
    edges = outline.edges[:-1] + (outline.edges[-1]._replace(stop=len(path)),)
    return outline._replace(path=path, edges=edges), gap


def without_darts(outline: Outline, darts: Sequence[str]) -> Outline:
    """The outline with dart legs replaced by a straight line across each mouth."""
    if not any(edge.name in darts for edge in outline.edges):
        return outline
    edges: List[Edge] = []
    curves: List[np.ndarray] = []
    count = 0
    for edge in outline.edges:
        part = outline.path.part(edge.start, edge.stop).curves
        if edge.name in darts:
            if edges and edges[-1].name == edge.name:
                curves[-1] = lines(curves[-1][:1, 0], part[-1:, 3])
                continue
            part = lines(part[:1, 0], part[-1:, 3])
        edges.append(Edge(edge.name, count, count + len(part), edge.smooth))
        curves.append(part)
        count += len(part)
    return outline._replace(path=Path(np.concatenate(curves), outline.path.closed), edges=tuple(edges))


def parallel(
    outline: Outline,
    name: str,
    width: Callable[[str], float],
    corner: Callable[[str, str], Corner],
    mitre_limit: float,
) -> Cut:
    """The parallel outline outside (or with negative widths inside) a closed one."""
    edges = outline.edges
    widths = np.zeros(len(outline.path))
    corners = [Corner()] * len(outline.path)
    for before, edge in zip(edges[-1:] + edges[:-1], edges):
        widths[edge.start : edge.stop] = width(edge.name)
        corners[edge.start] = corner(before.name, edge.name)
    _refuse_nothing(outline, name)
    try:
        result = offset(outline.path, widths, corners, mitre_limit)
    except OffsetVanishes as error:
        raise InputError(
            "'{}' is too small for {:g} mm: nothing is left near ({:.0f}, {:.0f}) mm.".format(
                name, float(np.abs(widths).max()), *error.point
            ),
            "Ask for less, or look whether the drawing has its true size.",
            code="offset",
        ) from None
    except ValueError as error:
        raise InputError(
            "No parallel line can be drawn round '{}': {}.".format(name, str(error).rstrip(".")),
            "Mend the outline there and try again.",
            code="outline",
        ) from None
    by_curve = [""] * len(outline.path)
    for edge in edges:
        by_curve[edge.start : edge.stop] = [edge.name] * (edge.stop - edge.start)
    runs = tuple(by_curve[source] if source >= 0 else "" for source in result.sources)
    return Cut(result.path, runs, result)


def _refuse_nothing(outline: Outline, name: str) -> None:
    if not len(outline.path) or float(curve_lengths(outline.path.curves).sum()) < 0.1:
        raise InputError("'{}' has no length.".format(name), "Delete it, or draw it again.", code="empty")
    if abs(signed_area(outline.path)) < 0.01:
        raise InputError(
            "'{}' encloses nothing; its lines lie on each other.".format(name),
            "Draw the outline of the piece, once round.",
            code="empty",
        )


def seam_outline(cut: Cut, names: Sequence[str], size: str, key: str = "") -> Outline:
    """The parallel line as an outline whose edges keep the names they had.

    Corner lines between two edges go to the edge before them.  An edge that was
    swallowed whole is missing from the result.
    """
    runs = list(cut.runs)
    for number in range(len(runs) * 2):
        i = number % len(runs)
        if not runs[i]:
            runs[i] = runs[i - 1]
    start = _first_start(runs, names)
    path = cut.path.start_at(start)
    runs = runs[start:] + runs[:start]
    bends = np.abs(turns(path))
    edges: List[Edge] = []
    for number, name in enumerate(runs):
        if edges and edges[-1].name == name and number:
            edges[-1] = edges[-1]._replace(stop=number + 1)
        else:
            edges.append(Edge(name, number, number + 1, bool(bends[number] < 12.0 and number)))
    return Outline(size, path, tuple(edges), key)


def _first_start(runs: Sequence[str], names: Sequence[str]) -> int:
    """The curve at which the first edge still there begins."""
    for name in names:
        starts = [i for i in range(len(runs)) if runs[i] == name and runs[i - 1] != name]
        if starts:
            return starts[0]
    return 0


def cut_off_corners(outline: Outline, width: Callable[[str], float]) -> Tuple[Outline, Tuple[str, ...]]:
    """A cut line with its blunted corners made whole again, and their edges' names.

    A blunted corner is a straight edge shorter than two and a half widths between two
    straight ends that would meet outside it, turning the same way at both its nodes by
    30 degrees or more.
    """
    edges, bends = outline.edges, turns(outline.path)
    side = 1.0 if signed_area(outline.path) >= 0 else -1.0
    straight, sizes = is_line(outline.path.curves), curve_lengths(outline.path.curves)
    dropped: Dict[int, np.ndarray] = {}
    for i, edge in enumerate(edges):
        if edge.stop - edge.start != 1 or not straight[edge.start] or i - 1 in dropped:
            continue
        following = edge.stop % len(outline.path)
        turn = side * bends[edge.start], side * bends[following]
        limit = 2.5 * max(width(edges[i - 1].name), width(edges[(i + 1) % len(edges)].name))
        if sizes[edge.start] < limit and min(turn) > 30.0 and sum(turn) < 170.0:
            tip = _meeting(outline.path, edge.start - 1, following)
            if tip is not None:
                dropped[i] = tip
    if not dropped or len(edges) - len(dropped) < 3:
        return outline, ()
    return _rebuilt(outline, dropped), tuple(edges[i].name for i in dropped)


def _meeting(path: Path, before: int, after: int) -> Optional[np.ndarray]:
    from sewkit.geometry.path import end_tangents, start_tangents

    p, q = path.curves[before, 3], path.curves[after, 0]
    u = end_tangents(path.curves[before : before + 1 or None])[0]
    v = start_tangents(path.curves[after : after + 1])[0]
    cross = u[0] * v[1] - u[1] * v[0]
    if abs(cross) < 1e-9:
        return None
    along = ((q - p)[0] * v[1] - (q - p)[1] * v[0]) / cross
    return p + along * u if along > 0 else None


def _rebuilt(outline: Outline, dropped: Mapping[int, np.ndarray]) -> Outline:
    """Prolong the neighbours of each dropped edge to where they meet."""
    edges: List[Edge] = []
    curves: List[np.ndarray] = []
    count = 0
    total = len(outline.edges)
    for i, edge in enumerate(outline.edges):
        if i in dropped:
            continue
        part = [outline.path.part(edge.start, edge.stop).curves]
        if (i - 1) % total in dropped:
            part.insert(0, lines(dropped[(i - 1) % total][None], part[0][:1, 0]))
        if (i + 1) % total in dropped:
            part.append(lines(part[-1][-1:, 3], dropped[(i + 1) % total][None]))
        whole = _merged_lines(np.concatenate(part))
        edges.append(Edge(edge.name, count, count + len(whole), edge.smooth))
        curves.append(whole)
        count += len(whole)
    return outline._replace(path=Path(np.concatenate(curves), outline.path.closed), edges=tuple(edges))


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
