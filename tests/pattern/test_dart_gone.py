"""A dart taken out of an outline; expected numbers are closed forms worked beside them."""

import math

import numpy as np
import pytest

from sewkit.geometry.path import Path, turns
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.transform import mirror, turn
from sewkit.pattern.chosen import EVERYTHING
from sewkit.pattern.chosen_darts import as_found, for_change
from sewkit.pattern.dart import dart_named
from sewkit.pattern.dart_eased import free_names, quartered, span_of, with_partners, with_span
from sewkit.pattern.dart_flared import below, flared
from sewkit.pattern.dart_gone import without_dart
from sewkit.pattern.mark import DRILL, NOTCH, Mark, On
from sewkit.pattern.notch import spot_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import parse_seams
from sewkit.pattern.walking import walk_seam
from tests.operations.length_pieces import ruler
from tests.operations.pieces import bare, level, moved, named, notch, r1

# A skirt panel 300 mm wide: its dart has a mouth of 20 mm in a straight waist.
SKIRT = Path.through([(0, 0), (140, 0), (150, 100), (160, 0), (300, 0), (300, 500), (0, 500)], True)
EDGES = "waist dart dart waist side hem centre"


def skirt(**more):
    return named(SKIRT, EDGES, "front", darts=("dart",), hems=("hem",), **more)


def hole(name, x, y):
    return Mark(DRILL, name, "", Path.through([(x - 1, y), (x + 1, y), (x, y + 1)], True))


def test_a_straight_edge_stays_one_straight_line():
    piece, made = without_dart(skirt(), "", "dart")

    outline = piece.outlines[0]
    assert outline.names == ("waist", "side", "hem", "centre")
    assert len(outline.path) == 4 and piece.darts == ()
    assert made.edge == "waist" and (made.at, made.gained) == pytest.approx((140.0, 20.0))
    assert ruler(outline.edge_path("waist")) == pytest.approx(300.0)
    # Half the dart's triangle is cloth again: 20 x 100 / 2.
    assert abs(signed_area(outline.path)) == pytest.approx(300 * 500)


def test_a_side_that_bends_at_its_dart_becomes_one_soft_edge():
    piece, made = without_dart(r1(), "", "dart")

    outline = piece.outlines[0]
    assert outline.names == ("neck", "shoulder", "armhole", "side", "waist", "centre")
    assert np.abs(turns(outline.edge_path("side"))).max() < 1e-6
    # With the dart closed the side is straight, so it turns by the dart's 9 degrees over the mouth.
    first, last = outline.edge_path("side").curves[[0, -1]]
    ways = first[3] - first[0], last[3] - last[0]
    angle = np.degrees(math.atan2(ways[0][0] * ways[1][1] - ways[0][1] * ways[1][0], ways[0] @ ways[1]))
    assert angle == pytest.approx(9.0, abs=0.01)
    # The mouth is 23.892 mm straight across; an arc of 9 degrees is longer by 1 + t^2/24.
    assert made.gained == pytest.approx(23.892 * (1 + math.radians(9) ** 2 / 24), abs=0.02)
    assert ruler(outline.edge_path("side")) == pytest.approx(190.515 + made.gained, abs=0.01)


@pytest.mark.parametrize("reverse", [False, True])
@pytest.mark.parametrize("way", [turn(33.0, (5, 5)), mirror((0, 0), (1, 0.3))])
def test_it_is_the_same_however_the_piece_lies(way, reverse):
    plain, _ = without_dart(r1(), "", "dart")

    placed = moved(Pattern((r1(),)), way).pieces[0]
    if reverse:
        outline = placed.outlines[0]
        path, count = outline.path.reverse(), len(outline.path)
        edges = tuple(e._replace(start=count - e.stop, stop=count - e.start) for e in outline.edges[::-1])
        placed = placed.with_outline(outline._replace(path=path, edges=edges))
    made, _ = without_dart(placed, "", "dart")

    wanted = way.path(plain.outlines[0].edge_path("side"))
    got = made.outlines[0].edge_path("side")
    got = got.reverse() if reverse else got
    np.testing.assert_allclose(got.curves, wanted.curves, atol=1e-6)


