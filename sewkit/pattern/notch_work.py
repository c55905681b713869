"""Notches put, moved, settled where they are drawn, and look-alike edges told apart, with their partners."""

from typing import Callable, Dict, List, NamedTuple, Sequence, Tuple

from sewkit.errors import InputError
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.mark import NOTCH, Mark, On
from sewkit.pattern.notch_apart import told_apart
from sewkit.pattern.notch_asked import (
    Target,
    names_for,
    one_for,
    places_for,
    refuse_taken,
    targets,
)
from sewkit.pattern.notch_drawn import drawn_place
from sewkit.pattern.notch_found import CHANGE, Asked, Done, Told, found_notches
from sewkit.pattern.notch_met import Met, is_lone, met, partners_of, standing
from sewkit.pattern.notch_put import custom_count, put, standing_as
from sewkit.pattern.notch_sides import END, EVEN, NEAR, START, place_along, side_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import Seam

# A notch drawn no farther from its place than this (mm) was not moved by hand: drawing and
# reading round far less.
MOVED = 0.2


# -- put ------------------------------------------------------------------------------------


def put_notches(pattern: Pattern, chosen: Chosen, asked: Asked) -> Done:
    """New notches on an edge, in all sizes that were picked."""
    done = Done(pattern)
    names: Dict[Tuple[str, str], List[str]] = {}
    for target in targets(pattern, chosen, asked.edge):
        here = target.piece.name, target.edge
        if any((t.piece, t.edge_name, t.size) == (*here, target.outline.size) for t in _partners(done)):
            continue  # it has the partners of the edge it is sewn to
        ons = places_for(target, asked.at, asked.evenly)
        own = names.get(here, [])
        if len(own) != len(ons):
            own = names[here] = names_for(done.pattern, asked.called, len(ons))
        refuse_taken(target, ons, own)
        if asked.ease == "between" and len(ons) < 2:
            raise InputError(
                "Ease lies between two notches, and one is given.", "Give both of its ends.", code="value"
            )
        done = _one_edge(done, target, list(zip(own, ons)), _rules(target, ons, asked), asked)
    return done


class _Partner(NamedTuple):
    piece: str
    edge_name: str
    size: str


def _partners(done: Done) -> List[_Partner]:
    """The edges that have got notches because another one has."""
    return [_Partner(t.piece, t.mark.on.edge, t.size) for t in done.told if t.partner and t.mark.on]


def _rules(target: Target, ons: Sequence[On], asked: Asked) -> List[str]:
    """For each place, from which end of the edge its partner has the distance."""
    if asked.ease == "even" or (asked.ease == "auto" and asked.evenly):
        return [EVEN] * len(ons)
    if asked.ease != "between":
        return [NEAR] * len(ons)
    length = target.outline.as_sewn(target.edge)
    along = [length - on.distance if on.from_end else on.distance for on in ons]
    return [START if one == min(along) else END if one == max(along) else NEAR for one in along]


def _one_edge(
    done: Done, target: Target, places: Sequence[Tuple[str, On]], rules: Sequence[str], asked: Asked
) -> Done:
    """All notches of one edge in one size, then their partners, the outermost first."""
    name, size = target.piece.name, target.outline.size
    pattern = done.pattern
    count = _new_count(pattern, name, target.edge, asked)
    marks = []
    for called, on in places:
        new = Mark(NOTCH, called, size, None, on, count, form="" if asked.form == "auto" else asked.form)
        pattern = put(pattern, name, size, None, new)
        marks.append(standing(pattern, name, size, new))
    done = done._replace(pattern=pattern, told=done.told + tuple(Told(name, size, mark) for mark in marks))
    order = sorted(range(len(marks)), key=lambda number: rules[number] == NEAR)
    for number in order if asked.partner else ():
        done = _with_partners(done, name, size, marks[number], (), asked, rules[number])
    return done


def _new_count(pattern: Pattern, name: str, edge: str, asked: Asked) -> int:
    """How many side by side: as asked, by the custom of the piece, or of one that it is sewn to."""
    if asked.count:
        return asked.count
    own = custom_count(name, edge)
    if own:
        return own
    for seam in pattern.seams:
        if seam.touches(name, edge):
            counts = [custom_count(ref.piece, ref.edge) for ref in seam.refs if ref.piece != name]
            if any(counts):
                return next(count for count in counts if count)
    return 1


def _with_partners(
    done: Done, name: str, size: str, mark: Mark, old: Sequence[Met], asked: Asked, by: str = NEAR
) -> Done:
    """What was done, and the partners of a notch put or moved to where they meet it."""
    edge = mark.on.edge if mark.on is not None else ""
    if not any(seam.touches(name, edge) for seam in done.pattern.seams):
        return done._replace(missed=done.missed + ((name, edge, size, ""),))
    pattern, made, missed = met(done.pattern, name, size, mark, old, dress(asked), by)
    told = []
    for one in made:
        there = pattern.piece(one.piece).outline(size).size
        told.append(Told(one.piece, there, one.mark, one.was, name))
    why = tuple((name, edge, size, "{}: {}".format(one.seam.name, one.why)) for one in missed)
    return Done(pattern, done.told + tuple(told), done.missed + why, done.full)


def dress(asked: Asked) -> Callable[[Mark, str, bool], Mark]:
    """How a notch is drawn: as asked, else as it was, a new one by the custom of its own piece."""

    def dressed(mark: Mark, piece: str, new: bool) -> Mark:
        if asked.form != "auto":
            mark = mark._replace(form=asked.form)
        if asked.count:
            return mark._replace(count=asked.count)
        by_custom = new or (asked.action == CHANGE and asked.form == "auto")
        if by_custom and mark.on is not None:
            return mark._replace(count=custom_count(piece, mark.on.edge) or mark.count)
        return mark

    return dressed


