"""What is told about darts; all numbers are worked by hand on drawn pieces."""

import math

import pytest

from sewkit.checks.darts import cap_findings, cut_in_findings, dart_changes, dart_findings, dart_table
from sewkit.geometry.path import Path
from sewkit.pattern.chosen import EVERYTHING
from sewkit.pattern.chosen_darts import for_change
from sewkit.pattern.mark import DART, DRILL, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine
from sewkit.report import Level
from tests.operations.pieces import named, notch, r1

WORDS = "waist d d waist side hem centre"


def darted(*spots, words=WORDS, **more):
    """A 300 by 200 box whose upper side goes through the given spots."""
    path = Path.through([(0, 0), *spots, (300, 0), (300, 200), (0, 200)], closed=True)
    return named(path, words, "back", darts=("d", "e"), **more)


def codes(piece):
    return [finding.code for finding in dart_findings(piece, piece.outlines[0])]


def spot(x, y, name="apex"):
    return Mark(DRILL, name, path=Path.through([(x - 1, y), (x + 1, y)]))


def test_a_sound_dart_has_nothing_to_tell():
    assert codes(darted((140, 0), (150, 100), (160, 0))) == []
    assert codes(r1()) == []


def test_a_dart_that_opens_wide_is_two_better():
    # 2 atan(w / 2 d): 24.9 and 25.1 degrees.
    for degrees, told in ((24.9, []), (25.1, ["dart-wide"])):
        half = 100 * math.tan(math.radians(degrees / 2))
        assert codes(darted((150 - half, 0), (150, 100), (150 + half, 0))) == told


def test_legs_that_differ_by_more_than_two_millimetres_are_told():
    for end, told in ((160.0, []), (178.0, ["legs"])):
        piece = darted((140, 0), (150, 100), (end, 0))
        assert codes(piece) == told
    (finding,) = dart_findings(piece, piece.outlines[0])
    assert finding.level == Level.WARN
    assert "{:.1f} and {:.1f} mm".format(math.hypot(10, 100), math.hypot(28, 100)) in finding.text
    assert finding.point == (150.0, 100.0)


def test_a_point_near_the_apex_or_an_edge_is_told():
    deep = darted((140, 0), (150, 191), (160, 0))
    assert codes(deep) == ["dart-point"]
    assert "9.0 mm from 'hem'" in dart_findings(deep, deep.outlines[0])[0].text
    for away, told in ((9.0, ["dart-point"]), (11.0, [])):
        assert codes(darted((140, 0), (150, 100), (160, 0), marks=(spot(150, 100 + away),))) == told
    assert codes(darted((140, 0), (150, 100), (160, 0), marks=(spot(150, 105, "button"),))) == []


def test_what_lies_near_a_point_is_called_by_its_name():
    """The second dart's point lies 4 mm square to the first one's upright leg."""
    words = "waist d d waist e e waist side hem centre"
    piece = darted((100, 0), (120, 120), (120, 0), (121, 0), (124, 60), (131, 0), words=words)
    (finding,) = [f for f in dart_findings(piece, piece.outlines[0]) if f.code == "dart-point"]
    assert "the dart 'e' lies 4.0 mm from the dart 'd'" in finding.text


def test_darts_that_end_at_one_spot_are_told_once():
    """Points 6 mm side by side, legs apart: both shapes are worked so that nothing crosses."""
    words = "waist d d waist e e waist side hem centre"
    piece = darted((100, 0), (147, 100), (120, 0), (180, 0), (153, 100), (200, 0), words=words)
    (finding,) = [f for f in dart_findings(piece, piece.outlines[0]) if f.code != "legs"]
    assert finding.code == "dart-point" and finding.level == Level.WARN
    assert "the darts 'd' and 'e' end 6.0 mm from each other" in finding.text
    (table,) = dart_table([(piece, piece.outlines[0])])
    assert table.levels == (Level.WARN, Level.WARN)