def test_notches_keep_their_place_and_what_belonged_to_the_dart_goes():
    marks = (
        notch("waist", 100.0, name="a"),
        notch("waist", 200.0, name="b"),
        notch("waist", 40.0, True, name="c"),
        notch("dart", 0.0, name="leg"),
        hole("dart-point", 150, 87),
        hole("", 150, 90),
        hole("apex", 150, 95),
    )

    piece, made = without_dart(skirt(marks=marks), "", "dart")

    outline = piece.outlines[0]
    spots = {m.name: spot_of(outline, m.on).point.tolist() for m in piece.marks if m.kind == NOTCH}
    # b lay 60 mm behind the mouth; c counts from the other end.
    assert spots == {"a": pytest.approx([100, 0]), "b": pytest.approx([220, 0]), "c": pytest.approx([260, 0])}
    assert [m.name for m in piece.marks if m.kind == DRILL] == ["apex"]
    assert made.lost == ("leg", "dart-point", "drill")


def test_on_a_line_nobody_named_both_sides_become_one_edge():
    (piece, _, dart) = for_change(bare(SKIRT), EVERYTHING)[0]

    made, _ = without_dart(piece, "", dart.name)

    outline = as_found(made).outlines[0]
    assert outline.names == ("1", "2", "3", "4")
    assert as_found(made).darts == ()
    assert ruler(outline.edge_path("1")) == pytest.approx(300.0)


def test_a_mouth_at_a_corner_of_the_piece_leaves_its_corners():
    path = Path.through([(0, 0), (200, 0), (150, 60), (200, 40), (200, 300), (0, 300)], True)
    piece = named(path, "edge dart dart edge hem centre", "front", darts=("dart",))

    made, gone = without_dart(piece, "", "dart")

    # Square before and square behind: the mouth is drawn straight across, as a corner of its own.
    assert gone.gained == pytest.approx(40.0)
    assert [edge.name for edge in made.outlines[0].edges] == ["edge", "edge", "hem", "centre"]
    assert abs(signed_area(made.outlines[0].path)) == pytest.approx(200 * 300)


# -- ease and gathers ----------------------------------------------------------------------


def test_a_span_lies_about_the_mouth_and_inside_the_edge():
    _, made = without_dart(skirt(), "", "dart")

    span = span_of(made, 40.0)
    # The mouth is at 140 to 160 mm, its middle at 150; 40 + 20 mm of cloth.
    assert (span.start, span.cloth, span.sewn) == pytest.approx((120.0, 60.0, 40.0))
    assert span.ratio == pytest.approx(1.5)
    wide = span_of(made, 1000.0)
    assert 0 < wide.start and wide.start + wide.cloth < 300.0


def test_the_partner_gets_the_same_notches_and_the_seam_keeps_the_ease():
    front, made = without_dart(skirt(), "", "dart")
    band = named(
        Path.through([(0, 700), (280, 700), (280, 740), (0, 740)], True), "top end sewn start", "band"
    )
    seams = parse_seams("waist=band/sewn,turned", "front")
    pattern = Pattern((front, band), seams)
    names = free_names(pattern, "ease")

    span = span_of(made, 40.0)
    pattern = pattern.with_piece(with_span(front, span, names))
    pattern = with_partners(pattern, "front", [span], names)

    walk = walk_seam(pattern, pattern.seams[0], "")
    assert names[:2] == ("ease-1", "ease-2") and walk.lone == ()
    # 300 mm to 280 mm; before and after the span both sides are alike.
    assert [s.first - s.second for s in walk.sections] == pytest.approx([0.0, 20.0, 0.0], abs=1e-6)
    assert walk.outside == 0.0 and pattern.seams[0].ease == (19.5, 20.5)


