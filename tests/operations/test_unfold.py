"""A half opened at its fold and folded again.

Expected places come from the reflection's closed form, worked here with plain numbers: in the line
x = c a point (x, y) goes to (2c - x, y), in y = x it goes to (y, x).  Areas and unions are judged by
Shapely, lengths by SciPy.
"""

import io
import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.files.svg import Drawing, open_drawing, read_tree
from sewkit.geometry.corner import Style
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move, turn
from sewkit.operation import find
from sewkit.operations.dart_add import dart_add
from sewkit.operations.unfold import unfold
from sewkit.pattern.chosen import Chosen, PickedNode, PickedOutline
from sewkit.pattern.dart import darts_of
from sewkit.pattern.mark import BUTTON, DRILL, FOLD, GRAIN, INNER, LABEL, LEVEL, NOTCH, Mark, On
from sewkit.pattern.naming import name_edges, write_names
from sewkit.pattern.notch import spot_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CornerRule, CutLine
from sewkit.pattern.recut import recut
from sewkit.pattern.seam import parse_seams, write_seams
from sewkit.pattern.unfolded_piece import opened_piece
from sewkit.pattern.unfolded_seams import folded_seams, opened_seams
from sewkit.pattern.walking import walk_seam
from sewkit.report import Level
from tests.geometry.shapes import outline
from tests.operations.length_pieces import shapely
from tests.operations.pieces import bare, dense, moved, named, named_outline

BODICE = "samples/bodice/master.svg"

# A skirt front, half on the fold x = 40: waist and hem square to it, a dart, a curved side.
HALF = outline(
    (40, 30),
    (100, 30),
    (110, 130),
    (120, 30),
    (200, 30),
    ((230, 80), (240, 130), (240, 200)),
    (260, 600),
    (40, 600),
)
EDGES = "waist dart dart waist side hem centre"


def skirt(**more):
    given = {"darts": ("dart",), "folds": ("centre",), "hems": ("hem",), "allowance": {"": 10.0, "hem": 40.0}}
    given.update(more)
    return named(HALF, EDGES, "front", **given)


def pattern_of(piece, seams="side=back/side waist=band/waist"):
    back = named(HALF, EDGES, "back", darts=("dart",), cut=2)
    band = named(outline((0, 0), (140, 0), (140, 30), (0, 30)), "waist end top fold", "band", folds=("fold",))
    shift = moved(Pattern((back, band)), move(500, 0)).pieces
    return Pattern((piece, *shift), parse_seams(seams, "front"))


def front(pattern):
    return pattern.piece("front")


def opened(piece, **values):
    return front(unfold(pattern_of(piece), Chosen((PickedOutline("front", ""),)), **values).pattern)


def pick(name="front", size=""):
    return Chosen((PickedOutline(name, size),))


def polygon(path):
    return shapely.Polygon(dense(path, 60))


def flipped(spots, c=40.0):
    return np.stack([2 * c - np.asarray(spots)[..., 0], np.asarray(spots)[..., 1]], axis=-1)


def flat(path, c=40.0):
    return shapely.Polygon(flipped(dense(path, 60), c))


# -- the outline --------------------------------------------------------------------------------


def test_the_whole_is_the_half_and_its_mirror_image():
    whole = opened(skirt()).outlines[0]
    both = polygon(HALF).union(flat(HALF))
    shape = polygon(whole.path)
    assert shape.is_valid
    assert shape.area == pytest.approx(2 * polygon(HALF).area, abs=1e-6)
    assert shape.symmetric_difference(flat(whole.path)).area < 1e-6
    assert shape.symmetric_difference(both).area < 1e-6


def test_the_drawn_half_keeps_every_number():
    """Every curve of the half but the straight ones that went on over the fold is there to the last bit."""
    whole = opened(skirt()).outlines[0]
    there = {curve.tobytes() for curve in whole.path.curves}
    assert all(curve.tobytes() in there for curve in HALF.curves[1:-2])
    assert all(flipped(curve[::-1]).tobytes() in there for curve in HALF.curves[1:-2])


