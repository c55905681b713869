"""Pairing edges: in words, by nodes, the direction found or said."""

import pytest

from sewkit.errors import InputError
from sewkit.geometry.path import Path
from sewkit.operations.pair import pair
from sewkit.operations.walk import walk
from sewkit.pattern.chosen import Chosen, PickedNode, PickedOutline
from sewkit.pattern.pattern import Pattern, Problem
from sewkit.pattern.piece import Piece
from sewkit.report import Level
from tests.operations.pieces import bare_piece, named, named_outline

BOX = Path.through([(0, 0), (100, 0), (100, 150), (0, 150)], closed=True)


def pieces(front="waist side hem centre", back="waist side hem centre", path=BOX):
    return Pattern(
        (named(BOX, front, "front"), named(path, back, "back"), named(BOX, "neck end out end2", "collar"))
    )


def seam(outcome):
    return outcome.pattern.seams[-1]


def test_two_edges_in_words():
    outcome = pair(pieces(), first="front/side", second="back/side")

    assert seam(outcome).name == "front/side to back/side"
    assert outcome.report.summary == "front/side is sewn to back/side."
    assert outcome.report.findings[0].level == Level.PASS


@pytest.mark.parametrize(
    ("back", "turned"),
    # Waist before the side on both: they run the same way.  Hem before it on one: they do not.
    [("waist side hem centre", False), ("hem side waist centre", True), ("a side b c", True)],
    ids=["same neighbours", "turned neighbours", "strangers, drawn the same way round"],
)
def test_the_direction_is_found_from_the_neighbours(back, turned):
    assert seam(pair(pieces(back=back), first="front/side", second="back/side")).second[0].turned == turned


@pytest.mark.parametrize(("direction", "turned"), [("same", False), ("opposite", True)])
def test_the_direction_may_be_said(direction, turned):
    outcome = pair(pieces(), first="front/side", second="back/side", direction=direction)

    assert seam(outcome).second[0].turned == turned


def test_two_nodes_on_each_of_two_pieces():
    nodes = [("front", (100, 0)), ("front", (100, 150)), ("back", (100, 150)), ("back", (100, 0))]
    chosen = Chosen(
        (PickedOutline("front", ""), PickedOutline("back", "")),
        tuple(PickedNode(piece, "", tuple(map(float, spot))) for piece, spot in nodes),
    )

    assert seam(pair(pieces(), chosen)).name == "front/side to back/side"


def test_several_edges_end_to_end():
    outcome = pair(pieces(), first="front/waist+back/waist", second="collar/neck")

    assert seam(outcome).name == "front/waist + back/waist to collar/neck"
    # 100 + 100 against 100 mm.
    assert "100.0 mm longer" in outcome.report.findings[0].text


def test_ease_is_remembered_and_allowed_for():
    wide = Path.through([(0, 0), (100, 0), (100, 145), (0, 145)], closed=True)

    outcome = pair(pieces(path=wide), first="front/side", second="back/side", ease_least=0, ease_most=6)

    assert seam(outcome).ease == (0.0, 6.0)
    assert outcome.report.findings[0].level == Level.PASS


def test_pairing_again_replaces_what_was_said():
    once = pair(pieces(), first="front/side", second="back/side")
    again = pair(once.pattern, first="back/side", second="front/side", ease_most=3)

    assert len(again.pattern.seams) == 1
    assert seam(again).ease == (0.0, 3.0)


def test_from_then_on_it_is_walked():
    outcome = pair(pieces(), first="front/side", second="back/side")

    assert walk(outcome.pattern).report.summary.startswith("1 seam walked: 1 good")


def test_every_size_is_walked():
    """The back's side is 150 mm in the first size and 155 mm in the second, the front's 150 mm in both."""

    def nest(name, heights):
        paths = (Path.through([(0, 0), (100, 0), (100, h), (0, h)], closed=True) for h in heights)
        return Piece(
            name, tuple(named_outline(p, "waist side hem centre", s) for p, s in zip(paths, ("8", "10")))
        )

    pattern = Pattern((nest("front", (150, 150)), nest("back", (150, 155))))

    report = pair(pattern, first="front/side", second="back/side").report

    assert [f.level for f in report.findings] == [Level.PASS, Level.FAIL]
    assert [f.text.split(": ")[0] for f in report.findings] == ["Size 8", "Size 10"]
    assert [table.title for table in report.tables] == ["Seams of size 8", "Seams of size 10"]


def picked(*nodes):
    return Chosen((), tuple(PickedNode(piece, "", tuple(map(float, spot))) for piece, spot in nodes))


@pytest.mark.parametrize(
    ("chosen", "values", "words"),
    [
        (Chosen(), {}, "Two edges are needed"),
        (Chosen(), {"first": "front/side"}, "Only one of the two"),
        (Chosen(), {"first": "front/side", "second": "front/side"}, "sewn to itself"),
        (Chosen(), {"first": "front/flank", "second": "back/side"}, "no edge called 'flank'"),
        (Chosen(), {"first": "sleeve/side", "second": "back/side"}, "no piece called 'sleeve'"),
        (Chosen(), {"first": "side", "second": "back/side"}, "piece/edge"),
        (
            Chosen(),
            {"first": "front/side", "second": "back/side", "ease_least": 5, "ease_most": 2},
            "least ease",
        ),
        (picked(("front", (100, 0)), ("front", (100, 150))), {}, "Two edges are needed"),
        (picked(("front", (100, 0)), ("back", (100, 150))), {}, "do not lie on one edge"),
        (
            picked(("front", (0, 0)), ("front", (100, 150)), ("back", (0, 0)), ("back", (100, 0))),
            {},
            "do not lie on one edge",
        ),
    ],
)
def test_what_does_not_go_is_told(chosen, values, words):
    with pytest.raises(InputError, match=words) as told:
        pair(pieces(), chosen, **values)
    assert str(told.value).endswith(".")


def test_a_piece_that_cannot_be_read_says_why():
    pattern = Pattern(pieces().pieces[1:], problems=(Problem("front", "A corner was added.", "corners"),))

    with pytest.raises(InputError, match=r"A corner was added\."):
        pair(pattern, first="front/side", second="back/side")


def test_bare_lines_need_names_first():
    pattern = Pattern((bare_piece(BOX, "p"), bare_piece(BOX, "q")))
    nodes = picked(("p", (100, 0)), ("p", (100, 150)), ("q", (100, 0)), ("q", (100, 150)))

    with pytest.raises(InputError, match="no name yet"):
        pair(pattern, nodes)


@pytest.mark.parametrize(
    "first, second",
    [("front/side", "front/side,turned"), ("back/side+back/side", "front/side")],
)
def test_the_same_edge_twice_in_a_seam_is_refused(first, second):
    with pytest.raises(InputError, match="stands twice"):
        pair(pieces(), first=first, second=second)


def test_a_typed_direction_is_kept():
    outcome = pair(pieces(), first="front/side", second="back/side,turned")

    assert outcome.pattern.seams[-1].second[0].turned
