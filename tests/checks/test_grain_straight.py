"""Grain lines: present, straight, long enough, inside, and true to the fold."""

import math

import numpy as np
import pytest

from sewkit.checks.grain_straight import grain_straight_findings
from sewkit.geometry.path import Path
from sewkit.pattern.mark import GRAIN, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.report import Level
from tests.operations.pieces import named

BLOCK = Path.through([(0, 0), (200, 0), (200, 400), (0, 400)], True)


def leaning(degrees, length=300.0, middle=(100.0, 200.0)):
    way = np.array([math.sin(math.radians(degrees)), math.cos(math.radians(degrees))]) * length / 2
    return Mark(GRAIN, path=Path.through([np.array(middle) - way, np.array(middle) + way]))


def piece(*marks, name="front", **more):
    return named(BLOCK, "top right bottom left", name, marks=marks, **more)


def codes(*pieces):
    return [(f.code, f.level) for f in grain_straight_findings(Pattern(pieces), ("",))]


def test_a_good_grain_line_is_no_finding():
    assert codes(piece(leaning(0.0), folds=("left",))) == []


@pytest.mark.parametrize(
    ("degrees", "level"),
    [
        (0.19, None),
        (0.21, Level.WARN),
        (0.99, Level.WARN),
        (1.01, Level.FAIL),
        (89.5, Level.WARN),
        (45, None),
    ],
)
def test_grain_that_is_off_the_fold(degrees, level):
    """Good within 0.2 degrees, twisted from 1; a bias of 45 is on purpose, and so is square to the fold."""
    wanted = [] if level is None else [("grain-crooked", level)]
    assert codes(piece(leaning(degrees, 150.0), folds=("left",))) == wanted


def test_one_crooked_grain_line_among_others():
    others = [piece(leaning(0.0), name=name) for name in ("back", "sleeve")]
    assert codes(piece(leaning(1.5)), *others) == [("grain-crooked", Level.WARN)]
    assert codes(piece(leaning(1.5)), others[0]) == []  # of two nobody knows which


def test_missing_short_outside_bent_and_double():
    assert codes(piece()) == [("no-grain", Level.WARN)]
    assert codes(piece(leaning(0.0, 59.0))) == [("grain-short", Level.WARN)]
    assert codes(piece(leaning(0.0, 61.0))) == []
    assert codes(piece(leaning(0.0, 300.0, (100.0, 252.0)))) == [("grain-outside", Level.WARN)]
    bent = Mark(GRAIN, path=Path(np.array([[(100, 50), (103, 150), (103, 250), (100, 350)]])))
    assert codes(piece(bent)) == [("grain-bent", Level.FAIL)]
    assert codes(piece(leaning(0.0), leaning(0.0))) == [("grain-twice", Level.WARN)]
