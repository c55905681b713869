"""Darts as angles about a pivot: R1's numbers in closed form, laws that hold however it is drawn.

R1 is the reference front; its dart is 9 degrees about A (95, 265).  Where it is turned to is worked
here by rotating complex numbers.
"""

import cmath
import math

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path, turns
from sewkit.geometry.transform import mirror, move, turn
from sewkit.pattern.mark import DRILL, INNER, LEVEL, On
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.piece import Piece
from sewkit.pattern.slash import place_on
from sewkit.pattern.spoke_marks import with_marks
from sewkit.pattern.spoke_sight import check_sight, refuse_overlap
from sewkit.pattern.spokes import angle_of, of_dart, opened, taken, turned
from tests.geometry.shapes import R1
from tests.operations.length_pieces import drill, edge_ruler, inner, level_line, one, straight
from tests.operations.pieces import R1_EDGES, grain, named, notch

APEX = np.array([95.0, 265.0])
Q = complex(130.0, 22.5)  # half way between (70, 0) and (190, 45)


def rotated(spot, degrees, about=complex(95, 265)):
    """A point turned clockwise on the sheet (y down, so as complex numbers turn)."""
    return about + (complex(*spot) - about) * cmath.exp(1j * math.radians(degrees))


# R1 with its mouth from one end turned by 9 degrees, to the last bit: the drawing rounds it.
D1 = (245.958, 284.851)
D2 = rotated(D1, 9.0)


def front(path=R1, **more):
    """R1 with an exact dart of 9 degrees, the front on the fold."""
    curves = np.array(path.curves)
    curves[5, 3] = curves[6, 0] = (D2.real, D2.imag)
    for number in (5, 6):
        curves[number, 1:3] = curves[number, 0] + np.outer(
            [1 / 3, 2 / 3], curves[number, 3] - curves[number, 0]
        )
    return named(Path(curves, True), R1_EDGES, "front", darts=("dart",), folds=("centre",), **more)


def legs(outline, name="dart"):
    return tuple(number for number, edge in enumerate(outline.edges) if edge.name == name)


def shoulder_place(outline):
    return place_on(outline, On("shoulder", outline.as_sewn("shoulder") / 2))


def to_shoulder(piece, share=1.0, pivot=APEX, name="shoulder-dart"):
    outline = piece.outlines[0]
    dart = of_dart(outline, legs(outline), pivot, 0.0)
    spokes = [
        dart._replace(then=dart.now * (1 - share)),
        opened(outline, shoulder_place(outline), dart.now * share, name),
    ]
    check_sight(piece, outline, pivot, spokes)
    made = turned(piece, outline, pivot, spokes)
    refuse_overlap(piece, outline, made.outline, pivot)
    return made


def mouth(outline, name):
    first, second = outline.runs(name)
    return first.start, first.end, second.end


def angle(outline, name):
    start, point, stop = mouth(outline, name)
    return abs(math.degrees(cmath.phase(complex(*(stop - point)) / complex(*(start - point)))))


def ends(outline, edge):
    runs = outline.runs(edge)
    return complex(*runs[0].start), complex(*runs[-1].end)


# -- the whole turn ------------------------------------------------------------------------


def test_a_whole_turn_to_the_middle_of_the_shoulder_has_the_numbers_of_the_closed_form():
    piece = front()
    made = to_shoulder(piece).outline
    start, point, stop = mouth(made, "shoulder-dart")
    slash = abs(Q - complex(95, 265))

    assert slash == pytest.approx(245.013, abs=5e-4)
    assert complex(*start) == pytest.approx(Q, abs=1e-9)
    assert tuple(point) == (95.0, 265.0)
    assert complex(*stop) == pytest.approx(rotated((130, 22.5), 9), abs=1e-9)
    assert np.hypot(*(stop - start)) == pytest.approx(2 * slash * math.sin(math.radians(4.5)), abs=1e-9)
    assert angle(made, "shoulder-dart") == pytest.approx(9.0, abs=1e-9)
    # The papers' rounded numbers for the same.
    np.testing.assert_allclose(stop, (167.504, 30.961), atol=1e-3)
    assert ends(made, "shoulder")[1] == pytest.approx(complex(223.246, 62.570), abs=1e-3)
    assert ends(made, "armhole")[1] == pytest.approx(complex(253.567, 254.678), abs=1e-3)
    assert ends(made, "armhole")[1] == pytest.approx(rotated((250, 230), 9), abs=1e-9)


