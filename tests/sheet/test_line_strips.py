"""Filled outlines of strokes become strokes: made by Skia, by Shapely and by hand."""

import io
import re

import numpy as np
import pytest

from sewkit.geometry.path import Path, is_line, lines
from sewkit.sheet.drawn import Line, Sheet, Style
from sewkit.sheet.line_strips import as_strokes
from sewkit.sheet.whole import whole_lines
from tests.pdfs.scene import circle, scene
from tests.sheet.test_whole import dense, matches

shapely = pytest.importorskip("shapely")

INK = Style("", 0.0, (), "#000000")
POINT = 25.4 / 72.0


class Judged:
    """What ``matches`` needs of made pages: the scene."""

    def __init__(self, truth):
        self.scene = truth


def by_skia(truth):
    """The outlines of a scene, drawn dashed by Skia's PDF writer, as a sheet."""
    skia = pytest.importorskip("skia")
    pypdf = pytest.importorskip("pypdf")
    stream = skia.DynamicMemoryWStream()
    document = skia.PDF.MakeDocument(stream)
    canvas = document.beginPage(truth.width / POINT, truth.height / POINT)
    canvas.scale(1 / POINT, 1 / POINT)
    for stroke in truth.of("outline"):
        paint = skia.Paint(Style=skia.Paint.kStroke_Style, StrokeWidth=stroke.style.width, AntiAlias=True)
        if stroke.style.dashes:
            paint.setPathEffect(skia.DashPathEffect.Make(list(stroke.style.dashes), 0))
        canvas.drawPath(_skia_path(skia, stroke.paths[0]), paint)
    document.endPage()
    document.close()
    page = pypdf.PdfReader(io.BytesIO(bytes(stream.detachAsData()))).pages[0]
    height = float(page.mediabox.height) * POINT
    return Sheet(truth.width, height, tuple(_read(page.get_contents().get_data().decode(), height)))


def _skia_path(skia, path):
    drawn = skia.Path()
    drawn.moveTo(*map(float, path.start))
    for curve, straight in zip(path.curves, is_line(path.curves)):
        if straight:
            drawn.lineTo(*map(float, curve[3]))
        else:
            drawn.cubicTo(*map(float, curve[1:].ravel()))
    if path.closed:
        drawn.close()
    return drawn


def _read(content, height):
    """Just enough of a content stream for what Skia writes: matrices, paths, fills, strokes."""
    matrix, stack, numbers, runs, order, width = np.eye(3), [], [], [], 0, 1.0
    for word in content.split():
        if re.match(r"^[-+]?[\d.]+$", word):
            numbers.append(float(word))
            continue
        if word == "cm":
            a, b, c, d, e, f = numbers[-6:]
            matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
        elif word == "q":
            stack.append(matrix)
        elif word == "Q":
            matrix = stack.pop()
        elif word == "w":
            width = numbers[-1]
        elif word in ("m", "l", "c"):
            flat = np.array(numbers).reshape(-1, 2)
            page = np.column_stack([flat, np.ones(len(flat))]) @ matrix
            spots = [np.array([x * POINT, height - y * POINT]) for x, y, _ in page]
            if word == "m":
                runs.append([[], spots[0], False])
            else:
                start = runs[-1][1]
                straight = lines(start[None], spots[-1][None])[0]
                runs[-1][0].append(straight if word == "l" else np.array([start, *spots]))
                runs[-1][1] = spots[-1]
        elif word == "h":
            start = runs[-1][0][0][0]
            if np.hypot(*(runs[-1][1] - start)) > 1e-9:
                runs[-1][0].append(lines(runs[-1][1][None], start[None])[0])
            runs[-1][2] = True
        elif word in ("f", "f*", "S"):
            pen = width * abs(np.linalg.det(matrix[:2, :2])) ** 0.5 * POINT
            style = INK if word != "S" else Style("#000000", round(pen, 4))
            for number, (curves, _, closed) in enumerate(runs):
                yield Line(Path(np.array(curves), closed), style, order=(1, order, number))
            order, runs = order + 1, []
        elif word == "n":
            runs = []
        numbers = []


def test_dashes_that_skia_filled_are_the_outlines_again():
    truth = scene(marks=False)
    sheet = by_skia(truth)
    assert sum(not line.style.colour for line in sheet.lines) > 1000

    wholes = whole_lines(sheet)

    found = matches(Judged(truth), wholes)
    assert [whole.style.colour for whole in wholes] == ["#000000"] * 15
    # Green in the table of tolerances: 0.1 mm.
    assert max(worst for _, _, worst in found) <= 0.1
    assert all(whole.style.dashes == truth.styles[outline.size].dashes for outline, whole, _ in found)
    assert {whole.style.width for _, whole, _ in found if whole.style.dashes} == {0.5}


def ribbon(points, width):
    """The outline of a stroke as Shapely draws it: flat ends, mitred corners."""
    area = shapely.LineString(points).buffer(width / 2, cap_style="flat", join_style="mitre", mitre_limit=20)
    return Path.through(np.array(area.exterior.coords)[:-1], closed=True)


def test_a_line_that_was_expanded_is_its_middle_again():
    points = [(0, 0), (120, 5), (150, 90), (40, 140)]

    (whole,) = whole_lines(Sheet(200, 200, (Line(ribbon(points, 0.6), INK),)))

    assert whole.style == Style("#000000", 0.6)
    assert not whole.path.closed
    assert shapely.hausdorff_distance(dense(whole.path), shapely.LineString(points)) <= 0.001


def test_an_expanded_outline_is_one_closed_line():
    corners = [(0, 0), (120, 5), (150, 90), (40, 140)]
    area = shapely.Polygon(corners).exterior.buffer(0.4, join_style="mitre", mitre_limit=20)
    rings = [area.exterior, *area.interiors]
    runs = [Path.through(np.array(ring.coords)[:-1], closed=True) for ring in rings]
    lines_ = [Line(run, INK, order=(1, 0, number)) for number, run in enumerate(runs)]

    (whole,) = whole_lines(Sheet(200, 200, tuple(lines_)))

    assert whole.path.closed and len(whole.path) == 4
    assert whole.style.width == pytest.approx(0.8, abs=0.011)
    assert shapely.hausdorff_distance(dense(whole.path), shapely.LinearRing(corners)) <= 0.001


def test_letters_and_arrows_stay_filled():
    ring = [circle((10.0, 10.0), 2.0), circle((10.0, 10.0), 1.4).reverse()]
    letter_l = Path.through([(20, 8), (20.5, 8), (20.5, 12), (20, 12)], closed=True)
    letter_c = ribbon([(30, 8), (27, 8), (27, 12), (30, 12)], 0.5)
    arrow = Path.through([(40, 0), (42, 8), (38, 8)], closed=True)
    paths = [*ring, letter_l, letter_c, arrow]
    fills = [Line(path, INK, order=(1, 7, number)) for number, path in enumerate(paths)]

    strokes, rest = as_strokes(fills)

    assert strokes == []
    assert [line.path for line in rest] == paths
