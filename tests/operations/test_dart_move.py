"""Darts moved parallel, judged by closed forms; written without reading the code.

J25: a box with the dart in it is shifted along or across the grain; the angle stays to 0.01
degrees, the legs are drawn on to the seam, and the edge is walked again.
"""

import functools
import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operations.dart_move import dart_move
from sewkit.operations.dart_true import dart_true
from sewkit.pattern.mark import DART, DRILL, GRAIN, INNER, LEVEL, NOTCH, Mark
from sewkit.pattern.notch import spot_of
from tests.operations.dart_pieces import (
    APEX,
    FRAMES,
    LENGTHS,
    SIZES,
    UNDERARM,
    WAIST,
    alone,
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
    straight,
    texts,
)
from tests.operations.pieces import R1, bare, moved, named

WAYS = [(20.0, 0.0), (-25.0, 0.0), (0.0, -15.0), (0.0, 12.0), (15.0, -10.0)]


@functools.lru_cache(maxsize=None)
def shifted(form, down, out):
    piece = {"apex": legs_to_apex, "short": standoff, "shaped": curved_side}[form]()
    return piece, dart_move(alone(piece), down=down, out=out)


def both(form, down, out):
    piece, outcome = shifted(form, down, out)
    return legs(piece.outline("")), legs(outcome.pattern.piece("front").outline(""))


# -- the dart ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("down", "out"), WAYS)
@pytest.mark.parametrize("form", ["apex", "shaped"])
def test_angle_and_direction_stay_and_the_point_is_shifted(form, down, out):
    """R1's fold is at x = 0: outwards is to the right, and the grain runs down."""
    old, new = both(form, down, out)

    assert new.point == pytest.approx(tuple(old.point + (out, down)), abs=1e-6)
    assert new.angle == pytest.approx(old.angle, abs=1e-6)
    for now, was in zip(new.mouth, old.mouth):
        assert abs(between(now - new.point, was - old.point)) <= 1e-6
    assert new.lengths[0] == pytest.approx(new.lengths[1], abs=0.3), "J25: legs 0.3 mm"


def r1_moved(down, out):
    """Closed form: with the dart closed about its new point the side is one straight line to the waist.

    The underarm turns by the dart's angle about the point; the length of the leg is where the
    second leg's direction meets the line from there to the waist.
    """
    old = legs(legs_to_apex().outline(""))
    point = np.array(APEX) + (out, down)
    angle = math.radians(old.angle)
    arm = np.array(UNDERARM) - point
    spun = point + (
        arm[0] * math.cos(angle) - arm[1] * math.sin(angle),
        arm[0] * math.sin(angle) + arm[1] * math.cos(angle),
    )
    way = (old.mouth[1] - old.point) / np.hypot(*(old.mouth[1] - old.point))
    chord = np.array(WAIST) - spun
    leg = ((spun - point)[0] * chord[1] - (spun - point)[1] * chord[0]) / (
        way[0] * chord[1] - way[1] * chord[0]
    )
    return float(leg), float(np.hypot(*chord))


@pytest.mark.parametrize(("down", "out"), WAYS)
def test_r1s_side_is_straight_with_the_dart_closed_at_its_new_place(down, out):
    _, new = both("apex", down, out)
    line = shifted("apex", down, out)[1].pattern.piece("front").outline("")
    leg, length = r1_moved(down, out)

    assert new.lengths == pytest.approx((leg, leg), abs=0.3)
    assert new.intake == pytest.approx(2 * leg * math.sin(math.radians(4.5)), abs=0.05)
    assert sewn(line, "side") == pytest.approx(length, abs=0.1)
    for run in line.runs("side"):
        assert straight(run) <= 1e-6
    ways = [run.end - run.start for run in line.runs("side")]
    assert between(*ways) == pytest.approx(9.0, abs=0.05)


def test_the_closed_form_gives_r1_itself():
    assert r1_moved(0.0, 0.0) == pytest.approx((152.258, 190.515), abs=0.002)


@pytest.mark.parametrize(("down", "out"), WAYS)
def test_all_that_is_not_beside_the_dart_is_as_it_was(down, out):
    piece, outcome = shifted("shaped", down, out)
    line, old = outcome.pattern.piece("front").outline(""), piece.outline("")

    for name in ("neck", "shoulder", "armhole", "waist", "centre"):
        assert same(line.edge_path(name), old.edge_path(name)), name
    assert line.runs("side")[0].start == pytest.approx(UNDERARM, abs=RIGID)
    assert line.runs("side")[-1].end == pytest.approx(WAIST, abs=RIGID)


