"""Find sewkit, and the editor's own Python modules, before anything else is imported.

This file is copied as ``_where.py`` beside the extension scripts, and acts only there.
sewkit lies inside that folder where the extensions are installed, and beside it in a
checkout.  The editor puts its modules on the path when it starts a script; when a script
is started by hand they are looked for where the editor keeps them.
"""

import importlib.util
import os
import sys
from typing import Iterator

SYSTEM = "/usr/share/inkscape/extensions"


def find_sewkit(here: str) -> None:
    """Put the bundled sewkit first, so that no other installed version is taken."""
    for folder in (here, os.path.dirname(here)):
        if os.path.isfile(os.path.join(folder, "sewkit", "__init__.py")):
            sys.path.insert(0, folder)
            return


def find_inkex() -> None:
    """Put the editor's modules last on the path, unless they are on it already."""
    if importlib.util.find_spec("inkex") is not None:
        return
    for folder in _places():
        if folder and os.path.isdir(os.path.join(folder, "inkex")):
            sys.path.append(folder)
            return


def _places() -> Iterator[str]:
    yield os.environ.get("SEWKIT_INKEX", "")
    yield SYSTEM
    import subprocess  # slow to import, and hardly ever needed

    try:
        answer = subprocess.run(
            ["inkscape", "--system-data-directory"],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=20,
            text=True,
        )
    except (OSError, subprocess.SubprocessError):
        return
    yield os.path.join(answer.stdout.strip(), "extensions")


def check_parts() -> None:
    """End with one sentence where a part is missing that the editor normally brings."""
    try:
        import inkex  # noqa: F401
        import lxml.etree  # noqa: F401
        import numpy  # noqa: F401
    except ImportError as error:
        part = (error.name or str(error)).partition(".")[0]
        sys.exit(
            "Sewkit needs the Python package '{}', which {} cannot import. Install it there, "
            "or use an editor that brings it along.".format(part, sys.executable or "this Python")
        )


if __name__ == "_where":
    find_sewkit(os.path.dirname(os.path.abspath(__file__)))
    find_inkex()
    check_parts()
