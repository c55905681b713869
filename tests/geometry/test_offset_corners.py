"""Corners of allowances, worked by hand and from closed forms."""

import math

import numpy as np
import pytest

from sewkit.geometry.offset import Corner, Style, offset
from sewkit.geometry.path import Path
from tests.geometry.bands import dense, shapely
from tests.geometry.shapes import outline


def corners(n, node, corner):
    return [corner if i == node else Corner() for i in range(n)]


def wedge(alpha, reach=400.0):
    """A triangle with the interior angle ``alpha`` at node 1, the origin.

    The arriving edge comes along the x axis from the left; the piece lies below it.
    """
    a = math.radians(alpha)
    end = (-reach * math.cos(a), reach * math.sin(a))
    return Path.through([(-reach, 0), (0, 0), end], closed=True)


# Corners


@pytest.mark.parametrize(
    "a, b, alpha, distance",
    [
        # d = sqrt(a^2 + b^2 + 2 a b cos alpha) / sin alpha: geometry of the sharp mitre,
        # derived in closed form; in cm.
        (1.5, 1.5, 90, 2.1213),
        (1.5, 4, 90, 4.2720),
        (1.5, 1.5, 60, 3.0000),
        (1.5, 1.5, 30, 5.7956),
        (1.5, 1.5, 120, 1.7321),
        (1.5, 1.5, 150, 1.5529),
        (1, 4, 75, 4.5210),
    ],
)
def test_the_tip_of_an_extended_corner_lies_where_the_cut_lines_meet(a, b, alpha, distance):
    path = wedge(alpha)
    answer = offset(path, [10 * a, 10 * b, 0], mitre_limit=5)

    nodes = answer.path.nodes
    inner = np.argmin(np.abs(np.hypot(nodes[:, 0], nodes[:, 1]) - 10 * distance))
    assert np.hypot(*nodes[inner]) == pytest.approx(10 * distance, abs=0.005)
    assert nodes[inner][1] == pytest.approx(-10 * a)
    assert answer.blunted == ()


@pytest.mark.parametrize(
    "alpha, size",
    # Widths 15 and 40: |x| of the corner vector, worked in closed form to 0.001.
    [(90, 42.720), (75, 47.843), (110, 40.025)],
)
def test_the_corner_of_fifteen_and_forty(alpha, size):
    nodes = offset(wedge(alpha), [15, 40, 0]).path.nodes

    assert np.abs(np.hypot(nodes[:, 0], nodes[:, 1]) - size).min() < 0.001


def test_past_the_mitre_limit_a_corner_is_cut_blunt_and_reported():
    # 30 degrees, 15 and 40: the tip would be 107.037 away, beyond 2.5 x 40.
    answer = offset(wedge(30), [15, 40, 0])

    assert 1 in answer.blunted


@pytest.mark.parametrize("alpha", [20, 45, 90, 140])
def test_a_blunt_cut_is_square_to_the_bisector_at_the_width(alpha):
    answer = offset(wedge(alpha, 2000), 10, corners(3, 1, Corner(Style.BLUNT)))

    half = math.radians(alpha / 2)
    bisector = np.array([math.cos(half), -math.sin(half)])
    on_cut = [n for n in answer.path.nodes if abs(n @ bisector - 10) < 1e-9 and np.hypot(*n) < 100]
    assert len(on_cut) == 2
    # Half the cut is 10 (1 - sin(alpha/2)) / cos(alpha/2): the tip less the cut, times tan.
    length = 2 * 10 * (1 - math.sin(half)) / math.cos(half)
    assert np.hypot(*(on_cut[0] - on_cut[1])) == pytest.approx(length)


@pytest.mark.parametrize("alpha", [60, 80, 100, 120])
@pytest.mark.parametrize("leads", [0, 1])
def test_a_square_end_is_perpendicular_to_the_seam_sewn_first(alpha, leads):
    answer = offset(wedge(alpha), [12, 20, 0], corners(3, 1, Corner(Style.SQUARE, leads)))

    lead, other = ((12, 20), (20, 12))[leads]
    ahead = other / math.sin(math.radians(alpha))
    a = math.radians(alpha)
    along = np.array([(1.0, 0.0), (math.cos(a), -math.sin(a))][leads])
    across = np.array([(0.0, -1.0), (math.sin(a), math.cos(a))][leads])
    for place in (ahead * along, ahead * along + lead * across):
        assert np.hypot(*(answer.path.nodes - place).T).min() < 1e-9


