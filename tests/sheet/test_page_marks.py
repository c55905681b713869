"""Pages that we printed: their bars are measured by their own words, and stay out of the pattern."""

import numpy as np

from sewkit.geometry.path import lines
from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words
from sewkit.sheet.page_marks import without_page_marks
from sewkit.sheet.scale import verdict, witnesses
from sewkit.sheet.tiles import join_pages, one_sheet

MARKS, SIZE = ("Page marks",), ("Size 7", "Words")


def stroke(spots, layers=(), order=0):
    spots = np.array(spots, float)
    return Drawn(lines(spots[:-1], spots[1:]), (0,), (False,), Style("#000000", 0.25), layers, order=order)


def bar_page(layers):
    """A bar of 100 mm with a tick at each centimetre, "100 mm" at its end and size 7 just before that."""
    strokes = [stroke([(20, 285), (20, 288), (120, 288), (120, 285)], layers, 0)]
    strokes += [stroke([(20 + 10 * k, 288), (20 + 10 * k, 286.8)], layers, k) for k in range(1, 10)]
    words = (
        Words("100 mm", 121.5, 288.0, 2.3, 0.0, width=8.4, layers=layers),
        Words("7", 119.8, 288.0, 2.3, 0.0, width=1.3, layers=SIZE),
    )
    pattern = stroke([(30, 30), (150, 30), (150, 200), (30, 200), (30, 30)], ("Seam lines",), 20)
    return Printed((Page(1, 210.0, 297.0, drawn=(*strokes, pattern), words=words),))


def test_a_bar_is_measured_by_the_words_of_the_page_alone():
    found = witnesses(bar_page(MARKS))

    assert [(round(max(one.nominal), 6), round(max(one.measured), 6)) for one in found] == [(100.0, 100.0)]
    assert verdict(found).factor_x == 1.0


def test_what_belongs_to_the_page_does_not_come_in_and_that_is_told():
    printed = bar_page(MARKS)
    sheet, told = without_page_marks(one_sheet(printed, join_pages(printed)))

    assert len(sheet.lines) == 1 and [one.text for one in sheet.words] == ["7"]
    assert "Page marks" in told[0].text


def test_another_maker_s_page_keeps_all():
    printed = bar_page(())
    sheet = one_sheet(printed, join_pages(printed))

    assert without_page_marks(sheet) == (sheet, [])
