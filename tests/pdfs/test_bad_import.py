"""The command that brings a PDF in: bad files leave one message, exit status 2 and no drawing."""

import pathlib
import subprocess
import sys
import time

import pytest

from tests.pdfs.bad import DAMAGED, REFUSED, locked
from tests.pdfs.bombs import BOMBS

ROOT = pathlib.Path(__file__).resolve().parents[2]
PATIENCE = 60.0


def bring_in(data, folder, *more):
    """Run the command on these bytes; gives what it said and the files that came of it."""
    source = folder / "bought.pdf"
    source.write_bytes(data)
    before = {file.name for file in folder.iterdir()}
    command = [sys.executable, "-m", "sewkit", "import", str(source), "-o", str(folder / "master.svg")]
    start = time.perf_counter()
    done = subprocess.run(
        command + list(more),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        cwd=str(ROOT),
        timeout=2 * PATIENCE,
    )

    assert time.perf_counter() - start < PATIENCE
    assert source.read_bytes() == data
    return done, {file.name for file in folder.iterdir()} - before


def refused(done, made):
    said = done.stderr.decode("utf-8", "replace")

    assert done.returncode == 2, said
    assert made == set()
    assert "Traceback" not in said
    # The message, perhaps with its cure: no more than a few lines.
    assert 0 < len(said.strip()) < 500
    return said


# What the reader refuses is tried on the reader; here a few of each kind are enough.
KINDS = [
    "empty",
    "a picture",
    "noise",
    "scanned",
    "only words",
    "no pages",
    "password, RC4",
    "password, AES-256",
]


@pytest.mark.parametrize("name", KINDS)
def test_a_bad_file_leaves_one_message_and_no_drawing(name, tmp_path):
    said = refused(*bring_in(REFUSED[name](), tmp_path))

    assert ("password" in said) == name.startswith("password")
    if name == "scanned":
        assert "scan" in said or "picture" in said or "image" in said


@pytest.mark.parametrize("name", ["zip bomb", "laughing forms", "own form"])
def test_a_bomb_is_refused_or_holds_no_pattern(name, tmp_path):
    done, made = bring_in(BOMBS[name](), tmp_path)

    assert "Traceback" not in done.stderr.decode("utf-8", "replace")
    assert (done.returncode == 2) == (made == set())


@pytest.mark.parametrize(
    "name", ["truncated at 30 %", "truncated at 95 %", "garbage table", "spoiled stream"]
)
def test_a_damaged_file_makes_a_whole_drawing_or_none(name, tmp_path):
    done, made = bring_in(DAMAGED[name](), tmp_path)

    assert "Traceback" not in done.stderr.decode("utf-8", "replace")
    if done.returncode == 2:
        refused(done, made)
        return
    assert made == {"master.svg"}
    assert (tmp_path / "master.svg").read_text(encoding="utf-8").rstrip().endswith("</svg>")


def test_an_older_drawing_is_not_lost_when_a_file_is_refused(tmp_path):
    (tmp_path / "master.svg").write_text("<svg/>", encoding="utf-8")
    done, _ = bring_in(locked(), tmp_path)

    assert done.returncode == 2
    assert (tmp_path / "master.svg").read_text(encoding="utf-8") == "<svg/>"
