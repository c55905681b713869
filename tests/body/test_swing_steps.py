"""Where the side swings for a body, in the words of the blend that does it."""

import pytest

from sewkit.body.sizing import sizes_for
from sewkit.body.swing_steps import stops_of, swing_steps
from tests.body.charts import MEN, WOMEN, body, man

DRESS = {"bust": 215.0, "waist": 416.0, "hip": 616.0, "hem": 1000.0}


def swings(who, chart=WOMEN, levels=DRESS, exact=False, beyond=False):
    sizing = sizes_for(chart, who, exact, beyond)
    stops, told = stops_of(sizing, who, levels)
    steps, skipped = swing_steps(stops, chart, "side", "line", exact)
    return [dict(step.values) for step in steps], told, skipped


def test_a_pear_swings_twice_and_arrives_at_the_body_s_own_hip():
    steps, told, skipped = swings(body(full_bust=93, waist=78, hip=113, hip_depth=22))

    assert steps == [
        {
            "first": "4",
            "then": "5 7",
            "edge": "side",
            "until": "waist waist+220mm",
            "lead": "50 mm",
            "called": "line",
        }
    ]
    assert told == [
        "The hip lies 22.0 cm below the waist on the body, 20.0 cm on the pattern: the body's counts."
    ]
    assert not skipped


def test_a_hip_that_nobody_measured_is_taken_from_the_pattern_and_told():
    steps, told, _ = swings(body(full_bust=93, waist=78, hip=113))

    assert steps[0]["until"] == "waist waist+200mm"
    assert "was not measured: 20.0 cm are taken" in told[0]


@pytest.mark.parametrize(
    "girths, expected",
    [
        # One size throughout: nothing swings.
        ((93, 74, 100), []),
        # Only the waist differs: there and back.
        ((93, 78, 100), [("4", "5 4", "waist waist+200mm", "50 mm", None)]),
        # The line is held down to the waist and swings in the 200 mm below it.
        ((93, 74, 108), [("4", "6", "waist+200mm", "200 mm", "short")]),
        # From the waist down all is one size.
        ((93, 78, 104), [("4", "5", "waist", "50 mm", None)]),
    ],
)
def test_a_size_is_held_between_levels_that_share_it(girths, expected):
    names = ("full_bust", "waist", "hip")
    steps, _, _ = swings(body(**dict(zip(names, girths))))

    found = [(s["first"], s["then"], s["until"], s["lead"], s.get("custom")) for s in steps]
    assert found == expected


def test_a_skirt_leaves_the_waist_at_once():
    steps, _, _ = swings(body(waist=78, hip=113), levels={"waist": 0.0, "hips": 200.0, "hem": 600.0})

    assert [(s["first"], s["then"], s["until"], s["lead"]) for s in steps] == [
        ("5", "7", "waist+200mm", "0 mm")
    ]


def test_a_short_garment_has_no_hip():
    who = body(chest=96, waist=90, seat=115)
    steps, told, _ = swings(who, MEN, {"chest": -175.0, "waist": 0.0, "hem": 95.0})

    assert [(s["then"], s["until"]) for s in steps] == [("5", "waist")]
    assert not told


def test_sizes_in_between_swing_by_shares_of_the_chart():
    """Bust 93 is size 4.  Waist 79 lies between 78 (5) and 82 (6): from 74 that is 5 of 8 of the way
    to size 6.  At the hip that line has 100 + 5/8 * 8 = 105; 110 lies short of 113 (7): 5 of 8 again."""
    steps, _, skipped = swings(body(full_bust=93, waist=79, hip=110, hip_depth=21), exact=True)

    assert [(s["first"], s["then"], s["until"], s["share"]) for s in steps] == [
        ("4", "6", "waist", "62.5"),
        ("line-1", "7", "waist+210mm", "62.5"),
    ]
    assert (steps[1]["custom"], steps[1]["lead"], steps[1]["called"]) == ("short", "210 mm", "line")
    assert not skipped


def test_a_base_in_between_is_told():
    _, _, skipped = swings(body(full_bust=94, waist=74), exact=True)

    assert skipped == [
        "No whole piece between two sizes can be drawn yet: at the full bust it is size 4 "
        "instead of 25% of the way from 4 to 5."
    ]


def test_what_lies_beyond_the_nest_is_told():
    """Size 9.00 at the chest is a step of 6 cm away, 9.29 at the waist 9 cm."""
    steps, _, skipped = swings(man(126, 118, 47.0), MEN, {"chest": -175.0, "waist": 0.0}, beyond=True)

    assert not steps
    assert [text for text in skipped if "size 8 is taken, 6.0 cm away" in text]
    assert [text for text in skipped if "size 8 is taken, 9.0 cm away" in text]
