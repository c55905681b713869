"""A square of 100 mm from every producer is 100 mm, in what it wrote and in what we read."""

import ctypes
import io

import numpy as np
import pytest

from sewkit.files.pdf_read import read_pages
from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Printed
from tests.pdfs.cutting import cut, length
from tests.pdfs.pages import single, tiled
from tests.pdfs.producers import PRODUCERS, inkscape, needed, square_page
from tests.pdfs.scene import scene

pytestmark = pytest.mark.filterwarnings("ignore:.*Default typeface:DeprecationWarning")

# What producers round; two hundredths of a hair.
ROUNDING = 0.002
# Skia and the editor have no layers; only what is written by hand has.
DASHED = [name for name in PRODUCERS if name != "skia"]


def judged(data, number=0):
    """The corner points of every path on a page, mm, y down, as PDFium sees them."""
    raw = needed("pypdfium2.raw")
    document = needed("pypdfium2").PdfDocument(data)
    page, found = document[number], []
    x, y = ctypes.c_float(), ctypes.c_float()
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        matrix = item.get_matrix()
        spots = []
        for at in range(raw.FPDFPath_CountSegments(item.raw)):
            raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item.raw, at), x, y)
            across, up = matrix.on_point(x.value, y.value)
            spots.append((across * 25.4 / 72, (page.get_height() - up) * 25.4 / 72))
        found.append(np.array(spots))
    return found


def size(spots):
    return spots.max(axis=0) - spots.min(axis=0)


def squares(paths):
    """Those about as large as the square; a white ground behind everything is larger."""
    return [spots for spots in paths if np.abs(size(spots) - 100.0).max() < 1.0]


def read(data):
    return read_pages(io.BytesIO(data))


def ends(one):
    return one.curves[:, [0, 3]].reshape(-1, 2)


@pytest.mark.parametrize("name", PRODUCERS)
def test_pdfium_finds_the_square_true(name):
    data = PRODUCERS[name](Printed((square_page(),)))
    (square,) = squares(judged(data))

    assert size(square) == pytest.approx([100.0, 100.0], abs=ROUNDING)


@pytest.mark.parametrize("name", PRODUCERS)
def test_we_read_the_square_true(name):
    (page,) = read(PRODUCERS[name](Printed((square_page(),)))).pages
    (square,) = squares([ends(one) for one in page.drawn])

    assert size(square) == pytest.approx([100.0, 100.0], abs=ROUNDING)
    # Skia makes the page whole points large: up to half a point, and its upper edge stays.
    assert (page.width, page.height) == pytest.approx((210.0, 297.0), abs=0.18 if name == "skia" else 0.003)
    assert square.min(axis=0) == pytest.approx([55.0, 98.5], abs=ROUNDING)


def test_the_editor_itself_gives_a_true_square():
    (page,) = read(inkscape(Printed((square_page(),)))).pages
    (square,) = squares([ends(one) for one in page.drawn])

    assert size(square) == pytest.approx([100.0, 100.0], abs=ROUNDING)


def outlines_of(printed):
    """Dashed lines and large solid ones by style, as (colour, width, dashes) in tenths."""
    return sorted(
        (one.style.colour, round(one.style.width, 2), tuple(round(dash, 1) for dash in one.style.dashes))
        for page in printed.pages
        for one in page.drawn
        if one.style.colour and np.ptp(ends(one), axis=0).max() > 60.0
    )


@pytest.mark.parametrize("told_by", ["both", "widths"])
@pytest.mark.parametrize("name", DASHED)
def test_styles_come_through(name, told_by):
    made = single(scene(told_by=told_by))

    assert outlines_of(read(PRODUCERS[name](made.printed))) == outlines_of(made.printed)


@pytest.mark.parametrize("name", DASHED)
def test_lines_come_through_where_they_were_drawn(name):
    made = single(scene())
    drawn = [one for one in made.printed.pages[0].drawn if one.style.colour]
    found = [one for one in read(PRODUCERS[name](made.printed)).pages[0].drawn if one.style.colour]
    # fpdf2 writes the scale with four decimals, 2.8346 for 2.834646: 0.014 mm on the sheet's 831.
    near = 0.015 if name == "fpdf2" else 0.003

    assert len(found) == len(drawn)
    for ours, theirs in zip(found, drawn):
        assert np.abs(with_length(ours) - with_length(theirs)).max() < near


def with_length(one):
    """Its curves without those of no length, which Matplotlib adds where it closes a curve."""
    return one.curves[np.ptp(one.curves, axis=1).max(axis=1) > 1e-6]


@pytest.mark.parametrize("how", ["cut", "clip", "poster"])
@pytest.mark.parametrize("name", DASHED)
def test_just_what_the_clip_lets_through_is_seen_on_a_tile(name, how):
    if name == "matplotlib" and how != "cut":
        pytest.skip("it bends curves that leave the page")
    made = tiled(scene(told_by="both"), how=how, overlap=10.0)
    printed = read(PRODUCERS[name](made.printed))
    # cairo narrows the clip to the ink, and the gap of a dash has none.
    near = 0.5 if name == "cairo" else 0.02

    assert len(printed.pages) == 16
    for ours, theirs in zip(printed.pages, made.printed.pages):
        seen, meant = shown(ours), shown(theirs)

        assert set(seen) == set(meant)
        for style, (whole, corner) in meant.items():
            assert seen[style][0] == pytest.approx(whole, abs=2 * near)
            assert seen[style][1] == pytest.approx(corner, abs=near)


def shown(page):
    """What of the strokes can be seen, by style: the length of all (mm), and their upper left corner."""
    found = {}
    for one in page.drawn:
        if one.style.colour:
            style = (one.style.colour, round(one.style.width, 2), len(one.style.dashes))
            for run in one.runs():
                found.setdefault(style, []).extend(cut(run, one.clip) if one.clip else [run])
    joined = {
        style: np.concatenate([part.curves for part in parts]) for style, parts in found.items() if parts
    }
    return {
        style: (length(Path(curves)), np.concatenate([curves[:, 0], curves[:, 3]]).min(axis=0))
        for style, curves in joined.items()
    }


def test_skia_makes_an_area_of_every_dash():
    made = single(scene(told_by="both"))
    printed = read(PRODUCERS["skia"](made.printed))
    filled = [one for one in printed.pages[0].drawn if one.style.fill == "#c00000"]
    (path, *_others) = made.scene.of("outline", "Front", "36")[0].paths

    # One path for each of the three outlines of this size.
    assert len(filled) == 3
    assert not any(one.style.dashes for one in printed.pages[0].drawn)
    assert min(len(one.starts) for one in filled) > 100
    assert ends(filled[0]).min(axis=0) == pytest.approx(path.curves.min(axis=(0, 1)), abs=0.3)


@pytest.mark.parametrize("name", PRODUCERS)
def test_words_come_through(name):
    made = single(scene())
    text = " ".join(one.text for one in read(PRODUCERS[name](made.printed)).pages[0].words)

    for wanted in ("Front", "Back", "Sleeve", "100 mm", "4 in", "36", "44"):
        assert wanted in text
