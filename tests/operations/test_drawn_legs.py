"""Darts drawn with two lines over a bare outline: what the next step meets."""

import io
import pathlib

import pytest

from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.operations.dart_change import dart_change
from sewkit.operations.dart_into import dart_into
from sewkit.operations.dart_move import dart_move
from sewkit.operations.dart_true import dart_true
from sewkit.operations.dart_turn import dart_turn
from sewkit.operations.darts import darts

# Half a skirt front: the waist runs from (50, 50) to (290, 50), the dart drawn on it is 22.6 mm wide and
# 100 mm long.
SKIRT = b"""<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="800mm" viewBox="0 0 400 800">
<path id="outline" d="M 50,50 L 290,50 C 310,150 320,250 320,300 L 330,700 L 50,700 Z"/>
<path id="leg1" d="M 139,50 L 150,150"/>
<path id="leg2" d="M 161.6,50 L 150,150"/>
<path id="beside" d="M 200,200 L 200,600"/>
</svg>"""
ALL = ("outline", "leg1", "leg2")
AFTER = (
    (darts, {"action": "cut"}),
    (dart_change, {"given": "by", "amount": -8.0}),
    (dart_turn, {"to": "2"}),
    (dart_move, {"down": 0.0, "out": 20.0}),
    (dart_true, {}),
)


def skirt(data=SKIRT, ids=ALL):
    return open_drawing(io.BytesIO(data), ids=ids)


def after(step, values, data=SKIRT, ids=ALL):
    """The drawing after one step, as it would be saved, and what was told."""
    drawing, chosen = skirt(data, ids)
    outcome = step(drawing.pattern, chosen, **values)
    drawing.put(outcome.pattern)
    return drawing.as_bytes(), outcome.report


@pytest.mark.parametrize("step, values", (*AFTER, (dart_into, {"into": "gathers"})))
def test_drawn_legs_go_when_their_dart_is_cut_in_and_it_is_told(step, values):
    data, report = after(step, values)
    assert b"leg1" not in data and b"leg2" not in data
    assert b'<path id="beside" d="M 200,200 L 200,600"/>' in data
    assert "legs-taken" in [finding.code for finding in report.findings]


@pytest.mark.parametrize("step, values", AFTER)
def test_the_next_step_finds_the_dart_without_its_lines(step, values):
    data, _ = after(step, values)
    _, report = after(dart_change, {"dart": "1", "given": "by", "amount": 1.0}, data, ("outline",))
    assert report.summary.startswith("The dart 'dart-1' of 'outline' is")


def test_other_lines_that_are_picked_stay():
    data, _ = after(dart_change, {"given": "by", "amount": -8.0}, ids=(*ALL, "beside"))
    assert b"beside" in data and b"leg1" not in data


def test_lines_left_over_an_outline_that_has_the_dart_mean_that_dart():
    """Drawings of before: the dart narrowed to 14.6 mm, its first lines still there."""
    data, _ = after(dart_change, {"given": "by", "amount": -8.0})
    legs = b'<path id="leg1" d="M 139,50 L 150,150"/><path id="leg2" d="M 161.6,50 L 150,150"/></svg>'
    data, report = after(dart_true, {}, data.replace(b"</svg>", legs))
    assert report.summary.startswith("'dart-1' of outline")
    assert b"leg1" not in data
    (table,) = [table for table in report.tables if table.title == "Trued darts"]
    assert len(table.rows) == 1


def test_the_list_takes_picked_legs_for_a_dart_and_says_what_is_missing():
    drawing, chosen = skirt()
    (table,) = darts(drawing.pattern, chosen, action="check").report.tables
    # 22.6 mm wide; at the point atan(11 / 100) + atan(11.6 / 100) = 12.894 degrees
    assert [row[2:5] for row in table.rows] == [("dart-1", "12.89", "22.60")]
    drawing, chosen = skirt(ids=("outline",))
    assert "select its two legs" in darts(drawing.pattern, chosen, action="check").report.summary


def test_writing_beside_a_dart_leaves_its_drawn_legs():
    data, _ = after(darts, {"action": "show"})
    assert b"leg1" in data and b"12.9 degrees, 22.6 mm" in data


def rows(report, title):
    return [row for table in report.tables if table.title.startswith(title) for row in table.rows]


def test_cutting_in_does_not_compare_edges_that_are_numbered_anew():
    _, report = after(darts, {"action": "cut"})
    assert not rows(report, "Edges before and after")


def test_a_dart_of_drawn_legs_has_its_measures_before_in_the_table():
    _, report = after(dart_change, {"given": "by", "amount": -8.0})
    ((_, _, name, _, _, *intake),) = [row[:7] for row in rows(report, "Darts before")]
    assert (name, [float(length) for length in intake]) == ("dart-1", pytest.approx([22.6, 14.6], abs=0.006))
    _, report = after(dart_turn, {"to": "2"})
    assert float(rows(report, "Darts before")[0][5]) == pytest.approx(22.6, abs=0.006)


# The same waist with two darts cut in: at 130 and at 220, both 20 mm wide and 100 mm long.
TWO = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="800mm" viewBox="0 0 400 800">'
    b'<path id="outline" d="M 50,50 L 120,50 L 130,150 L 140,50 L 210,50 L 220,150 L 230,50 L 290,50 '
    b'L 330,700 L 50,700 Z"/></svg>'
)


