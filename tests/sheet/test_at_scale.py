"""The pages are put to scale on two witnesses or a known length, and a contradiction stops."""

from sewkit.report import Level
from sewkit.sheet.at_scale import at_scale
from sewkit.sheet.scale import scaled
from tests.pdfs import pages
from tests.pdfs.scene import scene


def worst(report):
    return max(finding.level for finding in report.findings)


def test_a_true_sheet_stays_as_it_is():
    printed = pages.single(scene()).printed

    told = at_scale(printed)

    assert told.printed == printed and worst(told.report) == Level.PASS


def test_two_squares_that_agree_put_it_right():
    printed = pages.single(scene()).printed

    told = at_scale(scaled(printed, 0.97, 0.97))

    assert abs(told.printed.pages[0].width - printed.pages[0].width) < 1e-9
    assert worst(told.report) == Level.INFO


def test_a_known_length_that_the_squares_contradict_is_a_reason_to_stop():
    """The sheet is true; who says that 100 mm measures 97 makes it 3.09 % too large."""
    told = at_scale(pages.single(scene()).printed, known="100mm=97.0")

    stops = [finding for finding in told.report.findings if finding.level == Level.FAIL]
    assert [finding.code for finding in stops] == ["scale-contradicted"]
    assert "3.09 % too large" in stops[0].text


def test_a_known_length_that_the_squares_confirm_is_taken():
    told = at_scale(scaled(pages.single(scene()).printed, 0.97, 0.97), known="100mm=97.0")

    assert worst(told.report) == Level.INFO
