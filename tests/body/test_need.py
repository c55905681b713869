"""Needs in the words of a measure sheet, and what they turn into."""

import math

import pytest

from sewkit.body.length_book import Band, LengthBook
from sewkit.body.need import double_counts, read_all, read_need
from sewkit.body.need_steps import need_plan
from sewkit.body.pattern_words import PatternWords
from sewkit.body.sizing import sizes_for
from tests.body.charts import MEN, WOMEN, body, man

LEVELS = {"chest": -175.0, "waist": 0.0, "hip": 200.0, "hem": 300.0}


@pytest.mark.parametrize(
    "words, name, amount",
    [
        ("full stomach", "full stomach", None),
        ("Abdomen", "full stomach", None),
        ("front length +3.0", "front length", 30.0),
        ("front length +3 cm", "front length", 30.0),
        ("front length: 3,5 cm", "front length", 35.0),
        ("sway-back 1/2 in", "hollow back", 12.7),
        ("hollow back 12 mm", "hollow back", 12.0),
        ("round back ¾in", "round back", 19.05),
        ("upper arm ease 5 cm", "upper arm ease", 50.0),
        ("upper arm needs 5 cm ease", "upper arm ease", 50.0),
        ("shoulder 6 mm forward", "forward shoulders", 6.0),
        ("green eyes", "", None),
    ],
)
def test_a_need_is_read_as_it_is_said(words, name, amount):
    need = read_need(words)

    assert need.name == name
    assert need.amount == (None if amount is None else pytest.approx(amount))


def test_what_cannot_be_served_is_said():
    needs, skipped = read_all(("full stomach", "upper arm ease 5 cm", "green eyes", "hollow back 3 miles"))

    assert [need.name for need in needs] == ["full stomach", "upper arm ease"]
    assert "'upper arm ease 5 cm': nothing is changed for it yet" in skipped[0]
    assert "'green eyes' is no need that is known here" in skipped[1]
    assert "'hollow back 3 miles' is left out" in skipped[2]


def plan(who, *fits, levels=LEVELS, words=PatternWords(), chart=MEN):  # noqa: B008
    return need_plan(read_all(fits)[0], sizes_for(chart, who), levels, words)


STOUT = man(104, 112, 45.0)


def test_a_full_stomach_gets_what_the_waist_lacks_in_front_alone():
    """3.0 cm lack round the waist: 15 mm on each front, 175 below the hinge: atan(15/175) = 4.899 degrees."""
    found = plan(STOUT, "full stomach")

    assert [(step.do, step.pieces) for step in found.steps] == [("spread", ("front",))]
    values = dict(found.steps[0].values)
    assert float(values.pop("angle")) == pytest.approx(math.degrees(math.atan(15 / 175)), abs=1e-3)
    assert values.pop("redraw") == "whole", "the last slash leaves the hem as one line"
    assert values == {"edge": "hem", "hinge": "side", "hinge_at": "chest", "at": "45%", "ask": "angle"}
    assert found.gains == {"waist": pytest.approx(30.0)}
    assert "was not said" in found.told[0]


def test_its_front_length_goes_in_at_the_front_edge_and_not_at_the_side():
    """On a front 300 wide 30 mm turn by 2 asin(15/300) = 5.732 degrees."""
    found = plan(
        STOUT, "full stomach", "front length +3", words=PatternWords(front_width=300.0, side_lies_left=False)
    )

    assert [step.do for step in found.steps] == ["lengthen", "wedge", "spread", "spread"]
    longer, side, back, wider = (dict(step.values) for step in found.steps)
    assert longer == {"amount": "30 mm", "at": "waist+40mm", "follow": False}
    assert found.steps[0].pieces == ("front", "front-facing")
    assert side == {"edge": "side", "hinge": "front-edge", "at": "waist+40mm", "amount": "-30 mm"}
    assert float(back["angle"]) == pytest.approx(math.degrees(2 * math.asin(15 / 300)), abs=1e-3)
    assert (back["at"], wider["at"]) == ("25%", "55%")  # counted from the front's end, which lies left here
    assert not any(name in step.pieces for step in found.steps for name in ("back",))


def test_in_a_short_garment_the_cut_stays_above_the_hem():
    """45 hundredths of the 60 mm below the waist."""
    found = plan(STOUT, "front length 2 cm", levels={"chest": -175.0, "waist": 0.0, "hem": 60.0})

    assert found.steps[0].values["at"] == "waist+27mm"


def test_a_waist_with_enough_ease_is_made_no_wider():
    found = plan(man(104, 90, 45.0), "full stomach")

    assert not found.steps
    assert not found.gains
    assert "no wider" in found.told[-1]


@pytest.mark.parametrize(
    "fits, edge, hinge, at, amount",
    [
        ("hollow back 12 mm", "centre-back", "side", "waist", "-12 mm"),
        ("hollow back -12 mm", "centre-back", "side", "waist", "-12 mm"),
        ("round back 1.5 cm", "centre-back", "armhole", "chest-95mm", "15 mm"),
        ("full seat 2 cm", "centre-back", "side", "hip", "20 mm"),
        ("flat seat 2 cm", "centre-back", "side", "hip", "-20 mm"),
    ],
)
def test_wedges_of_the_back(fits, edge, hinge, at, amount):
    (step,) = plan(STOUT, fits).steps

    assert (step.do, step.pieces) == ("wedge", ("back",))
    assert step.values == {"edge": edge, "hinge": hinge, "at": at, "amount": amount}


def test_a_wedge_without_amount_or_level_is_skipped_and_said():
    assert "does not say how much" in plan(STOUT, "hollow back").skipped[0]
    assert "a level for the hip" in plan(STOUT, "full seat 2 cm", levels={"waist": 0.0}).skipped[0]
    assert "here is none" in plan(STOUT, "full stomach", words=PatternWords(fronts=())).skipped[0]


def doubles(who, *fits, torso=0.0, chart=WOMEN):
    bands = (Band("bust to waist", torso, "measured"),) if torso else ()
    return double_counts(sizes_for(chart, who), LengthBook(bands), read_all(fits)[0])


@pytest.mark.parametrize(
    "fits, torso, words",
    [
        (("hollow back 1 cm",), -10.0, "takes length out of it again"),
        (("full bust",), 0.0, "goes by the full bust already"),
        (("front length +3",), 20.0, "2.0 cm longer with the back waist length already"),
        (("crotch depth +1", "crotch length +2"), 0.0, "twice as much"),
        (("broad shoulders 1 cm",), 0.0, "the shoulder is broader already"),
        (("full bust", "lower bust dart"), 0.0, "do it first"),
    ],
)
def test_pairs_that_serve_one_need_twice(fits, torso, words):
    # A full bust of 95 is half-way between sizes 4 and 5: the larger.
    found = doubles(body(full_bust=95, waist=76), *fits, torso=torso)

    assert any(words in text for text in found)


def test_a_wider_waist_and_a_full_bust_count_once():
    found = doubles(body(high_bust=92, full_bust=103, waist=87), "full bust")

    assert len(found) == 1
    assert "the side swings out to size 7" in found[0]


def test_what_does_not_meet_is_not_warned_of():
    assert not doubles(body(full_bust=97, waist=78), "hollow back 1 cm", torso=20.0)
    assert not doubles(body(full_bust=97, waist=78), "front length +3", torso=-20.0)
