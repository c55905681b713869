"""Measure sheets in files: a table of people, or a small text file for one person."""

import pathlib
from typing import Any, Mapping, Tuple

from sewkit.body.body import Body
from sewkit.body.people_text import bodies_from_text
from sewkit.files.plain_text import read_text


def read_bodies(source: Any, unit: str = "", confirmed: Mapping[str, str] = {}) -> Tuple[Body, ...]:
    """The bodies of a file by name, in its order; see ``bodies_from_text``.

    A text sheet that names nobody is called like its file.  ``FileError`` where it cannot
    be read, ``InputError`` for what cannot be understood.
    """
    who = pathlib.PurePath(str(source)).stem
    return bodies_from_text(read_text(source), unit, confirmed, who, "'{}'".format(source))
