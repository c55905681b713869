"""Allowance put on and taken off again, on the sample's pieces and on other people's drawings."""

import pathlib

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import point
from sewkit.operations.allowance import allowance
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from tests.operations.data import drawings, needed

pytest.importorskip("lxml")

MASTER = pathlib.Path(__file__).resolve().parent.parent.parent / "samples" / "waistcoat" / "master.svg"

# Finer drawings hold hatching and lettering; they would only take time.
MOST_CURVES = 200

TOLD = {"loop-trimmed", "slit", "edge-gone"}


def opened(file):
    from sewkit.files.svg import open_drawing

    return open_drawing(str(file))[0].pattern


def spots(path, count=7):
    t = np.broadcast_to(np.linspace(0, 1, count), (len(path), count))
    return point(path.curves, t).reshape(-1, 2)


def apart(one, other):
    return max(nearest(b, spot).distance for a, b in ((one, other), (other, one)) for spot in spots(a))


def taken_off(path, **values):
    piece = Piece("cut", (bare_outline(path, key="cut"),), named=False)
    off = allowance(Pattern((piece,)), action="remove", **values)
    return off, off.pattern.piece("cut").outlines[0].path


@pytest.mark.parametrize("size", ["1", "4", "8"])
@pytest.mark.parametrize("name", ["back", "front", "front-facing"])
@pytest.mark.parametrize("width", [6.0, 15.0])
def test_the_samples_seam_lines_come_back(name, size, width):
    pattern = opened(MASTER)
    chosen = Chosen((PickedOutline(name, size),))
    on = allowance(pattern, chosen, width=width)
    piece = on.pattern.piece(name)

    # At 15 mm the back neck is too tight beside the shoulder; what is trimmed there is told.
    told = TOLD & {finding.code for finding in on.report.findings}
    assert bool(told) == (name == "back" and width == 15.0)
    if not told:
        _, seam = taken_off(piece.cut_line(size).path, width=width)
        assert apart(seam, pattern.piece(name).outline(size).path) <= 0.01
    assert piece.outline(size) == pattern.piece(name).outline(size)


@needed("bags")
@pytest.mark.parametrize("file", drawings("bags"), ids=lambda file: file.stem)
def test_other_peoples_outlines_come_back_or_it_is_told(file):
    """On and off with 10 mm: the seam line to 0.01 mm where nothing was trimmed; else a sentence."""
    pattern = opened(file)
    tried = 0
    for piece in pattern.pieces:
        if len(piece.outlines[0].path) > MOST_CURVES:
            continue
        tried += 1
        try:
            on = allowance(Pattern((piece,)), width=10.0)
        except InputError as error:
            assert str(error).endswith("."), piece.name
            continue
        drawn = on.pattern.piece(piece.name)
        assert drawn.outlines == piece.outlines
        if TOLD & {finding.code for finding in on.report.findings}:
            continue
        off, seam = taken_off(drawn.cut_lines[0].path, width=10.0)
        if not TOLD & {finding.code for finding in off.report.findings}:
            assert apart(seam, piece.outlines[0].path) <= 0.01, piece.name
    assert tried
