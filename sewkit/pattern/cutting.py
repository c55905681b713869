"""Cut line from seam line and back: widths per edge, a rule per corner.

The seam line is the truth; the cut line follows from it, the widths and the corners, and
can always be made again.
"""

from typing import Callable, List, Mapping, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.corner import Corner
from sewkit.geometry.length import path_length
from sewkit.geometry.offset import Offset, OffsetVanishes, offset
from sewkit.geometry.path import Path, lines, turns
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.dart_cap import Cap
from sewkit.pattern.fold_mouth import fold_mouths
from sewkit.pattern.outline import Edge, Outline

# An open outline's ends up to this far apart are joined with a straight line and told;
# wider gaps are asked about (mm): a dash gap is 2-5 mm, a gap left by design is not.
BRIDGED = 3.0
SILENT = 0.3


class Cut(NamedTuple):
    """A parallel outline, and what there is to tell about it.

    ``runs`` says for every curve of the new path which edge it follows; "" on corners.
    ``around`` is the outline that it runs along, ``widths`` how far from each of its curves.
    """

    path: Path
    runs: Tuple[str, ...]
    result: Offset
    around: Outline
    widths: np.ndarray


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


def without_darts(outline: Outline, darts: Sequence[str], caps: Mapping[int, Cap] = {}) -> Outline:
    """The outline with dart legs replaced by the cap over each mouth, or a straight line across it.

    Args:
        caps: by the number of the dart's first leg among the outline's edges.

    A cap counts as part of the edge that it continues, a straight line as part of the edge
    before the dart; each has the allowance of its edge.  The mouth of a pleat stays as it is drawn.
    """
    if not any(edge.name in darts for edge in outline.edges) or all(e.name in darts for e in outline.edges):
        return outline
    count = len(outline.edges)
    outline, first = _from_no_dart(outline, darts)
    edges: List[Edge] = []
    curves: List[np.ndarray] = []
    across = False
    capped = -1
    folds = {number for mouth in fold_mouths(outline, darts) for number in mouth.edges}
    for number, edge in enumerate(outline.edges):
        part = outline.path.part(edge.start, edge.stop).curves
        leg = edge.name in darts
        cap = caps.get((number + first) % count)
        if cap is not None:
            edges.append(edge._replace(name=cap.edge))
            curves.append(cap.path.curves)
            capped, across = number + 1, False
            continue
        if number == capped:
            continue
        if number in folds:
            edges.append(edge._replace(name=edges[-1].name))
            curves.append(part)
            across = False
            continue
        if leg and across:
            curves[-1] = lines(curves[-1][:1, 0], part[-1:, 3])
        elif leg:
            edges.append(edge._replace(name=edges[-1].name))
            curves.append(lines(part[:1, 0], part[-1:, 3]))
        else:
            edges.append(edge)
            curves.append(part)
        across = leg
    ends = np.cumsum([len(part) for part in curves]).tolist()
    counted = tuple(e._replace(start=a, stop=b) for e, a, b in zip(edges, [0] + ends, ends))
    return outline._replace(path=Path(np.concatenate(curves), outline.path.closed), edges=counted)


def _from_no_dart(outline: Outline, darts: Sequence[str]) -> Tuple[Outline, int]:
    """The closed outline beginning with an edge that is no dart leg, and that edge's number before."""
    edges, n = outline.edges, len(outline.path)
    first = next(i for i, edge in enumerate(edges) if edge.name not in darts)
    if not first or not outline.path.closed:
        return outline, 0
    shift = edges[first].start
    moved = [e._replace(start=(e.start - shift) % n, stop=(e.stop - shift - 1) % n + 1) for e in edges]
    turned = tuple(moved[first:] + moved[:first])
    return outline._replace(path=outline.path.start_at(shift), edges=turned), first


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
    return Cut(result.path, runs, result, outline, widths)


def _refuse_nothing(outline: Outline, name: str) -> None:
    if abs(signed_area(outline.path)) >= 0.01:
        return
    if path_length(outline.path) < 0.1:
        raise InputError("'{}' has no length.".format(name), "Delete it, or draw it again.", code="empty")
    raise InputError(
        "'{}' encloses nothing; its lines lie on each other.".format(name),
        "Draw the outline of the piece, once round.",
        code="empty",
    )


def seam_outline(cut: Cut, names: Sequence[str], size: str, key: str = "") -> Outline:
    """The parallel line as an outline whose edges keep the names they had.

    It begins at a corner, with the first of ``names`` that is still there.  Where a loop
    was trimmed inside an edge there is a corner now, and the edge goes on behind it as a
    second run of its name.  An edge that was swallowed whole is missing.
    """
    bends = np.abs(turns(cut.path))
    runs = _named_runs(cut.runs, bends)
    start = _first_start(runs, names, bends)
    path, runs, bends = cut.path.start_at(start), runs[start:] + runs[:start], np.roll(bends, -start)
    edges: List[Edge] = []
    for number, (name, bend) in enumerate(zip(runs, bends)):
        if number and edges[-1].name == name and bend <= CORNER_TURN:
            edges[-1] = edges[-1]._replace(stop=number + 1)
        else:
            edges.append(Edge(name, number, number + 1, bool(number and bend <= CORNER_TURN)))
    return Outline(size, path, tuple(edges), key)


def _named_runs(runs: Sequence[str], bends: np.ndarray) -> List[str]:
    """An edge for every curve: the lines of a corner belong to the edge on their side of its tip."""
    named, n = list(runs), len(runs)
    for first in [i for i in range(n) if not runs[i] and runs[i - 1]]:
        last = first
        while not runs[last % n]:
            last += 1
        tip = max(range(first, last + 1), key=lambda i: bends[i % n])
        for i in range(first, last):
            named[i % n] = runs[first - 1] if i < tip else runs[last % n]
    return named


def _first_start(runs: Sequence[str], names: Sequence[str], bends: np.ndarray) -> int:
    """The curve at which the first edge still there begins, at a corner if there is one."""
    starts = [i for name in names for i in range(len(runs)) if runs[i] == name and runs[i - 1] != name]
    sharp = [i for i in starts if bends[i] > CORNER_TURN]
    return (sharp or [int(i) for i in np.nonzero(bends > CORNER_TURN)[0]] or starts or [0])[0]
