"""Where the line of one piece lies on another that has to change with it."""

from typing import Callable, Iterator, List, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import distance_of, path_length, point_at
from sewkit.pattern.cross_line import Axis, crosses, height_of, named_heights, own_line
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.spans import grain_axis, runs_across
from sewkit.pattern.walking import walk_seam

# How far along a seam one looks to tell which way is down on the other piece (mm): nearer where an
# edge ends or is short.
_STEPS = (10.0, -10.0, 1.0, -1.0, 0.1, -0.1)

# Notches that miss each other by more (mm) tell nothing: two widths of a notch.
_NOTCH_FITS = 3.0

# Cosine between the grain and the axis below which heights on two pieces cannot be compared: 8 degrees.
_SQUARE = 0.99

# A line this near to a lengthen line is that line (mm).
_SAME = 1e-6

Found = Tuple[Axis, float]


class _Cut(NamedTuple):
    """Where a line cuts a side of a seam: mm as sewn from its start; and whether the edge
    there runs along the grain, as a side does, or across it, as a shoulder.
    """

    at: float
    along: bool


class _Spot(NamedTuple):
    """A point (2,) of an edge."""

    point: np.ndarray
    outline: Outline
    edge: str


def follow(
    pattern: Pattern, leading: Piece, piece: Piece, size: str, words: str, height: float, axis: Axis
) -> Optional[Found]:
    """Axis and height (mm) of the same line on another piece; None where nothing tells.

    Its own line or levels of that name come first; then the distance from a level that both
    have; then the place where the edge sewn to the leading piece is cut.  Of a piece so found
    its own lengthen line counts, if the leading piece is cut at its own.  A piece that lies head
    down is recognised by two levels, or by the way its seam runs.
    """
    by_seam = _by_seam(pattern, leading, piece, size, height, axis)
    by_level = _by_level(leading, piece, size, height, axis, by_seam)
    own = by_level[0] if by_level else _own_axis(leading, piece, size, axis, by_seam)
    try:
        return own, height_of(piece, size, words, own)
    except InputError:
        pass  # it has no such line
    found = by_level or by_seam
    line = None if found is None else _lengthen_line(leading, piece, size, height, axis, own)
    return found if line is None else (own, line)


def _own_axis(leading: Piece, piece: Piece, size: str, axis: Axis, by_seam: Optional[Found]) -> Axis:
    """The grain of the other piece, pointing as the axis does on the leading one."""
    way, own = np.array(grain_axis(leading, size)), np.array(grain_axis(piece, size))
    if by_seam is not None:
        turned = own @ by_seam[0] < 0
    else:
        turned = way @ axis < 0
    return _pair(-own if turned else own)


def _by_level(
    leading: Piece, piece: Piece, size: str, height: float, axis: Axis, by_seam: Optional[Found]
) -> Optional[Found]:
    """As far from the nearest level in common as on the leading piece."""
    if abs(np.array(grain_axis(leading, size)) @ axis) < _SQUARE:
        return None
    own = np.array(_own_axis(leading, piece, size, axis, by_seam))
    mine, theirs = named_heights(leading, size, axis), named_heights(piece, size, _pair(own))
    common = sorted((name for name in mine if name in theirs), key=lambda name: abs(mine[name] - height))
    if not common:
        return None
    first, sign = common[0], 1.0
    if sum((mine[name] - mine[first]) * (theirs[name] - theirs[first]) for name in common) < 0:
        sign = -1.0
    return _pair(sign * own), sign * theirs[first] + height - mine[first]


def _lengthen_line(
    leading: Piece, piece: Piece, size: str, height: float, axis: Axis, own: Axis
) -> Optional[float]:
    """The one lengthen line of a piece, if it answers to the one of the leading piece.

    It must lie between the same levels: a sleeve's line is not the body's.
    """
    try:
        line, answer = own_line(leading, size, axis), own_line(piece, size, own)
    except InputError:
        return None
    mine, theirs = named_heights(leading, size, axis), named_heights(piece, size, own)
    alike = all((mine[name] > line) == (theirs[name] > answer) for name in mine if name in theirs)
    return answer if alike and abs(line - height) <= _SAME else None


