"""Which size at which level, against people worked out by hand on two invented charts.

By hand, whole sizes, nearest, ties up: chest 101 lies between 100 (4) and 104 (5), nearer to
100; waist 84 half-way between 82 (3) and 86 (4), so 4.  Ease is finished less body.
"""

import pytest

from sewkit.body.ease import AMBER, GREEN, RED
from sewkit.body.sizing import SHOP_SIZES, sizes_for, value_at
from sewkit.errors import InputError
from tests.body.charts import MEN, WOMEN, body, man


def both(sizing, measure):
    at = sizing.of(measure)
    return at.size, at.finished / 10, pytest.approx(at.ease / 10)


@pytest.mark.parametrize(
    "who, chest, waist, back, sizes, finished, ease, lights",
    [
        ("P01", 88, 74, 43.0, "1 1", (98, 82), (10, 8), (GREEN, GREEN)),
        ("P02", 93, 79, 43.4, "2 2", (102, 86), (9, 7), (GREEN, GREEN)),
        ("P03", 96, 90, 44.2, "3 5", (106, 98), (10, 8), (GREEN, GREEN)),
        ("P04", 101, 84, 46.5, "4 4", (110, 94), (9, 10), (GREEN, GREEN)),
        ("P05", 104, 112, 45.0, "5 8", (114, 117), (10, 5), (GREEN, AMBER)),
        ("P06", 118, 102, 46.0, "8 7", (130, 110), (12, 8), (GREEN, GREEN)),
        ("P07", 99, 88, 42.0, "4 5", (110, 98), (11, 10), (GREEN, GREEN)),
        ("P10", 92, 95, 43.5, "2 6", (102, 103), (10, 8), (GREEN, AMBER)),
        ("P11", 106, 88, 49.0, "6 5", (118, 98), (12, 10), (GREEN, GREEN)),
        ("P12", 93, 79, 43.4, "2 2", (102, 86), (9, 7), (GREEN, GREEN)),
        ("P09 in cm", 101.6, 86.4, 44.0, "4 4", (110, 94), (8.4, 7.6), (GREEN, GREEN)),
    ],
)
def test_twelve_performers(who, chest, waist, back, sizes, finished, ease, lights):
    sizing = sizes_for(MEN, man(chest, waist, back, who))

    assert not sizing.held
    assert " ".join(one.size for one in sizing.at) == sizes
    assert [one.finished for one in sizing.at] == pytest.approx([10.0 * cm for cm in finished])
    assert [one.ease for one in sizing.at] == pytest.approx([10.0 * cm for cm in ease])
    assert tuple(one.light for one in sizing.at) == lights
    assert [one.intended_ease for one in sizing.at] == pytest.approx([100.0, 80.0])


def test_a_waist_a_little_beyond_the_chart_is_taken_and_told():
    """112 is 3 beyond 109, the last step is 7: 8 3/7 sizes; 117 less 112 leaves 5 of 8."""
    waist = sizes_for(MEN, man(104, 112, 45.0)).of("waist")

    assert waist.exact == pytest.approx(8 + 3 / 7)
    assert waist.number == 8
    assert waist.short == pytest.approx(30.0)
    assert waist.words == (
        "The waist of 112.0 cm lies 3.0 cm beyond size 8 (109.0 cm), 0.43 steps; "
        "its ease is 5.0 cm there instead of 8.0."
    )


def test_a_whole_step_beyond_the_chart_is_held_in_one_sentence():
    sizing = sizes_for(MEN, man(126, 118, 47.0))

    assert sizing.at == ()
    assert ". " not in sizing.held
    assert "chest of 126.0 cm is 1.00 steps beyond size 8 (120.0 cm)" in sizing.held
    assert "waist of 118.0 cm is 1.29 steps beyond" in sizing.held  # 9 of a step of 7


def test_who_is_smaller_than_the_chart_is_below_it():
    """The first steps are 4 and 4: 86 is half a step below 88, 62 three below 74."""
    assert "lies 2.0 cm below size 1 (88.0 cm), 0.50 steps" in sizes_for(MEN, man(86, 74, 43.0)).told[0]
    held = sizes_for(MEN, man(88, 62, 43.0)).held
    assert "waist of 62.0 cm is 3.00 steps below size 1 (74.0 cm)" in held


def test_with_consent_it_is_worked_out_by_the_last_step():
    """126 and 10, 118 and 8."""
    sizing = sizes_for(MEN, man(126, 118, 47.0), beyond=True)

    assert [one.number for one in sizing.at] == pytest.approx([9.0, 9 + 2 / 7])
    assert [one.finished for one in sizing.at] == pytest.approx([1360.0, 1260.0])
    assert sizing.light == AMBER
    assert all("make a test garment" in text for text in sizing.told)


@pytest.mark.parametrize("chest, held", [(123.0, False), (123.1, True), (86.0, False), (85.9, True)])
def test_half_a_step_outside_is_the_limit(chest, held):
    """The last step is 6 cm, the first 4."""
    assert bool(sizes_for(MEN, body(chest=chest)).held) == held


