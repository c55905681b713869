"""Naming pieces, sizes and edges, from bare lines to a whole nest."""

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operations.name import name
from sewkit.pattern.chosen import Chosen, PickedNode, PickedOutline
from sewkit.pattern.mark import Mark, On
from sewkit.pattern.outline import bare_outline
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece import CutLine, Piece
from sewkit.pattern.seam import EdgeRef, Seam, parse_seams
from tests.operations.pieces import R1, R1_EDGES, bare_piece, named, r4_path


def picked(*names, nodes=()):
    return Chosen(
        tuple(PickedOutline(one, "") for one in names),
        tuple(PickedNode(one, "", tuple(map(float, spot))) for one, spot in nodes),
    )


def one(path=R1):
    return Pattern((bare_piece(path, "path1"),)), picked("path1")


def edges(outcome, piece="front", number=0):
    return [edge.name for edge in outcome.pattern.piece(piece).outlines[number].edges]


def test_one_outline_gets_its_name_and_its_edges():
    outcome = name(*one(), called="front", edges=R1_EDGES, folds="centre", cut=2, cloth="main")
    piece = outcome.pattern.piece("front")

    assert piece.named and (piece.cut, piece.cloth, piece.folds) == (2, "main", ("centre",))
    assert edges(outcome) == R1_EDGES.split()
    assert piece.outlines[0].path == R1
    assert [p.name for p in outcome.pattern.pieces] == ["front"]


def test_all_sizes_of_a_nest_are_named_by_one_list():
    girths = ((180, 236, 240), (185, 241, 245), (190, 246, 250))
    pattern = Pattern(tuple(bare_piece(r4_path(*g), "p{}".format(n)) for n, g in enumerate(girths)))

    outcome = name(
        pattern, picked("p0", "p1", "p2"), called="front", line_sizes="4 5 6", edges="waist side hem centre"
    )

    piece = outcome.pattern.piece("front")
    assert piece.sizes == ("4", "5", "6")
    for number in range(3):
        assert edges(outcome, number=number) == "waist side hem centre".split()
        assert piece.outlines[number].key == "p{}".format(number)


def test_the_sizes_go_by_the_order_of_selecting():
    pattern = Pattern(
        tuple(bare_piece(r4_path(180 + n, 236 + n, 240 + n), "p{}".format(n)) for n in range(2))
    )

    outcome = name(pattern, picked("p1", "p0"), called="front", line_sizes="6 4")

    assert {o.size: o.key for o in outcome.pattern.piece("front").outlines} == {"6": "p1", "4": "p0"}


@pytest.mark.parametrize("begin", [1, 3, 9])
def test_the_list_may_begin_at_another_corner(begin):
    outcome = name(*one(), called="front", edges=R1_EDGES, corner=begin)

    wanted = R1_EDGES.split()
    shift = (begin - 1) % 9
    assert edges(outcome) == wanted[9 - shift :] + wanted[: 9 - shift] if shift else wanted


def test_two_nodes_name_the_edge_between_them():
    outcome = name(
        Pattern((bare_piece(R1, "path1"),)),
        picked("path1", nodes=[("path1", (190, 45)), ("path1", (250, 230))]),
        called="front",
        edges="armhole",
    )

    assert edges(outcome)[2] == "armhole"
    assert edges(outcome).count("armhole") == 1


def test_a_node_inside_an_edge_divides_it_smoothly():
    path = Path.through([(0, 0), (40, 0), (100, 0), (100, 50), (0, 50)], closed=True)
    chosen = picked("p", nodes=[("p", (40, 0)), ("p", (100, 0))])

    outcome = name(Pattern((bare_piece(path, "p"),)), chosen, called="band", edges="button-stand")

    made = outcome.pattern.piece("band").outlines[0].edges
    assert [(e.name, e.start, e.stop, e.smooth) for e in made][:2] == [
        ("1", 0, 1, False),
        ("button-stand", 1, 2, True),
    ]