# -- through a seam ---------------------------------------------------------------------


def _by_seam(
    pattern: Pattern, leading: Piece, piece: Piece, size: str, height: float, axis: Axis
) -> Optional[Found]:
    """Where the seam to the leading piece is cut; an edge along the grain tells more than one across."""
    places = [(across, place) for across, place in _at_seams(pattern, leading, piece, size, height, axis)]
    found = [(across, place) for across, place in places if place is not None]
    return min(found, key=lambda pair: pair[0])[1] if found else None


def sewn(pattern: Pattern, first: str, second: str) -> bool:
    """Whether two pieces lie on the two sides of a seam."""
    names = [
        ({ref.piece for ref in seam.first}, {ref.piece for ref in seam.second}) for seam in pattern.seams
    ]
    return any((first in a and second in b) or (first in b and second in a) for a, b in names)


def astride(pattern: Pattern, leading: Piece, piece: Piece, size: str, height: float, axis: Axis) -> bool:
    """Whether a piece is sewn to edges of the leading piece before the line, and to others beyond it."""
    sides: Set[bool] = set()
    for seam in pattern.seams:
        for here, there in ((seam.first, seam.second), (seam.second, seam.first)):
            if not any(ref.piece == piece.name for ref in there):
                continue
            for ref in here:
                outline = leading.outline(size)
                if ref.piece != leading.name or ref.edge not in outline.names:
                    continue
                ends = [
                    spot @ np.array(axis) for run in outline.runs(ref.edge) for spot in (run.start, run.end)
                ]
                sides |= {True} if min(ends) >= height else {False} if max(ends) <= height else set()
    return len(sides) > 1


def passes_by(pattern: Pattern, leading: Piece, piece: Piece, size: str, height: float, axis: Axis) -> bool:
    """Whether the seams to the leading piece are cut where another piece is sewn to it, and only there."""
    places = [place for _, place in _at_seams(pattern, leading, piece, size, height, axis)]
    return bool(places) and all(place is None for place in places)


def _at_seams(
    pattern: Pattern, leading: Piece, piece: Piece, size: str, height: float, axis: Axis
) -> List[Tuple[bool, Optional[Found]]]:
    """For each cut through a seam to the leading piece, whether that edge runs across the grain, and
    where the cut is on the piece: None where it lies on another piece, or at the very end of this one.
    """
    found: List[Tuple[bool, Optional[Found]]] = []
    for seam in pattern.seams:
        for here, there in ((seam.first, seam.second), (seam.second, seam.first)):
            if any(r.piece == leading.name for r in here) and any(r.piece == piece.name for r in there):
                try:
                    # All cuts first: a seam of which a part is missing tells nothing.
                    for cut in list(_cuts(pattern, leading, here, size, height, axis)):
                        partner = _partner(pattern, seam, here is seam.second, size)
                        place = _place(pattern, leading, piece, (here, there), size, cut, partner, axis)
                        if place is not None:
                            found.append(
                                (not cut.along, place if crosses(piece.outline(size), *place) else None)
                            )
                        elif _is_others(pattern, there, piece.name, size, partner(cut.at)):
                            found.append((not cut.along, None))
                except InputError:
                    continue  # a piece, a size or an edge of that seam is missing, so it tells nothing
    return found


def _partner(pattern: Pattern, seam: Seam, back: bool, size: str) -> Callable[[float], float]:
    """Where a place on one side of a seam is on the other, mm as sewn from their common start.

    From notch to notch where these fit, as the ease is held in there; else, and behind the last
    notch, as far along.

    Args:
        back: from the second side to the first.
    """
    walk = walk_seam(pattern, seam, size)
    if len(walk.sections) < 2 or walk.worst_notch > _NOTCH_FITS:
        return lambda at: at
    sides = np.cumsum([(0.0, 0.0)] + [(part.first, part.second) for part in walk.sections[:-1]], axis=0)
    here, there = sides.T[::-1] if back else sides.T
    if (np.diff(sides, axis=0) <= 0).any():
        return lambda at: at  # out of order, or two on one spot
    last = float(there[-1] - here[-1])
    return lambda at: float(np.interp(at, here, there)) if 0 <= at <= here[-1] else at + last * (at > 0)


