"""Two bare lines that a person selected, made comparable: same edges, same direction."""

from typing import List, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.pattern.outline import Edge, Outline, bare_outline, corner_nodes


def comparable(first: Outline, second: Outline) -> Tuple[Outline, Outline]:
    """Both lines with edges "1", "2", ... that correspond; the second one is turned to fit.

    Two open lines become one edge each.  Two closed outlines need the same number of
    corners; the second starts at the corner, and runs in the direction, that lies
    nearest to the first.  ``InputError`` where one is open and the other closed.
    """
    if first.path.closed != second.path.closed:
        raise InputError(
            "One of the two lines is open and the other closed.",
            "Select two lines of the same kind: two outlines, or two open edges.",
            code="choice",
        )
    if not first.path.closed:
        a, b = first.path, second.path
        if _apart(a, b) > _apart(a, b.reverse()):
            b = b.reverse()
        return _one_edge(first, a), _one_edge(second, b)
    first, candidates = bare_outline(first.path, first.size, first.key), _turns(second)
    fitting = [o for o in candidates if len(o.edges) == len(first.edges)]
    if not fitting:
        raise InputError(
            "The first outline has {} corners and the second {}.".format(
                len(first.edges), len(candidates[0].edges)
            ),
            "Both need the same corners; remove or add the one that is too many.",
            code="corners",
        )
    corners = _corners(first)
    return first, min(fitting, key=lambda o: float(np.hypot(*(_corners(o) - corners).T).sum()))


def _one_edge(outline: Outline, path: Path) -> Outline:
    return Outline(outline.size, path, (Edge("1", 0, len(path)),), outline.key)


def _apart(a: Path, b: Path) -> float:
    return float(np.hypot(*(a.start - b.start)) + np.hypot(*(a.end - b.end)))


def _turns(outline: Outline) -> List[Outline]:
    found = []
    for path in (outline.path, outline.path.reverse()):
        for corner in corner_nodes(path) or (0,):
            found.append(bare_outline(path.start_at(corner), outline.size, outline.key))
    return found


def _corners(outline: Outline) -> np.ndarray:
    return np.array([outline.path.curves[edge.start, 0] for edge in outline.edges])
