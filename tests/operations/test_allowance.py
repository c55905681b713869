"""Seam allowance, read again with Shapely's ruler and with closed forms."""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.geometry.transform import mirror, move, turn
from sewkit.operations.allowance import allowance
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.cutting import parallel, without_darts
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Corner, CornerRule, Piece, Style
from sewkit.report import Level
from tests.geometry import shapes
from tests.operations.pieces import (
    R1,
    bare,
    bare_piece,
    corner_piece,
    dense,
    grain,
    moved,
    named,
    notch,
    outline,
    r1,
    split,
)

shapely = pytest.importorskip("shapely")

R2_EDGES = "neck shoulder armhole side hem centre"


def cut_of(outcome, name="line", size=""):
    return outcome.pattern.piece(name).cut_line(size).path


def seam_of(outcome, name="line"):
    return outcome.pattern.piece(name).outlines[0]


def codes(outcome):
    return {finding.code for finding in outcome.report.findings}


def ring(path):
    return shapely.LinearRing(dense(path, 400))


def middle(made, name):
    """The middle point of an edge's longest run, by its chords."""
    run = max(made.runs(name), key=path_length)
    line = shapely.LineString(dense(run, 400))
    return line.interpolate(0.5, normalized=True)


def apart(one, other):
    """Largest distance of two lines from each other, both ways."""
    return max(
        ring(b).distance(shapely.Point(p)) for a, b in ((one, other), (other, one)) for p in dense(a, 12)
    )


def rewritten(outcome, widths, name="line"):
    """The cut line as a drawing of its own, and the width that belongs to each of its edges.

    ``widths`` by edge of the seam line; an edge of the cut line takes that of the nearest.
    """
    seam = seam_of(outcome, name)
    made = bare_outline(cut_of(outcome, name))
    found = {}
    for edge in made.edges:
        spot = middle(made, edge.name)
        rings = {
            n: min(shapely.LineString(dense(r, 100)).distance(spot) for r in seam.runs(n)) for n in seam.names
        }
        found[edge.name] = widths[min(rings, key=rings.get)]
    return bare(made.path), found


# -- widths -------------------------------------------------------------------------------

WIDTHS = {"neck": 6.0, "shoulder": 15.0, "armhole": 10.0, "side": 25.0, "waist": 12.0}


@pytest.mark.parametrize("backwards", [False, True], ids=["clockwise", "counter-clockwise"])
def test_every_edge_gets_its_width_and_the_fold_none(backwards):
    path, names = (R1.reverse(), " ".join(reversed(R1_NAMES))) if backwards else (R1, " ".join(R1_NAMES))
    piece = named(path, names, darts=("dart",), folds=("centre",))
    outcome = allowance(Pattern((piece,)), edges=WIDTHS, width=99.0)

    line, seam = ring(cut_of(outcome, "front")), piece.outlines[0]
    for edge, width in list(WIDTHS.items()) + [("centre", 0.0)]:
        assert line.distance(middle(seam, edge)) == pytest.approx(width, abs=0.01), edge
    assert seam_of(outcome, "front") == seam


R1_NAMES = "neck shoulder armhole side dart dart side waist centre".split()


def test_the_fold_is_cut_exactly_on_its_line():
    outcome = allowance(bare(R1), folds="9", width=10.0)

    xs = cut_of(outcome).nodes[:, 0]
    assert xs.min() == pytest.approx(0.0, abs=1e-9)


def test_cut_edges_of_the_bodice_have_the_lengths_of_the_closed_form():
    """R1 armhole towards the hole 6 -> 216.296, 10 -> 208.377, 15 -> 198.479; neck 109.875, 103.770, 96.138.

    Closed form: parallel length = length - d * turn, lengths 228.174 and 119.033 mm, turns
    113.427 and 87.455 degrees; the table above is that, worked by hand.
    """
    seam = r1().outlines[0]
    for width, armhole, neck in ((6, 216.296, 109.875), (10, 208.377, 103.770), (15, 198.479, 96.138)):
        assert 228.174 - width * math.radians(113.427) == pytest.approx(armhole, abs=0.002)
        assert 119.033 - width * math.radians(87.455) == pytest.approx(neck, abs=0.002)
    for width, armhole, neck in ((6, 216.296, 109.875), (10, 208.377, 103.770), (15, 198.479, 96.138)):
        cut = parallel(seam, "front", lambda _, w=width: w, lambda *_: Corner(), 2.5)
        by_edge = {}
        for curve, edge in zip(cut.path.curves, cut.runs):
            by_edge[edge] = by_edge.get(edge, 0.0) + path_length(Path(curve[None]))
        assert by_edge["armhole"] == pytest.approx(armhole, abs=0.02)
        assert by_edge["neck"] == pytest.approx(neck, abs=0.02)


