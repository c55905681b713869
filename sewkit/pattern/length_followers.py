"""Which other pieces change when one is made longer, and at which height on each of them.

Every piece follows at its own line of that name, at the same distance from a level that both
have, or where the edge sewn to the leading piece is cut.  What follows leads on in its turn: a
lining is sewn to a facing, and the facing to the front.
"""

from typing import Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.pattern.cross_line import Axis, crosses, own_line
from sewkit.pattern.following import astride, follow, passes_by, sewn
from sewkit.pattern.length_plan import NOTHING, OWN, Line, back_on
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.shifts import Strip
from sewkit.pattern.spans import grain_axis


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
        beyond: lines at which the same words would not let in again what is folded out, as there
            was no room before them.
    """

    lead: str
    plans: Mapping[str, Plan]
    lines: Tuple[Line, ...]
    left: Tuple[str, ...] = ()
    aside: float = 0.0
    tilted: float = 0.0
    beyond: Tuple[str, ...] = ()


class Lead(NamedTuple):
    """A leading piece, its axis, and its lines for every size in question, its own or not.

    ``missing``: lines of the piece that led it, of which nothing tells where they are on this one.
    """

    piece: Piece
    axis: Axis
    by_size: Mapping[str, Tuple[Line, ...]]
    missing: Tuple[str, ...] = ()


class _Followed(NamedTuple):
    """What is to be done to a piece that follows, and its lines by size, to lead on with.

    ``sure``: of some line it is known where it lies; else only that none comes to this piece.
    """

    plan: Plan
    by_size: Mapping[str, Tuple[Line, ...]]
    sure: bool


def with_followers(
    pattern: Pattern,
    picked: Mapping[str, Tuple[Piece, List[str]]],
    lead: Lead,
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
    plan = own_plan(lead, [size for size in lead.by_size if size in own])
    if plan.strips:
        plans[lead.piece.name] = plan
    waiting = {
        piece.name: piece
        for piece in (pattern.pieces if lead.piece.named else ())
        if piece.named and piece.name not in (lead.piece.name, *others)
        # What was derived from a piece that changes is made anew from it afterwards.
        if piece.name in picked or (everywhere and not piece.follows)
    }
    usual = [size for size in lead.by_size if size in own]
    concerned = dict.fromkeys(waiting, False)
    chain = [lead]
    for leading in chain:  # grows: each piece that follows leads on
        for name, piece in list(waiting.items()):
            if leading is not lead and not sewn(pattern, leading.piece.name, name):
                continue
            sizes = picked[name][1] if name in picked else usual
            followed = _following(pattern, leading, piece, sizes, name in picked)
            if followed is None:
                continue
            concerned[name] = True
            if followed.sure:
                del waiting[name]
            if followed.plan.strips:
                plans[name] = followed.plan
                chain.append(Lead(piece, followed.plan.axis, followed.by_size, followed.plan.missing))
    left = tuple(name for name in waiting if not concerned[name])
    if everywhere:
        torn: Dict[str, Optional[Tuple[str, ...]]] = dict.fromkeys(left)
        torn.update({name: plan.missing for name, plan in plans.items() if plan.missing})
        _refuse_torn(pattern, chain, torn)
    return Plans(lead.piece.name, plans, next(iter(lead.by_size.values())), left)


def _refuse_torn(
    pattern: Pattern, chain: Sequence[Lead], missing: Mapping[str, Optional[Tuple[str, ...]]]
) -> None:
    """``InputError`` for a piece left out that is sewn to what stays and to what moves of another.

    Args:
        missing: the lines that were not found on a piece, by its name; None for all of them.
    """
    for lead in chain:
        lines = [(size, line) for size in lead.by_size for line in lead.by_size[size]]
        for name, words in missing.items():
            for size, line in lines:
                if size not in lead.piece.sizes or (words is not None and line.words not in words):
                    continue
                if astride(pattern, lead.piece, pattern.piece(name), size, line.height, lead.axis):
                    raise InputError(
                        "Nothing tells where {} would be on '{}', but it is sewn to '{}' before the line "
                        "and beyond it, so it has to change as well.".format(
                            line.words, name, lead.piece.name
                        ),
                        "Give it a level of the same name, or change pieces one by one without taking "
                        "others along.",
                        code="not-followed",
                    )


def own_plan(lead: Lead, sizes: Sequence[str]) -> Plan:
    """What is to be done to the leading piece itself in some of its sizes."""
    strips = {size: _strips(lead.by_size[size]) for size in sizes}
    return Plan(lead.axis, {size: some for size, some in strips.items() if some})


def _following(
    pattern: Pattern, lead: Lead, piece: Piece, sizes: Sequence[str], picked: bool
) -> Optional[_Followed]:
    """What becomes of a piece that follows; None where nothing tells where the lines are on it.

    A piece drawn once serves the sizes that change, so it changes as the first of them.
    """
    strips: Dict[str, Tuple[Strip, ...]] = {}
    by_size: Dict[str, Tuple[Line, ...]] = {}
    axis = lead.axis
    missing = dict.fromkeys(lead.missing)
    changing = [(outline, _lines_for(lead, outline.size, sizes)) for outline in piece.outlines]
    changing = [(outline, size) for outline, size in changing if size is not None]
    told = sure = not changing
    for outline, size in changing:
        here: List[Line] = []
        for line in lead.by_size[size]:
            at = outline.size or size
            place = _place(pattern, lead, piece, at, line, picked)
            if place is not None:
                told, sure, axis = True, True, place[0]
                here.append(line._replace(height=place[1]))
            elif passes_by(pattern, lead.piece, piece, at, line.height, lead.axis):
                told = True
            else:
                missing[line.words] = None
        crossing = [line for line in here if crosses(outline, axis, line.height)]
        if crossing:
            strips[outline.size] = tuple(sorted(_strips(crossing)))
        if here:
            by_size[outline.size] = tuple(here)
    return _Followed(Plan(axis, strips, tuple(missing)), by_size, sure) if told else None


def _place(
    pattern: Pattern, lead: Lead, piece: Piece, size: str, line: Line, picked: bool
) -> Optional[Tuple[Axis, float]]:
    """Where a line is on a piece; one that was picked itself may be cut at its own lengthen line."""
    place = follow(pattern, lead.piece, piece, size, line.words, line.height, lead.axis)
    if place is None and picked and line.words == OWN:
        axis = grain_axis(piece, size)
        try:
            return axis, own_line(piece, size, axis)
        except InputError:
            return None
    if place is None or not line.back:
        return place
    try:
        return place[0], place[1] + back_on(piece, size, place[0], line)
    except InputError:
        return place  # it was found by the line as it is, and not by its words


def _lines_for(lead: Lead, size: str, sizes: Sequence[str]) -> Optional[str]:
    """The size of the lead whose lines count for one size of a piece; None where it is not to change."""
    drawn = list(lead.by_size)
    if size in lead.by_size and size in sizes:
        return size
    if "" in lead.by_size and (size in sizes or "" in sizes):
        return ""
    if size:
        return None
    return drawn[0] if "" in sizes else next((one for one in drawn if one in sizes), None)


def _strips(lines: Sequence[Line]) -> Tuple[Strip, ...]:
    return tuple(Strip(line.height, line.amount) for line in lines if abs(line.amount) > NOTHING)
