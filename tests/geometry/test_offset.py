"""Allowances, checked by hand-worked corners, closed forms and independent libraries."""

import math

import numpy as np
import pytest

from sewkit.geometry.length import curve_lengths
from sewkit.geometry.offset import Corner, OffsetVanishes, Style, offset
from sewkit.geometry.path import Path, is_line, lines, point
from sewkit.geometry.polygon import flatten, signed_area
from tests.geometry.shapes import OUTLINES, R1, R2, RING, SLEEVE, WIDTHS, outline

shapely = pytest.importorskip("shapely")

from tests.geometry.bands import bands, dense, deviation  # noqa: E402

SQUARE = Path.through([(0, 0), (100, 0), (100, 50), (0, 50)], closed=True)


def corners(n, node, corner):
    return [corner if i == node else Corner() for i in range(n)]


def wedge(alpha, reach=400.0):
    """A triangle with the interior angle ``alpha`` at node 1, the origin.

    The arriving edge comes along the x axis from the left; the piece lies below it.
    """
    a = math.radians(alpha)
    end = (-reach * math.cos(a), reach * math.sin(a))
    return Path.through([(-reach, 0), (0, 0), end], closed=True)


# Straight edges, worked by hand


@pytest.mark.parametrize(
    "widths, expected",
    [
        (10, [(-10, -10), (110, -10), (110, 60), (-10, 60)]),
        (-10, [(10, 10), (90, 10), (90, 40), (10, 40)]),
        # top 10, right 20, bottom on the fold, left 5
        ([10, 20, 0, 5], [(-5, -10), (120, -10), (120, 50), (-5, 50)]),
        ([-10, -20, 0, -5], [(5, 10), (80, 10), (80, 50), (5, 50)]),
        # let out at the top, taken in at the right
        ([10, -20, 0, 5], [(-5, -10), (80, -10), (80, 50), (-5, 50)]),
    ],
)
def test_a_rectangle_grows_and_shrinks_edge_by_edge(widths, expected):
    answer = offset(SQUARE, widths)

    np.testing.assert_allclose(answer.path.nodes, expected, atol=1e-9)
    assert answer.sources.tolist() == [0, 1, 2, 3]
    assert answer.trimmed == () and answer.blunted == ()


def test_outside_is_outside_whichever_way_the_path_runs():
    widths = [10, 20, 0, 5]

    there = offset(SQUARE, widths).path
    back = offset(SQUARE.reverse(), widths[::-1]).path

    assert signed_area(back) == pytest.approx(-signed_area(there))
    assert sorted(map(tuple, back.nodes.round(9))) == sorted(map(tuple, there.nodes.round(9)))


def test_corners_follow_when_the_path_runs_the_other_way():
    path = Path.through([(0, 0), (100, 0), (80, 100), (0, 100)], closed=True)
    lead = [Corner(Style.TURNED_BACK, k % 2) for k in range(4)]
    there = offset(path, [10, 20, 30, 15], lead).path
    turned = [Corner(c.style, 1 - c.leads) for c in lead[:1] + lead[:0:-1]]

    back = offset(path.reverse(), [15, 30, 20, 10], turned).path

    assert sorted(map(tuple, back.nodes.round(9))) == sorted(map(tuple, there.nodes.round(9)))


def test_a_width_of_zero_copies_the_edge_exactly():
    path = outline((0, 0), (100, 0), ((110, 40), (90, 60), (100, 100)), (0, 100))
    answer = offset(path, [10, 0, 10, 10])

    copied = answer.path.curves[answer.sources == 1]
    np.testing.assert_array_equal(copied[0], path.curves[1])


def test_no_width_at_all_changes_nothing():
    answer = offset(R1, 0.0)

    np.testing.assert_array_equal(answer.path.curves, R1.curves)
    assert answer.sources.tolist() == list(range(len(R1)))


# Corners


