"""A size chart kept in the drawing is the one that a fit then goes by."""

import pathlib

import pytest

import sewkit
from sewkit.errors import InputError

SAMPLE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat"
TEXT = (SAMPLE / "chart.csv").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def master():
    return sewkit.open_drawing(str(SAMPLE / "master.svg"))[0].pattern


def test_it_is_kept_saved_and_found_again(master, tmp_path):
    drawing, _ = sewkit.open_drawing(str(SAMPLE / "master.svg"))
    outcome = sewkit.chart(master, chart=TEXT)
    drawing.put(outcome.pattern)
    drawing.save(tmp_path / "charted.svg", never=[])
    again = sewkit.open_drawing(str(tmp_path / "charted.svg"))[0].pattern

    assert again.chart == TEXT.strip()
    outlines = [[one for piece in pattern.pieces for one in piece.outlines] for pattern in (again, master)]
    assert outlines[0] == outlines[1] and outlines[0]
    # The sample's own promise: finished waist = waist + 8 cm.
    (table,) = sewkit.chart(again, action="check").report.tables
    assert dict(zip(table.columns, table.rows[2]))["waist"] == "82.0"
    assert dict(zip(table.columns, table.rows[2]))["finished waist"] == "90.0"


def test_a_slip_and_sizes_that_the_drawing_has_more_are_told(master):
    slip = "size,chest,waist\n1,88,74\n2,92,78\n3,96,28\n4,100,86\n"  # 28 for 82
    findings = sewkit.chart(master, chart=slip).report.findings

    assert any(f.code == "chart" and "waist" in f.text and "3" in f.text for f in findings)
    assert any(f.code == "chart-sizes" and "5, 6, 7, 8" in f.text for f in findings)


def test_what_no_drawing_can_hold_is_left_out(master):
    drawing, _ = sewkit.open_drawing(str(SAMPLE / "master.svg"))
    drawing.put(sewkit.chart(master, chart="# <&\x0b\n" + "size,chest\n1,88\n2,92\n").pattern)

    assert drawing.pattern.chart.startswith("# <&\nsize")


def test_without_a_chart_there_is_one_sentence(master):
    for values in ({}, {"action": "check"}):
        with pytest.raises(InputError) as told:
            sewkit.chart(master, **values)
        assert told.value.code == "chart"
