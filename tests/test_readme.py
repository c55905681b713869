"""What the README says is so: its table is in step, its commands and its Python run."""

import pathlib
import re
import shlex
import shutil
import subprocess
import sys

import pytest

from sewkit import gallery
from sewkit.cli import main
from sewkit.operations import load

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


@pytest.fixture()
def runs(copy, monkeypatch, capsys):
    """Run a sewkit command line, read as a shell reads it, in a folder with the samples."""
    monkeypatch.chdir(copy)

    def run(line):
        words = shlex.split(line)[1:]
        if words[0] == "batch":  # it starts processes of its own, two rows of its cast are held
            told = subprocess.run(
                [sys.executable, "-m", "sewkit", *words],
                stderr=subprocess.PIPE,
                stdout=subprocess.PIPE,
                timeout=120,
                env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"},
            )
            assert told.returncode == 1, line + told.stderr.decode()
        else:
            assert main(words) == 0, line + capsys.readouterr().err

    return run


def test_the_table_of_operations_is_in_step():
    assert gallery.in_step(README) == README


def test_every_sewkit_command_of_the_readme_runs(runs):
    lines = [line for block in blocks("sh") for line in block.splitlines() if line.startswith("sewkit ")]
    assert len(lines) >= 5

    for line in lines:
        runs(line)


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


def test_every_example_of_the_help_runs(runs):
    for operation in load():
        runs(operation.example)
