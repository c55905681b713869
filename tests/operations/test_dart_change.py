"""Darts made wider, longer or backed off, judged by closed forms; written without reading the code.

J25: a dart of legs l is w = 2 l sin(angle / 2) wide; a point backed off lies on the line half
way between the legs.  Numbers of R1 are in A3, those of darts told by width and legs in
standards 4.5.
"""

import functools
import math

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.operations.dart_change import dart_change
from sewkit.pattern.mark import DART, DRILL, NOTCH, Mark
from sewkit.pattern.piece import CutLine
from sewkit.report import Level
from tests.operations.dart_pieces import (
    APEX,
    FRAMES,
    LENGTHS,
    MIDDLE,
    SIZES,
    alone,
    apart,
    bare_legs,
    curved_side,
    drawn,
    far_apart,
    legs,
    legs_to_apex,
    nest,
    own_marks,
    refusal,
    reversed_piece,
    sewn,
    sheet,
    skirt_front,
    standoff,
    star,
    with_back,
)
from tests.operations.length_pieces import (
    RIGID,
    TABLE,
    between,
    codes,
    edges_table,
    grain_line,
    one,
    outline,
    picked,
    same,
    shapely,
    straight,
    tangent_at_start,
    texts,
)
from tests.operations.pieces import R1, bare, dense, moved, named

LEG = 152.258


@functools.lru_cache(maxsize=None)
def plain():
    return legs_to_apex()


def changed(piece, **values):
    outcome = dart_change(alone(piece), **values)
    return legs(outcome.pattern.pieces[0].outline("")), outcome.pattern.pieces[0].outline(""), outcome


# -- wider and narrower --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("width", "leg", "degrees"),
    [(20.0, 130.0, 8.8235), (70.0, 220.0, 18.308), (70.0, 240.0, 16.771), (70.0, 260.0, 15.473)],
)
def test_the_angle_of_a_width(width, leg, degrees):
    """Standards 4.5: 2 asin(w / 2 leg); from a dart of 14 degrees."""
    dart, _, _ = changed(star(14.0, leg), what="width", amount=width)

    assert dart.angle == pytest.approx(degrees, abs=0.0005)
    assert dart.intake == pytest.approx(width, abs=1e-6)
    assert dart.lengths == pytest.approx((leg, leg), abs=1e-6)
    assert dart.point == pytest.approx((0.0, 0.0), abs=RIGID)


@pytest.mark.parametrize(
    ("leg", "width"), [(90.0, 21.936), (140.0, 34.123), (180.0, 43.873), (250.0, 60.935)]
)
def test_the_width_of_an_angle(leg, width):
    """Standards 4.5: 14 degrees; from a dart of 9."""
    dart, _, _ = changed(star(9.0, leg), what="angle", degrees=14.0)

    assert dart.intake == pytest.approx(width, abs=TABLE)
    assert dart.angle == pytest.approx(14.0, abs=1e-6)


@pytest.mark.parametrize(
    ("values", "width"),
    [
        ({"what": "width", "amount": 30.0}, 30.0),
        ({"what": "width", "given": "by", "amount": -12.0}, 11.892),
        ({"what": "angle", "given": "by", "degrees": 3.0}, 2 * LEG * math.sin(math.radians(6.0))),
    ],
)
def test_r1_made_wider_or_narrower(values, width):
    """Both legs turn by the same angle about the point and keep their length."""
    dart, line, _ = changed(plain(), **values)
    old = legs(plain().outline(""))

    assert dart.intake == pytest.approx(width, abs=TABLE)
    assert dart.lengths == pytest.approx((LEG, LEG), abs=TABLE)
    turned = [between(now - dart.point, was - old.point) for now, was in zip(dart.mouth, old.mouth)]
    assert turned[0] == pytest.approx(-turned[1], abs=1e-6)
    assert dart.angle - old.angle == pytest.approx(turned[0] - turned[1], abs=1e-6)
    # Straight edges stay straight, and all that is not beside the dart is as it was.
    for run in line.runs("side"):
        assert straight(run) <= RIGID
    for name in ("neck", "shoulder", "armhole", "waist", "centre"):
        assert same(line.edge_path(name), plain().outline("").edge_path(name)), name


