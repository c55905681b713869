"""The dialogs: written from the declarations, in step with them, good by the editor's own rules."""

import pathlib
import unittest

import pytest
from lxml import etree

from sewkit.arguments import UNITS
from sewkit.editor import columns, inx
from sewkit.errors import InputError
from sewkit.operation import (
    Choice,
    Count,
    Flag,
    Length,
    LengthsByName,
    Number,
    Operation,
    Param,
    Percent,
    Text,
)
from sewkit.operations import load

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
EXTENSIONS = ROOT / "extensions"
OPERATIONS = load()
SPACE = "{%s}" % inx.NAMESPACE


def nothing(pattern, **values):
    raise AssertionError("the dialog is written without running anything")


def declared(*params, **changed):
    """An operation that is in no register."""
    words = dict(
        name="try-out",
        title="Try out",
        menu="Trials",
        select="Select one line.",
        changes=True,
        preview=True,
        example="sewkit try-out in.svg -o out.svg",
        params=params,
        function=nothing,
        summary="Try every kind of value.",
        details="First paragraph.\n\nSecond paragraph, with < and &.",
    )
    words.update(changed)
    return Operation(**words)


EVERY_KIND = declared(
    Param("width", Length("Width", "from line to line", 0.5, 300), 10.0),
    Param("spread", Length("Spread", "negative closes", -80, 80), -2.5),
    Param("share", Percent("Share", "", 0, 100), 50.0),
    Param("pieces_of_cloth", Count("Pieces", "how many", 1, 20), 3),
    Param("keep", Flag("Keep the old line"), True),
    Param("way", Choice("Way", "which way round", {"left": "to the left", "right": "to the right"}), "right"),
    Param("edge", Text("Edge", "its name"), ""),
    Param("named", Text("Name"), "side"),
    Param("widths", LengthsByName("Widths", "for single edges", 0, 300), {}),
)


def dialog(operation):
    return etree.fromstring(inx.inx_text(operation))


def fields(operation):
    return {field.get("name"): field for field in dialog(operation).iter(SPACE + "param")}


def test_every_value_has_a_field_of_its_sort():
    sorts = {name: field.get("type") for name, field in fields(EVERY_KIND).items()}

    assert sorts == {
        "tab": "notebook",
        "width": "float",
        "spread": "float",
        "share": "float",
        "pieces-of-cloth": "int",
        "keep": "bool",
        "way": "optiongroup",
        "edge": "string",
        "named": "string",
        "widths": "string",
        "unit": "optiongroup",
    }


def test_defaults_are_written_as_the_editor_reads_them():
    texts = {name: field.text for name, field in fields(EVERY_KIND).items() if not len(field)}

    assert texts == {
        "width": "10",
        "spread": "-2.5",
        "share": "50",
        "pieces-of-cloth": "3",
        "keep": "true",
        "edge": None,
        "named": "side",
        "widths": None,
    }


def test_the_default_choice_comes_first_because_the_editor_starts_on_the_first():
    options = [option.get("value") for option in fields(EVERY_KIND)["way"]]

    assert options == ["right", "left"]


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize(("name", "least", "most"), [("width", 0.5, 300.0), ("spread", -80.0, 80.0)])
def test_the_limits_of_a_field_let_the_whole_range_in_whatever_the_unit(unit, name, least, most):
    # By definition: 10 mm to the centimetre, 25.4 mm to the inch.
    millimetres = {"mm": 1.0, "cm": 10.0, "in": 25.4}[unit]
    field = fields(EVERY_KIND)[name]

    assert float(field.get("min")) <= least / millimetres
    assert float(field.get("max")) >= most / millimetres


def test_a_field_holds_a_sixteenth_of_an_inch_exactly():
    assert round(1 / 16, int(fields(EVERY_KIND)["width"].get("precision"))) == 1 / 16


def test_without_a_length_there_is_no_unit_to_choose():
    assert "unit" not in fields(declared(Param("keep", Flag("Keep"), False)))


@pytest.mark.parametrize("name", ["tab", "unit", "id", "output", "selected_nodes"])
def test_a_value_called_like_one_of_the_editors_own_options_is_a_mistake(name):
    with pytest.raises(TypeError, match=name):
        inx.inx_text(declared(Param(name, Flag("Word"), False)))


def test_an_operation_without_values_still_has_something_to_show():
    page = next(dialog(declared()).iter(SPACE + "page"))

    assert [label.text for label in page.iter(SPACE + "label")] == ["Select one line."]