def test_edges_over_the_fold_stay_one_and_the_others_come_twice():
    whole = opened(skirt()).outlines[0]
    assert [edge.name for edge in whole.edges].count("hem") == 1
    assert set(whole.names) == {"waist", "hem", "side-left", "side-right", "dart-left", "dart-right"}
    # 220 mm on either side of the fold, one straight line with no node in the middle.
    hem = whole.edge_path("hem")
    assert len(hem) == 1
    assert sorted([hem.start[0], hem.end[0]]) == [-180.0, 260.0]


def test_the_seam_line_without_the_fold_is_twice_as_long():
    integrate = pytest.importorskip("scipy.integrate")
    whole = opened(skirt()).outlines[0]

    def length(curve):
        def speed(t):
            a = 3 * (1 - t) ** 2 * (curve[1] - curve[0])
            b = 6 * (1 - t) * t * (curve[2] - curve[1])
            return math.hypot(*(a + b + 3 * t * t * (curve[3] - curve[2])))

        return integrate.quad(speed, 0, 1, epsabs=1e-10)[0]

    perimeter = sum(length(curve) for curve in whole.path.curves)
    assert perimeter == pytest.approx(2 * (sum(map(length, HALF.curves)) - 570.0), abs=1e-6)
    side = sum(length(curve) for curve in HALF.curves[4:6])
    assert whole.as_sewn("side-left") == pytest.approx(side, abs=1e-6)
    assert whole.as_sewn("side-right") == pytest.approx(side, abs=1e-6)
    assert whole.as_sewn("waist") == pytest.approx(2 * 140.0, abs=1e-9)


@pytest.mark.parametrize(
    "way", ["as drawn", "reversed", "slanted", "upside down", "from the fold", "mirrored"]
)
def test_any_direction_and_either_side(way):
    """The area doubles and the whole is its own mirror image, however the half lies and runs."""
    path, names = HALF, EDGES
    if way == "reversed":
        path, names = HALF.reverse(), " ".join(reversed(EDGES.split()))
        names = "centre hem side waist dart dart waist"
    frame = {"slanted": turn(33.0), "upside down": turn(180.0)}.get(way, move(0, 0))
    piece = named(path, names, "front", darts=("dart",), folds=("centre",))
    if way == "from the fold":
        piece = named(
            HALF.start_at(7), "centre waist dart dart waist side hem", folds=("centre",), darts=("dart",)
        )
    if way == "mirrored":
        piece = named(type(HALF)(flipped(HALF.curves), True), EDGES, folds=("centre",), darts=("dart",))
    piece = moved(Pattern((piece,)), frame).pieces[0]
    whole = opened(piece)
    assert polygon(whole.outlines[0].path).area == pytest.approx(2 * polygon(HALF).area, abs=1e-5)
    level_again = frame.inverse().path(whole.outlines[0].path)
    assert polygon(level_again).symmetric_difference(flat(level_again)).area < 1e-5
    again = front(unfold(pattern_of(whole), pick(), action="fold").pattern)
    assert polygon(again.outlines[0].path).symmetric_difference(polygon(piece.outlines[0].path)).area < 1e-6
    assert set(again.outlines[0].names) == set(names.split())


def test_a_fold_along_the_diagonal_swaps_the_coordinates():
    """In the line y = x a point (x, y) goes to (y, x)."""
    half = outline((0, 0), (200, 200), (240, 60), (150, 0))
    piece = named(half, "centre hem side top", folds=("centre",))
    nodes = opened(piece).outlines[0].path.nodes
    wanted = [(0, 0), (200, 200), (240, 60), (150, 0), (60, 240), (0, 150)]
    for spot in wanted:
        assert np.hypot(*(nodes - spot).T).min() < 1e-12


