"""Loops, pieces that vanish, and input that nobody draws on purpose."""

import numpy as np
import pytest

from sewkit.geometry.offset import Corner, OffsetVanishes, offset
from sewkit.geometry.path import Path, lines
from sewkit.geometry.polygon import signed_area
from tests.geometry.bands import bands, deviation
from tests.geometry.shapes import outline

SQUARE = Path.through([(0, 0), (100, 0), (100, 50), (0, 50)], closed=True)


# Loops and what vanishes


def test_a_hollow_narrower_than_the_allowance_is_bridged_and_reported():
    path = outline((0, 0), (100, 0), (100, 100), (58, 100), ((58, 89), (42, 89), (42, 100)), (0, 100))
    answer = offset(path, 10)

    assert 3 not in answer.sources
    assert [trim.curves for trim in answer.trimmed] == [(3,)]
    np.testing.assert_allclose(answer.path.nodes.max(axis=0), (110, 110), atol=1e-9)
    assert len(answer.path) == 5


def test_a_plain_crossing_at_a_corner_is_not_reported():
    path = Path.through([(0, 0), (100, 0), (100, 40), (40, 40), (40, 100), (0, 100)], closed=True)

    assert offset(path, 10).trimmed == ()
    assert offset(path, -10).trimmed == ()


def test_slits_of_a_comb_close_up():
    # Slits 10 wide, allowance 10: the teeth's allowances overlap and the top runs through.
    comb = [(0, 0), (40, 0), (40, 80), (50, 80), (50, 0), (90, 0), (90, 80), (100, 80), (100, 0)]
    path = Path.through(comb + [(140, 0), (140, 120), (0, 120)], closed=True)
    answer = offset(path, 10)

    assert len(answer.trimmed) == 2
    assert signed_area(answer.path) == pytest.approx(160 * 140)


@pytest.mark.parametrize("width", [-25.0, -25.001, -40.0])
def test_a_piece_narrower_than_twice_the_width_vanishes(width):
    with pytest.raises(OffsetVanishes) as caught:
        offset(SQUARE, width)

    assert caught.value.point.shape == (2,)


def test_just_before_vanishing_a_sliver_is_left():
    answer = offset(SQUARE, -24.9)

    assert signed_area(answer.path) == pytest.approx(50.2 * 0.2)


def test_a_piece_that_would_fall_apart_is_refused():
    # Two squares of 100 joined by a bridge 15 wide.
    path = Path.through(
        [(0, 0), (100, 0), (100, 40), (160, 40), (160, 0), (260, 0), (260, 100), (160, 100)]
        + [(160, 55), (100, 55), (100, 100), (0, 100)],
        closed=True,
    )

    with pytest.raises(OffsetVanishes):
        offset(path, -10)
    assert len(offset(path, -7).path) == 12


@pytest.mark.parametrize("radius, width", [(8.0, -10.0), (10.0, -10.0), (30.0, -45.0)])
def test_a_circle_smaller_than_the_width_vanishes(radius, width):
    h = 0.5522847 * radius
    r = radius
    path = outline(
        (r, 0), ((r, h), (h, r), (0, r)), ((-h, r), (-r, h), (-r, 0)),
        ((-r, -h), (-h, -r), (0, -r)), ((h, -r), (r, -h), (r, 0)),
    )  # fmt: skip

    with pytest.raises(OffsetVanishes):
        offset(path, width)


def test_a_lost_chamfer_is_trimmed_but_a_lost_seam_is_refused():
    chamfered = Path.through([(0, 0), (97, 0), (100, 3), (100, 100), (0, 100)], closed=True)
    answer = offset(chamfered, -10)

    nodes = sorted(map(tuple, answer.path.nodes.round(9)))
    np.testing.assert_allclose(nodes, [(10, 10), (10, 90), (90, 10), (90, 90)])
    assert answer.trimmed[0].curves == (1,)
    with pytest.raises(OffsetVanishes):
        offset(chamfered, [-10, -1, -10, -10, -95])


# Awkward input


def box(*handles):
    """A piece 100 wide whose upper edge is one curve with the given handles."""
    return outline((0, 0), (handles[0], handles[1], (100, 0)), (100, 200), (0, 200))


