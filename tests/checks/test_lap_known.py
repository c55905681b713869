"""A front that seems to lap over, and no line says how far.  Panels worked by hand."""

import pytest

from sewkit.checks.everything import everything
from sewkit.checks.lap_known import lap_findings
from sewkit.geometry.path import Path
from sewkit.geometry.transform import turn
from sewkit.operations.measure import measure
from sewkit.pattern.mark import BUTTON, DRILL, INNER, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.report import Level
from tests.operations.pieces import grain, level, moved, named

# 300 wide, 600 high; the front edge is at the right.
FRONT = Path.through([(0, 0), (300, 0), (300, 600), (0, 600)], closed=True)
EDGES = "shoulder front-edge hem side"


def line(x, top=10, bottom=590, name=""):
    return Mark(INNER, name, "", Path.through([(x, top), (x, bottom)]), key="line")


def dots(kind, x, *heights):
    return [Mark(kind, "", "", Path.through([(x - 2, y), (x + 2, y)])) for y in heights]


def pattern(*marks, edges=EDGES, name="front", **more):
    return Pattern((named(FRONT, edges, name, marks=(grain(), *marks), cut=2, **more),))


@pytest.mark.parametrize("degrees", [0.0, 40.0])
def test_a_line_without_a_name_along_the_front_edge_is_told(degrees):
    found = lap_findings(moved(pattern(line(280)), turn(degrees)), [""])

    (finding,) = found
    assert finding.level == Level.WARN
    assert "20 mm inside" in finding.text and "20 mm of each of the 2" in finding.text
    assert "sewkit roles --id line --action change --role inner-line --called centre-front" in finding.cure


@pytest.mark.parametrize("kind, heights", [(BUTTON, (100, 200)), (DRILL, (100, 200, 300))])
def test_so_are_buttons_inside_it(kind, heights):
    (finding,) = lap_findings(pattern(*dots(kind, 278, *heights)), [""])

    assert "22 mm inside" in finding.text
    assert "select it" in finding.cure


def test_an_edge_with_a_number_may_be_one_too():
    assert lap_findings(pattern(line(280), edges="1 2 3 4"), [""])


@pytest.mark.parametrize(
    "marks, more",
    [
        ([line(280, name="centre-front"), *dots(BUTTON, 280, 100, 200)], {}),  # known
        ([], {}),  # edge to edge
        ([line(280)], {"folds": ("front-edge",)}),
        ([line(280, 10, 200)], {}),  # a third of the edge
        ([line(150)], {}),  # in the middle of the piece
        ([line(280)], {"name": "front-facing"}),  # lies on the front
        ([line(280)], {"edges": "shoulder side-front hem side"}),
        ([line(280)], {"edges": "shoulder centre-front hem side"}),  # the edge is the centre
        (dots(BUTTON, 300, 100, 200), {}),  # on the edge
        (dots(DRILL, 260, 100, 200), {}),  # two: the corners of a pocket
    ],
)
def test_where_nothing_laps_over_nothing_is_told(marks, more):
    assert lap_findings(pattern(*marks, **more), [""]) == []


def test_check_and_measure_tell_it():
    made = pattern(line(280), level("chest", 200))
    parts = everything(made, [""])

    assert "lap-unknown" in [one.code for part in parts for one in part.findings]
    assert "lap-unknown" in [one.code for one in measure(made).report.findings]