@pytest.mark.parametrize(
    "a, b, alpha, distance",
    [
        # d = sqrt(a^2 + b^2 + 2 a b cos alpha) / sin alpha: geometry of the sharp mitre,
        # derived in closed form; in cm.
        (1.5, 1.5, 90, 2.1213),
        (1.5, 4, 90, 4.2720),
        (1.5, 1.5, 60, 3.0000),
        (1.5, 1.5, 30, 5.7956),
        (1.5, 1.5, 120, 1.7321),
        (1.5, 1.5, 150, 1.5529),
        (1, 4, 75, 4.5210),
    ],
)
def test_the_tip_of_an_extended_corner_lies_where_the_cut_lines_meet(a, b, alpha, distance):
    path = wedge(alpha)
    answer = offset(path, [10 * a, 10 * b, 0], mitre_limit=5)

    nodes = answer.path.nodes
    inner = np.argmin(np.abs(np.hypot(nodes[:, 0], nodes[:, 1]) - 10 * distance))
    assert np.hypot(*nodes[inner]) == pytest.approx(10 * distance, abs=0.005)
    assert nodes[inner][1] == pytest.approx(-10 * a)
    assert answer.blunted == ()


@pytest.mark.parametrize(
    "alpha, size",
    # Widths 15 and 40: |x| of the corner vector, worked in closed form to 0.001.
    [(90, 42.720), (75, 47.843), (110, 40.025)],
)
def test_the_corner_of_fifteen_and_forty(alpha, size):
    nodes = offset(wedge(alpha), [15, 40, 0]).path.nodes

    assert np.abs(np.hypot(nodes[:, 0], nodes[:, 1]) - size).min() < 0.001


def test_past_the_mitre_limit_a_corner_is_cut_blunt_and_reported():
    # 30 degrees, 15 and 40: the tip would be 107.037 away, beyond 2.5 x 40.
    answer = offset(wedge(30), [15, 40, 0])

    assert 1 in answer.blunted


@pytest.mark.parametrize("alpha", [20, 45, 90, 140])
def test_a_blunt_cut_is_square_to_the_bisector_at_the_width(alpha):
    answer = offset(wedge(alpha, 2000), 10, corners(3, 1, Corner(Style.BLUNT)))

    half = math.radians(alpha / 2)
    bisector = np.array([math.cos(half), -math.sin(half)])
    on_cut = [n for n in answer.path.nodes if abs(n @ bisector - 10) < 1e-9 and np.hypot(*n) < 100]
    assert len(on_cut) == 2
    # Half the cut is 10 (1 - sin(alpha/2)) / cos(alpha/2): the tip less the cut, times tan.
    length = 2 * 10 * (1 - math.sin(half)) / math.cos(half)
    assert np.hypot(*(on_cut[0] - on_cut[1])) == pytest.approx(length)


@pytest.mark.parametrize("alpha", [60, 80, 100, 120])
@pytest.mark.parametrize("leads", [0, 1])
def test_a_square_end_is_perpendicular_to_the_seam_sewn_first(alpha, leads):
    answer = offset(wedge(alpha), [12, 20, 0], corners(3, 1, Corner(Style.SQUARE, leads)))

    lead, other = ((12, 20), (20, 12))[leads]
    ahead = other / math.sin(math.radians(alpha))
    a = math.radians(alpha)
    along = np.array([(1.0, 0.0), (math.cos(a), -math.sin(a))][leads])
    across = np.array([(0.0, -1.0), (math.sin(a), math.cos(a))][leads])
    for place in (ahead * along, ahead * along + lead * across):
        assert np.hypot(*(answer.path.nodes - place).T).min() < 1e-9


def test_square_ends_of_two_pieces_coincide_when_the_seam_lines_are_matched():
    # Angles of 70 and 110 degrees make one straight line, so both ends lie 20 / sin 70 ahead.
    ends = []
    for alpha in (70, 110):
        nodes = offset(wedge(alpha), [12, 20, 0], corners(3, 1, Corner(Style.SQUARE, 0))).path.nodes
        ends.append(max(x for x, y in nodes if abs(y + 12) < 1e-9))

    assert ends[0] == pytest.approx(ends[1], abs=1e-9)


