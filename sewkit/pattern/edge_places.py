"""Places along an edge in words: ``120``, ``5 1/2in``, ``40%``, a level or a notch by name, ``waist+40mm``.

Lengths count from the edge's upper end, as the piece is worn; on an edge that runs across the
grain, from its left end.  ``notch 1`` is the notch called 1, and so is a bare ``1`` where the edge
has one of that name; ``1mm`` is a length.
"""

import re
from typing import List, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.pattern.cross_line import Axis
from sewkit.pattern.mark import LEVEL, NOTCH, On
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import Slash, at_places
from sewkit.pattern.spans import begins_at_end, beyond_level, grain_axis, runs_across
from sewkit.pattern.swing import level_distance
from sewkit.pattern.upright import by_names
from sewkit.units import parse_length

_SIGNS = "¼½¾⅛⅜⅝⅞"
_UNIT = r"(?:mm|cm|m|inches|inch|in|pt|px|%|[\"″])"
_END = r"(?=[\s;,]|$)"
# A fraction may stand behind a whole number and a blank: 5 1/2in, 5 ½in.
_FRACTION = r"(?:(?:\d+[\s-]+)?\d+/\d+|(?:\d+\s*)?[{}])".format(_SIGNS)
_NUMBER = r"(?:{}|\d+\.?\d*|\.\d+)".format(_FRACTION)
# A comma is a decimal one where nothing else can be meant: one digit and a unit behind it, or 0 before
# it and a large unit behind.
_COMMA = r"(?<![^\s;,])(?:(\d+),(\d)(?=\s*{0}{1})|(0),(\d+)(?=\s*(?:cm|m|inches|inch|in|[\"″]){1}))"
_DECIMAL = re.compile(_COMMA.format(_UNIT, _END), re.I)
_ONE_DECIMAL = re.compile(r"(\d*),(\d{{1,2}})(\s*{}?)".format(_UNIT), re.I)
_BARE_FRACTION = re.compile(_FRACTION)
_NOTCH = re.compile(r"notch\s+(.+)", re.I)


def places_on(piece: Piece, outline: Outline, edge: str, words: str, down: Optional[Axis] = None) -> List[On]:
    """One place (mm, as sewn) for each word; ``InputError`` for one that is none or lies beyond the edge.

    ``down``: the way to the lower end of the piece; where it is left out, as ``counts_from_end`` says.
    """
    _known_edge(outline, edge)
    from_end = counts_from_end(piece, outline, edge, down)
    listed = split_places(words, _names(piece, outline))
    return [_place(piece, outline, edge, word, from_end) for word in listed]


def one_place(piece: Piece, outline: Outline, edge: str, words: str, down: Optional[Axis] = None) -> On:
    """The one place that the whole text names; ``InputError`` as ``places_on``, or where it names several.

    Where only one place can be meant, a comma between digits is a decimal comma.
    """
    _known_edge(outline, edge)
    alone = _ONE_DECIMAL.fullmatch(words.strip())
    if alone:
        words = "{}.{}{}".format(*alone.groups())
    listed = split_places(words, _names(piece, outline))
    if len(listed) != 1:
        raise InputError(
            "'{}' is not one place on '{}'.".format(words, edge),
            "Give one level, one notch or one length.",
            code="value",
        )
    return _place(piece, outline, edge, listed[0], counts_from_end(piece, outline, edge, down))


def split_places(words: str, names: Sequence[str] = ()) -> List[str]:
    """The places of one text: "60 120", "60; 120", "5 1/2in 30 mm" are two each.

    ``names``: names of levels and notches, which may hold blanks.  ``InputError`` for a comma
    between digits, which may be a decimal comma or part two places.
    """
    words = _DECIMAL.sub(lambda found: "{}.{}".format(*(part for part in found.groups() if part)), words)
    known = [re.escape(name) for name in sorted(names, key=len, reverse=True)]
    token = re.compile(
        "|".join(
            [r"(?:notch\s+)?(?:{}){}".format("|".join(known), _END)] * bool(known)
            + [r"notch\s+[^\s;,]+", r"{}\s*{}?{}".format(_NUMBER, _UNIT, _END), r"[^\s;,]+"]
        ),
        re.I,
    )
    found: List[str] = []
    end = -1
    for match in token.finditer(words):
        beside = match.start() == end + 1 and words[end] == ","
        if found and beside and found[-1][-1].isdigit() and match.group()[:1].isdigit():
            pair = "{},{}".format(found[-1], match.group())
            raise InputError(
                "'{}' may be one place or two.".format(pair),
                "Write {} for one, {} for two.".format(pair.replace(",", "."), pair.replace(",", " ")),
                code="value",
            )
        found.append(match.group())
        end = match.end()
    return found


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


