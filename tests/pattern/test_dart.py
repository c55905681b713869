"""Darts cut into an outline.  Numbers of R1 are those of its draft; others are worked in the tests."""

import itertools
import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path, lines
from sewkit.geometry.transform import mirror, turn
from sewkit.pattern.dart import dart_at_nodes, dart_named, darts_of, free_name
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.piece import Piece
from tests.geometry.shapes import R1, outline
from tests.operations.length_pieces import ruler
from tests.operations.pieces import bare_piece, named, r1

APEX = np.array([95.0, 265.0])
UPPER, LOWER = np.array([245.958, 284.851]), np.array([240.994, 308.222])
FRAMES = {
    "as drawn": turn(0.0),
    "turned": turn(127.3, (40.0, -25.0)),
    "upside down": turn(180.0),
    "mirrored": mirror((10.0, 0.0), (0.3, 1.0)),
}


def only(piece):
    (dart,) = darts_of(piece, piece.outlines[0])
    return dart


def notched(*spots, named_as=None):
    """A 300 by 200 box whose upper side goes through the given spots."""
    path = Path.through([(0, 0), *spots, (300, 0), (300, 200), (0, 200)], closed=True)
    return bare_piece(path) if named_as is None else named(path, named_as)


# -- its measures --------------------------------------------------------------------------


@pytest.mark.parametrize("piece", [r1(), bare_piece(R1)], ids=["named", "bare"])
def test_the_bust_dart_of_a_drafted_front(piece):
    dart = only(piece)
    assert dart.name == ("dart" if piece.named else "dart-1")
    assert dart.angle == pytest.approx(9.0, abs=0.01)
    assert dart.lengths == pytest.approx((152.258, 152.258), abs=0.02)
    assert dart.intake == pytest.approx(23.892, abs=0.02)
    # An isosceles triangle: half the angle is between a leg and the axis.
    assert dart.depth == pytest.approx(152.258 * math.cos(math.radians(4.5)), abs=0.01)
    np.testing.assert_array_equal(dart.point, APEX)
    np.testing.assert_array_equal(dart.mouth, [UPPER, LOWER])
    np.testing.assert_allclose(dart.middle, (UPPER + LOWER) / 2)
    np.testing.assert_allclose(dart.axis, (dart.middle - APEX) / dart.depth, atol=1e-6)


def test_a_mouth_seen_from_the_apex_keeps_its_angle_when_the_point_is_set_back():
    # Set back 25 mm along the axis the point is T and the angle there 10.765 degrees.
    path = R1.curves.copy()
    back = np.array([119.454, 270.194])
    path[4], path[5] = lines(UPPER, back), lines(back, LOWER)
    dart = only(bare_piece(Path(path, closed=True)))
    assert dart.angle == pytest.approx(10.765, abs=0.01)
    assert dart.lengths == pytest.approx((127.350, 127.350), abs=0.02)
    assert dart.seen_from(APEX) == pytest.approx(9.0, abs=0.01)


def test_curved_legs_are_measured_along_their_curves():
    # Legs that bow by the same curve, mirrored in the axis x = 150.
    left = ((148, 30), (150, 70), (150, 110))
    right = ((150, 70), (152, 30), (162, 0))
    path = outline((0, 0), (138, 0), left, right, (300, 0), (300, 200), (0, 200), (0, 0))
    dart = only(bare_piece(path))
    leg = ruler(Path([[(138, 0), *left]]))
    assert leg > math.hypot(12, 110) + 0.05
    assert dart.lengths == pytest.approx((leg, leg), abs=1e-6)
    assert dart.angle == pytest.approx(2 * math.degrees(math.atan2(12, 110)), abs=1e-9)
    assert dart.intake == pytest.approx(24.0)
    np.testing.assert_allclose(dart.axis, [0, -1], atol=1e-12)


def test_unequal_legs_have_their_axis_half_way_between_the_directions():
    dart = only(notched((140, 0), (150, 100), (156, 0)))
    one, other = math.atan2(-10, 100), math.atan2(6, 100)
    half = (one + other) / 2
    np.testing.assert_allclose(dart.axis, [math.sin(half), -math.cos(half)], atol=1e-12)


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("back", [False, True])
def test_it_is_the_same_dart_however_the_piece_lies_and_is_drawn(frame, back):
    for start in range(len(R1)):
        path = FRAMES[frame].path(R1.start_at(start))
        dart = only(bare_piece(path.reverse() if back else path))
        assert dart.name == "dart-1"
        assert dart.angle == pytest.approx(9.0, abs=0.01)
        assert dart.intake == pytest.approx(23.892, abs=0.02)
        wanted = FRAMES[frame].points(np.array([UPPER, LOWER]))
        np.testing.assert_allclose(dart.mouth, wanted[::-1] if back else wanted, atol=1e-9)
        np.testing.assert_allclose(dart.point, FRAMES[frame].points(APEX), atol=1e-9)


# -- what is one and what is not -----------------------------------------------------------

NO_DARTS = {
    "a corner that points outwards": [(140, 0), (150, -100), (162, 0)],
    "wider than any dart": [(70, 0), (150, 120), (230, 0)],
    "a notch": [(149, 0), (150, 14), (151, 0)],
    "legs that cannot be sewn together": [(140, 0), (150, 100), (154, 40), (170, 0)],
    "a square cut out of the edge": [(140, 0), (160, 20), (180, 0)],
    "one leg far longer": [(140, 0), (150, 100), (152, 60), (200, 0)],
}


