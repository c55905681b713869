"""Seam ends, folds and kinks, on panels whose angles are chosen.

A rule laid r mm to either side of a bend of d degrees leaves r sin(d/2) below it: the triangle
of two sides r with the angle 180 - d between them.
"""

import math
import pathlib

import numpy as np
import pytest

from sewkit.checks.seam_ends import seam_end_findings
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path, lines
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.mark import DART, Mark
from sewkit.pattern.outline import Edge, Outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent


def rise(degrees, along):
    return along * math.tan(math.radians(degrees))


def panel(name, hem=90.0, top=90.0, size="", **more):
    """200 wide and 300 high, its side to the right; the angles at the side's ends as given."""
    points = [(0, rise(top - 90, -200)), (200, 0), (200, 300), (0, 300 + rise(hem - 90, 200))]
    points[0] = (0, -rise(top - 90, 200))
    names = ("waist", "side", "hem", "centre")
    return Piece(name, (named(points, names, size),), **more)


def named(points, names, size=""):
    nodes = np.array(points, float)
    path = Path(lines(nodes, np.roll(nodes, -1, axis=0)), closed=True)
    return Outline(size, path, tuple(Edge(one, n, n + 1) for n, one in enumerate(names)))


def sewn(*pieces, seams="side=back/side"):
    return Pattern(tuple(pieces), parse_seams(seams, pieces[0].name))


def put(piece, how):
    return piece._replace(outlines=tuple(o._replace(path=how.path(o.path)) for o in piece.outlines))


def found(pattern, sizes=("",)):
    return seam_end_findings(pattern, sizes)


def number(text, before):
    """The number that stands before some words."""
    return float(text.split(before)[0].split()[-1])


LAID = {
    "as it is": lambda piece: piece,
    "turned": lambda piece: put(piece, turn(37.0, (50, 60))),
    "mirrored": lambda piece: put(piece, mirror((300, 0), (0, 1)).then(move(0, 80))),
}


@pytest.mark.parametrize("laid", sorted(LAID))
def test_two_hems_that_meet_in_174_degrees(laid):
    """87 + 87: the hem hangs to a point of 30 sin 3 = 1.570 mm; a stop, for 6 degrees are more than 3."""
    back = LAID[laid](panel("back", hem=87.0))
    (one,) = found(sewn(panel("front", hem=87.0), back))
    assert (one.code, one.level, one.where) == ("end-angle", Level.FAIL, "front/side")
    assert one.point == pytest.approx((200, 300))
    assert (
        "174.0 degrees (87.0 + 87.0)" in one.text
        and "its 'hem' and the 'hem' of back meet over the seam 'side'" in one.text
    )
    assert "point of {:.1f} mm".format(30 * math.sin(math.radians(3))) in one.text
    assert "--at front/side" in one.cure


def test_angles_that_make_up_for_each_other_are_smooth():
    assert found(sewn(panel("front", hem=84.0, top=99.0), panel("back", hem=96.0, top=81.0))) == []


@pytest.mark.parametrize(
    "hem, level",
    [(90.95, None), (91.05, Level.WARN), (92.95, Level.WARN), (93.05, Level.FAIL), (87.05, Level.WARN)],
)
def test_the_limits_are_one_and_three_degrees(hem, level):
    told = found(sewn(panel("front", hem=hem), panel("back")))
    assert [one.level for one in told] == ([] if level is None else [level])


def test_a_corner_more_than_thirty_degrees_off_is_only_noted():
    (one,) = found(sewn(panel("front", hem=58.0), panel("back")))
    assert (one.level, one.cure) == (Level.INFO, "") and "taken as meant" in one.text


def test_edges_walked_the_other_way_and_a_reversed_path():
    """The back drawn counterclockwise: its side runs upwards, so the seam is turned."""
    back = panel("back", hem=87.0)
    outline = back.outline("")
    path = outline.path.reverse()
    edges = tuple(Edge(name, n, n + 1) for n, name in enumerate(("centre", "hem", "side", "waist")))
    back = back._replace(outlines=(Outline("", path, edges),))
    (one,) = found(sewn(panel("front", hem=87.0), back, seams="side=back/side,turned"))
    assert "174.0 degrees" in one.text and "'hem'" in one.text


