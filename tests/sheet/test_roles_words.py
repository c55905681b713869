"""What is read from the words on a piece.  The sentences are such as patterns carry; made up."""

import pytest

from sewkit.sheet.role_name import name_in, piece_name
from sewkit.sheet.role_words import Cutting, cutting, says
from tests.sheet.found import words

NAMES = [
    ("FRONT BODICE", "front-bodice"),
    ("1 Front", "front"),
    ("1. Front", "front"),
    ("#3 Sleeve", "sleeve"),
    ("Piece 12: Side Back", "side-back"),
    ("A - Upper Collar", "upper-collar"),
    ("Back, cut 2", "back"),
    ("Waistband (cut 1 on fold)", "waistband"),
    ("Vorderteil", "vorderteil"),
    ("Teil 4: Rücken", "rücken"),
    ("Ärmel 2x zuschneiden", "ärmel"),
    ("DEVANT", "devant"),
    ("Dos", "dos"),
    ("Flap, you need four", "flap"),
    ("sew the upper edge to the other one", ""),
    ("38", ""),
    ("Size 12", ""),
    ("cut 2 of lining", ""),
    ("grain", ""),
    ("Place on fold", ""),
    ("lengthen or shorten here", ""),
    ("seam allowance included", ""),
    ("10 cm", ""),
    ("© somebody", ""),
    ("x", ""),
    ("", ""),
]


@pytest.mark.parametrize("text, name", NAMES)
def test_the_name_in_a_text(text, name):
    assert name_in(text) == name


CUTS = [
    ("cut 2", [(2, "", False)]),
    ("CUT 1 ON FOLD", [(1, "", True)]),
    ("Cut two", [(2, "", False)]),
    ("Flap, cut twice", [(2, "", False)]),
    ("Flap, you need four", [(4, "", False)]),
    ("cut 1 pair in lining", [(2, "lining", False)]),
    ("Cut 2 fabric, cut 1 interfacing", [(2, "main", False), (1, "interfacing", False)]),
    ("2x Oberstoff im Bruch", [(2, "main", True)]),
    ("2 x zuschneiden", [(2, "", False)]),
    ("Zuschnitt: 2x Futter", [(2, "lining", False)]),
    ("couper 2 fois doublure", [(2, "lining", False)]),
    ("couper 1 fois au pli", [(1, "", True)]),
    ("cut on fold", [(0, "", True)]),
    ("place on fold", []),
    ("Front", []),
    ("size 12", []),
]


@pytest.mark.parametrize("text, wanted", CUTS)
def test_how_a_piece_is_cut(text, wanted):
    assert list(cutting([text])) == [Cutting(*one) for one in wanted]


def test_the_largest_text_is_the_name_but_a_garments_part_goes_before_a_title():
    title = words("Summer Blouse No. 7", 50, 50, 14)
    part = words("Front", 50, 80, 8)
    small = words("fits well", 50, 100, 4)

    assert piece_name([small, title, part], ["38"]).text == "front"
    assert piece_name([small, words("Godot", 50, 50, 14)], []).text == "godot"
    assert piece_name([words("38", 0, 0)], ["38"]).text == ""


def test_a_part_is_surer_than_a_title_and_a_title_surer_than_small_print():
    part = piece_name([words("Front", 0, 0, 10)], []).score
    smaller = piece_name([words("Front", 0, 0, 5), words("Anna", 0, 20, 10)], []).score
    title = piece_name([words("Anna", 0, 0, 10)], []).score
    two = piece_name([words("Anna", 0, 0, 10), words("Berta", 0, 90, 10)], []).score

    assert part > smaller > title > two > 0


def test_a_name_on_two_lines_is_one_name():
    lines = [words("FRONT", 50, 50, 10), words("BODICE", 48, 62, 10), words("cut 2", 50, 72, 5)]
    apart = [words("FRONT", 50, 50, 10), words("BODICE", 48, 162, 10)]

    assert piece_name(lines, []).text == "front-bodice"
    assert piece_name(apart, []).text in ("front", "bodice")


def test_centre_front_is_what_an_edge_is_called():
    texts = [words("CENTRE FRONT", 5, 50, 10), words("Yoke", 50, 80, 6)]

    assert piece_name(texts, []).text == "yoke"


@pytest.mark.parametrize(
    "text, word, found", [("on the fold", "fold", True), ("scaffold", "fold", False), ("FOLD", "fold", True)]
)
def test_words_count_from_their_beginning(text, word, found):
    assert says(text, (word,)) == found
