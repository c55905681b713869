"""Darts made into ease, gathers, flare, judged by closed forms and folded paper.

J25: the legs go, span and amount are marked; ease up to 6-10 mm in 100 mm of seam.  J26: gathers
1.5 to 3 to 1; flare leaves the upper seam as it is and opens the hem by 2 r sin(angle / 2), the
hem drawn anew square to the slash.
"""

import functools
import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.length import point_at
from sewkit.geometry.path import Path, turns
from sewkit.operations.dart_into import dart_into
from sewkit.operations.dart_turn import dart_turn
from sewkit.pattern.mark import DART, DRILL, GRAIN, INNER, LABEL, NOTCH, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.operations.dart_pieces import (
    APEX,
    AREA,
    D1,
    FRAMES,
    LENGTHS,
    SIZES,
    alone,
    darts,
    drawn,
    far_apart,
    legs,
    legs_to_apex,
    nest,
    own_marks,
    reflected,
    refusal,
    reversed_piece,
    sewn,
    sheet,
    skirt_front,
    slashed,
    standoff,
    with_back,
)
from tests.operations.length_pieces import (
    INVARIANT,
    RIGID,
    TABLE,
    between,
    codes,
    edges_table,
    grain_line,
    one,
    outline,
    picked,
    ruler,
    same,
    shapely,
    straight,
    texts,
)
from tests.operations.pieces import R1, bare, dense, moved, named

# The way along R1's waist from the apex straight down.
BELOW = 440.149 - APEX[1]


def back_panel(width=8.0):
    """A back whose straight shoulder is 122 mm long as sewn; its dart is ``width`` wide and 80 mm long."""
    path = outline(
        (0, 0), (61, 0), (61 + width / 2, 80), (61 + width, 0), (122 + width, 0), (122 + width, 300), (0, 300)
    )
    names = "shoulder dart dart shoulder side hem centre"
    return named(
        path, names, "back", darts=("dart",), folds=("centre",), marks=(grain_line(30.0, 100.0, 280.0),)
    )


def pair(width=8.0):
    front = named(outline((0, 0), (122, 0), (122, 300), (0, 300)), "shoulder side hem centre", "front")
    front = front._replace(marks=(grain_line(30.0, 100.0, 280.0),))
    return Pattern((back_panel(width), front), parse_seams("shoulder=front/shoulder", "back"))


@functools.lru_cache(maxsize=None)
def eased(over=100.0):
    return dart_into(pair(), picked(("back", "")), over=over)


def notch_places(piece, word):
    """Where two notches sit along their edge (mm from its start), by their places on the outline."""
    line = piece.outlines[0]
    found = sorted((m for m in piece.marks if m.kind == NOTCH and word in m.name), key=lambda m: m.name)
    assert len(found) == 2, [m.name for m in piece.marks]
    runs = line.runs(found[0].on.edge)
    assert len(runs) == 1 and {m.on.edge for m in found} == {found[0].on.edge}
    return sorted(float(np.hypot(*(spot_of(line, m.on).point - runs[0].start))) for m in found), found[
        0
    ].on.edge


# -- ease --------------------------------------------------------------------------------------------


def test_the_cloth_stays_and_the_legs_go():
    """8 mm in a straight edge of 122: 130 of one straight line, no dart, nothing else changed."""
    piece = eased().pattern.piece("back")
    line = piece.outline("")

    assert not piece.darts and "dart" not in line.names
    assert sewn(line, "shoulder") == pytest.approx(130.0, abs=1e-6)
    assert straight(line.edge_path("shoulder")) <= RIGID
    for name in ("side", "hem", "centre"):
        assert same(line.edge_path(name), back_panel().outline("").edge_path(name)), name


def test_between_its_notches_the_edge_is_longer_by_the_intake():
    """100 mm of the seam: from 11 to 111 on the front, from 11 to 119 here, about the dart's place."""
    own, edge = notch_places(eased().pattern.piece("back"), "ease")
    other, partner = notch_places(eased().pattern.piece("front"), "ease")

    assert edge == "shoulder" and partner == "shoulder"
    assert own == pytest.approx([11.0, 119.0], abs=1e-6)
    assert other == pytest.approx([11.0, 111.0], abs=1e-6)


