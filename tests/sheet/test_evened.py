"""Pages at different scales, against the same pages as they were before one was made smaller."""

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.report import Level
from sewkit.sheet.alike import alike
from sewkit.sheet.at_scale import at_scale
from sewkit.sheet.bring import bring
from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words
from sewkit.sheet.evened import moved, one_scale
from sewkit.sheet.scale import scaled
from tests.pdfs.bad import mixed_scales
from tests.pdfs.pages import tiled
from tests.pdfs.scene import scene

SHEET = scene()
WHOLE = tiled(SHEET).printed  # the witnesses, two squares, stand on page 9
LINE = Style("#000000", 0.35)


def off(one, other):
    """How far drawings and words of two files lie apart at most (mm); all pages, all points."""
    worst = 0.0
    for page, was in zip(one.pages, other.pages):
        assert len(page.drawn) == len(was.drawn) and len(page.words) == len(was.words)
        for own, true in zip(page.drawn, was.drawn):
            worst = max(worst, float(np.abs(own.curves - true.curves).max()))
        for own, true in zip(page.words, was.words):
            worst = max(worst, abs(own.x - true.x), abs(own.y - true.y))
    return worst


def with_page(printed, number, change):
    """The pages with one of them changed."""
    pages = [change(page) if page.number == number else page for page in printed.pages]
    return printed._replace(pages=tuple(pages))


def shrunk(page, factor=0.97):
    """Everything on the page smaller, from its corner, pens and paper too."""
    return scaled(Printed((page,)), factor, factor).pages[0]


def codes(findings):
    return [finding.code for finding in findings]


@pytest.mark.parametrize("page, factor", [(4, 0.97), (4, 1.05), (5, 0.9985), (9, 0.97)])
def test_a_page_that_was_printed_smaller_is_put_right_by_two_witnesses(page, factor):
    even = one_scale(mixed_scales(page, factor))

    assert off(even.printed, WHOLE) < 1e-6
    assert [one.style for p in even.printed.pages for one in p.drawn] == [
        one.style for p in WHOLE.pages for one in p.drawn
    ]
    assert even.mixed == () and codes(even.findings) == ["scale-page"]
    (told,) = even.findings
    assert "page {} was drawn {:.2f} % too".format(page, abs(100 * (factor - 1))) in told.text
    assert "witnesses on page 9" in told.text


def test_several_pages_that_were_printed_smaller_are_put_right():
    even = one_scale(tiled(SHEET, scaled=dict.fromkeys((1, 2, 3, 4), 0.97)).printed)

    assert off(even.printed, WHOLE) < 1e-6
    assert "pages 1 to 4 were drawn 3.00 % too small" in even.findings[0].text


def test_pens_and_paper_that_shrank_with_the_drawing_grow_with_it():
    even = one_scale(with_page(WHOLE, 4, shrunk))

    assert off(even.printed, WHOLE) < 1e-6
    assert even.printed.pages[3].width == pytest.approx(210.0)
    assert even.printed.pages[3].drawn[0].style == WHOLE.pages[3].drawn[0].style


@pytest.mark.parametrize(
    "printed, allowed",
    [
        (tiled(SHEET, marks=False, scaled={4: 0.97}).printed, True),  # the frame alone says so
        (tiled(SHEET, how="clip", frame=False, marks=False, scaled={4: 0.97}).printed, True),
        (mixed_scales()._replace(pages=mixed_scales().pages[:8]), True),  # nothing proves the others
        (mixed_scales(), False),
    ],
    ids=["one thing", "windows", "no square", "not wanted"],
)
def test_without_two_witnesses_it_is_only_told(printed, allowed):
    even = one_scale(printed, allowed)

    assert even.printed == printed and even.mixed == (4,)
    (told,) = even.findings
    assert told.level == Level.FAIL
    for words in ("page 4", "0.97 times", "3.00 % too small", "--pages 4", "--known", "Nothing was changed"):
        assert words in told.text


@pytest.mark.parametrize(
    "how",
    [
        dict(),
        dict(overlap=10.0, labels=""),
        dict(how="poster", labels=""),
        dict(how="clip", overlap=10.0),
        dict(frame=False, marks=False, labels=""),
        dict(cover=True, blank=2, skip_empty=True),
        dict(dashes="strips"),
    ],
    ids=str,
)
def test_pages_of_one_scale_stay_as_they_are(how):
    printed = tiled(SHEET, **how).printed

    assert one_scale(printed) == (printed, (), ())
    assert all(one.factor == 1.0 for one in alike(printed.pages))


def simple_page(number, factor):
    """A frame, a mark and a true square of 100 mm; the frame and the mark by the factor."""
    frame = np.array([(10, 10), (200, 10), (200, 287), (10, 287)]) * factor
    mark = np.array([(10, 140), (16, 143), (10, 146)]) * factor
    square = np.array([(50, 50), (150, 50), (150, 150), (50, 150)])
    paths = [Path.through(corners, closed=True) for corners in (frame, mark, square)]
    drawn = tuple(Drawn(p.curves, (0,), (True,), LINE, order=k) for k, p in enumerate(paths))
    return Page(number, 210.0, 297.0, 0, drawn, (Words("100 mm", 80.0, 100.0, width=20.0),))


def test_frames_alone_prove_nothing_where_squares_on_both_pages_are_true():
    printed = Printed((simple_page(1, 1.0), simple_page(2, 1.0), simple_page(3, 0.97)))

    assert one_scale(printed) == (printed, (), ())


def test_a_page_whose_drawing_lies_lower_moves_back():
    # A page 1.5 mm taller, drawn from its lower edge: from above, everything is 1.5 mm lower.
    taller = with_page(WHOLE, 2, lambda page: moved(page, 0.0, 1.5)._replace(height=298.5))

    even = one_scale(taller)

    assert off(even.printed, WHOLE) < 1e-9 and even.findings == ()


def test_mixed_scales_bring_every_outline():
    brought = bring(mixed_scales())

    found = {(len(piece.outlines)) for piece in brought.pattern.pieces}
    assert len(brought.pattern.pieces) == len(SHEET.pieces) and found == {len(SHEET.sizes)}
    assert "scale-page" in codes(brought.report.findings)
    assert "open" not in codes(brought.report.findings)


def test_the_verdict_of_one_page_is_not_said_of_pages_that_differ():
    _, report, _ = at_scale(tiled(SHEET, marks=False, scaled={4: 0.97}).printed)

    assert codes(report.findings)[0] == "scale-mixed"
    (said,) = [finding.text for finding in report.findings if finding.code == "scale"]
    assert said.startswith("For page 9 alone:")


def test_what_two_witnesses_of_one_page_say_is_not_given_to_pages_of_another_scale():
    # Only a frame tells that page 9, which has the squares, is smaller: too little to change any.
    mixed = tiled(SHEET, marks=False, scaled={9: 0.97}).printed

    printed, report, _ = at_scale(mixed)

    assert printed == mixed and "scale-mixed" in codes(report.findings)


def test_a_correction_names_the_pages_of_its_witnesses():
    _, report, _ = at_scale(scaled(WHOLE, 0.97, 0.97))

    assert "two witnesses agree on page 9" in report.findings[0].text
