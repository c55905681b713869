"""The frame of a page that was printed smaller is furniture, like the frames of all others."""

import pytest

from sewkit.sheet.tiles import join_pages, one_sheet
from tests.pdfs.pages import tiled
from tests.pdfs.scene import scene


@pytest.mark.parametrize("factor", [0.9, 0.97, 1.02])
def test_a_frame_of_another_size_is_furniture(factor):
    made = tiled(scene(), labels="", scaled={5: factor})

    joined = join_pages(made.printed)

    # In these pages path 0 is the frame; 1 to 4 are the marks at its sides.
    assert (5, 0) in joined.furniture
    assert {place for page, place in joined.furniture if page == 5} <= set(range(5))
    size = 190.0 * factor
    for line in one_sheet(made.printed, joined).lines:
        box = line.path.curves.reshape(-1, 2)
        width, height = box.max(axis=0) - box.min(axis=0)
        assert not (line.path.closed and abs(width - size) < 0.1 and abs(height - 277.0 * factor) < 0.1)
