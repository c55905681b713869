"""Test squares: rectangles whose size is written beside them, or is one by custom."""

import math
from typing import Dict, List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.geometry.path import Path, is_line
from sewkit.sheet.drawn import Drawn, Page
from sewkit.sheet.witness import BY_CUSTOM, BY_TEXT, CUSTOMARY, NEAR, SQUARE, Pair, Witness
from sewkit.sheet.witness_lines import Straights, corners_of, crossing, seen
from sewkit.sheet.witness_words import Text

# Sides shorter or longer than this are no test square, at whatever scale (mm).
_LEAST, _MOST = 3.5, 1500.0
# Four single strokes: their sides are at least this long, so that dashes are not tried (mm),
_STROKE = 9.0
# and their ends meet within this and the width of their pen (mm).
_MEET = 0.3
# Opposite sides differ by no more than this share, corners from square by these degrees.
_UNLIKE, _CROOKED = 0.01, 8.0
# A square of which the width and the height differ by more is no square: with a text, and
# without (shares).  Half the width of a page that was stretched to another is the most seen.
_STRETCHED, _STRETCHED_UNTOLD = 0.12, 0.005
# How far a text may stand from the square it speaks of (mm).
_REACH = 15.0
# How far off the scale may be: as a text that only names a size is read, and one that
# speaks of a test square.
_PLAIN, _SPOKEN = 3.0, 30.0
# The two edges of a line that was turned into an area lie at most this far apart (mm).
_BROAD = 6.0
# A test square is one of few: so many rectangles whose lengths all round differ by no more
# than this share are a hatch or a grid, and no more than so many are looked at on a page.
_CROWD, _LIKE, _MOST_TRIED = 500, 0.02, 3000
# Where more ends than this meet, or lie this near, is no corner of a test square.
_MOST_MEETING, _MOST_NEAR = 12, 300


class Quad(NamedTuple):
    """A rectangle: corners ``(4, 2)`` in order (mm), pen width, the place of its stroke."""

    corners: np.ndarray
    pen: float
    drawn: int

    @property
    def middle(self) -> np.ndarray:
        """Its middle, ``(2,)`` mm."""
        return self.corners.mean(axis=0)

    @property
    def sides(self) -> Tuple[np.ndarray, np.ndarray]:
        """Across and down, each the mean of two opposite sides, as vectors (mm)."""
        a, b, c, d = self.corners
        first, second = (b - a + c - d) / 2, (d - a + c - b) / 2
        if abs(first[0]) * np.hypot(*second) < abs(second[0]) * np.hypot(*first):
            first, second = second, first
        return first * (1.0 if first[0] >= 0 else -1.0), second * (1.0 if second[1] >= 0 else -1.0)

    @property
    def size(self) -> Pair:
        """Width and height (mm), along its own sides."""
        across, down = self.sides
        return float(np.hypot(*across)), float(np.hypot(*down))

    def is_rectangle(self) -> bool:
        """Whether opposite sides are alike and corners square, nearly."""
        a, b, c, d = self.corners
        for one, other in ((b - a, c - d), (d - a, c - b)):
            if np.hypot(*(one - other)) > _UNLIKE * np.hypot(*one):
                return False
        return min(self.size) >= _LEAST and max(self.size) <= _MOST and abs(skew(self)) < _CROOKED


def skew(quad: Quad) -> float:
    """How far the corners are from square, degrees; positive where the lower side is
    pushed to the left."""
    across, down = quad.sides
    cross = float(across[0] * down[1] - across[1] * down[0])
    return 90.0 - math.degrees(math.atan2(cross, -float(across @ down)))


