"""Pieces rolled together at the end of a seam, on corners whose angles are chosen."""

import math

import numpy as np
import pytest

from sewkit.geometry.path import Path, lines
from sewkit.geometry.transform import mirror, turn
from sewkit.pattern.joined_edges import peak
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import parse_seams
from sewkit.pattern.seam_end import CROSSES, MEANT, RUNS_OVER, seam_end, seam_ends


def wedge_piece(name, angle, edges=("seam", "far", "over"), **more):
    """A triangle: its seam 200 mm down from (0, 0), the edge over it 150 mm at an angle to the seam."""
    over = 150 * np.array((math.sin(math.radians(angle)), math.cos(math.radians(angle))))
    return piece_of(name, [(0, 0), (0, 200), over], edges, **more)


def piece_of(name, points, edges, **more):
    nodes = np.array(points, float)
    path = Path(lines(nodes, np.roll(nodes, -1, axis=0)), closed=True)
    outline = Outline("", path, tuple(Edge(one, n, n + 1) for n, one in enumerate(edges)))
    return Piece(name, (outline,), **more)


def put(piece, how):
    return piece._replace(outlines=tuple(o._replace(path=how.path(o.path)) for o in piece.outlines))


def reversed_piece(piece):
    """The same piece with its path drawn the other way round."""
    outline = piece.outlines[0]
    count = len(outline.path)
    edges = tuple(Edge(e.name, count - e.stop, count - e.start) for e in reversed(outline.edges))
    return piece._replace(outlines=(Outline("", outline.path.reverse(), edges),))


def pair(first, second, seams="seam=b/seam"):
    return Pattern((first, second), parse_seams(seams, first.name))


@pytest.mark.parametrize("angles", [(90.0, 90.0), (70.0, 113.0), (15.5, 170.0), (101.7, 69.3)])
def test_the_angles_of_both_corners(angles):
    pattern = pair(wedge_piece("a", angles[0]), wedge_piece("b", angles[1]))
    end = seam_end(pattern, pattern.seams[0], False, "")
    assert (end.joint.first.edge, end.joint.second.edge) == ("over", "over")
    assert (end.joint.first.angle, end.joint.second.angle) == pytest.approx(angles)
    assert end.joint.turn == pytest.approx(sum(angles) - 180)
    assert end.joint.spot == pytest.approx((0, 0))


def test_pieces_may_lie_and_be_drawn_as_they_like():
    """Turned, mirrored, drawn the other way round, the seam walked from its end: one and the same corner."""
    first, second = wedge_piece("a", 84.0), wedge_piece("b", 93.0)
    for how in (turn(123.0, (40, -7)), mirror((9, 9), (1, 2)), mirror((0, 0), (0, 1)).then(turn(200.0))):
        for back, seams, last in (
            (put(second, how), "seam=b/seam", False),
            (reversed_piece(put(second, how)), "seam=b/seam,turned", False),
            (reversed_piece(put(second, how)), "seam,turned=b/seam", True),
        ):
            pattern = pair(first, back, seams)
            end = seam_end(pattern, pattern.seams[0], last, "")
            assert (end.joint.first.angle, end.joint.second.angle) == pytest.approx((84.0, 93.0))


def test_the_arms_come_to_lie_on_both_sides_of_the_seam():
    """On the table the seam points down; the first arm leads to the right, the second to the left."""
    pattern = pair(wedge_piece("a", 84.0), put(wedge_piece("b", 93.0), turn(77.0)))
    joint = seam_end(pattern, pattern.seams[0], False, "").joint
    for arm, side, angle in ((joint.first, 1, 84.0), (joint.second, -1, 93.0)):
        end = arm.frame.points(arm.path.end)
        way = (side * math.sin(math.radians(angle)), math.cos(math.radians(angle)))
        assert end == pytest.approx(150 * np.array(way))
        assert arm.frame.points(arm.path.start) == pytest.approx((0, 0), abs=1e-9)


def test_the_peak_is_the_height_of_the_triangle_under_a_rule():
    """Sides 30 and 30 with 171 degrees between them: 30 sin 4.5; sides 20 and 30: by Heron's formula."""
    pattern = pair(wedge_piece("a", 85.0), wedge_piece("b", 86.0))
    joint = seam_end(pattern, pattern.seams[0], False, "").joint
    assert peak(joint) == pytest.approx(30 * math.sin(math.radians(4.5)))
    short = joint.first._replace(path=Path.through([(0, 0), 20 * joint.first.path.end / 150]))
    rule = math.sqrt(20**2 + 30**2 - 2 * 20 * 30 * math.cos(math.radians(171)))
    half = (20 + 30 + rule) / 2
    area = math.sqrt(half * (half - 20) * (half - 30) * (half - rule))
    assert peak(joint._replace(first=short)) == pytest.approx(2 * area / rule)


