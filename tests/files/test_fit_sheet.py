"""Fit sheets: read back as written, replayed on another pattern, steps switched off."""

import pathlib
import sys

import numpy as np
import pytest

from sewkit.body.planned_step import PlannedStep
from sewkit.cli import main
from sewkit.errors import InputError
from sewkit.files.fit_sheet import (
    FitSheet,
    FitStep,
    hash_of,
    next_sheet,
    parse_fit_sheet,
    planned_steps,
    read_fit_sheet,
    running_steps,
    with_own_steps,
    write_fit_sheet,
)
from sewkit.files.job import run_job
from sewkit.files.recipe import SHEET_STEP_KEYS, parse_recipe
from sewkit.files.replay import other_master, run_fit_sheet, switched_off
from sewkit.operations import load
from sewkit.pattern.mark import NOTCH
from sewkit.report import Level

if sys.version_info < (3, 11):
    pytest.importorskip("tomli", reason="this Python reads no TOML by itself")

MASTER = pathlib.Path(__file__).parents[2] / "samples" / "waistcoat" / "master.svg"

PLAN = (
    PlannedStep("lengthen", {"amount": "20 mm", "at": "chest/waist"}, (), "Back waist length 2 cm longer."),
    PlannedStep(
        "blend",
        {"first": "3", "then": "5", "edge": "side", "until": "waist", "called": "P03"},
        (),
        "Chest 3, waist 5.",
    ),
    PlannedStep("size", {"size_kept": "P03"}, (), "Only his line is cut."),
)
OWN = parse_recipe('[[step]]\ndo = "allowance"\nwidth = "10 mm"\nedges = "side=25 centre-back=25"\n').steps


def a_sheet():
    steps = planned_steps(PLAN) + tuple(map(FitStep, OWN))
    made_from = {"master": hash_of(MASTER.read_bytes()), "measures": hash_of(b"P03,96,90")}
    return FitSheet('Waistcoat for "P03"', "P03", ("full stomach", "front length +3 cm"), steps, made_from)


def off(sheet, name):
    steps = tuple(one._replace(off=one.step.step.operation.name == name or one.off) for one in sheet.steps)
    return sheet._replace(steps=steps)


def never(sheet, name):
    return sheet._replace(steps=tuple(one for one in sheet.steps if one.step.step.operation.name != name))


def codes(report):
    return [finding.code for finding in report.findings]


def furthest_apart(one, other):
    """How far (mm) the nodes and handles of two patterns lie apart, piece by piece, line by line."""
    most = 0.0
    for piece, twin in zip(one.pieces, other.pieces):
        for line, same in zip(
            [*piece.outlines, *piece.cut_lines, *(m for m in piece.marks if m.kind == NOTCH)],
            [*twin.outlines, *twin.cut_lines, *(m for m in twin.marks if m.kind == NOTCH)],
        ):
            assert line.path.curves.shape == same.path.curves.shape
            most = max(most, float(np.abs(line.path.curves - same.path.curves).max()))
    return most


def test_it_is_read_back_as_it_was_written_and_gives_the_same_bytes(tmp_path):
    sheet = off(a_sheet(), "lengthen")
    text = write_fit_sheet(sheet)
    (tmp_path / "p03.toml").write_text(text, encoding="utf-8")

    assert read_fit_sheet(tmp_path / "p03.toml") == sheet
    assert write_fit_sheet(parse_fit_sheet(text)) == text
    assert [one.off for one in parse_fit_sheet(text).steps] == [True, False, False, False]


def test_made_from_is_written_in_one_order_whoever_filled_it():
    one = a_sheet()
    other = one._replace(made_from=dict(reversed(list(one.made_from.items()))))

    assert write_fit_sheet(one) == write_fit_sheet(other)


