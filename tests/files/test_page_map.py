"""The map of joined pages: everything that is known is on it, in plain SVG."""

import re

import pytest
from lxml import etree

from sewkit.files.page_map import page_map
from sewkit.sheet.drawn import Printed
from sewkit.sheet.tiles import Grid, join_pages
from tests.pdfs.pages import single, tiled
from tests.pdfs.scene import scene

SVG = "{http://www.w3.org/2000/svg}"


def drawn(made, grid=None, title=""):
    joined = join_pages(made.printed, grid)
    return joined, etree.fromstring(page_map(made.printed, joined, title).encode("utf-8"))


def texts(root, kind=None):
    found = [one for one in root.iter(SVG + "text") if kind in (None, one.get("class"))]
    return ["".join(one.itertext()) for one in found]


def numbers(path):
    return [float(word) for word in re.findall(r"-?\d+\.?\d*", path)]


def test_every_page_has_its_number_and_every_border_its_mark():
    joined, root = drawn(tiled(scene(), labels=""))

    assert sorted(texts(root, "page"), key=int) == [str(number) for number in range(1, 10)]
    marks = [group.find(SVG + "title").text for group in root.iter(SVG + "g")]
    assert len(marks) == len(joined.borders) == 12
    assert any(words.startswith("pages 1 and 2: lines go on across the border, ") for words in marks)
    counts = sorted(str(border.matched) for border in joined.borders if border.matched)
    assert sorted(texts(root, "count")) == counts


@pytest.mark.parametrize(
    "how, grid, shape, words",
    [
        ("cut", None, "circle", "lines go on across the border"),
        ("clip", None, "rect", "both pages show the same shapes"),
        ("cut", Grid(3, trim=10.0), "polygon", "you said so"),
    ],
)
def test_what_proves_a_border_shows_in_shape_and_in_words(how, grid, shape, words):
    _, root = drawn(tiled(scene(), how=how, labels=""), grid)

    marks = [one for one in root.iter(SVG + shape) if one.get("class") in ("proved", "assumed")]
    assert len(marks) >= 2  # on the map and in the legend
    assert any(words in note for note in texts(root, "note"))


def test_holes_and_pages_set_apart_are_named():
    _, root = drawn(tiled(scene(pieces=12), labels="", missing=((2, 2),), cover=True))

    assert {"missing:", "row 2", "column 2"} <= set(texts(root, "loose"))
    assert len([one for one in root.iter(SVG + "rect") if one.get("class") == "hole"]) == 1
    assert any(note.startswith("Set apart") and "page 1" in note for note in texts(root, "note"))


def test_islands_and_unproved_pages_are_told():
    _, root = drawn(tiled(scene(pieces=12), labels="", shuffle=3))

    notes = " ".join(texts(root, "note"))
    assert "4 islands" in notes and "Dashed outline" in notes
    assert len([one for one in root.iter(SVG + "rect") if "unsure" in (one.get("class") or "")]) == 2


@pytest.mark.parametrize("pieces, labels", [(3, "A1"), (12, "")])
def test_everything_lies_on_the_paper_and_nothing_comes_from_elsewhere(pieces, labels):
    _, root = drawn(tiled(scene(pieces=pieces), labels=labels))

    width, height = (float(root.get(name)[:-2]) for name in ("width", "height"))
    for tile in root.iter(SVG + "rect"):
        if tile.get("x"):
            assert 0 <= float(tile.get("x")) <= float(tile.get("x")) + float(tile.get("width")) <= width
            assert 0 <= float(tile.get("y")) <= float(tile.get("y")) + float(tile.get("height")) <= height
    (lines,) = [one for one in root.iter(SVG + "path") if one.get("class") == "lines"]
    values = numbers(lines.get("d"))
    assert 0 <= min(values) and max(values[::2]) <= width and max(values[1::2]) <= height
    text = etree.tostring(root).decode("utf-8")
    assert "href" not in text and "url(http" not in text and "<image" not in text


def test_a_title_is_only_words():
    _, root = drawn(single(scene()), title='<script>alert("1")</script> & co')

    assert root.find(SVG + "title").text == '<script>alert("1")</script> & co'
    assert not list(root.iter(SVG + "script"))


def test_the_same_pages_give_the_same_map():
    made = tiled(scene(), labels="")
    joined = join_pages(made.printed)

    assert page_map(made.printed, joined) == page_map(made.printed, joined)


def test_no_page_at_all_gives_an_empty_map():
    etree.fromstring(page_map(Printed(()), join_pages(Printed(()))).encode("utf-8"))