@pytest.mark.parametrize("shape", sorted(shapes.OUTLINES))
def test_nowhere_is_the_allowance_narrower_than_its_width(shape):
    path = shapes.OUTLINES[shape]
    outcome = allowance(bare(path), width=8.0)

    cut = shapely.Polygon(dense(cut_of(outcome), 400))
    assert cut.is_valid
    assert ring(path).distance(ring(cut_of(outcome))) == pytest.approx(8.0, abs=0.011)
    assert cut.contains(shapely.Polygon(dense(path, 400)))


# -- corners ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("a", "b", "degrees", "distance"),
    [
        # Standard corner table, cm there: d = sqrt(a2 + b2 + 2ab cos) / sin.
        (15, 15, 90, 21.213),
        (15, 40, 90, 42.720),
        (15, 15, 60, 30.000),
        (15, 15, 30, 57.956),
        (15, 15, 120, 17.321),
        (15, 15, 150, 15.529),
        (10, 40, 75, 45.210),
        (15, 40, 75, 47.843),
        (15, 40, 110, 40.025),
        (15, 40, 30, 107.037),
    ],
)
def test_extended_corners_stand_where_the_formula_puts_them(a, b, degrees, distance):
    outcome = allowance(
        bare(corner_piece(degrees)), edges={"1": a, "2": b}, corners="extended", mitre_limit=20
    )

    reach = np.hypot(*cut_of(outcome).nodes.T)  # the corner is at (0, 0)
    assert reach.min() == pytest.approx(distance, abs=0.001)


def toward_tip(outcome, a, b, degrees):
    """How far the cut line lies from the corner at (0, 0), on the way to where the point would be."""
    half = math.radians(degrees) / 2
    normals = np.array([[-math.cos(half), -math.sin(half)], [math.cos(half), -math.sin(half)]])
    c = normals[0] @ normals[1]
    # x = [(a - b c) n1 + (b - a c) n2] / (1 - c2), the corner of two widths.
    tip = ((a - b * c) * normals[0] + (b - a * c) * normals[1]) / (1 - c * c)
    ray = shapely.LineString([(0, 0), tip * 1.001])
    return shapely.Point(0, 0).distance(ray.intersection(ring(cut_of(outcome))))


@pytest.mark.parametrize(("a", "b", "degrees"), [(15, 15, 26), (15, 40, 30), (10, 10, 44)])
def test_a_longer_point_is_blunted_and_told(a, b, degrees):
    outcome = allowance(bare(corner_piece(degrees)), edges={"1": a, "2": b}, mitre_limit=2.5)

    assert max(a, b) - 1e-6 <= toward_tip(outcome, a, b, degrees) <= 2.5 * max(a, b)
    assert (0.0, 0.0) in [f.point for f in outcome.report.findings if f.code == "blunted"]


def test_a_point_just_within_the_limit_is_kept():
    # d / width = 1 / sin(alpha / 2) = 2.5 at alpha = 47.156 degrees.
    for degrees, told in ((47.5, set()), (46.8, {"blunted"})):
        assert codes(allowance(bare(corner_piece(degrees)), width=10.0, mitre_limit=2.5)) == told


@pytest.mark.parametrize("degrees", [40, 75, 90, 130])
@pytest.mark.parametrize(("a", "b"), [(10, 10), (10, 25), (25, 10)])
def test_blunt_corners_are_never_nearer_than_the_width(degrees, a, b):
    outcome = allowance(bare(corner_piece(degrees)), edges={"1": a, "2": b}, corners="blunt", mitre_limit=20)

    tip = math.sqrt(a * a + b * b + 2 * a * b * math.cos(math.radians(degrees))) / math.sin(
        math.radians(degrees)
    )
    assert max(a, b) - 1e-6 <= toward_tip(outcome, a, b, degrees) <= tip + 1e-9
    assert ring(cut_of(outcome)).distance(shapely.Point(0, 0)) >= min(a, b) - 1e-6


