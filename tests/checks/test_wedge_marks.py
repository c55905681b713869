"""What is told of marks that a wedge met; the numbers are worked out in test_crossed_wedge.py."""

import re

import pytest

from sewkit.geometry.path import Path
from sewkit.operations.wedge import wedge
from sewkit.pattern.mark import DART, DRILL, GRAIN, INNER, LEVEL, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.report import Level
from tests.geometry.shapes import outline
from tests.operations.pieces import named

BLOCK = outline((0, 0), (240, 0), (240, 400), (0, 400))
GRAIN_LINE = Mark(GRAIN, path=Path.through([(180, 20), (180, 180)]))


def told(mark, folds=(), amount=-12.0):
    """Findings that name the mark, as code, level and the numbers behind its name."""
    marks = (GRAIN_LINE, mark._replace(name="mine"))
    piece = named(BLOCK, "neck side hem centre", "panel", folds=folds, marks=marks)
    outcome = wedge(Pattern((piece,)), amount=amount, edge="centre", hinge="side", at="200mm")
    mine = [f for f in outcome.report.findings if "'mine'" in f.text]
    return [(f.code, f.level, [float(n) for n in re.findall(r"\d+\.?\d*", f.text)]) for f in mine]


def line(kind, *spots):
    return Mark(kind, path=Path.through(spots))


@pytest.mark.parametrize("folds", [(), ("centre",)])
def test_a_hole_in_the_cloth_taken_out_is_told(folds):
    hole = line(DRILL, (59, 203), (60, 202), (61, 203), (60, 204), (59, 203))

    assert [found[:2] for found in told(hole, folds)] == [("mark-taken-out", Level.WARN)]
    assert told(hole, folds, 12.0) == []


def test_a_level_cut_short_is_told_by_how_much():
    """y = 208 leaves the wedge at x = 80."""
    assert told(line(LEVEL, (0, 208), (240, 208))) == [("mark-taken-out", Level.WARN, [80.0])]


def test_a_line_with_a_step_is_told():
    """Worked out in test_crossed_wedge.py: 240 - 80 - |(240, 0) - (92 / 1.05, 12 - 4.6 / 1.05)| = 7.43 mm."""
    assert told(line(INNER, (30, 150), (230, 350))) == [("mark-steps", Level.WARN, [7.4])]


def test_a_level_that_slants_is_told_only_on_the_fold():
    low = line(LEVEL, (0, 300), (240, 300))

    assert told(low, ("centre",)) == [("level-slants", Level.INFO, [12.0, 240.0])]
    assert told(low, ("centre",), 15.0) == [("level-slants", Level.INFO, [15.0, 240.0])]
    assert told(low) == []
    assert told(line(LEVEL, (0, 100), (240, 100)), ("centre",)) == []


def test_a_dart_that_no_longer_ends_on_the_hem_is_told():
    """Slid by w k it ends at y = 400 - 12 w; the hem went 12 w^2 (3 - 2 w): at w = 3/4 1.1 mm apart."""
    dart = line(DART, (61, 400), (60, 300), (59, 400))

    (code, level, (off,)) = told(dart, ("centre",))[0]
    assert (code, level) == ("dart-off-edge", Level.WARN)
    assert off == pytest.approx(12.0 * (0.75**2 * 1.5 - 0.75), abs=0.1)
    assert told(dart) == [] and told(line(DART, (61, 390), (60, 300), (59, 390)), ("centre",)) == []