def test_a_recipe_is_read_as_a_fit_sheet_and_a_fit_sheet_as_a_recipe():
    plain = '[[step]]\ndo = "walk"\n'
    assert parse_recipe(plain).sheet is None
    assert [one.step.step.operation.name for one in parse_fit_sheet(plain).steps] == ["walk"]

    read = parse_recipe(write_fit_sheet(off(a_sheet(), "blend")))
    assert [one.step.operation.name for one in read.steps] == ["lengthen", "size", "allowance"]
    assert read.sheet == off(a_sheet(), "blend")


def test_no_operation_has_a_value_that_a_fit_sheet_would_take_for_its_own():
    for one in load():
        assert not {param.name for param in one.params} & set(SHEET_STEP_KEYS), one.name


@pytest.mark.parametrize(
    "text, said",
    [
        ('whom = "P03"\nwho = "P03"\n', "no 'whom'"),
        ('who = "P03"\n[[need]]\nword = "full stomach"\n', "need"),
        ('[[need]]\nwords = ""\n', "need"),
        ('[[step]]\ndo = "walk"\noff = "yes"\n', "off = true"),
        ("[made-from]\nmaster = 3\n", "made from"),
        ('who = "P03"\n[[step]]\ndo = "wlak"\n', "walk"),
        ('who = "P03"\nneed = "full stomach"\n', "[[need]]"),
    ],
)
def test_a_slip_is_told_with_its_cure(text, said):
    with pytest.raises(InputError) as told:
        parse_fit_sheet(text)
    assert said in str(told.value)


@pytest.mark.parametrize("name", ["lengthen", "allowance"])
def test_a_step_that_is_off_is_as_if_it_had_never_been_there(name):
    done = run_fit_sheet(str(MASTER), off(a_sheet(), name))
    without = run_job(str(MASTER), running_steps(never(a_sheet(), name)))

    assert furthest_apart(done.drawing.pattern, without.drawing.pattern) <= 0.01
    assert done.drawing.as_bytes() == without.drawing.as_bytes()
    assert codes(done.report).count("off") == 1


def test_with_the_swing_off_the_size_it_would_have_left_is_cut():
    done = run_fit_sheet(str(MASTER), off(a_sheet(), "blend"))
    text = write_fit_sheet(never(a_sheet(), "blend")).replace('size_kept = "P03"', 'size_kept = "3"')
    without = run_job(str(MASTER), parse_recipe(text).steps)

    assert [piece.sizes for piece in done.drawing.pattern.pieces] == [("3",)] * 3
    assert furthest_apart(done.drawing.pattern, without.drawing.pattern) <= 0.01
    assert any(f.code == "line-not-made" and "size 3 for P03" in f.text for f in done.report.findings)


def test_a_step_that_does_not_apply_is_left_out_and_told():
    steps = planned_steps(
        [
            PlannedStep("lengthen", {"amount": "20 mm", "at": "waist/hip"}, (), "Longer legs."),
            PlannedStep("wedge", {"edge": "crotch", "amount": "10 mm"}, (), "Flat seat."),
            PlannedStep("lengthen", {"amount": "20 mm", "at": "chest"}, ("sleeve",), ""),
            PlannedStep("size", {"size_kept": "3"}, (), ""),
        ]
    )
    done = run_fit_sheet(str(MASTER), a_sheet()._replace(steps=steps))
    left = [finding for finding in done.report.findings if finding.code == "left-out"]

    assert len(left) == 3 and all(finding.level == Level.WARN for finding in left)
    assert "waist/hip" in left[0].text and "Longer legs" in left[0].text and "crotch" in left[1].text
    only = run_job(str(MASTER), (steps[-1].step,))
    assert done.drawing.as_bytes() == only.drawing.as_bytes()


def test_an_allowance_is_put_on_without_the_edges_and_pieces_that_are_not_there():
    own = parse_recipe(
        '[[step]]\ndo = "allowance"\npieces = ["front", "collar"]\nwidth = 10\nedges = "side=25 vent=40"\n'
    ).steps
    done = run_fit_sheet(str(MASTER), with_own_steps(FitSheet(who="P03"), own))
    told = [finding for finding in done.report.findings if finding.code == "part-left-out"]

    assert len(told) == 1 and "collar" in told[0].text and "vent" in told[0].text
    assert done.after.piece("front").allowance["side"] == 25.0


