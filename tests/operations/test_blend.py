"""Blending between size lines: the reference skirt R4, both customs, every way to ask."""

import itertools
import math
import pathlib

import numpy as np
import pytest

from sewkit.checks.seams import seam_report
from sewkit.errors import InputError
from sewkit.geometry.length import path_length, point_at
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, end_tangents, is_line, start_tangents, turns
from sewkit.geometry.transform import mirror, move, scale, turn
from sewkit.operations.blend import blend
from sewkit.pattern.chosen import Chosen, PickedNode, PickedOutline
from sewkit.pattern.dart import darts_of
from sewkit.pattern.mark import NOTCH, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.operations.pieces import (
    R4,
    bare_piece,
    dense,
    level,
    moved,
    named_outline,
    notch,
    outline,
    r4_path,
    r4_piece,
    split,
)

shapely = pytest.importorskip("shapely")


def skirt(seam="side=back/side", **more):
    front, back = r4_piece("front", **more.get("front", {})), r4_piece("back", **more.get("back", {}))
    return Pattern((front, back), parse_seams(seam, "front"))


GRAIN = {"first": "4", "then": "6", "edge": "side", "until": "hips", "measure": "grain", "lead": 50.0}
EDGE = {"first": "4", "then": "6", "edge": "side", "until": "hips", "lead": 50.0}


def line(outcome, piece, size="4-to-6"):
    return outcome.pattern.piece(piece).outline(size)


def side(outcome, piece, size="4-to-6"):
    return line(outcome, piece, size).edge_path("side")


def codes(outcome):
    return {finding.code for finding in outcome.report.findings}


def x_at(path, y):
    """Where an edge crosses a height, by Shapely."""
    ray = shapely.LineString([(-1000, y), (1000, y)])
    return ray.intersection(shapely.LineString(dense(path, 2000))).x


# -- R4, the reference --------------------------------------------------------------------


