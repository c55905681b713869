"""A dart moved parallel: closed forms on R1 and on a straight waist, laws that hold however it lies."""

import cmath
import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, cut_curve
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.changed_dart import with_changes
from sewkit.pattern.dart import dart_named
from sewkit.pattern.dart_added import Shape, added
from sewkit.pattern.dart_moved import moved_dart
from sewkit.pattern.dart_width import moved_back
from sewkit.pattern.mark import On
from sewkit.pattern.way_out import out_of
from tests.geometry.shapes import R1
from tests.operations.length_pieces import drill, tangent_at_end, tangent_at_start
from tests.operations.pieces import R1_EDGES, dense, named, named_outline, notch, r1
from tests.pattern.test_dart_width import BENT

# A dart 24 wide and 118 long in a straight waist, drawn with its mouth in line.
WAIST = Path.through(
    [(0, 0), (240, 0), (240, 300), (132, 300), (120, 182), (108, 300), (0, 300)], closed=True
)


def waist(**more):
    return named(WAIST, "top side waist dart dart waist centre", "front", darts=("dart",), **more)


def bent():
    return named(BENT, "waist dart dart waist side hem centre", "skirt", darts=("dart",))


def closed_curve():
    """One cubic from (0, 0) to (300, 40) with its node at 0.4, opened there by 10 degrees about a point."""
    whole = np.array([(0, 0), (100, -10), (200, 0), (300, 40)], float)
    first, second = cut_curve(whole, 0.0, 0.4), cut_curve(whole, 0.4, 1.0)
    point = first[3] + (10, 90)
    second = turn(10.0, point).points(second)
    straight = Path.through([first[3], point, second[0]]).curves
    end = second[3]
    rest = Path.through([end, end + (0, 300), (0, 300), (0, 0)]).curves
    path = Path(np.concatenate([first[None], straight, second[None], rest]), closed=True)
    return named(path, "waist dart dart waist side hem centre", "skirt", darts=("dart",))


def one_curve():
    """A waist of one cubic, a dart drawn over it with its mouth on it."""
    whole = np.array([(0, 0), (100, -10), (200, 0), (300, 40)], float)
    first, second = cut_curve(whole, 0.0, 0.4), cut_curve(whole, 0.48, 1.0)
    point = (first[3] + second[0]) / 2 + (0, 100)
    straight = Path.through([first[3], point, second[0]]).curves
    rest = Path.through([second[3], (300, 300), (0, 300), (0, 0)]).curves
    path = Path(np.concatenate([first[None], straight, second[None], rest]), closed=True)
    return named(path, "waist dart dart waist side hem centre", "skirt", darts=("dart",))


def the_dart(piece, outline=None):
    return dart_named(piece, outline or piece.outlines[0], "dart")


def go(piece, *vector):
    return moved_dart(piece, piece.outlines[0], the_dart(piece), np.array(vector, float))


def closed_kink(piece, outline):
    """How the edge turns over the closed dart (degrees), worked with complex numbers."""
    dart = the_dart(piece, outline)
    runs = outline.runs(outline.edges[dart.edges[0] - 1].name)
    u, v = (complex(*t) for t in (tangent_at_end(runs[0]), tangent_at_start(runs[1])))
    one, other = (complex(*(end - dart.point)) for end in dart.mouth)
    return math.degrees(cmath.phase(v * (one / other) / abs(one / other) / u))


def test_a_seam_straight_when_sewn_stays_straight():
    """R1 20 mm lower: turned back by 9 degrees about the new point, the side is one line."""
    piece = r1()
    made = go(piece, 0, 20)
    dart = the_dart(piece, made.outline)
    np.testing.assert_allclose(dart.point, (95, 285), atol=1e-9)
    assert dart.angle == pytest.approx(the_dart(piece).angle, abs=1e-10)
    assert dart.lengths[0] == pytest.approx(dart.lengths[1], abs=1e-3)
    point, back = complex(95, 285), cmath.exp(-1j * math.radians(dart.angle))
    waist_end = point + (complex(210.017, 440.149) - point) * back
    under, first = complex(250, 230), complex(*dart.mouth[0])
    second = point + (complex(*dart.mouth[1]) - point) * back
    assert abs(first - second) < 1e-3
    assert abs(((first - under) / (waist_end - under)).imag) * abs(waist_end - under) < 2e-3
    # As sewn the side is that one line.
    assert made.outline.as_sewn("side") == pytest.approx(abs(waist_end - under), abs=2e-3)
    for run, far in zip(made.outline.runs("side"), ((250, 230), (210.017, 440.149))):
        assert len(run) == 1
        assert min(np.hypot(*(run.start - far)), np.hypot(*(run.end - far))) < 1e-9


