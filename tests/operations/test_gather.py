"""Gathers and pleats: lengths by the trade's worked examples, what the seam knows, replaced, taken away."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import flatten
from sewkit.operations.gather import gather
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.mark import GATHER, LABEL, NOTCH
from sewkit.pattern.notch import distance_from_start
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.pleat_plan import BOX, KNIFE, Pleats, planned
from sewkit.pattern.seam import EdgeRef, Seam
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
    # The seam is 600 mm longer on the cloth on purpose, so nothing is amiss.
    assert done.pattern.seams[0].ease == (599.5, 600.5)
    assert done.report.worst <= Level.INFO


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
    assert places(piece) == pytest.approx([0.0, 30.0, 70.0, 130.0, 170.0, 200.0])
    (mark,) = of_kind(piece, GATHER)
    feet = mark.path.curves[:, 0][np.isclose(mark.path.curves[:, 0, 1], 0.0)]
    assert sorted(feet[:, 0]) == pytest.approx([30.0, 70.0, 130.0, 170.0])
    assert mark.path.curves[..., 1].max() == pytest.approx(100.0)


@pytest.mark.parametrize("flat, ratio, sewn", [(48 * INCH, 2.0, 24 * INCH), (50 * INCH, 2.5, 20 * INCH)])
def test_gathers_by_fullness(flat, ratio, sewn):
    """24 in at 2 to 1 take 48 in, 20 at 2.5 take 50 (trade texts); from end to end of the edge."""
    one = gather(skirt(flat, sewn), SKIRT, edge="waist", first="0", until="100%", ratio=ratio).pattern
    assert one.seams[0].ease == pytest.approx((flat - sewn - 0.5, flat - sewn + 0.5), abs=0.01)
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
    drawn = [shapely.LineString(curve[[0, 3]]) for curve in of_kind(piece, GATHER)[0].path.curves]
    assert all(line.distance(one) > 2.0 for one in drawn)


def test_run_again_it_replaces_and_taken_away_all_is_as_before():
    pattern = skirt(400.0, 200.0)
    once = gather(pattern, SKIRT, edge="waist", first="0", until="100%").pattern
    twice = gather(once, SKIRT, edge="waist", first="0", until="100%").pattern
    assert twice.seams == once.seams
    assert [len(p.marks) for p in twice.pieces] == [len(p.marks) for p in once.pieces]
    assert gather(once, SKIRT, kind="remove", edge="waist").pattern == pattern


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