def worked(small, large, share=1.0):
    """R4 from its formula, without sewkit: points of the blended side from waist to hem.

    A size (xw, xh, xm) runs as one cubic (xw, 0) (xw + 0.55 (xh - xw), 70) (xh, 130)
    (xh, 200) and on straight to (xm, 600); both sizes have the same height at the same
    parameter.  w = u^2 (3 - 2 u) with u = (y - 50) / 150 within 0..1.
    """
    t = np.linspace(0.0, 1.0, 100001)
    bernstein = np.stack([(1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3])

    def across(size):
        xw, xh, xm = size
        curve = np.array([xw, xw + 0.55 * (xh - xw), xh, xh]) @ bernstein
        return np.concatenate([curve, xh + (xm - xh) * t])

    y = np.concatenate([np.array([0.0, 70.0, 130.0, 200.0]) @ bernstein, 200.0 + 400.0 * t])
    u = np.clip((y - 50.0) / 150.0, 0.0, 1.0)
    return across(small) + share * u * u * (3 - 2 * u) * (across(large) - across(small)), y


def worked_length(*sizes, **share):
    x, y = worked(*sizes, **share)
    return float(np.hypot(np.diff(x), np.diff(y)).sum())


FRONT = ((180, 236, 240), (190, 246, 250))
BACK = ((190, 246, 250), (202, 258, 262))


def test_the_reference_skirt_has_the_lengths_worked_from_its_formula():
    """R4: 609.359 before, 611.994 and 612.604 after; window 50 to 200 down the grain."""
    before = skirt()
    for piece, sizes in (("front", FRONT), ("back", BACK)):
        wanted = worked_length(*sizes, share=0.0)
        assert wanted == pytest.approx(609.359, abs=0.001)
        assert before.piece(piece).outline("4").as_sewn("side") == pytest.approx(wanted, abs=0.001)

    outcome = blend(before, **GRAIN)

    for piece, sizes, told in (("front", FRONT, 611.994), ("back", BACK, 612.604)):
        assert worked_length(*sizes) == pytest.approx(told, abs=0.002)
        assert line(outcome, piece).as_sewn("side") == pytest.approx(worked_length(*sizes), abs=0.01)


def test_the_guard_tells_that_front_and_back_grew_apart():
    told = [f for f in blend(skirt(), **GRAIN).report.findings if f.code == "seam"]

    assert len(told) == 1
    assert told[0].level == Level.WARN
    assert "0.6 mm longer" in told[0].text


@pytest.mark.parametrize(
    ("y", "x"), [(50, 201.364), (100, 222.143), (125, 231.547), (150, 239.148), (200, 246.000)]
)
def test_the_reference_skirt_passes_through_the_points_worked_by_hand(y, x):
    at, heights = worked(*FRONT)
    assert np.interp(y, heights, at) == pytest.approx(x, abs=0.001)
    assert x_at(side(blend(skirt(), **GRAIN), "front"), y) == pytest.approx(x, abs=0.01)


def test_forty_percent_of_the_way():
    """R4 at 40 %: hip 240.000, length 610.328."""
    outcome = blend(skirt(), share=40.0, **GRAIN)

    assert x_at(side(outcome, "front"), 200.0) == pytest.approx(240.000, abs=0.005)
    assert worked_length(*FRONT, share=0.4) == pytest.approx(610.328, abs=0.002)
    assert line(outcome, "front").as_sewn("side") == pytest.approx(worked_length(*FRONT, share=0.4), abs=0.01)


def test_no_share_is_the_first_line_itself():
    made, first = line(blend(skirt(), share=0.0, **EDGE), "front"), skirt().piece("front").outline("4")

    assert all(apart(made.edge_path(name), first.edge_path(name)) < 0.01 for name in first.names)


# -- what a blend promises ----------------------------------------------------------------


@pytest.mark.parametrize("values", [GRAIN, EDGE], ids=["grain", "edge"])
@pytest.mark.parametrize("custom", ["long", "short"])
def test_outside_the_span_the_line_is_exactly_its_parent(values, custom):
    before = skirt()
    outcome = blend(before, **dict(values, custom=custom))
    made = side(outcome, "front")
    small, large = (before.piece("front").outline(size).edge_path("side") for size in ("4", "6"))

    # The last curve, below the hips, is the straight one of size 6; the first ones lie on size 4.
    assert np.array_equal(made.curves[-1], large.curves[-1])
    first = made.curves[0]
    for spot in dense(Path(first[None]), 20):
        assert nearest(small, spot).distance < 1e-9
    others = [n for n in line(outcome, "front").names if n != "side"]
    for name in others:
        parent = "4" if name == "waist" else "6"
        kept = before.piece("front").outline(parent).edge_path(name)
        if name in ("waist", "hem"):
            assert line(outcome, "front").edge_path(name) == kept


@pytest.mark.parametrize("values", [GRAIN, EDGE], ids=["grain", "edge"])
@pytest.mark.parametrize(
    ("custom", "lead", "leaves", "arrives"),
    # Long leaves 50 mm below the waist and arrives at the hips; short leaves 50 mm above the hips.
    [("long", 50.0, 50.0, 200.0), ("short", 50.0, 150.0, 200.0), ("short", 120.0, 80.0, 200.0)],
)
def test_both_customs_leave_and_arrive_where_they_say(values, custom, lead, leaves, arrives):
    before = skirt()
    made = side(blend(before, **dict(values, custom=custom, lead=lead)), "front")
    small, large = (before.piece("front").outline(size).edge_path("side") for size in ("4", "6"))
    if values is EDGE:  # then the distances count along size 4
        whole = shapely.LineString(dense(small, 2000))
        end = whole.project(shapely.Point(236, 200))
        leaves = whole.interpolate(lead if custom == "long" else end - lead).y
    assert nearest(small, point_near(made, leaves - 2)).distance < 1e-5
    assert nearest(small, point_near(made, leaves + 10)).distance > 1e-3
    assert nearest(large, point_near(made, arrives - 10)).distance > 1e-3
    assert nearest(large, point_near(made, arrives + 2)).distance < 1e-5


def point_near(path, y):
    return np.array([x_at(path, y), y])


@pytest.mark.parametrize("values", [GRAIN, EDGE], ids=["grain", "edge"])
@pytest.mark.parametrize("custom", ["long", "short"])
@pytest.mark.parametrize("share", [100.0, 40.0])
def test_the_line_runs_smoothly_and_stays_inside_the_nest(values, custom, share):
    before = skirt()
    made = side(blend(before, **dict(values, custom=custom, share=share)), "front")
    small, large = (before.piece("front").outline(size).edge_path("side") for size in ("4", "6"))
    limit = max(np.abs(turns(parent)).max() for parent in (small, large))  # the parents' own kink at the hips

    assert np.abs(turns(made)).max() <= limit + 0.05
    strip = shapely.Polygon(np.concatenate([dense(small), dense(large)[::-1]])).buffer(0.011)
    assert strip.contains(shapely.LineString(dense(made, 50)))


def test_a_straight_ruler_line_would_have_left_the_nest():
    """R4: the ruler from waist 4 to hip 6 runs 6.550 mm inside size 4 at mid-height; the blend never does."""
    made, small = (
        side(blend(skirt(), **GRAIN), "front"),
        skirt().piece("front").outline("4").edge_path("side"),
    )

    assert x_at(small, 100.0) - (180 + (246 - 180) / 2) == pytest.approx(6.550, abs=0.001)
    for y in range(0, 601, 25):
        assert x_at(made, min(max(y, 0.01), 599.99)) >= x_at(small, min(max(y, 0.01), 599.99)) - 0.01


def test_the_old_lines_stay_and_the_master_is_not_touched():
    before = skirt()
    outcome = blend(before, **EDGE)

    assert before == skirt()
    for piece in ("front", "back"):
        assert outcome.pattern.piece(piece).outlines[:2] == before.piece(piece).outlines


def test_twice_the_same_gives_the_same():
    assert blend(skirt(), **EDGE) == blend(skirt(), **EDGE)


def test_a_second_blend_gets_a_name_of_its_own():
    once = blend(skirt(), **EDGE)
    twice = blend(once.pattern, **dict(EDGE, lead=20.0))

    assert twice.pattern.piece("front").sizes == ("4", "6", "4-to-6", "4-to-6-2")
    with pytest.raises(InputError, match="is one of the sizes already"):
        blend(once.pattern, called="4-to-6", **EDGE)


# -- ways to say where --------------------------------------------------------------------


def chosen_lines(*sizes, piece="front", nodes=()):
    return Chosen(
        tuple(PickedOutline(piece, size) for size in sizes),
        tuple(PickedNode(piece, size, tuple(map(float, point))) for size, point in nodes),
    )


def test_the_two_selected_lines_are_left_and_reached_in_order():
    words = {k: v for k, v in EDGE.items() if k not in ("first", "then")}

    picked = blend(skirt(), chosen_lines("4", "6"), **words)
    back = blend(skirt(), chosen_lines("6", "4"), **words)
    swapped = blend(skirt(), chosen_lines("6", "4"), swap=True, **words)

    assert side(picked, "front") == side(blend(skirt(), **EDGE), "front")
    assert side(swapped, "front") == side(picked, "front")
    assert side(back, "front", "6-to-4") == side(
        blend(skirt(), **dict(EDGE, first="6", then="4")), "front", "6-to-4"
    )


@pytest.mark.parametrize("which", list(itertools.product("46", "46")), ids="".join)
def test_the_span_between_two_nodes_of_either_line(which):
    """Waist corner to hips: the node may be clicked on either line."""
    spots = {"4": ((180, 0), (236, 200)), "6": ((190, 0), (246, 200))}
    nodes = [(which[0], spots[which[0]][0]), (which[1], spots[which[1]][1])]

    outcome = blend(skirt(), chosen_lines("4", "6", nodes=nodes))
    words = blend(skirt(), **dict(EDGE, lead=0.0))

    # The hips of size 6 are found by their share of the edge, so a little off size 4's.
    assert len(side(outcome, "front")) > 0
    assert apart(side(outcome, "front"), side(words, "front")) < (1e-6 if which[1] == "4" else 0.2)


def apart(one, other):
    lines_ = [shapely.LineString(dense(path, 200)) for path in (one, other)]
    return max(
        max(b.distance(shapely.Point(p)) for p in dense(a, 20))
        for a, b in ((one, lines_[1]), (other, lines_[0]))
    )


def test_the_first_click_is_where_the_old_line_is_left():
    up = [("4", (236, 200)), ("4", (180, 0))]

    outcome = blend(skirt(), chosen_lines("4", "6", nodes=up))
    made = side(outcome, "front")

    assert np.allclose(made.start, (190, 0), atol=1e-9)  # size 6 at the waist
    assert np.allclose(made.end, (240, 600), atol=1e-9)  # size 4 at the hem
    assert "hem" in line(outcome, "front").names and line(outcome, "front").edge_path("hem").start[0] == 240


@pytest.mark.parametrize("count", [1, 3])
def test_one_node_or_three_are_not_a_span(count):
    nodes = [("4", (180, 0)), ("4", (236, 200)), ("4", (240, 600))][:count]

    with pytest.raises(InputError, match="{} node".format(count)):
        blend(skirt(), chosen_lines("4", "6", nodes=nodes))


def test_nodes_on_different_edges_are_not_a_span():
    with pytest.raises(InputError, match="do not lie on one edge"):
        blend(skirt(), chosen_lines("4", "6", nodes=[("4", (0, 0)), ("4", (240, 600))]))


def test_lengths_do_as_well_as_levels():
    by_length = blend(skirt(), **dict(GRAIN, until="20cm"))

    assert apart(side(by_length, "front"), side(blend(skirt(), **GRAIN), "front")) < 1e-6


def test_without_a_landmark_the_line_arrives_at_the_end_of_the_edge():
    made = side(blend(skirt(), **dict(EDGE, until="")), "front")

    assert np.allclose(made.end, (250, 600), atol=1e-9)
    assert (
        nearest(skirt().piece("front").outline("6").edge_path("side"), point_near(made, 500)).distance > 0.1
    )


# -- several sizes in a row ---------------------------------------------------------------


def pear(grades=((180, 236, 240), (190, 246, 250), (202, 262, 268))):
    """One panel in sizes 4, 5 and 7 with the levels of a body: waist, hips."""
    outlines = [
        named_outline(r4_path(*girths), "waist side hem centre", size) for girths, size in zip(grades, "457")
    ]
    marks = [level(word, y, size) for size in "457" for word, y in (("waist", 100.0), ("hips", 320.0))]
    front = Piece("front", tuple(outlines), marks=tuple(marks), folds=("centre",))
    return Pattern((front, front._replace(name="lining")), parse_seams("side=lining/side", "front"))


def test_a_chain_leaves_four_reaches_five_at_the_waist_and_seven_at_the_hips():
    outcome = blend(pear(), first="4", then="5 7", edge="side", until="waist hips", lead=50.0, called="P01")
    made = side(outcome, "front", "P01")
    parents = {size: pear().piece("front").outline(size).edge_path("side") for size in "457"}

    assert nearest(parents["4"], point_near(made, 40)).distance < 1e-6
    assert nearest(parents["5"], point_near(made, 100)).distance < 0.02
    assert nearest(parents["7"], point_near(made, 330)).distance < 1e-6
    assert nearest(parents["7"], point_near(made, 500)).distance < 1e-6
    assert outcome.pattern.piece("front").sizes == ("4", "5", "7", "P01")
    assert side(outcome, "lining", "P01") == made
    assert np.abs(turns(made)).max() < 1.0 + np.abs(turns(parents["7"])).max()
    # Three sizes on one edge: the reference case wants an amber note.
    assert "many-sizes" in codes(outcome)


def test_a_chain_wants_a_landmark_for_each_size():
    with pytest.raises(InputError, match="landmark"):
        blend(pear(), first="4", then="5 7", edge="side", until="")
    with pytest.raises(InputError, match="landmark"):
        blend(pear(), first="4", then="5", edge="side", until="waist hips")


def test_nodes_and_a_chain_do_not_go_together():
    chosen = chosen_lines("4", "5", nodes=[("4", (180, 0)), ("4", (236, 200))])
    with pytest.raises(InputError, match="one span"):
        blend(pear(), chosen, first="4", then="5 7", until="waist hips")


# -- partners and followers ---------------------------------------------------------------


@pytest.mark.parametrize(
    "back", [{}, {"mirrored": True}, {"turned": True}, {"mirrored": True, "turned": True}]
)
@pytest.mark.parametrize("values", [GRAIN, EDGE], ids=["grain", "edge"])
def test_the_partner_swings_from_the_same_meeting_point_however_it_is_drawn(back, values):
    # All four drawings keep the side running from the waist to the hem.
    outcome = blend(skirt(back=back), **values)
    plain = blend(skirt(), **values)

    assert path_length(side(outcome, "back")) == pytest.approx(path_length(side(plain, "back")), abs=0.005)
    assert codes(outcome) == codes(plain)


@pytest.mark.parametrize("values", [GRAIN, EDGE], ids=["grain", "edge"])
def test_a_partner_that_runs_the_other_way_is_told_by_turned(values):
    """The back drawn counter-clockwise: its side runs from the hem up to the waist."""
    pattern = skirt("side=back/side,turned")
    back = pattern.piece("back")
    turned = tuple(named_outline(o.path.reverse(), "centre hem side waist", o.size) for o in back.outlines)
    pattern = pattern.with_piece(back._replace(outlines=turned))

    outcome, plain = blend(pattern, **values), blend(skirt(), **values)

    assert apart(side(outcome, "back"), side(plain, "back")) < 1e-6
    assert codes(outcome) == codes(plain)


def test_partners_stay_when_they_are_not_taken_along():
    outcome = blend(skirt(), partners=False, **EDGE)

    assert outcome.pattern.piece("front").sizes == ("4", "6", "4-to-6")
    assert outcome.pattern.piece("back").sizes == ("4", "6")


def facing(turned=False, levels=True):
    """A waist facing 60 mm deep in both sizes; it has no side of its own to swing."""
    outlines, marks = [], []
    way = turn(180.0).then(move(0.0, 900.0)) if turned else turn(0.0)
    for size, x in (("4", 180), ("6", 190)):
        path = way.path(Path.through([(0, 0), (x, 0), (x + 20, 60), (0, 60)], closed=True))
        outlines.append(named_outline(path, "top end bottom fold", size))
        if levels:
            for word, y in (("hips", 200.0), ("knee", 500.0)):
                marks.append(Mark("level", word, size, way.path(Path.through([(-20.0, y), (320.0, y)]))))
    return Piece("facing", tuple(outlines), marks=tuple(marks))


@pytest.mark.parametrize("turned", [False, True])
def test_a_facing_without_the_edge_follows_at_the_same_height(turned):
    """The span begins 40 mm below the waist, so the facing's end swings over its last 20 mm."""
    pattern = skirt()
    pattern = pattern._replace(pieces=pattern.pieces + (facing(turned),))

    outcome = blend(pattern, **dict(GRAIN, lead=10.0))
    made = line(outcome, "facing")

    small = pattern.piece("facing").outline("4")
    assert made.edge_path("top") == small.edge_path("top")
    assert "follow" in outcome.report.summary


def test_a_facing_that_reaches_below_the_span_arrives_with_it():
    pattern = skirt()
    long = facing()
    stretched = tuple(o._replace(path=scale(1.0, 6.0).path(o.path)) for o in long.outlines)
    pattern = pattern._replace(pieces=pattern.pieces + (long._replace(outlines=stretched),))

    made = line(blend(pattern, **GRAIN), "facing")

    assert np.allclose(made.edge_path("top").end, (180, 0))
    assert np.allclose(made.edge_path("bottom").start, (210, 360))


def test_a_piece_without_a_level_in_common_is_told_and_left():
    pattern = skirt()
    pattern = pattern._replace(pieces=pattern.pieces + (facing(levels=False),))

    outcome = blend(pattern, **EDGE)
    told = [f for f in outcome.report.findings if f.code == "not-followed"]

    assert [f.where for f in told] == ["facing"] and told[0].level == Level.FAIL
    assert "level" in told[0].text
    assert outcome.pattern.piece("facing") == pattern.piece("facing")
    assert "facing" not in outcome.report.summary


def test_a_follower_whose_sizes_do_not_match_is_told_and_left():
    pattern = skirt()
    odd = facing()
    odd = odd._replace(
        outlines=(
            odd.outlines[0],
            named_outline(outline((0, 0), (190, 0), (100, 60), (0, 0)), "top end fold", "6"),
        )
    )
    pattern = pattern._replace(pieces=pattern.pieces + (odd,))

    outcome = blend(pattern, **EDGE)

    assert "not-followed" in codes(outcome)
    assert "4-to-6" in outcome.pattern.piece("front").sizes


def shouldered(size, wider):
    """A front with a shoulder sloping by 20 degrees; the larger size is wider and longer."""
    w = 1.0 + wider / 100.0
    tip = (60 * w + 120 * w, 44 * w)
    path = outline((0, 80), (60 * w, 0), tip, (220 * w, 230), (220 * w, 450), (0, 450), (0, 80))
    return named_outline(path, "neck shoulder armhole side hem centre", size)


def test_a_shoulder_swings_from_the_neck_of_one_size_to_the_armhole_of_the_other():
    """The neck and the centre stay, armhole and side change, the hem follows between."""
    pattern = Pattern((Piece("front", (shouldered("4", 0.0), shouldered("6", 6.0))),))
    small, large = pattern.piece("front").outlines

    made = line(blend(pattern, first="4", then="6", edge="shoulder", lead=20.0, until="100mm"), "front")

    for name, parent in (("neck", small), ("centre", small), ("armhole", large), ("side", large)):
        assert apart(made.edge_path(name), parent.edge_path(name)) < 1e-6, name
    assert np.allclose(made.edge_path("hem").start, (220 * 1.06, 450))
    with pytest.raises(InputError, match="across the grain"):
        blend(pattern, first="4", then="6", edge="shoulder", lead=20.0, until="100mm", measure="grain")


# -- notches and levels -------------------------------------------------------------------


def test_notches_keep_their_distance_from_the_meeting_end_on_both():
    pattern = skirt("side=back/side,turned")
    back = pattern.piece("back")
    turned = tuple(named_outline(o.path.reverse(), "centre hem side waist", o.size) for o in back.outlines)
    front = pattern.piece("front")
    length = {s: front.outline(s).as_sewn("side") for s in "46"}
    pattern = Pattern(
        (
            front._replace(marks=front.marks + tuple(notch("side", 300.0, False, "1", s) for s in "46")),
            back._replace(
                outlines=turned,
                # Drawn the other way, the same place is said from the edge's start.
                marks=back.marks + tuple(notch("side", length[s] - 300.0, False, "1", s) for s in "46"),
            ),
        ),
        pattern.seams,
    )

    outcome = blend(pattern, **EDGE)

    for name in ("front", "back"):
        made = next(m for m in outcome.pattern.piece(name).marks if m.kind == NOTCH and m.size == "4-to-6")
        run = side(outcome, name)
        run = run if name == "front" else run.reverse()  # from the waist down
        foot = made.path.end  # the tick runs from outside to the seam line
        whole = shapely.LineString(dense(run, 2000))
        assert whole.project(shapely.Point(foot)) == pytest.approx(300.0, abs=0.02), name
        assert whole.distance(shapely.Point(foot)) < 0.01
    assert not any("notch" in f.code or "miss" in f.text for f in outcome.report.findings)


def test_levels_move_as_the_outline_does():
    """A level at 125 lies where w = 1/2; one at 500 lies on size 6, by half at half the share."""
    pattern = skirt()
    front = pattern.piece("front")
    marks = tuple(level("middle", 125.0 if size == "4" else 127.0, size) for size in "46") + tuple(
        level("low", 500.0 if size == "4" else 504.0, size) for size in "46"
    )
    pattern = pattern.with_piece(front._replace(marks=front.marks + marks))

    for share, low in ((100.0, 504.0), (50.0, 502.0)):
        made = {
            m.name: m
            for m in blend(pattern, share=share, **GRAIN).pattern.piece("front").marks
            if m.size == "4-to-6"
        }
        assert made["low"].path.start[1] == pytest.approx(low, abs=1e-9)
        w = share / 100 * 0.5
        assert made["middle"].path.start[1] == pytest.approx(125 + 2 * w, abs=0.03)


# -- what is told -------------------------------------------------------------------------


def steep_skirt(step):
    grades = {"4": (180, 236, 240), "6": (180 + step, 236 + step, 240 + step)}
    outlines = tuple(named_outline(r4_path(*g), "waist side hem centre", s) for s, g in grades.items())
    marks = tuple(level("hips", 200.0, s) for s in "46")
    return Pattern((Piece("front", outlines, marks=marks),))


@pytest.mark.parametrize(("step", "told"), [(8.0, False), (20.0, True)])
def test_a_line_that_shifts_more_than_one_in_four_is_told(step, told):
    """Over 50 mm a quarter is 12.5 mm; sideways it is less by the slope of the side."""
    outcome = blend(steep_skirt(step), **dict(EDGE, custom="short", lead=50.0))

    assert ("steep" in codes(outcome)) == told


def test_half_the_way_is_half_as_steep():
    assert "steep" not in codes(blend(steep_skirt(20.0), share=40.0, **dict(EDGE, custom="short")))


def nest(count):
    outlines = tuple(
        named_outline(r4_path(180 + 4 * n, 236 + 4 * n, 240 + 4 * n), "waist side hem centre", str(n + 1))
        for n in range(count)
    )
    marks = tuple(level("hips", 200.0, str(n + 1)) for n in range(count))
    return Pattern((Piece("front", outlines, marks=marks),))


@pytest.mark.parametrize(("then", "told"), [("4", False), ("5", True)])
def test_more_than_three_sizes_in_one_taper_are_told(then, told):
    outcome = blend(nest(5), first="1", then=then, edge="side", until="hips")

    assert ("many-sizes" in codes(outcome)) == told


# -- bare lines ---------------------------------------------------------------------------


def two_bare(a, b, nodes=()):
    pieces = (bare_piece(a, "first"), bare_piece(b, "second"))
    chosen = Chosen(
        (PickedOutline("first", ""), PickedOutline("second", "")),
        tuple(PickedNode(name, "", tuple(map(float, spot))) for name, spot in nodes),
    )
    return Pattern(pieces), chosen


def made_of(outcome, owner="second"):
    return outcome.pattern.piece(owner).outlines[-1].path


@pytest.mark.parametrize("turned", [False, True], ids=["same way", "opposite ways"])
def test_two_open_lines(turned):
    small, large = (r4_path(*R4["front", s]).part(1, 3) for s in "46")
    pattern, chosen = two_bare(small, large.reverse() if turned else large)

    outcome = blend(pattern, chosen, lead=50.0, until="200mm", measure="grain")

    assert path_length(made_of(outcome)) == pytest.approx(611.994, abs=0.02)
    assert np.allclose(made_of(outcome).start, (180, 0)) and np.allclose(made_of(outcome).end, (250, 600))
    assert outcome.pattern.piece("first") == pattern.piece("first")


@pytest.mark.parametrize("corner", range(4))
@pytest.mark.parametrize("turned", [False, True], ids=["same way", "opposite ways"])
def test_two_closed_outlines_with_another_start_or_direction(corner, turned):
    a, b = r4_path(*R4["front", "4"]), r4_path(*R4["front", "6"])
    other = b.start_at([0, 1, 4, 5][corner])
    pattern, chosen = two_bare(a, other.reverse() if turned else other)

    outcome = blend(pattern, chosen, edge="2", lead=50.0, until="200mm", measure="grain")
    plain = blend(*two_bare(a, b), edge="2", lead=50.0, until="200mm", measure="grain")

    assert apart(made_of(outcome), made_of(plain)) < 1e-9
    assert made_of(outcome).closed


def test_bare_outlines_with_two_clicked_nodes():
    a, b = r4_path(*R4["front", "4"]), r4_path(*R4["front", "6"])
    pattern, chosen = two_bare(a, b, [("first", (180, 0)), ("second", (250, 600))])

    made = made_of(blend(pattern, chosen))

    assert nearest(made, (180, 0)).distance < 1e-9 and nearest(made, (250, 600)).distance < 1e-9


def test_swapping_two_bare_lines():
    a, b = r4_path(*R4["front", "4"]), r4_path(*R4["front", "6"])

    swapped = blend(*two_bare(b, a), edge="2", until="200mm", swap=True)
    plain = blend(*two_bare(a, b), edge="2", until="200mm")

    assert made_of(swapped, "first") == made_of(plain, "second")


@pytest.mark.parametrize(
    ("a", "b", "words"),
    [
        (r4_path(180, 236, 240), r4_path(190, 246, 250).part(1, 3), "open and the other closed"),
        (r4_path(180, 236, 240), outline((0, 0), (190, 0), (0, 600), (0, 0)), "corners"),
    ],
    ids=["open and closed", "other corners"],
)
def test_lines_that_cannot_be_compared(a, b, words):
    with pytest.raises(InputError, match=words):
        blend(*two_bare(a, b), edge="2")


def circle(radius):
    h = 4.0 / 3.0 * (2**0.5 - 1) * radius
    r = radius
    return outline(
        (r, 0),
        ((r, h), (h, r), (0, r)),
        ((-h, r), (-r, h), (-r, 0)),
        ((-r, -h), (-h, -r), (0, -r)),
        ((h, -r), (r, -h), (r, 0)),
    )


def test_outlines_without_a_corner_are_refused_in_words():
    with pytest.raises(InputError) as told:
        blend(*two_bare(circle(100), circle(120)), edge="1", lead=10.0, until="100mm")
    assert "gap" not in str(told.value) and str(told.value).endswith(".")


# -- bad requests -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"first": "", "then": ""}, "size to leave and the size to reach"),
        ({"then": "9"}, "no size '9'"),
        ({"first": "12"}, "no size '12'"),
        ({"then": "4"}, "the same"),
        ({"edge": ""}, "which edge"),
        ({"edge": "sidde"}, "called 'sidde'"),
        ({"until": "wiast"}, "no level called 'wiast'.*hips, knee"),
        ({"until": "900mm"}, "900mm is not on the edge"),
        ({"until": "0mm"}, "0mm is not on the edge"),
        ({"lead": 500.0}, "no room for the swing"),
        ({"custom": "short", "lead": 500.0}, "no room for the swing"),
        ({"called": "6"}, "already"),
        ({"called": "a b"}, "cannot be used"),
    ],
)
@pytest.mark.parametrize("measure", ["edge", "grain"])
def test_what_cannot_be_done_is_told(values, words, measure):
    with pytest.raises(InputError, match=words) as told:
        blend(skirt(), **dict(EDGE, **dict({"measure": measure}, **values)))
    assert str(told.value).endswith(".")


