"""Lines and marks that meet a wedge, on a block 240 mm wide; worked by hand, Shapely judges areas.

The wedge is cut at y = 200 from the centre (0, 200) to the hinge (240, 200).  Taken out, a
point beyond turns about the hinge by theta = atan(k / 240); of a line x = const the ends lie
``r = 240 - x`` from the hinge on one leg and ``r / cos(theta)`` on the other.
"""

import math

import numpy as np
import pytest

from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.geometry.transform import Transform, mirror, move, turn
from sewkit.pattern.mark import DART, DRILL, GRAIN, INNER, LEVEL, NOTCH, Mark, On
from sewkit.pattern.notch import spot_of
from sewkit.pattern.outline import Edge
from sewkit.pattern.wedge_made import changed
from sewkit.pattern.wedge_places import Lying
from tests.geometry.shapes import R2, outline
from tests.operations.pieces import dense, named

BLOCK = outline((0, 0), (240, 0), (240, 400), (0, 400))
HINGE = np.array((240.0, 200.0))
TURNED = {
    "as drawn": turn(0.0),
    "a quarter": turn(90.0).then(move(30.0, -20.0)),
    "a half": turn(180.0),
    "mirrored": mirror((0.0, 0.0), (0.0, 1.0)),
    "aslant": turn(-33.0).then(move(500.0, 90.0)),
}


def block(folds=(), frame=None, backwards=False):
    # The part with the grain line stays where something is let in.
    shaft = (frame or Transform()).path(Path.through([(180, 20), (180, 180)]))
    piece = named(BLOCK, "neck side hem centre", "block", folds=folds, marks=(Mark(GRAIN, path=shaft),))
    line = piece.outline("")
    if backwards:
        edges = tuple(Edge(e.name, 4 - e.stop, 4 - e.start) for e in line.edges[::-1])
        line = line._replace(path=line.path.reverse(), edges=edges)
    return piece.with_outline(line._replace(path=(frame or Transform()).path(line.path)))


def made(amount, folds=(), frame=None, backwards=False, hinge=HINGE, height=200.0):
    frame = frame or Transform()
    piece = block(folds, frame, backwards)
    line = piece.outline("")
    spots = frame.points(np.array([(0.0, height), hinge]))
    places = [nearest(line.path, spot).place for spot in spots]
    # The centre runs upwards as drawn, so what lies below comes before the opening in path order.
    return changed(piece, line, Lying(places[0], places[1], backwards), amount, True)


def through(*spots, closed=False):
    return Path.through(np.array(spots, float), closed)


def closing(k):
    """The turn of what lies below, about the hinge: (0, 200 + k) comes to lie on the centre's leg."""
    return turn(math.degrees(math.atan(k / 240.0)), HINGE)


# -- taken out ---------------------------------------------------------------------------------


@pytest.mark.parametrize("k", [6.0, 12.0])
@pytest.mark.parametrize("kind", [INNER, DART])
def test_a_line_down_the_piece_meets_itself_on_the_closed_line(k, kind):
    """Half way between r and r / cos(theta), and straight on both sides."""
    followed = made(-k).follow(Mark(kind, path=through((100, 50), (100, 380))))
    theta = math.atan(k / 240.0)
    middle = 240.0 - 140.0 * (1.0 + 1.0 / math.cos(theta)) / 2.0
    end = closing(k).points(np.array([(100.0, 380.0)]))[0]

    wanted = np.array([(100.0, 50.0), (middle, 200.0), end])
    assert followed.mark.path.nodes == pytest.approx(wanted, abs=1e-9)
    assert (followed.gone, followed.laid, followed.step) == (0.0, False, 0.0)


