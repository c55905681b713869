"""Darts that are only drawn, cut into the outline.

The front is R1 with its side unbroken and the dart drawn inside; with the dart closed its side is
190.515 mm long, as R1's draft says.
"""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path, lines
from sewkit.geometry.polygon import signed_area
from sewkit.geometry.transform import mirror, turn
from sewkit.pattern.dart_cut_in import cut_in
from sewkit.pattern.drawn_dart import drawn_darts, lines_as_dart
from sewkit.pattern.mark import DART, Mark
from sewkit.pattern.notch import spot_of
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.piece import Piece
from tests.geometry.shapes import outline
from tests.operations.length_pieces import ruler
from tests.operations.pieces import named_outline, notch

APEX, UPPER, LOWER = (95.0, 265.0), (245.958, 284.851), (240.994, 308.222)
# The peak of the cap, drawn as bought patterns draw it: 3 mm beyond the mouth.
PEAK = (246.43, 297.07)
EDGES = "neck shoulder armhole side waist centre"
FRAMES = {
    "as drawn": turn(0.0),
    "turned": turn(-63.0, (500.0, 20.0)),
    "mirrored": mirror((0.0, 30.0), (1.0, 0.2)),
}
V = Path.through([UPPER, APEX, LOWER])


def front_path(*between):
    return outline(
        (0, 80),
        ((45, 78), (70, 45), (70, 0)),
        (190, 45),
        ((160, 110), (165, 228), (250, 230)),
        UPPER,
        *between,
        LOWER,
        (210.017, 440.149),
        (0, 440.149),
        (0, 80),
    )


def drawn(path=V, name="bust-dart", size="", key=""):
    return Mark(DART, name, size, path, key=key)


def front(*marks, size=""):
    return Piece("front", (named_outline(front_path(), EDGES, size),), marks=marks)


def through(piece, frame, back=False, start=0):
    """The same piece moved, its outline drawn from another node and perhaps the other way round."""
    made = piece.outlines[0]
    names = {tuple(run.start): edge.name for edge in made.edges for run in made.runs(edge.name)[:1]}
    ends = {tuple(made.path.part(e.start, e.stop).end): e.name for e in made.edges}
    path = made.path.start_at(start)
    bare = bare_outline(path.reverse() if back else path, made.size)
    known = ends if back else names
    edges = tuple(e._replace(name=known[tuple(bare.path.curves[e.start, 0])]) for e in bare.edges)
    moved = bare._replace(edges=edges, path=frame.path(bare.path))
    marks = tuple(m if m.path is None else m._replace(path=frame.path(m.path)) for m in piece.marks)
    return piece._replace(outlines=(moved,), marks=marks)


def cut(piece, size=""):
    (found,) = drawn_darts(piece, size)
    return cut_in(piece, size, found)


def check_bust_dart(piece, dart):
    assert dart.angle == pytest.approx(9.0, abs=0.01)
    assert dart.lengths == pytest.approx((152.258, 152.258), abs=0.02)
    assert dart.intake == pytest.approx(23.892, abs=0.02)
    assert piece.outlines[0].as_sewn("side") == pytest.approx(190.515, abs=0.02)
    assert piece.darts == (dart.name,)
    assert [mark for mark in piece.marks if mark.kind == DART] == []


# -- cutting in ----------------------------------------------------------------------------

MID = tuple((np.array(UPPER) + LOWER) / 2)
DRAWINGS = {
    "one line": (V,),
    "the other way": (V.reverse(),),
    "two lines in one path": (
        Path(np.concatenate([lines(np.array([UPPER, LOWER]), np.array([APEX, APEX]))])),
    ),
    "with the line to fold on": (Path(lines(np.array([UPPER, MID, APEX]), np.array([APEX, APEX, LOWER]))),),
    "the fold line first": (Path(lines(np.array([MID, UPPER, LOWER]), np.array([APEX, APEX, APEX]))),),
    "a closed triangle": (Path.through([APEX, UPPER, LOWER], closed=True),),
    "a mark for each leg": (Path.through([UPPER, APEX]), Path.through([APEX, LOWER])),
    "points that do not quite meet": (Path.through([UPPER, APEX]), Path.through([(95.2, 265.0), LOWER])),
    "with a stroke beside the point": (
        Path.through([UPPER, APEX, LOWER]),
        Path.through([(80, 262), (88, 264)]),
    ),
}


