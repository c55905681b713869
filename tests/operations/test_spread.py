"""Slash and spread, judged by closed forms, Shapely and SciPy; written without reading the code.

One slash of length l opened by g turns the far part by 2 asin(g / 2 l) (standards 5.2, closed
form).  The block below is a rectangle: all that a hinged spread does to it can be worked out.
"""

import math
import re

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import turns
from sewkit.geometry.transform import move, turn
from sewkit.operations.spread import spread
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.mark import DRILL, GRAIN, LABEL, NOTCH, OVERLAY
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.operations.length_pieces import (
    INVARIANT,
    RIGID,
    TABLE,
    back,
    bare_path,
    bare_with,
    between,
    block,
    drill,
    edge_ruler,
    edges_table,
    front,
    grain_line,
    inner,
    label,
    nest,
    one,
    outline,
    picked,
    ruler,
    same,
    shape,
    shapely,
    skirt,
    straight,
    texts,
    undone,
)
from tests.operations.pieces import dense, moved, named, notch

hypothesis = pytest.importorskip("hypothesis")
st = pytest.importorskip("hypothesis.strategies")

FLARE = {"edge": "hem", "hinge": "waist", "slashes": 4, "amount": 30.0}


def alone(piece):
    return Pattern((piece,))


def made(outcome, name="panel", size=""):
    return outcome.pattern.piece(name).outline(size)


def angle_of(gap, length):
    return 2 * math.asin(gap / (2 * length))


def inner_turns(path):
    """How far an open path turns at its inner nodes, degrees, sizes only."""
    return np.abs(turns(path))


def flared(count, theta, width=250.0):
    """Closed form: the block's waist corner and hem corner after ``count`` slashes of one angle.

    The fold at x = 0 stays; strip j is turned by j theta, its down direction toward the side.
    """
    strip = width / (count + 1)
    x = sum(strip * math.cos(j * theta) for j in range(count + 1))
    y = -sum(strip * math.sin(j * theta) for j in range(count + 1))
    low = (x + 600 * math.sin(count * theta), y + 600 * math.cos(count * theta))
    return (x, y), low


# -- flare: hinged ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("count", "gap", "degrees"), [(4, 30.0, 2.8651), (1, 50.0, 4.7760), (2, -20.0, -1.9099)]
)
def test_a_block_is_flared_as_the_closed_form_says(count, gap, degrees):
    """Standards 5.2: 4 slashes of 3 cm on 60 cm turn 2.8651 degrees each."""
    theta = angle_of(gap, 600.0)
    assert math.degrees(theta) == pytest.approx(degrees, abs=0.0001)

    before = alone(block())
    line = made(spread(before, **dict(FLARE, slashes=count, amount=gap)))
    upper, lower = flared(count, theta)

    side = line.edge_path("side")
    assert (side.start if side.start[1] < side.end[1] else side.end) == pytest.approx(upper, abs=1e-6)
    assert (side.end if side.start[1] < side.end[1] else side.start) == pytest.approx(lower, abs=1e-6)
    assert same(before.piece("panel").outline("").edge_path("centre"), line.edge_path("centre"))
    kinks = inner_turns(line.edge_path("waist"))
    assert len(kinks) == count and kinks == pytest.approx([abs(degrees)] * count, abs=TABLE)


def test_standards_second_example():
    """3 slashes of 2 cm on 50 cm: 2.2920 degrees each, + 6 cm."""
    line = made(spread(alone(block(200.0, 500.0)), **dict(FLARE, slashes=3, amount=20.0)))

    assert inner_turns(line.edge_path("waist")) == pytest.approx([2.2920] * 3, abs=TABLE)
    assert edge_ruler(line, "hem") == pytest.approx(260.0, abs=INVARIANT)


@pytest.mark.parametrize("gap", [30.0, 12.5, -15.0])
def test_the_hinged_seam_keeps_its_length_exactly(gap):
    line = made(spread(alone(block()), **dict(FLARE, amount=gap)))

    assert edge_ruler(line, "waist") == pytest.approx(250.0, abs=1e-6)
    assert edge_ruler(line, "side") == pytest.approx(600.0, abs=1e-6)
    assert edge_ruler(line, "centre") == pytest.approx(600.0, abs=1e-9)