def test_a_line_as_far_from_the_hinge_on_both_legs_has_no_bend_but_the_fold():
    """Square to the middle of the wedge, so both ends meet in one point and nothing is redrawn."""
    half = math.atan(12.0 / 240.0) / 2.0
    way = np.array((-math.sin(half), -math.cos(half)))
    # The points 140 mm from the hinge on either leg lie on this line.
    centre = HINGE - 140.0 * math.cos(half) * np.array((math.cos(half), -math.sin(half)))
    line = through(centre - 100.0 * way, centre + 100.0 * way)
    new = made(-12.0).mark(Mark(INNER, path=line)).path

    assert len(new) == 2
    assert new.nodes[1] == pytest.approx((100.0, 200.0), abs=1e-9)
    assert new.nodes[0] == pytest.approx(closing(12.0).points(line.nodes[:1])[0], abs=1e-9)
    assert new.nodes[2] == pytest.approx(line.nodes[1], abs=1e-12)


def test_a_line_aslant_keeps_a_step_along_the_closed_line():
    """The line x = 80 + (y - 200) meets the legs at (80, 200) and where 12 - x / 20 = x - 80."""
    followed = made(-12.0).follow(Mark(INNER, path=through((30, 150), (230, 350))))
    x = 92.0 / 1.05
    far = 240.0 - math.hypot(240.0 - x, 12.0 - x / 20.0)

    assert followed.step == pytest.approx(far - 80.0, abs=1e-9) and followed.step > 3.0
    nodes = followed.mark.path.nodes
    assert nodes[:3] == pytest.approx(np.array([(30.0, 150.0), (80.0, 200.0), (far, 200.0)]), abs=1e-9)
    assert nodes[3] == pytest.approx(closing(12.0).points(np.array([(230.0, 350.0)]))[0], abs=1e-9)


def test_a_level_that_begins_in_the_cloth_taken_out_begins_on_the_closed_line():
    """y = 204 leaves the wedge where 12 - x / 20 = 4, at x = 160; y = 208 at x = 80."""
    wedged = made(-12.0)
    followed = wedged.follow(Mark(LEVEL, path=through((0, 208), (240, 208))))
    start = 240.0 - math.hypot(160.0, 8.0)

    assert followed.gone == pytest.approx(80.0, abs=1e-9) and not followed.laid
    end = closing(12.0).points(np.array([(240.0, 208.0)]))[0]
    assert followed.mark.path.nodes == pytest.approx(np.array([(start, 200.0), end]), abs=1e-9)


@pytest.mark.parametrize("backwards", [False, True])
@pytest.mark.parametrize("frame", TURNED.values(), ids=TURNED)
def test_a_level_drawn_past_the_place_where_the_wedge_begins_is_not_torn_off_at_the_edge(frame, backwards):
    """The wedge runs down to the hinge, so the level y = 200 lies above it, and above is what stays."""
    wedged = made(12.0, frame=frame, backwards=backwards, hinge=np.array((240.0, 260.0)))
    level = Mark(LEVEL, path=frame.path(through((-30, 200), (270, 200))))

    assert len(wedged.mark(level).path) == 1
    assert wedged.mark(level).path.nodes == pytest.approx(level.path.nodes, abs=1e-9)


@pytest.mark.parametrize("frame", TURNED.values(), ids=TURNED)
def test_what_is_drawn_past_the_edge_goes_out_with_the_level_beside_it(frame):
    """The wedge runs up to (240, 140): the level y = 200 begins in it and leaves it on its lower leg."""
    wedged = made(-12.0, frame=frame, hinge=np.array((240.0, 140.0)))
    followed = wedged.follow(Mark(LEVEL, path=frame.path(through((-30, 200), (270, 200)))))
    width = wedged.wedge.width
    x = 240.0 * width / (60.0 + width)  # where 200 + width - x (60 + width) / 240 = 200

    assert followed.gone == pytest.approx(30.0 + x, abs=1e-9)
    leg = np.array((-240.0, 60.0)) / math.hypot(240.0, 60.0)
    start = np.array((240.0, 140.0)) + leg * math.hypot(240.0 - x, 60.0)
    assert followed.mark.path.start == pytest.approx(frame.points(start[None])[0], abs=1e-6)
    assert len(followed.mark.path) == 1


