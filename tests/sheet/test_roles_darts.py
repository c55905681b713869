"""Darts drawn inside a piece, and darts that the outline itself goes into."""

import math

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.geometry.transform import move, turn
from sewkit.pattern.mark import DART, INNER
from tests.sheet.found import box, laid, line, moved, of_kind, words

PIECE = {"": box(200, 300)}
POINT = (100.0, 200.0)


def dart(half=15.0, hem=300.0, longer=0.0):
    """Two legs from the hem to the point; the second may be longer, along itself."""
    first, second = (100 - half, hem), (100 + half, hem)
    leg = math.hypot(half, hem - POINT[1])
    share = longer / leg
    second = (second[0] + share * (second[0] - POINT[0]), second[1] + share * (hem - POINT[1]))
    return first, second


DRAWN = {
    "one line": lambda a, b: [line(a, POINT, b)],
    "two lines": lambda a, b: [line(a, POINT), line(POINT, b)],
    "both from the point": lambda a, b: [line(POINT, a), line(POINT, b)],
    "with a middle line": lambda a, b: [line(a, POINT, b), line((100, 300), POINT)],
    "three lines": lambda a, b: [line(a, POINT), line((100, 300), POINT), line(b, POINT)],
    "cut in two": lambda a, b: [line(a, tuple((np.array(a) + POINT) / 2), POINT), line(POINT, b)],
}


@pytest.mark.parametrize("drawn", sorted(DRAWN))
@pytest.mark.parametrize("degrees", [0.0, 71.0, 245.0])
def test_two_equal_legs_that_meet_inside_are_a_dart(drawn, degrees):
    marks = DRAWN[drawn](*dart())
    made = moved(laid(PIECE, marks), turn(degrees).then(move(-50, 700)))

    guessed = made.guessed()

    (mark,) = guessed.marks
    assert mark.kind == DART and mark.guess >= 0.85
    assert len(guessed.used) == len(marks)


def test_the_score_falls_with_what_the_legs_differ_by():
    """Legs that differ by d are worth 1 / (1 + d^2) of equal ones (a millimetre is just believed)."""
    equal = laid(PIECE, DRAWN["two lines"](*dart())).guessed().marks[0].guess
    for longer in (0.1, 0.3, 0.6, 0.9):
        # The longer leg ends outside the hem, by less than a millimetre.
        guessed = laid(PIECE, DRAWN["two lines"](*dart(longer=longer))).guessed()
        (mark,) = of_kind(guessed, DART)
        beyond = longer * 100 / math.hypot(15, 100)
        wanted = equal / (1 + longer**2) / (1 + beyond**2)
        assert mark.guess == pytest.approx(wanted, abs=0.006)  # written with two digits


@pytest.mark.parametrize("longer, is_dart", [(0.9, True), (1.2, False), (5.0, False)])
def test_legs_that_differ_by_more_than_a_millimetre_are_no_dart(longer, is_dart):
    guessed = laid(PIECE, DRAWN["two lines"](*dart(longer=longer))).guessed()

    assert bool(of_kind(guessed, DART)) == is_dart


def test_curved_legs():
    left = Path([[[85, 300], [92, 260], [97, 230], [100, 200]]])
    right = Path([[[115, 300], [108, 260], [103, 230], [100, 200]]])

    (mark,) = laid(PIECE, [left, right]).guessed().marks

    assert mark.kind == DART


def test_legs_that_begin_at_a_stitch_line_inside_the_cut_line():
    """15 mm of allowance lie between the hem's cut edge and the feet of the dart."""
    guessed = laid(PIECE, DRAWN["two lines"](*dart(hem=285.0))).guessed()
    touching = laid(PIECE, DRAWN["two lines"](*dart())).guessed()

    assert guessed.marks[0].kind == DART
    assert guessed.marks[0].guess < touching.marks[0].guess


def test_the_darts_of_a_nest_that_share_one_point_are_told_apart():
    """Each size's hem lies 6 mm further down, and its dart's mouth is 4 mm wider."""
    outlines = {str(n): box(200, 300 + 6 * n) for n in range(4)}
    marks = []
    for n in range(4):
        a, b = dart(15 + 2 * n, 300 + 6 * n)
        marks += [line(a, POINT), line(b, POINT)]

    guessed = laid(outlines, marks).guessed()

    found = {mark.size: mark for mark in of_kind(guessed, DART)}
    assert sorted(found) == ["0", "1", "2", "3"]
    for n in range(4):
        feet = sorted(node[0] for node in found[str(n)].path.nodes if node[1] > 250)
        np.testing.assert_allclose(feet, [100 - 15 - 2 * n, 100 + 15 + 2 * n])


def test_a_waist_dart_with_two_points():
    ring = Path.through([(100, 80), (108, 140), (100, 220), (92, 140)], closed=True)

    plain = of_kind(laid(PIECE, [ring]).guessed(), DART)
    told = of_kind(laid(PIECE, [ring], [words("dart", 104, 150, 4)]).guessed(), DART)

    assert [len(one) for one in (plain, told)] == [1, 1]
    assert plain[0].guess < told[0].guess


def test_a_rectangle_and_an_uneven_ring_are_none():
    pocket = box(60, 80, 50, 60)
    uneven = Path.through([(100, 80), (108, 140), (103, 220), (90, 150)], closed=True)

    kinds = [mark.kind for mark in laid(PIECE, [pocket, uneven]).guessed().marks]

    assert kinds == [INNER, INNER]


def test_the_word_makes_a_dart_surer():
    plain = laid(PIECE, DRAWN["one line"](*dart())).guessed().marks[0].guess
    told = laid(PIECE, DRAWN["one line"](*dart()), [words("dart", 95, 262, 4)]).guessed()

    assert of_kind(told, DART)[0].guess > plain


# -- in the outline -------------------------------------------------------------------------


def with_outline_dart(half=15.0, depth=90.0, longer=0.0):
    """A piece whose hem has a dart cut out of it; clockwise on the sheet."""
    point = (100.0 + longer, 300.0 - depth)
    hem = [(200, 300), (100 + half, 300), point, (100 - half, 300), (0, 300)]
    return Path.through([(0, 0), (200, 0), *hem], closed=True)


@pytest.mark.parametrize("degrees", [0.0, 133.0])
def test_a_dart_in_the_outline_is_told_with_its_place_and_legs(degrees):
    frame = turn(degrees).then(move(10, 20))
    made = moved(laid({"1": with_outline_dart()}), frame)

    (found,) = [one for one in made.guessed().findings if one.code == "dart-in-outline"]

    np.testing.assert_allclose(found.point, frame.points(np.array([[100.0, 210.0]]))[0], atol=1e-6)
    leg = "{:.1f}".format(math.hypot(15, 90))  # 91.2
    assert "{} and {} mm".format(leg, leg) in found.text


def test_an_uneven_cut_and_a_corner_outwards_are_not_told_as_darts():
    uneven = laid({"": with_outline_dart(longer=30.0)}).guessed()
    tip = Path.through(
        [(0, 0), (200, 0), (200, 300), (115, 300), (100, 390), (85, 300), (0, 300)], closed=True
    )
    outwards = laid({"": tip}).guessed()

    for guessed in (uneven, outwards):
        assert not [one for one in guessed.findings if one.code == "dart-in-outline"]