def test_the_hem_of_a_narrowing_leg_is_wide_enough_to_be_turned_back():
    # Each side runs in by 1 in 10; the leg is 400 wide at the hem line, which is 40 deep.
    # 40 mm above the hem line the leg is 408 wide, and there the turned hem has to lie.
    path = Path.through([(-240, 0), (240, 0), (200, 400), (-200, 400)], closed=True)
    hem = [Corner(), Corner(), Corner(Style.TURNED_BACK, 1), Corner(Style.TURNED_BACK, 0)]

    turned = offset(path, [0, 0, 40, 0], hem).path.nodes
    straight = offset(path, [0, 0, 40, 0]).path.nodes

    assert np.ptp([x for x, y in turned if abs(y - 440) < 1e-9]) == pytest.approx(408)
    assert np.ptp([x for x, y in straight if abs(y - 440) < 1e-9]) == pytest.approx(392)


@pytest.mark.parametrize(
    "beta, depth, step",
    # Flared side seam, beta from the perpendicular: the corner steps in by h tan(beta); cm.
    [(5, 4, 0.350), (8, 3, 0.4216), (10, 2.5, 0.4408)],
)
def test_a_turned_back_hem_steps_in_by_depth_times_the_tangent(beta, depth, step):
    flare = 500 * math.tan(math.radians(beta))
    path = Path.through([(0, 0), (300, 0), (300 + flare, 500), (0, 500)], closed=True)
    nodes = offset(path, [0, 0, 10 * depth, 0], corners(4, 2, Corner(Style.TURNED_BACK, 1))).path.nodes

    corner = max((x for x, y in nodes if abs(y - 500 - 10 * depth) < 1e-9))
    assert 300 + flare - corner == pytest.approx(10 * step, abs=0.006)


@pytest.mark.parametrize("bulge", [-12.0, 0.0, 12.0])
def test_folded_over_the_hem_end_lies_on_the_cut_line_of_the_side(bulge):
    side = ((310, 140), (318 + bulge, 300), (330, 420))
    path = outline((0, 0), (300, 0), side, (0, 420))
    answer = offset(path, [0, 15, 40, 0], corners(4, 2, Corner(Style.TURNED_BACK, 1)))

    extra = answer.path.curves[answer.sources == -1]
    below = dense(Path(extra))
    below = below[below[:, 1] > 420.0001]
    folded = below * [1, -1] + [0, 840]
    cut_line = shapely.LinearRing(dense(answer.path, 2000))
    gap = shapely.distance(shapely.points(folded), cut_line)
    assert len(folded) > 100
    assert gap.max() < 0.01


def test_edges_of_different_width_in_one_line_meet_in_a_step_across_the_seam():
    path = Path.through([(0, 0), (60, 0), (120, 0), (120, 80), (0, 80)], closed=True)
    answer = offset(path, [10, 25, 10, 10, 10])

    step = answer.path.curves[answer.sources == -1]
    np.testing.assert_allclose(step[0][[0, 3]], [(60, -10), (60, -25)], atol=1e-9)


def test_a_reflex_corner_is_extended_inside_and_crosses_outside():
    path = Path.through([(0, 0), (100, 0), (100, 40), (40, 40), (40, 100), (0, 100)], closed=True)

    inside = offset(path, -10).path.nodes
    outside = offset(path, 10).path.nodes

    np.testing.assert_allclose(inside[3], (30, 30), atol=1e-9)
    np.testing.assert_allclose(outside[3], (50, 50), atol=1e-9)


# Curves


def test_the_parallel_arcs_of_a_ring_are_circles():
    widths = [20, 20, 15, 10, 10, 0]
    answer = offset(RING, widths)

    for source, radius in ((0, 620), (1, 620), (3, 100), (4, 100)):
        arc = answer.path.curves[answer.sources == source]
        dots = point(arc, np.broadcast_to(np.linspace(0, 1, 101), (len(arc), 101)))
        # The textbook cubic itself is 2.7e-4 of a quarter, so 4.2e-6 of an eighth, off.
        np.testing.assert_allclose(np.hypot(dots[..., 0], dots[..., 1]), radius, atol=0.0126)


