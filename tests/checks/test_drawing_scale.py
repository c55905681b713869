"""Suspicious scales: units that are nearly a usual one, and pieces nobody could wear."""

import pytest

from sewkit.checks.drawing_scale import drawing_scale_findings
from sewkit.geometry.path import Path
from sewkit.pattern.pattern import Pattern
from tests.operations.pieces import named


def codes(unit=(1.0, 1.0), height=400.0, proven=False):
    block = Path.through([(0, 0), (50, 0), (50, height), (0, height)], True)
    pattern = Pattern((named(block, "a b c d"),), unit=unit)
    return [f.code for f in drawing_scale_findings(pattern, ("",), proven)]


@pytest.mark.parametrize("unit", [1.0, 25.4 / 96, 25.4 / 72, 10.0, 25.4, 2.5, 25.4 / 96 * 1.000001])
def test_usual_units_and_those_far_from_any_are_believed(unit):
    assert codes((unit, unit)) == []


@pytest.mark.parametrize("unit", [1.05, 0.97, 0.9995, 25.4 / 96 * 0.93])
def test_a_unit_that_is_nearly_a_usual_one(unit):
    assert codes((unit, unit)) == ["scale-unit"]
    assert codes((unit, unit), proven=True) == []


def test_the_words_say_what_it_does_to_a_hip():
    block = Path.through([(0, 0), (50, 0), (50, 400)], True)
    (one,) = drawing_scale_findings(Pattern((named(block, "a b c"),), unit=(1.05, 1.05)), ("",))
    assert "1050" in one.text and "5.00 % more" in one.text


def test_stretched_tiny_and_huge():
    assert codes((1.0, 1.01)) == ["scale-stretch"]
    assert codes(height=40.0) == ["scale-size"]
    assert codes(height=4100.0) == ["scale-size"]
