"""Show, name and cut in darts."""

import pathlib

import pytest

from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.operations.darts import darts
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedNode, PickedOutline
from sewkit.pattern.mark import DART, DRILL, INNER, OVERLAY, Mark
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from tests.operations.pieces import R1, bare, named, named_outline, notch, r1

BODICE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "bodice" / "master.svg"
BOX = Path.through([(0, 0), (300, 0), (300, 200), (0, 200)], closed=True)
ROUND = Path.through([(-10, -10), (310, -10), (310, 210), (-10, 210)], closed=True)
LEFT = Path.through([(60, 0), (70, 90), (80, 0)])
KITE = Path.through([(150, 60), (156, 110), (150, 160), (144, 110)], closed=True)


def back(*marks, **more):
    return named(BOX, "waist side hem centre", "back", marks=marks, **more)


def dart_mark(path=LEFT, name="left-dart", key="k"):
    return Mark(DART, name, path=path, key=key)


def writing(pattern):
    return [mark for piece in pattern.pieces for mark in piece.marks if mark.kind == OVERLAY]


def test_showing_writes_beside_each_dart_of_one_size_and_hiding_takes_it_away():
    before = open_drawing(str(BODICE))[0].pattern
    shown = darts(before)
    words = [mark for mark in writing(shown.pattern) if mark.text]
    assert sorted(mark.text.split()[0] for mark in words) == [
        "bust-dart",
        "shoulder-dart",
        "waist-dart",
        "waist-dart",
    ]
    assert {mark.size for mark in words} == {"C"}
    again = darts(shown.pattern)
    assert again.pattern == shown.pattern
    assert darts(shown.pattern, action="hide").pattern == before


def test_checking_lists_every_dart_and_changes_nothing():
    outcome = darts(Pattern((r1(), back(dart_mark()))), action="check")
    assert outcome.pattern == Pattern((r1(), back(dart_mark())))
    (table,) = outcome.report.tables
    assert [row[2] for row in table.rows] == ["dart", "left-dart"]
    assert outcome.report.summary == "'front' has 1 dart, 'back' has 1 dart."
    assert darts(Pattern((back(),))).report.summary == "No dart is found here."


def test_cutting_in_takes_all_drawn_darts_and_makes_the_cut_line_anew():
    piece = back(dart_mark(), dart_mark(KITE, "body-dart", "o"), notch("waist", 200.0))
    piece = piece._replace(allowance={"": 10.0}, cut_lines=(CutLine("", ROUND),))
    outcome = darts(Pattern((piece, r1())), action="cut")
    made = outcome.pattern.piece("back")
    assert made.darts == ("left-dart",)
    assert made.outlines[0].as_sewn("waist") == pytest.approx(280.0)
    assert [mark.name for mark in made.marks if mark.kind == DART] == ["body-dart"]
    assert [mark.on.distance for mark in made.marks if mark.on] == pytest.approx([180.0])
    assert made.cut_lines[0].path != ROUND
    assert outcome.pattern.piece("front") == r1()
    assert outcome.report.summary.startswith("Cut into the outline of 'back': left-dart.")
    codes = [finding.code for finding in outcome.report.findings]
    assert "dart-cut-in" in codes
    edges = [row for table in outcome.report.tables for row in table.rows if "waist" in row]
    assert edges == [("back", "waist", "300.00", "280.00", "-20.00")]
    assert "No drawn dart is left" in darts(outcome.pattern, action="cut").report.summary


def test_side_seams_of_the_bodice_fit_once_its_darts_are_cut_in():
    before = open_drawing(str(BODICE))[0].pattern
    after = darts(before, action="cut").pattern
    for size in ("A", "B", "C"):
        # The draft makes both sides 190 mm with the dart closed.
        assert after.piece("front").outline(size).as_sewn("side") == pytest.approx(190.0, abs=1e-4)
        assert after.piece("back").outline(size).as_sewn("side") == pytest.approx(190.0, abs=1e-4)


def test_drawn_lines_are_cut_into_a_bare_outline_which_stays_bare():
    lines = Piece("leg", (bare_outline(LEFT, key="leg"),), named=False)
    pattern = Pattern(bare(BOX).pieces + (lines,))
    chosen = Chosen((PickedOutline("line", ""), PickedOutline("leg", "")))
    made = darts(pattern, chosen, action="cut").pattern.piece("line")
    assert not made.named and made.darts == ()
    assert [edge.name for edge in made.outlines[0].edges] == [str(n) for n in range(1, 8)]


