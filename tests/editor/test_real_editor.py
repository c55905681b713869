"""The extensions in the editor itself, installed as people install them.

An action that is not there prints a line and leaves the drawing as it was, with exit
code 0: so it is the drawing that is looked at, never the exit code.
"""

import pathlib
import re
import zipfile

import numpy as np
import pytest
from lxml import etree

from sewkit.editor.install import install, make_zip
from sewkit.files.svg import open_drawing
from sewkit.operations import load
from tests.editor.compare import check_same_lines, in_python
from tests.editor.drawings import FRAMES, HEMS, PIECES, drawing

load()

# By definition: 96 px of the editor to the inch of 25.4 mm (CSS Values 4, section 6.2).
MILLIMETRE = 25.4 / 96


@pytest.fixture
def ready(editor):
    """The editor with the extensions installed."""
    install(editor.extensions)
    return editor


def action(name):
    return "org.sewkit.sew-{}.noprefs".format(name)


def preset(name, **values):
    return {
        "org.sewkit.sew_{}.{}".format(name.replace("-", "_"), word): text for word, text in values.items()
    }


def measured(editor, file):
    """What the editor itself measures: id to x, y, width, height in mm, strokes included."""
    rows = [line.split(",") for line in editor.call("--query-all", str(file)).stdout.splitlines()]
    return {row[0]: np.array([float(cell) for cell in row[1:]]) * MILLIMETRE for row in rows if len(row) == 5}


@pytest.mark.parametrize("frame", FRAMES)
def test_an_allowance_is_as_wide_as_asked_whatever_the_scale_of_the_drawing(ready, tmp_path, frame):
    source, target = tmp_path / "master.svg", tmp_path / "result.svg"
    source.write_text(drawing(frame), encoding="utf-8")
    ready.prefer(preset("allowance", width="12.5"))

    ready.run_action(action("allowance"), source, target, ids="line")

    check_same_lines(target, in_python("allowance", source, tmp_path / "py.svg", ids=["line"], width=12.5))
    check_cut_line(ready, target)


def check_cut_line(editor, file):
    """Closed form: 100 x 60 mm and 12.5 mm all round give 125 x 85 mm, 12.5 mm up and left."""
    root = etree.parse(str(file)).getroot()
    cut = next(e for e in root.iter() if e.get("{urn:sewkit:1}role") == "cut-line")
    cut.set("style", "fill:none;stroke:none")  # so that the editor measures the line, not its width
    bare = file.with_name("bare.svg")
    bare.write_bytes(etree.tostring(root))
    boxes = measured(editor, bare)

    line, around = boxes["line"], boxes[cut.get("id")]
    # Pixels are told with three decimals.
    np.testing.assert_allclose(line[2:], [100, 60], atol=0.002)
    np.testing.assert_allclose(around[2:], [125, 85], atol=0.002)
    np.testing.assert_allclose(around[:2] - line[:2], [-12.5, -12.5], atol=0.002)


@pytest.mark.parametrize(("unit", "written", "mm"), [("cm", "1.5", 15.0), ("in", "0.625", 15.875)])
def test_the_unit_of_the_dialog_counts(ready, tmp_path, unit, written, mm):
    source, target = tmp_path / "master.svg", tmp_path / "result.svg"
    source.write_text(drawing(), encoding="utf-8")
    ready.prefer(preset("allowance", width=written, unit=unit))

    ready.run_action(action("allowance"), source, target, ids="line")

    check_same_lines(target, in_python("allowance", source, tmp_path / "py.svg", ids=["line"], width=mm))


def test_pieces_with_names_are_worked_on_by_group_and_keep_their_names(ready, tmp_path):
    source, target = tmp_path / "master.svg", tmp_path / "result.svg"
    source.write_text(drawing(content=PIECES), encoding="utf-8")

    ready.run_action(action("allowance"), source, target, ids="front")

    check_same_lines(target, in_python("allowance", source, tmp_path / "py.svg", ids=["front"]))
    before, after = (open_drawing(str(file))[0].pattern for file in (source, target))
    assert [piece.name for piece in after.pieces] == ["front", "back"]
    assert after.piece("front").sizes == before.piece("front").sizes
    assert after.seams == before.seams
    assert len(after.piece("front").cut_lines) == 2
    assert not after.piece("back").cut_lines


