"""Crossings, against hand-worked cases and Shapely on finely flattened curves."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.geometry.intersect import crossings, crossings_with_line, self_crossings
from sewkit.geometry.path import Path, Place, point, split_at
from sewkit.geometry.polygon import flatten
from sewkit.geometry.transform import turn

SQUARE = Path.through([(0, 0), (100, 0), (100, 100), (0, 100)], closed=True)
# y = x^2 / 100 for x from -100 to 100.
PARABOLA = Path([[(-100, 100), (-100 / 3, -100 / 3), (100 / 3, -100 / 3), (100, 100)]])
LOOP = Path([[(0, 0), (150, 100), (-50, 100), (100, 0)]])


def wild(seed, count, closed=False):
    """Random curves in a square of 300 mm; seeded."""
    curves = np.random.RandomState(seed).rand(count, 4, 2) * 300
    curves[1:, 0] = curves[:-1, 3]
    if closed:
        curves[-1, 3] = curves[0, 0]
    return Path(curves, closed)


def spots(found):
    return [crossing.point.tolist() for crossing in found]


def at(path, place):
    return point(path.curves[place.curve][None], place.t)[0]


def test_two_lines():
    # by hand: y = x and y = 60 - x / 2 meet at (40, 40)
    found = crossings(Path.through([(0, 0), (100, 100)]), Path.through([(0, 60), (120, 0)]))

    np.testing.assert_allclose(spots(found), [(40, 40)], atol=1e-12)
    assert found[0].first.t == pytest.approx(0.4, abs=1e-12)
    assert found[0].second.t == pytest.approx(1 / 3, abs=1e-12)


def test_lines_that_stop_short_do_not_meet():
    assert crossings(Path.through([(0, 0), (39, 39)]), Path.through([(0, 60), (120, 0)])) == []


def test_a_line_and_a_parabola():
    # by hand: x^2 / 100 = x / 5 + 24 has the roots -40 and 60
    line = Path.through([(-100, 4), (100, 44)])
    found = crossings(PARABOLA, line)

    np.testing.assert_allclose(spots(found), [(-40, 16), (60, 36)], atol=1e-9)


@pytest.mark.parametrize("lift", [1.0, 1e-2, 1e-4])
def test_two_crossings_close_together(lift):
    # by hand: y = lift cuts y = x^2 / 100 at x = -10 sqrt(lift) and +10 sqrt(lift)
    found = crossings(PARABOLA, Path.through([(-50, lift), (50, lift)]))

    x = 10 * math.sqrt(lift)
    np.testing.assert_allclose(spots(found), [(-x, lift), (x, lift)], atol=1e-9)


def test_two_parabolas():
    # by hand: x^2 / 100 = 50 - x^2 / 100 at x^2 = 2500
    other = Path(PARABOLA.curves * [1, -1] + [0, 50])
    found = crossings(PARABOLA, other)

    np.testing.assert_allclose(spots(found), [(-50, 25), (50, 25)], atol=1e-9)


def test_a_crossing_at_a_node_is_one_crossing():
    corner = Path.through([(0, 50), (50, 50), (50, 0)])
    found = crossings(corner, Path.through([(0, 0), (100, 100)]))

    assert spots(found) == [[50, 50]]
    assert found[0].first == Place(1, 0.0)


def test_a_crossing_at_nodes_of_both_is_one_crossing():
    one = Path.through([(0, 0), (50, 50), (100, 100)])
    other = Path.through([(0, 100), (50, 50), (100, 0)])

    assert spots(crossings(one, other)) == [[50, 50]]


def test_the_seam_of_a_closed_path_is_no_second_crossing():
    found = crossings(SQUARE, Path.through([(-50, -50), (50, 50)]))

    assert spots(found) == [[0, 0]]
    assert found[0].first == Place(0, 0.0)


def test_an_end_that_touches_counts():
    found = crossings(SQUARE, Path.through([(100, 30), (180, 30)]))

    np.testing.assert_allclose(spots(found), [(100, 30)], atol=1e-12)
    assert found[0].second == Place(0, 0.0)


def test_an_end_that_touches_along_the_way_counts():
    # The parabola is level at its vertex, where the line begins.
    found = crossings(PARABOLA, Path.through([(0, 0), (40, 0)]))

    np.testing.assert_allclose(spots(found), [(0, 0)], atol=1e-9)


def test_a_touch_without_a_corner_does_not_count():
    assert crossings(PARABOLA, Path.through([(-40, 0), (40, 0)])) == []


def test_a_shared_stretch_gives_the_ends_of_open_paths_only():
    found = crossings(SQUARE, Path.through([(20, 0), (70, 0)]))

    np.testing.assert_allclose(spots(found), [(20, 0), (70, 0)], atol=1e-12)


def test_the_same_curve_twice_gives_its_ends():
    again = split_at(PARABOLA, [Place(0, 0.3)])

    np.testing.assert_allclose(spots(crossings(PARABOLA, PARABOLA)), [(-100, 100), (100, 100)])
    np.testing.assert_allclose(spots(crossings(PARABOLA, again)), [(-100, 100), (100, 100)])


def test_passing_one_point_twice_is_two_crossings():
    # The loop passes its own crossing twice; so does a line through it meet it twice there.
    line = Path.through([(-20, 300 / 7), (120, 300 / 7)])
    found = crossings(LOOP, line)
    here = [c for c in found if np.hypot(*(c.point - (50, 300 / 7))) < 1e-6]

    assert len(here) == 2
    assert here[0].first.t != pytest.approx(here[1].first.t, abs=0.1)


def test_empty_paths_cross_nothing():
    assert crossings(Path([]), SQUARE) == []
    assert crossings(SQUARE, Path([])) == []
    assert self_crossings(Path([])) == []
    assert crossings_with_line(Path([]), (0, 0), (1, 0)) == []


def shapely_line(path):
    geometry = pytest.importorskip("shapely.geometry")
    corners = flatten(path, 1e-5)
    return geometry.LineString(np.vstack([corners, corners[:1]]) if path.closed else corners)


def parts(shape):
    return [] if shape.is_empty else list(getattr(shape, "geoms", [shape]))


@pytest.mark.parametrize("seed", range(40))
def test_wild_curves_against_shapely(seed):
    one, other = wild(seed, 3, seed % 2 == 0), wild(seed + 1000, 2)
    true = parts(shapely_line(one).intersection(shapely_line(other)))
    found = crossings(one, other)

    assert len(found) == len(true)
    for crossing in found:
        # The flattened curves are 1e-5 mm off; at a flat angle their crossing is more.
        assert min(math.hypot(p.x - crossing.point[0], p.y - crossing.point[1]) for p in true) < 1e-2
        assert np.hypot(*(at(one, crossing.first) - at(other, crossing.second))) < 1e-9


@pytest.mark.parametrize("seed", range(30))
def test_wild_curves_crossing_themselves_against_shapely(seed):
    shapely = pytest.importorskip("shapely")
    path = wild(seed, 4, seed % 2 == 0)
    # Shapely cuts a line at its crossings; where four pieces end, there was one.
    ends = [
        (round(end[0], 6), round(end[1], 6))
        for piece in parts(shapely.unary_union(shapely_line(path)))
        for end in (piece.coords[0], piece.coords[-1])
    ]
    true = {end for end in ends if ends.count(end) >= 4}

    assert len(self_crossings(path)) == len(true)


def test_a_loop_crosses_itself_where_symmetry_says():
    # closed form: about x = 50 the curve is odd in u = t - 1/2, x = 50 - 75 u + 700 u^3,
    # so it meets itself at u^2 = 75 / 700, where y = 300 (1/4 - u^2) = 300 / 7.
    found = self_crossings(LOOP)
    u = math.sqrt(75 / 700)

    np.testing.assert_allclose(spots(found), [(50, 300 / 7)], atol=1e-9)
    assert found[0].first.t == pytest.approx(0.5 - u, abs=1e-9)
    assert found[0].second.t == pytest.approx(0.5 + u, abs=1e-9)


def test_a_bow_tie():
    tie = Path.through([(0, 0), (100, 100), (100, 0), (0, 100)], closed=True)

    np.testing.assert_allclose(spots(self_crossings(tie)), [(50, 50)], atol=1e-12)


def test_a_plain_outline_does_not_cross_itself():
    assert self_crossings(SQUARE) == []
    assert self_crossings(PARABOLA) == []
    assert self_crossings(split_at(PARABOLA, [Place(0, 0.2), Place(0, 0.6)])) == []


def test_a_lens_of_two_curves_does_not_cross_itself():
    lens = Path([PARABOLA.curves[0], [(100, 100), (30, 150), (-30, 150), (-100, 100)]], closed=True)

    assert self_crossings(lens) == []


def test_touching_itself_at_a_node_counts_once():
    # Two squares joined at the corner (50, 50).
    eight = Path.through(
        [(0, 0), (50, 0), (50, 50), (100, 50), (100, 100), (50, 100), (50, 50), (0, 50)], True
    )

    assert spots(self_crossings(eight)) == [[50, 50]]


def test_a_level_line_through_a_square():
    places = crossings_with_line(SQUARE, (0, 30), (-5, 0))

    assert [place.curve for place in places] == [1, 3]
    assert [place.t for place in places] == pytest.approx([0.3, 0.7])


def test_a_line_through_corners_meets_each_once():
    assert crossings_with_line(SQUARE, (0, 0), (1, 1)) == [Place(0, 0.0), Place(2, 0.0)]


def test_a_line_along_an_edge_meets_its_ends():
    assert crossings_with_line(SQUARE, (-9, 100), (1, 0)) == [Place(2, 0.0), Place(3, 0.0)]


def test_a_line_that_touches():
    places = crossings_with_line(PARABOLA, (0, 0), (1, 0))

    assert len(places) == 1
    assert places[0].t == pytest.approx(0.5, abs=1e-6)


def test_a_line_that_misses():
    assert crossings_with_line(PARABOLA, (0, -1e-3), (1, 0)) == []


def test_three_roots_in_one_curve():
    # closed form: y = 1000 (t - 0.2)(t - 0.5)(t - 0.9), turned into Bernstein coefficients
    a0, a1, a2, a3 = -90.0, 730.0, -1600.0, 1000.0
    y = [a0, a0 + a1 / 3, a0 + 2 * a1 / 3 + a2 / 3, a0 + a1 + a2 + a3]
    curve = Path([[(100 * i, y[i]) for i in range(4)]])

    assert [p.t for p in crossings_with_line(curve, (0, 0), (1, 0))] == pytest.approx(
        [0.2, 0.5, 0.9], abs=1e-12
    )


def test_a_line_without_a_direction_is_refused():
    with pytest.raises(ValueError, match="direction"):
        crossings_with_line(SQUARE, (0, 0), (0, 0))


@given(st.integers(0, 10**6), st.floats(-360, 360), st.floats(0.1, 0.9))
@settings(max_examples=40, deadline=None)
def test_turning_reversing_and_splitting_change_nothing(seed, degrees, t):
    one, other = wild(seed, 2), wild(seed + 7, 2)
    found = sorted(spots(crossings(one, other)))
    move = turn(degrees, (150, 150))

    turned = spots(crossings(move.path(one), move.path(other)))
    np.testing.assert_allclose(
        np.sort(np.array(turned), axis=0),
        np.sort(move.points(np.array(found).reshape(-1, 2)), axis=0).tolist(),
        atol=1e-6,
    )
    assert len(crossings(one.reverse(), other)) == len(found)
    assert len(crossings(split_at(one, [Place(1, t)]), other)) == len(found)
    assert sorted(spots(crossings(other, one))) == [pytest.approx(spot, abs=1e-6) for spot in found]


@given(st.integers(0, 10**6), st.floats(0, 300), st.floats(-180, 180))
@settings(max_examples=60, deadline=None)
def test_places_on_a_line_lie_on_it(seed, height, degrees):
    path = wild(seed, 3, True)
    along = np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
    places = crossings_with_line(path, (150, height), along)
    away = np.array([at(path, place) for place in places]).reshape(-1, 2) - (150, height)

    np.testing.assert_allclose(away[:, 0] * along[1] - away[:, 1] * along[0], 0, atol=1e-9)
    # A closed path that goes over comes back, but for touches, which chance does not hit.
    assert len(places) % 2 == 0