def test_a_level_that_misses_the_edge_is_told():
    pattern = skirt()
    front = pattern.piece("front")
    marks = (
        front.marks
        + tuple(level("short", 200.0, s, x=(0.0, 50.0)) for s in "46")
        + (level("above", -30.0, "4"),)
    )

    with pytest.raises(InputError, match="'above' does not cross the edge 'side'"):
        blend(pattern.with_piece(front._replace(marks=marks)), **dict(EDGE, until="above"))


# -- it does not matter how it is drawn ---------------------------------------------------

FRAMES = {
    "moved": move(812.5, -40.0),
    "turned": turn(33.0, (100, 100)),
    "mirrored": mirror((50, 0), (0, 1)),
}


@pytest.mark.parametrize("frame", sorted(FRAMES))
@pytest.mark.parametrize("values", [GRAIN, EDGE], ids=["grain", "edge"])
def test_moving_turning_and_mirroring_change_nothing(frame, values):
    first = moved(blend(skirt(), **values).pattern, FRAMES[frame])
    then = blend(moved(skirt(), FRAMES[frame]), **values).pattern

    for piece in ("front", "back"):
        assert apart(*(p.piece(piece).outline("4-to-6").path for p in (first, then))) <= 0.005


@pytest.mark.parametrize("values", [GRAIN, EDGE], ids=["grain", "edge"])
@pytest.mark.parametrize(("curve", "t"), [(1, 0.3), (3, 0.6), (0, 0.5)])
def test_one_node_more_changes_nothing(values, curve, t):
    pattern = skirt()
    front = pattern.piece("front")
    more = pattern.with_piece(front.with_outline(split(front.outline("6"), curve, t)))

    assert apart(side(blend(pattern, **values), "front"), side(blend(more, **values), "front")) <= 0.02