def labels(operation):
    """The words of every page, by the page's name."""
    pages = dialog(operation).iter(SPACE + "page")
    return {page.get("name"): [label.text for label in page.iter(SPACE + "label")] for page in pages}


def test_the_help_pages_tell_what_the_declaration_tells():
    pages = labels(EVERY_KIND)

    assert pages["help"] == [EVERY_KIND.summary, "First paragraph.", "Second paragraph, with < and &."]
    assert "Pieces: how many." in pages["meanings"]


def test_every_choice_is_told_with_its_meaning_the_usual_one_first():
    options = {
        "left": "to the left",
        "round": "Round: by the neck",
        "blunt": "Blunt",
        "right": "to the right",
    }
    told = labels(declared(Param("way", Choice("Way", "which way round", options), "right")))["meanings"]
    alone = labels(declared(Param("way", Choice("Way", "", {"left": "to the left"}), "left")))["meanings"]

    assert told == [
        "Way: which way round.",
        "right: to the right",
        "left: to the left",
        "round: by the neck",  # not the word twice
        "blunt",
    ]
    assert alone == ["Way:", "left: to the left"]


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_no_choice_of_any_dialog_is_left_out(operation):
    told = labels(operation).get("meanings", [])
    words = [
        word for param in operation.params if isinstance(param.kind, Choice) for word in param.kind.options
    ]

    assert [word for word in words if not any(text.split(":")[0] == word for text in told)] == []


def test_a_field_shows_no_more_decimals_than_it_needs():
    # A tenth of a percent, a hundredth of a number; a sixteenth of an inch is 0.0625.
    number = declared(Param("point", Number("Point", "", 1, 20), 2.5))
    shown = {**fields(EVERY_KIND), **fields(number)}

    assert {name: shown[name].get("precision") for name in ("share", "point", "width")} == {
        "share": "1",
        "point": "2",
        "width": "4",
    }


