"""A new dart: closed forms on straight edges of R1, laws that hold however it lies.

Square to a straight edge a dart w wide and l long has legs sqrt(l^2 + w^2 / 4) and opens by
2 atan(w / 2l).
"""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.changed_dart import with_changes
from sewkit.pattern.dart import dart_named
from sewkit.pattern.dart_added import Contour, Shape, added, inside
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.mark import On
from tests.geometry.shapes import R1
from tests.operations.length_pieces import tangent_at_end, tangent_at_start
from tests.operations.pieces import R1_EDGES, named_outline, notch, r1

# R1's waist is straight, 210.017 long, and begins at the side.
WAIST, LOW = 210.017, 440.149


def add(piece, on, shape, keep=""):
    made = added(piece, piece.outlines[0], on, shape, "new", keep)
    whole = piece._replace(darts=(*piece.darts, "new"))
    return made, dart_named(whole.with_outline(made.outline), made.outline, "new")


def test_square_to_a_straight_edge():
    made, dart = add(r1(), On("waist", 100.0), Shape(24.0, length=110.0))
    np.testing.assert_allclose(dart.mouth, [(122.017, LOW), (98.017, LOW)], atol=1e-8)
    np.testing.assert_allclose(dart.point, (110.017, LOW - 110), atol=1e-8)
    assert dart.lengths == pytest.approx([math.hypot(110, 12)] * 2, abs=1e-8)
    assert dart.angle == pytest.approx(2 * math.degrees(math.atan(12 / 110)), abs=1e-8)
    assert made.outline.as_sewn("waist") == pytest.approx(WAIST - 24.0, abs=1e-8)
    names = [edge.name for edge in made.outline.edges]
    assert names == "neck shoulder armhole side dart dart side waist new new waist centre".split()


def test_an_angle_is_exact():
    _, dart = add(r1(), On("waist", 100.0), Shape(angle=9.0, length=110.0))
    assert dart.angle == pytest.approx(9.0, abs=1e-9)
    assert dart.intake == pytest.approx(2 * 110 * math.tan(math.radians(4.5)), abs=1e-8)
    _, dart = add(r1(), On("armhole", 150.0), Shape(angle=6.0, length=60.0))
    assert dart.angle == pytest.approx(6.0, abs=1e-9)


def test_on_a_curve_the_mouth_is_as_wide_as_asked_and_the_legs_are_equal():
    made, dart = add(r1(), On("armhole", 150.0), Shape(15.0, length=60.0))
    assert dart.intake == pytest.approx(15.0, abs=1e-8)
    assert dart.depth == pytest.approx(60.0, abs=1e-8)
    assert dart.lengths[0] == pytest.approx(dart.lengths[1], abs=1e-8)
    first, second = made.outline.runs("armhole")
    np.testing.assert_allclose(first.start, R1.curves[2, 0], atol=1e-12)
    np.testing.assert_allclose(second.end, R1.curves[2, 3], atol=1e-12)


def test_towards_a_mark_it_ends_before_it():
    apex = np.array([95.0, 265.0])
    _, dart = add(r1(), On("shoulder", 64.08), Shape(20.0, mark=apex, stand_off=25.0))
    middle = np.array([130.0, 22.5])  # half way between (70, 0) and (190, 45)
    far = math.hypot(*(apex - middle))
    np.testing.assert_allclose(dart.point, apex + 25.0 * (middle - apex) / far, atol=1e-3)
    assert math.hypot(*(dart.point - apex)) == pytest.approx(25.0, abs=1e-8)


def test_along_the_grain_it_goes_inwards_whichever_way_the_grain_is_drawn():
    for way in ((0, 1), (0, -1)):
        _, dart = add(r1(), On("shoulder", 50.0), Shape(10.0, length=80.0, way=np.array(way, float)))
        np.testing.assert_allclose(dart.point - dart.middle, (0, 80), atol=1e-8)


def test_given_back_at_the_side_the_waist_sews_to_the_same_length():
    made, dart = add(r1(), On("waist", 100.0), Shape(20.0, length=110.0), "side")
    assert made.outline.as_sewn("waist") == pytest.approx(WAIST, abs=1e-8)
    corner = made.outline.runs("side")[1].end
    np.testing.assert_allclose(corner, (230.017, LOW), atol=1e-8)
    # The lower part of the side is straight, from D2 to the new corner; the upper one as it was.
    low = math.hypot(240.994 - 230.017, LOW - 308.222)
    assert made.outline.as_sewn("side") == pytest.approx(math.hypot(4.042, 54.851) + low, abs=1e-6)
    assert len(made.outline.runs("side")[1]) == len(made.outline.runs("waist")[0]) == 1
    np.testing.assert_allclose(dart.mouth, [(120.017, LOW), (100.017, LOW)], atol=1e-8)
    made, _ = add(r1(), On("waist", 100.0), Shape(20.0, length=110.0), "centre")
    np.testing.assert_allclose(made.outline.runs("centre")[0].start, (-20, LOW), atol=1e-8)


