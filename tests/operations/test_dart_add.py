"""New darts, judged by closed forms; written without reading the code.

A dart of width w and length l in a straight edge opens by 2 atan(w / 2 l), and the edge is w
shorter as sewn (J25; J22 for the waist).  The point stays 20 to 25 mm off the apex (Threads 181).
"""

import functools
import math
import re

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operations.dart_add import dart_add
from sewkit.operations.dart_true import dart_true
from sewkit.operations.dart_turn import dart_turn
from sewkit.pattern.mark import DART, DRILL, GRAIN, NOTCH
from sewkit.pattern.notch import spot_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.operations.dart_pieces import (
    APEX,
    FRAMES,
    alone,
    apex_mark,
    bare_legs,
    far_apart,
    legs,
    refusal,
    sewn,
    sheet,
    skirt_front,
)
from tests.operations.length_pieces import (
    BODICE_EDGES,
    PLAIN_FRONT,
    block,
    codes,
    drill,
    edges_table,
    grain_line,
    level_line,
    nest,
    one,
    outline,
    picked,
    ruler,
    same,
    shapely,
    straight,
    texts,
)
from tests.operations.pieces import bare, dense, moved, named, notch

WAIST = {"edge": "waist", "at": "100", "width": 20.0, "length": 100.0, "called": "waist-dart"}


@functools.lru_cache(maxsize=None)
def plain():
    return dart_add(alone(block()), **WAIST)


def line_of(outcome, name="panel", size=""):
    return outcome.pattern.piece(name).outline(size)


def front(*marks):
    """R1 with its dart closed; the apex is marked."""
    return named(
        PLAIN_FRONT,
        BODICE_EDGES,
        "front",
        folds=("centre",),
        marks=(apex_mark(), grain_line(60.0, 100.0, 400.0), *marks),
    )


# -- the dart ------------------------------------------------------------------------------------------


def test_a_waist_dart_in_a_straight_waist():
    """From 90 to 110 on y = 0, its point at (100, 100); 2 atan(0.1) degrees; the waist is 230."""
    line = line_of(plain())
    dart = legs(line, "waist-dart")

    assert sorted(map(tuple, dart.mouth)) == [pytest.approx((90.0, 0.0)), pytest.approx((110.0, 0.0))]
    assert dart.point == pytest.approx((100.0, 100.0), abs=1e-6)
    assert dart.angle == pytest.approx(math.degrees(2 * math.atan(0.1)), abs=1e-6)
    assert sewn(line, "waist") == pytest.approx(230.0, abs=1e-6)
    assert plain().pattern.piece("panel").darts == ("waist-dart",)
    for name in ("side", "hem", "centre"):
        assert same(line.edge_path(name), block().outline("").edge_path(name)), name


def test_in_the_middle_if_nothing_is_said():
    dart = legs(line_of(dart_add(alone(block()), **dict(WAIST, at=""))), "waist-dart")

    assert dart.point == pytest.approx((125.0, 100.0), abs=1e-6)


@pytest.mark.parametrize(("at", "x"), [("40%", 100.0), ("1", 70.0), ("notch 1", 70.0), ("180", 180.0)])
def test_at_a_share_a_notch_or_a_length(at, x):
    piece = block()._replace(marks=(grain_line(20.0, 50.0, 550.0), notch("waist", 70.0, name="1")))
    dart = legs(line_of(dart_add(alone(piece), **dict(WAIST, at=at))), "waist-dart")

    assert dart.point == pytest.approx((x, 100.0), abs=1e-6)


def test_at_a_level():
    piece = block()._replace(marks=(grain_line(20.0, 50.0, 550.0), level_line("hip", 200.0)))
    dart = legs(line_of(dart_add(alone(piece), **dict(WAIST, edge="side", at="hip"))), "waist-dart")

    assert sorted(map(tuple, dart.mouth)) == [pytest.approx((250.0, 190.0)), pytest.approx((250.0, 210.0))]
    assert dart.point == pytest.approx((150.0, 200.0), abs=1e-6)


