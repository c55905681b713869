"""Grain lines and fold brackets, however their arrows are drawn."""

import math

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.geometry.transform import move, turn
from sewkit.pattern.mark import DART, FOLD, GRAIN, INNER
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.spans import grain_axis
from tests.sheet.found import BLACK, box, laid, line, moved, of_kind, words

TOP, BOTTOM = (100.0, 50.0), (100.0, 250.0)


def barbs(tip, down, half=3.0, back=8.0):
    """Two strokes of a head as one line."""
    x, y = tip
    return line((x - half, y + down * back), (x, y), (x + half, y + down * back))


def triangle(tip, down, half=3.0, back=8.0):
    x, y = tip
    return Path.through([(x, y), (x + half, y + down * back), (x - half, y + down * back)], closed=True)


HEADS = {
    "strokes in one": [line(TOP, BOTTOM), barbs(TOP, 1), barbs(BOTTOM, -1)],
    "four strokes": [
        line(TOP, BOTTOM),
        line(TOP, (97, 58)),
        line((103, 58), TOP),
        line(BOTTOM, (97, 242)),
        line(BOTTOM, (103, 242)),
    ],
    "black triangles": [line(TOP, BOTTOM), (triangle(TOP, 1), BLACK), (triangle(BOTTOM, -1), BLACK)],
    "open triangles on a shorter line": [
        line((100, 58), (100, 242)),
        triangle(TOP, 1),
        triangle(BOTTOM, -1),
    ],
    "one polyline": [
        line((97, 58), TOP, (103, 58), TOP, BOTTOM, (97, 242), BOTTOM, (103, 242)),
    ],
}


@pytest.mark.parametrize("drawn", sorted(HEADS))
def test_an_arrow_with_two_heads_is_a_grain_line(drawn):
    made = laid({"": box(200, 300)}, HEADS[drawn])

    (mark,) = made.guessed().marks

    assert mark.kind == GRAIN
    assert mark.guess >= 0.9
    piece = Piece("a", (bare_outline(box(200, 300)),), marks=(mark,))
    np.testing.assert_allclose(grain_axis(piece, ""), (0.0, 1.0), atol=1e-12)


# Arrows drawn as one black area, 1 mm thick, with heads 6 mm wide and 8 mm long.
SOLID = {
    "two heads": [
        (0, 0),
        (3, 8),
        (0.5, 8),
        (0.5, 192),
        (3, 192),
        (0, 200),
        (-3, 192),
        (-0.5, 192),
        (-0.5, 8),
        (-3, 8),
    ],
    "one head": [(0, 0), (3, 8), (0.5, 8), (0.5, 200), (-0.5, 200), (-0.5, 8), (-3, 8)],
}


@pytest.mark.parametrize("drawn", sorted(SOLID))
@pytest.mark.parametrize("degrees", [0.0, 17.0])
def test_an_arrow_drawn_as_an_area_is_a_grain_line(drawn, degrees):
    shape = Path.through(np.array(SOLID[drawn]) + (100, 50), closed=True)
    frame = turn(degrees)
    made = moved(laid({"": box(200, 300)}, [(shape, BLACK)]), frame)

    (mark,) = made.guessed().marks

    assert mark.kind == GRAIN
    piece = Piece("a", (bare_outline(box(200, 300)),), marks=(mark,))
    radians = math.radians(degrees)  # down the sheet, turned clockwise
    np.testing.assert_allclose(grain_axis(piece, ""), (-math.sin(radians), math.cos(radians)), atol=1e-9)


def test_a_slim_belt_loop_and_a_star_are_no_arrows():
    loop = Path.through([(50, 50), (58, 50), (58, 150), (50, 150)], closed=True)
    star = [
        (100 + r * math.cos(a), 150 + r * math.sin(a))
        for a, r in zip(np.arange(10) * math.pi / 5, [20, 8] * 5)
    ]
    marks = [(loop, BLACK), (Path.through(star, closed=True), BLACK)]

    assert not of_kind(laid({"": box(200, 300)}, marks).guessed(), GRAIN)


def test_one_head_and_a_word_tell_less_than_two_heads_and_more_than_nothing():
    whole = laid({"": box(200, 300)}, HEADS["strokes in one"])
    half = laid({"": box(200, 300)}, HEADS["strokes in one"][:2])
    along = words("GRAINLINE", 98, 180, 5, -90)
    word = laid({"": box(200, 300)}, HEADS["strokes in one"][:1], [along])
    both = laid({"": box(200, 300)}, HEADS["strokes in one"], [along])
    bare = laid({"": box(200, 300)}, HEADS["strokes in one"][:1])

    scores = [one.guessed().marks[0].guess for one in (half, whole, both)]

    assert scores == sorted(scores) and len(set(scores)) == 3
    assert word.guessed().marks[0].kind == GRAIN
    assert bare.guessed().marks[0].kind == INNER


def test_a_word_across_the_line_is_not_about_it():
    across = words("grain", 104, 150, 5, 0)
    made = laid({"": box(200, 300)}, [line(TOP, BOTTOM)], [across])

    assert not of_kind(made.guessed(), GRAIN)


def test_a_line_interrupted_by_its_word_is_one_grain_line():
    marks = [line(TOP, (100, 120)), line((100, 165), BOTTOM), barbs(TOP, 1), barbs(BOTTOM, -1)]
    made = laid({"": box(200, 300)}, marks, [words("GRAIN", 102, 155, 6, -90)])

    guessed = made.guessed()

    (mark,) = of_kind(guessed, GRAIN)
    assert len(guessed.used) == 4
    assert mark.guess > 0.9


