"""Test squares: found however they are drawn, measured on the middle of the pen."""

import math

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Printed, Style
from sewkit.sheet.scale import witnesses
from sewkit.sheet.witness import BY_CUSTOM, BY_TEXT
from tests.sheet.proofs import BLACK, PEN, corners, line, page, printed, square, stroke, text

LABEL = text("10 cm", 60, 75)  # inside a square at (20, 30)


def only(found):
    assert len(found) == 1, found
    return found[0]


def ring():
    """The square of 100 mm as a line of 0.35 mm turned into an area: outer and inner edge."""
    outer = Path.through(corners(19.825, 29.825, 100.35), closed=True)
    inner = Path.through(corners(20.175, 30.175, 99.65)[::-1], closed=True)
    return stroke(outer, inner, style=BLACK)


A, B, C, D = corners(20, 30, 100)
E = (70.0, 30.0)  # in the middle of the upper side
OVER = 0.175  # half a pen
WAYS = {
    "closed": [square(20, 30, 100)],
    "other way round": [stroke(Path.through([A, D, C, B], closed=True))],
    "begun within a side": [stroke(Path.through([E, B, C, D, A], closed=True))],
    "left open at its end": [line(A, B, C, D, A)],
    "four strokes": [line(A, B), line(C, B), line(C, D), line(D, A)],
    "four strokes in one path": [stroke(*(Path.through(p) for p in ((A, B), (B, C), (C, D), (D, A))))],
    "four strokes that overshoot": [
        line(A - [OVER, 0], B + [OVER, 0]),
        line(B - [0, OVER], C + [0, OVER]),
        line(D - [OVER, 0], C + [OVER, 0]),
        line(A - [0, OVER], D + [0, OVER]),
    ],
    "two angles": [line(A, B, C), line(A, D, C)],
    "three sides and one": [line(A, B, C, D), line(A, D)],
    "an area": [square(20, 30, 100, style=BLACK)],
    "area and pen": [square(20, 30, 100, style=PEN._replace(fill="#ffff00"))],
    "its line turned into an area": [ring()],
    "each side a narrow area": [
        square(19.825, 29.825, 100.35, 0.35, style=BLACK),
        square(19.825, 129.825, 100.35, 0.35, style=BLACK),
        square(19.825, 29.825, 0.35, 100.35, style=BLACK),
        square(119.825, 29.825, 0.35, 100.35, style=BLACK),
    ],
    "drawn twice": [square(20, 30, 100), square(20, 30, 100)],
}


@pytest.mark.parametrize("way", sorted(WAYS))
def test_a_square_is_found_however_it_is_drawn(way):
    found = only(witnesses(printed(WAYS[way], [LABEL])))

    assert found.measured == pytest.approx((100, 100), abs=1e-9)
    assert (found.nominal, found.told_by, found.words) == ((100, 100), BY_TEXT, "10 cm")
    assert found.point == pytest.approx((70, 80), abs=1e-6)


@pytest.mark.parametrize("turn", [0.3, 7.0, 30.0, 44.0, -15.0, 90.0, 180.0])
def test_a_turned_square_measures_the_same(turn):
    polygon = pytest.importorskip("shapely.geometry").Polygon
    outline = corners(200, 200, 50, turn=turn)
    middle = outline.mean(axis=0)

    found = only(witnesses(printed([square(200, 200, 50, turn=turn)], [text("5 cm", *middle)])))

    # Shapely measures the same polygon.
    assert polygon(outline).area == pytest.approx(found.measured[0] * found.measured[1], abs=1e-6)
    assert found.measured == pytest.approx((50, 50), abs=1e-9)
    assert found.skew == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("lean", [-3.0, -0.5, 0.5, 2.0])
def test_a_leaning_square_tells_by_how_much(lean):
    """The shear from the two diagonals: about (d1 - d2) / (a * sqrt 2)."""
    a, b, c, d = corners(20, 30, 100, lean=lean)
    shear = (math.dist(a, c) - math.dist(b, d)) / (100 * math.sqrt(2))

    found = only(witnesses(printed([square(20, 30, 100, lean=lean)], [LABEL])))

    assert math.radians(-found.skew) == pytest.approx(shear, rel=2e-3)
    assert math.degrees(math.atan(lean / 100)) == pytest.approx(-found.skew, abs=1e-9)


def test_width_and_height_are_told_apart():
    found = only(witnesses(printed([square(20, 30, 97, 99)], [LABEL])))

    assert found.measured == pytest.approx((97, 99))
    assert found.nominal == (100, 100)


def test_a_rectangle_with_both_lengths_beside_it():
    found = only(witnesses(printed([square(20, 30, 48.5, 97)], [text("10 x 5 cm", 30, 80)])))

    assert found.nominal == (50, 100)
    assert found.measured == pytest.approx((48.5, 97))


