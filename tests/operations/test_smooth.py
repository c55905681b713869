"""Edges smoothed over seams, folds and darts: closed forms on straight drawings, and other libraries.

A straight edge whose end is turned by e within r mm keeps its handles of r/3, so its first handle
moves square to the edge by r/3 sin e, and the curve by 3 t (1-t)^2 of that, at most 4/9 (t = 1/3).
"""

import math

import numpy as np
import pytest

from sewkit.checks.followers import follower_findings
from sewkit.checks.seam_ends import seam_end_findings
from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path, end_tangents, lines, point, start_tangents
from sewkit.geometry.transform import mirror, turn
from sewkit.operations.allowance import allowance
from sewkit.operations.facing import facing
from sewkit.operations.smooth import smooth
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.mark import DART, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import parse_seams
from sewkit.pattern.seam_end import seam_end
from tests.operations.length_pieces import integrated, shapely
from tests.operations.pieces import dense, notch

EXACT = 1e-9
SINE = math.sin(math.radians(3.0))


def rise(degrees, along):
    return along * math.tan(math.radians(degrees))


def outline_of(points, edges, size=""):
    nodes = np.array(points, float)
    return Outline(size, Path(lines(nodes, np.roll(nodes, -1, axis=0)), closed=True), tuple(edges))


def panel(name, hem=87.0, size="", **more):
    """200 wide and 300 high, side to the right, the hem at an angle to the side."""
    points = [(0, 0), (200, 0), (200, 300), (0, 300 + rise(hem - 90, 200))]
    edges = [Edge(one, n, n + 1) for n, one in enumerate(("waist", "side", "hem", "centre"))]
    return Piece(name, (outline_of(points, edges, size),), **more)


def sewn(*pieces, seams="side=back/side"):
    return Pattern(tuple(pieces), parse_seams(seams, pieces[0].name))


def pair(hem=87.0, **more):
    return sewn(panel("front", hem, **more), panel("back", hem))


def edge_of(pattern, piece, edge, size=""):
    return pattern.piece(piece).outline(size).edge_path(edge)


def strays(old, new):
    """Shapely's Hausdorff distance of two lines, sampled densely."""
    return shapely.LineString(dense(old, 400)).hausdorff_distance(shapely.LineString(dense(new, 400)))


def told(outcome, title="Smoothed"):
    return next(table for table in outcome.report.tables if table.title == title).rows


# -- over a seam ------------------------------------------------------------------------


def test_two_hems_of_87_degrees_meet_in_180():
    """Each turns by 3 degrees: its first handle, 10 mm long, becomes level; its next points stay."""
    before = pair()
    after = smooth(before).pattern
    for name in ("front", "back"):
        hem, old = edge_of(after, name, "hem"), edge_of(before, name, "hem")
        way = (old.end - old.start) / np.hypot(*(old.end - old.start))
        corner = np.array((200.0, 300.0))
        expected = [corner, corner - (10, 0), corner + 20 * way, corner + 30 * way]
        assert hem.curves[0] == pytest.approx(np.array(expected), abs=1e-7)
        assert hem.curves[1:, 3] == pytest.approx(old.curves[:, 3], abs=EXACT) and len(hem) == 2
        assert strays(old, hem) == pytest.approx(4 / 9 * 10 * SINE, abs=2e-3)
        for other in ("waist", "side", "centre"):
            same = edge_of(after, name, other).curves, edge_of(before, name, other).curves
            assert np.array_equal(*same)


def test_the_pair_is_smooth_by_the_judges_derivatives():
    tools = pytest.importorskip("svgpathtools")
    ways = []
    for name in ("front", "back"):
        curve = edge_of(smooth(pair()).pattern, name, "hem").curves[0]
        ways.append(tools.CubicBezier(*(complex(*spot) for spot in curve)).unit_tangent(0))
    # Both pieces are drawn with their sides to the right: one of them is turned over to be sewn.
    assert ways[0] == pytest.approx(-1 + 0j, abs=1e-12) and ways[1] == pytest.approx(ways[0], abs=1e-12)


