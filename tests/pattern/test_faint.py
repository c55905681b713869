"""Faint lines: their place, and that they go again."""

import numpy as np
import pytest

from sewkit.geometry.path import Path, point
from sewkit.pattern.faint import HINGE, RING, SLASH, faint_lines, is_faint, ring
from sewkit.pattern.mark import INNER, OVERLAY, Mark
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.piece import Piece

LINE = Path.through([(0, 0), (0, 100)])
OTHERS = (Mark(OVERLAY, "", "3", LINE), Mark(INNER, SLASH, "3", LINE), Mark(OVERLAY, SLASH, "5", LINE))


def panel(*marks):
    outline = bare_outline(Path.through([(0, 0), (50, 0), (50, 100), (0, 100)], closed=True), "3")
    return Piece("panel", (outline,), marks=marks)


def test_lines_and_hinges_become_marks_of_their_size():
    made = faint_lines(panel(), "3", [LINE], [(10, 20)])

    assert [(mark.kind, mark.name, mark.size) for mark in made.marks] == [
        (OVERLAY, SLASH, "3"),
        (OVERLAY, HINGE, "3"),
    ]
    assert made.marks[0].path == LINE
    assert made.marks[1].middle == pytest.approx((10, 20))


def test_new_ones_take_the_place_of_old_ones_and_of_nothing_else():
    once = faint_lines(panel(*OTHERS), "3", [LINE, LINE], [(0, 0)])
    twice = faint_lines(once, "3", [LINE])

    assert twice.marks[:3] == OTHERS
    assert [mark.name for mark in twice.marks[3:]] == [SLASH]


def test_without_any_the_old_ones_go():
    made = faint_lines(panel(*OTHERS), "3", [LINE], [(0, 0)])

    assert faint_lines(made, "3").marks == OTHERS
    assert faint_lines(panel(*OTHERS), "3") == panel(*OTHERS)
    assert [is_faint(mark) for mark in OTHERS] == [False, False, True]


def test_a_ring_is_a_circle():
    made = ring((3, 4))
    spots = point(made.curves, np.broadcast_to(np.linspace(0, 1, 21), (4, 21))).reshape(-1, 2)

    assert made.closed and len(made) == 4
    # The usual four arcs leave a circle by at most 0.03 % of its radius (textbook figure, from memory).
    assert np.hypot(*(spots - (3, 4)).T) == pytest.approx(RING, rel=3e-4)