@pytest.mark.parametrize("leads", ["1", "2"])
def test_a_square_end_stands_at_right_angles_to_the_seam_sewn_first(leads):
    """At 75 degrees, 12 and 30 mm: the leading seam is prolonged to the other cut edge, d / sin."""
    widths = {"1": 12.0, "2": 30.0}
    outcome = allowance(
        bare(corner_piece(75)), edges=widths, corner_rules="1/2=square:" + leads, mitre_limit=20
    )

    along = np.array([math.sin(math.radians(37.5)), math.cos(math.radians(37.5))])  # edge 2, from the corner
    along = along * [-1, 1] if leads == "1" else along
    own, other = widths[leads], widths["2" if leads == "1" else "1"]
    foot = -along * other / math.sin(math.radians(75))
    aside = np.array([-along[1], along[0]]) if leads == "1" else np.array([along[1], -along[0]])
    line = ring(cut_of(outcome))
    nodes = cut_of(outcome).nodes
    for wanted in (foot, foot + own * aside):
        assert np.hypot(*(nodes - wanted).T).min() == pytest.approx(0.0, abs=1e-6)
        assert line.distance(shapely.Point(wanted)) < 1e-6


def leg(side_width=10.0, hem=40.0, **more):
    """A leg narrowing 1:10 on each side, 400 mm wide at the hem."""
    path = outline((0, 0), (600, 0), (500, 1000), (100, 1000), (0, 0))
    piece = named(path, "top side hem inside", "leg", hems=("hem",))
    return allowance(Pattern((piece,)), edges={"side": side_width, "inside": side_width, "hem": hem}, **more)


def test_a_hem_is_turned_back_so_that_it_lies_flat():
    """40 mm below the hem a leg that narrows 1:10 a side must be 408 mm wide, not 392."""
    nodes = cut_of(leg(), "leg").nodes
    edge = nodes[np.abs(nodes[:, 1] - 1040) < 1e-6]
    extra = 2 * 10 * math.sqrt(1 + 0.1**2)  # both side allowances, measured level

    assert np.ptp(edge[:, 0]) == pytest.approx(408 + extra, abs=1e-6)


def test_an_extended_hem_corner_goes_straight_on():
    nodes = cut_of(leg(corners="extended"), "leg").nodes
    edge = nodes[np.abs(nodes[:, 1] - 1040) < 1e-6]

    assert np.ptp(edge[:, 0]) == pytest.approx(392 + 2 * 10 * math.sqrt(1 + 0.1**2), abs=1e-6)


@pytest.mark.parametrize(
    ("beta", "depth", "step"), [(5, 40, 3.50), (8, 30, 4.216), (10, 25, 4.408)], ids=["5", "8", "10"]
)
def test_mirrored_corners_step_in_by_the_table(beta, depth, step):
    """Side flared by beta from the perpendicular: the mirrored corner steps in by h tan(beta)."""
    flare = 300 * math.tan(math.radians(beta))
    path = outline((0, 0), (200, 0), (200 + flare, 300), (0, 300), (0, 0))
    outcome = allowance(bare(path), edges={"2": 0.0, "3": depth}, hems="3", folds="4", width=10)

    nodes = cut_of(outcome).nodes
    edge = nodes[np.abs(nodes[:, 1] - (300 + depth)) < 1e-6]
    assert 200 + flare - edge[:, 0].max() == pytest.approx(step, abs=0.0051)


def test_single_corner_rules_come_before_the_style_and_stay_with_named_pieces():
    piece = named(corner_piece(75), "left right wall floor other-wall", "kite")
    outcome = allowance(
        Pattern((piece,)),
        edges={"left": 12, "right": 30},
        corner_rules="left/right=square:left",
        corners="blunt",
    )

    assert outcome.pattern.piece("kite").corners == {("left", "right"): CornerRule(Style.SQUARE, "left")}
    again = allowance(outcome.pattern, corners="extended")
    assert cut_of(again, "kite").nodes.tolist() != cut_of(outcome, "kite").nodes.tolist()
    foot = (
        -np.array([-math.sin(math.radians(37.5)), math.cos(math.radians(37.5))])
        * 30
        / math.sin(math.radians(75))
    )
    assert np.hypot(*(cut_of(again, "kite").nodes - foot).T).min() < 1e-6


# -- darts, notches, hems -----------------------------------------------------------------


def test_darts_are_bridged_with_the_width_of_their_edge_and_told():
    outcome = allowance(Pattern((r1(),)), edges={"side": 25.0}, width=10.0)

    mouth = shapely.LineString([(245.958, 284.851), (240.994, 308.222)])
    line = ring(cut_of(outcome, "front"))
    assert line.distance(mouth.interpolate(0.5, normalized=True)) == pytest.approx(25.0, abs=0.02)
    assert "dart-mouth" in codes(outcome)
    assert shapely.Polygon(dense(cut_of(outcome, "front"))).is_valid


