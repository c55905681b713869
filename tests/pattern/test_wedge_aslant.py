"""Wedges whose line leans: the edge changes by what was asked all the same, and its step is told.

Lengths are SciPy's and svgpathtools', triangles are worked by hand.
"""

import math

import numpy as np
import pytest

from sewkit.checks.wedge_words import wedge_findings
from sewkit.errors import InputError
from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, turns
from sewkit.geometry.transform import mirror
from sewkit.operations.wedge import wedge as wedge_operation
from sewkit.pattern.mark import NOTCH
from sewkit.pattern.outline import Edge, bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.wedge_made import changed
from sewkit.pattern.wedge_places import Lying
from sewkit.pattern.wedge_solved import MOST_LEAN, step_of
from sewkit.report import Level
from tests.geometry.shapes import outline
from tests.operations.length_pieces import bare_with, edge_ruler, integrated
from tests.operations.pieces import named, notch

NAMES = "waist side hem centre"

# What is asked is reached within this (mm), and what may not change does not.
ASKED, SAME = 0.05, 1e-6

# A back whose centre slants by 40 mm over 400 and whose side is straight down.
SLANTING = outline((40, 0), (240, 0), (240, 400), (0, 400))


def back(path=SLANTING, names=NAMES, **more):
    return named(path, names, "back", **more)


def run(line, name):
    edge = line.edge(name)
    return line.path.part(edge.start, edge.stop), edge.start


def place(line, name, distance):
    """The place so many mm from the start of an edge's first run."""
    path, start = run(line, name)
    found = place_at(path, distance)
    return Place(found.curve + start, found.t)


def made(piece, opening, hinge, amount, onward=False, straight=False):
    """A wedge from the spot of the outline nearest to ``opening`` to that nearest to ``hinge``."""
    line = piece.outline("")
    places = [nearest(line.path, spot).place for spot in (opening, hinge)]
    return changed(piece, line, Lying(places[0], places[1], onward), amount, straight)


def scipy_length(line, name):
    return sum(integrated(part) for part in line.runs(name))


def distances(path):
    """Between every two control points of a path (mm)."""
    points = path.curves.reshape(-1, 2)
    return np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))


def reversed_(piece):
    line = piece.outline("")
    count = len(line.path)
    edges = tuple(Edge(e.name, count - e.stop, count - e.start, e.smooth) for e in line.edges[::-1])
    return piece.with_outline(line._replace(path=line.path.reverse(), edges=edges))


def leaning(lean):
    """On the slanting centre, at half its height, the hinge on the side so that the line leans so.

    Square to (-40, 400) is (10, 1) / sqrt(101); the line goes 220 mm to the right.
    """
    opening = np.array([20.0, 200.0])
    angle = math.atan2(1.0, 10.0) + math.radians(lean)
    return opening, np.array([240.0, 200.0 + 220.0 * math.tan(angle)])


# -- what is asked is what comes of it --------------------------------------------------------


@pytest.mark.parametrize("amount", [-12.0, 12.0])
@pytest.mark.parametrize("lean", [-45.0, -30.0, -10.0, 0.0, 5.0, 20.0, 35.0])
def test_a_slanting_centre_back_changes_by_the_amount(lean, amount):
    piece = back()
    old = piece.outline("")
    new = made(piece, *leaning(lean), amount).outline

    assert scipy_length(new, "centre") - scipy_length(old, "centre") == pytest.approx(amount, abs=ASKED)
    assert scipy_length(new, "side") == pytest.approx(400.0, abs=SAME)
    for name in ("waist", "hem"):
        was, now = (distances(o.edge_path(name)) for o in (old, new))
        assert np.abs(was - now).max() <= 1e-9, name
    assert np.abs(turns(new.edge_path("centre"))).max() < 1e-3, "no corner where the wedge was"


def test_another_library_measures_the_same():
    svgpathtools = pytest.importorskip("svgpathtools")
    piece = back()
    new = made(piece, *leaning(-45.0), -12.0).outline.edge_path("centre")
    measured = sum(svgpathtools.CubicBezier(*(complex(*p) for p in c)).length(error=1e-6) for c in new.curves)

    assert measured == pytest.approx(math.hypot(40.0, 400.0) - 12.0, abs=ASKED)


