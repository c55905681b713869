"""The bought sample: always the same, opened by others, and true to the master."""

import io
import pathlib
import re
import zlib

import numpy as np
import pytest
from lxml import etree

from samples.make_master import read_chart
from samples.make_pdf import CORNER, LIVE, PITCH, bought, inside
from samples.plain_pdf import WIDTHS
from sewkit.files.pdf_read import read_pages
from sewkit.files.svg import open_drawing
from sewkit.geometry.path import Path
from sewkit.sheet.bring import bring
from tests.pdfs.truth import away, dense

SAMPLE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat"
COLUMNS, TILES = 6, 18


@pytest.fixture(scope="module")
def data():
    return bought(read_chart())


def unpacked(data):
    """The file with its streams unpacked: builds of zlib may pack the same text differently."""
    parts = re.split(rb"stream\n(.*?)\nendstream", data.split(b"xref\n")[0], flags=re.S)
    texts = [zlib.decompress(part) for part in parts[1::2]]
    return [re.sub(rb"/Length \d+", b"", part) for part in parts[::2]], texts


def test_the_same_chart_gives_the_same_bytes(data):
    assert bought(read_chart()) == data


def test_the_checked_in_file_is_what_the_script_makes(data):
    kept = (SAMPLE / "bought.pdf").read_bytes()

    assert unpacked(kept) == unpacked(data)
    assert len(kept) < 150_000


def test_pypdf_finds_the_pages_the_layers_and_nothing_to_mend(data):
    pypdf = pytest.importorskip("pypdf")
    reader = pypdf.PdfReader(io.BytesIO(data), strict=True)
    groups = reader.trailer["/Root"]["/OCProperties"]["/OCGs"]

    assert len(reader.pages) == 1 + TILES
    assert [str(group.get_object()["/Name"]) for group in groups] == [
        "Size {}".format(number) for number in range(1, 9)
    ] + ["All sizes"]
    for page in reader.pages:
        # A4 is 595.276 x 841.890 points (210 x 297 mm / 25.4 x 72)
        assert [float(v) for v in page.mediabox[2:]] == pytest.approx([595.276, 841.890], abs=0.001)


def test_pdfium_draws_every_page(data):
    pdfium = pytest.importorskip("pypdfium2")
    document = pdfium.PdfDocument(data)
    inked = []
    for page in document:
        inked.append(float((page.render(scale=0.5).to_numpy() < 128).mean()))

    assert len(inked) == 1 + TILES
    # The frame alone inks about half a hundredth; A3 and little else is an empty tile.
    assert min(inked) > 0.001
    assert sum(share > 1.2 * min(inked) for share in inked) >= 14


def test_qpdf_has_nothing_to_complain(data):
    pikepdf = pytest.importorskip("pikepdf")
    with pikepdf.open(io.BytesIO(data)) as document:
        assert (
            document.check_pdf_syntax() == []
            if hasattr(document, "check_pdf_syntax")
            else document.check() == []
        )


def test_every_node_of_the_master_is_on_a_page_to_a_thousandth(data):
    """Points are read back from the streams here; rounding is half a thousandth each way."""
    _, texts = unpacked(data)
    points = []
    for number, text in enumerate(texts[1:]):
        row, column = divmod(number, COLUMNS)
        shift = np.array([CORNER[0] + column * PITCH[0], CORNER[1] + row * PITCH[1]]) - LIVE
        found = re.findall(rb"(-?[\d.]+) (-?[\d.]+) [mlc]\b", text)
        points.append(np.array(found, float) + shift)
    there = np.concatenate(points)
    root = etree.parse(str(SAMPLE / "master.svg")).getroot()
    for line in root.iterfind(".//{*}path[@{urn:sewkit:1}role='seam-line']"):
        for spot in re.findall(r"(-?[\d.]+),(-?[\d.]+)(?= [A-Z]|$)", line.get("d")):
            away = np.abs(there - np.array(spot, float)).max(axis=1).min()

            assert away < 0.0011, (line.get("id"), spot)


def test_a_line_is_cut_at_the_border_and_its_rhythm_goes_on():
    square = Path.through([(0, 0), (100, 0), (100, 100), (0, 100)], closed=True)
    parts = inside(square, (50.0, -10.0, 200.0, 50.0), 20.0)

    # arithmetic: in at (50, 0) after 50 mm = 2 rhythms and 10 mm, out at (100, 50)
    ((part, phase),) = parts
    assert part.start == pytest.approx([50.0, 0.0], abs=1e-9)
    assert part.end == pytest.approx([100.0, 50.0], abs=1e-9)
    assert phase == pytest.approx(10.0, abs=1e-9)


def test_a_closed_line_that_starts_inside_stays_one_line():
    square = Path.through([(0, 0), (100, 0), (100, 100), (0, 100)], closed=True)
    ((part, _phase),) = inside(square, (-10.0, -10.0, 50.0, 50.0), 0.0)

    assert part.start == pytest.approx([0.0, 50.0], abs=1e-9)
    assert part.end == pytest.approx([50.0, 0.0], abs=1e-9)


def test_letters_are_as_wide_as_helvetica():
    metrics = pytest.importorskip("reportlab.pdfbase.pdfmetrics")
    for letter, width in WIDTHS.items():
        assert metrics.stringWidth(letter, "Helvetica", 1000) / 1000 == pytest.approx(width, abs=1e-9)


def test_it_comes_in_again_as_the_master_it_was_made_from(data):
    """Corners and curves are those of the master; the file rounds to a thousandth."""
    pytest.importorskip("pypdf")
    master = open_drawing(SAMPLE / "master.svg")[0].pattern
    brought = bring(read_pages(io.BytesIO(data))).pattern

    assert [piece.name for piece in brought.pieces] == [piece.name for piece in master.pieces]
    for piece, truth in zip(brought.pieces, master.pieces):
        # The joined sheet begins at another corner: one shift for all sizes of a piece.
        shift = dense(truth.outlines[0].path).min(axis=0) - dense(piece.outlines[0].path).min(axis=0)
        for outline, meant in zip(piece.outlines, truth.outlines):
            assert (outline.size, len(outline.path)) == (meant.size, len(meant.path))
            came = Path(outline.path.curves + shift, True)
            assert max(away(came, meant.path), away(meant.path, came)) < 0.01
