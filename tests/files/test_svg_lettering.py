"""Which way words of a drawing run and how high they are: by the transforms that are written on them."""

import pytest

from tests.files.sheets import front, opened

ROLE = 'sewkit:role="label"'


def read(attributes, words="front", group=""):
    text = "<text {} {}>{}</text>".format(ROLE, attributes, words)
    drawing, _ = opened(front(group=group, more=text))
    (mark,) = [mark for mark in drawing.pattern.piece("front").marks if mark.text]
    return mark


@pytest.mark.parametrize(
    "attributes, along, height, anchor",
    [
        ('x="9" y="8" style="font-size:5px"', (1.0, 0.0), 5.0, 0.0),
        ('style="font-size:5px;text-anchor:end" transform="rotate(-90 30 40)"', (0.0, -1.0), 5.0, 1.0),
        ('font-size="2" text-anchor="middle" transform="scale(3)"', (1.0, 0.0), 6.0, 0.5),
        ('font-size="5" transform="matrix(0.6,0.8,-0.8,0.6,9,9)"', (0.6, 0.8), 5.0, 0.0),
        # Twice as wide as high: the letters are as high as they were.
        ('font-size="5" transform="scale(2,1)"', (1.0, 0.0), 5.0, 0.0),
        # Mirrored from right to left: to be read from the other end.
        ('font-size="5" transform="scale(-1,1)"', (1.0, 0.0), 5.0, 1.0),
        ('font-size="5" transform="scale(1,-1)"', (1.0, 0.0), 5.0, 0.0),
        # CSS: 96 px are an inch and 72 pt are one.
        ('font-size="9pt"', (1.0, 0.0), 12.0, 0.0),
        ("", (1.0, 0.0), 16.0, 0.0),
    ],
)
def test_words_run_and_grow_as_their_transform_says(attributes, along, height, anchor):
    found = read(attributes).lettering

    assert found.along == pytest.approx(along, abs=1e-9)
    assert (found.height, found.anchor) == (pytest.approx(height), anchor)
    assert [line for line, _ in found.lines] == ["front"]


def test_lines_have_places_of_their_own_and_parts_of_a_line_go_on_in_it():
    words = (
        '<tspan x="10" y="20">front<tspan style="font-weight:bold"> left</tspan></tspan>'
        '<tspan x="10" y="27">cut 1</tspan><tspan x="12" dy="1.5em">main</tspan>'
    )
    mark = read('x="10" y="20" font-size="4" transform="rotate(90)"', words)

    # Turned by a quarter, what lies 7 below lies 7 to the left.
    assert mark.path.start == pytest.approx([-20.0, 10.0])
    assert [line for line, _ in mark.lettering.lines] == ["front left", "cut 1", "main"]
    offs = [off for _, off in mark.lettering.lines]
    assert offs == [pytest.approx(one, abs=1e-9) for one in [(0.0, 0.0), (-7.0, 0.0), (-13.0, 2.0)]]


@pytest.mark.parametrize(
    "attributes",
    ['font-size="0"', 'font-size="1e9"', 'transform="scale(0)"', 'transform="scale(1,0)"'],
)
def test_letters_that_nobody_can_read_are_not_believed(attributes):
    assert read(attributes).lettering is None
