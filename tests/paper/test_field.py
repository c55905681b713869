"""A projector's field: pixels to a millimetre, the correction by a measured square, the throws."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.paper.field import EDGE, field_of, throws


def test_pixels_are_as_large_across_as_down():
    field = field_of("1920x1080", 1500.0)

    assert field.per_mm == pytest.approx(1920 / 1500)
    assert (field.width, field.height) == (pytest.approx(1500.0), pytest.approx(1080 / 1920 * 1500))


@pytest.mark.parametrize("measured", [488.0, 500.0, 511.5])
def test_a_square_that_measures_otherwise_corrects_the_field(measured):
    # By hand: 500 mm were 500 * per_mm pixels; they measured m mm, so a field of 1500 mm is 1500 m / 500.
    field = field_of("1920x1080", 1500.0, measured)

    assert field.width == pytest.approx(1500.0 * measured / 500.0)
    # The same pixels again: what was thrown as 500 and measured m is now thrown 500 / m as large.
    assert field.per_mm * measured == pytest.approx(1920 / 1500 * 500)


def test_a_small_field_has_a_smaller_square():
    # 1280 x 720 over 480 mm is 270 mm high; less both edges that holds a square of 200.
    assert field_of("1280x720", 480.0).square == 200.0
    assert field_of("1280x720", 480.0, 190.0).width == pytest.approx(480.0 * 190 / 200)


@pytest.mark.parametrize(
    "size, counts", [((800.0, 700.0), (1, 1)), ((800.0, 1500.0), (1, 2)), ((2900, 90), (3, 1))]
)
def test_throws_cover_a_box_and_overlap(size, counts):
    field = field_of("1920x1080", 1500.0)
    box = (100.0, -50.0, 100.0 + size[0], -50.0 + size[1])
    grid = throws(field, box, 50.0)

    # ceil((L - o) / (p - o)) with p = 1470 and 813.75, o = 50 (the rule for tiles, by hand above).
    assert (grid.columns, grid.rows) == counts
    corners = np.array([grid.corner(cell) for cell in grid.cells])
    low, high = corners.min(axis=0), corners.max(axis=0) + grid.size
    assert (low <= np.array(box[:2]) + 1e-9).all() and (high >= np.array(box[2:]) - 1e-9).all()
    assert low + high == pytest.approx(np.array(box[:2]) + box[2:])  # in the middle
    assert grid.step == (pytest.approx(1500 - 2 * EDGE - 50), pytest.approx(843.75 - 2 * EDGE - 50))


@pytest.mark.parametrize(
    "asked, words",
    [
        (("large", 1500.0, None), "1920x1080"),
        (("1920x1080", 200.0, None), "width of the lit field"),
        (("1920x1080", 1500.0, 50.0), "Measure the square"),
    ],
)
def test_what_cannot_be_is_refused(asked, words):
    with pytest.raises(InputError, match=words):
        field_of(*asked)


def test_a_piece_as_large_as_a_house_is_refused():
    with pytest.raises(InputError, match="true scale"):
        throws(field_of("1920x1080", 1500.0), (0, 0, 20000, 20000), 50.0)


def test_an_overlap_as_large_as_the_field_is_refused():
    with pytest.raises(InputError, match="overlap"):
        throws(field_of("1920x1080", 1500.0), (0, 0, 9000, 100), 420.0)
