"""What the README says is so: its table is in step, its commands and its Python run."""

import pathlib
import re
import shutil
import subprocess
import sys

import pytest

from sewkit import gallery

ROOT = pathlib.Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language):
    return re.findall(r"```{}\n(.*?)```".format(language), README, re.DOTALL)


@pytest.fixture()
def copy(tmp_path):
    """A folder with the samples, as a reader has it."""
    for sample in ("waistcoat", "bodice"):
        shutil.copytree(str(ROOT / "samples" / sample), str(tmp_path / "samples" / sample))
    return tmp_path


def runs(line, folder):
    """A sewkit command line, as the shell runs it in a folder with the samples."""
    command = line.replace("sewkit ", '"{}" -m sewkit '.format(sys.executable), 1)
    result = subprocess.run(
        command,
        shell=True,
        cwd=str(folder),
        stderr=subprocess.PIPE,
        stdout=subprocess.PIPE,
        timeout=120,
        env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"},
    )
    # Two rows of the sample's cast are held.
    assert result.returncode == (1 if line.startswith("sewkit batch") else 0), line + result.stderr.decode()


def test_the_table_of_operations_is_in_step():
    assert gallery.in_step(README) == README


def test_every_sewkit_command_of_the_readme_runs(copy):
    lines = [line for block in blocks("sh") for line in block.splitlines() if line.startswith("sewkit ")]
    assert len(lines) >= 5

    for line in lines:
        runs(line, copy)


def test_the_python_of_the_readme_runs(copy):
    for block in blocks("python"):
        result = subprocess.run(
            [sys.executable, "-c", block],
            cwd=str(copy),
            stderr=subprocess.PIPE,
            stdout=subprocess.PIPE,
            timeout=120,
            env={"PYTHONPATH": str(ROOT)},
        )
        assert result.returncode == 0, result.stderr.decode()
    assert (copy / "cut.svg").exists()


def test_every_link_leads_somewhere():
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / target).exists(), target


def test_every_example_of_the_help_runs(copy):
    from sewkit.operations import load

    for operation in load():
        runs(operation.example, copy)