def test_a_dart_gets_its_name_by_three_nodes():
    words = "neck shoulder armhole side 5 6 side waist centre"
    pattern = Pattern((named(R1, words, "front"),))
    nodes = tuple(PickedNode("front", "", at) for at in ((95, 265), (245.958, 284.851), (240.994, 308.222)))
    outcome = darts(pattern, Chosen((PickedOutline("front", ""),), nodes), action="name", called="bust-dart")
    made = outcome.pattern.piece("front")
    assert made.darts == ("bust-dart",)
    assert made.outlines[0].as_sewn("side") == pytest.approx(190.515, abs=0.02)


def test_a_new_name_goes_to_legs_notches_cap_and_pressing():
    cap = Mark(INNER, "cap-dart", path=Path.through([(240, 300), (245, 297)]))
    drill = Mark(DRILL, "dart-point-20", path=Path.through([(119, 268), (121, 268)]))
    piece = r1(marks=(notch("dart", 0.0), cap, notch("side", 30.0), drill), pressed={"dart": "down"})
    made = darts(Pattern((piece,)), action="name", called="bust-dart").pattern.piece("front")
    assert made.darts == ("bust-dart",) and made.pressed == {"bust-dart": "down"}
    assert [mark.on.edge for mark in made.marks if mark.on] == ["bust-dart", "side"]
    assert [mark.name for mark in made.marks if mark.kind == INNER] == ["cap-bust-dart"]
    assert [mark.name for mark in made.marks if mark.kind == DRILL] == ["bust-dart-point-20"]
    assert made.outlines[0].path == piece.outlines[0].path


def test_a_drawn_dart_keeps_its_name_when_it_is_cut_in():
    pattern = Pattern((back(dart_mark(), dart_mark(KITE, "body-dart", "o")),))
    named_anew = darts(pattern, action="name", dart="left-dart", called="waist-dart").pattern
    named_anew = darts(named_anew, action="name", dart="body-dart", called="long-dart").pattern
    assert [mark.name for mark in named_anew.piece("back").marks] == ["waist-dart", "long-dart"]
    assert darts(named_anew, action="cut").pattern.piece("back").darts == ("waist-dart",)


@pytest.mark.parametrize(
    "pattern, values, match",
    [
        (Pattern((r1(),)), {}, "no new name"),
        (Pattern((r1(),)), {"called": "side"}, "dart or an edge 'side' already"),
        (Pattern((r1(),)), {"called": "a/b"}, "name of a dart"),
        (Pattern((r1(),)), {"dart": "x", "called": "y"}, "no dart called 'x'.*1 dart \\(23.9 mm wide\\)"),
        (bare(R1), {"called": "bust-dart"}, "has no names"),
    ],
)
def test_names_that_cannot_be_given_are_told(pattern, values, match):
    chosen = Chosen((PickedOutline("line", ""),)) if pattern.pieces[0].name == "line" else EVERYTHING
    with pytest.raises(InputError, match=match):
        darts(pattern, chosen, action="name", **values)


def test_a_new_name_in_one_size_leaves_the_dart_of_the_others():
    """Legs in both sizes, named alike; the name is changed in one: the other keeps dart and pressing."""
    words = "waist d d waist side hem centre"
    path = Path.through([(0, 0), (140, 0), (150, 100), (160, 0), (300, 0), (300, 200), (0, 200)], closed=True)
    lines = tuple(named_outline(path, words, size) for size in ("S", "M"))
    marks = tuple(notch("d", 0.0)._replace(size=size) for size in ("S", "M"))
    piece = Piece("back", lines, darts=("d",), pressed={"d": "centre"}, marks=marks)
    chosen = Chosen((PickedOutline("back", "M"),))
    made = darts(Pattern((piece,)), chosen, action="name", dart="d", called="e").pattern.piece("back")
    assert sorted(made.darts) == ["d", "e"] and made.pressed == {"d": "centre", "e": "centre"}
    assert made.outline("S").as_sewn("waist") == made.outline("M").as_sewn("waist") == pytest.approx(280.0)
    assert [mark.on.edge for mark in made.marks] == ["d", "e"]
    both = darts(Pattern((piece,)), action="name", dart="d", called="e").pattern.piece("back")
    assert both.darts == ("e",) and both.pressed == {"e": "centre"}
    assert [mark.on.edge for mark in both.marks] == ["e", "e"]
