"""Notches taken off, called otherwise, drawn in another number or form; they stay where they are."""

from typing import Dict, List, Sequence, Set, Tuple

from sewkit.pattern.chosen import Chosen
from sewkit.pattern.mark import Mark
from sewkit.pattern.notch_asked import Target, names_for, refuse_taken
from sewkit.pattern.notch_found import REMOVE, RENAME, Asked, Done, Found, Told, found_notches
from sewkit.pattern.notch_met import partners_of, standing
from sewkit.pattern.notch_put import free_numbers, put, standing_as, taken_off, with_instead
from sewkit.pattern.notch_work import dress
from sewkit.pattern.own_notches import each_own
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece

# By what a notch is known in all sizes: piece, edge, name, and without one its number in order.
Key = Tuple[str, str, str, int]


def edit_notches(pattern: Pattern, chosen: Chosen, asked: Asked) -> Done:
    """Notches taken off, called otherwise, or in another number or form; where they are."""
    done = Done(pattern)
    found = found_notches(pattern, chosen, asked, asked.action == REMOVE)
    names = _new_names(pattern, found, asked) if asked.action == RENAME else {}
    _refuse_names(pattern, found, names)
    steps = _with_partners(pattern, found) if asked.partner else [(one[2], *one, "") for one in found]
    seen: List[Tuple[str, str, Mark]] = []
    for lead, name, size, mark, partner in steps:
        if any(one[:2] == (name, size) and one[2] is mark for one in seen):
            continue
        seen.append((name, size, mark))
        if not mark.size and asked.action != REMOVE:
            there = {one[2] for one in steps if one[1] == name and one[3] is mark}
            done = done if _in_all(pattern.piece(name), mark, there) else _split(done, name, mark)
        done = _edit(done, name, size, mark, names.get(_known(found, lead), ""), partner, asked)
    return done


def _with_partners(pattern: Pattern, found: Sequence[Found]) -> List[Tuple[Mark, str, str, Mark, str]]:
    """Every notch that was meant and behind it all that meet at its place: both, piece, size, whose partner.

    A back that is sewn to a left and a right front has one notch for both.
    """
    steps: List[Tuple[Mark, str, str, Mark, str]] = []
    for name, size, mark in found:
        group = [(name, size, mark, "")]
        for here, _, met_here, _ in group:  # it grows
            for one in partners_of(pattern, here, size, met_here):
                if not any(one.piece == other[0] and one.mark is other[2] for other in group):
                    there = pattern.piece(one.piece).outline(size).size
                    group.append((one.piece, there, one.mark, name))
        steps += [(mark, *one) for one in group]
    return steps


def _refuse_names(pattern: Pattern, found: Sequence[Found], names: Dict[Key, str]) -> None:
    """``InputError`` where a notch that keeps its name has a new one's already, on the same edge."""
    marks = [mark for _, _, mark in found]
    for name, size, mark in found if names else ():
        if mark.on is not None:
            piece = pattern.piece(name)
            new = names[_known(found, mark)]
            refuse_taken(Target(piece, piece.outline(size), mark.on.edge), (), [new], marks)


def _in_all(piece: Piece, mark: Mark, sizes: Set[str]) -> bool:
    """Whether a notch that serves all sizes is meant in all that have its edge."""
    return all(o.size in sizes for o in piece.outlines if mark.on is not None and mark.on.edge in o.names)


def _split(done: Done, name: str, mark: Mark) -> Done:
    """With a notch that served all sizes as each size's own; as it was where it is no more that one."""
    piece = done.pattern.piece(name)
    if mark.on is None or not any(one is mark for one in piece.marks):
        return done
    own = each_own(piece, mark)
    return done._replace(pattern=done.pattern.with_piece(with_instead(piece, mark, own)))


def _edit(done: Done, name: str, size: str, mark: Mark, new_name: str, partner: str, asked: Asked) -> Done:
    now = standing_as(done.pattern, name, size, mark)
    if now is None:
        return done
    if asked.action == REMOVE:
        pattern = taken_off(done.pattern, name, size, now)
        return done._replace(pattern=pattern, told=done.told + (Told(name, size, now, now, partner),))
    new = now._replace(name=new_name) if asked.action == RENAME else dress(asked)(now, name, False)
    pattern = put(done.pattern, name, size, now, new)
    made = standing(pattern, name, size, new)
    return done._replace(pattern=pattern, told=done.told + (Told(name, size, made, mark, partner),))


def _known(found: Sequence[Found], mark: Mark) -> Key:
    """By what a notch is known in all sizes: piece, edge, name, and without one its number in order."""
    name, size, _ = next(one for one in found if one[2] is mark)
    edge = mark.on.edge if mark.on is not None else ""
    order = [
        one[2]
        for one in found
        if one[:2] == (name, size) and one[2].on is not None and one[2].on.edge == edge and not one[2].name
    ]
    number = next((n for n, one in enumerate(order) if one is mark), 0)
    return name, edge, mark.name, 0 if mark.name else number


def _new_names(pattern: Pattern, found: Sequence[Found], asked: Asked) -> Dict[Key, str]:
    """The new name of every notch, the same in all sizes and for both of a pair."""
    keys = [_known(found, mark) for _, _, mark in found]
    known: Dict[Key, str] = {}
    first: List[Key] = []
    for (name, size, mark), key in zip(found, keys):
        if key in known:
            continue
        known[key] = ""
        if any(_known(found, other) in first for other in _partners_in(pattern, found, name, size, mark)):
            continue
        first.append(key)
    wanted = _names_wanted(pattern, found, first, asked)
    known.update(zip(first, wanted))
    for (name, size, mark), key in zip(found, keys):
        if not known[key]:
            pairs = _partners_in(pattern, found, name, size, mark)
            known[key] = next((known[_known(found, one)] for one in pairs if known[_known(found, one)]), "")
    return known


def _partners_in(pattern: Pattern, found: Sequence[Found], name: str, size: str, mark: Mark) -> List[Mark]:
    met_here = [one.mark for one in partners_of(pattern, name, size, mark)]
    return [one for one in met_here if any(one is other for _, _, other in found)]


def _names_wanted(pattern: Pattern, found: Sequence[Found], keys: Sequence[Key], asked: Asked) -> List[str]:
    if asked.called.strip():
        return names_for(pattern, asked.called, len(keys))
    gone = {mark.name for _, _, mark in found}
    kept = []
    for piece in pattern.pieces:
        kept.append(piece._replace(marks=tuple(m for m in piece.marks if m.name not in gone or not m.name)))
    return free_numbers(pattern._replace(pieces=tuple(kept)), len(keys))
