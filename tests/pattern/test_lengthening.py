"""Pieces made longer and shorter: handbook rules, closed forms, Shapely for areas.

Standards of the trade used here: lengthening by x along the grain adds x to every line parallel
to it; an edge at an angle b to the grain gets a step of x tan b; the area grows by x times the
width at the line; there and back is no change.
"""

import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.intersect import crossings_with_line
from sewkit.geometry.length import path_length
from sewkit.geometry.nearest import nearest
from sewkit.geometry.path import Path, end_tangents, point, start_tangents, turns
from sewkit.geometry.polygon import flatten
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.lengthening import Strip, lengthened
from sewkit.pattern.mark import DART, DRILL, FOLD, GRAIN, INNER, LABEL, LENGTHEN, LEVEL, Mark
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import Piece
from tests.geometry.shapes import R2, outline
from tests.operations.pieces import grain, level, moved, named, named_outline, notch, r1, r4_piece

DOWN = (0.0, 1.0)
NAMES = "neck shoulder armhole side waist centre"
NO_DART = outline(
    (0, 80),
    ((45, 78), (70, 45), (70, 0)),
    (190, 45),
    ((160, 110), (165, 228), (250, 230)),
    (236, 420),
    (0, 420),
)
# A side edge of one long curve, hollow at the waist.
SHAPED = outline((0, 0), (200, 0), ((214, 150), (150, 320), (220, 500)), (0, 500))


def shaped(*marks):
    return named(SHAPED, "top side hem centre", marks=marks)


def one(piece, height, amount, axis=DOWN):
    return lengthened(piece, {o.size: [Strip(height, amount)] for o in piece.outlines}, axis).piece


def edge(piece, name, size=""):
    return piece.outline(size).edge_path(name)


def apart(first, second):
    return max(np.abs(a.path.curves - b.path.curves).max() for a, b in zip(first.outlines, second.outlines))


def test_the_reference_fronts_and_backs_side_seams():
    """From landmark to landmark: hypot(14, 215) and hypot(20, 220); a strip would give 215.515."""
    front = one(named(NO_DART, NAMES, "front"), 300, 25)
    back = one(named(R2, NAMES, "back"), 300, 25)

    assert front.outline("").as_sewn("side") == pytest.approx(215.455, abs=0.0005)
    assert back.outline("").as_sewn("side") == pytest.approx(220.907, abs=0.0005)
    assert path_length(edge(front, "centre")) == pytest.approx(365, abs=1e-9)
    assert np.array_equal(edge(front, "armhole").curves, NO_DART.curves[2:3])
    assert np.array_equal(edge(front, "waist").end, (0, 445))
    assert len(front.outline("").path) == len(NO_DART)


def test_the_step_of_a_leaning_edge_is_gone():
    """40 mm at 6 degrees: cut apart, the lower part stands 40 tan 6 = 4.204 off the upper one drawn on.

    The new side is one straight line between the two.
    """
    lean = math.tan(math.radians(6))
    piece = named(Path.through([(0, 0), (200, 0), (200 + 300 * lean, 300), (0, 300)], True), "a side b c")
    side = edge(one(piece, 150, 40), "side")

    assert np.array_equal(side.end, (200 + 300 * lean, 340)) and len(side) == 1
    x = [
        point(side.curves[p.curve][None], p.t)[0][0]
        for h in (150, 190)
        for p in crossings_with_line(side, (0, h), (1, 0))
    ]
    upper, lower = 200 + 190 * lean, 200 + 150 * lean
    assert upper - lower == pytest.approx(4.2042, abs=1e-4)
    assert lower < x[1] < upper and x[0] < lower
    assert x[1] - x[0] == pytest.approx((upper - lower) * 300 / 340, abs=1e-9)