def test_a_neck_that_is_not_square_stays_a_corner_and_is_told():
    """The hem falls 40 mm over 220 to the fold: atan(40 / 220) = 10.30 degrees, opened 20.61."""
    half = outline((40, 30), (200, 30), (260, 600), (40, 640))
    outcome = unfold(pattern_of(named(half, "waist side hem centre", folds=("centre",)), ""), pick())
    whole = front(outcome.pattern).outlines[0]
    assert [edge.name for edge in whole.edges].count("hem") == 2
    told = [f for f in outcome.report.findings if f.code == "fold-angle"]
    assert len(told) == 1 and told[0].level == Level.WARN
    assert "point of {:.1f} degrees".format(2 * math.degrees(math.atan2(40, 220))) in told[0].text
    assert told[0].point == (40.0, 640.0)


def test_a_vent_into_the_fold_is_a_dip():
    half = outline((40, 60), (200, 30), (260, 600), (40, 600))
    outcome = unfold(pattern_of(named(half, "waist side hem centre", folds=("centre",)), ""), pick())
    assert (
        "dip of {:.1f} degrees".format(2 * math.degrees(math.atan2(30, 160)))
        in outcome.report.findings[0].text
    )


# -- what goes along ----------------------------------------------------------------------------


MARKS = (
    Mark(NOTCH, "a", "", None, On("side", 100.0), 2),
    Mark(NOTCH, "b", "", None, On("hem", 50.0)),
    Mark(NOTCH, "c", "", None, On("waist", 30.0, True)),
    Mark(NOTCH, "d", "", None, On("waist", 20.0)),
    Mark(NOTCH, "e", "", None, On("hem", 70.0, True)),
    Mark(NOTCH, "centre", "", None, On("hem", 220.0)),
    Mark(LEVEL, "hip", "", Path.through([(40.0, 200.0), (240.0, 200.0)])),
    Mark(LEVEL, "knee", "", Path.through([(60.0, 450.0), (250.0, 450.0)])),
    Mark(GRAIN, "", "", Path.through([(80.0, 100.0), (80.0, 500.0)])),
    Mark(DRILL, "pocket", "", Path.through([(150.0, 250.0), (152.0, 250.0)])),
    Mark(BUTTON, "1", "", Path.through([(38.0, 300.0), (42.0, 300.0)])),
    Mark(INNER, "tuck", "", Path.through([(60.0, 300.0), (90.0, 330.0)])),
    Mark(LABEL, "", "", Path.through([(150.0, 400.0), (151.0, 400.0)]), text="cut 1 on the fold"),
)


def test_notches_and_their_twins_lie_on_mirrored_points():
    piece = skirt(marks=MARKS)
    whole = opened(piece)
    spots = {}
    for mark in whole.marks:
        if mark.kind == NOTCH:
            spots.setdefault(mark.name, []).append(spot_of(whole.outlines[0], mark.on).point)
    for mark in MARKS[:5]:
        was = spot_of(piece.outlines[0], mark.on).point
        assert len(spots[mark.name]) == 2
        for wanted in (was, flipped(was)):
            assert min(np.hypot(*(spot - wanted)) for spot in spots[mark.name]) < 1e-9
    # The one on the fold itself has no twin.
    np.testing.assert_allclose(spots["centre"], [(40.0, 600.0)], atol=1e-9)


def test_places_from_the_side_keep_their_distance_exactly():
    """50 mm from the side on either half of the hem: from its start here, from its end there."""
    whole = opened(skirt(marks=MARKS))
    places = [m.on for m in whole.marks if m.name == "b"]
    assert {(on.distance, on.from_end) for on in places} == {(50.0, False), (50.0, True)}


