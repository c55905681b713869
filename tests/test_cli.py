"""The command line as people use it: whole results or one sentence, never half of either."""

import io
import json
import os
import pathlib
import shlex
import subprocess
import sys

import pytest
from lxml import etree

from sewkit import __version__
from sewkit.cli import main, with_amounts
from sewkit.operations import load
from tests.files.sheets import BACK, front, svg
from tests.run_command import runner

ROOT = pathlib.Path(__file__).resolve().parent.parent
MASTER = ROOT / "samples" / "waistcoat" / "master.svg"
PIECES = front(group='sewkit:sewn="side=back/side"') + BACK
WIDER = BACK.replace("H 400 V 170 H 300", "H 400 V 174 H 300")


@pytest.fixture
def drawing(tmp_path):
    file = tmp_path / "in" / "drawing.svg"
    file.parent.mkdir()
    file.write_text(svg(PIECES), encoding="utf-8")
    return file


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    """Run a command in an empty folder; gives status, both outputs and the files made."""
    folder = tmp_path / "out"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return runner(folder, capsys)


def process(*words, **more):
    """Run the command as a program of its own."""
    environment = dict(os.environ, PYTHONPATH=str(ROOT), PYTHONWARNINGS="error")
    return subprocess.run(
        [sys.executable, "-m", "sewkit", *map(str, words)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=environment,
        timeout=60,
        **more,
    )


@pytest.mark.parametrize("one", load(), ids=lambda one: one.name)
def test_every_help_page_works_and_shows_its_example(one, run):
    status, out, err, _ = run(one.name, "--help")

    assert (status, err) == (0, "")
    assert one.example in out and one.summary.split()[0] in out
    assert "%%" not in out and all(param.option in out for param in one.params)


def test_the_first_page_lists_every_word(run):
    status, out, _, _ = run("--help")

    assert status == 0 and all(one.name in out for one in load())
    assert run("--version")[1] == "sewkit {}\n".format(__version__)


# -- amounts below nothing --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amount", "mm"),
    [
        ("-12", -12.0),
        ("-12mm", -12.0),
        ("-1.2cm", -12.0),
        ("-1,2 cm", -12.0),
        ("-.5in", -12.7),
        ("-1/2in", -12.7),
        ("-½in", -12.7),
        ("-1 1/2in", -38.1),
        ("12", 12.0),
    ],
)
@pytest.mark.parametrize("tied", [False, True])
def test_an_amount_may_be_below_nothing(amount, mm, tied, lined, run):
    """The side runs square to the line: it ends as much longer as was asked."""
    words = ["--amount=" + amount] if tied else ["--amount", amount]
    status, out, err, _ = run("lengthen", lined, "-o", "made.svg", *words, "--report", "r.json")

    assert (status, out) == (0, ""), err
    rows = json.loads(pathlib.Path("r.json").read_text(encoding="utf-8"))["tables"][0]["rows"]
    change = {row[1]: float(row[-2]) for row in rows}  # the last column has the same in inches
    assert change["side"] == pytest.approx(mm, abs=0.01)


@pytest.fixture
def lined(tmp_path):
    """A front of 100 and 120 by 150 mm that is lengthened at its middle."""
    line = '<path id="cut" sewkit:role="lengthen-line" d="M -10,95 H 140"/>'
    file = tmp_path / "in" / "lined.svg"
    file.parent.mkdir(exist_ok=True)
    file.write_text(svg(front(more=line)), encoding="utf-8")
    return file


def test_an_option_behind_an_option_stays_one(lined, run):
    status, _, err, files = run("lengthen", lined, "--amount", "-o", "made.svg")
    assert (status, files) == (2, []) and "--amount" in err

    status, _, err, files = run("lengthen", lined, "--amount", "-5", "--show", "-o", "made.svg")
    assert (status, files) == (0, ["made.svg"]), err


def test_lengths_by_name_may_be_below_nothing_and_are_told_as_such(lined, run):
    status, _, err, _ = run("lengthen", lined, "-o", "made.svg", "--each", "-5")
    assert status == 2 and "'-5'" in err and "expected one argument" not in err