@pytest.mark.parametrize("amount", [30.0, -25.0])
def test_area_grows_by_amount_times_width_at_the_line(amount):
    geometry = pytest.importorskip("shapely.geometry")
    piece = named(Path.through([(0, 0), (200, 0), (260, 400), (-20, 400)], True), "top side hem other")
    old, new = (geometry.Polygon(flatten(p.outline("").path)).area for p in (piece, one(piece, 200, amount)))
    # At half height it is as wide as the mean of 200 and 280.
    assert new - old == pytest.approx(amount * 240.0, rel=1e-9)


@pytest.mark.parametrize(
    "piece", [shaped(), shaped(level("hips", 330.0)), r1(), named(R2, NAMES), r4_piece("front")]
)
@pytest.mark.parametrize("height", [240.0, 275.0, 290.0])
def test_there_and_back_is_no_change_and_two_make_the_one_of_their_sum(piece, height):
    there = one(piece, height, 22.0)
    there_and_back = one(there, height, -22.0)
    reach = [
        np.abs(o.path.nodes[:, None] - p.path.nodes[None]).sum(axis=2).min(axis=1).max()
        for o, p in zip(piece.outlines, there_and_back.outlines)
    ]
    assert max(reach) < 1e-9

    twice, once = one(there, height, 13.0), one(piece, height, 35.0)
    assert apart(twice, once) < 1e-9
    assert [o.edges for o in twice.outlines] == [o.edges for o in once.outlines]


def test_a_curve_keeps_its_directions_and_what_lies_outside_its_span():
    piece = shaped(level("waist", 180.0), level("hips", 400.0))
    side = edge(one(piece, 300, 40), "side")
    old = edge(piece, "side")

    assert len(side) == 3, "a node at each landmark and nowhere else"
    assert np.allclose(start_tangents(side.curves)[0], start_tangents(old.curves)[0], atol=1e-12)
    assert np.allclose(end_tangents(side.curves)[-1], end_tangents(old.curves)[-1], atol=1e-12)
    assert np.abs(turns(side)).max() < 1e-6
    for t in np.linspace(0, 1, 21):
        assert nearest(old, point(side.curves[:1], t)[0]).distance < 1e-9
        assert nearest(old, point(side.curves[2:], t)[0] - (0, 40)).distance < 1e-9
    assert side.nodes[1][1] == pytest.approx(180, abs=1e-6) and side.nodes[2][1] == pytest.approx(
        440, abs=1e-6
    )


def test_several_strips_sum_and_opposite_ones_in_one_span_leave_the_edge():
    piece = shaped()
    both = lengthened(piece, {"": [Strip(400, 10.0), Strip(200, 20.0)]}, DOWN).piece
    assert np.abs(edge(both, "side").curves - edge(one(piece, 250, 30.0), "side").curves).max() < 1e-9
    none = lengthened(piece, {"": [Strip(200, 20.0), Strip(400, -20.0)]}, DOWN).piece
    assert apart(none, piece) == 0.0


@pytest.mark.parametrize(
    "way", [turn(90.0), turn(33.0), turn(180.0), mirror((0, 0), (0, 1)), move(1234.5, -77.0)], ids=str
)
def test_whichever_way_the_piece_lies(way):
    piece = shaped(level("hips", 400.0), grain(50.0, 50.0, 450.0))
    axis = way.points(np.array([0.0, 1.0])) - way.points(np.array([0.0, 0.0]))
    height = float(way.points(np.array([0.0, 300.0])) @ axis)
    turned = moved(Pattern((piece,)), way).pieces[0]
    made = one(turned, height, 40.0, (float(axis[0]), float(axis[1])))
    wanted = moved(Pattern((one(piece, 300, 40.0),)), way).pieces[0]

    assert apart(made, wanted) < 1e-9
    assert np.allclose(made.marks[1].path.curves, wanted.marks[1].path.curves, atol=1e-9)


