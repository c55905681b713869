"""Where tiles lie, against layouts made from a drawing whose truth is known exactly."""

import random

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.sheet.drawn import Page, Printed, Words
from sewkit.sheet.tiles import Grid, join_pages
from tests.pdfs.pages import single, tiled
from tests.pdfs.scene import scene

EXACT = 0.02  # mm; what the joining promises for every exact layout

SMALL, LARGE, BLACK = scene(), scene(pieces=12), scene(told_by="nothing")


def misses(made, joined):
    """How far each placed tile is from its truth (mm), island by island, after one shift for each."""
    found = {}
    for island in {place.island for place in joined.placed}:
        tiles = [(p, made.tile(p.page)) for p in joined.placed if p.island == island]
        away = np.array([(p.x - tile.x, p.y - tile.y) for p, tile in tiles])
        for (p, _), miss in zip(tiles, np.hypot(*(away - away[0]).T)):
            found[p.page] = miss
    return found


def codes(joined):
    return {finding.code for finding in joined.findings}


LAYOUTS = {
    "cut": (SMALL, dict()),
    "cut, all black": (BLACK, dict(labels="")),
    "cut, no frame, no label": (SMALL, dict(frame=False, marks=False, labels="")),
    "cut, both pages show 10 mm": (SMALL, dict(overlap=10.0, labels="")),
    "clipped": (SMALL, dict(how="clip", labels="")),
    "clipped, both pages show 10 mm": (SMALL, dict(how="clip", overlap=10.0, labels="")),
    "all on every page": (SMALL, dict(how="poster", overlap=12.7, labels="")),
    "every dash its own object": (SMALL, dict(dashes="single", labels="")),
    "every dash a straight object": (SMALL, dict(dashes="straight", labels="")),
    "dashes as filled strips": (SMALL, dict(dashes="strips", labels="")),
    "strips, both pages show 10 mm": (SMALL, dict(dashes="strips", overlap=10.0, labels="")),
    "strips, clipped": (SMALL, dict(dashes="strips", how="clip", labels="")),
    "columns": (SMALL, dict(order="columns", labels="")),
    "to and fro": (SMALL, dict(order="snake", labels="")),
    "a cover, blank pages": (SMALL, dict(cover=True, blank=2, labels="")),
    "a viewer turns some": (SMALL, dict(turns=(0, 90, 0), labels="")),
    "a viewer turns most": (SMALL, dict(turns=(90, 90, 0), labels="")),
    "40 pages": (LARGE, dict(labels="")),
    "40 pages, all on every page": (LARGE, dict(how="poster", labels="")),
    "54 pages that overlap, to and fro": (LARGE, dict(overlap=10.0, order="snake", labels="")),
    "40 pages, dashes apart": (LARGE, dict(dashes="single", labels="")),
    "shuffled, labelled": (LARGE, dict(shuffle=3)),
    "shuffled, labelled, clipped": (LARGE, dict(shuffle=5, how="clip")),
    "empty pages left out": (LARGE, dict(skip_empty=True, labels="")),
}


@pytest.mark.parametrize("name", sorted(LAYOUTS))
def test_every_page_of_an_exact_layout_lies_right(name):
    drawing, how = LAYOUTS[name]
    made = tiled(drawing, **how)

    joined = join_pages(made.printed)

    assert {place.island for place in joined.placed} == {1}
    assert {place.page for place in joined.placed} == {tile.page for tile in made.tiles}
    assert max(misses(made, joined).values()) <= EXACT
    assert joined.pitch == pytest.approx(made.pitch, abs=0.005)
    assert joined.closure <= 0.1
    assert joined.missing == ()


@pytest.mark.parametrize("name", ["cut", "all on every page", "a cover, blank pages", "40 pages"])
def test_frames_and_empty_pages_are_told_apart_from_the_pattern(name):
    drawing, how = LAYOUTS[name]
    made = tiled(drawing, **how)

    joined = join_pages(made.printed)

    assert set(joined.furniture) == set(made.furniture)
    assert joined.blank == made.blank
    assert joined.trim == pytest.approx(made.live, abs=0.01)


def test_columns_and_rows_are_those_of_the_sheet():
    made = tiled(SMALL, order="snake", labels="")

    joined = join_pages(made.printed)

    assert [(p.column, p.row) for p in joined.placed] == [(tile.column, tile.row) for tile in made.tiles]


def test_the_same_frame_is_the_cut_line_once_and_the_outside_of_an_overlap_another_time():
    cut, overlapping = tiled(SMALL, labels=""), tiled(SMALL, overlap=10.0, labels="")

    assert join_pages(cut.printed).pitch == pytest.approx((190.0, 277.0), abs=0.005)
    assert join_pages(overlapping.printed).pitch == pytest.approx((180.0, 267.0), abs=0.005)