@pytest.mark.parametrize(("degrees", "length"), [(14.0, 100.0), (8.8235, 130.0), (3.0, 60.0)])
def test_asked_by_the_angle(degrees, length):
    """w = 2 l tan(angle / 2) in a straight edge."""
    dart = legs(line_of(dart_add(alone(block()), **dict(WAIST, angle=degrees, length=length))), "waist-dart")

    assert dart.angle == pytest.approx(degrees, abs=1e-6)
    assert dart.intake == pytest.approx(2 * length * math.tan(math.radians(degrees / 2)), abs=1e-6)
    assert dart.point == pytest.approx((100.0, length), abs=1e-6)


def test_square_to_a_sloping_edge_its_legs_are_equal():
    """R1's shoulder falls by atan(45 / 120)."""
    dart = legs(
        line_of(dart_add(alone(front()), edge="shoulder", width=12.0, length=80.0, called="s-dart"), "front"),
        "s-dart",
    )
    middle, way = np.array((130.0, 22.5)), np.array((120.0, 45.0)) / 128.160

    assert dart.mouth.mean(axis=0) == pytest.approx(tuple(middle), abs=1e-3)
    assert dart.point == pytest.approx(tuple(middle + 80.0 * np.array((-way[1], way[0]))), abs=1e-3)
    assert dart.lengths[0] == pytest.approx(dart.lengths[1], abs=1e-6)


def test_along_the_grain_of_a_sloping_edge():
    outcome = dart_add(alone(front()), edge="shoulder", width=12.0, length=80.0, way="grain", called="s-dart")
    dart = legs(line_of(outcome, "front"), "s-dart")

    assert dart.point == pytest.approx((130.0, 102.5), abs=1e-3)
    assert dart.intake == pytest.approx(12.0, abs=1e-3)


@pytest.mark.parametrize("away", [25.0, 12.7, 0.0])
def test_it_points_to_the_apex_and_ends_before_it(away):
    """From 55 mm below the underarm of R1's closed side towards A(95, 265)."""
    outcome = dart_add(
        alone(front()), edge="side", at="55", width=20.0, to="apex", stand_off=away, called="bust-dart"
    )
    dart = legs(line_of(outcome, "front"), "bust-dart")
    spot = np.array((250.0, 230.0)) + 55.0 * np.array((-14.0, 190.0)) / math.hypot(14.0, 190.0)
    way = (spot - APEX) / np.hypot(*(spot - APEX))

    assert dart.point == pytest.approx(tuple(APEX + away * way), abs=1e-3)
    assert dart.mouth.mean(axis=0) == pytest.approx(tuple(spot), abs=0.5)
    assert dart.intake == pytest.approx(20.0, abs=0.01)
    assert sewn(line_of(outcome, "front"), "side") == pytest.approx(190.515 - 20.0, abs=0.01)


def test_in_a_curved_edge_both_ends_lie_on_it():
    """Half way along R1's neck: as sewn it is shorter by what lay between the ends, along the curve."""
    outcome = dart_add(alone(front()), edge="neck", width=8.0, length=60.0, called="neck-dart")
    line = line_of(outcome, "front")
    dart, old = legs(line, "neck-dart"), front().outline("").edge_path("neck")
    curve = shapely.LineString(dense(old, 2000))

    for end in dart.mouth:
        assert curve.distance(shapely.Point(end)) <= 0.01
    assert dart.intake == pytest.approx(8.0, abs=0.05)
    assert 8.0 - 0.05 <= ruler(old) - sewn(line, "neck") <= 8.1
    ends = [ruler(run) for run in line.runs("neck")]
    assert ends[0] == pytest.approx(ends[1], abs=0.1)


# -- the width given back ------------------------------------------------------------------------------