def test_the_hem_is_one_soft_arc_square_to_the_slashes():
    """Job J26: hem gains n g, re-arced square to the slashes.  Arcs of radius 600 in the gaps."""
    line = made(spread(alone(block()), **FLARE))
    hem = line.edge_path("hem")
    theta = angle_of(30.0, 600.0)

    assert ruler(hem) == pytest.approx(250.0 + 4 * 600.0 * theta, abs=0.005)
    assert ruler(hem) == pytest.approx(370.0, abs=INVARIANT)
    assert inner_turns(hem).max() <= 0.1, "tangent to each other"
    # Every arc lies 600 mm below its hinge: the hem's nearest distance from each hinge is 600.
    for hinge in line.edge_path("waist").nodes[1:-1]:
        assert shapely.LineString(dense(hem, 400)).distance(shapely.Point(hinge)) == pytest.approx(
            600.0, abs=TABLE
        )
    for first, second in ((hem, "centre"), (hem, "side")):
        other = line.edge_path(second)
        assert any(np.array_equal(p, q) for p in (first.start, first.end) for q in (other.start, other.end))


def test_each_opening_is_a_chord():
    """The corners where the hem was cut lie exactly ``amount`` apart."""
    line = made(spread(alone(block()), **dict(FLARE, slashes=1, amount=50.0)))
    hem = line.edge_path("hem")
    theta = angle_of(50.0, 600.0)
    spots = ((125.0, 600.0), (125.0 + 600 * math.sin(theta), 600 * math.cos(theta)))

    assert math.hypot(*(np.subtract(*spots))) == pytest.approx(50.0, abs=1e-9)
    for spot in spots:
        assert min(np.hypot(*(node - spot)) for node in hem.nodes) <= 1e-6


def test_unequal_slashes_each_open_by_the_amount():
    """The flared skirt: slash k runs from 45 k on the waist to 60 k on the hem."""
    line = made(spread(alone(skirt()), **dict(FLARE, slashes=3, amount=30.0)), "skirt")
    wanted = [math.degrees(angle_of(30.0, math.hypot(600.0, 15.0 * k))) for k in (1, 2, 3)]

    kinks = inner_turns(line.edge_path("waist"))
    kinks = kinks if line.edge_path("waist").start[0] < line.edge_path("waist").end[0] else kinks[::-1]
    assert kinks == pytest.approx(wanted, abs=TABLE)
    assert edge_ruler(line, "waist") == pytest.approx(180.0, abs=1e-6)
    was = skirt().outline("").edge_path("side")
    assert undone(was, line.edge_path("side")) <= 1e-9, "the side is turned and nothing else"


@pytest.mark.parametrize("degrees", [2.8651, 5.0, -1.5])
def test_asked_by_the_angle(degrees):
    line = made(spread(alone(block()), **dict(FLARE, ask="angle", angle=degrees)))

    assert inner_turns(line.edge_path("waist")) == pytest.approx([abs(degrees)] * 4, abs=TABLE)
    assert np.sign(edge_ruler(line, "hem") - 250.0) == np.sign(degrees)


@pytest.mark.parametrize("total", [120.0, 37.0, -40.0])
@pytest.mark.parametrize("count", [1, 4])
def test_asked_by_the_total_the_edge_gains_exactly_that(total, count):
    """Issue 4: what is asked is what comes out; all slashes alike."""
    total = total if count > 1 else total / 2
    line = made(spread(alone(block()), **dict(FLARE, slashes=count, ask="total", amount=total)))

    assert edge_ruler(line, "hem") == pytest.approx(250.0 + total, abs=TABLE)
    kinks = inner_turns(line.edge_path("waist"))
    assert len(kinks) == count and np.ptp(kinks) <= TABLE


