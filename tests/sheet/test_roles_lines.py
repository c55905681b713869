"""Lines across a piece, drill holes, the bust point, buttons and buttonholes."""

import numpy as np
import pytest

from sewkit.geometry.transform import move, turn
from sewkit.pattern.mark import DRILL, GRAIN, INNER, LENGTHEN, LEVEL
from tests.pdfs.scene import circle
from tests.sheet.found import box, laid, line, moved, of_kind, words

PIECE = {"": box(200, 300)}
GRAIN_LINE = [
    line((100, 30), (100, 130)),
    line((97, 38), (100, 30), (103, 38)),
    line((97, 122), (100, 130), (103, 122)),
]


def across(y, left=20.0, right=180.0):
    return line((left, y), (right, y))


@pytest.mark.parametrize("degrees", [0.0, 23.0, 90.0])
@pytest.mark.parametrize("apart", [3.0, 6.0, 10.0])
def test_two_lines_across_square_to_the_grain_are_where_it_is_lengthened(degrees, apart):
    made = laid(PIECE, GRAIN_LINE + [across(180), across(180 + apart)])
    made = moved(made, turn(degrees).then(move(-20, 900)))

    (mark,) = of_kind(made.guessed(), LENGTHEN)

    assert len(mark.path) == 2
    assert mark.guess > 0.7


@pytest.mark.parametrize(
    "degrees, found", [(0.0, True), (1.0, True), (1.9, True), (3.0, False), (30.0, False)]
)
def test_square_to_the_grain_means_within_two_degrees(degrees, found):
    pair = [turn(degrees, (100, 183)).path(one) for one in (across(180), across(186))]

    assert bool(of_kind(laid(PIECE, GRAIN_LINE + pair).guessed(), LENGTHEN)) == found


def test_the_more_askew_the_less_sure():
    scores = []
    for degrees in (0.0, 0.5, 1.0, 1.5):
        pair = [turn(degrees, (100, 183)).path(one) for one in (across(180), across(186))]
        scores.append(of_kind(laid(PIECE, GRAIN_LINE + pair).guessed(), LENGTHEN)[0].guess)

    assert scores == sorted(scores, reverse=True) and len(set(scores)) == 4


@pytest.mark.parametrize("apart", [1.0, 20.0])
def test_lines_too_near_or_too_far_are_no_pair(apart):
    assert not of_kind(laid(PIECE, GRAIN_LINE + [across(180), across(180 + apart)]).guessed(), LENGTHEN)


def test_a_short_pair_is_none():
    pair = [across(180, 80, 130), across(186, 80, 130)]  # 50 of 200 mm

    assert not of_kind(laid(PIECE, GRAIN_LINE + pair).guessed(), LENGTHEN)


@pytest.mark.parametrize(
    "text", ["Lengthen or shorten here", "SHORTEN HERE", "hier verlängern oder kürzen", "rallonger ici"]
)
def test_a_single_line_with_the_word_is_one(text):
    made = laid(PIECE, GRAIN_LINE + [across(180)], [words(text, 30, 178, 5)])

    (mark,) = of_kind(made.guessed(), LENGTHEN)

    assert len(mark.path) == 1


@pytest.mark.parametrize(
    "text, name",
    [
        ("WAIST", "waist"),
        ("Waistline", "waist"),
        ("hip line", "hip"),
        ("High hip", "high-hip"),
        ("Bust", "bust"),
        ("chest level", "chest"),
        ("Knee", "knee"),
        ("Elbow line", "elbow"),
        ("Taille", "waist"),
        ("Hüftlinie", "hip"),
        ("Knielinie", "knee"),
    ],
)
def test_a_line_with_the_name_of_a_level(text, name):
    made = laid(PIECE, GRAIN_LINE + [across(200)], [words(text, 120, 198, 5)])

    (mark,) = of_kind(made.guessed(), LEVEL)

    assert mark.name == name