def test_the_picture_of_a_longer_piece_shows_both_lines_and_by_how_much(lined, run):
    assert run("lengthen", lined, "-o", "made.svg", "--amount", "25.4", "--picture", "p.svg")[0] == 0
    told = " ".join("".join(etree.parse("p.svg").getroot().itertext()).split())

    assert "25.4 mm (1 in)" in told and "longer" in told
    assert "before" in told and "new seam line" in told and "added" in told


def test_behind_two_dashes_nothing_is_an_amount():
    assert with_amounts(["walk", "--report", "r.txt", "--", "--name", "-5.svg"])[-2:] == ["--name", "-5.svg"]
    assert with_amounts(["lengthen", "a.svg", "-o", "-5.svg"])[-1] == "-5.svg"
    assert with_amounts(["lengthen", "--amount=3", "-5"]) == ["lengthen", "--amount=3", "-5"]


@pytest.mark.parametrize("one", load(), ids=lambda one: one.name)
def test_every_example_does_what_it_says(one, run):
    words = shlex.split(one.example.replace("samples/", str(ROOT / "samples") + "/"))
    assert words[:2] == ["sewkit", one.name]

    status, out, err, files = run(*words[1:])
    assert status == 0, err
    assert "Traceback" not in err
    writes = one.changes or one.prints
    assert (len(files) >= 1) == writes and bool(out) != writes


# -- in and out -----------------------------------------------------------------------------


def test_a_stream_goes_in_and_comes_out_as_a_file_would(drawing, run):
    status, out, err, files = run("allowance", drawing, "-o", "made.svg", "--width", "15")
    assert (status, out, files) == (0, "", ["made.svg"]) and err

    piped = process("allowance", "-", "-o", "-", "--width", "15", stdin=open(str(drawing), "rb"))
    assert piped.returncode == 0
    assert piped.stdout == pathlib.Path("made.svg").read_bytes()
    assert piped.stderr.decode().split() == err.split()


def test_a_check_tells_on_standard_output(drawing, run):
    status, out, err, files = run("walk", drawing)

    assert (status, err, files) == (0, "", [])
    assert "front/side" in out and "1 good" in out


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["allowance", "missing.svg", "-o", "a.svg"], "missing.svg"),
        (["allowance", "IN"], "-o FILE"),
        (["allowance", "IN", "-o", "no/folder/a.svg"], "there is no folder"),
        (["allowance", "IN", "-o", "."], "is a folder"),
        (["allowance", "IN", "-o", "a1.png"], "ends in .svg"),
        (["allowance", "IN", "-o", "a.svg", "--width", "5/8"], "5/8 of what? Write 5/8in."),
        (["names", "IN"], "-o FILE"),
        (["allowance", "IN", "-o", "IN"], "never written over"),
        (["allowance", "IN", "-o", "a.svg", "--report", "IN"], "kind of report"),
        (["allowance", "IN", "-o", "a.svg", "--picture", "IN"], "never written over"),
        (["allowance", "IN", "-o", "a.svg", "--record", "IN"], "never written over"),
        (["allowance", "IN", "-o", "a.svg", "--report", "r.pdf"], ".txt, .html or .json"),
        (["allowance", "IN", "-o", "a.svg", "--report", "no/r.txt"], "there is no folder"),
        (["allowance", "IN", "-o", "a.svg", "--picture", "no/p.svg"], "there is no folder"),
        (["allowance", "IN", "-o", "a.svg", "--picture", "./a.svg"], "named twice"),
        (["allowance", "IN", "-o", "a.svg", "--picture", "-"], "Only the drawing"),
        (["allowance", "IN", "-o", "-", "--record", "-"], "Only the drawing"),
        (["allowance", "IN", "-o", "a.svg", "--width", "wide"], "not a length"),
        (["allowance", "IN", "-o", "a.svg", "--width", "9999"], "0 to 300 mm"),
        (["allowance", "IN", "-o", "a.svg", "--width", "5", "--unit", "ell"], "mm, cm or in"),
        (["allowance", "IN", "-o", "a.svg", "--piece", "sleeve"], "The pieces are: front, back"),
        (["allowance", "IN", "-o", "a.svg", "--size", "9"], "no size '9'"),
        (["allowance", "IN", "-o", "a.svg", "--id", "nothing"], "id 'nothing'"),
        (["allowance", "IN", "-o", "a.svg", "--widht", "5"], "--widht"),
        (["allowance", "IN", "-o", "a.svg", "--wid", "5"], "--wid"),
        (["size", "IN", "-o", "a.svg"], "The sizes are: 3"),
        (["walk", "IN", "-o", "a.svg"], "-o"),
        (["replay", "missing.toml", "IN", "-o", "a.svg"], "missing.toml"),
        (["nonsense"], "nonsense"),
        ([], "WORD"),
        (["allowance"], "input"),
    ],
)
def test_what_cannot_be_done_is_one_line_and_leaves_nothing(words, told, drawing, run):
    before = drawing.read_bytes()
    status, out, err, files = run(*(str(drawing) if word == "IN" else word for word in words))

    assert (status, out, files) == (2, "", [])
    assert told in err and err.count("\n") == 1 and err.startswith("sewkit")
    assert drawing.read_bytes() == before