def test_lines_go_on_over_the_fold_and_marks_beside_it_come_twice():
    whole = opened(skirt(marks=MARKS), drawn="left")
    marks = {mark.name: mark for mark in whole.marks}
    hip, knee = marks["hip"].path, marks["knee"].path
    assert sorted(hip.nodes[:, 0].tolist()) == [-160.0, 40.0, 240.0]
    assert sorted(knee.nodes[:, 0].tolist()) == [-170.0, 20.0, 60.0, 250.0]
    np.testing.assert_allclose(marks["pocket-right"].middle, (80.0 - 151.0, 250.0))
    np.testing.assert_allclose(marks["pocket-left"].middle, (151.0, 250.0))
    assert marks["tuck-right"].path.end.tolist() == [-10.0, 330.0]
    assert marks["1"] == MARKS[10]
    assert sum(mark.kind == GRAIN for mark in whole.marks) == 1
    assert [m.text for m in whole.marks if m.kind == LABEL] == ["cut 1 (opened out)"]
    assert marks["centre"] is not None
    fold = [m for m in whole.marks if m.kind == INNER and m.name == "centre"]
    assert len(fold) == 1 and sorted(fold[0].path.nodes[:, 1].tolist()) == [30.0, 600.0]


def test_what_is_kept_of_the_edges_is_kept_for_both_sides():
    rules = {
        ("side", "hem"): CornerRule(Style.TURNED_BACK, "hem"),
        ("hem", "centre"): CornerRule(Style.BLUNT, "hem"),
    }
    whole = opened(
        skirt(corners=rules, pressed={"dart": "centre"}, allowance={"": 10.0, "side": 25.0}), drawn="left"
    )
    assert whole.allowance == {"": 10.0, "side-left": 25.0, "side-right": 25.0}
    assert whole.corners["side-left", "hem"] == CornerRule(Style.TURNED_BACK, "hem")
    assert whole.corners["hem", "side-right"] == CornerRule(Style.TURNED_BACK, "hem")
    assert whole.pressed == {"dart-left": "centre", "dart-right": "centre"}
    assert whole.folds == () and whole.hems == ("hem",) and whole.cut == 1 and whole.unfolded == "centre"


def test_the_cut_line_is_made_anew_and_is_symmetric():
    """Shapely: the cut line lies everywhere outside the seam line, and the mirror image of it is itself."""
    piece = skirt(cut_lines=(CutLine("", HALF, "cut"),))
    whole = opened(piece)
    cut = whole.cut_lines[0]
    assert cut.key == "cut"
    assert polygon(cut.path).buffer(1e-6).contains(polygon(whole.outlines[0].path))
    assert polygon(cut.path).symmetric_difference(flat(cut.path)).area < 0.1
    left, top, right, bottom = polygon(cut.path).bounds
    assert (top, bottom) == (pytest.approx(20.0), pytest.approx(640.0))
    assert left + right == pytest.approx(80.0, abs=1e-6)


def test_which_side_the_half_is_follows_from_how_it_lies():
    """Right side up one looks at a front from before: what lies to the right of its centre is the left."""
    assert "side-left" in write_seams(unfold(pattern_of(skirt()), pick()).pattern.seams[:1], "front")
    back = skirt()._replace(name="back")
    told = unfold(Pattern((back,)), pick("back")).report.summary
    assert "the wearer's right" in told
    assert "the wearer's right" in unfold(pattern_of(skirt()), pick(), drawn="right").report.summary


def test_a_pair_is_opened_along_an_edge_that_is_named():
    piece = skirt(folds=(), cut=2)
    outcome = unfold(pattern_of(piece), pick(), edge="centre")
    assert front(outcome.pattern).cut == 1
    assert "cut 1 of it, where there were 2" in outcome.report.summary


# -- seams --------------------------------------------------------------------------------------


def test_a_partner_that_is_a_pair_is_sewn_to_both_sides_and_a_half_stands_twice():
    outcome = unfold(pattern_of(skirt()), pick(), drawn="left")
    words = write_seams(outcome.pattern.seams, "front").split()
    assert words[:2] == ["side-left=back/side", "side-right,turned=back/side"]
    assert (
        words[2] == "waist=band/waist+band/waist,turned" or words[2] == "waist=band/waist,turned+band/waist"
    )
    for seam in outcome.pattern.seams:
        walk = walk_seam(outcome.pattern, seam, "")
        assert walk.difference == pytest.approx(0.0, abs=1e-9)
    assert outcome.report.worst == Level.PASS


