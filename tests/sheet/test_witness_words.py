"""Which sizes a text names.  Expected lengths: 1 in = 25.4 mm by definition."""

import pytest

from sewkit.sheet.witness_words import label, says_only_size, sizes_in, texts_of, unit_in
from tests.sheet.proofs import text

SIZES = [
    ("10 cm", [(100, 100)]),
    ("10CM", [(100, 100)]),
    ("100mm", [(100, 100)]),
    ("10 x 10 cm", [(100, 100)]),
    ("10cm x 10cm", [(100, 100)]),
    ("10 cm by 5 cm", [(100, 50)]),
    ("5 × 2,5 cm", [(50, 25)]),
    ("2,5 cm", [(25, 25)]),
    ('4"', [(101.6, 101.6)]),
    ("4″ x 4″", [(101.6, 101.6)]),
    ("4 in", [(101.6, 101.6)]),
    ("4-inch", [(101.6, 101.6)]),
    ("4 inches", [(101.6, 101.6)]),
    ("1 1/2 in", [(38.1, 38.1)]),
    ('1½"', [(38.1, 38.1)]),
    ("1/2 inch", [(12.7, 12.7)]),
    ("2 Zoll", [(50.8, 50.8)]),
    ("3 pouces", [(76.2, 76.2)]),
    ("10 centimetres", [(100, 100)]),
    ('TEST SQUARE 10CM / 4"', [(100, 100), (101.6, 101.6)]),
    ("1 inch (2.5 cm)", [(25.4, 25.4), (25, 25)]),
    ("10 cm = 100 mm", [(100, 100)]),  # one size, written twice
    ("print at 100 %", []),
    ("page 3", []),
    ("A4", []),
    ("scale 1:1", []),
    ("0 cm", []),
    ("front", []),
    ("2 individual pieces", []),
]


@pytest.mark.parametrize(("words", "wanted"), SIZES)
def test_a_text_names_sizes(words, wanted):
    found = sizes_in(words)

    assert [pytest.approx(size, abs=1e-9) for size in wanted] == list(found)


@pytest.mark.parametrize("words", ["10 cm", "10 x 10 cm", '4" (10.2 cm)', "4 in / 10 cm", "= 5 cm"])
def test_a_text_that_is_only_a_size(words):
    assert says_only_size(words)


@pytest.mark.parametrize("words", ["cut 1 in main fabric", "seam allowance 1 cm", "10", "hem 4 cm deep"])
def test_a_text_that_speaks_of_something_else(words):
    assert not says_only_size(words)


@pytest.mark.parametrize(
    ("words", "speaks"),
    [
        ("Test square 10 cm", True),
        ("Kontrollquadrat 10 cm", True),
        ("Carré de contrôle 10 cm", True),
        ("this box should measure 4 in", True),
        ("seam allowance 1 cm", False),
        ("check the seam of 1 cm", False),
        ("pocket 10 x 10 cm", False),
    ],
)
def test_a_text_speaks_of_a_test_square(words, speaks):
    (one,) = texts_of([text(words, 10, 10)])

    assert one.says_size == speaks


@pytest.mark.parametrize(
    ("words", "wanted"),
    [("7", (7, "")), ("10 cm", (10, "cm")), ("0 inch", (0, "in")), ("1/2", (0.5, "")), ("2,5", (2.5, ""))],
)
def test_numbers_of_a_ruler(words, wanted):
    assert label(words)[0] == pytest.approx(wanted[0])
    assert label(words)[1] == wanted[1]


@pytest.mark.parametrize("words", ["front", "size 3", "A4", "3 of 9", ""])
def test_other_words_are_no_number_of_a_ruler(words):
    assert label(words) is None


@pytest.mark.parametrize(("words", "unit"), [("inches", "in"), ("cm", "cm"), ("in cm:", "in"), ("front", "")])
def test_the_first_unit_of_a_text(words, unit):
    assert unit_in(words) == unit


def test_runs_of_one_line_are_one_text_and_other_lines_are_not():
    # Letters of 4 mm, so each is taken to be 2 mm wide: "10" ends at 14.
    words = [text("10", 10, 20, height=4), text("cm", 15, 20, height=4), text("hem", 10, 30, height=4)]

    assert sorted(one.text for one in texts_of(words)) == ["10 cm", "hem"]


def test_runs_that_stand_far_apart_are_two_texts():
    words = [text("1", 10, 20), text("2", 35.4, 20)]

    assert sorted(one.text for one in texts_of(words)) == ["1", "2"]


def test_text_that_runs_up_the_sheet_is_put_together_too():
    # Turned a quarter to the left, reading goes on to smaller y.
    words = [text("10", 10, 50, angle=-90, height=4), text("cm", 10, 45, angle=-90, height=4)]

    assert [one.text for one in texts_of(words)] == ["10 cm"]
