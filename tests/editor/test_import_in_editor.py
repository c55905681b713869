"""A bought PDF brought in by the editor itself: the document becomes the master."""

import pathlib

import numpy as np
import pytest
from lxml import etree

from sewkit.editor.install import install
from sewkit.files.job import run_job
from sewkit.files.recipe import RecipeStep
from sewkit.operation import Step, find
from sewkit.operations import load
from tests.editor.compare import check_same_lines

pytest.importorskip("pypdf")
load()
PDF = pathlib.Path(__file__).resolve().parent.parent.parent / "samples" / "waistcoat" / "bought.pdf"
EMPTY = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297">'
    '<g id="layer1"/></svg>'
)
# By definition: 96 px of the editor to the inch of 25.4 mm (CSS Values 4, section 6.2).
MILLIMETRE = 25.4 / 96


def test_an_empty_document_becomes_the_master(editor, tmp_path):
    install(editor.extensions)
    source, target, wanted = (tmp_path / name for name in ("empty.svg", "result.svg", "python.svg"))
    source.write_text(EMPTY, encoding="utf-8")
    editor.prefer({"org.sewkit.sew_import.file": str(PDF)})

    editor.run_action("org.sewkit.sew-import.noprefs", source, target)

    done = run_job(str(PDF), [RecipeStep(Step(find("import"), {}))])
    done.drawing.save(str(wanted))
    check_same_lines(target, wanted)
    root, plain = etree.parse(str(target)).getroot(), etree.parse(str(wanted)).getroot()
    for name in ("width", "height", "viewBox"):
        assert root.get(name) == plain.get(name)


def test_the_editor_measures_the_test_square_as_the_pdf_has_it(editor, tmp_path):
    """100 mm from pen middle to pen middle: the sample's own square (samples/make_master.py)."""
    install(editor.extensions)
    source, target = tmp_path / "empty.svg", tmp_path / "result.svg"
    source.write_text(EMPTY, encoding="utf-8")
    editor.prefer({"org.sewkit.sew_import.file": str(PDF)})
    editor.run_action("org.sewkit.sew-import.noprefs", source, target)

    root = etree.parse(str(target)).getroot()
    for element in root.iter("{*}path"):
        element.set("style", "fill:none;stroke:none")  # so that the line is measured, not its width
    target.write_bytes(etree.tostring(root))
    rows = [line.split(",") for line in editor.call("--query-all", str(target)).stdout.splitlines()]
    sizes = [np.array([float(cell) for cell in row[3:5]]) * MILLIMETRE for row in rows if len(row) == 5]

    assert any(np.abs(size - 100.0).max() <= 0.002 for size in sizes)