def test_two_opened_pieces_meet_left_to_left_and_the_long_edge_is_one_seam():
    pattern = pattern_of(skirt())
    pattern = pattern._replace(
        pieces=tuple(p._replace(folds=("centre",), cut=1) if p.name == "back" else p for p in pattern.pieces)
    )
    after = pattern
    for name in ("front", "back", "band"):
        after = unfold(after, pick(name), drawn="left").pattern
    words = write_seams(after.seams, "front").split()
    assert words[0] == "side-left=back/side-left"
    assert words[1] == "side-right,turned=back/side-right,turned"
    assert words[2] in ("waist=band/waist", "waist=band/waist,turned")
    for name in ("band", "back", "front"):
        after = unfold(after, pick(name), action="fold").pattern
    assert after.seams == pattern.seams


def test_a_notch_just_where_a_dart_is_closed_has_its_twin_at_the_other_leg_of_the_other_dart():
    """The waist reaches its dart at (100, 30), 60 mm along; its mirror image in x = 40 is (-20, 30)."""
    marks = (Mark(NOTCH, "n", "", None, On("waist", 60.0)),)
    whole = front(unfold(Pattern((skirt(marks=marks),)), pick()).pattern)
    for off in (0.0, 4e-5, -4e-5):  # a file keeps a ten-thousandth of a mm
        ons = [m.on._replace(distance=m.on.distance + off) for m in whole.marks if m.kind == NOTCH]
        spots = [spot_of(whole.outlines[0], on).point for on in ons]
        assert sorted(tuple(np.round(spot, 3)) for spot in spots) == [(-20.0, 30.0), (100.0, 30.0)]


def test_notches_on_an_edge_over_the_fold_are_walked_in_pairs():
    """A notch 60 mm from the fold on both: on the opened waist at 80 and 200 of 280 mm."""
    pattern = pattern_of(skirt(marks=(Mark(NOTCH, "n", "", None, On("waist", 60.0)),)))
    band = pattern.piece("band")
    pattern = pattern.with_piece(band._replace(marks=(Mark(NOTCH, "n", "", None, On("waist", 60.0)),)))
    after = unfold(pattern, pick()).pattern
    walk = walk_seam(after, after.seams[-1], "")
    assert walk.lone == ()
    assert [section.first for section in walk.sections] == pytest.approx([80.0, 120.0, 80.0])
    assert walk.worst_notch == pytest.approx(0.0, abs=1e-9)


# -- and back -----------------------------------------------------------------------------------


def same(one, other):
    """Two pieces with the same numbers (1e-9 mm), names and places."""
    assert one._replace(outlines=(), marks=(), cut_lines=()) == other._replace(
        outlines=(), marks=(), cut_lines=()
    )
    for a, b in zip(one.outlines, other.outlines):
        assert (a.edges, a.size, a.key) == (b.edges, b.size, b.key)
        np.testing.assert_allclose(a.path.curves, b.path.curves, atol=1e-9, rtol=0)
    assert len(one.marks) == len(other.marks)
    for a, b in zip(one.marks, other.marks):
        assert a._replace(path=None, on=None) == b._replace(path=None, on=None)
        assert (a.on is None) == (b.on is None)
        if a.on is not None:
            assert (a.on.edge, a.on.from_end) == (b.on.edge, b.on.from_end)
            assert a.on.distance == pytest.approx(b.on.distance, abs=1e-9)
        elif a.path is not None:
            np.testing.assert_allclose(a.path.curves, b.path.curves, atol=1e-9, rtol=0)


