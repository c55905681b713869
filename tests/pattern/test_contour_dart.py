"""A dart with two points, drawn inside the piece: worked by hand on a diamond 20 wide and 180 long."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.transform import mirror, turn
from sewkit.pattern.contour_dart import halves, reshaped, shifted, widest
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.mark import DART, Mark
from tests.operations.length_pieces import drill
from tests.operations.pieces import named

BODY = Path.through([(0, 0), (200, 0), (200, 500), (0, 500)], closed=True)
DIAMOND = Path.through([(100, 100), (110, 200), (100, 280), (90, 200), (100, 100)])
LENS = Path(
    [[(100, 100), (110, 160), (110, 220), (100, 280)], [(100, 280), (90, 220), (90, 160), (100, 100)]]
)


def body(shape=DIAMOND, *marks, frame=None):
    path = BODY if frame is None else frame.path(BODY)
    shape = shape if frame is None else frame.path(shape)
    return named(path, "top side hem centre", "back", marks=(Mark(DART, "waist-dart", path=shape), *marks))


def the_dart(piece):
    found = drawn_darts(piece, "")
    assert len(found) == 1 and found[0].contour
    return found[0]


def changed(piece, wide=1.0, long=(1.0, 1.0)):
    drawn = the_dart(piece)
    # The order of its points is that of the drawing; here the upper one comes first.
    long = long if drawn.points[0][1] < drawn.points[1][1] else long[::-1]
    return reshaped(piece, piece.outlines[0], drawn, wide, long)


def test_it_is_measured_from_where_it_is_widest():
    assert sorted(halves(the_dart(body()))) == pytest.approx([80.0, 100.0])
    assert widest(the_dart(body(LENS))) == pytest.approx(90.0, abs=1e-6)


@pytest.mark.parametrize("shape", [DIAMOND, LENS])
def test_wider_keeps_its_points_and_its_middle(shape):
    new = the_dart(changed(body(shape), 1.5))
    assert new.intake == pytest.approx(1.5 * the_dart(body(shape)).intake, rel=1e-6)
    np.testing.assert_allclose(sorted(new.points[:, 1]), [100, 280], atol=1e-9)
    np.testing.assert_allclose(new.points[:, 0], 100, atol=1e-9)


def test_longer_at_one_end_leaves_the_other():
    new = the_dart(changed(body(), long=(1.2, 1.0)))
    np.testing.assert_allclose(sorted(new.points[:, 1]), [80, 280], atol=1e-9)
    assert new.intake == pytest.approx(20.0, abs=1e-9)
    assert sorted(halves(new)) == pytest.approx([80.0, 120.0])


def test_there_and_back_and_however_it_lies():
    back = changed(changed(body(), 1.5, (1.2, 0.9)), 1 / 1.5, (1 / 1.2, 1 / 0.9))
    np.testing.assert_allclose(back.marks[0].path.nodes, body().marks[0].path.nodes, atol=1e-9)
    for frame in (turn(40), mirror((0, 0), (3, 1))):
        piece = body(frame=frame)
        drawn = the_dart(piece)
        up = np.argmin(np.hypot(*(drawn.points - frame.points(np.array([100, 100]))).T))
        made = reshaped(piece, piece.outlines[0], drawn, 1.5, (1.2, 0.9) if up == 0 else (0.9, 1.2))
        wanted = frame.path(changed(body(), 1.5, (1.2, 0.9)).marks[0].path)
        np.testing.assert_allclose(made.marks[0].path.nodes, wanted.nodes, atol=1e-9)


def test_moved_whole_with_the_drill_marks_in_it_and_no_others():
    piece = body(DIAMOND, drill(100, 112), drill(100, 280), drill(50, 200), drill(105, 150, "apex"))
    new = shifted(piece, piece.outlines[0], the_dart(piece), np.array([10.0, -5.0]))
    np.testing.assert_allclose(new.marks[0].path.nodes, DIAMOND.nodes + (10, -5), atol=1e-9)
    middles = np.array([mark.middle for mark in new.marks[1:]])
    np.testing.assert_allclose(middles, [(110, 107), (110, 275), (50, 200), (105, 150)], atol=1e-9)
    assert new.outlines == piece.outlines


@pytest.mark.parametrize(
    "change, code",
    [
        (lambda p: shifted(p, p.outlines[0], the_dart(p), np.array([95.0, 0.0])), "overlap"),
        (lambda p: changed(p, long=(5.0, 1.0)), "overlap"),
        (lambda p: changed(p, long=(0.01, 0.01)), "value"),
    ],
)
def test_it_stays_within_the_piece(change, code):
    with pytest.raises(InputError) as told:
        change(body())
    assert told.value.code == code


def test_one_side_may_bend_too_little_for_a_corner_at_the_widest():
    """The sides turn by 2 atan(10/90) = 12.7 and 2 atan(8/90) = 10.2 degrees: three corners in all."""
    shape = Path.through([(100, 100), (110, 190), (100, 280), (92, 190), (100, 100)])
    for bend in (shape, shape.reverse()):
        drawn = the_dart(body(bend))
        assert sorted(drawn.points[:, 1]) == pytest.approx([100.0, 280.0])
        assert drawn.intake == pytest.approx(18.0)


def test_a_straight_stretch_at_the_waist_and_a_line_along_the_middle_are_no_hindrance():
    long = [(100, 100), (110, 180), (110, 200), (100, 280), (90, 200), (90, 180), (100, 100)]
    for centre in ([], [(100, 280)]):
        drawn = the_dart(body(Path.through([*long, *centre])))
        assert sorted(drawn.points[:, 1]) == pytest.approx([100.0, 280.0])
        assert drawn.intake == pytest.approx(20.0)


def test_a_triangle_inside_a_piece_has_one_point():
    shape = Path.through([(100, 30), (90, 130), (110, 130), (100, 30)])
    assert not any(drawn.contour for drawn in drawn_darts(body(shape), ""))