def test_the_total_alone_finds_the_number_of_slashes():
    """Contract: as many as keep each opening at 30 mm or below: 100 needs 4."""
    line = made(spread(alone(block()), **dict(FLARE, slashes=0, ask="total", amount=100.0)))

    assert len(inner_turns(line.edge_path("waist"))) == 4
    assert edge_ruler(line, "hem") == pytest.approx(350.0, abs=TABLE)


def test_the_kinks_of_the_hinged_edge_are_told():
    told = texts(spread(alone(block()), **FLARE))

    assert re.search(r"waist", told) and re.search(r"2\.9|2\.87", told)


def test_the_overlap_leaves_a_soft_edge():
    hem = made(spread(alone(block()), **dict(FLARE, slashes=2, amount=-20.0))).edge_path("hem")

    assert inner_turns(hem).max(initial=0.0) <= 1.0
    assert ruler(hem) == pytest.approx(210.0, abs=1.0)


# -- the shoulder of R1 -----------------------------------------------------------------------

SHOULDER = {"edge": "shoulder", "hinge": "armhole", "slashes": 1, "redraw": "straight"}
HINGE, MIDDLE, NECK = (175.980, 156.607), (130.0, 22.5), (70.0, 0.0)


def shoulder_tip(theta):
    """R1's tip (190, 45) turned about half the armhole by theta (radians; below 0 folds)."""
    frame = turn(math.degrees(theta), HINGE)
    return tuple(frame.points(np.array([190.0, 45.0])))


def test_an_overlap_of_ten_does_not_take_ten_off_the_shoulder():
    """Appendix A4: overlap 10 -> straight shoulder 120.530 (- 7.630), slope 20.556 -> 21.559 degrees."""
    line = made(spread(alone(front()), amount=-10.0, **SHOULDER), "front")
    run = line.edge_path("shoulder")

    assert ruler(run) == pytest.approx(120.530, abs=TABLE)
    assert straight(run) <= RIGID and len(run) == 1
    way = run.end - run.start if run.end[0] > run.start[0] else run.start - run.end
    assert math.degrees(math.atan2(way[1], way[0])) == pytest.approx(21.559, abs=TABLE)


@pytest.mark.parametrize(
    ("total", "theta", "chord", "tip"),
    [
        (-10.0, 5.321, 13.162, (179.589, 44.181)),
        (-12.0, None, 15.855, None),
        (10.0, None, 12.814, (200.020, 46.722)),
    ],
)
def test_the_shoulder_comes_out_as_asked(total, theta, chord, tip):
    """Appendix A4, job J15: exact - 10 needs an overlap of 13.162 mm, 5.321 degrees."""
    outcome = spread(alone(front()), ask="total", amount=total, **SHOULDER)
    line = made(outcome, "front")
    run = line.edge_path("shoulder")
    start, end = (run.start, run.end) if run.end[0] > run.start[0] else (run.end, run.start)

    assert ruler(run) == pytest.approx(128.160 + total, abs=TABLE)
    assert start == pytest.approx(NECK, abs=RIGID)
    leg = math.hypot(*np.subtract(MIDDLE, HINGE))
    turned = abs(between(np.subtract((190.0, 45.0), HINGE), np.subtract(end, HINGE)))
    assert 2 * leg * math.sin(math.radians(turned) / 2) == pytest.approx(chord, abs=TABLE)
    if theta is not None:
        assert turned == pytest.approx(theta, abs=TABLE)
    if tip is not None:
        assert end == pytest.approx(tip, abs=TABLE)
    assert "{:.1f}".format(chord) in texts(outcome), "the overlap that was needed is told"


@pytest.mark.parametrize("total", [-10.0, 10.0])
def test_the_armhole_keeps_its_length_and_the_rest_of_the_front_stays(total):
    before = alone(front())
    line = made(spread(before, ask="total", amount=total, **SHOULDER), "front")
    old = before.piece("front").outline("")

    assert edge_ruler(line, "armhole") == pytest.approx(228.174, abs=0.002)
    assert edge_ruler(line, "armhole") == pytest.approx(edge_ruler(old, "armhole"), abs=1e-6)
    for name in ("neck", "side", "waist", "centre"):
        assert same(old.edge_path(name), line.edge_path(name)), name
    assert len(line.edge_path("armhole")) == 2, "one node at the hinge, no more"


