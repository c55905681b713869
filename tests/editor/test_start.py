"""What a run brings in beside sewkit: it is paid at every change of a number."""

import pathlib
import subprocess
import sys

import pytest

pytest.importorskip("inkex", reason="inkex is not installed")

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent

# A curve wider than its hollow, so that folds are looked for and a loop is trimmed: the
# convenient functions for this bring numpy's masked arrays with them, 8 ms.
PROGRAM = """
import io, sys
import inkex, numpy, lxml.etree
before = set(sys.modules)
import sewkit.editor.host
from sewkit.files.svg import open_drawing
from sewkit.operations.allowance import allowance
from sewkit.operations.blend import blend
drawing, chosen = open_drawing(io.BytesIO({drawing!r}), ids=["hollow"])
outcome = allowance(drawing.pattern, chosen, width=30)
assert any(finding.code == "loop-trimmed" for finding in outcome.report.findings)
print(*sorted(name for name in set(sys.modules) - before if name.partition(".")[0] != "sewkit"))
"""
DRAWING = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300">'
    b'<path id="hollow" d="M 50,100 H 130 C 130,120 135,130 150,130 '
    b'C 165,130 170,120 170,100 H 250 V 250 H 50 Z"/>'
    b"</svg>"
)


def test_a_run_imports_nothing_that_the_editor_has_not_imported():
    command = [sys.executable, "-c", PROGRAM.format(drawing=DRAWING)]
    told = subprocess.run(command, cwd=str(ROOT), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)

    assert told.returncode == 0, told.stderr
    assert told.stdout.split() == []