def test_a_size_that_is_not_there_ends_it_for_without_it_nothing_can_be_cut():
    steps = planned_steps([PlannedStep("size", {"size_kept": "12"}, (), "")])
    with pytest.raises(InputError) as told:
        run_fit_sheet(str(MASTER), FitSheet(who="P03", steps=steps))
    assert "'12'" in str(told.value)


def test_the_next_body_keeps_the_own_steps_and_what_was_off():
    old = off(a_sheet(), "lengthen")
    plan = planned_steps(
        [
            PlannedStep("lengthen", {"amount": "-25 mm", "at": "chest/waist"}, (), "Shorter."),
            PlannedStep("size", {"size_kept": "4"}, (), ""),
        ]
    )
    new, told = next_sheet(old, plan, FitSheet("Waistcoat for P07", "P07", ("stoop",)))

    assert new[:3] == ("Waistcoat for P07", "P07", ("stoop",))
    names = [one.step.step.operation.name for one in new.steps]
    assert names == ["lengthen", "size", "allowance"]
    assert [one.off for one in new.steps] == [True, False, False]
    assert new.steps[0].step.step.values["amount"] == -25.0
    assert told == ()


def test_own_steps_stay_where_they_were_and_an_off_step_that_is_gone_is_told():
    walk = FitStep(parse_recipe('[[step]]\ndo = "walk"\n').steps[0])
    lengthen, blend, size = planned_steps(PLAN)
    old = FitSheet("", "P03", (), (walk, lengthen._replace(off=True), blend, walk, size, walk))
    new, told = next_sheet(old, planned_steps(PLAN[1:]), FitSheet())

    names = [one.step.step.operation.name for one in new.steps]
    assert names == ["walk", "blend", "walk", "size", "walk"]
    assert not any(one.off for one in new.steps)
    assert [finding.code for finding in told] == ["off-not-needed"]


def test_a_plan_comes_behind_names_and_before_finishing_where_nothing_was_planned_before():
    text = "".join('[[step]]\ndo = "{}"\n'.format(name) for name in ("roles", "names", "allowance", "names"))
    new, _ = next_sheet(parse_fit_sheet(text), planned_steps(PLAN[1:]), FitSheet())

    names = [one.step.step.operation.name for one in new.steps]
    assert names == ["roles", "names", "blend", "size", "allowance", "names"]


def test_another_master_is_told():
    data = MASTER.read_bytes()

    assert other_master(a_sheet(), data) is None
    assert other_master(FitSheet(), data) is None
    changed = other_master(a_sheet(), data + b" ")
    assert changed.level == Level.WARN and "another master" in changed.text


def test_the_command_replays_a_fit_sheet_and_tells_what_it_left_out(tmp_path, capsys):
    (tmp_path / "p03.toml").write_text(write_fit_sheet(off(a_sheet(), "lengthen")), encoding="utf-8")
    other = MASTER.read_text(encoding="utf-8").replace("eight sizes", "eight sizes of it")
    (tmp_path / "other.svg").write_text(other, encoding="utf-8")

    status = main(
        ["replay", str(tmp_path / "p03.toml"), str(tmp_path / "other.svg"), "-o", str(tmp_path / "out.svg")]
    )

    told = " ".join(capsys.readouterr().err.split())
    assert status == 0 and (tmp_path / "out.svg").exists()
    assert "another master" in told and "Switched off in the fit sheet: Lengthen or shorten" in told


def test_recording_a_step_into_a_fit_sheet_keeps_its_needs(tmp_path):
    name = tmp_path / "p03.toml"
    name.write_text(write_fit_sheet(a_sheet()), encoding="utf-8")

    assert main(["walk", str(MASTER), "--record", str(name), "--quiet"]) == 0

    read = read_fit_sheet(name)
    assert read.needs == a_sheet().needs and len(read.steps) == len(a_sheet().steps) + 1
    assert switched_off(read) == ()
