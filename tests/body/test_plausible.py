"""Doubts, by people worked by hand and by published tables that must raise none."""

import pytest

from sewkit.body.body import Body
from sewkit.body.body_text import body_from_text
from sewkit.body.plausible import doubts
from sewkit.body.size_chart import SizeChart, check_chart

# ASTM D5585-11e1, misses' sizes 00 to 20, in inches, as the publisher shows them.
ASTM = {
    "head": (21.25, 21.25, 21.5, 21.5, 21.75, 21.75, 22, 22, 22.25, 22.25, 22.5, 22.5),
    "full bust": (31.125, 31.75, 33, 34.125, 35.25, 36.25, 37.25, 38.75, 40.375, 42.125, 44, 46),
    "under-bust": (25.75, 26.5, 27.25, 28, 29, 30, 31, 32.5, 34, 35.75, 37.625, 39.625),
    "high bust": (31.75, 32.25, 33.25, 34.125, 35, 35.875, 36.75, 38, 39.25, 40.625, 42.25, 43.875),
    "waist": (23.875, 24.625, 25.375, 26.125, 27, 28, 29, 30.75, 32.5, 34.5, 36.75, 39),
}

# The American home-pattern table, misses 6 to 20 (5 ft 5 1/2 in tall), in inches.
MISSES = {
    "full bust": (30.5, 31.5, 32.5, 34, 36, 38, 40, 42),
    "waist": (23, 24, 25, 26.5, 28, 30, 32, 34),
    "hip": (32.5, 33.5, 34.5, 36, 38, 40, 42, 44),
    "back waist length": (15.5, 15.75, 16, 16.25, 16.5, 16.75, 17, 17.25),
}
HEIGHT = 65.5

# EN 13402-3, men's and women's intervals: designation by chest, waist; bust, waist, hip, in cm.
MEN = {
    "chest": (84, 88, 92, 96, 100, 104, 108, 112, 116, 120, 126, 132, 138, 144),
    "waist": (72, 76, 80, 84, 88, 92, 96, 100, 104, 108, 114, 120, 126, 132),
}
WOMEN = {
    "full bust": (76, 80, 84, 88, 92, 96, 100, 104, 110, 116, 122, 128, 134, 140, 146, 152),
    "waist": (60, 64, 68, 72, 76, 80, 84, 88, 94, 100, 106, 112, 118, 124, 130, 136),
    "hip": (84, 88, 92, 96, 100, 104, 108, 112, 117, 122, 127, 132, 137, 142, 147, 152),
}
PUBLISHED = [
    (name, at, {measure: values[at] * per for measure, values in table.items()})
    for name, table, per in (
        ("ASTM D5585", ASTM, 25.4),
        ("misses", dict(MISSES, height=(HEIGHT,) * 8), 25.4),
        ("EN 13402-3 men", MEN, 10.0),
        ("EN 13402-3 women", WOMEN, 10.0),
    )
    for at in range(len(table["waist"]))
]


@pytest.mark.parametrize("table, at, measures", PUBLISHED)
def test_no_row_of_a_published_table_is_doubted(table, at, measures):
    # the upper chest of ASTM's smallest sizes is more than the bust, as printed
    assert doubts(Body("row", measures)) == ()


@pytest.mark.parametrize(
    "table, per",
    [(ASTM, 25.4), (MISSES, 25.4), (MEN, 10.0), (WOMEN, 10.0)],
    ids="ASTM misses men women".split(),
)
def test_the_steps_of_published_tables_are_even_enough(table, per):
    # heads stay the same over two sizes and are told; all else rises evenly
    rows = {name: tuple(value * per for value in values) for name, values in table.items() if name != "head"}
    chart = SizeChart(tuple(str(at) for at in range(len(rows["waist"]))), rows)

    assert check_chart(chart) == ()


@pytest.mark.parametrize("table, at, measures", PUBLISHED[::5])
def test_a_published_row_in_inches_read_as_centimetres_is_held(table, at, measures):
    taken = {name: length / 2.54 for name, length in measures.items()}

    found = doubts(Body("row", taken))

    assert [doubt.code for doubt in found] == ["unit"] and found[0].holds
    assert set(found[0].measures) == set(measures)


def test_inches_in_a_table_of_centimetres_are_held_with_both_readings():
    # 40 x 2.54 = 101.6, 34 x 2.54 = 86.36
    found = doubts(body_from_text("chest 40, waist 34, back waist length 44.0", unit="cm"))

    assert [doubt.text for doubt in found] == [
        "Chest 40 and waist 34 look like inches (101.6 and 86.4 cm): say in which unit they were taken."
    ]
    assert found[0].holds


