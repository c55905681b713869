"""The master of an import can be read again, whatever the file drew."""

import numpy as np
import pytest

from sewkit.files.master import new_drawing
from sewkit.files.svg_names import SVG
from sewkit.geometry.path import Path
from sewkit.pattern.mark import DRILL, Mark
from sewkit.sheet.bring import bring
from sewkit.sheet.drawn import Drawn, Page, Printed, Style

BLACK = Style("#000000", 0.5)


def brought(*paths):
    drawn = tuple(
        Drawn(path.curves, (0,), (path.closed,), BLACK, order=number) for number, path in enumerate(paths)
    )
    return bring(Printed((Page(1, 500.0, 500.0, 0, drawn),), total=1))


def piece():
    return Path.through([(50, 50), (250, 50), (250, 350), (50, 350)], closed=True)


@pytest.mark.parametrize(
    "path",
    [
        Path.through([(400, 400), (400, 400)]),
        Path.through([(400, 400), (400.0005, 400)]),
        Path.through([(400, 400), (400, 400), (400, 400)], closed=True),
        Path(np.full((1, 4, 2), 100.0), False),  # within the piece
    ],
)
def test_a_line_without_length_is_not_written_and_not_counted(path):
    found = brought(piece(), path)

    drawing = new_drawing(found)

    assert "no piece" not in found.report.summary
    assert len(list(drawing.tree.iter("{%s}path" % SVG))) == 1
    assert [len(one.outlines) for one in drawing.pattern.pieces] == [1]
    assert drawing.pattern.problems == ()


def test_a_mark_without_length_is_not_written():
    found = brought(piece())
    (one,) = found.pattern.pieces
    speck = Mark(DRILL, path=Path(np.full((1, 4, 2), 100.0), False))
    marked = found.pattern.with_piece(one._replace(marks=(speck,)))

    drawing = new_drawing(found._replace(pattern=marked))

    assert drawing.pattern.pieces[0].marks == ()
    assert drawing.pattern.problems == ()