def test_the_seam_keeps_the_ease():
    """Meant is 8 mm, so the seam is no fault."""
    seam = eased().pattern.seams[0]
    back_first = seam.first[0].piece == "back"
    low, high = seam.ease if back_first else sorted(-e for e in seam.ease)

    assert low <= 8.0 <= high and high - low <= 2.0
    assert not [f for f in eased().report.findings if f.code == "seam" and f.level >= Level.WARN]


def test_the_other_front_stays():
    assert eased().pattern.piece("front").outlines == pair().piece("front").outlines


@pytest.mark.parametrize(
    ("width", "over", "told"), [(8.0, 120.0, True), (5.0, 100.0, False), (14.0, 100.0, True)]
)
def test_more_ease_than_firm_cloth_takes_is_told(width, over, told):
    """J25: 6 to 10 mm in 100 mm of seam."""
    outcome = dart_into(pair(width), picked(("back", "")), over=over)
    found = [f for f in outcome.report.findings if f.code == "ease-much"]

    assert bool(found) == told
    assert not found or (found[0].level >= Level.WARN) == (100.0 * width / over > 10.0)


def test_r1s_dart_is_too_much_to_be_eased():
    outcome = dart_into(with_back(legs_to_apex()), picked(("front", "")))
    line = outcome.pattern.piece("front").outline("")

    assert [f.level for f in outcome.report.findings if f.code == "ease-much"] == [Level.WARN]
    # The mouth's chord is 23.892; drawn softly over it the edge is little longer.
    assert 190.515 + 23.892 <= sewn(line, "side") + 1e-3 <= 190.515 + 23.892 + 0.5
    for name in ("neck", "shoulder", "armhole", "waist", "centre"):
        assert same(line.edge_path(name), legs_to_apex().outline("").edge_path(name)), name


def test_ease_that_the_seam_had_before_counts():
    """5 mm in 100, and 4 mm of 122 before: 5 + 3.28 in 100."""
    back = back_panel(5.0)
    shorter = named(outline((0, 0), (118, 0), (118, 300), (0, 300)), "shoulder side hem centre", "front")
    seams = parse_seams("shoulder=front/shoulder,ease=0..4", "back")

    outcome = dart_into(Pattern((back, shorter), seams), picked(("back", "")), over=100.0)

    (told,) = [f for f in outcome.report.findings if f.code == "ease-much"]
    assert "8.3 mm of ease in 100 mm" in told.text and "4.0 mm" in told.text


# -- gathers -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("ratio", [1.5, 2.0, 3.0])
def test_gathers_by_their_ratio(ratio):
    """s of seam holds s r of cloth, and r s - s is the intake."""
    outcome = dart_into(pair(), picked(("back", "")), into="gathers", ratio=ratio)
    (a, b), _ = notch_places(outcome.pattern.piece("back"), "gather")
    (c, d), _ = notch_places(outcome.pattern.piece("front"), "gather")

    assert (b - a) / (d - c) == pytest.approx(ratio, abs=1e-6)
    assert (b - a) - (d - c) == pytest.approx(8.0, abs=1e-6)
    assert a == pytest.approx(c, abs=1e-6), "the same way from the neck"
    assert not [f for f in outcome.report.findings if f.code == "seam" and f.level >= Level.WARN]


def test_wide_gathers_are_notched_at_their_quarters():
    """J26: 160 mm of cloth on 100 mm of seam; the quarters are 40 mm here and 25 mm there."""
    outcome = dart_into(pair(60.0), picked(("back", "")), into="gathers", over=100.0)
    places = []
    for name in ("back", "front"):
        piece = outcome.pattern.piece(name)
        found = [m for m in piece.marks if m.kind == NOTCH and "gather" in m.name]
        places.append(sorted(float(spot_of(piece.outline(""), m.on).point[0]) for m in found))

    assert places[0] == pytest.approx([11.0, 51.0, 91.0, 131.0, 171.0], abs=1e-6)
    assert places[1] == pytest.approx([11.0, 36.0, 61.0, 86.0, 111.0], abs=1e-6)