# A label's line on a page holds some 70 letters, and 90 where the fields stand in two columns
# (measured in photographs of the dialogs).  It takes 17 dots, its margin included 21; frame, tabs
# and buttons take 113, the box for a preview 51.
_LETTERS, _WIDE, _LINE, _MARGIN, _AROUND, _PREVIEW = 62, 80, 17, 4, 113, 51


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_no_page_of_words_is_higher_than_a_small_screen(operation):
    letters = _LETTERS if dialog(operation).find(".//" + SPACE + "hbox") is None else _WIDE
    for name, texts in labels(operation).items():
        lines = sum(-(-len(text) // letters) * _LINE + _MARGIN for text in texts)
        around = _AROUND + (_PREVIEW if operation.preview else 0)
        assert name == "values" or lines + around <= 720, name


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_no_page_of_fields_is_higher_than_a_small_screen(operation):
    page = next(dialog(operation).iter(SPACE + "page"))

    assert columns.page_height(page, operation.preview) <= columns.HIGHEST


# A declaration as high as a dialog that was photographed: fields, flags, lines of what to select,
# preview, and the height of the picture in dots.
@pytest.mark.parametrize(
    ("fields", "flags", "lines", "preview", "photographed"),
    [(12, 1, 2, True, 698), (11, 0, 1, True, 617), (4, 2, 1, True, 403), (14, 1, 2, False, 723)],
)
def test_the_height_of_a_dialog_is_known_before_it_is_opened(fields, flags, lines, preview, photographed):
    params = [Param("f{}".format(n), Count("Field", "", 0, 9), 1) for n in range(fields)]
    params += [Param("g{}".format(n), Flag("Flag"), True) for n in range(flags)]
    page = inx._add(etree.Element(SPACE + "page"), SPACE + "page")
    inx._add(page, SPACE + "label", "x" * 60 * lines)
    inx._add(page, SPACE + "spacer")
    for param in params:
        inx._add_param(page, param)

    assert columns.page_height(page, preview) == pytest.approx(photographed, abs=20)


def test_a_dialog_that_would_be_too_high_has_two_columns_in_the_order_of_the_values():
    many = [Param("value_{}".format(number), Count("Value", "", 0, 9), 1) for number in range(20)]
    page = next(dialog(declared(*many, told=True)).iter(SPACE + "page"))

    (row,) = page.findall(SPACE + "hbox")
    first, second = ([field.get("name") for field in box] for box in row.findall(SPACE + "vbox"))
    assert first + second == ["value-{}".format(number) for number in range(20)]
    assert len(first) == len(second)
    assert [field.get("name") for field in page.findall(SPACE + "param")] == ["show-report", "report-file"]


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_nothing_that_writes_files_runs_at_every_change_of_a_number(operation):
    shown = dialog(operation).find(SPACE + "effect").get("needs-live-preview")
    writes = {"print-file", "report-file"} & set(fields(operation))

    assert shown == "false" or not writes


def test_what_to_select_is_told_on_the_page_that_one_works_on():
    page = next(dialog(EVERY_KIND).iter(SPACE + "page"))

    assert next(page.iter(SPACE + "label")).text == EVERY_KIND.select


def test_the_preview_is_offered_where_it_is_declared():
    shown = dialog(EVERY_KIND).find(SPACE + "effect").get("needs-live-preview")
    hidden = dialog(declared(preview=False)).find(SPACE + "effect").get("needs-live-preview")

    assert (shown, hidden) == ("true", "false")


def test_the_menu_is_the_declared_one():
    menus = [menu.get("name") for menu in dialog(EVERY_KIND).iter(SPACE + "submenu")]

    assert menus == ["Sewkit", "Trials"]


def test_a_broken_installation_takes_the_item_out_of_the_menu():
    needed = dialog(EVERY_KIND).find(SPACE + "dependency")

    assert (needed.get("type"), needed.get("location")) == ("file", "inx")
    assert (ROOT / needed.text).is_file()


def test_folder_in_step_and_what_is_said_where_it_is_not(tmp_path):
    inx.write(tmp_path, [EVERY_KIND])
    assert inx.out_of_step(tmp_path, [EVERY_KIND]) == ()

    (tmp_path / "sew_try_out.inx").write_bytes(b"changed by hand")
    (tmp_path / "sew_old.py").write_bytes(b"")
    (tmp_path / "_where.py").unlink()
    told = " ".join(inx.out_of_step(tmp_path, [EVERY_KIND]))
    for name in ("sew_try_out.inx", "sew_old.py", "_where.py"):
        assert name in told

    inx.write(tmp_path, [EVERY_KIND])
    assert inx.out_of_step(tmp_path, [EVERY_KIND]) == ()


def test_the_checked_in_files_are_what_the_declarations_say():
    assert inx.out_of_step(EXTENSIONS, OPERATIONS) == ()


def test_the_command_says_by_its_exit_code_whether_all_is_in_step(tmp_path, capsys):
    assert inx.main([str(tmp_path), "--check"]) == 1
    assert "missing" in capsys.readouterr().err

    assert inx.main([str(tmp_path)]) == 0
    assert inx.main([str(tmp_path), "--check"]) == 0


# -- the editor's own judges -------------------------------------------------------------


def judge():
    """inkex's own tests of a dialog, as a bare test case."""
    tester = pytest.importorskip("inkex.tester.inx", reason="inkex is not installed")
    return type("Judge", (tester.InxMixin, unittest.TestCase), {"runTest": lambda self: None})()


def check_schema(file):
    case = judge()
    if not hasattr(case, "assertInxSchemaValid"):
        pytest.skip("this inkex brings no schema (before 1.3)")
    case.assertInxSchemaValid(str(file))


def test_a_dialog_with_every_kind_of_value_follows_the_schema(tmp_path):
    inx.write(tmp_path, [EVERY_KIND, declared(name="no-values")])

    check_schema(tmp_path / "sew_try_out.inx")
    check_schema(tmp_path / "sew_no_values.inx")


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_each_dialog_follows_the_schema(operation):
    check_schema(EXTENSIONS / (inx.stem(operation) + ".inx"))


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_each_dialog_and_its_script_agree_by_the_editors_own_test(operation, monkeypatch):
    case = judge()
    monkeypatch.chdir(EXTENSIONS)  # inkex looks for the script in the current folder
    monkeypatch.syspath_prepend(str(EXTENSIONS))

    case.assertInxIsGood(inx.stem(operation) + ".inx")


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_the_words_of_each_dialog_are_there(operation):
    for name, field in fields(operation).items():
        assert name == "tab" or field.get("gui-text"), "{} has no label".format(name)
    for words in (operation.title, operation.select, operation.summary):
        assert words
    assert operation.select.endswith("."), "what to select is a sentence"


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
def test_each_default_survives_being_written_and_read(operation):
    for param in operation.params:
        try:
            assert param.kind.parse(param.kind.write(param.default)) == param.default, param.name
        except InputError as error:
            pytest.fail("{}: {}".format(param.name, error))
