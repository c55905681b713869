"""Outlines and the lines drawn over them: who is who among what was picked."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedNode, PickedOutline
from sewkit.pattern.drawn_lines import lines_of, separate, subjects
from sewkit.pattern.mark import GRAIN, INNER, LENGTHEN, LEVEL, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from tests.operations.pieces import bare_piece, level, named_outline

SQUARE = Path.through([(0, 0), (100, 0), (100, 200), (0, 200)], closed=True)
ACROSS = Path.through([(-10, 80), (110, 90)])
UNDER = Path.through([(-10, 150), (110, 150)])
EDGES = "waist side hem centre"
FRONT = Piece("front", tuple(named_outline(SQUARE, EDGES, size) for size in ("3", "4")))
PATTERN = Pattern(
    (FRONT, bare_piece(SQUARE, "path1"), bare_piece(ACROSS, "path2"), bare_piece(UNDER, "path3"))
)


def picked(*names, **more):
    sizes = {piece.name: piece.sizes for piece in PATTERN.pieces}
    return Chosen(tuple(PickedOutline(name, size) for name in names for size in sizes[name]), **more)


def names(found):
    return [(piece.name, outline.size) for piece, outline in found.outlines]


def test_closed_paths_are_outlines_and_open_ones_are_lines_in_order():
    found = subjects(PATTERN, picked("path3", "path1", "path2"))

    assert names(found) == [("path1", "")]
    assert found.lines == (UNDER, ACROSS)


def test_named_pieces_are_outlines_in_all_their_sizes():
    assert names(subjects(PATTERN, picked("front"))) == [("front", "3"), ("front", "4")]


@pytest.mark.parametrize(("chosen", "lines"), [(EVERYTHING, ()), (picked("path2"), (ACROSS,))])
def test_without_an_outline_all_named_pieces_are_meant(chosen, lines):
    found = subjects(PATTERN, chosen)

    assert names(found) == [("front", "3"), ("front", "4")]
    assert found.lines == lines


def test_where_nothing_is_named_and_nothing_picked_the_bare_paths_are_meant():
    found = subjects(PATTERN._replace(pieces=PATTERN.pieces[1:]), EVERYTHING)

    assert names(found) == [("path1", "")]
    assert found.lines == (ACROSS, UNDER)


@pytest.mark.parametrize("pieces", [PATTERN.pieces[2:], ()])
def test_lines_alone_are_nothing_to_change(pieces):
    with pytest.raises(InputError) as caught:
        subjects(Pattern(pieces), EVERYTHING)

    assert caught.value.code == "choice"


def with_marks(*marks):
    return PATTERN.with_piece(FRONT._replace(marks=marks))


def test_picked_lines_of_a_piece_are_lines_and_its_grain_is_none():
    one, two = level("waist", 60.0)._replace(key="a"), level("hip", 90.0)._replace(key="b")
    grain = Mark(GRAIN, path=Path.through([(5, 5), (5, 90)]), key="c")

    found = subjects(with_marks(one, two, grain), picked("front", marks=("b", "c")))

    assert found.lines == (two.path,)
    assert names(found) == [("front", "3"), ("front", "4")]


def test_a_line_of_one_size_means_that_size():
    mark = Mark(LEVEL, "waist", "4", ACROSS, key="a")

    assert names(subjects(with_marks(mark), picked("front", marks=("a",)))) == [("front", "4")]


def test_two_nodes_of_an_outline_are_a_line():
    nodes = (PickedNode("path1", "", (100.0, 50.0)), PickedNode("path1", "", (0.0, 70.0)))

    found = subjects(PATTERN, picked("path1", nodes=nodes))

    assert [line.nodes.tolist() for line in found.lines] == [[[100.0, 50.0], [0.0, 70.0]]]


def test_nodes_of_a_drawn_line_are_the_line_itself():
    nodes = (PickedNode("path2", "", (-10.0, 80.0)),)

    assert subjects(PATTERN, picked("path1", "path2", nodes=nodes)).lines == (ACROSS,)


@pytest.mark.parametrize("spots", [[(0, 0)], [(0, 0), (0, 0)], [(0, 0), (100, 0), (100, 200)]])
def test_other_than_two_nodes_are_refused(spots):
    nodes = tuple(PickedNode("path1", "", spot) for spot in spots)

    with pytest.raises(InputError) as caught:
        subjects(PATTERN, picked("path1", nodes=nodes))

    assert caught.value.code == "choice"
    assert "'path1'" in str(caught.value)


def lines(*pairs):
    return Path(np.concatenate([Path.through(pair).curves for pair in pairs]))


def test_lines_with_gaps_are_taken_apart():
    both = lines([(0, 0), (5, 0), (9, 1)], [(0, 5), (9, 5)])

    assert [part.nodes.tolist() for part in separate(both)] == [[[0, 0], [5, 0], [9, 1]], [[0, 5], [9, 5]]]
    assert separate(Path([])) == ()


@pytest.mark.parametrize("second", [[(0, 20), (90, 20)], [(90, 20), (0, 20)]])
def test_a_pair_of_lengthen_lines_is_one_line_half_way(second):
    mark = Mark(LENGTHEN, path=lines([(0, 10), (90, 10)], second))

    assert [line.nodes.tolist() for line in lines_of(mark)] == [[[0.0, 15.0], [90.0, 15.0]]]


def test_two_lines_that_are_no_pair_stay_two():
    mark = Mark(LENGTHEN, path=lines([(0, 10), (90, 10)], [(0, 20), (90, 120)]))

    assert len(lines_of(mark)) == 2


def test_lengthen_lines_far_apart_and_two_inner_lines_stay_two():
    far = lines([(0, 10), (90, 10)], [(0, 110), (90, 110)])
    near = lines([(0, 10), (90, 10)], [(0, 20), (90, 20)])

    assert len(lines_of(Mark(LENGTHEN, path=far))) == 2
    assert len(lines_of(Mark(INNER, path=near))) == 2


@pytest.mark.parametrize("second", [[(60, 10), (90, 10)], [(90, 10), (60, 10)]])
def test_a_line_with_a_gap_is_one_line_from_end_to_end(second):
    mark = Mark(LEVEL, path=lines([(0, 10), (40, 10)], second))

    assert [line.nodes.tolist() for line in lines_of(mark)] == [[[0.0, 10.0], [90.0, 10.0]]]
