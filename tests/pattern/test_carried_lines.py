"""Lines that a slash crosses, put together as somebody would draw them."""

import math

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.geometry.transform import IDENTITY, turn
from sewkit.pattern.carrying import moved_line
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.parting import composed, hinge_turn, parted
from sewkit.pattern.slash import even

BOX = Outline(
    "",
    Path.through([(0, 0), (200, 0), (200, 400), (0, 400)], True),
    tuple(Edge(name, n, n + 1) for n, name in enumerate(("waist", "side", "hem", "centre"))),
)


def parting_and_moves(degrees):
    """A box 200 by 400, slashed from the middle of its hem to that of its waist; the left half stays."""
    parting = parted(BOX, even(BOX, "hem", "waist", 1))
    fixed = parting.part_of(np.array([50.0, 200.0]))
    return parting, composed(parting, fixed, [hinge_turn(parting, 0, degrees)])


def test_a_line_that_an_earlier_cut_bent_is_straight_again():
    parting, moves = parting_and_moves(-1.0)
    back = next(move for move in moves if move != IDENTITY).inverse()
    right = back.points(np.array([[100.0, 50.0], [200.0, 50.0]]))
    bent = Path.through([(0.0, 50.0), (100.0, 50.0), *map(tuple, right)])

    made = moved_line(bent, parting, moves)

    assert len(made) == 1
    assert made.nodes == pytest.approx(np.array([(0.0, 50.0), (200.0, 50.0)]), abs=1e-9)


def test_a_line_that_is_truly_bent_keeps_its_bend():
    parting, moves = parting_and_moves(5.0)
    made = moved_line(Path.through([(0, 200), (200, 200)]), parting, moves)
    way = made.curves[-1, 3] - made.curves[-1, 2]

    assert abs(math.degrees(math.atan2(way[1], way[0]))) == pytest.approx(5.0, abs=1e-9)


def test_a_line_aslant_to_the_slash_gets_no_step():
    """Turned by 8 degrees the right half of a slanting line lies aside of where the left goes on."""
    parting, moves = parting_and_moves(8.0)
    slant = Path.through([(0, 300), (200, 330)])
    made = moved_line(slant, parting, moves)

    spots = np.concatenate([curve_points(curve) for curve in made.curves])
    steps = np.diff(spots, axis=0)
    steps = steps[np.hypot(*steps.T) > 1e-9]
    way = np.degrees(np.arctan2(steps[:, 1], steps[:, 0]))
    sense = np.sign(way[-1] - way[0])
    assert (sense * np.diff(way) >= -1e-6).all(), "it turns one way only"
    assert np.array_equal(made.start, (0, 300))
    right = next(move for move in moves if move != turn(0.0, (0.0, 0.0)))
    assert made.end == pytest.approx(right.points(np.array([(200.0, 330.0)]))[0], abs=1e-9)


def curve_points(curve):
    t = np.linspace(0.0, 1.0, 12)[:, None]
    a, b, c, d = curve
    return (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d
