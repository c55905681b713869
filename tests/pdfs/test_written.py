"""Every way in which a PDF may say the same thing is read as the same thing."""

import io

import numpy as np
import pytest

from sewkit.files.pdf_read import read_pages
from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Drawn, Layer, Page, Printed, Style, Words
from tests.pdfs.bad import encrypted, inline_picture, swapped_boxes
from tests.pdfs.pages import single, tiled
from tests.pdfs.scene import scene
from tests.pdfs.written import write

# Six decimals of a millimetre or a point are written.
WRITTEN = 2e-6

WAYS = {
    "plain": {},
    "not packed": {"compress": False},
    "layers inline": {"layers": "inline"},
    "layers by membership": {"layers": "group"},
    "layers on forms": {"layers": "form"},
    "user unit 2": {"unit": 2.0},
    "user unit 0.5 in points": {"unit": 0.5, "in_points": True},
    "crop box": {"crop": True},
    "points": {"in_points": True},
    "graphics states": {"states": True},
    "inherited resources and box": {"inherit": True},
    "content in seven streams": {"pieces": 7},
    "forms in forms": {"nested": True},
    "all at once": {
        "layers": "group",
        "unit": 2.0,
        "crop": True,
        "states": True,
        "inherit": True,
        "pieces": 3,
        "nested": True,
    },
}


def read(data):
    return read_pages(io.BytesIO(data))


def same_drawn(ours, theirs):
    assert [one.style.colour for one in ours] == [one.style.colour for one in theirs]
    for one, other in zip(ours, theirs):
        assert (one.starts, one.closed) == (other.starts, other.closed)
        assert np.abs(one.curves - other.curves).max() < WRITTEN
        assert one.style.fill == other.style.fill
        assert one.style.dashes == pytest.approx(other.style.dashes, abs=WRITTEN)
        if other.style.colour:
            assert one.style.width == pytest.approx(other.style.width, abs=WRITTEN)
        assert (one.layers, one.hidden) == (other.layers, other.hidden)
        if other.clip is None:
            assert one.clip is None
        else:
            assert one.clip == pytest.approx(other.clip, abs=WRITTEN)


def same_words(ours, theirs):
    assert [one.text for one in ours] == [one.text for one in theirs]
    for one, other in zip(ours, theirs):
        assert (one.x, one.y) == pytest.approx((other.x, other.y), abs=1e-4)
        assert one.height == pytest.approx(other.height, rel=1e-4)
        assert (one.angle + 180.0) % 360.0 == pytest.approx((other.angle + 180.0) % 360.0, abs=1e-3)
        assert (one.layers, one.hidden) == (other.layers, other.hidden)


@pytest.mark.parametrize("way", WAYS)
def test_one_sheet_is_read_the_same(way):
    # A dictionary in the stream only has a name: no viewer knows that it is switched off.
    hidden = [] if way == "layers inline" else ["Size 42"]
    made = single(scene(told_by="both", layers=True, hidden=hidden))
    printed = read(write(made.printed, **WAYS[way]))
    (page,), (truth,) = printed.pages, made.printed.pages

    assert (page.width, page.height) == pytest.approx((truth.width, truth.height), abs=1e-4)
    assert printed.layers == made.printed.layers
    same_drawn(page.drawn, truth.drawn)
    same_words(page.words, truth.words)


@pytest.mark.parametrize("way", ["plain", "layers by membership", "user unit 2", "crop box", "points"])
@pytest.mark.parametrize("how", ["cut", "clip"])
def test_tiles_are_read_the_same(how, way):
    made = tiled(scene(layers=True), how=how, overlap=10.0, turns=(0, 90, 180, 270), cover=True, blank=1)
    printed = read(write(made.printed, **WAYS[way]))

    assert [page.turn for page in printed.pages] == [page.turn for page in made.printed.pages]
    for page, truth in zip(printed.pages, made.printed.pages):
        # Nothing of a path whose clip hides all of it needs to come.
        same_drawn(page.drawn, [one for one in truth.drawn if one.clip is None or meets(one)])


def meets(one):
    low, high = one.curves.min(axis=(0, 1)), one.curves.max(axis=(0, 1))
    left, top, right, bottom = one.clip
    return low[0] <= right and low[1] <= bottom and high[0] >= left and high[1] >= top


def test_one_form_on_every_page_is_read_as_the_poster_it_is():
    made = tiled(scene(), how="poster")
    printed = read(write(made.printed, one_form=True))
    for page, truth in zip(printed.pages, made.printed.pages):
        ours = [one for one in page.drawn if one.clip is not None]
        theirs = [one for one in truth.drawn if one.clip is not None and meets(one)]

        assert len(ours) == len(theirs)
        same_drawn(ours, theirs)


def test_a_printing_ink_keeps_its_name():
    line = Path.through([(20.0, 20.0), (120.0, 60.0)])
    style = Style("ink:Cut Line", 0.4, (3.0, 1.0))
    page = Page(1, 210.0, 297.0, 0, (Drawn(line.curves, (0,), (False,), style),))

    assert read(write(Printed((page,)))).pages[0].drawn[0].style.colour == "ink:Cut Line"


@pytest.mark.parametrize("angle", [0.0, 30.0, 90.0, 180.0, -90.0])
@pytest.mark.parametrize("in_points", [False, True])
def test_words_keep_their_direction(angle, in_points):
    words = (Words("Centre front", 100.0, 150.0, angle, 4.0),)
    page = Page(1, 210.0, 297.0, words=words)
    (found,) = read(write(Printed((page,)), in_points=in_points)).pages[0].words
    # Helvetica's widths (Adobe's metrics): C 722, e 556, n 556, t 278, r 333, space 278, f 278, o 556.
    length = 4.0 * (722 + 556 + 556 + 278 + 333 + 556 + 278 + 278 + 333 + 556 + 556 + 278) / 1000

    same_words([found], words)
    assert found.width == pytest.approx(length, rel=0.01)


def test_layer_names_in_other_scripts_survive():
    name = "Größe 38 – 中"
    line = Path.through([(20.0, 20.0), (120.0, 60.0)])
    drawn = Drawn(line.curves, (0,), (False,), Style("#000000", 0.4), (name,), True)
    printed = read(write(Printed((Page(1, 210.0, 297.0, 0, (drawn,)),), (Layer(name, True),))))

    assert printed.layers == (Layer(name, True),)
    assert printed.pages[0].drawn[0].layers == (name,)
    assert printed.pages[0].drawn[0].hidden


@pytest.mark.parametrize("how", ["RC4-40", "RC4-128", "AES-128", "AES-256"])
def test_a_file_locked_with_an_empty_password_reads_like_an_open_one(how):
    made = tiled(scene(layers=True, hidden=["Size 44"]))
    printed = read(encrypted(write(made.printed), how=how))

    assert [layer.name for layer in printed.layers if layer.hidden] == ["Size 44"]
    for page, truth in zip(printed.pages, made.printed.pages):
        same_drawn(page.drawn, truth.drawn)
        same_words(page.words, truth.words)


@pytest.mark.parametrize("data", [swapped_boxes, inline_picture])
def test_an_odd_page_still_has_its_one_line(data):
    (page,) = read(data()).pages
    (one,) = page.drawn

    # arithmetic: 10 points are 10 / 72 x 25.4 mm; the page is 842 points high, y down
    k = 25.4 / 72
    assert one.curves[0, [0, 3]] == pytest.approx(np.array([(10, 832), (90, 752)]) * k, abs=1e-6)