# -- parallel ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("count", "gap"), [(1, 30.0), (2, 15.0), (3, -12.0)])
def test_a_parallel_strip_widens_both_edges(count, gap):
    """Standards 5.2: both edges gain d; the rectangle stays one, with four nodes."""
    line = made(spread(alone(block()), **dict(FLARE, way="parallel", slashes=count, amount=gap)))
    width = 250.0 + count * gap

    for name in ("waist", "hem"):
        assert edge_ruler(line, name) == pytest.approx(width, abs=1e-6)
        assert straight(line.edge_path(name)) <= 1e-9
    assert shape(line.path).area == pytest.approx(width * 600.0, abs=1e-3)
    assert len(line.path) == 4, "no edge gains nodes without need"


def test_a_parallel_strip_is_square_to_its_slash():
    """The skirt's slash runs from (90, 0) to (120, 600): the side moves 10 mm square to it."""
    before = alone(skirt())
    line = made(spread(before, **dict(FLARE, way="parallel", slashes=1, amount=10.0)), "skirt")
    was, now = (o.edge_path("side") for o in (before.piece("skirt").outline(""), line))
    gone = now.curves - was.curves

    assert np.ptp(gone.reshape(-1, 2), axis=0) == pytest.approx((0.0, 0.0), abs=1e-9)
    slash = np.array([30.0, 600.0]) / math.hypot(30.0, 600.0)
    assert np.hypot(*gone[0, 0]) == pytest.approx(10.0, abs=1e-6)
    assert gone[0, 0] @ slash == pytest.approx(0.0, abs=1e-6)
    for name in ("waist", "hem"):
        assert straight(line.edge_path(name)) <= 1e-9, "straight stays straight"


@pytest.mark.parametrize("total", [40.0, -20.0])
def test_a_parallel_total_is_exact(total):
    line = made(
        spread(alone(skirt()), **dict(FLARE, way="parallel", slashes=2, ask="total", amount=total)), "skirt"
    )

    assert edge_ruler(line, "hem") == pytest.approx(240.0 + total, abs=TABLE)


# -- drawn slashes -----------------------------------------------------------------------------


def test_a_drawn_line_on_a_bare_outline_opens_at_its_first_end():
    pattern, chosen = bare_with(block().outline("").path, [(125.0, 600.0), (125.0, 0.0)])
    outcome = spread(pattern, chosen, amount=50.0)

    new = shape(bare_path(outcome))
    # A triangle of two sides 600 with the base 50, its base replaced by the arc.
    theta = angle_of(50.0, 600.0)
    assert new.area == pytest.approx(250 * 600 + 0.5 * 600**2 * theta, abs=2.0)
    assert ruler(bare_path(outcome)) == pytest.approx(2 * 250 + 2 * 600 + 600 * theta, abs=TABLE)
    assert outcome.pattern.piece("line-1") == pattern.piece("line-1")


@pytest.mark.parametrize("ends", [[(100.0, 610.0), (100.0, -8.0)], [(100.0, 599.0), (100.0, 1.0)]])
def test_a_drawn_line_need_not_end_on_the_dot(ends):
    """Contract: beyond the outline, or up to 2 mm short of it."""
    exact = spread(*bare_with(block().outline("").path, [(100.0, 600.0), (100.0, 0.0)]), amount=50.0)
    about = spread(*bare_with(block().outline("").path, ends), amount=50.0)

    assert shape(bare_path(about)).symmetric_difference(shape(bare_path(exact))).area <= 1.0


def test_two_drawn_lines_are_two_slashes():
    pattern, chosen = bare_with(
        block().outline("").path, [(80.0, 600.0), (80.0, 0.0)], [(160.0, 600.0), (160.0, 0.0)]
    )
    outcome = spread(pattern, chosen, amount=30.0)

    assert ruler(bare_path(outcome)) == pytest.approx(1700.0 + 2 * 600 * angle_of(30.0, 600.0), abs=TABLE)


