"""Plain tables as spreadsheets export them: cells between commas, semicolons or tabs.

A line that starts with # is a remark.  A table that stands on its side is turned.
"""

import csv
import io
from typing import Callable, List, NamedTuple, Tuple

from sewkit.errors import InputError

_SIGNS = (",", ";", "\t")


class Row(NamedTuple):
    """One row: the line it stands in, counted from 1, and its cells without blanks around."""

    line: int
    cells: Tuple[str, ...]


def rows_of(text: str, shown: str) -> Tuple[Row, ...]:
    """The rows of a table's text, each as long as the headings; ``shown`` names it in errors."""
    sign = _sign(text)
    stream = io.StringIO(text.lstrip("\ufeff"), newline="")
    # Strictly: a quotation mark that is never closed would swallow all the rows behind it.
    reader = csv.reader(stream, delimiter=sign, skipinitialspace=True, strict=True)
    rows: List[Row] = []
    before = 0
    try:
        for cells in reader:
            line, before = before + 1, reader.line_num
            cells = [cell.strip() for cell in cells]
            if any(cells) and not cells[0].startswith("#"):
                rows.append(Row(line, tuple(cells)))
    except csv.Error:
        raise InputError(
            "Line {} of the table {} cannot be read.".format(before + 1, shown), code="table"
        ) from None
    width = max((len(row.cells) for row in rows), default=0)
    return tuple(row._replace(cells=row.cells + ("",) * (width - len(row.cells))) for row in rows)


def turned(rows: Tuple[Row, ...], is_heading: Callable[[str], bool]) -> Tuple[Row, ...]:
    """The rows with the headings on top, where they stand down the side.

    ``is_heading``: whether a cell reads like one.  A turned row counts its column as its line.
    """
    if not rows:
        return rows
    top = sum(is_heading(cell) for cell in rows[0].cells[1:])
    side = sum(is_heading(row.cells[0]) for row in rows[1:])
    if side <= top:
        return rows
    return tuple(Row(at, column) for at, column in enumerate(zip(*(row.cells for row in rows)), 1))


def _sign(text: str) -> str:
    """What stands between the cells of the first line that is no remark."""
    for line in text.lstrip("\ufeff").splitlines():
        if line.strip(' ,;\t"') and not line.lstrip(' "').startswith("#"):
            return max(_SIGNS, key=line.count)
    return ","
