"""Gathers and pleats: lengths by the trade's worked examples, what the seam knows, replaced, taken away."""

import numpy as np
import pytest

from sewkit.checks.finished import finished
from sewkit.checks.notch_pairs import notch_findings
from sewkit.errors import InputError
from sewkit.geometry.path import Path, lines
from sewkit.geometry.polygon import flatten
from sewkit.operations.gather import gather
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.mark import DART, GATHER, INNER, LABEL, NOTCH, Mark, On
from sewkit.pattern.notch import distance_from_start, redrawn, spot_of
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.pleat_plan import BOX, KNIFE, Pleats, planned
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.pattern.walking import walk_seam
from sewkit.report import Level
from tests.operations.pieces import named

shapely = pytest.importorskip("shapely")

INCH = 25.4
SKIRT = Chosen((PickedOutline("skirt", ""),))


def box(name, wide, high, y=0.0):
    spots = [(0, y), (wide, y), (wide, y + high), (0, y + high)]
    return named(Path.through(spots, closed=True), "waist side hem centre", name)


def skirt(wide, band):
    """A skirt whose waist is sewn to the lower edge of a band; both run against each other."""
    seam = Seam((EdgeRef("skirt", "waist"),), (EdgeRef("band", "hem", True),))
    return Pattern((box("skirt", wide, 400.0, 100.0), box("band", band, 30.0)), (seam,))


def of_kind(piece, kind):
    return [mark for mark in piece.marks if mark.kind == kind]


def places(piece):
    outline = piece.outlines[0]
    return sorted(distance_from_start(outline, mark.on) for mark in of_kind(piece, NOTCH))


def test_60_cm_with_10_knife_pleats_of_3_cm_lie_120_cm_flat():
    """n (v + 2 p) = 10 (6 + 6) cm; box pleats n (v + 4 p) = 10 (6 + 12) cm."""
    assert Pleats(KNIFE, 10, 60.0, 30.0).flat == pytest.approx(1200.0)
    assert Pleats(BOX, 10, 60.0, 30.0).flat == pytest.approx(1800.0)
    done = gather(skirt(1200.0, 600.0), SKIRT, kind="knife", edge="waist", count=10, depth=30.0)
    assert "60.0 mm seen of each, 600.0 mm finished" in done.report.summary
    # With the pleats folded the waist is as long as the band, and the seam has no ease.
    assert done.pattern.pieces[0].outlines[0].as_sewn("waist") == pytest.approx(600.0)
    assert done.pattern.seams[0].ease == (0.0, 0.0)
    assert done.report.worst <= Level.INFO
    one_less = gather(skirt(1200.0, 600.0), SKIRT, kind="knife", edge="waist", count=9, depth=30.0)
    assert one_less.report.worst > Level.INFO, "1200 - 540 = 660 against 600"


def test_full_pleats_take_three_times_the_finished_width():
    """Depth as wide as what is seen, touching: 3 to 1."""
    made = planned(KNIFE, 900.0, 30.0, 0, 30.0)
    assert (made.count, made.finished) == (10, pytest.approx(300.0))


def test_pleats_that_do_not_fit_whole_are_told_with_the_two_nearest():
    """1000 / (60 + 60) = 8.33: 8 leave 1000 / 8 - 60 = 65, 9 leave 51.1."""
    with pytest.raises(InputError) as told:
        planned(KNIFE, 1000.0, 30.0, 0, 60.0)
    assert "8 with 65.0 mm" in str(told.value) and "9 with 51.1 mm" in str(told.value)
    with pytest.raises(InputError, match="20 pleats of 30 mm take 1200 mm"):
        planned(KNIFE, 1000.0, 30.0, 20, 0.0)


