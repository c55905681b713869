"""Area, sides and boxes, against closed forms and Shapely."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, lines, point, split_at
from sewkit.geometry.polygon import bounds, contains, flatten, signed_area, winding
from sewkit.geometry.transform import turn

SQUARE = Path.through([(0, 0), (100, 0), (100, 100), (0, 100)], closed=True)
PARABOLA = Path([[(-100, 100), (-100 / 3, -100 / 3), (100 / 3, -100 / 3), (100, 100)]])
# A front with a neck, an armhole and a shaped side (invented).
FRONT = Path(
    np.concatenate(
        [
            [[(0, 72), (36, 72), (70, 46), (74, 0)]],
            lines(np.array([(74.0, 0)]), np.array([(190.0, 40)])),
            [[(190, 40), (150, 100), (160, 180), (250, 210)]],
            [[(250, 210), (236, 280), (240, 350), (252, 420)]],
            lines(np.array([(252.0, 420), (0, 430)]), np.array([(0.0, 430), (0, 72)])),
        ]
    ),
    closed=True,
)


def wild(seed, count):
    curves = np.random.RandomState(seed).rand(count, 4, 2) * 300
    curves[1:, 0] = curves[:-1, 3]
    curves[-1, 3] = curves[0, 0]
    return Path(curves, closed=True)


def test_clockwise_on_the_sheet_is_positive():
    # Right, down, left, up: y points down.
    assert signed_area(SQUARE) == pytest.approx(10000)
    assert signed_area(SQUARE.reverse()) == pytest.approx(-10000)


def test_a_parabola_closed_by_its_chord():
    # source: Archimedes, Quadrature of the Parabola: two thirds of width times height.
    assert abs(signed_area(PARABOLA)) == pytest.approx(2 / 3 * 200 * 100, abs=1e-9)


def test_the_two_loops_of_an_eight_cancel():
    eight = Path.through([(0, 0), (100, 100), (100, 0), (0, 100)], closed=True)

    assert signed_area(eight) == pytest.approx(0, abs=1e-9)


def test_area_far_from_the_origin_keeps_its_digits():
    assert signed_area(Path(FRONT.curves + 1e5, True)) == pytest.approx(signed_area(FRONT), abs=1e-4)


def test_area_against_shapely():
    geometry = pytest.importorskip("shapely.geometry")
    # A chord's deviation of 1e-4 mm along 1.6 m of outline is 0.2 mm2 at most.
    true = geometry.Polygon(flatten(FRONT, 1e-4)).area

    assert signed_area(FRONT) == pytest.approx(true, abs=0.2)


def test_nothing_has_no_area_and_no_box():
    assert signed_area(Path([])) == 0.0
    assert winding(Path([]), [(0, 0)]).tolist() == [0]
    with pytest.raises(ValueError, match="no size"):
        bounds(Path([]))


def test_winding_counts_laps_and_sides():
    eight = Path.through([(0, 0), (100, 100), (100, 0), (0, 100)], closed=True)
    twice = Path(np.concatenate([SQUARE.curves, SQUARE.curves]), closed=True)

    # by hand: the right loop of the eight runs up its right side, against the clock
    assert winding(eight, [(90, 50), (10, 50), (50, 10)]).tolist() == [-1, 1, 0]
    assert winding(twice, [(50, 50), (150, 50)]).tolist() == [2, 0]


def test_heights_of_nodes_are_counted_once():
    diamond = Path.through([(50, 0), (100, 50), (50, 100), (0, 50)], closed=True)

    assert winding(diamond, [(50, 50), (-10, 50), (-10, 0), (-10, 100), (110, 50)]).tolist() == [
        1,
        0,
        0,
        0,
        0,
    ]


def test_an_open_path_is_closed_by_its_chord():
    assert contains(PARABOLA, [(0, 50), (0, 101), (0, -1)]).tolist() == [True, False, False]


@pytest.mark.parametrize("off", [1e-3, 1e-6, 1e-9])
def test_inside_is_exact_on_a_curve(off):
    # closed form: (60, 36) lies on y = x^2 / 100
    assert contains(PARABOLA, [(60, 36 + off), (60, 36 - off)]).tolist() == [True, False]


@pytest.mark.parametrize("seed", range(12))
def test_winding_against_the_sum_of_angles(seed):
    path = wild(seed, 4)
    targets = np.random.RandomState(seed + 99).rand(60, 2) * 300
    corners = flatten(path, 1e-4)
    away = np.concatenate([corners, corners[:1]])[:, None] - targets
    angles = np.arctan2(away[..., 1], away[..., 0])
    turned = np.diff(angles, axis=0)
    true = np.round(((turned + np.pi) % (2 * np.pi) - np.pi).sum(axis=0) / (2 * np.pi)).astype(int)

    assert winding(path, targets).tolist() == true.tolist()


def test_contains_against_shapely():
    geometry = pytest.importorskip("shapely.geometry")
    shape = geometry.Polygon(flatten(FRONT, 1e-4))
    targets = np.random.RandomState(5).rand(400, 2) * [280, 450] - [10, 10]
    clear = np.array([nearest(FRONT, target).distance > 1e-3 for target in targets])
    true = [shape.contains(geometry.Point(target)) for target in targets[clear]]

    assert contains(FRONT, targets[clear]).tolist() == true


def test_the_box_of_a_parabola():
    assert bounds(PARABOLA) == pytest.approx((-100, 0, 100, 100))


@pytest.mark.parametrize("seed", range(12))
def test_boxes_against_dense_points(seed):
    path = wild(seed, 4)
    dense = point(path.curves, np.broadcast_to(np.linspace(0, 1, 20001), (4, 20001)))
    left, top = dense.min(axis=(0, 1))
    right, bottom = dense.max(axis=(0, 1))
    box = bounds(path)

    # Samples 5e-5 apart miss an extreme by less than 6 * 600 * (5e-5)^2 / 8 mm.
    np.testing.assert_allclose(box, (left, top, right, bottom), atol=2e-6)
    assert box[0] <= left and box[1] <= top and box[2] >= right and box[3] >= bottom


@pytest.mark.parametrize("tolerance", [1.0, 0.1, 0.01, 0.001])
def test_flat_pieces_stay_within_the_tolerance(tolerance):
    geometry = pytest.importorskip("shapely.geometry")
    corners = flatten(FRONT, tolerance)
    ring = geometry.LinearRing(corners)
    dense = point(FRONT.curves, np.broadcast_to(np.linspace(0, 1, 300), (len(FRONT), 300))).reshape(-1, 2)

    assert max(ring.distance(geometry.Point(spot)) for spot in dense) <= tolerance * (1 + 1e-9)


def test_straight_edges_keep_their_corners_only():
    assert flatten(SQUARE).tolist() == SQUARE.nodes.tolist()
    assert flatten(Path.through([(0, 0), (5, 5), (9, 0)])).tolist() == [[0, 0], [5, 5], [9, 0]]
    assert flatten(Path([])).shape == (0, 2)


@given(st.integers(0, 10**6), st.floats(-360, 360), st.floats(0.1, 0.9))
@settings(max_examples=50, deadline=None)
def test_turning_reversing_and_splitting_keep_the_area(seed, degrees, t):
    path = wild(seed, 3)
    area = signed_area(path)

    assert signed_area(turn(degrees, (40, 90)).path(path)) == pytest.approx(area, abs=1e-6)
    assert signed_area(path.reverse()) == pytest.approx(-area, abs=1e-6)
    assert signed_area(split_at(path, [Place(1, t)])) == pytest.approx(area, abs=1e-6)
    assert signed_area(path.start_at(1)) == pytest.approx(area, abs=1e-6)


@given(st.integers(0, 10**6), st.floats(0, 300), st.floats(0, 300))
@settings(max_examples=50, deadline=None)
def test_going_round_the_other_way_counts_the_other_way(seed, x, y):
    path = wild(seed, 3)
    if nearest(path, (x, y)).distance > 1e-6:
        assert winding(path.reverse(), [(x, y)]).tolist() == [-winding(path, [(x, y)])[0]]


def test_many_points_at_once():
    grid = np.stack(np.meshgrid(np.arange(-5, 110, 10), np.arange(-5, 110, 10)), axis=-1).reshape(-1, 2)
    inside = (grid > 0).all(axis=1) & (grid < 100).all(axis=1)

    assert contains(SQUARE, grid).tolist() == inside.tolist()
    assert math.isclose(inside.mean(), 100 / 144)
