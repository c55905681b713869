"""Notches of every shape, on one size or on all, single and double."""

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.geometry.transform import move, turn
from sewkit.pattern.mark import INNER, NOTCH
from tests.sheet.found import box, laid, line, moved, of_kind, words

ONE = {"": box(200, 300)}
# Three sizes, each 6 mm further out on the right and below.
NEST = {str(n): box(200 + 6 * n, 300 + 6 * n) for n in range(3)}

# All sit at (200, 100), which is 100 mm down the second edge of a box begun at its upper left.
SHAPES = {
    "a tick outwards": line((200, 100), (206, 100)),
    "a tick inwards": line((194, 100), (200, 100)),
    "a tick across": line((195, 100), (205, 100)),
    "a leaning tick": line((200, 100), (206, 101)),
    "a triangle outwards": Path.through([(200, 97), (205, 100), (200, 103)], closed=True),
    "a triangle inwards": Path.through([(200, 97), (195, 100), (200, 103)], closed=True),
    "a V inwards": line((200, 97), (195, 100), (200, 103)),
    "a V with its point on the line": line((205, 97), (200, 100), (205, 103)),
    "a diamond": Path.through([(196, 100), (200, 97), (204, 100), (200, 103)], closed=True),
}


@pytest.mark.parametrize("shape", sorted(SHAPES))
@pytest.mark.parametrize("degrees", [0.0, 48.0, 290.0])
def test_a_small_mark_on_the_outline_is_a_notch_and_knows_its_place(shape, degrees):
    made = moved(laid(ONE, [SHAPES[shape]]), turn(degrees).then(move(40, -90)))

    (mark,) = made.guessed().marks

    assert (mark.kind, mark.count) == (NOTCH, 1)
    assert mark.on.edge == "2" and not mark.on.from_end
    assert mark.on.distance == pytest.approx(100.0, abs=0.05)
    assert mark.guess > 0.6


NONE = {
    "too long": line((200, 100), (214, 100)),
    "along the line": line((200, 95), (200, 104)),
    "aslant": line((200, 100), (205, 105)),
    "away from the line": line((185, 100), (191, 100)),
    "a square to one side": Path.through([(190, 104), (195, 104), (195, 109), (190, 109)], closed=True),
    "dust": line((200, 100), (201, 100)),
}


@pytest.mark.parametrize("shape", sorted(NONE))
def test_other_small_marks_are_no_notches(shape):
    assert [mark.kind for mark in laid(ONE, [NONE[shape]]).guessed().marks] == [INNER]


def test_the_score_falls_with_the_gap_and_with_the_lean():
    gaps = [
        of_kind(laid(ONE, [line((200 + g, 100), (206, 100))]).guessed(), NOTCH) for g in (0, 0.3, 0.6, 0.9)
    ]
    leans = [
        of_kind(laid(ONE, [line((200, 100), (206, 100 + y))]).guessed(), NOTCH) for y in (0, 0.5, 1, 1.5)
    ]

    for made in (gaps, leans):
        scores = [mark.guess for (mark,) in made]
        assert scores == sorted(scores, reverse=True) and len(set(scores)) == 4


@pytest.mark.parametrize("count", [2, 3])
@pytest.mark.parametrize("apart", [3.0, 5.0, 8.0])
def test_ticks_side_by_side_are_one_notch(count, apart):
    ticks = [line((200, 100 + apart * n), (205, 100 + apart * n)) for n in range(count)]
    # Drawn in any order.
    (mark,) = laid(ONE, ticks[1:] + ticks[:1]).guessed().marks

    assert (mark.kind, mark.count) == (NOTCH, count)
    assert mark.on.distance == pytest.approx(100 + apart * (count - 1) / 2, abs=1e-6)


def test_ticks_further_apart_are_two_notches():
    ticks = [line((200, y), (205, y)) for y in (100, 112)]

    assert [mark.count for mark in laid(ONE, ticks).guessed().marks] == [1, 1]


