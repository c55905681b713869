"""The extension scripts without the editor: plain Python, one drawing after another."""

import importlib.util
import os
import pathlib
import subprocess
import sys

import pytest
from lxml import etree

from sewkit.editor import inx
from sewkit.editor.menu_words import in_the_menu
from sewkit.errors import InputError
from sewkit.operations import load
from tests.editor.compare import check_same_lines, in_python
from tests.editor.drawings import EVERY, drawing

pytest.importorskip("inkex", reason="inkex is not installed")

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
EXTENSIONS = ROOT / "extensions"
OPERATIONS = load()
each_operation = pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.name)
each_on_a_drawing = pytest.mark.parametrize(
    "operation", [one for one in OPERATIONS if not one.takes_pages], ids=lambda operation: operation.name
)

ABORTED = 251  # inkex's exit code for a sentence to the person


def script(operation):
    return EXTENSIONS / (inx.stem(operation) + ".py")


def extension(operation):
    """The script's class, loaded as the editor's own test loads it."""
    spec = importlib.util.spec_from_file_location(inx.stem(operation), str(script(operation)))
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return getattr(module, inx.class_name(operation))


@pytest.fixture
def scripts_on_the_path(monkeypatch):
    monkeypatch.syspath_prepend(str(EXTENSIONS))


def run(file, *arguments, **changed):
    """The script in a Python of its own, as the editor starts it."""
    done = subprocess.run(
        [sys.executable, "-W", "default", str(file), *map(str, arguments)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        cwd=str(EXTENSIONS),
        timeout=60,
        env=dict(os.environ, **changed),
    )
    return done.returncode, done.stdout, done.stderr.decode("utf-8")


def save(folder, text, name="master.svg"):
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return file


def into(operation, folder):
    """What an operation that prints needs besides: the file to print into."""
    return ["--print-file={}".format(folder / "printed.pdf")] if operation.prints else []


def is_one_sentence(words):
    return words.endswith(".\n") and "Traceback" not in words and "not made for" not in words


@each_operation
def test_each_script_takes_one_drawing_after_another(operation, scripts_on_the_path, tmp_path, capfd):
    """A whole result, or one sentence and no result; the master stays as it was."""
    for number, (title, text) in enumerate(EVERY.items()):
        master = save(tmp_path, text, "master-{}.svg".format(number))
        target = tmp_path / "result-{}.svg".format(number)
        ids = ["--id=line"] if 'id="line"' in text else []
        code = 0
        try:
            more = [*ids, *into(operation, tmp_path)]
            extension(operation)().run([*more, "--output={}".format(target), str(master)])
        except SystemExit as end:
            code = end.code % 256  # as the shell sees it
        told = capfd.readouterr()

        assert told.out == "", title
        assert master.read_text(encoding="utf-8") == text, title
        assert code in (0, ABORTED), title
        if code == 0:
            assert target.exists(), "{}: nothing was written".format(title)
            assert not told.err or not operation.preview, "{}: {}".format(title, told.err)
        else:
            assert not target.exists(), "{}: a result in spite of an error".format(title)
            assert is_one_sentence(told.err), "{}: {}".format(title, told.err)
    there = {file.name.partition("-")[0] for file in tmp_path.iterdir()}
    assert there <= {"master", "result", *(["printed.pdf"] if operation.prints else [])}


@each_on_a_drawing
@pytest.mark.parametrize("title", [title for title, text in EVERY.items() if "<svg" in text])
def test_each_script_gives_what_python_gives(operation, title, scripts_on_the_path, tmp_path, capfd):
    master = save(tmp_path, EVERY[title])
    ids = [name for name in ("line", "other", "front") if 'id="{}"'.format(name) in EVERY[title]]
    target = tmp_path / "script.svg"
    arguments = ["--id=" + name for name in ids] + into(operation, tmp_path)
    arguments += ["--output={}".format(target), str(master)]
    try:
        wanted = in_python(operation.name, master, tmp_path / "python.svg", ids)
    except InputError as error:
        with pytest.raises(SystemExit):
            extension(operation)().run(arguments)
        assert capfd.readouterr().err == in_the_menu(str(error)) + "\n"
        return

    extension(operation)().run(arguments)

    check_same_lines(target, wanted)


@each_operation
def test_each_script_starts_by_itself(operation, tmp_path):
    master = save(tmp_path, EVERY["pieces in two sizes"])

    code, out, err = run(script(operation), "--id=front", "--output={}".format(tmp_path / "out.svg"), master)

    assert out == b""
    assert (code, err) == (0, "") or (code == 0 and not operation.preview) or is_one_sentence(err)


@pytest.fixture
def changing():
    """A script whose operation changes one bare outline without being told anything."""
    found = [operation for operation in OPERATIONS if operation.name == "allowance"]
    if not found:
        pytest.skip("there is no allowance operation")
    return script(found[0])


@pytest.fixture
def telling():
    """A script whose operation only tells something."""
    found = [operation for operation in OPERATIONS if operation.name == "walk"]
    if not found:
        pytest.skip("there is no walk operation")
    return script(found[0])


def test_without_an_output_the_drawing_goes_to_standard_output(changing, tmp_path):
    master = save(tmp_path, drawing())
    run(changing, "--id=line", "--output={}".format(tmp_path / "out.svg"), master)

    code, out, err = run(changing, "--id=line", master)

    assert (code, err) == (0, "")
    assert out == (tmp_path / "out.svg").read_bytes()


def test_the_same_drawing_gives_the_same_bytes(changing, tmp_path):
    master = save(tmp_path, EVERY["pieces in two sizes"])

    assert run(changing, master) == run(changing, master)


def test_an_operation_that_only_tells_still_writes_the_named_output(telling, tmp_path):
    master = save(tmp_path, EVERY["pieces in two sizes"])
    target = tmp_path / "out.svg"

    code, out, err = run(telling, "--output={}".format(target), master)

    assert (code, out) == (0, b"")
    assert err
    assert target.read_bytes() == master.read_bytes()


def test_what_was_only_looked_at_is_told_where_nothing_else_is_to_be_seen(tmp_path):
    """Without a preview and without a change, silence would look like a fault."""
    looking = [operation for operation in OPERATIONS if operation.name == "names"]
    if not looking:
        pytest.skip("there is no names operation")
    master = save(tmp_path, EVERY["pieces in two sizes"])

    code, out, err = run(script(looking[0]), "--action=check", master)

    assert (code, out) == (0, b"")
    assert "names" in err


def test_an_operation_that_only_tells_gives_the_editor_no_new_drawing(telling, tmp_path):
    code, out, _ = run(telling, save(tmp_path, EVERY["pieces in two sizes"]))

    assert (code, out) == (0, b"")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--width=9999"], "Width"),
        (["--width=wide"], "wide"),
        (["--width=1", "--unit=ell"], "ell"),
        (["--id=nobody"], "nobody"),
        (["--no-such-value=1"], "no-such-value"),
        (["--selected-nodes=line:0:99"], "99"),
        (["--selected-nodes=line"], "line"),
    ],
)
def test_what_does_not_fit_is_told_in_one_sentence(changing, tmp_path, arguments, words):
    master = save(tmp_path, drawing())

    code, out, err = run(changing, *arguments, master)

    assert (code, out) == (ABORTED, b"")
    assert words in err
    assert is_one_sentence(err)


