"""Pieces for the tests of length and room, and rulers that are not our own.

R1, R2 and R3 are the reference front, back and sleeve; lengths come from their closed forms
or from numpy's and SciPy's integration, never from what the code under test printed.
"""

import math

import numpy as np
import pytest

from sewkit.geometry.path import Path, derivative, end_tangents, lines, start_tangents
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.mark import DRILL, GRAIN, INNER, LABEL, LENGTHEN, LEVEL, Mark
from sewkit.pattern.outline import Edge, Outline, bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import parse_seams
from tests.geometry.shapes import R1, R2, outline
from tests.operations.pieces import R1_EDGES, dense, named, named_outline

# What the papers promise: tables to 0.01 mm and 0.01 degrees, invariants to 0.1 mm, rigid
# parts and untouched shapes to rounding.
TABLE, INVARIANT, RIGID = 0.01, 0.1, 1e-9

PLAIN_FRONT = outline(
    (0, 80),
    ((45, 78), (70, 45), (70, 0)),
    (190, 45),
    ((160, 110), (165, 228), (250, 230)),
    (236, 420),  # sqrt(14^2 + 190^2) = 190.515, as R1's side with its dart closed
    (0, 420),
)
BODICE_EDGES = "neck shoulder armhole side waist centre"


# -- rulers --------------------------------------------------------------------------------


class _Shapely:
    """Shapely, asked for when it is used: on the oldest numpy only those tests are skipped."""

    def __getattr__(self, name):
        if name not in ("LineString", "LinearRing", "Point", "Polygon", "box"):
            raise AttributeError(name)  # pytest asks every name of a module for its own
        return getattr(pytest.importorskip("shapely"), name)


shapely = _Shapely()

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(64)


def ruler(path):
    """The length of a path by numpy's 64-point Gauss rule; the tests compare it with SciPy's."""
    t = np.broadcast_to((_NODES + 1) / 2, (len(path), 64))
    speed = derivative(path.curves, t)
    return float((np.hypot(speed[..., 0], speed[..., 1]) @ (_WEIGHTS / 2)).sum())


def integrated(path):
    """The length of a path by SciPy's adaptive integration."""
    integrate = pytest.importorskip("scipy.integrate")

    def speed(t, curve):
        return float(np.hypot(*derivative(curve[None], t)[0]))

    return sum(integrate.quad(speed, 0, 1, args=(curve,), epsabs=1e-9, limit=200)[0] for curve in path.curves)


def edge_ruler(made, name):
    """An edge's length as sewn, dart legs left out."""
    return sum(ruler(run) for run in made.runs(name))


def straight(path):
    """How far the line strays from the straight one between its ends (mm)."""
    way = path.end - path.start
    way = way / np.hypot(*way)
    off = path.curves - path.start
    return float(np.abs(off[..., 0] * way[1] - off[..., 1] * way[0]).max())


def between(first, second):
    """The angle from one direction to another, degrees, sign as on the sheet."""
    cross = first[0] * second[1] - first[1] * second[0]
    return math.degrees(math.atan2(cross, float(np.dot(first, second))))


def tangent_at_start(path):
    return start_tangents(path.curves[:1])[0]


def tangent_at_end(path):
    return end_tangents(path.curves[-1:])[0]


def undone(before, after):
    """After the rigid move that takes its ends back: the largest distance of any control point.

    The two paths must have the same curves; ``before`` and ``after`` are open.
    """
    assert len(before) == len(after)
    a = complex(*(before.end - before.start))
    b = complex(*(after.end - after.start))
    spin = a / abs(a) / (b / abs(b))
    flat = (after.curves[..., 0] + 1j * after.curves[..., 1] - complex(*after.start)) * spin
    flat += complex(*before.start)
    return float(np.abs(flat - (before.curves[..., 0] + 1j * before.curves[..., 1])).max())


def moved_by(before, after, dx, dy):
    """Whether every control point moved by exactly (dx, dy), to rounding."""
    if before.curves.shape != after.curves.shape:
        return False
    return bool(np.abs(after.curves - before.curves - np.array([dx, dy])).max() <= RIGID)


def same(before, after):
    """The very same numbers."""
    return np.array_equal(before.curves, after.curves)


