"""The point of a dart backed off: R1's stand-off of 25 mm, in closed form."""

import cmath
import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.transform import mirror, turn
from sewkit.pattern.dart import dart_named
from sewkit.pattern.dart_point import backed_off, set_back, set_back_from
from tests.geometry.shapes import outline as drawn
from tests.operations.length_pieces import integrated
from tests.operations.pieces import named, r1

APEX = complex(95, 265)
D1, D2 = complex(245.958, 284.851), complex(240.994, 308.222)


def bisector():
    """The unit direction half way between both legs."""
    way = (D1 - APEX) / abs(D1 - APEX) + (D2 - APEX) / abs(D2 - APEX)
    return way / abs(way)


def test_a_stand_off_of_25_mm_has_the_numbers_of_the_closed_form():
    piece = r1()
    made = set_back(piece.outlines[0], dart_named(piece, piece.outlines[0]), 25.0)
    dart = dart_named(piece, made)
    tip = APEX + 25 * bisector()

    assert complex(*dart.point) == pytest.approx(tip, abs=1e-9)
    assert dart.lengths == pytest.approx((abs(D1 - tip), abs(D2 - tip)), abs=1e-9)
    assert dart.angle == pytest.approx(math.degrees(cmath.phase((D2 - tip) / (D1 - tip))), abs=1e-9)
    # The papers' rounded numbers for the same.
    np.testing.assert_allclose(dart.point, (119.454, 270.194), atol=1e-3)
    assert dart.lengths == pytest.approx((127.350, 127.350), abs=1e-3)
    assert dart.angle == pytest.approx(10.765, abs=1e-3)
    assert dart.intake == pytest.approx(abs(D2 - D1), abs=1e-12)


def test_all_but_the_legs_stays_to_the_last_bit_and_there_and_back_is_nothing():
    piece = r1()
    old = piece.outlines[0]
    made = set_back(old, dart_named(piece, old), 25.0)
    for name in ("neck", "shoulder", "armhole", "waist", "centre"):
        assert np.array_equal(made.edge_path(name).curves, old.edge_path(name).curves)

    back = set_back_from(made, dart_named(piece, made), np.array([95.0, 265.0]), 0.0)

    assert back.edges == old.edges
    np.testing.assert_allclose(back.path.curves, old.path.curves, atol=1e-9)


@pytest.mark.parametrize("frame", [turn(73.0), mirror((5, 5), (2, 1))])
def test_it_does_not_matter_how_the_piece_lies(frame):
    piece = r1()
    old = piece.outlines[0]
    shown = old._replace(path=frame.path(old.path))
    moved = piece._replace(outlines=(shown,))

    made = set_back(shown, dart_named(moved, shown), 40.0)

    wanted = frame.path(set_back(old, dart_named(piece, old), 40.0).path)
    np.testing.assert_allclose(made.path.curves, wanted.curves, atol=1e-9)


def test_bent_legs_keep_their_shape():
    # Legs bent like a bow; from mouth to point 100 mm across and 100 up, set back 100 and 60.
    panel = drawn(
        (0, 0),
        (400, 0),
        (400, 300),
        (300, 300),
        ((270, 250), (230, 215), (200, 200)),
        ((170, 215), (130, 250), (100, 300)),
        (0, 300),
    )
    piece = named(panel, "top right hem dart dart hem left", "panel", darts=("dart",))
    old = piece.outlines[0]

    made = set_back(old, dart_named(piece, old), 40.0)

    first, second = made.runs("dart")
    assert tuple(first.end) == pytest.approx((200, 240))
    size = math.hypot(100, 60) / math.hypot(100, 100)
    for leg, was in zip((first, second), old.runs("dart")):
        assert integrated(leg) == pytest.approx(integrated(was) * size, abs=1e-6)


@pytest.mark.parametrize("distance", [150.0, 200.0])
def test_a_point_set_back_out_of_the_mouth_is_refused(distance):
    piece = r1()
    with pytest.raises(InputError) as told:
        set_back(piece.outlines[0], dart_named(piece, piece.outlines[0]), distance)

    assert told.value.code == "value"


def test_half_way_is_by_the_angle_and_not_by_the_middle_of_the_mouth():
    # Legs of 50 along x and 200 along y: half way by the angle is the diagonal.
    spot = backed_off(np.zeros(2), np.array([(50.0, 0.0), (0.0, 200.0)]), 10.0)

    assert tuple(spot) == pytest.approx((10 / math.sqrt(2), 10 / math.sqrt(2)))
