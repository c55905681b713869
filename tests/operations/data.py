"""Real drawings lent for testing, where they are; each test skips without them."""

import pathlib

import pytest

FOLDER = pathlib.Path(__file__).resolve().parent.parent.parent.parent / "shared" / "data"


def drawings(name):
    """The SVG files of one lent folder; none where it is absent."""
    return sorted((FOLDER / name).glob("*.svg"))


def needed(name):
    """A mark that skips where a lent folder is absent."""
    return pytest.mark.skipif(not drawings(name), reason="the lent drawings are not here")


def file(folder, name):
    """One lent file by its folder and name; the test skips where it is absent."""
    path = FOLDER / folder / name
    if not path.is_file():
        pytest.skip("the lent drawings are not here")
    return path
