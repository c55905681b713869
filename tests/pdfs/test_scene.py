"""The test input itself: is the truth true?"""

import numpy as np
import pytest

from sewkit.geometry.path import Path
from sewkit.sheet.drawn import Style
from tests.pdfs import cutting
from tests.pdfs.cutting import length
from tests.pdfs.pages import single, tiled
from tests.pdfs.scene import scene


def points(path, count=60):
    """Points along a path by the Bernstein form, ``(k, 2)``."""
    t = np.linspace(0.0, 1.0, count)[:, None]
    p = path.curves[:, :, None, :]
    found = (1 - t) ** 3 * p[:, 0] + 3 * t * (1 - t) ** 2 * p[:, 1] + 3 * t * t * (1 - t) * p[:, 2]
    return (found + t**3 * p[:, 3]).reshape(-1, 2)


@pytest.mark.parametrize("pieces", [3, 12])
def test_sizes_are_nested_and_pieces_do_not_meet(pieces):
    shapely = pytest.importorskip("shapely.geometry")
    sheet = scene(pieces)
    largest = []
    for piece in sheet.pieces:
        areas = [shapely.Polygon(points(sheet.outline(piece, size).path)) for size in sheet.sizes]

        assert all(area.is_valid for area in areas)
        for smaller, larger in zip(areas, areas[1:]):
            assert smaller.difference(larger).area < 1e-9
        largest.append(areas[-1])
    for number, one in enumerate(largest):
        assert all(one.distance(other) > 5.0 for other in largest[number + 1 :])
        assert shapely.box(5, 5, sheet.width - 5, sheet.height - 5).contains(one)


@pytest.mark.parametrize("shared", ["each", "once"])
def test_all_sizes_of_a_piece_on_the_fold_share_its_line(shared):
    sheet = scene(shared=shared)
    for piece in sheet.folds:
        x = {float(v) for s in sheet.sizes for v in sheet.outline(piece, s).edges["fold"].curves[..., 0].flat}

        assert len(x) == 1
        assert len(sheet.of("fold", piece)) == (shared == "once")


@pytest.mark.parametrize("overlap, tiles", [(0.0, 9), (10.0, 16)])
def test_cut_lines_lie_on_the_lines_of_the_sheet_and_none_is_lost(overlap, tiles):
    sheet = scene()
    made = tiled(sheet, overlap=overlap, frame=False, marks=False)
    drawn = 0.0
    for page in made.printed.pages:
        for one in page.drawn:
            drawn += sum(length(Path(run.curves)) for run in one.runs())
    whole = sum(length(path) for stroke in sheet.strokes for path in stroke.paths)

    assert len(made.tiles) == tiles
    assert (abs(drawn - whole) < 1e-6) if not overlap else drawn > whole


def test_a_cut_part_is_the_same_curve():
    sheet = scene()
    path = sheet.outline("Sleeve", "40").path
    dense = points(path, 4000)
    for part in cutting.cut(path, (190.0, 554.0, 380.0, 831.0)):
        for spot in points(part, 7):
            # 4000 points on a curve of 300 mm stand 0.1 mm apart.
            assert np.hypot(*(dense - spot).T).min() < 0.06
        for end in (part.start, part.end):
            on_border = end[0] in (190.0, 380.0) or end[1] in (554.0, 831.0)
            assert on_border or np.array_equal(end, path.start)


def test_dashes_have_the_lengths_of_the_rhythm():
    path = scene().outline("Front", "36").path
    found = [length(dash) for dash in cutting.dashed(path, (6.0, 2.0))]

    assert found[:-1] == pytest.approx([6.0] * (len(found) - 1), abs=1e-4)
    # a whole number of 8 mm rounds and the rest
    assert (len(found) - 1) * 8.0 < length(Path(path.curves)) <= len(found) * 8.0


def test_a_strip_is_as_wide_as_the_pen():
    line = Path.through([(0.0, 0.0), (6.0, 8.0)])
    made = cutting.strip(line, 0.5)

    # arithmetic: 0.25 mm square to the direction (0.6, 0.8) on either side
    assert made.curves[:, 0] == pytest.approx(
        np.array([(-0.2, 0.15), (5.8, 8.15), (6.2, 7.85), (0.2, -0.15)]), abs=1e-12
    )


@pytest.mark.parametrize("dashes", ["style", "single", "straight", "strips"])
@pytest.mark.parametrize("how", ["cut", "clip", "poster"])
def test_every_way_gives_pages(how, dashes):
    made = tiled(scene(), how=how, dashes=dashes, shuffle=3, missing=[(2, 2)], cover=True, blank=1)
    pages = made.printed.pages

    assert [page.number for page in pages] == list(range(1, 11))
    assert made.blank == (1, 10)
    assert {(tile.row, tile.column) for tile in made.tiles} == {
        (row, column) for row in (1, 2, 3) for column in (1, 2, 3)
    } - {(2, 2)}
    for page in pages:
        for one in page.drawn:
            assert (one.clip is None) == (how == "cut" or (page.number, one.order) in made.furniture)
            assert dashes == "style" or not one.style.dashes


def test_hidden_layers_are_hidden_and_kept():
    made = single(scene(layers=True, hidden=["Size 44"]))
    (page,) = made.printed.pages

    assert {one.layers for one in page.drawn if one.hidden} == {("Size 44",)}
    assert [layer.name for layer in made.printed.layers if layer.hidden] == ["Size 44"]


def test_sizes_can_be_told_apart_by_nothing():
    styles = set(scene(told_by="nothing").styles.values())

    assert styles == {Style("#000000", 0.5)}
