"""Lengths as people write them."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.errors import InputError
from sewkit.units import (
    MILLIMETRES,
    nearest_eighth,
    nearest_sixteenth,
    parse_length,
    write_length,
    write_number,
)


@pytest.mark.parametrize(
    "text, millimetres",
    [
        # by hand: an inch is exactly 25.4 mm (international yard and pound agreement, 1959)
        ("5/8in", 15.875),
        ('5/8"', 15.875),
        ("⅝ in", 15.875),
        ("36 1/2 in", 927.1),
        ("36-1/2in", 927.1),
        ("36½ in", 927.1),
        ("-1/4 in", -6.35),
        ("−2", -2.0),  # a true minus sign
        ("15", 15.0),
        ("1.5cm", 15.0),
        ("1,5 cm", 15.0),  # a comma, as most of Europe writes
        (".5 cm", 5.0),
        ("2 m", 2000.0),
        ("72 pt", 25.4),
        ("96px", 25.4),  # source: CSS Values and Units 3, 6.2: 1in = 96px = 72pt
        ("1e2", 100.0),
        ("  7  mm ", 7.0),
        ("3 INCHES", 76.2),
    ],
)
def test_what_people_write(text, millimetres):
    assert parse_length(text) == pytest.approx(millimetres, abs=1e-12)


def test_a_bare_number_has_the_unit_of_the_field():
    assert parse_length("1", unit="in") == 25.4
    assert parse_length("1 mm", unit="in") == 1.0


@pytest.mark.parametrize("text", ["", "wide", "1 2 3", "5/0 in", "1/2/3", "3 yards", "nan", "inf", "--1"])
def test_what_is_no_length_is_refused_with_a_cure(text):
    with pytest.raises(InputError) as refused:
        parse_length(text)

    assert text in str(refused.value)


@pytest.mark.parametrize("text", ["5/8", " 36 1/2 ", "½", "-1/4"])
@pytest.mark.parametrize("unit", ["mm", "cm"])
def test_a_fraction_without_a_unit_is_asked_about_where_inches_are_not_meant(text, unit):
    with pytest.raises(InputError) as refused:
        parse_length(text, unit)

    assert str(refused.value) == "{0} of what? Write {0}in.".format(text.strip())
    assert parse_length(text, "in") == parse_length(text + "in") != 0


@pytest.mark.parametrize(
    "value, text",
    [
        (20.0, "20"),
        (-0.0, "0"),
        (0.1 + 0.2, "0.3"),
        (1e-7, "0.0000001"),
        (123456.789, "123456.789"),
        (-12.5, "-12.5"),
        (1e-30, "0"),
    ],
)
def test_numbers_are_written_shortly(value, text):
    assert write_number(value) == text


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_only_finite_numbers_are_written(value):
    with pytest.raises(ValueError):
        write_number(value)


def test_fixed_decimals():
    assert write_length(12.345, decimals=1) == "12.3 mm"
    assert write_length(-0.004, decimals=2) == "0.00 mm"
    assert write_length(25.4, "in") == "1 in"


@pytest.mark.parametrize(
    "value, text",
    [
        # by hand: an eighth of an inch is 3.175 mm
        (15.875, "5/8 in"),
        (0.0, "0 in"),
        (1.5, "0 in"),
        (1.6, "1/8 in"),
        (12.7, "1/2 in"),
        (25.3, "1 in"),
        (927.1, "36 1/2 in"),
        (-6.35, "-1/4 in"),
        (-0.2, "0 in"),
    ],
)
def test_a_tape_shows_eighths(value, text):
    assert nearest_eighth(value) == text


@pytest.mark.parametrize(
    "value, text",
    [
        # by hand: a sixteenth of an inch is 1.5875 mm
        (0.7, "0 in"),
        (1.9, "1/16 in"),
        (3.2, "1/8 in"),
        (4.0, "3/16 in"),
        (12.0, "1/2 in"),
        (27.0, "1 1/16 in"),
        (-1.6, "-1/16 in"),
    ],
)
def test_sixteenths_for_what_is_small(value, text):
    assert nearest_sixteenth(value) == text


@given(st.floats(-1e5, 1e5, allow_nan=False), st.sampled_from(sorted(MILLIMETRES)))
@settings(max_examples=100, deadline=None)
def test_what_is_written_can_be_read(value, unit):
    again = parse_length(write_length(value, unit))

    # Ten significant digits, or ten decimals of the unit where the number is small.
    assert again == pytest.approx(value, rel=1e-9, abs=1e-9 * MILLIMETRES[unit])


@given(st.floats(-1e4, 1e4, allow_nan=False))
@settings(max_examples=100, deadline=None)
def test_the_nearest_eighth_is_within_a_sixteenth(value):
    assert abs(parse_length(nearest_eighth(value)) - value) <= 25.4 / 16 + 1e-9


@pytest.mark.parametrize(
    "text", ["1e999", "-1e400 mm", "9" * 400, "9" * 400 + "/1", "0 1/" + "9" * 400 + "in"]
)
def test_a_length_beyond_all_numbers_is_refused_or_nothing(text):
    try:
        assert abs(parse_length(text)) <= 1
    except InputError as refused:
        assert "longer" in str(refused)