def test_given_back_at_the_side_the_waist_sews_to_the_same_length():
    """The waist runs on to 270, and the side is straight from there to the hem: sqrt(600^2 + 20^2)."""
    outcome = dart_add(alone(block()), **dict(WAIST, keep="side"))
    line = line_of(outcome)

    assert sewn(line, "waist") == pytest.approx(250.0, abs=1e-6)
    assert sewn(line, "side") == pytest.approx(math.hypot(600.0, 20.0), abs=1e-6)
    assert straight(line.edge_path("side")) <= 1e-9
    ends = line.edge_path("side").start, line.edge_path("side").end
    assert sorted(map(tuple, ends)) == [pytest.approx((250.0, 600.0)), pytest.approx((270.0, 0.0))]
    assert same(line.edge_path("centre"), block().outline("").edge_path("centre"))
    assert edges_table(outcome)["panel", "side"] == pytest.approx((600.0, 600.33), abs=0.051)


def test_a_band_is_told_or_still_fits():
    band = named(outline((0, 700), (250, 700), (250, 740), (0, 740)), "top side low centre", "band")
    pattern = Pattern((block(), band), parse_seams("waist=band/top", "panel"))
    shorter = dart_add(pattern, picked(("panel", "")), **WAIST)
    kept = dart_add(pattern, picked(("panel", "")), **dict(WAIST, keep="side"))

    told = [f for f in shorter.report.findings if f.code == "seam"]
    assert [f.level for f in told] == [Level.FAIL] and "20.0" in told[0].text
    assert not [f for f in kept.report.findings if f.code == "seam"]


# -- two points ----------------------------------------------------------------------------------------


def test_a_dart_with_two_points_at_a_level():
    """90 mm from the centre, widest at the waist of a dress at 400; 18 mm, 120 up and 90 down."""
    path = outline((0, 0), (250, 0), (250, 900), (0, 900))
    marks = (grain_line(20.0, 50.0, 850.0), level_line("waist", 400.0))
    piece = named(path, "neck side hem centre", "dress", folds=("centre",), marks=marks)
    outcome = dart_add(
        alone(piece),
        kind="inside",
        at="waist",
        width=18.0,
        length=120.0,
        below=90.0,
        across=90.0,
        called="body-dart",
    )
    after = outcome.pattern.piece("dress")
    nodes = one(after, DART, "body-dart").path.nodes

    assert (nodes[:, 1].min(), nodes[:, 1].max()) == pytest.approx((280.0, 490.0), abs=1e-6)
    assert (nodes[:, 0].min(), nodes[:, 0].max()) == pytest.approx((81.0, 99.0), abs=1e-6)
    assert nodes[nodes[:, 1].argmin(), 0] == pytest.approx(90.0, abs=1e-6)
    assert after.outlines == piece.outlines


def test_a_dart_with_two_points_so_far_above_an_edge_that_is_no_level():
    """The hem falls by 20 mm in 250: 90 mm from the centre it lies at 880 + 7.2; 487.2 mm above it is 400."""
    path = outline((0, 0), (250, 0), (250, 900), (0, 880))
    piece = named(
        path, "neck side hem centre", "dress", folds=("centre",), marks=(grain_line(20.0, 50.0, 850.0),)
    )
    values = {"kind": "inside", "width": 18.0, "length": 120.0, "below": 90.0, "across": 90.0}
    after = dart_add(alone(piece), at="hem-487.2mm", called="body-dart", **values).pattern.piece("dress")
    nodes = one(after, DART, "body-dart").path.nodes

    assert (nodes[:, 1].min(), nodes[:, 1].max()) == pytest.approx((280.0, 490.0), abs=1e-6)
    assert len(after.marks) == len(piece.marks) + 1
    with pytest.raises(InputError) as refused_at:
        dart_add(alone(piece), at="hip", **values)
    assert "hem, neck" in str(refused_at.value)


# -- what goes with it ---------------------------------------------------------------------------------


def test_marks_stay_and_notches_keep_their_spots():
    piece = block()._replace(
        marks=(
            grain_line(20.0, 50.0, 550.0),
            drill(200.0, 300.0, "pocket"),
            notch("waist", 40.0, name="1"),
            notch("waist", 200.0, name="2"),
            notch("side", 100.0, name="3"),
        )
    )
    after = dart_add(alone(piece), **WAIST).pattern.piece("panel")

    assert one(after, DRILL, "pocket") == one(piece, DRILL, "pocket")
    assert one(after, GRAIN) == one(piece, GRAIN)
    for name in "123":
        was = spot_of(piece.outline(""), one(piece, NOTCH, name).on).point
        assert spot_of(after.outline(""), one(after, NOTCH, name).on).point == pytest.approx(
            tuple(was), abs=1e-6
        )


