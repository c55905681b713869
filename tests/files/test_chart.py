"""Size charts from tables and from the drawing itself."""

import io
import pathlib

import pytest
from lxml import etree

from sewkit.body.size_chart import check_chart
from sewkit.errors import FileError, InputError
from sewkit.files.chart import chart_from_text, read_chart
from sewkit.files.svg import Drawing

SAMPLE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat"

UPRIGHT = """# women, invented
size,high bust,bust,hip,finished bust,drafted height
1,76,81,88,89,168
2,80,85,92,93,
"""
# The same, as charts are often printed: the sizes along the top.
LYING = """size;1;2
High Bust;76;80
full bust;81;85
hip;88;92
finished full bust;89;93
drafted height;168;
"""
# The same in mm and in inches (76 / 2.54 = 29.9212598...).
MILLIMETRES = """size,high bust (mm),bust,hip (mm),finished bust
1,760,81 cm,880,890mm
2,800,85 cm,920,930mm
drafted height,168
"""

SVG = """<svg xmlns="http://www.w3.org/2000/svg" xmlns:sewkit="urn:sewkit:1" width="100mm" height="100mm"
 viewBox="0 0 100 100">{}<g sewkit:piece="front"><path sewkit:role="seam-line" d="M 0,0 H 50 V 50 H 0 Z"
 sewkit:edges="top:50 side:50 hem:50 centre:50"/></g></svg>"""
CARRIED = "<metadata><sewkit:chart>\nsize,chest\n1,88\n2,92\n</sewkit:chart></metadata>"


def drawing_of(inside):
    return Drawing(etree.parse(io.BytesIO(SVG.format(inside).encode("utf-8"))))


@pytest.mark.parametrize("text", [UPRIGHT, LYING, MILLIMETRES])
def test_a_chart_upright_or_lying_in_any_unit_is_the_same(text):
    chart = chart_from_text(text)

    assert chart.sizes == ("1", "2")
    assert chart.measures == {"high bust": (760.0, 800.0), "full bust": (810.0, 850.0), "hip": (880.0, 920.0)}
    assert chart.finished == {"full bust": (890.0, 930.0)}
    assert chart.drafted_height == 1680.0


def test_a_chart_in_inches_is_guessed_as_a_whole_and_told():
    # exact by definition: 36 x 25.4 = 914.4; 5 ft 6 = 66 in
    chart = chart_from_text("size,bust,waist\n14,36,28\n16,38,30\ndrafted height,5 ft 6,\n")

    assert chart.measures["full bust"] == pytest.approx((914.4, 965.2))
    assert chart.drafted_height == pytest.approx(66 * 25.4)
    assert chart.told == ("The numbers of the size chart were taken for inches.",)


def test_one_ease_for_all_sizes():
    chart = chart_from_text("size,chest,waist,hip\n1,88,74,90\n2,92,78,94\nease,10,-3.5,\n", unit="cm")

    assert chart.sizes == ("1", "2")
    assert chart.ease == {"chest": 100.0, "waist": -35.0}
    assert chart.finished_values("chest") == (980.0, 1020.0)
    assert chart.finished_values("hip") is None
    assert chart.told == ()


def test_the_sample_has_the_ease_that_its_remark_says():
    chart = read_chart(SAMPLE / "chart.csv")

    for measure, ease in (("chest", 100.0), ("waist", 80.0)):
        assert [f - b for f, b in zip(chart.finished[measure], chart.measures[measure])] == [ease] * 8
    assert chart.drafted_height == 1780.0
    assert check_chart(chart) == ()


@pytest.mark.parametrize(
    "text, message",
    [
        ("size,chest\n1,88\n2,\n", r"Size 2 of the chart .* lacks a measure: chest"),
        ("size,chest\n1,88\n1,92\n", "Size 1 stands twice"),
        ("size,chest\n1,x88\n", "Row '1' of the chart of the pattern, chest: 'x88'"),
        ("size,chest\n1,88 / 89\n", "more than one number"),
        ("size,chest\n", "has no rows"),
        ("", "has no rows"),
        ("size,chest,finished chest\n1,88,98\n2,92,\n", "lacks a measure: finished chest"),
    ],
)
def test_a_slip_in_a_chart_names_its_place(text, message):
    with pytest.raises(InputError, match=message):
        chart_from_text(text)


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
