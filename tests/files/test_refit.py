"""A fit sheet for the next body: its amounts come from that body, worked by hand from the chart."""

import sys

import pytest

from sewkit.body.sizing import sizes_for
from sewkit.errors import InputError
from sewkit.files.fit_sheet import FitSheet, FitStep, parse_fit_sheet, write_fit_sheet
from sewkit.files.recipe import parse_recipe
from sewkit.files.refit import needs_for, refit
from sewkit.report import Level
from tests.body.charts import MEN, man

if sys.version_info < (3, 11):
    pytest.importorskip("tomli", reason="this Python reads no TOML by itself")

LEVELS = {"chest": -175.0, "waist": 0.0, "hem": 95.0}
OWN = tuple(FitStep(one) for one in parse_recipe('[[step]]\ndo = "allowance"\nwidth = 10\n').steps)


def sheet_for(who, person, old=None, **more):
    person = person._replace(who=who)
    old = FitSheet("Waistcoat", who, steps=OWN) if old is None else old
    return refit(old, sizes_for(MEN, person), MEN, person, LEVELS, **more)


def does(sheet):
    return " ".join(one.step.step.operation.name for one in sheet.steps)


def values_of(sheet, name):
    return next(one.step.step.values for one in sheet.steps if one.step.step.operation.name == name)


def test_the_next_person_gets_amounts_of_his_own():
    first = sheet_for("P03", man(96, 90, 44.2)).sheet
    assert does(first) == "blend size allowance"
    assert (values_of(first, "blend")["first"], values_of(first, "blend")["then"]) == ("3", "5")

    # Chest 99 is nearest to 100, size 4, drafted for a back of 44.5; waist 88 lies half-way
    # between 86 and 90 and goes up to size 5; his back is 42.0, 2.5 cm less.
    second = sheet_for("P07", man(99, 88, 42.0), first).sheet
    assert does(second) == "lengthen blend size allowance"
    assert values_of(second, "lengthen")["amount"] == pytest.approx(-25.0)
    assert (values_of(second, "blend")["first"], values_of(second, "blend")["then"]) == ("4", "5")
    assert values_of(second, "size")["size_kept"] == "P07"
    assert parse_fit_sheet(write_fit_sheet(second)) == second


def test_there_and_back_is_the_sheet_it_was():
    first = sheet_for("P03", man(96, 90, 44.2)).sheet
    there = sheet_for("P07", man(99, 88, 42.0), first).sheet

    assert write_fit_sheet(sheet_for("P03", man(96, 90, 44.2), there).sheet) == write_fit_sheet(first)


def test_own_allowances_stay_behind_everything_that_is_planned():
    needy = man(104, 112, 45.0, fits=("full stomach", "front length +3.0"))
    sheet = sheet_for("P05", needy, sheet_for("P03", man(96, 90, 44.2)).sheet).sheet

    assert sheet.needs == ("full stomach", "front length +3.0")
    assert sheet.steps[-1] == OWN[0] and all(one.planned for one in sheet.steps[:-1])


def test_needs_go_with_their_person_and_with_nobody_else():
    sheet = FitSheet(who="P05", needs=("full stomach", "front length +3.0"))
    same = man(104, 112, 45.0, fits=("front length +2.0", "stoop"))._replace(who="P05")
    other = man(96, 90, 44.2)._replace(who="P03")

    assert needs_for(sheet, same) == (("full stomach", "front length +2.0", "stoop"), ())
    needs, told = needs_for(sheet, other)
    assert needs == () and "P05's" in told[0].text and "'full stomach'" in told[0].text
    assert needs_for(FitSheet(), same) == (same.fits, ())


def test_a_need_that_no_operation_serves_is_told_not_dropped():
    made = sheet_for("P03", man(96, 90, 44.2, fits=("broad shoulders",)))

    told = [finding for finding in made.told if "broad shoulders" in finding.text]
    assert [finding.level for finding in told] == [Level.WARN]
    assert made.sheet.needs == ("broad shoulders",)


def test_a_body_that_is_held_is_not_planned():
    with pytest.raises(InputError) as told:
        sheet_for("P09", man(40, 34, 44.0))
    assert told.value.code == "held" and "inch" in str(told.value)
