"""Arc length against closed forms, SciPy's integrals and svgpathtools."""

import math

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from sewkit.geometry.length import (
    curve_lengths,
    distance_of,
    path_length,
    place_at,
    places_at,
    point_at,
)
from sewkit.geometry.path import Path, Place, derivative, lines, split_at
from sewkit.geometry.transform import turn

# Edges as a drafter draws them (invented, mm).
ARMHOLE = [(0, 0), (-28, 70), (-12, 150), (92, 176)]
NECK = [(0, 72), (36, 72), (70, 46), (74, 0)]
HIP = [(180, 0), (210.8, 70), (236, 130), (236, 200)]
CAP = [(0, 135), (50.4, 131), (57.6, 83.7), (86.4, 45.9)]
CROTCH = [(300, 0), (296, 60), (270, 88), (205, 95)]
EDGES = np.array([ARMHOLE, NECK, HIP, CAP, CROTCH], float)
# A curve that turns back soon after its start, all but on the spot (mm).
SOON_BACK = [(0.5, 0), (0, 0), (209, 0), (0, 1)]

coordinates = st.floats(-500, 500, allow_nan=False)
points = st.tuples(coordinates, coordinates)


@st.composite
def open_paths(draw):
    count = draw(st.integers(1, 4))
    controls = np.array(draw(st.lists(points, min_size=3 * count + 1, max_size=3 * count + 1)))
    return Path(np.array([controls[3 * i : 3 * i + 4] for i in range(count)]))


def speed(curve):
    return lambda t: float(np.hypot(*derivative(curve[None], t)[0]))


def test_a_line_is_as_long_as_pythagoras_says():
    assert curve_lengths(lines(np.zeros((1, 2)), np.array([(30.0, 40.0)]))) == pytest.approx([50.0])


def test_a_line_with_uneven_handles_is_no_longer():
    assert curve_lengths(np.array([[(0, 0), (0, 0), (1, 0), (100, 0)]], float)) == pytest.approx([100.0])


def test_a_parabola():
    # closed form: the arc of y = x^2 / 100 from 0 to a is
    # x/2 sqrt(1 + (x/50)^2) + 25 asinh(x/50) at x = a; as a cubic its handles are at the
    # thirds in x and at heights 0 and a^2 / 300.
    a = 140.0
    curve = np.array([[(0, 0), (a / 3, 0), (2 * a / 3, a * a / 300), (a, a * a / 100)]])
    true = a / 2 * math.sqrt(1 + (a / 50) ** 2) + 25 * math.asinh(a / 50)

    assert curve_lengths(curve)[0] == pytest.approx(true, abs=1e-9)


def test_a_cusp():
    # closed form: with v = 1 - 2t the velocity is 300 (v^2, v), the length therefore
    # 300 times the integral of v sqrt(1 + v^2) over 0..1, or 100 (2 sqrt 2 - 1).
    curve = np.array([[(0, 0), (100, 100), (0, 100), (100, 0)]], float)

    assert curve_lengths(curve)[0] == pytest.approx(100 * (2 * math.sqrt(2) - 1), abs=1e-9)


def test_running_back_over_itself():
    # closed form: x = 300 t (1 - t)^2 + 0 turns at t = 1/3, x = 400/9; there and back.
    curve = np.array([[(0, 0), (100, 0), (0, 0), (0, 0)]], float)

    assert curve_lengths(curve)[0] == pytest.approx(800 / 9, abs=1e-9)


@pytest.mark.parametrize(
    "y",
    [
        [0, 100, -0.6, 99.7],  # turns back for a short while in the middle
        [0, 0, -10.05859375, 500],  # turns back soon after a handle of no length
        [0, 0, -3.7048413255086254, 107.39913356255023],  # once missed by 1e-8
    ],
)
def test_a_short_turn_back_is_not_overlooked(y):
    # closed form: on a straight line the length is the sum of the runs between the turns,
    # the roots of the quadratic y'.
    a, b, c = y[3] - 3 * y[2] + 3 * y[1] - y[0], 2 * (y[2] - 2 * y[1] + y[0]), y[1] - y[0]
    root = math.sqrt(b * b - 4 * a * c)
    turns = [0.0] + sorted([(-b - root) / (2 * a), (-b + root) / (2 * a)]) + [1.0]
    s = 1 - np.array(turns)
    t = np.array(turns)
    stops = s**3 * y[0] + 3 * s * s * t * y[1] + 3 * s * t * t * y[2] + t**3 * y[3]
    curve = np.array([[(0.6 * height, 0.8 * height) for height in y]])

    assert curve_lengths(curve)[0] == pytest.approx(np.abs(np.diff(stops)).sum(), abs=1e-9)
    assert np.abs(np.diff(stops)).sum() > y[3] + 1e-3  # it does turn back


