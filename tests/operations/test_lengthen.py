"""Lengthen and shorten, judged by closed forms and SciPy; written without reading the code.

Sources beside each check: "standards" and "job" are the trade's rules as our papers quote
them; "closed form" is worked here.
"""

import math
import pathlib
import re

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move, scale, turn
from sewkit.operations.blend import blend
from sewkit.operations.lengthen import lengthen
from sewkit.pattern.chosen import Chosen, PickedNode
from sewkit.pattern.mark import DART, DRILL, FOLD, GRAIN, INNER, LABEL, LENGTHEN, LEVEL, NOTCH, OVERLAY, Mark
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.geometry.shapes import R1
from tests.operations.length_pieces import (
    INVARIANT,
    PLAIN_FRONT,
    RIGID,
    TABLE,
    back,
    bare_path,
    bare_with,
    between,
    block,
    bodice,
    cap,
    coat,
    darted_front,
    drill,
    drills,
    edge_ruler,
    edges_table,
    front,
    grain_line,
    inner,
    integrated,
    label,
    lengthen_line,
    level_line,
    moved_by,
    nest,
    one,
    outline,
    picked,
    ruler,
    same,
    shape,
    shapely,
    skirt,
    straight,
    tall,
    tangent_at_end,
    tangent_at_start,
    texts,
    undone,
)
from tests.operations.pieces import dense, moved, named, named_outline, notch, r4_piece

hypothesis = pytest.importorskip("hypothesis")
st = pytest.importorskip("hypothesis.strategies")


def alone(piece):
    return Pattern((piece,))


def by_line(piece):
    """The same piece with its level "cut" as a lengthen line of that name."""
    return piece._replace(
        marks=tuple(m._replace(kind=LENGTHEN) if m.name == "cut" else m for m in piece.marks)
    )


def made(outcome, name, size=""):
    return outcome.pattern.piece(name).outline(size)


def corner(line, before, after):
    """Where one edge ends and the next begins, which must be one point to the last bit."""
    end, start = line.runs(before)[-1].end, line.runs(after)[0].start
    assert np.array_equal(end, start)
    return end


def far(first, second):
    """The Hausdorff distance of two paths by Shapely."""
    a, b = (shapely.LineString(dense(p, 200)) for p in (first, second))
    return a.hausdorff_distance(b)


# -- R1 and R2, the reference ---------------------------------------------------------------


@pytest.mark.parametrize(("amount", "side_front", "side_back"), [(25.0, 215.455, 220.907)])
def test_front_and_back_come_out_as_the_papers_say(amount, side_front, side_back):
    """Job J11: R1 faired 215.455 (strip 215.515), R2 220.907 (strip 221.023)."""
    assert side_front == pytest.approx(math.hypot(14, 190 + amount), abs=0.0005)
    assert side_back == pytest.approx(math.hypot(20, 195 + amount), abs=0.0005)

    after = lengthen(bodice(), amount=amount, at="cut")

    assert edge_ruler(made(after, "front"), "side") == pytest.approx(math.hypot(14, 190 + amount), abs=TABLE)
    assert edge_ruler(made(after, "back"), "side") == pytest.approx(math.hypot(20, 195 + amount), abs=TABLE)
    # Standards 5.1: exactly x more on CF and CB.
    assert edge_ruler(made(after, "front"), "centre") == pytest.approx(340 + amount, abs=1e-6)
    assert edge_ruler(made(after, "back"), "centre") == pytest.approx(405 + amount, abs=1e-6)


@pytest.mark.parametrize("amount", [25.0, -12.0, 3.175, 60.0])
def test_what_lies_before_stays_and_what_lies_beyond_moves_rigidly(amount):
    before = bodice()
    after = lengthen(before, amount=amount, at="cut")

    for name in ("front", "back"):
        old, new = before.piece(name).outline(""), made(after, name)
        for edge in ("neck", "shoulder", "armhole"):
            assert same(old.edge_path(edge), new.edge_path(edge)), (name, edge)
        assert moved_by(old.edge_path("waist"), new.edge_path("waist"), 0.0, amount)
        assert [(e.name, e.start, e.stop) for e in new.edges] == [
            (e.name, e.start, e.stop) for e in old.edges
        ], "no edge gains nodes without need"
        for edge in ("side", "centre"):
            assert straight(new.edge_path(edge)) <= RIGID
        assert np.array_equal(new.path.curves[1:, 0], new.path.curves[:-1, 3])
        assert np.array_equal(new.path.curves[0, 0], new.path.curves[-1, 3])


def test_area_grows_by_amount_times_width_at_the_line():
    """Standards 5.1; exact where the sides at the line are parallel to the grain (closed form)."""
    piece = block()._replace(marks=(level_line("cut", 300.0), grain_line()))
    after = lengthen(alone(piece), amount=40.0, at="cut")

    assert shape(made(after, "panel").path).area == pytest.approx(250 * 640.0, abs=1e-4)


def test_the_step_of_a_slanting_side_is_blended():
    """Standards 5.1 and 13.17: 4 cm at 6 degrees leave a step of x tan b = 4.204 mm; no trace of it stays."""
    slant = math.tan(math.radians(6.0))
    path = outline((0, 0), (200, 0), (200 + 500 * slant, 500), (0, 500))
    piece = named(path, "waist side hem centre", marks=(level_line("cut", 250.0), grain_line()))
    side = made(lengthen(alone(piece), amount=40.0, at="cut"), "front").edge_path("side")

    assert 40.0 * slant == pytest.approx(4.204, abs=0.0005)
    assert len(side) == 1 and straight(side) <= RIGID
    assert np.allclose(side.end, (200 + 500 * slant, 540), atol=RIGID)


def test_the_master_value_is_unchanged():
    before = bodice()
    lengthen(before, amount=25.0, at="cut")

    assert before == bodice()


def test_same_size_and_key_in_place():
    before = bodice()
    after = lengthen(before, amount=25.0, at="cut").pattern

    for name in ("front", "back"):
        assert after.piece(name).sizes == before.piece(name).sizes
        assert [o.key for o in after.piece(name).outlines] == [o.key for o in before.piece(name).outlines]
    assert after.seams == before.seams


def test_twice_the_same_gives_the_same():
    assert lengthen(bodice(), amount=25.0, at="cut") == lengthen(bodice(), amount=25.0, at="cut")


def test_nothing_changes_nothing():
    before = bodice()
    after = lengthen(before, amount=0.0, at="cut").pattern

    for name in ("front", "back"):
        assert same(before.piece(name).outline("").path, after.piece(name).outline("").path)


# -- with darts ----------------------------------------------------------------------------


def test_a_dart_before_the_line_stays_exactly():
    """R1 with its dart, line below it: the lower run of the side goes straight from D2 to W1 + L."""
    before = alone(darted_front(360.0))
    after = made(lengthen(before, amount=25.0, at="cut"), "front")
    old = before.piece("front").outline("")

    for a, b in zip(old.runs("dart"), after.runs("dart")):
        assert same(a, b)
    assert same(old.runs("side")[0], after.runs("side")[0])
    wanted = math.hypot(4.042, 54.851) + math.hypot(30.977, 131.927 + 25.0)
    assert edge_ruler(after, "side") == pytest.approx(wanted, abs=1e-6)
    assert moved_by(old.edge_path("waist"), after.edge_path("waist"), 0.0, 25.0)
    assert edge_ruler(after, "centre") == pytest.approx(360.149 + 25.0, abs=1e-6)


