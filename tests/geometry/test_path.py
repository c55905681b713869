"""Paths: what they hold, and that cutting, turning round and joining keep the shape."""

import pickle

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.geometry.path import (
    Path,
    Place,
    cut,
    cut_curve,
    derivative,
    end_tangents,
    is_line,
    join,
    lines,
    point,
    second_derivative,
    split_at,
    start_tangents,
    turns,
)

SQUARE = Path.through([(0, 0), (100, 0), (100, 100), (0, 100)], closed=True)
ARCH = np.array([[0.0, 0.0], [0.0, 60.0], [100.0, 60.0], [100.0, 0.0]])

coordinates = st.floats(-1000, 1000, allow_nan=False)
points = st.tuples(coordinates, coordinates)
curves = st.lists(points, min_size=4, max_size=4).map(np.array)


@st.composite
def open_paths(draw):
    """One to four curves end to end."""
    count = draw(st.integers(1, 4))
    controls = draw(st.lists(points, min_size=3 * count + 1, max_size=3 * count + 1))
    controls = np.array(controls)
    return Path(np.array([controls[3 * i : 3 * i + 4] for i in range(count)]))


def test_a_path_cannot_be_changed():
    with pytest.raises(AttributeError):
        SQUARE.closed = False
    with pytest.raises(ValueError):
        SQUARE.curves[0, 0, 0] = 5.0


def test_a_path_does_not_share_the_array_it_was_made_from():
    source = np.array([ARCH])
    path = Path(source)
    source[0, 0] = 77.0

    assert path.start.tolist() == [0.0, 0.0]


@pytest.mark.parametrize(
    "wrong",
    [
        [(0, 0), (1, 1)],  # points, not curves
        np.zeros((1, 3, 2)),  # three control points
        np.full((1, 4, 2), np.nan),  # not numbers
        np.full((1, 4, 2), np.inf),  # endless
    ],
)
def test_a_path_refuses_what_is_no_curve(wrong):
    with pytest.raises(ValueError):
        Path(wrong)


def test_an_empty_path_is_a_path():
    assert len(Path([])) == 0
    assert Path([]).curves.shape == (0, 4, 2)


def test_paths_are_equal_by_value_and_survive_storing():
    again = pickle.loads(pickle.dumps(SQUARE))

    assert again == SQUARE
    assert hash(again) == hash(SQUARE)
    assert again != Path(SQUARE.curves, closed=False)
    assert SQUARE != "a square"


def test_the_nodes_of_a_closed_path_are_not_repeated():
    assert SQUARE.nodes.tolist() == [[0, 0], [100, 0], [100, 100], [0, 100]]
    assert Path.through([(0, 0), (1, 0), (2, 5)]).nodes.tolist() == [[0, 0], [1, 0], [2, 5]]


def test_a_part_may_run_through_the_seam():
    assert SQUARE.part(1, 3).nodes.tolist() == [[100, 0], [100, 100], [0, 100]]
    assert SQUARE.part(3, 1).nodes.tolist() == [[0, 100], [0, 0], [100, 0]]
    assert len(SQUARE.part(2, 2)) == 4


def test_a_closed_path_can_start_at_another_node():
    assert SQUARE.start_at(2).nodes.tolist() == [[100, 100], [0, 100], [0, 0], [100, 0]]


@given(open_paths())
@settings(max_examples=50, deadline=None)
def test_reversing_twice_changes_nothing(path):
    assert path.reverse().reverse() == path
    assert path.reverse().start.tolist() == path.end.tolist()


@given(curves, st.floats(0, 1))
@settings(max_examples=100, deadline=None)
def test_points_and_derivatives_agree_with_a_reference_library(curve, t):
    interpolate = pytest.importorskip("scipy.interpolate")
    # SciPy's Bernstein polynomial: coefficients (4, 1, 2) on the interval 0..1.
    true = interpolate.BPoly(curve[:, None], [0, 1])

    np.testing.assert_allclose(point(curve[None], t)[0], true(t), atol=1e-9)
    np.testing.assert_allclose(derivative(curve[None], t)[0], true(t, nu=1), atol=1e-8)
    np.testing.assert_allclose(second_derivative(curve[None], t)[0], true(t, nu=2), atol=1e-7)


def test_one_call_takes_one_parameter_each_or_many():
    both = np.array([ARCH, ARCH + 10.0])

    assert point(both, 0.5).tolist() == [[50, 45], [60, 55]]  # by hand: 3/4 of 60
    assert point(both, [0.0, 1.0]).tolist() == [[0, 0], [110, 10]]
    assert point(both, [[0.0, 1.0], [0.0, 1.0]]).tolist() == [
        [[0, 0], [100, 0]],
        [[10, 10], [110, 10]],
    ]


