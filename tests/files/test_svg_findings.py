"""The layer of findings: in mm whatever the drawing's unit, replaced in its place, gone without a trace."""

import io

import numpy as np
import pytest

from sewkit.files.svg import open_drawing
from sewkit.files.svg_findings import put_findings, read_findings
from sewkit.geometry.path import Path, lines
from sewkit.geometry.polygon import bounds
from sewkit.pattern.mark import FINDING, Mark

LINE = '<path sewkit:role="seam-line" sewkit:edges="a b c" d="M 0,0 H 90 L 9,80 Z"/>'
PIECE = '<g id="g" sewkit:piece="front">' + LINE + "</g>"
SVG = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:sewkit="urn:sewkit:1" {}>\n  ' + PIECE + "\n  {}</svg>"
UNITS = {
    "millimetres": 'width="200mm" height="200mm" viewBox="0 0 200 200"',
    "pixels": 'width="600" height="600"',
    "inches moved": 'width="10in" height="10in" viewBox="-3 -3 10 10"',
}


def square(x, y, form="stop"):
    return Mark(
        FINDING,
        "1",
        path=Path.through([(x, y), (x + 8, y), (x + 8, y + 8), (x, y + 8)], True),
        form=form,
        height=6.0,
    )


def words(x, y):
    start = np.array([[x, y]])
    return Mark(
        FINDING, "1", path=Path(lines(start, start + [1, 0])), text="1 stop: open", form="stop", height=6.0
    )


def drawing(unit="millimetres", more=""):
    return open_drawing(io.BytesIO(SVG.format(UNITS[unit], more).encode()))[0]


@pytest.mark.parametrize("unit", sorted(UNITS))
def test_rings_are_drawn_in_millimetres(unit):
    made = drawing(unit)
    made.put(made.pattern._replace(shown=(square(50, 60), words(60, 70))))

    ring, text = open_drawing(io.BytesIO(made.as_bytes()))[0].pattern.shown

    assert bounds(ring.path) == pytest.approx((50, 60, 58, 68), abs=1e-6)
    assert (ring.form, ring.name, ring.kind) == ("stop", "1", FINDING)
    assert text.text == "1 stop: open" and text.path.start == pytest.approx((60, 70), abs=1e-6)


def test_the_layer_keeps_its_place_and_takes_nothing_else_along():
    made = drawing(more='<g id="later"/>words')
    before = made.as_bytes()
    put_findings(made.root, [square(10, 10)])
    made.root.insert(0, made.root[-1])  # somebody moved the layer to the bottom

    put_findings(made.root, [square(20, 20, "look")])

    assert made.root[0].get("id") == "sewkit-findings" and len(made.root[0]) == 1
    assert read_findings(made.root)[0].form == "look"
    put_findings(made.root, [])
    assert made.as_bytes() == before


def test_what_somebody_spoiled_on_the_layer_is_left_out():
    layer = '<g id="sewkit-findings"><path sewkit:role="finding" d="M NaN"/><path d="M 0,0 H 5"/></g>'
    made = drawing(more=layer)
    assert made.pattern.shown == () and made.pattern.problems == ()