def test_the_nearest_of_several_names_counts():
    texts = [words("waist", 120, 198, 5), words("hip", 120, 208, 5)]
    made = laid(PIECE, GRAIN_LINE + [across(200), across(230)], texts)

    levels = of_kind(made.guessed(), LEVEL)

    assert [mark.name for mark in levels] == ["waist"]  # 22 mm above the other line is too far


@pytest.mark.parametrize("degrees", [5.0, 90.0])
def test_a_level_runs_square_to_the_grain(degrees):
    aslant = turn(degrees, (100, 200)).path(across(200, 60, 140))
    along = words("waist", 100, 200, 4, degrees)

    assert not of_kind(laid(PIECE, GRAIN_LINE + [aslant], [along]).guessed(), LEVEL)


# -- holes ---------------------------------------------------------------------------------


@pytest.mark.parametrize("across_mm, found", [(1.0, True), (7.9, True), (8.2, False), (30.0, False)])
def test_a_circle_up_to_eight_millimetres_is_a_drill_hole(across_mm, found):
    (mark,) = laid(PIECE, [circle((100, 100), across_mm / 2)]).guessed().marks

    assert (mark.kind == DRILL) == found


def test_the_less_round_the_less_sure():
    scores = []
    for squash in (0.0, 0.05, 0.1):
        ring = circle((100, 100), 3.0)
        curves = np.array(ring.curves)
        curves[..., 0] = 100 + (curves[..., 0] - 100) * (1 - squash / 3.0)
        scores.append(laid(PIECE, [type(ring)(curves, True)]).guessed().marks[0].guess)

    assert scores == sorted(scores, reverse=True) and len(set(scores)) == 3


def test_a_circle_with_a_cross_is_the_bust_point():
    marks = [circle((100, 100), 7.0), line((90, 100), (110, 100)), line((100, 90), (100, 110))]

    guessed = laid(PIECE, marks).guessed()

    (mark,) = guessed.marks
    assert (mark.kind, mark.name) == (DRILL, "apex")
    assert len(guessed.used) == 3


def test_a_dot_beside_the_words_is_the_bust_point():
    made = laid(PIECE, [circle((100, 100), 2.0)], [words("Bust point", 104, 101, 4)])

    (mark,) = of_kind(made.guessed(), DRILL)

    assert mark.name == "apex"


@pytest.mark.parametrize("degrees", [0.0, 45.0])
def test_a_cross_alone_is_a_point_to_match(degrees):
    cross = [line((95, 100), (105, 100)), line((100, 95), (100, 105))]
    made = laid(PIECE, [turn(degrees, (100, 100)).path(one) for one in cross])

    (mark,) = made.guessed().marks

    assert (mark.kind, mark.name) == (DRILL, "")


def test_buttons_and_buttonholes_by_their_words():
    cross = [line((97, 100), (103, 100)), line((100, 97), (100, 103))]
    hole = [line((90, 200), (110, 200)), line((90, 197), (90, 203)), line((110, 197), (110, 203))]
    texts = [words("button", 104, 101, 3), words("buttonhole", 92, 206, 3)]

    guessed = laid(PIECE, cross + hole, texts).guessed()

    assert sorted((m.kind, m.name) for m in guessed.marks if m.guess) == [
        (INNER, "button"),
        (INNER, "buttonhole"),
    ]


def test_a_pocket_keeps_its_word():
    (mark,) = [
        m
        for m in laid(PIECE, [box(60, 70, 60, 60)], [words("pocket", 80, 100, 5)]).guessed().marks
        if m.guess
    ]

    assert (mark.kind, mark.name) == (INNER, "pocket")


def test_nothing_at_all_but_an_outline():
    guessed = laid(PIECE).guessed()

    assert guessed.marks == () and guessed.used == () and guessed.name == ""
    assert [one.code for one in guessed.findings] == ["no-grain"]
    assert not of_kind(guessed, GRAIN)
