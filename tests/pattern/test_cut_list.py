"""Cut lists: exact counts, pairs and folds, counted by hand on shapes drawn in the test."""

import pytest

from sewkit.geometry.path import Path
from sewkit.pattern.cut_list import cut_list, total_by_cloth
from sewkit.pattern.mark import GRAIN, Mark
from sewkit.pattern.outline import bare_outline, from_edges
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece

# A front: the slanted edge is on one side only, so two of it must be a pair.
FRONT = [(0, 0), (150, 0), (220, 400), (0, 400)]
# A band is its own mirror image, across and along.
BAND = [(0, 0), (40, 0), (40, 600), (0, 600)]
# A tab whose pointed end lies on its middle line: its own mirror image along that line only.
TAB = [(0, 0), (60, 0), (60, 100), (30, 140), (0, 100)]
# A parallelogram: half a turn brings it on itself, but no mirror does.
SLANTED = [(0, 0), (100, 0), (160, 80), (60, 80)]


def a_piece(name, corners, grain=((20, 20), (20, 60)), size="", **more):
    path = Path.through([*corners, corners[0]], closed=True)
    marks = (Mark(GRAIN, path=Path.through(grain)),) if grain else ()
    return Piece(name, (bare_outline(path, size),), marks=marks, **more)


def how(piece):
    (row,) = cut_list(Pattern((piece,)))
    return row.how


@pytest.mark.parametrize(
    "corners, cut, said",
    [
        (FRONT, 1, "1"),
        (FRONT, 2, "1 pair, mirrored"),
        (FRONT, 4, "2 pairs, mirrored"),
        (FRONT, 3, "1 pair, mirrored and 1 single"),
        (BAND, 2, "2 alike"),
        (BAND, 3, "3 alike"),
        (TAB, 2, "2 alike"),
        (SLANTED, 2, "1 pair, mirrored"),
    ],
)
def test_how_a_piece_is_cut(corners, cut, said):
    assert how(a_piece("one", corners, cut=cut)) == said


def test_whether_it_is_its_own_mirror_image_is_asked_along_the_grain():
    along, across = ((30, 20), (30, 90)), ((10, 50), (50, 50))

    assert how(a_piece("tab", TAB, along, cut=2)) == "2 alike"
    assert how(a_piece("tab", TAB, across, cut=2)) == "1 pair, mirrored"
    # On the bias, the axis at 45 degrees: a square is its own mirror image, a tab is not.
    bias = ((10, 10), (50, 50))
    square = [(0, 0), (80, 0), (80, 80), (0, 80)]
    assert how(a_piece("square", square, bias, cut=2)) == "2 alike"
    assert how(a_piece("tab", TAB, bias, cut=2)) == "1 pair, mirrored"


def test_less_than_a_pencil_line_makes_no_pair_and_more_does():
    near = [(0, 0), (40, 0), (40.4, 600), (0, 600)]
    far = [(0, 0), (40, 0), (42, 600), (0, 600)]

    assert how(a_piece("band", near, cut=2)) == "2 alike"
    assert how(a_piece("band", far, cut=2)) == "1 pair, mirrored"


def test_a_piece_on_the_fold_is_no_pair():
    parts = [
        ("top", Path.through([(0, 0), (150, 0)]), False),
        ("side", Path.through([(150, 0), (220, 400), (0, 400)]), False),
        ("centre-back", Path.through([(0, 400), (0, 0)]), False),
    ]
    back = Piece("back", (from_edges("", parts, True),), folds=("centre-back",))

    assert how(back) == "1 on the fold"
    assert how(back._replace(cut=2)) == "2 on the fold"
    assert how(back._replace(folds=("another",), cut=2)) == "1 pair, mirrored"


def test_rows_are_numbered_and_the_totals_exact():
    pattern = Pattern(
        (
            a_piece("front", FRONT, size="3", cut=2, cloth="main"),
            a_piece("back", FRONT, size="3", cut=2, cloth="lining"),
            a_piece("band", BAND, cut=1),
            a_piece("pocket", FRONT, size="3", cut=4, cloth="lining"),
        )
    )
    rows = cut_list(pattern, "3")

    assert [(row.number, row.of, row.piece, row.count, row.cloth, row.size) for row in rows] == [
        (1, 4, "front", 2, "main", "3"),
        (2, 4, "back", 2, "lining", "3"),
        (3, 4, "band", 1, "main", ""),
        (4, 4, "pocket", 4, "lining", "3"),
    ]
    assert total_by_cloth(rows) == (("main", 3), ("lining", 6))


def test_a_line_that_was_only_drawn_is_no_piece():
    drawn = Piece("line", (bare_outline(Path.through([(0, 0), (50, 50)])),), named=False)
    bare = a_piece("path1", FRONT)._replace(named=False)

    assert [row.piece for row in cut_list(Pattern((drawn, bare, Piece("empty"))))] == ["path1"]
    assert cut_list(Pattern()) == ()


def test_sizes_of_a_nest_are_all_named_where_nobody_said_which():
    small = a_piece("front", FRONT, size="3", cut=2)
    nest = small.with_outline(small.outlines[0]._replace(size="P03"))

    assert cut_list(Pattern((nest,)))[0].size == "3, P03"
    assert cut_list(Pattern((nest,)), "P03")[0].size == "P03"