def test_a_dart_beyond_the_line_moves_rigidly():
    before = alone(darted_front(245.0))
    after = made(lengthen(before, amount=12.0, at="cut"), "front")
    old = before.piece("front").outline("")

    for a, b in zip(old.runs("dart"), after.runs("dart")):
        assert moved_by(a, b, 0.0, 12.0)
    assert moved_by(old.runs("side")[1], after.runs("side")[1], 0.0, 12.0)
    assert after.runs("side")[0].start == pytest.approx((250, 230), abs=RIGID)
    assert ruler(after.runs("side")[0]) == pytest.approx(math.hypot(4.042, 54.851 + 12), abs=1e-6)


@pytest.mark.parametrize("amount", [20.0, -6.0])
def test_a_dart_the_line_crosses_keeps_its_point_and_its_angle(amount):
    """Job L6, J11: a dart is an angle at a point; the legs are drawn anew, equal to 0.3 mm (J25)."""
    before = alone(darted_front(275.0))
    after = made(lengthen(before, amount=amount, at="cut"), "front")
    first, second = after.runs("dart") if len(after.runs("dart")) == 2 else _legs(after)
    was = before.piece("front").outline("").runs("dart")
    was = was if len(was) == 2 else _legs(before.piece("front").outline(""))

    assert straight(first) <= RIGID and straight(second) <= RIGID
    point = first.end
    assert np.allclose(point, (95.0, 265.0), atol=RIGID) or np.allclose(
        point, (95.0, 265.0 + amount), atol=RIGID
    )
    assert np.array_equal(first.end, second.start)
    opened = abs(between(first.start - point, second.end - point))
    meant = abs(between(was[0].start - was[0].end, was[1].end - was[0].end))
    assert meant == pytest.approx(9.0, abs=0.001)
    assert opened == pytest.approx(meant, abs=TABLE)
    for run in after.runs("side"):
        assert straight(run) <= RIGID
    assert moved_by(
        before.piece("front").outline("").edge_path("waist"), after.edge_path("waist"), 0.0, amount
    )


def _legs(line):
    (run,) = line.runs("dart")
    assert len(run) == 2
    return run.part(0, 1), run.part(1, 2)


def waist_dart(point=100.0, half=10.0):
    """A skirt block with a waist dart square to the waist: mouth 90..110, point at (100, point)."""
    path = Path.through(
        [(0, 0), (100 - half, 0), (100, point), (100 + half, 0), (200, 0), (200, 600), (0, 600)], closed=True
    )
    marks = (level_line("cut", 60.0), grain_line(150.0, 150.0, 550.0))
    return named(path, "waist dart dart waist side hem centre", "skirt", darts=("dart",), marks=marks)


@pytest.mark.parametrize(("amount", "width"), [(20.0, 24.0), (-30.0, 14.0)])
def test_a_waist_dart_grows_wider_as_its_point_goes_down(amount, width):
    """Closed form: half width 10 on 100 is 12 on 120; the same angle, legs equal."""
    before = alone(waist_dart())
    outcome = lengthen(before, amount=amount, at="cut")
    after = made(outcome, "skirt")
    first, second = after.runs("dart") if len(after.runs("dart")) == 2 else _legs(after)

    assert first.start == pytest.approx((100 - width / 2, 0.0), abs=1e-6)
    assert second.end == pytest.approx((100 + width / 2, 0.0), abs=1e-6)
    assert first.end == pytest.approx((100.0, 100.0 + amount), abs=1e-9)
    assert ruler(first) == pytest.approx(ruler(second), abs=1e-6)
    assert edge_ruler(after, "waist") == pytest.approx(200.0 - width, abs=1e-6)
    told = texts(outcome)
    assert "20" in told and "{:g}".format(width) in told and "dart" in told
    (finding,) = [f.text for f in outcome.report.findings if f.code == "dart-width"]
    assert "'waist' is {:.1f} mm".format(abs(width - 20)) in finding and "dart-change" in finding


def test_drawn_dart_legs_keep_point_and_angle():
    """The dart only drawn inside: a mark, its point below the line."""
    legs = Mark(DART, "", "", Path.through([(90, 0), (100, 100), (110, 0)]))
    piece = block(200.0)._replace(marks=(level_line("cut", 60.0), grain_line(150.0), legs))
    after = one(lengthen(alone(piece), amount=20.0, at="cut").pattern.piece("panel"), DART).path

    point = after.curves[0, 3]
    assert point == pytest.approx((100.0, 120.0), abs=1e-6)
    angle = abs(between(after.start - point, after.end - point))
    assert angle == pytest.approx(2 * math.degrees(math.atan(0.1)), abs=TABLE)
    assert after.start[1] == pytest.approx(0.0, abs=1e-6) and after.end[1] == pytest.approx(0.0, abs=1e-6)


# -- curves --------------------------------------------------------------------------------


@pytest.mark.parametrize("amount", [20.0, -15.0])
@pytest.mark.parametrize("line", [60.0, 100.0, 140.0])
def test_a_curve_is_redrawn_between_its_landmarks_only(line, amount):
    """The skirt's side is a curve to the hip (200) and straight on; only the curve is redrawn."""
    before = alone(by_line(skirt(line=line)))
    after = made(lengthen(before, amount=amount, at="cut"), "skirt")
    old = before.piece("skirt").outline("")
    side, was = after.edge_path("side"), old.edge_path("side")

    assert len(side) == len(was)
    assert np.allclose(side.start, was.start, atol=RIGID)
    assert moved_by(was.part(1, 2), side.part(1, 2), 0.0, amount)
    assert moved_by(old.edge_path("hem"), after.edge_path("hem"), 0.0, amount)
    assert same(old.edge_path("waist"), after.edge_path("waist"))
    for tangent in (tangent_at_start, tangent_at_end):
        assert abs(between(tangent(was.part(0, 1)), tangent(side.part(0, 1)))) <= 1e-6
    x = dense(side.part(0, 1), 400)[:, 0]
    assert (np.diff(x) >= -1e-6).all() and x.max() <= 236 + 1e-6, "no new wiggle, no bulge past the hip"


def test_below_the_hip_the_hip_curve_is_not_touched():
    """Job J11: below the hip does not change where the hip curve sits; below it is a straight line."""
    before = alone(skirt(line=400.0))
    after = made(lengthen(before, amount=50.0, at="cut"), "skirt").edge_path("side")
    was = before.piece("skirt").outline("").edge_path("side")

    assert same(was.part(0, 1), after.part(0, 1))
    assert straight(after.part(1, 2)) <= RIGID
    assert ruler(after.part(1, 2)) == pytest.approx(math.hypot(4.0, 450.0), abs=1e-6)


