"""The cap of a dart: closed forms, and paper folded with Shapely.

The reference front has its bust dart's point 25 mm before the apex (95, 265), half way between
the legs; its cap peaks were worked out as the crossing of two straight lines.
"""

import math

import numpy as np
import pytest

from sewkit.geometry.path import Path, lines, point
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.cutting import without_darts
from sewkit.pattern.dart import darts_of
from sewkit.pattern.dart_cap import PREFIX, cap_of, caps, with_cap_marks, without_cap
from sewkit.pattern.mark import INNER
from sewkit.pattern.recut import recut
from tests.geometry.shapes import outline
from tests.operations.pieces import R1_EDGES, dense, named

POINT = (119.454, 270.194)
SET_BACK_R1 = outline(
    (0, 80),
    ((45, 78), (70, 45), (70, 0)),
    (190, 45),
    ((160, 110), (165, 228), (250, 230)),
    (245.958, 284.851),
    POINT,
    (240.994, 308.222),
    (210.017, 440.149),
    (0, 440.149),
)


def front(**more):
    return named(SET_BACK_R1, R1_EDGES, "front", darts=("dart",), **more)


def slab(half, depth=120.0, edge=None, second=None, first=None, far=200.0):
    """A piece whose upper edge, at y = 0, has a dart straight down, its mouth 2 * half wide.

    Args:
        edge: handles and start of the edge left of it, in place of a straight line from (-far, 0).
        first, second: handles of bent legs, from the mouth to the point.
    """
    left = ((-far, 0), edge) if edge else ((-far, 0), (-half, 0))
    tip = (0, depth)
    down = (*first, tip) if first else tip
    up = (*second[::-1], (half, 0)) if second else (half, 0)
    path = outline(*left, down, up, (far, 0), (far, 300), (-far, 300), left[0])
    return named(path, "waist dart dart waist side hem centre", darts=("dart",), folds=("centre",))


def made(piece, side):
    shape = piece.outlines[0]
    return cap_of(piece, shape, darts_of(piece, shape)[0], side)


def test_the_reference_front_has_its_peaks():
    down, up = made(front(), "down"), made(front(), "up")
    assert down.peak == pytest.approx((245.441, 296.954), abs=0.002)
    assert down.stand_out == pytest.approx(2.008, abs=0.001)
    assert up.peak == pytest.approx((244.086, 296.666), abs=0.002)
    assert up.stand_out == pytest.approx(0.623, abs=0.001)


@pytest.mark.parametrize("degrees", [8.0, 20.0, 45.0])
def test_an_edge_square_to_the_axis_stands_out_by_half_the_mouth_times_the_tangent(degrees):
    # Both edges lie on one line through the mouth: mirrored in a leg it rises by the whole angle.
    t = math.radians(degrees)
    leg = 120.0
    half = leg * math.sin(t / 2)
    for side in ("centre", "side"):
        cap = made(slab(half, leg * math.cos(t / 2)), side)
        assert cap.stand_out == pytest.approx(half * math.tan(t), abs=1e-9)
        assert cap.peak == pytest.approx((0.0, -half * math.tan(t)), abs=1e-9)
    if degrees == 20.0:  # the worked example: legs of 12, 0.7584 beyond the mouth
        assert half * math.tan(t) / 10 == pytest.approx(0.7584, abs=1e-4)


def test_edges_square_to_each_leg_meet_where_the_folded_leg_ends():
    # L / cos(t/2) from the point: legs of 120 at 20 degrees give 121.851.
    t, leg = math.radians(20.0), 120.0
    half, depth = leg * math.sin(t / 2), leg * math.cos(t / 2)
    fall = 150.0 * math.tan(t / 2)
    path = outline(
        (-half - 150, fall),
        (-half, 0),
        (0, depth),
        (half, 0),
        (half + 150, fall),
        (half + 150, 300),
        (-half - 150, 300),
        (-half - 150, fall),
    )
    piece = named(path, "waist dart dart waist side hem centre", darts=("dart",))
    cap = made(piece, "centre")
    assert depth - cap.peak[1] == pytest.approx(121.851, abs=1e-3)


def test_a_bent_leg_is_folded_along_its_direction_at_the_mouth():
    # The leg leaves the mouth at 6 degrees to the axis: mirrored in it the level edge rises by 12.
    slope = math.tan(math.radians(6.0))
    first = ((-15 + 40 * slope, 40), (-2, 90))
    cap = made(slab(15.0, first=first, second=((15 - 40 * slope, 40), (2, 90))), "centre")
    assert cap.stand_out == pytest.approx(15 * math.tan(math.radians(12.0)), abs=1e-9)


BENT = ((-140, 30), (-50, -18), (-14, 0))