def test_what_is_told():
    outcome = smooth(pair())
    ((place, size, angle, becomes, moved, corner),) = told(outcome)
    assert (place, size, angle, becomes, corner) == (
        "hem over side of front and back",
        "-",
        "174.0",
        "180",
        "-",
    )
    assert [float(one) for one in moved.split(" / ")] == [pytest.approx(4 / 9 * 10 * SINE, abs=0.006)] * 2
    assert told(outcome, "Moved at most") == tuple((n, "-", "0.23") for n in ("front", "back"))
    assert outcome.report.summary.startswith("1 of 2 places was smoothed")
    lengths = {row[0]: (float(row[2]), float(row[3])) for row in told(outcome, "Edges before and after")}
    for name, (was, now) in lengths.items():
        assert was == pytest.approx(200 / math.cos(math.radians(3)), abs=0.006)
        assert now == pytest.approx(integrated(edge_of(outcome.pattern, name, "hem")), abs=0.006)


def test_only_to_tell_changes_nothing():
    before = pair()
    outcome = smooth(before, action="show")
    assert outcome.pattern is before and "can be smoothed" in outcome.report.summary
    assert told(outcome, "To be smoothed")[0][2:5] == told(smooth(before))[0][2:5]


@pytest.mark.parametrize("gives, degrees", [("first", (93.0, 87.0)), ("second", (87.0, 93.0))])
def test_one_piece_may_give_way_alone(gives, degrees):
    before = pair()
    after = smooth(before, gives=gives).pattern
    joint = seam_end(after, after.seams[0], True, "").joint
    assert (joint.first.angle, joint.second.angle) == pytest.approx(degrees)
    kept = "back" if gives == "first" else "front"
    assert after.piece(kept) is before.piece(kept)


def test_a_piece_that_is_not_selected_stays():
    before = pair()
    after = smooth(before, Chosen((PickedOutline("front", ""),))).pattern
    assert after.piece("back") is before.piece("back")
    assert seam_end(after, after.seams[0], True, "").joint.turn == pytest.approx(0, abs=1e-9)


def test_a_line_that_would_move_too_far_is_left_and_told():
    """Ten degrees each over some 91 mm: 4/9 of 91/3 sin 10 = 2.35 mm, more than 2."""
    before = pair(80.0)
    outcome = smooth(before, reach=100.0, most=2.0)
    assert outcome.pattern is before
    (finding,) = outcome.report.findings
    # The hem of 203.1 mm gives at most 45 % of itself to one end.
    reach = 0.45 * 200 / math.cos(math.radians(10))
    far = 4 / 27 * reach * math.sin(math.radians(10))
    assert finding.code == "not-smoothed" and "at most 2 may" in finding.text
    assert float(finding.text.split(" mm, and")[0].split()[-1]) == pytest.approx(far, abs=0.006)
    assert smooth(before, reach=100.0, most=3.0).report.findings == ()


def test_a_nest_and_twice_the_same():
    nest = [
        Piece(name, tuple(panel(name, 85.0 + n, size).outlines[0] for n, size in enumerate("AB")))
        for name in ("front", "back")
    ]
    once = smooth(sewn(*nest))
    assert [row[1:3] for row in told(once)] == [("A", "170.0"), ("B", "172.0")]
    again = smooth(once.pattern)
    assert again.pattern is once.pattern and "Nothing is to be smoothed" in again.report.summary
    one = smooth(sewn(*nest), Chosen((PickedOutline("front", "A"), PickedOutline("back", "A")))).pattern
    assert one.piece("front").outline("B") == nest[0].outline("B")
    assert np.array_equal(
        one.piece("front").outline("A").path.curves, once.pattern.piece("front").outline("A").path.curves
    )