def test_gathers_over_a_length_tell_their_ratio():
    outcome = dart_into(pair(), picked(("back", "")), into="gathers", over=16.0)
    (a, b), _ = notch_places(outcome.pattern.piece("back"), "gather")

    assert b - a == pytest.approx(24.0, abs=1e-6)
    assert "1.5 to 1" in texts(outcome)


# -- pleats and tucks ----------------------------------------------------------------------------------


def folds_of(piece, name):
    """The two fold lines: drawn lines of two ends that begin in the mouth."""
    found = [m.path for m in piece.marks if m.kind == INNER and m.name == name]
    assert len(found) == 2 and all(len(path) == 1 for path in found)
    return found


def test_a_waist_dart_becomes_a_pleat():
    """J26: 20 mm of cloth is a knife pleat 10 mm deep; its folds are parallel, half the dart long."""
    outcome = dart_into(alone(skirt_front()), dart="front-dart", into="pleat")
    piece, old = outcome.pattern.piece("skirt"), skirt_front().outline("")
    line = piece.outline("")
    name = next(n for n in line.names if "pleat" in n)
    left, right = sorted(folds_of(piece, name), key=lambda path: path.start[0])

    assert (left.start, left.end) == (pytest.approx((80.0, 0.0)), pytest.approx((80.0, 50.0)))
    assert (right.start, right.end) == (pytest.approx((100.0, 0.0)), pytest.approx((100.0, 50.0)))
    assert sewn(line, "waist") == pytest.approx(180.0, abs=1e-6), (
        "folded it is as long as with the dart closed"
    )
    # Upright folds beneath a level edge: what lies in them is level too.
    (mouth,) = line.runs(name)
    assert np.abs(mouth.curves[..., 1]).max() <= 1e-6
    assert not [f for f in outcome.report.findings if f.level >= Level.WARN]
    for edge in ("side", "hem", "centre"):
        assert sewn(line, edge) == pytest.approx(sewn(old, edge), abs=1e-6)
    assert legs(line, "side-dart").intake == pytest.approx(16.0)


@pytest.mark.parametrize(("press", "towards"), [("down", 1), ("up", 0)])
def test_the_top_of_a_pleat_is_as_the_edge_lies_in_its_folds(press, towards):
    """The edge beside it mirrored in the fold, up to the middle, and that half mirrored in the middle."""
    piece = legs_to_apex()
    after = dart_into(alone(piece), into="pleat", press=press).pattern.piece("front")
    dart, line = legs(piece.outline("")), after.outline("")
    name = next(n for n in line.names if "pleat" in n)
    mouth = Path(np.concatenate([run.curves for run in line.runs(name)]))
    axis = dart.mouth.mean(axis=0) - dart.point
    end, middle = dart.mouth[towards], dart.mouth.mean(axis=0)
    edge = piece.outline("").runs("side")[1] if towards else piece.outline("").runs("side")[0].reverse()
    half = shapely.LineString(dense(edge, 200))
    # Straight edges: where the mirrored edge meets the middle line, worked out by its slope.
    way = reflected(edge.end - edge.start, (0.0, 0.0), axis)
    across = np.array([-axis[1], axis[0]]) / np.hypot(*axis)
    peak = end + way * (abs((middle - end) @ across) / abs(way @ across))

    assert min(np.hypot(*(node - peak)) for node in mouth.nodes) <= 1e-3
    for spot in dense(mouth, 20):
        near = (
            spot
            if (spot - middle) @ across * ((end - middle) @ across) >= 0
            else reflected(spot[None], middle, middle + axis)[0]
        )
        assert half.distance(shapely.Point(reflected(near[None], end, end + axis)[0])) <= 0.05
    for fold in folds_of(after, name):
        assert abs(between(fold.end - fold.start, -axis)) <= 0.001
        assert ruler(fold) == pytest.approx(np.hypot(*axis) / 2, abs=0.5)