@pytest.mark.parametrize(
    "piece, side",
    [
        (front(), "down"),
        (front(), "up"),
        (slab(14.0), "centre"),
        (slab(14.0, edge=BENT), "centre"),
        (slab(14.0, edge=((-45, -25), (-22, -8), (-14, 0)), far=60.0), "centre"),
    ],
    ids=["front down", "front up", "straight", "bent edge", "a short bent edge"],
)
def test_folded_paper_ends_on_the_edge(piece, side):
    """Each half of the intake, folded as it is pressed, covers just what lies over it of the piece."""
    geometry = pytest.importorskip("shapely.geometry")
    from shapely.affinity import affine_transform

    shape = piece.outlines[0]
    dart = darts_of(piece, shape)[0]
    cap = made(piece, side)
    legs = (dart.mouth[0], dart.mouth[1])
    over = 0 if np.hypot(*(cap.path.start - _nearest_leg(cap, piece, side))) < 1e-9 else 1
    own, other = legs[over], legs[1 - over]
    paper = geometry.Polygon(dense(shape.path))
    capped = geometry.Polygon(dense(without_darts(shape, piece.darts, {dart.edges[0]: cap}).path))
    tip, out = dart.point, 2.0 * (dart.middle - dart.point)

    def folded(sheet, *creases):
        for on, along in creases:
            m = mirror(on, along)
            sheet = affine_transform(sheet, (m.a, m.c, m.b, m.d, m.e, m.f))
        return sheet

    leg, centre = (tip, own - tip), (tip, dart.axis)
    for end, creases in ((own, (leg,)), (other, (centre, leg))):
        sector = geometry.Polygon([tip, tip + 2.0 * (end - tip), tip + out])
        intake = folded(capped.intersection(sector), *creases)
        beneath = paper.intersection(folded(sector, *creases))
        assert intake.area > 10.0
        assert (
            intake.symmetric_difference(beneath).area <= 0.03
        )  # the chords of 200 points: 0.002 mm over 14 mm
    # What was added beside the legs is the intake alone: two halves of equal area.
    added = capped.area - paper.area
    half = geometry.Polygon([tip, own, *_from(cap.path, own)]).area
    assert added == pytest.approx(2 * half, rel=1e-6)


def _nearest_leg(cap, piece, side):
    """The end of the mouth over which the intake comes to lie, told without the code's own rule."""
    ends = np.array([cap.path.start, cap.path.end])
    by = {"down": -ends[:, 1], "up": ends[:, 1], "centre": np.abs(ends[:, 0] + 200.0)}[side]
    return ends[by.argmin()]