def test_each_fold_meets_its_line_and_has_a_notch():
    """Two knife pleats of 20 on 200 mm: units of 100, 60 seen; folds at 30 and 130, lines 40 further."""
    done = gather(Pattern((box("skirt", 200.0, 400.0),)), kind="knife", edge="waist", count=2, depth=20.0)
    piece = done.pattern.pieces[0]
    feet = sorted(mark.path.nodes[:, 0].mean() for mark in of_kind(piece, NOTCH))
    assert feet == pytest.approx([30.0, 70.0, 130.0, 170.0]), "at the corners there is nothing to notch"
    (mark,) = of_kind(piece, INNER)
    feet = mark.path.curves[:, 0][np.isclose(mark.path.curves[:, 0, 1], 0.0)]
    assert sorted(feet[:, 0]) == pytest.approx([30.0, 70.0, 130.0, 170.0])
    assert mark.path.curves[..., 1].max() == pytest.approx(100.0)


@pytest.mark.parametrize("flat, ratio, sewn", [(48 * INCH, 2.0, 24 * INCH), (50 * INCH, 2.5, 20 * INCH)])
def test_gathers_by_fullness(flat, ratio, sewn):
    """24 in at 2 to 1 take 48 in, 20 at 2.5 take 50 (trade texts); from end to end of the edge."""
    one = gather(skirt(flat, sewn), SKIRT, edge="waist", first="0", until="100%", ratio=ratio).pattern
    walk = walk_seam(one, one.seams[0], "")
    assert not [found for found in notch_findings(one, [""]) if found.code in ("notch-miss", "notch-lone")]
    assert (walk.first, walk.second) == pytest.approx((sewn, sewn), abs=0.01)
    assert walk.worst_notch == pytest.approx(0.0, abs=0.01), "the quarters meet"
    assert [m.text for m in of_kind(one.pieces[0], LABEL)] == ["gather to {:.0f} mm".format(sewn)]


def test_both_sides_are_notched_where_they_meet():
    """From 50 to 350 of 400 mm, gathered to 150: on the band from 50 to 200 of 250 mm, quarters between."""
    done = gather(skirt(400.0, 250.0), SKIRT, edge="waist", first="50", until="350", to=150.0)
    cloth, band = done.pattern.pieces
    assert places(cloth) == pytest.approx([50, 125, 200, 275, 350])
    # The band's edge runs the other way.
    assert places(band) == pytest.approx(sorted(250 - at for at in (50, 87.5, 125, 162.5, 200)))
    assert {m.name for m in of_kind(cloth, NOTCH)} == {m.name for m in of_kind(band, NOTCH)}
    assert done.report.worst <= Level.INFO


def test_the_wavy_line_lies_inside_and_along_the_part():
    piece = gather(
        Pattern((box("skirt", 400.0, 300.0),)), edge="waist", first="50", until="350"
    ).pattern.pieces[0]
    (mark,) = of_kind(piece, GATHER)
    spots = flatten(mark.path, 0.01)
    inside = shapely.Polygon(flatten(piece.outlines[0].path, 0.01)).buffer(-1.0)
    assert inside.contains(shapely.LineString(spots))
    assert (spots[:, 0].min(), spots[:, 0].max()) == pytest.approx((50.0, 350.0))


def test_the_words_stand_inside_and_on_no_line():
    """A narrow part beside a corner: the words about its middle would run over the side."""
    pattern = Pattern((box("skirt", 160.0, 300.0),))
    asked = {"edge": "waist", "kind": "knife", "count": 2, "depth": 5.0, "first": "120", "until": "100%"}
    piece = gather(pattern, **asked).pattern.pieces[0]
    (words,) = of_kind(piece, LABEL)
    line = shapely.LineString(words.path.nodes)
    inside = shapely.Polygon(flatten(piece.outlines[0].path, 0.01))
    assert inside.buffer(-2.0).contains(line)
    drawn = [shapely.LineString(curve[[0, 3]]) for curve in of_kind(piece, INNER)[0].path.curves]
    assert all(line.distance(one) > 2.0 for one in drawn)


