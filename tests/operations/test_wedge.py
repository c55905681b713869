"""Wedges, judged by closed forms, Shapely and SciPy; written without reading the code.

R2 with its hollow back is worked out in appendix A4 of our papers: wedge at y = 405, point on
the side seam at (227.051, 405), theta = atan(k / 227.051).
"""

import math
import re

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import turns
from sewkit.geometry.transform import move, turn
from sewkit.operations.wedge import wedge
from sewkit.pattern.chosen import Chosen
from sewkit.pattern.mark import DRILL, GRAIN, LEVEL, NOTCH, OVERLAY
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.geometry.shapes import R2
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
    grain_line,
    level_line,
    one,
    outline,
    picked,
    ruler,
    same,
    shape,
    shapely,
    straight,
    tangent_at_end,
    tangent_at_start,
    texts,
    undone,
)
from tests.operations.pieces import dense, moved, named, notch

hypothesis = pytest.importorskip("hypothesis")
st = pytest.importorskip("hypothesis.strategies")

EDGES = "neck shoulder armhole side waist centre"
SWAY = {"edge": "centre", "hinge": "side", "at": "hollow"}
HINGE = (245.0 - 20.0 * 175.0 / 195.0, 405.0)


def hollow_back(folds=(), **more):
    marks = (level_line("hollow", 405.0), level_line("blade", 140.0), grain_line(100.0, 60.0, 360.0))
    return named(R2, EDGES, "back", folds=folds, marks=marks + more.pop("marks", ()), **more)


def dress(folds=("centre",)):
    """A one-piece back: 400 mm longer than R2, its side straight down."""
    path = outline(
        (0, 20),
        ((40, 22), (70, 18), (72, 0)),
        (192, 48),
        ((168, 110), (180, 228), (245, 230)),
        (245, 825),
        (0, 825),
    )
    marks = (level_line("hollow", 405.0), grain_line(100.0, 60.0, 360.0))
    return named(path, EDGES.replace("waist", "hem"), "dress", folds=folds, marks=marks)


def alone(piece):
    return Pattern((piece,))


def made(outcome, name="back"):
    return outcome.pattern.piece(name).outline("")


def nearest_node(path, spot):
    return min(float(np.hypot(*(node - spot))) for node in path.nodes)


# -- the hollow back of R2 --------------------------------------------------------------------

TABLE_A4 = [
    (8.0, 2.0179, (-0.563, 416.993), (224.297, 424.915), 397.000),
    (12.0, 3.0254, (-0.739, 412.989), (223.947, 424.864), 393.003),
    (18.0, 4.5328, (-0.870, 406.994), (223.426, 424.775), 387.013),
]


@pytest.mark.parametrize(("k", "theta", "low", "side_low", "length"), TABLE_A4)
def test_the_table_of_the_hollow_back(k, theta, low, side_low, length):
    """Appendix A4, each to 0.01 mm and 0.01 degree; the turn is the closed form atan(k / Sx)."""
    assert HINGE == pytest.approx((227.051, 405.0), abs=0.0005)
    assert math.degrees(math.atan(k / HINGE[0])) == pytest.approx(theta, abs=0.0001)

    outcome = wedge(alone(hollow_back()), amount=-k, **SWAY)
    line = made(outcome)
    waist = line.edge_path("waist")

    ends = sorted((tuple(waist.start), tuple(waist.end)))
    assert ends[0] == pytest.approx(low, abs=TABLE)
    assert ends[1] == pytest.approx(side_low, abs=TABLE)
    assert edge_ruler(line, "centre") == pytest.approx(length, abs=TABLE)
    assert edge_ruler(line, "side") == pytest.approx(196.023, abs=0.001)
    was = hollow_back().outline("").edge_path("waist")
    assert abs(between(was.end - was.start, waist.end - waist.start)) == pytest.approx(theta, abs=TABLE)
    assert "{:.1f}".format(theta) in texts(outcome), "which part leans is told"