def test_folding_gives_the_very_half_again():
    rules = {
        ("side", "hem"): CornerRule(Style.TURNED_BACK, "hem"),
        ("hem", "centre"): CornerRule(Style.BLUNT, "hem"),
    }
    piece = skirt(marks=MARKS, corners=rules, pressed={"dart": "centre"}, allowance={"": 10.0, "centre": 0.0})
    piece = recut(piece, [""]).piece  # with the cap of the trued dart
    pattern = pattern_of(piece)
    whole = unfold(pattern, pick()).pattern
    again = unfold(whole, pick(), action="fold").pattern
    same(front(again), piece)
    assert again.seams == pattern.seams


@pytest.mark.parametrize("node, edge", [(0, 0), (4, 4), (6, 5), (7, 6)])
def test_the_half_begins_again_at_the_edge_at_which_it_began(node, edge):
    """At the waist, which begins on the fold; at the side; at the hem, which ends there; at the fold."""
    names = EDGES.split()[edge:] + EDGES.split()[:edge]
    piece = named(HALF.start_at(node), " ".join(names), "front", folds=("centre",), darts=("dart",))
    pattern = pattern_of(piece)
    again = unfold(unfold(pattern, pick()).pattern, pick(), action="fold").pattern
    same(front(again), piece)


def test_caps_of_trued_darts_are_mirrored_too():
    """Pressed to the centre, which is the fold now, both caps are mirror images of each other."""
    whole = opened(recut(skirt(pressed={"dart": "centre"}), [""]).piece)
    caps = {m.name: m.path for m in whole.marks if m.name.startswith("cap-")}
    assert set(caps) == {"cap-dart-left", "cap-dart-right"}
    left = caps["cap-dart-left"].nodes
    np.testing.assert_allclose(flipped(left)[::-1], caps["cap-dart-right"].nodes, atol=1e-9)


def test_a_sample_is_opened_and_folded_in_all_sizes_through_a_file():
    drawing, _ = open_drawing(BODICE)
    before = drawing.pattern._replace(seams=())
    drawing.put(unfold(before, pick("front", "A")).pattern)
    read = Drawing(read_tree(io.BytesIO(drawing.as_bytes())))
    assert read.pattern.problems == ()
    whole = read.pattern.piece("front")
    assert whole.unfolded == "centre-front" and len(whole.outlines) == 3
    after = unfold(read.pattern, pick("front", "B"), action="fold").pattern
    for old, new in zip(before.piece("front").outlines, after.piece("front").outlines):
        assert old.names == new.names
        np.testing.assert_allclose(old.path.curves, new.path.curves, atol=1e-9, rtol=0)
    assert [m.name for m in after.piece("front").marks] == [m.name for m in before.piece("front").marks]


def test_the_seams_of_a_sample_come_back():
    pattern = open_drawing(BODICE)[0].pattern
    made = opened_piece(pattern.piece("front"), "centre-front")
    seams, lost = opened_seams(pattern, made.halved)
    whole = pattern.with_piece(made.piece)._replace(seams=seams)
    assert len(seams) == 4 and lost == ()
    assert folded_seams(whole, made.halved) == pattern.seams


def test_the_other_half_can_be_kept_and_lies_mirrored():
    pattern = pattern_of(skirt(marks=MARKS))
    whole = unfold(pattern, pick(), drawn="left").pattern
    kept = front(unfold(whole, pick(), action="fold", keep="right").pattern)
    assert polygon(kept.outlines[0].path).symmetric_difference(flat(HALF)).area < 1e-6
    assert set(kept.outlines[0].names) == set(EDGES.split())
    assert kept.folds == ("centre",)
    again = {mark.name: mark for mark in kept.marks if mark.kind == DRILL}
    np.testing.assert_allclose(again["pocket"].middle, (80.0 - 151.0, 250.0))