def quads(page: Page, lines: Straights) -> Tuple[Quad, ...]:
    """Every rectangle of a page that may be a test square: closed paths, four single
    strokes, lines turned into areas.  Hatches and grids are none."""
    found: List[Quad] = []
    tried, crowded = _worth_a_look(page)
    for number in tried:
        found += _whole_lines(_of_stroke(page.drawn[number], number), page.drawn[number])
    found = [q for q in found if q.is_rectangle()]
    known = [quad.drawn for quad in found] + crowded
    single = _of_single_strokes(lines.pick(~np.isin(lines.drawn, known)))
    found += [q for q in single if q.is_rectangle()]
    good = [q for q in found if seen(page, page.drawn[q.drawn], (float(q.middle[0]), float(q.middle[1])))]
    return _each_once(good)


def _worth_a_look(page: Page) -> Tuple[List[int], List[int]]:
    """Numbers of the strokes that may be a test square, and of those that are a hatch or grid."""
    some = [n for n, one in enumerate(page.drawn) if 3 <= len(one.curves) <= 400]
    if not some:
        return [], []
    counts = np.array([len(page.drawn[n].curves) for n in some])
    curves = np.concatenate([page.drawn[n].curves for n in some])
    first = np.cumsum(counts) - counts
    points = curves.reshape(-1, 8)
    low = np.minimum.reduceat(np.minimum(points[:, :2], points[:, 6:]), first)
    high = np.maximum.reduceat(np.maximum(points[:, :2], points[:, 6:]), first)
    round_ = np.add.reduceat(np.hypot(*(curves[:, 3] - curves[:, 0]).T), first)
    large = ((high - low).min(axis=1) >= _LEAST) & ((high - low).max(axis=1) <= 1.5 * _MOST)
    like = np.round(np.log(np.maximum(round_, _LEAST)) / _LIKE).astype(np.int64)
    few_nodes = counts <= 16
    _, which, how_often = np.unique(like[large & few_nodes], return_inverse=True, return_counts=True)
    crowd = np.zeros(len(some), bool)
    crowd[large & few_nodes] = how_often[which] > _CROWD
    tried, numbers = large & ~crowd, np.array(some)
    return numbers[tried][:_MOST_TRIED].tolist(), numbers[crowd].tolist()


def _of_stroke(drawn: Drawn, number: int) -> List[Quad]:
    pen = drawn.style.width if drawn.style.colour else 0.0
    if not 3 <= len(drawn.curves) <= 400:  # an outline with hundreds of nodes is no square
        return []
    found = []
    stops = drawn.starts[1:] + (len(drawn.curves),)
    for start, stop, closed in zip(drawn.starts, stops, drawn.closed):
        if not 3 <= stop - start <= 16:
            continue
        curves = drawn.curves[start:stop]
        shut = closed or np.hypot(*(curves[-1, 3] - curves[0, 0])) <= max(_MEET, pen)
        shut = shut or not drawn.style.colour  # an area closes itself
        if not shut or not is_line(curves).all():
            continue
        points = np.concatenate([curves[:, 0], curves[-1:, 3]])
        if np.hypot(*(points[-1] - points[0])) <= max(_MEET, pen):
            points = points[:-1]
        corners = corners_of(points)
        if len(corners) == 4:
            found.append(Quad(corners, pen, number))
    return found


def _whole_lines(found: List[Quad], drawn: Drawn) -> List[Quad]:
    """The outer and the inner edge of a line that was turned into an area, as its middle."""
    if drawn.style.colour or len(found) != 2:
        return found
    outer, inner = sorted(found, key=lambda q: -q.size[0])
    (w, h), (w2, h2) = outer.size, inner.size
    concentric = np.hypot(*(outer.middle - inner.middle)) < 0.1
    if not concentric or not 0 < w - w2 < _BROAD or abs((w - w2) - (h - h2)) > 0.1:
        return found
    order = [int(np.hypot(*(inner.corners - corner).T).argmin()) for corner in outer.corners]
    if sorted(order) != [0, 1, 2, 3]:
        return found
    return [Quad((outer.corners + inner.corners[order]) / 2, (w - w2) / 2, outer.drawn)]