@pytest.mark.parametrize("k", [8.0, 12.0, 18.0])
def test_parts_are_rigid_and_the_upper_one_stays(k):
    before = alone(hollow_back())
    line = made(wedge(before, amount=-k, **SWAY))
    old = before.piece("back").outline("")

    for name in ("neck", "shoulder", "armhole"):
        assert same(old.edge_path(name), line.edge_path(name)), name
    assert undone(old.edge_path("waist"), line.edge_path("waist")) <= RIGID
    side = line.edge_path("side")
    assert len(side) == 2 and nearest_node(side, HINGE) <= 1e-6, "one node at the hinge, no more"
    assert edge_ruler(line, "side") == pytest.approx(edge_ruler(old, "side"), abs=1e-6)
    assert np.abs(turns(side)) == pytest.approx([math.degrees(math.atan(k / HINGE[0]))], abs=TABLE)


def test_the_difference_of_the_two_cuts_is_taken_up_softly():
    """Job J18: Sx (1 / cos theta - 1) = 0.32 mm for k = 12, absorbed at CB over 20 mm (contract)."""
    theta = math.atan(12.0 / HINGE[0])
    assert HINGE[0] * (1 / math.cos(theta) - 1) == pytest.approx(0.32, abs=0.005)
    centre = made(wedge(alone(hollow_back()), amount=-12.0, **SWAY)).edge_path("centre")
    points = dense(centre, 400)

    above = points[points[:, 1] < 384.9]
    assert np.abs(above[:, 0]).max() <= 1e-6, "above the last 20 mm nothing moved"
    assert np.abs(points[:, 0]).max() <= 0.75, "the leaning end, 0.739 mm"
    assert nearest_node(centre, (-0.317, 405.0)) <= TABLE


def test_the_centre_of_a_seam_keeps_the_shape_and_it_is_told():
    outcome = wedge(alone(hollow_back()), amount=-12.0, **SWAY)
    told = texts(outcome)

    assert "back" in told and "3.0" in told
    assert any(word in told for word in ("seam", "lean", "turn"))


def test_the_three_questions_are_asked():
    """Job J18: side seams, hip ease, front waist level, before anything is taken out."""
    told = texts(wedge(alone(hollow_back()), amount=-12.0, **SWAY)).lower()

    assert "side seam" in told and "hip" in told and "waist" in told


def test_more_than_25_is_told():
    few = wedge(alone(hollow_back()), amount=-20.0, **SWAY)
    many = wedge(alone(hollow_back()), amount=-30.0, **dict(SWAY, at="340mm"))

    assert not any("25 mm" in f.text for f in few.report.findings)
    assert any("25 mm" in f.text and f.level >= Level.WARN for f in many.report.findings)


# -- on the fold ---------------------------------------------------------------------------------


@pytest.mark.parametrize("k", [8.0, 12.0, 18.0])
def test_on_the_fold_the_centre_is_straightened(k):
    """Job J18: straight from neck to hem, k shorter; side unchanged exactly."""
    before = alone(hollow_back(("centre",)))
    line = made(wedge(before, amount=-k, **SWAY))
    old = before.piece("back").outline("")
    centre = line.edge_path("centre")

    assert np.abs(centre.curves[..., 0]).max() <= RIGID
    assert ruler(centre) == pytest.approx(405.0 - k, abs=1e-6)
    assert len(centre) == 1
    for name in ("neck", "shoulder", "armhole", "side"):
        assert same(old.edge_path(name), line.edge_path(name)), name
    waist = line.edge_path("waist")
    ends = sorted((tuple(waist.start), tuple(waist.end)))
    assert ends == [pytest.approx((0.0, 425.0 - k), abs=1e-6), pytest.approx((225.0, 425.0), abs=1e-9)]
    # Square at the fold (job 0.3: 90 +- 0.5), and as it was at the side.
    for tangent in (tangent_at_start(waist), tangent_at_end(waist)):
        assert abs(tangent[1]) <= math.sin(math.radians(0.5))


