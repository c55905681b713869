"""What was printed is put together again by our own importer: every page where its window says."""

import io

import numpy as np
import pytest

from sewkit.files.pdf_read import read_pages
from sewkit.files.pdf_write import write_pdf
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move
from sewkit.sheet.tiles import join_pages
from tests.paper.sheets import ink
from tests.paper.test_laid_out import printed

# The promise for joining (mm).
JOINED = 0.01


def bent():
    """Two pieces of bent lines, about 480 x 560 mm together."""
    front = Path(
        [
            [(0, 0), (80, 40), (160, 40), (230, 5)],
            [(230, 5), (250, 200), (180, 300), (225, 540)],
            [(225, 540), (150, 560), (60, 555), (5, 548)],
            [(5, 548), (-12, 300), (14, 150), (0, 0)],
        ],
        closed=True,
    )
    return [ink(front, "front", 0.35), ink(move(252.0, 20.0).path(front), "back", 0.35)]


@pytest.mark.parametrize("paper, overlap", [("A4", 10.0), ("A4", 0.0), ("Letter", 12.7)])
def test_the_importer_puts_every_page_where_it_was(paper, overlap):
    pytest.importorskip("pypdf")
    done = printed(bent(), paper, overlap=overlap)
    grid = done.laid.grid
    joined = join_pages(read_pages(io.BytesIO(write_pdf(done.document))))
    cells = dict(enumerate(done.laid.cells, 1 + done.fronts))

    assert {place.page for place in joined.placed} == set(cells)
    assert {place.island for place in joined.placed} == {1}
    off = np.array([np.array([place.x, place.y]) - grid.corner(cells[place.page]) for place in joined.placed])
    assert np.ptp(off, axis=0).max() <= JOINED
    assert joined.blank == (1,)