def _of_single_strokes(lines: Straights) -> List[Quad]:
    """Rectangles of four lines whose ends meet; corners are where the lines cross."""
    lines = _different(lines.pick((lines.lengths >= _STROKE) & (lines.lengths <= _MOST)))
    count = len(lines.starts)
    if count < 4:
        return []
    meeting, ways, found = _meeting(lines), lines.ways, []
    for first in sorted({end % count for end in meeting}):
        turns = [
            [one for one in meeting.get(end, ()) if abs(float(ways[one % count] @ ways[first])) < 0.15]
            for end in (first, first + count)
        ]
        for left in turns[0]:
            for right in turns[1]:
                # The far ends of the two sides, joined by a fourth line.
                far_left, far_right = (left + count) % (2 * count), (right + count) % (2 * count)
                for last in meeting.get(far_left, ()):
                    if (last + count) % (2 * count) in meeting.get(far_right, ()) and last % count > first:
                        numbers = (first, right % count, last % count, left % count)
                        found += _crossed(lines, numbers)
    return found


def _different(lines: Straights) -> Straights:
    """The lines without those that lie wholly on an earlier one."""
    if not len(lines.starts):
        return lines
    ends = np.round(np.stack([lines.starts, lines.ends], axis=1) * 100).astype(np.int64)
    back = (ends[:, 0, 0] > ends[:, 1, 0]) | (
        (ends[:, 0, 0] == ends[:, 1, 0]) & (ends[:, 0, 1] > ends[:, 1, 1])
    )
    ends[back] = ends[back, ::-1]
    _, first = np.unique(ends.reshape(-1, 4), axis=0, return_index=True)
    return lines.pick(np.sort(first))


def _meeting(lines: Straights) -> Dict[int, List[int]]:
    """For each end that may be a corner, the ends that meet it: starts by the number of their
    line, ends by that and the count of lines."""
    count = len(lines.starts)
    ends = np.concatenate([lines.starts, lines.ends])
    reach = _MEET + np.concatenate([lines.pens, lines.pens])
    cells = np.floor(ends).astype(np.int64)
    near: Dict[Tuple[int, int], List[int]] = {}
    for number, (x, y) in enumerate(cells.tolist()):
        near.setdefault((x, y), []).append(number)
    found: Dict[int, List[int]] = {}
    for (x, y), members in near.items():
        others = [one for i in (-1, 0, 1) for j in (-1, 0, 1) for one in near.get((x + i, y + j), ())]
        if not 2 <= len(others) <= _MOST_NEAR:
            continue
        away = np.hypot(*(ends[others][None] - ends[members][:, None]).transpose(2, 0, 1))
        for number, close in zip(members, away <= reach[members][:, None]):
            meet = [others[k] for k in np.flatnonzero(close) if others[k] % count != number % count]
            if 0 < len(meet) <= _MOST_MEETING:
                found[number] = meet
    return found


def _crossed(lines: Straights, numbers: Tuple[int, int, int, int]) -> List[Quad]:
    corners = []
    for one, other in zip(numbers, numbers[1:] + numbers[:1]):
        try:
            corners.append(
                crossing(lines.starts[one], lines.ends[one], lines.starts[other], lines.ends[other])
            )
        except ValueError:
            return []
    return [Quad(np.array(corners), float(lines.pens[numbers[0]]), int(lines.drawn[numbers[0]]))]


def _each_once(found: Sequence[Quad]) -> Tuple[Quad, ...]:
    kept: Dict[Tuple[int, ...], Quad] = {}
    for quad in found:
        size = quad.size
        key = tuple(int(round(10 * v)) for v in (*quad.middle, *size))
        kept.setdefault(key, quad)
    return tuple(kept.values())


