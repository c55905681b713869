"""Buttons: spacing by the worked examples of the trade, holes by their rule, both sides alike."""

import pathlib

import numpy as np
import pytest

from sewkit.cli import main
from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.operations.buttons import buttons
from sewkit.operations.lengthen import lengthen
from sewkit.pattern.button_marks import diameter_of, hole_length
from sewkit.pattern.button_spacing import Room, by_anchor, by_count, by_count_at
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.faint import ring
from sewkit.pattern.mark import BUTTON, BUTTONHOLE, DRILL, LEVEL, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.report import Level
from tests.operations.pieces import level, named

MASTER = pathlib.Path(__file__).parents[2] / "samples" / "waistcoat" / "master.svg"
INCH = 25.4


def front(marks=(), name="front", wide=200.0, high=600.0):
    """A front whose edge is the line x = 0; the piece lies to the right of it."""
    spots = [(0, 0), (wide, 0), (wide, high), (0, high)]
    return named(Path.through(spots, closed=True), "neck side hem edge", name, marks=tuple(marks))


def marks_of(piece, kind):
    return [mark for mark in piece.marks if mark.kind == kind]


def heights(piece, kind=BUTTON):
    return [mark.middle[1] for mark in marks_of(piece, kind)]


def codes(report, least=Level.PASS):
    return [finding.code for finding in report.findings if finding.level >= least]


def test_six_buttons_over_eighteen_inches_are_3_6_inches_apart():
    """A club handout's formula, (last - first) / (n - 1)."""
    row = by_count(0.0, 18 * INCH, 6)
    assert row.spacing == pytest.approx(3.6 * INCH)
    piece = front(high=15 + 18 * INCH + 100)
    done = buttons(Pattern((piece,)), edge="edge", inside=20, first=15, last=100, count=6).pattern.pieces[0]
    assert heights(done) == pytest.approx([15 + 3.6 * INCH * n for n in range(6)])


@pytest.mark.parametrize(
    "anchor, wished, spacing, count",
    [
        # From 16 down to 480: 256 / 3 = 85.33 is nearer 80 than 256 / 4 = 64.
        (272.0, 80.0, 256.0 / 3, 6),
        # 256 / 4 = 64 is nearer 70 than 85.33; (480 - 16) / 64 = 7.25, so eight buttons.
        (272.0, 70.0, 64.0, 8),
        # Nearer than the wish: one step.
        (50.0, 80.0, 34.0, 14),
    ],
)
def test_a_button_falls_on_the_anchor_and_the_row_goes_on(anchor, wished, spacing, count):
    row = by_anchor(16.0, 480.0, anchor, wished)
    assert row.spacing == pytest.approx(spacing) and len(row.places) == count
    assert min(abs(place - anchor) for place in row.places) < 1e-9
    assert row.places[-1] <= 480.0 < row.places[-1] + row.spacing


def test_so_many_with_one_on_the_level_and_the_ends_near_the_wish():
    """From 16 to 500 with 5, one at 250: two steps above and two below miss least.

    s = (2 (250 - 16) + 2 (500 - 250)) / (4 + 4) = 121: from 8 to 492, but the button of 20 has no
    room above 10, so s = 120: 10 to 490.
    """
    done = buttons(
        Pattern((front([level("waist", 250.0)]),)), edge="edge", inside=20, count=5, anchors="waist"
    )
    assert heights(done.pattern.pieces[0]) == pytest.approx([10.0, 130.0, 250.0, 370.0, 490.0])
    (told,) = [one for one in done.report.findings if one.code == "button-ends"]
    assert "10.0 mm below the top end (16.0 wished)" in told.text
    assert "110.0 mm above the lower end (100.0 wished)" in told.text
    assert "button-level" not in codes(done.report)


def test_where_so_many_do_not_fit_the_next_numbers_are_told():
    """One half way: two would have an end 200 mm off; three lie 200 mm apart."""
    with pytest.raises(InputError) as told:
        by_count_at(Room(0.0, 400.0, 0.0, 500.0), 200.0, 2)
    assert "Those that fit: 3, 200.0 mm apart from 0.0 to 400.0" in str(told.value)
    with pytest.raises(InputError, match="another level"):
        by_count_at(Room(0.0, 400.0, 0.0, 500.0), 600.0, 5)


def test_two_anchors_that_cannot_both_be_hit_are_told_by_how_much():
    """First 16, bust 160, waist 340: 144 / 2 = 72 apart; the waist is 36 mm from two."""
    piece = front([level("bust", 160.0), level("waist", 340.0)])
    done = buttons(Pattern((piece,)), edge="edge", inside=20, anchors="bust waist", spacing=72)
    assert heights(done.pattern.pieces[0])[:3] == pytest.approx([16.0, 88.0, 160.0])
    (told,) = [one for one in done.report.findings if one.code == "button-level"]
    assert told.level == Level.WARN and "36.0 mm from the waist" in told.text


def test_the_bust_is_told_even_where_nobody_asked():
    """Evenly from 16 to 500 with 7 buttons: 80.67 apart; bust at 180, buttons at 177.33: 2.7 mm, good."""
    done = buttons(Pattern((front([level("bust", 180.0)]),)), edge="edge", inside=20)
    (told,) = [one for one in done.report.findings if one.code == "button-level"]
    assert told.level == Level.INFO and "2.7 mm from the bust" in told.text


