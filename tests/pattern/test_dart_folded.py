"""A dart made into a pleat or a tuck; expected places are worked by hand from folded paper."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path
from sewkit.geometry.polygon import signed_area
from sewkit.pattern.dart import darts_of
from sewkit.pattern.dart_folded import folded, name_for
from sewkit.pattern.fold_mouth import fold_mouths
from sewkit.pattern.mark import INNER, NOTCH
from sewkit.pattern.naming import name_edges, write_names
from sewkit.pattern.piece import CutLine
from sewkit.pattern.recut import recut
from tests.operations.length_pieces import ruler
from tests.operations.pieces import named, notch

EDGES = "waist dart dart waist side hem centre"


def skirt(drop=0.0, **more):
    """A skirt panel whose waist drops from the centre to the dart; the mouth is 20 mm, level."""
    path = Path.through([(0, -drop), (140, 0), (150, 100), (160, 0), (300, 0), (300, 500), (0, 500)], True)
    return named(path, EDGES, "front", darts=("dart",), **more)


def lines_of(piece, name):
    return [mark.path for mark in piece.marks if mark.kind == INNER and mark.name == name]


def test_a_pleat_in_a_straight_waist():
    piece, made = folded(skirt(), "", "dart", "pleat", "centre")

    outline = piece.outlines[0]
    assert outline.names == ("waist", "pleat", "side", "hem", "centre")
    # The cloth of the dart is back, the waist as sewn is as it was: 140 + 140 mm.
    assert abs(signed_area(outline.path)) == pytest.approx(300 * 500)
    assert outline.as_sewn("waist") == pytest.approx(280.0)
    assert ruler(outline.runs("pleat")[0]) == pytest.approx(20.0)
    assert (piece.darts, piece.pressed) == (("pleat",), {"pleat": "centre"})
    assert darts_of(piece, outline) == ()
    # Half of the dart's 100 mm, parallel, from both ends of the mouth.
    first, second = lines_of(piece, "pleat")
    np.testing.assert_allclose([first.start, first.end], [(140, 0), (140, 50)], atol=1e-9)
    np.testing.assert_allclose([second.start, second.end], [(160, 0), (160, 50)], atol=1e-9)
    assert (made.depth, made.long) == pytest.approx((20.0, 50.0)) and made.edge == "waist"


@pytest.mark.parametrize("side, tail, tip", [("centre", 140, 160), ("side", 160, 140)])
def test_the_arrow_goes_from_the_fold_to_the_line_it_comes_to_lie_on(side, tail, tip):
    # Pressed to the centre the intake lies under the cloth there, so that the fold is on its side.
    piece, _ = folded(skirt(), "", "dart", "pleat", side, 60.0)

    (arrow,) = lines_of(piece, "pleat-arrow")

    np.testing.assert_allclose(arrow.curves[0, [0, 3]], [(tail, 30), (tip, 30)], atol=1e-9)


def test_the_top_is_drawn_as_it_lies_when_folded():
    piece, made = folded(skirt(20.0), "", "dart", "pleat", "centre")

    # The waist falls 20 mm in 140; mirrored in x = 140 it rises by 10/7 mm on the 10 mm to the middle.
    outline = piece.outlines[0]
    runs = outline.runs("pleat")
    peak = (150.0, -10.0 / 7.0)
    assert made.capped
    ends = [runs[0].start, runs[1].end, runs[-1].end]
    np.testing.assert_allclose(ends, [(140, 0), peak, (160, 0)], atol=1e-9)
    # There are corners at the peak: two runs would be legs of a dart, so there are three.
    assert len(runs) == 3 and darts_of(piece, outline) == ()
    assert [mouth.edges for mouth in fold_mouths(outline, piece.darts)] == [(1, 2, 3)]
    again = name_edges(outline.path, write_names(outline)).outline
    assert again.edges == outline.edges


def test_the_cut_line_goes_on_over_the_mouth_and_notches_end_there():
    old = skirt(20.0, allowance={"": 10.0})
    old = old._replace(
        cut_lines=(CutLine("", old.outlines[0].path),), marks=(notch("dart", 0.0, name="leg"),)
    )
    piece, _ = folded(old, "", "dart", "pleat", "centre")

    made = recut(piece, [""]).piece

    cut = made.cut_line("").path
    for spot in ((150.0, -10.0 / 7.0), (145.0, -5.0 / 7.0)):
        assert nearest(cut, spot).distance == pytest.approx(10.0, abs=0.01)
    ticks = [mark.path for mark in made.marks if mark.kind == NOTCH]
    # From the cut edge inwards, square to the waist on either side of the mouth.
    along = np.array([140.0, 20.0]) / np.hypot(140, 20)
    out = np.array([along[1], -along[0]])
    np.testing.assert_allclose(ticks[0].start, np.array([140, 0]) + 10 * out, atol=1e-6)
    np.testing.assert_allclose(ticks[1].start, (160, -10), atol=1e-6)
    assert all(mark.name != "leg" for mark in made.marks)


def test_folds_do_not_leave_the_piece():
    with pytest.raises(InputError, match="room for 5 to 500 mm"):
        folded(skirt(), "", "dart", "pleat", "centre", 501.0)
    with pytest.raises(InputError, match=r"Folds of 1\.0 mm cannot be laid"):
        folded(skirt(), "", "dart", "pleat", "centre", 1.0)


def test_names_of_pleats():
    piece = skirt()

    assert name_for(piece, "waist-dart", "tuck") == "waist-tuck"
    assert name_for(piece, "dart", "pleat", "kick") == "kick"
    with pytest.raises(InputError, match="'hem' cannot be the name"):
        name_for(piece, "dart", "pleat", "hem")