@pytest.mark.parametrize(("press", "laid"), [("centre", "to the side"), ("side", "to the centre")])
def test_a_pleat_says_where_its_intake_lies_and_where_the_fold_is_laid(press, laid):
    """The centre of the skirt is at the left, so an arrow to the right is one to the side."""
    outcome = dart_into(alone(skirt_front()), dart="front-dart", into="pleat", press=press)
    piece = outcome.pattern.piece("skirt")

    assert "the fold is laid {}, as the arrow shows".format(laid) in outcome.report.summary
    assert [m.text for m in piece.marks if m.kind == LABEL] == ["pleat 20 mm, intake to the " + press]
    (arrow,) = [m.path for m in piece.marks if m.name.endswith("-arrow")]
    assert (arrow.curves[0, 3, 0] > arrow.curves[0, 0, 0]) == (laid == "to the side")


@pytest.mark.parametrize("into", ["pleat", "tuck"])
def test_every_seam_keeps_its_length_with_the_folds_laid(into):
    outcome = dart_into(with_back(legs_to_apex()), picked(("front", "")), into=into, long=60.0)
    line = outcome.pattern.piece("front").outline("")

    for name, length in LENGTHS.items():
        assert sewn(line, name) == pytest.approx(length, abs=0.002), name
    assert not [f for f in outcome.report.findings if f.code == "seam"]
    mark = next(n for n in line.names if into in n)
    assert [ruler(p) for p in folds_of(outcome.pattern.piece("front"), mark)] == pytest.approx(
        [60.0, 60.0], abs=1e-6
    )
    assert outcome.pattern.piece("back") == with_back(legs_to_apex()).piece("back")


def test_a_tuck_in_the_back_shoulder():
    outcome = dart_into(pair(), picked(("back", "")), into="tuck", long=60.0)

    assert sewn(outcome.pattern.piece("back").outline(""), "shoulder") == pytest.approx(122.0, abs=1e-6)
    for word in ("8.0", "60", "tuck"):
        assert word in texts(outcome), word


def test_folds_longer_than_the_piece():
    """Told or refused: the piece is 300 mm long."""
    try:
        outcome = dart_into(pair(), picked(("back", "")), into="tuck", long=400.0)
    except InputError as error:
        assert "mm" in str(error)
    else:
        assert [f for f in outcome.report.findings if f.level >= Level.WARN]


# -- flare -------------------------------------------------------------------------------------------


@functools.lru_cache(maxsize=None)
def flared(share=100.0):
    return dart_into(alone(legs_to_apex()), into="flare", to="waist", share=share)


def test_the_dart_closes_and_the_hem_opens():
    """R1, 9 degrees, 175.149 mm below the apex: the gap is 27.484 straight across, 27.512 round."""
    line = flared().pattern.piece("front").outline("")
    gap = (2 * BELOW * math.sin(math.radians(4.5)), BELOW * math.radians(9.0))
    assert gap == pytest.approx((27.484, 27.513), abs=0.001)

    assert gap[0] - INVARIANT <= sewn(line, "waist") - 210.017 <= gap[1] + INVARIANT
    for name in ("neck", "shoulder", "armhole", "side", "centre"):
        assert sewn(line, name) == pytest.approx(LENGTHS[name], abs=0.002), name
    assert "dart" not in line.names and not flared().pattern.piece("front").darts


def test_the_paper_opens_by_a_sector_and_nothing_else():
    """Slashed straight down from the apex and turned: what is new lies between the parts, r^2 angle / 2."""
    piece = legs_to_apex()
    degrees = legs(piece.outline("")).angle
    wanted = slashed(sheet(R1), APEX, [((240.994, 308.222), (APEX[0], 440.149), -degrees)])
    found = sheet(flared().pattern.piece("front").outline("").path)

    assert wanted.difference(found).area <= AREA
    sector = BELOW**2 * math.radians(degrees) / 2
    assert found.difference(wanted).area == pytest.approx(sector, rel=0.01)


def test_the_hem_is_soft_and_square_to_the_slash():
    line = flared().pattern.piece("front").outline("")
    hem = line.edge_path("waist")

    assert np.abs(turns(hem)).max(initial=0.0) <= 1.0
    assert straight(line.edge_path("side")) <= 0.001