# -- what goes with it -------------------------------------------------------------------------


def test_marks_move_rigidly_with_their_part():
    """A hole in the second strip of a block cut once is turned with it; one in the first stays."""
    own = (drill(50.0, 300.0, "stays"), drill(200.0, 300.0, "moves"), label(220.0, 200.0))
    piece = block()
    piece = piece._replace(marks=piece.marks + own + (notch("side", 100.0, name="1"),))
    after = spread(alone(piece), **dict(FLARE, slashes=1, amount=50.0)).pattern.piece("panel")
    theta = angle_of(50.0, 600.0)
    frame = turn(-math.degrees(theta), (125.0, 0.0))

    assert np.array_equal(one(after, DRILL, "stays").path.curves, own[0].path.curves)
    assert np.abs(one(after, DRILL, "moves").path.curves - frame.points(own[1].path.curves)).max() <= RIGID
    assert np.abs(one(after, LABEL).middle - frame.points(own[2].middle)).max() <= 1e-6
    assert np.array_equal(one(after, GRAIN).path.curves, piece.marks[0].path.curves), "grain is sacred"
    mark = one(after, NOTCH, "1")
    assert (600 - mark.on.distance if mark.on.from_end else mark.on.distance) == pytest.approx(
        100.0, abs=1e-6
    )
    side = shapely.LineString(dense(after.outline("").edge_path("side"), 10))
    assert min(side.distance(shapely.Point(p)) for p in (mark.path.start, mark.path.end)) <= 1e-6


def test_lines_across_a_slash_are_joined_again():
    piece = block()
    piece = piece._replace(marks=piece.marks + (inner((10.0, 300.0), (240.0, 300.0)),))
    line = one(
        spread(alone(piece), **dict(FLARE, slashes=1, amount=50.0)).pattern.piece("panel"), "inner-line"
    ).path
    frame = turn(-math.degrees(angle_of(50.0, 600.0)), (125.0, 0.0))

    assert line.start == pytest.approx((10.0, 300.0), abs=RIGID)
    assert line.end == pytest.approx(tuple(frame.points(np.array([240.0, 300.0]))), abs=1e-6)
    assert np.array_equal(line.curves[1:, 0], line.curves[:-1, 3]), "one line without gaps"


def test_the_fold_side_stays_wherever_it_lies():
    """The fold on the right this time: the left part turns."""
    piece = block(folds=("side",))._replace(marks=())
    line = made(spread(alone(piece), **FLARE))

    assert same(piece.outline("").edge_path("side"), line.edge_path("side"))


def test_without_a_fold_the_part_with_the_grain_stays():
    piece = block(folds=())._replace(marks=(grain_line(230.0, 50.0, 550.0),))
    line = made(spread(alone(piece), **dict(FLARE, slashes=1)))

    assert same(piece.outline("").edge_path("side"), line.edge_path("side"))


def test_the_band_still_fits_and_the_facing_is_told():
    """The waist is sewn to a band, the hem to a facing: the first pair holds, the second is red."""
    band = named(outline((0, 700), (250, 700), (250, 740), (0, 740)), "top side low centre", "band")
    facing = named(outline((0, 800), (250, 800), (250, 850), (0, 850)), "top side low centre", "facing")
    pattern = Pattern((block(), band, facing), parse_seams("waist=band/top hem=facing/low", "panel"))
    outcome = spread(pattern, picked(("panel", "")), **FLARE)

    seams = [f for f in outcome.report.findings if f.code == "seam"]
    assert [f.level for f in seams if "hem" in f.text] == [Level.FAIL]
    assert "120.0 mm longer" in " ".join(f.text for f in seams)
    assert not [f for f in seams if "waist" in f.text]
    assert outcome.pattern.piece("band") == band and outcome.pattern.piece("facing") == facing


