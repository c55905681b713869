"""Fitting cubics to exact curves, checked on curves whose distance is known in closed form."""

import math

import numpy as np
import pytest

from sewkit.geometry.fit import fit_curve
from sewkit.geometry.path import end_tangents, point, start_tangents


def circle(u):
    return 100.0 * np.stack([np.cos(u), np.sin(u)], axis=-1)


def off_circle(curves):
    dense = point(curves, np.broadcast_to(np.linspace(0, 1, 401), (len(curves), 401)))
    return np.abs(np.hypot(dense[..., 0], dense[..., 1]) - 100.0).max()


@pytest.mark.parametrize("tolerance", [0.1, 0.01, 0.001, 0.0001])
def test_a_half_circle_stays_within_the_tolerance(tolerance):
    curves = fit_curve(circle, 0.0, math.pi, None, tolerance)

    assert off_circle(curves) <= tolerance


def test_a_quarter_circle_is_one_cubic_as_good_as_the_textbook_one():
    # The classic handle length 4/3 tan(22.5 deg) is off by 2.7e-4 of the radius
    # (worked: radius at t = 0.211 is 1.000273); a fit that keeps end tangents is better.
    curves = fit_curve(circle, 0.0, math.pi / 2, None, 0.05)

    assert len(curves) == 1
    assert off_circle(curves) <= 0.0273


def test_the_number_of_cubics_grows_with_the_sixth_root():
    # Error of a quarter-circle cubic about 2.0e-2 mm here and falling as the sixth power
    # of the angle: for 1e-4 mm a half circle needs 2 * (200) ** (1/6) = 4.8 at the
    # least, and one or two more for the share of the tolerance that a fit keeps back.
    assert len(fit_curve(circle, 0.0, math.pi, None, 1e-4)) in (5, 6, 7)


def test_a_cubic_comes_back_as_itself():
    curve = np.array([[[0.0, 0], [30, 40], [80, 50], [100, 0]]])

    curves = fit_curve(lambda u: point(curve, u[None])[0], 0.0, 1.0, None, 0.001)

    assert len(curves) == 1
    np.testing.assert_allclose(curves, curve, atol=0.05)


def test_a_straight_line_comes_back_straight():
    curves = fit_curve(lambda u: np.stack([3 * u, 4 * u], axis=-1), 0.0, 10.0)

    assert len(curves) == 1
    across = curves[0] @ np.array([0.8, -0.6])
    np.testing.assert_allclose(across, 0.0, atol=1e-12)


def test_given_end_directions_are_kept_exactly():
    # The sine wave (u, sin u) leaves the origin at 45 degrees.
    wave = lambda u: 50.0 * np.stack([u, np.sin(u)], axis=-1)  # noqa: E731
    curves = fit_curve(wave, 0.0, math.pi, [(7.0, 7.0), (7.0, -7.0)])

    half = math.sqrt(0.5)
    np.testing.assert_allclose(start_tangents(curves)[0], [half, half], atol=1e-12)
    np.testing.assert_allclose(end_tangents(curves)[-1], [half, -half], atol=1e-12)


def test_pieces_join_without_gap_or_kink():
    curves = fit_curve(circle, 0.0, 5.0, None, 0.001)

    assert len(curves) > 2
    np.testing.assert_array_equal(curves[:-1, 3], curves[1:, 0])
    before, after = end_tangents(curves)[:-1], start_tangents(curves)[1:]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    np.testing.assert_allclose(cross, 0.0, atol=1e-7)


def test_the_exact_curve_is_never_asked_outside_its_range():
    asked = []

    def watched(u):
        asked.append((u.min(), u.max()))
        return circle(u)

    fit_curve(watched, 0.25, 2.0)

    assert min(low for low, _ in asked) >= 0.25
    assert max(high for _, high in asked) <= 2.0


def test_an_empty_range_is_refused():
    with pytest.raises(ValueError):
        fit_curve(circle, 1.0, 1.0)