def test_naming_again_changes_the_name_and_its_seams():
    side = Path.through([(0, 0), (100, 0), (100, 50)], closed=True)
    pattern = Pattern(
        (named(side, "x y z", "front"), named(side, "x y z", "back")), parse_seams("x=back/x", "front")
    )

    outcome = name(pattern, Chosen((PickedOutline("front", ""),)), called="front-left")

    assert [p.name for p in outcome.pattern.pieces] == ["front-left", "back"]
    assert str(outcome.pattern.seams[0].first[0]) == "front-left/x"


def test_an_empty_name_keeps_the_one_it_has():
    side = Path.through([(0, 0), (100, 0), (100, 50)], closed=True)
    pattern = Pattern((named(side, "x y z", "front"),))

    outcome = name(pattern, Chosen((PickedOutline("front", ""),)), cloth="lining")

    assert outcome.pattern.piece("front").cloth == "lining"
    assert edges(outcome) == ["x", "y", "z"]


def test_the_sign_of_a_smooth_edge_is_not_part_of_its_name():
    path = Path.through([(0, 0), (40, 0), (100, 0), (100, 50), (0, 50)], closed=True)
    first = name(
        Pattern((bare_piece(path, "p"),)),
        picked("p", nodes=[("p", (40, 0)), ("p", (100, 0))]),
        called="band",
        edges="b",
    )

    again = name(first.pattern, Chosen((PickedOutline("band", ""),)), edges="a ~b c d e")

    assert edges(again, "band") == ["a", "b", "c", "d", "e"]


def two_named():
    side = Path.through([(0, 0), (100, 0), (100, 50)], closed=True)
    return Pattern((named(side, "x y z", "front"), named(side, "x y z", "back"), bare_piece(side, "p")))


@pytest.mark.parametrize(
    ("pattern", "chosen", "values", "words"),
    [
        (one()[0], Chosen(), {"called": "front"}, "No line is selected"),
        (*one(), {}, "no name yet"),
        (*one(), {"called": "a b"}, "cannot be used"),
        (*one(), {"called": "front", "edges": "neck side"}, "9 edges.*2 names"),
        (*one(), {"called": "front", "edges": R1_EDGES.replace("neck", "ne/ck")}, "cannot be used"),
        (*one(), {"called": "front", "edges": R1_EDGES, "corner": 12}, "only 9 corners"),
        (*one(), {"called": "front", "edges": R1_EDGES, "folds": "center"}, "no edge called 'center'"),
        (*one(), {"called": "front", "line_sizes": "3 4"}, "2 sizes are given for 1 selected line"),
        (one()[0], picked("path1", nodes=[("path1", (0, 80))]), {"called": "front", "edges": "a"}, "1 node"),
        (
            one()[0],
            picked("path1", nodes=[("path1", (0, 80))] * 2),
            {"called": "front", "edges": "a"},
            "same",
        ),
        (
            two_named(),
            Chosen((PickedOutline("front", ""), PickedOutline("back", ""))),
            {"called": "x"},
            "several pieces",
        ),
        (two_named(), Chosen((PickedOutline("p", ""),)), {"called": "front"}, "already a piece"),
    ],
)
def test_what_does_not_go_is_told(pattern, chosen, values, words):
    with pytest.raises(InputError, match=words) as told:
        name(pattern, chosen, **values)
    assert str(told.value).endswith(".")


def test_several_lines_of_one_piece_need_their_sizes():
    pattern = Pattern((bare_piece(R1, "a"), bare_piece(R1, "b")))

    with pytest.raises(InputError, match="Say their sizes"):
        name(pattern, picked("a", "b"), called="front")


def test_sizes_with_different_edges_are_told():
    outlines = tuple(bare_outline(r4_path(180, 236, 240), s, s) for s in "45")
    pattern = Pattern((Piece("front", outlines),))

    outcome = name(pattern, Chosen((PickedOutline("front", "4"),)), edges="waist side hem centre")

    assert {e.name for e in outcome.pattern.piece("front").outlines[0].edges} == {
        "waist",
        "side",
        "hem",
        "centre",
    }
    assert edges(outcome, number=1) == ["1", "2", "3", "4"]
    assert any(f.code == "edges-differ" for f in outcome.report.findings)


