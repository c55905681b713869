"""Cautions for children; the limits are those of EN 14682: 7 years or 134 cm, and 14 years."""

import pytest

from sewkit.body.body_text import body_from_text
from sewkit.body.cautions import KEEP_SAFE, cautions

NO_CORDS = "no cords, ties or drawstrings"
NO_ENDS = "no drawstrings with free ends"


@pytest.mark.parametrize(
    "text, rule",
    [
        ("age: 6\nheight 140, chest 70 cm", NO_CORDS),
        ("age: 7\nheight 120, chest 60 cm", NO_ENDS),
        ("height 134, chest 66 cm", NO_CORDS),
        ("height 135, chest 66 cm", NO_ENDS),
        ("child: yes\nchest 66 cm", NO_CORDS),
    ],
)
def test_a_childs_cords_follow_age_and_height(text, rule):
    found = cautions(body_from_text(text))

    assert rule in found[0]
    assert "nightwear" in found[1]
    assert all(caution.endswith("Local rules go first.") for caution in found)


@pytest.mark.parametrize("text", ["height 150, chest 80 cm", "chest 96 cm", "age: 14\nchest 80 cm"])
def test_nothing_for_whoever_is_no_child(text):
    assert cautions(body_from_text(text)) == ()


@pytest.mark.parametrize("text, told", [("age: 2\nchest 50 cm", True), ("age: 3\nchest 53 cm", False)])
def test_small_parts_below_three(text, told):
    found = cautions(body_from_text(text))

    assert any("swallow" in caution for caution in found) is told


def test_sheets_are_to_be_kept_safe():
    assert "delete" in KEEP_SAFE and "closed" in KEEP_SAFE