def test_a_path_that_begins_within_the_seam():
    """The seam's last run is the one before its first: its end is where the path goes on to another edge."""
    nodes = np.array([(0, 100), (0, 200), (150, 0), (0, 0)], float)
    path = Path(lines(nodes, np.roll(nodes, -1, axis=0)), closed=True)
    edges = (Edge("seam", 0, 1, True), Edge("far", 1, 2), Edge("over", 2, 3), Edge("seam", 3, 4))
    first = Piece("a", (Outline("", path, edges),))
    pattern = pair(first, wedge_piece("b", 87.0))
    ends = seam_ends(pattern, pattern.seams[0], "")
    assert [end.joint.spot for end in ends] == [pytest.approx((0, 0)), pytest.approx((0, 200))]
    assert ends[0].joint.total == pytest.approx(90 + 87)


def test_a_cap_runs_over_the_seam_of_its_sleeve():
    """One piece sewn to itself: both ends of one edge, 80 + 95 degrees."""
    left, right = math.radians(80), math.radians(95)
    points = [(0, 0), (60, -150), (240, -150), (300, 0), (300, 400), (0, 400)]
    # The cap's ends lean so that they meet both seams at the angles chosen.
    points[1] = (0 + 50 * math.sin(left), -50 * -math.cos(left))
    points[2] = (300 - 50 * math.sin(right), 50 * math.cos(right))
    edges = (Edge("cap", 0, 3), Edge("back-seam", 3, 4), Edge("hem", 4, 5), Edge("front-seam", 5, 6))
    nodes = np.array(points, float)
    path = Path(lines(nodes, np.roll(nodes, -1, axis=0)), closed=True)
    sleeve = Piece("sleeve", (Outline("", path, edges),))
    pattern = Pattern((sleeve,), parse_seams("front-seam,turned=sleeve/back-seam", "sleeve"))
    end = seam_end(pattern, pattern.seams[0], False, "")
    assert (end.joint.first.edge, end.joint.second.edge) == ("cap", "cap")
    assert (end.joint.first.angle, end.joint.second.angle) == pytest.approx((80.0, 95.0))


# -- what runs over what -----------------------------------------------------------------


def kind_of(pattern, seam=0):
    end = seam_end(pattern, pattern.seams[seam], False, "")
    return None if end is None else end.kind


def test_a_neck_that_a_collar_takes_up_runs_over_the_shoulder():
    front, back = (wedge_piece(name, 87.0, ("shoulder", "far", "neck")) for name in "ab")
    collar = wedge_piece("collar", 90.0, ("edge", "far", "end"))
    pattern = Pattern(
        (front, back, collar), parse_seams("shoulder=b/shoulder neck,turned+b/neck=collar/edge", "a")
    )
    assert kind_of(pattern) == RUNS_OVER


def test_a_corner_far_from_straight_is_meant():
    assert kind_of(pair(wedge_piece("a", 90.0), wedge_piece("b", 59.0))) == MEANT
    assert kind_of(pair(wedge_piece("a", 90.0), wedge_piece("b", 61.0))) == RUNS_OVER


def test_seams_that_cross_and_edges_sewn_to_each_other():
    first, second = wedge_piece("a", 90.0), wedge_piece("b", 85.0)
    others = (wedge_piece("c", 90.0), wedge_piece("d", 90.0))
    crossing = parse_seams("seam=b/seam over=c/over b/over=d/over", "a")
    assert kind_of(Pattern((first, second, *others), crossing)) == CROSSES
    round_it = parse_seams("seam=b/seam over=b/over", "a")
    assert kind_of(Pattern((first, second), round_it)) is None


def test_an_edge_on_a_fold_is_no_matter_of_the_seam():
    assert kind_of(pair(wedge_piece("a", 90.0, folds=("over",)), wedge_piece("b", 85.0))) is None


def test_a_side_may_bend_where_the_waist_seam_ends():
    bodice = wedge_piece("a", 100.0, ("waist", "far", "side"))
    skirt = wedge_piece("b", 100.0, ("waist", "far", "side"))
    assert kind_of(pair(bodice, skirt, "waist=b/waist")) is None
