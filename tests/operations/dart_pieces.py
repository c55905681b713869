"""R1's front in many forms for the tests of darts, and readings of darts that are not our own.

The dart of R1 opens by 9 degrees about the apex A; its legs are 152.258 mm and its mouth is
23.892 mm wide (appendix A1 of our papers; 2 * 152.258 * sin(4.5 degrees), worked by hand).
"""

import math
from typing import NamedTuple

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path, lines
from sewkit.geometry.transform import mirror, move, scale, turn
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.mark import DART, NOTCH, Mark
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import parse_seams
from tests.geometry.shapes import R1, R2, outline
from tests.operations.length_pieces import (
    BODICE_EDGES,
    between,
    drill,
    grain_line,
    level_line,
    ruler,
    shapely,
)
from tests.operations.pieces import R1_EDGES, dense, named, named_outline, notch

APEX = (95.0, 265.0)
D1, D2 = (245.958, 284.851), (240.994, 308.222)
UNDERARM, WAIST = (250.0, 230.0), (210.017, 440.149)
MIDDLE = ((D1[0] + D2[0]) / 2, (D1[1] + D2[1]) / 2)

# What A1 says of the edges as they are sewn.
LENGTHS = {
    "neck": 119.033,
    "shoulder": 128.160,
    "armhole": 228.174,
    "side": 190.515,
    "waist": 210.017,
    "centre": 360.149,
}

# A piece is the same shape as another if this little is left between them (mm2): both are
# drawn by 200 chords a curve, whose sagittas come to a few hundredths over the armhole.
AREA = 0.3


# -- readings ------------------------------------------------------------------------------


class Legs(NamedTuple):
    """A dart cut into an outline, read by name."""

    first: Path
    second: Path

    @property
    def point(self):
        return self.first.end

    @property
    def mouth(self):
        return np.array([self.first.start, self.second.end])

    @property
    def lengths(self):
        return ruler(self.first), ruler(self.second)

    @property
    def intake(self):
        return float(np.hypot(*(self.mouth[1] - self.mouth[0])))

    @property
    def angle(self):
        return self.seen_from(self.point)

    def seen_from(self, spot):
        return abs(between(*(self.mouth - np.asarray(spot))))

    @property
    def off_axis(self):
        """How far the point lies beside the line square to the mouth through its middle (mm)."""
        way = self.mouth[1] - self.mouth[0]
        return abs(float((self.point - self.mouth.mean(axis=0)) @ way)) / float(np.hypot(*way))


def legs(made, name="dart"):
    """The dart of that name: two edges that follow each other, the end of one the start of the next."""
    found = darts(made, name)
    assert len(found) == 1, [edge.name for edge in made.edges]
    return found[0]


def darts(made, name="dart"):
    """All darts of a name, in path order: pairs of its edges that meet."""
    runs = list(made.runs(name))
    pairs = [
        Legs(one, two) for one, two in zip(runs, runs[1:] + runs[:1]) if np.array_equal(one.end, two.start)
    ]
    if len(runs) == 2 and len(pairs) == 2:
        pairs = pairs[:1]
    return pairs


def bare_legs(path, point):
    """The two curves of a bare path that meet at a point."""
    away = np.hypot(*(path.nodes - np.asarray(point)).T)
    node = int(away.argmin())
    assert away[node] <= 0.05, away.min()
    rounded = path.start_at(node)
    return Legs(Path(rounded.curves[-1:]), Path(rounded.curves[:1]))


def sewn(made, name):
    """An edge's length with its darts closed, by Gauss integration."""
    runs = made.runs(name)
    assert runs, made.names
    return sum(ruler(run) for run in runs)


def rest_ends(made, name):
    """Both ends of an edge that darts may interrupt."""
    runs = made.runs(name)
    return runs[0].start, runs[-1].end


# -- folding paper with Shapely ------------------------------------------------------------


def affinity():
    return pytest.importorskip("shapely.affinity")


def sheet(path):
    return shapely.Polygon(dense(path, 200)).buffer(0)


