"""Wearing ease: inches of the textbooks, changed to mm by hand (1 in = 25.4 mm)."""

import pytest

from sewkit.body.ease import AMBER, GREEN, RED, WEARING_EASE, ease_light, ease_words, wearing_ease


@pytest.mark.parametrize(
    "measure, ease, light",
    [
        ("full bust", 20.0, RED),  # a blouse with 2 cm at the bust
        ("full bust", 45.0, AMBER),  # between 1 1/2 in (38.1 mm) and 2 in (50.8 mm)
        ("bust", 80.0, GREEN),
        ("chest", 100.0, GREEN),
        ("waist", 10.0, RED),  # less than 1/2 in, 12.7 mm
        ("waist", 40.0, GREEN),
        ("hip", 50.0, GREEN),
        ("hips", 30.0, RED),  # less than 1 1/2 in
        ("upper arm", 36.0, AMBER),  # less than about 2 in
        ("ankle", 0.0, GREEN),  # nothing is known of it
    ],
)
def test_lights(measure, ease, light):
    assert ease_light(measure, ease) == light


def test_the_light_follows_the_style_where_it_has_less():
    """A knit of -4 cm at the bust: as meant is green, 1.2 cm less the limit, more is red."""
    assert ease_light("full bust", -40.0) == RED
    assert ease_light("full bust", -40.0, -40.0) == GREEN
    assert ease_light("full bust", -50.0, -40.0) == AMBER
    assert ease_light("full bust", -60.0, -40.0) == RED
    # A loose style does not ask for more than wearing needs.
    assert ease_light("full bust", 60.0, 200.0) == GREEN


def test_what_is_too_tight_is_said_with_its_numbers():
    assert ease_words("full bust", 80.0) == ""
    assert "2.0 cm of ease: too tight to wear, it needs 5.0 cm" in ease_words("full bust", 20.0)
    assert "4.5 cm of ease, a little less than the 5.0 cm" in ease_words("full bust", 45.0)


def test_every_number_has_a_source_and_rises():
    for one in WEARING_EASE:
        assert one.source
        assert 0 < one.tight < one.least < one.usual
    assert wearing_ease("Biceps").measure == "upper arm"
    assert wearing_ease("ankle") is None