def counts_from_end(piece: Piece, outline: Outline, edge: str, down: Optional[Axis] = None) -> bool:
    """Whether an edge's upper end, or its left end where it runs across, is its end in path order.

    Up and left as the piece is worn, so far as its names tell, else as it lies on the sheet.
    """
    if down is None:
        down = by_names(piece) or grain_axis(piece, outline.size)
    across = runs_across(outline, edge, down)
    return begins_at_end(outline, edge, (down[1], -down[0]) if across else down)


def notches_along(piece: Piece, outline: Outline, edge: str) -> Tuple[str, ...]:
    """The names of the notches on an edge."""
    marks = [mark for mark in piece.marks_for(outline.size) if mark.kind == NOTCH and mark.name]
    return tuple(dict.fromkeys(mark.name for mark in marks if mark.on is not None and mark.on.edge == edge))


def _known_edge(outline: Outline, edge: str) -> None:
    if edge not in outline.names:
        raise InputError(
            "There is no edge called '{}'.".format(edge),
            "The edges are: {}.".format(", ".join(outline.names)),
            code="name",
        )


def _names(piece: Piece, outline: Outline) -> List[str]:
    marks = piece.marks_for(outline.size)
    return list(dict.fromkeys(mark.name for mark in marks if mark.kind in (LEVEL, NOTCH) and mark.name))


def _place(piece: Piece, outline: Outline, edge: str, word: str, from_end: bool) -> On:
    marked = _marked(piece, outline, edge, word)
    if marked is not None:
        return marked
    beyond = beyond_level(outline, piece.marks_for(outline.size), edge, from_end, word)
    if beyond is not None:
        return On(edge, beyond, from_end)
    length = outline.as_sewn(edge)
    try:
        distance = length * float(word[:-1]) / 100.0 if word.endswith("%") else parse_length(word)
    except (ValueError, InputError):
        raise _no_place(piece, outline, edge, word) from None
    if not np.isfinite(distance):
        raise _no_place(piece, outline, edge, word)
    if not -1e-6 <= distance <= length + 1e-6:
        said = word if word.endswith("%") else "{:g} mm".format(distance)
        said += " from its other end" if from_end else ""
        name = piece.name + (" size {}".format(outline.size) if outline.size else "")
        raise InputError(
            "{} is not on the edge '{}' of {}, which is {:.1f} mm long.".format(said, edge, name, length),
            "Give a place between its ends.",
            code="value",
        )
    return On(edge, distance, from_end)


def _marked(piece: Piece, outline: Outline, edge: str, word: str) -> Optional[On]:
    """A level or a notch of that name, where it crosses the edge or sits on it."""
    notch = _NOTCH.fullmatch(word)
    for mark in piece.marks_for(outline.size):
        if mark.kind == NOTCH and mark.on is not None and mark.on.edge == edge and mark.name:
            if mark.name == word or (notch and mark.name == notch.group(1)):
                return On(edge, distance_from_start(outline, mark.on))
        if mark.kind == LEVEL and mark.name == word:
            distance = level_distance(outline, edge, mark, False)
            if distance is not None:
                return On(edge, distance)
    return None


def _no_place(piece: Piece, outline: Outline, edge: str, word: str) -> InputError:
    notch = _NOTCH.fullmatch(word)
    if notch:
        known = notches_along(piece, outline, edge)
        return InputError(
            "There is no notch '{}' on '{}'.".format(notch.group(1), edge),
            "Its notches are: {}.".format(", ".join(known)) if known else "It has no notches with a name.",
            code="no-level",
        )
    if _BARE_FRACTION.fullmatch(word):
        whole, part = re.fullmatch(r"(?:(\d+)[\s-]*(?=\d+/|[{0}]))?(.+)".format(_SIGNS), word).groups()
        if whole:
            return InputError(
                "'{}' has no unit, so it may be one place or two.".format(word),
                "Write {}in for one, {}mm {}in for two.".format(word, whole, part),
                code="value",
            )
        return InputError("{} of what?".format(word), "Write {}in.".format(word), code="unit")
    return InputError(
        "'{}' is no place on '{}': no length, no share and no level or notch there.".format(word, edge),
        "Write a length such as 120, a share such as 40%, or the name of a level or a notch.",
        code="no-level",
    )