def test_the_side_closes_to_one_straight_curve_of_the_length_it_had_when_sewn():
    piece = front()
    made = to_shoulder(piece).outline
    (side,) = made.runs("side")

    assert len(side) == 1
    assert straight(side) < 0.005
    was = math.hypot(245.958 - 250, 284.851 - 230) + abs(D2 - complex(210.017, 440.149))
    assert edge_ruler(made, "side") == pytest.approx(was, abs=1e-6)
    assert was == pytest.approx(190.515, abs=1e-3)
    for run in made.runs("shoulder"):
        assert math.hypot(*(run.end - run.start)) == pytest.approx(math.hypot(120, 45) / 2, abs=1e-9)
    assert "dart" not in made.names


def test_what_turns_is_rigid_and_what_stays_is_the_same_to_the_last_bit():
    piece = front()
    made = to_shoulder(piece).outline
    old = piece.outlines[0]

    for name in ("neck", "waist", "centre"):
        assert np.array_equal(made.edge_path(name).curves, old.edge_path(name).curves)
    turn_it = turn(9.0, APEX)
    np.testing.assert_allclose(
        made.edge_path("armhole").curves, turn_it.points(old.edge_path("armhole").curves), atol=1e-9
    )


@pytest.mark.parametrize("share", [0.25, 0.5, 0.9])
def test_a_part_turned_keeps_the_sum_of_the_angles(share):
    made = to_shoulder(front(), share).outline

    assert angle(made, "dart") + angle(made, "shoulder-dart") == pytest.approx(9.0, abs=1e-9)
    assert angle(made, "shoulder-dart") == pytest.approx(9.0 * share, abs=1e-9)


def test_half_and_half_have_the_intakes_of_the_closed_form():
    made = to_shoulder(front(), 0.5).outline
    width = {
        name: np.hypot(*(mouth(made, name)[2] - mouth(made, name)[0])) for name in ("dart", "shoulder-dart")
    }

    leg, slash = math.hypot(D1[0] - 95, D1[1] - 265), abs(Q - complex(95, 265))
    assert width["dart"] == pytest.approx(2 * leg * math.sin(math.radians(2.25)), abs=1e-9)
    assert width["shoulder-dart"] == pytest.approx(2 * slash * math.sin(math.radians(2.25)), abs=1e-9)
    assert width["dart"] == pytest.approx(11.955, abs=1e-3)
    assert width["shoulder-dart"] == pytest.approx(19.238, abs=1e-3)


def test_every_seam_is_as_long_as_before():
    piece = front()
    old = piece.outlines[0]
    for share in (0.3, 1.0):
        made = to_shoulder(piece, share).outline
        for name in ("neck", "shoulder", "armhole", "side", "waist", "centre"):
            assert edge_ruler(made, name) == pytest.approx(edge_ruler(old, name), abs=1e-4)


def test_a_dart_turned_away_and_back_leaves_the_outline_as_it_was():
    piece = front()
    old = piece.outlines[0]
    away = to_shoulder(piece).outline
    there = piece._replace(outlines=(away,), darts=("shoulder-dart",))
    dart = of_dart(away, legs(away, "shoulder-dart"), APEX, 0.0)
    at = place_on(away, On("side", math.hypot(245.958 - 250, 284.851 - 230)))

    back = turned(there, away, APEX, [dart, opened(away, at, dart.now, "dart")]).outline

    assert back.edges == old.edges
    # The drawing's thousandths: its side is straight across the closed dart to 0.001 mm only.
    np.testing.assert_allclose(back.path.curves, old.path.curves, atol=1e-3)


def test_a_dart_turned_into_a_curve_and_back_leaves_the_curve_one_curve():
    piece = front()
    old = piece.outlines[0]
    dart = of_dart(old, legs(old), APEX, 0.0)
    away = turned(
        piece, old, APEX, [dart, opened(old, place_on(old, On("armhole", 120.0)), dart.now, "dart")]
    ).outline
    assert [len(run) for run in away.runs("armhole")] == [1, 1]
    there = piece._replace(outlines=(away,))
    dart = of_dart(away, legs(away), APEX, 0.0)
    at = place_on(away, On("side", math.hypot(245.958 - 250, 284.851 - 230)))

    back = turned(there, away, APEX, [dart, opened(away, at, dart.now, "dart")]).outline

    assert back.edges == old.edges
    np.testing.assert_allclose(back.path.curves, old.path.curves, atol=1e-3)