def test_the_bracket_goes_and_comes_back():
    bracket = Mark(FOLD, "", "", Path.through([(40.0, 150.0), (55.0, 150.0), (55.0, 500.0), (40.0, 500.0)]))
    whole = opened(skirt(marks=(bracket,)))
    assert not any(m.kind == FOLD for m in whole.marks)
    assert any(m.kind == GRAIN for m in whole.marks)  # the fold was its grain
    half = front(unfold(pattern_of(whole, ""), pick(), action="fold").pattern)
    drawn = [m for m in half.marks if m.kind == FOLD]
    assert len(drawn) == 1 and drawn[0].path.nodes[:, 0].max() > 50.0
    assert not any(m.kind == GRAIN for m in half.marks)


def test_halves_that_differ_are_not_folded_unless_somebody_says_so():
    """One corner of the right half moved out by 3 mm; it is 3 mm from the mirror image of the left."""
    pattern = unfold(pattern_of(skirt(), ""), pick(), drawn="left").pattern
    whole = front(pattern)
    curves = np.array(whole.outlines[0].path.curves)
    curves[(np.abs(curves - (-180.0, 600.0)) < 1e-9).all(axis=-1)] = (-183.0, 600.0)
    changed = whole.with_outline(whole.outlines[0].replace_path(type(HALF)(curves, True)))
    pattern = pattern.with_piece(changed)
    with pytest.raises(InputError, match=r"differ by [23]\.\d\d mm, most at the edge"):
        unfold(pattern, pick(), action="fold")
    with pytest.raises(InputError, match="differ"):
        unfold(pattern, pick(), action="fold", drop=True)
    outcome = unfold(pattern, pick(), action="fold", keep="right", drop=True)
    assert [f.code for f in outcome.report.findings] == ["half-dropped"]
    assert front(outcome.pattern).outlines[0].path.nodes[:, 0].min() == -183.0


def test_a_notch_on_one_half_only_is_a_difference():
    pattern = unfold(pattern_of(skirt(), ""), pick(), drawn="left").pattern
    lone = Mark(NOTCH, "x", "", None, On("side-left", 33.0))
    pattern = pattern.with_piece(front(pattern)._replace(marks=(*front(pattern).marks, lone)))
    with pytest.raises(InputError, match="notch x"):
        unfold(pattern, pick(), action="fold")


def test_a_dart_on_one_half_only_is_told_as_that_and_loses_its_side():
    """The point of a dart 60 mm long is as far from any line of the other half, which says nothing."""
    pattern = unfold(pattern_of(skirt(), ""), pick(), drawn="left").pattern
    given = {"edge": "side-left", "at": "40%", "width": 8.0, "length": 60.0}
    pattern = dart_add(pattern, pick(), **given).pattern
    assert "side-dart-left" in front(pattern).darts
    with pytest.raises(InputError, match="only the wearer's left half has the dart 'side-dart-left'") as told:
        unfold(pattern, pick(), action="fold")
    assert "--drop yes --keep left" in told.value.cure
    kept = unfold(pattern, pick(), action="fold", keep="left", drop=True)
    assert set(front(kept.pattern).darts) == {"dart", "side-dart"}
    (finding,) = [f for f in kept.report.findings if f.code == "half-dropped"]
    assert "differ by" not in finding.text and "the folded piece has it" in finding.text
    other = unfold(pattern, pick(), action="fold", keep="right", drop=True)
    assert front(other.pattern).darts == ("dart",)


# -- bare lines, and what cannot be -------------------------------------------------------------


def test_a_bare_line_is_opened_by_number_or_by_nodes_and_folded_by_nodes():
    pattern = bare(HALF)
    by_number = unfold(pattern, pick("line"), edge="7").pattern.pieces[0]
    ends = tuple(PickedNode("line", "", spot) for spot in ((40.0, 30.0), (40.0, 600.0)))
    by_nodes = unfold(pattern, Chosen((PickedOutline("line", ""),), ends)).pattern
    assert by_nodes.pieces[0].outlines[0].path == by_number.outlines[0].path
    assert polygon(by_number.outlines[0].path).area == pytest.approx(2 * polygon(HALF).area, abs=1e-6)
    folded = unfold(by_nodes, Chosen((PickedOutline("line", ""),), ends), action="fold").pattern.pieces[0]
    assert polygon(folded.outlines[0].path).area == pytest.approx(polygon(HALF).area, abs=1e-6)


