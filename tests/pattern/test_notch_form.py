"""The forms of a notch, on a bent edge: distances judged by Shapely, tangents by svgpathtools."""

import numpy as np
import pytest

from sewkit.pattern.notch import redrawn, spot_of
from sewkit.pattern.notch_form import CROSS, FORMS, SLIT, WEDGE_IN, WEDGE_OUT, reach
from sewkit.pattern.piece import Piece
from sewkit.pattern.recut import kept_corner, kept_width, put_on, recut
from tests.geometry.shapes import outline as drawn
from tests.operations.pieces import dense, named_outline, notch

shapely = pytest.importorskip("shapely.geometry")

# The side bulges out by some 24 mm over 300 mm: a radius of 250 to 500 mm, as a hip.
SIDE = [(200, 0), (240, 90), (225, 210), (200, 300)]
EDGES = "top side hem centre"


def piece(width=10.0, marks=(), stretch=1.0):
    side = tuple((x, y * stretch) for x, y in SIDE)
    path = drawn((0, 0), side[0], side[1:], (0, 300 * stretch), (0, 0))
    allowance = {"": width} if width else {}
    return Piece("front", (named_outline(path, EDGES),), marks=tuple(marks), allowance=allowance)


def seam(one):
    return shapely.LineString(dense(one.outlines[0].path, 2000))


def away(points, line):
    return [shapely.Point(p).distance(line) for p in points]


def ends(mark):
    return mark.path.curves[:, 0], mark.path.curves[:, 3]


@pytest.mark.parametrize(
    "form, outer, inner", [(SLIT, 10, 5), (WEDGE_IN, 10, 5), (WEDGE_OUT, 10, 15), (CROSS, 10, 5)]
)
def test_a_form_begins_at_the_cut_edge_and_reaches_as_far_as_it_should(form, outer, inner):
    """5 mm deep (NIMI, p. 44: 1/8-1/4 in); a triangle stands out as far."""
    one = piece()
    made = redrawn(notch("side", 130.0)._replace(form=form), one.outlines[0], 10.0)
    starts, stops = ends(made)

    assert away(starts[:1], seam(one)) == pytest.approx([outer], abs=0.02)
    assert away(stops[:1], seam(one)) == pytest.approx([inner], abs=0.02)
    # Apart from a T's cross line, the other lines begin or end at the cut edge as well.
    if form in (WEDGE_IN, WEDGE_OUT):
        assert away(stops[1:2], seam(one)) == pytest.approx([outer], abs=0.02)


@pytest.mark.parametrize("width", [6.35, 8.0, 10.0, 25.0])
def test_a_cut_in_form_stops_an_eighth_of_an_inch_before_the_stitch_line(width):
    one = piece(width)
    for form in (SLIT, WEDGE_IN, CROSS):
        made = redrawn(notch("side", 200.0, count=3)._replace(form=form), one.outlines[0], width)
        assert min(away(dense(made.path, 4), seam(one))) >= 3.175 - 0.02


def test_a_notch_is_square_to_the_seam():
    svgpathtools = pytest.importorskip("svgpathtools")
    one = piece()
    curve = svgpathtools.CubicBezier(*(complex(*p) for p in SIDE))
    at = curve.ilength(130.0)
    tangent, foot = curve.unit_tangent(at), curve.point(at)

    for form in FORMS:
        made = redrawn(notch("side", 130.0)._replace(form=form), one.outlines[0], 10.0)
        middle = complex(*np.mean(np.concatenate(ends(made)), axis=0)) - foot
        assert (middle * tangent.conjugate()).real == pytest.approx(0.0, abs=1e-4), form
        assert abs(middle) > 5.0


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("count", [1, 3])
def test_without_an_allowance_it_stands_outside_the_seam_line(form, count):
    one = piece(0.0)
    made = redrawn(notch("side", 130.0, count=count)._replace(form=form), one.outlines[0])
    body = shapely.Polygon(dense(one.outlines[0].path, 500)).buffer(-0.05)

    assert len(made.path) == count * {SLIT: 1, CROSS: 2}.get(form, 2)
    for line in made.path.curves:
        assert not shapely.LineString(line[[0, 3]]).intersects(body)


def test_three_wedges_each_stand_on_the_cut_line():
    """On the tangent alone the outer ones of three, 7 mm aside, would stand clear of a tight curve."""
    tight = drawn((0, 0), (100, 0), ((130, 15), (130, 45), (100, 60)), (0, 60), (0, 0))
    outline = named_outline(tight, EDGES)
    mark = notch("side", outline.as_sewn("side") / 2, count=3)._replace(form=WEDGE_OUT)

    made = redrawn(mark, outline, 10.0)

    tips = made.path.curves[0::2, 3]
    assert away(tips, shapely.LineString(dense(tight, 2000))) == pytest.approx([15.0] * 3, abs=0.02)


def test_recut_keeps_the_form_and_puts_it_on_the_new_cut_line():
    mark = notch("side", 130.0, name="1", count=2)._replace(form=WEDGE_IN)
    old = piece(10.0, [mark])
    old = put_on(old, "", kept_width(old), kept_corner(old), old.mitre_limit).piece
    longer = old._replace(outlines=piece(stretch=1.2).outlines)

    new = recut(longer, [""]).piece

    (made,) = new.marks
    assert made.form == WEDGE_IN and len(made.path) == 4
    cut = shapely.LineString(dense(new.cut_lines[0].path, 2000))
    mouths = np.concatenate([made.path.curves[0::2, 0], made.path.curves[1::2, 3]])
    assert max(away(mouths, cut)) < 0.05
    assert spot_of(new.outlines[0], made.on) is not None


def test_reach_of_a_narrow_allowance_is_half_of_it():
    """Below 1/4 in there is no room for both 1/8 in; such seams are normally not notched (NIMI, p. 44)."""
    assert reach(5.0, WEDGE_IN) == (5.0, 2.5)
    assert reach(0.0, WEDGE_IN) == (5.0, 0.0)