def test_the_table_tells_the_edge_that_changed_and_no_other():
    outcome = spread(alone(block()), **FLARE)
    table = edges_table(outcome)

    assert set(table) == {("panel", "hem")}
    assert table["panel", "hem"] == pytest.approx((250.0, edge_ruler(made(outcome), "hem")), abs=0.051)


def test_the_master_value_is_unchanged_and_twice_is_the_same():
    before = alone(block())
    first = spread(before, **FLARE)

    assert before == alone(block())
    assert first == spread(alone(block()), **FLARE)
    assert first.pattern.piece("panel").sizes == ("",)


def test_each_size_of_a_nest():
    outcome = spread(alone(nest()), **dict(FLARE, ask="total", amount=80.0))

    for number, size in enumerate("46"):
        line = made(outcome, "skirt", size)
        assert edge_ruler(line, "hem") == pytest.approx(220.0 + 10 * number + 80.0, abs=TABLE)
        assert edge_ruler(line, "waist") == pytest.approx(200.0 + 10 * number, abs=1e-6)


def test_the_cut_line_is_made_anew():
    wide = outline((0, -10), (260, -10), (260, 640), (0, 640))
    piece = block()._replace(
        cut_lines=(CutLine("", wide),), allowance={"": 10.0, "hem": 40.0, "centre": 0.0}, hems=("hem",)
    )
    after = spread(alone(piece), **FLARE).pattern.piece("panel")
    cut = shapely.LinearRing(dense(after.cut_line("").path, 200))

    for name, width in (("side", 10.0), ("hem", 40.0)):
        run = dense(after.outline("").edge_path(name), 40)
        spot = run[len(run) // 2]
        assert cut.distance(shapely.Point(spot)) == pytest.approx(width, abs=0.2), name


def test_slashes_and_hinges_are_drawn_faintly_when_asked():
    plain, shown = spread(alone(block()), **FLARE), spread(alone(block()), show=True, **FLARE)
    faint = [m for m in shown.pattern.piece("panel").marks if m.kind == OVERLAY]

    assert not [m for m in plain.pattern.piece("panel").marks if m.kind == OVERLAY]
    assert {"slash", "hinge"} <= {m.name for m in faint}
    assert made(plain) == made(shown)
    again = spread(shown.pattern, **FLARE).pattern.piece("panel")
    assert not [m for m in again.marks if m.kind == OVERLAY], "the next run takes them away"


def test_what_was_done_is_told_in_plain_words():
    told = spread(alone(block()), **FLARE).report.summary

    for word in ("hem", "waist", "120"):
        assert word in told
    assert told.endswith(".")


# -- errors ------------------------------------------------------------------------------------


def refused(pattern, chosen=None, **values):
    with pytest.raises(InputError) as told:
        spread(pattern, chosen or Chosen(), **values)
    assert told.value.what.rstrip().endswith(".") and told.value.cure.endswith(".")
    return told.value.code, str(told.value)


def test_an_angle_that_folds_the_piece_over_itself():
    code, text = refused(alone(block()), **dict(FLARE, slashes=1, ask="angle", angle=-60.0))

    assert code == "fold-over" and "panel" in text


def test_a_slash_that_ends_inside():
    pattern, chosen = bare_with(block().outline("").path, [(125.0, 600.0), (125.0, 300.0)])
    code, text = refused(pattern, chosen, amount=30.0)

    assert code == "pivot" and "shape" in text and "mm" in text


def test_a_slash_that_misses_the_piece():
    pattern, chosen = bare_with(block().outline("").path, [(400.0, 600.0), (400.0, 0.0)])
    code, text = refused(pattern, chosen, amount=30.0)

    assert code in ("line", "pivot") and "shape" in text


def test_a_slash_that_leaves_the_piece_on_its_way():
    """An L: the line from its foot to its top runs outside of it for a while."""
    ell = outline((0, 0), (100, 0), (100, 300), (300, 300), (300, 600), (0, 600))
    pattern, chosen = bare_with(ell, [(250.0, 600.0), (50.0, -5.0)])
    code, text = refused(pattern, chosen, amount=30.0)

    assert code in ("line", "pivot") and "shape" in text


def test_a_slash_along_an_edge():
    pattern, chosen = bare_with(block().outline("").path, [(250.0, 600.0), (250.0, 0.0)])
    code, text = refused(pattern, chosen, amount=30.0)

    assert code in ("line", "pivot") and "shape" in text


def test_an_edge_that_is_not_there():
    code, text = refused(alone(block()), **dict(FLARE, edge="hemm"))

    assert code == "name" and "hemm" in text and "hem" in text


def test_edge_and_hinge_must_be_two():
    code, text = refused(alone(block()), **dict(FLARE, hinge="hem"))

    assert code in ("choice", "pivot", "line", "name", "value") and "hem" in text


def test_nothing_said():
    code, _ = refused(alone(block()), amount=30.0)

    assert code in ("choice", "name", "value")


def test_an_opening_wider_than_twice_the_slash():
    code, text = refused(alone(block(250.0, 100.0)), **dict(FLARE, slashes=1, amount=300.0))

    assert code in ("fold-over", "value") and "panel" in text and "mm" in text


def test_a_total_that_cannot_be_reached():
    """A hem of 250 cannot become 260 shorter."""
    code, text = refused(alone(block()), **dict(FLARE, ask="total", amount=-260.0))

    assert code in ("fold-over", "value", "overlap") and "hem" in text


def test_an_open_outline():
    piece = named(block().outline("").path.part(0, 3), "waist side hem", "panel")
    code, text = refused(alone(piece), **FLARE)

    assert code == "open" and "panel" in text


# -- any frame, any number ---------------------------------------------------------------------


@hypothesis.settings(max_examples=20, deadline=None)
@hypothesis.given(
    count=st.integers(1, 6), gap=st.floats(2.0, 40.0), degrees=st.floats(-80.0, 80.0), other=st.booleans()
)
def test_any_flare_anywhere(count, gap, degrees, other):
    """Waist, side and fold keep their lengths; every slash turns by the closed form's angle."""
    piece = block()
    if other:
        path = piece.outline("").path.reverse()
        piece = named(path, "centre hem side waist", "panel", folds=("centre",), marks=piece.marks)
    pattern = moved(alone(piece), turn(degrees).then(move(40.0, -30.0)))
    line = made(spread(pattern, **dict(FLARE, slashes=count, amount=gap)))
    theta = angle_of(gap, 600.0)

    assert edge_ruler(line, "waist") == pytest.approx(250.0, abs=1e-6)
    assert edge_ruler(line, "side") == pytest.approx(600.0, abs=1e-6)
    assert same(pattern.piece("panel").outline("").edge_path("centre"), line.edge_path("centre"))
    assert edge_ruler(line, "hem") == pytest.approx(250.0 + count * 600.0 * theta, abs=TABLE)
    assert inner_turns(line.edge_path("waist")) == pytest.approx([math.degrees(theta)] * count, abs=TABLE)


@hypothesis.settings(max_examples=10, deadline=None)
@hypothesis.given(total=st.floats(-15.0, 15.0))
def test_any_shoulder_comes_out_as_asked(total):
    hypothesis.assume(abs(total) > 0.1)
    line = made(spread(alone(front()), ask="total", amount=total, **SHOULDER), "front")

    assert edge_ruler(line, "shoulder") == pytest.approx(128.160 + total, abs=TABLE)
    assert edge_ruler(line, "armhole") == pytest.approx(228.174, abs=0.002)


def test_the_back_has_the_length_of_the_papers():
    """The data themselves: appendix A4."""
    assert edge_ruler(back().outline(""), "armhole") == pytest.approx(213.494, abs=0.001)
    assert np.hypot(*np.subtract(MIDDLE, HINGE)) == pytest.approx(141.77, abs=0.01)
    assert shoulder_tip(-math.radians(5.321)) == pytest.approx((179.589, 44.181), abs=0.02)
