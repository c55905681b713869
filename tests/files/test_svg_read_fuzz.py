"""Whatever is done to a drawing's text, opening it is a result or one sentence."""

import io
import random
import re

import pytest

from sewkit.errors import SewkitError
from sewkit.files.svg import open_drawing
from tests.files.sheets import BACK, front, svg

MARKS = (
    '<path id="g" sewkit:role="grain" d="M 60,40 V 140"/>'
    '<path id="n" sewkit:role="notch" sewkit:name="1" sewkit:size="3" sewkit:at="side+40" '
    'sewkit:count="2" d="M0 0H9"/>'
    '<text id="t" sewkit:role="label" x="5" y="6">front</text>'
    '<path id="c" sewkit:role="cut-line" sewkit:size="3" d="M 10,10 H 130 V 180 H -10 Z"/>'
)
ATTRIBUTES = (
    'sewkit:allowance="10 hem=25" sewkit:hems="hem" sewkit:cut="2" sewkit:corners="side/hem=turned-back:hem" '
    'sewkit:sewn="side=back/side,turned,ease=0..6" transform="translate(5,6) rotate(3)"'
)
WHOLE = svg(
    front(edges="waist:100 side:70 ~low:80 hem:120 centre:151.33", group=ATTRIBUTES, more=MARKS)
    + BACK
    + '<path id="b" d="M0 0 C 5 5 6 7 8 9 a 5 6 7 0 1 8 9 z"/>'
    '<rect id="r" x="1" width="5" height="6" rx="1"/>'
    '<use id="u" xlink:href="#b" x="3"/>'
)
SPICE = [
    "",
    "0",
    "-",
    "1e999",
    "nan",
    "²",
    "9" * 30,
    "1e-300",
    '"',
    "~",
    ":",
    "..",
    "=",
    ",",
    " ",
    "#u",
    "scale(0)",
    "Z",
    "é",
]


def spoiled(draw):
    text = WHOLE
    for _ in range(draw.randint(1, 3)):
        at = draw.randrange(len(text))
        until = at + draw.choice([0, 1, 1, 2, 5, 20])
        text = text[:at] + draw.choice(SPICE) + text[until:]
    return text


PICKS = [
    {},
    {"ids": ["b"]},
    {"ids": ["r", "u"]},
    {"nodes": ["b:0:1"]},
    {"pieces": ["front"], "sizes": ["3"]},
    {"ids": ["front"]},
]


@pytest.mark.parametrize("seed", range(8))
def test_a_spoiled_drawing_is_read_or_refused(seed):
    draw = random.Random(seed)
    for _ in range(60):
        text = spoiled(draw)
        try:
            drawing, chosen = open_drawing(io.BytesIO(text.encode("utf-8")), **draw.choice(PICKS))
            assert drawing.pattern.pieces == chosen.pieces(drawing.pattern) or chosen.outlines
        except SewkitError as error:
            assert str(error) and "\n" not in str(error), text


@pytest.mark.parametrize("value", SPICE)
@pytest.mark.parametrize("seed", range(3))
def test_every_value_may_be_nonsense(value, seed):
    places = [m.span(1) for m in re.finditer(r'="([^"]*)"', WHOLE)]
    value = value.replace('"', "&quot;")
    for start, stop in places[seed::3]:
        text = WHOLE[:start] + value + WHOLE[stop:]
        try:
            open_drawing(io.BytesIO(text.encode("utf-8")), ids=["b", "r", "u"])
        except SewkitError as error:
            assert str(error) and "\n" not in str(error), text
