"""Cut lines: right ones pass, stale, missing and lone ones are told with the mm."""

import numpy as np
import pytest

from sewkit.checks.allowance_right import allowance_right_findings
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move
from sewkit.operations.allowance import allowance
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from sewkit.report import Level
from tests.operations.pieces import named, named_outline, r1, r4_piece

BLOCK = Path.through([(0, 0), (200, 0), (200, 300), (0, 300)], True)


def box(left, top, right, bottom):
    return Path.through([(left, top), (right, top), (right, bottom), (left, bottom)], True)


def found(*pieces):
    pattern = Pattern(pieces)
    return allowance_right_findings(pattern, pattern.sizes)


def with_cut(line, **more):
    return named(BLOCK, "top right bottom left", **more)._replace(cut_lines=(CutLine("", line),))


def test_what_we_draw_is_right():
    """Curves, darts, a fold, unequal widths and turned-back hems."""
    pattern = Pattern((r1(folds=("centre",)), r4_piece("back")))
    pattern = allowance(pattern, width=12.0, edges={"side": 25.0, "hem": 40.0}, hems="hem").pattern
    assert all(piece.cut_lines for piece in pattern.pieces)
    assert allowance_right_findings(pattern, pattern.sizes) == []


def test_a_tight_inner_curve_whose_loop_was_trimmed_is_to_look_at_and_no_fault():
    """An inner radius of 10 mm and a width of 15: near it the cut line is farther away than its width."""
    k = 10.0 * 0.5522847498
    path = Path(
        np.array(
            [
                *Path.through([(0, 0), (90, 0), (90, 50)]).curves,
                [(90, 50), (90, 50 + k), (100 - k, 60), (100, 60)],
                [(100, 60), (100 + k, 60), (110, 50 + k), (110, 50)],
                *Path.through([(110, 50), (110, 0), (200, 0), (200, 200), (0, 200), (0, 0)]).curves,
            ]
        ),
        True,
    )
    made = allowance(Pattern((named(path, "a b c d e f"),)), width=15.0).pattern
    assert made.pieces[0].cut_lines
    (told,) = allowance_right_findings(made, ("",))
    assert (told.code, told.level) == ("loop-trimmed", Level.WARN)
    # The bay is 20 wide and 60 deep, so widths of 15 from both sides meet over its mouth.
    assert 90 <= told.point[0] <= 110 and -15 - 1e-6 <= told.point[1] <= 60
    assert told.cure

    shifted = CutLine("", move(5, 0).path(made.pieces[0].cut_lines[0].path))
    moved = made.pieces[0]._replace(cut_lines=(shifted,))
    assert {one.code for one in found(moved)} == {"cut-stale"}


@pytest.mark.parametrize(
    ("right", "level"), [(210.19, None), (210.21, Level.WARN), (212.9, Level.WARN), (213.1, Level.FAIL)]
)
def test_an_edge_whose_cut_line_lies_elsewhere(right, level):
    """10 mm is kept; within 0.2 mm is right, from 3 mm it stops."""
    told = found(with_cut(box(-10, -10, right, 310), allowance={"": 10.0}))
    if level is None:
        assert told == []
        return
    (one,) = told
    assert (one.code, one.level) == ("cut-stale", level)
    assert "'right'" in one.text and "{:.1f} mm".format(right - 200) in one.text and "10 mm" in one.text


def test_a_cut_line_inside_the_seam_line_is_not_taken_for_one_outside():
    told = found(with_cut(box(10, 10, 190, 290), allowance={"": 10.0}))
    assert {f.level for f in told} == {Level.FAIL} and len(told) == 4


def test_without_a_kept_width_only_what_lies_outside_is_told():
    assert found(with_cut(box(-10, -10, 225, 310))) == []
    (one,) = found(with_cut(box(-10, -10, 150, 310)))
    assert one.level is Level.FAIL


def test_missing_open_and_lone_cut_lines():
    nest = tuple(named_outline(BLOCK, "a b c d", size) for size in "123")
    line = box(-10, -10, 210, 310)
    piece = Piece("front", nest, (CutLine("1", line), CutLine("3", line)), allowance={"": 10.0})
    (one,) = found(piece)
    assert one.code == "cut-missing" and "size 2" in one.text

    whole = piece._replace(cut_lines=tuple(CutLine(size, line) for size in "123"))
    (one,) = found(whole, named(BLOCK, "a b c d", "pocket", allowance={"": 10.0}))
    assert one.code == "cut-missing" and one.where == "pocket"

    lone = whole._replace(outlines=nest[:2])
    pattern = Pattern((lone,))
    assert [f.code for f in allowance_right_findings(pattern, "123")] == ["cut-alone"]

    assert [f.code for f in found(with_cut(Path(line.curves[:3]), allowance={"": 10.0}))] == ["cut-open"]


def test_an_allowance_on_one_size_of_every_piece_is_no_fault():
    """But a piece without it in that size is told, and only where that size is looked at."""
    pattern = Pattern((r4_piece("front"), r4_piece("back")))
    front = Chosen((PickedOutline("front", "4"),))
    both = Chosen((PickedOutline("front", "4"), PickedOutline("back", "4")))
    assert allowance_right_findings(allowance(pattern, both).pattern, ("4", "6")) == []

    back_6 = allowance(allowance(pattern, front).pattern, Chosen((PickedOutline("back", "6"),))).pattern
    told = allowance_right_findings(back_6, ("4", "6"))
    assert [(f.code, f.where) for f in told] == [
        ("cut-missing", "front size 6"),
        ("cut-missing", "back size 4"),
    ]
    assert [f.where for f in allowance_right_findings(back_6, ("4",))] == ["back size 4"]
