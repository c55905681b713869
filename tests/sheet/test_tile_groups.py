"""Which pages belong to one sheet: sizes, labels, patterns that share a file, instructions."""

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Drawn, Page, Printed, Style, Words
from sewkit.sheet.tile_groups import page_groups, same_size
from sewkit.sheet.tile_labels import restarts
from sewkit.sheet.tile_strokes import centred, strokes_of
from sewkit.sheet.tiles import Grid, join_pages
from tests.pdfs.bad import two_patterns
from tests.pdfs.pages import tiled
from tests.pdfs.scene import scene

SHEET = scene()


def after(pages, others):
    """Pages and other pages behind them, numbered on."""
    return pages + tuple(page._replace(number=page.number + len(pages)) for page in others)


def told(joined, code):
    return [finding.text for finding in joined.findings if finding.code == code]


def islands(joined):
    return [
        {p.page for p in joined.placed if p.island == n} for n in sorted({p.island for p in joined.placed})
    ]


def labelled(*labels):
    """Pages of A4 that carry these labels at one place; None for no label."""
    words = [(Words(text, 14.0, 280.0),) if text else () for text in labels]
    return tuple(Page(n, 210.0, 297.0, words=own) for n, own in enumerate(words, 1))


def test_sizes_that_differ_by_rounding_are_one_and_papers_are_not():
    # 595 x 842 points are 209.9 x 297.04 mm; Letter is 215.9 x 279.4 mm.
    sizes = [
        (210.0, 297.0),
        (595 / 72 * 25.4, 842 / 72 * 25.4),
        (215.9, 279.4),
        (211.0, 297.0),
        (297.0, 210.0),
    ]
    pages = [Page(n, width, height) for n, (width, height) in enumerate(sizes, 1)]

    assert same_size(pages) == ((0, 1, 3), (2,), (4,))


@pytest.mark.parametrize("extra", [-0.1, 0.4, 1.0])
def test_a_page_that_is_a_little_wider_is_a_tile_like_the_others(extra):
    made = tiled(SHEET, labels="")
    pages = list(made.printed.pages)
    pages[0] = pages[0]._replace(width=210.0 + extra)

    joined = join_pages(made.printed._replace(pages=tuple(pages)))

    assert len(islands(joined)) == 1 and not told(joined, "page-sizes")
    for place in joined.placed:
        tile, first = made.tile(place.page), made.tile(1)
        assert (place.x, place.y) == pytest.approx((tile.x - first.x, tile.y - first.y), abs=0.01)


@pytest.mark.parametrize(
    "labels, starts",
    [
        (("A1", "A2", "B1", "B2", "A1", "A2", "A3"), (0, 4)),
        (("1/4", "2/4", "3/4", "4/4", "1/3", "2/3", "3/3"), (0, 4)),
        ((None, "1", "2", "3", None, "1", "2", "3"), (0, 5)),
        (("1", "2", "1", "2", "1", "2"), (0, 2, 4)),
        (("1", "2", "3", "4", "5", "6"), (0,)),
        (("3", "1", "2", "6", "4", "5"), (0,)),  # shuffled
        (("1", "1", "1", "1", "1", "1"), (0,)),  # no label: a seam allowance
        (("2", "1", "4", "2", "1", "4"), (0,)),  # a set begins with its first label
        ((None, None, None, None, "1", "1"), (0,)),
    ],
)
def test_labels_that_begin_anew(labels, starts):
    assert restarts(labelled(*labels), tuple(range(len(labels)))) == starts