def shape(path):
    """Shapely's polygon of a closed path."""
    return shapely.Polygon(dense(path, 100))


def texts(outcome):
    """All that the report says, in one string."""
    report = outcome.report
    rows = [" ".join(row) for table in report.tables for row in table.rows]
    titles = [table.title for table in report.tables]
    return "\n".join([report.summary] + [f.text for f in report.findings] + titles + rows)


def codes(outcome):
    return {finding.code for finding in outcome.report.findings}


def edges_table(outcome):
    """Rows of the table of edges before and after, as {(piece, edge): (before, after)}."""
    table = next(t for t in outcome.report.tables if "dges" in t.title)
    columns = [c.split()[0] for c in table.columns]
    found = {}
    for row in table.rows:
        cells = dict(zip(columns, row))
        found[cells["piece"], cells["edge"]] = (float(cells["before"]), float(cells["after"]))
    return found


# -- marks ---------------------------------------------------------------------------------


def across(kind, name, y, size="", x=(-20.0, 320.0), key=""):
    return Mark(kind, name, size, Path.through([(x[0], y), (x[1], y)]), key=key)


def lengthen_line(y, name="", size="", x=(-20.0, 320.0), key=""):
    return across(LENGTHEN, name, y, size, x, key)


def level_line(name, y, size="", x=(-20.0, 320.0)):
    return across(LEVEL, name, y, size, x)


def grain_line(x=60.0, top=100.0, bottom=400.0):
    return Mark(GRAIN, "", "", Path.through([(x, top), (x, bottom)]))


def inner(*points):
    return Mark(INNER, "", "", Path.through(list(points)))


def label(x, y, words="front"):
    return Mark(LABEL, "", "", Path.through([(x, y), (x + 0.01, y)]), text=words)


def drill(x, y, name=""):
    """A drill hole drawn as a small square about its middle."""
    box = [(x - 2, y - 2), (x + 2, y - 2), (x + 2, y + 2), (x - 2, y + 2)]
    return Mark(DRILL, name, "", Path.through(box, closed=True))


def drills(piece):
    return [tuple(m.middle) for m in piece.marks if m.kind == DRILL]


def one(piece, kind, name=None, size=None):
    """The only mark of that kind and name."""
    found = [
        m
        for m in piece.marks
        if m.kind == kind and (name is None or m.name == name) and (size is None or m.size == size)
    ]
    assert len(found) == 1, [(m.kind, m.name, m.size) for m in piece.marks]
    return found[0]


# -- pieces --------------------------------------------------------------------------------


def front(line=330.0, **more):
    """R1 without its dart, the front on the fold."""
    marks = more.pop("marks", ()) + (level_line("cut", line), grain_line(60.0, 100.0, 400.0))
    return named(PLAIN_FRONT, BODICE_EDGES, "front", folds=("centre",), marks=marks, **more)


def darted_front(line=360.0, **more):
    """R1 with its bust dart, on the fold."""
    marks = more.pop("marks", ()) + (level_line("cut", line), grain_line(60.0, 100.0, 400.0))
    return named(R1, R1_EDGES, "front", darts=("dart",), folds=("centre",), marks=marks, **more)


def back(line=330.0, **more):
    """R2, the back, whole from neck to waist."""
    marks = more.pop("marks", ()) + (level_line("cut", line), grain_line(60.0, 100.0, 400.0))
    return named(R2, BODICE_EDGES, "back", marks=marks, **more)


def bodice(line=330.0):
    """Front and back, sewn at side and shoulder."""
    seams = parse_seams("side=back/side shoulder=back/shoulder,ease=-3..3", "front")
    return Pattern((front(line), back(line)), seams)


def cap(whole=False, wrist=500.0):
    """R3: the sleeve's cap, height 140, half widths 160 front and 170 back, on a straight sleeve.

    The cap runs from the back underarm over the top to the front one, as two edges unless
    ``whole``; the turn at the top is 2 atan(2 / 45) = 5.1 degrees, so it is no corner.
    """
    path = outline(
        (-170, 140),
        ((-130, 140), (-108, 112), (-90, 80)),
        ((-70, 45), (-45, 2), (0, 0)),
        ((45, 2), (70, 45), (90, 80)),
        ((108, 112), (130, 140), (160, 140)),
        (120, wrist),
        (-130, wrist),
    )
    names = [("cap-back", 0, 2), ("cap-front", 2, 4)] if not whole else [("cap", 0, 4)]
    edges = [Edge(name, start, stop, start == 2) for name, start, stop in names]
    edges += [Edge("underarm", 4, 5), Edge("wrist", 5, 6), Edge("underarm-back", 6, 7)]
    marks = (level_line("cut", 60.0, x=(-200.0, 200.0)), grain_line(0.0, 40.0, wrist - 40.0))
    return Piece("sleeve", (Outline("", path, tuple(edges)),), marks=marks)