def test_a_path_that_runs_the_other_way_and_a_piece_that_moves_upwards():
    piece = shaped()
    back = Piece("p", (named_outline(SHAPED.reverse().start_at(1), "hem side top centre"),))
    made, wanted = one(back, 300, 40), one(piece, 300, 40)
    assert np.allclose(edge(made, "side").reverse().curves, edge(wanted, "side").curves, atol=1e-9)

    up = one(piece, -300, 40, (0.0, -1.0))
    assert np.allclose(edge(up, "side").curves, edge(wanted, "side").curves - (0, 40), atol=1e-9)
    assert np.array_equal(edge(up, "hem").curves, edge(piece, "hem").curves)


def test_a_curve_drawn_in_short_lines_is_stretched_as_a_curve():
    """Each 5 mm line by itself would swing to almost upright: its neighbours tell that."""
    points = [(200 + 40 * math.cos(t), 10 + 480 * t / math.pi) for t in np.linspace(0, math.pi, 97)]
    piece = named(Path.through([(0, 10), *points, (0, 490)], True), "top side hem centre")
    side = edge(one(piece, 250.3, 20), "side")

    assert np.abs(turns(side)).max() < 1.5 * np.abs(turns(edge(piece, "side"))).max()


# -- darts ------------------------------------------------------------------------------------


def angle(first, tip, second):
    a, b = first - tip, second - tip
    return math.degrees(math.acos(a @ b / np.hypot(*a) / np.hypot(*b)))


@pytest.mark.parametrize("height", [270.0, 280.0, 290.0, 305.0])
@pytest.mark.parametrize("amount", [25.0, -6.0])
def test_a_dart_in_the_side_keeps_point_angle_and_legs(height, amount):
    made = lengthened(r1(), {"": [Strip(height, amount)]}, DOWN)
    legs = made.piece.outline("").runs("dart")

    assert np.array_equal(legs[0].end, (95, 265))
    assert angle(legs[0].start, legs[0].end, legs[1].end) == pytest.approx(9.0, abs=0.001)
    assert abs(path_length(legs[0]) - path_length(legs[1])) < 0.001
    assert np.allclose(edge(made.piece, "waist").start, (210.017, 440.149 + amount), atol=1e-9)
    assert made.darts[0].after == pytest.approx(23.892, abs=0.001)


def skirt(amount=None, height=50.0):
    """A waist dart standing on the grain: 30 wide, 120 long, its point at (100, 120)."""
    corners = [(0, 0), (85, 0), (100, 120), (115, 0), (220, 0), (220, 600), (0, 600)]
    piece = named(Path.through(corners, True), "waist dart dart waist side hem centre", darts=("dart",))
    return piece if amount is None else lengthened(piece, {"": [Strip(height, amount)]}, DOWN)


@pytest.mark.parametrize("amount", [24.0, -30.0])
def test_a_waist_dart_goes_on_along_its_legs(amount):
    """Similar triangles: 30 wide at 120 long; the waist loses what the dart gains."""
    made = skirt(amount)
    legs = made.piece.outline("").runs("dart")
    wide = 30.0 * (120 + amount) / 120

    assert np.array_equal(legs[0].end, (100, 120 + amount))
    assert np.allclose(legs[0].start, (100 - wide / 2, 0), atol=1e-9)
    assert np.allclose(legs[1].end, (100 + wide / 2, 0), atol=1e-9)
    assert made.darts[0].before == pytest.approx(30) and made.darts[0].after == pytest.approx(wide, abs=1e-9)
    assert made.piece.outline("").as_sewn("waist") == pytest.approx(220 - wide, abs=1e-9)
    back = lengthened(made.piece, {"": [Strip(50.0, -amount)]}, DOWN).piece
    assert apart(back, skirt()) < 1e-9


