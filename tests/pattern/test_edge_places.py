"""Places along an edge as people type them."""

import pytest

from sewkit.errors import InputError
from sewkit.pattern.edge_places import places_on, split_places
from tests.operations.pieces import named, outline


@pytest.mark.parametrize(
    "text, words",
    [
        ("5 1/2in", ["5 1/2in"]),
        ("60 120", ["60", "120"]),
        ("60; 120", ["60", "120"]),
        ("60, 120", ["60", "120"]),
        ("60 mm 40%", ["60 mm", "40%"]),
        ("36 1/2 in waist", ["36 1/2 in", "waist"]),
        ("hip low-hip", ["hip", "low-hip"]),
    ],
)
def test_a_length_may_hold_blanks(text, words):
    assert split_places(text) == words


def test_a_comma_between_digits_could_mean_two_things():
    with pytest.raises(InputError) as told:
        split_places("60,120")
    assert told.value.code == "value"


def test_five_and_a_half_inches_are_one_place():
    piece = named(outline((0, 0), (200, 0), (200, 400), (0, 400)), "top side hem centre", "panel")
    found = places_on(piece, piece.outline(""), "side", "5 1/2in")

    assert [on.distance for on in found] == [pytest.approx(139.7)]  # 5.5 times 25.4
