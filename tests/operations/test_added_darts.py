"""Adding a dart through the operation: places in words, nests, bare lines, two points, what is told."""

import math
import pathlib

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.operations.dart_add import dart_add
from sewkit.pattern.dart import dart_named
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine
from sewkit.pattern.seam import EdgeRef, Seam
from tests.geometry.shapes import R1
from tests.operations.length_pieces import drill, picked
from tests.operations.pieces import bare, level, notch, r1

BODICE = pathlib.Path(__file__).resolve().parent.parent.parent / "samples" / "bodice" / "master.svg"


def the_dart(pattern, name="waist-dart", size="", piece=0):
    one = pattern.pieces[piece]
    return dart_named(one, one.outline(size), name)


@pytest.mark.parametrize("at, x", [("", 105.0085), ("60", 60.0), ("25%", 52.504), ("notch a", 80.017)])
def test_a_place_counts_from_the_left_end_of_a_waist(at, x):
    """R1's waist runs from x = 210.017 to 0."""
    pattern = Pattern((r1(marks=(notch("waist", 130.0, name="a"), level("bust", 265))),))
    outcome = dart_add(pattern, edge="waist", at=at, width=20.0, length=90.0)
    dart = the_dart(outcome.pattern)
    np.testing.assert_allclose(dart.middle, (x, 440.149), atol=1e-3)
    np.testing.assert_allclose(dart.point, (x, 350.149), atol=1e-3)
    assert "20.0 mm wide, 12.7 degrees, 90.0 mm long" in outcome.report.summary
    assert "'waist' is 20.0 mm shorter as sewn, 190.0 mm" in outcome.report.summary
    tables = {table.title: table for table in outcome.report.tables}
    assert [row[:1] + row[2:4] for row in tables["Darts before and after"].rows] == [
        ("front", "waist-dart", "-")
    ]
    (row,) = tables["Edges before and after"].rows
    assert row == ("front", "waist", "210.02", "190.02", "-20.00")


def test_every_size_gets_it_and_it_points_to_its_own_apex():
    drawing, chosen = open_drawing(str(BODICE), pieces=["front"])
    outcome = dart_add(
        drawing.pattern,
        chosen,
        edge="shoulder",
        width=12.0,
        to="apex",
        stand_off=60.0,
        called="shoulder-dart",
    )
    for size in ("A", "B", "C"):
        piece = outcome.pattern.piece("front")
        apex = next(mark for mark in piece.marks_for(size) if mark.name == "apex").middle
        dart = dart_named(piece, piece.outline(size), "shoulder-dart")
        assert dart.intake == pytest.approx(12.0, abs=1e-6)
        assert np.hypot(*(dart.point - apex)) == pytest.approx(60.0, abs=1e-6)
    assert len(drawn_darts(piece, "B")) == 2  # the others stay as they are drawn


def test_given_back_at_the_side_only_the_side_is_told():
    back = r1()._replace(name="back")
    seams = tuple(Seam((EdgeRef("front", edge),), (EdgeRef("back", edge),)) for edge in ("waist", "side"))
    pattern = Pattern((r1(), back), seams)
    outcome = dart_add(pattern, picked(("front", "")), edge="waist", width=20.0, keep="side")
    assert (
        "the width is given back at 'side', so that 'waist' sews to the same length" in outcome.report.summary
    )
    rows = [
        row[1] for table in outcome.report.tables if table.title.startswith("Edges") for row in table.rows
    ]
    assert rows == ["side"]


def test_the_cut_line_is_made_anew():
    path = Path.through([(-10, -10), (260, -10), (260, 450), (-10, 450)], closed=True)
    piece = r1(allowance={"": 10.0}, cut_lines=(CutLine("", path),))
    outcome = dart_add(Pattern((piece,)), edge="waist")
    assert outcome.pattern.pieces[0].cut_line("").path != path


def test_a_bare_line_stays_bare_and_has_its_dart():
    outcome = dart_add(bare(R1), edge="7", width=20.0, length=90.0)
    piece = outcome.pattern.pieces[0]
    assert not piece.named and not piece.darts
    assert piece.outlines[0].names == tuple(str(number) for number in range(1, 13))
    dart = the_dart(outcome.pattern, "2")
    assert dart.intake == pytest.approx(20.0, abs=1e-8)
    assert dart.angle == pytest.approx(2 * math.degrees(math.atan(10 / 90)), abs=1e-6)


def test_one_with_two_points_at_a_level_from_the_centre_or_below_a_mark():
    marks = (level("bust", 265), level("waist", 380), drill(95.0, 265.0, "apex"))
    pattern = Pattern((r1(marks=marks, folds=("centre",)),))
    for values, x in (({"across": 70.0}, 70.0), ({"to": "apex"}, 95.0)):
        outcome = dart_add(
            pattern, kind="inside", at="waist", width=16.0, length=60.0, below=40.0, called="fish", **values
        )
        (dart,) = drawn_darts(outcome.pattern.pieces[0], "")
        np.testing.assert_allclose(sorted(dart.points.tolist()), [(x, 320), (x, 420)], atol=1e-6)
        assert dart.name == "fish" and dart.intake == pytest.approx(16.0, abs=1e-9)
        assert outcome.pattern.pieces[0].outlines == pattern.pieces[0].outlines
        assert "16.0 mm wide, 100.0 mm long" in outcome.report.summary


@pytest.mark.parametrize(
    "values, code",
    [
        ({}, "choice"),
        ({"edge": "x"}, "name"),
        ({"edge": "waist", "at": "300mm"}, "value"),
        ({"edge": "waist", "width": 0.0}, "value"),
        ({"edge": "waist", "called": "side"}, "name"),
        ({"edge": "waist", "called": "a/b"}, "name"),
        ({"edge": "waist", "called": "3"}, "name"),
        ({"edge": "waist", "to": "apex"}, "pivot"),
        ({"edge": "waist", "keep": "neck"}, "name"),
        ({"edge": "centre"}, "fold"),
        ({"kind": "inside"}, "choice"),
        ({"kind": "inside", "at": "hip"}, "no-level"),
    ],
)
def test_one_sentence_and_the_cure(values, code):
    with pytest.raises(InputError) as told:
        dart_add(Pattern((r1(folds=("centre",)),)), **values)
    assert told.value.code == code
