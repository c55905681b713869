"""Installing: one folder, whole or not at all, and one zip with the same content."""

import json
import pathlib
import subprocess
import sys
import zipfile

import pytest

from sewkit.editor import install as door
from sewkit.errors import FileError

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent


def names(folder):
    return sorted(file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file())


def test_everything_the_editor_needs_is_put_into_one_folder(tmp_path):
    folder = door.install(tmp_path)

    installed = set(names(folder))
    wanted = {file.name for file in (ROOT / "extensions").iterdir() if file.suffix in (".py", ".inx")}
    assert wanted <= installed
    assert {"sewkit/__init__.py", "sewkit/editor/host.py", "LICENSE"} <= installed
    assert [path.name for path in tmp_path.iterdir()] == [folder.name]


def test_the_folder_is_not_called_like_the_package(tmp_path):
    # Python would take <extensions>/sewkit for the package itself.
    assert door.install(tmp_path).name != "sewkit"


def test_nothing_of_the_makers_tools_is_installed(tmp_path):
    for name in names(door.install(tmp_path)):
        assert "__pycache__" not in name
        assert not name.endswith((".pyc", "setup.py", "pyproject.toml"))


def test_a_new_installation_takes_the_place_of_the_old_one(tmp_path):
    folder = door.install(tmp_path)
    (folder / "sew_from_last_year.inx").write_text("<gone/>")

    door.install(tmp_path)

    assert not (folder / "sew_from_last_year.inx").exists()
    assert [path.name for path in tmp_path.iterdir()] == [folder.name]


def test_a_failed_installation_leaves_the_old_one(tmp_path, monkeypatch):
    folder = door.install(tmp_path)
    before = names(folder)

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(door, "_write_files", full)
    with pytest.raises(FileError, match="No space left"):
        door.install(tmp_path)

    assert names(folder) == before
    assert [path.name for path in tmp_path.iterdir()] == [folder.name]


def test_where_the_new_folder_cannot_take_its_place_the_old_one_comes_back(tmp_path, monkeypatch):
    folder = door.install(tmp_path)
    before = names(folder)
    rename = pathlib.Path.rename

    def stuck(path, target):
        if path.name == "new":
            raise OSError(13, "Permission denied")
        return rename(path, target)

    monkeypatch.setattr(pathlib.Path, "rename", stuck)
    with pytest.raises(FileError, match="Permission denied"):
        door.install(tmp_path)

    assert names(folder) == before


def test_a_foreign_folder_of_that_name_is_left_alone(tmp_path):
    foreign = tmp_path / door.FOLDER
    foreign.mkdir()
    (foreign / "letter.txt").write_text("mine")

    for work in (door.install, door.uninstall):
        with pytest.raises(FileError, match="in the way"):
            work(tmp_path)

    assert (foreign / "letter.txt").read_text() == "mine"


def test_uninstalling_leaves_nothing_and_may_be_repeated(tmp_path):
    door.install(tmp_path)

    door.uninstall(tmp_path)
    door.uninstall(tmp_path)

    assert list(tmp_path.iterdir()) == []


def test_the_zip_holds_what_is_installed(tmp_path):
    folder = door.install(tmp_path)
    archive = zipfile.ZipFile(str(door.make_zip(tmp_path / "sewkit.zip")))

    assert archive.testzip() is None
    assert sorted(archive.namelist()) == [folder.name + "/" + name for name in names(folder)]


def test_the_zip_has_the_same_bytes_each_time(tmp_path):
    first = door.make_zip(tmp_path / "first.zip").read_bytes()
    second = door.make_zip(tmp_path / "second.zip").read_bytes()

    assert first == second


def test_the_zip_is_one_the_extension_manager_takes(tmp_path):
    archive = zipfile.ZipFile(str(door.make_zip(tmp_path / "sewkit.zip")))

    # The manager takes a zip with a setup.py for another kind of package, and reads every JSON.
    assert not [name for name in archive.namelist() if name.endswith("setup.py")]
    for name in archive.namelist():
        if name.endswith(".json"):
            json.loads(archive.read(name).decode("utf-8"))


