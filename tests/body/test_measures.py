"""The measures by name."""

import pytest

from sewkit.body.measures import GIRTH, HEIGHT, LENGTH, MEASURES, measure_named, plain_words
from sewkit.errors import InputError


@pytest.mark.parametrize(
    "words, name",
    [
        ("waist", "waist"),
        ("Back Waist-Length", "back waist length"),
        ("nape_to_waist", "back waist length"),
        ("BUST", "full bust"),
        ("upper bust", "high bust"),
        ("underbust girth", "under-bust"),
        ("Under Bust", "under-bust"),
        ("seat", "seat"),
        ("biceps", "upper arm"),
        ("calf girth", "calf"),
        ("inseam", "inside leg"),
    ],
)
def test_a_measure_is_found_by_the_names_of_the_trade(words, name):
    found = measure_named(words)

    assert found.name == name


def test_a_slip_of_the_pen_names_the_nearest():
    with pytest.raises(InputError, match="Did you mean 'chest'") as error:
        measure_named("chets")

    assert error.value.code == "measure"


def test_what_is_like_nothing_names_them_all():
    with pytest.raises(InputError, match="The measures are: height, head, neck"):
        measure_named("xylophone")


def test_no_word_means_two_measures():
    words = [plain_words(word) for measure in MEASURES for word in (measure.name, *measure.words)]

    assert sorted(words) == sorted(set(words))


@pytest.mark.parametrize("measure", MEASURES, ids=lambda measure: measure.name)
def test_every_measure_says_how_it_is_taken_and_by_whom(measure):
    assert measure.definition.endswith(".") and measure.source
    assert measure.group in (GIRTH, LENGTH, HEIGHT)
    assert 0 < measure.least < measure.most


@pytest.mark.parametrize("measure", MEASURES, ids=lambda measure: measure.name)
def test_inches_and_centimetres_never_both_make_sense_of_the_middle(measure):
    """The middle of what adults have, written in inches and read as cm, is nothing that adults have."""
    middle = (measure.least + measure.most) / 2.0

    assert middle / 2.54 < measure.least


def test_twins_name_each_other():
    twins = {measure.name: measure.twin for measure in MEASURES if measure.twin}

    assert all(twins[other] == name for name, other in twins.items())