@pytest.mark.parametrize("how", ["cut", "poster"])
@pytest.mark.parametrize("labels", ["A1", ""])
def test_pages_that_are_missing_are_named_and_the_rest_stays(how, labels):
    made = tiled(LARGE, how=how, labels=labels, missing=((2, 2), (5, 3)))

    joined = join_pages(made.printed)

    assert max(misses(made, joined).values()) <= EXACT
    assert joined.missing == ((2, 2), (5, 3))
    told = [finding.text for finding in joined.findings if finding.code == "page-missing"]
    assert "row 2, column 2" in told[0] and "row 5, column 3" in told[1]


def test_a_missing_tile_is_named_as_the_sheet_is_shown():
    # A viewer turns all pages by 90 degrees clockwise: of three rows the last becomes the first
    # column.  Stored row 1, column 2 of 3 x 3 is shown in row 2, column 3.
    made = tiled(SMALL, labels="", turns=(90,), missing=((1, 2),))

    joined = join_pages(made.printed)

    assert joined.missing == ((2, 3),)


@pytest.mark.parametrize("how", ["cut", "clip"])
def test_shuffled_pages_without_labels_make_islands_that_are_right_in_themselves(how):
    made = tiled(LARGE, how=how, labels="", shuffle=3)

    joined = join_pages(made.printed)

    # By the drawing, lines hold 30 pages together, and six more; two squares stand alone.
    islands = [place.island for place in joined.placed]
    assert sorted((islands.count(number) for number in set(islands)), reverse=True) == [30, 6, 1, 1]
    assert max(misses(made, joined).values()) <= EXACT
    assert "islands" in codes(joined)


def changed(made, scatter=0.0, lost=0.0, seed=1):
    """The pages with scattered coordinates, or with a part of the strokes gone."""
    numbers, chance = np.random.RandomState(seed), random.Random(seed)
    fixed = set(made.furniture)
    pages = []
    for page in made.printed.pages:
        drawn = []
        for one in page.drawn:
            if (page.number, one.order) not in fixed:
                if chance.random() < lost:
                    continue
                curves = (
                    one.curves + numbers.normal(0.0, scatter, one.curves.shape) if scatter else one.curves
                )
                for start, stop in zip(one.starts, one.starts[1:] + (len(curves),)):
                    curves[start : stop - 1, 3] = curves[start + 1 : stop, 0]
                one = one._replace(curves=curves)
            drawn.append(one)
        pages.append(page._replace(drawn=tuple(drawn)))
    return made.printed._replace(pages=tuple(pages))


@pytest.mark.parametrize("dashes", ["style", "single"])
@pytest.mark.parametrize("lost", [0.1, 0.3])
def test_lost_strokes_do_not_move_a_page(dashes, lost):
    made = tiled(LARGE, labels="", dashes=dashes)

    joined = join_pages(changed(made, lost=lost))

    assert max(misses(made, joined).values()) <= EXACT


def test_coordinates_that_scatter_place_pages_within_their_scatter():
    made = tiled(LARGE, labels="")

    joined = join_pages(changed(made, scatter=0.05))

    # Ends scatter by 0.05 mm, so a step that some 150 of them tell by 0.05 * sqrt(2 / 150) = 0.006;
    # over seven rows and four columns that is 0.05 mm.  Three times as far is rare.
    assert max(misses(made, joined).values()) <= 0.15


def test_a_page_that_was_printed_off_its_place_goes_where_its_lines_say():
    made = tiled(SMALL, how="clip", overlap=20.0, labels="")
    pages = list(made.printed.pages)
    (number,) = [tile.page for tile in made.tiles if (tile.row, tile.column) == (2, 2)]
    moved = tuple(one._replace(curves=one.curves + (0.3, -0.2)) for one in pages[number - 1].drawn)
    pages[number - 1] = pages[number - 1]._replace(drawn=moved)

    joined = join_pages(made.printed._replace(pages=tuple(pages)))

    found = {place.page: place for place in joined.placed}
    tile, first = made.tile(number), made.tile(1)
    away = (found[number].x - found[1].x, found[number].y - found[1].y)
    assert away == pytest.approx((tile.x - first.x - 0.3, tile.y - first.y + 0.2), abs=0.02)


def test_a_declared_grid_is_obeyed():
    made = tiled(SMALL, overlap=10.0, labels="")

    joined = join_pages(made.printed, Grid(columns=4, trim=10.0, overlap=10.0))

    assert joined.evidence == "declared"
    assert max(misses(made, joined).values()) <= 1e-9
    assert all(place.sure for place in joined.placed)
    assert "grid-contradicted" not in codes(joined)
    assert any(border.matched for border in joined.borders)