def fan(pivot, start, stop, reach=2000.0):
    """The sector about a pivot from one place to another, clockwise on the sheet (x to y)."""
    a = math.atan2(start[1] - pivot[1], start[0] - pivot[0])
    b = math.atan2(stop[1] - pivot[1], stop[0] - pivot[0])
    b = b if b > a else b + 2 * math.pi
    at = np.linspace(a, b, 25)
    rim = np.stack([pivot[0] + reach * np.cos(at), pivot[1] + reach * np.sin(at)], axis=1)
    return shapely.Polygon([tuple(pivot), *map(tuple, rim)])


def slashed(polygon, pivot, sectors):
    """The paper cut to the pivot; each ``(start, stop, degrees)`` is a sector and how far it turns."""
    rest, parts = polygon, []
    for start, stop, degrees in sectors:
        part = polygon.intersection(fan(pivot, start, stop))
        rest = rest.difference(fan(pivot, start, stop))
        parts.append(affinity().rotate(part, degrees, origin=tuple(pivot)))
    for part in parts:
        rest = rest.union(part)
    return rest


def apart(first, second):
    """The area (mm2) by which two papers laid on each other differ."""
    return first.symmetric_difference(second).area


def to_pivot(path, point, pivot):
    """The same path with the node at a dart's point moved into the pivot: the paper as it is slashed."""
    curves = path.curves.copy()
    rounds = [
        (n, (n - 1) % len(path)) for n in range(len(path)) if np.hypot(*(path.nodes[n] - point)) <= 1e-6
    ]
    assert len(rounds) == 1
    after, before = rounds[0]
    for number, ends in ((before, (curves[before, 0], pivot)), (after, (pivot, curves[after, 3]))):
        curves[number] = lines(np.array([ends[0]]), np.array([ends[1]]))[0]
    return Path(curves, path.closed)


def reflected(points, on, through):
    """Points mirrored in the line through two places."""
    on, way = np.asarray(on), np.asarray(through) - np.asarray(on)
    way = way / np.hypot(*way)
    off = np.asarray(points) - on
    along = off @ way
    return on + 2 * along[..., None] * way - off


# -- R1 in its forms -----------------------------------------------------------------------


def apex_mark(spot=APEX, name="apex"):
    return drill(*spot, name=name)


def own_marks():
    """Apex, a button on either side of the slash, a level, the grain, notches on both edges."""
    return (
        apex_mark(),
        drill(12.0, 200.0, "button"),
        drill(190.0, 210.0, "pocket"),
        level_line("bust", 265.0, x=(0.0, 90.0)),
        grain_line(60.0, 100.0, 400.0),
        notch("shoulder", 100.0, name="1"),
        notch("side", 30.0, name="2"),
        notch("side", 50.0, from_end=True, name="3"),
    )


def legs_to_apex(**more):
    """R1 as in A1: the legs meet in the apex; the centre lies on the fold."""
    marks = more.pop("marks", (apex_mark(), grain_line(60.0, 100.0, 400.0)))
    return named(R1, R1_EDGES, "front", darts=("dart",), folds=("centre",), marks=marks, **more)


def back_off(path, distance, pivot=APEX):
    """The dart's point of R1 (node at the apex) set back on the line to the mouth's middle."""
    way = np.subtract(MIDDLE, pivot)
    return to_pivot(path, np.asarray(pivot), np.asarray(pivot) + way / np.hypot(*way) * distance)


def standoff(distance=25.0, **more):
    """The point 25 mm short of the apex, T of A3."""
    marks = more.pop("marks", (apex_mark(), grain_line(60.0, 100.0, 400.0)))
    path = back_off(R1, distance)
    return named(path, R1_EDGES, "front", darts=("dart",), folds=("centre",), marks=marks, **more)


def legs_by(first=0.0, second=0.0, **more):
    """R1 whose legs are longer by so much: the mouth's ends slid along their legs."""
    ends = []
    for end, longer in ((D1, first), (D2, second)):
        way = np.subtract(end, APEX)
        ends.append(tuple(end + way / np.hypot(*way) * longer))
    path = outline(
        (0, 80),
        ((45, 78), (70, 45), (70, 0)),
        (190, 45),
        ((160, 110), (165, 228), UNDERARM),
        ends[0],
        APEX,
        ends[1],
        WAIST,
        (0, 440.149),
    )
    marks = more.pop("marks", (grain_line(60.0, 100.0, 400.0),))
    return named(path, R1_EDGES, "front", darts=("dart",), folds=("centre",), marks=marks, **more)


