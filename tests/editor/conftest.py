"""The real editor, without a screen: found, kept apart from the person's own, never waited for.

``SEWKIT_NEED_EDITOR`` decides: 1 makes a missing editor a failure, 0 leaves these tests
out, anything else uses the editor where there is one.
"""

import os
import pathlib
import shutil
import signal
import subprocess
import sys
from typing import Dict, Mapping, Optional
from xml.sax.saxutils import quoteattr

import pytest

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent

# A call takes about three seconds.  The editor waits for ever at a message box that
# nobody can close, so every call is ended after this many seconds.
PATIENCE = 90


# What the tests set for their own Python; who uses the editor has none of it.
_OF_THE_TESTS = (
    "PYTHONPATH",
    "PYTHONHOME",
    "VIRTUAL_ENV",
    "PYTHONDONTWRITEBYTECODE",
    "PYTHONPYCACHEPREFIX",
)


class Editor:
    """Inkscape with a profile of its own.

    Attributes:
        program: the path of the editor.
        profile: its profile folder; extensions go to ``profile / "extensions"``.
    """

    def __init__(self, program: str, profile: pathlib.Path) -> None:
        self.program = program
        self.profile = profile
        self.extensions = profile / "extensions"
        self.extensions.mkdir(parents=True)

    def install(self) -> None:
        """Put the extension scripts and the package where this editor looks for them."""
        for file in (ROOT / "extensions").glob("*"):
            if file.suffix in (".py", ".inx"):
                shutil.copy(str(file), str(self.extensions))
        unwanted = shutil.ignore_patterns("__pycache__")
        shutil.copytree(str(ROOT / "sewkit"), str(self.extensions / "sewkit"), ignore=unwanted)

    def prefer(self, values: Mapping[str, str]) -> None:
        """Preset dialog values: full names ``urn.of.extension.parameter`` to their text."""
        words = " ".join("{}={}".format(name, quoteattr(value)) for name, value in values.items())
        text = '<?xml version="1.0"?>\n<inkscape version="1"><group id="extensions" {}/></inkscape>\n'
        (self.profile / "preferences.xml").write_text(text.format(words), encoding="utf-8")

    def call(self, *arguments: str, timeout: float = PATIENCE) -> "subprocess.CompletedProcess[str]":
        """Run the editor with these arguments on a screen that nobody sees.

        A call that does not end in time is a failed test, and all its processes are gone.
        """
        command = ["xvfb-run", "-a", self.program, *map(str, arguments)]
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=self._environment(),
            cwd=str(self.profile),
            start_new_session=True,
        )
        try:
            out, err = process.communicate(timeout=timeout)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGTERM)
            out, err = _what_is_left(process)
            pytest.fail("the editor did not end within {} s: {}\n{}{}".format(timeout, command, out, err))
        return subprocess.CompletedProcess(command, process.returncode, out, err)

    def run_action(
        self, action: str, source: pathlib.Path, target: pathlib.Path, ids: str = ""
    ) -> "subprocess.CompletedProcess[str]":
        """Open a drawing, select ids ("a,b"), run one action, save under another name."""
        steps = ["select-by-id:" + ids] if ids else []
        steps += [action, "export-filename:{}".format(target), "export-do"]
        return self.call("--batch-process", "--actions=" + ";".join(steps) + ";", str(source))

    def _environment(self) -> Dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if name not in _OF_THE_TESTS}
        # As for its users, the editor runs scripts in the system's Python, not in that of the tests.
        kept["PATH"] = os.pathsep.join(["/usr/bin", "/bin", kept.get("PATH", "")])
        kept["INKSCAPE_PROFILE_DIR"] = str(self.profile)
        return kept


def _what_is_left(process: "subprocess.Popen[str]") -> "tuple[str, str]":
    try:
        return process.communicate(timeout=5)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        return process.communicate()


def _program() -> Optional[str]:
    usable = sys.platform.startswith("linux") and shutil.which("xvfb-run")
    return shutil.which("inkscape") if usable else None


@pytest.fixture
def editor(tmp_path: pathlib.Path) -> Editor:
    """An editor with a fresh profile; skips or fails, as asked, where there is none."""
    need = os.environ.get("SEWKIT_NEED_EDITOR", "")
    if need == "0":
        pytest.skip("tests inside the editor were left out on request")
    program = _program()
    if program is None and need == "1":
        pytest.fail("Inkscape and xvfb-run are needed for this run and are not installed")
    if program is None:
        pytest.skip("Inkscape or xvfb-run is not installed")
    return Editor(program, tmp_path / "profile")
