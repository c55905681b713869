"""Which pieces a change of length concerns, and at which height on each of them.

One piece leads: the lines are found on it, by name or where they were drawn.  The others
follow (``length_followers``).
"""

from typing import Dict, List, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import contains
from sewkit.pattern.cross_line import Axis, crosses, drawn_height, named_heights
from sewkit.pattern.drawn_lines import Subjects
from sewkit.pattern.length_followers import Lead, Plan, Plans, own_plan, with_followers
from sewkit.pattern.length_plan import SAME_HEIGHT, Ask, Line, planned, shares_at
from sewkit.pattern.length_room import Tight, tight
from sewkit.pattern.mark import GRAIN
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.shifts import made_shifts
from sewkit.pattern.spans import grain_axis

__all__ = ["DRAWN", "Plan", "Plans", "drawn_plans", "is_drawn", "named_plans", "too_tight", "touches"]

# How a line is called that was only drawn; where there are several, along the axis.
DRAWN = "the drawn line"
_SEVERAL_DRAWN = "the {} drawn line"
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")

# A line drawn further off square to the grain than this (degrees) was meant for something else.
_MOST_ASIDE = 30.0


def is_drawn(words: str) -> bool:
    """Whether a line is called so because it was only drawn."""
    return words == DRAWN or words in [_SEVERAL_DRAWN.format(ordinal) for ordinal in _ORDINALS]


def named_plans(
    pattern: Pattern, found: Subjects, picked: bool, ask: Ask, everywhere: bool, buttons: bool = True
) -> Plans:
    """Lines by name, on the first of the pieces in question that has them all.

    What is folded out lies where the same words would have let it in, if nothing is in the way
    there on any piece; else just beyond the line.

    Args:
        picked: the pieces and sizes in question were picked, and not merely all there are.
        buttons: rows of drill holes are spaced anew, so they are not in the way.
    """
    try:
        undoing = _named_plans(pattern, found, picked, ask, everywhere, True)
    except InputError:
        return _named_plans(pattern, found, picked, ask, everywhere, False)
    moved = tuple(line.words for line in undoing.lines if line.back)
    if moved and not _free(pattern, undoing, buttons):
        return _named_plans(pattern, found, picked, ask, everywhere, False)._replace(beyond=moved)
    return undoing


def _free(pattern: Pattern, plans: Plans, buttons: bool) -> bool:
    """Whether every strip lies on its piece, with room for what is folded out."""
    for name, plan in plans.plans.items():
        piece = pattern.piece(name)
        for size, strips in plan.strips.items():
            if not all(crosses(piece.outline(size), plan.axis, strip.height) for strip in strips):
                return False
    return not too_tight(pattern, plans, buttons)


def too_tight(pattern: Pattern, plans: Plans, buttons: bool) -> List[Tight]:
    """The strips of all pieces that have not the room they need, the one with the least first."""
    found: List[Tight] = []
    for name, plan in plans.plans.items():
        shifts = {size: made_shifts(plan.axis, strips) for size, strips in plan.strips.items()}
        found += tight(pattern.piece(name), shifts, buttons)
    return sorted(found, key=lambda one: one.block.room)


def _named_plans(
    pattern: Pattern, found: Subjects, picked: bool, ask: Ask, everywhere: bool, undoing: bool
) -> Plans:
    fault = None
    wanted = _grouped(found.outlines)
    sizes = list(dict.fromkeys(size for _, own in wanted.values() for size in own))
    for piece, own in wanted.values():
        try:
            axis = grain_axis(piece, own[0])
            drawn = [size for size in sizes if size in piece.sizes] or [own[0]]
            lead = Lead(piece, axis, {size: planned(piece, size, axis, ask, undoing) for size in drawn})
        except InputError as error:
            fault = fault or error
            continue
        return with_followers(pattern, wanted if picked else {}, lead, everywhere)
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
    leads: Dict[str, Lead] = {}
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
        known = leads.get(piece.name, Lead(piece, axis, {}))
        by_size = {**known.by_size, outline.size: _drawn_lines(piece, outline.size, axis, lines, ask)}
        leads[piece.name] = known._replace(by_size=by_size)
    first = next(iter(leads.values()))
    wanted = _grouped(found.outlines) if picked else {}
    made = with_followers(pattern, wanted, first, everywhere, tuple(leads))
    more = {
        name: own_plan(lead, list(lead.by_size)) for name, lead in leads.items() if name != first.piece.name
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
    return _told_apart(sorted(map(Line, words, heights, amounts), key=lambda line: line.height))


def _told_apart(lines: Sequence[Line]) -> Tuple[Line, ...]:
    """Several drawn lines are the first, the second and so on."""
    drawn = [line for line in lines if line.words == DRAWN]
    if not 1 < len(drawn) <= len(_ORDINALS):
        return tuple(lines)
    ordinals = iter(_ORDINALS)
    return tuple(
        line._replace(words=_SEVERAL_DRAWN.format(next(ordinals))) if line.words == DRAWN else line
        for line in lines
    )


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


def _grouped(outlines: Sequence[Tuple[Piece, Outline]]) -> Dict[str, Tuple[Piece, List[str]]]:
    """Pieces with the sizes in question, by name, in order."""
    found: Dict[str, Tuple[Piece, List[str]]] = {}
    for piece, outline in outlines:
        found.setdefault(piece.name, (piece, []))[1].append(outline.size)
    return found
