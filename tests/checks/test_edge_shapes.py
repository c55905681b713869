"""Kinks, folds and grain, on shapes whose angles are chosen."""

import math

import numpy as np
import pytest

from sewkit.checks.edge_shapes import grain_findings, new_kinks, shape_findings
from sewkit.geometry.path import Path, lines
from sewkit.pattern.mark import GRAIN, Mark
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.piece import Piece
from sewkit.report import Level


def outline(*runs, smooth=()):
    """A closed outline from (name, points); each run begins where the one before ended."""
    curves, edges, at = [], [], 0
    last = runs[-1][1][-1]
    for number, (name, points) in enumerate(runs):
        nodes = np.array([last, *points], float)
        curves.append(lines(nodes[:-1], nodes[1:]))
        edges.append(Edge(name, at, at + len(points), number in smooth))
        at, last = at + len(points), points[-1]
    return Outline("", Path(np.concatenate(curves), closed=True), tuple(edges))


def with_side(*between, name="side"):
    """A panel 100 wide and 200 high with nodes in its right edge."""
    return outline(
        ("top", [(100, 0)]), (name, [*between, (100, 200)]), ("hem", [(0, 200)]), ("centre", [(0, 0)])
    )


def bent(degrees):
    """A side edge that bends by ``degrees`` in its middle: half of it to either side."""
    return (100 + 100 * math.tan(math.radians(degrees / 2)), 100)


PANEL = Piece("panel", folds=("centre",), hems=("hem",))
STRAIGHT = with_side()


def found(before, after, piece=PANEL):
    return shape_findings(before, after, piece, "panel")


@pytest.mark.parametrize(
    ("degrees", "level"),
    [(0.9, None), (1.1, Level.INFO), (2.9, Level.INFO), (3.1, Level.WARN), (40, Level.WARN)],
)
@pytest.mark.parametrize("side", [1, -1])
def test_a_new_kink_is_told_with_its_size_and_place(degrees, level, side):
    told = found(STRAIGHT, with_side(bent(side * degrees)))

    assert [finding.level for finding in told] == ([] if level is None else [level])
    for finding in told:
        assert finding.code == "kink" and "'side'" in finding.text
        assert "{:.1f} degrees".format(degrees) in finding.text
        assert finding.point == pytest.approx(bent(side * degrees))


def test_a_kink_that_became_a_corner_is_told_too():
    """From 12 degrees on an edge is in two runs of one name."""
    x, y = bent(20)
    after = outline(
        ("top", [(100, 0)]),
        ("side", [(x, y)]),
        ("side", [(100, 200)]),
        ("hem", [(0, 200)]),
        ("centre", [(0, 0)]),
    )
    assert [round(kink.turn, 6) for kink in new_kinks(STRAIGHT, after)] == [20.0]


def test_what_was_there_before_is_not_told_wherever_it_lies_now():
    before = with_side(bent(4))
    moved = before._replace(path=Path(before.path.curves @ np.array([[0, 1], [-1, 0]]) + 37.0, True))

    assert found(before, moved, Piece("panel")) == ()
    assert found(before, with_side(bent(2)), Piece("panel")) == ()
    assert [f.level for f in found(before, with_side(bent(-4)))] == [Level.WARN]
    assert [f.level for f in found(before, with_side(bent(6)))] == [Level.WARN]


def test_where_an_edge_runs_on_into_the_next_there_may_be_no_kink():
    def vented(x):
        return outline(
            ("top", [(100, 0)]),
            ("side", [(x, 100)]),
            ("vent", [(100, 200)]),
            ("hem", [(0, 200)]),
            ("centre", [(0, 0)]),
            smooth=(2,),
        )

    assert [f.text.count("'vent'") for f in found(vented(100), vented(bent(5)[0]))] == [1]


def test_real_corners_between_edges_are_no_kinks():
    other = outline(("top", [(120, -30)]), ("side", [(100, 200)]), ("hem", [(0, 200)]), ("centre", [(0, 0)]))
    assert new_kinks(STRAIGHT, other) == []


def dart(slope, names=("dart", "dart")):
    """A waist along y = 0 with a dart of 2 x 10 mm at (100, 0), 60 deep; behind it the waist slopes."""
    rise = 90 * math.tan(math.radians(slope))
    return outline(
        ("waist", [(90, 0)]),
        (names[0], [(100, 60)]),
        (names[1], [(110, 0)]),
        ("waist", [(200, rise)]),
        ("side", [(200, 300)]),
        ("hem", [(0, 300)]),
        ("centre", [(0, 0)]),
    )


def test_a_kink_at_a_dart_is_the_one_that_is_left_when_it_is_closed():
    """Closed, the part behind the dart turns by its angle about the point: 2 atan(10/60)."""
    angle = 2 * math.degrees(math.atan(10 / 60))
    piece = PANEL._replace(darts=("dart",))
    smooth, kinked = dart(angle), dart(angle - 5)

    assert new_kinks(smooth, smooth, ("dart",)) == []
    (kink,) = new_kinks(smooth, kinked, ("dart",))
    assert abs(kink.turn) == pytest.approx(5.0, abs=1e-9) and kink.dart
    assert "where the dart is closed" in found(smooth, kinked, piece)[0].text


