"""Windows on a drawing: how many, where, and on which of them there is ink.

Closed form: a length L takes ceil((L - o) / (p - o)) windows of length p that overlap by o.
"""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.paper.document import Drawn, Stroke
from sewkit.paper.tiling import cell_label, checked, count, fewest, grid_over, ink_of, inked, own_box
from tests.paper.sheets import chords, ink, rectangle

A4 = (210.0, 297.0)


@pytest.mark.parametrize(
    "size, page, overlap, cells",
    [
        # (1000 - 10) / 180 = 5.5; (1400 - 10) / 267 = 5.2
        ((1000, 1400), A4, 10.0, (6, 6)),
        # An A0 sheet: (841 - 10) / 180 = 4.6; (1189 - 10) / 267 = 4.4
        ((841, 1189), A4, 10.0, (5, 5)),
        # Edge to edge: 841 / 190 = 4.4; 1189 / 277 = 4.3
        ((841, 1189), A4, 0.0, (5, 5)),
        # Exactly one page, and a hair more.
        ((190, 277), A4, 10.0, (1, 1)),
        ((190.01, 277), A4, 10.0, (1, 2)),
        # Exactly two: 190 + 180.
        ((370, 277), A4, 10.0, (1, 2)),
        ((841, 1189), (841.0, 1189.0), 10.0, (2, 2)),
    ],
)
def test_the_number_of_pages_is_that_of_the_closed_form(size, page, overlap, cells):
    grid = grid_over((0.0, 0.0, *map(float, size)), page, 10.0, overlap)

    assert (grid.rows, grid.columns) == cells


def test_windows_step_by_page_less_margins_less_overlap():
    grid = grid_over((-7.0, 3.0, 993.0, 1403.0), A4, 10.0, 10.0)
    first = grid.window((0, 0))

    assert (first.left, first.top, first.x, first.y, first.scale) == (-7.0, 3.0, 10.0, 10.0, 1.0)
    for row, column in grid.cells:
        window = grid.window((row, column))
        assert window.left - first.left == pytest.approx(180.0 * column, abs=1e-9)
        assert window.top - first.top == pytest.approx(267.0 * row, abs=1e-9)
        assert (window.width, window.height) == (190.0, 277.0)


def test_the_cells_parts_cover_the_sheet_once():
    grid = grid_over((0.0, 0.0, 500.0, 600.0), A4, 10.0, 15.0)

    area = sum((box[2] - box[0]) * (box[3] - box[1]) for box in (own_box(grid, c) for c in grid.cells))

    width = 175.0 * grid.columns + 15.0
    height = 262.0 * grid.rows + 15.0
    assert area == pytest.approx(width * height)


def test_rows_have_letters_and_columns_numbers():
    assert [cell_label(cell) for cell in ((0, 0), (1, 2), (25, 9), (26, 0), (27, 0))] == [
        "A1",
        "B3",
        "Z10",
        "AA1",
        "AB1",
    ]


def test_a_frame_leaves_the_pages_within_it_out():
    """A rectangle of 1000 x 1400 mm on 6 x 6 pages of A4: 36 less the 4 x 4 that it goes round is 20."""
    path = rectangle(0.0, 0.0, 1000.0, 1400.0)
    grid = grid_over((0.0, 0.0, 1000.0, 1400.0), A4, 10.0, 10.0)

    cells = inked(ink_of(ink(path).drawn), grid)

    assert len(cells) == 20
    assert all(row in (0, 5) or column in (0, 5) for row, column in cells)


def test_a_page_whose_ink_its_neighbours_all_show_is_left_out():
    """A line from 0 to 188 lies on the first window, 0 to 190, though the second begins at 180."""
    grid = grid_over((0.0, 0.0, 300.0, 100.0), A4, 10.0, 10.0)
    short = Drawn((Stroke(Path.through([(0.0, 50.0), (188.0, 50.0)]), 0.0),))
    thick = Drawn((Stroke(Path.through([(0.0, 50.0), (188.0, 50.0)]), 6.0),))

    assert inked(ink_of(short), grid) == ((0, 0),)
    assert inked(ink_of(thick), grid) == ((0, 0), (0, 1))  # its end, 3 mm round, reaches 191


def test_ink_is_found_where_shapely_finds_it():
    """Random curves: a cell has ink where the buffered line meets the cell's part."""
    geometry = pytest.importorskip("shapely.geometry")
    random = np.random.RandomState(7)
    strokes, shapes = [], []
    for _ in range(6):
        spots = random.uniform(0, 900, 2) + random.uniform(-150, 150, (4, 2))
        path = Path(spots[None])
        width = float(random.uniform(0.2, 4.0))
        strokes.append(Stroke(path, width))
        shapes.append(geometry.LineString(chords(path, 0.2)[:, 0].tolist() + [path.end]).buffer(width / 2))
    drawn = Drawn(tuple(strokes))
    grid = grid_over(ink_of(drawn).box, A4, 10.0, 10.0)
    found = set(inked(ink_of(drawn), grid))

    for cell in grid.cells:
        part = geometry.box(*own_box(grid, cell))
        # Shapely's chords stray by 0.2 mm, and ours takes the corners of the width as square.
        if any(shape.buffer(-0.3).intersects(part) for shape in shapes):
            assert cell in found, cell
        elif not any(shape.buffer(1.5).intersects(part) for shape in shapes):
            assert cell not in found, cell


def test_pages_are_shifted_where_that_saves_one():
    """Two short lines, one at each end of 220 mm, on pages 190 wide: shifted by up to 150 mm nothing is
    gained; but a line over the border alone comes onto one page.
    """
    line = Path.through([(0.0, 0.0), (0.0, 10.0)])
    other = Path.through([(100.0, 0.0), (220.0, 0.0)])
    both = ink_of(Drawn((Stroke(line, 0.0), Stroke(other, 0.0))))
    alone = ink_of(Drawn((Stroke(other, 0.0),)))

    assert len(inked(both, fewest(both, both.box, A4, 10.0, 0.0))) == 2
    assert len(inked(alone, fewest(alone, (0.0, 0.0, 220.0, 10.0), A4, 10.0, 0.0))) == 1


@pytest.mark.parametrize(
    "page, margin, overlap",
    [((210, 297), -1.0, 10.0), ((210, 297), 10.0, -1.0), ((210, 297), 105.0, 0.0), ((100, 150), 5.0, 0.0)],
)
def test_margins_that_leave_too_little_are_refused(page, margin, overlap):
    with pytest.raises(InputError) as error:
        checked(page, margin, overlap, "a page")

    assert error.value.cure
    checked(A4, 10.0, 10.0, "A4")


def test_a_whole_field_of_paper_is_refused():
    with pytest.raises(InputError, match="pages"):
        grid_over((0.0, 0.0, 50000.0, 50000.0), A4, 10.0, 10.0)


def test_a_length_that_fits_but_for_rounding_takes_no_further_page():
    assert count(190.0 + 1e-9, 190.0, 10.0) == 1
