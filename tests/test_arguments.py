"""Options from declarations: what is typed reaches the operation as its kinds read it."""

import argparse

import pytest

from sewkit.arguments import Subjects, add_subjects, add_unit, add_values, subjects_of, unit_of, values_of
from sewkit.errors import InputError
from sewkit.operation import Choice, Count, Flag, Length, LengthsByName, Operation, Param, Percent, Text

PARAMS = (
    Param("width", Length("Width", "from line to line", 0, 300), 10.0),
    Param("cut_share", Percent("Share", "100 % is all", 0, 100), 50.0),
    Param("pieces", Count("Pieces", "", 1, 20), 3),
    Param("keep", Flag("Keep"), False),
    Param("way", Choice("Way", "", {"left": "to the left", "right": "to the right"}), "right"),
    Param("edge", Text("Edge"), "side"),
    Param("widths", LengthsByName("Widths", "", 0, 300), {"hem": 40.0}),
)
OPERATION = Operation("try", "Try", "", "Select.", True, True, "", PARAMS, print, "Try.", "")
DEFAULTS = {param.name: param.default for param in PARAMS}


def parser_for(for_editor):
    parser = argparse.ArgumentParser(prog="try")
    add_values(parser, OPERATION, for_editor=for_editor)
    add_unit(parser)
    return parser


def read(*words, for_editor=False):
    options = parser_for(for_editor).parse_args(words)
    return values_of(OPERATION, options, unit_of(options))


def near(value):
    """Rounding aside, also inside a table of lengths."""
    return value if isinstance(value, (str, bool)) else pytest.approx(value)


# By definition: 25.4 mm to the inch, so 5/8 in = 15.875 mm, 1.5 in = 38.1 mm.
CASES = [
    (["--width=12.5"], {"width": 12.5}),
    (["--width", "5/8in"], {"width": 15.875}),
    (["--width=12,5"], {"width": 12.5}),
    (["--width=0.625", "--unit=in"], {"width": 15.875}),
    (["--width=20mm", "--unit=in"], {"width": 20.0}),
    (["--cut-share=25"], {"cut_share": 25.0}),
    (["--pieces=4"], {"pieces": 4}),
    (["--keep"], {"keep": True}),
    (["--keep=true"], {"keep": True}),
    (["--keep=no"], {"keep": False}),
    (["--way=left"], {"way": "left"}),
    (["--edge="], {"edge": ""}),
    (["--widths=side=25 hem=1.5in"], {"widths": {"side": 25.0, "hem": 38.1}}),
    (["--widths=side=1.5", "--unit=in"], {"widths": {"side": 38.1}}),
]


@pytest.mark.parametrize("for_editor", [False, True])
@pytest.mark.parametrize(("words", "given"), CASES, ids=lambda case: " ".join(case))
def test_values_are_read_alike_by_both_doors(words, given, for_editor):
    values = read(*words, for_editor=for_editor)

    wanted = dict(DEFAULTS, **given) if for_editor else given
    assert values == {
        name: pytest.approx(value) if name != "edge" else value for name, value in wanted.items()
    }


def test_on_the_command_line_what_was_left_out_is_left_to_the_operation():
    assert read() == {}


def test_a_default_length_stays_in_mm_whatever_the_unit():
    assert read("--unit=in", for_editor=True) == DEFAULTS


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--width=301"], "0 to 300 mm"),
        (["--width=wide"], "wide"),
        (["--pieces=2.5"], "whole number"),
        (["--keep=perhaps"], "yes or no"),
        (["--way=up"], "left, right"),
        (["--widths=side"], "side=25"),
        (["--unit=ell"], "mm, cm or in"),
    ],
)
def test_what_does_not_fit_is_an_input_error_that_says_what_would(words, told):
    with pytest.raises(InputError, match=told):
        read(*words)


def test_the_help_tells_limits_and_defaults():
    text = " ".join(parser_for(False).format_help().split())

    for words in ("from line to line (0 to 300 mm, default 10)", "100 % is all", "left|right", "hem=40"):
        assert words in text


def test_subjects_are_taken_in_the_order_in_which_they_were_named():
    parser = argparse.ArgumentParser()
    add_subjects(parser)

    options = parser.parse_args(
        "--id b --id a --selected-nodes=p:0:1 --piece front --size 3 --size 4".split()
    )

    assert subjects_of(options) == Subjects(("b", "a"), ("p:0:1",), ("front",), ("3", "4"))
