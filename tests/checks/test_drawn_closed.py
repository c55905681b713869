"""A seam on which a dart is only drawn is judged as it will be sewn; lengths worked by hand."""

import pytest

from sewkit.checks.drawn_closed import with_darts
from sewkit.checks.seams import guard, seam_report
from sewkit.geometry.path import Path
from sewkit.pattern.mark import DART, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.seam import parse_seams
from sewkit.report import Level
from tests.operations.pieces import named


def sheet(wide, *marks):
    """A back 200 mm high whose waist is so wide, with a skirt's waist of 280 mm to go to it."""
    path = Path.through([(0, 0), (wide, 0), (wide, 200), (0, 200)], closed=True)
    skirt = Path.through([(0, 300), (280, 300), (280, 700), (0, 700)], closed=True)
    back = named(path, "top side waist centre", "back", marks=marks)
    other = named(skirt, "waist side hem centre", "skirt")
    return Pattern((back, other), parse_seams("waist=skirt/waist", "back"))


# Its mouth is 20 mm wide on the waist at y = 200.
DRAWN = Mark(DART, "d", path=Path.through([(140, 200), (150, 80), (160, 200)]))
FISH = Mark(DART, "d", path=Path.through([(150, 40), (160, 100), (150, 160), (140, 100), (150, 40)]))


@pytest.mark.parametrize(
    ("wide", "marks", "level"),
    [
        (300, (DRAWN,), Level.INFO),
        (302, (DRAWN,), Level.WARN),
        (310, (DRAWN,), Level.FAIL),
        (300, (), Level.FAIL),
        (300, (FISH,), Level.FAIL),
        (280, (), Level.PASS),
    ],
)
def test_a_seam_fits_if_it_does_with_its_drawn_darts_closed(wide, marks, level):
    pattern = sheet(wide, *marks)
    (finding,) = [f for f in seam_report(pattern, "").findings if f.code == "seam"]
    assert finding.level == level
    closed = "closed they are {:.1f} and 280.0 mm long".format(wide - 20.0)
    assert (closed in finding.text) == (DRAWN in marks)
    report = guard(pattern, pattern, [("", "")])
    assert [f.level for f in report.findings] == ([level] if level > Level.INFO else [])
    assert report.tables[0].levels == (level,)


def test_cutting_a_drawn_dart_in_changes_no_seam():
    """300 mm less a mouth of 20 are the 280 of the skirt, before it is cut in and after."""
    drawn = sheet(300, DRAWN)
    cut = drawn.with_piece(with_darts(drawn.piece("back"), ""))
    ((_, before, after, differed, differs, _),) = guard(drawn, cut, [("", "")]).tables[0].rows
    assert (before, after) == ("280.0 / 280.0", "280.0 / 280.0")
    assert (differed, differs) == ("0.0", "0.0")
