"""An edge drawn on over an opening aside of the pivot: it bends one way, or says how far it steps."""

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.pattern.soft_opening import softened

# A level edge, and its other side turned by 10 degrees about (100, -200), so that it begins at x = 180.
TURN = np.radians(10.0)


def turned(spot):
    x, y = spot[0] - 100.0, spot[1] + 200.0
    cosine, sine = np.cos(TURN), np.sin(TURN)
    return (100.0 + cosine * x + sine * y, -200.0 - sine * x + cosine * y)


BEFORE = Path.through([(0, 0), (180, 0)])
AFTER = Path.through([turned((180, 0)), turned((200, 0))])


def bends(*paths):
    """By how much (degrees) a line turns to the one side and to the other."""
    spots = np.concatenate([flatten(path, 0.01) for path in paths if len(path)])
    ways = np.diff(spots, axis=0)
    ways = ways[np.hypot(*ways.T) > 1e-6]
    turns = np.degrees(np.diff(np.unwrap(np.arctan2(ways[:, 1], ways[:, 0]))))
    return turns[turns > 0].sum(), -turns[turns < 0].sum()


def straight_over():
    return Path.through([BEFORE.end, AFTER.start])


def test_it_bends_one_way_and_by_the_angle_alone():
    made = softened(BEFORE, AFTER, straight_over())

    # As drawn it would turn down to the step and back.
    assert min(bends(BEFORE, straight_over(), AFTER)) > 10.0
    assert sorted(bends(made.before, made.between, made.after)) == pytest.approx([0.0, 10.0], abs=0.05)
    assert made.step == 0.0
    # Both ends stay, with their directions; what is new lies between where the slash was and straight below.
    np.testing.assert_allclose([made.before.start, made.after.end], [BEFORE.start, AFTER.end])
    assert 0.0 < made.between.start[0] < 100.0 + 200.0 * np.tan(TURN / 2.0)
    # It is as long as its parts say, measured along many short chords.
    spots = np.concatenate([flatten(p, 0.001) for p in (made.before, made.between, made.after)])
    drawn = np.hypot(*np.diff(spots, axis=0).T)
    assert drawn.sum() == pytest.approx(200.0 + made.gained, abs=0.01)


def test_an_edge_that_lies_square_to_its_slash_gives_up_nothing():
    first, second = Path.through([(0, 0), (100, 0)]), Path.through([turned((100, 0)), turned((200, 0))])
    over = Path.through([first.end, second.start])

    made = softened(first, second, over)

    assert (made.before, made.after, made.between) == (first, second, over)


def test_a_dart_that_is_only_drawn_stays_on_the_edge():
    made = softened(BEFORE, AFTER, straight_over(), [np.array([110.0, 0.0])])

    assert made.before.end[0] >= 110.0
    # The directions meet at 100 + 200 tan 5 = 117.5, so there is still room for a line that bends one way.
    assert min(bends(made.before, made.between, made.after)) == pytest.approx(0.0, abs=0.05)


def test_where_there_is_no_room_the_step_is_told():
    # Two level lines 20 mm apart: whatever lies between steps by 20 mm.
    first, second = Path.through([(0, 0), (100, 0)]), Path.through([(110, 20), (200, 20)])

    made = softened(first, second, Path.through([(100, 0), (110, 20)]))

    assert made.step == pytest.approx(20.0)
    assert len(made.before) and len(made.after)
