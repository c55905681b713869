"""A dart that is only drawn inside an outline, as bought patterns have it.

``pattern/dart_cut_in.py`` makes it part of the outline.  A dart with two points lies inside the
piece and stays as it is drawn.
"""

from typing import List, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, point, start_tangents
from sewkit.pattern.dart_lines import TOUCH, Legs, bits_of, legs_among
from sewkit.pattern.mark import DART, Mark
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece


class DrawnDart(NamedTuple):
    """A dart drawn on a piece of one size.

    Args:
        name: its own, or "dart", "dart-2" where nobody said.
        size: the size's name.
        marks: the marks that draw it, one for all its lines or one a leg; none for bare lines.
        legs: from foot to point; with two points both from the first point to the other (mm).
        points: (1, 2) or (2, 2) mm.
        contour: it has two points and does not reach the outline.
    """

    name: str
    size: str
    marks: Tuple[Mark, ...]
    legs: Tuple[Path, Path]
    points: np.ndarray
    contour: bool = False

    @property
    def mark(self) -> Optional[Mark]:
        """The mark that draws it, or the first of several."""
        return self.marks[0] if self.marks else None

    @property
    def point(self) -> np.ndarray:
        """Its point, (2,) mm; the first of two."""
        return self.points[0]

    @property
    def lengths(self) -> Tuple[float, float]:
        """The lengths of both legs, mm, along them."""
        return path_length(self.legs[0]), path_length(self.legs[1])

    @property
    def angle(self) -> float:
        """The angle between its legs at the point, degrees: straight to the mouth, or as they set out."""
        if self.contour:
            one, other = (start_tangents(leg.curves[:1])[0] for leg in self.legs)
        else:
            one, other = (leg.start - self.point for leg in self.legs)
        return float(np.degrees(np.arctan2(abs(one[0] * other[1] - one[1] * other[0]), one @ other)))

    @property
    def intake(self) -> float:
        """How wide it is (mm): straight across its mouth, or where it is widest across its points."""
        if not self.contour:
            return float(np.hypot(*(self.legs[1].start - self.legs[0].start)))
        way = self.points[1] - self.points[0]
        way = way / np.hypot(*way)
        away = [point(leg.curves, np.linspace(0, 1, 33)[None]).reshape(-1, 2) for leg in self.legs]
        sides = [(spots - self.points[0]) @ [-way[1], way[0]] for spots in away]
        return float(max(max(s.max() for s in sides), 0.0) - min(min(s.min() for s in sides), 0.0))


def drawn_darts(piece: Piece, size: str) -> Tuple[DrawnDart, ...]:
    """The darts drawn inside one size's outline, in path order of their mouths; contour darts last."""
    outline = piece.outline(size)
    if not outline.path.closed:
        return ()
    marks = [mark for mark in piece.marks_for(outline.size) if mark.kind == DART]
    found: List[Tuple[Tuple[Mark, ...], Legs]] = []
    loose: List[Mark] = []
    for mark in marks:
        if mark.path is None or not len(mark.path):
            continue
        legs = legs_among(bits_of(mark.path), outline.path)
        if legs is None:
            loose.append(mark)
        else:
            found.append(((mark,), legs))
    found += _of_several_marks(loose, outline.path)
    # A mark of all sizes stays while one of them has not got the dart: here it lies on the legs.
    found = [one for one in found if nearest(outline.path, one[1].points[0]).distance > TOUCH]
    found.sort(key=lambda one: (one[1].contour, nearest(outline.path, one[1].first.start).place))
    names = _names([one[0] for one in found], outline)
    return tuple(
        DrawnDart(name, outline.size, own, (legs.first, legs.second), legs.points, legs.contour)
        for name, (own, legs) in zip(names, found)
    )


def _of_several_marks(marks: Sequence[Mark], outline: Path) -> List[Tuple[Tuple[Mark, ...], Legs]]:
    """Darts whose lines are marks of their own: what touches each other goes together."""
    groups: List[List[Mark]] = []
    for mark in marks:
        touching = [group for group in groups if any(_touch(mark, other) for other in group)]
        groups = [group for group in groups if group not in touching]
        groups.append([other for group in touching for other in group] + [mark])
    found = []
    for group in groups:
        bits = [bit for mark in group if mark.path is not None for bit in bits_of(mark.path)]
        legs = legs_among(bits, outline)
        if legs is not None:
            found.append((tuple(group), legs))
    return found


def _touch(mark: Mark, other: Mark) -> bool:
    ends = [np.array([line.path.start, line.path.end]) for line in (mark, other) if line.path is not None]
    away = ends[0][:, None] - ends[1][None]
    return bool(np.hypot(away[..., 0], away[..., 1]).min() <= TOUCH)


def _names(marks: Sequence[Tuple[Mark, ...]], outline: Outline) -> List[str]:
    """A name for each dart: its marks' own, if no edge has it, or one that is free."""
    names: List[str] = []
    own = [next((mark.name for mark in group if mark.name), "") for group in marks]
    for name in own:
        taken = set(outline.names) | set(names)
        if not name or name.isdecimal() or name in taken:
            others = taken | set(own)
            free = ["dart"] + ["dart-{}".format(number) for number in range(2, len(others) + 3)]
            name = next(word for word in free if word not in others)
        names.append(name)
    return names


def lines_as_dart(outline: Outline, drawn: Sequence[Path], name: str = "dart-1") -> DrawnDart:
    """Lines drawn over an outline as a dart: two legs, or one line bent at the point.

    ``InputError`` where they form none.
    """
    bits = [bit for line in drawn for bit in bits_of(line)]
    legs = legs_among(bits, outline.path)
    if legs is None:
        raise InputError(
            "The {} form no dart.".format(
                "{} selected lines".format(len(drawn)) if len(drawn) > 1 else "bends of the selected line"
            ),
            "Draw its two legs from the seam line to one point inside the piece.",
            code="dart",
        )
    return DrawnDart(name, outline.size, (), (legs.first, legs.second), legs.points, legs.contour)