def test_a_dart_at_the_corner_is_closed_first():
    """A mouth of 20 mm, point 100 mm in, where the waist begins: its angle is added to the waist's."""
    depth = 100.0
    points = [(0, 0), (180, 0), (190, depth), (200, 0), (200, 300), (0, 300)]
    front = Piece(
        "front", (named(points, ("waist", "dart", "dart", "side", "hem", "centre")),), darts=("dart",)
    )
    leg = math.degrees(math.atan(10 / depth))
    (one,) = found(sewn(front, panel("back")))
    # Between the side and its leg the angle is the leg's lean; the waist meets its own leg in 90 less it.
    assert number(one.text, " degrees (") == pytest.approx(leg + 90 + leg + 90, abs=0.06)


def test_a_facing_lies_on_its_piece_and_is_not_opened_beside_it():
    facing = panel("front-facing", hem=87.0)
    assert found(sewn(facing, panel("front", hem=87.0), seams="side=front/side")) == []


def test_edges_along_the_body_may_bend_where_a_seam_round_it_ends():
    """A bodice that narrows to its waist and a skirt that widens from it: 80 + 80 at the side."""
    skirt = panel("skirt", top=80.0)
    bodice = panel("bodice", hem=80.0)
    assert found(sewn(bodice, skirt, seams="hem=skirt/waist")) == []


def test_seams_that_cross_are_noted():
    four = [panel("a", hem=85.0), panel("b", hem=85.0), panel("c"), panel("d")]
    called = [
        put(p, move(0, 0))._replace(
            outlines=tuple(
                o._replace(edges=tuple(e._replace(name="x" if e.name == "hem" else e.name) for e in o.edges))
                for o in p.outlines
            )
        )
        for p in four
    ]
    pattern = Pattern(tuple(called), parse_seams("side=b/side x=c/waist b/x=d/waist", "a"))
    told = [one for one in found(pattern) if "its 'x' and the 'x' of" in one.text]
    assert [one.level for one in told] == [Level.INFO] and "two seams cross" in told[0].text


def test_a_dip_that_only_the_pair_has():
    """Both hems leave the side level and fall by 4 mm within 20: sewn they are hollow by 4 mm."""
    first, last = np.array((200.0, 300.0)), np.array((180.0, 304.0))
    third = np.array((20 / 3, 0.0))
    sinking = np.array([first, first - third, last + third, last])

    def with_dip(name):
        rest = np.array([last, (0, 304), (0, 0), (200, 0), first], float)
        curves = np.concatenate([sinking[None], lines(rest[:-1], rest[1:])])
        edges = (Edge("hem", 0, 2), Edge("centre", 2, 3), Edge("waist", 3, 4), Edge("side", 4, 5))
        return Piece(name, (Outline("", Path(curves, closed=True), edges),))

    (one,) = found(sewn(with_dip("front"), with_dip("back")))
    assert one.code == "end-dip" and one.level == Level.FAIL and "within 30 mm" in one.text
    # By how much of it each hem wavers alone is no fault of the pair.
    assert 1.5 < number(one.text, " mm within") < 4.0


def test_a_point_rounded_off_within_three_mm_is_still_seen():
    """The hems of 87 degrees, squared over their last 3 mm: no angle is wrong, and the point is there."""

    def rounded(name):
        corner, square = (200.0, 300.0), (197.0, 300.0)
        points = [(0, 0), (200, 0), corner, square, (0, 300 - rise(3.0, 197))]
        made = named(points, ("waist", "side", "hem", "hem", "centre"))
        edges = (Edge("waist", 0, 1), Edge("side", 1, 2), Edge("hem", 2, 4), Edge("centre", 4, 5))
        return Piece(name, (made._replace(edges=edges),))

    told = [one for one in found(sewn(rounded("front"), rounded("back"))) if one.code == "end-dip"]
    assert [number(one.text, " mm within") for one in told] == [
        pytest.approx(30 * math.sin(math.radians(3)), abs=0.06)
    ]


# -- folds ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "degrees, level", [(90.4, None), (89.4, Level.WARN), (91.4, Level.WARN), (87.0, Level.FAIL)]
)
def test_an_edge_at_a_fold(degrees, level):
    """Opened, an edge that is off by e bends by 2e: a rule 30 mm to either side shows 30 sin e."""
    told = found(Pattern((panel("front", folds=("side",), hem=degrees),)))
    assert [one.level for one in told] == ([] if level is None else [level])
    for one in told:
        shape = "point" if degrees < 90 else "dip"
        height = 30 * math.sin(math.radians(abs(degrees - 90)))
        assert one.code == "fold-angle" and one.where == "front/hem"
        assert "{} of {:.1f} mm".format(shape, height) in one.text


