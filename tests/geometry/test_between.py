"""Blends between two edges: the hand-worked skirt side, and dense evaluation with SciPy."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.geometry.between import Ramp, along_axis, along_edge, between
from sewkit.geometry.guards import outside, steepness, wiggles
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import path_length, place_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import (
    Path,
    Place,
    end_tangents,
    is_line,
    join,
    lines,
    point,
    split_at,
    start_tangents,
    turns,
)
from sewkit.geometry.transform import turn

GRAIN = (0, 1)
WINDOW = Ramp(50.0, 200.0)


def side(waist, hip, hem):
    """A skirt's side edge, waist to hem: 200 mm of hip curve, then 400 mm straight."""
    curve = [(waist, 0), (waist + 0.55 * (hip - waist), 70), (hip, 130), (hip, 200)]
    return Path(np.concatenate([[curve], lines(np.array([(hip, 200.0)]), np.array([(hem, 600.0)]))]))


FRONT_4, FRONT_6 = side(180, 236, 240), side(190, 246, 250)
BACK_4, BACK_6 = side(190, 246, 250), side(202, 258, 262)


def cap(width, height):
    """A sleeve cap of four curves, back to front (invented)."""
    w, h = width, height
    return Path(
        [
            [(0, h), (0.14 * w, 0.97 * h), (0.16 * w, 0.62 * h), (0.24 * w, 0.34 * h)],
            [(0.24 * w, 0.34 * h), (0.31 * w, 0.09 * h), (0.41 * w, 0), (0.5 * w, 0)],
            [(0.5 * w, 0), (0.6 * w, 0), (0.69 * w, 0.1 * h), (0.75 * w, 0.36 * h)],
            [(0.75 * w, 0.36 * h), (0.82 * w, 0.66 * h), (0.88 * w, 0.97 * h), (w, h)],
        ]
    )


CAP_SMALL, CAP_LARGE = cap(360, 135), cap(382, 145)


def across(path, height):
    """Where an edge that runs down the sheet has a height: x, mm."""
    (place,) = crossings_with_line(path, (0, height), (1, 0))
    return point(path.curves[place.curve][None], place.t)[0][0]


def farthest(path, points):
    return max(nearest(path, spot).distance for spot in points)


# -- the skirt side, worked by hand ---------------------------------------------------------
# closed form, worked by hand: both sizes have the same heights of handles, so that points
# of one height have one parameter; the blended side is x(y) + 10 w((y - 50) / 150), or
# 12 w on the back, w(u) = u^2 (3 - 2u).


@pytest.mark.parametrize("size", [FRONT_4, FRONT_6, BACK_4, BACK_6])
def test_the_sizes_are_as_long_as_worked_by_hand(size):
    assert path_length(size) == pytest.approx(609.359, abs=0.001)


@pytest.mark.parametrize("small, large, length", [(FRONT_4, FRONT_6, 611.994), (BACK_4, BACK_6, 612.604)])
def test_the_blended_sides_are_as_long_as_worked_by_hand(small, large, length):
    assert path_length(along_axis(small, large, WINDOW, GRAIN)) == pytest.approx(length, abs=0.02)


@pytest.mark.parametrize(
    "height, x",
    [(50, 201.364), (100, 222.143), (125, 231.547), (150, 239.148), (200, 246.000)],
)
def test_the_blended_side_is_where_worked_by_hand(height, x):
    # The table is rounded to 0.001 mm; a fit may stray 0.01 mm across the edge, which
    # slopes by up to 0.5 here, and so a little more along the level.
    assert across(along_axis(FRONT_4, FRONT_6, WINDOW, GRAIN), height) == pytest.approx(x, abs=0.0125)


def test_two_fifths_of_the_way():
    blended = along_axis(FRONT_4, FRONT_6, Ramp(50, 200, 0.0, 0.4), GRAIN)

    assert across(blended, 200.0) == pytest.approx(240.000, abs=1e-9)
    assert path_length(blended) == pytest.approx(610.328, abs=0.02)
    assert blended.end.tolist() == pytest.approx([244, 600])
    assert is_line(blended.curves)[-1]


def test_beyond_the_window_the_parents_are_copied():
    blended = along_axis(FRONT_4, FRONT_6, WINDOW, GRAIN)

    assert blended.start.tolist() == FRONT_4.start.tolist()
    assert blended.curves[-1].tolist() == FRONT_6.curves[-1].tolist()
    # closed form: above the window it is the small size, point for point
    assert farthest(FRONT_4, point(blended.curves[:1], np.linspace(0, 1, 50)[None])[0]) < 1e-9