@pytest.mark.parametrize("what", NO_DARTS)
def test_what_is_no_dart_is_not_taken_for_one(what):
    piece = notched(*NO_DARTS[what])
    assert darts_of(piece, piece.outlines[0]) == ()


def test_a_neckline_or_a_vent_of_a_named_piece_is_no_dart():
    spots = (130, 0), (150, 100), (170, 0)
    whole = notched(*spots, named_as="shoulder neck neck shoulder side hem side")
    assert darts_of(whole, whole.outlines[0]) == ()
    numbered = notched(*spots, named_as="shoulder 2 3 shoulder side hem side")
    assert [dart.name for dart in darts_of(numbered, numbered.outlines[0])] == ["dart"]
    called = notched(*spots, named_as="waist back-dart back-dart waist side hem side")
    assert [dart.name for dart in darts_of(called, called.outlines[0])] == ["back-dart"]


def test_an_open_line_has_no_darts():
    piece = bare_piece(Path.through([(0, 0), (140, 0), (150, 100), (160, 0), (300, 0)]))
    assert darts_of(piece, piece.outlines[0]) == ()


def test_named_legs_are_a_dart_whatever_they_look_like():
    wide = notched((40, 0), (150, 60), (280, 0), named_as="a d d a b c e")._replace(darts=("d",))
    assert only(wide).name == "d"
    odd = wide._replace(darts=("d", "a"))  # four legs in a row, by twos of one name
    assert [dart.name for dart in darts_of(odd, odd.outlines[0])] == ["d"]
    single = notched((40, 0), (150, 60), (280, 0), named_as="a d x a b c e")._replace(darts=("d",))
    assert darts_of(single, single.outlines[0]) == ()


def test_two_darts_side_by_side_are_two():
    piece = notched((100, 0), (110, 90), (120, 0), (130, 90), (140, 0))
    found = darts_of(piece, piece.outlines[0])
    assert [(dart.name, dart.edges) for dart in found] == [("dart-1", (1, 2)), ("dart-2", (3, 4))]
    for dart in found:
        assert dart.intake == pytest.approx(20.0)


def test_a_name_that_only_another_size_has_is_free():
    piece = r1()
    other = bare_outline(R1, "12")
    assert free_name(piece, piece.outlines[0]) == "dart-2"
    assert free_name(piece, other) == "dart"
    assert free_name(Piece("line", (other,), named=False), other) == "dart-1"


# -- which one is meant --------------------------------------------------------------------


def two():
    spots = (60, 0), (70, 90), (80, 0), (200, 0), (215, 90), (230, 0)
    names = "waist front-dart front-dart waist back-dart back-dart waist side hem centre"
    return notched(*spots, named_as=names)._replace(darts=("front-dart", "back-dart"))


@pytest.mark.parametrize(
    "words, wide", [("front-dart", 20.0), ("back-dart", 30.0), ("2", 30.0), (" 1 ", 20.0)]
)
def test_a_dart_is_meant_by_its_name_or_its_number(words, wide):
    piece = two()
    assert dart_named(piece, piece.outlines[0], words).intake == pytest.approx(wide)


@pytest.mark.parametrize("words", ["", "x", "3", "0"])
def test_where_it_is_not_said_which_all_are_listed(words):
    piece = two()
    with pytest.raises(InputError) as told:
        dart_named(piece, piece.outlines[0], words)
    assert told.value.code == "dart"
    assert "1 front-dart (20.0 mm wide), 2 back-dart (30.0 mm wide)" in str(told.value)


def test_that_there_is_none_is_one_sentence_and_what_to_do():
    piece = bare_piece(Path.through([(0, 0), (300, 0), (300, 200)], closed=True))
    with pytest.raises(InputError, match="'line' has no dart") as told:
        dart_named(piece, piece.outlines[0])
    assert "drawn legs" in str(told.value)


def test_three_nodes_mean_a_dart_in_whatever_order_they_were_clicked():
    made = bare_outline(R1)
    for spots in itertools.permutations([APEX, UPPER, LOWER]):
        dart = dart_at_nodes(made, spots)
        assert dart.edges == (4, 5)
        np.testing.assert_array_equal(dart.point, APEX)


def test_three_nodes_may_mean_a_dart_wider_than_any_that_is_found():
    piece = notched((40, 0), (150, 60), (280, 0))
    assert darts_of(piece, piece.outlines[0]) == ()
    dart = dart_at_nodes(piece.outlines[0], [(150, 60), (40, 0), (280, 0)])
    assert dart.intake == pytest.approx(240.0)


@pytest.mark.parametrize(
    "spots",
    [
        [APEX, UPPER],
        [APEX, UPPER, UPPER],
        [APEX, UPPER, (0, 80)],
        [APEX, UPPER, LOWER, (0, 80)],
        [APEX, UPPER, (500, 500)],
        [(190, 45), (70, 0), (250, 230)],  # three corners, but the middle one points outwards
    ],
)
def test_three_nodes_that_are_no_dart_are_told(spots):
    with pytest.raises(InputError) as told:
        dart_at_nodes(bare_outline(R1), spots)
    assert told.value.code == "dart" and "Select three" in str(told.value)