def test_a_v_neck_on_the_fold_is_meant():
    (one,) = found(Pattern((panel("front", folds=("side",), top=130.0),)))
    assert one.level == Level.INFO and "130.0 degrees" in one.text


def test_square_for_less_than_five_mm():
    """Square for 1 mm and then aslant by 12 degrees: 4 sin 12 = 0.83 mm off at 5 mm."""
    corner, near = (0.0, 300.0), (1.0, 300.0)
    points = [(0, 0), (200, 0), (200, 300 - rise(11.9, 199)), near, corner]
    made = named(points, ("waist", "side", "hem", "hem", "centre"))
    edges = (Edge("waist", 0, 1), Edge("side", 1, 2), Edge("hem", 2, 4), Edge("centre", 4, 5))
    piece = Piece("front", (made._replace(edges=edges),), folds=("centre",))
    told = [one for one in found(Pattern((piece,))) if one.code == "fold-angle"]
    assert len(told) == 1 and told[0].level == Level.WARN
    assert number(told[0].text, " mm from that") == pytest.approx(4 * math.sin(math.radians(11.9)), abs=0.06)


# -- kinks ------------------------------------------------------------------------------


@pytest.mark.parametrize("degrees, level", [(0.9, None), (2.0, Level.WARN), (6.0, Level.FAIL), (14.0, None)])
def test_a_kink_inside_an_edge(degrees, level):
    """More than 12 degrees is a corner, which nobody draws inside an edge by mistake."""
    bulge = 150 * math.tan(math.radians(degrees / 2))
    points = [(0, 0), (200, 0), (200 + bulge, 150), (200, 300), (0, 300)]
    made = named(points, ("waist", "side", "side", "hem", "centre"))
    edges = (Edge("waist", 0, 1), Edge("side", 1, 3), Edge("hem", 3, 4), Edge("centre", 4, 5))
    told = found(Pattern((Piece("front", (made._replace(edges=edges),)),)))
    assert [one.level for one in told] == ([] if level is None else [level])
    for one in told:
        assert (
            one.code == "end-kink"
            and "point of {:.1f} mm".format(30 * math.sin(math.radians(degrees / 2))) in one.text
        )


def test_a_waist_drawn_straight_over_its_dart():
    """Closed, the mouth turns by the angle of the dart, 2 atan(10/100), cut in or only drawn."""
    angle = 2 * math.degrees(math.atan(0.1))
    points = [(0, 0), (90, 0), (100, 100), (110, 0), (200, 0), (200, 300), (0, 300)]
    names = ("waist", "dart", "dart", "waist", "side", "hem", "centre")
    cut = Piece("front", (named(points, names),), darts=("dart",))
    (one,) = found(Pattern((cut,)))
    legs = Path.through([(90, 0), (100, 100), (110, 0)])
    drawn = panel("front", cut=1)._replace(marks=(Mark(DART, "dart", path=legs),))
    (other,) = found(Pattern((drawn,)))
    for told in (one, other):
        assert told.level == Level.FAIL and "'dart' is closed" in told.text
        assert number(told.text, " degrees") == pytest.approx(angle, abs=0.06)
    assert "Cut the dart in first" in other.cure and "--at front/waist" in one.cure


def test_the_order_is_that_of_the_pieces_and_then_of_the_sizes():
    nest = [
        Piece(name, tuple(panel(name, hem=80.0 + n, size=size).outlines[0] for n, size in enumerate("AB")))
        for name in ("front", "back")
    ]
    told = found(sewn(*nest), ("A", "B"))
    assert [one.text.split(":")[0] for one in told] == ["front size A", "front size B"]
    assert ["160.0" in told[0].text, "162.0" in told[1].text] == [True, True]


def test_a_waistcoat_that_was_drafted_square_has_no_fault():
    """The sample's draft squares necks, armholes and hems to their seams; nothing is to be told of it."""
    with open(str(ROOT / "samples" / "waistcoat" / "master.svg"), "rb") as file:
        pattern = open_drawing(file)[0].pattern
    assert found(pattern, pattern.sizes) == []
