"""Rulers by their ticks, scale bars by their ends.  Expected: steps times their number."""

import math

import numpy as np
import pytest

from sewkit.sheet.scale import witnesses
from sewkit.sheet.witness import BAR, BY_CUSTOM, BY_TEXT, RULER
from tests.sheet.proofs import BLACK, bar, line, printed, ruler, square, text


def only(found):
    assert len(found) == 1, found
    return found[0]


def numbers(x, y, every, values, unit=""):
    """Numbers in a row above the ticks, centred on them."""
    words = ["{}{}".format(value, unit if value == values[0] else "") for value in values]
    return [text(w, x + every * value - 0.875 * len(w), y) for value, w in zip(values, words)]


def test_a_ruler_in_centimetres():
    found = only(witnesses(printed(ruler(20, 50, 10, 15), numbers(20, 42, 10, [0, 5, 10, 15], " cm"))))

    assert (found.kind, found.axis, found.told_by) == (RULER, "x", BY_TEXT)
    assert found.nominal == (150, 0)
    assert found.measured == (pytest.approx(150, abs=1e-9), 0)


def test_a_ruler_in_inches_with_eighths():
    step = 25.4 / 8

    found = only(witnesses(printed(ruler(20, 50, step, 48), numbers(20, 42, 25.4, list(range(7)), " inch"))))

    assert found.nominal[0] == pytest.approx(6 * 25.4)
    assert found.measured[0] == pytest.approx(6 * 25.4, abs=1e-9)


def test_a_ruler_at_the_wrong_scale_tells_by_how_much():
    drawn = ruler(20, 50, 9.7, 20)

    found = only(witnesses(printed(drawn, numbers(20, 42, 9.7, list(range(0, 21, 2)), " cm"))))

    assert found.nominal[0] == pytest.approx(200)
    assert found.measured[0] == pytest.approx(194, abs=1e-9)


def test_a_ruler_that_runs_down_the_sheet():
    drawn = ruler(50, 20, 10, 20, along=(0, 1))
    words = [text("{} cm".format(n), 58, 21 + 10 * n) for n in (0, 10, 20)]

    found = only(witnesses(printed(drawn, words)))

    assert (found.axis, found.nominal) == ("y", (0, 200))
    assert found.measured[1] == pytest.approx(200, abs=1e-9)


@pytest.mark.parametrize("degrees", [10.0, 45.0, 70.0, 135.0, 0.5])
def test_a_slanting_ruler_stands_for_both_ways(degrees):
    way = np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
    drawn = ruler(200, 50, 10, 12, along=way)
    out = np.array([way[1], -way[0]])
    places = [(n, np.array([200, 50]) + way * 10 * n + out * 9) for n in (0, 4, 8, 12)]
    words = [text("{} cm".format(n) if not n else str(n), *place) for n, place in places]

    found = only(witnesses(printed(drawn, words)))

    assert max(found.measured) == pytest.approx(120, abs=1e-6)
    assert found.axis == ("x" if degrees < 2 else "both")


def test_ticks_without_a_line_are_a_ruler():
    drawn = ruler(20, 50, 10, 15, base=False)

    found = only(witnesses(printed(drawn, numbers(20, 42, 10, [0, 5, 10, 15], " cm"))))

    assert found.measured[0] == pytest.approx(150, abs=1e-9)


def test_ticks_turned_into_areas_are_measured_along_their_middles():
    ticks = [square(20 + 10 * n - 0.5, 44, 1.0, 5.0, style=BLACK) for n in range(16)]

    found = only(witnesses(printed(ticks, numbers(20, 40, 10, [0, 5, 10, 15], " cm"))))

    assert found.measured[0] == pytest.approx(150, abs=1e-9)


def test_ticks_set_by_eye_are_measured_by_least_squares():
    """The slope of places over numbers, by the textbook formula; judge: numpy's polyfit."""
    stray = np.random.RandomState(3).uniform(-0.06, 0.06, 26)
    stray -= np.polyval(np.polyfit(np.arange(26), stray, 1), np.arange(26))

    drawn = ruler(20, 50, 10, 25, stray=stray)
    found = only(witnesses(printed(drawn, numbers(20, 42, 10, [0, 10, 20], " cm"))))

    assert found.measured[0] == pytest.approx(250, abs=1e-9)
    assert found.stray == pytest.approx(np.abs(stray).max(), abs=1e-6)


def test_other_ticks_on_the_sheet_do_not_disturb():
    words = numbers(20, 42, 10, [0, 5, 10, 15], " cm")
    notches = [line((30 + 17 * n * n, 200), (30 + 17 * n * n, 206)) for n in range(5)]
    dashes = [line((20 + 7.5 * n, 150), (25 + 7.5 * n, 150)) for n in range(30)]

    found = only(witnesses(printed(ruler(20, 50, 10, 15) + notches + dashes, words)))

    assert found.measured[0] == pytest.approx(150, abs=1e-9)


