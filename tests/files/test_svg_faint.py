"""Faint lines in a drawing: thin, light, known again, and gone when they are not wanted."""

import re

from sewkit.geometry.path import Path
from sewkit.operations.names import names
from sewkit.pattern.faint import HINGE, SLASH, faint_lines, is_faint
from tests.files.sheets import front, opened
from tests.files.test_svg_write import again

LINES = [Path.through([(60, 20), (50, 170)])]


def shown(content=None, name="front", size="3"):
    """A drawing of one piece with one faint line and one ring."""
    drawing, _ = opened(content or front(), ids=[] if content is None else [name])
    piece = drawing.pattern.piece(name)
    drawing.put(drawing.pattern.with_piece(faint_lines(piece, size, LINES, [(60, 20)])))
    return drawing


def style(element):
    return dict(part.split(":", 1) for part in element.get("style").split(";"))


def test_they_keep_their_names_through_the_drawing():
    marks = again(shown())[0].pattern.piece("front").marks

    assert [(mark.name, mark.size) for mark in marks] == [(SLASH, "3"), (HINGE, "3")]
    assert all(is_faint(mark) for mark in marks)
    assert abs(marks[0].path.nodes - LINES[0].nodes).max() < 1e-6


def test_they_are_thinner_and_lighter_than_a_line_to_sew_or_cut_on():
    found = shown().root.xpath("//*[@s:role='overlay']", namespaces={"s": "urn:sewkit:1"})

    assert len(found) == 2
    for element in found:
        look = style(element)
        assert look["fill"] == "none" and float(look["stroke-width"]) < 0.35  # a seam line is 0.35
        red, green, blue = (int(pair, 16) for pair in re.findall("[0-9a-f]{2}", look["stroke"]))
        # Grey value by the weights of ITU-R BT.601; black is 0.
        assert 100 < 0.299 * red + 0.587 * green + 0.114 * blue < 200


def test_hiding_names_takes_them_away():
    drawing, _ = again(shown())
    drawing.put(names(drawing.pattern, action="hide").pattern)

    assert again(drawing)[0].pattern.piece("front").marks == ()


def test_the_next_run_takes_them_off_a_bare_line_too():
    drawing, _ = again(shown('<path id="line" d="M 40,30 H 140 V 130 H 40 Z"/>', "line", ""), ids=["line"])
    piece = drawing.pattern.piece("line")
    assert [mark.name for mark in piece.marks] == [SLASH, HINGE]

    drawing.put(drawing.pattern.with_piece(faint_lines(piece, "")))
    assert again(drawing, ids=["line"])[0].pattern.piece("line").marks == ()