def test_a_spoiled_recipe_to_record_in_is_told_before_anything_is_written(drawing, run):
    pathlib.Path("r.toml").write_text("not a recipe", encoding="utf-8")
    status, _, err, files = run(
        "allowance", drawing, "-o", "a.svg", "--record", "r.toml", "--report", "r.txt"
    )

    assert status == 2 and files == ["r.toml"] and "cannot be read" in err
    assert pathlib.Path("r.toml").read_text(encoding="utf-8") == "not a recipe"


def test_an_output_that_was_there_is_replaced_whole_or_kept(drawing, run):
    out = pathlib.Path("a.svg")
    out.write_text("old", encoding="utf-8")
    assert run("allowance", drawing, "-o", "a.svg", "--piece", "sleeve")[0] == 2
    assert out.read_text(encoding="utf-8") == "old"
    assert run("allowance", drawing, "-o", "a.svg")[0] == 0
    assert etree.parse("a.svg").getroot().tag.endswith("}svg")


def test_a_trial_writes_no_drawing(drawing, run):
    status, out, err, files = run(
        "allowance", drawing, "--dry-run", "-o", "no/folder/a.svg", "--report", "r.txt"
    )

    assert (status, out, files) == (0, "", ["r.txt"]) and "10 mm" in err
    assert err.endswith("Dry run: no drawing was written.\n")
    assert run("allowance", drawing, "--dry-run")[2].endswith("Dry run: nothing was written.\n")


def test_a_check_of_names_needs_no_output_but_takes_one(drawing, run):
    status, out, err, files = run("names", drawing, "--action", "check")
    assert (status, err, files) == (0, "", []) and "All names hold." in out

    status, out, err, files = run("names", drawing, "--action", "check", "-o", "a")
    assert (status, out, files) == (0, "", ["a"]) and "All names hold." in err


def test_a_walk_is_recorded_and_replayed_without_a_drawing(drawing, run):
    recipes_readable()
    assert run("walk", drawing, "--record", "r.toml")[3] == ["r.toml"]
    status, out, err, files = run("replay", "r.toml", drawing)

    assert (status, err, files) == (0, "", ["r.toml"]) and "1 seam walked" in out


# -- status, reports, pictures, recipes ---------------------------------------------------------


def test_the_status_tells_of_findings(tmp_path, run):
    file = tmp_path / "apart.svg"
    file.write_text(svg(front(group='sewkit:sewn="side=back/side"') + WIDER), encoding="utf-8")  # 4 mm apart

    assert run("walk", file)[0] == 0
    assert run("walk", file, "--fail-on", "stop")[0] == 1
    assert run("walk", file, "--fail-on", "look")[0] == 1
    file.write_text(svg(PIECES), encoding="utf-8")
    assert run("walk", file, "--fail-on", "look")[0] == 0


def test_quiet_says_nothing_of_good_seams(drawing, run):
    _, loud, _, _ = run("walk", drawing)
    _, quiet, _, _ = run("walk", drawing, "--quiet")

    assert "are equal" in loud and "are equal" not in quiet