def test_the_blended_side_against_dense_evaluation():
    interpolate = pytest.importorskip("scipy.interpolate")
    optimize = pytest.importorskip("scipy.optimize")
    curves = [interpolate.BPoly(path.curves[0][:, None], [0, 1]) for path in (FRONT_4, FRONT_6)]
    true = []
    for y in np.linspace(50, 200, 150):
        a, b = (c(optimize.brentq(lambda t: c(t)[1] - y, 0, 1, xtol=1e-14)) for c in curves)  # noqa: B023
        u = (y - 50) / 150
        true.append(a + u * u * (3 - 2 * u) * (b - a))

    assert farthest(along_axis(FRONT_4, FRONT_6, WINDOW, GRAIN), true) <= 0.01


def test_few_curves_are_needed():
    # At most four more than the parents have.
    assert len(along_axis(FRONT_4, FRONT_6, WINDOW, GRAIN)) <= len(FRONT_4) + 4


def test_the_joints_of_the_taper_are_smooth():
    blended = along_axis(FRONT_4, FRONT_6, WINDOW, GRAIN)

    # The last joint is the parents' own small kink: atan(4 / 400).
    kinks = np.abs(turns(blended))
    assert kinks[-1] == pytest.approx(math.degrees(math.atan(0.01)), abs=1e-6)
    assert kinks[:-1].max() < 1e-6


def test_an_edge_drawn_upward_blends_the_same():
    down = along_axis(FRONT_4, FRONT_6, WINDOW, GRAIN)
    up = along_axis(FRONT_4.reverse(), FRONT_6.reverse(), WINDOW, GRAIN)

    np.testing.assert_allclose(up.reverse().curves, down.curves, atol=1e-12)


@given(st.floats(-180, 180), st.floats(-1000, 1000), st.floats(-1000, 1000))
@settings(max_examples=15, deadline=None)
def test_a_turned_drawing_blends_the_same(degrees, x, y):
    move = turn(degrees, (x, y))
    grain = move.points(np.array([(0, 1)])) - move.points(np.array([(0, 0)]))
    zero = float(move.points(np.array([(0, 0)]))[0] @ grain[0])
    straight = along_axis(FRONT_4, FRONT_6, WINDOW, GRAIN)
    turned = along_axis(move.path(FRONT_4), move.path(FRONT_6), Ramp(50 + zero, 200 + zero), grain[0])

    np.testing.assert_allclose(turned.curves, move.path(straight).curves, atol=1e-6)


def test_new_nodes_in_a_parent_do_not_change_the_shape():
    plain = along_axis(FRONT_4, FRONT_6, WINDOW, GRAIN)
    split = along_axis(split_at(FRONT_4, [Place(0, 0.6)]), FRONT_6, WINDOW, GRAIN)
    spots = point(split.curves, np.broadcast_to(np.linspace(0, 1, 40), (len(split), 40))).reshape(-1, 2)

    # Each of the two fits may stray 0.01 mm.
    assert farthest(plain, spots) <= 0.02


@pytest.mark.parametrize("weight, parent", [(0.0, FRONT_4), (1.0, FRONT_6)])
def test_a_weight_that_never_changes_gives_the_parent(weight, parent):
    assert along_axis(FRONT_4, FRONT_6, Ramp(50, 200, weight, weight), GRAIN) == parent
    assert along_edge(FRONT_4, FRONT_6, Ramp(50, 200, weight, weight)) == parent


def test_halfway_everywhere_is_the_mean_of_the_control_points():
    for half in (
        along_axis(FRONT_4, FRONT_6, Ramp(0, 600, 0.5, 0.5), GRAIN),
        along_edge(FRONT_4, FRONT_6, Ramp(0, 600, 0.5, 0.5)),
    ):
        np.testing.assert_allclose(half.curves, side(185, 241, 245).curves, atol=1e-9)


@pytest.mark.parametrize("ramp, parent", [(Ramp(-90, -20), FRONT_6), (Ramp(700, 800), FRONT_4)])
def test_a_window_beyond_the_edge(ramp, parent):
    assert along_axis(FRONT_4, FRONT_6, ramp, GRAIN) == parent
    assert along_edge(FRONT_4, FRONT_6, ramp) == parent


def test_a_window_that_begins_before_the_edge_starts_part_way():
    # closed form: w(1/2) = 1/2 at the waist, 185 mm
    blended = along_axis(FRONT_4, FRONT_6, Ramp(-100, 100), GRAIN)

    assert blended.start.tolist() == pytest.approx([185, 0], abs=1e-9)
    assert blended.curves[-1].tolist() == FRONT_6.curves[-1].tolist()