def test_a_notch_beside_a_widened_dart_keeps_its_place_on_the_cloth():
    piece = skirt()._replace(marks=(notch("waist", 60.0), notch("waist", 105.0)))
    made = lengthened(piece, {"": [Strip(50.0, 24.0)]}, DOWN).piece

    # 105 as sewn lies 20 beyond the dart, at x = 135.
    assert np.allclose(made.marks[0].path.curves[0, 3], (60, 0), atol=1e-9)
    assert np.allclose(made.marks[1].path.curves[0, 3], (135, 0), atol=1e-9)


def test_a_dart_drawn_inside_keeps_its_point_and_angle():
    drawn = Mark(DART, "bust", path=Path.through([(220, 480), (110, 300), (180, 480)]))
    low = named(
        Path.through([(0, 0), (300, 0), (300, 480), (0, 480)], True), "top side hem centre", marks=(drawn,)
    )
    made = one(low, 400, 30).marks[0].path

    assert np.array_equal(made.nodes[1], (110, 300))
    # Each leg on to the hem, now 210 below the point instead of 180.
    assert np.allclose(made.nodes[[0, 2]], [(110 + 110 * 7 / 6, 510), (110 + 70 * 7 / 6, 510)], atol=1e-9)


# -- marks ------------------------------------------------------------------------------------


def test_arrow_heads_and_small_marks_stay_as_they_are():
    arrow = Path(
        np.concatenate(
            [
                Path.through([(50, 60), (50, 440)]).curves,
                Path.through([(45, 70), (50, 60), (55, 70)]).curves,
                Path.through([(45, 430), (50, 440), (55, 430)]).curves,
            ]
        )
    )
    fold = Path.through([(0, 100), (20, 100), (20, 400), (0, 400)])
    label = Mark(LABEL, path=Path.through([(100, 290), (140, 315)]), text="front")
    made = one(shaped(Mark(GRAIN, path=arrow), Mark(FOLD, path=fold), label), 300, 40).marks

    for number, down in (
        (0, (0, 0, 0, 0)),
        (1, (0, 0, 0, 0)),
        (2, (0, 0, 0, 0)),
        (3, (40,) * 4),
        (4, (40,) * 4),
    ):
        if number:
            wanted = arrow.curves[number] + np.array([(0, y) for y in down])
            assert np.allclose(made[0].path.curves[number], wanted, atol=1e-12)
    assert np.array_equal(made[0].path.curves[0, [0, 3]], [(50, 60), (50, 480)])
    assert np.allclose(made[1].path.nodes, [(0, 100), (20, 100), (20, 440), (0, 440)], atol=1e-12)
    # Its middle is at 302.5.
    assert np.allclose(made[2].path.curves, label.path.curves + (0, 40), atol=1e-12)


def test_lines_across_go_as_one_and_inner_lines_stretch():
    tilted = Mark(LEVEL, "chest", path=Path.through([(0, 299), (220, 301)]))
    pair = Mark(
        LENGTHEN,
        path=Path(
            np.concatenate(
                [Path.through([(0, 296), (220, 296)]).curves, Path.through([(0, 304), (220, 304)]).curves]
            )
        ),
    )
    pleat = Mark(INNER, path=Path.through([(80, 100), (100, 450)]))
    made = one(shaped(tilted, pair, pleat), 300, 40).marks

    assert made[0].path == tilted.path, "what lies on the line stays, as one"
    assert made[1].path == pair.path, "a pair stays one place, so that it can be used again"
    assert np.allclose(made[2].path.nodes, [(80, 100), (100, 490)]) and len(made[2].path) == 1
    shorter = one(shaped(tilted, pair, pleat), 300, -40).marks
    assert shorter[1].path == pair.path, "lines for folding go on marking the place"


def test_notches_keep_their_distance_from_the_end_on_their_side():
    piece = named(
        NO_DART, NAMES, marks=(notch("side", 40.0), notch("side", 150.0), notch("side", 20.0, True))
    )
    made = one(piece, 300, 25)
    longer = made.outline("").as_sewn("side") - piece.outline("").as_sewn("side")

    assert made.marks[0].on.distance == 40.0 and made.marks[2].on.distance == 20.0
    assert made.marks[1].on.distance == pytest.approx(150 + longer, abs=1e-9)