def test_two_names_for_the_legs_are_one_dart():
    angle = 2 * math.degrees(math.atan(10 / 60))
    names = ("left-leg", "right-leg")
    (kink,) = new_kinks(dart(angle, names), dart(angle + 2, names), names)

    assert abs(kink.turn) == pytest.approx(2.0, abs=1e-9)


def test_a_dart_is_seen_also_where_the_path_begins_at_its_point():
    angle = 2 * math.degrees(math.atan(10 / 60))

    def begun(made):
        edges = made.edges[2:] + made.edges[:2]
        shift, count = edges[0].start, len(made.path)
        edges = tuple(
            e._replace(start=(e.start - shift) % count, stop=(e.stop - shift - 1) % count + 1) for e in edges
        )
        return made._replace(path=made.path.start_at(shift), edges=edges)

    (kink,) = new_kinks(begun(dart(angle)), begun(dart(angle - 5)), ("dart",))
    assert abs(kink.turn) == pytest.approx(5.0, abs=1e-9)


# -- folds ------------------------------------------------------------------------------


def with_fold(x, hem=200.0):
    return outline(
        ("top", [(100, 0)]), ("side", [(100, 200)]), ("hem", [(0, hem)]), ("centre", [(x, 100), (0, 0)])
    )


def test_a_fold_that_is_bent_now_is_told_with_how_far():
    told = [f for f in found(with_fold(0), with_fold(-2.5)) if f.code == "fold-bent"]

    assert len(told) == 1 and "2.5 mm" in told[0].text and told[0].level == Level.WARN
    assert told[0].point == pytest.approx((-2.5, 100))
    assert [f for f in found(with_fold(0), with_fold(0.05)) if f.code == "fold-bent"] == []


def test_a_fold_that_was_bent_as_much_is_not_told_again():
    assert [f.code for f in found(with_fold(-2.5), with_fold(-2.5))] == []


def test_a_fold_is_whole_also_where_the_path_begins_within_it():
    def begun(x):
        return outline(
            ("centre", [(0, 0)]),
            ("top", [(100, 0)]),
            ("side", [(100, 200)]),
            ("hem", [(0, 200)]),
            ("centre", [(x, 100)]),
        )

    assert [f.code for f in found(begun(0), begun(-2.5))].count("fold-bent") == 1
    assert [f for f in found(begun(0), begun(0)) if f.code == "fold-bent"] == []


@pytest.mark.parametrize(("off", "level"), [(0.4, None), (1.4, Level.INFO), (1.6, Level.WARN)])
def test_the_hem_must_stay_square_at_the_fold(off, level):
    drop = 100 * math.tan(math.radians(off))
    told = found(with_fold(0), with_fold(0, 200 + drop))

    assert [(f.code, f.level) for f in told] == ([] if level is None else [("fold-angle", level)])
    assert all("{:.1f} degrees off".format(off) in f.text for f in told)


def test_a_neck_that_comes_to_a_point_was_never_meant_to_be_square():
    def neck(y):
        return outline(
            ("neck", [(100, y)]), ("side", [(100, 200)]), ("hem", [(0, 200)]), ("centre", [(0, 0)])
        )

    assert found(neck(-60), neck(-80)) == ()
    assert [f.code for f in found(neck(0), neck(-10))] == ["fold-angle"]


# -- grain ------------------------------------------------------------------------------


def grained(degrees, size="", back=False):
    way = 100 * np.array([math.sin(math.radians(degrees)), math.cos(math.radians(degrees))])
    line = Path.through([way, (0, 0)] if back else [(0, 0), way])
    return Mark(GRAIN, "", size, line)


@pytest.mark.parametrize(
    ("degrees", "level"), [(0.1, None), (0.3, Level.WARN), (0.9, Level.WARN), (1.1, Level.FAIL)]
)
@pytest.mark.parametrize("back", [False, True])
def test_grain_may_not_turn(degrees, level, back):
    told = grain_findings(
        Piece("panel", marks=(grained(0),)), Piece("panel", marks=(grained(-degrees, back=back),))
    )
    assert [f.level for f in told] == ([] if level is None else [level])
    assert all("{:.1f} degrees".format(degrees) in f.text for f in told)


def test_the_grain_of_each_size_is_looked_at():
    before = Piece("panel", marks=(grained(0, "3"), grained(0, "5")))
    after = Piece("panel", marks=(grained(0, "3"), grained(2, "5")))

    assert [f.where for f in grain_findings(before, after)] == ["panel size 5"]
    assert grain_findings(Piece("panel"), Piece("panel")) == ()
