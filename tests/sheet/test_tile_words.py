"""Words that every tile carries are no part of the pattern, wherever their figures make them begin."""

from sewkit.sheet.drawn import Page, Words
from sewkit.sheet.tile_furniture import words_of_furniture
from sewkit.sheet.tile_groups import page_groups


def pages(place):
    """Twelve A4 pages, each with its number at the foot and a piece's name somewhere."""
    made = []
    for number in range(1, 13):
        width = 2.0 * len(str(number))
        foot = Words(str(number), place(width), 290.0, width=width)
        name = Words("Front", 20.0 + 9.0 * number, 100.0 + 3.0 * number, width=14.0)
        made.append(Page(number, 210.0, 297.0, words=(foot, name)))
    return made


def test_numbers_set_about_a_middle_are_furniture():
    made = pages(lambda width: 105.0 - width / 2)

    assert words_of_furniture(made, page_groups(made)) == {(index, 0) for index in range(12)}


def test_numbers_set_from_a_start_are_furniture():
    made = pages(lambda width: 105.0)

    assert words_of_furniture(made, page_groups(made)) == {(index, 0) for index in range(12)}
