"""Sheets that somebody names: who reads them, from where their names count, how a recipe keeps them."""

import pathlib
import pickle

import pytest

from sewkit.cli import main
from sewkit.errors import FileError, InputError
from sewkit.files.plain_text import sheet_text
from sewkit.files.recipe import Recipe, RecipeStep, parse_recipe, read_recipe, seen_from, write_recipe
from sewkit.operation import Sheet, SheetText, Step, find

MASTER = pathlib.Path(__file__).resolve().parents[2] / "samples" / "waistcoat" / "master.svg"
CHART = "size,chest,waist\n3,96,82\n5,104,90\n"


def step(**values):
    return RecipeStep(Step(find("fit"), values))


def recipe(**values):
    return 'title = "x"\n\n[[step]]\ndo = "fit"\n' + "".join(
        "{} = {!r}\n".format(name, value).replace("'", '"') for name, value in values.items()
    )


def test_a_name_is_read_and_several_lines_are_the_sheet_itself(tmp_path):
    (tmp_path / "chart.csv").write_text(CHART, encoding="utf-16")

    found = sheet_text("chart.csv", str(tmp_path))
    assert (found, found.given) == (CHART, "chart.csv")
    assert sheet_text(CHART + "\n") == CHART
    assert sheet_text("") == ""


def test_a_sheet_that_is_not_there_is_one_sentence(tmp_path):
    with pytest.raises(FileError) as told:
        sheet_text("nobody.csv", str(tmp_path))
    assert "nobody.csv' cannot be read" in str(told.value)

    with pytest.raises(InputError, match=r"Step 1 of the recipe .*nobody.csv"):
        parse_recipe(recipe(sheet="nobody.csv"), str(tmp_path))


def test_names_in_a_recipe_count_from_its_own_folder_and_are_kept(tmp_path, monkeypatch):
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / "chart.csv").write_text(CHART, encoding="utf-8")
    file = tmp_path / "steps.toml"
    file.write_text(recipe(chart="tables/chart.csv", measures="chest 96 cm"), encoding="utf-8")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)

    found = read_recipe(file)
    assert found.steps[0].step.values["chart"] == CHART
    assert 'chart = "tables/chart.csv"' in write_recipe(found)
    assert parse_recipe(write_recipe(found), str(tmp_path)) == found


@pytest.mark.parametrize("text", [CHART, "chest 96, waist 90 cm", ""])
def test_text_from_no_file_is_written_out_and_comes_back(text):
    back = parse_recipe(write_recipe(Recipe("x", (step(sheet=text),)))).steps[0].step.values["sheet"]

    assert back == text
    assert getattr(back, "given", "") == ""


def test_the_function_takes_the_text_as_it_is():
    kind = Sheet("Sheet", "")

    assert kind.parse("  a\n b ") == "  a\n b "
    with pytest.raises(InputError):
        kind.parse(3)


def test_a_sheet_s_text_keeps_its_name_on_the_way_to_another_process():
    again = pickle.loads(pickle.dumps(SheetText.of(CHART, "chart.csv")))

    assert (again, again.given) == (CHART, "chart.csv")


def test_recorded_elsewhere_it_is_named_as_seen_from_the_recipe():
    one = step(chart=SheetText.of(CHART, "chart.csv"), sheet="a\nb\n", row="x")

    moved = seen_from("shows/spring", [one])[0].step.values
    assert moved["chart"].given == str(pathlib.Path("..", "..", "chart.csv"))
    assert (moved["sheet"], moved["row"]) == ("a\nb\n", "x")
    assert seen_from("", [one])[0].step.values["chart"].given == "chart.csv"


def test_a_recorded_fit_is_replayed_from_anywhere(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "kept").mkdir()
    (tmp_path / "chart.csv").write_text(CHART, encoding="utf-8")
    values = ["--measures=chest 96, waist 90 cm", "--chart=chart.csv", "--record=kept/steps.toml"]
    assert main(["fit", str(MASTER), "-o", "one.svg", *values]) == 0
    monkeypatch.chdir(tmp_path / "kept")

    assert main(["replay", "steps.toml", str(MASTER), "-o", "two.svg"]) == 0
    capsys.readouterr()
    assert (tmp_path / "one.svg").read_bytes() == (tmp_path / "kept" / "two.svg").read_bytes()
