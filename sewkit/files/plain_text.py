"""The text of a table or sheet, in whatever letters a spreadsheet or an editor saved it."""

import os
from typing import Any

from sewkit.errors import FileError
from sewkit.operation import SheetText

# Spreadsheets save "Unicode text" in UTF-16 and plain CSV in the system's own table of letters.
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_SYSTEMS_OWN = "cp1252"


def read_text(source: Any) -> str:
    """A file's text; ``FileError`` where it cannot be read or is none."""
    try:
        with open(str(source), "rb") as stream:
            data = stream.read()
    except OSError as error:
        raise FileError(
            "The table '{}' cannot be read: {}.".format(source, error.strerror), code="file"
        ) from None
    if data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<"):
        raise FileError(
            "'{}' is a drawing or a web page, and no table.".format(source),
            "Name a sheet of plain text, or CSV from the spreadsheet.",
            code="file",
        )
    if not data.strip():
        raise FileError("The table '{}' is empty.".format(source), "Name another.", code="file")
    letters = "utf-16" if data[:2] in _UTF_16 else "utf-8-sig"
    if letters == "utf-8-sig" and b"\0" in data:
        raise _not_plain(source)
    try:
        return data.decode(letters)
    except UnicodeDecodeError:
        pass
    try:
        return data.decode(_SYSTEMS_OWN)
    except UnicodeDecodeError:
        raise _not_plain(source) from None


def sheet_text(given: Any, folder: str = "") -> Any:
    """The text of the sheet that somebody named; a text with a line end is the sheet itself.

    Args:
        given: the name of a file; empty where there is none.
        folder: from where a name counts; empty for where one stands.

    ``FileError`` where it cannot be read.
    """
    if not isinstance(given, str) or not given.strip():
        return given
    if "\n" in given:
        return given[:-1] if given.endswith("\n") else given
    return SheetText.of(read_text(os.path.join(folder, given)), given)


def _not_plain(source: Any) -> FileError:
    return FileError(
        "The table '{}' is not plain text.".format(source),
        "Save it as CSV from the spreadsheet.",
        code="file",
    )
