"""Papers by name and by measure.  Sizes of ISO 216: A0 has 841 x 1189 mm, each next one half of it,
rounded down; an inch has 25.4 mm by the agreement of 1959."""

import pytest

from sewkit.errors import InputError
from sewkit.paper.sizes import SHEETS, paper_named


@pytest.mark.parametrize("series", ["A", "B"])
def test_each_iso_sheet_is_half_of_the_one_before(series):
    for number in range(5):
        width, height = SHEETS["{}{}".format(series, number)]
        assert SHEETS["{}{}".format(series, number + 1)] == (height // 2, width)


@pytest.mark.parametrize(
    "name, inches",
    [
        ("Letter", (8.5, 11)),
        ("Legal", (8.5, 14)),
        ("Tabloid", (11, 17)),
        ("ANSI C", (17, 22)),
        ("ANSI D", (22, 34)),
        ("ANSI E", (34, 44)),
        ("Arch A", (9, 12)),
        ("Arch E", (36, 48)),
    ],
)
def test_sheets_named_in_inches_have_them(name, inches):
    paper = paper_named(name.lower())

    assert (paper.width, paper.height) == pytest.approx([25.4 * side for side in inches])


def test_the_safe_page_fits_on_both_a4_and_letter():
    safe, a4, letter = (paper_named(name) for name in ("safe", "A4", "Letter"))

    assert safe.width == min(a4.width, letter.width)
    assert safe.height == min(a4.height, letter.height)


def test_a_width_and_a_height_carry_their_units():
    assert paper_named("900x1500mm")[1:] == (900.0, 1500.0, False)
    assert paper_named("24 x 36in")[1:] == pytest.approx((609.6, 914.4, False))
    assert paper_named("1500mm x 90cm")[1:3] == (900.0, 1500.0)  # upright


def test_what_is_longer_than_any_sheet_comes_off_a_roll():
    assert paper_named("36in x 5m") == ("roll 36in", 914.4, 5000.0, True)
    assert paper_named("roll A0")[1:] == (841.0, 5000.0, True)
    assert paper_named("roll 60in").width == pytest.approx(1524.0)


@pytest.mark.parametrize(
    "text", ["", "A9", "x", "3x4", "900 x", "1e999mm x 3m", "roll", "roll x", "roll -36in"]
)
def test_what_is_no_paper_is_one_sentence_with_a_cure(text):
    with pytest.raises(InputError) as error:
        paper_named(text)

    assert error.value.cure