def test_a_level_is_a_landmark():
    """A level that crosses the curve bounds what is redrawn: above "high" the curve is as it was."""
    piece = by_line(skirt(line=140.0))
    piece = piece._replace(marks=piece.marks + (level_line("high", 80.0),))
    before = alone(piece)
    after = made(lengthen(before, amount=20.0, at="cut"), "skirt").edge_path("side")
    was = before.piece("skirt").outline("").edge_path("side")

    old, new = (shapely.LineString(dense(p, 3000)) for p in (was, after))
    above = shapely.box(-1000, -1000, 1000, 79.99)
    assert new.intersection(above).hausdorff_distance(old.intersection(above)) <= 0.01
    assert len(after) <= len(was) + 1, "one node at the level, no more"


def test_armhole_and_cap_change_alike():
    """Job J12, S7: armhole band + 6 on front and back gives + 12; the cap grows by its own shape."""
    front_piece, back_piece = by_line(front(130.0)), by_line(back(130.0))
    before = Pattern((front_piece, back_piece, by_line(cap())))
    after = lengthen(before, amount=6.0, at="cut")

    def armholes(pattern):
        return sum(edge_ruler(pattern.piece(name).outline(""), "armhole") for name in ("front", "back"))

    def caps(pattern):
        return sum(
            edge_ruler(pattern.piece("sleeve").outline(""), name) for name in ("cap-front", "cap-back")
        )

    # Appendix A4: 228.174 + 213.494, and 454.474.
    assert armholes(before) == pytest.approx(441.668, abs=0.02)
    assert caps(before) == pytest.approx(454.474, abs=0.02)
    assert armholes(after.pattern) - armholes(before) == pytest.approx(12.0, abs=2.0)
    # A4 changes a cap's height by scaling it along the grain (477.823 at 140, 466.67 at 131.835: 1.37 mm
    # of cap for 1 mm of height); the ends' directions, kept here, make tenths of it.
    taller = scale(1.0, 146.0 / 140.0).path(cap().outline("").path.part(0, 4))
    assert caps(after.pattern) == pytest.approx(ruler(taller), abs=0.5)
    for name in ("front", "back"):
        was = before.piece(name).outline("").edge_path("armhole")
        new = made(after, name).edge_path("armhole")
        assert len(new) == len(was)
        assert abs(between(tangent_at_start(was), tangent_at_start(new))) <= 1e-6
        assert abs(between(tangent_at_end(was), tangent_at_end(new))) <= 1e-6
    assert moved_by(
        before.piece("sleeve").outline("").edge_path("wrist"),
        made(after, "sleeve").edge_path("wrist"),
        0.0,
        6.0,
    )


# -- twice, and there and back -------------------------------------------------------------

CASES = {
    "plain": lambda: alone(front(330.0)),
    "dart": lambda: alone(darted_front(360.0)),
    "hip curve": lambda: alone(by_line(skirt(line=100.0))),
    "armhole": lambda: alone(by_line(back(130.0))),
    "cap": lambda: alone(by_line(cap())),
}


@pytest.mark.parametrize("case", sorted(CASES))
@pytest.mark.parametrize(("first", "second"), [(10.0, 15.0), (20.0, -8.0), (-5.0, -7.0)])
def test_two_lengthenings_equal_one_of_the_sum(case, first, second):
    before = CASES[case]()
    (name,) = (piece.name for piece in before.pieces)
    once = lengthen(before, amount=first + second, at="cut")
    twice = lengthen(lengthen(before, amount=first, at="cut").pattern, amount=second, at="cut")

    assert far(made(once, name).path, made(twice, name).path) <= TABLE
    for edge in made(once, name).names:
        assert edge_ruler(made(once, name), edge) == pytest.approx(
            edge_ruler(made(twice, name), edge), abs=TABLE
        )


@pytest.mark.parametrize("case", sorted(CASES))
@pytest.mark.parametrize("amount", [20.0, -8.0])
def test_there_and_back_is_the_identity(case, amount):
    before = CASES[case]()
    (piece,) = before.pieces
    there = lengthen(before, amount=amount, at="cut").pattern
    again = lengthen(there, amount=-amount, at="cut").pattern.piece(piece.name)

    old, new = piece.outline("").path, again.outline("").path
    assert len(old) == len(new)
    assert np.abs(old.curves - new.curves).max() <= TABLE
    for a, b in zip(piece.marks, again.marks):
        assert np.abs(a.path.curves - b.path.curves).max() <= TABLE, a


def test_order_with_a_blend_commutes():
    """Issue: to 0.3 mm.  The blend swings above the hips (200), the length comes in at 400."""
    pattern = Pattern(
        (_with_cut(r4_piece("front")), _with_cut(r4_piece("back"))), parse_seams("side=back/side", "front")
    )
    ask = {"first": "4", "then": "6", "edge": "side", "until": "hips", "lead": 50.0}

    one_way = lengthen(blend(pattern, **ask).pattern, amount=30.0, at="cut").pattern
    other = blend(lengthen(pattern, amount=30.0, at="cut").pattern, **ask).pattern

    for name in ("front", "back"):
        a, b = (p.piece(name).outline("4-to-6").path for p in (one_way, other))
        assert far(a, b) <= 0.3
        x = dense(a, 20)[:, 1].max()
        assert x == pytest.approx(630.0, abs=1e-6), "the new size was lengthened too"


def _with_cut(piece):
    return piece._replace(marks=piece.marks + (level_line("cut", 400.0),))


@pytest.mark.parametrize("case", ["bust", "waist"])
def test_a_crossed_dart_too(case):
    """Two equal one of the sum, and there and back is the identity, where a dart is crossed."""
    piece = by_line(darted_front(275.0) if case == "bust" else waist_dart())
    before = alone(piece)
    there = lengthen(before, amount=10.0, at="cut").pattern
    twice = lengthen(there, amount=15.0, at="cut")
    once = lengthen(before, amount=25.0, at="cut")
    again = lengthen(there, amount=-10.0, at="cut")

    assert far(made(once, piece.name).path, made(twice, piece.name).path) <= TABLE
    old, new = piece.outline("").path, made(again, piece.name).path
    assert np.abs(old.curves - new.curves).max() <= TABLE


def test_two_lines_at_once_are_one_after_the_other():
    piece = tall(200.0, lines_at=(("two", 600.0),))
    at_once = lengthen(alone(piece), amount=30.0, at="one two", each={"one": 20.0, "two": 10.0})
    first = lengthen(alone(piece), amount=20.0, at="one").pattern
    then = lengthen(first, amount=10.0, at="two")

    assert np.abs(made(at_once, "strip").path.curves - made(then, "strip").path.curves).max() <= TABLE
    for a, b in zip(at_once.pattern.piece("strip").marks, then.pattern.piece("strip").marks):
        assert np.abs(a.path.curves - b.path.curves).max() <= TABLE


# -- who follows ---------------------------------------------------------------------------