def test_the_reach_ends_at_a_notch_and_notches_keep_their_place():
    """A notch 24 mm from the side: the handle is 24/3 mm; the notches lie where they lay."""
    marks = (notch("hem", 24.0, name="1"), notch("hem", 70.0, True, "2"), notch("side", 100.0, name="3"))
    before = sewn(panel("front", marks=marks), panel("back"))
    after = smooth(before).pattern
    hem = edge_of(after, "front", "hem")
    assert np.hypot(*(hem.curves[0, 1] - hem.start)) == pytest.approx(24 / 3)
    for old, new in zip(before.piece("front").marks, after.piece("front").marks):
        spots = [spot_of(p.piece("front").outline(""), m.on).point for p, m in ((before, old), (after, new))]
        assert spots[0] == pytest.approx(spots[1], abs=1e-7)


def test_a_back_that_is_sewn_to_both_sides_of_a_front_leaves_them_alike():
    """Each front side takes half of the 6 degrees and the back the other half, once for both."""
    low = 300 + rise(-3, 200)
    points = [(-200, 0), (200, 0), (200, 300), (0, low), (-200, 300)]
    cuts = (("waist", 0, 1), ("side-left", 1, 2), ("hem", 2, 4), ("side-right", 4, 5))
    front = Piece("front", (outline_of(points, [Edge(*one) for one in cuts]),))
    pattern = sewn(front, panel("back"), seams="side-left=back/side side-right=back/side,turned")

    after = smooth(pattern, what="ends").pattern

    for seam in after.seams:
        # Both hems are at their lower ends; the turned side is walked from there as well.
        assert seam_end(after, seam, True, "").joint.total == pytest.approx(180.0, abs=1e-6)
    hem = edge_of(after, "front", "hem")
    assert strays(mirror((0, 0), (0, 1)).path(hem), hem) < 1e-9
    assert strays(edge_of(pattern, "front", "hem"), hem) > 0.1
    assert smooth(after, what="ends").pattern == after


def test_the_cut_line_follows():
    before = allowance(pair(), width=10.0).pattern
    after = smooth(before).pattern
    hem = edge_of(after, "front", "hem")
    cut = shapely.LinearRing(dense(after.piece("front").cut_line("").path, 400))
    for t in (0.2, 0.5, 0.9):
        assert cut.distance(shapely.Point(point(hem.curves[:1], t)[0])) == pytest.approx(10.0, abs=0.02)


def hollow(name, degrees, radius=60.0):
    """A panel whose neck is a quarter of a hollow circle that meets its shoulder at an angle.

    The shoulder runs from (0, 0) 120 mm down the sheet; the circle bends into the piece's outside.
    """
    angle = math.radians(degrees)
    way = np.array((math.sin(angle), math.cos(angle)))
    out = np.array((way[1], -way[0]))  # square to the way, away from the cloth
    centre = radius * out
    handle = 4 / 3 * math.tan(math.pi / 8) * radius
    far = centre + radius * way
    arc = np.array([(0, 0), handle * way, far - handle * out, far])
    rest = np.array([(0, 0), (0, 120), (300, 120), far], float)
    curves = np.concatenate([lines(rest[:-1], rest[1:]), arc[None, ::-1]])
    names = ("shoulder", "far", "end", "neck")
    edges = tuple(Edge(one, n, n + 1) for n, one in enumerate(names))
    return Piece(name, (Outline("", Path(curves, closed=True), edges),))