def test_across_a_straight_waist_it_is_the_same_dart_20_mm_further_out():
    """The skirt's waist is y = 0: the mouth goes from 80 ... 100 to 100 ... 120."""
    line = (
        dart_move(alone(skirt_front()), dart="front-dart", down=0.0, out=20.0)
        .pattern.piece("skirt")
        .outline("")
    )
    dart = legs(line, "front-dart")

    assert dart.mouth.tolist() == [
        pytest.approx((100.0, 0.0), abs=1e-6),
        pytest.approx((120.0, 0.0), abs=1e-6),
    ]
    assert dart.point == pytest.approx((110.0, 100.0), abs=1e-6)
    assert sewn(line, "waist") == pytest.approx(180.0, abs=1e-6)
    assert len(line.runs("waist")[0]) == 1, "where it was the edge is one line again"


def test_down_from_a_straight_waist_its_legs_are_drawn_on():
    """100 mm deep and 20 wide; 115 deep it is 23 wide, and the waist 3 mm shorter."""
    outcome = dart_move(alone(skirt_front()), dart="front-dart", down=15.0)
    line = outcome.pattern.piece("skirt").outline("")
    dart = legs(line, "front-dart")

    assert dart.intake == pytest.approx(23.0, abs=1e-6)
    assert dart.mouth[:, 0].tolist() == pytest.approx([78.5, 101.5], abs=1e-6)
    assert sewn(line, "waist") == pytest.approx(177.0, abs=1e-6)
    assert edges_table(outcome)["skirt", "waist"] == pytest.approx((180.0, 177.0), abs=0.01)
    assert legs(line, "side-dart") == legs(skirt_front().outline(""), "side-dart")


@pytest.mark.parametrize(("down", "out"), WAYS)
@pytest.mark.parametrize("form", ["apex", "short", "shaped"])
def test_there_and_back_is_as_before(form, down, out):
    piece, outcome = shifted(form, down, out)
    line = dart_move(outcome.pattern, down=-down, out=-out).pattern.piece("front").outline("")

    assert far_apart(line.path, piece.outline("").path) <= TABLE


@pytest.mark.parametrize(
    ("frame", "other"), [("turned by 37", True), ("mirrored", False), ("mirrored and turned", True)]
)
@pytest.mark.parametrize("form", [legs_to_apex, curved_side])
def test_along_its_own_grain_wherever_it_lies_and_however_it_is_drawn(form, frame, other):
    """Which end is up is told by the names of the edges."""
    piece = form()
    values = {"down": 15.0, "out": -10.0}
    wanted = moved(dart_move(alone(piece), **values).pattern, FRAMES[frame]).piece("front").outline("").path
    pattern = moved(alone(reversed_piece(piece) if other else piece), FRAMES[frame])
    path = dart_move(pattern, **values).pattern.piece("front").outline("").path

    assert far_apart(path.reverse() if other else path, wanted) <= 1e-6


# -- what goes with it ---------------------------------------------------------------------------------


def test_drill_mark_notches_and_cap_of_the_dart_go_along():
    trued = dart_true(alone(standoff())).pattern
    outcome = dart_move(trued, down=20.0)
    before, after = trued.piece("front"), outcome.pattern.piece("front")
    dart = legs(after.outline(""))

    was = one(before, DRILL, "dart-point").middle
    assert one(after, DRILL, "dart-point").middle == pytest.approx(tuple(was + (0.0, 20.0)), abs=1e-6)
    ends = [spot_of(after.outline(""), m.on).point for m in after.marks if m.kind == NOTCH]
    assert sorted(map(tuple, ends)) == [
        pytest.approx(tuple(m), abs=1e-6) for m in sorted(map(tuple, dart.mouth))
    ]
    cap = one(after, INNER, "cap-dart").path
    assert cap.start == pytest.approx(tuple(dart.mouth[0]), abs=1e-6)


def test_other_marks_stay():
    piece = legs_to_apex(marks=own_marks())
    after = dart_move(alone(piece), down=20.0).pattern.piece("front")

    for kind, name in ((DRILL, "button"), (DRILL, "pocket"), (DRILL, "apex"), (LEVEL, "bust"), (GRAIN, "")):
        assert one(after, kind, name) == one(piece, kind, name)
    for name in "13":
        old = spot_of(piece.outline(""), one(piece, NOTCH, name).on).point
        assert spot_of(after.outline(""), one(after, NOTCH, name).on).point == pytest.approx(
            tuple(old), abs=1.5
        )
    assert one(after, NOTCH, "1").on == one(piece, NOTCH, "1").on