# -- darts on the swinging edge -----------------------------------------------------------


def darted(size, out):
    """A panel whose side has a dart 20 mm wide and 80 mm long, at 250 mm; ``out`` mm wider."""
    x = 200.0 + out
    return named_outline(
        Path.through([(0, 0), (x, 0), (x, 240), (x - 80, 250), (x, 260), (x, 600), (0, 600)], closed=True),
        "waist side dart dart side hem centre",
        size,
    )


def test_a_dart_inside_the_span_moves_with_its_mouth_and_keeps_its_legs():
    outlines = darted("4", 0.0), darted("6", 12.0)
    pattern = Pattern((Piece("front", outlines, darts=("dart",)),))

    made = line(blend(pattern, first="4", then="6", edge="side", lead=100.0, until="400mm"), "front")

    legs = made.runs("dart")
    # sqrt(80^2 + 10^2) = 80.6226 in both sizes, so in every size between.
    assert [path_length(leg) for leg in legs] == pytest.approx([80.6226, 80.6226], abs=0.01)
    assert made.as_sewn("side") > 580.0


def test_distances_count_past_a_closed_dart():
    """As sewn, 400 mm down the side lie at y = 420: the dart takes 20 mm out."""
    outlines = darted("4", 0.0), darted("6", 12.0)
    pattern = Pattern((Piece("front", outlines, darts=("dart",)),))

    made = line(blend(pattern, first="4", then="6", edge="side", lead=300.0, until="400mm"), "front")
    lower = made.runs("side")[1]

    assert point_at(lower, 0.0)[0] == pytest.approx(200.0, abs=1e-9)
    assert x_at(lower, 315.0) == pytest.approx(200.0, abs=1e-6)
    assert x_at(lower, 425.0) == pytest.approx(212.0, abs=1e-6)
    assert 201.0 < x_at(lower, 370.0) < 211.0


