"""Legs made equally long: lengths from closed forms and numpy's own integration."""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path, end_tangents, start_tangents
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.contour_trued import trued_contour
from sewkit.pattern.dart import darts_of
from sewkit.pattern.dart_legs import equal, equal_contour
from sewkit.pattern.drawn_dart import drawn_darts
from sewkit.pattern.mark import DART, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.notch_places import moved
from tests.geometry.shapes import outline
from tests.operations.length_pieces import between, ruler
from tests.operations.pieces import named, notch

EDGES = "waist dart dart waist side hem centre"
# Legs to (0, 120) from (-15, 0) and, 3 mm nearer along its own line, from near (15, 0).
LEG = math.hypot(15, 120)
SHORT = (15 - 3 * 15 / LEG, 3 * 120 / LEG)


def block(second=SHORT, left=None, right=None, down=None, up=None):
    """A piece with a waist at its top and a dart in it; handles of the edges and legs are optional."""
    path = outline(
        (-200, 10),
        (*left, (-15, 0)) if left else (-15, 0),
        (*down, (0, 120)) if down else (0, 120),
        (*up, second) if up else second,
        (*right, (200, 10)) if right else (200, 10),
        (200, 300),
        (-200, 300),
        (-200, 10),
    )
    return named(path, EDGES, darts=("dart",))


def trued(piece):
    shape = piece.outlines[0]
    made = equal(shape, darts_of(piece, shape)[0])
    return made, darts_of(piece, made.outline)[0]


def test_each_end_slides_along_its_own_leg_to_the_mean():
    made, dart = trued(block())
    assert made.difference == pytest.approx(3.0, abs=1e-9)
    assert dart.lengths == pytest.approx((LEG - 1.5, LEG - 1.5), abs=1e-9)
    down = np.array([15, 120]) / LEG
    assert dart.mouth[0] == pytest.approx(np.array([-15, 0]) + 1.5 * down, abs=1e-9)
    assert dart.mouth[1] == pytest.approx(np.array(SHORT) + 1.5 * np.array([15, -120]) / LEG, abs=1e-9)
    assert dart.point == pytest.approx((0, 120))
    # Straight edges stay straight, and all else stays.
    old = block().outlines[0].path
    for run, start, end in zip(made.outline.runs("waist"), [(-200, 10), None], [None, (200, 10)]):
        assert len(run) == 1 and ruler(run) == pytest.approx(np.hypot(*(run.end - run.start)))
        assert start is None or run.start == pytest.approx(start)
        assert end is None or run.end == pytest.approx(end)
    assert (made.outline.path.curves[4:] == old.curves[4:]).all()


def test_equal_legs_stay_to_the_last_bit():
    piece = block(second=(15, 0))
    made, _ = trued(piece)
    assert made.outline is piece.outlines[0] and made.gains == ()


def test_bent_legs_get_the_same_length_along_them():
    piece = block(down=((-12, 40), (-4, 90)), up=((4, 90), (11, 44)))
    made, _ = trued(piece)
    first, second = (ruler(run) for run in piece.outlines[0].runs("dart"))
    legs = [ruler(run) for run in made.outline.runs("dart")]
    assert legs == pytest.approx([(first + second) / 2] * 2, abs=1e-4)
    assert made.difference == pytest.approx(first - second, abs=1e-4)
    # A leg that was prolonged goes on in its direction.
    longer = made.outline.runs("dart")[1]
    assert abs(between(end_tangents(longer.curves)[0], end_tangents(longer.curves)[-1])) < 1e-6


def test_a_bent_edge_keeps_its_directions():
    piece = block(left=((-140, -12), (-60, -9)), right=((80, -8), (150, -3)))
    made, dart = trued(piece)
    for old, new in zip(piece.outlines[0].runs("waist"), made.outline.runs("waist")):
        assert start_tangents(new.curves)[0] == pytest.approx(start_tangents(old.curves)[0], abs=1e-9)
        assert end_tangents(new.curves)[-1] == pytest.approx(end_tangents(old.curves)[-1], abs=1e-9)
    assert made.outline.runs("waist")[0].end == pytest.approx(dart.mouth[0], abs=1e-12)