@pytest.mark.parametrize("lean", [-45.0, -20.0, 20.0, 35.0])
@pytest.mark.parametrize("amount", [-0.5, -4.0, 4.0])
def test_a_small_wedge_is_as_wide_as_its_triangle_says(lean, amount):
    """Taken out |amount| / cos^2, let in |amount| / cos; to a tenth: it is small against the way of 200."""
    piece = back()
    width = made(piece, *leaning(lean), amount).wedge.width
    power = 2 if amount < 0 else 1

    assert width == pytest.approx(abs(amount) / math.cos(math.radians(lean)) ** power, rel=0.1)


def test_square_to_a_straight_edge_the_triangle_is_the_one_drawn_on_paper():
    """12 mm at a way of 200: nothing is sought where the drawn triangle does it."""
    piece = back(outline((0, 0), (200, 0), (200, 400), (0, 400)))
    for amount, angle in ((-12.0, math.atan(12.0 / 200.0)), (12.0, 2.0 * math.asin(12.0 / 400.0))):
        wedge = made(piece, (0.0, 200.0), (200.0, 200.0), amount).wedge
        assert wedge.width == 12.0
        assert abs(wedge.angle) == pytest.approx(math.degrees(angle), abs=1e-9)


def crooked(random):
    """Four corners about a box of 200 by 400 mm, joined by curves with an inflection here and there."""
    box = np.array([(0, 0), (200, 0), (200, 400), (0, 400)]) + random.uniform(-30, 30, (4, 2))
    curves = []
    for here, there in zip(box, np.roll(box, -1, axis=0)):
        way = there - here
        square = np.array([way[1], -way[0]]) / np.hypot(*way)
        out, share = random.uniform(-25, 25, 2), random.uniform(0.25, 0.4, 2)
        handles = here + share[0] * way + out[0] * square, there - share[1] * way + out[1] * square
        curves.append([here, handles[0], handles[1], there])
    return Path(np.array(curves), closed=True)


@pytest.mark.parametrize("number", range(20))
def test_crooked_pieces_however_they_are_drawn(number):
    """The amount at the curved edge, nothing at the hinge; mirrored and the other way round as well."""
    random = np.random.RandomState(number)
    piece = back(crooked(random))
    old = piece.outline("")
    at, across = random.uniform(0.25, 0.75, 2)
    amount = float(random.uniform(2.0, 15.0) * random.choice([-1, 1]))
    opening = place(old, "centre", at * path_length(old.edge_path("centre")))
    hinge = place(old, "side", across * path_length(old.edge_path("side")))
    spots = [old.path.part(p.curve, p.curve + 1) for p in (opening, hinge)]
    spots = [nearest_point(part, p.t) for part, p in zip(spots, (opening, hinge))]
    flip = mirror((0.0, 0.0), (0.3, 1.0))
    flipped = piece.with_outline(old._replace(path=flip.path(old.path)))

    lengths = []
    for one, where, onward in (
        (piece, spots, True),
        (reversed_(piece), spots, False),
        (flipped, [flip.points(s[None])[0] for s in spots], True),
    ):
        new = made(one, where[0], where[1], amount, onward).outline
        change = scipy_length(new, "centre") - scipy_length(old, "centre")
        assert change == pytest.approx(amount, abs=ASKED)
        assert scipy_length(new, "side") == pytest.approx(scipy_length(old, "side"), abs=SAME)
        for name in ("waist", "hem"):
            was, now = (distances(o.edge_path(name)) for o in (one.outline(""), new))
            assert np.abs(was - now).max() <= 1e-9, name
        lengths.append([edge_ruler(new, name) for name in NAMES.split()])
    assert np.abs(np.array(lengths) - lengths[0]).max() <= 1e-4


def nearest_point(part, t):
    weights = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3]
    return sum(weight * spot for weight, spot in zip(weights, part.curves[0]))


@pytest.mark.parametrize("amount", [-12.0, 15.0])
@pytest.mark.parametrize("end", [(240.0, 130.0), (240.0, 222.0), (240.0, 350.0)])
def test_a_bare_outline_changes_by_the_amount_too(end, amount):
    pattern, chosen = bare_with(SLANTING, [(20.0, 200.0), end])
    outcome = wedge_operation(pattern, chosen, amount=amount)
    was = pattern.pieces[0].outline("")
    now = outcome.pattern.piece(pattern.pieces[0].name).outline("")
    changes = {name: scipy_length(now, name) - scipy_length(was, name) for name in was.names}

    assert sorted(changes.values()) == pytest.approx(sorted([0.0, 0.0, 0.0, amount]), abs=ASKED)
    assert not [f for f in outcome.report.findings if f.code == "not-as-asked"]


