"""Grain lines and fold brackets: direction by a worked angle, inside and clear as Shapely judges."""

import pathlib

import numpy as np
import pytest

from sewkit.cli import main
from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path, lines
from sewkit.geometry.polygon import flatten
from sewkit.operations.grain import grain
from sewkit.pattern.chosen import Chosen, PickedOutline
from sewkit.pattern.faint import ring
from sewkit.pattern.fold import fold_edge, fold_spot
from sewkit.pattern.mark import DRILL, FOLD, GRAIN, INNER, LEVEL, Mark
from sewkit.pattern.pattern import Pattern
from tests.operations.pieces import bare, named, r4_piece

shapely = pytest.importorskip("shapely")

MASTER = pathlib.Path(__file__).parents[2] / "samples" / "waistcoat" / "master.svg"


def box(wide=200.0, high=500.0, **more):
    spots = [(0, 0), (wide, 0), (wide, high), (0, high)]
    return named(Path.through(spots, closed=True), "neck side hem centre", **more)


def of_kind(piece, kind=GRAIN):
    return [mark for mark in piece.marks if mark.kind == kind]


def way_of(mark):
    way = mark.shaft.end - mark.shaft.start
    return way / np.hypot(*way)


@pytest.mark.parametrize("angle, along", [(0, (0, 1)), (45, (-(0.5**0.5), 0.5**0.5)), (90, (1, 0))])
def test_straight_bias_and_cross_grain(angle, along):
    """Down the sheet, turned clockwise by 45 degrees: to the lower left; crosswise: to the right."""
    (mark,) = of_kind(grain(Pattern((box(),)), along="side", angle=angle).pattern.pieces[0])
    assert way_of(mark) == pytest.approx(along, abs=1e-12)


def test_it_takes_up_the_length_that_was_asked_and_has_one_head_or_two():
    """70 percent of 500 mm; one head is two barbs, and it points to the hem."""
    piece = grain(Pattern((box(),)), length=70).pattern.pieces[0]
    (mark,) = of_kind(piece)
    assert np.hypot(*(mark.shaft.end - mark.shaft.start)) == pytest.approx(350.0)
    assert (len(mark.path), mark.form) == (5, "both-ways")
    (one,) = of_kind(grain(Pattern((piece,)), arrow="one-way").pattern.pieces[0])
    assert (len(one.path), one.form) == (3, "one-way")
    assert one.shaft.end[1] > one.shaft.start[1] and (one.path.curves[1, 3] == one.shaft.end).all()


def test_of_a_bent_edge_the_straight_part_counts():
    """The centre back runs straight for 300 mm, then leans in by 20 on 200: upright."""
    path = Path.through([(0, 0), (200, 0), (200, 500), (20, 500), (0, 300)], closed=True)
    piece = named(path, "neck side hem centre")
    done = grain(Pattern((piece,)), along="centre")
    assert way_of(of_kind(done.pattern.pieces[0])[0]) == pytest.approx((0, 1), abs=1e-12)
    assert "grain-bent" in [finding.code for finding in done.report.findings]


def test_it_keeps_clear_of_buttons_and_may_cross_a_level():
    row = [Mark(DRILL, "b", "", ring((100.0, y), 6.0)) for y in (100.0, 200.0, 300.0, 400.0)]
    waist = Mark(LEVEL, "waist", "", Path.through([(0, 250), (200, 250)]))
    (mark,) = of_kind(grain(Pattern((box(marks=(*row, waist)),))).pattern.pieces[0])
    line = shapely.LineString(mark.shaft.nodes)
    assert all(line.distance(shapely.Polygon(flatten(one.path, 0.01))) > 4.0 for one in row)


def test_a_nest_has_one_line_inside_every_size(tmp_path):
    target = tmp_path / "out.svg"
    assert main(["grain", str(MASTER), "-o", str(target)]) == 0
    for piece in open_drawing(str(target))[0].pattern.pieces:
        (mark,) = of_kind(piece)
        assert mark.size == "" and mark.form == "both-ways"
        length = np.hypot(*(mark.shaft.end - mark.shaft.start))
        arrow = shapely.LineString(mark.shaft.nodes)
        for outline in piece.outlines:
            spots = flatten(outline.path, 0.01)
            assert shapely.Polygon(spots).buffer(-2.0).contains(arrow)
            assert length >= 0.6 * np.ptp(spots[:, 1])