@pytest.mark.parametrize(
    "edge, width, length",
    # Length 64-point Gauss of |C'| minus width times the whole turn (armhole 113.427, neck
    # 87.455 degrees): the parallel towards the hole is shorter by that.
    [
        (2, 6, 216.296),
        (2, 10, 208.377),
        (2, 15, 198.479),
        (0, 6, 109.875),
        (0, 10, 103.770),
        (0, 15, 96.138),
    ],
)
def test_the_cut_edge_of_armhole_and_neck_is_shorter_by_width_times_turn(edge, width, length):
    answer = offset(R1, width)

    assert curve_lengths(answer.path.curves[answer.sources == edge]).sum() == pytest.approx(length, abs=0.02)


@pytest.mark.parametrize("name", list(OUTLINES))
@pytest.mark.parametrize("width", [None, 10.0, 15.0, -10.0, -6.0])
@pytest.mark.parametrize("tolerance", [0.01, 0.001])
def test_the_offset_stays_within_tolerance_of_the_union_of_bands(name, width, tolerance):
    path = OUTLINES[name]
    widths = WIDTHS[name] if width is None else width
    answer = offset(path, widths, tolerance=tolerance)

    region, doubts = bands(path, widths, steps=400 if tolerance == 0.01 else 1200)
    reach = 2.5 * np.abs(widths).max()
    # Chords of the reference: 400 steps stray up to 0.0005, 1200 up to 0.00006 mm.
    assert deviation(answer.path, region, doubts, reach) <= tolerance + 0.0005


@pytest.mark.parametrize("name", list(OUTLINES))
def test_the_area_agrees_with_the_union_of_bands(name):
    path = OUTLINES[name]
    region, _ = bands(path, 6.0)
    region = shapely.Polygon(region.exterior)

    ours = shapely.Polygon(dense(offset(path, 6.0).path))
    assert ours.symmetric_difference(region).area < 3.0


@pytest.mark.parametrize("name", ["bodice", "trouser", "ring"])
def test_shapely_agrees_on_a_finely_flattened_outline(name):
    # Shapely's own mitres stray on flattened curves: 0.024 mm at worst where it was
    # measured; a flattening at 1e-4 keeps it within a tenth of a millimetre here.
    path = OUTLINES[name]
    theirs = shapely.Polygon(flatten(path, 1e-4)).buffer(10, join_style="mitre", mitre_limit=10)

    assert deviation(offset(path, 10, mitre_limit=10).path, theirs) < 0.1


# Not the trouser: there that library makes a straight line, 1 mm off, of a side seam.
@pytest.mark.parametrize("name", ["bodice", "sleeve", "collar", "ring"])
def test_a_stroked_outline_agrees(name):
    pathops = pytest.importorskip("pathops")
    path, scale = OUTLINES[name], 100.0
    drawn = pathops.Path()
    pen = drawn.getPen()
    pen.moveTo(tuple(path.start * scale))
    for curve in path.curves * scale:
        pen.curveTo(*map(tuple, curve[1:]))
    pen.closePath()
    stroke = pathops.Path(drawn)
    stroke.stroke(20 * scale, pathops.LineCap.BUTT_CAP, pathops.LineJoin.MITER_JOIN, 10)
    both = pathops.op(drawn, stroke, pathops.PathOp.UNION)
    theirs = shapely.Polygon(_largest_contour(both) / scale)

    # Measured accuracy of the trick: 0.0025 mm; ours 0.01.
    assert deviation(offset(path, 10, mitre_limit=10).path, theirs) < 0.0125


def _largest_contour(path):
    contours, at = [], None
    for verb, points in path.segments:
        if verb == "moveTo":
            contours.append([points[0]])
        elif verb == "lineTo":
            contours[-1].append(points[0])
        elif verb in ("qCurveTo", "curveTo"):
            contours[-1].extend(_quadratic(contours[-1][-1], points))
    areas = [abs(shapely.Polygon(c).area) if len(c) > 3 else 0 for c in contours]
    return np.array(contours[int(np.argmax(areas))])