def test_an_outline_without_corners_keeps_its_hinge():
    """An ellipse of one edge: the soft curve may not run past the hinge, however far it leans."""
    h = 4.0 / 3.0 * math.tan(math.pi / 8.0)
    arcs = [[(1, 0), (1, h), (h, 1), (0, 1)], [(0, 1), (-h, 1), (-1, h), (-1, 0)]]
    arcs += [[(-x, -y) for x, y in arc] for arc in arcs]
    line = bare_outline(Path(np.array(arcs) * (100.0, 160.0), closed=True))
    piece = Piece("egg", (line,))
    for hinge in ((-86.6, -80.0), (-86.6, 80.0), (-20.0, 156.8)):
        for onward in (True, False):
            done = made(piece, (86.6, 80.0), hinge, -8.0, onward)
            spot = nearest(line.path, hinge).point
            now = np.array([done.change.moves[0].points(spot[None])[0]])
            assert np.hypot(*(done.outline.path.nodes - now).T).min() < 1e-6
            change = sum(integrated(r) for r in done.outline.runs("1")) - integrated(line.path)
            assert change == pytest.approx(-8.0, abs=ASKED)


def test_notches_keep_to_the_cloth_on_their_side():
    """Below the wedge by the distance from below, above it from above, in it where it was closed."""
    total = math.hypot(40.0, 400.0)
    half = total / 2.0
    marks = (
        notch("centre", 30.0, name="below"),
        notch("centre", total - 30.0, name="above"),
        notch("centre", half - 3.0, name="gone"),
    )
    done = made(back(marks=marks), *leaning(-30.0), -12.0)
    now = {m.name: done.mark(m).on.distance for m in marks if m.kind == NOTCH}

    # The path runs up the centre; what lies below the opening, before it on the path, is taken out.
    assert now["below"] == pytest.approx(30.0, abs=1e-3)
    assert now["above"] == pytest.approx(total - 12.0 - 30.0, abs=1e-3)
    assert now["gone"] == pytest.approx(half - done.wedge.width, abs=1e-3)


# -- the step ---------------------------------------------------------------------------------


@pytest.mark.parametrize("lean", [-30.0, 30.0])
def test_the_step_is_the_difference_of_the_legs(lean):
    """By the law of cosines; seen square to the edge's mean direction, so by cos(lean +- angle / 2)."""
    piece = back()
    opening, hinge = leaning(lean)
    wedge = made(piece, opening, hinge, -12.0).wedge
    way = math.hypot(*(hinge - opening))
    # Taken out below: a hinge that lies lower (lean above 0) has the lower leg the shorter one.
    sine = math.sin(math.radians(lean))
    other = math.sqrt(way**2 + wedge.width**2 - 2.0 * way * wedge.width * sine)
    inner = abs(math.radians(wedge.angle)) / 2.0
    aside = math.cos(math.radians(lean) - inner)
    step = step_of(piece.outline(""), wedge, "back")

    assert step.out == pytest.approx((other - way) * aside, abs=1e-6)
    assert step.over == pytest.approx(10.0 * abs(other - way), abs=1e-6)


def test_an_edge_let_in_steps_by_the_sine_of_the_lean():
    piece = back()
    wedge = made(piece, *leaning(30.0), 12.0).wedge
    step = step_of(piece.outline(""), wedge, "back")

    assert abs(step.out) == pytest.approx(wedge.width * 0.5, abs=1e-6)
    assert step.over == pytest.approx(10.0 * wedge.width * 0.5, abs=1e-6)


def test_named_places_reach_the_amount_and_tell_the_step():
    """The line leans by atan(340 / 240), 55 degrees, and down; so the lower leg is the shorter one."""
    piece = back(outline((0, 0), (240, 0), (240, 600), (0, 600)))
    values = dict(edge="centre", hinge="side", at="200mm", hinge_at="540mm")
    outcome = wedge_operation(Pattern((piece,)), amount=-12.0, **values)
    codes = [f.code for f in outcome.report.findings]

    assert edge_ruler(outcome.pattern.piece("back").outline(""), "centre") == pytest.approx(588.0, abs=ASKED)
    assert codes.count("edge-steps") == 1 and "not-as-asked" not in codes