# -- move, settle ---------------------------------------------------------------------------


def move_notches(pattern: Pattern, chosen: Chosen, asked: Asked) -> Done:
    """The notches that were named, at another place of their edge."""
    if not asked.at.strip():
        raise InputError("Where to?", "Give a place such as 120mm or 40%.", code="value")
    done = Done(pattern)
    for name, size, mark in found_notches(pattern, chosen, asked, True):
        mark = standing_as(done.pattern, name, size, mark)
        if mark is None or mark.on is None or done.covers(name, size, mark):
            continue
        piece = done.pattern.piece(name)
        target = Target(piece, piece.outline(size), mark.on.edge)
        on = one_for(target, asked.at)
        refuse_taken(target, [on], (), (mark,))
        done = _moved(done, name, size, mark, dress(asked)(mark._replace(on=on), name, False), asked)
    return done


def match_notches(pattern: Pattern, chosen: Chosen, asked: Asked) -> Done:
    """Partners for lone notches; those of notches that were named are moved to meet them as well."""
    named = bool(asked.which.strip() or asked.edge or chosen.marks)
    done = Done(pattern)
    for name, size, mark in found_notches(pattern, chosen, asked, False):
        now = standing_as(done.pattern, name, size, mark)
        if now is None or now.on is None or done.covers(name, size, now):
            continue
        old = partners_of(done.pattern, name, size, now)
        if named if old else is_lone(done.pattern, name, size, now):
            done = done._replace(told=done.told + (Told(name, size, now, now),))
            done = _with_partners(done, name, size, now, old, asked)
    return done


def settle_notches(pattern: Pattern, chosen: Chosen, asked: Asked) -> Done:
    """Notches moved by hand: the place where they are drawn counts; partners that were not go along."""
    moves = []
    for name, size, mark in found_notches(pattern, chosen, asked, False):
        place = drawn_place(pattern.piece(name).outline(size), mark)
        if place is not None and (place.off is None or place.off > MOVED):
            moves.append((name, size, mark, mark._replace(on=place.on)))
    own = asked._replace(partner=False)
    done = Done(pattern)
    for name, size, mark, new in moves:
        partners = partners_of(done.pattern, name, size, mark) if asked.partner else []
        done = _moved(done, name, size, mark, new, own)
        by_hand = [one[2] for one in moves]
        follow = [one for one in partners if not any(one.mark is hand for hand in by_hand)]
        if follow and len(follow) == len(partners):
            done = _with_partners(done, name, size, done.told[-1].mark, follow, asked)
    return done


def _moved(done: Done, name: str, size: str, mark: Mark, new: Mark, asked: Asked) -> Done:
    """One notch in the place of another, and its partners after it."""
    old = partners_of(done.pattern, name, size, mark) if asked.partner else []
    pattern = put(done.pattern, name, size, mark, new)
    made = standing(pattern, name, size, new)
    before, count = done.pattern, len(done.told) + 1
    done = done._replace(pattern=pattern, told=done.told + (Told(name, size, made, mark),))
    if not asked.partner:
        return done
    return _beyond(_with_partners(done, name, size, made, old, asked), before, name, count, asked)


def _beyond(done: Done, before: Pattern, name: str, count: int, asked: Asked) -> Done:
    """What was done, and the notches moved that met the partners: the other front's, after the back's.

    Args:
        before: the pattern before the notch of the piece ``name`` was moved.
        count: how many notches were told until then; those behind it are its partners.
    """
    moved = {name, *(one.piece for one in done.told[count:])}
    while count < len(done.told):
        one, count = done.told[count], count + 1
        old = [] if one.was is None else partners_of(before, one.piece, one.size, one.was)
        old = [other for other in old if other.piece not in moved]
        if not old:
            continue
        seams, pattern = done.pattern.seams, done.pattern
        mine = tuple(seam for seam in seams if any(seam == other.seam for other in old))
        only = done._replace(pattern=pattern._replace(seams=mine))
        only = _with_partners(only, one.piece, one.size, one.mark, old, asked)
        done = only._replace(pattern=only.pattern._replace(seams=seams))
        moved |= {other.piece for other in old}
    return done


# -- tell apart -----------------------------------------------------------------------------


def tell_apart(pattern: Pattern, chosen: Chosen, asked: Asked) -> Done:
    """The fewest notches that tell look-alike edges of the whole pattern apart, in all sizes."""
    chosen.pieces(pattern)
    sizes = pattern.sizes or ("",)
    made, full = told_apart(pattern, sizes)
    done = Done(pattern, full=tuple(full))
    names = names_for(pattern, asked.called, sum(len(one.along) for one in made)) if made else []
    for one in made:
        own, names = names[: len(one.along)], names[len(one.along) :]
        for size in sizes:
            done = _one_seam(done, one.seam, size, list(zip(own, one.along)), asked)
    return done


def _one_seam(done: Done, seam: Seam, size: str, places: Sequence[Tuple[str, float]], asked: Asked) -> Done:
    """Notches on both sides of one seam of one size, and of no other seam of its edges."""
    try:
        side = side_of(done.pattern, seam.first, size)
        side_of(done.pattern, seam.second, size)
    except InputError:
        return done  # the seam is not drawn in that size
    ref, seams = seam.first[0], done.pattern.seams
    piece = done.pattern.piece(ref.piece)
    target = Target(piece, piece.outline(size), ref.edge)
    ons = [(called, place_along(side, along, False)[1]) for called, along in places]
    only = done._replace(pattern=done.pattern._replace(seams=(seam,)))
    only = _one_edge(only, target, ons, [NEAR] * len(ons), asked._replace(partner=True))
    return only._replace(pattern=only.pattern._replace(seams=seams))
