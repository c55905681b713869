"""What a garment and its size are called where one size is cut: worked by hand."""

import pytest

from sewkit.pattern.cut_list import cut_list
from sewkit.pattern.garment_title import garment_for
from sewkit.pattern.pattern import Pattern
from sewkit.pattern.piece_label import About, label_words
from tests.operations.pieces import r1


@pytest.mark.parametrize(
    "title, sizes, called",
    [
        ("Waistcoat, eight sizes", ["P03"], "Waistcoat"),
        ("Waistcoat (sizes 1 to 8)", [""], "Waistcoat"),
        ("Coat - 12 sizes", ["3"], "Coat"),
        ("Waistcoat, eight sizes", ["1", "2"], "Waistcoat, eight sizes"),
        ("Waistcoat, plus sizes", ["3"], "Waistcoat, plus sizes"),
    ],
)
def test_of_one_size_that_is_cut_the_title_does_not_say_that_there_are_more(title, sizes, called):
    assert garment_for(title, sizes) == called


def test_a_size_called_like_the_person_is_not_said_twice():
    (outline,) = r1().outlines
    piece = r1()._replace(outlines=(outline._replace(size="P03"),))
    (row,) = cut_list(Pattern((piece,)))
    assert label_words(piece, piece.outlines[0], row, About("Skirt", "P03"))[1] == "P03"