def squares(page: Page, lines: Straights, texts: Sequence[Text]) -> Tuple[Witness, ...]:
    """The test squares of a page, with the sizes they should have."""
    found = quads(page, lines)
    own: Dict[int, List[Text]] = {}
    beside: Dict[int, List[Text]] = {}
    boxes = np.array([[*q.corners.min(axis=0), *q.corners.max(axis=0)] for q in found]).reshape(-1, 4)
    for text in texts:
        if text.sizes or text.speaks:
            away = [(_distance(text, found[number]), number) for number in _within_reach(text, boxes)]
            near = [(distance, max(found[number].size), number) for distance, number in away]
            near = [one for one in near if one[0] <= _REACH]
            for _, _, number in near:
                beside.setdefault(number, []).append(text)
            if near:
                own.setdefault(min(near)[2], []).append(text)
    witnesses = []
    for number, quad in enumerate(found):
        all_near = beside.get(number, [])
        witness = _told(page, quad, own.get(number, []), all_near) or _told(page, quad, all_near, all_near)
        witness = witness or _customary(page, quad)
        witnesses += [witness] if witness else []
    return tuple(witnesses)


def _within_reach(text: Text, boxes: np.ndarray) -> List[int]:
    """The boxes ``(n, 4)`` near a text, quickly."""
    low, high = text.points[:, None] + _REACH, text.points[:, None] - _REACH
    inside = (low >= boxes[None, :, :2]).all(axis=2) & (high <= boxes[None, :, 2:]).all(axis=2)
    return [int(number) for number in np.nonzero(inside.any(axis=0))[0]]


def _distance(text: Text, quad: Quad) -> float:
    """How far a text is from a rectangle (mm); 0 where any part of it is inside."""
    across, down = quad.sides
    width, height = quad.size
    away = text.points - quad.middle
    x = np.maximum(np.abs(away @ across) / width - width / 2, 0.0)
    y = np.maximum(np.abs(away @ down) / height - height / 2, 0.0)
    return float(np.hypot(x, y).min())


def _told(page: Page, quad: Quad, texts: Sequence[Text], beside: Sequence[Text]) -> Optional[Witness]:
    """The square by what the texts name; None where they name nothing that could be it."""
    most = _SPOKEN if any(text.speaks for text in beside) else _PLAIN
    options: Dict[Pair, str] = {}
    for text in texts:
        for size in text.sizes if text.says_size else ():
            fitting = _turned(size, quad.size)
            if fitting and 1 / most < quad.size[0] / fitting[0] < most:
                options.setdefault(fitting, text.text)
    if not options:
        return None
    nominal = min(options, key=lambda size: abs(math.log(quad.size[0] / size[0])))
    return _witness(page, quad, nominal, BY_TEXT, options[nominal])._replace(options=tuple(options))


def _turned(size: Pair, measured: Pair) -> Optional[Pair]:
    """The size, width first as it is drawn; None where its shape does not fit."""
    for pair in (size, size[::-1]):
        if abs(math.log(measured[0] / pair[0] * pair[1] / measured[1])) < _STRETCHED:
            return (pair[0], pair[1])
    return None


def _customary(page: Page, quad: Quad) -> Optional[Witness]:
    width, height = quad.size
    side = min(CUSTOMARY, key=lambda one: abs(width / one - 1))
    off = max(abs(width / side - 1), abs(height / side - 1))
    if off > NEAR or abs(width / height - 1) > _STRETCHED_UNTOLD:
        return None
    return _witness(page, quad, (side, side), BY_CUSTOM, "")


def _witness(page: Page, quad: Quad, nominal: Pair, told_by: str, words: str) -> Witness:
    middle = (float(quad.middle[0]), float(quad.middle[1]))
    return Witness(
        SQUARE,
        page.number,
        "both",
        nominal,
        quad.size,
        middle,
        told_by,
        words,
        quad.pen,
        skew(quad),
        (nominal,),
    )


def as_quad(path: Path) -> Optional[Quad]:
    """A closed path as a rectangle, or None where it is none."""
    if not (path.closed and 4 <= len(path) <= 16 and is_line(path.curves).all()):
        return None
    corners = corners_of(path.nodes)
    quad = Quad(corners, 0.0, 0) if len(corners) == 4 else None
    return quad if quad is not None and quad.is_rectangle() else None
