"""Moving a dart through the operation: what is told, nests, bare lines, darts with two points."""

import math
import pathlib

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.geometry.transform import mirror, turn
from sewkit.operations.dart_change import dart_change
from sewkit.operations.dart_move import dart_move
from sewkit.pattern.dart import dart_named
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine
from sewkit.report import Level
from tests.geometry.shapes import R1
from tests.operations.length_pieces import drill
from tests.operations.pieces import bare, moved, r1
from tests.operations.test_changed_darts import contour

BODICE = pathlib.Path(__file__).resolve().parent.parent.parent / "samples" / "bodice" / "master.svg"


def the_dart(pattern, name="dart", size="", piece=0):
    one = pattern.pieces[piece]
    return dart_named(one, one.outline(size), name)


def test_every_size_of_a_nest_goes_as_far():
    drawing, chosen = open_drawing(str(BODICE), pieces=["front"])
    outcome = dart_move(drawing.pattern, chosen, dart="waist-dart", down=0.0, out=-15.0)
    for size in ("A", "B", "C"):
        old = next(d for d in drawn_darts(drawing.pattern.piece("front"), size) if d.name == "waist-dart")
        new = the_dart(outcome.pattern, "waist-dart", size)
        np.testing.assert_allclose(new.point, old.point + (-15, 0), atol=1e-9)
        assert new.angle == pytest.approx(2 * math.degrees(math.atan(12 / 118)), abs=1e-3)
        assert new.intake == pytest.approx(24.0, abs=1e-6)
    assert "was moved 15.0 mm inwards" in outcome.report.summary


def test_down_and_out_are_the_wearers_however_the_piece_lies():
    pattern = Pattern((r1(folds=("centre",)),))
    wanted = dart_move(pattern, down=12.0, out=5.0).pattern.pieces[0].outlines[0].path
    for frame in (turn(180), mirror((0, 0), (0, 1))):
        made = dart_move(moved(pattern, frame), down=12.0, out=5.0).pattern.pieces[0].outlines[0].path
        np.testing.assert_allclose(made.curves, frame.path(wanted).curves, atol=1e-8)


def test_the_side_seam_is_told_and_the_cut_line_made_anew():
    path = Path.through([(-10, -10), (260, -10), (260, 450), (-10, 450)], closed=True)
    piece = r1(allowance={"": 10.0}, cut_lines=(CutLine("", path),))
    outcome = dart_move(Pattern((piece,)), down=20.0)
    assert "'side' is 0.5 mm longer as sewn" in outcome.report.summary
    assert outcome.pattern.pieces[0].cut_line("").path != path


def test_a_bare_line_stays_bare():
    outcome = dart_move(bare(R1), down=20.0)
    piece = outcome.pattern.pieces[0]
    assert not piece.named and not piece.darts
    np.testing.assert_allclose(the_dart(outcome.pattern, "").point, (95, 285), atol=1e-9)


def test_a_dart_with_two_points_moves_whole():
    outcome = dart_move(contour(), down=-10.0, out=5.0)
    points = drawn_darts(outcome.pattern.pieces[0], "")[0].points
    np.testing.assert_allclose(sorted(points.tolist()), [(105, 90), (105, 270)], atol=1e-9)
    assert "of 'back' was moved" in outcome.report.summary


@pytest.mark.parametrize(
    "values, code",
    [
        ({"down": 0.0}, "value"),
        ({"down": 400.0}, "overlap"),
        ({"dart": "x"}, "dart"),
        ({"down": -60.0}, "overlap"),
    ],
)
def test_one_sentence_and_the_cure(values, code):
    with pytest.raises(InputError) as told:
        dart_move(Pattern((r1(),)), **values)
    assert told.value.code == code


@pytest.mark.parametrize("down, level", [(4.0, None), (20.0, Level.INFO), (50.0, Level.WARN)])
def test_a_dart_that_no_longer_points_to_its_apex_is_told(down, level):
    """R1's axis leans by 12 degrees: moved down it passes the apex by down * cos(12 degrees)."""
    pattern = Pattern((r1(marks=(drill(95.0, 265.0, "apex"),)),))
    found = [f for f in dart_move(pattern, down=down).report.findings if f.code == "dart-apex"]
    assert [f.level for f in found] == ([] if level is None else [level])
    if level is not None:
        axis = math.degrees(math.atan2(296.5365 - 265.0, 243.476 - 95.0))
        assert "passes by at {:.1f} mm".format(down * math.cos(math.radians(axis))) in found[0].text


def test_a_dart_longer_than_to_its_apex_is_told():
    pattern = Pattern((r1(marks=(drill(95.0, 265.0, "apex"),)),))
    told = dart_change(pattern, what="length", given="by", amount=12.0).report.findings
    assert [f.text for f in told if f.code == "dart-apex"] == [
        "front: the dart 'dart' ends 12.0 mm beyond the apex; back its point off."
    ]
