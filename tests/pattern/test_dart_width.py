"""A dart made wider, narrower, longer, shorter: closed forms on R1, laws that hold however it lies.

R1's dart is 9 degrees about A (95, 265); a mouth w wide between legs l long opens by 2 asin(w / 2l).
"""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.changed_dart import with_changes
from sewkit.pattern.dart import dart_named
from sewkit.pattern.dart_width import angle_for, backed, longer, moved_back, wider
from sewkit.pattern.edge_end import moved_end
from tests.geometry.shapes import R1
from tests.operations.length_pieces import drill, tangent_at_end, tangent_at_start
from tests.operations.pieces import R1_EDGES, dense, named, named_outline, notch, r1

# Seam lines of a triangle's foot: straight, 400 wide, a dart of legs 100 in the middle of a bent edge.
BENT = Path(
    [
        [(0, 0), (100, -20), (150, 0), (190, 0)],
        [(190, 0), (193, 33), (197, 67), (200, 100)],
        [(200, 100), (203, 67), (207, 33), (210, 0)],
        [(210, 0), (250, 0), (300, -20), (400, 0)],
        [(400, 0), (400, 100), (400, 200), (400, 300)],
        [(400, 300), (267, 300), (133, 300), (0, 300)],
        [(0, 300), (0, 200), (0, 100), (0, 0)],
    ],
    closed=True,
)


def bent():
    return named(BENT, "waist dart dart waist side hem centre", "skirt", darts=("dart",))


def the_dart(piece, outline=None):
    outline = outline or piece.outlines[0]
    return dart_named(piece, outline, "dart")


@pytest.mark.parametrize("width", [5.0, 12.0, 30.0, 60.0])
def test_a_width_at_the_edge_is_exact_and_the_legs_keep_their_length(width):
    piece = r1()
    dart = the_dart(piece)

    made = wider(piece, piece.outlines[0], dart, angle_for(dart, width))

    new = the_dart(piece, made.outline)
    assert new.intake == pytest.approx(width, abs=1e-9)
    assert new.angle == pytest.approx(2 * math.degrees(math.asin(width / (2 * 152.258))), abs=0.01)
    assert new.lengths == pytest.approx(dart.lengths, abs=1e-9)
    np.testing.assert_allclose(new.point, (95, 265), atol=1e-9)


def test_published_width_and_leg_give_the_published_angle():
    """Width 2 between legs of 13 is 8.8235 degrees (drafting by a published width and leg formula)."""
    half = math.asin(1 / 13)
    point, ends = (
        np.array([200.0, 130.0]),
        [(200 - 130 * math.sin(s * half), 130 - 130 * math.cos(half)) for s in (1, -1)],
    )
    path = Path.through([(0, 0), ends[0], point, ends[1], (400, 0), (400, 300), (0, 300)], closed=True)
    piece = named(path, "waist dart dart waist side hem centre", darts=("dart",))
    assert the_dart(piece).angle == pytest.approx(8.8235, abs=1e-3)
    assert angle_for(the_dart(piece), 20.0) == pytest.approx(8.8235, abs=1e-3)


def test_straight_stays_straight_and_a_curve_keeps_its_far_direction():
    side = wider(r1(), r1().outlines[0], the_dart(r1()), 14.0).outline.runs("side")
    for run in side:
        chord = run.end - run.start
        away = (run.curves - run.start) @ [-chord[1], chord[0]] / np.hypot(*chord)
        assert np.abs(away).max() < 1e-9
    np.testing.assert_allclose(side[0].start, (250, 230), atol=1e-9)
    np.testing.assert_allclose(side[1].end, (210.017, 440.149), atol=1e-9)

    piece = bent()
    before = piece.outlines[0].runs("waist")
    after = wider(piece, piece.outlines[0], the_dart(piece), 20.0).outline.runs("waist")
    np.testing.assert_allclose(tangent_at_start(after[0]), tangent_at_start(before[0]), atol=1e-9)
    np.testing.assert_allclose(tangent_at_end(after[1]), tangent_at_end(before[1]), atol=1e-9)


