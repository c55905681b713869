"""Where a line across the grain lies on a piece, in words.

waist           the lengthen line or level of that name
chest/waist     half way between two; at the lengthen line between them, if there is one
hip+40mm        so far beyond it along the grain;  hip-40mm before it
"""

import re
from typing import Dict, List, NamedTuple, Optional, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import bounds
from sewkit.geometry.transform import Transform
from sewkit.pattern.drawn_lines import PAIR, lines_of
from sewkit.pattern.mark import LENGTHEN, LEVEL
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece
from sewkit.units import parse_length

# A line this near to the end of a piece (mm) leaves nothing on one side of it.
_NOTHING = 1e-3

# What to do where nothing across a piece has a name.
_DRAW = "Draw a line across it and select that too, or make one of its inner lines a level."

Axis = Tuple[float, float]


class Place(NamedTuple):
    """How far along the axis a place lies (mm), and the lines or levels that its words are about."""

    height: float
    about: Tuple[float, ...]


def height_of(piece: Piece, size: str, words: str, axis: Axis) -> float:
    """How far along the axis (mm) the place lies; ``InputError`` lists what there is."""
    return place_of(piece, size, words, axis).height


def place_of(piece: Piece, size: str, words: str, axis: Axis) -> Place:
    """The place in words, and what it goes with; ``InputError`` lists what there is."""
    words = words.strip()
    found = _height(piece, size, words, axis)
    if found is None:
        _refuse_doubled(piece, size, words, axis)
        raise InputError(
            "There is no line or level called {} on '{}'.".format(
                _missing(piece, size, words, axis), piece.name
            ),
            _what_there_is(_known(piece, size, axis)),
            code="no-level",
        )
    return found


def _what_there_is(names: List[str]) -> str:
    if not names:
        return "It has none. " + _DRAW
    if len(names) == 1:
        return "It has: {}; with + or - a length it does as well.".format(names[0])
    return "It has: {}; two of them with / between, or one with + or - a length, do as well.".format(
        ", ".join(names)
    )


def own_line(piece: Piece, size: str, axis: Axis) -> float:
    """The height of the one lengthen line of a piece; ``InputError`` where it is not one."""
    places = _lengthen_places(piece, size, axis)
    if len(places) == 1:
        return places[0][1]
    levels = ", ".join(_known(piece, size, axis))
    if not places:
        named = "Name a level, or draw a line across it and select that too"
        raise InputError(
            "'{}' has no lengthen line, so it is not known where to cut it apart.".format(piece.name),
            "{}; its levels are: {}.".format(named, levels) if levels else _DRAW,
            code="no-level",
        )
    raise InputError(
        "'{}' has {} lengthen lines.".format(piece.name, len(places)),
        "Name those that are meant{}.".format(
            ", or a place between two levels: {}".format(levels) if "," in levels else ""
        ),
        code="choice",
    )


def drawn_height(line: Path, axis: Axis) -> Tuple[float, float]:
    """The height of a drawn line's middle (mm), and how far it is off square to the axis (degrees)."""
    along = line.end - line.start
    middle = (line.start + line.end) / 2.0
    size = float(np.hypot(along[0], along[1])) or 1.0
    off = float(np.degrees(np.arcsin(np.clip(along @ np.array(axis) / size, -1.0, 1.0))))
    return float(middle @ np.array(axis)), abs(off)


def crosses(outline: Outline, axis: Axis, height: float) -> bool:
    """Whether a line across the axis at that height has some of the outline on both sides."""
    low, high = extent(outline, axis)
    return low + _NOTHING < height < high - _NOTHING


def extent(outline: Outline, axis: Axis) -> Tuple[float, float]:
    """The least and the greatest height of an outline along an axis (mm)."""
    # Turned so that the axis points down the sheet, the box is upright.
    upright = Transform(a=axis[1], b=axis[0], c=-axis[0], d=axis[1])
    _, low, _, high = bounds(upright.path(outline.path))
    return low, high