@pytest.mark.parametrize(
    "path, edges, words",
    [
        (
            outline((40, 30), (200, 30), (200, 600), (40, 600), ((60, 400), (60, 200), (40, 30))),
            "a b c centre",
            "not straight",
        ),
        (outline((40, 30), (200, 30), (200, 700), (0, 700), (40, 600)), "a b c d centre", "both sides"),
        (outline((40, 30), (200, 30), (260, 600), (40, 600)), "a b c d", "not known which edge"),
    ],
)
def test_what_is_no_fold_is_refused_with_a_cure(path, edges, words):
    piece = named(path, edges, "front", folds=("centre",))
    with pytest.raises(InputError, match=words) as told:
        unfold(Pattern((piece,)), pick())
    assert told.value.cure


def test_sizes_keep_a_fold_of_their_own():
    sizes = [named_outline(move(dx, 0).path(HALF), EDGES, size) for size, dx in (("1", 0.0), ("2", -7.0))]
    piece = skirt()._replace(outlines=tuple(sizes), marks=MARKS[:2])
    whole = front(unfold(pattern_of(piece, ""), pick("front", "1")).pattern)
    for made, c in zip(whole.outlines, (40.0, 33.0)):
        assert polygon(made.path).symmetric_difference(flat(made.path, c)).area < 1e-6
    lines = [m.path.start[0] for m in whole.marks if m.kind == INNER]
    assert lines == [40.0, 33.0]


def test_a_facing_that_follows_is_opened_and_folded_with_its_piece():
    """Its edge is sewn to the whole waist as one edge, both 2 x 140 mm long as sewn."""
    pattern = pattern_of(skirt(), "side=back/side")
    facing = (
        find("facing").function(pattern, pick(), edges="front/waist", width=40.0, called="facing").pattern
    )
    whole = unfold(facing, pick()).pattern
    assert whole.piece("facing").unfolded == "centre"
    seam = next(seam for seam in whole.seams if seam.touches("facing"))
    assert [len(seam.first), len(seam.second)] == [1, 1]
    walk = walk_seam(whole, seam, "")
    assert (walk.first, walk.second) == (pytest.approx(280.0, abs=1e-6), pytest.approx(280.0, abs=1e-6))
    again = unfold(whole, pick(), action="fold").pattern
    assert again.seams == facing.seams and again.piece("facing").folds == facing.piece("facing").folds


def test_a_circle_cut_in_half_has_one_edge_and_survives_a_file():
    """Quarter arcs by the usual cubic; a ring without corners is read as one edge from its first node."""
    k = 4.0 / 3.0 * np.tan(np.pi / 8) * 100
    arcs = (((k, -100), (100, -k), (100, 0)), ((100, k), (k, 100), (0, 100)))
    piece = named(outline((0, -100), *arcs), "edge fold", "front", folds=("fold",))
    whole = opened(piece).outlines[0]
    assert len(whole.edges) == 1 and not whole.edges[0].smooth
    assert name_edges(whole.path, write_names(whole)).outline.edges == whole.edges
    assert polygon(whole.path).area == pytest.approx(2 * polygon(piece.outlines[0].path).area, abs=1e-6)


def test_half_a_dart_on_the_fold_becomes_a_dart():
    """Its leg runs from (60, 300) to (0, 200): opened it is 120 mm wide."""
    path = outline((0, 0), (100, 0), (120, 300), (60, 300), (0, 200))
    piece = named(path, "top side waist dart fold", "front", folds=("fold",), darts=("dart",))
    outcome = unfold(Pattern((piece,)), pick())
    whole = front(outcome.pattern)
    darts = darts_of(whole, whole.outlines[0])
    assert [(dart.name, dart.intake) for dart in darts] == [("dart", pytest.approx(120.0))]
    assert outcome.report.findings == ()