def test_flare_near_a_corner_is_one_soft_line_too():
    """Wherever the waist opens, its parts are turned by 9 degrees about the apex; so the hem bends by 9."""
    line = (
        dart_into(alone(legs_to_apex()), into="flare", to="waist", at="90%")
        .pattern.piece("front")
        .outline("")
    )
    ways = np.diff(dense(line.edge_path("waist"), 400), axis=0)
    ways = ways[np.hypot(*ways.T) > 1e-6]
    bends = np.degrees(np.diff(np.unwrap(np.arctan2(ways[:, 1], ways[:, 0]))))

    assert abs(bends.sum()) == pytest.approx(9.0, abs=0.01)
    assert np.abs(bends).sum() == pytest.approx(9.0, abs=0.05)
    assert sewn(line, "side") == pytest.approx(LENGTHS["side"], abs=0.002)


def test_flare_without_room_tells_its_step():
    """A drawn dart between the apex and the opening, whose feet stay on the waist."""
    piece = legs_to_apex()
    waist = piece.outline("").edge_path("waist")
    feet = [point_at(waist, share * ruler(waist)) for share in (0.24, 0.20)]
    point = (feet[0] + feet[1]) / 2 + (0.0, -12.0)
    drawn_dart = Mark(DART, "small", "", Path.through([feet[0], point, feet[1]]))
    piece = piece._replace(marks=(*piece.marks, drawn_dart))

    outcome = dart_into(alone(piece), dart="dart", into="flare", to="waist", at="90%")

    (told,) = [f for f in outcome.report.findings if f.code == "step"]
    assert told.level == Level.WARN and "mm" in told.text
    after = outcome.pattern.piece("front").outline("").edge_path("waist")
    for foot in feet:
        assert shapely.LineString(dense(after, 400)).distance(shapely.Point(foot)) <= 0.01


def test_half_of_it():
    line = flared(50.0).pattern.piece("front").outline("")

    assert legs(line).angle == pytest.approx(4.5, abs=0.001)
    assert legs(line).intake == pytest.approx(11.955, abs=TABLE)
    assert sewn(line, "waist") == pytest.approx(210.017 + BELOW * math.radians(4.5), abs=INVARIANT)


def test_a_waist_dart_becomes_flare_of_the_hem():
    """The skirt of 600 mm, dart 100 mm deep, 2 atan(0.1): the hem opens about 500 mm below."""
    outcome = dart_into(alone(skirt_front()), dart="front-dart", into="flare")
    line, old = outcome.pattern.piece("skirt").outline(""), skirt_front().outline("")
    degrees = 2 * math.atan(0.1)

    assert sewn(line, "waist") == pytest.approx(sewn(old, "waist"), abs=1e-6)
    assert sewn(line, "hem") == pytest.approx(270.0 + 500.0 * degrees, abs=INVARIANT)
    assert sewn(line, "side") == pytest.approx(sewn(old, "side"), abs=1e-6)
    assert legs(line, "side-dart").angle == pytest.approx(legs(old, "side-dart").angle, abs=1e-6)


def test_flare_and_back():
    """J20: taken in at the hem by what it gained, the angle is a dart again."""
    gained = sewn(flared().pattern.piece("front").outline(""), "waist") - 210.017
    line = (
        dart_turn(
            flared().pattern,
            to="side",
            at="55",
            gape="waist",
            gape_at="{:.3f}".format(95.0 + gained / 2),
            amount=gained,
        )
        .pattern.piece("front")
        .outline("")
    )
    new = next(name for name in line.names if name not in LENGTHS)

    assert darts(line, new)[0].angle == pytest.approx(9.0, abs=0.1)
    assert sewn(line, "waist") == pytest.approx(210.017, abs=0.3)
    assert sewn(line, "side") == pytest.approx(190.515, abs=0.002)


# -- a panel seam --------------------------------------------------------------------------------------


@functools.lru_cache(maxsize=None)
def panelled():
    """R1 on the fold, its back sewn to it; along the dart to the apex and on to the middle of the waist."""
    front = legs_to_apex(marks=own_marks())
    return dart_into(
        with_back(front), picked(("front", "")), into="seam", to="waist", at="50%", called="panel"
    )