def by_quad_between_turns(curve, k):
    """Arc length by SciPy, told to look ever closer where coordinate k turns: at the roots
    of its derivative."""
    integrate = pytest.importorskip("scipy.integrate")
    c = curve[:, k]
    turns = np.roots([c[3] - 3 * c[2] + 3 * c[1] - c[0], 2 * (c[2] - 2 * c[1] + c[0]), c[1] - c[0]]).real
    away = np.concatenate([[0], 4.0 ** -np.arange(1, 14)])
    spots = np.concatenate([[0, 1], np.add.outer(turns, np.concatenate([-away, away])).ravel()])
    cuts = np.unique(spots[(spots >= 0) & (spots <= 1)])
    return sum(
        integrate.quad(speed(curve), low, high, epsabs=1e-12, epsrel=1e-11)[0]
        for low, high in zip(cuts, cuts[1:])
    )


@pytest.mark.parametrize("aside", [1e-5, 1e-3, 0.1])
def test_a_short_turn_back_beside_itself_is_not_overlooked(aside):
    curve = np.array([(0, 0), (aside, 100), (0, -0.6), (0, 99.7)])

    assert curve_lengths(curve[None])[0] == pytest.approx(by_quad_between_turns(curve, 1), abs=1e-9)


@pytest.mark.parametrize("curve", [SOON_BACK, SOON_BACK[::-1]])
def test_a_turn_back_soon_after_the_start_is_not_overlooked(curve):
    # Found by hypothesis.  It turns back after 0.0009 mm, and once was taken for twice as
    # much too short: cut at the middle, its half turned before the first node of both
    # rules, which agreed on a half without a turn.
    curve = np.array(curve, float)

    assert curve_lengths(curve[None])[0] == pytest.approx(by_quad_between_turns(curve, 0), abs=1e-9)


def test_flat_curves_with_short_handles_against_scipy():
    # The same mistake lay in one of ten such curves.
    random = np.random.RandomState(7)
    flat = random.uniform(-300, 300, (60, 4, 2))
    flat[:, :, 1] *= 10.0 ** random.uniform(-6, 0, 60)[:, None]
    flat[:, 1] = flat[:, 0] + (flat[:, 1] - flat[:, 0]) * 10.0 ** random.uniform(-5, 0, 60)[:, None]

    true = [by_quad_between_turns(curve, 0) for curve in flat]

    np.testing.assert_allclose(curve_lengths(flat), true, rtol=0, atol=1e-9)


@pytest.mark.parametrize("gap", [10.0, 1.0, 0.1, 1e-3, 1e-6])
def test_near_a_cusp(gap):
    integrate = pytest.importorskip("scipy.integrate")
    curve = np.array([(0, 0), (100 + gap, 100), (0, 100), (100, 0)], float)
    # The minimum of the speed is told to quad by cutting the interval ever finer there.
    slowest = np.linspace(0.4, 0.6, 200001)
    at = slowest[np.hypot(*derivative(np.repeat(curve[None], 200001, 0), slowest).T).argmin()]
    cuts = np.concatenate(
        [[0], at - 0.4 * 4.0 ** -np.arange(12), [at], at + 0.4 * 4.0 ** -np.arange(12)[::-1], [1]]
    )
    true = sum(integrate.quad(speed(curve), a, b, epsabs=1e-13, limit=200)[0] for a, b in zip(cuts, cuts[1:]))

    assert curve_lengths(curve[None])[0] == pytest.approx(true, abs=2e-9)


@pytest.mark.parametrize("edge", EDGES)
def test_edges_against_scipy(edge):
    integrate = pytest.importorskip("scipy.integrate")
    true = integrate.quad(speed(edge), 0, 1, epsabs=1e-12, epsrel=1e-13)[0]

    assert curve_lengths(edge[None])[0] == pytest.approx(true, abs=1e-9)