def test_a_point_in_a_hollow_neck_is_cut_down_along_the_shoulder():
    """Angles of 76 and 76: turned alone, the hollow line would bulge at the shoulder; the corner moves."""
    before = sewn(hollow("front", 76.0), hollow("back", 76.0), seams="shoulder=back/shoulder")
    outcome = smooth(before)
    after = outcome.pattern
    shoulders = [edge_of(after, name, "shoulder") for name in ("front", "back")]
    moved = float(told(outcome)[0][5])
    for shoulder in shoulders:
        assert 0.0 < moved < 3.0 and shoulder.start == pytest.approx((0, moved), abs=0.006)
        assert shoulder.end == pytest.approx((0, 120))
    joint = seam_end(after, after.seams[0], False, "").joint
    assert joint.turn == pytest.approx(0, abs=1e-9)
    # The joined line, its front to the right and its back mirrored: it bends one way within 0.5 mm.
    right = np.concatenate(
        [point(curve[None], t) for curve in joint.first.path.curves[:1] for t in (np.linspace(0, 1, 60),)]
    ).reshape(-1, 2)
    right = right[right[:, 0] <= 30] - right[0]
    line = np.concatenate([right[::-1] * (-1, 1), right])
    hull = shapely.Polygon(line).convex_hull
    assert max(hull.exterior.distance(shapely.Point(spot)) for spot in line) <= 0.55


def hollowed(name):
    """A panel whose hem leaves the side level and falls by 2 mm within 20: too short at the side."""
    first, last, third = np.array((200.0, 300.0)), np.array((180.0, 302.0)), np.array((20 / 3, 0.0))
    rest = np.array([last, (0, 302), (0, 0), (200, 0), first], float)
    curves = np.concatenate(
        [np.array([[first, first - third, last + third, last]]), lines(rest[:-1], rest[1:])]
    )
    edges = (Edge("hem", 0, 2), Edge("centre", 2, 3), Edge("waist", 3, 4), Edge("side", 4, 5))
    return Piece(name, (Outline("", Path(curves, closed=True), edges),))


def test_a_hollow_at_the_right_angle_is_filled_on_both_sides():
    """No angle is wrong; both sides become longer alike, by less than the 2 mm, and no dip is seen."""
    before = sewn(hollowed("front"), hollowed("back"))
    outcome = smooth(before)
    sides = [edge_of(outcome.pattern, name, "side") for name in ("front", "back")]
    lengths = [integrated(side) for side in sides]
    assert lengths[0] == pytest.approx(lengths[1], abs=EXACT) and 300.0 < lengths[0] < 302.0
    hem = edge_of(outcome.pattern, "front", "hem")
    line = dense(hem, 400) - hem.start
    line = line[line[:, 0] >= -45]
    both = np.concatenate([line[::-1], line * (-1, 1)])
    hull = shapely.Polygon(both).convex_hull.exterior
    upper = [spot for spot in both if abs(spot[0]) < 44]
    assert max(hull.distance(shapely.Point(spot)) for spot in upper) < 0.5 + 0.25
    assert smooth(outcome.pattern).pattern is outcome.pattern


def test_a_cap_whose_two_ends_are_one_run():
    """A sleeve sewn to itself: both ends of its cap are turned, the middle stays."""
    points = [(0, 0), (0, 0), (300, 0), (300, 400), (0, 400)]
    points[1] = (150, -rise(8.0, 150))
    path = Path(
        np.concatenate(
            [
                np.array([[(0, 0), (50, -rise(8.0, 50)), (100, -60), (150, -60)]]),
                np.array([[(150, -60), (200, -60), (250, -rise(8.0, 50)), (300, 0)]]),
                lines(np.array(points[2:], float), np.array([*points[3:], (0, 0)], float)),
            ]
        ),
        closed=True,
    )
    edges = (Edge("cap", 0, 2), Edge("back-seam", 2, 3), Edge("hem", 3, 4), Edge("front-seam", 4, 5))
    sleeve = Piece("sleeve", (Outline("", path, edges),))
    before = Pattern((sleeve,), parse_seams("front-seam,turned=sleeve/back-seam", "sleeve"))
    after = smooth(before).pattern
    cap = edge_of(after, "sleeve", "cap")
    for way in (start_tangents(cap.curves[:1])[0], end_tangents(cap.curves[-1:])[0]):
        assert way == pytest.approx((1, 0), abs=1e-9)
    old = edge_of(before, "sleeve", "cap")
    assert strays(old, cap) < 4 / 9 * 10 * math.sin(math.radians(8.0)) + 0.02
    assert min(np.hypot(*(spot - (150, -60))) for spot in cap.nodes) == pytest.approx(0, abs=EXACT)