def test_moves_mirrors_and_the_drawn_direction_change_nothing():
    _, dart = trued(block())
    for frame in (turn(31.0).then(move(7, 3)), mirror((10, 0), (1, 3))):
        piece = block()
        shape = piece.outlines[0]
        piece = piece.with_outline(shape._replace(path=frame.path(shape.path)))
        assert trued(piece)[1].mouth == pytest.approx(frame.points(dart.mouth), abs=1e-9)
    backwards = named(
        block().outlines[0].path.reverse(), "centre hem side waist dart dart waist", darts=("dart",)
    )
    assert trued(backwards)[1].mouth[::-1] == pytest.approx(dart.mouth, abs=1e-9)


def test_notches_stay_where_they_were_on_the_cloth():
    piece = block()
    made, _ = trued(piece)
    old = piece.outlines[0]
    before = math.hypot(185, 10)
    for mark in (notch("waist", 60.0), notch("waist", 40.0, True), notch("waist", before + 70.0)):
        was = spot_of(old, mark.on).point
        now = spot_of(made.outline, moved(mark, old, made.outline, made.gains).on).point
        # Straight edges turn by 1.5 mm in 185 at most, and the notch goes along by less.
        assert np.hypot(*(now - was)) < 1.5
    # Near the far ends next to nothing moves.
    mark = notch("waist", 5.0, True)
    now = spot_of(made.outline, moved(mark, old, made.outline, made.gains).on).point
    assert np.hypot(*(now - spot_of(old, mark.on).point)) < 0.1


def test_an_edge_too_short_for_its_new_end_is_refused():
    path = outline((-45, 0), (-15, 0), (0, 120), (14, 5), (200, 10), (200, 300), (-45, 300), (-45, 0))
    piece = named(path, EDGES, darts=("dart",))
    assert trued(piece)[0].difference > 0
    # The legs differ by 70 mm: the left end would slide by 35 beside an edge of 30.
    path = outline((-45, 0), (-15, 0), (0, 120), (6, 71), (200, 10), (200, 300), (-45, 300), (-45, 0))
    with pytest.raises(InputError) as told:
        trued(named(path, EDGES, darts=("dart",)))
    assert "cannot be drawn to their new ends" in str(told.value)


# -- two points ---------------------------------------------------------------------------


def contour(*spots):
    mark = Mark(DART, "waist-dart", "", Path.through(spots, closed=True))
    path = outline((-200, 0), (200, 0), (200, 400), (-200, 400), (-200, 0))
    return named(path, "top side hem centre", marks=(mark,))


def test_a_dart_with_two_points_is_alike_on_both_sides():
    piece = contour((0, 100), (-14, 200), (0, 330), (17, 205))
    [drawn] = drawn_darts(piece, "")
    new, difference = trued_contour(piece, "", drawn)
    upper = (math.hypot(14, 100) + math.hypot(17, 105)) / 2
    lower = (math.hypot(14, 130) + math.hypot(17, 125)) / 2
    assert difference == pytest.approx(math.hypot(17, 105) - math.hypot(14, 100), abs=1e-9)
    [again] = drawn_darts(new, "")
    assert again.contour and again.points == pytest.approx(drawn.points)
    for leg in again.legs:
        assert [ruler(leg.part(0, 1)), ruler(leg.part(1, 2))] == pytest.approx([upper, lower], abs=1e-6)
    # The sides are mirror images in the line between the points, here x = 0.
    assert again.legs[0].nodes[1] * (-1, 1) == pytest.approx(again.legs[1].nodes[1], abs=1e-9)
    assert trued_contour(new, "", again)[0] is new


def test_legs_too_unlike_are_refused():
    # One leg winds over 230 mm and is much longer than its chords; the other is nearly straight.
    # Scaled down to the mean, the winding one no longer reaches from point to point.
    piece = contour((0, 100), (-30, 200), (0, 330), (30, 200))
    [drawn] = drawn_darts(piece, "")
    curves = [[(0, 100), (90, 130), (-90, 190), (5, 215)], [(5, 215), (90, 240), (-90, 300), (0, 330)]]
    flat = Path.through([(0, 100), (-5, 215), (0, 330)])
    assert ruler(Path(curves)) > 1.1 * ruler(flat)
    with pytest.raises(InputError) as told:
        equal_contour(drawn._replace(legs=(Path(curves), flat)))
    assert "too unlike" in str(told.value)