def two_parts(outcome, others=("back",)):
    parts = [p for p in outcome.pattern.pieces if p.name not in others]
    assert len(parts) == 2, [p.name for p in outcome.pattern.pieces]
    return sorted(parts, key=lambda p: -sheet(p.outlines[0].path).area)


def test_the_cloth_of_both_parts_is_that_of_the_whole():
    """Cut along the dart and the new line: nothing is added and nothing is lost."""
    centre, side = two_parts(panelled())
    papers = [sheet(p.outline("").path) for p in (centre, side)]

    assert papers[0].area + papers[1].area == pytest.approx(sheet(R1).area, abs=AREA)
    assert centre.folds == ("centre",) and not side.folds
    assert not centre.darts and not side.darts


def test_both_panel_edges_are_equal_above_and_below_the_apex():
    """J14: +-0.5 mm; on R1 a leg of 152.258 and sqrt(10.009^2 + 175.149^2) on both."""
    below = math.hypot(210.017 / 2 - APEX[0], BELOW)
    for piece in two_parts(panelled()):
        line = piece.outline("")
        assert sewn(line, "panel") == pytest.approx(152.258 + below, abs=0.002)
        apex = [m for m in piece.marks if m.kind == NOTCH and m.name == "apex"]
        assert len(apex) == 1
        length = sewn(line, "panel")
        on = apex[0].on
        from_start = length - on.distance if on.from_end else on.distance
        assert min(abs(from_start - 152.258), abs(from_start - below)) <= 0.01


def test_notches_of_the_panel_meet():
    """J32: the same distances from the apex on both edges."""
    found = []
    for piece in two_parts(panelled()):
        line = piece.outline("")
        start = line.runs("panel")[0].start
        ends_at_waist = start[1] > 400.0
        spots = []
        for m in piece.marks:
            if m.kind == NOTCH and m.on.edge == "panel":
                far = sewn(line, "panel") - m.on.distance if m.on.from_end else m.on.distance
                spots.append(sewn(line, "panel") - far if ends_at_waist else far)
        found.append(sorted(spots))

    assert len(found[0]) >= 1 and found[0] == pytest.approx(found[1], abs=0.01)


def test_the_new_seam_is_kept_and_the_back_still_fits():
    pattern = panelled().pattern
    pairs = [{str(ref).split("!")[0] for ref in seam.refs} for seam in pattern.seams]

    assert any(len([r for r in pair if r.endswith("/panel")]) == 2 for pair in pairs), pairs
    assert not [f for f in panelled().report.findings if f.code == "seam" and f.level >= Level.WARN]
    # The side of the back is sewn to what is left of it on both parts.
    sides = [s for s in pattern.seams if s.touches("back", "side")]
    assert len(sides) == 1 and len(sides[0].refs) == 3
    lengths = [sewn(p.outline(""), "side") for p in two_parts(panelled())]
    assert sum(lengths) == pytest.approx(190.515, abs=0.002)


def test_marks_go_to_the_part_they_lie_on_and_the_grain_to_both():
    """The button and the pocket are above the dart, on the centre's part."""
    centre, side = two_parts(panelled())

    for name in ("button", "pocket"):
        assert [m for m in centre.marks if m.kind == DRILL and m.name == name]
        assert not [m for m in side.marks if m.kind == DRILL and m.name == name]
    way = one(side, GRAIN).shaft
    assert abs((way.end - way.start)[0]) / np.hypot(*(way.end - way.start)) <= math.sin(math.radians(0.2))
    assert one(centre, GRAIN) == one(legs_to_apex(marks=own_marks()), GRAIN)
    names = {m.name for m in centre.marks if m.kind == NOTCH} | {
        m.name for m in side.marks if m.kind == NOTCH
    }
    assert {"1", "2", "3"} <= names


