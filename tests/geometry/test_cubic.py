"""Where cubics turn and pass a value, judged by numpy.roots, however large or lean they are."""

import warnings

import numpy as np
import pytest

from sewkit.geometry.cubic import solve, turning


def inner_roots(bernstein, target=0.0, slope=False):
    """Real roots in 0 < t < 1 of a cubic less a target, or of its derivative, by numpy.roots.

    The coefficients are exact powers of two of the given ones, so that numpy.roots cannot
    overflow, and a leading one below the smallest normal number is none.
    """
    c = np.asarray(bernstein, float) - target
    c = c / 2.0 ** np.floor(np.log2(np.abs(c).max()))
    powers = np.array(
        [c[3] - 3 * c[2] + 3 * c[1] - c[0], 3 * (c[2] - 2 * c[1] + c[0]), 3 * (c[1] - c[0]), c[0]]
    )
    powers[np.abs(powers) < np.finfo(float).tiny] = 0.0
    found = np.roots(np.polyder(powers) if slope else powers)
    real = found[np.abs(found.imag) < 1e-9].real
    return np.sort(real[(real > 0) & (real < 1)])


LEAN_AND_LARGE = [
    (1e-309, 0.0, 1.0, 3.0),  # all but a parabola: one turn lies beyond the largest number
    (0.0, 1e160, -1e160, 5.0),  # squares overflow
    (0.0, 1e200, -1e200, 5.0),
    (0.0, 3e307, -3e307, 3.0),
    (0.0, 4e-170, -4e-170, 1e-171),  # squares vanish
    (0.0, 100.0, -100.0, 5.0),
    (0.0, 1.0, 1.0 + 1e-15, 0.0),
]


@pytest.mark.parametrize("cubic", LEAN_AND_LARGE)
def test_turns_are_those_of_numpy_and_nothing_overflows(cubic):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        cuts = turning(np.array([cubic]))[0]

    wanted = inner_roots(cubic, slope=True)
    inside = cuts[(cuts > 1e-300) & (cuts < 1)]
    assert cuts[0] == 0 and cuts[-1] == 1
    np.testing.assert_allclose(inside, wanted, rtol=1e-12)


@pytest.mark.parametrize(
    "cubic", [(-1e160, 9e160, -9e160, 5e160), (-1e300, 1e300, -1e300, 5e299), (1e-309, 0.0, 1.0, 3.0)]
)
def test_every_passage_is_found_and_nothing_overflows(cubic):
    target = 0.25
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        _, t = solve(np.array([cubic]), target)

    np.testing.assert_allclose(t, inner_roots(cubic, target), rtol=1e-9)


def test_many_cubics_at_once_are_each_of_their_own_size():
    cubics = np.array(LEAN_AND_LARGE + [(0.0, 0.0, 0.0, 0.0)])
    alone = np.concatenate([turning(cubic[None]) for cubic in cubics])

    np.testing.assert_array_equal(turning(cubics), alone)
