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
from sewkit.pattern.cross_line import Axis, crosses, drawn_height, named_heights, own_line
from sewkit.pattern.drawn_lines import Subjects
from sewkit.pattern.following import follow
from sewkit.pattern.length_plan import NOTHING, OWN, SAME_HEIGHT, Ask, Line, planned, shares_at
from sewkit.pattern.lengthening import Strip
from sewkit.pattern.mark import GRAIN
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.spans import grain_axis

# How a line is called that was only drawn.
DRAWN = "the drawn line"

# A line drawn further off square to the grain than this (degrees) was meant for something else.
_MOST_ASIDE = 30.0


class Plan(NamedTuple):
    """What is to be done to one piece: strips by size, across one axis.

    ``missing``: lines of which nothing tells where they would be on this piece.
    """

    axis: Axis
    strips: Mapping[str, Tuple[Strip, ...]]
    missing: Tuple[str, ...] = ()

    @property
    def total(self) -> float:
        """How much longer the piece becomes (mm), in its first size."""
        return sum(strip.amount for strip in next(iter(self.strips.values())))


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


class _Lead(NamedTuple):
    """The leading piece, its axis, and its lines for every size in question, its own or not."""

    piece: Piece
    axis: Axis
    by_size: Mapping[str, Tuple[Line, ...]]


def named_plans(pattern: Pattern, found: Subjects, picked: bool, ask: Ask, everywhere: bool) -> Plans:
    """Lines by name, on the first of the pieces in question that has them all.

    ``picked``: the pieces and sizes in question were picked, and not merely all there are.
    """
    fault = None
    wanted = _grouped(found.outlines)
    sizes = list(dict.fromkeys(size for _, own in wanted.values() for size in own))
    for piece, own in wanted.values():
        try:
            axis = grain_axis(piece, own[0])
            drawn = [size for size in sizes if size in piece.sizes] or [own[0]]
            lead = _Lead(piece, axis, {size: planned(piece, size, axis, ask) for size in drawn})
        except InputError as error:
            fault = fault or error
            continue
        return _with_followers(pattern, wanted if picked else {}, lead, everywhere)
    raise fault or InputError(
        "There is no outline to lengthen.", "Select one, or name a piece.", code="choice"
    )


def drawn_plans(pattern: Pattern, found: Subjects, picked: bool, ask: Ask, everywhere: bool) -> Plans:
    """Lines that somebody drew across outlines; each counts for the outlines that it touches.

    On a piece with a grain line the cut is square to the grain, through the middle of the
    drawn line; on any other it is the drawn line itself.
    """
    if ask.at or ask.each or ask.measured or ask.ratio:
        raise InputError(
            "A line is selected, and others are named.",
            "Name the lines, or select one; not both.",
            code="choice",
        )
    over = [(p, o, [line for line in found.lines if touches(o, line)]) for p, o in found.outlines]
    _refuse_missing(over, found.lines)
    leads: Dict[str, _Lead] = {}
    aside = tilted = 0.0
    for piece, outline, lines in over:
        if not lines:
            continue
        grain = any(mark.kind == GRAIN and mark.path is not None and len(mark.path) for mark in piece.marks)
        axis = grain_axis(piece, outline.size) if grain else _across(lines[0])
        off = max(drawn_height(line, axis)[1] for line in lines)
        if off > _MOST_ASIDE:
            raise InputError(
                "The selected line on '{}' is {:.0f} degrees off square to the grain.".format(
                    piece.name, off
                ),
                "Draw it across the grain; it is where the piece is cut apart.",
                code="line",
            )
        aside, tilted = max(aside, off), max(tilted, 0.0 if grain else _tilt(axis))
        known = leads.get(piece.name, _Lead(piece, axis, {}))
        by_size = {**known.by_size, outline.size: _drawn_lines(piece, outline.size, axis, lines, ask)}
        leads[piece.name] = known._replace(by_size=by_size)
    first = next(iter(leads.values()))
    wanted = _grouped(found.outlines) if picked else {}
    made = _with_followers(pattern, wanted, first, everywhere, tuple(leads))
    more = {
        name: _own_plan(lead, list(lead.by_size)) for name, lead in leads.items() if name != first.piece.name
    }
    plans = {**made.plans, **{name: plan for name, plan in more.items() if plan.strips}}
    return made._replace(plans=plans, aside=aside, tilted=tilted)


def touches(outline: Outline, line: Path) -> bool:
    """Whether a drawn line lies on a piece at all, or crosses its outline."""
    if outline.path.closed and contains(outline.path, ((line.start + line.end) / 2)[None])[0]:
        return True
    return bool(crossings(outline.path, line))


# -- lines that were drawn ----------------------------------------------------------------


def _refuse_missing(over: Sequence[Tuple[Piece, Outline, List[Path]]], lines: Sequence[Path]) -> None:
    bare = [piece.name for piece, _, own in over if not piece.named and not own]
    idle = [line for line in lines if not any(line is one for _, _, own in over for one in own)]
    if not bare and not idle:
        return
    raise InputError(
        "The selected line does not cross '{}'.".format(bare[0])
        if bare
        else "A selected line, from ({:.0f}, {:.0f}) mm, crosses no piece.".format(*idle[0].start),
        "Draw it right across the piece, from edge to edge.",
        code="line",
    )