def test_a_notch_in_the_mouth_is_told():
    piece = block()._replace(marks=(grain_line(20.0, 50.0, 550.0), notch("waist", 103.0, name="7")))
    outcome = dart_add(alone(piece), **WAIST)
    left = [m for m in outcome.pattern.piece("panel").marks if m.kind == NOTCH]

    assert left or [f for f in outcome.report.findings if "notch" in f.text]


def test_the_cut_line_is_made_anew():
    ring = sheet(block().outline("").path).buffer(10.0, join_style=2).exterior.coords
    piece = block()._replace(
        cut_lines=(CutLine("", Path.through(list(ring)[:-1], closed=True)),),
        allowance={"": 10.0, "centre": 0.0},
    )
    after = dart_add(alone(piece), **dict(WAIST, keep="side")).pattern.piece("panel")
    cut = shapely.LinearRing(dense(after.cut_line("").path, 50))
    middle = shapely.Point(260.0, 300.0)

    assert cut.distance(middle) == pytest.approx(10.0, abs=0.01)


def test_every_size_of_a_nest():
    outcome = dart_add(alone(nest()), **WAIST)

    for number, size in enumerate("46"):
        line = line_of(outcome, "skirt", size)
        assert legs(line, "waist-dart").intake == pytest.approx(20.0, abs=1e-6)
        assert sewn(line, "waist") == pytest.approx(180.0 + 10.0 * number, abs=1e-6)
    assert outcome.pattern.piece("skirt").darts == ("waist-dart",)


def test_an_outline_nobody_named():
    outcome = dart_add(
        bare(block().outline("").path, "shape"), picked(("shape", "")), edge="1", at="40%", width=20.0
    )
    piece = outcome.pattern.piece("shape")

    assert not piece.darts and all(name.isdecimal() for name in piece.outlines[0].names)
    assert bare_legs(piece.outlines[0].path, (100.0, 100.0)).intake == pytest.approx(20.0, abs=1e-6)


@pytest.mark.parametrize("frame", ["turned by 37", "mirrored", "mirrored and turned"])
def test_it_is_the_same_wherever_it_lies(frame):
    """The place is a notch, so that it is the same one on every side."""
    piece = front(notch("waist", 90.0, name="1"))
    values = {"edge": "waist", "at": "notch 1", "width": 20.0, "length": 90.0, "called": "waist-dart"}
    wanted = moved(dart_add(alone(piece), **values).pattern, FRAMES[frame])
    path = line_of(dart_add(moved(alone(piece), FRAMES[frame]), **values), "front").path

    assert far_apart(path, wanted.piece("front").outline("").path) <= 1e-6


def test_a_second_dart_on_the_edge_of_the_first():
    outcome = dart_add(plain().pattern, **dict(WAIST, at="170", width=10.0, called="second"))
    line = line_of(outcome)

    # As sewn the waist is 230: 170 mm along it lie 20 mm further on, behind the first dart.
    assert legs(line, "second").mouth.mean(axis=0) == pytest.approx((190.0, 0.0), abs=1e-6)
    assert legs(line, "waist-dart") == legs(line_of(plain()), "waist-dart")
    assert sewn(line, "waist") == pytest.approx(220.0, abs=1e-6)


def test_a_name_of_its_own_if_nobody_gives_one():
    first = dart_add(alone(block()), **dict(WAIST, called="")).pattern
    second = dart_add(first, **dict(WAIST, called="", at="170")).pattern.piece("panel")

    assert second.darts == ("waist-dart", "waist-dart-2")