def test_wide_gathers_are_notched_at_their_quarters_and_so_is_the_partner():
    front, made = without_dart(skirt(), "", "dart")
    corners = [(0, 700), (280, 700), (280, 740), (0, 740)]
    band = named(Path.through(corners, True), "top end sewn start", "band")
    pattern = Pattern((front, band), parse_seams("waist=band/sewn,turned", "front"))
    assert not quartered(span_of(made, 79.0)).quarters  # with the 20 mm of the dart 99 mm of cloth
    span = quartered(span_of(made, 100.0))
    names = free_names(pattern, "gathers")

    pattern = pattern.with_piece(with_span(front, span, names))
    pattern = with_partners(pattern, "front", [span], names)

    walk = walk_seam(pattern, pattern.seams[0], "")
    assert walk.lone == ()
    # 120 mm of cloth in four parts on 100 mm of band.
    assert [s.first for s in walk.sections] == pytest.approx([90, 30, 30, 30, 30, 90])
    assert [s.second for s in walk.sections] == pytest.approx([90, 25, 25, 25, 25, 90])


def test_an_eased_second_side_counts_the_other_way():
    front, made = without_dart(skirt(), "", "dart")
    band = named(
        Path.through([(0, 700), (280, 700), (280, 740), (0, 740)], True), "top end sewn start", "band"
    )
    pattern = Pattern((front, band), parse_seams("sewn=front/waist,turned,ease=-6..0", "band"))

    pattern = with_partners(pattern, "front", [span_of(made, 40.0)], ("ease-1", "ease-2"))

    assert pattern.seams[0].ease == (-26.0, -20.0)
    first, second = (mark.on for mark in pattern.piece("band").marks)
    # The span lies 120 mm from either end, and the band runs against the waist.
    assert (first.distance, second.distance) == pytest.approx((120.0, 120.0))
    assert (first.from_end, second.from_end) == (True, False)


# -- flare ---------------------------------------------------------------------------------


def test_flare_opens_at_the_hem_by_what_the_angle_gives():
    piece = r1(folds=("centre",), marks=(level("hips", 400.0, x=(0.0, 230.0)),))
    outline = piece.outlines[0]
    on = below(piece, outline, np.array([95.0, 265.0]), "waist")
    # The waist runs from 210.017 to 0; the apex lies at 95.
    assert on.distance == pytest.approx(210.017 - 95.0, abs=1e-6)

    made, flare = flared(
        piece, outline, dart_named(piece, outline, "dart"), np.array([95.0, 265.0]), on, 100.0
    )

    slash = 440.149 - 265.0
    assert flare.gone.gained == pytest.approx(
        2 * slash * math.sin(math.radians(4.5)) * (1 + math.radians(9) ** 2 / 24), abs=0.02
    )
    new = made.outlines[0]
    assert new.names == ("neck", "shoulder", "armhole", "side", "waist", "centre") and made.darts == ()
    assert np.abs(turns(new.edge_path("waist"))).max() < 1e-6
    assert ruler(new.edge_path("side")) == pytest.approx(190.515, abs=0.01)
    assert ruler(new.edge_path("armhole")) == pytest.approx(228.174, abs=0.01)
    assert ruler(new.edge_path("centre")) == pytest.approx(360.149, abs=0.01)


def test_a_part_of_a_dart_becomes_flare_and_the_rest_stays():
    piece = r1(folds=("centre",))
    outline = piece.outlines[0]
    dart = dart_named(piece, outline, "dart")

    made, flare = flared(piece, outline, dart, dart.point, On("waist", 115.017), 1 / 3 * 100)

    left = dart_named(made, made.outlines[0], "dart")
    assert (flare.turn.angle, left.angle) == pytest.approx((3.0, 6.0), abs=1e-3)
    assert made.darts == ("dart",)