def drawn(form="legs", point=APEX, peak=None, **more):
    """An unbroken outline with the dart as a mark; ``form``: legs, centre, two (a mark a leg).

    ``peak``: the outline runs over a drawn cap; straight across the mouth without.
    """
    top = [(0, 80), ((45, 78), (70, 45), (70, 0)), (190, 45), ((160, 110), (165, 228), UNDERARM), D1]
    low = [D2, WAIST, (0, 440.149)]
    path = outline(*(top + ([peak] if peak else []) + low))
    wide = 4 if peak else 3
    at = [("neck", 0, 1), ("shoulder", 1, 2), ("armhole", 2, 3), ("side", 3, 3 + wide)]
    at += [("waist", 3 + wide, 4 + wide), ("centre", 4 + wide, 5 + wide)]
    made = Outline("", path, tuple(Edge(*edge) for edge in at))
    v = Path.through([D1, point, D2])
    if form == "two":
        drawn_marks = (
            Mark(DART, "dart", "", Path.through([D1, point])),
            Mark(DART, "dart", "", Path.through([D2, point])),
        )
    elif form == "centre":
        both = np.concatenate([v.curves, lines(np.array([point]), np.array([MIDDLE]))])
        drawn_marks = (Mark(DART, "dart", "", Path(both)),)
    else:
        drawn_marks = (Mark(DART, "dart", "", v),)
    marks = drawn_marks + more.pop("marks", (apex_mark(), grain_line(60.0, 100.0, 400.0)))
    return Piece("front", (made,), folds=("centre",), marks=marks, **more)


def reversed_piece(piece):
    """The same piece drawn the other way round; notches keep their places."""
    outlines = []
    for made in piece.outlines:
        names = " ".join(edge.name for edge in made.edges[::-1])
        assert len(names.split()) == len(made.edges)
        outlines.append(named_outline(made.path.reverse(), names, made.size))
    marks = tuple(
        m._replace(on=m.on._replace(from_end=not m.on.from_end)) if m.kind == NOTCH else m
        for m in piece.marks
    )
    return piece._replace(outlines=tuple(outlines), marks=marks)


def curved_side(**more):
    """R1 with a shaped side seam that runs softly over the closed dart.

    Its direction at D1 leans by 4 degrees; at D2 by 13, as the dart opens it by 9.
    """
    above, below = (
        np.array([-math.sin(math.radians(lean)), math.cos(math.radians(lean))]) for lean in (4.0, 13.0)
    )
    path = outline(
        (0, 80),
        ((45, 78), (70, 45), (70, 0)),
        (190, 45),
        ((160, 110), (165, 228), UNDERARM),
        ((251, 248), tuple(D1 - 18.0 * above), D1),
        APEX,
        D2,
        (tuple(D2 + 38.0 * below), (212, 395), WAIST),
        (0, 440.149),
    )
    marks = more.pop("marks", (apex_mark(), grain_line(60.0, 100.0, 400.0)))
    return named(path, R1_EDGES, "front", darts=("dart",), folds=("centre",), marks=marks, **more)


def skirt_front(**more):
    """A skirt front on the fold; two waist darts of 20 and 16 mm, 100 and 90 mm deep."""
    path = outline(
        (0, 0),
        (80, 0),
        (90, 100),
        (100, 0),
        (150, 0),
        (158, 90),
        (166, 0),
        (216, 0),
        ((244, 70), (260, 130), (260, 200)),
        (270, 600),
        (0, 600),
    )
    names = "waist front-dart front-dart waist side-dart side-dart waist side hem centre"
    marks = more.pop("marks", (grain_line(40.0, 200.0, 550.0),))
    return named(
        path, names, "skirt", darts=("front-dart", "side-dart"), folds=("centre",), marks=marks, **more
    )


SIZES = {"4": 0.96, "6": 1.0, "8": 1.05}


def nest():
    """R1 in three sizes, each a scaled copy: lengths are in proportion and the angle is 9 degrees in all."""
    outlines, marks = [], [grain_line(60.0, 100.0, 400.0)]
    for size, factor in SIZES.items():
        frame = scale(factor, factor)
        outlines.append(named_outline(frame.path(R1), R1_EDGES, size))
        marks.append(drill(*(factor * np.array(APEX)), name="apex")._replace(size=size))
    return Piece("front", tuple(outlines), darts=("dart",), folds=("centre",), marks=tuple(marks))