def test_two_patterns_in_one_file_are_told_and_each_is_exact():
    pages = two_patterns()

    joined = join_pages(pages)

    first, second = range(1, 10), range(10, 26)
    for numbers, width, pitch in ((first, 3, (190.0, 277.0)), (second, 4, (180.0, 267.0))):
        own = [p for p in joined.placed if p.page in numbers]
        assert len({p.island for p in own}) == 1
        for p in own:
            row, column = divmod(p.page - numbers[0], width)
            assert (p.x - own[0].x, p.y - own[0].y) == pytest.approx(
                (column * pitch[0], row * pitch[1]), abs=0.02
            )
    assert islands(joined)[1] == set(first)
    (text,) = told(joined, "two-patterns")
    assert "may hold two patterns" in text and "--pages 1-9 and --pages 10-25" in text
    assert len(told(joined, "joined")) == 2


def test_the_same_pattern_twice_is_two_patterns_though_every_line_fits():
    pages = tiled(SHEET).printed.pages

    joined = join_pages(Printed(after(pages, pages)))

    assert islands(joined) == [set(range(1, 10)), set(range(10, 19))]
    assert told(joined, "two-patterns")


def test_labels_that_begin_anew_do_not_part_what_lines_hold_together():
    # Rows 2 and 3 of one sheet are numbered anew, from 1.
    made = tiled(SHEET, labels="1")
    pages = []
    for page in made.printed.pages:
        *others, label = page.words
        number = page.number if page.number < 4 else page.number - 3
        pages.append(page._replace(words=(*others, label._replace(text=str(number)))))
    assert len(page_groups(pages)) == 2

    joined = join_pages(Printed(tuple(pages)))

    assert len(islands(joined)) == 1 and not told(joined, "two-patterns")
    assert joined.pitch == pytest.approx((190.0, 277.0), abs=0.005)


def test_a_grid_that_the_person_gives_goes_before_the_labels():
    pages = tiled(SHEET).printed.pages

    joined = join_pages(Printed(after(pages, pages)), Grid(columns=3, trim=10.0))

    assert len(islands(joined)) == 1 and not told(joined, "two-patterns")


def test_one_pattern_with_islands_is_not_called_two():
    joined = join_pages(tiled(scene(pieces=12)).printed)

    assert not told(joined, "two-patterns")


def test_without_labels_it_is_told_that_only_the_order_joins_two_runs_of_pages():
    first = tiled(SHEET, labels="").printed.pages
    second = tiled(scene(told_by="colours"), labels="").printed.pages

    joined = join_pages(Printed(after(first, second)))

    (text,) = told(joined, "page-parts")
    assert "--pages 1-8 and --pages 10-17" in text  # pages 9 and 18 hold squares: no line leads there


