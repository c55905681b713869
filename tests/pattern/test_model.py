"""Outlines, pieces, notches and choices: small facts worked by hand."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.errors import InputError
from sewkit.files.svg_read import read_place, write_place
from sewkit.geometry.path import Path
from sewkit.geometry.transform import move, turn
from sewkit.pattern.bare import comparable
from sewkit.pattern.chosen import EVERYTHING, Chosen, PickedNode, PickedOutline
from sewkit.pattern.mark import LEVEL, NOTCH, Mark, On
from sewkit.pattern.notch import redrawn, spot_of, tick
from sewkit.pattern.outline import bare_outline, begun_at_an_edge, corner_nodes, other_way_round
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CornerRule, CutLine, Piece, Style, corner_at, parse_corners, write_corners
from tests.geometry.shapes import R1

BOX = Path.through([(0, 0), (100, 0), (100, 150), (0, 150)], True)


def test_corners_are_where_the_path_turns_by_more_than_twelve_degrees():
    def bent(degrees):
        knee = np.radians(degrees)
        return Path.through([(0, 0), (50, 0), (50 + 50 * np.cos(knee), 50 * np.sin(knee))])

    assert corner_nodes(bent(11.9)) == (0, 2)
    assert corner_nodes(bent(12.1)) == (0, 1, 2)
    assert corner_nodes(bent(-12.1)) == (0, 1, 2)
    assert corner_nodes(BOX) == (0, 1, 2, 3)


def test_a_bare_outline_starts_at_its_first_corner():
    path = Path.through([(50, 0), (100, 0), (100, 150), (0, 150), (0, 0)], True)
    outline = bare_outline(path)

    assert outline.path.start.tolist() == [100, 0]
    assert [(e.name, e.start, e.stop) for e in outline.edges] == [
        ("1", 0, 1),
        ("2", 1, 2),
        ("3", 2, 3),
        ("4", 3, 5),
    ]


def test_an_outline_without_corners_is_one_edge():
    steps = np.radians(np.arange(0, 360, 10))
    outline = bare_outline(Path.through(np.stack([np.cos(steps), np.sin(steps)], 1) * 100, True))

    assert outline.names == ("1",) and outline.edges[0].stop == 36


def test_an_unknown_edge_is_told_with_those_there_are():
    with pytest.raises(InputError, match="Its edges are: 1, 2, 3, 4"):
        bare_outline(BOX).edge_path("side")
    with pytest.raises(ValueError):
        bare_outline(BOX).replace_path(R1)


# -- notches --------------------------------------------------------------------------------

NAMED = bare_outline(BOX)._replace(
    edges=tuple(e._replace(name=n) for e, n in zip(bare_outline(BOX).edges, ("top", "side", "hem", "centre")))
)


@pytest.mark.parametrize(
    ("on", "point", "outward"),
    [
        (On("side", 40), (100, 40), (1, 0)),
        (On("side", 40, True), (100, 110), (1, 0)),
        (On("top", 0), (0, 0), (0, -1)),
        (On("hem", 100), (0, 150), (0, 1)),
        (On("centre", 30, True), (0, 30), (-1, 0)),
    ],
)
@pytest.mark.parametrize("degrees", [0, 30])
def test_where_a_notch_sits(on, point, outward, degrees):
    frame = turn(degrees)
    spot = spot_of(NAMED.replace_path(frame.path(BOX)), on)

    assert spot.point == pytest.approx(frame.points(np.array(point, float)))
    assert spot.outward == pytest.approx(frame.points(np.array(outward, float)), abs=1e-12)


def test_out_of_the_piece_is_out_of_it_whichever_way_it_was_drawn():
    back = bare_outline(BOX.reverse())
    spot = spot_of(back, On(back.edges[0].name, 10))

    assert not (0 < spot.point[0] + spot.outward[0] < 100 and 0 < spot.point[1] + spot.outward[1] < 150)


@pytest.mark.parametrize("on", [On("side", 150.1), On("side", 151, True), On("pocket", 3), On("side", -0.1)])
def test_a_notch_beyond_its_edge_is_nowhere(on):
    assert spot_of(NAMED, on) is None
    assert redrawn(Mark(NOTCH, on=on), NAMED) is None


def test_on_an_edge_with_a_dart_the_distance_is_as_sewn():
    edges = ("neck", "shoulder", "armhole", "side", "dart", "dart", "side", "waist", "centre")
    outline = bare_outline(R1)._replace(
        edges=tuple(e._replace(name=n) for e, n in zip(bare_outline(R1).edges, edges))
    )
    # U(250,230) to D1(245.958,284.851) is 55.000 mm; 10 mm further lies on D2(240.994,308.222) to W1.
    spot = spot_of(outline, On("side", 65.0))
    away = spot.point - np.array([240.994, 308.222])

    assert np.hypot(*away) == pytest.approx(10, abs=0.002)
    assert (away / np.hypot(*away)).tolist() == pytest.approx(
        (np.array([210.017, 440.149]) - [240.994, 308.222]) / 135.515, abs=1e-4
    )


@pytest.mark.parametrize(("width", "ends"), [(0, (5, 0)), (15, (15, 10)), (6, (6, 3)), (7.5, (7.5, 3.175))])
def test_a_tick_is_square_to_the_seam_and_stops_short_of_it(width, ends):
    path = tick(spot_of(NAMED, On("side", 40)), width, 2)

    # Two ticks 4 mm apart, at 38 and 42 mm down the side x = 100.
    assert sorted(path.curves[:, 0, 1]) == pytest.approx([38, 42])
    assert path.curves[:, 0, 0] == pytest.approx([100 + ends[0]] * 2)
    assert path.curves[:, 3, 0] == pytest.approx([100 + ends[1]] * 2)


def test_other_marks_are_not_redrawn():
    level = Mark(LEVEL, "waist", path=Path.through([(0, 5), (9, 5)]))
    assert redrawn(level, NAMED) is level
    assert level.middle.tolist() == [4.5, 5]
    with pytest.raises(ValueError):
        assert Mark(LEVEL).middle is None


edge_names = st.text("abzäé059-", min_size=1, max_size=9)


@given(edge_names, st.integers(0, 10**8).map(lambda n: n / 10000), st.booleans())
@settings(max_examples=150, deadline=None)
def test_a_place_is_read_back(edge, distance, from_end):
    assert read_place(write_place(On(edge, distance, from_end))) == On(edge, distance, from_end)


@pytest.mark.parametrize("text", ["", "side", "+5", "side+", "side+-5", "side+x", "side + 5", "side+5mm"])
def test_what_is_no_place_says_none(text):
    assert read_place(text) is None


# -- pieces ---------------------------------------------------------------------------------


def test_a_line_takes_the_place_of_the_one_of_its_size():
    outline, other = bare_outline(BOX, "3", "a"), bare_outline(BOX, "4", "b")
    piece = Piece("front", (outline, other)).with_outline(outline._replace(key="new"))
    assert [o.key for o in piece.outlines] == ["new", "b"]
    assert piece.with_outline(outline._replace(size="P01")).sizes == ("3", "4", "P01")

    cut = piece.with_cut_line(CutLine("3", BOX, "old")).with_cut_line(CutLine("3", R1))
    assert cut.cut_lines == (CutLine("3", R1, "old"),)
    with pytest.raises(InputError, match="Its sizes are: 3, 4"):
        piece.outline("5")


def test_corner_rules_are_read_back_and_nonsense_is_refused():
    rules = {
        ("side", "hem"): CornerRule(Style.TURNED_BACK, "hem"),
        ("hem", "centre"): CornerRule(Style.BLUNT, "hem"),
    }
    assert parse_corners(write_corners(rules)) == rules
    for text in ("side", "side/=square", "side/hem=round", "side/hem=square:neck", "side/hem"):
        with pytest.raises(InputError):
            parse_corners(text)


def test_a_hem_is_turned_back_unless_a_rule_says_otherwise():
    piece = Piece("front", hems=("hem",), corners=parse_corners("hem/centre=square:hem"))
    assert corner_at(piece, "side", "hem")[:2] == (Style.TURNED_BACK, 1)
    assert corner_at(piece, "hem", "side")[:2] == (Style.TURNED_BACK, 0)
    assert corner_at(piece, "hem", "centre")[:2] == (Style.SQUARE, 0)
    assert corner_at(piece, "side", "neck").style == Style.EXTENDED


# -- choices --------------------------------------------------------------------------------

PATTERN = Pattern(
    (
        Piece("front", (bare_outline(BOX, "3"), bare_outline(BOX, "4"))),
        Piece("back", (bare_outline(BOX, "3"),)),
    )
)


def test_no_choice_is_everything_and_a_choice_keeps_its_order():
    assert [p.name for p in EVERYTHING.pieces(PATTERN)] == ["front", "back"]
    assert len(EVERYTHING.picked(PATTERN)) == 3
    chosen = Chosen((PickedOutline("back", "3"), PickedOutline("front", "4"), PickedOutline("front", "3")))
    assert [p.name for p in chosen.pieces(PATTERN)] == ["back", "front"]
    assert [(p.name, o.size) for p, o in chosen.picked(PATTERN)] == [
        ("back", "3"),
        ("front", "4"),
        ("front", "3"),
    ]


@pytest.mark.parametrize(("count", "words"), [(0, "none is"), (1, "one is"), (3, "three are")])
def test_two_lines_are_two(count, words):
    lines = tuple(PickedOutline(*one) for one in (("back", "3"), ("front", "4"), ("front", "3"))[:count])
    with pytest.raises(InputError, match=words):
        Chosen(lines).two_lines(PATTERN, "Blending")


def test_nodes_belong_to_their_outline():
    chosen = Chosen((), (PickedNode("front", "3", (1.0, 2.0)), PickedNode("back", "3", (3.0, 4.0))))
    assert [n.tolist() for n in chosen.nodes_on("front", "3")] == [[1, 2]]


def test_unknown_pieces_are_told_with_those_there_are():
    with pytest.raises(InputError, match="The pieces are: front, back"):
        PATTERN.piece("sleeve")
    assert PATTERN.sizes == ("3", "4")


# -- two bare lines ---------------------------------------------------------------------------


def test_open_lines_are_turned_to_run_alike():
    first, second = Path.through([(0, 0), (100, 5)]), Path.through([(103, 9), (1, 3)])
    a, b = comparable(bare_outline(first), bare_outline(second))
    assert a.path == first and b.path.start.tolist() == [1, 3] and a.names == b.names == ("1",)


@pytest.mark.parametrize("start", range(4))
@pytest.mark.parametrize("backwards", [False, True])
def test_closed_lines_are_matched_corner_by_corner(start, backwards):
    other = move(3, 2).path(BOX.reverse() if backwards else BOX).start_at(start)
    a, b = comparable(bare_outline(BOX), bare_outline(other))
    assert np.abs(b.path.nodes - a.path.nodes - [3, 2]).max() < 1e-9


def test_lines_that_cannot_be_compared_are_told():
    with pytest.raises(InputError, match="open"):
        comparable(bare_outline(BOX), bare_outline(Path.through([(0, 0), (9, 9)])))
    with pytest.raises(InputError, match="4 corners and the second 9"):
        comparable(bare_outline(BOX), bare_outline(R1))


# -- where an outline begins, and which way two nodes mean ------------------------------------

# A rectangle with a dart in its right side; nodes from the top left corner, clockwise.
DARTED = [(0, 0), (100, 0), (100, 80), (60, 90), (100, 100), (100, 200), (0, 200)]
NAMES = ["waist", "side", "dart", "dart", "side", "hem", "centre"]


@pytest.mark.parametrize("start", range(7))
def test_an_edge_with_a_dart_in_it_begins_at_its_upper_end_wherever_the_path_starts(start):
    points = DARTED[start:] + DARTED[:start]
    outline = bare_outline(Path.through(points, closed=True))
    names = NAMES[start:] + NAMES[:start]
    outline = outline._replace(edges=tuple(e._replace(name=n) for e, n in zip(outline.edges, names)))

    made = begun_at_an_edge(outline, ("dart",))

    # by hand: from (100, 0) down to the dart, then from below it to the hem
    assert [run.start.tolist() + run.end.tolist() for run in made.runs("side")] == [
        [100, 0, 100, 80],
        [100, 100, 100, 200],
    ]
    assert [edge.name for edge in made.edges if edge.name == "dart"] == ["dart", "dart"]
    assert sorted(map(tuple, made.path.nodes)) == sorted(map(tuple, outline.path.nodes))


def test_two_nodes_mean_the_run_without_a_corner_in_either_order():
    outline = bare_outline(Path.through([(0, 0), (100, 0), (100, 80), (0, 80)], closed=True))

    assert not other_way_round(outline, 0, 1)
    assert other_way_round(outline, 1, 0)
    # Corners lie on both sides: the direction of the path decides.
    assert not other_way_round(outline, 0, 2) and not other_way_round(outline, 2, 0)