# -- several, and onto another ---------------------------------------------------------------


def test_three_darts_from_one_share_its_angle():
    piece = front()
    old = piece.outlines[0]
    dart = of_dart(old, legs(old), APEX, 0.0)
    places = [On("shoulder", 60.0), On("armhole", 150.0), On("waist", 100.0)]
    wanted = [dart.now * share for share in (0.5, 0.2, 0.3)]
    spokes = [opened(old, place_on(old, on), then, on.edge) for on, then in zip(places, wanted)]

    made = turned(piece, old, APEX, [dart, *spokes]).outline

    assert [_wide(made, number) for number in range(3)] == pytest.approx(wanted, abs=1e-9)


def _wide(outline, number):
    """The angle of the ``number``th dart about the apex, in path order of R1."""
    nodes = [i for i, node in enumerate(outline.path.nodes) if np.array_equal(node, APEX)]
    before, after = outline.path.nodes[nodes[number] - 1], outline.path.nodes[nodes[number] + 1]
    return abs(math.degrees(cmath.phase(complex(*(after - APEX)) / complex(*(before - APEX)))))


def test_a_dart_merged_onto_another_adds_up_with_it():
    piece = front()
    half = to_shoulder(piece, 0.5).outline
    there = piece._replace(outlines=(half,), darts=("dart", "shoulder-dart"))
    first = of_dart(half, legs(half), APEX, 0.0)
    second = of_dart(half, legs(half, "shoulder-dart"), APEX, 0.0)

    made = turned(there, half, APEX, [first, second._replace(then=first.now + second.now)]).outline

    np.testing.assert_allclose(made.path.curves, to_shoulder(piece).outline.path.curves, atol=1e-6)


# -- however it is drawn ----------------------------------------------------------------------


FRAMES = {
    "turned": turn(37.0).then(move(400.0, -90.0)),
    "mirrored": mirror((0, 0), (0, 1)),
    "mirrored aslant": mirror((10, 20), (3, 1)).then(turn(100.0)),
}


@pytest.mark.parametrize("way", sorted(FRAMES))
def test_a_turned_or_mirrored_drawing_gives_the_same_turned_or_mirrored(way):
    frame, piece = FRAMES[way], front()
    shown = piece._replace(outlines=tuple(o._replace(path=frame.path(o.path)) for o in piece.outlines))

    made = to_shoulder(shown, 0.4, frame.points(APEX)).outline

    wanted = frame.path(to_shoulder(piece, 0.4).outline.path)
    np.testing.assert_allclose(made.path.curves, wanted.curves, atol=1e-8)


def test_an_outline_drawn_the_other_way_round_gives_the_same():
    piece = front()
    old = piece.outlines[0]
    count = len(old.path)
    edges = tuple(e._replace(start=count - e.stop, stop=count - e.start) for e in old.edges[::-1])
    back = piece._replace(outlines=(old._replace(path=old.path.reverse(), edges=edges),))

    made = to_shoulder(back, 0.4).outline
    wanted = to_shoulder(piece, 0.4).outline

    assert _sorted(made.path.nodes) == pytest.approx(_sorted(wanted.path.nodes), abs=1e-8)


def _sorted(nodes):
    return np.array(sorted(map(tuple, np.round(nodes, 6))))


# -- marks ------------------------------------------------------------------------------------


def test_marks_go_with_the_sector_they_lie_on():
    marks = (
        drill(200.0, 150.0, "high"),
        drill(60.0, 350.0, "low"),
        drill(95.0, 265.0, "apex"),
        grain(20.0, 100.0, 400.0),
        notch("armhole", 100.0, name="1"),
        notch("side", 150.0, name="2"),
    )
    piece = front(marks=marks)
    made = to_shoulder(piece)

    after, lost = with_marks(piece, made, True)

    assert lost == ()
    assert complex(*one(after, DRILL, "high").middle) == pytest.approx(rotated((200, 150), 9), abs=1e-9)
    assert tuple(one(after, DRILL, "low").middle) == (60.0, 350.0)
    assert tuple(one(after, DRILL, "apex").middle) == (95.0, 265.0)
    assert [m.on for m in after.marks if m.kind == "notch"] == [m.on for m in marks if m.kind == "notch"]
    assert np.array_equal(one(after, "grain").path.curves, one(piece, "grain").path.curves)


