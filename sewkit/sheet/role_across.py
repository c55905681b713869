"""Levels by the other pieces: who lays pieces out in a row draws the waist through all of them.

A line that has no word but lies at the height of the waist of its neighbours may be the waist.
It is a coincidence of one number, so something else has to agree as well.
"""

from typing import Dict, List, NamedTuple, Optional, Sequence, Set, Tuple

import numpy as np

from sewkit.geometry.polygon import flatten
from sewkit.pattern.mark import GRAIN, INNER, LEVEL, Mark
from sewkit.sheet.role_bits import STRAIGHT, along, angle_between, aside
from sewkit.sheet.role_score import ACROSS, agreement, believed, score
from sewkit.sheet.roles import Guessed

# Grain lines of pieces laid out in a row are parallel within this (degrees).
_PARALLEL = 0.5
# A line across a piece is square to its grain within this (degrees), and at least so long (mm).
_SQUARE, _LEAST = 2.0, 30.0
# At the same height within this along the grain (mm): a pencil line's width or two.
_SAME = 1.0

# What a name is worth that another piece has a better claim to, and from which score on a name is
# believed before a rival's; our own judgement.
_SECOND, _HARDLY = 0.75, 0.5

# Heights along the grain (mm) of the lines of one name, by size; "" serves all sizes.
_Heights = Dict[str, List[float]]


class _Line(NamedTuple):
    """A line across a piece: the number of its mark, name, size, middle (2,), agreement."""

    number: int
    name: str
    size: str
    middle: np.ndarray
    square: float


class _Piece(NamedTuple):
    """The unit direction of the grain, levels that have a name, lines that have none."""

    grain: np.ndarray
    levels: Tuple[_Line, ...]
    bare: Tuple[_Line, ...]


def named_across(guessed: Sequence[Guessed]) -> Tuple[Guessed, ...]:
    """The pieces of one sheet; inner lines in one row with levels of other pieces are levels.

    Besides the height, another level of both pieces has to agree, or the line in all of
    several sizes, or a second piece with the same level.
    """
    pieces = [_piece(one) for one in guessed]
    made = []
    for place, (guess, piece) in enumerate(zip(guessed, pieces)):
        others = [other for n, other in enumerate(pieces) if n != place and other is not None]
        marks = list(guess.marks)
        for line, name, value in _found(piece, others) if piece is not None else ():
            marks[line.number] = marks[line.number]._replace(kind=LEVEL, name=name, guess=round(value, 2))
        made.append(guess._replace(marks=tuple(marks)))
    return told_apart(made)


def told_apart(guessed: Sequence[Guessed]) -> Tuple[Guessed, ...]:
    """The pieces of one sheet; a name that several claim is that of the surest.

    The others may be a second such piece, of the lining perhaps, and are less sure; one that is
    hardly sure is rather named after what is sewn to it, and loses the name.
    """
    made = []
    for place, guess in enumerate(guessed):
        rivals = [(-one.name_score, n) for n, one in enumerate(guessed) if one.name == guess.name]
        score, best = min(rivals)
        if guess.name and best != place:
            guess = guess._replace(name_score=guess.name_score * _SECOND)
            if guess.name_score < _HARDLY <= -score:
                guess = _nameless(guess)
        made.append(guess)
    return tuple(made)


def _nameless(guess: Guessed) -> Guessed:
    """The piece without its name, which its findings call it by."""
    findings = [
        one._replace(text=one.text.replace("'{}'".format(guess.name), "A piece without a name", 1), where="")
        if one.where == guess.name
        else one
        for one in guess.findings
    ]
    return guess._replace(name="", name_score=0.0, findings=tuple(findings))


def _piece(guess: Guessed) -> Optional[_Piece]:
    """What counts here of a piece; None without a grain line."""
    grain = next((_direction(mark) for mark in guess.marks if mark.kind == GRAIN), None)
    if grain is None:
        return None
    levels = [_line(n, mark, grain) for n, mark in enumerate(guess.marks) if mark.kind == LEVEL]
    bare = [
        _line(n, mark, grain) for n, mark in enumerate(guess.marks) if mark.kind == INNER and not mark.name
    ]
    return _Piece(grain, *(tuple(one for one in lines if one is not None) for lines in (levels, bare)))


def _direction(mark: Mark) -> np.ndarray:
    """The unit direction (2,) of a grain line: of the longest part that it is drawn with."""
    chords = mark.path.curves[:, 3] - mark.path.curves[:, 0]
    size = np.hypot(chords[:, 0], chords[:, 1])
    return chords[size.argmax()] / size.max()