def test_all_pieces_that_cross_follow():
    """Job L2 and appendix C: front, back, facing and lining in one go; a pocket above the line stays."""
    facing = named(outline((0, 80), (50, 80), (50, 420), (0, 420)), "top inside waist centre", "facing")
    facing = facing._replace(marks=(level_line("cut", 330.0), grain_line(25.0)))
    lining = named(PLAIN_FRONT, BODICE, "lining")._replace(marks=(level_line("cut", 330.0), grain_line()))
    pocket = named(outline((300, 0), (380, 0), (380, 90), (300, 90)), "a b c d", "pocket")
    pattern = bodice()
    pattern = pattern._replace(
        pieces=pattern.pieces + (facing, lining, pocket),
        seams=pattern.seams + parse_seams("side=front/side", "lining"),
    )

    outcome = lengthen(pattern, amount=20.0, at="cut")

    for name, edge in (("front", "centre"), ("back", "centre"), ("facing", "centre"), ("lining", "centre")):
        was = edge_ruler(pattern.piece(name).outline(""), edge)
        assert edge_ruler(made(outcome, name), edge) == pytest.approx(was + 20.0, abs=1e-6), name
    assert outcome.pattern.piece("pocket") == pocket
    assert not any(f.level >= Level.FAIL for f in outcome.report.findings if "lining" in f.where)


BODICE = "neck shoulder armhole side waist centre"


def test_a_picked_piece_takes_its_partners_with_it():
    outcome = lengthen(bodice(), picked(("front", "")), amount=20.0, at="cut", follow=True)

    for name, long in (("front", 340.0), ("back", 405.0)):
        assert edge_ruler(made(outcome, name), "centre") == pytest.approx(long + 20.0, abs=1e-6)


def test_alone_is_told_in_red():
    """Drill D3: front lengthened alone by 20: red guard, side seam 20.0 longer than back."""
    equal = Pattern(
        (
            front(),
            named(PLAIN_FRONT, BODICE, "back")._replace(marks=(level_line("cut", 330.0), grain_line())),
        ),
        parse_seams("side=back/side", "front"),
    )
    outcome = lengthen(equal, picked(("front", "")), amount=20.0, at="cut", follow=False)

    assert outcome.pattern.piece("back") == equal.piece("back")
    (seam,) = [f for f in outcome.report.findings if f.code == "seam"]
    assert seam.level == Level.FAIL
    # sqrt(14^2 + 210^2) - sqrt(14^2 + 190^2) = 19.95: what the cloth does, not the strip.
    grown = math.hypot(14, 210) - math.hypot(14, 190)
    assert "{:.1f} mm longer".format(grown) in seam.text or "{:.2f} mm longer".format(grown) in seam.text


def test_a_partner_without_the_level_follows_through_the_seam():
    """The lining has no level: its side is sewn to the front's and is cut at the same distance."""
    lining = named(PLAIN_FRONT, BODICE, "lining")._replace(marks=(grain_line(),))
    pattern = Pattern((front(), lining), parse_seams("side=front/side", "lining"))
    after = lengthen(pattern, picked(("front", "")), amount=20.0, at="cut")

    assert edge_ruler(made(after, "lining"), "side") == pytest.approx(math.hypot(14, 210), abs=TABLE)
    assert edge_ruler(made(after, "lining"), "centre") == pytest.approx(360.0, abs=1e-6)


def test_a_piece_that_lies_head_down_follows():
    """Turned by half a turn on the sheet, the same piece comes out with the same shape."""
    frame = turn(180.0).then(move(900.0, 700.0))
    down = moved(alone(named(PLAIN_FRONT, BODICE, "lining")._replace(marks=front().marks)), frame).pieces[0]
    pattern = Pattern((front(), down), parse_seams("side=front/side", "lining"))
    after = lengthen(pattern, picked(("front", "")), amount=20.0, at="cut")

    up, turned = made(after, "front"), made(after, "lining")
    for edge in up.names:
        assert edge_ruler(up, edge) == pytest.approx(edge_ruler(turned, edge), abs=1e-6), edge
    assert shape(up.path).area == pytest.approx(shape(turned.path).area, abs=1e-3)


def test_a_piece_nothing_is_known_of_is_left_and_told():
    lone = named(outline((0, 500), (80, 500), (80, 900), (0, 900)), "a b c d", "belt")
    pattern = Pattern((front(), back(), lone), parse_seams("side=back/side", "front"))
    outcome = lengthen(pattern, amount=20.0, at="cut")

    assert outcome.pattern.piece("belt") == lone
    assert "belt" in texts(outcome)


def test_seams_are_walked_again_and_told():
    """R1 and R2: the pair drifts by (215.455 - 190.515) - (220.907 - 196.023) = 0.056 mm more."""
    outcome = lengthen(bodice(), amount=25.0, at="cut")
    table = next(t for t in outcome.report.tables if "eams" in t.title)
    row = next(r for r in table.rows if "side" in r[0])
    numbers = [float(n) for n in re.findall(r"-?\d+\.\d+", " ".join(row[1:3]))]

    assert numbers == pytest.approx(
        [math.hypot(14, 190), math.hypot(20, 195), math.hypot(14, 215), math.hypot(20, 220)], abs=0.051
    )


# -- marks ---------------------------------------------------------------------------------


def marked():
    square = Path.through([(120, 150), (150, 150), (150, 180), (120, 180)], closed=True)
    fold = Path.through([(30, 150), (2, 150), (2, 350), (30, 350)])
    own = (
        notch("side", 50.0, name="1"),
        notch("side", 150.0, name="2"),
        notch("side", 60.0, True, name="3"),
        drill(100.0, 200.0, "above"),
        drill(100.0, 380.0, "below"),
        label(120.0, 390.0),
        Mark(INNER, "box", "", square),
        Mark(INNER, "crossing", "", Path.through([(180, 250), (150, 400)])),
        Mark(INNER, "hem-line", "", Path.through([(0, 410), (230, 410)])),
        Mark(FOLD, "", "", fold),
        level_line("chest", 230.0),
        level_line("waist", 420.0),
    )
    return alone(front(marks=own))


def test_marks_go_with_their_side_of_the_line():
    before = marked()
    after = lengthen(before, amount=25.0, at="cut").pattern.piece("front")
    old = before.piece("front")

    def gone(kind, name):
        a, b = one(old, kind, name), one(after, kind, name)
        assert a.path.curves.shape == b.path.curves.shape
        return b.path.curves - a.path.curves

    for kind, name in ((DRILL, "above"), (INNER, "box"), (LEVEL, "chest")):
        assert np.array_equal(gone(kind, name), np.zeros_like(gone(kind, name))), name
    for kind, name in ((DRILL, "below"), (INNER, "hem-line"), (LEVEL, "waist"), (LABEL, "")):
        assert np.abs(gone(kind, name) - (0.0, 25.0)).max() <= RIGID, name
    crossing = one(after, INNER, "crossing").path
    assert straight(crossing) <= RIGID
    assert crossing.start == pytest.approx((180, 250)) and crossing.end == pytest.approx((150, 425))