def test_square_ends_of_two_pieces_coincide_when_the_seam_lines_are_matched():
    # Angles of 70 and 110 degrees make one straight line, so both ends lie 20 / sin 70 ahead.
    ends = []
    for alpha in (70, 110):
        nodes = offset(wedge(alpha), [12, 20, 0], corners(3, 1, Corner(Style.SQUARE, 0))).path.nodes
        ends.append(max(x for x, y in nodes if abs(y + 12) < 1e-9))

    assert ends[0] == pytest.approx(ends[1], abs=1e-9)


def test_the_hem_of_a_narrowing_leg_is_wide_enough_to_be_turned_back():
    # Each side runs in by 1 in 10; the leg is 400 wide at the hem line, which is 40 deep.
    # 40 mm above the hem line the leg is 408 wide, and there the turned hem has to lie.
    path = Path.through([(-240, 0), (240, 0), (200, 400), (-200, 400)], closed=True)
    hem = [Corner(), Corner(), Corner(Style.TURNED_BACK, 1), Corner(Style.TURNED_BACK, 0)]

    turned = offset(path, [0, 0, 40, 0], hem).path.nodes
    straight = offset(path, [0, 0, 40, 0]).path.nodes

    assert np.ptp([x for x, y in turned if abs(y - 440) < 1e-9]) == pytest.approx(408)
    assert np.ptp([x for x, y in straight if abs(y - 440) < 1e-9]) == pytest.approx(392)


@pytest.mark.parametrize(
    "beta, depth, step",
    # Flared side seam, beta from the perpendicular: the corner steps in by h tan(beta); cm.
    [(5, 4, 0.350), (8, 3, 0.4216), (10, 2.5, 0.4408)],
)
def test_a_turned_back_hem_steps_in_by_depth_times_the_tangent(beta, depth, step):
    flare = 500 * math.tan(math.radians(beta))
    path = Path.through([(0, 0), (300, 0), (300 + flare, 500), (0, 500)], closed=True)
    nodes = offset(path, [0, 0, 10 * depth, 0], corners(4, 2, Corner(Style.TURNED_BACK, 1))).path.nodes

    corner = max((x for x, y in nodes if abs(y - 500 - 10 * depth) < 1e-9))
    assert 300 + flare - corner == pytest.approx(10 * step, abs=0.006)


@pytest.mark.parametrize("bulge", [-12.0, 0.0, 12.0])
def test_folded_over_the_hem_end_lies_on_the_cut_line_of_the_side(bulge):
    side = ((310, 140), (318 + bulge, 300), (330, 420))
    path = outline((0, 0), (300, 0), side, (0, 420))
    answer = offset(path, [0, 15, 40, 0], corners(4, 2, Corner(Style.TURNED_BACK, 1)))

    extra = answer.path.curves[answer.sources == -1]
    below = dense(Path(extra))
    below = below[below[:, 1] > 420.0001]
    folded = below * [1, -1] + [0, 840]
    cut_line = shapely.LinearRing(dense(answer.path, 2000))
    gap = shapely.distance(shapely.points(folded), cut_line)
    assert len(folded) > 100
    assert gap.max() < 0.01


def test_edges_of_different_width_in_one_line_meet_in_a_step_across_the_seam():
    path = Path.through([(0, 0), (60, 0), (120, 0), (120, 80), (0, 80)], closed=True)
    answer = offset(path, [10, 25, 10, 10, 10])

    step = answer.path.curves[answer.sources == -1]
    np.testing.assert_allclose(step[0][[0, 3]], [(60, -10), (60, -25)], atol=1e-9)


def test_a_reflex_corner_is_extended_inside_and_crosses_outside():
    path = Path.through([(0, 0), (100, 0), (100, 40), (40, 40), (40, 100), (0, 100)], closed=True)

    inside = offset(path, -10).path.nodes
    outside = offset(path, 10).path.nodes

    np.testing.assert_allclose(inside[3], (30, 30), atol=1e-9)
    np.testing.assert_allclose(outside[3], (50, 50), atol=1e-9)


@pytest.mark.parametrize("style", [Style.SQUARE, Style.TURNED_BACK])
def test_a_corner_too_flat_for_its_style_is_extended_and_reported(style):
    # 165 degrees: the seam prolonged meets the other cut edge 20 / sin 15 = 77.3 ahead, and a
    # mirrored edge would run 46.4 to 77.3 along; both beyond what 2.5 widths of 12 or 20 allow.
    asked = offset(wedge(165, 1000), [12, 20, 0], corners(3, 1, Corner(style, 0)))
    plain = offset(wedge(165, 1000), [12, 20, 0])

    assert 1 in asked.blunted and 1 not in plain.blunted
    np.testing.assert_allclose(asked.path.nodes, plain.path.nodes, atol=1e-9)