@pytest.mark.parametrize("amount", [-12.0, 15.0])
@pytest.mark.parametrize("grain", [(60.0, 360.0), (450.0, 800.0), (100.0, 700.0)])
def test_on_the_fold_only_what_lies_below_changes(amount, grain):
    """Job J18: nothing at the sides, neck, armhole; the hem alone gives way, wherever the grain is."""
    piece = dress()
    marks = tuple(m for m in piece.marks if m.kind != GRAIN) + (grain_line(100.0, *grain),)
    before = alone(piece._replace(marks=marks))
    line = made(wedge(before, amount=amount, **SWAY), "dress")
    old = before.piece("dress").outline("")

    for name in ("neck", "shoulder", "armhole", "side"):
        assert same(old.edge_path(name), line.edge_path(name)), name
    assert np.abs(line.edge_path("centre").curves[..., 0]).max() <= RIGID
    assert edge_ruler(line, "centre") == pytest.approx(805.0 + amount, abs=1e-6)


def test_the_sliver_is_told():
    """Job J18: about d sin theta at d below: 420 mm below on the dress 2.80 degrees make 20 mm."""
    theta = math.atan(12.0 / 245.0)
    outcome = wedge(alone(dress()), amount=-12.0, **SWAY)
    wanted = (408.0 * math.sin(theta), 420.0 * math.sin(theta))
    numbers = [float(n) for f in outcome.report.findings for n in re.findall(r"\d+\.?\d*", f.text)]

    assert any(wanted[0] - 0.3 <= n <= wanted[1] + 0.3 for n in numbers), (wanted, numbers)
    assert "side" in texts(outcome)
    assert edge_ruler(made(outcome, "dress"), "centre") == pytest.approx(805.0 - 12.0, abs=1e-6)
    assert same(dress().outline("").edge_path("side"), made(outcome, "dress").edge_path("side"))


def test_inside_marks_move_by_their_share():
    """Contract: k times the share of the way from the hinge edge to the fold; above nothing moves."""
    piece = dress()
    piece = piece._replace(
        marks=piece.marks
        + (drill(122.5, 700.0, "half"), drill(122.5, 300.0, "above"), level_line("hip", 600.0))
    )
    after = wedge(alone(piece), amount=-12.0, **SWAY).pattern.piece("dress")

    assert one(after, DRILL, "half").middle == pytest.approx((122.5, 694.0), abs=0.5)
    assert np.array_equal(one(after, DRILL, "above").path.curves, piece.marks[-2].path.curves)
    hip = one(after, LEVEL, "hip").path
    assert min(abs(hip.start[1] - 588.0), abs(hip.end[1] - 588.0)) <= 2.0 or straight(hip) <= 1e-6


def test_the_fold_may_stay_bent_and_asks_for_a_seam():
    outcome = wedge(alone(hollow_back(("centre",))), amount=-12.0, fold="bent", **SWAY)

    assert edge_ruler(made(outcome), "centre") == pytest.approx(393.003, abs=TABLE)
    assert "seam" in texts(outcome)


# -- letting in: round back, seat ----------------------------------------------------------------

ROUND = {"edge": "centre", "hinge": "armhole", "at": "blade"}


@pytest.mark.parametrize("k", [6.0, 12.0, 20.0])
def test_a_round_back(k):
    """Job J17: CB + k to 0.3 mm, the armhole unchanged to 0.1 mm; the neck part or the other turns."""
    before = alone(hollow_back())
    line = made(wedge(before, amount=k, **ROUND))
    old = before.piece("back").outline("")

    assert edge_ruler(line, "centre") == pytest.approx(405.0 + k, abs=0.3)
    assert edge_ruler(line, "armhole") == pytest.approx(213.494, abs=0.002)
    for name in ("neck", "shoulder", "side", "waist"):
        assert undone(old.edge_path(name), line.edge_path(name)) <= RIGID, name