def figures(words=True):
    """A page of instructions with six drawn figures, no frame, and few words."""
    drawn = []
    for number in range(6):
        x, y = 30.0 + 80 * (number % 2), 40.0 + 70 * (number // 2)
        path = Path.through([(x, y), (x + 50, y + 5), (x + 45, y + 50), (x + 5, y + 45)], closed=True)
        drawn.append(Drawn(path.curves, (0,), (True,), Style("#000000", 0.35), order=number))
    said = tuple(Words("Sew the seam, press it open.", 20.0, 30.0 + 70 * k) for k in range(3 if words else 0))
    return Page(1, 210.0, 297.0, 0, tuple(drawn), said)


@pytest.mark.parametrize("labels", ["A1", "1"])
@pytest.mark.parametrize("words", [True, False])
def test_figures_that_the_labels_do_not_count_are_set_apart(labels, words):
    made = tiled(SHEET, labels=labels)

    joined = join_pages(Printed(after((figures(words),), made.printed.pages)))

    assert joined.blank == (1,) and islands(joined) == [set(range(2, 11))]
    (text,) = told(joined, "page-text")
    assert "page 1" in text and "--pages 1" in text


INSTRUCTIONS = tuple(
    Words("Cut all pieces with the grain, then sew the seams and press them open.", 20.0, 30.0 + 8 * k)
    for k in range(6)
)


@pytest.mark.parametrize("labels", ["A1", ""])
@pytest.mark.parametrize("drawn", ["nothing", "figures", "the frame of the tiles"])
def test_instructions_before_the_tiles_are_no_tile_of_a_grid_that_is_given(labels, drawn):
    made = tiled(SHEET, labels=labels)
    first = figures()._replace(words=INSTRUCTIONS)
    frame = made.printed.pages[0].drawn[:1]
    first = first._replace(drawn={"nothing": (), "figures": first.drawn}.get(drawn, frame))

    joined = join_pages(Printed(after((first,), made.printed.pages)), Grid(columns=3, trim=10.0))

    assert {place.page: (place.column, place.row) for place in joined.placed} == {
        tile.page + 1: (tile.column, tile.row) for tile in made.tiles
    }
    assert 1 in joined.blank


def test_a_page_of_words_between_tiles_keeps_its_cell_in_a_grid_that_is_given():
    made = tiled(SHEET, labels="")
    pages = list(made.printed.pages)
    pages[4] = pages[4]._replace(drawn=pages[4].drawn[:1], words=INSTRUCTIONS)

    joined = join_pages(Printed(tuple(pages)), Grid(columns=3, trim=10.0))

    assert {place.page: (place.column, place.row) for place in joined.placed} == {
        tile.page: (tile.column, tile.row) for tile in made.tiles
    }


def test_a_tile_without_a_label_stays_where_lines_lead_to_it():
    made = tiled(SHEET, labels="A1", frame=False, marks=False)
    pages = list(made.printed.pages)
    pages[4] = pages[4]._replace(words=pages[4].words[:-1])

    joined = join_pages(Printed(tuple(pages)))

    assert islands(joined) == [set(range(1, 10))] and joined.blank == ()


def test_a_residual_of_nothing_is_told_as_a_hundredth():
    (text,) = told(join_pages(tiled(SHEET, labels="").printed), "joined")

    assert "within 0.01 mm" in text and "0.00 mm" not in text


def test_letters_are_no_dashes_and_strips_are():
    # Eight corners round a circle, one side short; and strips 3 mm long and 0.5 mm wide.
    turns = np.radians([0, 20, 70, 120, 170, 220, 270, 315])
    letter = [(2 * np.cos(t), 2 * np.sin(t)) for t in turns]
    strip = [(0, 0), (3, 0), (3, 0.5), (0, 0.5)]
    pages = []
    for corners in (letter, strip):
        runs = [Path.through([(x + 6.0 * k + 20, y + 50) for x, y in corners], closed=True) for k in range(5)]
        starts = tuple(int(n) for n in np.cumsum([0] + [len(run) for run in runs[:-1]]))
        curves = np.concatenate([run.curves for run in runs])
        ink = Style("", 0.0, (), "#000000")
        pages.append(Page(len(pages) + 1, 210.0, 297.0, 0, (Drawn(curves, starts, (True,) * 5, ink),)))

    strokes = centred(strokes_of(pages))

    assert strokes.closed.tolist() == [True] * 5 + [False] * 5


def test_letters_that_run_off_the_paper_do_not_hide_where_tiles_are_cut():
    made = tiled(SHEET, labels="")
    ink = Style("", 0.0, (), "#000000")
    pages = []
    for page in made.printed.pages:
        corners = [
            [(x - 1, 29.0 * k + 8), (x + 1, 29.0 * k + 8), (x, 29.0 * k + 11)]
            for x in (0.0, 210.0)
            for k in range(10)
        ]
        runs = [Path.through(own, closed=True) for own in corners]
        letters = tuple(
            Drawn(run.curves, (0,), (True,), ink, order=len(page.drawn) + k) for k, run in enumerate(runs)
        )
        # Each page has a line of its own in letters: what all pages repeat would be furniture.
        own = letters[page.number : page.number + 10]
        pages.append(page._replace(drawn=page.drawn + own))

    joined = join_pages(made.printed._replace(pages=tuple(pages)))

    assert joined.trim == pytest.approx(made.live, abs=0.01)
    assert joined.pitch == pytest.approx((190.0, 277.0), abs=0.005)