def _from(path, end):
    """The points of the half of a cap that begins at one end of the mouth, its peak last."""
    path = path if np.hypot(*(path.start - end)) < 1e-9 else path.reverse()
    return dense(path.part(0, len(path) // 2))


def test_both_halves_are_mirror_images_and_the_area_added_is_two_triangles():
    for side in ("down", "up"):
        piece = front()
        shape = piece.outlines[0]
        dart = darts_of(piece, shape)[0]
        cap = made(piece, side)
        fold = mirror(dart.middle, cap.peak - dart.middle).path(cap.path)
        assert np.abs(fold.reverse().curves - cap.path.curves).max() < 1e-9
        bare = without_darts(shape, piece.darts)
        capped = without_darts(shape, piece.darts, {dart.edges[0]: cap})
        # Beyond the straight line over the mouth: a triangle as high as the peak.
        more = abs(signed_area(capped.path)) - abs(signed_area(bare.path))
        assert more == pytest.approx(dart.intake * cap.stand_out / 2, abs=1e-6)


def test_moves_mirrors_and_the_drawn_direction_change_nothing():
    cap = made(front(), "down")
    for frame in (turn(17.0).then(move(40, 8)), mirror((50, 0), (0, 1))):
        piece = front()
        shape = piece.outlines[0]
        new = shape._replace(path=frame.path(shape.path))
        dart = darts_of(piece, new)[0]
        here = cap_of(piece.with_outline(new), new, dart, "down")
        assert here.peak == pytest.approx(frame.points(cap.peak), abs=1e-9)
    backwards = named(
        SET_BACK_R1.reverse(), "centre waist side dart dart side armhole shoulder neck", darts=("dart",)
    )
    other = made(backwards, "down")
    assert other.peak == pytest.approx(cap.peak, abs=1e-9)
    assert other.path.start == pytest.approx(cap.path.end, abs=1e-9)


def test_an_edge_that_ends_at_a_fold_makes_no_cap():
    # 6 mm to the fold and 14 mm to the middle of the mouth: the cloth goes on behind the fold.
    piece = slab(14.0, far=20.0)
    assert made(piece, "centre") is None
    piece = piece._replace(pressed={"dart": "centre"})
    assert [dart.name for dart in without_cap(piece, piece.outlines[0])] == ["dart"]
    assert caps(piece, piece.outlines[0]) == {}
    assert made(piece, "side").corner  # on the other side it goes round the corner to the side seam


def test_a_spike_is_no_cap():
    # The edge turns from its leg by 16.1 degrees, the dart opens by 13.3: mirrored it meets the
    # middle only 14 / sin(16.1 - 13.3 / 2) = 85 mm away, six times half the mouth.
    piece = named(
        outline((-140, -300), (-14, 0), (0, 120), (14, 0), (200, 0), (200, 300), (-140, 300), (-140, -300)),
        "armhole dart dart waist side hem centre",
        darts=("dart",),
    )
    assert made(piece, "centre") is None


def test_a_cap_that_would_cross_the_outline_is_none():
    # The edge ends in a hook that comes down over the mouth and runs back under it, so its mirror
    # image begins inside the piece.
    piece = slab(26.0, 160.0, edge=((-90, 20), (-22, -1), (-26, 0)))
    shape = piece.outlines[0]
    assert made(piece, "centre") is None
    assert cap_of(piece, shape, darts_of(piece, shape)[0], "side") is not None


def test_a_dart_beside_another_takes_no_edge_from_it():
    top = [(-100, 0), (-14, 0), (0, 100), (14, 0), (20, 0), (30, 100), (40, 0), (150, 0)]
    path = outline(*top, (150, 300), (-100, 300), (-100, 0))
    words = "waist first first waist second second waist side hem centre"
    piece = named(path, words, darts=("first", "second"))
    dart = darts_of(piece, piece.outlines[0])[0]
    assert cap_of(piece, piece.outlines[0], dart, "side") is None  # 6 mm of edge for 14 mm of intake
    assert cap_of(piece, piece.outlines[0], dart, "centre") is not None


def test_the_cut_line_runs_round_the_cap():
    """A parallel line 10 mm outside, exact at the peak: both sides of it are one edge folded."""
    geometry = pytest.importorskip("shapely.geometry")
    piece = front(allowance={"": 10.0}, pressed={"dart": "down"})
    from sewkit.pattern.recut import kept_corner, kept_width, put_on

    put = put_on(piece, "", kept_width(piece), kept_corner(piece), piece.mitre_limit)
    cut = geometry.LinearRing(dense(put.piece.cut_lines[0].path))
    cap = made(piece, "down")
    spots = point(cap.path.curves, np.linspace(0.2, 0.8, 5)[None]).reshape(-1, 2)
    for spot in spots:
        assert cut.distance(geometry.Point(spot)) == pytest.approx(10.0, abs=0.01)
    # At the peak the two parallels meet 10 / cos(half the turn) beyond it.
    across = np.hypot(*(cap.path.end - cap.path.start))
    reach = 10.0 / math.cos(math.atan2(cap.stand_out, across / 2))
    assert cut.distance(geometry.Point(cap.peak + reach * _outward(cap))) < 0.01
    # Round the shape with its cap Shapely's own parallel line is the same there.
    shape = without_darts(piece.outlines[0], piece.darts, caps(piece, piece.outlines[0]))
    theirs = geometry.Polygon(dense(shape.path)).buffer(10.0, join_style=2, mitre_limit=2.5).exterior
    near = geometry.Point(cap.peak).buffer(30.0)
    assert theirs.intersection(near).hausdorff_distance(cut.intersection(near)) < 0.02


def _outward(cap):
    across = cap.path.end - cap.path.start
    out = np.array([across[1], -across[0]]) / np.hypot(*across)
    return out if out @ (cap.peak - (cap.path.start + cap.path.end) / 2) > 0 else -out


def test_recut_draws_the_cap_again_and_drops_it_with_its_dart():
    piece = with_cap_marks(front(pressed={"dart": "down"}), "")
    marks = [mark for mark in piece.marks if mark.kind == INNER]
    assert [mark.name for mark in marks] == [PREFIX + "dart"]
    piece = piece._replace(marks=(marks[0]._replace(key="drawn"),))
    shape = piece.outlines[0]
    curves = np.array(shape.path.curves)
    low = [k for k in range(len(curves)) if np.allclose(curves[k, 0], (240.994, 308.222))][0]
    curves[low] = lines(curves[low, 0], curves[low, 3] + (0, 20.0))
    curves[low + 1] = lines(curves[low, 3], curves[low + 1, 3])
    moved = piece.with_outline(shape._replace(path=Path(curves, True)))
    again = recut(moved, [""]).piece
    assert again.marks[0].key == "drawn"
    assert again.marks[0].path == made(moved, "down").path != marks[0].path
    # Without the dart there is neither a cap nor a side to press it to.
    flat = without_darts(shape, ("dart",))
    gone = recut(piece._replace(outlines=(flat,)), [""]).piece
    assert gone.marks == () and gone.pressed == {}
