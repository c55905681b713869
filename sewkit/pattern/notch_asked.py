"""Where notches are asked for: edges by name, number or clicked points, and places on them in words."""

import re
from typing import List, NamedTuple, Sequence

from sewkit.errors import InputError
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.edge_called import quoted
from sewkit.pattern.edge_places import counts_from_end, notches_along, one_place, split_places
from sewkit.pattern.mark import LEVEL, NOTCH, Mark, On
from sewkit.pattern.notch import distance_from_start, place_of
from sewkit.pattern.notch_as_sewn import as_drawn, from_ends, length_as_sewn, refuse_mouths
from sewkit.pattern.notch_put import free_numbers
from sewkit.pattern.outline import Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import check_name

# A place counted from the edge's other end: -25mm.
_FROM_OTHER = re.compile(r"(?:^|(?<=[\s;,]))-(?=[\d.½¼¾⅛⅜⅝⅞])")

# How a place begins that is a length or a share, and no name.
_MEASURED = ".0123456789½¼¾⅛⅜⅝⅞"

# Two notches so close (mm) are one.
SAME_PLACE = 0.5


class Target(NamedTuple):
    """One edge of one size, and the points that were clicked on it instead of places in words."""

    piece: Piece
    outline: Outline
    edge: str
    clicked: Sequence[On] = ()


def targets(pattern: Pattern, chosen: Chosen, edge: str) -> List[Target]:
    """The edges that are meant, size by size.

    Args:
        edge: its name, perhaps with its piece, as front/side; empty for the clicked points.
    """
    if not edge:
        return _clicked(pattern, chosen)
    found: List[Target] = []
    for one in edges_named(pattern, chosen, edge):
        nodes = chosen.nodes_on(one.piece.name, one.outline.size)
        ons = [place_of(one.outline, node) for node in nodes]
        found.append(one._replace(clicked=[on for on in ons if on.edge == one.edge]))
    return found


def edges_named(pattern: Pattern, chosen: Chosen, edge: str) -> List[Target]:
    """Pieces and sizes that have the edge; ``InputError`` where none has, or a chosen one has not."""
    owner, _, name = edge.rpartition("/")
    if owner and not any(one.piece == owner for one in chosen.outlines):
        piece = pattern.piece(owner)
        picked = [(piece, outline) for outline in piece.outlines]
    else:
        picked = [one for one in chosen.picked(pattern) if not owner or one[0].name == owner]
    strict = bool(chosen.outlines or owner)
    found = [Target(piece, outline, name) for piece, outline in picked if name in outline.names]
    for piece, outline in picked:
        if name not in outline.names and (strict or not found):
            raise InputError(
                "'{}' has no edge called '{}'.".format(piece.name, name),
                "Its edges are: {}.".format(", ".join(outline.names)),
                code="name",
            )
    if not found:
        raise InputError("There is no piece to put notches on.", "Draw an outline, or select one.", "choice")
    return found


def _clicked(pattern: Pattern, chosen: Chosen) -> List[Target]:
    found: List[Target] = []
    for piece, outline in chosen.picked(pattern) if chosen.nodes else ():
        ons = [place_of(outline, node) for node in chosen.nodes_on(piece.name, outline.size)]
        for name in dict.fromkeys(on.edge for on in ons):
            found.append(Target(piece, outline, name, [on for on in ons if on.edge == name]))
    if not found:
        raise InputError(
            "On which edge?",
            "Give its name, such as side or front/side, its number, or select the points.",
            code="choice",
        )
    return found


def places_for(target: Target, words: str, evenly: int) -> List[On]:
    """The places of the notches on one edge; ``InputError`` where there are none, or one is none."""
    if not words.strip() and not evenly:
        if target.clicked:
            refuse_mouths(target.piece, target.outline, target.clicked)
            return list(target.clicked)
        raise InputError(
            "Where on {}?".format(quoted(target.outline, target.edge)),
            "Give places such as 120mm, 40%, -25mm from the other end, or a level; or how many evenly.",
            code="value",
        )
    listed = _in_words(target, words)
    refuse_mouths(target.piece, target.outline, listed)
    return _evenly(target, listed, evenly) if evenly else listed


