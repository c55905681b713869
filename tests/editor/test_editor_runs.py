"""The editor itself: it starts without a screen, and a millimetre is a millimetre in it."""

import pathlib

import pytest
from lxml import etree

SHEET = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297">'
    '<path id="line" d="M 10,20 H 110" style="stroke:none;fill:none"/>'
    '<rect id="box" x="10" y="20" width="100" height="50"/></svg>'
)


@pytest.fixture
def sheet(tmp_path: pathlib.Path) -> pathlib.Path:
    file = tmp_path / "sheet.svg"
    file.write_text(SHEET, encoding="utf-8")
    return file


def test_a_box_of_100_mm_is_measured_as_100_mm(editor, sheet):
    answer = editor.call("--query-id=box", "--query-width", str(sheet))

    # The editor answers in CSS pixels: 96 to the inch of 25.4 mm (CSS Values 4, section 6.2).
    assert float(answer.stdout) == pytest.approx(100 / 25.4 * 96, abs=0.01)


def test_an_action_changes_the_selected_object_and_nothing_else(editor, sheet, tmp_path):
    target = tmp_path / "out.svg"

    editor.run_action("delete", sheet, target, ids="box")

    assert target.exists()
    left = etree.parse(str(target)).xpath("//@id")
    assert "line" in left
    assert "box" not in left


def test_the_profile_is_the_one_of_this_test(editor):
    answer = editor.call("--user-data-directory")

    assert answer.stdout.strip() == str(editor.profile)
