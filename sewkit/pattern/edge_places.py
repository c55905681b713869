"""Places along an edge in words: ``120``, ``5in``, ``40%``, a level or a notch by name.

Lengths count from the edge's upper end; on an edge that runs across the grain, from its left end.
"""

import re
from typing import List, Tuple

from sewkit.errors import InputError
from sewkit.pattern.mark import LEVEL, NOTCH, On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash, at_places
from sewkit.pattern.spans import begins_at_end, grain_axis, runs_across
from sewkit.pattern.swing import level_distance
from sewkit.units import parse_length

# A length may hold blanks: before a fraction and before its unit.
_WORD = re.compile(r"\d[\d.]*\s+\d+/\d+\s*[a-z]*|\d[\d./]*\s*(?:mm|cm|m|in|pt|px|%)?(?![^\s;,])|[^\s;,]+")
_COMMA = re.compile(r"\d,\d")


def places_on(piece: Piece, outline: Outline, edge: str, words: str) -> List[On]:
    """One place (mm, as sewn) for each word; ``InputError`` for one that is none or lies beyond the edge."""
    if edge not in outline.names:
        raise InputError(
            "There is no edge called '{}'.".format(edge),
            "The edges are: {}.".format(", ".join(outline.names)),
            code="name",
        )
    from_end = counts_from_end(piece, outline, edge)
    return [_place(piece, outline, edge, word, from_end) for word in split_places(words)]


def split_places(words: str) -> List[str]:
    """The places of one text: "60 120", "60; 120", "5 1/2in 30 mm" are two each.

    ``InputError`` for a comma between digits, which may be a decimal comma or part two places.
    """
    if _COMMA.search(words):
        raise InputError(
            "'{}' may be one place or two.".format(words),
            "Write 60.5 for one, 60 120 for two.",
            code="value",
        )
    return [word.strip() for word in _WORD.findall(words)]


def slashes_at(
    piece: Piece, outline: Outline, edge: str, hinge: str, at: str, hinge_at: str
) -> Tuple[Slash, ...]:
    """Slashes from places on ``edge`` to places on ``hinge``, both in words.

    One hinge may serve all.  Where one side is left out it lies at the same share of its edge.
    ``InputError``: the two numbers of places do not fit.
    """
    opens, ends = places_on(piece, outline, edge, at), places_on(piece, outline, hinge, hinge_at)
    opens = opens or [_across(outline, on, edge) for on in ends]
    ends = ends or [_across(outline, on, hinge) for on in opens]
    if len(ends) == 1:
        ends = ends * len(opens)
    if len(opens) != len(ends):
        raise InputError(
            "{} places to open are given on '{}', and {} hinges on '{}'.".format(
                len(opens), edge, len(ends), hinge
            ),
            "Give one hinge for each, or one for all.",
            code="value",
        )
    return at_places(outline, list(zip(opens, ends)))


def _across(outline: Outline, on: On, edge: str) -> On:
    """The place on another edge at the same share of it; round an outline they run against each other."""
    length = outline.as_sewn(on.edge)
    share = (length - on.distance if on.from_end else on.distance) / length
    return On(edge, outline.as_sewn(edge) * (1.0 - share))


def counts_from_end(piece: Piece, outline: Outline, edge: str) -> bool:
    """Whether an edge's upper end, or its left end where it runs across, is its end in path order."""
    down = grain_axis(piece, outline.size)
    across = runs_across(outline, edge, down)
    return begins_at_end(outline, edge, (down[1], -down[0]) if across else down)


def _place(piece: Piece, outline: Outline, edge: str, word: str, from_end: bool) -> On:
    for mark in piece.marks_for(outline.size):
        if mark.name != word:
            continue
        if mark.kind == NOTCH and mark.on is not None and mark.on.edge == edge:
            return On(edge, distance_from_start(outline, mark.on))
        if mark.kind == LEVEL:
            distance = level_distance(outline, edge, mark, False)
            if distance is not None:
                return On(edge, distance)
    length = outline.as_sewn(edge)
    try:
        distance = length * float(word[:-1]) / 100.0 if word.endswith("%") else parse_length(word)
    except (ValueError, InputError):
        raise InputError(
            "'{}' is no place on '{}': no length, no share and no level or notch there.".format(word, edge),
            "Write a length such as 120, a share such as 40%, or the name of a level.",
            code="no-level",
        ) from None
    if not -1e-6 <= distance <= length + 1e-6:
        raise InputError(
            "{:g} mm is not on the edge '{}', which is {:.1f} mm long.".format(distance, edge, length),
            "Give a place between its ends.",
            code="value",
        )
    return On(edge, distance, from_end)
