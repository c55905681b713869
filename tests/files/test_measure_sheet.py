"""Measure sheets in files: the sample's table, and a text sheet of one person."""

import pathlib

import pytest

from sewkit.body.plausible import doubts
from sewkit.body.size_chart import fit_size
from sewkit.errors import FileError
from sewkit.files.chart import read_chart
from sewkit.files.measure_sheet import read_bodies

SAMPLE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat" / "people.csv"


def held(body):
    return [doubt.text for doubt in doubts(body) if doubt.holds]


def test_the_sample_holds_the_one_row_that_is_in_inches():
    people = read_bodies(SAMPLE)

    assert [body.who for body in people] == ["P{:02d}".format(n) for n in range(1, 13)]
    assert {body.who: held(body) for body in people if held(body)} == {
        "P09": [
            "Chest 40 and waist 34 look like inches (101.6 and 86.4 cm): say in which unit they were taken."
        ]
    }


def test_the_row_confirmed_as_inches_gets_its_size_and_ease():
    # by hand: 101.6 lies 1.6 above size 4 (100), 86.36 lies 0.36 above size 4 (86); the finished
    # garment is 110 and 94 there, so the ease is 8.4 and 7.64; the back is 0.5 short of 44.5
    people = {body.who: body for body in read_bodies(SAMPLE, confirmed={"P09": "in"})}
    body, chart = people["P09"], read_chart(SAMPLE.with_name("chart.csv"))

    for measure, ease in (("chest", 84.0), ("waist", 76.4)):
        fit = fit_size(chart, measure, body.measures[measure])
        assert fit.size == "4"
        garment = chart.finished_values(measure)[chart.sizes.index("4")]
        assert garment - fit.body == pytest.approx(ease)
    assert body.measures["back waist length"] - chart.measures["back waist length"][3] == -5.0


def test_a_text_sheet_is_one_body_called_like_its_file(tmp_path):
    sheet = tmp_path / "anna.txt"
    sheet.write_text("# spring\nchest: 96\nwaist: 90 cm\n", encoding="utf-8")
    (body,) = read_bodies(sheet)

    assert (body.who, body.measures) == ("anna", {"chest": 960.0, "waist": 900.0})

    sheet.write_text("chest 96, waist 90 cm\n", encoding="utf-8")
    assert read_bodies(sheet)[0].measures == body.measures


def test_a_sheet_that_is_not_there(tmp_path):
    with pytest.raises(FileError, match="cannot be read"):
        read_bodies(tmp_path / "none.csv")


def test_a_drawing_is_no_measure_sheet():
    with pytest.raises(FileError, match="is a drawing or a web page, and no table"):
        read_bodies(SAMPLE.with_name("master.svg"))


def test_an_empty_file_is_told_as_such(tmp_path):
    (tmp_path / "people.csv").write_text(" \n", encoding="utf-8")

    with pytest.raises(FileError, match=r"people.csv' is empty"):
        read_bodies(tmp_path / "people.csv")
