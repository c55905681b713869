"""Size charts from a table's text."""

import pytest

from sewkit.body.chart_text import chart_from_text
from sewkit.errors import InputError

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