# -- the sample waistcoat -----------------------------------------------------------------

MASTER = pathlib.Path(__file__).resolve().parent.parent.parent / "samples" / "waistcoat" / "master.svg"
WAISTCOAT = {"first": "3", "then": "5", "edge": "side", "until": "waist", "lead": 50.0, "called": "P03"}


def girth(pattern, size, y):
    """Width of front and back together at a height of the sheet, by Shapely."""
    ray = shapely.LineString([(-100, y), (2000, y)])
    pieces = (pattern.piece(name).outline(size) for name in ("front", "back"))
    return sum(ray.intersection(shapely.Polygon(dense(o.path, 400))).length for o in pieces)


def height_of(pattern, name, size):
    piece = pattern.piece("back")
    return next(
        m.middle[1] for m in piece.marks if m.kind == "level" and m.name == name and m.size in ("", size)
    )


def test_the_sample_waistcoat_has_size_three_at_the_chest_and_five_at_the_waist():
    pytest.importorskip("lxml")
    from sewkit.files.svg import open_drawing

    drawing, chosen = open_drawing(str(MASTER))
    outcome = blend(drawing.pattern, chosen, **WAISTCOAT)

    after = outcome.pattern
    waist, chest = height_of(after, "waist", "3"), height_of(after, "chest", "3")
    # Two fronts and two backs go round the body, so a tenth here is two tenths round.
    assert girth(after, "P03", waist) == pytest.approx(girth(after, "5", waist), abs=0.15)
    assert girth(after, "P03", chest) == pytest.approx(girth(after, "3", chest), abs=0.15)
    assert girth(after, "3", waist) < girth(after, "5", waist) - 5
    assert {f.level for f in seam_report(after, "P03").findings if f.code == "seam"} == {Level.PASS}
    assert outcome.report.worst <= Level.INFO
    assert all("P03" in piece.sizes for piece in after.pieces)