def _quadratic(start, points):
    """Dense points on a run of quadratics whose inner nodes lie halfway between handles."""
    out, at = [], np.array(start, float)
    handles = [np.array(p, float) for p in points[:-1]]
    for k, handle in enumerate(handles):
        last = k == len(handles) - 1
        end = np.array(points[-1], float) if last else (handle + handles[k + 1]) / 2
        t = np.linspace(0, 1, 33)[1:, None]
        out.extend(map(tuple, (1 - t) ** 2 * at + 2 * t * (1 - t) * handle + t * t * end))
        at = end
    return out


def test_few_curves_come_out():
    came, went, bent = 0, 0, 0
    for name, path in OUTLINES.items():
        answer = offset(path, WIDTHS[name])
        went, came = went + len(path), came + len(answer.path)
        bent += np.isin(answer.sources, np.nonzero(~is_line(path.curves))[0]).sum()

    assert came <= 2.0 * went
    assert bent <= 1.25 * sum((~is_line(p.curves)).sum() for p in OUTLINES.values())


def test_kinks_that_nobody_drew_cost_no_node():
    # The cap of the sleeve has three joints of about one degree; no line may appear there.
    answer = offset(SLEEVE, 10)

    cap = [k for k, source in enumerate(answer.sources) if source in (0, 1, 2, 3)]
    assert cap == list(range(cap[0], cap[-1] + 1))
    assert curve_lengths(answer.path.curves).min() > 1.0


@pytest.mark.parametrize("width", [10.0, -10.0])
def test_a_circle_of_kinked_arcs_keeps_its_number_of_curves(width):
    # Eight arcs, every joint bent by 1.2 degrees alternately in and out.
    arcs = []
    for k in range(8):
        a, b = k * math.pi / 4, (k + 1) * math.pi / 4
        h = 4 / 3 * math.tan(math.pi / 16) * 200
        bend = math.radians(0.6) * (1 if k % 2 else -1)
        p, q = 200 * np.array([math.cos(a), math.sin(a)]), 200 * np.array([math.cos(b), math.sin(b)])
        t = np.array([-math.sin(a + bend), math.cos(a + bend)])
        u = np.array([-math.sin(b - bend), math.cos(b - bend)])
        arcs.append([p, p + h * t, q - h * u, q])
    path = Path(arcs, closed=True)

    answer = offset(path, width)

    assert answer.sources.tolist() == list(range(8))
    region, _ = bands(path, width)
    assert deviation(answer.path, region) < 0.01


# There and back


@pytest.mark.parametrize("name", ["bodice", "sleeve", "trouser", "collar", "ring"])
@pytest.mark.parametrize("width", [6.0, 10.0, 15.0])
def test_an_allowance_put_on_and_taken_off_again_gives_the_seam_line_back(name, width):
    path = OUTLINES[name]
    out = offset(path, width, mitre_limit=20)
    assert out.trimmed == ()

    back = offset(out.path, -width, mitre_limit=20)

    assert deviation(back.path, shapely.Polygon(dense(path))) <= 0.01


def test_a_right_angle_comes_back_exactly_although_the_prolonged_lines_vanish():
    path = outline((0, 0), (100, 0), ((130, 40), (130, 60), (100, 100)), (0, 100))
    back = offset(offset(path, 10).path, -10)

    for node in path.nodes:
        assert np.hypot(*(back.path.nodes - node).T).min() < 1e-6


# Loops and what vanishes


def test_a_hollow_narrower_than_the_allowance_is_bridged_and_reported():
    path = outline((0, 0), (100, 0), (100, 100), (58, 100), ((58, 89), (42, 89), (42, 100)), (0, 100))
    answer = offset(path, 10)

    assert 3 not in answer.sources
    assert [trim.curves for trim in answer.trimmed] == [(3,)]
    np.testing.assert_allclose(answer.path.nodes.max(axis=0), (110, 110), atol=1e-9)
    assert len(answer.path) == 5


