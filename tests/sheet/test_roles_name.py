"""Which words on a piece are its name, and how sure that is.  The sentences are made up."""

import pytest

from sewkit.files.pdf_read import read_pages
from sewkit.sheet.bring import bring
from sewkit.sheet.drawn import Words
from sewkit.sheet.role_across import told_apart
from sewkit.sheet.role_name import name_in, piece_name
from sewkit.sheet.role_texts import joined_texts
from sewkit.sheet.role_words import Cutting, cutting
from sewkit.sheet.roles import Guessed
from tests.operations.data import file
from tests.sheet.found import words

# What most people confirm without looking, as the README shows it.
CONFIRMED = 0.8

SENTENCES = [
    "The back part lies under the front",
    "Seams: sew the front first",
    "notes on the front",
    "front to side seam",
    "Back, then front",
    "This is the front",
    "Front goes over the back",
    "Patterns are released under it",
    "eeve, and another one",
    "Do not stuff sleeves",
    "Bitte hier Ärmel",
    "Voir le dos",
    "A very fine front for everybody",
]


@pytest.mark.parametrize("text", SENTENCES)
def test_a_sentence_is_no_name_though_it_holds_a_part(text):
    assert name_in(text) == ""


@pytest.mark.parametrize(
    "text, name, count",
    [
        ("FOOT (you need four)", "foot", 4),
        ("Tail, only one needed", "tail", 1),
        ("Wing, cut four of fur, do not stuff", "wing", 4),
        ("The LEG part, you'll need 2", "leg", 2),
        ("Collar (2x)", "collar", 2),
        ("Beak: cut twice", "beak", 2),
    ],
)
def test_instructions_are_no_part_of_the_name(text, name, count):
    assert name_in(text) == name
    assert [one.count for one in cutting([text])] == [count]


def test_needed_counts_once():
    assert cutting(["You need two needed"]) == (Cutting(2),)


@pytest.mark.parametrize("text", ["Wing", "WING, cut four", "Anna", "The back part, you need two"])
def test_words_that_are_not_of_the_trade_alone_are_not_confirmed_unseen(text):
    assert 0.5 <= piece_name([words(text, 0, 0, 10)], []).score <= 0.7


def test_a_word_of_the_trade_among_others_is_less_sure():
    trade = piece_name([words("Left front", 0, 0, 10)], []).score
    among = piece_name([words("Anna front", 0, 0, 10)], []).score

    assert trade >= CONFIRMED > among


def test_who_says_how_it_is_cut_is_the_piece_and_the_others_are_its_neighbours():
    """As on a sheet for a toy: the piece says what it is, its edges what they are sewn to."""
    texts = [words("WING, cut four", 40, 50, 5), words("SIDE", 5, 50, 5), words("SIDE", 95, 50, 5)]

    assert piece_name(texts, []).text == "wing"
    assert piece_name(texts, []).score < CONFIRMED


def test_several_parts_alike_name_the_neighbours_rather():
    texts = [words("FRONT", 5, 50, 5), words("SIDE", 95, 50, 5), words("BACK", 50, 5, 5)]

    assert piece_name(texts, []).score < 0.5


def test_of_texts_alike_the_one_in_the_middle_is_the_name():
    box = (0.0, 0.0, 100.0, 100.0)

    for texts in (
        [words("Anna", 45, 50, 5), words("Berta", 2, 5, 5)],
        [words("Berta", 2, 5, 5), words("Anna", 45, 50, 5)],
    ):
        assert piece_name(texts, [], box).text == "anna"


def test_a_note_in_small_letters_is_less_sure():
    assert piece_name([words("sleeve", 0, 0, 10)], []).score < CONFIRMED


def run(text, x, width, angle=0.0, y=50.0):
    return Words(text, x, y, angle, 5.0, width)


@pytest.mark.parametrize(
    "first, second, whole",
    [
        # Letters 2 mm broad: the second part starts as many letters further on.
        (run("SLEEVE, cu", 0, 20), run("EVE, cut two", 6, 24), "SLEEVE, cut two"),
        (run("DE", 0, 4), run("DERRIER", 0, 14), "DERRIER"),
        (run("SIDE", 0, 8), run("SIDE", 0, 8), "SIDE"),
    ],
)
def test_parts_of_one_line_are_joined(first, second, whole):
    assert [one.text for one in joined_texts([first, second])] == [whole]
    assert [one.text for one in joined_texts([second, first])] == [whole]


@pytest.mark.parametrize(
    "first, second",
    [
        (run("SIDE", 0, 8), run("DERRIER", 20, 14)),  # further on
        (run("SIDE", 0, 8), run("DERRIER", 4, 14, y=57.0)),  # the line below
        (run("SIDE", 0, 8), run("DERRIER", 4, 14, angle=90.0)),
        (run("12", 0, 4), run("12", 0, 4)),  # sizes, not words
        (run("a sleeve with a cuff", 0, 40), run("ff", 0, 4)),  # in common, elsewhere
    ],
)
def test_other_texts_are_not(first, second):
    assert joined_texts([first, second]) == (first, second)


def guess(name, score):
    return Guessed(name, score, (), (), (), None, 1, ())


def test_a_name_is_that_of_the_surest_piece():
    made = told_apart([guess("bib", 0.4), guess("bib", 0.9), guess("front", 0.95), guess("front", 0.95)])

    assert [one.name for one in made] == ["", "bib", "front", "front"]
    assert [one.name_score >= CONFIRMED for one in made] == [False, True, True, False]


@pytest.mark.parametrize("sheet", ["a1", "a4"])
def test_the_pieces_of_a_real_sheet_have_the_names_that_stand_on_them(sheet):
    """Read off the sheet by eye: six pieces say "NAME, cut ..." or "NAME, you need ..."."""
    source = file("penguin", "TUX_pattern_0.6_{}.pdf".format(sheet))

    pieces = bring(read_pages(str(source))).pattern.pieces

    named = {piece.name: piece.guess for piece in pieces if piece.guess}
    assert {"wing", "derrier", "beak", "foot", "side"} <= set(named) <= {
        "wing", "derrier", "beak", "foot", "side", "bib",
    }  # fmt: skip
    assert {name for name, score in named.items() if score >= CONFIRMED} <= {"side", "bib"}