def findings(piece, done, code):
    return [f for f in wedge_findings(piece, done, "back") if f.code == code]


@pytest.mark.parametrize(("lean", "amount", "way"), [(30.0, -12.0, "in"), (-30.0, -12.0, "out")])
def test_the_step_is_told(lean, amount, way):
    piece = back()
    done = made(piece, *leaning(lean), amount)
    step = step_of(piece.outline(""), done.wedge, "back")
    (told,) = findings(piece, done, "edge-steps")

    assert told.level == Level.INFO and "'centre' steps {} by".format(way) in told.text
    assert "{:.1f} mm".format(abs(step.out)) in told.text and "{:.0f} mm".format(step.over) in told.text
    assert not findings(piece, done, "not-as-asked")


def test_less_than_a_millimetre_is_not_told():
    piece = back()
    assert not findings(piece, made(piece, *leaning(0.0), -12.0), "edge-steps")


def test_a_step_near_the_end_is_drawn_on_both_sides():
    """10 mm are left under the waist; the rest of ten times the step is taken below the wedge."""
    piece = back(outline((0, 0), (200, 0), (200, 400), (0, 400)))
    done = made(piece, (0.0, 10.0), (200.0, 110.0), -12.0)
    wedge = done.wedge
    legs = math.hypot(200.0, 100.0), math.hypot(200.0, 100.0 - wedge.width)
    (told,) = findings(piece, done, "edge-steps")

    assert told.level == Level.INFO
    assert step_of(piece.outline(""), wedge, "back").over == pytest.approx(
        10.0 * (legs[0] - legs[1]), abs=1e-6
    )
    assert scipy_length(done.outline, "centre") == pytest.approx(400.0 - 12.0, abs=ASKED)
    assert np.abs(turns(done.outline.edge_path("centre"))).max() < 1e-3


def test_a_step_without_room_is_a_warning():
    """A centre of 50 mm: what the wedge leaves of it is all there is to draw the step on."""
    piece = back(outline((0, 0), (200, 0), (200, 150), (60, 150), (0, 50)), "waist side hem slope centre")
    done = made(piece, (0.0, 10.0), (200.0, 110.0), -12.0)
    (told,) = findings(piece, done, "edge-steps")

    assert told.level == Level.WARN and "over {:.0f} mm".format(50.0 - done.wedge.width) in told.text
    assert scipy_length(done.outline, "centre") == pytest.approx(50.0 - 12.0, abs=ASKED)


# -- refused -----------------------------------------------------------------------------------


def refused(piece, opening, hinge, amount, **more):
    with pytest.raises(InputError) as told:
        made(piece, opening, hinge, amount, **more)
    assert told.value.what.endswith(".") and told.value.what.count(". ") == 0
    assert told.value.cure.endswith(".")
    return told.value.code, str(told.value)


TALL = outline((0, 0), (200, 0), (200, 1000), (0, 1000))


@pytest.mark.parametrize("amount", [-8.0, 8.0])
def test_a_line_that_leans_too_far_is_refused(amount):
    for degrees in (MOST_LEAN + 1.0, MOST_LEAN + 20.0):
        far = (200.0, 300.0 + 200.0 * math.tan(math.radians(degrees))) if degrees < 75 else (80.0, 0.0)
        code, text = refused(back(TALL), (0.0, 300.0), far, amount)
        assert code == "aslant" and "centre" in text and "60" in text and "straight across" in text
    near = (200.0, 300.0 + 200.0 * math.tan(math.radians(MOST_LEAN - 1.0)))
    new = made(back(TALL), (0.0, 300.0), near, amount).outline
    assert scipy_length(new, "centre") == pytest.approx(1000.0 + amount, abs=ASKED)


def test_where_too_little_of_the_edge_lies_beyond():
    """At 45 degrees about 24 mm would have to go for 12, and 20 lie beyond."""
    piece = back(outline((0, 0), (200, 0), (200, 400), (0, 400)))
    code, text = refused(piece, (0.0, 380.0), (200.0, 180.0), -12.0)

    assert code == "aslant" and "45" in text and "-12" in text and "ask for less" in text
