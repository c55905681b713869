"""A piece made longer or shorter across a line: cut apart and moved along an axis, or folded.

Everything beyond a strip's line goes by its amount; what lies before it or on it stays.  Edges
that cross the line are drawn anew between the nearest landmarks (``letting_in``); darts keep
point and angle (``crossed_darts``); marks go with the cloth they lie on (``crossed_marks``).
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import self_crossings
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, turns
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.button_rows import spaced_anew
from sewkit.pattern.crossed_darts import Dart, DartChange, change_of, darts_of, redrawn_dart
from sewkit.pattern.crossed_marks import lengthen_heights, let_in_mark, level_lines
from sewkit.pattern.length_room import height_range, tight
from sewkit.pattern.letting_in import TwiceCrossed, gains_of, let_in
from sewkit.pattern.mark import LENGTHEN, LEVEL, NOTCH, Mark
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.notch_places import Gain, moved
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.shifts import ON_LINE, Shifts, Strip, made_shifts

# A notch this near to a strip's line (mm, along its edge) lies on it, and stays with what stays: less
# than the width of the snip, and no less than what redrawing an edge changes beside the line.
_ON_STRIP = 0.5

__all__ = ["DartChange", "Lengthened", "Strip", "lengthened"]


class Lengthened(NamedTuple):
    """The changed piece; darts that a strip crosses; how many drill holes were spaced anew."""

    piece: Piece
    darts: Tuple[DartChange, ...] = ()
    buttons: int = 0


class _Gained(NamedTuple):
    """Length let into an edge, or folded out of it, where the line of a strip crosses it.

    ``line``: how far along the edge that is (mm); ``back``: the edge comes from beyond the strip.
    """

    edge: str
    line: float
    amount: float
    back: bool

    def beside(self, spot: float) -> Gain:
        """As it is for a notch at a spot: what lies on the line stays with the cloth before it."""
        at = self.line
        if self.back:
            at += min(self.amount, 0.0)  # the fold lies before the line there, and begins here
        if abs(spot - self.line) <= _ON_STRIP:
            at = min(at, spot + min(self.amount, 0.0) - 1.0) if self.back else max(at, spot)
        return Gain(self.edge, at, self.amount)


class _Made(NamedTuple):
    """One outline before and after."""

    old: Outline
    new: Outline
    shifts: Shifts
    gains: Tuple[Gain, ...]
    gained: Tuple[_Gained, ...]
    darts: Tuple[DartChange, ...]

    def notch(self, mark: Mark) -> Optional[Mark]:
        """A notch on the changed outline; None where it has no place any more."""
        assert mark.on is not None
        gains = list(self.gains)
        if mark.on.edge in self.old.names:
            spot = distance_from_start(self.old, mark.on)
            gains += [one.beside(spot) for one in self.gained]
        return moved(mark, self.old, self.new, gains)


def lengthened(
    piece: Piece, strips: Mapping[str, Sequence[Strip]], axis: Tuple[float, float], buttons: bool = True
) -> Lengthened:
    """A piece with strips let in or folded out.

    Args:
        strips: for each size that changes; the others stay as they are.
        axis: the direction in which what lies beyond a strip goes.
        buttons: whether rows of drill holes are spaced anew.

    Marks that serve all sizes change as the first size does, when all sizes change.
    ``InputError`` where a line misses the piece, runs along an edge or crosses one twice,
    and where more is folded out than there is room for.
    """
    made: Dict[str, _Made] = {}
    asked = {o.size: made_shifts(axis, strips[o.size]) for o in piece.outlines if o.size in strips}
    asked = {size: shifts for size, shifts in asked.items() if shifts.strips}
    for size, shifts in asked.items():
        _refuse(piece, piece.outline(size), shifts)
    for one in tight(piece, asked, buttons):
        raise one.fault()
    for size, shifts in asked.items():
        made[size] = _outline(piece, piece.outline(size), shifts)
        _refuse_crossing(piece, made[size])
    if not made:
        return Lengthened(piece)
    if "" not in made and len(made) == len(piece.outlines):
        made_for_all = next(made[outline.size] for outline in piece.outlines)
    else:
        made_for_all = made.get("")
    marks, count = _marks(piece.marks, made, made_for_all, buttons)
    outlines = tuple(made[o.size].new if o.size in made else o for o in piece.outlines)
    darts = tuple(change for one in made.values() for change in one.darts)
    return Lengthened(piece._replace(outlines=outlines, marks=marks), darts, count)


# -- what cannot be done ----------------------------------------------------------------------


def _where(piece: Piece, outline: Outline) -> str:
    return "'{}'{}".format(piece.name, " in size {}".format(outline.size) if outline.size else "")


def _refuse(piece: Piece, outline: Outline, shifts: Shifts) -> None:
    """``InputError`` for an open outline, and a line that misses it."""
    where = _where(piece, outline)
    if not outline.path.closed:
        raise InputError(
            "The outline {} is open, so it is not known what lies beyond the line.".format(where),
            "Join its two end nodes.",
            code="open",
        )
    for strip in shifts.strips:
        _refuse_outside(where, outline, shifts, strip)


def _refuse_outside(where: str, outline: Outline, shifts: Shifts, strip: Strip) -> None:
    """``InputError`` for a line that has nothing of the piece on one of its sides."""
    reached = [height_range(_run(outline, number), shifts) for number in range(len(outline.edges))]
    low, high = min(low for low, _ in reached), max(high for _, high in reached)
    if low < strip.height - ON_LINE and high > strip.height + ON_LINE:
        return
    past = max(low - strip.height, strip.height - high, 0.0)
    if past > ON_LINE:
        what = "The line for the length misses {} by {:.1f} mm.".format(where, past)
    else:
        along = [
            edge.name
            for edge, heights in zip(outline.edges, reached)
            if max(abs(height - strip.height) for height in heights) <= 2 * ON_LINE
        ]
        lies = "runs along the edge '{}'".format(along[0]) if along else "lies at the very end"
        what = "The line for the length {} of {}, so there is nothing beyond it to move.".format(lies, where)
        if abs(low - strip.height) <= abs(high - strip.height):
            what = "The line for the length {} of {}, so there is nothing before it that stays.".format(
                lies, where
            )
    raise InputError(what, "Draw it across the piece, or name another level.", code="line")


def _refuse_crossing(piece: Piece, made: _Made) -> None:
    """``InputError`` for an outline that crosses itself now and did not before."""
    found = self_crossings(made.new.path)
    if not found or self_crossings(made.old.path):
        return
    curve = found[0].first.curve
    edge = next((e.name for e in made.new.edges if e.start <= curve < e.stop), made.new.edges[-1].name)
    raise InputError(
        "The outline {} would cross itself at the edge '{}', so the piece could not be cut out.".format(
            _where(piece, made.old), edge
        ),
        "Take a smaller amount, or another line.",
        code="fold-over",
    )


def _refuse_edge(piece: Piece, outline: Outline, edge: str, error: TwiceCrossed) -> InputError:
    return InputError(
        "The line {} the edge '{}' of {}, so it is not known what goes where.".format(
            "runs along" if error.along else "crosses twice", edge, _where(piece, outline)
        ),
        "Choose a line that crosses every edge once at most.",
        code="line",
    )


# -- the outline ------------------------------------------------------------------------------


def _outline(piece: Piece, outline: Outline, shifts: Shifts) -> _Made:
    darts = darts_of(outline, piece.darts, shifts)
    if darts is None:
        raise InputError(
            "The legs of a dart of {} do not come in pairs.".format(_where(piece, outline)),
            "Name the two legs of each dart, from corner to corner.",
            code="name",
        )
    parts, gains, gained = _runs(piece, outline, shifts, darts)
    changes = []
    for dart in darts:
        old = (_run(outline, dart.first), _run(outline, dart.second))
        around = (dart.first - 1) % len(parts), (dart.second + 1) % len(parts)
        try:
            legs, sides = redrawn_dart(dart, old, (parts[around[0]], parts[around[1]]), shifts)
        except ValueError as error:
            name = outline.edges[dart.first].name
            raise InputError(
                "The dart '{}' of {} cannot be drawn anew: {}.".format(name, _where(piece, outline), error),
                "Choose a line that does not cross it.",
                code="line",
            ) from None
        gains += _mouth_gains(outline, around, (parts[around[0]], parts[around[1]]), sides)
        parts[dart.first], parts[dart.second] = legs
        parts[around[0]], parts[around[1]] = sides
        if dart.crossed:
            changes.append(change_of(dart, outline, old, legs))
    return _Made(outline, _together(outline, parts), shifts, tuple(gains), tuple(gained), tuple(changes))


def _run(outline: Outline, number: int) -> Path:
    edge = outline.edges[number]
    return outline.path.part(edge.start, edge.stop)


def _passed(outline: Outline, number: int) -> float:
    """How much of its edge lies before a run, as sewn (mm)."""
    mine = outline.edges[number]
    before = outline._replace(edges=outline.edges[:number])
    return before.as_sewn(mine.name)


def _runs(
    piece: Piece, outline: Outline, shifts: Shifts, darts: Sequence[Dart]
) -> Tuple[List[Path], List[Gain], List[_Gained]]:
    """All edges but the dart legs, moved; where they have become longer beside darts, and at strips."""
    levels = level_lines(piece.marks_for(outline.size), shifts)
    legs = {number for dart in darts for number in (dart.first, dart.second)}
    # A dart that goes with its point takes the ends of its neighbours along.
    ends = {dart.first: dart.point for dart in darts if dart.whole}
    starts = {(dart.second + 1) % len(outline.edges): dart.point for dart in darts if dart.whole}
    parts: List[Path] = []
    gains: List[Gain] = []
    gained: List[_Gained] = []
    for number, edge in enumerate(outline.edges):
        run = _run(outline, number)
        if number in legs:
            parts.append(run)
            continue
        given = (starts.get(number), ends.get((number + 1) % len(outline.edges)))
        try:
            made = let_in(run, shifts, levels, given)
        except TwiceCrossed as error:
            raise _refuse_edge(piece, outline, edge.name, error) from None
        except ValueError as error:
            raise InputError(
                "The edge '{}' of {} cannot take up the change: {}.".format(
                    edge.name, _where(piece, outline), error
                ),
                "Choose another line, or a smaller amount.",
                code="overlap" if any(strip.amount < 0 for strip in shifts.strips) else "line",
            ) from None
        parts.append(made.path)
        passed = _passed(outline, number)
        for cut, by in zip(made.crossed, gains_of(run, made.path, made.crossed)):
            gained.append(_Gained(edge.name, passed + cut.at, by, cut.back))
        if not made.crossed:
            gains += _given_gains(edge.name, passed, run, made.path, given)
    return parts, gains, gained


def _given_gains(
    name: str, passed: float, run: Path, made: Path, given: Tuple[Optional[float], Optional[float]]
) -> List[Gain]:
    """What a run gains beside a dart that did not go with it."""
    change = path_length(made) - path_length(run)
    if given == (None, None) or abs(change) < 1e-9:
        return []
    return [Gain(name, passed if given[0] is not None else passed + path_length(run), change)]


def _mouth_gains(
    outline: Outline, around: Tuple[int, int], old: Tuple[Path, Path], new: Tuple[Path, Path]
) -> List[Gain]:
    """What the edges at a dart's mouth gain where they were prolonged or cut back."""
    gains = []
    for side, number in enumerate(around):
        change = path_length(new[side]) - path_length(old[side])
        if new[side] is old[side] or change == 0:
            continue
        at = _passed(outline, number) + (path_length(_run(outline, number)) if side == 0 else 0.0)
        # What is cut back at the end of the run before the dart lies before its mouth.
        gains.append(Gain(outline.edges[number].name, at + min(change, 0.0) * (side == 0), change))
    return gains


