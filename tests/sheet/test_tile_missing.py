"""Pages that are missing, or out of order, though straight lines fit other pages as well."""

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.report import Level
from sewkit.sheet.drawn import Style
from sewkit.sheet.tiles import join_pages
from tests.pdfs.pages import tiled
from tests.pdfs.scene import Scene, Stroke

COLOURS = ("#c00000", "#0050c8", "#008030")


def scene_of(width, height, outlines):
    """A sheet with one outline for each of three sizes, each in its colour."""
    strokes = tuple(
        Stroke((Path.through([(float(x), float(y)) for x, y in corners], closed=True),), Style(colour, 0.5))
        for corners, colour in zip(outlines, COLOURS)
    )
    return Scene(width, height, strokes, (), (), ("36", "38", "40"), (), {}, ())


def panel():
    """A gathered panel whose three sizes share the fold at its left side; and its grain line."""
    made = scene_of(
        570.0,
        831.0,
        [
            [(60, y), (510 + 12 * k, y), (510 + 12 * k, 760 + 6 * k), (60, 760 + 6 * k)]
            for k, y in enumerate((60, 54, 48))
        ],
    )
    grain = Stroke((Path.through([(250.0, 100.0), (250.0, 700.0)]),), Style("#000000", 0.3))
    return made._replace(strokes=(*made.strokes, grain))


def slanted():
    """An A-line panel; the third page of its first row is empty."""
    return scene_of(
        570.0,
        831.0,
        [
            [(100 - 5 * k, 60), (300 + 5 * k, 60), (480 + 8 * k, 740 + 5 * k), (60 - 8 * k, 740 + 5 * k)]
            for k in range(3)
        ],
    )


def strip():
    """A bodice length in one column of three pages."""
    return scene_of(
        190.0,
        831.0,
        [
            [
                (40 - 6 * k, 40 - 6 * k),
                (100 + 6 * k, 40 - 6 * k),
                (140 + 6 * k, 320),
                (140 + 6 * k, 740 + 6 * k),
                (40 - 6 * k, 740 + 6 * k),
            ]
            for k in range(3)
        ],
    )


def cells(joined):
    return {place.page: (place.column, place.row) for place in joined.placed}


def truth(made):
    return {tile.page: (tile.column, tile.row) for tile in made.tiles}


def told(joined, code):
    return [finding for finding in joined.findings if finding.code == code]


@pytest.mark.parametrize("labels", ["A1", "1", ""])
@pytest.mark.parametrize("drawing, hole", [(panel, (2, 3)), (slanted, (2, 1)), (slanted, (1, 2))])
def test_a_missing_page_is_a_hole_and_not_closed_up(drawing, hole, labels):
    made = tiled(drawing(), missing=[hole], labels=labels)

    joined = join_pages(made.printed)

    assert cells(joined) == truth(made)
    assert joined.missing == (hole,)
    (finding,) = told(joined, "page-missing")
    assert finding.where == "row {}, column {}".format(*hole)


@pytest.mark.parametrize("shuffle", [1, 2, 3, 4, 5, 6])
def test_lines_settle_the_order_of_pages_before_their_numbers_do(shuffle):
    made = tiled(strip(), labels="", shuffle=shuffle, frame=False, marks=False)

    joined = join_pages(made.printed)

    assert cells(joined) == truth(made)
    away = np.array([(p.x - made.tile(p.page).x, p.y - made.tile(p.page).y) for p in joined.placed])
    assert np.abs(away - away[0])[:, 1].max() <= 0.01
    assert not told(joined, "page-unsure")


@pytest.mark.parametrize("labels", ["A1", ""])
def test_a_missing_row_is_told(labels):
    made = tiled(slanted(), missing=[(2, 1), (2, 2), (2, 3)], labels=labels)

    joined = join_pages(made.printed)

    # With labels it is three holes; without, lines stop between the first three pages and the rest.
    findings = told(joined, "page-missing")
    assert findings and all(finding.level == Level.WARN for finding in findings)
    if not labels:
        assert any("none goes on" in finding.text for finding in findings)


def test_of_a_whole_sheet_nothing_is_said_to_be_missing():
    for drawing in (panel, slanted, strip):
        assert not told(join_pages(tiled(drawing(), labels="").printed), "page-missing")
