"""Where a line across the grain lies: by name, half way, so far beyond, in any unit."""

import math

import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.transform import turn
from sewkit.pattern.cross_line import (
    crosses,
    drawn_height,
    height_of,
    named_heights,
    own_line,
)
from sewkit.pattern.mark import LENGTHEN, LEVEL, Mark
from tests.operations.pieces import level, named
from tests.pattern.test_drawn_lines import lines

DOWN = (0.0, 1.0)
PANEL = Path.through([(0, 0), (200, 0), (200, 600), (0, 600)], closed=True)
LEVELS = (level("chest", 100.0), level("waist", 300.0), level("low-hip", 460.0), level("low", 20.0))


def panel(*marks):
    return named(PANEL, "top side hem centre", "front", marks=LEVELS + marks)


def lengthen(*heights, name="", size=""):
    return Mark(LENGTHEN, name, size, lines(*([(-10, y), (210, y)] for y in heights)))


@pytest.mark.parametrize(
    ("words", "height"),
    [
        ("waist", 300.0),
        (" low-hip ", 460.0),
        ("chest/waist", 200.0),
        ("waist/chest", 200.0),
        ("chest / low-hip", 280.0),
        ("waist+40", 340.0),
        ("waist + 40 mm", 340.0),
        ("waist-40mm", 260.0),
        ("waist−4cm", 260.0),
        ("waist+1,5cm", 315.0),
        ("waist-1 1/2in", 300.0 - 38.1),
        ("waist+1-1/2in", 300.0 + 38.1),
        ("waist+½in", 312.7),
        ("waist+-40", 260.0),
        ("low-hip-40", 420.0),
        ("low-1in", 20.0 - 25.4),
        ("chest/waist+1in", 225.4),
        ("waist+0", 300.0),
    ],
)
def test_places_in_words(words, height):
    assert height_of(panel(), "", words, DOWN) == pytest.approx(height, abs=1e-9)


def test_an_exact_name_comes_before_a_sum():
    assert height_of(panel(level("waist-40", 77.0)), "", "waist-40", DOWN) == pytest.approx(77.0)


def test_half_way_is_the_lengthen_line_where_there_is_one_between():
    assert height_of(panel(lengthen(170.0)), "", "chest/waist", DOWN) == pytest.approx(170.0)
    assert height_of(panel(lengthen(400.0)), "", "chest/waist", DOWN) == pytest.approx(200.0)
    assert height_of(panel(lengthen(150.0, 250.0)), "", "chest/waist", DOWN) == pytest.approx(200.0)


def test_a_lengthen_line_may_be_named_and_comes_before_a_level():
    piece = panel(lengthen(310.0, name="waist"), lengthen(200.0, name="bodice"))

    assert height_of(piece, "", "waist", DOWN) == pytest.approx(310.0)
    assert height_of(piece, "", "bodice+1cm", DOWN) == pytest.approx(210.0)


@pytest.mark.parametrize("words", ["hip", "hip+40", "chest/hip", "/", "", "+40", "-40", "waist/"])
def test_what_is_not_there_is_told_with_what_there_is(words):
    with pytest.raises(InputError) as caught:
        height_of(panel(), "", words, DOWN)

    assert caught.value.code == "no-level"
    assert "'front'" in str(caught.value)
    assert "chest, low, low-hip, waist" in str(caught.value)


@pytest.mark.parametrize("words", ["waist+long", "waist+40 ells", "waist+1/2", "waist+40+10"])
def test_what_is_no_length_is_told(words):
    with pytest.raises(InputError) as caught:
        height_of(panel(), "", words, DOWN)

    assert caught.value.code == "unit"


@pytest.mark.parametrize(
    "marks",
    [
        (lengthen(200.0, 212.0),),
        (lengthen(200.0), lengthen(212.0)),
        (lengthen(212.0, name="bodice"), lengthen(200.0, name="bodice")),
        (lengthen(200.0), lengthen(212.0, name="bodice")),
    ],
)
def test_a_pair_of_lengthen_lines_is_one_place_half_way(marks):
    assert own_line(panel(*marks), "", DOWN) == pytest.approx(206.0)


def test_lines_far_apart_are_no_pair():
    for marks in [(lengthen(200.0, 400.0),), (lengthen(200.0), lengthen(400.0))]:
        with pytest.raises(InputError) as caught:
            own_line(panel(*marks), "", DOWN)

        assert caught.value.code == "choice"


@pytest.mark.parametrize(
    "ask", [lambda piece: height_of(piece, "", "hip", DOWN), lambda piece: own_line(piece, "", DOWN)]
)
def test_a_piece_without_any_level_is_told_to_get_one(ask):
    """Two of none cannot be named, so nothing is said about how to."""
    bare = panel()._replace(marks=())

    with pytest.raises(InputError) as told:
        ask(bare)

    assert "Draw a line across it and select that too" in told.value.cure
    assert not any(word in told.value.cure for word in ("between", "none;", ": none"))


def test_without_a_lengthen_line_the_levels_are_listed():
    with pytest.raises(InputError) as caught:
        own_line(panel(), "", DOWN)

    assert caught.value.code == "no-level"
    assert "chest, low, low-hip, waist" in str(caught.value)


def test_one_name_for_two_places_is_refused():
    piece = panel(lengthen(150.0, name="body"), lengthen(400.0, name="body"))

    with pytest.raises(InputError) as caught:
        height_of(piece, "", "body", DOWN)

    assert caught.value.code == "choice"
    assert "body" not in named_heights(piece, "", DOWN)


def test_a_level_of_the_size_comes_before_one_for_all():
    for marks in [
        (level("knee", 500.0, "3"), level("knee", 520.0)),
        (level("knee", 520.0), level("knee", 500.0, "3")),
    ]:
        assert height_of(panel(*marks), "3", "knee", DOWN) == pytest.approx(500.0)
        assert height_of(panel(*marks), "4", "knee", DOWN) == pytest.approx(520.0)


def test_heights_count_along_the_axis_whichever_way_the_piece_lies():
    """Turned by 30 degrees about the origin, a level's foot still lies 300 mm along the grain."""
    frame = turn(30.0)
    piece = panel()
    turned = piece._replace(marks=tuple(mark._replace(path=frame.path(mark.path)) for mark in piece.marks))
    axis = (-math.sin(math.radians(30)), math.cos(math.radians(30)))

    assert height_of(turned, "", "waist+40", axis) == pytest.approx(340.0, abs=1e-9)
    assert height_of(piece, "", "waist+40", (0.0, -1.0)) == pytest.approx(-300.0 + 40.0)


@pytest.mark.parametrize("ends", [[(0, 100), (100, 110)], [(100, 110), (0, 100)], [(0, 110), (100, 100)]])
def test_a_drawn_line_counts_by_its_middle_and_tells_how_far_off_square_it_is(ends):
    height, off = drawn_height(Path.through(ends), DOWN)

    assert height == pytest.approx(105.0)
    assert off == pytest.approx(math.degrees(math.atan2(10, 100)))


def test_a_line_crosses_a_piece_between_its_ends_only():
    outline = panel().outlines[0]

    assert crosses(outline, DOWN, 300.0)
    assert crosses(outline, (0.0, -1.0), -300.0)
    assert not any(crosses(outline, DOWN, height) for height in (-1.0, 0.0, 600.0, 601.0))


def test_a_level_drawn_in_two_parts_beside_a_dart_is_one_line():
    mark = Mark(LEVEL, "hip", "", lines([(0, 150), (80, 150)], [(100, 150), (200, 150)]))

    assert height_of(panel(mark), "", "hip", DOWN) == pytest.approx(150.0)
