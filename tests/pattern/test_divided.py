"""A piece in two parts: Shapely adds the areas up, Gauss measures the edges."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, Place
from sewkit.geometry.transform import mirror, turn
from sewkit.pattern.dart import dart_named
from sewkit.pattern.dart_seam import PanelLine, other_name, panel_name, panelled
from sewkit.pattern.divided import Along, divided, divided_seams
from sewkit.pattern.mark import DRILL, GRAIN, LABEL, LEVEL, NOTCH, Mark, On
from sewkit.pattern.notch import spot_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CornerRule, CutLine, Style
from sewkit.pattern.recut import recut
from sewkit.pattern.seam import EdgeRef, parse_seams
from sewkit.pattern.walking import walk_seam
from tests.operations.length_pieces import ruler, shapely
from tests.operations.pieces import dense, grain, level, moved, named, notch, r1

SQUARE = Path.through([(0, 0), (300, 0), (300, 400), (0, 400)], True)
EDGES = "top side hem centre"
# From the middle of the top over a bend to a third of the hem; part 0 is the side's.
LINE = Along(Place(0, 0.5), Place(2, 2 / 3), Path.through([(150, 0), (170, 200), (100, 400)]))


def square(**more):
    return named(SQUARE, EDGES, "front", **more)


def halves(piece=None, line=LINE):
    return divided(piece or square(folds=("centre",)), {"": line}, "panel", "front-side")


def polygon(outline):
    return shapely.Polygon(dense(outline.path))


def test_both_parts_are_the_whole_and_share_an_edge():
    made = halves()

    kept, other = made.kept.outlines[0], made.other.outlines[0]
    assert (made.kept.name, made.other.name) == ("front", "front-side")
    assert kept.names == ("top", "panel", "hem", "centre") and other.names == ("top", "side", "hem", "panel")
    one, two = polygon(kept), polygon(other)
    assert one.area + two.area == pytest.approx(300 * 400)
    assert one.intersection(two).area == pytest.approx(0.0, abs=1e-6)
    # 20, 200 and 70, 200: two straight lines with a corner of 25 degrees, so two runs.
    length = np.hypot(20, 200) + np.hypot(70, 200)
    for outline in (kept, other):
        assert sum(ruler(run) for run in outline.runs("panel")) == pytest.approx(length)
        assert len(outline.runs("panel")) == 2


def test_the_part_with_the_fold_keeps_the_name_and_what_it_knows():
    corners = {
        ("side", "hem"): CornerRule(Style.BLUNT, "side"),
        ("hem", "centre"): CornerRule(Style.SQUARE, "hem"),
    }
    piece = square(
        folds=("centre",),
        hems=("hem",),
        allowance={"side": 15.0, "top": 15.0, "hem": 40.0},
        corners=corners,
        cut=1,
    )
    made = halves(piece._replace(cloth="main", key="g1"))

    assert (made.kept.folds, made.other.folds) == (("centre",), ())
    assert made.kept.hems == made.other.hems == ("hem",)
    assert dict(made.kept.corners) == {("hem", "centre"): corners["hem", "centre"]}
    assert dict(made.other.corners) == {("side", "hem"): corners["side", "hem"]}
    # Both seams have 15 mm, so the new one has; the hem says nothing about a seam.
    assert made.kept.allowance == {"top": 15.0, "hem": 40.0, "panel": 15.0}
    # One on the fold is two halves of a body: of a part beside the fold two are cut.
    assert (made.kept.cut, made.other.cut, made.other.cloth) == (1, 2, "main")
    assert (made.kept.key, made.other.key) == ("g1", "")


def test_without_a_fold_the_part_with_the_grain_line_keeps_the_name():
    made = halves(square(marks=(grain(250.0),)))

    assert "side" in made.kept.outlines[0].names and made.other.cut == 1
    (copy,) = [mark for mark in made.other.marks if mark.kind == GRAIN]
    way = copy.shaft.end - copy.shaft.start
    assert abs(way[0]) < 1e-9 and abs(way[1]) > 100
    assert polygon(made.other.outlines[0]).contains(shapely.LineString(copy.shaft.nodes))


def test_marks_go_with_their_part_and_lines_are_cut():
    marks = (
        notch("top", 40.0, name="a"),
        notch("top", 200.0, name="b"),
        notch("hem", 20.0, name="c"),
        notch("hem", 20.0, True, name="d"),
        level("waist", 100.0, x=(-20.0, 320.0))._replace(key="w"),
        Mark(LABEL, "", "", Path.through([(30, 50), (31, 50)]), text="front"),
        Mark(DRILL, "hole", "", Path.through([(249, 50), (251, 50)])),
        Mark(DRILL, "apex", "", Path.through([(169, 200), (171, 200)])),
    )
    made = halves(square(folds=("centre",), marks=marks))

    by_name = [{m.name or m.kind: m for m in part.marks} for part in (made.kept, made.other)]
    assert set(by_name[0]) == {"a", "d", "waist", "label", "apex"}
    assert set(by_name[1]) == {"b", "c", "waist", "hole"}
    # On the cloth each notch is where it was.
    for part, name, spot in (
        (0, "a", (40, 0)),
        (1, "b", (200, 0)),
        (1, "c", (280, 400)),
        (0, "d", (20, 400)),
    ):
        outline = (made.kept, made.other)[part].outlines[0]
        np.testing.assert_allclose(spot_of(outline, by_name[part][name].on).point, spot, atol=1e-9)
    # At 100 mm the line has come to x = 160; the longer part keeps the drawn element.
    lines = [mark.path for mark in (by_name[0]["waist"], by_name[1]["waist"])]
    np.testing.assert_allclose([lines[0].nodes[0], lines[0].nodes[-1]], [(-20, 100), (160, 100)], atol=1e-9)
    np.testing.assert_allclose([lines[1].nodes[0], lines[1].nodes[-1]], [(160, 100), (320, 100)], atol=1e-9)
    assert (by_name[0]["waist"].key, by_name[1]["waist"].key) == ("w", "")
    assert by_name[0]["waist"].kind == LEVEL


def test_what_was_sewn_to_a_divided_edge_meets_both_parts():
    back = named(SQUARE, EDGES, "back")
    pattern = Pattern(
        (square(folds=("centre",)), back),
        parse_seams("top=back/top side=back/side hem,turned=back/hem", "front"),
    )
    made = halves(pattern.pieces[0])

    pattern = pattern.with_piece(made.kept).with_piece(made.other)
    pattern = pattern._replace(seams=divided_seams(pattern.seams, made))

    sides = [tuple(str(ref) for ref in seam.first) for seam in pattern.seams]
    assert sides == [
        ("front/top", "front-side/top"),
        ("front-side/side",),
        ("front/hem", "front-side/hem"),
        ("front/panel",),
    ]
    assert pattern.seams[3].second == (EdgeRef("front-side", "panel", True),)
    assert [walk_seam(pattern, seam, "").difference for seam in pattern.seams] == pytest.approx(
        [0.0] * 4, abs=1e-9
    )


def test_a_seam_with_both_ends_on_one_edge_is_refused():
    line = Along(Place(0, 0.2), Place(0, 0.8), Path.through([(60, 0), (150, 200), (240, 0)]))

    with pytest.raises(InputError, match="lie on 'top'"):
        halves(line=line)


# -- along darts ---------------------------------------------------------------------------


WAIST = On("waist", 115.017)  # straight below the apex: 210.017 - 95


def r1_panels(target=WAIST, **more):
    piece = r1(folds=("centre",), **more)
    dart = dart_named(piece, piece.outlines[0], "dart")
    return piece, panelled(piece, {"": PanelLine(dart, dart.point, target)}, "panel", "front-side")


def test_r1s_dart_becomes_a_seam_to_the_waist():
    piece, made = r1_panels()

    kept, other = made.halves.kept.outlines[0], made.halves.other.outlines[0]
    assert polygon(kept).area + polygon(other).area == pytest.approx(polygon(piece.outlines[0]).area)
    # A leg of 152.258 and from the apex straight down to the waist: 440.149 - 265.
    for outline in (kept, other):
        assert sum(ruler(run) for run in outline.runs("panel")) == pytest.approx(152.258 + 175.149, abs=0.01)
    assert ruler(kept.edge_path("side")) + ruler(other.edge_path("side")) == pytest.approx(190.515, abs=0.01)
    assert made.halves.order == {"side": ("front", "front-side"), "waist": ("front-side", "front")}
    assert made.halves.kept.darts == made.halves.other.darts == ()


def test_the_notches_meet_at_the_apex_and_half_way():
    _, made = r1_panels()
    pattern = Pattern((made.halves.kept, made.halves.other), divided_seams((), made.halves))

    walk = walk_seam(pattern, pattern.seams[0], "")

    assert walk.lone == () and len(walk.sections) == 4
    assert [s.first for s in walk.sections] == pytest.approx([76.129, 76.129, 87.575, 87.575], abs=0.01)
    assert [s.first - s.second for s in walk.sections] == pytest.approx([0.0] * 4, abs=1e-3)
    for part in (made.halves.kept, made.halves.other):
        (apex,) = [m for m in part.marks if m.kind == NOTCH and m.name == "apex"]
        np.testing.assert_allclose(spot_of(part.outlines[0], apex.on).point, (95, 265), atol=1e-6)


def two_darts(back_off=0.0):
    """A front with a dart in its side and one in its waist, both to (100, 200) or short of it."""
    b = back_off
    path = Path.through(
        [
            (0, 0),
            (250, 0),
            (250, 190),
            (100 + b, 200),
            (250, 210),
            (250, 400),
            (110, 400),
            (100, 200 + b),
            (90, 400),
            (0, 400),
        ],
        True,
    )
    names = "top side bust-dart bust-dart side waist waist-dart waist-dart waist centre"
    return named(path, names, "front", darts=("bust-dart", "waist-dart"), folds=("centre",))


@pytest.mark.parametrize("back_off", [0.0, 25.0])
def test_a_princess_line_takes_both_darts_in(back_off):
    piece = two_darts(back_off)
    outline = piece.outlines[0]
    bust, waist = (dart_named(piece, outline, name) for name in ("bust-dart", "waist-dart"))

    made = panelled(
        piece, {"": PanelLine(bust, np.array([100.0, 200.0]), waist)}, "panel", "front-side"
    ).halves

    kept, other = made.kept.outlines[0], made.other.outlines[0]
    assert polygon(kept).area + polygon(other).area == pytest.approx(polygon(outline).area)
    legs = np.hypot(150 - back_off, 10) + np.hypot(10, 200 - back_off) + 2 * back_off
    for one in (kept, other):
        assert sum(ruler(run) for run in one.runs("panel")) == pytest.approx(legs)
    assert other.names == ("side", "waist", "panel")
    assert made.kept.darts == () and made.other.darts == ()


@pytest.mark.parametrize("way", [turn(70.0, (3, 3)), mirror((0, 0), (1, 2))])
def test_it_is_the_same_however_the_piece_lies(way):
    _, plain = r1_panels()
    piece = moved(Pattern((r1(folds=("centre",)),)), way).pieces[0]
    dart = dart_named(piece, piece.outlines[0], "dart")

    made = panelled(piece, {"": PanelLine(dart, dart.point, On("waist", 115.017))}, "panel", "front-side")

    for one, other in zip(plain.halves[:2], made.halves[:2]):
        wanted = way.path(one.outlines[0].path)
        np.testing.assert_allclose(other.outlines[0].path.curves, wanted.curves, atol=1e-6)


def test_both_parts_get_a_cut_line():
    piece, made = r1_panels(allowance={"": 10.0})
    old = piece._replace(cut_lines=(CutLine("", piece.outlines[0].path, "k"),))
    dart = dart_named(old, old.outlines[0], "dart")
    made = panelled(old, {"": PanelLine(dart, dart.point, On("waist", 115.017))}, "panel", "front-side")

    for part, key in ((made.halves.kept, "k"), (made.halves.other, "")):
        done = recut(part, [""]).piece
        line = done.cut_line("")
        assert line.key == key
        assert nearest(line.path, (95.0, 350.0)).distance == pytest.approx(10.0, abs=0.01)


def test_a_dart_in_the_way_is_told():
    piece = two_darts()
    dart = dart_named(piece, piece.outlines[0], "bust-dart")

    with pytest.raises(InputError, match="crosses the dart 'waist-dart'"):
        line = PanelLine(dart._replace(), np.array([140.0, 230.0]), On("waist", 230.0))
        panelled(piece, {"": line}, "panel", "front-side")


def test_names_that_are_free():
    assert panel_name(square(), "") == "panel" and panel_name(square(), "princess") == "princess"
    assert other_name(["front", "front-side"], "front") == "front-side-2"
    with pytest.raises(InputError, match="has an edge called 'hem'"):
        panel_name(square(), "hem")
