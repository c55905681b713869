"""Stretches: closed forms, and what must come back by going there and back again."""

import numpy as np
import pytest

from sewkit.geometry.length import path_length
from sewkit.geometry.path import Path, end_tangents, lines, start_tangents, turns
from sewkit.geometry.stretch import drawn_straight, stretched
from sewkit.geometry.transform import turn

# A side seam with a waist: two curves that join smoothly, and no end square to anything.
SIDE = Path([[(0, 0), (12, 30), (20, 70), (18, 110)], [(18, 110), (16, 150), (-4, 210), (-10, 260)]])
# Both handles of the first kind are missing at one end: what editors leave of a dragged line.
BARE_START = Path([[(0, 0), (0, 0), (30, 60), (10, 120)]])
BARE_END = Path([[(0, 0), (20, 50), (10, 120), (10, 120)]])


def flat(angle):
    """Stretches may run any way over the sheet."""
    return turn(angle).points(np.array([0.0, 1.0]))


def test_a_straight_line_reaches_its_new_end_and_stays_straight():
    """20 aside and 195 along, made 25 longer: hypot(20, 220)."""
    made = stretched(Path.through([(245, 230), (235, 327.5), (225, 425)]), (0, 25))

    assert np.array_equal(made.start, (245, 230)) and np.array_equal(made.end, (225, 450))
    assert path_length(made) == pytest.approx(np.hypot(20, 220), abs=1e-9)
    assert np.abs(turns(made)).max() < 1e-9 and drawn_straight(made.curves).all()
    assert np.allclose(made.nodes[1], (235, 340), atol=1e-12)  # half way still


@pytest.mark.parametrize("angle", [0, 37, 90, 180, -120])
@pytest.mark.parametrize("amount", [25.0, -40.0, 300.0])
def test_directions_at_the_ends_are_kept_and_joints_stay_smooth(amount, angle):
    span = turn(angle).path(SIDE)
    made = stretched(span, amount * flat(angle))

    assert np.allclose(made.end, span.end + amount * flat(angle), atol=1e-12)
    assert np.allclose(start_tangents(made.curves)[0], start_tangents(span.curves)[0], atol=1e-12)
    assert np.allclose(end_tangents(made.curves)[-1], end_tangents(span.curves)[-1], atol=1e-12)
    assert abs(turns(made)[0] - turns(stretched(span, amount * flat(angle), False, False))[0]) < 1e-9


@pytest.mark.parametrize("span", [SIDE, BARE_START, BARE_END], ids=["both", "no first", "no last"])
@pytest.mark.parametrize("first, second", [(25.0, -25.0), (-30.0, 30.0), (20.0, 15.0), (60.0, -90.0)])
def test_two_stretches_make_the_one_of_their_sum(span, first, second):
    twice = stretched(stretched(span, (0, first)), (0, second))
    once = stretched(span, (0, first + second))

    assert np.abs(twice.curves - once.curves).max() < 1e-12 * 300


def test_backwards_it_is_the_same_line():
    """The end stays and the start goes: the same stretch, seen from the other end."""
    there = stretched(SIDE, (0, 30))
    back = stretched(SIDE.reverse(), (0, -30)).reverse()

    assert np.allclose(back.curves, there.curves - (0, 30), atol=1e-12)


def test_a_stretch_along_or_square_to_a_handle_scales_it_as_the_plain_stretch_does():
    """c = 1: times k; c = 0: not at all. k = (100 + 50) / 100."""
    made = stretched(Path([[(0, 0), (0, 40), (30, 100), (60, 100)]]), (0, 50))

    assert np.allclose(made.curves[0], [(0, 0), (0, 60), (30, 150), (60, 150)], atol=1e-12)


@pytest.mark.parametrize("span", [BARE_START, BARE_END], ids=["no first", "no last"])
def test_an_end_without_a_handle_keeps_its_direction_too(span):
    made = stretched(span, (0, 30))

    assert np.allclose(start_tangents(made.curves), start_tangents(span.curves), atol=1e-12)
    assert np.allclose(end_tangents(made.curves), end_tangents(span.curves), atol=1e-12)


def test_ends_that_are_not_kept_turn_as_the_plain_stretch_turns_them():
    made = stretched(SIDE, (0, 26), keep_start=False, keep_end=False)

    assert np.allclose(made.curves, SIDE.curves * (1.0, 1.1), atol=1e-12)


def test_a_line_that_a_file_rounded_is_still_a_straight_one():
    curves = np.round(lines([(0.12345, 7.77777)], [(11.11111, 193.33333)]), 3)
    made = stretched(Path(curves), (0, 40))

    assert drawn_straight(made.curves).all()
    assert not drawn_straight(SIDE.curves).any()


@pytest.mark.parametrize(
    "span, move",
    [
        (Path.through([(0, 0), (100, 0)]), (0, 10)),  # nothing to stretch: square to it
        (SIDE, (0, -260)),  # nothing left
        (SIDE, (0, -300)),  # turned over
    ],
)
def test_what_cannot_be_stretched_is_refused(span, move):
    with pytest.raises(ValueError):
        stretched(span, move)


def test_no_move_leaves_the_very_same_path():
    assert stretched(SIDE, (0, 0)) is SIDE