@pytest.mark.parametrize(
    "path",
    [
        box((99, -60), (1, -60)),  # close to a cusp, pointing out
        box((99.9, 60), (0.1, 60)),  # closer, pointing in
        box((0, 0), (60, -30)),  # no first handle
        box((60, -30), (100, 0)),  # no last handle
        box((0, -0.01), (60, -30)),  # a handle of 0.01 mm
        box((50, 40), (50, 40)),  # handles in one point
        Path.through([(0, 0), (100, 0), (150, 100), (151.7, 0), (300, 0), (300, 200), (0, 200)], True),
        Path.through([(0, 0), (300, 20), (0, 42)], True),  # a tip of eight degrees
    ],
)
@pytest.mark.parametrize("width", [10.0, -10.0])
def test_awkward_curves_are_offset_as_exactly_as_others(path, width):
    region, doubts = bands(path, width)

    assert deviation(offset(path, width).path, region, doubts, 25) <= 0.01


@pytest.mark.parametrize("handles", [((150, 0), (-50, 0)), ((50, 0), (120, 0)), ((0, 0), (100, 0))])
def test_a_curve_that_runs_to_and_fro_on_its_chord_counts_as_the_chord(handles):
    answer = offset(box(*handles), 10)

    np.testing.assert_allclose(answer.path.nodes, [(-10, -10), (110, -10), (110, 210), (-10, 210)], atol=1e-9)


@pytest.mark.parametrize("width", [10.0, -10.0])
def test_a_true_cusp_within_a_curve_is_taken_for_a_corner(width):
    # Handles crossed exactly: the curve stops at (50, 45 up or down) and turns back.
    for side in (60, -60):
        answer = offset(box((100, side), (0, side)), width)
        region, _ = bands(box((100, side), (0, side)), width)

        # The reference rounds the tip, ours is cut blunt: compare away from it.
        tip = [np.array([50.0, 45.0 * np.sign(side)])]
        assert deviation(answer.path, region, tip, 15) < 0.01


def test_double_nodes_are_passed_over():
    starts = [(0, 0), (100, 0), (100, 0), (100, 100), (0, 100), (0, 100)]
    path = Path(lines(starts, starts[1:] + starts[:1]), True)
    answer = offset(path, [10, 99, 20, 30, 99, 40])

    np.testing.assert_allclose(answer.path.nodes, [(-40, -10), (120, -10), (120, 130), (-40, 130)], atol=1e-9)
    assert answer.sources.tolist() == [0, 2, 3, 5]


def test_one_curve_alone_makes_an_outline():
    path = Path([[(0, 0), (150, -100), (150, 100), (0, 0)]], closed=True)
    region, _ = bands(path, 8.0)

    answer = offset(path, 8.0)

    assert deviation(answer.path, region) < 0.01
    assert set(answer.sources.tolist()) == {-1, 0}


@pytest.mark.parametrize(
    "path",
    [
        Path.through([(0, 0), (100, 0), (100, 50)]),  # open
        Path([], closed=True),  # empty
        Path.through([(0, 0), (0, 0), (0, 0)], closed=True),  # a dot
        Path.through([(0, 0), (100, 0), (50, 0)], closed=True),  # no area
        Path.through([(0, 0), (100, 100), (100, 0), (0, 70)], closed=True),  # crosses itself
        # touches itself in a corner
        Path.through([(0, 0), (50, 50), (100, 0), (100, 100), (50, 50), (0, 100)], closed=True),
        # a corner touches an edge
        Path.through([(0, 0), (100, 0), (100, 100), (50, 0), (0, 100)], closed=True),
    ],
)
@pytest.mark.parametrize("width", [10.0, -5.0, 0.0])
def test_what_is_no_outline_is_refused(path, width):
    with pytest.raises(ValueError) as caught:
        offset(path, width)

    assert not isinstance(caught.value, OffsetVanishes)


@pytest.mark.parametrize("widths", [[1, 2, 3], float("nan"), [10, 10, float("inf"), 10]])
def test_widths_that_do_not_fit_are_refused(widths):
    with pytest.raises(ValueError):
        offset(SQUARE, widths)


def test_corners_that_do_not_fit_are_refused():
    with pytest.raises(ValueError):
        offset(SQUARE, 10, [Corner()])
