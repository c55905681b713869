"""One piece in all its sizes: starts that correspond, sizes that grow, lines that do not cross."""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path
from sewkit.pattern.outline import corner_nodes
from sewkit.sheet.nest_close import Ring
from sewkit.sheet.nest_shapes import inside, near

# A smaller size may stand out from the next one by this much (mm) before it is told: the
# amber limit for a recovered line.
_STANDS_OUT = 0.3
# Places along an outline at which that is looked at.
_LOOKS = 160


class Started(NamedTuple):
    """Paths that all start at the same corner; ``uneven``: those whose corners are fewer or more."""

    paths: Tuple[Path, ...]
    uneven: Tuple[int, ...]


class Crossed(NamedTuple):
    """Where a smaller size stands out from the next one, and by how much (mm)."""

    point: Tuple[float, float]
    distance: float


def started(paths: Sequence[Path]) -> Started:
    """Let closed paths, smallest first, start at corners that correspond.

    Corners are matched by their order and by their place in the box around the outline.
    Where the numbers of corners differ, the start is the corner, or else the node, that
    lies nearest in the box.
    """
    corners = [corner_nodes(path) for path in paths]
    counts = [len(nodes) for nodes in corners]
    usual = max(sorted(set(counts)), key=counts.count)
    first = counts.index(usual)
    found: List[Optional[Path]] = [None] * len(paths)
    found[first] = paths[first].start_at(_upper_left(paths[first], corners[first]))
    for number in list(range(first + 1, len(paths))) + list(range(first - 1, -1, -1)):
        other = found[number - 1] if number > first else found[number + 1]
        found[number] = paths[number].start_at(_start(paths[number], corners[number], other))
    uneven = tuple(number for number, count in enumerate(counts) if count != usual)
    return Started(tuple(path for path in found if path is not None), uneven)


def _in_box(path: Path, nodes: Sequence[int]) -> np.ndarray:
    """Nodes ``(k, 2)`` as parts of the box around all nodes."""
    low, high = path.nodes.min(axis=0), path.nodes.max(axis=0)
    return (path.nodes[list(nodes)] - low) / np.maximum(high - low, 1e-9)


def _upper_left(path: Path, corners: Sequence[int]) -> int:
    nodes = list(corners) or list(range(len(path)))
    return nodes[int(_in_box(path, nodes).sum(axis=1).argmin())]


def _start(path: Path, corners: Sequence[int], other: Path) -> int:
    """The node that corresponds to the start of another path."""
    others = corner_nodes(other)
    if not corners or len(corners) != len(others):
        nodes = list(corners) or list(range(len(path)))
        away = _in_box(path, nodes) - _in_box(other, [0])
        return nodes[int((away * away).sum(axis=1).argmin())]
    here, there = _in_box(path, corners), _in_box(other, others)
    turns = range(len(corners))
    misses = [float(((np.roll(here, -turn, axis=0) - there) ** 2).sum()) for turn in turns]
    return corners[int(np.argmin(misses))]


def crossed(smaller: Ring, larger: Ring) -> Optional[Crossed]:
    """Where the smaller of two sizes stands out farthest; None where it does not."""
    run = np.vstack([smaller.points, smaller.points[:1]])
    along = _along(run)
    wanted = np.linspace(0.0, along[-1], _LOOKS, endpoint=False)
    spots = np.stack([np.interp(wanted, along, run[:, k]) for k in (0, 1)], axis=1)
    spots = np.vstack([spots, smaller.points]) if len(smaller.points) < _LOOKS else spots
    out = spots[~inside(larger.points, spots)]
    if not len(out):
        return None
    edge = np.vstack([larger.points, larger.points[:1]])
    distance = near(edge, _along(edge), out).distance
    worst = int(distance.argmax())
    if distance[worst] <= _STANDS_OUT:
        return None
    return Crossed((float(out[worst, 0]), float(out[worst, 1])), float(distance[worst]))


def _along(run: np.ndarray) -> np.ndarray:
    steps = np.diff(run, axis=0)
    return np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))])


def reading_order(boxes: np.ndarray) -> List[int]:
    """Numbers of boxes ``(n, 4)``, in rows from the top, left to right in a row.

    A box is in a row when it shares half of its height, or of the row's first box's
    height, with that first box.
    """
    left = sorted(range(len(boxes)), key=lambda n: (boxes[n][1], boxes[n][0]))
    order: List[int] = []
    while left:
        top, bottom = boxes[left[0]][1], boxes[left[0]][3]
        row = []
        for number in left:
            high, low = boxes[number][1], boxes[number][3]
            shared = min(low, bottom) - max(high, top)
            if shared >= 0.5 * min(low - high, bottom - top):
                row.append(number)
        order += sorted(row, key=lambda n: (boxes[n][0], boxes[n][1]))
        left = [number for number in left if number not in row]
    return order