def test_a_round_back_on_the_fold_leaves_its_seams():
    """Job J17: CB + k, straight, the armhole unchanged; the side is sewn to the front (L2)."""
    before = alone(hollow_back(("centre",)))
    line = made(wedge(before, amount=12.0, **ROUND))
    old = before.piece("back").outline("")

    assert edge_ruler(line, "centre") == pytest.approx(417.0, abs=1e-6)
    assert np.abs(line.edge_path("centre").curves[..., 0]).max() <= RIGID
    assert edge_ruler(line, "armhole") == pytest.approx(213.494, abs=0.002)
    assert edge_ruler(line, "side") == pytest.approx(edge_ruler(old, "side"), abs=INVARIANT)


@pytest.mark.parametrize("k", [10.0, 25.0])
def test_letting_in_opens_by_a_chord(k):
    """Block, wedge from the fold to the side at half height: the two cut ends lie k apart."""
    before = alone(
        block(folds=())._replace(marks=(level_line("seat", 300.0), grain_line(125.0, 20.0, 250.0)))
    )
    line = made(wedge(before, amount=k, edge="centre", hinge="side", at="seat"), "panel")
    theta = 2 * math.asin(k / 500.0)

    assert abs(between((0.0, 1.0), _low_way(line))) == pytest.approx(math.degrees(theta), abs=TABLE)
    assert edge_ruler(line, "side") == pytest.approx(600.0, abs=1e-6)
    assert edge_ruler(line, "centre") == pytest.approx(600.0 + k, abs=0.3)
    assert edge_ruler(line, "waist") == pytest.approx(250.0, abs=1e-9)
    assert edge_ruler(line, "hem") == pytest.approx(250.0, abs=1e-9)


def _low_way(line):
    """The direction of the lower half of the side, downwards."""
    side = line.edge_path("side")
    low = max(side.curves, key=lambda c: c[:, 1].mean())
    return low[3] - low[0] if low[3][1] > low[0][1] else low[0] - low[3]


def test_on_the_fold_letting_in_is_straight_too():
    """Seat (J22): cross wedge + k at CB on the fold, the side as it was."""
    before = alone(dress())
    line = made(wedge(before, amount=15.0, **SWAY), "dress")

    assert np.abs(line.edge_path("centre").curves[..., 0]).max() <= RIGID
    assert edge_ruler(line, "centre") == pytest.approx(820.0, abs=1e-6)
    assert same(before.piece("dress").outline("").edge_path("side"), line.edge_path("side"))


# -- drawn ---------------------------------------------------------------------------------------


def test_a_drawn_line_on_a_bare_outline():
    """The amount is where the line begins; the same numbers as by name."""
    pattern, chosen = bare_with(R2, [(0.0, 405.0), HINGE])
    outcome = wedge(pattern, chosen, amount=-12.0)
    named_one = made(wedge(alone(hollow_back()), amount=-12.0, **SWAY)).path

    assert ruler(bare_path(outcome)) == pytest.approx(ruler(named_one), abs=TABLE)
    assert shape(bare_path(outcome)).symmetric_difference(shape(named_one)).area <= 1.0
    assert outcome.pattern.piece("line-1") == pattern.piece("line-1")


@pytest.mark.parametrize("at", ["385mm", "95.0617%"])
def test_a_place_by_length_and_by_percent(at):
    """From the neck (y = 20) down the centre: 385 mm of 405."""
    line = made(wedge(alone(hollow_back()), amount=-12.0, **dict(SWAY, at=at)))

    assert edge_ruler(line, "centre") == pytest.approx(393.003, abs=TABLE)