def test_the_line_itself_is_never_changed():
    outcome = name(*one(R1.reverse()), called="front", edges=R1_EDGES)

    drawn = bare_outline(R1.reverse()).path
    assert np.array_equal(outcome.pattern.piece("front").outlines[0].path.curves, drawn.curves)


def test_one_name_and_a_corner_name_the_edge_that_begins_there():
    first = name(*one(), called="front", edges=R1_EDGES)
    names = [edge.name for edge in first.pattern.piece("front").outlines[0].edges]
    chosen = Chosen((PickedOutline("front", first.pattern.piece("front").outlines[0].size),))

    again = name(first.pattern, chosen, edges="neckline", corner=2)

    wanted = names[:1] + ["neckline"] + names[2:]
    assert [edge.name for edge in again.pattern.piece("front").outlines[0].edges] == wanted


def test_what_is_known_of_a_renamed_edge_goes_with_it():
    first = name(*one(), called="front", edges=R1_EDGES, hems="waist", folds="centre")
    piece = first.pattern.piece("front")
    notch = Mark("notch", "1", on=On("waist", 20.0))
    seam = Seam((EdgeRef("front", "waist"),), (EdgeRef("skirt", "waist"),))
    piece = piece._replace(marks=(notch,), allowance={"": 10.0, "waist": 40.0})
    pattern = first.pattern.with_piece(piece)._replace(seams=(seam,))
    number = [edge.name for edge in piece.outlines[0].edges].index("waist") + 1

    after = name(pattern, Chosen((PickedOutline("front", ""),)), edges="hem", corner=number).pattern

    made = after.piece("front")
    assert made.hems == ("hem",) and made.folds == ("centre",)
    assert made.allowance == {"": 10.0, "hem": 40.0} and made.marks[0].on.edge == "hem"
    assert after.seams[0].first == (EdgeRef("front", "hem"),)
    assert after.seams[0].second == (EdgeRef("skirt", "waist"),)


def test_dart_legs_can_be_named():
    made = name(*one(), called="front", edges=R1_EDGES, darts="dart").pattern.piece("front")

    assert made.darts == ("dart",)


def test_a_cut_line_and_marks_go_with_the_size_of_their_line():
    line = bare_piece(R1, "path1")
    cut = CutLine("", R1, "cut1")
    pattern = Pattern((line._replace(cut_lines=(cut,), marks=(Mark("drill", key="dot"),)),))

    made = name(pattern, picked("path1"), called="front", line_sizes="3").pattern
    again = name(made, Chosen((PickedOutline("front", "3"),)), line_sizes="M").pattern.piece("front")

    assert made.piece("front").cut_lines == (cut._replace(size="3"),)
    assert (again.sizes, again.cut_lines[0].size, again.marks[0].size) == (("M",), "M", "M")


def test_a_size_that_is_there_already_is_refused():
    pattern = Pattern(
        tuple(bare_piece(r4_path(180 + n, 236 + n, 240 + n), "p{}".format(n)) for n in range(2))
    )
    made = name(pattern, picked("p0", "p1"), called="front", line_sizes="4 6").pattern

    with pytest.raises(InputError, match="both be called size '6'"):
        name(made, Chosen((PickedOutline("front", "4"),)), line_sizes="6")


def test_two_nodes_name_their_edge_in_either_order():
    box = Path.through([(0, 0), (100, 0), (100, 80), (0, 80)], closed=True)
    made = name(Pattern((bare_piece(box, "p"),)), picked("p"), called="front", edges="a b c d").pattern
    for spots in (((100, 0), (100, 80)), ((100, 80), (100, 0))):
        nodes = tuple(PickedNode("front", "", tuple(map(float, spot))) for spot in spots)
        outcome = name(made, Chosen((PickedOutline("front", ""),), nodes), edges="side")

        assert edges(outcome) == ["a", "side", "c", "d"]