@pytest.mark.parametrize("ids", [("line", "other"), ("other", "line")])
def test_the_order_of_selecting_is_the_order_of_the_lines(ready, tmp_path, ids):
    source, target = tmp_path / "master.svg", tmp_path / "result.svg"
    source.write_text(drawing(content=HEMS), encoding="utf-8")

    ready.run_action(action("blend"), source, target, ids=",".join(ids))

    check_same_lines(target, in_python("blend", source, tmp_path / "py.svg", ids=ids))
    assert target.read_bytes() != source.read_bytes()


OUTLINE_AND_LINE = (
    '<path id="shape" d="M 20,20 H 120 C 126,60 124,90 130,140 H 20 Z"/>'
    '<path id="across" d="M 20,80 L 140,80"/>'
)


@pytest.mark.parametrize(
    "name, values, typed",
    [
        ("lengthen", {"amount": 15.0, "show": True}, {"amount": "15", "show": "1"}),
        ("spread", {"amount": 12.0}, {"amount": "12"}),
        ("wedge", {"amount": -4.0}, {"amount": "-4"}),
    ],
)
def test_length_and_room_at_a_line_that_was_drawn(ready, tmp_path, name, values, typed):
    """Select an outline and then a line over it: the commonest way in the editor."""
    source, target = tmp_path / "master.svg", tmp_path / "result.svg"
    source.write_text(drawing(content=OUTLINE_AND_LINE), encoding="utf-8")
    ready.prefer(preset(name, **typed))

    ready.run_action(action(name), source, target, ids="shape,across")

    check_same_lines(target, in_python(name, source, tmp_path / "py.svg", ids=["shape", "across"], **values))
    assert target.read_bytes() != source.read_bytes()


def test_one_operation_after_another(ready, tmp_path):
    source, target = tmp_path / "master.svg", tmp_path / "result.svg"
    source.write_text(drawing(), encoding="utf-8")
    ready.prefer({**preset("name", called="front"), **preset("allowance", width="20")})

    actions = ["select-by-id:line", action("name"), action("allowance")]
    actions += ["export-filename:{}".format(target), "export-do"]
    ready.call("--batch-process", "--actions=" + ";".join(actions) + ";", str(source))

    named = in_python("name", source, tmp_path / "named.svg", ids=["line"], called="front")
    check_same_lines(target, in_python("allowance", named, tmp_path / "py.svg", width=20.0))
    assert open_drawing(str(target))[0].pattern.piece("front").named


def test_the_zip_unpacked_into_a_fresh_profile_works(editor, tmp_path):
    zipfile.ZipFile(str(make_zip(tmp_path / "sewkit.zip"))).extractall(str(editor.extensions))
    source, target = tmp_path / "master.svg", tmp_path / "result.svg"
    source.write_text(drawing(), encoding="utf-8")

    editor.run_action(action("allowance"), source, target, ids="line")

    check_same_lines(target, in_python("allowance", source, tmp_path / "py.svg", ids=["line"]))


def test_the_editor_loads_every_dialog_without_complaint(ready, tmp_path):
    source = tmp_path / "master.svg"
    source.write_text(drawing(), encoding="utf-8")
    known = ready.call("--action-list").stdout

    for operation in load():
        assert "org.sewkit.sew-{}.noprefs".format(operation.name) in known
    log = ready.profile / "extension-errors.log"
    assert not log.exists() or "sewkit" not in log.read_text(encoding="utf-8").lower()