def one_for(target: Target, words: str) -> On:
    """The one place; ``InputError`` where several are given."""
    ons = places_for(target, words, 0)
    if len(ons) != 1:
        raise InputError(
            "A notch moves to one place, and {} are given.".format(len(ons)), "Give one.", code="value"
        )
    return ons[0]


def _in_words(target: Target, words: str) -> List[On]:
    piece, outline, edge = target.piece, target.outline, target.edge
    known = [m.name for m in piece.marks_for(outline.size) if m.kind in (LEVEL, NOTCH) and m.name]
    levels = [m.name for m in piece.marks_for(outline.size) if m.kind == LEVEL]
    found: List[On] = []
    for number, part in enumerate(_FROM_OTHER.split(words)):
        for place, word in enumerate(split_places(part, list(dict.fromkeys(known)))):
            on = one_place(piece, outline, edge, word)
            on = on._replace(from_end=not on.from_end) if number and not place else on
            if word[:1] in _MEASURED and word not in (*levels, *notches_along(piece, outline, edge)):
                sewn = length_as_sewn(piece, outline, edge)
                share = sewn / outline.as_sewn(edge) if word.endswith("%") else 1.0
                on = as_drawn(piece, outline, on._replace(distance=on.distance * share))
            found.append(on)
    return found


def _evenly(target: Target, between: Sequence[On], count: int) -> List[On]:
    """So many places that part the edge, or what lies between two places, into equal parts."""
    if len(between) not in (0, 2):
        raise InputError(
            "Evenly between what, with {} places given?".format(len(between)),
            "Give two places, or none for the whole edge.",
            code="value",
        )
    piece, outline, edge = target.piece, target.outline, target.edge
    whole = length_as_sewn(piece, outline, edge)
    ends = [from_ends(piece, outline, on)[0] for on in between] or [0.0, whole]
    low, high = min(ends), max(ends)
    from_end = counts_from_end(piece, outline, edge)
    sewn = [low + (high - low) * part / (count + 1) for part in range(1, count + 1)]
    return [as_drawn(piece, outline, On(edge, distance, from_end)) for distance in sewn]


def names_for(pattern: Pattern, called: str, count: int) -> List[str]:
    """A name for each notch: as given, numbered where one is given for several, else free numbers."""
    words = [check_name(word) for word in re.split(r"[\s;,]+", called) if word]
    if not words:
        return free_numbers(pattern, count)
    if len(words) == 1 and count > 1:
        return ["{}-{}".format(words[0], number) for number in range(1, count + 1)]
    if len(words) != count:
        raise InputError(
            "{} names are given for {} notch{}.".format(len(words), count, "" if count == 1 else "es"),
            "Give one for each, or one for all, which are then numbered.",
            code="value",
        )
    if len(set(words)) < count:
        raise InputError("Two notches of an edge cannot have one name.", "Name them apart.", code="name")
    return words


def refuse_taken(target: Target, ons: Sequence[On], names: Sequence[str], but: Sequence[Mark] = ()) -> None:
    """``InputError`` where a notch of the name, or at the place, is on the edge already, or two are one.

    ``but``: notches that are going to be elsewhere, or called otherwise.
    """
    where = "{}/{}".format(target.piece.name, target.edge)
    spots = [distance_from_start(target.outline, on) for on in ons]
    for mark in target.piece.marks_for(target.outline.size):
        if mark.kind != NOTCH or mark.on is None or mark.on.edge != target.edge:
            continue
        if any(mark is one for one in but):
            continue
        if mark.name and mark.name in names:
            raise InputError(
                "'{}' has a notch '{}' already.".format(where, mark.name),
                "Give another name, or call that one otherwise.",
                code="name",
            )
        there = distance_from_start(target.outline, mark.on)
        if any(abs(there - spot) < SAME_PLACE for spot in spots):
            raise InputError(
                "'{}' has a notch {:.1f} mm from its upper or left end already.".format(
                    where, from_ends(target.piece, target.outline, mark.on)[0]
                ),
                "Change that one, or give another place.",
                code="value",
            )
    ordered = sorted(spots)
    if any(b - a < SAME_PLACE for a, b in zip(ordered, ordered[1:])):
        raise InputError(
            "Two of the places on {} are the same.".format(where), "Give each once.", code="value"
        )