def test_reports_and_picture_are_written_beside_the_drawing(drawing, run):
    status, _, err, files = run(
        "allowance", drawing, "-o", "a.svg", "--picture", "p.svg",
        "--report", "r.txt", "--report", "r.html", "--report", "r.json"
    )  # fmt: skip

    assert (status, files) == (0, ["a.svg", "p.svg", "r.html", "r.json", "r.txt"]), err
    assert etree.parse("p.svg").getroot().tag.endswith("}svg")
    assert json.loads(pathlib.Path("r.json").read_text(encoding="utf-8"))["summary"]
    assert "<svg" in pathlib.Path("r.html").read_text(encoding="utf-8")
    assert "Seam allowance" in pathlib.Path("r.txt").read_text(encoding="utf-8")
    assert run("walk", drawing, "--report", "walk.json")[0] == 0


def recipes_readable():
    if sys.version_info < (3, 11):
        pytest.importorskip("tomli", reason="this Python reads no TOML by itself")


def test_recorded_steps_do_the_same_again(drawing, run):
    recipes_readable()
    run("allowance", drawing, "-o", "one.svg", "--width", "5/8in", "--piece", "front", "--record", "r.toml")
    run("allowance", "one.svg", "-o", "two.svg", "--edges", "hem=40", "--record", "r.toml")
    status, _, err, _ = run("replay", "r.toml", drawing, "-o", "replayed.svg")

    assert status == 0, err
    assert pathlib.Path("replayed.svg").read_bytes() == pathlib.Path("two.svg").read_bytes()
    assert run("replay", "r.toml", drawing, "-o", "r.toml")[0] == 2  # the recipe was read, too


def test_a_step_that_fails_later_leaves_nothing(drawing, run):
    recipes_readable()
    pathlib.Path("r.toml").write_text(
        '[[step]]\ndo = "allowance"\n[[step]]\ndo = "allowance"\npieces = ["sleeve"]\n', encoding="utf-8"
    )
    status, _, err, files = run("replay", "r.toml", drawing, "-o", "a.svg", "--report", "r.txt")

    assert status == 2 and files == ["r.toml"] and "sleeve" in err
    pathlib.Path("empty.toml").write_text("", encoding="utf-8")
    assert "no steps" in run("replay", "empty.toml", drawing, "-o", "a.svg")[2]


def test_what_was_found_wrong_on_reading_is_told(tmp_path, run):
    file = tmp_path / "lines.svg"
    good = '<path id="good" d="M 0,0 H 90 V 90 H 0 Z"/>'
    file.write_text(svg(good + '<path id="bad" d="M 0,0 L"/>'), encoding="utf-8")
    status, _, err, files = run("allowance", file, "-o", "a.svg", "--fail-on", "look")

    assert (status, files) == (1, ["a.svg"]) and "breaks off" in err


# -- as a program ---------------------------------------------------------------------------


def test_no_traceback_when_the_reader_goes_away(drawing):
    command = [sys.executable, "-m", "sewkit", "walk", str(MASTER)]
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        command, stdout=writer, stderr=subprocess.PIPE, env=dict(os.environ, PYTHONPATH=str(ROOT)), timeout=60
    )
    os.close(writer)

    assert done.stderr == b"" and done.returncode == 2


def test_rubbish_on_standard_input_is_one_line():
    done = process("walk", "-", input=b"rubbish")

    assert done.returncode == 2 and done.stderr.count(b"\n") == 1 and b"What came in" in done.stderr


def test_the_master_is_only_read(run):
    before = MASTER.read_bytes()
    status, _, _, files = run("allowance", MASTER, "-o", "a.svg", "--size", "3")

    assert (status, files) == (0, ["a.svg"]) and MASTER.read_bytes() == before
    lines = etree.parse("a.svg").xpath("//*[@*[name()='sewkit:role']='cut-line']/@*[name()='sewkit:size']")
    assert set(lines) == {"3"}


def test_an_open_stream_may_be_the_target(drawing, monkeypatch):
    class Binary(io.StringIO):
        buffer = io.BytesIO()

    monkeypatch.setattr(sys, "stdout", Binary())
    assert main(["allowance", str(drawing), "-o", "-"]) == 0
    assert sys.stdout.buffer.getvalue().startswith(b"<?xml")