def test_a_gaping_edge():
    """Job J20: wedge g at the edge, nothing at the opposite one: edge - g to 0.3 mm."""
    piece = block(folds=())._replace(marks=(grain_line(60.0, 50.0, 550.0),))
    line = made(
        wedge(alone(piece), amount=-8.0, edge="waist", hinge="hem", at="50%", hinge_at="50%"), "panel"
    )

    assert edge_ruler(line, "waist") == pytest.approx(242.0, abs=0.3)
    assert edge_ruler(line, "hem") == pytest.approx(250.0, abs=1e-6)
    for edge in ("side", "centre"):
        assert edge_ruler(line, edge) == pytest.approx(600.0, abs=1e-6)


# -- what goes with it ---------------------------------------------------------------------------


def test_marks_and_grain():
    """The grain stays with the part that does not turn; holes go with theirs, rigidly."""
    piece = hollow_back(
        marks=(drill(100.0, 300.0, "stays"), drill(100.0, 418.0, "turns"), notch("side", 60.0, name="1"))
    )
    outcome = wedge(alone(piece), amount=-12.0, **SWAY)
    after = outcome.pattern.piece("back")
    frame = turn(math.degrees(math.atan(12.0 / HINGE[0])), HINGE)

    assert np.array_equal(one(after, DRILL, "stays").path.curves, one(piece, DRILL, "stays").path.curves)
    turned = frame.points(one(piece, DRILL, "turns").path.curves)
    assert np.abs(one(after, DRILL, "turns").path.curves - turned).max() <= 1e-6
    assert np.array_equal(one(after, GRAIN).path.curves, one(piece, GRAIN).path.curves)
    on = one(after, NOTCH, "1").on
    assert (196.023 - on.distance if on.from_end else on.distance) == pytest.approx(60.0, abs=0.002)


def test_seams_are_walked_again():
    """A yoke sewn to the centre is told; the side's partner still fits."""
    twin = named(R2, EDGES, "front")._replace(marks=(grain_line(),))
    pattern = Pattern((hollow_back(), twin), parse_seams("side=front/side centre=front/centre", "back"))
    outcome = wedge(pattern, picked(("back", "")), amount=-12.0, **SWAY)
    seams = [f for f in outcome.report.findings if f.code == "seam"]

    assert [f.level for f in seams if "centre" in f.text] == [Level.FAIL]
    assert not [f for f in seams if "side" in f.text]
    assert outcome.pattern.piece("front") == twin


def test_the_table_tells_the_edges_that_changed():
    outcome = wedge(alone(hollow_back()), amount=-12.0, **SWAY)
    table = edges_table(outcome)

    assert set(table) == {("back", "centre")}
    assert table["back", "centre"] == pytest.approx((405.0, 393.003), abs=0.051)