def test_a_level_most_of_which_was_taken_out_is_laid_on_the_closed_line():
    """y = 204 lies in the wedge from x = 0 to 160."""
    followed = made(-12.0).follow(Mark(LEVEL, path=through((0, 204), (240, 204))))
    nodes = followed.mark.path.nodes

    assert followed.laid and followed.gone == pytest.approx(160.0, abs=1e-9)
    assert nodes[0] == pytest.approx((240.0 - math.hypot(240.0, 4.0), 200.0), abs=1e-9)
    assert nodes[1] == pytest.approx((240.0 - math.hypot(80.0, 4.0), 200.0), abs=1e-9)
    assert nodes[2] == pytest.approx(closing(12.0).points(np.array([(240.0, 204.0)]))[0], abs=1e-9)


def test_a_level_drawn_far_past_both_edges_is_cut_no_otherwise():
    """What lies off the centre between the legs is gone with the cloth beside it."""
    followed = made(-12.0).follow(Mark(LEVEL, path=through((-150, 208), (390, 208))))
    ends = closing(12.0).points(np.array([(390.0, 208.0)]))

    assert followed.step == 0.0 and followed.gone == pytest.approx(230.0, abs=1e-9)
    assert followed.mark.path.nodes[0] == pytest.approx((240.0 - math.hypot(160.0, 8.0), 200.0), abs=1e-9)
    assert followed.mark.path.nodes[-1] == pytest.approx(ends[0], abs=1e-9)


@pytest.mark.parametrize("spot", [(60.0, 203.0), (20.0, 208.0), (180.0, 202.0)])
@pytest.mark.parametrize("folds", [(), ("centre",)])
def test_a_small_mark_that_was_taken_out_lies_on_the_closed_line(spot, folds):
    hole = through(*(np.array(spot) + d for d in ((-1, 0), (0, -1), (1, 0), (0, 1))), closed=True)
    followed = made(-12.0, folds).follow(Mark(DRILL, "hole", path=hole))

    away = math.hypot(240.0 - spot[0], spot[1] - 200.0)
    assert followed.laid
    assert followed.mark.path.nodes.mean(axis=0) == pytest.approx((240.0 - away, 200.0), abs=1e-9)
    assert not made(-12.0, folds).follow(Mark(DRILL, path=move(0.0, 60.0).path(hole))).laid


def test_a_dart_with_two_points_is_closed_up_like_paper():
    """Its area is less by what lay in the wedge; both points lie where their part went."""
    shapely = pytest.importorskip("shapely")
    spots = [(100, 100), (112, 210), (100, 330), (88, 210)]
    new = made(-12.0).mark(Mark(DART, path=through(*spots, closed=True))).path

    old_shape, shape = shapely.Polygon(spots), shapely.Polygon(new.nodes)
    wedge_cloth = shapely.Polygon([(0, 200), (0, 212), HINGE])
    assert new.closed and shape.is_valid
    assert shape.area == pytest.approx(old_shape.difference(wedge_cloth).area, rel=0.01)
    for spot in ((100.0, 100.0), tuple(closing(12.0).points(np.array([(100.0, 330.0)]))[0])):
        assert min(np.hypot(*(new.nodes - spot).T)) <= 1e-9
    # Both lines are led together on the closed line.
    assert sorted(new.nodes[:, 1])[1:3] == pytest.approx([200.0, 200.0], abs=1e-9)


def test_a_dart_whose_point_was_taken_out_ends_on_the_closed_line():
    """x = 100 +- s (y - 203), s = 6 / 127, meet the lower leg y = 212 - x / 20; half way between both."""
    new = made(-12.0).mark(Mark(DART, path=through((94, 330), (100, 203), (106, 330)))).path
    slope = 6.0 / 127.0
    spots = [(100.0 + 9.0 * s) / (1.0 + s / 20.0) for s in (slope, -slope)]
    theta = math.atan(12.0 / 240.0)

    assert len(new) == 2
    away = sum(240.0 - x for x in spots) / 2.0 / math.cos(theta)
    assert new.nodes[1] == pytest.approx((240.0 - away, 200.0), abs=1e-9)


