"""A report in the editor: shown only when asked, and as a file."""

import importlib.util
import pathlib

import pytest

from sewkit.editor import inx
from sewkit.operation import find
from tests.editor.compare import lines_of

inkex = pytest.importorskip("inkex", reason="inkex is not installed")

ROOT = pathlib.Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "samples" / "waistcoat"


@pytest.fixture
def run(monkeypatch, tmp_path, capfd):
    """The script of the fit, as the dialog starts it; gives the drawing and what was said."""
    monkeypatch.syspath_prepend(str(ROOT / "extensions"))

    def start(*more):
        operation = find("fit")
        file = ROOT / "extensions" / (inx.stem(operation) + ".py")
        spec = importlib.util.spec_from_file_location(inx.stem(operation), str(file))
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        target = tmp_path / "out.svg"
        target.unlink() if target.exists() else None
        fields = ["--tab=values", "--row=P02", "--edge=side", "--chart={}".format(SAMPLE / "chart.csv")]
        fields += ["--sheet={}".format(SAMPLE / "people.csv"), "--output={}".format(target), *more]
        code = 0
        try:
            getattr(module, inx.class_name(operation))().run([*fields, str(SAMPLE / "master.svg")])
        except SystemExit as done:
            code = done.code
        return target, capfd.readouterr().err, code

    return start


def test_nothing_is_said_unless_somebody_asks(run):
    target, said, _ = run("--show-report=false", "--report-file={}/".format(ROOT / "extensions"))

    assert said == "" and lines_of(target)


def test_the_report_is_shown_and_written(run, tmp_path):
    file = tmp_path / "report.txt"
    target, said, _ = run("--show-report=true", "--report-file={}".format(file))

    assert "P02 is size 2 at the chest and waist" in said
    assert "P02 is size 2 at the chest and waist" in file.read_text(encoding="utf-8")
    assert lines_of(target)


def test_a_report_of_another_kind_and_a_sheet_that_is_not_there_are_one_sentence(run, tmp_path):
    for more, words in (
        ("--report-file={}".format(tmp_path / "report.odt"), "is not a kind of report"),
        ("--sheet={}".format(tmp_path / "nobody.csv"), "cannot be read"),
    ):
        target, said, code = run(more)
        assert code and words in said and "Traceback" not in said
        assert not target.exists()


def test_an_empty_file_field_is_no_sheet(run):
    """It comes as the folder of the extension."""
    _, said, code = run("--sheet={}/".format(ROOT / "extensions"))

    assert code and "There are no measures." in said


def test_a_bare_file_name_is_beside_the_drawing(run, tmp_path, monkeypatch):
    """The editor takes it for one in the folder of the extension, which the next update removes."""
    monkeypatch.setenv("DOCUMENT_PATH", str(tmp_path / "coat.svg"))
    run("--report-file={}".format(ROOT / "extensions" / "report.txt"))

    assert (tmp_path / "report.txt").exists()
    assert not (ROOT / "extensions" / "report.txt").exists()


def test_beside_a_drawing_that_was_never_saved_there_is_no_place(run, monkeypatch):
    monkeypatch.setenv("DOCUMENT_PATH", "")
    target, said, code = run("--sheet={}".format(ROOT / "extensions" / "people.csv"))

    assert code and "'people.csv' names no folder" in said and "Traceback" not in said
    assert not target.exists()
