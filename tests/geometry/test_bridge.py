"""The soft line over a gap: an arc where the gap is that of a wedge, smooth everywhere."""

import math

import numpy as np
import pytest

from sewkit.geometry.bridge import bridged, lap, soft
from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, point, turns


def _line(*points):
    return Path.through(points)


@pytest.mark.parametrize("degrees", [1.0, 2.8651, 5.321, 20.0])
@pytest.mark.parametrize("radius", [50.0, 600.0])
def test_a_wedge_opens_into_an_arc_about_its_hinge(degrees, radius):
    """Two edges square to the slash: every point of the curve lies one slash from the hinge."""
    angle = math.radians(degrees)
    before = _line((-100.0, -radius), (0.0, -radius))
    start = np.array([radius * math.sin(angle), -radius * math.cos(angle)])
    after = _line(start, start + 100.0 * np.array([math.cos(angle), math.sin(angle)]))

    joined = bridged([before, after])

    away = np.hypot(*point(joined.curves[1:2], np.linspace(0, 1, 101)[None])[0].T)
    assert np.abs(away - radius).max() < 0.001
    assert path_length(joined) == pytest.approx(200.0 + radius * angle, abs=1e-4)
    assert np.abs(turns(joined)).max() < 1e-9


def test_the_paths_themselves_are_kept_to_the_last_bit():
    before, after = _line((0, 0), (37.1, 0)), _line((50.3, 1.7), (90.0, 5.0), (95.0, 9.0))

    joined = bridged([before, after])

    assert np.array_equal(joined.curves[0], before.curves[0])
    assert np.array_equal(joined.curves[2:], after.curves)


def test_a_gap_straight_ahead_is_filled_with_a_straight_line():
    curve = soft(np.array([10.0, 0.0]), np.array([1.0, 0.0]), np.array([40.0, 0.0]), np.array([1.0, 0.0]))

    assert np.allclose(curve, [(10, 0), (20, 0), (30, 0), (40, 0)], rtol=0, atol=1e-12)


def test_paths_that_meet_are_only_joined():
    joined = bridged([_line((0, 0), (10, 0)), _line((10, 0), (10, 10))])

    assert joined == _line((0, 0), (10, 0), (10, 10))


def test_a_lap_is_one_smooth_line_without_a_step_back():
    """Laps of 10 mm: what lies twice is lost, and the line runs on in one direction."""
    joined = bridged([_line((0, 0), (100, 0)), _line((90, 0), (200, 0))])

    assert path_length(joined) == pytest.approx(200.0, abs=1e-9)
    assert np.abs(turns(joined)).max() < 1e-9


def test_a_lap_with_a_turn_stays_smooth():
    angle = math.radians(-5.0)
    way = np.array([math.cos(angle), math.sin(angle)])
    joined = bridged([_line((0, 0), (100, 0)), _line((92.0, 0.5), np.array([92.0, 0.5]) + 80 * way)])

    assert np.abs(turns(joined)).max() < 1e-9
    assert (np.diff(joined.nodes[:, 0]) > 0).all()


def test_how_far_one_path_starts_behind_the_other():
    assert lap(_line((0, 0), (100, 0)), _line((90, 0), (200, 0))) == pytest.approx(10.0)
    assert lap(_line((0, 0), (100, 0)), _line((130, 0), (200, 0))) == pytest.approx(-30.0)


def test_a_lap_longer_than_the_paths_is_refused():
    with pytest.raises(ValueError, match="too little"):
        bridged([_line((0, 0), (10, 0)), _line((-60, 0), (-50, 0))])