@pytest.mark.parametrize(
    "text, code, pair, holds",
    [
        ("chest 960 cm, waist 90 cm", "unit", ("chest",), True),
        ("chest 96 in, waist 36 in", "unit", ("chest",), True),
        ("chest 9.6 cm", "unusual", ("chest",), True),  # a decimal point
        ("waist 112, hip 90 cm", "waist-hip", ("waist", "hip"), True),  # 112 / 90 = 1.24
        ("waist 112, seat 108 cm", "waist-hip", ("waist", "seat"), False),
        ("high bust 95.1, full bust 93 cm", "high-bust", ("high bust", "full bust"), False),  # 2.1 more
        (
            "high bust 93, full bust 92, under-bust 76 cm",
            "tape",
            ("high bust", "full bust", "under-bust"),
            False,
        ),
        ("under-bust 92, bust 90 cm", "tape", ("under-bust", "full bust"), False),
        ("high hip 101, hip 100 cm", "high-hip", ("high hip", "hip"), False),
        (
            "front waist length 39.9, back waist length 42 cm",
            "front-back",
            ("front waist length", "back waist length"),
            False,
        ),
        # 4 x 39 = 156, 12.4 % below 178; 4 x 55.5 = 222, 24.7 % above it
        ("height 178, back waist length 39 cm", "height-back", ("back waist length", "height"), False),
        ("height 178, back waist length 55.5 cm", "height-back", ("back waist length", "height"), True),
        # 106 - 80 = 26, the depth 30.5: 4.5 off
        (
            "outside leg 106, inside leg 80, sitting depth 30.5 cm",
            "legs",
            ("outside leg", "inside leg", "sitting depth"),
            False,
        ),
        ("outside leg 85, inside leg 90 cm", "legs", ("outside leg", "inside leg"), True),
        # 2 x 26.5 + 0.22 x 104 = 75.88
        (
            "crotch front 36, crotch back 40, sitting depth 26.5, hip 104 cm",
            "crotch",
            ("crotch length", "sitting depth", "hip"),
            False,
        ),
        ("chest 96 / 97.5 cm", "readings", ("chest",), False),
    ],
)
def test_each_doubt_is_one_sentence_that_names_the_pair(text, code, pair, holds):
    found = doubts(body_from_text(text))

    assert [(doubt.code, doubt.measures, doubt.holds) for doubt in found] == [(code, pair, holds)]
    assert found[0].text.count(". ") == 0 and found[0].text[-1] in ".?"


@pytest.mark.parametrize(
    "text",
    [
        "high bust 95, full bust 93 cm",  # 2 more, no more than that
        "high bust 93, full bust 92, under-bust 76.5 cm",
        "front waist length 40, back waist length 42 cm",
        "height 178, back waist length 40 cm",  # 160: 10 % below
        "outside leg 106, inside leg 80, sitting depth 30 cm",
        "crotch front 30.5, crotch back 36, sitting depth 26.5, hip 104 cm",  # 66.5 in 61.3 to 75.9
        "chest 96 / 97 cm",
        "height 186, back waist length 45.2 cm",
        "height 110, chest 58, waist 55 cm",  # a child
    ],
)
def test_what_bodies_do_have_is_not_doubted(text):
    assert doubts(body_from_text(text)) == ()


def test_a_change_of_more_than_a_twentieth_is_asked_about():
    last = body_from_text("chest 100, waist 90 cm")
    # 105 is a twentieth more and passes; 85.4 is 5.1 % less
    now = body_from_text("chest 105, waist 85.4 cm")

    found = doubts(now, last)

    assert [(doubt.code, doubt.measures) for doubt in found] == [("changed", ("waist",))]
    assert "90.0 cm on the last sheet and is 85.4 cm now" in found[0].text


def test_somebody_who_looked_again_lets_a_held_body_go():
    held = body_from_text("waist 112, hip 90 cm")
    looked = body_from_text("waist 112, hip 90 cm\nconfirmed: yes")

    assert doubts(held)[0].holds
    assert [doubt.holds for doubt in doubts(looked)] == [False]


def test_what_cannot_be_read_is_held_whoever_confirms_it():
    body = Body("P01", {"chest": 960.0}, confirmed=True, faults=("At 'waist': 'x' is no length.",))

    assert [(doubt.code, doubt.holds) for doubt in doubts(body)] == [("unread", True)]