def test_from_the_large_size_back_to_the_small():
    out = along_axis(FRONT_4, FRONT_6, Ramp(50, 200, 1.0, 0.0), GRAIN)

    # closed form: at y = 125, the middle of the window, the weight is 1/2 either way
    assert across(out, 125.0) == pytest.approx(231.547, abs=0.0125)
    assert out.start.tolist() == FRONT_6.start.tolist()
    assert out.end.tolist() == FRONT_4.end.tolist()


# -- along the edge ---------------------------------------------------------------------------


@pytest.mark.parametrize("low, high", [(0.3, 0.7), (0.45, 0.55), (0.0, 1.0), (0.1, 0.3)])
@pytest.mark.parametrize("tolerance", [0.1, 0.01, 0.001])
def test_a_cap_against_dense_evaluation(low, high, tolerance):
    interpolate = pytest.importorskip("scipy.interpolate")
    ramp = Ramp(low * path_length(CAP_SMALL), high * path_length(CAP_SMALL))
    blended = along_edge(CAP_SMALL, CAP_LARGE, ramp, tolerance=tolerance)

    # Lengths by integrating a spline of the speed, inverted by interpolation: good to 1e-5 mm.
    t = np.linspace(0, 1, 4001)
    start, true = 0.0, []
    for a, b in zip(CAP_SMALL.curves, CAP_LARGE.curves):
        tables = []
        for curve in (a, b):
            exact = interpolate.BPoly(curve[:, None], [0, 1])
            run = interpolate.CubicSpline(t, np.hypot(*exact(t, nu=1).T)).antiderivative()(t)
            tables.append((exact, run))
        for share in np.linspace(0, 1, 40):
            (pa, ra), (pb, rb) = tables
            here, there = pa(np.interp(share * ra[-1], ra, t)), pb(np.interp(share * rb[-1], rb, t))
            u = np.clip((start + share * ra[-1] - ramp.start) / (ramp.stop - ramp.start), 0, 1)
            true.append(here + u * u * (3 - 2 * u) * (there - here))
        start += tables[0][1][-1]

    assert farthest(blended, true) <= tolerance + 2e-5
    if tolerance == 0.01:
        assert len(blended) <= len(CAP_SMALL) + 4


def test_a_cap_keeps_its_ends_and_whole_curves():
    length = path_length(CAP_SMALL)
    blended = along_edge(CAP_SMALL, CAP_LARGE, Ramp(0.3 * length, 0.7 * length))

    assert blended.curves[0].tolist() == CAP_SMALL.curves[0].tolist()
    assert blended.curves[-1].tolist() == CAP_LARGE.curves[-1].tolist()


def test_the_taper_leaves_and_arrives_in_the_parents_directions():
    length = path_length(CAP_SMALL)
    blended = along_edge(CAP_SMALL, CAP_LARGE, Ramp(0.4 * length, 0.6 * length))
    leaving = place_at(CAP_SMALL, 0.4 * length)
    node = int(
        np.hypot(*(blended.nodes - point(CAP_SMALL.curves[leaving.curve][None], leaving.t)[0]).T).argmin()
    )

    np.testing.assert_allclose(
        end_tangents(blended.curves)[node - 1], start_tangents(blended.curves)[node], atol=1e-9
    )
    # No kink that the parents do not have.
    assert np.abs(turns(blended)).max() <= np.abs(turns(CAP_SMALL)).max() + 0.1


def test_straight_edges_half_way_are_straight():
    one, other = Path.through([(0, 0), (0, 300)]), Path.through([(10, 0), (30, 310)])
    half = along_edge(one, other, Ramp(0, 100, 0.5, 0.5))

    assert half.nodes.tolist() == [[5, 0], [15, 305]]
    assert is_line(half.curves).all()


def test_straight_edges_with_a_taper_by_hand():
    # closed form: parallel lines 10 mm apart: x = 10 w((y - 100) / 200)
    one, other = Path.through([(0, 0), (0, 400)]), Path.through([(10, 0), (10, 400)])
    blended = along_edge(one, other, Ramp(100, 300))

    for y, x in ((50, 0), (150, 10 * 5 / 32), (200, 5), (250, 10 * 27 / 32), (350, 10)):
        assert across(blended, y) == pytest.approx(x, abs=0.01)
    # The taper's weight is a cubic of the height, so one curve holds it.
    assert len(blended) == 3