def test_two_darts_put_together_keep_their_numbers_in_the_table():
    """The first is gone, and the second, 20 mm wide before, has both angles."""
    _, report = after(dart_turn, {"dart": "1", "to": "dart-2"}, TWO, ("outline",))
    found = {row[2]: row for row in rows(report, "Darts before")}
    assert set(found) == {"dart-1", "dart-2, now dart-1"}
    assert found["dart-1"][4] == "-"
    one, two = (float(text) for text in found["dart-2, now dart-1"][3:5])
    assert one == pytest.approx(11.421, abs=0.002) and two > 1.9 * one  # 2 atan(10 / 100)


def test_a_dart_turned_beyond_another_is_called_by_both_its_numbers():
    _, report = after(dart_turn, {"dart": "1", "to": "8"}, TWO, ("outline",))
    found = [row[2] for row in rows(report, "Darts before")]
    assert "dart-1, now dart-2" in found and not any(name.startswith("dart-2, ") for name in found[:1])
    turned = next(row for row in rows(report, "Darts before") if row[2] == "dart-1, now dart-2")
    assert float(turned[5]) == pytest.approx(20.0, abs=0.006)


def told(report, code):
    return [finding.text for finding in report.findings if finding.code == code]


def test_what_is_taken_for_the_centre_of_a_bare_outline_is_told():
    """The straight one, 650 mm on the left; the side is longer, at least hypot(40, 650), but curved."""
    _, report = after(dart_true, {})
    (text,) = told(report, "centre")
    assert "nothing tells where the centre is, so the left edge (4)" in text


def test_moved_outwards_it_is_told_which_way_that_is_and_nothing_of_down():
    _, report = after(dart_move, {"down": 0.0, "out": 20.0})
    (text,) = told(report, "centre")
    assert "the left edge" in text and text.endswith("outwards is to the right.")
    assert not told(report, "upright")


def test_legs_a_millimetre_apart_are_no_good_dart_but_one_to_true():
    """hypot(6, 100) = 100.18 mm and hypot(12, 100) = 100.72 mm."""
    data = SKIRT.replace(b"M 139,50 L", b"M 144,50 L").replace(b"M 161.6,50 L", b"M 162,50 L")
    drawing, chosen = skirt(data)
    report = darts(drawing.pattern, chosen, action="check").report
    (table,) = report.tables
    assert [level.word for level in table.levels] == ["note"]
    assert "differ by 0.5 mm" in told(report, "legs-uneven")[0]


def test_words_stand_beside_the_middle_of_a_dart_and_not_on_its_legs():
    """Half way down the right leg is (155.8, 100); the words begin right of it, 50 mm above the point."""
    drawing, chosen = skirt()
    shown = darts(drawing.pattern, chosen).pattern.piece("outline").marks
    (words,) = [mark for mark in shown if mark.text]
    x, y = words.path.start
    assert 155.8 < x < 170.0 and y == pytest.approx(100.0, abs=10.0)


def test_the_legs_asked_for_once_more_are_said_to_be_gone():
    data, _ = after(dart_change, {"given": "by", "amount": -8.0})
    with pytest.raises(InputError, match=r"'leg1'.*goes when its dart is cut in"):
        skirt(data)


BODICE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "bodice" / "master.svg"


def bodice(step, **values):
    drawing, chosen = open_drawing(str(BODICE), pieces=["front"])
    return step(drawing.pattern, chosen, **values).report


def test_in_a_nest_one_sentence_tells_all_sizes_and_each_cap_its_dart():
    report = bodice(dart_true)
    assert report.summary.count("'bust-dart' of front (sizes A to C) is pressed down") == 1
    assert report.summary.count("'bust-dart'") == 1
    assert [change.text.split(" cap ")[0] for change in report.changes] == ["bust-dart", "waist-dart"]
    assert bodice(dart_change, dart="bust-dart", amount=20.0).summary.endswith(
        "The numbers of sizes B and C are in the tables."
    )
    assert "Only size C is written on" in bodice(darts).summary


def test_a_level_dart_pressed_to_the_side_is_told_how_such_darts_are_pressed():
    (text,) = told(bodice(dart_true, dart="bust-dart", press="side"), "pressed")
    assert "usually pressed down" in text
    assert not told(bodice(dart_true, dart="bust-dart", press="up"), "pressed")


def test_each_angle_says_where_it_is_measured():
    report = bodice(dart_turn, dart="bust-dart", to="shoulder")
    assert "at its pivot" in report.summary
    assert all("at the pivot" in change.text for change in report.changes)
    (table,) = [table for table in report.tables if table.title == "Darts before and after"]
    assert "degrees at its point before" in table.columns


def test_points_that_end_together_are_told_once():
    """Half of a dart turned: both halves end at 130, 150."""
    one = TWO.replace(b"L 210,50 L 220,150 L 230,50 ", b"")
    _, report = after(dart_turn, {"dart": "1", "to": "5", "share": 50.0}, one, ("outline",))
    (text,) = told(report, "dart-point")
    assert "back both points off" in text
