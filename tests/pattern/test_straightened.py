"""A wedge on the fold: the fold stays straight, the hem gives way, all else stays."""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, end_tangents, start_tangents
from sewkit.pattern.mark import DART, DRILL, LEVEL, Mark
from sewkit.pattern.outline import Edge
from sewkit.pattern.straightened import on_fold
from sewkit.pattern.wedge_made import changed
from sewkit.pattern.wedge_places import Lying
from sewkit.pattern.wedging import wedge_at
from tests.geometry.shapes import outline
from tests.operations.pieces import named

# A back 240 mm wide, its waist with a dart 24 mm wide and 60 deep, half way along.
TIP, MOUTH = (120.0, 340.0), ((132.0, 400.0), (108.0, 400.0))
WITH_DART = outline((0, 0), (240, 0), (240, 400), MOUTH[0], TIP, MOUTH[1], (0, 400))
PLAIN = outline((0, 0), (240, 0), (240, 400), (0, 400))


def back(path=WITH_DART, names="neck side waist dart dart waist centre", **more):
    return named(path, names, "back", folds=("centre",), darts=("dart",), **more)


def turned_round(piece):
    line = piece.outline("")
    count = len(line.path)
    edges = tuple(Edge(e.name, count - e.stop, count - e.start) for e in line.edges[::-1])
    return piece.with_outline(line._replace(path=line.path.reverse(), edges=edges))


def made(piece, amount, height=360.0, onward=False, hinge=None):
    line = piece.outline("")
    spots = [(0.0, height), hinge or (240.0, height)]
    return changed(piece, line, Lying(*(nearest(line.path, s).place for s in spots), onward), amount, True)


def legs(line):
    """Lengths of both legs and the angle between them, degrees."""
    nodes = np.concatenate([run.nodes for run in line.runs("dart")])
    tip = nodes[nodes[:, 1].argmin()]
    one, other = nodes[0] - tip, nodes[-1] - tip
    angle = math.degrees(math.acos(one @ other / np.hypot(*one) / np.hypot(*other)))
    return np.hypot(*one), np.hypot(*other), angle


@pytest.mark.parametrize("amount", [-20.0, -6.0, 15.0])
@pytest.mark.parametrize("other_way", [False, True])
def test_a_dart_in_the_hem_keeps_its_legs_and_its_angle(amount, other_way):
    """An angle at a point, two legs of one length: sqrt(12^2 + 60^2), 2 atan(12 / 60)."""
    piece = turned_round(back()) if other_way else back()
    line = made(piece, amount, onward=other_way).outline
    first, second, angle = legs(line)

    assert (first, second) == pytest.approx((math.hypot(12.0, 60.0),) * 2, abs=1e-9)
    assert angle == pytest.approx(2.0 * math.degrees(math.atan(0.2)), abs=1e-9)
    # Half of the waist without the mouth lies on either side: the dart goes along by one half.
    tip = min(line.path.nodes, key=lambda node: np.hypot(*(node - TIP)))
    assert tip == pytest.approx((TIP[0], TIP[1] + amount / 2.0), abs=1e-9)


@pytest.mark.parametrize("amount", [-20.0, -6.0, 15.0])
@pytest.mark.parametrize("other_way", [False, True])
def test_the_fold_is_straight_and_all_but_the_hem_stays(amount, other_way):
    piece = turned_round(back()) if other_way else back()
    old, line = piece.outline(""), made(piece, amount, onward=other_way).outline
    fold = line.edge_path("centre")

    assert np.array_equal(fold.curves[..., 0], np.zeros((1, 4)))
    assert path_length(fold) == pytest.approx(400.0 + amount, abs=1e-9)
    for name in ("neck", "side"):
        assert np.array_equal(line.edge_path(name).curves, old.edge_path(name).curves)
    assert line.edges == old.edges and len(line.path) == len(old.path)
    assert np.array_equal(line.path.curves[:, 0], np.roll(line.path.curves[:, 3], 1, axis=0))
    ends = np.concatenate([[run.start, run.end] for run in line.runs("waist")])
    assert (ends[ends[:, 0].argmin()] == pytest.approx((0.0, 400.0 + amount), abs=1e-9)) and np.array_equal(
        ends[ends[:, 0].argmax()], (240.0, 400.0)
    )


@pytest.mark.parametrize("amount", [-20.0, 15.0])
def test_the_hem_leaves_fold_and_side_as_it_did(amount):
    line = made(back(), amount).outline
    outer, inner = line.runs("waist")

    assert start_tangents(outer.curves)[0] == pytest.approx((-1.0, 0.0), abs=1e-12)
    assert end_tangents(inner.curves)[-1] == pytest.approx((-1.0, 0.0), abs=1e-12)


def test_a_straight_hem_becomes_the_softest_step():
    """y = 400 - k w^2 (3 - 2 w), w the share from the side: a cubic with level ends."""
    line = made(back(PLAIN, "neck side hem centre"), -12.0).outline
    hem = line.edge_path("hem").curves[0]
    level = np.sort(hem[:, 1])

    assert level[:2] == pytest.approx((388.0, 388.0), abs=1e-9)
    assert level[2:] == pytest.approx((400.0, 400.0), abs=1e-9)


def test_the_width_given_back_is_d_sin_theta():
    """40 mm of side below the hinge, theta = atan(12 / 240)."""
    wedged = made(back(), -12.0)

    assert wedged.fold.sliver == pytest.approx(40.0 * math.sin(math.atan(12.0 / 240.0)), abs=1e-9)
    assert abs(wedged.wedge.angle) == pytest.approx(math.degrees(math.atan(12.0 / 240.0)), abs=1e-9)


def test_marks_below_slide_by_their_share_and_marks_above_stay():
    wedged = made(back(PLAIN, "neck side hem centre"), -12.0)
    hole = Path.through([(58, 380), (60, 378), (62, 380), (60, 382), (58, 380)])
    pair = Path.through([(68, 400), (60, 370), (52, 400)])
    level = Path.through([(0, 380), (240, 380)])
    above = Path.through([(0, 300), (240, 300)])

    assert wedged.mark(Mark(DRILL, path=hole)).path.nodes == pytest.approx(hole.nodes - (0.0, 9.0), abs=1e-9)
    assert wedged.mark(Mark(DART, path=pair)).path.nodes == pytest.approx(pair.nodes - (0.0, 9.0), abs=1e-9)
    slid = wedged.mark(Mark(LEVEL, path=level)).path.nodes
    assert slid == pytest.approx(np.array([(0.0, 368.0), (240.0, 380.0)]), abs=1e-9)
    assert wedged.mark(Mark(LEVEL, path=above)).path == above


def test_a_bent_fold_is_refused():
    path = outline((0, 0), (240, 0), (240, 400), (0, 400), ((-30, 300), (-30, 100), (0, 0)))
    piece = back(path, "neck side hem centre")
    line = piece.outline("")
    wedge = wedge_at(
        line, nearest(line.path, (-20, 200)).place, nearest(line.path, (240, 200)).place, -10.0, False, "back"
    )
    with pytest.raises(InputError) as told:
        on_fold(line, wedge, True, piece)
    assert told.value.code == "line" and "centre" in str(told.value)


def test_the_hinge_must_leave_an_edge_to_give_way():
    with pytest.raises(InputError) as told:
        made(back(PLAIN, "neck side hem centre"), -12.0, hinge=(120.0, 400.0))
    assert told.value.code == "pivot" and "back" in str(told.value)
