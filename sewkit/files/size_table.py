"""The table that says which line is which size: written, changed by a person, read back.

    text = write_table(grouping)
    answers = read_table(text)          # {"A": "36", "B": "38", "C": "all"}

Plain CSV: any editor and any spreadsheet opens it.  Lines that start with # are remarks.
"""

import csv
import io
from typing import Dict, List, Sequence, Tuple

from sewkit.errors import FileError, InputError
from sewkit.sheet.drawn import Style
from sewkit.sheet.groups import ALL, NONE, Group, Grouping
from sewkit.sheet.size_names import size_name

COLUMNS = (
    "key",
    "size",
    "told by",
    "layer",
    "pen colour",
    "pen width mm",
    "dashes mm",
    "lines",
    "length mm",
    "why",
)
_HEAD = (
    "Which line is which size.  One row is one kind of line in the drawing.",
    "Change only the column 'size', save, and give this table to the import again.",
    "Write the size's name (38, M), or 'all' for lines that serve every size (fold, grain),",
    "or '-' for lines that are no part of the pattern (frame, logo, letters).",
    "Two rows may have the same size.  Rows that you do not want to change may be left out.",
)
_SIGNS = (",", ";", "\t")


def write_table(grouping: Grouping) -> str:
    """The grouping as a text that a person may edit."""
    out = io.StringIO()
    for line in _HEAD:
        out.write("# {}\n".format(line))
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for group in grouping.groups:
        writer.writerow(_row(group, grouping.told_by))
    return out.getvalue()


def _row(group: Group, told_by: str) -> Tuple[str, ...]:
    told = told_by if group.size not in (ALL, NONE) else ""
    if group.rank:
        told = "{} ({})".format(told_by, group.rank)
    return (
        group.key,
        group.size,
        told,
        group.layer,
        _colour(group.style),
        _short(group.style.width),
        "-".join(_short(dash) for dash in group.style.dashes) or "solid",
        str(len(group.lines)),
        "{:.0f}".format(group.length),
        group.reason,
    )


def _colour(style: Style) -> str:
    if style.colour:
        return style.colour
    return "none, filled {}".format(style.fill) if style.fill else "none"


def _short(value: float) -> str:
    return "{:.2f}".format(value).rstrip("0").rstrip(".")


def read_size_table(path: str) -> Dict[str, str]:
    """Read a size table from a file; ``FileError`` where it cannot be read."""
    try:
        with open(path, encoding="utf-8-sig") as stream:
            return read_table(stream.read())
    except OSError as error:
        raise FileError(
            "The size table '{}' cannot be read: {}.".format(path, error.strerror), code="file"
        ) from None
    except UnicodeDecodeError:
        raise FileError(
            "The size table '{}' is not a text file.".format(path),
            "Save it as CSV, in UTF-8.",
            code="file",
        ) from None


def read_table(text: str) -> Dict[str, str]:
    """Sizes by key, from a table that a person has edited.

    Columns may be separated by commas, semicolons or tabs, and come in any order; other
    columns than key and size are not read.  ``InputError`` names the line that is wrong.
    """
    rows = _rows(text)
    if not rows:
        raise _wrong("The table of sizes is empty.")
    line, head = rows[0]
    names = [cell.lower() for cell in head]
    if "key" in names and "size" in names:
        key_at, size_at = names.index("key"), names.index("size")
        rows = rows[1:]
    elif len(head) >= 2 and _is_key(head[0]):
        key_at, size_at = 0, 1
    else:
        raise _wrong("Line {} of the table of sizes should name the columns, key and size.".format(line))
    answers: Dict[str, str] = {}
    for line, cells in rows:
        key, size = _answer(line, cells, key_at, size_at)
        if answers.get(key, size) != size:
            raise _wrong("Line {} of the table of sizes names '{}' a second time.".format(line, key))
        answers[key] = size
    return answers


def _rows(text: str) -> List[Tuple[int, List[str]]]:
    """Numbers of lines, from 1, and their cells without blanks around; no remarks."""
    text = text.lstrip("\ufeff")
    lines = [(n, line) for n, line in enumerate(text.splitlines(), 1)]
    # A spreadsheet may have put a remark into quotes.
    kept = [(n, line) for n, line in lines if line.strip(' ,;\t"') and not line.lstrip(' "').startswith("#")]
    if not kept:
        return []
    sign = max(_SIGNS, key=kept[0][1].count)
    found = []
    for number, line in kept:
        try:
            cells = next(csv.reader([line], delimiter=sign, skipinitialspace=True))
        except csv.Error:
            raise _wrong("Line {} of the table of sizes cannot be read.".format(number)) from None
        found.append((number, [cell.strip() for cell in cells]))
    return found


def _answer(line: int, cells: Sequence[str], key_at: int, size_at: int) -> Tuple[str, str]:
    if len(cells) <= max(key_at, size_at):
        raise _wrong("Line {} of the table of sizes has too few columns.".format(line))
    key, size = cells[key_at].upper(), cells[size_at]
    if not _is_key(key):
        raise _wrong("Line {} of the table of sizes has no key, such as A, but '{}'.".format(line, key))
    if not size:
        raise _wrong(
            "Line {} of the table of sizes gives no size for '{}': write its name, 'all' or '-'.".format(
                line, key
            )
        )
    if size.lower() == ALL:
        size = ALL
    if size in ("-", "\u2013", "\u2014"):
        size = NONE
    if size not in (ALL, NONE):
        try:
            size = size_name(size)
        except InputError as error:
            raise _wrong("Line {} of the table of sizes: {}".format(line, error)) from None
    return key, size


def _is_key(text: str) -> bool:
    return 0 < len(text) <= 3 and text.isalpha() and text.isascii()


def _wrong(sentence: str) -> InputError:
    return InputError(sentence, code="size-table")