def hole(y, x=30.0):
    return Mark(DRILL, path=Path.through([(x - 2, y), (x + 2, y)]))


def test_a_row_of_buttons_is_spaced_evenly_again():
    marks = tuple(hole(y) for y in (100, 180, 260, 340, 420)) + (hole(310, 150.0),)
    made = lengthened(shaped(*marks), {"": [Strip(300, 40.0)]}, DOWN)
    left = lengthened(shaped(*marks), {"": [Strip(300, 40.0)]}, DOWN, buttons=False)

    assert [m.middle[1] for m in made.piece.marks] == pytest.approx([100, 190, 280, 370, 460, 350], abs=1e-9)
    assert made.buttons == 5
    assert [m.middle[1] for m in left.piece.marks] == pytest.approx([100, 180, 260, 380, 460, 350], abs=1e-9)
    assert left.buttons == 0


def test_buttons_that_are_spaced_anew_are_not_in_the_way():
    """100, 180, ... 420 becomes 100 ... 370 with spaces of 67.5; left alone, 340 would pass the line."""
    marks = tuple(hole(y) for y in (100, 180, 260, 340, 420))
    made = lengthened(shaped(*marks), {"": [Strip(300, -50.0)]}, DOWN)
    assert [m.middle[1] for m in made.piece.marks] == pytest.approx([100, 167.5, 235, 302.5, 370], abs=1e-9)
    for ask in ({"buttons": False}, {}):
        amount = -50.0 if ask else -121.0
        with pytest.raises(InputError) as error:
            lengthened(shaped(*marks), {"": [Strip(300, amount)]}, DOWN, **ask)
        assert error.value.code == "overlap" and "drill hole" in str(error.value)


def test_half_way_between_levels_there_and_back_is_no_change():
    """The place goes by half: cut at 200, folded at 215; 4 beyond the one is 19 beyond the other."""
    marks = (level("chest", 100.0), level("waist", 300.0), hole(204.0), hole(197.0))
    piece = named(outline((0, 0), (200, 0), (220, 500), (0, 500)), "top side hem centre", marks=marks)
    there = one(piece, 200.0, 30.0)
    again = one(there, 215.0, -30.0)

    assert [mark.middle[1] for mark in there.marks] == [100.0, 330.0, 234.0, 197.0]
    assert apart(again, piece) <= 1e-9
    assert [mark.middle[1] for mark in again.marks] == pytest.approx([100.0, 300.0, 204.0, 197.0], abs=1e-9)


@pytest.mark.parametrize(("height", "room"), [(215.0, "36.0"), (216.0, "18.0")])
def test_half_way_a_fold_lies_half_on_each_side_and_elsewhere_beyond(height, room):
    """Marks at 197 and 234: at 215 twice 18 may go, half on each side; at 216 the 18 beyond the line."""
    piece = shaped(level("chest", 100.0), level("waist", 330.0), hole(234.0), hole(197.0))
    with pytest.raises(InputError) as error:
        one(piece, height, -37.0)
    assert error.value.code == "overlap" and "Take out {} mm".format(room) in str(error.value)


def test_each_size_of_a_nest_at_its_own_height():
    piece = r4_piece("front")
    made = lengthened(piece, {"4": [Strip(300, 20)], "6": [Strip(310, 30)]}, DOWN).piece

    for size, by in (("4", 20), ("6", 30)):
        assert path_length(edge(made, "centre", size)) == pytest.approx(600 + by, abs=1e-9)
    arrow = next(m for m in made.marks if m.kind == GRAIN)
    assert path_length(arrow.shaft) == pytest.approx(520, abs=1e-9), "for all sizes: as the first one"

    only = lengthened(piece, {"6": [Strip(310, 30)]}, DOWN).piece
    assert only.outline("4") == piece.outline("4")
    assert next(m for m in only.marks if m.kind == GRAIN) == next(m for m in piece.marks if m.kind == GRAIN)