def test_along_a_straight_waist_nothing_but_the_place_changes():
    piece = waist()
    made = go(piece, -30, 0)
    dart = the_dart(piece, made.outline)
    np.testing.assert_allclose(dart.mouth, [(102, 300), (78, 300)], atol=1e-9)
    np.testing.assert_allclose(dart.point, (90, 182), atol=1e-9)
    assert made.outline.as_sewn("waist") == pytest.approx(216.0, abs=1e-9)
    # 20 mm higher: similar triangles, the mouth is 24 * 138 / 118 wide.
    dart = the_dart(piece, go(piece, 0, -20).outline)
    assert dart.intake == pytest.approx(24 * 138 / 118, abs=1e-9)
    np.testing.assert_allclose(dart.mouth[:, 1], 300, atol=1e-9)


def test_a_curve_runs_on_over_the_closed_dart_at_the_new_place():
    piece = closed_curve()
    for vector in ((30, 5), (-20, 0), (0, 15)):
        made = go(piece, *vector)
        assert abs(closed_kink(piece, made.outline)) < 1e-6
        assert the_dart(piece, made.outline).angle == pytest.approx(10.0, abs=1e-9)
        legs = the_dart(piece, made.outline).lengths
        assert legs[0] == pytest.approx(legs[1], abs=1e-6)


def test_a_curve_drawn_on_over_the_mouth_stays_where_it_is():
    piece = bent()
    made = go(piece, -60, 3)
    for run in made.outline.runs("waist"):
        away = [nearest(BENT, spot).distance for spot in dense(run, 40) if not 189 < spot[0] < 211]
        assert max(away) < 1e-6


@pytest.mark.parametrize(
    "piece, vector",
    [
        (r1(), (0, 20)),
        (r1(), (10, -15)),
        (waist(), (-30, 4)),
        (closed_curve(), (25, 5)),
        (bent(), (20, 0)),
        (bent(), (-60, 3)),
        (
            r1()._replace(outlines=(moved_back(r1(), r1().outlines[0], the_dart(r1()), 25.0).outline,)),
            (0, 20),
        ),
    ],
)
def test_there_and_back_is_the_same(piece, vector):
    there = piece.with_outline(go(piece, *vector).outline)
    back = go(there, *(-number for number in vector)).outline
    assert max(nearest(piece.outlines[0].path, spot).distance for spot in dense(back.path, 60)) < 0.01
    assert the_dart(piece, back).lengths == pytest.approx(the_dart(piece).lengths, abs=0.01)


@pytest.mark.parametrize("piece", [one_curve(), closed_curve(), waist(), r1()])
def test_there_and_back_leaves_no_node(piece):
    for vector in ((12, 0), (-20, 6), (0, 15)):
        there = piece.with_outline(go(piece, *vector).outline)
        back = go(there, *(-number for number in vector)).outline
        assert len(back.path) == len(piece.outlines[0].path)
        np.testing.assert_allclose(back.path.curves, piece.outlines[0].path.curves, atol=1e-4)


@pytest.mark.parametrize("frame", [turn(73), mirror((0, 0), (1, 2)), turn(181).then(move(900, -20))])
@pytest.mark.parametrize("piece", [r1(), closed_curve(), bent()])
def test_it_is_the_same_however_the_piece_lies(frame, piece):
    vector = np.array([6.0, 14.0])
    wanted = frame.path(go(piece, *vector).outline.path)
    there = piece._replace(outlines=(piece.outlines[0]._replace(path=frame.path(piece.outlines[0].path)),))
    way = frame.points(vector) - frame.points(np.zeros(2))
    np.testing.assert_allclose(go(there, *way).outline.path.curves, wanted.curves, atol=1e-6)


@pytest.mark.parametrize("vector", [(0, 20), (0, -110)])
def test_a_reversed_path_gives_the_same(vector):
    there = r1()._replace(outlines=(named_outline(R1.reverse(), " ".join(reversed(R1_EDGES.split()))),))
    made, wanted = go(there, *vector).outline.path.reverse(), go(r1(), *vector).outline.path
    assert max(nearest(wanted, spot).distance for spot in dense(made, 40)) < 1e-4


def test_another_edge_only_where_both_legs_reach_it():
    piece = r1()
    made = go(piece, 0, -110)
    names = [edge.name for edge in made.outline.edges]
    assert names == "neck shoulder armhole dart dart armhole side waist centre".split()
    assert len(made.outline.runs("side")[0]) == 1  # one line again
    assert the_dart(piece, made.outline).angle == pytest.approx(the_dart(piece).angle, abs=1e-9)
    with pytest.raises(InputError) as told:
        go(piece, 0, -60)
    assert told.value.code == "overlap" and "'armhole'" in str(told.value)


