"""Marks on their piece, on its allowance, and beside it."""

import pytest

from sewkit.checks.marks_inside import marks_inside_findings
from sewkit.geometry.path import Path
from sewkit.pattern.label_legend import LABEL_NAME
from sewkit.pattern.mark import BUTTON, DRILL, LABEL, LEVEL, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from sewkit.report import Level
from tests.operations.pieces import named, named_outline

BLOCK = Path.through([(0, 0), (200, 0), (200, 400), (0, 400)], True)
CUT = Path.through([(-10, -10), (210, -10), (210, 410), (-10, 410)], True)


def at(kind, x, y, size="", text=""):
    """A cross of 6 mm."""
    return Mark(kind, "", size, Path.through([(x - 3, y), (x + 3, y), (x, y - 3), (x, y + 3)]), text=text)


def found(*marks):
    piece = named(BLOCK, "a b c d", marks=marks)._replace(cut_lines=(CutLine("", CUT),))
    return [(f.code, f.level) for f in marks_inside_findings(Pattern((piece,)), ("",))]


@pytest.mark.parametrize(
    ("x", "level"), [(100, None), (200.4, None), (205, Level.WARN), (215, Level.FAIL), (-205, Level.FAIL)]
)
def test_a_mark_is_told_by_where_it_lies(x, level):
    """On the seam line it is right, on the allowance to be looked at, beyond the cut line it is lost."""
    for kind in (DRILL, BUTTON):
        assert found(at(kind, x, 200)) == ([] if level is None else [("mark-outside", level)])


def test_a_level_may_run_beyond_the_piece_but_not_beside_it():
    assert found(Mark(LEVEL, "waist", "", Path.through([(-50, 100), (250, 100)]))) == []
    beside = Mark(LEVEL, "waist", "", Path.through([(250, 100), (350, 100)]))
    assert found(beside) == [("mark-outside", Level.WARN)]


def test_a_label_beside_its_line_belongs_to_it():
    assert found(at(LABEL, 210, 50, text="size 3")) == []
    assert found(at(LABEL, 260, 50, text="front")) == [("label-outside", Level.INFO)]


def test_a_mark_for_all_sizes_must_lie_in_each_of_them():
    small = Path.through([(0, 0), (150, 0), (150, 400), (0, 400)], True)
    outlines = (named_outline(small, "a b c d", "1"), named_outline(BLOCK, "a b c d", "2"))
    piece = Piece("front", outlines, marks=(at(DRILL, 170, 200), at(DRILL, 190, 200, "2")))
    (one,) = marks_inside_findings(Pattern((piece,)), ("1", "2"))
    assert "size 1" in one.text and "20.0 mm" in one.text


def test_the_drill_mark_of_a_dart_lies_between_its_legs():
    from tests.operations.pieces import r1

    # 120, 268 is between the legs from (245, 284) and (240, 308) to the apex (95, 265).
    piece = r1(marks=(at(DRILL, 120, 269),))
    assert marks_inside_findings(Pattern((piece,)), ("",)) == []


def test_a_line_of_the_legend_stands_beside_all_pieces_on_purpose():
    far = Path.through([(0, 800), (300, 800)])
    words = "2: Bodice, front facing; size B; cut 1 on the fold"

    assert found(Mark(LABEL, LABEL_NAME, path=far, text=words)) == []
    assert found(Mark(LABEL, "", path=far, text=words)) == [("label-outside", Level.INFO)]