def test_a_plain_crossing_at_a_corner_is_not_reported():
    path = Path.through([(0, 0), (100, 0), (100, 40), (40, 40), (40, 100), (0, 100)], closed=True)

    assert offset(path, 10).trimmed == ()
    assert offset(path, -10).trimmed == ()


def test_slits_of_a_comb_close_up():
    # Slits 10 wide, allowance 10: the teeth's allowances overlap and the top runs through.
    comb = [(0, 0), (40, 0), (40, 80), (50, 80), (50, 0), (90, 0), (90, 80), (100, 80), (100, 0)]
    path = Path.through(comb + [(140, 0), (140, 120), (0, 120)], closed=True)
    answer = offset(path, 10)

    assert len(answer.trimmed) == 2
    assert signed_area(answer.path) == pytest.approx(160 * 140)


@pytest.mark.parametrize("width", [-25.0, -25.001, -40.0])
def test_a_piece_narrower_than_twice_the_width_vanishes(width):
    with pytest.raises(OffsetVanishes) as caught:
        offset(SQUARE, width)

    assert caught.value.point.shape == (2,)


def test_just_before_vanishing_a_sliver_is_left():
    answer = offset(SQUARE, -24.9)

    assert signed_area(answer.path) == pytest.approx(50.2 * 0.2)


def test_a_piece_that_would_fall_apart_is_refused():
    # Two squares of 100 joined by a bridge 15 wide.
    path = Path.through(
        [(0, 0), (100, 0), (100, 40), (160, 40), (160, 0), (260, 0), (260, 100), (160, 100)]
        + [(160, 55), (100, 55), (100, 100), (0, 100)],
        closed=True,
    )

    with pytest.raises(OffsetVanishes):
        offset(path, -10)
    assert len(offset(path, -7).path) == 12


@pytest.mark.parametrize("radius, width", [(8.0, -10.0), (10.0, -10.0), (30.0, -45.0)])
def test_a_circle_smaller_than_the_width_vanishes(radius, width):
    h = 0.5522847 * radius
    r = radius
    path = outline(
        (r, 0), ((r, h), (h, r), (0, r)), ((-h, r), (-r, h), (-r, 0)),
        ((-r, -h), (-h, -r), (0, -r)), ((h, -r), (r, -h), (r, 0)),
    )  # fmt: skip

    with pytest.raises(OffsetVanishes):
        offset(path, width)


def test_a_lost_chamfer_is_trimmed_but_a_lost_seam_is_refused():
    chamfered = Path.through([(0, 0), (97, 0), (100, 3), (100, 100), (0, 100)], closed=True)
    answer = offset(chamfered, -10)

    np.testing.assert_allclose(sorted(map(tuple, answer.path.nodes.round(9))), [(10, 10), (10, 90), (90, 10), (90, 90)])
    assert answer.trimmed[0].curves == (1,)
    with pytest.raises(OffsetVanishes):
        offset(chamfered, [-10, -1, -10, -10, -95])


# Awkward input


def box(*handles):
    """A piece 100 wide whose upper edge is one curve with the given handles."""
    return outline((0, 0), (handles[0], handles[1], (100, 0)), (100, 200), (0, 200))


@pytest.mark.parametrize(
    "path",
    [
        box((99, -60), (1, -60)),  # close to a cusp, pointing out
        box((99.9, 60), (0.1, 60)),  # closer, pointing in
        box((0, 0), (60, -30)),  # no first handle
        box((60, -30), (100, 0)),  # no last handle
        box((0, -0.01), (60, -30)),  # a handle of 0.01 mm
        box((50, 40), (50, 40)),  # handles in one point
        Path.through([(0, 0), (100, 0), (150, 100), (151.7, 0), (300, 0), (300, 200), (0, 200)], True),
        Path.through([(0, 0), (300, 20), (0, 42)], True),  # a tip of eight degrees
    ],
)
@pytest.mark.parametrize("width", [10.0, -10.0])
def test_awkward_curves_are_offset_as_exactly_as_others(path, width):
    region, doubts = bands(path, width)

    assert deviation(offset(path, width).path, region, doubts, 25) <= 0.01


