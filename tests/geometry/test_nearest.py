"""The nearest place, against hand-worked cases and SciPy's minimiser."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place, point, split_at
from sewkit.geometry.transform import turn

# The parabola y = x^2 / 100 for x from -100 to 100, as a cubic: by hand from its end
# points (-100, 100), (100, 100) and end directions of slope -2 and 2.
PARABOLA = Path([[(-100, 100), (-100 / 3, -100 / 3), (100 / 3, -100 / 3), (100, 100)]])
# A loop, an S and a nearly straight edge (invented).
SHAPES = [
    [(0, 0), (150, 100), (-50, 100), (100, 0)],
    [(0, 0), (120, 0), (-20, 150), (100, 150)],
    [(180, 0), (210.8, 70), (236, 130), (236, 200)],
]

coordinates = st.floats(-500, 500, allow_nan=False)
points = st.tuples(coordinates, coordinates)


@st.composite
def open_paths(draw):
    count = draw(st.integers(1, 4))
    controls = np.array(draw(st.lists(points, min_size=3 * count + 1, max_size=3 * count + 1)))
    return Path(np.array([controls[3 * i : 3 * i + 4] for i in range(count)]))


def test_square_to_a_line():
    # by hand: the triangle 30, 40, 50
    found = nearest(Path.through([(0, 0), (300, 0)]), (30, 40))

    assert found.distance == pytest.approx(40, abs=1e-12)
    assert found.point.tolist() == pytest.approx([30, 0])
    assert found.place.curve == 0 and found.place.t == pytest.approx(0.1)


def test_beyond_the_end_of_a_line():
    found = nearest(Path.through([(0, 0), (300, 0)]), (330, 40))

    assert found.distance == pytest.approx(50, abs=1e-12)
    assert found.place == Place(0, 1.0)


@pytest.mark.parametrize("height", [10.0, 49.0, 50.0])
def test_low_on_the_axis_of_a_parabola_the_vertex_is_nearest(height):
    # closed form: the radius of curvature at the vertex of y = x^2 / 100 is 50
    found = nearest(PARABOLA, (0, height))

    assert found.distance == pytest.approx(height, abs=1e-9)


@pytest.mark.parametrize("height", [51.0, 75.0, 100.0, 140.0])
def test_high_on_the_axis_of_a_parabola_two_places_are(height):
    # closed form: x^2 = 100 (h - 50), and the distance squared 100 (h - 50) + 50^2
    found = nearest(PARABOLA, (0, height))

    assert found.distance == pytest.approx(math.sqrt(100 * (height - 50) + 2500), abs=1e-9)
    assert abs(found.point[0]) == pytest.approx(10 * math.sqrt(height - 50), abs=1e-6)


def test_of_equally_near_places_the_first_is_taken():
    square = Path.through([(0, 0), (100, 0), (100, 100), (0, 100)], closed=True)

    assert nearest(square, (50, 50)).place.curve == 0


def test_the_middle_of_a_round_curve():
    # closed form: the classic quarter circle of handle 4/3 (sqrt 2 - 1) touches the circle
    # at its ends and middle and is outside it in between.
    k = 400 / 3 * (math.sqrt(2) - 1)
    quarter = Path([[(100, 0), (100, k), (k, 100), (0, 100)]])

    assert nearest(quarter, (0, 0)).distance == pytest.approx(100, abs=1e-9)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("target", [(50, 40), (0, 80), (-300, 20), (120, 160), (210, 90), (50, 43)])
def test_against_scipy(shape, target):
    optimize = pytest.importorskip("scipy.optimize")
    curve = np.array([shape], float)

    def away(t):
        return float(np.hypot(*(point(curve, t)[0] - target)))

    grid = np.linspace(0, 1, 201)
    true = min(
        min(
            away(a),
            away(b),
            optimize.minimize_scalar(away, bounds=(a, b), method="bounded", options={"xatol": 1e-12}).fun,
        )
        for a, b in zip(grid, grid[1:])
    )
    assert nearest(Path(curve), target).distance == pytest.approx(true, abs=1e-9)


def test_a_narrow_minimum_beside_a_cusp_is_not_missed():
    optimize = pytest.importorskip("scipy.optimize")
    # Two minima 0.02 apart in t, on either side of the slowest spot; steps from an even
    # grid fall into the wrong one (0.0007 mm).
    curve = np.array([[(0, 0), (90.61380730781008, 100), (-5.257343436393454, 100), (100, 0)]])
    target = (44.5288105088772, 74.99311694289473)

    def away(t):
        return float(np.hypot(*(point(curve, t)[0] - target)))

    fine = np.linspace(0, 1, 5001)
    start = int(np.argmin([away(t) for t in fine]))
    true = optimize.minimize_scalar(
        away, bounds=(fine[start - 1], fine[start + 1]), method="bounded", options={"xatol": 1e-13}
    ).fun
    assert nearest(Path(curve), target).distance == pytest.approx(true, abs=1e-9)


def test_no_path_no_place():
    with pytest.raises(ValueError, match="no nearest place"):
        nearest(Path([]), (0, 0))


def test_a_dot_has_a_nearest_place_too():
    assert nearest(Path([[(3, 4)] * 4]), (0, 0)).distance == pytest.approx(5)


@given(open_paths(), points)
@settings(max_examples=100, deadline=None)
def test_no_sampled_point_is_nearer(path, target):
    samples = point(path.curves, np.broadcast_to(np.linspace(0, 1, 401), (len(path), 401)))
    away = samples - np.array(target)

    assert nearest(path, target).distance <= np.hypot(away[..., 0], away[..., 1]).min() + 1e-9


@given(open_paths(), points)
@settings(max_examples=60, deadline=None)
def test_the_answer_is_consistent(path, target):
    distance, place, spot = nearest(path, target)

    np.testing.assert_allclose(point(path.curves[place.curve][None], place.t)[0], spot, atol=1e-9)
    assert math.hypot(spot[0] - target[0], spot[1] - target[1]) == pytest.approx(distance, abs=1e-9)


@given(open_paths(), st.floats(0, 1))
@settings(max_examples=60, deadline=None)
def test_a_point_of_the_path_is_found(path, share):
    place = place_at(path, share * path_length(path))
    spot = point(path.curves[place.curve][None], place.t)[0]

    assert nearest(path, spot).distance <= 1e-9


@given(open_paths(), points, st.floats(-360, 360), st.floats(0.05, 0.95))
@settings(max_examples=60, deadline=None)
def test_turning_reversing_and_splitting_change_nothing(path, target, degrees, t):
    distance = nearest(path, target).distance
    move = turn(degrees, (30, 40))

    assert nearest(move.path(path), move.points([target])[0]).distance == pytest.approx(distance, abs=1e-8)
    assert nearest(path.reverse(), target).distance == pytest.approx(distance, abs=1e-9)
    assert nearest(split_at(path, [Place(0, t)]), target).distance == pytest.approx(distance, abs=1e-8)
