"""Measure sheets in files: the sample's table, and a text sheet of one person."""

import pathlib

import pytest

from sewkit.body.plausible import doubts
from sewkit.errors import FileError
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