# -- what is refused --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("piece", "height", "amount", "code", "word"),
    [
        (shaped(), 600.0, 20.0, "line", "misses"),
        (shaped(), 501.0, 20.0, "line", "misses"),
        (shaped(level("hips", 330.0)), 300.0, -31.0, "overlap", "hips"),
        (shaped(notch("centre", 160.0, name="2")), 300.0, -41.0, "overlap", "notch"),
        (shaped(), 300.0, -201.0, "overlap", "hem"),
        (skirt(), 50.0, -71.0, "overlap", "dart"),
        (
            named(
                Path.through([(0, 0), (200, 0), (200, 300), (100, 300), (100, 500), (0, 500)], True),
                "top side step inner hem centre",
            ),
            300.0,
            20.0,
            "line",
            "step",
        ),
        (
            named(outline((0, 0), ((60, 200), (140, 200), (200, 0)), (200, 400), (0, 400)), "neck a b c"),
            100.0,
            20.0,
            "line",
            "neck",
        ),
    ],
)
def test_what_cannot_be_done_is_said_with_its_place(piece, height, amount, code, word):
    with pytest.raises(InputError) as error:
        one(piece, height, amount)
    assert error.value.code == code and word in str(error.value) and error.value.cure


def test_all_the_room_there_is_may_be_taken():
    assert one(shaped(level("hips", 330.0)), 300, -30).marks[0].middle[1] == pytest.approx(300)


HOLLOW_HEM = outline((0, 0), (240, 0), (240, 600), ((160, -50), (80, -50), (0, 600)))


@pytest.mark.parametrize("amount", [-12.6, -100.0, -150.0])
def test_a_curve_that_reaches_up_past_its_ends_is_in_the_way(amount):
    """Bernstein at 1/2: the hem's spot nearest the line is (600 - 3 * 50) / 4 = 112.5."""
    piece = named(HOLLOW_HEM, "top side hem centre")
    with pytest.raises(InputError) as error:
        one(piece, 100.0, amount)
    assert error.value.code == "overlap" and "'hem'" in str(error.value) and "12.5 mm" in str(error.value)
    assert one(piece, 100.0, -12.5).outline("").as_sewn("centre") == pytest.approx(587.5)


def test_an_outline_that_would_cross_itself_is_refused():
    """A narrow slanting band: one edge straight throughout, the other with a node half way.

    Cut at 100 and 200 longer, the first is y = 1.4 x; the node goes to (220, 398), and 398 > 308.
    """
    band = Path.through([(20, 0), (220, 198), (520, 500), (500, 500), (0, 0)], closed=True)
    piece = named_outline(band, "right hem left top")
    with pytest.raises(InputError) as error:
        one(Piece("band", (piece,)), 100.0, 200.0)
    assert error.value.code == "fold-over" and "band" in str(error.value)


@pytest.mark.parametrize(
    ("piece", "height", "words"),
    [
        (shaped(), 0.0, "along the edge 'top'"),
        (shaped(), 500.0, "along the edge 'hem'"),
        (named(Path.through([(0, 0), (200, 100), (0, 300)], True), "a b c"), 300.0, "at the very end"),
    ],
)
def test_a_line_on_the_edge_at_the_end_is_told_as_that(piece, height, words):
    with pytest.raises(InputError) as error:
        one(piece, height, 20.0)
    assert error.value.code == "line" and words in str(error.value) and "0.0 mm" not in str(error.value)


def test_an_open_outline_is_refused():
    path = Path.through([(0, 0), (100, 0), (100, 300)])
    with pytest.raises(InputError) as error:
        one(named(path, "a b"), 100, 10)
    assert error.value.code == "open"