def test_inch_and_centimetre_squares_one_in_the_other_are_told_apart():
    """Both texts lie in the smaller square too."""
    drawn = [square(20, 30, 101.6), square(20, 30, 100)]

    found = witnesses(printed(drawn, [text("10 cm", 60, 75), text("4 in", 60, 85)]))

    assert sorted(one.measured[0] for one in found) == pytest.approx([100, 101.6])
    assert sorted(one.nominal[0] for one in found) == pytest.approx([100, 101.6])


def test_neighbours_take_the_text_that_is_theirs():
    drawn = [square(20, 30, 100), square(125, 30, 25.4)]

    found = witnesses(printed(drawn, [LABEL, text("1 in", 130, 45)]))

    assert [(one.nominal[0], one.words) for one in found] == [(100, "10 cm"), (25.4, "1 in")]


def test_a_small_square_inside_a_large_one_takes_its_own_text():
    drawn = [square(20, 30, 100), square(60, 60, 25.4)]

    found = witnesses(printed(drawn, [text("10 cm", 25, 120), text("1 in", 65, 75)]))

    assert [one.nominal[0] for one in found] == [100, 25.4]


def test_a_text_with_two_sizes_means_the_one_that_fits():
    words = [text('TEST SQUARE 10CM / 4"', 25, 75)]

    metric, imperial = (only(witnesses(printed([square(20, 30, side)], words))) for side in (100, 101.6))

    assert (metric.nominal[0], imperial.nominal[0]) == (100, 101.6)
    assert len(metric.options) == 2


def test_a_text_below_the_square_is_read_and_one_far_off_is_not():
    near = only(witnesses(printed([square(20, 30, 90)], [text("10 cm", 40, 131)])))

    assert near.nominal == (100, 100)
    assert witnesses(printed([square(20, 30, 90)], [text("10 cm", 40, 160)])) == ()


@pytest.mark.parametrize("words", ["seam allowance 1 cm", "cut 1 in main fabric", "hem 4 cm", "pocket"])
def test_a_pocket_is_a_doubt_and_no_proof(words):
    found = only(witnesses(printed([square(20, 30, 100)], [text(words, 25, 80)])))

    assert found.told_by == BY_CUSTOM


@pytest.mark.parametrize("side", [130.0, 98.9, 40.0])
def test_a_shape_of_no_customary_size_proves_nothing(side):
    assert witnesses(printed([square(20, 30, side)])) == ()


@pytest.mark.parametrize("side", [25.4, 50.0, 50.8, 76.2, 100.0, 101.6, 200.0, 100.9])
def test_a_customary_size_without_words_is_guessed_within_a_percent(side):
    found = only(witnesses(printed([square(20, 30, side)])))

    assert found.told_by == BY_CUSTOM
    assert found.nominal[0] == pytest.approx(side, rel=0.01)


def test_nearly_square_shapes_are_none():
    bulging = Path.through(corners(20, 30, 100), closed=True)
    curves = np.array(bulging.curves)
    curves[1, 1:3, 0] += 2.0  # the right side is a curve
    five = Path.through([*corners(20, 30, 100), (10.0, 80.0)], closed=True)
    trapeze = Path.through([(20, 30), (120, 30), (115, 130), (25, 130)], closed=True)
    open_ = Path.through(corners(20, 30, 100))
    drawn = [stroke(Path(curves, True)), stroke(five), stroke(trapeze), stroke(open_)]

    for one in drawn:
        assert witnesses(printed([one], [LABEL])) == ()


def test_a_wider_frame_with_a_size_in_it_is_no_square():
    assert witnesses(printed([square(10, 10, 190, 277)], [LABEL])) == ()


def test_a_square_behind_a_clip_on_every_page_is_found_on_the_one_that_shows_it():
    """Whole artwork on both pages, the second moved by a page's width."""
    clip = (10.0, 10.0, 200.0, 287.0)
    pages = []
    for number, shift in ((1, 0.0), (2, -190.0)):
        one = square(240 + shift, 60, 100)._replace(clip=clip)
        pages.append(page([one], [text("10 cm", 280 + shift, 110)], number, (210.0, 297.0)))

    found = only(witnesses(Printed(tuple(pages))))

    assert (found.page, found.point) == (2, pytest.approx((100, 110)))


def test_a_very_fine_and_a_very_broad_pen_measure_alike():
    for width in (0.0, 0.1, 2.0):
        drawn = [square(20, 30, 100, style=Style("#000000", width))]

        assert only(witnesses(printed(drawn, [LABEL]))).measured == pytest.approx((100, 100))
