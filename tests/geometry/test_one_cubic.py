"""Parts of one cubic put together over a gap; the parts are cut by de Casteljau."""

import numpy as np
import pytest

from sewkit.geometry.one_cubic import one_cubic
from sewkit.geometry.path import cut_curve, lines

CURVE = np.array([(0, 0), (60, -30), (140, 10), (200, 60)], float)


@pytest.mark.parametrize("low, high", [(0.4, 0.5), (0.3, 0.3), (0.25, 0.6), (0.7, 0.8)])
def test_the_curve_comes_back(low, high):
    made = one_cubic(cut_curve(CURVE, 0.0, low), cut_curve(CURVE, high, 1.0))
    np.testing.assert_allclose(made, CURVE, atol=1e-8)


def test_other_curves_are_not_taken_for_one():
    first, second = cut_curve(CURVE, 0.0, 0.4), cut_curve(CURVE, 0.5, 1.0)
    assert one_cubic(first, second + (0, 0.05)) is None
    assert one_cubic(first, cut_curve(CURVE + [(0, 0), (0, 0), (0, 2), (0, 0)], 0.5, 1.0)) is None
    assert one_cubic(first, lines(second[:1], second[3:])[0]) is None
    assert one_cubic(second, first) is None
    assert one_cubic(first, second[::-1]) is None