def test_a_dart_that_begins_the_path_is_bridged_as_well():
    start = R1.start_at(5)  # at the apex, between the two legs
    names = "dart side waist centre neck shoulder armhole side dart"
    plain = allowance(Pattern((r1(),)), edges={"side": 25.0})
    moved_start = allowance(Pattern((named(start, names, darts=("dart",)),)), edges={"side": 25.0})

    assert apart(cut_of(plain, "front"), cut_of(moved_start, "front")) < 1e-3


@pytest.mark.parametrize("count", [1, 2])
@pytest.mark.parametrize(("edge", "distance", "from_end"), [("armhole", 80.0, False), ("side", 120.0, True)])
def test_notches_are_drawn_on_the_cut_line_square_to_the_seam(count, edge, distance, from_end):
    piece = r1(marks=(notch(edge, distance, from_end, "1", count=count),))
    outcome = allowance(Pattern((piece,)), width=15.0)

    mark = next(m for m in outcome.pattern.piece("front").marks)
    line, seam = ring(cut_of(outcome, "front")), piece.outlines[0]
    runs = seam.runs(edge)
    if from_end:  # the side is interrupted by the dart; its end lies on the lower part
        lower = shapely.LineString(dense(runs[-1], 400))
        spot = lower.interpolate(lower.length - distance)
    else:
        spot = shapely.LineString(dense(runs[0], 400)).interpolate(distance)
    assert len(mark.path) == count
    starts, ends = mark.path.curves[:, 0], mark.path.curves[:, 3]
    assert np.hypot(*(starts.mean(axis=0) - [spot.x, spot.y])) == pytest.approx(15.0, abs=0.01)
    for start, end in zip(starts, ends):
        assert line.distance(shapely.Point(start)) < (0.01 if count == 1 else 0.06)
        # A snip stops at least 1/8 in = 3.175 mm short of the stitch line.
        assert ring(seam.path).distance(shapely.Point(end)) >= 3.17
    if count == 2:
        assert np.hypot(*(starts[0] - starts[1])) == pytest.approx(4.0)


@pytest.mark.parametrize(("depth", "warned"), [(20.0, False), (20.1, True), (40.0, True)])
def test_a_deep_hem_on_a_curve_is_told(depth, warned):
    path = outline((0, 0), (300, 0), (320, 400), ((220, 430), (100, 430), (0, 400)), (0, 0))
    outcome = allowance(bare(path), edges={"3": depth}, hems="3")

    assert ("curved-hem" in codes(outcome)) == warned


def test_a_deep_hem_on_a_straight_edge_is_not_told():
    assert "curved-hem" not in codes(leg())


# -- where there is too little room -------------------------------------------------------


def hollow(radius=10.0):
    """A board 200 x 150 mm with a half-round cut-out in its upper edge, four-thirds rule arcs."""
    h = 4.0 / 3.0 * (math.sqrt(2) - 1) * radius
    r, x = radius, 100.0
    return outline(
        (0, 0),
        (x - r, 0),
        ((x - r, h), (x - h, r), (x, r)),
        ((x + h, r), (x + r, h), (x + r, 0)),
        (200, 0),
        (200, 150),
        (0, 150),
        (0, 0),
    )


@pytest.mark.parametrize("backwards", [False, True])
def test_a_loop_in_a_tight_curve_is_trimmed_and_told_where(backwards):
    """15 mm on an inner curve of 10 mm radius: loop trimmed, told where, seam intact."""
    path = hollow().reverse() if backwards else hollow()
    outcome = allowance(bare(path), width=15.0)

    told = [f for f in outcome.report.findings if f.code == "loop-trimmed"]
    assert told and all(70 < f.point[0] < 130 and -20 < f.point[1] < 12 for f in told)
    assert all(f.level == Level.WARN for f in told)
    assert seam_of(outcome).path == bare_outline(path).path
    cut = cut_of(outcome)
    assert shapely.LinearRing(dense(cut)).is_simple
    assert ring(path).distance(ring(cut)) == pytest.approx(15.0, abs=0.011)


def test_a_curve_that_has_room_is_not_trimmed():
    assert "loop-trimmed" not in codes(allowance(bare(hollow(40.0)), width=15.0))


