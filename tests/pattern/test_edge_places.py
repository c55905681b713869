"""Places along an edge as people type them."""

import pytest

from sewkit.errors import InputError
from sewkit.geometry.transform import turn
from sewkit.pattern.edge_places import one_place, places_on, split_places
from sewkit.pattern.pattern import Pattern
from tests.operations.pieces import grain, level, moved, named, notch, outline


def panel():
    """The side is 400 mm long and runs down; notches 1 and "left front" on it, 7 on the hem."""
    path = outline((0, 0), (200, 0), (200, 400), (0, 400))
    marks = (
        notch("side", 60.0, name="1"),
        notch("side", 90.0, name="left front"),
        notch("hem", 50.0, name="7"),
        grain(bottom=350.0),
    )
    return named(path, "top side hem centre", "panel", marks=marks)


def distances(words, edge="side", piece=None):
    piece = piece or panel()
    length = piece.outline("").as_sewn(edge)
    found = places_on(piece, piece.outline(""), edge, words)
    return [length - on.distance if on.from_end else on.distance for on in found]


@pytest.mark.parametrize(
    "text, words",
    [
        ("5 1/2in", ["5 1/2in"]),
        ("60 120", ["60", "120"]),
        ("60; 120", ["60", "120"]),
        ("60, 120", ["60", "120"]),
        ("60mm 120mm", ["60mm", "120mm"]),
        ("60 mm 40%", ["60 mm", "40%"]),
        ("36 1/2 in waist", ["36 1/2 in", "waist"]),
        ("hip low-hip", ["hip", "low-hip"]),
        ("notch 1 notch 2", ["notch 1", "notch 2"]),
        ("60 inner", ["60", "inner"]),
    ],
)
def test_a_length_may_hold_blanks(text, words):
    assert split_places(text) == words


@pytest.mark.parametrize(
    "text, millimetres",
    [
        ("½in", 12.7),
        (".5in", 12.7),
        ("5 ½in", 139.7),  # 5.5 times 25.4
        ("5½″", 139.7),
        ("5 1/2in", 139.7),
        ('5 1/2"', 139.7),
        ("5-1/2 inches", 139.7),
        ("6 inch", 152.4),
        ("1,5 cm", 15.0),
        ("0,75in", 19.05),
        ("40%", 160.0),
        ("40 %", 160.0),
        ("12,5%", 50.0),
    ],
)
def test_one_place_is_one_place(text, millimetres):
    assert distances(text) == [pytest.approx(millimetres)]
    assert distances(text + " 300") == [pytest.approx(millimetres), 300.0], "and one of a list"
    on = one_place(panel(), panel().outline(""), "side", text)
    assert on.distance == pytest.approx(millimetres)


@pytest.mark.parametrize("text", ["60,120", "10,20cm", "0,60", "60,5"])
def test_a_comma_between_digits_could_mean_two_things(text):
    with pytest.raises(InputError) as told:
        split_places(text)
    assert told.value.code == "value" and text in told.value.what


def test_where_one_place_is_meant_a_comma_is_a_decimal_one():
    assert one_place(panel(), panel().outline(""), "side", "60,5").distance == 60.5


@pytest.mark.parametrize("text", ["60 5/8", "60 5/8 waist"])
def test_a_number_and_a_fraction_without_a_unit_may_be_two(text):
    with pytest.raises(InputError) as told:
        distances(text)
    assert "60 5/8in" in told.value.cure and "60mm 5/8in" in told.value.cure


def test_a_bare_fraction_wants_its_unit():
    with pytest.raises(InputError) as told:
        distances("5/8")
    assert told.value.code == "unit" and "5/8in" in told.value.cure


@pytest.mark.parametrize("text", ["60 120", "60, 120", "notch 1 40%"])
def test_several_places_are_not_one(text):
    with pytest.raises(InputError) as told:
        one_place(panel(), panel().outline(""), "side", text)
    assert told.value.code == "value"


@pytest.mark.parametrize(
    "text, places",
    [
        ("notch 1", [60.0]),
        ("1", [60.0]),
        ("1mm", [1.0]),
        ("left front", [90.0]),
        ("Notch left front, 1 120", [90.0, 60.0, 120.0]),
    ],
)
def test_notches_by_name(text, places):
    assert distances(text) == pytest.approx(places)


def test_a_notch_of_another_edge_is_none_here():
    with pytest.raises(InputError) as told:
        distances("notch 7")
    assert told.value.code == "no-level" and "left front" in told.value.cure


@pytest.mark.parametrize("degrees", [0.0, 90.0, 180.0])
@pytest.mark.parametrize("edge, length", [("side", 400.0), ("hem", 200.0)])
def test_places_count_from_the_same_end_however_the_piece_lies(degrees, edge, length):
    """The side runs from the top down, so from its start; the hem from right to left, so from its end."""
    piece = moved(Pattern((panel(),)), turn(degrees)).pieces[0]
    expected = 60.0 if edge == "side" else length - 60.0

    assert distances("60", edge, piece) == [pytest.approx(expected)]


@pytest.mark.parametrize("words", ["nan", "nan%", "inf", "inf%", "-inf%"])
def test_what_is_no_number_is_no_place(words):
    with pytest.raises(InputError) as told:
        distances(words)
    assert told.value.code == "no-level" and "'{}' is no place".format(words) in str(told.value)


def test_a_share_past_the_end_is_told_as_it_was_said():
    told = r"^110% is not on the edge 'side' of [a-z]+, which is 400\.0 mm long"
    with pytest.raises(InputError, match=told):
        distances("110%")


@pytest.mark.parametrize("words, place", [("waist", 150.0), ("waist+40mm", 190.0), ("waist-2.5cm", 125.0)])
def test_a_place_beyond_a_level_counts_downwards(words, place):
    piece = panel()
    piece = piece._replace(marks=(*piece.marks, level("waist", 150.0)))

    assert distances(words, piece=piece) == pytest.approx([place])
    # The centre, as long, runs upwards round the outline, and down is down.
    assert distances(words, "centre", piece) == pytest.approx([400.0 - place])