# Distances from the pivot to the edge and widths there of a dart of 14 degrees, cm: standards 4.5.
ROTATION = {"nine": (9.0, 2.1936), "twelve": (12.0, 2.9249), "fourteen": (14.0, 3.4123)}
ROTATION.update({"eighteen": (18.0, 4.3873), "twentyfive": (25.0, 6.0935)})


def star(degrees=14.0, leg=120.0, **more):
    """Edges whose middles lie 90, 140, 180 and 250 mm from the pivot (0, 0), and a dart of 120 mm legs.

    Between them are short edges a ... f, so the middle of each named one is its own.
    """
    places = (("nine", 90.0, 15.0), ("fourteen", 140.0, 90.0), ("eighteen", 180.0, 150.0))
    places += (("twentyfive", 250.0, 215.0),)
    path, names = [], []
    for number, (name, distance, at) in enumerate(places):
        way = np.array([math.cos(math.radians(at)), math.sin(math.radians(at))])
        along = np.array([-way[1], way[0]]) * 15.0
        path += [way * distance - along, way * distance + along]
        names += [name, "abcd"[number]]
    half = math.radians(degrees) / 2
    axis = math.radians(300.0)
    mouth = [leg * np.array([math.cos(axis + s * half), math.sin(axis + s * half)]) for s in (-1, 1)]
    chord = (mouth[1] - mouth[0]) / np.hypot(*(mouth[1] - mouth[0]))
    path += [mouth[0] - 20.0 * chord, mouth[0], (0.0, 0.0), mouth[1], mouth[1] + 20.0 * chord]
    # d runs from twentyfive to the edge of the dart; e from there back to nine.
    names += ["top", "dart", "dart", "top", "e"]
    made = Outline(
        "",
        Path.through([tuple(p) for p in path], closed=True),
        tuple(Edge(name, number, number + 1) for number, name in enumerate(names)),
    )
    marks = more.pop("marks", (drill(0.0, 0.0, "apex"),))
    return Piece("star", (made,), darts=("dart",), marks=marks, **more)


FRAMES = {
    "as it lies": turn(0.0),
    "turned by 37": turn(37.0, (40.0, 90.0)).then(move(300.0, -120.0)),
    "mirrored": mirror((120.0, 0.0), (0.0, 1.0)),
    "mirrored and turned": mirror((0.0, 0.0), (1.0, 0.4)).then(move(-55.0, 700.0)),
}


def alone(piece):
    return Pattern((piece,))


def with_back(piece, seams="side=back/side shoulder=back/shoulder,ease=-3..3"):
    """The front with R2, the back, sewn to it."""
    other = named(R2, BODICE_EDGES, "back", marks=(grain_line(100.0, 60.0, 360.0),))
    # R2's side is 196.023 long; the front's 190.515: its foot is drawn so that both match.
    path = other.outlines[0].path.curves.copy()
    way = (path[4, 0] - path[3, 0]) / np.hypot(*(path[4, 0] - path[3, 0]))
    foot = path[3, 0] + way * 190.515
    path[3] = lines(path[3, :1], foot[None])[0]
    path[4] = lines(foot[None], path[4, 3][None])[0]
    other = named(Path(path, True), BODICE_EDGES, "back", marks=other.marks)
    return Pattern((piece, other), parse_seams(seams, "front"))


def far_apart(one, other):
    """The largest distance between the control points of two paths drawn alike, wherever they start."""
    if len(one) != len(other):
        return math.inf
    best = math.inf
    for shift in range(len(one)):
        best = min(best, float(np.abs(one.curves - np.roll(other.curves, shift, axis=0)).max()))
    return best


def refusal(operation, pattern, chosen=None, **values):
    """Code and words of the one sentence, with its cure, that an operation says to bad input."""
    with pytest.raises(InputError) as told:
        operation(pattern, chosen or Chosen(), **values)
    assert told.value.what.endswith(".") and told.value.cure.endswith(".")
    assert ". " not in told.value.what, "one sentence says what is wrong"
    return told.value.code, str(told.value)