def test_run_again_it_replaces_and_taken_away_all_is_as_before():
    pattern = skirt(400.0, 200.0)
    once = gather(pattern, SKIRT, edge="waist", first="0", until="100%").pattern
    twice = gather(once, SKIRT, edge="waist", first="0", until="100%").pattern
    assert twice.seams == once.seams
    assert [len(p.marks) for p in twice.pieces] == [len(p.marks) for p in once.pieces]
    assert gather(once, SKIRT, kind="remove", edge="waist").pattern == pattern


@pytest.mark.parametrize("first", ["", "50"])
def test_box_pleats_are_folded_between_their_tops(first):
    """Two of 10, four times as much in each: on 200 mm 60 are seen, and the row begins with half of one.

    On the 120 mm from 50 to 170, 20 are seen of each; what two have between them is one mouth.
    """
    asked = {"kind": "box", "edge": "waist", "count": 2, "depth": 10.0, "first": first}
    asked.update({"until": "170"} if first else {})
    piece = gather(Pattern((box("skirt", 200.0, 400.0),)), **asked).pattern.pieces[0]
    outline = piece.outlines[0]
    mouths = [outline.runs(name)[0].nodes[:, 0] for name in outline.names if name in piece.darts]
    # halves: 30 seen, 40 folded, 60 seen; whole: 20 folded, 20 seen, 40 folded, 20 seen, 20 folded
    wide = [(30.0, 70.0), (130.0, 170.0)] if not first else [(50.0, 70.0), (90.0, 130.0), (150.0, 170.0)]
    assert [(one.min(), one.max()) for one in mouths] == [pytest.approx(pair) for pair in wide]
    assert outline.as_sewn("waist") == pytest.approx(120.0)


def test_pleats_on_a_curve_keep_other_notches_and_go_again_without_a_trace():
    """A quarter circle; its notch stays on the spot, and taken away the curve is one curve again."""
    half = 300.0 * 0.5522847498
    curve = [[(0, 0), (half, 0), (300, 300 - half), (300, 300)]]
    corners = np.array([(300.0, 300.0), (400.0, 700.0), (0.0, 700.0)])
    sides = lines(corners, np.array([*corners[1:], (0.0, 0.0)]))
    piece = named(
        Path(np.concatenate([np.array(curve), sides]), closed=True), "waist side hem centre", "skirt"
    )
    notch = Mark(NOTCH, "zip", "", None, On("waist", 100.0, True))
    piece = piece._replace(marks=(redrawn(notch, piece.outlines[0]),))
    pattern = Pattern((piece,))
    done = gather(pattern, kind="knife", edge="waist", count=4, depth=25.0)
    pleated = done.pattern.pieces[0]
    whole = piece.outlines[0].as_sewn("waist")
    assert pleated.outlines[0].as_sewn("waist") == pytest.approx(whole - 4 * 50.0, abs=1e-3)
    (kept,) = [mark for mark in pleated.marks if mark.name == "zip"]
    now = spot_of(pleated.outlines[0], kept.on).point
    assert now == pytest.approx(spot_of(piece.outlines[0], notch.on).point, abs=1e-3)
    assert "pleat-top" in [one.code for one in done.report.findings]
    back = gather(done.pattern, kind="remove", edge="waist").pattern.pieces[0]
    assert back.darts == () and back.outlines[0].edges == piece.outlines[0].edges
    assert back.outlines[0].path.curves == pytest.approx(piece.outlines[0].path.curves, abs=1e-6)
    assert back.marks[0].on.distance == pytest.approx(100.0, abs=1e-3) and len(back.marks) == 1