def test_the_hole_is_as_long_as_the_rule_says_and_begins_past_the_centre():
    """Button 1 in, 1/4 in thick: slot 1 1/4 in, worked 1 3/8 in with the eighth (3 mm here) more."""
    assert hole_length(INCH, INCH / 4, False) == pytest.approx(1.25 * INCH)
    assert hole_length(INCH, INCH / 4, True) == pytest.approx(1.25 * INCH + 3.0)
    piece = front()
    asked = {"edge": "edge", "inside": 30, "diameter": "1in", "thickness": INCH / 4, "worked": False}
    done = buttons(Pattern((piece,)), **asked).pattern.pieces[0]
    one = marks_of(done, BUTTONHOLE)[0].path.curves[0]
    # The edge is at x = 0, the centre at 30: from 27, inwards.
    assert (one[0, 0], one[3, 0]) == pytest.approx((27.0, 27.0 + 1.25 * INCH))
    upright = buttons(Pattern((piece,)), holes="vertical", **asked).pattern.pieces[0]
    one = marks_of(upright, BUTTONHOLE)[0].path.curves[0]
    top = heights(upright)[0]
    assert one[:, 0] == pytest.approx(30.0)
    assert (one[0, 1], one[3, 1]) == pytest.approx((top - 3, top - 3 + 1.25 * INCH))


@pytest.mark.parametrize("words, size", [("24L", 15.24), ("40L", 25.4), ("18 ligne", 11.43), ("2cm", 20.0)])
def test_lignes(words, size):
    """40 lignes are an inch."""
    assert diameter_of(words) == pytest.approx(size)


@pytest.mark.parametrize(
    "inside, diameter, short", [(15.9, "20", True), (16.0, "20", False), (11.0, "10", True)]
)
def test_the_stand_is_half_the_button_and_six_mm(inside, diameter, short):
    """Half of 20 and 6 is 16; half of 10 and 6 is 11, but 12 at least."""
    report = buttons(Pattern((front(),)), edge="edge", inside=inside, diameter=diameter).report
    assert ("button-stand" in codes(report, Level.WARN)) == short


def test_both_sides_get_the_same_places_and_an_old_row_goes():
    drilled = [Mark(DRILL, "b{}".format(n), "", ring((20.0, 30.0 + 90.0 * n), 4.0)) for n in range(5)]
    pocket = Mark(DRILL, "pocket", "", ring((120.0, 300.0), 4.0))
    pattern = Pattern((front([*drilled, pocket], "right"), front(name="left")))
    picked = Chosen((PickedOutline("right", ""),))
    values = {"edge": "edge", "inside": 20, "draw": "holes", "partner": "left"}
    done = buttons(pattern, picked, **values).pattern
    right, left = done.piece("right"), done.piece("left")
    assert [mark.name for mark in marks_of(right, DRILL)] == ["pocket"] and not marks_of(right, BUTTON)
    assert heights(right, BUTTONHOLE) == pytest.approx(heights(left, BUTTON))
    # The old row was 90 mm apart: 484 / 5 = 96.8 is nearer to that than 484 / 6.
    assert np.diff(heights(left)) == pytest.approx(96.8)
    again = buttons(done, picked, **{**values, "count": 4}).pattern
    assert len(marks_of(again.piece("right"), BUTTONHOLE)) == len(marks_of(again.piece("left"), BUTTON)) == 4


def test_lengthen_takes_the_row_along():
    """60 mm let in between the first and the last of 5 buttons: 15 mm more between each two."""
    waist = level("waist", 250.0)
    piece = buttons(Pattern((front([waist]),)), edge="edge", inside=20, count=5).pattern.pieces[0]
    after = lengthen(Pattern((piece,)), at="waist", amount=60.0).pattern.pieces[0]
    for kind in (BUTTON, BUTTONHOLE):
        assert np.diff(heights(after, kind)) == pytest.approx(np.diff(heights(piece, kind)) + 15.0)


def test_a_nest_through_the_command(tmp_path):
    """The waist lies alike in all sizes of the waistcoat, so one row serves them all."""
    target = tmp_path / "out.svg"
    options = ["--piece", "front", "--edge", "front-edge", "--inside", "20", "--anchors", "waist"]
    assert main(["buttons", str(MASTER), "-o", str(target), *options, "--diameter", "24L"]) == 0
    piece = open_drawing(str(target))[0].pattern.piece("front")
    waist = next(mark.middle[1] for mark in piece.marks if mark.kind == LEVEL and mark.name == "waist")
    row = marks_of(piece, BUTTON)
    assert {mark.size for mark in row} == {""} and not marks_of(piece, DRILL)
    assert min(abs(mark.middle[1] - waist) for mark in row) < 1e-6
    # samples/make_master.py lays the centre line of the front at 815 mm.
    assert all(mark.middle[0] == pytest.approx(815.0) for mark in row)
    assert np.ptp(row[0].path.nodes[:, 0]) == pytest.approx(15.24, abs=1e-6)


def test_what_is_only_told_and_what_is_refused():
    pattern = Pattern((front(),))
    told = buttons(pattern, edge="edge", inside=20, wearer="woman", last=60).report
    assert {"button-side", "button-last"} <= set(codes(told))
    assert "child" in codes(buttons(pattern, edge="edge", inside=20, wearer="child").report)
    for values, words in [
        ({"edge": "front"}, "no edge and no line"),
        ({"edge": "hem"}, "runs across"),
        ({"edge": "edge", "count": 40}, "apart and are"),
        ({"edge": "edge", "last": 590.0}, "no room"),
        ({"edge": "edge", "diameter": "2"}, "no usual one"),
        ({"edge": "edge", "inside": 250.0}, "does not lie on"),
        ({"edge": ""}, "No centre line"),
    ]:
        with pytest.raises(InputError, match=words):
            buttons(pattern, **values)
