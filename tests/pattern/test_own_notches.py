"""A notch that served all sizes of a block 240 x 400, where 12 mm go out of one size; worked by hand."""

import pytest

from sewkit.operations.spread import spread
from sewkit.operations.wedge import wedge
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.mark import NOTCH
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine
from tests.geometry.shapes import outline
from tests.operations.pieces import grain, named, named_outline, notch

BLOCK = outline((0, 0), (240, 0), (240, 400), (0, 400))
EDGES = "neck side hem centre"
# The centre runs upwards as drawn: what lies 150 mm from its start lies 250 mm below its upper end.
WEDGE = {"edge": "centre", "hinge": "side", "at": "100", "amount": -12.0}


def nest(*marks, cut=()):
    lines = tuple(CutLine(size, outline((-10, -10), (250, -10), (250, 410), (-10, 410))) for size in cut)
    piece = named(BLOCK, EDGES, "back", marks=(grain(180, 200, 390), *marks))
    outlines = tuple(named_outline(BLOCK, EDGES, size) for size in ("A", "B", "C"))
    return Pattern((piece._replace(outlines=outlines, cut_lines=lines, allowance={"": 10.0}),))


def notches(outcome):
    found = [mark for mark in outcome.pattern.piece("back").marks if mark.kind == NOTCH]
    return {mark.size: mark for mark in found}, len(found)


def only(size):
    return Chosen((PickedOutline("back", size),))


def test_a_notch_beyond_the_wedge_becomes_one_for_each_size():
    """Counted from the upper end it comes 12 mm nearer in the size that lost them."""
    pattern = nest(notch("centre", 250.0, from_end=True, name="waist"))
    outcome = wedge(pattern, only("B"), **WEDGE)
    found, count = notches(outcome)

    assert count == 3 and set(found) == {"A", "B", "C"}
    for size, wanted in (("A", 250.0), ("B", 238.0), ("C", 250.0)):
        on, line = found[size].on, outcome.pattern.piece("back").outline(size)
        below = on.distance if on.from_end else line.as_sewn("centre") - on.distance
        assert below == pytest.approx(wanted, abs=0.05), size
    assert "own-notches" in {finding.code for finding in outcome.report.findings}


def test_ticks_are_drawn_from_the_cut_line_where_there_is_one():
    """From x = -10 where there is a cut line, from the seam line at x = 0 where there is none."""
    outcome = wedge(nest(notch("centre", 250.0, from_end=True), cut=("A", "B")), only("B"), **WEDGE)
    found, _ = notches(outcome)

    assert [max(abs(x) for x, _ in found[size].path.nodes) for size in "AB"] == pytest.approx(
        [10.0, 10.0], abs=1.0
    )
    assert found["C"].path is not None and min(abs(x) for x, _ in found["C"].path.nodes) < 1e-6


def test_a_notch_that_moved_nowhere_goes_on_serving_all():
    pattern = nest(notch("centre", 50.0, from_end=True), notch("hem", 40.0))
    found, count = notches(wedge(pattern, only("B"), **WEDGE))

    assert count == 2 and set(found) == {""}


def test_where_all_sizes_change_one_notch_serves_them():
    found, count = notches(wedge(nest(notch("centre", 250.0, from_end=True)), **WEDGE))

    assert count == 1 and set(found) == {""}


def test_a_slash_gives_each_size_its_notch_too():
    """A strip of 15 mm through the middle of both hem and neck; the notch lies beyond it, at 180 of 240."""
    pattern = nest(notch("neck", 180.0, name="n"))
    across = {"edge": "hem", "hinge": "neck", "way": "parallel", "slashes": 1, "redraw": "straight"}
    outcome = spread(pattern, only("A"), amount=15.0, **across)
    found, count = notches(outcome)

    assert count == 3
    assert [found[size].on.distance for size in "ABC"] == pytest.approx([195.0, 180.0, 180.0], abs=0.01)
    assert "own-notches" in {finding.code for finding in outcome.report.findings}