def coat(buttons=True, line=200.0):
    """A straight coat front 1100 mm long with buttons at 30, 104, ... and its waist at 400.

    Five spaces of 74 mm reach from the top button at 30 to the waist button at 400.
    """
    path = outline((0, 0), (200, 0), (200, 1100), (0, 1100))
    marks = (
        level_line("chest", 150.0),
        level_line("waist", 400.0),
        level_line("hip", 600.0),
        lengthen_line(line, "bodice"),
        grain_line(100.0, 100.0, 1000.0),
    )
    if buttons:
        marks += tuple(drill(10.0, 30.0 + 74.0 * k) for k in range(6))
    return named(path, "neck side hem centre", "coat", marks=marks)


def skirt(name="skirt", folds=("centre",), line=400.0, size="", wide=(180, 236, 240)):
    """A flared panel: shaped from waist to hip (200), straight on to the hem (600)."""
    waist, hip, hem = wide
    path = outline(
        (0, 0),
        (waist, 0),
        ((waist + 0.55 * (hip - waist), 70), (hip, 130), (hip, 200)),
        (hem, 600),
        (0, 600),
    )
    marks = (
        level_line("hips", 200.0, size),
        level_line("cut", line, size),
        grain_line(60.0, 50.0, 550.0),
    )
    made = named_outline(path, "waist side hem centre", size)
    return Piece(name, (made,), marks=marks, folds=folds)


def block(width=250.0, height=600.0, folds=("centre",), name="panel"):
    """A rectangle: waist above, hem below, the fold on the left; all in closed form."""
    path = outline((0, 0), (width, 0), (width, height), (0, height))
    marks = (grain_line(20.0, 50.0, height - 50.0),)
    return named(path, "waist side hem centre", name, folds=folds, marks=marks)


def nest(heights=(330.0, 350.0)):
    """One piece in two sizes, each with its own lengthen level."""
    outlines, marks = [], []
    for number, (size, y) in enumerate(zip("46", heights)):
        width = 200.0 + 10.0 * number
        path = outline((0, 0), (width, 0), (width + 20, 600.0 + 10 * number), (0, 600.0 + 10 * number))
        outlines.append(named_outline(path, "waist side hem centre", size))
        marks.append(level_line("cut", y, size))
    marks.append(grain_line(60.0, 50.0, 550.0))
    return Piece("skirt", tuple(outlines), marks=tuple(marks))


def picked(*pairs):
    """A choice of outlines by piece and size."""
    return Chosen(tuple(PickedOutline(name, size) for name, size in pairs))


def bare_with(path, *drawn):
    """A bare closed outline and open lines drawn over it, all of them picked in that order."""
    pieces = [Piece("shape", (bare_outline(path, key="shape"),), named=False)]
    for number, points in enumerate(drawn):
        key = "line-{}".format(number + 1)
        made = Outline("", Path.through(points), (Edge("1", 0, len(points) - 1),), key)
        pieces.append(Piece(key, (made,), named=False))
    return Pattern(tuple(pieces)), picked(*((piece.name, "") for piece in pieces))


def bare_path(outcome, name="shape"):
    return outcome.pattern.piece(name).outlines[0].path


def tall(line, *, lines_at=()):
    """A plain strip 100 x 1000 with lengthen lines of its own at several heights."""
    path = Path(
        lines([(0, 0), (100, 0), (100, 1000), (0, 1000)], [(100, 0), (100, 1000), (0, 1000), (0, 0)]), True
    )
    marks = (grain_line(50.0, 50.0, 950.0), lengthen_line(line, "one"))
    marks += tuple(lengthen_line(y, name) for name, y in lines_at)
    return named(path, "top side hem centre", "strip", marks=marks)
