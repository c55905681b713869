"""Two paths put end to end: what a node cut in two becomes one curve again."""

import math

import numpy as np
import pytest

from sewkit.geometry.path import Path, Place, split_at, turns
from sewkit.geometry.rejoin import eased_over, rejoined
from tests.operations.length_pieces import ruler

ARMHOLE = np.array([(190.0, 45.0), (160.0, 110.0), (165.0, 228.0), (250.0, 230.0)])


@pytest.mark.parametrize("t", [0.03, 0.5, 0.8])
def test_both_parts_of_a_cubic_are_that_cubic_again(t):
    halves = split_at(Path(ARMHOLE[None]), [Place(0, t)])

    made = rejoined(halves.part(0, 1), halves.part(1, 2))

    assert len(made) == 1
    np.testing.assert_allclose(made.curves[0], ARMHOLE, atol=1e-9)


def test_straight_into_straight_is_one_line():
    made = rejoined(Path.through([(0, 0), (3, 4)]), Path.through([(3, 4), (30, 40)]))

    np.testing.assert_allclose(made.curves[0], [(0, 0), (10, 40 / 3), (20, 80 / 3), (30, 40)], atol=1e-12)


@pytest.mark.parametrize("end", [(6.0, 7.9), (1.0, 1.0)])
def test_a_corner_and_a_line_that_turns_back_keep_their_node(end):
    assert len(rejoined(Path.through([(0, 0), (3, 4)]), Path.through([(3, 4), end]))) == 2


def test_curves_of_two_circles_stay_two():
    small, large = 50.0, 80.0
    h = 4 / 3 * math.tan(math.pi / 8)
    first = Path([[(-small, 0), (-small, -h * small), (-h * small, -small), (0, -small)]])
    second = Path([[(0, -small), (h * large, -small), (large, large - small - h * large), (large, 30)]])

    assert len(rejoined(first, second)) == 2


def test_a_step_is_taken_up_softly_on_both_sides():
    # Two level lines, the second 1 mm lower: half way up the curve is half way between them.
    made = eased_over(Path.through([(0, 0), (100, 0)]), Path.through([(100, 1), (200, 1)]), 10.0)

    np.testing.assert_allclose(made.nodes, [(0, 0), (90, 0), (110, 1), (200, 1)], atol=1e-9)
    assert np.abs(turns(made)).max() < 1e-6
    assert ruler(made) == pytest.approx(180 + math.hypot(20, 1), abs=0.02)


def test_a_short_path_gives_up_less_than_half_of_itself():
    made = eased_over(Path.through([(0, 0), (10, 0)]), Path.through([(10, 1), (200, 1)]), 60.0)

    np.testing.assert_allclose(made.nodes[1:3], [(5.5, 0), (70, 1)], atol=1e-9)
