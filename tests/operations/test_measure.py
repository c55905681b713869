"""Measure: what the report of the finished garment says, and what cannot be measured."""

import pytest

from sewkit.errors import InputError
from sewkit.files.svg import open_drawing
from sewkit.operations.measure import measure
from sewkit.report import Level

MASTER = "samples/waistcoat/master.svg"


@pytest.fixture(scope="module")
def waistcoat():
    return open_drawing(MASTER)[0].pattern


def told(report, code):
    return [finding for finding in report.findings if finding.code == code]


def test_one_size_is_told_piece_by_piece_and_nothing_is_changed(waistcoat):
    outcome = measure(waistcoat, size_measured="3")

    assert outcome.pattern is waistcoat
    # Chest 96 and waist 82 cm, with 10 and 8 cm of ease; 20 mm lap over on both fronts.
    rows = {row[0]: row for row in outcome.report.tables[0].rows}
    assert rows["chest"][2:] == ("0.0", "40.0", "1060.0")
    assert rows["waist"][2:] == ("0.0", "40.0", "900.0")
    assert "chest 1060.0, waist 900.0" in outcome.report.summary
    assert outcome.report.worst == Level.INFO


def test_all_sizes_stand_side_by_side(waistcoat):
    table = measure(waistcoat, levels="waist").report.tables[0]
    assert table.columns == ("level", *"12345678")
    assert table.rows == (
        ("waist", "820.0", "860.0", "900.0", "940.0", "980.0", "1030.0", "1100.0", "1170.0"),
    )


def test_the_ease_of_a_body_stands_beside_what_is_asked(waistcoat):
    report = measure(
        waistcoat, size_measured="3", body="chest 96, waist 90 cm", ease={"waist": 80.0, "bust": 100.0}
    ).report

    (table,) = [one for one in report.tables if one.title == "Ease"]
    assert [row[:6] for row in table.rows] == [
        ("chest", "3", "96.0", "106.0", "10.0", "10.0"),
        ("waist", "3", "90.0", "90.0", "8.0", "0.0"),
    ]
    assert table.levels == (Level.PASS, Level.FAIL)
    assert [finding.level for finding in told(report, "ease")] == [Level.PASS, Level.FAIL]


def test_the_ease_asked_is_that_of_the_pattern_s_own_chart(waistcoat):
    chart = "size,chest,waist,finished chest,finished waist\n2,92,78,102,86\n3,96,82,106,90\n"
    report = measure(
        waistcoat._replace(chart=chart), size_measured="3", levels="chest waist", body="chest 96 cm"
    ).report
    (table,) = [one for one in report.tables if one.title == "Ease"]
    assert table.rows[0][4] == "10.0"


def test_measures_in_inches_are_read_as_inches(waistcoat):
    report = measure(waistcoat, size_measured="3", levels="waist", body="waist 32in").report
    # 32 x 2.54 = 81.28; 90.0 - 81.28 = 8.72
    assert report.tables[-1].rows[0][2:6] == ("81.3", "90.0", "-", "8.7")


def test_an_opening_is_held_against_the_body(waistcoat):
    report = measure(
        waistcoat, size_measured="3", body="hip 98, waist 80 cm", openings={"waist": 900.0}, stretch=5.0
    ).report
    (finding,) = told(report, "opening")
    # 98 / 1.05 = 93.33
    assert finding.level == Level.FAIL and "at least" in finding.text and "93.3" in finding.text


def test_the_picked_pieces_count_and_facings_only_where_they_are_alone():
    drawing, chosen = open_drawing(MASTER, pieces=["front", "front-facing"], sizes=["2"])
    row = measure(drawing.pattern, chosen, levels="waist").report.tables[0].rows[0]
    # Half the front without its overlap: a quarter of 86 cm, 10 mm and what the side takes.
    assert row[1].endswith("front") and "facing" not in row[1]

    drawing, chosen = open_drawing(MASTER, pieces=["front-facing"], sizes=["2"])
    row = measure(drawing.pattern, chosen, levels="waist").report.tables[0].rows[0]
    assert row[1:] == ("2 x 65.0 front-facing", "0.0", "0.0", "130.0")  # 65 mm wide by the draft


def test_who_counts_can_be_said_with_how_often(waistcoat):
    report = measure(waistcoat, size_measured="1", levels="chest", count="back=1, front=4").report
    # Size 1: 98 cm in four quarters of 245, the back 10 narrower, the front 10 wider: 235 + 4 x 255.
    assert report.tables[0].rows[0][4] == "1255.0"


@pytest.mark.parametrize(
    "values, words",
    [
        ({"size_measured": "9"}, "There is no size '9'"),
        ({"levels": "knee"}, "level called 'knee'"),
        ({"count": "sleeve"}, "no piece called 'sleeve'"),
        ({"count": "front=often"}, "how often 'front' counts"),
        ({"body": "tallness 3 cm"}, "tallness"),
    ],
)
def test_what_cannot_be_used_is_told_in_a_sentence(waistcoat, values, words):
    with pytest.raises(InputError, match=words):
        measure(waistcoat, **values)


def test_a_line_without_names_is_not_measured():
    from tests.operations.pieces import R1, bare

    with pytest.raises(InputError, match="has a level"):
        measure(bare(R1))


def test_a_body_with_no_measure_of_a_level_is_told(waistcoat):
    report = measure(waistcoat, size_measured="3", body="height 178 cm").report
    assert "no ease is told" in told(report, "ease")[0].text