def test_a_dart_that_nobody_named_is_told():
    outcome = allowance(bare(R1), width=10.0)

    assert [f.point for f in outcome.report.findings if f.code == "slit"] == [(95.0, 265.0)]


def test_a_width_larger_than_the_piece_is_no_trouble_outside_and_refused_inside():
    small = bare(outline((0, 0), (30, 0), (30, 20), (0, 20), (0, 0)))

    assert path_length(cut_of(allowance(small, width=100.0))) == pytest.approx(2 * (230 + 220), abs=1e-6)
    with pytest.raises(InputError, match="too small for 100 mm"):
        allowance(small, action="remove", width=100.0)


# -- off ----------------------------------------------------------------------------------

ROUND_TRIPS = {
    "bodice": (shapes.BODICE, {"5": 30.0}),
    "sleeve": (shapes.SLEEVE, {"3": 25.0}),
    "trouser": (shapes.TROUSER, {"3": 40.0}),
    "back": (shapes.R2, {"5": 40.0}),
    "collar": (shapes.COLLAR, {"1": 6.0}),
    "leg": (outline((0, 0), (600, 0), (500, 1000), (100, 1000), (0, 0)), {"3": 40.0}),
}


@pytest.mark.parametrize("backwards", [False, True], ids=["clockwise", "counter-clockwise"])
@pytest.mark.parametrize("corners", ["extended", "blunt", "hem"])
@pytest.mark.parametrize("shape", sorted(ROUND_TRIPS))
def test_taking_off_what_was_put_on_gives_the_seam_line_back(shape, corners, backwards):
    path, deep = ROUND_TRIPS[shape]
    made = bare_outline(path)
    widths = {edge: deep.get(edge, 8.0 + int(edge)) for edge in made.names}
    if backwards:
        turned = bare_outline(path.reverse())
        width_at = {tuple(np.round(middle(made, n).coords[0], 4)): widths[n] for n in made.names}
        widths = {n: width_at[tuple(np.round(middle(turned, n).coords[0], 4))] for n in turned.names}
        path = path.reverse()
    hems = " ".join(n for n in widths if widths[n] in deep.values()) if corners == "hem" else ""
    if corners == "hem" and shape == "collar":
        pytest.skip("a collar has no hem")
    on = allowance(bare(path), edges=widths, corners="auto" if corners == "hem" else corners, hems=hems)
    assert "loop-trimmed" not in codes(on)

    pattern, by_number = rewritten(on, widths)
    off = allowance(pattern, action="remove", edges=by_number)

    assert apart(seam_of(off).path, path) <= 0.01
    assert seam_of(off).path.closed


@pytest.mark.parametrize("degrees", [25, 40, 60, 90, 120])
def test_true_corners_are_made_from_blunted_ones(degrees):
    on = allowance(bare(corner_piece(degrees)), width=10.0, corners="blunt", mitre_limit=20)
    drawn = bare(cut_of(on))

    off = allowance(drawn, action="remove", width=10.0)
    kept = allowance(drawn, action="remove", width=10.0, rebuild=False)

    assert np.hypot(*seam_of(off).path.nodes.T).min() == pytest.approx(0.0, abs=1e-6)
    assert "corner-rebuilt" in codes(off)
    assert "corner-rebuilt" not in codes(kept)


def test_a_short_seam_is_no_cut_off_corner():
    """A child's shoulder of 24 mm, less than two and a half widths: it is an edge, not a blunt corner."""
    path = outline(
        (0, 40),
        ((30, 40), (50, 25), (50, 0)),
        (72, 10),
        ((62, 60), (80, 90), (120, 95)),
        (110, 260),
        (0, 260),
        (0, 40),
    )
    seam = bare_outline(path)
    on = allowance(bare(path), width=10.0)

    off = allowance(bare(cut_of(on)), action="remove", width=10.0)

    assert len(seam_of(off).edges) == len(seam.edges)
    assert apart(seam_of(off).path, path) <= 0.01


def test_an_edge_with_a_name_is_never_taken_for_a_cut_off_corner():
    on = allowance(bare(corner_piece(40)), width=10.0, corners="blunt")
    drawn = bare_outline(cut_of(on))
    words = " ".join("edge-" + name for name in drawn.names)

    off = allowance(Pattern((named(drawn.path, words, "kite"),)), action="remove", width=10.0)

    assert "corner-rebuilt" not in codes(off)