def test_a_waist_is_fitted_by_its_darts():
    """J22: new intake = old - change / number of darts.  The mouth's ends run on circles about the point."""
    outcome = dart_change(alone(skirt_front()), dart="front-dart", given="by", amount=-5.0)
    outcome = dart_change(outcome.pattern, dart="side-dart", given="by", amount=-5.0)
    line = outcome.pattern.piece("skirt").outline("")

    assert legs(line, "front-dart").intake == pytest.approx(15.0, abs=1e-6)
    assert legs(line, "side-dart").intake == pytest.approx(11.0, abs=1e-6)
    ups = [math.sqrt(d**2 + h**2 - (h - 2.5) ** 2) - d for d, h in ((100.0, 10.0), (90.0, 8.0))]
    runs = (
        math.hypot(82.5, ups[0]),
        math.hypot(152.5 - 97.5, ups[0] - ups[1]),
        math.hypot(216.0 - 163.5, ups[1]),
    )
    assert sewn(line, "waist") == pytest.approx(sum(runs), abs=1e-6)
    assert sewn(line, "waist") == pytest.approx(180.0 + 10.0, abs=0.01)


def test_a_shaped_edge_keeps_its_direction_at_the_far_end():
    piece = curved_side()
    _, line, _ = changed(piece, what="width", amount=30.0)
    first, last = line.runs("side")
    was = piece.outline("").runs("side")

    assert first.start == pytest.approx(tuple(was[0].start), abs=RIGID)
    assert last.end == pytest.approx(tuple(was[1].end), abs=RIGID)
    assert abs(between(tangent_at_start(first), tangent_at_start(was[0]))) <= 1e-6
    assert abs(between(tangent_at_start(last.reverse()), tangent_at_start(was[1].reverse()))) <= 1e-6


@pytest.mark.parametrize("form", [legs_to_apex, standoff, curved_side])
@pytest.mark.parametrize(
    ("there", "back"),
    [
        ({"given": "by", "amount": 8.0}, {"given": "by", "amount": -8.0}),
        ({"what": "angle", "given": "by", "degrees": -2.0}, {"what": "angle", "given": "by", "degrees": 2.0}),
        (
            {"what": "length", "given": "by", "amount": -30.0},
            {"what": "length", "given": "by", "amount": 30.0},
        ),
        ({"what": "point", "given": "by", "amount": 12.0}, {"what": "point", "given": "by", "amount": -12.0}),
    ],
)
def test_there_and_back_is_as_before(form, there, back):
    piece = form()
    away = dart_change(alone(piece), **there).pattern
    line = dart_change(away, **back).pattern.piece("front").outline("")

    assert far_apart(line.path, piece.outline("").path) <= TABLE


# -- longer, shorter, backed off -------------------------------------------------------------------


@pytest.mark.parametrize("length", [90.0, 120.0, 160.0])
def test_the_length_is_from_the_middle_of_the_mouth_to_the_point(length):
    dart, line, _ = changed(plain(), what="length", amount=length)
    old = plain().outline("")
    leg = math.hypot(length, 23.892 / 2)

    assert np.hypot(*(dart.point - MIDDLE)) == pytest.approx(length, abs=1e-6)
    assert dart.lengths == pytest.approx((leg, leg), abs=0.002)
    assert dart.off_axis <= 0.001
    assert np.array_equal(dart.mouth, legs(old).mouth)
    for name, wanted in LENGTHS.items():
        assert sewn(line, name) == pytest.approx(wanted, abs=0.001), name


@pytest.mark.parametrize("form", [legs_to_apex, lambda: standoff(10.0), lambda: drawn("centre")])
def test_the_point_backed_off_by_25(form):
    """A3: T(119.454, 270.194), legs 127.350, 10.765 degrees."""
    dart, _, _ = changed(form(), what="point", amount=25.0)

    assert dart.point == pytest.approx((119.454, 270.194), abs=TABLE)
    assert dart.lengths == pytest.approx((127.350, 127.350), abs=TABLE)
    assert dart.angle == pytest.approx(10.765, abs=TABLE)


