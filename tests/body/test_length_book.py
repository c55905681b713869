"""Lengths band by band, against a coat whose book was worked out by hand.

A singer of 186 cm, drafted for 168; nape to waist 45.2 where the chart has 41.6; nape to hem
110 on the pattern.  In all 110 * 186/168 - 110 = 11.786.  Bodice 3.6: a sixth of it, 0.6, in
the armhole, 3.0 below.  Waist to hip half of that, 1.5.  Left for the skirt: 11.786 - 5.1 =
6.686.  Arms 6.0 longer: 0.6 in the cap, 2.7 and 2.7 below it.
"""

import pytest

from sewkit.body.length_book import LEAST, length_book, length_steps
from sewkit.body.pattern_words import PatternWords
from sewkit.body.sizing import sizes_for
from tests.body.charts import MEN, WOMEN, body, man, row

COAT = {"nape": 0.0, "armhole": 190.0, "bust": 215.0, "waist": 416.0, "hip": 616.0, "hem": 1100.0}
ARMS = WOMEN._replace(measures={**WOMEN.measures, "arm length": row(*[58 + 0.5 * n for n in range(10)])})


def book(who, levels=COAT, chart=ARMS):
    return length_book(sizes_for(chart, who), chart, who, levels)


def singer(**more):
    # Size 5 has an arm of 58 + 4 * 0.5 = 60.
    girths = {"full_bust": 97, "waist": 78, "hip": 104}
    return body("S", **{**girths, "height": 186, "back_waist_length": 45.2, "arm_length": 66, **more})


def amounts(bands):
    return [(band.name, pytest.approx(band.amount, abs=1e-6)) for band in bands]


def test_a_tall_singer_s_coat():
    found = book(singer())

    whole = 1100.0 * 186 / 168 - 1100.0
    assert amounts(found.bands) == [
        ("armhole", 6.0),
        ("bust to waist", 30.0),
        ("waist to hip", 15.0),
        ("below the hip", whole - 51.0),
    ]
    assert [round(band.amount / 10, 1) for band in found.bands] == [0.6, 3.0, 1.5, 6.7]
    assert round(found.total / 10, 1) == 11.8
    assert (found.before + found.total) / 10 == pytest.approx(121.786, abs=1e-3)
    assert amounts(found.sleeve) == [("sleeve cap", 6.0), ("upper arm", 27.0), ("forearm", 27.0)]
    assert sum(band.amount for band in found.sleeve) == pytest.approx(60.0)


def test_without_the_back_all_goes_by_height():
    """Each band by 18/168: bodice 416 (the chart's back), waist to hip 200, skirt 484."""
    found = book(body(full_bust=97, waist=78, hip=104, height=186))

    part = 18 / 168
    assert found.amount("armhole") == pytest.approx(416 * part / 6)
    assert found.amount("bust to waist") == pytest.approx(416 * part * 5 / 6)
    assert found.amount("waist to hip") == pytest.approx(200 * part)
    assert found.amount("below the hip") == pytest.approx(484 * part)
    assert found.total == pytest.approx(1100 * part)


def test_a_measured_hip_depth_goes_before_height():
    found = book(singer(hip_depth=22))

    assert found.amount("waist to hip") == pytest.approx(20.0)
    assert found.total == pytest.approx(1100 * 18 / 168)


def test_a_small_person_is_shorter_in_every_band():
    found = book(body(full_bust=97, waist=78, hip=104, height=156))

    assert all(band.amount < 0 for band in found.bands)
    assert found.total == pytest.approx(-1100 * 12 / 168)


@pytest.mark.parametrize(
    "chest, waist, back, more",
    [
        (101, 84, 46.5, 20.0),  # size 4 has 44.5
        (118, 102, 46.0, -5.0),  # size 8 has 46.5
        (99, 88, 42.0, -25.0),
        (106, 88, 49.0, 35.0),  # size 6 has 45.5
        (96, 90, 44.2, 2.0),
        (93, 79, 43.4, -1.0),
    ],
)
def test_a_waistcoat_goes_by_the_back_alone(chest, waist, back, more):
    found = book(man(chest, waist, back), {"chest": -175.0, "waist": 0.0}, MEN)
    steps, skipped = length_steps(found, {"chest": -175.0, "waist": 0.0}, PatternWords())

    assert amounts(found.bands) == [("bust to waist", more)]
    assert not skipped
    if abs(more) >= LEAST:
        assert [(s.do, dict(s.values)) for s in steps] == [
            ("lengthen", {"amount": "{:g} mm".format(more), "at": "chest/waist"})
        ]
        assert not found.told
    else:
        assert not steps
        assert "under 5 mm are not made" in found.told[0]


def test_the_steps_of_the_coat_name_every_band():
    words = PatternWords(sleeves=("sleeve",), sleeve_levels=("bicep", "elbow", "wrist"))
    steps, skipped = length_steps(book(singer()), COAT, words)

    # Skirt: half-way between hip and hem, (1100 - 616) / 2; armhole: 70 above its floor, 25 over the bust.
    each = dict(part.split("=") for part in steps[0].values["each"].split())
    assert list(each) == ["bust-95mm", "bust/waist", "waist/hip", "hip+242mm"]
    assert sum(map(float, each.values())) == pytest.approx(1100 * 18 / 168, abs=0.01)
    assert steps[0].pieces == ()
    assert steps[1].pieces == ("sleeve",)
    assert steps[1].values == {"each": "bicep-70mm=6 bicep/elbow=27 elbow/wrist=27"}
    assert not skipped


def test_what_has_no_level_is_said():
    found = book(singer(), {"bust": 215.0, "hem": 700.0})
    steps, skipped = length_steps(found, {"bust": 215.0, "hem": 700.0}, PatternWords())

    assert [dict(step.values) for step in steps] == [{"amount": "6 mm", "at": "bust-95mm"}]
    assert skipped == ["Bust to waist should be +3.0 cm, but the pattern has no level to do it at."]