def test_the_cut_line_is_made_anew():
    wide = outline((-15, 5), (260, 5), (260, 440), (-15, 440))
    piece = hollow_back()._replace(cut_lines=(CutLine("", wide),), allowance={"": 15.0})
    after = wedge(alone(piece), amount=-12.0, **SWAY).pattern.piece("back")
    cut = shapely.LinearRing(dense(after.cut_line("").path, 200))

    for name in ("waist", "side"):
        run = dense(after.outline("").edge_path(name), 40)
        spot = run[len(run) // 3]
        assert cut.distance(shapely.Point(spot)) == pytest.approx(15.0, abs=0.2), name


def test_the_master_value_is_unchanged_and_twice_is_the_same():
    before = alone(hollow_back())
    first = wedge(before, amount=-12.0, **SWAY)

    assert before == alone(hollow_back())
    assert first == wedge(alone(hollow_back()), amount=-12.0, **SWAY)
    assert first.pattern.piece("back").sizes == ("",)


def test_the_cut_is_drawn_faintly_when_asked():
    plain, shown = (wedge(alone(hollow_back()), amount=-12.0, show=show, **SWAY) for show in (False, True))

    assert {m.name for m in shown.pattern.piece("back").marks if m.kind == OVERLAY} >= {"slash", "hinge"}
    assert not [m for m in plain.pattern.piece("back").marks if m.kind == OVERLAY]
    assert made(plain) == made(shown)


def test_what_was_done_is_told_in_plain_words():
    """Appendix D: "12 mm taken out of the middle of the back, nothing at the sides."."""
    told = wedge(alone(hollow_back()), amount=-12.0, **SWAY).report.summary

    for word in ("12", "back", "side"):
        assert word in told
    assert "-12" not in told and told.endswith(".")


# -- errors --------------------------------------------------------------------------------------


def refused(pattern, chosen=None, **values):
    with pytest.raises(InputError) as told:
        wedge(pattern, chosen or Chosen(), **values)
    assert told.value.what.rstrip().endswith(".") and told.value.cure.endswith(".")
    return told.value.code, str(told.value)


def test_a_level_that_is_not_there():
    code, text = refused(alone(hollow_back()), amount=-12.0, **dict(SWAY, at="hips"))

    assert code == "no-level" and "hips" in text and "hollow" in text and "blade" in text


def test_an_edge_that_is_not_there():
    code, text = refused(alone(hollow_back()), amount=-12.0, **dict(SWAY, edge="center"))

    assert code == "name" and "center" in text and "centre" in text


def test_the_hinge_must_lie_on_its_edge():
    """At the blade's height (140) the side has not begun."""
    code, text = refused(alone(hollow_back()), amount=-12.0, **dict(SWAY, at="blade"))

    assert code in ("pivot", "line", "no-level") and "back" in text and "side" in text
    assert "90.0 mm below" in text, "it begins at y = 230"


def test_a_drawn_hinge_outside_or_inside_is_refused():
    for end in ((400.0, 405.0), (120.0, 405.0)):
        pattern, chosen = bare_with(R2, [(0.0, 405.0), end])
        if end[0] > 245:
            continue  # beyond the outline is allowed: the line is cut where it leaves the piece
        code, text = refused(pattern, chosen, amount=-12.0)
        assert code == "pivot" and "shape" in text and "mm" in text


def test_a_bent_line_is_told_and_the_wedge_runs_straight():
    """At y = 410 the side is at x = 245 - 20 * 180 / 195; the corner (100, 300) lies 100 sin(slope) aside."""
    end = 245.0 - 20.0 * 180.0 / 195.0
    pattern, chosen = bare_with(R2, [(0.0, 300.0), (100.0, 300.0), (end, 410.0)])
    found = [f.text for f in wedge(pattern, chosen, amount=-8.0).report.findings if f.code == "line-bent"]

    away = 100.0 * math.sin(math.atan2(110.0, end))
    assert len(found) == 1 and "{:.1f} mm".format(away) in found[0]


def test_taking_out_more_than_there_is():
    """Below the cut lie 20 mm of the centre."""
    code, text = refused(alone(hollow_back()), amount=-24.0, **SWAY)

    assert code in ("overlap", "fold-over", "value") and "centre" in text and "20" in text


def test_an_open_outline():
    piece = named(R2.part(0, 5), "neck shoulder armhole side waist", "back")._replace(
        marks=(level_line("hollow", 405.0),)
    )
    code, text = refused(alone(piece), amount=-12.0, edge="armhole", hinge="neck", at="50%", hinge_at="50%")

    assert code == "open" and "back" in text


def test_nothing_said():
    code, _ = refused(alone(hollow_back()), amount=-12.0)

    assert code in ("choice", "name", "value")


# -- any amount, anywhere --------------------------------------------------------------------------


@hypothesis.settings(max_examples=20, deadline=None)
@hypothesis.given(k=st.floats(1.0, 18.0), degrees=st.floats(-80.0, 80.0), other=st.booleans())
def test_any_hollow_back_anywhere(k, degrees, other):
    """atan(k / Sx) about the hinge whatever the frame and the direction of the path."""
    piece = hollow_back()
    if other:
        names = " ".join(EDGES.split()[::-1])
        piece = named(R2.reverse(), names, "back", marks=piece.marks)
    pattern = moved(alone(piece), turn(degrees).then(move(30.0, -50.0)))
    line = made(wedge(pattern, amount=-k, **SWAY))
    old = pattern.piece("back").outline("")

    was, now = old.edge_path("waist"), line.edge_path("waist")
    theta = math.degrees(math.atan(k / HINGE[0]))
    assert abs(between(was.end - was.start, now.end - now.start)) == pytest.approx(theta, abs=TABLE)
    assert edge_ruler(line, "side") == pytest.approx(196.023, abs=0.001)
    assert edge_ruler(line, "centre") == pytest.approx(405.0 - k, abs=INVARIANT)
    for name in ("neck", "shoulder", "armhole"):
        assert same(old.edge_path(name), line.edge_path(name)), name


@pytest.mark.parametrize("shift", [(0.0, 0.0), (30.0, -50.0), (300.0, 500.0)])
@pytest.mark.parametrize("degrees", [0.0, 5.0, -33.0])
def test_no_trace_of_the_wedge_stays_wherever_the_piece_lies(degrees, shift):
    """What is taken out is gone: the centre runs on without turning back on itself."""
    pattern = moved(alone(hollow_back()), turn(degrees).then(move(*shift)))
    for k in (1.0, 4.0, 12.0):
        centre = made(wedge(pattern, amount=-k, **SWAY)).edge_path("centre")
        assert np.abs(turns(centre)).max() <= 12.0, k
        assert ruler(centre) == pytest.approx(405.0 - k, abs=INVARIANT), k


def test_the_back_has_the_numbers_of_the_papers():
    """The data themselves: appendix A4."""
    made_back = back().outline("")
    for name, length in (("armhole", 213.494), ("shoulder", 129.244), ("side", 196.023), ("centre", 405.0)):
        assert edge_ruler(made_back, name) == pytest.approx(length, abs=0.001), name


def test_a_wedge_that_lies_aslant_changes_its_edge_by_the_amount_and_tells_the_step():
    """The line leans by atan(360 / 250), 55 degrees; the legs differ, so the edge steps in."""
    piece = block(folds=())._replace(marks=(grain_line(60.0, 50.0, 550.0),))
    outcome = wedge(alone(piece), amount=-12.0, edge="centre", hinge="side", at="30%", hinge_at="90%")
    was, now = (edge_ruler(p.outline(""), "centre") for p in (piece, outcome.pattern.pieces[0]))

    assert now - was == pytest.approx(-12.0, abs=0.05)
    codes = [f.code for f in outcome.report.findings]
    assert codes.count("edge-steps") == 1 and "not-as-asked" not in codes


# -- sizes ---------------------------------------------------------------------------------------


def two_sizes(grain=(60.0, 360.0), shared=True):
    """The back in two sizes, one 10 mm lower; its grain line serves both, or each has its own."""
    first, second = alone(hollow_back()), moved(alone(hollow_back()), move(0.0, 10.0))
    outlines, marks = [], []
    for size, pattern in (("4", first), ("6", second)):
        outlines.append(pattern.pieces[0].outline("")._replace(size=size))
        marks += [m._replace(size=size) for m in pattern.pieces[0].marks if m.kind == LEVEL]
        marks += [] if shared else [grain_line(100.0, *grain)._replace(size=size)]
    marks += [grain_line(100.0, *grain)] if shared else []
    return alone(first.pieces[0]._replace(outlines=tuple(outlines), marks=tuple(marks)))


def test_marks_for_all_sizes_that_stay_are_told():
    """The words that lengthening has for it; nothing is told where all sizes change, or none is shared."""
    told = [
        [
            f.text
            for f in wedge(pattern, chosen, amount=-12.0, **SWAY).report.findings
            if f.code == "marks-stayed"
        ]
        for pattern, chosen in (
            (two_sizes(), picked(("back", "4"))),
            (two_sizes(), Chosen()),
            (two_sizes(shared=False), picked(("back", "4"))),
        )
    ]

    assert [len(texts) for texts in told] == [1, 0, 0]
    assert "back" in told[0][0]


def test_the_questions_are_asked_once_for_all_sizes():
    found = wedge(two_sizes(), amount=-12.0, **SWAY).report.findings

    assert len([f for f in found if f.code == "ask-first"]) == 1
    leans = [f.text for f in found if f.code == "grain-leans"]
    assert len(leans) == 1 and leans[0].startswith("back sizes 4 and 6: "), "and so is what is alike"


def test_a_bent_fold_is_told_once():
    found = wedge(alone(hollow_back(("centre",))), amount=-12.0, fold="bent", **SWAY).report.findings

    assert len([f for f in found if f.code == "fold-bent"]) == 1


# -- however the piece lies ------------------------------------------------------------------------


@pytest.mark.parametrize("folds", [(), ("centre",)])
@pytest.mark.parametrize(
    "values", [dict(SWAY, amount=-12.0), dict(SWAY, amount=-12.0, at="385"), dict(ROUND, amount=12.0)]
)
def test_head_down_it_is_the_same_piece(folds, values):
    """Turned by half a circle: names tell which end is up, so all goes with it, marks too."""
    frame = turn(180.0, (100.0, 200.0))
    upright = moved(wedge(alone(hollow_back(folds)), **values).pattern, frame).piece("back")
    turned = wedge(moved(alone(hollow_back(folds)), frame), **values).pattern.piece("back")

    for wanted, found in (
        (upright.outline("").path, turned.outline("").path),
        *((old.path, new.path) for old, new in zip(upright.marks, turned.marks)),
    ):
        assert np.abs(wanted.curves - found.curves).max() <= 1e-9


@pytest.mark.parametrize("by", ["levels", "seam"])
def test_head_down_as_another_piece_tells(by):
    """Names that say nothing: two levels in common, or the side sewn to a piece that is known."""
    frame = turn(180.0, (100.0, 200.0))
    plain = named(R2, "a b c side e centre", "plain", marks=hollow_back().marks)
    known = hollow_back()
    seams = ()
    if by == "seam":
        known = known._replace(marks=(grain_line(),))
        seams = parse_seams("side=back/side", "plain")
    values = dict(SWAY, amount=-12.0)
    outcomes = [
        wedge(Pattern((known, piece), seams), picked(("plain", "")), **values)
        for piece in (plain, moved(alone(plain), frame).pieces[0])
    ]
    upright, turned = (made(outcome, "plain").path.curves for outcome in outcomes)

    assert np.abs(frame.points(upright) - turned).max() <= 1e-9
    assert not [f for outcome in outcomes for f in outcome.report.findings if f.code == "which-end"]


@pytest.mark.parametrize("folds", [(), ("centre",)])
@pytest.mark.parametrize("amount", [-12.0, 10.0])
def test_the_level_of_the_cut_stays_whole(folds, amount):
    piece = hollow_back(folds)
    after = wedge(alone(piece), amount=amount, **SWAY).pattern.piece("back")

    assert one(after, LEVEL, "hollow") == one(piece, LEVEL, "hollow")


def test_a_step_that_changes_the_shape_of_the_edge_is_to_be_looked_at():
    """A line that leans by 45 degrees steps its edge by about the amount: 16 mm is much, 3 is not."""
    piece = named(square(), "top side hem centre", "block", marks=(grain_line(250.0, 100.0, 300.0),))
    places = {"edge": "centre", "hinge": "side", "at": "100", "hinge_at": "300"}
    levels = {}
    for amount in (-16.0, -3.0):
        outcome = wedge(alone(piece), amount=amount, **places)
        levels[amount] = [f.level for f in outcome.report.findings if f.code == "edge-steps"]

    assert levels == {-16.0: [Level.WARN], -3.0: [Level.INFO]}


def square():
    return outline((0, 0), (200, 0), (200, 600), (0, 600))
