"""The table of edges before and after; lengths of rectangles, worked in the head."""

import numpy as np

from sewkit.checks.edge_lengths import edge_report
from sewkit.geometry.path import Path
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece


def rectangle(width, height, size="", names="top side hem centre"):
    path = Path.through([(0, 0), (width, 0), (width, height), (0, height)], closed=True)
    made = bare_outline(path, size)
    return made._replace(edges=tuple(e._replace(name=n) for e, n in zip(made.edges, names.split())))


def pattern(*outlines, name="panel"):
    return Pattern((Piece(name, outlines),))


def rows(before, after, sizes=("",), pieces=("panel",)):
    tables = edge_report(before, after, sizes, pieces).tables
    return [] if not tables else list(tables[0].rows)


def test_only_the_edges_that_changed_are_shown_as_sewn():
    made = rows(pattern(rectangle(100, 150)), pattern(rectangle(100, 162.5)))

    assert made == [
        ("panel", "side", "150.00", "162.50", "+12.50"),
        ("panel", "centre", "150.00", "162.50", "+12.50"),
    ]


def test_an_edge_in_two_runs_counts_as_one():
    names = "side side hem centre"  # 100 across and 150 down are one edge here
    made = rows(pattern(rectangle(100, 150, names=names)), pattern(rectangle(90, 150, names=names)))

    assert made[0] == ("panel", "side", "250.00", "240.00", "-10.00")
    assert made[1] == ("panel", "hem", "100.00", "90.00", "-10.00")


def test_less_than_half_a_hundredth_is_no_change():
    assert rows(pattern(rectangle(100, 150)), pattern(rectangle(100, 150.0049))) == []
    assert len(rows(pattern(rectangle(100, 150)), pattern(rectangle(100, 150.0051)))) == 2


def test_the_three_numbers_agree_as_they_are_written():
    # The change is 20.012; beside 50.01 and 70.03 it would not add up as +20.01.
    made = rows(pattern(rectangle(100, 50.014)), pattern(rectangle(100, 70.026)))

    assert made[0] == ("panel", "side", "50.01", "70.03", "+20.02")


def test_several_sizes_have_a_column_and_one_size_stands_in_the_title():
    before = pattern(rectangle(100, 150, "3"), rectangle(110, 160, "5"))
    after = pattern(rectangle(100, 170, "3"), rectangle(110, 180, "5"))
    both = edge_report(before, after, ["3", "5"], ["panel"]).tables[0]
    one = edge_report(before, after, ["5"], ["panel"]).tables[0]

    assert both.columns == ("piece", "size", "edge", "before mm", "after mm", "change")
    assert [row[1] for row in both.rows] == ["3", "3", "5", "5"]
    assert one.title == "Edges before and after, size 5" and len(one.rows) == 2


def test_of_many_sizes_an_edge_that_changed_alike_has_one_row():
    sizes = "23456"
    before = pattern(*(rectangle(100 + 10 * n, 150 + 10 * n, size) for n, size in enumerate(sizes)))
    after = pattern(*(rectangle(100 + 10 * n, 170 + 10 * n, size) for n, size in enumerate(sizes)))

    assert rows(before, after, sizes) == [
        ("panel", "2 to 6", "side", "150.00 to 190.00", "170.00 to 210.00", "+20.00"),
        ("panel", "2 to 6", "centre", "150.00 to 190.00", "170.00 to 210.00", "+20.00"),
    ]
    assert [row[1] for row in rows(before, after, "2356")] == ["2, 3, 5, 6"] * 2


def test_of_many_sizes_an_edge_that_changed_differently_has_a_row_each():
    sizes = "2345"
    before = pattern(*(rectangle(100, 150, size) for size in sizes))
    after = pattern(*(rectangle(100, 160 + n, size) for n, size in enumerate(sizes)))

    assert [row[1:] for row in rows(before, after, sizes) if row[2] == "side"] == [
        (size, "side", "150.00", "{}.00".format(160 + n), "+{}.00".format(10 + n))
        for n, size in enumerate(sizes)
    ]


def test_a_piece_drawn_once_is_told_once():
    made = rows(pattern(rectangle(100, 150)), pattern(rectangle(100, 170)), ["3", "5"])

    assert [row[:3] for row in made] == [("panel", "", "side"), ("panel", "", "centre")]


def test_an_edge_that_came_or_went_has_no_change():
    made = rows(pattern(rectangle(100, 150)), pattern(rectangle(100, 150, names="top side vent centre")))

    assert made == [("panel", "vent", "-", "100.00", "-"), ("panel", "hem", "100.00", "-", "-")]


def test_pieces_and_sizes_that_are_not_in_both_are_left_out():
    before, after = pattern(rectangle(100, 150, "3")), pattern(rectangle(100, 170, "3"))

    assert rows(before, after, ["3"], ["sleeve"]) == []
    assert rows(before, after, ["9"]) == []
    assert rows(before, Pattern(), ["3"]) == []


def test_the_lengths_are_those_of_the_curve():
    # A quarter circle of radius 100, which four-point curves follow to 0.03 % (2 parts in 10000 long).
    handle = 400.0 / 3.0 * (2**0.5 - 1)
    curves = np.array([[(0, 0), (handle, 0), (100, 100 - handle), (100, 100)]])
    back = Path.through([(100, 100), (0, 100), (0, 0)])
    made = bare_outline(Path(np.concatenate([curves, back.curves]), closed=True))
    before = Pattern((Piece("panel", (made,)),))
    grown = Pattern((Piece("panel", (made._replace(path=Path(made.path.curves * 2.0, True)),)),))

    length = float(rows(before, grown)[0][2])
    assert abs(length - np.pi * 50) < 0.05