@pytest.mark.parametrize("frame", list(TURNED))
@pytest.mark.parametrize("backwards", [False, True])
@pytest.mark.parametrize("amount", [-12.0, 12.0])
@pytest.mark.parametrize("folds", [(), ("centre",)])
def test_the_same_however_the_sheet_lies_and_the_path_runs(frame, backwards, amount, folds):
    frame = TURNED[frame]
    marks = [
        Mark(INNER, path=through((100, 50), (95, 380))),
        Mark(INNER, path=through((30, 150), (230, 350))),
        Mark(LEVEL, path=through((0, 208), (240, 208))),
        Mark(LEVEL, path=through((-5, 300), (250, 300))),
        Mark(DART, path=through((130, 400), (120, 150), (110, 400))),
        Mark(DRILL, path=through((59, 203), (61, 203), (60, 204), closed=True)),
    ]
    plain, other = made(amount, folds), made(amount, folds, frame, backwards)
    for mark in marks:
        wanted = frame.points(plain.mark(mark).path.nodes)
        for way in (mark.path, mark.path.reverse()):
            nodes = other.mark(mark._replace(path=frame.path(way))).path.nodes
            assert len(nodes) == len(wanted)
            near = [min(np.hypot(*(nodes - spot).T)) for spot in wanted]
            assert max(near) <= 1e-6, (mark.kind, way is mark.path)


# -- let in ------------------------------------------------------------------------------------


def test_let_in_a_line_goes_straight_across_the_opening():
    """The hinge's two legs are a chord of 12 mm apart at the centre: 2 asin(12 / 480)."""
    new = made(12.0).mark(Mark(INNER, path=through((100, 50), (100, 380)))).path
    theta = 2.0 * math.degrees(math.asin(12.0 / 480.0))
    below = turn(-theta, HINGE).points(np.array([(100.0, 200.0), (100.0, 380.0)]))

    assert new.nodes == pytest.approx(np.array([(100.0, 50.0), (100.0, 200.0), *below]), abs=1e-9)
    assert np.hypot(*(new.nodes[2] - new.nodes[1])) == pytest.approx(12.0 * 140.0 / 240.0, abs=1e-9)


# -- on the fold -------------------------------------------------------------------------------


def test_on_the_fold_a_line_keeps_its_place_before_the_cut():
    """At x = 60 the cloth below slides by 0.75 k; the wedge is 0.75 k high there: both ends meet."""
    line = through((60, 50), (60, 380))
    new = made(-12.0, ("centre",)).mark(Mark(INNER, path=line)).path

    assert new.nodes == pytest.approx(np.array([(60.0, 50.0), (60.0, 200.0), (60.0, 371.0)]), abs=1e-9)
    assert tuple(new.nodes[0]) == (60.0, 50.0) and new.nodes[1][0] == 60.0
    let_in = made(12.0, ("centre",)).mark(Mark(INNER, path=line)).path.nodes
    wanted = [(60.0, 50.0), (60.0, 200.0), (60.0, 209.0), (60.0, 389.0)]
    assert let_in == pytest.approx(np.array(wanted), abs=1e-9)


def test_on_the_fold_both_sides_of_what_was_let_in_are_drawn():
    sides, hinges = made(12.0, ("centre",)).faint

    assert [tuple(side.start) for side in sides] == [(0.0, 200.0), (0.0, 212.0)]
    assert [tuple(spot) for spot in [*hinges, sides[0].end, sides[1].end]] == [tuple(HINGE)] * 3


def test_on_the_fold_a_level_slants_and_it_is_known_by_how_much():
    """All of k at the fold, nothing at the side, also where the line is drawn past both."""
    wedged = made(-12.0, ("centre",))
    followed = wedged.follow(Mark(LEVEL, path=through((0, 300), (240, 300))))
    past = wedged.mark(Mark(LEVEL, path=through((-24, 300), (264, 300)))).path.nodes

    assert followed.slant == pytest.approx(12.0, abs=1e-9)
    assert followed.mark.path.nodes == pytest.approx(np.array([(0.0, 288.0), (240.0, 300.0)]), abs=1e-9)
    assert past == pytest.approx(np.array([(-24.0, 286.8), (264.0, 301.2)]), abs=1e-9)
    assert wedged.follow(Mark(LEVEL, path=through((0, 100), (240, 100)))).slant == 0.0


