"""What is wrong with notches is found: drawings worked by hand, limits from the trade."""

import numpy as np
import pytest

from sewkit.checks.notch_pairs import notch_findings
from sewkit.geometry.path import Path
from sewkit.pattern.notch import redrawn
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from sewkit.pattern.seam import EdgeRef, Seam
from sewkit.report import Level
from tests.operations.pieces import named_outline, notch

EDGES = "top side hem centre"


def box(name, marks=(), height=400.0, x=0.0, cloth=""):
    """``side`` runs down from its start, ``centre`` runs up; notches are drawn where they say."""
    corners = [(x, 0), (x + 200, 0), (x + 200, height), (x, height)]
    outline = named_outline(Path.through(corners, closed=True), EDGES)
    drawn = tuple(redrawn(mark, outline) or mark for mark in marks)
    return Piece(name, (outline,), marks=drawn, cloth=cloth)


def seam(first, second, ease=(0.0, 0.0)):
    return Seam((EdgeRef(first, "side"),), (EdgeRef(second, "side"),), ease)


def sewn(front, back, ease=(0.0, 0.0)):
    return Pattern((front, back), (seam("front", "back", ease),))


def told(pattern):
    return [(f.code, f.level, f.where) for f in notch_findings(pattern, [""])]


# A pair within 1 mm is good, within 2 usable, more is not (common practice; our own table).
@pytest.mark.parametrize(
    "apart, wanted", [(1.0, []), (1.1, [Level.WARN]), (2.0, [Level.WARN]), (2.1, [Level.FAIL])]
)
def test_a_pair_that_misses(apart, wanted):
    pattern = sewn(box("front", [notch("side", 100.0)]), box("back", [notch("side", 100.0 + apart)]))
    found = notch_findings(pattern, [""])

    assert [f.level for f in found] == wanted
    assert all(f.code == "notch-miss" and f.cure and f.point == pytest.approx((200, 100)) for f in found)


def test_a_pair_counts_from_the_common_end_and_ease_may_lie_before_it():
    front = box("front", [notch("side", 300.0, name="a")])
    # 394 long: from the start 6 mm apart, from the end nothing.
    assert told(sewn(front, box("back", [notch("side", 294.0, name="a")], 394.0), (0.0, 6.0))) == []
    # Half of the ease lies before it.
    assert told(sewn(front, box("back", [notch("side", 297.0, name="a")], 394.0), (0.0, 6.0))) == []
    found = told(sewn(front, box("back", [notch("side", 303.0, name="a")], 394.0), (0.0, 6.0)))
    assert found == [("notch-miss", Level.FAIL, "front/side")]


def test_a_notch_without_a_partner():
    pattern = sewn(
        box("front", [notch("side", 100.0, name="a")]), box("back", [notch("side", 100.0, name="b")])
    )

    assert told(pattern) == [
        ("notch-lone", Level.WARN, "front/side"),
        ("notch-lone", Level.WARN, "back/side"),
    ]


def test_a_notch_that_has_its_partner_on_another_seam_is_only_told():
    marks = [notch("side", 100.0, name="a")]
    pieces = box("front", marks), box("back", marks), box("facing")
    pattern = Pattern(pieces, (seam("front", "back"), seam("front", "facing")))

    assert told(pattern) == [("notch-lone", Level.INFO, "front/side")]


@pytest.mark.parametrize("moved, wanted", [(0.19, []), (0.3, [Level.WARN]), (2.1, [Level.FAIL])])
@pytest.mark.parametrize("form", ["", "wedge-out", "cross"])
def test_a_notch_moved_by_hand(moved, wanted, form):
    one = box("front", [notch("side", 100.0, count=2)._replace(form=form)])
    mark = one.marks[0]
    one = one._replace(marks=(mark._replace(path=Path(mark.path.curves + np.array([0.0, moved]))),))
    found = notch_findings(Pattern((one,)), [""])

    assert [f.level for f in found] == wanted
    for finding in found:
        assert finding.code == "notch-off" and finding.cure
        assert finding.point == pytest.approx((200.0, 100.0 + moved))


