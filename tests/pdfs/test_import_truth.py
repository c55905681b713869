"""From a PDF to outlines: every one is there, in its place, in as many curves as were designed."""

import io

import numpy as np
import pytest

from sewkit.files.pdf_read import read_pages
from tests.pdfs.pages import single, tiled
from tests.pdfs.producers import PRODUCERS
from tests.pdfs.scene import scene
from tests.pdfs.truth import compare

pytestmark = pytest.mark.filterwarnings("ignore:.*Default typeface:DeprecationWarning")

# The limit of the whole job for joining tiles (mm).
NEAR = 0.02
# Dashes that came as areas: an end is only known to about the width of a dash's cap.
NEAR_OF_AREAS = 0.07

LAYOUTS = {
    "one sheet": single,
    "cut with an overlap": lambda sheet: tiled(sheet, how="cut", overlap=10.0),
    "behind clips": lambda sheet: tiled(sheet, how="clip"),
}


def all_true(printed, sheet, near=NEAR):
    for outline in compare(printed, sheet):
        assert outline.away < near, outline
        if near == NEAR:
            assert outline.curves[0] == outline.curves[1], outline


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("name", [name for name in PRODUCERS if name != "skia"])
def test_every_producer_gives_all_outlines(name, layout):
    if name == "matplotlib" and layout == "behind clips":
        pytest.skip("it bends curves that leave the page")
    sheet = scene()
    all_true(read_pages(io.BytesIO(PRODUCERS[name](LAYOUTS[layout](sheet).printed))), sheet)


@pytest.mark.parametrize("layout", [single, tiled])
def test_dashes_that_came_as_areas_give_all_outlines(layout):
    sheet = scene()
    all_true(read_pages(io.BytesIO(PRODUCERS["skia"](layout(sheet).printed))), sheet, NEAR_OF_AREAS)


@pytest.mark.xfail(reason="dashes as areas and a strip on both pages: not all outlines come yet", strict=True)
@pytest.mark.parametrize("name", ["skia", "no PDF"])
def test_dashes_that_came_as_areas_on_overlapping_tiles(name):
    sheet = scene()
    if name == "skia":
        printed = read_pages(io.BytesIO(PRODUCERS["skia"](tiled(sheet, overlap=10.0).printed)))
    else:
        printed = tiled(sheet, overlap=10.0, dashes="strips").printed
    all_true(printed, sheet, NEAR_OF_AREAS)


@pytest.mark.parametrize("shared", ["each", "once"])
@pytest.mark.parametrize("told_by", ["dashes", "colours", "widths", "nothing"])
def test_sizes_are_told_apart_by_what_there_is(told_by, shared):
    sheet = scene(told_by=told_by, shared=shared)
    all_true(tiled(sheet).printed, sheet)


def test_layers_alone_tell_sizes_apart():
    sheet = scene(told_by="nothing", layers=True, hidden=["Size 40"])
    all_true(tiled(sheet).printed, sheet)


@pytest.mark.parametrize(
    "how",
    [
        {"order": "snake"},
        {"order": "columns"},
        {"shuffle": 2},
        {"shuffle": 3, "labels": ""},
        {"frame": False, "marks": False, "labels": ""},
        {"cover": True, "blank": 2},
        {"turns": (0, 90)},
        {"how": "poster", "overlap": 10.0},
        {"dashes": "single"},
    ],
    ids=str,
)
def test_tiles_of_any_kind_are_joined(how):
    sheet = scene()
    all_true(tiled(sheet, **how).printed, sheet)


def test_forty_pages_give_sixty_outlines():
    sheet = scene(12)
    made = tiled(sheet)

    assert len(made.printed.pages) == 40
    all_true(made.printed, sheet)


def test_a_missing_page_takes_nothing_from_the_pieces_beside_it():
    sheet = scene()
    made = tiled(sheet, missing=[(3, 3)])  # only the squares lie there
    found = compare(made.printed, sheet)

    assert all(np.isfinite(outline.away) and outline.away < NEAR for outline in found)
