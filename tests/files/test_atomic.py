"""A file is written whole or not at all, and an input is never written over."""

import os
import stat
import sys

import pytest

from sewkit.errors import FileError
from sewkit.files import atomic


def test_text_is_utf8_with_plain_line_ends(tmp_path):
    file = tmp_path / "note.txt"

    atomic.write_text(file, "½ in\nline\n")

    assert file.read_bytes() == b"\xc2\xbd in\nline\n"


def test_bytes_replace_what_was_there_and_leave_nothing_else(tmp_path):
    file = tmp_path / "sheet.pdf"
    file.write_bytes(b"old, and longer than the new")

    atomic.write_bytes(str(file), b"new")

    assert file.read_bytes() == b"new"
    assert os.listdir(str(tmp_path)) == ["sheet.pdf"]


def test_an_input_is_refused_under_any_spelling(tmp_path, monkeypatch):
    master = tmp_path / "master.svg"
    master.write_text("master")
    monkeypatch.chdir(tmp_path)
    spellings = [master, str(master), "master.svg", os.path.join(".", "master.svg")]

    for spelling in spellings:
        with pytest.raises(FileError) as caught:
            atomic.write_text(spelling, "changed", never=["other.svg", master])
        assert caught.value.code == "overwrite"

    assert master.read_text() == "master"
    assert os.listdir(".") == ["master.svg"]


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
@pytest.mark.parametrize("link", [os.symlink, os.link])
def test_an_input_is_refused_through_a_link(tmp_path, link):
    master, other = tmp_path / "master.svg", tmp_path / "other.svg"
    master.write_text("master")
    link(str(master), str(other))

    with pytest.raises(FileError):
        atomic.write_text(other, "changed", never=[master])

    assert master.read_text() == "master"


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_a_link_is_followed_and_stays_a_link(tmp_path):
    real, link = tmp_path / "real.txt", tmp_path / "link.txt"
    real.write_text("old")
    os.symlink(str(real), str(link))

    atomic.write_text(link, "new")

    assert real.read_text() == "new"
    assert link.is_symlink()


@pytest.mark.skipif(sys.platform == "win32", reason="no such permissions there")
def test_permissions_are_those_of_the_file_before_or_of_any_new_file(tmp_path):
    before, usual, new = tmp_path / "before", tmp_path / "usual", tmp_path / "new"
    before.write_text("x")
    os.chmod(str(before), 0o640)
    usual.write_text("x")

    atomic.write_text(before, "y")
    atomic.write_text(new, "y")

    assert stat.S_IMODE(before.stat().st_mode) == 0o640
    assert new.stat().st_mode == usual.stat().st_mode


def test_a_missing_folder_is_told_with_the_cure(tmp_path):
    with pytest.raises(FileError, match=r"no folder .*Make the folder first"):
        atomic.write_text(tmp_path / "missing" / "a.txt", "x")


def test_a_folder_is_no_file(tmp_path):
    with pytest.raises(FileError, match="is a folder"):
        atomic.write_text(tmp_path, "x")


def test_a_run_cut_off_half_way_leaves_the_old_file(tmp_path, monkeypatch):
    file = tmp_path / "a.txt"
    file.write_text("old")

    def disk_full(descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(atomic.os, "fsync", disk_full)
    with pytest.raises(FileError, match="no space left"):
        atomic.write_text(file, "new")

    assert file.read_text() == "old"
    assert os.listdir(str(tmp_path)) == ["a.txt"]