def test_a_half_installed_package_takes_the_items_out_of_the_menu(ready, tmp_path):
    (ready.extensions / "sewkit-extensions" / "sewkit" / "__init__.py").unlink()

    ready.call("--action-list")

    log = (ready.profile / "extension-errors.log").read_text(encoding="utf-8")
    assert re.search(r"Seam allowance.*dependency", log)


def test_a_whole_pattern_in_many_sizes(ready, tmp_path):
    source = pathlib.Path(__file__).resolve().parent.parent.parent / "samples" / "waistcoat" / "master.svg"
    if not source.exists():
        pytest.skip("the sample has not been drawn yet")
    target = tmp_path / "result.svg"
    ready.prefer(preset("allowance", width="15"))

    ready.run_action(action("allowance"), source, target, ids="front")

    check_same_lines(target, in_python("allowance", source, tmp_path / "py.svg", ids=["front"], width=15.0))


# New marks, a facing and a check, one after the other on the piece that is selected.
CHAIN = [
    ("notch", {"edge": "side", "at": "60mm"}, {}),
    ("dot", {"edge": "side", "at": "40%", "inside": "8"}, {"inside": 8.0}),
    ("gather", {"edge": "waist", "first": "30%", "until": "70%"}, {}),
    ("grain", {"angle": "45"}, {"angle": 45.0}),
    ("label", {"who": "P03", "garment": "Bodice"}, {}),
    ("facing", {"edges": "front/hem", "width": "40"}, {"width": 40.0}),
    ("check", {"notes": "1"}, {"notes": True}),
    ("check", {"notes": "1"}, {"notes": True}),
]


def test_marks_a_facing_and_a_check_one_after_another(ready, tmp_path):
    """As Python does them; the second check draws its layer in place of the first one's."""
    source, target = tmp_path / "master.svg", tmp_path / "result.svg"
    too_long = PIECES.replace("V 172 H 145", "V 176 H 145")  # the side of the back, by 4 mm
    source.write_text(drawing(content=too_long), encoding="utf-8")
    presets, wanted = {}, source
    for number, (name, typed, values) in enumerate(CHAIN):
        presets.update(preset(name, **typed))
        wanted = in_python(
            name, wanted, tmp_path / "{}.svg".format(number), ids=["front"], **{**typed, **values}
        )
    ready.prefer(presets)

    actions = ["select-by-id:front", *(action(name) for name, _, _ in CHAIN)]
    actions += ["export-filename:{}".format(target), "export-do"]
    ready.call("--batch-process", "--actions=" + ";".join(actions) + ";", str(source))

    check_same_lines(target, wanted)
    names = [e.get("id") for e in etree.parse(str(target)).getroot().iter() if e.get("id")]
    assert (names.count("sewkit-findings"), names.count("sewkit-notes")) == (1, 1)
    assert len(names) == len(set(names))


def test_what_is_printed_goes_into_files_and_the_drawing_stays(ready, tmp_path):
    """The one with a bare name lies beside the drawing, not in the folder of the extensions."""
    source, target = tmp_path / "master.svg", tmp_path / "result.svg"
    source.write_text(drawing(content=PIECES), encoding="utf-8")
    beam, report = tmp_path / "beam.pdf", tmp_path / "report.txt"
    typed = {"print-file": "paper.pdf", "print-sizes": "1", "report-file": str(report)}
    ready.prefer(
        {
            **preset("print", **{**typed, "show-report": "0"}),
            **preset("project", **{"print-file": str(beam), "show-report": "0"}),
        }
    )

    actions = ["select-by-id:front", action("print"), action("project")]
    actions += ["export-filename:{}".format(target), "export-do"]
    ready.call("--batch-process", "--actions=" + ";".join(actions) + ";", str(source))

    check_same_lines(target, source)
    assert (tmp_path / "paper.pdf").read_bytes().startswith(b"%PDF-")
    assert beam.read_bytes().startswith(b"%PDF-")
    assert str(tmp_path / "paper.pdf") in report.read_text(encoding="utf-8").replace("\n", "")
    assert not list(ready.extensions.rglob("paper.pdf"))