def _cuts(
    pattern: Pattern, leading: Piece, side: Sequence[EdgeRef], size: str, height: float, axis: Axis
) -> Iterator[_Cut]:
    """Where the line cuts one side of a seam."""
    way = np.array(axis)
    passed = 0.0
    for ref in side:
        outline = pattern.piece(ref.piece).outline(size)
        length = _length(outline, ref.edge)
        before, end = 0.0, None
        for run in outline.runs(ref.edge) if ref.piece == leading.name else ():
            if end is not None and (end @ way - height) * (run.start @ way - height) < 0:
                # Between the legs of a dart: closed, its mouth is one spot of the edge.
                yield _Cut(passed + (length - before if ref.turned else before), True)
            for place in crossings_with_line(run, way * height, np.array([-way[1], way[0]])):
                at = before + distance_of(run, place)
                along = not runs_across(outline, ref.edge, axis)
                yield _Cut(passed + (length - at if ref.turned else at), along)
            before += path_length(run)
            end = run.end
        passed += length


def _place(
    pattern: Pattern,
    leading: Piece,
    piece: Piece,
    sides: Tuple[Sequence[EdgeRef], Sequence[EdgeRef]],
    size: str,
    cut: _Cut,
    partner: Callable[[float], float],
    axis: Axis,
) -> Optional[Found]:
    """The cut on the other side of a seam, and which way is down there.

    A band that is sewn on along the grain but lies across its own, as one cut on the bias or
    crosswise, changes along its edge.
    """
    here, there = sides
    spot = _spot(pattern, there, piece.name, size, partner(cut.at))
    mine = _spot(pattern, here, leading.name, size, cut.at)
    for step in _STEPS:
        beyond = _spot(pattern, there, piece.name, size, partner(cut.at + step))
        beside = _spot(pattern, here, leading.name, size, cut.at + step)
        if spot is None or mine is None or beyond is None or beside is None:
            continue
        own = np.array(grain_axis(piece, size))
        if cut.along and runs_across(spot.outline, spot.edge, _pair(own)):
            own = (beyond.point - spot.point) / np.hypot(*(beyond.point - spot.point))
        down = (beside.point - mine.point) @ np.array(axis)
        if ((beyond.point - spot.point) @ own) * down < 0:
            own = -own
        return _pair(own), float(spot.point @ own)
    return None


def _spot(pattern: Pattern, side: Sequence[EdgeRef], name: str, size: str, at: float) -> Optional[_Spot]:
    """The point at a distance along one side of a seam, if it lies on that piece."""
    for ref in side:
        outline = pattern.piece(ref.piece).outline(size)
        length = _length(outline, ref.edge)
        if -_SAME <= at <= length + _SAME and ref.piece == name:
            return _Spot(_on_edge(outline, ref.edge, length - at if ref.turned else at), outline, ref.edge)
        at -= length
    return None


def _is_others(pattern: Pattern, side: Sequence[EdgeRef], name: str, size: str, at: float) -> bool:
    """Whether another piece than that has the point at a distance along one side of a seam."""
    for ref in side:
        length = _length(pattern.piece(ref.piece).outline(size), ref.edge)
        if -_SAME <= at <= length + _SAME:
            return ref.piece != name
        at -= length
    return False


def _length(outline: Outline, edge: str) -> float:
    """The length of an edge as sewn (mm); ``InputError`` where there is none of that name."""
    if edge not in outline.names:
        outline.edge_path(edge)  # raises, naming the edges there are
    return outline.as_sewn(edge)


def _on_edge(outline: Outline, edge: str, at: float) -> np.ndarray:
    runs = outline.runs(edge)
    for run in runs[:-1]:
        length = path_length(run)
        if at <= length:
            return point_at(run, max(at, 0.0))
        at -= length
    return point_at(runs[-1], min(max(at, 0.0), path_length(runs[-1])))


def _pair(way: np.ndarray) -> Axis:
    return float(way[0]), float(way[1])