def _together(outline: Outline, parts: Sequence[Path]) -> Outline:
    """The outline of its moved edges; an edge that has a corner now goes on behind it as one more run."""
    curves = np.array(np.concatenate([part.curves for part in parts]))
    # Each joint is closed exactly.
    curves[:, 0] = np.roll(curves[:, 3], 1, axis=0)
    path = Path(curves, outline.path.closed)
    sharp = np.abs(turns(path)) > CORNER_TURN
    was_sharp = np.abs(turns(outline.path)) > CORNER_TURN
    edges: List[Edge] = []
    at = 0
    for edge, part in zip(outline.edges, parts):
        start, stop = at, at + len(part)
        at = stop
        smooth = edge.smooth if sharp[start] == was_sharp[edge.start] else not sharp[start]
        if edges and edges[-1].name == edge.name and smooth and not edge.smooth:
            # The corner that parted the edge is gone.
            edges[-1] = edges[-1]._replace(stop=stop)
            continue
        old = int(was_sharp[edge.start + 1 : edge.stop].sum())
        cuts = [start + 1 + int(i) for i in np.flatnonzero(sharp[start + 1 : stop])]
        cuts = cuts if len(cuts) > old else []
        for first, last in zip([start] + cuts, cuts + [stop]):
            edges.append(Edge(edge.name, first, last, smooth and first == start))
    return outline._replace(path=path, edges=tuple(edges))