def test_the_point_goes_so_far_from_where_it_is():
    dart, _, _ = changed(standoff(25.0), what="point", given="by", amount=10.0)

    assert np.hypot(*(dart.point - APEX)) == pytest.approx(35.0, abs=1e-6)


def test_brought_up_to_the_apex():
    dart, _, _ = changed(standoff(), what="point", amount=0.0)

    assert dart.point == pytest.approx(APEX, abs=1e-6)
    assert dart.angle == pytest.approx(9.0, abs=0.001)


def panel(bent=True):
    """A dart 20 mm wide and 100 mm long in a straight edge, its legs bowed towards each other."""
    legs_of_it = (
        [((86, 30), (88, 70), (90, 100)), ((92, 70), (94, 30), (100, 0))] if bent else [(90, 100), (100, 0)]
    )
    path = outline(
        (0, 0),
        (80, 0),
        *legs_of_it,
        (200, 0),
        (200, 300),
        (0, 300),
    )
    names = "waist dart dart waist side hem centre"
    return named(
        path, names, "panel", darts=("dart",), folds=("centre",), marks=(grain_line(30.0, 50.0, 250.0),)
    )


@pytest.mark.parametrize("values", [{"what": "length", "amount": 130.0}, {"what": "width", "amount": 12.0}])
def test_curved_legs_keep_their_shape(values):
    """By similarity: what lay at a share of the chord, so far beside it, still does."""
    dart, _, _ = changed(panel(), **values)
    old = legs(panel().outline(""))

    for now, was in ((dart.first, old.first), (dart.second, old.second)):
        assert len(now) == len(was)
        shares = []
        for path in (now, was):
            flat = path.curves[..., 0] + 1j * path.curves[..., 1]
            shares.append((flat - flat[0, 0]) / (flat[-1, -1] - flat[0, 0]))
        assert np.abs(shares[0] - shares[1]).max() <= 1e-6


# -- two points --------------------------------------------------------------------------------------


def contour():
    """A dart with two points on a whole panel, 18 mm wide at 150 and 200 mm long."""
    mark = Mark(
        DART, "waist-dart", "", Path.through([(100, 60), (91, 150), (100, 260), (109, 150)], closed=True)
    )
    path = outline((0, 0), (200, 0), (200, 400), (0, 400))
    return named(path, "top side hem centre", "panel", marks=(mark, grain_line(30.0, 50.0, 350.0)))


def nodes_of(outcome):
    return one(outcome.pattern.pieces[0], DART, "waist-dart").path.nodes


def spread_of(nodes):
    return np.ptp(nodes[:, 0]), np.ptp(nodes[:, 1])


def test_a_dart_with_two_points_is_widened_on_both_sides_alike():
    nodes = nodes_of(dart_change(alone(contour()), what="width", amount=12.0))

    assert spread_of(nodes) == pytest.approx((12.0, 200.0), abs=TABLE)
    assert nodes[:, 0].min() == pytest.approx(94.0, abs=TABLE)
    assert nodes[nodes[:, 0].argmin(), 1] == pytest.approx(150.0, abs=TABLE)


@pytest.mark.parametrize(
    ("end", "span"), [("upper", (40.0, 260.0)), ("lower", (60.0, 280.0)), ("both", (40.0, 280.0))]
)
def test_a_dart_with_two_points_is_lengthened_at_its_ends(end, span):
    nodes = nodes_of(dart_change(alone(contour()), what="length", given="by", amount=20.0, point=end))

    assert (nodes[:, 1].min(), nodes[:, 1].max()) == pytest.approx(span, abs=TABLE)
    assert spread_of(nodes)[0] == pytest.approx(18.0, abs=TABLE)


# -- what goes with it ---------------------------------------------------------------------------------