def test_each_size_is_gathered_by_its_own_amount_and_alone():
    """Waists of 400 and 440 gathered to half, sewn to 200 and 220; then size 2 has its gathers taken away."""
    sizes = [(box("skirt", 400.0, 400.0, 100.0), box("band", 200.0, 30.0))]
    sizes += [(box("skirt", 440.0, 400.0, 100.0), box("band", 220.0, 30.0))]
    pieces = [
        first._replace(
            outlines=tuple(one.outlines[0]._replace(size=size) for one, size in ((first, "1"), (other, "2")))
        )
        for first, other in zip(*sizes)
    ]
    seam = Seam((EdgeRef("skirt", "waist"),), (EdgeRef("band", "hem", True),))
    pattern = Pattern(tuple(pieces), (seam,))
    both = tuple(PickedOutline("skirt", size) for size in ("1", "2"))
    asked = {"edge": "waist", "first": "0", "until": "100%"}
    done = gather(pattern, Chosen(both), **asked)
    assert done.report.worst <= Level.INFO
    for size in ("1", "2"):
        assert walk_seam(done.pattern, seam, size).difference == pytest.approx(0.0, abs=1e-6)
    left = gather(done.pattern, Chosen(both[1:]), kind="remove", edge="waist").pattern
    found = [walk_seam(left, seam, size).difference for size in ("1", "2")]
    assert found == pytest.approx([0.0, 220.0], abs=1e-6)
    assert {mark.size for piece in left.pieces for mark in piece.marks} == {"1"}


@pytest.mark.parametrize("first, told", [("50", True), ("220", False)])
def test_a_drawn_dart_in_the_part_is_told(first, told):
    """Its mouth from 100 to 140 mm counts as cloth."""
    legs = Path(lines(np.array([(100.0, 0.0), (120.0, 90.0)]), np.array([(120.0, 90.0), (140.0, 0.0)])))
    piece = box("skirt", 400.0, 300.0)._replace(marks=(Mark(DART, "waist-dart", "", legs),))
    done = gather(Pattern((piece,)), edge="waist", first=first, until="350")
    assert ("over-dart" in [one.code for one in done.report.findings]) == told


def test_what_cannot_be_taken_in_is_told():
    pattern = Pattern((box("skirt", 400.0, 300.0),))
    for values, words in [
        ({}, "No edge is named"),
        ({"edge": "neck"}, "no edge called 'neck'"),
        ({"edge": "waist", "to": 500.0}, "cannot be gathered"),
        ({"edge": "waist", "first": "50", "until": "60"}, "too short"),
        ({"edge": "waist", "kind": "box"}, "not said how many"),
    ]:
        with pytest.raises(InputError, match=words):
            gather(pattern, **values)
    assert "unpaired" in [one.code for one in gather(pattern, edge="waist").report.findings]


def test_the_whole_edge_is_gathered_to_what_was_asked_and_measured_so():
    """250 to 150 with 10 mm flat at both ends: 230 to 130; cut twice the hem is 300 finished."""
    piece = box("back", 250.0, 400.0)._replace(cut=2)
    done = gather(Pattern((piece,)), edge="hem", to=150.0)
    assert "gather 230 mm to 130 mm" in done.report.summary
    assert "10.0 mm at each end stay flat; the whole edge is 150.0 mm as sewn" in done.report.summary
    (row,) = finished(done.pattern, "", ["hem"])
    assert (row.girth, row.taken) == pytest.approx((300.0, 200.0))
    # Where a part is said, the length is that of the part.
    part = gather(Pattern((piece,)), edge="hem", first="50", until="190", to=100.0)
    assert "110.0 mm beside them stay flat; the whole edge is 210.0 mm as sewn" in part.report.summary
    with pytest.raises(InputError, match="stay flat at its ends"):
        gather(Pattern((piece,)), edge="hem", to=15.0)


def test_a_pleated_edge_is_measured_as_it_is_sewn():
    """Four knife pleats of 25 mm take 4 x 50 of 400."""
    piece = box("skirt", 400.0, 400.0)
    done = gather(Pattern((piece,)), kind="knife", edge="waist", count=4, depth=25.0).pattern
    (row,) = finished(done, "", ["waist"])
    assert (row.girth, row.taken) == pytest.approx((200.0, 200.0))