@pytest.mark.parametrize("how", DRAWINGS)
def test_however_the_legs_are_drawn_they_become_the_dart(how):
    marks = [drawn(path) for path in DRAWINGS[how]]
    made, dart = cut(front(*marks))
    stray = [mark for mark in made.marks if mark.kind == DART]
    if "stroke" in how:
        assert [mark.path for mark in stray] == [DRAWINGS[how][1]]
        made = made._replace(marks=())
    check_bust_dart(made, dart) if "quite" not in how else None
    assert dart.name == "bust-dart"
    np.testing.assert_allclose(dart.point, APEX, atol=0.11)
    names = "neck shoulder armhole side bust-dart bust-dart side waist centre"
    assert [edge.name for edge in made.outlines[0].edges] == names.split()


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize("back", [False, True])
def test_it_comes_out_the_same_however_the_piece_lies_and_is_drawn(frame, back):
    plain, _ = cut(front(drawn(), notch("side", 20.0), notch("side", 20.0, True)))
    for start in range(len(front_path())):
        piece = through(front(drawn()), FRAMES[frame], back, start)
        made, dart = cut(piece)
        check_bust_dart(made, dart)
        np.testing.assert_allclose(dart.point, FRAMES[frame].points(np.array(APEX)), atol=1e-9)
        assert set(made.outlines[0].names) == set(plain.outlines[0].names)
        for name in EDGES.split():
            assert made.outlines[0].as_sewn(name) == pytest.approx(plain.outlines[0].as_sewn(name), abs=1e-9)
    # What was between the legs is gone: a triangle less.
    triangle = 152.258**2 * math.sin(math.radians(9)) / 2
    lost = abs(signed_area(front_path())) - abs(signed_area(made.outlines[0].path))
    assert lost == pytest.approx(triangle, abs=0.5)


def test_a_drawn_cap_goes_with_the_mouth():
    whole = named_outline(front_path(PEAK), "neck shoulder armhole side side side waist centre")
    capped = Path.through([UPPER, APEX, LOWER, PEAK, UPPER])
    for mark in (drawn(V), drawn(capped)):
        made, dart = cut(Piece("front", (whole,), marks=(mark,)))
        check_bust_dart(made, dart)
        assert not any((spot == PEAK).all() for spot in made.outlines[0].path.nodes)


def test_legs_from_an_allowance_inside_are_prolonged_and_beyond_are_cut_off():
    apex = np.array(APEX)
    inner = [apex + 0.9 * (np.array(spot) - apex) for spot in (UPPER, LOWER)]
    outer = [apex + 1.1 * (np.array(spot) - apex) for spot in (UPPER, LOWER)]
    for upper, lower in (inner, outer, (inner[0], outer[1])):
        made, dart = cut(front(drawn(Path.through([upper, APEX, lower]))))
        check_bust_dart(made, dart)
        np.testing.assert_allclose(sorted(map(tuple, dart.mouth)), sorted([LOWER, UPPER]), atol=1e-6)


def test_curved_legs_keep_their_curve():
    upper = Path([[UPPER, (200, 270), (150, 268), APEX]])
    lower = Path([[LOWER, (190, 300), (150, 282), APEX]])
    made, dart = cut(front(drawn(Path(np.concatenate([upper.curves, lower.curves])))))
    assert sorted(dart.lengths) == pytest.approx(sorted([ruler(upper), ruler(lower)]), abs=1e-6)
    assert made.outlines[0].as_sewn("side") == pytest.approx(190.515, abs=0.02)


def test_notches_stay_on_the_cloth():
    marks = notch("side", 20.0), notch("side", 180.0), notch("side", 20.0, True), notch("waist", 100.0)
    piece = front(drawn(), *marks)
    made, _ = cut(piece)
    kept = [mark for mark in made.marks if mark.on is not None]
    assert len(kept) == 4
    for before, after in zip(marks, kept):
        spots = [spot_of(o, m.on).point for o, m in ((piece.outlines[0], before), (made.outlines[0], after))]
        np.testing.assert_allclose(spots[0], spots[1], atol=1e-6)
    # The second lies beyond the mouth, so with the dart closed it is nearer to the armhole.
    assert kept[1].on.distance == pytest.approx(180.0 - 23.892, abs=0.02)
    assert [mark.on.distance for mark in kept if mark is not kept[1]] == [20.0, 20.0, 100.0]


def test_a_bare_outline_without_corners_takes_a_dart():
    c = 55.2285
    circle = outline(
        (100, 0),
        ((100, c), (c, 100), (0, 100)),
        ((-c, 100), (-100, c), (-100, 0)),
        ((-100, -c), (-c, -100), (0, -100)),
        ((c, -100), (100, -c), (100, 0)),
        (100, 0),
    )
    closed = Path(circle.curves[:4], closed=True)
    piece = Piece("line", (bare_outline(closed),), named=False)
    legs = [Path.through([(0, 20), spot]) for spot in ((-8, 99.6), (8, 99.6))]
    made, dart = cut_in(piece, "", lines_as_dart(piece.outlines[0], legs))
    assert [edge.name for edge in made.outlines[0].edges] == ["1", "dart-1", "dart-1"]
    # The legs go on straight to the circle of radius 100: at the point (0, 20) + s (8, 79.6).
    s = (-2 * 20 * 79.6 + math.sqrt((2 * 20 * 79.6) ** 2 + 4 * (8**2 + 79.6**2) * (100**2 - 20**2))) / (
        2 * (8**2 + 79.6**2)
    )
    assert dart.intake == pytest.approx(2 * 8 * s, abs=0.01)


# -- several sizes -------------------------------------------------------------------------