def test_edges_keep_their_names_when_the_allowance_comes_off():
    wide = {"neck": 6, "shoulder": 15, "armhole": 10, "side": 20, "hem": 30, "centre": 0}
    seam = named(shapes.R2, R2_EDGES, "back")
    on = allowance(Pattern((seam,)), edges=wide)
    cut_piece = named(cut_of(on, "back"), R2_EDGES, "back")

    off = allowance(Pattern((cut_piece,)), action="remove", edges=wide)

    made = seam_of(off, "back")
    assert [edge.name for edge in made.edges] == R2_EDGES.split()
    for name in R2_EDGES.split():
        assert made.as_sewn(name) == pytest.approx(seam.outlines[0].as_sewn(name), abs=0.02), name
    assert off.pattern.piece("back").cut_line("").path == cut_piece.outlines[0].path


def test_notches_move_from_the_cut_line_to_the_seam_line():
    """On a straight edge between square corners the foot of the notch moves by one width."""
    path = outline((0, 0), (220, 0), (220, 320), (0, 320), (0, 0))
    piece = named(path, "top side hem centre", marks=(notch("side", 100.0), notch("hem", 30.0, True)))

    off = allowance(Pattern((piece,)), action="remove", width=10.0)

    on = {m.on.edge: m.on for m in off.pattern.piece("front").marks}
    assert on["side"].distance == pytest.approx(90.0, abs=1e-6)
    assert on["hem"].distance == pytest.approx(20.0, abs=1e-6)
    assert on["hem"].from_end


def test_where_a_seam_line_is_drawn_taking_off_leaves_it_alone():
    on = allowance(Pattern((r1(marks=(notch("side", 30.0),)),)), width=15.0)

    off = allowance(on.pattern, action="remove", width=15.0)

    assert seam_of(off, "front") == seam_of(on, "front")
    assert off.pattern.piece("front").cut_lines == ()
    assert (
        off.pattern.piece("front").marks[0].path.nodes.tolist()
        != on.pattern.piece("front").marks[0].path.nodes.tolist()
    )


def test_an_edge_that_is_lost_is_told():
    """The 12 mm step disappears when 10 mm come off both of its neighbours' sides."""
    path = outline((0, 0), (100, 0), (100, 100), (88, 112), (0, 112), (0, 0))

    off = allowance(bare(path), action="remove", width=30.0, rebuild=False)

    told = [f for f in off.report.findings if f.code == "edge-gone"]
    assert told and told[0].level == Level.FAIL and "3" in told[0].text


def test_changing_is_taking_off_and_putting_on():
    drawn = bare(cut_of(allowance(bare(shapes.R2), width=10.0, corners="extended")))

    changed = allowance(drawn, action="change", old_width=10.0, width=16.0, corners="extended")
    straight = allowance(bare(shapes.R2), width=16.0, corners="extended")

    assert apart(seam_of(changed).path, shapes.R2) <= 0.01
    assert apart(cut_of(changed), cut_of(straight)) <= 0.02


def test_changing_where_the_seam_line_is_drawn_only_makes_a_new_cut_line():
    on = allowance(bare(shapes.R2), width=10.0)

    changed = allowance(on.pattern, action="change", old_width=10.0, width=16.0)

    assert seam_of(changed) == seam_of(on)
    assert cut_of(changed) == cut_of(allowance(bare(shapes.R2), width=16.0))


# -- what is kept -------------------------------------------------------------------------


def test_named_pieces_remember_their_widths():
    first = allowance(Pattern((r1(),)), width=12.0, edges={"side": 25.0})
    again = allowance(first.pattern)

    assert first.pattern.piece("front").allowance == {"": 12.0, "side": 25.0}
    assert cut_of(again, "front") == cut_of(first, "front")
    assert "12 mm" in again.report.summary and "side 25" in again.report.summary


def test_a_typed_width_goes_to_all_edges_that_have_none_of_their_own():
    first = allowance(Pattern((r1(),)), width=12.0, edges={"side": 25.0})
    other = allowance(first.pattern, width=7.0)

    assert other.pattern.piece("front").allowance == {"": 7.0, "side": 25.0}
    assert cut_of(other, "front") == cut_of(
        allowance(Pattern((r1(),)), width=7.0, edges={"side": 25.0}), "front"
    )


def test_nothing_asked_and_nothing_kept_is_ten():
    assert cut_of(allowance(bare(R1))) == cut_of(allowance(bare(R1), width=10.0))