# -- folds ------------------------------------------------------------------------------


def test_a_neckline_of_87_degrees_is_squared_at_the_fold():
    """Opened it had a point of 2 x 3 degrees; now its first 5 mm are straight and square."""
    before = Pattern((panel("front", 87.0, folds=("side",)),))
    outcome = smooth(before)
    hem, old = edge_of(outcome.pattern, "front", "hem"), edge_of(before, "front", "hem")
    assert hem.curves[0] == pytest.approx(
        np.array([(200, 300), (200 - 5 / 3, 300), (200 - 10 / 3, 300), (195, 300)])
    )
    assert start_tangents(hem.curves[1:2])[0] == pytest.approx((-1, 0), abs=1e-12)
    # Behind the reach it is as it was; nothing is moved further than the straight bit and the bend.
    assert strays(old, hem) <= 5 * SINE + 4 / 27 * 25 * SINE + 1e-3
    assert len(hem) == 3 and hem.curves[2, 3] == pytest.approx(old.end)
    assert np.array_equal(
        edge_of(outcome.pattern, "front", "side").curves, edge_of(before, "front", "side").curves
    )
    assert told(outcome)[0][:4] == ("hem at the fold of front", "-", "87.0", "90")
    assert smooth(outcome.pattern).pattern is outcome.pattern


def test_a_v_neck_stays():
    before = Pattern((panel("front", 50.0, folds=("side",)),))
    assert smooth(before).pattern is before


# -- kinks ------------------------------------------------------------------------------


def darted():
    """A waist straight over a dart of 2 atan(0.1), its mouth 20 mm and its depth 100 mm."""
    points = [(0, 0), (90, 0), (100, 100), (110, 0), (200, 0), (200, 300), (0, 300)]
    names = ("waist", "dart", "dart", "waist", "side", "hem", "centre")
    edges = [Edge(one, n, n + 1) for n, one in enumerate(names)]
    return Piece("front", (outline_of(points, edges),), darts=("dart",))


def test_a_waist_is_smooth_over_its_closed_dart_and_the_legs_stay():
    before = Pattern((darted(),))
    after = smooth(before).pattern
    first, second = after.piece("front").outline("").runs("waist")
    angle = 2 * math.degrees(math.atan(0.1))
    closed = turn(-angle, (100, 100)).path(second)
    assert closed.start == pytest.approx(first.end, abs=1e-9)
    assert start_tangents(closed.curves[:1])[0] == pytest.approx(end_tangents(first.curves[-1:])[0], abs=1e-9)
    for run, old in zip(
        after.piece("front").outline("").runs("dart"), before.piece("front").outline("").runs("dart")
    ):
        assert np.array_equal(run.curves, old.curves)
    old = before.piece("front").outline("").runs("waist")[0]
    assert strays(old, first) == pytest.approx(4 / 9 * 10 * math.sin(math.radians(angle / 2)), abs=2e-3)


def test_a_kink_of_six_degrees_at_a_hinge_goes():
    """On a bare outline too: both sides take three degrees of it, and the hinge stays."""
    bulge = 150 * math.tan(math.radians(3.0))
    points = [(0, 0), (200, 0), (200 + bulge, 150), (200, 300), (0, 300)]
    edges = (Edge("1", 0, 1), Edge("2", 1, 3), Edge("3", 3, 4), Edge("4", 4, 5))
    before = Pattern((Piece("line", (outline_of(points, edges),), named=False),))
    side = edge_of(smooth(before).pattern, "line", "2")
    node = int(np.hypot(*(side.nodes - points[2]).T).argmin())
    assert side.nodes[node] == pytest.approx(points[2])
    assert end_tangents(side.curves[node - 1 : node])[0] == pytest.approx((0, 1), abs=1e-9)
    assert start_tangents(side.curves[node : node + 1])[0] == pytest.approx((0, 1), abs=1e-9)