def test_a_curve_beside_it_keeps_its_far_direction():
    made, _ = add(r1(), On("shoulder", 60.0), Shape(12.0, length=80.0), "armhole")
    run, old = made.outline.runs("armhole")[0], r1().outlines[0].runs("armhole")[0]
    np.testing.assert_allclose(tangent_at_end(run), tangent_at_end(old), atol=1e-9)
    along = np.array([120, 45]) / math.hypot(120, 45)
    np.testing.assert_allclose(run.start, np.array([190, 45]) + 12 * along, atol=1e-8)
    made, _ = add(r1(), On("shoulder", 60.0), Shape(12.0, length=80.0), "neck")
    run, old = made.outline.runs("neck")[0], r1().outlines[0].runs("neck")[0]
    np.testing.assert_allclose(tangent_at_start(run), tangent_at_start(old), atol=1e-9)
    assert made.outline.as_sewn("shoulder") == pytest.approx(math.hypot(120, 45), abs=1e-8)


@pytest.mark.parametrize("frame", [turn(73), mirror((0, 0), (1, 2)), turn(181).then(move(900, -20))])
@pytest.mark.parametrize("keep", ["", "side"])
def test_it_is_the_same_however_the_piece_lies(frame, keep):
    shape = Shape(angle=7.0, length=90.0)
    wanted = add(r1(), On("waist", 90.0), shape, keep)[0].outline
    path = frame.path(r1().outlines[0].path)
    there = r1()._replace(outlines=(r1().outlines[0]._replace(path=path),))
    made = add(there, On("waist", 90.0), shape, keep)[0].outline
    np.testing.assert_allclose(made.path.curves, frame.path(wanted.path).curves, atol=1e-7)


def test_a_reversed_path_gives_the_same():
    there = r1()._replace(outlines=(named_outline(R1.reverse(), " ".join(reversed(R1_EDGES.split()))),))
    made = add(there, On("waist", 90.0, True), Shape(14.0), "side")[0].outline.path.reverse()
    wanted = add(r1(), On("waist", 90.0), Shape(14.0), "side")[0].outline.path
    np.testing.assert_allclose(sorted(made.nodes.tolist()), sorted(wanted.nodes.tolist()), atol=1e-7)


def test_notches_keep_their_place_on_the_cloth():
    marks = (
        notch("waist", 60.0),
        notch("waist", 150.0),
        notch("waist", 40.0, True),
        notch("side", 30.0, True),
    )
    piece = r1(marks=marks)
    made, _ = add(piece, On("waist", 100.0), Shape(20.0, length=110.0))
    new, lost = with_changes(piece, {"": made})
    assert lost == 0
    assert [mark.on.distance for mark in new.marks] == pytest.approx([60.0, 130.0, 40.0, 30.0], abs=1e-8)
    # Given back at the side, where the waist begins: what lies before the dart is 20 mm further from there.
    made, _ = add(piece, On("waist", 100.0), Shape(20.0, length=110.0), "side")
    new, _ = with_changes(piece, {"": made})
    distances = [mark.on.distance for mark in new.marks]
    assert distances[:3] == pytest.approx([80.0, 150.0, 40.0], abs=1e-8)


@pytest.mark.parametrize(
    "on, shape, keep, code",
    [
        (On("waist", 100.0), Shape(0.0), "", "value"),
        (On("waist", 100.0), Shape(20.0, length=2.0), "", "value"),
        (On("waist", 5.0), Shape(20.0), "", "overlap"),
        (On("waist", 100.0), Shape(20.0, length=500.0), "", "overlap"),
        (On("waist", 100.0), Shape(20.0, way=np.array([1.0, 0.0])), "", "overlap"),
        (On("waist", 100.0), Shape(20.0, mark=np.array([110.0, 420.0])), "", "value"),
        (On("waist", 100.0), Shape(20.0), "shoulder", "name"),
        (On("dart", 100.0), Shape(20.0), "", "dart"),
        (On("centre", 100.0), Shape(20.0), "", "fold"),
        (On("waist", 100.0), Shape(20.0), "centre", "fold"),
    ],
)
def test_what_cannot_be_is_said(on, shape, keep, code):
    with pytest.raises(InputError) as told:
        add(r1(folds=("centre",)), on, shape, keep)
    assert told.value.code == code
    assert "new," not in str(told.value)


def test_one_with_two_points_is_found_again_as_drawn():
    piece = inside(
        r1(), r1().outlines[0], np.array([60.0, 350.0]), np.array([0, 1.0]), Contour(16, 60, 50), "fish"
    )
    drawn = drawn_darts(piece, "")
    assert [dart.name for dart in drawn] == ["fish"] and drawn[0].contour
    assert drawn[0].intake == pytest.approx(16.0, abs=1e-9)
    np.testing.assert_allclose(sorted(drawn[0].points.tolist()), [(60, 290), (60, 400)], atol=1e-9)
    assert piece.outlines == r1().outlines
    with pytest.raises(InputError) as told:
        inside(
            r1(), r1().outlines[0], np.array([60.0, 420.0]), np.array([0, 1.0]), Contour(16, 60, 50), "fish"
        )
    assert told.value.code == "overlap"