def test_marks_of_the_dart_go_along_and_others_stay():
    marks = (
        notch("side", 30.0),
        notch("side", 30.0, True),
        notch("waist", 50.0),
        drill(130.0, 272.0),
        drill(95.0, 265.0, "apex"),
        drill(40.0, 300.0),
    )
    mouth = r1().outlines[0].runs("side")[0]
    at = math.hypot(*(mouth.end - mouth.start))
    piece = r1(marks=marks + (notch("side", at),))
    made = go(piece, 0, 20)
    new, lost = with_changes(piece, {"": made})
    assert lost == 0
    assert [mark.on for mark in new.marks[:3]] == [mark.on for mark in marks[:3]]
    np.testing.assert_allclose(new.marks[3].middle, (130, 292), atol=1e-9)
    np.testing.assert_allclose(new.marks[4].middle, (95, 265), atol=1e-9)
    np.testing.assert_allclose(new.marks[5].middle, (40, 300), atol=1e-9)
    side = made.outline.runs("side")[0]
    assert new.marks[6].on == On("side", pytest.approx(math.hypot(*(side.end - side.start)), abs=1e-9))


def test_out_is_away_from_the_fold_however_the_piece_lies():
    for frame in (turn(0), mirror((0, 0), (0, 1)), turn(120)):
        piece = r1(folds=("centre",))
        piece = piece._replace(
            outlines=(piece.outlines[0]._replace(path=frame.path(piece.outlines[0].path)),)
        )
        down = frame.points(np.array([0.0, 1.0])) - frame.points(np.zeros(2))
        wanted = frame.points(np.array([1.0, 0.0])) - frame.points(np.zeros(2))
        np.testing.assert_allclose(out_of(piece, piece.outlines[0], tuple(down)), wanted, atol=1e-9)


@pytest.mark.parametrize("vector", [(0, 400), (400, 0), (0, 145), (-200, 0)])
def test_what_cannot_be_is_said(vector):
    with pytest.raises(InputError) as told:
        go(r1(), *vector)
    assert told.value.code == "overlap"


def test_a_dart_ends_neither_on_a_fold_nor_on_another_dart():
    piece = waist(folds=("side",))
    turned = r1(folds=("armhole",))
    with pytest.raises(InputError) as told:
        go(turned, 0, -110)
    assert told.value.code == "overlap" and "fold" in str(told.value)
    two = added(piece, piece.outlines[0], On("waist", 200.0), Shape(20.0, length=150.0), "other")
    with pytest.raises(InputError) as told:
        go(piece._replace(darts=("dart", "other")).with_outline(two.outline), -80, -60)
    assert told.value.code == "overlap" and "'other'" in str(told.value)


def test_a_dart_at_a_corner_of_the_piece_is_turned_and_not_moved():
    piece = named(R1, "neck shoulder armhole side dart dart front waist centre", darts=("dart",))
    with pytest.raises(InputError) as told:
        go(piece, 0, 10)
    assert told.value.code == "corners"


def test_a_round_piece_has_one_edge_all_round():
    """A circle of radius 100 with a dart of 20 degrees cut in from the right to 50 mm from its middle."""
    way = np.radians(10.0)
    ends = [(100 * math.cos(side * way), 100 * math.sin(side * way)) for side in (1, -1)]
    curves, angles = [], np.linspace(way, 2 * math.pi - way, 9)
    for one, other in zip(angles, angles[1:]):
        handle = 4 / 3 * math.tan((other - one) / 4) * 100
        u, v = (np.array([math.cos(a), math.sin(a)]) for a in (one, other))
        left, right = np.array([-u[1], u[0]]), np.array([-v[1], v[0]])
        curves.append([100 * u, 100 * u + handle * left, 100 * v - handle * right, 100 * v])
    legs = Path.through([ends[1], (50, 0), ends[0]]).curves
    path = Path(np.concatenate([np.array(curves), legs]), closed=True)
    piece = named(path, "round dart dart", "cap", darts=("dart",))
    made = go(piece, 0, 12)
    dart = the_dart(piece, made.outline)
    assert dart.angle == pytest.approx(the_dart(piece).angle, abs=1e-9)
    np.testing.assert_allclose(dart.point, (50, 12), atol=1e-9)
    np.testing.assert_allclose(np.hypot(*dart.mouth.T), 100, atol=0.02)
    back = go(piece.with_outline(made.outline), 0, -12).outline
    assert max(nearest(path, spot).distance for spot in dense(back.path, 30)) < 0.01
