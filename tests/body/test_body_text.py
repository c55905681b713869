"""Bodies from words.  The inch is 25.4 mm by definition, a foot twelve of them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sewkit.body.body_text import body_from_text
from sewkit.errors import InputError

SHEET = """
# taken over the costume's shirt
who: P03
unit: cm
Chest: 96,5
waist = 35 1/2 in     # from last season
nape to waist 44.2
fits: full stomach; front length +3,5 cm
fit sheet: stout.toml
"""


def test_a_sheet_of_lines():
    body = body_from_text(SHEET)

    assert body.who == "P03"
    # 35.5 x 25.4 = 901.7
    assert body.measures == pytest.approx({"chest": 965.0, "waist": 901.7, "back waist length": 442.0})
    assert body.given == {"chest": "96,5 cm", "waist": "35 1/2 in", "back waist length": "44.2 cm"}
    assert body.fits == ("full stomach", "front length +3,5 cm")
    assert body.sheet == "stout.toml"
    assert body.notes == ("Units are mixed: waist in inches, all else in cm.",)


@pytest.mark.parametrize(
    "text, expected",
    [
        ("chest 96, waist 90 cm", {"chest": 960.0, "waist": 900.0}),
        ("chest 96,5,waist 90", {"chest": 965.0, "waist": 900.0}),
        ("chest 38, waist 34 1/2 in", {"chest": 965.2, "waist": 876.3}),
        ("height 5 ft 10, chest 38 in", {"height": 1778.0, "chest": 965.2}),
        ("height 5' 10 1/2\"; chest 38 in", {"height": 1790.7, "chest": 965.2}),
        ("high bust: 35½ in", {"high bust": 901.7}),
        ("chest (in) 38; waist (cm) 86", {"chest": 965.2, "waist": 860.0}),
        ("height 1.78 m", {"height": 1780.0}),
        ("height 1.78, chest 96", {"height": 1780.0, "chest": 960.0}),
        ("chest 96 / 97 cm", {"chest": 965.0}),
        ("chest 96/97", {"chest": 965.0}),
        ("left thigh 58, right thigh 60 cm", {"thigh": 600.0}),
        ("shoulder length left 12, shoulder length right 13 cm", {"shoulder length": 125.0}),
    ],
)
def test_a_line_that_somebody_typed(text, expected):
    body = body_from_text(text)

    assert body.measures == pytest.approx(expected)


@pytest.mark.parametrize(
    "text, unit, millimetres",
    [
        ("chest 38, waist 34", "inches", 965.2),
        ("chest 96, waist 90", "cm", 960.0),
        ("chest 960, waist 900", "mm", 960.0),
        ("chest 59.9", "inches", 59.9 * 25.4),  # 20 to 60 is inches, 60 and more cm
        ("chest 60", "cm", 600.0),
        ("waist 30, hip 40", "inches", None),
        ("waist 75, hip 100", "cm", None),
        ("height 110, chest 58", "cm", 580.0),  # nobody is 110 in tall: a child in cm
        ("age: 4; chest 55, waist 53", "cm", 550.0),
        ("age: 4; chest 22, waist 21", "inches", 558.8),
        ("height 70, chest 40", "inches", 1016.0),
        ("height 1.78", "m", None),
    ],
)
def test_without_a_unit_the_whole_sheet_is_guessed_and_told(text, unit, millimetres):
    body = body_from_text(text.replace("; ", "\n"))

    assert body.notes == ("Numbers without a unit were taken for {}.".format(unit),)
    if millimetres is not None:
        assert body.measures["chest"] == pytest.approx(millimetres)


def test_a_unit_that_is_given_is_not_guessed():
    body = body_from_text("chest 40", unit="cm")

    assert body.measures["chest"] == 400.0
    assert body.notes == ()


def test_sides_that_differ_are_told():
    body = body_from_text("left thigh 58, right thigh 60 cm")

    assert body.notes == ("The thigh is 58.0 cm on the left and 60.0 cm on the right; the larger is used.",)


@pytest.mark.parametrize(
    "text, message",
    [
        ("chets 96", "Did you mean 'chest'"),
        ("chest", "no name with a number"),
        ("", "no measure in this"),
        ("who: P03", "no measure in this"),
        (" ; , ;", "no measure in this"),
        ("chest 0", "no measure of a body"),
        ("chest -96", "no measure of a body"),
        ("chest 96 waist 90", "not a length. Put a comma between two measures"),
        ("chest 96 stone", "no unit that people"),
        ("chest 96, chest 97", "given twice"),
        ("unit: ells\nchest 96", "'ells' is no unit"),
        ("chest 1/0 in", "no measure of a body"),
        ("chest 96px", "no unit that people"),
        ("chest 1e999", "longer than anything"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(text, message):
    with pytest.raises(InputError, match=message):
        body_from_text(text)


@pytest.mark.parametrize(
    "text, child",
    [
        ("height 128, chest 64 cm", True),
        ("height 150, chest 78 cm", False),
        ("height 150, chest 78 cm\nage: 12", True),
        ("height 150, chest 78 cm\nchild: yes", True),
        ("height 138, chest 90 cm\nchild: no", False),
        ("age: 14\nchest 80 cm", False),
        ("age: 18 months\nchest 50 cm", True),
    ],
)
def test_who_is_taken_for_a_child(text, child):
    assert body_from_text(text).child is child


@given(st.text(max_size=60))
def test_any_text_is_a_body_or_refused(text):
    try:
        body = body_from_text(text)
    except InputError:
        return
    assert all(length > 0 for length in body.measures.values())


@given(st.floats(60, 149), st.sampled_from(["cm", "mm", "in"]))
def test_the_same_body_in_any_unit(chest, unit):
    """Written in cm, mm or inches, to a thousandth of a mm, a chest is the same chest."""
    per = {"cm": 10.0, "mm": 1.0, "in": 25.4}[unit]
    body = body_from_text("chest {:.6f} {}".format(chest * 10.0 / per, unit))

    assert body.of("bust") == pytest.approx(chest * 10.0, abs=1e-3)