def test_a_curved_edge_keeps_its_angle_with_the_leg():
    piece = bent()
    made = wider(piece, piece.outlines[0], the_dart(piece), 20.0)
    for outline, dart in (
        (piece.outlines[0], the_dart(piece)),
        (made.outline, the_dart(piece, made.outline)),
    ):
        u, v = tangent_at_end(outline.runs("waist")[0]), tangent_at_start(dart.first)
        cosine = float(u @ v)
        assert cosine == pytest.approx(float(np.array([1, 0]) @ [3, 33]) / math.hypot(3, 33), abs=1e-9)


@pytest.mark.parametrize("piece", [r1(), bent()], ids=["straight", "bent"])
def test_there_and_back_is_the_same(piece):
    outline, dart = piece.outlines[0], the_dart(piece)
    there = wider(piece, outline, dart, dart.angle + 6.0).outline
    back = wider(piece, there, the_dart(piece, there), dart.angle).outline
    np.testing.assert_allclose(dense(back.path), dense(outline.path), atol=1e-6)
    there = longer(piece, outline, dart, 90.0).outline
    back = longer(piece, there, the_dart(piece, there), dart.depth).outline
    np.testing.assert_allclose(dense(back.path), dense(outline.path), atol=1e-3)


@pytest.mark.parametrize("frame", [turn(73), mirror((0, 0), (1, 2)), turn(181).then(move(900, -20))])
@pytest.mark.parametrize("change", [lambda *a: wider(*a, 15.0), lambda *a: longer(*a, 100.0)])
def test_it_is_the_same_however_the_piece_lies(frame, change):
    for piece in (r1(), bent()):
        wanted = frame.path(change(piece, piece.outlines[0], the_dart(piece)).outline.path)
        there = piece._replace(
            outlines=(piece.outlines[0]._replace(path=frame.path(piece.outlines[0].path)),)
        )
        made = change(there, there.outlines[0], the_dart(there)).outline
        np.testing.assert_allclose(made.path.curves, wanted.curves, atol=1e-8)


def test_a_reversed_path_gives_the_same():
    there = named_outline(R1.reverse(), " ".join(reversed(R1_EDGES.split())))
    piece = r1()._replace(outlines=(there,))
    made = wider(piece, there, the_dart(piece), 15.0).outline
    wanted = wider(r1(), r1().outlines[0], the_dart(r1()), 15.0).outline
    np.testing.assert_allclose(made.path.reverse().curves, wanted.path.curves, atol=1e-9)


def test_a_point_backed_off_keeps_equal_legs():
    """R1, 25 mm: point (119.454, 270.194), legs 127.350, 10.765 degrees (reference numbers)."""
    piece = r1()
    for made in (
        moved_back(piece, piece.outlines[0], the_dart(piece), 25.0),
        backed(piece, piece.outlines[0], the_dart(piece), np.array([95.0, 265.0]), 25.0),
    ):
        new = the_dart(piece, made.outline)
        np.testing.assert_allclose(new.point, (119.454, 270.194), atol=2e-3)
        assert new.lengths == pytest.approx((127.350, 127.350), abs=2e-3)
        assert new.angle == pytest.approx(10.765, abs=1e-3)
        assert new.intake == pytest.approx(23.892, abs=1e-3)


def test_longer_is_from_the_middle_of_the_mouth():
    piece = r1()
    new = the_dart(piece, longer(piece, piece.outlines[0], the_dart(piece), 100.0).outline)
    assert math.hypot(*(new.middle - new.point)) == pytest.approx(100.0, abs=1e-9)
    assert new.lengths[0] == pytest.approx(math.hypot(100.0, 23.892 / 2), abs=1e-3)