def test_a_tick_belongs_to_the_size_on_whose_line_it_stands():
    ticks = [line((200 + 6 * n, 100), (205 + 6 * n, 100)) for n in range(3)]

    marks = laid(NEST, ticks).guessed().marks

    assert [(mark.size, mark.on.edge) for mark in marks] == [("0", "2"), ("1", "2"), ("2", "2")]
    assert all(mark.on.distance == pytest.approx(100) for mark in marks)


def test_a_tick_between_two_lines_belongs_to_its_own_group_or_stands_as_the_others_do():
    """Six millimetres long, it ends on the next size's line as well."""
    between = line((200, 100), (206, 100))
    others = [line((200, 200), (204, 200)), line((206, 200), (210, 200))]

    own = laid(NEST, [(between, "1")]).guessed()
    outwards = laid(NEST, [between] + others).guessed()

    assert [mark.size for mark in own.marks] == ["1"]
    assert outwards.marks[0].size == "0"


def test_a_tick_across_all_lines_at_one_distance_serves_all_sizes():
    """The right edges begin at the same height, so the distance is the same on each."""
    short = {str(n): box(200 + 3 * n, 300 + 3 * n) for n in range(3)}

    (mark,) = laid(short, [line((198, 100), (208, 100))]).guessed().marks

    assert (mark.size, mark.count) == ("", 1)
    assert mark.on.distance == pytest.approx(100.0)


def test_a_long_stroke_across_the_whole_nest_is_a_tick_on_every_line():
    marks = laid(NEST, [line((196, 100), (214, 100))]).guessed().marks

    assert [(mark.kind, mark.size) for mark in marks] == [(NOTCH, "0"), (NOTCH, "1"), (NOTCH, "2")]
    for n, mark in enumerate(marks):
        np.testing.assert_allclose(mark.path.start, (200 + 6 * n, 100), atol=1e-9)
        assert mark.path.end[0] > mark.path.start[0]


def test_a_tick_across_some_lines_is_a_notch_of_each():
    short = {str(n): box(200 + 3 * n, 300 + 3 * n, 0, 7 * n) for n in range(3)}

    across = laid(short, [line((198, 100), (204.5, 100))]).guessed().marks
    assert {mark.size: round(mark.on.distance, 6) for mark in across} == {"0": 100.0, "1": 93.0}


def test_ticks_of_all_sizes_in_one_row_are_one_a_size():
    """As a row of equal strokes and gaps they look like one broken line."""
    outlines = {str(n): box(200 + 8 * n, 300, 0, -n) for n in range(4)}
    row = [line((200 + 8 * n, 100 + 0.5 * n), (205 + 8 * n, 100 + 0.5 * n)) for n in range(4)]
    joined = Path.through(np.concatenate([tick.nodes for tick in row]))

    guessed = laid(outlines, [joined]).guessed()

    assert guessed.used == (4,)
    found = {mark.size: mark for mark in of_kind(guessed, NOTCH)}
    assert sorted(found) == ["0", "1", "2", "3"]
    for n in range(4):
        assert found[str(n)].on.distance == pytest.approx(100 + 1.5 * n, abs=0.1)


def test_a_line_across_the_whole_piece_is_no_row_of_ticks():
    guessed = laid({"a": box(100, 300), "b": box(106, 300, -3)}, [line((-3, 150), (103, 150))]).guessed()

    assert not of_kind(guessed, NOTCH)


def test_a_number_beside_a_notch_is_its_name_but_a_size_is_not():
    tick = line((200, 100), (205, 100))

    numbered = laid(ONE, [tick], [words("3", 196, 100, 4)]).guessed()
    sized = laid({"3": box(200, 300)}, [tick], [words("3", 196, 100, 4)]).guessed()

    assert of_kind(numbered, NOTCH)[0].name == "3"
    assert of_kind(sized, NOTCH)[0].name == ""