def test_a_line_over_a_spoke_is_cut_there_and_both_sides_go_with_their_cloth():
    piece = front(marks=(level_line("cut", 150.0, x=(10.0, 180.0)),))

    after, _ = with_marks(piece, to_shoulder(piece), True)

    # The slash from Q to A meets y = 150 at x = 95 + 35 * 115 / 242.5.
    x = 95 + 35 * (265 - 150) / (265 - 22.5)
    nodes = [complex(*node) for node in one(after, LEVEL).path.nodes]
    wanted = [10 + 150j, complex(x, 150), rotated((x, 150), 9), rotated((180, 150), 9)]
    assert nodes == pytest.approx(wanted, abs=1e-6)


def test_a_line_through_the_pivot_is_cut_there_once():
    piece = front(marks=(level_line("bust", 265.0, x=(20.0, 200.0)),))

    after, _ = with_marks(piece, to_shoulder(piece), True)

    nodes = [complex(*node) for node in one(after, LEVEL).path.nodes]
    assert nodes == pytest.approx([20 + 265j, 95 + 265j, rotated((200, 265), 9)], abs=1e-9)


def test_a_line_drawn_through_the_mouth_meets_itself_when_the_dart_is_closed():
    # From one leg, 100 mm from the apex, across to the same spot of the other one and on.
    spots = [APEX + 100 * np.array([math.cos(a), math.sin(a)]) for a in (-0.3, 0.5)]
    piece = front(marks=(inner(*spots),))

    after, _ = with_marks(piece, to_shoulder(piece), True)

    line = one(after, INNER).path
    low = math.atan2(D1[1] - 265, D1[0] - 95)
    cut = [line_meets(spots, low), line_meets(spots, low + math.radians(9))]
    nodes = [complex(*node) for node in line.nodes]
    assert nodes[0] == pytest.approx(rotated(spots[0], 9), abs=1e-6)
    assert nodes[1] == pytest.approx(rotated((cut[0].real, cut[0].imag), 9), abs=1e-6)
    assert nodes[2] == pytest.approx(cut[1], abs=1e-6)
    assert nodes[3] == pytest.approx(complex(*spots[1]), abs=1e-6)


def line_meets(spots, direction):
    """Where the line through two points meets the ray from the apex, by Cramer's rule."""
    way = spots[1] - spots[0]
    ray = np.array([math.cos(direction), math.sin(direction)])
    share = np.linalg.solve(np.array([way, -ray]).T, APEX - spots[0])[0]
    return complex(*(spots[0] + share * way))


def test_a_line_within_a_dart_that_is_closed_goes_with_it_and_the_drill_hole_of_its_point_moves_along():
    axis = math.atan2(D1[1] - 265, D1[0] - 95) + math.radians(4.5)
    spots = [APEX + r * np.array([math.cos(axis), math.sin(axis)]) for r in (40, 140)]
    hole = APEX + 37 * np.array([math.cos(axis), math.sin(axis)])
    piece = front(marks=(inner(*spots), drill(*hole, "point")))

    after, lost = with_marks(piece, to_shoulder(piece), True)

    assert lost == (INNER,)
    new = cmath.phase(Q - complex(95, 265)) + math.radians(4.5)
    wanted = complex(95, 265) + 37 * cmath.exp(1j * new)
    assert complex(*one(after, DRILL, "point").middle) == pytest.approx(wanted, abs=1e-9)


# -- cloth taken out of an edge -----------------------------------------------------------------


def test_cloth_taken_out_of_an_edge_opens_the_same_angle_in_the_dart():
    # A skirt's hem, square to the way to the pivot: closed by the arc's angle as seen from it.
    panel = Path.through([(0, 0), (100, 0), (120, 300), (200, 0), (300, 0), (300, 600), (0, 600)], True)
    piece = named(panel, "waist dart dart waist side hem centre", "panel", darts=("dart",))
    old = piece.outlines[0]
    pivot = np.array([120.0, 300.0])
    start, stop = (place_on(old, On("hem", distance)) for distance in (160.0, 200.0))
    wedge = taken(old, start, stop, pivot)
    dart = of_dart(old, legs(old), pivot, 0.0)

    made = turned(piece, old, pivot, [wedge, dart._replace(then=dart.now + wedge.now)])

    assert wedge.now == pytest.approx(2 * math.degrees(math.atan(20 / 300)), abs=1e-9)  # 100..140 about 120
    assert _wide_at(made.outline, pivot) == pytest.approx(dart.now + wedge.now, abs=1e-9)
    assert edge_ruler(made.outline, "hem") == pytest.approx(300 - 40, abs=0.3)
    assert len(made.outline.runs("hem")) == 1
    assert made.joints[0].redrawn
    assert made.joints[0].step == pytest.approx(0.0, abs=1e-9)
    (gain,) = made.change.gains
    assert (gain.edge, gain.at) == ("hem", pytest.approx(160.0, abs=1e-6))
    assert gain.amount == pytest.approx(edge_ruler(made.outline, "hem") - 300, abs=1e-6)