def test_one_size_of_a_nest_gets_its_own_and_the_others_keep_theirs():
    piece = grain(Pattern((r4_piece("front"),))).pattern.pieces[0]
    chosen = Chosen((PickedOutline("front", "4"),))
    done = grain(Pattern((piece,)), chosen, along="hem").pattern.pieces[0]

    assert abs(way_of([m for m in done.marks_for("4") if m.kind == GRAIN][0])[0]) == pytest.approx(1.0)
    assert [m for m in done.marks_for("6") if m.kind == GRAIN] == of_kind(piece)
    again = grain(Pattern((done,))).pattern.pieces[0]
    assert len(of_kind(again)) in (1, 2) and all(abs(way_of(m)[1]) > 0.99 for m in of_kind(again))


def test_a_bracket_points_to_the_fold_and_is_replaced():
    """By hand: the fold is the line x = 0, 500 mm long; arrows at 30 and 70 percent of it."""
    piece = box(folds=("centre",))
    once = grain(Pattern((piece,))).pattern
    (mark,) = of_kind(once.pieces[0], FOLD)
    assert fold_spot(mark, piece) == pytest.approx((0.0, 250.0))
    assert fold_edge(piece, fold_spot(mark, piece)) == "centre"
    nodes = mark.path.curves[:, [0, 3]].reshape(-1, 2)
    tips = nodes[nodes[:, 0] < 1e-9][:, 1]
    assert (tips.min(), tips.max()) == pytest.approx((150.0, 350.0))
    assert nodes[:, 0].min() >= 0.0 and nodes[:, 0].max() == pytest.approx(14.0)
    assert len(of_kind(grain(once).pattern.pieces[0], FOLD)) == 1


def test_what_cannot_be_drawn_is_told():
    with pytest.raises(InputError, match="no edge called 'back'"):
        grain(Pattern((box(),)), along="back")
    with pytest.raises(InputError, match="nothing to draw"):
        grain(Pattern((box(),)), line=False, folds=False)
    told = grain(Pattern((box(),)), line=False).report.summary
    assert told == "No edge lies on the fold, so there is no bracket to draw."


def test_a_bare_outline_gets_one():
    path = Path.through([(0, 0), (200, 0), (200, 500), (0, 500)], closed=True)
    (mark,) = of_kind(grain(bare(path), Chosen((PickedOutline("line", ""),)), along="2").pattern.pieces[0])
    assert way_of(mark) == pytest.approx((0, 1), abs=1e-12)


def test_a_bias_arrow_serves_all_sizes_where_it_is_long_enough_in_the_smallest():
    """Squares of 200 and 300 mm about one middle: the diagonal of the smaller is 282.8, 70 % of it 198."""
    outlines = [
        named(Path.through([(-a, -a), (a, -a), (a, a), (-a, a)], closed=True), "a b c d", "piece")
        for a in (100.0, 150.0)
    ]
    sizes = (one.outlines[0]._replace(size=size) for one, size in zip(outlines, "12"))
    piece = outlines[0]._replace(outlines=tuple(sizes))
    made = grain(Pattern((piece,)), along="a", angle=45.0).pattern.pieces[0]
    (line,) = [mark for mark in made.marks if mark.kind == GRAIN]
    way = line.shaft.end - line.shaft.start
    assert line.size == "" and np.hypot(*way) == pytest.approx(0.7 * 200.0 * 2.0**0.5, abs=0.01)
    assert abs(way[0]) == pytest.approx(abs(way[1]))


def test_it_keeps_clear_of_every_stroke_of_a_mark():
    """A cross drawn as two strokes in one path, right over the middle: its second stroke counts as well."""
    square = Path.through([(0, 0), (200, 0), (200, 300), (0, 300)], closed=True)
    strokes = Path(lines(np.array([(10.0, 20.0), (100.0, 100.0)]), np.array([(20.0, 20.0), (100.0, 200.0)])))
    piece = named(square, "top side hem centre", "piece")
    piece = piece._replace(marks=(Mark(INNER, "pocket", "", strokes),))
    (line,) = [
        mark
        for mark in grain(Pattern((piece,)), along="centre").pattern.pieces[0].marks
        if mark.kind == GRAIN
    ]
    assert abs(line.shaft.start[0] - 100.0) >= 6.0