# -- what is asked -----------------------------------------------------------------------


def test_only_what_is_asked_for():
    before = Pattern(
        (panel("front", 87.0, folds=("centre",)), panel("back", 87.0)), parse_seams("side=back/side", "front")
    )
    for values, places in (
        ({}, {"hem at the fold of front", "hem over side of front and back"}),
        ({"what": "folds"}, {"hem at the fold of front"}),
        ({"what": "ends"}, {"hem over side of front and back"}),
        ({"at": "back/side"}, {"hem over side of front and back"}),
        ({"at": "front/centre"}, {"hem at the fold of front"}),
        ({"at": "front"}, {"hem at the fold of front", "hem over side of front and back"}),
    ):
        assert {row[0] for row in told(smooth(before, **values))} == places, values


def test_a_name_that_is_none_is_told():
    with pytest.raises(InputError, match="no edge called 'sid'"):
        smooth(pair(), at="front/sid")
    with pytest.raises(InputError, match="no piece called 'frnt'"):
        smooth(pair(), at="frnt")


# -- any drawing -------------------------------------------------------------------------


def wild(name, rng):
    """A panel whose edges are curves with directions that nobody chose; its side 200 mm and straight."""
    spots = np.array([(0, 0), (150, rng.normal(0, 8)), (150, 200), (0, 200 + rng.normal(0, 8))], float)
    spots[2, 1] += spots[1, 1]
    curves = lines(spots, np.roll(spots, -1, axis=0))
    for row in (0, 2):
        way = curves[row, 3] - curves[row, 0]
        aside = np.array([-way[1], way[0]])
        curves[row, 1] += 0.05 * rng.uniform(-1, 1) * aside
        curves[row, 2] += 0.05 * rng.uniform(-1, 1) * aside
    edges = tuple(Edge(one, n, n + 1) for n, one in enumerate(("waist", "side", "hem", "centre")))
    return Piece(name, (Outline("", Path(curves, closed=True), edges),), folds=("centre",))


def test_any_pair_ends_smooth_with_equal_seams_and_stays_so():
    rng = np.random.default_rng(11)
    for _ in range(3):
        before = sewn(wild("front", rng), wild("back", rng))
        reach = float(rng.uniform(20, 60))
        after = smooth(before, reach=reach, most=10.0).pattern
        sides = [integrated(edge_of(after, name, "side")) for name in ("front", "back")]
        assert sides[0] == pytest.approx(sides[1], abs=1e-8)
        for last in (False, True):
            assert seam_end(after, after.seams[0], last, "").joint.total == pytest.approx(180, abs=1.0)
        again = smooth(after, reach=reach, most=10.0).pattern
        for name in ("front", "back"):
            old, new = (p.piece(name).outline("").path.curves for p in (after, again))
            assert old.shape == new.shape and np.abs(old - new).max() <= 1e-6


def reversed_piece(piece):
    """The same piece with its path drawn the other way round."""
    outline = piece.outlines[0]
    count = len(outline.path)
    edges = tuple(Edge(e.name, count - e.stop, count - e.start) for e in reversed(outline.edges))
    return piece._replace(outlines=(Outline("", outline.path.reverse(), edges),))