def test_grain_and_fold_stay_straight_and_reach_over_the_change():
    """Job L3: the grain keeps its direction; standards 5.1: in one straight line."""
    after = lengthen(marked(), amount=25.0, at="cut").pattern.piece("front")
    line = one(after, GRAIN).path
    fold = one(after, FOLD).path

    assert line.start == pytest.approx((60, 100), abs=RIGID) and line.end == pytest.approx(
        (60, 425), abs=RIGID
    )
    assert straight(line) <= RIGID
    assert fold.nodes == pytest.approx(np.array([(30, 150), (2, 150), (2, 375), (30, 375)]), abs=RIGID)
    assert straight(after.outline("").edge_path("centre")) <= RIGID
    assert np.abs(after.outline("").edge_path("centre").curves[..., 0]).max() == 0.0


def test_notches_keep_their_distance_from_their_own_end():
    """The line crosses the side at y = 330, 100.27 mm down; each notch stays with its part.

    Notch 1 at 50 counts from above and keeps 50; notch 2 at 150 lies beyond: its distance from
    the lower end, 190.515 - 150 = 40.515, is kept; notch 3, 60 from the end, keeps 60.
    """
    after = lengthen(marked(), amount=25.0, at="cut").pattern.piece("front")
    side = after.outline("").edge_path("side")
    whole = shapely.LineString([side.start, side.end])
    length = math.hypot(14, 215)

    for name, wanted in (("1", 50.0), ("2", length - (math.hypot(14, 190) - 150.0)), ("3", length - 60.0)):
        mark = one(after, NOTCH, name)
        on = length - mark.on.distance if mark.on.from_end else mark.on.distance
        assert on == pytest.approx(wanted, abs=0.1), name
        foot = mark.path.end if whole.distance(shapely.Point(mark.path.end)) < 0.01 else mark.path.start
        assert whole.distance(shapely.Point(foot)) < 0.01, "the tick is drawn on the new seam line"
        assert whole.project(shapely.Point(foot)) == pytest.approx(on, abs=0.02)


def test_notches_of_partners_still_meet():
    """Job J27: notch pairs to 1 mm; both sides gain in the same place."""
    front_piece = front(marks=(notch("side", 50.0, name="1"), notch("side", 150.0, name="2")))
    back_piece = named(PLAIN_FRONT, BODICE, "back")._replace(
        marks=(
            level_line("cut", 330.0),
            grain_line(),
            notch("side", 50.0, name="1"),
            notch("side", 150.0, name="2"),
        )
    )
    pattern = Pattern((front_piece, back_piece), parse_seams("side=back/side", "front"))
    outcome = lengthen(pattern, amount=25.0, at="cut")

    assert not any("notch" in f.text for f in outcome.report.findings if f.level >= Level.WARN)


# -- buttons -------------------------------------------------------------------------------


def test_buttons_are_spaced_anew():
    """Job S7: top button at 30, waist button 400 -> 430, five spaces 74 -> 80.0; x stays."""
    after = lengthen(alone(coat()), amount=30.0, at="bodice").pattern.piece("coat")
    rows = sorted(drills(after), key=lambda p: p[1])

    assert [y for _, y in rows] == pytest.approx([30.0 + 80.0 * k for k in range(6)], abs=0.1)
    assert [x for x, _ in rows] == pytest.approx([10.0] * 6, abs=RIGID)
    sizes = [np.ptp(m.path.nodes, axis=0) for m in after.marks if m.kind == DRILL]
    assert np.allclose(sizes, 4.0, atol=RIGID), "the holes keep their shape"


def test_the_last_of_a_whole_row_comes_to_670():
    """Job S7: 'last at 30 + 8 * 80 = 670': with three more buttons below the waist, eight spaces."""
    piece = coat(buttons=False)
    row = tuple(drill(10.0, 30.0 + 74.0 * k) for k in range(9))
    piece = piece._replace(marks=piece.marks + row)
    # The last lies at 622; to keep eight equal spaces of 80 it must come to 670 = 622 + 48.
    outcome = lengthen(alone(piece), amount=48.0, at="bodice")
    rows = sorted(y for _, y in drills(outcome.pattern.piece("coat")))

    assert rows == pytest.approx([30.0 + 80.0 * k for k in range(9)], abs=0.1)
    assert "button" in texts(outcome) or "hole" in texts(outcome)


def test_buttons_can_be_left_with_their_part():
    after = lengthen(alone(coat()), amount=30.0, at="bodice", buttons=False).pattern.piece("coat")
    rows = sorted(y for _, y in drills(after))

    # Those at 30, 104, 178 lie before the line at 200.
    assert rows == pytest.approx([30.0, 104.0, 178.0, 282.0, 356.0, 430.0], abs=RIGID)


def test_holes_that_are_no_row_go_with_their_part():
    piece = coat(buttons=False)
    piece = piece._replace(marks=piece.marks + tuple(drill(50.0, y) for y in (100.0, 260.0, 500.0)))
    after = lengthen(alone(piece), amount=30.0, at="bodice").pattern.piece("coat")

    assert sorted(y for _, y in drills(after)) == pytest.approx([100.0, 290.0, 530.0], abs=RIGID)


# -- how much: shares, levels, height ------------------------------------------------------


def height(outcome, name="coat"):
    line = made(outcome, name)
    y = dense(line.path, 20)[:, 1]
    return float(y.max() - y.min())


def places(outcome, name):
    piece = outcome.pattern.piece(name)
    return {m.name: float(m.middle[1]) for m in piece.marks if m.kind in (LEVEL, LENGTHEN) and m.name}


@pytest.mark.parametrize("share", ["bands", "even"])
@pytest.mark.parametrize("amount", [50.0, -33.3, 100.0 / 3.0])
def test_shares_sum_exactly(share, amount):
    piece = tall(200.0, lines_at=(("two", 400.0), ("three", 900.0)))
    outcome = lengthen(alone(piece), amount=amount, at="one two three", share=share)

    assert height(outcome, "strip") == pytest.approx(1000.0 + amount, abs=1e-9)


def test_even_shares_are_even():
    piece = tall(200.0, lines_at=(("two", 400.0), ("three", 900.0)))
    piece = piece._replace(marks=piece.marks + (level_line("a", 300.0), level_line("b", 600.0)))
    at = places(lengthen(alone(piece), amount=30.0, at="one two three", share="even"), "strip")

    assert (at["a"], at["b"]) == pytest.approx((310.0, 620.0), abs=1e-9)


def test_shares_by_bands_go_by_the_band_each_line_stands_for():
    """Contract: cut half way between neighbouring lines: bands 300, 350, 350 of 1000 -> 30, 35, 35 of 100."""
    piece = tall(200.0, lines_at=(("two", 400.0), ("three", 900.0)))
    piece = piece._replace(marks=piece.marks + (level_line("a", 300.0), level_line("b", 600.0)))
    at = places(lengthen(alone(piece), amount=100.0, at="one two three", share="bands"), "strip")

    # Borders lie at 300 and 650.
    assert (at["a"], at["b"]) == pytest.approx((330.0, 665.0), abs=1e-6)


