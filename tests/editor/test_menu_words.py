"""What a cure names as a command is in the editor an item of its menu."""

import pytest

from sewkit.editor.menu_words import in_the_menu
from sewkit.editor.message import message, warnings_only
from sewkit.operations import load
from sewkit.report import Finding, Level, Report

load()


@pytest.mark.parametrize(
    ("told", "shown"),
    [
        ("Smooth it with sewkit smooth --at front/side.", "Seams > Smooth and square [At: front/side]."),
        ("(sewkit notch --action settle), or", "(Marks > Put notches [What to do: Moved by hand]), or"),
        ("sewkit allowance --piece front --width 12.5.", "Seam allowance [select front; Width: 12.5]."),
        ("sewkit notch --at '60mm, -60mm' now", "[Places: 60mm, -60mm] now"),
    ],
)
def test_a_command_becomes_the_item_with_its_values(told, shown):
    assert in_the_menu(told).endswith(shown)


@pytest.mark.parametrize("told", ["Then  sewkit editor install.", "as sewkit reads it", ""])
def test_what_is_no_operation_stays(told):
    assert in_the_menu(told) == told


def test_what_is_drawn_under_a_number_keeps_its_cure_with_it():
    found = Finding("kink", Level.WARN, "front: a kink.", "front", (3.0, 4.0), "Try sewkit smooth.", 7)

    (told,) = warnings_only(Report("", (found,)))

    assert told == "LOOK 7: front: a kink. To mend it: Try Seams > Smooth and square."
    assert told in message(Report("", (found,)))