@pytest.mark.parametrize("handles", [((150, 0), (-50, 0)), ((50, 0), (120, 0)), ((0, 0), (100, 0))])
def test_a_curve_that_runs_to_and_fro_on_its_chord_counts_as_the_chord(handles):
    answer = offset(box(*handles), 10)

    np.testing.assert_allclose(answer.path.nodes, [(-10, -10), (110, -10), (110, 210), (-10, 210)], atol=1e-9)


@pytest.mark.parametrize("width", [10.0, -10.0])
def test_a_true_cusp_within_a_curve_is_taken_for_a_corner(width):
    # Handles crossed exactly: the curve stops at (50, 45 up or down) and turns back.
    for side in (60, -60):
        answer = offset(box((100, side), (0, side)), width)
        region, _ = bands(box((100, side), (0, side)), width)

        # The reference rounds the tip, ours is cut blunt: compare away from it.
        tip = [np.array([50.0, 45.0 * np.sign(side)])]
        assert deviation(answer.path, region, tip, 15) < 0.01


def test_double_nodes_are_passed_over():
    starts = [(0, 0), (100, 0), (100, 0), (100, 100), (0, 100), (0, 100)]
    path = Path(lines(starts, starts[1:] + starts[:1]), True)
    answer = offset(path, [10, 99, 20, 30, 99, 40])

    np.testing.assert_allclose(answer.path.nodes, [(-40, -10), (120, -10), (120, 130), (-40, 130)], atol=1e-9)
    assert answer.sources.tolist() == [0, 2, 3, 5]


def test_one_curve_alone_makes_an_outline():
    path = Path([[(0, 0), (150, -100), (150, 100), (0, 0)]], closed=True)
    region, _ = bands(path, 8.0)

    answer = offset(path, 8.0)

    assert deviation(answer.path, region) < 0.01
    assert set(answer.sources.tolist()) == {-1, 0}


@pytest.mark.parametrize(
    "path",
    [
        Path.through([(0, 0), (100, 0), (100, 50)]),  # open
        Path([], closed=True),  # empty
        Path.through([(0, 0), (0, 0), (0, 0)], closed=True),  # a dot
        Path.through([(0, 0), (100, 0), (50, 0)], closed=True),  # no area
        Path.through([(0, 0), (100, 100), (100, 0), (0, 70)], closed=True),  # crosses itself
        # touches itself in a corner
        Path.through([(0, 0), (50, 50), (100, 0), (100, 100), (50, 50), (0, 100)], closed=True),
        # a corner touches an edge
        Path.through([(0, 0), (100, 0), (100, 100), (50, 0), (0, 100)], closed=True),
    ],
)
@pytest.mark.parametrize("width", [10.0, -5.0, 0.0])
def test_what_is_no_outline_is_refused(path, width):
    with pytest.raises(ValueError) as caught:
        offset(path, width)

    assert not isinstance(caught.value, OffsetVanishes)


@pytest.mark.parametrize("widths", [[1, 2, 3], float("nan"), [10, 10, float("inf"), 10]])
def test_widths_that_do_not_fit_are_refused(widths):
    with pytest.raises(ValueError):
        offset(SQUARE, widths)


def test_corners_that_do_not_fit_are_refused():
    with pytest.raises(ValueError):
        offset(SQUARE, 10, [Corner()])


@pytest.mark.parametrize("path", [R1, R2])
def test_the_answer_joins_and_runs_the_way_of_its_source(path):
    for source in (path, path.reverse()):
        answer = offset(source, 15)

        np.testing.assert_array_equal(answer.path.curves[:, 3], np.roll(answer.path.curves[:, 0], -1, axis=0))
        assert signed_area(answer.path) * signed_area(source) > 0
        assert len(answer.sources) == len(answer.path)
