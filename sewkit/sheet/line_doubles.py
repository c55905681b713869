"""Lines drawn twice on top of each other, and what two tiles both show, made one.

Only within one style and one layer: sizes share edges, and each keeps its own.
"""

import math
from typing import Dict, Iterator, List, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import is_line, lines, point
from sewkit.sheet.drawn import Line, Whole

# Lines nearer than this everywhere are one line drawn twice (mm).
SAME_LINE = 0.05
# Of this many pairs of lines the boxes are compared at most; that takes about ten seconds.  A
# sheet of a hundred thousand short lines has forty million.
MOST_COMPARED = 1000000000
# Points along a curve at which a line is compared with another.
_EVEN = np.linspace(0.0, 1.0, 9)


def without_repeats(lines_: Sequence[Line]) -> Tuple[Line, ...]:
    """Strokes without those that two tiles show alike.

    Strokes that one tile itself shows several times stay so often: five sizes may share
    a fold, and each needs its own.
    """
    seen: Dict[tuple, Dict[int, int]] = {}
    kept = []
    for line in lines_:
        pages = seen.setdefault(_print_of(line), {})
        count = pages.get(line.page, 0) + 1
        pages[line.page] = count
        if all(other == line.page or count > number for other, number in pages.items()):
            kept.append(line)
    return tuple(kept)