def test_two_rulers_of_two_units_on_one_line():
    drawn = ruler(20, 50, 10, 10) + ruler(150, 50, 12.7, 10)
    words = numbers(20, 42, 10, [0, 5, 10], " cm") + numbers(150, 42, 25.4, [0, 1, 2, 3, 4, 5], " in")

    found = witnesses(printed(drawn, words))

    assert sorted(one.nominal[0] for one in found) == pytest.approx([100, 127])
    assert sorted(one.measured[0] for one in found) == pytest.approx([100, 127])


def test_numbers_without_a_unit_are_guessed_within_a_percent():
    found = only(witnesses(printed(ruler(20, 50, 25.3, 6), numbers(20, 42, 25.3, list(range(7))))))

    assert (found.told_by, found.nominal[0]) == (BY_CUSTOM, pytest.approx(6 * 25.4))


def test_numbers_without_a_unit_at_no_known_step_prove_nothing():
    assert witnesses(printed(ruler(20, 50, 17.0, 6), numbers(20, 42, 17.0, list(range(7))))) == ()


@pytest.mark.parametrize(("step", "count"), [(30.0, 8), (10.0, 5), (7.3, 20)])
def test_a_row_of_notches_is_no_ruler(step, count):
    """Buttonholes, pleats: no numbers, few ticks, or no customary step."""
    assert witnesses(printed(ruler(20, 50, step, count), [text("pleat", 40, 42)])) == ()


def test_many_ticks_of_a_customary_step_are_a_guess():
    found = only(witnesses(printed(ruler(20, 50, 10, 12))))

    assert (found.told_by, found.nominal[0]) == (BY_CUSTOM, 120)


@pytest.mark.parametrize(
    ("words", "drawn", "nominal"),
    [
        ("10 cm", 97.0, 100),
        ("100 mm", 100.0, 100),
        ('4"', 101.6, 101.6),
        ("4 inches", 100.0, 101.6),
        ("2 in", 50.8, 50.8),
        ("5cm", 50.0, 50),
        ("20 cm / 8 in", 200.0, 200),
        ("Test line: this should be 10 cm", 75.0, 100),
    ],
)
def test_a_scale_bar(words, drawn, nominal):
    found = only(witnesses(printed(bar(20, 50, drawn), [text(words, 30, 45)])))

    assert (found.kind, found.axis, found.told_by) == (BAR, "x", BY_TEXT)
    assert found.nominal == (nominal, 0)
    assert found.measured == (pytest.approx(drawn), 0)


def test_a_bar_drawn_as_one_angled_line():
    found = only(
        witnesses(printed([line((20, 45), (20, 50), (120, 50), (120, 45))], [text("10 cm", 60, 45)]))
    )

    assert found.measured == (pytest.approx(100), 0)


def test_a_bar_is_measured_from_tick_to_tick_though_its_line_runs_on():
    drawn = [line((19.8, 50), (120.2, 50)), line((20, 47), (20, 53)), line((120, 47), (120, 53))]

    assert only(witnesses(printed(drawn, [text("10 cm", 60, 45)]))).measured[0] == pytest.approx(100)


@pytest.mark.parametrize("words", ["10 cm hem", "front", "seam allowance 10 cm", "1 cm"])
def test_a_line_between_ticks_with_other_words_is_no_bar(words):
    assert witnesses(printed(bar(20, 50, 100), [text(words, 30, 45)])) == ()


def test_a_line_without_ticks_is_no_bar():
    assert witnesses(printed([line((20, 50), (120, 50))], [text("10 cm", 60, 45)])) == ()


def test_a_ruler_does_not_count_twice_as_a_bar():
    drawn, words = ruler(20, 50, 10, 10), numbers(20, 42, 10, [0, 5], " cm") + [text("10 cm", 116, 42)]

    assert only(witnesses(printed(drawn, words))).kind == RULER


def test_notches_of_a_nest_with_their_sizes_beside_are_no_ruler():
    """Nine sizes 10 mm apart; the text names a length, but not that of what is drawn."""
    notches = [line((20 + 10 * n, 50), (20 + 10 * n, 56)) for n in range(9)]
    words = [text(str(36 + 2 * n), 18 + 10 * n, 48) for n in range(9)] + [text("seam allowance 1 cm", 20, 62)]

    assert witnesses(printed(notches, words)) == ()


def test_the_dashes_of_a_nest_are_no_ruler():
    """Twelve lines 10 mm apart, dashed alike."""
    dashes = [
        line((20 + 8 * k, 50 + 10 * n), (25 + 8 * k, 50 + 10 * n)) for n in range(12) for k in range(30)
    ]

    assert witnesses(printed(dashes)) == ()


def test_a_grid_of_lines_is_neither_ruler_nor_square():
    grid = [line((10 * n, 0), (10 * n, 300)) for n in range(30)]
    grid += [line((0, 10 * n), (300, 10 * n)) for n in range(30)]

    assert witnesses(printed(grid, [text("1 cm grid", 12, 16)])) == ()
