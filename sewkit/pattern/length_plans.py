"""Which pieces a change of length concerns, and at which height on each of them.

One piece leads: the lines are found on it, by name or where they were drawn.  Every other
piece follows at its own line of that name, at the same distance from a level that both
have, or where the edge sewn to the leading piece is cut.
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import contains
from sewkit.pattern.cross_line import crosses, drawn_height
from sewkit.pattern.drawn_lines import Subjects
from sewkit.pattern.following import follow
from sewkit.pattern.length_plan import NOTHING, Ask, Line, planned, shares_at
from sewkit.pattern.lengthening import Strip
from sewkit.pattern.mark import GRAIN, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.spans import grain_axis

# How a line is called that was only drawn.
DRAWN = "the drawn line"

_Axis = Tuple[float, float]


class Plan(NamedTuple):
    """What is to be done to one piece: strips by size, across one axis."""

    axis: _Axis
    strips: Mapping[str, Tuple[Strip, ...]]


class Plans(NamedTuple):
    """The plans by piece, that of the leading piece first.

    Args:
        lead: the leading piece's name.
        lines: the lines on it, in its first size.
        left: pieces on which nothing tells where the line would be.
        aside: how far a drawn line is off square to the grain, degrees.
        tilted: how far one is off level or upright where there is no grain line, degrees.
    """

    lead: str
    plans: Mapping[str, Plan]
    lines: Tuple[Line, ...]
    left: Tuple[str, ...] = ()
    aside: float = 0.0
    tilted: float = 0.0


def named_plans(pattern: Pattern, found: Subjects, ask: Ask, everywhere: bool) -> Plans:
    """Lines by name, on the first of the pieces in question that has them all."""
    fault = None
    for piece, sizes in _grouped(found.outlines):
        try:
            axis = grain_axis(piece, sizes[0])
            by_size = {size: planned(piece, size, axis, ask) for size in sizes}
        except InputError as error:
            fault = fault or error
            continue
        return _with_followers(pattern, found, piece, axis, by_size, everywhere)
    raise fault or _nothing()


def drawn_plans(pattern: Pattern, found: Subjects, ask: Ask, everywhere: bool) -> Plans:
    """Lines that somebody drew across outlines.

    On a piece with a grain line the cut is square to the grain, through the middle of the
    drawn line; on any other it is the drawn line itself.
    """
    if ask.at or ask.each or ask.measured or ask.ratio:
        raise InputError(
            "A line is selected, and others are named.",
            "Name the lines, or select one; not both.",
            code="choice",
        )
    touched = [(p, o) for p, o in found.outlines if any(touches(o, line) for line in found.lines)]
    missed = [p.name for p, o in found.outlines if not p.named and (p, o) not in touched]
    if missed or not touched:
        raise InputError(
            "The selected line does not cross '{}'.".format(missed[0] if missed else "any piece"),
            "Draw it right across the piece, from edge to edge.",
            code="line",
        )
    lead = touched[0][0]
    grain = _has_grain(lead)
    axis = grain_axis(lead, touched[0][1].size) if grain else _across(found.lines[0])
    sides = [drawn_height(line, axis) for line in found.lines]
    heights = [side[0] for side in sides]
    by_size: Dict[str, Tuple[Line, ...]] = {}
    for size in [o.size for p, o in touched if p.name == lead.name]:
        amounts = shares_at(lead, size, axis, ask.share, ask.amount, heights)
        by_size[size] = tuple(
            sorted((Line(DRAWN, h, a) for h, a in zip(heights, amounts)), key=lambda x: x.height)
        )
    aside = max(abs(side[1]) for side in sides)
    made = _with_followers(pattern, found, lead, axis, by_size, everywhere)
    made = made._replace(aside=aside, tilted=0.0 if grain else _tilt(axis))
    bare = [p for p, _ in touched if not p.named and p.name != lead.name]
    lines = next(iter(by_size.values()))
    more = {piece.name: Plan(axis, {"": _strips(lines)}) for piece in bare if made.plans}
    return made._replace(plans={**made.plans, **more})


def touches(outline: Outline, line: Path) -> bool:
    """Whether a drawn line lies on a piece at all, or crosses its outline."""
    if outline.path.closed and contains(outline.path, ((line.start + line.end) / 2)[None])[0]:
        return True
    return bool(crossings(outline.path, line))


def _with_followers(
    pattern: Pattern,
    found: Subjects,
    lead: Piece,
    axis: _Axis,
    by_size: Mapping[str, Tuple[Line, ...]],
    everywhere: bool,
) -> Plans:
    own = {size: _strips(lines) for size, lines in by_size.items()}
    own = {size: strips for size, strips in own.items() if strips}
    plans = {lead.name: Plan(axis, own)} if own else {}
    left: List[str] = []
    picked = {piece.name for piece, _ in found.outlines}
    for piece in pattern.pieces if lead.named and plans else ():
        if piece.name == lead.name or not piece.named or not (everywhere or piece.name in picked):
            continue
        plan = _following(pattern, lead, piece, axis, by_size)
        if plan is None:
            left.append(piece.name)
        elif plan.strips:
            plans[piece.name] = plan
    return Plans(lead.name, plans, next(iter(by_size.values())), tuple(left))


def _following(
    pattern: Pattern, lead: Piece, piece: Piece, axis: _Axis, by_size: Mapping[str, Tuple[Line, ...]]
) -> Optional[Plan]:
    """The plan of a piece that follows; None where nothing tells where the lines are on it.

    A piece drawn once follows when all sizes of the leading one change.
    """
    strips: Dict[str, Tuple[Strip, ...]] = {}
    turned = axis
    told = False
    for outline in piece.outlines:
        sizes = list(by_size)
        if outline.size in by_size:
            size = outline.size
        elif "" in by_size or (not outline.size and len(sizes) == len(lead.outlines)):
            size = sizes[0]
        else:
            told = True  # that size is not to change
            continue
        here = []
        for line in by_size[size]:
            place = follow(pattern, lead, piece, outline.size or size, line.words, line.height, axis)
            if place is not None:
                told, turned = True, place[0]
                if crosses(outline, place[0], place[1]):
                    here.append(Strip(place[1], line.amount))
        if here:
            strips[outline.size] = tuple(sorted(here))
    return Plan(turned, strips) if told else None


def _strips(lines: Sequence[Line]) -> Tuple[Strip, ...]:
    return tuple(Strip(line.height, line.amount) for line in lines if abs(line.amount) > NOTHING)


def _grouped(outlines: Sequence[Tuple[Piece, Outline]]) -> List[Tuple[Piece, List[str]]]:
    """Pieces with the sizes in question, in order."""
    found: Dict[str, Tuple[Piece, List[str]]] = {}
    for piece, outline in outlines:
        found.setdefault(piece.name, (piece, []))[1].append(outline.size)
    return list(found.values())


def _has_grain(piece: Piece) -> bool:
    return any(mark.kind == GRAIN and _drawn(mark) for mark in piece.marks)


def _drawn(mark: Mark) -> bool:
    return mark.path is not None and len(mark.path) > 0


def _tilt(axis: _Axis) -> float:
    """How far a direction is off the nearer of level and upright, degrees."""
    return float(np.degrees(np.arctan(min(abs(axis[0]), abs(axis[1])) / max(abs(axis[0]), abs(axis[1])))))


def _across(line: Path) -> _Axis:
    """The unit direction square to a drawn line, pointing down the sheet, or else to the right."""
    along = line.end - line.start
    size = float(np.hypot(along[0], along[1]))
    if size < 1.0:
        raise InputError("The selected line has no length.", "Draw it right across the piece.", code="line")
    x, y = -float(along[1]) / size, float(along[0]) / size
    return (-x, -y) if y < -1e-12 or (abs(y) <= 1e-12 and x < 0) else (x, y)


def _nothing() -> InputError:
    return InputError("There is no outline to lengthen.", "Select one, or name a piece.", code="choice")