def test_the_sample_waistcoat_twice_gives_the_same_bytes():
    pytest.importorskip("lxml")
    from sewkit.files.svg import open_drawing

    written = []
    for _ in range(2):
        drawing, chosen = open_drawing(str(MASTER))
        drawing.put(blend(drawing.pattern, chosen, **WAISTCOAT).pattern)
        written.append(drawing.as_bytes())

    assert written[0] == written[1]


def test_tangents_of_straight_parents_stay_straight():
    """Two parallel straight lines: outside the taper the result is a straight line."""
    a, b = (Path.through([(x, 0), (x, 600)]) for x in (100, 110))
    made = made_of(blend(*two_bare(a, b), lead=100.0, until="400mm"))

    straight = is_line(made.curves)
    assert straight[0] and straight[-1]
    ways = np.concatenate([start_tangents(made.curves), end_tangents(made.curves)])
    # u2(3 - 2u) is steepest in the middle: 1.5 times 10 mm over 300 mm.
    steepest = np.degrees(np.arctan(1.5 * 10 / 300))
    assert np.degrees(np.abs(np.arctan2(ways[:, 0], ways[:, 1]))).max() <= steepest + 0.02


# -- darts ------------------------------------------------------------------------------


def two_darts(size, wide, take, drop):
    """300 high from the armhole at (0, 0); a side of two runs, a dart of 80 mm between, and a waist dart."""
    side, middle = 200.0 + wide, 150.0 + drop / 2.0
    corners = [
        (0, 0),
        (side, 0),
        (side, middle - take / 2.0),
        (side - 80, middle),
        (side, middle + take / 2.0),
        (side, 300 + drop + take),
        (side / 2 + 10, 300 + drop + take),
        (side / 2, 180 + drop + take),
        (side / 2 - 10, 300 + drop + take),
        (0, 300 + drop + take),
    ]
    names = "top side bust bust side waist waist-dart waist-dart waist centre"
    return named_outline(Path.through(corners, closed=True), names, size)


def test_a_dart_in_the_edge_that_swings_is_told_with_what_it_takes():
    """The waist of size 6 lies 14 + 4 mm lower; its dart goes with it, both legs stay as long."""
    outlines = (two_darts("4", 0.0, 10.0, 0.0), two_darts("6", 20.0, 14.0, 14.0))
    pattern = Pattern((Piece("front", outlines, darts=("bust", "waist-dart")),))
    outcome = blend(pattern, first="4", then="6", edge="side", lead=20.0)
    notes = {f.code: f for f in outcome.report.findings}
    assert "takes 10.0 mm in size 4, 14.0 in size 6 and" in notes["swing-dart"].text
    assert "'waist' lies 18.0 mm lower than in size 4" in notes["swing-moved"].text
    assert "legs" not in notes
    front = outcome.pattern.piece("front")
    dart = next(d for d in darts_of(front, front.outline("4-to-6")) if d.name == "waist-dart")
    assert dart.lengths == pytest.approx([math.hypot(120, 10)] * 2)
