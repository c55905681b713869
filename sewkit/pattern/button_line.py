"""The centre line along which buttons lie: an edge, so far inside an edge, or an inner line."""

from typing import List, NamedTuple, Tuple

import numpy as np

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import contains, flatten, signed_area
from sewkit.pattern.cross_line import Axis
from sewkit.pattern.mark import INNER, LEVEL
from sewkit.pattern.outline import Outline
from sewkit.pattern.piece import Piece

# A centre line is straight within this (mm), or no row of buttons lies on it.
_STRAIGHT = 1.0

# A line leans against the grain by less than this (cosine: 45 degrees), or has no upper end.
_UPRIGHT = 0.7071

# Lines are taken as chords that stay so near (mm); what lies on the outline does so to this (mm).
_CHORD, _ON = 0.1, 0.05


class ButtonLine(NamedTuple):
    """A straight centre line.

    Args:
        top, bottom: its ends within the piece and beside the edge it belongs to (2,), mm.
        toward: unit direction (2,) across it, to the edge.
        beyond: how far the piece goes on there (mm): 0 where the line is the edge itself.
    """

    top: np.ndarray
    bottom: np.ndarray
    toward: np.ndarray
    beyond: float

    @property
    def length(self) -> float:
        """From end to end (mm)."""
        return float(np.hypot(*(self.bottom - self.top)))

    @property
    def down(self) -> np.ndarray:
        """The unit direction (2,) to the lower end."""
        return (self.bottom - self.top) / self.length

    def at(self, distance: float) -> np.ndarray:
        """The point (2,) so far (mm) below the top end."""
        return self.top + distance * self.down

    def height(self, level: float, axis: Axis) -> float:
        """How far below the top end (mm) the line reaches a height along an axis."""
        way = np.array(axis)
        return (level - float(self.top @ way)) / float(self.down @ way)


def button_line(piece: Piece, outline: Outline, name: str, inside: float, down: Axis) -> ButtonLine:
    """The line of a name on one size, an edge or a drawn line, moved inside by so many mm.

    ``InputError`` where there is no such line, or it is bent, or lies across the piece.
    """
    run = _drawn(piece, outline, name)
    ends = [run.start, run.end]
    way = (ends[1] - ends[0]) / max(float(np.hypot(*(ends[1] - ends[0]))), 1e-9)
    way, ends = (way, ends) if way @ np.array(down) >= 0 else (-way, ends[::-1])
    aside = flatten(run, _CHORD) @ np.array([-way[1], way[0]])
    _refuse(piece, name, float(np.ptp(aside)), float(way @ np.array(down)))
    across = np.array([-way[1], way[0]])
    edge = name in outline.names
    inward = across * _side(outline, run, across) if edge else across
    line = [end + inside * inward for end in ends]
    middle = (line[0] + line[1]) / 2.0
    # Along the edge itself there is nothing to cut off.
    reach = _reach(outline, middle, way) if inside > _ON or not edge else [-np.inf, np.inf]
    top = max(reach[0], float((line[0] - middle) @ way))
    bottom = min(reach[1], float((line[1] - middle) @ way))
    # As far inside as that there may be no piece any more.
    off = inside > _ON and outline.path.closed and not contains(outline.path, [middle])[0]
    if bottom - top < 1.0 or off:
        raise InputError(
            "The line {:g} mm inside '{}' does not lie on '{}'.".format(inside, name, piece.name),
            "Give a smaller distance.",
            code="value",
        )
    toward, beyond = (-inward, inside) if edge else _nearer(outline, middle, across)
    return ButtonLine(middle + top * way, middle + bottom * way, toward, beyond)


def _drawn(piece: Piece, outline: Outline, name: str) -> Path:
    if name in outline.names:
        return outline.edge_path(name)
    kinds = (INNER, LEVEL)
    for mark in piece.marks_for(outline.size):
        if mark.kind in kinds and mark.name == name and mark.path is not None and len(mark.path):
            return mark.path
    known = [m.name for m in piece.marks_for(outline.size) if m.kind in kinds and m.name]
    raise InputError(
        "'{}' has no edge and no line called '{}'.".format(piece.name, name),
        "It has: {}.".format(", ".join(dict.fromkeys((*outline.names, *known)))),
        code="name",
    )


def _refuse(piece: Piece, name: str, bent: float, upright: float) -> None:
    if bent > _STRAIGHT:
        raise InputError(
            "'{}' of '{}' is bent by {:.0f} mm, and buttons lie on a straight line.".format(
                name, piece.name, bent
            ),
            "Name a straight edge, or an inner line drawn on the piece.",
            code="line",
        )
    if upright < _UPRIGHT:
        raise InputError(
            "'{}' of '{}' runs across the piece, so it has no upper end.".format(name, piece.name),
            "Name an edge that runs from the top to the hem.",
            code="line",
        )


def _side(outline: Outline, run: Path, across: np.ndarray) -> float:
    """1 where the piece lies on that side of its edge, else -1."""
    way = run.end - run.start
    inward = np.array([-way[1], way[0]]) * (1.0 if signed_area(outline.path) >= 0 else -1.0)
    return 1.0 if inward @ across > 0 else -1.0


def _cuts(outline: Outline, spot: np.ndarray, way: np.ndarray) -> List[float]:
    """How far along a direction the outline lies from a point, before it and beyond it (mm), in order."""
    nodes = outline.path.curves.reshape(-1, 2) - spot
    far = float(np.hypot(*nodes.T).max()) + 1.0
    line = Path.through([spot - far * way, spot + far * way])
    return sorted(float((met.point - spot) @ way) for met in crossings(outline.path, line))


def _reach(outline: Outline, spot: np.ndarray, way: np.ndarray) -> List[float]:
    """From where to where a line lies within the piece; endless where it runs along an edge."""
    cuts = _cuts(outline, spot, way)
    low = max([cut for cut in cuts if cut < -_ON], default=-np.inf)
    high = min([cut for cut in cuts if cut > _ON], default=np.inf)
    return [low, high]


def _nearer(outline: Outline, spot: np.ndarray, across: np.ndarray) -> Tuple[np.ndarray, float]:
    """The side of a drawn line on which the outline is nearer, and how near it is (mm)."""
    low, high = _reach(outline, spot, across)
    return (across, float(high)) if high <= -low else (-across, float(-low))