@pytest.mark.parametrize("depth", [30.0, 60.0, 120.0])
@pytest.mark.parametrize("half", [3.0, 8.0, 14.0])
@pytest.mark.parametrize("centre", [False, True])
def test_no_dart_is_taken_for_an_arrow(depth, half, centre):
    """A slim dart with its middle line looks like a long arrow; its legs are as long as it."""
    foot, point = (100.0, 300.0), (100.0, 300.0 - depth)
    marks = [line((100 - half, 300), point), line(point, (100 + half, 300))]
    marks += [line(foot, point)] if centre else []

    guessed = laid({"": box(200, 300)}, marks).guessed()

    assert not of_kind(guessed, GRAIN)
    (dart,) = of_kind(guessed, DART)
    assert len(dart.path) == len(marks)


def test_two_whole_grain_lines_run_the_same_way():
    again = [line((150, 60), (150, 240)), barbs((150, 60), 1), barbs((150, 240), -1)]
    aslant = [turn(20, (150, 150)).path(one) for one in again]

    same = laid({"": box(200, 300)}, HEADS["strokes in one"] + again).guessed()
    other = laid({"": box(200, 300)}, HEADS["strokes in one"] + aslant).guessed()

    assert len(of_kind(same, GRAIN)) == 2
    assert len(of_kind(other, GRAIN)) == 1


def test_the_more_uneven_a_head_the_less_sure_it_is():
    scores = []
    for uneven in (0.0, 0.3, 0.6, 0.9):
        head = line((97, 58), TOP, (103, 58 + uneven))
        made = laid({"": box(200, 300)}, [line(TOP, BOTTOM), head, barbs(BOTTOM, -1)])
        scores.append(of_kind(made.guessed(), GRAIN)[0].guess)

    assert scores == sorted(scores, reverse=True) and scores[0] > scores[-1]


# -- fold brackets ------------------------------------------------------------------------

BRACKETS = {
    "one line": [line((0, 80), (15, 80), (15, 220), (0, 220))],
    "three lines": [line((15, 80), (15, 220)), line((15, 80), (0, 80)), line((0, 220), (15, 220))],
    "with heads": [
        line((0, 80), (15, 80), (15, 220), (0, 220)),
        (Path.through([(0, 80), (6, 78), (6, 82)], closed=True), BLACK),
        (Path.through([(0, 220), (6, 218), (6, 222)], closed=True), BLACK),
    ],
    "strokes for heads": [
        line((0, 80), (15, 80), (15, 220), (0, 220)),
        line((5, 77), (0, 80), (5, 83)),
        line((5, 217), (0, 220), (5, 223)),
    ],
    "ending at the stitch line": [line((4, 80), (19, 80), (19, 220), (4, 220))],
}


@pytest.mark.parametrize("drawn", sorted(BRACKETS))
@pytest.mark.parametrize("degrees", [0.0, 37.0, 180.0])
def test_a_bracket_to_an_edge_is_a_fold_mark_and_tells_the_edge(drawn, degrees):
    frame = turn(degrees).then(move(300, 40))
    made = moved(laid({"": box(200, 300)}, BRACKETS[drawn]), frame)

    guessed = made.guessed()

    (mark,) = of_kind(guessed, FOLD)
    assert len(guessed.used) == len(BRACKETS[drawn])
    assert mark.guess > 0.5
    # Half way between the arms, on the left edge.
    np.testing.assert_allclose(guessed.fold, frame.points(np.array([[0.0, 150.0]]))[0], atol=0.05)


def test_heads_and_words_make_a_fold_mark_surer():
    plain = laid({"": box(200, 300)}, BRACKETS["one line"])
    heads = laid({"": box(200, 300)}, BRACKETS["with heads"])
    word = laid({"": box(200, 300)}, BRACKETS["one line"], [words("Place on fold", 24, 190, 5, -90)])

    first, second, third = (of_kind(one.guessed(), FOLD)[0].guess for one in (plain, heads, word))

    assert first < third and first < second


@pytest.mark.parametrize("degrees, sure", [(0.0, True), (1.5, True), (4.0, False)])
def test_a_bracket_that_does_not_run_along_the_edge_is_none(degrees, sure):
    bracket = turn(degrees, (10, 150)).path(BRACKETS["one line"][0])

    assert bool(of_kind(laid({"": box(200, 300)}, [bracket]).guessed(), FOLD)) == sure


@pytest.mark.parametrize("text", ["PLACE ON FOLD", "Fold", "Stoffbruch", "pliure"])
def test_words_along_an_edge_say_that_it_lies_on_the_fold(text):
    made = laid({"": box(200, 300)}, [], [words(text, 12, 200, 5, -90)])

    guessed = made.guessed()

    # The middle of the text lies on the edge's level: from y = 200 up by half its width.
    middle = 200 - 0.5 * 5 * len(text) / 2
    np.testing.assert_allclose(guessed.fold, (0.0, middle), atol=1e-9)


def test_what_is_said_of_the_cutting_tells_no_edge_but_is_told():
    made = laid({"": box(200, 300)}, [], [words("cut 1 on fold", 60, 295, 5), words("Back", 60, 150, 9)])

    guessed = made.guessed()

    assert guessed.fold is None and guessed.cut == 1
    assert [one.code for one in guessed.findings if one.code == "fold-unknown"] == ["fold-unknown"]
    assert guessed.name_score > 0.85