@pytest.mark.parametrize("how", [turn(143.0, (20, 30)), mirror((5, 0), (1, 3))], ids=["turned", "mirrored"])
@pytest.mark.parametrize("way", ["forwards", "backwards"])
def test_however_a_piece_lies_and_is_drawn(how, way):
    """A fold at the centre and a side with a kink, whose ends so lean by 2 degrees: all is put right."""
    bulge = rise(2.0, 150)
    points = [(0, 0), (200, 0), (200 + bulge, 150), (200, 300), (0, 300 - rise(3.0, 200))]
    edges = [Edge("waist", 0, 1), Edge("side", 1, 3), Edge("hem", 3, 4), Edge("centre", 4, 5)]
    outline = outline_of(points, edges)
    front = Piece("front", (outline._replace(path=how.path(outline.path)),), folds=("centre",))
    front = reversed_piece(front) if way == "backwards" else front
    before = sewn(
        front, panel("back"), seams="side{}=back/side".format(",turned" if way == "backwards" else "")
    )
    outcome = smooth(before)
    assert {row[0] for row in told(outcome)} == {
        "side at a kink of front",
        "hem at the fold of front",
        "hem over side of front and back",
        "waist over side of front and back",
    }
    after = how.inverse().path(outcome.pattern.piece("front").outline("").path)
    corner = int(np.hypot(*(after.nodes - np.array(points[4])).T).argmin())
    hem = after.curves[corner] if way == "backwards" else after.curves[corner - 1, ::-1]
    assert hem[1] - hem[0] == pytest.approx((5 / 3, 0.0), abs=1e-9)
    node = int(np.hypot(*(after.nodes - np.array(points[2])).T).argmin())
    arriving, leaving = (
        end_tangents(after.curves[node - 1 : node])[0],
        start_tangents(after.curves[node : node + 1])[0],
    )
    assert arriving == pytest.approx(leaving, abs=1e-9) and abs(arriving[0]) < 1e-9
    assert smooth(outcome.pattern).pattern is outcome.pattern
    seam = before.seams[0]
    ends = [seam_end(outcome.pattern, seam, last, "") for last in (False, True)]
    assert [end.joint.turn for end in ends if end.joint.first.edge == "hem"] == [pytest.approx(0, abs=1e-9)]


# -- pieces that follow others ------------------------------------------------------------------


def with_facing():
    """The bodice's front and back with their neck facings, which come to a point at the shoulder."""
    pattern = open_drawing("samples/bodice/master.svg")[0].pattern
    return facing(pattern, edges="front/neck back/neck").pattern


def test_what_follows_is_smoothed_through_its_parents():
    before = with_facing()
    after = smooth(before, at="back/shoulder").pattern
    assert before.piece("back-neck-facing") != after.piece("back-neck-facing")
    assert follower_findings(after, after.sizes) == []
    with pytest.raises(InputError, match="Smooth back: "):
        smooth(before, at="back-neck-facing/neck")


def test_no_angle_is_told_on_what_follows():
    before = with_facing()
    found = seam_end_findings(before, before.sizes)
    assert {finding.where.split("/")[0] for finding in found} == {"front", "back"}


# -- what is left ------------------------------------------------------------------------


def test_places_that_run_on_already_are_named():
    """Waist and side make 90 degrees on both pieces, so the waist runs on over the side; the hem does not."""
    summary = smooth(pair()).report.summary
    assert summary.startswith("1 of 2 places was smoothed")
    assert summary.endswith("1 runs on as it is: waist over side of front and back.")


def test_a_kink_at_a_dart_that_is_only_drawn_is_told_with_the_step_before():
    """Straight across a dart of 20 mm, 80 mm deep: closed, the waist bends by 2 atan(10 / 80)."""
    legs = Mark(DART, "waist-dart", "", Path.through([(90, 0), (100, 80), (110, 0)]))
    pattern = sewn(panel("front", marks=(legs,)), panel("back"))
    (finding,) = smooth(pattern).report.findings
    assert "kink of {:.1f} degrees".format(2 * math.degrees(math.atan(10 / 80))) in finding.text
    assert "'waist-dart'" in finding.text and "sewkit darts --action cut" in finding.cure
    assert not smooth(pattern, at="front/side").report.findings
    assert not smooth(pattern, what="ends").report.findings


def test_a_piece_that_gives_way_and_is_not_selected_is_told():
    outcome = smooth(pair(), Chosen((PickedOutline("front", ""),)), gives="second")
    (finding,) = outcome.report.findings
    assert "'back', which gives way, is not to change" in finding.text and "--gives both" in finding.cure