def test_bent_legs_keep_their_shape():
    curves = np.array(R1.curves)
    curves[5, 1:3] += (0, 6)
    curves[6, 1:3] += (0, -6)
    piece = named(Path(curves, True), R1_EDGES, darts=("dart",))
    old, new = (
        the_dart(piece, outline).first
        for outline in (piece.outlines[0], longer(piece, piece.outlines[0], the_dart(piece), 100.0).outline)
    )

    def shape(path):
        flat = (path.curves - path.start) @ [1, 1j]
        return flat / flat[-1, 3]

    np.testing.assert_allclose(shape(new), shape(old), atol=1e-9)


def test_notches_keep_their_place_and_the_drill_mark_of_the_dart_goes_along():
    marks = (
        notch("side", 20.0),
        notch("side", 30.0, True),
        notch("dart", 0.0),
        drill(107.0, 268.0),
        drill(95.0, 265.0, "apex"),
    )
    piece = r1(marks=marks)
    made = wider(piece, piece.outlines[0], the_dart(piece), 12.0)
    new, lost = with_changes(piece, {"": made})
    assert lost == 0
    assert [mark.on for mark in new.marks[:3]] == [mark.on for mark in marks[:3]]
    made = moved_back(piece, piece.outlines[0], the_dart(piece), 10.0)
    new, _ = with_changes(piece, {"": made})
    shift = np.array(the_dart(piece, made.outline).point) - (95, 265)
    np.testing.assert_allclose(new.marks[3].middle, (107.0, 268.0) + shift, atol=1e-9)
    np.testing.assert_allclose(new.marks[4].middle, (95.0, 265.0), atol=1e-9)


@pytest.mark.parametrize(
    "change, code",
    [
        (lambda p, o, d: wider(p, o, d, angle_for(d, 0.0)), "vanish"),
        (lambda p, o, d: wider(p, o, d, 0.0), "vanish"),
        (lambda p, o, d: wider(p, o, d, angle_for(d, 290.0)), "value"),
        (lambda p, o, d: wider(p, o, d, 130.0), "value"),
        (lambda p, o, d: wider(p, o, d, 80.0), "overlap"),
        (lambda p, o, d: longer(p, o, d, 2.0), "value"),
        (lambda p, o, d: longer(p, o, d, 400.0), "overlap"),
        (lambda p, o, d: moved_back(p, o, d, 200.0), "value"),
        (lambda p, o, d: wider(p._replace(folds=("side",)), o, d, 12.0), "fold"),
    ],
)
def test_what_cannot_be_is_said(change, code):
    piece = r1()
    with pytest.raises(InputError) as told:
        change(piece, piece.outlines[0], the_dart(piece))
    assert told.value.code == code


def test_an_end_goes_back_where_it_was():
    run = Path([[(0, 0), (30, -10), (60, 5), (90, 0)], [(90, 0), (110, -3), (120, 4), (140, 10)]])
    back = moved_end(moved_end(run, np.array([150.0, 13.0]), 4.0), run.end, -4.0)
    np.testing.assert_allclose(back.curves, run.curves, atol=1e-9)


@pytest.mark.parametrize("angle", [0.0, 13.0, 37.0, 90.0, 211.0])
@pytest.mark.parametrize("name", ["d", "e"])
def test_darts_whose_points_share_one_apex_do_not_cross(name, angle):
    """Two darts of a box meet in its middle; each may get wider and narrower."""
    spots = [(0, 0), (140, 0), (150, 100), (160, 0), (300, 0), (300, 90), (150, 100), (300, 110)]
    path = turn(angle).path(Path.through([*spots, (300, 200), (0, 200)], closed=True))
    piece = named(path, "waist d d waist side e e side hem centre", "back", darts=("d", "e"))
    line = piece.outlines[0]
    dart = dart_named(piece, line, name)
    for degrees in (dart.angle - 2.0, dart.angle + 2.0):
        new = wider(piece, line, dart, degrees).outline
        assert dart_named(piece, new, name).angle == pytest.approx(degrees, abs=1e-9)