def _line(number: int, mark: Mark, grain: np.ndarray) -> Optional[_Line]:
    """A mark as a line across the piece; None if it is none."""
    points = flatten(mark.path, STRAIGHT)
    chord = points[-1] - points[0]
    length = float(np.hypot(*chord))
    if length < _LEAST or np.abs(aside(points, points[0], chord / length)).max() > STRAIGHT:
        return None
    square = agreement(90.0 - angle_between(chord, grain), _SQUARE)
    if not believed([square]):
        return None
    return _Line(number, mark.name, mark.size, (points[0] + points[-1]) / 2.0, square)


def _found(piece: _Piece, others: Sequence[_Piece]) -> List[Tuple[_Line, str, float]]:
    """Lines without a name that have one name at their height in the other pieces, and the score."""
    seconded: Dict[Tuple[int, str], List[float]] = {}
    proven: Set[Tuple[int, str]] = set()
    for other in others:
        if angle_between(piece.grain, other.grain) > _PARALLEL:
            continue
        down = _middle_way(piece.grain, other.grain)
        here, there = _heights(piece.levels, down), _heights(other.levels, down)
        for name in sorted(there):
            hits = _hits([line for line in piece.bare if _free(line, here.get(name, {}))], there[name], down)
            for number, off in hits.items():
                seconded.setdefault((number, name), []).append(off)
            if _levels_agree(here, there, name) or _in_all_sizes(piece, hits, there[name]):
                proven.update((number, name) for number in hits)
    found = []
    for line in piece.bare:
        names = [name for number, name in sorted(seconded) if number == line.number]
        if len(names) == 1:
            offs = seconded[line.number, names[0]]
            if len(offs) > 1 or (line.number, names[0]) in proven:
                agreements = [line.square, agreement(min(offs), _SAME)]
                found.append((line, names[0], score([ACROSS], agreements)))
    return found


def _middle_way(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    """The unit direction half way between two that are nearly parallel, or opposite."""
    middle = first + (second if float(first @ second) > 0 else -second)
    return middle / np.hypot(*middle)


def _heights(lines: Sequence[_Line], down: np.ndarray) -> Dict[str, _Heights]:
    """The heights along the grain (mm) of lines, by name and size."""
    found: Dict[str, _Heights] = {}
    for line in lines:
        at = float(along(line.middle, np.zeros(2), down))
        found.setdefault(line.name, {}).setdefault(line.size, []).append(at)
    return found


def _free(line: _Line, levels: _Heights) -> bool:
    """Whether the piece has no level of that name for the line's size yet."""
    return not levels or bool(line.size and line.size not in levels and "" not in levels)


def _hits(lines: Sequence[_Line], levels: _Heights, down: np.ndarray) -> Dict[int, float]:
    """How far (mm) lines are from the level of their size, of those that are near enough.

    A line for all sizes has to be near the level of every size, and lines for one size each
    have to be so in all sizes: a family of them may cross a level of the same height throughout.
    """
    found = {}
    for line in lines:
        at = float(along(line.middle, np.zeros(2), down))
        own = levels.get(line.size, levels.get("", [])) if line.size else None
        wanted = list(levels.values()) if own is None else [own] if own else []
        off = max((min(abs(at - one) for one in some) for some in wanted), default=np.inf)
        if off <= _SAME:
            found[line.number] = off
    told = {line.size for line in lines if line.size and (line.size in levels or "" in levels)}
    whole = told <= {line.size for line in lines if line.number in found}
    kept = [line.number for line in lines if line.number in found and (whole or not line.size)]
    return {number: found[number] for number in kept}


def _levels_agree(here: Dict[str, _Heights], there: Dict[str, _Heights], name: str) -> bool:
    """Whether another level of two pieces is at one height in all sizes that both have."""
    for other in sorted(set(here) & set(there) - {name}):
        sizes = sorted(set(here[other]) & set(there[other]))
        pairs = [(a, b) for size in sizes for a in here[other][size] for b in there[other][size]]
        if pairs and all(abs(a - b) <= _SAME for a, b in pairs):
            return True
    return False


def _in_all_sizes(piece: _Piece, hits: Dict[int, float], levels: _Heights) -> bool:
    """Whether lines are at the height of a level that is drawn in several sizes, in all of them."""
    sizes = {line.size for line in piece.bare if line.number in hits}
    return len(levels) > 1 and ("" in sizes or set(levels) <= sizes)
