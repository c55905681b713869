"""Allowances along edges, checked by hand, closed forms and independent libraries."""

import math

import numpy as np
import pytest

from sewkit.geometry.length import curve_lengths
from sewkit.geometry.offset import Corner, Style, offset
from sewkit.geometry.path import Path, is_line, point
from sewkit.geometry.polygon import flatten, signed_area
from tests.geometry.bands import bands, dense, deviation, shapely
from tests.geometry.shapes import OUTLINES, R1, R2, RING, SLEEVE, WIDTHS, outline

SQUARE = Path.through([(0, 0), (100, 0), (100, 50), (0, 50)], closed=True)


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
    contours = []
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


@pytest.mark.parametrize("path", [OUTLINES["notch"], R1])
def test_a_straight_slit_comes_back_to_its_apex_if_the_mitre_limit_lets_it(path):
    # Slits of 8 and 9 degrees: the tip lies 1 / sin(half) = 13 to 14 widths away.
    back = offset(offset(path, 6, mitre_limit=20).path, -6, mitre_limit=20)

    assert deviation(back.path, shapely.Polygon(dense(path))) <= 0.01


@pytest.mark.parametrize("path", [R1, R2])
def test_the_answer_joins_and_runs_the_way_of_its_source(path):
    for source in (path, path.reverse()):
        answer = offset(source, 15)

        np.testing.assert_array_equal(answer.path.curves[:, 3], np.roll(answer.path.curves[:, 0], -1, axis=0))
        assert signed_area(answer.path) * signed_area(source) > 0
        assert len(answer.sources) == len(answer.path)