def test_nodes_clicked_in_the_editor_name_the_edge_between_them(tmp_path):
    """Nodes 1 and 2 of M 40,30 H 140 V 90 H 40 Z are the ends of its right side, 60 mm long."""
    naming = [operation for operation in OPERATIONS if operation.name == "name"]
    if not naming:
        pytest.skip("there is no name operation")
    master = save(tmp_path, drawing())
    clicked = ["--selected-nodes=line:0:1", "--selected-nodes=line:0:2"]

    code, out, err = run(script(naming[0]), "--id=line", *clicked, "--called=front", "--edges=side", master)

    assert (code, err) == (0, "")
    line = next(e for e in etree.fromstring(out).iter() if e.get("{urn:sewkit:1}role") == "seam-line")
    assert "side:60" in line.get("{urn:sewkit:1}edges").split()


def test_the_master_is_never_written_over(changing, tmp_path):
    master = save(tmp_path, drawing())

    code, _, err = run(changing, "--output={}".format(master), master)

    assert code == ABORTED
    assert "never written over" in err
    assert master.read_text(encoding="utf-8") == drawing()


@pytest.mark.parametrize("written", ["5/8in", "15.875mm", "1.5875cm"])
def test_a_length_may_carry_its_own_unit_here_too(changing, tmp_path, written):
    # By definition 5/8 in = 0.625 * 25.4 mm = 15.875 mm.
    master = save(tmp_path, drawing())

    plain = run(changing, "--id=line", "--width=0.625", "--unit=in", master)

    assert plain[0] == 0
    assert run(changing, "--id=line", "--width=" + written, master) == plain


def test_a_missing_package_is_told_in_one_sentence(changing, tmp_path):
    (tmp_path / "numpy.py").write_text("raise ImportError('No module named numpy', name='numpy')")

    code, out, err = run(changing, PYTHONPATH=str(tmp_path))

    assert (code, out) == (1, b"")
    assert "'numpy'" in err
    assert is_one_sentence(err)


def test_a_fault_of_our_own_asks_to_be_reported_and_shows_details_only_on_demand(
    changing, scripts_on_the_path, tmp_path, capfd, monkeypatch
):
    from sewkit.editor import host

    def broken(*_):
        raise ZeroDivisionError("seven by nothing")

    monkeypatch.setattr(host.svg, "open_drawing", broken)
    master = save(tmp_path, drawing())
    cls = extension(next(operation for operation in OPERATIONS if operation.name == "allowance"))

    told = []
    for debug in ("", "1"):
        monkeypatch.setenv("SEWKIT_DEBUG", debug)
        with pytest.raises(SystemExit):
            cls().run([str(master)])
        told.append(capfd.readouterr().err)

    assert "report it" in told[0]
    assert "seven by nothing" in told[0]
    assert "Traceback" not in told[0]
    assert "Traceback" in told[1]


def test_what_changed_nothing_is_told_in_the_drawing_and_an_emptied_field_takes_its_default(tmp_path):
    """A rectangle has nothing to smooth; an empty name of paper can only mean the usual one."""
    master, printed = save(tmp_path, drawing()), tmp_path / "printed.pdf"
    by_name = {operation.name: operation for operation in OPERATIONS}

    code, out, err = run(script(by_name["smooth"]), "--tab=values", "--id=line", "--action=show", master)
    assert (code, err) == (0, "")
    assert b"nothing was changed" in out

    code, out, err = run(script(by_name["check"]), "--tab=values", "--id=line", master)
    assert (code, err) == (0, "")
    assert b"sewkit-notes" in out

    fields = ["--tab=values", "--print-file={}".format(printed), "--show-report=false"]
    assert run(script(by_name["print"]), *fields, master)[::2] == (0, "")
    assert printed.exists()
