"""How a script finds what it needs when nobody but the person has started it."""

import pathlib
import sys

import pytest

from sewkit.editor import where


@pytest.fixture
def path(monkeypatch):
    """A search path of this test's own, on which there is no inkex."""
    monkeypatch.setattr(sys, "path", list(sys.path))
    monkeypatch.setattr(where.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(where, "SYSTEM", "")
    monkeypatch.delenv("SEWKIT_INKEX", raising=False)
    monkeypatch.setenv("PATH", "")
    return sys.path


def make_inkex(folder):
    (folder / "inkex").mkdir(parents=True)
    return str(folder)


def test_a_bundled_package_comes_before_all_others(path, tmp_path):
    (tmp_path / "sewkit").mkdir()
    (tmp_path / "sewkit" / "__init__.py").write_text("")

    where.find_sewkit(str(tmp_path))

    assert path[0] == str(tmp_path)


def test_in_a_checkout_the_package_lies_beside_the_scripts(path, tmp_path):
    (tmp_path / "sewkit").mkdir()
    (tmp_path / "sewkit" / "__init__.py").write_text("")

    where.find_sewkit(str(tmp_path / "extensions"))

    assert path[0] == str(tmp_path)


def test_the_folder_that_was_named_comes_first(path, tmp_path, monkeypatch):
    named, system = make_inkex(tmp_path / "named"), make_inkex(tmp_path / "system")
    monkeypatch.setenv("SEWKIT_INKEX", named)
    monkeypatch.setattr(where, "SYSTEM", system)

    where.find_inkex()

    assert path[-1] == named


def test_then_the_usual_folder(path, tmp_path, monkeypatch):
    system = make_inkex(tmp_path / "system")
    monkeypatch.setattr(where, "SYSTEM", system)

    where.find_inkex()

    assert path[-1] == system


@pytest.mark.skipif(sys.platform == "win32", reason="a shell script stands in for the editor")
def test_then_the_editor_is_asked(path, tmp_path, monkeypatch):
    make_inkex(tmp_path / "share" / "extensions")
    program = tmp_path / "inkscape"
    program.write_text("#!/bin/sh\necho {}\n".format(tmp_path / "share"))
    program.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))

    where.find_inkex()

    assert pathlib.Path(path[-1]) == tmp_path / "share" / "extensions"


def test_where_there_is_none_nothing_is_put_on_the_path(path):
    before = list(path)

    where.find_inkex()

    assert path == before


def test_an_inkex_that_is_there_is_taken(path, tmp_path, monkeypatch):
    monkeypatch.setenv("SEWKIT_INKEX", make_inkex(tmp_path))
    monkeypatch.setattr(where.importlib.util, "find_spec", lambda name: object())
    before = list(path)

    where.find_inkex()

    assert path == before
