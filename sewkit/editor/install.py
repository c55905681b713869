"""Put the extensions where the editor finds them, or into one zip to hand on.

Scripts, dialogs and the package go into one folder of their own, whose name is not
``sewkit``: Python would take a folder of that name for the package.
"""

import contextlib
import importlib.metadata
import importlib.util
import io
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import zipfile
from email.message import Message
from typing import Dict, Iterator, List, Optional, Tuple, Union

from sewkit.editor.inx import generated
from sewkit.errors import FileError
from sewkit.files.atomic import write_bytes
from sewkit.files.pdf_file import OLDER_PYPDF
from sewkit.operations import load

FOLDER = "sewkit-extensions"
PACKAGE = pathlib.Path(__file__).resolve().parent.parent

# Told beside the programs where they are at hand: not in an installed package.
_PAPERS = ("LICENSE", "README.md")

# Plain Python packages that go along where they are installed here, because the editor does
# not bring them: reading PDF needs pypdf, and pypdf the other one on an older Python.
BUNDLED = ("pypdf", "typing_extensions")
# The oldest Python that an editor brings, and from which pypdf needs no other package.
EDITORS_PYTHON, _WITHOUT = (3, 8), (3, 11)
_LEFT_OUT = ("__pycache__", ".pyc", ".pyo", ".part", "~")

# The earliest date a zip can hold, so that the same content gives the same bytes.
_NO_DATE = (1980, 1, 1, 0, 0, 0)

Place = Union[str, "os.PathLike[str]"]


def install(target: Optional[Place] = None) -> pathlib.Path:
    """Copy everything into the editor's extension folder, in place of an older copy.

    Args:
        target: the extension folder; the editor is asked for it when left out.

    Returns the folder that was written.  ``FileError`` where it cannot be written, or
    where another folder of that name is in the way; then nothing has been changed.
    """
    extensions = pathlib.Path(target) if target is not None else user_extensions()
    final = extensions / FOLDER
    with _told(final):
        extensions.mkdir(parents=True, exist_ok=True)
        _check_ours(final)
        with tempfile.TemporaryDirectory(prefix=".sewkit-", dir=str(extensions)) as aside:
            new = pathlib.Path(aside) / "new"
            _write_files(new)
            _swap(new, final, pathlib.Path(aside) / "old")
    return final


def _swap(new: pathlib.Path, final: pathlib.Path, old: pathlib.Path) -> None:
    if final.exists():
        final.rename(old)
    try:
        new.rename(final)
    except OSError:
        if old.exists():
            old.rename(final)
        raise


def uninstall(target: Optional[Place] = None) -> pathlib.Path:
    """Remove what ``install`` has written; returns the folder, whether it was there or not."""
    final = (pathlib.Path(target) if target is not None else user_extensions()) / FOLDER
    with _told(final):
        _check_ours(final)
        if final.exists():
            shutil.rmtree(str(final))
    return final


def make_zip(path: Place) -> pathlib.Path:
    """Write the zip for the editor's extension manager, or to unpack by hand; same bytes each time."""
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in sorted(_contents().items()):
            entry = zipfile.ZipInfo(FOLDER + "/" + name, _NO_DATE)
            entry.external_attr = 0o644 << 16
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, content)
    write_bytes(path, whole.getvalue())
    return pathlib.Path(path)


def _contents() -> Dict[str, bytes]:
    """Everything that is installed: name in the folder, with ``/``, and content."""
    files = dict(generated(load()))
    for file in sorted(PACKAGE.rglob("*")):
        name = file.relative_to(PACKAGE.parent).as_posix()
        if file.is_file() and not any(part.endswith(_LEFT_OUT) for part in name.split("/")):
            files[name] = file.read_bytes()
    for paper in _PAPERS:
        file = PACKAGE.parent / paper
        if file.is_file():
            files[paper] = file.read_bytes()
    for package in BUNDLED:
        files.update(_bundled(package))
    return files


def missing_packages() -> Tuple[str, ...]:
    """Which packages that should go along are not installed here."""
    return tuple(name for name in BUNDLED[:1] if not _bundled(name))


def pythons_served() -> str:
    """Which Pythons the packages that go along serve, in one sentence; an editor brings its own."""
    least, version = (3, 0), ""
    for name in BUNDLED:
        about = _about(name)
        if about is not None and _bundled(name):
            version = version or "{} {}".format(name, about["Version"])
            least = max(least, _least_python(about["Requires-Python"] or ""))
        elif name != BUNDLED[0]:
            least = max(least, _WITHOUT)
    sentence = "{} goes along: it serves editors with Python {}.{} or newer".format(version, *least)
    if least <= EDITORS_PYTHON:
        return sentence + "."
    return "{}; for an older one run  {}  and do this again.".format(sentence, OLDER_PYPDF)


