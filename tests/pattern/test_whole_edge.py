"""An opened edge as one soft line; every expected number is worked in its test."""

import math

import numpy as np
import pytest

from sewkit.geometry.length import path_length, point_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, join, turns
from sewkit.pattern.whole_edge import softened_hinge, whole_edge

OLD = Path.through([(0, 0), (200, 0)])


def arc(radius, start, stop, middle=(0.0, 0.0)):
    """The usual cubic for an arc, degrees; 1e-6 of the radius off for 20 degrees."""
    a, b = math.radians(start), math.radians(stop)
    reach = 4.0 / 3.0 * math.tan((b - a) / 4.0)
    (ca, sa), (cb, sb) = (math.cos(a), math.sin(a)), (math.cos(b), math.sin(b))
    unit = [(ca, sa), (ca - reach * sa, sa + reach * ca), (cb + reach * sb, sb - reach * cb), (cb, sb)]
    return Path((radius * np.array(unit) + middle)[None])


def ends(start, end, degrees):
    """Neighbours that meet a level edge at so many degrees."""
    way = 50.0 * np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
    return Path.through([start + way, start]), Path.through([end, end + way * (-1.0, 1.0)])


def stepped(step):
    return [Path.through([(0, 0), (100, 0)]), Path.through([(100, step), (200, step)])]


def turn_at_start(line):
    handle = line.curves[0, 1] - line.curves[0, 0]
    return math.degrees(math.atan2(handle[1], handle[0]))


def test_an_arc_with_a_gap_is_that_arc():
    bits = [arc(500.0, 0, 8), arc(500.0, 12, 20)]
    square = (Path.through([(450, 0), (500, 0)]), Path.through([bits[1].end, 0.9 * bits[1].end]))

    made = whole_edge(bits, square, arc(500.0, 0, 20))

    radii = [np.hypot(*point_at(made.path, d)) for d in np.linspace(0, path_length(made.path), 40)]
    assert radii == pytest.approx([500.0] * 40, abs=1e-3)
    assert made.turned == (0.0, 0.0) and made.away < 1e-3


def test_square_corners_stay_square_though_the_line_bends_like_an_s():
    made = whole_edge(stepped(6.0), ends(np.array([0.0, 0.0]), np.array([200.0, 6.0]), 90.0), OLD)

    assert made.turned == (0.0, 0.0)
    assert turn_at_start(made.path) == pytest.approx(0.0, abs=1e-9)


def test_a_corner_that_is_not_square_gives_a_little_so_that_the_line_bends_one_way():
    """The chord rises by atan(6/200); the start turns to it and 0.4 of it beyond: 2.406 degrees."""
    made = whole_edge(stepped(6.0), ends(np.array([0.0, 0.0]), np.array([200.0, 6.0]), 60.0), OLD)

    wanted = 1.4 * math.degrees(math.atan(6.0 / 200.0))
    assert max(made.turned) == pytest.approx(wanted, abs=1e-9) and min(made.turned) == 0.0
    spots = np.array([point_at(made.path, d) for d in np.linspace(0, path_length(made.path), 60)])
    steps = np.diff(spots, axis=0)
    bends = steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0]
    assert (bends > 0).all() or (bends < 0).all()


@pytest.mark.parametrize("why", ["more than three degrees", "beside a dart", "it was an S before"])
def test_a_corner_does_not_give(why):
    """A step of 8 asks 1.4 atan(8/200) = 3.2 degrees."""
    step = 8.0 if why.startswith("more") else 6.0
    old = Path(np.array([[(0, 0), (66, 20), (134, -14), (200, 6)]], float)) if "S" in why else OLD
    around = ends(np.array([0.0, 0.0]), np.array([200.0, step]), 60.0)

    assert whole_edge(stepped(step), around, old, why != "beside a dart").turned == (0.0, 0.0)


def test_another_shape_is_not_drawn():
    """A step of 60 in 200: half way up, the line lies further from the bits than 6 in 100."""
    assert whole_edge(stepped(60.0), ends(np.array([0.0, 0.0]), np.array([200.0, 60.0]), 90.0), OLD) is None


def test_a_straight_edge_is_soft_at_its_hinge():
    """An arc that leaves 40 mm before a corner of 5 degrees: 40 tan(1.25) = 0.873 mm inside of it."""
    angle = math.radians(5.0)
    bits = [
        Path.through([(0, 0), (200, 0)]),
        Path.through([(200, 0), (200 + 200 * math.cos(angle), 200 * math.sin(angle))]),
    ]

    made = softened_hinge(bits, [0.0])

    assert np.abs(turns(made)).max() < 1e-6
    assert nearest(made, np.array([200.0, 0.0])).distance == pytest.approx(40 * math.tan(angle / 4), abs=1e-3)
    radius = 40.0 / math.tan(angle / 2)
    assert path_length(made) == pytest.approx(400.0 - 80.0 + radius * angle, abs=1e-4)


def test_a_bow_takes_the_kink_up_and_the_hinge_stays_where_it_is():
    """An arc of 20 degrees, then a line 3 degrees further round: the arc's last 40 mm turn by 4.58 and 3."""
    bow = arc(500.0, 0, 20)
    way = math.radians(20.0 + 90.0 + 3.0)
    after = Path.through([bow.end, bow.end + 100.0 * np.array([math.cos(way), math.sin(way)])])

    made = softened_hinge([bow, after], [0.0])

    assert np.abs(turns(made)).max() < 1e-5
    assert np.hypot(*(made.nodes - bow.end).T).min() < 1e-9
    assert np.array_equal(made.curves[-1], after.curves[0])


def test_a_kink_that_was_there_before_stays():
    bits = [Path.through([(0, 0), (200, 0)]), Path.through([(200, 0), (400, 17.5)])]

    assert np.array_equal(softened_hinge(bits, [5.5]).curves, join(bits).curves)
