"""Pages that we printed: their bars are measured by their own words, and stay out of the pattern."""

import numpy as np

from sewkit.geometry.path import lines
from sewkit.report import Finding, Level
from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words
from sewkit.sheet.page_marks import none_missing, without_page_marks
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
        Words("16", 61.5, 284.0, 3.4, 0.0, width=8.4, layers=layers),
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


def test_a_page_that_was_left_out_is_not_missing_where_all_that_are_numbered_are_there():
    gap = Finding("page-missing", Level.WARN, "The page in row 2, column 1 is missing.")
    one = bar_page(MARKS).pages[0]
    joined = join_pages(bar_page(MARKS))._replace(missing=((2, 1),), findings=(gap,))

    def numbered(*texts):
        words = [Words(text, 150.0, 280.0, 2.3, 0.0, layers=MARKS) for text in texts]
        return Printed(tuple(one._replace(number=n, words=(said,)) for n, said in enumerate(words, 1)))

    assert none_missing(numbered("A1, page 1 of 2", "B2, page 2 of 2"), joined).findings == ()
    assert none_missing(numbered("A1, page 1 of 3", "B2, page 3 of 3"), joined).findings == (gap,)
    assert none_missing(numbered("anything"), joined).findings == (gap,)