def test_changing_takes_off_each_edge_what_it_has():
    on = allowance(bare(shapes.R2), width=10.0, edges={"3": 20.0}, corners="extended")
    line = Pattern(
        (Piece("line", (bare_outline(on.pattern.piece("line").cut_lines[0].path, key="line"),), named=False),)
    )

    changed = allowance(
        line, action="change", old_width=10.0, old_edges={"3": 20.0}, width=15.0, corners="extended"
    )

    wanted = allowance(bare(shapes.R2), width=15.0, corners="extended")
    assert apart(cut_of(changed), cut_of(wanted)) <= 0.01


def test_what_is_kept_for_one_edge_leaves_the_rest_to_the_typed_width():
    piece = r1(allowance={"side": 25.0})

    outcome = allowance(Pattern((piece,)), width=8.0)

    assert outcome.pattern.piece("front").allowance == {"": 8.0, "side": 25.0}


def test_bare_lines_keep_nothing_and_get_their_cut_line_once():
    twice = allowance(allowance(bare(R1), width=10.0).pattern, width=15.0)

    assert len(twice.pattern.piece("line").cut_lines) == 1
    assert twice.pattern.piece("line").allowance == {}


def test_several_pieces_may_have_different_edges():
    """A width, a fold or a corner need belong to one of the pieces only."""
    both = Pattern((r1(), named(outline((0, 0), (90, 0), (90, 60), (0, 60), (0, 0)), "a b c d", "pocket")))

    outcome = allowance(both, edges={"side": 25.0, "a": 20.0}, folds="centre", corner_rules="a/b=square:a")

    assert outcome.pattern.piece("front").folds == ("centre",)
    assert outcome.pattern.piece("pocket").folds == ()
    assert outcome.pattern.piece("pocket").allowance == {"": 10.0, "a": 20.0}


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"edges": {"sidee": 25.0}}, "sidee"),
        ({"folds": "center"}, "center"),
        ({"hems": "hemm"}, "hemm"),
        ({"corner_rules": "side/neck=square:side"}, "side' meets 'neck"),
        ({"corner_rules": "side/waist=round"}, "side/waist=round"),
        ({"corner_rules": "side/waist=square:armhole"}, "side/waist=square:armhole"),
        ({"folds": "centre", "edges": {"centre": 10.0}}, "on the fold"),
    ],
)
@pytest.mark.parametrize("action", ["add", "remove", "change"])
def test_a_slip_in_a_name_is_told(values, words, action):
    with pytest.raises(InputError, match=words):
        allowance(Pattern((r1(),)), action=action, **values)


# -- open, crossing, empty ----------------------------------------------------------------


def with_gap(gap):
    """A rectangle 100 x 80 mm whose last corner stays open by ``gap`` mm."""
    return Path.through([(0, 0), (100, 0), (100, 80), (0, 80), (0, gap)])


@pytest.mark.parametrize(("gap", "told"), [(0.2, False), (2.0, True)])
def test_a_small_gap_is_bridged(gap, told):
    outcome = allowance(bare(with_gap(gap)), width=10.0)

    assert ("gap-closed" in codes(outcome)) == told
    assert cut_of(outcome).closed
    assert shapely.Polygon(dense(cut_of(outcome))).area == pytest.approx(120 * 100, abs=1e-6)


def test_an_open_outline_is_refused_and_told_how_wide():
    with pytest.raises(InputError, match=r"10\.0 mm apart") as told:
        allowance(bare(with_gap(10.0)), width=10.0)
    assert told.value.code == "open"


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (Path.through([(0, 0), (100, 80), (100, 0), (0, 100)], closed=True), "crosses"),
        (Path.through([(0, 0), (100, 0), (0, 0)], closed=True), "encloses nothing"),
        (Path.through([(5, 5), (5, 5), (5, 5)], closed=True), "no length"),
        (Path.through([(0, 0), (100, 0)]), "open"),
    ],
    ids=["crossing", "to and fro", "a point", "one line"],
)
def test_what_is_no_outline_is_refused(path, words):
    with pytest.raises(InputError, match=words):
        allowance(bare(path), width=10.0)


# -- it does not matter how it is drawn ---------------------------------------------------

FRAMES = {
    "moved": move(812.5, -40.0),
    "turned": turn(33.0, (100, 100)),
    "mirrored": mirror((50, 0), (0, 1)),
}