def _wide_at(outline, pivot):
    (node,) = [i for i, spot in enumerate(outline.path.nodes) if np.array_equal(spot, pivot)]
    before, after = outline.path.nodes[node - 1], outline.path.nodes[node + 1]
    return abs(math.degrees(cmath.phase(complex(*(after - pivot)) / complex(*(before - pivot)))))


def test_legs_of_unequal_length_are_joined_softly_and_told():
    curves = np.array(R1.curves)
    # The second end of the mouth 2 mm further out along its leg.
    out = np.array([D2.real - 95, D2.imag - 265])
    far = np.array([D2.real, D2.imag]) + 2.0 * out / np.hypot(*out)
    for number, ends_at in ((5, (curves[5, 0], far)), (6, (far, curves[6, 3]))):
        a, b = ends_at
        curves[number] = [a, a + (b - a) / 3, b - (b - a) / 3, b]
    piece = named(Path(curves, True), R1_EDGES, "front", darts=("dart",), folds=("centre",))

    made = to_shoulder(piece)

    (joint,) = made.joints
    assert joint.step == pytest.approx(2.0, abs=1e-9)
    assert joint.redrawn
    (side,) = made.outline.runs("side")
    assert np.abs(turns(side)).max() < 1.0
    assert angle(made.outline, "shoulder-dart") == pytest.approx(9.0, abs=1e-9)


# -- what cannot be cut -------------------------------------------------------------------------


def spokes_to(piece, on, pivot=APEX):
    outline = piece.outlines[0]
    dart = of_dart(outline, legs(outline), np.asarray(pivot, float), 0.0)
    return outline, [dart, opened(outline, place_on(outline, on), dart.now, "new")]


@pytest.mark.parametrize("pivot", [(300.0, 265.0), (95.0, 500.0), (1.0, 265.0)])
def test_a_pivot_outside_or_on_the_edge_is_refused(pivot):
    piece = front()
    outline, spokes = spokes_to(piece, On("shoulder", 60.0), pivot)

    with pytest.raises(InputError) as told:
        check_sight(piece, outline, np.array(pivot), spokes)

    assert told.value.code == "pivot"


def test_a_place_in_the_mouth_of_the_dart_is_refused():
    piece = front()
    outline, spokes = spokes_to(piece, On("dart", 60.0))

    with pytest.raises(InputError) as told:
        check_sight(piece, outline, APEX, spokes)

    assert told.value.code == "dart"


def test_a_place_that_the_pivot_does_not_see_is_refused():
    # A piece like an L; from its foot the top of the stem is hidden.
    path = Path.through(
        [(0, 0), (80, 0), (80, 300), (300, 300), (300, 380), (260, 340), (220, 380), (0, 380)], True
    )
    outline = bare_outline(path)
    piece = Piece("ell", (outline,), named=False)
    pivot = np.array([260.0, 340.0])
    numbers = [
        i for i, e in enumerate(outline.edges) if tuple(outline.path.curves[e.start, 0]) == (300.0, 380.0)
    ]
    dart = of_dart(outline, (numbers[0], numbers[0] + 1), pivot, 0.0)
    top = opened(outline, place_on(outline, On("1", 20.0)), dart.now, "new")

    with pytest.raises(InputError) as told:
        check_sight(piece, outline, pivot, [dart, top])

    assert told.value.code == "line"


def test_the_angle_between_two_places_counts_in_path_order_however_the_outline_runs():
    piece = front()
    outline = piece.outlines[0]
    first, second = (place_on(outline, On("shoulder", at)) for at in (20.0, 60.0))

    assert angle_of(outline, first, second, APEX) > 0