def test_each_line_its_own():
    piece = tall(200.0, lines_at=(("two", 400.0), ("three", 900.0)))
    piece = piece._replace(marks=piece.marks + (level_line("a", 300.0), level_line("b", 600.0)))
    outcome = lengthen(alone(piece), amount=50.0, at="one two three", each={"one": 12.0, "two": -4.0})

    at = places(outcome, "strip")
    assert (at["a"], at["b"]) == pytest.approx((312.0, 608.0), abs=1e-9)
    assert height(outcome, "strip") == pytest.approx(1050.0, abs=1e-9)


def test_each_that_does_not_sum_is_refused():
    piece = tall(200.0, lines_at=(("two", 400.0),))
    with pytest.raises(InputError) as told:
        lengthen(alone(piece), amount=50.0, at="one two", each={"one": 12.0, "two": 30.0})

    assert told.value.code == "sum"
    assert "42" in str(told.value) and "50" in str(told.value)


def test_a_line_named_twice_counts_once_or_is_refused():
    """Issue: sums exact.  Whatever is made of the slip, never another total than the one asked."""
    try:
        outcome = lengthen(alone(coat(buttons=False)), amount=10.0, at="waist waist")
    except InputError as told:
        assert "waist" in str(told)
    else:
        assert height(outcome) == pytest.approx(1110.0, abs=1e-9)


def test_a_measured_level_comes_out_as_measured():
    """From chest (150) to waist (400) are 250; measured 262.5, it is 262.5 and nothing else changes."""
    before = alone(coat())
    outcome = lengthen(before, measured={"chest/waist": 262.5})
    at, was = places(outcome, "coat"), {"chest": 150.0, "waist": 400.0, "hip": 600.0}

    assert at["waist"] - at["chest"] == pytest.approx(262.5, abs=1e-9)
    assert at["chest"] == pytest.approx(was["chest"], abs=1e-9)
    assert at["hip"] - at["waist"] == pytest.approx(200.0, abs=1e-9)
    assert height(outcome) == pytest.approx(1112.5, abs=1e-9)


def test_two_measured_levels():
    """Job S7: bust to waist + 3.0 cm, waist to hip + 1.5 cm: each band comes out as measured."""
    outcome = lengthen(alone(coat()), measured={"chest/waist": 280.0, "waist/hip": 215.0})
    at = places(outcome, "coat")

    assert at["waist"] - at["chest"] == pytest.approx(280.0, abs=1e-9)
    assert at["hip"] - at["waist"] == pytest.approx(215.0, abs=1e-9)
    assert height(outcome) == pytest.approx(1145.0, abs=1e-9)


def test_the_length_book_of_the_coat_sums_exactly():
    """Job S7: 0.6 + 3.0 + 1.5 + 6.7 = 11.8 cm on 110."""
    outcome = lengthen(
        alone(coat(buttons=False)),
        amount=118.0,
        at="chest-50 chest/waist waist/hip hip+200",
        each={"chest-50": 6.0, "chest/waist": 30.0, "waist/hip": 15.0, "hip+200": 67.0},
    )
    at = places(outcome, "coat")

    assert (at["chest"], at["waist"], at["hip"]) == pytest.approx((156.0, 436.0, 651.0), abs=1e-9)
    assert height(outcome) == pytest.approx(1218.0, abs=1e-9)


def test_height_in_proportion():
    """Job J12, S7: 110 cm x 186 / 168 = 121.786 cm."""
    outcome = lengthen(
        alone(coat(buttons=False)), at="chest/waist waist/hip hip+200", height=1860.0, drafted=1680.0
    )

    assert 1100.0 * 186.0 / 168.0 == pytest.approx(1217.857, abs=0.0005)
    assert height(outcome) == pytest.approx(1100.0 * 186.0 / 168.0, abs=1e-6)


@pytest.mark.parametrize(
    ("words", "y"),
    [
        ("waist", 400.0),
        ("chest/waist", 200.0),
        ("waist/hip", 500.0),
        ("waist+40", 440.0),
        ("waist-40", 360.0),
    ],
)
def test_places_in_words(words, y):
    """Contract: a/b is half way, but at the lengthen line if exactly one lies between (here at 200)."""
    after = lengthen(
        alone(
            coat(buttons=False)._replace(
                marks=coat(buttons=False).marks
                + (Mark(INNER, "ruler", "", Path.through([(20, v) for v in (0, y - 1, y + 1, 1000)])),)
            )
        ),
        amount=10.0,
        at=words,
    )
    at = places(after, "coat")

    for name, old in (("chest", 150.0), ("waist", 400.0), ("hip", 600.0)):
        wanted = old + (10.0 if old > y else 0.0)
        assert at[name] == pytest.approx(wanted, abs=RIGID), name


def test_the_only_lengthen_line_needs_no_words():
    after = lengthen(alone(coat(buttons=False)), amount=10.0)

    assert height(after) == pytest.approx(1110.0, abs=1e-9)
    assert places(after, "coat")["chest"] == pytest.approx(150.0)
    assert places(after, "coat")["waist"] == pytest.approx(410.0)


def test_a_pair_of_lengthen_lines_is_one_place():
    """A double lengthen line 6 mm apart: the piece is cut half way between (trade: cut between the lines)."""
    piece = block()._replace(
        marks=(grain_line(), lengthen_line(297.0), lengthen_line(303.0), level_line("low", 320.0))
    )
    after = lengthen(alone(piece), amount=10.0)

    assert height(after, "panel") == pytest.approx(610.0, abs=1e-9), "one opening, not two"
    assert places(after, "panel")["low"] == pytest.approx(330.0, abs=1e-9)


# -- a nest --------------------------------------------------------------------------------


def test_each_size_is_cut_at_its_own_level():
    before = alone(nest())
    outcome = lengthen(before, amount=20.0, at="cut")

    for number, size in enumerate("46"):
        line = made(outcome, "skirt", size)
        assert edge_ruler(line, "centre") == pytest.approx(620.0 + 10 * number, abs=1e-6)
        assert edge_ruler(line, "side") == pytest.approx(math.hypot(20.0, 620.0 + 10 * number), abs=1e-6)
    assert outcome.pattern.piece("skirt").sizes == ("4", "6")


def test_a_picked_size_leaves_the_other_one():
    before = alone(nest())
    outcome = lengthen(before, picked(("skirt", "4")), amount=20.0, at="cut")

    assert outcome.pattern.piece("skirt").outline("6") == before.piece("skirt").outline("6")
    assert edge_ruler(made(outcome, "skirt", "4"), "centre") == pytest.approx(620.0, abs=1e-6)


# -- bare lines ----------------------------------------------------------------------------