def test_marks_and_notches_stay():
    piece = legs_to_apex(marks=own_marks())
    after = dart_change(alone(piece), amount=30.0).pattern.piece("front")

    for kind, name in ((DRILL, "apex"), (DRILL, "button"), (DRILL, "pocket")):
        assert one(after, kind, name) == one(piece, kind, name)
    on = one(after, NOTCH, "1").on
    assert on == one(piece, NOTCH, "1").on
    # On the side the upper notch counts from the underarm, the lower one from the waist: both stay there.
    first = one(after, NOTCH, "2").on
    length = sewn(after.outline(""), "side")
    assert (length - first.distance if first.from_end else first.distance) == pytest.approx(30.0, abs=0.2)


def test_a_seam_that_no_longer_fits_is_told():
    outcome = dart_change(with_back(plain()), picked(("front", "")), given="by", amount=12.0)
    told = [f for f in outcome.report.findings if f.code == "seam"]
    line = outcome.pattern.piece("front").outline("")

    assert [f.level for f in told] == [Level.FAIL] and "side" in told[0].text
    assert edges_table(outcome)["front", "side"] == pytest.approx((190.515, sewn(line, "side")), abs=0.051)
    assert outcome.pattern.piece("back") == with_back(plain()).piece("back")


def test_backed_off_the_back_still_fits():
    outcome = dart_change(with_back(plain()), picked(("front", "")), what="point", amount=25.0)

    assert not [f for f in outcome.report.findings if f.code == "seam"]


def test_legs_have_a_table_of_their_own():
    """No edge changed when only the point moved; its legs stand in the table of darts."""
    outcome = changed(plain(), what="point", amount=25.0)[2]

    assert [t for t in outcome.report.tables if t.title.startswith("Darts")]
    assert not [t for t in outcome.report.tables if "dges" in t.title]


def test_the_cut_line_is_made_anew():
    ring = sheet(R1).buffer(10.0).exterior.coords
    piece = plain()._replace(
        cut_lines=(CutLine("", Path.through(list(ring)[:-1], closed=True)),),
        allowance={"": 10.0, "centre": 0.0},
    )
    after = dart_change(alone(piece), amount=40.0).pattern.piece("front")
    cut = shapely.LinearRing(dense(after.cut_line("").path, 100))

    for run in after.outline("").runs("side"):
        spot = dense(run, 40)[20]
        assert cut.distance(shapely.Point(spot)) == pytest.approx(10.0, abs=0.2)


def test_every_size_of_a_nest():
    outcome = dart_change(alone(nest()), what="width", amount=30.0)

    for size, factor in SIZES.items():
        dart = legs(outcome.pattern.piece("front").outline(size))
        assert dart.intake == pytest.approx(30.0, abs=1e-6)
        assert dart.lengths == pytest.approx((LEG * factor, LEG * factor), abs=TABLE)
        assert dart.angle == pytest.approx(2 * math.degrees(math.asin(15.0 / (LEG * factor))), abs=TABLE)


@pytest.mark.parametrize(
    ("frame", "other"), [("turned by 37", True), ("mirrored", False), ("mirrored", True)]
)
@pytest.mark.parametrize("values", [{"amount": 30.0}, {"what": "length", "amount": 100.0}])
def test_it_is_the_same_wherever_it_lies_and_however_it_is_drawn(values, frame, other):
    piece = curved_side()
    wanted = moved(dart_change(alone(piece), **values).pattern, FRAMES[frame])
    pattern = moved(alone(reversed_piece(piece) if other else piece), FRAMES[frame])
    path = dart_change(pattern, **values).pattern.piece("front").outline("").path

    assert far_apart(path.reverse() if other else path, wanted.piece("front").outline("").path) <= 1e-6


def test_an_outline_nobody_named():
    outcome = dart_change(bare(R1, "shape"), picked(("shape", "")), amount=30.0)
    piece = outcome.pattern.piece("shape")
    wanted = changed(plain(), amount=30.0)[1].path

    assert far_apart(piece.outlines[0].path, wanted) <= 1e-6
    assert not piece.darts and all(name.isdecimal() for name in piece.outlines[0].names)
    assert bare_legs(piece.outlines[0].path, APEX).intake == pytest.approx(30.0, abs=1e-6)