def test_on_the_fold_a_dart_slides_as_one_by_its_point():
    """Point at x = 120: half of k; drawn across the cut what lies above stays."""
    wedged = made(-12.0, ("centre",))
    below = through((130, 400), (120, 300), (110, 400))
    across = through((130, 400), (120, 150), (110, 400))

    assert wedged.mark(Mark(DART, path=below)).path.nodes == pytest.approx(below.nodes - (0.0, 6.0), abs=1e-9)
    nodes = wedged.mark(Mark(DART, path=across)).path.nodes
    assert nodes[[0, -1]] == pytest.approx(np.array([(130.0, 394.0), (110.0, 394.0)]), abs=1e-9)
    assert tuple(nodes[2]) == (120.0, 150.0)
    assert nodes[[1, 3], 1] == pytest.approx([200.0, 200.0], abs=1e-9)
    assert nodes[[1, 3], 0] == pytest.approx([122.0, 118.0], abs=1e-9)


@pytest.mark.parametrize("backwards", [False, True])
@pytest.mark.parametrize("from_end", [False, True])
@pytest.mark.parametrize("distance", [0.0, 60.0, 200.0])
def test_a_notch_on_the_hem_keeps_its_share_of_the_hem(backwards, from_end, distance):
    wedged = made(-40.0, ("centre",), backwards=backwards)
    new = wedged.mark(Mark(NOTCH, on=On("hem", distance, from_end)))
    length = wedged.outline.as_sewn("hem")

    assert length > 240.1
    assert new.on.distance == pytest.approx(distance * length / 240.0, abs=1e-6)
    assert nearest(wedged.outline.path, spot_of(wedged.outline, new.on).point).distance <= 1e-6


def at_the_armhole(amount, height):
    """The back on its fold, the hinge on the armhole at a height; and the hinge."""
    piece = named(R2, "neck shoulder armhole side waist centre", "back", folds=("centre",))
    line = piece.outline("")
    hinge = min(dense(line.edge_path("armhole"), 4000), key=lambda spot: abs(spot[1] - height))
    places = [nearest(line.path, spot).place for spot in ((0.0, hinge[1]), hinge)]
    return changed(piece, line, Lying(places[0], places[1], False), amount, True), hinge


def test_on_the_fold_a_dart_with_two_points_does_not_run_back():
    """It slides by the share of its middle, more than the wedge is high there: its sides are shortened."""
    wedged, _ = at_the_armhole(-20.0, 140.0)
    dart = through((100, 120), (115, 230), (100, 340), (85, 230), closed=True)
    followed = wedged.follow(Mark(DART, path=dart))
    nodes = followed.mark.path.nodes

    assert followed.step == 0.0 and len(nodes) == 6
    around = np.roll(nodes, -int(np.hypot(*(nodes - (100.0, 120.0)).T).argmin()), axis=0)
    assert list(around[:4, 1]) == sorted(around[:4, 1])
    assert around[3] == pytest.approx((100.0, 340.0 - 20.0 * (1.0 - 100.0 / 245.0)), abs=1e-6)


def test_with_the_hinge_at_the_armhole_the_width_goes_out_at_the_lower_end_of_the_side():
    """d sin(theta), d from the blade (140) down to the waist at the side (425); a published rule."""
    wedged, hinge = at_the_armhole(-12.0, 140.0)
    theta = math.atan(12.0 / hinge[0])
    assert wedged.fold.sliver == pytest.approx((425.0 - hinge[1]) * math.sin(theta), abs=1e-6)
    assert (wedged.fold.at, wedged.fold.giving) == ("side", "waist")
    # A level below reaches from the fold, slid whole, to the side, which stays.
    x = 245.0 - 20.0 * 70.0 / 195.0
    level = wedged.mark(Mark(LEVEL, path=through((0, 300), (x, 300)))).path.nodes
    assert level == pytest.approx(np.array([(0.0, 288.0), (x, 300.0)]), abs=1e-6)