def test_marks_match_what_lies_between_them():
    # closed form: the notch at 100 belongs to the notch at 140; halfway everywhere it
    # comes to x = 120, and halfway before it, 50 and 70, to 60.
    one, other = Path.through([(0, 0), (300, 0)]), Path.through([(0, 10), (300, 10)])
    bent = split_at(other, [Place(0, 140 / 300)])
    half = along_edge(one, bent, Ramp(0, 300, 0.5, 0.5), marks=[(100, 140)])

    np.testing.assert_allclose(half.nodes, [(0, 5), (120, 5), (300, 5)], atol=1e-9)


def test_marks_in_another_order_are_refused():
    with pytest.raises(ValueError, match="same order"):
        along_edge(CAP_SMALL, CAP_LARGE, Ramp(0, 100), marks=[(100, 200), (200, 100)])


def test_a_corner_of_both_stays_a_corner():
    one, other = Path.through([(0, 0), (100, 0), (100, 100)]), Path.through([(0, 0), (120, -5), (120, 100)])
    blended = along_edge(one, other, Ramp(40, 160))
    # closed form: at 100 mm w = 1/2, and the corner is half way from corner to corner
    corner = np.hypot(*(blended.nodes - (110, -2.5)).T)

    assert corner.min() < 1e-9
    assert abs(turns(blended)[corner.argmin() - 1]) > 60


def test_a_corner_stays_a_corner_where_the_other_edge_has_none():
    # The second edge runs straight through, so that there is no joint to match.
    one, other = Path.through([(0, 0), (100, 0), (100, 100)]), Path.through([(0, 0), (150, 150)])
    blended = along_edge(one, other, Ramp(40, 160))
    # closed form: half way along both, where w = 1/2: between (100, 0) and (75, 75)
    corner = np.hypot(*(blended.nodes - (87.5, 37.5)).T)

    assert corner.min() < 1e-9
    # closed form: the edges run (1, 0), then (0, 1), beside (3/4, 3/4), all for each mm of the
    # first; the shift (-25, 75) grows by 1.5 / 120 for each mm.
    before = math.degrees(math.atan2(0.375 + 75 / 80, 0.5 + 0.375 - 25 / 80))
    after = math.degrees(math.atan2(0.5 + 0.375 + 75 / 80, 0.375 - 25 / 80))
    assert turns(blended)[corner.argmin() - 1] == pytest.approx(after - before, abs=1e-6)


def test_edges_with_different_numbers_of_curves():
    split = split_at(CAP_LARGE, [Place(1, 0.4)])
    length = path_length(CAP_SMALL)
    blended = along_edge(CAP_SMALL, split, Ramp(0.2 * length, 0.8 * length))

    assert blended.start.tolist() == CAP_SMALL.start.tolist()
    assert blended.end.tolist() == CAP_LARGE.end.tolist()
    assert outside(blended, CAP_SMALL, CAP_LARGE).distance < 0.5


def test_the_short_form():
    assert between(CAP_SMALL, CAP_LARGE, 1.0, (), (100.0, 300.0)) == along_edge(
        CAP_SMALL, CAP_LARGE, Ramp(100.0, 300.0)
    )


@given(st.floats(0, 400), st.floats(20, 400), st.floats(0, 1), st.floats(0, 1))
@settings(max_examples=30, deadline=None)
def test_any_ramp_gives_one_unbroken_path(start, width, low, high):
    ramp = Ramp(start, start + width, low, high)
    blended = along_edge(CAP_SMALL, CAP_LARGE, ramp)

    np.testing.assert_array_equal(blended.curves[1:, 0], blended.curves[:-1, 3])
    # The start of both edges is one point, the ends are 22 and 10 mm apart.
    weight = float(ramp.weight(path_length(CAP_SMALL)))
    np.testing.assert_allclose(blended.end, [360 + 22 * weight, 135 + 10 * weight], atol=1e-9)
    assert np.abs(turns(blended)).max() <= np.abs(turns(CAP_SMALL)).max() + 0.1


# -- what cannot be done --------------------------------------------------------------------


@pytest.mark.parametrize(
    "ramp", [Ramp(200, 50), Ramp(50, 50), Ramp(float("nan"), 50), Ramp(0, 50, 0.0, float("inf"))]
)
def test_a_ramp_must_make_sense(ramp):
    with pytest.raises(ValueError):
        along_edge(FRONT_4, FRONT_6, ramp)
    with pytest.raises(ValueError):
        along_axis(FRONT_4, FRONT_6, ramp, GRAIN)


