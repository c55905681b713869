"""Lines square to the borders fit any overlap: what else tells it, and what is said if nothing does."""

import pytest

from sewkit.geometry.path import Path
from sewkit.report import Level
from sewkit.sheet.drawn import Style
from sewkit.sheet.tiles import Grid, join_pages
from tests.pdfs.pages import LIVE, tiled
from tests.pdfs.scene import Scene, Stroke

BLACK = Style("#000000", 0.5)


def rectangle(left, top, right, bottom):
    corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
    return Stroke((Path.through(corners, closed=True),), BLACK)


def sheet(*more):
    """A gathered panel of 450 x 700 mm, and other rectangles."""
    return Scene(570.0, 831.0, (rectangle(60, 60, 510, 760), *more), (), (), ("36",), (), {}, ())


def told(joined, code):
    return [finding for finding in joined.findings if finding.code == code]


@pytest.mark.parametrize("overlap", [0.0, 12.0])
@pytest.mark.parametrize("frame", [True, False])
def test_lines_square_to_the_borders_prove_no_step(overlap, frame):
    joined = join_pages(tiled(sheet(), overlap=overlap, frame=frame, marks=frame).printed)

    (finding,) = told(joined, "overlap-unproved")
    assert finding.level == Level.WARN
    for word in ("190.0 mm", "277.0 mm", "no overlap", "--columns", "--trim", "--overlap"):
        assert word in finding.text
    (about,) = told(joined, "joined")
    assert about.level == Level.INFO and "proved by" not in about.text
    assert {border.evidence for border in joined.borders if border.matched} == {"square lines"}


def test_the_cure_that_is_told_cures():
    made = tiled(sheet(), overlap=12.0)

    joined = join_pages(made.printed, Grid(columns=4, trim=10.0, overlap=12.0))

    assert joined.pitch == pytest.approx(made.pitch)
    assert not told(joined, "overlap-unproved")


@pytest.mark.parametrize("overlap", [5.0, 12.0, 25.0])
def test_corners_in_the_strip_tell_its_width(overlap):
    # Pockets whose corners lie in the strips between the pages of the first two rows and columns.
    x, y = 190.0 - overlap / 2, 277.0 - overlap / 2
    made = tiled(sheet(rectangle(100, 100, x, 200), rectangle(100, 220, 160, y)), overlap=overlap, labels="")

    joined = join_pages(made.printed)

    assert joined.pitch == pytest.approx(made.pitch, abs=0.01)
    assert not told(joined, "overlap-unproved")


def test_corners_beside_a_border_tell_that_nothing_is_shown_twice():
    made = tiled(sheet(rectangle(100, 100, 188, 200), rectangle(100, 220, 160, 275)), labels="")

    joined = join_pages(made.printed)

    assert joined.pitch == pytest.approx((190.0, 277.0), abs=0.01)
    assert not told(joined, "overlap-unproved")
    assert told(joined, "joined")[0].level == Level.PASS


def test_a_pocket_over_a_border_is_not_taken_for_a_strip():
    # Its corners at both sides lie at one height, 30 mm apart: no strip of 30 mm.
    made = tiled(sheet(rectangle(175, 100, 205, 200), rectangle(100, 262, 160, 292)), labels="")

    joined = join_pages(made.printed)

    assert joined.pitch == pytest.approx((190.0, 277.0), abs=0.01)


def test_a_frame_inside_what_pages_show_is_where_they_are_taken_to_meet():
    made = tiled(sheet(), overlap=12.0, labels="", marks=False)
    left, top, right, bottom = LIVE
    inner = rectangle(left + 6, top + 6, right - 6, bottom - 6).paths[0].curves
    pages = tuple(
        page._replace(drawn=(page.drawn[0]._replace(curves=inner), *page.drawn[1:]))
        for page in made.printed.pages
    )

    joined = join_pages(made.printed._replace(pages=pages))

    assert joined.pitch == pytest.approx(made.pitch, abs=0.01)
    assert "12.0 mm of overlap" in told(joined, "overlap-unproved")[0].text
