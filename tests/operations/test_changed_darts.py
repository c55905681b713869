"""Changing a dart through the operation: what is told, drawn darts cut in, nests, bare lines."""

import pathlib

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.operations.dart_change import dart_change
from sewkit.pattern.dart import dart_named
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.mark import DART, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine
from tests.geometry.shapes import R1
from tests.operations.pieces import bare, level, named, r1

BODICE = pathlib.Path(__file__).resolve().parent.parent.parent / "samples" / "bodice" / "master.svg"


def the_dart(pattern, name="dart", size="", piece=0):
    one = pattern.pieces[piece]
    return dart_named(one, one.outline(size), name)


def test_the_waist_gets_what_the_dart_gives():
    """10 mm off a dart of 24: the waist seam grows by 10 mm, but for the turn of its ends."""
    drawing, chosen = open_drawing(str(BODICE), pieces=["front"])
    outcome = dart_change(drawing.pattern, chosen, dart="waist-dart", given="by", amount=-10.0)
    for size in ("A", "B", "C"):
        dart = the_dart(outcome.pattern, "waist-dart", size)
        assert dart.intake == pytest.approx(14.0, abs=1e-9)
        old, new = (p.piece("front").outline(size) for p in (drawing.pattern, outcome.pattern))
        assert new.as_sewn("waist") - (old.as_sewn("waist") - 24.0) == pytest.approx(10.0, abs=0.02)
    assert "is 14.0 mm and 6.8 degrees wide now, 24.0 mm and 11.6 before" in outcome.report.summary
    assert "of 'front' size A is" in outcome.report.summary
    assert "'waist' is 10.0 mm longer as sewn" in outcome.report.summary
    assert any(table.title.startswith("Darts before") for table in outcome.report.tables)
    assert any(table.title.startswith("Edges before") for table in outcome.report.tables)


def test_the_point_lies_so_far_from_a_marked_apex():
    drawing, chosen = open_drawing(str(BODICE), pieces=["front"])
    outcome = dart_change(drawing.pattern, chosen, dart="bust-dart", what="point", amount=40.0)
    for size in ("A", "B", "C"):
        piece = outcome.pattern.piece("front")
        apex = next(mark for mark in piece.marks_for(size) if mark.name == "apex").middle
        old = next(m for m in drawing.pattern.piece("front").marks_for(size) if m.name == "apex").middle
        np.testing.assert_allclose(apex, old, atol=1e-9)
        point = the_dart(outcome.pattern, "bust-dart", size).point
        assert np.hypot(*(point - apex)) == pytest.approx(40.0, abs=1e-6)


def test_a_cut_line_and_the_partner_seam_are_looked_after():
    path = Path.through([(-10, -10), (260, -10), (260, 450), (-10, 450)], closed=True)
    piece = r1(allowance={"": 10.0}, cut_lines=(CutLine("", path),))
    outcome = dart_change(Pattern((piece,)), what="angle", degrees=3.0, given="by")
    assert outcome.pattern.pieces[0].cut_line("").path != path
    assert the_dart(outcome.pattern).angle == pytest.approx(12.0, abs=1e-3)


def test_a_bare_line_stays_bare():
    outcome = dart_change(bare(R1), amount=12.0)
    piece = outcome.pattern.pieces[0]
    assert not piece.named and not piece.darts
    assert piece.outlines[0].names == tuple("123456789")[: len(piece.outlines[0].edges)]
    assert the_dart(outcome.pattern, "").intake == pytest.approx(12.0, abs=1e-9)


def contour():
    shape = Path.through([(100, 100), (110, 200), (100, 280), (90, 200), (100, 100)])
    body = Path.through([(0, 0), (200, 0), (200, 500), (0, 500)], closed=True)
    marks = (Mark(DART, "waist-dart", path=shape), level("chest", 50), level("waist", 200))
    return Pattern((named(body, "top side hem centre", "back", marks=marks),))


def test_a_dart_with_two_points():
    made = dart_change(contour(), amount=28.0)
    assert drawn_darts(made.pattern.pieces[0], "")[0].intake == pytest.approx(28.0, abs=1e-9)
    made = dart_change(contour(), what="length", amount=-10.0, given="by", point="lower")
    ys = sorted(drawn_darts(made.pattern.pieces[0], "")[0].points[:, 1])
    assert ys == pytest.approx([100.0, 270.0], abs=1e-9)


@pytest.mark.parametrize(
    "pattern, values, code",
    [
        (Pattern((r1(),)), {"amount": 0.0}, "vanish"),
        (Pattern((r1(),)), {"amount": -30.0, "given": "by"}, "vanish"),
        (Pattern((r1(),)), {"what": "length", "amount": -300.0, "given": "by"}, "vanish"),
        (Pattern((r1(),)), {"what": "point", "amount": -5.0}, "value"),
        (Pattern((r1(),)), {"dart": "x"}, "dart"),
        (contour(), {"what": "angle"}, "contour"),
        (contour(), {"amount": 0.0}, "vanish"),
    ],
)
def test_one_sentence_and_the_cure(pattern, values, code):
    with pytest.raises(InputError) as told:
        dart_change(pattern, **values)
    assert told.value.code == code
    if code == "vanish" and pattern.pieces[0].darts:
        assert "ease" in str(told.value)
