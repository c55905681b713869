"""Edges moved by hand: put right on both sides, taken as they are, and not forgotten by an operation.

Two rectangles 200 mm wide and 300 mm high are sewn at the side; where a bottom line lies lower by
2 mm, side and centre are 2 mm longer than what stands beside their names.
"""

import io

import pytest

from sewkit.checks.moved_by_hand import KEEP, edited_findings
from sewkit.editor.menu_words import in_the_menu
from sewkit.files.svg import open_drawing
from sewkit.operation import find
from sewkit.report import Level
from tests.checks.test_baseline import SVG, drawn

LEVEL = '<path id="w" sewkit:role="level" sewkit:name="waist" d="M 20,120 H 220"/>'
BOTH = SVG.replace("V 320 ", "V {} ").replace('</g><g id="back"', LEVEL + '</g><g id="back"')


def moved(*bottoms, seam="side=back/side"):
    """The drawing with the bottom lines of front and back so deep (mm)."""
    return open_drawing(io.BytesIO(BOTH.replace("side=back/side", seam).format(*bottoms).encode()))[0]


def told(pattern):
    return {(f.where, f.text.split("'")[1]): f for f in edited_findings(pattern, ("",))}


def after(drawing, name, **values):
    """What an operation finds about hand edits; the drawing then holds what it made."""
    outcome = find(name).function(drawing.pattern, **values)
    drawing.put(outcome.pattern)
    return [f for f in outcome.report.findings if f.code == "edge-edited"]


@pytest.mark.parametrize(
    ("front", "back", "seam", "level"),
    [
        (322, 322, "side=back/side", Level.INFO),
        (322, 321.9, "side=back/side", Level.WARN),  # they were equal, and are 0.1 mm apart
        (322, 322, "side=back/side,ease=-1..3", Level.INFO),
        (322, 320, "side=back/side,ease=-1..3", Level.WARN),  # still within its ease, but only one moved
    ],
)
def test_it_is_a_note_once_both_sides_of_the_seam_were_moved_alike(front, back, seam, level):
    found = told(moved(front, back, seam=seam).pattern)
    assert found["front", "side"].level is level
    assert KEEP in found["front", "side"].cure
    # Nothing is sewn to the centre, so nothing tells whether it was meant.
    assert found["front", "centre"].level is Level.WARN and KEEP in found["front", "centre"].cure
    assert "Pattern > Check everything" in in_the_menu(found["front", "side"].cure)


def test_keeping_the_lengths_takes_what_was_moved_as_it_is():
    drawing = moved(322, 320)
    kept = after(drawing, "check", action="keep")
    assert [(f.where, f.level) for f in kept] == [("front/side", Level.INFO), ("front/centre", Level.INFO)]
    assert "2.0 mm longer" in kept[0].text
    data = drawing.as_bytes()
    assert b"side:302 " in data and b"centre:302" in data and b"V 322 H" in data
    again = open_drawing(io.BytesIO(data))[0]
    assert again.pattern.edited == ()
    # The seam is still 2 mm off, and that is told.
    codes = [f.code for f in find("check").function(again.pattern).report.findings if f.level > Level.PASS]
    assert "seam" in codes and "edge-edited" not in codes


def test_keeping_one_piece_takes_only_what_was_moved_there():
    drawing = moved(322, 321)
    data = io.BytesIO(drawing.as_bytes())
    drawing, chosen = open_drawing(data, pieces=["back"])
    after(drawing, "check", chosen=chosen, action="keep")
    assert {one.piece for one in open_drawing(io.BytesIO(drawing.as_bytes()))[0].pattern.edited} == {"front"}


def test_a_piece_scaled_by_hand_is_not_taken_as_it_is():
    data = SVG.format(320).replace('id="f"', 'id="f" transform="scale(1.05)"')
    drawing = open_drawing(io.BytesIO(data.encode()))[0]
    assert after(drawing, "check", action="keep") == []
    (one,) = edited_findings(open_drawing(io.BytesIO(drawing.as_bytes()))[0].pattern, ("",))
    assert one.code == "scaled"


@pytest.mark.parametrize(("back", "level"), [(320, Level.WARN), (322, Level.INFO)])
def test_an_operation_that_writes_the_length_anew_says_what_was_moved_before(back, level):
    """Front is made 20 mm longer; without a word its 2 mm would be found no more."""
    drawing = moved(322, back)
    found = after(drawing, "lengthen", amount=20.0, at="waist", follow=False)
    (side,) = (f for f in found if f.where == "front/side")
    assert side.level is level and "front/side" in side.text and "2.0 mm longer" in side.text
    assert ("back/side" in side.cure) == (level is Level.WARN)
    assert all(one.piece != "front" for one in drawing.pattern.edited)


def test_an_operation_that_leaves_the_lines_forgets_nothing():
    pattern = drawn(322)
    only = find("allowance").function(pattern)
    assert only.pattern.edited == pattern.edited
    assert [f for f in only.report.findings if f.code == "edge-edited"] == []
