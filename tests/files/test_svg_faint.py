"""Faint lines in a drawing: light but seen, known again, and gone when they are not wanted."""

import re

import numpy as np

from sewkit.files.svg_draw import _LOOKS
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


def looks():
    found = shown().root.xpath("//*[@s:role='overlay']", namespaces={"s": "urn:sewkit:1"})
    assert len(found) == 2
    return [style(element) for element in found]


def colours(look):
    return [int(pair, 16) for pair in re.findall("[0-9a-f]{2}", look["stroke"])]


def light(part):
    """One part of a colour, 0 to 255, as light (WCAG 2.1, relative luminance)."""
    share = part / 255
    return share / 12.92 if share <= 0.03928 else ((share + 0.055) / 1.055) ** 2.4


def test_they_are_lighter_than_a_line_to_sew_or_cut_on_on_a_grey_printer_too():
    for look in looks():
        red, green, blue = colours(look)
        # Grey value by the weights of ITU-R BT.601; a seam line is black, which is 0.
        assert 85 < 0.299 * red + 0.587 * green + 0.114 * blue < 170
        assert look["fill"] == "none"


def test_they_are_still_seen_where_the_whole_sheet_is():
    for look in looks():
        red, green, blue = (light(part) for part in colours(look))
        # WCAG 2.1, 1.4.11: graphics want a contrast of 3 to 1; white is 1.05.
        assert 1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05) >= 3
        # A sheet 1189 mm wide on a screen of 1400 dots: half a dot's width of ink or more.
        dashes = [float(length) for length in look["stroke-dasharray"].split(",")]
        ink = float(look["stroke-width"]) * sum(dashes[::2]) / sum(dashes)
        assert ink * 1400 / 1189 >= 0.5


def test_their_dashes_are_like_those_of_no_other_line():
    shares = {tuple(np.array(dashes) / sum(dashes)) for _, dashes in _LOOKS.values() if dashes}
    for look in looks():
        dashes = np.array([float(length) for length in look["stroke-dasharray"].split(",")])
        assert all(len(one) != len(dashes) or abs(dashes / dashes.sum() - one).max() > 0.1 for one in shares)


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
