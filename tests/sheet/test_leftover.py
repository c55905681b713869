"""No drawn line is lost: what is in no piece is left over, whole; judged by closed forms."""

import numpy as np

from sewkit.geometry.path import Path, without_gaps
from sewkit.sheet.drawn import Style, Whole
from sewkit.sheet.leftover import left_over
from sewkit.sheet.nest import Found, FoundOutline, FoundPiece

SQUARE = Path.through([[0, 0], [100, 0], [100, 100], [0, 100]], closed=True)


def found(*numbers):
    outline = FoundOutline("1", SQUARE, numbers, ())
    return Found((FoundPiece((outline,), (), (), (0, 0, 100, 100)),), (), (), ())


def whole(points, closed=False):
    return Whole(Path.through(points, closed), Style())


def test_a_line_that_is_all_in_its_outline_is_not_left_over():
    assert left_over([Whole(SQUARE, Style())], found(0), []) == ()


def test_a_line_of_which_only_a_part_was_taken_is_left_over():
    """Its last 30 mm run on beyond the corner (100, 100)."""
    line = whole([[100, 0], [100, 100], [100, 130]])

    assert left_over([line], found(0), []) == (line,)


def test_marks_are_spent_and_all_else_is_left_over():
    lines = [whole([[10, 10], [20, 10]]), whole([[30, 30], [40, 30]])]

    assert left_over(lines, found(), [0]) == (lines[1],)


def test_joints_that_rounding_took_apart_meet_again():
    curves = np.array(SQUARE.curves)
    curves[2, 0] += 3e-4

    healed = without_gaps(Path(curves, True))

    assert (healed.curves[1:, 0] == healed.curves[:-1, 3]).all()
    assert (healed.curves[0, 0] == healed.curves[-1, 3]).all()
    assert np.abs(healed.curves - SQUARE.curves).max() <= 3e-4