def _about(package: str) -> Optional[Message]:
    """What an installed package says of itself."""
    try:
        return importlib.metadata.metadata(package)
    except importlib.metadata.PackageNotFoundError:
        return None


def _least_python(required: str) -> Tuple[int, int]:
    """The oldest Python of a rule as ">=3.9, <4"; 3.0 where it names none."""
    found = re.search(r">=\s*(\d+)\.(\d+)", required)
    return (int(found.group(1)), int(found.group(2))) if found else (3, 0)


def _bundled(package: str) -> Dict[str, bytes]:
    """A plain Python package with its licence; nothing where it is not installed."""
    found = importlib.util.find_spec(package)
    if found is None or found.origin is None:
        return {}
    main = pathlib.Path(found.origin)
    if main.name != "__init__.py":
        return {main.name: main.read_bytes()}
    inside = [(file, file.relative_to(main.parent.parent)) for file in sorted(main.parent.rglob("*"))]
    for about in sorted(main.parent.parent.glob(package + "-*.dist-info")):
        papers = (file for file in sorted(about.rglob("*")) if "LICENSE" in file.name.upper())
        inside += [(file, pathlib.PurePath(package) / file.name) for file in papers]
    kept = ((file, name) for file, name in inside if file.is_file())
    return {
        name.as_posix(): file.read_bytes()
        for file, name in kept
        if not any(part.endswith(_LEFT_OUT) for part in name.parts)
    }


def _write_files(folder: pathlib.Path) -> None:
    for name, content in _contents().items():
        file = folder / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)


def _check_ours(folder: pathlib.Path) -> None:
    known = (folder / "_where.py").is_file() and (folder / "sewkit").is_dir()
    if folder.exists() and not known:
        raise FileError(
            "{} is in the way and is no installation of sewkit.".format(folder),
            "Rename it, then install again.",
            code="install",
        )


@contextlib.contextmanager
def _told(place: pathlib.Path) -> Iterator[None]:
    """Errors of the file system as a sentence."""
    try:
        yield
    except OSError as error:
        raise FileError(
            "{} cannot be written: {}.".format(place, error.strerror or error),
            "Choose a folder that belongs to you.",
            code="install",
        ) from None


def user_extensions() -> pathlib.Path:
    """The folder in which the editor looks for the person's own extensions."""
    profile = os.environ.get("INKSCAPE_PROFILE_DIR")
    if profile:
        return pathlib.Path(profile) / "extensions"
    return _asked() or _usual_places()[0]


def _asked() -> Optional[pathlib.Path]:
    """What the editor itself answers; None where there is no editor on the command path."""
    environment = {name: value for name, value in os.environ.items() if name != "INKSCAPE_PROFILE_DIR"}
    try:
        answer = subprocess.run(
            ["inkscape", "--user-data-directory"],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=30,
            text=True,
            env=environment,
        )
    except (OSError, subprocess.SubprocessError):
        return None
    lines = [line.strip() for line in answer.stdout.splitlines() if os.path.isabs(line.strip())]
    return pathlib.Path(lines[-1]) / "extensions" if lines else None


def _usual_places(system: str = sys.platform, home: Optional[pathlib.Path] = None) -> List[pathlib.Path]:
    """Where the editor keeps extensions by its own documentation, the likeliest first."""
    home = home or pathlib.Path.home()
    if system == "win32":
        return [pathlib.Path(os.environ.get("APPDATA", str(home))) / "inkscape" / "extensions"]
    if system == "darwin":
        support = home / "Library" / "Application Support"
        return [support / "org.inkscape.Inkscape" / "config" / "inkscape" / "extensions"]
    config = pathlib.Path(os.environ.get("XDG_CONFIG_HOME") or home / ".config")
    plain = config / "inkscape" / "extensions"
    snap = home / "snap" / "inkscape"
    flatpak = home / ".var" / "app" / "org.inkscape.Inkscape"
    boxed = []
    if snap.is_dir():
        boxed.append(snap / "common" / "extensions")
    if flatpak.is_dir():
        boxed.append(flatpak / "config" / "inkscape" / "extensions")
    return [plain] + boxed if plain.parent.is_dir() or not boxed else boxed + [plain]