def test_from_one_dart_to_another():
    """Shoulder dart and waist dart of one apex: both vanish, the panel edges are their legs."""
    two = dart_turn(
        alone(legs_to_apex()), to="shoulder waist", shares="60 40", called="shoulder-dart waist-dart"
    ).pattern
    line = two.piece("front").outline("")
    lengths = legs(line, "shoulder-dart").lengths[0] + legs(line, "waist-dart").lengths[0]
    outcome = dart_into(two, dart="shoulder-dart", into="seam", to="waist-dart", called="panel")
    parts = two_parts(outcome)

    for piece in parts:
        assert sewn(piece.outline(""), "panel") == pytest.approx(lengths, abs=0.01)
        assert not piece.darts
    assert sum(sheet(p.outline("").path).area for p in parts) == pytest.approx(
        sheet(line.path).area, abs=AREA
    )
    for name in ("neck", "armhole", "side", "centre"):
        held = [p for p in parts if name in p.outline("").names]
        assert len(held) == 1 and sewn(held[0].outline(""), name) == pytest.approx(LENGTHS[name], abs=0.002)
    for name in ("shoulder", "waist"):
        assert sum(sewn(p.outline(""), name) for p in parts) == pytest.approx(LENGTHS[name], abs=0.002)


def test_a_skirt_in_two_panels():
    """From the front dart straight down to the hem, where nobody says otherwise: 100.499 + 500 on both."""
    outcome = dart_into(alone(skirt_front()), dart="front-dart", into="seam", called="panel")
    parts = two_parts(outcome)

    for piece in parts:
        assert sewn(piece.outline(""), "panel") == pytest.approx(math.hypot(10, 100) + 500.0, abs=1e-6)
    assert [p.darts for p in parts].count(("side-dart",)) == 1
    assert sum(sewn(p.outline(""), "hem") for p in parts) == pytest.approx(270.0, abs=1e-6)


def test_a_panel_seam_in_every_size():
    outcome = dart_into(alone(nest()), into="seam", to="waist", at="50%", called="panel")
    parts = two_parts(outcome)

    for size, factor in SIZES.items():
        below = math.hypot(210.017 / 2 - APEX[0], BELOW)
        for piece in parts:
            assert sewn(piece.outline(size), "panel") == pytest.approx((152.258 + below) * factor, abs=0.002)


def test_a_seam_that_cannot_be():
    """Both ends on one edge, or an edge that is not there."""
    for values in ({"to": "side", "at": "150"}, {"to": "hem"}):
        with pytest.raises(InputError) as told:
            dart_into(alone(legs_to_apex()), into="seam", **values)
        assert told.value.what.rstrip().endswith(".") and values["to"] in str(told.value)


# -- what goes with it ---------------------------------------------------------------------------------


def test_marks_go_with_the_cloth():
    """Eased, nothing moves; for flare the part beside the side turns about the apex."""
    piece = legs_to_apex(marks=own_marks())
    still = dart_into(alone(piece)).pattern.piece("front")
    swung = dart_into(alone(piece), into="flare", to="waist").pattern.piece("front")

    for name in ("apex", "button", "pocket"):
        assert one(still, DRILL, name) == one(piece, DRILL, name)
        assert one(swung, DRILL, name) == one(piece, DRILL, name), "above the dart all stays"
    assert one(swung, GRAIN) == one(piece, GRAIN) and one(still, GRAIN) == one(piece, GRAIN)
    for name, wanted in (("1", 100.0), ("2", 30.0)):
        on = one(swung, NOTCH, name).on
        length = sewn(swung.outline(""), on.edge)
        assert (length - on.distance if on.from_end else on.distance) == pytest.approx(wanted, abs=0.002)


def test_notches_beside_an_eased_mouth_stay_on_their_spots():
    """30 mm from the underarm and 50 mm from the waist, as before."""
    piece = legs_to_apex(marks=own_marks())
    after = dart_into(alone(piece)).pattern.piece("front")

    for name in ("2", "3"):
        old = spot_of(piece.outline(""), one(piece, NOTCH, name).on).point
        new = spot_of(after.outline(""), one(after, NOTCH, name).on).point
        assert new == pytest.approx(tuple(old), abs=1e-6)


def test_every_size_of_a_nest():
    outcome = dart_into(alone(nest()), into="flare", to="waist")

    for size, factor in SIZES.items():
        line = outcome.pattern.piece("front").outline(size)
        assert sewn(line, "waist") == pytest.approx((210.017 + 27.5) * factor, abs=INVARIANT)
        assert sewn(line, "side") == pytest.approx(190.515 * factor, abs=0.002)