def _print_of(line: Line) -> tuple:
    """What strokes have in common that are the same stroke, whichever way they run."""
    curves = line.path.curves
    ends = np.round(np.stack([curves[0, 0], curves[-1, 3]]) / SAME_LINE).astype(np.int64)
    middle = np.round(point(curves[len(curves) // 2][None], 0.5)[0] / SAME_LINE).astype(np.int64)
    if len(curves) % 2 == 0:
        middle = np.round(curves[len(curves) // 2, 0] / SAME_LINE).astype(np.int64)
    both = sorted([tuple(ends[0].tolist()), tuple(ends[1].tolist())])
    return (line.style, line.layers, line.hidden, len(curves), tuple(both), tuple(middle.tolist()))


def without_doubles(wholes: Sequence[Whole]) -> Tuple[Whole, ...]:
    """Whole lines without those that lie wholly on another of their style and layer.

    Open straight lines that overlap in part become one; anything else that overlaps in
    part may be meant and stays.
    """
    groups: Dict[tuple, List[int]] = {}
    for number, whole in enumerate(wholes):
        if whole.style.colour and len(whole.path):
            groups.setdefault((whole.style, whole.layers, whole.hidden), []).append(number)
    gone: Set[int] = set()
    longer: Dict[int, Whole] = {}
    boxes = _boxes(wholes)
    straight = _chords(wholes)
    for members in groups.values():
        for one, two in _touching_boxes(boxes, straight, members, gone):
            first, second = longer.get(one, wholes[one]), longer.get(two, wholes[two])
            if _lies_on(second, first) and not (second.path.closed and not first.path.closed):
                gone.add(two)
            elif _lies_on(first, second) and not (first.path.closed and not second.path.closed):
                gone.add(one)
            else:
                joined = _one_straight(first, second)
                if joined is not None:
                    longer[one] = joined
                    gone.add(two)
    return tuple(longer.get(i, whole) for i, whole in enumerate(wholes) if i not in gone)


def _boxes(wholes: Sequence[Whole]) -> np.ndarray:
    """Boxes ``(n, 4)`` of lines: left, top, right, bottom."""
    boxes = np.full((len(wholes), 4), np.nan)
    filled = [i for i, whole in enumerate(wholes) if len(whole.path)]
    if filled:
        every = np.concatenate([wholes[i].path.curves for i in filled])
        first = np.cumsum([0] + [len(wholes[i].path) for i in filled])[:-1]
        boxes[filled, :2] = np.minimum.reduceat(every.min(axis=1), first)
        boxes[filled, 2:] = np.maximum.reduceat(every.max(axis=1), first)
    return boxes


def _chords(wholes: Sequence[Whole]) -> np.ndarray:
    """Starts and ends ``(n, 4)`` of the lines that are one straight stroke; nan for the others."""
    chords = np.full((len(wholes), 4), np.nan)
    single = [i for i, whole in enumerate(wholes) if len(whole.path) == 1 and not whole.path.closed]
    if single:
        curves = np.concatenate([wholes[i].path.curves for i in single])
        even = is_line(curves)
        chords[np.array(single)[even]] = curves[even][:, [0, 3]].reshape(-1, 4)
    return chords


def _touching_boxes(
    boxes: np.ndarray, chords: np.ndarray, members: List[int], gone: Set[int]
) -> Iterator[Tuple[int, int]]:
    """Pairs of lines that may lie on each other, the lower number first, in rising order.

    Lines that went into ``gone`` meanwhile are passed over.
    """
    rows = np.array(members)
    spans = np.sort(boxes[rows][:, :2], axis=0), np.sort(boxes[rows][:, 2:], axis=0)
    # Across or down: whichever keeps more of them apart.
    crowds = [
        np.searchsorted(spans[0][:, k], boxes[rows, 2 + k] + SAME_LINE, side="right").sum()
        - np.searchsorted(spans[1][:, k], boxes[rows, k] - SAME_LINE, side="left").sum()
        for k in (0, 1)
    ]
    if min(crowds) > MOST_COMPARED:
        raise _too_crowded(len(rows))
    axis = int(crowds[1] < crowds[0])
    rows = rows[np.argsort(boxes[rows, axis], kind="stable")]
    starts, widest = boxes[rows, axis], np.max(boxes[rows, 2 + axis] - boxes[rows, axis])
    for one in members:
        if one in gone:
            continue
        low, high = boxes[one, axis] - widest - SAME_LINE, boxes[one, 2 + axis] + SAME_LINE
        begin, stop = np.searchsorted(starts, [low - SAME_LINE, high], side="right")
        near = rows[begin:stop]
        near = near[near > one]
        near = near[_may_lie_on(boxes[one], boxes[near])]
        near = near[~_apart(chords[one], chords[near])]
        for two in np.sort(near).tolist():
            if one in gone:
                break
            if two not in gone:
                yield one, two


def _may_lie_on(box: np.ndarray, others: np.ndarray) -> np.ndarray:
    """Which boxes ``(n, 4)`` share ground with one, so that their lines may lie on each other."""
    low, high = np.maximum(others[:, :2], box[:2]), np.minimum(others[:, 2:], box[2:])
    shared = high - low
    least = np.minimum(others[:, 2:] - others[:, :2], box[2:] - box[:2])
    # One inside the other, or both flat: nothing else can lie on another line.
    inside = (shared >= least - 2 * SAME_LINE).all(axis=1)
    flat = (least <= SAME_LINE).any(axis=1) | inside | (shared > SAME_LINE).all(axis=1)
    return (shared >= -SAME_LINE).all(axis=1) & flat


def _apart(chord: np.ndarray, others: np.ndarray) -> np.ndarray:
    """Which straight lines ``(n, 4)`` have an end too far aside from one to lie on it, or on
    which it cannot lie; never a line that is not straight."""
    way = chord[2:] - chord[:2]
    ways = others[:, 2:] - others[:, :2]
    from_one = [way[0] * (others[:, k + 1] - chord[1]) - way[1] * (others[:, k] - chord[0]) for k in (0, 2)]
    from_others = [
        ways[:, 0] * (chord[k + 1] - others[:, 1]) - ways[:, 1] * (chord[k] - others[:, 0]) for k in (0, 2)
    ]
    room = 1.01 * SAME_LINE
    with np.errstate(invalid="ignore"):
        off_one = np.maximum(np.abs(from_one[0]), np.abs(from_one[1])) > room * np.hypot(*way)
        off_others = np.maximum(np.abs(from_others[0]), np.abs(from_others[1])) > room * np.hypot(*ways.T)
    return off_one & off_others


def _too_crowded(count: int) -> InputError:
    return InputError(
        "{} lines of one look lie over and across each other, as in a hatch; which of them are drawn "
        "twice cannot be told in any useful time.".format(count),
        "Choose only the pages with the pattern, or ask the maker for a copy without the hatch.",
        code="pdf-too-much",
    )


def _lies_on(line: Whole, other: Whole) -> bool:
    """Whether every point of a line lies on another."""
    curves, others = line.path.curves, other.path.curves
    if curves.shape == others.shape and (curves == others).all():
        return True
    if len(curves) == len(others) == 1 and is_line(np.concatenate([curves, others])).all():
        start, end = others[0, [0, 3]].tolist()
        # The distance from a straight line is greatest at an end (it is convex).
        return all(_aside(spot, start, end) <= SAME_LINE for spot in curves[0, [0, 3]].tolist())
    points = point(line.path.curves, np.broadcast_to(_EVEN, (len(line.path), len(_EVEN)))).reshape(-1, 2)
    ends = np.concatenate([points[:1], points[-1:], points[len(points) // 2][None]])
    if _far_off(ends, other):
        return False
    return not _far_off(points, other)


def _aside(spot: Sequence[float], start: Sequence[float], end: Sequence[float]) -> float:
    """How far a point lies from a straight line between two others (mm)."""
    x, y = end[0] - start[0], end[1] - start[1]
    square = max(x * x + y * y, 1e-300)
    along = ((spot[0] - start[0]) * x + (spot[1] - start[1]) * y) / square
    along = min(max(along, 0.0), 1.0)
    return math.hypot(spot[0] - start[0] - along * x, spot[1] - start[1] - along * y)


def _far_off(points: np.ndarray, other: Whole) -> bool:
    """Whether any point lies farther than ``SAME_LINE`` from a line."""
    curves = other.path.curves
    t = np.linspace(0.0, 1.0, 33)
    chain = point(curves, np.broadcast_to(t, (len(curves), len(t))))
    straight = is_line(curves)
    start = np.concatenate([curves[straight, 0], chain[~straight, :-1].reshape(-1, 2)])
    end = np.concatenate([curves[straight, 3], chain[~straight, 1:].reshape(-1, 2)])
    way = end - start
    square = np.maximum((way * way).sum(axis=1), 1e-300)
    for part in np.array_split(points, max(1, len(points) // 256)):
        u = np.clip(((part[:, None] - start) * way).sum(axis=2) / square, 0.0, 1.0)
        away = part[:, None] - (start + u[..., None] * way)
        if (np.sqrt((away * away).sum(axis=2)).min(axis=1) > SAME_LINE).any():
            return True
    return False


def _one_straight(first: Whole, second: Whole) -> Optional[Whole]:
    """Two open straight lines that overlap in part, as one; ``None`` where they do not."""
    if first.path.closed or second.path.closed or len(first.path) != 1 or len(second.path) != 1:
        return None
    if not is_line(np.concatenate([first.path.curves, second.path.curves])).all():
        return None
    points = np.concatenate([first.path.nodes, second.path.nodes])
    way = points[1] - points[0]
    size = np.hypot(*way)
    if size == 0:
        return None
    along = (points - points[0]) @ way / size
    aside = (points - points[0]) @ np.array([-way[1], way[0]]) / size
    low, high = np.sort(along[2:])
    if np.abs(aside).max() > SAME_LINE or min(high, size) - max(low, 0.0) <= SAME_LINE:
        return None
    ends = points[[int(along.argmin()), int(along.argmax())]]
    return first._replace(
        path=type(first.path)(lines(ends[:1], ends[1:])),
        parts=first.parts + second.parts,
        gaps=first.gaps + second.gaps,
    )
