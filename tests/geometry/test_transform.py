"""Moves of the plane."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.geometry.path import Path
from sewkit.geometry.transform import IDENTITY, Transform, mirror, move, scale, turn

coordinates = st.floats(-1000, 1000, allow_nan=False)
points = st.tuples(coordinates, coordinates)
small = st.floats(-3, 3, allow_nan=False)
transforms = st.builds(Transform, small, small, small, small, coordinates, coordinates)


def test_the_numbers_are_in_the_order_of_svg():
    # source: SVG 1.1, 7.4: matrix(a b c d e f) takes x to a x + c y + e, y to b x + d y + f.
    assert Transform(2, 3, 5, 7, 11, 13).points([(1, 10)]).tolist() == [[63, 86]]


def test_a_quarter_turn_takes_right_to_down():
    # Clockwise on the sheet, y down.
    np.testing.assert_allclose(turn(90).points([(1, 0)]), [(0, 1)], atol=1e-15)


def test_a_turn_leaves_its_centre():
    np.testing.assert_allclose(turn(37, (20, 30)).points([(20, 30)]), [(20, 30)], atol=1e-13)


def test_a_mirror_at_45_degrees_swaps_the_coordinates():
    np.testing.assert_allclose(mirror((0, 0), (2, 2)).points([(3, 8)]), [(8, 3)], atol=1e-14)


def test_a_mirror_off_the_origin():
    # by hand: in the upright line x = 10, 3 goes to 17.
    np.testing.assert_allclose(mirror((10, 99), (0, -4)).points([(3, 8)]), [(17, 8)], atol=1e-14)


def test_a_mirror_without_a_direction_is_refused():
    with pytest.raises(ValueError, match="direction"):
        mirror((0, 0), (0, 0))


def test_then_applies_the_first_first():
    both = move(10, 0).then(scale(2, 2))

    assert both.points([(1, 1)]).tolist() == [[22, 2]]


def test_a_flat_transform_has_no_way_back():
    with pytest.raises(ValueError, match="flat"):
        scale(1, 0).inverse()


def test_determinants_tell_size_and_side():
    assert scale(2, 3).determinant == 6
    assert mirror((0, 0), (1, 2)).determinant == pytest.approx(-1)
    assert turn(123).determinant == pytest.approx(1)


def test_moving_a_path_keeps_its_kind():
    path = Path.through([(0, 0), (10, 0), (10, 10)], closed=True)

    assert IDENTITY.path(path) is path
    assert move(5, 7).path(path).closed
    assert move(5, 7).path(path).nodes.tolist() == [[5, 7], [15, 7], [15, 17]]


@given(transforms, transforms, points)
@settings(max_examples=100, deadline=None)
def test_then_is_one_after_the_other(first, second, spot):
    together = first.then(second).points([spot])
    apart = second.points(first.points([spot]))

    np.testing.assert_allclose(together, apart, atol=1e-8)


@given(transforms, points)
@settings(max_examples=100, deadline=None)
def test_the_inverse_leads_back(transform, spot):
    if abs(transform.determinant) < 0.01:
        return
    back = transform.inverse().points(transform.points([spot]))

    # A move close to flat loses digits: 9 * 2000 mm * 1e-16 / 0.01 is 2e-10 mm, and some.
    np.testing.assert_allclose(back, [spot], atol=1e-8)


@given(transforms, points)
@settings(max_examples=50, deadline=None)
def test_points_move_as_in_a_reference_library(transform, spot):
    affinity = pytest.importorskip("shapely.affinity")
    geometry = pytest.importorskip("shapely.geometry")
    a, b, c, d, e, f = transform
    # Shapely's order is x' = a x + b y + xoff, y' = d x + e y + yoff.
    there = affinity.affine_transform(geometry.Point(spot), [a, c, b, d, e, f])

    np.testing.assert_allclose(transform.points([spot])[0], (there.x, there.y), atol=1e-9)


@given(st.floats(-720, 720), points, points, points)
@settings(max_examples=50, deadline=None)
def test_turns_keep_distances(degrees, about, one, other):
    moved = turn(degrees, about).points([one, other])

    np.testing.assert_allclose(
        np.hypot(*(moved[1] - moved[0])), math.hypot(other[0] - one[0], other[1] - one[1]), atol=1e-8
    )
