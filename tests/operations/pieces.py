"""Pieces and readings for the tests of operations: no drawing, no file.

R1 and R4 are reference pieces whose lengths were worked out by 64-point Gauss integration.
"""

import math

import numpy as np

from sewkit.geometry.path import Path, point
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.mark import GRAIN, LEVEL, NOTCH, Mark, On
from sewkit.pattern.outline import Outline, bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from tests.geometry.shapes import R1, outline

R1_EDGES = "neck shoulder armhole side dart dart side waist centre"

__all__ = ["R1", "outline"]


def bare(path, name="line"):
    """A pattern of one line that nobody has named."""
    return Pattern((bare_piece(path, name),))


def bare_piece(path, name="line"):
    return Piece(name, (bare_outline(path, key=name),), named=False)


def named_outline(path, names, size="", key=""):
    """A path with its corner-to-corner runs named in order."""
    made = bare_outline(path, size, key)
    words = names.split()
    assert len(words) == len(made.edges), (len(words), len(made.edges))
    return made._replace(edges=tuple(e._replace(name=word) for e, word in zip(made.edges, words)))


def named(path, names, name="front", **more):
    """A named piece in one size."""
    return Piece(name, (named_outline(path, names),), **more)


def r1(**more):
    """The front bodice with its bust dart."""
    return named(R1, R1_EDGES, "front", darts=("dart",), **more)


def corner_piece(degrees, side=400.0):
    """A house with one interior angle, its ridge, at (0, 0); symmetric to the y axis, 300 mm walls."""
    half = math.radians(degrees) / 2
    x, y = side * math.sin(half), side * math.cos(half)
    # From the left eaves over the ridge to the right eaves: clockwise on the sheet.
    return Path.through([(-x, y), (0.0, 0.0), (x, y), (x, y + 300), (-x, y + 300)], closed=True)


def notch(edge, distance, from_end=False, name="", size="", count=1):
    return Mark(NOTCH, name, size, None, On(edge, distance, from_end), count)


def level(name, y, size="", x=(-100.0, 700.0)):
    return Mark(LEVEL, name, size, Path.through([(x[0], y), (x[1], y)]))


def grain(x=50.0, top=50.0, bottom=550.0):
    return Mark(GRAIN, "", "", Path.through([(x, top), (x, bottom)]))


def dense(path, steps=200):
    """Points along a path, ``(k, 2)``, both ends of an open one among them."""
    t = np.broadcast_to(np.linspace(0, 1, steps + 1), (len(path), steps + 1))
    return point(path.curves, t).reshape(-1, 2)


# -- R4, the skirt side edge -----------------------------------------------------------

R4 = {
    ("front", "4"): (180, 236, 240),
    ("front", "6"): (190, 246, 250),
    ("back", "4"): (190, 246, 250),
    ("back", "6"): (202, 258, 262),
}


def r4_path(waist, hip, hem):
    """Waist, side, hem and centre (the line x = 0) of one skirt panel, clockwise."""
    curve = ((waist + 0.55 * (hip - waist), 70), (hip, 130), (hip, 200))
    return outline((0, 0), (waist, 0), curve, (hem, 600), (0, 600), (0, 0))


def r4_piece(name, mirrored=False, turned=False):
    """A panel in sizes 4 and 6 with waist and hip levels; drawn any way round."""
    way = mirror((0, 0), (0, 1)) if mirrored else turn(0.0)
    way = way.then(turn(180.0)).then(move(0.0, 700.0)) if turned else way
    outlines, marks = [], []
    for size in ("4", "6"):
        path = way.path(r4_path(*R4[name, size]))
        outlines.append(named_outline(path, "waist side hem centre", size))
        for word, y in (("hips", 200.0), ("knee", 500.0)):
            line = way.path(Path.through([(-20.0, y), (320.0, y)]))
            marks.append(Mark(LEVEL, word, size, line))
    marks.append(Mark(GRAIN, "", "", way.path(Path.through([(60.0, 50.0), (60.0, 550.0)]))))
    return Piece(name, tuple(outlines), marks=tuple(marks), folds=("centre",))


def moved(pattern, frame):
    """The whole pattern under a transform."""

    def path(line):
        return None if line is None else frame.path(line)

    pieces = []
    for piece in pattern.pieces:
        pieces.append(
            piece._replace(
                outlines=tuple(o._replace(path=path(o.path)) for o in piece.outlines),
                cut_lines=tuple(c._replace(path=path(c.path)) for c in piece.cut_lines),
                marks=tuple(m._replace(path=path(m.path)) for m in piece.marks),
            )
        )
    return pattern._replace(pieces=tuple(pieces))


def split(made: Outline, curve: int, t: float) -> Outline:
    """The same outline with one more node."""
    from sewkit.geometry.path import Place, split_at

    path = split_at(made.path, [Place(curve, t)])
    edges = tuple(
        e._replace(start=e.start + (e.start > curve), stop=e.stop + (e.stop > curve)) for e in made.edges
    )
    return made._replace(path=path, edges=edges)