def nest(marks):
    outlines = []
    for number, size in enumerate(("10", "12")):
        grown = front_path().curves * [1.0 + 0.05 * number, 1.0]
        outlines.append(named_outline(Path(grown, closed=True), EDGES, size))
    return Piece("front", tuple(outlines), marks=marks)


def wider(path, number):
    return Path(path.curves * [1.0 + 0.05 * number, 1.0])


def test_each_size_gets_its_own_dart():
    piece = nest(tuple(drawn(wider(V, i), size=size) for i, size in enumerate(("10", "12"))))
    made, first = cut(piece, "10")
    assert len([mark for mark in made.marks if mark.kind == DART]) == 1
    made, second = cut(made, "12")
    assert (first.name, second.name, made.darts) == ("bust-dart", "bust-dart", ("bust-dart",))
    assert [mark for mark in made.marks if mark.kind == DART] == []


def test_a_mark_of_all_sizes_goes_when_the_last_of_them_has_the_dart():
    piece = nest((drawn(), notch("waist", 30.0)))
    made, _ = cut(piece, "10")
    assert len([mark for mark in made.marks if mark.kind == DART]) == 1
    assert drawn_darts(made, "10") == ()
    made, _ = cut(made, "12")
    assert [mark.kind for mark in made.marks] == ["notch"]


def test_darts_without_a_name_are_called_by_their_order_along_the_outline():
    waist = [Path.through([(x, 440.149), (x + 8, 360), (x + 16, 440.149)]) for x in (40, 120)]
    piece = front(*(drawn(path, "") for path in (waist[0], V, waist[1])))
    found = drawn_darts(piece, "")
    assert [dart.name for dart in found] == ["dart", "dart-2", "dart-3"]
    # Clockwise from the neck: first the side, then the waist from the side to the centre.
    assert [tuple(dart.point) for dart in found] == [APEX, (128, 360), (48, 360)]
    for one in found:
        piece, _ = cut_in(piece, "", one)
    assert piece.darts == ("dart", "dart-2", "dart-3")
    assert piece.outlines[0].as_sewn("waist") == pytest.approx(210.017 - 32.0, abs=1e-6)


# -- two points ----------------------------------------------------------------------------

KITE = Path.through([(120, 250), (127, 340), (120, 400), (113, 340)], closed=True)
RINGS = {
    "straight": KITE,
    "begun at its middle": KITE.start_at(1),
    "drawn the other way": KITE.reverse(),
    "with the line to fold on": Path(
        np.concatenate([KITE.curves, lines(np.array([[120, 250]]), np.array([[120, 400]]))])
    ),
    "curved": Path(
        [
            [(120, 250), (129.33, 300), (129.33, 350), (120, 400)],
            [(120, 400), (110.67, 350), (110.67, 300), (120, 250)],
        ]
    ),
}


@pytest.mark.parametrize("how", RINGS)
def test_a_dart_with_two_points_is_seen_and_stays_drawn(how):
    piece = front(drawn(RINGS[how], "waist-dart"))
    (found,) = drawn_darts(piece, "")
    assert found.contour and found.name == "waist-dart"
    assert sorted(map(tuple, found.points)) == [(120, 250), (120, 400)]
    # Curved sides bow by three quarters of their handles.
    assert found.intake == pytest.approx(14.0, abs=0.02)
    with pytest.raises(InputError, match="two points") as told:
        cut_in(piece, "", found)
    assert told.value.code == "contour"


def test_both_sides_of_a_dart_with_two_points_run_from_point_to_point():
    (found,) = drawn_darts(front(drawn(KITE.start_at(2))), "")
    whole = math.hypot(7, 90) + math.hypot(7, 60)
    assert found.lengths == pytest.approx((whole, whole))
    for leg in found.legs:
        np.testing.assert_array_equal([leg.start, leg.end], found.points)


# -- what cannot be cut in -----------------------------------------------------------------


def refused(path, match):
    piece = front()
    with pytest.raises(InputError, match=match) as told:
        cut_in(piece, "", lines_as_dart(piece.outlines[0], [path], "bust-dart"))
    assert told.value.code == "dart"


def test_a_leg_that_does_not_reach_the_seam_line_is_told_with_its_distance():
    refused(
        Path.through([(200, 278.8), APEX, LOWER]), r"ends \d\d mm short of the seam line, at \(200, 279\)"
    )


def test_legs_on_both_sides_of_a_corner_are_told():
    refused(Path.through([(225, 376.3), (150, 380), (190, 440.149)]), "both sides of a corner")


def test_a_point_outside_the_piece_is_told():
    refused(Path.through([UPPER, (320, 290), LOWER]), "does not lie inside")


def test_lines_that_form_no_dart_are_told():
    made = bare_outline(front_path())
    with pytest.raises(InputError, match="form no dart"):
        lines_as_dart(made, [Path.through([UPPER, APEX])])
    with pytest.raises(InputError, match="2 selected lines form no dart"):
        lines_as_dart(made, [Path.through([UPPER, APEX]), Path.through([LOWER, (95, 300)])])