def test_a_longer_or_shorter_seam_is_told():
    outcome = dart_move(with_back(legs_to_apex()), picked(("front", "")), down=0.0, out=-40.0)
    line = outcome.pattern.piece("front").outline("")
    change = sewn(line, "side") - LENGTHS["side"]
    told = [f for f in outcome.report.findings if f.code == "seam"]

    assert abs(change) > 3.0 and told and "side" in told[0].text
    assert "{:.1f}".format(abs(change)) in texts(outcome)


def test_every_size_of_a_nest():
    outcome = dart_move(alone(nest()), down=20.0)

    for size, factor in SIZES.items():
        dart = legs(outcome.pattern.piece("front").outline(size))
        assert dart.point == pytest.approx((95.0 * factor, 265.0 * factor + 20.0), abs=1e-6)
        assert dart.angle == pytest.approx(9.0, abs=0.001)


def test_an_outline_nobody_named():
    """Without names down is down the sheet; outwards is away from the edge at the centre, or to the right."""
    outcome = dart_move(bare(R1, "shape"), picked(("shape", "")), down=20.0)
    path = outcome.pattern.piece("shape").outlines[0].path
    wanted = shifted("apex", 20.0, 0.0)[1].pattern.piece("front").outline("").path

    assert far_apart(path, wanted) <= 1e-6
    assert bare_legs(path, (95.0, 285.0)).angle == pytest.approx(9.0, abs=0.001)


def test_a_drawn_dart_is_cut_in_and_moved():
    outcome = dart_move(alone(drawn("centre")), down=20.0)
    line = outcome.pattern.piece("front").outline("")

    assert not [m for m in outcome.pattern.piece("front").marks if m.kind == DART]
    wanted = shifted("apex", 20.0, 0.0)[1].pattern.piece("front").outline("").path
    assert far_apart(line.path, wanted) <= 0.001
    assert "dart-cut-in" in codes(outcome)


def test_a_dart_with_two_points_moves_as_it_is():
    spots = np.array([(100.0, 60.0), (91.0, 150.0), (100.0, 260.0), (109.0, 150.0)])
    mark = Mark(DART, "waist-dart", "", Path.through(spots, closed=True))
    path = outline((0, 0), (200, 0), (200, 400), (0, 400))
    piece = named(path, "top side hem centre", "panel", marks=(mark, grain_line(30.0, 50.0, 350.0)))
    after = dart_move(alone(piece), down=20.0, out=10.0).pattern.piece("panel")

    nodes = one(after, DART, "waist-dart").path.nodes
    assert sorted(map(tuple, nodes)) == [
        pytest.approx(tuple(p)) for p in sorted(map(tuple, spots + (10.0, 20.0)))
    ]
    assert same(after.outline("").path, path)


def test_what_was_done_is_told_in_numbers():
    outcome = shifted("apex", 20.0, 0.0)[1]

    for word in ("dart", "front", "20.0", "down", "23.9"):
        assert word in texts(outcome), word
    assert outcome.report.summary.endswith(".")
    assert outcome == dart_move(alone(legs_to_apex()), down=20.0)


# -- warnings and errors -------------------------------------------------------------------------------


def refused(pattern, chosen=None, **values):
    return refusal(dart_move, pattern, chosen, **values)


def test_on_to_another_dart():
    """40 to 60 mm further out its mouth is that of the side dart."""
    try:
        outcome = dart_move(alone(skirt_front()), dart="front-dart", down=0.0, out=62.0)
    except InputError as error:
        assert "dart" in str(error) and str(error).endswith(".")
    else:
        assert "darts-cross" in codes(outcome)


def test_past_another_dart_is_a_place_beyond_it_or_refused():
    """80 mm further out the mouth lies from 160 to 180, on the side dart's edge again."""
    try:
        outcome = dart_move(alone(skirt_front()), dart="side-dart", down=0.0, out=-55.0)
    except InputError as error:
        assert "dart" in str(error)
    else:
        assert "darts-cross" in codes(outcome)


def test_one_leg_on_the_armhole():
    """60 mm up the first leg of R1's dart meets the armhole and the second one the side."""
    _, text = refused(alone(legs_to_apex()), down=-60.0)

    assert "dart" in text and ("armhole" in text or "side" in text)


def test_out_of_the_piece():
    refused(alone(legs_to_apex()), down=0.0, out=300.0)


def test_nowhere():
    code, _ = refused(alone(legs_to_apex()), down=0.0, out=0.0)

    assert code == "value"


def test_no_dart_and_no_such_dart():
    assert refused(alone(drawn()._replace(marks=())))[0] == "dart"
    code, text = refused(alone(legs_to_apex()), dart="waist-dart")
    assert code == "dart" and "waist-dart" in text


def test_the_shape_is_sound():
    for down, out in WAYS:
        assert (
            sheet(shifted("apex", down, out)[1].pattern.piece("front").outline("").path).geom_type
            == "Polygon"
        )