def test_numbers_that_look_like_inches_are_held():
    sizing = sizes_for(MEN, man(40, 34, 44.0))

    assert "inches" in sizing.held
    assert "101.6 and 86.4" in sizing.held  # 40 and 34 times 2.54


def test_four_sizes_in_one_taper_advise_room_for_the_abdomen():
    sizing = sizes_for(MEN, man(92, 95, 43.5))

    assert sizing.light == AMBER
    assert [text for text in sizing.told if "taper" in text] == [
        "4 sizes in one taper, from the chest to the waist: fit before cutting, "
        "and rather give the front room for the abdomen."
    ]
    # Three are not yet too many.
    assert not [text for text in sizes_for(MEN, man(104, 112, 45.0)).told if "taper" in text]


def test_a_tie_is_told():
    told = sizes_for(MEN, man(101, 84, 46.5)).told

    assert told == ("The waist of 84.0 cm is half-way between sizes 3 and 4: the larger is taken.",)


def test_a_pear_has_three_sizes():
    """88, 93, 78, 113 are rows of the chart: 4, 5, 7; with ease 8, 4, 5: 101, 82, 118."""
    chart = WOMEN._replace(ease={"full bust": 80.0, "waist": 40.0, "hip": 50.0})
    sizing = sizes_for(chart, body(high_bust=88, full_bust=93, waist=78, hip=113))

    assert [(sizing.of(name).size, sizing.of(name).exact) for name in ("bust", "waist", "hips")] == [
        ("4", 4.0),
        ("5", 5.0),
        ("7", 7.0),
    ]
    assert [sizing.of(name).finished for name in ("bust", "waist", "hips")] == [1010.0, 820.0, 1180.0]
    assert sizing.main == "full bust"
    assert sizing.light == AMBER
    assert [text for text in sizing.told if "3 sizes in one taper" in text]


def test_a_full_bust_leaves_the_size_to_the_high_bust():
    """High 92 is size 5 with a full bust of 97; 103 is 6 cm more.  97 and 8 of ease leave 2."""
    chart = WOMEN._replace(ease={"full bust": 80.0, "waist": 40.0})
    sizing = sizes_for(chart, body(high_bust=92, full_bust=103, waist=82, hip=104))

    assert sizing.main == "high bust"
    assert sizing.cup == pytest.approx(60.0)
    assert sizing.of("high bust").size == sizing.of("full bust").size == "5"
    assert sizing.of("full bust").short == pytest.approx(60.0)
    assert both(sizing, "full bust") == ("5", 105.0, 2.0)
    assert sizing.of("full bust").light == RED
    assert both(sizing, "waist") == ("6", 86.0, 4.0)


@pytest.mark.parametrize(
    "high, full, main, cup, size",
    [
        (96, 98, "high bust", -30.0, "6"),  # size 6 is drafted for 101: 3 cm less
        (92, 99.5, "high bust", 25.0, "5"),  # a difference of 2.5 cm is enough
        (92, 99.4, "full bust", 24.0, "6"),  # 99.4 is nearer to 101 than to 97
        (92, 94.5, "high bust", -25.0, "5"),
    ],
)
def test_which_measure_leads(high, full, main, cup, size):
    sizing = sizes_for(WOMEN, body(high_bust=high, full_bust=full))

    assert (sizing.main, sizing.lead.size) == (main, size)
    assert sizing.cup == pytest.approx(cup)


def test_sizes_in_between_have_the_chart_s_own_ease():
    """Waist 79 lies a quarter of the way from 78 (2) to 82 (3)."""
    sizing = sizes_for(MEN, man(93, 79, 43.4), exact=True)
    waist = sizing.of("waist")

    assert (waist.size, waist.number) == ("2-3", 2.25)
    assert (waist.chart, waist.finished, waist.ease) == (790.0, 870.0, 80.0)


def test_trousers_go_by_the_hip():
    sizing = sizes_for(WOMEN, body(full_bust=93, waist=78, hip=104), lead="hips")

    assert (sizing.main, sizing.lead.size) == ("hip", "5")
    with pytest.raises(InputError, match="is to lead"):
        sizes_for(WOMEN, body(full_bust=93), lead="hip")


def test_a_sheet_without_the_chart_s_girths_is_held():
    assert "none of the girths" in sizes_for(MEN, body(ankle=24)).held


def test_values_at_any_size():
    assert value_at((10.0, 14.0, 20.0), 1.25) == pytest.approx(11.0)
    assert value_at((10.0, 14.0, 20.0), 3.5) == pytest.approx(23.0)  # the last step goes on
    assert value_at((10.0, 14.0, 20.0), 0.5) == pytest.approx(8.0)


def test_why_shop_sizes_are_never_used_is_one_sentence():
    assert SHOP_SIZES.count(".") == 1