# -- marks ------------------------------------------------------------------------------------


def _levels_apart(marks: Sequence[Mark], made: Mapping[str, _Made]) -> List[Mark]:
    """Levels that served all sizes, once more for each size in which they lie elsewhere now.

    Where the waist of one size is must still be known when only that size changed.
    """
    known = {(mark.name, mark.size) for mark in marks if mark.kind == LEVEL}
    found = []
    for mark in marks:
        if mark.kind != LEVEL or mark.size or not mark.name or mark.path is None or not len(mark.path):
            continue
        for size, by in made.items():
            if (mark.name, size) not in known and by.shifts.at(mark.middle):
                found.append(mark._replace(size=size, key=""))
    return found


def _marks(
    marks: Sequence[Mark], made: Mapping[str, _Made], for_all: Optional[_Made], buttons: bool
) -> Tuple[Tuple[Mark, ...], int]:
    done: List[Optional[Mark]] = []
    if for_all is None:
        marks = [*marks, *_levels_apart(marks, made)]
    for mark in marks:
        by = made.get(mark.size, None) if mark.size else for_all
        if by is None:
            done.append(mark)
        elif mark.kind == NOTCH and mark.on is not None:
            done.append(by.notch(mark))
        else:
            others = [other for other in marks if other.size in (mark.size, "")]
            lines = lengthen_heights(others, by.shifts) if mark.kind == LENGTHEN else []
            try:
                done.append(let_in_mark(mark, by.shifts, by.old, by.new, lines))
            except ValueError:
                raise InputError(
                    "The {} '{}' would be folded over: it ends in what is taken out.".format(
                        mark.kind.replace("-", " "), mark.name or mark.size
                    ),
                    "Take a smaller amount, or another line.",
                    code="overlap",
                ) from None
    kept = [(old, new) for old, new in zip(marks, done) if new is not None]
    before, after, count = [old for old, _ in kept], tuple(new for _, new in kept), 0
    if buttons:
        sized = dict(made)
        sized.pop("", None)
        if for_all is not None:
            sized[""] = for_all
        for size, by in sized.items():
            spaced = spaced_anew(before, after, by.shifts, size)
            after, count = spaced.marks, count + spaced.count
    return after, count
