"""Cut lines made anew after a change; expected lines are rectangles worked by hand."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.corner import Style
from sewkit.geometry.path import Path
from sewkit.pattern.mark import NOTCH, Mark, On
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.piece import CornerRule, CutLine, Piece
from sewkit.pattern.recut import knows_widths, recut

EDGES = "top side hem centre"


def rectangle(width, height, size=""):
    path = Path.through([(0, 0), (width, 0), (width, height), (0, height)], closed=True)
    made = bare_outline(path, size)
    return made._replace(edges=tuple(e._replace(name=n) for e, n in zip(made.edges, EDGES.split())))


def stale(width=20.0):
    """A cut line that fits no seam line of these tests."""
    return Path.through([(-width, -width), (9, -width), (9, 9), (-width, 9)], closed=True)


def piece(*outlines, cuts=("",), **more):
    lines = tuple(CutLine(size, stale(), "cut" + size) for size in cuts)
    return Piece("panel", outlines or (rectangle(100, 150),), lines, **more)


def box(path):
    return tuple(np.round([*path.nodes.min(axis=0), *path.nodes.max(axis=0)], 6))


def test_a_cut_line_is_made_anew_from_the_widths_that_are_kept():
    made = recut(piece(allowance={"": 10.0, "hem": 30.0}), [""])

    assert (made.renewed, made.gone) == (("",), ())
    assert box(made.piece.cut_line("").path) == (-10, -10, 110, 180)
    assert made.piece.cut_line("").key == "cut"
    assert len(made.cuts) == 1 and made.cuts[0].gap == 0.0


def test_a_fold_keeps_none():
    made = recut(piece(allowance={"": 10.0, "centre": 10.0}, folds=("centre",)), [""])

    assert box(made.piece.cut_line("").path) == (0, -10, 110, 160)


def test_single_corners_keep_their_rule():
    rules = {
        ("side", "hem"): CornerRule(Style.SQUARE, "side"),
        ("hem", "centre"): CornerRule(Style.BLUNT, "hem"),
    }
    sharp = recut(piece(allowance={"": 10.0}), [""]).piece.cut_line("").path
    blunt = recut(piece(allowance={"": 10.0}, corners=rules), [""]).piece.cut_line("").path

    assert any(np.allclose(node, (-10, 160)) for node in sharp.nodes)
    assert not any(np.allclose(node, (-10, 160)) for node in blunt.nodes)


def test_the_style_kept_for_all_other_corners_is_used():
    """Blunt cuts the points off; a corner with a rule of its own keeps that (worked by hand)."""
    rules = {("hem", "centre"): CornerRule(Style.EXTENDED, "hem")}
    kept = piece(allowance={"": 10.0}, corners=rules, other_corners=Style.BLUNT)
    nodes = recut(kept, [""]).piece.cut_line("").path.nodes
    points = [(-10, -10), (110, -10), (110, 160), (-10, 160)]

    assert [any(np.allclose(node, point) for node in nodes) for point in points] == [
        False,
        False,
        False,
        True,
    ]


@pytest.mark.parametrize("limit, whole", [(2.5, False), (4.0, True)])
def test_the_longest_point_kept_is_used(limit, whole):
    """A wedge of 30 degrees: its extended point lies 1 / sin 15 degrees = 3.864 widths away."""
    run = 300.0 * np.cos(np.radians(30.0))
    path = Path.through([(0, 0), (run, 0), (run, 150.0)], closed=True)
    kept = Piece(
        "panel", (bare_outline(path),), (CutLine("", stale()),), allowance={"": 10.0}, mitre_limit=limit
    )
    nodes = recut(kept, [""]).piece.cut_line("").path.nodes
    away = 10.0 / np.sin(np.radians(15.0))
    tip = (-away * np.cos(np.radians(15.0)), -away * np.sin(np.radians(15.0)))

    assert any(np.allclose(node, tip) for node in nodes) == whole


def test_without_widths_the_cut_line_goes_and_notches_stand_on_the_seam_line():
    notch = Mark(NOTCH, "1", "", None, On("side", 60.0))
    made = recut(piece(marks=(notch,)), [""])

    assert (made.renewed, made.gone, made.piece.cut_lines) == ((), ("",), ())
    # A tick of 5 mm outward from (100, 60), where the seam line is.
    ends = {tuple(np.round(point, 6)) for point in made.piece.marks[0].path.nodes}
    assert ends == {(100.0, 60.0), (105.0, 60.0)}


def test_notches_are_drawn_from_the_cut_edge_inward_and_stop_short_of_the_seam():
    notch = Mark(NOTCH, "1", "", None, On("side", 60.0))
    made = recut(piece(marks=(notch,), allowance={"": 15.0}), [""])

    start, end = made.piece.marks[0].path.start, made.piece.marks[0].path.end
    # On the cut edge, and no nearer to the stitch line than 1/8 in (NIMI, Dress Making, p. 44).
    assert tuple(np.round(start, 6)) == (115.0, 60.0)
    assert end[1] == pytest.approx(60.0) and 100 + 3.175 - 1e-9 <= end[0] < 115


def test_only_the_sizes_that_changed_are_made_anew():
    nest = piece(rectangle(100, 150, "3"), rectangle(110, 160, "5"), cuts=("3", "5"), allowance={"": 10.0})
    made = recut(nest, ["5"])

    assert made.renewed == ("5",)
    assert made.piece.cut_line("3") == nest.cut_line("3")
    assert box(made.piece.cut_line("5").path) == (-10, -10, 120, 170)


def test_a_size_without_a_cut_line_is_left_alone():
    drawn = Mark(NOTCH, "1", "", Path.through([(100, 60), (103, 57), (103, 63)]), On("side", 60.0))
    bare = piece(cuts=(), marks=(drawn,), allowance={"": 10.0})
    made = recut(bare, [""])

    assert made.piece == bare and (made.renewed, made.gone) == ((), ())


def test_a_piece_drawn_once_is_asked_for_in_any_size():
    assert recut(piece(allowance={"": 10.0}), ["3", "5"]).renewed == ("",)


def test_the_line_it_came_with_is_bought_no_longer():
    bought = piece(allowance={"": 10.0})
    bought = bought._replace(cut_lines=(bought.cut_lines[0]._replace(bought=True),))

    assert not recut(bought, [""]).piece.cut_line("").bought


def test_widths_are_known_when_every_edge_has_one():
    assert knows_widths(piece(allowance={"": 10.0}))
    assert knows_widths(piece(allowance={"top": 5.0, "side": 5.0, "hem": 5.0}, folds=("centre",)))
    assert not knows_widths(piece(allowance={"top": 5.0, "side": 5.0, "hem": 5.0}))
    assert not knows_widths(piece(folds=("top", "side", "hem", "centre")))


def test_an_open_outline_is_refused():
    gap = bare_outline(Path.through([(0, 0), (100, 0), (100, 150), (0, 150), (0, 20)]))
    with pytest.raises(InputError) as refused:
        recut(piece(gap, allowance={"": 10.0}), [""])

    assert refused.value.code == "open" and "20.0 mm" in str(refused.value)