@pytest.mark.parametrize("way", [False, True], ids=["left to right", "right to left"])
@pytest.mark.parametrize("turned", [False, True], ids=["clockwise", "other way"])
def test_a_bare_outline_and_a_drawn_line(way, turned):
    path = PLAIN_FRONT.reverse() if turned else PLAIN_FRONT
    points = [(-10.0, 330.0), (300.0, 330.0)]
    pattern, chosen = bare_with(path, points[::-1] if way else points)
    outcome = lengthen(pattern, chosen, amount=25.0)

    new = bare_path(outcome)
    assert len(new) == len(path)
    assert ruler(new) == pytest.approx(
        ruler(path) + 25.0 + math.hypot(14, 215) - math.hypot(14, 190), abs=1e-4
    )
    box = shape(new).bounds
    assert box[1::2] == pytest.approx((0.0, 445.0), abs=1e-6)
    assert outcome.pattern.piece("line-1") == pattern.piece("line-1")


def test_two_picked_nodes_make_the_line():
    """Two nodes of the outline, at one height on either side."""
    path = outline((0, 0), (100, 0), (100, 300), (100, 600), (0, 600), (0, 300))
    piece = Piece("shape", (bare_outline(path, key="shape"),), named=False)
    nodes = (PickedNode("shape", "", (100.0, 300.0)), PickedNode("shape", "", (0.0, 300.0)))
    outcome = lengthen(alone(piece), Chosen(picked(("shape", "")).outlines, nodes), amount=25.0)

    assert shape(bare_path(outcome)).bounds == pytest.approx((0.0, 0.0, 100.0, 625.0), abs=1e-6)


def test_a_line_a_little_off_square_to_the_grain_is_told():
    """Job J11: cut square to the grain, or the centre front bends."""
    pattern, _ = bare_with(block().outline("").path, [(-10.0, 290.0), (260.0, 310.0)])
    pattern = Pattern((block(),) + pattern.pieces[1:])
    outcome = lengthen(pattern, picked(("panel", ""), ("line-1", "")), amount=25.0)

    angle = math.degrees(math.atan(20 / 270.0))
    assert "{:.1f} degrees".format(angle) in texts(outcome)
    assert shape(made(outcome, "panel").path).bounds == pytest.approx((0, 0, 250, 625), abs=1e-6)


def test_a_slanting_line_on_a_piece_without_grain_is_told():
    """Nothing says where the grain runs; whatever is taken, the slant of the line is told."""
    pattern, chosen = bare_with(block().outline("").path, [(-10.0, 290.0), (260.0, 310.0)])
    outcome = lengthen(pattern, chosen, amount=25.0)

    assert "{:.1f} degrees".format(math.degrees(math.atan(20 / 270.0))) in texts(outcome)


@pytest.mark.parametrize("line", [60.0, 140.0])
def test_a_level_that_is_the_cut_itself_needs_no_node(line):
    """Job J11: landmarks lie on either side of the cut; no edge gains nodes without need."""
    before = alone(skirt(line=line))
    there = lengthen(before, amount=20.0, at="cut")
    again = lengthen(there.pattern, amount=-20.0, at="cut")

    assert len(made(there, "skirt").path) == len(before.piece("skirt").outline("").path)
    old, new = before.piece("skirt").outline("").path, made(again, "skirt").path
    assert np.abs(old.curves - new.curves).max() <= TABLE


# -- cut lines, report, preview ------------------------------------------------------------


def test_the_cut_line_follows_at_its_width():
    """Job L1: made anew, 15 mm beside the new seam line, by Shapely."""
    wide = outline((-15, 65), (270, 65), (270, 435), (-15, 435))
    piece = front(cut_lines=(CutLine("", wide),), allowance={"": 15.0, "centre": 0.0})
    after = lengthen(alone(piece), amount=25.0, at="cut").pattern.piece("front")
    line = shapely.LinearRing(dense(after.cut_line("").path, 200))
    new = after.outline("")

    for edge in ("side", "waist", "armhole"):
        spot = dense(new.edge_path(edge), 10)[5]
        assert line.distance(shapely.Point(spot)) == pytest.approx(15.0, abs=0.2), edge
    assert line.distance(shapely.Point(0.0, 250.0)) == pytest.approx(0.0, abs=0.01)


def test_every_changed_edge_is_in_the_table():
    """Issue: before and after of every edge changed, to a tenth at least."""
    before = bodice()
    outcome = lengthen(before, amount=25.0, at="cut")
    table = edges_table(outcome)

    assert set(table) == {(p, e) for p in ("front", "back") for e in ("side", "centre")}
    for (piece, edge), (was, now) in table.items():
        assert was == pytest.approx(edge_ruler(before.piece(piece).outline(""), edge), abs=0.051)
        assert now == pytest.approx(edge_ruler(made(outcome, piece), edge), abs=0.051)


def test_the_tables_lengths_are_those_of_scipy():
    """Curves among them: the armholes of front and back and both halves of the cap."""
    before = Pattern((by_line(front(130.0)), by_line(back(130.0)), by_line(cap())))
    outcome = lengthen(before, amount=6.0, at="cut")
    table = edges_table(outcome)

    assert ("front", "armhole") in table and ("sleeve", "cap-back") in table
    for (piece, edge), lengths in table.items():
        for line, told in zip((before.piece(piece).outline(""), made(outcome, piece)), lengths):
            assert told == pytest.approx(sum(integrated(run) for run in line.runs(edge)), abs=0.051)
            assert edge_ruler(line, edge) == pytest.approx(
                sum(integrated(r) for r in line.runs(edge)), abs=1e-6
            )


def test_the_summary_says_what_was_done_in_plain_words():
    outcome = lengthen(bodice(), amount=25.0, at="cut")

    for word in ("front", "back", "25", "longer"):
        assert word in outcome.report.summary
    assert outcome.report.summary.endswith(".")
    shorter = lengthen(bodice(), amount=-12.0, at="cut").report.summary
    assert "12" in shorter and "shorter" in shorter and "-12" not in shorter


def test_the_cut_is_drawn_faintly_when_asked():
    plain = lengthen(bodice(), amount=25.0, at="cut")
    shown = lengthen(bodice(), amount=25.0, at="cut", show=True)
    faint = [m for m in shown.pattern.piece("front").marks if m.kind == OVERLAY]

    assert not [m for m in plain.pattern.piece("front").marks if m.kind == OVERLAY]
    assert faint and any(np.allclose(m.path.nodes[:, 1], 330.0, atol=1e-6) for m in faint)
    assert made(shown, "front") == made(plain, "front")


MASTER = pathlib.Path(__file__).resolve().parent.parent.parent / "samples" / "waistcoat" / "master.svg"


def test_the_sample_waistcoat_survives_its_file(tmp_path):
    """Written and read again, every piece has its names and the lengths it had."""
    pytest.importorskip("lxml")
    from sewkit.files.svg import open_drawing

    drawing, chosen = open_drawing(str(MASTER))
    before = drawing.pattern
    outcome = lengthen(before, chosen, amount=20.0, at="chest/waist")
    drawing.put(outcome.pattern)
    drawing.save(str(tmp_path / "longer.svg"))
    again = open_drawing(str(tmp_path / "longer.svg"))[0].pattern

    assert not [p for p in again.problems if not p.healed]
    longer_pieces = 0
    for piece in outcome.pattern.pieces:
        for line in piece.outlines:
            read, was = (
                again.piece(piece.name).outline(line.size),
                before.piece(piece.name).outline(line.size),
            )
            assert read.names == line.names
            for name in line.names:
                assert edge_ruler(read, name) == pytest.approx(edge_ruler(line, name), abs=1e-3)
            y, old = (dense(o.path, 50)[:, 1] for o in (line, was))
            longer_pieces += bool(abs(np.ptp(y) - np.ptp(old) - 20.0) < 1e-6)
    assert longer_pieces == sum(len(piece.outlines) for piece in before.pieces), (
        "front, back and facing alike"
    )
    assert before == open_drawing(str(MASTER))[0].pattern


