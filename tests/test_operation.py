"""Declarations: what a value takes, what it refuses, and how it is written and read back."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sewkit.errors import InputError
from sewkit.operation import (
    Choice,
    Count,
    Flag,
    Length,
    LengthsByName,
    Number,
    Operation,
    Outcome,
    Percent,
    Places,
    Step,
    Text,
    find,
    operation,
    register,
)
from sewkit.operations import load
from sewkit.report import Report

WIDE, WORDS = Length("Length", "", 0, 300), Text("Text")
KINDS = {
    "number": Number("Number", "", -5, 5),
    "length": Length("Length", "", 0, 300),
    "percent": Percent("Percent", "", 0, 100),
    "count": Count("Count", "", 1, 20),
    "flag": Flag("Flag"),
    "choice": Choice("Choice", "", {"left": "to the left", "right": "to the right"}),
    "text": Text("Text"),
    "lengths": LengthsByName("Lengths", "", 0, 300),
}


@pytest.mark.parametrize(
    ("kind", "given", "value"),
    [
        ("number", "-1,5", -1.5),
        ("number", 3, 3.0),
        ("length", "5/8in", 15.875),
        ("length", "1.5 cm", 15.0),
        ("length", 15, 15.0),
        ("percent", "12.5", 12.5),
        ("count", "3", 3),
        ("count", 3.0, 3),
        ("flag", "Yes", True),
        ("flag", " no ", False),
        ("flag", False, False),
        ("choice", "left", "left"),
        ("text", "  side  ", "side"),
        ("text", ["side", "hem"], "side hem"),
        ("text", 3, "3"),
        ("text", [3, 4], "3 4"),
        ("lengths", "side=25 hem=1.5in", {"side": 25.0, "hem": 38.1}),
        ("lengths", "side = 1 1/2 in, hem=2cm", {"side": 38.1, "hem": 20.0}),
        ("lengths", "hem=1,5cm", {"hem": 15.0}),
        (
            "lengths",
            "hem=1,5cm,side=2,5;waist=1,25cm, neck=5",
            {"hem": 15, "side": 2.5, "waist": 12.5, "neck": 5},
        ),
        ("lengths", "side=25, hem=40", {"side": 25.0, "hem": 40.0}),
        ("lengths", "side=25,hem=40", {"side": 25.0, "hem": 40.0}),
        ("lengths", "1=25,2=40", {"1": 25.0, "2": 40.0}),
        ("lengths", {"side": "1cm"}, {"side": 10.0}),
        ("lengths", "", {}),
    ],
)
def test_what_a_value_takes(kind, given, value):
    assert (
        KINDS[kind].parse(given) == pytest.approx(value)
        if kind == "lengths"
        else KINDS[kind].parse(given) == value
    )


@pytest.mark.parametrize(
    ("kind", "given"),
    [
        ("number", "nan"),
        ("number", math.inf),
        ("number", "5.01"),
        ("number", True),
        ("number", None),
        ("number", [1]),
        ("length", "-1"),
        ("length", "301"),
        ("length", "1e999"),
        ("length", "wide"),
        ("length", {}),
        ("count", "2.5"),
        ("count", 0),
        ("flag", 1),
        ("flag", "perhaps"),
        ("choice", "up"),
        ("choice", ["left"]),
        ("choice", None),
        ("text", True),
        ("text", None),
        ("text", {"a": 1}),
        ("text", [["a"]]),
        ("lengths", "side"),
        ("lengths", "side=wide"),
        ("lengths", "side=301"),
        ("lengths", 5),
        ("lengths", {"side": None}),
    ],
)
def test_what_a_value_refuses_in_one_sentence(kind, given):
    with pytest.raises(InputError) as refused:
        KINDS[kind].parse(given)

    assert "\n" not in str(refused.value)


VALUES = {
    "number": st.floats(-5, 5),
    "length": st.floats(0, 300),
    "count": st.integers(1, 20),
    "flag": st.booleans(),
    "choice": st.sampled_from(["left", "right"]),
    "text": st.text("ab =~+/", max_size=9).map(str.strip),
    "lengths": st.dictionaries(st.text("abc-", min_size=1, max_size=4), st.floats(0, 300), max_size=3),
}


@pytest.mark.parametrize("kind", list(VALUES))
def test_every_value_is_read_back(kind):
    @given(VALUES[kind])
    @settings(max_examples=40, deadline=None)
    def check(value):
        again = KINDS[kind].parse(KINDS[kind].write(value))
        assert again == (
            pytest.approx(value, rel=1e-11, abs=1e-12) if kind in ("number", "length", "lengths") else value
        )

    check()


# -- declaring --------------------------------------------------------------------------------


def declared(function, **more):
    """Declare a function without leaving it in the register for other tests."""
    from sewkit import operation as module

    before = dict(module._REGISTER)
    try:
        call = operation(title="T", menu="M", select="S.", example="E", **more)(function)
        (new,) = [one for name, one in module._REGISTER.items() if name not in before]
        return call, new
    finally:
        module._REGISTER.clear()
        module._REGISTER.update(before)


def sample(pattern, chosen="all", wide: WIDE = 10.0, edge_name: WORDS = "side"):
    """Do it.

    First more
    words.

    Then others.
    """
    return Outcome((pattern, chosen, wide, edge_name), Report())


def test_a_declaration_has_its_words_and_its_values():
    _, one = declared(sample)

    assert (one.name, one.summary, one.details) == ("sample", "Do it.", "First more words.\n\nThen others.")
    assert [(p.name, p.default, p.option) for p in one.params] == [
        ("wide", 10.0, "--wide"),
        ("edge_name", "side", "--edge-name"),
    ]
    assert one.changes and one.preview and not declared(sample, changes=False)[1].preview


def test_the_function_itself_keeps_its_limits():
    call, one = declared(sample)

    assert call("p", wide="1cm").pattern == ("p", "all", 10.0, "side")
    assert call("p", "c", "5/8in").pattern == ("p", "c", 15.875, "side")  # by place too
    assert Step(one, {"edge_name": "hem"}).run("p").pattern == ("p", "all", 10.0, "hem")
    assert Step(one, {}).run("p", "c").pattern == ("p", "c", 10.0, "side")
    with pytest.raises(InputError, match="0 to 300 mm"):
        call("p", "c", 301)
    with pytest.raises(InputError, match=r"no value called 'width'.*wide, edge_name"):
        call("p", width=3)
    for wrong in (lambda: call("p", "c", 1, "a", 5), lambda: call("p", pattern="q"), lambda: call()):
        with pytest.raises(TypeError):
            wrong()


def no_default(pattern, wide: WIDE):
    """Do it."""


def no_kind(pattern, wide=3):
    """Do it."""


def taken(pattern, sizes: WORDS = ""):
    """Do it."""


def no_summary(pattern):
    """Do it"""


@pytest.mark.parametrize("function", [no_default, no_kind, taken, no_summary])
def test_mistakes_in_a_declaration_are_type_errors(function):
    with pytest.raises(TypeError):
        declared(function)


def test_two_of_one_name_are_refused():
    name = load()[0].function.__name__

    def twin(pattern):
        """Do it."""

    twin.__name__ = name
    with pytest.raises(TypeError, match="two operations"):
        declared(twin)


def test_an_operation_is_found_or_the_nearest_is_named():
    assert isinstance(find(load()[0].name), Operation)
    with pytest.raises(InputError, match="Did you mean allowance"):
        find("alowance")
    with pytest.raises(InputError, match="Known: "):
        find("xyzzy")
    assert [one.name for one in register()] == sorted(one.name for one in load())


PLACES = Places("At", "lengths, shares, levels, notches")


@pytest.mark.parametrize(
    "words",
    ["5in 30 mm", "5 1/2in", "1,5cm", "40 % waist", "notch 1", "waist+20mm", "side-2", '5 "', "-25mm", ""],
)
def test_places_with_units_are_taken_in_every_unit(words):
    assert PLACES.parse(words, "in") == words


@pytest.mark.parametrize("words", ["4", "1/2", "waist+4", "30mm -25", "60,120"])
def test_a_place_without_a_unit_is_refused_where_lengths_are_not_in_millimetres(words):
    assert PLACES.parse(words) == words
    with pytest.raises(InputError, match="says no unit, and other lengths are in inches"):
        PLACES.parse(words, "in")