def test_a_new_dart_can_be_turned_and_trued():
    """Angle law: closed again it opens at the side by the same angle."""
    line = line_of(dart_turn(plain().pattern, to="side", at="30%"))
    assert legs(line, "waist-dart").angle == pytest.approx(math.degrees(2 * math.atan(0.1)), abs=1e-6)
    trued = dart_true(plain().pattern).pattern.piece("panel")
    assert trued.pressed["waist-dart"] == "centre"


def test_what_was_done_is_told_in_numbers():
    told = texts(plain())

    for word in ("waist-dart", "waist", "20.0", "11.4", "250.0", "230.0"):
        assert word in told, word
    assert plain().report.summary.endswith(".")
    assert plain() == dart_add(alone(block()), **WAIST)


# -- warnings ------------------------------------------------------------------------------------------


def test_more_than_25_degrees():
    assert "dart-wide" in codes(dart_add(alone(block()), **dict(WAIST, angle=26.0)))
    assert "dart-wide" not in codes(dart_add(alone(block()), **dict(WAIST, angle=24.0)))


def test_a_point_nearer_than_10_mm_to_apex_or_edge():
    near = dart_add(alone(front()), edge="side", at="55", width=20.0, to="apex", stand_off=6.0)
    assert "dart-point" in codes(near)
    assert "dart-point" in codes(dart_add(alone(block(250.0, 105.0)), **WAIST))
    assert "dart-point" not in codes(dart_add(alone(block(250.0, 115.0)), **WAIST))


def test_across_another_dart():
    """Another dart 120 mm deep from the side at 50: a waist dart of 100 mm runs into it."""
    side = dart_add(
        alone(block()), edge="side", at="50", width=20.0, length=170.0, called="side-dart"
    ).pattern
    try:
        outcome = dart_add(side, **WAIST)
    except InputError as error:
        assert "dart" in str(error)
    else:
        assert "darts-cross" in codes(outcome)


# -- errors --------------------------------------------------------------------------------------------


def refused(pattern, chosen=None, **values):
    return refusal(dart_add, pattern, chosen, **values)[1]


def test_no_edge_or_no_such_edge():
    assert "waist" in refused(alone(block()))
    text = refused(alone(block()), **dict(WAIST, edge="waste"))
    assert "waste" in text and "waist" in text


def test_wider_than_its_edge():
    """At 100 mm of 250 there is room for 200 mm at most."""
    text = refused(alone(block()), **dict(WAIST, width=260.0))
    room = [float(n) for n in re.findall(r"([0-9.]+) mm", text)]

    assert "waist" in text and any(190.0 <= n <= 200.0 or n == 250.0 for n in room)


def test_over_the_end_of_its_edge():
    text = refused(alone(block()), **dict(WAIST, at="5"))

    assert "waist" in text


def test_on_the_mouth_of_another_dart():
    text = refused(alone(skirt_front()), edge="waist", at="82", width=20.0, length=80.0)

    assert "dart" in text


def test_longer_than_the_piece():
    text = refused(alone(block(250.0, 90.0)), **WAIST)

    assert "panel" in text or "dart" in text


def test_width_and_length_of_nothing():
    refused(alone(block()), **dict(WAIST, width=0.0))
    refused(alone(block()), **dict(WAIST, length=0.0))


def test_a_mark_that_is_not_there():
    text = refused(alone(front()), edge="side", at="55", to="blade")

    assert "blade" in text and "apex" in text


def test_a_name_that_is_taken():
    assert "side" in refused(alone(block()), **dict(WAIST, called="side"))
    assert "waist-dart" in refused(plain().pattern, **dict(WAIST, at="170"))


def test_a_mark_nearer_than_the_stand_off():
    """The apex lies 20 mm inside the side: nothing is left of a dart that ends 25 mm before it."""
    text = refused(alone(front(drill(225.0, 285.0, "near"))), edge="side", at="55", to="near")

    assert "near" in text or "mm" in text


def test_giving_back_at_an_edge_that_is_not_beside_it():
    text = refused(alone(block()), **dict(WAIST, keep="hem"))

    assert "hem" in text and "side" in text


def test_the_pieces_are_what_the_tests_say():
    assert ruler(front().outline("").edge_path("side")) == pytest.approx(190.515, abs=0.001)