def test_a_drawn_dart_is_cut_in_and_told():
    outcome = dart_change(alone(drawn("two")), amount=30.0)

    assert legs(outcome.pattern.piece("front").outline("")).intake == pytest.approx(30.0, abs=1e-6)
    assert "dart-cut-in" in codes(outcome)
    assert not [m for m in outcome.pattern.piece("front").marks if m.kind == DART]


def test_the_other_dart_is_not_touched():
    old = skirt_front().outline("")
    line = dart_change(alone(skirt_front()), dart="2", amount=10.0).pattern.piece("skirt").outline("")

    assert legs(line, "front-dart") == legs(old, "front-dart")
    assert legs(line, "side-dart").intake == pytest.approx(10.0, abs=1e-6)


def test_what_was_done_is_told_in_numbers():
    outcome = changed(plain(), amount=30.0)[2]
    told = texts(outcome)

    for word in ("dart", "front", "23.9", "30.0", "11.3"):
        assert word in told, word
    assert outcome.report.summary.endswith(".")


def test_nothing_given_is_changed_and_twice_is_the_same():
    assert changed(legs_to_apex(), amount=30.0)[2] == changed(legs_to_apex(), amount=30.0)[2]


# -- warnings ------------------------------------------------------------------------------------------


def test_two_set_better_than_one_of_more_than_25_degrees():
    assert "dart-wide" in codes(changed(plain(), what="angle", degrees=26.0)[2])
    assert "dart-wide" not in codes(changed(plain(), what="angle", degrees=24.0)[2])


def test_a_point_nearer_than_10_mm_to_the_apex_is_told():
    assert "dart-point" in codes(changed(standoff(), what="point", amount=6.0)[2])
    assert "dart-point" not in codes(changed(standoff(), what="point", amount=20.0)[2])


def test_a_point_nearer_than_10_mm_to_an_edge_is_told():
    """The panel is 300 mm long."""
    assert "dart-point" in codes(changed(panel(bent=False), what="length", amount=294.0)[2])


# -- errors --------------------------------------------------------------------------------------------


def refused(pattern, chosen=None, **values):
    return refusal(dart_change, pattern, chosen, **values)


@pytest.mark.parametrize(
    "values",
    [
        {"given": "by", "amount": -23.892},
        {"given": "by", "amount": -40.0},
        {"amount": 0.0},
        {"what": "angle", "given": "by", "degrees": -9.5},
    ],
)
def test_a_dart_that_would_vanish(values):
    """It says how wide the dart is, so that one can ask for less."""
    _, text = refused(alone(plain()), **values)

    assert "dart" in text and ("23.9" in text or "9.0" in text)


def test_a_length_of_nothing():
    _, text = refused(alone(plain()), what="length", given="by", amount=-160.0)

    assert "dart" in text and "151.8" in text


def test_wider_than_twice_its_legs():
    _, text = refused(alone(plain()), amount=310.0)

    assert "dart" in text


def test_a_point_outside_the_piece():
    """The panel is 300 mm long, the dart's mouth lies in its upper edge."""
    _, text = refused(alone(panel(bent=False)), what="length", amount=320.0)

    assert "panel" in text or "dart" in text


def test_past_the_apex():
    refused(alone(standoff()), what="point", amount=-5.0)


def test_backed_off_out_of_the_mouth():
    _, text = refused(alone(plain()), what="point", amount=200.0)

    assert "dart" in text


def test_over_the_end_of_its_edge():
    """30 mm of the side above the mouth are no room for 200 mm more."""
    refused(alone(skirt_front()), dart="front-dart", amount=190.0)


def test_no_dart_and_no_such_dart():
    assert refused(alone(drawn()._replace(marks=())))[0] == "dart"
    code, text = refused(alone(plain()), dart="waist-dart")
    assert code == "dart" and "waist-dart" in text


def test_the_piece_is_a_sound_shape_after_all_that():
    for values in ({"amount": 60.0}, {"what": "length", "amount": 60.0}, {"what": "point", "amount": 60.0}):
        line = changed(plain(), **values)[1]
        assert shapely.Polygon(dense(line.path, 50)).is_valid
    assert apart(sheet(R1), sheet(plain().outline("").path)) == 0.0