# -- errors: one clear sentence, where and how much ------------------------------------------


def refused(pattern, chosen=None, **values):
    with pytest.raises(InputError) as told:
        lengthen(pattern, chosen or Chosen(), **values)
    text = str(told.value)
    assert text.endswith(".") and told.value.what.rstrip().endswith(".")
    assert told.value.cure.endswith(".")
    return told.value.code, text


def test_an_unknown_level_lists_those_there_are():
    code, text = refused(alone(coat()), amount=10.0, at="wiast")

    assert code == "no-level" and "wiast" in text
    for known in ("chest", "waist", "hip"):
        assert known in text


def test_no_line_at_all():
    code, text = refused(alone(block()), amount=10.0)

    assert code == "no-level" and "panel" in text


@pytest.mark.parametrize("amount", [-95.0, -200.0])
def test_shortened_past_the_next_mark(amount):
    """From the line (330) down to the waist corner are 90 mm."""
    code, text = refused(alone(front()), amount=amount, at="cut")

    assert code == "overlap" and "front" in text and "90" in text and "mm" in text


def test_shortened_past_a_level_names_it():
    """From "bodice" (200) to the waist level (400) are 200 mm."""
    code, text = refused(alone(coat(buttons=False)), amount=-210.0, at="bodice")

    assert code == "overlap" and "waist" in text and "coat" in text and "200" in text


def test_shortened_past_a_dart_point():
    """From the line at 60 to the dart's point at 100 are 40 mm."""
    code, text = refused(alone(waist_dart()), amount=-45.0, at="cut")

    assert code == "overlap" and "dart" in text and "40" in text


def test_just_inside_the_room_is_allowed():
    after = lengthen(alone(front()), amount=-80.0, at="cut")

    assert edge_ruler(made(after, "front"), "centre") == pytest.approx(260.0, abs=1e-6)


@pytest.mark.parametrize("y", [-50.0, 700.0])
def test_a_line_that_misses_the_piece(y):
    pattern, chosen = bare_with(PLAIN_FRONT, [(-10.0, y), (300.0, y)])
    code, text = refused(pattern, chosen, amount=10.0)

    assert code == "line" and "shape" in text


def test_a_line_that_crosses_an_edge_twice():
    """The whole cap as one edge: up on one side, down on the other."""
    code, text = refused(alone(cap(whole=True)), amount=10.0, at="cut")

    assert code == "line" and "cap" in text and "sleeve" in text


def test_a_line_along_an_edge():
    """A step in the side lies on the line itself."""
    path = outline((0, 0), (200, 0), (200, 300), (240, 300), (240, 600), (0, 600))
    piece = named(
        path, "waist side step low hem centre", "skirt", marks=(level_line("cut", 300.0), grain_line())
    )
    code, text = refused(alone(piece), amount=10.0, at="cut")

    assert code == "line" and "skirt" in text and "step" in text


def test_an_open_outline_is_refused():
    path = outline((0, 0), (200, 0), (200, 600), (0, 600)).part(0, 3)
    piece = named(path, "waist side hem", "skirt")._replace(marks=(level_line("cut", 300.0), grain_line()))
    code, text = refused(alone(piece), amount=10.0, at="cut")

    assert code == "open" and "skirt" in text


def test_only_a_line_is_picked():
    pattern, _ = bare_with(PLAIN_FRONT, [(-10.0, 330.0), (300.0, 330.0)])
    code, _ = refused(pattern, picked(("line-1", "")), amount=10.0)

    assert code == "choice"


@pytest.mark.parametrize("values", [{"height": 1860.0}, {"drafted": 1680.0}])
def test_half_of_a_proportion_is_refused(values):
    code, _ = refused(alone(coat()), at="waist", **values)

    assert code in ("value", "choice")


def test_a_measured_level_that_is_not_there():
    code, text = refused(alone(coat()), measured={"chest/knee": 300.0})

    assert code == "no-level" and "knee" in text


# -- any amount, anywhere --------------------------------------------------------------------


@hypothesis.settings(max_examples=25, deadline=None)
@hypothesis.given(
    amount=st.floats(-50.0, 200.0),
    y=st.floats(240.0, 340.0),
    degrees=st.floats(-80.0, 80.0),
    turned=st.booleans(),
)
def test_any_amount_anywhere_any_way_up(amount, y, degrees, turned):
    """Closed form of the straight side; the frame of the sheet does not matter."""
    piece = front(y)
    if turned:
        old = piece.outline("")
        names = " ".join(BODICE.split()[::-1])
        piece = piece.with_outline(named_outline(old.path.reverse(), names))
    pattern = moved(alone(piece), turn(degrees))
    after = made(lengthen(pattern, amount=amount, at="cut"), "front")

    assert edge_ruler(after, "side") == pytest.approx(math.hypot(14, 190 + amount), abs=1e-6)
    assert edge_ruler(after, "centre") == pytest.approx(340 + amount, abs=1e-6)
    assert edge_ruler(after, "armhole") == pytest.approx(228.174, abs=0.02)
    assert len(after.path) == len(PLAIN_FRONT)
    for edge in ("neck", "shoulder", "armhole", "waist"):
        assert undone(pattern.piece("front").outline("").edge_path(edge), after.edge_path(edge)) <= 1e-9


@hypothesis.settings(max_examples=15, deadline=None)
@hypothesis.given(first=st.floats(-20.0, 40.0), second=st.floats(-20.0, 40.0), y=st.floats(50.0, 150.0))
def test_any_two_amounts_sum_on_a_curve(first, second, y):
    before = alone(by_line(skirt(line=y)))
    once = made(lengthen(before, amount=first + second, at="cut"), "skirt").path
    there = lengthen(before, amount=first, at="cut").pattern
    twice = made(lengthen(there, amount=second, at="cut"), "skirt").path

    assert len(once) == len(twice)
    assert np.abs(once.curves - twice.curves).max() <= TABLE
    assert INVARIANT >= abs(ruler(once) - ruler(twice))


def test_dart_of_the_reference_front_is_nine_degrees():
    """The data themselves: R1's legs 152.258 and 9 degrees (appendix A1)."""
    legs = darted_front().outline("").runs("dart")
    first, second = legs if len(legs) == 2 else _legs(darted_front().outline(""))

    assert ruler(first) == pytest.approx(152.258, abs=0.001) == ruler(second)
    assert abs(between(first.start - first.end, second.end - second.start)) == pytest.approx(9.0, abs=0.001)
    assert len(R1) == 9 and inner((0, 0), (1, 0)).kind == INNER