@pytest.mark.parametrize(("frame", "other"), [("turned by 37", True), ("mirrored", False)])
@pytest.mark.parametrize("values", [{"into": "ease"}, {"into": "flare", "to": "waist"}])
def test_it_is_the_same_wherever_it_lies_and_however_it_is_drawn(values, frame, other):
    piece = standoff()
    wanted = moved(dart_into(alone(piece), **values).pattern, FRAMES[frame]).piece("front").outline("").path
    pattern = moved(alone(reversed_piece(piece) if other else piece), FRAMES[frame])
    path = dart_into(pattern, **values).pattern.piece("front").outline("").path

    assert far_apart(path.reverse() if other else path, wanted) <= 1e-6


def test_an_outline_nobody_named():
    outcome = dart_into(bare(R1, "shape"), picked(("shape", "")), into="ease")
    piece = outcome.pattern.piece("shape")
    wanted = dart_into(alone(legs_to_apex()), into="ease").pattern.piece("front").outline("").path

    assert far_apart(piece.outlines[0].path, wanted) <= 1e-6
    assert not piece.darts and all(name.isdecimal() for name in piece.outlines[0].names)


def test_a_drawn_dart_goes_too():
    outcome = dart_into(alone(drawn("centre")), into="ease")
    piece = outcome.pattern.piece("front")

    assert not [m for m in piece.marks if m.kind == DART] and not piece.darts
    assert sewn(piece.outline(""), "side") == pytest.approx(190.515 + 23.9, abs=0.5)


def test_the_table_tells_dart_and_edge():
    table = edges_table(eased())

    assert table["back", "shoulder"] == pytest.approx((122.0, 130.0), abs=0.01)
    assert {name for _, name in table} == {"shoulder"}
    assert [t for t in eased().report.tables if t.title.startswith("Darts")]
    assert eased().report.summary.endswith(".") and "8.0" in eased().report.summary


def test_a_dart_turned_first_and_eased_then():
    """Half of R1's dart at the shoulder: 19.238 mm there are too much as well, and it says so."""
    two = dart_turn(alone(legs_to_apex()), to="shoulder", share=50.0, called="shoulder-dart").pattern
    outcome = dart_into(two, dart="shoulder-dart", into="ease")
    line = outcome.pattern.piece("front").outline("")

    assert legs(line, "dart").intake == pytest.approx(11.955, abs=TABLE)
    assert sewn(line, "shoulder") >= 128.160 + 19.238 - 0.01
    assert "ease-much" in codes(outcome)


# -- errors --------------------------------------------------------------------------------------------


def refused(pattern, chosen=None, **values):
    return refusal(dart_into, pattern, chosen, **values)


def test_no_dart_and_no_such_dart():
    assert refused(alone(drawn()._replace(marks=())))[0] == "dart"
    code, text = refused(alone(legs_to_apex()), dart="waist-dart")
    assert code == "dart" and "waist-dart" in text


def test_over_more_than_the_seam_has():
    """Refused, or told with what was asked."""
    try:
        outcome = dart_into(pair(), picked(("back", "")), over=500.0)
    except InputError as error:
        told = str(error)
    else:
        told = " ".join(f.text for f in outcome.report.findings)

    assert "500" in told and "shoulder" in told


def test_flare_at_an_edge_that_is_not_there():
    _, text = refused(alone(legs_to_apex()), into="flare", to="hem")

    assert "hem" in text and "waist" in text


def test_a_part_of_it_is_no_ease():
    refused(alone(legs_to_apex()), share=50.0)


def test_flare_at_a_place_that_the_pivot_does_not_see():
    refused(alone(skirt_front()), dart="front-dart", into="flare", to="side", at="2")


def test_the_pieces_are_what_the_tests_say():
    assert legs(back_panel().outline("")).intake == 8.0
    assert sewn(back_panel().outline(""), "shoulder") == 122.0
    assert ruler(R1.part(3, 4)) == pytest.approx(np.hypot(*np.subtract(D1, (250.0, 230.0))), abs=1e-9)