def test_darts_that_cross_are_told_and_neighbours_are_not():
    words = "waist d d waist e e waist side hem centre"
    crossed = darted((100, 0), (160, 90), (120, 0), (130, 0), (90, 90), (150, 0), words=words)
    assert "darts-cross" in codes(crossed)
    words = "waist d d e e waist side hem centre"
    beside = darted((100, 0), (110, 90), (120, 0), (130, 90), (140, 0), words=words)
    assert codes(beside) == []
    drawn = Mark(DART, "f", path=Path.through([(130, 0), (140, 120), (150, 0)]))
    assert codes(darted((140, 0), (150, 100), (160, 0), marks=(drawn,))) == ["darts-cross"]


def test_the_table_holds_every_dart_with_its_measures():
    drawn = Mark(DART, "f", path=Path.through([(200, 0), (206, 80), (212, 0)]))
    piece = darted((140, 0), (150, 100), (178, 0), marks=(drawn,), pressed={"d": "centre"})
    (table,) = dart_table([(piece, piece.outlines[0])])
    first, second = (dict(zip(table.columns, row)) for row in table.rows)
    assert first["dart"] == "d" and first["pressed"] == "centre" and first["lies"] == "cut in"
    assert first["intake mm"] == "38.00" and first["point mm"] == "150.0, 100.0"
    assert float(first["degrees"]) == pytest.approx(math.degrees(math.atan(0.1) + math.atan(0.28)), abs=0.005)
    assert first["legs mm"] == "{:.2f} / {:.2f}".format(math.hypot(10, 100), math.hypot(28, 100))
    assert second["lies"] == "drawn" and second["pressed"] == "-"
    assert table.levels == (Level.WARN, Level.PASS)
    plain = named(Path.through([(0, 0), (9, 0), (9, 9)], closed=True), "a b c")
    assert dart_table([(plain, plain.outlines[0])]) == ()


def test_changes_are_those_that_came_out_otherwise():
    before = darted((140, 0), (150, 100), (160, 0))
    after = darted((135, 0), (150, 100), (165, 0))
    (table,) = dart_changes(Pattern((before,)), Pattern((after,)))
    (row,) = (dict(zip(table.columns, row)) for row in table.rows)
    assert row["intake mm before"] == "20.00" and table.rows[0][6] == "30.00"
    assert dart_changes(Pattern((before,)), Pattern((before,))) == ()
    assert dart_changes(Pattern((before,)), Pattern((after,)), ["front"]) == ()
    none = named(Path.through([(0, 0), (300, 0), (300, 200)], closed=True), "a b c", "back")
    (table,) = dart_changes(Pattern((none,)), Pattern((after,)))
    assert table.rows[0][3] == "-" and table.rows[0][6] == "30.00"


def test_cutting_in_is_told_and_what_it_took():
    drawn = Mark(DART, "f", path=Path.through([(200, 0), (206, 80), (212, 0)]))
    box = Path.through([(0, 0), (300, 0), (300, 200), (0, 200)], closed=True)
    plain = named(box, "waist side hem centre")
    piece = plain._replace(marks=(drawn, notch("waist", 50.0)))
    ((made, _, _),) = for_change(Pattern((piece,)), EVERYTHING)
    (finding,) = cut_in_findings(piece, made)
    assert finding.code == "dart-cut-in" and finding.level == Level.INFO and "'f'" in finding.text
    assert cut_in_findings(made, made) == []
    numbered = darted((140, 0), (150, 100), (160, 0), words="waist 2 3 waist side hem centre")
    ((made, _, _),) = for_change(Pattern((numbered,)), EVERYTHING)
    assert [finding.code for finding in cut_in_findings(numbered, made)] == ["dart-named"]


def test_a_cap_beyond_the_cut_line_is_told_with_how_far():
    around = Path.through([(-10, -10), (310, -10), (310, 210), (-10, 210)], closed=True)
    piece = darted((140, 0), (150, 100), (160, 0), cut_lines=(CutLine("", around),))
    for high, told in ((9.0, []), (12.5, ["cap"])):
        cap = Path.through([(140, 0), (150, -high), (160, 0)])
        found = cap_findings(piece, piece.outlines[0], "d", cap)
        assert [finding.code for finding in found] == told
    assert "2.5 mm beyond" in found[0].text
    assert cap_findings(piece._replace(cut_lines=()), piece.outlines[0], "d", cap) == []