def test_three_wedges_on_a_bent_edge_are_where_their_place_says():
    path = Path.through([(0, 0), (200, 0), (200, 300), (0, 300)], closed=True)
    curves = path.curves.copy()
    curves[1, 1:3] = [(290, 20), (170, 90)]  # turns tighter and tighter, then back
    bent = bare_outline(Path(curves, closed=True))
    for distance in (40.0, 80.0, 150.0):
        mark = redrawn(notch("2", distance, count=3)._replace(form="wedge-in"), bent, 10.0)
        one = Piece("front", (bent,), marks=(mark,))
        assert notch_findings(Pattern((one,)), [""]) == []


@pytest.mark.parametrize(
    "mark", [notch("gone", 100.0), notch("side", 500.0), notch("side", 1.0)._replace(on=None)]
)
def test_a_notch_whose_place_is_gone(mark):
    mark = mark._replace(path=Path.through([(200, 100), (205, 100)]))

    (found,) = notch_findings(Pattern((box("front", [mark]),)), [""])

    assert (found.code, found.level, found.point) == ("notch-gone", Level.WARN, (202.5, 100.0))
    assert found.cure


def panels(marks, **more):
    """Two seams of one length: a to b, and c to d."""
    pieces = tuple(box(name, marks.get(name, []), **more.get(name, {})) for name in "abcd")
    return Pattern(pieces, (seam("a", "b"), seam("c", "d")))


ONE = [notch("side", 150.0, name="1")]


@pytest.mark.parametrize(
    "other, is_alike",
    [
        (150.0, True),
        (161.9, True),  # less than 12 mm
        (162.1, False),
        (250.0, True),  # 150 from the other end
    ],
)
def test_look_alike_edges(other, is_alike):
    theirs = [notch("side", other, name="2")]
    found = notch_findings(panels({"a": ONE, "b": ONE, "c": theirs, "d": theirs}), [""])

    assert [(f.code, f.level) for f in found] == ([("notch-alike", Level.WARN)] if is_alike else [])
    assert all(f.cure and f.point for f in found)


@pytest.mark.parametrize("more", [{"height": 403.1}, {"cloth": "lining"}])
def test_edges_of_other_lengths_or_cloths_are_not_taken_for_each_other(more):
    assert told(panels({}, c=more, d=more)) == []


def test_two_seams_of_one_edge_are_no_look_alikes():
    pieces = box("front"), box("facing"), box("collar")
    assert told(Pattern(pieces, (seam("front", "facing"), seam("front", "collar")))) == []


@pytest.mark.parametrize(
    "at, count, form, told",
    [
        (80.0, 1, "", False),
        (82.0, 2, "", True),  # two slits 4 mm apart reach to 80
        (82.6, 2, "", False),
        (85.0, 2, "wedge-out", True),  # two triangles 5 mm wide, 7 apart, reach to 79
        (87.0, 2, "wedge-out", False),
        (40.0, 2, "wedge-out", False),
    ],
)
def test_a_notch_where_a_dart_opens(at, count, form, told):
    """The top is 80 mm to the dart's mouth and 80 behind it."""
    path = Path.through([(0, 0), (80, 0), (90, 60), (100, 0), (180, 0), (180, 300), (0, 300)], closed=True)
    outline = named_outline(path, "top dart dart top side hem centre")
    mark = notch("top", at, name="1")._replace(count=count, form=form)
    piece = Piece("back", (outline,), darts=("dart",), marks=(redrawn(mark, outline),))
    found = [f for f in notch_findings(Pattern((piece,)), [""]) if f.code == "notch-on-dart"]
    assert [f.level for f in found] == ([Level.WARN] if told else [])
    assert all("the dart 'dart'" in f.text and "--which 1" in f.cure for f in found)
