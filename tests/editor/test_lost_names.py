"""Lines that lost their names in the editor itself are found by the check of names."""

import pathlib

import pytest

from sewkit.checks.names import name_findings
from sewkit.files.svg import open_drawing
from sewkit.report import Level

MASTER = pathlib.Path(__file__).resolve().parent.parent.parent / "samples" / "waistcoat" / "master.svg"


@pytest.mark.parametrize(
    ("action", "sizes"),
    [("path-union", ["3"]), ("path-combine", ["3", "4"]), ("path-break-apart", ["3"])],
)
def test_what_the_editor_takes_from_a_line_is_told(editor, tmp_path, action, sizes):
    target = tmp_path / "edited.svg"
    ids = ",".join("back-{}-seam-line".format(size) for size in sizes)
    assert not [f for f in name_findings(open_drawing(MASTER)[0].pattern) if f.level >= Level.WARN]

    editor.run_action(action, MASTER, target, ids=ids)

    pattern = open_drawing(target)[0].pattern
    assert not set(sizes) & set(pattern.piece("back").sizes)  # or the editor has learnt to keep them
    told = [(f.code, f.level, f.where) for f in name_findings(pattern) if f.level >= Level.WARN]
    assert told == [("nameless", Level.WARN, "back"), ("size-missing", Level.FAIL, "back")]
