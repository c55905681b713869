"""Places on a line drawn on a piece, in words: ``start``, ``end``, ``ends``, ``corners``, ``40%``, ``120mm``.

    spots = line_places(pocket, "ends", down, inside=3.0)

Its start is its upper end as the piece is worn, or its left one where it runs across.  A place so far
inside lies that far along from an end of the line, and from a corner half way between its arms.
"""

from typing import List

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import path_length, point_at
from sewkit.geometry.path import Path, end_tangents, start_tangents, turns
from sewkit.geometry.tolerance import CORNER_TURN
from sewkit.pattern.cross_line import Axis
from sewkit.pattern.edge_places import split_places
from sewkit.units import parse_length

START, END, ENDS, CORNERS = "start", "end", "ends", "corners"
WORDS = (START, END, ENDS, CORNERS)

# A line that leans against the way down by less than this (cosine: 45 degrees) has an upper end.
_UPRIGHT = 0.7071

# A place may lie beyond an end by the noise of sums (mm).
_ROUNDING = 1e-6


def line_places(line: Path, words: str, down: Axis, inside: float = 0.0) -> List[np.ndarray]:
    """A point (2,), mm, for each place; empty words mean the ends, or the corners of a closed line.

    ``InputError`` for a word that is no place on the line, and for a place inside that has no end
    and no corner beside it.
    """
    line = line if line.closed or _forwards(line, down) else line.reverse()
    found: List[np.ndarray] = []
    for word in split_places(words, WORDS) or [CORNERS if line.closed else ENDS]:
        if word in WORDS:
            found += _named(line, word, inside)
        elif inside > 0.0:
            raise InputError(
                "On a line only its ends and corners have a place inside, and '{}' is none.".format(word),
                "Give {}, or 0 inside.".format(", ".join(WORDS)),
                code="value",
            )
        else:
            found.append(point_at(line, _distance(line, word)))
    return found


def _forwards(line: Path, down: Axis) -> bool:
    """Whether a line begins at its upper end, or at its left one where it runs across."""
    way, axis = line.end - line.start, np.array(down)
    along = float(way @ axis)
    if abs(along) >= _UPRIGHT * float(np.hypot(*way)):
        return along >= 0.0
    return float(way @ np.array((axis[1], -axis[0]))) >= 0.0


def _named(line: Path, word: str, inside: float) -> List[np.ndarray]:
    if line.closed and word != CORNERS:
        raise InputError("The line is closed, so it has no ends.", "Give corners, or a share.", code="value")
    found = [] if line.closed else [_end(line, inside), _end(line.reverse(), inside)]
    if word == CORNERS:
        inner = _corners(line, inside)
        return inner if line.closed else [found[0], *inner, found[1]]
    return {START: found[:1], END: found[1:], ENDS: found}[word]


def _end(line: Path, inside: float) -> np.ndarray:
    """The start of a line, or the place so far along from it."""
    if inside > path_length(line):
        raise _too_far(line, "{:g} mm inside".format(inside))
    return point_at(line, inside)


def _corners(line: Path, inside: float) -> List[np.ndarray]:
    """The corners between the ends, or so far from each half way between its arms."""
    first = 0 if line.closed else 1
    numbers = [number for number, bend in enumerate(np.abs(turns(line)), first) if bend > CORNER_TURN]
    leaving, coming = start_tangents(line.curves), end_tangents(line.curves)
    found = []
    for number in numbers:
        between = leaving[number] - coming[number - 1]
        found.append(line.curves[number, 0] + inside * between / float(np.hypot(*between)))
    return found


def _distance(line: Path, word: str) -> float:
    length = path_length(line)
    try:
        distance = length * float(word[:-1]) / 100.0 if word.endswith("%") else parse_length(word)
    except ValueError:
        distance = float("nan")
    except InputError:
        raise InputError(
            "'{}' is no place on the line.".format(word),
            "Give {}, a length such as 40mm or a share such as 40%.".format(", ".join(WORDS)),
            code="value",
        ) from None
    if not -_ROUNDING <= distance <= length + _ROUNDING:
        raise _too_far(line, word)
    return min(max(distance, 0.0), length)


def _too_far(line: Path, word: str) -> InputError:
    return InputError(
        "{} is not on the line, which is {:.1f} mm long.".format(word, path_length(line)),
        "Give a place between its ends.",
        code="value",
    )