@pytest.mark.parametrize("edge", EDGES)
def test_edges_against_svgpathtools(edge):
    svgpathtools = pytest.importorskip("svgpathtools")
    true = svgpathtools.CubicBezier(*(complex(*p) for p in edge)).length(error=1e-11)

    assert curve_lengths(edge[None])[0] == pytest.approx(true, abs=1e-9)


def test_curves_do_not_disturb_each_other():
    cusp = np.array([[(0, 0), (100, 100), (0, 100), (100, 0)]], float)
    together = curve_lengths(np.concatenate([EDGES, cusp, EDGES]))

    np.testing.assert_allclose(together[:5], curve_lengths(EDGES), atol=1e-12)
    np.testing.assert_allclose(together[6:], together[:5], atol=1e-12)
    assert together[5] == pytest.approx(curve_lengths(cusp)[0], abs=1e-12)


def test_nothing_has_no_length():
    assert path_length(Path([])) == 0.0
    assert curve_lengths(np.full((1, 4, 2), 7.0)).tolist() == [0.0]


def test_places_on_straight_lines_by_hand():
    path = Path.through([(0, 0), (30, 40), (30, 140)])

    assert place_at(path, 25.0).curve == 0
    np.testing.assert_allclose(point_at(path, 25.0), (15, 20), atol=1e-12)
    np.testing.assert_allclose(point_at(path, 75.0), (30, 65), atol=1e-12)
    assert distance_of(path, Place(1, 0.5)) == pytest.approx(100.0)


def test_a_node_is_the_start_of_the_curve_after_it():
    path = Path.through([(0, 0), (30, 40), (30, 140)])

    assert place_at(path, 50.0) == Place(1, 0.0)


def test_distances_beyond_the_ends_mean_the_ends():
    path = Path.through([(0, 0), (30, 40), (30, 140)])

    assert places_at(path, [-5.0, 0.0, 150.0, 151.0]) == [
        Place(0, 0.0),
        Place(0, 0.0),
        Place(1, 1.0),
        Place(1, 1.0),
    ]


def test_a_dot_in_the_path_is_stepped_over():
    path = Path.through([(0, 0), (10, 0), (10, 0), (20, 0)])

    np.testing.assert_allclose(point_at(path, 15.0), (15, 0), atol=1e-12)
    assert distance_of(path, Place(2, 0.5)) == pytest.approx(15.0)


def test_a_place_beyond_a_cusp_is_found():
    path = Path([[(0, 0), (100, 100), (0, 100), (100, 0)]])
    # closed form: from the cusp at t = 1/2 on, the length is 50 ((1 + v^2)^1.5 - 1), v = 2t - 1.
    v = 0.6
    distance = 50 * (2 * math.sqrt(2) - 1) + 50 * ((1 + v * v) ** 1.5 - 1)

    assert place_at(path, distance).t == pytest.approx(0.8, abs=1e-10)


def test_no_path_no_place():
    with pytest.raises(ValueError, match="no places"):
        place_at(Path([]), 1.0)
    with pytest.raises(ValueError, match="number"):
        place_at(Path(EDGES[:1]), float("nan"))


@given(open_paths(), st.floats(0, 1))
@settings(max_examples=60, deadline=None)
def test_there_and_back(path, share):
    distance = share * path_length(path)

    assert distance_of(path, place_at(path, distance)) == pytest.approx(distance, abs=1e-9)


@given(open_paths(), st.floats(0, 1))
@example(Path([SOON_BACK]), 0.5)
@settings(max_examples=60, deadline=None)
def test_the_parts_are_as_long_as_the_whole(path, share):
    split = split_at(path, [place_at(path, share * path_length(path))])

    assert path_length(split) == pytest.approx(path_length(path), abs=1e-8)


@given(open_paths(), st.floats(-360, 360))
@settings(max_examples=60, deadline=None)
def test_length_knows_no_direction(path, degrees):
    assert path_length(path.reverse()) == pytest.approx(path_length(path), abs=1e-8)
    assert path_length(turn(degrees).path(path)) == pytest.approx(path_length(path), abs=1e-8)


@given(open_paths())
@settings(max_examples=60, deadline=None)
def test_a_path_is_longer_than_its_chord_and_shorter_than_its_handles(path):
    steps = np.diff(path.curves, axis=1)
    around = np.hypot(steps[..., 0], steps[..., 1]).sum()

    assert np.hypot(*(path.end - path.start)) - 1e-9 <= path_length(path) <= around + 1e-9