def test_an_installed_script_uses_the_installed_package(tmp_path):
    """Started where no other sewkit is on the path, it finds the one beside it."""
    folder = door.install(tmp_path)
    program = "import _where, sewkit.editor.host; print(sewkit.__file__)"

    done = subprocess.run(
        [sys.executable, "-W", "error::SyntaxWarning", "-c", program],
        cwd=str(folder),
        capture_output=True,
        text=True,
        timeout=60,
    )

    if "inkex" in done.stderr:
        pytest.skip("inkex is not installed")
    assert done.stderr == ""
    assert pathlib.Path(done.stdout.strip()) == folder / "sewkit" / "__init__.py"


def test_the_profile_in_force_is_honoured(tmp_path, monkeypatch):
    monkeypatch.setenv("INKSCAPE_PROFILE_DIR", str(tmp_path))

    assert door.user_extensions() == tmp_path / "extensions"


def test_the_editor_is_asked_where_it_looks(editor, monkeypatch, tmp_path):
    monkeypatch.delenv("INKSCAPE_PROFILE_DIR", raising=False)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))

    assert door.user_extensions() == tmp_path / "inkscape" / "extensions"


@pytest.mark.parametrize(
    ("system", "wanted"),
    [
        # The editor's own documentation, by system.
        ("linux", ".config/inkscape/extensions"),
        ("win32", "inkscape/extensions"),
        ("darwin", "Library/Application Support/org.inkscape.Inkscape/config/inkscape/extensions"),
    ],
)
def test_without_an_editor_to_ask_the_usual_place_is_taken(system, wanted, tmp_path, monkeypatch):
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    monkeypatch.setenv("APPDATA", str(tmp_path))

    assert door._usual_places(system, tmp_path)[0] == tmp_path / wanted


@pytest.mark.parametrize(
    ("sign", "wanted"),
    [
        ("snap/inkscape", "snap/inkscape/common/extensions"),
        (
            ".var/app/org.inkscape.Inkscape",
            ".var/app/org.inkscape.Inkscape/config/inkscape/extensions",
        ),
    ],
)
def test_a_boxed_editor_keeps_its_extensions_in_its_box(sign, wanted, tmp_path, monkeypatch):
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    (tmp_path / sign).mkdir(parents=True)

    assert door._usual_places("linux", tmp_path)[0] == tmp_path / wanted


def a_site(folder, packages):
    """A folder of installed packages, as pip lays them: (name, version, Requires-Python)."""
    for name, version, python in packages:
        (folder / name).mkdir(parents=True)
        (folder / name / "__init__.py").write_text("")
        about = folder / "{}-{}.dist-info".format(name, version)
        about.mkdir()
        text = "Metadata-Version: 2.1\nName: {}\nVersion: {}\nRequires-Python: {}\n"
        (about / "METADATA").write_text(text.format(name, version, python))
    return folder


@pytest.fixture
def served(tmp_path, monkeypatch):
    """What is told of packages that lie in a folder before all others."""

    def tell(*packages):
        site = a_site(tmp_path / "site", packages)
        monkeypatch.syspath_prepend(str(site))
        known = {name: site / name / "__init__.py" for name, _, _ in packages}
        specs = {name: door.importlib.util.spec_from_file_location(name, str(known[name])) for name in known}
        monkeypatch.setattr(door.importlib.util, "find_spec", specs.get)
        return door.pythons_served()

    return tell


# What the makers of both packages publish as Requires-Python of these releases.
OLD = ("typing_extensions", "4.13.2", ">=3.8")


def test_it_is_told_which_pythons_the_packages_that_go_along_serve(served):
    said = served(("pypdf", "5.9.0", ">=3.8"), OLD)

    assert "pypdf 5.9.0" in said
    assert "3.8 or newer" in said
    assert "pip" not in said


def test_an_older_editor_is_told_what_to_do(served):
    said = served(("pypdf", "7.0.0", ">=3.10"), OLD)

    assert "3.10 or newer" in said
    assert "pypdf<6" in said


def test_the_newer_need_of_both_packages_counts(served):
    assert "3.9 or newer" in served(("pypdf", "5.9.0", ">=3.8"), ("typing_extensions", "4.15.0", ">=3.9"))


def test_without_the_other_package_only_newer_pythons_are_served(served):
    # pypdf takes it for every Python below 3.11.
    assert "3.11 or newer" in served(("pypdf", "5.9.0", ">=3.8"))


def test_the_other_package_goes_along(served):
    served(("pypdf", "5.9.0", ">=3.8"), OLD)

    assert {"pypdf/__init__.py", "typing_extensions/__init__.py"} <= set(door._contents())
