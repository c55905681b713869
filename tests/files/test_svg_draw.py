"""New elements: the numbers that place them are clean, and exact where it matters."""

import re

import pytest
from lxml import etree

from sewkit.files.svg_draw import new_text, set_transform
from sewkit.geometry.path import Path
from sewkit.geometry.transform import Transform, move, turn
from sewkit.pattern.mark import LABEL
from sewkit.pattern.piece import CutLine
from tests.files.sheets import opened

SVG = "{http://www.w3.org/2000/svg}"


def written(frame):
    element = etree.Element(SVG + "g")
    set_transform(element, frame)
    return element.get("transform")


def numbers(text):
    return [float(word) for word in re.findall(r"[-+]?[\d.]+(?:e[-+]?\d+)?", text)]


@pytest.mark.parametrize(
    ("frame", "wanted"),
    [
        (turn(90), "matrix(0,1,-1,0,0,0)"),
        (turn(180).then(move(12.5, 300)), "matrix(-1,0,0,-1,12.5,300)"),
        (turn(33, (400, -217)).then(turn(-33, (400, -217))), None),
    ],
)
def test_a_quarter_turn_and_there_and_back_are_written_plainly(frame, wanted):
    # Cosine and sine of quarter turns are 0, 1 and -1.
    assert written(frame) == wanted


def test_a_far_shift_does_not_wipe_out_a_little_stretch():
    # 1e-8 of a stretch moves what lies 1e9 off by 10.
    assert numbers(written(Transform(1.00000001, 0, 2e-8, 1, 1e9, 0))) == [1.00000001, 0, 2e-8, 1, 1e9, 0]


def test_a_text_down_the_sheet_stands_upright_without_a_rest():
    parent = etree.Element(SVG + "svg", width="500mm", height="500mm", viewBox="0 0 500 500")
    text = new_text("front", Path.through([(40, 30), (40, 90)]), LABEL, parent)

    assert text.get("transform") == "matrix(0,1,-1,0,40,30)"


def test_a_line_drawn_into_a_turned_group_has_clean_numbers():
    group = '<g transform="rotate(211,311,77)"><path id="line" d="M 0,0 H 100 V 100 H 0 Z"/></g>'
    drawing, _ = opened(group, ids=["line"])
    piece = drawing.pattern.piece("line")
    drawing.put(drawing.pattern.with_piece(piece.with_cut_line(CutLine("", piece.outlines[0].path))))

    (cut,) = [e for e in drawing.root.iter(SVG + "path") if e.get("id") != "line"]
    assert cut.get("d") == "M 0,0 L 100,0 L 100,100 L 0,100 Z"