@pytest.mark.parametrize(
    "grid",
    [
        Grid(columns=2, trim=10.0),  # too few columns
        Grid(columns=3, trim=10.0, overlap=5.0),  # lines meet without an overlap
        Grid(columns=3, trim=10.0, order="columns"),
    ],
)
def test_lines_that_speak_against_a_declared_grid_are_told(grid):
    made = tiled(SMALL, labels="")

    joined = join_pages(made.printed, grid)

    assert joined.evidence == "declared"
    assert "grid-contradicted" in codes(joined)


@pytest.mark.parametrize(
    "grid", [Grid(columns=0), Grid(2, trim=110.0), Grid(2, overlap=-1.0), Grid(2, order="spiral")]
)
def test_a_grid_that_makes_no_sense_is_refused(grid):
    with pytest.raises(InputError) as error:
        join_pages(tiled(SMALL).printed, grid)

    assert error.value.code == "grid" and error.value.cure


def test_one_page_is_no_tile():
    joined = join_pages(single(SMALL).printed)

    assert [(p.page, p.x, p.y) for p in joined.placed] == [(1, 0.0, 0.0)]
    assert (joined.evidence, joined.borders, joined.trim) == ("single", (), None)


def test_a_page_that_shows_the_whole_sheet_makes_its_tiles_needless():
    tiles, whole = tiled(SMALL, labels="").printed, single(SMALL).printed.pages[0]
    pages = (whole,) + tuple(page._replace(number=page.number + 1) for page in tiles.pages)

    joined = join_pages(Printed(pages))

    assert [place.page for place in joined.placed] == [1]
    assert "page-whole" in codes(joined)


def test_a_larger_page_with_something_else_is_an_island_beside_the_tiles():
    tiles, other = tiled(SMALL, labels="").printed, single(scene(pieces=12)).printed.pages[0]
    pages = (other,) + tuple(page._replace(number=page.number + 1) for page in tiles.pages)

    joined = join_pages(Printed(pages))

    islands = {place.page: place.island for place in joined.placed}
    assert islands[1] != islands[2] and len(set(islands.values())) == 2
    assert "page-sizes" in codes(joined)


def test_a_page_of_instructions_is_set_apart():
    made = tiled(SMALL, labels="")
    prose = tuple(Words("Sew the side seams, press them open.", 20.0, 30.0 + 6.0 * k) for k in range(30))
    box = made.printed.pages[0].drawn[-1]._replace(order=0)
    pages = (Page(1, 210.0, 297.0, 0, (box,), prose),)
    pages += tuple(page._replace(number=page.number + 1) for page in made.printed.pages)

    joined = join_pages(Printed(pages))

    assert 1 in joined.blank and 1 not in {place.page for place in joined.placed}
    assert len(joined.placed) == 9 and {place.island for place in joined.placed} == {1}


def test_two_patterns_in_one_file_keep_apart():
    first, second = tiled(SMALL, labels="").printed, tiled(scene(told_by="colours"), labels="").printed
    count = len(first.pages)
    pages = first.pages + tuple(page._replace(number=page.number + count) for page in second.pages)

    joined = join_pages(Printed(pages))

    for numbers in (range(1, count + 1), range(count + 1, 2 * count + 1)):
        own = {p.page: (p.x, p.y) for p in joined.placed if p.page in numbers}
        start = own[min(own)]
        columns = [round((x - start[0]) / 190.0, 3) for x, _ in own.values()]
        rows = [round((y - start[1]) / 277.0, 3) for _, y in own.values()]
        assert columns == [0, 1, 2] * 3 and rows == [0] * 3 + [1] * 3 + [2] * 3


def test_a_file_without_pages_or_lines_gives_nothing_and_does_not_fail():
    words = (Words("Thank you", 20.0, 20.0),)

    for pages in ((), (Page(1, 210.0, 297.0, 0, (), words),)):
        joined = join_pages(Printed(pages))

        assert joined.placed == () and joined.evidence == "none"


def test_it_tells_how_far_it_is():
    told = []

    join_pages(tiled(SMALL).printed, progress=lambda done, total, what: told.append((done, total)))

    assert told[0][0] == 0 and told[-1][0] == told[-1][1]
    assert told == sorted(told)


@pytest.mark.parametrize("dashes", ["style", "single"])
def test_the_same_pages_give_the_same_answer(dashes):
    made = tiled(LARGE, labels="", dashes=dashes)

    assert join_pages(made.printed) == join_pages(made.printed)