@pytest.mark.parametrize("frame", sorted(FRAMES))
@pytest.mark.parametrize("action", ["add", "remove"])
def test_moving_turning_and_mirroring_change_nothing(frame, action):
    values = {"action": action, "edges": {"5": 30.0, "4": 15.0}, "width": 10.0, "hems": "5"}
    before = Pattern((bare_piece(shapes.R2),))

    first = moved(allowance(before, **values).pattern, FRAMES[frame]).piece("line")
    then = allowance(moved(before, FRAMES[frame]), **values).pattern.piece("line")

    assert apart(first.cut_lines[0].path, then.cut_lines[0].path) <= 0.005
    assert apart(first.outlines[0].path, then.outlines[0].path) <= 0.005


def test_one_node_more_changes_nothing():
    piece = named(shapes.R2, R2_EDGES, "back", marks=(notch("armhole", 60.0), grain()))
    more = piece._replace(outlines=(split(piece.outlines[0], 2, 0.37),))

    plain, divided = (allowance(Pattern((p,)), edges={"hem": 30.0}) for p in (piece, more))

    assert apart(cut_of(plain, "back"), cut_of(divided, "back")) <= 0.005
    ticks = [o.pattern.piece("back").marks[0].path.nodes for o in (plain, divided)]
    assert np.abs(ticks[0] - ticks[1]).max() <= 0.005


def test_the_same_gives_the_same():
    runs = [allowance(Pattern((r1(),)), edges=WIDTHS) for _ in range(2)]

    assert runs[0] == runs[1]


def test_every_spot_of_the_seam_line_found_lies_the_width_inside():
    """Taking 12 mm off: no spot of the seam line is nearer to the drawn line, by Shapely."""
    off = allowance(bare(shapes.BODICE), action="remove", width=12.0)

    drawn = ring(shapes.BODICE)
    for spot in dense(seam_of(off).path, 20):
        assert drawn.distance(shapely.Point(spot)) == pytest.approx(12.0, abs=0.011)
    assert nearest(seam_of(off).path, (0, 200)).distance == pytest.approx(12.0, abs=0.011)


# -- what a newcomer met --------------------------------------------------------------------


def test_a_typed_width_of_nothing_is_nothing():
    piece = r1(allowance={"": 12.0})

    outcome = allowance(Pattern((piece,)), width=0.0)

    assert apart(cut_of(outcome, "front"), without_darts(piece.outlines[0], piece.darts).path) < 0.01


def test_a_hem_ends_straight_on_at_a_fold_and_a_slanting_one_is_told():
    # By hand: the hem rises 10 mm over 100 mm, atan(0.1) = 5.71 degrees off square.
    skirt = outline((0, 0), (100, 0), (100, 190), (0, 200), (0, 0))
    piece = named(skirt, "waist side hem centre", "skirt")._replace(folds=("centre",), hems=("hem",))

    outcome = allowance(Pattern((piece,)), width=10.0, edges={"hem": 40.0})

    assert cut_of(outcome, "skirt").nodes[:, 0].min() == pytest.approx(0.0, abs=1e-9)
    told = [finding for finding in outcome.report.findings if finding.code == "fold-angle"]
    assert [finding.level for finding in told] == [Level.WARN] and "5.7 degrees" in told[0].text


@pytest.mark.parametrize("action", ["remove", "change"])
def test_lines_without_a_cut_line_are_left_alone_where_another_size_has_one(action):
    small, large = (outline((0, 0), (w, 0), (w, 150), (0, 150), (0, 0)) for w in (90, 96))
    piece = Piece(
        "back", tuple(bare_outline(line, size) for line, size in ((small, "3"), (large, "4"))), key="back"
    )
    on = allowance(Pattern((piece,)), Chosen((PickedOutline("back", "3"),)), width=10.0)

    outcome = allowance(on.pattern, action=action, width=15.0)

    assert outcome.pattern.piece("back").outline("4") == piece.outline("4")
    assert [line.size for line in outcome.pattern.piece("back").cut_lines] == (
        ["3"] if action == "change" else []
    )


def test_a_loop_too_small_to_see_is_not_told():
    for finding in allowance(bare(shapes.R2), width=10.0).report.findings:
        assert "loop of 0.0 mm" not in finding.text


def test_the_line_the_pattern_came_with_stays_when_taken_off_twice():
    line = Pattern((bare_piece(shapes.R2, "line"),))
    once = allowance(line, action="remove", width=10.0)

    twice = allowance(once.pattern, action="remove", width=10.0)

    assert twice.pattern == once.pattern
    assert twice.pattern.piece("line").cut_lines[0].path == shapes.R2
    assert "seam-line-drawn" in codes(twice)
