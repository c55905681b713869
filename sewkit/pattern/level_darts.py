"""The darts, pleats and tucks that a level of a piece crosses, and how wide they are there (mm)."""

from typing import Iterator, List, NamedTuple, Sequence, Tuple

import numpy as np

from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import distance_of, path_length, point_at
from sewkit.geometry.path import Path, Place, point
from sewkit.pattern.dart import darts_of
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.mark import INNER
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

# Points nearer than this are one (mm).
ON = 1e-4

# A stretch shorter than this is a touch (mm).
TOUCH = 1e-7

# From where to where along a level there is cloth (mm).
Cloth = Sequence[Tuple[float, float]]


class LevelLine(NamedTuple):
    """The level as an endless line: a point and the unit direction along it (2,)."""

    on: np.ndarray
    along: np.ndarray

    @property
    def square(self) -> np.ndarray:
        """The unit direction square to it, (2,)."""
        return np.array([self.along[1], -self.along[0]])

    def at(self, spots: np.ndarray) -> np.ndarray:
        """How far along the line points (k, 2) lie."""
        return (np.asarray(spots).reshape(-1, 2) - self.on) @ self.along

    def meets(self, path: Path) -> List[Tuple[float, Place]]:
        """Where it meets a path: how far along the line, and the place on the path."""
        places = crossings_with_line(path, self.on, self.along)
        return [(float(self.at(_spot(path, place))[0]), place) for place in places]


class Taken(NamedTuple):
    """A dart on the level: ``low`` to ``high`` along it, and whether the outline goes round it."""

    name: str
    low: float
    high: float
    cut_in: bool


class Sideways(NamedTuple):
    """A dart along the level: where the level enters it, to which side, how far it goes on, and where to."""

    name: str
    entry: float
    sign: float
    rest: float
    end: np.ndarray


def _spot(path: Path, place: Place) -> np.ndarray:
    return point(path.curves[place.curve][None], place.t)[0]


def _legs(piece: Piece, outline: Outline) -> Iterator[Tuple[str, Path, Path, bool, bool]]:
    """Name and both legs of every dart, from foot to point; whether cut in; whether two-pointed."""
    for dart in darts_of(piece, outline):
        yield dart.name, dart.first, dart.second.reverse(), True, False
    for drawn in drawn_darts(piece, outline.size):
        yield drawn.name, drawn.legs[0], drawn.legs[1], False, drawn.contour


def darts_on(piece: Piece, outline: Outline, line: LevelLine) -> Tuple[List[Taken], List[Sideways]]:
    """The darts that the level crosses, and those that lie along it.

    A dart lies along the level where it runs more across the grain than along it.
    """
    across: List[Taken] = []
    sideways: List[Sideways] = []
    for name, first, second, cut_in, contour in _legs(piece, outline):
        met = [line.meets(leg) for leg in (first, second)]
        ends = [at for one in met for at, _ in one]
        mouth = (first.start + second.start) / 2.0 - first.end
        if not ends:
            continue
        tip = float(line.at(first.end)[0])
        if not contour and abs(mouth @ line.along) > abs(mouth @ line.square):
            if max(abs(at - tip) for at in ends) > ON or _opens(line, first, second):
                sideways.append(_through(outline, line, name, (first, second), met, mouth))
            continue
        if not (met[0] and met[1]) and not contour and max(abs(at - tip) for at in ends) > ON:
            # One leg ends short of the level, as at a slanting edge: its end counts.
            ends.append(float(line.at((second if met[0] else first).start)[0]))
        if max(ends) - min(ends) > TOUCH:
            across.append(Taken(name, min(ends), max(ends), cut_in))
    return across, sideways


def _opens(line: LevelLine, first: Path, second: Path) -> bool:
    """Whether a level that meets a dart in its point alone runs on between the legs."""
    sides = [leg.start - leg.end for leg in (first, second)]
    turns = [way[0] * line.along[1] - way[1] * line.along[0] for way in sides]
    return turns[0] * turns[1] < 0


def _through(
    outline: Outline,
    line: LevelLine,
    name: str,
    legs: Tuple[Path, Path],
    met: Sequence[Sequence[Tuple[float, Place]]],
    mouth: np.ndarray,
) -> Sideways:
    """How the level goes on beyond a dart that is closed: straight on, as on the folded paper."""
    sign = 1.0 if mouth @ line.along > 0 else -1.0
    _, side, entry, place = min((sign * at, side, at, spot) for side in (0, 1) for at, spot in met[side])
    here, there = legs[side], legs[1 - side]
    tip = here.end
    reach = path_length(here) - distance_of(here, place)
    leaves = point_at(there, max(path_length(there) - reach, 0.0))
    one, other = _spot(here, place) - tip, leaves - tip
    if np.hypot(*one) <= ON:  # at the point itself: about as the whole legs open
        one, other = here.start - tip, there.start - tip
    turn = np.arctan2(one[0] * other[1] - one[1] * other[0], one @ other)
    cos, sin = np.cos(turn), np.sin(turn)
    beam = LevelLine(leaves, sign * (np.array([[cos, -sin], [sin, cos]]) @ line.along))
    ahead = sorted(at for at, _ in beam.meets(outline.path) if at > ON)
    rest = ahead[0] if ahead else 0.0
    return Sideways(name, entry, sign, rest, leaves + rest * beam.along)


def without_mouths(cloth: Cloth, sideways: Sequence[Sideways]) -> List[Tuple[float, float]]:
    """The cloth up to where the level enters a dart along it; the rest is measured as closed."""
    found = list(cloth)
    for one in sideways:
        if one.sign > 0:
            found = [(low, min(high, one.entry)) for low, high in found if low < one.entry]
        else:
            found = [(max(low, one.entry), high) for low, high in found if high > one.entry]
    return found or list(cloth)


def is_gap(one: Taken, cloth: Cloth) -> bool:
    """Whether there is cloth on both sides of a cut-in dart and none in it."""
    return cloth[0][0] < one.low and one.high < cloth[-1][1] and not is_cloth(one, cloth)


def is_cloth(one: Taken, cloth: Cloth) -> bool:
    """Whether what is taken off is drawn as cloth."""
    return any(low <= (one.low + one.high) / 2.0 <= high for low, high in cloth)


def pleats_on(piece: Piece, outline: Outline, line: LevelLine, cloth: Cloth) -> Iterator[Tuple[str, float]]:
    """Pleats and tucks on the level: the two fold lines of one name, as far apart as it crosses them."""
    names = [mark.name for mark in piece.marks_for(outline.size) if mark.kind == INNER and mark.name]
    for name in dict.fromkeys(names):
        if name not in piece.darts and name.split("-")[0] not in ("pleat", "tuck"):
            continue
        met = sorted(
            at
            for mark in piece.marks_for(outline.size)
            if mark.kind == INNER and mark.name == name and mark.path is not None and len(mark.path)
            for at, _ in line.meets(mark.path)
        )
        for low, high in zip(met[::2], met[1::2]):
            if high - low > TOUCH and is_cloth(Taken(name, low, high, False), cloth):
                yield name, high - low