def _drawn_lines(piece: Piece, size: str, axis: Axis, lines: Sequence[Path], ask: Ask) -> Tuple[Line, ...]:
    """The lines of one outline with their shares; one that is a line of the piece has its name."""
    heights: List[float] = []
    for line in lines:
        height = drawn_height(line, axis)[0]
        if all(abs(height - other) > SAME_HEIGHT for other in heights):
            heights.append(height)
    names = named_heights(piece, size, axis)
    words = [
        next((name for name, there in names.items() if abs(there - height) <= SAME_HEIGHT), DRAWN)
        for height in heights
    ]
    amounts = shares_at(piece, size, axis, ask.share, ask.amount, heights)
    return tuple(sorted(map(Line, words, heights, amounts), key=lambda line: line.height))


def _across(line: Path) -> Axis:
    """The unit direction square to a drawn line, pointing down the sheet, or else to the right."""
    along = line.end - line.start
    size = float(np.hypot(along[0], along[1]))
    if size < 1.0:
        raise InputError("The selected line has no length.", "Draw it right across the piece.", code="line")
    x, y = -float(along[1]) / size, float(along[0]) / size
    return (-x, -y) if y < -1e-12 or (abs(y) <= 1e-12 and x < 0) else (x, y)


def _tilt(axis: Axis) -> float:
    """How far a direction is off the nearer of level and upright, degrees."""
    return float(np.degrees(np.arctan(min(abs(axis[0]), abs(axis[1])) / max(abs(axis[0]), abs(axis[1])))))


# -- who follows ----------------------------------------------------------------------------


def _with_followers(
    pattern: Pattern,
    picked: Mapping[str, Tuple[Piece, List[str]]],
    lead: _Lead,
    everywhere: bool,
    others: Sequence[str] = (),
) -> Plans:
    """The lead's plan and those of all pieces that follow.

    Args:
        picked: pieces with the sizes that were picked on each; empty where nothing was picked.
        others: pieces that have lines of their own, drawn over them.
    """
    own = picked.get(lead.piece.name, (lead.piece, list(lead.by_size)))[1]
    plans: Dict[str, Plan] = {}
    plan = _own_plan(lead, [size for size in lead.by_size if size in own])
    if plan.strips:
        plans[lead.piece.name] = plan
    left: List[str] = []
    for piece in pattern.pieces if lead.piece.named else ():
        if piece.name in (lead.piece.name, *others) or not piece.named:
            continue
        if not everywhere and piece.name not in picked:
            continue
        sizes = (
            picked[piece.name][1] if piece.name in picked else [size for size in lead.by_size if size in own]
        )
        followed = _following(pattern, lead, piece, sizes, piece.name in picked)
        if followed is None:
            left.append(piece.name)
        elif followed.strips:
            plans[piece.name] = followed
    return Plans(lead.piece.name, plans, next(iter(lead.by_size.values())), tuple(left))


def _own_plan(lead: _Lead, sizes: Sequence[str]) -> Plan:
    strips = {size: _strips(lead.by_size[size]) for size in sizes}
    return Plan(lead.axis, {size: some for size, some in strips.items() if some})


def _following(
    pattern: Pattern, lead: _Lead, piece: Piece, sizes: Sequence[str], picked: bool
) -> Optional[Plan]:
    """The plan of a piece that follows; None where nothing tells where the lines are on it.

    A piece drawn once follows when all sizes of the leading one change.
    """
    strips: Dict[str, Tuple[Strip, ...]] = {}
    turned, told = lead.axis, False
    missing: Dict[str, None] = {}
    for outline in piece.outlines:
        size = _lines_for(lead, piece, outline.size, sizes)
        if size is None:
            told = True  # that size is not to change
            continue
        here = []
        for line in lead.by_size[size]:
            place = _place(pattern, lead, piece, outline.size or size, line, picked)
            if place is None:
                missing[line.words] = None
                continue
            told, turned = True, place[0]
            if crosses(outline, place[0], place[1]):
                here.append(Strip(place[1], line.amount))
        if here:
            strips[outline.size] = tuple(sorted(here))
    return Plan(turned, strips, tuple(missing)) if told else None


def _place(
    pattern: Pattern, lead: _Lead, piece: Piece, size: str, line: Line, picked: bool
) -> Optional[Tuple[Axis, float]]:
    """Where a line is on a piece; one that was picked itself may be cut at its own lengthen line."""
    place = follow(pattern, lead.piece, piece, size, line.words, line.height, lead.axis)
    if place is None and picked and line.words == OWN:
        axis = grain_axis(piece, size)
        try:
            return axis, own_line(piece, size, axis)
        except InputError:
            return None
    return place


def _lines_for(lead: _Lead, piece: Piece, size: str, sizes: Sequence[str]) -> Optional[str]:
    """The size of the lead whose lines count for one size of a piece; None where it is not to change."""
    drawn = list(lead.by_size)
    if size in lead.by_size and size in sizes:
        return size
    if "" in lead.by_size and (size in sizes or "" in sizes):
        return ""
    once = not size and (size in sizes or len(drawn) == len(lead.piece.outlines))
    return drawn[0] if once else None


def _strips(lines: Sequence[Line]) -> Tuple[Strip, ...]:
    return tuple(Strip(line.height, line.amount) for line in lines if abs(line.amount) > NOTHING)


def _grouped(outlines: Sequence[Tuple[Piece, Outline]]) -> Dict[str, Tuple[Piece, List[str]]]:
    """Pieces with the sizes in question, by name, in order."""
    found: Dict[str, Tuple[Piece, List[str]]] = {}
    for piece, outline in outlines:
        found.setdefault(piece.name, (piece, []))[1].append(outline.size)
    return found
