"""What is told before cloth is cut, by print and by projector.  Squares that do and do not fit each other."""

import pytest

from sewkit.checks.before_cutting import before_cutting
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move
from sewkit.operations.print_ import print_
from sewkit.operations.project import project
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.operations.pieces import grain, named


def box(name, x, height):
    """A rectangle 200 wide, its sides down; the seams are square at both ends."""
    path = Path.through([(0, 0), (200, 0), (200, height), (0, height)], closed=True)
    return named(move(x, 0).path(path), "top side hem centre", name, marks=(grain(x + 100, 50, 150),))


def pair(height):
    """A front 200 mm high, a back of another height sewn to its side, a pocket sewn to nothing."""
    front, back, pocket = box("front", 0, 200), box("back", 300, height), box("pocket", 600, 200)
    return Pattern((front, back, pocket), parse_seams("side=back/side", "front"))


@pytest.mark.parametrize("height, level", [(200, None), (202, Level.WARN), (210, Level.FAIL)])
def test_as_grave_as_the_seam(height, level):
    """Equal; 2 mm are usable and to look at; 10 mm stop."""
    found = before_cutting(pair(height), ["front", "back"], [""])

    assert [one.level for one in found] == ([] if level is None else [level])
    assert all("sewkit check" in one.cure and "1 thing to" in one.text for one in found)


def test_only_what_is_put_out_counts():
    assert before_cutting(pair(210), ["pocket"], [""]) == ()


@pytest.mark.parametrize("operation", [print_, project])
def test_print_and_projector_tell_it_once_and_stop_nobody(operation):
    outcome = operation(pair(210))

    assert outcome.prints
    assert [one.level for one in outcome.report.findings if one.code == "before-cutting"] == [Level.FAIL]


@pytest.mark.parametrize("operation", [print_, project])
@pytest.mark.parametrize("lines, level", [("both", Level.INFO), ("cut", Level.WARN), ("seam", None)])
def test_a_piece_without_a_cut_line_is_told_on_paper_and_by_light(operation, lines, level):
    """The seam line is shown in its place, and cut along it the cloth has no allowance."""
    found = [one for one in operation(pair(200), lines=lines).report.findings if one.code == "no-cut-line"]

    assert [one.level for one in found] == ([] if level is None else [level])
    assert all("front, back, pocket" in one.text and one.cure for one in found)
