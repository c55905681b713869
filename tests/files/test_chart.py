"""Size charts from files and from the drawing itself."""

import io
import pathlib

import pytest
from lxml import etree

from sewkit.body.chart_text import chart_from_text
from sewkit.body.size_chart import check_chart
from sewkit.errors import FileError
from sewkit.files.chart import read_chart
from sewkit.files.svg import Drawing

SAMPLE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat"

SVG = """<svg xmlns="http://www.w3.org/2000/svg" xmlns:sewkit="urn:sewkit:1" width="100mm" height="100mm"
 viewBox="0 0 100 100">{}<g sewkit:piece="front"><path sewkit:role="seam-line" d="M 0,0 H 50 V 50 H 0 Z"
 sewkit:edges="top:50 side:50 hem:50 centre:50"/></g></svg>"""
CARRIED = "<metadata><sewkit:chart>\nsize,chest\n1,88\n2,92\n</sewkit:chart></metadata>"


def drawing_of(inside):
    return Drawing(etree.parse(io.BytesIO(SVG.format(inside).encode("utf-8"))))


def test_the_sample_has_the_ease_that_its_remark_says():
    chart = read_chart(SAMPLE / "chart.csv")

    for measure, ease in (("chest", 100.0), ("waist", 80.0)):
        assert [f - b for f, b in zip(chart.finished[measure], chart.measures[measure])] == [ease] * 8
    assert chart.drafted_height == 1780.0
    assert check_chart(chart) == ()


def test_a_table_in_a_spreadsheets_own_letters(tmp_path):
    path = tmp_path / "chart.csv"
    path.write_bytes("# für große\nsize\tchest\n1\t88,5\n2\t92\n".encode("utf-16"))
    assert read_chart(path).measures["chest"] == (885.0, 920.0)

    path.write_bytes("# für große\nsize;chest\n1;88,5\n2;92\n".encode("cp1252"))
    assert read_chart(path).measures["chest"] == (885.0, 920.0)


def test_what_is_no_text_is_refused(tmp_path):
    path = tmp_path / "chart.ods"
    path.write_bytes(b"PK\x03\x04\x00\x00\x00")

    with pytest.raises(FileError, match="Save it as CSV"):
        read_chart(path)
    with pytest.raises(FileError, match="cannot be read"):
        read_chart(tmp_path / "none.csv")


def test_a_drawing_carries_its_chart():
    drawing = drawing_of(CARRIED)

    assert drawing.pattern.chart == "size,chest\n1,88\n2,92"
    assert chart_from_text(drawing.pattern.chart).measures == {"chest": (880.0, 920.0)}


def test_a_drawing_without_a_chart_carries_none():
    assert drawing_of("").pattern.chart == ""


def test_a_change_elsewhere_keeps_the_chart_as_it_was():
    drawing = drawing_of(CARRIED)
    (front,) = drawing.pattern.pieces
    drawing.put(drawing.pattern.with_piece(front._replace(cut=2)))

    assert CARRIED.encode("utf-8") in drawing.as_bytes()
    assert drawing.pattern.chart == "size,chest\n1,88\n2,92"


@pytest.mark.parametrize(
    "inside", ["", "<metadata/>", "<metadata><other xmlns='urn:x'/></metadata>", CARRIED]
)
def test_a_chart_that_is_put_in_is_read_back(inside):
    drawing = drawing_of(inside)
    drawing.put(drawing.pattern._replace(chart="size,waist\n1,74\n2,78"))
    again = Drawing(etree.parse(io.BytesIO(drawing.as_bytes())))

    assert again.pattern.chart == "size,waist\n1,74\n2,78"
    assert len(again.root.findall(".//{urn:sewkit:1}chart")) == 1
    assert again.pattern.pieces == drawing.pattern.pieces


def test_a_chart_that_is_taken_out_is_gone():
    drawing = drawing_of(CARRIED)
    drawing.put(drawing.pattern._replace(chart=""))

    assert b"chart" not in drawing.as_bytes()