def test_an_edge_that_turns_back_cannot_be_measured_along_the_axis():
    bump = Path([[(0, 0), (10, 300), (20, -100), (30, 200)]])

    with pytest.raises(ValueError, match="turns back"):
        along_axis(bump, Path(bump.curves + [10, 0]), Ramp(20, 180), GRAIN)


def test_edges_that_end_at_other_heights_cannot_be_mixed_along_the_axis_there():
    lower = Path(FRONT_6.curves + [0, 5])

    with pytest.raises(ValueError, match="along the edge"):
        along_axis(FRONT_4, lower, Ramp(-50, 100), GRAIN)


def test_edges_that_end_at_other_heights_may_be_copied_there():
    lower = Path(FRONT_6.curves + [0, 5])
    blended = along_axis(FRONT_4, lower, Ramp(50, 200), GRAIN)

    assert blended.start.tolist() == [180, 0]
    assert blended.end.tolist() == [250, 605]


def test_opposite_edges_are_refused():
    with pytest.raises(ValueError):
        along_axis(FRONT_4, FRONT_6.reverse(), WINDOW, GRAIN)


def test_closed_paths_are_refused():
    loop = Path.through([(0, 0), (10, 0), (0, 10)], closed=True)

    with pytest.raises(ValueError, match="open"):
        along_edge(loop, loop, Ramp(0, 10, 0.0, 0.5))


# -- the guards ---------------------------------------------------------------------------


def test_a_good_blend_stays_between_its_parents():
    blended = along_axis(FRONT_4, FRONT_6, WINDOW, GRAIN)

    assert outside(blended, FRONT_4, FRONT_6).distance <= 0.01


def test_a_ruler_line_from_waist_to_hip_is_found_out():
    # by hand: at y = 100 the ruler is at x = 213.000, 6.550 mm inside size 4, level measure
    ruler = join([Path.through([(180, 0), (246, 200)]), FRONT_6.part(1, 2)])
    assert across(FRONT_4, 100.0) - across(ruler, 100.0) == pytest.approx(6.550, abs=0.001)

    found = outside(ruler, FRONT_4, FRONT_6)
    # The distance square to the edge, by sampling both densely; less than the level measure.
    u = np.linspace(0, 1, 2001)[:, None]
    ruled = (1 - u) * [180, 0] + u * [246, 200]
    edge = point(FRONT_4.curves[:1], np.linspace(0, 1, 4001)[None])[0]
    true = max(np.hypot(*(edge - spot).T).min() for spot in ruled[ruled[:, 1] < 150])
    assert found.distance == pytest.approx(true, abs=1e-3)
    assert 80 < found.point[1] < 110


def test_a_path_far_outside_is_measured_to_the_nearest_side():
    # by hand: a strip from x = 0 to x = 10, and a line at x = 13
    one, other = Path.through([(0, 0), (0, 100)]), Path.through([(10, 0), (10, 100)])

    assert outside(Path.through([(13, 20), (13, 80)]), one, other).distance == pytest.approx(3, abs=1e-9)
    assert outside(Path.through([(5, 0), (5, 100)]), one, other).distance == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    "path, count",
    [
        (Path.through([(0, 0), (100, 0)]), 0),  # straight
        (Path([[(0, 0), (30, 40), (70, 40), (100, 0)]]), 0),  # an arch
        (Path([[(0, 0), (100, 0), (0, 100), (100, 100)]]), 1),  # an S
        (Path.through([(0, 0), (10, 0), (20, 5), (30, 0), (40, 0)]), 2),  # a tent
        (Path.through([(0, 0), (100, 0), (200, 0.1), (300, 0)]), 0),  # kinks of 0.06 and 0.1 degrees
        (Path.through([(0, 0), (0, 0), (10, 0)]), 0),  # begins with a dot
    ],
)
def test_wiggles_are_counted(path, count):
    assert wiggles(path) == count
    assert wiggles(path.reverse()) == count


def test_steepness_by_hand():
    # by hand: 10 mm sideways over 150 mm; the same across a slope is a little less
    one, other = Path.through([(0, 0), (0, 400)]), Path.through([(10, 0), (10, 400)])

    assert steepness(one, other, WINDOW) == pytest.approx(10 / 150)
    assert steepness(one, other, Ramp(50, 200, 0.0, 0.4)) == pytest.approx(4 / 150)
    assert steepness(one, other, WINDOW, axis=GRAIN) == pytest.approx(10 / 150)
    assert steepness(FRONT_4, FRONT_6, WINDOW, axis=GRAIN) == pytest.approx(10 / 150, abs=1e-9)