@given(curves, st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
@settings(max_examples=100, deadline=None)
def test_a_cut_out_part_lies_on_its_curve(curve, start, stop, t):
    start, stop = sorted((start, stop))
    part = cut_curve(curve, start, stop)

    there = point(curve[None], start + t * (stop - start))[0]
    np.testing.assert_allclose(point(part[None], t)[0], there, atol=1e-8)


def test_cutting_out_everything_is_exact():
    assert cut_curve(ARCH, 0.0, 1.0).tolist() == ARCH.tolist()


@pytest.mark.parametrize(
    "curve, straight",
    [
        ([(0, 0), (1, 0), (2, 0), (3, 0)], True),  # even handles
        ([(0, 0), (0, 0), (3, 0), (3, 0)], True),  # handles of no length
        ([(0, 0), (30, 0), (-10, 0), (3, 0)], False),  # runs past its end and back
        ([(0, 0), (1, 1e-4), (2, 0), (3, 0)], False),  # a tenth of a micrometre off
        ([(0, 0), (1, 1e-8), (2, 0), (3, 0)], True),  # rounding
        ([(5, 5), (5, 5), (5, 5), (5, 5)], True),  # a dot
        ([(0, 0), (9, 9), (-9, 9), (0, 0)], False),  # a loop
    ],
)
def test_what_counts_as_straight(curve, straight):
    assert is_line(np.array([curve], float)).tolist() == [straight]


def test_lines_carry_their_handles_at_the_thirds():
    made = lines(np.array([(0.0, 0.0)]), np.array([(30.0, 60.0)]))

    assert made.tolist() == [[[0, 0], [10, 20], [20, 40], [30, 60]]]
    assert is_line(made).all()


def test_directions_at_the_ends_survive_handles_of_no_length():
    curve = np.array([[(0, 0), (0, 0), (30, 40), (30, 40)], [(7, 7)] * 4], float)

    np.testing.assert_allclose(start_tangents(curve), [(0.6, 0.8), (0, 0)], atol=1e-15)
    np.testing.assert_allclose(end_tangents(curve), [(0.6, 0.8), (0, 0)], atol=1e-15)


def test_turns_are_positive_clockwise_on_the_sheet():
    np.testing.assert_allclose(turns(SQUARE), [90, 90, 90, 90])
    np.testing.assert_allclose(turns(SQUARE.reverse()), [-90, -90, -90, -90])


def test_an_open_path_turns_at_its_inner_nodes_only():
    # by hand: right, then 45 degrees down, then straight up: 45 and -135.
    path = Path.through([(0, 0), (10, 0), (20, 10), (20, 0)])

    np.testing.assert_allclose(turns(path), [45, -135])


def test_new_nodes_do_not_change_the_shape():
    path = Path([ARCH])
    split = split_at(path, [Place(0, 0.25), Place(0, 0.75), Place(0, 0.0), Place(0, 1.0)])

    assert len(split) == 3
    np.testing.assert_allclose(split.nodes[1], point(path.curves, 0.25)[0], atol=1e-12)
    np.testing.assert_allclose(point(split.curves, 0.5)[1], point(path.curves, 0.5)[0], atol=1e-12)


@given(curves, st.floats(0, 1), st.floats(0, 1))
@settings(max_examples=60, deadline=None)
def test_cutting_leaves_no_gap_to_the_last_bit(curve, one, other):
    split = split_at(Path([curve]), [Place(0, one), Place(0, other)])

    assert split.curves[1:, 0].tolist() == split.curves[:-1, 3].tolist()
    assert split.start.tolist() == curve[0].tolist()
    assert split.end.tolist() == curve[3].tolist()
    assert cut_curve(curve, one, 1.0)[3].tolist() == curve[3].tolist()


def test_cutting_a_closed_path_may_run_through_the_seam():
    part = cut(SQUARE, Place(3, 0.5), Place(0, 0.5))

    np.testing.assert_allclose(part.nodes, [(0, 50), (0, 0), (50, 0)], atol=1e-12)
    assert not part.closed


def test_a_whole_turn_from_one_place_back_to_it():
    part = cut(SQUARE, Place(1, 0.5), Place(1, 0.5))

    np.testing.assert_allclose(part.nodes[[0, -1]], [(100, 50), (100, 50)], atol=1e-12)
    assert len(part) == 5


def test_cutting_an_open_path_backwards_is_refused():
    with pytest.raises(ValueError, match="before it starts"):
        cut(Path([ARCH]), Place(0, 0.8), Place(0, 0.2))


def test_joining_makes_one_node_of_two_near_ends():
    first, second = Path.through([(0, 0), (10, 0)]), Path.through([(10, 1e-6), (10, 20)])
    joined = join([first, second])

    assert joined.curves[1, 0].tolist() == [10.0, 0.0]
    assert joined.end.tolist() == [10.0, 20.0]


def test_joining_over_a_gap_is_refused_with_its_width():
    with pytest.raises(ValueError, match=r"0\.5000 mm"):
        join([Path.through([(0, 0), (10, 0)]), Path.through([(10, 0.5), (10, 20)])])


def test_closing_needs_the_last_end_at_the_first():
    corner = Path.through([(0, 0), (10, 0), (10, 10)])

    with pytest.raises(ValueError, match="gap"):
        join([corner], closed=True)
    assert join([corner, Path.through([(10, 10), (0, 0)])], closed=True).closed
