"""Pieces as light: true by another reader, nothing missing, crosses that meet."""

import io

import numpy as np
import pytest

from sewkit.errors import InputError
from sewkit.files.pdf_write import write_pdf
from sewkit.files.svg import open_drawing
from sewkit.geometry.polygon import flatten, signed_area
from sewkit.operations.label import label
from sewkit.operations.project import project
from sewkit.paper.light import GROUND
from sewkit.pattern.pattern import Pattern
from tests.files.test_pdf_judges import judged

MASTER = "samples/waistcoat/master.svg"


def shown(**values):
    drawing, chosen = open_drawing(MASTER, sizes=values.pop("sizes", ["3"]), pieces=values.pop("pieces", []))
    return drawing.pattern, project(drawing.pattern, chosen, **values)


def test_the_file_has_the_shape_of_the_picture_and_the_square_is_500_mm():
    pdfium = pytest.importorskip("pypdfium2")
    document = shown(field=1400.0)[1].prints[0]
    data = write_pdf(document)
    file = pdfium.PdfDocument(io.BytesIO(data))
    width, height = file[0].get_size()

    assert width / height == pytest.approx(1920 / 1080, rel=1e-6)
    assert width / 72 * 25.4 == pytest.approx(1400.0, abs=1e-3)
    spans = [np.ptp(points, axis=0) * 25.4 / 72 for points in judged(data)]
    assert any(np.abs(span - 500.0).max() <= 0.002 for span in spans)


def test_every_point_of_every_line_is_on_some_page():
    document = shown(field=700.0, pieces=["back"])[1].prints[0]
    windows = [page.windows[0] for page in document.pages[1:]]
    spots = np.concatenate([flatten(stroke.path, 0.1) for stroke in document.artwork.strokes])

    assert len(windows) > 1
    seen = np.zeros(len(spots), bool)
    for window in windows:
        low = np.array([window.left, window.top])
        inside = (spots >= low).all(axis=1) & (spots <= low + [window.width, window.height]).all(axis=1)
        seen |= inside
    assert seen.all()
    assert all(window.scale == 1.0 for window in windows)


def test_the_crosses_of_two_throws_lie_at_the_same_place_of_the_piece():
    document = shown(field=700.0, pieces=["back"])[1].prints[0]
    places = {}
    for page in document.pages[1:]:
        window = page.windows[0]
        for words in page.own.words:
            if words.text.isdigit():
                place = np.array(words.place) + [window.left, window.top]
                places.setdefault(words.text, []).append(place)

    assert places
    for name, found in places.items():
        assert len(found) == 2, name
        assert found[0] == pytest.approx(found[1], abs=1e-9)


@pytest.mark.parametrize("mirrored", [False, True])
def test_turned_over_pieces_are_mirror_images(mirrored):
    pattern, outcome = shown(pieces=["front"], mirrored=mirrored, lines="seam")
    drawn = next(stroke.path for stroke in outcome.prints[0].artwork.strokes if stroke.path.closed)
    seam = pattern.piece("front").outline("3").path

    assert signed_area(drawn) == pytest.approx(signed_area(seam) * (-1 if mirrored else 1))


@pytest.mark.parametrize("grain, axis", [("along", 1), ("across", 0)])
def test_the_grain_lies_as_asked(grain, axis):
    document = shown(pieces=["front"], grain=grain)[1].prints[0]
    arrows = [stroke.path for stroke in document.artwork.strokes if "Grain" in stroke.layers]

    assert arrows
    for arrow in arrows:
        assert abs((arrow.end - arrow.start)[axis]) < 1e-9


def test_lines_are_light_and_wide_on_a_dark_ground():
    document = shown(sizes=["3", "5"], weight=0.5, field=3000.0)[1].prints[0]
    pixel = 3000.0 / 1920

    for page in document.pages:
        assert page.ground == GROUND
    for stroke in document.artwork.strokes:
        assert stroke.width >= 2 * pixel - 1e-9
        assert max(stroke.ink) >= 0.9  # light enough on black for any eye
    # Two sizes are told apart by dashes too, not by colour alone.
    looks = {s.dashes for s in document.artwork.strokes if "Seam lines" in s.layers}
    assert len(looks) == 2
    assert {layer.name for layer in document.layers} >= {"Size 3", "Size 5", "Seam lines", "Grain"}


def test_every_page_says_whose_it_is_and_when():
    document = shown(person="P03", date="2026-11-29", garment="Waistcoat")[1].prints[0]

    for page in document.pages:
        told = " ".join(words.text for words in page.own.words)
        assert "Waistcoat: P03" in told
        assert page is document.pages[0] or "2026-11-29" in told


def test_nothing_to_project_is_said():
    with pytest.raises(InputError, match="nothing to project"):
        project(Pattern())


def test_the_report_says_what_to_measure_and_what_to_mind():
    report = shown()[1].report
    told = " ".join(finding.text for finding in report.findings)

    assert "Measure the square of 500 mm" in told
    assert "never look into the lens" in told


def boxes(words):
    """Left, top, right, bottom (mm) of level words, as wide as another library has the letters."""
    metrics = pytest.importorskip("reportlab.pdfbase.pdfmetrics")
    found = []
    for one in words:
        wide = metrics.stringWidth(one.text, "Helvetica-Bold" if one.bold else "Helvetica", one.height)
        left = one.place[0] - one.anchor * wide
        found.append((left, one.place[1] - 0.75 * one.height, left + wide, one.place[1] + 0.2 * one.height))
    return found


@pytest.mark.parametrize("field", [600.0, 1400.0])
def test_words_stand_on_the_field_and_on_no_line(field):
    geometry = pytest.importorskip("shapely.geometry")
    document = shown(field=field, person="P03", date="2026-11-29")[1].prints[0]
    for page in document.pages:
        told = [one for one in page.own.words if one.text and one.text != "100 mm"]
        assert sum("Waistcoat: P03" in one.text for one in told) == 1, page.label
        lines = [flatten(stroke.path, 0.1) for stroke in page.own.strokes]
        for window in page.windows:
            art = [flatten(stroke.path, 0.1) for stroke in document.artwork.strokes]
            lines += [spots - [window.left, window.top] for spots in art]
        ink = geometry.MultiLineString([spots for spots in lines if len(spots) > 1])
        for words, (left, top, right, bottom) in zip(told, boxes(told)):
            assert 0 <= left and right <= page.width and 0 <= top and bottom <= page.height
            assert not ink.intersects(geometry.box(left, top, right, bottom)), (page.label, words.text)


@pytest.mark.parametrize("field, bar", [(1400.0, False), (500.0, True)])
def test_the_bar_of_a_label_is_not_shown_without_its_words(field, bar):
    """Its words are 5 mm high: 1920 pixels over 1400 mm make 6.9 of it, over 500 mm 19.2; 14 can be read."""
    drawing, chosen = open_drawing(MASTER, sizes=["3"], pieces=["back"])
    labelled = label(drawing.pattern, chosen).pattern
    document = project(labelled, chosen, field=field).prints[0]
    bars = [one for one in document.artwork.strokes if "Words" in " ".join(one.layers) and len(one.path) == 3]
    assert bool(bars) == bar
    assert ("50 mm" in [words.text for words in document.artwork.words]) == bar