def _missing(piece: Piece, size: str, words: str, axis: Axis) -> str:
    """Those names among the words that the piece has not."""
    name = words
    for sign in re.finditer(r"\s*[+\-−]\s*", words):
        try:
            parse_length(words[sign.end() :])
        except InputError:
            continue  # that hyphen belongs to the name
        name = words[: sign.start()]
        break
    pair = [part.strip() for part in name.split("/")]
    known = named_heights(piece, size, axis)
    missing = [part for part in pair if part not in known] if len(pair) == 2 and all(pair) else []
    return " or ".join("'{}'".format(part) for part in missing or [name or words])


def _height(piece: Piece, size: str, words: str, axis: Axis) -> Optional[Place]:
    found = _place(piece, size, words, axis)
    if found is not None:
        return found
    # A name may hold a hyphen, and so may a length (1-1/2in): the longest place there is counts.
    for sign in reversed(list(re.finditer(r"\s*[+\-−]\s*", words))):
        start = _place(piece, size, words[: sign.start()], axis)
        if start is not None:
            length = parse_length(words[sign.end() :])
            return start._replace(height=start.height + (length if "+" in sign.group() else -length))
    return None


def _place(piece: Piece, size: str, words: str, axis: Axis) -> Optional[Place]:
    """The place of a name, or the place between two."""
    named = named_heights(piece, size, axis)
    if words in named:
        return Place(named[words], (named[words],))
    first, _, second = (word.strip() for word in words.partition("/"))
    if first in named and second in named:
        return _half_way(piece, size, axis, named[first], named[second])
    return None


def _half_way(piece: Piece, size: str, axis: Axis, first: float, second: float) -> Place:
    low, high = sorted((first, second))
    inside = [height for _, height in _lengthen_places(piece, size, axis) if low < height < high]
    if len(inside) == 1:
        return Place(inside[0], (inside[0],))
    return Place((first + second) / 2.0, (first, second))


def named_heights(piece: Piece, size: str, axis: Axis) -> Dict[str, float]:
    """Heights (mm) by name; a lengthen line comes before a level of the same name.

    What is drawn for the size comes before what serves all sizes.  A name that stands for
    several lengthen lines says nothing and is left out.
    """
    found = {
        mark.name: drawn_height(mark.path, axis)[0]
        for mark in sorted(piece.marks_for(size), key=lambda mark: bool(mark.size))
        if mark.kind == LEVEL and mark.name and mark.path is not None and len(mark.path)
    }
    places = _lengthen_places(piece, size, axis)
    names = [name for name, _ in places]
    found.update({name: height for name, height in places if name})
    return {name: height for name, height in found.items() if names.count(name) < 2}


def _refuse_doubled(piece: Piece, size: str, words: str, axis: Axis) -> None:
    """Refuse words about a name that two lengthen lines far apart bear."""
    names = [name for name, _ in _lengthen_places(piece, size, axis) if name]
    for name in names:
        if names.count(name) > 1 and name in words:
            raise InputError(
                "'{}' has {} lengthen lines called '{}'.".format(piece.name, names.count(name), name),
                "Call them apart, or name a place between two levels.",
                code="choice",
            )


def _known(piece: Piece, size: str, axis: Axis) -> List[str]:
    return sorted(named_heights(piece, size, axis))


def _lengthen_places(piece: Piece, size: str, axis: Axis) -> List[Tuple[str, float]]:
    """Name and height of every place to lengthen at; two lines near each other are one."""
    lines = [
        (mark.name, drawn_height(line, axis)[0])
        for mark in piece.marks_for(size)
        if mark.kind == LENGTHEN
        for line in lines_of(mark)
    ]
    lines.sort(key=lambda pair: pair[1])
    places: List[Tuple[str, float]] = []
    for name, height in lines:
        last = places[-1] if places else ("", -np.inf)
        if height - last[1] < PAIR and (name == last[0] or not (name and last[0])):
            places[-1] = (last[0] or name, (last[1] + height) / 2.0)
        else:
            places.append((name, height))
    return places
