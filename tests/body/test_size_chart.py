"""Which size fits where, against the twelve performers worked out by hand.

By hand: rule "whole sizes, nearest, ties go up" on the men's chart; e.g. chest 101 lies
between 100 (size 4) and 104 (size 5), nearer to 100; waist 84 lies half-way between 82
(size 3) and 86 (size 4), so size 4.
"""

import pathlib

import pytest

from sewkit.body.size_chart import SizeChart, check_chart, fit_size
from sewkit.errors import InputError
from sewkit.files.chart import read_chart, read_table

SAMPLE = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat"
CHART = SizeChart(
    tuple("12345678"),
    {
        "chest": tuple(10.0 * v for v in (88, 92, 96, 100, 104, 108, 114, 120)),
        "waist": tuple(10.0 * v for v in (74, 78, 82, 86, 90, 95, 102, 109)),
    },
)


@pytest.mark.parametrize(
    "measure, body_cm, size",
    [
        ("chest", 88, "1"),
        ("chest", 93, "2"),
        ("waist", 79, "2"),
        ("chest", 101, "4"),
        ("waist", 84, "4"),  # a tie between 82 and 86
        ("waist", 112, "8"),  # 8.43: beyond the last size by less than half a step
        ("chest", 118, "8"),  # 7.67
        ("chest", 106, "6"),  # a tie between 104 and 108
        ("waist", 88, "5"),  # a tie between 86 and 90
        ("waist", 95, "6"),
    ],
)
def test_nearest_size_ties_go_up(measure, body_cm, size):
    found = fit_size(CHART, measure, body_cm * 10.0)

    assert found.size == size


def test_exact_size_is_counted_from_one():
    # by hand: waist 112 is 3 beyond 109, the last step is 7: 8 + 3/7
    assert fit_size(CHART, "waist", 1120.0).exact == pytest.approx(8 + 3 / 7)
    # by hand: chest 93 lies a quarter of the way from 92 (second) to 96 (third)
    assert fit_size(CHART, "chest", 930.0).exact == pytest.approx(2.25)


def test_a_whole_step_beyond_the_chart_is_held():
    with pytest.raises(InputError, match="outside the chart") as error:
        fit_size(CHART, "chest", 1260.0)

    assert error.value.code == "outside-chart"


def test_inches_are_suspected():
    with pytest.raises(InputError, match=r"inches \(40 in = 101.6 cm\)"):
        fit_size(CHART, "chest", 400.0)


def test_a_chart_that_does_not_rise_is_refused():
    chart = SizeChart(("1", "2", "3"), {"chest": (880.0, 960.0, 920.0)})

    with pytest.raises(InputError, match="does not rise at size 3"):
        fit_size(chart, "chest", 900.0)
    assert check_chart(chart) == (
        "The size chart's chest falls at size 3: look for a slip of the pen there.",
    )


def test_a_step_that_jumps_is_told():
    # 88 92 98 100: steps of 4, 6, 2 cm; 6 is more than twice 2
    chart = SizeChart(("1", "2", "3", "4"), {"chest": (880.0, 920.0, 980.0, 1000.0)})

    assert check_chart(chart) == (
        "The size chart's chest grows by 6 cm to size 3 and by 2 cm to size 4: is that so?",
    )


def test_sizes_that_are_the_same_are_told():
    chart = SizeChart(("1", "2", "3"), {"head": (540.0, 540.0, 550.0)})

    assert check_chart(chart) == (
        "The size chart's head is the same in sizes 1 and 2, so no size is chosen by it.",
    )


def test_finished_measures_are_given_or_come_from_the_promised_ease():
    chart = CHART._replace(
        finished={"chest": tuple(980.0 + 40.0 * n for n in range(8))}, ease={"waist": 80.0}
    )

    assert chart.finished_values("chest")[:2] == (980.0, 1020.0)
    # by hand: 74 + 8
    assert chart.finished_values("waist")[0] == 820.0
    assert chart.finished_values("back waist length") is None


def test_a_full_bust_is_sized_by_the_chest_of_a_mens_chart():
    assert fit_size(CHART, "full bust", 930.0).size == "2"
    assert CHART.values("bust") == CHART.measures["chest"]


@pytest.mark.parametrize(
    "finished, told",
    [
        # ease 10, 10, 10.5
        ((980.0, 1020.0, 1065.0), ()),
        # ease 10, 10, 14: 108 and 112 were swapped with something else
        (
            (980.0, 1020.0, 1100.0),
            ("The ease of the finished chest jumps from 10 to 14 cm at size 3: look for a slip there.",),
        ),
        (
            (840.0, 880.0, 920.0),
            (
                "The finished chest is less than the body's in every size: are the two mixed up, or is it a "
                "knit?",
            ),
        ),
    ],
)
def test_finished_measures_are_held_against_the_bodys(finished, told):
    chart = SizeChart(("1", "2", "3"), {"chest": (880.0, 920.0, 960.0)}, {"chest": finished})

    assert check_chart(chart) == told


def test_a_promise_that_the_finished_measures_break_is_told():
    chart = SizeChart(("1", "2"), {"chest": (880.0, 920.0)}, {"chest": (980.0, 1020.0)}, ease={"chest": 80.0})

    assert check_chart(chart) == (
        "The chart promises 8 cm of ease at the chest, but its finished measures do not all have it.",
    )


def test_unknown_measure_names_those_there_are():
    with pytest.raises(InputError, match="It has: chest, waist"):
        fit_size(CHART, "neck", 400.0)


def test_the_sample_chart_is_read_in_mm():
    assert read_chart(SAMPLE / "chart.csv").measures["waist"] == CHART.measures["waist"]


def test_a_table_row_with_a_slip_names_row_and_table(tmp_path):
    table = tmp_path / "people.csv"
    table.write_text("who,chest\nP01,88\nP02,ninety\n", encoding="utf-8")

    with pytest.raises(InputError, match="Row 'P02'"):
        read_table(table)


def test_inches_with_fractions_in_a_table(tmp_path):
    table = tmp_path / "people.csv"
    table.write_text('who,chest\nP01,36 1/2in\nP02,"92,5"\n', encoding="utf-8")

    read = read_table(table)

    # exact by definition: 36.5 x 25.4
    assert read["P01"]["chest"] == pytest.approx(927.1)
    assert read["P02"]["chest"] == pytest.approx(925.0)
